//! Reads the fields of one thing as plain numbers, words and constructors: what lowering modules use.
//!
//! A field that was not written answers with what it took over from the prop or with the schema's default; one
//! that has neither is absent (`None` from the `maybe_` readers, [`Stop::Skip`] from the others: `check` has
//! already reported a required field that is missing).

use std::collections::BTreeMap;

use super::{Answer, Budget, Facts, Reckoner, Stop};
use crate::design::{Anchor, Design, Expr, Made, Thing, Value};
use crate::ids::ThingId;
use crate::num;
use crate::span::Span;
use crate::units::Quantity;

/// The fields of one thing.
pub struct Fields<'a> {
    design: &'a Design,
    thing: &'a Thing,
    facts: &'a dyn Facts,
    budget: &'a mut Budget,
}

impl std::fmt::Debug for Fields<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Fields").field("thing", &self.thing.name).finish_non_exhaustive()
    }
}

impl<'a> Fields<'a> {
    #[must_use]
    pub fn new(design: &'a Design, thing: ThingId, facts: &'a dyn Facts, budget: &'a mut Budget) -> Self {
        Self { design, thing: design.thing(thing), facts, budget }
    }

    #[must_use]
    pub fn thing(&self) -> &'a Thing {
        self.thing
    }

    /// Whether the field was written in this thing.
    #[must_use]
    pub fn written(&self, name: &str) -> bool {
        self.thing.field(name).is_some_and(|f| f.written)
    }

    /// What a message about a field underlines: its written value, or the thing's head.
    #[must_use]
    pub fn span(&self, name: &str) -> Span {
        self.thing.field(name).filter(|f| f.written).map_or(self.thing.head, |f| f.value.span)
    }

    /// The expression of a field, not yet reckoned.
    #[must_use]
    pub fn expr(&self, name: &str) -> Option<&'a Expr> {
        self.design.field(self.thing.id, name)
    }

    /// Reckons an expression of this thing: a station's place or section.
    ///
    /// # Errors
    /// As [`Reckoner::value`].
    pub fn reckon(&mut self, e: &Expr) -> Answer {
        Reckoner::new(self.design, self.facts, self.budget).value(e)
    }

    /// The value of a field, when it has one.
    ///
    /// # Errors
    /// As [`Reckoner::value`].
    pub fn maybe(&mut self, name: &str) -> Result<Option<Value>, Stop> {
        match self.expr(name) {
            Some(e) => self.reckon(e).map(Some),
            None => Ok(None),
        }
    }

    /// The value of a field that has one.
    ///
    /// # Errors
    /// As [`Reckoner::value`], and [`Stop::Skip`] when it has none.
    pub fn value(&mut self, name: &str) -> Answer {
        self.maybe(name)?.ok_or(Stop::Skip)
    }

    /// A quantity, when the field has a value and it is one (and not, say, the word `auto`).
    ///
    /// # Errors
    /// As [`Reckoner::value`].
    pub fn maybe_quantity(&mut self, name: &str) -> Result<Option<Quantity>, Stop> {
        Ok(self.maybe(name)?.and_then(|v| v.quantity()))
    }

    /// A number in inner units, when the field has a value and it is one.
    ///
    /// # Errors
    /// As [`Reckoner::value`].
    pub fn maybe_number(&mut self, name: &str) -> Result<Option<f64>, Stop> {
        Ok(self.maybe_quantity(name)?.map(Quantity::value))
    }

    /// A number in inner units: a length in mm, an angle in radians, a mass in g, a count.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn number(&mut self, name: &str) -> Result<f64, Stop> {
        self.maybe_number(name)?.ok_or(Stop::Skip)
    }

    /// A direction round an axis, radians, when the field has one.
    ///
    /// # Errors
    /// As [`Reckoner::value`].
    pub fn maybe_direction(&mut self, name: &str) -> Result<Option<f64>, Stop> {
        Ok(self.maybe_number(name)?.map(direction))
    }

    /// A length in millimetres.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn length(&mut self, name: &str) -> Result<f64, Stop> {
        self.number(name)
    }

    /// An angle in radians.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn angle(&mut self, name: &str) -> Result<f64, Stop> {
        self.number(name)
    }

    /// A word of a choice, when the field has a value and it is one.
    ///
    /// # Errors
    /// As [`Reckoner::value`].
    pub fn maybe_word(&mut self, name: &str) -> Result<Option<&'static str>, Stop> {
        Ok(self.maybe(name)?.and_then(|v| v.word()))
    }

    /// A word of a choice.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn word(&mut self, name: &str) -> Result<&'static str, Stop> {
        self.maybe_word(name)?.ok_or(Stop::Skip)
    }

    /// Yes or no.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn flag(&mut self, name: &str) -> Result<bool, Stop> {
        match self.value(name)? {
            Value::Bool(b) => Ok(b),
            _ => Err(Stop::Skip),
        }
    }

    /// A text.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn text(&mut self, name: &str) -> Result<String, Stop> {
        match self.value(name)? {
            Value::Text(t) => Ok(t),
            _ => Err(Stop::Skip),
        }
    }

    /// A constructor's value, when the field has a value and it is one.
    ///
    /// # Errors
    /// As [`Reckoner::value`].
    pub fn maybe_made(&mut self, name: &str) -> Result<Option<Made>, Stop> {
        Ok(match self.maybe(name)? {
            Some(Value::Made(m)) => Some(m),
            _ => None,
        })
    }

    /// A constructor's value.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn made(&mut self, name: &str) -> Result<Made, Stop> {
        self.maybe_made(name)?.ok_or(Stop::Skip)
    }

    /// `A by B …` in millimetres; one width alone is a list of one.
    ///
    /// # Errors
    /// As [`Self::value`].
    pub fn size(&mut self, name: &str) -> Result<Vec<f64>, Stop> {
        self.value(name)?.size().ok_or(Stop::Skip)
    }

    /// The things a field names: one, or each of a list in order; empty when the field has no value.
    ///
    /// # Errors
    /// As [`Reckoner::value`].
    pub fn things(&mut self, name: &str) -> Result<Vec<Anchor>, Stop> {
        Ok(self.maybe(name)?.map(|v| v.things()).unwrap_or_default())
    }
}

impl Value {
    #[must_use]
    pub fn quantity(&self) -> Option<Quantity> {
        match self {
            Self::Quantity(q) => Some(*q),
            _ => None,
        }
    }

    /// A number in inner units.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        self.quantity().map(Quantity::value)
    }

    /// A word of a choice; a constructor without parts answers with its name.
    #[must_use]
    pub fn word(&self) -> Option<&'static str> {
        match self {
            Self::Word(w) => Some(w),
            Self::Made(m) if m.parts.is_empty() => Some(m.name),
            _ => None,
        }
    }

    /// The numbers of `A by B …`, or of one quantity alone.
    #[must_use]
    pub fn size(&self) -> Option<Vec<f64>> {
        match self {
            Self::By(q) => Some(q.iter().map(|q| q.value()).collect()),
            Self::Quantity(q) => Some(vec![q.value()]),
            _ => None,
        }
    }

    /// The things named, in order; a list is flattened.
    #[must_use]
    pub fn things(&self) -> Vec<Anchor> {
        match self {
            Self::Things(a) => a.clone(),
            Self::List(items) => items.iter().flat_map(Self::things).collect(),
            _ => Vec::new(),
        }
    }

    /// The items of a list; anything else is a list of itself.
    #[must_use]
    pub fn items(&self) -> &[Value] {
        match self {
            Self::List(items) => items,
            one => std::slice::from_ref(one),
        }
    }
}

/// A direction without its whole turns: far round, the last digits of an angle no longer tell its sine.
fn direction(angle: f64) -> f64 {
    if angle.abs() <= num::TAU { angle } else { num::wrap(angle, num::TAU) }
}

impl Made {
    /// The value of a part, when it has one.
    #[must_use]
    pub fn part(&self, name: &str) -> Option<&Value> {
        let parts: &BTreeMap<&'static str, Value> = &self.parts;
        parts.get(name)
    }

    /// A part that is a number, in inner units.
    #[must_use]
    pub fn number(&self, name: &str) -> Option<f64> {
        self.part(name)?.number()
    }

    /// A part that is a direction round an axis, radians.
    #[must_use]
    pub fn direction(&self, name: &str) -> Option<f64> {
        self.number(name).map(direction)
    }

    /// A part that is a word.
    #[must_use]
    pub fn word(&self, name: &str) -> Option<&'static str> {
        self.part(name)?.word()
    }

    /// A part that is yes or no; absent is no.
    #[must_use]
    pub fn flag(&self, name: &str) -> bool {
        matches!(self.part(name), Some(Value::Bool(true)))
    }
}
