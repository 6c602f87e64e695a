//! Girths and widths that were both measured, and girths over clothing, from text to pieces.

use crate::memory::{Folder, build, clean, errors, told};
use serde_json::Value;
use tasset::num::PI;
use tasset::pipeline::Built;

const FOAM: &str = "prop p { title: \"P\", of: foam6 }
    stock foam6 { as: foam, thick: 6 mm, size: 500 mm by 1000 mm, density: 100 kg/m3 }\n";

fn report(built: &Built) -> Value {
    let file = built.files.iter().find(|f| f.path.ends_with("report.json")).expect("a report");
    serde_json::from_slice(&file.bytes).unwrap()
}

fn brow(trust: &str) -> String {
    format!(
        "{FOAM}let tape = 578 mm
        let round = dressed(body: tape, pad: 10 mm, cloth: 2 mm)
        shell brow {{ at 0 mm to 45 mm: oval(across: 224 mm by 180 mm, around: round{trust}), measured: inside }}"
    )
}

/// The bell warden's brow band (brief B7): tape 578 over padding 10 and wig 2, calipers 200 by 156 over the same. The brief:
/// inside girth 653.4, middle of 6 mm of foam 672.2 (653.4 + 6 pi), middle axes about 236 by 191 where the tape rules.
#[test]
fn the_bell_warden_s_brow_is_asked_about_and_settled() {
    let asked = build(Folder::of(&brow("")));
    assert_eq!(errors(&asked), ["girth-and-width"]);
    let said = told(&asked);
    for words in
        ["224 mm by 180 mm across is 636.5 mm round", "`around` is 653.4 mm", "`trust: across`", "16.9 mm more"]
    {
        assert!(said.contains(words), "no {words:?} in\n{said}");
    }
    let repair = asked.diagnostics.iter().find_map(|d| d.repair.clone()).unwrap();
    assert_eq!(repair, "trust: around");
    let middle = |built: &Built| -> (f64, f64) {
        let piece = &report(built)["pieces"][0];
        let edge = piece["edges"].as_array().unwrap().iter().find(|e| e["name"] == "bottom").unwrap().clone();
        (edge["inside"].as_f64().unwrap(), edge["neutral"].as_f64().unwrap())
    };
    let (inside, mid) = middle(&clean(&brow(&format!(", {repair}"))));
    assert!((inside - (578.0 + 24.0 * PI)).abs() < 1e-3 && (inside - 653.4).abs() < 0.05, "{inside}");
    assert!((mid - 672.2).abs() < 0.1, "{mid}");
    // The calipers rule: an ellipse with axes 224 and 180, by Ramanujan's second formula (1914) 636.49 round.
    let (inside, _) = middle(&clean(&brow(", trust: across")));
    let h = (22.0f64 / 202.0).powi(2);
    let ramanujan = PI * 202.0 * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()));
    assert!((inside - ramanujan).abs() < 1e-3, "{inside} {ramanujan}");
}

/// What is offered beside `trust`: the oval that has both measures. It is audited with the girth that was given.
#[test]
fn a_fuller_oval_that_is_offered_is_built() {
    let said = told(&build(Folder::of(&brow(""))));
    let fullness = said.split("`fullness: ").nth(1).unwrap().split('`').next().unwrap().to_owned();
    let built = clean(&brow(&format!(", fullness: {fullness}")));
    let part = &report(&built)["parts"][0];
    assert_eq!(part["name"], "brow");
}

/// An opening is asked about as a section is.
#[test]
fn an_opening_s_girth_and_width_are_settled_too() {
    let face = |shape: &str| {
        format!(
            "{FOAM}shell a {{ at 0 mm to 90 mm: circle(across: 120 mm) }}
            opening o on a {{ shape: {shape} }}"
        )
    };
    let asked = build(Folder::of(&face("circle(across: 40 mm, around: 140 mm)")));
    assert_eq!(errors(&asked), ["girth-and-width"], "{}", told(&asked));
    for (trust, round) in [("around", 140.0), ("across", 40.0 * PI)] {
        let built = clean(&face(&format!("circle(across: 40 mm, around: 140 mm, trust: {trust})")));
        let across = report(&built)["pieces"][0]["holes"][0]["across"].as_f64().unwrap();
        assert!((across * PI - round).abs() < 0.01, "{across}");
    }
}

/// A share of ease from the text to the piece: an upper arm of 372 over 2 of sleeve and 15 of air with 5 % of ease.
#[test]
fn ease_as_a_share_reaches_the_piece() {
    let cuff = |ease: &str| {
        format!(
            "{FOAM}wearer keeper {{ upper_arm_around: 372 mm }}
            shell cuff {{ measured: inside, at 0 mm to 60 mm: circle(around: dressed(body: keeper.upper_arm_around,
                cloth: 2 mm, air: 15 mm, ease: {ease})) }}"
        )
    };
    let built = clean(&cuff("5 %"));
    let inside = report(&built)["pieces"][0]["edges"]
        .as_array()
        .unwrap()
        .iter()
        .find(|e| e["name"] == "bottom")
        .unwrap()["inside"]
        .as_f64()
        .unwrap();
    assert!((inside - (372.0 * 1.05 + 34.0 * PI)).abs() < 1e-3, "{inside}");
    // A forgotten unit is told where it is written, and where it comes from elsewhere.
    assert_eq!(errors(&build(Folder::of(&cuff("10")))), ["bare-number"]);
    let named = build(Folder::of(&format!("let spare = 10\n{}", cuff("spare"))));
    assert_eq!(errors(&named), ["out-of-range"]);
    assert!(told(&named).contains("`ease: 10 mm`"), "{}", told(&named));
}
