//! What edges carry beyond themselves: a seam's End side a lap or glue tabs, any edge of a cover a turn (`turn`). Works in the flat's frame.
//!
//! A lap's outline needs no construction: beyond the seam the wall is its own beginning again, so both rims are the
//! wall's beginning moved by the motion that takes the Begin side to the End side, cut off by the parallel to the
//! seam line at the overlap. Bevel lines end at the seam line: beyond it the edge lies under the other side's.

use super::contour::{Cut, cut_off};
use super::errors;
use crate::diag::Diagnostic;
use crate::flat::{Allowance, Panel};
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::ring::RingFault;
use crate::geom::{Vec2, fit, left_of, tol};
use crate::num;
use crate::piece::{About, Mark, Operation, Run};
use crate::solid::{EdgeName, Part};

/// Tabs narrow towards their free side at this angle (common practice, no source).
const TAB_END: f64 = 60.0;
/// Bare seam between two tabs, and between a tab and a rim, mm.
const TAB_GAP: f64 = 3.0;
/// The least free side of a tab, mm.
const TAB_TOP: f64 = 3.0;
/// Between a tab and what else of the flat lies beyond the seam, mm: as much as a knife needs to go round it.
const TAB_CLEAR: f64 = 1.0;

/// The runs and marks that stand in place of the End side.
#[derive(Debug, Default)]
pub(super) struct Added {
    pub runs: Vec<Run>,
    pub marks: Vec<Mark>,
}

/// An allowance that has no room: what would fit, mm.
#[derive(Clone, Copy, Debug)]
pub(super) enum NoRoom {
    /// The wall is shorter round than the overlap.
    Lap(f64),
    /// The side, or what of it has room beyond it, is too short for a tab this wide.
    Tabs(f64),
}

/// What the edge `cuts[i]` is cut like, with its allowance. `closed` says which rims are drawn together to a point.
pub(super) fn added(cuts: &[Cut<'_>], i: usize, closed: &[EdgeName]) -> Result<Added, NoRoom> {
    let cut = &cuts[i];
    if let Some(turn) = &cut.edge.turn {
        return Ok(super::turn::turned(cut, turn));
    }
    match cut.edge.allowance {
        Allowance::None => Ok(Added { runs: vec![run(Some(cut.edge.name), cut.path.clone())], marks: Vec::new() }),
        Allowance::Lap(overlap) => lap(cuts, cut, overlap, closed),
        Allowance::Tabs(wide) => tabs(cuts, cut, wide),
    }
}

/// What is said of an outline that is none: whether it is so by a lap or tabs (the runs of no edge and no turn), which lie on
/// the flat itself. Of halves that were split `runs` are none, since the cut between them has no edge either.
pub(super) fn broken(part: &Part, panel: &Panel, name: &str, fault: RingFault, runs: Option<&[Run]>) -> Diagnostic {
    let added = panel.edges.iter().find_map(|e| match e.allowance {
        Allowance::None => None,
        Allowance::Lap(_) => Some("lap"),
        Allowance::Tabs(_) => Some("tabs"),
    });
    let meets = |at: Vec2, turned: bool| {
        let beyond = runs.into_iter().flatten().filter(|r| r.edge.is_none() && r.turn.is_some() == turned);
        beyond.flat_map(|r| &r.path.segs).any(|s| fit::distance(s, at) < tol::ARC_FIT)
    };
    match (fault, added) {
        (RingFault::Crosses { at }, Some(what)) if meets(at, false) && !meets(at, true) => {
            errors::allowance_meets_flat(part.origin, name, what, super::seam_of(part))
        }
        _ => errors::broken_outline(part.origin, name, errors::Fault::Ring(fault)),
    }
}

fn run(edge: Option<EdgeName>, path: Path) -> Run {
    Run::of(edge, path)
}

fn lap(cuts: &[Cut<'_>], end: &Cut<'_>, overlap: f64, closed: &[EdgeName]) -> Result<Added, NoRoom> {
    let find = |name| cuts.iter().find(|c| c.edge.name == name);
    let begin = find(EdgeName::Begin).ok_or(NoRoom::Lap(0.0))?;
    let ends = |p: &Path| (p.start().unwrap_or_default(), p.end().unwrap_or_default());
    // Begin runs down, End runs up.
    let ((e0, e1), (b1, b0)) = (ends(&end.path), ends(&begin.path));
    let turn = num::atan2((b1 - b0).perp_dot(e1 - e0), (b1 - b0).dot(e1 - e0));
    let spin = Motion { mirror: false, turn, shift: Vec2::ZERO };
    let carry = Motion { shift: e0 - spin.apply(b0), ..spin };
    // End runs up with the piece to its left.
    let out = -left_of((e1 - e0).normalize_or_zero());
    let far = e0 + out * overlap;
    let lower = |p: &Path| p.moved(&carry);
    let upper = |p: &Path| p.reversed().moved(&carry);
    let reach = |edge: Option<&Cut<'_>>, go: &dyn Fn(&Path) -> Path, from: Vec2| match edge {
        // A wall that closes to a point has no rim there, or one of a few millimetres where one place closes before
        // the others: the lap ends at the point. Any other rim too short for the lap is a fault, whatever its length.
        None => Ok((Path::default(), from)),
        Some(c) if closed.contains(&c.edge.name) => Ok((Path::default(), from)),
        Some(c) => {
            let mut beginning = go(&c.path);
            let furthest = beginning.flattened(0.1).iter().map(|p| (*p - e0).dot(out)).fold(0.0, f64::max);
            if let Some(first) = beginning.segs.first_mut() {
                first.a = from;
            }
            cut_off(&beginning, far, out).ok_or(NoRoom::Lap(furthest))
        }
    };
    let (low, low_end) = reach(find(EdgeName::Lower), &lower, e0)?;
    let (high, high_end) = reach(find(EdgeName::Upper), &upper, e1)?;
    // From a point, the lap's far line starts at the point itself.
    let mut added = Added::default();
    if !low.is_empty() {
        added.runs.push(run(None, low));
    }
    added.runs.push(run(None, Path { segs: vec![Seg::line(low_end, high_end)] }));
    if !high.is_empty() {
        added.runs.push(run(None, high.reversed()));
    }
    added.marks.push(Mark { operation: Operation::Place, path: end.path.clone(), about: About::Lap });
    Ok(added)
}

/// Tabs stand where there is room for them beyond the side. The flat of a wide cone comes nearly all the way round: toward
/// its point both sides of the seam lie closer than a tab is wide, and the seam stays bare there.
fn tabs(cuts: &[Cut<'_>], end: &Cut<'_>, wide: f64) -> Result<Added, NoRoom> {
    let (e0, e1) = (end.path.start().unwrap_or_default(), end.path.end().unwrap_or_default());
    let long = e0.distance(e1);
    let up = (e1 - e0).normalize_or_zero();
    let out = -left_of(up);
    let slant = |wide: f64| wide / num::tan(TAB_END.to_radians());
    let others: Vec<Vec<Vec2>> =
        cuts.iter().filter(|c| c.edge.name != end.edge.name).map(|c| c.path.flattened(0.02)).collect();
    let free = |wide: f64| {
        let (from, to) = free_stretch(&others, (e0, up, long), wide + TAB_CLEAR);
        (from.max(TAB_GAP), to.min(long - TAB_GAP))
    };
    let lacks = |wide: f64| {
        let (from, to) = free(wide);
        2.0 * slant(wide) + TAB_TOP - (to - from)
    };
    if lacks(wide) > 0.0 {
        return Err(NoRoom::Tabs(num::bisect(0.0, wide, 1e-3, lacks).unwrap_or(0.0)));
    }
    let slope = slant(wide);
    let least = 2.0 * slope + TAB_TOP;
    let (first, last) = free(wide);
    let room = last - first;
    // About four times as long as wide, all alike.
    let want = (4.0 * wide).max(least);
    let n = ((room + TAB_GAP) / (want + TAB_GAP)).round().clamp(1.0, 200.0);
    let n = if (room + TAB_GAP) / n - TAB_GAP < least { (n - 1.0).max(1.0) } else { n };
    let base = (room + TAB_GAP) / n - TAB_GAP;
    let mut added = Added::default();
    let mut at = e0;
    let mut i = 0.0;
    while i < n {
        let from = e0 + up * (first + i * (base + TAB_GAP));
        let to = from + up * base;
        added.runs.push(run(Some(end.edge.name), Path { segs: vec![Seg::line(at, from)] }));
        let outline = Path::polyline(&[from, from + up * slope + out * wide, to - up * slope + out * wide, to]);
        added.runs.push(run(None, outline));
        let fold = Path { segs: vec![Seg::line(from, to)] };
        added.marks.push(Mark { operation: Operation::Fold, path: fold, about: About::Lap });
        at = to;
        i += 1.0;
    }
    added.runs.push(run(Some(end.edge.name), Path { segs: vec![Seg::line(at, e1)] }));
    Ok(added)
}

/// The longest stretch of a straight side (from `start` along `up`, `long`) beyond which nothing of the other edges lies
/// within `wide`: every chord of theirs within that band blocks what of the side it lies beside.
fn free_stretch(others: &[Vec<Vec2>], (start, up, long): (Vec2, Vec2, f64), wide: f64) -> (f64, f64) {
    // The neighbouring edges begin on the side itself.
    const BESIDE: f64 = 0.01;
    let out = -left_of(up);
    let mut blocked: Vec<(f64, f64)> = Vec::new();
    for w in others.iter().flat_map(|line| line.windows(2)) {
        let [a, b] = [w[0], w[1]].map(|p| ((p - start).dot(up), (p - start).dot(out)));
        let (low, high) = if a.1 <= b.1 { (a, b) } else { (b, a) };
        if high.1 < BESIDE || low.1 > wide {
            continue;
        }
        let at = |off: f64| {
            if high.1 - low.1 < 1e-12 { low.0 } else { low.0 + (high.0 - low.0) * (off - low.1) / (high.1 - low.1) }
        };
        let (p, q) =
            if high.1 - low.1 < 1e-12 { (low.0, high.0) } else { (at(low.1.max(BESIDE)), at(high.1.min(wide))) };
        blocked.push((p.min(q), p.max(q)));
    }
    blocked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut best, mut from) = ((0.0, 0.0), 0.0);
    for (a, b) in blocked.into_iter().chain([(long, long)]) {
        let to = a.min(long);
        if to - from > best.1 - best.0 {
            best = (from, to);
        }
        from = f64::max(from, b);
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_is_free_where_the_other_side_stands_off_it() {
        // A cone's sides, 30° apart at the point: 15 mm beside it at 15/tan 30° from the point on.
        let long = 100.0;
        let other = [Vec2::ZERO, Vec2::new(long * 0.5, long * 0.75f64.sqrt())];
        let side = (Vec2::ZERO, Vec2::Y, long);
        let (from, to) = free_stretch(&[other.to_vec()], side, 15.0);
        assert!((from - 15.0 / num::tan(num::PI / 6.0)).abs() < 1e-9 && to == long, "{from} {to}");
        // Something in the middle leaves the longer part; what lies on the panel's own side does not count.
        let post = [Vec2::new(8.0, 30.0), Vec2::new(8.0, 40.0)];
        assert_eq!(free_stretch(&[post.to_vec()], side, 15.0), (40.0, long));
        let own = [Vec2::new(-8.0, 30.0), Vec2::new(-8.0, 40.0)];
        assert_eq!(free_stretch(&[own.to_vec()], side, 15.0), (0.0, long));
    }
}
