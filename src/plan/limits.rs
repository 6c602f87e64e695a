//! Limits as read: figures with the places where they stand.

use crate::eval::{Fields, Stop};
use crate::ids::ThingId;
use crate::span::Span;
use crate::units::Dim;

/// A limit before it is held against anything.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Spec {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    pub mass: Option<(f64, Span)>,
    pub long: Option<(f64, Span)>,
    pub reach: Option<(f64, Span)>,
    pub packed: Option<([f64; 3], Span)>,
    pub without: Vec<&'static str>,
    pub without_span: Span,
    /// To keep in hand: g, and mm.
    pub spare_mass: f64,
    pub spare_length: f64,
}

impl Spec {
    pub fn is_empty(&self) -> bool {
        self.mass.is_none()
            && self.long.is_none()
            && self.reach.is_none()
            && self.packed.is_none()
            && self.without.is_empty()
    }
}

pub(super) fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let mut number = |name: &str| -> Result<Option<(f64, Span)>, Stop> {
        Ok(fields.maybe_number(name)?.map(|x| (x, fields.span(name))))
    };
    let (mass, long, reach) = (number("mass")?, number("long")?, number("reach")?);
    let packed = match fields.maybe("packed")?.and_then(|v| v.size()).as_deref() {
        Some([a, b, c]) => Some(([*a, *b, *c], fields.span("packed"))),
        _ => None,
    };
    let without = fields.maybe("without")?.map_or(Vec::new(), |v| v.items().iter().filter_map(|w| w.word()).collect());
    let spare = fields.maybe_quantity("spare")?;
    let of = |dim: Dim| spare.filter(|s| s.dim() == dim).map_or(0.0, |s| s.value());
    Ok(Spec {
        thing: thing.id,
        name: thing.name.to_string(),
        origin: thing.head,
        mass,
        long,
        reach,
        packed,
        without,
        without_span: fields.span("without"),
        spare_mass: of(Dim::MASS),
        spare_length: of(Dim::LENGTH),
    })
}
