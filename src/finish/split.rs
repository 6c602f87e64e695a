//! Whether a piece fits its sheet, and the one straight cut that makes two of it. Works in the flat's frame, before
//! rounding, so both halves have the same cut line.

use super::Draft;
use super::errors::Whole;
use super::marks::{across_cut, clip};
use super::places::ARM;
use crate::geom::cross;
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, left_of, rect, tol, unit};
use crate::ids::JointId;
use crate::piece::{Hole, Operation, Run, SHEET_BORDER, Split};
use crate::solid::{EdgeName, Goods, Grain, Job, Stock};

/// A split stays this far from holes, notches and corners, mm.
const CLEAR: f64 = 10.0;
/// And this far from the ends of a cross's strokes, mm.
const BESIDE: f64 = 0.2;
/// Pieces turn freely on goods without grain: how many steps of a half turn are tried besides the hull's sides.
const TURNS: usize = 180;

/// Room for a piece: the longer and the shorter length, mm. The grain runs along the longer one (sheets) or along the
/// roll.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheet {
    pub long: f64,
    pub wide: f64,
}

impl Sheet {
    /// What the stock's sheet leaves inside its border, or the cutter's bed when that is smaller and the cutter gets
    /// through. Goods too thick for the cutter are cut by hand, as is everything without a cutter's bed.
    pub(super) fn of(stock: &Stock, job: &Job) -> Self {
        let (mut long, mut wide) = match stock.size {
            Goods::Sheet(s) => (s.x.max(s.y), s.x.min(s.y)),
            Goods::Roll(wide) => (f64::INFINITY, wide),
        };
        if let Some(c) = &job.cutter
            && c.sort != "hand"
            && c.deepest.is_none_or(|d| stock.thick <= d)
        {
            let (bed_long, bed_wide) = (c.size.x.max(c.size.y), c.size.x.min(c.size.y));
            if long.is_finite() {
                long = long.min(bed_long);
                wide = wide.min(bed_wide);
            } else {
                // A roll lies across the bed either way.
                let across = if wide <= bed_wide { bed_long } else { bed_wide };
                wide = wide.min(bed_long);
                long = across;
            }
        }
        Self { long: long - 2.0 * SHEET_BORDER, wide: wide - 2.0 * SHEET_BORDER }
    }

    pub(super) fn words(&self) -> String {
        let mm = |x: f64| format!("{}", (x * 10.0).round() / 10.0);
        if self.long.is_finite() {
            format!("{} by {} mm inside a border of {SHEET_BORDER} mm", mm(self.long), mm(self.wide))
        } else {
            format!("a width of {} mm inside a border of {SHEET_BORDER} mm", mm(self.wide))
        }
    }

    /// Whether an outline fits: turned freely, or with its grain along the sheet's.
    pub(super) fn takes(&self, outline: &Path, grain: Grain, up: Vec2) -> bool {
        // What lies in a rectangle has no more than its area, and reaches no farther any way than its diagonal.
        let Some((low, high)) = outline.bounds() else { return true };
        if (high - low).max_element() > crate::num::hypot(self.long, self.wide)
            || outline.area().abs() > self.long * self.wide
        {
            return false;
        }
        let hull = rect::hull(&outline.flattened(0.01));
        let fits = |u: Vec2| {
            let (a, b, _) = rect::extents(&hull, u);
            a <= self.long && b <= self.wide
        };
        match grain {
            Grain::Along => fits(up),
            Grain::Either => fits(up) || fits(left_of(up)),
            Grain::None => {
                let turns = || (0..TURNS).map(|i| unit(crate::num::PI * i as f64 / TURNS as f64));
                // Turned by an angle it grows no narrower than by the chord of that on its greatest length: what is too wide
                // by more at every place looked at is too wide between them, however many sides it has.
                let gives = 0.5 * crate::num::PI / TURNS as f64 * crate::num::hypot(high.x - low.x, high.y - low.y);
                let narrowest = turns().map(|u| rect::extents(&hull, u).1).fold(f64::INFINITY, f64::min);
                if narrowest - gives > self.wide.min(self.long) {
                    return false;
                }
                let n = hull.len();
                let sides = (0..n).map(|i| (hull[(i + 1) % n] - hull[i]).normalize_or_zero());
                sides.chain(turns()).any(|u| u != Vec2::ZERO && (fits(u) || fits(left_of(u))))
            }
        }
    }
}

/// Two halves of `draft` that fit, by the straight cut nearest to its middle that is square to the long direction of
/// its least rectangle and keeps clear of what is on it.
pub(super) fn halves(
    draft: &Draft,
    sheet: &Sheet,
    grain: Grain,
    up: Vec2,
    joint: JointId,
) -> Result<[Draft; 2], Whole> {
    let outline = draft.outline();
    let Some(rect) = rect::least(&outline.flattened(0.1)) else { return Err(Whole::NoPlace) };
    let along = left_of(rect.along);
    let taken = taken(draft, rect.middle, along);
    let mut found = false;
    let steps = ((rect.long * 0.35 / 5.0).floor() as usize).min(400);
    for k in 0..=2 * steps {
        let side = if k % 2 == 1 { 1.0 } else { -1.0 };
        let at = rect.middle + rect.along * (5.0 * side * k.div_ceil(2) as f64);
        if !clear(draft, &taken, (rect.middle, at), along) {
            continue;
        }
        let Some(parted) = Parted::new(draft, at, along) else { continue };
        found = true;
        // Holes and marks are shared out where both halves fit, and not at every place that is tried.
        if [0, 1].into_iter().all(|half| sheet.takes(&parted.outline(half), grain, up)) {
            return Ok(parted.halves(draft, joint));
        }
    }
    Err(if found { Whole::HalfTooLarge } else { Whole::NoPlace })
}

/// From where to where each hole reaches, square to the direction `along`, counted from `middle`.
fn taken(draft: &Draft, middle: Vec2, along: Vec2) -> Vec<(f64, f64)> {
    let reach = |h: &Hole| {
        let sides = h.outline.flattened(0.1).into_iter().map(|p| along.perp_dot(p - middle));
        sides.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| (low.min(d), high.max(d)))
    };
    draft.holes.iter().map(reach).collect()
}

/// Holes, notches and corners keep their distance from the line through `at`, and it goes through no cross.
fn clear(draft: &Draft, taken: &[(f64, f64)], (middle, at): (Vec2, Vec2), along: Vec2) -> bool {
    let away = |p: Vec2| along.perp_dot(p - at);
    let here = along.perp_dot(at - middle);
    let holes = taken.iter().all(|(low, high)| low - here >= CLEAR || high - here <= -CLEAR);
    let notches = draft
        .marks
        .iter()
        .filter(|m| m.operation == Operation::Notch)
        .filter_map(|m| m.path.start())
        .all(|p| away(p).abs() >= CLEAR);
    // What is pricked through is told by both strokes: one that is cut in two tells nothing.
    let whole = |s: &Seg| away(s.a) * away(s.b) > 0.0 && away(s.a).abs().min(away(s.b).abs()) >= BESIDE;
    let crosses = draft
        .marks
        .iter()
        .filter(|m| m.operation == Operation::Place && m.path.length() <= 2.0 * ARM + tol::SAME)
        .all(|m| m.path.segs.iter().all(whole));
    let corners =
        draft.runs.len() < 2 || draft.runs.iter().filter_map(|r| r.path.start()).all(|p| away(p).abs() >= CLEAR);
    holes && notches && crosses && corners
}

/// An outline cut along a line: what each half has of it, run by run, and where the line crosses it.
struct Parted {
    chains: [Vec<(usize, Seg)>; 2],
    ends: [Vec2; 2],
}

impl Parted {
    /// The draft's outline cut along the line through `at`; `None` unless the line crosses it exactly twice.
    fn new(draft: &Draft, at: Vec2, direction: Vec2) -> Option<Self> {
        let far = 1e5;
        let line = Seg::line(at - direction * far, at + direction * far);
        let pieces: Vec<(usize, Seg)> =
            draft.runs.iter().enumerate().flat_map(|(r, run)| run.path.segs.iter().map(move |s| (r, *s))).collect();
        let outline = Path { segs: pieces.iter().map(|p| p.1).collect() };
        let hits = cross::along(&outline, &line);
        let [(i, c), (j, d)] = hits.as_slice() else { return None };
        let n = pieces.len();
        let chain = |from: (usize, f64, Vec2), to: (usize, f64, Vec2)| -> Vec<(usize, Seg)> {
            let mut out: Vec<(usize, Seg)> = Vec::new();
            let mut push = |run: usize, seg: Seg, lo: f64, hi: f64| {
                if (hi - lo) * seg.length() > 1e-6 {
                    out.push((run, if lo == 0.0 && hi == 1.0 { seg } else { seg.part(lo, hi) }));
                }
            };
            if from.0 == to.0 && from.1 < to.1 {
                push(pieces[from.0].0, pieces[from.0].1, from.1, to.1);
            } else {
                push(pieces[from.0].0, pieces[from.0].1, from.1, 1.0);
                let mut k = (from.0 + 1) % n;
                while k != to.0 {
                    push(pieces[k].0, pieces[k].1, 0.0, 1.0);
                    k = (k + 1) % n;
                }
                push(pieces[to.0].0, pieces[to.0].1, 0.0, to.1);
            }
            if let Some(first) = out.first_mut() {
                first.1.a = from.2;
            }
            if let Some(last) = out.last_mut() {
                last.1.b = to.2;
            }
            out
        };
        let (p, q) = ((*i, c.first, c.at), (*j, d.first, d.at));
        // The half that holds the outline's beginning comes first.
        Some(Self { chains: [chain(q, p), chain(p, q)], ends: [p.2, q.2] })
    }

    /// Where the cut of a half runs from and to.
    fn cut(&self, half: usize) -> (Vec2, Vec2) {
        (self.ends[half], self.ends[1 - half])
    }

    fn outline(&self, half: usize) -> Path {
        let (from, to) = self.cut(half);
        let chain = self.chains[half].iter().map(|(_, seg)| *seg);
        Path { segs: chain.chain([Seg::line(from, to)]).collect() }
    }

    fn halves(&self, draft: &Draft, joint: JointId) -> [Draft; 2] {
        [0, 1].map(|half| {
            let (from, to) = self.cut(half);
            one(draft, &self.chains[half], from, to, joint, half + 1)
        })
    }
}

/// One half: the outline's chain, closed by the cut from `from` to `to` with the half on its left.
fn one(draft: &Draft, chain: &[(usize, Seg)], from: Vec2, to: Vec2, joint: JointId, number: usize) -> Draft {
    let stretches = chain.chunk_by(|a, b| a.0 == b.0);
    let run = |segs: &[(usize, Seg)]| {
        let of = &draft.runs[segs[0].0];
        Run { edge: of.edge, turn: of.turn, path: Path { segs: segs.iter().map(|s| s.1).collect() } }
    };
    let mut runs: Vec<Run> = stretches.map(run).collect();
    let along = (to - from).normalize_or_zero();
    runs.push(Run::of(None, Path { segs: vec![Seg::line(from, to)] }));
    let inside = |p: Vec2| along.perp_dot(p - from) > 0.0;
    let line = Path { segs: vec![Seg::line(from - along * 1e5, to + along * 1e5)] };
    let mut marks = Vec::new();
    for mark in &draft.marks {
        let parts = clip(&mark.path, &[&line], inside);
        marks.extend(parts.into_iter().map(|path| crate::piece::Mark { path, ..mark.clone() }));
    }
    let holes = draft.holes.iter().filter(|h| h.outline.start().is_some_and(inside)).cloned().collect();
    let mut out = Draft {
        runs,
        holes,
        marks,
        traces: super::traces::halved(&draft.traces, &line, inside),
        spine: draft.spine.iter().copied().filter(|line| inside(line.from.midpoint(line.to))).collect(),
        split: Some(Split { at: from, along, half: number, joint }),
        wholes: [EdgeName::Lower, EdgeName::End, EdgeName::Upper, EdgeName::Begin, EdgeName::Outline]
            .into_iter()
            .chain(draft.runs.iter().filter_map(|r| r.edge).filter(|e| matches!(e, EdgeName::Side(_))))
            .map(|edge| (edge, draft.share_of(edge)))
            .collect(),
    };
    // Both halves' ticks are counted from the same end of the cut.
    let (start, end) = if number == 1 { (from, to) } else { (to, from) };
    let outline = out.outline();
    out.marks.extend(across_cut(&outline, start, end, left_of(along), joint));
    out
}

/// Lengths of the least rectangle round an outline.
pub(super) fn size(outline: &Path) -> Vec2 {
    rect::least(&outline.flattened(0.1)).map_or(Vec2::ZERO, |r| Vec2::new(r.long, r.wide))
}
