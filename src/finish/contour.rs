//! Which curve of each edge is cut, and how neighbouring edges that were cut differently still meet. Works in the
//! flat's frame, before rounding. It adds no allowance.

use crate::flat;
use crate::geom::Vec2;
use crate::geom::cross::{Crossing, along, carriers, nearest, stretch};
use crate::geom::path::{Path, Seg};
use crate::geom::tol;
use crate::solid::EdgeName;

/// Segments shorter than this are drawn together, mm.
const CRUMB: f64 = 0.05;
/// A remainder shorter than this is taken up by its neighbour, mm: no more than the arc fit leaves open.
const LEFT_OVER: f64 = tol::ARC_FIT;

/// One edge as it is cut.
#[derive(Clone, Debug)]
pub(super) struct Cut<'a> {
    pub edge: &'a flat::Edge,
    pub path: Path,
    /// The other face's line, where the edge is bevelled.
    pub bevel: Option<Path>,
}

/// Two edges that follow each other and have no common point near their ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Apart {
    pub at: Vec2,
}

/// The edges in order with their cut lines, closed at every corner. Edges without length (a point's rim) are left
/// out.
pub(super) fn cuts(panel: &flat::Panel) -> Result<Vec<Cut<'_>>, Apart> {
    let mut cuts: Vec<Cut<'_>> = panel.edges.iter().filter_map(choose).collect();
    let n = cuts.len();
    if n == 1 {
        close(&mut cuts[0].path);
        if let Some(b) = cuts[0].bevel.as_mut() {
            close(b);
        }
        return Ok(cuts);
    }
    for i in 0..n {
        let j = (i + 1) % n;
        let mut a = core::mem::take(&mut cuts[i].path);
        let mut b = core::mem::take(&mut cuts[j].path);
        let met = meet(&mut a, &mut b);
        cuts[i].path = a;
        cuts[j].path = b;
        met?;
    }
    for i in 0..n {
        let Some(bevel) = cuts[i].bevel.take() else { continue };
        let (before, after) = (&cuts[(i + n - 1) % n].path, &cuts[(i + 1) % n].path);
        let reach = 4.0 * cuts[i].edge.bevel.shift + 1.0;
        let bevel = within(bevel, after, reach).reversed();
        cuts[i].bevel = Some(within(bevel, before, reach).reversed());
    }
    Ok(cuts)
}

/// A bevel line that passes the neighbouring edge at its end by no more than `reach` (at an open seam, whose side runs
/// askew over the generatrices) ends there.
fn within(mut bevel: Path, neighbour: &Path, reach: f64) -> Path {
    let (Some(end), Some((i, share, _))) = (bevel.end(), bevel.end().and_then(|e| nearest(neighbour, e))) else {
        return bevel;
    };
    let seg = &neighbour.segs[i];
    let beyond = seg.direction(share).perp_dot(end - seg.at(share)) < -100.0 * tol::SAME;
    if !beyond {
        return bevel;
    }
    let slack = reach / seg.length().max(tol::SAME);
    let hits = along(&bevel, &seg.part(-slack, 1.0 + slack));
    if let Some((k, c)) = hits.into_iter().rev().find(|(_, c)| c.at.distance(end) <= reach) {
        bevel = stretch(&bevel, (0, 0.0), (k, c.first));
    }
    bevel
}

/// Whether an edge's bevel is not worth cutting.
fn is_square(edge: &flat::Edge) -> bool {
    edge.bevel.shift < tol::SQUARE_CUT
}

/// The line of an edge that is cut.
pub(super) fn line(edge: &flat::Edge) -> &Path {
    if is_square(edge) { &edge.middle } else { &edge.widest }
}

fn choose(edge: &flat::Edge) -> Option<Cut<'_>> {
    let (square, path) = (is_square(edge), line(edge));
    if path.length() <= 100.0 * tol::SAME {
        return None;
    }
    let over = if matches!(edge.name, EdgeName::Lower | EdgeName::Upper) { SQUARE } else { 0.0 };
    let whole = |path: &Path| coarser(&bridged(path, over));
    let bevel = (!square && edge.narrowest.length() > 100.0 * tol::SAME).then(|| whole(&edge.narrowest));
    Some(Cut { edge, path: whole(path), bevel })
}

/// What lies square to the end of a rim's line but for this sine goes on from there and not back.
const SQUARE: f64 = 0.1;

/// The chain without gaps. On a plate, inside and outside change places at a rule where both have one tangent line,
/// but touch it at two points when the rule is askew. The outermost line runs straight on along that tangent from one
/// point to the other (it bounds the hull of both); the innermost ends at the crossing of the two. A rim that passes
/// itself by goes over square to itself, half-way ([`crate::geom::trim`]).
fn bridged(path: &Path, square: f64) -> Path {
    let mut out = Path::default();
    let mut next = Path::default();
    let mut chains: Vec<Path> = Vec::new();
    for s in &path.segs {
        if next.end().is_some_and(|end| end.distance(s.a) > 100.0 * tol::SAME) {
            chains.push(core::mem::take(&mut next));
        }
        next.segs.push(*s);
    }
    chains.push(next);
    for mut chain in chains {
        if let (Some(last), Some(start)) = (out.segs.last().copied(), chain.start()) {
            let onward = (start - last.b).dot(last.direction(1.0)) > -square * start.distance(last.b);
            if onward || meet(&mut out, &mut chain).is_err() {
                out.segs.push(Seg::line(last.b, start));
            }
        }
        out.segs.extend(chain.segs);
    }
    out
}

/// The same line without crumbs: rounding would turn steps as short as itself any way. Consecutive segments shorter
/// than [`CRUMB`] become chords of about that length (a chord of 0.05 mm rises 0.0003 mm over a circle of 1 mm); what is
/// left over at the end of such a stretch is taken up by its last chord, or by the next segment's beginning. A chord
/// ends early where the line turns away from it: the tip of a cone has corners between crumbs.
fn coarser(path: &Path) -> Path {
    let mut segs: Vec<Seg> = Vec::with_capacity(path.segs.len());
    let mut open: Option<Seg> = None;
    let mut passed: Vec<Vec2> = Vec::new();
    for s in &path.segs {
        if s.length() >= CRUMB {
            let mut s = *s;
            if let Some(left) = open.take() {
                match segs.last_mut() {
                    _ if left.a.distance(left.b) >= LEFT_OVER => segs.push(left),
                    Some(last) => last.b = left.b,
                    None => s.a = left.a,
                }
            }
            segs.push(s);
            continue;
        }
        let mut chord = Seg::line(open.map_or(s.a, |o| o.a), s.b);
        if let Some(open) = open {
            let turns = passed.iter().any(|p| crate::geom::fit::distance(&chord, *p) > 0.5 * LEFT_OVER);
            if turns && open.a.distance(open.b) >= LEFT_OVER {
                segs.push(open);
                chord = Seg::line(s.a, s.b);
            }
        }
        if chord.a == s.a {
            passed.clear();
        }
        passed.push(s.b);
        if chord.a.distance(chord.b) >= CRUMB {
            segs.push(chord);
            open = None;
        } else {
            open = Some(chord);
        }
    }
    if let Some(left) = open {
        match segs.last_mut() {
            Some(last) if left.a.distance(left.b) < LEFT_OVER => last.b = left.b,
            _ => segs.push(left),
        }
    }
    Path { segs }
}

/// Ends where it began; a gap there is one as in [`bridged`].
fn close(path: &mut Path) {
    if let Some(first) = path.start()
        && let Some(last) = path.segs.last_mut()
    {
        if last.b.distance(first) <= 100.0 * tol::SAME {
            last.b = first;
        } else {
            let end = last.b;
            path.segs.push(Seg::line(end, first));
        }
    }
}

/// Makes `b` begin where `a` ends: at once when they do already, else at the crossing of the two lines (gone on
/// beyond their ends along line or circle) nearest to both ends.
fn meet(a: &mut Path, b: &mut Path) -> Result<(), Apart> {
    let (Some(end), Some(start)) = (a.end(), b.start()) else { return Ok(()) };
    let apart = end.distance(start);
    if apart <= 100.0 * tol::SAME {
        b.segs[0].a = end;
        return Ok(());
    }
    let mut best: Option<(f64, usize, usize, Crossing)> = None;
    for (i, p) in a.segs.iter().enumerate() {
        for (j, q) in b.segs.iter().enumerate() {
            for c in carriers(p, q) {
                let (last, first) = (i + 1 == a.segs.len(), j == 0);
                // The slack lets a crossing at a common end of two segments belong to either.
                let on_a = c.first > 0.0 && (last || c.first <= 1.0 + 1e-9);
                let on_b = c.second < 1.0 && (first || c.second >= -1e-9);
                let far = c.at.distance(end) + c.at.distance(start);
                if on_a && on_b && far <= 20.0 * apart + 1.0 && best.is_none_or(|b| far < b.0) {
                    best = Some((far, i, j, c));
                }
            }
        }
    }
    let Some((_, i, j, c)) = best else { return Err(Apart { at: end }) };
    a.segs.truncate(i + 1);
    b.segs.drain(..j);
    a.segs[i] = a.segs[i].part(0.0, c.first);
    b.segs[0] = b.segs[0].part(c.second, 1.0);
    a.segs[i].b = c.at;
    b.segs[0].a = c.at;
    Ok(())
}

/// `path` cut off where it first passes the line through `at` with the outward direction `out`, and the point there;
/// `None` when it never does.
pub(super) fn cut_off(path: &Path, at: Vec2, out: Vec2) -> Option<(Path, Vec2)> {
    let far = 1e4;
    let side = crate::geom::left_of(out);
    let line = Seg::line(at - side * far, at + side * far);
    let (i, c) = along(path, &line).into_iter().next()?;
    let mut part = stretch(path, (0, 0.0), (i, c.first));
    part.segs.last_mut()?.b = c.at;
    Some((part, c.at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_common_tangent_bridges_the_outermost_line_and_a_crossing_ends_the_innermost() {
        // Two arcs that share the tangent line y = 0 at x = 0 and x = 2.
        let (p, q) = (Vec2::ZERO, Vec2::new(2.0, 0.0));
        let before = Seg { a: Vec2::new(-10.0, 10.0), b: p, bulge: crate::num::tan(crate::num::PI / 8.0) };
        let after = Seg { a: q, b: Vec2::new(12.0, 10.0), bulge: crate::num::tan(crate::num::PI / 8.0) };
        let outer = bridged(&Path { segs: vec![before, after] }, 0.0);
        assert_eq!(outer.segs[1], Seg::line(p, q));
        // The other way: one goes on past the crossing at x = 1 before the other begins.
        let before = Seg { a: Vec2::new(-8.0, 10.0), b: q, ..before };
        let after = Seg { a: p, b: Vec2::new(10.0, 10.0), ..after };
        let inner = bridged(&Path { segs: vec![before, after] }, 0.0);
        assert_eq!(inner.segs.len(), 2);
        assert!((inner.segs[0].b.x - 1.0).abs() < 1e-9 && inner.segs[0].b == inner.segs[1].a);
    }

    #[test]
    fn crumbs_are_swept_up_and_the_line_stays() {
        let mut points = vec![Vec2::ZERO];
        let mut x = 0.0;
        for i in 0..200 {
            x += 1e-6 * 1.1f64.powi(i % 120);
            points.push(Vec2::new(x, 0.001 * crate::num::sin(x)));
        }
        points.push(Vec2::new(x + 30.0, 0.5));
        let path = Path::polyline(&points);
        let swept = coarser(&path);
        assert_eq!((swept.start(), swept.end()), (path.start(), path.end()));
        assert!(swept.segs.len() < 60);
        assert!(swept.segs.iter().all(|s| s.length() >= LEFT_OVER));
        assert!(swept.segs.windows(2).all(|w| w[0].b == w[1].a));
        for p in points {
            let (_, _, at) = nearest(&swept, p).expect("not empty");
            assert!(at.distance(p) <= LEFT_OVER, "{p}");
        }
    }
}
