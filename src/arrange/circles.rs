//! Circles that lie within an outline and stand for it where it is asked how deeply two overlap: each the largest that
//! lies beside those before it (after Garcia-Castellanos and Lombardo 2007, poles of inaccessibility; by best-first
//! division into squares).

use std::collections::BinaryHeap;

use crate::geom::Vec2;
use crate::geom::path::Path;

/// Circles inside an outline, none within another: middle and radius.
pub(super) type Circles = Vec<(Vec2, f64)>;

/// At most so many, fewer when they fill so much of the outline.
const MOST: [(usize, f64); 3] = [(64, 0.0), (20, 0.75), (10, 0.9)];
/// A circle need not be larger than this share of the largest possible one.
const ENOUGH: f64 = 0.92;
/// Smaller ones say nothing, mm.
const LEAST: f64 = 0.25;
/// The outline is looked at through corners within this of it, and a ring through chords, mm.
const PLAINER: f64 = 0.3;
const CHORD: f64 = 0.01;
/// No more corners than this are left out at once.
const AT_ONCE: usize = 64;

/// Circles of a polygon that stands about `by` off a ring; each lies wholly within `by` of the ring, whatever the polygon
/// is.
pub(super) fn within(polygon: &[Vec2], ring: &Path, by: f64) -> Circles {
    let plain = plainer(polygon, PLAINER);
    let area = Path::polygon(&plain).area().abs();
    let mut found: Circles = Vec::new();
    let mut covered = 0.0;
    while !MOST.iter().any(|(most, share)| found.len() >= *most && covered >= share * area) {
        let Some((middle, radius)) = largest(&plain, &found) else { break };
        covered += crate::num::PI * radius * radius;
        found.push((middle, radius));
    }
    let exact = ring.flattened(CHORD);
    let inside = |(middle, radius): (Vec2, f64)| (middle, radius.min(depth(&exact, middle) + by - CHORD));
    found.into_iter().map(inside).filter(|c| c.1 > LEAST).collect()
}

/// The polygon with fewer corners: none that is left out lies further than `off` from what is drawn in its place.
pub(super) fn plainer(polygon: &[Vec2], off: f64) -> Vec<Vec2> {
    let mut out: Vec<Vec2> = Vec::with_capacity(polygon.len());
    let mut from = 0;
    while from < polygon.len() {
        out.push(polygon[from]);
        // As far as one line reaches.
        let mut to = from + 1;
        while to < polygon.len() && to - from <= AT_ONCE {
            let (a, b) = (polygon[from], polygon[(to + 1) % polygon.len()]);
            let near = |p: &Vec2| {
                let t = ((*p - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
                (a + (b - a) * t - *p).length() <= off
            };
            if !polygon[from + 1..=to].iter().all(near) {
                break;
            }
            to += 1;
        }
        from = to;
    }
    if out.len() < 3 { polygon.to_vec() } else { out }
}

/// How deep a point lies within a closed chain of points; below 0 outside.
fn depth(points: &[Vec2], p: Vec2) -> f64 {
    let mut inside = false;
    let mut near = f64::INFINITY;
    let mut a = points[points.len() - 1] - p;
    for &b in points {
        let b = b - p;
        let side = b - a;
        if (a.y > 0.0) != (b.y > 0.0) && (a.perp_dot(b) > 0.0) == (b.y > a.y) {
            inside = !inside;
        }
        let long = side.length_squared();
        let t = if long > 0.0 { (-a.dot(side) / long).clamp(0.0, 1.0) } else { 0.0 };
        near = near.min((a + side * t).length_squared());
        a = b;
    }
    if inside { near.sqrt() } else { -near.sqrt() }
}

/// A square and the radius of the circle about its middle.
struct Square {
    middle: Vec2,
    half: f64,
    radius: f64,
}

impl Square {
    fn new(middle: Vec2, half: f64, polygon: &[Vec2], others: &Circles) -> Self {
        let beside = others.iter().map(|(c, r)| (middle - *c).length() - r).fold(f64::INFINITY, f64::min);
        // Where the others already reach, the outline need not be looked at.
        let radius = if beside + half * 1.5 < 0.0 { beside } else { beside.min(depth(polygon, middle)) };
        Self { middle, half, radius }
    }

    /// No circle about a point of the square is larger.
    fn most(&self) -> f64 {
        self.radius + self.half * core::f64::consts::SQRT_2
    }
}

impl PartialEq for Square {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Square {}

impl PartialOrd for Square {
    fn partial_cmp(&self, other: &Self) -> Option<core::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Square {
    fn cmp(&self, other: &Self) -> core::cmp::Ordering {
        let by = |a: f64, b: f64| a.total_cmp(&b);
        by(self.most(), other.most())
            .then(by(other.middle.x, self.middle.x))
            .then(by(other.middle.y, self.middle.y))
            .then(by(self.half, other.half))
    }
}

/// About the largest circle within a polygon and beside others.
fn largest(polygon: &[Vec2], others: &Circles) -> Option<(Vec2, f64)> {
    let lo = polygon.iter().copied().reduce(Vec2::min)?;
    let hi = polygon.iter().copied().reduce(Vec2::max)?;
    let size = hi - lo;
    let side = size.min_element();
    if !(side.is_finite() && side > 0.0) {
        return None;
    }
    let cells = (size / side).ceil().min(Vec2::splat(64.0));
    let half = (size / cells).max_element() * 0.5;
    let mut open = BinaryHeap::new();
    let mut best = (Vec2::ZERO, LEAST);
    let look = |middle: Vec2, half: f64, best: &mut (Vec2, f64), open: &mut BinaryHeap<Square>| {
        let square = Square::new(middle, half, polygon, others);
        if square.radius > best.1 {
            *best = (square.middle, square.radius);
        }
        if square.most() * ENOUGH > best.1 {
            open.push(square);
        }
    };
    let mut y = 0.5;
    while y < cells.y {
        let mut x = 0.5;
        while x < cells.x {
            look(lo + Vec2::new(x, y) * size / cells, half, &mut best, &mut open);
            x += 1.0;
        }
        y += 1.0;
    }
    while let Some(square) = open.pop() {
        if square.most() * ENOUGH <= best.1 {
            break;
        }
        let half = 0.5 * square.half;
        for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
            look(square.middle + Vec2::new(x, y) * half, half, &mut best, &mut open);
        }
    }
    (best.1 > LEAST).then_some(best)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::grow;

    fn hook() -> Path {
        let corners = [(0.0, 0.0), (90.0, 0.0), (90.0, 30.0), (30.0, 30.0), (30.0, 110.0), (0.0, 110.0)];
        Path::polygon(&corners.map(|(x, y)| Vec2::new(x, y)))
    }

    #[test]
    fn circles_lie_within_the_grown_ring_beside_each_other_and_fill_most_of_it() {
        let ring = hook();
        let polygon = grow::grown(&ring, 2.5);
        let circles = within(&polygon, &ring, 2.5);
        assert!((10..=64).contains(&circles.len()));
        let mut area = 0.0;
        for (k, &(middle, radius)) in circles.iter().enumerate() {
            area += crate::num::PI * radius * radius;
            for i in 0..360 {
                let p = middle + crate::geom::unit(f64::from(i).to_radians()) * radius;
                assert!(depth(&ring.flattened(0.01), p) > -2.5, "{p}");
            }
            for (other, r) in &circles[..k] {
                assert!((*other - middle).length() > radius + r - 0.01);
            }
        }
        assert!(area > 0.7 * Path::polygon(&polygon).area(), "{area}");
        // The largest circle of a hook 30 wide grown by 2.5 touches both arms and the outer corner, whose rounding lies
        // further out than it: 17.5 between the arms, more in the bend.
        assert!(circles[0].1 > 16.0 && circles[0].1 < 21.0, "{}", circles[0].1);
    }

    #[test]
    fn a_plainer_polygon_is_near_the_other() {
        let disc: Vec<Vec2> = (0..720).map(|i| crate::geom::unit(f64::from(i).to_radians() * 0.5) * 100.0).collect();
        let plain = plainer(&disc, 0.1);
        assert!(plain.len() < 90 && plain.len() > 60, "{}", plain.len());
        for p in &disc {
            assert!(depth(&plain, *p).abs() < 0.1 + 1e-9);
        }
    }
}
