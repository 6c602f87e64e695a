//! A grid of cells over a piece, each with the numbers of what reaches into it: a search looks at what is near and at
//! nothing else. It knows boxes only; who asks looks closer.

use crate::geom::Vec2;

/// Most cells.
const MOST: f64 = 96.0 * 96.0;

/// Boxes by the cells they touch.
#[derive(Debug)]
pub(super) struct Grid {
    low: Vec2,
    step: Vec2,
    count: [usize; 2],
    cells: Vec<Vec<u32>>,
}

impl Grid {
    /// An empty grid over a box, with cells for about `items` things. Its cells are about as wide as they are high: on a
    /// narrow piece every cell across would hold the same things again.
    pub(super) fn new(low: Vec2, high: Vec2, items: usize) -> Self {
        let size = (high - low).max(Vec2::splat(1e-6));
        let cells = (items as f64).clamp(1.0, MOST);
        let wide = (cells * size.x / size.y).sqrt().round().clamp(1.0, cells);
        let each = Vec2::new(wide, (cells / wide).ceil());
        let count = [each.x as usize, each.y as usize];
        Self { low, step: size / each, count, cells: vec![Vec::new(); count[0] * count[1]] }
    }

    /// The first and last cell each way that a box touches; beyond the grid its outermost cells stand for the rest.
    fn range(&self, low: Vec2, high: Vec2) -> [(usize, usize); 2] {
        let cell = |x: f64, i: usize| (x.max(0.0) as usize).min(self.count[i] - 1);
        let (a, b) = ((low - self.low) / self.step, (high - self.low) / self.step);
        [(cell(a.x, 0), cell(b.x, 0)), (cell(a.y, 1), cell(b.y, 1))]
    }

    /// The size of a cell.
    pub(super) fn cell(&self) -> Vec2 {
        self.step
    }

    /// Whether all cells are within a box, and so all that was added is looked at for it.
    pub(super) fn within(&self, low: Vec2, high: Vec2) -> bool {
        self.range(low, high) == [(0, self.count[0] - 1), (0, self.count[1] - 1)]
    }

    pub(super) fn add(&mut self, item: usize, low: Vec2, high: Vec2) {
        let [(x0, x1), (y0, y1)] = self.range(low, high);
        for y in y0..=y1 {
            for x in x0..=x1 {
                // Items are lines and patches of one piece, far fewer than 2³².
                self.cells[y * self.count[0] + x].push(item as u32);
            }
        }
    }

    /// Whether something that may touch the box is `so`; what lies in several cells may be asked for again.
    pub(super) fn any(&self, low: Vec2, high: Vec2, mut so: impl FnMut(usize) -> bool) -> bool {
        let [(x0, x1), (y0, y1)] = self.range(low, high);
        (y0..=y1).any(|y| (x0..=x1).any(|x| self.cells[y * self.count[0] + x].iter().any(|i| so(*i as usize))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_touches_a_box_is_found_also_beyond_the_grid() {
        let mut grid = Grid::new(Vec2::ZERO, Vec2::new(100.0, 50.0), 400);
        let boxes = [(5.0, 6.0), (60.0, 99.0), (-30.0, -20.0), (140.0, 150.0)];
        for (i, (a, b)) in boxes.into_iter().enumerate() {
            grid.add(i, Vec2::splat(a), Vec2::splat(b));
        }
        for (i, (a, b)) in boxes.into_iter().enumerate() {
            assert!(grid.any(Vec2::splat(a - 1.0), Vec2::splat(b), |found| found == i));
        }
        assert!(!grid.any(Vec2::splat(20.0), Vec2::splat(22.0), |_| true));
    }
}
