//! A rim as a curve in space: its points, places by arc length, and the place nearest to a point.

use super::Vec3;
use super::rim::{Rim, spans};
use super::walk::Place;
use crate::num;

/// How many parts of a leg are looked at for the nearest place.
const PARTS: u32 = 48;

/// Where a length that grows from `from` to `last` has grown by `long`, `beyond` telling by how much it is past that:
/// looked for first where it would be if it grew as its argument does, as along a rim that hardly rises.
#[must_use]
pub fn ahead((from, last): (f64, f64), long: f64, beyond: impl Fn(f64) -> f64) -> f64 {
    let (low, high) = ((from + 0.98 * long).min(last), (from + 1.02 * long).min(last));
    let near = num::root(low, high, 1e-10, &beyond);
    near.or_else(|| num::root(from, last, 1e-10, &beyond)).unwrap_or(last)
}

impl Rim<'_> {
    /// The point in space, in the wall's frame, of the edge at depth `d`.
    #[must_use]
    pub fn in_space(&self, at: Place, d: f64) -> Vec3 {
        self.flat().walk().rule(at).point(self.height(at, d).0, d)
    }

    /// The place a length `long` along the edge at depth `d` from the place `from`.
    #[must_use]
    pub fn at_length(&self, from: Place, long: f64, d: f64) -> Place {
        let last = self.flat().walk().legs().len() - 1;
        let mut left = long;
        for leg in from.leg..=last {
            let start = Place { leg, t: if leg == from.leg { from.t } else { 0.0 } };
            let whole = self.length(start, Place { leg, t: 1.0 }, d);
            if whole >= left || leg == last {
                let miss = |t: f64| self.length(start, Place { leg, t }, d) - left;
                let t = num::root(start.t, 1.0, 1e-13, miss).unwrap_or(if left > 0.5 * whole { 1.0 } else { start.t });
                return Place { leg, t };
            }
            left -= whole;
        }
        self.flat().walk().ends().1
    }

    /// The place whose point of the edge at depth `d` lies nearest to `p`, and how far from it.
    #[must_use]
    pub fn nearest(&self, p: Vec3, d: f64) -> (Place, f64) {
        let (from, to) = self.flat().walk().ends();
        let off = |at: Place| (self.in_space(at, d) - p).length();
        // The nearest of many places of each leg, with the stretch on either side of it: it may be the end of one leg and
        // the start of the next, and all of a leg may lie in one point.
        let mut looked: Vec<(f64, usize, f64, f64)> = Vec::new();
        for (leg, t0, t1) in spans(from, to) {
            let step = (t1 - t0) / f64::from(PARTS);
            let places = (0..=PARTS).map(|i| t0 + step * f64::from(i)).map(|t| (off(Place { leg, t }), t));
            if let Some((by, t)) = places.min_by(|a, b| a.0.total_cmp(&b.0)) {
                looked.push((by, leg, (t - step).max(t0), (t + step).min(t1)));
            }
        }
        looked.sort_by(|a, b| a.0.total_cmp(&b.0));
        let refined = looked.iter().take(4).map(|&(_, leg, low, high)| {
            let (t, near) = num::peak(low, high, |t| -off(Place { leg, t }));
            (Place { leg, t }, -near)
        });
        refined.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((from, f64::INFINITY))
    }
}
