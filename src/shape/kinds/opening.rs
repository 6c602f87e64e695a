//! `opening`: holes through walls and caps. Whether they have room is seen when they are laid flat.

use super::super::hole::{self, Shape};
use super::super::known::Opening;
use super::super::{Shaper, errors};
use super::spread::Spread;
use super::{panels, place};
use crate::design::{Anchor, Kind};
use crate::eval::{Fields, Stop};
use crate::geom::Vec2;
use crate::geom::path::{Motion, Path};
use crate::ids::{PartId, ThingId};
use crate::num::{self, FRAC_PI_2, TAU};
use crate::solid::{Body, Claim, Hole, Plate, PlateHole, Size};
use crate::span::Span;

struct Spec {
    name: String,
    head: Span,
    shape: Shape,
    shape_span: Span,
    spread: Spread,
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
        spread: Spread::read(fields)?,
    })
}

impl Spec {
    /// Its outline as it is turned on its face, and its widths so; where its middle is then not its own, it has no such sizes.
    fn turned(&self) -> Result<(Path, Option<(f64, f64)>), Stop> {
        if self.spread.spin == 0.0 {
            return Ok((self.shape.path.clone(), Some((self.shape.across, self.shape.up))));
        }
        let outline = self.shape.path.moved(&Motion { turn: self.spread.spin, ..Motion::STAY });
        let (lo, hi) = outline.bounds().ok_or(Stop::Skip)?;
        let sized = (lo + hi).length() < 1e-9;
        Ok((outline, sized.then_some((hi.x - lo.x, hi.y - lo.y))))
    }
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
        if shaper.known.plates.contains_key(&anchor.thing) {
            on_plate(shaper, id, anchor, target.span)?;
        } else if shaper.design.thing(anchor.thing).kind == Kind::Cap {
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
    if anchor.hand.is_none() && shaper.known.panelled.contains_key(&anchor.thing) {
        return on_panels(shaper, id, anchor.thing);
    }
    let host = place::built(shaper, anchor, span)?;
    let (shell, _) = place::host_wall(shaper, host)?;
    let (tall, part) = (shell.tall, shell.part);
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), read)?;
    let (_, wall) = place::host_wall(shaper, host)?;
    let spots = spec.spread.on_wall(wall, tall)?;
    let (outline, sized) = spec.turned()?;
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
            outline: outline.clone(),
            number: None,
        });
    }
    let level = spots.first().map_or(0.0, |s| s.2);
    let Body::Wall(wall) = &mut shaper.solid.parts[part.index()].body else { return Err(Stop::Skip) };
    for hole in holes {
        if let Some((across, up)) = sized {
            let facing = num::wrap(hole.rule.phi, TAU);
            let size = Size::Hole { hole: wall.holes.len(), level: hole.z, facing, across, up };
            shaper.solid.claims.push(Claim { part, origin: spec.shape_span, size });
        }
        wall.holes.push(hole);
    }
    remember(shaper, id, &spec.shape, level);
    Ok(())
}

fn on_panels(shaper: &mut Shaper<'_>, id: ThingId, host: ThingId) -> Result<(), Stop> {
    let shell = shaper.known.panelled.get(&host).ok_or(Stop::Skip)?;
    let (tall, wall) = (shell.tall, panels::as_wall(shell));
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), read)?;
    let spots = spec.spread.on_wall(&wall, tall)?;
    let many = spots.len() > 1;
    let (outline, size) = spec.turned()?;
    let hole = |i: usize| PlateHole {
        thing: id,
        name: if many { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() },
        origin: spec.head,
        outline: outline.clone(),
        number: None,
    };
    let level = spots.first().map_or(0.0, |s| s.2);
    let holes = spots.into_iter().enumerate().map(|(i, spot)| (spot, hole(i))).collect();
    panels::pierce(shaper, host, holes, size, (&spec.spread, spec.shape_span))?;
    remember(shaper, id, &spec.shape, level);
    Ok(())
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
    let turns = spec.spread.on_plate(&plate)?;
    let path = spec.shape.path.moved(&Motion { turn: spec.spread.spin, ..Motion::STAY });
    let mut holes: Vec<(PlateHole, Vec2)> = Vec::new();
    for (i, (centre, turn)) in turns.iter().enumerate() {
        let name = if turns.len() > 1 { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() };
        let outline = seen(&path, at_top, *turn, *centre);
        holes.push((PlateHole { thing: id, name, origin: spec.head, outline, number: None }, *centre));
    }
    let turned = (spec.spread.spin != 0.0 || turns.iter().any(|t| t.1.is_some())) && !spec.shape.round;
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

/// Holes in every one of a plate: at their level along its up, in the middle of its width, or spread along it.
fn on_plate(shaper: &mut Shaper<'_>, id: ThingId, anchor: &Anchor, span: Span) -> Result<(), Stop> {
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("an opening in one of a pair only", span).into());
    }
    let parts = shaper.known.plates.get(&anchor.thing).ok_or(Stop::Skip)?.parts.clone();
    let mut first = None;
    for part in parts {
        let Body::Leaf(leaf) = &shaper.solid.parts[part.index()].body else { return Err(Stop::Skip) };
        let (lo, hi) = leaf.outline.bounds().ok_or(Stop::Skip)?;
        let (from, tall) = (leaf.holes.len(), hi.y - lo.y);
        let leaf = leaf.clone();
        let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), read)?;
        let places = spec.spread.on_leaf(&leaf)?;
        let (turned, sized) = spec.turned()?;
        for (i, &(centre, turn)) in places.iter().enumerate() {
            let name = if places.len() > 1 { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() };
            let outline = turned.moved(&Motion { mirror: false, turn, shift: centre });
            if let Some((across, by)) = sized.filter(|_| turn == 0.0 || spec.shape.round) {
                let size = Size::PlateHole { hole: from + i, centre, across, by };
                shaper.solid.claims.push(Claim { part, origin: spec.shape_span, size });
            }
            if let Body::Leaf(leaf) = &mut shaper.solid.parts[part.index()].body {
                leaf.holes.push(PlateHole { thing: id, name, origin: spec.head, outline, number: None });
            }
        }
        first = first.or(places.first().map(|p| (spec.shape.clone(), leaf.level(p.0))));
    }
    if let Some((shape, level)) = first {
        remember(shaper, id, &shape, level);
    }
    Ok(())
}

fn keep(shaper: &mut Shaper<'_>, part: PartId, holes: impl Iterator<Item = PlateHole>) {
    if let Body::Plate(plate) = &mut shaper.solid.parts[part.index()].body {
        plate.holes.extend(holes);
    }
}

/// A shape seen on the show face → the section plane, counter-clockwise. Seen from above with the front up the page,
/// right on the page is the wearer's right; seen from below it is the wearer's left, so the shape is mirrored.
pub(super) fn seen(path: &Path, at_top: bool, up: Option<f64>, centre: Vec2) -> Path {
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
