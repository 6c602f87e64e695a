//! Facts of what is cut within an outline of its own or has flat flanks: plates and keels.

use super::{Found, View, length, of};
use crate::design::{Anchor, Face};
use crate::eval::Stop;
use crate::shape::{mass, measure};
use crate::skin::leaf::Formed;
use crate::solid::Body;
use crate::units::Dim;

impl View<'_> {
    pub(super) fn plate(&self, of_: &Anchor, face: Option<Face>, name: &str) -> Found {
        let plate = self.known.plates.get(&of_.thing).ok_or(Stop::Skip)?;
        let part = self.part(*plate.parts.first().ok_or(Stop::Skip)?);
        let Body::Leaf(leaf) = &part.body else { return Err(Stop::Skip) };
        if of_.edge.is_some() {
            return Ok(None);
        }
        let depth = match face {
            None => leaf.measured,
            Some(Face::Inside) => plate.inner,
            Some(Face::Middle) => 0.5 * (plate.inner + plate.outer),
            Some(Face::Outside) => plate.outer,
        };
        let bent = Formed::new(leaf);
        let line = || bent.line(depth).zip(bent.to(depth));
        let size = || line().and_then(|(line, to)| to.path(&line)?.bounds()).map(|(lo, hi)| hi - lo);
        Ok(match name {
            "long" => size().map(|s| length(s.y)),
            "across" => size().map(|s| length(s.x)),
            "around" => line().and_then(|(line, to)| to.measures(&line)).map(|m| length(m.0)),
            "area" => Some(of(bent.skin(depth, depth).area, Dim::AREA)),
            "level" => Some(length(plate.level)),
            "thick" => Some(length(plate.outer - plate.inner)),
            "mass" => {
                let one = mass::of_leaf(self.solid, part, leaf);
                one.map(|m| of(m * plate.parts.len() as f64, Dim::MASS))
            }
            _ => None,
        })
    }

    pub(super) fn keel(&self, of_: &Anchor, face: Option<Face>, name: &str) -> Found {
        let keel = self.known.keels.get(&of_.thing).ok_or(Stop::Skip)?;
        if of_.edge.is_some() {
            return Ok(None);
        }
        let depth = match face {
            None => 0.0,
            Some(Face::Inside) => keel.inner,
            Some(Face::Middle) => 0.5 * (keel.inner + keel.outer),
            Some(Face::Outside) => keel.outer,
        };
        let plates = || {
            keel.parts.iter().map(|id| self.part(*id)).filter_map(|p| match &p.body {
                Body::Plate(plate) => Some((p, plate)),
                Body::Wall(_) | Body::Leaf(_) | Body::Folded(_) => None,
            })
        };
        Ok(match name {
            "long" => Some(length(keel.long)),
            "level" => Some(length(keel.level)),
            "thick" => Some(length(keel.outer - keel.inner)),
            "area" => Some(of(plates().map(|(_, p)| measure::enclosed(&p.strip, depth, 0.0)).sum(), Dim::AREA)),
            "mass" => {
                let all: Option<f64> = plates().map(|(part, plate)| mass::of_plate(self.solid, part, plate)).sum();
                all.map(|m| of(m, Dim::MASS))
            }
            _ => None,
        })
    }
}
