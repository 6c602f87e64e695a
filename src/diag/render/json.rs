//! Diagnostics as one JSON document, with byte offsets and lines and columns (from 1, in characters).

use serde::Serialize;

use super::word;
use crate::diag::Diagnostics;
use crate::span::{Sources, Span};

#[derive(Serialize)]
struct Document<'a> {
    diagnostics: Vec<Item<'a>>,
}

#[derive(Serialize)]
struct Item<'a> {
    code: &'a str,
    severity: &'a str,
    message: &'a str,
    labels: Vec<Label<'a>>,
    help: Option<&'a str>,
    repair: Option<&'a str>,
    note: Option<&'a str>,
}

#[derive(Serialize)]
struct Label<'a> {
    file: &'a str,
    start: Position,
    end: Position,
    text: &'a str,
}

#[derive(Serialize)]
struct Position {
    byte: u32,
    line: usize,
    column: usize,
}

/// One document for all runs of a command, with a line end.
#[must_use]
pub fn json(runs: &[(Diagnostics, Sources)]) -> String {
    let diagnostics = runs.iter().flat_map(|(diagnostics, sources)| items(diagnostics, sources)).collect();
    let mut text =
        serde_json::to_string_pretty(&Document { diagnostics }).expect("strings and numbers always have a JSON form");
    text.push('\n');
    text
}

fn items<'a>(diagnostics: &'a Diagnostics, sources: &'a Sources) -> Vec<Item<'a>> {
    let position = |span: Span, byte: u32| {
        let (line, column) = sources.line_column(span.file, byte);
        Position { byte, line, column }
    };
    diagnostics
        .iter()
        .map(|d| Item {
            code: d.code.name(),
            severity: word(d.severity),
            message: &d.message,
            labels: d
                .labels
                .iter()
                .map(|l| Label {
                    file: &sources.get(l.span.file).name,
                    start: position(l.span, l.span.start),
                    end: position(l.span, l.span.end),
                    text: &l.text,
                })
                .collect(),
            help: d.help.as_deref(),
            repair: d.repair.as_deref(),
            note: d.note.as_deref(),
        })
        .collect()
}
