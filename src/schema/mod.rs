//! THE table: every kind, sort, field, constructor and fact of the language, with its type, unit, default, legal
//! range, one-line doc and example. Read by the checker, "did you mean", the reference manual and, later,
//! completion. Rank 7; one file a family of kinds. A new kind or sort is its entry here and one lowering module.
//!
//! Look-ups: [`kind`], [`kind_of`], [`Kind::field_for`], [`Kind::fact`], [`constructor_in`], [`Constructor::part`],
//! [`function`], [`place_word`], [`edge_fact`]. Ranges and examples are in the language's own terms; bounds of a
//! [`Range`] are in inner units (mm, g, rad, s). Nothing here evaluates or checks a value.

mod constructors;
mod edges;
mod entry;
mod facts;
mod finishing;
mod goods;
mod joining;
mod parts;
mod people;
pub mod reference;
mod shared;
mod table;
mod wearing;
mod words;

#[cfg(test)]
mod tests;

pub use constructors::FULLNESS;
pub use facts::EDGE_FACTS;
pub use table::{
    CONSTRUCTORS, KINDS, constructor, constructor_in, constructors, edge_fact, function, functions, is_reserved, kind,
    kind_of, kind_words, kinds, place_word, place_words, sentence,
};
pub use words::{
    CONSTANTS, Constant, EXAMPLE_FILES, FUNCTIONS, Operation, PLACE_WORDS, PlaceWord, RESERVED, SENTENCES, STANDINS,
    Sense, Sentence,
};

use crate::design;
use crate::units::Dim;

/// One kind of thing.
#[derive(Debug)]
pub struct Kind {
    pub kind: design::Kind,
    /// What the maker does with it: the chapter of the manual.
    pub group: Group,
    /// As written: `shell`.
    pub word: &'static str,
    /// What it may stand on, in, over or beside.
    pub target: Target,
    /// One line.
    pub doc: &'static str,
    /// A whole small prop that uses it and compiles.
    pub example: &'static str,
    pub fields: &'static [Field],
    /// Sets of fields of which at least one must be given whole (`rise`, or `radius`); empty: no such demand.
    pub ways: &'static [&'static [&'static str]],
    /// Whether `at place: section` lines belong in it.
    pub stations: bool,
    pub edges: &'static [Named],
    pub facts: &'static [Fact],
    /// Whether this version turns it into pieces (or, for shelf kinds, reads it).
    pub built: Built,
}

/// What the maker does with a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Who it is for and what it is.
    People,
    /// What it is made of and with.
    Goods,
    /// The skin.
    Parts,
    /// Edges, holes and marks of the skin.
    Edges,
    /// What holds parts together or lets them move.
    Joining,
    /// How it hangs on a body and what it carries.
    Wearing,
    /// What goes over it, and what it must keep to.
    Finishing,
}

/// A name with its doc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Named {
    pub name: &'static str,
    pub doc: &'static str,
    pub built: Built,
}

/// Whether a kind, sort, field value or constructor is lowered by this version.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Built {
    Yes,
    /// Checked against the schema in full, then `not-built-yet`.
    NotYet,
}

/// What a kind may stand on.
#[derive(Clone, Copy, Debug)]
pub struct Target {
    pub required: bool,
    /// The prepositions allowed: `on`, `in`, `over`, `beside`.
    pub words: &'static [design::Relation],
    pub things: Hosts,
    /// Whether a list of targets may be given.
    pub many: bool,
}

/// What sort of target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hosts {
    /// No target at all.
    Nothing,
    /// Parts that have a skin: shell, dome, plate, cap, keel.
    Part,
    /// An edge of a part (or of several).
    Edge,
    PartOrEdge,
    /// A strap.
    Strap,
    /// Attachments (what a strap runs through).
    Attachment,
    StrapOrAttachment,
    /// A whole part, strap, closure or fill: anything that can be pointed at.
    Anything,
}

/// One field of a kind, or one part of a constructor. A name may stand in a kind more than once, each entry for
/// sorts of its own: see [`Kind::field_for`].
#[derive(Clone, Copy, Debug)]
pub struct Field {
    pub name: &'static str,
    pub ty: Type,
    pub need: Need,
    /// Checked when the value is reckoned.
    pub range: Range,
    /// The sorts (`as` words) it belongs to; empty: all.
    pub sorts: &'static [&'static str],
    pub doc: &'static str,
    /// An example value as written: `30 mm`.
    pub example: &'static str,
    /// Whether this version acts on it.
    pub built: Built,
}

/// Fields that several kinds share.
#[derive(Clone, Copy, Debug)]
pub struct FieldGroup {
    pub name: &'static str,
    pub doc: &'static str,
    pub fields: &'static [Field],
}

/// Must it be given, and what holds when it is not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    Required,
    /// A value in the language itself.
    Default(&'static str),
    /// In words, when the default comes from elsewhere: "the prop's", "the target's".
    From(&'static str),
    Optional,
}

/// The legal range of a number, in inner units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Range {
    Any,
    /// Above zero, up to a bound.
    Above0(f64),
    /// Zero or more, up to a bound.
    From0(f64),
    Within(f64, f64),
}

/// The type of a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Type {
    /// A quantity of one dimension.
    Of(Dim),
    /// One of several dimensions (a gap by length, angle or share; kg/m3 or g/m2).
    OneOf(&'static [Dim]),
    /// A whole number.
    Count,
    /// A bare number of the prop's currency, or `9.40 per m`.
    Money,
    Text,
    /// A text `YYYY-MM-DD`.
    Date,
    YesNo,
    /// One word of a list; each with its doc.
    Word(&'static [Named]),
    /// The `as` sort of a kind.
    Sort(&'static [SortWord]),
    /// A place along the target: a length, where `bottom`, `middle`, `top` are known.
    Level,
    /// A direction: an angle, where `front`, `left`, `back`, `right` are known.
    Direction,
    /// `inside`, `middle`, `outside` (and `both` where `both` is true).
    Face {
        both: bool,
    },
    /// A width, or `A by B`.
    Size,
    /// `A by B by C`.
    Size3,
    /// `across by up`, lengths.
    Spot,
    /// `direction by position` or `across by up`.
    SkinSpot,
    /// A constructor of a family.
    Make(Family),
    /// A thing of one of these kinds.
    Thing(&'static [design::Kind]),
    /// One or a list.
    OneOrList(&'static Type),
    List(&'static Type),
    /// Either of two types.
    Either(&'static Type, &'static Type),
}

/// A sort word: its doc and whether it is lowered yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SortWord {
    pub word: &'static str,
    pub doc: &'static str,
    pub built: Built,
}

/// Families of constructors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Family {
    /// What stands at a station of a shell, or is the base of a dome: its parts include how it is turned there.
    Section,
    /// The shape of an opening or a plate.
    Shape,
    Seam,
    Spine,
    /// How a shell is made.
    Made,
    /// How a dome is made.
    DomeMade,
    /// How a plate is made.
    PlateMade,
    /// How the edge of a plate is bevelled.
    Bevel,
    Foot,
    Neutral,
    Fill,
    /// `toward(…)` with lengths.
    Shift,
    /// `toward(…)` with angles.
    Tilt,
    OutlinePoint,
    /// `dressed(…)`: may stand wherever a length may, and gives one.
    Girth,
}

/// One constructor: `circle(across: 90 mm)`.
#[derive(Debug)]
pub struct Constructor {
    pub name: &'static str,
    pub family: Family,
    pub parts: &'static [Field],
    /// Sets of parts of which at least one must be given whole (`across`, or `around`); empty: no such demand.
    pub ways: &'static [&'static [&'static str]],
    pub doc: &'static str,
    pub example: &'static str,
    pub built: Built,
}

/// When a fact is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// From the geometry: fields that shape or place things may read it.
    Solid,
    /// After the plan: only `require`, `limit`, `hang`, `contents`.
    Made,
}

/// A measured fact, asked for by the word that gives it.
#[derive(Clone, Copy, Debug)]
pub struct Fact {
    pub name: &'static str,
    pub dim: Dim,
    /// Whether a face may be named: `body.top.inside.around`.
    pub faces: bool,
    pub stage: Stage,
    pub doc: &'static str,
}
