//! A frame in space, and frames in frames.

use super::{Vec3, unit};
use crate::num;

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
        self.direction_seen(p - self.origin)
    }

    /// A direction, seen from this frame.
    #[must_use]
    pub fn direction_seen(&self, v: Vec3) -> Vec3 {
        Vec3::new(v.dot(self.x), v.dot(self.y), v.dot(self.z))
    }

    /// A frame that is given in this one, in the frame this one is given in.
    #[must_use]
    pub fn of(&self, inner: &Self) -> Self {
        let [x, y, z] = [inner.x, inner.y, inner.z].map(|v| self.direction(v));
        Self { origin: self.apply(inner.origin), x, y, z }
    }

    /// A point of this frame, in the frame it is given in.
    #[must_use]
    pub fn apply(&self, p: Vec3) -> Vec3 {
        self.origin + self.direction(p)
    }

    /// A direction of this frame, in the frame it is given in.
    #[must_use]
    pub fn direction(&self, v: Vec3) -> Vec3 {
        self.x * v.x + self.y * v.y + self.z * v.z
    }

    /// The direction of this frame, square to z, that faces `facing`.
    #[must_use]
    pub fn toward(&self, facing: f64) -> Vec3 {
        self.direction(unit(facing).extend(0.0))
    }

    /// Moved along z.
    #[must_use]
    pub fn ahead(&self, by: f64) -> Self {
        Self { origin: self.origin + self.z * by, ..*self }
    }

    /// Turned by `angle` toward the direction `toward` (a unit vector square to z), with no twist about z.
    #[must_use]
    pub fn turned(&self, angle: f64, toward: Vec3) -> Self {
        let (s, c) = num::sin_cos(angle);
        let z = self.z * c + toward * s;
        let swung = |v: Vec3| {
            // What lies along `toward` leans with it, what is square to the bend stays.
            let along = v.dot(toward);
            v + (toward * c - self.z * s - toward) * along
        };
        let x = swung(self.x);
        let x = (x - z * x.dot(z)).normalize();
        Self { origin: self.origin, x, y: z.cross(x), z }
    }

    /// Half a turn about a line through `at` along the unit vector `along`.
    #[must_use]
    pub fn half_turned(&self, at: Vec3, along: Vec3) -> Self {
        let turned = |v: Vec3| along * (2.0 * v.dot(along)) - v;
        Self { origin: at + turned(self.origin - at), x: turned(self.x), y: turned(self.y), z: turned(self.z) }
    }
}
