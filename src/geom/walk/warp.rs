//! How places are spread along a turn, so that a rim moves evenly with the share where an oval is flat.

use crate::num;

/// How the share of a turn maps to the normal's angle: `φ = from + (to − from) g(t)`,
/// `g = tᵖ/(tᵖ + (1 − t)^q)`, linear for `p = q = 1`. At the flat places of an oval fuller than an ellipse the rim
/// moves like `φ^(1/(power − 1))`, so `p = power − 1` makes it regular in `t`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warp {
    pub(super) start: f64,
    pub(super) end: f64,
}

impl Warp {
    pub(super) const NONE: Self = Self { start: 1.0, end: 1.0 };

    /// `g` and `g'`.
    pub(super) fn at(self, t: f64) -> (f64, f64) {
        if self == Self::NONE {
            return (t, 1.0);
        }
        // A sum of shares may pass the end by its last digit, and no power of what lies beyond is a number.
        let t = t.clamp(0.0, 1.0);
        let (p, q, r) = (self.start, self.end, 1.0 - t);
        let (a, b) = (num::pow(t, p), num::pow(r, q));
        let (da, db) = (p * num::pow(t, p - 1.0), q * num::pow(r, q - 1.0));
        let sum = a + b;
        (a / sum, (da * b + a * db) / (sum * sum))
    }

    /// The share at which `g` is `value`.
    pub(super) fn inverse(self, value: f64) -> f64 {
        if self == Self::NONE || value <= 0.0 || value >= 1.0 {
            return value.clamp(0.0, 1.0);
        }
        num::root(0.0, 1.0, 1e-16, |t| self.at(t).0 - value).unwrap_or(value)
    }
}
