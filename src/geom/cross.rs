//! Where lines and arcs meet, in closed form: crossings of segments and of the whole lines and circles that carry
//! them, parts of segments, nearest points. Shares count along a segment: 0 at its start, 1 at its end.

use super::path::{Path, Seg};
use super::{Vec2, left_of, tol};
use crate::num::{self, PI, TAU};

/// A common point of two segments (or of their carriers) and where it lies along each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    pub at: Vec2,
    pub first: f64,
    pub second: f64,
}

impl Seg {
    /// The stretch from share `from` to share `to`; shares beyond 0 and 1 go on along the line or the circle.
    #[must_use]
    pub fn part(&self, from: f64, to: f64) -> Self {
        let bulge = if self.bulge == 0.0 { 0.0 } else { num::tan(self.sweep() * (to - from) * 0.25) };
        Self { a: self.at(from), b: self.at(to), bulge }
    }

    /// The share of the point of the carrier nearest to `p`; on an arc it runs as far before the start as after the
    /// end, to the far side of the circle.
    #[must_use]
    pub fn share(&self, p: Vec2) -> f64 {
        let Some(centre) = self.centre() else {
            let d = self.b - self.a;
            return if d == Vec2::ZERO { 0.0 } else { (p - self.a).dot(d) / d.length_squared() };
        };
        let (from, to) = (self.at(0.5) - centre, p - centre);
        let turn = num::atan2(from.perp_dot(to), from.dot(to)) * self.bulge.signum();
        0.5 + turn / self.sweep().abs()
    }

    /// The nearest of its points to `p`, and its share.
    #[must_use]
    pub fn nearest(&self, p: Vec2) -> (Vec2, f64) {
        let s = self.share(p);
        if (0.0..=1.0).contains(&s) {
            return (self.at(s), s);
        }
        if p.distance_squared(self.a) <= p.distance_squared(self.b) { (self.a, 0.0) } else { (self.b, 1.0) }
    }
}

/// All common points of the lines or circles that carry two segments; none when they are parallel or concentric.
#[must_use]
pub fn carriers(p: &Seg, q: &Seg) -> Vec<Crossing> {
    let points: Vec<Vec2> = match (p.centre(), q.centre()) {
        (None, None) => {
            let (d, e) = (p.b - p.a, q.b - q.a);
            let det = d.perp_dot(e);
            if det.abs() <= 1e-14 * d.length() * e.length() {
                Vec::new()
            } else {
                vec![p.a + d * ((q.a - p.a).perp_dot(e) / det)]
            }
        }
        (None, Some(c)) => line_circle(p, c, q.radius()),
        (Some(c), None) => line_circle(q, c, p.radius()),
        (Some(c), Some(d)) => circles(c, p.radius(), d, q.radius()),
    };
    points.into_iter().map(|at| Crossing { at, first: p.share(at), second: q.share(at) }).collect()
}

/// Common points of two segments; of segments that lie on one line or circle, the ends they share.
#[must_use]
pub fn crossings(p: &Seg, q: &Seg) -> Vec<Crossing> {
    if apart(p, q) || apart(q, p) {
        return Vec::new();
    }
    let (slack_p, slack_q) = (slack(p), slack(q));
    let on = |s: f64, slack: f64| s >= -slack && s <= 1.0 + slack;
    let mut found: Vec<Crossing> =
        carriers(p, q).into_iter().filter(|c| on(c.first, slack_p) && on(c.second, slack_q)).collect();
    // Ends that lie on the other: also where the carriers are one.
    for (at, second) in [(q.a, 0.0), (q.b, 1.0)] {
        let (near, first) = p.nearest(at);
        if near.distance(at) <= tol::SAME {
            found.push(Crossing { at, first, second });
        }
    }
    for (at, first) in [(p.a, 0.0), (p.b, 1.0)] {
        let (near, second) = q.nearest(at);
        if near.distance(at) <= tol::SAME {
            found.push(Crossing { at, first, second });
        }
    }
    found
}

/// Whether the first lies clearly beside the second: of most pairs that tells all. A line, and an arc of no more than half
/// a turn, lies within the circle about its chord.
fn apart(p: &Seg, q: &Seg) -> bool {
    const CLEARLY: f64 = 1000.0 * tol::SAME;
    if q.bulge != 0.0 || p.bulge.abs() > 1.0 {
        return false;
    }
    let (middle, run) = (p.a.midpoint(p.b), q.b - q.a);
    let share = ((middle - q.a).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    middle.distance(q.a + run * share) > 0.5 * p.a.distance(p.b) + CLEARLY
}

/// All crossings of a chain with a segment: the index of the chain's segment, and the crossing (`first` along it),
/// in order along the chain, each place once.
#[must_use]
pub fn along(path: &Path, q: &Seg) -> Vec<(usize, Crossing)> {
    let mut found: Vec<(usize, Crossing)> = Vec::new();
    for (i, seg) in path.segs.iter().enumerate() {
        found.extend(crossings(seg, q).into_iter().map(|c| (i, c)));
    }
    found.sort_by(|a, b| (a.0 as f64 + a.1.first).total_cmp(&(b.0 as f64 + b.1.first)));
    found.dedup_by(|b, a| a.1.at.distance(b.1.at) <= 10.0 * tol::SAME);
    found
}

/// The nearest point of a chain to `p`: its segment, share and place.
#[must_use]
pub fn nearest(path: &Path, p: Vec2) -> Option<(usize, f64, Vec2)> {
    path.segs
        .iter()
        .enumerate()
        .map(|(i, s)| {
            let (at, share) = s.nearest(p);
            (i, share, at)
        })
        .min_by(|a, b| a.2.distance_squared(p).total_cmp(&b.2.distance_squared(p)))
}

/// The stretch of a chain between two places (segment, share), the second not before the first.
#[must_use]
pub fn stretch(path: &Path, from: (usize, f64), to: (usize, f64)) -> Path {
    let mut segs = Vec::new();
    for (i, seg) in path.segs.iter().enumerate() {
        if i < from.0 || i > to.0 {
            continue;
        }
        let lo = if i == from.0 { from.1 } else { 0.0 };
        let hi = if i == to.0 { to.1 } else { 1.0 };
        if (hi - lo) * seg.length() <= tol::SAME {
            continue;
        }
        segs.push(if lo == 0.0 && hi == 1.0 { *seg } else { seg.part(lo, hi) });
    }
    Path { segs }
}

fn slack(s: &Seg) -> f64 {
    tol::SAME / s.length().max(tol::SAME)
}

/// Foot of the centre on the line, then half a chord either way.
fn line_circle(line: &Seg, centre: Vec2, r: f64) -> Vec<Vec2> {
    let d = (line.b - line.a).normalize_or_zero();
    let foot = line.a + d * (centre - line.a).dot(d);
    let away = foot.distance(centre);
    let h2 = (r - away) * (r + away);
    if d == Vec2::ZERO || h2 < 0.0 {
        return Vec::new();
    }
    let h = h2.sqrt();
    if h == 0.0 { vec![foot] } else { vec![foot - d * h, foot + d * h] }
}

/// The radical line is `a` from the first centre, `a = (d + (r−s)(r+s)/d)/2` (law of cosines).
fn circles(c: Vec2, r: f64, d: Vec2, s: f64) -> Vec<Vec2> {
    let between = d - c;
    let dist = between.length();
    if dist <= tol::SAME {
        return Vec::new();
    }
    let a = 0.5 * (dist + (r - s) * (r + s) / dist);
    let h2 = (r - a) * (r + a);
    if h2 < 0.0 {
        return Vec::new();
    }
    let (u, h) = (between / dist, h2.sqrt());
    let foot = c + u * a;
    if h == 0.0 { vec![foot] } else { vec![foot + left_of(u) * h, foot - left_of(u) * h] }
}

/// `a` in (−π, π].
#[must_use]
pub fn signed(a: f64) -> f64 {
    let a = num::wrap(a, TAU);
    if a > PI { a - TAU } else { a }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::unit;

    fn arc(c: Vec2, r: f64, from: f64, to: f64) -> Seg {
        Seg { a: c + unit(from) * r, b: c + unit(to) * r, bulge: num::tan((to - from) / 4.0) }
    }

    #[test]
    fn crossings_lie_on_both() {
        let segs = [
            Seg::line(Vec2::new(-3.0, 0.2), Vec2::new(4.0, 1.0)),
            arc(Vec2::ZERO, 2.0, -1.0, 2.5),
            arc(Vec2::new(1.0, 0.5), 1.5, 3.0, 0.2),
        ];
        let mut n = 0;
        for p in &segs {
            for q in &segs {
                if p == q {
                    continue;
                }
                for c in crossings(p, q) {
                    n += 1;
                    assert!(p.at(c.first).distance(c.at) < 1e-9 && q.at(c.second).distance(c.at) < 1e-9);
                }
            }
        }
        assert!(n >= 6, "{n}");
    }

    #[test]
    fn a_part_goes_on_along_the_same_circle() {
        let s = arc(Vec2::new(2.0, 1.0), 5.0, 0.3, 1.1);
        let longer = s.part(-0.5, 1.5);
        assert!((longer.radius() - 5.0).abs() < 1e-9);
        assert!(longer.centre().expect("an arc").distance(Vec2::new(2.0, 1.0)) < 1e-9);
        assert!((s.share(s.at(1.4)) - 1.4).abs() < 1e-12);
    }

    #[test]
    fn a_stretch_of_a_chain_has_the_length_between_its_ends() {
        let path =
            Path { segs: vec![arc(Vec2::ZERO, 3.0, 0.0, 1.0), Seg::line(unit(1.0) * 3.0, Vec2::new(-4.0, 3.0))] };
        let part = stretch(&path, (0, 0.25), (1, 0.5));
        let want = 0.75 * 3.0 + 0.5 * path.segs[1].length();
        assert!((part.length() - want).abs() < 1e-9);
    }
}
