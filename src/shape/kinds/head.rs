//! A cap of cloth that lies on a wall's end and is turned down over the wall: a drum's head. Laid flat it is the disc and
//! what is turned down round it, in one piece, with the cuts that let it lie (`develop::turn`). A band at that edge lies on
//! it, and is longer for it.

use super::super::{Shaper, errors};
use super::cap::{Fit, Spec};
use super::place;
use crate::eval::Stop;
use crate::ids::{PartId, ThingId};
use crate::solid::{Body, EdgeName, EdgeRef, Onto, Rim, Turn};

/// What folds over an edge.
const FOLDS: [&str; 2] = ["cloth", "leather"];

/// Whether a cap may be turned down as it is written.
///
/// # Errors
/// When its goods do not fold. That it has no edge to be turned over is only told.
pub(super) fn may_turn(shaper: &mut Shaper<'_>, spec: &Spec) -> Result<(), Stop> {
    if spec.turn <= 0.0 {
        return Ok(());
    }
    if spec.fit != Fit::Flush {
        shaper.faults.push(errors::turns_where_it_lies_on_the_end(&spec.name, spec.turn_span));
        return Ok(());
    }
    for anchor in &spec.of {
        let stock = &shaper.known.sheets.get(&anchor.thing).ok_or(Stop::Skip)?.stock;
        if !FOLDS.contains(&stock.sort) {
            return Err(errors::does_not_fold(&spec.name, &stock.name, stock.sort, spec.of_span).into());
        }
    }
    Ok(())
}

/// Turns the edge of a cap down over its wall, as far as that runs on in one piece.
pub(super) fn turn(
    shaper: &mut Shaper<'_>,
    spec: &Spec,
    (host, at_top): (ThingId, bool),
    part: PartId,
) -> Result<(), Stop> {
    let name = shaper.design.thing(host).name.to_string();
    let (_, body) = place::host_wall(shaper, host)?;
    let ring = if at_top { body.rings.last() } else { body.rings.first() }.ok_or(Stop::Skip)?;
    if !matches!(if at_top { ring.upper } else { ring.lower }, Rim::Level) {
        return Err(errors::not_built_yet("a cap turned down over an end that is not cut level", spec.turn_span).into());
    }
    let long = |i: usize| body.strips[i].heights().1 - body.strips[i].heights().0;
    let room: f64 = ring.strips.clone().map(long).sum();
    if room < spec.turn {
        let stop = format!("the end of that stretch of {name}");
        shaper.faults.push(errors::turn_shortened(&spec.name, (spec.turn, room), &stop, spec.turn_span));
    }
    let at = EdgeRef { part, ring: 0, edge: EdgeName::Outline };
    let (wide, origin) = (spec.turn.min(room), spec.turn_span);
    shaper.solid.turns.push(Turn { at, origin, wide, relief: spec.relief, onto: Onto::Side, glued: None });
    Ok(())
}

/// What is cut into a wall where a cap is turned down over it would lie under cloth: that is told.
pub(in super::super) fn look(shaper: &mut Shaper<'_>) {
    let mut told = Vec::new();
    for cap in shaper.known.caps.values() {
        let turn = shaper.solid.turns.iter().find(|t| t.at.part == cap.plate && t.onto == Onto::Side && t.wide > 0.0);
        let (Some(turn), Some(shell)) = (turn, shaper.known.shells.get(&cap.host)) else { continue };
        let Body::Wall(wall) = &shaper.solid.parts[shell.part.index()].body else { continue };
        for hole in &wall.holes {
            let Some((lo, hi)) = hole.outline.bounds() else { continue };
            // On a wall that leans it reaches less far up, so that nothing is left untold.
            let free = if cap.at_top { shell.tall - (hole.z + hi.y) } else { hole.z + lo.y };
            if free < turn.wide {
                let name = shaper.solid.parts[cap.plate.index()].name.clone();
                told.push(errors::hole_under_a_turn(&hole.name, &name, free, hole.origin, turn.origin));
                break;
            }
        }
    }
    for d in told {
        shaper.faults.push(d);
    }
}
