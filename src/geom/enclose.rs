//! The area of a wall's flat between two rims, by quadrature on the exact curves: Green's `½ ∮ p × dp`.
//!
//! Along a rim `p = k τ + w`, where `w' = h τ + B ν`, `B = sin α k0 + (v H sec α)'`, has no second derivative of the
//! support; by parts `∫ p × dp = [p × k τ] + ∫ (k B − k² sin α + p × w') dφ`.

use super::Vec2;
use super::path::Path;
use super::rim::{Rim, spans};
use super::series;
use super::walk::{Leg, Place};
use crate::num;

/// What the tail of an integral may be, mm².
const AREA: f64 = 1e-6;

/// The area between a lower and an upper rim, each between two places, closed by straight lines; positive when the
/// panel lies above its lower rim.
#[must_use]
pub fn area(lower: &Rim, low: (Place, Place), upper: &Rim, up: (Place, Place)) -> f64 {
    let point = |rim: &Rim, at: Place| rim.point(at, rim.flat().depth()).0;
    let origin = point(lower, low.0);
    let side = |a: Vec2, b: Vec2| (a - origin).perp_dot(b - origin);
    let mut sum = num::Sum::new();
    sum.add(along(lower, low, origin));
    sum.add(side(point(lower, low.1), point(upper, up.1)));
    sum.add(-along(upper, up, origin));
    sum.add(side(point(upper, up.0), point(lower, low.0)));
    0.5 * sum.value()
}

/// The same where one of the rims is cut to a path, walked as rims are; positive when the panel lies above a lower one.
#[must_use]
pub fn area_to(rim: &Rim, ends: (Place, Place), path: &Path, path_is_upper: bool) -> f64 {
    let point = |at: Place| rim.point(at, rim.flat().depth()).0;
    let origin = point(ends.0);
    let (Some(start), Some(end)) = (path.start(), path.end()) else { return 0.0 };
    let side = |a: Vec2, b: Vec2| (a - origin).perp_dot(b - origin);
    let mut sum = num::Sum::new();
    sum.add(along(rim, ends, origin));
    sum.add(side(point(ends.1), end));
    for s in path.reversed().segs {
        sum.add(side(s.a, s.b));
        if s.bulge != 0.0 {
            // Twice the circular segment between the arc and its chord.
            let (r, theta) = (s.radius(), s.sweep());
            sum.add(r * r * (theta - num::sin(theta)));
        }
    }
    sum.add(side(start, point(ends.0)));
    if path_is_upper { 0.5 * sum.value() } else { -0.5 * sum.value() }
}

/// `∫ p × dp` along a rim's neutral edge.
fn along(rim: &Rim, (from, to): (Place, Place), origin: Vec2) -> f64 {
    let (flat, depth) = (rim.flat(), rim.flat().depth());
    let walk = flat.walk();
    let (z0, z1) = walk.strip().heights();
    let mut sum = num::Sum::new();
    for (_, (a, b)) in rim.jumps(from, to, depth) {
        sum.add((a - origin).perp_dot(b - origin));
    }
    for (leg, t0, t1) in spans(from, to) {
        let point = |t: f64| rim.point(Place { leg, t }, depth).0 - origin;
        if let (Leg::Side { .. }, true) = (&walk.legs()[leg], rim.is_shaped()) {
            sum.add(series::integral(AREA, t0, t1, |t| {
                let (p, v) = rim.point(Place { leg, t }, depth);
                (p - origin).perp_dot(v)
            }));
            continue;
        }
        if let Leg::Side { .. } = walk.legs()[leg] {
            sum.add(point(t0).perp_dot(point(t1)));
            continue;
        }
        let end = |t: f64| {
            let at = Place { leg, t };
            let laid = flat.at(at);
            let k = laid.rule.support_at(rim.foot(at, depth).0, depth).1;
            point(t).perp_dot(laid.tau * k)
        };
        sum.add(end(t1) - end(t0));
        sum.add(series::integral(AREA, t0, t1, |t| {
            let at = Place { leg, t };
            let laid = flat.at(at);
            let rule = laid.rule;
            let (z, climb) = rim.climbs(at, &rule);
            let p = laid.point((z - z0) / (z1 - z0)) - origin;
            let (h, k) = rule.support_at(z, depth);
            let k0 = rule.support_at(z0, depth).1;
            let sine = rule.sine();
            // (v H sec α)' = z' sec α + (z − z0) (sec α)'.
            let turning = walk.turning(at);
            let b = (sine * k0 + (z - z0) * rule.secant_turn()) * turning + climb * rule.secant();
            k * b + p.perp_dot(laid.nu * b) + (p.perp_dot(laid.tau * h) - k * k * sine) * turning
        }));
    }
    sum.value()
}
