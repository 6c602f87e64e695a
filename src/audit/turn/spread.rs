//! Slits, and tabs that are turned out on what a wall stands on: those may come apart, and their folds, each straight across
//! its tab, keep to the wall's own curve.

use crate::geom::Vec3;
use crate::geom::path::Path;
use crate::piece::Operation;
use crate::solid::{EdgeName, Onto, Turn};
use crate::verdict::Check;

use super::super::claims::Made;
use super::super::measure;
use super::super::report::{FIT, Most, Report};
use super::lengths::{Ground, Lengths};
use super::{Bound, Folded};

/// How far the fold of one tab may stand off the curve, mm.
const BOW: f64 = 0.5;
/// What a slit may lean, as a slope: where the fold is drawn as arcs its direction is a little off where two meet.
const LEANS: f64 = 0.01;
/// How far neighbours may lie in each other, mm.
pub(super) const MEET: f64 = 0.5;
/// A slit begins no farther from the fold than this, mm: where it opens, and elsewhere.
const OPENS: f64 = 0.5;
const LIES: f64 = 2.0;

pub(super) fn spreads(turn: &Turn) -> bool {
    matches!(turn.onto, Onto::Ground { outward: true, .. })
}

/// Each slit runs straight from beside the fold to the free edge.
pub(super) fn slits(folded: &Folded<'_>, slits: &[Path], what: &str, r: &mut Report) {
    let wide = folded.turn.wide;
    let (mut deep, mut short, mut aside) = (Most::default(), Most::default(), Most::default());
    let begins = if spreads(folded.turn) { OPENS } else { LIES };
    for slit in slits {
        let Some([a, b]) = slit.start().zip(slit.end()).map(|(a, b)| [a, b]) else { continue };
        let [(s, x), (t, y)] = [a, b].map(|p| folded.place(p));
        let (near, far) = (x.min(y), x.max(y));
        deep.add((-near).max(far - wide), a);
        short.add((near - begins.min(0.25 * wide)).max(wide - far), a);
        let off = (s - t).abs();
        let off = if folded.round { off.min(folded.long - off) } else { off };
        aside.add((off - LEANS * (far - near)).max(0.0), a);
    }
    deep.enter(r, Check::Turn, &format!("{what}, slit past the fold or its end"), FIT);
    short.enter(r, Check::Turn, &format!("{what}, slit short of the fold or its end"), FIT);
    aside.enter(r, Check::Turn, &format!("{what}, slit askew"), FIT);
}

/// How far two neighbours lie in each other at a distance from the fold, at the cut between them: what the sheet has too much
/// there from the middle of the one to the middle of the other, less what the cut carries away.
pub(super) fn meet(folded: &Folded<'_>, lengths: &Lengths, bounds: &[[Bound; 2]], x: f64, most: &mut Most) {
    for three in bounds.windows(3) {
        let middle = |a: &Bound, b: &Bound| 0.5 * (a.root + b.root);
        let (from, to) = (middle(&three[0][1], &three[1][0]), middle(&three[1][1], &three[2][0]));
        let too_much = |s: f64| lengths.flat(s) - lengths.lies(s);
        let gone = lengths.flat(three[1][1].at(x)) - lengths.flat(three[1][0].at(x));
        let at = folded.spots.partition_point(|s| s.s < three[1][0].root);
        most.add((too_much(to) - too_much(from) - gone).max(0.0), folded.spots[at.min(folded.spots.len() - 1)].at);
    }
}

/// How far the folds of tabs stand off the curve on which the wall stands: each straight from its first to its last place.
pub(super) fn bows(folded: &Folded<'_>, ground: &Ground, tabs: &[(Bound, Bound)], what: &str, r: &mut Report) {
    let (spots, long) = (&folded.spots, folded.long);
    let on = |s: f64| -> Vec3 {
        let s = if folded.round && s > long { s - long } else { s };
        let i = spots.partition_point(|p| p.s < s).clamp(1, spots.len() - 1);
        let step = spots[i].s - spots[i - 1].s;
        let share = if step > 0.0 { ((s - spots[i - 1].s) / step).clamp(0.0, 1.0) } else { 1.0 };
        ground.under[i - 1].from.lerp(ground.under[i].from, share)
    };
    let mut most = Most::default();
    for (a, b) in tabs {
        let (from, to) = (on(a.root), on(b.root));
        let (way, long_way) = ((to - from).normalize_or_zero(), (to - from).length());
        for turn in [0.0, long] {
            let within = |s: &super::Spot| s.s + turn > a.root && s.s + turn < b.root;
            for (spot, under) in spots.iter().zip(&ground.under).filter(|(s, _)| within(s)) {
                let along = (under.from - from).dot(way).clamp(0.0, long_way);
                most.add((under.from - from - way * along).length(), spot.at);
            }
            if !folded.round {
                break;
            }
        }
    }
    most.enter(r, Check::Turn, &format!("{what}, off the curve it stands on"), BOW);
}

/// How far the tabs of a wall reach from their fold, measured square to it on its pieces; whether there are any.
pub fn claim(made: &Made<'_>, wide: f64, what: &str, r: &mut Report) -> bool {
    let mut any = false;
    for piece in made.groups.iter().flatten() {
        let folds = piece.marks.iter().filter(|m| m.operation == Operation::Fold && m.about == LOWER);
        let folds: Vec<Path> = folds.map(|m| measure::path_undone(&piece.from_flat, &m.path)).collect();
        let runs = piece.contour.iter().filter(|run| run.turn == Some(EdgeName::Lower));
        let mut far = 0.0f64;
        for run in runs {
            let run = measure::path_undone(&piece.from_flat, &run.path);
            for p in measure::samples(&run, 1.0, 1e-3) {
                far = far.max(folds.iter().map(|f| measure::to_path(p, f)).fold(f64::INFINITY, f64::min));
            }
        }
        if folds.is_empty() {
            continue;
        }
        any = true;
        let said = format!("{far:.3} mm from the fold for {wide:.3}");
        r.figure(Check::Claim, what, said, (far - wide).abs(), FIT);
    }
    any
}

/// What the fold of a foot is about.
const LOWER: crate::piece::About = crate::piece::About::Turn(EdgeName::Lower);
