//! Distances and samples, of the audit's own: chains of points in space and on the flat, and motions undone.

use crate::geom::path::{Motion, Path, Seg};
use crate::geom::{Vec2, Vec3, left_of};
use crate::num;
use crate::piece::Piece;

/// The least and the most that a figure comes to between two places of a round, looked at more and more closely where
/// it is least and most.
pub fn range((from, to): (f64, f64), f: &dyn Fn(f64) -> f64) -> (f64, f64) {
    const EACH: f64 = 96.0;
    const CLOSER: f64 = 24.0;
    let most = |sign: f64| {
        let (mut low, mut high, mut steps) = (from, to, ((to - from) * EACH).ceil().max(1.0));
        let mut best = f64::NEG_INFINITY;
        for _ in 0..4 {
            let mut at = low;
            let mut i = 0.0;
            while i <= steps {
                let w = low + (high - low) * i / steps;
                let value = sign * f(w);
                if value > best {
                    (best, at) = (value, w);
                }
                i += 1.0;
            }
            let step = (high - low) / steps;
            (low, high, steps) = ((at - step).max(from), (at + step).min(to), CLOSER);
        }
        sign * best
    };
    (most(-1.0), most(1.0))
}

/// Distance of a point from a chord.
pub fn to_chord(p: Vec3, a: Vec3, b: Vec3) -> f64 {
    let ab = b - a;
    let l2 = ab.length_squared();
    let s = if l2 > 0.0 { ((p - a).dot(ab) / l2).clamp(0.0, 1.0) } else { 0.0 };
    (p - a - ab * s).length()
}

/// Distance of a point from a chain. The search begins at `hint` and runs both ways while it grows nearer; when what
/// it finds passes `enough`, every chord is tried.
pub fn to_chain(p: Vec3, chain: &[Vec3], hint: &mut usize, enough: f64) -> f64 {
    const AHEAD: usize = 6;
    match chain {
        [] => return f64::INFINITY,
        [one] => return (p - *one).length(),
        _ => {}
    }
    let n = chain.len() - 1;
    let at = |i: usize| to_chord(p, chain[i], chain[i + 1]);
    let start = (*hint).min(n - 1);
    let mut best = (at(start), start);
    let mut since = 0;
    for i in start + 1..n {
        let d = at(i);
        since += 1;
        if d < best.0 {
            best = (d, i);
            since = 0;
        }
        if since >= AHEAD {
            break;
        }
    }
    since = 0;
    for i in (0..start).rev() {
        let d = at(i);
        since += 1;
        if d < best.0 {
            best = (d, i);
            since = 0;
        }
        if since >= AHEAD {
            break;
        }
    }
    if best.0 > enough {
        for i in 0..n {
            let d = at(i);
            if d < best.0 {
                best = (d, i);
            }
        }
    }
    *hint = best.1;
    best.0
}

/// The length of a chain of points so close that its chords stand for the curve. What runs back along itself (`back`,
/// by the middle place of a chord and the chord) counts as taken away.
pub fn chain_length(chain: &[(f64, Vec3)], back: impl Fn(f64, Vec3) -> bool) -> f64 {
    let mut sum = num::Sum::new();
    for c in chain.windows(2) {
        let chord = c[1].1 - c[0].1;
        let long = chord.length();
        sum.add(if back(0.5 * (c[0].0 + c[1].0), chord) { -long } else { long });
    }
    sum.value()
}

/// The length of a curve through points that may each stand a few thousandths off it: of points close together only
/// some are taken, so that what they stand off does not add up.
pub fn smooth_length(points: &[Vec3]) -> f64 {
    /// As near as points are taken, and where the curve turns by more than `TURN` meanwhile, mm.
    const NEAR: f64 = 2.0;
    const NEAREST: f64 = 0.1;
    const TURN: f64 = 0.03;
    let mut taken: Vec<Vec3> = Vec::new();
    let mut way: Option<Vec3> = None;
    for (i, &p) in points.iter().enumerate() {
        let Some(&last) = taken.last() else {
            taken.push(p);
            continue;
        };
        let step = p - last;
        // The first step has nothing to turn from, and may begin in the tightest bend.
        let turned = way.is_none_or(|w: Vec3| w.cross(step).length() > TURN * w.length() * step.length());
        let far = step.length() >= NEAR || (turned && step.length() >= NEAREST);
        if far || i + 1 == points.len() {
            taken.push(p);
            way = Some(step);
        }
    }
    // A chord `c` of an arc that turns by θ is shorter than it by `c θ²/24`. Between chords of like length the chain
    // turns as the arc does; beside a longer one there is a straight side or a corner.
    let chords: Vec<Vec3> = taken.windows(2).map(|p| p[1] - p[0]).collect();
    let turn = |a: Vec3, b: Vec3| {
        let (long, other) = (a.length(), b.length());
        let like = long < 3.0 * other && other < 3.0 * long;
        let angle = num::atan2(a.cross(b).length(), a.dot(b));
        if like && angle < 0.5 { angle * long / (long + other) } else { 0.0 }
    };
    let mut sum = num::Sum::new();
    for (i, c) in chords.iter().enumerate() {
        let before = if i > 0 { turn(*c, chords[i - 1]) } else { 0.0 };
        let after = chords.get(i + 1).map_or(0.0, |n| turn(*c, *n));
        sum.add(c.length() * (1.0 + (before + after) * (before + after) / 24.0));
    }
    sum.value()
}

/// Distance of a point from a segment of a drawing, arcs as arcs.
pub fn to_seg(p: Vec2, s: &Seg) -> f64 {
    let ends = (p - s.a).length().min((p - s.b).length());
    match s.centre() {
        None => {
            let ab = s.b - s.a;
            let l2 = ab.length_squared();
            if l2 == 0.0 {
                return ends;
            }
            let t = ((p - s.a).dot(ab) / l2).clamp(0.0, 1.0);
            (p - s.a - ab * t).length()
        }
        Some(c) => {
            if within_sweep(p - c, s, c) {
                ((p - c).length() - s.radius()).abs().min(ends)
            } else {
                ends
            }
        }
    }
}

/// Whether a direction from an arc's centre lies within its sweep.
pub fn within_sweep(v: Vec2, s: &Seg, centre: Vec2) -> bool {
    let from = s.a - centre;
    let turn = num::atan2(from.perp_dot(v), from.dot(v));
    let sweep = s.sweep();
    let along = if sweep >= 0.0 { num::wrap(turn, num::TAU) } else { num::wrap(-turn, num::TAU) };
    along <= sweep.abs() + 1e-12
}

/// Distance of a point from a path.
pub fn to_path(p: Vec2, path: &Path) -> f64 {
    path.segs.iter().map(|s| to_seg(p, s)).fold(f64::INFINITY, f64::min)
}

/// The place on the flat that a motion took to `p`.
pub fn undone(motion: &Motion, p: Vec2) -> Vec2 {
    let q = p - motion.shift;
    let (s, c) = num::sin_cos(motion.turn);
    let q = Vec2::new(c * q.x + s * q.y, c * q.y - s * q.x);
    if motion.mirror { Vec2::new(-q.x, q.y) } else { q }
}

/// A path taken back by a motion.
pub fn path_undone(motion: &Motion, path: &Path) -> Path {
    let seg = |s: &Seg| Seg {
        a: undone(motion, s.a),
        b: undone(motion, s.b),
        bulge: if motion.mirror { -s.bulge } else { s.bulge },
    };
    Path { segs: path.segs.iter().map(seg).collect() }
}

/// Points along a path, at most `step` apart and on arcs with at most `sag` between arc and chord.
pub fn samples(path: &Path, step: f64, sag: f64) -> Vec<Vec2> {
    let mut out: Vec<Vec2> = path.start().into_iter().collect();
    for s in &path.segs {
        let mut n = (s.length() / step).ceil().max(1.0);
        if s.bulge != 0.0 {
            // sag = r (1 − cos(θ/2)) ≈ r θ²/8 for each part.
            let part = (8.0 * sag / s.radius()).sqrt();
            n = n.max((s.sweep().abs() / part).ceil());
        }
        let n = n.min(20_000.0);
        let mut i = 1.0;
        while i < n {
            out.push(s.at(i / n));
            i += 1.0;
        }
        out.push(s.b);
    }
    out
}

/// Whether a closed path winds round a point: how often its chords do (a ray to the right, crossed upwards counts for and
/// downwards against), and once more or less for every arc that has the point between itself and its chord. A point on a
/// chord, as the middle of a hole of two arcs is, counts as one a hair to the right of it and a hair of a hair above.
pub fn encloses(path: &Path, p: Vec2) -> bool {
    let mut winds = 0;
    for s in &path.segs {
        let (a, b) = (s.a - p, s.b - p);
        // Positive where the point lies to the left of the chord.
        let side = match a.perp_dot(b) {
            0.0 if a.y != b.y => a.y - b.y,
            0.0 => b.x - a.x,
            side => side,
        };
        if a.y <= 0.0 && b.y > 0.0 && side > 0.0 {
            winds += 1;
        } else if b.y <= 0.0 && a.y > 0.0 && side < 0.0 {
            winds -= 1;
        }
        // An arc that turns left runs to the right of its chord, however long it is.
        if s.bulge != 0.0 && side * s.bulge < 0.0 && s.centre().is_some_and(|c| (p - c).length() < s.radius()) {
            winds += if s.bulge > 0.0 { 1 } else { -1 };
        }
    }
    winds != 0
}

/// The sheet of a piece, as polygons: its outline without its holes.
#[derive(Debug)]
pub struct Ground(Vec<Vec<Vec2>>);

impl Ground {
    pub fn of(piece: &Piece) -> Self {
        let contour = Path { segs: piece.contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() };
        let holes = piece.holes.iter().map(|h| samples(&h.outline, f64::INFINITY, 0.01));
        Self(core::iter::once(samples(&contour, f64::INFINITY, 0.01)).chain(holes).collect())
    }

    /// Whether a point lies on the sheet: a ray to the right crosses its edges an odd number of times.
    pub fn holds(&self, p: Vec2) -> bool {
        let crossed = |w: &&[Vec2]| {
            let (a, b) = (w[0], w[1]);
            (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
        };
        self.0.iter().map(|ring| ring.windows(2).filter(crossed).count()).sum::<usize>() % 2 == 1
    }
}

/// Area of a closed chain of points, counter-clockwise positive.
pub fn area(points: &[Vec2]) -> f64 {
    let Some(&origin) = points.first() else { return 0.0 };
    let pairs = points.windows(2).map(|w| 0.5 * (w[0] - origin).perp_dot(w[1] - origin));
    pairs.collect::<num::Sum>().value()
}

/// Area enclosed by a closed path, arcs as arcs, by the audit's own sum: `½∮ p × dp`, an arc giving
/// `½ (c × (b − a) + r² θ)` about its centre `c` (signed sweep θ).
pub fn path_area(paths: &[&Path]) -> f64 {
    let Some(origin) = paths.iter().find_map(|p| p.start()) else { return 0.0 };
    let mut sum = num::Sum::new();
    for s in paths.iter().flat_map(|p| &p.segs) {
        match s.centre() {
            None => sum.add(0.5 * (s.a - origin).perp_dot(s.b - origin)),
            Some(c) => {
                let r = s.radius();
                sum.add(0.5 * ((c - origin).perp_dot(s.b - s.a) + r * r * s.sweep()));
            }
        }
    }
    sum.value()
}

/// Right of a direction.
pub fn right_of(v: Vec2) -> Vec2 {
    -left_of(v)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_motion_is_undone() {
        let motion = Motion { mirror: true, turn: 0.7, shift: Vec2::new(5.0, -2.0) };
        let p = Vec2::new(3.0, 11.0);
        assert!((undone(&motion, motion.apply(p)) - p).length() < 1e-12);
    }

    #[test]
    fn distance_to_an_arc_is_measured_to_the_arc_and_not_its_circle() {
        let quarter = Seg { a: Vec2::new(10.0, 0.0), b: Vec2::new(0.0, 10.0), bulge: num::tan(num::PI / 8.0) };
        assert!((to_seg(Vec2::new(7.0, 7.0), &quarter) - (10.0 - 98f64.sqrt())).abs() < 1e-12);
        assert!((to_seg(Vec2::new(-10.0, 0.0), &quarter) - 200f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_disc_encloses_its_middle_and_nothing_outside() {
        let (a, b) = (Vec2::new(10.0, 0.0), Vec2::new(-10.0, 0.0));
        let arc = |a, b| Seg { a, b, bulge: 1.0 };
        let disc = Path { segs: vec![arc(a, b), arc(b, a)] };
        assert!(encloses(&disc, Vec2::new(3.0, 9.0)) && !encloses(&disc, Vec2::new(8.0, 8.0)));
    }

    #[test]
    fn what_encloses_a_point_is_told_by_the_angles_it_turns_through() {
        // The other way: the sum of the angles under which small steps along the path are seen is a whole turn or none.
        let seen = |path: &Path, p: Vec2| {
            let turn = |a: Vec2, b: Vec2| num::atan2(a.perp_dot(b), a.dot(b));
            let steps =
                path.segs.iter().flat_map(|s| (0..400).map(move |i| [i, i + 1].map(|k| s.at(f64::from(k) / 400.0))));
            steps.map(|[a, b]| turn(a - p, b - p)).sum::<f64>()
        };
        let corners = [(0.0, 0.0), (20.0, 0.0), (24.0, 12.0), (10.0, 5.0), (0.0, 14.0)].map(|(x, y)| Vec2::new(x, y));
        let ring = |bulges: [f64; 5]| {
            let seg = |i: usize| Seg { a: corners[i], b: corners[(i + 1) % 5], bulge: bulges[i] };
            Path { segs: (0..5).map(seg).collect() }
        };
        for bulges in [[0.0; 5], [0.3, -0.2, 0.5, 0.4, -0.3], [1.4, 0.2, -0.6, 0.1, 1.2], [-0.4, 0.9, 1.0, 2.5, 0.0]] {
            for path in [ring(bulges), ring(bulges).reversed()] {
                for i in 0..60 {
                    for j in 0..50 {
                        let p = Vec2::new(f64::from(i) * 1.013 - 20.07, f64::from(j) * 1.021 - 20.03);
                        if to_path(p, &path) > 0.05 {
                            let turn = seen(&path, p);
                            assert!((turn / num::TAU - (turn / num::TAU).round()).abs() < 1e-6);
                            assert_eq!(encloses(&path, p), turn.abs() > num::PI, "{bulges:?} {p}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_point_on_the_chord_of_its_arcs_is_enclosed_by_them() {
        for i in 0..16 {
            // Ends that are whole numbers, so that their middle is on their chord to the last bit.
            let r = (crate::geom::unit(num::TAU * f64::from(i) / 16.0) * 64.0).round();
            let middle = Vec2::new(133.5, 50.0);
            let (a, b) = (middle + r, middle - r);
            let disc = |bulge: f64| Path { segs: vec![Seg { a, b, bulge }, Seg { a: b, b: a, bulge }] };
            for share in [-0.75, -0.5, 0.0, 0.25, 0.5] {
                for bulge in [1.0, 0.5, 0.25, -0.25, -1.0] {
                    assert!(encloses(&disc(bulge), middle + r * share), "{r} {share} {bulge}");
                    assert!(!encloses(&disc(bulge), middle + r * (2.0 + share)), "{r} {share} {bulge}");
                }
            }
        }
    }

    #[test]
    fn area_of_a_disc_is_that_of_its_arcs() {
        let (a, b) = (Vec2::new(15.0, 2.0), Vec2::new(-5.0, 2.0));
        let disc = Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] };
        assert!((path_area(&[&disc]) - num::PI * 100.0).abs() < 1e-10);
    }

    #[test]
    fn a_chain_is_searched_whole_when_the_near_part_is_far() {
        let chain: Vec<Vec3> = (0..100).map(|i| Vec3::new(f64::from(i), 0.0, 0.0)).collect();
        let mut hint = 90;
        assert!((to_chain(Vec3::new(4.5, 1.0, 0.0), &chain, &mut hint, 2.0) - 1.0).abs() < 1e-12);
        assert_eq!(hint, 4);
    }
}
