//! A cap that goes over an edge: a rim that slides on the wall and a disc on the rim's end.
//!
//! The rim clears what stands proud of the wall where it slides (covers, bands, cords, beads), what of its own cover is
//! turned in over its mouth, and then its `gap`. On a
//! wall that narrows evenly toward the edge it runs parallel to the wall, so that the clearance, square to the sheet, is
//! the same everywhere; on every other it stands upright in the edge's form, and just passes the widest place. How far
//! it stands off elsewhere is said when it is much.

use super::super::known::{Cap, Shell};
use super::super::wall;
use super::super::{Shaper, errors, goods, joints, measure};
use super::border::rows::Foot;
use super::border::skin::Skin;
use super::border::stack;
use super::cap::{Spec, push_plate};
use super::place;
use crate::design::Kind;
use crate::eval::Stop;
use crate::geom::section::{Curve, Element, Section};
use crate::geom::strip::Strip;
use crate::ids::{PartId, ThingId};
use crate::num::TAU;
use crate::solid::{Body, Claim, Contact, EdgeName, EdgeRef, Frame, Part, Plate, Rim, Ring, Seam, Size, Wall};

/// Builds an overlay cap.
pub(super) fn lower(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    (host, at_top): (ThingId, bool),
    thick: f64,
) -> Result<(), Stop> {
    let skin = Skin::of_shell(shaper, host)?;
    let tall = skin.tall();
    let lying: Vec<Foot> = stack::on_wall(shaper, &skin, None).into_iter().map(|(_, foot)| foot).collect();
    // The disc lies on what stands past the edge.
    let borders = lying.iter().filter(|f| f.rank > 0);
    let past = borders.map(|f| if at_top { f.high - tall } else { -f.low }).fold(0.0, f64::max);
    if spec.rim > tall + past {
        let host = shaper.design.thing(host).name.to_string();
        return Err(errors::rim_too_long(&spec.name, spec.rim, &host, tall + past, spec.rim_span).into());
    }
    let (end, mouth) = if at_top { (tall + past, tall + past - spec.rim) } else { (-past, spec.rim - past) };
    let proud = proud(&lying, (end.min(mouth), end.max(mouth))) + turned_in(shaper, id);
    let gap = spec.gap.unwrap_or(0.5);
    let (shell, body) = place::host_wall(shaper, host)?;
    let clear = gap + proud;
    let (strip, inner, stands_off) = surface(shell, body, (end, mouth), clear)?;
    let outer = inner + thick;
    if ![end, mouth].iter().all(|&z| wall::exists_at(&strip, z, inner) && wall::exists_at(&strip, z, outer)) {
        return Err(errors::no_bore(&spec.name, spec.head).into());
    }
    let (facing, over) = (body.facing, shell.part);
    let strip = strip.begun_at(facing).ok_or(Stop::Skip)?;
    let frame = shaper.known.frames.get(&host).copied().unwrap_or(Frame::WORLD);
    let pair = shaper.solid.parts[shell.part.index()].pair;

    if stands_off > STANDS_OFF {
        shaper.faults.push(errors::rim_stands_off(&spec.name, stands_off, spec.head));
    }
    let clearances = clearances(shaper, over, &strip, (inner, clear));
    let bend = measure::mean_bend(std::slice::from_ref(&strip), inner);
    let layers = shaper.layers(&spec.of, inner, bend);
    let (lower, upper) = if at_top { (Rim::Square, Rim::Level) } else { (Rim::Level, Rim::Square) };
    let ring = Ring { strips: 0..1, lower, upper };
    let wall = Wall::plain(vec![strip.clone()], vec![ring], facing, Seam::Butt);
    let rim = shaper.next_part();
    joints::of_wall(shaper, rim, &wall);
    let mut add = |origin, size| shaper.solid.claims.push(Claim { part: rim, origin, size });
    add(spec.rim_span, Size::RimLong { mm: spec.rim });
    for (over, mm) in clearances {
        add(spec.gap_span, Size::Clearance { mm, over });
    }
    add(spec.of_span, Size::Thick { mm: thick });
    shaper.solid.parts.push(Part {
        id: rim,
        thing: id,
        name: format!("{} rim", spec.name),
        origin: spec.head,
        pair,
        layers,
        body: Body::Wall(wall),
        place: frame,
        split: true,
    });

    let show = if at_top { end + thick } else { end - thick };
    let plate = Plate { strip, depth: outer, show, hidden: end, holes: Vec::new(), sided: false, upright: false };
    let disc = push_plate(shaper, (id, spec), pair, plate, thick, frame);
    shaper.joints.push(joints::Draft {
        a: EdgeRef { part: disc, ring: 0, edge: EdgeName::Outline },
        b: EdgeRef { part: rim, ring: 0, edge: if at_top { EdgeName::Upper } else { EdgeName::Lower } },
        contact: Contact::Round { part: rim, strip: 0, z: end, depth: outer },
        what: format!("{} disc on its rim", spec.name),
    });
    let cap = Cap { host, at_top, fit: spec.fit, plate: disc, rim: Some(rim), inside: None, head: spec.head };
    shaper.caps_of.entry(host).or_default().push(id);
    shaper.known.caps.insert(id, cap);
    shaper.known.frames.insert(id, frame);
    Ok(())
}

/// A rim that stands off the wall by more than this beyond its clearance is told, mm (common practice, no source: a
/// strip of thin foam takes up less).
const STANDS_OFF: f64 = 4.0;

/// The surface the rim follows, the depth of its inner face from it, and how far that stands off the wall at most
/// beyond its clearance.
fn surface(shell: &Shell, body: &Wall, (end, mouth): (f64, f64), clear: f64) -> Result<(Strip, f64, f64), Stop> {
    let (lo, hi) = (end.min(mouth), end.max(mouth));
    let touched: Vec<&Strip> =
        body.strips.iter().filter(|s| s.heights().1 > lo + 1e-9 && s.heights().0 < hi - 1e-9).collect();
    let at_end = if end > mouth { touched.last() } else { touched.first() };
    let host = *at_end.ok_or(Stop::Skip)?;
    let outward = if end > mouth { 1.0 } else { -1.0 };
    let between = |a: &Section, b: &Section| Strip::new(a, lo, b, hi).map_err(|_| Stop::Skip);
    let normals = normals(&touched);
    let widens = |s: &Strip, phi: f64| measure::facing(s, phi).map_or(0.0, |r| outward * r.flare());
    let most = normals.iter().flat_map(|&phi| touched.iter().map(move |s| widens(s, phi))).fold(f64::MIN, f64::max);
    if most <= 1e-12
        && touched.len() == 1
        && let (Some(a), Some(b)) = (section_at(host, lo), section_at(host, hi))
    {
        return Ok((between(&a, &b)?, shell.outer + clear, 0.0));
    }
    let section = if end > mouth { shell.stations.last() } else { shell.stations.first() };
    let section = &section.ok_or(Stop::Skip)?.section;
    // Upright, `beyond` the edge's own outline: what the wall's outside needs in each direction, at the ends of each
    // strip, since it changes evenly between.
    let upright = between(section, section)?;
    let outside = |s: &Strip, phi: f64, z: f64| {
        measure::facing(s, phi).map_or(f64::NEG_INFINITY, |r| r.support_at(z, shell.outer).0)
    };
    let (mut beyond, mut least) = (f64::NEG_INFINITY, f64::INFINITY);
    for &phi in &normals {
        let edge = measure::facing(&upright, phi).map_or(0.0, |r| r.h0);
        // Past the wall's own end lies what stands on it, on the wall carried straight on.
        let ends = touched.iter().map(|s| {
            let (z0, z1) = s.heights();
            (*s, (if z0 < 1e-9 { z0.min(lo) } else { z0 }, if z1 > shell.tall - 1e-9 { z1.max(hi) } else { z1 }))
        });
        let needs = ends.flat_map(|(s, (z0, z1))| [outside(s, phi, z0.max(lo)), outside(s, phi, z1.min(hi))]);
        let need = needs.fold(f64::NEG_INFINITY, f64::max) - edge;
        (beyond, least) = (beyond.max(need), least.min(need));
    }
    Ok((upright, beyond + clear, beyond - least))
}

/// Directions all round, close together, with those of every straight side: there the widest place may be.
fn normals(strips: &[&Strip]) -> Vec<f64> {
    let ends = strips.iter().flat_map(|s| s.stretches()).flat_map(|t| [t.from, t.to]);
    (0..1440).map(|i| TAU * f64::from(i) / 1440.0).chain(ends).collect()
}

/// The section of a wall's measured face at a height between its planes, where it is of a form that can be written:
/// arcs mix to arcs, ovals of one proportion to ovals.
fn section_at(strip: &Strip, z: f64) -> Option<Section> {
    let (z0, z1) = strip.heights();
    let s = (z - z0) / (z1 - z0);
    let mix = |a: f64, b: f64| a + (b - a) * s;
    let elements = strip.stretches().iter().map(|t| {
        let curve = match (t.lower, t.upper) {
            (Curve::Round { centre: c0, radius: r0 }, Curve::Round { centre: c1, radius: r1 }) => {
                Curve::Round { centre: c0 + (c1 - c0) * s, radius: mix(r0, r1) }
            }
            (
                Curve::Oval { centre: c0, a: a0, b: b0, power, axis },
                Curve::Oval { centre: c1, a: a1, b: b1, power: p1, axis: axis1 },
            ) if power == p1 && axis == axis1 && (a0 * b1 - a1 * b0).abs() < 1e-9 * a0 * b0 => {
                Curve::Oval { centre: c0 + (c1 - c0) * s, a: mix(a0, a1), b: mix(b0, b1), power, axis }
            }
            _ => return None,
        };
        Some(Element { from: t.from, to: t.to, curve })
    });
    Section::new(elements.collect::<Option<Vec<_>>>()?).ok()
}

/// How far things stand off the wall between two heights: covers, then bands, then cords and beads lie on each other,
/// inside out, so the thickest of each counts.
pub(super) fn proud(lying: &[Foot], (lo, hi): (f64, f64)) -> f64 {
    let there = |rank: u8| lying.iter().filter(move |f| f.rank == rank && f.low <= hi && f.high >= lo);
    (0..=2).map(|rank| there(rank).map(|f| f.thick).fold(0.0, f64::max)).sum()
}

/// How far the rim stands clear of the wall it slides over and of every band on it, square to its sheet. Where no band
/// lies under it, that is what it was made for.
fn clearances(shaper: &Shaper<'_>, over: PartId, rim: &Strip, (inner, clear): (f64, f64)) -> Vec<(PartId, f64)> {
    let bands = shaper.bands.iter().filter(|b| b.1 == over);
    let to = |part: PartId| Some((part, nearest(&shaper.solid.parts[part.index()], rim, inner)?));
    let bands: Vec<(PartId, f64)> = bands.filter_map(|b| to(b.0)).collect();
    if bands.is_empty() {
        return vec![(over, clear)];
    }
    to(over).into_iter().chain(bands).collect()
}

/// How far a rim stands clear of a wall at the least: in every direction at the ends of what both have in common, since
/// it changes evenly between. `None` when they have no height in common.
fn nearest(part: &Part, rim: &Strip, inner: f64) -> Option<f64> {
    let (Body::Wall(wall), Some(layer)) = (&part.body, part.layers.last()) else { return None };
    let all: Vec<&Strip> = wall.strips.iter().chain([rim]).collect();
    let normals = normals(&all);
    let mut least: Option<f64> = None;
    for strip in &wall.strips {
        let (low, high) = (strip.heights().0.max(rim.heights().0), strip.heights().1.min(rim.heights().1));
        if high - low <= 1e-6 {
            continue;
        }
        for &phi in &normals {
            let (Some(own), Some(other)) = (measure::facing(rim, phi), measure::facing(strip, phi)) else { continue };
            for z in [low, high] {
                let apart = (own.support_at(z, inner).0 - other.support_at(z, layer.outer).0) / own.secant();
                least = Some(least.map_or(apart, |l: f64| l.min(apart)));
            }
        }
    }
    least
}

/// How thick what is turned in over a lid's own mouth is: its covers, which come to lie inside its rim.
fn turned_in(shaper: &mut Shaper<'_>, lid: ThingId) -> f64 {
    let mut sum = 0.0;
    for id in shaper.raised.get(&lid).cloned().unwrap_or_default() {
        let thing = shaper.design.thing(id);
        if thing.poisoned || thing.kind != Kind::Cover {
            continue;
        }
        let design = shaper.design;
        let found = shaper.read(id, None, |fields| {
            let outside = fields.maybe_word("face")? != Some("inside");
            let turned = fields.maybe_number("turn")?.unwrap_or(15.0) > 0.0;
            if outside && turned { goods::stands(design, fields, "of") } else { Ok(0.0) }
        });
        // What is wrong with it is said where it is built.
        sum += found.unwrap_or(0.0);
    }
    sum
}
