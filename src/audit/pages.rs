//! The printed pages: every piece lies on one board, once, in the template's hand; the windows of the board's pages
//! show all of it; each window lies within what the printer reaches; neighbours share the overlap, have a join with a
//! letter of its own, and all hang together; diagonals are as long as they say. Samples and plain distances; nothing
//! of the paginator's grid.

use std::collections::{BTreeMap, BTreeSet};

use super::layout::{self, Lying};
use super::measure;
use super::report::Report;
use crate::geom::Vec2;
use crate::page::{Board, Join, Page, Pages, Side, Template};
use crate::piece::Pieces;
use crate::verdict::{Check, Verdict};

/// Slack for rounding, mm.
const SLACK: f64 = 0.001;
/// Half of the widest line that is drawn, mm: what a line at a window's edge reaches beyond it.
const HALF_LINE: f64 = 0.35;
/// Between points looked at inside a piece, mm.
const GRID: f64 = 4.0;
/// Most points looked at along one side of a piece.
const MOST: f64 = 400.0;

/// Checks printed pages and enters what was found into a verdict.
pub fn pages(pieces: &Pieces, pages: &Pages, verdict: &mut Verdict) {
    let mut report = Report { verdict: core::mem::take(verdict), piece: None };
    for (index, page) in pages.pages.iter().enumerate() {
        report.verdict.checked.pages += 1;
        on_paper(pages, index, page, &mut report);
    }
    let mut times: BTreeMap<usize, usize> = BTreeMap::new();
    for (index, board) in pages.boards.iter().enumerate() {
        let own: Vec<(usize, &Page)> = pages.of_board(index).collect();
        let mut lying: Vec<Lying<'_>> = Vec::new();
        for placed in &board.placed {
            report.piece = Some(placed.piece);
            let Some(piece) = pieces.pieces.iter().find(|p| p.id == placed.piece) else {
                report.holds(Check::Printing, "a printed piece", "exists", false);
                continue;
            };
            *times.entry(placed.piece.index()).or_default() += 1;
            let hidden = pages.template == Template::Hidden;
            report.holds(Check::Printing, &piece.name, "drawn as its face is seen", placed.motion.mirror == hidden);
            let lies = Lying::new(piece, placed.motion);
            shown(&piece.name, &lies, &own, &mut report);
            lying.push(lies);
        }
        for (i, a) in lying.iter().enumerate() {
            for b in &lying[i + 1..] {
                layout::apart(pages.gap, &format!("board {}", index + 1), a, b, &mut report);
            }
        }
        report.piece = board.placed.first().map(|p| p.piece);
        joined(pages, &own, &mut report);
        diagonals(pages, index, board, &mut report);
    }
    for piece in &pieces.pieces {
        report.piece = Some(piece.id);
        let n = times.get(&piece.id.index()).copied().unwrap_or(0);
        report.holds(Check::Printing, &piece.name, &format!("printed {n} times for 1"), n == 1);
    }
    report.piece = None;
    let letters: BTreeSet<&str> = pages.joins.iter().map(|j| j.letter.as_str()).collect();
    report.holds(Check::Printing, "letters of joins", "differ", letters.len() == pages.joins.len());
    *verdict = report.verdict;
}

/// The page is a sheet of the paper, and its window with half a line round it is within reach of the printer.
fn on_paper(pages: &Pages, index: usize, page: &Page, report: &mut Report) {
    report.piece = None;
    let what = format!("page of pieces {}", index + 1);
    let paper = &pages.paper;
    let size = page.frame.size();
    let same = size == paper.size || size == Vec2::new(paper.size.y, paper.size.x);
    report.holds(Check::Printing, &what, "is the paper's size", same);
    report.holds(Check::Printing, &what, "is of a board", page.board < pages.boards.len());
    let (lo, hi) = page.window();
    let (lo, hi) = (lo + page.shift(), hi + page.shift());
    let free = (lo - Vec2::splat(paper.margin)).min(size - Vec2::splat(paper.margin) - hi).min_element();
    let place = "window to the unprintable margin".to_owned();
    report.figure(Check::Printing, &what, place, (HALF_LINE - free).max(0.0), SLACK);
}

/// Every point of the piece, on its lines and within, lies in some window.
fn shown(name: &str, lies: &Lying<'_>, own: &[(usize, &Page)], report: &mut Report) {
    let windows: Vec<(Vec2, Vec2)> = own.iter().map(|(_, p)| p.window()).collect();
    let outside =
        |p: Vec2| windows.iter().map(|&(lo, hi)| (p - p.clamp(lo, hi)).length()).fold(f64::INFINITY, f64::min);
    let holes = lies.holes.iter().flat_map(|h| super::measure::samples(h, 1.0, 1e-3));
    let lines = lies.samples.iter().copied().chain(holes).map(outside).fold(0.0, f64::max);
    report.figure(Check::Printing, name, "outline outside its pages".to_owned(), lines, SLACK);
    let size = lies.hi - lies.lo;
    let step = (size / MOST).max(Vec2::splat(GRID));
    let mut within = 0.0f64;
    let mut y = lies.lo.y + 0.5 * step.y;
    while y < lies.hi.y {
        let mut x = lies.lo.x + 0.5 * step.x;
        while x < lies.hi.x {
            let p = Vec2::new(x, y);
            let off = outside(p);
            // The costly question only where the answer matters.
            if off > within
                && measure::encloses(&lies.contour, p)
                && !lies.holes.iter().any(|h| measure::encloses(h, p))
            {
                within = off;
            }
            x += step.x;
        }
        y += step.y;
    }
    report.figure(Check::Printing, name, "inside outside its pages".to_owned(), within, SLACK);
}

/// Neighbours share the overlap and have a join; all pages of the board hang together.
fn joined(pages: &Pages, own: &[(usize, &Page)], report: &mut Report) {
    let overlap = pages.paper.overlap;
    let mut linked: BTreeSet<usize> = own.first().map(|(i, _)| *i).into_iter().collect();
    for _ in own {
        for join in &pages.joins {
            if linked.contains(&join.over) || linked.contains(&join.under) {
                linked.extend([join.over, join.under]);
            }
        }
    }
    let all = own.iter().all(|(i, _)| linked.contains(i));
    report.holds(Check::Printing, "pages of one piece", "hang together", all);
    for (i, a) in own {
        for (j, b) in own.iter().filter(|(j, _)| j > i) {
            let ((alo, ahi), (blo, bhi)) = (a.window(), b.window());
            let shared = ahi.min(bhi) - alo.max(blo);
            report.holds(Check::Printing, "a window", "is not printed twice", (alo - blo).length() > SLACK);
            // Beside each other, or one over the other, by most of a window's side.
            let long = shared.max_element() > 0.5 * (ahi - alo).min_element() && shared.min_element() >= -SLACK;
            if !long {
                continue;
            }
            let what = format!("pages of pieces {} and {}", i + 1, j + 1);
            let short = (overlap - shared.min_element()).max(0.0);
            report.figure(Check::Printing, &what, "overlap kept".to_owned(), short, SLACK);
            let of: Vec<&Join> =
                pages.joins.iter().filter(|k| (k.over, k.under) == (*i, *j) || (k.over, k.under) == (*j, *i)).collect();
            report.holds(Check::Printing, &what, &format!("have {} joins for 1", of.len()), of.len() == 1);
            for join in of {
                one_join(pages, join, &what, report);
            }
        }
    }
}

/// The line of a join is the trimmed page's edge, and its crosses lie on it in both windows.
fn one_join(pages: &Pages, join: &Join, what: &str, report: &mut Report) {
    let (Some(over), Some(under)) = (pages.pages.get(join.over), pages.pages.get(join.under)) else {
        report.holds(Check::Printing, what, "both exist", false);
        return;
    };
    let (lo, hi) = over.window();
    let off = |p: Vec2| match join.side {
        Side::Right => (p.x - hi.x).abs(),
        Side::Lower => (p.y - lo.y).abs(),
    };
    let line = [join.from, join.to].into_iter().chain(join.crosses.iter().copied()).map(off).fold(0.0, f64::max);
    report.figure(Check::Printing, what, "line of the join at the page's edge".to_owned(), line, SLACK);
    report.holds(Check::Printing, what, "have two crosses", join.crosses.len() >= 2);
    for page in [over, under] {
        let (lo, hi) = page.window();
        let away = join.crosses.iter().map(|&c| (c - c.clamp(lo, hi)).length()).fold(0.0, f64::max);
        report.figure(Check::Printing, what, "crosses on both pages".to_owned(), away, SLACK);
    }
}

/// Boards of several pages have diagonals, between points that their pages show, as long as they say.
fn diagonals(pages: &Pages, index: usize, board: &Board, report: &mut Report) {
    let many = pages.of_board(index).count() > 1;
    let what = format!("board {}", index + 1);
    report.holds(Check::Printing, &what, "has its diagonals", (board.diagonals.len() >= 2) == many);
    for target in &board.targets {
        let off = pages.pages.get(target.page).filter(|p| p.board == index).map_or(f64::NAN, |page| {
            let (lo, hi) = page.window();
            (target.at - target.at.clamp(lo, hi)).length()
        });
        report.figure(Check::Printing, &what, format!("point {} on its page", target.name), off, SLACK);
    }
    for diagonal in &board.diagonals {
        let ends = board.targets.get(diagonal.from).zip(board.targets.get(diagonal.to));
        let off = ends.map_or(f64::NAN, |(a, b)| ((b.at - a.at).length() - diagonal.long).abs());
        report.figure(Check::Printing, &what, "length of a diagonal".to_owned(), off, SLACK);
    }
}
