//! The child's pageant drum (brief B10): heads of cloth turned down over the wall, hoops on them, a cord between the hoops.

use crate::memory::{Folder, build, clean, errors, mock_up, told};
use crate::support::Spoilt;
use serde_json::Value;
use std::fs;
use tasset::diag::Diagnostic;
use tasset::num::{self, PI};
use tasset::pipeline::Built;
use tasset::solid::{Body, Onto};
use tasset::verdict::Check;

/// The files of the example.
fn drum() -> Folder {
    let at = format!("{}/examples/pageant-drum", env!("CARGO_MANIFEST_DIR"));
    let read = |name: &str| fs::read_to_string(format!("{at}/{name}")).unwrap();
    let mut folder = Folder::of(&read("pageant-drum.prop"));
    for name in ["crew.prop", "workshop.prop"] {
        folder.0.insert(name.to_owned(), read(name));
    }
    folder
}

/// The example with some of its text changed.
fn but(change: impl Fn(&str) -> String) -> Folder {
    let mut folder = drum();
    let text = change(&folder.0["prop.prop"]);
    folder.0.insert("prop.prop".to_owned(), text);
    folder
}

fn report(built: &Built) -> Value {
    let file = built.files.iter().find(|f| f.path.ends_with("report.json"));
    serde_json::from_slice(&file.unwrap_or_else(|| panic!("no report: {}", told(built))).bytes).unwrap()
}

#[track_caller]
fn near(is: &Value, asked: f64, by: f64) {
    let is = is.as_f64().unwrap_or_else(|| panic!("{is} is no number"));
    assert!((is - asked).abs() <= by, "{is} for {asked}");
}

fn pieces<'a>(report: &'a Value, part: &str) -> Vec<&'a Value> {
    report["pieces"].as_array().unwrap().iter().filter(|p| p["part"] == part).collect()
}

/// The neutral length of a piece's first edge so named.
fn long<'a>(piece: &'a Value, edge: &str) -> &'a Value {
    let edges = piece["edges"].as_array().unwrap();
    &edges.iter().find(|e| e["name"] == edge).unwrap_or_else(|| panic!("no {edge}: {edges:?}"))["neutral"]
}

/// Cloth under a hoop, mm.
const CLOTH: f64 = 0.4;

/// The brief's figures, each from its closed form. Foam bends on its middle: a wall of bore 260 and foam 5 is 265 pi = 832.5
/// round. A hoop of two layers on the bare wall is 275 pi = 863.9 and 285 pi = 895.4; on a head's cloth, as it is here, each
/// is 2 pi times the cloth longer (the brief leaves the cloth out). A head is the wall's 270 and twice the turn of 25: 320.
#[test]
fn the_drum_has_the_figures_of_its_brief() {
    let built = build(drum());
    // Closures are not built, so the release has no mass.
    let only = |d: &Diagnostic| matches!(d.code.name(), "not-built-yet" | "limit-not-proven");
    assert!(built.diagnostics.iter().all(only), "{}", told(&built));
    let report = report(&built);
    let wall = pieces(&report, "wall")[0];
    near(long(wall, "top"), 265.0 * PI, 1e-3);
    near(long(wall, "top"), 832.5, 0.5);
    near(&wall["size"][1], 180.0, 0.5);
    for hoop in ["low_hoop", "high_hoop"] {
        let layers = pieces(&report, hoop);
        assert_eq!(layers.len(), 2);
        for (layer, bare) in layers.into_iter().zip([275.0, 285.0]) {
            near(long(layer, "top"), (bare + 2.0 * CLOTH) * PI, 1e-3);
            near(&layer["size"][1], 20.0, 1e-3);
        }
    }
    for head in ["low_head", "high_head"] {
        let disc = pieces(&report, head)[0];
        near(&disc["size"][0], 320.0, 0.5);
        near(&disc["size"][1], 320.0, 0.5);
    }
    // The same drum without heads has the brief's own hoops.
    let bare = but(|text| text.lines().filter(|l| !l.starts_with("cap ")).map(|l| format!("{l}\n")).collect());
    let bare = self::report(&build(bare));
    for hoop in ["low_hoop", "high_hoop"] {
        for (layer, (round, brief)) in pieces(&bare, hoop).into_iter().zip([(275.0, 863.9), (285.0, 895.4)]) {
            near(long(layer, "top"), round * PI, 1e-3);
            near(long(layer, "top"), brief, 0.5);
        }
    }
}

/// The cord: twelve places a hoop, half a pitch apart from hoop to hoop. The brief takes the straight way from place to place,
/// 24 legs of 164.4 = sqrt(160^2 + 37.9^2), 3.95 m, 4.6 m with its ends. A zigzag does more at each place: it goes in through
/// the hoop, on its inside to the edge and over that, and the next leg begins there.
#[test]
fn the_cord_is_as_long_as_its_way() {
    let built = build(drum());
    let report = report(&built);
    let lace = &report["lacings"][0];
    for row in lace["rows"].as_array().unwrap() {
        assert_eq!(row["holes"].as_array().unwrap().len(), 12);
    }
    let radius = 145.0 + CLOTH;
    // Half a pitch on a ring of that radius, straight.
    let aside = 2.0 * radius * num::sin(PI / 24.0);
    let leg = num::hypot(160.0, aside);
    assert!((leg - 164.4).abs() < 0.5 && (24.0 * leg - 3950.0).abs() < 5.0, "{leg}");
    // The first leg goes from hole to hole, the others from the edge beside one, 10 mm farther.
    let over = leg + 23.0 * num::hypot(170.0, aside) + 23.0 * 10.0;
    // In and out of the first hole, into each of the others and the first again, and over 23 edges: 10 mm of foam each.
    let through = (25.0 + 23.0) * 10.0;
    let run = report["runs"].as_array().unwrap().iter().find(|r| r["name"] == "cord").unwrap();
    near(&run["long"], over + through + 2.0 * 325.0, 0.05);
    // It goes through the hoops alone.
    assert!(pieces(&report, "wall")[0]["holes"].as_array().unwrap().is_empty());
    for layer in pieces(&report, "low_hoop") {
        assert_eq!(layer["holes"].as_array().unwrap().len(), 12);
    }
}

/// What the brief asks: one sheet, no more than 600 g, foam about 110 g, a strap that is bought with its tail and folds.
#[test]
fn what_is_asked_of_the_drum_is_answered() {
    let built = build(drum());
    let report = report(&built);
    let foam: f64 = report["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["stock"] == "foam5")
        .map(|p| p["mass"].as_f64().unwrap() * p["count"].as_f64().unwrap())
        .sum();
    // 5 mm of 100 kg/m3: wall 265 pi by 180; hoops of two layers by 20, less 24 holes of 5 a layer.
    let hoops = 2.0 * (560.0 + 4.0 * CLOTH) * PI * 20.0;
    let closed = (265.0 * PI * 180.0 + hoops - 48.0 * PI * 6.25) * 5.0 * 1e-4;
    assert!((foam - closed).abs() < 0.01 && (foam - 110.0).abs() < 0.5, "{foam} for {closed}");
    let stock = report["stocks"].as_array().unwrap().iter().find(|s| s["name"] == "foam5").unwrap();
    assert_eq!(stock["sheets"], 1);
    let strap = report["runs"].as_array().unwrap().iter().find(|r| r["name"] == "neck").unwrap();
    // From ring to ring, the tail, a fold of 25 at each end.
    near(&strap["long"], 560.0 + 80.0 + 50.0, 1e-6);
    // With a lighter limit, or two more drums' worth of foam, the answer is no.
    let heavy = build(but(|text| text.replace("mass: 600 g", "mass: 150 g")));
    assert_eq!(errors(&heavy).len(), 1, "{}", told(&heavy));
    let thick = build(but(|text| text.replace("across: 260 mm", "across: 360 mm").replace("180 mm: c", "480 mm: c")));
    assert!(errors(&thick).contains(&"requirement-fails"), "{}", told(&thick));
}

fn tube(more: &str) -> String {
    format!(
        "prop p {{ title: \"P\", of: foam5 }}
        stock foam5 {{ as: foam, thick: 5 mm, size: 1000 mm by 1000 mm, density: 100 kg/m3 }}
        shell wall {{ at 0 mm to 90 mm: circle(across: 100 mm) }}\n{more}"
    )
}

/// The girths of a hoop over a head over a cover: each by 2 pi times what lies below it.
#[test]
fn a_hoop_counts_the_cloth_that_is_turned_down_under_it() {
    let hoop = "border hoop on wall.top { as: band, of: foam5, wide: 12 mm }";
    for (below, thick) in [
        ("", 0.0),
        ("cap head on wall.top { of: twill, fit: flush, turn: 15 mm }", 0.4),
        (
            "cap head on wall.top { of: twill, fit: flush, turn: 15 mm }\ncover hide on wall { of: felt, turn: 0 mm }",
            1.4,
        ),
        // Set in, it has nothing under the hoop; nor has one that is not turned down.
        ("cap head on wall.top { of: twill, fit: inset }", 0.0),
        ("cap head on wall.top { of: twill, fit: flush }", 0.0),
    ] {
        // Whichever is written first.
        for text in [tube(&format!("{below}\n{hoop}")), tube(&format!("{hoop}\n{below}"))] {
            let built = build(Folder::of(&text));
            assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
            near(long(pieces(&report(&built), "hoop")[0], "top"), (105.0 + 2.0 * thick) * PI, 1e-3);
        }
    }
    // Below the turn there is none of it: a second hoop, 20 from the top, is on the bare wall.
    let low = report(&clean(&tube(
        "cap head on wall.top { of: twill, fit: flush, turn: 15 mm }
        border hoop on wall { as: band, of: foam5, wide: 12 mm, level: top - 30 mm }",
    )));
    near(long(pieces(&low, "hoop")[0], "top"), 105.0 * PI, 1e-3);
}

/// Over a cover the disc reaches over that too; its turn is cut, or left whole.
#[test]
fn a_head_is_a_disc_and_its_turn_in_one_piece() {
    let head = "cap head on wall.top { of: twill, fit: flush, turn: 15 mm }";
    let size = |text: &str| pieces(&report(&clean(&tube(text))), "head")[0]["size"][0].as_f64().unwrap();
    assert!((size(head) - 130.0).abs() < 0.6);
    assert!((size(&format!("{head}\ncover hide on wall {{ of: felt, turn: 0 mm }}")) - 132.0).abs() < 0.6);
    let whole = report(&clean(&tube(&head.replace("15 mm", "15 mm, relief: none"))));
    // Uncut it is a plain disc of 130.
    near(&pieces(&whole, "head")[0]["area"], PI * 65.0 * 65.0, 1.0);
    let cut = report(&clean(&tube(head)));
    assert!(pieces(&cut, "head")[0]["area"].as_f64().unwrap() < PI * 65.0 * 65.0 - 100.0);
    // On a cone it lies as the cone leans.
    let cone = "prop p { title: \"P\", of: foam5 }
        shell wall { at 0 mm: circle(across: 120 mm), at 80 mm: circle(across: 90 mm) }
        cap head on wall.top { of: twill, fit: flush, turn: 12 mm }
        cap foot on wall.bottom { of: twill, fit: flush, turn: 12 mm }";
    let built = build(Folder::of(cone));
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
}

#[test]
fn what_cannot_be_a_head_is_told() {
    let told_of = |more: &str| {
        let built = build(Folder::of(&tube(more)));
        (built.diagnostics.iter().map(|d| d.code.name()).collect::<Vec<_>>().join(" "), told(&built))
    };
    let (codes, said) = told_of("cap head on wall.top { of: twill, turn: 15 mm }");
    assert_eq!(codes, "turn-without-edge", "{said}");
    let (codes, said) = told_of("cap head on wall.top { fit: flush, turn: 15 mm }");
    assert_eq!(codes, "wrong-goods", "{said}");
    assert!(said.contains("foam5 is foam"), "{said}");
    let (codes, said) = told_of("cap head on wall.top { of: twill, fit: flush, turn: 95 mm, relief: none }");
    assert_eq!(codes, "turn-shortened", "{said}");
    let (codes, said) = told_of(
        "cap head on wall.top { of: twill, fit: flush, turn: 15 mm }
        opening o on wall { shape: circle(across: 10 mm), level: top - 18 mm }",
    );
    assert_eq!(codes, "not-built-yet", "{said}");
    assert!(said.contains("turns down over it"), "{said}");
    let (codes, said) = told_of(
        "border rope on wall.top { as: cord, of: cord4 }
        lacing l on [wall.bottom, rope.top] { as: zigzag, of: cord2, holes: 4 mm, count: 8 }",
    );
    assert_eq!(codes, "not-built-yet", "{said}");
    let (codes, said) = told_of(
        "border hoop on wall.top { as: band, of: foam5, wide: 25 mm }
        cap lid on hoop.top { of: foam5 }",
    );
    assert_eq!(codes, "not-built-yet", "{said}");
}

/// A head that is spoilt is found, and so is a hoop that is cut for the bare wall.
#[test]
fn a_spoilt_head_is_found() {
    let made = Spoilt::of(&tube(
        "cap head on wall.top { of: twill, fit: flush, turn: 15 mm }
        border hoop on wall.top { as: band, of: foam5, wide: 12 mm }",
    ));
    assert_eq!(made.judged().breaches, Vec::new());
    let head = made.solid.parts.iter().find(|p| p.name == "head").unwrap().id;
    let turn = made.solid.turns.iter().find(|t| t.at.part == head).unwrap();
    assert_eq!((turn.wide, turn.onto), (15.0, Onto::Side));
    let mut narrow = made.clone();
    for turn in &mut narrow.solid.turns {
        turn.wide -= 1.0;
    }
    let narrow = Spoilt { solid: made.solid.clone(), ..Spoilt::cut(narrow.solid) };
    narrow.fails(Check::Turn, "");
    let mut bare = made.solid.clone();
    let hoop = bare.parts.iter_mut().find(|p| p.name == "hoop").unwrap();
    for layer in &mut hoop.layers {
        (layer.inner, layer.neutral, layer.outer) = (layer.inner - 0.4, layer.neutral - 0.4, layer.outer - 0.4);
    }
    assert!(matches!(hoop.body, Body::Wall(_)));
    let bare = Spoilt { solid: made.solid.clone(), ..Spoilt::cut(bare) };
    bare.fails(Check::Area, "");
}

/// In every output: its pages, its picture and a mock-up, whose card is not turned down.
#[test]
fn the_drum_stands_in_every_output() {
    let built = build(drum());
    for end in ["picture.svg", ".dxf", ".pdf", "report.json"] {
        assert!(built.files.iter().any(|f| f.path.ends_with(end)), "no {end}");
    }
    let card = mock_up(drum(), "1:2", None);
    assert_eq!(errors(&card), Vec::<&str>::new(), "{}", told(&card));
}
