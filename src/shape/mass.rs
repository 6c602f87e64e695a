//! What the sheet of a part weighs before anything is cut out of a whole piece: the facts `mass` of the language.

use super::measure;
use crate::geom::tol;
use crate::skin::leaf::Formed;
use crate::skin::tabs;
use crate::solid::{Body, Layer, Leaf, Part, Plate, Solid};

/// The mass of a part's own sheet; `None` without a density.
pub(super) fn of_wall(solid: &Solid, part: &Part) -> Option<f64> {
    let Body::Wall(wall) = &part.body else { return None };
    let mut sum = 0.0;
    for l in &part.layers {
        sum += solid.stocks[l.stock].area_mass? * measure::wall_area(wall, l.neutral, l.neutral);
    }
    if let Some(l) = part.layers.first() {
        sum += solid.stocks[l.stock].area_mass? * tabs::turned_out(solid, part).area;
    }
    Some(sum)
}

/// The mass of a leaf's own sheet.
pub(super) fn of_leaf(solid: &Solid, part: &Part, leaf: &Leaf) -> Option<f64> {
    let bent = Formed::new(leaf);
    let sheet = |l: &Layer| {
        // What leans too little to be bevelled is cut square at half depth.
        let area = if leaf.taper.moves(l) < tol::SQUARE_CUT {
            bent.to(l.neutral)?.measures(&bent.line(l.middle())?)?.1
        } else {
            bent.sheet(l)?
        };
        Some(solid.stocks[l.stock].area_mass? * (area - bent.pierced(l.neutral)?))
    };
    part.layers.iter().map(sheet).sum()
}

pub(super) fn area_of_plate(plate: &Plate, z: f64) -> f64 {
    let holes: f64 = plate.holes.iter().map(|h| h.outline.area()).sum();
    measure::enclosed(&plate.strip, z, plate.depth) - holes
}

pub(super) fn of_plate(solid: &Solid, part: &Part, plate: &Plate) -> Option<f64> {
    let mut sum = 0.0;
    for l in &part.layers {
        // The layers lie from the show face inwards as their depths do: by share of the whole.
        let share =
            (0.5 * (l.inner + l.outer) - part.layers[0].inner) / (part.layers.last()?.outer - part.layers[0].inner);
        let z = plate.hidden + (plate.show - plate.hidden) * share;
        sum += solid.stocks[l.stock].area_mass? * area_of_plate(plate, z);
    }
    Some(sum)
}
