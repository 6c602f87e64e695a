//! Diagnostics drawn with their source, for a terminal. The only file that names miette.

use std::fmt::{self, Display};

use miette::{GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, SourceCode, SourceSpan, ThemeStyles};

use super::escaped::Escaped;
use super::split_unbuilt;
use crate::diag::{Diagnostic, Diagnostics, Severity, shown};
use crate::ids::FileId;
use crate::span::{Sources, Span};

/// Every diagnostic with the lines it speaks of, `width` columns wide.
#[must_use]
pub fn drawn(diagnostics: &Diagnostics, sources: &Sources, colour: Colour, width: usize) -> String {
    let theme = match colour {
        Colour::Yes => GraphicalTheme::unicode(),
        Colour::No => GraphicalTheme { styles: ThemeStyles::none(), ..GraphicalTheme::unicode() },
    };
    let handler = GraphicalReportHandler::new_themed(theme).with_links(false).with_width(width.max(40));
    let escaped: Vec<(String, Escaped<'_>)> =
        sources.iter().map(|(_, s)| (shown(&s.name), Escaped::new(&s.text))).collect();
    let (shown_ones, together) = split_unbuilt(diagnostics, width);
    let mut out = String::new();
    for d in shown_ones {
        let report = Report::new(d, &escaped);
        if handler.render_report(&mut out, &report).is_err() {
            out.push_str(&super::plain::one(d, sources));
        }
        out.push('\n');
    }
    for line in together {
        out.push_str(&line);
        out.push('\n');
    }
    out
}

/// Whether to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colour {
    Yes,
    No,
}

/// One diagnostic for one source; labels in other files hang below as related ones.
struct Report {
    code: String,
    severity: Severity,
    message: String,
    labels: Vec<LabeledSpan>,
    help: Option<String>,
    source: Option<NamedSource<String>>,
    related: Vec<Report>,
}

impl Report {
    fn new(d: &Diagnostic, files: &[(String, Escaped<'_>)]) -> Self {
        let first = d.labels.first().map(|l| l.span.file);
        let mut others: Vec<FileId> = d.labels.iter().map(|l| l.span.file).filter(|f| Some(*f) != first).collect();
        others.sort_unstable();
        others.dedup();
        let related = others
            .into_iter()
            .map(|file| Self {
                code: String::new(),
                severity: Severity::Note,
                message: format!("in {}", files[file.index()].0),
                labels: labels(d, file, files),
                help: None,
                source: source(file, files),
                related: Vec::new(),
            })
            .collect();
        let mut help = d.help.as_deref().map(shown).unwrap_or_default();
        if let Some(repair) = d.repair.as_deref().map(shown)
            && !help.contains(&repair)
        {
            help = if help.is_empty() { format!("`{repair}`") } else { format!("{help}\nwrite: `{repair}`") };
        }
        if let Some(note) = &d.note {
            if !help.is_empty() {
                help.push('\n');
            }
            help.push_str("why: ");
            help.push_str(&shown(note));
        }
        Self {
            code: d.code.name().to_owned(),
            severity: d.severity,
            message: shown(&d.message),
            labels: first.map(|f| labels(d, f, files)).unwrap_or_default(),
            help: (!help.is_empty()).then_some(help),
            source: first.and_then(|f| source(f, files)),
            related,
        }
    }
}

fn source(file: FileId, files: &[(String, Escaped<'_>)]) -> Option<NamedSource<String>> {
    let (name, text) = files.get(file.index())?;
    // An empty file still needs a character to point at.
    let text = if text.text.is_empty() { " ".to_owned() } else { text.text.clone().into_owned() };
    Some(NamedSource::new(name, text))
}

fn labels(d: &Diagnostic, file: FileId, files: &[(String, Escaped<'_>)]) -> Vec<LabeledSpan> {
    let Some((_, text)) = files.get(file.index()) else { return Vec::new() };
    d.labels
        .iter()
        .filter(|l| l.span.file == file)
        .map(|l| {
            let label = (!l.text.is_empty()).then(|| shown(&l.text));
            LabeledSpan::new_with_span(label, visible(l.span, text))
        })
        .collect()
}

/// A span in the text as shown: inside it, and at least one character long (a label without width at the end of
/// the text would be lost).
fn visible(span: Span, text: &Escaped<'_>) -> SourceSpan {
    let length = text.text.len();
    let (mut start, mut end) = (text.at(span.start as usize), text.at(span.end as usize));
    if start >= end {
        if start >= length {
            start = text.text.trim_end().char_indices().last().map_or(0, |(i, _)| i);
        }
        end = start + text.text.get(start..).and_then(|t| t.chars().next()).map_or(1, char::len_utf8);
    }
    SourceSpan::new(start.into(), end - start)
}

impl fmt::Debug for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Report {}

impl miette::Diagnostic for Report {
    fn code<'a>(&'a self) -> Option<Box<dyn Display + 'a>> {
        (!self.code.is_empty()).then(|| Box::new(&self.code) as Box<dyn Display>)
    }

    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.severity {
            Severity::Error => miette::Severity::Error,
            Severity::Warning => miette::Severity::Warning,
            Severity::Note => miette::Severity::Advice,
        })
    }

    fn help<'a>(&'a self) -> Option<Box<dyn Display + 'a>> {
        self.help.as_ref().map(|h| Box::new(h) as Box<dyn Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.source.as_ref().map(|s| s as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        (!self.labels.is_empty()).then(|| Box::new(self.labels.iter().cloned()) as Box<dyn Iterator<Item = _>>)
    }

    fn related<'a>(&'a self) -> Option<Box<dyn Iterator<Item = &'a dyn miette::Diagnostic> + 'a>> {
        (!self.related.is_empty())
            .then(|| Box::new(self.related.iter().map(|r| r as &dyn miette::Diagnostic)) as Box<dyn Iterator<Item = _>>)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Code;

    fn draw(text: &str, start: usize, end: usize) -> String {
        let mut sources = Sources::default();
        let file = sources.add("case.prop", text);
        let mut d = Diagnostics::new();
        d.push(
            Diagnostic::error(Code::BareNumber, "a width needs its unit")
                .with_label(Span::new(file, start, end), "90 of what?")
                .with_help("write it")
                .with_repair("90 mm"),
        );
        drawn(&d, &sources, Colour::No, 80)
    }

    #[test]
    fn a_label_at_the_end_of_a_text_is_shown() {
        for text in ["", "x", "é", "shell a {\n"] {
            assert!(draw(text, text.len(), text.len()).contains("90 of what?"), "{text:?}");
        }
    }

    #[test]
    fn a_span_past_the_end_is_clamped() {
        assert!(draw("abc", 2, 900).contains("90 of what?"));
    }

    #[test]
    fn no_escape_of_the_source_reaches_the_terminal() {
        let text = "shell \u{1b}]8;;x\u{7} { \u{202e} }";
        let out = draw(text, 6, 10);
        assert!(!out.contains('\u{1b}') && !out.contains('\u{7}') && !out.contains('\u{202e}'), "{out:?}");
        assert!(out.contains("\\u{1b}"));
    }

    #[test]
    fn the_place_and_the_repair_stand_in_the_drawing() {
        let out = draw("shell a {\n    at 0 mm: circle(across: 90)\n}\n", 37, 39);
        assert!(out.contains("case.prop:2:28"), "{out}");
        assert!(out.contains("`90 mm`"), "{out}");
        assert!(out.contains("bare-number"), "{out}");
    }
}
