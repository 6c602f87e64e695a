//! A rim's edge from its exact curves: fitted on every face from one set of knots, with the outermost and innermost
//! of inside and outside, its bevel and its true lengths.

use core::cell::RefCell;

use crate::flat::{Allowance, Bevel, Edge, Long};
use crate::geom::fit::{self, Eval, Limits};
use crate::geom::path::{Path, Seg};
use crate::geom::rim::{Rim, spans};
use crate::geom::walk::Place;
use crate::geom::{Vec2, tol, trim};
use crate::num;
use crate::solid::{EdgeName, Layer};

use super::over;

/// Which side of the rim the panel lies on.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Lower,
    Upper,
}

/// The curves of an edge.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Face {
    Inside,
    Middle,
    Outside,
    /// Inside or outside, whichever reaches farther out of the panel.
    Widest,
    Narrowest,
}

/// A rim as it is cut.
pub(super) struct Cut {
    pub edge: Edge,
    /// The knots' normals.
    pub knots: Vec<f64>,
    /// The places between which some face of it runs.
    pub span: (Place, Place),
    /// Where it goes over from one part to another too far off the body's edge.
    pub off: Option<over::Off>,
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
    let from = faces.iter().map(|f| f.0).fold(ends.0, before);
    let to = faces.iter().map(|f| f.1).fold(ends.1, after);
    let runs = rim.runs(from, to);
    let (least, most) = range((from, to), &|at| rim.lean(at));
    let thick = layer.outer - layer.inner;
    let square = layer.square || thick < tol::SAME || least.abs().max(most.abs()) < tol::SAME_ANGLE;

    // Legs are cut where the lean turns over, so each has one face that reaches farther out.
    let outermost: Vec<bool> =
        (0..walk.legs().len()).map(|leg| (rim.lean(Place { leg, t: 0.5 }) > 0.0) == (side == Side::Upper)).collect();
    let depth = |line: Face, at: Place| match line {
        Face::Inside => layer.inner,
        Face::Middle => layer.middle(),
        Face::Outside => layer.outer,
        Face::Widest if outermost[at.leg] => layer.outer,
        Face::Narrowest if !outermost[at.leg] => layer.outer,
        Face::Widest | Face::Narrowest => layer.inner,
    };
    let rule_line = |at: Place| {
        let laid = rim.flat().at(at);
        Seg::line(laid.foot, laid.foot + laid.rise)
    };
    let lines = sides.unwrap_or_else(|| (rule_line(ends.0), rule_line(ends.1)));
    let ahead = |at: Place| rim.flat().at(at).tau;
    let cut_along = |at: Eval, span: (Place, Place)| {
        // A figure is proved to lie on the wall: nothing of it runs back.
        if rim.is_shaped() {
            return vec![span];
        }
        trim::Curve { walk, at, ahead: &ahead }.kept(span, trim::Ends::Lines(&lines.0, &lines.1))
    };
    // Of a surface at one depth what is kept is asked for its curve and for its length.
    let known: RefCell<Vec<(f64, Vec<trim::Span>)>> = RefCell::default();
    let kept_on = |d: f64| {
        if let Some((_, kept)) = known.borrow().iter().find(|k| k.0.to_bits() == d.to_bits()) {
            return kept.clone();
        }
        let kept = cut_along(&|at| rim.point(at, d), at_depth(d));
        known.borrow_mut().push((d, kept.clone()));
        kept
    };
    let kept = |line: Face| match line {
        Face::Inside => kept_on(layer.inner),
        Face::Middle => kept_on(layer.middle()),
        Face::Outside => kept_on(layer.outer),
        Face::Widest | Face::Narrowest => {
            let span = (at_depth(depth(line, ends.0)).0, at_depth(depth(line, ends.1)).1);
            cut_along(&|at| rim.point(at, depth(line, at)), span)
        }
    };
    // Where the line passes itself by, the cut goes straight over.
    let over = |a: Place, b: Place, d: f64| rim.point(a, d).0.distance(rim.point(b, d).0);
    let length = |kept: &[trim::Span], d: f64| {
        let along: f64 = kept.iter().map(|&(a, b)| rim.length(a, b, d)).sum();
        along + kept.windows(2).map(|w| over(w[0].1, w[1].0, d)).sum::<f64>()
    };
    let neutral = kept_on(layer.neutral);
    let long = length(&neutral, layer.neutral);

    let one_way = outermost.iter().all(|o| *o == outermost[0]);
    let wanted: &[Face] = match (square, one_way) {
        (true, _) => &[Face::Middle],
        (false, true) => &[Face::Inside, Face::Middle, Face::Outside],
        (false, false) => &[Face::Inside, Face::Middle, Face::Outside, Face::Widest, Face::Narrowest],
    };
    let points: Vec<_> = wanted.iter().map(|&line| move |at: Place| rim.point(at, depth(line, at))).collect();
    let curves: Vec<fit::Wanted> =
        wanted.iter().zip(&points).map(|(&line, at)| fit::Wanted { at, kept: kept(line) }).collect();
    // Which of them a line is.
    let which = |line: Face| {
        let same = match (line, outermost[0]) {
            (Face::Widest, true) | (Face::Narrowest, false) => Face::Outside,
            (Face::Widest, false) | (Face::Narrowest, true) => Face::Inside,
            (Face::Inside | Face::Middle | Face::Outside, _) => line,
        };
        wanted.iter().position(|w| *w == line).or_else(|| wanted.iter().position(|w| *w == same)).unwrap_or(0)
    };
    let cut = which(Face::Widest);
    let off = over::runs_off(rim, &curves[cut].kept, &|at| depth(wanted[cut], at));
    let fitted = fit::fit(walk, &curves, &runs, forced, &Limits::edge(long));
    let of = |line: Face| {
        let path = fitted.path(which(line));
        let path = match &sides {
            Some((begin, end)) => between(&path, begin, end),
            None => path,
        };
        if side == Side::Upper { path.reversed() } else { path }
    };
    let bevel = if square {
        Bevel::SQUARE
    } else {
        let shift = thick * num::tan(least.abs().max(most.abs()));
        match side {
            Side::Upper => Bevel { least, most, shift },
            Side::Lower => Bevel { least: -most, most: -least, shift },
        }
    };
    // A rim that is drawn together closes on the neutral surface; its faces have no edge of their own there.
    let on = |line: Face, d: f64| if rim.is_closed() { long } else { length(&kept(line), d) };
    let long = Long { inside: on(Face::Inside, layer.inner), neutral: long, outside: on(Face::Outside, layer.outer) };
    let edge = Edge {
        name,
        inside: of(Face::Inside),
        middle: of(Face::Middle),
        outside: of(Face::Outside),
        widest: of(Face::Widest),
        narrowest: of(Face::Narrowest),
        bevel,
        long,
        joints: Vec::new(),
        notches: Vec::new(),
        allowance: Allowance::None,
        turn: None,
    };
    Cut { edge, knots: fitted.knots.iter().map(|&k| walk.rule(k).phi).collect(), span: (from, to), off }
}

/// Cuts an edge to a path, square to the sheet.
pub(super) fn cut_to(edge: &mut Edge, path: Path) {
    let long = path.length();
    edge.long = Long { inside: long, neutral: long, outside: long };
    edge.bevel = Bevel::SQUARE;
    for curve in [&mut edge.inside, &mut edge.middle, &mut edge.outside, &mut edge.widest] {
        curve.clone_from(&path);
    }
    edge.narrowest = path;
}

/// How far `p` lies to the left of a line.
fn left_by(line: &Seg, p: Vec2) -> f64 {
    (line.b - line.a).normalize_or_zero().perp_dot(p - line.a)
}

/// How far from a side's line a rim may end, mm: what the fit of both leaves.
const CORNER: f64 = 0.02;

/// Whether a rim's edge at depth `d` crosses a side near `at`, or comes to the walk's end before it does.
pub(super) fn meets(rim: &Rim, at: Place, d: f64, side: &Seg) -> bool {
    let met = crossing(rim, at, d, side);
    let (start, end) = rim.flat().walk().ends();
    met == start || met == end || left_by(side, rim.point(met, d).0).abs() <= CORNER
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
    if place(start).leg.abs_diff(at.leg) > 1 {
        // A leg that runs back hides the place behind it from lengths: it is looked for leg by leg.
        let on = |leg: usize| Some(Place { leg, t: num::root(0.0, 1.0, 1e-13, |t| off(Place { leg, t }))? });
        let far = |p: &Place| rim.point(*p, d).0.distance(rim.point(at, d).0);
        let legs = at.leg.saturating_sub(1)..walk.legs().len().min(at.leg + 2);
        let near = legs.filter_map(on).min_by(|p, q| far(p).total_cmp(&far(q)));
        return near.filter(|p| far(p) <= reach).unwrap_or(at);
    }
    let (low, high) = ((start - reach).max(0.0), (start + reach).min(around));
    match num::root(low, high, 1e-12, |s| off(place(s))) {
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
    if let Some(s) = num::root(0.0, step, 1e-12, off) {
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
        joints: Vec::new(),
        notches: Vec::new(),
        allowance: Allowance::None,
        turn: None,
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

/// The least and the most that a lean comes to between two places.
pub(super) fn range((from, to): (Place, Place), lean: &dyn Fn(Place) -> f64) -> (f64, f64) {
    let most = |sign: f64| {
        let mut best = f64::NEG_INFINITY;
        let mut tops: Vec<(f64, usize, f64, f64)> = Vec::new();
        for (leg, t0, t1) in spans(from, to) {
            let step = (t1 - t0) / 16.0;
            let looks = (0..=16u8).map(|i| t0 + step * f64::from(i)).map(|t| (sign * lean(Place { leg, t }), t));
            if let Some((leans, t)) = looks.max_by(|a, b| a.0.total_cmp(&b.0)) {
                tops.push((leans, leg, (t - step).max(t0), (t + step).min(t1)));
                best = best.max(leans);
            }
        }
        // Where two spans meet, what rises to there may rise further beyond.
        let near = tops.into_iter().filter(|top| top.0 >= best - 1e-9);
        let peaks = near.map(|(_, leg, low, high)| num::peak(low, high, |t| sign * lean(Place { leg, t })).1);
        sign * peaks.fold(best, f64::max)
    };
    (most(-1.0), most(1.0))
}

/// The earlier of two places.
pub(super) fn before(a: Place, b: Place) -> Place {
    if b < a { b } else { a }
}

/// The later of two places.
pub(super) fn after(a: Place, b: Place) -> Place {
    if b > a { b } else { a }
}
