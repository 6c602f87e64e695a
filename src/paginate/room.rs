//! What is drawn on a board, so that crosses, letters and points to measure from find room beside it.

use super::tile::crosses;
use crate::geom::Vec2;
use crate::geom::path::{Motion, Path};
use crate::piece::Piece;

/// How far chords may stand off arcs, mm: marks keep further off than that.
const FLAT: f64 = 0.1;

/// The lines of a board, as chords.
#[derive(Debug, Default)]
pub(super) struct Room {
    lines: Vec<(Vec2, Vec2)>,
}

impl Room {
    /// All lines of a piece that lies by `motion`: outline, holes, marks and lettering.
    pub(super) fn new(piece: &Piece, motion: &Motion) -> Self {
        let paths = piece
            .contour
            .iter()
            .map(|r| &r.path)
            .chain(piece.holes.iter().map(|h| &h.outline))
            .chain(piece.marks.iter().map(|m| &m.path));
        let mut lines = Vec::new();
        for path in paths {
            let points = path.moved(motion).flattened(FLAT);
            lines.extend(points.windows(2).map(|w| (w[0], w[1])));
        }
        // Lettering may be turned about its middle: the box round it stays.
        for letter in &piece.letters {
            let all = Path { segs: letter.strokes.iter().flat_map(|s| s.segs.iter().copied()).collect() };
            let upright = Motion { mirror: false, turn: -letter.turn, shift: Vec2::ZERO };
            let Some((lo, hi)) = all.moved(&upright).bounds() else { continue };
            let back = Motion { mirror: false, turn: letter.turn, shift: Vec2::ZERO };
            let corners = [lo, Vec2::new(hi.x, lo.y), hi, Vec2::new(lo.x, hi.y)].map(|p| motion.apply(back.apply(p)));
            lines.extend((0..4).map(|i| (corners[i], corners[(i + 1) % 4])));
            lines.push((corners[0], corners[2]));
        }
        Self { lines }
    }

    /// How far the nearest line is from a rectangle, up to `reach`; 0 where one passes through it.
    pub(super) fn clear(&self, middle: Vec2, half: Vec2, reach: f64) -> f64 {
        let (lo, hi) = (middle - half, middle + half);
        let far = Vec2::splat(reach);
        let mut best = reach;
        for &(a, b) in &self.lines {
            if a.max(b).cmplt(lo - far).any() || a.min(b).cmpgt(hi + far).any() {
                continue;
            }
            if crosses(a, b, lo, hi) {
                return 0.0;
            }
            for p in [a, b] {
                best = best.min((p - p.clamp(lo, hi)).length());
            }
            for p in [lo, Vec2::new(hi.x, lo.y), hi, Vec2::new(lo.x, hi.y)] {
                let d = b - a;
                let t = if d == Vec2::ZERO { 0.0 } else { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) };
                best = best.min((a + d * t - p).length());
            }
        }
        best
    }

    /// Something more stands here.
    pub(super) fn take(&mut self, middle: Vec2, half: Vec2) {
        let (lo, hi) = (middle - half, middle + half);
        let corners = [lo, Vec2::new(hi.x, lo.y), hi, Vec2::new(lo.x, hi.y)];
        self.lines.extend((0..4).map(|i| (corners[i], corners[(i + 1) % 4])));
        self.lines.push((lo, hi));
    }
}
