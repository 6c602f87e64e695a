//! The prop's file, what it uses, and the built-in shelf: read and parsed, each once.

use std::collections::{BTreeSet, VecDeque};

use super::errors;
use crate::ast;
use crate::check::Override;
use crate::diag::Diagnostics;
use crate::ids::FileId;
use crate::parse;
use crate::span::{At, Sources, Span};
use crate::stock;

/// Most files of one run, the prop's own included (LANGUAGE: 64 files).
const MOST_FILES: usize = 64;

/// Reads what `use` names. `from` and the name it gives are names as shown, of files it gave before.
pub trait Loader {
    /// The file that `path` means in the file `from`, or the prop's own file (`None`).
    ///
    /// # Errors
    /// Why it is not read.
    fn load(&mut self, from: Option<&str>, path: &str) -> Result<Loaded, Refusal>;
}

/// A file that was read.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// As shown in messages; two ways to one file give one name.
    pub name: String,
    pub text: String,
}

/// Why a file was not read.
#[derive(Clone, Debug)]
pub enum Refusal {
    NotThere,
    NotAFile,
    TooLarge,
    NotText {
        byte: usize,
    },
    /// An import that leads out of the prop's folder.
    Outside,
    /// The machine's own reason.
    Machine(String),
}

/// One parsed file.
pub struct Parsed {
    pub tree: ast::File,
    pub shelf: bool,
}

/// All texts of a run.
pub struct Run {
    pub sources: Sources,
    pub files: Vec<Parsed>,
    pub sets: Vec<Override>,
    pub diagnostics: Diagnostics,
}

/// Reads the prop's file `path`, everything it uses, and the shelf.
pub fn read(loader: &mut dyn Loader, path: &str, sets: &[(String, String)]) -> Run {
    let mut run =
        Run { sources: Sources::default(), files: Vec::new(), sets: Vec::new(), diagnostics: Diagnostics::new() };
    let mut known = BTreeSet::new();
    let mut waiting = VecDeque::new();
    match loader.load(None, path) {
        Ok(loaded) => {
            waiting.push_back(add(&mut run, &loaded.name, &loaded.text));
            known.insert(loaded.name);
        }
        Err(refusal) => run.diagnostics.push(errors::unreadable(path, &refusal, None)),
    }
    let mut full = false;
    while let Some((from, uses)) = waiting.pop_front() {
        for (path, span) in uses {
            match loader.load(Some(&from), &path) {
                Err(refusal) => run.diagnostics.push(errors::unreadable(&path, &refusal, Some(span))),
                Ok(loaded) if known.contains(&loaded.name) => {}
                Ok(_) if run.files.len() >= MOST_FILES => {
                    if !full {
                        run.diagnostics.push(errors::too_many_files(MOST_FILES, span));
                    }
                    full = true;
                }
                Ok(loaded) => {
                    known.insert(loaded.name.clone());
                    waiting.push_back(add(&mut run, &loaded.name, &loaded.text));
                }
            }
        }
    }
    for (setting, value) in sets {
        set(&mut run, setting, value);
    }
    let file = run.sources.add(stock::SHELF_NAME, stock::SHELF);
    let (tree, found) = parse::parse(stock::SHELF, file);
    run.diagnostics.extend(found);
    run.files.push(Parsed { tree, shelf: true });
    run
}

impl Run {
    /// The stock of a mock-up, as a source of its own: `--card`.
    pub fn card(&mut self, name: Option<&str>) -> ast::Name {
        let text = name.unwrap_or(super::CARD).to_owned();
        let file = self.sources.add(CARD_SOURCE, text.as_str());
        let span = Span::new(file, 0, text.len());
        At { value: text, span }
    }
}

/// What the text of `--card` is called.
pub const CARD_SOURCE: &str = "--card";

/// What a file uses: paths and where they stand.
type Uses = Vec<(String, Span)>;

fn add(run: &mut Run, name: &str, text: &str) -> (String, Uses) {
    let file = run.sources.add(name, text);
    let (tree, found) = parse::parse(text, file);
    run.diagnostics.extend(found);
    let uses = tree
        .sentences
        .iter()
        .filter_map(|s| match s {
            ast::Sentence::Use { path, .. } => Some((path.value.clone(), path.span)),
            _ => None,
        })
        .collect();
    run.files.push(Parsed { tree, shelf: false });
    (name.to_owned(), uses)
}

/// `--set setting=value`, read as the sentence `let setting = value` of a source of its own.
fn set(run: &mut Run, setting: &str, value: &str) {
    let text = format!("let {setting} = {value}");
    let file = run.sources.add(format!("--set {setting}"), text.as_str());
    let (mut tree, found) = parse::parse(&text, file);
    let faulty = found.has_errors();
    run.diagnostics.extend(found);
    match (tree.sentences.pop(), tree.sentences.is_empty()) {
        (Some(ast::Sentence::Let { value, params: None, .. }), true) => {
            run.sets.push(Override { name: setting.to_owned(), value });
        }
        _ if faulty => {}
        _ => run.diagnostics.push(errors::not_one_value(Span::new(file, 0, text.len()))),
    }
}

/// A default of the schema: a text of ours, so it parses.
pub fn value(text: &str) -> ast::Expr {
    let (mut tree, found) = parse::parse(&format!("let default = {text}"), FileId::new(0));
    debug_assert!(found.is_empty(), "a default of the schema parses: {text}");
    match tree.sentences.pop() {
        Some(ast::Sentence::Let { value, .. }) => value,
        _ => ast::Expr { node: ast::Node::Bad, span: Span::new(FileId::new(0), 0, 0) },
    }
}
