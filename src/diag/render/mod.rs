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

/// What the messages end with that one sentence tells together, and what that begins with.
const TOGETHER: [(Code, &str, &str); 2] = [
    (Code::NotBuiltYet, " is not built yet", "not built yet, checked and left out"),
    (Code::NotAnsweredYet, " is kept as asked, not answered yet", "kept as asked, not answered yet"),
];

/// The diagnostics that are shown one by one, and what the "not built yet" and the "not answered yet" ones say together:
/// a file may name many kinds that this version only checks, and one sentence is enough to say so.
fn split_unbuilt(diagnostics: &Diagnostics, width: usize) -> (Vec<&Diagnostic>, Vec<String>) {
    let whose = |d: &Diagnostic| {
        // One with a way out is told by itself.
        let note = d.severity == Severity::Note && d.help.is_none();
        TOGETHER.iter().position(|(code, ending, _)| note && d.code == *code && d.message.ends_with(ending))
    };
    let mut shown = Vec::new();
    let mut names: [Vec<String>; TOGETHER.len()] = Default::default();
    for d in diagnostics.iter() {
        let Some(i) = whose(d) else {
            shown.push(d);
            continue;
        };
        // What ends in a clause ends in its comma, and the next name follows after one.
        let name = d.message.trim_end_matches(TOGETHER[i].1).trim_end_matches(',');
        let name = super::shown(name).replace('`', "");
        if !names[i].contains(&name) {
            names[i].push(name);
        }
    }
    let told = TOGETHER.iter().zip(names).filter(|(_, names)| !names.is_empty());
    let lines = told.map(|((_, _, begin), names)| wrapped(&format!("{begin}: {}", names.join(", ")), width)).collect();
    (shown, lines)
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
        for what in ["`lace` (lacing)", "`hide`, which rests on `lid`,", "`hide`, which rests on `lid`,"] {
            d.push(Diagnostic::note(Code::NotBuiltYet, format!("{what} is not built yet")));
        }
        let what = "how `sling` hangs is kept as asked, not answered yet";
        d.push(Diagnostic::note(Code::NotAnsweredYet, what));
        let (shown, lines) = split_unbuilt(&d, 60);
        assert!(shown.is_empty());
        let wanted = [
            "not built yet, checked and left out: lace (lacing), hide,\n    which rests on lid",
            "kept as asked, not answered yet: how sling hangs",
        ];
        assert_eq!(lines, wanted);
    }
}
