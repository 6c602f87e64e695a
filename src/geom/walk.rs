//! A walk round a wall: its stretches and straight sides in order, from the rule where the strip begins (in the
//! middle of a side there) once round, with the integrals along it that every length and turn is made of.
//!
//! A parallel surface at depth `d`, cut at height `z`, has the same rules; its rim is `[k] + ∫ h dφ` long with
//! `h = h0 + (h1 − h0)(z − z0)/H + d sec α`. So the integrals of `h0`, `h1`, `sec α` and `sin α` serve all heights
//! and depths.

use core::cell::OnceCell;
use std::sync::Arc;

use super::recent::Recent;
use super::series::Series;
use super::strip::{Rule, Strip};
use super::{section::Curve, tol};
use crate::num::{self, TAU};

/// One leg of the walk.
#[derive(Clone, Debug, PartialEq)]
pub enum Leg {
    /// The normal turns from `from` to `to` within one stretch (backwards on a hollow arc).
    Turn { stretch: usize, from: f64, to: f64, warp: Warp },
    /// A straight side: every rule from the first to the last has the same normal.
    Side { first: Rule, last: Rule },
}

/// How the share of a turn maps to the normal's angle: `φ = from + (to − from) g(t)`,
/// `g = tᵖ/(tᵖ + (1 − t)^q)`, linear for `p = q = 1`. At the flat places of an oval fuller than an ellipse the rim
/// moves like `φ^(1/(power − 1))`, so `p = power − 1` makes it regular in `t`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warp {
    start: f64,
    end: f64,
}

impl Warp {
    const NONE: Self = Self { start: 1.0, end: 1.0 };

    /// `g` and `g'`.
    fn at(self, t: f64) -> (f64, f64) {
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
    fn inverse(self, value: f64) -> f64 {
        if self == Self::NONE || value <= 0.0 || value >= 1.0 {
            return value.clamp(0.0, 1.0);
        }
        num::root(0.0, 1.0, 1e-16, |t| self.at(t).0 - value).unwrap_or(value)
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

    /// The same, its turns cut at these normals as well.
    #[must_use]
    pub fn with_cuts(strip: &Strip, cuts: &[f64]) -> Self {
        let legs = legs(strip, cuts);
        let first = rule(strip, &legs, Place { leg: 0, t: 0.0 });
        Self { strip: strip.clone(), legs, lengths: OnceCell::new(), first }
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
        rule(&self.strip, &self.legs, at)
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
        self.radii_at(at, self.normal(at))
    }

    /// The same where the normal's angle there is known.
    pub(super) fn radii_at(&self, at: Place, phi: f64) -> (f64, f64) {
        let Leg::Turn { stretch, .. } = self.legs[at.leg] else { return (0.0, 0.0) };
        let s = &self.strip.stretches()[stretch];
        let along = num::sin_cos(phi);
        (s.lower.radius_along(along), s.upper.radius_along(along))
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
        let side = places.iter().find(|p| matches!(self.legs[p.leg], Leg::Side { .. })).map(|p| Place { t: 0.5, ..*p });
        let reach = |p: &Place| self.rule(*p).support_at(z, d).0;
        let middle = side.or_else(|| places.iter().copied().max_by(|a, b| reach(a).total_cmp(&reach(b))))?;
        let s = self.length(middle, z, d);
        Some((self.at_length(s - 0.5 * wide, z, d), self.at_length(s + 0.5 * wide, z, d)))
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
        let miss = |t: f64| self.length(Place { leg, t }, z, d) - s;
        let (start, end) = (miss(0.0), miss(1.0));
        if start >= 0.0 {
            return Place { leg, t: 0.0 };
        }
        if end <= 0.0 {
            return Place { leg, t: 1.0 };
        }
        let t = match self.legs[leg] {
            Leg::Side { .. } => start / (start - end),
            Leg::Turn { .. } => num::root(0.0, 1.0, 1e-16, miss).unwrap_or(1.0),
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
fn legs(strip: &Strip, cuts: &[f64]) -> Vec<Leg> {
    let stretches = strip.stretches();
    let mut legs = Vec::with_capacity(2 * stretches.len() + cuts.len() + 1);
    let straight = |first: Rule, last: Rule| (last.k0 - first.k0).abs().max((last.k1 - first.k1).abs()) > tol::SAME;
    let final_rule = strip.rule(stretches.len() - 1, stretches[stretches.len() - 1].to);
    let first_rule = strip.rule(0, stretches[0].from);
    let around = straight(final_rule, first_rule);
    if around {
        let last = Rule { phi: first_rule.phi, ..first_rule };
        let middle = Rule { phi: first_rule.phi, ..final_rule }.between(&last, 0.5);
        legs.push(Leg::Side { first: middle, last });
    }
    for (i, s) in stretches.iter().enumerate() {
        if i > 0 {
            let (first, last) = (strip.rule(i - 1, stretches[i - 1].to), strip.rule(i, s.from));
            if straight(first, last) {
                legs.push(Leg::Side { first, last });
            }
        }
        let (low, high) = (s.from.min(s.to), s.from.max(s.to));
        let mut inner: Vec<f64> = cuts
            .iter()
            .map(|c| low + num::wrap(c - low, TAU))
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
        legs.push(Leg::Side { first: final_rule, last: middle });
    }
    legs
}

/// How a curve's rim moves at `phi`: 1 where it is regular, `power − 1` (at most 12) where a fuller oval is flat.
fn exponent(curve: Curve, phi: f64) -> f64 {
    let fullest = curve.flat_at(phi);
    if fullest == 2.0 { 1.0 } else { (fullest - 1.0).clamp(1.0, 12.0) }
}
