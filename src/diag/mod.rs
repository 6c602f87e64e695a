//! Diagnostics: what is wrong, where, why in a maker's words, and what to type instead. Rank 2.
//!
//! A [`Diagnostic`] is plain data made by one named constructor in the `errors.rs` of the phase that finds the
//! fault. Only `render` names miette.

mod codes;
pub mod render;

pub use codes::Code;

use crate::span::Span;

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Files are not written.
    Error,
    /// Files are written; the maker should look.
    Warning,
    /// Something worth knowing.
    Note,
}

/// A place and what stands there.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Label {
    pub span: Span,
    pub text: String,
}

/// One fault. `message`: what is wrong, lower case, no full stop. Labels: what stands here (the first is the
/// fault, a second the earlier place it clashes with). `help`: what to do, with `repair` to paste when there is
/// one. `note`: why, with the rule or number.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Diagnostic {
    pub code: Code,
    pub severity: Severity,
    pub message: String,
    pub labels: Vec<Label>,
    pub help: Option<String>,
    /// Text that can be pasted in place of the first label's span (or as said in `help`).
    pub repair: Option<String>,
    pub note: Option<String>,
}

impl Diagnostic {
    /// An error; add labels and help with the `with_` methods.
    #[must_use]
    pub fn error(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Error, message)
    }

    /// A warning.
    #[must_use]
    pub fn warning(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Warning, message)
    }

    /// A note.
    #[must_use]
    pub fn note(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Note, message)
    }

    /// A note of what is checked, and left out of what is made.
    #[must_use]
    pub fn unbuilt(message: impl Into<String>, span: Span) -> Self {
        Self::note(Code::NotBuiltYet, message)
            .with_label(span, "checked, and left out")
            .with_note("everything else in the file is produced")
    }

    /// The same of a thing that rests on one that is left out.
    #[must_use]
    pub fn rests_on_unbuilt(name: &str, root: &str, head: Span) -> Self {
        Self::unbuilt(format!("`{name}`, which rests on `{root}`, is not built yet"), head)
    }

    fn new(code: Code, severity: Severity, message: impl Into<String>) -> Self {
        Self { code, severity, message: message.into(), labels: Vec::new(), help: None, repair: None, note: None }
    }

    /// The next label; the first is the fault itself.
    #[must_use]
    pub fn with_label(mut self, span: Span, text: impl Into<String>) -> Self {
        self.labels.push(Label { span, text: text.into() });
        self
    }

    /// What to do.
    #[must_use]
    pub fn with_help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The text to paste.
    #[must_use]
    pub fn with_repair(mut self, repair: impl Into<String>) -> Self {
        self.repair = Some(repair.into());
        self
    }

    /// Why: the rule or number behind it.
    #[must_use]
    pub fn with_note(mut self, note: impl Into<String>) -> Self {
        self.note = Some(note.into());
        self
    }

    /// Where the fault stands, when it stands anywhere.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        self.labels.first().map(|l| l.span)
    }
}

/// A bag of diagnostics. Phases push; the pipeline sorts once.
#[derive(Clone, Debug, Default)]
pub struct Diagnostics {
    items: Vec<Diagnostic>,
}

impl Diagnostics {
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.items.push(diagnostic);
    }

    pub fn extend(&mut self, other: Self) {
        self.items.extend(other.items);
    }

    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.items.iter().any(|d| d.severity == Severity::Error)
    }

    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    pub fn iter(&self) -> impl Iterator<Item = &Diagnostic> {
        self.items.iter()
    }

    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.items.iter().filter(|d| d.severity == severity).count()
    }

    /// In order of place (those without a place last), equal ones once.
    #[must_use]
    pub fn sorted(mut self) -> Self {
        self.items.sort_by(|a, b| {
            let key = |d: &Diagnostic| (d.span().is_none(), d.span(), d.severity);
            key(a).cmp(&key(b))
        });
        self.items.dedup();
        self
    }
}

impl IntoIterator for Diagnostics {
    type Item = Diagnostic;
    type IntoIter = std::vec::IntoIter<Diagnostic>;
    fn into_iter(self) -> Self::IntoIter {
        self.items.into_iter()
    }
}

/// Text from the source or a label made safe to show: control characters, terminal escapes and the Unicode
/// direction controls (which can make a line read otherwise than it is) come out as `\u{…}`.
#[must_use]
pub fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let hidden = (c.is_control() && c != '\n' && c != '\t')
            || matches!(c, '\u{061c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}');
        if hidden {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

/// The nearest of `names` to `word`, when one is near enough to be meant; of several as near, the one whose number at
/// the end is nearest (`foam6` for `foam7`).
#[must_use]
pub fn nearest<'a>(word: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // Of a single letter nothing is left when one is wrong.
    let letters = word.chars().count();
    let reach = if letters < 2 { 0 } else { (letters / 3).max(1) };
    names
        .into_iter()
        .map(|n| (strsim::osa_distance(word, n), number_behind(n).abs_diff(number_behind(word)), n))
        .filter(|&(d, ..)| d <= reach)
        .min()
        .map(|(.., n)| n)
}

/// The whole number at the end of a name, 0 where there is none.
fn number_behind(name: &str) -> u32 {
    let digits = name.len() - name.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    name[name.len() - digits..].parse().unwrap_or_default()
}
