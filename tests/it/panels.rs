//! Shells with sharp corners: from text to report, against printed figures and closed forms, and spoilt.

use crate::memory::{Folder, build, clean, errors, mock_up, told};
use crate::support::Spoilt;
use serde_json::Value;
use tasset::geom::sided::{self, Side};
use tasset::num;
use tasset::piece::About;
use tasset::solid::{Body, Solid};
use tasset::verdict::Check;

const FOAM: &str = "prop p { title: \"P\", of: foam6 }\n\
    stock foam6 { as: foam, thick: 6 mm, size: 1000 mm by 1000 mm, density: 95 kg/m3 }\n";
const FILM: &str = "prop p { title: \"P\", of: film }\n\
    stock film { as: card, thick: 0.0001 mm, size: 4 m by 4 m, density: 900 kg/m3, neutral: 100 % }\n";
/// The body of the storm lantern, B4.
const LANTERN: &str = "shell body { at 0 mm to 220 mm: polygon(sides: 6, across: 160 mm) }\n\
    cap floor on body.bottom { }\n\
    opening windows on body { shape: rectangle(across: 50 mm by 120 mm, corner: 6 mm), count: 6 }\n";
/// Two frusta and a pyramid, one on the other.
const SPIRE: &str = "shell body { at 0 mm: polygon(sides: 5, across: 100 mm), at 120 mm: polygon(sides: 5, across: 160 mm)\n\
    at 200 mm: polygon(sides: 5, across: 60 mm), at 260 mm: point }\n\
    cap floor on body.bottom { sunk: 10 mm }\n";

fn spoilt(things: &str) -> Spoilt {
    Spoilt::of(&format!("{FOAM}{things}"))
}

fn report(text: &str) -> Value {
    let built = clean(text);
    serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON")
}

fn pieces(text: &str) -> Vec<Value> {
    report(text)["pieces"].as_array().expect("pieces").clone()
}

#[track_caller]
fn near(found: f64, expected: f64, off: f64) {
    assert!((found - expected).abs() <= off, "{found}, not {expected} within {off}");
}

#[test]
fn the_lantern_s_panels_have_their_sides_and_bevels() {
    // B4: side 92.4 outside and 85.4 inside, bevel 30 degrees; BV3: the inside is short by 6/tan 60° at each edge.
    let all = pieces(&format!("{FOAM}{LANTERN}"));
    let panels: Vec<&Value> = all.iter().filter(|p| p["part"].as_str().unwrap().contains("panel")).collect();
    assert_eq!((all.len(), panels.len()), (7, 6));
    for (i, panel) in panels.iter().enumerate() {
        assert_eq!(panel["name"], format!("body panel {}", i + 1));
        let edges = panel["edges"].as_array().unwrap();
        assert_eq!(edges.len(), 4);
        let long = |k: usize, face: &str| edges[k][face].as_f64().unwrap();
        near(long(0, "outside"), 92.376, 0.001);
        near(long(0, "inside"), 85.448, 0.001);
        near(long(0, "outside") - long(0, "inside"), 2.0 * 6.0 / num::tan(60f64.to_radians()), 1e-5);
        near(long(1, "outside"), 220.0, 1e-6);
        for side in [1, 3] {
            assert_eq!(edges[side]["bevel"], "30° long outside");
            assert!(edges[side]["letter"].is_string() && edges[side]["notches"].as_u64() >= Some(1));
        }
        assert_eq!(edges[0]["bevel"], "square");
        assert_eq!(edges[0]["meets"], format!("floor side {}", i + 1));
        assert_eq!(edges[1]["meets"], format!("body panel {} side 4", (i + 1) % 6 + 1));
        near(
            panel["area"].as_f64().unwrap(),
            92.376 * 220.0 - (50.0 * 120.0 - 36.0 * (4.0 - std::f64::consts::PI)),
            0.3,
        );
    }
}

#[test]
fn frusta_in_panels_have_the_area_of_their_trapezia() {
    // A frustum's side between regular polygons: n (a + b)/2 · s, s² = H² + (difference of the flats' distances)².
    for (n, low, up, tall) in
        [(3u32, 90.0, 140.0, 120.0), (4, 160.0, 100.0, 75.0), (6, 160.0, 120.0, 120.0), (9, 60.0, 200.0, 40.0)]
    {
        let text = format!(
            "{FILM}shell body {{ at 0 mm: polygon(sides: {n}, across_corners: {low} mm)\n\
             at {tall} mm: polygon(sides: {n}, across_corners: {up} mm) }}\n"
        );
        let half = std::f64::consts::PI / f64::from(n);
        let (a, b) = (low * num::sin(half), up * num::sin(half));
        let slant = (tall * tall + (0.5 * (up - low) * num::cos(half)).powi(2)).sqrt();
        let all = pieces(&text);
        let area: f64 = all.iter().map(|p| p["area"].as_f64().unwrap()).sum();
        // Corners are written in thousandths: each edge may lie half of one off.
        let edges = all.iter().flat_map(|p| p["edges"].as_array().unwrap());
        let rounded: f64 = edges.map(|e| 0.0005 * e["neutral"].as_f64().unwrap()).sum();
        near(area, f64::from(n) * 0.5 * (a + b) * slant, rounded);
    }
}

#[test]
fn panels_of_every_sort_pass_their_audit() {
    for things in [
        SPIRE,
        // Two layers, a hollow corner, a mirrored pair, caps in the bore and on the end.
        "stock foam2 { as: foam, thick: 2 mm, size: 1000 mm by 1000 mm, density: 95 kg/m3 }\n\
         shell box { of: [foam6, foam2], pair: mirrored, at 0 mm to 90 mm: outline(points: [0 mm by 0 mm, 120 mm by 0 mm,\n\
         120 mm by 50 mm, 60 mm by 50 mm, 60 mm by 140 mm, 0 mm by 140 mm]) }\n\
         cap floor on box.bottom { fit: flush }\n\
         cap lid on box.top { sunk: 3 mm, gap: 1 mm }\n",
        // Unlike slopes: the free rims are level.
        "shell tray { at 0 mm: rectangle(across: 100 mm by 60 mm), at 40 mm: rectangle(across: 130 mm by 150 mm) }\n\
         cap floor on tray.bottom { }\n",
        "shell tray { measured: inside, rim: square, at 0 mm: polygon(sides: 7, across: 90 mm), at 60 mm: polygon(sides: 7, across: 120 mm) }\n",
        // Lapped at right angles, a hollow corner among them.
        "shell box { made: panels(style: lapped), at 0 mm to 90 mm: outline(points: [0 mm by 0 mm, 120 mm by 0 mm,\n\
         120 mm by 50 mm, 60 mm by 50 mm, 60 mm by 140 mm, 0 mm by 140 mm]) }\n\
         cap floor on box.bottom { }\n",
        // It stands on a round one.
        "shell tub { at 0 mm to 50 mm: circle(across: 150 mm) }\n\
         shell hood on tub.top { at 0 mm to 60 mm: polygon(sides: 8, across: 140 mm, spin: 10 deg) }\n",
    ] {
        clean(&format!("{FOAM}{things}"));
    }
}

#[test]
fn facts_of_panels_are_those_of_their_faces() {
    // A hexagon 160 across its flats; inside it is 148.
    let text = format!(
        "{FOAM}{LANTERN}require abs(body.top.around - 554.2563 mm) < 0.001 mm \"girth\"\n\
         require abs(body.top.inside.around - 512.687 mm) < 0.001 mm \"inside\"\n\
         require abs(body.top.across - 184.7521 mm) < 0.001 mm \"across\"\n\
         require body.long == 220 mm \"long\"\nrequire body.thick == 6 mm \"thick\"\n"
    );
    report(&text);
}

#[test]
fn what_is_not_built_of_panels_says_so() {
    let unbuilt = |things: &str| {
        let built = build(Folder::of(&format!("{FOAM}{things}")));
        assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
        assert!(told(&built).contains("not built yet"), "{things}: {}", told(&built));
    };
    // Corners where more than three panels meet at unlike slopes; lapped; round corners beside sharp ones.
    unbuilt("shell a { at 0 mm: polygon(sides: 4, across: 120 mm), at 90 mm: polygon(sides: 8, across: 120 mm) }\n");
    unbuilt("shell a { made: panels(style: lapped), at 0 mm to 90 mm: polygon(sides: 6, across: 120 mm) }\n");
    unbuilt("shell a { at 0 mm: polygon(sides: 4, across: 120 mm), at 90 mm: circle(across: 120 mm) }\n");
    unbuilt("shell a { made: panels, at 0 mm to 90 mm: circle(across: 120 mm) }\n");
    unbuilt("shell a { seam: lap(overlap: 9 mm), at 0 mm to 90 mm: polygon(sides: 4, across: 120 mm) }\n");
    for more in [
        "cover hide on body { of: twill }",
        "border band on body.top { as: band, of: foam2, wide: 20 mm }",
        "cap roof on body.top { fit: overlay }",
        "contents cells in body { mass: 70 g }",
        "shell more on body.top { at 0 mm to 20 mm: circle(across: 90 mm) }",
        "cover hide on floor { of: twill }",
    ] {
        unbuilt(&format!("{LANTERN}{more}\n"));
    }
}

#[test]
fn a_window_that_reaches_into_a_corner_is_refused() {
    let text = format!(
        "{FOAM}shell body {{ at 0 mm to 220 mm: polygon(sides: 6, across: 160 mm) }}\n\
         opening windows on body {{ shape: rectangle(across: 90 mm by 120 mm), facing: front }}\n"
    );
    assert_eq!(errors(&build(Folder::of(&text))), ["hole-crosses-edge"]);
}

#[test]
fn a_mock_up_of_panels_is_cut_of_card() {
    let built = mock_up(Folder::of(&format!("{FOAM}{LANTERN}")), "1:2", None);
    assert!(errors(&built).is_empty(), "{}", told(&built));
    let report: Value = serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON");
    assert_eq!(report["pieces"].as_array().unwrap().len(), 7);
}

/// The sides of a panel's sheet made anew.
fn remade(solid: &Solid, part: usize, side: impl Fn(usize, Side) -> Side) -> Solid {
    let mut solid = solid.clone();
    let Body::Plate(plate) = &mut solid.parts[part].body else { panic!("a panel") };
    let sides: Vec<Side> = sided::sides(&plate.strip).into_iter().enumerate().map(|(k, s)| side(k, s)).collect();
    let (z0, z1) = plate.strip.heights();
    plate.strip = sided::strip(&sides, z0, z1).expect("a sheet");
    solid
}

#[test]
fn a_panel_that_is_spoilt_is_found() {
    for things in [LANTERN, SPIRE] {
        let made = spoilt(things);
        assert_eq!(made.judged().breaches, Vec::new(), "{things}");
        // Cut with a bevel a fifth of a millimetre too flat, and the sheet made so from the beginning.
        let mut bevel = spoilt(things);
        let mark = bevel.pieces.pieces[0].marks.iter_mut().find(|m| matches!(m.about, About::Bevel(_)));
        for s in &mut mark.expect("a bevel").path.segs {
            s.a += tasset::geom::Vec2::new(0.2, 0.2);
            s.b += tasset::geom::Vec2::new(0.2, 0.2);
        }
        bevel.fails(Check::Landing, "bevel line");
        let flat = remade(&made.solid, 0, |k, s| if k == 1 { Side { lower: s.lower + 0.2, ..s } } else { s });
        Spoilt::cut(flat).fails(Check::Transfer, "plates that meet");
        // A whole edge set in by the thickness; it still leans as it ought to.
        let narrow = |k: usize, s: Side| {
            if k == 1 { Side { lower: s.lower - 1.0, upper: s.upper - 1.0, ..s } } else { s }
        };
        Spoilt::cut(remade(&made.solid, 0, narrow)).fails(Check::Partner, "plates that meet");
        // One panel of a thinner sheet.
        let mut thin = made.solid.clone();
        thin.parts[0].layers[0].inner += 1.0;
        if let Body::Plate(plate) = &mut thin.parts[0].body {
            plate.hidden += 1.0;
        }
        Spoilt::cut(thin).fails(Check::Partner, "plates that meet");
        // Its key says another bevel, and another partner.
        let mut key = spoilt(things);
        let note = key.pieces.pieces[0].edges.iter_mut().find(|e| e.bevel.contains("long outside")).expect("a bevel");
        note.bevel = "20° long inside".to_owned();
        key.fails(Check::Transfer, "bevel");
        let mut key = spoilt(things);
        key.pieces.pieces[0].edges[1].meets = Some("body panel 4 side 1".to_owned());
        key.fails(Check::Partner, "whom it meets");
    }
}

#[test]
fn a_lap_that_stops_short_is_found() {
    let made =
        spoilt("shell box { made: panels(style: lapped), at 0 mm to 70 mm: rectangle(across: 180 mm by 240 mm) }\n");
    assert_eq!(made.judged().breaches, Vec::new());
    for k in [1, 3] {
        let short = |i: usize, s: Side| {
            if i == k { Side { lower: s.lower - 0.2, upper: s.upper - 0.2, ..s } } else { s }
        };
        Spoilt::cut(remade(&made.solid, 2, short)).fails(Check::Partner, "plates that meet");
    }
}

#[test]
fn panels_that_are_swapped_are_found() {
    let made = spoilt("shell box { at 0 mm to 70 mm: rectangle(across: 180 mm by 240 mm) }\n");
    assert_eq!(made.judged().breaches, Vec::new());
    // In the prop.
    let mut placed = made.solid.clone();
    let (a, b) = (placed.parts[0].place, placed.parts[1].place);
    (placed.parts[0].place, placed.parts[1].place) = (b, a);
    Spoilt::cut(placed).fails(Check::Partner, "plates that meet");
    // On the bench: each cut by the other's outline.
    let mut cut = spoilt("shell box { at 0 mm to 70 mm: rectangle(across: 180 mm by 240 mm) }\n");
    let (a, b) = (cut.pieces.pieces[0].contour.clone(), cut.pieces.pieces[1].contour.clone());
    (cut.pieces.pieces[0].contour, cut.pieces.pieces[1].contour) = (b, a);
    cut.fails(Check::Landing, "side of a plate");
}

#[test]
fn sizes_of_panels_are_held_against_the_text() {
    let mut made = spoilt(SPIRE);
    assert_eq!(made.judged().breaches, Vec::new());
    for claim in &mut made.solid.claims {
        if let tasset::solid::Size::Panels { size, .. } = &mut claim.size {
            use tasset::solid::OfPanels;
            match size {
                OfPanels::Around(mm) | OfPanels::Tall(mm) | OfPanels::Sunk(mm) | OfPanels::Across { mm, .. } => {
                    *mm += 0.2
                }
            }
        }
    }
    for what in ["width of all panels", "height of all panels", "depth below the edge"] {
        made.fails(Check::Claim, what);
    }
}
