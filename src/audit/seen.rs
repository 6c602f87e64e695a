//! Sizes of a section that stands over a plane, measured on a folded ring: its generatrices, moved to the measured face,
//! are cut by the plane, and the points seen along the axis.

use super::claims::Made;
use super::measure;
use super::report::Report;
use super::wall::fit;
use crate::geom::{Vec3, unit};
use crate::solid::OfSeen;
use crate::verdict::Check;

/// By a point of the plane and its normal; false when nothing could be measured.
pub fn claim(made: &Made<'_>, (at, normal): (Vec3, Vec3), size: OfSeen, what: &str, r: &mut Report) -> bool {
    let mut any = false;
    for laid in &made.laid {
        let (Some(folded), Some(round)) = (laid.strips.first(), laid.view.rounds.get(laid.ring.strips.start)) else {
            continue;
        };
        let (z0, z1) = round.heights;
        // Where a line through two of its points meets the plane, seen along the axis.
        let seen = |a: Vec3, b: Vec3| {
            let (from, to) = ((a - at).dot(normal), (b - at).dot(normal));
            (a + (b - a) * (from / (from - to))).truncate().extend(0.0)
        };
        let cells = 0..folded.cells.len();
        let mut points: Vec<Vec3> =
            cells.map(|i| seen(folded.crossing(i, z0, 0.0), folded.crossing(i, z1, 0.0))).collect();
        points.push(seen(folded.last(z0, 0.0), folded.last(z1, 0.0)));
        match size {
            OfSeen::Around(mm) => fit(r, Check::Claim, what, measure::smooth_length(&points), mm),
            OfSeen::Across { direction, mm } => {
                let along = unit(direction).extend(0.0);
                let reach = points.iter().map(|p| p.dot(along));
                let (low, high) = reach.fold((f64::INFINITY, f64::NEG_INFINITY), |m, x| (m.0.min(x), m.1.max(x)));
                fit(r, Check::Claim, what, high - low, mm);
            }
        }
        any = true;
    }
    any
}
