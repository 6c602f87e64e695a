//! What can be measured on a wall: lengths, widths and areas of its parallel surfaces, by support functions (see
//! `geom::strip` for the formulas). `z` is the height on the wall's axis, `d` the depth from the measured face,
//! outward positive; millimetres.

use crate::geom::section::integral;
use crate::geom::strip::{Rule, Strip};
use crate::num::{self, PI, TAU};

/// A rule and the straight side it may lie on: the last rule before the side and the first after it, alike when
/// there is no side.
pub(super) fn rules_at(strip: &Strip, phi: f64) -> Option<(Rule, Rule)> {
    let stretches = strip.stretches();
    let mut best: Option<(Rule, Rule, f64)> = None;
    for (i, s) in stretches.iter().enumerate() {
        if s.to < s.from {
            continue;
        }
        let at = phi + ((s.from - phi - 1e-12) / TAU).ceil() * TAU;
        if at > s.to + 1e-12 {
            continue;
        }
        let at = at.clamp(s.from, s.to);
        let here = strip.rule(i, at);
        let before = if at - s.from <= 1e-12 {
            let j = (i + stretches.len() - 1) % stretches.len();
            strip.rule(j, stretches[j].to)
        } else {
            here
        };
        let after = if s.to - at <= 1e-12 {
            let j = (i + 1) % stretches.len();
            strip.rule(j, stretches[j].from)
        } else {
            here
        };
        let reach = here.h0 + here.h1;
        if best.is_none_or(|b| reach > b.2 + 1e-9) {
            best = Some((before, after, reach));
        }
    }
    best.map(|(a, b, _)| (Rule { phi, ..a }, Rule { phi, ..b }))
}

/// The rule that faces `phi`: on a straight side its middle.
pub(super) fn facing(strip: &Strip, phi: f64) -> Option<Rule> {
    rules_at(strip, phi).map(|(a, b)| a.between(&b, 0.5))
}

/// Length of the wall along a rule, from plane to plane.
pub(super) fn slant(rule: &Rule) -> f64 {
    let (h, k) = (rule.h1 - rule.h0, rule.k1 - rule.k0);
    (rule.rise() * rule.rise() + h * h + k * k).sqrt()
}

/// Girth of the parallel at depth `d`, cut at height `z`: `∮ h dφ`, since the jumps of `k` cancel round a closed
/// section.
pub(super) fn girth(strip: &Strip, z: f64, d: f64) -> f64 {
    let part = |(i, s): (usize, &crate::geom::strip::Stretch)| {
        integral(s.from, s.to, |phi| strip.rule(i, phi).support_at(z, d).0)
    };
    strip.stretches().iter().enumerate().map(part).collect::<num::Sum>().value()
}

/// Full width along `direction` of the parallel at depth `d`, cut at height `z`.
pub(super) fn width(strip: &Strip, z: f64, d: f64, direction: f64) -> f64 {
    let reach = |phi: f64| rules_at(strip, phi).map_or(0.0, |(a, _)| a.support_at(z, d).0);
    reach(direction) + reach(direction + PI)
}

/// Area of the parallel at depth `d` between heights `from` and `to` (of this strip's planes or beyond them on the
/// same rules): `∫∮ sec α ds dz`, and `∮ ρ sec α dφ` with all sides is `∮ h sec α − k (sec α)' dφ` by parts, since the
/// boundary terms cancel round a closed section.
pub(super) fn area(strip: &Strip, from: f64, to: f64, d: f64) -> f64 {
    let part = |(i, s): (usize, &crate::geom::strip::Stretch)| {
        integral(s.from, s.to, |phi| {
            let r = strip.rule(i, phi);
            let ((h0, k0), (h1, k1)) = (r.support_at(from, d), r.support_at(to, d));
            (h0 + h1) * r.secant() - (k0 + k1) * r.secant_turn()
        })
    };
    0.5 * (to - from) * strip.stretches().iter().enumerate().map(part).collect::<num::Sum>().value()
}

/// Area that the parallel at depth `d` encloses in the plane at height `z`: half of `∮ h ds` with `ds = dk + h dφ`,
/// which is `½ ∮ (h² − k²) dφ` for a closed section, plus `½ [h k]` over the jumps, which cancel by parts.
pub(super) fn enclosed(strip: &Strip, z: f64, d: f64) -> f64 {
    let part = |(i, s): (usize, &crate::geom::strip::Stretch)| {
        integral(s.from, s.to, |phi| {
            let (h, k) = strip.rule(i, phi).support_at(z, d);
            h * h - k * k
        })
    };
    0.5 * strip.stretches().iter().enumerate().map(part).collect::<num::Sum>().value()
}

/// Arc length of the parallel at depth `d` and height `z` from the strip's first rule to `phi`, sides included;
/// begun in the middle of a side when one lies there.
pub(super) fn along(strip: &Strip, z: f64, d: f64, phi: f64) -> f64 {
    let stretches = strip.stretches();
    let start = stretches[0].from;
    let phi = start + num::wrap(phi - start, TAU);
    if phi - start < 1e-12 {
        return 0.0;
    }
    let at = |i: usize, p: f64| strip.rule(i, p).support_at(z, d).1;
    let last = stretches.len() - 1;
    let mut sum = num::Sum::new();
    sum.add(0.5 * (at(0, start) - at(last, stretches[last].to)));
    for (i, s) in stretches.iter().enumerate() {
        let to = s.to.min(phi).max(s.from);
        // The arc itself: ds = dk + h dφ.
        sum.add(integral(s.from, to, |p| strip.rule(i, p).support_at(z, d).0));
        sum.add(at(i, to) - at(i, s.from));
        if phi <= s.to + 1e-12 {
            if phi >= s.to - 1e-12 && i < last {
                sum.add(0.5 * (at(i + 1, stretches[i + 1].from) - at(i, s.to)));
            }
            break;
        }
        if i < last {
            sum.add(at(i + 1, stretches[i + 1].from) - at(i, s.to));
        }
    }
    sum.value()
}

/// [`along`] to a rule that may lie anywhere on a straight side.
pub(super) fn along_to(strip: &Strip, z: f64, d: f64, rule: &Rule) -> f64 {
    let middle = facing(strip, rule.phi).map_or(0.0, |r| r.support_at(z, d).1);
    let here = along(strip, z, d, rule.phi) + rule.support_at(z, d).1 - middle;
    if here < 0.0 { here + girth(strip, z, d) } else { here }
}

/// Area of the parallel at depth `d` between the strip's planes and the rules that face `from` and `to` (`from` below
/// `to`, at most a turn apart); half of a side that lies on either counts.
pub(super) fn area_between(strip: &Strip, d: f64, from: f64, to: f64) -> f64 {
    let (z0, z1) = strip.heights();
    let end = |phi: f64| {
        facing(strip, phi).map_or(0.0, |r| {
            let (k0, k1) = (r.support_at(z0, d).1, r.support_at(z1, d).1);
            (k0 + k1) * r.secant()
        })
    };
    let mut sum = num::Sum::new();
    sum.add(end(to) - end(from));
    for (i, s) in strip.stretches().iter().enumerate() {
        for turn in -2..=2 {
            let by = f64::from(turn) * TAU;
            let (a, b) = ((s.from + by).max(from), (s.to + by).min(to));
            if b > a {
                sum.add(integral(a, b, |phi| {
                    let r = strip.rule(i, phi);
                    let ((h0, k0), (h1, k1)) = (r.support_at(z0, d), r.support_at(z1, d));
                    (h0 + h1) * r.secant() - (k0 + k1) * r.secant_turn()
                }));
            }
        }
    }
    0.5 * (z1 - z0) * sum.value()
}

/// The rule a length `s` along that parallel from its start, the other way about.
pub(super) fn rule_along(strip: &Strip, z: f64, d: f64, s: f64) -> Rule {
    let stretches = strip.stretches();
    let at = |i: usize, p: f64| strip.rule(i, p).support_at(z, d).1;
    let last = stretches.len() - 1;
    let mut left = s;
    let seam = (strip.rule(last, stretches[last].to), strip.rule(0, stretches[0].from));
    let (seam_end, seam_start) = (Rule { phi: seam.1.phi, ..seam.0 }, seam.1);
    let half = 0.5 * (at(0, stretches[0].from) - at(last, stretches[last].to));
    if left <= half {
        let share = if half > 0.0 { 0.5 + 0.5 * left / half } else { 0.5 };
        return seam_end.between(&seam_start, share);
    }
    left -= half;
    for (i, st) in stretches.iter().enumerate() {
        let length = |p: f64| integral(st.from, p, |q| strip.rule(i, q).support_at(z, d).0) + at(i, p) - at(i, st.from);
        let whole = length(st.to);
        if left <= whole && whole > 0.0 {
            let phi = num::bisect(st.from, st.to, 1e-12, |p| length(p) - left).unwrap_or(st.to);
            return strip.rule(i, phi);
        }
        left -= whole;
        if i < last {
            let side = at(i + 1, stretches[i + 1].from) - at(i, st.to);
            if left <= side && side > 0.0 {
                return strip.rule(i, st.to).between(&strip.rule(i + 1, stretches[i + 1].from), left / side);
            }
            left -= side;
        }
    }
    let share = if half > 0.0 { (0.5 * left / half).min(0.5) } else { 0.5 };
    seam_end.between(&seam_start, share)
}

/// Radius of the section of the parallel at depth `d` on a rule, at both planes, and how it grows with depth:
/// `ρ_d = ρ + d (sec α + (sec α)'')`. With `u = tan α`, `(sec α)'' = u'²/sec³ α + u u''/sec α`.
pub(super) fn radii(strip: &Strip, stretch: usize, phi: f64) -> Radii {
    let s = &strip.stretches()[stretch];
    let r = strip.rule(stretch, phi);
    let (lower, upper) = (s.lower.radius(phi), s.upper.radius(phi));
    let (u, sec, rise) = (r.flare(), r.secant(), r.rise());
    let turn = (r.k1 - r.k0) / rise;
    // u'' = (h1'' − h0'')/H and h'' = ρ − h. Where an oval fuller than an ellipse is flat both radii are infinite,
    // and more room does not matter.
    let bend = ((upper - r.h1) - (lower - r.h0)) / rise;
    let bend = if bend.is_finite() { bend } else { 0.0 };
    Radii { lower, upper, per_depth: sec + turn * turn / (sec * sec * sec) + u * bend / sec }
}

/// See [`radii`].
#[derive(Clone, Copy, Debug)]
pub(super) struct Radii {
    pub lower: f64,
    pub upper: f64,
    pub per_depth: f64,
}

/// The mean inside radius of the bend of a wall at half its height: that of the round tube of the same inside girth
/// there, times the mean `sec α`, since a cone is bent about its own slant.
pub(super) fn mean_bend(strips: &[Strip], inner: f64) -> f64 {
    let (mut sum, mut rise) = (0.0, 0.0);
    for s in strips {
        let (z0, z1) = s.heights();
        let mid = 0.5 * (z0 + z1);
        let n = 64;
        let sec: f64 =
            (0..n).filter_map(|i| facing(s, TAU * f64::from(i) / f64::from(n))).map(|r| r.secant()).sum::<f64>()
                / f64::from(n);
        sum += (z1 - z0) * girth(s, mid, inner) / TAU * sec;
        rise += z1 - z0;
    }
    if rise > 0.0 { sum / rise } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;

    /// The flag case (FC1): ovals 105 by 70 and 420 round at 3:2, 385 apart, foam 5, measured on the outside.
    fn flag_case() -> Strip {
        let lower = Section::oval(35.0, 52.5, 2.0);
        let scale = 420.0 / Section::oval(0.5, 0.75, 2.0).girth();
        let upper = Section::oval(0.5 * scale, 0.75 * scale, 2.0);
        Strip::new(&lower, 0.0, &upper, 385.0).expect("a wall").begun_at(PI).expect("convex")
    }

    #[test]
    fn girths_and_area_of_the_flag_case() {
        // Own figures worked by hand for the flag case (FC1).
        let s = flag_case();
        for (z, d, want) in [
            (0.0, 0.0, 277.6452),
            (0.0, -2.5, 261.9095),
            (0.0, -5.0, 246.1739),
            (385.0, 0.0, 420.0),
            (385.0, -2.5, 404.2643),
            (385.0, -5.0, 388.5287),
        ] {
            assert!((girth(&s, z, d) - want).abs() < 5e-5, "{z} {d}: {}", girth(&s, z, d));
        }
        let neutral = area(&s, 0.0, 385.0, -2.5);
        assert!((neutral - 128_437.73).abs() < 5e-3, "{neutral}");
    }

    #[test]
    fn inside_axes_of_the_flag_case_at_its_inset_base() {
        // FC1: inside axes at 0, 2.5 and 5 mm up.
        let s = flag_case();
        for (z, across, by) in [(0.0, 94.9756, 59.9891), (2.5, 95.3252, 60.2222), (5.0, 95.6748, 60.4553)] {
            assert!((width(&s, z, -5.0, num::FRAC_PI_2) - across).abs() < 5e-5);
            assert!((width(&s, z, -5.0, 0.0) - by).abs() < 5e-5);
        }
    }

    #[test]
    fn arc_length_and_its_inverse_agree_on_sides_and_corners() {
        let corner = |x: f64, y: f64, i: i32| crate::geom::section::Element {
            from: num::FRAC_PI_2 * f64::from(i),
            to: num::FRAC_PI_2 * f64::from(i + 1),
            curve: crate::geom::section::Curve::Round { centre: crate::geom::Vec2::new(x, y), radius: 10.0 },
        };
        let box_of = |x: f64, y: f64| {
            Section::new(vec![corner(x, y, 0), corner(-x, y, 1), corner(-x, -y, 2), corner(x, -y, 3)]).expect("a box")
        };
        let s = Strip::new(&box_of(30.0, 50.0), 0.0, &box_of(40.0, 60.0), 100.0).expect("a wall");
        let s = s.begun_at(PI).expect("convex");
        let whole = girth(&s, 30.0, -2.0);
        assert!((along(&s, 30.0, -2.0, 0.0) - 0.5 * whole).abs() < 1e-9);
        for share in [0.0, 0.05, 0.1, 0.25, 0.3, 0.5, 0.61, 0.87, 0.99] {
            let rule = rule_along(&s, 30.0, -2.0, share * whole);
            let other = rule_along(&s, 30.0, -2.0, (share + 0.005) * whole);
            let (p, q) = (rule.point(30.0, -2.0), other.point(30.0, -2.0));
            assert!((p - q).length() <= 0.005 * whole + 1e-9, "{share}");
            assert!((p - q).length() > 0.003 * whole, "{share}");
        }
    }

    #[test]
    fn parallels_of_a_cone_shrink_by_the_secant() {
        let s = Strip::new(&Section::circle(50.0), 0.0, &Section::circle(80.0), 40.0).expect("a wall");
        let r = radii(&s, 0, 0.3);
        assert!((r.per_depth - 1.25).abs() < 1e-12);
        assert!((enclosed(&s, 0.0, -4.0) - PI * 45.0 * 45.0).abs() < 1e-6);
    }
}
