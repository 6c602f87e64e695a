//! A rim's edge from its exact curves: fitted on every face from one set of knots, with the outermost and innermost
//! of inside and outside, its bevel and its true lengths.

use crate::flat::{Allowance, Bevel, Edge, Long};
use crate::geom::fit::{self, Limits, Run};
use crate::geom::path::{Path, Seg};
use crate::geom::rim::{Rim, spans};
use crate::geom::walk::Place;
use crate::geom::{Vec2, tol, trim};
use crate::num;
use crate::solid::{EdgeName, Layer};

/// Which side of the rim the panel lies on.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Lower,
    Upper,
}

/// A rim as it is cut.
pub(super) struct Cut {
    pub edge: Edge,
    /// The knots' normals.
    pub knots: Vec<f64>,
    /// The places between which some face of it runs.
    pub span: (Place, Place),
}

/// The edge curves of a rim (walked with growing φ; an upper one turned round at the end).
/// Where an open seam has sides, straight on the flat, each curve ends where it crosses them: a bevelled rim does so
/// at another rule on every face.
pub(super) fn of_rim(
    name: EdgeName,
    side: Side,
    rim: &Rim,
    ends: (Place, Place),
    sides: Option<(Seg, Seg)>,
    layer: &Layer,
    forced: &[f64],
) -> Cut {
    let walk = rim.flat().walk();
    let at_depth = |d: f64| match &sides {
        Some((begin, end)) => (crossing(rim, ends.0, d, begin), crossing(rim, ends.1, d, end)),
        None => ends,
    };
    let faces = [layer.inner, layer.middle(), layer.outer].map(at_depth);
    let from = faces.iter().map(|f| f.0).fold(ends.0, |a, b| if b < a { b } else { a });
    let to = faces.iter().map(|f| f.1).fold(ends.1, |a, b| if b > a { b } else { a });
    let runs = rim.runs(from, to);
    let leans = leans(rim, from, to);
    let (least, most) =
        leans.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b): (f64, f64), x| (a.min(*x), b.max(*x)));
    let thick = layer.outer - layer.inner;
    let square = thick < tol::SAME || least.abs().max(most.abs()) < tol::SAME_ANGLE;
    let depths: &[f64] = if square { &[layer.middle()] } else { &[layer.inner, layer.middle(), layer.outer] };
    let points: Vec<_> = depths.iter().map(|&d| move |at: Place| rim.point(at, d)).collect();
    let evals: Vec<fit::Eval> = points.iter().map(|p| p as fit::Eval).collect();
    let length = |d: f64| {
        let (from, to) = at_depth(d);
        rim.length(from, to, d)
    };
    let long = length(layer.neutral);
    let fitted = fit::fit(walk, &evals, &runs, forced, &Limits::edge(long));
    let of = |i: usize| if square { fitted.path(0) } else { fitted.path(i) };
    let (mut inside, mut middle, mut outside) = (of(0), of(1), of(2));
    let (mut widest, mut narrowest) = if square {
        (inside.clone(), inside.clone())
    } else {
        let pick = |outermost: bool| {
            fit::joined(runs.iter().enumerate().map(|(i, run)| {
                let outside_higher = rim.lean(run_middle(run)) > 0.0;
                let outside_is_out = outside_higher == (side == Side::Upper);
                &fitted.curves[if outside_is_out == outermost { 2 } else { 0 }][i]
            }))
        };
        (pick(true), pick(false))
    };
    for path in [&mut inside, &mut middle, &mut outside, &mut widest, &mut narrowest] {
        *path = trim::trimmed(core::mem::take(path));
        if let Some((begin, end)) = &sides {
            *path = between(path, begin, end);
        }
    }
    let bevel = if square {
        Bevel::SQUARE
    } else {
        let shift = thick * num::tan(least.abs().max(most.abs()));
        match side {
            Side::Upper => Bevel { least, most, shift },
            Side::Lower => Bevel { least: -most, most: -least, shift },
        }
    };
    if side == Side::Upper {
        for path in [&mut inside, &mut middle, &mut outside, &mut widest, &mut narrowest] {
            *path = path.reversed();
        }
    }
    let long = Long { inside: length(layer.inner), neutral: long, outside: length(layer.outer) };
    let edge = Edge {
        name,
        inside,
        middle,
        outside,
        widest,
        narrowest,
        bevel,
        long,
        joint: None,
        notches: Vec::new(),
        allowance: Allowance::None,
    };
    Cut { edge, knots: fitted.knots.iter().map(|&k| walk.rule(k).phi).collect(), span: (from, to) }
}

/// How far `p` lies to the left of a line.
fn left_by(line: &Seg, p: Vec2) -> f64 {
    (line.b - line.a).normalize_or_zero().perp_dot(p - line.a)
}

/// The place near `at` where a rim's edge at depth `d` crosses a side; the walk's end where it would lie beyond.
fn crossing(rim: &Rim, at: Place, d: f64, side: &Seg) -> Place {
    let walk = rim.flat().walk();
    let neutral = rim.flat().depth();
    let off = |at: Place| left_by(side, rim.point(at, d).0);
    let here = off(at);
    if here.abs() < tol::SAME {
        return at;
    }
    let z = rim.height(at, 0.0).0;
    let (start, around) = (walk.length(at, z, neutral), walk.around(z, neutral));
    // A rim crosses its sides at no less than some 15 degrees.
    let reach = 4.0 * here.abs() + tol::SAME;
    let place = |s: f64| walk.at_length(s, z, neutral);
    let (low, high) = ((start - reach).max(0.0), (start + reach).min(around));
    match num::bisect(low, high, 1e-12, |s| off(place(s))) {
        Some(s) => place(s),
        None if off(place(low)).abs() < off(place(high)).abs() => place(low),
        None => place(high),
    }
}

/// A rim's curve from one side to the other. Where the walk's own end comes before the side it runs on straight.
fn between(path: &Path, begin: &Seg, end: &Seg) -> Path {
    let started = from_side(path, begin).reversed();
    from_side(&started, end).reversed()
}

fn from_side(path: &Path, side: &Seg) -> Path {
    let (Some(start), whole) = (path.start(), path.length()) else { return path.clone() };
    let off = |s: f64| path.at_length(s).map_or(0.0, |(p, _)| left_by(side, p));
    let first = left_by(side, start);
    if first.abs() < tol::SAME {
        return path.clone();
    }
    // Within the first half: the other side is crossed in the second.
    let step = (8.0 * first.abs()).min(0.5 * whole);
    if let Some(s) = num::bisect(0.0, step, 1e-12, off) {
        return path.part(s, whole);
    }
    let Some((_, way)) = path.at_length(0.0) else { return path.clone() };
    let rate = (side.b - side.a).normalize_or_zero().perp_dot(way);
    let mut out = path.clone();
    if rate.abs() > 1e-3 {
        out.segs.insert(0, Seg::line(start - way * (first / rate), start));
    }
    out
}

/// A straight edge between the ends of two others, on every face, cut square.
pub(super) fn straight(name: EdgeName, from: impl Fn(&Edge) -> [Vec2; 5], to: [Vec2; 5], start: &Edge) -> Edge {
    let from = from(start);
    let line = |i: usize| Path { segs: vec![Seg::line(from[i], to[i])] };
    Edge {
        name,
        inside: line(0),
        middle: line(1),
        outside: line(2),
        widest: line(3),
        narrowest: line(4),
        bevel: Bevel::SQUARE,
        long: Long { inside: 0.0, neutral: 0.0, outside: 0.0 },
        joint: None,
        notches: Vec::new(),
        allowance: Allowance::None,
    }
}

/// The ends of an edge on its five curves.
pub(super) fn ends(edge: &Edge) -> [Vec2; 5] {
    curves(edge).map(|p| p.end().unwrap_or_default())
}

/// The starts of an edge on its five curves.
pub(super) fn starts(edge: &Edge) -> [Vec2; 5] {
    curves(edge).map(|p| p.start().unwrap_or_default())
}

fn curves(edge: &Edge) -> [&Path; 5] {
    [&edge.inside, &edge.middle, &edge.outside, &edge.widest, &edge.narrowest]
}

/// The rim's lean at places dense enough for its range.
fn leans(rim: &Rim, from: Place, to: Place) -> Vec<f64> {
    let mut out = Vec::new();
    for (leg, t0, t1) in spans(from, to) {
        for i in 0..=16u8 {
            out.push(rim.lean(Place { leg, t: t0 + (t1 - t0) * f64::from(i) / 16.0 }));
        }
    }
    out
}

fn run_middle(run: &Run) -> Place {
    match *run {
        Run::Line { from, to } | Run::Free { from, to } => Place { leg: from.leg, t: 0.5 * (from.t + to.t) },
        // One slope all along.
        Run::Arc { from, .. } => from,
    }
}
