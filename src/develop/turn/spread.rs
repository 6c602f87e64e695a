//! Tabs that are turned out on what a wall stands on. Folded, each lies flat, and its fold is straight where the wall runs
//! round: the wall stands on as many corners as there are tabs. On a bend of radius `r` a fold `s` long stands off by
//! `s²/8r`, so that cuts are the closer the tighter it is, and a flat side has none.

use super::{Ends, Lengths, MOST, Spot, at, place_at};
use crate::geom::Vec2;
use crate::num;
use crate::solid::Onto;

/// How far the fold of one tab may stand off the wall's own curve, mm (common practice, no source: a sheet that folds gives
/// by about as much).
const BOW: f64 = 0.5;
const PLANNED: f64 = 0.95 * BOW;
/// A slit begins so near to the fold, mm: sheet that does not give lets it open no farther, and the wall's own edge is not
/// nicked (common practice, no source).
pub(super) const FROM: f64 = 0.5;
/// How often what tabs may stand off is halved, until all stand off alike.
const ALIKE: usize = 30;

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
    pub(super) fn keeps(&self, between: [f64; 2]) -> bool {
        self.stands_off(between) <= PLANNED
    }

    /// How far it stands off between two places.
    fn stands_off(&self, [from, to]: [f64; 2]) -> f64 {
        let last = self.0.len() - 1;
        let at = |p: f64| -> Vec2 {
            let i = (p.floor().max(0.0) as usize).min(last);
            let (a, b) = (self.0[i].ends[0].truncate(), self.0[(i + 1).min(last)].ends[0].truncate());
            a + (b - a) * (p - i as f64)
        };
        let (a, chord) = (at(from), at(to) - at(from));
        let off = |s: &Spot| {
            let p = s.ends[0].truncate() - a;
            let share = p.dot(chord) / chord.length_squared().max(f64::MIN_POSITIVE);
            (p - chord * share.clamp(0.0, 1.0)).length()
        };
        let between = (from.ceil() as usize).min(last)..=(to.floor() as usize).min(last);
        self.0[between].iter().map(off).fold(0.0, f64::max)
    }

    /// The places at which tabs begin, so that there are as few as can be and all bend alike.
    pub(super) fn fewest(&self) -> Option<Vec<f64>> {
        let count = self.begun(PLANNED, MOST)?.len();
        let (mut low, mut high) = (0.0, PLANNED);
        for _ in 0..ALIKE {
            let middle = 0.5 * (low + high);
            if self.begun(middle, count).is_some() { high = middle } else { low = middle }
        }
        self.begun(high, count)
    }

    /// The places at which tabs begin that are each as long as `bow` lets them be; `None` where they are more than so many.
    fn begun(&self, bow: f64, most: usize) -> Option<Vec<f64>> {
        let end = (self.0.len() - 1) as f64;
        let mut all = vec![0.0];
        loop {
            let from: f64 = all[all.len() - 1];
            let mut near = from;
            let mut far = from.floor() + 1.0;
            while far <= end && self.stands_off([from, far]) <= bow {
                (near, far) = (far, far + 1.0);
            }
            if near >= end {
                return Some(all);
            }
            for _ in 0..ALIKE {
                let middle = 0.5 * (near + far);
                if self.stands_off([from, middle]) <= bow { near = middle } else { far = middle }
            }
            if all.len() == most || near <= from {
                return None;
            }
            all.push(near);
        }
    }
}

/// What both sides of each cut carry away at the free edge: half each of what the sheet has too much there from the middle of
/// one tab to the middle of the next, which would lie in each other. Where it has too little the cut opens.
pub(super) fn halves(all: &Lengths<'_>, cuts: &[f64], ends: Ends) -> Vec<[f64; 2]> {
    let n = cuts.len() - 1;
    let Some(over) = all.over.last() else { return vec![[0.0; 2]; n + 1] };
    let middle = |i: usize| {
        let half_way = 0.5 * (at(&all.fold, cuts[i]) + at(&all.fold, cuts[i + 1]));
        at(over, place_at(&all.fold, half_way))
    };
    let inner = |k: usize| (middle(k) - middle(k - 1)).max(0.0);
    // Where it runs round, or both ends meet, the last tab lies beside the first.
    let outer = (middle(0) - at(over, cuts[0]) + at(over, cuts[n]) - middle(n - 1)).max(0.0);
    let share = |k: usize| if k > 0 && k < n { inner(k) } else { outer };
    let half = |k: usize| if ends == Ends::Side && (k == 0 || k == n) { 0.0 } else { 0.5 * share(k) };
    (0..=n).map(|k| [half(k); 2]).collect()
}
