//! The turns in which a piece may lie, each with its outline as straight lines that never cut into the piece.

use super::contour;
use crate::geom::outer::outer;
use crate::geom::path::{Motion, Path};
use crate::geom::raster::Shape;
use crate::geom::{Vec2, rect};
use crate::num;
use crate::piece::Piece;
use crate::solid::{Grain, Stock};

/// What rounding a place and a turned outline may cost between two pieces, mm.
const ROUNDING: f64 = 0.002;
/// So many of a piece's longest straight sides are laid along a sheet's.
const LONG_SIDES: usize = 2;
/// A piece may lie at every multiple of this, radians.
const STEP: f64 = num::PI / 12.0;

/// A piece in one turn.
#[derive(Debug)]
pub(super) struct Turned {
    pub angle: f64,
    /// The least coordinates of the turned piece: they come to the place's corner.
    pub corner: Vec2,
    pub shape: Shape,
}

/// Every turn tried first, in a fixed order.
pub(super) fn turns(piece: &Piece, stock: &Stock) -> Vec<Turned> {
    let ring = contour(piece);
    let outline = outer(&ring);
    let angles = distinct(named(piece, stock, &outline));
    turned(&ring, &outline, angles)
}

/// The angles of [`turns`], and where no grain rules those that lay one of the longest sides along a sheet's.
pub(super) fn angles(piece: &Piece, stock: &Stock) -> Vec<f64> {
    let ring = contour(piece);
    let outline = outer(&ring);
    let mut angles = named(piece, stock, &outline);
    if grain_up(piece, stock).is_none() {
        let mut sides: Vec<Vec2> = ring.segs.iter().filter(|s| s.bulge == 0.0).map(|s| s.b - s.a).collect();
        sides.sort_by(|a, b| b.length_squared().total_cmp(&a.length_squared()));
        let along = sides.into_iter().take(LONG_SIDES).map(|d| -num::atan2(d.y, d.x));
        angles.extend(along.flat_map(|a| (0..4).map(move |k| a + f64::from(k) * num::FRAC_PI_2)));
    }
    distinct(angles)
}

fn named(piece: &Piece, stock: &Stock, outline: &[Vec2]) -> Vec<f64> {
    match grain_up(piece, stock) {
        None => {
            let (least, _) = least_rectangle(outline);
            let quarters = (0..4).map(|k| least + f64::from(k) * num::FRAC_PI_2);
            quarters.chain((0..24).map(|k| f64::from(k) * STEP)).collect()
        }
        Some(up) => {
            let step = stock.grain.step().unwrap_or(num::PI);
            (0..4).map(|k| up + f64::from(k) * step).collect()
        }
    }
}

/// Every degree and every side of the hull, for a piece that fits an empty sheet in no other turn; nothing more than
/// [`turns`] where grain rules.
pub(super) fn fine_turns(piece: &Piece, stock: &Stock) -> Vec<Turned> {
    if grain_up(piece, stock).is_some() {
        return Vec::new();
    }
    let ring = contour(piece);
    let outline = outer(&ring);
    let (_, sides) = least_rectangle(&outline);
    let mut angles: Vec<f64> = sides.into_iter().flat_map(|a| [a, a + num::FRAC_PI_2]).collect();
    angles.extend((0..180).map(|k| f64::from(k) * num::PI / 180.0));
    turned(&ring, &outline, distinct(angles))
}

/// The turn that lays the piece's grain along the sheet's; none where nothing asks for it.
fn grain_up(piece: &Piece, stock: &Stock) -> Option<f64> {
    let g = piece.grain.filter(|g| g.length() > 0.0 && stock.grain != Grain::None)?;
    Some(num::FRAC_PI_2 - num::atan2(g.y, g.x))
}

/// Turns that are the same once; nearest to upright first, since lettering reads best so.
fn distinct(angles: Vec<f64>) -> Vec<f64> {
    let mut kept: Vec<f64> = Vec::new();
    for a in angles {
        let a = num::wrap(a + num::PI, num::TAU) - num::PI;
        if kept.iter().all(|k| (k - a).abs() > 1e-6) {
            kept.push(a);
        }
    }
    kept.sort_by(|a, b| a.abs().total_cmp(&b.abs()).then(b.total_cmp(a)));
    kept
}

/// The piece in each of the turns.
fn turned(ring: &Path, outline: &[Vec2], angles: Vec<f64>) -> Vec<Turned> {
    angles
        .into_iter()
        .filter_map(|angle| {
            let motion = Motion { mirror: false, turn: angle, shift: Vec2::ZERO };
            let (corner, far) = ring.moved(&motion).bounds()?;
            let points: Vec<Vec2> = outline.iter().map(|&p| motion.apply(p) - corner).collect();
            let shape = Shape::new(&points, far - corner, super::GAP + ROUNDING);
            Some(Turned { angle, corner, shape })
        })
        .collect()
}

/// The turn that lays the least rectangle round the points along x, and the turns of all their hull's sides.
fn least_rectangle(points: &[Vec2]) -> (f64, Vec<f64>) {
    let turn = |u: Vec2| -num::atan2(u.y, u.x);
    let hull = rect::hull(points);
    let sides = (0..hull.len()).map(|i| turn(hull[(i + 1) % hull.len()] - hull[i])).collect();
    (rect::least(points).map_or(0.0, |r| turn(r.along)), sides)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_rectangle_of_a_turned_rectangle_is_itself() {
        let m = Motion { mirror: false, turn: 0.3, shift: Vec2::ZERO };
        let r: Vec<Vec2> = [(0.0, 0.0), (90.0, 0.0), (90.0, 20.0), (0.0, 20.0)]
            .iter()
            .map(|&(x, y)| m.apply(Vec2::new(x, y)))
            .collect();
        let turn = num::wrap(least_rectangle(&r).0 + 0.3, num::FRAC_PI_2);
        assert!(turn < 1e-9 || num::FRAC_PI_2 - turn < 1e-9, "{turn}");
    }
}
