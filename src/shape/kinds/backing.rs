//! The strip behind a backed seam: a part of its own on the wall's inner face, the same wall with all but its width left
//! out, opened opposite the seam.
//!
//! It is of one width from end to end, so on a wall that runs to a point it ends before it would go more than half of
//! the way round, as no seam may, and where its bends would be tighter inside than it is thick (toward a point every
//! bend tightens to nothing, and a strip's side that comes to a bend without a radius has no place of its own on the
//! flat). Beyond, the seam is edge to edge only.

use super::super::Shaper;
use super::super::errors;
use super::super::measure;
use super::super::seam::Joined;
use super::super::wall;
use crate::design::Anchor;
use crate::eval::Stop;
use crate::geom::strip::Strip;
use crate::num::PI;
use crate::solid::{Body, Claim, Gap, Layer, Part, Rim, Ring, Seam, Size, Wall};

/// The least length of a strip on a wall that runs to a point, mm: less holds nothing together (common practice, no
/// source).
const LEAST: f64 = 10.0;

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
    let rings = rings.iter().map(|ring| {
        let end = |rim: Rim, strip: usize, at_top: bool| match rim {
            Rim::Closed(_) => short_of_point(&strips[strip], at_top, wide, &layers, joined.facing).map(Rim::At),
            other => Ok(other),
        };
        Ok(Ring {
            lower: end(ring.lower, ring.strips.start, false)?,
            upper: end(ring.upper, ring.strips.end - 1, true)?,
            ..ring.clone()
        })
    });
    match rings.collect::<Result<Vec<Ring>, NoRoom>>() {
        Ok(rings) => Ok(Some(Backing { wide, layers, rings })),
        Err(no) => Err(errors::backing_to_a_point(name, wide, (no.long.max(0.0), LEAST), no.fits, joined.span).into()),
    }
}

/// How long a strip would be, and how wide one may be that is long enough.
struct NoRoom {
    long: f64,
    fits: f64,
}

/// The height at which a strip on a wall that runs to a point ends.
fn short_of_point(strip: &Strip, at_top: bool, wide: f64, layers: &[Layer], facing: f64) -> Result<f64, NoRoom> {
    let (z0, z1) = strip.heights();
    let (open, point) = if at_top { (z0, z1) } else { (z1, z0) };
    let neutral = layers.first().map_or(0.0, |l| l.neutral);
    let (around, at_point) = (measure::girth(strip, open, neutral), measure::girth(strip, point, neutral));
    // The girth goes down evenly: as shares of the way to the point.
    let half = |wide: f64| (around - 2.0 * wide) / (around - at_point);
    let long = measure::facing(strip, facing).map_or((z1 - z0).abs(), |rule| measure::slant(&rule));
    let thick: f64 = layers.iter().map(|l| l.outer - l.inner).sum();
    let inner = layers.first().map_or(0.0, |l| l.inner);
    let closes = wall::closes_at(strip, at_top, inner - thick).map_or(0.0, |z| (z - open) / (point - open));
    let share = closes.min(half(wide));
    if share * long >= LEAST {
        return Ok(open + (point - open) * share);
    }
    let least = LEAST / long;
    let fits = if closes >= least { 0.5 * (around - least * (around - at_point)) } else { 0.0 };
    Err(NoRoom { long: share * long, fits })
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
