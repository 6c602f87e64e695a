//! What borders lie on: the wall of a shell or of a lid's rim, its edges, and the lines that run along it.
//!
//! A line at a level is the level line of the measured face, moved square to the sheet; where the wall's own rim is
//! cut level, a line beside it is level too. Ways up the wall are measured along it, opposite its seam.

use super::super::super::say::mm;
use super::super::super::{Shaper, errors, measure};
use super::super::place;
use crate::design::{Anchor, Face};
use crate::eval::Stop;
use crate::eval::say::direction;
use crate::geom::along::ahead;
use crate::geom::path::Seg;
use crate::geom::rim::{self, Cut};
use crate::geom::strip::Strip;
use crate::geom::unroll::{Laid, Unrolled};
use crate::geom::walk::{Leg, Place, Walk};
use crate::geom::{Vec2, Vec3, left_of};
use crate::ids::{PartId, ThingId};
use crate::num::{self, PI};
use crate::skin::leaves;
use crate::solid::{Body, Frame, Rim, Seam, Wall};
use crate::span::Span;

/// A wall that borders lie on.
#[derive(Clone, Debug)]
pub(in super::super::super) struct Skin {
    pub host: ThingId,
    pub name: String,
    pub part: PartId,
    pub wall: Wall,
    /// Half-way through its first layer, and that layer's neutral surface.
    middle: f64,
    pub neutral: f64,
    pub inner: f64,
    pub outer: f64,
    /// The heights of its edges.
    pub low: f64,
    pub high: f64,
    /// Levels count downwards from `high`.
    turned: bool,
    pub frame: Frame,
    pub pair: bool,
    pub seam_span: Span,
}

/// Where on a wall a border goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Course {
    /// Round it at a level.
    Round,
    /// Round it along an edge.
    Edge { upper: bool },
    /// Along one side of an open seam.
    Side { end: bool },
    /// Along a closed seam.
    Seam,
}

impl Skin {
    /// The wall that an anchor speaks of.
    pub(super) fn of(shaper: &Shaper<'_>, anchor: &Anchor, span: Span) -> Result<Self, Stop> {
        if let Some(cap) = shaper.known.caps.get(&anchor.thing) {
            let Some(rim) = cap.rim else {
                return Err(errors::not_built_yet("a border on the disc of a cap", span).into());
            };
            if anchor.hand.is_some() {
                return Err(errors::not_built_yet("a part on one of a pair only", span).into());
            }
            let mut skin = Self::wall_of(shaper, anchor.thing, rim)?;
            skin.turned = !cap.at_top;
            return Ok(skin);
        }
        Self::of_shell(shaper, place::built(shaper, anchor, span)?)
    }

    /// The wall of a shell.
    pub(in super::super::super) fn of_shell(shaper: &Shaper<'_>, host: ThingId) -> Result<Self, Stop> {
        let (shell, _) = place::host_wall(shaper, host)?;
        let skin = Self::wall_of(shaper, host, shell.part)?;
        Ok(Self { seam_span: shell.seam.span, ..skin })
    }

    pub(in super::super::super) fn wall_of(shaper: &Shaper<'_>, host: ThingId, id: PartId) -> Result<Self, Stop> {
        let part = &shaper.solid.parts[id.index()];
        let Body::Wall(wall) = &part.body else { return Err(Stop::Skip) };
        let (first, last) = (part.layers.first().ok_or(Stop::Skip)?, part.layers.last().ok_or(Stop::Skip)?);
        let ends = wall.strips.first().zip(wall.strips.last()).ok_or(Stop::Skip)?;
        let thing = shaper.design.thing(host);
        Ok(Self {
            host,
            name: thing.name.to_string(),
            part: id,
            wall: wall.clone(),
            middle: first.middle(),
            neutral: first.neutral,
            inner: first.inner,
            outer: last.outer,
            low: ends.0.heights().0,
            high: ends.1.heights().1,
            turned: false,
            frame: part.place,
            pair: part.pair,
            seam_span: thing.head,
        })
    }

    /// The depth of a face of a sheet of this thickness that lies on it.
    pub(super) fn depth(&self, face: Face, thick: f64) -> f64 {
        match face {
            Face::Inside => self.outer,
            Face::Middle => self.outer + 0.5 * thick,
            Face::Outside => self.outer + thick,
        }
    }

    pub(in super::super::super) fn tall(&self) -> f64 {
        self.high - self.low
    }

    /// What to write for a strip of sheet up the wall, over its seam or along one side of an open one: a plate that lies
    /// on it.
    pub(super) fn strip_up(&self, course: Course, wide: f64) -> String {
        let facing = self.line(0.5 * (self.low + self.high), false, self.outer).map_or(self.wall.facing, |line| {
            let at = match course {
                Course::Side { end } => line.aside(end, 0.5 * wide),
                _ => line.from,
            };
            line.walk.rule(at).phi
        });
        let strip = self.wall.strips.iter().map(|s| self.slope(s).0 * (s.heights().1 - s.heights().0)).sum::<f64>();
        format!(
            "a plate of that width: `plate NAME on {} {{ facing: {}, shape: rectangle(across: {} by {}) }}`",
            self.name,
            direction(facing),
            mm(wide),
            mm((strip * 10.0).floor() / 10.0)
        )
    }

    pub(super) fn is_open(&self) -> bool {
        matches!(self.wall.seam, Seam::Open(_))
    }

    /// Its bottom is its upper end.
    pub(super) fn is_turned(&self) -> bool {
        self.turned
    }

    /// The height of a level, and the level of a height.
    pub(super) fn height(&self, level: f64) -> f64 {
        if self.turned { self.high - level } else { self.low + level }
    }

    pub(super) fn level(&self, z: f64) -> f64 {
        if self.turned { self.high - z } else { z - self.low }
    }

    /// The courses that an edge of it names.
    pub(super) fn courses(&self, edge: Option<&str>) -> Result<Vec<Course>, Stop> {
        let side = |end: bool| Course::Side { end };
        let top = Course::Edge { upper: !self.turned };
        let bottom = Course::Edge { upper: self.turned };
        Ok(match (edge, self.is_open()) {
            (None, _) => vec![Course::Round],
            (Some("bottom"), _) => vec![bottom],
            (Some("top"), _) => vec![top],
            (Some("seam"), false) => vec![Course::Seam],
            (Some("seam"), true) => vec![side(false), side(true)],
            (Some("edges"), false) => vec![bottom, top],
            (Some("edges"), true) => vec![bottom, side(true), top, side(false)],
            (Some(_), _) => return Err(Stop::Skip),
        })
    }

    /// How the wall's own rim is cut; `None` where it is drawn together to a point.
    pub(super) fn rim(&self, upper: bool) -> Option<Rim> {
        let rim = if upper { self.wall.rings.last()?.upper } else { self.wall.rings.first()?.lower };
        (!matches!(rim, Rim::Closed(_))).then_some(rim)
    }

    /// Whether a rim is cut sloping or to a figure.
    pub(super) fn is_uneven(&self, upper: bool) -> bool {
        self.rim(upper).is_some_and(|rim| rim.is_uneven())
    }

    /// The height of the deepest place of a rim on the measured face.
    pub(super) fn deepest(&self, upper: bool) -> f64 {
        let Some(line) = self.rim_line(upper, 0.0) else { return self.edge(upper) };
        let (low, high) = line.extent();
        if upper { low.min(self.edge(upper)) } else { high.max(self.edge(upper)) }
    }

    /// The strip of the wall at an edge.
    pub(super) fn strip_on(&self, upper: bool) -> Option<&Strip> {
        if upper { self.wall.strips.last() } else { self.wall.strips.first() }
    }

    /// A line cut otherwise than the rim at an edge, on the measured face.
    pub(super) fn cut_line(&self, upper: bool, cut: Cut) -> Option<Line> {
        let walk = Walk::with_cuts(self.strip_on(upper)?, &cut.stops());
        let (from, to) = leaves(&walk, self.wall.seam, crate::skin::height(&cut), self.neutral);
        Some(Line { walk, cut, depth: 0.0, from, to, closed: !self.is_open(), left: 0.0, frame: self.frame })
    }

    /// The line of a rim as it is cut, at a depth.
    pub(super) fn rim_line(&self, upper: bool, depth: f64) -> Option<Line> {
        let index = if upper { self.wall.strips.len().checked_sub(1)? } else { 0 };
        let (low, up, _) = self.cuts(index)?;
        let cut = if upper { up } else { low };
        if cut.exists(self.wall.strips.get(index)?, &[depth]).is_err() {
            return None;
        }
        let walk = self.walk(index);
        let (from, to) = leaves(&walk, self.wall.seam, crate::skin::height(&cut), self.neutral);
        Some(Line { walk, cut, depth, from, to, closed: !self.is_open(), left: 0.0, frame: self.frame })
    }

    /// The line that lies so far out of the wall from a rim as it is cut (below zero: on it), on the surface at a depth,
    /// which past the edge goes straight on.
    pub(super) fn beside_rim(&self, upper: bool, depth: f64, out: f64) -> Option<Line> {
        // Out of the wall is to the left of the upper rim and to the right of the lower one.
        Some(Line { left: if upper { out } else { -out }, ..self.rim_line(upper, depth)? })
    }

    pub(super) fn edge(&self, upper: bool) -> f64 {
        if upper { self.high } else { self.low }
    }

    /// The strip at a height; past either end the one there.
    pub(super) fn strip_at(&self, z: f64) -> usize {
        let strips = &self.wall.strips;
        strips.iter().position(|s| z <= s.heights().1 + 1e-9).unwrap_or(strips.len() - 1)
    }

    /// The direction opposite the seam, along which ways up the wall are measured.
    pub(super) fn opposite(&self) -> f64 {
        self.wall.facing + PI
    }

    /// The slope of a strip opposite the seam: length along the wall for one of height, and the sine of its lean.
    pub(super) fn slope(&self, strip: &Strip) -> (f64, f64) {
        measure::facing(strip, self.opposite()).map_or((1.0, 0.0), |r| (measure::slant(&r) / r.rise(), r.sine()))
    }

    /// The height a length `s` along the wall above `z`; past an edge the wall goes on straight.
    pub(super) fn up(&self, z: f64, s: f64) -> f64 {
        let last = self.wall.strips.len() - 1;
        let mut at = self.strip_at(z);
        // At a station the way up is the next strip's.
        if s > 0.0 && at < last && z > self.wall.strips[at].heights().1 - 1e-9 {
            at += 1;
        }
        let (mut z, mut left) = (z, s);
        loop {
            let strip = &self.wall.strips[at];
            let rate = self.slope(strip).0;
            let (z0, z1) = strip.heights();
            let end = if s > 0.0 { z1 } else { z0 };
            let reach = (end - z) * rate;
            let stays = if s > 0.0 { at == last } else { at == 0 };
            if stays || left.abs() <= reach.abs() {
                return z + left / rate;
            }
            left -= reach;
            z = end;
            at = if s > 0.0 { at + 1 } else { at - 1 };
        }
    }

    /// The length of the whole wall, from edge to edge.
    pub(super) fn long(&self) -> f64 {
        self.wall.strips.iter().map(|s| (s.heights().1 - s.heights().0) * self.slope(s).0).sum()
    }

    /// A line round the wall at a height and depth, level where `level`, from side to side where it is open.
    pub(super) fn line(&self, z: f64, level: bool, depth: f64) -> Option<Line> {
        let index = self.strip_at(z);
        let strip = self.wall.strips.get(index)?;
        let cut = if level { Cut::Level(z) } else { Cut::Square(z) };
        if cut.exists(strip, &[depth]).is_err() {
            return None;
        }
        let walk = self.walk(index);
        let (from, to) = self.kept(index, &walk, &cut);
        Some(Line { walk, cut, depth, from, to, closed: !self.is_open(), left: 0.0, frame: self.frame })
    }

    fn cut(&self, rim: Rim, z: f64) -> Cut {
        crate::skin::cut(&self.wall, rim, z)
    }

    /// The cuts of the rims of the ring a strip is in.
    pub(super) fn cuts(&self, strip: usize) -> Option<(Cut, Cut, usize)> {
        let ring = self.wall.rings.iter().find(|r| r.strips.contains(&strip))?;
        let (first, last) = (&self.wall.strips[ring.strips.start], &self.wall.strips[ring.strips.end - 1]);
        Some((
            self.cut(ring.lower, first.heights().0),
            self.cut(ring.upper, last.heights().1),
            ring.strips.end - ring.strips.start,
        ))
    }

    fn walk(&self, strip: usize) -> Walk {
        let stops = self.cuts(strip).map_or_else(Vec::new, |(l, u, _)| [l.stops(), u.stops()].concat());
        Walk::with_cuts(&self.wall.strips[strip], &stops)
    }

    /// Between which places a line lies on the wall: everywhere where its seam is closed. The sides of an open one are
    /// straight on the flat, from rim to rim.
    fn kept(&self, index: usize, walk: &Walk, cut: &Cut) -> (Place, Place) {
        if !self.is_open() {
            return walk.ends();
        }
        let z = crate::skin::height(cut);
        let near = leaves(walk, self.wall.seam, z, self.neutral);
        let Some((low, up, 1)) = self.cuts(index) else { return near };
        if matches!(low, Cut::Closed(_)) || matches!(up, Cut::Closed(_)) {
            return near;
        }
        let flat = Unrolled::new(walk, self.neutral);
        let line = rim::Rim::new(&flat, cut);
        let (lower, upper) = (rim::Rim::new(&flat, &low), rim::Rim::new(&flat, &up));
        let ends = |cut: &Cut| leaves(walk, self.wall.seam, crate::skin::height(cut), self.neutral);
        let (below, above) = (ends(&low), ends(&up));
        let side = |low: Place, up: Place| Seg::line(lower.point(low, self.middle).0, upper.point(up, self.middle).0);
        let crossing = |near: Place, side: &Seg| {
            let way: Vec2 = (side.b - side.a).normalize_or_zero();
            let off = |s: f64| way.perp_dot(line.point(walk.at_length(s, z, self.neutral), self.neutral).0 - side.a);
            let s = walk.length(near, z, self.neutral);
            // From rim to rim a straight side leaves the even gap by little.
            let reach = (4.0 * off(s).abs()).max(1e-6);
            let (low, high) = ((s - reach).max(0.0), (s + reach).min(walk.around(z, self.neutral)));
            num::root(low, high, 1e-12, off).map_or(near, |s| walk.at_length(s, z, self.neutral))
        };
        (crossing(near.0, &side(below.0, above.0)), crossing(near.1, &side(below.1, above.1)))
    }
}

/// A line round a wall.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub walk: Walk,
    cut: Cut,
    pub depth: f64,
    pub from: Place,
    pub to: Place,
    pub closed: bool,
    /// How far it lies to the left of the cut, on the flat of its depth.
    pub left: f64,
    frame: Frame,
}

/// How far a drawn line turns from point to point, radians: five degrees lie within a thousandth of a radius.
const TURN: f64 = PI / 36.0;

impl Line {
    pub(super) fn with<R>(&self, f: impl FnOnce(&rim::Rim<'_>) -> R) -> R {
        let flat = Unrolled::new(&self.walk, if self.left == 0.0 { 0.0 } else { self.depth });
        f(&rim::Rim::new(&flat, &self.cut))
    }

    /// Its lowest and its highest place.
    pub(super) fn extent(&self) -> (f64, f64) {
        self.with(|rim| {
            let at = |(leg, t0, t1): (usize, f64, f64)| {
                (0..=32u8).map(move |i| Place { leg, t: t0 + (t1 - t0) * f64::from(i) / 32.0 })
            };
            let heights = rim::spans(self.from, self.to).flat_map(at).map(|at| rim.height(at, self.depth).0);
            heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), z| (low.min(z), high.max(z)))
        })
    }

    /// Its true length.
    pub(super) fn long(&self) -> f64 {
        self.with(|rim| self.between(rim, self.from, self.to))
    }

    /// Its length between two places. A parallel to the left of a curve is shorter by its distance times the angle that
    /// the curve turns to the left (Steiner), wherever it keeps a radius.
    pub(super) fn between(&self, rim: &rim::Rim<'_>, from: Place, to: Place) -> f64 {
        let long = rim.length(from, to, self.depth);
        if self.left == 0.0 { long } else { long - self.left * (self.heading(rim, to) - self.heading(rim, from)) }
    }

    /// The direction of the cut on the flat, radians: that of the level line there, and how far it leans from it.
    fn heading(&self, rim: &rim::Rim<'_>, at: Place) -> f64 {
        let (laid, (_, way)) = (rim.flat().at(at), rim.point(at, self.depth));
        num::atan2(way.dot(laid.nu), way.dot(laid.tau)) - self.walk.turn(at)
    }

    /// Whether it keeps a radius all along.
    pub(super) fn keeps_a_radius(&self) -> bool {
        self.left == 0.0
            || self.with(|rim| {
                rim::spans(self.from, self.to).all(|(leg, t0, t1)| {
                    let at = |i: u32| Place { leg, t: t0 + (t1 - t0) * f64::from(i) / 64.0 };
                    (0..64).all(|i| self.between(rim, at(i), at(i + 1)) > 0.0)
                })
            })
    }

    /// The point of it on the flat of its depth beside a place of the cut.
    pub(super) fn offset(&self, rim: &rim::Rim<'_>, place: Place) -> Vec2 {
        let (p, way) = rim.point(place, self.depth);
        p + left_of(way.normalize_or_zero()) * self.left
    }

    /// A point of the flat of its depth in the prop; `place` is near it.
    pub(super) fn in_the_prop(&self, rim: &rim::Rim<'_>, mut p: Vec2, place: Place) -> Vec3 {
        let flat = rim.flat();
        let (begin, end) = (flat.at(self.walk.ends().0), flat.at(self.walk.ends().1));
        // Over the seam it goes on at the wall's other side.
        let over = if begin.rise.perp_dot(p - begin.foot) > 0.0 {
            p = carried(p, &begin, &end);
            Some(true)
        } else if end.rise.perp_dot(p - end.foot) < 0.0 {
            p = carried(p, &end, &begin);
            Some(false)
        } else {
            None
        };
        let near = || flat.locate_near(p, place.leg).filter(|_| over.is_none());
        let far = || flat.locate(p, over.unwrap_or(place.leg * 2 > self.walk.legs().len()));
        let own = || (place, (p - flat.at(place).foot).dot(flat.at(place).rise) / flat.at(place).rise.length_squared());
        let (at, up) = near().or_else(far).unwrap_or_else(own);
        let rule = self.walk.rule(at);
        self.frame.apply(rule.point(rule.z0 + rule.rise() * up, self.depth))
    }

    pub(super) fn height(&self) -> f64 {
        crate::skin::height(&self.cut)
    }

    /// The place so far in from its start, or (`late`) from its end.
    pub(super) fn aside(&self, late: bool, by: f64) -> Place {
        let z = self.height();
        let end = |place: Place| self.walk.length(place, z, self.depth);
        let along = if late { end(self.to) - by } else { end(self.from) + by };
        self.walk.at_length(along, z, self.depth)
    }

    /// Places that lie so far along it from its start.
    pub(super) fn places(&self, along: &[f64]) -> Vec<Place> {
        let z = self.height();
        self.with(|rim| {
            let level = |p: Place| self.walk.length(p, z, self.depth);
            let (first, last) = (level(self.from), level(self.to));
            let mut from = (first, self.from, 0.0);
            let mut out = Vec::with_capacity(along.len());
            for &s in along {
                // From the last place on: lengths are added up once round.
                let (start, place, so_far) = from;
                let beyond = |x: f64| {
                    let at = self.walk.at_length(x, z, self.depth);
                    so_far + self.between(rim, place, at) - s
                };
                let found = if s <= so_far { start } else { ahead((start, last), s - so_far, beyond) };
                let at = self.walk.at_length(found, z, self.depth);
                from = (found, at, so_far + self.between(rim, place, at));
                out.push(at);
            }
            out
        })
    }

    /// Points of it in the prop.
    pub(super) fn at(&self, places: &[Place]) -> Vec<Vec3> {
        self.with(|rim| {
            let point = |&p: &Place| {
                if self.left != 0.0 {
                    return self.in_the_prop(rim, self.offset(rim, p), p);
                }
                let z = rim.height(p, self.depth).0;
                self.frame.apply(self.walk.rule(p).point(z, self.depth))
            };
            places.iter().map(point).collect()
        })
    }

    /// The whole of it in the prop, for the eye.
    pub(super) fn drawn(&self) -> Vec<Vec3> {
        let mut places = vec![self.from];
        let figured = matches!(self.cut, Cut::Shaped(_));
        for (leg, t0, t1) in rim::spans(self.from, self.to) {
            if figured {
                places.push(Place { leg, t: t0 });
            }
            let steps = match self.walk.legs()[leg] {
                _ if figured => 12.0,
                Leg::Side { .. } => 1.0,
                Leg::Turn { from, to, .. } => ((to - from) * (t1 - t0) / TURN).abs().ceil().clamp(1.0, 200.0),
            };
            let mut i = 1.0;
            while i <= steps {
                places.push(Place { leg, t: t0 + (t1 - t0) * i / steps });
                i += 1.0;
            }
        }
        self.at(&places)
    }
}

/// A point of the flat beside one rule, beside another.
pub(super) fn carried(p: Vec2, from: &Laid, to: &Laid) -> Vec2 {
    let off = p - from.foot;
    to.foot + to.tau * off.dot(from.tau) + to.nu * off.dot(from.nu)
}

/// The strips of a wall between two heights; at its ends they are carried on past it where that is asked. `None` when
/// nothing is left.
pub(in super::super::super) fn clipped(skin: &Skin, from: f64, to: f64) -> Option<Vec<Strip>> {
    let strips = &skin.wall.strips;
    let last = strips.len() - 1;
    let mut out = Vec::new();
    for (i, strip) in strips.iter().enumerate() {
        let (z0, z1) = strip.heights();
        let low = if i == 0 { from } else { from.max(z0) };
        let high = if i == last { to } else { to.min(z1) };
        // A sliver beyond a station is the strip's before it, carried on.
        if high - low > SLIVER {
            out.push((strip, low, high));
        }
    }
    out.first_mut()?.1 = from;
    out.last_mut()?.2 = to;
    out.into_iter().map(|(s, low, high)| s.between(low, high)).collect()
}

/// Least height of a strip of its own, mm.
const SLIVER: f64 = 0.05;
