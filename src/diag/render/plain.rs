//! Diagnostics in plain lines, for pipes and screen readers: no drawing, every place as `file:line:column`.

use std::fmt::Write as _;

use super::{split_unbuilt, word};
use crate::diag::{Diagnostic, Diagnostics, shown};
use crate::span::Sources;

/// Every diagnostic, a few lines each.
#[must_use]
pub fn plain(diagnostics: &Diagnostics, sources: &Sources) -> String {
    let (shown_ones, together) = split_unbuilt(diagnostics, usize::MAX);
    let mut out: String = shown_ones.into_iter().map(|d| one(d, sources)).collect();
    for line in together {
        out.push_str(&line);
        out.push('\n');
    }
    out
}

/// One diagnostic.
pub(super) fn one(d: &Diagnostic, sources: &Sources) -> String {
    let mut out = String::new();
    let place = |span: crate::span::Span| {
        let (line, column) = sources.line_column(span.file, span.start);
        format!("{}:{line}:{column}", shown(&sources.get(span.file).name))
    };
    if let Some(span) = d.span() {
        let _ = write!(out, "{}: ", place(span));
    }
    let _ = writeln!(out, "{} {}: {}", word(d.severity), d.code.name(), shown(&d.message));
    for (i, label) in d.labels.iter().enumerate() {
        let text: String = shown(sources.text(label.span)).split_whitespace().collect::<Vec<_>>().join(" ");
        let quoted: String =
            if text.chars().count() > 60 { text.chars().take(57).chain("...".chars()).collect() } else { text };
        let says = shown(&label.text);
        // Where nothing stands, or the label quotes what stands there, there is nothing to quote.
        let _ = match (i, quoted.is_empty() || says.contains(&format!("`{quoted}`"))) {
            (0, true) => writeln!(out, "    here: {says}"),
            (0, false) => writeln!(out, "    at `{quoted}`: {says}"),
            (_, true) => writeln!(out, "    and at {}: {says}", place(label.span)),
            (_, false) => writeln!(out, "    and at {}, `{quoted}`: {says}", place(label.span)),
        };
    }
    if let Some(help) = &d.help {
        let _ = writeln!(out, "    help: {}", shown(help));
    }
    if let Some(repair) = &d.repair
        && d.help.as_ref().is_none_or(|h| !h.contains(repair.as_str()))
    {
        let _ = writeln!(out, "    write: {}", shown(repair));
    }
    if let Some(note) = &d.note {
        let _ = writeln!(out, "    why: {}", shown(note));
    }
    out
}
