//! The strip behind a backed seam: a part of its own on the wall's inner face, the same wall with all but its width left
//! out, opened opposite the seam.
//!
//! It is of one width from end to end, so on a wall that runs to a point it ends before it would go more than half of
//! the way round, as no seam may, where its bends would be tighter inside than it is thick (toward a point every
//! bend tightens to nothing, and a strip's side that comes to a bend without a radius has no place of its own on the
//! flat), and before its end, which on the flat goes round the point, would run along its sides. Beyond, the seam is
//! edge to edge only.

use super::super::Shaper;
use super::super::errors;
use super::super::measure;
use super::super::seam::Joined;
use super::super::wall;
use crate::design::Anchor;
use crate::eval::Stop;
use crate::geom::rim::{self, Rim as Line};
use crate::geom::strip::Strip;
use crate::geom::walk::Place;
use crate::geom::{Vec2, tol};
use crate::num::{self, PI};
use crate::skin;
use crate::solid::{Body, Claim, Gap, Layer, Part, Rim, Ring, Seam, Size, Wall};

/// The least length of a strip on a wall that runs to a point, mm: less holds nothing together (common practice, no
/// source).
const LEAST: f64 = 10.0;
/// The least angle between a strip's end and its sides, degrees: at less a corner of it would be a feather.
const CORNER: f64 = 15.0;
/// Looks along a leg of its end.
const LOOKS: u8 = 16;

/// A strip, before it is a part.
pub(super) struct Backing {
    wide: f64,
    layers: Vec<Layer>,
    rings: Vec<Ring>,
}

/// The strip of a backed seam on the inner face of a wall (at the depth `inner`); `None` for any other seam.
pub(super) fn of(
    shaper: &mut Shaper<'_>,
    name: &str,
    (joined, of): (&Joined, &[Anchor]),
    (strips, rings): (&[Strip], &[Ring]),
    (inner, thick): (f64, f64),
) -> Result<Option<Backing>, Stop> {
    let Seam::Backed(wide) = joined.seam else { return Ok(None) };
    let bend = measure::mean_bend(strips, inner - thick);
    let layers = shaper.layers(of, inner - thick, bend);
    let backed = Backed { strips, layers: &layers, facing: joined.facing };
    let rings = rings.iter().map(|ring| {
        let mut ring = ring.clone();
        for at_top in [false, true] {
            if let Rim::Closed(_) = *rim_of(&mut ring, at_top) {
                *rim_of(&mut ring, at_top) = Rim::At(backed.short_of_point(&ring, at_top, wide)?);
            }
        }
        Ok(ring)
    });
    match rings.collect::<Result<Vec<Ring>, NoRoom>>() {
        Ok(rings) => Ok(Some(Backing { wide, layers, rings })),
        Err(no) => Err(errors::backing_to_a_point(name, wide, (no.long.max(0.0), LEAST), no.fits, joined.span).into()),
    }
}

fn rim_of(ring: &mut Ring, at_top: bool) -> &mut Rim {
    if at_top { &mut ring.upper } else { &mut ring.lower }
}

/// How long a strip would be, and how wide one may be that is long enough.
struct NoRoom {
    long: f64,
    fits: f64,
}

/// What a strip is made of.
struct Backed<'a> {
    /// The wall's.
    strips: &'a [Strip],
    layers: &'a [Layer],
    facing: f64,
}

impl Backed<'_> {
    /// The height at which a strip on a wall that runs to a point ends.
    fn short_of_point(&self, ring: &Ring, at_top: bool, wide: f64) -> Result<f64, NoRoom> {
        let strip = &self.strips[if at_top { ring.strips.end - 1 } else { ring.strips.start }];
        let (z0, z1) = strip.heights();
        let (open, point) = if at_top { (z0, z1) } else { (z1, z0) };
        let neutral = self.layers.first().map_or(0.0, |l| l.neutral);
        let (around, at_point) = (measure::girth(strip, open, neutral), measure::girth(strip, point, neutral));
        // The girth goes down evenly: as shares of the way to the point.
        let half = |wide: f64| (around - 2.0 * wide) / (around - at_point);
        let long = measure::facing(strip, self.facing).map_or((z1 - z0).abs(), |rule| measure::slant(&rule));
        let thick: f64 = self.layers.iter().map(|l| l.outer - l.inner).sum();
        let inner = self.layers.first().map_or(0.0, |l| l.inner);
        let closes = wall::closes_at(strip, at_top, inner - thick).map_or(0.0, |z| (z - open) / (point - open));
        let height = |share: f64| open + (point - open) * share;
        let ends = |wide: f64, share: f64| {
            let mut ring = ring.clone();
            *rim_of(&mut ring, at_top) = Rim::At(height(share));
            self.ends_between_its_sides(&ring, at_top, wide)
        };
        let share = closes.min(half(wide));
        let share = if share * long < LEAST { share } else { farthest(share, |share| ends(wide, share)) };
        if share * long >= LEAST {
            return Ok(height(share));
        }
        let least = LEAST / long;
        let widest = 0.5 * (around - least * (around - at_point));
        let fits = if closes >= least { farthest(widest.min(wide), |wide| ends(wide, least)) } else { 0.0 };
        Err(NoRoom { long: share * long, fits })
    }

    /// Whether on the flat the strip's end toward the point goes straight on from side to side, and crosses each at an
    /// angle that can be cut.
    fn ends_between_its_sides(&self, ring: &Ring, at_top: bool, wide: f64) -> bool {
        let facing = self.facing + PI;
        let Some(strips) = self.strips.iter().map(|s| s.begun_at(facing)).collect::<Option<Vec<Strip>>>() else {
            return true;
        };
        let wall = Wall::plain(strips, vec![ring.clone()], facing, Seam::Open(Gap::Leaves(wide)));
        let (low_cut, up_cut) = skin::cuts(&wall, ring);
        let walks = skin::walks(&wall, ring);
        self.layers.iter().all(|layer| {
            let flats = skin::laid(&walks, layer.neutral);
            let (lower, upper) = (Line::new(&flats[0], &low_cut), Line::new(&flats[flats.len() - 1], &up_cut));
            let ends = |line: &Line, z: f64| skin::leaves(line.flat().walk(), wall.seam, z, layer.neutral);
            let (low, up) = (ends(&lower, skin::height(&low_cut)), ends(&upper, skin::height(&up_cut)));
            let point = |line: &Line, at: Place| line.point(at, layer.middle()).0;
            let side =
                |a: Place, b: Place| (point(&lower, a), (point(&upper, b) - point(&lower, a)).normalize_or_zero());
            let (begin, end) = (side(low.0, up.0), side(low.1, up.1));
            let (line, span) = if at_top { (&upper, up) } else { (&lower, low) };
            let across = |at: Place, (_, way): (Vec2, Vec2)| line.flat().at(at).tau.perp_dot(way);
            let least = num::sin(CORNER.to_radians());
            let left_of = |(from, way): (Vec2, Vec2), p: Vec2| way.perp_dot(p - from);
            across(span.0, begin) >= least
                && across(span.1, end) >= least
                && rim::spans(span.0, span.1).all(|(leg, t0, t1)| {
                    (0..=LOOKS).map(|i| t0 + (t1 - t0) * f64::from(i) / f64::from(LOOKS)).all(|t| {
                        let p = point(line, Place { leg, t });
                        left_of(begin, p) <= tol::SAME && left_of(end, p) >= -tol::SAME
                    })
                })
        })
    }
}

/// The most up to `most` of what holds for all that is less.
fn farthest(most: f64, holds: impl Fn(f64) -> bool) -> f64 {
    const HALVINGS: u32 = 24;
    if holds(most) {
        return most;
    }
    let (mut low, mut high) = (0.0, most);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if holds(middle) { low = middle } else { high = middle }
    }
    low
}

/// Makes the part.
pub(super) fn add(shaper: &mut Shaper<'_>, backing: Backing, host: &Part, (body, span): (Wall, crate::span::Span)) {
    let Backing { wide, layers, rings } = backing;
    let facing = body.facing + PI;
    let strips = body.strips.iter().filter_map(|s| s.begun_at(facing)).collect();
    let part = shaper.next_part();
    let thick = layers.iter().map(|l| l.outer - l.inner).sum();
    let wall = Wall::plain(strips, rings, facing, Seam::Open(Gap::Leaves(wide)));
    shaper.solid.claims.push(Claim { part, origin: span, size: Size::Thick { mm: thick } });
    shaper.solid.claims.push(Claim { part, origin: span, size: Size::Gap(Gap::Leaves(wide)) });
    shaper.solid.parts.push(Part {
        id: part,
        name: format!("{} backing", host.name),
        layers,
        body: Body::Wall(wall),
        ..host.clone()
    });
}
