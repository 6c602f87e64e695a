//! The one rounding of all coordinates, to the last decimal that is written.
//!
//! Arcs keep their bulge: the ends of an arc move by at most half of the last decimal in x and y, and an arc with the
//! same bulge between moved ends is the old one turned, moved and scaled a little as a whole, so every point of
//! it moves by about as much as its ends do. Joined ends round alike since they are the same number. A whole circle,
//! which has but two ends, is begun at its right: both would move outward, by half of the last decimal's diagonal.

use crate::geom::Vec2;
use crate::geom::path::{Path, Seg};

/// A coordinate as written: three decimals, never a negative zero.
#[must_use]
pub(super) fn coordinate(x: f64) -> f64 {
    (x * 1000.0).round() / 1000.0 + 0.0
}

#[must_use]
pub(super) fn point(p: Vec2) -> Vec2 {
    Vec2::new(coordinate(p.x), coordinate(p.y))
}

/// An arc that rises over its chord by less than this is a line, mm: a twentieth of the last decimal. As an arc it would be one
/// of a radius of kilometres.
const FLAT: f64 = 5e-5;

/// The chain rounded; segments that shrink to nothing are left out.
#[must_use]
pub(super) fn path(p: &Path) -> Path {
    let level = level_circle(p);
    let round = |s: &Seg| {
        let flat = 0.5 * s.bulge.abs() * s.a.distance(s.b) < FLAT;
        Seg { a: point(s.a), b: point(s.b), bulge: if flat { 0.0 } else { s.bulge } }
    };
    let segs = level.as_ref().unwrap_or(p).segs.iter().map(round);
    Path { segs: segs.filter(|s| s.a != s.b).collect() }
}

/// A circle of two halves, begun at its right.
fn level_circle(p: &Path) -> Option<Path> {
    let [s, t] = p.segs.as_slice() else { return None };
    let whole = (s.bulge.abs() - 1.0).abs() < 1e-9 && s.bulge == t.bulge && s.a == t.b && s.b == t.a;
    let (middle, across) = ((s.a + s.b) * 0.5, Vec2::new(0.5 * s.a.distance(s.b), 0.0));
    let half = |a: Vec2, b: Vec2| Seg { a, b, bulge: s.bulge };
    whole.then(|| Path { segs: vec![half(middle + across, middle - across), half(middle - across, middle + across)] })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_keeps_its_radius_within_half_a_decimal() {
        // Both ends lie so that they round away from the middle in x and in y.
        let p = Vec2::new(23.220_51, 8.913_51);
        let circle = Path { segs: vec![Seg { a: p, b: -p, bulge: 1.0 }, Seg { a: -p, b: p, bulge: 1.0 }] };
        let rounded = path(&circle);
        assert!((rounded.segs[0].radius() - p.length()).abs() <= 0.000_5);
        assert_eq!(rounded.segs[0].a.y, 0.0);
    }

    #[test]
    fn rounding_moves_by_half_a_decimal_at_most_and_knows_no_negative_zero() {
        for i in 0..1000 {
            let x = f64::from(i) * 0.123_456_789 - 40.0;
            assert!((coordinate(x) - x).abs() <= 0.000_5 + 1e-12);
        }
        assert!(coordinate(-0.000_4).is_sign_positive());
    }

    #[test]
    fn an_arc_with_rounded_ends_stays_where_it_was() {
        let s = Seg { a: Vec2::new(0.000_49, 0.000_49), b: Vec2::new(123.456_51, 7.890_49), bulge: 0.3 };
        let r = path(&Path { segs: vec![s] }).segs[0];
        for i in 0..=10 {
            let t = f64::from(i) / 10.0;
            assert!(s.at(t).distance(r.at(t)) < 0.001);
        }
    }
}
