//! What pieces of a stock are laid on: its offcuts in the order they are written, then loads of whole sheets, or a
//! length of a roll.

use super::{Bed, MARGIN};
use crate::geom::Vec2;
use crate::sheet::Source;
use crate::solid::{Goods, Solid, Stock};

/// The longest piece of a roll that is laid out as one sheet, mm.
const LONGEST_ROLL: f64 = 20_000.0;
/// What is left of a sheet is worth keeping when both its sides are at least this, mm (common practice, no source).
const WORTH_KEEPING: f64 = 50.0;

/// The beds of one stock.
#[derive(Debug)]
pub(super) struct Beds {
    pub offcuts: Vec<Bed>,
    /// Size of a load; of a roll its width and the longest length.
    pub load: Vec2,
    /// How many loads one whole sheet gives.
    pub loads: usize,
    /// Its goods come off a roll; and no machine bounds the length.
    pub roll: bool,
    pub endless: bool,
    pub by_hand: Option<String>,
}

impl Beds {
    pub fn of(solid: &Solid, stock: &Stock) -> Self {
        let (goods, roll) = match stock.size {
            Goods::Sheet(size) => (size, false),
            Goods::Roll(wide) => (Vec2::new(wide, LONGEST_ROLL), true),
        };
        let cutter = solid.job.cutter.as_ref().filter(|c| c.sort != "hand");
        let too_thick = cutter.and_then(|c| c.deepest.filter(|&d| stock.thick > d + 1e-9).map(|d| (c, d)));
        let by_hand = too_thick.map(|(c, deepest)| {
            format!("too thick for {} ({} mm, it cuts {} mm)", c.name, shown(stock.thick), shown(deepest))
        });
        let machine = cutter.filter(|_| by_hand.is_none()).map(|c| c.size);
        let offcuts = stock
            .offcuts
            .iter()
            .enumerate()
            .map(|(i, &size)| Bed { size: machine.map_or(size, |m| within(size, false, m)), from: Source::Offcut(i) });
        let load = machine.map_or(goods, |m| within(goods, roll, m));
        Self {
            offcuts: offcuts.collect(),
            load,
            loads: if roll { 1 } else { times(goods.x, load.x) * times(goods.y, load.y) },
            roll,
            endless: roll && machine.is_none(),
            by_hand,
        }
    }

    /// The bed after `before` others: offcuts come first, whole sheets without end.
    pub fn bed(&self, before: usize) -> Bed {
        match before.checked_sub(self.offcuts.len()) {
            None => self.offcuts[before],
            Some(_) if self.roll => Bed { size: self.load, from: Source::Roll },
            Some(k) => Bed { size: self.load, from: Source::Whole(k / self.loads + 1) },
        }
    }
}

/// What of the goods the machine takes at once. Its bed is turned so that its long side lies along a sheet's; a roll
/// too wide for its short side lies across it.
fn within(goods: Vec2, roll: bool, machine: Vec2) -> Vec2 {
    let (long, short) = (machine.max_element(), machine.min_element());
    let upright = if roll { goods.x <= short } else { goods.y >= goods.x };
    goods.min(if upright { Vec2::new(short, long) } else { Vec2::new(long, short) })
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a sheet holds few loads")]
fn times(whole: f64, part: f64) -> usize {
    (whole / part + 1e-9).floor().clamp(1.0, 1e6) as usize
}

/// A number for a sentence: at most two decimals.
fn shown(x: f64) -> String {
    let text = format!("{x:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The larger of the rectangles that are left above the highest piece and beside the rightmost one, from edge to edge
/// of the sheet; none that is too narrow to keep. `far` is the greatest coordinate of any piece.
pub(super) fn left(size: Vec2, far: Vec2) -> Option<Vec2> {
    let above = Vec2::new(size.x, size.y - far.y);
    let beside = Vec2::new(size.x - far.x, size.y);
    let best = if beside.x * beside.y > above.x * above.y { beside } else { above };
    (best.min_element() >= WORTH_KEEPING).then(|| best.floor())
}

/// What is free of a bed: all but its border.
pub(super) fn room(size: Vec2) -> Vec2 {
    (size - Vec2::splat(2.0 * MARGIN)).max(Vec2::ZERO)
}
