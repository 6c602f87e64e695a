//! The faults of reckoning, one constructor each.

use super::say;
use crate::design::{Binary, Bounds, Value};
use crate::diag::{Code, Diagnostic};
use crate::span::Span;
use crate::units::{Dim, Quantity};

#[must_use]
pub fn too_much_reckoning(span: Span, steps: u32) -> Diagnostic {
    Diagnostic::error(Code::TooMuchReckoning, "the values of this file take too much reckoning")
        .with_label(span, "here the steps ran out")
        .with_help("look for functions that call others many times over, and name what they share with `let`")
        .with_note(format!(
            "all values of a run together may take {},{:03},{:03} steps",
            steps / 1_000_000,
            steps / 1000 % 1000,
            steps % 1000
        ))
}

pub(super) fn calls_too_deep(span: Span) -> Diagnostic {
    Diagnostic::error(Code::CallsTooDeep, "functions stand too deep within functions here")
        .with_label(span, "this is followed no further")
        .with_help("write the value with fewer functions or fields that call each other")
}

pub(super) fn divides_by_zero(span: Span, divisor: Span) -> Diagnostic {
    Diagnostic::error(Code::DividesByZero, "this divides by zero")
        .with_label(span, "there is no such number")
        .with_label(divisor, "this comes out as 0")
        .with_help("give the divisor a value above zero, or choose with `if … then … else`")
}

pub(super) fn not_finite(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoAnswer, "this comes out too large to hold")
        .with_label(span, "larger than any number")
        .with_help("look at the powers and products in it")
}

pub(super) fn root_of_negative(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoAnswer, "this takes the root of a negative number")
        .with_label(span, "there is no such number")
        .with_help("look at the difference under the root: `abs(…)` or `max(…, 0)` if that is what is meant")
}

pub(super) fn of_nothing(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoAnswer, "this asks for one of no values at all")
        .with_label(span, "the list is empty")
        .with_help("put at least one value in the list")
}

pub(super) fn clamp_reversed(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoAnswer, "the lower bound of this clamp lies above the upper one")
        .with_label(span, "nothing lies between these")
        .with_help("write `clamp(value, least, most)`")
}

pub(super) fn step_not_positive(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoAnswer, "this rounds to steps of nothing")
        .with_label(span, "the second value is the step")
        .with_help("give a step above zero: `nearest(tall, 5 mm)`")
}

pub(super) fn no_such_item(index: Quantity, len: usize, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoAnswer, format!("there is no value number {} in this list", say::quantity(index)))
        .with_label(span, format!("the list holds {len}"))
        .with_help(format!("count from 1 to {len}"))
}

pub(super) fn exponent(dim: Dim, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoAnswer, format!("{dim} cannot be raised to this power"))
        .with_label(span, "this power leaves half a unit")
        .with_help("write a whole power, such as `^ 2`, or take the unit off first: `(x / 1 mm) ^ 0.3`")
}

pub(super) fn exponent_has_unit(dim: Dim, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MixedUnits, "a power is a plain number")
        .with_label(span, format!("this is {dim}"))
        .with_help("write the power without a unit: `x ^ 2`")
}

/// Two dimensions that do not go together.
#[must_use]
pub fn mixed_units(op: Binary, a: Dim, b: Dim, l: Span, r: Span) -> Diagnostic {
    let verb = match op {
        Binary::Plus => "added to",
        Binary::Minus => "taken from",
        _ => "compared with",
    };
    let (from, to) = if let Binary::Plus | Binary::Minus = op { (b, a) } else { (a, b) };
    Diagnostic::error(Code::MixedUnits, format!("{from} cannot be {verb} {to}"))
        .with_label(r, format!("this is {b}"))
        .with_label(l, format!("this is {a}"))
        .with_help("give both the same kind of unit")
        .with_note("different units of one kind are fine: `2 in + 3 cm`")
}

pub(super) fn mixed_list(a: Dim, b: Dim, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MixedUnits, format!("{a} and {b} stand side by side"))
        .with_label(span, "all values here must be of one kind")
        .with_help("give them the same kind of unit")
}

pub(super) fn not_a_number(v: &Value, span: Span) -> Diagnostic {
    wrong(v, "a number", span)
}

pub(super) fn not_yes_or_no(v: &Value, span: Span) -> Diagnostic {
    wrong(v, "`yes` or `no`", span)
}

pub(super) fn not_a_list(v: &Value, span: Span) -> Diagnostic {
    wrong(v, "a list", span)
}

fn wrong(v: &Value, wanted: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MixedUnits, format!("{wanted} belongs here"))
        .with_label(span, format!("this is {}", say::kind_of(v)))
        .with_help(format!("put {wanted} in its place"))
}

/// A value outside its legal range; made by `check` for values it knows, and here for those that wait.
#[must_use]
pub fn out_of_range(bounds: &Bounds, q: Quantity, span: Span) -> Diagnostic {
    let x = say::quantity(q);
    let message = if bounds.whole && q.value().fract() != 0.0 {
        format!("`{}` is a whole number", bounds.name)
    } else {
        format!("`{}` cannot be {x}", bounds.name)
    };
    let end = |v: f64| Quantity::new(v, q.dim()).map(say::quantity);
    let low = end(bounds.low);
    let high = end(bounds.high);
    let range = match (&low, &high) {
        (Some(l), Some(h)) if bounds.low_in => format!("from {l} to {h}"),
        (Some(l), Some(h)) => format!("more than {l}, up to {h}"),
        (Some(l), None) if bounds.low_in => format!("{l} or more"),
        (Some(l), None) => format!("more than {l}"),
        (None, Some(h)) => format!("up to {h}"),
        (None, None) => "any number".to_owned(),
    };
    let too_large = q.value() > bounds.high;
    let help = match (too_large, high, low) {
        (true, Some(h), _) => format!("give at most `{h}`"),
        (false, _, Some(l)) if bounds.low_in && !bounds.whole => format!("give at least `{l}`"),
        (false, _, Some(l)) if !bounds.low_in && !bounds.whole && q.value() <= bounds.low => {
            format!("give more than `{l}`")
        }
        _ if bounds.whole => "give a whole number within the range".to_owned(),
        _ => "give a value within the range".to_owned(),
    };
    Diagnostic::error(Code::OutOfRange, message)
        .with_label(span, format!("this is {x}"))
        .with_help(help)
        .with_note(format!("`{}` is {range}", bounds.name))
}

/// An ease that is a share of the body's girth, and too large for one.
pub(super) fn too_much_ease(share: f64, most: f64, span: Span) -> Diagnostic {
    let (percent, bare) = (say::number(share * 100.0), say::number(share));
    Diagnostic::error(Code::OutOfRange, format!("`ease` cannot be {percent} % of the body"))
        .with_label(span, format!("without a unit of length {bare} is a share of the body's girth: {percent} %"))
        .with_help(format!("`ease: {bare} mm`, or a share: `ease: 5 %`"))
        .with_repair(format!("ease: {bare} mm"))
        .with_note(format!("a share is up to {} %, or as much taken away", say::number(most * 100.0)))
}

pub(super) fn requirement_fails(message: &str, span: Span, sides: &[(Span, String)]) -> Diagnostic {
    let d = Diagnostic::error(Code::RequirementFails, "a requirement of the file does not hold")
        .with_label(span, message.to_owned());
    let d = sides.iter().fold(d, |d, (span, value)| d.with_label(*span, format!("this is {value}")));
    d.with_help("change what it is reckoned from, or the requirement")
}
