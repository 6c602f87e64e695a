//! One parallel surface of a wall laid flat about a point of it: x along the horizontal there, to the right as seen from
//! outside, y up the wall. The point is the same normal's at every depth, so what is cut square to the sheet goes from
//! one depth's flat to another's by its normals.

use super::path::Path;
use super::strip::Rule;
use super::unroll::Unrolled;
use super::walk::{Place, Walk};
use super::{Vec2, Vec3, biarc};
use crate::num;

/// A surface at one depth, laid flat about the normal through the height `z` of the measured face on a rule.
#[derive(Clone, Debug)]
pub struct About<'a> {
    flat: Unrolled<'a>,
    at: Vec2,
    x: Vec2,
    y: Vec2,
}

impl<'a> About<'a> {
    /// `None` when the rule is none of the walk's.
    #[must_use]
    pub fn new(walk: &'a Walk, rule: &Rule, z: f64, depth: f64) -> Option<Self> {
        let flat = Unrolled::new(walk, depth);
        let laid = flat.at(walk.find(rule)?);
        let rule = laid.rule;
        let at = laid.point((z - rule.z0 - depth * rule.sine()) / rule.rise());
        Some(Self { at, x: laid.tau, y: laid.nu, flat })
    }

    /// The generatrix through a point, and the height there. `None` off the wall.
    #[must_use]
    pub fn find(&self, p: Vec2) -> Option<(Place, f64)> {
        let (place, v) = self.flat.locate(self.at + self.x * p.x + self.y * p.y, false)?;
        let rule = self.flat.walk().rule(place);
        Some((place, rule.z0 + v * rule.rise()))
    }

    /// Where the point of the surface on a generatrix at a height lies.
    #[must_use]
    pub fn put(&self, place: Place, z: f64) -> Vec2 {
        let laid = self.flat.at(place);
        let p = laid.point((z - laid.rule.z0) / laid.rule.rise()) - self.at;
        Vec2::new(p.dot(self.x), p.dot(self.y))
    }

    /// The unrolled surface, and how what is drawn about the point lies on it: the point, x and y.
    #[must_use]
    pub fn unrolled(&self) -> (&Unrolled<'a>, [Vec2; 3]) {
        (&self.flat, [self.at, self.x, self.y])
    }

    #[must_use]
    pub fn depth(&self) -> f64 {
        self.flat.depth()
    }
}

/// From one surface's flat to that of a parallel one, along the normals.
#[derive(Clone, Debug)]
pub struct Carry<'a> {
    pub from: About<'a>,
    pub to: About<'a>,
}

/// How closely what is carried is followed by arcs, mm: a quarter of what the fit of an edge may take.
const FIT: f64 = 0.001;
/// Places of a segment at which it is looked whether the wall goes over into another leg.
const LOOKS: u32 = 32;
/// Chords of a smooth stretch; lengths and areas come from them and from half as many (Richardson, 1911).
const CHORDS: u32 = 64;

impl Carry<'_> {
    /// `None` off the wall.
    #[must_use]
    pub fn point(&self, p: Vec2) -> Option<Vec2> {
        let (place, z) = self.from.find(p)?;
        Some(self.to.put(place, self.level(place, z)))
    }

    fn level(&self, place: Place, z: f64) -> f64 {
        z - (self.to.depth() - self.from.depth()) * self.from.flat.walk().rule(place).sine()
    }

    /// Where a point comes to lie in the wall's frame.
    #[must_use]
    pub fn in_space(&self, p: Vec2) -> Option<Vec3> {
        let (place, z) = self.from.find(p)?;
        Some(self.from.flat.walk().rule(place).point(self.level(place, z), self.to.depth()))
    }

    /// The smooth stretches of a chain, as shares of its segments: it bends where the wall goes over from a flat side to
    /// a round one. `None` where it leaves the wall.
    fn stretches(&self, path: &Path) -> Option<Vec<(usize, f64, f64)>> {
        let mut out = Vec::new();
        for (i, seg) in path.segs.iter().enumerate() {
            let leg = |s: f64| self.from.find(seg.at(s)).map(|f| f.0.leg);
            let mut cuts = vec![0.0];
            let mut last = (0.0, leg(0.0)?);
            for j in 1..=LOOKS {
                let s = f64::from(j) / f64::from(LOOKS);
                let here = leg(s)?;
                if here != last.1 {
                    self.between(&leg, last, (s, here), &mut cuts)?;
                }
                last = (s, here);
            }
            cuts.push(1.0);
            out.extend(cuts.windows(2).filter(|w| w[1] - w[0] > 1e-9).map(|w| (i, w[0], w[1])));
        }
        Some(out)
    }

    /// Where the wall goes over from leg to leg between two shares.
    fn between(
        &self,
        leg: &dyn Fn(f64) -> Option<usize>,
        a: (f64, usize),
        b: (f64, usize),
        cuts: &mut Vec<f64>,
    ) -> Option<()> {
        if a.1 == b.1 {
            return Some(());
        }
        let s = 0.5 * (a.0 + b.0);
        if b.0 - a.0 < 1e-12 {
            cuts.push(s);
            return Some(());
        }
        let here = (s, leg(s)?);
        self.between(leg, a, here, cuts)?;
        self.between(leg, here, b, cuts)
    }

    /// A chain carried over, as lines and arcs within [`FIT`] of what it becomes. A closed one stays closed. `None` where
    /// it leaves the wall.
    #[must_use]
    pub fn path(&self, path: &Path) -> Option<Path> {
        let closed = path.start()?.distance(path.end()?) < super::tol::SAME;
        let mut out = Path::default();
        for (i, from, to) in self.stretches(path)? {
            let seg = &path.segs[i];
            let h = 1e-4 * (to - from);
            let at = |s: f64| self.point(seg.at(s)).unwrap_or(Vec2::splat(f64::NAN));
            let curve = |s: f64| {
                // Three points within the stretch: second order at its ends too.
                let (one, two) = if s - h < from { (h, 2.0 * h) } else { (-h, -2.0 * h) };
                let p = at(s);
                let slope = if s - h >= from && s + h <= to {
                    (at(s + h) - at(s - h)) / (2.0 * h)
                } else {
                    (at(s + one) * 4.0 - p * 3.0 - at(s + two)) / (2.0 * one)
                };
                (p, slope.normalize_or_zero())
            };
            biarc::add(&curve, (from, to), FIT, &mut out);
        }
        if closed && let (Some(start), Some(last)) = (out.start(), out.segs.last_mut()) {
            last.b = start;
        }
        out.segs.iter().all(|s| s.a.is_finite() && s.b.is_finite() && s.bulge.is_finite()).then_some(out)
    }

    /// The length and the area within a closed chain that is carried over, by chords of the exact curve.
    #[must_use]
    pub fn measures(&self, path: &Path) -> Option<(f64, f64)> {
        let (mut long, mut area) = (num::Sum::new(), num::Sum::new());
        for (i, from, to) in self.stretches(path)? {
            let seg = &path.segs[i];
            let sums = |n: u32| {
                let mut sums = (0.0, 0.0);
                let mut last: Option<Vec2> = None;
                for j in 0..=n {
                    let p = self.point(seg.at(from + (to - from) * f64::from(j) / f64::from(n)))?;
                    if let Some(q) = last {
                        sums = (sums.0 + p.distance(q), sums.1 + 0.5 * q.perp_dot(p));
                    }
                    last = Some(p);
                }
                Some(sums)
            };
            let (half, whole) = (sums(CHORDS / 2)?, sums(CHORDS)?);
            long.add(whole.0 + (whole.0 - half.0) / 3.0);
            area.add(whole.1 + (whole.1 - half.1) / 3.0);
        }
        Some((long.value(), area.value()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::path::Seg;
    use crate::geom::section::Section;
    use crate::geom::strip::Strip;

    fn walk(r0: f64, r1: f64, tall: f64) -> Walk {
        let strip = Strip::new(&Section::circle(r0), 0.0, &Section::circle(r1), tall).expect("a wall");
        Walk::new(&strip.begun_at(num::PI).expect("round"))
    }

    fn carry(walk: &Walk, z: f64, from: f64, to: f64) -> Carry<'_> {
        let rule = walk.rule(walk.at_normal(0.0)[0]);
        let about = |d: f64| About::new(walk, &rule, z, d).expect("on it");
        Carry { from: about(from), to: about(to) }
    }

    #[test]
    fn round_a_tube_lengths_grow_as_the_radius_does() {
        // BA6: a full turn of foam rolled to inside radius 60 is 376.991 inside and 408.407 at half of 10 mm:
        // 2π (R + K t).
        let walk = walk(60.0, 60.0, 100.0);
        let carry = carry(&walk, 50.0, 0.0, 5.0);
        let half = 376.991_12 / 4.0;
        let there = carry.point(Vec2::new(half, 20.0)).expect("on it");
        assert!((there.x - 408.407_04 / 4.0).abs() < 1e-5 && (there.y - 20.0).abs() < 1e-9, "{there}");
        // A circle becomes an ellipse; its area grows in one direction only.
        let circle = Path {
            segs: vec![
                Seg { a: Vec2::new(30.0, 0.0), b: Vec2::new(-30.0, 0.0), bulge: 1.0 },
                Seg { a: Vec2::new(-30.0, 0.0), b: Vec2::new(30.0, 0.0), bulge: 1.0 },
            ],
        };
        let (long, area) = carry.measures(&circle).expect("on it");
        assert!((area - num::PI * 900.0 * 65.0 / 60.0).abs() < 1e-3, "{area}");
        let fitted = carry.path(&circle).expect("on it");
        assert!((fitted.area() / area - 1.0).abs() < 1e-6, "{}", fitted.area());
        assert!((fitted.length() - long).abs() < 1e-3, "{} {long}", fitted.length());
    }

    #[test]
    fn on_a_cone_the_point_stays_on_its_generatrix() {
        // A frustum with slope 3:4. Moved out by 4 along its normal, a point lies as far from the new apex as its own
        // distance and 4 / tan(half angle)... less: with tan α = 0.75 the slant grows by d tan α = 3.
        let walk = walk(160.0, 40.0, 160.0);
        let carry = carry(&walk, 80.0, 0.0, 4.0);
        let p = Vec2::new(70.0, 25.0);
        let q = carry.point(p).expect("on it");
        // About the apex of the flat: radius at z 80 is 100, half angle with sin 0.6: slant 100 / 0.6.
        let slant = 100.0 / 0.6;
        let polar = |v: Vec2, s: f64| (v.distance(Vec2::new(0.0, s)), num::atan2(v.x, s - v.y));
        let ((a, t), (b, u)) = (polar(p, slant), polar(q, slant + 4.0 * 0.8 / 0.6));
        assert!((t - u).abs() < 1e-9, "the same generatrix: {t} {u}");
        assert!((b - a - 4.0 * 0.8 / 0.6).abs() < 1e-9, "{a} {b}");
    }
}
