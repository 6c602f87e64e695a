//! One sheet stretched over a round form: the plain cone that it is cut as, and how much each of its rings is stretched.
//!
//! Up the wall every line keeps its length: over a form a sheet slides up and down, but it meets itself round it. So a ring that
//! lies `along` the neutral surface from the first rim is cut as long as the cone is round there, and stretched (or squeezed) by
//! formed/cut − 1. Between two stations both girths run straight, and the ratio of two straight lines has no greatest or least
//! value between their ends: what is told of the stations is all there is.

use super::Vec2;
use crate::num::TAU;

/// A wall may lean so much less than lying flat: the share of its length by which it gets wider.
const LEANS: f64 = 0.999;
/// So many times its leave is nothing.
const NOTHING: f64 = 1e-14;
/// Steps that take a third of one.
const THIRDS: u32 = 160;
/// So many times its leave no sheet is stretched.
const MOST: f64 = 1e6;

/// A profile (distance from the axis, height) moved along its normals, outward positive: its ends squarely, its corners along
/// the line half-way between both normals. `None` where a stretch of it is gone, or it reaches the axis.
#[must_use]
pub fn parallel(profile: &[Vec2], depth: f64) -> Option<Vec<Vec2>> {
    let ways: Vec<Vec2> = profile.windows(2).map(|w| (w[1] - w[0]).normalize_or_zero()).collect();
    let normal = |i: usize| Vec2::new(ways[i].y, -ways[i].x);
    let moved: Vec<Vec2> = (0..profile.len())
        .map(|i| {
            let (below, above) = (normal(i.saturating_sub(1)), normal(i.min(ways.len().saturating_sub(1))));
            profile[i] + (below + above) * (depth / (1.0 + below.dot(above)))
        })
        .collect();
    let there = moved.windows(2).zip(&ways).all(|(w, way)| (w[1] - w[0]).dot(*way) > 0.0);
    (there && moved.iter().all(|p| p.x > 0.0 && p.is_finite())).then_some(moved)
}

/// How far up a profile each of its points lies, from the first on.
#[must_use]
pub fn along(profile: &[Vec2]) -> Vec<f64> {
    let mut out = vec![0.0];
    for w in profile.windows(2) {
        out.push(out[out.len() - 1] + w[0].distance(w[1]));
    }
    out
}

/// How much of its length a sheet may gain and lose.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Leave {
    pub stretch: f64,
    pub squeeze: f64,
}

/// The cone that a sheet is cut as: its girth at the first rim, how fast it gets wider up the wall, and how many times its leave
/// the sheet takes where it takes most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cone {
    pub foot: f64,
    pub slope: f64,
    pub takes: f64,
}

impl Cone {
    /// Its girth so far up.
    #[must_use]
    pub fn round(&self, along: f64) -> f64 {
        self.foot + self.slope * along
    }
}

/// The cone that takes the least of its leave from a sheet that is to be as long round as `round` at each place `along`: the
/// straight line that is nearest to those girths, stretching counted in the leave to stretch and squeezing in that to be
/// squeezed (a line through points with the least greatest deviation: P. L. Chebyshev, 1854). `None` when only a sheet that lies
/// all but flat would do.
#[must_use]
pub fn cone(along: &[f64], round: &[f64], leave: Leave) -> Option<Cone> {
    let least = |t: f64, g: f64| g / (1.0 + t * leave.stretch);
    let most = |t: f64, g: f64| if t * leave.squeeze < 1.0 { g / (1.0 - t * leave.squeeze) } else { f64::INFINITY };
    // The bounds of the first girth, given the slope.
    let bounds = |t: f64, slope: f64| {
        let all = along.iter().zip(round);
        all.fold((f64::NEG_INFINITY, f64::INFINITY), |(lo, hi), (s, g)| {
            (lo.max(least(t, *g) - slope * s), hi.min(most(t, *g) - slope * s))
        })
    };
    // How far they lie apart is convex in the slope.
    let best = |t: f64| {
        let lacks = |slope: f64| {
            let (lo, hi) = bounds(t, slope);
            lo - hi
        };
        let (mut low, mut high) = (-LEANS * TAU, LEANS * TAU);
        for _ in 0..THIRDS {
            let third = (high - low) / 3.0;
            if lacks(low + third) <= lacks(high - third) { high -= third } else { low += third }
        }
        0.5 * (low + high)
    };
    let size = round.iter().fold(0.0, |a: f64, g| a.max(*g));
    let fits = |t: f64| {
        let slope = best(t);
        let (lo, hi) = bounds(t, slope);
        (lo - hi <= 1e-12 * size).then_some(slope)
    };
    let (mut low, mut high) = (0.0, 1.0);
    while fits(high).is_none() {
        (low, high) = (high, 2.0 * high);
        if high > MOST {
            return None;
        }
    }
    while high - low > NOTHING * high.max(1.0) {
        let middle = 0.5 * (low + high);
        if fits(middle).is_some() { high = middle } else { low = middle }
    }
    let slope = fits(high)?;
    let (lo, hi) = bounds(high, slope);
    Some(Cone { foot: 0.5 * (lo + hi.min(2.0 * size)), slope, takes: high })
}

#[cfg(test)]
mod tests {
    use super::*;

    const LEAVE: Leave = Leave { stretch: 0.08, squeeze: 0.04 };

    #[test]
    fn a_profile_moves_squarely_and_meets_half_way_between_its_normals() {
        // A tube of radius 50 that flares by 45 degrees: 3 mm in, the corner moves up by 3 tan 22.5°.
        let profile = [Vec2::new(50.0, 0.0), Vec2::new(50.0, 40.0), Vec2::new(70.0, 60.0)];
        let moved = parallel(&profile, -3.0).expect("there is room");
        let up = 3.0 * crate::num::tan(crate::num::PI / 8.0);
        assert!(moved[0].distance(Vec2::new(47.0, 0.0)) < 1e-12);
        assert!(moved[1].distance(Vec2::new(47.0, 40.0 + up)) < 1e-12);
        let half = 3.0 * 0.5f64.sqrt();
        assert!(moved[2].distance(Vec2::new(70.0 - half, 60.0 + half)) < 1e-12);
        assert_eq!(along(&profile), vec![0.0, 40.0, 40.0 + 800f64.sqrt()]);
        assert_eq!(parallel(&profile, -51.0), None);
        // A short step within a hollow is gone before the sheet is through.
        let step = [Vec2::new(80.0, 0.0), Vec2::new(50.0, 30.0), Vec2::new(50.0, 31.0), Vec2::new(80.0, 61.0)];
        assert!(parallel(&step, 1.0).is_some() && parallel(&step, 4.0).is_none());
    }

    #[test]
    fn a_straight_wall_takes_nothing() {
        let cone = cone(&[0.0, 30.0, 100.0], &[200.0, 230.0, 300.0], LEAVE).expect("a cone");
        assert!(cone.takes < 1e-9 && (cone.slope - 1.0).abs() < 1e-9 && (cone.foot - 200.0).abs() < 1e-9);
    }

    #[test]
    fn three_stations_share_what_has_to_give_by_their_leave() {
        // A waist half-way: both rims stretch by x, the waist is squeezed by y, x : y = 8 : 4. With girths 330, 300, 330 and a
        // flat of one width g: 330/g − 1 = 2(1 − 300/g), so g = 930/3.
        let waist = cone(&[0.0, 50.0, 100.0], &[330.0, 300.0, 330.0], LEAVE).expect("a cone");
        assert!(waist.slope.abs() < 1e-9 && (waist.foot - 310.0).abs() < 1e-6, "{waist:?}");
        assert!((waist.takes - (330.0 / 310.0 - 1.0) / 0.08).abs() < 1e-9);
        // A belly of the same figures: 2(1 − 300/g) = (330/g − 1) at the belly, the same flat.
        let belly = cone(&[0.0, 50.0, 100.0], &[300.0, 330.0, 300.0], LEAVE).expect("a cone");
        assert!((belly.foot - 310.0).abs() < 1e-6 && (belly.takes - waist.takes).abs() < 1e-9);
        // Goods that are never squeezed: as long as the waist.
        let never = cone(&[0.0, 50.0, 100.0], &[330.0, 300.0, 330.0], Leave { squeeze: 0.0, ..LEAVE }).expect("a cone");
        assert!((never.foot - 300.0).abs() < 1e-6 && (never.takes - 0.1 / 0.08).abs() < 1e-9);
        // … and that are only squeezed: as long as the rims.
        let only = Leave { stretch: 0.0, squeeze: 0.2 };
        let only = cone(&[0.0, 50.0, 100.0], &[330.0, 300.0, 330.0], only).expect("a cone");
        assert!((only.foot - 330.0).abs() < 1e-6 && (only.takes - (1.0 - 300.0 / 330.0) / 0.2).abs() < 1e-9);
    }

    #[test]
    fn no_other_cone_takes_less() {
        let (along, round) = ([0.0, 20.0, 55.0, 80.0, 120.0], [310.0, 280.0, 262.0, 300.0, 390.0]);
        let best = cone(&along, &round, LEAVE).expect("a cone");
        let takes = |foot: f64, slope: f64| {
            along.iter().zip(round).fold(0.0, |most: f64, (s, g)| {
                let share = g / (foot + slope * s) - 1.0;
                most.max(if share > 0.0 { share / LEAVE.stretch } else { -share / LEAVE.squeeze })
            })
        };
        assert!((takes(best.foot, best.slope) - best.takes).abs() < 1e-9, "{best:?}");
        for i in -10..=10 {
            for j in -10..=10 {
                let other = takes(best.foot + 0.3 * f64::from(i), best.slope + 0.004 * f64::from(j));
                assert!(other >= best.takes - 1e-9, "{i} {j}: {other} under {}", best.takes);
            }
        }
    }
}
