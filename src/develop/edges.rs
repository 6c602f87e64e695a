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

/// The edge curves of a rim (walked with growing φ; an upper one turned round at the end) and the knots' normals.
pub(super) fn of_rim(
    name: EdgeName,
    side: Side,
    rim: &Rim,
    (from, to): (Place, Place),
    layer: &Layer,
    forced: &[f64],
) -> (Edge, Vec<f64>) {
    let walk = rim.flat().walk();
    let runs = rim.runs(from, to);
    let leans = leans(rim, from, to);
    let (least, most) =
        leans.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b): (f64, f64), x| (a.min(*x), b.max(*x)));
    let thick = layer.outer - layer.inner;
    let square = thick < tol::SAME || least.abs().max(most.abs()) < tol::SAME_ANGLE;
    let depths: &[f64] = if square { &[layer.middle()] } else { &[layer.inner, layer.middle(), layer.outer] };
    let points: Vec<_> = depths.iter().map(|&d| move |at: Place| rim.point(at, d)).collect();
    let evals: Vec<fit::Eval> = points.iter().map(|p| p as fit::Eval).collect();
    let long = rim.length(from, to, layer.neutral);
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
    let long =
        Long { inside: rim.length(from, to, layer.inner), neutral: long, outside: rim.length(from, to, layer.outer) };
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
    (edge, fitted.knots.iter().map(|&k| walk.rule(k).phi).collect())
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
