//! Tabs that are turned out on what a wall stands on. Folded, each lies flat, and its fold is straight where the wall runs
//! round: the wall stands on as many corners as there are tabs. On a bend of radius `r` a fold `s` long stands off by
//! `s²/8r`, so that cuts are the closer the tighter it is, and a flat side has none.

use super::Spot;
use crate::geom::{Vec2, Vec3};
use crate::num;
use crate::solid::Onto;

/// How far the fold of one tab may stand off the wall's own curve, mm (common practice, no source: a sheet that folds gives
/// by about as much).
const BOW: f64 = 0.5;
const PLANNED: f64 = 0.95 * BOW;
/// A slit begins so near to the fold, mm: sheet that does not give lets it open no farther, and the wall's own edge is not
/// nicked (common practice, no source).
pub(super) const FROM: f64 = 0.5;

pub(super) fn spreads(onto: Onto) -> bool {
    matches!(onto, Onto::Ground { outward: true, .. })
}

/// The places of such a fold.
pub(super) struct Spread<'a>(pub &'a [Spot]);

impl Spread<'_> {
    /// About what share of a tab's fold lies between a place and the one before.
    pub(super) fn bends(&self, i: usize) -> f64 {
        let (a, b) = (&self.0[i - 1], &self.0[i]);
        let turn = num::atan2(a.inward.perp_dot(b.inward), a.inward.dot(b.inward)).abs();
        (turn * (b.ends[0] - a.ends[0]).length() / (8.0 * PLANNED)).sqrt()
    }

    /// Whether the fold keeps to its curve between two places, straight from the one to the other.
    pub(super) fn keeps(&self, [from, to]: [f64; 2]) -> bool {
        let last = self.0.len() - 1;
        let at = |p: f64| -> Vec3 {
            let i = (p.floor().max(0.0) as usize).min(last);
            let (a, b) = (self.0[i].ends[0], self.0[(i + 1).min(last)].ends[0]);
            a + (b - a) * (p - i as f64)
        };
        let (a, b) = (at(from), at(to));
        let chord = (b - a).truncate();
        let off = |p: Vec2| {
            let share = (p - a.truncate()).dot(chord) / chord.length_squared().max(f64::MIN_POSITIVE);
            (p - a.truncate() - chord * share.clamp(0.0, 1.0)).length()
        };
        let between = (from.ceil() as usize).min(last)..=(to.floor() as usize).min(last);
        self.0[between].iter().all(|s| off(s.ends[0].truncate()) <= PLANNED)
    }
}
