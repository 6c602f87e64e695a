//! A stretch of a plane section as a support function: `h(φ)`, its derivative `k(φ)` and the radius `ρ = h + h''`.

use super::hull::{self, Lifted};
use super::strip::Rule;
use super::{Vec2, left_of, unit};
use crate::num;

/// What a stretch of a section is, as a support function.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// A circular arc; a corner when the radius is 0, a hollow arc when it is negative.
    Round { centre: Vec2, radius: f64 },
    /// `|x/a|^power + |y/b|^power = 1` about `centre`, its first axis along the unit vector `axis` (x where it is not
    /// spun); an ellipse at power 2. `power >= 2`.
    Oval { centre: Vec2, a: f64, b: f64, power: f64, axis: Vec2 },
    /// A circle and two ovals added point by point of one normal: `Σ weight · h`. What lies between two other curves,
    /// and past either of them, is of this form.
    Sum { centre: Vec2, radius: f64, ovals: [Weighed; 2] },
    /// The level section at height `z` of the wall between two curves whose planes may lean ([`super::hull`]).
    Hull { ends: [Lifted; 2], z: f64 },
}

/// An oval about the origin and how often it counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighed {
    pub a: f64,
    pub b: f64,
    pub power: f64,
    /// The direction of `a`.
    pub axis: Vec2,
    pub weight: f64,
}

impl Weighed {
    pub(super) const NONE: Self = Self { a: 0.0, b: 0.0, power: 2.0, axis: Vec2::X, weight: 0.0 };

    /// Its support, once: the weight is not counted.
    fn support_along(&self, along: (f64, f64)) -> Support {
        let Self { a, b, power, axis, .. } = *self;
        let (s, c) = seen_from(along, axis);
        // The dual norm: 1/power + 1/q = 1.
        let (h, k) = if power == 2.0 {
            let h = (a * a * c * c + b * b * s * s).sqrt();
            (h, (b * b - a * a) * s * c / h)
        } else {
            let (s, c) = (on_axis(s), on_axis(c));
            let (h, along_a, along_b) = dual_norm(a, b, power, (s, c));
            // h' = h^(1 − q) (u' + v') / q: a share of 0 stands where its sine or cosine is 0.
            let part = |share: f64, grows: f64, of: f64| if of == 0.0 { 0.0 } else { share * grows / of };
            (h, h * (part(along_b, c, s) - part(along_a, s, c)))
        };
        Support { h, k }
    }

    pub(super) fn scaled(self, k: f64) -> Self {
        Self { a: self.a * k, b: self.b * k, ..self }
    }

    pub(super) fn spun(self, turn: Vec2) -> Self {
        Self { axis: turn.rotate(self.axis).normalize(), ..self }
    }

    /// The bits of every number of it.
    pub(super) fn key(&self, key: &mut Vec<u64>) {
        let Self { a, b, power, axis, weight } = *self;
        key.extend([a, b, power, axis.x, axis.y, weight].map(f64::to_bits));
    }

    fn curve(self) -> Curve {
        Curve::Oval { centre: Vec2::ZERO, a: self.a, b: self.b, power: self.power, axis: self.axis }
    }
}

/// The support function at one direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Support {
    /// Distance of the tangent line.
    pub h: f64,
    /// Its derivative: the point's place along the tangent line.
    pub k: f64,
}

impl Support {
    /// The point itself.
    #[must_use]
    pub fn point(self, phi: f64) -> Vec2 {
        let n = unit(phi);
        n * self.h + left_of(n) * self.k
    }
}

impl Curve {
    /// The same curve at another size.
    #[must_use]
    pub fn scaled(self, k: f64) -> Self {
        match self {
            Self::Round { centre, radius } => Self::Round { centre: centre * k, radius: radius * k },
            Self::Oval { centre, a, b, power, axis } => {
                Self::Oval { centre: centre * k, a: a * k, b: b * k, power, axis }
            }
            Self::Sum { centre, radius, ovals } => {
                Self::Sum { centre: centre * k, radius: radius * k, ovals: ovals.map(|o| o.scaled(k)) }
            }
            Self::Hull { ends, z } => Self::Hull { ends: ends.map(|e| e.scaled(k)), z: z * k },
        }
    }

    /// `h` and `h'` at normal angle `phi`.
    #[must_use]
    pub fn support(self, phi: f64) -> Support {
        self.support_along(num::sin_cos(phi))
    }

    /// The same where the sine and cosine of `phi` are known.
    #[must_use]
    pub fn support_along(&self, along: (f64, f64)) -> Support {
        match *self {
            Self::Round { centre, radius } => round(centre, radius, along),
            Self::Oval { centre, a, b, power, axis } => {
                let about = round(centre, 0.0, along);
                let one = Weighed { a, b, power, axis, weight: 1.0 }.support_along(along);
                Support { h: one.h + about.h, k: one.k + about.k }
            }
            Self::Sum { centre, radius, ref ovals } => {
                let mut sum = round(centre, radius, along);
                for oval in ovals.iter().filter(|o| o.weight != 0.0) {
                    let one = oval.support_along(along);
                    sum = Support { h: sum.h + oval.weight * one.h, k: sum.k + oval.weight * one.k };
                }
                sum
            }
            Self::Hull { ref ends, z } => hull::supports(ends, [z], along)[0],
        }
    }

    /// The supports of the two curves of one wall.
    #[must_use]
    pub fn supports(lower: &Self, upper: &Self, along: (f64, f64)) -> [Support; 2] {
        match (lower, upper) {
            (Self::Hull { ends, z }, Self::Hull { z: above, .. }) => hull::supports(ends, [*z, *above], along),
            _ => [lower.support_along(along), upper.support_along(along)],
        }
    }

    /// Their radii where the wall between them has this rule: of a hull it tells the plane that touches both ends.
    #[must_use]
    pub fn radii(lower: &Self, upper: &Self, rule: &Rule) -> [f64; 2] {
        let along = (rule.facing.y, rule.facing.x);
        match (lower, upper) {
            (Self::Hull { ends, z }, Self::Hull { z: above, .. }) => {
                hull::radii_at(ends, [*z, *above], rule.facing, rule.flare())
            }
            _ => [lower.radius_along(along), upper.radius_along(along)],
        }
    }

    /// The radius of curvature `ρ = h + h''` at `phi`; infinite where an oval fuller than an ellipse is flat.
    #[must_use]
    pub fn radius(self, phi: f64) -> f64 {
        self.radius_along(num::sin_cos(phi))
    }

    /// The same where the sine and cosine of `phi` are known.
    #[must_use]
    pub fn radius_along(&self, along: (f64, f64)) -> f64 {
        match *self {
            Self::Round { radius, .. } => radius,
            Self::Oval { a, b, power, axis, .. } => {
                let (s, c) = seen_from(along, axis);
                if power == 2.0 {
                    let h2 = a * a * c * c + b * b * s * s;
                    return a * a * b * b / (h2 * h2.sqrt());
                }
                let (s, c) = (on_axis(s), on_axis(c));
                if s == 0.0 || c == 0.0 {
                    return f64::INFINITY;
                }
                let (h, along_a, along_b) = dual_norm(a, b, power, (s, c));
                along_a * along_b * h / ((power - 1.0) * (c * s) * (c * s))
            }
            Self::Sum { radius, ref ovals, .. } => {
                let counted = ovals.iter().filter(|o| o.weight != 0.0);
                radius + counted.map(|o| o.weight * o.curve().radius_along(along)).sum::<f64>()
            }
            Self::Hull { ref ends, z } => hull::radii(ends, [z], along)[0],
        }
    }

    /// The curve a share `s` of the way from this one to `other`, point by point of one normal; below 0 and above 1 it
    /// lies beyond them. It is a circle or an oval where both are of one form.
    #[must_use]
    pub fn toward(self, other: Self, s: f64) -> Self {
        // A wall's level sections are those of one wall.
        if let (Self::Hull { ends, z }, Self::Hull { z: above, .. }) = (self, other) {
            return Self::Hull { ends, z: z + (above - z) * s };
        }
        let mut centre = Vec2::ZERO;
        let mut radius = 0.0;
        // A sum holds two ovals, and two sums of the same two hold no more.
        let mut ovals: Vec<Weighed> = Vec::with_capacity(4);
        for (curve, share) in [(self, 1.0 - s), (other, s)] {
            let (c, r, parts) = curve.parts();
            centre += c * share;
            radius += r * share;
            for part in parts.into_iter().filter(|p| p.weight != 0.0) {
                let weight = part.weight * share;
                let alike = |o: &&mut Weighed| {
                    o.power == part.power
                        && (o.a * part.b - part.a * o.b).abs() < 1e-12 * o.a * o.b
                        && (o.axis - part.axis).length() < 1e-12
                };
                match ovals.iter_mut().find(alike) {
                    Some(o) => o.weight += weight * part.a / o.a,
                    None => ovals.push(Weighed { weight, ..part }),
                }
            }
        }
        match ovals[..] {
            [] => Self::Round { centre, radius },
            [o] if o.weight > 0.0 && radius == 0.0 => {
                Self::Oval { centre, a: o.a * o.weight, b: o.b * o.weight, power: o.power, axis: o.axis }
            }
            [one] => Self::Sum { centre, radius, ovals: [one, Weighed::NONE] },
            [one, two, ..] => Self::Sum { centre, radius, ovals: [one, two] },
        }
    }

    /// As a circle and ovals; what is neither has none.
    pub(super) fn parts(self) -> (Vec2, f64, [Weighed; 2]) {
        match self {
            Self::Hull { .. } => (Vec2::ZERO, 0.0, [Weighed::NONE; 2]),
            Self::Round { centre, radius } => (centre, radius, [Weighed::NONE; 2]),
            Self::Oval { centre, a, b, power, axis } => {
                (centre, 0.0, [Weighed { a, b, power, axis, weight: 1.0 }, Weighed::NONE])
            }
            Self::Sum { centre, radius, ovals } => (centre, radius, ovals),
        }
    }

    /// The bits of every number of it, and which curve it is.
    pub(super) fn key(&self, key: &mut Vec<u64>) {
        match *self {
            Self::Round { centre, radius } => {
                key.push(0);
                key.extend([centre.x, centre.y, radius].map(f64::to_bits));
            }
            Self::Oval { centre, a, b, power, axis } => {
                key.push(1);
                key.extend([centre.x, centre.y, a, b, power, axis.x, axis.y].map(f64::to_bits));
            }
            Self::Sum { centre, radius, ovals } => {
                key.push(2);
                key.extend([centre.x, centre.y, radius].map(f64::to_bits));
                ovals.iter().for_each(|o| o.key(key));
            }
            Self::Hull { ref ends, z } => {
                key.extend([3, z.to_bits()]);
                ends.iter().for_each(|e| e.key(key));
            }
        }
    }

    /// The same curve moved.
    #[must_use]
    pub fn moved(self, by: Vec2) -> Self {
        match self {
            Self::Round { centre, radius } => Self::Round { centre: centre + by, radius },
            Self::Oval { centre, a, b, power, axis } => Self::Oval { centre: centre + by, a, b, power, axis },
            Self::Sum { centre, radius, ovals } => Self::Sum { centre: centre + by, radius, ovals },
            Self::Hull { ends, z } => Self::Hull { ends: ends.map(|e| e.moved(by)), z },
        }
    }

    /// The same curve turned about the origin: what it was at `phi` it is at `phi + by`.
    #[must_use]
    pub fn spun(self, by: f64) -> Self {
        let turn = unit(by);
        let spun = |v: Vec2| turn.rotate(v);
        match self {
            Self::Round { centre, radius } => Self::Round { centre: spun(centre), radius },
            Self::Oval { centre, a, b, power, axis } => {
                Self::Oval { centre: spun(centre), a, b, power, axis: spun(axis).normalize() }
            }
            Self::Sum { centre, radius, ovals } => {
                Self::Sum { centre: spun(centre), radius, ovals: ovals.map(|o| o.spun(turn)) }
            }
            Self::Hull { ends, z } => Self::Hull { ends: ends.map(|e| e.spun(turn)), z },
        }
    }

    /// The fullness of an oval that has a flat place at `phi`: on one of its axes, and fuller than an ellipse. 2 for
    /// every other curve.
    #[must_use]
    pub fn flat_at(self, phi: f64) -> f64 {
        let along = num::sin_cos(phi);
        if let Self::Hull { ref ends, .. } = self {
            return hull::flat_at(ends, along);
        }
        self.flat_along(along)
    }

    /// The same where the sine and cosine of `phi` are known, of what is no hull.
    pub(super) fn flat_along(self, along: (f64, f64)) -> f64 {
        let (_, _, ovals) = self.parts();
        let flat = |o: &&Weighed| {
            let (s, c) = seen_from(along, o.axis);
            o.weight != 0.0 && s.abs().min(c.abs()) < 1e-9
        };
        ovals.iter().filter(flat).map(|o| o.power).fold(2.0, f64::max)
    }
}

/// The dual norm `h = (u + v)^(1/q)` of `u = |a c|^q` and `v = |b s|^q`, where `1/power + 1/q = 1`, and the shares of `u`
/// and `v` in their sum. Powers are most of what a wall between full ovals costs: the larger term is taken out, so that
/// two are enough for all there is to know of a direction.
fn dual_norm(a: f64, b: f64, power: f64, (s, c): (f64, f64)) -> (f64, f64, f64) {
    let q = power / (power - 1.0);
    let (x, y) = ((a * c).abs(), (b * s).abs());
    let (more, less) = (x.max(y), x.min(y));
    let t = num::pow(less / more, q);
    let h = more * num::pow(1.0 + t, 1.0 / q);
    let (larger, smaller) = (1.0 / (1.0 + t), t / (1.0 + t));
    if x >= y { (h, larger, smaller) } else { (h, smaller, larger) }
}

/// The support of a circle.
fn round(centre: Vec2, radius: f64, (s, c): (f64, f64)) -> Support {
    Support { h: centre.x * c + centre.y * s + radius, k: centre.y * c - centre.x * s }
}

/// Sine and cosine of a direction, seen from an oval whose first axis is `axis`.
fn seen_from((s, c): (f64, f64), axis: Vec2) -> (f64, f64) {
    (s * axis.x - c * axis.y, c * axis.x + s * axis.y)
}

/// A sine or cosine that is 0 but for the rounding of its angle: on a full oval's axis a hundredth of a millimetre lies
/// within the angle's last digit.
fn on_axis(x: f64) -> f64 {
    if x.abs() < 4e-15 { 0.0 } else { x }
}
