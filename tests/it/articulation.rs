//! Lames that slide: how they nest, how far they may turn, the straps that hold them, and what is told when they cannot.
//!
//! Outside values: the arc s = r θ (the definition of the radian), and the figures of brief B8, worked by hand there. The
//! 8 mm that a joint keeps is the language brief's own.

use crate::memory::{Folder, build, errors, mock_up, told};
use crate::support::{checked, cut};
use std::f64::consts::PI;
use std::fs;
use tasset::fitted::sliding::Sliding;
use tasset::fitted::{GoodsOf, Ground};
use tasset::num;
use tasset::piece::About;
use tasset::shape::shape;
use tasset::solid::{Body, Solid};

/// Lames of foam 3 that grow outward by 4 mm each; the widest face on which one slides has the given radius: it is the
/// outside of the last but one.
fn lames(plates: usize, radius: f64, wide: f64, overlap: f64, rest: &str) -> String {
    let first = radius - 3.0 - 4.0 * (plates as f64 - 2.0);
    format!(
        "prop p {{ title: \"Lames\", of: foam3, measured: inside }}
shell lame[1] {{ at 0 mm to {wide} mm: circle(across: {} mm), seam: open(facing: right, gap: 160 deg) }}
for i in 2 to {plates} {{ shell lame[i] over lame[i - 1] {{ gap: 1 mm, level: {} mm }} }}
articulation lift on lame {{ of: webbing20, overlap: {overlap} mm, {rest} }}
",
        2.0 * first,
        wide - overlap
    )
}

/// The codes and the text of what is said of a prop.
fn said(text: &str) -> (Vec<&'static str>, String) {
    let built = build(Folder::of(text));
    let codes = built.diagnostics.iter().map(|d| d.code.name()).collect();
    (codes, told(&built))
}

#[track_caller]
fn says(text: &str, code: &str, words: &[&str]) {
    let (codes, told) = said(text);
    assert_eq!(codes, [code], "{told}");
    for word in words {
        assert!(told.contains(word), "`{word}` is not in\n{told}");
    }
}

#[track_caller]
fn clean(text: &str) {
    let (codes, told) = said(text);
    assert!(codes.is_empty(), "{told}\n{text}");
}

fn solid(text: &str) -> Solid {
    let checked = checked(text);
    assert!(checked.errors().is_empty(), "{}", checked.told());
    let shaped = shape(&checked.design);
    assert!(shaped.diagnostics.is_empty(), "{:#?}", shaped.diagnostics);
    shaped.solid
}

fn sliding(solid: &Solid) -> &Sliding {
    let [one] = solid.fitted.slidings.as_slice() else { panic!("one articulation") };
    one
}

#[track_caller]
fn near(is: f64, asked: f64, within: f64) {
    assert!((is - asked).abs() <= within, "{is} is not {asked}");
}

#[test]
fn the_brief_s_sums_hold_at_its_radius() {
    // B8: at radius 100 a joint of 20 deg slides 34.9, so four lames need 43 for 60 deg.
    let asked = lames(4, 100.0, 60.0, 20.0, "angle: 60 deg");
    says(
        &asked,
        "cannot-move",
        &[
            "no: these lames cannot rise 60 deg",
            "3 joints, 20 deg each, slide 34.9 mm at radius 100; overlap 20 keeps 8 and gives 12, so 20.6 deg in all",
            "`overlap: 43 mm` with each plate at `level: 17 mm` over the last",
        ],
    );
    says(&lames(4, 100.0, 60.0, 42.0, "angle: 60 deg"), "cannot-move", &["`overlap: 43 mm`"]);
    clean(&lames(4, 100.0, 60.0, 43.0, "angle: 60 deg"));
    // Joints of 30 deg need 60.4, in whole millimetres 61: more than the lame.
    says(&lames(4, 100.0, 60.0, 43.0, "angle: 90 deg"), "cannot-move", &["an overlap of 60.4 mm, more than the 60 mm"]);
    // Asked 20 it gives 21 deg in all (20.6): 3 · 12 / 100 radians.
    near((0.36f64).to_degrees(), 20.6, 0.05);
    clean(&lames(4, 100.0, 60.0, 20.0, "angle: 20.6 deg"));
    says(&lames(4, 100.0, 60.0, 20.0, "angle: 20.7 deg"), "cannot-move", &["so 20.6 deg in all"]);
    // Five joints for 90 deg need 40.
    says(&lames(6, 100.0, 60.0, 39.0, "angle: 90 deg"), "cannot-move", &["5 joints, 18 deg each", "`overlap: 40 mm`"]);
    clean(&lames(6, 100.0, 60.0, 40.0, "angle: 90 deg"));
}

#[test]
fn what_a_refusal_proposes_is_built() {
    // The same lames, twelve joints: 8 + (100 + 9 · 4) · 60 deg / 12 = 19.9.
    let (_, told) = said(&lames(4, 100.0, 60.0, 20.0, "angle: 60 deg"));
    assert!(told.contains("13 plates that lie as these do"), "{told}");
    clean(&lames(13, 100.0 + 9.0 * 4.0, 60.0, 20.0, "angle: 60 deg"));
    says(&lames(12, 100.0 + 8.0 * 4.0, 60.0, 20.0, "angle: 60 deg"), "cannot-move", &[]);
    assert!(told.contains("`angle: 20.6 deg`"), "{told}");
    // Where no overlap will do, more plates with one that does: the next four grow by as much.
    let (_, told) = said(&lames(4, 100.0, 60.0, 43.0, "angle: 90 deg"));
    let words = "6 plates and `overlap: 42 mm` with each plate at `level: 18 mm` over the last";
    assert!(told.contains(words), "{told}");
    clean(&lames(6, 108.0, 60.0, 42.0, "angle: 90 deg"));
    // Of narrow plates enough has to stay clear for the straps: one joint would need 35.9 of 30, five do with 15.
    let (_, told) = said(&lames(2, 80.0, 30.0, 12.0, "angle: 20 deg"));
    assert!(told.contains("6 plates and `overlap: 15 mm` with each plate at `level: 15 mm`"), "{told}");
    clean(&lames(6, 96.0, 30.0, 15.0, "angle: 20 deg"));
}

#[test]
fn straps_are_as_long_as_the_arcs_let_them_be() {
    let text = lames(4, 100.0, 60.0, 43.0, "angle: 60 deg");
    let solid = solid(&text);
    let one = sliding(&solid);
    let each = PI / 9.0;
    // Where the next slides: 92, 96 and 100 mm out; 1 mm apart.
    for (joint, radius) in one.joints.iter().zip([92.0, 96.0, 100.0]) {
        near(joint.radius, radius, 1e-9);
        near(joint.slide, radius * each, 1e-9);
        near(joint.clear, 1.0, 1e-9);
        // Its ends stand 10 deg behind the line about which it turns.
        near(joint.closes, radius * num::sin((10f64).to_radians()) * each, 1e-6);
    }
    near(one.most, 3.0 * 35.0 / 100.0, 1e-12);
    let [front, left, back] = one.straps.as_slice() else { panic!("three straps") };
    for (strap, facing) in [(front, 0.0), (left, 0.5 * PI), (back, PI)] {
        near(num::sin(strap.facing - facing), 0.0, 1e-6);
        // 60 - 43 stay clear; 3 below the edge and 2 above what slides past: 12 are glued down.
        assert!(strap.holds.iter().all(|h| (h.long - 12.0).abs() < 1e-9));
        assert_eq!(strap.holds.len(), 4);
    }
    // Closed, from the end of one glued place to the start of the next 17 - 12 up and 4 out; drawn out, the arc more up.
    let closed = num::hypot(5.0, 4.0);
    let drawn: Vec<f64> = [92.0, 96.0, 100.0].map(|r| num::hypot(5.0 + r * each, 4.0)).to_vec();
    for (free, drawn) in left.free.iter().zip(&drawn) {
        near(free.closed, closed, 1e-6);
        near(free.drawn, *drawn, 1e-6);
    }
    near(left.long, 4.0 * 12.0 + drawn.iter().sum::<f64>(), 1e-6);
    // On the line about which they turn nothing slides: those two are the hinges.
    for strap in [front, back] {
        near(strap.long, 4.0 * 12.0 + 3.0 * closed, 1e-4);
    }
    // What is bought and weighed is what is cut.
    for strap in &one.straps {
        let run = &solid.fitted.runs[strap.run.expect("webbing")];
        near(run.long(), strap.long, 1e-9);
        assert!(matches!(run.goods, GoodsOf::Supply(i) if solid.fitted.supplies[i].name == "webbing20"));
        // It lies as long as it is, slack and all.
        let line: f64 = run.line.windows(2).map(|w| w[0].distance(w[1])).sum();
        assert!(line <= strap.long + 1e-6 && line > strap.long * 0.99, "{line} of {}", strap.long);
    }
}

#[test]
fn every_place_of_a_strap_is_marked_and_numbered() {
    let solid = solid(&lames(4, 100.0, 60.0, 43.0, "angle: 60 deg"));
    let cut = cut(&solid);
    for (i, piece) in cut.pieces.pieces.iter().enumerate() {
        let names: Vec<&str> = piece.places.iter().map(|p| p.name.as_str()).collect();
        let wanted: Vec<String> = (1..=3).map(|k| format!("lift {k}-{}", i + 1)).collect();
        assert_eq!(names, wanted, "{}", piece.name);
        assert!(piece.places.iter().all(|p| p.hidden));
        // From the upper edge: 3 and half of what is glued down, on the flat.
        for place in &piece.places {
            let top = place.from.iter().find(|f| f.0 == "top").expect("from the top");
            near(top.1, 9.0, 0.01);
            assert!(piece.marks.iter().any(|m| m.about == About::Place(place.spot)));
        }
    }
    for strap in &sliding(&solid).straps {
        for hold in &strap.holds {
            assert!(matches!(solid.fitted.spots[hold.spot].on, Ground::Wall { z, .. } if (z - 51.0).abs() < 1e-9));
        }
    }
}

#[test]
fn straps_of_sheet_are_pieces_with_their_own_marks() {
    let text = lames(3, 90.0, 60.0, 40.0, "angle: 40 deg, count: 2").replace("of: webbing20", "of: [hide2, rivet8]");
    let solid = solid(&text);
    let one = sliding(&solid);
    let cut = cut(&solid);
    for strap in &one.straps {
        let piece = cut.pieces.pieces.iter().find(|p| p.name == strap.name).expect("it is cut");
        assert_eq!(solid.stocks[piece.stock].name, "hide2");
        let (low, high) =
            tasset::geom::path::Path { segs: piece.contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() }
                .bounds()
                .expect("an outline");
        let size = high - low;
        near(size.min_element(), 20.0, 1e-3);
        near(size.max_element(), strap.long, 2e-3);
        let names: Vec<&str> = piece.places.iter().map(|p| p.name.as_str()).collect();
        let wanted: Vec<&str> = strap.holds.iter().map(|h| solid.fitted.spots[h.spot].name.as_str()).collect();
        assert_eq!(names, wanted);
        // 15 past the last rivets, and no glue.
        near(strap.holds[0].at, 15.0, 1e-9);
        near(strap.long - strap.holds[2].at, 15.0, 1e-9);
    }
    let rivets = solid.fitted.lumps.iter().find(|l| l.name == "lift rivets").expect("they are bought");
    assert_eq!(rivets.at.len(), 6);
    // Rivets go through: they are marked outside, 10 below the edge.
    let spots =
        || solid.fitted.spots.iter().filter(|s| matches!(s.on, Ground::Wall { z, .. } if (z - 50.0).abs() < 1e-9));
    assert_eq!(spots().count(), 6);
    assert!(spots().all(|s| s.face == tasset::design::Face::Outside));
}

#[test]
fn lames_may_nest_inward() {
    let inward = |upper: &str| {
        format!(
            "prop p {{ title: \"Lames\", of: foam3 }}
shell lame[1] {{ at 0 mm to 60 mm: circle(across: 200 mm), seam: open(facing: back, gap: 180 deg) }}
for i in 2 to 4 {{ shell lame[i] in lame[i - 1] {{ gap: 1 mm, level: 20 mm }} }}
articulation lift on lame {{ of: webbing20, angle: 50 deg, overlap: 40 mm{upper} }}
"
        )
    };
    let one = solid(&inward(", upper: inside"));
    let own = sliding(&one);
    // The outside of the inner one: 100 - 4 and on.
    for (joint, radius) in own.joints.iter().zip([96.0, 92.0, 88.0]) {
        near(joint.radius, radius, 1e-9);
        near(joint.clear, 1.0, 1e-9);
    }
    // Below, where no other slides past.
    let places = own.straps.iter().flat_map(|s| &s.holds);
    for hold in places {
        assert!(matches!(one.fitted.spots[hold.spot].on, Ground::Wall { z, .. } if z < 20.0));
    }
    cut(&one);
    clean(&inward(", upper: inside"));
    says(&inward(""), "wrong-side", &["lame[2] lies on the wrong side of lame[1]", "`upper: inside`"]);
    let outward = lames(4, 100.0, 60.0, 43.0, "angle: 60 deg, upper: inside");
    says(&outward, "wrong-side", &["lame[2] stands above lame[1], outside it", "`upper: outside`"]);
}

#[test]
fn lames_that_bind_are_told() {
    let text = lames(4, 100.0, 60.0, 43.0, "angle: 60 deg");
    says(&text.replace("gap: 1 mm", "gap: 0.3 mm"), "too-tight", &["lame[2] is too tight on lame[1]", "0.3 mm apart"]);
    // A lining takes of the way between; thick felt all of it.
    let felt = "stock felt { as: cloth, thick: 0.8 mm, wide: 900 mm }\ncover soft on lame { of: felt, face: inside, turn: 0 mm }\n";
    says(&format!("{text}{felt}"), "too-tight", &["of which 0.8 mm is taken", "`gap: 1.8 mm`"]);
    clean(&format!("{}{felt}", text.replace("gap: 1 mm", "gap: 1.8 mm").replace("angle: 60", "angle: 58")));
}

#[test]
fn lames_that_are_none_are_told() {
    let text = lames(4, 100.0, 60.0, 43.0, "angle: 60 deg");
    let with = |from: &str, to: &str| text.replace(from, to);
    says(&with("on lame {", "on lame[2] {"), "not-lames", &["lame[2] is one plate"]);
    says(&with("level: 17 mm", "level: 61 mm"), "not-lames", &["lame[1] and lame[2] do not lie over each other"]);
    says(
        &with("level: 17 mm", "level: 17 mm, shift: toward(front: 0.2 mm)"),
        "not-lames",
        &["do not stand in one line"],
    );
    let turned = "level: 17 mm, seam: open(facing: back, gap: 160 deg)";
    says(&with("level: 17 mm", turned), "not-lames", &["the seams of lame[1] and lame[2] face different ways"]);
    says(&with("level: 17 mm", "level: 0 mm"), "not-lames", &["reaches past the other at both ends"]);
    says(&with("overlap: 43 mm", "overlap: 44 mm"), "overlap-differs", &["lies 43 mm over lame[1]", "`level: 16 mm`"]);
    says(&with("of: webbing20", "of: elastic20"), "wrong-goods", &["elastic20"]);
    says(&with("of: webbing20", "of: [webbing20, dee20]"), "wrong-goods", &["dee20"]);
    says(&with("angle: 60 deg", "angle: 60 deg, count: 20"), "no-room-there", &["20 straps side by side"]);
    says(
        &lames(4, 100.0, 60.0, 48.0, "angle: 60 deg"),
        "no-room-there",
        &["only 12 mm stays clear", "let 15 mm stay clear"],
    );
}

#[test]
fn what_closes_behind_pinches() {
    // Rings that go all round draw together behind as far as they spread in front: 43 + 34.9 on lames of 60.
    let text = lames(4, 100.0, 60.0, 43.0, "angle: 60 deg").replace("gap: 160 deg", "gap: 20 deg");
    let (codes, told) = said(&text);
    assert_eq!(codes, ["lames-pinch"], "{told}");
    // The first joint already: 92 cos 10 deg.
    let closes = 92.0 * num::cos((10f64).to_radians()) * PI / 9.0;
    assert!(told.contains(&format!("close by {closes:.1} mm, and run {:.1} mm past", closes - 17.0)), "{told}");
}

#[test]
fn cones_slide_along_their_sheet() {
    // Slope 3:4 downward: 40 along the axis are 50 along the sheet, and what stands 12 higher is 9 wider there.
    let text = "prop p { title: \"Cones\", of: foam3, measured: inside }
shell lame[1] { at 0 mm: circle(across: 260 mm), at 48 mm: circle(across: 188 mm), seam: open(facing: right, gap: 180 deg) }
shell lame[2] over lame[1] { gap: 1 mm, level: 16 mm }
articulation lift on lame { of: webbing20, angle: 12 deg, overlap: 40 mm }
";
    let solid = solid(text);
    let joint = sliding(&solid).joints[0];
    // 32 of 48 lie over each other: 40 of 60 along the sheet. Moved up by 16 a cone is 12 farther out, 9.6 square to it.
    near(joint.clear, 1.0 + 9.6, 1e-6);
    // The outside of the first where it is widest: 130 and 3 · 5/4.
    near(joint.radius, 133.75, 1e-6);
    cut(&solid);
}

#[test]
fn a_pair_of_shoulders_has_straps_for_both() {
    let text = lames(4, 100.0, 60.0, 43.0, "angle: 60 deg").replace("gap: 160 deg)", "gap: 160 deg), pair: mirrored");
    let solid = solid(&text);
    assert!(sliding(&solid).pair && solid.fitted.runs.iter().all(|r| r.pair));
    assert_eq!(cut(&solid).pieces.pieces.len(), 8);
}

#[test]
fn it_answers_for_its_angle_and_its_mass() {
    let text = lames(4, 100.0, 60.0, 43.0, "angle: 50 deg");
    // 3 · 35 / 100 radians; webbing20 weighs 17 g/m.
    clean(&format!("{text}require abs(lift.angle - 60.16 deg) < 0.01 deg \"angle\"\n"));
    let long: f64 = sliding(&solid(&text)).straps.iter().map(|s| s.long).sum();
    let mass = long * 0.017;
    clean(&format!("{text}require abs(lift.mass - {mass:.4} g) < 0.001 g \"mass\"\n"));
}

#[test]
fn it_stands_in_every_output() {
    let built = build(Folder::of(&lames(4, 100.0, 60.0, 43.0, "angle: 60 deg")));
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    for words in [
        "lift: 3 joints of 20 deg, 60 deg in all\n",
        "each slides 35 mm at most, of an overlap of 43 mm, and keeps 8 mm; they could turn 60.1 deg",
        "plates from the bottom up: lame[1], then lame[2], lame[3], lame[4], each outside the one before it",
        "lift strap 2, facing left: cut to ",
        "glue at lift 2-1 to lift 2-4, 12 mm long each",
        "plates that slide",
    ] {
        assert!(built.summary.contains(words), "`{words}` is not in\n{}", built.summary);
    }
    let file = |end: &str| built.files.iter().find(|f| f.path.ends_with(end)).unwrap_or_else(|| panic!("no {end}"));
    let report: serde_json::Value = serde_json::from_slice(&file("report.json").bytes).unwrap();
    let one = &report["articulations"][0];
    assert_eq!(one["upper"], "outside");
    assert_eq!(one["plates"].as_array().unwrap().len(), 4);
    near(one["joints"][2]["slide"].as_f64().unwrap(), 100.0 * PI / 9.0, 1e-5);
    let strap = &one["straps"][1];
    assert_eq!((&strap["holds"][3]["name"], &strap["fixed"]), (&"lift 2-4".into(), &"glued".into()));
    let free: f64 = strap["free"].as_array().unwrap().iter().map(|f| f["drawn"].as_f64().unwrap()).sum();
    near(strap["long"].as_f64().unwrap(), free + 48.0, 1e-4);
    assert!(
        report["cautions"]["list"].as_array().unwrap().iter().any(|c| c["key"] == "pinch"),
        "{}",
        report["cautions"]
    );
    assert!(report["not_built"].as_array().unwrap().is_empty());
    // Four lames, three crosses of four corners each are pricked: the place layer of the drawing is not empty.
    let drawing = std::str::from_utf8(&file(".dxf").bytes).unwrap();
    assert!(drawing.split("ENTITIES").nth(1).unwrap().matches("\r\nplace\r\n").count() >= 4 * 3 * 4);
    // A mock-up has the lames and their marks, and buys no straps.
    let card = mock_up(Folder::of(&lames(4, 100.0, 60.0, 43.0, "angle: 60 deg")), "1:1", None);
    assert_eq!(errors(&card), Vec::<&str>::new(), "{}", told(&card));
}

/// The files of the example.
fn shoulder() -> Folder {
    let at = format!("{}/examples/tide-shoulder", env!("CARGO_MANIFEST_DIR"));
    let read = |name: &str| fs::read_to_string(format!("{at}/{name}")).unwrap();
    let mut folder = Folder::of(&read("tide-shoulder.prop"));
    for name in ["crew.prop", "workshop.prop"] {
        folder.0.insert(name.to_owned(), read(name));
    }
    folder
}

#[test]
fn the_tide_warden_s_shoulder_is_built() {
    let built = build(shoulder());
    assert!(built.diagnostics.is_empty(), "{}", told(&built));
    assert!(!built.files.is_empty());
    // With what was first asked: no, and why.
    let ask = |lift: &str, lap: &str| {
        let mut folder = shoulder();
        let text = folder.0["prop.prop"].replace("lift = 60 deg", lift).replace("lap  = 43 mm", lap);
        let text: String = text.lines().filter(|l| !l.contains("arm.angle")).map(|l| format!("{l}\n")).collect();
        folder.0.insert("prop.prop".to_owned(), text);
        let built = build(folder);
        (errors(&built).join(" "), told(&built))
    };
    let (codes, told) = ask("lift = 60 deg", "lap  = 20 mm");
    assert_eq!(codes, "cannot-move", "{told}");
    // On these lames the widest sliding face has radius 76.2 + 8 + 3: a joint slides 30.4.
    assert!(told.contains("slide 30.4 mm at radius 87.2"), "{told}");
    assert!(told.contains("`overlap: 39 mm` with each plate at `level: 21 mm`"), "{told}");
    assert_eq!(ask("lift = 60 deg", "lap  = 39 mm").0, "");
    let (codes, told) = ask("lift = 90 deg", "lap  = 43 mm");
    assert_eq!(codes, "cannot-move", "{told}");
    assert!(told.contains("5 plates and `overlap: 44 mm`"), "{told}");
}

#[test]
fn the_language_s_own_lames_slide() {
    // The lines of the language brief, in a prop: inside 372 / 2 pi + 14, so that the third is 84.2 outside, and 40 deg in
    // three joints slide 19.6 of the 24 that an overlap of 32 gives.
    clean(
        "prop p { title: \"Lames\", of: foam3, wearer: warden }
wearer warden { upper_arm_around: 372 mm }
shell lame[1] {
    at 0 mm to 60 mm: circle(around: dressed(body: wearer.upper_arm_around, cloth: 2 mm, air: 12 mm))
    measured: inside, seam: open(facing: right, gap: 150 deg)
}
for i in 2 to 4 {
    shell lame[i] over lame[i - 1] { gap: 1 mm, level: 28 mm }
}
articulation lift on lame { of: webbing20, angle: 40 deg, overlap: 32 mm }
require abs(lift.angle - 3 * 24 / 84.2 * 180 / pi * 1 deg) < 0.5 deg \"how far they can turn\"
",
    );
}

#[test]
fn the_picture_has_the_lames_in_their_places() {
    let solid = solid(&lames(4, 100.0, 60.0, 43.0, "angle: 60 deg"));
    for (i, part) in solid.parts.iter().enumerate() {
        near(part.place.origin.z, 17.0 * i as f64, 1e-9);
        let Body::Wall(wall) = &part.body else { panic!("a wall") };
        near(wall.strips[0].rule(0, 0.0).h0, 89.0 + 4.0 * i as f64, 1e-9);
    }
}
