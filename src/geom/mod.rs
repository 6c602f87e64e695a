//! The geometry kernel. Rank 3: knows no span, no part and no diagnostic; its faults carry a place in geometry and
//! the phase that called adds span, code and advice.
//!
//! Plain `f64` throughout: millimetres and radians. Frames, said once:
//! - space: x to the wearer's front, y to the wearer's left, z up; directions turn from front through left;
//! - flat: y up, counter-clockwise positive; a wall's flat is drawn as seen on its outside face, x along the lower
//!   rim in the sense of growing direction φ, y up the wall;
//! - normals of sections and walls point outward.

pub mod about;
pub mod along;
pub mod biarc;
pub mod clip;
pub mod course;
pub mod cross;
pub mod curve;
pub mod enclose;
pub mod facets;
pub mod figure;
pub mod fit;
pub mod formed;
pub mod frame;
pub mod grow;
pub mod hull;
pub mod inset;
pub mod keel;
pub mod lettering;
mod memo;
pub mod mesh;
pub mod onepiece;
pub mod outer;
pub mod parallel;
pub mod path;
pub mod plane;
pub mod raster;
mod recent;
pub mod rect;
pub mod rim;
pub mod ring;
pub mod scallop;
pub mod section;
pub mod series;
pub mod sided;
pub mod spine;
pub mod strip;
pub mod tol;
pub mod trim;
pub mod unroll;
pub mod walk;

pub use glam::{DVec2 as Vec2, DVec3 as Vec3};

/// The unit vector at angle `a`.
#[must_use]
pub fn unit(a: f64) -> Vec2 {
    let (s, c) = crate::num::sin_cos(a);
    Vec2::new(c, s)
}

/// The angle between two directions.
#[must_use]
pub fn angle(a: Vec3, b: Vec3) -> f64 {
    crate::num::atan2(a.cross(b).length(), a.dot(b))
}

/// `v` turned a quarter to the left.
#[must_use]
pub fn left_of(v: Vec2) -> Vec2 {
    Vec2::new(-v.y, v.x)
}
