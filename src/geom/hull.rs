//! The developable wall between two convex sections whose planes may lean: the side of the hull of both. Its planes are
//! told apart by the level direction `n(φ)` that they face and by their slope `s = tan α`: `n·(x, y) − s z = g`. A
//! section that stands over its own plane `z = z0 + a·(x, y)` (its points are those of a level one, lifted along the
//! axis) is touched at `g = H(n − s a) − s z0`, with `H` the support of the level one for normals of any length; the
//! wall's plane touches both, and that says `s`. Then the wall has at every height the support `h = g + s z`, a level
//! section like any other, and everything that is known of walls between level sections holds of it.
//!
//! With `X(φ)` the point touched at one end, at the height `Z`, and `t` the level direction left of `n`:
//! `s' = (B − A)·t / (Z_B − Z_A)`, `h' = A·t + s' (z − Z_A)`, and the radius `h + h''` follows from one more derivative.

use super::curve::{Curve, Support, Weighed};
use super::section::{Element, Section};
use super::strip::{Stretch, Strip, StripFault};
use super::{Vec2, left_of, tol, unit};
use crate::num::{self, PI, TAU};

/// A stretch of a section over a plane that leans: a circle and two ovals added, lifted along the axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lifted {
    centre: Vec2,
    radius: f64,
    ovals: [Weighed; 2],
    plane: Over,
}

/// A plane that the axis passes through: its height over each level point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Over {
    /// On the axis.
    pub z: f64,
    /// How much higher it is for one of length to the front, and to the left.
    pub slope: Vec2,
}

impl Over {
    #[must_use]
    pub fn level(z: f64) -> Self {
        Self { z, slope: Vec2::ZERO }
    }

    #[must_use]
    pub fn is_level(&self) -> bool {
        self.slope == Vec2::ZERO
    }

    #[must_use]
    pub fn height(&self, at: Vec2) -> f64 {
        self.z + self.slope.dot(at)
    }
}

/// Where a plane of the wall touches one end.
#[derive(Clone, Copy, Debug)]
struct Touch {
    /// `g` of the plane of that slope which touches it.
    reach: f64,
    /// The point touched, seen along the axis, and its height.
    at: Vec2,
    high: f64,
    /// The direction of the level curve's normal there.
    along: Vec2,
    /// `|n − s a|`.
    long: f64,
}

impl Lifted {
    pub(super) fn new(curve: Curve, plane: Over) -> Self {
        let (centre, radius, ovals) = curve.parts();
        Self { centre, radius, ovals, plane }
    }

    fn curve(&self) -> Curve {
        Curve::Sum { centre: self.centre, radius: self.radius, ovals: self.ovals }
    }

    /// What is known of a plane of another slope that faces the same way tells all of this one where the end is level.
    fn touch(&self, n: Vec2, s: f64, known: Option<&Touch>) -> Touch {
        if let Some(known) = known.filter(|_| self.plane.is_level()) {
            return Touch { reach: known.at.dot(n) - s * self.plane.z, ..*known };
        }
        let m = n - self.plane.slope * s;
        let long = m.length();
        let along = m / long;
        let support = self.curve().support_along((along.y, along.x));
        let at = along * support.h + left_of(along) * support.k;
        Touch { reach: long * support.h - s * self.plane.z, at, high: self.plane.height(at), along, long }
    }

    /// How the touched point moves as the plane turns, `ds/dφ` being known.
    fn moves(&self, touch: &Touch, t: Vec2, turn: f64) -> Vec2 {
        let radius = self.curve().radius_along((touch.along.y, touch.along.x));
        let rate = touch.along.perp_dot(t - self.plane.slope * turn) / touch.long;
        left_of(touch.along) * (radius * rate)
    }

    pub(super) fn scaled(&self, k: f64) -> Self {
        let plane = Over { z: self.plane.z * k, ..self.plane };
        Self { centre: self.centre * k, radius: self.radius * k, ovals: self.ovals.map(|o| o.scaled(k)), plane }
    }

    /// Seen from a place that lies `-by` beside the axis.
    pub(super) fn moved(&self, by: Vec2) -> Self {
        let plane = Over { z: self.plane.z - self.plane.slope.dot(by), ..self.plane };
        Self { centre: self.centre + by, plane, ..*self }
    }

    pub(super) fn spun(&self, turn: Vec2) -> Self {
        let plane = Over { slope: turn.rotate(self.plane.slope), ..self.plane };
        Self { centre: turn.rotate(self.centre), ovals: self.ovals.map(|o| o.spun(turn)), plane, ..*self }
    }

    /// The bits of every number of it.
    pub(super) fn key(&self, key: &mut Vec<u64>) {
        let Self { centre, radius, plane, .. } = self;
        key.extend([centre.x, centre.y, *radius, plane.z, plane.slope.x, plane.slope.y].map(f64::to_bits));
        self.ovals.iter().for_each(|o| o.key(key));
    }
}

/// After a step so small the slope is known to its last digits.
const NEAR: f64 = 1e-9;
/// Enough for steps that halve what is left at the worst.
const STEPS: u32 = 80;

/// The slope of the plane that touches both ends, facing `n`, and where it does.
fn tangent(touch: impl Fn(f64, [Option<&Touch>; 2]) -> [Touch; 2]) -> (f64, [Touch; 2]) {
    // What the plane at one end lies before that at the other grows with the slope, by the height from one touched point
    // to the other: Newton's steps, or halvings where those leave the bracket.
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    let mut s = 0.0;
    let mut both = touch(s, [None; 2]);
    for _ in 0..STEPS {
        let [a, b] = both;
        let (off, rise) = (a.reach - b.reach, b.high - a.high);
        let newton = s - off / rise;
        // The next step would be as the square of this one.
        if (newton - s).abs() <= NEAR * (1.0 + s.abs()) {
            return (newton, touch(newton, [Some(&a), Some(&b)]));
        }
        if off > 0.0 {
            high = s;
        } else {
            low = s;
        }
        let within = newton > low && newton < high;
        s = if within || !(low.is_finite() && high.is_finite()) { newton } else { 0.5 * (low + high) };
        both = touch(s, [Some(&a), Some(&b)]);
    }
    (s, both)
}

/// Supports of the level sections at these heights, in the direction of this sine and cosine.
pub(super) fn supports<const N: usize>(
    ends: &[Lifted; 2],
    heights: [f64; N],
    (sine, cosine): (f64, f64),
) -> [Support; N] {
    let n = Vec2::new(cosine, sine);
    let (s, [a, b]) = tangent(|s, [a, b]| [ends[0].touch(n, s, a), ends[1].touch(n, s, b)]);
    let turn = (b.at - a.at).dot(left_of(n)) / (b.high - a.high);
    heights.map(|z| Support { h: a.reach + s * z, k: a.at.dot(left_of(n)) + turn * (z - a.high) })
}

/// Their radii of curvature; infinite where an end is flat.
pub(super) fn radii<const N: usize>(ends: &[Lifted; 2], heights: [f64; N], (sine, cosine): (f64, f64)) -> [f64; N] {
    let n = Vec2::new(cosine, sine);
    let (s, _) = tangent(|s, [a, b]| [ends[0].touch(n, s, a), ends[1].touch(n, s, b)]);
    radii_at(ends, heights, n, s)
}

/// The same where the slope of the plane that touches both ends is known.
pub(super) fn radii_at<const N: usize>(ends: &[Lifted; 2], heights: [f64; N], n: Vec2, s: f64) -> [f64; N] {
    let t = left_of(n);
    let [a, b] = [ends[0].touch(n, s, None), ends[1].touch(n, s, None)];
    let (run, rise) = (b.at - a.at, b.high - a.high);
    let turn = run.dot(t) / rise;
    let (da, db) = (ends[0].moves(&a, t, turn), ends[1].moves(&b, t, turn));
    if !(da.is_finite() && db.is_finite()) {
        return [f64::INFINITY; N];
    }
    let (za, zb) = (ends[0].plane.slope.dot(da), ends[1].plane.slope.dot(db));
    let second = ((db - da).dot(t) - run.dot(n) - turn * (zb - za)) / rise;
    heights.map(|z| da.dot(t) - turn * za + (s + second) * (z - a.high))
}

/// The fullness of an end that is flat there; 2 where none is.
pub(super) fn flat_at(ends: &[Lifted; 2], (sine, cosine): (f64, f64)) -> f64 {
    let n = Vec2::new(cosine, sine);
    let (_, both) = tangent(|s, [a, b]| [ends[0].touch(n, s, a), ends[1].touch(n, s, b)]);
    let flat = |(end, touch): (&Lifted, Touch)| end.curve().flat_along((touch.along.y, touch.along.x));
    ends.iter().zip(both).map(flat).fold(2.0, f64::max)
}

/// A whole convex section over its plane.
#[derive(Clone, Copy, Debug)]
struct Whole<'a> {
    section: &'a Section,
    plane: Over,
}

impl Whole<'_> {
    fn touch(&self, n: Vec2, s: f64, known: Option<&Touch>) -> Touch {
        let m = n - self.plane.slope * s;
        let along = num::atan2(m.y, m.x);
        let curve = self.element(along).curve;
        Lifted::new(curve, self.plane).touch(n, s, known)
    }

    /// The element whose normals point there.
    fn element(&self, phi: f64) -> &Element {
        let elements = self.section.elements();
        let holds = |e: &&Element| num::wrap(phi - e.from, TAU) <= e.to - e.from;
        elements.iter().find(holds).unwrap_or(&elements[0])
    }

    /// How far it reaches along the axis: lowest and highest.
    fn heights(&self) -> (f64, f64) {
        let steep = self.plane.slope.length();
        if steep == 0.0 {
            return (self.plane.z, self.plane.z);
        }
        let up = num::atan2(self.plane.slope.y, self.plane.slope.x);
        let reach = |phi: f64| steep * self.section.support(phi).h;
        (self.plane.z - reach(up + PI), self.plane.z + reach(up))
    }
}

/// The wall between two convex sections over their planes, from the highest place of the lower one to the lowest of the
/// upper one: beyond those it goes on to the planes.
///
/// # Errors
/// `HollowUnlike` where a section is hollow, `NoRise` where one does not lie above the other all round, `NoGirth` of two
/// points.
pub fn between(lower: (&Section, Over), upper: (&Section, Over)) -> Result<Strip, StripFault> {
    let [low, up] = [lower, upper].map(|(section, plane)| Whole { section, plane });
    if !(low.section.is_convex() && up.section.is_convex()) {
        return Err(StripFault::HollowUnlike);
    }
    if low.section.is_point() && up.section.is_point() {
        return Err(StripFault::NoGirth);
    }
    let (z0, z1) = (low.heights().1, up.heights().0);
    if z1 - z0 < LEAST {
        return Err(StripFault::NoRise);
    }
    // The normal at which each element of either end begins.
    let mut starts: Vec<f64> = Vec::new();
    for end in [0, 1] {
        for e in [low, up][end].section.elements() {
            let found = facing_of([low, up], end, e.from).ok_or(StripFault::NoRise)?;
            starts.push(num::wrap(found, TAU));
        }
    }
    let both = |phi: f64| touched([low, up], phi);
    starts.sort_by(f64::total_cmp);
    starts.dedup_by(|a, b| *a - *b < tol::SAME_ANGLE);
    if starts.len() > 1 && starts[0] + TAU - starts[starts.len() - 1] < tol::SAME_ANGLE {
        starts.pop();
    }
    let ends = starts.iter().skip(1).copied().chain([starts[0] + TAU]);
    let stretch = |(from, to): (f64, f64)| {
        let touched = both(0.5 * (from + to));
        let end = |whole: &Whole, i: usize| {
            let along = touched[i].along;
            Lifted::new(whole.element(num::atan2(along.y, along.x)).curve, whole.plane)
        };
        let ends = [end(&low, 0), end(&up, 1)];
        Stretch { from, to, lower: Curve::Hull { ends, z: z0 }, upper: Curve::Hull { ends, z: z1 } }
    };
    let stretches = starts.iter().copied().zip(ends).map(stretch).collect();
    Ok(Strip::of(z0, z1, stretches))
}

/// Where the plane that faces `phi` touches both ends.
fn touched([low, up]: [Whole<'_>; 2], phi: f64) -> [Touch; 2] {
    tangent(|s, [a, b]| [low.touch(unit(phi), s, a), up.touch(unit(phi), s, b)]).1
}

/// The way that the plane of the wall faces which touches one end where its section faces `way`.
fn facing_of(ends: [Whole<'_>; 2], end: usize, way: f64) -> Option<f64> {
    if ends[end].plane.is_level() {
        return Some(way);
    }
    let off = |phi: f64| {
        let along = touched(ends, phi)[end].along;
        let turn = num::atan2(along.y, along.x) - way;
        turn - (turn / TAU).round() * TAU
    };
    num::bisect(way - WIDE, way + WIDE, 0.0, off)
}

/// The way that the wall between these faces where the lower section faces `way`; on a straight side of that it is the
/// side's own.
#[must_use]
pub fn facing(lower: (&Section, Over), upper: (&Section, Over), way: f64) -> Option<f64> {
    facing_of([lower, upper].map(|(section, plane)| Whole { section, plane }), 0, way)
}

/// From the highest place of the lower section to the lowest of the upper one.
#[must_use]
pub fn rise(lower: (&Section, Over), upper: (&Section, Over)) -> f64 {
    let [low, up] = [lower, upper].map(|(section, plane)| Whole { section, plane });
    up.heights().0 - low.heights().1
}

/// The least [`rise`] of a wall, mm: what is reckoned between those heights is carried on to the planes.
pub const LEAST: f64 = 0.1;

/// A plane that touches the wall faces no further than this from where the section it touches faces.
const WIDE: f64 = 1.5;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Curve;
    use crate::geom::walk::Walk;
    use crate::num::FRAC_PI_2;

    /// A cone of radius `foot` at height 0 that narrows by `narrows` a millimetre, cut by a plane, as it is seen from
    /// above: `x² + y² = (r − κ x)²` with `r = foot − narrows z` and `κ = narrows · slope`, an ellipse off the axis.
    fn cut(foot: f64, narrows: f64, plane: Over) -> Section {
        let (r, k) = (foot - narrows * plane.z, narrows * plane.slope.length());
        let (a, b) = (r / (1.0 - k * k), r / (1.0 - k * k).sqrt());
        let turn = num::atan2(plane.slope.y, plane.slope.x);
        Section::oval(a, b, 2.0).set(turn, unit(turn) * (-r * k / (1.0 - k * k)))
    }

    #[test]
    fn between_two_sloping_cuts_of_a_cone_lies_that_cone() {
        let (foot, narrows) = (60.0, 0.3);
        let low = Over { z: 10.0, slope: Vec2::new(0.2, -0.1) };
        let up = Over { z: 90.0, slope: Vec2::new(-0.4, 0.3) };
        let strip = between((&cut(foot, narrows, low), low), (&cut(foot, narrows, up), up)).expect("a wall");
        let (z0, z1) = strip.heights();
        assert!(z0 > 10.0 && z1 < 90.0 && z1 - z0 > 10.0);
        for (i, s) in strip.stretches().iter().enumerate() {
            for share in [0.0, 0.3, 0.8, 1.0] {
                let rule = strip.rule(i, s.from + (s.to - s.from) * share);
                for z in [-5.0, z0, 50.0, z1, 120.0] {
                    let (h, k) = rule.support_at(z, 0.0);
                    assert!((h - (foot - narrows * z)).abs() < 1e-10 && k.abs() < 1e-9, "{h} {k} at {z}");
                }
                let radius = s.upper.radius(rule.phi);
                assert!((radius - (foot - narrows * z1)).abs() < 1e-8, "{radius}");
            }
        }
        let girth = Walk::new(&strip).around(50.0, 0.0);
        assert!((girth - TAU * (foot - narrows * 50.0)).abs() < 1e-8, "{girth}");
    }

    /// Points of a section over its plane, from the equations of its arcs and ovals.
    fn points(section: &Section, plane: Over) -> Vec<super::super::Vec3> {
        let count = 4000;
        let all = (0..count).map(|i| {
            let phi = TAU * f64::from(i) / f64::from(count);
            let at = section.support(phi).point(phi);
            at.extend(plane.height(at))
        });
        all.collect()
    }

    #[test]
    fn every_plane_of_the_wall_touches_both_ends_and_cuts_neither() {
        let corner = |i: i32| {
            let turn = f64::from(i) * FRAC_PI_2;
            let (x, y) = [(25.0, 14.0), (-25.0, 14.0), (-25.0, -14.0), (25.0, -14.0)][i as usize];
            Element { from: turn, to: turn + FRAC_PI_2, curve: Curve::Round { centre: Vec2::new(x, y), radius: 9.0 } }
        };
        let rounded = Section::new((0..4).map(corner).collect()).expect("a rounded rectangle");
        let low = Over { z: 0.0, slope: Vec2::new(0.35, 0.1) };
        let up = Over { z: 80.0, slope: Vec2::new(-0.2, 0.45) };
        for (below, above) in [
            (rounded.clone(), Section::oval(18.0, 30.0, 2.0).set(0.4, Vec2::new(6.0, -3.0))),
            (Section::oval(30.0, 22.0, 2.6), rounded.set(0.3, Vec2::new(-4.0, 9.0))),
            (rounded.clone(), Section::point(Vec2::new(8.0, 5.0))),
        ] {
            let strip = between((&below, low), (&above, up)).expect("a wall");
            let (a, b) = (points(&below, low), points(&above, up));
            let whole: f64 = strip.stretches().iter().map(|s| s.to - s.from).sum();
            assert!((whole - TAU).abs() < 1e-12);
            for (i, s) in strip.stretches().iter().enumerate() {
                for share in [0.02, 0.5, 0.97] {
                    let rule = strip.rule(i, s.from + (s.to - s.from) * share);
                    let normal = rule.normal();
                    let foot = rule.point(0.0, 0.0);
                    for list in [&a, &b] {
                        let most = list.iter().map(|p| (*p - foot).dot(normal)).fold(f64::NEG_INFINITY, f64::max);
                        // Between two of the points the section reaches a little further.
                        assert!(most < 1e-9 && most > -1e-3, "{most} at {}", rule.phi);
                    }
                }
            }
            // A rule's place and its radius by differences.
            let (z0, z1) = strip.heights();
            for (i, s) in strip.stretches().iter().enumerate() {
                let (phi, step) = (0.5 * (s.from + s.to), 1e-4 * (s.to - s.from));
                let at = |phi: f64| strip.rule(i, phi).support_at(z1, 0.0);
                let (before, here, behind) = (at(phi - step), at(phi), at(phi + step));
                let slope = |a: f64, b: f64| (b - a) / (2.0 * step);
                assert!((slope(before.0, behind.0) - here.1).abs() < 1e-5 * (1.0 + here.0.abs()));
                let radius = here.0 + slope(before.1, behind.1);
                assert!((s.upper.radius(phi) - radius).abs() < 1e-5 * (1.0 + here.0.abs()), "{radius} at {phi}");
            }
            assert!(z1 > z0);
        }
    }

    #[test]
    fn level_ends_give_the_wall_between_level_sections() {
        let (a, b) = (Section::oval(30.0, 50.0, 2.0), Section::circle(20.0).set(0.0, Vec2::new(5.0, 2.0)));
        let (one, other) =
            (between((&a, Over::level(0.0)), (&b, Over::level(70.0))), Strip::new(&a, 0.0, &b, 70.0).expect("a wall"));
        let one = one.expect("a wall");
        for i in 0..one.stretches().len() {
            let phi = 0.3 * one.stretches()[i].from + 0.7 * one.stretches()[i].to;
            let (p, q) = (one.rule(i, phi), other.rule(i, phi));
            let off = (p.h0 - q.h0).abs() + (p.h1 - q.h1).abs() + (p.k0 - q.k0).abs() + (p.k1 - q.k1).abs();
            assert!(off < 1e-10, "{off} at {phi}");
        }
    }

    #[test]
    fn sections_that_reach_past_each_other_have_no_wall() {
        let steep = Over { z: 20.0, slope: Vec2::new(1.0, 0.0) };
        let circle = Section::circle(30.0);
        assert_eq!(between((&circle, Over::level(0.0)), (&circle, steep)), Err(StripFault::NoRise));
    }
}
