//! Marks on walls.

use super::super::super::{Shaper, errors, measure};
use super::super::place;
use super::spec::{self, Spec, Spot};
use super::{Line, depth};
use crate::design::Face;
use crate::eval::Stop;
use crate::geom::Vec2;
use crate::geom::course::{End, Leg};
use crate::geom::strip::Strip;
use crate::geom::unroll::Unrolled;
use crate::geom::walk::Walk;
use crate::ids::ThingId;
use crate::num;
use crate::skin;
use crate::solid::{Course, Layer, Rim, Seam, Wall};

/// A ring keeps so far from the edges of its pieces, mm: nearer it cannot be told from them.
const CLEAR: f64 = 1.0;
/// Two shares of a girth that differ by less are one.
const SAME: f64 = 1e-9;

/// The lines of a mark on a wall, and the level of the first.
pub(super) fn on_wall(shaper: &mut Shaper<'_>, id: ThingId, host: ThingId) -> Result<(Spec, Vec<Line>, f64), Stop> {
    let (shell, wall) = place::host_wall(shaper, host)?;
    let (tall, part) = (shell.tall, shell.part);
    let wall = wall.clone();
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), spec::read)?;
    let layers = &shaper.solid.parts[part.index()].layers;
    let layer = if spec.face == Face::Inside { layers.first() } else { layers.last() };
    let on =
        On { spec: &spec, wall: &wall, tall, depth: depth(shaper, part, spec.face), layer: *layer.ok_or(Stop::Skip)? };
    let (all, level) = match &spec.path {
        None => on.rings()?,
        Some(spots) => on.paths(spots)?,
    };
    let mut lines = Vec::with_capacity(all.len());
    for (number, legs) in all.into_iter().enumerate() {
        let long = on.long(&legs);
        if long <= 0.0 {
            return Err(errors::mark_in_the_gap(&spec.name, spec.path_span).into());
        }
        lines.push(Line { part, course: Course::Wall(legs), long, number });
    }
    Ok((spec, lines, level))
}

/// The legs of each line, and the level of the first.
type Laid = (Vec<Vec<Leg>>, f64);

struct On<'a> {
    spec: &'a Spec,
    wall: &'a Wall,
    tall: f64,
    /// Of the face it is on, and that face's layer.
    depth: f64,
    layer: Layer,
}

impl On<'_> {
    fn open(&self) -> bool {
        matches!(self.wall.seam, Seam::Open(_))
    }

    /// Stations at which two pieces meet.
    fn seams(&self) -> impl Iterator<Item = f64> {
        self.wall.rings.iter().skip(1).map(|r| self.wall.strips[r.strips.start].heights().0)
    }

    fn strip_at(&self, z: f64) -> usize {
        let last = self.wall.strips.len() - 1;
        self.wall.strips.iter().position(|s| z <= s.heights().1 + 1e-9).unwrap_or(last)
    }

    fn rings(&self) -> Result<Laid, Stop> {
        let spread = &self.spec.spread;
        if let Some(margin) = spread.margin
            && !self.spec.several()
        {
            return Err(errors::margin_or_level(margin, self.spec.margin_span).into());
        }
        let levels = self.spec.levels(self.tall)?;
        for &z in &levels {
            if !(0.0..=self.tall).contains(&z) {
                return Err(errors::off_the_wall(&self.spec.name, z, self.tall, spread.level_span).into());
            }
            let edges = [(0.0, "the bottom"), (self.tall, "the top")];
            let edges = edges.into_iter().chain(self.seams().map(|z| (z, "a station, where two pieces meet")));
            if let Some((_, edge)) = edges.into_iter().find(|(e, _)| (e - z).abs() < CLEAR) {
                let span = self.spec.spread.level_span;
                return Err(errors::mark_on_edge(&self.spec.name, z, edge, CLEAR, span).into());
            }
        }
        let ring =
            |z: f64| vec![Leg { strip: self.strip_at(z), from: End { share: 0.0, z }, to: End { share: 1.0, z } }];
        let first = levels.first().copied().unwrap_or(0.0);
        Ok((levels.into_iter().map(ring).collect(), first))
    }

    fn paths(&self, spots: &[Spot]) -> Result<Laid, Stop> {
        let name = &self.spec.name;
        if self.spec.way == Some("along") {
            let what = "several paths one above the other (a `for` loop makes them)";
            return Err(errors::not_built_yet(what, self.spec.way_span).into());
        }
        // Each with its share of the way round, going on past the seam.
        let mut at: Vec<(f64, f64)> = Vec::with_capacity(spots.len());
        for spot in spots {
            if !spot.by_direction {
                return Err(errors::spot_by_direction(name, spot.span).into());
            }
            if !(0.0..=self.tall).contains(&spot.y) {
                return Err(errors::spot_off_part(name, spot.y, self.tall, spot.span).into());
            }
            let strip = &self.wall.strips[self.strip_at(spot.y)];
            let rule = measure::facing(strip, spot.x).ok_or_else(|| errors::outline_broken(self.spec.head))?;
            let girth = measure::girth(strip, spot.y, 0.0);
            let own = measure::along_to(strip, spot.y, 0.0, &rule) / girth;
            if self.open() && !self.is_there(strip, spot.y, own) {
                return Err(errors::spot_in_the_gap(name, spot.span).into());
            }
            let share = match at.last() {
                None => own,
                Some(_) if self.open() => own,
                Some(&(before, _)) => {
                    let step = num::wrap(own - before + 0.5, 1.0) - 0.5;
                    if (step.abs() - 0.5).abs() < 1e-7 {
                        return Err(errors::path_either_way(name, spot.span).into());
                    }
                    before + step
                }
            };
            at.push((share, spot.y));
        }
        if let Some(i) = (1..at.len()).find(|&i| {
            let (a, b) = (at[i - 1], at[i]);
            (a.0 - b.0).abs() < SAME && (a.1 - b.1).abs() < 1e-9
        }) {
            return Err(errors::spot_twice(name, spots[i].span).into());
        }
        let first = &self.wall.strips[self.strip_at(at[0].1)];
        let spread = &self.spec.spread;
        let girth = measure::girth(first, at[0].1, 0.0);
        let count = spread.every.map_or(spread.count, |p| (girth / p - 1e-9).ceil());
        spread.bounded(count, girth)?;
        if count > 1.0 && self.open() {
            return Err(errors::not_built_yet("several paths round an open wall", spread.head).into());
        }
        let mut all = Vec::new();
        let mut i = 0.0;
        while i < count.max(1.0) {
            let shift = i / count.max(1.0);
            let mut legs = Vec::new();
            for w in at.windows(2) {
                self.stretch((w[0].0 + shift, w[0].1), (w[1].0 + shift, w[1].1), &mut legs)?;
            }
            all.push(legs);
            i += 1.0;
        }
        Ok((all, at[0].1))
    }

    /// Whether an open wall is there at a share of the way round.
    fn is_there(&self, strip: &Strip, z: f64, share: f64) -> bool {
        let walk = Walk::new(strip);
        let (from, to) = skin::leaves(&walk, self.wall.seam, z, self.layer.neutral);
        let along = share * walk.around(z, 0.0);
        walk.length(from, z, 0.0) - 1e-6 <= along && along <= walk.length(to, z, 0.0) + 1e-6
    }

    /// The legs from one spot to the next: cut where it comes to the seam and to a station.
    fn stretch(&self, (u0, z0): (f64, f64), (u1, z1): (f64, f64), legs: &mut Vec<Leg>) -> Result<(), Stop> {
        let level = (z1 - z0).abs() < 1e-9;
        if level && self.seams().any(|s| (s - z0).abs() < CLEAR) {
            let edge = "a station, where two pieces meet";
            return Err(errors::mark_on_edge(&self.spec.name, z0, edge, CLEAR, self.spec.path_span).into());
        }
        let mut cuts = vec![0.0, 1.0];
        if !level {
            let stations = self.wall.strips.iter().skip(1).map(|s| s.heights().0);
            cuts.extend(stations.map(|z| (z - z0) / (z1 - z0)));
        }
        if (u1 - u0).abs() > SAME {
            let mut whole = u0.min(u1).ceil();
            while whole <= u0.max(u1) {
                cuts.push((whole - u0) / (u1 - u0));
                whole += 1.0;
            }
        }
        cuts.retain(|t| (0.0..=1.0).contains(t));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() < SAME);
        for w in cuts.windows(2) {
            let at = |t: f64| (u0 + (u1 - u0) * t, z0 + (z1 - z0) * t);
            let (middle, z) = at(0.5 * (w[0] + w[1]));
            let strip = self.strip_at(z);
            let round = middle.floor();
            let [from, to] = [at(w[0]), at(w[1])].map(|(u, z)| self.end(strip, (u - round).clamp(0.0, 1.0), z));
            legs.push(Leg { strip, from, to });
        }
        Ok(())
    }

    /// The end of a leg. Where it is at a rim of its ring on the measured face, it goes on to (or ends at) the rim of the
    /// face it is on, along the generatrix, so that both pieces' marks meet in the mitre between them.
    fn end(&self, index: usize, share: f64, z: f64) -> End {
        let strip = &self.wall.strips[index];
        let (low, high) = strip.heights();
        let Some(ring) = self.wall.rings.iter().find(|r| r.strips.contains(&index)) else { return End { share, z } };
        let at_rim = [(false, low, ring.strips.start == index), (true, high, ring.strips.end == index + 1)];
        let Some((upper, ..)) = at_rim.into_iter().find(|(_, at, rim)| *rim && (z - at).abs() < 1e-7) else {
            return End { share, z };
        };
        match if upper { ring.upper } else { ring.lower } {
            Rim::Level | Rim::Mitre(_) => {}
            // Cut square through the measured face, or at a line of its own that the mark runs on to.
            Rim::Square | Rim::At(_) | Rim::Closed(_) | Rim::Plane(_) | Rim::PlaneSquare(_) | Rim::Shaped { .. } => {
                return End { share, z };
            }
        }
        let rule = measure::rule_along(strip, z, 0.0, share * measure::girth(strip, z, 0.0));
        let height = skin::on_rim(self.wall, ring, upper, self.depth, |rim| {
            let place = rim.flat().walk().find(&rule)?;
            Some(rim.height(place, self.depth).0)
        });
        let Some(height) = height else { return End { share, z } };
        let there = height + self.depth * rule.sine();
        let girth = measure::girth(strip, there, 0.0);
        let own = match share {
            s if s <= SAME => 0.0,
            s if s >= 1.0 - SAME => 1.0,
            _ => measure::along_to(strip, there, 0.0, &rule) / girth,
        };
        End { share: own, z: there }
    }

    /// How long a line is on its face, between the sides of an open wall.
    fn long(&self, legs: &[Leg]) -> f64 {
        let one = |leg: &Leg| {
            let walk = Walk::new(&self.wall.strips[leg.strip]);
            let (from, to) = self.within(leg);
            if to <= from { 0.0 } else { leg.length(&walk, (from, to), self.depth) }
        };
        legs.iter().map(one).collect::<num::Sum>().value()
    }

    /// The shares of a leg between which an open wall is there: its sides are straight on its layer's flat.
    fn within(&self, leg: &Leg) -> (f64, f64) {
        let Some(ring) = self.wall.rings.iter().find(|r| r.strips.contains(&leg.strip)) else { return (0.0, 1.0) };
        if !self.open() {
            return (0.0, 1.0);
        }
        // Laid flat as the panel is, by the strip that the leg is on.
        let walks = skin::walks(self.wall, ring);
        let flats = skin::laid(&walks, self.layer.neutral);
        let (low, high) = skin::cuts(self.wall, ring);
        let flat: &Unrolled<'_> = &flats[leg.strip - ring.strips.start];
        let middle = self.layer.middle();
        let corner = |upper: bool| {
            let (of, cut) = if upper { (&flats[flats.len() - 1], &high) } else { (&flats[0], &low) };
            let rim = crate::geom::rim::Rim::new(of, cut);
            let span = skin::leaves(of.walk(), self.wall.seam, skin::height(cut), self.layer.neutral);
            [rim.point(span.0, middle).0, rim.point(span.1, middle).0]
        };
        let (below, above) = (corner(false), corner(true));
        // To the right of the side where it begins, to the left of the one where it ends.
        let inside = |p: Vec2| {
            let begin = (below[0] - above[0]).perp_dot(p - above[0]) / below[0].distance(above[0]).max(1e-9);
            let end = (above[1] - below[1]).perp_dot(p - below[1]) / above[1].distance(below[1]).max(1e-9);
            begin.min(end)
        };
        let there = |t: f64| inside(leg.flat_point(flat, t));
        let parts = 64;
        let share = |i: u32| f64::from(i) / f64::from(parts);
        let Some(first) = (0..=parts).find(|i| there(share(*i)) >= 0.0) else { return (0.0, 0.0) };
        let last = (0..=parts).rev().find(|i| there(share(*i)) >= 0.0).unwrap_or(first);
        let cross = |a: f64, b: f64| num::bisect(a, b, 1e-12, there).unwrap_or(a);
        let from = if first == 0 { 0.0 } else { cross(share(first - 1), share(first)) };
        let to = if last == parts {
            1.0
        } else {
            num::bisect(share(last), share(last + 1), 1e-12, |t| -there(t)).unwrap_or(share(last))
        };
        (from, to)
    }
}
