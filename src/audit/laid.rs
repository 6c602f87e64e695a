//! One panel of a wall folded on its ring: where any point of the flat lands, and which part of the wall the panel
//! holds between its two sides.

use core::cell::OnceCell;

use crate::flat::Panel;
use crate::geom::path::{Motion, Path};
use crate::geom::{Vec2, Vec3, tol};
use crate::num;
use crate::solid::{Layer, Rim, Ring, Seam};

use super::area::Reach;
use super::crossings::Crossings;
use super::fold::{Folded, Spot};
use super::lines::{Line, View};
use super::measure::{path_undone, right_of, samples};
use super::real::{self, Point};

/// A side may run on this far beyond the last generatrix, which stands at the rim's middle line: a share of a leg.
const BEYOND: f64 = 0.02;

/// A side's line is looked at this near its ends only: a share of a leg, and what is as far along the rim, mm or a share.
const NEAR: f64 = 0.25;
const NEAR_BY: f64 = 2.0;
const NEAR_SHARE: f64 = 0.02;

/// A seam's line cuts off what runs back beside it: within this many legs of the seam, up to `REACH` from its end, and beyond
/// them up to `BESIDE`, mm. A millimetre and a quarter may run back, and the line is crossed at no less than some 15 degrees,
/// which is within `REACH`; the flat of a wide cone comes round behind the line farther off.
const ENDS: f64 = 2.0;
const REACH: f64 = 5.0;
const BESIDE: f64 = 1.0;

/// How a line comes to a side is told by two points so far apart, mm, unless it runs along the side but for this sine.
const APART: f64 = 0.005;
const ASLANT: f64 = 0.05;

/// Within or outside a side for certain, mm.
const FAR: f64 = 1e6;

/// Points of a line, each with its place.
type Traced = Vec<(f64, Vec3)>;

/// A straight line on the flat.
#[derive(Clone, Copy, Debug)]
pub struct Side {
    pub at: Vec2,
    /// From the lower to the upper rim.
    pub up: Vec2,
}

impl Side {
    /// How far a point lies to its right.
    pub fn right(&self, p: Vec2) -> f64 {
        (p - self.at).dot(right_of(self.up))
    }
}

/// A folded panel.
#[derive(Debug)]
pub struct Laid<'a> {
    pub view: &'a View<'a>,
    pub panel: &'a Panel,
    pub ring: &'a Ring,
    pub layer: Layer,
    pub strips: Vec<Folded>,
    /// The places between which the wall is there, at the lower and the upper rim.
    pub lower: (f64, f64),
    pub upper: (f64, f64),
    /// Where its first and its last side are looked at.
    beside: [(f64, f64); 2],
    /// For each strip its sides on the flat.
    pub sides: Vec<(Side, Side)>,
    /// The line each rim is cut along.
    pub cut: (Line, Line),
    /// The rims' lines as points, traced when they are asked for: lower and upper, by [`Line`].
    lines: [[OnceCell<Traced>; 3]; 2],
}

/// A point of the flat, landed.
#[derive(Clone, Copy, Debug)]
pub struct Landed {
    pub strip: usize,
    pub w: f64,
    pub space: Vec3,
    pub normal: Vec3,
}

/// Where the last search ended, strip by strip.
#[derive(Clone, Debug, Default)]
pub struct Hints(Vec<Option<usize>>);

impl<'a> Laid<'a> {
    /// Folds a panel; `None` when it has too few generatrices to fold by.
    pub fn new(view: &'a View<'a>, panel: &'a Panel, ring: &'a Ring, layer: Layer) -> Option<Self> {
        let mut strips = Vec::with_capacity(ring.strips.len());
        for s in ring.strips.clone() {
            let rulings: Vec<_> = panel.rulings.iter().filter(|r| r.strip == s).collect();
            let (z0, z1) = view.rounds.get(s)?.heights;
            let short = |rim: Rim, share: f64| match rim {
                Rim::Closed(z) | Rim::At(z) => ((z - z0) / (z1 - z0)).clamp(0.0, 1.0),
                Rim::Level | Rim::Square | Rim::Mitre(_) | Rim::Plane(_) | Rim::PlaneSquare(_) | Rim::Shaped { .. } => {
                    share
                }
            };
            let below = if s == ring.strips.start { short(ring.lower, 0.0) } else { 0.0 };
            let above = if s + 1 == ring.strips.end { short(ring.upper, 1.0) } else { 1.0 };
            let there = (below.min(above), above);
            strips.push(Folded::new(view.rounds.get(s)?, &rulings, layer.neutral, there)?);
        }
        if strips.is_empty() {
            return None;
        }
        let (lower, upper) = (view.span(ring, false, &layer), view.span(ring, true, &layer));
        let cut = (view.cut(ring, false, &layer), view.cut(ring, true, &layer));
        let lines = Default::default();
        let sides = Vec::new();
        let mut laid =
            Self { view, panel, ring, layer, strips, lower, upper, beside: [(0.0, 0.0); 2], sides, cut, lines };
        laid.beside = [false, true].map(|at_end| laid.looked_at(at_end));
        laid.sides = (0..laid.strips.len()).map(|i| laid.sides_of(i, Reach::Cut)).collect();
        Some(laid)
    }

    /// Where a side of an open seam may be met: about both its ends. Along a straight side of a section that ends in a point
    /// of the other a leg may have next to no length at a rim.
    fn looked_at(&self, at_end: bool) -> (f64, f64) {
        let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
        for upper in [false, true] {
            let places = if upper { self.upper } else { self.lower };
            let w = if at_end { places.1 } else { places.0 };
            let rim = |w: f64| self.view.neutral(self.ring, upper, w, &self.layer);
            let end = self.view.rounds[View::strip_at(self.ring, upper)].end();
            let chord = |i: u32| (rim(f64::from(i + 1)) - rim(f64::from(i))).length();
            // Of a rim that is small round, a share of it.
            let by = NEAR_BY.min(NEAR_SHARE * (0..end as u32).map(chord).sum::<f64>());
            let away = |way: f64| {
                let far = |k: &f64| by < tol::SAME || (rim(w + way * k * NEAR) - rim(w)).length() >= by;
                w + way * NEAR * (1..=8).map(f64::from).find(far).unwrap_or(1.0)
            };
            (from, to) = (from.min(away(-1.0)), to.max(away(1.0)));
        }
        (from, to)
    }

    /// The sides of a strip; an open seam's run straight between both rims at half depth, or at the neutral depth when
    /// the neutral edges are asked for.
    pub fn sides_of(&self, strip: usize, reach: Reach) -> (Side, Side) {
        if matches!(self.view.wall.seam, Seam::Open(_)) {
            let last = self.strips.len() - 1;
            let neutral = self.layer.neutral;
            let depth = match reach {
                Reach::Cut => self.layer.middle(),
                Reach::Neutral => neutral,
            };
            let end = |upper: bool, w: f64| {
                let foot = self.view.edge(self.ring, upper, w, depth, neutral).foot;
                self.strips[if upper { last } else { 0 }].flat(w, foot)
            };
            let side = |low: f64, high: f64| {
                let (a, b) = (end(false, low), end(true, high));
                Side { at: a, up: (b - a).normalize_or_zero() }
            };
            return (side(self.lower.0, self.upper.0), side(self.lower.1, self.upper.1));
        }
        let (folded, round) = (&self.strips[strip], &self.view.rounds[self.ring.strips.start + strip]);
        let (z0, z1) = round.heights;
        let side = |w: f64| {
            let g = round.generatrix(w);
            let (a, b) = (folded.flat(w, g.at(z0, folded.depth)), folded.flat(w, g.at(z1, folded.depth)));
            Side { at: a, up: (b - a).normalize_or_zero() }
        };
        let (from, to) = folded.reach();
        (side(from), side(to))
    }

    /// How far a point of the wall, on the flat, lies within the panel's nearer side; negative outside.
    pub fn within(&self, strip: usize, w: f64, p: Vec2) -> f64 {
        self.within_sides(self.sides[strip], w, p)
    }

    fn within_sides(&self, (begin, end): (Side, Side), w: f64, p: Vec2) -> f64 {
        self.within_side(begin, false, w, p).min(self.within_side(end, true, w, p))
    }

    /// How far a point of the wall lies within one side. Where the generatrices fan out a side crosses many of them,
    /// and a narrow panel may stand on quite other ones at its lower than at its upper rim: so each side is asked by the
    /// generatrices that it crosses, and none by where the panel's middle is.
    pub fn within_side(&self, side: Side, at_end: bool, w: f64, p: Vec2) -> f64 {
        let (from, to) = self.beside[usize::from(at_end)];
        let (before, behind) = (w < from, w > to);
        match (at_end, before, behind) {
            // The flat of a wide cone comes round to its sides' lines again, far from the sides themselves.
            (false, true, _) | (true, _, true) => -FAR,
            (false, _, true) | (true, true, _) => FAR,
            (false, ..) => side.right(p),
            (true, ..) => -side.right(p),
        }
    }

    /// Where a point of the flat lands. Beyond the last generatrix of a lapped wall begins the wall's beginning
    /// again.
    pub fn land(&self, p: Vec2, hints: &mut Hints) -> Landed {
        let (strip, spot) = self.spot(p, hints);
        if self.on_lap(strip, spot) {
            let carried = self.carried(strip, p);
            let mut hint = Some(0);
            let spot = self.strips[strip].locate(carried, &mut hint);
            return self.landed(strip, spot, carried);
        }
        self.landed(strip, spot, p)
    }

    /// The strip that a point of the flat lies on, and where on it.
    fn spot(&self, p: Vec2, hints: &mut Hints) -> (usize, Spot) {
        hints.0.resize(self.strips.len(), None);
        let mut best: Option<(f64, usize, Spot)> = None;
        for (i, folded) in self.strips.iter().enumerate() {
            let spot = folded.locate(p, &mut hints.0[i]);
            let out = folded.outside(spot, p);
            if best.is_none_or(|b| out < b.0) {
                best = Some((out, i, spot));
            }
        }
        let (_, strip, spot) = best.expect("a laid panel has a strip");
        (strip, spot)
    }

    /// How far a point of the flat lies within the sides of the panel; what lies on its lap lies beyond them.
    pub fn off_sides(&self, p: Vec2, hints: &mut Hints) -> f64 {
        let (strip, spot) = self.spot(p, hints);
        self.within(strip, spot.w, p)
    }

    /// Whether a spot lies beyond the last generatrix of a lapped wall.
    fn on_lap(&self, strip: usize, spot: Spot) -> bool {
        let last = spot.cell + 1 == self.strips[strip].cells.len();
        matches!(self.view.wall.seam, Seam::Lap(_)) && spot.beyond > 1e-4 && last
    }

    /// A point beyond the side where the wall ends, moved to where the wall begins again.
    pub fn carried(&self, strip: usize, p: Vec2) -> Vec2 {
        let (begin, end) = self.sides[strip];
        let (q, r) = (p - end.at, right_of(begin.up));
        begin.at + begin.up * q.dot(end.up) + r * q.dot(right_of(end.up))
    }

    /// The steepest way up the wall, on the flat, at a point of the flat.
    pub fn up_at(&self, p: Vec2) -> Vec2 {
        let landed = self.land(p, &mut Hints::default());
        let normal = self.view.rounds[self.ring.strips.start + landed.strip].generatrix(landed.w).normal;
        let up = self.strips[landed.strip].flat_direction(landed.w, Vec3::Z - normal * normal.z);
        let (strip, spot) = self.spot(p, &mut Hints::default());
        if !self.on_lap(strip, spot) {
            return up;
        }
        // It is the beginning's, turned as the end's side stands to the beginning's.
        let (begin, end) = self.sides[landed.strip];
        end.up * up.dot(begin.up) + right_of(end.up) * up.dot(right_of(begin.up))
    }

    /// The way up in the middle of the first strip, halfway along both its rims together.
    pub fn middle_up(&self) -> Vec2 {
        self.strips.first().map_or(Vec2::Y, Folded::middle_up)
    }

    /// A point of a side, landed as part of the panel's first or last cell (never carried on).
    pub fn fold_side(&self, p: Vec2, hints: &mut Hints, end: bool) -> Landed {
        hints.0.resize(self.strips.len(), None);
        let mut best: Option<(f64, usize, Spot)> = None;
        for (i, folded) in self.strips.iter().enumerate() {
            hints.0[i].get_or_insert(if end { folded.cells.len() - 1 } else { 0 });
            let spot = folded.locate(p, &mut hints.0[i]);
            let out = folded.outside(spot, p);
            if best.is_none_or(|b| out < b.0) {
                best = Some((out, i, spot));
            }
        }
        let (_, strip, spot) = best.expect("a laid panel has a strip");
        self.landed(strip, spot, p)
    }

    fn landed(&self, strip: usize, spot: Spot, p: Vec2) -> Landed {
        let folded = &self.strips[strip];
        let normal = folded.cells[spot.cell].normal;
        Landed { strip, w: spot.w, space: folded.space(spot, p), normal }
    }

    /// A path of a piece, back on the flat and landed point by point, so close that chords follow it in space.
    pub fn landed_path(&self, motion: &Motion, path: &Path) -> Vec<(Vec2, Landed)> {
        let flat = samples(&path_undone(motion, path), 2.0, 5e-4);
        self.landed_points(flat, Hints::default())
    }

    /// The same for the outline of what lies beyond the last generatrix.
    pub fn landed_beyond(&self, motion: &Motion, path: &Path) -> Vec<(Vec2, Landed)> {
        let flat = samples(&path_undone(motion, path), 2.0, 5e-4);
        self.landed_points(flat, Hints(self.strips.iter().map(|s| Some(s.cells.len() - 1)).collect()))
    }

    /// The same for a path along a line of a rim. Where a wall is drawn together its generatrices crowd, so the search
    /// begins at the one whose point of that line is nearest.
    pub fn landed_rim(&self, motion: &Motion, path: &Path, upper: bool, line: Line) -> Vec<(Vec2, Landed)> {
        let flat = samples(&path_undone(motion, path), 2.0, 5e-4);
        let strip = self.rim_strip(upper);
        let folded = &self.strips[strip];
        let mut hints = Hints::default();
        if let Some(&start) = flat.first() {
            let off = |&&(w, p): &&(f64, Vec3)| (folded.flat(w, p) - start).length();
            let nearest = self.expected(upper, line).iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            hints.0.resize(self.strips.len(), None);
            hints.0[strip] = nearest.map(|n| folded.cells.partition_point(|c| c.w1 < n.0));
        }
        self.landed_points(flat, hints)
    }

    fn landed_points(&self, flat: Vec<Vec2>, mut hints: Hints) -> Vec<(Vec2, Landed)> {
        let mut out: Vec<(Vec2, Landed)> = Vec::with_capacity(flat.len());
        for p in flat {
            let landed = self.land(p, &mut hints);
            if let Some(&last) = out.last() {
                self.between(&mut out, last, (p, landed), &mut hints, 8);
            }
            out.push((p, landed));
        }
        out
    }

    fn between(
        &self,
        out: &mut Vec<(Vec2, Landed)>,
        a: (Vec2, Landed),
        b: (Vec2, Landed),
        hints: &mut Hints,
        depth: u32,
    ) {
        // The sine alone would take what turns by half a round, as a tip does within a crumb, for straight.
        let turn = num::atan2(a.1.normal.cross(b.1.normal).length(), a.1.normal.dot(b.1.normal));
        // A chord of length c over a turn θ stands off its arc by c θ / 8.
        if depth == 0 || turn * (b.1.space - a.1.space).length() < 0.008 {
            return;
        }
        let p = (a.0 + b.0) * 0.5;
        let m = (p, self.land(p, hints));
        self.between(out, a, m, hints, depth - 1);
        out.push(m);
        self.between(out, m, b, hints, depth - 1);
    }

    /// The panel's own strip and its way round at a rim.
    pub fn rim_strip(&self, upper: bool) -> usize {
        if upper { self.strips.len() - 1 } else { 0 }
    }

    /// Points along a line of a rim, each with its place.
    pub fn expected(&self, upper: bool, line: Line) -> &[(f64, Vec3)] {
        self.lines[usize::from(upper)][line as usize].get_or_init(|| self.traced(upper, line))
    }

    fn traced(&self, upper: bool, line: Line) -> Traced {
        let strip = self.rim_strip(upper);
        let round = &self.view.rounds[self.ring.strips.start + strip];
        let at = |w: f64| {
            let edge = self.view.line(self.ring, upper, line, w, &self.layer);
            Point { w, foot: edge.foot, space: edge.point, depth: edge.depth }
        };
        if let Some(course) = self.view.course(self.ring, upper) {
            return course.points(round, 5e-4, &|w| at(w).foot);
        }
        let plane = |w: f64| {
            let g = round.generatrix(w);
            (g.foot, g.normal)
        };
        real::points(round, 5e-4, &at, &plane)
    }

    /// Whether a point on the generatrix at `w` belongs to the panel.
    pub fn holds(&self, upper: bool, w: f64, p: Vec3) -> bool {
        if !matches!(self.view.wall.seam, Seam::Open(_)) {
            return true;
        }
        let strip = self.rim_strip(upper);
        let folded = &self.strips[strip];
        let (from, to) = folded.reach();
        (from - BEYOND..=to + BEYOND).contains(&w) && self.within(strip, w, folded.flat(w, p)) >= -1e-6
    }

    /// A point of a line of a rim on the flat.
    fn on_rim(&self, upper: bool, line: Line, w: f64) -> Vec2 {
        let foot = self.view.line(self.ring, upper, line, w, &self.layer).foot;
        self.strips[self.rim_strip(upper)].flat(w, foot)
    }

    /// The place on the flat where a line of a rim meets a side.
    pub fn corner(&self, upper: bool, line: Line, at_end: bool) -> Vec2 {
        let w = self.corner_place(upper, line, at_end);
        if matches!(self.view.wall.seam, Seam::Open(_)) {
            return self.on_rim(upper, line, w);
        }
        // Where the seam stands in what is not of the body, the line comes to it from the last points that are, straight on.
        let points = self.expected(upper, line);
        let Some(&(real, foot)) = (if at_end { points.last() } else { points.first() }) else {
            return self.on_rim(upper, line, w);
        };
        if real == w {
            return self.on_rim(upper, line, w);
        }
        let strip = self.rim_strip(upper);
        let side = if at_end { self.sides[strip].1 } else { self.sides[strip].0 };
        let last = self.strips[strip].flat(real, foot);
        let flat = |p: &(f64, Vec3)| self.strips[strip].flat(p.0, p.1);
        let apart = |p: &Vec2| p.distance(last) >= APART;
        let before =
            if at_end { points.iter().rev().map(flat).find(apart) } else { points.iter().map(flat).find(apart) };
        let square = side.at + side.up * (last - side.at).dot(side.up);
        let Some(way) = before.map(|p| (last - p).normalize_or_zero()) else { return square };
        // Along the side itself it comes to it nowhere.
        let across = way.dot(right_of(side.up));
        if across.abs() < ASLANT { square } else { last - way * (side.right(last) / across) }
    }

    /// The same as a place on the way round.
    pub fn corner_place(&self, upper: bool, line: Line, at_end: bool) -> f64 {
        self.crossing(upper, at_end, |w| self.view.line(self.ring, upper, line, w, &self.layer).foot)
    }

    /// The places of both corners. Where many generatrices end in one point of the line all their places are that corner's,
    /// and the one meant is where the gap ends.
    pub fn corner_places(&self, upper: bool, line: Line) -> (f64, f64) {
        let ends = if upper { self.upper } else { self.lower };
        let place = |at_end: bool, end: f64| {
            let met = self.corner_place(upper, line, at_end);
            let apart = (self.on_rim(upper, line, met) - self.on_rim(upper, line, end)).length();
            if apart < tol::SAME { end } else { met }
        };
        (place(false, ends.0), place(true, ends.1))
    }

    /// The place at which a curve along a rim, given by its feet, meets a side.
    fn crossing(&self, upper: bool, at_end: bool, foot: impl Fn(f64) -> Vec3) -> f64 {
        let strip = self.rim_strip(upper);
        let (from, to) = self.strips[strip].reach();
        let w = if at_end { to } else { from };
        if !matches!(self.view.wall.seam, Seam::Open(_)) {
            return w;
        }
        let side = if at_end { self.sides[strip].1 } else { self.sides[strip].0 };
        let f = |w: f64| self.within_side(side, at_end, w, self.strips[strip].flat(w, foot(w)));
        let round = &self.view.rounds[self.ring.strips.start + strip];
        let (from, to) = ((from - BEYOND).max(0.0), (to + BEYOND).min(round.end()));
        let places = if upper { self.upper } else { self.lower };
        let near = if at_end { places.1 } else { places.0 };
        let (least, most) = self.beside[usize::from(at_end)];
        num::bisect((near - NEAR).max(from), (near + NEAR).min(to), 0.0, f)
            .or_else(|| num::bisect(least.max(from), most.min(to), 0.0, f))
            .unwrap_or(w)
    }

    /// Where a rim's edge at a depth ends.
    pub fn rim_end(&self, upper: bool, at_end: bool, depth: f64) -> f64 {
        self.crossing(upper, at_end, |w| self.view.edge(self.ring, upper, w, depth, self.layer.neutral).foot)
    }

    /// True length in space of a rim's edge at a depth, from side to side.
    pub fn edge_length(&self, upper: bool, depth: f64) -> f64 {
        self.length_as_cut(upper, &|w| {
            let e = self.view.edge(self.ring, upper, w, depth, self.layer.neutral);
            Point { w, foot: e.foot, space: e.point, depth }
        })
    }

    /// Length on the flat of a line of a rim, from side to side.
    pub fn line_length(&self, upper: bool, line: Line) -> f64 {
        self.length_as_cut(upper, &|w| {
            let e = self.view.line(self.ring, upper, line, w, &self.layer);
            Point { w, foot: e.foot, space: e.foot, depth: e.depth }
        })
    }

    /// Where a line of a rim crosses itself on the flat.
    pub fn crossings(&self, upper: bool, line: Line) -> Crossings {
        let round = &self.view.rounds[self.ring.strips.start + self.rim_strip(upper)];
        let strip = &self.strips[self.rim_strip(upper)];
        let at = |w: f64| {
            let e = self.view.line(self.ring, upper, line, w, &self.layer);
            Point { w, foot: e.foot, space: e.foot, depth: e.depth }
        };
        Crossings::new(real::cut(round, 5e-4, &at, &|p: &Point| strip.flat(p.w, p.foot)))
    }

    /// A rim that is drawn together runs back nowhere, and comes round its tip to where its sides point.
    fn is_closed(&self, upper: bool) -> bool {
        matches!(if upper { self.ring.upper } else { self.ring.lower }, Rim::Closed(_))
    }

    fn length_as_cut(&self, upper: bool, at: &dyn Fn(f64) -> Point) -> f64 {
        let round = &self.view.rounds[self.ring.strips.start + self.rim_strip(upper)];
        let strip = &self.strips[self.rim_strip(upper)];
        let flat = |p: &Point| strip.flat(p.w, p.foot);
        let end = |at_end: bool| self.crossing(upper, at_end, |w| at(w).foot);
        let (from, to) = (end(false), end(true));
        let mut chains = match self.view.course(self.ring, upper) {
            Some(course) => {
                let points = course.points(round, 5e-5, &|w| at(w).foot);
                vec![points.into_iter().map(|(w, _)| (w, at(w).space)).collect()]
            }
            None => real::cut(round, 5e-4, at, &flat),
        };
        if matches!(self.view.wall.seam, Seam::Open(_)) {
            chains.iter_mut().for_each(|c| c.retain(|p| p.0 > from && p.0 < to));
            chains.retain(|c| !c.is_empty());
            if let Some(first) = chains.first_mut() {
                first.insert(0, (from, at(from).space));
            }
            if let Some(last) = chains.last_mut() {
                last.push((to, at(to).space));
            }
        } else if !self.is_closed(upper) {
            // A seam that stands where the line runs back cuts off what lies beyond its own line, crossing or not.
            let (begin, finish) = self.sides[self.rim_strip(upper)];
            let within = |p: &(f64, Vec3)| begin.right(flat(&at(p.0)));
            let until = |p: &(f64, Vec3)| -finish.right(flat(&at(p.0)));
            from_side(&mut chains, &|w| w < ENDS, &within);
            let turned = |chains: &mut Vec<Traced>| {
                chains.reverse();
                chains.iter_mut().for_each(|c| c.reverse());
            };
            turned(&mut chains);
            from_side(&mut chains, &|w| w > round.end() - ENDS, &until);
            turned(&mut chains);
        }
        if self.view.course(self.ring, upper).is_some() {
            // A figure runs on everywhere, and where it jumps along the generatrix.
            let long = |c: &Traced| super::measure::chain_length(c, |_, _| false);
            return chains.iter().map(long).sum();
        }
        // What retraces the flat is no part of the cut.
        const STEP: f64 = 1e-6;
        let on_flat = |w: f64| flat(&at(w));
        let back = |w: f64, _: Vec3| {
            let along = on_flat((w + STEP).min(round.end())) - on_flat((w - STEP).max(0.0));
            along.dot(strip.flat_direction(w, round.generatrix(w).tangent)) < 0.0
        };
        // Where the line passes itself by, the cut goes straight over.
        let over = |c: &[Traced]| {
            let ends = c[0].last().zip(c[1].first());
            ends.map_or(0.0, |(a, b)| on_flat(a.0).distance(on_flat(b.0)))
        };
        let long = chains.iter().map(|c| super::measure::chain_length(c, back)).sum::<f64>();
        long + chains.windows(2).map(over).sum::<f64>()
    }
}

/// Lets chains start where they last come in over a side. That is looked for up to [`REACH`] from their start where a place is
/// `near`, else up to [`BESIDE`]; `within` tells how far a point lies within the side.
fn from_side(chains: &mut Vec<Traced>, near: &dyn Fn(f64) -> bool, within: &dyn Fn(&(f64, Vec3)) -> f64) {
    let Some(&(_, end)) = chains.first().and_then(|c| c.first()) else { return };
    let mut last = None;
    'search: for (i, chain) in chains.iter().enumerate() {
        for (j, p) in chain.iter().enumerate() {
            if p.1.distance(end) > if near(p.0) { REACH } else { BESIDE } {
                break 'search;
            }
            if within(p) < -1e-6 {
                last = Some((i, j));
            }
        }
    }
    let Some((i, j)) = last else { return };
    chains.drain(..i);
    let chain = &mut chains[0];
    let (Some(&p), Some(&q)) = (chain.get(j), chain.get(j + 1)) else {
        chains.remove(0);
        return;
    };
    let (a, b) = (within(&p), within(&q));
    let share = a / (a - b);
    let at = (p.0 + (q.0 - p.0) * share, p.1 + (q.1 - p.1) * share);
    chain.splice(..=j, [at]);
}
