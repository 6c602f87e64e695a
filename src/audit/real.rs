//! Which points of an edge's line are of the body: where a side of one section faces a point of the other, the line
//! that the generatrices trace runs back on itself beyond the rim, and what lies there is outside another tangent plane
//! of the wall. A convex wall's face is the boundary of what lies within all its tangent planes.

use crate::geom::Vec3;

use super::space::Round;

/// A point of a line: its place on the way round, where it is asked for on the piece, where it is in space.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    pub w: f64,
    pub foot: Vec3,
    pub space: Vec3,
    /// The depth of the face it belongs to.
    pub depth: f64,
}

/// How far a point may stand outside a tangent plane by rounding alone, mm.
const OUTSIDE: f64 = 1e-9;

/// How far round a stretch that runs back is looked, in lengths of it.
const ROUND: f64 = 2.5;

/// How finely, in parts of its length.
const FINE: f64 = 40.0;

/// Most points of one look.
const MOST: usize = 4000;

/// A plane by a point of it and its outward normal; a face lies its depth outside.
pub type Plane = (Vec3, Vec3);

/// The line once round, without what is not of the body; `plane` gives the tangent plane at a place. Chords stand off
/// by no more than `tol`.
pub fn points(round: &Round, tol: f64, at: &dyn Fn(f64) -> Point, plane: &dyn Fn(f64) -> Plane) -> Vec<(f64, Vec3)> {
    let traced = round.points(0.0, round.end(), tol, &|w| at(w).foot);
    let windows = if round.is_convex() { windows(round, &traced) } else { Vec::new() };
    if windows.is_empty() {
        return traced;
    }
    let mut out: Vec<(f64, Vec3)> = Vec::with_capacity(traced.len());
    let mut from = 0;
    for w in &windows {
        out.extend_from_slice(&traced[from..w.first]);
        let fine = between(&traced[w.first..=w.last], w.step, at);
        let mut places: Vec<f64> = fine.iter().map(|p| p.w).collect();
        // The seam is both start and end of the way.
        let reach = |part: &[(f64, Vec3)]| between(part, w.step, at).into_iter().map(|p| p.w).collect::<Vec<_>>();
        if w.first == 0 {
            places.extend(reach(&traced[back_from(&traced, w.long)..]));
        }
        if w.last + 1 == traced.len() {
            places.extend(reach(&traced[..=on_from(&traced, w.long)]));
        }
        let planes: Vec<Plane> = places.into_iter().map(plane).collect();
        let real = |p: &&Point| planes.iter().all(|(on, out)| (p.space - on).dot(*out) <= p.depth + OUTSIDE);
        out.extend(fine.iter().filter(real).map(|p| (p.w, p.foot)));
        from = w.last + 1;
    }
    out.extend_from_slice(&traced[from..]);
    out
}

/// A part of the traced points in which some run back.
struct Window {
    first: usize,
    last: usize,
    step: f64,
    /// How far it looks to either side.
    long: f64,
}

fn windows(round: &Round, traced: &[(f64, Vec3)]) -> Vec<Window> {
    let back = |i: usize| {
        let (a, b) = (traced[i], traced[i + 1]);
        let step = b.1 - a.1;
        // Along a side's far end the direction is that of the way between.
        step.dot(round.generatrix(0.5 * (a.0 + b.0)).tangent) < -1e-9
    };
    let mut out: Vec<Window> = Vec::new();
    let mut i = 0;
    while i + 1 < traced.len() {
        if !back(i) {
            i += 1;
            continue;
        }
        let start = i;
        let mut long = 0.0;
        while i + 1 < traced.len() && back(i) {
            long += (traced[i + 1].1 - traced[i].1).length();
            i += 1;
        }
        let look = ROUND * long;
        let (mut first, mut last) = (start, i);
        let mut left = look;
        while first > 0 && left > 0.0 {
            left -= (traced[first].1 - traced[first - 1].1).length();
            first -= 1;
        }
        left = look;
        while last + 1 < traced.len() && left > 0.0 {
            left -= (traced[last + 1].1 - traced[last].1).length();
            last += 1;
        }
        let step = (long / FINE).max(1e-6);
        match out.last_mut() {
            Some(w) if w.last >= first => {
                w.last = w.last.max(last);
                w.step = w.step.min(step);
                w.long = w.long.max(look);
            }
            _ => out.push(Window { first, last, step, long: look }),
        }
    }
    out
}

fn back_from(traced: &[(f64, Vec3)], long: f64) -> usize {
    let (mut i, mut left) = (traced.len() - 1, long);
    while i > 0 && left > 0.0 {
        left -= (traced[i].1 - traced[i - 1].1).length();
        i -= 1;
    }
    i
}

fn on_from(traced: &[(f64, Vec3)], long: f64) -> usize {
    let (mut i, mut left) = (0, long);
    while i + 1 < traced.len() && left > 0.0 {
        left -= (traced[i + 1].1 - traced[i].1).length();
        i += 1;
    }
    i
}

/// Points so close that a step is no longer than asked, within the bound.
fn between(traced: &[(f64, Vec3)], step: f64, at: &dyn Fn(f64) -> Point) -> Vec<Point> {
    let long: f64 = traced.windows(2).map(|p| (p[1].1 - p[0].1).length()).sum();
    let step = step.max(long / MOST as f64);
    let mut out: Vec<Point> = traced.first().map(|p| at(p.0)).into_iter().collect();
    for pair in traced.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let n = ((b.1 - a.1).length() / step).ceil().max(1.0) as usize;
        out.extend((1..=n).map(|i| at(a.0 + (b.0 - a.0) * i as f64 / n as f64)));
    }
    out
}
