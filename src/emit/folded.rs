//! Walls that are folded from one strip, on the picture: each face as a plate in its own frame; where two meet, both end.

use super::body::{Shown, plate};
use crate::solid::Folded;

pub(super) fn shown(wall: &Folded, shown: &mut Shown) {
    for (frame, one) in wall.plates() {
        let mut face = Shown::named("");
        plate(&one, &mut face);
        let base = shown.mesh.points.len();
        shown.mesh.points.extend(face.mesh.points.iter().map(|p| frame.apply(*p)));
        shown.mesh.faces.extend(face.mesh.faces.iter().map(|f| f.iter().map(|i| i + base).collect::<Vec<_>>()));
        shown.lines.extend(face.lines.iter().map(|line| line.iter().map(|p| frame.apply(*p)).collect::<Vec<_>>()));
    }
}
