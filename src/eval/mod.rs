//! Reckons typed expressions of the design. Rank 6: knows the form `design`, not the table of kinds, no phase.
//!
//! Values are in inner units (mm, g, rad, s). What depends on geometry or on other values is asked of a [`Facts`];
//! `shape` and `plan` supply one each. Dimensions were proven by `check`; they are tested again here, since the
//! parameters of a maker's own functions have none. Everything is bounded: 1,000,000 steps in a run
//! ([`Budget`]), [`DEPTH`] values within each other.
//!
//! Two quantities compare as equal when they differ by at most a billionth of the larger: `0.1 + 0.2 == 0.3`
//! holds, and `flag - tall >= 120 mm` does not fail on the last bit. `<` and `>` are false then.

mod arith;
mod errors;
mod read;
mod require;
pub mod say;

pub use arith::dim_power;
pub use errors::{mixed_units, out_of_range, too_much_reckoning};
pub use read::Fields;
pub use require::hold;

use std::collections::BTreeMap;

use crate::design::{Anchor, Binary, Design, Expr, Face, Made, Node, Place, Value};
use crate::diag::Diagnostic;
use crate::ids::{LetId, ThingId};
use crate::span::Span;
use crate::units::{Dim, Quantity};

/// Why there is no value.
#[derive(Clone, Debug, PartialEq)]
pub enum Stop {
    /// Something it depends on is poisoned, and that was reported: go on without a word.
    Skip,
    /// A fault to report; what asked is then poisoned.
    Fault(Box<Diagnostic>),
}

impl From<Diagnostic> for Stop {
    fn from(d: Diagnostic) -> Self {
        Self::Fault(Box::new(d))
    }
}

/// A value, or why there is none.
pub type Answer = Result<Value, Stop>;

/// What values ask of the world outside the arithmetic.
pub trait Facts {
    /// Where `bottom`, `middle` or `top` lies (mm) along what the thing being reckoned stands on; in a station,
    /// along the shell itself.
    fn place(&self, place: Place, span: Span) -> Answer;
    /// A measured fact: `body.top.inside.around`.
    fn fact(&self, of: &Anchor, face: Option<Face>, name: &'static str, span: Span) -> Answer;
    /// The value of a `let` or setting. The order of the design reckons it before it is asked for.
    fn value(&self, id: LetId) -> Answer;
}

/// What is left of the steps of reckoning of one run.
#[derive(Clone, Debug)]
pub struct Budget {
    left: u32,
    told: bool,
}

impl Budget {
    /// The steps of one run.
    pub const STEPS: u32 = 1_000_000;

    #[must_use]
    pub fn new() -> Self {
        Self { left: Self::STEPS, told: false }
    }

    /// Takes one step at `span`; the first that is not there is a fault, later ones are silent.
    ///
    /// # Errors
    /// When no step is left.
    pub fn step(&mut self, span: Span) -> Result<(), Stop> {
        if self.left > 0 {
            self.left -= 1;
            return Ok(());
        }
        if std::mem::replace(&mut self.told, true) {
            return Err(Stop::Skip);
        }
        Err(errors::too_much_reckoning(span, Self::STEPS).into())
    }
}

impl Default for Budget {
    fn default() -> Self {
        Self::new()
    }
}

/// How deep values stand within each other, through brackets, functions and fields, before reckoning gives up.
pub const DEPTH: usize = 300;

/// Reckons expressions of one design.
pub struct Reckoner<'a> {
    design: &'a Design,
    facts: &'a dyn Facts,
    budget: &'a mut Budget,
    /// The arguments of the functions being applied, innermost last.
    frames: Vec<Vec<Value>>,
    depth: usize,
}

impl std::fmt::Debug for Reckoner<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Reckoner").field("depth", &self.depth).field("budget", &self.budget).finish_non_exhaustive()
    }
}

impl<'a> Reckoner<'a> {
    #[must_use]
    pub fn new(design: &'a Design, facts: &'a dyn Facts, budget: &'a mut Budget) -> Self {
        Self { design, facts, budget, frames: Vec::new(), depth: 0 }
    }

    /// The value of an expression.
    ///
    /// # Errors
    /// [`Stop::Skip`] when it rests on something poisoned, [`Stop::Fault`] when it has no answer.
    pub fn value(&mut self, e: &Expr) -> Answer {
        self.budget.step(e.span)?;
        if self.depth >= DEPTH {
            return Err(errors::calls_too_deep(e.span).into());
        }
        self.depth += 1;
        let out = self.node(e);
        self.depth -= 1;
        out
    }

    fn node(&mut self, e: &Expr) -> Answer {
        match &e.node {
            Node::Quantity(q) => Ok(Value::Quantity(*q)),
            Node::Price(p, per) => Ok(Value::Price(*p, *per)),
            Node::Text(t) => Ok(Value::Text(t.clone())),
            Node::Bool(b) => Ok(Value::Bool(*b)),
            Node::Word(w) => Ok(Value::Word(w)),
            Node::Place(p) => self.facts.place(*p, e.span),
            Node::Make { name, parts } => self.make(name, parts, e.span),
            Node::Things(anchors) => Ok(Value::Things(anchors.clone())),
            Node::List(items) => Ok(Value::List(items.iter().map(|i| self.value(i)).collect::<Result<_, _>>()?)),
            Node::By(items) => Ok(Value::By(items.iter().map(|i| self.quantity(i)).collect::<Result<_, _>>()?)),
            Node::FieldOf(thing, name) => self.field_of(*thing, name),
            Node::Fact { of, face, name } => self.facts.fact(of, *face, name, e.span),
            Node::Let(id) => {
                let v = self.facts.value(*id)?;
                self.charge(&v, e.span)?;
                Ok(v)
            }
            Node::Param(i) => {
                let v = self.frames.last().and_then(|f| f.get(*i)).cloned().ok_or(Stop::Skip)?;
                self.charge(&v, e.span)?;
                Ok(v)
            }
            Node::Apply { function, arguments } => self.apply(*function, arguments),
            Node::Call { function, arguments } => {
                let values = arguments.iter().map(|a| self.value(a)).collect::<Result<Vec<_>, _>>()?;
                arith::call(*function, values, e.span)
            }
            Node::Minus(inner) => {
                let q = self.quantity(inner)?;
                arith::finite(-q.value(), q.dim(), e.span)
            }
            Node::Not(inner) => Ok(Value::Bool(!self.truth(inner)?)),
            Node::Binary { .. } => self.chain(e),
            Node::If { condition, then, otherwise } => {
                if self.truth(condition)? {
                    self.value(then)
                } else {
                    self.value(otherwise)
                }
            }
            Node::Item { of, index } => self.item(of, index),
            Node::Bounded { value, bounds } => {
                let v = self.value(value)?;
                match &v {
                    Value::Quantity(q) if !bounds.hold(q.value()) => {
                        Err(errors::out_of_range(bounds, *q, value.span).into())
                    }
                    _ => Ok(v),
                }
            }
            Node::Poison => Err(Stop::Skip),
        }
    }

    /// A list that is used again takes a step for each of its values, so that lists of lists cannot grow past all
    /// bounds.
    fn charge(&mut self, v: &Value, span: Span) -> Result<(), Stop> {
        if let Value::List(items) = v {
            for item in items {
                self.budget.step(span)?;
                self.charge(item, span)?;
            }
        }
        Ok(())
    }

    /// The value of an expression that is a quantity.
    ///
    /// # Errors
    /// As [`Self::value`], and when it is something else.
    pub fn quantity(&mut self, e: &Expr) -> Result<Quantity, Stop> {
        match self.value(e)? {
            Value::Quantity(q) => Ok(q),
            other => Err(errors::not_a_number(&other, e.span).into()),
        }
    }

    /// The value of an expression that is yes or no.
    ///
    /// # Errors
    /// As [`Self::value`], and when it is something else.
    pub fn truth(&mut self, e: &Expr) -> Result<bool, Stop> {
        match self.value(e)? {
            Value::Bool(b) => Ok(b),
            other => Err(errors::not_yes_or_no(&other, e.span).into()),
        }
    }

    /// A chain of operators is walked down its left side without recursion: it may hold a thousand of them.
    fn chain(&mut self, e: &Expr) -> Answer {
        let mut pending = Vec::new();
        let mut first = e;
        while let Node::Binary { op, left, right } = &first.node {
            pending.push((*op, right, left.span, first.span));
            first = left;
        }
        let mut so_far = self.value(first)?;
        for (op, right, left_span, span) in pending.into_iter().rev() {
            self.budget.step(span)?;
            if let Binary::And | Binary::Or = op {
                let Value::Bool(left) = so_far else {
                    return Err(errors::not_yes_or_no(&so_far, left_span).into());
                };
                so_far = if left == (op == Binary::Or) { Value::Bool(left) } else { Value::Bool(self.truth(right)?) };
                continue;
            }
            let r = self.value(right)?;
            so_far = arith::binary(op, so_far, r, left_span, right.span, span)?;
        }
        Ok(so_far)
    }

    fn make(&mut self, name: &'static str, parts: &[(&'static str, Expr)], span: Span) -> Answer {
        let mut values = BTreeMap::new();
        for (part, e) in parts {
            let v = self.value(e)?;
            values.insert(*part, v);
        }
        if name == "dressed" {
            let ease = parts.iter().find(|(part, _)| *part == "ease").map(|(_, e)| e.span);
            return dressed(&values, ease, span);
        }
        Ok(Value::Made(Made { name, parts: values, span }))
    }

    fn field_of(&mut self, thing: ThingId, name: &'static str) -> Answer {
        let design = self.design;
        if design.thing(thing).poisoned {
            return Err(Stop::Skip);
        }
        let e = design.field(thing, name).ok_or(Stop::Skip)?;
        self.within(Vec::new(), |me| me.value(e))
    }

    fn apply(&mut self, function: LetId, arguments: &[Expr]) -> Answer {
        let design = self.design;
        let f = design.value(function);
        if f.poisoned {
            return Err(Stop::Skip);
        }
        let values = arguments.iter().map(|a| self.value(a)).collect::<Result<Vec<_>, _>>()?;
        self.within(values, |me| me.value(&f.value))
    }

    /// Runs `f` with parameters of its own.
    fn within(&mut self, frame: Vec<Value>, f: impl FnOnce(&mut Self) -> Answer) -> Answer {
        self.frames.push(frame);
        let out = f(self);
        self.frames.pop();
        out
    }

    fn item(&mut self, of: &Expr, index: &Expr) -> Answer {
        let n = self.quantity(index)?;
        match self.value(of)? {
            Value::List(items) => {
                let whole = n.dim() == Dim::NONE && n.value().fract() == 0.0;
                let at = whole.then(|| n.value()).filter(|&v| v >= 1.0 && v <= items.len() as f64);
                at.and_then(|v| items.get(v as usize - 1).cloned())
                    .ok_or_else(|| errors::no_such_item(n, items.len(), index.span).into())
            }
            other => Err(errors::not_a_list(&other, of.span).into()),
        }
    }
}

/// `dressed(body, cloth, pad, air, ease)`: the girth of a body grown by layers of cloth, padding and air, each at
/// its radius (2 pi for each millimetre of it), and by `ease`, which is girth already, or a share of the body's. Derived: a
/// parallel curve at distance d of a convex curve is longer by 2 pi d (Steiner's formula: L. A. Santaló, Integral Geometry
/// and Geometric Probability, 1976, chapter 1).
fn dressed(parts: &BTreeMap<&'static str, Value>, ease_at: Option<Span>, span: Span) -> Answer {
    let part = |name: &str| match parts.get(name) {
        Some(Value::Quantity(q)) => (q.value(), q.dim() == Dim::NONE),
        _ => (0.0, false),
    };
    let body = part("body").0;
    let ease = match part("ease") {
        (share, true) if share.abs() > MOST_EASE => {
            return Err(errors::too_much_ease(share, MOST_EASE, ease_at.unwrap_or(span)).into());
        }
        (share, true) => share * body,
        (mm, false) => mm,
    };
    let girth = body + crate::num::TAU * (part("cloth").0 + part("pad").0 + part("air").0) + ease;
    arith::finite(girth, Dim::LENGTH, span)
}

/// No more than this share of a body's girth is ease; a larger one is a length that lacks its unit.
const MOST_EASE: f64 = 0.5;

#[cfg(test)]
mod tests;
