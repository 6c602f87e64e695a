//! Curves as chains of lines and true arcs. Exact arcs (circular cones) stay exact; straight sides stay straight;
//! whatever else is fitted by pairs of arcs that keep the direction at both ends, halved until every curve of a
//! bundle is within `tol::ARC_FIT` and its share of `tol::EDGE_LENGTH_FIT`. All curves of a bundle get the same knots.
//!
//! A pair of arcs between `P0, T0` and `P1, T1` has equal tangent lengths `d`, the root of
//! `v·v − 2d v·(T0 + T1) − 2d² (1 − T0·T1) = 0`, `v = P1 − P0`; the arcs meet in the middle of `P0 + d T0` and
//! `P1 − d T1` (K. M. Bolton, Biarc curves, Computer-Aided Design 7(2), 1975).

use super::path::{Path, Seg};
use super::walk::{Leg, Place, Walk};
use super::{Vec2, tol};
use crate::num::{self, GAUSS8};

/// A stretch of a curve that is fitted in one way. Places ascend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Run {
    Line {
        from: Place,
        to: Place,
    },
    /// One circular arc that turns by `sweep` (counter-clockwise positive); beyond half a turn with its middle.
    Arc {
        from: Place,
        to: Place,
        sweep: f64,
        half: Option<Place>,
    },
    /// Within one leg.
    Free {
        from: Place,
        to: Place,
    },
    /// The same of a curve that bends although the wall may not.
    Figured {
        from: Place,
        to: Place,
    },
}

/// What a fit must keep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Largest distance from the curve, mm.
    pub distance: f64,
    /// Largest difference of the summed length of a curve `long` mm long.
    pub length: f64,
    pub long: f64,
    /// Largest mean distance to one side, as a share of `long`: an area keeps its share of the whole.
    pub lean: f64,
}

/// A panel's area is to be right within 1e-5 of itself; with this mean distance of its rims it is for every panel
/// that is at least a tenth as tall as it is long.
const LEAN: f64 = 5e-7;

impl Limits {
    /// The budget of `tol` for an edge about `long` mm long.
    #[must_use]
    pub fn edge(long: f64) -> Self {
        Self { distance: tol::ARC_FIT, length: tol::EDGE_LENGTH_FIT, long, lean: LEAN }
    }
}

/// A curve of a bundle: point and velocity (by the share of the leg) at a place.
pub type Eval<'a> = &'a dyn Fn(Place) -> (Vec2, Vec2);

/// A curve to fit, and the stretches of it that are wanted, in order (see [`super::trim`]).
pub struct Wanted<'a> {
    pub at: Eval<'a>,
    pub kept: Vec<(Place, Place)>,
}

impl core::fmt::Debug for Wanted<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Wanted").field("kept", &self.kept).finish_non_exhaustive()
    }
}

impl Wanted<'_> {
    /// The wanted parts of a stretch.
    fn within(&self, from: Place, to: Place) -> impl Iterator<Item = (Place, Place)> {
        self.kept.iter().filter_map(move |&(a, b)| {
            let (a, b) = (if a > from { a } else { from }, if b < to { b } else { to });
            (a < b).then_some((a, b))
        })
    }
}

/// Fitted curves, and the knots that were needed.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// For each curve, for each run, its segments; a run that has no length has none.
    pub curves: Vec<Vec<Path>>,
    /// Inner knots of free runs.
    pub knots: Vec<Place>,
}

impl Fitted {
    /// Curve `i` as one chain.
    #[must_use]
    pub fn path(&self, i: usize) -> Path {
        joined(self.curves[i].iter())
    }
}

/// Chains run after run, closing gaps below what is written: where a curve that runs back is cut at its crossing, both
/// sides of it are found each by itself.
pub fn joined<'p>(parts: impl Iterator<Item = &'p Path>) -> Path {
    let mut path = Path::default();
    for part in parts {
        for seg in &part.segs {
            let a = path.end().filter(|e| (*e - seg.a).length() < tol::ROUNDING).unwrap_or(seg.a);
            path.segs.push(Seg { a, ..*seg });
        }
    }
    path
}

/// How often a leg may be halved: far below what can be cut, so the bound is never the reason for a misfit.
const HALVINGS: u32 = 30;
/// Most pieces of one run; an edge of a metre needs some dozens.
const PIECES: usize = 4000;
/// The places between two knots at which a fit is measured see this share of the largest distance.
const SEEN: f64 = 0.8;
/// An arc that rises less than this over its chord is a line, mm: a tenth of the rounding.
const FLAT: f64 = 0.1 * tol::ROUNDING;

/// Fits the curves run by run. `forced` are normals at which free runs get a knot in any case.
#[must_use]
pub fn fit(walk: &Walk, curves: &[Wanted], runs: &[Run], forced: &[f64], limits: &Limits) -> Fitted {
    let mut out = Fitted { curves: vec![Vec::with_capacity(runs.len()); curves.len()], knots: Vec::new() };
    let forced: Vec<Place> = forced.iter().flat_map(|&phi| walk.at_normal(phi)).collect();
    for run in runs {
        match *run {
            Run::Line { from, to } => {
                for (curve, parts) in curves.iter().zip(&mut out.curves) {
                    let line = |(a, b): (Place, Place)| Seg::line((curve.at)(a).0, (curve.at)(b).0);
                    parts.push(chain(&curve.within(from, to).map(line).collect::<Vec<_>>()));
                }
            }
            Run::Arc { from, to, sweep, half } => {
                // One slope all along: the flat turns in step with the normal.
                let turned = |(a, b): (Place, Place)| walk.rule(b).phi - walk.rule(a).phi;
                let whole = turned((from, to));
                for (curve, parts) in curves.iter().zip(&mut out.curves) {
                    let mut segs: Vec<Seg> = Vec::new();
                    for (a, b) in curve.within(from, to) {
                        let half = half.filter(|h| *h > a && *h < b);
                        let places: Vec<Place> = [Some(a), half, Some(b)].into_iter().flatten().collect();
                        segs.extend(places.windows(2).map(|w| {
                            let bulge = num::tan(0.25 * sweep * turned((w[0], w[1])) / whole);
                            straightened(Seg { a: (curve.at)(w[0]).0, b: (curve.at)(w[1]).0, bulge })
                        }));
                    }
                    parts.push(chain(&segs));
                }
            }
            Run::Free { from, to } | Run::Figured { from, to } => {
                let mut knots: Vec<f64> = forced
                    .iter()
                    .filter(|p| p.leg == from.leg && p.t > from.t + 1e-9 && p.t < to.t - 1e-9)
                    .map(|p| p.t)
                    .collect();
                knots.sort_by(f64::total_cmp);
                knots.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
                let figured = matches!(run, Run::Figured { .. });
                free(walk, curves, (from, to), (&knots, figured), limits, &mut out);
            }
        }
    }
    out
}

/// Halves a free run until every curve fits.
fn free(
    walk: &Walk,
    curves: &[Wanted],
    (from, to): (Place, Place),
    (forced, figured): (&[f64], bool),
    limits: &Limits,
    out: &mut Fitted,
) {
    let leg = from.leg;
    let mut bounds = vec![from.t];
    bounds.extend_from_slice(forced);
    bounds.push(to.t);
    let mut todo: Vec<(f64, f64, u32)> = bounds.windows(2).rev().map(|w| (w[0], w[1], 0)).collect();
    let mut segs: Vec<Vec<Seg>> = vec![Vec::new(); curves.len()];
    let mut done = 0;
    while let Some((t0, t1, depth)) = todo.pop() {
        let anyhow = depth >= HALVINGS || done >= PIECES;
        let place = |t: f64| Place { leg, t };
        let pieces: Option<Vec<Vec<Seg>>> = curves
            .iter()
            .map(|curve| {
                let mut segs = Vec::new();
                for (a, b) in curve.within(place(t0), place(t1)) {
                    segs.extend(piece(walk, curve.at, leg, (a.t, b.t), limits, (anyhow, figured))?);
                }
                Some(segs)
            })
            .collect();
        match pieces {
            Some(pieces) => {
                done += 1;
                for (all, piece) in segs.iter_mut().zip(pieces) {
                    all.extend(piece);
                }
                if t1 < to.t {
                    out.knots.push(Place { leg, t: t1 });
                }
            }
            None => {
                let mid = 0.5 * (t0 + t1);
                todo.push((mid, t1, depth + 1));
                todo.push((t0, mid, depth + 1));
            }
        }
    }
    for (parts, segs) in out.curves.iter_mut().zip(&segs) {
        parts.push(chain(segs));
    }
}

/// One pair of arcs (or what is less) for `t0..t1`, when it is good enough.
fn piece(
    walk: &Walk,
    curve: Eval,
    leg: usize,
    (t0, t1): (f64, f64),
    limits: &Limits,
    (anyhow, figured): (bool, bool),
) -> Option<Vec<Seg>> {
    let at = |t: f64| curve(Place { leg, t });
    let ((p0, v0), (p1, v1)) = (at(t0), at(t1));
    // What hardly turns is straight, `L Δφ/8` at most from its chord. At the flat place of a full oval millimetres pass
    // within the last digit of φ, so there is nothing finer to look at.
    let turned = (walk.rule(Place { leg, t: t1 }).phi - walk.rule(Place { leg, t: t0 }).phi).abs();
    if !figured && turned < 0.01 && turned * (p1 - p0).length() < FLAT {
        return Some(vec![Seg::line(p0, p1)]);
    }
    let half = 0.5 * (t1 - t0);
    let inner = GAUSS8.map(|(x, w)| {
        let (p, v) = at(t0 + half * (1.0 + x));
        (p, v.length() * w * half, 0.5 * (p - p0).perp_dot(v) * w * half)
    });
    let long: f64 = inner.iter().map(|i| i.1).sum();
    if long < tol::SAME {
        return Some(Vec::new());
    }
    // Where the curve is at rest in its end (a rim drawn together), its chord shows the direction.
    let direction = |v: Vec2| if v.length() > 1e-9 * long { v } else { p1 - p0 }.normalize_or_zero();
    let segs = match biarc(p0, direction(v0), p1, direction(v1)) {
        Some(segs) => segs,
        None if anyhow => return Some(vec![Seg::line(p0, p1)]),
        None => return None,
    };
    if anyhow {
        return Some(segs);
    }
    let near = inner
        .iter()
        .all(|(p, ..)| segs.iter().map(|s| distance(s, *p)).fold(f64::INFINITY, f64::min) <= SEEN * limits.distance);
    let summed: f64 = segs.iter().map(Seg::length).sum();
    let share = 0.9 * limits.length * (long / limits.long.max(long)).max(1e-3);
    let area: f64 = inner.iter().map(|i| i.2).sum();
    // Both are closed by the chord from p1 back to p0, where p0 is the origin.
    let taken = Path { segs: segs.clone() }.area();
    let fair = (taken - area).abs() <= limits.lean * limits.long.max(long) * long;
    (near && fair && (summed - long).abs() <= share).then_some(segs)
}

/// Two arcs with equal tangent lengths; one where they have one radius; `None` where the directions leave no such
/// pair that turns less than half round.
fn biarc(p0: Vec2, t0: Vec2, p1: Vec2, t1: Vec2) -> Option<Vec<Seg>> {
    let v = p1 - p0;
    let along = v.dot(t0 + t1);
    let root = (along * along + 2.0 * (1.0 - t0.dot(t1)) * v.length_squared()).sqrt();
    let d = v.length_squared() / (along + root);
    if !(d.is_finite() && d > 0.0) || v.dot(t0) <= 0.0 || v.dot(t1) <= 0.0 {
        return None;
    }
    let joint = (p0 + t0 * d + p1 - t1 * d) * 0.5;
    let (c0, c1) = (joint - p0, p1 - joint);
    // tan of half the angle between tangent and chord.
    let b0 = t0.perp_dot(c0) / (c0.length() + t0.dot(c0));
    let b1 = c1.perp_dot(t1) / (c1.length() + c1.dot(t1));
    let (s0, s1) = (Seg { a: p0, b: joint, bulge: b0 }, Seg { a: joint, b: p1, bulge: b1 });
    let (k0, k1) = (curvature(&s0), curvature(&s1));
    if (k0 - k1).abs() <= 1e-9 * k0.abs().max(k1.abs()) {
        return Some(vec![straightened(Seg { a: p0, b: p1, bulge: num::tan(0.25 * (s0.sweep() + s1.sweep())) })]);
    }
    Some(vec![straightened(s0), straightened(s1)])
}

fn curvature(s: &Seg) -> f64 {
    4.0 * s.bulge / ((s.b - s.a).length() * (1.0 + s.bulge * s.bulge))
}

/// A line in place of an arc that is straight for every purpose.
fn straightened(s: Seg) -> Seg {
    let rise = 0.5 * s.bulge.abs() * (s.b - s.a).length();
    if rise < FLAT { Seg::line(s.a, s.b) } else { s }
}

/// A chain of segments that each begin where the last one ended; those without length are left out.
fn chain(segs: &[Seg]) -> Path {
    let mut path = Path::default();
    for s in segs {
        let a = path.end().unwrap_or(s.a);
        if (s.b - a).length() >= tol::SAME {
            path.segs.push(Seg { a, ..*s });
        }
    }
    path
}

/// The distance of `p` from a line or an arc.
#[must_use]
pub fn distance(s: &Seg, p: Vec2) -> f64 {
    let ends = (p - s.a).length().min((p - s.b).length());
    match s.centre() {
        None => {
            let run = s.b - s.a;
            let share = ((p - s.a).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
            (p - s.a - run * share).length()
        }
        Some(centre) => {
            let (from, to) = (s.a - centre, p - centre);
            let turn = num::atan2(from.perp_dot(to), from.dot(to));
            let along = num::wrap(if s.bulge > 0.0 { turn } else { -turn }, num::TAU);
            if along <= s.sweep().abs() { (to.length() - s.radius()).abs() } else { ends }
        }
    }
}

/// The runs of a whole leg-by-leg curve that has no arcs to keep.
#[must_use]
pub fn free_runs(walk: &Walk) -> Vec<Run> {
    walk.legs()
        .iter()
        .enumerate()
        .map(|(leg, one)| {
            let (from, to) = (Place { leg, t: 0.0 }, Place { leg, t: 1.0 });
            match one {
                Leg::Side { .. } => Run::Line { from, to },
                Leg::Turn { .. } => Run::Free { from, to },
            }
        })
        .collect()
}
