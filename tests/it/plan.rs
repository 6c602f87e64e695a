//! What a prop comes to: masses and their centre, finishes, contents, limits, questions of what is made, cautions.

use crate::memory::{Folder, build, check, errors, told};
use std::f64::consts::PI;
use tasset::pipeline::Built;

/// A build that went well, and its report.
fn report(text: &str) -> (Built, serde_json::Value) {
    let built = build(Folder::of(text));
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    let file = built.files.iter().find(|f| f.path.ends_with("report.json")).expect("a report");
    let json = serde_json::from_slice(&file.bytes).expect("it is JSON");
    (built, json)
}

fn near(found: &serde_json::Value, wanted: f64, within: f64) {
    let found = found.as_f64().unwrap_or_else(|| panic!("{found} is no number"));
    assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
}

/// What a check that fails says.
fn refused(text: &str, code: &str, says: &[&str]) {
    let checked = check(Folder::of(text));
    let told = tasset::diag::render::plain(&checked.diagnostics, &checked.sources);
    assert!(checked.diagnostics.iter().any(|d| d.code.name() == code), "{code} is not told\n{told}");
    for s in says {
        assert!(told.contains(s), "`{s}` is not in\n{told}");
    }
}

/// What a build that fails says.
fn fails(text: &str, code: &str, says: &[&str]) {
    let built = build(Folder::of(text));
    assert!(errors(&built).contains(&code), "{code} is not among {:?}\n{}", errors(&built), told(&built));
    let told = told(&built);
    for s in says {
        assert!(told.contains(s), "`{s}` is not in\n{told}");
    }
}

/// The wall and base of the chart runner's case: bore 95 above, 75 below, 520 high, foam of 100 kg/m³.
const CHART: &str = "\
prop chart { title: \"Chart case\", of: soft5, measured: inside }
stock soft5 { as: foam, thick: 5 mm, size: 1000 mm by 1000 mm, density: 100 kg/m3 }
shell tube { at 0 mm: circle(across: 75 mm), at 520 mm: circle(across: 95 mm) }
cap base on tube.bottom { fit: inset }
";

#[test]
fn the_chart_case_weighs_and_balances_as_the_brief_has_it() {
    let (built, report) = report(CHART);
    let entries = report["masses"]["entries"].as_array().unwrap();
    // Own figures of the brief, worked by hand: wall 73.5 g, mass centre with base 258 below the top.
    near(&entries[0]["mass"], 73.5, 0.5);
    let z = report["centre"]["empty"][2].as_f64().unwrap();
    assert!((520.0 - z - 258.0).abs() < 0.5, "{z}");
    // Closer: the frustum of the middle of the sheet, π (a + b) s and h/3 (a + 2b)/(a + b) up, cut level below and
    // square above; the base a disc of the bore.
    let sec = (1.0f64 + (10.0f64 / 520.0).powi(2)).sqrt();
    let sine = 10.0 / 520.0 / sec;
    let at = |z: f64| 37.5 + z * 10.0 / 520.0 + 2.5 * sec;
    let (high, low) = (520.0 - 2.5 * sine, 0.0);
    let (a, b, h) = (at(low), at(high), high - low);
    let wall = PI * (a + b) * h * sec * 5.0 * 100e-6;
    // What is cut is the outermost line of an edge: a shade more than its middle.
    near(&entries[0]["mass"], wall, 0.02);
    near(&entries[0]["centre"][2], h / 3.0 * (a + 2.0 * b) / (a + b), 1e-3);
    near(&entries[1]["centre"][2], 2.5, 1e-6);
    near(&report["centre"]["full"][0], 0.0, 1e-6);
    assert!(built.summary.contains("    weighs 76 g\n"), "{}", built.summary);
    assert!(built.summary.contains("262 mm up"), "{}", built.summary);
}

#[test]
fn both_of_a_pair_are_weighed_and_lie_on_either_side() {
    let text = "\
prop cuffs { title: \"Cuffs\", of: foam5 }
shell cuff { at 0 mm to 80 mm: circle(across: 100 mm), pair: mirrored, seam: open(facing: left, gap: 40 mm) }
contents slip in cuff { mass: 10 g, shift: toward(left: 20 mm) }
";
    let (_, both) = report(text);
    let (_, one) = report(&text.replace("pair: mirrored, ", ""));
    near(&both["masses"]["full"], 2.0 * one["masses"]["full"].as_f64().unwrap(), 1e-6);
    near(&one["masses"]["entries"][1]["centre"][1], 20.0, 1e-9);
    near(&both["centre"]["full"][1], 0.0, 1e-9);
    // The open side is on the left, so the left one is heavier to the right.
    assert!(one["masses"]["entries"][0]["centre"][1].as_f64().unwrap() < -5.0);
    let half = one["masses"]["full"].as_f64().unwrap();
    // A limit on one of the two counts one.
    let most = format!("{text}limit each on cuff.left {{ mass: {:.2} g }}\n", half + 0.01);
    assert_eq!(report(&most).1["limits"][0]["held"][0]["kept"], true);
    fails(&most.replace("cuff.left {", "cuff {"), "past-limit", &["too heavy for each"]);
}

#[test]
fn a_finish_takes_its_faces_exactly() {
    let text = "\
prop tin { title: \"Tin\", of: foam5 }
supply lime { as: paint, covers: 8 m2/l, dry: 30 min, density: 50 g/m2 }
shell wall { at 0 mm to 120 mm: circle(across: 100 mm) }
cap lid on wall.top { fit: flush }
opening port on wall { shape: rectangle(across: 30 mm by 40 mm) }
finish skin on [wall, lid] { of: lime, coats: 3, face: both }
require skin.area > 0.07 m2 \"both sides\"
require skin.mass < 13 g \"light\"
";
    let (built, report) = report(text);
    let finish = &report["finishes"][0];
    // Cylinders of radius 50 and 45; the port spans the same angle on both, 30 at the middle (47.5); the lid is a disc
    // of the outer face, both sides.
    let port = |r: f64| 30.0 * r / 47.5 * 40.0;
    let faces = [2.0 * PI * 45.0 * 120.0 - port(45.0), 2.0 * PI * 50.0 * 120.0 - port(50.0), PI * 2500.0, PI * 2500.0];
    for (i, wanted) in faces.iter().enumerate() {
        near(&finish["faces"][i]["area"], *wanted, 0.02);
    }
    let area: f64 = faces.iter().sum();
    near(&finish["area"], area, 0.05);
    near(&finish["volume"], 3.0 * area / 8e6 * 1000.0, 1e-3);
    near(&finish["mass"], 3.0 * area * 50e-6, 1e-4);
    near(&finish["dry"], 1800.0, 0.0);
    assert!(built.summary.contains("skin: 3 coats of lime on 849 cm2, 32 ml, 30 min to dry each"), "{}", built.summary);
}

#[test]
fn a_backing_strip_is_painted_where_it_shows() {
    let text = "\
prop tin { title: \"Tin\", of: foam5 }
supply lime { as: paint }
shell wall { at 0 mm to 120 mm: circle(across: 100 mm), seam: backed(wide: 20 mm) }
finish skin on wall { of: lime, face: inside }
";
    let (_, report) = report(text);
    // The strip is 20 wide on its own middle, at radius 42.5: its outer face hides 45/42.5 of that, its inner shows
    // 40/42.5.
    let strip = 20.0 * 120.0 / 42.5;
    near(&report["finishes"][0]["area"], 2.0 * PI * 45.0 * 120.0 - strip * 5.0, 0.02);
}

#[test]
fn what_is_made_answers_requirements_and_the_mass_of_contents() {
    let text = "\
prop tin { title: \"Tin\", of: foam5 }
supply lime { as: paint, density: 50 g/m2 }
shell wall { at 0 mm to 120 mm: circle(across: 100 mm) }
finish skin on wall { of: lime }
contents rag in wall { mass: 2 * skin.mass, level: 40 mm }
let all = prop.mass
require abs(all - rag.mass - wall.mass - skin.mass) < 0.1 g \"the sum of its parts\"
require foam5.sheets == 1 \"one sheet\"
require foam5.area > 300 cm2 \"what is cut\"
require rag.level == 40 mm \"where it lies\"
";
    // The contents' own mass is what was written, and a fact of made things.
    let (_, report) = report(text);
    near(&report["contents"][0]["mass"], 2.0 * 2.0 * PI * 50.0 * 120.0 * 2.0 * 50e-6, 1e-4);
    fails(
        &text.replace("foam5.sheets == 1 \"one sheet\"", "foam5.sheets >= 2 \"a spare sheet\""),
        "requirement-fails",
        &["a spare sheet", "this is 1"],
    );
    // Through a field of another thing, too; and there it may shape nothing.
    fails(
        &format!("{text}require rag.mass >= 9 g \"a good rag\"\n"),
        "requirement-fails",
        &["a good rag", "this is 7.539"],
    );
    let shaped = format!("{text}shell cup {{ at 0 mm to rag.mass / 1 g * 20 mm: circle(across: 100 mm) }}\n");
    fails(&shaped, "too-late", &["rag.mass"]);
    // Two errors in one go: neither hides the other.
    let two = format!("{text}limit bag {{ mass: 20 g, long: 100 mm }}\n");
    fails(&two, "past-limit", &["too heavy for bag", "too long for bag: 120 mm"]);
}

#[test]
fn contents_that_weigh_what_the_prop_weighs_go_round() {
    let text = "\
prop tin { title: \"Tin\", of: foam5 }
shell wall { at 0 mm to 120 mm: circle(across: 100 mm) }
let share = prop.mass / 10
contents rag in wall { mass: share }
";
    refused(text, "goes-round", &["the whole mass"]);
    // Sheets and areas do not rest on what is carried.
    let fine = text.replace("prop.mass / 10", "prop.sheets * 3 g");
    near(&report(&fine).1["contents"][0]["mass"], 3.0, 1e-9);
    // Where it lies is settled before anything is weighed.
    refused(&text.replace("mass: share", "mass: 3 g, level: share / 1 g * 1 mm"), "too-late", &[]);
}

#[test]
fn a_check_holds_limits_without_laying_anything_out() {
    let text = "\
prop tin { title: \"Tin\", of: foam5 }
shell wall { at 0 mm to 120 mm: circle(across: 100 mm) }
limit bag { mass: 5 g, spare: 1 g }
require foam5.sheets == 9 \"not asked here\"
";
    let checked = check(Folder::of(text));
    let codes: Vec<&str> = checked.diagnostics.iter().map(|d| d.code.name()).collect();
    assert_eq!(codes, ["past-limit"]);
}

#[test]
fn limits_say_by_how_much_and_what_would_do() {
    let prop = "\
prop fair_bell { title: \"Bell\", of: soft4 }
stock soft4 { as: foam, thick: 4 mm, size: 1000 mm by 1000 mm, density: 100 kg/m3 }
shell bell { at 0 mm: circle(across: 160 mm), at 200 mm: circle(across: 100 mm) }
cap lid on bell.top { fit: overlay, rim: 20 mm, loose: yes }
";
    let with = |limit: &str| format!("{prop}limit fair {{ {limit} }}\n");
    refused(
        &with("mass: 30 g, spare: 2 g"),
        "past-limit",
        &["at most 30 g, less 2 g to spare", "heaviest: bell ", "allow `mass: 4"],
    );
    // Sheet parts reach 80 from the axis; the lid's rim 50 + 0.5 + 4 at most.
    refused(&with("reach: 79 mm"), "past-limit", &["bell reaches too far for fair: 80 mm", "`reach: 80 mm`"]);
    let (_, fine) = report(&with("reach: 80 mm, spare: 0 mm"));
    near(&fine["limits"][0]["held"][0]["found"][0], 80.0, 1e-3);
    // Apart, the bell is 160 by 160 by 200 high and the lid by itself: its disc lies on the wall's end.
    refused(&with("packed: 210 mm by 150 mm by 170 mm"), "past-limit", &["bell does not go in the box of fair"]);
    let (_, fine) = report(&with("packed: 205 mm by 161 mm by 161 mm"));
    assert_eq!(fine["limits"][0]["held"][0]["kept"], true);
    // The whole is longer than the bell: a disc of 4 above the 200.
    refused(&with("long: 203 mm"), "past-limit", &["too long for fair: 204", "`long: 205 mm`"]);
    // On parts: the bell alone.
    let alone = format!("{prop}limit fair on bell {{ long: 203 mm }}\n");
    near(&report(&alone).1["limits"][0]["held"][0]["found"][0], 200.0, 2.0);
}

#[test]
fn glued_parts_stay_together_and_loose_ones_come_off() {
    let with = |loose: &str| {
        format!(
            "prop drum {{ title: \"Drum\", of: foam5 }}\n\
             shell wall {{ at 0 mm to 100 mm: circle(across: 200 mm) }}\n\
             cap head on wall.top {{ fit: flush{loose} }}\n\
             limit bag {{ packed: 201 mm by 201 mm by 102 mm }}\n"
        )
    };
    refused(&with(""), "past-limit", &["wall with head does not go in the box of bag", "200 mm by 200 mm by 105 mm"]);
    assert_eq!(report(&with(", loose: yes")).1["limits"][0]["held"][0]["kept"], true);
}

/// The keys of the cautions of a build with their signal words.
fn cautions(text: &str) -> Vec<(String, String)> {
    let (built, report) = report(text);
    let list = report["cautions"]["list"].as_array().unwrap().clone();
    assert!(report["cautions"]["first"].as_str().unwrap().contains("labels of your products"));
    assert!(built.summary.contains("your local rules and qualified people come before"), "{}", built.summary);
    let word = |c: &serde_json::Value, k: &str| c[k].as_str().unwrap().to_owned();
    list.iter().map(|c| (word(c, "key"), word(c, "signal"))).collect()
}

#[test]
fn cautions_are_those_of_what_the_prop_needs() {
    let plain = "prop p { title: \"P\", of: foam5 }\nshell body { at 0 mm to 90 mm: circle(across: 120 mm) }\n";
    let has = |more: &str, key: &str, signal: &str| {
        let found = cautions(&format!("{plain}{more}\n"));
        assert!(found.contains(&(key.to_owned(), signal.to_owned())), "{key} is not in {found:?}");
        // The gravest come first.
        let order: Vec<usize> =
            found.iter().map(|c| ["WARNING", "CAUTION", "NOTICE"].iter().position(|s| *s == c.1).unwrap()).collect();
        assert!(order.windows(2).all(|w| w[0] <= w[1]), "{found:?}");
    };
    let not = |more: &str, key: &str| {
        let found = cautions(&format!("{plain}{more}\n"));
        assert!(!found.iter().any(|c| c.0 == key), "{key} is in {found:?}");
    };
    has("", "blade", "CAUTION");
    // A glued seam and no glue named: the usual one is spoken of.
    has("", "solvent", "WARNING");
    not("supply paste { as: adhesive, cautions: [skin] }", "solvent");
    has("supply paste { as: adhesive, cautions: [skin] }", "skin", "CAUTION");
    not("", "dust");
    has(
        "cap lid on body.top { fit: inset }\nshell cone on body.top { at 0 mm: circle(across: 120 mm), at 40 mm: circle(across: 60 mm) }",
        "dust",
        "CAUTION",
    );
    has("shell pin { at 0 mm to 40 mm: circle(across: 30 mm), of: foam6 }", "heat", "CAUTION");
    not("", "heat");
    has("lacing l on body.seam { of: waxed_cord, holes: 3 mm }", "awl", "CAUTION");
    not("", "awl");
    has("strap s on body { of: webbing20 }", "load", "CAUTION");
    not("strap s on body { of: webbing20 }", "neck");
    has(
        "attachment a on body { as: ring, of: dee20, tab: webbing20 }\nstrap s on [a, a] { of: webbing20, long: 1 m }",
        "neck",
        "WARNING",
    );
    has("finish f on body { of: acrylic }", "spoil", "NOTICE");
    has(
        "shell upper over body { gap: 1 mm, level: 30 mm }\narticulation m on [body, upper] { of: webbing20, angle: 5 deg, overlap: 60 mm }",
        "pinch",
        "CAUTION",
    );
    not("", "pinch");
    // Small parts: for a child, or where nobody knows.
    let beads = "attachment a on body { as: ring, of: dee20, tab: webbing20 }";
    has(beads, "small_parts", "WARNING");
}

#[test]
fn a_head_and_a_child_are_known_by_the_wearer() {
    let prop = |age: u32, measure: &str| {
        format!(
            "prop p {{ title: \"P\", of: foam5, measured: inside, wearer: lad }}\n\
             wearer lad {{ age: {age}, head_around: 540 mm, chest_around: 800 mm }}\n\
             let girth = wearer.{measure} + 20 mm\n\
             shell body {{ at 0 mm to 90 mm: circle(around: girth) }}\n\
             attachment a on body {{ as: ring, of: dee20, tab: webbing20 }}\n"
        )
    };
    let keys = |text: &str| -> Vec<String> { cautions(text).into_iter().map(|c| c.0).collect() };
    assert!(keys(&prop(30, "head_around")).contains(&"head".to_owned()));
    assert!(!keys(&prop(30, "chest_around")).contains(&"head".to_owned()));
    assert!(keys(&prop(9, "chest_around")).contains(&"small_parts".to_owned()));
    assert!(!keys(&prop(30, "chest_around")).contains(&"small_parts".to_owned()));
}

#[test]
fn cautions_stand_on_the_first_printed_page() {
    let prop = |more: &str| {
        format!(
            "prop p {{ title: \"P\", of: foam5, paper: a4 }}\n{more}\
             shell body {{ at 0 mm to 90 mm: circle(across: 120 mm) }}\n"
        )
    };
    let pages = |text: &str| {
        let (built, _) = report(text);
        let page =
            |n: usize| built.files.iter().find(|f| f.path.ends_with(&format!("/page-{n}.svg"))).map(|f| f.bytes.len());
        let count = built.files.iter().filter(|f| f.path.contains("/print/page-")).count();
        (page(1).unwrap(), count)
    };
    let few = pages(&prop(""));
    // Every word of the table's cautions: the block fills the page, and what comes after it goes on to the next.
    let all = [
        "solvent",
        "flammable",
        "flame",
        "fumes",
        "dust",
        "heat",
        "blade",
        "sharp",
        "glass",
        "small_parts",
        "magnets",
        "battery",
        "latex",
        "nickel",
        "skin",
        "eyes",
    ];
    let many = pages(&prop(&format!("supply paste {{ as: adhesive, cautions: [{}] }}\n", all.join(", "))));
    assert!(many.0 > few.0 && many.1 > few.1, "{few:?} {many:?}");
}

#[test]
fn how_it_hangs_is_kept_as_asked_and_said_to_be_open() {
    let text = "\
prop p { title: \"P\", of: foam5 }
shell body { at 0 mm to 90 mm: circle(across: 120 mm) }
attachment upper on body { as: ring, of: dee20, tab: webbing20 }
strap sling on [upper, upper] { of: webbing20, long: 1 m }
hang slung on sling { support: body, slide: 40 mm, steepest: 35 deg }
";
    let built = build(Folder::of(text));
    let notes: Vec<&str> =
        built.diagnostics.iter().filter(|d| d.message.contains("slung")).map(|d| d.code.name()).collect();
    assert_eq!(notes, ["not-answered-yet"], "{}", told(&built));
}

/// An example's files.
fn example(name: &str) -> Folder {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let mut files = std::collections::BTreeMap::new();
    for own in ["workshop", "crew", name] {
        let text = std::fs::read_to_string(folder.join(format!("{own}.prop"))).expect("a file");
        files.insert(format!("{}.prop", if own == name { "prop" } else { own }), text);
    }
    Folder(files)
}

/// Goods, how much of them is bought (in whole purchases where there are any), and what it costs.
fn bought(built: &Built) -> Vec<(String, f64, Option<f64>)> {
    assert_eq!(errors(built), Vec::<&str>::new(), "{}", told(built));
    let file = built.files.iter().find(|f| f.path.ends_with("report.json")).expect("a report");
    let report: serde_json::Value = serde_json::from_slice(&file.bytes).expect("it is JSON");
    let shopping = &report["shopping"];
    let lines = shopping["lines"].as_array().expect("lines");
    let out: Vec<_> = lines
        .iter()
        .map(|l| (l["goods"].as_str().unwrap().to_owned(), l["buy"].as_f64().unwrap(), l["cost"].as_f64()))
        .collect();
    let sum: f64 = out.iter().filter_map(|l| l.2).sum();
    near(&shopping["total"], sum, 1e-9);
    out
}

/// Own sums from each example's `workshop.prop` and the lengths its other tests hold: whole sheets less what is there,
/// cloth by the tenth of a metre it is laid on, cord and webbing to the next tenth of a metre, laces as they are sold.
#[test]
fn what_the_examples_cost() {
    let built = build(example("flag-case"));
    let line = |name: &str, buy: f64, cost: f64| (name.to_owned(), buy, Some(cost));
    let found = bought(&built);
    let wanted = [
        // One sheet is in the cupboard.
        line("foam5", 0.0, 0.0),
        line("foam2", 1.0, 1.20),
        // Two loads of the cutter, 305 of the roll each, lie beside each other on 1400.
        line("twill", 400.0, 3.76),
        line("waxed_cord", 1300.0, 0.39),
        line("tarred_cord", 400.0, 0.32),
        line("float14", 27.0, 4.05),
        line("thin_wire", 600.0, 0.12),
        line("dee20", 2.0, 1.20),
        line("webbing20", 1500.0, 1.65),
        // 2 coats of 0.1223 m2 at 9 m2/l: 27.2 ml at 11 a litre.
        line("slate_grey", 28.0, 0.31),
        // 0.348 m2 at 3 m2/l, both faces of what is glued.
        line("contact", 116.0, 1.62),
    ];
    assert_eq!(found, wanted);
    assert!(built.summary.contains("to buy for 14.62, of a budget of 60:"), "{}", built.summary);
    assert!(
        built.summary.contains("        webbing20, 1.5 m: 1.65\n        slate_grey, 28 ml: 0.31\n"),
        "{}",
        built.summary
    );
    let glue = "contact, 116 ml: 1.62 (one coat on both faces of what is glued; its label comes first)";
    assert!(built.summary.contains(glue), "{}", built.summary);
    assert!(!built.summary.contains("not priced"), "{}", built.summary);
    let built = build(example("chart-case"));
    let wanted = [
        line("foam5", 1.0, 7.80),
        line("twill", 600.0, 5.64),
        line("rope6", 400.0, 0.36),
        line("dee25", 2.0, 1.40),
        // A sling of 1380 and two tabs of 57.
        line("webbing25", 1600.0, 2.08),
    ];
    assert_eq!(bought(&built), wanted);
    let built = build(example("bracers"));
    let wanted = [
        line("foam4", 1.0, 6.40),
        line("foam2", 1.0, 1.20),
        line("ticking", 300.0, 2.37),
        line("mending_lace", 3000.0, 2.20),
    ];
    assert_eq!(bought(&built), wanted);
    assert!(built.summary.contains("        mending_lace, 2 of 1.5 m: 2.20\n"), "{}", built.summary);
}

/// Areas of a tube of 50 mm outside, 45 inside, 120 tall, against closed forms; one litre covers 1 m² here, so millilitres
/// are hundredths of a square decimetre: 1000 mm² each.
#[test]
fn glue_goes_on_both_faces_of_what_meets() {
    let need = |glue: &str, more: &str| {
        let built = build(Folder::of(&format!(
            "prop p {{ title: \"P\", of: foam5 }}
stock hide {{ as: leather, thick: 2 mm, size: 900 mm by 900 mm }}
supply stick {{ as: adhesive{glue} }}
shell tube {{ at 0 mm to 120 mm: circle(across: 100 mm) }}\n{more}\n"
        )));
        let file = built.files.iter().find(|f| f.path.ends_with("report.json")).expect("a report");
        let report: serde_json::Value = serde_json::from_slice(&file.bytes).expect("it is JSON");
        let lines = report["shopping"]["lines"].as_array().expect("lines").clone();
        let line = lines.into_iter().find(|l| l["goods"] == "stick").expect("the glue");
        line["need"].as_f64().map(|n| if n > 0.0 { n } else { -1.0 }).expect("a figure")
    };
    let one = ", covers: 1 m2/l, price: 3 per l";
    let seam = 2.0 * 120.0 * 5.0;
    let near = |is: f64, mm2: f64| assert!((is - mm2 / 1000.0).abs() < 1e-3, "{is} ml for {mm2} mm2");
    near(need(one, ""), seam);
    // A cap on the end takes the wall's end or its own edge, whichever is more; one in the bore its own; a loose one none.
    let round = |r: f64| 2.0 * PI * r;
    near(need(one, "cap lid on tube.top { fit: flush }"), seam + 2.0 * round(50.0) * 5.0);
    let bore = seam + 2.0 * f64::max(round(45.0), round(47.5)) * 5.0;
    near(need(one, "cap base on tube.bottom { fit: inset }"), bore);
    near(need(one, "cap base on tube.bottom { fit: inset, loose: yes }"), seam);
    // A cover lies on the wall with its whole face, and has a seam of its own.
    let cover = 2.0 * round(51.0) * 120.0 + 2.0 * 120.0 * 2.0;
    near(need(one, "cover skin on tube { of: hide, turn: 0 mm }"), seam + cover);
    // How far it goes is for its label to say, and so is which of two goes where.
    assert!(need("", "") < 0.0);
    assert!(need(one, "supply paste { as: adhesive, covers: 4 m2/l }") < 0.0);
}

#[test]
fn a_budget_says_by_how_much_it_is_passed_and_what_is_dearest() {
    let text = |budget: &str, have: &str| {
        format!(
            "prop p {{ title: \"P\", of: foam, budget: {budget}, currency: \"shells\" }}
stock foam {{ as: foam, thick: 5 mm, size: 300 mm by 200 mm, price: 7.80{have} }}
supply rope {{ as: cord, thick: 6 mm, price: 0.90 per m, sold: 2 m }}
supply tin {{ as: paint, covers: 10 m2/l, price: 4.50, sold: 50 ml }}
supply drab {{ as: paint, covers: 10 m2/l }}
shell body {{ at 0 mm to 90 mm: circle(across: 70 mm) }}
border rim on body.top {{ as: cord, of: rope }}
finish paint on body {{ of: tin }}
finish lining on body {{ of: drab, face: inside }}
"
        )
    };
    // 7.80 for the sheet, 1.80 for 2 m of rope, 4.50 for a tin.
    fails(
        &text("12", ""),
        "over-budget",
        &[
            "costs 14.10",
            "2.10 too much",
            "dearest: foam 7.80, tin 4.50, rope 1.80; not priced: drab",
            "`budget: 14.10`",
        ],
    );
    let built = build(Folder::of(&text("14.10", "")));
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    assert!(built.summary.contains("to buy for 14.10 shells, of a budget of 14.10:"), "{}", built.summary);
    assert!(built.summary.contains("rope, 1 of 2 m: 1.80"), "{}", built.summary);
    // What is in the cupboard costs nothing.
    let built = build(Folder::of(&text("6.30", ", have: 1")));
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    // A budget that nothing can be held against is told.
    let text =
        text("12", "").replace(", price: 7.80", "").replace(", price: 0.90 per m", "").replace(", price: 4.50", "");
    let built = build(Folder::of(&text));
    assert!(built.diagnostics.iter().any(|d| d.code.name() == "limit-not-proven"), "{}", told(&built));
}

#[test]
fn a_deadline_and_the_hours_at_the_bench_are_kept_as_asked_and_said_to_be_open() {
    let text = "\
prop p { title: \"P\", of: foam5, deadline: \"2031-06-14\", bench: 90 min }
shell body { at 0 mm to 90 mm: circle(across: 70 mm) }
";
    let (built, report) = report(text);
    assert_eq!(report["work"], serde_json::json!({ "deadline": "2031-06-14", "bench": 5400.0, "answer": null }));
    let codes: Vec<&str> = built.diagnostics.iter().map(|d| d.code.name()).collect();
    assert_eq!(codes, ["not-answered-yet"], "{}", told(&built));
    assert_eq!(report["not_built"], serde_json::json!([]));
}
