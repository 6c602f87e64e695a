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

/// What every message of something that is not built yet ends with.
const UNBUILT: &str = " is not built yet";

/// The diagnostics that are shown one by one, and what the "not built yet" ones say together: a file may name many
/// kinds that this version only checks, and one sentence is enough to say so.
fn split_unbuilt(diagnostics: &Diagnostics, width: usize) -> (Vec<&Diagnostic>, Option<String>) {
    let together =
        |d: &Diagnostic| d.code == Code::NotBuiltYet && d.severity == Severity::Note && d.message.ends_with(UNBUILT);
    let (unbuilt, shown): (Vec<_>, Vec<_>) = diagnostics.iter().partition(|d| together(d));
    let mut names: Vec<String> = Vec::new();
    for d in unbuilt {
        let name = super::shown(d.message.trim_end_matches(UNBUILT)).replace('`', "");
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let line = (!names.is_empty())
        .then(|| wrapped(&format!("not built yet, checked and left out: {}", names.join(", ")), width));
    (shown, line)
}

/// A sentence broken at its commas' blanks to a width, later lines set in.
fn wrapped(text: &str, width: usize) -> String {
    let mut lines = vec![String::new()];
    for part in text.split_inclusive(", ") {
        let line = lines.last().expect("there is always a line");
        if !line.is_empty() && line.chars().count() + part.trim_end().chars().count() > width {
            lines.push("    ".to_owned());
        }
        lines.last_mut().expect("there is always a line").push_str(part);
    }
    lines.iter().map(|l| l.trim_end()).collect::<Vec<_>>().join("\n")
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_built_is_said_once_for_all() {
        let mut d = Diagnostics::new();
        for what in ["`lace` (lacing)", "`hide` (cover)", "`hide` (cover)"] {
            d.push(Diagnostic::note(Code::NotBuiltYet, format!("{what} is not built yet")));
        }
        let (shown, line) = split_unbuilt(&d, 60);
        assert!(shown.is_empty());
        assert_eq!(line.unwrap(), "not built yet, checked and left out: lace (lacing),\n    hide (cover)");
    }
}
