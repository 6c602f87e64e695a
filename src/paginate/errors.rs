//! What can be wrong with printed pages.

use crate::diag::{Code, Diagnostic};
use crate::piece::Piece;
use crate::solid::Paper;

/// More pages than anyone tapes together.
pub(super) fn too_many_pages(paper: &Paper, piece: &Piece, most: usize) -> Diagnostic {
    Diagnostic::warning(Code::TooManyPages, format!("full-size pages on `{}` would be more than {most}", paper.name))
        .with_label(piece.origin, "this part takes the most")
        .with_help("name a larger `paper` in the prop: `paper: a0`")
        .with_note("so no pages are written for printing; the sheets' cut files are whole")
}
