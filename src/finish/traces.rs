//! Marks on the pieces: each as far as its face reaches and no hole goes through it. One on the face that lies down is
//! pricked through, since a line on this face would be on the wrong one: a cross at its ends, at its corners and along
//! it. And what the key says of it.

use super::Draft;
use super::contour::Cut;
use super::marks::clip;
use super::places::pricked;
use crate::flat::Panel;
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::path::{Path, Seg};
use crate::geom::ring::contains;
use crate::num;
use crate::piece::{self, About, Mark, Operation};
use crate::solid::{Solid, Stroke};

/// The farthest that two pricks of a line stand apart, mm: a bent lath lies on them (common practice, no source).
const PRICKS: f64 = 20.0;
/// What is left between two cuts of a mark and is shorter than this, mm, is rounding.
const LEAST: f64 = 0.03;
/// What runs along the edge of a hole, so near to it, is cut with the hole, mm.
const ALONG: f64 = 0.005;
/// Ways that differ by more make a corner, radians.
const CORNER: f64 = 0.2;

/// The operation along a mark.
pub(super) fn operation(stroke: Stroke) -> Operation {
    match stroke {
        Stroke::Score => Operation::Score,
        Stroke::Groove => Operation::Groove,
        Stroke::Line => Operation::Line,
        Stroke::Form => Operation::Form,
    }
}

/// What there is of each mark on a panel: its index, and the parts of it in the order in which it runs.
pub(super) type Shown = Vec<(usize, Vec<Path>)>;

/// The outline of a face: its line of each bevelled edge, and where the others are cut.
fn face(cuts: &[Cut<'_>], hidden: bool) -> Path {
    let mut out = Path::default();
    for cut in cuts {
        let line = match (&cut.bevel, hidden) {
            (None, _) => &cut.path,
            (Some(_), true) => &cut.edge.inside,
            (Some(_), false) => &cut.edge.outside,
        };
        join(&mut out, line.start());
        out.segs.extend(line.segs.iter().copied());
    }
    let start = out.start();
    join(&mut out, start);
    out
}

/// Straight on to where the next line begins: one of a bevelled edge ends short of its neighbour's, or beyond it.
fn join(path: &mut Path, to: Option<Vec2>) {
    if let Some((a, b)) = path.end().zip(to)
        && a.distance(b) > 1e-9
    {
        path.segs.push(Seg::line(a, b));
    }
}

/// The marks of a panel as far as their faces reach.
pub(super) fn shown(panel: &Panel, cuts: &[Cut<'_>]) -> Shown {
    let mut out = Vec::new();
    for trace in &panel.traces {
        let outline = face(cuts, trace.hidden);
        let holes: Vec<&Path> = panel.holes.iter().map(|h| &h.outline).collect();
        let cutters: Vec<&Path> = core::iter::once(&outline).chain(holes.iter().copied()).collect();
        let along = |h: &Path, p: Vec2| cross::nearest(h, p).is_some_and(|n| n.2.distance(p) <= ALONG);
        let on = |p: Vec2| contains(&outline, p) && !holes.iter().any(|h| contains(h, p) || along(h, p));
        let all = trace.paths.iter().flat_map(|path| clip(path, &cutters, on));
        let parts: Vec<Path> = all.filter(|p| p.length() >= LEAST).collect();
        if !parts.is_empty() {
            out.push((trace.trace, parts));
        }
    }
    out
}

/// The marks that are drawn of them.
pub(super) fn marks(solid: &Solid, shown: &Shown, cuts: &[Cut<'_>]) -> Vec<Mark> {
    let mut out = Vec::new();
    for (trace, parts) in shown {
        let Some(of) = solid.traces.get(*trace) else { continue };
        let about = About::Trace(*trace);
        if of.face == crate::design::Face::Inside {
            let outline = face(cuts, true);
            let crosses = parts.iter().flat_map(pricks).flat_map(|p| pricked(p, &outline));
            out.extend(crosses.map(|path| Mark { operation: Operation::Place, path, about }));
        } else {
            let mark = |path: &Path| Mark { operation: operation(of.stroke), path: path.clone(), about };
            out.extend(parts.iter().map(mark));
        }
    }
    out
}

/// What of them lies on one side of a cut between halves.
pub(super) fn halved(shown: &Shown, line: &Path, inside: impl Fn(Vec2) -> bool) -> Shown {
    let part = |(trace, parts): &(usize, Vec<Path>)| {
        let mine: Vec<Path> = parts.iter().flat_map(|p| clip(p, &[line], &inside)).collect();
        (!mine.is_empty()).then_some((*trace, mine))
    };
    shown.iter().filter_map(part).collect()
}

/// Where a line is pricked through.
fn pricks(path: &Path) -> Vec<Vec2> {
    // Stretches between corners, each pricked evenly.
    let mut bends: Vec<f64> = vec![0.0];
    let mut along = 0.0;
    for w in path.segs.windows(2) {
        along += w[0].length();
        let (a, b) = (w[0].direction(1.0), w[1].direction(0.0));
        if num::atan2(a.perp_dot(b), a.dot(b)).abs() > CORNER {
            bends.push(along);
        }
    }
    let long = path.length();
    bends.push(long);
    let mut out: Vec<Vec2> = Vec::new();
    for w in bends.windows(2) {
        let steps = ((w[1] - w[0]) / PRICKS).ceil().max(1.0);
        let mut i = if out.is_empty() { 0.0 } else { 1.0 };
        while i <= steps {
            out.extend(path.at_length(w[0] + (w[1] - w[0]) * i / steps).map(|p| p.0));
            i += 1.0;
        }
    }
    // A ring comes back to where it began.
    if out.len() > 2 && out[0].distance(out[out.len() - 1]) < 1e-6 {
        out.pop();
    }
    out
}

/// What the key says of the marks that a piece shows.
pub(super) fn notes(solid: &Solid, draft: &Draft) -> Vec<piece::Trace> {
    let mut out = Vec::new();
    let about = |m: &Mark| if let About::Trace(trace) = m.about { Some(trace) } else { None };
    let marked: std::collections::BTreeSet<usize> = draft.marks.iter().filter_map(about).collect();
    for (trace, parts) in &draft.traces {
        let Some(of) = solid.traces.get(*trace) else { continue };
        if !marked.contains(trace) {
            continue;
        }
        out.push(piece::Trace {
            trace: *trace,
            number: out.len() + 1,
            name: of.name.clone(),
            stroke: of.stroke,
            deep: of.deep,
            hidden: of.face == crate::design::Face::Inside,
            long: parts.iter().map(Path::length).collect::<num::Sum>().value(),
            fold: solid.parts.get(of.part.index()).and_then(|part| of.crease(part)),
            formed: solid.parts.get(of.part.index()).and_then(|part| of.stretched(part)),
        });
    }
    out
}
