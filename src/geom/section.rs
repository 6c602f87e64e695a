//! Plane sections by their support function: for the outward normal at angle φ, `h(φ)` is how far the tangent line
//! stands from the origin and `k(φ) = h'(φ)` how far along it the point lies, so the point is `h n + k t` with
//! `n = (cos φ, sin φ)`, `t = (−sin φ, cos φ)`, and the radius of curvature is `ρ = h + h''`
//! (L. A. Santaló, Integral Geometry and Geometric Probability, 1976, I.1.2).
//!
//! A section is a closed chain of [`Element`]s; a straight side is the jump from one element's last point to the
//! next one's first at one φ, a corner an element of radius 0. A hollow arc runs through φ backwards with a negative
//! radius, so the same formulas hold for outlines that are not convex. Sections are built by `shape`; this module
//! proves them closed, finite and turning once.

use super::{Vec2, left_of, unit};
use crate::num::{self, GAUSS8, TAU};

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
    const NONE: Self = Self { a: 0.0, b: 0.0, power: 2.0, axis: Vec2::X, weight: 0.0 };

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
                let ovals = ovals.map(|o| Weighed { a: o.a * k, b: o.b * k, ..o });
                Self::Sum { centre: centre * k, radius: radius * k, ovals }
            }
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
        }
    }

    /// The curve a share `s` of the way from this one to `other`, point by point of one normal; below 0 and above 1 it
    /// lies beyond them. It is a circle or an oval where both are of one form.
    #[must_use]
    pub fn toward(self, other: Self, s: f64) -> Self {
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

    /// As a circle and ovals.
    fn parts(self) -> (Vec2, f64, [Weighed; 2]) {
        match self {
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
                for Weighed { a, b, power, axis, weight } in ovals {
                    key.extend([a, b, power, axis.x, axis.y, weight].map(f64::to_bits));
                }
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
                let ovals = ovals.map(|o| Weighed { axis: spun(o.axis).normalize(), ..o });
                Self::Sum { centre: spun(centre), radius, ovals }
            }
        }
    }

    /// The fullness of an oval that has a flat place at `phi`: on one of its axes, and fuller than an ellipse. 2 for
    /// every other curve.
    #[must_use]
    pub fn flat_at(self, phi: f64) -> f64 {
        let (_, _, ovals) = self.parts();
        let along = num::sin_cos(phi);
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

/// A stretch of a section: the normal turns from `from` to `to` (backwards on a hollow arc).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Element {
    pub from: f64,
    pub to: f64,
    pub curve: Curve,
}

/// Why a chain of elements is no section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionFault {
    Empty,
    NotFinite,
    /// The normals of two neighbours do not meet: `element` ends where the next does not begin.
    Broken {
        element: usize,
    },
    /// A straight side of negative length, behind `element`.
    BackwardSide {
        element: usize,
    },
    /// The normal does not turn exactly once.
    Turn,
}

/// A closed plane section.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    elements: Vec<Element>,
}

impl Section {
    /// Proves the chain: finite, each element beginning at the normal where the last one ended, no side of negative
    /// length, one whole turn counter-clockwise. (Self-crossing of a hollow outline is proved by whoever draws it.)
    ///
    /// # Errors
    /// The first fault met.
    pub fn new(elements: Vec<Element>) -> Result<Self, SectionFault> {
        let (Some(first), Some(last)) = (elements.first(), elements.last()) else { return Err(SectionFault::Empty) };
        if (last.to - first.from - TAU).abs() > 1e-9 {
            return Err(SectionFault::Turn);
        }
        for (i, e) in elements.iter().enumerate() {
            let s = e.curve.support(e.from);
            if !(s.h.is_finite() && s.k.is_finite() && e.from.is_finite() && e.to.is_finite()) {
                return Err(SectionFault::NotFinite);
            }
            let (next, turn) = match elements.get(i + 1) {
                Some(n) => (*n, 0.0),
                None => (elements[0], TAU),
            };
            if (e.to - next.from - turn).abs() > 1e-9 {
                return Err(SectionFault::Broken { element: i });
            }
            if next.curve.support(next.from).k - e.curve.support(e.to).k < -1e-6 {
                return Err(SectionFault::BackwardSide { element: i });
            }
        }
        Ok(Self { elements })
    }

    /// A circle about the origin.
    #[must_use]
    pub fn circle(radius: f64) -> Self {
        Self::whole(Curve::Round { centre: Vec2::ZERO, radius })
    }

    /// An oval about the origin with half-axes `a` along x and `b` along y.
    #[must_use]
    pub fn oval(a: f64, b: f64, power: f64) -> Self {
        Self::whole(Curve::Oval { centre: Vec2::ZERO, a, b, power, axis: Vec2::X })
    }

    /// A single point: the end of a cone.
    #[must_use]
    pub fn point(at: Vec2) -> Self {
        Self::whole(Curve::Round { centre: at, radius: 0.0 })
    }

    fn whole(curve: Curve) -> Self {
        // Quarters, so that the places where a fuller oval is flat are always ends of elements.
        let quarter = num::FRAC_PI_2;
        let elements =
            (0..4u8).map(|i| Element { from: f64::from(i) * quarter, to: f64::from(i + 1) * quarter, curve }).collect();
        Self { elements }
    }

    /// The same section turned about the origin, then moved.
    #[must_use]
    pub fn set(&self, spin: f64, by: Vec2) -> Self {
        if spin == 0.0 && by == Vec2::ZERO {
            return self.clone();
        }
        let set = |e: &Element| {
            let curve = if spin == 0.0 { e.curve } else { e.curve.spun(spin) };
            Element { from: e.from + spin, to: e.to + spin, curve: curve.moved(by) }
        };
        Self { elements: self.elements.iter().map(set).collect() }
    }

    /// The point half-way between what it reaches to the front and back, and to the left and right.
    #[must_use]
    pub fn middle(&self) -> Vec2 {
        let half = |phi: f64| 0.5 * (self.support(phi).h - self.support(phi + num::PI).h);
        Vec2::new(half(0.0), half(num::FRAC_PI_2))
    }

    /// The chain.
    #[must_use]
    pub fn elements(&self) -> &[Element] {
        &self.elements
    }

    /// Whether every normal turns forward: the outline of a convex figure.
    #[must_use]
    pub fn is_convex(&self) -> bool {
        self.elements.iter().all(|e| e.to >= e.from)
    }

    /// Whether it is a single point.
    #[must_use]
    pub fn is_point(&self) -> bool {
        self.girth() < super::tol::SAME
    }

    /// The support in direction `phi` of a convex section (of a hollow one: of its hull's widest element there).
    #[must_use]
    pub fn support(&self, phi: f64) -> Support {
        let mut best: Option<Support> = None;
        for e in &self.elements {
            let turns = ((e.from.min(e.to) - phi) / TAU).ceil();
            let phi = phi + turns * TAU;
            if phi <= e.from.max(e.to) + 1e-12 {
                let s = e.curve.support(phi);
                if best.is_none_or(|b| s.h > b.h) {
                    best = Some(s);
                }
            }
        }
        best.expect("a section turns through every direction")
    }

    /// The least radius of curvature that it has anywhere; an oval's is looked for a degree apart.
    #[must_use]
    pub fn tightest(&self) -> f64 {
        let step = TAU / 360.0;
        let along = |e: &Element| {
            let count = ((e.to - e.from).abs() / step).ceil().max(1.0);
            (0..=count as usize)
                .map(|i| e.curve.radius(e.from + (e.to - e.from) * i as f64 / count))
                .fold(f64::INFINITY, f64::min)
        };
        self.elements.iter().map(along).fold(f64::INFINITY, f64::min)
    }

    /// Whether it is one whole oval.
    #[must_use]
    pub fn is_oval(&self) -> bool {
        self.elements.iter().all(|e| matches!(e.curve, Curve::Oval { .. }))
    }

    /// The length round it: `∮ h dφ` plus nothing, since the jumps of `k` cancel round a closed section (Cauchy).
    #[must_use]
    pub fn girth(&self) -> f64 {
        self.elements.iter().map(|e| integral(e.from, e.to, |phi| e.curve.support(phi).h)).collect::<num::Sum>().value()
    }

    /// The area it encloses: half of `∮ h ds`, `ds = dk + h dφ`; sides add `h` times their length.
    #[must_use]
    pub fn area(&self) -> f64 {
        let mut sum = num::Sum::new();
        for (i, e) in self.elements.iter().enumerate() {
            // ∮ h (h + h'') = [h k] + ∫ (h² − k²): no second derivative is needed.
            sum.add(integral(e.from, e.to, |phi| {
                let s = e.curve.support(phi);
                s.h * s.h - s.k * s.k
            }));
            let (start, end) = (e.curve.support(e.from), e.curve.support(e.to));
            sum.add(end.h * end.k - start.h * start.k);
            let next = self.elements.get(i + 1).unwrap_or(&self.elements[0]);
            sum.add(end.h * (next.curve.support(next.from).k - end.k));
        }
        0.5 * sum.value()
    }

    /// How far it reaches along the direction `phi`, both ways together.
    #[must_use]
    pub fn width(&self, phi: f64) -> f64 {
        self.support(phi).h + self.support(phi + num::PI).h
    }
}

/// `∫ f` from `from` to `to` by the eight-point rule on panels of at most 3°, narrowing toward both ends, where an
/// oval fuller than an ellipse has a weak singularity.
pub fn integral(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let mut sum = num::Sum::new();
    for (a, b) in panels(from, to) {
        let (mid, half) = (0.5 * (a + b), 0.5 * (b - a));
        for (x, w) in GAUSS8 {
            sum.add(w * half * f(mid + half * x));
        }
    }
    sum.value()
}

/// The panels of [`integral`]: at most 3° wide, quartered four times toward both ends.
fn panels(from: f64, to: f64) -> Vec<(f64, f64)> {
    let n = ((to - from).abs() / (3f64).to_radians()).ceil().max(2.0);
    let step = (to - from) / n;
    let mut cuts = vec![from];
    for i in (1..=4).rev() {
        cuts.push(from + step * 0.25f64.powi(i));
    }
    let mut i = 1.0;
    while i < n {
        cuts.push(from + step * i);
        i += 1.0;
    }
    for i in 1..=4 {
        cuts.push(to - step * 0.25f64.powi(i));
    }
    cuts.push(to);
    cuts.windows(2).map(|w| (w[0], w[1])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ellipse_perimeters_match_the_complete_elliptic_integral() {
        // 4aE(1 − b²/a²), Abramowitz & Stegun 1964, ch. 17.
        for (a, b, perimeter) in [
            (5.0, 3.0, 25.526_998_863),
            (2.0, 1.0, 9.688_448_220_5),
            (10.0, 1.0, 40.639_741_801),
            (90.0, 60.0, 475.963_187_68),
        ] {
            let girth = Section::oval(b, a, 2.0).girth();
            assert!((girth / perimeter - 1.0).abs() < 1e-9, "({a}, {b}): {girth}");
        }
    }

    #[test]
    fn superellipse_matches_the_squircle_and_the_gamma_formula() {
        // Squircle: perimeter (OEIS A186642-family constant), area 8Γ(5/4)²/√π (MathWorld, "Squircle").
        let squircle = Section::oval(1.0, 1.0, 4.0);
        assert!((squircle.girth() - 7.017_697_943_56).abs() < 1e-7, "{}", squircle.girth());
        assert!((squircle.area() - 3.708_149_354_6).abs() < 1e-7, "{}", squircle.area());
        // Power 2.5, half-axes 100 × 60: Γ formula for the area, quadrature for the perimeter (computed with mpmath).
        let oval = Section::oval(100.0, 60.0, 2.5);
        assert!((oval.girth() / 529.987_231_08 - 1.0).abs() < 1e-8, "{}", oval.girth());
        assert!((oval.area() / 20_285.612_18 - 1.0).abs() < 1e-8, "{}", oval.area());
    }

    #[test]
    fn a_point_has_no_girth() {
        assert!(Section::point(Vec2::new(3.0, -7.0)).is_point());
        assert!(!Section::circle(0.5).is_point());
    }

    #[test]
    fn a_broken_chain_is_refused() {
        let curve = Curve::Round { centre: Vec2::ZERO, radius: 1.0 };
        assert_eq!(Section::new(vec![]), Err(SectionFault::Empty));
        let gap = vec![Element { from: 0.0, to: 3.0, curve }, Element { from: 3.1, to: TAU, curve }];
        assert_eq!(Section::new(gap), Err(SectionFault::Broken { element: 0 }));
    }
}

/// Sections for the tests of other modules.
#[cfg(test)]
pub(crate) mod tests_support {
    use super::*;

    /// A square of half-width `w` whose front side is pressed in by a hollow half-width arc.
    pub(crate) fn notched(w: f64) -> Section {
        let corner = |x: f64, y: f64, from: f64, to: f64| Element {
            from: from.to_radians(),
            to: to.to_radians(),
            curve: Curve::Round { centre: Vec2::new(x, y), radius: 0.0 },
        };
        // Up the front side from (w, -w): corner, hollow half circle of radius w/2 round (w, 0), corner, and home.
        let hollow = Curve::Round { centre: Vec2::new(w, 0.0), radius: -0.5 * w };
        let elements = vec![
            corner(w, -w, -90.0, 0.0),
            corner(w, -0.5 * w, 0.0, 90.0),
            Element { from: 90f64.to_radians(), to: (-90f64).to_radians(), curve: hollow },
            corner(w, 0.5 * w, -90.0, 0.0),
            corner(w, w, 0.0, 90.0),
            corner(-w, w, 90.0, 180.0),
            corner(-w, -w, 180.0, 270.0),
        ];
        Section::new(elements).expect("a notched square is a section")
    }

    #[test]
    fn a_notched_square_has_its_girth_and_area() {
        let s = notched(20.0);
        let girth = 3.0 * 40.0 + 20.0 + num::PI * 10.0;
        assert!((s.girth() - girth).abs() < 1e-9, "{}", s.girth());
        assert!((s.area() - (1600.0 - 0.5 * num::PI * 100.0)).abs() < 1e-9, "{}", s.area());
        assert!(!s.is_convex());
    }
}
