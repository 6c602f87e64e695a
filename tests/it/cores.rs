//! Cores: rods within parts, held against plain geometry and against what a saw bench would say.

use crate::memory::{Folder, build, told};
use serde_json::Value;
use tasset::num::{self, PI};
use tasset::pipeline::Built;

const SHAFT: &str = "\
prop staff { title: \"Staff\", of: foam5 }
shell shaft { at 0 mm: circle(across: 60 mm), at 300 mm: circle(across: 50 mm) }
";

fn of(text: &str) -> (Built, Value) {
    let built = build(Folder::of(text));
    let file = built.files.iter().find(|f| f.path.ends_with("report.json"));
    let file = file.unwrap_or_else(|| panic!("{text}\n{}", told(&built)));
    let report = serde_json::from_slice(&file.bytes).unwrap();
    (built, report)
}

fn codes(built: &Built) -> Vec<&'static str> {
    built.diagnostics.iter().map(|d| d.code.name()).collect()
}

fn near(value: &Value, want: f64, off: f64) {
    let x = value.as_f64().unwrap_or_else(|| panic!("{value} is no number"));
    assert!((x - want).abs() <= off, "{x} is not {want}");
}

fn staff(core: &str) -> (Built, Value) {
    of(&format!("{SHAFT}core pole in shaft {{ {core} }}\n"))
}

#[test]
fn a_core_is_weighed_where_it_stands_and_clears_its_bore_by_the_closed_form() {
    let (built, report) = staff("of: dowel12, long: 250 mm");
    assert!(codes(&built).is_empty(), "{}", told(&built));
    let core = &report["cores"][0];
    // A cone of radii 30 and 25 over 300: the inner face lies 5 sec α in, and at 250 up the outside has 30 - 25/6.
    let sec = (1.0f64 + (5.0f64 / 300.0).powi(2)).sqrt();
    near(&core["clear"], 30.0 - 250.0 / 60.0 - 5.0 * sec - 6.0, 1e-3);
    let entry = report["masses"]["entries"].as_array().unwrap().iter().find(|e| e["name"] == "pole").unwrap();
    // The shelf's beech, 700 kg/m³: a cylinder.
    near(&entry["mass"], PI * 36.0 * 250.0 * 700e-6, 1e-3);
    near(&entry["centre"][2], 125.0, 1e-9);
    // Moved aside, a quarter of a turn round from the front.
    let (_, report) = staff("of: dowel12, long: 250 mm, shift: toward(left: 10 mm, up: 20 mm)");
    let core = &report["cores"][0];
    near(&core["clear"], 30.0 - 270.0 / 60.0 - 5.0 * sec - 10.0 - 6.0, 1e-3);
    assert_eq!(core["from"], serde_json::json!([0.0, 10.0, 20.0]));
}

#[test]
fn a_core_that_leans_is_nearest_at_the_corner_of_its_end() {
    let tube = "prop p { title: \"P\", of: foam5 }\nshell t { at 0 mm to 400 mm: circle(across: 60 mm) }\n";
    let (built, report) =
        of(&format!("{tube}core c in t {{ of: dowel12, long: 300 mm, tilt: toward(front: 3 deg) }}\n"));
    assert!(codes(&built).is_empty(), "{}", told(&built));
    let (s, c) = num::sin_cos(3f64.to_radians());
    near(&report["cores"][0]["clear"], 25.0 - (300.0 * s + 6.0 * c), 1e-3);
    near(&report["cores"][0]["to"][0], 300.0 * s, 1e-3);
    // Four degrees: the corner stands past the bore, and the warning has the figure.
    let (built, report) =
        of(&format!("{tube}core c in t {{ of: dowel12, long: 300 mm, tilt: toward(front: 4 deg) }}\n"));
    assert_eq!(codes(&built), ["core-does-not-fit"], "{}", told(&built));
    assert!(report["cores"][0]["clear"].as_f64().unwrap() < -0.5, "{report}");
}

#[test]
fn a_core_is_of_as_few_equal_lengths_as_its_rod_and_the_way_there_allow() {
    let lengths = |core: &str| {
        let (built, report) = staff(core);
        let core = &report["cores"][0];
        (codes(&built), core["count"].as_u64().unwrap(), core["each"].as_f64().unwrap(), core["joins"].clone())
    };
    let json = |v: &[f64]| serde_json::json!(v);
    assert_eq!(lengths("of: dowel12, long: 900 mm"), (vec![], 1, 900.0, json(&[])));
    assert_eq!(lengths("of: dowel12, long: 900 mm, longest: 450 mm"), (vec![], 2, 450.0, json(&[450.0])));
    assert_eq!(lengths("of: dowel12, long: 900 mm, longest: 449 mm"), (vec![], 3, 300.0, json(&[300.0, 600.0])));
    assert_eq!(lengths("of: dowel12, long: 900 mm, count: 4").1, 4);
    // Sold a metre long: joined, and said.
    let (said, count, each, _) = lengths("of: dowel12, long: 2400 mm");
    assert_eq!((said, count, each), (vec!["core-joined"], 3, 800.0));
    assert!(lengths("of: dowel12, long: 2400 mm, count: 3").0.is_empty());
}

#[test]
fn lengths_are_packed_into_the_rods_they_are_sold_in() {
    let bought = |stock: &str, cores: &str| {
        let text = format!("{SHAFT}stock ash12 {{ as: rod, thick: 12 mm, size: 12 mm by 1000 mm, {stock} }}\n{cores}");
        let (_, report) = of(&text);
        let lines = report["shopping"]["lines"].as_array().unwrap().clone();
        lines.into_iter().find(|l| l["goods"] == "ash12").unwrap_or_else(|| panic!("{report}"))
    };
    let one = "core a in shaft { of: ash12, long: 600 mm }\n";
    let two = format!("{one}core b in shaft {{ of: ash12, long: 400 mm, shift: toward(left: 13 mm) }}\n");
    let three = format!("{two}core c in shaft {{ of: ash12, long: 700 mm, count: 2, shift: toward(right: 13 mm) }}\n");
    // By hand: 600 + 400 of one; 350 and 350 of another.
    near(&bought("price: 2", one)["cost"], 2.0, 0.0);
    near(&bought("price: 2", &two)["cost"], 2.0, 0.0);
    near(&bought("price: 2", &three)["cost"], 4.0, 0.0);
    // Rests in the cupboard take both of those two.
    near(&bought("price: 2, offcuts: [12 mm by 360 mm, 12 mm by 355 mm]", &three)["cost"], 2.0, 0.0);
    near(&bought("price: 2, have: 2", &three)["cost"], 0.0, 0.0);
    near(&bought("price: 3 per m", &three)["cost"], 6.0, 0.0);
}

#[test]
fn the_hole_that_is_offered_lets_a_core_through_a_cap_and_a_wall() {
    let cap = format!("{SHAFT}cap knob on shaft.top {{ }}\ncap foot on shaft.bottom {{ }}\n");
    for core in [
        "core pole in shaft { of: dowel12, long: 340 mm }",
        "core pole in shaft { of: dowel12, long: 340 mm, level: -20 mm }",
        "core pole in shaft { of: dowel8, long: 340 mm, shift: toward(front: 6 mm, right: 4 mm) }",
        "core pole in shaft { of: dowel8, long: 340 mm, shift: toward(back: 5 mm), tilt: toward(front: 2 deg) }",
    ] {
        let mut text = format!("{cap}{core}\n");
        for turn in 0.. {
            let (built, _) = of(&text);
            let told = told(&built);
            let Some(d) = built.diagnostics.iter().find(|d| d.code.name() == "core-meets-sheet") else {
                assert!(turn > 0 && codes(&built).is_empty(), "{told}");
                break;
            };
            assert!(turn < 3, "{told}");
            let repair = d.repair.clone().unwrap().replace("pole_way", &format!("pole_way{turn}"));
            text = format!("{text}{repair}\n");
        }
    }
    // A cross-bar through a tube: both walls are pierced.
    let tube = "prop p { title: \"P\", of: foam5 }\nshell t { at 0 mm to 120 mm: circle(across: 60 mm) }\n\
                core pole in t { of: dowel12, long: 200 mm, level: 60 mm, tilt: toward(left: 90 deg), shift: toward(right: 100 mm) }\n";
    let mut text = tube.to_owned();
    for turn in 0..2 {
        let (built, _) = of(&text);
        let d = built.diagnostics.iter().find(|d| d.code.name() == "core-meets-sheet");
        let repair = d.and_then(|d| d.repair.clone()).unwrap_or_else(|| panic!("{}", told(&built)));
        // Outside 30, sheet 25 to 30: at the inside a rod of radius 6 takes asin(6/25) of the middle's 27.5.
        let across = repair.rsplit_once("across: ").unwrap().1.trim_end_matches(" mm) }").parse::<f64>().unwrap();
        let want = 2.0 * 27.5 * num::asin(6.0 / 25.0) + 1.0;
        assert!((across - want).abs() < 0.35, "{repair} for {want}");
        text = format!("{text}{}\n", repair.replace("pole_way", &format!("pole_way{turn}")));
    }
    let (built, _) = of(&text);
    assert!(codes(&built).is_empty(), "{}", told(&built));
}

#[test]
fn a_core_stands_on_the_cap_that_is_let_into_the_bottom() {
    let (built, report) = of(&format!(
        "{SHAFT}cap foot on shaft.bottom {{ sunk: 3 mm }}\ncore pole in shaft {{ of: dowel12, long: 200 mm }}\n"
    ));
    assert!(codes(&built).is_empty(), "{}", told(&built));
    near(&report["cores"][0]["from"][2], 8.0, 1e-9);
}

#[test]
fn a_core_counts_for_limits_of_length_and_packing() {
    let text = |limit: &str| {
        format!("{SHAFT}core pole in shaft {{ of: dowel12, long: 1200 mm, count: 2 }}\nlimit l {{ {limit} }}\n")
    };
    let said = |limit: &str| codes(&build(Folder::of(&text(limit))));
    assert!(said("long: 1201 mm").is_empty());
    assert!(!said("long: 1199 mm").is_empty());
    // Each length by itself, 600 mm long and 12 across; the shaft is 300 by 60.
    assert!(said("packed: 601 mm by 61 mm by 61 mm").is_empty());
    assert!(!said("packed: 599 mm by 61 mm by 61 mm").is_empty());
    // 600 along its own axis off the prop's: it stands upright, so its reach is the shaft's.
    assert!(said("reach: 30.1 mm").is_empty());
}

#[test]
fn two_cores_in_one_place_and_a_core_in_a_neighbour_are_told() {
    let (built, _) = of(&format!(
        "{SHAFT}core a in shaft {{ of: dowel12, long: 200 mm }}\ncore b in shaft {{ of: dowel12, long: 200 mm }}\n"
    ));
    assert_eq!(codes(&built), ["parts-collide"], "{}", told(&built));
    let (built, _) = of(&format!(
        "{SHAFT}shell neighbour beside shaft {{ at 0 mm to 80 mm: circle(across: 60 mm), facing: left }}\ncore pole beside shaft {{ of: dowel12, long: 60 mm, facing: left }}\n"
    ));
    assert!(codes(&built).contains(&"parts-collide"), "{}", told(&built));
}

#[test]
fn a_core_is_shown_bought_and_warned_of() {
    let (built, report) = staff("of: dowel12, long: 900 mm, count: 2");
    assert!(
        built.summary.contains("pole: 2 of dowel12, cut to 450 mm, end to end: 900 mm in all"),
        "{}",
        built.summary
    );
    assert!(
        report["cautions"]["list"].to_string().contains("\"saw\"")
            || report["cautions"].to_string().contains("\"saw\"")
    );
    let picture = built.files.iter().find(|f| f.path.ends_with("picture.svg")).unwrap();
    assert!(String::from_utf8_lossy(&picture.bytes).contains("pole"));
    // Facts of it are read by other things.
    let (built, _) = of(&format!(
        "{SHAFT}core pole in shaft {{ of: dowel12, long: 900 mm }}\nrequire pole.mass < 80 g \"light\"\nrequire pole.thick == 12 mm \"thin\"\n"
    ));
    assert!(codes(&built).is_empty(), "{}", told(&built));
    // A mock-up of card leaves it out by name.
    let built = crate::memory::mock_up(
        Folder::of(&format!("{SHAFT}core pole in shaft {{ of: dowel12, long: 900 mm }}\n")),
        "1:2",
        Some("board2"),
    );
    let report = built.files.iter().find(|f| f.path.ends_with("report.json")).unwrap();
    assert!(String::from_utf8_lossy(&report.bytes).contains("\"pole\""), "{}", told(&built));
}
