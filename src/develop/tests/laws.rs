//! Laws that every panel keeps, on sections drawn at random.

use proptest::prelude::*;

use super::support::*;
use super::{edge, enclosed, outline, turning};
use crate::flat::Panel;
use crate::geom::path::Motion;
use crate::geom::section::Section;
use crate::geom::{Vec2, Vec3, tol};
use crate::num::{self, PI, TAU};
use crate::solid::{EdgeName, Rim};

/// Sections of every built form, about 40 to 120 across.
fn section() -> impl Strategy<Value = Section> {
    let size = 20.0..60.0f64;
    prop_oneof![
        size.clone().prop_map(Section::circle),
        (size.clone(), size.clone(), prop_oneof![Just(2.0), 2.1..6.0]).prop_map(|(a, b, p)| Section::oval(a, b, p)),
        (size.clone(), size, 0.3..1.0f64).prop_map(|(a, b, r)| rectangle(2.0 * a, 2.0 * b, r * a.min(b), Vec2::ZERO)),
    ]
}

fn place() -> impl Strategy<Value = Vec2> {
    (-15.0..15.0, -15.0..15.0).prop_map(|(x, y)| Vec2::new(x, y))
}

/// The surface's area from its rules in space: triangles between close neighbours.
fn area_in_space(panel: &Panel, depth: f64) -> f64 {
    let mut sum = num::Sum::new();
    for w in panel.rulings.windows(2) {
        let ends = |r: &crate::flat::Ruling| (r.rule.point(r.rule.z0, depth), r.rule.point(r.rule.z1, depth));
        let ((a, b), (c, d)) = (ends(&w[0]), ends(&w[1]));
        let triangle = |p: Vec3, q: Vec3, r: Vec3| 0.5 * (q - p).cross(r - p).length();
        sum.add(triangle(a, c, d) + triangle(a, d, b));
    }
    sum.value()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// The centre line runs along it.
    #[test]
    fn the_rule_that_faces_away_from_the_seam_is_one_of_the_panel_s(a in section(), b in section(), by in place()) {
        let panel = only(&wall(&[(0.0, a.clone()), (120.0, moved(&b, by))], SHEET));
        let phi = panel.rulings[0].rule.phi + PI;
        let there = panel.rulings.iter().find(|r| (r.rule.phi - phi).abs() <= 1e-9);
        let rule = there.expect("a rule faces away from the seam").rule;
        let (low, up) = (a.support(phi), moved(&b, by).support(phi));
        prop_assert!((rule.h0 - low.h).abs() < 1e-6 && (rule.h1 - up.h).abs() < 1e-6);
    }

    #[test]
    fn a_flat_is_its_wall_without_stretch(a in section(), b in section(), by in place(), h in 60.0..300.0f64) {
        let panel = only(&wall(&[(0.0, a.clone()), (h, moved(&b, by))], SHEET));
        // Rims as long as their sections, the sides as one rule.
        prop_assert!((edge(&panel, EdgeName::Lower).long.neutral - a.girth()).abs() < 1e-6);
        prop_assert!((edge(&panel, EdgeName::Upper).long.neutral - b.girth()).abs() < 1e-6);
        for e in &panel.edges {
            prop_assert!((e.middle.length() - e.long.neutral).abs() < tol::EDGE_LENGTH_FIT);
        }
        // Rules keep their length, and their neighbours their distance.
        for w in panel.rulings.windows(2) {
            let space = |r: &crate::flat::Ruling| [r.rule.point(0.0, 0.0), r.rule.point(h, 0.0)];
            let (s, t) = (space(&w[0]), space(&w[1]));
            let (p, q) = ([w[0].foot, w[0].head], [w[1].foot, w[1].head]);
            prop_assert!(((s[1] - s[0]).length() - (p[1] - p[0]).length()).abs() < 1e-6);
            for i in 0..2 {
                for j in 0..2 {
                    let (space, flat) = ((s[i] - t[j]).length(), (p[i] - q[j]).length());
                    prop_assert!((space - flat).abs() < 0.01, "{} {}", space, flat);
                }
            }
        }
        prop_assert!((area_in_space(&panel, 0.0) / panel.area - 1.0).abs() < 1e-4);
        prop_assert!((enclosed(&panel) / panel.area - 1.0).abs() < 1e-5, "{} {}", enclosed(&panel), panel.area);
        prop_assert!((turning(&panel) - TAU).abs() < 1e-6);
        for pair in panel.edges.windows(2) {
            prop_assert!((pair[0].middle.end().unwrap() - pair[1].middle.start().unwrap()).length() < 1e-6);
        }
    }

    #[test]
    fn the_seam_may_lie_anywhere(a in section(), b in section(), facing in -3.0..3.0f64) {
        let solid = wall(&[(0.0, a), (150.0, b)], SHEET);
        let mut other = solid.clone();
        let body = the_wall(&mut other);
        body.facing = facing;
        body.strips[0] = body.strips[0].begun_at(facing).expect("it faces there");
        let (p, q) = (only(&solid), only(&other));
        prop_assert!((p.area / q.area - 1.0).abs() < 1e-9);
        prop_assert!((p.turn - q.turn).abs() < 1e-9);
        for name in [EdgeName::Lower, EdgeName::Upper] {
            prop_assert!((edge(&p, name).long.neutral - edge(&q, name).long.neutral).abs() < 1e-7);
        }
    }

    #[test]
    fn a_mirrored_wall_has_the_mirrored_flat(
        a in section(), b in section(), x in -10.0..10.0f64, y in -10.0..10.0f64
    ) {
        // The sections are alike on either side of the x axis and the seam lies on it, so mirroring them is moving
        // one to the other side.
        let one = only(&wall(&[(0.0, a.clone()), (150.0, moved(&b, Vec2::new(x, y)))], SHEET));
        let other = only(&wall(&[(0.0, a), (150.0, moved(&b, Vec2::new(x, -y)))], SHEET));
        let mirror = Motion { mirror: true, turn: 0.0, shift: Vec2::ZERO };
        let (p, q) = (outline(&one).moved(&mirror).reversed(), outline(&other));
        // Both are level in their middle: bring the starts of the lower rims together.
        let from = edge(&one, EdgeName::Lower).middle.end().unwrap();
        let to = edge(&other, EdgeName::Lower).middle.start().unwrap();
        let p = p.moved(&Motion { mirror: false, turn: 0.0, shift: to - mirror.apply(from) });
        prop_assert!(apart(&p, &q) < 3.0 * tol::ARC_FIT, "{}", apart(&p, &q));
        prop_assert!((one.area / other.area - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_larger_prop_has_larger_pieces(a in 20.0..60.0f64, b in 20.0..60.0f64, k in 0.5..3.0f64) {
        let scaled = |k: f64| {
            let sheet = Sheet { inner: -5.0 * k, neutral: -2.5 * k, outer: 0.0 };
            let stations = [(0.0, Section::oval(a * k, b * k, 2.0)), (200.0 * k, Section::circle(50.0 * k))];
            only(&wall(&stations, sheet))
        };
        let (one, other) = (scaled(1.0), scaled(k));
        prop_assert!((other.area / (one.area * k * k) - 1.0).abs() < 1e-9);
        prop_assert!((other.turn - one.turn).abs() < 1e-9);
        for (p, q) in one.edges.iter().zip(&other.edges) {
            prop_assert!((q.long.outside / (p.long.outside * k) - 1.0).abs() < 1e-9);
            prop_assert!((q.bevel.most - p.bevel.most).abs() < 1e-9);
        }
    }

    #[test]
    fn a_thick_wall_keeps_its_area_and_edges(
        a in 30.0..60.0f64, b in 30.0..60.0f64, c in 40.0..60.0f64, h in 100.0..300.0f64, square in any::<bool>()
    ) {
        let mut solid = wall(&[(0.0, Section::oval(a, b, 2.0)), (h, Section::oval(b, c, 2.0))], FOAM);
        if square {
            rims(&mut solid, Rim::Square, Rim::Square);
        }
        let panel = only(&solid);
        prop_assert!((turning(&panel) - TAU).abs() < 1e-6);
        for e in &panel.edges {
            let curves = [&e.inside, &e.middle, &e.outside, &e.widest, &e.narrowest];
            for (i, next) in curves.iter().zip(panel.edges.iter().cycle().skip_while(|o| o.name != e.name).skip(1).map(
                |o| [&o.inside, &o.middle, &o.outside, &o.widest, &o.narrowest]).next().expect("another edge")) {
                prop_assert!((i.end().unwrap() - next.start().unwrap()).length() < 1e-6);
            }
        }
        // In its widest and narrowest curves the outline holds and is held.
        let ring = |pick: fn(&crate::flat::Edge) -> &crate::geom::path::Path| {
            crate::geom::fit::joined(panel.edges.iter().map(pick)).area()
        };
        let (wide, inside, outside, narrow) =
            (ring(|e| &e.widest), ring(|e| &e.inside), ring(|e| &e.outside), ring(|e| &e.narrowest));
        prop_assert!(wide >= inside.max(outside) - 1e-6 && narrow <= inside.min(outside) + 1e-6);
        if square {
            prop_assert_eq!(edge(&panel, EdgeName::Lower).bevel, crate::flat::Bevel::SQUARE);
        }
    }
}

#[test]
fn every_layer_edge_is_as_long_in_space_as_it_says() {
    // Lengths of the edges in space from points on the rules, against the lengths of the panel.
    let solid = wall(&[(0.0, Section::oval(35.0, 52.5, 2.0)), (150.0, Section::oval(60.0, 45.0, 2.5))], FOAM);
    for rim in [Rim::Level, Rim::Square] {
        let mut solid = solid.clone();
        rims(&mut solid, rim, rim);
        let panel = only(&solid);
        let strip = the_wall(&mut solid).strips[0].clone();
        let walk = crate::geom::walk::Walk::new(&strip);
        for (name, z) in [(EdgeName::Lower, 0.0), (EdgeName::Upper, 150.0)] {
            let long = edge(&panel, name).long;
            for (depth, long) in [(-5.0, long.inside), (-2.5, long.neutral), (0.0, long.outside)] {
                let mut sum = num::Sum::new();
                for leg in 0..walk.legs().len() {
                    let points: Vec<Vec3> = (0..=2000)
                        .map(|i| {
                            let rule = walk.rule(crate::geom::walk::Place { leg, t: f64::from(i) / 2000.0 });
                            let z = if rim == Rim::Square { z - depth * rule.sine() } else { z };
                            rule.point(z, depth)
                        })
                        .collect();
                    points.windows(2).for_each(|w| sum.add((w[1] - w[0]).length()));
                }
                assert!((sum.value() - long).abs() < 1e-3, "{rim:?} {name:?} {depth}: {} {long}", sum.value());
            }
        }
    }
}

#[test]
fn a_rounded_rectangle_becomes_lines_and_four_arcs() {
    // 100 × 60 with corners of 10: perimeter 302.831 85, area 5914.159 27 (exact: 2(a + b) − (8 − 2π) r,
    // ab − (4 − π) r²).
    let section = rectangle(60.0, 100.0, 10.0, Vec2::ZERO);
    let tube = only(&wall(&[(0.0, section.clone()), (50.0, section.clone())], SHEET));
    assert!((edge(&tube, EdgeName::Lower).long.neutral - 302.831_85).abs() < 1e-5);
    assert!((tube.area - 50.0 * 302.831_85).abs() < 1e-3);
    let strip = crate::geom::strip::Strip::new(&section, 0.0, &section, 50.0).expect("a wall");
    let disc = only(&plate(&strip, 0.0, 0.0, 5.0, Sheet { inner: 0.0, neutral: 2.5, outer: 5.0 }));
    assert!((disc.area - 5_914.159_27).abs() < 1e-5, "{}", disc.area);
    let path = &disc.edges[0].middle;
    assert!((path.length() - 302.831_85).abs() < 1e-5);
    assert!((path.area() - 5_914.159_27).abs() < 1e-5, "{}", path.area());
    assert_eq!(path.segs.iter().filter(|s| s.bulge != 0.0).count(), 4);
}

#[test]
fn ovals_as_plates_have_their_tabled_sizes() {
    // Ellipse perimeters 4aE(1 − b²/a²), Abramowitz & Stegun 1964, ch. 17; superellipses by the Γ formula for the area
    // and quadrature for the perimeter (MathWorld, "Squircle" for the unit one, here times 100).
    for (a, b, power, perimeter, area) in [
        (60.0, 90.0, 2.0, 475.963_187_68, PI * 5400.0),
        (78.0, 98.0, 2.0, 554.706_748_16, PI * 7644.0),
        (60.0, 100.0, 2.5, 529.987_231_08, 20_285.612_18),
        (60.0, 100.0, 4.0, 565.272_416_28, 22_248.896_13),
        (100.0, 100.0, 4.0, 701.769_794_356, 37_081.493_546),
    ] {
        let section = Section::oval(a, b, power);
        let strip = crate::geom::strip::Strip::new(&section, 0.0, &section, 50.0).expect("a wall");
        for (show, hidden) in [(0.0, 5.0), (50.0, 45.0)] {
            let disc = only(&plate(&strip, 0.0, show, hidden, Sheet { inner: 0.0, neutral: 2.5, outer: 5.0 }));
            let path = &disc.edges[0].middle;
            assert!((disc.edges[0].long.neutral - perimeter).abs() < 1e-4);
            assert!((disc.area / area - 1.0).abs() < 1e-8);
            assert!((path.length() - perimeter).abs() < tol::EDGE_LENGTH_FIT, "{} {perimeter}", path.length());
            assert!((path.area() / area - 1.0).abs() < 1e-5, "{} {area}", path.area());
        }
    }
}

#[test]
fn fitted_rims_stay_within_their_budget_of_the_exact_curve() {
    use crate::geom::rim::{Cut, Rim as Curve};
    use crate::geom::unroll::Unrolled;
    use crate::geom::walk::{Place, Walk};
    let pairs = [
        (Section::oval(35.0, 52.5, 2.0), Section::circle(60.0)),
        (Section::oval(20.0, 60.0, 2.0), rectangle(90.0, 70.0, 12.0, Vec2::new(8.0, -3.0))),
        (Section::oval(50.0, 30.0, 2.5), Section::oval(30.0, 50.0, 4.0)),
        (Section::oval(50.0, 30.0, 5.9), Section::circle(40.0)),
    ];
    for (a, b) in pairs {
        let strip = crate::geom::strip::Strip::new(&a, 0.0, &b, 120.0).expect("a wall");
        let walk = Walk::new(&strip);
        for depth in [-2.5, 0.0] {
            let flat = Unrolled::new(&walk, depth);
            for (z, d) in [(0.0, 0.0), (120.0, 0.0), (120.0, -5.0)] {
                let cut = Cut::Level(z);
                let rim = Curve::new(&flat, &cut);
                let (start, end) = walk.ends();
                let curve = |at: Place| rim.point(at, d);
                for (distance, length) in
                    [(0.1, 0.1), (0.02, 0.02), (tol::ARC_FIT, tol::EDGE_LENGTH_FIT), (0.001, 0.001)]
                {
                    let limits = crate::geom::fit::Limits { distance, length, long: walk.around(z, depth), lean: 1e-6 };
                    let path = crate::geom::fit::fit(
                        &walk,
                        &[crate::geom::fit::Wanted { at: &curve, kept: vec![(start, end)] }],
                        &rim.runs(start, end),
                        &[],
                        &limits,
                    )
                    .path(0);
                    let mut exact = Vec::new();
                    for leg in 0..walk.legs().len() {
                        exact.extend((0..=300).map(|i| curve(Place { leg, t: f64::from(i) / 300.0 }).0));
                    }
                    let there = exact
                        .iter()
                        .map(|p| {
                            path.segs.iter().map(|s| crate::geom::fit::distance(s, *p)).fold(f64::INFINITY, f64::min)
                        })
                        .fold(0.0, f64::max);
                    let chords: Vec<_> = exact.windows(2).map(|w| crate::geom::path::Seg::line(w[0], w[1])).collect();
                    let back = path
                        .segs
                        .iter()
                        .flat_map(|s| [0.0, 0.25, 0.5, 0.75].map(|t| s.at(t)))
                        .map(|p| chords.iter().map(|s| crate::geom::fit::distance(s, p)).fold(f64::INFINITY, f64::min))
                        .fold(0.0, f64::max);
                    assert!(there <= distance, "{depth} {z} {d} {distance}: {there}\n{a:?}\n{b:?}");
                    // The chords themselves stand off by up to 0.002.
                    assert!(back <= distance + 0.002, "{depth} {z} {d} {distance}: {back}");
                }
            }
        }
    }
}

#[test]
fn fits_do_not_spend_more_segments_than_they_need() {
    let panel = only(&flag_case());
    for (name, most) in [(EdgeName::Lower, 96), (EdgeName::Upper, 96)] {
        let n = edge(&panel, name).middle.segs.len();
        assert!(n <= most, "{name:?}: {n}");
    }
    for power in [2.0, 2.5, 4.0, 6.0] {
        let section = Section::oval(60.0, 100.0, power);
        let strip = crate::geom::strip::Strip::new(&section, 0.0, &section, 50.0).expect("a wall");
        let n = only(&plate(&strip, 0.0, 0.0, 5.0, FOAM)).edges[0].middle.segs.len();
        assert!(n <= 240, "power {power}: {n}");
    }
}

#[test]
fn a_square_to_round_has_its_known_fan_and_area() {
    // Square 100 to circle 80, 90 tall. Method: Coey, Pattern Development: Sheet Metal Level 1, BCcampus 2021, ch. 24;
    // numbers computed for this project at 30 digits: true lengths from a corner to the circle at 0/30/60/90°, altitude
    // of the flat triangles, angle of the fan, area of the whole.
    let stations = [(0.0, rectangle(100.0, 100.0, 0.0, Vec2::ZERO)), (90.0, Section::circle(40.0))];
    let panel = only(&wall(&stations, SHEET));
    let strip = the_wall(&mut wall(&stations, SHEET)).strips[0].clone();
    let walk = crate::geom::walk::Walk::new(&strip);
    let flat = crate::geom::unroll::Unrolled::new(&walk, 0.0);
    let fan = walk
        .legs()
        .iter()
        .position(|l| matches!(l, crate::geom::walk::Leg::Turn { .. }))
        .expect("a corner faces the circle");
    let rise = |t: f64| flat.at(crate::geom::walk::Place { leg: fan, t }).rise;
    for (t, long) in [(0.0, 103.440_804), (1.0 / 3.0, 96.103_582), (2.0 / 3.0, 96.103_582), (1.0, 103.440_804)] {
        assert!((rise(t).length() - long).abs() < 1e-6, "{t}: {}", rise(t).length());
    }
    let (a, b) = (rise(0.0), rise(1.0));
    let angle = num::atan2(a.perp_dot(b), a.dot(b)).abs().to_degrees();
    assert!((angle - 35.063_913_338).abs() < 1e-8, "{angle}");
    assert!((panel.area - 29_829.500_683).abs() < 1e-5, "{}", panel.area);
    let end = edge(&panel, EdgeName::End).long.neutral;
    assert!((end - 90.553_851_381).abs() < 1e-8, "the seam is the flat triangle's altitude: {end}");
}
