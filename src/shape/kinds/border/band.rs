//! A band: a wall of its own between two heights of its host's, over what lies below it. Past an edge the host's
//! surface is carried on straight. On an open wall it ends where that does.

use super::super::super::laid::{self, Near, Spot, on_flat};
use super::super::super::{Shaper, errors, joints, known, measure, seam, wall};
use super::rows::Row;
use super::skin::{Skin, clipped};
use super::spec::Sort;
use super::uneven::{self, Ends};
use super::{Laid, scallops, stack};
use crate::design::Face;
use crate::eval::Stop;
use crate::fitted::{self, Ground, Over};
use crate::geom::Vec2;
use crate::geom::path::Path;
use crate::geom::ring;
use crate::geom::strip::Strip;
use crate::num;
use crate::solid::{Body, Claim, Gap, Hole, Part, Rim, Ring, Scallops, Seam, Size, Wall};

/// Builds one row; gives its length on its measured face.
pub(super) fn build(shaper: &mut Shaper<'_>, laid: &Laid<'_>, row: Row) -> Result<f64, Stop> {
    let (from, to) = match row {
        Row::Strip { from, to, .. } | Row::Along { from, to, .. } => (from, to),
        Row::Line { .. } | Row::Rim { .. } | Row::Up { .. } | Row::Whole => return Err(Stop::Skip),
    };
    let (spec, skin) = (laid.spec, laid.skin);
    let of = spec.sheets(shaper)?;
    let thick = shaper.thickness(&of, spec.of_span)?;
    let below = stack::below(laid.lying, 1, (from, to));
    let inner = skin.outer + below;
    let measured = below + skin.depth(spec.measured, thick);
    let own = if skin.is_open() { skin.wall.facing } else { spec.seam.facing };
    let no_room = || -> Stop {
        if from < skin.low - 1e-9 || to > skin.high + 1e-9 {
            return errors::borders::not_carried_on(laid.name, &skin.name, "leave `rise` out", spec.rise_span).into();
        }
        errors::no_bore(laid.name, spec.head).into()
    };
    let strips = clipped(skin, from, to).ok_or_else(no_room)?;
    let strips: Option<Vec<Strip>> = strips.iter().map(|s| s.begun_at(own)).collect();
    let strips = strips.ok_or_else(|| errors::outline_broken(spec.head))?;
    let bend = measure::mean_bend(&strips, inner);
    let layers = shaper.layers(&of, inner, bend);
    let neutral = layers.first().map_or(0.0, |l| l.neutral);
    let closing = if skin.is_open() {
        Seam::Open(gap(skin, 0.5 * (from + to), neutral))
    } else {
        if let Seam::Backed(_) = spec.seam.seam {
            return Err(errors::borders::backed_by_its_part(laid.name, spec.seam.span).into());
        }
        seam::check(&spec.seam, &strips, neutral)?;
        spec.seam.seam
    };
    let (ends, tongues_above) = match row {
        Row::Along { upper, far, near, .. } => {
            // They point away from the edge, into the wall.
            let tongues_above = (spec.sort == Sort::Scallops).then_some(!upper);
            (uneven::ends(laid, upper, (far, near), (measured, thick), &strips)?, tongues_above)
        }
        Row::Strip { lower, upper, tongues_above, .. } => (Ends::plain(lower, upper), tongues_above),
        Row::Line { .. } | Row::Rim { .. } | Row::Up { .. } | Row::Whole => return Err(Stop::Skip),
    };
    let Ends { lower, upper, figures, sizes } = ends;
    let ranges = wall::rings(&strips);
    let last = ranges.len() - 1;
    let rings: Vec<Ring> = ranges
        .into_iter()
        .enumerate()
        .map(|(i, range)| Ring {
            lower: if i == 0 { lower } else { Rim::Mitre(range.start - 1) },
            upper: if i == last { upper } else { Rim::Mitre(range.end) },
            strips: range,
        })
        .collect();
    wall::check(&strips, &rings, inner, inner + thick).map_err(|_| no_room())?;
    let mut body = Wall { figures, ..Wall::plain(strips, rings, own, closing) };
    if let Some(upper) = tongues_above {
        body.scallops = Some(scallops::of(shaper, laid, &body, neutral, upper)?);
    }
    let part = shaper.next_part();
    joints::of_wall(shaper, part, &body);
    let long = long(&body, 0.5 * (from + to), (neutral, measured));
    let mut add = |origin, size| shaper.solid.claims.push(Claim { part, origin, size });
    add(spec.of_span, Size::Thick { mm: thick });
    // Over a knee its rings meet in a mitre, where each face has a width of its own.
    if let Some(Scallops { count, rise, .. }) = body.scallops {
        add(spec.wide_span, Size::Scallops { count, rise, wide: spec.wide, facing: skin.opposite(), depth: measured });
    } else if body.rings.len() == 1 && sizes.is_empty() {
        add(spec.wide_span, Size::Wide { facing: skin.opposite(), depth: measured, mm: spec.wide });
    }
    // Tongues are measured as they are.
    let row = body.scallops.map(|row| row.upper);
    for size in sizes.into_iter().filter(|s| !matches!(s, Size::Shaped { upper, .. } if row == Some(*upper))) {
        add(spec.of_span, size);
    }
    match body.seam {
        Seam::Butt | Seam::Backed(_) => {}
        Seam::Lap(mm) | Seam::Tabs(mm) => add(spec.seam.span, Size::Allowance { mm }),
        Seam::Open(gap) => add(skin.seam_span, Size::Gap(gap)),
    }
    shaper.solid.parts.push(Part {
        id: part,
        thing: laid.id,
        name: laid.name.to_owned(),
        origin: spec.head,
        pair: skin.pair,
        layers,
        body: Body::Wall(body),
        place: skin.frame,
        split: true,
    });
    shaper.bands.push((part, skin.part));
    Ok(long)
}

/// Openings go through every band that lies on their wall there. A hole that only touches a band's edge is told where
/// the band is laid flat.
pub(in super::super::super) fn pierce(shaper: &mut Shaper<'_>) {
    for (band, host) in core::mem::take(&mut shaper.bands) {
        let parts = &mut shaper.solid.parts;
        let Body::Wall(wall) = &parts[host.index()].body else { continue };
        let holes = beside(&parts[band.index()], &wall.holes);
        let Body::Wall(wall) = &mut parts[band.index()].body else { continue };
        for hole in holes {
            let Some((lo, hi)) = hole.outline.bounds() else { continue };
            let last = wall.strips.len() - 1;
            let strip = wall.strips.iter().position(|s| hole.z <= s.heights().1).unwrap_or(last);
            let (z0, z1) = wall.strips[strip].heights();
            let rule = hole.rule.between_planes((z0, z1));
            let size = Size::Hole {
                hole: wall.holes.len(),
                level: hole.z,
                facing: num::wrap(rule.phi, num::TAU),
                across: hi.x - lo.x,
                up: hi.y - lo.y,
            };
            shaper.solid.claims.push(Claim { part: band, origin: hole.origin, size });
            wall.holes.push(Hole { strip, rule, ..hole });
        }
    }
}

/// The holes of its wall that a band has to do with: those that lie beside it, above or below, have none.
fn beside(band: &Part, holes: &[Hole]) -> Vec<Hole> {
    let (Body::Wall(wall), Some(layer)) = (&band.body, band.layers.last()) else { return Vec::new() };
    let ends = wall.strips.first().zip(wall.strips.last());
    let Some((low, high)) = ends.map(|(a, b)| (a.heights().0, b.heights().1)) else { return Vec::new() };
    let reaches = |hole: &&Hole| {
        hole.outline.bounds().is_some_and(|(lo, hi)| {
            let half = 0.5 * (hi.y - lo.y) / (measure::slant(&hole.rule) / hole.rule.rise());
            hole.z + half > low && hole.z - half < high
        })
    };
    let near: Vec<Hole> = holes.iter().filter(reaches).cloned().collect();
    let ([ring], [strip]) = (&wall.rings[..], &wall.strips[..]) else { return near };
    if near.is_empty() || !ring.lower.is_uneven() && !ring.upper.is_uneven() {
        return near;
    }
    // Between its own heights a band that goes up and down is not everywhere.
    on_flat(wall, 0, layer, layer.neutral, |laid| {
        let mut around = laid.rim_chain(false, PARTS);
        around.extend(laid.rim_chain(true, PARTS).into_iter().rev());
        let region = Path::polygon(&around);
        let meets = |hole: &Hole| {
            let here = Spot { ring: 0, strip: 0, rule: hole.rule.between_planes(strip.heights()), z: hole.z };
            let Some(motion) = laid.set(&here) else { return true };
            let shape = hole.outline.moved(&motion);
            let Some((lo, hi)) = shape.bounds() else { return false };
            let within = |p: &Vec2| p.cmpge(lo).all() && p.cmple(hi).all();
            shape.flattened(FLAT).iter().any(|p| ring::contains(&region, *p))
                || around.iter().filter(|p| within(p)).any(|p| ring::contains(&shape, *p))
        };
        near.into_iter().filter(meets).collect()
    })
}

/// How closely an outline is looked at, mm, and in how many parts of a leg a rim.
const FLAT: f64 = 0.05;
const PARTS: u32 = 32;

/// How a place stays clear of the rims of a band that shows it, mm.
const CLEAR: f64 = 0.3;

/// A band that a place on its wall lies under wholly, so that it is shown there too.
pub(in super::super::super) fn shows(band: &Part, spot: &fitted::Spot) -> Option<Over> {
    let (Body::Wall(wall), Ground::Wall { rule, z, .. }) = (&band.body, spot.on) else { return None };
    if spot.face == Face::Inside {
        return None;
    }
    let strip = wall.strips.iter().position(|s| s.heights().0 < z && z < s.heights().1)?;
    let rule = rule.between_planes(wall.strips[strip].heights());
    let ring = wall.rings.iter().position(|r| r.strips.contains(&strip))?;
    let layer = band.layers.last()?;
    let here = Spot { ring, strip, rule, z };
    let clear = on_flat(wall, ring, layer, layer.neutral, |laid| {
        let motion = laid.set(&here)?;
        let outline = spot.outline.moved(&motion);
        let steps = (outline.length() / CLEAR).ceil().clamp(8.0, 4000.0);
        let mut points = Vec::new();
        let mut i = 0.0;
        while i < steps {
            points.extend(outline.at_length(outline.length() * i / steps).map(|p| p.0));
            i += 1.0;
        }
        // Its middle lies on the band: while its outline comes near no rim, all of it does.
        let near = |which: Near| match which {
            Near::Begin | Near::End => None,
            Near::Lower => Some(CLEAR + wall.scalloped(ring, false).map_or(0.0, |s| s.rise)),
            Near::Upper => Some(CLEAR + wall.scalloped(ring, true).map_or(0.0, |s| s.rise)),
        };
        let rims = laid.edges();
        let mut rims = rims.iter().filter_map(|(which, chain)| near(*which).map(|least| (least, chain)));
        Some(rims.all(|(least, chain)| points.iter().all(|p| laid::distance(chain, *p) > least)))
    });
    (clear == Some(true)).then_some(Over { part: band.id, strip, rule: Some(rule) })
}

/// What an open wall's seam leaves out of a surface that lies on it: the same directions, or what lies between its
/// sides at this height.
fn gap(skin: &Skin, z: f64, depth: f64) -> Gap {
    let Seam::Open(gap) = skin.wall.seam else { return Gap::Length(0.0) };
    let between = || {
        let line = skin.line(z, true, depth)?;
        let walk = &line.walk;
        let around = walk.around(z, depth);
        Some((around - walk.length(line.to, z, depth) + walk.length(line.from, z, depth), around))
    };
    match (gap, between()) {
        (Gap::Share(_), Some((gap, around))) => Gap::Share(gap / around),
        (Gap::Length(_) | Gap::Leaves(_) | Gap::Over { .. }, Some((gap, _))) => Gap::Length(gap),
        (gap, _) => gap,
    }
}

/// The length of a band: its girth half-way up on its measured face.
fn long(body: &Wall, z: f64, (neutral, depth): (f64, f64)) -> f64 {
    let Some(strip) = known::strip_at(body, z) else { return 0.0 };
    measure::girth(strip, z, depth) - measure::gap_at(body, neutral, strip, z, depth)
}
