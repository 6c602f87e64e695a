//! What can be wrong with a layout.

use crate::diag::{Code, Diagnostic};
use crate::geom::Vec2;
use crate::piece::Piece;
use crate::solid::Stock;

/// A piece that no sheet of its stock takes.
pub(super) fn piece_too_large(piece: &Piece, stock: &Stock, sheet: Vec2) -> Diagnostic {
    Diagnostic::error(Code::PieceTooLarge, format!("piece `{}` fits no sheet of `{}`", piece.name, stock.name))
        .with_label(piece.origin, "this part makes the piece")
        .with_help(format!(
            "make the part smaller, or let `{}` be larger than {:.0} mm by {:.0} mm",
            stock.name, sheet.x, sheet.y
        ))
        .with_note("every turn that the goods allow was tried, with a free border all round")
}
