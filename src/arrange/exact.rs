//! Whether places keep the rules, reckoned in f64 from the pieces' own lines and arcs: nothing of the grid of the first
//! pass or of the search's engine. What this does not find good is not used.

use super::search::Place;
use crate::geom::Vec2;
use crate::geom::path::{Motion, Path};

/// Arcs are looked at by chords within this, mm.
const CHORD: f64 = 0.004;
/// What rounding of coordinates may cost at a border, mm.
const ROUNDING: f64 = 1e-6;

/// A ring where it lies.
struct Lying {
    bed: usize,
    points: Vec<Vec2>,
    lo: Vec2,
    hi: Vec2,
}

/// Every ring lies in its room, and no two on a bed come nearer than the gap.
pub(super) fn legal<'a>(rings: impl Iterator<Item = &'a Path>, places: &[Place], rooms: &[Vec2], gap: f64) -> bool {
    let mut lying: Vec<Lying> = Vec::with_capacity(places.len());
    for (ring, place) in rings.zip(places) {
        let moved = ring.moved(&Motion { mirror: false, turn: place.turn, shift: place.shift });
        let (Some((lo, hi)), Some(room)) = (moved.bounds(), rooms.get(place.bed)) else { return false };
        let free = lo.min(*room - hi);
        if !lo.is_finite() || !hi.is_finite() || free.min_element() < -ROUNDING {
            return false;
        }
        let mut points = moved.flattened(CHORD);
        points.pop();
        let next = Lying { bed: place.bed, points, lo, hi };
        if lying.iter().any(|other| other.bed == next.bed && !apart(other, &next, gap)) {
            return false;
        }
        lying.push(next);
    }
    lying.len() == places.len()
}

fn apart(a: &Lying, b: &Lying, gap: f64) -> bool {
    // Each curve may stand off its chords.
    let least = gap + 2.0 * CHORD;
    let reach = Vec2::splat(least);
    let (lo, hi) = (a.lo.max(b.lo) - reach, a.hi.min(b.hi) + reach);
    if lo.cmpgt(hi).any() {
        return true;
    }
    // Only sides that reach into the box both share can be near.
    let near = |points: &[Vec2]| -> Vec<(Vec2, Vec2)> {
        let sides = points.iter().zip(points.iter().cycle().skip(1)).map(|(p, q)| (*p, *q));
        sides.filter(|(p, q)| p.min(*q).cmple(hi).all() && p.max(*q).cmpge(lo).all()).collect()
    };
    let (ours, theirs) = (near(&a.points), near(&b.points));
    let clear = |&(p, q): &(Vec2, Vec2)| theirs.iter().all(|&(r, s)| distance_below(p, q, r, s, least));
    ours.iter().all(clear) && !holds(&a.points, b.points[0]) && !holds(&b.points, a.points[0])
}

/// Whether two segments are at least `least` apart.
fn distance_below(p: Vec2, q: Vec2, r: Vec2, s: Vec2, least: f64) -> bool {
    let reach = Vec2::splat(least);
    if (p.min(q) - reach).cmpgt(r.max(s)).any() || (r.min(s) - reach).cmpgt(p.max(q)).any() {
        return true;
    }
    let side = |a: Vec2, b: Vec2, c: Vec2| (b - a).perp_dot(c - a);
    let crossing = side(p, q, r) * side(p, q, s) < 0.0 && side(r, s, p) * side(r, s, q) < 0.0;
    let ends = [from_segment(p, r, s), from_segment(q, r, s), from_segment(r, p, q), from_segment(s, p, q)];
    !crossing && ends.into_iter().all(|d| d >= least)
}

fn from_segment(p: Vec2, a: Vec2, b: Vec2) -> f64 {
    let d = b - a;
    let along = if d.length_squared() > 0.0 { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
    (a + d * along - p).length()
}

/// Whether a point lies in a polygon (a ray to the right crosses it an odd number of times).
fn holds(points: &[Vec2], p: Vec2) -> bool {
    let sides = points.iter().zip(points.iter().cycle().skip(1));
    let crossed =
        sides.filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x));
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::path::Seg;

    fn disc(r: f64) -> Path {
        let (a, b) = (Vec2::new(r, 0.0), Vec2::new(-r, 0.0));
        Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
    }

    fn two(bed: usize, x: f64) -> bool {
        let place = |bed, x| Place { bed, turn: 0.4, shift: Vec2::new(x, 30.0) };
        let rings = [disc(20.0), disc(20.0)];
        legal(rings.iter(), &[place(0, 20.0), place(bed, x)], &[Vec2::new(100.0, 60.0); 2], 5.0)
    }

    #[test]
    fn two_discs_lie_their_gap_apart_and_within_the_room() {
        assert!(two(0, 65.01) && two(0, 80.0));
        assert!(!two(0, 64.99), "too near");
        assert!(!two(0, 80.01), "beyond the room");
        assert!(two(1, 20.0) && !two(0, 20.0), "on another bed, and on the same one");
        assert!(!two(2, 20.0), "no such bed");
        assert!(!two(0, f64::NAN));
    }

    #[test]
    fn a_ring_within_another_is_not_apart_from_it() {
        let place = Place { bed: 0, turn: 0.0, shift: Vec2::splat(100.0) };
        let rings = [disc(90.0), disc(10.0)];
        assert!(!legal(rings.iter(), &[place; 2], &[Vec2::splat(200.0)], 5.0));
        assert!(!legal(rings[..1].iter(), &[place; 2], &[Vec2::splat(200.0)], 5.0), "a ring is missing");
    }
}
