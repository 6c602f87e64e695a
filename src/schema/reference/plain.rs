//! The manual as plain text for a terminal: no colours, no drawing characters, lines folded at blanks. Rank 7.

use super::block::Block;
use super::speech::MUST;

/// The blocks as text at most `width` columns wide; code keeps its lines, and a word longer than a line is left whole.
pub(super) fn text(blocks: &[Block], width: usize) -> String {
    let mut out = String::new();
    let mut before: Option<&Block> = None;
    for block in blocks {
        // Tables one after the other read as one.
        let table_again = matches!((before, block), (Some(Block::Table { .. }), Block::Table { .. }));
        if !out.is_empty() && !table_again {
            out.push('\n');
        }
        before = Some(block);
        match block {
            Block::Heading(depth, title) => heading(*depth, &bare(title), &mut out),
            Block::Para(text) => fold(&bare(text), "", "", width, &mut out),
            Block::List(items) => items.iter().for_each(|i| fold(&bare(i), "- ", "  ", width, &mut out)),
            Block::Code(code) => code.lines().for_each(|l| {
                out.push_str(format!("    {l}").trim_end());
                out.push('\n');
            }),
            Block::Table { head, rows } => table(head, rows, width, &mut out),
        }
    }
    out
}

fn heading(depth: usize, title: &str, out: &mut String) {
    let title = if depth <= 2 { title.to_uppercase() } else { title.to_owned() };
    out.push_str(&format!("{title}\n"));
    if depth <= 3 {
        let rule = if depth == 1 { "=" } else { "-" };
        out.push_str(&format!("{}\n", rule.repeat(title.chars().count())));
    }
}

/// A row is a line of its first cells and, set in, what the last one says; empty cells are left out.
fn table(head: &[String], rows: &[Vec<String>], width: usize, out: &mut String) {
    for row in rows {
        let Some((last, first)) = row.split_last() else { continue };
        let named = |(i, cell): (usize, &String)| match (i, head.get(i).map(String::as_str)) {
            (0, _) | (_, None | Some("type" | "is" | "what" | "written")) => bare(cell),
            (_, Some("default")) if cell == MUST => bare(cell),
            (_, Some("default")) if cell == "none" => "may be left out".to_owned(),
            (_, Some(name)) => format!("{name} {}", bare(cell)),
        };
        let line: Vec<String> = first.iter().enumerate().filter(|(_, c)| !c.is_empty()).map(named).collect();
        fold(&line.join(" · "), "  ", "      ", width, out);
        fold(&bare(last), "      ", "      ", width, out);
    }
}

/// Without the marks that only Markdown needs; back-ticks stay, they show where words of the language begin and end.
fn bare(text: &str) -> String {
    text.replace("**", "").replace("\\|", "|").replace("<br>", " ")
}

/// Words in lines of at most `width` columns.
fn fold(text: &str, first: &str, rest: &str, width: usize, out: &mut String) {
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > width {
            out.push_str(line.trim_end());
            out.push('\n');
            line = rest.to_owned();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    if !empty {
        out.push_str(line.trim_end());
        out.push('\n');
    }
}
