//! Beads on a wire: hanging down, or hung between two places.

use super::ground::Found;
use super::{Fitter, circle};
use crate::design::Face;
use crate::eval::Stop;
use crate::fitted::{GoodsOf, Supply};
use crate::geom::Vec3;
use crate::num;
use crate::shape::errors;

/// The mark where a wire goes through, mm across.
const THROUGH: f64 = 3.0;
/// Spare wire at each end, to tie, mm (common practice, no source).
const TIE: f64 = 30.0;
/// Points along a hanging wire, for the eye.
const POINTS: usize = 32;

/// A wire that hangs freely between two places at one height: `y = a cosh(x / a)`, the chain's own curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hung {
    a: f64,
    half: f64,
}

impl Hung {
    /// With its ends `wide` apart and its middle `sag` below them.
    pub(super) fn new(wide: f64, sag: f64) -> Option<Self> {
        let half = 0.5 * wide;
        // The sag falls as `a` grows. It is about `half² / 2a` of a flat chain and less than the arms of a deep one.
        // cosh x − 1 = 2 sinh² (x / 2), without the loss of a difference.
        let drop = |a: f64| 2.0 * a * num::sinh(0.5 * half / a) * num::sinh(0.5 * half / a);
        let mut low = half * 1e-3;
        while drop(low) < sag {
            low *= 0.5;
            if half / low > 600.0 {
                return None;
            }
        }
        let mut high = (half * half / sag).max(2.0 * low);
        while drop(high) > sag {
            high *= 2.0;
        }
        let a = num::bisect(low, high, 1e-12 * high, |a| drop(a) - sag)?;
        Some(Self { a, half })
    }

    /// Its length.
    pub(super) fn long(&self) -> f64 {
        2.0 * self.a * num::sinh(self.half / self.a)
    }

    /// The place a length `s` from its left end: along the chord from its middle, and above the ends (below: less
    /// than nothing).
    pub(super) fn at(&self, s: f64) -> (f64, f64) {
        let x = self.a * num::asinh((s - 0.5 * self.long()) / self.a);
        let part = |x: f64| num::sinh(0.5 * x / self.a);
        (x, 2.0 * self.a * part(x + self.half) * part(x - self.half))
    }
}

/// The beads and the wire of a strung thing.
fn strung(fitter: &mut Fitter<'_, '_>) -> Result<((usize, Supply), f64, GoodsOf), Stop> {
    let (supply, own) = fitter.supply("beads")?;
    let across = fitter.size(&own, "across", own.across)?;
    let wire = fitter.spec.wire.clone().ok_or(Stop::Skip)?;
    let (wire, _) = fitter.named(&wire, &["wire", "cord", "lace", "elastic"], fitter.spec.wire_span)?;
    Ok(((supply, own), across, GoodsOf::Supply(wire)))
}

/// How many beads fit on a length, gaps between them.
fn count(long: f64, across: f64, gap: f64) -> usize {
    // A bead that fits exactly is not lost to rounding; lengths and beads are bounded by the schema.
    let n = ((long + gap) / (across + gap) + 1e-9).floor().max(0.0);
    n as usize
}

pub(super) fn drop(fitter: &mut Fitter<'_, '_>, found: &[Found]) -> Result<(), Stop> {
    let ((supply, own), across, wire) = strung(fitter)?;
    let long = fitter.spec.long.ok_or(Stop::Skip)?;
    let gap = fitter.spec.gap;
    let n = count(long, across, gap);
    if n == 0 {
        return Err(errors::no_bead_fits(&own.name, across, long, fitter.spec.head).into());
    }
    fitter.spots(found, Face::Outside, &circle(THROUGH));
    let down = -Vec3::Z;
    let mut at = Vec::new();
    for f in found {
        // Half a bead clear of the wall, straight down.
        let from = f.point(0.0, 0.0, 0.5 * across);
        at.extend((0..n).map(|i| from + down * ((i as f64 + 0.5) * across + i as f64 * gap)));
        fitter.run(format!("{} wire", f.name), wire, vec![from, from + down * long], (long, 2.0 * TIE));
    }
    fitter.lumps(fitter.spec.spread.name.clone(), (supply, &own), at, Some(across + gap));
    Ok(())
}

pub(super) fn swag(fitter: &mut Fitter<'_, '_>, found: &[Found]) -> Result<(), Stop> {
    let ((supply, own), across, wire) = strung(fitter)?;
    let wide = fitter.spec.wide.ok_or(Stop::Skip)?;
    let sag = fitter.spec.sag.ok_or(Stop::Skip)?;
    let hung = Hung::new(wide, sag).ok_or_else(|| Stop::from(errors::hangs_too_deep(wide, sag, fitter.spec.head)))?;
    let (long, gap) = (hung.long(), fitter.spec.gap);
    let n = count(long, across, gap);
    if n == 0 {
        return Err(errors::no_bead_fits(&own.name, across, long, fitter.spec.head).into());
    }
    let mut at = Vec::new();
    for f in found {
        for (side, by) in [("left", -0.5 * wide), ("right", 0.5 * wide)] {
            let end = fitter.site.beside(f, by);
            fitter.spot(format!("{} {side} end", f.name), &end, Face::Outside, &circle(THROUGH));
        }
        // It lies against the wall: along it as far as along its chord, and down it.
        let place = |s: f64| {
            let (x, y) = hung.at(s);
            fitter.site.beside(f, x).point(0.0, y, 0.5 * across)
        };
        let line: Vec<Vec3> = (0..=POINTS).map(|i| place(long * i as f64 / POINTS as f64)).collect();
        // All of them about its middle.
        let first = 0.5 * (long - (n as f64 - 1.0) * (across + gap));
        at.extend((0..n).map(|i| place(first + i as f64 * (across + gap))));
        fitter.run(format!("{} wire", f.name), wire, line, (long, 2.0 * TIE));
    }
    fitter.lumps(fitter.spec.spread.name.clone(), (supply, &own), at, Some(across + gap));
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Width, sag, length: SciPy 1.17.1, `a = brentq(lambda a: a * (cosh(w / 2 / a) - 1) - s, …)`,
    /// `2 * a * sinh(w / 2 / a)`.
    const SCIPY: [(f64, f64, f64); 4] = [
        (120.0, 30.0, 138.09493369033632),
        (200.0, 5.0, 200.3329453610397),
        (80.0, 200.0, 421.3482615962819),
        (300.0, 150.0, 448.7501097485837),
    ];

    #[test]
    fn a_hung_wire_is_as_long_as_a_chain() {
        for (wide, sag, long) in SCIPY {
            let hung = Hung::new(wide, sag).expect("it hangs");
            assert!((hung.long() - long).abs() < 1e-6, "{wide} {sag}: {}", hung.long());
            let ((x0, y0), (x1, y1), (xm, ym)) = (hung.at(0.0), hung.at(long), hung.at(0.5 * long));
            assert!((x0 + 0.5 * wide).abs() < 1e-6 && y0.abs() < 1e-6);
            assert!((x1 - 0.5 * wide).abs() < 1e-6 && y1.abs() < 1e-6);
            assert!(xm.abs() < 1e-9 && (ym + sag).abs() < 1e-6);
        }
    }

    #[test]
    fn beads_are_counted_with_their_gaps_between() {
        assert_eq!(count(80.0, 14.0, 2.0), 5);
        assert_eq!(count(78.0, 14.0, 2.0), 5);
        assert_eq!(count(77.9, 14.0, 2.0), 4);
        assert_eq!(count(13.0, 14.0, 0.0), 0);
    }
}
