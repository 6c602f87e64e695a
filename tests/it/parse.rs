//! Parsing: every block of the language brief and every paper example reads clean.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use tasset::ast::File;
use tasset::diag::{Diagnostic, Diagnostics};
use tasset::ids::FileId;
use tasset::parse::parse;

pub fn read(text: &str) -> (File, Diagnostics) {
    parse(text, FileId::new(0))
}

/// A diagnostic as plain text: code, what is underlined, message, labels, help, repair, note.
pub fn told(text: &str, d: &Diagnostic) -> String {
    let at = |s: tasset::span::Span| &text[s.start as usize..s.end as usize];
    let mut out = format!("{}: {}\n", d.code.name(), d.message);
    for l in &d.labels {
        let line = text[..l.span.start as usize].matches('\n').count() + 1;
        writeln!(out, "  {line}:`{}`  {}", at(l.span), l.text).unwrap();
    }
    for (word, part) in [("help", &d.help), ("repair", &d.repair), ("note", &d.note)] {
        if let Some(part) = part {
            writeln!(out, "  {word}: {part}").unwrap();
        }
    }
    out
}

pub fn all_told(text: &str) -> String {
    read(text).1.iter().map(|d| told(text, d)).collect()
}

pub fn cases(folder: &str) -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases").join(folder);
    let mut all: Vec<PathBuf> = fs::read_dir(root).unwrap().map(|e| e.unwrap().path()).collect();
    all.retain(|p| p.extension().is_some_and(|e| e == "prop"));
    all.sort();
    all.into_iter().map(|p| (p.clone(), fs::read_to_string(p).unwrap())).collect()
}

#[test]
fn the_language_briefs_blocks_and_the_paper_files_parse_clean() {
    let all = cases("parse");
    assert!(all.len() >= 6, "{}", all.len());
    for (path, text) in all {
        assert_eq!(all_told(&text), "", "{}", path.display());
        assert!(!read(&text).0.sentences.is_empty());
    }
}
