//! What the report says of the printed pages: which file shows which window of which pieces, and how pages join, so that
//! a reader can put them together again. Lengths mm, angles degrees.

use serde::Serialize;

use super::PageFile;
use crate::emit::number::report as figure;
use crate::geom::Vec2;
use crate::page::{Page, Pages, Side, Template};
use crate::piece::Pieces;

/// The full-size pages on paper.
#[derive(Debug, Serialize)]
pub struct Printed<'a> {
    paper: &'a str,
    /// Of the paper upright.
    size: [f64; 2],
    margin: f64,
    overlap: f64,
    /// The face the template is laid on: outside, or hidden (mirrored).
    face: &'static str,
    file: Option<&'a str>,
    pages: Vec<PageOf<'a>>,
    joins: Vec<JoinOf<'a>>,
    diagonals: Vec<DiagonalOf<'a>>,
}

#[derive(Debug, Serialize)]
struct PageOf<'a> {
    number: usize,
    file: &'a str,
    lying: bool,
    /// None for a page of words.
    column: Option<usize>,
    row: Option<usize>,
    /// Of the board: its lower left corner, its size, and where that corner is on the page.
    window: Option<[[f64; 2]; 3]>,
    placed: Vec<LyingOf<'a>>,
}

#[derive(Debug, Serialize)]
struct JoinOf<'a> {
    letter: &'a str,
    /// The page that is trimmed and laid over the other.
    over: usize,
    under: usize,
    side: &'static str,
}

#[derive(Debug, Serialize)]
struct DiagonalOf<'a> {
    /// The page and the name of each end.
    from: (usize, &'a str),
    to: (usize, &'a str),
    long: f64,
}

/// Where a piece lies on the board that a page shows: mirrored when the template is for the hidden face, then turned,
/// then moved.
#[derive(Debug, Serialize)]
struct LyingOf<'a> {
    piece: &'a str,
    turn: f64,
    shift: [f64; 2],
}

/// The printed pages; `files` is every file of the build.
pub fn printed<'a>(pieces: &'a Pieces, pages: &'a Pages, made: &'a [PageFile], files: &'a [String]) -> Printed<'a> {
    let number = |page: usize| made.iter().find(|m| m.page == Some(page)).map_or(0, |m| m.number);
    let diagonals = pages.boards.iter().flat_map(|board| {
        let end = |i: usize| (number(board.targets[i].page), board.targets[i].name.as_str());
        board.diagonals.iter().map(move |d| DiagonalOf { from: end(d.from), to: end(d.to), long: figure(d.long) })
    });
    Printed {
        paper: &pages.paper.name,
        size: pair(pages.paper.size),
        margin: figure(pages.paper.margin),
        overlap: figure(pages.paper.overlap),
        face: match pages.template {
            Template::Outside => "outside",
            Template::Hidden => "hidden",
        },
        file: files.iter().find(|f| f.ends_with(".pdf")).map(String::as_str),
        pages: made.iter().map(|m| page(pieces, pages, m)).collect(),
        joins: pages
            .joins
            .iter()
            .map(|j| JoinOf {
                letter: &j.letter,
                over: number(j.over),
                under: number(j.under),
                side: match j.side {
                    Side::Right => "right",
                    Side::Lower => "lower",
                },
            })
            .collect(),
        diagonals: diagonals.collect(),
    }
}

fn page<'a>(pieces: &'a Pieces, pages: &'a Pages, made: &'a PageFile) -> PageOf<'a> {
    let page: Option<&Page> = made.page.map(|k| &pages.pages[k]);
    let placed = page.map_or(&[][..], |p| &pages.boards[p.board].placed);
    PageOf {
        number: made.number,
        file: &made.file,
        lying: page.is_some_and(|p| p.frame.lying()),
        column: page.map(|p| p.column + 1),
        row: page.map(|p| p.row + 1),
        window: page.map(|p| [pair(p.at), pair(p.frame.shown()), pair(p.frame.window().0)]),
        placed: placed
            .iter()
            .map(|p| LyingOf {
                piece: &pieces.pieces[p.piece.index()].name,
                turn: figure(p.motion.turn.to_degrees()),
                shift: pair(p.motion.shift),
            })
            .collect(),
    }
}

fn pair(v: Vec2) -> [f64; 2] {
    [figure(v.x), figure(v.y)]
}
