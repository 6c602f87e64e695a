//! Marks: that they run where the text says, on every sort of part, against figures from outside.

use crate::memory::{Folder, build, told};
use crate::shape::{Made, made};
use crate::support::{Cut, cut};
use tasset::audit::audit;
use tasset::design::Face;
use tasset::num::{self, PI, TAU};
use tasset::piece::{About, Mark, Operation, Piece};
use tasset::solid::{Course, Stroke};

fn of(text: &str) -> (Made, Cut) {
    let m = made(text);
    m.clean();
    let cut = cut(&m.shaped.solid);
    let verdict = audit(&m.shaped.solid, &cut.flat, &cut.pieces, None);
    assert!(verdict.passed(), "{:#?}", verdict.breaches);
    (m, cut)
}

fn marks(piece: &Piece) -> impl Iterator<Item = &Mark> {
    piece.marks.iter().filter(|m| matches!(m.about, About::Trace(_)))
}

fn piece<'a>(cut: &'a Cut, name: &str) -> &'a Piece {
    cut.pieces.pieces.iter().find(|p| p.name == name).unwrap_or_else(|| panic!("no piece {name}"))
}

fn drawn(piece: &Piece) -> f64 {
    marks(piece).map(|m| m.path.length()).sum()
}

#[track_caller]
fn near(a: f64, b: f64, tol: f64) {
    assert!((a - b).abs() <= tol, "{a} is not {b}");
}

/// A tube of 90 mm across and 100 mm tall, foam 5 measured outside, neutral in its middle.
const TUBE: &str = "shell tube { at 0 mm to 100 mm: circle(across: 90 mm) }\n";

#[test]
fn a_ring_of_a_cone_is_an_arc_of_the_cone_s_own_radius_and_length() {
    // Across 120 to 180 over 150: the slant is √(150² + 30²), the flat turns by 360° · 30/slant, and a ring of radius r on
    // the measured face has its foot 2.5 mm further in along the normal: radius (r − 2.5/cos α) slant/30 on the flat with
    // the apex of the neutral cone (the handbook's development of a frustum: R = r · slant/(r1 − r0)).
    let (m, cut) = of("shell body { at 0 mm: circle(across: 120 mm), at 150 mm: circle(across: 180 mm) }
         mark ring on body { as: groove, level: 60 mm, deep: 2 mm }\nlet way = ring.long\nlet high = ring.level");
    let slant = num::hypot(150.0, 30.0);
    let r = 60.0 + 30.0 * 60.0 / 150.0;
    near(m.value("way"), TAU * r, 1e-6);
    near(m.value("high"), 60.0, 1e-12);
    let body = piece(&cut, "body");
    let ring: Vec<&Mark> = marks(body).collect();
    assert_eq!(ring.len(), 1);
    assert_eq!(ring[0].operation, Operation::Groove);
    // A point of the neutral surface under the ring is 2.5 cos α nearer to the axis.
    let inner = r - 2.5 * 150.0 / slant;
    for s in &ring[0].path.segs {
        near(s.radius(), inner * slant / 30.0, 0.02);
    }
    near(ring[0].path.length(), TAU * inner, 0.01);
    let note = &body.traces[0];
    assert_eq!((note.name.as_str(), note.stroke, note.deep, note.hidden), ("ring", Stroke::Groove, Some(2.0), false));
    near(note.long, TAU * inner, 0.01);
}

#[test]
fn a_path_on_a_tube_is_a_helix_and_straight_on_its_flat() {
    // A helix over a quarter turn of radius 45 that rises by 50: √(50² + (45 π/2)²); on the neutral flat of radius 42.5.
    let (m, cut) = of(&format!("{TUBE}mark s on tube {{ path: [front by 20 mm, left by 70 mm] }}\nlet way = s.long"));
    near(m.value("way"), num::hypot(50.0, 45.0 * PI / 2.0), 1e-6);
    let tube = piece(&cut, "tube");
    let all: Vec<&Mark> = marks(tube).collect();
    assert_eq!(all.len(), 1);
    assert_eq!(all[0].operation, Operation::Line);
    let (a, b) = (all[0].path.start().unwrap(), all[0].path.end().unwrap());
    near(a.distance(b), num::hypot(50.0, 42.5 * PI / 2.0), 2e-3);
    near(all[0].path.length(), a.distance(b), 1e-6);
    near((b.y - a.y).abs(), 50.0, 2e-3);
}

#[test]
fn rings_stand_between_their_ends_and_paths_are_set_round() {
    let (m, _) = of(&format!("{TUBE}mark h on tube {{ as: groove, count: 3, ends: 20 mm }}"));
    let levels = |m: &Made| -> Vec<f64> {
        let of = |t: &tasset::solid::Trace| match &t.course {
            Course::Wall(legs) => legs[0].from.z,
            _ => f64::NAN,
        };
        m.shaped.solid.traces.iter().map(of).collect()
    };
    assert_eq!(levels(&m), [20.0, 50.0, 80.0]);
    let names: Vec<&str> = m.shaped.solid.traces.iter().map(|t| t.name.as_str()).collect();
    assert_eq!(names, ["h 1", "h 2", "h 3"]);
    // A third of foam 5 where nothing is said.
    assert!(m.shaped.solid.traces.iter().all(|t| (t.deep.unwrap() - 5.0 / 3.0).abs() < 1e-12));
    let (m, cut) = of(&format!("{TUBE}mark h on tube {{ path: [front by 10 mm, front + 30 deg by 90 mm], count: 4 }}"));
    assert_eq!(m.shaped.solid.traces.len(), 4);
    let feet: Vec<f64> = m
        .shaped
        .solid
        .traces
        .iter()
        .map(|t| match &t.course {
            Course::Wall(legs) => legs[0].from.share,
            _ => f64::NAN,
        })
        .collect();
    for (i, f) in feet.iter().enumerate() {
        near(num::wrap(f - feet[0], 1.0), i as f64 / 4.0, 1e-9);
    }
    near(drawn(piece(&cut, "tube")), 4.0 * num::hypot(80.0, 42.5 * PI / 6.0), 0.01);
}

#[test]
fn a_hole_breaks_a_mark_and_an_edge_ends_it() {
    // A ring through the middle of a hole of 30: the tube's flat is 2π 42.5 long, and the hole is true on it.
    let (_, cut) = of(&format!(
        "{TUBE}opening o on tube {{ shape: circle(across: 30 mm), level: 50 mm }}\nmark r on tube {{ level: 50 mm }}"
    ));
    let tube = piece(&cut, "tube");
    assert_eq!(marks(tube).count(), 2, "broken once, and by the seam");
    near(drawn(tube), TAU * 42.5 - 30.0, 0.01);
    // Over an open wall's gap of 60 mm of its neutral girth nothing is drawn.
    let (m, cut) = of(
        "shell b { at 0 mm to 100 mm: circle(across: 90 mm), seam: open(gap: 60 mm) }\nmark r on b { level: 50 mm }\nlet way = r.long",
    );
    near(drawn(piece(&cut, "b")), TAU * 42.5 - 60.0, 0.01);
    near(m.value("way"), (TAU * 42.5 - 60.0) * 45.0 / 42.5, 1e-4);
    // Below a scalloped edge a ring 3 mm from the straight one is in as many pieces as there are tongues.
    let (_, cut) = of(&format!(
        "{TUBE}edge e on tube.top {{ as: scallops, count: 6, rise: 12 mm }}\nmark r on tube {{ level: 95 mm }}"
    ));
    assert_eq!(marks(piece(&cut, "tube")).count(), 7, "six tongues, one of which the seam divides");
}

#[test]
fn a_path_over_stations_and_the_seam_is_on_every_piece() {
    let (m, cut) = of(
        "shell body { at 0 mm: circle(across: 120 mm), at 90 mm: circle(across: 180 mm), at 180 mm: circle(across: 90 mm) }
         mark z on body { path: [right by 20 mm, back by 160 mm, left by 20 mm] }",
    );
    for name in ["body ring 1", "body ring 2"] {
        assert!(marks(piece(&cut, name)).count() >= 2, "{name}");
    }
    let Course::Wall(legs) = &m.shaped.solid.traces[0].course else { panic!("on a wall") };
    // Right to back (the seam is there, 0 and 1), over the knee; and from there on to the left.
    assert!(legs.len() >= 4);
    // What meets in the mitre: the audit holds both ends to one point of the outer face; here the knee's own figure. The
    // outer face's mitre of two slopes α, β lies d tan((α − β)/2) along the wall beyond the station.
    let (alpha, beta) = (num::atan2(30.0, 90.0), num::atan2(-45.0, 90.0));
    let over = legs.iter().find(|l| l.strip == 0 && l.to.z > 89.0).expect("a leg to the knee");
    let deep = 0.0;
    near(over.to.z, 90.0 + deep * num::tan(0.5 * (alpha - beta)) * num::cos(alpha), 1e-9);
    // Measured inside, the outer face stands 5 mm out.
    let (m, _) = of(
        "shell body { measured: inside, at 0 mm: circle(across: 120 mm), at 90 mm: circle(across: 180 mm), at 180 mm: circle(across: 90 mm) }
         mark z on body { path: [right by 20 mm, back by 160 mm] }",
    );
    let Course::Wall(legs) = &m.shaped.solid.traces[0].course else { panic!("on a wall") };
    near(legs[0].to.z, 90.0 + 5.0 * num::tan(0.5 * (alpha - beta)) * num::cos(alpha), 1e-9);
}

#[test]
fn on_the_inside_it_is_pricked_through_and_of_layers_the_face_s_own_has_it() {
    let (_, cut) = of("shell body { of: [foam5, foam5], at 0 mm to 80 mm: circle(across: 120 mm) }
         mark a on body { as: score, level: 30 mm }\nmark b on body { as: groove, level: 50 mm, face: inside }");
    let (inner, outer) = (piece(&cut, "body layer 1 inside"), piece(&cut, "body layer 2 outside"));
    assert!(marks(outer).all(|m| m.operation == Operation::Score) && marks(outer).count() == 1);
    assert!(marks(inner).count() > 20, "crosses");
    for m in marks(inner) {
        assert_eq!((m.operation, m.path.segs.len()), (Operation::Place, 1));
        assert!(m.path.length() < 4.0);
    }
    assert!(inner.traces[0].hidden && !outer.traces[0].hidden);
    assert!(inner.letters.iter().any(|l| l.text.contains("other face") || l.text == "M1"));
}

#[test]
fn on_plates_caps_and_panels_marks_are_straight_and_true() {
    // A plate 60 by 90 with corners of 12, 8 in: 44 by 74 with corners of 4 (an offset of a rounded rectangle).
    let (m, cut) = of(
        "plate slab { shape: rectangle(across: 60 mm by 90 mm, corner: 12 mm) }\nmark i on slab { margin: 8 mm }
         mark c on slab { level: 45 mm }\nmark v on slab { path: [-20 mm by 0 mm, 10 mm by 40 mm] }\nlet way = i.long\nlet bar = v.long",
    );
    let asked = 2.0 * (44.0 + 74.0) - 8.0 * 4.0 + TAU * 4.0;
    near(m.value("way"), asked, 1e-9);
    near(m.value("bar"), 50.0, 1e-9);
    near(drawn(piece(&cut, "slab")), asked + 60.0 + 50.0, 0.01);
    // A round cap of radius 40 inside, 12 in: 2π 28.
    let (m, cut) = of(
        "shell b { at 0 mm to 60 mm: circle(across: 90 mm) }\ncap lid on b.top { }\nmark r on lid { as: groove, margin: 12 mm }\nlet way = r.long",
    );
    near(m.value("way"), TAU * 28.0, 1e-9);
    near(drawn(piece(&cut, "lid")), TAU * 28.0, 0.01);
    // A hexagon of 160 across flats, straight up: six sides of 160 tan 30° each, at the outside face of the mitres.
    let (m, cut) = of(
        "shell l { at 0 mm to 120 mm: polygon(sides: 6, across: 160 mm), made: panels(style: mitred) }\nmark h on l { as: groove, deep: 1 mm, count: 2, ends: 30 mm }\nlet way = h.long",
    );
    near(m.value("way"), 6.0 * 160.0 * num::tan(PI / 6.0), 1e-6);
    assert_eq!(m.shaped.solid.traces.len(), 12);
    for p in &cut.pieces.pieces {
        near(drawn(p), 2.0 * 160.0 * num::tan(PI / 6.0), 0.01);
    }
}

#[test]
fn a_pair_has_its_marks_mirrored() {
    let (m, cut) = of(
        "shell b { pair: mirrored, at 0 mm: circle(across: 80 mm), at 120 mm: circle(across: 100 mm), seam: open(gap: 50 mm) }
         mark s on b { path: [left by 20 mm, front by 90 mm] }",
    );
    assert_eq!(m.shaped.solid.traces.len(), 1);
    assert_eq!(m.shaped.solid.traces[0].face, Face::Outside);
    let [left, right] = [piece(&cut, "b left"), piece(&cut, "b right")];
    let [a, b] = [left, right].map(|p| marks(p).next().unwrap().path.start().unwrap());
    let [u, v] = [left, right].map(|p| p.contour[0].path.start().unwrap());
    near(a.x - u.x, -(b.x - v.x), 2e-3);
    near(a.y - u.y, b.y - v.y, 2e-3);
}

#[test]
fn what_is_made_of_a_mark_says_it_everywhere() {
    let text = "prop p { title: \"Barrel\", of: foam8 }
shell staves { at 0 mm to 300 mm: circle(across: 240 mm) }
mark hoops on staves { as: groove, deep: 2 mm, count: 3, ends: 40 mm }
mark word on staves { path: [left by 100 mm, front by 200 mm] }
";
    let built = build(Folder::of(text));
    assert!(!built.diagnostics.has_errors(), "{}", told(&built));
    let file = |end: &str| {
        let f = built.files.iter().find(|f| f.path.ends_with(end)).unwrap_or_else(|| panic!("no {end}"));
        String::from_utf8_lossy(&f.bytes).into_owned()
    };
    for layer in ["groove", "line"] {
        assert!(file("1.dxf").lines().any(|l| l == layer), "{layer}");
    }
    assert!(file("1.svg").contains("id=\"groove\"") && file("1.svg").contains("M1, groove hoops 1: 2 mm deep"));
    assert!(file("picture.svg").contains("data-line=\"groove\"") && file("picture.svg").contains("data-line=\"line\""));
    let report: serde_json::Value = serde_json::from_str(&file("report.json")).unwrap();
    let all = report["marks"].as_array().unwrap();
    assert_eq!(all.len(), 4);
    assert_eq!((&all[0]["name"], &all[0]["sort"]), (&"hoops 1".into(), &"groove".into()));
    near(all[0]["length"].as_f64().unwrap(), TAU * 120.0, 1e-5);
    assert_eq!(report["pieces"][0]["marks"].as_array().unwrap().len(), 4);
    assert!(built.summary.contains("hoops: 3 grooves, 2 mm deep"), "{}", built.summary);
}

/// On a flat that turns by more than half a circle what lies by one side lies beyond the other one too.
#[test]
fn a_ring_of_a_wide_cone_is_found_by_both_sides() {
    for (rise, wide) in [(20.0, 200.0), (8.0, 200.0), (30.0, 180.0)] {
        crate::memory::clean(&format!(
            "prop p {{ title: \"P\", of: foam5 }}
             shell dish {{ at 0 mm: circle(across: 100 mm), at {rise} mm: circle(across: {wide} mm) }}
             mark ring on dish {{ level: {} mm }}",
            rise / 3.0
        ));
    }
}

/// A ring level with the heads of windows is cut with them there, and is drawn between them: on each side of a hexagon
/// 160 mm across, 92.4 mm, less 38 mm of a window of 50 mm with corners of 6.
#[test]
fn a_line_along_the_edge_of_a_hole_is_cut_with_it() {
    let text = "prop p { title: \"P\", of: foam6 }
        stock foam6 { as: foam, thick: 6 mm, size: 1 m by 1 m, density: 95 kg/m3 }
        shell house { at 0 mm to 220 mm: polygon(sides: 6, across: 160 mm) }
        opening windows on house { shape: rectangle(across: 50 mm by 120 mm, corner: 6 mm), count: 6 }
        mark hoop on house { level: 170 mm }";
    let built = crate::memory::clean(text);
    let all: serde_json::Value = serde_json::from_slice(&built.files.last().expect("a report").bytes).expect("JSON");
    let marks = all["pieces"].as_array().expect("pieces").iter().flat_map(|p| p["marks"].as_array().expect("marks"));
    let long: f64 = marks.filter(|m| m["name"] == "hoop").map(|m| m["length"].as_f64().expect("a length")).sum();
    assert!((long - 6.0 * (160.0 / 3f64.sqrt() - 38.0)).abs() < 0.01, "{long}");
    // A round hole that only touches a ring leaves it whole, straight and rolled.
    for made in ["rectangle(across: 160 mm by 120 mm)", "circle(across: 160 mm)"] {
        crate::memory::clean(&format!(
            "prop p {{ title: \"P\", of: foam5 }}\nshell box {{ at 0 mm to 90 mm: {made} }}
             opening eye on box {{ shape: circle(across: 20 mm), facing: left, level: 30 mm }}
             mark hoop on box {{ level: 20 mm }}\nmark other on box {{ level: 40 mm }}"
        ));
    }
}

/// Over 160 mm there is room for 161 lines a millimetre apart, and for no more: nearer they are one under a pen.
#[test]
fn lines_that_lie_nearer_than_a_millimetre_are_too_many() {
    let rings = |count: usize| {
        crate::memory::build(crate::memory::Folder::of(&format!(
            "prop p {{ title: \"P\", of: foam5 }}\nshell tube {{ at 0 mm to 220 mm: circle(across: 90 mm) }}
             mark hoops on tube {{ count: {count}, ends: 30 mm }}"
        )))
    };
    assert!(crate::memory::errors(&rings(161)).is_empty());
    let many = rings(162);
    assert_eq!(crate::memory::errors(&many), ["too-many-things"]);
    assert!(crate::memory::told(&many).contains("at most 161"), "{}", crate::memory::told(&many));
}
