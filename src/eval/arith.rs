//! Arithmetic on reckoned values: operators and built-in functions.

use super::{Answer, Stop, errors};
use crate::design::{Binary, Function, Value};
use crate::num;
use crate::span::Span;
use crate::units::{Dim, Quantity};

/// Two numbers that differ by no more than this share of the larger count as equal (see the module's head).
const SAME: f64 = 1e-9;

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs().max(b.abs())
}

/// A finite quantity, or the fault that it is none.
pub(super) fn finite(x: f64, dim: Dim, span: Span) -> Answer {
    Quantity::new(x, dim).map(Value::Quantity).ok_or_else(|| errors::not_finite(span).into())
}

/// `left op right`; `and` and `or` never come here.
pub(super) fn binary(op: Binary, left: Value, right: Value, l: Span, r: Span, span: Span) -> Answer {
    if let Binary::Equal | Binary::NotEqual = op {
        let equal = match (&left, &right) {
            (Value::Quantity(a), Value::Quantity(b)) if a.dim() != b.dim() => {
                return Err(errors::mixed_units(op, a.dim(), b.dim(), l, r).into());
            }
            (Value::Quantity(a), Value::Quantity(b)) => same(a.value(), b.value()),
            (a, b) => a == b,
        };
        return Ok(Value::Bool(equal == (op == Binary::Equal)));
    }
    let a = number(left, l)?;
    let b = number(right, r)?;
    let (x, y) = (a.value(), b.value());
    let like = || {
        if a.dim() == b.dim() { Ok(()) } else { Err(Stop::from(errors::mixed_units(op, a.dim(), b.dim(), l, r))) }
    };
    match op {
        Binary::Plus => {
            like()?;
            finite(x + y, a.dim(), span)
        }
        Binary::Minus => {
            like()?;
            finite(x - y, a.dim(), span)
        }
        Binary::Times => {
            let dim = a.dim().times(b.dim()).ok_or_else(|| errors::not_finite(span))?;
            finite(x * y, dim, span)
        }
        Binary::Over => {
            if y == 0.0 {
                return Err(errors::divides_by_zero(span, r).into());
            }
            let dim = a.dim().over(b.dim()).ok_or_else(|| errors::not_finite(span))?;
            finite(x / y, dim, span)
        }
        Binary::Power => power(a, b, r, span),
        Binary::AtMost => like().map(|()| Value::Bool(x <= y || same(x, y))),
        Binary::AtLeast => like().map(|()| Value::Bool(x >= y || same(x, y))),
        Binary::Less => like().map(|()| Value::Bool(x < y && !same(x, y))),
        Binary::Greater => like().map(|()| Value::Bool(x > y && !same(x, y))),
        Binary::Equal | Binary::NotEqual | Binary::And | Binary::Or => Err(Stop::Skip),
    }
}

/// A power. A base with a unit takes whole exponents, and halves where the root has a dimension.
fn power(base: Quantity, exponent: Quantity, r: Span, span: Span) -> Answer {
    if exponent.dim() != Dim::NONE {
        return Err(errors::exponent_has_unit(exponent.dim(), r).into());
    }
    let n = exponent.value();
    let dim = dim_power(base.dim(), n).ok_or_else(|| errors::exponent(base.dim(), r))?;
    if base.value() == 0.0 && n < 0.0 {
        return Err(errors::divides_by_zero(span, r).into());
    }
    if base.value() < 0.0 && n.fract() != 0.0 {
        return Err(errors::root_of_negative(span).into());
    }
    finite(num::pow(base.value(), n), dim, span)
}

/// The dimension of a power, when it has one.
#[must_use]
pub fn dim_power(dim: Dim, n: f64) -> Option<Dim> {
    if dim == Dim::NONE {
        return Some(Dim::NONE);
    }
    let twice = n * 2.0;
    if twice.fract() != 0.0 || twice.abs() > 100.0 {
        return None;
    }
    let d = dim.power(twice as i8)?;
    d.root()
}

fn number(v: Value, span: Span) -> Result<Quantity, Stop> {
    match v {
        Value::Quantity(q) => Ok(q),
        other => Err(errors::not_a_number(&other, span).into()),
    }
}

/// The numbers a function of many is given: its arguments, or the one list among them.
fn numbers(values: Vec<Value>, span: Span) -> Result<Vec<Quantity>, Stop> {
    let mut out = Vec::new();
    for v in values {
        match v {
            Value::List(items) => {
                for i in items {
                    out.push(number(i, span)?);
                }
            }
            other => out.push(number(other, span)?),
        }
    }
    if let Some(odd) = out.iter().find(|q| q.dim() != out[0].dim()) {
        return Err(errors::mixed_list(out[0].dim(), odd.dim(), span).into());
    }
    Ok(out)
}

/// A built-in function.
pub(super) fn call(function: Function, values: Vec<Value>, span: Span) -> Answer {
    if function == Function::Count {
        let n: usize = values
            .iter()
            .map(|v| match v {
                Value::List(items) => items.len(),
                Value::Things(things) => things.len(),
                _ => 1,
            })
            .sum();
        return finite(n as f64, Dim::NONE, span);
    }
    let q = numbers(values, span)?;
    if function == Function::Sum {
        let dim = q.first().map_or(Dim::NONE, |f| f.dim());
        return finite(q.iter().map(|x| x.value()).collect::<num::Sum>().value(), dim, span);
    }
    let Some(first) = q.first().copied() else {
        return Err(errors::of_nothing(span).into());
    };
    let (x, dim) = (first.value(), first.dim());
    let second = q.get(1).map_or(0.0, |b| b.value());
    match function {
        Function::Min => finite(q.iter().map(|v| v.value()).fold(x, f64::min), dim, span),
        Function::Max => finite(q.iter().map(|v| v.value()).fold(x, f64::max), dim, span),
        Function::Abs => finite(x.abs(), dim, span),
        Function::Sqrt => {
            if x < 0.0 {
                return Err(errors::root_of_negative(span).into());
            }
            let root = dim.root().ok_or_else(|| errors::exponent(dim, span))?;
            finite(x.sqrt(), root, span)
        }
        Function::Sin => finite(num::sin(x), Dim::NONE, span),
        Function::Cos => finite(num::cos(x), Dim::NONE, span),
        Function::Tan => finite(num::tan(x), Dim::NONE, span),
        Function::Atan2 => finite(num::atan2(x, second), Dim::ANGLE, span),
        Function::Clamp => {
            let high = q.get(2).map_or(second, |c| c.value());
            if second > high {
                return Err(errors::clamp_reversed(span).into());
            }
            finite(x.clamp(second, high), dim, span)
        }
        Function::Median => {
            let mut sorted: Vec<f64> = q.iter().map(|v| v.value()).collect();
            sorted.sort_by(f64::total_cmp);
            let n = sorted.len();
            let m = if n % 2 == 1 { sorted[n / 2] } else { 0.5 * (sorted[n / 2 - 1] + sorted[n / 2]) };
            finite(m, dim, span)
        }
        Function::Nearest | Function::NextUp | Function::NextDown => {
            if second <= 0.0 {
                return Err(errors::step_not_positive(span).into());
            }
            let steps = x / second;
            let whole = steps.round();
            let n = match function {
                // `f64::round` takes halves away from zero, as the language does; a half short by the last bit
                // (2.5 reckoned as 2.4999999999999996) is a half.
                Function::Nearest => (steps + steps.signum() * SAME * steps.abs()).round(),
                _ if same(steps, whole) => whole,
                Function::NextUp => steps.ceil(),
                _ => steps.floor(),
            };
            finite(n * second, dim, span)
        }
        Function::Sum | Function::Count => Err(Stop::Skip),
    }
}
