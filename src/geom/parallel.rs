//! Whether the parallel surfaces of a wall (its faces and its neutral surface) exist, and how tightly they bend.
//!
//! At depth `d` and height `z` a rim's radius of curvature is `ρ_z + d (cos α / cos²β + sin α (ρ1 − ρ0)/H)`, where
//! `tan β = cos α (k1 − k0)/H` leans the rule sideways. Derivation: `ρ = h + h''` of `h_z + d sec α`, with
//! `(sec α)' = sin α u'`, `u' = (k1 − k0)/H`, `u'' = (ρ1 − ρ0)/H − u` and `(sin α)' = cos³α u'`. The sheet's bend has the
//! radius `ρ sec α cos²β` (Euler's and Meusnier's theorems: do Carmo, Differential Geometry of Curves and Surfaces, 3-2),
//! which along the normal grows by exactly `d`.

use std::sync::Arc;

use super::recent::Recent;
use super::section::Curve;
use super::strip::{Rule, Strip};
use super::tol;
use super::walk::{Leg, Mark, Place, Walk};

/// Why a parallel surface does not exist.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ParallelFault {
    /// A rounding (or a sharp corner) is tighter than its depth. At normal `phi`, height `z` and depth `depth` the
    /// sheet's bend would have the radius `radius < 0`; with this much `more` radius of the section on every face it
    /// would just do.
    Corner { phi: f64, z: f64, depth: f64, radius: f64, more: f64 },
    /// A straight side at normal `phi` would have the length `length < 0`.
    Side { phi: f64, z: f64, depth: f64, length: f64 },
}

/// A rim that runs back on itself by no more than this, mm, and turns by no more than this on the way, is trimmed
/// where it crosses itself. So it is where a side or a flat place of one section faces a point of the other: beyond the
/// measured face's rim the parallel surface narrows past nothing, by `|d sin α|/H` of the side.
const SLIVER: f64 = 1.25;
const SLIVER_ANGLE: f64 = 0.0175;

/// A walk looked at all round, densely enough to find the least radius of each turn: serves every height and depth.
#[derive(Clone, Debug)]
pub struct Looked<'a> {
    walk: &'a Walk,
    turns: Arc<Turns>,
}

/// For each leg that turns, its windows from mark to mark with the rule in the middle of each.
type Turns = Vec<Option<Vec<(Mark, Rule, Mark)>>>;

/// A wall is looked at when it is shaped, and again before it is laid flat, at either rim.
static LOOKED: Recent<Turns, 8> = Recent::new();

/// Walls of more legs than this are not kept: they would take many megabytes.
const MOST_LEGS: usize = 16;

impl<'a> Looked<'a> {
    /// For rims whose height follows from the wall's own slope.
    #[must_use]
    pub fn new(walk: &'a Walk) -> Self {
        // Between circles on one axis every window is like every other.
        Self::with(walk, false, |leg| walk.curves(leg).is_some_and(on_one_axis))
    }

    /// For rims of any height.
    #[must_use]
    pub fn closely(walk: &'a Walk) -> Self {
        Self::with(walk, true, |_| false)
    }

    fn with(walk: &'a Walk, closely: bool, alike: impl Fn(usize) -> bool) -> Self {
        let make = || Self::turns(walk, alike);
        let key = walk.key().filter(|_| walk.legs().len() <= MOST_LEGS);
        let turns = match key {
            Some(mut key) => {
                key.push(u64::from(closely));
                LOOKED.get(key, make)
            }
            None => Arc::new(make()),
        };
        Self { walk, turns }
    }

    fn turns(walk: &Walk, alike: impl Fn(usize) -> bool) -> Turns {
        let windows = |leg: usize| {
            let mut windows = Vec::new();
            let mut last: Option<Mark> = None;
            let whole = alike(leg);
            for place in samples(walk, leg).filter(|p| !whole || p.t == 0.0 || p.t == 1.0) {
                let next = walk.mark(place);
                if let Some(last) = last {
                    let middle = walk.rule(Place { leg, t: 0.5 * (last.place.t + place.t) });
                    windows.push((last, middle, next));
                }
                last = Some(next);
            }
            windows
        };
        let turns = walk.legs().iter().enumerate();
        turns.map(|(i, leg)| matches!(leg, Leg::Turn { .. }).then(|| windows(i))).collect()
    }

    /// Looks at one parallel surface at one height all round. For a square cut pass the height of the rim at the
    /// measured face: the foot of the normal there is what counts, see [`Looked::at_foot`].
    ///
    /// # Errors
    /// The worst fault round the wall.
    pub fn at_level(&self, z: f64, depth: f64) -> Result<(), ParallelFault> {
        self.along(depth, |_, _| z)
    }

    /// The same along the normals through the measured face at height `z`.
    ///
    /// # Errors
    /// The worst fault round the wall.
    pub fn at_foot(&self, z: f64, depth: f64) -> Result<(), ParallelFault> {
        self.along(depth, |_, rule| z - depth * rule.sine())
    }

    /// The same along a rim that stands at a height of its own at every place.
    ///
    /// # Errors
    /// The worst fault round the wall.
    pub(super) fn along(&self, depth: f64, height: impl Fn(Place, &Rule) -> f64) -> Result<(), ParallelFault> {
        let mut worst: Option<(f64, ParallelFault)> = None;
        for g in self.backward(depth, height) {
            // What hardly turns while it runs back is a side, or the flat place of a full oval.
            let fault = if g.angle > SLIVER_ANGLE {
                let Bend { phi, z, level, radius } = g.tightest;
                (-level, ParallelFault::Corner { phi, z, depth, radius, more: -level })
            } else if g.back > SLIVER {
                let (phi, z, _) = g.longest;
                (g.back, ParallelFault::Side { phi, z, depth, length: -g.back })
            } else {
                continue;
            };
            if worst.is_none_or(|w| fault.0 > w.0) {
                worst = Some(fault);
            }
        }
        worst.map_or(Ok(()), |f| Err(f.1))
    }

    /// The stretches that run back, round the whole wall.
    fn backward(&self, depth: f64, height: impl Fn(Place, &Rule) -> f64) -> Vec<Backward> {
        let mut found = Stretches::default();
        for (i, (leg, windows)) in self.walk.legs().iter().zip(self.turns.iter()).enumerate() {
            if let Leg::Side { first, last } = leg {
                let z = height(Place { leg: i, t: 0.5 }, first);
                let long = last.support_at(z, depth).1 - first.support_at(z, depth).1;
                let bend = Bend { phi: first.phi, z, level: f64::INFINITY, radius: f64::INFINITY };
                found.add(long, 0.0, bend);
            }
            let mut last: Option<(Place, f64)> = None;
            for (from, middle, to) in windows.iter().flatten() {
                let known = last.filter(|(place, _)| *place == from.place).map(|(_, z)| z);
                let (low, high) = (known.unwrap_or_else(|| height(from.place, &from.rule)), height(to.place, &to.rule));
                last = Some((to.place, high));
                let z = 0.5 * (low + high);
                let lean = (middle.k1 - middle.k0) / middle.rise();
                let long = self.walk.length_to(to, z, depth) - self.walk.length_to(from, z, depth);
                let turned = (to.rule.phi - from.rule.phi).abs();
                // The wall is folded over where its bend is below nothing (the level section runs back there), whatever
                // the way of a rim that rises or falls along it; and a rim that itself runs back is none.
                let level = long / turned.max(tol::SAME_ANGLE);
                let (sec, across) = (middle.secant(), lean / middle.secant());
                let radius = level * sec / (1.0 + across * across);
                found.add(long + ((high - low) * lean).min(0.0), turned, Bend { phi: middle.phi, z, level, radius });
            }
        }
        found.joined()
    }
}

/// A part that turns: its normal and height, the radius of its level section and of the sheet's bend.
#[derive(Clone, Copy)]
struct Bend {
    phi: f64,
    z: f64,
    level: f64,
    radius: f64,
}

/// A stretch of a rim that runs back.
#[derive(Clone, Copy)]
struct Backward {
    back: f64,
    angle: f64,
    /// The tightest part that turns.
    tightest: Bend,
    /// Normal, height and length of the longest part.
    longest: (f64, f64, f64),
}

impl Backward {
    fn take(&mut self, other: Self) {
        self.back += other.back;
        self.angle += other.angle;
        if other.tightest.level < self.tightest.level {
            self.tightest = other.tightest;
        }
        if other.longest.2 > self.longest.2 {
            self.longest = other.longest;
        }
    }
}

/// What runs back of a way round, collected step by step.
#[derive(Default)]
struct Stretches {
    found: Vec<Backward>,
    started: bool,
    /// Whether the first and the latest step run back.
    first: bool,
    latest: bool,
}

impl Stretches {
    fn add(&mut self, long: f64, turned: f64, bend: Bend) {
        let back = long < -tol::SAME * turned.max(tol::SAME);
        if back {
            let longest = (bend.phi, bend.z, -long);
            let step = Backward { back: -long, angle: turned, tightest: bend, longest };
            match self.found.last_mut() {
                Some(g) if self.latest => g.take(step),
                _ => self.found.push(step),
            }
        }
        if !self.started {
            (self.started, self.first) = (true, back);
        }
        self.latest = back;
    }

    /// The way's end is its start.
    fn joined(mut self) -> Vec<Backward> {
        if self.first
            && self.latest
            && self.found.len() > 1
            && let Some(last) = self.found.pop()
        {
            self.found[0].take(last);
        }
        self.found
    }
}

/// Whether the faces and the neutral surface of a sheet exist from its lower to its upper plane, cut level.
///
/// # Errors
/// The worst fault of the depths, in their order.
pub fn check(strip: &Strip, depths: &[f64]) -> Result<(), ParallelFault> {
    let walk = Walk::new(strip);
    let looked = Looked::new(&walk);
    let (z0, z1) = strip.heights();
    for &depth in depths {
        looked.at_level(z0, depth)?;
        looked.at_level(z1, depth)?;
    }
    Ok(())
}

/// Circles (or a point) about one axis: every slope along them is one.
pub(super) fn on_one_axis((lower, upper): (Curve, Curve)) -> bool {
    match (lower, upper) {
        (Curve::Round { centre: a, .. }, Curve::Round { centre: b, .. }) => (a - b).length() < 1e-9,
        _ => false,
    }
}

/// Places of a turn, dense enough to find its least radius.
fn samples(walk: &Walk, leg: usize) -> impl Iterator<Item = Place> {
    let span = match walk.legs()[leg] {
        Leg::Side { .. } => 0.0,
        Leg::Turn { from, to, .. } => (to - from).abs(),
    };
    let n = (span / 0.5f64.to_radians()).ceil().clamp(8.0, 400.0);
    core::iter::successors(Some(0.0), move |i| (*i < n).then_some(i + 1.0)).map(move |i| Place { leg, t: i / n })
}

/// The radius of curvature of the section at height `z` of the parallel surface at depth `d`; negative on a hollow
/// arc, infinite where it is flat.
#[must_use]
pub fn radius(walk: &Walk, at: Place, z: f64, d: f64) -> f64 {
    radius_on(walk, at, &walk.rule(at), z, d)
}

/// The same where the rule at the place is known.
#[must_use]
pub fn radius_on(walk: &Walk, at: Place, rule: &Rule, z: f64, d: f64) -> f64 {
    let (r0, r1) = walk.radii_on(at, rule);
    if !(r0.is_finite() && r1.is_finite()) {
        return f64::INFINITY;
    }
    let s = (z - rule.z0) / rule.rise();
    let sec = rule.secant();
    let lean = (rule.k1 - rule.k0) / (rule.rise() * sec);
    let per_depth = (1.0 + lean * lean) / sec + rule.sine() * (r1 - r0) / rule.rise();
    r0 + (r1 - r0) * s + d * per_depth
}

/// The radius to which the sheet is bent there: across the rule, on the surface at depth `d`, at height `z`.
#[must_use]
pub fn bend(walk: &Walk, at: Place, z: f64, d: f64) -> f64 {
    let rule = walk.rule(at);
    let sec = rule.secant();
    let lean = (rule.k1 - rule.k0) / (rule.rise() * sec);
    radius_on(walk, at, &rule, z, d) * sec / (1.0 + lean * lean)
}

/// The tightest bend of the face at depth `d` along the normals through the measured face at height `z` (hollow bends
/// count by their size), between two places of the walk, and where; `None` when the wall is flat everywhere. Along a
/// normal the bend's radius grows by exactly the depth.
#[must_use]
pub fn tightest(walk: &Walk, (from, to): (Place, Place), z: f64, d: f64) -> Option<(f64, Place)> {
    let mut best: Option<(f64, Place)> = None;
    for (leg, one) in walk.legs().iter().enumerate() {
        let &Leg::Turn { from: a, to: b, .. } = one else { continue };
        let sense = if b < a { -1.0 } else { 1.0 };
        for at in samples(walk, leg).filter(|at| *at >= from && *at <= to) {
            let r = sense * (bend(walk, at, z, 0.0) + d);
            if r.is_finite() && best.is_none_or(|b| r < b.0 - tol::SAME) {
                best = Some((r, at));
            }
        }
    }
    best
}

/// The height at which the parallel surface at depth `d` of a wall that ends in a point first closes: where, going
/// from the open end to the point, a radius or a side first comes to nothing. `None` when neither end is a point.
#[must_use]
pub fn closes_at(strip: &Strip, d: f64) -> Option<f64> {
    let walk = Walk::new(strip);
    let (z0, z1) = strip.heights();
    let (lower, upper) = (walk.around(z0, 0.0) < tol::SAME, walk.around(z1, 0.0) < tol::SAME);
    if lower == upper {
        return None;
    }
    let (open, point) = if upper { (z0, z1) } else { (z1, z0) };
    let mut best: Option<f64> = None;
    let mut keep = |share: f64| {
        if share.is_finite() && best.is_none_or(|b| share < b) {
            best = Some(share);
        }
    };
    for (i, leg) in walk.legs().iter().enumerate() {
        match leg {
            Leg::Side { first, last } => {
                let length = |z: f64| last.support_at(z, d).1 - first.support_at(z, d).1;
                let (a, b) = (length(open), length(point));
                keep(a / (a - b));
            }
            Leg::Turn { .. } => {
                for at in samples(&walk, i) {
                    let (a, b) = (radius(&walk, at, open, d), radius(&walk, at, point, d));
                    if (a - b).abs() > tol::SAME {
                        keep(a / (a - b));
                    }
                }
            }
        }
    }
    best.map(|share| open + (point - open) * share)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;

    fn wall(a: &Section, b: &Section, h: f64) -> Strip {
        Strip::new(a, 0.0, b, h).expect("a wall")
    }

    #[test]
    fn a_cone_closes_at_the_apex_of_its_neutral_surface() {
        // Radius 30 on the measured face, 40 tall: sin α = −0.6, so depth d moves the apex by d / 0.6 (plane geometry).
        let cone = wall(&Section::circle(30.0), &Section::point(super::super::Vec2::ZERO), 40.0);
        for d in [-2.5, 0.0, 1.5] {
            let z = closes_at(&cone, d).expect("it ends in a point");
            assert!((z - (40.0 + d / 0.6)).abs() < 1e-9, "{d}: {z}");
        }
        assert_eq!(closes_at(&wall(&Section::circle(30.0), &Section::circle(1.0), 40.0), 0.0), None);
    }

    #[test]
    fn the_bend_grows_by_the_depth_along_the_normal() {
        let oval = wall(&Section::oval(35.0, 52.5, 2.0), &Section::oval(60.0, 60.0, 2.0), 150.0);
        let walk = Walk::new(&oval);
        for t in [0.1, 0.4, 0.8] {
            let at = Place { leg: 1, t };
            let sine = walk.rule(at).sine();
            let (r0, r1) = (bend(&walk, at, 70.0, 0.0), bend(&walk, at, 70.0 - 4.0 * sine, 4.0));
            assert!((r1 - r0 - 4.0).abs() < 1e-9, "{r0} {r1}");
        }
    }

    #[test]
    fn a_corner_tighter_than_the_sheet_is_named() {
        let strip = wall(&Section::circle(3.0), &Section::circle(3.0), 50.0);
        assert_eq!(check(&strip, &[-3.0]), Ok(()));
        let Err(ParallelFault::Corner { more, .. }) = check(&strip, &[-5.0]) else { panic!("a fault was due") };
        assert!((more - 2.0).abs() < 1e-9);
    }
}
