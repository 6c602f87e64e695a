//! Tabs that are folded out round a foot, in the picture: one flat ring. Where they come apart is on the piece.

use super::body::{Shown, TURN, shell};
use crate::geom::Vec3;
use crate::skin::tabs;
use crate::solid::{Part, Turn, Wall};

pub(super) fn shown(part: &Part, wall: &Wall, turn: Option<&Turn>, shown: &mut Shown) {
    let (Some(turn), Some(layer)) = (turn, part.layers.first()) else { return };
    let half = 0.5 * (layer.outer - layer.inner);
    let mut columns: Vec<[Vec3; 2]> = Vec::new();
    tabs::folds(wall, layer, TURN, |at, way| {
        let out = |by: f64| at + (way * by).extend(0.0);
        columns.push([out(half), out(turn.wide)]);
    });
    // The walk ends where it began, and of two places that are one there would be a face without a direction.
    columns.dedup_by(|b, a| (b[1] - a[1]).length() < 1e-6);
    if columns.len() > 1 && columns.first().zip(columns.last()).is_some_and(|(a, b)| (a[1] - b[1]).length() < 1e-6) {
        columns.pop();
    }
    let face = |z: f64| -> Vec<Vec<Vec3>> { columns.iter().map(|c| c.map(|p| p + Vec3::Z * z).to_vec()).collect() };
    let (below, above) = (face(-half), face(half));
    shell(&above, &below, true, &mut shown.mesh);
    for ring in [&below, &above] {
        let mut line: Vec<Vec3> = ring.iter().map(|c| c[1]).collect();
        line.extend(line.first().copied());
        shown.lines.push(line);
    }
}
