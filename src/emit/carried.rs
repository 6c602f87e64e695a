//! What is carried, on the picture: the box of contents whose size is known, in hidden lines (dashed narrow, ISO 128-2
//! type 02), since it lies within.

use svg::Node;
use svg::node::element::{Group, Path as SvgPath};

use super::number::fixed;
use crate::geom::{Vec2, Vec3};
use crate::solid::Solid;

/// The edges of a box by its corners, counted by bits: front, left, up.
const EDGES: [(usize, usize); 12] =
    [(0, 1), (2, 3), (4, 5), (6, 7), (0, 2), (1, 3), (4, 6), (5, 7), (0, 4), (1, 5), (2, 6), (3, 7)];

/// Names and corners of what has a size; of a pair the left one, as parts are shown.
pub(super) fn boxes(solid: &Solid) -> Vec<(&str, [Vec3; 8])> {
    let fitted = &solid.fitted;
    let sized = fitted.carried.iter().filter_map(|c| Some((c, c.size?)));
    let corners = sized.map(|(c, size)| {
        let place = &solid.parts[c.part.index()].place;
        let side = |i: usize, bit: usize| if i & bit == 0 { -0.5 } else { 0.5 };
        let corner = |i: usize| c.middle + Vec3::new(side(i, 1) * size.x, side(i, 2) * size.y, side(i, 4) * size.z);
        (fitted.lumps[c.lump].name.as_str(), core::array::from_fn(|i| place.apply(corner(i))))
    });
    corners.collect()
}

/// Their edges, drawn through whatever stands before them.
pub(super) fn draw(boxes: &[(&str, [Vec3; 8])], page: impl Fn(Vec3) -> Vec2) -> Group {
    let mut group = Group::new()
        .set("id", "carried")
        .set("fill", "none")
        .set("stroke", "#000000")
        .set("stroke-width", "0.25")
        .set("stroke-dasharray", "2 1");
    for (name, corners) in boxes {
        let edge = |&(a, b): &(usize, usize)| {
            let (a, b) = (page(corners[a]), page(corners[b]));
            format!("M{} {} L{} {}", fixed(a.x, 2), fixed(a.y, 2), fixed(b.x, 2), fixed(b.y, 2))
        };
        let d: Vec<String> = EDGES.iter().map(edge).collect();
        group.append(SvgPath::new().set("d", d.join(" ")).set("data-contents", *name));
    }
    group
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_edge_of_a_box_joins_corners_that_differ_in_one_direction() {
        assert!(EDGES.iter().all(|(a, b)| (a ^ b).count_ones() == 1));
        let mut all = EDGES.to_vec();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), 12);
    }
}
