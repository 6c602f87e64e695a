//! A ridge of two flat flanks over a generatrix of a wall.
//!
//! Each flank is a plane that holds the ridge and a generatrix on which it stands: its foot. Three straight lines lie two
//! and two in a plane when all run side by side or all to one point, so the ridge runs to where both feet's generatrices
//! would meet: along a tube it is parallel to the wall, and on a cone it falls with the cone to its point. No flank is
//! bent, and every one is as developed as any flat sheet. Where the two generatrices are askew (a facing that is no middle of
//! an oval cone) there is no such ridge.
//!
//! The end of a flank's sheet on the wall is one plane, through the foot and through the line half-way along which the
//! other face meets the wall. On a tube both faces meet it along generatrices, and that is exact; on a cone the face
//! that holds no generatrix meets it along a curve, which stands off that plane by what is told.

use super::Vec3;
use super::frame::Frame;
use super::sided::{self, Gone, Side};
use super::strip::{Rule, Strip};
use super::walk::Walk;
use crate::num::{self, TAU};

/// What is asked for, in the wall's frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// The generatrix under the ridge.
    pub rule: Rule,
    /// The depth of the wall's face on which it stands.
    pub depth: f64,
    /// Straight across from foot to foot, and from the wall to the ridge along the normal, at the height `middle`; both on
    /// the face at depth 0 of the flanks' own sheet.
    pub wide: f64,
    pub rise: f64,
    pub middle: f64,
    /// Heights of its ends, which are level.
    pub from: f64,
    pub to: f64,
    /// Depths of the inner and the outer face of the flanks' sheet.
    pub faces: [f64; 2],
}

/// One flank.
#[derive(Clone, Debug, PartialEq)]
pub struct Flank {
    /// z out of it, x up it.
    pub frame: Frame,
    pub strip: Strip,
    /// Which of its sides is the ridge, and which the foot.
    pub ridge: usize,
    pub foot: usize,
    /// From foot to ridge at the middle, on the face at depth 0.
    pub wide: f64,
    /// The width of the end of its sheet that stands on the wall, and how far an edge of it stands off the wall at most.
    pub lands: f64,
    pub off: f64,
    /// The angle between its outer face and the wall under the foot at the middle, less than a half turn.
    pub meets: f64,
    /// Where the outer face meets the wall: lengths round the wall from `Walk`'s start at the middle's height, and heights.
    pub line: Vec<(f64, f64)>,
}

/// Both flanks, the one on the left as seen from outside first.
#[derive(Clone, Debug, PartialEq)]
pub struct Keel {
    pub flanks: [Flank; 2],
    /// The ridge on the face at depth 0, from its lower end up.
    pub ridge: [Vec3; 2],
    /// The angle between the flanks inside the ridge.
    pub between: f64,
}

/// Why there is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    /// The wall is no wider than this in front of the facing.
    TooWide(f64),
    /// Its feet's generatrices miss each other by so much where they come nearest.
    Askew(f64),
    /// The sheet leaves no flank on one face: so much is lacking.
    TooThick(f64),
    /// The end on the wall cannot be one plane: an edge would stand off so far.
    StandsOff(f64),
    /// The wall is not there where it would stand.
    NotThere,
}

/// How many parts of half of its girth a wall is looked at in for the foot.
const LOOKS: u32 = 256;
/// Generatrices that miss each other by less are in one plane, mm.
const ONE: f64 = 1e-3;
/// What a knife's edge on a wall may stand off it, mm: as much as a bevel that is cut square.
const STANDS: f64 = 0.3;
/// Places at which a face's line on the wall is looked at.
const PLACES: u32 = 12;

/// Builds a keel. The walk begins away from it.
///
/// # Errors
/// See [`Fault`].
pub fn keel(walk: &Walk, asked: &Asked) -> Result<Keel, Fault> {
    let Asked { rule, depth, wide, rise, middle, .. } = *asked;
    let under = rule.point(middle, depth);
    let (out, across) = (rule.normal(), rule.tangent());
    let at = |s: f64| walk.rule(walk.at_length(s, middle, depth));
    let start = walk.length(walk.find(&rule).ok_or(Fault::NotThere)?, middle, depth);
    let girth = walk.around(middle, depth);
    // How far round each foot stands, left first.
    let mut feet = [0.0; 2];
    for (foot, sign) in feet.iter_mut().zip([-1.0, 1.0]) {
        let off = |s: f64| sign * (at(start + sign * s).point(middle, depth) - under).dot(across) - 0.5 * wide;
        let step = 0.5 * girth / f64::from(LOOKS);
        let (mut s, mut most) = (0.0, -0.5 * wide);
        loop {
            let next = s + step;
            let here = off(next);
            if here >= 0.0 {
                *foot = start + sign * num::root(s, next, 1e-12, off).ok_or(Fault::NotThere)?;
                break;
            }
            if here < most || next > 0.5 * girth {
                return Err(Fault::TooWide(2.0 * (most + 0.5 * wide)));
            }
            (s, most) = (next, here);
        }
    }
    let [left, right] = feet.map(at);
    let ridge = ridge(&left, &right, asked, under + out * rise)?;
    let ends = [asked.from, asked.to];
    let top = ends.map(|z| ridge.0 + ridge.1 * (z - ridge.0.z));
    let planes = [left, right].map(|foot| plane(&foot, &ridge, (middle, depth), under));
    let mut flanks = Vec::with_capacity(2);
    for (i, foot) in [left, right].iter().enumerate() {
        flanks.push(flank(walk, asked, (foot, feet[i]), top, (planes[i], planes[1 - i]))?);
    }
    let between = num::PI - num::acos(planes[0].dot(planes[1]).clamp(-1.0, 1.0));
    let [a, b] = <[Flank; 2]>::try_from(flanks).map_err(|_| Fault::NotThere)?;
    Ok(Keel { flanks: [a, b], ridge: top, between })
}

/// The ridge through a point: one of its points, and how it goes on for each mm of height.
fn ridge(left: &Rule, right: &Rule, asked: &Asked, through: Vec3) -> Result<(Vec3, Vec3), Fault> {
    let line = |r: &Rule| {
        let (a, b) = (r.point(asked.from, asked.depth), r.point(asked.to, asked.depth));
        (a, (b - a) / (asked.to - asked.from))
    };
    let ((a, u), (b, v)) = (line(left), line(right));
    // How far apart they are, and how that changes with height.
    let (gap, opens) = (a - b, u - v);
    let tall = asked.to - asked.from;
    if opens.length() * tall < 1e-9 {
        return Ok((through, u));
    }
    let up = -gap.dot(opens) / opens.length_squared();
    let miss = (gap + opens * up).length();
    // What they miss each other by far away is little here.
    let here = miss * (tall / up.abs().max(tall)).min(1.0);
    if here > ONE {
        return Err(Fault::Askew(here));
    }
    let apex = 0.5 * (a + b + (u + v) * up);
    let way = through - apex;
    if way.z.abs() < 1e-9 { Err(Fault::NotThere) } else { Ok((through, way / way.z)) }
}

/// The outward normal of the plane through the ridge and a foot.
fn plane(foot: &Rule, ridge: &(Vec3, Vec3), (middle, depth): (f64, f64), under: Vec3) -> Vec3 {
    let normal = ridge.1.cross(foot.point(middle, depth) - ridge.0).normalize_or(Vec3::Z);
    if normal.dot(under - ridge.0) > 0.0 { -normal } else { normal }
}

fn flank(
    walk: &Walk,
    asked: &Asked,
    (rule, round): (&Rule, f64),
    top: [Vec3; 2],
    (normal, other): (Vec3, Vec3),
) -> Result<Flank, Fault> {
    let Asked { depth, middle, from, to, faces: [inner, outer], .. } = *asked;
    let low = [from, to].map(|z| rule.point(z, depth));
    let mut corners = vec![low[0], top[0], top[1], low[1]];
    // Counter-clockwise as seen from outside, from the lower end on.
    let (ridge, foot) = if (top[0] - low[0]).cross(low[1] - low[0]).dot(normal) > 0.0 {
        (1, 3)
    } else {
        corners = vec![top[0], low[0], low[1], top[1]];
        (3, 1)
    };
    let origin = corners.iter().copied().sum::<Vec3>() / 4.0;
    let up = (Vec3::Z - normal * normal.z).normalize_or(Vec3::X);
    let frame = Frame { origin, x: up, y: normal.cross(up), z: normal };
    let edge = |k: usize| (corners[k], corners[(k + 1) % 4]);
    let square = |k: usize| (edge(k).1 - edge(k).0).cross(normal).normalize_or(Vec3::X);
    let stands = Stands {
        walk,
        depth,
        middle,
        at: rule.point(middle, depth),
        way: (low[1] - low[0]).normalize_or(Vec3::Z),
        normal,
        beside: square(foot),
        round,
    };
    let (a, b) = (stands.meets(inner, 0.0).ok_or(Fault::NotThere)?, stands.meets(outer, 0.0).ok_or(Fault::NotThere)?);
    let cut = stands.way.cross(b.point - a.point).normalize_or(square(foot));
    let ends = low.map(|p| (p - stands.at).dot(stands.way));
    let mut off = 0.0f64;
    let mut line = Vec::new();
    for i in 0..=PLACES {
        let along = ends[0] + (ends[1] - ends[0]) * f64::from(i) / f64::from(PLACES);
        for face in [inner, outer] {
            let meets = stands.meets(face, along).ok_or(Fault::NotThere)?;
            off = off.max((meets.point - stands.at).dot(cut).abs());
            if face == outer {
                line.push((meets.round, meets.point.z));
            }
        }
    }
    if off > STANDS {
        return Err(Fault::StandsOff(off));
    }
    let side = |k: usize| {
        let cut = match k {
            0 => -Vec3::Z,
            2 => Vec3::Z,
            _ if k == ridge => other - normal,
            _ => cut,
        };
        let cut = if cut.dot(square(k)) < 0.0 { -cut } else { cut };
        let n = frame.direction_seen(cut);
        let long = n.truncate().length();
        let reach = n.dot(frame.seen(edge(k).0));
        let at = |d: f64| (reach - n.z * d) / long;
        Side { phi: num::wrap(num::atan2(n.y, n.x), TAU), lower: at(inner), upper: at(outer) }
    };
    let sides: Vec<Side> = (0..4).map(side).collect();
    let strip = sided::strip(&sides, inner, outer).map_err(|gone: Gone| Fault::TooThick(gone.lacks.max(0.0)))?;
    // Across the foot at the middle.
    let wide = {
        let p = stands.at;
        let way = (top[1] - top[0]).normalize_or(Vec3::Z);
        let to = top[0] - p;
        (to - way * to.dot(way)).length()
    };
    let wall = rule.normal();
    let meets = num::PI - num::acos(normal.dot(wall).clamp(-1.0, 1.0));
    Ok(Flank { frame, strip, ridge, foot, wide, lands: (b.point - a.point).length(), off, meets, line })
}

/// A flank's foot, to find where a face of its sheet meets the wall.
struct Stands<'a> {
    walk: &'a Walk,
    depth: f64,
    middle: f64,
    at: Vec3,
    way: Vec3,
    normal: Vec3,
    /// In the flank, away from the ridge.
    beside: Vec3,
    /// How far round the wall it stands.
    round: f64,
}

struct Meets {
    point: Vec3,
    round: f64,
}

impl Stands<'_> {
    /// The point of the wall on the generatrix so far round that lies so far along the foot.
    fn point(&self, round: f64, along: f64) -> Option<Vec3> {
        let rule = self.walk.rule(self.walk.at_length(round, self.middle, self.depth));
        let (a, b) = (rule.point(rule.z0, self.depth), rule.point(rule.z1, self.depth));
        let (low, high) = ((a - self.at).dot(self.way), (b - self.at).dot(self.way));
        let share = (along - low) / (high - low);
        share.is_finite().then(|| a.lerp(b, share))
    }

    /// Where the face at a depth of the flank's own sheet meets it.
    fn meets(&self, face: f64, along: f64) -> Option<Meets> {
        let off = |round: f64| self.point(round, along).map_or(f64::NAN, |p| (p - self.at).dot(self.normal) - face);
        let found = |round: f64| Some(Meets { point: self.point(round, along)?, round });
        let here = off(self.round);
        if here.abs() < 1e-12 {
            return found(self.round);
        }
        // Beyond the foot the wall stands out of the flank's plane, under the keel it lies within.
        let rule = self.walk.rule(self.walk.at_length(self.round, self.middle, self.depth));
        let outward = rule.tangent().dot(self.beside).signum();
        let toward = if here < 0.0 { outward } else { -outward };
        let (mut before, mut step) = (self.round, 0.25);
        while step < 1e3 {
            let next = before + toward * step;
            if (off(next) > 0.0) != (here > 0.0) {
                let (lo, hi) = if before < next { (before, next) } else { (next, before) };
                return found(num::root(lo, hi, 1e-12, off)?);
            }
            (before, step) = (next, 1.5 * step);
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;
    use crate::num::PI;

    fn on(lower: &Section, upper: &Section, tall: f64, asked: impl Fn(Rule) -> Asked) -> Result<Keel, Fault> {
        let strip = Strip::new(lower, 0.0, upper, tall).expect("a wall").begun_at(PI).expect("a start");
        let walk = Walk::new(&strip);
        let front = walk.side_middle(0.0).unwrap_or_else(|| walk.at_normal(0.0)[0]);
        keel(&walk, &asked(walk.rule(front)))
    }

    fn asked(rule: Rule, wide: f64, rise: f64, tall: f64) -> Asked {
        Asked { rule, depth: 0.0, wide, rise, middle: 0.5 * tall, from: 0.0, to: tall, faces: [-4.0, 0.0] }
    }

    fn lean(flank: &Flank, k: usize) -> f64 {
        let side = sided::sides(&flank.strip)[k];
        num::atan((side.upper - side.lower) / 4.0).to_degrees()
    }

    #[test]
    fn on_a_flat_side_its_flanks_are_as_wide_as_pythagoras_has_it() {
        // A slab 300 wide: half of the foot 40, rise 30: flanks of 50, and the half angle at the ridge atan(40/30).
        let element = |i: u32| {
            let from = num::FRAC_PI_2 * f64::from(i);
            let centre = super::super::unit(from + 0.25 * PI) * (150.0 * 2f64.sqrt());
            let to = if i == 3 { TAU } else { from + num::FRAC_PI_2 };
            super::super::section::Element {
                from,
                to,
                curve: super::super::section::Curve::Round { centre, radius: 0.0 },
            }
        };
        let box_of = Section::new((0..4).map(element).collect()).expect("a square");
        let made = on(&box_of, &box_of, 200.0, |r| asked(r, 80.0, 30.0, 200.0)).expect("a keel");
        let half = num::atan(40.0 / 30.0);
        assert!((made.between - 2.0 * half).abs() < 1e-9, "{}", made.between.to_degrees());
        for flank in &made.flanks {
            assert!((flank.wide - 50.0).abs() < 1e-9);
            assert!(flank.off < 1e-9);
            // The miter: the complement of the half angle. The foot leans by that half angle's other one.
            assert!(
                (lean(flank, flank.ridge) - (90.0 - half.to_degrees())).abs() < 1e-6,
                "{}",
                lean(flank, flank.ridge)
            );
            assert!((lean(flank, flank.foot).abs() - half.to_degrees()).abs() < 1e-6, "{}", lean(flank, flank.foot));
            assert!((flank.meets.to_degrees() - (90.0 + half.to_degrees())).abs() < 1e-6);
        }
    }

    #[test]
    fn on_a_tube_its_flanks_reach_down_past_the_sagitta() {
        // The sagitta of a chord 60 on radius 100: 100 - √(100² - 30²).
        let made = on(&Section::circle(100.0), &Section::circle(100.0), 250.0, |r| asked(r, 60.0, 25.0, 250.0))
            .expect("a keel");
        let sag = 100.0 - (100.0f64 * 100.0 - 900.0).sqrt();
        for flank in &made.flanks {
            assert!((flank.wide - num::hypot(30.0, 25.0 + sag)).abs() < 1e-9);
            assert!(flank.off < 1e-9);
            // The flank stands 90° less half of what is between them steeper than the front's tangent, the wall there asin 0.3.
            let (a, b) = (num::atan(30.0 / (25.0 + sag)), num::asin(0.3));
            assert!((flank.meets - (PI - (num::FRAC_PI_2 - a - b))).abs() < 1e-9);
        }
        assert!((made.between - 2.0 * num::atan(30.0 / (25.0 + sag))).abs() < 1e-9);
    }

    #[test]
    fn on_a_cone_it_falls_to_the_cone_s_point() {
        // Radius 100 to 60 over 200: its point is 500 up.
        let made = on(&Section::circle(100.0), &Section::circle(60.0), 200.0, |r| asked(r, 40.0, 20.0, 200.0))
            .expect("a keel");
        let way = made.ridge[1] - made.ridge[0];
        let at = made.ridge[0] + way * (500.0 / way.z);
        assert!(at.truncate().length() < 1e-6, "{at:?}");
        assert!(
            made.flanks.iter().all(|f| f.off > 0.0 && f.off < 0.1),
            "{:?}",
            made.flanks.iter().map(|f| f.off).collect::<Vec<_>>()
        );
    }

    #[test]
    fn what_cannot_be_is_told() {
        let tube = Section::circle(30.0);
        assert!(
            matches!(on(&tube, &tube, 100.0, |r| asked(r, 70.0, 20.0, 100.0)), Err(Fault::TooWide(w)) if (w - 60.0).abs() < 0.1)
        );
        assert!(matches!(on(&tube, &tube, 100.0, |r| asked(r, 12.0, 3.0, 100.0)), Err(Fault::TooThick(_))));
    }
}
