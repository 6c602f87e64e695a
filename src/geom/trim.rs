//! Which parts of a curve along a walk are cut: a rim runs back on itself where a side of one section faces a point of
//! the other, since beyond the measured face's rim the parallel surface narrows past nothing; so it does at the flat
//! place of a full oval. There the parts before and after cross (the swallowtail of a parallel curve), and the cut goes
//! from one to the other at the crossing.

use super::fit::Eval;
use super::path::Seg;
use super::walk::{Leg, Place, Walk};
use super::{Vec2, tol};
use crate::num;

/// A stretch of a walk.
pub type Span = (Place, Place);

/// What bounds a curve.
#[derive(Clone, Copy, Debug)]
pub enum Ends<'a> {
    /// It is a whole closed curve: its end meets its start.
    Closed,
    /// It runs from one line to another.
    Lines(&'a Seg, &'a Seg),
}

/// Looks on a turn for places where the curve turns back.
const LOOKS: u32 = 32;
/// Looks nearer to its ends, each at a quarter of the one before: beside the flat place of a full oval, which ends a turn,
/// the curve may run back some hundredths of a millimetre in less than a step.
const NEARER: u32 = 6;
/// Normals closer to that at a turn's end than this, radians, do not tell how the section bends there.
const TOLD: f64 = 1e-12;

/// The shares of a turn that are looked at, in order, and how much nearer to its ends than every step.
fn looks() -> impl Iterator<Item = (u32, f64)> {
    let middle = |i: u32| (f64::from(i) + 0.5) / f64::from(LOOKS);
    let nearer = move |i: u32| middle(0) / f64::from(1_u32 << (2 * i));
    let start = (1..=NEARER).rev().map(move |i| (i, nearer(i)));
    let end = (1..=NEARER).map(move |i| (i, 1.0 - nearer(i)));
    start.chain((0..LOOKS).map(move |i| (0, middle(i)))).chain(end)
}

/// A curve along a walk, and the direction in which it runs on at a place.
#[derive(Clone, Copy)]
pub struct Curve<'a> {
    pub walk: &'a Walk,
    pub at: Eval<'a>,
    pub ahead: &'a dyn Fn(Place) -> Vec2,
}

impl core::fmt::Debug for Curve<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Curve").field("walk", self.walk).finish_non_exhaustive()
    }
}

/// A stretch on which the curve runs one way.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    span: Span,
    forward: bool,
}

impl Curve<'_> {
    /// A place by one number: leg and share.
    fn place(&self, u: f64) -> Place {
        let leg = (u.max(0.0) as usize).min(self.walk.legs().len() - 1);
        Place { leg, t: u - leg as f64 }
    }

    /// The same within a stretch: where one leg ends and the next begins the curve may jump, and a number tells only
    /// the next leg's start.
    fn place_in(&self, (from, to): Span, u: f64) -> Place {
        match u {
            u if u <= number(from) => from,
            u if u >= number(to) => to,
            u => self.place(u),
        }
    }

    /// What is cut of the curve between two places, in order. All of it where it nowhere turns back.
    #[must_use]
    pub fn kept(&self, (from, to): Span, ends: Ends) -> Vec<Span> {
        let stretches = self.stretches((from, to));
        if stretches.iter().all(|s| s.forward) {
            return vec![(from, to)];
        }
        let closed = matches!(ends, Ends::Closed);
        let mut forward: Vec<Span> = stretches.iter().filter(|s| s.forward).map(|s| s.span).collect();
        let (Some(first), Some(last)) = (stretches.first(), stretches.last()) else { return forward };
        let (mut begun, mut ended) = (first.forward, last.forward);
        if let Ends::Lines(begin, end) = ends {
            // What stands in a point is nothing to meet where a line cuts what comes next to it.
            while forward.len() > 1 && self.is_point(forward[0]) && self.on_line(forward[1], begin).is_some() {
                forward.remove(0);
                begun = false;
            }
            while let [.., before, last] = forward[..]
                && self.is_point(last)
                && self.on_line(before, end).is_some()
            {
                forward.pop();
                ended = false;
            }
        }
        let mut kept: Vec<Span> = Vec::new();
        for span in forward {
            self.append(&mut kept, span, closed);
        }
        match ends {
            Ends::Lines(begin, end) => {
                if let (false, Some(span)) = (begun, kept.first_mut()) {
                    span.0 = self.on_line(*span, begin).unwrap_or(span.0);
                }
                if let (false, Some(span)) = (ended, kept.last_mut()) {
                    span.1 = self.on_line(*span, end).unwrap_or(span.1);
                }
            }
            Ends::Closed => self.close(&mut kept),
        }
        kept
    }

    /// The start and the end of a closed curve cut at their crossing: it may begin anywhere on what runs back.
    fn close(&self, kept: &mut Vec<Span>) {
        while let (Some(&last), Some(&first)) = (kept.last(), kept.first()) {
            if ((self.at)(last.1).0 - (self.at)(first.0).0).length() < tol::SAME {
                return;
            }
            let (a, b, found) = self.crossing(last, first);
            match found {
                Found::Short { before: true } if kept.len() > 1 => {
                    kept.pop();
                    continue;
                }
                Found::Short { before: false } if kept.len() > 1 => {
                    kept.remove(0);
                    continue;
                }
                Found::Crossing | Found::Short { .. } | Found::None => {}
            }
            if let Some(last) = kept.last_mut() {
                last.1 = a;
            }
            kept[0].0 = b;
            return;
        }
    }

    /// Puts a forward stretch behind those that are kept, each cut at their crossing. What a closed curve begins with
    /// may be too short to be met: the end goes on from before it.
    fn append(&self, kept: &mut Vec<Span>, next: Span, closed: bool) {
        while let Some(&last) = kept.last() {
            let (a, b, found) = self.crossing(last, next);
            match found {
                Found::Crossing => {}
                Found::Short { before: true } if closed || kept.len() > 1 => {
                    kept.pop();
                    continue;
                }
                Found::Short { before: false } => return,
                Found::Short { .. } | Found::None => {}
            }
            if let Some(last) = kept.last_mut() {
                last.1 = a;
            }
            kept.push((b, next.1));
            return;
        }
        kept.push(next);
    }

    /// The ways the curve runs, joined where it runs on the same way.
    fn stretches(&self, (from, to): Span) -> Vec<Stretch> {
        let mut out: Vec<Stretch> = Vec::new();
        let mut add = |span: Span, step: f64| {
            // What has no length runs neither way.
            let forward = step > -tol::SAME;
            match out.last_mut() {
                Some(s) if s.forward == forward => s.span.1 = span.1,
                _ => out.push(Stretch { span, forward }),
            }
        };
        let mut end: Option<Vec2> = None;
        for (leg, t0, t1) in super::rim::spans(from, to) {
            let place = |t: f64| Place { leg, t };
            let start = (self.at)(place(t0)).0;
            if let Some(end) = end {
                add((place(t0), place(t0)), (start - end).dot((self.ahead)(place(t0))));
            }
            let finish = (self.at)(place(t1)).0;
            match self.walk.legs()[leg] {
                Leg::Side { .. } => add((place(t0), place(t1)), (finish - start).dot((self.ahead)(place(t0)))),
                Leg::Turn { .. } => {
                    let rate = |t: f64| (self.at)(place(t)).1.dot((self.ahead)(place(t)));
                    let (mut done, mut last, mut before) = (t0, t0, 0.0_f64);
                    let (first, end) = (self.walk.normal(place(t0)), self.walk.normal(place(t1)));
                    let told = |t: f64| {
                        let phi = self.walk.normal(place(t));
                        (phi - first).abs().min((end - phi).abs()) > TOLD
                    };
                    for (i, share) in looks() {
                        let t = t0 + (t1 - t0) * share;
                        if i > 0 && !told(t) {
                            continue;
                        }
                        let now = rate(t);
                        if last > t0 && (now < 0.0) != (before < 0.0) {
                            let cusp = num::root(last, t, 1e-13, rate).unwrap_or(t);
                            add((place(done), place(cusp)), before.signum());
                            done = cusp;
                        }
                        (last, before) = (t, now);
                    }
                    add((place(done), place(t1)), before.signum());
                }
            }
            end = Some(finish);
        }
        out
    }

    fn is_point(&self, (from, to): Span) -> bool {
        (self.at)(from).0.distance((self.at)(to).0) < tol::SAME
    }

    /// Where on a stretch the curve crosses a line.
    fn on_line(&self, (from, to): Span, line: &Seg) -> Option<Place> {
        let way = (line.b - line.a).normalize_or_zero();
        let u = num::root(number(from), number(to), 1e-13, |u| {
            way.perp_dot((self.at)(self.place_in((from, to), u)).0 - line.a)
        })?;
        Some(self.place_in((from, to), u))
    }

    /// The places at which the end of one stretch crosses the start of a later one.
    fn crossing(&self, before: Span, after: Span) -> (Place, Place, Found) {
        let way = (self.ahead)(before.1).normalize_or_zero();
        let (a0, a1) = (number(before.0), number(before.1));
        let (b0, b1) = (number(after.0), number(after.1));
        let origin = (self.at)(before.1).0;
        let off = |span: Span, u: f64| (self.at)(self.place_in(span, u)).0 - origin;
        let x = |span: Span, u: f64| off(span, u).dot(way);
        let y = |span: Span, u: f64| way.perp_dot(off(span, u));
        let (start, end) = (x(after, b0), 0.0);
        if start >= end - tol::SAME {
            return (before.1, after.0, Found::Crossing);
        }
        // Both run on along `way` near the crossing, from `start` up to 0: steps until they have passed these ends.
        let a_low = reach(a1, a0, |u| x(before, u) <= start);
        let b_high = reach(b0, b1, |u| x(after, u) >= end);
        let (low, high) = (start.max(x(before, a_low)), end.min(x(after, b_high)));
        let on = |span: Span, from: f64, to: f64, at: f64| root(from, to, |u| x(span, u) - at);
        let pair = |at: f64| (on(before, a_low, a1, at), on(after, b0, b_high, at));
        let apart = |at: f64| {
            let (a, b) = pair(at);
            y(before, a) - y(after, b)
        };
        let (at_low, at_high) = (apart(low), apart(high));
        let crosses = (at_low < 0.0) != (at_high < 0.0);
        // What passes itself by goes over half-way.
        let (a, b) = pair(if crosses { root(low, high, apart) } else { 0.5 * (low + high) });
        let found = match (crosses, low > start + tol::SAME, high < end - tol::SAME) {
            (true, ..) => Found::Crossing,
            (false, true, true) => Found::Short { before: a1 - a0 < b1 - b0 },
            (false, true, false) => Found::Short { before: true },
            (false, false, true) => Found::Short { before: false },
            (false, false, false) => Found::None,
        };
        (self.place_in(before, a), self.place_in(after, b), found)
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Found {
    Crossing,
    /// One of both ends before the other is met.
    Short {
        before: bool,
    },
    None,
}

fn number(at: Place) -> f64 {
    at.leg as f64 + at.t
}

/// From one end of a stretch in growing steps toward the other until it is far enough.
fn reach(from: f64, to: f64, enough: impl Fn(f64) -> bool) -> f64 {
    let mut share = 1.0 / 1024.0;
    while share < 1.0 {
        let u = from + (to - from) * share;
        if enough(u) {
            return u;
        }
        share *= 2.0;
    }
    to
}

/// A root between two places; the nearer end without a change of sign.
fn root(a: f64, b: f64, f: impl Fn(f64) -> f64) -> f64 {
    num::root(a.min(b), a.max(b), 1e-14, &f).unwrap_or_else(|| if f(a).abs() < f(b).abs() { a } else { b })
}
