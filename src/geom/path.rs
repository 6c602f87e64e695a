//! Chains of straight lines and true circular arcs, the form in which everything is cut. An arc is written by its
//! bulge: the tangent of a quarter of its angle, positive to the left (counter-clockwise), 0 for a line (published
//! DXF Reference, LWPOLYLINE group 42).

use super::{Vec2, left_of, unit};
use crate::num;

/// A line or an arc from `a` to `b`.
#[derive(Clone, Copy, PartialEq)]
pub struct Seg {
    pub a: Vec2,
    pub b: Vec2,
    pub bulge: f64,
}

impl Seg {
    /// A straight line.
    #[must_use]
    pub const fn line(a: Vec2, b: Vec2) -> Self {
        Self { a, b, bulge: 0.0 }
    }

    /// The arc's angle, positive counter-clockwise; 0 for a line.
    #[must_use]
    pub fn sweep(&self) -> f64 {
        4.0 * num::atan(self.bulge)
    }

    /// The arc's radius: `chord (1 + b²) / (4 |b|)`; infinite for a line.
    #[must_use]
    pub fn radius(&self) -> f64 {
        let b = self.bulge.abs();
        (self.b - self.a).length() * (1.0 + b * b) / (4.0 * b)
    }

    /// The arc's centre; `None` for a line.
    #[must_use]
    pub fn centre(&self) -> Option<Vec2> {
        if self.bulge == 0.0 {
            return None;
        }
        let chord = self.b - self.a;
        let b = self.bulge;
        Some((self.a + self.b) * 0.5 + left_of(chord) * ((1.0 - b * b) / (4.0 * b)))
    }

    /// Its length.
    #[must_use]
    pub fn length(&self) -> f64 {
        let chord = (self.b - self.a).length();
        if self.bulge == 0.0 { chord } else { self.radius() * self.sweep().abs() }
    }

    /// The point a share `s` of the way along.
    #[must_use]
    pub fn at(&self, s: f64) -> Vec2 {
        let Some(centre) = self.centre() else { return self.a + (self.b - self.a) * s };
        let (sin, cos) = num::sin_cos(self.sweep() * s);
        let r = self.a - centre;
        centre + r * cos + left_of(r) * sin
    }

    /// The unit direction of travel a share `s` of the way along.
    #[must_use]
    pub fn direction(&self, s: f64) -> Vec2 {
        match self.centre() {
            None => (self.b - self.a).normalize_or_zero(),
            Some(centre) => (left_of(self.at(s) - centre) * self.bulge.signum()).normalize_or_zero(),
        }
    }

    /// The same way back.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { a: self.b, b: self.a, bulge: -self.bulge }
    }

    /// Moved by a motion of the plane.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        let bulge = if motion.mirror { -self.bulge } else { self.bulge };
        Self { a: motion.apply(self.a), b: motion.apply(self.b), bulge }
    }
}

impl core::fmt::Debug for Seg {
    /// SVG path data in millimetres (y up), to paste into any viewer.
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "M{} {} {}", self.a.x, self.a.y, SegTo(self))
    }
}

struct SegTo<'a>(&'a Seg);

impl core::fmt::Display for SegTo<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let s = self.0;
        if s.bulge == 0.0 {
            write!(f, "L{} {}", s.b.x, s.b.y)
        } else {
            let r = s.radius();
            let large = i32::from(s.bulge.abs() > 1.0);
            let sweep = i32::from(s.bulge > 0.0);
            write!(f, "A{r} {r} 0 {large} {sweep} {} {}", s.b.x, s.b.y)
        }
    }
}

/// A motion of the plane: an optional mirror in the y axis (x changes sign), then a turn, then a move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    pub mirror: bool,
    pub turn: f64,
    pub shift: Vec2,
}

impl Motion {
    pub const STAY: Self = Self { mirror: false, turn: 0.0, shift: Vec2::ZERO };

    /// The same with its turn reckoned, for many points.
    #[must_use]
    pub fn ready(&self) -> Mover {
        Mover { mirror: self.mirror, turn: unit(self.turn), shift: self.shift }
    }

    /// Where `p` goes.
    #[must_use]
    pub fn apply(&self, p: Vec2) -> Vec2 {
        self.ready().apply(p)
    }

    /// Where a direction goes.
    #[must_use]
    pub fn apply_direction(&self, v: Vec2) -> Vec2 {
        self.ready().apply_direction(v)
    }
}

/// A motion whose turn is a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mover {
    mirror: bool,
    turn: Vec2,
    shift: Vec2,
}

impl Mover {
    /// Where `p` goes.
    #[must_use]
    pub fn apply(&self, p: Vec2) -> Vec2 {
        self.apply_direction(p) + self.shift
    }

    /// Where a direction goes.
    #[must_use]
    pub fn apply_direction(&self, v: Vec2) -> Vec2 {
        let v = if self.mirror { Vec2::new(-v.x, v.y) } else { v };
        let (s, c) = (self.turn.y, self.turn.x);
        Vec2::new(c * v.x - s * v.y, s * v.x + c * v.y)
    }
}

/// An open chain of segments, each beginning where the last ended.
#[derive(Clone, PartialEq, Default)]
pub struct Path {
    pub segs: Vec<Seg>,
}

impl Path {
    /// Straight lines through the points.
    #[must_use]
    pub fn polyline(points: &[Vec2]) -> Self {
        Self { segs: points.windows(2).map(|w| Seg::line(w[0], w[1])).collect() }
    }

    /// Straight lines through the points and back to the first.
    #[must_use]
    pub fn polygon(points: &[Vec2]) -> Self {
        let mut path = Self::polyline(points);
        if let (Some(&first), Some(&last)) = (points.first(), points.last()) {
            path.segs.push(Seg::line(last, first));
        }
        path
    }

    /// The same line at another size.
    #[must_use]
    pub fn scaled(&self, k: f64) -> Self {
        Self { segs: self.segs.iter().map(|s| Seg { a: s.a * k, b: s.b * k, ..*s }).collect() }
    }

    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.segs.is_empty()
    }

    #[must_use]
    pub fn start(&self) -> Option<Vec2> {
        self.segs.first().map(|s| s.a)
    }

    #[must_use]
    pub fn end(&self) -> Option<Vec2> {
        self.segs.last().map(|s| s.b)
    }

    /// Summed length.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.segs.iter().map(Seg::length).collect::<num::Sum>().value()
    }

    /// Enclosed area when the chain is closed (or closed by a straight line), counter-clockwise positive: the
    /// shoelace sum of the chords plus each arc's circular segment `r² (θ − sin θ)/2`.
    #[must_use]
    pub fn area(&self) -> f64 {
        let origin = self.start().unwrap_or_default();
        self.segs
            .iter()
            .map(|s| {
                let chord = 0.5 * (s.a - origin).perp_dot(s.b - origin);
                if s.bulge == 0.0 {
                    return chord;
                }
                let (r, theta) = (s.radius(), s.sweep());
                chord + 0.5 * r * r * (theta - num::sin(theta))
            })
            .collect::<num::Sum>()
            .value()
    }

    /// The point at arc length `s` from the start (clamped to the ends), and the direction of travel there.
    #[must_use]
    pub fn at_length(&self, s: f64) -> Option<(Vec2, Vec2)> {
        let mut left = s.max(0.0);
        for seg in &self.segs {
            let length = seg.length();
            if left <= length && length > 0.0 {
                let share = left / length;
                return Some((seg.at(share), seg.direction(share)));
            }
            left -= length;
        }
        self.segs.last().map(|s| (s.b, s.direction(1.0)))
    }

    /// The part of the chain between two arc lengths.
    #[must_use]
    pub fn part(&self, from: f64, to: f64) -> Self {
        let mut out = Self::default();
        let mut run = 0.0;
        for s in &self.segs {
            let long = s.length();
            let (a, b) = (((from - run) / long).max(0.0), ((to - run) / long).min(1.0));
            run += long;
            if b - a > 1e-12 {
                let bulge = if s.bulge == 0.0 { 0.0 } else { num::tan(0.25 * s.sweep() * (b - a)) };
                let end = |t: f64, exact: Vec2, at: f64| if t == at { exact } else { s.at(t) };
                out.segs.push(Seg { a: end(a, s.a, 0.0), b: end(b, s.b, 1.0), bulge });
            }
        }
        out
    }

    /// The same chain, walked the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { segs: self.segs.iter().rev().map(Seg::reversed).collect() }
    }

    /// Moved by a motion. A mirrored chain keeps its order of points, so a ring changes its sense.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        Self { segs: self.segs.iter().map(|s| s.moved(motion)).collect() }
    }

    /// Least and largest coordinates; `None` when empty. Exact for arcs.
    #[must_use]
    pub fn bounds(&self) -> Option<(Vec2, Vec2)> {
        let mut lo = Vec2::splat(f64::INFINITY);
        let mut hi = Vec2::splat(f64::NEG_INFINITY);
        let mut take = |p: Vec2| {
            lo = lo.min(p);
            hi = hi.max(p);
        };
        for s in &self.segs {
            take(s.a);
            take(s.b);
            if let Some(centre) = s.centre() {
                let r = s.radius();
                for axis in [Vec2::X, Vec2::Y, Vec2::NEG_X, Vec2::NEG_Y] {
                    let p = centre + axis * r;
                    // On the arc: on the chord's side that the bulge points away from … by angle from the start.
                    let from = s.a - centre;
                    let turn = num::atan2(from.perp_dot(axis), from.dot(axis));
                    let along = if s.bulge > 0.0 { num::wrap(turn, num::TAU) } else { num::wrap(-turn, num::TAU) };
                    if along <= s.sweep().abs() {
                        take(p);
                    }
                }
            }
        }
        (lo.x <= hi.x).then_some((lo, hi))
    }

    /// Points along the chain, every chord within `tol` of its arc (a chord of angle θ on radius r has the sagitta
    /// `r (1 − cos θ/2)`); the points lie on the chain.
    #[must_use]
    pub fn flattened(&self, tol: f64) -> Vec<Vec2> {
        let mut points: Vec<Vec2> = self.start().into_iter().collect();
        for s in &self.segs {
            if s.bulge != 0.0 {
                let step = 2.0 * num::acos(1.0 - (tol / s.radius()).min(1.0));
                let n = (s.sweep().abs() / step.max(1e-3)).ceil().clamp(1.0, 4096.0);
                let mut i = 1.0;
                while i < n {
                    points.push(s.at(i / n));
                    i += 1.0;
                }
            }
            points.push(s.b);
        }
        points
    }
}

impl core::fmt::Debug for Path {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        if let Some(p) = self.start() {
            write!(f, "M{} {}", p.x, p.y)?;
        }
        self.segs.iter().try_for_each(|s| write!(f, " {}", SegTo(s)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bulge_follows_the_published_table() {
        // tan(included/4): DXF Reference, LWPOLYLINE group 42.
        for (deg, bulge) in
            [(45.0, 0.198_912_367_4), (60.0, 0.267_949_192_4), (90.0, 0.414_213_562_4), (120.0, 0.577_350_269_2)]
        {
            let s = Seg { a: Vec2::ZERO, b: Vec2::X, bulge };
            assert!((s.sweep().to_degrees() - deg).abs() < 1e-6);
        }
    }

    #[test]
    fn a_circle_of_two_halves_has_its_length_area_and_bounds() {
        let (a, b) = (Vec2::new(15.0, 2.0), Vec2::new(-5.0, 2.0));
        let circle = Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] };
        assert!((circle.length() - num::TAU * 10.0).abs() < 1e-12);
        assert!((circle.area() - num::PI * 100.0).abs() < 1e-10);
        let (lo, hi) = circle.bounds().expect("not empty");
        assert!((lo - Vec2::new(-5.0, -8.0)).length() < 1e-12 && (hi - Vec2::new(15.0, 12.0)).length() < 1e-12);
        let quarter = circle.segs[0].at(0.5);
        assert!((quarter - Vec2::new(5.0, 12.0)).length() < 1e-12);
    }

    #[test]
    fn a_mirrored_ring_has_the_opposite_area() {
        let ring = Path::polygon(&[Vec2::ZERO, Vec2::new(3.0, 0.0), Vec2::new(3.0, 2.0)]);
        let motion = Motion { mirror: true, turn: 0.7, shift: Vec2::new(5.0, -2.0) };
        assert!((ring.moved(&motion).area() + ring.area()).abs() < 1e-12);
    }

    #[test]
    fn flattening_keeps_its_tolerance() {
        let s = Seg { a: Vec2::new(100.0, 0.0), b: Vec2::new(-100.0, 0.0), bulge: 1.0 };
        let points = Path { segs: vec![s] }.flattened(0.05);
        for w in points.windows(2) {
            assert!(100.0 - ((w[0] + w[1]) * 0.5).length() <= 0.05 + 1e-12);
        }
        assert!(points.len() < 120);
    }
}
