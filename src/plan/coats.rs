//! What finishes take: area, volume, dry mass and waits.

use crate::design;
use crate::fitted::Supply;
use crate::ledger::{Coating, Face};
use crate::solid::Solid;
use crate::units::Dim;

/// g of a dry coat on a mm²: only a mass per area says it, since what is wet loses its solvent.
pub(super) fn dry(supply: &Supply) -> Option<f64> {
    supply.density.filter(|d| d.dim() == Dim::AREA_DENSITY).map(|d| d.value())
}

/// Every finish.
pub(super) fn coatings(solid: &Solid) -> Vec<Coating> {
    let coats = solid.fitted.coats.iter().map(|coat| {
        let supply = &solid.fitted.supplies[coat.supply];
        let whole = coat.area() * coat.coats as f64;
        let faces = coat.faces.iter().map(|f| Face {
            part: solid.parts[f.part.index()].name.clone(),
            side: if f.face == design::Face::Inside { "inside" } else { "outside" },
            area: f.area * if f.pair { 2.0 } else { 1.0 },
        });
        Coating {
            name: coat.name.clone(),
            of: supply.name.clone(),
            coats: coat.coats,
            faces: faces.collect(),
            area: coat.area(),
            volume: supply.covers.map(|c| whole / c),
            mass: dry(supply).map(|m| m * whole),
            dry: supply.dry,
        }
    });
    coats.collect()
}
