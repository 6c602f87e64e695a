//! A rim cut to a row of tongues: the arcs of circles through notches and tips on a wall's flat.
//!
//! Along the rim places stand at even lengths: notches and tips by turns, a notch at either end. A notch lies on the
//! generatrix through its place, `rise` from the rim along it (the outer two on the sides); a tip lies on the rim. Where
//! the wall is a cylinder or a cone a generatrix stands square to the rim, and a tongue is the same on both sides of
//! its tip; anywhere else it leans as the generatrices do.

use super::path::{Path, Seg};
use super::rim::Rim;
use super::ring;
use super::walk::Place;
use super::{Vec2, along, left_of};
use crate::num;

/// What the tongues of a rim are made from.
#[derive(Clone, Copy, Debug)]
pub struct Wanted {
    /// The panel lies below the rim.
    pub upper: bool,
    pub count: usize,
    pub rise: f64,
}

/// Notches and tips, with the places of both on the rim in order: notch, tip, notch … notch.
#[derive(Clone, Debug)]
pub struct Row {
    pub notches: Vec<Vec2>,
    pub tips: Vec<Vec2>,
    pub places: Vec<Place>,
}

/// The row along a rim between two places; `sides` are those of an open seam, from the lower to the upper rim.
#[must_use]
pub fn row(rim: &Rim, (from, to): (Place, Place), sides: Option<(Seg, Seg)>, wanted: Wanted) -> Row {
    let (flat, depth) = (rim.flat(), rim.flat().depth());
    let walk = flat.walk();
    let steps = 2 * wanted.count;
    let whole = rim.length(from, to, depth);
    let z = rim.height(from, depth).0;
    let last = walk.length(to, z, depth);
    let mut places = vec![from];
    let (mut at, mut so_far) = ((walk.length(from, z, depth), from), 0.0);
    let mut out = Row { notches: Vec::new(), tips: Vec::new(), places: Vec::new() };
    for i in 1..steps {
        #[expect(clippy::cast_precision_loss, reason = "few tongues")]
        let s = whole * i as f64 / steps as f64;
        let beyond = |x: f64| so_far + rim.length(at.1, walk.at_length(x, z, depth), depth) - s;
        let found = along::ahead((at.0, last), s - so_far, beyond);
        let place = walk.at_length(found, z, depth);
        so_far += rim.length(at.1, place, depth);
        at = (found, place);
        places.push(place);
    }
    places.push(to);
    let inward = if wanted.upper { -1.0 } else { 1.0 };
    for (i, &place) in places.iter().enumerate() {
        let p = rim.point(place, depth).0;
        if i % 2 == 1 {
            out.tips.push(p);
            continue;
        }
        let up = match sides {
            Some((begin, _)) if i == 0 => begin.b - begin.a,
            Some((_, end)) if i == steps => end.b - end.a,
            _ => flat.at(place).rise,
        };
        out.notches.push(p + up.normalize_or_zero() * (inward * wanted.rise));
    }
    out.places = places;
    out
}

impl Row {
    /// The tongues, walked along the rim.
    #[must_use]
    pub fn path(&self) -> Path {
        let arcs = self.notches.windows(2).zip(&self.tips).map(|(n, tip)| arc(n[0], *tip, n[1]));
        Path { segs: arcs.collect() }
    }

    /// Whether tongues run into each other, as they may where their edge is steep or turns back beside itself.
    #[must_use]
    pub fn meets_itself(&self) -> bool {
        ring::self_crossing(&self.path()).is_some()
    }

    /// What is cut away between a rim and its tongues: an outline for either half of each, and a place in it.
    #[must_use]
    pub fn waste(&self, rim: &Rim) -> Vec<(Path, Place)> {
        let walk = rim.flat().walk();
        let depth = rim.flat().depth();
        let path = self.path();
        let mut out = Vec::new();
        for (i, pair) in self.places.windows(2).enumerate() {
            let z = rim.height(pair[0], depth).0;
            let (a, b) = (walk.length(pair[0], z, depth), walk.length(pair[1], z, depth));
            let at = |share: f64| rim.point(walk.at_length(a + (b - a) * share, z, depth), depth).0;
            let mut along = Path::default();
            for k in 0..4u8 {
                let share = |j: f64| (f64::from(k) + j) / 4.0;
                along.segs.push(arc(at(share(0.0)), at(share(0.5)), at(share(1.0))));
            }
            let tongue = &path.segs[i / 2];
            let tip = nearest_share(tongue, self.tips[i / 2]);
            let half = |from: f64, to: f64| {
                let bulge = num::tan(0.25 * tongue.sweep() * (to - from));
                Seg { a: tongue.at(from), b: tongue.at(to), bulge }
            };
            // Back to where the stretch of the rim began.
            let back = if i % 2 == 0 { half(0.0, tip) } else { half(tip, 1.0) }.reversed();
            let (from, to) = (along.start().unwrap_or_default(), along.end().unwrap_or_default());
            along.segs.push(Seg::line(to, back.a));
            along.segs.push(back);
            along.segs.push(Seg::line(back.b, from));
            out.push((along, pair[0]));
        }
        out
    }
}

/// The share of an arc at which a point of it lies.
fn nearest_share(arc: &Seg, p: Vec2) -> f64 {
    let Some(centre) = arc.centre() else { return 0.5 };
    let (from, to) = (arc.a - centre, p - centre);
    let turn = num::atan2(from.perp_dot(to), from.dot(to));
    (turn / arc.sweep()).clamp(0.0, 1.0)
}

/// The arc of a circle from `a` through `m` to `b`; a line where they lie in one.
#[must_use]
pub fn arc(a: Vec2, m: Vec2, b: Vec2) -> Seg {
    let (p, q) = (m - a, b - a);
    let twice = 2.0 * p.perp_dot(q);
    if twice.abs() <= 1e-12 * q.length_squared() {
        return Seg::line(a, b);
    }
    // The centre stands on the bisectors of both chords.
    let centre = a + (left_of(q) * -p.length_squared() + left_of(p) * q.length_squared()) / twice;
    let (from, to) = (a - centre, b - centre);
    let turn = num::wrap(num::atan2(from.perp_dot(to), from.dot(to)), num::TAU);
    // Through `m` to its right of the chord is counter-clockwise.
    let sweep = if p.perp_dot(q) > 0.0 { turn } else { turn - num::TAU };
    Seg { a, b, bulge: num::tan(0.25 * sweep) }
}

/// How far the edge of a tongue lies from its tip's line, `along` from its middle: for the eye, and exact where the
/// rim is straight.
#[must_use]
pub fn falls(along: f64, pitch: f64, rise: f64) -> f64 {
    let half = 0.5 * pitch;
    let radius = 0.5 * (half * half + rise * rise) / rise;
    radius - (radius * radius - along * along).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::PI;

    #[test]
    fn an_arc_through_three_points_has_the_handbook_s_length_and_area() {
        // Circular segment of chord c and height h: r = (c² + 4h²)/(8h), θ = 2 asin(c/2r), s = rθ,
        // A = r²(θ − sin θ)/2 (Machinery's Handbook, "Segments of circles"; from memory). For c = 40, h = 10: r = 25,
        // sin θ/2 = 0.8.
        let (a, b) = (Vec2::new(-20.0, 3.0), Vec2::new(20.0, 3.0));
        let theta: f64 = 2.0 * 0.927_295_218_001_612_2;
        for (tip, sign) in [(Vec2::new(0.0, -7.0), 1.0), (Vec2::new(0.0, 13.0), -1.0)] {
            let seg = arc(a, tip, b);
            assert!((seg.radius() - 25.0).abs() < 1e-12);
            assert!((seg.sweep() - sign * theta).abs() < 1e-12);
            assert!((seg.length() - 25.0 * theta).abs() < 1e-12);
            assert!((seg.at(0.5) - tip).length() < 1e-12);
            let closed = Path { segs: vec![seg, Seg::line(b, a)] };
            assert!((closed.area() - sign * 0.5 * 625.0 * (theta - 0.96)).abs() < 1e-10, "sin θ = 2 · 0.8 · 0.6");
        }
        // More than half a turn, and off its middle.
        let seg = arc(Vec2::new(1.0, 0.0), crate::geom::unit(0.2), crate::geom::unit(1.9 * PI));
        assert!((seg.sweep() - 1.9 * PI).abs() < 1e-12);
        assert!(seg.centre().is_some_and(|c| c.length() < 1e-12));
        assert_eq!(arc(a, a + (b - a) * 0.3, b).bulge, 0.0);
    }

    #[test]
    fn a_tongue_falls_to_its_notches() {
        assert!((falls(20.0, 40.0, 10.0) - 10.0).abs() < 1e-12 && falls(0.0, 40.0, 10.0) == 0.0);
        assert!((falls(-15.0, 40.0, 10.0) - 5.0).abs() < 1e-12, "r = 25, 25 − 20");
    }
}
