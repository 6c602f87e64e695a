//! The map of a board's pages: their windows as they lie joined, the pieces in small, the pages' numbers, and where
//! one page stands among them.

use super::Set;
use super::head::LEAST;
use super::ink::{Leaf, Pen};
use crate::emit::lines::contour;
use crate::geom::path::Path;
use crate::geom::{Vec2, lettering};
use crate::page::Side;

/// The map of a board within a rectangle of the page; `here` is the page that is marked.
pub(super) fn map(
    leaf: &mut Leaf,
    set: Set<'_>,
    board: usize,
    (lo, hi): (Vec2, Vec2),
    here: Option<usize>,
    before: usize,
) {
    let Some((low, high)) = bounds(set, board) else { return };
    let size = high - low;
    let scale = ((hi - lo) / size).min_element();
    let foot = lo + (hi - lo - size * scale) * 0.5;
    let onto = |p: Vec2| foot + (p - low) * scale;
    for (index, page) in set.pages.of_board(board) {
        let (a, b) = seen(set, index, page.window());
        if here == Some(index) {
            leaf.rectangle(Pen::Here, onto(a), onto(b));
        }
        leaf.rectangle(Pen::Map, onto(a), onto(b));
    }
    for placed in &set.pages.boards[board].placed {
        let piece = &set.pieces.pieces[placed.piece.index()];
        // Chords no coarser than can be seen on the map.
        let points = contour(piece).moved(&placed.motion).flattened(0.1 / scale);
        let small: Vec<Vec2> = points.into_iter().map(onto).collect();
        leaf.draw(Pen::Small, crate::emit::lines::Form::Open(Path::polyline(&small)));
    }
    for (index, page) in set.pages.of_board(board) {
        let step = page.frame.step() * scale;
        let number = (before + index + 1).to_string();
        if step.x >= lettering::width(&number, LEAST) + 1.5 && step.y >= LEAST + 1.5 {
            let (a, b) = seen(set, index, page.window());
            leaf.centred(Pen::Words, onto((a + b) * 0.5), LEAST, 0.0, &number, "");
        }
    }
}

/// What of a page's window is seen when the pages over it are laid on.
fn seen(set: Set<'_>, index: usize, (mut lo, mut hi): (Vec2, Vec2)) -> (Vec2, Vec2) {
    for join in set.pages.joins.iter().filter(|j| j.under == index) {
        match join.side {
            Side::Right => lo.x = join.from.x,
            Side::Lower => hi.y = join.from.y,
        }
    }
    (lo, hi)
}

/// The size a map comes to within a rectangle, and whether there is one.
pub(super) fn size(set: Set<'_>, board: usize, room: Vec2) -> Option<Vec2> {
    let (lo, hi) = bounds(set, board)?;
    let size = hi - lo;
    Some(size * (room / size).min_element())
}

/// Where a point of the board comes to lie on a map of this size.
pub(super) fn onto(set: Set<'_>, board: usize, size: Vec2, p: Vec2) -> Vec2 {
    bounds(set, board).map_or(Vec2::ZERO, |(lo, hi)| (p - lo) * (size / (hi - lo)).min_element())
}

/// The corners of all windows of a board.
fn bounds(set: Set<'_>, board: usize) -> Option<(Vec2, Vec2)> {
    let all = set.pages.of_board(board).map(|(_, p)| p.window());
    all.reduce(|(a, b), (c, d)| (a.min(c), b.max(d)))
}
