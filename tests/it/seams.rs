//! What seams carry beside themselves: strips behind them, tabs and laps, on walls whose generatrices fan out or run to
//! a point.
//!
//! Cones are reckoned in closed form: at the height where its radius is r, the parallel at depth d of a cone of slope α
//! is 2π(r + d sec α) round (plane geometry).

use crate::memory::{Folder, build, errors, told};
use crate::shape::{Made, made_with};
use tasset::geom::cross;
use tasset::num::{self, PI};
use tasset::piece::Piece;
use tasset::solid::EdgeName;

fn builds(text: &str) {
    let built = build(Folder::of(text));
    assert!(errors(&built).is_empty(), "{}", told(&built));
}

fn shell(stock: &str, fields: &str) -> String {
    format!(
        "prop p {{ title: \"P\", of: sheet }}\nstock sheet {{ as: foam, {stock}, density: 95 kg/m3 }}\nshell wall {{ {fields} }}\n"
    )
}

/// The pieces of a prop, audited.
fn cut(m: &Made) -> Vec<Piece> {
    assert!(!m.shaped.diagnostics.has_errors(), "{}", m.told());
    crate::support::cut(&m.shaped.solid).pieces.pieces
}

#[test]
fn strips_behind_seams_where_generatrices_fan_out_are_judged_by_their_own_sides() {
    // From a rounded side of four to a near square, and ovals across each other: the strip's sides cross many
    // generatrices, other ones at its foot than at its head.
    builds(&shell(
        "thick: 1 mm, size: 500 mm by 1000 mm",
        "at 0 mm: outline(points: [22.8386 mm by 14.0114 mm, -26.1863 mm by 10.2352 mm, -11.5593 mm by -20.3168 mm, \
         22.1881 mm by -14.5829 mm], corner: 11.5954 mm), at 281.6 mm: rectangle(across: 102.9 mm by 148.5 mm, corner: 48 mm), \
         seam: backed(wide: 21 mm, facing: -18 deg)",
    ));
    builds(&shell(
        "thick: 2.5 mm, size: 1000 mm by 2000 mm, neutral: 40 %",
        "at 0 mm: oval(across: 163.2 mm by 308 mm), at 145.9 mm: oval(across: 281.9 mm by 146 mm), \
         seam: backed(wide: 25 mm, facing: left + 20 deg), measured: middle",
    ));
}

#[test]
fn a_strip_behind_a_seam_ends_before_the_point() {
    // 100 mm from the axis at the foot, 150 mm tall: sec α = √(1 + (100/150)²). The strip is half a millimetre thick on
    // the inside, so its middle lies 0.25 mm in; 30 mm are half of the way round where 2π(r − 0.25 sec α) = 60.
    let sec = (1.0 + (100.0f64 / 150.0).powi(2)).sqrt();
    let short = (60.0 / (2.0 * PI) + 0.25 * sec) * 150.0 / 100.0;
    for (lower, upper, edge) in
        [("circle(across: 200 mm)", "point", EdgeName::Upper), ("point", "circle(across: 200 mm)", EdgeName::Lower)]
    {
        let text = format!(
            "stock card {{ as: card, thick: 0.5 mm, size: 1000 mm by 1000 mm, neutral: 50 % }}
             shell cone {{ of: card, at 0 mm: {lower}, at 150 mm: {upper}, seam: backed(wide: 30 mm), measured: inside }}"
        );
        let m = made_with("", &text);
        let pieces = cut(&m);
        let strip = pieces.iter().find(|p| p.name.contains("backing")).unwrap();
        let note = strip.edges.iter().find(|n| n.edge == edge).unwrap();
        assert_eq!(note.bevel, format!("square; ends {short:.1} mm short of the point"));
        // It is as wide there as everywhere, but that its rim lies a little lower.
        assert!((note.long.neutral - 30.0).abs() < 0.5, "{:?}", note.long);
    }
}

#[test]
fn strips_behind_the_seams_of_shells_that_run_to_a_point_are_cut() {
    // A bar with round ends to a point, which come to nothing before its flat sides do, where the strip's side would lie
    // in a bend and where it would not; an oval whose faces close long before its point, in two layers.
    for seam in ["wide: 27 mm, facing: left + 20 deg", "wide: 20 mm, facing: left", "wide: 15 mm, facing: front"] {
        builds(&shell(
            "thick: 3 mm, size: 1000 mm by 2000 mm",
            &format!(
                "at 0 mm: outline(points: [-88.304 mm by -55.5765 mm, 88.304 mm by -55.5765 mm, arc(end: 88.304 mm by \
                 55.5765 mm, rise: 55.5765 mm), -88.304 mm by 55.5765 mm, arc(end: -88.304 mm by -55.5765 mm, rise: \
                 55.5765 mm)]), at 63.1 mm: point, seam: backed({seam})"
            ),
        ));
    }
    builds(&shell(
        "thick: 6 mm, size: 1000 mm by 2000 mm",
        "at 0 mm: rectangle(across: 70.2 mm by 85.5 mm, corner: 34.7 mm), at 57.2 mm: point, \
         seam: backed(wide: 25 mm, facing: 83 deg), measured: outside",
    ));
}

#[test]
fn a_strip_that_finds_no_room_is_told_how_wide_it_may_be() {
    let cone = |wide: &str| {
        shell(
            "thick: 2 mm, size: 1000 mm by 1000 mm",
            &format!("at 0 mm: circle(around: 160 mm), at 70 mm: point, seam: backed(wide: {wide})"),
        )
    };
    let built = build(Folder::of(&cone("74 mm")));
    let d = built.diagnostics.iter().next().unwrap();
    assert_eq!(errors(&built), ["seam-too-wide"], "{}", told(&built));
    let repair = d.repair.clone().unwrap();
    builds(&cone(repair.strip_prefix("wide: ").unwrap()));
}

#[test]
fn tabs_stand_where_the_flat_leaves_room_for_them() {
    // A cone of 110 mm over a height of 41 lies nearly all round: its seam's sides stand some 23° apart.
    let text = "stock card { as: card, thick: 0.5 mm, size: 1000 mm by 1000 mm }
         shell cone { of: card, at 0 mm: circle(across: 220 mm), at 41 mm: point, seam: tabs(wide: 14 mm, facing: right) }";
    let pieces = cut(&made_with("", text));
    let piece = &pieces[0];
    let begin: Vec<_> = piece.contour.iter().filter(|r| r.edge == Some(EdgeName::Begin)).collect();
    let tabs: Vec<_> = piece.contour.iter().filter(|r| r.edge.is_none()).collect();
    assert!(!tabs.is_empty());
    let mut least = f64::INFINITY;
    for p in tabs.iter().flat_map(|r| r.path.flattened(0.01)) {
        for other in &begin {
            least = least.min(cross::nearest(&other.path, p).unwrap().2.distance(p));
        }
    }
    // A knife's width, and not much more: the tabs reach as far toward the point as they can.
    assert!((0.99..15.0).contains(&least), "{least}");
    // All round at the foot: 14 mm and the millimetre for the knife need 15/tan 23.4° of the side.
    let slant = num::hypot(110.0, 41.0);
    let apart = 2.0 * PI * (1.0 - 110.0 / slant);
    let first = tabs.iter().flat_map(|r| r.path.flattened(0.01)).map(|p| (p - tip(piece)).length());
    assert!(first.fold(f64::INFINITY, f64::min) > 15.0 / num::tan(apart) - 2.0);
}

/// Where the seam's sides meet.
fn tip(piece: &Piece) -> tasset::geom::Vec2 {
    let ends = |edge: EdgeName| {
        let runs = piece.contour.iter().filter(move |r| r.edge == Some(edge));
        runs.flat_map(|r| [r.path.start().unwrap(), r.path.end().unwrap()])
    };
    let pairs = ends(EdgeName::Begin).flat_map(|a| ends(EdgeName::End).map(move |b| (a, a.distance(b))));
    pairs.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap().0
}

#[test]
fn tabs_that_are_too_wide_are_told_once_with_what_fits_every_ring() {
    let wall = |seam: &str| {
        shell(
            "thick: 0.8 mm, size: 500 mm by 1000 mm",
            &format!(
                "at 0 mm: circle(across: 110 mm), at 30 mm: circle(across: 96 mm), at 46 mm: circle(across: 88 mm), {seam}"
            ),
        )
    };
    let built = build(Folder::of(&wall("seam: tabs(wide: 26 mm, facing: left + 20 deg)")));
    assert_eq!(errors(&built), ["tabs-too-wide"], "{}", told(&built));
    let repair = built.diagnostics.iter().find_map(|d| d.repair.clone()).unwrap();
    // The seam stays where it is.
    assert!(repair.contains("facing: 110 deg"), "{repair}");
    builds(&wall(&repair));
}

#[test]
fn halves_cut_through_a_tab_or_a_lap_keep_their_area() {
    for seam in ["tabs(wide: 17 mm, facing: left + 20 deg)", "lap(overlap: 17 mm, facing: left + 20 deg)"] {
        builds(&shell(
            "thick: 5 mm, size: 500 mm by 1000 mm, neutral: 40 %",
            &format!(
                "at 0 mm: outline(points: [-56.6372 mm by -64.958 mm, 78.5612 mm by -46.0465 mm, -27.3495 mm by 77.2116 mm], \
                 corner: 35.9279 mm), at 419.1 mm: oval(around: 1142.7 mm, ratio: 1.64, fullness: 3), seam: {seam}, measured: inside"
            ),
        ));
    }
}

#[test]
fn a_lap_lies_on_the_beginning_where_generatrices_fan_out() {
    builds(&shell(
        "thick: 0.5 mm, size: 1000 mm by 2000 mm, neutral: 40 %",
        "at 0 mm: outline(points: [-6.3794 mm by -6.1832 mm, 6.3794 mm by -6.1832 mm, arc(end: 6.3794 mm by 6.1832 mm, \
             rise: 6.1832 mm), -6.3794 mm by 6.1832 mm, arc(end: -6.3794 mm by -6.1832 mm, rise: 6.1832 mm)]), \
             at 205.1 mm: rectangle(across: 308.6 mm by 142.5 mm, corner: 16.8 mm), seam: lap(overlap: 12 mm, facing: -15 deg), \
             measured: inside, pair: mirrored",
    ));
}

#[test]
fn arrows_on_a_lap_and_beside_a_point_stand_up_the_wall() {
    // The words of this piece come to lie on its lap.
    builds(&shell(
        "thick: 8 mm, size: 500 mm by 1000 mm",
        "at 0 mm: point, at 79.1 mm: outline(points: [-0.1395 mm by 75.8771 mm, -91.4871 mm by -18.4192 mm, \
         -12.7035 mm by -75.1857 mm, 93.6606 mm by -8.8751 mm], corner: 38.23 mm), seam: lap(overlap: 10 mm, facing: 12 deg)",
    ));
}

#[test]
fn a_hole_that_its_seam_would_close_is_told() {
    let told = |seam: &str, place: &str| {
        let text = format!(
            "prop p {{ title: \"P\", of: foam5 }}
             shell body {{ at 0 mm to 120 mm: circle(across: 110 mm), seam: {seam} }}
             opening port on body {{ shape: circle(across: 8 mm), level: 60 mm, facing: {place} }}\n"
        );
        let built = crate::memory::build(crate::memory::Folder::of(&text));
        built.diagnostics.iter().map(|d| d.code.name()).collect::<Vec<_>>()
    };
    // Half a degree of a girth of 330 (the middle of the sheet) is 0.46 mm. A lap or tabs of 24 mm lie on the wall's
    // beginning: the hole's near side is 4 mm from its middle, so 28 mm are clear, 30.6 degrees of 52.5 in radius. A
    // strip of 30 lies 15 mm to either side, so 19 mm, 20.7 degrees.
    for (seam, facing, under) in [
        ("lap(overlap: 24 mm)", "back + 12 deg", true),
        ("lap(overlap: 24 mm)", "back + 30 deg", true),
        ("lap(overlap: 24 mm)", "back + 31.2 deg", false),
        ("lap(overlap: 24 mm)", "back - 12 deg", false),
        ("tabs(wide: 24 mm)", "back + 12 deg", true),
        ("tabs(wide: 24 mm)", "back - 12 deg", false),
        ("backed(wide: 30 mm)", "back + 12 deg", true),
        ("backed(wide: 30 mm)", "back - 12 deg", true),
        ("backed(wide: 30 mm)", "back - 21.2 deg", false),
        ("butt", "back + 12 deg", false),
    ] {
        let found = told(seam, facing);
        assert_eq!(found, if under { vec!["under-the-seam"] } else { vec![] }, "{seam}, {facing}");
    }
}

#[test]
fn halves_of_full_ovals_end_where_the_oval_is_flat() {
    // The perimeter of a superellipse of power 4 with half-axes 100 and 60 is 565.272 416 28 (Γ formula and quadrature); at
    // the front and back, and at the left and right, it is cut where its normal hardly turns for centimetres.
    for (facing, upper) in [
        ("front", "circle(across: 170 mm)"),
        ("left", "circle(across: 170 mm)"),
        ("back", "rectangle(across: 180 mm by 140 mm, corner: 20 mm)"),
        ("right", "rectangle(across: 150 mm by 160 mm, corner: 20 mm)"),
        ("front", "oval(across: 130 mm by 190 mm, fullness: 3.6)"),
    ] {
        for gap in ["50 %", "180 deg"] {
            let text = format!(
                "stock sheet {{ as: foam, thick: 3 mm, size: 1000 mm by 2000 mm }}
                 shell wall {{ of: sheet, at 0 mm: oval(across: 200 mm by 120 mm, fullness: 4), at 150 mm: {upper},
                 seam: open(gap: {gap}, facing: {facing}) }}"
            );
            builds(&format!("prop p {{ title: \"P\" }}\n{text}"));
            let pieces = cut(&made_with("", &text));
            let note = pieces[0].edges.iter().find(|n| n.edge == EdgeName::Lower).unwrap();
            assert!((note.long.outside - 0.5 * 565.272_416_28).abs() < 0.002, "{gap} {facing}: {:?}", note.long);
        }
    }
}
