//! `opening`: holes through walls and caps. Whether they have room is seen when they are laid flat.

use super::super::hole::{self, Shape};
use super::super::known::Opening;
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
    let (tall, part) = (shell.tall, shell.part);
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), read)?;
    let (_, wall) = place::host_wall(shaper, host)?;
    let spots = spots(&spec, wall, tall)?;
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
            number: None,
        });
    }
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
        rule.map(|r| (strip, r)).ok_or_else(|| errors::outline_broken(spec.head).into())
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
    if spec.count <= 1.0 && spec.every.is_none() {
        return Ok(vec![(strip, first, level)]);
    }
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

fn on_cap(shaper: &mut Shaper<'_>, id: ThingId, anchor: &Anchor, span: Span) -> Result<(), Stop> {
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("an opening in one of a pair only", span).into());
    }
    let cap = shaper.known.caps.get(&anchor.thing).ok_or(Stop::Skip)?;
    let (part, at_top) = (cap.plate, cap.at_top);
    let Body::Plate(plate) = &shaper.solid.parts[part.index()].body else { return Err(Stop::Skip) };
    let (first, plate) = (plate.holes.len(), Plate { strip: plate.strip.clone(), holes: Vec::new(), ..*plate });
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
    let turned = turns.iter().any(|t| t.1.is_some()) && !spec.shape.round;
    let level = plate.show;
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
    let first = measure::facing(strip, spec.facing).ok_or_else(|| errors::outline_broken(spec.head))?;
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
