//! `opening`: holes through walls and caps.

use super::super::hole::{self, Shape};
use super::super::known::{self, Opening};
use super::super::panel::Panel;
use super::super::{Shaper, errors, measure};
use super::place;
use crate::design::{Anchor, Kind};
use crate::eval::{Fields, Stop};
use crate::geom::path::{Motion, Path};
use crate::geom::strip::Rule;
use crate::geom::{Vec2, unit};
use crate::ids::{PartId, ThingId};
use crate::num::{self, FRAC_PI_2, TAU};
use crate::solid::{Body, Claim, Hole, Plate, PlateHole, Size, Wall};
use crate::span::Span;

struct Spec {
    name: String,
    head: Span,
    shape: Shape,
    shape_span: Span,
    level: Option<f64>,
    level_span: Span,
    facing: f64,
    facing_written: bool,
    count: f64,
    every: Option<f64>,
    along: bool,
    margin: Option<f64>,
    ends: Option<f64>,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let shape_span = fields.span("shape");
    let shape = fields.value("shape")?;
    if fields.maybe("fill")?.is_some() {
        return Err(errors::not_built_yet("an opening that is filled", fields.span("fill")).into());
    }
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        shape: hole::read(&shape, shape_span)?,
        shape_span,
        level: fields.maybe_number("level")?,
        level_span: fields.span("level"),
        facing: fields.maybe_number("facing")?.unwrap_or(0.0),
        facing_written: fields.written("facing"),
        count: fields.maybe_number("count")?.unwrap_or(1.0),
        every: fields.maybe_number("every")?,
        along: fields.maybe_word("spread")? == Some("along"),
        margin: fields.maybe_number("margin")?,
        ends: fields.maybe_number("ends")?,
    })
}

/// Builds the holes of an opening, on each of its targets.
///
/// # Errors
/// When a hole has no room.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let target = thing.target.as_ref().ok_or(Stop::Skip)?;
    for anchor in &target.anchors {
        if anchor.edge.is_some() {
            return Err(errors::not_built_yet("an opening on an edge", target.span).into());
        }
        if shaper.design.thing(anchor.thing).kind == Kind::Cap {
            on_cap(shaper, id, anchor, target.span)?;
        } else {
            on_wall(shaper, id, anchor, target.span)?;
        }
    }
    Ok(())
}

fn remember(shaper: &mut Shaper<'_>, id: ThingId, shape: &Shape, level: f64) {
    let long = shape.path.length();
    let o = Opening { around: long, across: shape.across, long: shape.up, area: shape.path.area(), level };
    shaper.known.openings.insert(id, o);
}

fn on_wall(shaper: &mut Shaper<'_>, id: ThingId, anchor: &Anchor, span: Span) -> Result<(), Stop> {
    let host = place::built(shaper, anchor, span)?;
    let (shell, _) = place::host_wall(shaper, host)?;
    let (tall, part, faces) = (shell.tall, shell.part, (shell.inner, shell.outer));
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), read)?;
    let (_, wall) = place::host_wall(shaper, host)?;
    let spots = spots(&spec, wall, tall)?;
    let layer = *shaper.solid.parts[part.index()].layers.first().ok_or(Stop::Skip)?;
    let mut holes: Vec<Hole> = Vec::with_capacity(spots.len());
    for (i, (strip, rule, z)) in spots.iter().enumerate() {
        let name = if spots.len() > 1 { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() };
        holes.push(Hole {
            thing: id,
            name,
            origin: spec.head,
            strip: *strip,
            rule: *rule,
            z: *z,
            outline: spec.shape.path.clone(),
        });
    }
    room(&spec, wall, &layer, faces, &holes)?;
    let level = spots.first().map_or(0.0, |s| s.2);
    let Body::Wall(wall) = &mut shaper.solid.parts[part.index()].body else { return Err(Stop::Skip) };
    for hole in holes {
        let size = Size::Hole {
            hole: wall.holes.len(),
            level: hole.z,
            facing: num::wrap(hole.rule.phi, TAU),
            across: spec.shape.across,
            up: spec.shape.up,
        };
        shaper.solid.claims.push(Claim { part, origin: spec.shape_span, size });
        wall.holes.push(hole);
    }
    remember(shaper, id, &spec.shape, level);
    Ok(())
}

/// The strip, rule and height of each hole.
fn spots(spec: &Spec, wall: &Wall, tall: f64) -> Result<Vec<(usize, Rule, f64)>, Stop> {
    let at = |level: f64| -> Result<(usize, Rule), Stop> {
        if !(0.0..=tall).contains(&level) {
            return Err(errors::off_the_wall(&spec.name, level, tall, spec.level_span).into());
        }
        let strip = wall.strips.iter().position(|s| level <= s.heights().1 + 1e-9).unwrap_or(wall.strips.len() - 1);
        let rule = measure::facing(&wall.strips[strip], spec.facing);
        rule.map(|r| (strip, r)).ok_or_else(|| errors::faces_hollow(spec.facing, spec.head).into())
    };
    if spec.along {
        let ends = spec.ends.or(spec.margin);
        let free = tall - 2.0 * ends.unwrap_or(0.0);
        if free < 0.0 {
            return Err(errors::no_room_between_ends(ends.unwrap_or(0.0), tall, spec.head).into());
        }
        let n = spec.every.map_or(spec.count, |p| (free / p).ceil() + if ends.is_some() { 1.0 } else { 0.0 }).max(1.0);
        check_count(n, spec)?;
        let mut list = Vec::new();
        let mut i = 0.0;
        while i < n {
            // With ends given the first and last lie on them; else each has its share of the wall.
            let level = match ends {
                Some(e) if n > 1.0 => e + free * i / (n - 1.0),
                _ => tall * (i + 0.5) / n,
            };
            let (strip, rule) = at(level)?;
            list.push((strip, rule, level));
            i += 1.0;
        }
        return Ok(list);
    }
    if let Some(margin) = spec.margin
        && spec.level.is_none()
    {
        return Err(errors::margin_or_level(margin, spec.head).into());
    }
    let level = spec.level.unwrap_or(0.5 * tall);
    let (strip, first) = at(level)?;
    let surface = &wall.strips[strip];
    let girth = measure::girth(surface, level, 0.0);
    let n = spec.every.map_or(spec.count, |p| (girth / p).ceil()).max(1.0);
    check_count(n, spec)?;
    let start = measure::along_to(surface, level, 0.0, &first);
    let mut list = vec![(strip, first, level)];
    let mut i = 1.0;
    while i < n {
        let s = num::wrap(start + girth * i / n, girth);
        list.push((strip, measure::rule_along(surface, level, 0.0, s), level));
        i += 1.0;
    }
    Ok(list)
}

/// As many holes as the language lets a file have things.
const MOST: f64 = 10_000.0;

fn check_count(n: f64, spec: &Spec) -> Result<(), Stop> {
    if n <= MOST { Ok(()) } else { Err(errors::too_many_holes(n, MOST, spec.head).into()) }
}

/// Every hole lies on sheet, off the seam, the rims and the other holes.
fn room(spec: &Spec, wall: &Wall, layer: &crate::solid::Layer, faces: (f64, f64), holes: &[Hole]) -> Result<(), Stop> {
    let outline = hole::polygon(&spec.shape.path, 2.0);
    for (ring, r) in wall.rings.iter().enumerate() {
        let here = |h: &&Hole| r.strips.contains(&h.strip);
        let mut fresh = holes.iter().filter(here).peekable();
        if fresh.peek().is_none() {
            continue;
        }
        let panel = Panel::new(wall, ring, layer, faces).ok_or(Stop::Skip)?;
        let mut taken: Vec<(Vec<Vec2>, &Hole)> = Vec::new();
        for old in wall.holes.iter().filter(here) {
            taken.push((moved(&panel, old, &hole::polygon(&old.outline, 2.0))?, old));
        }
        for h in fresh {
            let points = moved(&panel, h, &outline)?;
            if !panel.holds(&points) || in_gap(wall, layer.neutral, h, &spec.shape) {
                return Err(errors::off_the_sheet(&h.name, spec.head).into());
            }
            if let Some((_, other)) = taken.iter().find(|(q, _)| touch(&points, q)) {
                return Err(errors::holes_overlap(&h.name, spec.head, &other.name, other.origin).into());
            }
            taken.push((points, h));
        }
    }
    Ok(())
}

fn moved(panel: &Panel, hole: &Hole, outline: &[Vec2]) -> Result<Vec<Vec2>, Stop> {
    let (shift, turn) = panel.place(hole).ok_or(Stop::Skip)?;
    let motion = Motion { mirror: false, turn, shift };
    Ok(outline.iter().map(|p| motion.apply(*p)).collect())
}

/// Whether a hole reaches into the gap of an open seam, by the girth at its height.
fn in_gap(wall: &Wall, neutral: f64, hole: &Hole, shape: &Shape) -> bool {
    let strip = &wall.strips[hole.strip];
    let gap = known::gap_at(wall, neutral, strip, hole.z, neutral);
    let girth = measure::girth(strip, hole.z, neutral);
    let at = measure::along_to(strip, hole.z, neutral, &hole.rule);
    gap > 0.0 && at.min(girth - at) < 0.5 * (gap + shape.across)
}

/// Whether two polygons share a place: a point of one within the other (their sides are short).
fn touch(a: &[Vec2], b: &[Vec2]) -> bool {
    let bounds =
        |list: &[Vec2]| list.iter().fold((Vec2::INFINITY, Vec2::NEG_INFINITY), |(lo, hi), p| (lo.min(*p), hi.max(*p)));
    let ((alo, ahi), (blo, bhi)) = (bounds(a), bounds(b));
    if alo.x > bhi.x || blo.x > ahi.x || alo.y > bhi.y || blo.y > ahi.y {
        return false;
    }
    a.iter().any(|p| hole::within(*p, b)) || b.iter().any(|p| hole::within(*p, a))
}

fn on_cap(shaper: &mut Shaper<'_>, id: ThingId, anchor: &Anchor, span: Span) -> Result<(), Stop> {
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("an opening in one of a pair only", span).into());
    }
    let cap = shaper.known.caps.get(&anchor.thing).ok_or(Stop::Skip)?;
    let (part, at_top) = (cap.plate, cap.at_top);
    let Body::Plate(plate) = shaper.solid.parts[part.index()].body.clone() else { return Err(Stop::Skip) };
    let spec = shaper.read(id, None, read)?;
    if spec.level.is_some() {
        return Err(errors::level_on_cap(spec.level_span).into());
    }
    let turns = turns(&spec, &plate)?;
    let mut holes: Vec<(PlateHole, Vec2)> = Vec::new();
    for (i, (centre, turn)) in turns.iter().enumerate() {
        let name = if turns.len() > 1 { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() };
        let outline = seen(&spec.shape.path, at_top, *turn, *centre);
        holes.push((PlateHole { thing: id, name, origin: spec.head, outline }, *centre));
    }
    plate_room(&plate, &spec, &holes)?;
    let turned = turns.iter().any(|t| t.1.is_some()) && !spec.shape.round;
    let level = plate.show;
    let first = plate.holes.len();
    for (i, (_, centre)) in holes.iter().enumerate() {
        if !turned {
            let size =
                Size::PlateHole { hole: first + i, centre: *centre, across: spec.shape.across, by: spec.shape.up };
            shaper.solid.claims.push(Claim { part, origin: spec.shape_span, size });
        }
    }
    keep(shaper, part, holes.into_iter().map(|h| h.0));
    remember(shaper, id, &spec.shape, level);
    Ok(())
}

fn keep(shaper: &mut Shaper<'_>, part: PartId, holes: impl Iterator<Item = PlateHole>) {
    if let Body::Plate(plate) = &mut shaper.solid.parts[part.index()].body {
        plate.holes.extend(holes);
    }
}

/// The middles of the holes of a cap, and the direction their up points to where they are set round its edge.
fn turns(spec: &Spec, plate: &Plate) -> Result<Vec<(Vec2, Option<f64>)>, Stop> {
    let (strip, z, d) = (&plate.strip, plate.show, plate.depth);
    let Some(margin) = spec.margin else {
        if spec.facing_written || spec.count > 1.0 || spec.every.is_some() {
            return Err(errors::needs_margin(&spec.name, spec.head).into());
        }
        let reach = |phi: f64| measure::facing(strip, phi).map_or(0.0, |r| r.support_at(z, d).0);
        let middle = |phi: f64| 0.5 * (reach(phi) - reach(phi + num::PI));
        return Ok(vec![(Vec2::new(middle(0.0), middle(FRAC_PI_2)), None)]);
    };
    let girth = measure::girth(strip, z, d);
    let n = spec.every.map_or(spec.count, |p| (girth / p).ceil()).max(1.0);
    check_count(n, spec)?;
    let first = measure::facing(strip, spec.facing).ok_or_else(|| errors::faces_hollow(spec.facing, spec.head))?;
    let start = measure::along_to(strip, z, d, &first);
    let mut list = Vec::new();
    let mut i = 0.0;
    while i < n {
        let rule =
            if i == 0.0 { first } else { measure::rule_along(strip, z, d, num::wrap(start + girth * i / n, girth)) };
        let p = rule.point(z, d);
        list.push((Vec2::new(p.x, p.y) - unit(rule.phi) * margin, Some(rule.phi)));
        i += 1.0;
    }
    Ok(list)
}

/// A shape seen on the show face → the section plane, counter-clockwise. Seen from above with the front up the page,
/// right on the page is the wearer's right; seen from below it is the wearer's left, so the shape is mirrored.
fn seen(path: &Path, at_top: bool, up: Option<f64>, centre: Vec2) -> Path {
    let up = up.unwrap_or(0.0);
    let motion = Motion { mirror: !at_top, turn: up - FRAC_PI_2, shift: centre };
    let there = path.moved(&motion);
    if at_top { there } else { there.reversed() }
}

fn plate_room(plate: &Plate, spec: &Spec, holes: &[(PlateHole, Vec2)]) -> Result<(), Stop> {
    let edge = |z: f64| -> Vec<Vec2> {
        let mut points = Vec::new();
        for (i, s) in plate.strip.stretches().iter().enumerate() {
            for j in 0..=90 {
                let rule = plate.strip.rule(i, s.from + (s.to - s.from) * f64::from(j) / 90.0);
                let p = rule.point(z, plate.depth);
                points.push(Vec2::new(p.x, p.y));
            }
        }
        points
    };
    let edges = [edge(plate.show), edge(plate.hidden)];
    let mut taken: Vec<(Vec<Vec2>, String, Span)> =
        plate.holes.iter().map(|h| (hole::polygon(&h.outline, 2.0), h.name.clone(), h.origin)).collect();
    for (h, _) in holes {
        let points = hole::polygon(&h.outline, 2.0);
        if !edges.iter().all(|e| points.iter().all(|p| hole::within(*p, e))) {
            return Err(errors::off_the_sheet(&h.name, spec.head).into());
        }
        if let Some((_, name, origin)) = taken.iter().find(|(q, _, _)| touch(&points, q)) {
            return Err(errors::holes_overlap(&h.name, spec.head, name, *origin).into());
        }
        taken.push((points, h.name.clone(), spec.head));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shape_on_a_base_is_seen_from_below() {
        // A flag that points to the right on the page.
        let flag = Path::polygon(&[Vec2::ZERO, Vec2::new(9.0, 0.0), Vec2::new(0.0, 3.0)]);
        let (lo, hi) = seen(&flag, true, None, Vec2::ZERO).bounds().unwrap();
        assert!(
            (lo.y + 9.0).abs() < 1e-9 && (hi.x - 3.0).abs() < 1e-9,
            "on top: to the wearer's right, up to the front"
        );
        let below = seen(&flag, false, None, Vec2::ZERO);
        let (_, hi) = below.bounds().unwrap();
        assert!((hi.y - 9.0).abs() < 1e-9 && (hi.x - 3.0).abs() < 1e-9, "below: to the wearer's left");
        assert!(below.area() > 0.0);
    }
}
