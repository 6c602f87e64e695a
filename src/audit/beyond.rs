//! What lies beyond the solid's own edges: laps, tabs, and the cut between the halves of a panel. A stretch of a
//! contour that belongs to no edge must be one of these, and lie where it should.

use std::collections::BTreeMap;

use crate::geom::Vec2;
use crate::piece::{About, Piece, Run, Split};
use crate::solid::{EdgeName, Rim, Seam};
use crate::verdict::Check;

use super::laid::{Laid, Side};
use super::measure::{self, to_chain};
use super::report::{FIT, LANDING, Most, Report};

/// How far a flat point lies off the line of a split.
fn off_cut(piece: &Piece, split: &Split, run: &Run) -> f64 {
    let left = crate::geom::left_of(split.along.normalize_or_zero());
    let flat = measure::path_undone(&piece.from_flat, &run.path);
    measure::samples(&flat, 5.0, 1e-3).iter().map(|p| (*p - split.at).dot(left).abs()).fold(0.0, f64::max)
}

/// Whether a run is the cut between halves.
pub fn is_cut(piece: &Piece, run: &Run) -> bool {
    cut_runs(piece).any(|r| core::ptr::eq(r, run))
}

/// Where the seam's line under a lap or tabs ends on the cut between halves, on the piece.
pub fn seam_at_cut(piece: &Piece) -> Option<Vec2> {
    let split = piece.split?;
    let left = crate::geom::left_of(split.along.normalize_or_zero());
    let off = |p: &Vec2| (measure::undone(&piece.from_flat, *p) - split.at).dot(left).abs();
    let lines = piece.marks.iter().filter(|m| m.about == About::Lap);
    lines.flat_map(|m| [m.path.start(), m.path.end()]).flatten().find(|p| off(p) <= LANDING)
}

/// The runs along which a half was cut from the other.
pub fn cut_runs(piece: &Piece) -> impl Iterator<Item = &Run> {
    let split = piece.split;
    let is =
        move |r: &&Run| r.edge.is_none() && r.turn.is_none() && split.is_some_and(|s| off_cut(piece, &s, r) <= LANDING);
    piece.contour.iter().filter(is)
}

/// The runs without an edge that are none of a cut.
fn added(piece: &Piece) -> impl Iterator<Item = &Run> {
    let split = piece.split;
    let is =
        move |r: &&Run| r.edge.is_none() && r.turn.is_none() && split.is_none_or(|s| off_cut(piece, &s, r) > LANDING);
    piece.contour.iter().filter(is)
}

/// What a plate has beyond its outline: nothing but a cut.
pub fn on_plate(group: &[&Piece], r: &mut Report) {
    for piece in group {
        r.count("outline beyond its edges", added(piece).count(), 0);
    }
    halves(group, r);
}

/// What a wall's pieces have beyond their edges.
pub fn on_wall(laid: &Laid<'_>, group: &[&Piece], r: &mut Report) {
    match laid.view.wall.seam {
        Seam::Lap(wide) => lap(laid, group, wide, r),
        Seam::Tabs(wide) => {
            let (_, end) = laid.sides[0];
            let ends = [(false, laid.cut.0), (true, laid.cut.1)];
            let ends = ends.map(|(upper, line)| end.up.dot(laid.corner(upper, line, true) - end.at));
            tabs(&end, ends, group, wide, r);
        }
        Seam::Butt | Seam::Backed(_) | Seam::Open(_) => {
            for piece in group {
                r.count("outline beyond its edges", added(piece).count(), 0);
            }
        }
    }
    halves(group, r);
}

/// Beyond the seam a lapped wall is its own beginning again: the lap's outline runs along both rims, and along a
/// parallel to the seam.
fn lap(laid: &Laid<'_>, group: &[&Piece], wide: f64, r: &mut Report) {
    let (_, end) = laid.sides[0];
    let closed = [laid.ring.lower, laid.ring.upper].map(|rim| matches!(rim, Rim::Closed(_)));
    let far_line = closed.contains(&true).then(|| to_a_point(laid, group, closed));
    let rims = [false, true].map(|upper| {
        let line = if upper { laid.cut.1 } else { laid.cut.0 };
        match super::scallops::expected(laid, upper) {
            Some(row) => super::scallops::folded(laid, &row),
            None => laid.expected(upper, line).iter().map(|p| p.1).collect::<Vec<_>>(),
        }
    });
    let mut crossings = [None, None];
    let (mut most, mut far) = (Most::default(), 0.0f64);
    for piece in group {
        for run in added(piece) {
            let mut hints = [0, 0];
            for (p, landed) in laid.landed_beyond(&piece.from_flat, &run.path) {
                let out = end.right(p);
                let mut off = match far_line {
                    Some((a, b)) => off_segment(p, a, b),
                    None => (out - wide).abs(),
                };
                if (out - wide).abs() <= LANDING {
                    far = far.max(end.up.dot(p - end.at).abs());
                }
                for (rim, hint) in rims.iter().zip(&mut hints) {
                    off = off.min(to_chain(landed.space, rim, hint, LANDING));
                }
                if off > LANDING && out > LANDING {
                    // Beside a place where the rim crosses itself its generatrices do so too, here as at the beginning.
                    for upper in [false, true] {
                        let line = if upper { laid.cut.1 } else { laid.cut.0 };
                        let lap = crossings[usize::from(upper)].get_or_insert_with(|| laid.crossings(upper, line));
                        if let Some(there) = lap.land(laid, upper, laid.carried(0, p)) {
                            off = off.min(there.off);
                        }
                    }
                }
                // At the seam itself either end of the wall will do.
                most.add(if out.abs() <= LANDING { 0.0 } else { off }, p);
            }
        }
    }
    // Of a wall drawn to a point at both ends nothing of the lap is as wide as asked.
    r.holds(Check::Coverage, "lap", "present", most.any() && (far > 0.0 || closed == [true, true]));
    most.enter(r, Check::Landing, "lap's outline", LANDING);
}

/// The free side of a lap on a wall that ends in a point: straight from there to where the lap is widest, on the other
/// rim. How wide that is, is measured.
fn to_a_point(laid: &Laid<'_>, group: &[&Piece], closed: [bool; 2]) -> (Vec2, Vec2) {
    let (_, end) = laid.sides[0];
    let point = |upper: bool| laid.corner(upper, if upper { laid.cut.1 } else { laid.cut.0 }, true);
    let outlines = group.iter().flat_map(|p| added(p).map(|run| measure::path_undone(&p.from_flat, &run.path)));
    let ends = outlines.flat_map(|path| path.segs.iter().flat_map(|s| [s.a, s.b]).collect::<Vec<_>>());
    let widest = ends.max_by(|a, b| end.right(*a).total_cmp(&end.right(*b))).unwrap_or(end.at);
    match closed {
        [true, true] => (point(false), point(true)),
        [true, false] => (point(false), widest),
        _ => (widest, point(true)),
    }
}

/// How far a point lies off the line between two.
fn off_segment(p: Vec2, a: Vec2, b: Vec2) -> f64 {
    let run = b - a;
    let share = ((p - a).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    (p - a - run * share).length()
}

/// The least free side of a tab, and the bare seam beside one, mm; a tab is narrower toward its free side by no more than
/// an end at 60 degrees takes (1 / tan 60° of its width at either end).
const FREE: f64 = 3.0;
const BARE: f64 = 3.0;
const SLANT: f64 = 0.577_35;
/// What else of the flat may lie as near to a tab as this, mm.
const CLEAR: f64 = 1.5;

/// Each tab stands on the seam line, is as wide as asked along its free side, and there is one wherever there is room.
pub fn tabs(end: &Side, [low, high]: [f64; 2], group: &[&Piece], wide: f64, r: &mut Report) {
    let along = |p: Vec2| end.up.dot(p - end.at);
    let mut stand: Vec<(f64, f64)> = Vec::new();
    for piece in group {
        for run in added(piece) {
            let flat = measure::path_undone(&piece.from_flat, &run.path);
            let points = measure::samples(&flat, 1.0, 1e-3);
            let reach: Vec<f64> = points.iter().map(|p| end.right(*p)).collect();
            let foot = |p: Option<&f64>| p.map_or(f64::NAN, |x| x.abs());
            let cut = piece.split.is_some();
            let most = reach.iter().fold(0.0, |a: f64, x| a.max(*x));
            let least = reach.iter().fold(0.0, |a: f64, x| a.min(*x));
            // A tab that a cut goes through stands on the seam with one foot.
            let (a, b) = (foot(reach.first()), foot(reach.last()));
            let feet = if cut { a.min(b) } else { a.max(b) };
            r.figure(Check::Landing, "tab's feet on the seam", format!("{feet:.3} mm off"), feet.max(-least), LANDING);
            r.figure(Check::Claim, "tab's width", format!("{most:.3} mm for {wide:.3}"), (most - wide).abs(), FIT);
            let places = points.iter().map(|p| along(*p));
            let range = |places: &mut dyn Iterator<Item = f64>| {
                places.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), s| (lo.min(s), hi.max(s)))
            };
            let whole = range(&mut places.clone());
            let outer = range(&mut places.zip(&reach).filter(|(_, x)| (*x - wide).abs() <= FIT).map(|(s, _)| s));
            let free = outer.1 - outer.0;
            let asked = (whole.1 - whole.0 - 2.0 * SLANT * wide).max(FREE);
            if !cut {
                let place = format!("{free:.3} mm for {asked:.3}");
                r.figure(Check::Claim, "tab's free side", place, (asked - free).max(0.0), FIT);
            }
            stand.push(whole);
        }
    }
    r.holds(Check::Coverage, "tabs", "present", !stand.is_empty());
    stand.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut from = low;
    let mut bare: Vec<(f64, f64)> = Vec::new();
    for (a, b) in stand.into_iter().chain([(high, high)]) {
        bare.push((from, a));
        from = b.max(from);
    }
    // What beyond the side is in a tab's way.
    let others = group.iter().flat_map(|p| {
        let runs = p.contour.iter().filter(|run| run.edge.is_some_and(|e| e != EdgeName::End));
        runs.flat_map(|run| measure::samples(&measure::path_undone(&p.from_flat, &run.path), 1.0, 1e-2))
            .collect::<Vec<_>>()
    });
    let in_the_way: Vec<f64> = others.filter(|p| (0.01..wide + CLEAR).contains(&end.right(*p))).map(along).collect();
    let takes = FREE + 2.0 * (SLANT * wide + BARE);
    for (a, b) in bare {
        let room = b - a > takes + FIT && !in_the_way.iter().any(|s| (a..=b).contains(s));
        r.holds(Check::Coverage, "tabs", &format!("{:.1} mm of the seam stay bare", b - a), !room);
    }
}

/// Halves: one straight cut each, and ticks across it in the same places.
fn halves(group: &[&Piece], r: &mut Report) {
    let mut places: Vec<BTreeMap<usize, Vec2>> = Vec::new();
    for piece in group {
        let Some(split) = piece.split else { continue };
        r.count("cut between halves", cut_runs(piece).count(), 1);
        let mut ticks = BTreeMap::new();
        for mark in &piece.marks {
            let About::Notch { joint, number, edge: EdgeName::Cut } = mark.about else { continue };
            r.verdict.checked.notches += 1;
            r.verdict.checked.marks += 1;
            let at = mark.path.start().map(|p| measure::undone(&piece.from_flat, p));
            let once = joint == split.joint && ticks.insert(number, at.unwrap_or(Vec2::NAN)).is_none();
            r.holds(Check::Coverage, "notches of the cut between halves", "each once", once);
        }
        places.push(ticks);
    }
    let [one, two] = places.as_slice() else { return };
    let alike = !one.is_empty() && one.keys().eq(two.keys());
    r.holds(Check::Coverage, "notches of the cut between halves", "the same on both", alike);
    for (number, a) in one {
        let Some(b) = two.get(number) else { continue };
        let place = format!("notch {}", number + 1);
        r.figure(Check::Notch, "cut between halves", place, (*a - *b).length(), FIT);
    }
}

/// How far a lap or tabs reach beyond the seam line at most, over all pieces of a panel.
pub fn reach(laid: &Laid<'_>, group: &[&Piece]) -> f64 {
    let (_, end) = laid.sides[0];
    let mut most = 0.0f64;
    for piece in group {
        for run in added(piece) {
            let flat = measure::path_undone(&piece.from_flat, &run.path);
            most = measure::samples(&flat, 2.0, 1e-3).iter().fold(most, |m, p| m.max(end.right(*p)));
        }
    }
    most
}
