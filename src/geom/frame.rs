//! A frame in space, and frames in frames.

use super::Vec3;

/// A right-handed frame in space: `origin + x X + y Y + z Z`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    pub origin: Vec3,
    pub x: Vec3,
    pub y: Vec3,
    pub z: Vec3,
}

impl Frame {
    pub const WORLD: Self = Self { origin: Vec3::ZERO, x: Vec3::X, y: Vec3::Y, z: Vec3::Z };

    /// A point, seen from this frame.
    #[must_use]
    pub fn seen(&self, p: Vec3) -> Vec3 {
        let q = p - self.origin;
        Vec3::new(q.dot(self.x), q.dot(self.y), q.dot(self.z))
    }

    /// A frame that is given in this one, in the frame this one is given in.
    #[must_use]
    pub fn of(&self, inner: &Self) -> Self {
        let way = |v: Vec3| self.x * v.x + self.y * v.y + self.z * v.z;
        Self { origin: self.apply(inner.origin), x: way(inner.x), y: way(inner.y), z: way(inner.z) }
    }

    /// A point of this frame, in the frame it is given in.
    #[must_use]
    pub fn apply(&self, p: Vec3) -> Vec3 {
        self.origin + self.x * p.x + self.y * p.y + self.z * p.z
    }
}
