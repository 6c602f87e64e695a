//! Which points of an edge's line are of the body: where a side of one section faces a point of the other, the line
//! that the generatrices trace runs back on itself beyond the rim, and what lies there is outside another tangent plane
//! of the wall. A convex wall's face is the boundary of what lies within all its tangent planes.

use crate::geom::{Vec2, Vec3};

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
const ROUND: f64 = 10.0;

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
    let (start, end) = (traced[0].0, traced[traced.len() - 1].0);
    let mut out: Vec<(f64, Vec3)> = Vec::with_capacity(traced.len());
    let mut done = f64::NEG_INFINITY;
    for w in &windows {
        out.extend(traced.iter().filter(|p| p.0 > done && p.0 < w.from));
        let fine = between(&w.of(&traced, at), w.step, at);
        let mut places: Vec<f64> = fine.iter().map(|p| p.w).collect();
        // The seam is both start and end of the way.
        let mut beside = |from: f64, to: f64| {
            let part = Window { from, to, ..*w }.of(&traced, at);
            places.extend(between(&part, w.step, at).into_iter().map(|p| p.w));
        };
        if w.from == start {
            beside(earlier(&traced, traced.len() - 1, w.long), end);
        }
        if w.to == end {
            beside(start, later(&traced, 0, w.long));
        }
        let planes: Vec<Plane> = places.into_iter().map(plane).collect();
        let real = |p: &&Point| planes.iter().all(|(on, out)| (p.space - on).dot(*out) <= p.depth + OUTSIDE);
        out.extend(fine.iter().filter(real).map(|p| (p.w, p.foot)));
        done = w.to;
    }
    out.extend(traced.iter().filter(|p| p.0 > done));
    out
}

/// The line once round as it is cut: where it crosses itself on the flat, it goes straight on from the crossing. Of
/// each point its place and where it is in space; `flat` tells where it is asked for. A crossing ends a chain: on other
/// faces than the one that is laid flat, both sides of it stand apart.
pub fn cut(round: &Round, tol: f64, at: &dyn Fn(f64) -> Point, flat: &dyn Fn(&Point) -> Vec2) -> Vec<Vec<(f64, Vec3)>> {
    let traced = round.points(0.0, round.end(), tol, &|w| at(w).foot);
    let windows = windows(round, &traced);
    let plain = |p: &(f64, Vec3)| (p.0, at(p.0).space);
    let mut chains = Vec::new();
    let mut out: Vec<(f64, Vec3)> = Vec::with_capacity(traced.len());
    let mut done = f64::NEG_INFINITY;
    for w in &windows {
        out.extend(traced.iter().filter(|p| p.0 > done && p.0 < w.from).map(plain));
        let fine = between(&w.of(&traced, at), w.step, at);
        let places: Vec<Vec2> = fine.iter().map(flat).collect();
        let back: Vec<bool> = fine.windows(2).map(|p| runs_back(round, &p[0], &p[1])).collect();
        // What runs back lies along what runs on beside a cusp, and is cut off either way.
        let crosses = |i: usize, j: usize| {
            let on = !back[i] && !back[j];
            if on { crossing(&places[i..=i + 1], &places[j..=j + 1]) } else { None }
        };
        let part = |(i, share): End| {
            let (a, b) = (&fine[i], &fine[(i + 1).min(fine.len() - 1)]);
            (a.w + (b.w - a.w) * share, a.space.lerp(b.space, share))
        };
        let mut from = 0;
        for (leaves, comes) in with_passes(loops(fine.len() - 1, &crosses), &back, &places) {
            out.extend(fine[from..=leaves.0].iter().map(|p| (p.w, p.space)));
            if leaves.1 > 0.0 {
                out.push(part(leaves));
            }
            chains.push(core::mem::take(&mut out));
            if comes.1 > 0.0 {
                out.push(part(comes));
            }
            from = if comes.1 > 0.0 { comes.0 + 1 } else { comes.0 };
        }
        out.extend(fine[from..].iter().map(|p| (p.w, p.space)));
        done = w.to;
    }
    out.extend(traced.iter().filter(|p| p.0 > done).map(plain));
    chains.push(out);
    chains
}

fn runs_back(round: &Round, a: &Point, b: &Point) -> bool {
    (b.foot - a.foot).dot(round.generatrix(0.5 * (a.w + b.w)).tangent) < -1e-9
}

/// A place on a line: a step and a share of it.
type End = (usize, f64);

/// Where the cut leaves the line, and where it comes to it again.
type Jump = (End, End);

/// What lies between the crossings of steps with the last later ones that they cross.
fn loops(steps: usize, crosses: &dyn Fn(usize, usize) -> Option<(f64, f64)>) -> Vec<Jump> {
    let mut out: Vec<Jump> = Vec::new();
    let mut i = 0;
    while i < steps {
        let cross = |j: usize| crosses(i, j).map(|(s, t)| ((i, s), (j, t)));
        match (i + 2..steps).rev().find_map(cross) {
            Some(jump) => {
                i = jump.1.0 + 1;
                out.push(jump);
            }
            None => i += 1,
        }
    }
    out
}

/// With each part that runs back and is in no loop: the line passes itself by there, and goes over half-way between both
/// ends of where it does so.
fn with_passes(loops: Vec<Jump>, back: &[bool], places: &[Vec2]) -> Vec<Jump> {
    // From the first point to the last of each.
    let mut parts: Vec<(usize, usize)> = Vec::new();
    for i in (0..back.len()).filter(|i| back[*i]) {
        match parts.last_mut() {
            Some(part) if part.1 == i => part.1 = i + 1,
            _ => parts.push((i, i + 1)),
        }
    }
    let in_loop = |&(first, last): &(usize, usize)| loops.iter().any(|(a, b)| a.0 < first && last <= b.0);
    parts.retain(|part| !in_loop(part));
    let mut out: Vec<Jump> = Vec::with_capacity(loops.len() + parts.len());
    let mut loops = loops.into_iter().peekable();
    for (k, &(first, last)) in parts.iter().enumerate() {
        while let Some(jump) = loops.next_if(|(a, _)| a.0 < first) {
            out.push(jump);
        }
        // The first and the last whole points that are still there.
        let from = out.last().map_or(0, |&(_, (i, share))| if share > 0.0 { i + 1 } else { i });
        let next = parts.get(k + 1).map_or(back.len(), |next| next.0);
        let to = loops.peek().map_or(next, |(a, _)| next.min(a.0));
        let (start, end) = (places[last], places[first]);
        let way = (end - start).normalize_or_zero();
        // As far as both parts reach.
        let along = |i: usize| places[i].dot(way);
        let least = (from..=first).map(along).fold(f64::INFINITY, f64::min);
        let most = (last..=to).map(along).fold(f64::NEG_INFINITY, f64::max);
        let (low, high) = (along(last).max(least), along(first).min(most));
        let off = |i: &usize| (along(*i) - 0.5 * (low + high)).abs();
        let nearest = |range: core::ops::RangeInclusive<usize>| range.min_by(|a, b| off(a).total_cmp(&off(b)));
        out.extend(nearest(from..=first).zip(nearest(last..=to)).map(|(i, j)| ((i, 0.0), (j, 0.0))));
    }
    out.extend(loops);
    out
}

/// Where two steps cross, as shares of each.
fn crossing(a: &[Vec2], b: &[Vec2]) -> Option<(f64, f64)> {
    let (u, v, off) = (a[1] - a[0], b[1] - b[0], b[0] - a[0]);
    let double = u.perp_dot(v);
    let (s, t) = (off.perp_dot(v) / double, off.perp_dot(u) / double);
    ((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t)).then_some((s, t))
}

/// A part of the way in which the line runs back.
#[derive(Clone, Copy)]
struct Window {
    from: f64,
    to: f64,
    step: f64,
    /// How far it looks to either side.
    long: f64,
}

impl Window {
    /// The traced points in it, with its ends.
    fn of(&self, traced: &[(f64, Vec3)], at: &dyn Fn(f64) -> Point) -> Vec<(f64, Vec3)> {
        let mut out = vec![(self.from, at(self.from).foot)];
        out.extend(traced.iter().filter(|p| p.0 > self.from && p.0 < self.to));
        out.push((self.to, at(self.to).foot));
        out
    }
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
        let (from, to) = (earlier(traced, start, look), later(traced, i, look));
        let step = (long / FINE).max(1e-6);
        match out.last_mut() {
            Some(w) if w.to >= from => {
                w.to = w.to.max(to);
                w.step = w.step.min(step);
                w.long = w.long.max(look);
            }
            _ => out.push(Window { from, to, step, long: look }),
        }
    }
    out
}

/// The place a length before a traced point.
fn earlier(traced: &[(f64, Vec3)], mut i: usize, mut left: f64) -> f64 {
    while i > 0 {
        let (a, b) = (traced[i - 1], traced[i]);
        let long = (b.1 - a.1).length();
        if long >= left {
            return b.0 - (b.0 - a.0) * left / long;
        }
        left -= long;
        i -= 1;
    }
    traced[0].0
}

/// The place a length behind a traced point.
fn later(traced: &[(f64, Vec3)], mut i: usize, mut left: f64) -> f64 {
    while i + 1 < traced.len() {
        let (a, b) = (traced[i], traced[i + 1]);
        let long = (b.1 - a.1).length();
        if long >= left {
            return a.0 + (b.0 - a.0) * left / long;
        }
        left -= long;
        i += 1;
    }
    traced[traced.len() - 1].0
}

/// Points so close that a step is no longer than asked, within the bound.
fn between(traced: &[(f64, Vec3)], step: f64, at: &dyn Fn(f64) -> Point) -> Vec<Point> {
    let long: f64 = traced.windows(2).map(|p| (p[1].1 - p[0].1).length()).sum();
    let step = step.max(2.0 * long / MOST as f64);
    let mut out: Vec<Point> = traced.first().map(|p| at(p.0)).into_iter().collect();
    for pair in traced.windows(2) {
        let a = out[out.len() - 1];
        halved(&mut out, a, at(pair[1].0), step, 16, at);
    }
    out
}

/// Steps are halved by place, since places and lengths need not go together.
fn halved(out: &mut Vec<Point>, a: Point, b: Point, step: f64, depth: u32, at: &dyn Fn(f64) -> Point) {
    if depth == 0 || (b.foot - a.foot).length() <= step {
        out.push(b);
        return;
    }
    let middle = at(0.5 * (a.w + b.w));
    halved(out, a, middle, step, depth - 1, at);
    halved(out, middle, b, step, depth - 1, at);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_crosses_itself_may_pass_itself_by_farther_on() {
        let places = [(0.0, 0.0), (2.0, 1.0), (1.0, 1.0), (3.0, 0.0), (6.0, 0.0), (5.0, 0.2), (8.0, 0.2)];
        let places = places.map(|(x, y)| Vec2::new(x, y));
        let back = [false, true, false, false, true, false];
        let crosses = |i: usize, j: usize| {
            if back[i] || back[j] { None } else { crossing(&places[i..=i + 1], &places[j..=j + 1]) }
        };
        let jumps = with_passes(loops(places.len() - 1, &crosses), &back, &places);
        assert_eq!(jumps, [((0, 0.75), (2, 0.25)), ((4, 0.0), (5, 0.0))]);
    }
}
