//! Where everything lies: the sheets of each stock with the pieces on them. Rank 5: plain data, made by `arrange`.
//! A sheet's corner is its origin, x to the right, y up.

use crate::geom::Vec2;
use crate::geom::path::Motion;
use crate::ids::PieceId;
use crate::solid::Stock;

/// All sheets, stock by stock.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// Of a stock offcuts first, then whole sheets.
    pub sheets: Vec<Sheet>,
    /// One for each stock that pieces are cut from, in the order of `Solid::stocks`.
    pub uses: Vec<Use>,
}

/// What a sheet or load is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// The index in `Stock::offcuts`.
    Offcut(usize),
    /// Which whole sheet, from 1: several loads may be cut from one.
    Whole(usize),
    /// A length of a roll.
    Roll,
}

/// How much of a stock a layout takes, and how it was come by.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// The index in `Solid::stocks`.
    pub stock: usize,
    /// Whole sheets cut into, from the cupboard first; none of a roll.
    pub whole: usize,
    /// The layout that was kept, and the plain one that it began from.
    pub kept: Extent,
    pub plain: Extent,
    /// Places tried for it.
    pub steps: u64,
    pub ended: Ended,
    /// The largest rectangle left of the last sheet from edge to edge, when it is worth keeping, mm; none of a roll.
    pub left: Option<Vec2>,
}

/// What a layout is judged by: fewer sheets first, then a lower top on the last one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// Offcuts and loads of whole sheets with pieces on them.
    pub sheets: usize,
    /// The highest point of any piece on the last sheet, from the sheet's edge, mm.
    pub top: f64,
}

/// Why a layout was not improved further.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// No layout on these sheets has a top a millimetre lower: one piece stands as high in every turn that is tried, or
    /// the areas fill it.
    Best,
    /// The last of many attempts to lower it failed.
    Tried,
    /// All steps of the effort asked for were taken.
    Steps,
    /// Only the plain layout was asked for, or there were more pieces or sheets than are searched with.
    Plain,
    /// Whoever waited asked for what there was.
    Stopped,
}

/// One sheet (or one load of the cutter).
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The index in `Solid::stocks`.
    pub stock: usize,
    /// From 1, within its stock.
    pub number: usize,
    pub from: Source,
    pub size: Vec2,
    /// Free border, and least distance between pieces, mm.
    pub margin: f64,
    pub gap: f64,
    /// Why no machine cuts it: "too thick for desk (5 mm, it cuts 3 mm)".
    pub by_hand: Option<String>,
    pub placed: Vec<Placed>,
    /// Share of the sheet's area that is piece.
    pub used: f64,
}

/// One piece on a sheet: turned and moved, never mirrored.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    pub piece: PieceId,
    pub motion: Motion,
}

/// How many whole sheets are to be bought besides those in the cupboard.
#[must_use]
pub fn to_buy(stock: &Stock, of: &Use) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "few sheets")]
    let whole = of.whole as f64;
    (whole - stock.have).max(0.0)
}
