//! Plane sections by their support function: for the outward normal at angle φ, `h(φ)` is how far the tangent line
//! stands from the origin and `k(φ) = h'(φ)` how far along it the point lies, so the point is `h n + k t` with
//! `n = (cos φ, sin φ)`, `t = (−sin φ, cos φ)`, and the radius of curvature is `ρ = h + h''`
//! (L. A. Santaló, Integral Geometry and Geometric Probability, 1976, I.1.2).
//!
//! A section is a closed chain of [`Element`]s; a straight side is the jump from one element's last point to the
//! next one's first at one φ, a corner an element of radius 0. A hollow arc runs through φ backwards with a negative
//! radius, so the same formulas hold for outlines that are not convex. Sections are built by `shape`; this module
//! proves them closed, finite and turning once.

pub use super::curve::{Curve, Support, Weighed};

use super::Vec2;
use crate::num::{self, GAUSS8, TAU};

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
