//! What was meant: every thing of the prop after recipes, loops and choices, its names resolved and its values
//! typed but not yet reckoned (a value may wait for a fact of the geometry). Rank 5: plain data.

use std::collections::BTreeMap;
use std::fmt;

use crate::ids::{LetId, ThingId};
use crate::span::{At, Span};
use crate::units::Quantity;

/// The kinds of the language; `schema` says what each may hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    Prop,
    Wearer,
    Stock,
    Supply,
    Cutter,
    Paper,
    Shell,
    Dome,
    Plate,
    Cap,
    Keel,
    Core,
    Opening,
    Edge,
    Mark,
    Border,
    Lacing,
    Cover,
    Attachment,
    Strap,
    Closure,
    Articulation,
    Contents,
    Hang,
    Finish,
    Limit,
}

/// A thing's name: `lame[2]`, or `body`. Things made by a recipe carry the use's name in front: `port.eye`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ThingName {
    pub base: String,
    pub index: Option<i64>,
}

impl fmt::Display for ThingName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.index {
            Some(i) => write!(f, "{}[{i}]", self.base),
            None => f.write_str(&self.base),
        }
    }
}

/// One of a mirrored pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hand {
    Left,
    Right,
}

/// A face of sheet goods.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    Inside,
    Middle,
    Outside,
}

/// Something a value or target speaks of: a thing, one of its edges, one of a pair.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Anchor {
    pub thing: ThingId,
    /// `bottom`, `top`, `seam`, `edges`, or an edge of its kind.
    pub edge: Option<&'static str>,
    pub hand: Option<Hand>,
}

/// How a thing relates to its target.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Relation {
    On,
    In,
    Over,
    Beside,
}

/// What a thing stands on, in or over.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    pub relation: Relation,
    /// In the order written; a name of several stands here as all of them.
    pub anchors: Vec<Anchor>,
    pub span: Span,
}

/// One thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    pub id: ThingId,
    pub kind: Kind,
    pub name: ThingName,
    /// The word of its `as` field, where its kind has sorts.
    pub sort: Option<&'static str>,
    pub target: Option<Target>,
    /// The fields that were written, and those taken over from the prop (`written` is false), by name. Other
    /// defaults stand once for all in [`Design::defaults`]; [`Design::field`] reads both.
    pub fields: BTreeMap<&'static str, Field>,
    /// The stations of a shell, in the order written.
    pub stations: Vec<Station>,
    /// Kind, name and target: what a message underlines.
    pub head: Span,
    /// From the kind to the closing brace.
    pub span: Span,
    /// A fault was found in it or in what it depends on: it is skipped, silently.
    pub poisoned: bool,
    /// Whether this version turns it into pieces; false too when it depends on a thing that is not built.
    pub built: bool,
    /// The measures of wearers that its values read, themselves or through others: `head_around`. Values that are known
    /// from the text stand as figures in the fields, so this is where it shows whose body it is made to.
    pub measures: Vec<&'static str>,
}

impl Thing {
    /// The written value of a field.
    #[must_use]
    pub fn field(&self, name: &str) -> Option<&Field> {
        self.fields.get(name)
    }
}

/// A written field: where its key stands, and its typed value.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    pub key: Span,
    pub value: Expr,
    /// False when it was taken over from the prop.
    pub written: bool,
}

/// `at place: section`
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    pub place: Places,
    pub section: Expr,
    pub span: Span,
}

impl Station {
    /// Its values: the place or both ends of the stretch, then the section.
    #[must_use]
    pub fn values(&self) -> Vec<&Expr> {
        match &self.place {
            Places::One(at) => vec![at, &self.section],
            Places::Stretch(from, to) => vec![from, to, &self.section],
        }
    }

    /// The same, to be changed.
    #[must_use]
    pub fn values_mut(&mut self) -> Vec<&mut Expr> {
        match &mut self.place {
            Places::One(at) => vec![at, &mut self.section],
            Places::Stretch(from, to) => vec![from, to, &mut self.section],
        }
    }
}

/// One place along a shell, or a stretch with both ends in.
#[derive(Clone, Debug, PartialEq)]
pub enum Places {
    One(Expr),
    Stretch(Expr, Expr),
}

/// A named value or function.
#[derive(Clone, Debug, PartialEq)]
pub struct Let {
    pub name: At<String>,
    /// How many parameters; none for a plain value or a setting.
    pub params: usize,
    pub value: Expr,
    /// A setting: its doc. The value is the one in force (a command line may have replaced it).
    pub setting: Option<Setting>,
    pub poisoned: bool,
}

/// What a setting is for, and whether the command line set it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    pub doc: Option<String>,
    pub overridden: bool,
}

/// `require value "message"`
#[derive(Clone, Debug, PartialEq)]
pub struct Require {
    pub value: Expr,
    pub message: String,
    pub span: Span,
    /// Reads a `made` fact, so it is answered after the plan.
    pub late: bool,
    /// A fault was found in it or in what it reads.
    pub poisoned: bool,
}

/// A place word along a target: its first station, its half-way, its last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Place {
    Bottom,
    Middle,
    Top,
}

/// A typed value, not yet reckoned.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    pub node: Node,
    pub span: Span,
}

/// The expressions that a node is made of, in the order written: by reference, or to be changed.
macro_rules! children {
    ($node:expr, $each:ident) => {
        match $node {
            Node::Quantity(_)
            | Node::Price(..)
            | Node::Text(_)
            | Node::Bool(_)
            | Node::Word(_)
            | Node::Place(_)
            | Node::Things(_)
            | Node::FieldOf(..)
            | Node::Fact { .. }
            | Node::Let(_)
            | Node::Param(_)
            | Node::Poison => Vec::new(),
            Node::Make { parts, .. } => parts.$each().map(|(_, e)| e).collect(),
            Node::List(items) | Node::By(items) => items.$each().collect(),
            Node::Apply { arguments, .. } | Node::Call { arguments, .. } => arguments.$each().collect(),
            Node::Minus(inner) | Node::Not(inner) | Node::Bounded { value: inner, .. } => vec![inner],
            Node::Binary { left, right, .. } => vec![left, right],
            Node::If { condition, then, otherwise } => vec![condition, then, otherwise],
            Node::Item { of, index } => vec![of, index],
        }
    };
}

impl Expr {
    /// The expressions it is made of, in the order written; what a name stands for is not among them.
    #[must_use]
    pub fn children(&self) -> Vec<&Self> {
        children!(&self.node, iter)
    }

    /// The same, to be changed.
    #[must_use]
    pub fn children_mut(&mut self) -> Vec<&mut Self> {
        children!(&mut self.node, iter_mut)
    }
}

#[derive(Clone, Debug, PartialEq)]
pub enum Node {
    Quantity(Quantity),
    /// Money per unit of goods: `9.40 per m` is (9.40, one metre).
    Price(f64, Quantity),
    Text(String),
    Bool(bool),
    /// A word of a choice: a sort, `inside`, `mirrored` …
    Word(&'static str),
    /// `bottom`, `middle`, `top` of what this thing stands on (of the shell itself in a station).
    Place(Place),
    /// A constructor with its parts by name: those written, then the schema's defaults of the others.
    Make {
        name: &'static str,
        parts: Vec<(&'static str, Expr)>,
    },
    /// Things or edges, as a value.
    Things(Vec<Anchor>),
    List(Vec<Expr>),
    /// `a by b (by c)`
    By(Vec<Expr>),
    /// A field of a thing: `wearer.height`, `foam5.thick`.
    FieldOf(ThingId, &'static str),
    /// A measured fact of the solid or of what is made: `body.top.inside.around`.
    Fact {
        of: Anchor,
        face: Option<Face>,
        name: &'static str,
    },
    Let(LetId),
    /// A parameter of the function this stands in, from 0.
    Param(usize),
    Apply {
        function: LetId,
        arguments: Vec<Expr>,
    },
    /// A built-in function of arithmetic.
    Call {
        function: Function,
        arguments: Vec<Expr>,
    },
    Minus(Box<Expr>),
    Not(Box<Expr>),
    Binary {
        op: Binary,
        left: Box<Expr>,
        right: Box<Expr>,
    },
    If {
        condition: Box<Expr>,
        then: Box<Expr>,
        otherwise: Box<Expr>,
    },
    /// One of a list, counted from 1.
    Item {
        of: Box<Expr>,
        index: Box<Expr>,
    },
    /// A value that is known only when it is reckoned and has to lie within bounds then.
    Bounded {
        value: Box<Expr>,
        bounds: Bounds,
    },
    /// Already reported.
    Poison,
}

/// The legal range of a number, in inner units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The field or part it is for: `across`.
    pub name: &'static str,
    pub low: f64,
    /// Whether `low` itself is legal.
    pub low_in: bool,
    pub high: f64,
    /// A count: whole numbers only.
    pub whole: bool,
}

impl Bounds {
    /// Whether `x` lies within (and is whole, where that is asked).
    #[must_use]
    pub fn hold(&self, x: f64) -> bool {
        (if self.low_in { x >= self.low } else { x > self.low }) && x <= self.high && (!self.whole || x.fract() == 0.0)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Binary {
    Power,
    Times,
    Over,
    Plus,
    Minus,
    AtMost,
    AtLeast,
    Equal,
    NotEqual,
    Less,
    Greater,
    And,
    Or,
}

/// The functions of arithmetic.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Function {
    Min,
    Max,
    Abs,
    Sqrt,
    Sin,
    Cos,
    Tan,
    Atan2,
    Clamp,
    Sum,
    Count,
    Median,
    Nearest,
    NextUp,
    NextDown,
}

/// A reckoned value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    Quantity(Quantity),
    Price(f64, Quantity),
    Text(String),
    Bool(bool),
    Word(&'static str),
    /// `a by b (by c)`: a size or a spot.
    By(Vec<Quantity>),
    List(Vec<Value>),
    Made(Made),
    Things(Vec<Anchor>),
}

/// A constructor's value: the parts given and those the schema fills in.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    pub name: &'static str,
    pub parts: BTreeMap<&'static str, Value>,
    pub span: Span,
}

/// What is reckoned next: the order respects every use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    Let(LetId),
    Thing(ThingId),
    /// The index into `Design::requires`.
    Require(usize),
}

/// The whole of one run: one prop for one wearer.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Design {
    pub things: Vec<Thing>,
    pub lets: Vec<Let>,
    pub requires: Vec<Require>,
    pub order: Vec<Step>,
    pub prop: Option<ThingId>,
    /// The wearer of this run.
    pub wearer: Option<ThingId>,
    /// The stock of a mock-up, when one is asked for.
    pub card: Option<ThingId>,
    /// The names of all wearers of the prop, in the order written: one run each.
    pub wearers: Vec<String>,
    /// The schema's defaults for each kind (and sort) that stands in the design, typed once. Their spans mean
    /// nothing: a message about a default underlines the thing's head. (A constructor's parts hold their defaults
    /// themselves: `Node::Make`.)
    pub defaults: BTreeMap<(Kind, Option<&'static str>), BTreeMap<&'static str, Expr>>,
}

impl Design {
    #[must_use]
    pub fn thing(&self, id: ThingId) -> &Thing {
        &self.things[id.index()]
    }

    /// The value of a thing's field: as written, taken over from the prop, or the schema's default.
    #[must_use]
    pub fn field(&self, id: ThingId, name: &str) -> Option<&Expr> {
        let thing = self.thing(id);
        match thing.fields.get(name) {
            Some(field) => Some(&field.value),
            None => self.defaults.get(&(thing.kind, thing.sort))?.get(name),
        }
    }

    #[must_use]
    pub fn value(&self, id: LetId) -> &Let {
        &self.lets[id.index()]
    }
}
