//! What is left when a prop is taken apart, and whether it goes in a box.

use super::{Given, used};
use crate::design::{Kind, Node};
use crate::fitted::Core;
use crate::geom::{Vec2, Vec3, unit};
use crate::num::{FRAC_PI_2, PI};
use crate::skin::{self, Corners};
use crate::solid::{Frame, Part, Solid};

/// From where to where parts and cores together reach along three axes.
pub(super) fn extents(solid: &Solid, (parts, cores): (&[&Part], &[&Core]), axes: [Vec3; 3]) -> [(f64, f64); 3] {
    let mut out = [(f64::INFINITY, f64::NEG_INFINITY); 3];
    for core in cores {
        let way = (core.ends[1] - core.ends[0]).normalize_or_zero();
        for (ends, axis) in out.iter_mut().zip(axes) {
            let lean = way.dot(axis);
            let wide = 0.5 * core.across * (1.0 - lean * lean).max(0.0).sqrt();
            let (a, b) = (core.ends[0].dot(axis), core.ends[1].dot(axis));
            *ends = (ends.0.min(a.min(b) - wide), ends.1.max(a.max(b) + wide));
        }
    }
    for part in parts {
        for p in corners(solid, part).points {
            let p = part.place.apply(p);
            for (ends, axis) in out.iter_mut().zip(axes) {
                let x = p.dot(axis);
                *ends = (ends.0.min(x), ends.1.max(x));
            }
        }
    }
    out
}

/// How far a part reaches, with the tabs that are folded out round its foot.
fn corners(solid: &Solid, part: &Part) -> Corners {
    let mut all = skin::corners(part);
    all.points.extend(skin::tabs::ends_of(solid, part));
    all
}

/// The greatest of a convex measure of a part, in the prop.
pub(super) fn most(solid: &Solid, part: &Part, measure: impl Fn(Vec3) -> f64) -> f64 {
    corners(solid, part).most(|p| measure(part.place.apply(p)))
}

/// Points round both ends of a core, a degree apart.
pub(super) fn rims(core: &Core) -> Vec<Vec3> {
    let side = (core.ends[1] - core.ends[0]).normalize_or(Vec3::Z).any_orthonormal_vector();
    let other = (core.ends[1] - core.ends[0]).normalize_or(Vec3::Z).cross(side);
    let point = |end: Vec3, i: u32| {
        let n = unit(f64::from(i) * PI / 180.0) * (0.5 * core.across);
        end + side * n.x + other * n.y
    };
    core.ends.iter().flat_map(|&end| (0..360u32).map(move |i| point(end, i))).collect()
}

/// A rod by itself.
pub(super) fn rod(long: f64, across: f64) -> Outline {
    Outline { tall: long, hull: (0..360u32).map(|i| unit(f64::from(i) * PI / 180.0) * (0.5 * across)).collect() }
}

/// Parts that are glued to each other: those that joints join (not through a loose cap), those of one thing (a backing
/// strip and its wall), and what is fitted with what it is fitted to. The places of the parts in `parts`.
pub(super) fn rigid(given: &Given<'_>, parts: &[&Part]) -> Vec<Vec<usize>> {
    let mut group: Vec<usize> = (0..parts.len()).collect();
    let mut join = |a: usize, b: usize| {
        let (keep, gone) = (group[a].min(group[b]), group[a].max(group[b]));
        group.iter_mut().filter(|g| **g == gone).for_each(|g| *g = keep);
    };
    let at = |id| parts.iter().position(|p| p.id == id);
    for joint in &given.solid.joints {
        let (Some(a), Some(b)) = (at(joint.a.part), at(joint.b.part)) else { continue };
        if !(parts[a].thing != parts[b].thing && (is_loose(given, parts[a]) || is_loose(given, parts[b]))) {
            join(a, b);
        }
    }
    for (i, part) in parts.iter().enumerate() {
        if let Some(first) = parts[..i].iter().position(|p| p.thing == part.thing) {
            join(first, i);
        }
        // What is fitted (a band, a cover) stays on what it is fitted to.
        let kind = given.design.thing(part.thing).kind;
        if !used::is_part(kind) || kind == Kind::Keel {
            for ground in used::grounds(given.design, part.thing) {
                if let Some(at) = parts.iter().position(|p| p.thing == ground.thing) {
                    join(at, i);
                }
            }
        }
    }
    let mut out: Vec<Vec<usize>> = Vec::new();
    for i in 0..parts.len() {
        if group[i] == i {
            out.push((i..parts.len()).filter(|j| group[*j] == i).collect());
        }
    }
    out
}

/// Whether a part is a cap that comes off.
pub(super) fn is_loose(given: &Given<'_>, part: &Part) -> bool {
    let kind = given.design.thing(part.thing).kind;
    let yes = given.design.field(part.thing, "loose").is_some_and(|e| e.node == Node::Bool(true));
    kind == Kind::Cap && yes
}

/// A body as seen along its axis: its height, and the hull of what is seen.
#[derive(Clone, Debug)]
pub(super) struct Outline {
    pub tall: f64,
    pub hull: Vec<Vec2>,
}

/// Parts together, seen along the axis of a frame. One part is added to the hull after the other, so that many take no
/// more room than one.
pub(super) fn outline<'a>(solid: &Solid, parts: impl Iterator<Item = &'a Part>, frame: &Frame) -> Outline {
    let (mut low, mut high, mut seen) = (f64::INFINITY, f64::NEG_INFINITY, Vec::new());
    for part in parts {
        for p in corners(solid, part).points {
            let d = part.place.apply(p) - frame.origin;
            (low, high) = (low.min(d.dot(frame.z)), high.max(d.dot(frame.z)));
            seen.push(Vec2::new(d.dot(frame.x), d.dot(frame.y)));
        }
        seen = hull(seen);
    }
    Outline { tall: (high - low).max(0.0), hull: seen }
}

/// The convex hull, counter-clockwise: Andrew's monotone chain (A. M. Andrew, "Another efficient algorithm for convex
/// hulls in two dimensions", Information Processing Letters 9, 1979).
fn hull(mut points: Vec<Vec2>) -> Vec<Vec2> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut chain: Vec<Vec2> = Vec::with_capacity(2 * points.len());
    let mut floor = 1;
    for half in [false, true] {
        let walk: Box<dyn Iterator<Item = &Vec2>> =
            if half { Box::new(points.iter().rev().skip(1)) } else { Box::new(points.iter()) };
        for p in walk {
            while chain.len() > floor
                && (chain[chain.len() - 1] - chain[chain.len() - 2]).perp_dot(*p - chain[chain.len() - 1]) <= 0.0
            {
                chain.pop();
            }
            chain.push(*p);
        }
        floor = chain.len();
    }
    chain.pop();
    chain
}

fn width(hull: &[Vec2], angle: f64) -> f64 {
    let n = unit(angle);
    let (low, high) =
        hull.iter().map(|p| p.dot(n)).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
    (high - low).max(0.0)
}

/// How near the best place of what does not fit is found: a share of the box.
const NEAR: f64 = 1e-3;
/// How near a turn is found at which it just fits, radians.
const TURN: f64 = 1e-10;
/// Most turns that are tried; what still is not decided then fits by less than can be measured, and counts as too large.
const TRIES: usize = 40_000;

/// The box a body takes in the place that suits a given box best, side for side; it fits when no side passes the
/// given one's. It stands, or lies on one of two sides, and is turned about its own axis.
pub(super) fn tightest(body: &Outline, room: [f64; 3]) -> [f64; 3] {
    let mut best: Option<(f64, [f64; 3])> = None;
    for up in 0..3 {
        let (p, q) = ((up + 1) % 3, (up + 2) % 3);
        let turn = turned(&body.hull, room[p], room[q]);
        let mut found = [0.0; 3];
        found[up] = body.tall;
        found[p] = width(&body.hull, turn);
        found[q] = width(&body.hull, turn + FRAC_PI_2);
        let share = found.iter().zip(room).map(|(f, r)| f / r).fold(0.0, f64::max);
        if best.is_none_or(|b| share < b.0) {
            best = Some((share, found));
        }
    }
    best.map_or([0.0; 3], |b| b.1)
}

/// The turn at which a hull takes the least share of a room `p` by `q`, by halving intervals that may still hold a
/// better one: a width changes by at most the hull's reach per radian, so the share in the middle of an interval less
/// that for half of its length is below all of it. Ends at a turn that fits, or within [`NEAR`] of the best.
fn turned(hull: &[Vec2], p: f64, q: f64) -> f64 {
    let share = |turn: f64| (width(hull, turn) / p).max(width(hull, turn + FRAC_PI_2) / q);
    let reach = [0.0, FRAC_PI_2].map(|a| width(hull, a)).iter().sum::<f64>();
    let slope = reach / p.min(q);
    let parts = 48u32;
    let half = PI / f64::from(2 * parts);
    let mut best = (share(0.0), 0.0);
    let mut open: Vec<(f64, f64)> = (0..parts).map(|i| (half * f64::from(2 * i + 1), half)).collect();
    let mut tried = 0;
    while !open.is_empty() && best.0 > 1.0 && tried < TRIES {
        tried += open.len();
        let mut next = Vec::new();
        for (middle, half) in open {
            let here = share(middle);
            if here < best.0 {
                best = (here, middle);
            }
            let below = here - slope * half;
            if (below <= 1.0 || below < best.0 - NEAR) && half > TURN {
                next.push((middle - 0.5 * half, 0.5 * half));
                next.push((middle + 0.5 * half, 0.5 * half));
            }
        }
        open = next;
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plank(a: f64, b: f64) -> Vec<Vec2> {
        let p = |x: f64, y: f64| Vec2::new(x, y);
        // Askew, with points within that do not count.
        let turn = |v: Vec2| unit(0.7) * v.x + crate::geom::left_of(unit(0.7)) * v.y;
        [p(0.0, 0.0), p(a, 0.0), p(a, b), p(0.0, b), p(0.5 * a, 0.4 * b), p(0.5 * a, 0.0)].map(turn).to_vec()
    }

    #[test]
    fn a_hull_leaves_out_what_lies_within() {
        assert_eq!(hull(plank(30.0, 10.0)).len(), 4);
    }

    #[test]
    fn a_plank_goes_askew_into_a_square_that_its_length_passes() {
        // A rectangle 100 by 10 fits a square of side (100 + 10)/√2 = 77.78 on the slant, and no smaller one
        // (elementary: both widths at 45 degrees).
        let body = Outline { tall: 5.0, hull: hull(plank(100.0, 10.0)) };
        let fits = |room: [f64; 3]| tightest(&body, room).iter().zip(room).all(|(f, r)| *f <= r + 1e-6);
        assert!(fits([77.8, 77.8, 5.0]));
        assert!(!fits([77.7, 77.7, 5.0]));
        // Any side of the box may be the one along the axis.
        assert!(fits([5.0, 100.0, 10.0]) && fits([10.0, 5.0, 100.0]) && !fits([10.0, 4.9, 100.0]));
    }

    #[test]
    fn a_round_body_takes_its_width_whichever_way() {
        let disc: Vec<Vec2> = (0..720).map(|i| unit(f64::from(i) * PI / 360.0) * 40.0).collect();
        let body = Outline { tall: 120.0, hull: hull(disc) };
        let found = tightest(&body, [79.0, 200.0, 200.0]);
        assert!((found.iter().fold(f64::INFINITY, |a, b| a.min(*b)) - 80.0).abs() < 1e-2, "{found:?}");
    }
}
