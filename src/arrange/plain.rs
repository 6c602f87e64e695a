//! The plain layout, in one pass: the largest piece first, each at the lowest and then leftmost place that is free on
//! the first bed that takes it. The search begins from it, and it stands where nothing better is found.

use super::orientation::{self, Turned};
use super::search::Place;
use super::{Bed, Beds, beds};
use crate::geom::raster::Field;
use crate::piece::Piece;
use crate::solid::Stock;

/// A plain layout: the place of each piece, in the order given; none for a piece that no bed takes.
#[derive(Debug)]
pub(super) struct Plain {
    pub places: Vec<Option<Place>>,
    /// Offcuts, whether anything lies on them or not, and as many more as were needed.
    pub beds: Vec<Bed>,
}

pub(super) fn lay(pieces: &[&Piece], stock: &Stock, beds: &Beds) -> Plain {
    // Largest first; of equal ones the earlier in the parts list.
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by(|&a, &b| pieces[b].area.total_cmp(&pieces[a].area).then(pieces[a].id.cmp(&pieces[b].id)));
    let mut laid = Plain { places: vec![None; pieces.len()], beds: beds.offcuts.clone() };
    let mut fields: Vec<Field> = laid.beds.iter().map(|b| Field::new(beds::room(b.size))).collect();
    for i in order {
        let piece = pieces[i];
        let turned = orientation::turns(piece, stock);
        let found = fields.iter_mut().enumerate().find_map(|(bed, field)| place(bed, &turned, field));
        laid.places[i] = found.or_else(|| {
            let bed = beds.bed(fields.len());
            let mut fresh = Field::new(beds::room(bed.size));
            let found = place(fields.len(), &turned, &mut fresh)
                .or_else(|| place(fields.len(), &orientation::fine_turns(piece, stock), &mut fresh));
            found.inspect(|_| {
                fields.push(fresh);
                laid.beds.push(bed);
            })
        });
    }
    laid
}

/// Puts a piece into a field at its best place.
fn place(bed: usize, turns: &[Turned], field: &mut Field) -> Option<Place> {
    let (which, at) = field.best(turns.iter().map(|t| &t.shape))?;
    let turned = &turns[which];
    field.occupy(&turned.shape, at.x, at.y);
    // To the thousandth, so that a quarter turn keeps a piece's coordinates as they are; the shapes are grown by more.
    Some(Place { bed, turn: turned.angle, shift: ((at - turned.corner) * 1e3).round() / 1e3 })
}
