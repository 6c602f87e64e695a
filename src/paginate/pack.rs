//! Pieces that fit one page, several to a page: the largest first, each on the first page that takes it.

use super::INSET;
use super::turns::{Shaped, Turn};
use crate::geom::Vec2;
use crate::geom::raster::{Field, Shape};
use crate::page::Frame;
use crate::sheet::Placed;

/// One packed page.
#[derive(Debug)]
pub(super) struct Packed {
    pub frame: Frame,
    pub placed: Vec<Placed>,
}

/// What a page has room for when nothing is joined.
pub(super) fn room(frame: &Frame) -> Vec2 {
    frame.shown() - Vec2::splat(2.0 * INSET)
}

/// Pages with every piece on one of them, in the order of their pieces. Upright or lying, whichever comes out fewer.
pub(super) fn pack(pieces: &[&Shaped<'_>], frames: &[Frame]) -> Vec<Packed> {
    let mut order: Vec<&Shaped<'_>> = pieces.to_vec();
    order.sort_by(|a, b| b.piece.area.total_cmp(&a.piece.area).then(a.piece.id.cmp(&b.piece.id)));
    let shapes: Vec<Vec<(usize, Shape)>> = order.iter().map(|s| s.shapes()).collect();
    let mut best: Option<Vec<Packed>> = None;
    // Straight pieces read best, so slanting ones have to save a page.
    for straight in [true, false] {
        for wished in 0..frames.len() {
            let mut ways: Vec<Frame> = frames.to_vec();
            ways.rotate_left(wished);
            let packed = first_fit(&order, &shapes, &ways, straight);
            if best.as_ref().is_none_or(|b| packed.len() < b.len()) {
                best = Some(packed);
            }
        }
    }
    let mut best = best.unwrap_or_default();
    for page in &mut best {
        page.placed.sort_by_key(|p| p.piece);
    }
    best.sort_by_key(|page| page.placed.first().map(|p| p.piece));
    best
}

/// Every piece on the first page that takes it; a new page lies in the first of `ways` that takes the piece at all.
fn first_fit(order: &[&Shaped<'_>], shapes: &[Vec<(usize, Shape)>], ways: &[Frame], straight: bool) -> Vec<Packed> {
    let mut open: Vec<(Packed, Field)> = Vec::new();
    for (shaped, shapes) in order.iter().zip(shapes) {
        let taken = open.iter_mut().any(|(page, field)| place(shaped, shapes, page, field, straight));
        if taken {
            continue;
        }
        for frame in ways {
            let mut fresh = (Packed { frame: *frame, placed: Vec::new() }, Field::new(room(frame)));
            if place(shaped, shapes, &mut fresh.0, &mut fresh.1, straight) {
                open.push(fresh);
                break;
            }
        }
    }
    for (page, field) in &mut open {
        // Packing fills from below; on the page the pieces hang from the top, under the words.
        let up = ((room(&page.frame).y - field.top()) * 1e3).floor().max(0.0) / 1e3;
        for placed in &mut page.placed {
            placed.motion.shift.y += up;
        }
    }
    open.into_iter().map(|(page, _)| page).collect()
}

/// Puts a piece on a page: in a straight turn where one fits and that is wished, else in any.
fn place(shaped: &Shaped<'_>, shapes: &[(usize, Shape)], page: &mut Packed, field: &mut Field, straight: bool) -> bool {
    let mut turns: Vec<&(usize, Shape)> = shapes.iter().filter(|s| shaped.turns[s.0].straight()).collect();
    let mut found = if straight { field.best(turns.iter().map(|s| &s.1)) } else { None };
    if found.is_none() {
        turns = shapes.iter().collect();
        found = field.best(turns.iter().map(|s| &s.1));
    }
    let Some((which, at)) = found else { return false };
    let (index, shape) = turns[which];
    field.occupy(shape, at.x, at.y);
    let turn: &Turn = &shaped.turns[*index];
    let at = at + Vec2::splat(INSET);
    page.placed.push(Placed { piece: shaped.piece.id, motion: shaped.motion(turn, at) });
    true
}
