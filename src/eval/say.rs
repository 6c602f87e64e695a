//! Values in words and figures, as a maker would write them.

use crate::design::Value;
use crate::num;
use crate::units::{Dim, Quantity};

/// A number with at most four decimals, without trailing zeros; a very large or small one in powers of ten.
#[must_use]
pub fn number(x: f64) -> String {
    if x != 0.0 && !(1e-4..1e9).contains(&x.abs()) {
        return format!("{x:.3e}");
    }
    let mut s = format!("{x:.4}");
    s.truncate(s.trim_end_matches('0').trim_end_matches('.').len());
    if s == "-0" { "0".to_owned() } else { s }
}

/// A direction in the language's own words, to a degree: `front`, `left + 30 deg`.
#[must_use]
pub fn direction(phi: f64) -> String {
    let degrees = num::wrap(phi.to_degrees() + 0.5, 360.0).floor();
    let words = ["front", "left", "back", "right"];
    let quarter = (degrees / 90.0).floor();
    let over = degrees - 90.0 * quarter;
    // Truncation is exact: `quarter` is 0, 1, 2 or 3.
    let word = words[(quarter as usize).min(3)];
    if over == 0.0 { word.to_owned() } else { format!("{word} + {over} deg") }
}

/// A quantity in the unit a maker would take: `92.3 mm`, `60 deg`, `0.45 m2`.
#[must_use]
pub fn quantity(q: Quantity) -> String {
    let x = q.value();
    let (factor, unit) = match q.dim() {
        Dim::NONE => return number(x),
        Dim::LENGTH if x.abs() >= 10_000.0 => (1000.0, "m"),
        Dim::LENGTH => (1.0, "mm"),
        Dim::AREA if x.abs() >= 1e5 => (1e6, "m2"),
        Dim::AREA => (100.0, "cm2"),
        Dim::VOLUME if x.abs() >= 1e6 => (1e6, "l"),
        Dim::VOLUME => (1000.0, "ml"),
        Dim::ANGLE => (core::f64::consts::PI / 180.0, "deg"),
        Dim::MASS if x.abs() >= 10_000.0 => (1000.0, "kg"),
        Dim::MASS => (1.0, "g"),
        Dim::TIME if x.abs() >= 7200.0 => (3600.0, "h"),
        Dim::TIME if x.abs() >= 60.0 => (60.0, "min"),
        Dim::TIME => (1.0, "s"),
        Dim::DENSITY => (1e-6, "kg/m3"),
        Dim::AREA_DENSITY => (1e-6, "g/m2"),
        Dim::LINE_DENSITY => (1e-3, "g/m"),
        Dim::COVERAGE => (1.0, "m2/l"),
        Dim::STRENGTH => (1.0, "N/mm"),
        dim => return format!("{} ({dim})", number(x)),
    };
    format!("{} {unit}", number(x / factor))
}

/// What a value is, in words: "a length", "a text", "a circle".
#[must_use]
pub fn kind_of(v: &Value) -> String {
    match v {
        Value::Quantity(q) => q.dim().to_string(),
        Value::Price(..) => "a price".to_owned(),
        Value::Text(_) => "a text".to_owned(),
        Value::Bool(_) => "yes or no".to_owned(),
        Value::Word(w) => format!("the word `{w}`"),
        Value::By(_) => "a size".to_owned(),
        Value::List(_) => "a list".to_owned(),
        Value::Made(m) => format!("`{}(…)`", m.name),
        Value::Things(_) => "a thing".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_read_as_typed() {
        assert_eq!(direction(0.0), "front");
        assert_eq!(direction((-60f64).to_radians()), "right + 30 deg");
        assert_eq!(direction(179.7f64.to_radians()), "back");
    }
}
