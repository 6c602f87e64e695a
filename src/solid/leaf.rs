//! Leaves: pieces within an outline of their own.

use super::{Layer, PlateHole};
use crate::geom::Vec2;
use crate::geom::path::Path;
use crate::geom::strip::{Rule, Strip};
use crate::geom::tol;

/// A piece within an outline, plane or bent one way: a fin, a scute, a blade. Depths count as a wall's do, from the
/// surface that it is bent to; of a plane leaf from the plane of its measured face.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    pub form: Form,
    /// The depth of the face on which its outline and its holes are true.
    pub measured: f64,
    /// Counter-clockwise on that face laid flat, as seen from outside: x to the right, y up, from its middle.
    pub outline: Path,
    pub taper: Taper,
    /// True on the same flat and cut square.
    pub holes: Vec<PlateHole>,
}

impl Leaf {
    /// How far up from its lower end a point of its measured face's flat lies.
    #[must_use]
    pub fn level(&self, at: Vec2) -> f64 {
        at.y - self.outline.bounds().map_or(0.0, |(low, _)| low.y)
    }
}

/// What a leaf is bent to.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// Nothing: in its part's frame x leads out, y to the right as seen from there, z up.
    Flat,
    /// A wall's surface, about the normal through the height `z` on its measured face on a rule. The walk round it
    /// begins where the leaf is not.
    Bent { strip: Strip, rule: Rule, z: f64 },
}

/// How a leaf's edge stands: where its outline is true, and by how much it is drawn in on other depths, mm for each mm of
/// depth. What is drawn in is told on the measured face's flat, and goes from there to each depth along the normals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taper {
    pub from: f64,
    pub inner: f64,
    pub outer: f64,
}

impl Taper {
    /// How far the edge at a depth lies in from the outline.
    #[must_use]
    pub fn inset(&self, depth: f64) -> f64 {
        if depth < self.from { (self.from - depth) * self.inner } else { (depth - self.from) * self.outer }
    }

    /// Whether both faces of a layer are drawn in from a depth between them.
    #[must_use]
    pub fn is_within(&self, layer: &Layer) -> bool {
        let inside = self.from > layer.inner + tol::SAME && self.from < layer.outer - tol::SAME;
        inside && self.inner * self.outer > 0.0
    }

    /// How far the bevel of a layer moves the line from one face to the other; of one bevelled on both from the edge
    /// between them to either face.
    #[must_use]
    pub fn moves(&self, layer: &Layer) -> f64 {
        let (inner, outer) = (self.inset(layer.inner), self.inset(layer.outer));
        if self.is_within(layer) { inner.max(outer) } else { (inner - outer).abs() }
    }
}
