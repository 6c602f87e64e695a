//! Shaping: what a checked text becomes in space, and what a maker is told when it cannot be made.

use crate::support::{Checked, checked};
use std::fmt::Write as _;
use tasset::diag::{Diagnostic, Severity};
use tasset::num::{FRAC_PI_2, PI, TAU};
use tasset::shape::{Shaped, shape};
use tasset::solid::{Body, Contact, Gap, Part, Plate, Rim, Seam, Size, Wall};

pub struct Made {
    pub checked: Checked,
    pub shaped: Shaped,
}

/// A prop of foam 5 on the outside face, and what stands in it.
pub fn made(things: &str) -> Made {
    made_with("of: foam5", things)
}

pub fn made_with(fields: &str, things: &str) -> Made {
    let text = format!(
        "prop p {{ title: \"A prop\", {fields} }}\n\
         stock foam5 {{ as: foam, thick: 5 mm, size: 500 mm by 1000 mm, density: 95 kg/m3 }}\n\
         stock foam2 {{ as: foam, thick: 2 mm, size: 500 mm by 1000 mm, density: 110 kg/m3 }}\n{things}\n"
    );
    let checked = checked(&text);
    assert_eq!(checked.errors(), Vec::<&str>::new(), "{}", checked.all());
    let shaped = shape(&checked.design);
    Made { checked, shaped }
}

impl Made {
    pub fn errors(&self) -> Vec<&'static str> {
        let errors = self.shaped.diagnostics.iter().filter(|d| d.severity != Severity::Note);
        errors.map(|d| d.code.name()).collect()
    }

    pub fn told(&self) -> String {
        self.shaped.diagnostics.iter().map(|d| self.tell(d)).collect()
    }

    fn tell(&self, d: &Diagnostic) -> String {
        let mut out = format!("{}: {}\n", d.code.name(), d.message);
        for l in &d.labels {
            writeln!(out, "  `{}` {}", self.checked.sources.text(l.span), l.text).unwrap();
        }
        for text in [&d.help, &d.note].into_iter().flatten() {
            writeln!(out, "  {text}").unwrap();
        }
        out
    }

    pub fn part(&self, name: &str) -> &Part {
        let parts = &self.shaped.solid.parts;
        parts.iter().find(|p| p.name == name).unwrap_or_else(|| panic!("no part {name}: {}", self.told()))
    }

    pub fn wall(&self, name: &str) -> &Wall {
        match &self.part(name).body {
            Body::Wall(w) => w,
            Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => panic!("{name} is a plate"),
        }
    }

    pub fn plate(&self, name: &str) -> &Plate {
        match &self.part(name).body {
            Body::Plate(p) => p,
            Body::Wall(_) | Body::Leaf(_) | Body::Folded(_) => panic!("{name} is a wall"),
        }
    }

    /// The value of a `let`.
    pub fn value(&self, name: &str) -> f64 {
        let lets = &self.checked.design.lets;
        let i = lets.iter().position(|l| l.name.value == name).unwrap();
        let value = self.shaped.known.value(tasset::ids::LetId::new(i));
        value.unwrap_or_else(|| panic!("{name} has no value: {}", self.told())).number().unwrap()
    }

    pub fn clean(&self) {
        assert_eq!(self.told(), "");
    }
}

fn near(a: f64, b: f64, tol: f64) {
    assert!((a - b).abs() <= tol, "{a} is not {b}");
}

const FLAG_BODY: &str = "shell body {
    at 0 mm: oval(across: 105 mm by 70 mm)
    at 385 mm: oval(around: 42 cm, ratio: 3:2)
    seam: butt(facing: back)
    rim: level
}
";

#[test]
fn facts_of_the_flag_case_are_the_ones_worked_by_hand() {
    // Own figures worked by hand for the flag case (FC1), foam 5, measured on the outside.
    let m = made(&format!(
        "{FLAG_BODY}
        let at_foot = body.bottom.around
        let foot_middle = body.bottom.middle.around
        let foot_inside = body.bottom.inside.around
        let top_inside = body.top.inside.around
        let wide = body.top.across
        let skin = body.middle.area
        let heavy = body.mass
        let long = body.long
        let thick = body.thick"
    ));
    m.clean();
    for (name, want, tol) in [
        ("at_foot", 277.6452, 5e-5),
        ("foot_middle", 261.9095, 5e-5),
        ("foot_inside", 246.1739, 5e-5),
        ("top_inside", 388.5287, 5e-5),
        ("wide", 158.8358, 5e-5),
        ("skin", 128_437.73, 5e-3),
        ("heavy", 61.01, 5e-3),
        ("long", 385.0, 1e-9),
        ("thick", 5.0, 1e-9),
    ] {
        near(m.value(name), want, tol);
    }
}

#[test]
fn an_inset_base_fills_the_bore_and_shows_level_with_the_edge() {
    let m = made(&format!(
        "{FLAG_BODY}cap base on body.bottom {{ fit: inset }}
         opening drain on base {{ shape: circle(across: 8 mm) }}
         let face = base.area\nlet round = base.around"
    ));
    m.clean();
    let base = m.plate("base");
    assert_eq!((base.show, base.hidden, base.depth), (0.0, 5.0, -5.0));
    let drain = &base.holes[0].outline;
    near(drain.area(), PI * 16.0, 1e-9);
    near(m.value("round"), 246.1739, 5e-5);
    assert!(m.value("face") < PI * 0.25 * 94.9756 * 59.9891 - 50.0);
    let joint = m.shaped.solid.joints.iter().find(|j| j.what == "base inset").unwrap();
    assert!(joint.notches.len() >= 3);
    assert!(matches!(joint.contact, Contact::Round { z: 2.5, .. }));
}

const B1: &str = "shell tube {
    at 0 mm: circle(across: 75 mm)
    at 520 mm: circle(across: 95 mm)
}
cap base on tube.bottom { fit: inset }
";

#[test]
fn the_chart_case_has_the_mass_and_base_of_its_brief() {
    // Brief B1, worked by hand with the thickness taken level: wall 0.147 m², cap disc 75.1 at mid-depth; at 95 kg/m³
    // instead of its 100 the wall is 69.8 g.
    let m =
        made_with("of: foam5, measured: inside", &format!("{B1}let heavy = tube.mass\nlet skin = tube.middle.area"));
    m.clean();
    near(m.value("skin"), 147_000.0, 500.0);
    near(m.value("heavy"), 69.8, 0.25);
    let base = m.plate("base");
    let strip = &base.strip;
    let mid = strip.rule(0, 0.3).support_at(2.5, base.depth).0;
    near(2.0 * mid, 75.1, 0.05);
    assert!(m.wall("tube").rings[0].lower == Rim::Level && m.wall("tube").rings[0].upper == Rim::Square);
}

#[test]
fn an_overlay_lid_clears_the_cord_the_cover_and_its_gap() {
    let raised = "supply rope6 { as: cord, thick: 6 mm, density: 18 g/m }
        stock twill { as: cloth, thick: 0.4 mm, wide: 1400 mm, density: 180 g/m2 }
        border rim on tube.top { as: cord, of: rope6 }
        cover skin on [tube, base] { of: twill }
        cap lid on tube.top { fit: overlay, rim: 30 mm, gap: 1 mm, loose: yes }";
    let m = made_with("of: foam5, measured: inside", &format!("{B1}{raised}"));
    assert_eq!(m.errors(), Vec::<&str>::new());
    let (tube, rim) = (m.wall("tube"), m.wall("lid rim"));
    let layer = &m.part("lid rim").layers[0];
    let inside = |z: f64| rim.strips[0].rule(0, 0.3).support_at(z, layer.inner).0;
    let outside = |z: f64| tube.strips[0].rule(0, 0.3).support_at(z, 5.0).0;
    near(inside(520.0) - outside(520.0), 7.4, 1e-9);
    assert!(inside(490.0) - outside(490.0) >= 7.4, "the tube is narrower at the mouth");
    assert_eq!(rim.strips[0].heights(), (490.0, 520.0));
    let disc = m.plate("lid");
    assert_eq!((disc.show, disc.hidden), (525.0, 520.0));
    // The disc covers the rim's end.
    near(disc.strip.rule(0, 0.3).support_at(520.0, disc.depth).0, inside(520.0) + 5.0, 1e-9);
    let claims: Vec<&Size> = m.shaped.solid.claims.iter().map(|c| &c.size).collect();
    assert!(claims.contains(&&Size::RimLong { mm: 30.0 }));
    assert!(claims.iter().any(|c| matches!(c, Size::Clearance { mm, .. } if (mm - 7.4).abs() < 1e-12)));
}

#[test]
fn a_lid_on_a_narrowing_end_runs_parallel_to_the_wall() {
    let m = made(
        "shell tub { at 0 mm: circle(across: 120 mm), at 80 mm: circle(across: 100 mm) }
        cap lid on tub.top { fit: overlay, rim: 20 mm, gap: 2 mm }",
    );
    m.clean();
    let rim = &m.wall("lid rim").strips[0];
    let tub = &m.wall("tub").strips[0];
    near(rim.rule(0, 1.0).flare(), tub.rule(0, 1.0).flare(), 1e-12);
    near(m.part("lid rim").layers[0].inner, 2.0, 1e-12);
}

#[test]
fn stations_may_stand_in_any_order_and_count_along_the_wall() {
    let m = made("shell a { at 190 mm: circle(across: 100 mm), at 0 mm: circle(across: 60 mm), along: wall }");
    m.clean();
    let (z0, z1) = m.wall("a").strips[0].heights();
    near(z1 - z0, (190.0f64 * 190.0 - 400.0).sqrt(), 1e-9);
}

#[test]
fn a_knee_is_two_rings_with_a_station_seam() {
    let m = made("shell a { at 0 mm to 60 mm: circle(across: 100 mm), at 120 mm: circle(across: 60 mm) }");
    m.clean();
    let wall = m.wall("a");
    assert_eq!(wall.rings.len(), 2);
    assert_eq!((wall.rings[0].upper, wall.rings[1].lower), (Rim::Mitre(1), Rim::Mitre(0)));
    let joints = &m.shaped.solid.joints;
    assert_eq!(joints.iter().filter(|j| j.what == "seam").count(), 2);
    assert_eq!(joints.iter().filter(|j| j.what == "station seam").count(), 1);
    let letters: Vec<&str> = joints.iter().map(|j| j.letter.as_str()).collect();
    assert_eq!(letters, ["A", "B", "C"]);
}

#[test]
fn a_cone_closes_at_its_neutral_apex() {
    let m = made("shell a { at 0 mm: circle(across: 120 mm), at 80 mm: point }");
    m.clean();
    // Radius 60 over 80: sec α = 1.25, so the neutral radius at the foot is 60 − 2.5 · 1.25.
    let Rim::Closed(z) = m.wall("a").rings[0].upper else { panic!("not closed") };
    near(z, 80.0 * (60.0 - 3.125) / 60.0, 1e-9);
}

#[test]
fn layers_lie_from_inside_to_outside() {
    let m = made("shell a { at 0 mm to 60 mm: circle(across: 100 mm), of: [foam2, foam5] }");
    m.clean();
    let layers = &m.part("a").layers;
    assert_eq!((layers[0].inner, layers[0].outer, layers[0].neutral), (-7.0, -5.0, -6.0));
    assert_eq!((layers[1].inner, layers[1].outer, layers[1].neutral), (-5.0, 0.0, -2.5));
    assert_eq!(m.shaped.solid.stocks[layers[0].stock].name, "foam2");
}

#[test]
fn a_backed_seam_makes_a_strip_on_the_inner_face() {
    let m = made("shell a { at 0 mm to 60 mm: circle(across: 100 mm), seam: backed(wide: 25 mm, of: foam2) }");
    m.clean();
    let (strip, layer) = (m.wall("a backing"), m.part("a backing").layers[0]);
    assert_eq!((layer.inner, layer.outer), (-7.0, -5.0));
    near(strip.facing, TAU, 1e-12);
    assert_eq!(strip.seam, Seam::Open(Gap::Leaves(25.0)));
}

#[test]
fn lames_copy_the_one_they_lie_over_with_its_open_seam() {
    // Brief B8 (worked by hand): inner radius 76.2, foam 3, 1 mm between nested lames, wrap 200°: middle arcs 271.2, 285.2, 299.2, 313.1.
    let text = "stock foam3 { as: foam, thick: 3 mm, size: 500 mm by 1000 mm }
        shell lame[1] { at 0 mm to 60 mm: circle(around: 478.8 mm), seam: open(facing: right, gap: 160 deg) }
        for i in 2 to 4 { shell lame[i] over lame[i - 1] { gap: 1 mm, level: 28 mm } }
        let a = lame[1].bottom.middle.around\nlet b = lame[2].bottom.middle.around
        let c = lame[3].bottom.middle.around\nlet d = lame[4].bottom.middle.around";
    let m = made_with("of: foam3, measured: inside", text);
    m.clean();
    for (name, want) in [("a", 271.2), ("b", 285.2), ("c", 299.2), ("d", 313.1)] {
        near(m.value(name), want, 0.1);
    }
    near(m.part("lame[4]").place.origin.z, 84.0, 1e-9);
}

#[test]
fn openings_are_spread_by_equal_lengths_of_the_girth() {
    let m = made(
        "shell a { at 0 mm to 100 mm: oval(across: 160 mm by 100 mm) }
        opening ports on a { shape: circle(across: 12 mm), count: 4, facing: left }",
    );
    m.clean();
    let facing: Vec<f64> =
        m.wall("a").holes.iter().map(|h| tasset::num::wrap(h.rule.phi.to_degrees(), 360.0)).collect();
    for (got, want) in facing.iter().zip([90.0, 180.0, 270.0, 0.0]) {
        let off = (got - want).abs();
        assert!(off.min(360.0 - off) < 1e-6, "{facing:?}");
    }
    assert!(m.wall("a").holes.iter().all(|h| h.z == 50.0));
    let along = made(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }
        opening ports on a { shape: circle(across: 8 mm), count: 3, spread: along, ends: 20 mm }",
    );
    assert_eq!(along.wall("a").holes.iter().map(|h| h.z).collect::<Vec<_>>(), [20.0, 50.0, 80.0]);
}

#[test]
fn holes_round_a_cap_keep_their_margin() {
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }
        cap lid on a.top { fit: flush }
        opening vents on lid { shape: circle(across: 6 mm), count: 3, margin: 20 mm }",
    );
    m.clean();
    for hole in &m.plate("lid").holes {
        let (lo, hi) = hole.outline.bounds().unwrap();
        near(((lo + hi) * 0.5).length(), 30.0, 1e-9);
    }
}

#[test]
fn a_shell_stands_on_an_edge_and_beside_another() {
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }
        shell b on a.top { at 0 mm to 50 mm: circle(across: 100 mm) }
        shell c on a.bottom { at 0 mm to 50 mm: circle(across: 100 mm) }
        shell d beside a { at 0 mm to 50 mm: circle(across: 70 mm), facing: left, gap: 8 mm }",
    );
    m.clean();
    near(m.part("b").place.origin.z, 100.0, 1e-12);
    near(m.part("c").place.z.z, -1.0, 1e-12);
    near(m.part("c").place.x.x, 1.0, 1e-12);
    near(m.part("d").place.origin.y, 50.0 + 8.0 + 35.0, 1e-9);
    // Where the two meet both rims are level.
    assert_eq!(m.wall("a").rings[0].upper, Rim::Level);
    assert_eq!(m.wall("b").rings[0].lower, Rim::Level);
}

#[test]
fn a_branch_wider_than_its_wall_is_told_both_widths() {
    // LANGUAGE, message 8: body 90 mm across at the foot, 30 cm round at 300 mm; 92.2 mm wide 12 cm up.
    let m = made(
        "shell body { at 0 mm: circle(across: 90 mm), at 300 mm: circle(around: 30 cm) }
        shell pipe on body { level: 12 cm, at 0 mm to 30 mm: circle(across: 110 mm) }",
    );
    assert_eq!(m.errors(), ["too-wide"]);
    let told = m.told();
    assert!(told.contains("the pipe is wider than the wall it grows from"), "{told}");
    assert!(told.contains("pipe 110 mm; body at 120 mm up: 92.2 mm"), "{told}");
    assert!(told.contains("at most `across: 92 mm`, or stand it `on body.top`"), "{told}");
}

#[test]
fn a_requirement_that_fails_shows_both_sides() {
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(around: 30 cm) }
        require a.top.around >= 32 cm \"the hand must pass\"",
    );
    assert_eq!(m.errors(), ["requirement-fails"]);
    let told = m.told();
    assert!(told.contains("300 mm") && told.contains("320 mm") && told.contains("the hand must pass"), "{told}");
}

#[test]
fn faults_do_not_hide_each_other() {
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(across: 6 mm) }
        cap lid on a.top { }
        shell b { at 0 mm to 100 mm: circle(across: 90 mm), seam: open(gap: 300 mm) }
        shell c { at 0 mm to 100 mm: circle(across: 90 mm) }
        cap floor on c.bottom { sunk: 98 mm }",
    );
    assert_eq!(m.errors(), ["corner-too-tight", "gap-too-wide", "sunk-too-deep"]);
    assert_eq!(m.shaped.solid.parts.len(), 1);
}

#[test]
fn claims_come_from_what_was_written() {
    let m = made("shell a { at 20 mm: circle(across: 90 mm), at 120 mm: oval(around: 40 cm, ratio: 3:2) }");
    let sizes: Vec<&Size> = m.shaped.solid.claims.iter().map(|c| &c.size).collect();
    assert!(sizes.contains(&&Size::Across { z: 0.0, depth: 0.0, direction: FRAC_PI_2, mm: 90.0 }));
    assert!(sizes.contains(&&Size::Around { z: 100.0, depth: 0.0, mm: 400.0 }));
    assert!(sizes.contains(&&Size::Tall { mm: 100.0 }));
    assert!(sizes.contains(&&Size::Thick { mm: 5.0 }));
}

/// The codes that shaping earns, each with its bad file and its near miss.
const CODES: &[&str] = &[
    "cap-on-open",
    "cap-on-point",
    "caps-collide",
    "corner-too-large",
    "corner-too-tight",
    "gap-too-wide",
    "girth-and-width",
    "flats-and-corners",
    "hollow-unlike",
    "needs-level",
    "no-density",
    "no-room-inside",
    "no-size",
    "no-such-place",
    "off-the-wall",
    "on-a-corner",
    "outline-crosses",
    "outline-points",
    "paper-too-small",
    "point-within",
    "requirement-fails",
    "rim-too-long",
    "rod-for-sheet",
    "seam-too-wide",
    "sharp-corner",
    "side-too-short",
    "station-twice",
    "sunk-too-deep",
    "too-many-holes",
    "too-wide",
    "wall-too-short",
];

fn case(kind: &str, code: &str) -> Made {
    let text = std::fs::read_to_string(format!("tests/cases/{kind}/{code}.prop")).unwrap();
    let checked = checked(&text);
    assert_eq!(checked.errors(), Vec::<&str>::new(), "{code}: {}", checked.all());
    let shaped = shape(&checked.design);
    Made { checked, shaped }
}

#[test]
fn every_bad_file_earns_its_code_and_its_near_miss_none() {
    for code in CODES {
        let bad = case("bad", code);
        assert_eq!(bad.errors(), [*code], "{code}: {}", bad.told());
        let fault = bad.shaped.diagnostics.iter().next().unwrap();
        assert!(!fault.labels.is_empty() && fault.help.is_some(), "{code}: {}", bad.told());
        let good = case("good", code);
        assert_eq!(good.errors(), Vec::<&str>::new(), "{code}: {}", good.told());
    }
}

#[test]
fn a_flat_side_that_runs_out_is_told_which_face_to_measure() {
    let things = |measured: &str| {
        format!(
            "shell a {{ at 0 mm: rectangle(across: 150 mm by 150 mm, corner: 15 mm), at 60 mm: circle(across: 60 mm)
            measured: {measured} }}
            cap lid on a.top {{ }}"
        )
    };
    let m = made(&things("outside"));
    assert_eq!(m.errors(), ["side-too-short"]);
    assert!(m.told().contains("`measured: inside`"), "{}", m.told());
    made(&things("inside")).clean();
}
