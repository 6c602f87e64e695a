//! The manual put together: chapters of prose and what the table says, in order. Rank 7.

use super::block::{Block, read};
use super::entry::{self, Shared};
use super::speech::{of_family, of_group};
use crate::diag::Code;
use crate::schema::shared::GROUPS;
use crate::schema::{
    CONSTANTS, EDGE_FACTS, FUNCTIONS, Family, Group, PLACE_WORDS, RESERVED, SENTENCES, STANDINS, constructors, kinds,
};
use crate::stock;
use crate::units::{Dim, UNITS};

const PRINCIPLES: &str = include_str!("principles.md");
const FRAME: &str = include_str!("frame.md");
const WRITING: &str = include_str!("writing.md");
const PLACING: &str = include_str!("placing.md");
const FACTS: &str = include_str!("facts.md");
const MAKING: &str = include_str!("making.md");
const SHELF: &str = include_str!("shelf.md");
const DECISIONS: &str = include_str!("decisions.md");

const GROUP_ORDER: &[Group] =
    &[Group::People, Group::Goods, Group::Parts, Group::Edges, Group::Joining, Group::Wearing, Group::Finishing];

const FAMILY_ORDER: &[Family] = &[
    Family::Section,
    Family::Shape,
    Family::OutlinePoint,
    Family::Seam,
    Family::Spine,
    Family::Made,
    Family::DomeMade,
    Family::PlateMade,
    Family::Bevel,
    Family::Foot,
    Family::Neutral,
    Family::Fill,
    Family::Shift,
    Family::Tilt,
    Family::Girth,
];

/// Every chapter.
pub(super) fn whole() -> Vec<Block> {
    let mut out = read(PRINCIPLES);
    out.extend(read(FRAME));
    out.extend(read(WRITING));
    out.extend(words());
    out.extend(sentences());
    out.extend(read(PLACING));
    out.extend(groups());
    out.extend(read(FACTS));
    out.push(entry::facts("EDGE.", EDGE_FACTS));
    for group in GROUP_ORDER {
        out.push(heading(2, of_group(*group)));
        for kind in kinds().iter().filter(|k| k.group == *group) {
            out.extend(entry::of_kind(kind, 3, Shared::Named));
        }
    }
    out.push(heading(2, "Values with parts"));
    let how = "A value with parts is written `name(part: value, …)`, every part by its name and in any order; with no part given it is the bare word. Where a name stands for several things, the field it is the value of says which is meant.";
    out.push(Block::Para(how.to_owned()));
    for family in FAMILY_ORDER {
        out.push(heading(3, &title(of_family(*family))));
        for c in constructors().filter(|c| c.family == *family) {
            out.extend(entry::of_constructor(c, 4));
        }
    }
    out.extend(read(MAKING));
    out.extend(read(SHELF));
    out.push(Block::Code(stock::SHELF.to_owned()));
    out.extend(codes());
    out.extend(read(DECISIONS));
    out
}

/// The sections of what the command makes that are called by a word, each with its heading.
pub(super) fn making() -> Vec<(&'static str, Vec<Block>)> {
    let mut out: Vec<(&'static str, Vec<Block>)> = Vec::new();
    for part in MAKING.split("\n### ").skip(1) {
        if let Some((word, _)) = part.strip_prefix('`').and_then(|p| p.split_once('`')) {
            out.push((word, read(&format!("### {part}"))));
        }
    }
    out
}

/// `a section` as a heading: `Section`.
fn title(family: &str) -> String {
    let bare = family.strip_prefix("a ").or(family.strip_prefix("an ")).unwrap_or(family);
    let mut chars = bare.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

pub(super) fn heading(depth: usize, text: &str) -> Block {
    Block::Heading(depth, text.to_owned())
}

fn table(head: &[&str], rows: Vec<Vec<String>>) -> Block {
    Block::Table { head: head.iter().map(|h| (*h).to_owned()).collect(), rows }
}

/// Units, reserved words, words of place, constants, functions.
fn words() -> Vec<Block> {
    let reserved: Vec<String> = RESERVED.iter().map(|w| format!("`{w}`")).collect();
    vec![
        heading(3, "Units"),
        units(),
        heading(3, "Reserved words"),
        Block::Para(format!("Never names, keys or units: {}.", reserved.join(" "))),
        heading(3, "Words of place"),
        Block::Para("Never names. What each means:".to_owned()),
        table(&["word", "what"], PLACE_WORDS.iter().map(|p| pair(p.word, p.doc)).collect()),
        heading(3, "Words that are known"),
        table(&["word", "what"], CONSTANTS.iter().chain(STANDINS).map(|c| pair(c.word, c.doc)).collect()),
        heading(3, "Functions"),
        entry::functions(FUNCTIONS.iter()),
    ]
}

fn pair(word: &str, doc: &str) -> Vec<String> {
    vec![format!("`{word}`"), doc.to_owned()]
}

/// Every unit: what it measures and what one of it is.
pub(super) fn units() -> Block {
    let base = |dim: Dim| UNITS.iter().find(|u| u.dim == dim).map_or("", |u| u.word);
    let row = |u: &crate::units::Unit| {
        let (what, worth) = match u.dim {
            Dim::NONE => ("a share".to_owned(), format!("{}", u.factor)),
            Dim::ANGLE => (u.dim.to_string(), "a 360th of a turn".to_owned()),
            dim => {
                let first = UNITS.iter().find(|v| v.dim == dim).map_or(1.0, |v| v.factor);
                (dim.to_string(), format!("{} {}", u.factor / first, base(dim)))
            }
        };
        vec![format!("`{}`", u.word), what, worth]
    };
    table(&["unit", "is", "worth"], UNITS.iter().map(row).collect())
}

fn sentences() -> Vec<Block> {
    let mut out = vec![heading(3, "Sentences")];
    for s in SENTENCES {
        out.extend(entry::of_sentence(s, 4));
    }
    out
}

fn groups() -> Vec<Block> {
    let mut out = vec![heading(3, "Shared fields")];
    for g in GROUPS {
        out.push(heading(4, g.name));
        out.push(Block::Para(format!("{}: {}.", g.name, g.doc)));
        out.extend(entry::fields("field", g.fields.iter()));
        out.extend(entry::words_of(g.fields.iter()));
    }
    out
}

fn codes() -> Vec<Block> {
    let mut out = vec![heading(2, "Messages")];
    let how = "Every message has a code; `tasset explain CODE` prints what is said here.";
    out.push(Block::Para(how.to_owned()));
    for code in Code::ALL {
        out.push(heading(4, &format!("`{}`", code.name())));
        out.push(Block::Para(code.explanation().to_owned()));
    }
    out
}
