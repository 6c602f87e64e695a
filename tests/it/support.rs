//! What several areas share: files checked in memory, diagnostics as plain text.

use std::fmt::Write as _;
use tasset::ast;
use tasset::audit::audit;
use tasset::check::{Input, Options, Override, check};
use tasset::design::Design;
use tasset::develop::develop;
use tasset::diag::{Diagnostic, Diagnostics, Severity};
use tasset::finish::finish;
use tasset::flat::Flat;
use tasset::parse::parse;
use tasset::piece::Pieces;
use tasset::shape::shape;
use tasset::solid::Solid;
use tasset::span::{At, Sources, Span};
use tasset::verdict::{Check, Verdict};

/// A check of some files in memory, the shelf beside them.
pub struct Checked {
    pub sources: Sources,
    pub design: Design,
    pub diagnostics: Vec<Diagnostic>,
}

/// One value of the language.
pub fn value(text: &str, sources: &mut Sources) -> ast::Expr {
    let text = format!("let x = {text}\n");
    let file = sources.add("value", text.as_str());
    match parse(&text, file).0.sentences.into_iter().next() {
        Some(ast::Sentence::Let { value, .. }) => value,
        other => panic!("no value: {other:?}"),
    }
}

/// Checks files, each by its text; `sets` are `--set name=value`.
pub fn checked_with(files: &[&str], sets: &[(&str, &str)], wearer: Option<&str>) -> Checked {
    checked_as(files, sets, wearer, None)
}

/// The same for a mock-up of a stock.
pub fn checked_as(files: &[&str], sets: &[(&str, &str)], wearer: Option<&str>, card: Option<&str>) -> Checked {
    let mut sources = Sources::default();
    let mut found = Diagnostics::new();
    let mut trees = Vec::new();
    for (n, text) in files.iter().enumerate() {
        let file = sources.add(format!("file{n}.prop"), *text);
        let (tree, faults) = parse(text, file);
        found.extend(faults);
        trees.push((tree, false));
    }
    let shelf = sources.add(tasset::stock::SHELF_NAME, tasset::stock::SHELF);
    trees.push((parse(tasset::stock::SHELF, shelf).0, true));
    let sets = sets
        .iter()
        .map(|(name, text)| Override { name: (*name).to_owned(), value: value(text, &mut sources) })
        .collect();
    let parse_value = |text: &str| value(text, &mut Sources::default());
    let card = card.map(|name| {
        let file = sources.add("--card", name);
        At { value: name.to_owned(), span: Span::new(file, 0, name.len()) }
    });
    let options = Options { sets, wearer: wearer.map(str::to_owned), card, parse: &parse_value };
    let inputs: Vec<Input<'_>> = trees.iter().map(|(tree, shelf)| Input { tree, shelf: *shelf }).collect();
    let (design, faults) = check(&inputs, &options);
    found.extend(faults);
    Checked { sources, design, diagnostics: found.sorted().into_iter().collect() }
}

pub fn checked(text: &str) -> Checked {
    checked_with(&[text], &[], None)
}

impl Checked {
    /// The codes of the errors, each once, in order of place.
    pub fn errors(&self) -> Vec<&'static str> {
        let mut out: Vec<&'static str> = Vec::new();
        for d in self.diagnostics.iter().filter(|d| d.severity == Severity::Error) {
            if !out.contains(&d.code.name()) {
                out.push(d.code.name());
            }
        }
        out
    }

    /// Errors and warnings as plain text.
    pub fn told(&self) -> String {
        self.diagnostics.iter().filter(|d| d.severity != Severity::Note).map(|d| self.tell(d)).collect()
    }

    /// Everything as plain text.
    pub fn all(&self) -> String {
        self.diagnostics.iter().map(|d| self.tell(d)).collect()
    }

    fn tell(&self, d: &Diagnostic) -> String {
        let mut out = format!("{}: {}\n", d.code.name(), d.message);
        for l in &d.labels {
            let (line, _) = self.sources.line_column(l.span.file, l.span.start);
            let text = self.sources.text(l.span).lines().next().unwrap_or_default();
            writeln!(out, "  {line}:`{text}`  {}", l.text).unwrap();
        }
        for (word, part) in [("help", &d.help), ("repair", &d.repair), ("note", &d.note)] {
            if let Some(part) = part {
                writeln!(out, "  {word}: {part}").unwrap();
            }
        }
        out
    }

    pub fn thing(&self, name: &str) -> &tasset::design::Thing {
        self.design.things.iter().find(|t| t.name.to_string() == name).unwrap_or_else(|| panic!("no thing {name}"))
    }
}

/// A solid laid flat, made into pieces and audited.
pub struct Cut {
    pub flat: Flat,
    pub pieces: Pieces,
    pub verdict: Verdict,
}

/// A solid as it is made, to be spoilt and judged.
#[derive(Clone)]
pub struct Spoilt {
    pub solid: Solid,
    pub flat: Flat,
    pub pieces: Pieces,
}

impl Spoilt {
    /// Of a whole text, without a mistake.
    #[track_caller]
    pub fn of(text: &str) -> Self {
        let checked = checked(text);
        assert!(checked.errors().is_empty(), "{}", checked.told());
        let shaped = shape(&checked.design);
        assert!(!shaped.diagnostics.has_errors(), "{:#?}", shaped.diagnostics);
        Self::cut(shaped.solid)
    }

    /// Lays a solid flat and makes its pieces, without a fault.
    #[track_caller]
    pub fn cut(solid: Solid) -> Self {
        let (flat, found) = develop(&solid);
        assert!(!found.has_errors(), "{found:#?}");
        let (pieces, found) = finish(&solid, &flat);
        assert!(!found.has_errors(), "{found:#?}");
        Self { solid, flat, pieces }
    }

    pub fn judged(&self) -> Verdict {
        audit(&self.solid, &self.flat, &self.pieces, None)
    }

    /// That the audit says so.
    #[track_caller]
    pub fn fails(&self, check: Check, about: &str) {
        let breaches = self.judged().breaches;
        assert!(breaches.iter().any(|b| b.check == check && b.what.contains(about)), "{breaches:#?}");
    }
}

/// Lays a solid flat, makes its pieces and audits them: all without a fault.
#[track_caller]
pub fn cut(solid: &Solid) -> Cut {
    let made = Spoilt::cut(solid.clone());
    let verdict = made.judged();
    assert!(verdict.passed(), "{:#?}", verdict.breaches);
    Cut { flat: made.flat, pieces: made.pieces, verdict }
}
