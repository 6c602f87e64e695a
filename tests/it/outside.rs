//! Printed and computed values from outside, met by whole builds: a text goes in, the report's figures are compared.
//! Inches and other units of a source are taken as centimetres or millimetres: the figures scale.

use crate::memory::{Folder, clean};
use serde_json::Value;
use tasset::geom::Vec2;
use tasset::geom::path::{Path, Seg};
use tasset::geom::section::{Curve, Element, Section};
use tasset::geom::strip::Strip;
use tasset::geom::walk::{Leg, Place, Walk};
use tasset::num::{self, PI, TAU};
use tasset::piece::Operation;

/// Film without thickness to speak of, whose outer face keeps its length.
const FILM: &str = "prop p { title: \"P\", of: film }\n\
    stock film { as: card, thick: 0.001 mm, size: 4 m by 4 m, density: 900 kg/m3, neutral: 100 % }\n";

/// The report of a text that builds without a word.
fn report(text: &str) -> Value {
    let built = clean(text);
    serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON")
}

/// The first piece of film goods.
fn piece(things: &str) -> Value {
    report(&format!("{FILM}{things}\n"))["pieces"][0].take()
}

fn edge<'a>(piece: &'a Value, name: &str) -> &'a Value {
    let edges = piece["edges"].as_array().expect("edges");
    edges.iter().find(|e| e["name"] == name).unwrap_or_else(|| panic!("no {name} in {edges:?}"))
}

fn figure(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no figure"))
}

#[track_caller]
fn near(found: f64, expected: f64, off: f64) {
    assert!((found - expected).abs() <= off, "{found}, not {expected} within {off}");
}

#[test]
fn a_sector_of_arc_14_and_radius_7_has_an_area_of_49() {
    // K4: E. M. Longfield, Sheet Metal Drafting, 1921, p. 82: half the arc times the radius. Ten times as large here.
    let cone = piece(
        "let r = 140 mm / (2 * pi)\n\
         shell cone { at 0 mm: circle(around: 140 mm), at sqrt(70 mm * 70 mm - r * r): point }",
    );
    near(figure(&edge(&cone, "seam left side")["neutral"]), 70.0, 0.005);
    near(figure(&cone["area"]) / 4900.0, 1.0, 1e-5);
}

#[test]
fn a_cone_has_its_printed_base_arc() {
    // K3: Longfield 1921, p. 82: base 5, slant 12 (in): arc 15.7080; its area is half of arc times slant, 94.24778.
    let cone = piece("shell cone { at 0 mm: circle(across: 50 mm), at sqrt(120 mm * 120 mm - 25 mm * 25 mm): point }");
    near(figure(&edge(&cone, "bottom")["neutral"]), 157.080, 0.000_5);
    near(figure(&cone["area"]) / 9424.778, 1.0, 1e-5);
}

#[test]
fn a_square_pipe_has_its_printed_diagonal() {
    // SQ: Sheet and Plate Metal Work (handbook transcription), ch. XII, fig. 28: a square pipe of 3 (in) measures 4.24
    // across its corners, printed to two places; its sides are then 3 within half a unit of the last over √2.
    let report = report(&format!(
        "{FILM}shell pipe {{ at 0 mm to 90 mm: polygon(sides: 4, across_corners: 42.4 mm), measured: outside }}"
    ));
    let sides = report["pieces"].as_array().expect("pieces");
    assert_eq!(sides.iter().map(|p| figure(&p["count"])).sum::<f64>(), 4.0, "{sides:?}");
    for side in sides {
        near(figure(&edge(side, "side 1")["outside"]), 30.0, 0.05 / f64::sqrt(2.0));
    }
}

#[test]
fn the_mass_of_a_bracer_is_area_times_thickness_times_density() {
    // F7 and I17, own arithmetic: radii 90 and 130, height 220: area 154 545.924 mm² on the neutral surface; at 5 mm
    // and 100 kg/m³ 77.273 g. Measured in the middle, so that the neutral surface has these
    // radii, and cut square to the sheet, so that nothing is bevelled off.
    let text = "prop p { title: \"P\", of: foam, measured: middle }\n\
        stock foam { as: foam, thick: 5 mm, size: 2 m by 2 m, density: 100 kg/m3 }\n\
        shell bracer { at 0 mm: circle(across: 180 mm), at 220 mm: circle(across: 260 mm), rim: square }\n";
    let bracer = &report(text)["pieces"][0];
    near(figure(&bracer["area"]) / 154_545.924, 1.0, 1e-5);
    near(figure(&bracer["mass"]), 77.273, 0.000_5);
}

#[test]
fn a_turn_of_a_helix_is_the_diagonal_of_the_flat() {
    // Unwrapping a cylinder keeps lengths (T. M. Apostol & M. A. Mnatsakanian, "Unwrapping Curves from Cylinders and
    // Cones", Amer. Math. Monthly 114, 2007). H1, a web lesson: radius 1, rise 2: printed 6.60 with 2 × 3.145 for 2π,
    // exact 6.593 82. H2: diameter 60, pitch 40, three turns: 578.078 87 at a lead of 11.980 81°.
    for (across, rise, turns, long, within) in
        [(20.0, 20.0, 1.0, 66.0, 0.1), (20.0, 20.0, 1.0, 65.938_2, 0.001), (60.0, 40.0, 3.0, 578.078_87, 0.01)]
    {
        let tube = piece(&format!("shell tube {{ at 0 mm to {rise} mm: circle(across: {across} mm) }}"));
        let (wide, tall) =
            (figure(&edge(&tube, "bottom")["neutral"]), figure(&edge(&tube, "seam left side")["neutral"]));
        near(turns * num::hypot(wide, tall), long, within);
        if turns > 1.0 {
            near(num::atan2(tall, wide).to_degrees(), 11.980_81, 0.000_05);
        }
    }
}

/// What four bends of a right angle take on the neutral surface: a rounded tube measured inside, less its flat sides.
fn bend(radius: f64, thick: f64, neutral: f64) -> f64 {
    let side = 100.0;
    let text = format!(
        "prop p {{ title: \"P\", of: sheet, measured: inside }}\n\
         stock sheet {{ as: card, thick: {thick} mm, size: 2 m by 2 m, neutral: {neutral} %, tightest: 0 mm, \
         tightest_warm: 0 mm, density: 900 kg/m3 }}\n\
         shell tube {{ at 0 mm to 90 mm: rectangle(across: {side} mm by {side} mm, corner: {radius} mm) }}\n"
    );
    let girth = figure(&edge(&report(&text)["pieces"][0], "bottom")["neutral"]);
    (girth - 4.0 * (side - 2.0 * radius)) / 4.0
}

#[test]
fn bends_take_their_printed_allowance() {
    // FAA-H-8083-31, Aviation Maintenance Technician Handbook – Airframe vol. 1, ch. 4, its chart row for a radius of
    // 5/32 and a thickness of .040 (in): .003 034 a degree, so K .44; 60° take .182 04, a right angle .27 as printed.
    // The blank of .8 + 1.6 + .8 with two bends of .27 is printed 3.74. A hundred times as large here.
    let allowance = bend(15.625, 4.0, 44.0) / 100.0;
    near(allowance / 90.0, 0.003_034, 0.000_000_5);
    near(allowance * 60.0 / 90.0, 0.182_04, 0.000_03);
    near(allowance, 0.27, 0.005);
    near(0.8 + 1.6 + 0.8 + 2.0 * (allowance * 100.0).round() / 100.0, 3.74, 0.000_1);
    // A sheet-metal workbook: thickness .050, radius .032 (in): allowance .085, deduction twice the setback
    // .082 less that, .079; legs .740 + .420 + 1.050 + 1.000 with three bends: blank 2.973. K .44 as above.
    let allowance = bend(3.2, 5.0, 44.0) / 100.0;
    near(allowance, 0.085, 0.000_5);
    let deduction = 2.0 * (0.032 + 0.050) - allowance;
    near(deduction, 0.079, 0.000_5);
    near(0.740 + 0.420 + 1.050 + 1.000 - 3.0 * (deduction * 1000.0).round() / 1000.0, 2.973, 0.000_1);
}

#[test]
fn the_shortest_loop_round_a_cone_is_the_chord_of_its_sector() {
    // K10, an exam question, answer own: radius 1, slant 3: the sector is 120°, the loop from a point of the base and
    // back 3√3 = 5.196 15. On the flat it is the straight line between the feet of the two seam sides.
    let cone = Strip::new(&Section::circle(1.0), 0.0, &Section::point(Vec2::ZERO), 8f64.sqrt()).expect("a cone");
    let walk = Walk::new(&cone);
    near(walk.whole_turn().abs().to_degrees(), 120.0, 1e-6);
    near(2.0 * 3.0 * num::sin(0.5 * walk.whole_turn().abs()), 5.196_15, 0.000_005);
}

#[test]
fn quarter_ovals_have_the_tabled_elliptic_integral() {
    // C1: E(m), Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, table 17.1 (parameter m = k², not the
    // modulus k: handbooks and libraries differ). An ellipse of half-axes 1 and √(1 − m) is 4 E(m) round.
    for (m, e) in [
        (0.0, core::f64::consts::FRAC_PI_2),
        (0.25, 1.467_462_209_3),
        (0.5, 1.350_643_881_0),
        (0.75, 1.211_056_027_6),
        (0.9, 1.104_774_732_7),
    ] {
        near(Section::oval(1.0, f64::sqrt(1.0 - m), 2.0).girth() / 4.0, e, 1e-9);
    }
    // C2: (100, 50) 484.422 411 03.
    near(Section::oval(50.0, 100.0, 2.0).girth(), 484.422_411_03, 1e-6);
}

/// A regular polygon of `n` sides about a circle of this radius that goes through its corners.
fn regular(n: u32, radius: f64) -> Section {
    let turn = TAU / f64::from(n);
    let corners = (0..n).map(|i| {
        let (s, c) = num::sin_cos(turn * f64::from(i));
        let (from, to) = (turn * (f64::from(i) - 0.5), turn * (f64::from(i) + 0.5));
        Element { from, to, curve: Curve::Round { centre: Vec2::new(radius * c, radius * s), radius: 0.0 } }
    });
    Section::new(corners.collect()).expect("a polygon")
}

#[test]
fn polygons_in_a_circle_have_their_share_of_girth_and_area() {
    // C9: perimeter 2nR sin(π/n), area (n/2)R² sin(2π/n), to those of the circle (exact).
    for (n, girth, area) in [
        (6, 0.954_93, 0.826_99),
        (12, 0.988_62, 0.954_93),
        (24, 0.997_15, 0.988_62),
        (48, 0.999_29, 0.997_15),
        (96, 0.999_82, 0.999_29),
    ] {
        let polygon = regular(n, 100.0);
        near(polygon.girth() / (TAU * 100.0), girth, 0.000_005);
        near(polygon.area() / (PI * 10_000.0), area, 0.000_005);
    }
}

#[test]
fn a_circle_takes_the_chords_its_tolerance_asks_for() {
    // C10: n ≥ π / acos(1 − ε/R) (exact): R 100, ε 0.05: 100; ε 0.1: 71. C5: the chords lie inside, so they are
    // shorter than the circle, by a share that falls with the square of their number.
    let half = |a: f64| Seg { a: Vec2::new(a, 0.0), b: Vec2::new(-a, 0.0), bulge: 1.0 };
    let circle = Path { segs: vec![half(100.0), half(-100.0)] };
    let mut short = Vec::new();
    for (tol, least) in [(0.05, 100), (0.1, 71)] {
        let points = circle.flattened(tol);
        let n = points.len() - 1;
        assert!(n >= least && n <= least + 2, "{n}, at least {least}");
        let long: f64 = points.windows(2).map(|w| (w[1] - w[0]).length()).sum();
        assert!(long < circle.length());
        short.push((circle.length() - long) * f64::from(u32::try_from(n * n).expect("few")));
    }
    near(short[0] / short[1], 1.0, 0.001);
}

#[test]
fn sloped_frames_have_their_printed_mitres() {
    // BV1, a mitre-saw chart, and Snyder & Gottesman, Compound-Angle Joinery, 2015: n sides that slope p from level:
    // mitre M, blade tilt B (degrees, to half of the last digit). BV2: neighbours meet at 180° − 2B.
    // A frame is the wall between two polygons: on the flat each corner turns by 2M, in space by 2B.
    for (p, n, mitre, tilt) in [
        (5.0, 4, 44.89, 3.53),
        (15.0, 4, 44.01, 10.55),
        (30.0, 4, 40.89, 20.70),
        (30.0, 5, 32.18, 17.09),
        (30.0, 6, 26.57, 14.48),
        (30.0, 8, 19.73, 11.03),
        (45.0, 4, 35.26, 30.00),
        (45.0, 6, 22.21, 20.70),
    ] {
        let (m, b) = mitre_and_tilt(n, p);
        near(m, mitre, 0.005_01);
        near(b, tilt, 0.005_01);
    }
    // MathWorld, "Platonic Solid": the angles between faces. The sides of a pyramid slope as the solid's own faces do:
    // tetrahedron (on a face), cube and dodecahedron and icosahedron (about a corner), octahedron (half of it).
    for (n, slope, between) in [
        (3, 70.528_78, 70.528_78),
        (3, 54.735_61, 90.0),
        (4, 54.735_61, 109.471_22),
        (3, 37.377_37, 116.565_05),
        (5, 37.377_37, 138.189_69),
    ] {
        let (_, b) = mitre_and_tilt(n, slope);
        near(180.0 - 2.0 * b, between, 0.000_1);
    }
}

/// Half of what a corner of a frame of `n` sides at this slope from level turns on the flat, and in space, degrees.
fn mitre_and_tilt(n: u32, slope: f64) -> (f64, f64) {
    let tall = 20.0 * num::tan(slope.to_radians());
    let inner = |r: f64| r / num::cos(PI / f64::from(n));
    let frame = Strip::new(&regular(n, inner(60.0)), 0.0, &regular(n, inner(40.0)), tall).expect("a frame");
    let walk = Walk::new(&frame);
    let corners = walk.legs().len();
    let mitre = walk.whole_turn().abs() / f64::from(n) / 2.0;
    let turns: Vec<f64> = (0..corners)
        .filter(|&leg| matches!(walk.legs()[leg], Leg::Turn { .. }))
        .map(|leg| {
            let normal = |t| walk.rule(Place { leg, t }).normal();
            num::acos(normal(0.0).dot(normal(1.0)))
        })
        .filter(|a| *a > 1e-6)
        .collect();
    assert!(!turns.is_empty());
    (mitre.to_degrees(), (turns[0] / 2.0).to_degrees())
}

#[test]
fn lines_have_the_widths_and_kinds_of_the_standard() {
    use tasset::emit::style::{ALL, style};
    // L1: the series of ISO 128 and wide : narrow = 2 : 1, usual .7 and .35 (Manual of Engineering Drawing, chapter on
    // ISO 128). L2: cut through is a wide continuous line (01.2), as a visible outline is.
    for operation in ALL {
        let width = style(operation).width;
        assert!([0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0].contains(&width), "{operation:?}: {width}");
    }
    let cut = style(Operation::Cut);
    assert_eq!((cut.line, cut.width), (1, 0.7));
    near(cut.width / style(Operation::Fold).width, 2.0, 1e-12);
    // From memory of the standard: 02 dashed, 04 long dash and dot, 05 long dash and two dots.
    let lines = [Operation::Score, Operation::Centre, Operation::Fold].map(|o| style(o).line);
    assert_eq!(lines, [2, 4, 5]);
}

#[test]
fn drawings_say_their_version_and_millimetres() {
    use tasset::pipeline::{DxfVersion, Options, build};
    // D3, D4: published DXF Reference: $INSUNITS (group 70) 4 is millimetres; $ACADVER AC1009 is R12, AC1015 is 2000.
    // D5: R12 has no LWPOLYLINE.
    let text = format!("{FILM}shell tube {{ at 0 mm: circle(across: 90 mm), at 50 mm: circle(across: 80 mm) }}\n");
    for (dxf, version) in [(DxfVersion::R2000, "AC1015"), (DxfVersion::R12, "AC1009")] {
        let options = Options {
            sets: Vec::new(),
            wearer: None,
            stl: false,
            dxf,
            template: tasset::pipeline::Template::Outside,
            mock_up: None,
            layout: tasset::pipeline::LayoutOptions::QUICK,
        };
        let built = build(&mut Folder::of(&text), "prop.prop", &options);
        let drawing = built.files.iter().find(|f| f.path.ends_with(".dxf")).expect("a drawing");
        let drawing = String::from_utf8(drawing.bytes.clone()).expect("text");
        let pairs: Vec<&str> = drawing.lines().map(str::trim).collect();
        let behind = |name: &str| pairs.iter().position(|l| *l == name).map(|i| (pairs[i + 1], pairs[i + 2]));
        assert_eq!(behind("$ACADVER"), Some(("1", version)));
        assert_eq!(behind("$INSUNITS"), Some(("70", "4")));
        assert_eq!(pairs.contains(&"LWPOLYLINE"), version == "AC1015");
    }
}

#[test]
fn a_page_keeps_the_margin_printers_need() {
    // P3: no standard; a quarter inch, 6.35 mm, is safe (common practice, no source). P1, P2: see `schema`.
    let paper = tasset::schema::kind("paper").expect("a kind");
    let margin = paper.field("margin").expect("a field");
    assert_eq!(margin.need, tasset::schema::Need::Default("6.5 mm"));
    // V1: CSS Values 3: an inch is 25.4 mm, the same inch the language has.
    near(tasset::units::unit("in").expect("inches").factor, 25.4, 1e-12);
}
