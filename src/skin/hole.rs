//! What a hole takes away: its area at any depth and where that lies.

use super::{Depths, Skin, along, run};
use crate::geom::path::{Path, Seg};
use crate::geom::unroll::{Laid, Unrolled};
use crate::geom::walk::Place;
use crate::geom::{Vec2, Vec3};
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
    Outline { flat, at, level: hole.z, centre, x: laid.tau, y: laid.nu }.skin(middle, &hole.outline)
}

/// What lies within an outline on the flat, near a place; whichever way the outline runs.
pub(super) fn cut_out(flat: &Unrolled<'_>, near: Place, outline: &Path, at: Depths) -> Skin {
    let level = flat.walk().strip().heights().0;
    let skin = Outline { flat, at, level, centre: Vec2::ZERO, x: Vec2::X, y: Vec2::Y }.skin(near, outline);
    if skin.area < 0.0 { skin.scaled(-1.0) } else { skin }
}

/// An outline on the flat, drawn in a frame of its own.
///
/// With `t` the share of the walk and `z` the height, the element of the surface is `E dt dz`, and what one rule holds
/// from a fixed level up to `z` is known in closed form (`along`, `G`): so by Green's theorem `∫∫ E dt dz = −∮ G dt`, and
/// only the outline's own points are looked for on the flat. A step `dp` of the outline passes `dt = dp × r / (p_t × r)`
/// of the walk, `r` the rule's way for one of height and `p_t × r` the element of the flat itself.
struct Outline<'a> {
    flat: &'a Unrolled<'a>,
    at: Depths,
    /// Any height: what rules hold is counted from here.
    level: f64,
    centre: Vec2,
    x: Vec2,
    y: Vec2,
}

/// A point of the flat on its rule.
#[derive(Clone, Copy)]
struct Found {
    place: Place,
    laid: Laid,
    z: f64,
    /// The element of the flat there, `p_t × r`.
    element: f64,
}

/// How far a stretch of an outline may go round the wall: as a share of a leg, and as an angle of the normal.
const SHARE: f64 = 0.25;
const TURN: f64 = 0.25;

impl Outline<'_> {
    fn skin(&self, near: Place, outline: &Path) -> Skin {
        let mut sum = [0.0; 4];
        let mut last = near;
        for seg in &outline.segs {
            // Arcs in parts of an eighth of a turn at most.
            let parts = (seg.sweep().abs() / (0.25 * num::PI)).ceil().max(1.0);
            let mut from = self.find(seg, 0.0, last);
            let mut i = 0.0;
            while i < parts {
                let to = self.find(seg, (i + 1.0) / parts, from.place);
                self.stretch(seg, (i / parts, from.place), ((i + 1.0) / parts, to.place), 0, &mut sum);
                from = to;
                i += 1.0;
            }
            last = from.place;
        }
        let [area, x, y, z] = sum;
        // What is cut out of the neutral surface is what was drawn.
        let area = if self.at.area == self.at.neutral { outline.area() } else { area };
        Skin { area, moment: Vec3::new(x, y, z) }
    }

    /// Adds `−∫ G dt` along a part of a segment between two shares with their places. It is divided where it comes from
    /// one leg to another, and where it goes far round.
    fn stretch(&self, seg: &Seg, a: (f64, Place), b: (f64, Place), halved: u32, sum: &mut [f64; 4]) {
        let walk = self.flat.walk();
        if a.1.leg != b.1.leg {
            // From the end of this leg on towards the other place.
            let (end, next) = if a.1.leg < b.1.leg {
                (Place { leg: a.1.leg, t: 1.0 }, Place { leg: a.1.leg + 1, t: 0.0 })
            } else {
                (Place { leg: a.1.leg, t: 0.0 }, Place { leg: a.1.leg - 1, t: 1.0 })
            };
            let rule = self.flat.at(end);
            let off = |share: f64| (self.put(seg.at(share)) - rule.foot).perp_dot(rule.rise);
            let share = num::root(a.0, b.0, 1e-12, off).unwrap_or(a.0);
            self.stretch(seg, a, (share, end), halved, sum);
            self.stretch(seg, (share, next), b, halved, sum);
            return;
        }
        let turned = (walk.normal(b.1) - walk.normal(a.1)).abs();
        if halved < 12 && ((b.1.t - a.1.t).abs() > SHARE || turned > TURN) {
            let share = 0.5 * (a.0 + b.0);
            let middle = (share, self.find(seg, share, a.1).place);
            self.stretch(seg, a, middle, halved + 1, sum);
            self.stretch(seg, middle, b, halved + 1, sum);
            return;
        }
        let mut near = a.1;
        for (x, w) in GAUSS4 {
            let share = a.0 + (b.0 - a.0) * x;
            let found = self.find(seg, share, near);
            near = found.place;
            let step = self.turned(seg.direction(share)) * (seg.length() * w * (b.0 - a.0));
            let passed = step.perp_dot(found.laid.rise) / (found.laid.rule.rise() * found.element);
            if !passed.is_finite() {
                continue;
            }
            let below = along(walk, found.place, &found.laid.rule, (self.level, found.z), self.at);
            for (sum, one) in sum.iter_mut().zip(below) {
                *sum -= one * passed;
            }
        }
    }

    fn turned(&self, v: Vec2) -> Vec2 {
        self.x * v.x + self.y * v.y
    }

    fn put(&self, p: Vec2) -> Vec2 {
        self.centre + self.turned(p)
    }

    /// Where a segment's point lies on the flat: from a place near it by Newton's steps, which the element of the flat
    /// gives; where they lead nowhere, by looking outwards from there.
    fn find(&self, seg: &Seg, share: f64, near: Place) -> Found {
        let p = self.put(seg.at(share));
        let last = self.flat.walk().legs().len() - 1;
        let mut place = near;
        for _ in 0..16 {
            let found = self.found(place, p);
            let step = (p - found.laid.foot).perp_dot(found.laid.rise) / (found.laid.rule.rise() * found.element);
            if !step.is_finite() || found.element <= 0.0 {
                break;
            }
            if step.abs() < 1e-10 {
                return found;
            }
            let t = place.t + step;
            place = match place {
                // Past the walk's own ends lies nothing.
                Place { leg: 0, t: 0.0 } if step < 0.0 => return found,
                Place { leg, t: 1.0 } if step > 0.0 && leg == last => return found,
                Place { leg, .. } if t < 0.0 && leg > 0 => Place { leg: leg - 1, t: 1.0 },
                Place { leg, .. } if t > 1.0 && leg < last => Place { leg: leg + 1, t: 0.0 },
                Place { leg, .. } => Place { leg, t: t.clamp(0.0, 1.0) },
            };
        }
        self.found(facing(self.flat, near, p), p)
    }

    fn found(&self, place: Place, p: Vec2) -> Found {
        let laid = self.flat.at(place);
        let z = laid.rule.z0 + laid.rule.rise() * (p - laid.foot).dot(laid.rise) / laid.rise.length_squared();
        let element = run(self.flat.walk(), place, &laid.rule, z, self.at.neutral) * laid.rule.secant();
        Found { place, laid, z, element }
    }
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
