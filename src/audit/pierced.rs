//! Holes of plates, measured on the pieces: where they are, how wide, and what gets through them.

use super::claims::Made;
use super::measure;
use super::report::{FIT, Report};
use super::wall::fit;
use crate::geom::Vec2;
use crate::geom::path::Seg;
use crate::num;
use crate::solid::Plate;
use crate::verdict::Check;

/// A hole's middle in its plate, and its widths.
pub(super) fn hole(
    plate: &Plate,
    made: &Made<'_>,
    (hole, centre): (usize, Vec2),
    (across, by): (f64, f64),
    what: &str,
    r: &mut Report,
) -> bool {
    let Some((lo, hi)) = plate.holes.get(hole).and_then(|h| h.outline.bounds()) else { return false };
    let shift = (lo + hi) * 0.5 - centre;
    let mut any = false;
    for piece in &made.plates {
        for h in piece.holes.iter().filter(|h| h.hole == hole) {
            let flat = measure::path_undone(&piece.from_flat, &h.outline);
            let Some((a, b)) = flat.bounds() else { continue };
            // Flat up is the plate's x; flat right its y, or against it when seen from above.
            let right = if plate.show < plate.hidden { 1.0 } else { -1.0 };
            let middle = (a + b) * 0.5;
            let at = Vec2::new(middle.y, right * middle.x);
            let place = format!("{:.3}, {:.3} in the plate", at.x, at.y);
            r.figure(Check::Claim, &format!("{what}, place"), place, (at - centre - shift).length(), FIT);
            fit(r, Check::Claim, &format!("{what}, across"), b.x - a.x, across);
            fit(r, Check::Claim, &format!("{what}, by"), b.y - a.y, by);
            any = true;
        }
    }
    any
}

/// The length of a hole's outline on every layer, and that what has to get through is no longer.
pub(super) fn way(made: &Made<'_>, hole: usize, (narrow, mm): (f64, f64), what: &str, r: &mut Report) -> bool {
    let mut any = false;
    for h in made.plates.iter().flat_map(|piece| piece.holes.iter().filter(|h| h.hole == hole)) {
        let is: f64 = h.outline.segs.iter().map(long).sum();
        fit(r, Check::Claim, what, is, narrow);
        r.figure(Check::Claim, what, format!("{is:.3} mm for {mm:.3}"), (mm - is).max(0.0), FIT);
        any = true;
    }
    any
}

/// A chord, or the arc over it: a bulge is the tangent of a quarter of what it turns.
fn long(seg: &Seg) -> f64 {
    let chord = (seg.b - seg.a).length();
    let quarter = num::atan2(seg.bulge.abs(), 1.0);
    if quarter < 1e-9 { chord } else { chord * 2.0 * quarter / num::sin(2.0 * quarter) }
}
