//! A piece in every turn in which it may lie on paper.

use crate::geom::outer::outer;
use crate::geom::path::{Motion, Path};
use crate::geom::raster::Shape;
use crate::geom::{Vec2, rect};
use crate::num;
use crate::page::Template;
use crate::piece::Piece;

/// Least distance between two pieces on one page, mm: room to cut roughly round each (common practice, no source).
pub(super) const GAP: f64 = 6.0;
/// What rounding a place and a turned outline may cost between two pieces, mm.
const ROUNDING: f64 = 0.002;
/// A piece may lie at every multiple of this, radians.
const STEP: f64 = num::PI / 12.0;
/// How far the chords of flattened arcs may stand off them, mm.
const FLAT: f64 = 0.05;

/// A piece as its template shows it, with its turns.
#[derive(Debug)]
pub(super) struct Shaped<'a> {
    pub piece: &'a Piece,
    pub mirror: bool,
    /// Outline and holes as points, in the template's hand, not turned.
    pub rings: Vec<Vec<Vec2>>,
    /// Counter-clockwise, in the template's hand.
    outline: Path,
    pub turns: Vec<Turn>,
}

/// One turn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turn {
    pub angle: f64,
    /// The least coordinates of the turned piece, and its size.
    pub corner: Vec2,
    pub size: Vec2,
}

impl Turn {
    /// Whether it is a quarter turn, or none.
    pub(super) fn straight(&self) -> bool {
        num::wrap(self.angle + 1e-6, num::FRAC_PI_2) < 2e-6
    }
}

impl<'a> Shaped<'a> {
    pub(super) fn new(piece: &'a Piece, template: Template) -> Self {
        let mirror = template == Template::Hidden;
        let hand = Motion { mirror, turn: 0.0, shift: Vec2::ZERO };
        let whole = Path { segs: piece.contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() };
        let moved = whole.moved(&hand);
        let outline = if mirror { moved.reversed() } else { moved };
        let holes = piece.holes.iter().map(|h| h.outline.moved(&hand).flattened(FLAT));
        let rings = core::iter::once(outline.flattened(FLAT)).chain(holes).collect();
        let mut turns: Vec<Turn> = Vec::new();
        for angle in angles(&outer(&outline)) {
            let motion = Motion { mirror: false, turn: angle, shift: Vec2::ZERO };
            if let Some((lo, hi)) = outline.moved(&motion).bounds() {
                turns.push(Turn { angle, corner: lo, size: hi - lo });
            }
        }
        Self { piece, mirror, rings, outline, turns }
    }

    /// Whether it fits a rectangle in some turn.
    pub(super) fn fits(&self, room: Vec2) -> bool {
        self.turns.iter().any(|t| t.size.cmple(room).all())
    }

    /// Every turn as a shape to pack, and which turn it is.
    pub(super) fn shapes(&self) -> Vec<(usize, Shape)> {
        let points = outer(&self.outline);
        self.turns
            .iter()
            .enumerate()
            .map(|(i, t)| {
                let motion = Motion { mirror: false, turn: t.angle, shift: -t.corner };
                let turned: Vec<Vec2> = points.iter().map(|&p| motion.apply(p)).collect();
                (i, Shape::new(&turned, t.size, GAP + ROUNDING))
            })
            .collect()
    }

    /// The motion that brings the piece, in a turn, with its least corner to `at`; to the thousandth.
    pub(super) fn motion(&self, turn: &Turn, at: Vec2) -> Motion {
        Motion { mirror: self.mirror, turn: turn.angle, shift: ((at - turn.corner) * 1e3).round() / 1e3 }
    }
}

/// Every turn to try, nearest to upright first, those that are the same once.
fn angles(points: &[Vec2]) -> Vec<f64> {
    let least = rect::least(points).map_or(0.0, |r| -num::atan2(r.along.y, r.along.x));
    let quarters = (0..4).map(|k| least + f64::from(k) * num::FRAC_PI_2);
    let mut kept: Vec<f64> = Vec::new();
    for a in quarters.chain((0..24).map(|k| f64::from(k) * STEP)) {
        let a = num::wrap(a + num::PI, num::TAU) - num::PI;
        if kept.iter().all(|k| (k - a).abs() > 1e-6) {
            kept.push(a);
        }
    }
    kept.sort_by(|a, b| a.abs().total_cmp(&b.abs()).then(b.total_cmp(a)));
    kept
}
