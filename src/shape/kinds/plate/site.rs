//! Where a plate goes: on, in, over or beside a shell, on its edge, on another plate, or at the prop's middle.

use super::super::super::{Shaper, errors, measure};
use super::super::place;
use super::spec::Spec;
use crate::design::{Kind, Relation};
use crate::eval::Stop;
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec3, left_of, unit};
use crate::ids::{PartId, ThingId};
use crate::solid::{Body, Form, Frame, Wall};
use crate::span::Span;

/// What it stands on, in, over or beside, all of it built.
#[derive(Clone, Copy, Debug)]
pub(super) enum Ground {
    Free,
    /// The inner or outer face of a wall.
    Wall {
        host: ThingId,
        inside: bool,
    },
    Edge {
        host: ThingId,
        at_top: bool,
    },
    Beside {
        host: ThingId,
    },
    Plate {
        part: PartId,
        span: Span,
    },
}

/// One place for a plate.
pub(super) struct Site {
    pub onto: Onto,
    /// How far along its target its middle lies.
    pub level: f64,
    pub pair: bool,
}

/// What holds it there.
pub(super) enum Onto {
    /// A plane: x out, y to the right as seen from there, z up, its middle at the origin. With `inner_at` its inner face
    /// lies at that height over the origin, else its measured face does.
    Plane { frame: Frame, inner_at: Option<f64> },
    /// A wall's surface, and the depth of the plate's inner face. Between `stations` the wall does not bend.
    Surface { strip: Strip, rule: Rule, z: f64, inner: f64, frame: Frame, stations: (f64, f64) },
}

pub(super) fn grounds(shaper: &Shaper<'_>, id: ThingId) -> Result<Vec<Ground>, Stop> {
    let thing = shaper.design.thing(id);
    let Some(target) = &thing.target else { return Ok(vec![Ground::Free]) };
    if target.anchors.is_empty() {
        return Err(Stop::Skip);
    }
    let mut out = Vec::new();
    for anchor in &target.anchors {
        let host = shaper.design.thing(anchor.thing);
        if host.kind == Kind::Plate && anchor.hand.is_none() {
            let plate = shaper.known.plates.get(&anchor.thing).ok_or(Stop::Skip)?;
            if target.relation != Relation::On || anchor.edge.is_some() {
                return Err(
                    errors::not_built_yet("a plate in, over, beside or at the edge of another", target.span).into()
                );
            }
            out.extend(plate.parts.iter().map(|&part| Ground::Plate { part, span: target.span }));
            continue;
        }
        let host = place::built(shaper, anchor, target.span)?;
        out.push(match (target.relation, anchor.edge) {
            (Relation::On, Some("top")) => Ground::Edge { host, at_top: true },
            (Relation::On, Some("bottom")) => Ground::Edge { host, at_top: false },
            (Relation::On | Relation::Over, None) => Ground::Wall { host, inside: false },
            (Relation::In, None) => Ground::Wall { host, inside: true },
            (Relation::Beside, None) => Ground::Beside { host },
            (_, Some(edge)) => return Err(errors::not_built_yet(&format!("a plate at `{edge}`"), target.span).into()),
        });
    }
    Ok(out)
}

impl Ground {
    /// Where `bottom`, `middle` and `top` lie.
    pub(super) fn levels(&self, shaper: &Shaper<'_>) -> Option<[f64; 3]> {
        let tall = match self {
            Self::Free => return None,
            Self::Wall { host, .. } | Self::Edge { host, .. } | Self::Beside { host } => {
                shaper.known.shells.get(host)?.tall
            }
            Self::Plate { part, .. } => {
                let Body::Leaf(leaf) = &shaper.solid.parts[part.index()].body else { return None };
                let (lo, hi) = leaf.outline.bounds()?;
                hi.y - lo.y
            }
        };
        Some([0.0, 0.5 * tall, tall])
    }
}

fn one(spec: &Spec) -> Result<(), Stop> {
    let s = &spec.spread;
    if s.count > 1.0 || s.every.is_some() {
        return Err(errors::not_built_yet("several plates but round or along a wall", spec.head).into());
    }
    if s.margin.is_some() || s.ends.is_some() {
        return Err(errors::not_built_yet("a plate's `margin` or `ends` but on a wall", spec.head).into());
    }
    Ok(())
}

/// The frame of a plane that faces a direction, its middle at a point.
fn upright(base: &Frame, facing: f64, at: Vec3) -> Frame {
    let n = unit(facing);
    Frame {
        origin: base.apply(at),
        x: base.direction(n.extend(0.0)),
        y: base.direction(left_of(n).extend(0.0)),
        z: base.z,
    }
}

pub(super) fn sites(shaper: &Shaper<'_>, ground: &Ground, spec: &Spec, thick: f64) -> Result<Vec<Site>, Stop> {
    let (lo, hi) = spec.shape.path.bounds().unwrap_or_default();
    let facing = spec.spread.facing;
    match *ground {
        Ground::Free => {
            one(spec)?;
            if spec.gap_written {
                return Err(errors::not_built_yet("a gap to nothing", spec.gap_span).into());
            }
            // It stands on the ground unless it is lifted.
            let level = spec.spread.level.unwrap_or(-lo.y);
            let frame = upright(&Frame::WORLD, facing, Vec3::new(0.0, 0.0, level) + spec.spread.shift);
            let level = level + spec.spread.shift.z;
            Ok(vec![Site { onto: Onto::Plane { frame, inner_at: None }, level, pair: false }])
        }
        Ground::Edge { host, at_top } => {
            one(spec)?;
            if spec.spread.level.is_some() {
                return Err(errors::not_built_yet("a plate's level on an edge", spec.spread.level_span).into());
            }
            let (shell, wall) = place::host_wall(shaper, host)?;
            let (strip, z) = if at_top { (wall.strips.last(), shell.tall) } else { (wall.strips.first(), 0.0) };
            let rule = strip.and_then(|s| measure::facing(s, facing)).ok_or(Stop::Skip)?;
            let p = rule.point(z, shell.outer);
            let level = if at_top { z + spec.gap - lo.y } else { z - spec.gap - hi.y };
            let base = shaper.solid.parts[shell.part.index()].place;
            let frame = upright(&base, rule.phi, Vec3::new(p.x, p.y, level) + spec.spread.shift);
            let level = level + spec.spread.shift.z;
            // Outer skins meet.
            let onto = Onto::Plane { frame, inner_at: Some(-thick) };
            Ok(vec![Site { onto, level, pair: shaper.solid.parts[shell.part.index()].pair }])
        }
        Ground::Beside { host } => {
            one(spec)?;
            let (shell, wall) = place::host_wall(shaper, host)?;
            let far = place::far(shell, wall, facing);
            let level = spec.spread.level.unwrap_or(-lo.y);
            let n = unit(facing) * (far + spec.gap);
            let part = &shaper.solid.parts[shell.part.index()];
            let frame = upright(&part.place, facing, Vec3::new(n.x, n.y, level) + spec.spread.shift);
            let level = level + spec.spread.shift.z;
            Ok(vec![Site { onto: Onto::Plane { frame, inner_at: Some(0.0) }, level, pair: part.pair }])
        }
        Ground::Wall { host, inside } => {
            let (shell, wall) = place::host_wall(shaper, host)?;
            let part = &shaper.solid.parts[shell.part.index()];
            let spots = spec.spread.on_wall(wall, shell.tall)?;
            let inner = if inside { shell.inner - spec.gap - thick } else { shell.outer + spec.gap };
            let own = spec.bent.is_some() || spec.flat;
            let site = |(index, rule, z): (usize, Rule, f64)| {
                let onto = if own {
                    let normal = rule.normal();
                    let tangent = rule.tangent();
                    let up = normal.cross(tangent);
                    let frame = Frame {
                        origin: part.place.apply(rule.point(z, 0.0)),
                        x: part.place.direction(normal),
                        y: part.place.direction(tangent),
                        z: part.place.direction(up),
                    };
                    Onto::Plane { frame, inner_at: Some(inner) }
                } else {
                    let strip = wall.strips[index].clone();
                    Onto::Surface { strip, rule, z, inner, frame: part.place, stations: unbent(wall, index) }
                };
                Site { onto, level: z, pair: part.pair }
            };
            // A rule's own heights are those of its strip.
            Ok(spots.into_iter().map(site).collect())
        }
        Ground::Plate { part, span } => {
            one(spec)?;
            if spec.spread.facing_written {
                return Err(errors::not_built_yet("a plate's facing on another plate", span).into());
            }
            if spec.spread.shift != Vec3::ZERO {
                return Err(errors::not_built_yet("a plate that is moved on another", spec.spread.shift_span).into());
            }
            on_plate(shaper, part, spec)
        }
    }
}

/// The heights between which a wall runs straight on from a strip: without end past its free ends.
fn unbent(wall: &Wall, index: usize) -> (f64, f64) {
    let Some(ring) = wall.rings.iter().find(|r| r.strips.contains(&index)) else {
        return (f64::INFINITY, f64::INFINITY);
    };
    let low = if ring.strips.start == 0 { f64::NEG_INFINITY } else { wall.strips[ring.strips.start].heights().0 };
    let last = ring.strips.end == wall.strips.len();
    let high = if last { f64::INFINITY } else { wall.strips[ring.strips.end - 1].heights().1 };
    (low, high)
}

fn on_plate(shaper: &Shaper<'_>, id: PartId, spec: &Spec) -> Result<Vec<Site>, Stop> {
    let part = &shaper.solid.parts[id.index()];
    let Body::Leaf(leaf) = &part.body else { return Err(Stop::Skip) };
    let (lo, hi) = leaf.outline.bounds().ok_or(Stop::Skip)?;
    let outer = part.layers.last().map_or(0.0, |l| l.outer);
    let level = spec.spread.level.unwrap_or(0.5 * (hi.y - lo.y));
    if !(0.0..=hi.y - lo.y).contains(&level) {
        return Err(errors::off_the_wall(&spec.name, level, hi.y - lo.y, spec.spread.level_span).into());
    }
    let up = lo.y + level;
    let inner = outer + spec.gap;
    let onto = match &leaf.form {
        Form::Flat => {
            let origin = part.place.apply(Vec3::new(0.0, 0.0, up));
            Onto::Plane { frame: Frame { origin, ..part.place }, inner_at: Some(inner) }
        }
        Form::Bent { strip, rule, z } => {
            let there = z + up / rule.secant();
            if spec.flat || spec.bent.is_some() {
                let (normal, tangent) = (rule.normal(), rule.tangent());
                let frame = Frame {
                    origin: part.place.apply(rule.point(there, 0.0)),
                    x: part.place.direction(normal),
                    y: part.place.direction(tangent),
                    z: part.place.direction(normal.cross(tangent)),
                };
                Onto::Plane { frame, inner_at: Some(inner) }
            } else {
                let stations = (f64::NEG_INFINITY, f64::INFINITY);
                Onto::Surface { strip: strip.clone(), rule: *rule, z: there, inner, frame: part.place, stations }
            }
        }
    };
    Ok(vec![Site { onto, level, pair: part.pair }])
}
