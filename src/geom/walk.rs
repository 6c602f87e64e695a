//! A walk round a wall: its stretches and straight sides in order, from the rule where the strip begins (in the
//! middle of a side there) once round, with the integrals along it that every length and turn is made of.
//!
//! A parallel surface at depth `d`, cut at height `z`, has the same rules; its rim is `[k] + ∫ h dφ` long with
//! `h = h0 + (h1 − h0)(z − z0)/H + d sec α`. So the integrals of `h0`, `h1`, `sec α` and `sin α` serve all heights
//! and depths.

mod warp;

use core::cell::OnceCell;
use std::sync::Arc;

use super::memo::Memo;
use super::recent::Recent;
use super::series::Series;
use super::strip::{Rule, Strip};
use super::{section::Curve, tol};
use crate::num::{self, TAU};
pub use warp::Warp;

/// One leg of the walk.
#[derive(Clone, Debug, PartialEq)]
pub enum Leg {
    /// The normal turns from `from` to `to` within one stretch (backwards on a hollow arc).
    Turn { stretch: usize, from: f64, to: f64, warp: Warp },
    /// A straight side: every rule from the first to the last has the same normal.
    Side { first: Rule, last: Rule },
}

/// Where a walk is cut as well.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stop {
    /// At every turn through this normal.
    Normal(f64),
    /// At this rule, on a turn or within a straight side.
    Rule(Rule),
}

impl Stop {
    fn phi(&self) -> f64 {
        match self {
            Self::Normal(phi) => *phi,
            Self::Rule(rule) => rule.phi,
        }
    }
}

/// A place on the walk: a share `t` of leg `leg`.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Place {
    pub leg: usize,
    pub t: f64,
}

/// The walk round one strip.
#[derive(Clone, Debug)]
pub struct Walk {
    strip: Strip,
    legs: Vec<Leg>,
    /// Reckoned when the first length or turn is asked for: whoever asks for rules only needs none.
    lengths: OnceCell<Arc<Lengths>>,
    /// The rule at the start.
    first: Rule,
    /// Whether a parallel may run back: at straight sides, and where an oval is flat.
    may_run_back: bool,
    rules: Memo<Rule>,
}

#[derive(Clone, Debug)]
struct Lengths {
    /// `∫ h0, ∫ h1, ∫ sec α, ∫ sin α` over `φ` along each leg; empty for a side.
    series: Vec<Option<Series<4>>>,
    /// The same up to the start of each leg, and to the end of the walk.
    sums: Vec<[f64; 4]>,
}

static LENGTHS: Recent<Lengths> = Recent::new();

/// The integrals of walls with more legs than this are not kept for whoever asks next: they would take much room.
const MOST_LEGS: usize = 64;

/// What the lengths to one place are made of, at every height and depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    pub place: Place,
    pub rule: Rule,
    sums: [f64; 4],
}

/// What the tail of a series may be, mm.
const SERIES: f64 = 1e-9;

/// A parallel runs back by less than this where a section is flat, mm, and is looked at so often on a leg that does.
const BACK: f64 = 5.0;
const PASSES: u32 = 64;

impl Lengths {
    fn new(strip: &Strip, legs: &[Leg]) -> Self {
        let mut series = Vec::with_capacity(legs.len());
        let mut sums = Vec::with_capacity(legs.len() + 1);
        let mut total = [num::Sum::new(); 4];
        for leg in legs {
            sums.push(total.map(num::Sum::value));
            let one = match *leg {
                Leg::Side { .. } => None,
                Leg::Turn { stretch, from, to, warp } => Some(Series::new(SERIES, |t| {
                    let (g, slope) = warp.at(t);
                    let rule = strip.rule(stretch, from + (to - from) * g);
                    let per = slope * (to - from);
                    [rule.h0 * per, rule.h1 * per, rule.secant() * per, rule.sine() * per]
                })),
            };
            if let Some(s) = &one {
                for (sum, x) in total.iter_mut().zip(s.total()) {
                    sum.add(x);
                }
            }
            series.push(one);
        }
        sums.push(total.map(num::Sum::value));
        Self { series, sums }
    }
}

impl Walk {
    /// The walk round `strip` from the rule where its first stretch begins: from the middle of a side there.
    #[must_use]
    pub fn new(strip: &Strip) -> Self {
        Self::with_cuts(strip, &[])
    }

    /// The same, cut there as well.
    #[must_use]
    pub fn with_cuts(strip: &Strip, cuts: &[Stop]) -> Self {
        let legs = legs(strip, cuts);
        let first = rule(strip, &legs, Place { leg: 0, t: 0.0 });
        let even = |leg: &Leg| matches!(leg, Leg::Turn { warp: Warp::NONE, .. });
        let may_run_back = !legs.iter().all(even);
        Self { strip: strip.clone(), legs, lengths: OnceCell::new(), first, may_run_back, rules: Memo::new() }
    }

    fn lengths(&self) -> &Lengths {
        self.lengths.get_or_init(|| {
            let make = || Lengths::new(&self.strip, &self.legs);
            match self.key() {
                Some(key) => LENGTHS.get(key, make),
                None => Arc::new(make()),
            }
        })
    }

    /// All that the integrals along the walk depend on; none where there are too many legs.
    pub(super) fn key(&self) -> Option<Vec<u64>> {
        if self.legs.len() > MOST_LEGS {
            return None;
        }
        let mut key = Vec::with_capacity(256);
        self.strip.key(&mut key);
        for leg in &self.legs {
            match *leg {
                Leg::Side { .. } => key.push(u64::MAX),
                Leg::Turn { stretch, from, to, warp } => {
                    key.push(stretch as u64);
                    key.extend([from, to, warp.start, warp.end].map(f64::to_bits));
                }
            }
        }
        Some(key)
    }

    #[must_use]
    pub fn strip(&self) -> &Strip {
        &self.strip
    }

    #[must_use]
    pub fn legs(&self) -> &[Leg] {
        &self.legs
    }

    /// Where the walk starts and ends: the same rule.
    #[must_use]
    pub fn ends(&self) -> (Place, Place) {
        (Place { leg: 0, t: 0.0 }, Place { leg: self.legs.len() - 1, t: 1.0 })
    }

    /// The rule at a place.
    #[must_use]
    pub fn rule(&self, at: Place) -> Rule {
        self.rules.get(at, || rule(&self.strip, &self.legs, at))
    }

    /// The direction of the normal at a place.
    #[must_use]
    pub fn normal(&self, at: Place) -> f64 {
        turned(&self.legs[at.leg], at.t)
    }

    /// What the lengths to a place are made of.
    #[must_use]
    pub fn mark(&self, place: Place) -> Mark {
        Mark { place, rule: self.rule(place), sums: self.sums_at(place) }
    }

    /// How fast the normal turns with the share: `dφ/dt`; 0 on a side.
    #[must_use]
    pub fn turning(&self, at: Place) -> f64 {
        match self.legs[at.leg] {
            Leg::Side { .. } => 0.0,
            Leg::Turn { from, to, warp, .. } => warp.at(at.t).1 * (to - from),
        }
    }

    /// The two curves of a turn; `None` on a side.
    #[must_use]
    pub fn curves(&self, leg: usize) -> Option<(Curve, Curve)> {
        match self.legs[leg] {
            Leg::Side { .. } => None,
            Leg::Turn { stretch, .. } => {
                let s = &self.strip.stretches()[stretch];
                Some((s.lower, s.upper))
            }
        }
    }

    /// Radii of curvature of the two sections at a place; infinite where an oval is flat, 0 on a side.
    #[must_use]
    pub fn radii(&self, at: Place) -> (f64, f64) {
        self.radii_on(at, &self.rule(at))
    }

    /// The same where the rule there is known.
    pub(super) fn radii_on(&self, at: Place, rule: &Rule) -> (f64, f64) {
        let Leg::Turn { stretch, .. } = self.legs[at.leg] else { return (0.0, 0.0) };
        let s = &self.strip.stretches()[stretch];
        Curve::radii(&s.lower, &s.upper, rule).into()
    }

    fn sums_at(&self, at: Place) -> [f64; 4] {
        let lengths = self.lengths();
        let start = lengths.sums[at.leg];
        match &lengths.series[at.leg] {
            None => start,
            Some(s) => {
                let part = s.at(at.t);
                core::array::from_fn(|i| start[i] + part[i])
            }
        }
    }

    /// `∫ sin α dφ` from the start: how far the flat has turned clockwise.
    #[must_use]
    pub fn turn(&self, at: Place) -> f64 {
        self.sums_at(at)[3]
    }

    /// The whole turn, `∮ sin α dφ`.
    #[must_use]
    pub fn whole_turn(&self) -> f64 {
        self.lengths().sums[self.legs.len()][3]
    }

    /// The length from the start to a place along the section at height `z` of the parallel surface at depth `d`.
    #[must_use]
    pub fn length(&self, at: Place, z: f64, d: f64) -> f64 {
        self.length_to(&self.mark(at), z, d)
    }

    /// The same to a mark.
    #[must_use]
    pub fn length_to(&self, at: &Mark, z: f64, d: f64) -> f64 {
        let (z0, z1) = self.strip.heights();
        let s = (z - z0) / (z1 - z0);
        let [h0, h1, secant, _] = at.sums;
        let k = at.rule.support_at(z, d).1 - self.first.support_at(z, d).1;
        k + h0 * (1.0 - s) + h1 * s + d * secant
    }

    /// The girth at height `z` of the parallel surface at depth `d`.
    #[must_use]
    pub fn around(&self, z: f64, d: f64) -> f64 {
        self.length(self.ends().1, z, d)
    }

    /// The area within the section at height `z` of the parallel surface at depth `d`:
    /// `½ ∮ h ds = ½ ([h k] + ∫ (h² − k²) dφ)`.
    #[must_use]
    pub fn area(&self, z: f64, d: f64) -> f64 {
        let mut sum = num::Sum::new();
        for leg in 0..self.legs.len() {
            let at = |t: f64| self.rule(Place { leg, t }).support_at(z, d);
            let ((h, k), (h_end, k_end)) = (at(0.0), at(1.0));
            sum.add(h_end * k_end - h * k);
            if let Leg::Turn { .. } = self.legs[leg] {
                sum.add(super::section::integral(0.0, 1.0, |t| {
                    let (h, k) = at(t);
                    (h * h - k * k) * self.turning(Place { leg, t })
                }));
            }
        }
        0.5 * sum.value()
    }

    /// How far the section at height `z` and depth `d` reaches in the direction `phi`.
    #[must_use]
    pub fn reach(&self, phi: f64, z: f64, d: f64) -> f64 {
        self.at_normal(phi).iter().map(|&p| self.rule(p).support_at(z, d).0).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Its full width along the direction `phi`.
    #[must_use]
    pub fn width(&self, phi: f64, z: f64, d: f64) -> f64 {
        self.reach(phi, z, d) + self.reach(phi + num::PI, z, d)
    }

    /// The stretch of length `wide` of the parallel at depth `d` and height `z` that has the rule facing `phi` in its
    /// middle: of a side that faces there its middle, on a hollow wall the outermost rule.
    #[must_use]
    pub fn about(&self, phi: f64, wide: f64, z: f64, d: f64) -> Option<(Place, Place)> {
        let places = self.at_normal(phi);
        let side = self.side_middle(phi);
        let reach = |p: &Place| self.rule(*p).support_at(z, d).0;
        let middle = side.or_else(|| places.iter().copied().max_by(|a, b| reach(a).total_cmp(&reach(b))))?;
        // Where the section runs back there may be three places so far away: the nearest one on either hand.
        let s = self.length(middle, z, d);
        let (from, to) = (s - 0.5 * wide, s + 0.5 * wide);
        let mut before = middle.leg;
        while before > 0 && self.length(Place { leg: before, t: 0.0 }, z, d) > from {
            before -= 1;
        }
        let last = self.legs.len() - 1;
        let mut behind = middle.leg;
        while behind < last && self.length(Place { leg: behind, t: 1.0 }, z, d) < to {
            behind += 1;
        }
        let range = |leg: usize, whole: (f64, f64), own: (f64, f64)| if leg == middle.leg { own } else { whole };
        let one = self.at_length_on(before, range(before, (0.0, 1.0), (0.0, middle.t)), from, (z, d));
        let other = self.at_length_on(behind, range(behind, (0.0, 1.0), (middle.t, 1.0)), to, (z, d));
        Some((one, other))
    }

    /// Every place whose rule's normal points to `phi` (of a side, its start): several where the wall is hollow.
    #[must_use]
    pub fn at_normal(&self, phi: f64) -> Vec<Place> {
        let mut places = Vec::new();
        for (leg, one) in self.legs.iter().enumerate() {
            match *one {
                Leg::Side { first, .. } => {
                    if num::wrap(phi - first.phi + 1e-9, TAU) < 2e-9 {
                        places.push(Place { leg, t: 0.0 });
                    }
                }
                Leg::Turn { from, to, warp, .. } => {
                    let (low, high) = (from.min(to), from.max(to));
                    let at = low + num::wrap(phi - low + 1e-9, TAU) - 1e-9;
                    if at <= high + 1e-9 {
                        places.push(Place { leg, t: warp.inverse((at - from) / (to - from)) });
                    }
                }
            }
        }
        places
    }

    /// The middle of the first straight side that faces `phi`, however it is cut; of a side at the start that of its
    /// first half.
    #[must_use]
    pub fn side_middle(&self, phi: f64) -> Option<Place> {
        let faces = |one: &Leg| matches!(one, Leg::Side { first, .. } if num::wrap(phi - first.phi + 1e-9, TAU) < 2e-9);
        let start = self.legs.iter().position(faces)?;
        let cut = self.legs[start..].iter().take_while(|one| faces(one)).count();
        if cut == 1 {
            return Some(Place { leg: start, t: 0.5 });
        }
        let (Leg::Side { first, .. }, Leg::Side { last, .. }) = (&self.legs[start], &self.legs[start + cut - 1]) else {
            return None;
        };
        self.find(&first.between(last, 0.5))
    }

    /// The place of a rule of this strip.
    #[must_use]
    pub fn find(&self, rule: &Rule) -> Option<Place> {
        let mut best: Option<(f64, Place)> = None;
        for mut place in self.at_normal(rule.phi) {
            if let Leg::Side { first, last } = &self.legs[place.leg] {
                let (run0, run1) = (last.k0 - first.k0, last.k1 - first.k1);
                let along = (rule.k0 - first.k0) * run0 + (rule.k1 - first.k1) * run1;
                place.t = (along / (run0 * run0 + run1 * run1)).clamp(0.0, 1.0);
            }
            let r = self.rule(place);
            let miss =
                (r.h0 - rule.h0).abs() + (r.k0 - rule.k0).abs() + (r.h1 - rule.h1).abs() + (r.k1 - rule.k1).abs();
            if best.is_none_or(|b| miss < b.0 - tol::SAME) {
                best = Some((miss, place));
            }
        }
        best.map(|b| b.1)
    }

    /// The place a length `s` from the start along the section at height `z` of the parallel surface at depth `d`
    /// (clamped to the walk's ends).
    #[must_use]
    pub fn at_length(&self, s: f64, z: f64, d: f64) -> Place {
        let mut leg = 0;
        let last = self.legs.len() - 1;
        while leg < last && self.length(Place { leg, t: 1.0 }, z, d) < s {
            leg += 1;
        }
        if !self.may_run_back {
            return self.at_length_on(leg, (0.0, 1.0), s, (z, d));
        }
        // Where the parallel runs back, which it does at ends of legs, there may be three places so far away: the first
        // is meant.
        let at = |leg: usize, i: u32| Place { leg, t: f64::from(i) / f64::from(PASSES) };
        let miss = |leg: usize, i: u32| self.length(at(leg, i), z, d) - s;
        let beside = |leg: &usize| miss(*leg, PASSES).abs() < BACK;
        let steps = (leg.saturating_sub(1)..=leg).filter(beside).flat_map(|leg| (1..=PASSES).map(move |i| (leg, i)));
        match steps.into_iter().find(|&(leg, i)| miss(leg, i) >= 0.0) {
            Some((leg, i)) => self.at_length_on(leg, (at(leg, i - 1).t, at(leg, i).t), s, (z, d)),
            None => self.at_length_on(leg, (0.0, 1.0), s, (z, d)),
        }
    }

    /// The same between two shares of one leg, clamped to them.
    fn at_length_on(&self, leg: usize, (t0, t1): (f64, f64), s: f64, (z, d): (f64, f64)) -> Place {
        let miss = |t: f64| self.length(Place { leg, t }, z, d) - s;
        let (start, end) = (miss(t0), miss(t1));
        if start >= 0.0 {
            return Place { leg, t: t0 };
        }
        if end <= 0.0 {
            return Place { leg, t: t1 };
        }
        let t = match self.legs[leg] {
            Leg::Side { .. } => t0 + (t1 - t0) * start / (start - end),
            Leg::Turn { .. } => num::root(t0, t1, 1e-16, miss).unwrap_or(t1),
        };
        Place { leg, t }
    }
}

fn rule(strip: &Strip, legs: &[Leg], at: Place) -> Rule {
    match &legs[at.leg] {
        Leg::Side { first, last } => first.between(last, at.t),
        turn @ Leg::Turn { stretch, .. } => strip.rule(*stretch, turned(turn, at.t)),
    }
}

/// The normal's angle at a share of a turn.
fn turned(leg: &Leg, t: f64) -> f64 {
    match *leg {
        Leg::Side { first, .. } => first.phi,
        Leg::Turn { from, to, warp, .. } => {
            let g = warp.at(t).0;
            if g >= 1.0 { to } else { from + (to - from) * g }
        }
    }
}

/// The legs of a strip: sides between its stretches, the one at its start cut in the middle.
fn legs(strip: &Strip, cuts: &[Stop]) -> Vec<Leg> {
    let stretches = strip.stretches();
    let mut legs = Vec::with_capacity(2 * stretches.len() + cuts.len() + 1);
    let straight = |first: Rule, last: Rule| (last.k0 - first.k0).abs().max((last.k1 - first.k1).abs()) > tol::SAME;
    let final_rule = strip.rule(stretches.len() - 1, stretches[stretches.len() - 1].to);
    let first_rule = strip.rule(0, stretches[0].from);
    let around = straight(final_rule, first_rule);
    if around {
        let middle = final_rule.turned_to(first_rule.phi).between(&first_rule, 0.5);
        side(&mut legs, middle, first_rule, cuts);
    }
    for (i, s) in stretches.iter().enumerate() {
        if i > 0 {
            let (first, last) = (strip.rule(i - 1, stretches[i - 1].to), strip.rule(i, s.from));
            if straight(first, last) {
                side(&mut legs, first, last, cuts);
            }
        }
        let (low, high) = (s.from.min(s.to), s.from.max(s.to));
        let mut inner: Vec<f64> = cuts
            .iter()
            .map(|c| low + num::wrap(c.phi() - low, TAU))
            .filter(|c| *c > low + 1e-9 && *c < high - 1e-9)
            .collect();
        inner.sort_by(f64::total_cmp);
        inner.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        if s.to < s.from {
            inner.reverse();
        }
        let mut from = s.from;
        for to in inner.into_iter().chain([s.to]) {
            let warp = Warp {
                start: exponent(s.lower, from).max(exponent(s.upper, from)),
                end: exponent(s.lower, to).max(exponent(s.upper, to)),
            };
            legs.push(Leg::Turn { stretch: i, from, to, warp });
            from = to;
        }
    }
    if around {
        let middle = final_rule.between(&first_rule, 0.5);
        side(&mut legs, final_rule, middle, cuts);
    }
    legs
}

/// A straight side, cut at the rules that lie on it.
fn side(legs: &mut Vec<Leg>, first: Rule, last: Rule, cuts: &[Stop]) {
    let (run0, run1) = (last.k0 - first.k0, last.k1 - first.k1);
    let share = |stop: &Stop| {
        let Stop::Rule(rule) = stop else { return None };
        let turn = (rule.phi - first.phi) / TAU;
        let near = (turn - turn.round()).abs() < 1e-9 && (rule.h0 - first.h0).abs() + (rule.h1 - first.h1).abs() < 1e-6;
        let along = (rule.k0 - first.k0) * run0 + (rule.k1 - first.k1) * run1;
        let share = along / (run0 * run0 + run1 * run1);
        (near && share > 1e-9 && share < 1.0 - 1e-9).then_some(share)
    };
    let mut shares: Vec<f64> = cuts.iter().filter_map(share).collect();
    shares.sort_by(f64::total_cmp);
    shares.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let mut from = first;
    for to in shares.into_iter().map(|s| first.between(&last, s)).chain([last]) {
        legs.push(Leg::Side { first: from, last: to });
        from = to;
    }
}

/// How a curve's rim moves at `phi`: 1 where it is regular, `power − 1` (at most 12) where a fuller oval is flat.
fn exponent(curve: Curve, phi: f64) -> f64 {
    let fullest = curve.flat_at(phi);
    if fullest == 2.0 { 1.0 } else { (fullest - 1.0).clamp(1.0, 12.0) }
}

#[cfg(test)]
mod tests {
    use super::super::Vec2;
    use super::super::section::{Element, Section};
    use super::*;
    use crate::num::{FRAC_PI_2, PI};

    #[test]
    fn a_stretch_ends_at_the_nearest_place_on_either_hand() {
        // A rounded rectangle below, a circle above: on the sheet's inner face its sides run back there, and what lies
        // beside them is passed three times.
        let corner = |i: i32| {
            let turn = f64::from(i) * FRAC_PI_2;
            let (x, y) = [(15.0, 9.0), (-15.0, 9.0), (-15.0, -9.0), (15.0, -9.0)][i as usize];
            Element { from: turn, to: turn + FRAC_PI_2, curve: Curve::Round { centre: Vec2::new(x, y), radius: 5.0 } }
        };
        let below = Section::new((0..4).map(corner).collect()).expect("a rounded rectangle");
        let strip = Strip::new(&below, 0.0, &Section::circle(8.0), 25.0).expect("a wall");
        let walk = Walk::new(&strip.begun_at(0.8).expect("convex"));
        let (z, d) = (25.0, -3.0);
        let to = |leg: usize, t: f64| walk.length(Place { leg, t }, z, d);
        let side = |phi: f64| walk.at_normal(phi).into_iter().find(|p| matches!(walk.legs()[p.leg], Leg::Side { .. }));
        // Between the sides that face left and back, and between those that face back and right.
        let [left, back, right] = [FRAC_PI_2, PI, 3.0 * FRAC_PI_2].map(|phi| side(phi).expect("a side").leg);
        for (before, behind) in [(left, back), (back, right)] {
            let phi = 0.5 * (walk.normal(Place { leg: before, t: 0.0 }) + walk.normal(Place { leg: behind, t: 0.0 }));
            let middle = walk.at_normal(phi)[0];
            let s = walk.length(middle, z, d);
            assert!(to(behind, 1.0) < to(behind, 0.0) - 0.1 && to(before, 1.0) < to(before, 0.0) - 0.1);
            for (half, ahead) in [(to(behind, 0.0) - s - 0.1, true), (s - to(before, 1.0) - 0.1, false)] {
                let (from, to) = walk.about(phi, 2.0 * half, z, d).expect("it faces there");
                let there = if ahead { to } else { from };
                assert!(there.leg > before && there.leg < behind, "{there:?} between {before} and {behind}");
                assert!(((walk.length(there, z, d) - s).abs() - half).abs() < 1e-6);
            }
        }
    }
}
