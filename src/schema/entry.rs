//! Small `const` builders, so that an entry of the table reads as a line. Rank 7, private to the schema.

use super::{Built, Field, Named, Need, Range, SortWord, Target, Type};
use crate::design::Relation;
use crate::schema::Hosts;

/// A field that must be given.
pub(super) const fn must(name: &'static str, ty: Type, example: &'static str, doc: &'static str) -> Field {
    Field { name, ty, need: Need::Required, range: Range::Any, sorts: &[], doc, example, built: Built::Yes }
}

/// A field that may be left out, and nothing holds then.
pub(super) const fn may(name: &'static str, ty: Type, example: &'static str, doc: &'static str) -> Field {
    Field { need: Need::Optional, ..must(name, ty, example, doc) }
}

/// A field with a default written in the language; the default is its example too.
pub(super) const fn or(name: &'static str, ty: Type, default: &'static str, doc: &'static str) -> Field {
    Field { need: Need::Default(default), ..must(name, ty, default, doc) }
}

/// A field whose default comes from elsewhere, said in words.
pub(super) const fn else_from(
    name: &'static str,
    ty: Type,
    from: &'static str,
    example: &'static str,
    doc: &'static str,
) -> Field {
    Field { need: Need::From(from), ..must(name, ty, example, doc) }
}

impl Field {
    pub(super) const fn range(self, range: Range) -> Self {
        Self { range, ..self }
    }

    /// Above zero, up to `most`.
    pub(super) const fn above0(self, most: f64) -> Self {
        self.range(Range::Above0(most))
    }

    /// Zero or more, up to `most`.
    pub(super) const fn from0(self, most: f64) -> Self {
        self.range(Range::From0(most))
    }

    pub(super) const fn within(self, least: f64, most: f64) -> Self {
        self.range(Range::Within(least, most))
    }

    pub(super) const fn sorts(self, sorts: &'static [&'static str]) -> Self {
        Self { sorts, ..self }
    }

    pub(super) const fn not_yet(self) -> Self {
        Self { built: Built::NotYet, ..self }
    }

    /// Another doc, where a kind means a shared field in a way of its own.
    pub(super) const fn doc(self, doc: &'static str) -> Self {
        Self { doc, ..self }
    }
}

/// A word of a choice.
pub(super) const fn word(name: &'static str, doc: &'static str) -> Named {
    Named { name, doc, built: Built::Yes }
}

impl Named {
    pub(super) const fn not_yet(self) -> Self {
        Self { built: Built::NotYet, ..self }
    }
}

/// A sort this version lowers (or, for goods, reads).
pub(super) const fn sort(word: &'static str, doc: &'static str) -> SortWord {
    SortWord { word, doc, built: Built::Yes }
}

impl SortWord {
    pub(super) const fn not_yet(self) -> Self {
        Self { built: Built::NotYet, ..self }
    }
}

/// No target at all.
pub(super) const NOWHERE: Target = Target { required: false, words: &[], things: Hosts::Nothing, many: false };

/// `on` one or several of `things`, required.
pub(super) const fn on(things: Hosts, many: bool) -> Target {
    Target { required: true, words: &[Relation::On], things, many }
}

/// Anywhere: `on`, `in`, `over`, `beside` a part or an edge, or free.
pub(super) const ANYWHERE: Target = Target {
    required: false,
    words: &[Relation::On, Relation::In, Relation::Over, Relation::Beside],
    things: Hosts::PartOrEdge,
    many: false,
};

/// How many fields all groups hold.
pub(super) const fn total(groups: &[&[Field]]) -> usize {
    let (mut n, mut i) = (0, 0);
    while i < groups.len() {
        n += groups[i].len();
        i += 1;
    }
    n
}

/// The groups one after the other; `N` is their [`total`].
pub(super) const fn join<const N: usize>(groups: &[&[Field]]) -> [Field; N] {
    let mut all = [groups[0][0]; N];
    let (mut n, mut i) = (0, 0);
    while i < groups.len() {
        let mut j = 0;
        while j < groups[i].len() {
            all[n] = groups[i][j];
            n += 1;
            j += 1;
        }
        i += 1;
    }
    all
}

/// Shared groups of fields and a kind's own, as one constant slice.
macro_rules! fields {
    ($($group:expr),+ $(,)?) => {{
        const GROUPS: &[&[$crate::schema::Field]] = &[$($group),+];
        const ALL: [$crate::schema::Field; $crate::schema::entry::total(GROUPS)] = $crate::schema::entry::join(GROUPS);
        &ALL
    }};
}
pub(super) use fields;

/// The example of a kind: a whole small prop in a file of its own.
macro_rules! example {
    ($word:literal) => {
        include_str!(concat!("examples/", $word, ".prop"))
    };
}
pub(super) use example;
