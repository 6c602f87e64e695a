//! Where parts stand: frames, what stands on an edge or a cap, nested parts, and girths that must get through, against
//! closed forms. Frames are held against scipy's rotations in `tests/oracle/test_placing.py`.

use crate::memory::{Folder, build, errors, told};
use crate::support::{Spoilt, checked, cut};
use serde_json::Value;
use tasset::diag::{Diagnostics, Severity};
use tasset::geom::Vec3;
use tasset::num;
use tasset::pipeline::Built;
use tasset::shape::shape;
use tasset::solid::{Body, Contact, EdgeName, Joint, Part, Size, Solid, Wall};
use tasset::verdict::Check;

pub struct Made {
    solid: Solid,
    diagnostics: Diagnostics,
}

pub fn made(text: &str) -> Made {
    let checked = checked(&format!("prop p {{ title: \"P\", of: foam5 }}\n{text}\n"));
    assert_eq!(checked.errors(), Vec::<&str>::new(), "{}", checked.told());
    let shaped = shape(&checked.design);
    Made { solid: shaped.solid, diagnostics: shaped.diagnostics }
}

impl Made {
    pub fn codes(&self) -> Vec<&'static str> {
        self.diagnostics.iter().map(|d| d.code.name()).collect()
    }

    pub fn part(&self, name: &str) -> &Part {
        self.solid.parts.iter().find(|p| p.name == name).unwrap_or_else(|| panic!("no {name}: {:?}", self.codes()))
    }

    fn wall(&self, name: &str) -> &Wall {
        match &self.part(name).body {
            Body::Wall(wall) => wall,
            Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => panic!("{name} is flat"),
        }
    }

    fn joint(&self, what: &str) -> &Joint {
        self.solid.joints.iter().find(|j| j.what == what).unwrap_or_else(|| panic!("no joint {what}"))
    }
}

#[track_caller]
pub fn near(is: f64, asked: f64, by: f64) {
    assert!((is - asked).abs() <= by, "{is} for {asked}");
}

#[track_caller]
fn at(is: Vec3, asked: [f64; 3]) {
    assert!((is - Vec3::from_array(asked)).length() < 1e-9, "{is:?} for {asked:?}");
}

fn report(built: &Built) -> Value {
    let file = built.files.iter().find(|f| f.path.ends_with("report.json"));
    serde_json::from_slice(&file.unwrap_or_else(|| panic!("no report: {}", told(built))).bytes).unwrap()
}

pub fn built(text: &str) -> Built {
    build(Folder::of(&format!("prop p {{ title: \"P\", of: foam5 }}\n{text}\n")))
}

#[test]
fn a_part_is_moved_leans_and_is_turned() {
    // Rotation matrices by hand: 30 degrees to the front about the y axis, then a right angle about the axis itself.
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(across: 50 mm) }
        shell b beside a {
            at 0 mm to 100 mm: circle(across: 40 mm)
            facing: left, gap: 10 mm, shift: toward(back: 7 mm, up: 3 mm), tilt: toward(front: 30 deg), spin: 90 deg
        }",
    );
    assert_eq!(m.codes(), Vec::<&str>::new());
    let (s, c) = (0.5, 0.75f64.sqrt());
    let place = m.part("b").place;
    at(place.z, [s, 0.0, c]);
    at(place.x, [0.0, 1.0, 0.0]);
    at(place.y, [-c, 0.0, s]);
    // The tube leans square to the way it stands off, so that its reach is its radius.
    at(place.origin, [-7.0, 25.0 + 10.0 + 20.0, 3.0]);
    cut(&m.solid);
}

#[test]
fn what_leans_toward_its_neighbour_keeps_its_gap() {
    // Leaning 20 degrees to the right, 100 tall: its top's edge is 100 sin 20° + 20 cos 20° nearer than its foot's middle.
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(across: 50 mm) }
        shell b beside a { at 0 mm to 100 mm: circle(across: 40 mm), facing: left, gap: 10 mm, tilt: toward(right: 20 deg) }",
    );
    let (s, c) = (num::sin(20f64.to_radians()), num::cos(20f64.to_radians()));
    near(m.part("b").place.origin.y, 25.0 + 10.0 + 100.0 * s + 20.0 * c, 1e-9);
}

#[test]
fn a_shell_on_an_edge_is_joined_to_it() {
    // A cone on a cone, outer skins meeting at 100 across: the edge is 100 pi round; both rims are told of it.
    let text = "shell body { at 0 mm: circle(across: 120 mm), at 150 mm: circle(across: 100 mm) }
        shell neck on body.top { at 0 mm: circle(across: 100 mm), at 60 mm: circle(across: 70 mm), spin: 40 deg }";
    let m = made(text);
    assert_eq!(m.codes(), Vec::<&str>::new());
    let joint = m.joint("neck on body.top");
    assert_eq!((joint.a.edge, joint.b.edge), (EdgeName::Upper, EdgeName::Lower));
    assert!(matches!(joint.contact, Contact::Rim { depth, other, .. } if depth == 0.0 && other == 0.0), "{joint:?}");
    assert!(joint.notches.len() >= 3);
    // Notches stand within the contact's length and clear of both seams.
    let round = num::PI * 100.0;
    let turned = round * 40.0 / 360.0;
    for n in &joint.notches {
        assert!(*n > 11.9 && *n < round - 11.9 && (n - turned).abs() > 11.9, "{n} {turned}");
    }
    let cut = cut(&m.solid);
    let edges: Vec<_> = cut.pieces.pieces.iter().flat_map(|p| &p.edges).collect();
    for (meets, name) in [("neck bottom", "top"), ("body top", "bottom")] {
        let note = edges.iter().find(|n| n.meets.as_deref() == Some(meets)).unwrap();
        assert_eq!((note.name.as_str(), note.letter.as_deref()), (name, Some(joint.letter.as_str())));
        assert_eq!(note.notches, joint.notches.len());
        near(note.long.outside, round, 1e-6);
    }
    // In every output: letters in the report, and no word of a free edge there.
    let built = built(text);
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    let report = report(&built);
    let joints = report["joints"].as_array().unwrap();
    assert!(joints.iter().any(|j| j["what"] == "neck on body.top"), "{joints:?}");
    let place = report["parts"].as_array().unwrap().iter().find(|p| p["name"] == "neck").unwrap()["place"].clone();
    near(place["at"][2].as_f64().unwrap(), 150.0, 1e-6);
    near(place["front"][1].as_f64().unwrap(), num::sin(40f64.to_radians()), 1e-6);
}

#[test]
fn an_edge_carries_a_cap_and_a_shell() {
    let m = made(
        "shell body { at 0 mm to 150 mm: circle(across: 100 mm) }
        cap lid on body.top { fit: inset }
        shell neck on body.top { at 0 mm: circle(across: 100 mm), at 60 mm: circle(across: 70 mm) }
        shell skirt on body.bottom { at 0 mm: circle(across: 100 mm), at 40 mm: circle(across: 130 mm) }",
    );
    assert_eq!(m.codes(), Vec::<&str>::new());
    let cut = cut(&m.solid);
    let body = cut.pieces.pieces.iter().find(|p| p.name == "body").unwrap();
    let tops: Vec<_> = body.edges.iter().filter(|n| n.edge == EdgeName::Upper).collect();
    let met: Vec<_> = tops.iter().filter_map(|n| n.meets.as_deref()).collect();
    assert_eq!(met, ["lid rim", "neck bottom"]);
    assert!(tops.iter().all(|n| n.notches >= 3 && n.letter.is_some()));
    let bottom = body.edges.iter().find(|n| n.edge == EdgeName::Lower).unwrap();
    assert_eq!(bottom.meets.as_deref(), Some("skirt bottom"));
}

#[test]
fn a_thinner_shell_stands_on_the_outer_skin_or_the_inner() {
    // 2 mm of foam on 5 mm: at one width outside the outer skins meet, at one width inside the inner ones.
    for (sizes, asked) in [
        ("shell b on a.top { at 0 mm to 40 mm: circle(across: 100 mm), of: foam2 }", (0.0, 0.0)),
        ("shell b on a.top { at 0 mm to 40 mm: circle(across: 90 mm), of: foam2, measured: inside }", (-5.0, 0.0)),
        // Its outer skin 96 across lies 2 mm within the edge.
        ("shell b on a.top { at 0 mm to 40 mm: circle(across: 96 mm), of: foam2 }", (-2.0, 0.0)),
    ] {
        let m = made(&format!("shell a {{ at 0 mm to 100 mm: circle(across: 100 mm) }}\n{sizes}"));
        assert_eq!(m.codes(), Vec::<&str>::new());
        let Contact::Rim { depth, other, .. } = m.joint("b on a.top").contact else { panic!("no rim") };
        near(depth, asked.0, 1e-9);
        near(other, asked.1, 1e-9);
        cut(&m.solid);
    }
}

#[test]
fn a_foot_that_meets_no_edge_is_told_how_far_off_it_is() {
    for (on, apart) in [
        ("at 0 mm to 40 mm: circle(across: 80 mm)", "up to 10 mm apart"),
        ("at 0 mm to 40 mm: circle(across: 100 mm), shift: toward(left: 4 mm)", "up to 4 mm apart"),
        ("at 0 mm to 40 mm: circle(across: 100 mm), shift: toward(up: 3 mm)", "up to 3 mm apart"),
        // 50 sin 10°.
        ("at 0 mm to 40 mm: circle(across: 100 mm), tilt: toward(front: 10 deg)", "up to 8.7 mm apart"),
    ] {
        let m = made(&format!("shell a {{ at 0 mm to 100 mm: circle(across: 100 mm) }}\nshell b on a.top {{ {on} }}"));
        // What leans dips into the wall below it as well.
        let dips: &[&str] = if on.contains("tilt") { &["foot-off-edge", "parts-collide"] } else { &["foot-off-edge"] };
        assert_eq!(m.codes(), dips, "{on}");
        let d = m.diagnostics.iter().next().unwrap();
        assert_eq!(d.severity, Severity::Warning);
        assert!(d.labels[0].text.contains(apart), "{:?}", d.labels);
    }
}

#[test]
fn nothing_else_may_take_the_edge_a_shell_stands_on() {
    let body = "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }
        shell b on a.top { at 0 mm to 40 mm: circle(across: 100 mm) }\n";
    for more in ["shell c on a.top { at 0 mm to 30 mm: circle(across: 100 mm) }", "cap lid on a.top { fit: flush }"] {
        assert_eq!(made(&format!("{body}{more}")).codes(), ["caps-collide"], "{more}");
    }
    assert_eq!(made(&format!("{body}cap lid on a.top {{ fit: inset }}")).codes(), Vec::<&str>::new());
}

#[test]
fn a_shell_stands_on_a_cap_and_its_place_is_marked() {
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }
        cap roof on a.top { fit: flush }
        cap base on a.bottom { fit: inset }
        shell knob on roof { at 0 mm to 20 mm: circle(across: 30 mm), level: 12 mm, facing: left }
        shell foot on base { at 0 mm to 15 mm: oval(across: 40 mm by 20 mm) }",
    );
    assert_eq!(m.codes(), Vec::<&str>::new());
    // The roof is 5 mm thick on a wall 100 tall; the base's show face is level with the edge and looks down.
    at(m.part("knob").place.origin, [0.0, 12.0, 105.0]);
    at(m.part("foot").place.origin, [0.0, 0.0, 0.0]);
    at(m.part("foot").place.z, [0.0, 0.0, -1.0]);
    let spots = &m.solid.fitted.spots;
    let areas: Vec<f64> = spots.iter().map(|s| s.outline.area()).collect();
    near(areas[0], num::PI * 225.0, 1e-9);
    near(areas[1], num::PI * 200.0, 0.5);
    cut(&m.solid);
    // Past the edge there is no room for its place.
    let far = built(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }\ncap roof on a.top { fit: flush }
        shell knob on roof { at 0 mm to 20 mm: circle(across: 30 mm), level: 40 mm, facing: left }",
    );
    assert_eq!(errors(&far), ["no-room-there"], "{}", told(&far));
}

#[test]
fn openings_and_fittings_are_turned_and_moved_on_their_face() {
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }
        cap roof on a.top { fit: flush }
        opening slot on a { shape: rectangle(across: 40 mm by 10 mm), spin: 30 deg, shift: toward(left: 12 mm, up: 5 mm) }
        opening eye on roof { shape: rectangle(across: 20 mm by 10 mm), spin: 90 deg, shift: toward(front: 6 mm, right: 4 mm) }",
    );
    assert_eq!(m.codes(), Vec::<&str>::new());
    let slot = &m.wall("a").holes[0];
    near(slot.z, 55.0, 1e-9);
    // Twelve of a tape round 100 across.
    near(num::wrap(slot.rule.phi, num::TAU), 12.0 / 50.0, 1e-9);
    let (lo, hi) = slot.outline.bounds().unwrap();
    let (s, c) = (0.5, 0.75f64.sqrt());
    near(hi.x - lo.x, 40.0 * c + 10.0 * s, 1e-9);
    near(hi.y - lo.y, 40.0 * s + 10.0 * c, 1e-9);
    // Turned left about as seen from outside: its right end stands higher.
    let right = slot.outline.segs.iter().map(|s| s.a).max_by(|a, b| a.x.total_cmp(&b.x)).unwrap();
    assert!(right.y > 0.0);
    let Body::Plate(plate) = &m.part("roof").body else { panic!("a wall") };
    let (lo, hi) = plate.holes[0].outline.bounds().unwrap();
    let (middle, size) = ((lo + hi) * 0.5, hi - lo);
    near(middle.x, 6.0, 1e-9);
    near(middle.y, -4.0, 1e-9);
    // Across from side to side before, front to back now.
    near(size.x, 20.0, 1e-9);
    near(size.y, 10.0, 1e-9);
    cut(&m.solid);
    let off = made(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }\nopening o on a { shape: circle(across: 9 mm), shift: toward(front: 3 mm) }",
    );
    assert_eq!(off.codes(), ["off-the-wall"]);
}

#[test]
fn what_cannot_lean_is_refused_with_a_reason() {
    for (text, said) in [
        (
            "shell b beside a { at 0 mm to 9 mm: circle(across: 30 mm), facing: left, tilt: toward(up: 5 deg) }",
            "up or down",
        ),
        (
            "shell b beside a { at 0 mm to 9 mm: circle(across: 30 mm), facing: left, tilt: toward(front: 85 deg, left: 2 deg) }",
            "another way",
        ),
        ("opening o on a { shape: circle(across: 8 mm), tilt: toward(front: 5 deg) }", "o cannot lean"),
    ] {
        let m = made(&format!("shell a {{ at 0 mm to 100 mm: circle(across: 100 mm) }}\n{text}"));
        assert_eq!(m.codes(), ["cannot-lean"], "{text}");
        assert!(m.diagnostics.iter().next().unwrap().message.contains(said));
    }
    // Lying down is a lean one way.
    let m = made("shell a { at 0 mm to 40 mm: circle(across: 100 mm), tilt: toward(left: 90 deg) }");
    at(m.part("a").place.z, [0.0, 1.0, 0.0]);
}

#[test]
fn nested_lames_grow_by_thickness_and_gap() {
    // Brief B8, by hand there: inner radius 76.2 for an arm of 372 with 2 of sleeve and 15 of air, foam 3, a wrap of
    // 200 degrees, 1 between nested lames; middle arcs 271.2, 285.2, 299.2, 313.1.
    let m = made(
        "shell lame[1] {
            at 0 mm to 60 mm: circle(around: dressed(body: 372 mm, cloth: 2 mm, air: 15 mm))
            of: foam3, measured: inside, seam: open(facing: right, gap: 160 deg)
        }
        for i in 2 to 4 { shell lame[i] over lame[i - 1] { of: foam3, measured: inside, gap: 1 mm, level: 28 mm } }",
    );
    assert_eq!(m.codes(), Vec::<&str>::new());
    let cut = cut(&m.solid);
    // To a tenth: the brief's figures are rounded.
    let radius = 372.0 / num::TAU + 17.0;
    near(radius, 76.2, 0.01);
    for (i, brief) in [271.2, 285.2, 299.2, 313.1].into_iter().enumerate() {
        let piece = &cut.pieces.pieces[i];
        let long = piece.edges.iter().find(|n| n.edge == EdgeName::Lower).unwrap().long.neutral;
        let exact = 200f64.to_radians() * (radius + 1.5 + 4.0 * i as f64);
        near(long, exact, 1e-6);
        near(long, brief, 0.06);
        // Each bottom 28 above the last's.
        near(m.solid.parts[i].place.origin.z, 28.0 * i as f64, 1e-9);
    }
}

/// Brief B2 with a closed seam or an open one: wrist 168 over 2 of sleeve with 10 of ease, foam 4.
fn bracer(seam: &str, passes: f64) -> String {
    format!(
        "let wrist = dressed(body: 168 mm, cloth: 2 mm, ease: 10 mm)
        stock foam4 {{ as: foam, thick: 4 mm, size: 500 mm by 1000 mm, density: 95 kg/m3 }}
        shell cuff {{
            at 0 mm: circle(around: wrist), at 190 mm: circle(around: dressed(body: 282 mm, cloth: 2 mm, ease: 10 mm))
            of: foam4, measured: inside, seam: {seam}, passes: {passes} mm
        }}"
    )
}

#[test]
fn a_hand_gets_through_a_bracer_that_is_let_out() {
    // Inside the wrist 168 + 4 pi + 10 = 190.57. The hand of 195 with the ease of 10 wants 205: 14.4 more than that,
    // so a gap of 30 has to be drawn to 44.4. The brief, in whole millimetres: 44 or more.
    let inside = 178.0 + 4.0 * num::PI;
    let m = made(&bracer("open(facing: right, gap: 30 mm)", 205.0));
    assert_eq!(m.codes(), Vec::<&str>::new());
    let p = &m.solid.passages[0];
    near(p.narrowest, inside, 1e-9);
    near(p.apart.unwrap(), 30.0 + 205.0 - inside, 1e-9);
    near(p.apart.unwrap(), 44.0, 0.5);
    cut(&m.solid);
    let open = built(&bracer("open(facing: right, gap: 30 mm)", 205.0));
    assert!(
        open.summary.contains("cuff: 205 mm round gets through, where the sides of its seam are drawn 44.5 mm apart"),
        "{}",
        open.summary
    );
    near(report(&open)["passages"][0]["apart"].as_f64().unwrap(), 44.43, 0.01);
    // Closed, it is refused with the gap that would do.
    let closed = made(&bracer("butt", 205.0));
    assert_eq!(closed.codes(), ["does-not-pass"]);
    let d = closed.diagnostics.iter().next().unwrap();
    assert_eq!(d.repair.as_deref(), Some("seam: open(gap: 15 mm)"));
    assert!(d.labels[0].text.contains("190.5 mm round at its bottom: 14.5 mm too little"), "{:?}", d.labels);
    assert!(d.help.as_deref().unwrap().contains("29.5 mm apart"), "{:?}", d.help);
    // A wrist's own girth passes a closed one as it is.
    let wrist = made(&bracer("butt", 190.0));
    assert_eq!(wrist.codes(), Vec::<&str>::new());
    assert_eq!(wrist.solid.passages[0].apart, None);
    cut(&wrist.solid);
}

/// A hexagon 160 across its flats of 6 mm: inside it is 148 across and 6 · 148 / √3 = 512.7 round, whether it is of six
/// panels or folded from one strip.
#[test]
fn flat_sides_let_through_what_their_inner_faces_do() {
    use crate::memory::{Folder, build, clean, errors, told};
    let foam = "prop p { title: \"P\", of: foam6 }
        stock foam6 { as: foam, thick: 6 mm, size: 1000 mm by 1000 mm, density: 95 kg/m3 }\n";
    for made in ["", "made: folded, "] {
        let lamp = |passes: f64| {
            format!(
                "{foam}shell a {{ {made}at 0 mm to 90 mm: polygon(sides: 6, across: 160 mm), passes: {passes} mm }}"
            )
        };
        let built = clean(&lamp(512.0));
        let report: serde_json::Value =
            serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON");
        assert_eq!(report["passages"][0]["girth"], 512.0);
        let built = build(Folder::of(&lamp(514.0)));
        assert_eq!(errors(&built), ["does-not-pass"]);
        assert!(told(&built).contains("inside it is 512.6 mm round"), "{}", told(&built));
    }
    let lapped =
        "shell a { made: panels(style: lapped), at 0 mm to 90 mm: rectangle(across: 90 mm by 60 mm), passes: 200 mm }";
    let built = build(Folder::of(&format!("{foam}{lapped}")));
    assert!(built.diagnostics.iter().any(|d| d.code.name() == "not-built-yet" && d.message.contains("lapped panels")));
}

#[test]
fn a_lining_and_a_point_narrow_the_way_through() {
    // 100 across outside, 5 of foam and 2 of lining foam: 86 pi inside.
    let text = |passes: f64| {
        format!(
            "shell a {{ at 0 mm to 100 mm: circle(across: 100 mm), passes: {passes} mm }}
            stock felt {{ as: cloth, thick: 2 mm, wide: 1400 mm, density: 300 g/m2 }}
            cover lining on a {{ of: felt, face: inside }}"
        )
    };
    assert_eq!(made(&text(86.0 * num::PI - 0.01)).codes(), Vec::<&str>::new());
    assert_eq!(made(&text(86.0 * num::PI + 0.01)).codes(), ["does-not-pass"]);
    // A shell that stands within lines it too: of foam of 2 it leaves 100 − 10 − 4 across, told rounded down (270.18).
    let inner = |passes: f64| {
        made(&format!(
            "shell a {{ at 0 mm to 100 mm: circle(across: 100 mm), passes: {passes} mm }}
            shell lining in a {{ of: foam2 }}"
        ))
    };
    assert_eq!(inner(86.0 * num::PI - 0.01).codes(), Vec::<&str>::new());
    let tight = inner(86.0 * num::PI + 0.01);
    assert_eq!(tight.codes(), ["does-not-pass"]);
    let told = tight.diagnostics.iter().next().unwrap();
    assert!(told.message.ends_with("does not get through lining"), "{}", told.message);
    assert!(told.labels[0].text.starts_with("inside lining, which stands in a, is 270.1 mm round"), "{told:?}");
    let point = made("shell a { at 0 mm: circle(across: 90 mm), at 80 mm: point, passes: 50 mm }");
    assert_eq!(point.codes(), ["does-not-pass"]);
}

/// A closed end lets through what its cap's longest opening does: of 65 across 65 pi = 204.2. Girths of circles and of
/// rectangles are their own closed forms; a cap that comes off does not count.
#[test]
fn a_cap_lets_through_what_its_opening_does() {
    use crate::memory::{Folder, build, clean, errors, told};
    let foam = "prop p { title: \"P\", of: foam6 }
        stock foam6 { as: foam, thick: 6 mm, size: 1000 mm by 1000 mm, density: 95 kg/m3 }\n";
    let section = ["circle(across: 120 mm)", "polygon(sides: 6, across: 160 mm)"];
    for (section, narrowest) in section.into_iter().zip([108.0 * num::PI, 6.0 * 148.0 / 3f64.sqrt()]) {
        let cuff = |passes: f64, ends: &str| {
            format!("{foam}shell cuff {{ at 0 mm to 90 mm: {section}, passes: {passes} mm }}\n{ends}")
        };
        let open = report(&clean(&cuff(200.0, "")));
        near(open["passages"][0]["narrowest"].as_f64().unwrap(), narrowest, 1e-5);
        for (fit, at) in [("inset", "bottom"), ("flush", "top")] {
            let cap = |holes: &str| format!("cap end on cuff.{at} {{ fit: {fit} }}\n{holes}");
            let shut = build(Folder::of(&cuff(200.0, &cap(""))));
            assert_eq!(errors(&shut), ["does-not-pass"], "{}", told(&shut));
            assert!(told(&shut).contains("200 mm round does not get through end"), "{}", told(&shut));
            // What is offered is built, with a length round that is just enough.
            let repair = shut.diagnostics.iter().find_map(|d| d.repair.clone()).unwrap();
            let through = report(&clean(&cuff(200.0, &cap(&repair))));
            near(through["passages"][0]["narrowest"].as_f64().unwrap(), 200.0, 1e-5);
            // Of two the longest counts, and it is told by name when it is too short.
            let two = "opening eye on end { shape: circle(across: 9 mm), margin: 8 mm }
                opening way on end { shape: circle(across: 65 mm) }";
            let round = report(&clean(&cuff(204.0, &cap(two))));
            near(round["passages"][0]["narrowest"].as_f64().unwrap(), 65.0 * num::PI, 1e-5);
            let tight = build(Folder::of(&cuff(205.0, &cap(two))));
            assert_eq!(errors(&tight), ["does-not-pass"]);
            for words in ["its opening way is 204.2 mm round", "0.8 mm too much", "`around: 205 mm`"] {
                assert!(told(&tight).contains(words), "{words}: {}", told(&tight));
            }
            let slot =
                report(&clean(&cuff(204.0, &cap("opening way on end { shape: rectangle(across: 60 mm by 45 mm) }"))));
            near(slot["passages"][0]["narrowest"].as_f64().unwrap(), 210.0, 1e-5);
            // One that comes off is put on afterwards.
            clean(&cuff(200.0, &format!("cap end on cuff.{at} {{ fit: {fit}, loose: yes }}")));
        }
    }
    clean(&format!(
        "{foam}shell cuff {{ at 0 mm to 90 mm: circle(across: 120 mm), passes: 200 mm }}\ncap lid on cuff.top {{ fit: overlay }}"
    ));
}

/// A cap that is shut does not keep the wall's own answer back, and an opening that has a fault is no closed end.
#[test]
fn what_shuts_an_end_hides_nothing_else() {
    let both = made(
        "shell a { at 0 mm to 100 mm: circle(across: 60 mm), passes: 300 mm }
        cap base on a.bottom { fit: inset }
        cap end on a.top { fit: flush }",
    );
    assert_eq!(both.codes(), ["does-not-pass"; 3]);
    let faulty = made(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm), passes: 200 mm }
        cap end on a.top { fit: flush }
        opening way on end { shape: circle(across: 70 mm), level: 20 mm }",
    );
    assert_eq!(faulty.codes(), ["needs-level"]);
    // A pipe through a wall whose port lies past its end.
    let port = "shell a { at 0 mm to 100 mm: circle(across: 90 mm) }
        shell pipe in a { level: 50 mm, tilt: toward(front: 90 deg), at 0 mm to 55 mm: circle(across: 20 mm), of: foam2 }
        opening port on a { shape: circle(across: 23 mm), level: 150 mm }";
    assert_eq!(made(port).codes(), ["off-the-wall"]);
}

/// The audit measures the opening again on the piece: a girth that is claimed to be longer is found.
#[test]
fn an_opening_that_is_too_small_for_what_passes_is_found() {
    let m = made(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm), passes: 200 mm }
        cap end on a.top { fit: flush }
        opening way on end { shape: circle(around: 210 mm) }",
    );
    assert_eq!(m.codes(), Vec::<&str>::new());
    let made = Spoilt::cut(m.solid);
    assert_eq!(made.judged().breaches, Vec::new());
    for spoil in [(211.0, 200.0), (210.0, 215.0)] {
        let mut spoilt = made.clone();
        for claim in &mut spoilt.solid.claims {
            if let Size::Through { narrow, mm, .. } = &mut claim.size {
                (*narrow, *mm) = spoil;
            }
        }
        spoilt.fails(Check::Claim, "way through its opening of end");
    }
    // Cut smaller than it was drawn.
    let mut spoilt = made;
    for hole in spoilt.pieces.pieces.iter_mut().flat_map(|p| &mut p.holes) {
        let (lo, hi) = hole.outline.bounds().unwrap();
        let middle = (lo + hi) * 0.5;
        for seg in &mut hole.outline.segs {
            (seg.a, seg.b) = (middle + (seg.a - middle) * 0.99, middle + (seg.b - middle) * 0.99);
        }
    }
    spoilt.fails(Check::Claim, "way through its opening of end");
}

#[test]
fn what_stands_on_one_of_a_pair_is_one_of_a_pair() {
    let m = made(
        "shell a { at 0 mm to 60 mm: circle(across: 80 mm), pair: mirrored }
        shell b on a.top { at 0 mm to 30 mm: circle(across: 80 mm) }",
    );
    assert_eq!(m.codes(), Vec::<&str>::new());
    assert!(m.part("b").pair);
    assert_eq!(cut(&m.solid).pieces.pieces.len(), 4);
}

/// The depth that a warning says, mm.
pub fn deep(text: &str) -> f64 {
    let m = made(text);
    assert_eq!(m.codes(), ["parts-collide"], "{text}");
    let label = m.diagnostics.iter().next().unwrap().labels[0].text.clone();
    label.split(" mm").next().unwrap().parse().unwrap_or_else(|_| panic!("{label}"))
}

#[test]
fn tubes_that_stand_in_each_other_are_told_how_deep() {
    // Two upright tubes beside each other: both radii less the distance of their axes. Said to a tenth.
    for (across, apart, asked) in [(60.0, 55.0, 20.0), (90.0, 62.0, 28.0), (30.0, 45.0, 15.0)] {
        let deep = deep(&format!(
            "shell a {{ at 0 mm to 100 mm: circle(across: 90 mm) }}
            shell b beside a {{ at 0 mm to 120 mm: circle(across: {across} mm), facing: left, shift: toward(right: {} mm) }}",
            45.0 + 0.5 * across - apart
        ));
        near(deep, asked, 0.1);
    }
    // One tube stuck 30 into another's mouth, of one width: the sheets lie in one place, and 5 mm, their thickness, would
    // free one of the other.
    near(
        deep(
            "shell a { at 0 mm to 100 mm: circle(across: 90 mm) }\nshell b in a { level: 70 mm, at 0 mm to 60 mm: circle(across: 90 mm) }",
        ),
        5.0,
        0.1,
    );
}

#[test]
fn what_pierces_a_wall_or_a_cap_is_told_and_what_goes_through_an_opening_is_not() {
    let tube = "shell a { at 0 mm to 100 mm: circle(across: 90 mm) }\ncap lid on a.top { fit: flush }\n";
    // A mast from 40 below the lid's upper face to 60 above it: up 40 would free it, down 65, to a side 45 + 10.
    let mast = "shell mast in a { level: 65 mm, at 0 mm to 100 mm: circle(across: 20 mm), of: foam2 }\n";
    near(deep(&format!("{tube}{mast}")), 40.0, 0.2);
    let through = "opening port on lid { shape: circle(across: 22 mm) }\n";
    assert_eq!(made(&format!("{tube}{mast}{through}")).codes(), Vec::<&str>::new());
    // A pipe that lies through the front wall.
    let pipe = "shell pipe in a {
        level: 50 mm, tilt: toward(front: 90 deg), at 0 mm to 55 mm: circle(across: 20 mm), of: foam2
    }\n";
    assert_eq!(made(&format!("{tube}{pipe}")).codes(), ["parts-collide"]);
    let port = "opening port on a { shape: circle(across: 23 mm), level: 50 mm }\n";
    assert_eq!(made(&format!("{tube}{pipe}{port}")).codes(), Vec::<&str>::new());
}

#[test]
fn what_touches_nests_or_stands_is_no_collision() {
    let m = made(
        "shell a { at 0 mm: circle(across: 90 mm), at 60 mm: circle(across: 120 mm), at 150 mm: circle(across: 100 mm) }
        cap base on a.bottom { fit: inset }
        cap lid on a.top { fit: inset, sunk: 4 mm }
        shell inner in post { of: foam2 }
        shell neck on a.top { at 0 mm: circle(across: 100 mm), at 30 mm: circle(across: 60 mm) }
        cap roof on neck.top { fit: overlay }
        shell knob on roof { at 0 mm to 20 mm: circle(across: 40 mm) }
        shell post beside a { at 0 mm to 50 mm: circle(across: 40 mm), facing: left, gap: 0 mm }
        shell sleeve over post { gap: 0 mm, at 10 mm to 30 mm: circle(across: 50 mm) }",
    );
    let told: Vec<_> = m.diagnostics.iter().map(|d| d.message.clone()).collect();
    assert_eq!(m.codes(), Vec::<&str>::new(), "{told:?}");
}

#[test]
fn a_thousand_parts_close_together_are_compared_in_a_while() {
    use std::fmt::Write as _;
    let mut text = String::from("shell s[1] { at 0 mm to 40 mm: circle(across: 60 mm), of: foam2 }\n");
    let _ =
        writeln!(text, "for i in 2 to 1000 {{ shell s[i] over s[i - 1] {{ of: foam2, gap: 0.5 mm, level: 1 mm }} }}");
    let m = made(&text);
    assert_eq!(m.solid.parts.len(), 1000);
    // Either all are found clear, or it is said how many were not looked at; nothing is found to collide.
    assert!(m.diagnostics.iter().all(|d| d.severity == Severity::Note), "{:?}", m.codes());
}
