//! Where pages of one board meet: the line at which one is trimmed and laid over the other, a letter for it, crosses
//! on it where nothing else is drawn, and points far apart to measure between when all is taped.

use super::room::Room;
use crate::geom::Vec2;
use crate::ids::small_letters;
use crate::page::{Diagonal, Join, Page, Side, Target};

/// What a cross with its two letters takes along its line and across it, half of each, mm.
const CROSS: Vec2 = Vec2::new(4.5, 12.0);
/// What a point to measure from takes, half of it, mm.
const TARGET: f64 = 6.0;
/// Wished distance of crosses and points from everything else, mm.
const CLEAR: f64 = 1.5;
/// Step between places tried, mm.
const STEP: f64 = 3.0;

/// The joins of one board's pages; `first` is the index of its first page, `before` how many joins there are already.
pub(super) fn joins(pages: &[Page], first: usize, before: usize, room: &Room) -> Vec<Join> {
    let find = |column: usize, row: usize| pages.iter().position(|p| (p.column, p.row) == (column, row));
    let mut out: Vec<Join> = Vec::new();
    for (i, page) in pages.iter().enumerate() {
        let (lo, hi) = page.window();
        let sides = [
            (Side::Right, find(page.column + 1, page.row), Vec2::new(hi.x, lo.y), Vec2::new(hi.x, hi.y)),
            (Side::Lower, find(page.column, page.row + 1), Vec2::new(lo.x, lo.y), Vec2::new(hi.x, lo.y)),
        ];
        for (side, under, from, to) in sides {
            let Some(under) = under else { continue };
            out.push(Join {
                // Small ones, since capitals name the edges of pieces.
                letter: small_letters(before + out.len()),
                over: first + i,
                under: first + under,
                side,
                from,
                to,
                crosses: crosses(from, to, page.frame.overlap(), room),
            });
        }
    }
    out
}

/// Two places on a line, one in each half of it, clear of what is drawn where that can be; clear of the strips at its
/// ends too, which the next pages cover.
fn crosses(from: Vec2, to: Vec2, overlap: f64, room: &Room) -> Vec<Vec2> {
    let long = (to - from).length();
    let along = (to - from) / long;
    let half = if along.x == 0.0 { Vec2::new(CROSS.y, CROSS.x) } else { CROSS };
    let end = (overlap + CROSS.x + 1.0).min(0.35 * long);
    [0.22, 0.78]
        .into_iter()
        .map(|wish| {
            let (lo, hi) = if wish < 0.5 { (end, 0.48 * long) } else { (0.52 * long, long - end) };
            let mut best: Option<([f64; 2], f64)> = None;
            let mut s = lo;
            while s <= hi {
                let clear = room.clear(from + along * s, half, CLEAR);
                let key = [-clear, (s - wish * long).abs()];
                if best.is_none_or(|b| key < b.0) {
                    best = Some((key, s));
                }
                s += STEP;
            }
            let at = from + along * best.map_or(wish * long, |b| b.1);
            (at * 1e3).round() / 1e3
        })
        .collect()
}

/// Points near the board's four corners, on pages that show them when all is taped; none on a single page.
pub(super) fn targets(pages: &[Page], first: usize, joins: &[Join], room: &Room) -> Vec<Target> {
    let mut taken = Room::default();
    for join in joins {
        for &c in &join.crosses {
            let half = if join.side == Side::Right { Vec2::new(CROSS.y, CROSS.x) } else { CROSS };
            taken.take(c, half);
        }
    }
    let mut out: Vec<Target> = Vec::new();
    if pages.len() < 2 {
        return out;
    }
    let corners = [Vec2::new(-1.0, -1.0), Vec2::new(1.0, 1.0), Vec2::new(-1.0, 1.0), Vec2::new(1.0, -1.0)];
    for (k, toward) in corners.into_iter().enumerate() {
        // The page that reaches furthest that way; of equal ones the first.
        let reach = |p: &Page| {
            let (lo, hi) = p.window();
            (if toward.x > 0.0 { hi.x } else { -lo.x }) + (if toward.y > 0.0 { hi.y } else { -lo.y })
        };
        let mut best = 0;
        for (i, page) in pages.iter().enumerate() {
            if reach(page) > reach(&pages[best]) + 1e-6 {
                best = i;
            }
        }
        let (lo, hi) = seen(best, pages, first, joins);
        let at = place(toward, lo, hi, room, &taken);
        taken.take(at, Vec2::splat(TARGET));
        out.push(Target { name: (k + 1).to_string(), at, page: first + best });
    }
    out
}

/// What of a page's window stays to be seen when the pages over it are laid on.
fn seen(index: usize, pages: &[Page], first: usize, joins: &[Join]) -> (Vec2, Vec2) {
    let (mut lo, mut hi) = pages[index].window();
    for join in joins.iter().filter(|j| j.under == first + index) {
        match join.side {
            Side::Right => lo.x = lo.x.max(join.from.x),
            Side::Lower => hi.y = hi.y.min(join.from.y),
        }
    }
    (lo, hi)
}

/// The place nearest to a corner that is clear, else the clearest.
fn place(toward: Vec2, lo: Vec2, hi: Vec2, room: &Room, taken: &Room) -> Vec2 {
    let inset = TARGET + 1.0;
    let corner = (lo + hi) * 0.5 + toward * ((hi - lo) * 0.5 - Vec2::splat(inset)).max(Vec2::ZERO);
    let free = (hi - lo - Vec2::splat(2.0 * inset)).max(Vec2::ZERO);
    let mut best: Option<([f64; 2], Vec2)> = None;
    let mut dx = 0.0;
    while dx <= free.x {
        let mut dy = 0.0;
        while dy <= free.y {
            // None is better than one that is quite clear and nearer.
            if best.is_some_and(|(key, _)| key <= [-CLEAR, dx + dy]) {
                break;
            }
            let at = corner - toward * Vec2::new(dx, dy);
            let half = Vec2::splat(TARGET);
            let clear = room.clear(at, half, CLEAR).min(taken.clear(at, half, CLEAR));
            let key = [-clear, dx + dy];
            if best.is_none_or(|b| key < b.0) {
                best = Some((key, at));
            }
            dy += STEP;
        }
        dx += STEP;
    }
    let at = best.map_or((lo + hi) * 0.5, |b| b.1);
    (at * 1e3).round() / 1e3
}

/// The two long diagonals between four points.
pub(super) fn diagonals(targets: &[Target]) -> Vec<Diagonal> {
    let long = |from: usize, to: usize| Diagonal { from, to, long: (targets[to].at - targets[from].at).length() };
    if targets.len() == 4 { vec![long(0, 1), long(2, 3)] } else { Vec::new() }
}
