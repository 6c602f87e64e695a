//! Where everything lies: the sheets of each stock with the pieces on them. Rank 5: plain data, made by `arrange`.
//! A sheet's corner is its origin, x to the right, y up.

use crate::geom::Vec2;
use crate::geom::path::Motion;
use crate::ids::PieceId;

/// All sheets, stock by stock.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    pub sheets: Vec<Sheet>,
}

/// One sheet (or one load of the cutter).
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The index in `Solid::stocks`.
    pub stock: usize,
    /// From 1, within its stock.
    pub number: usize,
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
