//! The tongues of a row of scallops: how many there are, how tall, and that they can be cut and hang from something.

use super::super::super::{Shaper, errors};
use super::Laid;
use crate::eval::Stop;
use crate::geom::rim::Rim;
use crate::geom::scallop;
use crate::num;
use crate::skin::{cuts, height, laid as unrolled, leaves, walks};
use crate::solid::{Scallops, Wall};

/// Height of a tongue as a share of its width, where none is given: a radius of five eighths of the width, and a notch
/// of 74 degrees, which a blade and a needle get into.
const RISE: f64 = 0.25;
/// The tallest tongue, as a share of its width: the notch is 25 degrees then.
const TALLEST: f64 = 0.4;
/// What is left between the notches and the strip's other edge, mm: to be glued or sewn down (common practice, no
/// source).
const LEFT: f64 = 3.0;
/// The narrowest tongue that is cut cleanly, mm, and in kerfs or in a trailing tip's offsets (common practice, no
/// source).
const NARROWEST: f64 = 5.0;
const KERFS: f64 = 8.0;
/// More than anyone cuts in a row.
const MOST: f64 = 1000.0;

/// The tongues along one rim of a strip whose neutral surface lies at this depth.
pub(super) fn of(
    shaper: &Shaper<'_>,
    laid: &Laid<'_>,
    wall: &Wall,
    neutral: f64,
    upper: bool,
) -> Result<Scallops, Stop> {
    let spec = laid.spec;
    let index = if upper { wall.rings.len() - 1 } else { 0 };
    let ring = &wall.rings[index];
    let (low_cut, up_cut) = cuts(wall, ring);
    let walks = walks(wall, ring);
    let flats = unrolled(&walks, neutral);
    let (flat, cut) = if upper { (&flats[flats.len() - 1], &up_cut) } else { (&flats[0], &low_cut) };
    let rim = Rim::new(flat, cut);
    let ends = leaves(flat.walk(), wall.seam, height(cut), neutral);
    let long = rim.length(ends.0, ends.1, neutral);
    let least = if laid.skin.is_open() { 1.0 } else { 2.0 };
    let count = (long / spec.every).round().max(least);
    let pitch = long / count;
    let narrowest = shaper.solid.job.cutter.as_ref().map_or(0.0, |c| KERFS * c.kerf.max(c.offset)).max(NARROWEST);
    if pitch < narrowest {
        return Err(errors::borders::scallops_too_small(laid.name, pitch, narrowest, spec.every_span).into());
    }
    if count > MOST {
        return Err(errors::borders::too_many_scallops(laid.name, count, long / MOST, spec.every_span).into());
    }
    let rise = spec.tongue.unwrap_or(RISE * pitch);
    if rise > TALLEST * pitch + 1e-9 {
        return Err(errors::borders::scallops_too_steep(
            laid.name,
            rise,
            (pitch, TALLEST),
            (long, false),
            spec.rise_span,
        )
        .into());
    }
    if rise > spec.wide - LEFT + 1e-9 {
        let span = spec.wide_span;
        return Err(errors::borders::scallops_leave_no_strip(laid.name, rise, spec.wide, LEFT, span).into());
    }
    if let Some(figure) = wall.figure(upper) {
        let lacks = |wide: f64| figure.narrowest(wide - rise) - LEFT;
        if lacks(spec.wide) < -1e-9 {
            let least = num::root(spec.wide, spec.wide + figure.named.rise + LEFT, 1e-3, lacks);
            let left = least.map_or(LEFT, |wide| wide - rise);
            let span = spec.wide_span;
            return Err(errors::borders::scallops_leave_no_strip(laid.name, rise, spec.wide, left, span).into());
        }
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most a thousand")]
    let count = count as usize;
    // Within one flat strip: beyond a station generatrices turn, and beyond a knee the flat ends.
    let of_rise = |rise: f64| scallop::row(&rim, ends, None, scallop::Wanted { upper, count, rise });
    let row = of_rise(rise);
    if row.meets_itself() {
        // In tenths: the tallest that do not.
        let (mut fits, mut meets) = (0.0, rise);
        while meets - fits > 0.1 {
            let middle = 0.5 * (fits + meets);
            if of_rise(middle).meets_itself() { meets = middle } else { fits = middle }
        }
        return Err(errors::borders::scallops_meet(laid.name, rise, fits, spec.rise_span).into());
    }
    let shortest = row.places.iter().map(|p| flat.at(*p).rise.length()).fold(f64::INFINITY, f64::min);
    if rise > shortest - LEFT {
        return Err(errors::borders::scallops_over_a_knee(laid.name, rise, shortest, spec.wide_span).into());
    }
    Ok(Scallops { upper, count, rise })
}
