//! Where a shape is free on a rectangle, by rows [`ROW`] mm tall. A row of a shape holds all x that any part of the
//! shape reaches within the row (never less), so no overlap can slip between rows; x itself is exact. What is taken
//! is stored grown by the gap, so two shapes are never nearer than the gap, and by at most a row more upwards.
//!
//! Lengths mm, y up, a field's corner at the origin. It knows nothing of pieces, sheets or pages.

use super::Vec2;

/// Height of a row, and step of the places tried, mm.
pub const ROW: f64 = 1.0;

/// A stretch of x.
type Interval = (f64, f64);

/// A shape with its least corner at the origin, as rows.
#[derive(Debug)]
pub struct Shape {
    size: Vec2,
    polygon: Vec<Vec2>,
    gap: f64,
    /// From row 0 up.
    bare: Vec<Vec<Interval>>,
    /// What they come to, mm².
    area: f64,
    /// The order in which rows are tried: a few spread over the shape first, since they refuse most places.
    order: Vec<usize>,
}

impl Shape {
    /// `polygon` holds the shape and stands off it by less than a quarter of a row; `size` is the shape's own, so
    /// that one as large as its sheet still fits.
    #[must_use]
    pub fn new(polygon: &[Vec2], size: Vec2, gap: f64) -> Self {
        let tall = row_count(size.y).max(1);
        // What stands off the shape below or above it belongs to the outermost rows, and beside it to nothing.
        let mut bare = rows(polygon, 0.0, tall, 0, ROW);
        for (lo, hi) in bare.iter_mut().flatten() {
            (*lo, *hi) = (lo.max(0.0), hi.min(size.x));
        }
        let mut order: Vec<usize> = Vec::with_capacity(tall);
        let mut stride = tall.next_power_of_two();
        let mut seen = vec![false; tall];
        while stride > 0 {
            for r in (0..tall).step_by(stride) {
                if !seen[r] {
                    seen[r] = true;
                    order.push(r);
                }
            }
            stride /= 2;
        }
        let area = bare.iter().flatten().map(|(lo, hi)| (hi - lo) * ROW).sum();
        Self { polygon: polygon.to_vec(), gap, size, bare, area, order }
    }

    /// Its rows grown by the gap, and how many of them lie under row 0.
    fn grown(&self) -> (Vec<Vec<Interval>>, usize) {
        let below = row_count(self.gap + 0.25 * ROW);
        (rows(&self.polygon, self.gap, self.bare.len() + 2 * below, below, 0.0), below)
    }

    /// Its own size.
    #[must_use]
    pub fn size(&self) -> Vec2 {
        self.size
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "sizes are far below 2^32 rows")]
fn row_count(length: f64) -> usize {
    (length / ROW - 1e-9).ceil().clamp(0.0, 1e6) as usize
}

#[expect(clippy::cast_precision_loss, reason = "row numbers are small")]
fn row_of(r: usize, below: usize) -> Interval {
    let y = (r as f64 - below as f64) * ROW;
    (y, y + ROW)
}

/// For each of `count` rows, the first `below` rows under y = 0, all x that a polygon grown by `g` reaches in it, as
/// merged intervals. The outermost rows reach `further` out.
fn rows(polygon: &[Vec2], g: f64, count: usize, below: usize, further: f64) -> Vec<Vec<Interval>> {
    let band = |r: usize| {
        let (y0, y1) = row_of(r, below);
        (if r == 0 { y0 - further } else { y0 }, if r + 1 == count { y1 + further } else { y1 })
    };
    let mut out: Vec<Vec<Interval>> = vec![Vec::new(); count];
    let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); count];
    let foot = row_of(0, below).0;
    for (i, &a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        // One row more on either side: the outermost reach further, and a row's border is both rows'.
        let first = row_count(a.y.min(b.y) - g - foot).saturating_sub(2).min(count - 1);
        let last = (row_count(a.y.max(b.y) + g - foot) + 1).min(count - 1);
        for r in first..=last {
            let (y0, y1) = band(r);
            out[r].extend(capsule(a, b, g, (y0, y1)));
            if (a.y <= y0) != (b.y <= y0) {
                crossings[r].push(a.x + (b.x - a.x) * (y0 - a.y) / (b.y - a.y));
            }
        }
    }
    for (row, mut at) in out.iter_mut().zip(crossings) {
        // What lies inside at the row's foot; anything else inside has an edge of the row under or over it.
        at.sort_by(f64::total_cmp);
        row.extend(at.chunks_exact(2).map(|c| (c[0], c[1])));
        *row = merged(core::mem::take(row));
    }
    out
}

/// The x-reach within `y0..y1` of all points within `g` of a segment: of its two end discs and of the segment moved
/// by `g` to either side, whichever reaches furthest.
fn capsule(a: Vec2, b: Vec2, g: f64, (y0, y1): Interval) -> Option<Interval> {
    let (lo, hi) = (a.y.min(b.y) - g, a.y.max(b.y) + g);
    // Touching a row's border is not reaching into it; a bare edge along it still bounds what lies inside.
    if hi < y0 || lo > y1 || (g > 0.0 && (hi <= y0 || lo >= y1)) {
        return None;
    }
    let mut reach: Interval = (f64::INFINITY, f64::NEG_INFINITY);
    let mut take = |lo: f64, hi: f64| reach = (reach.0.min(lo), reach.1.max(hi));
    for c in [a, b] {
        let off = (y0 - c.y).max(c.y - y1).max(0.0);
        if off <= g {
            let w = (g * g - off * off).sqrt();
            take(c.x - w, c.x + w);
        }
    }
    let n = super::left_of((b - a).normalize_or_zero()) * g;
    for (p, q) in [(a + n, b + n), (a - n, b - n)] {
        let (lo, hi) = (p.y.min(q.y).max(y0), p.y.max(q.y).min(y1));
        if lo <= hi {
            let x = |y: f64| if p.y == q.y { p.x } else { p.x + (q.x - p.x) * (y - p.y) / (q.y - p.y) };
            take(x(lo).min(x(hi)), x(lo).max(x(hi)));
        }
    }
    (reach.0 <= reach.1).then_some(reach)
}

fn merged(mut intervals: Vec<Interval>) -> Vec<Interval> {
    intervals.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut out: Vec<Interval> = Vec::with_capacity(intervals.len());
    for (lo, hi) in intervals {
        match out.last_mut() {
            Some(last) if lo <= last.1 => last.1 = last.1.max(hi),
            _ => out.push((lo, hi)),
        }
    }
    out
}

/// The room of a sheet within its margins, and what is taken of it.
#[derive(Debug)]
pub struct Field {
    room: Vec2,
    rows: Vec<Vec<Interval>>,
    top: f64,
    /// What no shape has taken, mm²: never less than what is free.
    free: f64,
}

impl Field {
    /// An empty one.
    #[must_use]
    pub fn new(room: Vec2) -> Self {
        // One row more than there are, and as much wider as a shape may stand out.
        let tall = row_count(room.y) + 1;
        #[expect(clippy::cast_precision_loss, reason = "row numbers are small")]
        let free = (room.x + 0.01) * tall as f64 * ROW;
        Self { room, rows: Vec::new(), top: 0.0, free }
    }

    /// The top of the highest shape.
    #[must_use]
    pub fn top(&self) -> f64 {
        self.top
    }

    /// The lowest, then leftmost place of a shape's corner whose top stays below `ceiling`.
    #[must_use]
    pub fn lowest(&self, shape: &Shape, ceiling: f64) -> Option<(f64, f64)> {
        // Sizes were compared with the sheet's before; rounding must not refuse what was allowed.
        let slack = 0.002;
        let free = self.room - shape.size;
        // A shape lies in what is free row by row, so it finds no place where less is left than its own rows.
        if free.x < -slack || free.y < -slack || shape.area > self.free + 1.0 {
            return None;
        }
        let last = self.rows.len();
        for row in 0..=last {
            let y = row_of(row, 0).0;
            if y > free.y + slack || y + shape.size.y > ceiling + slack {
                return None;
            }
            if let Some(x) = self.leftmost(shape, row, free.x.max(0.0)) {
                return Some((x, y));
            }
        }
        None
    }

    /// The best of several turns of one shape, with its place: the one that leaves the highest top lowest, then the
    /// lowest place, then the leftmost, then the first. To the row: a turn that gains less is not worth slanted
    /// lettering.
    #[must_use]
    pub fn best<'a>(&self, turns: impl Iterator<Item = &'a Shape>) -> Option<(usize, Vec2)> {
        let mut best: Option<([f64; 3], usize, &Shape)> = None;
        for (i, shape) in turns.enumerate() {
            let ceiling = best.as_ref().map_or(f64::INFINITY, |b| (b.0[0] + 0.5) * ROW);
            if let Some((x, y)) = self.lowest(shape, ceiling) {
                let key = [self.top.max(y + shape.size.y), y, x].map(|v| (v / ROW).round());
                if best.as_ref().is_none_or(|b| key < b.0) {
                    best = Some((key, i, shape));
                }
            }
        }
        let (_, i, shape) = best?;
        self.lowest(shape, f64::INFINITY).map(|(x, y)| (i, Vec2::new(x, y)))
    }

    fn leftmost(&self, shape: &Shape, row: usize, most: f64) -> Option<f64> {
        let mut free: Vec<Interval> = vec![(0.0, most)];
        for &r in &shape.order {
            let Some(taken) = self.rows.get(row + r) else { continue };
            for &(t0, t1) in taken {
                for &(s0, s1) in &shape.bare[r] {
                    remove(&mut free, (t0 - s1, t1 - s0));
                }
            }
            if free.is_empty() {
                return None;
            }
        }
        free.first().map(|f| f.0)
    }

    /// Takes a shape's place.
    pub fn occupy(&mut self, shape: &Shape, x: f64, y: f64) {
        let row = row_count(y);
        let (grown, below) = shape.grown();
        let need = (row + grown.len()).saturating_sub(below);
        if self.rows.len() < need {
            self.rows.resize(need, Vec::new());
        }
        for (i, grown) in grown.iter().enumerate() {
            let Some(at) = (row + i).checked_sub(below) else { continue };
            let within =
                |row: &[Interval]| row.iter().map(|(lo, hi)| (hi.min(self.room.x) - lo.max(0.0)).max(0.0)).sum::<f64>();
            let mut all = core::mem::take(&mut self.rows[at]);
            let before = within(&all);
            all.extend(grown.iter().map(|&(lo, hi)| (lo + x, hi + x)));
            self.rows[at] = merged(all);
            // Rows above the room were never counted as free.
            if row_of(at, 0).0 < self.room.y {
                self.free -= (within(&self.rows[at]) - before) * ROW;
            }
        }
        self.top = self.top.max(y + shape.size.y);
    }
}

/// Takes the open interval out of sorted free ones; touching is allowed.
fn remove(free: &mut Vec<Interval>, (lo, hi): Interval) {
    let mut i = 0;
    while i < free.len() {
        let (a, b) = free[i];
        if hi <= a || lo >= b {
            i += 1;
            continue;
        }
        let left = (a <= lo).then_some((a, lo));
        let right = (hi <= b).then_some((hi, b));
        let kept: Vec<Interval> = left.into_iter().chain(right).collect();
        let n = kept.len();
        free.splice(i..=i, kept);
        i += n;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_covers_all_that_a_slanted_edge_reaches_in_it() {
        let triangle = [Vec2::ZERO, Vec2::new(100.0, 0.0), Vec2::new(100.0, 10.0)];
        let row = &rows(&triangle, 0.0, 10, 0, 0.0)[4];
        assert_eq!(row.len(), 1);
        assert!((row[0].0 - 40.0).abs() < 1e-9 && (row[0].1 - 100.0).abs() < 1e-9, "{row:?}");
    }

    #[test]
    fn a_grown_point_is_a_disc() {
        let p = Vec2::new(3.0, 0.0);
        let (lo, hi) = capsule(p, p, 5.0, (3.0, 4.0)).expect("within reach");
        assert!((lo + 1.0).abs() < 1e-12 && (hi - 7.0).abs() < 1e-12);
        assert!(capsule(p, p, 5.0, (5.1, 6.1)).is_none());
    }

    #[test]
    fn a_gap_that_fits_exactly_is_used() {
        let mut free = vec![(0.0, 30.0)];
        remove(&mut free, (-5.0, 10.0));
        remove(&mut free, (10.0, 40.0));
        assert_eq!(free, vec![(10.0, 10.0)]);
        remove(&mut free, (9.0, 11.0));
        assert!(free.is_empty());
    }

    #[test]
    fn what_is_left_of_a_full_field_is_less_than_what_it_refuses() {
        let corners = [Vec2::ZERO, Vec2::new(9.5, 0.0), Vec2::splat(9.5), Vec2::new(0.0, 9.5)];
        let square = Shape::new(&corners, Vec2::splat(9.5), 0.5);
        let mut field = Field::new(Vec2::new(50.0, 100.0));
        let mut taken = 0;
        while let Some((x, y)) = field.lowest(&square, f64::INFINITY) {
            field.occupy(&square, x, y);
            taken += 1;
        }
        assert_eq!(taken, 50, "five wide and ten high, each with its gap");
        assert!(field.free >= 0.0 && field.free + 1.0 < square.area, "{} {}", field.free, square.area);
        // Whole to its edges: what stands out by a rounding still has its place.
        let whole = [Vec2::ZERO, Vec2::new(50.001, 0.0), Vec2::new(50.001, 100.001), Vec2::new(0.0, 100.001)];
        let whole = Shape::new(&whole, Vec2::new(50.001, 100.001), 5.0);
        assert_eq!(Field::new(Vec2::new(50.0, 100.0)).lowest(&whole, f64::INFINITY), Some((0.0, 0.0)));
    }

    #[test]
    fn squares_stand_side_by_side_with_the_gap_between() {
        let corners = [Vec2::ZERO, Vec2::new(20.0, 0.0), Vec2::splat(20.0), Vec2::new(0.0, 20.0)];
        let square = Shape::new(&corners, Vec2::splat(20.0), 5.0);
        let mut field = Field::new(Vec2::new(50.0, 100.0));
        assert_eq!(field.lowest(&square, f64::INFINITY), Some((0.0, 0.0)));
        field.occupy(&square, 0.0, 0.0);
        assert_eq!(field.lowest(&square, f64::INFINITY), Some((25.0, 0.0)));
        field.occupy(&square, 25.0, 0.0);
        assert_eq!(field.lowest(&square, f64::INFINITY), Some((0.0, 25.0)));
        assert_eq!(field.lowest(&square, 44.0), None, "its top would lie above");
    }
}
