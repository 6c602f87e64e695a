//! Diagnostics as text: drawn with the source for a terminal, plain for pipes and screen readers, JSON for editors.
//!
//! Whatever comes from a source file is shown through [`super::shown`], so a file cannot speak to the terminal.

mod drawn;
mod escaped;
mod json;
mod plain;

pub use drawn::{Colour, drawn};
pub use json::json;
pub use plain::plain;

use super::{Code, Diagnostic, Diagnostics, Severity};

/// The word of a severity.
#[must_use]
pub fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

/// The diagnostics that are shown one by one, and what the "not built yet" ones say together: a file may name many
/// kinds that this version only checks, and one line is enough to say so.
fn split_unbuilt(diagnostics: &Diagnostics) -> (Vec<&Diagnostic>, Option<String>) {
    let (unbuilt, shown): (Vec<_>, Vec<_>) =
        diagnostics.iter().partition(|d| d.code == Code::NotBuiltYet && d.severity == Severity::Note);
    let mut names: Vec<&str> = unbuilt.iter().map(|d| d.message.as_str()).collect();
    names.dedup();
    let line = (!names.is_empty()).then(|| format!("not built yet, checked only: {}", names.join(", ")));
    (shown, line)
}

/// "2 errors, 1 warning", or `None` when there is nothing to count.
#[must_use]
pub fn tally(diagnostics: &Diagnostics) -> Option<String> {
    let count = |n: usize, word: &str| match n {
        0 => None,
        1 => Some(format!("1 {word}")),
        n => Some(format!("{n} {word}s")),
    };
    let parts: Vec<String> =
        [count(diagnostics.count(Severity::Error), "error"), count(diagnostics.count(Severity::Warning), "warning")]
            .into_iter()
            .flatten()
            .collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}
