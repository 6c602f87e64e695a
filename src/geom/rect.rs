//! Convex hulls and rectangles round points: what sheet a piece needs.

use super::{Vec2, left_of};

/// The convex hull, counter-clockwise (monotone chain; A. M. Andrew 1979).
#[must_use]
pub fn hull(points: &[Vec2]) -> Vec<Vec2> {
    let mut p: Vec<Vec2> = points.iter().copied().filter(|p| p.is_finite()).collect();
    p.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    p.dedup();
    if p.len() < 3 {
        return p;
    }
    let mut out: Vec<Vec2> = Vec::with_capacity(p.len() + 1);
    let mut side = |points: &mut dyn Iterator<Item = Vec2>| {
        let base = out.len();
        for q in points {
            while out.len() >= base + 2
                && (out[out.len() - 1] - out[out.len() - 2]).perp_dot(q - out[out.len() - 1]) <= 0.0
            {
                out.pop();
            }
            out.push(q);
        }
        out.pop();
    };
    side(&mut p.iter().copied());
    side(&mut p.iter().rev().copied());
    out
}

/// A rectangle round points: the direction of its long side, its lengths along and across that, its middle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    pub along: Vec2,
    pub long: f64,
    pub wide: f64,
    pub middle: Vec2,
}

/// Extents of the points along `u` and across it: lengths, and the middle.
#[must_use]
pub fn extents(points: &[Vec2], u: Vec2) -> (f64, f64, Vec2) {
    let v = left_of(u);
    let mut lo = Vec2::splat(f64::INFINITY);
    let mut hi = Vec2::splat(f64::NEG_INFINITY);
    for p in points {
        let q = Vec2::new(p.dot(u), p.dot(v));
        lo = lo.min(q);
        hi = hi.max(q);
    }
    let mid = (lo + hi) * 0.5;
    (hi.x - lo.x, hi.y - lo.y, u * mid.x + v * mid.y)
}

/// The rectangle of least area round the points: one of its sides lies along a side of the hull (H. Freeman and
/// R. Shapira 1975). `None` for fewer than three points that are not in line.
#[must_use]
pub fn least(points: &[Vec2]) -> Option<Rect> {
    let hull = hull(points);
    if hull.len() < 3 {
        return None;
    }
    let n = hull.len();
    (0..n)
        .map(|i| {
            let u = (hull[(i + 1) % n] - hull[i]).normalize_or_zero();
            let (a, b, middle) = extents(&hull, u);
            if a >= b {
                Rect { along: u, long: a, wide: b, middle }
            } else {
                Rect { along: left_of(u), long: b, wide: a, middle }
            }
        })
        .min_by(|a, b| (a.long * a.wide).total_cmp(&(b.long * b.wide)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::unit;

    #[test]
    fn a_turned_rectangle_is_its_own_least_rectangle() {
        let (u, v) = (unit(0.4), left_of(unit(0.4)));
        let points: Vec<Vec2> = [(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0), (12.0, 5.0)]
            .iter()
            .map(|&(x, y)| u * x + v * y)
            .collect();
        let r = least(&points).expect("an area");
        assert!((r.long - 30.0).abs() < 1e-9 && (r.wide - 10.0).abs() < 1e-9);
        assert!(r.along.perp_dot(u).abs() < 1e-12);
        assert_eq!(hull(&points).len(), 4);
    }

    #[test]
    fn points_in_line_have_none() {
        assert_eq!(least(&[Vec2::ZERO, Vec2::X, Vec2::X * 3.0]), None);
    }
}
