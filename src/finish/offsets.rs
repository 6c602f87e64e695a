//! Offsets tables for lines that no compass reaches: rises above the chord at even steps.

use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, left_of, tol};
use crate::piece::{Offsets, Run};

/// Tables for every edge of the contour that holds an arc with a radius past `compass`: one for a whole edge, since an
/// edge of many arcs is one curve to the maker; of a closed edge, or one that turns back over its chord, as many as
/// it takes, one after the other.
pub(super) fn offsets(runs: &[Run], compass: f64) -> Vec<Offsets> {
    let mut tables = Vec::new();
    for run in runs {
        let Some(edge) = run.edge else { continue };
        let arcs = joined(&run.path.segs);
        if !arcs.iter().any(|s| s.bulge != 0.0 && s.radius() > compass) {
            continue;
        }
        stretches(&arcs, &mut |arcs, (chord, rows)| {
            let radius = match arcs {
                [one] => Some(one.radius()),
                _ => None,
            };
            tables.push(Offsets { edge, radius, chord, rows });
        });
    }
    tables
}

/// The chain in stretches that go on along their chords: where it does not, it is cut at the end of an arc that is
/// farthest from its start, or from its chord when it ends far from there.
fn stretches(segs: &[Seg], out: &mut impl FnMut(&[Seg], (f64, Vec<(f64, f64)>))) {
    if let Some(table) = rises(segs) {
        return out(segs, table);
    }
    let (Some(first), Some(last)) = (segs.first(), segs.last()) else { return };
    let chord = last.b - first.a;
    let far = |i: &usize| {
        let to = segs[*i].b - first.a;
        if chord.length() < 1.0 { to.length() } else { chord.normalize().perp_dot(to).abs() }
    };
    if let Some(cut) = (0..segs.len() - 1).max_by(|i, j| far(i).total_cmp(&far(j))) {
        stretches(&segs[..=cut], out);
        stretches(&segs[cut + 1..], out);
    }
}

/// Arcs that go on along one circle as one arc.
fn joined(segs: &[Seg]) -> Vec<Seg> {
    let mut arcs: Vec<Seg> = Vec::new();
    for s in segs {
        if let Some(last) = arcs.last_mut()
            && let Some(both) = join(last, s)
        {
            *last = both;
        } else {
            arcs.push(*s);
        }
    }
    arcs
}

/// One arc for two that go on along the same circle, within what rounding can do to them.
fn join(p: &Seg, q: &Seg) -> Option<Seg> {
    let (r, s) = (p.radius(), q.radius());
    if p.bulge == 0.0 || q.bulge == 0.0 || p.bulge.signum() != q.bulge.signum() || (r - s).abs() > 1e-3 * r {
        return None;
    }
    let sweep = p.sweep() + q.sweep();
    if sweep.abs() > crate::num::PI {
        return None;
    }
    let both = Seg { a: p.a, b: q.b, bulge: crate::num::tan(sweep * 0.25) };
    (both.nearest(p.b).0.distance(p.b) <= tol::ARC_FIT).then_some(both)
}

/// The chord from end to end and the rises above it, outward (to the right of a counter-clockwise contour) positive,
/// at even steps along it; none for a line that turns back over its chord.
fn rises(segs: &[Seg]) -> Option<(f64, Vec<(f64, f64)>)> {
    let path = Path { segs: segs.to_vec() };
    let (start, end) = (path.start()?, path.end()?);
    let chord = start.distance(end);
    if chord < 1.0 {
        return None;
    }
    let along = (end - start) / chord;
    let out = -left_of(along);
    let points: Vec<Vec2> =
        path.flattened(0.001).into_iter().map(|p| Vec2::new((p - start).dot(along), (p - start).dot(out))).collect();
    if points.windows(2).any(|w| w[1].x < w[0].x - tol::SAME) {
        return None;
    }
    let step = [10.0, 25.0, 50.0, 100.0, 250.0, 1000.0].into_iter().find(|s| chord / s <= 12.0).unwrap_or(chord / 12.0);
    let mut places: Vec<f64> = (0..).map(|i| f64::from(i) * step).take_while(|x| *x < chord - 1e-9).collect();
    places.extend([0.5 * chord, chord]);
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let rise = |x: f64| {
        let i = points.partition_point(|p| p.x < x).clamp(1, points.len() - 1);
        let (p, q) = (points[i - 1], points[i]);
        if q.x - p.x < tol::SAME { q.y } else { p.y + (q.y - p.y) * (x - p.x) / (q.x - p.x) }
    };
    Some((chord, places.into_iter().map(|x| (x, rise(x))).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::unit;
    use crate::num::{self, PI};
    use crate::solid::EdgeName;

    const COMPASS: f64 = 500.0;

    fn arc(r: f64, angle: f64, pieces: usize) -> Run {
        let from = PI * 0.5 - angle * 0.5;
        let segs = (0..pieces)
            .map(|i| {
                let at = |k: usize| unit(from + angle * k as f64 / pieces as f64) * r;
                Seg { a: at(i), b: at(i + 1), bulge: num::tan(angle / pieces as f64 * 0.25) }
            })
            .collect();
        Run { edge: Some(EdgeName::Upper), path: Path { segs } }
    }

    #[test]
    fn the_chart_cases_arcs_rise_as_worked_by_hand() {
        // Brief B1 (worked by hand from closed forms): R1 2600.5, R2 2080.4, angle 6.92 deg, sagitta 4.74 top and
        // 3.79 bottom, tolerance 0.5.
        for (r, sagitta) in [(2600.5, 4.74), (2080.4, 3.79)] {
            for pieces in [1, 3] {
                let tables = offsets(&[arc(r, 6.92f64.to_radians(), pieces)], COMPASS);
                assert_eq!(tables.len(), 1, "arcs of one circle are one arc");
                let top = tables[0].rows.iter().map(|r| r.1.abs()).fold(0.0, f64::max);
                assert!((top - sagitta).abs() < 0.01, "{top}");
                assert_eq!(tables[0].rows[0], (0.0, 0.0));
                assert!((tables[0].rows[1].0 - 25.0).abs() < 1e-9 || (tables[0].rows[1].0 - 50.0).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn an_arc_within_the_compass_has_no_table() {
        assert!(offsets(&[arc(400.0, 1.0, 2)], COMPASS).is_empty());
    }

    #[test]
    fn an_edge_of_many_arcs_has_one_table() {
        let mut run = arc(2600.0, 0.1, 1);
        let end = run.path.end().expect("not empty");
        run.path.segs.push(Seg { a: end, b: end + Vec2::new(-120.0, -14.0), bulge: 0.02 });
        let tables = offsets(&[run], COMPASS);
        assert_eq!(tables.len(), 1);
        assert_eq!(tables[0].radius, None);
        assert!(tables[0].rows.iter().all(|r| r.1 >= -1e-9), "it bulges outward: {:?}", tables[0].rows);
    }
}
