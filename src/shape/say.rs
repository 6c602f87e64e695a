//! Lengths in messages, as a maker reads them off a rule.

use crate::eval::say::number;

/// A length to a tenth of a millimetre: `92.2 mm`.
pub(super) fn mm(x: f64) -> String {
    format!("{} mm", number((x * 10.0).round() / 10.0))
}

/// A length rounded up to the next tenth: what is enough.
pub(super) fn at_least(x: f64) -> String {
    format!("{} mm", number((x * 10.0 - 1e-6).ceil() / 10.0))
}

/// A length rounded down to whole millimetres (to a tenth below 10): what fits.
pub(super) fn at_most(x: f64) -> String {
    if x < 10.0 {
        format!("{} mm", number((x * 10.0 + 1e-6).floor() / 10.0))
    } else {
        format!("{} mm", number((x + 1e-6).floor()))
    }
}

/// A length rounded down to tenths of a millimetre: no more than there is.
pub(super) fn down(x: f64) -> String {
    format!("{} mm", number((x * 10.0 + 1e-6).floor() / 10.0))
}

/// An angle to a tenth of a degree.
pub(super) fn degrees(x: f64) -> String {
    format!("{} deg", number((x.to_degrees() * 10.0).round() / 10.0))
}

/// An angle rounded down to tenths of a degree: what fits.
pub(super) fn at_most_degrees(x: f64) -> String {
    format!("{} deg", number((x.to_degrees() * 10.0 + 1e-6).floor() / 10.0))
}
