//! The outline of what is folded over an edge: the edge's parallel at the turn's width, with the cuts into it. Works in
//! the flat's frame.

use super::allowance::Added;
use super::contour::Cut;
use crate::flat::{Relief, Turn};
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, cross, left_of};
use crate::piece::{About, Mark, Operation, Run};

/// Ends of neighbouring parallels this near are one point, mm: what the fit of the edge leaves of its tangents.
const ONE: f64 = 0.1;

/// The turn's outline in place of the edge, its fold, and its slits.
pub(super) fn turned(cut: &Cut<'_>, turn: &Turn) -> Added {
    let fold = &cut.path;
    let name = cut.edge.name;
    let round = turn.ends[0].is_empty();
    let free = parallel(fold, turn.wide, round);
    let mut marks = vec![Mark { operation: Operation::Fold, path: fold.clone(), about: About::Turn(name) }];
    let along = |cut: &Relief| {
        let (p, way) = fold.at_length(length_at(fold, cut.fold)).unwrap_or_default();
        let out = -left_of(way);
        // A line that runs round begins where it ends.
        let at = if round && cut.at < 1e-6 { 0.0 } else { length_at(&free, p + out * turn.wide) };
        (p, out, at)
    };
    let mut gaps: Vec<(f64, f64, Vec2)> = Vec::new();
    for one in &turn.cuts {
        let (p, out, at) = along(one);
        if one.mouth == [0.0; 2] {
            let path = Path { segs: vec![Seg::line(p + out * turn.wide, p + out * one.from)] };
            marks.push(Mark { operation: Operation::Slit, path, about: About::Turn(name) });
        } else {
            gaps.push((at - one.mouth[0], at + one.mouth[1], p + out * one.from));
        }
    }
    let path = if round { ring(&free, &gaps) } else { strip(fold, &free, &gaps, turn) };
    Added { runs: vec![Run { edge: None, turn: Some(name), path }], marks }
}

fn push_line(path: &mut Path, from: Option<Vec2>, to: Vec2) {
    if let Some(from) = from
        && from.distance(to) > 1e-9
    {
        path.segs.push(Seg::line(from, to));
    }
}

fn join(path: &mut Path, part: Path) {
    if let (Some(end), Some(start)) = (path.end(), part.start()) {
        push_line(path, Some(end), start);
    }
    path.segs.extend(part.segs);
}

/// All round: between the gaps the free edge, in each gap a V.
fn ring(free: &Path, gaps: &[(f64, f64, Vec2)]) -> Path {
    let (Some(first), whole) = (gaps.first(), free.length()) else { return free.clone() };
    let mut path = Path::default();
    for (i, gap) in gaps.iter().enumerate() {
        let next = gaps.get(i + 1);
        // From this gap to the next one, past the start for the last.
        match next {
            Some(next) => join(&mut path, free.part(gap.1.max(0.0), next.0)),
            None => {
                let end = first.0 + whole;
                join(&mut path, free.part(gap.1, end.min(whole)));
                if first.0 > 1e-9 {
                    join(&mut path, free.part(0.0, first.0));
                }
            }
        }
        let apex = next.unwrap_or(first).2;
        let end = path.end();
        push_line(&mut path, end, apex);
    }
    let start = path.start();
    let end = path.end();
    if let Some(start) = start {
        push_line(&mut path, end, start);
    }
    path
}

/// From the fold's start over the free edge to the fold's end.
fn strip(fold: &Path, free: &Path, gaps: &[(f64, f64, Vec2)], turn: &Turn) -> Path {
    let whole = free.length();
    let (Some((a, way_a)), Some((b, way_b))) = (fold.at_length(0.0), fold.at_length(fold.length())) else {
        return free.clone();
    };
    let last = |i: usize| turn.ends[i].last().map_or(0.0, |p| p.x);
    let mut path = Path::default();
    let mut from = a;
    for p in &turn.ends[0][..turn.ends[0].len() - 1] {
        let to = a + way_a * p.x - left_of(way_a) * p.y;
        push_line(&mut path, Some(from), to);
        from = to;
    }
    let mut at = last(0);
    for gap in gaps {
        let part = free.part(at, gap.0);
        push_line(&mut path, Some(from), part.start().unwrap_or(from));
        path.segs.extend(part.segs);
        let end = path.end();
        push_line(&mut path, end, gap.2);
        from = gap.2;
        at = gap.1;
    }
    let part = free.part(at, whole - last(1));
    push_line(&mut path, Some(from), part.start().unwrap_or(from));
    path.segs.extend(part.segs);
    for p in turn.ends[1].iter().rev().skip(1) {
        let to = b - way_b * p.x - left_of(way_b) * p.y;
        let end = path.end();
        push_line(&mut path, end, to);
    }
    let end = path.end();
    push_line(&mut path, end, b);
    path
}

/// The arc length along a path at which it is nearest to `p`.
fn length_at(path: &Path, p: Vec2) -> f64 {
    let Some((i, share, _)) = cross::nearest(path, p) else { return 0.0 };
    path.segs[..i].iter().map(Seg::length).sum::<f64>() + path.segs[i].length() * share
}

/// The parallel of a path at `wide` to its right: arcs keep their angle. Where the tangent jumps outward it is joined by
/// a line, where it jumps inward the two end where they cross.
fn parallel(path: &Path, wide: f64, round: bool) -> Path {
    let mut out = Path::default();
    let aside = |s: &Seg| {
        let right = |t: f64| -left_of(s.direction(t)) * wide;
        Seg { a: s.a + right(0.0), b: s.b + right(1.0), bulge: s.bulge }
    };
    for s in &path.segs {
        let mut next = aside(s);
        // An arc hollower than the turn is wide has no parallel of its own.
        if s.centre().is_some_and(|_| s.bulge < 0.0 && s.radius() <= wide) {
            continue;
        }
        if let Some(last) = out.segs.last_mut() {
            meet(last, &mut next);
        }
        if let Some(end) = out.end()
            && end != next.a
        {
            out.segs.push(Seg::line(end, next.a));
        }
        out.segs.push(next);
    }
    if round && let (Some(mut first), Some(mut last)) = (out.segs.first().copied(), out.segs.last().copied()) {
        meet(&mut last, &mut first);
        let n = out.segs.len();
        out.segs[0] = first;
        out.segs[n - 1] = last;
        if last.b != first.a {
            out.segs.push(Seg::line(last.b, first.a));
        }
    }
    out
}

/// Makes two parallels that nearly meet do so.
fn meet(last: &mut Seg, next: &mut Seg) {
    if last.b.distance(next.a) <= ONE {
        let middle = (last.b + next.a) * 0.5;
        last.b = middle;
        next.a = middle;
        return;
    }
    if let Some(c) = cross::crossings(last, next).into_iter().next() {
        *last = last.part(0.0, c.first);
        *next = next.part(c.second, 1.0);
        last.b = c.at;
        next.a = c.at;
    }
}
