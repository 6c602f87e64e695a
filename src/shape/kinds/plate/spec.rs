//! What a plate says of itself.

use super::super::super::{errors, hole};
use super::super::shell::face;
use super::super::spread::Spread;
use crate::design::{Anchor, Face, Value};
use crate::eval::{Fields, Stop};
use crate::geom::path::Motion;
use crate::span::Span;

/// How its edge stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in super::super::super) enum Bevel {
    /// Leaning in from square toward the outside face by this angle.
    Lean(f64),
    /// Sharp at the inside face, and in from there by this much at the outside.
    Wedge(f64),
    /// Sharp half-way through, and in from there by this much at either face.
    Diamond(f64),
}

/// A plate's fields, reckoned.
#[derive(Clone)]
pub(super) struct Spec {
    pub name: String,
    pub head: Span,
    pub of: Vec<Anchor>,
    pub of_span: Span,
    pub measured: Face,
    pub pair: bool,
    pub shape: hole::Shape,
    pub shape_span: Span,
    /// The radius it is bent to, when it is given.
    pub bent: Option<(f64, Span)>,
    /// `made: flat` is written.
    pub flat: bool,
    pub bevel: Bevel,
    pub bevel_span: Span,
    pub gap: f64,
    pub gap_written: bool,
    pub gap_span: Span,
    pub spread: Spread,
}

pub(super) fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let shape_span = fields.span("shape");
    let shape = fields.value("shape")?;
    let mut shape = hole::read(&shape, shape_span)?;
    let bent = fields.maybe_number("bent")?.map(|r| (r, fields.span("bent")));
    let flat = fields.written("made");
    if let (Some((_, span)), true) = (bent, flat) {
        return Err(errors::flat_and_bent(&thing.name.to_string(), fields.span("made"), span).into());
    }
    let bevel = match fields.maybe("bevel")? {
        Some(Value::Made(made)) => {
            let wide = made.number("wide").ok_or(Stop::Skip)?;
            if made.name == "diamond" { Bevel::Diamond(wide) } else { Bevel::Wedge(wide) }
        }
        Some(value) => Bevel::Lean(value.number().ok_or(Stop::Skip)?),
        None => Bevel::Lean(0.0),
    };
    let spread = Spread::read(fields)?;
    if spread.spin != 0.0 {
        // Turned about its middle, as seen from outside; its widths are those that it has so.
        shape.path = shape.path.moved(&Motion { turn: spread.spin, ..Motion::STAY });
        let (lo, hi) = shape.path.bounds().ok_or(Stop::Skip)?;
        (shape.across, shape.up) = (hi.x - lo.x, hi.y - lo.y);
    }
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        of: fields.things("of")?,
        of_span: fields.span("of"),
        measured: face(fields.maybe("measured")?.as_ref()),
        pair: fields.maybe_word("pair")?.is_some(),
        shape,
        shape_span,
        bent,
        flat,
        bevel,
        bevel_span: fields.span("bevel"),
        gap: fields.maybe_number("gap")?.unwrap_or(0.0),
        gap_written: fields.written("gap"),
        gap_span: fields.span("gap"),
        spread,
    })
}
