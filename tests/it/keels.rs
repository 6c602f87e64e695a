//! Keels: from text to report, held against plain trigonometry, put back on their walls, and spoilt.

use crate::memory::{Folder, build, errors, mock_up, told};
use crate::support::Spoilt;
use serde_json::Value;
use tasset::geom::sided::{self, Side};
use tasset::num;
use tasset::piece::About;
use tasset::solid::{Body, OfKeel, Size, Solid};
use tasset::verdict::Check;

const FOAM: &str = "prop p { title: \"P\", of: foam4 }\n";
/// A tube, a keel all of its length.
const TUBE: &str = "shell wall { at 0 mm to 250 mm: circle(across: 200 mm) }\n\
    keel ridge on wall { wide: 60 mm, rise: 25 mm }\n";
/// A cone, and a keel that ends short of its ends.
const CONE: &str = "shell wall { at 0 mm: circle(across: 200 mm), at 260 mm: circle(across: 150 mm) }\n\
    keel ridge on wall { facing: left, wide: 36 mm, rise: 22 mm, long: 180 mm, level: 120 mm }\n";
/// A breastplate: an oval that narrows, open behind, measured inside.
const BREAST: &str = "shell wall { at 0 mm: oval(across: 320 mm by 220 mm), at 340 mm: oval(across: 320 mm by 220 mm)\n\
    measured: inside, seam: open(facing: back, gap: 120 mm) }\n\
    keel ridge on wall { wide: 70 mm, rise: 30 mm, measured: outside }\n";

fn spoilt(things: &str) -> Spoilt {
    Spoilt::of(&format!("{FOAM}{things}"))
}

fn report(things: &str) -> Value {
    let built = build(Folder::of(&format!("{FOAM}{things}")));
    assert_eq!(told(&built), "", "{things}");
    serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON")
}

#[track_caller]
fn near(found: &Value, expected: f64, off: f64) {
    let found = found.as_f64().unwrap_or_else(|| panic!("{found} is no number"));
    assert!((found - expected).abs() <= off, "{found}, not {expected} within {off}");
}

fn piece<'a>(report: &'a Value, part: &str) -> &'a Value {
    report["pieces"].as_array().unwrap().iter().find(|p| p["part"] == part).unwrap_or_else(|| panic!("no {part}"))
}

#[test]
fn on_a_tube_flanks_have_the_widths_bevels_and_angles_of_trigonometry() {
    let report = report(TUBE);
    // A chord of 60 on radius 100 stands off by the sagitta R - √(R² - c²/4) (any handbook).
    let sag = 100.0 - (100.0f64.powi(2) - 30.0f64.powi(2)).sqrt();
    let half = num::atan(30.0 / (25.0 + sag));
    let keel = &report["keels"][0];
    near(&keel["between"], 2.0 * half.to_degrees(), 1e-3);
    near(&keel["long"], 250.0, 1e-6);
    // The wall faces asin(30/100) aside at the foot.
    let meets = 180.0 - (90.0 - half.to_degrees() - num::asin(0.3).to_degrees());
    for i in 0..2 {
        near(&keel["flanks"][i]["wide"], num::hypot(30.0, 25.0 + sag), 1e-3);
        near(&keel["flanks"][i]["meets"], meets, 1e-3);
        near(&keel["flanks"][i]["off"], 0.0, 1e-9);
        let flank = piece(&report, &format!("ridge flank {}", i + 1));
        let edges = flank["edges"].as_array().unwrap();
        assert_eq!(edges.len(), 4);
        // Along ridge and foot it is as long as the tube, on all faces.
        for edge in edges.iter().filter(|e| e["outside"].as_f64().unwrap() > 100.0) {
            near(&edge["outside"], 250.0, 1e-6);
            near(&edge["inside"], 250.0, 1e-6);
        }
        // At the ridge the mitre is half of the turn: 90° - half.
        // It is told to half a degree.
        let mitre = format!("{}°", (2.0 * (90.0 - half.to_degrees())).round() / 2.0);
        let bevels: Vec<&str> = edges.iter().filter_map(|e| e["bevel"].as_str()).collect();
        assert!(bevels.iter().any(|b| b.starts_with(&mitre)), "{mitre} is not among {bevels:?}");
    }
    // The inner face meets the wall where a line parallel to the flank, 4 nearer to the tube's middle, cuts the circle.
    // Both lines in the plane square to the tube: y along the front, x aside.
    let (c, s) = (num::cos(half), num::sin(half));
    // The normal of a flank in that plane.
    let n = [c, s];
    let reach = n[1] * 125.0;
    let cut = |d: f64| {
        // Points of the circle (100 sin a, 100 cos a) with n·p = reach - d, on the near side.
        let a = num::atan2(n[0], n[1]) - num::acos((reach - d) / 100.0);
        [100.0 * num::sin(a), 100.0 * num::cos(a)]
    };
    let (p, q) = (cut(0.0), cut(4.0));
    let lands = num::hypot(p[0] - q[0], p[1] - q[1]);
    near(&keel["flanks"][0]["lands"], lands, 1e-3);
    near(&keel["glued"], 2.0 * lands * 250.0, 0.5);
}

#[test]
fn on_a_cone_a_keel_falls_to_its_point_and_what_it_weighs_is_its_flanks() {
    let report = report(CONE);
    let keel = &report["keels"][0];
    // In the level plane at 120: radius 100 - 120·25/260.
    let r = 100.0 - 120.0 * 25.0 / 260.0;
    let sec = (1.0f64 + (25.0f64 / 260.0).powi(2)).sqrt();
    assert!(keel["flanks"][0]["off"].as_f64().unwrap() < 0.05, "{keel}");
    // All of it is a part of a pyramid to the cone's own point, 1040 up: 920 above the level; the ridge goes on from the
    // point 22 off the wall there, and is 180 tall.
    let (x, z) = (r + 22.0 / sec, 120.0 + 22.0 * (25.0 / 260.0) / sec);
    let way = num::hypot(x / (1040.0 - z), 1.0);
    near(&keel["long"], 180.0 * way, 1e-3);
    let masses = report["masses"]["entries"].as_array().unwrap();
    let both: Vec<&Value> = masses.iter().filter(|m| m["name"].as_str().unwrap().starts_with("ridge flank")).collect();
    assert_eq!(both.len(), 2);
    // A flank as a sheet of 4 mm: between 180 long and as wide as Pythagoras has it outside and inside.
    let sag = r - (r * r - 18.0f64.powi(2)).sqrt();
    let wide = num::hypot(18.0, 22.0 + sag);
    let most = wide * 181.0 * 4.0 * 100e-6;
    let mass = both[0]["mass"].as_f64().unwrap();
    assert!(mass < 1.02 * most && mass > 0.7 * most, "{mass} g for at most {most}");
    // Its place is marked on the wall.
    let wall = piece(&report, "wall");
    assert!(wall.to_string().contains("ridge"), "{wall}");
}

#[test]
fn keels_of_every_sort_pass_their_audit() {
    for things in [TUBE, CONE, BREAST] {
        let made = spoilt(things);
        assert_eq!(made.judged().breaches, Vec::new(), "{things}");
    }
    // Measured inside and in the middle of the sheet, of two layers, in a pair, toward the seam, on a flat side, with a gap.
    let wall = "shell wall { at 0 mm: circle(across: 180 mm), at 200 mm: circle(across: 220 mm) }\n";
    let narrowing = "shell wall { at 0 mm: circle(across: 220 mm), at 200 mm: circle(across: 160 mm) }\n";
    let flat = "shell wall { at 0 mm to 200 mm: rectangle(across: 200 mm by 120 mm, corner: 20 mm) }\n";
    for (wall, more) in [
        (wall, "measured: inside"),
        (wall, "measured: middle"),
        (wall, "of: [foam2, foam2]"),
        (wall, "pair: mirrored, facing: left + 20 deg"),
        (wall, "facing: back"),
        (wall, "gap: 2 mm"),
        (flat, "facing: left"),
        (flat, "facing: front, measured: inside"),
    ] {
        let things = format!("{wall}keel ridge on wall {{ wide: 50 mm, rise: 24 mm, long: 120 mm, {more} }}\n");
        let built = build(Folder::of(&format!("{FOAM}{things}")));
        assert_eq!(errors(&built), Vec::<&str>::new(), "{things}\n{}", told(&built));
        assert_eq!(spoilt(&things).judged().breaches, Vec::new(), "{things}");
    }
    // All of the way between caps, whose rims are level and so narrower on one face.
    for wall in [wall, narrowing] {
        let caps = "cap lid on wall.top { fit: flush }\ncap base on wall.bottom { }\n";
        let things = format!("{wall}{caps}keel ridge on wall {{ wide: 50 mm, rise: 24 mm }}\n");
        let built = build(Folder::of(&format!("{FOAM}{things}")));
        assert_eq!(errors(&built), Vec::<&str>::new(), "{things}\n{}", told(&built));
    }
}

/// The sides of both flanks' sheets made anew: `foot` says whether a side is the foot, as the wider bevel is not.
fn remade(solid: &Solid, change: impl Fn(bool, usize, Side) -> Side) -> Solid {
    let mut solid = solid.clone();
    for joint in solid.joints.clone().iter().filter(|j| j.what == "ridge") {
        for end in [joint.a, joint.b] {
            let tasset::solid::EdgeName::Side(ridge) = end.edge else { panic!("a side") };
            let Body::Plate(plate) = &mut solid.parts[end.part.index()].body else { panic!("a flank") };
            let sides = sided::sides(&plate.strip).into_iter().enumerate();
            let sides: Vec<Side> = sides.map(|(k, s)| change(k == ridge, k, s)).collect();
            let (z0, z1) = plate.strip.heights();
            plate.strip = sided::strip(&sides, z0, z1).expect("a sheet");
        }
    }
    solid
}

#[test]
fn a_keel_that_is_spoilt_is_found() {
    for things in [TUBE, CONE, BREAST] {
        let made = spoilt(things);
        // The ridge a millimetre lower, on both faces of both flanks.
        let low = remade(
            &made.solid,
            |ridge, _, s| {
                if ridge { Side { lower: s.lower - 1.0, upper: s.upper - 1.0, ..s } } else { s }
            },
        );
        Spoilt::cut(low).fails(Check::Claim, "height of the ridge");
        // The mitre of the ridge a fifth of a millimetre too flat.
        let flat = remade(&made.solid, |ridge, _, s| if ridge { Side { lower: s.lower + 0.2, ..s } } else { s });
        Spoilt::cut(flat).fails(Check::Transfer, "plates that meet");
        // The foot cut a millimetre short, and with the bevel it would have on a flat wall or none.
        let short = remade(&made.solid, |ridge, k, s| {
            if !ridge && k % 2 == 1 { Side { lower: s.lower - 1.0, upper: s.upper - 1.0, ..s } } else { s }
        });
        Spoilt::cut(short).fails(Check::Landing, "foot on the wall");
        let square =
            remade(&made.solid, |ridge, k, s| if !ridge && k % 2 == 1 { Side { lower: s.upper, ..s } } else { s });
        Spoilt::cut(square).fails(Check::Landing, "foot on the wall");
        // As wide again as asked: what is asked is not what is made.
        for wrong in [OfKeel::Wide(64.0), OfKeel::Rise(26.5)] {
            let mut asked = spoilt(things);
            for claim in &mut asked.solid.claims {
                if let Size::Keel { size, .. } = &mut claim.size
                    && std::mem::discriminant(size) == std::mem::discriminant(&wrong)
                {
                    *size = wrong;
                }
            }
            let about = if matches!(wrong, OfKeel::Wide(_)) { "width of the foot" } else { "height of the ridge" };
            asked.fails(Check::Claim, about);
        }
        // A bevel line drawn aside.
        let mut bevel = spoilt(things);
        let own = bevel.solid.parts.iter().find(|p| p.name == "ridge flank 1").expect("a flank").id;
        let piece = bevel.pieces.pieces.iter_mut().find(|p| p.part == own).expect("its piece");
        let mark = piece.marks.iter_mut().find(|m| matches!(m.about, About::Bevel(_))).expect("a bevel");
        for s in &mut mark.path.segs {
            s.a += tasset::geom::Vec2::new(0.2, 0.2);
            s.b += tasset::geom::Vec2::new(0.2, 0.2);
        }
        bevel.fails(Check::Landing, "bevel line");
    }
}

#[test]
fn what_cannot_be_a_keel_is_refused_with_what_would_do() {
    let said = |things: &str| {
        let built = build(Folder::of(&format!("{FOAM}{things}")));
        (errors(&built), told(&built))
    };
    let tube = "shell wall { at 0 mm to 250 mm: circle(across: 60 mm) }\n";
    let (codes, told) = said(&format!("{tube}keel k on wall {{ wide: 70 mm, rise: 30 mm }}\n"));
    assert_eq!(codes, ["keel-unfit"], "{told}");
    assert!(told.contains("wide: 54 mm"), "{told}");
    let (codes, told) = said(&format!("{tube}keel k on wall {{ wide: 14 mm, rise: 5 mm }}\n"));
    assert_eq!(codes, ["keel-unfit"], "{told}");
    let (codes, told) = said(&format!("{tube}keel k on wall {{ wide: 30 mm, rise: 20 mm, long: 260 mm }}\n"));
    assert_eq!(codes, ["off-the-wall"], "{told}");
    // Half-way round an oval cone the generatrices on either side do not meet.
    let oval = "shell wall { at 0 mm: oval(across: 320 mm by 180 mm), at 300 mm: oval(across: 220 mm by 200 mm) }\n";
    let (codes, told) = said(&format!("{oval}keel k on wall {{ wide: 60 mm, rise: 30 mm, facing: front + 50 deg }}\n"));
    assert_eq!(codes, ["keel-unfit"], "{told}");
    // Over an open seam.
    let open = "shell wall { at 0 mm to 250 mm: circle(across: 200 mm), seam: open(facing: back, gap: 40 mm) }\n";
    let (codes, told) = said(&format!("{open}keel k on wall {{ wide: 60 mm, rise: 25 mm, facing: back }}\n"));
    assert_eq!(codes, ["no-room-there"], "{told}");
    let (codes, told) = said(&format!("{open}keel k on wall {{ wide: 60 mm, rise: 25 mm, facing: left }}\n"));
    assert!(codes.is_empty(), "{told}");
}

#[test]
fn facts_finishes_and_mock_ups_know_a_keel() {
    let text = format!(
        "{FOAM}{TUBE}require ridge.thick == 4 mm \"thin\"\nrequire ridge.long >= 249 mm \"long\"\n\
         supply grey {{ as: paint, covers: 9 m2/l }}\nfinish paint on ridge {{ of: grey }}\n"
    );
    let built = build(Folder::of(&text));
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    let report: Value = serde_json::from_slice(&built.files.last().unwrap().bytes).unwrap();
    // The outside of both flanks.
    let sag = 100.0 - (100.0f64.powi(2) - 30.0f64.powi(2)).sqrt();
    near(&report["finishes"][0]["area"], 2.0 * 250.0 * num::hypot(30.0, 25.0 + sag), 0.1);
    assert!(built.summary.contains("ridge: flanks"), "{}", built.summary);
    let built = mock_up(Folder::of(&format!("{FOAM}{TUBE}")), "1:2", Some("board2"));
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    // What is not built on a keel says so.
    let built = build(Folder::of(&format!("{FOAM}{TUBE}cover hide on ridge {{ of: twill }}\n")));
    assert!(told(&built).contains("a cover on a keel"), "{}", told(&built));
}
