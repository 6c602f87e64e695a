//! Smooth curves as pairs of arcs that share their points and tangents (biarcs: K. M. Bolton, Biarc curves,
//! Computer-Aided Design 7, 1975), halved until they lie within a bound of the curve.

use super::Vec2;
use super::path::{Path, Seg};
use crate::num;

/// How often a stretch is halved at most.
const HALVINGS: usize = 12;
/// What stands no further off its chord is a straight line, mm: a tenth of what any fit may take.
const STRAIGHT: f64 = 1e-5;

/// A curve: its point at a parameter, and its unit direction of travel there.
pub type Curve<'a> = dyn Fn(f64) -> (Vec2, Vec2) + 'a;

/// Adds a stretch of a curve to a chain, each segment within `within` mm of it. The chain goes on where it ended.
pub fn add(curve: &Curve<'_>, (from, to): (f64, f64), within: f64, path: &mut Path) {
    halve(curve, (from, to), within, HALVINGS, path);
}

fn halve(curve: &Curve<'_>, (from, to): (f64, f64), within: f64, left: usize, path: &mut Path) {
    let (start, end) = (curve(from), curve(to));
    let pair = biarc(start, end);
    if left > 0 && !off(curve, (from, to), &pair).is_some_and(|off| off <= within) {
        let mid = 0.5 * (from + to);
        halve(curve, (from, mid), within, left - 1, path);
        halve(curve, (mid, to), within, left - 1, path);
        return;
    }
    let rise = |s: &Seg| 0.5 * s.bulge.abs() * s.a.distance(s.b);
    let chord = (end.0 - start.0).normalize_or_zero();
    let middle = chord.perp_dot(pair[0].b - start.0).abs();
    let straight = pair.iter().all(|s| rise(s) < STRAIGHT) && middle < STRAIGHT;
    let segs = if straight { vec![Seg::line(start.0, end.0)] } else { pair.to_vec() };
    for mut seg in segs {
        if let Some(end) = path.end() {
            seg.a = end;
        }
        path.segs.push(seg);
    }
}

fn biarc((p0, t0): (Vec2, Vec2), (p1, t1): (Vec2, Vec2)) -> [Seg; 2] {
    let (v, t) = (p1 - p0, t0 + t1);
    // Equal tangent lengths d: |p1 − d t1 − p0 − d t0| = 2 d.
    let (k, b) = (2.0 * (1.0 - t0.dot(t1)), v.dot(t));
    let d = if k > 1e-12 { ((b * b + k * v.length_squared()).sqrt() - b) / k } else { v.length_squared() / (2.0 * b) };
    let q = (p0 + p1 + (t0 - t1) * d) * 0.5;
    let arc = |a: Vec2, tangent: Vec2, b: Vec2| {
        // The chord makes half the arc's angle with its tangent; the bulge is the tangent of a quarter of it.
        let chord = b - a;
        let half = num::atan2(tangent.perp_dot(chord), tangent.dot(chord));
        Seg { a, b, bulge: num::tan(0.5 * half) }
    };
    let second = arc(p1, -t1, q).reversed();
    [arc(p0, t0, q), second]
}

/// How far the two arcs stand off the curve, looked at in 16 places; `None` where they are none.
fn off(curve: &Curve<'_>, (from, to): (f64, f64), pair: &[Seg; 2]) -> Option<f64> {
    let mut worst = 0.0f64;
    for i in 1..16 {
        let p = curve(from + (to - from) * f64::from(i) / 16.0).0;
        let distance = |s: &Seg| {
            s.centre().map_or_else(
                || (s.b - s.a).normalize_or_zero().perp_dot(p - s.a).abs(),
                |c| ((p - c).length() - s.radius()).abs(),
            )
        };
        worst = worst.max(distance(&pair[0]).min(distance(&pair[1])));
    }
    worst.is_finite().then_some(worst)
}
