//! Flat figures with straight sides, and the sheet between two of them whose sides are parallel: what a flat panel is
//! between its two faces. A side is the direction of its outward normal and how far it stands from the origin.

use super::strip::{Stretch, Strip};
use super::{Vec2, left_of, section::Curve, tol, unit};
use crate::num::{PI, TAU, wrap};

/// A straight side at two heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// The direction of its outward normal.
    pub phi: f64,
    /// How far it stands from the origin at the lower and at the upper plane.
    pub lower: f64,
    pub upper: f64,
}

impl Side {
    /// How far it stands from the origin at a height.
    #[must_use]
    pub fn at(&self, z: f64, (z0, z1): (f64, f64)) -> f64 {
        self.lower + (self.upper - self.lower) * (z - z0) / (z1 - z0)
    }
}

/// A side that is not there: which, and how much length it lacks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gone {
    pub side: usize,
    pub lacks: f64,
    /// At the upper plane.
    pub upper: bool,
}

/// The corners of a figure, the first before its first side: where the lines of neighbours cross.
#[must_use]
pub fn corners(lines: &[(f64, f64)]) -> Vec<Vec2> {
    let n = lines.len();
    let cross = |(a, p): (f64, f64), (b, q): (f64, f64)| {
        let (u, v) = (unit(a), unit(b));
        // u·x = p and v·x = q.
        let det = u.perp_dot(v);
        Vec2::new(p * v.y - q * u.y, q * u.x - p * v.x) / det
    };
    (0..n).map(|i| cross(lines[(i + n - 1) % n], lines[i])).collect()
}

/// The turn from one direction to another, within half a turn either way.
fn turn(from: f64, to: f64) -> f64 {
    let t = wrap(to - from, TAU);
    if t > PI { t - TAU } else { t }
}

/// The sheet between the planes at heights `z0` and `z1`. It begins in the middle of its first corner, so that every
/// side is whole.
///
/// # Errors
/// The first side that has no length on one of its faces; a figure that does not turn once has none at all.
pub fn strip(sides: &[Side], z0: f64, z1: f64) -> Result<Strip, Gone> {
    let n = sides.len();
    let none = |side: usize, lacks: f64, upper: bool| Err(Gone { side, lacks, upper });
    if n < 3 || z1 - z0 < tol::SAME {
        return none(0, 0.0, false);
    }
    let lines = |upper: bool| -> Vec<(f64, f64)> {
        sides.iter().map(|s| (s.phi, if upper { s.upper } else { s.lower })).collect()
    };
    let (low, up) = (corners(&lines(false)), corners(&lines(true)));
    for (points, upper) in [(&low, false), (&up, true)] {
        for (i, side) in sides.iter().enumerate() {
            let long = (points[(i + 1) % n] - points[i]).dot(left_of(unit(side.phi)));
            if long.is_nan() || long <= tol::SAME {
                return none(i, -long, upper);
            }
        }
    }
    let first = turn(sides[n - 1].phi, sides[0].phi);
    let mut from = sides[0].phi - 0.5 * first;
    let begins = from;
    let mut stretches = Vec::with_capacity(n + 1);
    for i in 0..=n {
        let at = |points: &[Vec2]| Curve::Round { centre: points[i % n], radius: 0.0 };
        let by = match i {
            0 => 0.5 * first,
            i if i == n => 0.5 * first,
            i => turn(sides[i - 1].phi, sides[i].phi),
        };
        let to = if i == n { begins + TAU } else { from + by };
        if i == n && (to - from - by).abs() > 1e-6 {
            return none(0, 0.0, false);
        }
        stretches.push(Stretch { from, to, lower: at(&low), upper: at(&up) });
        from = to;
    }
    Ok(Strip::of(z0, z1, stretches))
}

/// The sides of such a sheet, in order.
#[must_use]
pub fn sides(strip: &Strip) -> Vec<Side> {
    let one = |s: &Stretch| Side { phi: s.to, lower: s.lower.support(s.to).h, upper: s.upper.support(s.to).h };
    let stretches = strip.stretches();
    stretches[..stretches.len().saturating_sub(1)].iter().map(one).collect()
}

/// The corners of such a sheet at a height.
#[must_use]
pub fn corners_at(strip: &Strip, z: f64) -> Vec<Vec2> {
    let heights = strip.heights();
    let lines: Vec<(f64, f64)> = sides(strip).iter().map(|s| (s.phi, s.at(z, heights))).collect();
    corners(&lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hollow_figure_keeps_its_sides() {
        // An L of 40 by 40 with a bite of 20 by 20 out of one corner; 5 mm further in the bite's sides are longer.
        let lines = [(-0.5 * PI, 20.0), (0.0, 20.0), (0.5 * PI, 0.0), (0.0, 0.0), (0.5 * PI, 20.0), (PI, 20.0)];
        let sides: Vec<Side> = lines.iter().map(|&(phi, h)| Side { phi, lower: h - 5.0, upper: h }).collect();
        let made = strip(&sides, -5.0, 0.0).expect("an L");
        assert_eq!(made.stretches().len(), 7);
        let points = corners_at(&made, 0.0);
        assert!((points[3] - Vec2::new(0.0, 0.0)).length() < 1e-12, "{points:?}");
        let inside = corners_at(&made, -5.0);
        assert!((inside[3] - Vec2::new(-5.0, -5.0)).length() < 1e-12, "{inside:?}");
        for (a, b) in self::sides(&made).iter().zip(&sides) {
            assert!(turn(a.phi, b.phi).abs() < 1e-12 && (a.lower - b.lower).abs() < 1e-12);
        }
    }

    #[test]
    fn a_side_that_is_not_there_is_told() {
        // A triangle whose corners have met before its lower plane.
        let phis = [-0.5 * PI, PI / 6.0, 5.0 * PI / 6.0];
        let sides = phis.map(|phi| Side { phi, lower: -1.0, upper: 5.0 });
        assert!(matches!(strip(&sides, 0.0, 3.0), Err(Gone { side: 0, upper: false, .. })));
    }
}
