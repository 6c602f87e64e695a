//! Leaves: their edge at any depth, that edge carried from flat to flat and into space, and what a face of one comes to.

use super::{Skin, hole};
use crate::geom::about::{About, Carry};
use crate::geom::inset;
use crate::geom::path::{Motion, Path};
use crate::geom::walk::Walk;
use crate::geom::{Vec2, Vec3};
use crate::num;
use crate::skin::Depths;
use crate::solid::{Form, Layer, Leaf};

/// A direction is that of a chord so long to either side, mm.
const STEP: f64 = 0.01;

/// A leaf ready to be measured.
#[derive(Clone, Debug)]
pub struct Formed<'a> {
    leaf: &'a Leaf,
    walk: Option<Walk>,
}

/// From a leaf's measured face to a depth of it.
#[derive(Clone, Debug)]
pub enum To<'a> {
    /// A flat leaf is the same at every depth; this one.
    Flat(f64),
    Bent(Box<Carry<'a>>),
}

impl<'a> Formed<'a> {
    #[must_use]
    pub fn new(leaf: &'a Leaf) -> Self {
        let walk = match &leaf.form {
            Form::Flat => None,
            Form::Bent { strip, .. } => Some(Walk::new(strip)),
        };
        Self { leaf, walk }
    }

    /// The walk round the wall that it is bent to.
    #[must_use]
    pub fn walk(&self) -> Option<&Walk> {
        self.walk.as_ref()
    }

    /// Its edge at a depth, on the measured face's flat. `None` where the sides of a bevel meet.
    #[must_use]
    pub fn line(&self, depth: f64) -> Option<Path> {
        inset::inset(&self.leaf.outline, self.leaf.taper.inset(depth))
    }

    /// Along the normals to a depth. `None` when its rule is none of its wall's.
    #[must_use]
    pub fn to(&self, depth: f64) -> Option<To<'_>> {
        let (Form::Bent { rule, z, .. }, Some(walk)) = (&self.leaf.form, &self.walk) else {
            return Some(To::Flat(depth));
        };
        let about = |d: f64| About::new(walk, rule, *z, d);
        Some(To::Bent(Box::new(Carry { from: about(self.leaf.measured)?, to: about(depth)? })))
    }

    /// The point of the measured face's flat that lies `along` to the right of one, by a tape at a depth. `None` off the wall.
    #[must_use]
    pub fn beside(&self, at: Vec2, along: f64, depth: f64) -> Option<Vec2> {
        let to = self.to(depth)?;
        let up = to.up(at)?;
        let there = to.point(at)? + Vec2::new(up.y, -up.x) * along;
        match to {
            To::Flat(_) => Some(there),
            To::Bent(carry) => Carry { from: carry.to, to: carry.from }.point(there),
        }
    }

    /// What a depth of it comes to within the edge at the depth `edge`, its holes taken out.
    #[must_use]
    pub fn skin(&self, edge: f64, depth: f64) -> Skin {
        let Some(line) = self.line(edge) else { return Skin::default() };
        let whole = self.within(&line, depth);
        let holes = self.leaf.holes.iter().map(|h| self.within(&h.outline, depth).scaled(-1.0));
        holes.fold(whole, Skin::and)
    }

    /// The area of a layer's sheet, laid flat: of all its depths on the mean, its bevels taken off and its holes left in.
    /// Between an outline and its inset areas are quadratic in the width, so that Simpson's rule is exact on either side
    /// of where a bevel begins.
    #[must_use]
    pub fn sheet(&self, layer: &Layer) -> Option<f64> {
        let to = self.to(layer.neutral)?;
        let area = |depth: f64| Some(to.measures(&self.line(depth)?)?.1);
        let edge = self.leaf.taper.from.clamp(layer.inner, layer.outer);
        let mut sum = 0.0;
        for (from, till) in [(layer.inner, edge), (edge, layer.outer)] {
            if till - from > 1e-9 {
                sum += (till - from) / 6.0 * (area(from)? + 4.0 * area(0.5 * (from + till))? + area(till)?);
            }
        }
        Some(sum / (layer.outer - layer.inner))
    }

    /// The area of its holes on the flat of a depth.
    #[must_use]
    pub fn pierced(&self, depth: f64) -> Option<f64> {
        let to = self.to(depth)?;
        self.leaf.holes.iter().map(|h| to.measures(&h.outline).map(|m| m.1)).sum()
    }

    fn within(&self, line: &Path, depth: f64) -> Skin {
        let (Form::Bent { rule, z, .. }, Some(walk)) = (&self.leaf.form, &self.walk) else {
            let (area, middle) = hole::flat(line);
            return Skin { area, moment: Vec3::new(area * depth, middle.x, middle.y) };
        };
        let Some(about) = About::new(walk, rule, *z, self.leaf.measured) else { return Skin::default() };
        let (flat, [at, x, _]) = about.unrolled();
        let laid = line.moved(&Motion { mirror: false, turn: num::atan2(x.y, x.x), shift: at });
        let Some(near) = walk.find(rule) else { return Skin::default() };
        let measured = self.leaf.measured;
        hole::cut_out(flat, near, &laid, Depths { neutral: measured, edge: measured, area: depth, point: depth })
    }
}

impl To<'_> {
    /// A point of the measured face's flat on the flat of the depth. `None` off the wall.
    #[must_use]
    pub fn point(&self, p: Vec2) -> Option<Vec2> {
        match self {
            Self::Flat(_) => Some(p),
            Self::Bent(carry) => carry.point(p),
        }
    }

    /// The direction on the flat of the depth of what leads up the measured face's flat at a point. `None` off the wall.
    #[must_use]
    pub fn up(&self, p: Vec2) -> Option<Vec2> {
        let Self::Bent(carry) = self else { return Some(Vec2::Y) };
        let step = Vec2::Y * STEP;
        Some((carry.point(p + step)? - carry.point(p - step)?).normalize_or_zero())
    }

    /// A chain on the flat of the depth; a flat leaf's stays what it is.
    #[must_use]
    pub fn path(&self, path: &Path) -> Option<Path> {
        match self {
            Self::Flat(_) => Some(path.clone()),
            Self::Bent(carry) => carry.path(path),
        }
    }

    /// The length of a chain at the depth, and the area within it.
    #[must_use]
    pub fn measures(&self, path: &Path) -> Option<(f64, f64)> {
        match self {
            Self::Flat(_) => Some((path.length(), path.area())),
            Self::Bent(carry) => carry.measures(path),
        }
    }

    /// Where a point of the measured face's flat lies in the part's frame, at the depth.
    #[must_use]
    pub fn in_space(&self, p: Vec2) -> Option<Vec3> {
        match self {
            Self::Flat(depth) => Some(Vec3::new(*depth, p.x, p.y)),
            Self::Bent(carry) => carry.in_space(p),
        }
    }

    /// The way out of the sheet at a point of the measured face's flat, in the part's frame. `None` off the wall.
    #[must_use]
    pub fn out(&self, p: Vec2) -> Option<Vec3> {
        match self {
            Self::Flat(_) => Some(Vec3::X),
            Self::Bent(carry) => {
                let (flat, _) = carry.from.unrolled();
                Some(flat.walk().rule(carry.from.find(p)?.0).normal())
            }
        }
    }

    /// The direction of the sheet's normal at a point, from a fixed line: how far it is turned there.
    #[must_use]
    pub fn turned(&self, p: Vec2) -> f64 {
        match self {
            Self::Flat(_) => 0.0,
            Self::Bent(carry) => {
                let (flat, _) = carry.from.unrolled();
                carry.from.find(p).map_or(0.0, |(place, _)| flat.walk().normal(place))
            }
        }
    }
}
