//! A page of pieces: what its window shows of its board, clipped to it, with the crosses and letters where it joins
//! others and the points to measure from.

use super::Set;
use super::head::{self, LEAST, whom};
use super::ink::{Leaf, Pen};
use super::map;
use crate::emit::aside;
use crate::emit::lines::{self, Form};
use crate::geom::path::{Motion, Path};
use crate::geom::{Vec2, clip, left_of};
use crate::page::{Join, Page, Side, Template};

/// Half of a cross.
const CROSS: f64 = 4.0;
/// Radius of the ring round a join's letter, and how far its middle is from the line.
const RING: f64 = 2.8;
const AWAY: f64 = 8.5;

/// The page `index` of the set; `before` pages of words come first.
pub(super) fn page(set: Set<'_>, index: usize, before: usize) -> Leaf {
    let page = &set.pages.pages[index];
    let number = before + index + 1;
    let total = before + set.pages.pages.len();
    let what = what(set, page);
    let mut leaf = super::leaf(&page.frame, format!("{}: {what}, page {number} of {total}", set.solid.job.title));
    let face = match (set.pages.template, page.frame.stacked()) {
        (Template::Outside, false) => "Outside face up: lay it on the face that shows.",
        (Template::Outside, true) => "Outside face up.",
        (Template::Hidden, false) => "MIRRORED: lay it on the inside, the hidden face.",
        (Template::Hidden, true) => "MIRRORED: inside face up.",
    };
    let face = match &set.solid.job.mock_up {
        Some(_) => format!("MOCK-UP: do not cut foam from this. {}", face.split(':').next().unwrap_or(face)),
        None => face.to_owned(),
    };
    let second = format!("{what}: page {number} of {total}{}", whom(&set.solid.job));
    let map = head::head(&mut leaf, &set, &page.frame, &[second, face, joins_words(set, index, before)]);
    drawing(&mut leaf, set, page);
    for join in set.pages.joins.iter().filter(|j| j.over == index || j.under == index) {
        joined(&mut leaf, page, join, join.over == index);
    }
    let board = &set.pages.boards[page.board];
    for target in board.targets.iter().filter(|t| t.page == index) {
        point(&mut leaf, target.at + page.shift(), &target.name);
    }
    if board.columns * board.rows > 1 {
        map::map(&mut leaf, set, page.board, map, Some(index), before);
    }
    leaf
}

/// The piece, or the pieces, that a page shows.
pub(super) fn what(set: Set<'_>, page: &Page) -> String {
    let names: Vec<&str> =
        set.pages.boards[page.board].placed.iter().map(|p| set.pieces.pieces[p.piece.index()].name.as_str()).collect();
    match names.len() {
        0..=3 => names.join(", "),
        n => format!("{} and {} more", names[..2].join(", "), n - 2),
    }
}

/// "Trim at the dots; lay a on page 5, b on page 8."
fn joins_words(set: Set<'_>, index: usize, before: usize) -> String {
    let over: Vec<String> = set
        .pages
        .joins
        .iter()
        .filter(|j| j.over == index)
        .map(|j| format!("{} on page {}", j.letter, before + j.under + 1))
        .collect();
    if over.is_empty() { String::new() } else { format!("Trim at the dots; lay {}.", over.join(", ")) }
}

/// The lines of the pieces within the window.
fn drawing(leaf: &mut Leaf, set: Set<'_>, page: &Page) {
    let (lo, hi) = page.window();
    let shift = page.shift();
    let onto = Motion { shift, ..Motion::STAY };
    let placed = &set.pages.boards[page.board].placed;
    // Beside a piece of one page; one over several is large enough to be written on.
    let names = aside::names(placed, set.pieces, (lo, hi));
    for line in lines::laid_out(placed, set.pieces).into_iter().chain(names) {
        let pen = Pen::Of(line.operation);
        let about = line.piece.map_or("", |id| set.pieces.pieces[id.index()].name.as_str());
        match line.form {
            Form::Circle { centre, radius } => {
                let reach = Vec2::splat(radius);
                if (centre - reach).cmpge(lo).all() && (centre + reach).cmple(hi).all() {
                    leaf.circle(pen, centre + shift, radius, about);
                } else {
                    clipped(leaf, pen, &circle(centre, radius), (lo, hi), &onto, about);
                }
            }
            Form::Closed(path) if clip::inside(&path, lo, hi) => {
                leaf.draw_about(pen, Form::Closed(path.moved(&onto)), about);
            }
            Form::Closed(path) | Form::Open(path) => clipped(leaf, pen, &path, (lo, hi), &onto, about),
        }
    }
}

fn clipped(leaf: &mut Leaf, pen: Pen, path: &Path, (lo, hi): (Vec2, Vec2), onto: &Motion, about: &str) {
    for part in clip::clip(path, lo, hi) {
        leaf.draw_about(pen, Form::Open(part.moved(onto)), about);
    }
}

/// A circle in quarters, counter-clockwise from the right.
fn circle(centre: Vec2, radius: f64) -> Path {
    let at = |k: i32| centre + [Vec2::X, Vec2::Y, Vec2::NEG_X, Vec2::NEG_Y][k.rem_euclid(4) as usize] * radius;
    let bulge = crate::num::tan(crate::num::FRAC_PI_2 / 4.0);
    Path { segs: (0..4).map(|k| crate::geom::path::Seg { a: at(k), b: at(k + 1), bulge }).collect() }
}

/// The line at which a page ends or another is laid, with its crosses and letters.
fn joined(leaf: &mut Leaf, page: &Page, join: &Join, over: bool) {
    let (lo, hi) = page.window();
    let shift = page.shift();
    let out = match join.side {
        Side::Right => Vec2::X,
        Side::Lower => Vec2::NEG_Y,
    };
    let along = left_of(out);
    let mut line = |pen: Pen, a: Vec2, b: Vec2| {
        for part in clip::clip(&Path::polyline(&[a, b]), lo, hi) {
            leaf.draw_about(pen, Form::Open(part.moved(&Motion { shift, ..Motion::STAY })), &join.letter);
        }
    };
    line(Pen::Trim, join.from, join.to);
    for &c in &join.crosses {
        line(Pen::Join, c - out * CROSS, c + out * CROSS);
        line(Pen::Join, c - along * CROSS, c + along * CROSS);
    }
    // Each page has the letter on its own side of the line, where it stays to be seen.
    let side = if over { -out } else { out };
    for &c in &join.crosses {
        let at = c + side * AWAY;
        let ring = Vec2::splat(RING);
        if (at - ring).cmpge(lo).all() && (at + ring).cmple(hi).all() {
            leaf.circle(Pen::Join, at + shift, RING, &join.letter);
            let tall = if join.letter.len() > 1 { 2.2 } else { LEAST };
            leaf.centred(Pen::Join, at + shift, tall, 0.0, &join.letter, &join.letter);
        }
    }
}

/// A point to measure from: a cross in a ring, its number beside it.
fn point(leaf: &mut Leaf, at: Vec2, name: &str) {
    leaf.circle(Pen::Target, at, 2.0, name);
    for d in [Vec2::X, Vec2::Y] {
        leaf.draw_about(Pen::Target, Form::Open(Path::polyline(&[at - d * 3.5, at + d * 3.5])), name);
    }
    leaf.centred(Pen::Target, at + Vec2::new(4.2, 4.0), LEAST, 0.0, name, name);
}
