//! What a hole takes away: its area at any depth and where that lies.

use super::{Depths, Skin};
use crate::geom::path::Path;
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Leg, Place};
use crate::geom::{Vec2, Vec3, parallel};
use crate::num;
use crate::solid::Hole;

/// Four places of the Gauss-Legendre rule on [0, 1] and their weights (Abramowitz & Stegun 1964, table 25.4).
const GAUSS4: [(f64, f64); 4] = [
    (0.069_431_844_202_973_71, 0.173_927_422_568_726_93),
    (0.330_009_478_207_571_87, 0.326_072_577_431_273_07),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_07),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_93),
];

/// The integral of `f` over what an outline encloses: the fan from the middle of its box, `∫ f = ∮ (∫₀¹ f(s r) s ds) r × dr`, which
/// holds for any outline since what is passed over twice cancels.
fn over<const N: usize>(outline: &Path, f: impl Fn(Vec2) -> [f64; N]) -> [f64; N] {
    let mut out = [0.0; N];
    let Some((low, high)) = outline.bounds() else { return out };
    let hub = 0.5 * (low + high);
    for seg in &outline.segs {
        // Arcs in parts of an eighth of a turn at most.
        let parts = (seg.sweep().abs() / (0.25 * num::PI)).ceil().max(1.0);
        let mut i = 0.0;
        while i < parts {
            for (x, w) in GAUSS4 {
                let share = (i + x) / parts;
                let (p, step) = (seg.at(share), seg.direction(share) * (seg.length() * w / parts));
                let fan = (p - hub).perp_dot(step);
                for (s, v) in GAUSS4 {
                    let value = f(hub + (p - hub) * s);
                    for (sum, one) in out.iter_mut().zip(value) {
                        *sum += one * s * v * fan;
                    }
                }
            }
            i += 1.0;
        }
    }
    out
}

/// Area and first moment of a flat outline.
pub(super) fn flat(outline: &Path) -> (f64, Vec2) {
    let [area, x, y] = over(outline, |p| [1.0, p.x, p.y]);
    (area, Vec2::new(x, y))
}

/// A hole of a wall, on the unrolled strip its centre lies on.
pub(super) fn of_wall(flat: &Unrolled<'_>, hole: &Hole, at: Depths) -> Skin {
    let walk = flat.walk();
    let Some(middle) = walk.find(&hole.rule) else { return Skin::default() };
    let laid = flat.at(middle);
    let rule = laid.rule;
    let centre = laid.point((hole.z - rule.z0 - at.neutral * rule.sine()) / rule.rise());
    on_flat(flat, middle, &hole.outline, |p| centre + laid.tau * p.x + laid.nu * p.y, at)
}

/// What lies within an outline on the flat, near a place; whichever way the outline runs.
pub(super) fn cut_out(flat: &Unrolled<'_>, near: Place, outline: &Path, at: Depths) -> Skin {
    let skin = on_flat(flat, near, outline, |p| p, at);
    if skin.area < 0.0 { skin.scaled(-1.0) } else { skin }
}

fn on_flat(flat: &Unrolled<'_>, near: Place, outline: &Path, laid: impl Fn(Vec2) -> Vec2, at: Depths) -> Skin {
    let walk = flat.walk();
    let [area, x, y, z] = over(outline, |p| {
        let p = laid(p);
        let place = facing(flat, near, p);
        let there = flat.at(place);
        let rule = there.rule;
        let z = rule.z0 + rule.rise() * (p - there.foot).dot(there.rise) / there.rise.length_squared();
        let bend = match walk.legs()[place.leg] {
            Leg::Side { .. } => f64::INFINITY,
            Leg::Turn { .. } => parallel::bend(walk, place, z, at.neutral),
        };
        let grown = 1.0 + (at.area - at.neutral) / bend;
        let grown = if grown.is_finite() { grown } else { 1.0 };
        let p = rule.point(z - (at.point - at.neutral) * rule.sine(), at.point);
        [grown, grown * p.x, grown * p.y, grown * p.z]
    });
    Skin { area, moment: Vec3::new(x, y, z) }
}

/// The place whose rule passes through a point of the flat, looked for from `near` outwards.
fn facing(flat: &Unrolled<'_>, near: Place, p: Vec2) -> Place {
    let legs = flat.walk().legs().len() as f64;
    let place = |g: f64| {
        let leg = g.floor().clamp(0.0, legs - 1.0);
        Place { leg: leg as usize, t: (g - leg).clamp(0.0, 1.0) }
    };
    // Positive while the point lies further round than the rule.
    let ahead = |g: f64| {
        let laid = flat.at(place(g));
        -laid.rise.perp_dot(p - laid.foot)
    };
    let here = near.leg as f64 + near.t;
    let sign = ahead(here);
    let (mut last, mut reach) = (here, 1.0 / 64.0);
    while reach < 2.0 * legs {
        let next = if sign > 0.0 { (here + reach).min(legs) } else { (here - reach).max(0.0) };
        if (ahead(next) > 0.0) != (sign > 0.0) {
            let (a, b) = (last.min(next), last.max(next));
            return num::root(a, b, 1e-12, ahead).map_or(near, place);
        }
        if next <= 0.0 || next >= legs {
            return place(next);
        }
        last = next;
        reach *= 2.0;
    }
    near
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::path::Seg;

    #[test]
    fn a_half_disc_has_the_area_and_the_middle_of_the_handbook() {
        // Middle of a half disc 4 r / (3 π) from its diameter (any table of plane figures).
        let r = 6.0;
        let half = Path {
            segs: vec![
                Seg::line(Vec2::new(-r, 0.0), Vec2::new(r, 0.0)),
                Seg { a: Vec2::new(r, 0.0), b: Vec2::new(-r, 0.0), bulge: 1.0 },
            ],
        };
        let (area, moment) = flat(&half);
        assert!((area - 0.5 * num::PI * r * r).abs() < 1e-6, "{area}");
        assert!((moment.y / area - 4.0 * r / (3.0 * num::PI)).abs() < 1e-6);
        assert!((moment.x / area).abs() < 1e-9);
    }
}
