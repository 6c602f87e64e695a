//! What was written: the tree of one file, with the place of every word. Rank 5: plain data.
//!
//! A file always has a tree; a stretch that could not be read stands in it as a `Bad` node (its diagnostic is
//! already made), so later phases can go on with the rest.

use crate::span::{At, Span};

/// A name as written.
pub type Name = At<String>;

/// One file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct File {
    pub sentences: Vec<Sentence>,
    /// Every comment, in order: the formatter puts them back.
    pub comments: Vec<Comment>,
}

/// `# text`, without its line end.
#[derive(Clone, Debug, PartialEq)]
pub struct Comment {
    pub span: Span,
    /// Whether something else stands before it on its line.
    pub trailing: bool,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Sentence {
    /// `use "file.prop"`
    Use {
        path: At<String>,
        span: Span,
    },
    /// `let name = value` or `let name(a, b) = value`
    Let {
        name: Name,
        params: Option<Vec<Name>>,
        value: Expr,
        span: Span,
    },
    /// `setting name = value "why"`
    Setting {
        name: Name,
        value: Expr,
        doc: Option<At<String>>,
        span: Span,
    },
    /// `require value "message"`
    Require {
        value: Expr,
        message: At<String>,
        span: Span,
    },
    For(For),
    If(If),
    Thing(Thing),
    /// Could not be read.
    Bad(Span),
}

/// `for name in source { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct For {
    pub name: Name,
    pub source: Range,
    pub body: Block,
    pub span: Span,
}

/// A stretch with both ends in, or one value.
#[derive(Clone, Debug, PartialEq)]
pub enum Range {
    Stretch(Expr, Expr),
    Value(Expr),
}

/// `if value { … } else …`
#[derive(Clone, Debug, PartialEq)]
pub struct If {
    pub condition: Expr,
    pub then: Block,
    /// An `else if` is a block of one `if` sentence.
    pub otherwise: Option<Block>,
    pub span: Span,
}

/// `kind name[index] on target { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    pub kind: Name,
    pub name: Name,
    pub index: Option<Expr>,
    pub target: Option<Target>,
    pub body: Block,
    /// From the kind to the closing brace.
    pub span: Span,
}

impl Thing {
    /// `kind name [on target]`, without the block: what a message underlines.
    #[must_use]
    pub fn head(&self) -> Span {
        let end = self.target.as_ref().map_or(self.index.as_ref().map_or(self.name.span, |i| i.span), |t| t.value.span);
        self.kind.span.to(end)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Preposition {
    On,
    In,
    Over,
    Beside,
}

/// What a thing stands on: a reference or a list of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    pub word: At<Preposition>,
    /// A `Ref` or a `List` of `Ref`s.
    pub value: Expr,
}

/// `{ … }`
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Block {
    pub items: Vec<Item>,
    pub span: Option<Span>,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// `at place: section`
    Station {
        place: Range,
        value: Expr,
        span: Span,
    },
    /// `key: value`
    Field {
        key: Name,
        value: Expr,
    },
    Sentence(Sentence),
}

/// A value with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    pub node: Node,
    pub span: Span,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Node {
    /// A number, already in one form: see [`Amount`].
    Amount(Amount),
    Text(String),
    /// `name(part, …)`
    Call {
        name: Name,
        parts: Vec<Part>,
    },
    /// `name.name[value]…`
    Ref {
        head: Name,
        steps: Vec<Step>,
    },
    List(Vec<Expr>),
    /// `( … )`: kept, for the formatter and for `(-2)^2`.
    Group(Box<Expr>),
    Unary {
        op: At<Unary>,
        value: Box<Expr>,
    },
    Binary {
        op: At<Binary>,
        left: Box<Expr>,
        right: Box<Expr>,
    },
    /// `if c then a else b`
    If {
        condition: Box<Expr>,
        then: Box<Expr>,
        otherwise: Box<Expr>,
    },
    /// Could not be read.
    Bad,
}

/// A written number. The numbers are as written, before any unit is applied.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// `3:2`
    Ratio(f64, f64),
    /// `5 ft 3 in`, `1 h 30 min`: each with its unit's word.
    Compound { large: (f64, String), small: (f64, String) },
    /// `12`, `12.5 mm`, `1 1/2 in` (already one number, with its unit), `9.40 per m`
    Plain { number: f64, unit: Option<At<String>>, per: Option<At<String>> },
}

/// A part of a call: named or not.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    pub name: Option<Name>,
    pub value: Expr,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    Field(Name),
    Index(Expr),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unary {
    Minus,
    Not,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Binary {
    Power,
    Times,
    Over,
    Plus,
    Minus,
    By,
    AtMost,
    AtLeast,
    Equal,
    NotEqual,
    Less,
    Greater,
    And,
    Or,
}
