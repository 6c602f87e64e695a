//! Lacings from text to report: where their holes lie and how long their laces are, against closed forms.

use std::collections::BTreeMap;
use std::path::Path;

use crate::memory::{Folder, build, errors, told};
use crate::support::checked;
use serde_json::Value;
use tasset::audit::audit;
use tasset::develop::develop;
use tasset::finish::finish;
use tasset::geom::Vec2;
use tasset::num;
use tasset::pipeline::Built;
use tasset::shape::shape;
use tasset::solid::{Body, Size, Solid};
use tasset::verdict::Check;

/// The files of an example.
fn example(name: &str) -> Folder {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let mut files = BTreeMap::new();
    for entry in std::fs::read_dir(folder).expect("an example") {
        let path = entry.expect("a file").path();
        let own = path.file_name().expect("a name").to_string_lossy().into_owned();
        if let Some(stem) = own.strip_suffix(".prop") {
            let own = if stem == name { "prop.prop".to_owned() } else { own };
            files.insert(own, std::fs::read_to_string(&path).expect("text"));
        }
    }
    Folder(files)
}

fn report(built: &Built) -> Value {
    let file = built.files.iter().find(|f| f.path.ends_with("report.json"));
    serde_json::from_slice(&file.unwrap_or_else(|| panic!("no report: {}", told(built))).bytes).expect("JSON")
}

pub fn made(text: &str) -> Value {
    report(&build(Folder::of(&format!("prop p {{ title: \"P\", of: foam5 }}\n{text}\n"))))
}

pub fn figure(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("no figure: {v}"))
}

pub fn near(is: f64, asked: f64, by: f64, what: &str) {
    assert!((is - asked).abs() < by, "{what}: {is} for {asked}");
}

/// Net mender's bracers, by the closed form of a cone's sector: a turn of 0.6, radii of some 528.6 and 338.6, a side
/// from one rim's arc of 15 to the other's. A face at depth `d` has the same angles and radii longer by `d` over the
/// tangent of the cone's half angle. (The brief takes the thickness level; square to the sheet, as it is here, makes
/// both middle girths 0.06 smaller and both radii 0.1.)
struct Bracer {
    radii: (f64, f64),
    cotangent: f64,
    /// Radius and angle from the seam of each hole.
    holes: Vec<(f64, f64)>,
    pitch: f64,
}

fn bracer(gap: f64) -> Bracer {
    let tau = std::f64::consts::TAU;
    let turn = (282.0 - 168.0) / 190.0;
    let sine: f64 = turn / tau;
    let cosine = (1.0 - sine * sine).sqrt();
    let cotangent = cosine / sine;
    let girth = |body: f64| body + tau * 2.0 + 10.0 + tau * 2.0 * cosine;
    let (low, high) = (girth(168.0), girth(282.0));
    near(low, 203.1, 0.5, "middle girth at the wrist");
    near(high, 317.1, 0.5, "middle girth at the arm");
    let radii = (low / turn, high / turn);
    // The gap is a length of the middle girth in the station's level plane, where thickness counts by the secant.
    let corner = |r: f64, body: f64| {
        let level = (body + tau * 2.0 + 10.0) / tau + 2.0 / cosine;
        let angle = 0.5 * gap / level * sine;
        (num::sin(angle) * r, num::cos(angle) * r)
    };
    let (a, b) = (corner(radii.0, 168.0), corner(radii.1, 282.0));
    let long = num::hypot(b.0 - a.0, b.1 - a.1);
    let up = ((b.0 - a.0) / long, (b.1 - a.1) / long);
    let pitch = (long - 24.0) / 5.0;
    let hole = |k: i32| {
        let s = 12.0 + pitch * f64::from(k);
        // Square to the side, away from the gap: x grows away from it.
        let (x, y) = (a.0 + up.0 * s + up.1 * 12.0, a.1 + up.1 * s - up.0 * 12.0);
        (num::hypot(x, y), num::atan2(x, y))
    };
    Bracer { radii, cotangent, holes: (0..6).map(hole).collect(), pitch }
}

impl Bracer {
    /// From hole `i` of one side to hole `j` of the other on the face at depth `d`.
    fn across(&self, i: usize, j: usize, d: f64) -> f64 {
        let ((r, a), (s, b)) = (self.holes[i], self.holes[j]);
        let (r, s) = (r + d * self.cotangent, s + d * self.cotangent);
        (r * r + s * s - 2.0 * r * s * num::cos(a + b)).sqrt()
    }

    /// The bar outside, then crossing inside and outside by turns.
    fn over(&self) -> f64 {
        let legs = (0..5).map(|k| 2.0 * self.across(k, k + 1, if k % 2 == 0 { -2.0 } else { 2.0 }));
        self.across(0, 0, 2.0) + legs.sum::<f64>()
    }
}

#[test]
fn the_bracers_have_the_figures_of_their_brief() {
    let built = build(example("bracers"));
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    let report = report(&built);
    // The brief, worked by hand: middle girths 203.1 and 317.1, radii of the flat 338.6 and 528.6, arcs after the gap
    // 173.1 and 287.1, pitch 33.2; tolerance 0.5.
    let asked = bracer(30.0);
    near(asked.radii.0, 338.6, 0.5, "inner radius");
    near(asked.radii.1, 528.6, 0.5, "outer radius");
    let pieces = report["pieces"].as_array().expect("pieces");
    let names: Vec<&str> =
        pieces.iter().filter_map(|p| p["name"].as_str()).filter(|n| n.starts_with("bracer")).collect();
    assert_eq!(names, ["bracer left", "bracer right"]);
    for piece in pieces.iter().filter(|p| p["part"] == "bracer") {
        for (edge, arc) in [("bottom", 173.1), ("top", 287.1)] {
            let of = piece["edges"].as_array().expect("edges").iter().find(|e| e["name"] == edge).expect("an edge");
            near(figure(&of["neutral"]), arc, 0.5, edge);
        }
        let table =
            piece["offsets"].as_array().expect("offsets").iter().find(|o| o["edge"] == "top").expect("past 500");
        near(figure(&table["radius"]), asked.radii.1, 0.01, "radius of the top");
    }
    let lacing = &report["lacings"][0];
    assert_eq!(lacing["sort"], "cross");
    near(figure(&lacing["gap"]), 30.0, 0.01, "gap");
    for row in lacing["rows"].as_array().expect("rows") {
        near(figure(&row["pitch"]), 33.2, 0.5, "pitch");
        near(figure(&row["pitch"]), asked.pitch, 1e-3, "pitch");
        let holes = row["holes"].as_array().expect("holes");
        let numbers: Vec<u64> = holes.iter().filter_map(|h| h["number"].as_u64()).collect();
        assert_eq!(numbers, [1, 2, 3, 4, 5, 6]);
        near(figure(&holes[5]["along"]), 12.0 + 5.0 * asked.pitch, 1e-3, "last hole");
    }
    // The brief's 1.19 m is the lace on the sheet with its tails; each of twelve holes takes 4 mm of foam and 0.4 mm of
    // lining more.
    let lace = &lacing["lace"];
    near(figure(&lace["over"]), asked.over(), 1e-3, "lace on the sheet");
    near((figure(&lace["over"]) + figure(&lace["tails"])) / 1000.0, 1.19, 0.005, "the brief's lace");
    near(figure(&lace["through"]), 12.0 * 4.4, 1e-9, "through the foam and its lining");
    near(figure(&lace["long"]), asked.over() + 52.8 + 500.0, 1e-3, "lace");
    assert_eq!((&lace["count"], &lace["buy"]["count"], &lace["buy"]["each"]), (&2.into(), &2.into(), &1500.0.into()));
    assert!(built.summary.contains("buy 2 laces of 1.5 m"), "{}", built.summary);
}

#[test]
fn bracers_let_out_take_more_lace_and_let_the_hand_through() {
    // At a gap of 60: on the sheet and tails 1.49 m; and as it is built from text. The last pair is 84 apart.
    let mut folder = example("bracers");
    let text = folder.0.get_mut("prop.prop").expect("the prop");
    *text = text.replace("setting gap = 30 mm", "setting gap = 60 mm").replace("let_out = 60", "let_out = 90");
    let report = report(&build(folder));
    let (asked, lace) = (bracer(60.0), &report["lacings"][0]["lace"]);
    near(figure(&lace["over"]), asked.over(), 1e-3, "lace on the sheet");
    // The brief's sum of 1.49 m takes every stretch at mid-thickness; six of the ten legs lie inside, where the wall
    // is shorter round.
    let middle = asked.across(0, 0, 0.0) + (0..5).map(|k| 2.0 * asked.across(k, k + 1, 0.0)).sum::<f64>();
    near((middle + figure(&lace["tails"])) / 1000.0, 1.49, 0.005, "the brief's lace");
    near(figure(&lace["over"]), middle, 4.0, "lace on its faces");
    // A hand of 195 with the ease of 10 passes where the foam's inside with the gap is 205 round: the foam keeps its
    // middle length (203.1 less 30), and its inside is shorter by π times the thickness. That is a gap of 44.4; the
    // brief says 44.
    let opens = |to: f64| {
        let mut folder = example("bracers");
        let text = folder.0.get_mut("prop.prop").expect("the prop");
        *text = text.replace("let let_out = 60 mm", &format!("let let_out = {to} mm"));
        errors(&build(folder))
    };
    assert_eq!(opens(44.5), Vec::<&str>::new());
    assert_eq!(opens(44.3), ["requirement-fails"]);
}

#[test]
fn the_flag_cases_back_is_laced() {
    let built = build(example("flag-case"));
    let report = report(&built);
    assert!(
        built.diagnostics.iter().all(|d| d.code.name() != "near-the-edge"),
        "a cover holds its holes: {}",
        told(&built)
    );
    let lacing = &report["lacings"][0];
    const SIDE: f64 = 385.534;
    // The back's line: 385 up, and out from 35 to 52.940 (half the smaller axis of a girth of 420 at 3:2: scipy's
    // ellipe(5/9)), 385.418; from a level foot to a square top 0.117 more at half depth. What is left between the
    // ends takes 13 steps nearest to 24.
    for row in lacing["rows"].as_array().expect("rows") {
        let holes = row["holes"].as_array().expect("holes");
        assert_eq!(holes.len(), 14);
        near(figure(&row["pitch"]), (SIDE - 72.0) / 13.0, 1e-3, "pitch");
        near(figure(&holes[0]["along"]), 36.0, 1e-6, "ends");
    }
    assert_eq!(lacing["gap"], 0.0);
    near(figure(&lacing["lace"]["through"]), 28.0 * 5.4, 1e-9, "through foam and twill");
}

/// A tube 100 wide of 5 foam: 45, 47.5 and 50 in radius on its inside, middle and outside; five pairs 40 apart, 10
/// from the seam. Developed, all are straight lines.
const TUBE: &str = "shell tube { at 0 mm to 200 mm: circle(across: 100 mm) }\n";

fn over(lacing: &str) -> (f64, f64) {
    let report = made(&format!("{TUBE}lacing l on {lacing}"));
    let lace = &report["lacings"][0]["lace"];
    (figure(&lace["over"]), figure(&lace["through"]))
}

#[test]
fn laces_over_a_seam_are_as_long_as_on_the_flat() {
    let (outside, inside) = (20.0 * 50.0 / 47.5, 20.0 * 45.0 / 47.5);
    let slant = |across: f64| num::hypot(across, 40.0);
    let of = |sort: &str, count: usize, ends: f64| {
        over(&format!(
            "tube.seam {{ as: {sort}, of: cord2, holes: 4 mm, count: {count}, margin: 10 mm, ends: {ends} mm }}"
        ))
    };
    for (sort, asked) in [
        ("cross", inside + 4.0 * slant(outside) + 4.0 * slant(inside)),
        ("ladder", 5.0 * outside + 4.0 * 40.0),
        ("spiral", 5.0 * outside + 4.0 * slant(inside)),
    ] {
        let (over, through) = of(sort, 5, 20.0);
        near(over, asked, 1e-4, sort);
        near(through, 10.0 * 5.0, 1e-9, sort);
    }
    // Four pairs: the bar lies outside, and still both ends come out at the last pair.
    near(of("cross", 4, 40.0).0, outside + 4.0 * slant(inside) + 2.0 * slant(outside), 1e-4, "cross of four");
}

#[test]
fn laces_along_a_rim_are_as_long_as_on_the_flat() {
    let tau = std::f64::consts::TAU;
    let of = |sort: &str, count: usize| {
        over(&format!("tube.top {{ as: {sort}, of: cord2, holes: 4 mm, count: {count}, margin: 10 mm }}"))
    };
    // Over the edge and under: 10 up, 5 over, 10 down, and the eighth part of the middle girth aside.
    let (whip, through) = of("whip", 8);
    near(whip, 8.0 * num::hypot(25.0, tau * 47.5 / 8.0), 1e-3, "whip");
    near(through, 40.0, 1e-9, "whip");
    let (even, through) = of("running", 8);
    near(even, tau * (50.0 + 45.0) / 2.0, 1e-3, "running, even");
    near(through, 40.0, 1e-9, "running, even");
    // Seven: the last stretch lies outside too, and the end goes in where the lace began.
    let (odd, through) = of("running", 7);
    near(odd, tau * (4.0 * 50.0 + 3.0 * 45.0) / 7.0, 1e-3, "running, odd");
    near(through, 40.0, 1e-9, "running, odd");
}

#[test]
fn a_drums_zigzag_has_the_legs_of_its_brief() {
    // The pageant drum: twelve points an end on a diameter of 290 over 160, legs of 164.4, 3.95 m of them. A hole has
    // 10 mm of hoop twice: in through it, and out over the edge beside it.
    let report = made(
        "shell drum { measured: inside, at 0 mm to 180 mm: circle(across: 260 mm) }
         shell low over drum { at 0 mm to 20 mm: circle(across: 290 mm), of: [foam5, foam5], level: 0 mm }
         shell high over drum { at 0 mm to 20 mm: circle(across: 290 mm), of: [foam5, foam5], level: 160 mm }
         lacing zig on [high.bottom, low.top] {
             as: zigzag, of: cord4, holes: 5 mm, count: 12, margin: 10 mm, tail: 325 mm
         }",
    );
    let lacing = &report["lacings"][0];
    near(figure(&lacing["gap"]), 140.0, 1e-3, "between the hoops");
    let lace = &lacing["lace"];
    // From hole to hole: a chord of 15 degrees and 160 up.
    let chord = 290.0 * num::sin(7.5f64.to_radians());
    near(num::hypot(chord, 160.0), 164.4, 0.05, "the brief's leg");
    // The first leg begins at its hole; the others at the edge, 10 mm along the inside from theirs.
    let legs = num::hypot(chord, 160.0) + 23.0 * (num::hypot(chord, 150.0) + 10.0);
    near(figure(&lace["over"]), legs, 1e-3, "legs");
    near(figure(&lace["over"]) / 1000.0, 3.95, 0.005, "bare");
    near((figure(&lace["over"]) + figure(&lace["tails"])) / 1000.0, 4.6, 0.005, "with ends");
    // Twelve holes at either end: one way at the first, two at each between, one at the last and in again at the first.
    near(figure(&lace["through"]), (1.0 + 23.0 * 2.0 + 1.0) * 10.0, 1e-9, "through");
}

#[test]
fn holes_keep_their_margin_on_walls_of_every_form() {
    let seams = ["butt", "open(facing: left, gap: 40 mm)", "open(facing: back, gap: 20 %)", "open(gap: 70 deg)"];
    let shells = [
        "at 0 mm: circle(across: 90 mm), at 80 mm: circle(across: 90 mm), at 150 mm: circle(across: 140 mm)",
        "at 0 mm: circle(across: 90 mm), at 160 mm: oval(across: 150 mm by 100 mm)",
        "at 0 mm to 160 mm: rectangle(across: 120 mm by 90 mm, corner: 20 mm)",
        "at 0 mm: circle(across: 60 mm), at 60 mm: circle(across: 200 mm)",
        "of: [foam5, foam3], at 0 mm: circle(across: 90 mm), at 160 mm: circle(across: 120 mm)",
    ];
    for (i, shell) in shells.iter().enumerate() {
        for seam in [seams[i % 4], seams[(i + 1) % 4]] {
            let text = format!(
                "prop p {{ title: \"P\", of: foam5 }}
                 shell wall {{ {shell}, seam: {seam} }}
                 lacing side on wall.seam {{ of: cord2, holes: 4 mm, count: 4, ends: 26 mm }}
                 lacing rim on wall.top {{ as: whip, of: cord2, holes: 4 mm, every: 24 mm, ends: 30 mm }}\n"
            );
            let checked = checked(&text);
            let shaped = shape(&checked.design);
            let (flat, found) = develop(&shaped.solid);
            let (pieces, more) = finish(&shaped.solid, &flat);
            for d in [shaped.diagnostics, found, more] {
                assert!(!d.has_errors(), "{shell}, {seam}: {d:#?}");
            }
            let rows: usize = shaped.solid.fitted.lacings.iter().flat_map(|l| &l.rows).map(|r| r.holes.len()).sum();
            let claims = shaped.solid.claims.iter().filter(|c| matches!(c.size, Size::Row { .. })).count();
            assert!(claims == rows && rows > 8 + 8, "{shell}, {seam}: {rows} holes");
            // Each is claimed with its margin and place, and measured on the pieces.
            let verdict = audit(&shaped.solid, &flat, &pieces, None);
            assert!(verdict.passed(), "{shell}, {seam}: {:#?}", verdict.breaches);
            // And numbered.
            for piece in &pieces.pieces {
                for number in piece.holes.iter().filter_map(|h| h.number) {
                    assert!(piece.letters.iter().any(|l| l.text == number.to_string()), "{}: {number}", piece.name);
                }
            }
        }
    }
}

#[test]
fn a_lace_hole_dropped_moved_or_set_out_wrong_is_caught() {
    let text = "prop p { title: \"P\", of: foam5 }
        shell wall { pair: mirrored, at 0 mm: circle(across: 90 mm), at 160 mm: circle(across: 120 mm), seam: open(gap: 30 mm) }
        lacing l on wall.seam { of: cord2, holes: 4 mm, count: 4 }\n";
    let solid = shape(&checked(text).design).solid;
    let make = |solid: &Solid| {
        let (flat, _) = develop(solid);
        let (pieces, _) = finish(solid, &flat);
        (flat, pieces)
    };
    let (flat, pieces) = make(&solid);
    assert!(audit(&solid, &flat, &pieces, None).passed());
    for i in 0..2 {
        let mut dropped = pieces.clone();
        dropped.pieces[i].holes.remove(5);
        assert!(audit(&solid, &flat, &dropped, None).breaks(Check::Coverage));
        for by in [Vec2::X * 0.3, Vec2::Y * 0.3] {
            let mut moved = pieces.clone();
            for s in &mut moved.pieces[i].holes[5].outline.segs {
                (s.a, s.b) = (s.a + by, s.b + by);
            }
            let verdict = audit(&solid, &flat, &moved, None);
            assert!(verdict.breaks(Check::Landing) && verdict.breaks(Check::Claim));
        }
        let mut swapped = pieces.clone();
        let letter = swapped.pieces[i].letters.iter_mut().find(|l| l.text == "4").expect("hole 4");
        letter.text = "3".to_owned();
        assert!(!audit(&solid, &flat, &swapped, None).passed());
    }
    // The solid itself has a row 0.3 mm too high: pieces and solid agree, and what was asked for tells.
    let mut wrong = solid.clone();
    let Body::Wall(wall) = &mut wrong.parts[0].body else { panic!("a wall") };
    wall.holes.iter_mut().for_each(|h| h.z += 0.3);
    let (flat, pieces) = make(&wrong);
    let verdict = audit(&wrong, &flat, &pieces, None);
    assert!(verdict.breaks(Check::Claim) && !verdict.breaks(Check::Landing));
}

/// Codes of everything that is said of a lacing on a tube, or with `shell` first.
fn said(shell: &str, lacing: &str) -> Vec<&'static str> {
    let built = build(Folder::of(&format!("prop p {{ title: \"P\", of: foam5 }}\n{shell}\nlacing l on {lacing}\n")));
    built.diagnostics.iter().map(|d| d.code.name()).collect()
}

#[test]
fn what_cannot_be_laced_is_told() {
    let half = "shell tube { at 0 mm to 200 mm: circle(across: 100 mm), seam: open(gap: 30 mm) }";
    let cone = "shell tube { at 0 mm: circle(across: 100 mm), at 200 mm: point }";
    let lid =
        "shell tube { at 0 mm to 100 mm: circle(across: 100 mm) }\ncap base on tube.top { fit: overlay, rim: 60 mm }";
    let lap = "shell tube { at 0 mm to 200 mm: circle(across: 100 mm), seam: lap }";
    for (shell, lacing, code) in [
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, margin: 3 mm }", "tears-out"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, ends: 3 mm }", "tears-out"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, margin: 8 mm }", "near-the-edge"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, ends: 8 mm }", "near-the-edge"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, ends: 100 mm }", "off-the-wall"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, every: 7 mm }", "holes-meet"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, margin: 9 m }", "off-the-wall"),
        (TUBE, "tube.top { as: whip, of: cord2, holes: 4 mm, margin: 9 m }", "off-the-wall"),
        (TUBE, "tube.top { as: whip, of: cord2, holes: 4 mm, margin: 197 mm }", "tears-out"),
        (TUBE, "tube.seam { of: cord2, holes: 0.05 mm }", "no-size"),
        (TUBE, "tube.seam { of: thin_wire, holes: 2 mm, every: 0.001 mm }", "too-many-holes"),
        (TUBE, "tube.seam { of: cord6, holes: 4 mm }", "lace-unfit"),
        (TUBE, "tube.seam { of: dee20, holes: 4 mm }", "lace-unfit"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, eyelets: eyelet5 }", "lace-unfit"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, eyelets: cord4 }", "lace-unfit"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, as: zigzag }", "not-laced"),
        (TUBE, "tube.seam { of: cord2, holes: 4 mm, as: whip }", "not-laced"),
        (TUBE, "tube.top { of: cord2, holes: 4 mm }", "not-laced"),
        (TUBE, "[tube.seam, tube.top] { of: cord2, holes: 4 mm, as: running }", "not-laced"),
        (lap, "tube.seam { of: cord2, holes: 4 mm }", "not-laced"),
        (TUBE, "[tube.seam, tube.top] { of: cord2, holes: 4 mm }", "not-laced"),
        (half, "tube.edges { of: cord2, holes: 4 mm, as: zigzag }", "not-laced"),
        (cone, "tube.top { of: cord2, holes: 4 mm, as: whip }", "not-laced"),
        (lid, "base.seam { of: cord2, holes: 4 mm, as: whip }", "not-laced"),
        (lid, "base.seam { of: cord2, holes: 4 mm, as: zigzag }", "not-laced"),
    ] {
        assert_eq!(said(shell, lacing), [code], "{lacing}");
    }
}

#[test]
fn eyelets_are_counted_and_the_gap_is_a_fact() {
    let report = made(
        "shell tube { at 0 mm to 200 mm: circle(across: 100 mm), seam: open(gap: 30 mm) }
         lacing l on tube.seam { of: cord2, holes: 6 mm, count: 4, margin: 12 mm, eyelets: eyelet5 }
         require l.across > 29.99 mm \"a gap\"
         require l.across < 30.01 mm \"a gap\"",
    );
    let lump = &report["lumps"][0];
    assert_eq!((&lump["goods"], &lump["count"]), (&"eyelet5".into(), &8.into()));
    near(figure(&lump["mass"]), 8.0 * 0.6, 1e-9, "mass");
}

/// The lacing of a name in a report.
pub fn lace<'a>(report: &'a Value, name: &str) -> &'a Value {
    let all = report["lacings"].as_array().expect("lacings");
    all.iter().find(|l| l["name"] == name).unwrap_or_else(|| panic!("no {name} in {all:?}"))
}

#[test]
fn a_drum_is_laced_to_and_fro_between_its_rims_on_its_wall() {
    // Twelve holes a rim, 30 degrees apart, those of one rim between those of the other: on the outside, of radius 100,
    // each stretch goes half a pitch along, 100 π/12, and up from the edge to the other rim's hole, 90 mm; the first
    // from hole to hole, 80 mm. Between, 23 times 10 mm back to the edge. 1 + 24 holes and 23 edges of 5 mm.
    let report = made(
        "shell drum { at 0 mm to 100 mm: circle(across: 200 mm) }
         lacing l on drum.edges { as: zigzag, of: cord2, holes: 4 mm, count: 12, margin: 10 mm, tail: 0 mm }",
    );
    let l = lace(&report, "l");
    assert_eq!(l["rows"].as_array().map(Vec::len), Some(2));
    let half = 100.0 * std::f64::consts::PI / 12.0;
    let over = num::hypot(half, 80.0) + 23.0 * (num::hypot(half, 90.0) + 10.0);
    near(figure(&l["lace"]["over"]), over, 0.02, "over the wall");
    near(figure(&l["lace"]["through"]), 48.0 * 5.0, 1e-6, "through it");
}

#[test]
fn along_several_edges_goes_a_lace_along_each() {
    let report = made(
        "shell tube { at 0 mm to 60 mm: circle(across: 100 mm), seam: open(gap: 30 mm) }
         lacing l on tube.edges { as: running, of: cord2, holes: 4 mm, ends: 22 mm }
         shell cup { at 0 mm to 60 mm: circle(across: 100 mm) }
         lacing m on [cup.top, cup.bottom] { as: whip, of: cord2, holes: 4 mm, count: 9 }",
    );
    let names: Vec<&str> =
        report["lacings"].as_array().expect("lacings").iter().filter_map(|l| l["name"].as_str()).collect();
    assert_eq!(names, ["l 1", "l 2", "l 3", "l 4", "m 1", "m 2"]);
    let edges: Vec<String> = names.iter().map(|n| lace(&report, n)["rows"][0]["edge"].to_string()).collect();
    assert_eq!(edges.iter().collect::<std::collections::BTreeSet<_>>().len(), 4, "{edges:?}");
    // The same way round both rims of a tube: as long.
    near(
        figure(&lace(&report, "m 1")["lace"]["over"]),
        figure(&lace(&report, "m 2")["lace"]["over"]),
        1e-6,
        "both rims",
    );
}

#[test]
fn a_lid_s_rim_is_laced_to_its_wall_in_pairs() {
    let report = made(
        "shell pouch { at 0 mm to 60 mm: circle(across: 100 mm) }
         cap lid on pouch.top { fit: overlay, rim: 25 mm, loose: yes }
         lacing l on [lid.bottom, pouch.bottom] { as: spiral, of: cord2, holes: 4 mm, count: 16 }",
    );
    let rows = lace(&report, "l")["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), 2);
    assert!(rows.iter().all(|r| r["holes"].as_array().map(Vec::len) == Some(16)));
}

#[test]
fn a_lace_passes_through_what_covers_and_lines_its_wall() {
    let with = |more: &str| {
        let report = made(&format!(
            "stock hide2 {{ as: leather, thick: 2 mm, size: 600 mm by 900 mm }}
             shell tube {{ at 0 mm to 200 mm: circle(across: 100 mm) }}
             lacing l on tube.seam {{ as: spiral, of: cord2, holes: 4 mm, count: 8 }}\n{more}"
        ));
        let l = lace(&report, "l");
        (figure(&l["lace"]["over"]), figure(&l["lace"]["through"]))
    };
    let bare = with("");
    near(bare.1, 16.0 * 5.0, 1e-6, "two holes a pair");
    let covered = with("cover skin on tube { of: hide2 }");
    near(covered.1, 16.0 * 7.0, 1e-6, "and the cover");
    let both = with("cover skin on tube { of: hide2, face: both }");
    near(both.1, 16.0 * 9.0, 1e-6, "and the lining");
    // A band over the two topmost pairs of eight: 176 mm in seven, 25.1 apart from 12 mm on.
    let banded = with("border collar on tube.top { as: band, of: hide2, wide: 40 mm }");
    near(banded.1, 16.0 * 5.0 + 4.0 * 2.0, 1e-6, "and the band");
    near(covered.0, bare.0, 1e-9, "on the sheet's own faces");
}

#[test]
fn holes_that_tear_out_are_told_whatever_else_is_wrong_with_their_wall() {
    let built = |wall: &str| {
        let text = format!(
            "prop p {{ title: \"P\", of: foam5 }}\n{wall}\nlacing l on tube.seam {{ of: cord2, holes: 4 mm, margin: 3 mm }}\n"
        );
        let built = build(Folder::of(&text));
        built.diagnostics.iter().map(|d| d.code.name()).collect::<Vec<_>>()
    };
    // A fault of its text, a fault of its shape, and one that names no sheet.
    assert_eq!(built("shell tube { at 0 mm to 200 mm: circle(across: 100) }"), ["bare-number", "tears-out"]);
    let wide = "shell tube { at 0 mm to 200 mm: circle(across: 20 mm), seam: open(gap: 90 mm) }";
    assert!(built(wide).contains(&"tears-out"), "{:?}", built(wide));
    assert_eq!(built("shell tube { at 0 mm to 200 mm: circle(across: 100 mm), of: foam55 }"), ["unknown-name"]);
    // With room enough nothing is guessed at.
    let text = "prop p { title: \"P\", of: foam5 }\nshell tube { at 0 mm to 200 mm: circle(across: 100) }\n\
        lacing l on tube.seam { of: cord2, holes: 4 mm }\n";
    let said: Vec<&str> = build(Folder::of(text)).diagnostics.iter().map(|d| d.code.name()).collect();
    assert_eq!(said, ["bare-number"]);
}

#[test]
fn a_lid_s_rim_is_laced_at_its_own_seam() {
    // Rungs over the seam on the outside, 20 mm of the middle as long as the outside is longer; then up.
    let report = made(
        "shell pouch { at 0 mm to 90 mm: circle(across: 100 mm) }
         cap lid on pouch.top { fit: overlay, rim: 60 mm, gap: 0.5 mm, loose: yes }
         lacing l on lid.seam { as: ladder, of: cord2, holes: 4 mm, count: 2, margin: 10 mm, tail: 0 mm }",
    );
    let l = lace(&report, "l");
    let rows = l["rows"].as_array().expect("rows");
    let numbers = |r: &Value| -> Vec<u64> {
        r["holes"].as_array().expect("holes").iter().filter_map(|h| h["number"].as_u64()).collect()
    };
    assert_eq!(rows.iter().map(numbers).collect::<Vec<_>>(), [[1, 2], [1, 2]]);
    assert!(rows.iter().all(|r| r["part"] == "lid rim"), "{rows:?}");
    // The rim clears the wall's 50 by the gap: 50.5 inside, 53 in the middle, 55.5 outside.
    let over = 2.0 * 20.0 * 55.5 / 53.0 + figure(&rows[0]["pitch"]);
    near(figure(&l["lace"]["over"]), over, 1e-3, "over the seam");
    near(figure(&l["lace"]["through"]), 4.0 * 5.0, 1e-9, "through");
}

/// Lace holes in bands of all widths: the margin that is offered builds, and where none is the width that is lacking is told.
#[test]
fn what_is_offered_in_a_narrow_band_builds() {
    let text = |wide: f64, margin: &str| {
        format!(
            "prop p {{ title: \"P\", of: foam5 }}
            supply cord2 {{ as: cord, thick: 2 mm, density: 3 g/m }}
            shell a {{ at 0 mm to 100 mm: circle(across: 90 mm) }}
            border b on a.top {{ as: band, of: foam2, wide: {wide} mm }}
            lacing l on b.bottom {{ as: running, of: cord2, holes: 4 mm, {margin}, every: 30 mm }}"
        )
    };
    for (wide, margin, repair) in [
        (20.0, 3.0, Some("margin: 10 mm")),
        (15.0, 10.0, Some("margin: 7.5 mm")),
        (15.0, 17.0, Some("margin: 7.5 mm")),
        (12.0, 9.0, Some("margin: 6 mm")),
        (9.0, 3.0, None),
        (9.0, 10.0, None),
    ] {
        let first = build(Folder::of(&text(wide, &format!("margin: {margin} mm"))));
        assert_eq!(errors(&first).len(), 1, "{wide} {margin}: {}", told(&first));
        let offered = first.diagnostics.iter().find_map(|d| d.repair.clone());
        assert_eq!(offered.as_deref(), repair, "{wide} {margin}: {}", told(&first));
        match offered {
            Some(asks) => {
                let second = build(Folder::of(&text(wide, &asks)));
                assert_eq!(errors(&second), Vec::<&str>::new(), "{wide} {asks}: {}", told(&second));
            }
            None => assert!(told(&first).contains("at least 12 mm from edge to edge"), "{}", told(&first)),
        }
    }
}

#[test]
fn an_opening_across_a_row_is_told_once() {
    let built = build(Folder::of(
        "prop p { title: \"P\", of: foam5 }
        supply cord2 { as: cord, thick: 2 mm, density: 3 g/m }
        shell a { at 0 mm to 100 mm: circle(across: 90 mm) }
        lacing l on a.top { as: whip, of: cord2, holes: 4 mm, margin: 10 mm, every: 20 mm }
        opening o on a { shape: rectangle(across: 80 mm by 30 mm), level: 80 mm }",
    ));
    assert_eq!(errors(&built), ["holes-meet"], "{}", told(&built));
    assert!(told(&built).contains("more pairs of them"), "{}", told(&built));
}
