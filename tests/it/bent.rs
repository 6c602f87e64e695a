//! Sloped and bent walls against printed and published figures, from text to report. Lengths of a source in other units
//! are taken as millimetres.

use crate::chance::Chance;
use crate::memory::{Folder, OURS, build, clean, errors, told};
use serde_json::Value;
use std::fmt::Write as _;

/// Film without thickness to speak of, whose outer face keeps its length.
const FILM: &str = "prop p { title: \"P\", of: film }\n\
    stock film { as: card, thick: 0.001 mm, size: 4 m by 4 m, density: 900 kg/m3, neutral: 100 % }\n";
const FOAM: &str = "prop p { title: \"P\", of: foam }\n\
    stock foam { as: foam, thick: 3 mm, size: 1 m by 2 m, density: 100 kg/m3, tightest: 1 mm, tightest_warm: 1 mm }\n";

/// The pieces of a text that builds without a word.
fn pieces(text: &str) -> Vec<Value> {
    let built = clean(text);
    let mut report: Value = serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON");
    report["pieces"].as_array_mut().expect("pieces").drain(..).collect()
}

fn edge<'a>(piece: &'a Value, name: &str) -> &'a Value {
    let edges = piece["edges"].as_array().expect("edges");
    edges.iter().find(|e| e["name"] == name).unwrap_or_else(|| panic!("no {name} in {edges:?}"))
}

fn long(piece: &Value, name: &str, face: &str) -> f64 {
    edge(piece, name)[face].as_f64().expect("a length")
}

fn area(piece: &Value) -> f64 {
    piece["area"].as_f64().expect("an area")
}

#[track_caller]
fn near(found: f64, expected: f64, off: f64) {
    assert!((found - expected).abs() <= off, "{found}, not {expected} within {off}");
}

#[test]
fn a_sloping_cut_has_the_length_of_its_ellipse() {
    // Perimeters 4aE(m) with a = r/cos α (Abramowitz & Stegun 1964, ch. 17); the area is that of the whole tube up to the
    // middle of the cut, whatever it leans (the integral of a cosine once round is nothing).
    for (across, angle, girth) in [(40.0, 45.0, 152.807_912), (60.0, 30.0, 203.337_528), (100.0, 11.25, 317.244_100)] {
        let text = format!(
            "{FILM}shell pipe {{ at 0 mm: circle(across: {across} mm)\n\
             at 80 mm: circle(across: {across} mm, tilt: toward(front: {angle} deg)) }}\n"
        );
        let pipe = &pieces(&text)[0];
        near(long(pipe, "top", "neutral"), girth, 0.005);
        near(area(pipe) / (std::f64::consts::PI * across * 80.0), 1.0, 1e-5);
    }
}

#[test]
fn ordinates_of_a_sloping_cut_are_a_sine() {
    // Diameter 60, 80 to the middle of a cut at 30 degrees: the seam runs along the ordinate it faces (M. Apostol and
    // M. Mnatsakanian, Unwrapping curves from cylinders and cones, 2007, section 2).
    for (facing, ordinate) in
        [(0.0, 97.32051), (45.0, 92.24745), (60.0, 88.66025), (120.0, 71.33975), (180.0, 62.67949)]
    {
        let text = format!(
            "{FILM}shell pipe {{ at 0 mm: circle(across: 60 mm)\n\
             at 80 mm: circle(across: 60 mm, tilt: toward(back: 30 deg)), seam: butt(facing: {facing} deg) }}\n"
        );
        near(long(&pieces(&text)[0], "seam left side", "neutral"), ordinate, 0.005);
    }
}

fn elbow(across: f64, radius: f64, cuts: u32, facing: &str) -> Vec<Value> {
    pieces(&format!(
        "{FILM}shell bend {{ at bottom to top: circle(across: {across} mm), seam: butt(facing: {facing})\n\
         spine: [bend(angle: 90 deg, radius: {radius} mm, joints: {cuts})] }}\n"
    ))
}

#[test]
fn an_elbow_has_the_throat_and_heel_that_a_fitter_marks() {
    // Centre radius 381, diameter 273, four cuts: middle piece 151.6 and end piece 75.8 on the centre line (printed in a
    // pipe fitter's table); throat 97.26815 and heel 205.87430 by 2 (R ∓ D/2) tan 11.25 deg.
    for (facing, side) in [("front", 97.268_15), ("back", 205.874_30), ("left", 151.571_22)] {
        let bend = elbow(273.0, 381.0, 4, facing);
        assert_eq!(bend.len(), 5);
        for (i, piece) in bend.iter().enumerate() {
            let end = i == 0 || i == 4;
            near(long(piece, "seam left side", "neutral"), if end { 0.5 * side } else { side }, 0.005);
        }
    }
}

#[test]
fn an_elbow_takes_the_sheet_of_its_centre_line() {
    // Ordinates average to the centre line: pi D (2 c R tan a) of sheet; end ordinates 19.89124 and 39.78247 of D 100,
    // R 150, four cuts (both from the formula (R − D/2 cos θ) tan a).
    let bend = elbow(100.0, 150.0, 4, "front");
    let tan = tasset::num::tan((11.25f64).to_radians());
    let whole: f64 = bend.iter().map(area).sum();
    near(whole / (std::f64::consts::PI * 100.0 * 8.0 * 150.0 * tan), 1.0, 1e-5);
    near(long(&bend[0], "seam left side", "neutral"), 19.891_24, 0.005);
    near(long(&elbow(100.0, 150.0, 4, "back")[4], "seam left side", "neutral"), 39.782_47, 0.005);
}

#[test]
fn the_lantern_s_chimney_has_the_figures_worked_out_for_it() {
    // Own figures for the storm lantern (B4): outside diameter 50, foam 3, 90 degrees in three pieces about 45, on half
    // depth: mitre 22.5, girth 147.7, middle piece 17.8 at the throat and 56.7 at the heel.
    let chimney = |facing: &str| {
        pieces(&format!(
            "{FOAM}shell chimney {{ at bottom to top: circle(across: 50 mm), seam: butt(facing: {facing}), rim: level\n\
             spine: [straight(long: 30 mm), bend(angle: 90 deg, radius: 45 mm, joints: 2), straight(long: 30 mm)] }}\n"
        ))
    };
    let front = chimney("front");
    assert_eq!(front.len(), 3);
    near(long(&front[1], "seam left side", "neutral"), 17.8, 0.05);
    near(long(&chimney("back")[1], "seam left side", "neutral"), 56.7, 0.05);
    near(long(&front[0], "bottom", "neutral"), 147.7, 0.05);
    // The bevel is half of the angle at each joint at most: 22.5 degrees.
    assert!(edge(&front[1], "top")["bevel"].as_str().unwrap().contains("22.5° "), "{:?}", edge(&front[1], "top"));
}

#[test]
fn rings_of_one_cone_turned_half_round_make_the_sea_ram_s_horn() {
    // Own figures for the horns (B5): 80 to 12 over 420, seven rings of 60 with 120 degrees among six joints: skin
    // 569 cm², 17 g at 100 kg/m³, uncut cone R1 477.1 and 29.05 degrees on half depth.
    let horn = pieces(&format!(
        "{FOAM}shell horn {{ at bottom: circle(across: 80 mm), at top: circle(across: 12 mm)\n\
         spine: [bend(angle: 120 deg, long: 420 mm, joints: 6, style: flipped)], rim: level }}\n\
         require abs(horn.middle.area - 569 cm2) < 1 cm2 \"its skin\"\n"
    ));
    assert_eq!(horn.len(), 7);
    // What is cut is a little more: the bevels of twelve rims.
    let skin: f64 = horn.iter().map(area).sum();
    assert!(skin > 56_900.0 && skin < 1.01 * 56_900.0, "{skin}");
    let mass: f64 = horn.iter().map(|p| p["mass"].as_f64().unwrap()).sum();
    near(mass, 17.0, 0.3);
    // 29.05 degrees of a circle of radius R1 is the girth at the base on half depth.
    near(long(&horn[0], "bottom", "neutral"), 29.05f64.to_radians() * 477.1, 0.2);
    for w in horn.windows(2) {
        near(long(&w[0], "top", "outside"), long(&w[1], "bottom", "outside"), 0.01);
    }
}

#[test]
fn cones_about_balls_meet_in_rims_of_one_length() {
    // HR1: neighbours that touch one ball meet in a plane; circles set square at the joints would miss each other.
    let horn = pieces(&format!(
        "{FOAM}shell horn {{ at bottom: circle(across: 80 mm), at top: circle(across: 20 mm)\n\
         spine: [bend(angle: 90 deg, long: 240 mm, joints: 3), bend(angle: 60 deg, facing: left, long: 160 mm, joints: 2)]\n\
         seam: butt(facing: back, stagger: 50 deg), rim: level }}\n"
    ));
    near(long(&horn[0], "bottom", "outside"), std::f64::consts::PI * 80.0, 0.01);
    near(long(&horn[horn.len() - 1], "top", "outside"), std::f64::consts::PI * 20.0, 0.01);
    for w in horn.windows(2) {
        near(long(&w[0], "top", "outside"), long(&w[1], "bottom", "outside"), 0.01);
    }
}

#[test]
fn facts_of_a_bent_shell_are_those_of_its_ends_and_its_centre_line() {
    let text = format!(
        "{FOAM}shell foghorn {{ at bottom to top: circle(across: 50 mm)\n\
         spine: [straight(long: 40 mm), bend(angle: 90 deg, radius: 60 mm, facing: front, joints: 2), straight(long: 80 mm)] }}\n\
         require abs(foghorn.long - 219.411 mm) < 0.01 mm \"two ends and 4 R tan 22.5 deg\"\n\
         require abs(foghorn.top.around - pi * 50 mm) < 0.01 mm \"its mouth\"\n\
         require abs(foghorn.area - pi * 50 mm * foghorn.long) < 1 mm2 \"its skin\"\n\
         require foghorn.top.across == 50 mm \"its width\"\n"
    );
    assert_eq!(pieces(&text).len(), 3);
}

#[test]
fn what_a_message_offers_for_a_tight_bend_does() {
    let horn = |radius: &str| {
        format!(
            "{FOAM}shell horn {{ at bottom to top: circle(across: 120 mm)\n\
             spine: [straight(long: 60 mm), bend(angle: 90 deg, radius: {radius}, joints: 3), straight(long: 60 mm)] }}\n"
        )
    };
    let tight = build(Folder::of(&horn("55 mm")));
    let repair = tight.diagnostics.iter().find_map(|d| d.repair.clone()).expect("a repair");
    let radius = repair.strip_prefix("radius: ").expect("a radius");
    assert_eq!(told(&build(Folder::of(&horn(radius)))), "");
}

#[test]
fn what_cannot_lean_is_told_with_the_reason() {
    let says = |text: &str, parts: &[&str]| {
        let found = told(&build(Folder::of(&format!("{FOAM}{text}"))));
        assert!(parts.iter().all(|p| found.contains(p)), "{text}\n{found}");
    };
    // The lowest place of the leaning ring lies 20 - 30 tan 40 deg over the foot: 5.2 mm below it.
    says(
        "shell s { at 0 mm: circle(across: 60 mm), at 20 mm: circle(across: 60 mm, tilt: toward(front: 40 deg)), at 90 mm: circle(across: 50 mm) }",
        &["planes-meet", "reach past each other", "5.2 mm below"],
    );
    let bend = "spine: [bend(angle: 40 deg, radius: 200 mm, joints: 1)]";
    let half = 200.0 * tasset::num::tan(20f64.to_radians());
    says(
        &format!(
            "shell s {{ {bend}, at bottom: circle(across: 60 mm), at {half:.9} mm: circle(across: 55 mm, tilt: toward(front: 5 deg)), at top: circle(across: 50 mm) }}"
        ),
        &["tilted-station", "a cut of the spine"],
    );
    says(
        "shell s { spine: [ring(radius: 100 mm, joints: 8)], at bottom: oval(across: 40 mm by 30 mm), at top: circle(across: 30 mm) }",
        &["bend-needs-round", "one section all the way round"],
    );
    says(
        "shell s { at 0 mm: outline(points: [0 mm by 0 mm, 60 mm by 0 mm, 60 mm by 60 mm, 30 mm by 35 mm, 0 mm by 60 mm], corner: 6 mm), at 60 mm: circle(across: 50 mm, tilt: toward(front: 5 deg)), at 120 mm: circle(across: 50 mm) }",
        &["hollow-unlike"],
    );
}

/// Both walls at a leaning ring end in it: a tube that goes on through one is a tube, whatever the plane.
#[test]
fn a_tube_through_a_leaning_ring_is_cut_sloping() {
    let found = pieces(&format!(
        "{FILM}shell tube {{ at 0 mm: circle(across: 80 mm), at 70 mm: circle(across: 80 mm, tilt: toward(front: 25 deg)), at 140 mm: circle(across: 80 mm) }}\n"
    ));
    // An ellipse of the half-axes 40 and 40 / cos 25 deg, 4 a E(1 - b²/a²) by scipy 1.14's ellipe.
    for (piece, name) in [(&found[0], "top"), (&found[1], "bottom")] {
        near(long(piece, name, "neutral"), 264.477_909, 0.005);
        near(area(piece), std::f64::consts::PI * 80.0 * 70.0, 0.1);
    }
}

/// A sloped or bent shell as chance makes one; all follows from the number.
fn shell(number: usize) -> String {
    let mut chance = Chance::new(number as u64 + 5_000_000);
    let c = &mut chance;
    let mut text = String::new();
    let thick = *c.pick(&[0.5, 2.0, 3.0, 5.0]);
    let face = *c.pick(&["outside", "inside", "middle"]);
    writeln!(text, "prop p {{ title: \"Shell {number}\", of: foam, measured: {face} }}").unwrap();
    writeln!(text, "stock foam {{ as: foam, thick: {thick} mm, size: 1500 mm by 2000 mm, density: 100 kg/m3 }}")
        .unwrap();
    writeln!(text, "shell s {{").unwrap();
    if number.is_multiple_of(2) {
        sloped(c, &mut text)
    } else {
        bent(c, &mut text)
    }
    if c.percent(40.0) {
        writeln!(text, "    rim: {}", c.pick(&["level", "square"])).unwrap();
    }
    text + "}\n"
}

fn sloped(c: &mut Chance, text: &mut String) {
    let tall = c.between(60.0, 250.0);
    let like = c.percent(40.0).then(|| section(c, true));
    for at in [0.0, tall] {
        let section = like.clone().unwrap_or_else(|| section(c, true));
        writeln!(text, "    at {at:.1} mm: {section}").unwrap();
    }
    if c.percent(20.0) {
        writeln!(text, "    at {:.1} mm: {}", 0.5 * tall, section(c, false)).unwrap();
    }
    let facing = c.between(0.0, 360.0);
    let seam = match c.below(4) {
        0 => format!("lap(overlap: 8 mm, facing: {facing:.1} deg)"),
        1 => format!("tabs(wide: 7 mm, facing: {facing:.1} deg)"),
        2 => format!("open(gap: {:.1} mm, facing: {facing:.1} deg)", c.between(5.0, 40.0)),
        _ => format!("butt(facing: {facing:.1} deg)"),
    };
    writeln!(text, "    seam: {seam}").unwrap();
}

fn section(c: &mut Chance, tilts: bool) -> String {
    let wide = c.between(50.0, 160.0);
    let by = wide * c.between(0.6, 1.6);
    let mut parts = match c.below(5) {
        0 | 1 => format!("circle(across: {wide:.1} mm"),
        2 => format!("oval(across: {wide:.1} mm by {by:.1} mm, spin: {:.1} deg", c.between(-180.0, 180.0)),
        3 => format!("oval(across: {wide:.1} mm by {by:.1} mm, fullness: {:.1}", c.between(2.2, 4.0)),
        _ => {
            let corner = wide.min(by) * c.between(0.2, 0.45);
            format!(
                "rectangle(across: {wide:.1} mm by {by:.1} mm, corner: {corner:.1} mm, spin: {:.1} deg",
                c.between(0.0, 90.0)
            )
        }
    };
    if c.percent(50.0) {
        write!(parts, ", shift: toward({}: {:.1} mm)", c.pick(&["front", "left", "back"]), c.between(0.0, 30.0))
            .unwrap();
    }
    if tilts && c.percent(70.0) {
        let way = c.pick(&["front", "back", "left"]);
        write!(parts, ", tilt: toward({way}: {:.1} deg)", c.between(0.0, 24.0)).unwrap();
    }
    parts + ")"
}

fn bent(c: &mut Chance, text: &mut String) {
    let style = *c.pick(&["mitred", "mitred", "flipped"]);
    let mut spine: Vec<String> = Vec::new();
    for _ in 0..1 + c.below(2) {
        if c.percent(50.0) {
            spine.push(format!("straight(long: {:.1} mm)", c.between(20.0, 90.0)));
        }
        let joints = 1 + c.below(6);
        let angle = c.between(10.0, 85.0 * joints as f64).min(150.0);
        let by = *c.pick(&["radius", "long"]);
        spine.push(format!(
            "bend(angle: {angle:.1} deg, {by}: {:.1} mm, facing: {:.1} deg, joints: {joints}, style: {style})",
            c.between(90.0, 300.0),
            c.between(0.0, 360.0)
        ));
    }
    match (style, c.below(6)) {
        ("mitred", 0) => {
            spine = vec![format!("ring(radius: {:.1} mm, joints: {})", c.between(70.0, 150.0), 5 + c.below(9))]
        }
        ("mitred", 1) => {
            let mut at = [0.0, 0.0, 0.0];
            let mut points: Vec<String> = Vec::new();
            for _ in 0..3 + c.below(3) {
                points.push(format!("{:.1} mm by {:.1} mm by {:.1} mm", at[0], at[1], at[2]));
                at = [at[0] + c.between(-40.0, 40.0), at[1] + c.between(-40.0, 40.0), at[2] + c.between(60.0, 120.0)];
            }
            spine = vec![format!("path(points: [{}], joints: {})", points.join(", "), 1 + c.below(4))];
        }
        _ => {}
    }
    let wide = c.between(20.0, 70.0);
    let ring = spine[0].starts_with("ring");
    if ring || (style == "mitred" && c.percent(40.0)) {
        let by = wide * c.between(0.6, 1.6);
        let one = match c.below(4) {
            0 => format!("circle(across: {wide:.1} mm)"),
            1 => format!("oval(across: {wide:.1} mm by {by:.1} mm, spin: {:.1} deg)", c.between(0.0, 90.0)),
            2 => format!("oval(across: {wide:.1} mm by {by:.1} mm, fullness: 3)"),
            _ => format!("rectangle(across: {:.1} mm by {:.1} mm, corner: 8 mm)", wide + 10.0, by + 12.0),
        };
        writeln!(text, "    at bottom to top: {one}").unwrap();
    } else {
        writeln!(text, "    at bottom: circle(across: {:.1} mm)", c.between(30.0, 90.0)).unwrap();
        let tip = if c.percent(30.0) {
            "point".to_owned()
        } else {
            format!("circle(across: {:.1} mm)", c.between(16.0, 60.0))
        };
        writeln!(text, "    at top: {tip}").unwrap();
    }
    let facing = c.between(0.0, 360.0);
    let seam = match c.below(4) {
        0 => format!("lap(overlap: 6 mm, facing: {facing:.1} deg)"),
        1 => format!("butt(facing: {facing:.1} deg, stagger: {:.1} deg)", c.between(5.0, 180.0)),
        _ => format!("butt(facing: {facing:.1} deg)"),
    };
    writeln!(text, "    seam: {seam}\n    spine: [{}]", spine.join(", ")).unwrap();
}

#[test]
fn random_sloped_and_bent_shells_are_built_and_audited_or_refused_with_a_code() {
    let count: usize = std::env::var("TASSET_BENT").map_or(24, |n| n.parse().unwrap());
    let (mut refused, mut faults) = (0, String::new());
    for number in 0..count {
        let text = shell(number);
        let built = build(Folder::of(&text));
        let codes = errors(&built);
        let left_out = built.diagnostics.iter().any(|d| d.code.name() == "not-built-yet");
        if codes.iter().any(|c| OURS.contains(c)) || built.diagnostics.has_errors() != built.files.is_empty() {
            writeln!(faults, "# {number}\n{text}\n{}", told(&built)).unwrap();
        }
        refused += usize::from(!codes.is_empty() || left_out);
    }
    println!("{count} random sloped and bent shells: {refused} refused");
    assert!(faults.is_empty(), "{faults}");
    assert!(refused * 3 < count, "{refused} of {count} refused");
}
