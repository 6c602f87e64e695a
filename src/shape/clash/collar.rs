//! The collar round a foot, or its tabs, as they are held against other parts: a flat ring.

use super::ruled::{Flat, Holes, Pierced, Sheet};
use super::{Made, TURN};
use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3};
use crate::skin::tabs;
use crate::solid::{Body, Frame, Leaf, Part, Solid};

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

/// The tabs of a wall: as thick as its sheet, on what it stands on.
pub(super) fn of_tabs(solid: &Solid, part: &Part) -> Made {
    let none = (Vec::new(), Vec::new(), Vec::new());
    let (Body::Wall(wall), Some(layer), Some(turn)) = (&part.body, part.layers.first(), solid.turned_out(part.id))
    else {
        return none;
    };
    let (mut outline, mut hole, mut low) = (Vec::new(), Vec::new(), 0.0);
    tabs::folds(wall, layer, TURN, |at, way| {
        low = at.z;
        outline.push(at.truncate() + way * turn.wide);
        hole.push(at.truncate() + way * (layer.outer - layer.middle()));
    });
    let faces = [low, low + layer.outer - layer.inner];
    let row = |line: &[Vec2], z: f64| -> Vec<Vec3> { line.iter().map(|p| part.place.apply(p.extend(z))).collect() };
    let depths = [faces[0], 0.5 * (faces[0] + faces[1]), faces[1]];
    let rows = [&outline, &hole].into_iter().flat_map(|line| depths.map(|z| row(line, z))).collect();
    let mut flat = Flat::new(outline, faces, part.place);
    flat.holes = Holes::new(vec![Pierced::new(0.0, 0.0, hole)]);
    (vec![Sheet::Flat(Box::new(flat))], rows, Vec::new())
}
