//! The table put together, and its look-ups. Rank 7.

use super::constructors::{
    BEVELS, DOME_MADE, FEET, MADE, OTHERS, OUTLINE_POINTS, PLATE_MADE, SEAMS, SECTIONS, SHAPES, SPINES,
};
use super::words::{FUNCTIONS, Operation, PLACE_WORDS, PlaceWord, RESERVED, SENTENCES, Sentence};
use super::{
    Built, Constructor, EDGE_FACTS, Fact, Family, Field, Kind, Named, SortWord, Type, edges, finishing, goods, joining,
    parts, people, wearing,
};
use crate::design;

/// Every kind, in the order of the manual.
pub const KINDS: &[&Kind] = &[
    &people::PROP,
    &people::WEARER,
    &goods::STOCK,
    &goods::SUPPLY,
    &goods::CUTTER,
    &goods::PAPER,
    &parts::SHELL,
    &parts::DOME,
    &parts::PLATE,
    &parts::CAP,
    &parts::KEEL,
    &parts::CORE,
    &edges::OPENING,
    &edges::EDGE,
    &edges::MARK,
    &edges::BORDER,
    &joining::LACING,
    &joining::CLOSURE,
    &joining::ARTICULATION,
    &wearing::ATTACHMENT,
    &wearing::STRAP,
    &wearing::CONTENTS,
    &wearing::HANG,
    &finishing::COVER,
    &finishing::FINISH,
    &finishing::LIMIT,
];

/// Every constructor, family by family.
pub const CONSTRUCTORS: &[&[Constructor]] =
    &[SECTIONS, SHAPES, OUTLINE_POINTS, SEAMS, SPINES, MADE, DOME_MADE, PLATE_MADE, BEVELS, FEET, OTHERS];

/// Every kind, in the order of the manual.
#[must_use]
pub fn kinds() -> &'static [&'static Kind] {
    KINDS
}

/// The kind of a word.
#[must_use]
pub fn kind(word: &str) -> Option<&'static Kind> {
    KINDS.iter().copied().find(|k| k.word == word)
}

/// The entry of a kind.
///
/// # Panics
/// Never: a test holds that every kind has its entry.
#[must_use]
pub fn kind_of(kind: design::Kind) -> &'static Kind {
    KINDS.iter().copied().find(|k| k.kind == kind).expect("every kind has its entry in the table")
}

/// Every word a thing may start with, `recipe` among them: for "did you mean".
pub fn kind_words() -> impl Iterator<Item = &'static str> {
    KINDS.iter().map(|k| k.word).chain(["recipe"])
}

/// Every constructor.
pub fn constructors() -> impl Iterator<Item = &'static Constructor> {
    CONSTRUCTORS.iter().flat_map(|c| c.iter())
}

/// The first constructor of a name, whatever its family.
#[must_use]
pub fn constructor(name: &str) -> Option<&'static Constructor> {
    constructors().find(|c| c.name == name)
}

/// The constructor of a name in a family.
#[must_use]
pub fn constructor_in(family: Family, name: &str) -> Option<&'static Constructor> {
    constructors().find(|c| c.family == family && c.name == name)
}

/// Every function of arithmetic.
#[must_use]
pub fn functions() -> &'static [Operation] {
    FUNCTIONS
}

/// The function of arithmetic of a name.
#[must_use]
pub fn function(name: &str) -> Option<&'static Operation> {
    FUNCTIONS.iter().find(|f| f.name == name)
}

/// Every word of place.
pub fn place_words() -> impl Iterator<Item = &'static PlaceWord> {
    PLACE_WORDS.iter()
}

/// The word of place of a name.
#[must_use]
pub fn place_word(word: &str) -> Option<&'static PlaceWord> {
    PLACE_WORDS.iter().find(|p| p.word == word)
}

/// The sentence of a word.
#[must_use]
pub fn sentence(word: &str) -> Option<&'static Sentence> {
    SENTENCES.iter().find(|s| s.word == word)
}

/// Whether a word can be no name, key or unit.
#[must_use]
pub fn is_reserved(word: &str) -> bool {
    RESERVED.contains(&word)
}

/// A fact of any edge.
#[must_use]
pub fn edge_fact(name: &str) -> Option<&'static Fact> {
    EDGE_FACTS.iter().find(|f| f.name == name)
}

impl Kind {
    /// The first field of a name, whatever sort it belongs to.
    #[must_use]
    pub fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields.iter().find(|f| f.name == name)
    }

    /// The field of a name for a thing of a sort: one that belongs to that sort before one that belongs to all.
    /// With no sort known, only what belongs to all.
    #[must_use]
    pub fn field_for(&self, name: &str, sort: Option<&str>) -> Option<&'static Field> {
        let own = |f: &&Field| f.name == name && sort.is_some_and(|s| f.sorts.contains(&s));
        self.fields.iter().find(own).or_else(|| self.fields.iter().find(|f| f.name == name && f.sorts.is_empty()))
    }

    /// The fields a thing of a sort may have, each name once.
    pub fn fields_for<'a>(&'a self, sort: Option<&'a str>) -> impl Iterator<Item = &'static Field> + 'a {
        self.fields.iter().filter(move |f| self.field_for(f.name, sort).is_some_and(|g| std::ptr::eq(g, *f)))
    }

    /// Its sorts, when it has an `as`.
    #[must_use]
    pub fn sorts(&self) -> &'static [SortWord] {
        match self.field("as").map(|f| f.ty) {
            Some(Type::Sort(sorts)) => sorts,
            _ => &[],
        }
    }

    /// The sort of a word.
    #[must_use]
    pub fn sort(&self, word: &str) -> Option<&'static SortWord> {
        self.sorts().iter().find(|s| s.word == word)
    }

    /// The fact of a name.
    #[must_use]
    pub fn fact(&self, name: &str) -> Option<&'static Fact> {
        self.facts.iter().find(|f| f.name == name)
    }

    /// The edge of a name.
    #[must_use]
    pub fn edge(&self, name: &str) -> Option<&'static Named> {
        self.edges.iter().find(|e| e.name == name)
    }
}

impl Constructor {
    /// The part of a name.
    #[must_use]
    pub fn part(&self, name: &str) -> Option<&'static Field> {
        self.parts.iter().find(|p| p.name == name)
    }
}

impl Built {
    /// Whether this version builds it.
    #[must_use]
    pub fn is_yes(self) -> bool {
        self == Self::Yes
    }
}
