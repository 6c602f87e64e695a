//! A sheet in space as rules and their normals: how far a point stands off it, and on which side.

use crate::geom::{Vec2, Vec3, unit};
use crate::num;
use crate::solid::Frame;

/// One rule of a wall on its measured face, from rim to rim, in the prop.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rule {
    pub low: Vec3,
    pub high: Vec3,
    pub normal: Vec3,
    /// How far round the wall it lies, at its low and its high end.
    pub around: [f64; 2],
}

/// A hole through a wall, laid flat about a place of it; or through a plate, where it lies.
#[derive(Clone, Debug)]
pub(super) struct Pierced {
    /// How far up (by share) and how far round its centre lies.
    share: f64,
    around: f64,
    outline: Vec<Vec2>,
    low: Vec2,
    high: Vec2,
}

impl Pierced {
    pub(super) fn new(share: f64, around: f64, outline: Vec<Vec2>) -> Self {
        let low = outline.iter().fold(Vec2::splat(f64::INFINITY), |low, p| low.min(*p));
        let high = outline.iter().fold(Vec2::splat(f64::NEG_INFINITY), |high, p| high.max(*p));
        Self { share, around, outline, low, high }
    }

    fn holds(&self, p: Vec2) -> bool {
        p.cmpge(self.low).all() && p.cmple(self.high).all() && within(p, &self.outline)
    }
}

/// Holes from the lowest to the highest: of many only those beside a point are looked at.
#[derive(Clone, Debug, Default)]
pub(super) struct Holes {
    /// Ordered by the share of their centre, and of one share by their lower end.
    all: Vec<Pierced>,
    /// None reaches farther from its centre, down or up, nor is taller.
    reach: f64,
    tallest: f64,
}

impl Holes {
    pub(super) fn new(mut all: Vec<Pierced>) -> Self {
        all.sort_by(|a, b| a.share.total_cmp(&b.share).then(a.low.y.total_cmp(&b.low.y)));
        let most = |of: fn(&Pierced) -> f64| all.iter().map(of).fold(0.0, f64::max);
        let (reach, tallest) = (most(|h| h.low.y.abs().max(h.high.y.abs())), most(|h| h.high.y - h.low.y));
        Self { all, reach, tallest }
    }

    /// Of a wall those that may reach a share of a rule of some length.
    fn beside(&self, share: f64, long: f64) -> &[Pierced] {
        // A little more than they reach, so that no rounding leaves one out.
        let by = (self.reach + 1e-6) / long.max(f64::MIN_POSITIVE);
        let from = self.all.partition_point(|h| h.share < share - by);
        let to = self.all.partition_point(|h| h.share <= share + by);
        self.all.get(from..to).unwrap_or_default()
    }

    /// Whether a point of a plate lies in one.
    fn hold(&self, p: Vec2) -> bool {
        let from = self.all.partition_point(|h| h.low.y < p.y - self.tallest - 1e-6);
        let to = self.all.partition_point(|h| h.low.y <= p.y);
        self.all.get(from..to).unwrap_or_default().iter().any(|h| h.holds(p))
    }
}

/// A rule's chord, ready to be held against many points.
#[derive(Clone, Copy, Debug)]
struct Chord {
    low: Vec3,
    way: Vec3,
    /// Its length squared and one over it.
    squared: f64,
    inverse: f64,
}

impl Chord {
    fn of(rule: &Rule) -> Self {
        let way = rule.high - rule.low;
        let squared = way.length_squared();
        Self { low: rule.low, way, squared, inverse: 1.0 / squared.max(f64::MIN_POSITIVE) }
    }

    /// How far a point is from it, squared.
    fn away(&self, p: Vec3) -> f64 {
        let from = p - self.low;
        let along = from.dot(self.way);
        let share = (along * self.inverse).clamp(0.0, 1.0);
        from.length_squared() - share * (2.0 * along - share * self.squared)
    }
}

/// One strip of a wall.
#[derive(Clone, Debug)]
pub(super) struct Ruled {
    pub rules: Vec<Rule>,
    chords: Vec<Chord>,
    /// It goes once round; the first rule stands again at the end.
    pub closed: bool,
    pub faces: [f64; 2],
    /// Whether its low and its high end are ends of the whole wall.
    pub ends: [bool; 2],
    pub holes: Holes,
}

/// A flat plate: its outline and holes, and heights of its faces along the normal of its frame.
#[derive(Clone, Debug)]
pub(super) struct Flat {
    pub outline: Vec<Vec2>,
    pub holes: Holes,
    /// How far it reaches in each direction.
    pub reach: [f64; WAYS],
    pub faces: [f64; 2],
    pub frame: Frame,
}

#[derive(Clone, Debug)]
pub(super) enum Sheet {
    Ruled(Ruled),
    Flat(Box<Flat>),
}

/// Directions in which a plate is left.
pub(super) const WAYS: usize = 32;

/// Where a point stands by a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stand {
    /// Off its measured face, outward; of a plate off its lower face's zero.
    pub off: f64,
    /// How far it would have to go along the sheet to be clear of it: past either free end of a wall, or past a plate's
    /// edge in so many directions.
    pub along: [f64; WAYS],
    /// No point of the sheet is nearer than this.
    pub away: f64,
    /// The point stands over the sheet: square to some place of it that is no hole.
    pub over: bool,
}

impl Rule {
    fn foot(&self, p: Vec3) -> (f64, Vec3) {
        let way = self.high - self.low;
        let share = ((p - self.low).dot(way) / way.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        (share, self.low + way * share)
    }

    /// The rule a share of the way to the next one. Between two of them the surface stands proud of their chords by
    /// what their normals turn over it.
    pub(super) fn toward(&self, next: &Self, u: f64) -> Self {
        let turn = next.normal - self.normal;
        let normal = self.normal.lerp(next.normal, u).normalize_or(self.normal);
        let proud = 0.5 * u * (1.0 - u);
        let end = |a: Vec3, b: Vec3| a.lerp(b, u) + normal * (proud * turn.dot(b - a));
        Self {
            low: end(self.low, next.low),
            high: end(self.high, next.high),
            normal,
            around: [0, 1].map(|i| self.around[i] + (next.around[i] - self.around[i]) * u),
        }
    }

    pub(super) fn point(&self, share: f64, depth: f64) -> Vec3 {
        self.low.lerp(self.high, share) + self.normal * depth
    }
}

impl Sheet {
    pub(super) fn faces(&self) -> [f64; 2] {
        match self {
            Self::Ruled(r) => r.faces,
            Self::Flat(f) => f.faces,
        }
    }

    pub(super) fn thick(&self) -> f64 {
        let [inner, outer] = self.faces();
        outer - inner
    }

    pub(super) fn stand(&self, p: Vec3) -> Option<Stand> {
        match self {
            Self::Ruled(r) => r.stand(p),
            Self::Flat(f) => Some(f.stand(p)),
        }
    }
}

/// Between two rules, which are some millimetres apart, the nearest place is found to a thousandth of that: what is nearest
/// changes by its square.
const SECTIONS: u32 = 15;

impl Ruled {
    /// A strip without holes.
    pub(super) fn new(rules: Vec<Rule>, closed: bool, faces: [f64; 2], ends: [bool; 2]) -> Self {
        let chords = rules.iter().map(Chord::of).collect();
        Self { rules, chords, closed, faces, ends, holes: Holes::default() }
    }

    fn stand(&self, p: Vec3) -> Option<Stand> {
        let off = |r: &Rule| (r.foot(p).1 - p).length_squared();
        let (best, _) = self
            .chords
            .iter()
            .map(|chord| chord.away(p))
            .enumerate()
            .fold((0, f64::INFINITY), |best, (i, d)| if d < best.1 { (i, d) } else { best });
        let last = self.rules.len().checked_sub(1)?;
        // On either side of the nearest one; round the seam of a closed wall as well.
        let before = if best > 0 { Some(best - 1) } else { (self.closed && last > 0).then(|| last - 1) };
        let after = if best < last { Some(best) } else { (self.closed && last > 0).then_some(0) };
        let mut found: Option<(f64, Rule)> = None;
        for i in [before, after].into_iter().flatten() {
            let (a, b) = (&self.rules[i], &self.rules[i + 1]);
            let (u, near) = num::peak_within(0.0, 1.0, SECTIONS, |u| -off(&a.toward(b, u)));
            let at_end = [(0.0, -off(a)), (1.0, -off(b)), (u, near)];
            for (u, near) in at_end {
                if found.as_ref().is_none_or(|f| near > f.0) {
                    found = Some((near, a.toward(b, u)));
                }
            }
        }
        let (_, rule) = found?;
        let (share, foot) = rule.foot(p);
        let gap = p - foot;
        let square = gap.dot(rule.normal);
        let long = (rule.high - rule.low).length();
        // What lies beyond an end of the whole wall, or past the sides of its open seam, is not over it.
        let rest = gap - rule.normal * square;
        let aside = rest.length();
        let at_end = (share <= 0.0 && self.ends[0]) || (share >= 1.0 && self.ends[1]);
        let knee = (share <= 0.0 && !self.ends[0]) || (share >= 1.0 && !self.ends[1]);
        let beside = at_end || (aside > SIDE && !knee);
        let over = !beside && !self.in_a_hole(&rule, share);
        let off = if knee { gap.length() * square.signum() } else { square };
        let mut along = [f64::INFINITY; WAYS];
        for (i, mm) in [share * long, (1.0 - share) * long].into_iter().enumerate() {
            if self.ends[i] {
                along[i] = mm;
            }
        }
        let away = (gap.length() - self.faces[0].abs().max(self.faces[1].abs())).max(0.0);
        Some(Stand { off, along, away, over })
    }

    pub(super) fn in_a_hole(&self, rule: &Rule, share: f64) -> bool {
        let long = (rule.high - rule.low).length();
        let girth = |share: f64| {
            let ends = self.rules.last().map_or([0.0; 2], |r| r.around);
            ends[0] + (ends[1] - ends[0]) * share
        };
        self.holes.beside(share, long).iter().any(|hole| {
            let here = rule.around[0] + (rule.around[1] - rule.around[0]) * hole.share;
            let mut x = here - hole.around;
            let whole = girth(hole.share);
            if self.closed && x.abs() > 0.5 * whole {
                x -= whole * x.signum();
            }
            hole.holds(Vec2::new(x, (share - hole.share) * long))
        })
    }
}

/// Square to a rule's place is what stands no farther beside it than this, mm.
const SIDE: f64 = 0.5;

/// The directions in which a plate is left.
fn way(k: usize) -> Vec2 {
    #[expect(clippy::cast_precision_loss, reason = "few")]
    let share = k as f64 / WAYS as f64;
    unit(num::TAU * share)
}

impl Flat {
    pub(super) fn new(outline: Vec<Vec2>, faces: [f64; 2], frame: Frame) -> Self {
        let most = |k: usize| outline.iter().map(|p| p.dot(way(k))).fold(f64::NEG_INFINITY, f64::max);
        let reach = core::array::from_fn(most);
        Self { outline, holes: Holes::default(), reach, faces, frame }
    }

    fn stand(&self, p: Vec3) -> Stand {
        let p = self.frame.seen(p);
        let at = Vec2::new(p.x, p.y);
        let inside = within(at, &self.outline);
        let over = inside && !self.holes.hold(at);
        let next = self.outline.iter().cycle().skip(1);
        let away = self.outline.iter().zip(next).map(|(&a, &b)| {
            let run = b - a;
            let share = ((at - a).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
            (at - a - run * share).length()
        });
        let edge = if inside { 0.0 } else { away.fold(f64::INFINITY, f64::min) };
        let above = (self.faces[0] - p.z).max(p.z - self.faces[1]).max(0.0);
        let along = core::array::from_fn(|k| self.reach[k] - at.dot(way(k)));
        Stand { off: p.z, along, away: Vec2::new(edge, above).length(), over }
    }
}

/// Whether a point lies within a closed chain: how often a line to the right crosses it.
fn within(p: Vec2, chain: &[Vec2]) -> bool {
    let next = chain.iter().cycle().skip(1);
    let crossed = chain
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y));
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(half: f64, at: Vec2) -> Vec<Vec2> {
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| at + Vec2::new(x, y) * half).to_vec()
    }

    /// A tube of so many chords, 100 mm tall, with holes all over it, and the same without an order of its holes.
    fn holed(count: u32) -> (Ruled, Vec<Pierced>) {
        let rule = |i: u32| {
            let n = unit(num::TAU * f64::from(i) / 60.0);
            let low = (n * 40.0).extend(0.0);
            let around = 40.0 * num::TAU * f64::from(i) / 60.0;
            Rule { low, high: low + Vec3::Z * 100.0, normal: n.extend(0.0), around: [around; 2] }
        };
        let whole = 40.0 * num::TAU;
        let hole = |i: u32| {
            let (share, around) = (f64::from(i * 37 % 101) / 100.0, whole * f64::from(i * 53 % 97) / 97.0);
            let off = Vec2::new(0.0, f64::from(i % 7) * 0.3);
            Pierced::new(share, around, square(0.5 + f64::from(i % 5), off))
        };
        let all: Vec<Pierced> = (0..count).map(hole).collect();
        let holes = Holes::new(all.clone());
        (Ruled { holes, ..Ruled::new((0..=60).map(rule).collect(), true, [-3.0, 0.0], [true; 2]) }, all)
    }

    #[test]
    fn of_many_holes_those_beside_a_point_tell_all() {
        let (ruled, all) = holed(400);
        let whole = 40.0 * num::TAU;
        let mut within_one = 0;
        for rule in &ruled.rules {
            for k in 0..=200 {
                let share = f64::from(k) / 200.0;
                let any = all.iter().any(|h| {
                    let x = rule.around[0] - h.around;
                    let x = if x.abs() > 0.5 * whole { x - whole * x.signum() } else { x };
                    within(Vec2::new(x, (share - h.share) * 100.0), &h.outline)
                });
                assert_eq!(ruled.in_a_hole(rule, share), any, "{share} at {}", rule.around[0]);
                within_one += u32::from(any);
            }
        }
        assert!(within_one > 1000 && within_one < 61 * 201 - 1000, "{within_one}");
    }

    #[test]
    fn a_point_of_a_plate_lies_in_a_hole_or_beside_all() {
        let outlines: Vec<Vec<Vec2>> = (0..300u32)
            .map(|i| square(0.5 + f64::from(i % 4), Vec2::new(f64::from(i * 31 % 89), f64::from(i * 47 % 97))))
            .collect();
        let holes = Holes::new(outlines.iter().map(|o| Pierced::new(0.0, 0.0, o.clone())).collect());
        for k in 0..10_000u32 {
            let p = Vec2::new(f64::from(k % 100) * 0.97 - 4.0, f64::from(k / 100) * 1.03 - 4.0);
            assert_eq!(holes.hold(p), outlines.iter().any(|o| within(p, o)), "{p}");
        }
    }
}
