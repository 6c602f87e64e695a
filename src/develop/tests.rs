//! Panels of whole solids against outside values and laws. `support` builds the solids.

mod joints;
mod laws;
mod support;

use support::*;

use crate::flat::{Edge, Panel};
use crate::geom::section::Section;
use crate::geom::{Vec2, fit};
use crate::num::{self, PI, TAU};
use crate::solid::{EdgeName, Gap, Rim, Seam};

fn edge(panel: &Panel, name: EdgeName) -> &Edge {
    panel.edges.iter().find(|e| e.name == name).expect("the panel has this edge")
}

/// Signed area enclosed by the chosen curve of all edges.
fn enclosed(panel: &Panel) -> f64 {
    outline(panel).area()
}

fn outline(panel: &Panel) -> crate::geom::path::Path {
    fit::joined(panel.edges.iter().map(|e| &e.middle))
}

/// ∮κg ds plus the exterior angles of the outline.
fn turning(panel: &Panel) -> f64 {
    let path = outline(panel);
    let mut sum = 0.0;
    for (i, s) in path.segs.iter().enumerate() {
        let next = &path.segs[(i + 1) % path.segs.len()];
        let (a, b) = (s.direction(1.0), next.direction(0.0));
        sum += s.sweep() + num::atan2(a.perp_dot(b), a.dot(b));
    }
    sum
}

#[test]
fn frusta_unroll_to_their_printed_sectors() {
    // F1 "The Net of a Frustum", ceemrr.com; F2 "Conical frustum", analyzemath.com; F3 Math Central, University of
    // Regina, QQ.09.11 (its printed inner radius 6.75 is wrong, 6.60 is right); F4, F5 E. M. Longfield, Sheet Metal
    // Drafting, 1921; F6 Math Forum, "Building a Cone"; F7 own. Exact values beside the printed ones.
    for (id, d0, d1, h, slant, inner, outer, theta, area) in [
        ("F1", 5.0, 8.0, 4.0, 4.272_00, 7.120_00, 11.392_00, 126.404_44, 87.235_78),
        ("F2", 20.0, 40.0, 25.0, 26.925_82, 26.925_82, 53.851_65, 133.700_64, 2537.69913),
        ("F3", 8.0, 40.0, 21.0, 26.400_76, 6.600_19, 33.000_95, 218.175_56, 1990.57022),
        ("F4", 3.0, 6.0, 3.0, 3.354_10, 3.354_10, 6.708_20, 160.996_89, 47.417_50),
        ("F5", 4.0, 8.0, 4.0, 4.472_14, 4.472_14, 8.944_27, 160.996_89, 84.297_78),
        ("F6", 8.0, 20.0, 21.0, 21.840_33, 14.560_22, 36.400_55, 98.899_61, 960.58787),
        ("F7", 180.0, 260.0, 220.0, 223.606_80, 503.115_29, 726.722_09, 64.398_76, 154_545.924),
    ] {
        let solid = wall(&[(0.0, Section::circle(0.5 * d0)), (h, Section::circle(0.5 * d1))], SHEET);
        let panel = only(&solid);
        let (low, up) = (edge(&panel, EdgeName::Lower), edge(&panel, EdgeName::Upper));
        // More than a half turn is two arcs, so that no bulge passes 1.
        let arcs = if theta > 180.0 { 2 } else { 1 };
        for (rim, radius) in [(low, inner), (up, outer)] {
            assert_eq!(rim.middle.segs.len(), arcs, "{id}");
            for s in &rim.middle.segs {
                assert!((s.radius() / radius - 1.0).abs() < 1e-5, "{id}: {} {radius}", s.radius());
                assert!((s.sweep().abs().to_degrees() - theta / arcs as f64).abs() < 1e-5, "{id}");
            }
        }
        assert!((edge(&panel, EdgeName::End).long.neutral - slant).abs() < 1e-5, "{id}");
        assert!((panel.turn.to_degrees() - theta).abs() < 1e-5, "{id}");
        assert!((panel.area / area - 1.0).abs() < 1e-7, "{id}: {} {area}", panel.area);
        assert!((enclosed(&panel) / area - 1.0).abs() < 1e-7, "{id}: {}", enclosed(&panel));
        assert!((low.middle.length() / (PI * d0) - 1.0).abs() < 1e-9);
        assert!((turning(&panel) - TAU).abs() < 1e-6);
    }
}

#[test]
fn cones_close_to_a_sector() {
    // K1 "Nets 4", ceemrr.com; K2 a page of blacksmithing maths (θ = 360 sin of the half apex); K3, K6 Longfield 1921;
    // K5 Sheet and Plate Metal Work, ch. XII.
    for (id, d, h, slant, theta) in [
        ("K1", 10.0, 12.0, 13.0, 138.461_54),
        ("K2", 20.0, 10.0, 14.142_14, 254.558_44),
        ("K3", 5.0, 11.736_694, 12.0, 75.0),
        ("K5", 3.0, 1.322_876, 2.0, 270.0),
        ("K6", 4.0, 7.0, 7.280_11, 98.899_61),
    ] {
        let mut solid = wall(&[(0.0, Section::circle(0.5 * d)), (h, Section::point(Vec2::ZERO))], SHEET);
        rims(&mut solid, Rim::Level, Rim::Closed(h));
        let panel = only(&solid);
        let names: Vec<EdgeName> = panel.edges.iter().map(|e| e.name).collect();
        assert_eq!(names, [EdgeName::Lower, EdgeName::End, EdgeName::Begin], "{id}");
        assert!((panel.turn.abs().to_degrees() - theta).abs() < 2e-4, "{id}: {}", panel.turn.to_degrees());
        let side = edge(&panel, EdgeName::End).long.neutral;
        assert!((side - slant).abs() < 1e-5, "{id}: {side}");
        assert!((panel.area / (0.5 * PI * d * slant) - 1.0).abs() < 1e-6, "{id}: {}", panel.area);
        assert!((enclosed(&panel) / panel.area - 1.0).abs() < 1e-7, "{id}");
    }
}

#[test]
fn the_limits_of_a_cone_are_a_rectangle_and_a_ring() {
    // K7, limit of the formula: radii that differ by 1e-6 over a height of 100 turn by 360 · 1e-8 degrees.
    let almost = only(&wall(&[(0.0, Section::circle(50.0)), (100.0, Section::circle(50.000_001))], SHEET));
    assert!((almost.turn.to_degrees() - 3.6e-6).abs() < 1e-9, "{}", almost.turn.to_degrees());
    assert!((almost.area / (TAU * 50.0 * 100.0) - 1.0).abs() < 1e-6);
    assert!((enclosed(&almost) / (TAU * 50.0 * 100.0) - 1.0).abs() < 1e-6);
    let tube = only(&wall(&[(0.0, Section::circle(50.0)), (100.0, Section::circle(50.0))], SHEET));
    assert_eq!(edge(&tube, EdgeName::Lower).middle.segs.len(), 1);
    assert_eq!(edge(&tube, EdgeName::Lower).middle.segs[0].bulge, 0.0);
    // K8, limit: no height leaves the flat ring, a whole turn.
    let ring = only(&wall(&[(0.0, Section::circle(20.0)), (1e-6, Section::circle(50.0))], SHEET));
    assert!((ring.turn.to_degrees() - 360.0).abs() < 1e-6);
    assert!((ring.area / (PI * (2500.0 - 400.0)) - 1.0).abs() < 1e-9, "{}", ring.area);
}

#[test]
fn the_flag_case_has_its_sizes_on_every_face() {
    // Own derivation (no outside source): oval 105 × 70 below, around 420 at 3:2 above, 385 tall, 5 mm foam, neutral
    // half-way, measured outside, level rims.
    let solid = flag_case();
    let panel = only(&solid);
    let (low, up) = (edge(&panel, EdgeName::Lower), edge(&panel, EdgeName::Upper));
    for (long, expected) in [(low.long, [246.1739, 261.9095, 277.6452]), (up.long, [388.5287, 404.2643, 420.0])] {
        for (a, b) in [long.inside, long.neutral, long.outside].iter().zip(expected) {
            assert!((a - b).abs() < 1e-3, "{a} {b}");
        }
    }
    assert!((panel.turn.to_degrees() - 21.1466).abs() < 1e-4, "{}", panel.turn.to_degrees());
    let (short, long) = panel.rules.expect("a wall has generatrices");
    assert!((short - 385.4180).abs() < 1e-4 && (long - 385.9399).abs() < 1e-4, "{short} {long}");
    assert!((panel.area - 128_437.73).abs() < 0.01, "{}", panel.area);
    let (least, most) = (low.bevel.least.abs(), low.bevel.most.abs());
    assert!((least.max(most).to_degrees() - 3.9994).abs() < 1e-4);
    assert!((least.min(most).to_degrees() - 2.6687).abs() < 1e-4);
    assert!((enclosed(&panel) / panel.area - 1.0).abs() < 1e-5, "{} {}", enclosed(&panel), panel.area);
}

#[test]
fn rolled_foam_counts_its_girth_half_way() {
    // BA6: π·2(R + K t), inside radius 60, K 0.5: the formula of bend allowance (FAA-H-8083-31, ch. 4).
    for (t, neutral, outside) in
        [(2.0, 383.274_30, 389.557_49), (5.0, 392.699_08, 408.407_04), (10.0, 408.407_04, 439.822_97)]
    {
        let sheet = Sheet { inner: 0.0, outer: t, neutral: 0.5 * t };
        let panel = only(&wall(&[(0.0, Section::circle(60.0)), (100.0, Section::circle(60.0))], sheet));
        let long = edge(&panel, EdgeName::Lower).long;
        assert!((long.inside - 376.991_12).abs() < 1e-5);
        assert!((long.neutral - neutral).abs() < 1e-5 && (long.outside - outside).abs() < 1e-5);
    }
}

#[test]
fn thickness_is_laid_square_to_the_sheet() {
    // TH1, own: taking thickness in the horizontal instead errs by 2π k t (sec α − 1).
    for (degrees, error) in [(5.0, 0.06), (10.0, 0.24), (20.0, 1.0), (30.0, 2.4)] {
        let flare = num::tan(f64::to_radians(degrees));
        let stations = [(0.0, Section::circle(60.0)), (100.0, Section::circle(60.0 + 100.0 * flare))];
        let panel = only(&wall(&stations, Sheet { inner: -5.0, outer: 0.0, neutral: -2.5 }));
        let horizontal = TAU * (60.0 - 2.5);
        let miss = horizontal - edge(&panel, EdgeName::Lower).long.neutral;
        assert!((miss - error).abs() < 0.06, "{degrees}: {miss}");
    }
}

#[test]
fn an_open_seam_leaves_out_what_it_says() {
    for (gap, left) in [
        (Gap::Length(40.0), [TAU * 60.0 - 40.0, TAU * 80.0 - 40.0]),
        (Gap::Share(0.25), [TAU * 45.0, TAU * 60.0]),
        (Gap::Angle(PI), [PI * 60.0, PI * 80.0]),
    ] {
        let mut solid = wall(&[(0.0, Section::circle(60.0)), (120.0, Section::circle(80.0))], SHEET);
        seam(&mut solid, Seam::Open(gap));
        let panel = only(&solid);
        assert!((edge(&panel, EdgeName::Lower).long.neutral - left[0]).abs() < 1e-6);
        assert!((edge(&panel, EdgeName::Upper).long.neutral - left[1]).abs() < 1e-6);
        assert!((enclosed(&panel) / panel.area - 1.0).abs() < 1e-7);
        assert!((turning(&panel) - TAU).abs() < 1e-6);
    }
}

#[test]
fn an_open_oval_keeps_its_area() {
    // The sides cross the generatrices: the area by Green's rule on the exact rims against that of the fitted outline.
    for gap in [Gap::Length(60.0), Gap::Share(0.3), Gap::Angle(2.6)] {
        let stations = [(0.0, Section::oval(40.0, 50.0, 2.0)), (150.0, Section::oval(55.0, 70.0, 2.0))];
        let mut solid = wall(&stations, FOAM);
        seam(&mut solid, Seam::Open(gap));
        let panel = only(&solid);
        assert!((enclosed(&panel) / panel.area - 1.0).abs() < 2e-6, "{} {}", enclosed(&panel), panel.area);
    }
}
