//! Where what is fitted goes: its outline on the face that lies up, and the middle of a round one; of what goes on the hidden face a cross at each
//! corner, to prick through, since a line would stand on a face it does not touch. And what the key says of it.

use super::contour::{self, Cut};
use super::marks::clip;
use super::{Draft, notes};
use crate::flat::{Panel, Place};
use crate::geom::Vec2;
use crate::geom::cross;
use crate::geom::path::{Path, Seg};
use crate::geom::ring::contains;
use crate::piece::{self, About, Mark, Operation};
use crate::solid::EdgeName;

/// Half the length of a cross's arms, mm: seen, and no more than a prick needs.
pub(super) const ARM: f64 = 1.5;
/// The least it shrinks to beside an edge, mm.
const LEAST_ARM: f64 = 0.3;
/// Round outlines are pricked through at so many places.
const ROUND: usize = 4;
/// Tangents that differ by less make no corner, radians.
const CORNER: f64 = 0.2;

/// The marks of all places of a panel.
pub(super) fn marks(panel: &Panel, cuts: &[Cut<'_>]) -> Vec<Mark> {
    if panel.places.is_empty() {
        return Vec::new();
    }
    // From seam to seam, without laps and tabs.
    let whole = Path { segs: cuts.iter().flat_map(|c| c.path.segs.iter().copied()).collect() };
    let sides: Vec<&Path> =
        cuts.iter().filter(|c| matches!(c.edge.name, EdgeName::Begin | EdgeName::End)).map(|c| &c.path).collect();
    let mut out = Vec::new();
    for place in &panel.places {
        let about = About::Place(place.spot);
        let mark = |path: Path| Mark { operation: Operation::Place, path, about };
        let round = place.outlines.iter().all(|o| o.segs.iter().all(|s| s.bulge != 0.0));
        if round && !place.hidden && (place.outlines.len() == 1 || contains(&whole, place.at)) {
            out.extend(pricked(place.at, &whole).map(mark));
        }
        for outline in &place.outlines {
            if place.hidden {
                let on = corners(outline).into_iter().filter(|p| place.outlines.len() == 1 || contains(&whole, *p));
                out.extend(on.flat_map(|p| pricked(p, &whole)).map(mark));
            } else if place.outlines.len() == 1 {
                out.push(mark(outline.clone()));
            } else {
                out.extend(joined(clip(outline, &sides, |p| contains(&whole, p))).into_iter().map(mark));
            }
        }
    }
    out
}

/// The stretches of a closed line, the last one run on into the first where that goes on from it.
fn joined(mut parts: Vec<Path>) -> Vec<Path> {
    let meet = |a: &Path, b: &Path| a.end().zip(b.start()).is_some_and(|(a, b)| a.distance(b) < 1e-9);
    if parts.len() > 1
        && let Some(last) = parts.pop()
    {
        if meet(&last, &parts[0]) {
            let first = core::mem::take(&mut parts[0]);
            parts[0] = Path { segs: last.segs.into_iter().chain(first.segs).collect() };
        } else {
            parts.push(last);
        }
    }
    parts
}

/// Where an outline turns sharply; of one that nowhere does, places evenly along it.
fn corners(outline: &Path) -> Vec<Vec2> {
    let n = outline.segs.len();
    let turns = |i: usize| {
        let (a, b) = (outline.segs[i].direction(1.0), outline.segs[(i + 1) % n].direction(0.0));
        a.perp_dot(b).abs() > CORNER || a.dot(b) < 0.0
    };
    let sharp: Vec<Vec2> = (0..n).filter(|&i| turns(i)).map(|i| outline.segs[i].b).collect();
    if !sharp.is_empty() {
        return sharp;
    }
    let long = outline.length();
    (0..ROUND).filter_map(|i| outline.at_length(long * i as f64 / ROUND as f64)).map(|p| p.0).collect()
}

/// Both strokes of a cross, shorter beside an edge.
pub(super) fn pricked(at: Vec2, whole: &Path) -> [Path; 2] {
    let room = cross::nearest(whole, at).map_or(ARM, |n| n.2.distance(at));
    let arm = (0.8 * room).clamp(LEAST_ARM, ARM);
    [Vec2::X, Vec2::Y].map(|way| Path { segs: vec![Seg::line(at - way * arm, at + way * arm)] })
}

/// What the key says of the places that a piece shows.
pub(super) fn notes(panel: &Panel, draft: &Draft, mirrored: bool) -> Vec<piece::Place> {
    let shows = |p: &&Place| draft.marks.iter().any(|m| m.about == About::Place(p.spot));
    let shown = panel.places.iter().filter(shows);
    let note = |(i, place): (usize, &Place)| piece::Place {
        spot: place.spot,
        number: i + 1,
        name: place.name.clone(),
        hidden: place.hidden,
        from: from(panel, draft, place.at, mirrored),
    };
    shown.enumerate().map(note).collect()
}

/// From a point to the nearest rim and to the nearest side of the seam, as a rule laid on the flat measures it from the line
/// that is cut.
fn from(panel: &Panel, draft: &Draft, at: Vec2, mirrored: bool) -> Vec<(String, f64)> {
    // Half a panel has not all of its edges; a lapped side is a mark. A side is never cut in two, and ends where the rims do.
    let cut = |edge: EdgeName| draft.runs.iter().filter(move |r| r.edge == Some(edge)).map(|r| &r.path);
    let lapped = |edge: EdgeName| draft.marks.iter().filter(move |m| edge == EdgeName::End && m.about == About::Lap);
    let away = |seam: bool| {
        let side = |e: EdgeName| matches!(e, EdgeName::Begin | EdgeName::End);
        let off = panel.edges.iter().filter(|e| side(e.name) == seam).filter_map(|e| {
            let cut: Vec<&Path> = cut(e.name).chain(lapped(e.name).map(|m| &m.path)).collect();
            // Of a rim that is cut in two the whole is measured to.
            let lines = if seam || cut.is_empty() { cut } else { vec![contour::line(e)] };
            let off = lines.into_iter().filter_map(|l| Some(cross::nearest(l, at)?.2.distance(at)));
            Some((e.name, off.min_by(f64::total_cmp)?))
        });
        off.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(name, mm)| (notes::plain(name, mirrored).into_owned(), mm))
    };
    away(false).into_iter().chain(away(true)).collect()
}
