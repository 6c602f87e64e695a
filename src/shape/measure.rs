//! What can be measured on a wall: lengths, widths and areas of its parallel surfaces, by support functions (see
//! `geom::strip` for the formulas). `z` is the height on the wall's axis, `d` the depth from the measured face,
//! outward positive; millimetres.

use crate::geom::rim::Cut;
use crate::geom::section::integral;
use crate::geom::strip::{Rule, Strip};
use crate::geom::unroll::Unrolled;
use crate::geom::walk::Walk;
use crate::geom::{self, enclose};
use crate::num::{self, PI, TAU};
use crate::skin::{height, leaves};
use crate::solid::{Body, Part, Rim, Ring, Seam, Wall};

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
    best.map(|(a, b, _)| (a.turned_to(phi), b.turned_to(phi)))
}

/// The rule that faces `phi`: on a straight side its middle.
pub(super) fn facing(strip: &Strip, phi: f64) -> Option<Rule> {
    rules_at(strip, phi).map(|(a, b)| a.between(&b, 0.5))
}

/// Whether two strips are the same surface between the same planes, wherever each begins: in so many directions.
pub(super) fn alike(a: &Strip, b: &Strip) -> bool {
    let near = |x: f64, y: f64| (x - y).abs() <= 1e-9 * (1.0 + x.abs());
    let (from, to) = (a.heights(), b.heights());
    near(from.0, to.0)
        && near(from.1, to.1)
        && (0..32).all(|i| match (facing(a, TAU * f64::from(i) / 32.0), facing(b, TAU * f64::from(i) / 32.0)) {
            (Some(a), Some(b)) => near(a.h0, b.h0) && near(a.h1, b.h1),
            (None, None) => true,
            _ => false,
        })
}

/// Length of the wall along a rule, from plane to plane.
pub(super) fn slant(rule: &Rule) -> f64 {
    let (h, k) = (rule.h1 - rule.h0, rule.k1 - rule.k0);
    (rule.rise() * rule.rise() + h * h + k * k).sqrt()
}

/// Girth of the parallel at depth `d`, cut at height `z`.
pub(super) fn girth(strip: &Strip, z: f64, d: f64) -> f64 {
    Walk::new(strip).around(z, d)
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

/// Area of all sheets of a part, on its measured face and without its holes.
pub(super) fn sheet(part: &Part) -> f64 {
    let one = match &part.body {
        Body::Wall(wall) => wall.strips.iter().map(|s| area(s, s.heights().0, s.heights().1, 0.0)).sum(),
        Body::Leaf(leaf) => leaf.outline.area(),
        Body::Folded(wall) => wall.plates().map(|(_, plate)| enclosed(&plate.strip, plate.show, plate.depth)).sum(),
        Body::Plate(plate) => enclosed(&plate.strip, plate.show, plate.depth),
    };
    one * part.layers.len() as f64
}

/// Area that the parallel at depth `d` encloses in the plane at height `z`.
pub(super) fn enclosed(strip: &Strip, z: f64, d: f64) -> f64 {
    Walk::new(strip).area(z, d)
}

/// Arc length of the parallel at depth `d` and height `z` from the strip's first rule to a rule of it.
pub(super) fn along_to(strip: &Strip, z: f64, d: f64, rule: &Rule) -> f64 {
    let walk = Walk::new(strip);
    walk.find(rule).map_or(0.0, |at| walk.length(at, z, d))
}

/// The rule a length `s` along that parallel from its start.
pub(super) fn rule_along(strip: &Strip, z: f64, d: f64, s: f64) -> Rule {
    let walk = Walk::new(strip);
    walk.rule(walk.at_length(s, z, d))
}

/// What an open seam leaves out of the girth at height `z` and depth `d`. The sides stand square to the sheet on the
/// neutral surface, so the same rules bound the gap at every depth.
pub(super) fn gap_at(wall: &Wall, neutral: f64, strip: &Strip, z: f64, d: f64) -> f64 {
    if !matches!(wall.seam, Seam::Open(_)) {
        return 0.0;
    }
    let walk = Walk::new(strip);
    let (from, to) = leaves(&walk, wall.seam, z, neutral);
    walk.length(from, z, d) + walk.around(z, d) - walk.length(to, z, d)
}

/// The area of a wall's parallel from its first to its last station (a sloped end's plane), its gap and holes taken out.
pub(super) fn wall_area(wall: &Wall, neutral: f64, d: f64) -> f64 {
    let mut sum = num::Sum::new();
    let last = wall.strips.len().saturating_sub(1);
    for (i, strip) in wall.strips.iter().enumerate() {
        let (z0, z1) = strip.heights();
        let (foot, head) = (wall.rings.first().filter(|_| i == 0), wall.rings.last().filter(|_| i == last));
        let own = |rim: Rim, z: f64| match rim {
            Rim::Plane(plane) | Rim::PlaneSquare(plane) => Some(Cut::Plane(plane)),
            Rim::Shaped { .. } => Some(crate::skin::cut(wall, rim, z)),
            Rim::Level | Rim::Square | Rim::Mitre(_) | Rim::At(_) | Rim::Closed(_) => None,
        };
        let (foot, head) = (foot.and_then(|r| own(r.lower, z0)), head.and_then(|r| own(r.upper, z1)));
        if !matches!(wall.seam, Seam::Open(_)) && foot.is_none() && head.is_none() {
            sum.add(area(strip, z0, z1, d));
            continue;
        }
        let (low, up) = (foot.unwrap_or(Cut::Level(z0)), head.unwrap_or(Cut::Level(z1)));
        let walk = Walk::with_cuts(strip, &[low.stops(), up.stops()].concat());
        let flat = Unrolled::new(&walk, d);
        let (lower, upper) = (geom::rim::Rim::new(&flat, &low), geom::rim::Rim::new(&flat, &up));
        let at = |cut: &Cut| leaves(&walk, wall.seam, height(cut), neutral);
        sum.add(enclose::area(&lower, at(&low), &upper, at(&up)));
    }
    for hole in &wall.holes {
        sum.add(-hole.outline.area());
    }
    sum.value()
}

/// The true length of a wall's end that is cut along a plane or to a figure, at depth `d`, its gap taken out.
pub(super) fn sloped_girth(wall: &Wall, at_top: bool, neutral: f64, d: f64) -> Option<f64> {
    let (ring, strip) =
        if at_top { (wall.rings.last()?, wall.strips.last()?) } else { (wall.rings.first()?, wall.strips.first()?) };
    let (z0, z1) = strip.heights();
    let (rim, z) = if at_top { (ring.upper, z1) } else { (ring.lower, z0) };
    let cut = match rim {
        Rim::Plane(plane) | Rim::PlaneSquare(plane) => Cut::Plane(plane),
        Rim::Shaped { .. } => crate::skin::cut(wall, rim, z),
        Rim::Level | Rim::Square | Rim::Mitre(_) | Rim::At(_) | Rim::Closed(_) => return None,
    };
    let walk = Walk::with_cuts(strip, &cut.stops());
    let flat = Unrolled::new(&walk, d);
    let (from, to) = leaves(&walk, wall.seam, height(&cut), neutral);
    Some(geom::rim::Rim::new(&flat, &cut).length(from, to, d))
}

/// The length of the seam's rule over one strip of a ring, from rim to rim on the measured face.
pub(super) fn seam_over(wall: &Wall, ring: &Ring, strip: usize) -> Option<f64> {
    let s = wall.strips.get(strip)?;
    let rule = facing(s, wall.facing)?;
    let (z0, z1) = s.heights();
    let end = |rim: Rim, z: f64| match rim {
        Rim::Closed(at) | Rim::At(at) => at,
        Rim::Plane(plane) | Rim::PlaneSquare(plane) => plane.height(&rule, 0.0),
        Rim::Shaped { upper } => {
            crate::skin::on_rim(wall, ring, upper, 0.0, |rim| rim.height(rim.flat().walk().ends().0, 0.0).0)
        }
        Rim::Level | Rim::Square | Rim::Mitre(_) => z,
    };
    let from = if strip == ring.strips.start { end(ring.lower, z0) } else { z0 };
    let to = if strip + 1 == ring.strips.end { end(ring.upper, z1) } else { z1 };
    Some(slant(&rule) * (to - from) / (z1 - z0))
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
    use crate::solid::Gap;

    /// The flag case (FC1): ovals 105 by 70 and 420 round at 3:2, 385 apart, foam 5, measured on the outside.
    fn flag_case() -> Strip {
        let lower = Section::oval(35.0, 52.5, 2.0);
        let scale = 420.0 / Section::oval(0.5, 0.75, 2.0).girth();
        let upper = Section::oval(0.5 * scale, 0.75 * scale, 2.0);
        Strip::new(&lower, 0.0, &upper, 385.0).expect("a wall").begun_at(PI).expect("convex")
    }

    #[test]
    fn a_strip_is_alike_wherever_it_begins() {
        let s = flag_case();
        assert!(alike(&s, &s.begun_at(1.0).expect("convex")));
        let wider = Strip::new(&Section::oval(35.0, 52.6, 2.0), 0.0, &Section::oval(53.0, 80.0, 2.0), 385.0).unwrap();
        assert!(!alike(&s, &wider));
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
    fn an_open_wall_has_the_area_its_gap_leaves() {
        let strip = Strip::new(&Section::circle(60.0), 0.0, &Section::circle(60.0), 90.0).expect("a wall");
        let strip = strip.begun_at(PI).expect("convex");
        let wall = |gap: Gap| Wall {
            strips: vec![strip.clone()],
            rings: vec![],
            facing: PI,
            seam: Seam::Open(gap),
            holes: vec![],
            scallops: None,
            figures: [None, None],
            formed: None,
        };
        // Developed cylinders are rectangles.
        let round = TAU * 58.0;
        for (gap, left) in [
            (Gap::Length(40.0), round - 40.0),
            (Gap::Share(0.25), 0.75 * round),
            (Gap::Angle(PI), 0.5 * round),
            (Gap::Leaves(25.0), 25.0),
        ] {
            let area = wall_area(&wall(gap), -2.0, -2.0);
            assert!((area - left * 90.0).abs() < 1e-6, "{gap:?}: {area}");
            assert!((round - gap_at(&wall(gap), -2.0, &strip, 10.0, -2.0) - left).abs() < 1e-9);
        }
        // At the outer face the same rules are further apart.
        let out = gap_at(&wall(Gap::Length(40.0)), -2.0, &strip, 10.0, 0.0);
        assert!((out - 40.0 * 60.0 / 58.0).abs() < 1e-9);
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
        let front = facing(&s, 0.0).expect("convex");
        assert!((along_to(&s, 30.0, -2.0, &front) - 0.5 * whole).abs() < 1e-9);
        for share in [0.0, 0.05, 0.1, 0.25, 0.3, 0.5, 0.61, 0.87, 0.99] {
            let rule = rule_along(&s, 30.0, -2.0, share * whole);
            let other = rule_along(&s, 30.0, -2.0, (share + 0.005) * whole);
            let (p, q) = (rule.point(30.0, -2.0), other.point(30.0, -2.0));
            assert!((p - q).length() <= 0.005 * whole + 1e-9, "{share}");
            assert!((p - q).length() > 0.003 * whole, "{share}");
        }
    }

    #[test]
    fn a_cone_s_parallel_shrinks_by_the_secant() {
        let s = Strip::new(&Section::circle(50.0), 0.0, &Section::circle(80.0), 40.0).expect("a wall");
        assert!((enclosed(&s, 0.0, -4.0) - PI * 45.0 * 45.0).abs() < 1e-6);
    }
}
