//! Pieces to sheets, in one plain pass: the largest piece first, each at the lowest and then leftmost place that is
//! free. Frame: a sheet's corner is the origin, x across, y up (along the grain), mm.
//!
//! Rules, all fixed so that a layout can be told beforehand:
//! - goods without grain: a piece may lie in the turn of its least rectangle, its quarter turns, and every multiple
//!   of 15° (a piece that fits no empty sheet so, also along every side of its hull and at every degree); with grain `along` the piece's grain lies along the sheet's, either way up; `either`: along or across.
//!   Pieces are never mirrored.
//! - a sheet of a stock that the cutter cuts is one load: the lesser of sheet and cutter, long side to long side; a
//!   stock too thick for it is laid out on its own size for cutting by hand, and the sheet says so.
//! - a roll is as wide as it is; its length is what the pieces need.
//!
//! Does not nest pieces in holes, does not improve a layout once made, and says nothing of how many loads come out of
//! one sheet.

mod errors;
mod orientation;

use crate::diag::Diagnostics;
use crate::geom::Vec2;
use crate::geom::path::{Motion, Path};
use crate::geom::raster::Field;
use crate::piece::{Piece, Pieces};
use crate::sheet::{Layout, Placed, Sheet};
use crate::solid::{Goods, Solid, Stock};
use orientation::Turned;

/// Least distance between two pieces, mm: room for a knife's slip and a kerf (common practice, no source).
const GAP: f64 = 5.0;
/// Free border of a sheet, mm: edges of sheet goods are seldom straight (common practice, no source).
const MARGIN: f64 = 5.0;
/// The longest piece of a roll that is laid out as one sheet, mm.
const LONGEST_ROLL: f64 = 20_000.0;

/// Lays every piece on a sheet of its stock. Pieces keep their order within a sheet.
///
/// A piece that fits no sheet is a fault that `finish` has found; here it is reported again and left out.
#[must_use]
pub fn arrange(solid: &Solid, pieces: &Pieces) -> (Layout, Diagnostics) {
    let mut layout = Layout::default();
    let mut diagnostics = Diagnostics::new();
    for (index, stock) in solid.stocks.iter().enumerate() {
        let mut waiting: Vec<&Piece> = pieces.pieces.iter().filter(|p| p.stock == index).collect();
        // Largest first; of equal ones the earlier in the parts list.
        waiting.sort_by(|a, b| b.area.total_cmp(&a.area).then(a.id.cmp(&b.id)));
        let load = Load::of(solid, stock);
        let mut fields: Vec<(Field, Vec<Placed>)> = Vec::new();
        for piece in waiting {
            let turned = orientation::turns(piece, stock);
            let placed =
                fields.iter_mut().find_map(|(field, placed)| place(piece, &turned, field, placed)).or_else(|| {
                    let mut fresh = (Field::new(load.room), Vec::new());
                    let found = place(piece, &turned, &mut fresh.0, &mut fresh.1)
                        .or_else(|| place(piece, &orientation::fine_turns(piece, stock), &mut fresh.0, &mut fresh.1));
                    found.inspect(|()| fields.push(fresh))
                });
            if placed.is_none() {
                diagnostics.push(errors::piece_too_large(piece, stock, load.size));
            }
        }
        for (number, (field, mut placed)) in fields.into_iter().enumerate() {
            placed.sort_by_key(|p| p.piece);
            let size = load.sheet_size(&field);
            let area: f64 = placed.iter().map(|p| pieces.pieces[p.piece.index()].area).sum();
            layout.sheets.push(Sheet {
                stock: index,
                number: number + 1,
                size,
                margin: MARGIN,
                gap: GAP,
                by_hand: load.by_hand.clone(),
                placed,
                used: area / (size.x * size.y),
            });
        }
    }
    (layout, diagnostics)
}

/// What is laid out at once.
struct Load {
    /// Size of the sheet; of a roll its width and the longest length.
    size: Vec2,
    /// The same without its margins.
    room: Vec2,
    roll: bool,
    by_hand: Option<String>,
}

impl Load {
    fn of(solid: &Solid, stock: &Stock) -> Self {
        let (goods, roll) = match stock.size {
            Goods::Sheet(size) => (size, false),
            Goods::Roll(wide) => (Vec2::new(wide, LONGEST_ROLL), true),
        };
        let cutter = solid.job.cutter.as_ref().filter(|c| c.sort != "hand");
        let too_thick = cutter.and_then(|c| c.deepest.filter(|&d| stock.thick > d + 1e-9).map(|d| (c, d)));
        let by_hand = too_thick.map(|(c, deepest)| {
            format!("too thick for {} ({} mm, it cuts {} mm)", c.name, shown(stock.thick), shown(deepest))
        });
        let (size, roll) = match cutter {
            Some(c) if by_hand.is_none() => {
                // The bed is turned so that its long side lies along a sheet's; a roll too wide for its short side
                // lies across it.
                let (long, short) = (c.size.max_element(), c.size.min_element());
                let upright = if roll { goods.x <= short } else { goods.y >= goods.x };
                let bed = if upright { Vec2::new(short, long) } else { Vec2::new(long, short) };
                (goods.min(bed), false)
            }
            _ => (goods, roll),
        };
        let room = Vec2::new(size.x - 2.0 * MARGIN, size.y - 2.0 * MARGIN).max(Vec2::ZERO);
        Self { size, room, roll, by_hand }
    }

    fn sheet_size(&self, field: &Field) -> Vec2 {
        if self.roll { Vec2::new(self.size.x, (field.top() + 2.0 * MARGIN).ceil()) } else { self.size }
    }
}

/// A number for a sentence: at most two decimals.
fn shown(x: f64) -> String {
    let text = format!("{x:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Puts a piece into a field at its best place.
fn place(piece: &Piece, turns: &[Turned], field: &mut Field, placed: &mut Vec<Placed>) -> Option<()> {
    let (which, at) = field.best(turns.iter().map(|t| &t.shape))?;
    let turned = &turns[which];
    field.occupy(&turned.shape, at.x, at.y);
    // To the thousandth, so that a quarter turn keeps a piece's coordinates as they are; the shapes are grown by more.
    let shift = ((at + Vec2::splat(MARGIN) - turned.corner) * 1e3).round() / 1e3;
    placed.push(Placed { piece: piece.id, motion: Motion { mirror: false, turn: turned.angle, shift } });
    Some(())
}

/// A piece's whole contour.
fn contour(piece: &Piece) -> Path {
    Path { segs: piece.contour.iter().flat_map(|run| run.path.segs.iter().copied()).collect() }
}

#[cfg(test)]
mod tests;
