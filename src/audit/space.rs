//! A wall's measured face and its parallels in space, by vectors only: a generatrix joins the two sections' points of
//! one outward normal, the wall's normal is the cross product of the sections' tangent and the generatrix, and the
//! parallel at depth `d` is the generatrix moved by `d` along that normal. Nothing here knows a slope formula, so
//! that a fault in one would show.

use crate::geom::section::{Curve, Support};
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec2, Vec3, left_of, tol, unit};
use crate::num::{PI, TAU};

/// One generatrix of the measured face.
#[derive(Clone, Copy, Debug)]
pub struct Gen {
    pub phi: f64,
    pub foot: Vec3,
    pub head: Vec3,
    /// Both sections' tangent.
    pub tangent: Vec3,
    /// The wall's outward normal.
    pub normal: Vec3,
    /// Unit direction up the generatrix.
    pub along: Vec3,
}

impl Gen {
    fn new(phi: f64, n: Vec2, lower: Support, upper: Support, heights: (f64, f64)) -> Self {
        let t = left_of(n);
        let (p, q) = (n * lower.h + t * lower.k, n * upper.h + t * upper.k);
        let (foot, head) = (p.extend(heights.0), q.extend(heights.1));
        let tangent = t.extend(0.0);
        let along = (head - foot).normalize();
        Self { phi, foot, head, tangent, normal: tangent.cross(along).normalize(), along }
    }

    /// The generatrix of a rule as it is written, whatever wall it belongs to.
    pub fn of(rule: &Rule) -> Self {
        let (lower, upper) = (Support { h: rule.h0, k: rule.k0 }, Support { h: rule.h1, k: rule.k1 });
        Self::new(rule.phi, unit(rule.phi), lower, upper, (rule.z0, rule.z1))
    }

    /// The point of the parallel at depth `d` at height `z`.
    pub fn at(&self, z: f64, d: f64) -> Vec3 {
        let p = self.foot + self.normal * d;
        p + self.along * ((z - p.z) / self.along.z)
    }
}

/// A part of the way round a wall.
#[expect(clippy::large_enum_variant, reason = "a few spans a wall")]
#[derive(Clone, Copy, Debug)]
enum Span {
    /// The normal turns from `from` to `to`.
    Arc { from: f64, to: f64, lower: Curve, upper: Curve },
    /// A straight side of one or both sections.
    Side { phi: f64, lower: (Support, Support), upper: (Support, Support) },
}

/// The way once round a strip from the seam. A place on it is a number: the whole part counts spans, the fraction is
/// the share of the span.
#[derive(Clone, Debug)]
pub struct Round {
    pub heights: (f64, f64),
    spans: Vec<Span>,
}

fn mean(a: Support, b: Support) -> Support {
    Support { h: 0.5 * (a.h + b.h), k: 0.5 * (a.k + b.k) }
}

impl Round {
    /// The walk round a strip that begins at its seam; where the seam falls on a side, in the middle of that side.
    pub fn new(strip: &Strip) -> Self {
        let stretches = strip.stretches();
        let mut spans = Vec::with_capacity(stretches.len() * 2);
        for (i, s) in stretches.iter().enumerate() {
            spans.push(Span::Arc { from: s.from, to: s.to, lower: s.lower, upper: s.upper });
            let last = i + 1 == stretches.len();
            let next = &stretches[if last { 0 } else { i + 1 }];
            let lower = (s.lower.support(s.to), next.lower.support(next.from));
            let upper = (s.upper.support(s.to), next.upper.support(next.from));
            let side = |a: (Support, Support)| (a.1.k - a.0.k).abs() > tol::SAME;
            if !(side(lower) || side(upper)) {
                continue;
            }
            if last {
                let (l, u) = (mean(lower.0, lower.1), mean(upper.0, upper.1));
                spans.push(Span::Side { phi: s.to, lower: (lower.0, l), upper: (upper.0, u) });
                spans.insert(0, Span::Side { phi: next.from, lower: (l, lower.1), upper: (u, upper.1) });
            } else {
                spans.push(Span::Side { phi: s.to, lower, upper });
            }
        }
        Self { heights: strip.heights(), spans }
    }

    /// Where the walk ends; it begins at 0.
    pub fn end(&self) -> f64 {
        self.spans.len() as f64
    }

    /// The same way once round, begun with another span.
    pub fn begun_with(&self, span: usize) -> Self {
        let mut spans = self.spans.clone();
        spans.rotate_left(span);
        Self { heights: self.heights, spans }
    }

    /// The generatrix at a place.
    pub fn generatrix(&self, w: f64) -> Gen {
        let i = (w.max(0.0) as usize).min(self.spans.len() - 1);
        let s = w - i as f64;
        match self.spans[i] {
            Span::Arc { from, to, ref lower, ref upper } => {
                let phi = if s == 1.0 { to } else { from + (to - from) * s };
                let n = unit(phi);
                let [lower, upper] = Curve::supports(lower, upper, (n.y, n.x));
                Gen::new(phi, n, lower, upper, self.heights)
            }
            Span::Side { phi, lower, upper } => {
                let mix = |a: (Support, Support)| Support { h: a.0.h, k: a.0.k + (a.1.k - a.0.k) * s };
                Gen::new(phi, unit(phi), mix(lower), mix(upper), self.heights)
            }
        }
    }

    /// Whether the normal never turns back.
    pub fn is_convex(&self) -> bool {
        self.spans.iter().all(|s| !matches!(*s, Span::Arc { from, to, .. } if to < from))
    }

    /// Whether the span at a place is a straight side.
    pub fn is_side(&self, w: f64) -> bool {
        let i = (w.max(0.0) as usize).min(self.spans.len() - 1);
        matches!(self.spans[i], Span::Side { .. })
    }

    /// The first place from `from` on whose generatrix fits the rule best, and how far the rule's ends lie from it
    /// (on the measured face).
    pub fn locate(&self, rule: &Rule, from: f64) -> (f64, f64) {
        let asked = Gen::of(rule);
        let mut best = (from, f64::INFINITY);
        let first = (from.max(0.0) as usize).min(self.spans.len() - 1);
        for (i, span) in self.spans.iter().enumerate().skip(first) {
            let share = match *span {
                Span::Arc { from, to, .. } => {
                    let (lo, hi) = (from.min(to), from.max(to));
                    let turns = ((lo - 1e-9 - rule.phi) / TAU).ceil();
                    let phi = rule.phi + turns * TAU;
                    if phi > hi + 1e-9 || to == from {
                        continue;
                    }
                    ((phi - from) / (to - from)).clamp(0.0, 1.0)
                }
                Span::Side { phi, lower, upper } => {
                    let turn = (rule.phi - phi) / TAU;
                    if (turn - turn.round()).abs() > 1e-9 {
                        continue;
                    }
                    let (l, u) = (lower.1.k - lower.0.k, upper.1.k - upper.0.k);
                    let s = if l.abs() > u.abs() { (rule.k0 - lower.0.k) / l } else { (rule.k1 - upper.0.k) / u };
                    s.clamp(0.0, 1.0)
                }
            };
            let w = i as f64 + share;
            if w < from - 1e-9 {
                continue;
            }
            let g = self.generatrix(w);
            let off = (g.foot - asked.foot).length().max((g.head - asked.head).length());
            if off < best.1 - 1e-7 {
                best = (w, off);
            }
        }
        best
    }

    /// The normal at direction `phi` where the generatrix passes nearest to `point` at its height.
    pub fn normal_at(&self, phi: f64, point: Vec3) -> Vec3 {
        let mut best = (f64::INFINITY, Vec3::Z);
        for (i, span) in self.spans.iter().enumerate() {
            let share = match *span {
                Span::Arc { from, to, .. } => {
                    let (lo, hi) = (from.min(to), from.max(to));
                    let phi = phi + ((lo - 1e-9 - phi) / TAU).ceil() * TAU;
                    if phi > hi + 1e-9 {
                        continue;
                    }
                    ((phi - from) / (to - from)).clamp(0.0, 1.0)
                }
                // The normal is the same all along a side, and the arcs beside it have it at their ends.
                Span::Side { .. } => continue,
            };
            let g = self.generatrix(i as f64 + share);
            let off = (g.at(point.z, 0.0) - point).length();
            if off < best.0 {
                best = (off, g.normal);
            }
        }
        best.1
    }

    /// The place with normal direction `phi` whose generatrix, at depth `d`, passes nearest to `point` at its height;
    /// of equally near ones the first, or (`late`) the last: the seam is both start and end.
    pub fn nearest(&self, phi: f64, point: Vec3, d: f64, late: bool) -> Option<f64> {
        let mut best: Option<(f64, f64)> = None;
        for (i, span) in self.spans.iter().enumerate() {
            let at = |share: f64| self.generatrix(i as f64 + share).at(point.z, d);
            let shares = match *span {
                Span::Arc { from, to, .. } => {
                    let (lo, hi) = (from.min(to), from.max(to));
                    let phi = phi + ((lo - 1e-9 - phi) / TAU).ceil() * TAU;
                    // A direction at both ends of a whole turn is looked at twice.
                    [phi, phi + TAU].map(|p| if p <= hi + 1e-9 { (p - from) / (to - from) } else { f64::NAN })
                }
                Span::Side { phi: there, .. } => {
                    let turn = (phi - there) / TAU;
                    if (turn - turn.round()).abs() > 1e-9 {
                        continue;
                    }
                    let (a, b) = (at(0.0), at(1.0));
                    [(point - a).dot(b - a) / (b - a).length_squared(), f64::NAN]
                }
            };
            for share in shares.into_iter().filter(|s| s.is_finite()).map(|s| s.clamp(0.0, 1.0)) {
                let off = (at(share) - point).length();
                let better = match best {
                    None => true,
                    Some((_, b)) => off < b - 1e-7 || (late && off < b + 1e-7),
                };
                if better {
                    best = Some((i as f64 + share, off));
                }
            }
        }
        best.map(|b| b.0)
    }

    /// The normals at which its arcs begin: those of its straight sides are among them.
    pub fn normals(&self) -> impl Iterator<Item = f64> {
        self.spans.iter().filter_map(|s| match *s {
            Span::Arc { from, .. } => Some(from),
            Span::Side { .. } => None,
        })
    }

    /// How far it reaches in direction `phi` at height `z` and depth `d`, and the cosine of its slope there.
    pub fn reaches(&self, phi: f64, z: f64, d: f64) -> (f64, f64) {
        let n = unit(phi);
        let mut best = (f64::NEG_INFINITY, 1.0);
        for (i, span) in self.spans.iter().enumerate() {
            if let Span::Arc { from, to, .. } = *span {
                let (lo, hi) = (from.min(to), from.max(to));
                let phi = phi + ((lo - 1e-9 - phi) / TAU).ceil() * TAU;
                if phi <= hi + 1e-9 {
                    let share = ((phi - from) / (to - from)).clamp(0.0, 1.0);
                    let g = self.generatrix(i as f64 + share);
                    let reach = g.at(z, d).truncate().dot(n);
                    if reach > best.0 {
                        best = (reach, g.normal.truncate().length());
                    }
                }
            }
        }
        best
    }

    /// The place that faces away from the seam; on a straight side that does, its middle.
    pub fn opposite(&self) -> f64 {
        self.outermost(self.generatrix(0.0).phi + PI).unwrap_or_else(|| self.around(PI).0)
    }

    /// The place that faces `phi`; on a straight side that does, its middle.
    pub fn facing(&self, phi: f64) -> Option<f64> {
        let turn = (phi - self.generatrix(0.0).phi) / TAU;
        // A side at the seam is cut in its middle.
        if (turn - turn.round()).abs() <= 1e-9 { Some(0.0) } else { self.outermost(phi) }
    }

    /// From where to where the walk stands in one point of the section at height `z`: a straight side may come to nothing
    /// there.
    pub fn one_place(&self, w: f64, z: f64) -> (f64, f64) {
        let point = |w: f64| self.generatrix(w).at(z, 0.0);
        let here = point(w);
        let same = |w: f64| (point(w) - here).length() < 1e-6;
        let (mut first, mut last) = (w, w);
        while first > 0.0 && same((first - 1.0).ceil()) {
            first = (first - 1.0).ceil();
        }
        while last < self.end() && same((last + 1.0).floor()) {
            last = (last + 1.0).floor();
        }
        (first, last)
    }

    /// Of the places that face `phi` the outermost, and of such the first: a hollow wall has more than one. A side has
    /// its middle, and goes before the arcs beside it, which are as far out.
    fn outermost(&self, phi: f64) -> Option<f64> {
        let n = unit(phi).extend(0.0);
        let mut best: Option<(f64, f64)> = None;
        for sides in [true, false] {
            for (i, span) in self.spans.iter().enumerate() {
                let share = match *span {
                    Span::Side { phi: there, .. } if sides => {
                        let turn = (phi - there) / TAU;
                        ((turn - turn.round()).abs() <= 1e-9).then_some(0.5)
                    }
                    Span::Arc { from, to, .. } if !sides && from <= to => {
                        let at = phi + ((from - 1e-9 - phi) / TAU).ceil() * TAU;
                        let share = if to > from { ((at - from) / (to - from)).clamp(0.0, 1.0) } else { 0.0 };
                        (at <= to + 1e-9).then_some(share)
                    }
                    _ => None,
                };
                let Some(share) = share else { continue };
                let place = i as f64 + share;
                let g = self.generatrix(place);
                let reach = (g.foot + g.head).dot(n);
                if best.is_none_or(|b| reach > b.1 + 1e-6) {
                    best = Some((place, reach));
                }
            }
        }
        best.map(|b| b.0)
    }

    /// The places between which the normal stands more than `half` away from the seam's direction; of a straight side
    /// that faces just there, its middle.
    pub fn around(&self, half: f64) -> (f64, f64) {
        let (start, end) = (self.generatrix(0.0).phi, self.generatrix(self.end()).phi);
        let (mut from, mut to) = (0.0, self.end());
        for (i, span) in self.spans.iter().enumerate() {
            if let Span::Arc { from: a, to: b, .. } = *span {
                if a <= start + half && start + half <= b && from == 0.0 {
                    from = i as f64 + (start + half - a) / (b - a);
                }
                if a <= end - half && end - half <= b {
                    to = i as f64 + (end - half - a) / (b - a);
                }
            }
        }
        for (i, span) in self.spans.iter().enumerate() {
            if let Span::Side { phi, .. } = *span {
                let middle = i as f64 + 0.5;
                from = if (phi - start - half).abs() <= 1e-9 { middle } else { from };
                to = if (phi - end + half).abs() <= 1e-9 { middle } else { to };
            }
        }
        (from, to)
    }

    /// The ends of spans, where curvature may jump, strictly between `a` and `b`.
    pub fn joints(&self, a: f64, b: f64) -> impl DoubleEndedIterator<Item = f64> {
        let (first, last) = (a.floor() as i64 + 1, b.ceil() as i64 - 1);
        (first..=last).map(|i| i as f64)
    }

    /// The length of the curve `f` from place `a` to place `b`, adaptively: a chord against its two halves, with
    /// their error taken off (Richardson, 1911), until both agree within `tol` for their share. Where the curve runs
    /// back against the walk it counts as taken away: a cut that is trimmed where it crosses itself is as long.
    pub fn length(&self, a: f64, b: f64, tol: f64, f: &dyn Fn(f64) -> Vec3) -> f64 {
        if b < a {
            return -self.length(b, a, tol, f);
        }
        let mut sum = crate::num::Sum::new();
        let ahead = |w: f64| self.generatrix(w).tangent;
        let mut from = a;
        for to in self.joints(a, b).chain([b]) {
            const PARTS: usize = 4;
            let mut w0 = from;
            let mut p0 = f(w0);
            for i in 1..=PARTS {
                let w1 = from + (to - from) * i as f64 / PARTS as f64;
                let p1 = f(w1);
                chord(&mut sum, (w0, p0), (w1, p1), tol, 24, (f, &ahead));
                (w0, p0) = (w1, p1);
            }
            from = to;
        }
        sum.value()
    }

    /// The first place from `from` toward `end` that lies a length `long` away along the curve `f`; `end` when none does.
    /// Where a curve runs back there may be three: it is asked step by step.
    pub fn first_at(&self, (from, end): (f64, f64), long: f64, f: &dyn Fn(f64) -> Vec3) -> f64 {
        let (low, high) = (from.min(end), from.max(end));
        let mut stops: Vec<f64> = vec![low];
        for to in self.joints(low, high).chain([high]) {
            let start = stops[stops.len() - 1];
            stops.extend(self.shares(0.5 * (start + to)).map(|share| start + (to - start) * share));
        }
        if end < from {
            stops.reverse();
        }
        let mut done = 0.0;
        for pair in stops.windows(2) {
            let along = |w: f64| done + self.length(pair[0].min(w), pair[0].max(w), 1e-8, f);
            let next = along(pair[1]);
            if next >= long {
                return crate::num::bisect(pair[0].min(pair[1]), pair[0].max(pair[1]), 0.0, |w| long - along(w))
                    .unwrap_or(pair[1]);
            }
            done = next;
        }
        end
    }

    /// Shares of a span at which it is looked at, up to its end. Where a section is flat in one point a line may run far,
    /// and back, while the normal hardly turns: ends of arcs are looked at more and more closely.
    fn shares(&self, within: f64) -> impl Iterator<Item = f64> {
        const PARTS: usize = 8;
        let arc = !self.is_side(within);
        let even = (1..PARTS).map(|i| i as f64 / PARTS as f64);
        let closer = (1..=CLOSER).filter(move |_| arc).map(|i| 0.5f64.powi(i) / PARTS as f64);
        closer.clone().rev().chain(even).chain(closer.map(|s| 1.0 - s)).chain([1.0])
    }

    /// Points along the curve `f` from `a` to `b` so close that no chord stands off by more than `tol`.
    pub fn points(&self, a: f64, b: f64, tol: f64, f: &dyn Fn(f64) -> Vec3) -> Vec<(f64, Vec3)> {
        let mut out = vec![(a, f(a))];
        let mut from = a;
        for to in self.joints(a, b).chain([b]) {
            let mut w0 = from;
            let mut p0 = f(w0);
            for share in self.shares(0.5 * (from + to)) {
                let w1 = from + (to - from) * share;
                let p1 = f(w1);
                fill(&mut out, (w0, p0), (w1, p1), tol, 16, f);
                (w0, p0) = (w1, p1);
            }
            from = to;
        }
        out
    }
}

/// How often the ends of a span are halved.
const CLOSER: i32 = 24;

type Spot = (f64, Vec3);

/// A curve by places, and the direction of the walk there.
type Ways<'a> = (&'a dyn Fn(f64) -> Vec3, &'a dyn Fn(f64) -> Vec3);

fn chord(sum: &mut crate::num::Sum, a: Spot, b: Spot, tol: f64, depth: u32, f: Ways<'_>) {
    let w = 0.5 * (a.0 + b.0);
    let m = (w, f.0(w));
    let (one, two) = ((b.1 - a.1).length(), (m.1 - a.1).length() + (b.1 - m.1).length());
    // What is no number is not divided further either.
    let gains = two - one;
    if depth == 0 || gains <= tol || gains.is_nan() {
        let long = two + (two - one) / 3.0;
        sum.add(if (b.1 - a.1).dot(f.1(w)) < 0.0 { -long } else { long });
        return;
    }
    chord(sum, a, m, 0.5 * tol, depth - 1, f);
    chord(sum, m, b, 0.5 * tol, depth - 1, f);
}

fn fill(out: &mut Vec<Spot>, a: Spot, b: Spot, tol: f64, depth: u32, f: &dyn Fn(f64) -> Vec3) {
    let w = 0.5 * (a.0 + b.0);
    let m = (w, f(w));
    let off = super::measure::to_chord(m.1, a.1, b.1);
    if depth == 0 || off <= tol || off.is_nan() {
        out.push(b);
        return;
    }
    fill(out, a, m, tol, depth - 1, f);
    fill(out, m, b, tol, depth - 1, f);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::{Curve, Element, Section};

    #[test]
    fn a_parallel_of_a_cone_is_a_cone_moved_by_the_slant() {
        // Flare 10 in 520: the parallel at depth d has its radius at one height grown by d √(1 + (10/520)²).
        let strip = Strip::new(&Section::circle(37.5), 0.0, &Section::circle(47.5), 520.0).expect("a wall");
        let round = Round::new(&strip);
        let at = round.generatrix(1.3).at(0.0, 5.0);
        let radius = at.truncate().length();
        assert!((radius - (37.5 + 5.0 * (1.0 + (10.0 / 520.0f64).powi(2)).sqrt())).abs() < 1e-10, "{radius}");
        assert!(at.z.abs() < 1e-12);
    }

    #[test]
    fn an_ellipse_has_its_length() {
        // 4aE(1 − b²/a²), Abramowitz & Stegun 1964, ch. 17, half-axes 90 and 60.
        let strip = Strip::new(&Section::oval(90.0, 60.0, 2.0), 0.0, &Section::circle(50.0), 100.0).expect("a wall");
        let round = Round::new(&strip);
        let length = round.length(0.0, round.end(), 1e-6, &|w| round.generatrix(w).foot);
        assert!((length - 475.963_187_68).abs() < 1e-4, "{length}");
    }

    #[test]
    fn of_places_at_one_length_the_first_is_meant() {
        // Sides of 30 and 18 mm that have no length above: on the sheet's inner face, 3 mm in, the shorter one runs back
        // there by 3 sin α · 18/25 with tan α = 12/25, and what lies behind it is passed three times.
        let corner = |i: i32| {
            let turn = f64::from(i) * crate::num::FRAC_PI_2;
            let (x, y) = [(15.0, 9.0), (-15.0, 9.0), (-15.0, -9.0), (15.0, -9.0)][i as usize];
            let curve = Curve::Round { centre: crate::geom::Vec2::new(x, y), radius: 5.0 };
            Element { from: turn, to: turn + crate::num::FRAC_PI_2, curve }
        };
        let below = Section::new((0..4).map(corner).collect()).expect("a rounded rectangle");
        let strip = Strip::new(&below, 0.0, &Section::circle(8.0), 25.0).expect("a wall");
        let round = Round::new(&strip.begun_at(0.8).expect("convex"));
        let f = |w: f64| round.generatrix(w).at(25.0, -3.0);
        let to = |w: f64| round.length(0.0, w, 1e-6, &f);
        // The sides face 90, 180 and 270 degrees; the one that faces the back runs back.
        let side = round.facing(PI).expect("a side") - 0.5;
        let back = to(side) - to(side + 1.0);
        assert!((back - 3.0 * 12.0 / (12.0f64 * 12.0 + 25.0 * 25.0).sqrt() * 18.0 / 25.0).abs() < 1e-5, "{back}");
        let long = to(side) - 0.5 * back;
        let ahead = round.first_at((0.0, round.end()), long, &f);
        assert!(ahead < side && (to(ahead) - long).abs() < 1e-5, "{ahead} for {side}");
        let long = round.length(side + 1.0, round.end(), 1e-6, &f) - 0.5 * back;
        let behind = round.first_at((round.end(), 0.0), long, &f);
        assert!(behind > side + 1.0, "{behind} for {side}");
        assert!((round.length(behind, round.end(), 1e-6, &f) - long).abs() < 1e-5);
        assert_eq!(round.first_at((0.0, 0.5 * side), 1e3, &f), 0.5 * side);
    }

    #[test]
    fn a_rule_is_found_again() {
        let strip = Strip::new(&Section::oval(90.0, 60.0, 2.0), 0.0, &Section::circle(50.0), 100.0).expect("a wall");
        let round = Round::new(&strip.begun_at(0.3).expect("convex"));
        let rule = strip.rule(2, 4.0);
        let (w, off) = round.locate(&rule, 0.0);
        assert!(off < 1e-9 && (round.generatrix(w).phi - 4.0).abs() < 1e-9);
    }
}
