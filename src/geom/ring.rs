//! A closed outline, proven: finite, closed, counter-clockwise, no crossing of itself. Exact for lines and arcs.

use super::cross::{self, crossings};
use super::path::{Path, Seg};
use super::{Vec2, tol};

/// A proven outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    path: Path,
}

/// Why a chain is no outline, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RingFault {
    /// Fewer than two segments.
    Empty,
    /// A coordinate or bulge of this segment is not finite, or it has no length.
    Bad { seg: usize },
    /// This segment does not begin where the one before it ends.
    Open { at: Vec2 },
    /// Its area is not positive: it runs clockwise or is flat.
    Clockwise { area: f64 },
    /// It meets itself here.
    Crosses { at: Vec2 },
}

impl Ring {
    /// Proves `path` closed (within [`tol::SAME`]), counter-clockwise and simple.
    ///
    /// # Errors
    /// The first fault found, with its place.
    pub fn new(path: Path) -> Result<Self, RingFault> {
        let n = path.segs.len();
        if n < 2 {
            return Err(RingFault::Empty);
        }
        for (i, s) in path.segs.iter().enumerate() {
            if !(s.a.is_finite() && s.b.is_finite() && s.bulge.is_finite()) || s.a == s.b {
                return Err(RingFault::Bad { seg: i });
            }
        }
        for i in 0..n {
            let (s, next) = (&path.segs[i], &path.segs[(i + 1) % n]);
            if s.b.distance(next.a) > tol::SAME {
                return Err(RingFault::Open { at: s.b });
            }
        }
        let area = path.area();
        if area <= 0.0 {
            return Err(RingFault::Clockwise { area });
        }
        match self_crossing(&path) {
            Some(at) => Err(RingFault::Crosses { at }),
            None => Ok(Self { path }),
        }
    }

    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    #[must_use]
    pub fn area(&self) -> f64 {
        self.path.area()
    }

    /// Whether `p` lies within; of points on the outline either may be said.
    #[must_use]
    pub fn contains(&self, p: Vec2) -> bool {
        contains(&self.path, p)
    }

    /// The least distance of `p` from the outline.
    #[must_use]
    pub fn distance(&self, p: Vec2) -> f64 {
        cross::nearest(&self.path, p).map_or(f64::INFINITY, |(_, _, at)| at.distance(p))
    }
}

/// Whether `p` lies within a closed chain: the even-odd rule for the polygon of chords, changed once for every
/// circular segment between arc and chord that holds `p`. A point on a chord belongs to neither side of it, so it is
/// asked for a little beside it, far nearer than [`tol::SAME`].
#[must_use]
pub fn contains(path: &Path, p: Vec2) -> bool {
    let on_chord = |p: Vec2| {
        path.segs.iter().any(|s| {
            let chord = s.b - s.a;
            s.bulge != 0.0 && chord.perp_dot(p - s.a).abs() <= 1e-11 * chord.length()
        })
    };
    let asked = (0..8).map(|k| p + Vec2::new(1.3e-9, 0.7e-9) * f64::from(k)).find(|q| !on_chord(*q)).unwrap_or(p);
    even_odd(path, asked)
}

fn even_odd(path: &Path, p: Vec2) -> bool {
    let mut inside = false;
    for s in &path.segs {
        let (a, b) = (s.a, s.b);
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y) {
            inside = !inside;
        }
        if let Some(c) = s.centre() {
            let r = s.radius();
            // A counter-clockwise arc lies to the right of its chord, the rest of the disc to the left.
            let side = (b - a).perp_dot(p - a) * s.bulge.signum();
            if side < 0.0 && p.distance_squared(c) < r * r {
                inside = !inside;
            }
        }
    }
    inside
}

/// The first place found where a chain meets itself other than end to start.
pub(super) fn self_crossing(path: &Path) -> Option<Vec2> {
    let n = path.segs.len();
    let boxes: Vec<(Vec2, Vec2)> =
        path.segs.iter().map(|s| Path { segs: vec![*s] }.bounds().expect("one segment has bounds")).collect();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|&i, &j| boxes[i].0.x.total_cmp(&boxes[j].0.x));
    let slack = tol::SAME;
    for (k, &i) in order.iter().enumerate() {
        for &j in &order[k + 1..] {
            if boxes[j].0.x > boxes[i].1.x + slack {
                break;
            }
            if boxes[j].0.y > boxes[i].1.y + slack || boxes[i].0.y > boxes[j].1.y + slack {
                continue;
            }
            let (first, second) = if (i + 1) % n == j { (i, j) } else { (j, i) };
            let neighbours = (first + 1) % n == second;
            if let Some(at) = meets(&path.segs[first], &path.segs[second], neighbours, n == 2) {
                return Some(at);
            }
        }
    }
    None
}

/// A common point of two segments, other than the end of the first at the start of the second when they follow
/// each other (and the other way round in a chain of two).
fn meets(p: &Seg, q: &Seg, neighbours: bool, both_ways: bool) -> Option<Vec2> {
    if neighbours && !both_ways && smooth(p, q) {
        return None;
    }
    crossings(p, q).into_iter().map(|c| c.at).find(|at| {
        let shared = neighbours && at.distance(p.b) <= 10.0 * tol::SAME;
        let other = neighbours && both_ways && at.distance(p.a) <= 10.0 * tol::SAME;
        !shared && !other
    })
}

/// Two segments that go on in nearly the same direction, neither more than a half circle, lie on either side of the
/// normal at their common point, so they cannot meet again. (Their circles are nearly tangent there, where a
/// computed crossing means nothing.)
fn smooth(p: &Seg, q: &Seg) -> bool {
    let (out, on) = (p.direction(1.0), q.direction(0.0));
    out.dot(on) > 0.999 && p.bulge.abs() <= 1.0 && q.bulge.abs() <= 1.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn circle(c: Vec2, r: f64) -> Path {
        let (a, b) = (c + Vec2::X * r, c - Vec2::X * r);
        Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
    }

    #[test]
    fn a_square_and_a_circle_are_rings() {
        let square = Path::polygon(&[Vec2::ZERO, Vec2::X, Vec2::ONE, Vec2::Y]);
        assert!(Ring::new(square.clone()).is_ok());
        assert_eq!(Ring::new(square.reversed()), Err(RingFault::Clockwise { area: -1.0 }));
        let ring = Ring::new(circle(Vec2::new(3.0, 1.0), 2.0)).expect("a ring");
        assert!(ring.contains(Vec2::new(3.0, 2.9)) && !ring.contains(Vec2::new(3.0, 3.1)));
        assert!((ring.distance(Vec2::new(3.0, 2.5)) - 0.5).abs() < 1e-12);
        assert!(ring.contains(Vec2::new(3.0, 1.0)), "on the chord of both halves");
    }

    #[test]
    fn a_chain_that_crosses_itself_is_none() {
        let eight = Path::polygon(&[Vec2::ZERO, Vec2::new(4.0, 0.0), Vec2::new(1.0, 3.0), Vec2::new(2.0, -1.0)]);
        let eight = if eight.area() > 0.0 { eight } else { eight.reversed() };
        assert!(matches!(Ring::new(eight), Err(RingFault::Crosses { .. })));
        // An arc that bulges out over the opposite side.
        let mut bite = Path::polygon(&[Vec2::ZERO, Vec2::new(10.0, 0.0), Vec2::new(10.0, 2.0), Vec2::new(0.0, 2.0)]);
        bite.segs[0].bulge = -0.5;
        assert!(matches!(Ring::new(bite), Err(RingFault::Crosses { .. } | RingFault::Clockwise { .. })));
    }

    #[test]
    fn open_flat_and_unreal_chains_are_told_apart() {
        let mut open = Path::polygon(&[Vec2::ZERO, Vec2::X, Vec2::ONE]);
        open.segs[1].b = Vec2::new(1.0, 1.001);
        assert!(matches!(Ring::new(open), Err(RingFault::Open { .. })));
        let mut nan = Path::polygon(&[Vec2::ZERO, Vec2::X, Vec2::ONE]);
        nan.segs[2].bulge = f64::NAN;
        assert_eq!(Ring::new(nan), Err(RingFault::Bad { seg: 2 }));
        assert_eq!(Ring::new(Path::default()), Err(RingFault::Empty));
    }

    #[test]
    fn a_hollow_side_keeps_what_it_leaves() {
        let mut p = Path::polygon(&[Vec2::ZERO, Vec2::new(10.0, 0.0), Vec2::new(10.0, 10.0), Vec2::new(0.0, 10.0)]);
        p.segs[0].bulge = -0.5;
        let ring = Ring::new(p).expect("a ring");
        assert!(!ring.contains(Vec2::new(5.0, 2.0)) && ring.contains(Vec2::new(5.0, 3.0)));
    }
}
