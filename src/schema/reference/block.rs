//! The parts of a manual: headings, paragraphs, lists, tables and code; read from a small part of Markdown and
//! written back as Markdown. Rank 7. It knows `#` headings, ``` fences, `-` and numbered lists, pipe tables and
//! paragraphs, which is what the chapters beside this file use; marks within a line stay as they are.

/// One part of the manual.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Block {
    /// Its depth, 1 for the title of the manual.
    Heading(usize, String),
    Para(String),
    /// Items without their dash.
    List(Vec<String>),
    /// As written.
    Code(String),
    Table {
        head: Vec<String>,
        rows: Vec<Vec<String>>,
    },
}

/// The blocks of a chapter of prose.
pub(super) fn read(text: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut lines = text.lines().peekable();
    while let Some(line) = lines.next() {
        let depth = line.chars().take_while(|&c| c == '#').count();
        if line.trim().is_empty() {
            continue;
        } else if depth > 0 {
            blocks.push(Block::Heading(depth, line[depth..].trim().to_owned()));
        } else if line.starts_with("```") {
            let code: Vec<&str> = lines.by_ref().take_while(|l| !l.starts_with("```")).collect();
            blocks.push(Block::Code(code.join("\n") + "\n"));
        } else if line.starts_with('|') {
            let mut table: Vec<Vec<String>> = vec![cells(line)];
            while let Some(row) = lines.next_if(|l| l.starts_with('|')) {
                table.push(cells(row));
            }
            let head = table.remove(0);
            table.retain(|row| !row.iter().all(|c| !c.is_empty() && c.chars().all(|c| c == '-')));
            blocks.push(Block::Table { head, rows: table });
        } else if let Some(first) = line.strip_prefix("- ") {
            let mut items = vec![first.to_owned()];
            while let Some(next) = lines.next_if(|l| l.starts_with("- ") || l.starts_with("  ")) {
                match next.strip_prefix("- ") {
                    Some(item) => items.push(item.to_owned()),
                    None => continue_line(items.last_mut(), next),
                }
            }
            blocks.push(Block::List(items));
        } else {
            let mut para = line.to_owned();
            let more = |l: &&str| !l.trim().is_empty() && !l.starts_with(['#', '|', '`']) && !l.starts_with("- ");
            while let Some(next) = lines.next_if(|l| more(l)) {
                continue_line(Some(&mut para), next);
            }
            blocks.push(Block::Para(para));
        }
    }
    blocks
}

fn continue_line(text: Option<&mut String>, next: &str) {
    if let Some(text) = text {
        text.push(' ');
        text.push_str(next.trim());
    }
}

fn cells(line: &str) -> Vec<String> {
    line.trim().trim_matches('|').split('|').map(|c| c.trim().to_owned()).collect()
}

/// The blocks as Markdown.
pub(super) fn markdown(blocks: &[Block]) -> String {
    let mut out = String::new();
    for block in blocks {
        if !out.is_empty() {
            out.push('\n');
        }
        match block {
            Block::Heading(depth, text) => out.push_str(&format!("{} {text}\n", "#".repeat(*depth))),
            Block::Para(text) => out.push_str(&format!("{text}\n")),
            Block::List(items) => items.iter().for_each(|i| out.push_str(&format!("- {i}\n"))),
            Block::Code(text) => out.push_str(&format!("```\n{text}```\n")),
            Block::Table { head, rows } => {
                let line = |cells: &[String]| format!("| {} |\n", cells.join(" | "));
                out.push_str(&line(head));
                out.push_str(&format!("|{}\n", "---|".repeat(head.len())));
                rows.iter().for_each(|r| out.push_str(&line(r)));
            }
        }
    }
    out
}
