//! One piece spread over a grid of windows: the turn, the way the paper lies and the place of the grid that need the
//! fewest pages.

use super::INSET;
use super::turns::{Shaped, Turn};
use crate::geom::Vec2;
use crate::geom::path::Motion;
use crate::page::Frame;
use crate::sheet::Placed;

/// A cell is taken for touched when the piece comes this near, mm: more than flattened arcs stand off.
const NEAR: f64 = 0.1;
/// Where in the room left over the grid is tried, as shares; in the middle first.
const PLACES: [f64; 3] = [0.5, 0.0, 1.0];

/// A piece on a grid of windows.
#[derive(Clone, Debug)]
pub(super) struct Tiled {
    pub frame: Frame,
    pub placed: Placed,
    pub columns: usize,
    pub rows: usize,
    /// Column and row of every page, from the upper left, row by row.
    pub cells: Vec<(usize, usize)>,
}

/// The lower left corner of a window on its board.
pub(super) fn corner(frame: &Frame, rows: usize, column: usize, row: usize) -> Vec2 {
    #[expect(clippy::cast_precision_loss, reason = "grids are small")]
    let cells = Vec2::new(column as f64, (rows - 1 - row) as f64);
    (cells * frame.step() * 1e3).round() / 1e3
}

/// How many windows cover a length: `ceil((L − o)/(p − o))`.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded")]
fn needed(long: f64, shown: f64, step: f64) -> usize {
    (((long - shown) / step - 1e-9).ceil().clamp(0.0, 1e6) as usize) + 1
}

/// The best way; `None` when every one takes more than `most` pages.
pub(super) fn tile(shaped: &Shaped<'_>, frames: &[Frame], most: usize) -> Option<Tiled> {
    let mut best: Option<Tiled> = None;
    // Of as few pages: straight before slanting, nearest to upright, paper upright before lying.
    let (straight, slanting): (Vec<&Turn>, Vec<&Turn>) = shaped.turns.iter().partition(|t| t.straight());
    for turn in straight.into_iter().chain(slanting) {
        for frame in frames {
            let motion = Motion { mirror: false, turn: turn.angle, shift: -turn.corner };
            let rings: Vec<Vec<Vec2>> =
                shaped.rings.iter().map(|r| r.iter().map(|&p| motion.apply(p)).collect()).collect();
            let grid = Grid::new(frame, turn.size + Vec2::splat(2.0 * INSET));
            // A piece fills at least a quarter of a grid round its least rectangle; others are not worth a look.
            if grid.columns.saturating_mul(grid.rows) > 8 * most {
                continue;
            }
            for (x, y) in grid.places() {
                let free = Vec2::new(x, y) * (grid.whole() - turn.size - Vec2::splat(2.0 * INSET));
                let at = ((free + Vec2::splat(INSET)) * 1e3).floor() / 1e3;
                let cells = grid.kept(&rings, at);
                if cells.len() <= most && best.as_ref().is_none_or(|b| cells.len() < b.cells.len()) {
                    best = Some(grid.tiled(shaped, turn, at, cells));
                }
            }
        }
    }
    best
}

struct Grid {
    frame: Frame,
    columns: usize,
    rows: usize,
}

impl Grid {
    fn new(frame: &Frame, size: Vec2) -> Self {
        let (shown, step) = (frame.shown(), frame.step());
        let (columns, rows) = (needed(size.x, shown.x, step.x), needed(size.y, shown.y, step.y));
        Self { frame: *frame, columns, rows }
    }

    /// Size of all windows together.
    fn whole(&self) -> Vec2 {
        corner(&self.frame, 2, self.columns - 1, 1) + corner(&self.frame, self.rows, 0, 0) + self.frame.shown()
    }

    /// Shares of the free room at which the piece is tried: a large grid is tried in the middle only.
    fn places(&self) -> Vec<(f64, f64)> {
        let few = self.columns * self.rows <= 64;
        let along = |n: usize| if few && n > 1 { &PLACES[..] } else { &PLACES[..1] };
        along(self.rows).iter().flat_map(|&y| along(self.columns).iter().map(move |&x| (x, y))).collect()
    }

    fn tiled(&self, shaped: &Shaped<'_>, turn: &Turn, at: Vec2, cells: Vec<(usize, usize)>) -> Tiled {
        let placed = Placed { piece: shaped.piece.id, motion: shaped.motion(turn, at) };
        let mut tiled = Tiled { frame: self.frame, placed, columns: self.columns, rows: self.rows, cells };
        // One page that shows it all is a board of its own.
        if let [(column, row)] = tiled.cells[..] {
            tiled.placed.motion.shift -= corner(&self.frame, self.rows, column, row);
            (tiled.columns, tiled.rows, tiled.cells) = (1, 1, vec![(0, 0)]);
        }
        tiled
    }

    /// The pages that are needed for rings with their least corner at `at`.
    fn kept(&self, rings: &[Vec<Vec2>], at: Vec2) -> Vec<(usize, usize)> {
        let (shown, step) = (self.frame.shown(), self.frame.step());
        let xs = borders(self.columns, shown.x, step.x);
        let ys = borders(self.rows, shown.y, step.y);
        let touched = touched(rings, at, &xs, &ys);
        let wide = xs.len() - 1;
        // Which pages show a cell of the finer grid: one, or both neighbours of a shared strip.
        let pages_of = |cell: usize| -> [usize; 4] {
            let (i, j) = (cell % wide, cell / wide);
            let page = |c: usize, r: usize| (self.rows - 1 - r) * self.columns + c;
            let ((c, d), (r, s)) = ((i / 2, i.div_ceil(2)), (j / 2, j.div_ceil(2)));
            [page(c, r), page(d, r), page(c, s), page(d, s)]
        };
        let hit: Vec<[usize; 4]> = touched.iter().enumerate().filter(|(_, t)| **t).map(|(c, _)| pages_of(c)).collect();
        let mut kept = vec![false; self.columns * self.rows];
        for &page in hit.iter().flatten() {
            kept[page] = true;
        }
        for page in 0..kept.len() {
            if !kept[page] {
                continue;
            }
            kept[page] = false;
            let shown = hit.iter().all(|pages| pages.iter().any(|&p| kept[p]));
            if !shown || !self.joined(&kept) {
                kept[page] = true;
            }
        }
        (0..kept.len()).filter(|&k| kept[k]).map(|k| (k % self.columns, k / self.columns)).collect()
    }

    /// Whether the pages hang together side to side.
    fn joined(&self, kept: &[bool]) -> bool {
        let Some(first) = kept.iter().position(|k| *k) else { return false };
        let mut seen = vec![false; kept.len()];
        let mut waiting = vec![first];
        seen[first] = true;
        while let Some(at) = waiting.pop() {
            let (c, r) = (at % self.columns, at / self.columns);
            let next = [
                (c > 0).then(|| at - 1),
                (c + 1 < self.columns).then(|| at + 1),
                (r > 0).then(|| at - self.columns),
                (r + 1 < self.rows).then(|| at + self.columns),
            ];
            for n in next.into_iter().flatten() {
                if kept[n] && !seen[n] {
                    seen[n] = true;
                    waiting.push(n);
                }
            }
        }
        kept.iter().zip(&seen).all(|(k, s)| !k || *s)
    }
}

/// The borders of the finer grid along one axis: where a window begins and where the one before it ends.
#[expect(clippy::cast_precision_loss, reason = "grids are small")]
fn borders(windows: usize, shown: f64, step: f64) -> Vec<f64> {
    let mut at = vec![0.0];
    for i in 1..windows {
        at.push(i as f64 * step);
        at.push((i - 1) as f64 * step + shown);
    }
    at.push((windows - 1) as f64 * step + shown);
    at
}

/// Which cells of the finer grid a piece comes into, row by row from below.
fn touched(rings: &[Vec<Vec2>], at: Vec2, xs: &[f64], ys: &[f64]) -> Vec<bool> {
    let (wide, tall) = (xs.len() - 1, ys.len() - 1);
    let mut out = vec![false; wide * tall];
    let range = |borders: &[f64], lo: f64, hi: f64| {
        let first = borders.partition_point(|b| *b < lo - NEAR).saturating_sub(1);
        let last = borders.partition_point(|b| *b <= hi + NEAR).min(borders.len() - 1);
        first..last
    };
    let sides = || rings.iter().flat_map(|r| (0..r.len()).map(move |i| (r[i], r[(i + 1) % r.len()])));
    // Where sides cross the middle of each row of cells.
    let middles: Vec<f64> = ys.windows(2).map(|y| 0.5 * (y[0] + y[1])).collect();
    let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); tall];
    for (a, b) in sides() {
        let (a, b) = (a + at, b + at);
        let (lo, hi) = (a.min(b), a.max(b));
        for j in range(ys, lo.y, hi.y) {
            for i in range(xs, lo.x, hi.x) {
                let cell =
                    (Vec2::new(xs[i], ys[j]) - Vec2::splat(NEAR), Vec2::new(xs[i + 1], ys[j + 1]) + Vec2::splat(NEAR));
                out[j * wide + i] |= crosses(a, b, cell.0, cell.1);
            }
            let y = middles[j];
            if (a.y <= y) != (b.y <= y) {
                crossings[j].push(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
            }
        }
    }
    for (j, crossings) in crossings.iter().enumerate() {
        for (i, x) in xs.windows(2).enumerate() {
            let x = 0.5 * (x[0] + x[1]);
            // Outside the outline and within a hole both count even.
            out[j * wide + i] |= crossings.iter().filter(|c| **c < x).count() % 2 == 1;
        }
    }
    out
}

/// Whether a line passes through an upright rectangle (the stretch within both pairs of sides: Liang and Barsky 1984).
pub(super) fn crosses(a: Vec2, b: Vec2, lo: Vec2, hi: Vec2) -> bool {
    let d = b - a;
    let (mut t0, mut t1) = (0.0f64, 1.0f64);
    for (p, q0, q1) in [(d.x, lo.x - a.x, hi.x - a.x), (d.y, lo.y - a.y, hi.y - a.y)] {
        if p == 0.0 {
            if q0 > 0.0 || q1 < 0.0 {
                return false;
            }
            continue;
        }
        let (u, v) = (q0 / p, q1 / p);
        t0 = t0.max(u.min(v));
        t1 = t1.min(u.max(v));
    }
    t0 <= t1
}
