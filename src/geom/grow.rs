//! A polygon round a ring grown by a distance: two rings grown by half a gap keep the whole gap when these polygons do
//! not meet. Offsets are `cavalier_contours`'. Lengths mm.

use cavalier_contours::polyline::{PlineSource as _, PlineSourceMut as _, Polyline};

use super::outer::outer;
use super::path::{Path, Seg};
use super::{Vec2, rect};
use crate::num;

/// Corners are written to this grid, so that no last bit of an offset can show.
const GRID: f64 = 1024.0;
/// Of corners nearer to each other than this the later one is left out, mm.
const NEIGHBOURS: f64 = 0.01;

/// How far a corner may lie off the line that is drawn in its place before the offset, mm.
const PLAINER: f64 = 5e-4;

/// What the grid and corners left out may take away.
const LOST: f64 = 1.0 / GRID + NEIGHBOURS;

/// A simple polygon without repeated corners that holds every point within `by` of the counter-clockwise ring: within
/// a fraction of a millimetre of the least, but for bays narrower than `2 by` and what the offset cannot do, which is
/// filled up to the hull.
#[must_use]
pub fn grown(ring: &Path, by: f64) -> Vec<Vec2> {
    offset(ring, by + LOST).map_or_else(|| hulled(ring, by), tidy)
}

/// The polygon of [`grown`] without its bays.
#[must_use]
pub fn hulled(ring: &Path, by: f64) -> Vec<Vec2> {
    let hull = rect::hull(&outer(ring));
    // Corners of a regular polygon round a disc of radius `by`, set on every corner of the hull.
    let n = 16.0;
    let reach = (by + LOST) / num::cos(num::PI / n);
    let round = |p: Vec2| (0..16).map(move |k| p + super::unit(num::TAU * f64::from(k) / n) * reach);
    rect::hull(&tidy(hull.into_iter().flat_map(round).collect()))
}

/// The area of a ring grown by a distance is no less than this (Brunn and Minkowski's inequality).
#[must_use]
pub fn least_area(ring: &Path, by: f64) -> f64 {
    (ring.area().max(0.0).sqrt() + by * num::PI.sqrt()).powi(2)
}

fn tidy(points: Vec<Vec2>) -> Vec<Vec2> {
    let mut kept: Vec<Vec2> = Vec::with_capacity(points.len());
    for p in points {
        let p = (p * GRID).round() / GRID;
        if kept.last().is_none_or(|q| q.distance(p) > NEIGHBOURS) {
            kept.push(p);
        }
    }
    while kept.len() > 3 && kept[0].distance(kept[kept.len() - 1]) <= NEIGHBOURS {
        kept.pop();
    }
    kept
}

/// The ring without corners at which it hardly turns between short sides: the offset takes two lines for one where the
/// product of their lengths and the sine between them is below 1e-5, however far they then lie off each other.
fn plainer(segs: &[Seg]) -> Vec<Seg> {
    const ALIKE: f64 = 4e-5;
    let n = segs.len();
    let straight = |a: &Seg, b: &Seg| {
        let (u, v) = (a.b - a.a, b.b - b.a);
        a.bulge == 0.0 && b.bulge == 0.0 && u.perp_dot(v).abs() < ALIKE && u.dot(v) > 0.0
    };
    // From a corner that stays.
    let start = (0..n).find(|&i| !straight(&segs[(i + n - 1) % n], &segs[i])).unwrap_or(0);
    let mut out: Vec<Seg> = Vec::with_capacity(n);
    let mut gone: Vec<Vec2> = Vec::new();
    for i in 0..n {
        let next = segs[(start + i) % n];
        if let Some(last) = out.last_mut()
            && straight(last, &next)
        {
            let chord = next.b - last.a;
            let off = |p: &Vec2| chord.perp_dot(*p - last.a).abs() / chord.length();
            if gone.iter().chain([&next.a]).all(|p| off(p) <= PLAINER) {
                gone.push(next.a);
                last.b = next.b;
                continue;
            }
        }
        gone.clear();
        out.push(next);
    }
    if out.len() < 3 { segs.to_vec() } else { out }
}

fn offset(ring: &Path, by: f64) -> Option<Vec<Vec2>> {
    let mut line = Polyline::new_closed();
    let segs = plainer(&ring.segs);
    for s in &segs {
        line.add(s.a.x, s.a.y, s.bulge);
    }
    let by = if segs.len() < ring.segs.len() { by + PLAINER } else { by };
    let rings = line.parallel_offset(-by);
    let paths = rings.iter().map(|r| {
        let n = r.vertex_count();
        let at = |i: usize| {
            let v = r.at(i % n);
            Vec2::new(v.x, v.y)
        };
        Path { segs: (0..n).map(|i| Seg { a: at(i), b: at(i + 1), bulge: r.at(i).bulge }).collect() }
    });
    let largest = paths.max_by(|a, b| a.area().total_cmp(&b.area()))?;
    // What is smaller is a fault of the offset.
    let least = least_area(ring, by) * (1.0 - 1e-6);
    (largest.area() >= least && largest.segs.iter().all(|s| s.bulge.is_finite())).then(|| outer(&largest))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn star(spokes: &[(f64, f64)]) -> Path {
        #[expect(clippy::cast_precision_loss, reason = "few spokes")]
        let corner = |i: usize| super::super::unit(num::TAU * i as f64 / spokes.len() as f64) * spokes[i].0;
        let n = spokes.len();
        Path { segs: (0..n).map(|i| Seg { a: corner(i), b: corner((i + 1) % n), bulge: spokes[i].1 }).collect() }
    }

    /// Distance from a point to a polygon's rim.
    fn to_rim(p: Vec2, ring: &[Vec2]) -> f64 {
        let sides = ring.iter().zip(ring.iter().cycle().skip(1));
        let to = |(&a, &b): (&Vec2, &Vec2)| {
            let t = ((p - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
            (a + (b - a) * t - p).length()
        };
        sides.map(to).fold(f64::INFINITY, f64::min)
    }

    fn stands_off(ring: &Path, by: f64) {
        for (points, most) in [(grown(ring, by), 60.0), (hulled(ring, by), f64::INFINITY)] {
            assert!(Path::polygon(&points).area() > ring.area());
            for p in ring.flattened(0.01) {
                let off = to_rim(p, &points);
                assert!(super::super::ring::contains(&Path::polygon(&points), p));
                assert!(off >= by && off < most, "{off}");
            }
        }
    }

    proptest! {
        #[test]
        fn a_grown_ring_stands_off_by_what_was_asked(
            spokes in proptest::collection::vec((20.0f64..90.0, -0.2f64..0.3), 3..9), by in 0.5f64..6.0
        ) {
            stands_off(&star(&spokes), by);
        }
    }

    #[test]
    fn a_grown_triangle_stands_off_by_what_was_asked() {
        stands_off(&star(&[(20.0, 0.0); 3]), 0.5);
    }

    #[test]
    fn short_sides_that_hardly_turn_are_grown() {
        // A rim rounded to thousandths in steps of a twentieth: two of its sides pass for one line, and lie off it.
        let rim = [
            (0.618, -0.004),
            (1.222, -0.102),
            (1.273, -0.11),
            (1.323, -0.118),
            (1.703, -0.177),
            (2.084, -0.235),
            (2.191, -0.251),
            (2.298, -0.267),
            (2.684, -0.323),
            (3.07, -0.378),
            (3.231, -0.4),
            (3.391, -0.422),
            (4.255, -0.537),
            (40.0, 3.0),
            (40.0, 30.0),
            (0.618, 30.0),
        ];
        stands_off(&Path::polygon(&rim.map(|(x, y)| Vec2::new(x, y))), 2.5);
    }

    #[test]
    fn a_disc_grown_is_a_disc() {
        let disc = Path {
            segs: vec![
                Seg { a: Vec2::X * 40.0, b: Vec2::X * -40.0, bulge: 1.0 },
                Seg { a: Vec2::X * -40.0, b: Vec2::X * 40.0, bulge: 1.0 },
            ],
        };
        for p in grown(&disc, 2.5) {
            assert!((42.5..42.75).contains(&p.length()), "{}", p.length());
        }
    }
}
