//! `edge as: curve`: a smooth line through spots, none of which it overshoots.
//!
//! Between two spots it is a cubic that rises or falls all the way, so that its highest and lowest places are spots and a
//! maker sees from the text how much of the wall is left. Slopes at spots are weighted harmonic means of those to the
//! neighbours, nothing where it turns over (F. N. Fritsch and J. Butland, A method for constructing local monotone
//! piecewise cubic interpolants, SIAM Journal on Scientific and Statistical Computing 5, 1984).

use super::super::super::{errors, measure};
use super::{End, Spot, beside, merged, wrapped};
use crate::eval::Stop;
use crate::geom::figure::{self, Figure, Form, Named, Part};
use crate::geom::walk::{Place, Walk};
use crate::num;
use crate::skin::leaves;
use crate::solid::Seam;

/// Spots whose heights differ by less are on one level, mm.
const SAME: f64 = 1e-9;

/// The figure through spots, and the direction of one that lies on the straight edge.
pub(super) fn figure(end: &End<'_>, spots: &[Spot], narrowest: f64) -> Result<(Figure, Option<f64>), Stop> {
    let spec = end.spec;
    let walk = Walk::new(end.strip);
    let around = walk.around(end.z, 0.0);
    let along = |at: Place| walk.length(at, end.z, 0.0);
    let mut at: Vec<(f64, f64, &Spot)> = Vec::with_capacity(spots.len());
    for spot in spots {
        let rule = measure::facing(end.strip, spot.facing).ok_or_else(|| errors::outline_broken(spec.head))?;
        at.push((walk.find(&rule).map_or(0.0, along), spot.fall, spot));
    }
    at.sort_by(|a, b| a.0.total_cmp(&b.0));
    let open = matches!(end.seam, Seam::Open(_));
    let pairs = at.len() - usize::from(open);
    for i in 0..pairs {
        let (a, b) = (&at[i], &at[(i + 1) % at.len()]);
        let apart = if i + 1 < at.len() { b.0 - a.0 } else { b.0 + around - a.0 };
        if apart < narrowest {
            return Err(errors::spots_too_near(&spec.name, apart, narrowest, b.2.span).into());
        }
    }
    let crest = at.iter().find(|a| a.1 < SAME).map(|a| num::wrap(a.2.facing, num::TAU));
    let named = Named { one: "", several: "", count: 0, rise: spec.rise };
    let (parts, side) = if open {
        let (first, last) = (at[0], at[at.len() - 1]);
        if (first.1 - last.1).abs() > SAME {
            let what = "a curve on an open wall that comes to its sides at unlike heights";
            return Err(errors::not_built_yet(what, last.2.span).into());
        }
        // From the outer spots it goes on level to the sides.
        let seam = walk.rule(walk.ends().0);
        let side = end.z + end.inward() * first.1 / super::way(&seam);
        let (from, to) = leaves(&walk, end.seam, side, end.neutral);
        let (start, stop) = (along(from), along(to));
        if let Some(past) = at.iter().find(|a| a.0 < start - 1e-6 || a.0 > stop + 1e-6) {
            return Err(errors::faces_past_the_sides(&spec.name, false, past.2.span).into());
        }
        let level = Form::Line { at: first.0, fall: first.1, slope: 0.0 };
        let mut parts = vec![Part { from: start, to: first.0.max(start), form: level }];
        parts.extend(cubics(&at.iter().map(|a| (a.0, a.1)).collect::<Vec<_>>(), None));
        parts.push(Part { from: last.0.min(stop), to: stop, form: level });
        parts.retain(|p| p.to - p.from > 1e-6);
        (beside(parts, (start, stop), around, first.1), side)
    } else {
        let parts = cubics(&at.iter().map(|a| (a.0, a.1)).collect::<Vec<_>>(), Some(around));
        (wrapped(&parts, around), end.z)
    };
    let parts = merged(parts);
    let breaks = figure::breaks(&walk, end.z, &parts);
    Ok((Figure { falls: end.upper, z: end.z, down: 0.0, side, parts, breaks, named }, crest))
}

/// The cubics between points in order; of a line that comes round again after `around` the last leads on to the first.
fn cubics(points: &[(f64, f64)], around: Option<f64>) -> Vec<Part> {
    let n = points.len();
    let steps = if around.is_some() { n } else { n - 1 };
    let step = |i: usize| {
        let (a, b) = (points[i % n], points[(i + 1) % n]);
        let wide = if i % n + 1 < n { b.0 - a.0 } else { b.0 + around.unwrap_or(0.0) - a.0 };
        (wide, (b.1 - a.1) / wide)
    };
    // At an end of an open one it is level, as it goes on.
    let slope = |i: usize| {
        if around.is_none() && (i == 0 || i == n - 1) {
            return 0.0;
        }
        let ((before, a), (after, b)) = (step((i + n - 1) % n), step(i % n));
        if a * b <= 0.0 {
            return 0.0;
        }
        let (u, v) = (2.0 * after + before, after + 2.0 * before);
        (u + v) / (u / a + v / b)
    };
    let one = |i: usize| {
        let (from, fall) = points[i];
        let (wide, secant) = step(i);
        let (a, b) = (slope(i), slope((i + 1) % n));
        let form = if secant == 0.0 {
            Form::Line { at: from, fall, slope: 0.0 }
        } else {
            let rates = [a, (3.0 * secant - 2.0 * a - b) / wide, (a + b - 2.0 * secant) / (wide * wide)];
            Form::Cubic { at: from, fall, rates }
        };
        Part { from, to: from + wide, form }
    };
    (0..steps).map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_goes_through_its_spots_smoothly_and_never_past_them() {
        // Through (0, 0), (10, 4), (30, 4), (45, 20), round again after 60. The slope at 45 is nothing, it turns over
        // there; that at 0 too; and by scipy.interpolate.PchipInterpolator of the same points laid out twice.
        let points = [(0.0, 0.0), (10.0, 4.0), (30.0, 4.0), (45.0, 20.0)];
        let parts = cubics(&points, Some(60.0));
        assert_eq!(parts.len(), 4);
        for (i, p) in parts.iter().enumerate() {
            let next = &parts[(i + 1) % 4];
            let ((y, dy), (z, dz)) = (p.form.fall(p.to), next.form.fall(next.from));
            assert!((y - z).abs() < 1e-12 && (dy - dz).abs() < 1e-12, "{i}");
            assert!((p.form.fall(p.from).0 - points[i].1).abs() < 1e-12);
            let (low, high) = (points[i].1.min(y), points[i].1.max(y));
            for k in 0..=50 {
                let y = p.form.fall(p.from + (p.to - p.from) * f64::from(k) / 50.0).0;
                assert!(y >= low - 1e-12 && y <= high + 1e-12, "{i} {k}: {y}");
            }
        }
        // Of three that rise by unlike steps the weighted harmonic mean: h 10 and 20, slopes 0.4 and 0.8.
        let parts = cubics(&[(0.0, 0.0), (10.0, 4.0), (30.0, 20.0)], None);
        let asked = (50.0 + 40.0) / (50.0 / 0.4 + 40.0 / 0.8);
        assert!((parts[1].form.fall(10.0).1 - asked).abs() < 1e-12);
    }
}
