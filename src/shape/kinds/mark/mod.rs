//! `mark`: lines that are drawn, grooved or scored on a part.
//!
//! Conventions chosen here, where the language leaves room:
//! - a mark without a `path` is a ring: on a wall at one level of the measured face, on a cap along its edge, a `margin`
//!   in from it, on a plate straight across at a level up it or along its edge;
//! - on a wall a `path` rises evenly from spot to spot: its level changes in step with the share of the way round. A
//!   maker who steps along a tape finds it with a rule and without a sum; it is straight on an upright wall's flat, two
//!   spots at one level are joined by part of a ring, and it passes seams and stations without a kink on the measured
//!   face. The shortest way would leave the wall beside the narrow end of a cone, and has no meaning round half of one;
//! - it takes the shorter way round, on an open wall the way on which there is a wall;
//! - on a cap or a plate spots are `ACROSS by UP` from its middle, and lines between them are straight on it;
//! - a mark is on the outside of the outermost layer, or where `face: inside` says so on the inside of the innermost.

mod flat;
mod spec;
mod wall;

use super::super::{Shaper, errors};
use super::place;
use crate::design::{Anchor, Face, Kind};
use crate::eval::Stop;
use crate::ids::{PartId, ThingId};
use crate::solid::{Body, Course, Stroke, Trace};
use crate::span::Span;

use spec::Spec;

/// What of a layer must be left under a score or groove so that it holds, as a share of it (common practice, no source).
const LEFT: f64 = 0.2;

/// A line of a mark on one part.
struct Line {
    part: PartId,
    course: Course,
    long: f64,
    /// Which of the mark's lines it is part of.
    number: usize,
}

/// Builds a mark on each of its targets.
///
/// # Errors
/// When it cannot be made there as it is written.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let target = thing.target.as_ref().ok_or(Stop::Skip)?;
    for anchor in &target.anchors {
        on(shaper, id, anchor, target.span)?;
    }
    Ok(())
}

fn on(shaper: &mut Shaper<'_>, id: ThingId, anchor: &Anchor, span: Span) -> Result<(), Stop> {
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("a mark on one of a pair only", span).into());
    }
    if anchor.edge.is_some() {
        return Err(errors::not_built_yet("a mark on an edge", span).into());
    }
    let (spec, lines, level) = if shaper.known.plates.contains_key(&anchor.thing) {
        flat::on_plate(shaper, id, anchor.thing)?
    } else if shaper.design.thing(anchor.thing).kind == Kind::Cap {
        flat::on_cap(shaper, id, anchor.thing)?
    } else if shaper.known.panelled.contains_key(&anchor.thing) {
        flat::on_panels(shaper, id, anchor.thing)?
    } else {
        let host = place::built(shaper, anchor, span)?;
        wall::on_wall(shaper, id, host)?
    };
    keep(shaper, id, &spec, lines, level)
}

/// Takes the lines into the solid.
fn keep(shaper: &mut Shaper<'_>, id: ThingId, spec: &Spec, lines: Vec<Line>, level: f64) -> Result<(), Stop> {
    let several = lines.iter().any(|l| l.number > 0);
    let mut long = 0.0;
    for line in &lines {
        if line.number == 0 {
            long += line.long;
        }
        let part = &shaper.solid.parts[line.part.index()];
        let layer = if spec.face == Face::Inside { part.layers.first() } else { part.layers.last() };
        let thick = layer.map_or(0.0, |l| l.outer - l.inner);
        let deep = if spec.stroke == Stroke::Line { None } else { Some(spec.deep.unwrap_or(thick / 3.0)) };
        if let Some(deep) = deep {
            let stock = layer.and_then(|l| shaper.solid.stocks.get(l.stock)).map_or("", |s| s.name.as_str());
            let word = spec.stroke.word();
            if deep >= thick - 1e-9 {
                return Err(errors::mark_too_deep(&spec.name, word, deep, (stock, thick), spec.deep_span).into());
            }
            if deep > (1.0 - LEFT) * thick + 1e-9 && line.number == 0 {
                let said = errors::mark_nearly_through(&spec.name, word, (deep, LEFT), (stock, thick), spec.deep_span);
                if !shaper.faults.iter().any(|d| *d == said) {
                    shaper.faults.push(said);
                }
            }
        }
        let name = if several { format!("{} {}", spec.name, line.number + 1) } else { spec.name.clone() };
        let trace = Trace {
            part: line.part,
            thing: id,
            name,
            origin: spec.head,
            stroke: spec.stroke,
            deep,
            face: spec.face,
            course: line.course.clone(),
            long: line.long,
        };
        shaper.solid.traces.push(trace);
    }
    shaper.known.marks.entry(id).or_insert((long, level));
    Ok(())
}

/// The depth of the face of a part that a mark is on.
fn depth(shaper: &Shaper<'_>, part: PartId, face: Face) -> f64 {
    let layers = &shaper.solid.parts[part.index()].layers;
    match face {
        Face::Inside => layers.first().map_or(0.0, |l| l.inner),
        Face::Middle | Face::Outside => layers.last().map_or(0.0, |l| l.outer),
    }
}

fn body(shaper: &Shaper<'_>, part: PartId) -> Body {
    shaper.solid.parts[part.index()].body.clone()
}
