//! The fields of a mark, reckoned.

use super::super::super::errors;
use super::super::spread::Spread;
use crate::design::{Face, Node, Value};
use crate::eval::{Fields, Stop};
use crate::solid::Stroke;
use crate::span::Span;
use crate::units::{Dim, Quantity};

#[derive(Clone)]
pub(super) struct Spec {
    pub name: String,
    pub head: Span,
    pub stroke: Stroke,
    pub deep: Option<f64>,
    pub deep_span: Span,
    pub face: Face,
    pub spread: Spread,
    /// `spread: around` or `along` as it was written.
    pub way: Option<&'static str>,
    pub way_span: Span,
    pub margin_span: Span,
    pub path: Option<Vec<Spot>>,
    pub path_span: Span,
}

/// A spot of a path, as it was written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// A direction and a level, or across and up.
    pub x: f64,
    pub y: f64,
    pub by_direction: bool,
    pub span: Span,
}

pub(super) fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let stroke = match fields.maybe_word("as")? {
        Some("score") => Stroke::Score,
        Some("groove") => Stroke::Groove,
        _ => Stroke::Line,
    };
    let face = match fields.maybe_word("face")? {
        Some("inside") => Face::Inside,
        Some("middle") => Face::Middle,
        _ => Face::Outside,
    };
    if face == Face::Middle {
        return Err(errors::mark_within(&thing.name.to_string(), fields.span("face")).into());
    }
    let path_span = fields.span("path");
    let spans: Vec<Span> = match fields.expr("path").map(|e| &e.node) {
        Some(Node::List(items)) => items.iter().map(|i| i.span).collect(),
        _ => Vec::new(),
    };
    let path = match fields.maybe("path")? {
        Some(Value::List(items)) => {
            let one = |(i, v): (usize, &Value)| match v {
                Value::By(parts) => spot(parts, spans.get(i).copied().unwrap_or(path_span)),
                _ => None,
            };
            Some(items.iter().enumerate().map(one).collect::<Option<Vec<Spot>>>().ok_or(Stop::Skip)?)
        }
        _ => None,
    };
    let name = thing.name.to_string();
    let head = thing.head;
    if let Some(spots) = &path {
        if spots.len() < 2 {
            return Err(errors::path_too_short(&name, path_span).into());
        }
        for (field, why) in [
            ("level", "each spot of the path has a level of its own"),
            ("margin", "a path runs where its spots are"),
            ("ends", "a path begins and ends at its spots"),
        ] {
            if fields.written(field) {
                return Err(errors::mark_two_ways(&name, field, why, (fields.span(field), path_span)).into());
            }
        }
    }
    let way = if fields.written("spread") { fields.maybe_word("spread")? } else { None };
    let mut spread = Spread::read(fields)?;
    spread.level = if fields.written("level") { spread.level } else { None };
    Ok(Spec {
        name,
        head,
        stroke,
        deep: if fields.written("deep") { fields.maybe_number("deep")? } else { None },
        deep_span: fields.span("deep"),
        face,
        spread,
        way,
        way_span: fields.span("spread"),
        margin_span: fields.span("margin"),
        path,
        path_span,
    })
}

fn spot(parts: &[Quantity], span: Span) -> Option<Spot> {
    let [x, y] = parts else { return None };
    Some(Spot { x: x.value(), y: y.value(), by_direction: x.dim() == Dim::ANGLE, span })
}

impl Spec {
    /// Whether it is asked for more than once.
    pub(super) fn several(&self) -> bool {
        self.spread.count > 1.0 || self.spread.every.is_some()
    }

    /// The levels of its rings on something so tall.
    ///
    /// # Errors
    /// When they have no room, or are asked for in two ways.
    pub(super) fn levels(&self, tall: f64) -> Result<Vec<f64>, Stop> {
        if self.way == Some("around") {
            return Err(errors::rings_go_along(&self.name, self.way_span).into());
        }
        if !self.several() {
            return Ok(vec![self.spread.level.unwrap_or(0.5 * tall)]);
        }
        if self.spread.level.is_some() {
            let why = "several rings lie where `ends` and their number put them";
            return Err(errors::mark_two_ways(&self.name, "level", why, (self.spread.level_span, self.head)).into());
        }
        self.spread.up(tall)
    }
}
