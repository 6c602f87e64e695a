//! The developable wall between two sections in parallel planes: the side of their convex hull. Points with equal
//! outward normal φ are joined by straight generatrices (rules); the tangent plane along one holds both tangents, so
//! with `H` the distance of the planes `tan α = (h1 − h0)/H` gives the wall's slope at φ, positive where it flares
//! upward, and the outward normal is `(n cos α, −sin α)`. A parallel surface at depth `d` (outward positive) has the
//! same rules, `h + d sec α` in place of `h` (and `k + d (sec α)' = k + d sin α · (k1 − k0)/H`).
//!
//! Sections that are similar and similarly placed need not be convex: their elements are joined one to one.

use super::section::{Curve, Element, Section};
use super::{Vec2, Vec3, left_of, tol, unit};
use crate::num::TAU;

/// One generatrix: the direction of its normal and the two sections' support there. On a straight side, rules with
/// one φ run from the side's first point to its last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    pub phi: f64,
    /// `(cos φ, sin φ)`: reckoned once, as everything along a rule asks for it.
    pub facing: Vec2,
    pub h0: f64,
    pub k0: f64,
    pub h1: f64,
    pub k1: f64,
    /// The planes' heights.
    pub z0: f64,
    pub z1: f64,
}

impl Rule {
    /// The rule whose normal is turned by `phi`, between the supports `(h, k)` of two sections, each at its height.
    #[must_use]
    pub fn new(phi: f64, (h0, k0): (f64, f64), (h1, k1): (f64, f64), (z0, z1): (f64, f64)) -> Self {
        Self { phi, facing: unit(phi), h0, k0, h1, k1, z0, z1 }
    }

    /// The distance of the planes.
    #[must_use]
    pub fn rise(&self) -> f64 {
        self.z1 - self.z0
    }

    /// `tan α`.
    #[must_use]
    pub fn flare(&self) -> f64 {
        (self.h1 - self.h0) / self.rise()
    }

    /// `sec α`.
    #[must_use]
    pub fn secant(&self) -> f64 {
        let u = self.flare();
        (1.0 + u * u).sqrt()
    }

    /// `sin α`.
    #[must_use]
    pub fn sine(&self) -> f64 {
        self.flare() / self.secant()
    }

    /// `(sec α)'`: how the support's derivative changes with depth.
    #[must_use]
    pub fn secant_turn(&self) -> f64 {
        self.sine() * (self.k1 - self.k0) / self.rise()
    }

    /// The outward normal of the wall along this rule.
    #[must_use]
    pub fn normal(&self) -> Vec3 {
        let (n, sec, u) = (self.facing, self.secant(), self.flare());
        Vec3::new(n.x / sec, n.y / sec, -u / sec)
    }

    /// Both rims' tangent, in the sense of growing φ.
    #[must_use]
    pub fn tangent(&self) -> Vec3 {
        let t = left_of(self.facing);
        Vec3::new(t.x, t.y, 0.0)
    }

    /// Support `(h, k)` of the parallel surface at depth `d`, cut at height `z`.
    #[must_use]
    pub fn support_at(&self, z: f64, d: f64) -> (f64, f64) {
        let s = (z - self.z0) / self.rise();
        let h = self.h0 + (self.h1 - self.h0) * s + d * self.secant();
        let k = self.k0 + (self.k1 - self.k0) * s + d * self.secant_turn();
        (h, k)
    }

    /// The point of the parallel surface at depth `d` on this rule at height `z`.
    #[must_use]
    pub fn point(&self, z: f64, d: f64) -> Vec3 {
        let (h, k) = self.support_at(z, d);
        let p: Vec2 = self.facing * h + left_of(self.facing) * k;
        Vec3::new(p.x, p.y, z)
    }

    /// The same rule at another size.
    #[must_use]
    pub fn scaled(&self, k: f64) -> Self {
        let Self { phi, facing, h0, k0, h1, k1, z0, z1 } = *self;
        Self { phi, facing, h0: h0 * k, k0: k0 * k, h1: h1 * k, k1: k1 * k, z0: z0 * k, z1: z1 * k }
    }

    /// The same rule between planes at other heights.
    #[must_use]
    pub fn between_planes(&self, (z0, z1): (f64, f64)) -> Self {
        let ((h0, k0), (h1, k1)) = (self.support_at(z0, 0.0), self.support_at(z1, 0.0));
        Self { h0, k0, h1, k1, z0, z1, ..*self }
    }

    /// The same rule where its direction is counted from elsewhere, whole turns further.
    #[must_use]
    pub fn turned_to(&self, phi: f64) -> Self {
        Self { phi, ..*self }
    }

    /// The rule a share `s` of the way from `self` to `other`, two rules of one straight side.
    #[must_use]
    pub fn between(&self, other: &Self, s: f64) -> Self {
        Self { k0: self.k0 + (other.k0 - self.k0) * s, k1: self.k1 + (other.k1 - self.k1) * s, ..*self }
    }
}

/// A stretch of φ where both sections are one curve each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    pub from: f64,
    pub to: f64,
    pub lower: Curve,
    pub upper: Curve,
}

/// Why two sections have no such wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StripFault {
    /// A section is hollow and the two are not similar.
    HollowUnlike,
    /// The planes are not one above the other.
    NoRise,
    /// Both sections are points.
    NoGirth,
}

/// The wall between two sections.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    z0: f64,
    z1: f64,
    stretches: Vec<Stretch>,
}

impl Strip {
    /// The wall from `lower` at height `z0` to `upper` at `z1 > z0`. Its stretches begin at the first element of
    /// `lower`.
    ///
    /// # Errors
    /// See [`StripFault`].
    pub fn new(lower: &Section, z0: f64, upper: &Section, z1: f64) -> Result<Self, StripFault> {
        if z1 - z0 < tol::SAME {
            return Err(StripFault::NoRise);
        }
        if lower.is_point() && upper.is_point() {
            return Err(StripFault::NoGirth);
        }
        let stretches = if lower.is_convex() && upper.is_convex() {
            merged(lower.elements(), upper.elements())
        } else {
            zipped(lower, upper).ok_or(StripFault::HollowUnlike)?
        };
        Ok(Self { z0, z1, stretches })
    }

    /// A wall of stretches that are known to follow each other.
    pub(super) fn of(z0: f64, z1: f64, stretches: Vec<Stretch>) -> Self {
        Self { z0, z1, stretches }
    }

    /// Whether it stands between sections whose planes may lean.
    #[must_use]
    pub fn is_between_leaning(&self) -> bool {
        self.stretches.iter().any(|s| matches!(s.lower, Curve::Hull { .. }))
    }

    /// The planes' heights.
    #[must_use]
    pub fn heights(&self) -> (f64, f64) {
        (self.z0, self.z1)
    }

    /// The stretches of φ, one turn; between two neighbours both sections may have a straight side.
    #[must_use]
    pub fn stretches(&self) -> &[Stretch] {
        &self.stretches
    }

    /// The bits of every number of it.
    pub(super) fn key(&self, key: &mut Vec<u64>) {
        key.extend([self.z0, self.z1].map(f64::to_bits));
        for s in &self.stretches {
            key.extend([s.from, s.to].map(f64::to_bits));
            s.lower.key(key);
            s.upper.key(key);
        }
    }

    /// The rule of stretch `stretch` at `phi`.
    #[must_use]
    pub fn rule(&self, stretch: usize, phi: f64) -> Rule {
        let s = &self.stretches[stretch];
        let facing = unit(phi);
        let along = (facing.y, facing.x);
        let [lower, upper] = Curve::supports(&s.lower, &s.upper, along);
        Rule { phi, facing, h0: lower.h, k0: lower.k, h1: upper.h, k1: upper.k, z0: self.z0, z1: self.z1 }
    }

    /// The same wall between two other planes, cut off there or carried on straight along its rules; a plane that is
    /// its own stays exactly where it is. `None` when `to` does not lie above `from`.
    #[must_use]
    pub fn between(&self, from: f64, to: f64) -> Option<Self> {
        if to - from < tol::SAME {
            return None;
        }
        let at = |s: &Stretch, z: f64| match z {
            z if z == self.z0 => s.lower,
            z if z == self.z1 => s.upper,
            z => s.lower.toward(s.upper, (z - self.z0) / (self.z1 - self.z0)),
        };
        let cut = |s: &Stretch| Stretch { lower: at(s, from), upper: at(s, to), ..*s };
        Some(Self { z0: from, z1: to, stretches: self.stretches.iter().map(cut).collect() })
    }

    /// The same wall at another size.
    #[must_use]
    pub fn scaled(&self, k: f64) -> Self {
        let grown = |s: &Stretch| Stretch { lower: s.lower.scaled(k), upper: s.upper.scaled(k), ..*s };
        Self { z0: self.z0 * k, z1: self.z1 * k, stretches: self.stretches.iter().map(grown).collect() }
    }

    /// The same wall begun at the rule whose normal points to `phi`: on a straight side its middle. Stretches are
    /// turned and split so that the first begins at `phi` and the last ends at `phi + 2π`; `None` only for a hollow
    /// wall whose normal never points there as part of its hull.
    ///
    /// A side at `phi` itself stays between last and first stretch: whoever walks the wall begins in its middle.
    #[must_use]
    pub fn begun_at(&self, phi: f64) -> Option<Self> {
        let mut best: Option<(usize, f64, f64)> = None;
        for (i, s) in self.stretches.iter().enumerate() {
            if s.to < s.from {
                continue;
            }
            let at = phi + ((s.from - phi - 1e-12) / TAU).ceil() * TAU;
            if at <= s.to + 1e-12 {
                let at = at.clamp(s.from, s.to);
                let reach = s.lower.support(at).h + s.upper.support(at).h;
                if best.is_none_or(|b| reach > b.2 + tol::SAME) {
                    best = Some((i, at, reach));
                }
            }
        }
        let (i, at, _) = best?;
        let s = self.stretches[i];
        let mut turned = Vec::with_capacity(self.stretches.len() + 1);
        let shifted = |s: &Stretch, by: f64| Stretch { from: s.from + by, to: s.to + by, ..*s };
        // Where the direction falls on the end of one stretch and the start of the next, begin with the next: a side
        // lies between them.
        let (i, at) = if s.to - at <= 1e-12 {
            let next = (i + 1) % self.stretches.len();
            (next, self.stretches[next].from)
        } else {
            (i, at)
        };
        let s = self.stretches[i];
        turned.push(Stretch { from: at, ..s });
        turned.extend(self.stretches[i + 1..].iter().map(|s| shifted(s, 0.0)));
        turned.extend(self.stretches[..i].iter().map(|s| shifted(s, TAU)));
        if at - s.from > 1e-12 {
            turned.push(shifted(&Stretch { to: at, ..s }, TAU));
        }
        // Renumber so that the first normal is `phi` itself.
        let by = phi - turned[0].from;
        let by = (by / TAU).round() * TAU;
        let stretches = turned.iter().map(|s| shifted(s, by)).collect();
        Some(Self { z0: self.z0, z1: self.z1, stretches })
    }
}

/// Convex sections: cut both chains at every end of an element of either.
fn merged(lower: &[Element], upper: &[Element]) -> Vec<Stretch> {
    let start = lower[0].from;
    let turned = |elements: &[Element]| -> Vec<Element> {
        let mut list = Vec::with_capacity(elements.len() * 2);
        for e in elements {
            for turn in -2..=2 {
                let by = f64::from(turn) * TAU;
                let (from, to) = ((e.from + by).max(start), (e.to + by).min(start + TAU));
                if to - from > tol::SAME_ANGLE {
                    list.push(Element { from, to, curve: e.curve });
                }
            }
        }
        list.sort_by(|a, b| a.from.total_cmp(&b.from));
        list
    };
    let (lower, upper) = (turned(lower), turned(upper));
    let (mut i, mut j, mut from) = (0, 0, start);
    let mut out = Vec::with_capacity(lower.len() + upper.len());
    while i < lower.len() && j < upper.len() {
        let to = lower[i].to.min(upper[j].to);
        if to - from > tol::SAME_ANGLE {
            out.push(Stretch { from, to, lower: lower[i].curve, upper: upper[j].curve });
            from = to;
        }
        let (li, uj) = (lower[i].to, upper[j].to);
        if li - to <= tol::SAME_ANGLE {
            i += 1;
        }
        if uj - to <= tol::SAME_ANGLE {
            j += 1;
        }
    }
    if let Some(last) = out.last_mut() {
        last.to = start + TAU;
    }
    out
}

/// Similar, similarly placed sections: the same chain of normals, every length in one ratio. A point is similar to
/// everything.
fn zipped(lower: &Section, upper: &Section) -> Option<Vec<Stretch>> {
    let (a, b) = (lower.elements(), upper.elements());
    let joined = |lower: &Element, upper: Curve| Stretch { from: lower.from, to: lower.to, lower: lower.curve, upper };
    if upper.is_point() {
        return Some(a.iter().map(|e| joined(e, b[0].curve)).collect());
    }
    if lower.is_point() {
        let point = a[0].curve;
        return Some(b.iter().map(|e| Stretch { from: e.from, to: e.to, lower: point, upper: e.curve }).collect());
    }
    let ratio = upper.girth() / lower.girth();
    let anchor = (a[0].curve.support(a[0].from).point(a[0].from), b[0].curve.support(b[0].from).point(b[0].from));
    let similar = a.len() == b.len()
        && a.iter().zip(b).all(|(x, y)| {
            (x.from - y.from).abs() < 1e-9
                && (x.to - y.to).abs() < 1e-9
                && [x.from, 0.5 * (x.from + x.to), x.to].iter().all(|&phi| {
                    let p = x.curve.support(phi).point(phi) - anchor.0;
                    let q = y.curve.support(phi).point(phi) - anchor.1;
                    (p * ratio - q).length() < 1e-6 * (1.0 + q.length())
                })
        });
    similar.then(|| a.iter().zip(b).map(|(x, y)| joined(x, y.curve)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cone_has_one_slope_all_round() {
        let strip = Strip::new(&Section::circle(37.5), 0.0, &Section::circle(47.5), 520.0).expect("a wall");
        for phi in [0.0, 1.0, 2.5] {
            let rule = strip.rule(0, phi);
            assert!((rule.flare() - 10.0 / 520.0).abs() < 1e-15);
            assert!((rule.normal().length() - 1.0).abs() < 1e-15);
            assert!(rule.normal().dot(rule.tangent()).abs() < 1e-15);
        }
    }

    #[test]
    fn a_wall_can_begin_anywhere() {
        let strip = Strip::new(&Section::oval(30.0, 50.0, 2.0), 0.0, &Section::circle(47.5), 100.0).expect("a wall");
        for phi in [0.0, 0.3, 3.0, -1.0, 6.0] {
            let turned = strip.begun_at(phi).expect("a convex wall faces everywhere");
            let s = turned.stretches();
            assert!((s[0].from - phi).abs() < 1e-12);
            assert!((s[s.len() - 1].to - phi - TAU).abs() < 1e-12);
            assert!(s.windows(2).all(|w| (w[0].to - w[1].from).abs() < 1e-12));
        }
    }

    #[test]
    fn a_wall_cut_between_other_planes_has_the_same_rules() {
        // An ellipse to a circle and to a fuller oval, cut within and carried on past both ends.
        for upper in [Section::circle(47.5), Section::oval(40.0, 30.0, 3.0)] {
            let strip = Strip::new(&Section::oval(30.0, 50.0, 2.0), 10.0, &upper, 110.0).expect("a wall");
            for (from, to) in [(10.0, 110.0), (30.0, 35.5), (-4.0, 20.0), (100.0, 118.0)] {
                let cut = strip.between(from, to).expect("a wall");
                assert_eq!(cut.heights(), (from, to));
                for i in 0..strip.stretches().len() {
                    let phi = 0.3 * strip.stretches()[i].to + 0.7 * strip.stretches()[i].from;
                    let (whole, part) = (strip.rule(i, phi), cut.rule(i, phi));
                    for d in [-5.0, 0.0, 2.0] {
                        for z in [from, 0.5 * (from + to), to] {
                            assert!((whole.point(z, d) - part.point(z, d)).length() < 1e-12, "{phi} {z} {d}");
                        }
                    }
                    let radius = |s: &Strip, z: f64| {
                        let t = &s.stretches()[i];
                        let share = (z - s.heights().0) / (s.heights().1 - s.heights().0);
                        t.lower.radius(phi) * (1.0 - share) + t.upper.radius(phi) * share
                    };
                    assert!((radius(&strip, to) - radius(&cut, to)).abs() < 1e-9);
                }
            }
            assert_eq!(strip.between(20.0, 20.0), None);
        }
    }

    #[test]
    fn between_like_curves_lies_a_like_curve() {
        let strip = Strip::new(&Section::oval(35.0, 52.5, 2.0), 0.0, &Section::oval(50.0, 75.0, 2.0), 100.0);
        let cut = strip.expect("a wall").between(20.0, 60.0).expect("a wall");
        let Curve::Oval { a, b, .. } = cut.stretches()[0].lower else { panic!("{:?}", cut.stretches()[0].lower) };
        assert!((a - 38.0).abs() < 1e-12 && (b - 57.0).abs() < 1e-12);
        let cone = Strip::new(&Section::circle(40.0), 0.0, &Section::circle(60.0), 100.0).expect("a wall");
        let cut = cone.between(20.0, 60.0).expect("a wall");
        assert!(matches!(cut.stretches()[0].upper, Curve::Round { radius, .. } if (radius - 52.0).abs() < 1e-12));
        // Cut twice it is what it is cut once.
        let twice = strip_of_two().between(20.0, 60.0).and_then(|s| s.between(30.0, 70.0)).expect("a wall");
        let once = strip_of_two().between(30.0, 70.0).expect("a wall");
        assert!((twice.rule(0, 0.4).h1 - once.rule(0, 0.4).h1).abs() < 1e-12);
    }

    fn strip_of_two() -> Strip {
        Strip::new(&Section::oval(30.0, 50.0, 2.0), 0.0, &Section::oval(40.0, 30.0, 3.0), 100.0).expect("a wall")
    }

    #[test]
    fn unlike_hollow_sections_have_no_wall() {
        let hollow = crate::geom::section::tests_support::notched(20.0);
        assert_eq!(Strip::new(&hollow, 0.0, &Section::circle(5.0), 9.0), Err(StripFault::HollowUnlike));
        assert!(Strip::new(&hollow, 0.0, &crate::geom::section::tests_support::notched(40.0), 9.0).is_ok());
        assert!(Strip::new(&hollow, 0.0, &Section::point(Vec2::ZERO), 9.0).is_ok());
    }
}
