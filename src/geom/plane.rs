//! A plane that cuts a wall: where each generatrix of each parallel surface meets it, in closed form. Along a rule at
//! depth `d` the point is `P + (z − z0) W`, `W` the rule's way for one of height, so with the plane `n · (x − a) = 0`
//! it is met at `z = z0 + n·(a − P)/n·W`. At one height the point moves by `ρ T dφ` (`geom::strip`), so along the cut
//! `z' = −ρ n·T / n·W`. The end face lies in the plane at every depth, so two walls cut by one plane meet in it.

use super::hull::Over;
use super::parallel;
use super::strip::Rule;
use super::walk::{Place, Walk};
use super::{Vec3, left_of};

/// A plane by a point of it and its unit normal, which points up the wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    pub at: Vec3,
    pub normal: Vec3,
}

impl Plane {
    /// Its height over each level point.
    #[must_use]
    pub fn over(&self) -> Over {
        let slope = self.normal.truncate() / -self.normal.z;
        Over { z: self.at.z - slope.dot(self.at.truncate()), slope }
    }

    /// How far a point stands above it.
    #[must_use]
    pub fn above(&self, p: Vec3) -> f64 {
        (p - self.at).dot(self.normal)
    }

    /// How fast a rule rises over the plane, for one of its height: above 0 where the plane cuts the wall across.
    #[must_use]
    pub fn rises(&self, rule: &Rule) -> f64 {
        self.normal.dot(way(rule))
    }

    /// The height at which it meets a rule's line at depth `d`.
    #[must_use]
    pub fn height(&self, rule: &Rule, d: f64) -> f64 {
        rule.z0 - self.above(rule.point(rule.z0, d)) / self.rises(rule)
    }

    /// The same, and how it changes with φ along the cut; infinite where an oval is flat.
    #[must_use]
    pub fn height_on(&self, walk: &Walk, at: Place, rule: &Rule, d: f64) -> (f64, f64) {
        let z = self.height(rule, d);
        let across = self.normal.dot(rule.tangent());
        if across == 0.0 {
            return (z, 0.0);
        }
        (z, -parallel::radius(walk, at, z, d) * across / self.rises(rule))
    }

    /// The way along the cut for one along the section at one height: `T + W z'/ρ`.
    #[must_use]
    pub fn ahead(&self, rule: &Rule) -> Vec3 {
        rule.tangent() - way(rule) * (self.normal.dot(rule.tangent()) / self.rises(rule))
    }

    /// The angle between the end face and a square cut: positive where greater depths reach higher.
    #[must_use]
    pub fn lean(&self, rule: &Rule) -> f64 {
        -crate::num::asin(rule.normal().dot(self.normal).clamp(-1.0, 1.0))
    }
}

/// A rule's way for one of height; the same at every depth.
fn way(rule: &Rule) -> Vec3 {
    let n = rule.facing;
    let lean = (rule.k1 - rule.k0) / rule.rise();
    (n * rule.flare() + left_of(n) * lean).extend(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::enclose;
    use crate::geom::rim::{Cut, Rim};
    use crate::geom::section::Section;
    use crate::geom::strip::Strip;
    use crate::geom::unroll::Unrolled;

    #[test]
    fn the_cut_lies_in_its_plane_and_runs_as_it_says() {
        let strip =
            Strip::new(&Section::oval(35.0, 52.5, 2.0), 0.0, &Section::oval(60.0, 40.0, 2.5), 150.0).expect("a wall");
        let walk = Walk::new(&strip);
        let plane = Plane { at: Vec3::new(3.0, -2.0, 140.0), normal: Vec3::new(0.3, -0.2, 1.0).normalize() };
        for (leg, t) in [(0, 0.2), (1, 0.7), (3, 0.4)] {
            for d in [-4.0, 0.0, 2.0] {
                let edge = |t: f64| {
                    let at = Place { leg, t };
                    let rule = walk.rule(at);
                    let (z, dz) = plane.height_on(&walk, at, &rule, d);
                    (rule.point(z, d), z, dz, rule)
                };
                let (p, _, dz, rule) = edge(t);
                assert!(plane.above(p).abs() < 1e-10);
                // Against a difference over neighbouring rules.
                let (a, b) = (edge(t - 1e-5), edge(t + 1e-5));
                let slope = (b.1 - a.1) / (b.3.phi - a.3.phi);
                assert!((slope - dz).abs() < 1e-4 * (1.0 + dz.abs()), "{slope} {dz}");
                assert!((b.0 - a.0).normalize().cross(plane.ahead(&rule).normalize()).length() < 1e-4);
            }
        }
    }

    /// A cylinder of radius `r` cut off at `mid` on its axis, leaning back by `angle` degrees.
    fn cut(r: f64, mid: f64, angle: f64) -> (Walk, Cut) {
        let strip = Strip::new(&Section::circle(r), 0.0, &Section::circle(r), mid).expect("a wall");
        let normal = Vec3::new(-crate::num::tan(angle.to_radians()), 0.0, 1.0).normalize();
        (Walk::new(&strip), Cut::Plane(Plane { at: Vec3::new(0.0, 0.0, mid), normal }))
    }

    #[test]
    fn a_cylinder_cut_sloping_is_a_sine_curve_on_the_flat() {
        // Diameter 60, 80 on its axis, cut at 30 degrees: ordinates every 15 degrees from the highest down, of
        // u(x) = h sin(x/r) (M. Apostol and M. Mnatsakanian, Unwrapping curves from cylinders and cones, The American
        // Mathematical Monthly 114, 2007, section 2).
        let (walk, cut) = cut(30.0, 80.0, 30.0);
        let flat = Unrolled::new(&walk, 0.0);
        let rim = Rim::new(&flat, &cut);
        let start = rim.point(walk.ends().0, 0.0).0;
        let ordinates = [
            97.32051, 96.73033, 95.0, 92.24745, 88.66025, 84.48288, 80.0, 75.51712, 71.33975, 67.75255, 65.0, 63.26967,
            62.67949,
        ];
        for (i, ordinate) in ordinates.into_iter().enumerate() {
            let phi = (15.0 * i as f64).to_radians();
            let p = rim.point(walk.at_normal(phi)[0], 0.0).0;
            assert!((p.y - ordinate).abs() < 5e-6, "{i}: {}", p.y);
            assert!((p.x - start.x - 30.0 * phi).abs() < 1e-9);
        }
    }

    #[test]
    fn a_sloping_cut_is_as_long_as_its_ellipse_and_leaves_the_area_of_its_middle() {
        // The ellipse's perimeter 4aE(m), a = r/cos α (Abramowitz & Stegun 1964, ch. 17), and the cylinder's area up to
        // the middle of the cut.
        for (r, angle, long) in [
            (20.0, 45.0, 152.807_912),
            (30.0, 30.0, 203.337_528),
            (50.0, 11.25, 317.244_100),
            (84.0, 15.0, 537.137_069),
            (136.5, 11.25, 866.076_394),
        ] {
            let (walk, cut) = cut(r, 200.0, angle);
            let flat = Unrolled::new(&walk, 0.0);
            let (foot, head) = (Cut::Level(0.0), cut);
            let (lower, upper) = (Rim::new(&flat, &foot), Rim::new(&flat, &head));
            let (from, to) = walk.ends();
            assert!((upper.length(from, to, 0.0) - long).abs() < 1e-5, "{}", upper.length(from, to, 0.0));
            let area = enclose::area(&lower, (from, to), &upper, (from, to));
            assert!((area / (crate::num::TAU * r * 200.0) - 1.0).abs() < 1e-9, "{area}");
        }
    }

    #[test]
    fn a_level_plane_leans_as_the_wall_does() {
        let strip = Strip::new(&Section::circle(50.0), 0.0, &Section::circle(80.0), 40.0).expect("a wall");
        let rule = strip.rule(1, 2.0);
        let level = Plane { at: Vec3::new(0.0, 0.0, 40.0), normal: Vec3::Z };
        assert!((level.lean(&rule) - crate::num::asin(0.6)).abs() < 1e-12);
        assert!((level.height(&rule, -3.0) - 40.0).abs() < 1e-12);
    }
}
