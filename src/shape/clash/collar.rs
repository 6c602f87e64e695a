//! The collar round a foot, as it is held against other parts: a flat ring.

use super::Made;
use super::ruled::{Flat, Sheet};
use crate::geom::Vec2;
use crate::geom::path::Path;
use crate::solid::{Frame, Leaf, Part};

/// Points along the outline of a collar, and along the hole in it.
const ROUND: usize = 120;

/// Its sheet, rows of points, and no rules that these stand on.
pub(super) fn of(part: &Part, leaf: &Leaf) -> Made {
    let layers = part.layers.first().zip(part.layers.last());
    let Some((faces, hole)) = layers.map(|(a, b)| [a.inner, b.outer]).zip(leaf.holes.first()) else {
        return (Vec::new(), Vec::new(), Vec::new());
    };
    // Its own x leads out of its face.
    let f = part.place;
    let frame = Frame { origin: f.origin, x: f.y, y: f.z, z: f.x };
    let along = |path: &Path, i: usize| {
        #[expect(clippy::cast_precision_loss, reason = "few")]
        let share = i as f64 / ROUND as f64;
        path.at_length(path.length() * share).map_or(Vec2::ZERO, |p| p.0)
    };
    let row = |path: &Path, z: f64| (0..ROUND).map(|i| frame.apply(along(path, i).extend(z))).collect();
    let depths = [faces[0], 0.5 * (faces[0] + faces[1]), faces[1]];
    let rows = [&leaf.outline, &hole.outline].into_iter().flat_map(|path| depths.map(|z| row(path, z))).collect();
    let outline = leaf.outline.flattened(0.2);
    (vec![Sheet::Flat(Box::new(Flat::new(outline, faces, frame)))], rows, Vec::new())
}
