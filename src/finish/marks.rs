//! Marks that go with the outline, in the flat's frame: notches on the cut line, and the centre line.

use super::contour::Cut;
use crate::flat;
use crate::geom::cross::{self, crossings, stretch};
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, ring};
use crate::ids::JointId;
use crate::num;
use crate::piece::{About, Hole, Mark, Operation};
use crate::solid::EdgeName;

/// Length of a notch's tick, mm (common practice, no source).
const TICK: f64 = 4.0;
/// The shortest tick that is still seen, mm.
const TICK_LEAST: f64 = 1.5;

/// A tick for every notch of an edge, from its cut line inward, square to it: shorter where the piece is narrow or a
/// hole is near.
pub(super) fn notches(cut: &Cut<'_>, contour: &Path, holes: &[flat::Hole]) -> Vec<Mark> {
    let marks = cut.edge.notches.iter().map(|n| {
        let at = on_cut(&cut.path, n, cut.edge.bevel.shift);
        let about = About::Notch { joint: n.joint, number: n.number, edge: cut.edge.name };
        tick(contour, holes, at, n.inward, about)
    });
    marks.collect()
}

/// The notch moved along its own direction onto the cut line.
fn on_cut(path: &Path, notch: &flat::Notch, shift: f64) -> Vec2 {
    let reach = notch.inward * (shift * 2.0 + 1.0);
    let line = Seg::line(notch.at - reach, notch.at + reach);
    let by_line = cross::along(path, &line)
        .into_iter()
        .map(|(_, c)| c.at)
        .min_by(|a, b| a.distance_squared(notch.at).total_cmp(&b.distance_squared(notch.at)));
    // At a corner the line may just miss the edge: its nearest point then.
    by_line.or_else(|| cross::nearest(path, notch.at).map(|n| n.2)).unwrap_or(notch.at)
}

/// A tick at `at`, shortened until three times its length is clear of the far side, and itself of every hole; where even
/// the shortest would be cut through, half-way across what is there.
fn tick(contour: &Path, holes: &[flat::Hole], at: Vec2, inward: Vec2, about: About) -> Mark {
    let line = |reach: f64| Seg::line(at + inward * 0.01, at + inward * reach);
    let cutting = || holes.iter().flat_map(|h| &h.outline.segs);
    let clear = |long: f64| {
        contour.segs.iter().all(|s| crossings(s, &line(3.0 * long)).is_empty())
            && cutting().all(|s| crossings(s, &line(long + 0.5)).is_empty())
    };
    let mut long = TICK;
    while long > TICK_LEAST && !clear(long) {
        long = (long * 0.7).max(TICK_LEAST);
    }
    let across = line(2.0 * TICK_LEAST);
    let ends = contour.segs.iter().chain(cutting()).flat_map(|s| crossings(s, &across));
    let room = ends.map(|c| c.at.distance(at)).fold(f64::INFINITY, f64::min);
    long = long.min(0.5 * room);
    Mark { operation: Operation::Notch, path: Path { segs: vec![Seg::line(at, at + inward * long)] }, about }
}

/// Ticks across a straight cut that runs from `from` to `to`, on the side `inward`: at shares of its length that no
/// turn of the cut maps on each other.
pub(super) fn across_cut(contour: &Path, from: Vec2, to: Vec2, inward: Vec2, joint: JointId) -> Vec<Mark> {
    let shares: &[f64] = if from.distance(to) >= 80.0 { &[0.3, 0.55] } else { &[0.35] };
    let ticks = shares.iter().enumerate().map(|(number, s)| {
        let about = About::Notch { joint, number, edge: EdgeName::Cut };
        tick(contour, &[], from + (to - from) * *s, inward, about)
    });
    ticks.collect()
}

/// The generatrix that faces away from the seam, from rim to rim, left out where a hole is. `shares` are those of the way
/// up a strip between which the wall is there.
pub(super) fn centre(
    panel: &flat::Panel,
    (seam, closed): (f64, &[EdgeName]),
    shares: impl Fn(usize) -> (f64, f64),
    cuts: &[Cut<'_>],
    holes: &[Hole],
) -> Vec<Mark> {
    let (Some(first), Some(last)) = (panel.rulings.first(), panel.rulings.last()) else { return Vec::new() };
    let lowest = panel.rulings.iter().map(|r| r.strip).min().unwrap_or(first.strip);
    let highest = panel.rulings.iter().map(|r| r.strip).max().unwrap_or(last.strip);
    let mut points: Vec<Vec2> = Vec::new();
    for strip in lowest..=highest {
        let rules: Vec<&flat::Ruling> = panel.rulings.iter().filter(|r| r.strip == strip).collect();
        let Some((foot, head)) = opposite(&rules, seam) else { continue };
        // A wall that is drawn together ends at one height: an oval's not in one point, so where the sides meet says
        // nothing of where this line ends.
        let (low, high) = shares(strip);
        let rise = head - foot;
        if points.is_empty() {
            points.push(if closed.contains(&EdgeName::Lower) { foot + rise * low } else { foot });
        }
        let ends = strip == highest && closed.contains(&EdgeName::Upper);
        points.push(if ends { foot + rise * high } else { head });
    }
    if points.len() < 2 {
        return Vec::new();
    }
    // Both ends go to the cut lines.
    let end = |from: Vec2, to: Vec2, name: EdgeName| {
        let cut = cuts.iter().find(|c| c.edge.name == name && !closed.contains(&name))?;
        let out = to - from;
        // A sloped rim may lie further beyond its strip than the strip is tall.
        let line = Seg::line(from, to + out * 4.0);
        let hits = cross::along(&cut.path, &line).into_iter().map(|(_, c)| c.at);
        hits.min_by(|a, b| a.distance_squared(to).total_cmp(&b.distance_squared(to)))
    };
    let n = points.len();
    let (p0, p1, q1, q0) = (points[0], points[1], points[n - 2], points[n - 1]);
    points[0] = end(p1, p0, EdgeName::Lower).unwrap_or(p0);
    points[n - 1] = end(q1, q0, EdgeName::Upper).unwrap_or(q0);
    let outlines: Vec<&Path> = holes.iter().map(|h| &h.outline).collect();
    let outside = |p: Vec2| !outlines.iter().any(|o| ring::contains(o, p));
    let parts = clip(&Path::polyline(&points), &outlines, outside);
    parts.into_iter().map(|path| Mark { operation: Operation::Centre, path, about: About::Centre }).collect()
}

/// The rule whose normal faces away from `seam`: where a wall is there, it is one of those of its panel. On a straight side
/// that faces there it is its middle; a hollow wall faces there more than once, and the outermost is meant.
fn opposite(rules: &[&flat::Ruling], seam: f64) -> Option<(Vec2, Vec2)> {
    let (first, last) = (rules.first()?.rule.phi, rules.last()?.rule.phi);
    let middle = 0.5 * (first + last);
    let phi = middle + cross::signed(seam + num::PI - middle);
    let reach = |i: usize| rules[i].rule.h0 + rules[i].rule.h1;
    let faces = |i: &usize| (rules[*i].rule.phi - phi).abs() <= 1e-9;
    // From rule to rule of one side, and how far out that is.
    let mut best: Option<(usize, usize, f64)> = None;
    let mut i = 0;
    while i < rules.len() {
        let end = (i..rules.len()).take_while(faces).last();
        if let Some(end) = end.filter(|_| best.is_none_or(|b| reach(i) > b.2 + 1e-6)) {
            best = Some((i, end, reach(i)));
        }
        i = end.unwrap_or(i) + 1;
    }
    let (from, to, _) = best?;
    let (a, b) = (rules[from], rules[to]);
    Some(((a.foot + b.foot) * 0.5, (a.head + b.head) * 0.5))
}

/// A point so near to a line is on it, mm.
const SAME: f64 = 1e-3;

/// The stretches of `path` between its crossings with `cutters` that are to be kept, as their middles are or another place of them.
pub(super) fn clip(path: &Path, cutters: &[&Path], keep: impl Fn(Vec2) -> bool) -> Vec<Path> {
    let mut parts: Vec<Path> = Vec::new();
    let mut open = false;
    for seg in &path.segs {
        let one = Path { segs: vec![*seg] };
        let mut cuts = vec![0.0, 1.0];
        for cutter in cutters {
            for other in &cutter.segs {
                cuts.extend(crossings(seg, other).into_iter().map(|c| c.first.clamp(0.0, 1.0)));
                // What runs along the path crosses it nowhere: it begins and ends there.
                let ends = [other.a, other.b].map(|p| (seg.nearest(p), p));
                cuts.extend(ends.iter().filter(|((at, _), p)| at.distance(*p) <= SAME).map(|((_, share), _)| *share));
            }
        }
        cuts.sort_by(f64::total_cmp);
        for w in cuts.windows(2) {
            if (w[1] - w[0]) * seg.length() <= 1e-6 {
                continue;
            }
            // A hole may touch it in its middle.
            if ![0.5, 0.3].into_iter().any(|share| keep(seg.at(w[0] + share * (w[1] - w[0])))) {
                open = false;
                continue;
            }
            let part = stretch(&one, (0, w[0]), (0, w[1]));
            match parts.last_mut() {
                Some(last) if open => last.segs.extend(part.segs),
                _ => parts.push(part),
            }
            open = true;
        }
    }
    parts
}
