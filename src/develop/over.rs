//! Where a rim's line crosses itself on the flat, the cut goes from one part of it to the other. The body's edge does so
//! too, on the fold between both, but on every face elsewhere: what lies between both places stands off the piece.

use crate::geom::Vec3;
use crate::geom::rim::{Rim, spans};
use crate::geom::trim::Span;
use crate::geom::walk::Place;

/// How far the body's edge may stand off the piece's there, mm: what partner edges may differ by, less what the fit of the
/// piece takes of it.
pub(super) const MOST: f64 = 0.045;

/// How far to either side the wall is held against the edge, in lengths of what is left out.
const ROUND: f64 = 10.0;

/// Looks on each part of a leg.
const LOOKS: u32 = 96;

/// How far a point may stand outside a tangent plane by rounding alone, mm.
const OUTSIDE: f64 = 1e-9;

/// How far a body's edge stands off the piece's.
#[derive(Clone, Copy, Debug)]
pub(super) struct Off {
    /// In mm.
    pub by: f64,
    /// The direction in which that lies, and how high.
    pub phi: f64,
    pub z: f64,
}

/// Where the body's edge stands farthest off what is cut, if it is more than may be: nowhere where the line does not cross
/// itself. `depth` gives the face whose edge is cut at a place.
pub(super) fn runs_off(rim: &Rim, kept: &[Span], depth: &dyn Fn(Place) -> f64) -> Option<Off> {
    let all = kept.windows(2).filter_map(|pair| off(rim, pair[0], pair[1], depth));
    all.max_by(|a, b| a.by.total_cmp(&b.by)).filter(|off| off.by > MOST)
}

fn off(rim: &Rim, before: Span, after: Span, depth: &dyn Fn(Place) -> f64) -> Option<Off> {
    let walk = rim.flat().walk();
    let (from, to) = (before.1, after.0);
    let foot = |at: Place| {
        let rule = walk.rule(at);
        rule.point(rim.foot_on(at, &rule, depth(at)).0, rim.flat().depth())
    };
    let left_out = looks(from, to);
    let long: f64 = left_out.windows(2).map(|p| (foot(p[1]) - foot(p[0])).length()).sum();
    let near = |at: &Place, end: Place| (foot(*at) - foot(end)).length() < ROUND * long;
    let before: Vec<Place> = looks(before.0, from).into_iter().filter(|at| near(at, from)).collect();
    let after: Vec<Place> = looks(to, after.1).into_iter().filter(|at| near(at, to)).collect();
    let cut: Vec<Vec3> = before.iter().chain([&from, &to]).chain(&after).map(|at| foot(*at)).collect();
    // A convex wall's face is the boundary of what lies within all its tangent planes.
    let convex = walk.strip().stretches().iter().all(|s| s.to >= s.from);
    let (z0, _) = walk.strip().heights();
    let planes: Vec<(Vec3, Vec3)> = if convex {
        let all = before.iter().chain(&left_out).chain(&after);
        all.map(|at| walk.rule(*at)).map(|rule| (rule.point(z0, 0.0), rule.normal())).collect()
    } else {
        Vec::new()
    };
    let is_body = |at: &&Place| {
        let d = depth(**at);
        let p = walk.rule(**at).point(rim.height(**at, d).0, d);
        planes.iter().all(|(on, out)| (p - on).dot(*out) <= d + OUTSIDE)
    };
    let far = |at: &Place| {
        let z = rim.height(*at, depth(*at)).0;
        Off { by: to_chain(foot(*at), &cut), phi: walk.rule(*at).phi, z }
    };
    left_out.iter().filter(is_body).map(far).max_by(|a, b| a.by.total_cmp(&b.by))
}

fn looks(from: Place, to: Place) -> Vec<Place> {
    let on = |(leg, t0, t1): (usize, f64, f64)| {
        (0..=LOOKS).map(move |i| Place { leg, t: t0 + (t1 - t0) * f64::from(i) / f64::from(LOOKS) })
    };
    spans(from, to).flat_map(on).collect()
}

/// The distance of a point from a chain of straight steps.
fn to_chain(p: Vec3, chain: &[Vec3]) -> f64 {
    let to_step = |step: &[Vec3]| {
        let along = step[1] - step[0];
        let long = along.length_squared();
        let share = if long > 0.0 { ((p - step[0]).dot(along) / long).clamp(0.0, 1.0) } else { 0.0 };
        (step[0] + along * share - p).length()
    };
    chain.windows(2).map(to_step).fold(f64::INFINITY, f64::min)
}
