//! Lines on a wall that rise evenly: between two ends the level on the measured face and the share of the way round it
//! there change in step. On an upright wall that is a straight line of its flat, on a round one a helix.

use super::Vec2;
use super::biarc;
use super::fit::{self, Limits, Wanted};
use super::path::Path;
use super::rim::{Cut, Rim};
use super::tol;
use super::unroll::Unrolled;
use super::walk::{Place, Walk};
use super::{Vec3, strip::Rule};
use crate::num;

/// One end: how far round the measured face's section at its level, as a share of that girth from the walk's start, and
/// the level. A point at a depth lies over it along the normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    pub share: f64,
    pub z: f64,
}

/// A stretch of such a line on one strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// The strip of the wall.
    pub strip: usize,
    pub from: End,
    pub to: End,
}

/// For differences along a leg, as a share of it.
const STEP: f64 = 1e-4;
/// Parts of a leg between which its length is summed.
const PARTS: u32 = 2048;

impl Leg {
    /// Whether it keeps its level.
    #[must_use]
    pub fn is_level(&self) -> bool {
        (self.from.z - self.to.z).abs() < tol::SAME
    }

    /// The rule and the level at a share of it.
    #[must_use]
    pub fn at(&self, walk: &Walk, t: f64) -> (Place, f64) {
        let z = self.from.z + (self.to.z - self.from.z) * t;
        let share = (self.from.share + (self.to.share - self.from.share) * t).clamp(0.0, 1.0);
        (walk.at_length(share * walk.around(z, 0.0), z, 0.0), z)
    }

    /// The same length further on and higher with every length `k` times as long.
    #[must_use]
    pub fn scaled(&self, k: f64) -> Self {
        let end = |e: End| End { z: e.z * k, ..e };
        Self { from: end(self.from), to: end(self.to), ..*self }
    }

    /// Its point at a share of it, in the part's frame, at a depth.
    #[must_use]
    pub fn point(&self, walk: &Walk, t: f64, depth: f64) -> Vec3 {
        let (place, z) = self.at(walk, t);
        over(&walk.rule(place), z, depth)
    }

    /// Its true length between two shares of it at a depth: chords, their error taken off (Richardson, 1911).
    #[must_use]
    pub fn length(&self, walk: &Walk, (from, to): (f64, f64), depth: f64) -> f64 {
        let step = (to - from) / f64::from(PARTS);
        let points: Vec<Vec3> = (0..=PARTS).map(|i| self.point(walk, from + step * f64::from(i), depth)).collect();
        let fine: f64 = points.windows(2).map(|w| w[0].distance(w[1])).collect::<num::Sum>().value();
        let coarse: f64 = points.chunks(2).zip(points.chunks(2).skip(1)).map(|(a, b)| a[0].distance(b[0])).sum();
        fine + (fine - coarse) / 3.0
    }

    /// Its point on a flat.
    #[must_use]
    pub fn flat_point(&self, flat: &Unrolled<'_>, t: f64) -> Vec2 {
        let (place, z) = self.at(flat.walk(), t);
        let laid = flat.at(place);
        let rule = laid.rule;
        laid.point((z - rule.z0 - flat.depth() * rule.sine()) / rule.rise())
    }

    /// It as a chain on a flat: true arcs where it keeps its level on a cone, lines where it is straight, else pairs of
    /// arcs within the budget of an edge.
    #[must_use]
    pub fn path(&self, flat: &Unrolled<'_>) -> Path {
        let walk = flat.walk();
        if self.is_level() {
            let cut = Cut::Square(self.from.z);
            let rim = Rim::new(flat, &cut);
            let back = self.to.share < self.from.share;
            let (low, high) = if back { (self.to, self.from) } else { (self.from, self.to) };
            let (start, end) = walk.ends();
            let place = |e: End| {
                let girth = walk.around(e.z, 0.0);
                match e.share {
                    s if s <= 0.0 => start,
                    s if s >= 1.0 => end,
                    s => walk.at_length(s * girth, e.z, 0.0),
                }
            };
            let (from, to) = (place(low), place(high));
            let at = |p: Place| rim.point(p, flat.depth());
            let wanted = [Wanted { at: &at, kept: vec![(from, to)] }];
            let long = rim.length(from, to, flat.depth());
            let path = fit::fit(walk, &wanted, &rim.runs(from, to), &[], &Limits::edge(long)).path(0);
            return if back { path.reversed() } else { path };
        }
        let point = |t: f64| self.flat_point(flat, t);
        let curve = |t: f64| {
            let way = if t < STEP {
                point(t + STEP) * 4.0 - point(t) * 3.0 - point(t + 2.0 * STEP)
            } else if t > 1.0 - STEP {
                point(t) * 3.0 - point(t - STEP) * 4.0 + point(t - 2.0 * STEP)
            } else {
                point(t + STEP) - point(t - STEP)
            };
            (point(t), way.normalize_or_zero())
        };
        let mut knots = vec![0.0, 1.0];
        knots.extend(self.knots(walk));
        knots.sort_by(f64::total_cmp);
        knots.dedup_by(|a, b| (*a - *b).abs() < 1e-7);
        let mut path = Path::default();
        for w in knots.windows(2) {
            biarc::add(&curve, (w[0], w[1]), tol::ARC_FIT, &mut path);
        }
        path
    }

    /// Where it passes from one leg of the walk to the next: its bend may jump there.
    fn knots(&self, walk: &Walk) -> Vec<f64> {
        let leg = |t: f64| self.at(walk, t).0.leg;
        let mut out = Vec::new();
        let mut t0 = 0.0;
        // Legs that are passed within a step of this are told apart by halving.
        const LOOKS: u32 = 256;
        for i in 1..=LOOKS {
            let t1 = f64::from(i) / f64::from(LOOKS);
            let (mut a, last) = (t0, leg(t1));
            while leg(a) != last {
                let first = leg(a);
                let (mut low, mut high) = (a, t1);
                for _ in 0..50 {
                    let middle = 0.5 * (low + high);
                    if leg(middle) == first { low = middle } else { high = middle }
                }
                out.push(high);
                a = high;
                if out.len() > walk.legs().len() * 2 {
                    break;
                }
            }
            t0 = t1;
        }
        out
    }
}

/// The point over a level of a rule on the measured face, at a depth along the normal.
#[must_use]
pub fn over(rule: &Rule, z: f64, depth: f64) -> Vec3 {
    rule.point(z, 0.0) + rule.normal() * depth
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;
    use crate::geom::strip::Strip;
    use crate::num::{PI, TAU};

    fn leg(from: (f64, f64), to: (f64, f64)) -> Leg {
        Leg { strip: 0, from: End { share: from.0, z: from.1 }, to: End { share: to.0, z: to.1 } }
    }

    #[test]
    fn a_line_on_a_cylinder_is_a_helix_and_straight_on_its_flat() {
        // A helix of radius r over an angle a that rises by h is √(h² + (r a)²) long (unrolled: Pythagoras).
        let strip = Strip::new(&Section::circle(80.0), 0.0, &Section::circle(80.0), 200.0).unwrap();
        let walk = Walk::new(&strip);
        let one = leg((0.1, 20.0), (0.6, 140.0));
        for d in [-2.0, 0.0, 5.0] {
            let asked = (120.0f64.powi(2) + ((80.0 + d) * PI).powi(2)).sqrt();
            assert!((one.length(&walk, (0.0, 1.0), d) - asked).abs() < 1e-8, "{d}");
            let flat = Unrolled::new(&walk, d);
            let path = one.path(&flat);
            assert!((path.length() - asked).abs() < 1e-6, "{} {asked}", path.length());
            assert!(path.segs.iter().all(|s| s.bulge.abs() < 1e-6));
        }
    }

    #[test]
    fn a_ring_of_a_cone_is_an_arc_of_its_slant() {
        // Radii 60 and 100 over 90: the slant from the apex to radius r is r √(90² + 40²)/40, and the whole flat turns
        // by 360° · 40/√(90² + 40²) (the cone's own formulas).
        let strip = Strip::new(&Section::circle(60.0), 0.0, &Section::circle(100.0), 90.0).unwrap();
        let walk = Walk::new(&strip);
        let slant = num::hypot(90.0, 40.0);
        let ring = leg((0.0, 45.0), (1.0, 45.0));
        let flat = Unrolled::new(&walk, 0.0);
        let path = ring.path(&flat);
        let sweep: f64 = path.segs.iter().map(|s| s.sweep().abs()).sum();
        assert!((sweep - TAU * 40.0 / slant).abs() < 1e-9);
        assert!(path.segs.iter().all(|s| (s.radius() - 80.0 * slant / 40.0).abs() < 1e-6));
        assert!((path.length() - TAU * 80.0).abs() < 1e-6);
        assert_eq!(path.segs.len(), 1, "one true arc where it sweeps less than half a turn");
    }

    #[test]
    fn what_is_fitted_lies_on_the_line_across_corners_and_cones() {
        let low = Section::oval(80.0, 50.0, 2.6);
        let strips = [
            Strip::new(&Section::circle(60.0), 0.0, &Section::circle(100.0), 90.0).unwrap(),
            Strip::new(&low, 0.0, &Section::circle(70.0), 90.0).unwrap(),
        ];
        for strip in &strips {
            let walk = Walk::new(strip);
            let flat = Unrolled::new(&walk, 2.0);
            let one = leg((0.05, 5.0), (0.93, 80.0));
            let path = one.path(&flat);
            for i in 0..=500 {
                let p = one.flat_point(&flat, f64::from(i) / 500.0);
                let off = crate::geom::cross::nearest(&path, p).unwrap().2.distance(p);
                assert!(off < 1.5 * tol::ARC_FIT, "{i}: {off}");
            }
        }
    }
}
