//! Plates from the text to the pieces: what they come to on the flat, bent, bevelled and in pairs, and what a maker is
//! told when they cannot be made.

use crate::memory::{Folder, build, clean, errors, mock_up, told};
use serde_json::Value;
use tasset::geom::path::Path;
use tasset::piece::{About, Operation, Piece};

const GOODS: &str = "prop p { title: \"P\", of: foam5 }\n\
    stock foam5 { as: foam, thick: 5 mm, size: 2 m by 2 m, density: 100 kg/m3, tightest: 1 mm, tightest_warm: 1 mm }\n";

fn report(text: &str) -> Value {
    let built = clean(&format!("{GOODS}{text}\n"));
    serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON")
}

fn pieces(text: &str) -> Vec<Value> {
    report(text)["pieces"].as_array().expect("pieces").clone()
}

/// The pieces themselves.
fn cut(text: &str) -> Vec<Piece> {
    let checked = crate::support::checked(&format!("{GOODS}{text}\n"));
    assert!(checked.errors().is_empty(), "{}", checked.told());
    let shaped = tasset::shape::shape(&checked.design);
    assert!(!shaped.diagnostics.has_errors(), "{:#?}", shaped.diagnostics);
    let cut = crate::support::cut(&shaped.solid);
    assert!(cut.verdict.passed(), "{:#?}", cut.verdict.breaches);
    cut.pieces.pieces
}

fn contour(piece: &Piece) -> Path {
    Path { segs: piece.contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() }
}

#[track_caller]
fn near(found: f64, expected: f64, off: f64) {
    assert!((found - expected).abs() <= off, "{found}, not {expected} within {off}");
}

fn figure(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("{v} is no figure"))
}

#[test]
fn each_layer_of_a_bent_plate_has_its_own_developed_length() {
    // BA6, own arithmetic, π (R + K t): half a turn of foam about an inside radius of 60, its neutral surface half-way:
    // 188.496 inside, 5 mm: 196.350 on the neutral surface; a second layer of 5 mm: π 67.5 = 212.058.
    let two = pieces(
        "plate band { of: [foam5, foam5], measured: inside, bent: 60 mm, shape: rectangle(across: 188.49556 mm by 50 mm) }",
    );
    near(figure(&two[0]["size"][0]), 196.3495, 0.002);
    near(figure(&two[1]["size"][0]), 212.0575, 0.002);
    for one in &two {
        near(figure(&one["size"][1]), 50.0, 0.001);
    }
    let edges = &two[0]["edges"][0];
    near(figure(&edges["inside"]), 2.0 * (188.49556 + 50.0), 0.002);
    near(figure(&edges["outside"]), 2.0 * (204.20352 + 50.0), 0.002);
}

#[test]
fn a_bend_takes_what_the_handbook_allows() {
    // BA2, S18's chart: thickness .040, radius 5/32 in, 60 degrees: .003034 in a degree, printed .18204 in. The chart's
    // row is K = .440. A hundred times as large in millimetres: 15.625, 4, 18.204.
    let text = "prop p { title: \"P\", of: tin }\n\
        stock tin { as: card, thick: 4 mm, size: 1 m by 1 m, neutral: 44 %, tightest: 1 mm, tightest_warm: 1 mm }\n\
        plate bend { measured: inside, bent: 15.625 mm, shape: rectangle(across: 16.3624617 mm by 40 mm) }\n";
    let built = build(Folder::of(text));
    let report: Value = serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON");
    near(figure(&report["pieces"][0]["size"][0]), 18.204, 0.005);
}

#[test]
fn on_a_cone_a_plate_is_bent_as_the_wall_is() {
    // A cone's parallel surface has the same generatrices: on the flat angles about the apex stay and slants grow by
    // d / tan of the half angle, so an outline between two generatrices and two circles about the apex grows by the
    // ratio of its slants. Half angle with sin 0.6: radius 160 at 0, 40 at 160.
    let all = pieces(
        "shell cone { at 0 mm: circle(across: 320 mm), at 160 mm: circle(across: 80 mm), rim: square }
         plate scale on cone { shape: circle(across: 60 mm), level: 80 mm }",
    );
    let scale = &all[1];
    // Outline true on its outside, 5 mm off the wall: the slant there is (100 / 0.8 + 5) / 0.6 · 0.8 …, the neutral surface
    // lies 2.5 mm nearer. In the middle of the plate lengths across change by s' / s, lengths up by nothing.
    let slant = |d: f64| 100.0 / 0.6 + d * 0.8 / 0.6;
    let ratio = slant(2.5) / slant(5.0);
    // To second order in what the plate spans of the cone.
    near(figure(&scale["area"]) / (std::f64::consts::PI * 900.0 * ratio), 1.0, 2e-3);
    near(figure(&scale["size"][0]), 60.0 * ratio, 0.05);
}

#[test]
fn a_flat_plate_is_what_is_drawn() {
    let all = cut(
        "plate disc { shape: circle(across: 80 mm) }\nopening eye on disc { shape: circle(across: 10 mm), level: 30 mm }",
    );
    let [disc] = all.as_slice() else { panic!("one piece") };
    let outline = contour(disc);
    assert_eq!(outline.segs.len(), 2, "true arcs");
    near(outline.area(), std::f64::consts::PI * 1600.0, 0.02);
    let (low, high) = disc.holes[0].outline.bounds().expect("a hole");
    near(0.5 * (low.y + high.y), -10.0, 0.001);
    near(disc.mass.expect("a density"), 0.0005 * (std::f64::consts::PI * 1575.0), 0.000_1);
}

#[test]
fn bevels_are_lines_with_their_angle_and_width() {
    // A rectangle of 60 by 80, 12 mm in all round: 36 by 56 is left on the outside; atan(12/5) = 67.4°.
    let all = cut("plate wedge { shape: rectangle(across: 60 mm by 80 mm), bevel: wedge(wide: 12 mm) }");
    let [wedge] = all.as_slice() else { panic!("one piece") };
    let mark = wedge.marks.iter().find(|m| matches!(m.about, About::Bevel(_))).expect("a bevel line");
    assert_eq!(mark.operation, Operation::Bevel);
    near(mark.path.area().abs(), 36.0 * 56.0, 0.01);
    assert_eq!(wedge.edges[0].bevel, "67.5° long inside; 12 mm wide");
    // A frustum of a pyramid (its volume is known from Egypt: Moscow papyrus, problem 14, with mitred corners): mean
    // area (A + 4 M + B) / 6 with 48 by 68 half-way; foam of 5 mm at 100 kg/m³.
    let mean = (4800.0 + 4.0 * 48.0 * 68.0 + 36.0 * 56.0) / 6.0;
    near(wedge.mass.expect("a density"), mean * 0.0005, 0.000_1);

    let all = cut(
        "plate blade { of: [foam5, foam5], shape: rectangle(across: 60 mm by 300 mm), bevel: diamond(wide: 25 mm) }",
    );
    let [back, front] = all.as_slice() else { panic!("two halves") };
    assert_eq!(back.edges[0].bevel, "78.5° long outside; 25 mm wide");
    assert_eq!(front.edges[0].bevel, "78.5° long inside; 25 mm wide");
    assert_eq!(contour(back).area(), contour(front).area());
    // One sheet bevelled on both faces: 12 mm over half of 5 mm.
    let all = cut("plate blade { shape: rectangle(across: 60 mm by 80 mm), bevel: diamond(wide: 12 mm) }");
    assert_eq!(all[0].edges[0].bevel, "78° from both faces; 12 mm wide");
    near(all[0].mass.expect("a density"), mean * 0.0005, 0.000_1);

    // What moves the line by less than 0.3 mm is cut square: 5 mm · tan 3° = 0.26.
    let all = cut("plate badge { shape: circle(across: 60 mm), bevel: 3 deg }");
    assert!(all[0].marks.iter().all(|m| !matches!(m.about, About::Bevel(_))));
    assert!(all[0].edges[0].bevel.starts_with("cut square"), "{}", all[0].edges[0].bevel);
}

#[test]
fn a_pair_of_plates_is_mirrored() {
    let all = cut(
        "shell body { at 0 mm to 200 mm: circle(across: 200 mm) }
         plate fin on body { facing: left, pair: mirrored, shape: outline(points: [0 mm by 0 mm, 60 mm by 0 mm, 0 mm by 90 mm]) }",
    );
    let fins: Vec<&Piece> = all.iter().filter(|p| p.name.starts_with("fin")).collect();
    assert_eq!(fins.iter().map(|p| p.name.as_str()).collect::<Vec<_>>(), ["fin left", "fin right"]);
    let corner = |p: &Piece| contour(p).segs.iter().map(|s| s.a).max_by(|a, b| a.y.total_cmp(&b.y)).expect("a top");
    assert!(corner(fins[0]).x < -10.0 && corner(fins[1]).x > 10.0, "the right angle is on the other side");
    near(contour(fins[0]).area(), contour(fins[1]).area(), 1e-3);
}

#[test]
fn plates_go_where_they_are_put() {
    // In space, by the picture's own bodies: a plate on a wall lies on it, one at an edge stands on it.
    let text = format!(
        "{GOODS}shell body {{ at 0 mm to 200 mm: circle(across: 200 mm) }}
         plate on_it on body {{ shape: circle(across: 40 mm), level: 150 mm, facing: left }}
         plate in_it in body {{ shape: circle(across: 40 mm), level: 150 mm, facing: left, gap: 2 mm }}
         plate tangent on body {{ shape: circle(across: 40 mm), level: 50 mm, made: flat }}
         plate crest on body.top {{ shape: rectangle(across: 40 mm by 60 mm) }}
         plate board beside body {{ shape: rectangle(across: 40 mm by 60 mm), facing: back, gap: 30 mm }}
         plate badge on board {{ shape: circle(across: 20 mm), level: 45 mm }}
         plate alone {{ shape: rectangle(across: 40 mm by 60 mm), facing: right }}"
    );
    let checked = crate::support::checked(&text);
    assert!(checked.errors().is_empty(), "{}", checked.told());
    let solid = tasset::shape::shape(&checked.design).solid;
    let bodies = tasset::emit::body::bodies(&solid, 30.0);
    let of = |name: &str| bodies.iter().find(|b| b.name == name).unwrap_or_else(|| panic!("no {name}"));
    let range = |name: &str, f: fn(&tasset::geom::Vec3) -> f64| {
        let all = of(name).mesh.points.iter().map(f);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)))
    };
    let spans = |name: &str, f: fn(&tasset::geom::Vec3) -> f64, low: f64, high: f64| {
        let (l, h) = range(name, f);
        assert!((l - low).abs() < 0.02 && (h - high).abs() < 0.02, "{name}: {l} to {h}, not {low} to {high}");
    };
    let off_axis = |p: &tasset::geom::Vec3| p.truncate().length();
    spans("on_it", off_axis, 100.0, 105.0);
    spans("on_it", |p| p.z, 130.0, 170.0);
    assert!(range("on_it", |p| p.y).0 > 90.0, "to the left");
    spans("in_it", off_axis, 88.0, 93.0);
    spans("tangent", |p| p.x, 100.0, 105.0);
    spans("tangent", |p| p.z, 30.0, 70.0);
    spans("crest", |p| p.z, 200.0, 260.0);
    spans("crest", |p| p.x, 95.0, 100.0);
    spans("board", |p| p.x, -135.0, -130.0);
    spans("board", |p| p.z, 0.0, 60.0);
    spans("badge", |p| p.x, -140.0, -135.0);
    spans("badge", |p| p.z, 35.0, 55.0);
    spans("alone", |p| p.y, 0.0, 5.0);
    for body in &bodies {
        assert!(body.mesh.is_closed(), "{}", body.name);
    }
}

#[test]
fn a_mesh_of_a_plate_encloses_its_sheet() {
    let text = format!(
        "{GOODS}plate wedge {{ shape: rectangle(across: 60 mm by 80 mm), bevel: wedge(wide: 12 mm) }}
         plate half {{ measured: inside, bent: 60 mm, shape: rectangle(across: 188.49556 mm by 50 mm) }}
         opening port on half {{ shape: rectangle(across: 20 mm by 10 mm) }}"
    );
    let checked = crate::support::checked(&text);
    let solid = tasset::shape::shape(&checked.design).solid;
    let bodies = tasset::emit::body::bodies(&solid, 30.0);
    let volume = |name: &str| bodies.iter().find(|b| b.name == name).map(|b| b.mesh.volume()).expect("it is there");
    // The pyramid's frustum again; half a tube of 60 and 65, a hole of 20 by 10 on its inside through it.
    near(volume("wedge"), 5.0 / 6.0 * (4800.0 + 4.0 * 48.0 * 68.0 + 36.0 * 56.0), 0.01);
    let half = 0.5 * std::f64::consts::PI * (65.0 * 65.0 - 60.0 * 60.0);
    let through = 20.0 / 60.0 * 0.5 * (65.0 * 65.0 - 60.0 * 60.0);
    near(volume("half") / (half * 50.0 - through * 10.0), 1.0, 0.005);
    for body in &bodies {
        assert!(body.mesh.is_closed(), "{}", body.name);
    }
}

#[test]
fn facts_of_plates_are_measured() {
    let says = |require: &str| {
        let text = format!(
            "{GOODS}plate half {{ measured: inside, bent: 60 mm, shape: rectangle(across: 180 mm by 50 mm) }}\nrequire {require} \"so\""
        );
        clean(&text);
    };
    says("abs(half.across - 180 mm) < 0.001 mm");
    says("abs(half.outside.across - 195 mm) < 0.001 mm");
    says("abs(half.long - 50 mm) < 0.001 mm");
    says("abs(half.around - 460 mm) < 0.001 mm");
    says("abs(half.area - 9000 mm2) < 0.01 mm2");
    says("abs(half.outside.area - 9750 mm2) < 0.01 mm2");
    says("half.thick == 5 mm");
    // 100 kg/m³ on 187.5 by 50 by 5.
    says("abs(half.mass - 4.6875 g) < 0.0001 g");
}

#[test]
fn a_mock_up_has_its_plates() {
    let text = format!(
        "{GOODS}plate blade {{ of: [foam5, foam5], shape: rectangle(across: 60 mm by 300 mm), bevel: diamond(wide: 25 mm) }}
         plate half {{ bent: 60 mm, shape: circle(across: 80 mm) }}"
    );
    let built = mock_up(Folder::of(&text), "1:2", None);
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    let report: Value = serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON");
    let all = report["pieces"].as_array().expect("pieces");
    assert_eq!(all.len(), 2, "one sheet of card each");
    near(figure(&all[0]["size"][1]), 150.0, 30.0);
}

#[test]
fn what_cannot_be_is_refused_with_what_fits() {
    let says = |text: &str, code: &str, word: &str| {
        let built = build(Folder::of(&format!("{GOODS}{text}\n")));
        assert_eq!(errors(&built), [code], "{}", told(&built));
        assert!(told(&built).contains(word), "{}", told(&built));
    };
    says(
        "plate b { shape: rectangle(across: 40 mm by 90 mm), bevel: wedge(wide: 25 mm) }",
        "bevels-meet",
        "wide: 19 mm",
    );
    let cone = "shell c { at 0 mm: circle(across: 200 mm), at 100 mm: circle(across: 100 mm), at 160 mm: circle(across: 90 mm) }\n";
    says(
        &format!("{cone}plate b on c {{ shape: circle(across: 60 mm), level: 90 mm }}"),
        "plate-off-wall",
        "100 mm up",
    );
    says(
        "shell c { at 0 mm to 100 mm: circle(across: 60 mm) }\nplate b on c { shape: rectangle(across: 230 mm by 40 mm) }",
        "plate-off-wall",
        "around",
    );
    says(
        "plate b { shape: circle(across: 60 mm), bent: 90 mm, made: flat }",
        "flat-and-bent",
        "`bent` or `made: flat`",
    );
    says("plate b { shape: circle(across: 60 mm), bent: 4 mm }", "plate-off-wall", "thickness");
    // A hole that runs over the edge.
    says(
        "plate b { shape: circle(across: 60 mm) }\nopening o on b { shape: circle(across: 20 mm), level: 55 mm }",
        "hole-crosses-edge",
        "edge",
    );
}

#[test]
fn what_a_plate_does_not_take_yet_is_said_where_it_stands() {
    for text in [
        "cover hide on b { of: twill }",
        "border rim on b.edges { as: cord, of: cord3 }",
        "attachment eye on b { as: ring, of: dee20, tab: webbing20, facing: left }",
        "plate c in b { shape: circle(across: 20 mm) }",
    ] {
        let built = build(Folder::of(&format!("{GOODS}plate b {{ shape: circle(across: 90 mm) }}\n{text}\n")));
        let notes: Vec<_> = built.diagnostics.iter().filter(|d| d.code.name() == "not-built-yet").collect();
        assert!(notes.iter().any(|d| !d.labels.is_empty()), "{text}: {}", told(&built));
    }
}

#[test]
fn plates_are_moved_and_turned() {
    let report = report(
        "plate fin { shape: rectangle(across: 40 mm by 60 mm), shift: toward(front: 25 mm, left: 7 mm, up: 12 mm) }",
    );
    let centre = &report["masses"]["entries"][0]["centre"];
    // It stands on the ground, its middle 30 up; half of its sheet lies behind its measured face.
    near(figure(&centre[0]), 25.0 - 2.5, 1e-6);
    near(figure(&centre[1]), 7.0, 1e-6);
    near(figure(&centre[2]), 30.0 + 12.0, 1e-6);
    let turned = "plate fin { shape: rectangle(across: 40 mm by 60 mm), spin: 90 deg }";
    let box_of = |text: &str| {
        let (lo, hi) = contour(&cut(text)[0]).bounds().unwrap();
        hi - lo
    };
    near(box_of(turned).x, 60.0, 1e-3);
    near(box_of(turned).y, 40.0, 1e-3);
    // A fin with its foot on a lid, moved to the side.
    let text = "shell b { at 0 mm to 90 mm: circle(across: 90 mm) }\n\
                plate fin on b.top { shape: rectangle(across: 40 mm by 60 mm), shift: toward(back: 20 mm) }";
    let entries = self::report(text)["masses"]["entries"].as_array().unwrap().clone();
    let fin = entries.iter().find(|e| e["name"] == "fin").unwrap();
    near(figure(&fin["centre"][0]), 45.0 - 2.5 - 20.0, 1e-6);
    let built = build(Folder::of(&format!(
        "{GOODS}plate fin {{ shape: circle(across: 40 mm), tilt: toward(front: 10 deg) }}\n"
    )));
    assert!(told(&built).contains("a plate that leans"), "{}", told(&built));
}
