//! Pieces to printed pages at full size. What fits one page is packed whole, several to a page; what is larger is
//! spread over joined pages, each piece by itself. Frame: a board's y is up, mm (see `page`).
//!
//! Rules, fixed so that the same pieces give the same pages:
//! - a piece may be turned by its least rectangle, quarter turns and multiples of 15°; of ways that need the same
//!   number of pages one that lies straight is taken, then the turn nearest to upright, then paper upright;
//! - along a length L, windows p wide that share o need `ceil((L − o)/(p − o))` pages; a page is left out where no
//!   part of the piece lies on it that its neighbours do not show;
//! - left and right pieces are pieces of their own; a template for the hidden face mirrors them all.
//!
//! Does not choose the paper, place words or draw anything, and does not put small pieces into the free room of
//! joined pages.

mod errors;
mod joins;
mod pack;
mod room;
mod tile;
mod turns;

use crate::diag::Diagnostics;
use crate::page::{Board, Frame, Page, Pages, Template};
use crate::piece::{Piece, Pieces};
use crate::solid::Solid;
use turns::Shaped;

/// Most pages of a print set: a packet of paper is 500, and nobody tapes that many.
const MOST_PAGES: usize = 300;
/// A piece stays this far inside its windows, mm: half a cut line's width and a little.
const INSET: f64 = 1.0;

/// Lays every piece on pages. `None` when the prop names no paper; also when so many pages would come out that nobody
/// would tape them, which is a warning: the sheets' files are not touched by it.
#[must_use]
pub fn paginate(solid: &Solid, pieces: &Pieces, template: Template) -> (Option<Pages>, Diagnostics) {
    let mut diagnostics = Diagnostics::new();
    let Some(paper) = &solid.job.paper else { return (None, diagnostics) };
    let frames = Frame::ways(paper);
    if frames.is_empty() || pieces.pieces.is_empty() {
        return (None, diagnostics);
    }
    let shaped: Vec<Shaped<'_>> = pieces.pieces.iter().map(|p| Shaped::new(p, template)).collect();
    let (small, large): (Vec<&Shaped<'_>>, Vec<&Shaped<'_>>) =
        shaped.iter().partition(|s| frames.iter().any(|f| s.fits(pack::room(f))));
    let mut made = Pages {
        paper: paper.clone(),
        template,
        gap: turns::GAP,
        boards: Vec::new(),
        pages: Vec::new(),
        joins: Vec::new(),
    };
    for sheet in pack::pack(&small, &frames) {
        let page =
            Page { board: made.boards.len(), column: 0, row: 0, at: crate::geom::Vec2::ZERO, frame: sheet.frame };
        made.boards.push(Board {
            placed: sheet.placed,
            lying: sheet.frame.lying(),
            columns: 1,
            rows: 1,
            targets: Vec::new(),
            diagonals: Vec::new(),
        });
        made.pages.push(page);
    }
    let mut tiles: Vec<(&Piece, tile::Tiled)> = Vec::new();
    // The piece that takes most pages, for the message when there are too many.
    let mut most: (usize, &Piece) = (0, &pieces.pieces[0]);
    let mut total = made.pages.len();
    for shaped in large {
        let tiled = tile::tile(shaped, &frames, MOST_PAGES);
        let taken = tiled.as_ref().map_or(MOST_PAGES + 1, |t| t.cells.len());
        if taken > most.0 {
            most = (taken, shaped.piece);
        }
        total += taken;
        tiles.extend(tiled.map(|t| (shaped.piece, t)));
    }
    if total > MOST_PAGES {
        diagnostics.push(errors::too_many_pages(paper, most.1, MOST_PAGES));
        return (None, diagnostics);
    }
    // Whole pages first.
    tiles.sort_by_key(|(_, t)| t.cells.len() > 1);
    for (piece, tiled) in tiles {
        add(&mut made, piece, tiled);
    }
    (Some(made), diagnostics)
}

/// A piece on joined pages, as a board.
fn add(made: &mut Pages, piece: &Piece, tiled: tile::Tiled) {
    let board = made.boards.len();
    let first = made.pages.len();
    for &(column, row) in &tiled.cells {
        let at = tile::corner(&tiled.frame, tiled.rows, column, row);
        made.pages.push(Page { board, column, row, at, frame: tiled.frame });
    }
    let room = room::Room::new(piece, &tiled.placed.motion);
    let joins = joins::joins(&made.pages[first..], first, made.joins.len(), &room);
    let targets = joins::targets(&made.pages[first..], first, &joins, &room);
    let diagonals = joins::diagonals(&targets);
    made.joins.extend(joins);
    made.boards.push(Board {
        placed: vec![tiled.placed],
        lying: tiled.frame.lying(),
        columns: tiled.columns,
        rows: tiled.rows,
        targets,
        diagonals,
    });
}

#[cfg(test)]
mod tests;
