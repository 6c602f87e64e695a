//! All that the manual says of one word. Rank 7.

use std::collections::BTreeSet;

use super::block::Block;
use super::entry::{self, Shared, lower};
use super::manual::{self, heading};
use super::speech::{marked, of_need, of_range, of_type};
use crate::diag::Code;
use crate::schema::{
    CONSTANTS, EDGE_FACTS, FUNCTIONS, Field, PLACE_WORDS, RESERVED, SENTENCES, STANDINS, Type, constructors, kinds,
};
use crate::stock;
use crate::units::UNITS;

/// Every word that [`about`] says something of.
pub(super) fn all() -> BTreeSet<&'static str> {
    let mut out: BTreeSet<&'static str> = BTreeSet::new();
    for k in kinds() {
        out.insert(k.word);
        out.extend(k.fields.iter().map(|f| f.name));
        out.extend(k.facts.iter().map(|f| f.name));
        out.extend(k.edges.iter().map(|e| e.name));
        k.fields.iter().for_each(|f| choices(&f.ty, &mut |w, _| out.extend([w])));
    }
    for c in constructors() {
        out.insert(c.name);
        out.extend(c.parts.iter().map(|f| f.name));
        c.parts.iter().for_each(|f| choices(&f.ty, &mut |w, _| out.extend([w])));
    }
    out.extend(EDGE_FACTS.iter().map(|f| f.name));
    out.extend(SENTENCES.iter().map(|s| s.word));
    out.extend(RESERVED);
    out.extend(PLACE_WORDS.iter().map(|p| p.word));
    out.extend(CONSTANTS.iter().chain(STANDINS).map(|c| c.word));
    out.extend(FUNCTIONS.iter().map(|f| f.name));
    out.extend(UNITS.iter().map(|u| u.word));
    out.extend(Code::ALL.iter().map(|c| c.name()));
    out.extend(shelf().map(|(_, name, _)| name));
    out.extend(manual::making().into_iter().map(|(word, _)| word));
    out
}

/// Every word of a choice, with what it means.
fn choices(ty: &Type, found: &mut impl FnMut(&'static str, String)) {
    match ty {
        Type::Word(words) => words.iter().for_each(|w| found(w.name, marked(&lower(w.doc), w.built))),
        Type::Sort(sorts) => sorts.iter().for_each(|s| found(s.word, marked(&lower(s.doc), s.built))),
        Type::OneOrList(ty) | Type::List(ty) => choices(ty, found),
        Type::Either(a, b) => {
            choices(a, found);
            choices(b, found);
        }
        _ => {}
    }
}

/// The things of the shelf: kind, name, text.
pub(super) fn shelf() -> impl Iterator<Item = (&'static str, &'static str, &'static str)> {
    let text = stock::SHELF;
    let mut from = 0;
    text.split_inclusive('\n').filter_map(move |line| {
        let start = from;
        from += line.len();
        let mut words = line.split_whitespace();
        let kind = words.next().filter(|w| crate::schema::kind(w).is_some())?;
        let name = words.next()?;
        // To the brace that closes it: the shelf nests none.
        let end = text[start..].find('}').map_or(text.len(), |i| start + i + 1);
        Some((kind, name, &text[start..end]))
    })
}

/// All that is said of a word; nothing when it is no word of the language.
pub(super) fn about(word: &str) -> Vec<Block> {
    let mut out = Vec::new();
    for k in kinds().iter().filter(|k| k.word == word) {
        out.extend(entry::of_kind(k, 3, Shared::WrittenOut));
    }
    for s in SENTENCES.iter().filter(|s| s.word == word) {
        out.extend(entry::of_sentence(s, 3));
    }
    for c in constructors().filter(|c| c.name == word) {
        out.extend(entry::of_constructor(c, 3));
    }
    out.extend(listed("a field", fields(word)));
    out.extend(listed("a word of a choice", choice(word)));
    out.extend(listed("an edge", edges(word)));
    out.extend(facts(word));
    out.extend(listed("a word of the language", plain_words(word)));
    let functions: Vec<_> = FUNCTIONS.iter().filter(|f| f.name == word).collect();
    if !functions.is_empty() {
        out.extend([heading(3, &format!("`{word}`: a function")), entry::functions(functions.into_iter())]);
    }
    for (_, _, text) in shelf().filter(|(_, name, _)| *name == word) {
        out.extend([heading(3, &format!("`{word}`: on the built-in shelf")), Block::Code(format!("{text}\n"))]);
    }
    out.extend(manual::making().into_iter().filter(|(w, _)| *w == word).flat_map(|(_, said)| said));
    for code in Code::ALL.iter().filter(|c| c.name() == word) {
        out.extend([heading(3, &format!("`{word}`: a message")), Block::Para(code.explanation().to_owned())]);
    }
    out
}

/// The fact of a name, of every kind that has it, and of edges.
fn facts(word: &str) -> Vec<Block> {
    let of_kinds = kinds().iter().filter_map(|k| Some((k.word, k.fact(word)?)));
    let of_edges = EDGE_FACTS.iter().filter(|f| f.name == word).map(|f| ("EDGE", f));
    let tables: Vec<Block> =
        of_kinds.chain(of_edges).map(|(of, f)| entry::facts(&format!("{}.", of.to_uppercase()), &[*f])).collect();
    let head = tables.first().map(|_| heading(3, &format!("`{word}`: a fact")));
    head.into_iter().chain(tables).collect()
}

fn listed(what: &str, lines: Vec<String>) -> Vec<Block> {
    let Some(word) = lines.first().and_then(|l| l.split('`').nth(1)) else { return Vec::new() };
    vec![heading(3, &format!("`{word}`: {what}")), Block::List(lines)]
}

/// What is said of a word once, and of whom.
#[derive(Default)]
struct Said {
    lines: Vec<(String, Vec<String>)>,
}

impl Said {
    fn add(&mut self, what: String, owner: String) {
        match self.lines.iter_mut().find(|(w, _)| *w == what) {
            Some((_, owners)) if owners.contains(&owner) => {}
            Some((_, owners)) => owners.push(owner),
            None => self.lines.push((what, vec![owner])),
        }
    }
}

/// What a field says, with what holds when it is left out and what it may be.
fn fields(word: &str) -> Vec<String> {
    let mut said = Said::default();
    let mut add = |owner: &str, f: &Field| {
        let range = of_range(f);
        let range = if range.is_empty() { range } else { format!("; {range}") };
        let text = format!("{}; {}; default: {}{range}", lower(f.doc), of_type(&f.ty), of_need(f.need));
        let sorts = if f.sorts.is_empty() { String::new() } else { format!(" ({})", f.sorts.join(", ")) };
        said.add(marked(&text, f.built), format!("`{owner}`{sorts}"));
    };
    kinds().iter().for_each(|k| k.fields.iter().filter(|f| f.name == word).for_each(|f| add(k.word, f)));
    constructors().for_each(|c| c.parts.iter().filter(|f| f.name == word).for_each(|f| add(c.name, f)));
    said.lines.into_iter().map(|(what, owners)| format!("`{word}` of {}: {what}", owners.join(", "))).collect()
}

fn choice(word: &str) -> Vec<String> {
    let mut said = Said::default();
    let mut look = |owner: &str, f: &Field| {
        choices(&f.ty, &mut |w, doc| {
            if w == word {
                said.add(format!("`{}`: {doc}", f.name), format!("`{owner}`"));
            }
        });
    };
    kinds().iter().for_each(|k| k.fields.iter().for_each(|f| look(k.word, f)));
    constructors().for_each(|c| c.parts.iter().for_each(|f| look(c.name, f)));
    let line = |(what, owners): (String, Vec<String>)| format!("`{word}` of {}, for {what}", owners.join(", "));
    said.lines.into_iter().map(line).collect()
}

fn edges(word: &str) -> Vec<String> {
    kinds().iter().filter_map(|k| k.edge(word).map(|e| format!("`{word}` of `{}`: {}", k.word, lower(e.doc)))).collect()
}

fn plain_words(word: &str) -> Vec<String> {
    let mut out = Vec::new();
    out.extend(PLACE_WORDS.iter().filter(|p| p.word == word).map(|p| format!("`{word}`: {}", lower(p.doc))));
    out.extend(
        CONSTANTS.iter().chain(STANDINS).filter(|c| c.word == word).map(|c| format!("`{word}`: {}", lower(c.doc))),
    );
    out.extend(UNITS.iter().filter(|u| u.word == word).map(|u| match u.word {
        "%" => "`%`: a unit, a hundredth".to_owned(),
        _ => format!("`{word}`: a unit, of {}", u.dim),
    }));
    if RESERVED.contains(&word) {
        out.push(format!("`{word}` is reserved: never a name, a key or a unit"));
    }
    out
}
