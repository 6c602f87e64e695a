//! An outline drawn in (or out) by one width all round: every side moved square to itself, sides that meet in a corner
//! carried on to where they cross. The sides keep their number and order, so that what lies between an outline and its
//! inset is a strip beside each of them.

use super::cross::carriers;
use super::path::{Path, Seg};
use super::ring::Ring;
use super::{Vec2, left_of, tol};
use crate::num;

/// Sides that turn by less than this from one to the next run on smoothly, radians: what the fit of a curve leaves.
const SMOOTH: f64 = 1e-5;

/// The outline `by` mm further in (below zero: out). `None` where a side would be left without length, or the sides would
/// cross: further in the outline has other sides.
#[must_use]
pub fn inset(outline: &Path, by: f64) -> Option<Path> {
    if by == 0.0 {
        return Some(outline.clone());
    }
    let n = outline.segs.len();
    let moved: Vec<Option<Seg>> = outline.segs.iter().map(|s| beside(s, by)).collect();
    // Where each side now begins.
    let mut starts: Vec<Vec2> = Vec::with_capacity(n);
    for i in 0..n {
        let (before, after) = (&outline.segs[(i + n - 1) % n], &outline.segs[i]);
        let (p, q) = (moved[(i + n - 1) % n]?, moved[i]?);
        let (u, v) = (before.direction(1.0), after.direction(0.0));
        let turn = num::atan2(u.perp_dot(v), u.dot(v));
        if turn.abs() < SMOOTH {
            starts.push((p.b + q.a) * 0.5);
            continue;
        }
        let corner = (p.b + q.a) * 0.5;
        let near = carriers(&p, &q).into_iter().min_by(|a, b| {
            let far = |at: Vec2| at.distance_squared(corner);
            far(a.at).total_cmp(&far(b.at))
        })?;
        starts.push(near.at);
    }
    let mut out = Path::default();
    for i in 0..n {
        let whole = moved[i]?;
        let (from, to) = (starts[i], starts[(i + 1) % n]);
        let (a, b) = (whole.share(from), whole.share(to));
        if (b - a) * whole.length() < tol::SAME.max(1e-6) {
            return None;
        }
        let bulge = if whole.bulge == 0.0 { 0.0 } else { num::tan(whole.sweep() * (b - a) * 0.25) };
        out.segs.push(Seg { a: from, b: to, bulge });
    }
    Ring::new(out.clone()).ok().map(|_| out)
}

/// The furthest in that an outline may be drawn, to a thousandth of a millimetre, if no further than `most`.
#[must_use]
pub fn furthest(outline: &Path, most: f64) -> f64 {
    let (mut low, mut high) = (0.0, most);
    if inset(outline, most).is_some() {
        return most;
    }
    while high - low > 1e-3 {
        let middle = 0.5 * (low + high);
        if inset(outline, middle).is_some() {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// A side moved to its left; an arc keeps its centre. `None` where its radius would be used up.
fn beside(s: &Seg, by: f64) -> Option<Seg> {
    let Some(centre) = s.centre() else {
        let out = left_of(s.direction(0.0)) * by;
        return Some(Seg::line(s.a + out, s.b + out));
    };
    let radius = s.radius();
    let k = (radius - by * s.bulge.signum()) / radius;
    (k > 1e-9).then(|| Seg { a: centre + (s.a - centre) * k, b: centre + (s.b - centre) * k, ..*s })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Steiner's formula for an outline drawn in by `d`, its corners carried on: `A − P d + d² (½ Σ arcs + Σ tan ½θ)`,
    /// arcs and corners by the angles they turn (J. Steiner, 1840; for polygons by its own mitres).
    fn steiner(path: &Path, d: f64) -> f64 {
        let n = path.segs.len();
        let arcs: f64 = path.segs.iter().map(|s| 0.5 * s.sweep()).sum();
        let corners: f64 = (0..n)
            .map(|i| {
                let (u, v) = (path.segs[i].direction(1.0), path.segs[(i + 1) % n].direction(0.0));
                num::tan(0.5 * num::atan2(u.perp_dot(v), u.dot(v)))
            })
            .sum();
        path.area() - path.length() * d + d * d * (arcs + corners)
    }

    #[test]
    fn what_is_left_of_an_outline_is_steiner_s() {
        let p = |x: f64, y: f64| Vec2::new(x, y);
        let square = Path::polygon(&[p(0.0, 0.0), p(60.0, 0.0), p(60.0, 40.0), p(0.0, 40.0)]);
        let hook =
            Path::polygon(&[p(0.0, 0.0), p(60.0, 0.0), p(60.0, 20.0), p(20.0, 20.0), p(20.0, 50.0), p(0.0, 50.0)]);
        let mut round = square.clone();
        round.segs[1].bulge = 0.0;
        let pill = Path {
            segs: vec![
                Seg::line(p(0.0, 0.0), p(50.0, 0.0)),
                Seg { a: p(50.0, 0.0), b: p(50.0, 30.0), bulge: 1.0 },
                Seg::line(p(50.0, 30.0), p(0.0, 30.0)),
                Seg { a: p(0.0, 30.0), b: p(0.0, 0.0), bulge: 1.0 },
            ],
        };
        for (path, name) in [(&square, "square"), (&hook, "hook"), (&round, "square again"), (&pill, "pill")] {
            for d in [-7.0, -1.0, 0.5, 5.0, 8.0] {
                let got = inset(path, d).unwrap_or_else(|| panic!("{name} {d}"));
                assert!((got.area() - steiner(path, d)).abs() < 1e-9, "{name} {d}: {}", got.area());
                assert_eq!(got.segs.len(), path.segs.len());
            }
        }
        assert!(inset(&square, 20.5).is_none() && inset(&hook, 10.5).is_none(), "other sides");
        assert!((furthest(&square, 100.0) - 20.0).abs() < 2e-3);
        // A round corner keeps a radius.
        assert!((furthest(&pill, 100.0) - 15.0).abs() < 2e-3);
    }

    #[test]
    fn an_arc_that_meets_a_side_at_an_angle_is_cut_where_it_crosses() {
        // A half-disc of radius 30: drawn in by 5 its chord lies 5 up, its arc has radius 25.
        let p = |x: f64, y: f64| Vec2::new(x, y);
        let half = Path {
            segs: vec![Seg::line(p(-30.0, 0.0), p(30.0, 0.0)), Seg { a: p(30.0, 0.0), b: p(-30.0, 0.0), bulge: 1.0 }],
        };
        let got = inset(&half, 5.0).expect("fits");
        let x = (25.0f64 * 25.0 - 25.0).sqrt();
        assert!((got.segs[0].a - p(-x, 5.0)).length() < 1e-9 && (got.segs[0].b - p(x, 5.0)).length() < 1e-9);
        assert!((got.segs[1].radius() - 25.0).abs() < 1e-9);
    }
}
