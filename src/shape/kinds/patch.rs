//! A rectangle of sheet that is cut flat and bent or folded where it goes: a tab, a backing, a strap of leather.

use super::super::{Shaper, goods};
use crate::design::{Anchor, Face};
use crate::eval::Stop;
use crate::geom::Vec2;
use crate::geom::section::{Curve, Element, Section};
use crate::geom::strip::Strip;
use crate::ids::{PartId, ThingId};
use crate::num::FRAC_PI_2;
use crate::solid::{Body, Claim, Frame, Part, Plate, Size};
use crate::span::Span;

pub(super) struct Patch {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    pub of: Anchor,
    /// Across and up on its flat.
    pub size: (f64, f64),
    /// Where its sheet is named.
    pub span: Span,
    /// Its middle, with x up, y to the left and z out.
    pub frame: Frame,
    pub pair: bool,
}

/// Adds it as a plate that stands where it goes.
///
/// # Errors
/// When there is no such sheet, or it has no size.
pub(super) fn add(shaper: &mut Shaper<'_>, patch: Patch) -> Result<PartId, Stop> {
    let Patch { thing, name, origin, of, size: (across, up), span, frame, pair } = patch;
    let of = std::slice::from_ref(&of);
    let thick = shaper.thickness(of, span)?;
    let corner = |x: f64, y: f64, i: i32| Element {
        from: FRAC_PI_2 * f64::from(i),
        to: FRAC_PI_2 * f64::from(i + 1),
        curve: Curve::Round { centre: Vec2::new(x, y), radius: 0.0 },
    };
    // On a plate's flat its section's x is up the page and its y to the left.
    let (x, y) = (0.5 * up, 0.5 * across);
    let section = Section::new(vec![corner(x, y, 0), corner(-x, y, 1), corner(-x, -y, 2), corner(x, -y, 3)]);
    let section = section.map_err(|_| Stop::Skip)?;
    let strip = Strip::new(&section, 0.0, &section, thick).map_err(|_| Stop::Skip)?;
    let layers = shaper.layers(of, goods::inner_depth(thick, Face::Outside), f64::INFINITY);
    let part = shaper.next_part();
    let solid = &mut shaper.solid;
    solid.claims.push(Claim { part, origin: span, size: Size::Patch { across, up } });
    solid.claims.push(Claim { part, origin: span, size: Size::Thick { mm: thick } });
    solid.parts.push(Part {
        id: part,
        thing,
        name,
        origin,
        pair,
        layers,
        body: Body::Plate(Plate {
            strip,
            depth: 0.0,
            show: thick,
            hidden: 0.0,
            holes: Vec::new(),
            sided: false,
            upright: false,
        }),
        place: frame,
        split: false,
    });
    solid.fitted.patches.push(part);
    Ok(part)
}
