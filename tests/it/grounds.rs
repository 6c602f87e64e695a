//! What attachments are fitted to beside round walls: plates, panels, what is folded, what is bent.

use crate::memory::{Folder, build, clean, errors, mock_up, told};
use crate::support::{Spoilt, checked, cut};
use tasset::develop::develop;
use tasset::diag::{Code, Diagnostics};
use tasset::fitted::Ground;
use tasset::flat::Edge;
use tasset::geom::path::Motion;
use tasset::geom::{Vec2, Vec3};
use tasset::num;
use tasset::piece::About;
use tasset::shape::shape;
use tasset::solid::{Body, EdgeName, Solid};
use tasset::verdict::Check;

const PROP: &str = "prop p { title: \"P\", of: foam6 }\n";
/// Flat, 120 by 200 mm, its lower end on the ground.
const BOARD: &str = "plate board { shape: rectangle(across: 120 mm by 200 mm) }\n";

fn shaped(text: &str) -> (Solid, Diagnostics) {
    let checked = checked(&format!("{PROP}{text}"));
    assert!(checked.errors().is_empty(), "{}", checked.told());
    let shaped = shape(&checked.design);
    (shaped.solid, shaped.diagnostics)
}

#[track_caller]
fn good(text: &str) -> Solid {
    let (solid, found) = shaped(text);
    assert!(found.is_empty(), "{found:#?}");
    solid
}

/// Where a place lies on its flat, its point and the corners of its outline.
#[track_caller]
fn place(solid: &Solid, name: &str) -> (Vec2, Vec<Vec2>) {
    let (flat, found) = develop(solid);
    assert!(!found.has_errors(), "{found:#?}");
    let place = flat.panels.iter().flat_map(|p| &p.places).find(|p| p.name == name).expect("a place");
    (place.at, place.outlines[0].segs.iter().map(|s| s.a).collect())
}

#[track_caller]
fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} for {b}");
}

#[track_caller]
fn at(p: Vec3, q: [f64; 3]) {
    assert!((p - Vec3::from(q)).length() < 1e-6, "{p} for {q:?}");
}

fn lump(solid: &Solid, name: &str) -> Vec3 {
    solid.fitted.lumps.iter().find(|l| l.name == name).expect("a lump").at[0]
}

const RING: &str = "as: ring, of: dee20, tab: webbing20";

/// A ring's bar lies at its level from the plate's lower end, in the middle of its width but for its shift; a tab of 20 mm
/// runs 25 mm down from it.
#[test]
fn a_ring_on_a_flat_plate_lies_at_its_level() {
    for (facing, way) in [("front", [1.5, 30.0]), ("left", [-30.0, 1.5]), ("back", [-1.5, -30.0])] {
        let board = BOARD.replace(" }", &format!(", facing: {facing} }}"));
        let solid = good(&format!(
            "{board}attachment eye on board {{ {RING}, level: 150 mm, shift: toward(left: 30 mm), backing: 40 mm by 60 mm }}"
        ));
        let (bar, corners) = place(&solid, "eye");
        // From the middle of the plate: 150 of 200 up, 30 to the right as seen from outside.
        near(bar.x, 30.0);
        near(bar.y, 50.0);
        let (lo, hi) = (corners.iter().copied().reduce(Vec2::min), corners.iter().copied().reduce(Vec2::max));
        assert!(
            lo.unwrap().distance(Vec2::new(20.0, 25.0)) < 1e-9 && hi.unwrap().distance(Vec2::new(40.0, 50.0)) < 1e-9
        );
        let (_, behind) = place(&solid, "eye backing");
        let middle = behind.iter().copied().sum::<Vec2>() / 4.0;
        assert!(middle.distance(Vec2::new(30.0, 50.0)) < 1e-9, "{middle}");
        // In the prop: the middle of a bar of 3 mm on the plate's outer face, which is measured.
        at(lump(&solid, "eye"), [way[0], way[1], 150.0]);
        cut(&solid);
    }
    let built = clean(&format!("{PROP}{BOARD}attachment eye on board {{ {RING}, level: 150 mm }}"));
    let report = built.files.iter().find(|f| f.path.ends_with("report.json")).expect("a report");
    let report: serde_json::Value = serde_json::from_slice(&report.bytes).unwrap();
    let said = &report["pieces"][0]["places"][0];
    near(said["level"].as_f64().unwrap(), 150.0);
    // The tab's bar stands 50 mm from the upper end.
    near(said["from"][0]["length"].as_f64().unwrap(), 50.0);
}

/// Bent to a radius, arcs grow as radii do: what lies so far to the side on the measured face, outside, lies nearer on the
/// neutral surface, and stands in the prop at the angle of its arc.
#[test]
fn on_a_bent_plate_it_lies_round_the_bend() {
    let tail = "plate tail { bent: 90 mm, shape: rectangle(across: 120 mm by 160 mm) }\n";
    let hooks = "attachment a on tail { as: hook, of: belt_hook, level: 70 mm, shift: toward(left: 20 mm) }
        attachment b on tail { as: hook, of: belt_hook, level: 110 mm, shift: toward(right: 30 mm) }";
    let solid = good(&format!("{tail}{hooks}"));
    let part = &solid.parts[0];
    let neutral = part.layers[0].neutral;
    assert!(neutral < -1.0, "the neutral surface lies within the sheet");
    let (a, b) = (place(&solid, "a").0, place(&solid, "b").0);
    near(a.x, 20.0 * (90.0 + neutral) / 90.0);
    near(a.y, -10.0);
    near(b.x, -30.0 * (90.0 + neutral) / 90.0);
    near(b.y, 30.0);
    let out = 0.5 * solid.fitted.supplies[0].thick.expect("a hook is so thick");
    let chord = 2.0 * (90.0 + out) * num::sin(25.0 / 90.0);
    let apart = lump(&solid, "a") - lump(&solid, "b");
    near(apart.truncate().length(), chord);
    near(apart.z, -40.0);
    cut(&solid);
    // A swag's ends lie by a tape on the outer face.
    let swag = good(&format!(
        "{tail}attachment s on tail {{ as: swag, of: bead10, wire: thin_wire, wide: 70 mm, sag: 20 mm, level: 120 mm }}"
    ));
    let ends = ["s left end", "s right end"].map(|n| place(&swag, n).0);
    near(ends[1].x, 35.0 * (90.0 + neutral) / 90.0);
    near(ends[0].x, -ends[1].x);
    cut(&swag);
}

/// On a plate that is bent as a cone is: along the normals each layer has the same generatrix at the same distance from its
/// own point, as the flat of a cone does.
#[test]
fn on_a_cone_s_plate_it_keeps_its_generatrix() {
    // Slope 3:4 outside: half angle with sine 0.6, and 400 mm of slant from the point at the foot.
    let cone = "shell body { at 0 mm: circle(across: 480 mm), at 160 mm: circle(across: 240 mm) }\n";
    let solid = good(&format!(
        "{cone}plate scute on body {{ facing: front, level: 80 mm, of: [foam6, foam6], shape: rectangle(across: 140 mm by 120 mm) }}
         attachment eye on scute {{ {RING}, level: 80 mm, shift: toward(left: 40 mm), backing: 30 mm by 30 mm }}"
    ));
    let part = solid.parts.iter().find(|p| p.name == "scute").expect("a scute");
    let Body::Leaf(leaf) = &part.body else { panic!("a leaf") };
    let Ground::Leaf { at } = solid.fitted.spots[0].on else { panic!("on a leaf") };
    assert!(at.distance(Vec2::new(40.0, 20.0)) < 1e-9);
    // The slant from the point to the plate's middle, on a face that lies `d` outside of the wall's: grown by d / tan.
    let slant = |d: f64| 300.0 + d * 0.8 / 0.6;
    let polar = |p: Vec2, d: f64| (p.distance(Vec2::new(0.0, slant(d))), num::atan2(p.x, slant(d) - p.y));
    let (flat, _) = develop(&solid);
    let (own, angle) = polar(at, leaf.measured);
    for panel in flat.panels.iter().filter(|p| p.part == part.id) {
        let neutral = part.layers[panel.layer].neutral;
        let place = &panel.places[0];
        let (is, turned) = polar(place.at, neutral);
        near(turned, angle);
        near(is - own, (neutral - leaf.measured) * 0.8 / 0.6);
    }
    cut(&solid);
}

/// Every one of several has its own, numbered through.
#[test]
fn every_plate_of_several_has_its_own() {
    let belt = "shell belt { at 0 mm to 90 mm: circle(across: 300 mm) }
        plate scute on belt { count: 4, shape: rectangle(across: 60 mm by 70 mm) }\n";
    let solid = good(&format!("{belt}attachment eye on scute {{ {RING}, level: 50 mm }}"));
    let names: Vec<&str> = solid.fitted.spots.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["eye 1", "eye 2", "eye 3", "eye 4"]);
    let parts: std::collections::BTreeSet<_> = solid.fitted.spots.iter().map(|s| s.part).collect();
    assert_eq!(parts.len(), 4);
    // One above the other on one.
    let tacks = good(&format!(
        "{BOARD}attachment tack on board {{ as: rivet, of: rivet8, count: 3, spread: along, ends: 40 mm }}"
    ));
    for (name, y) in [("tack 1", -60.0), ("tack 2", 0.0), ("tack 3", 60.0)] {
        near(place(&tacks, name).0.y, y);
    }
    cut(&tacks);
}

#[test]
fn what_has_no_room_on_a_plate_is_told() {
    let ring = |more: &str| format!("{BOARD}attachment eye on board {{ {RING}, {more} }}\n");
    let found = |text: &str| {
        let built = build(Folder::of(&format!("{PROP}{text}")));
        let mut codes: Vec<&str> = built.diagnostics.iter().map(|d| d.code.name()).collect();
        codes.dedup();
        (codes, told(&built))
    };
    let (codes, said) = found(&ring("level: 20 mm"));
    assert!(codes == ["no-room-there"] && said.contains("20 mm up: it passes the edge by 5 mm"), "{said}");
    let (codes, said) = found(&ring("level: 60 mm, shift: toward(right: 55 mm)"));
    assert!(codes == ["no-room-there"] && said.contains("60 mm up, 55 mm to the left of its middle"), "{said}");
    assert_eq!(found(&ring("level: 60 mm, shift: toward(right: 65 mm)")).0, ["no-room-there"]);
    assert_eq!(found(&ring("level: 210 mm")).0, ["off-the-wall"]);
    assert_eq!(found(&ring("level: 60 mm, shift: toward(front: 5 mm)")).0, ["off-the-wall"]);
    let (codes, said) = found(&ring("level: 60 mm, facing: left"));
    assert!(codes == ["not-built-yet"] && said.contains("leave `facing` out"), "{said}");
    let port = "opening port on board { shape: circle(across: 12 mm), level: 50 mm }";
    assert_eq!(found(&format!("{}{port}", ring("level: 60 mm"))).0, ["places-overlap"]);
    let other = format!("attachment other on board {{ {RING}, level: 80 mm }}");
    assert_eq!(found(&format!("{}{other}", ring("level: 60 mm"))).0, ["places-overlap"]);
    assert_eq!(found(&format!("{}{}", ring("level: 60 mm"), other.replace("80", "86"))).0, Vec::<&str>::new());
}

/// Half of a crescent's middle is open: no sheet lies there.
#[test]
fn nothing_is_fitted_where_a_plate_is_hollow() {
    let moon = "plate moon { shape: outline(points: [0 mm by 0 mm, arc(end: 0 mm by 200 mm, rise: 100 mm), arc(end: 0 mm by 0 mm, rise: -70 mm)]) }\n";
    let eye = |shift: f64| {
        format!("{moon}attachment eye on moon {{ {RING}, level: 112 mm, shift: toward(left: {shift} mm) }}")
    };
    let (_, found) = shaped(&eye(-40.0));
    assert!(found.iter().any(|d| d.code == Code::NoRoomThere), "{found:#?}");
    cut(&good(&eye(32.0)));
}

/// A sling from a plate to the shell it lies on, and the mass of all of it.
#[test]
fn straps_run_from_plate_to_shell() {
    let text = format!(
        "{PROP}shell belt {{ at 0 mm to 90 mm: circle(across: 300 mm) }}
         plate hip on belt {{ facing: left, shape: rectangle(across: 60 mm by 70 mm) }}
         attachment a on hip {{ {RING}, level: 50 mm }}
         attachment b on belt {{ {RING}, level: 50 mm, facing: right }}
         strap sling on [a, b] {{ of: webbing20, long: 600 mm }}
         hang slung on sling {{ slide: 40 mm }}"
    );
    assert!(!build(Folder::of(&text)).diagnostics.has_errors());
    let solid = good(&text[PROP.len()..]);
    let run = solid.fitted.runs.iter().find(|r| r.name == "sling").expect("a sling");
    // From the plate's outer face, 6 mm off the belt's, at 35 + 15 mm of a belt of 90 whose plate's middle is its own.
    at(run.line[0], [0.0, 156.0, 60.0]);
    at(*run.line.last().unwrap(), [0.0, -150.0, 50.0]);
    let short = build(Folder::of(&text.replace("600 mm", "300 mm")));
    assert_eq!(errors(&short), ["does-not-pass"], "{}", told(&short));
}

/// A mock-up of card marks it too, to scale.
#[test]
fn a_mock_up_marks_fittings_of_plates() {
    let text = format!("{PROP}{BOARD}attachment eye on board {{ {RING}, level: 150 mm, shift: toward(left: 30 mm) }}");
    let built = mock_up(Folder::of(&text), "1:2", None);
    assert!(!built.diagnostics.has_errors(), "{}", told(&built));
    let report = built.files.iter().find(|f| f.path.ends_with("report.json")).expect("a report");
    let report: serde_json::Value = serde_json::from_slice(&report.bytes).unwrap();
    near(report["pieces"][0]["places"][0]["level"].as_f64().unwrap(), 75.0);
}

/// Holes in plates and panels are turned and moved as those of walls and caps are.
#[test]
fn openings_of_flats_are_turned_and_moved_too() {
    let slot = "shape: rectangle(across: 40 mm by 10 mm), spin: 30 deg, shift: toward(left: 12 mm, up: 5 mm)";
    let (s, c) = (0.5, 0.75_f64.sqrt());
    let box_ = "shell box { made: panels, at 0 mm to 100 mm: rectangle(across: 120 mm by 90 mm) }\n";
    let board = good(&format!("{BOARD}opening slot on board {{ {slot} }}"));
    let crate_ = good(&format!("{box_}opening slot on box {{ facing: front, {slot} }}"));
    for (solid, middle) in [(board, Vec2::new(12.0, 5.0)), (crate_, Vec2::new(5.0, -12.0))] {
        let (outline, leaf) = match &solid.parts[0].body {
            Body::Leaf(leaf) => (leaf.holes[0].outline.clone(), true),
            Body::Plate(plate) => (plate.holes[0].outline.clone(), false),
            _ => panic!("flat"),
        };
        let (lo, hi) = outline.bounds().unwrap();
        assert!(((lo + hi) * 0.5).distance(middle) < 1e-9, "{lo} {hi}");
        let size = if leaf { hi - lo } else { Vec2::new((hi - lo).y, (hi - lo).x) };
        near(size.x, 40.0 * c + 10.0 * s);
        near(size.y, 40.0 * s + 10.0 * c);
        cut(&solid);
    }
}

/// A square lantern's body: 120 mm wide at its foot, 180 at its top, 200 tall, on the outside.
const LANTERN: &str = "shell body { made: panels, at 0 mm: rectangle(across: 120 mm by 120 mm), at 200 mm: rectangle(across: 180 mm by 180 mm) }\n";

/// How far a point of a part's flat lies from the outside line of an edge.
fn off(solid: &Solid, name: &str) -> (usize, Vec<(EdgeName, f64)>) {
    let (flat, _) = develop(solid);
    let panel = flat.panels.iter().find(|p| p.places.iter().any(|q| q.name == name)).expect("a panel");
    let at = panel.places.iter().find(|p| p.name == name).expect("a place").at;
    let line = |e: &Edge| {
        let (a, b) = (e.outside.segs[0].a, e.outside.segs[0].b);
        ((b - a).perp_dot(at - a) / (b - a).length()).abs()
    };
    (panel.part.index(), panel.edges.iter().map(|e| (e.name, line(e))).collect())
}

/// On a panel its level is that of the wall: along the panel it lies as much farther up as the panel slants, in the middle
/// between its sides, and in the prop where the pyramid's geometry has it.
#[test]
fn a_ring_on_a_panel_lies_on_its_side_of_the_pyramid() {
    let slant = (200.0_f64 * 200.0 + 30.0 * 30.0).sqrt();
    // Half the bar's 3 mm out from the outer face, which leans out: down by its slope.
    let (out, down) = (1.5 * 200.0 / slant, 1.5 * 30.0 / slant);
    for (facing, index, way) in [("front", 0, [1.0, 0.0]), ("left", 1, [0.0, 1.0]), ("back", 2, [-1.0, 0.0])] {
        let eye = |more: &str| {
            good(&format!(
                "{LANTERN}attachment eye on body {{ {RING}, level: 150 mm, facing: {facing}, backing: 30 mm by 40 mm{more} }}"
            ))
        };
        let solid = eye("");
        let (part, edges) = off(&solid, "eye");
        assert_eq!(solid.parts[part].name, format!("body panel {}", index + 1));
        let lie = |wanted: f64| edges.iter().any(|(_, mm)| (mm - wanted).abs() < 1e-6);
        assert!(lie(150.0 / 200.0 * slant) && lie(50.0 / 200.0 * slant), "{edges:?}");
        // From its sides: half of 165 mm, as they lean to the middle line.
        let lean = slant / num::hypot(slant, 30.0);
        assert_eq!(edges.iter().filter(|(_, mm)| (mm - 82.5 * lean).abs() < 1e-6).count(), 2, "{edges:?}");
        let reach = 60.0 + 150.0 * 30.0 / 200.0 + out;
        at(lump(&solid, "eye"), [way[0] * reach, way[1] * reach, 150.0 - down]);
        cut(&solid);
    }
    // Moved to the wearer's left on the front, it is nearer to that side.
    let moved = good(&format!(
        "{LANTERN}attachment eye on body {{ {RING}, level: 150 mm, facing: front, shift: toward(left: 20 mm) }}"
    ));
    near(lump(&moved, "eye").y, 20.0);
    cut(&moved);
}

/// The same of a wall that is folded from one strip: each face is as far from its foot, whatever the strip does between.
#[test]
fn a_ring_on_a_folded_wall_lies_on_its_face() {
    let slant = (200.0_f64 * 200.0 + 30.0 * 30.0).sqrt();
    let folded = LANTERN.replace("made: panels", "made: folded, seam: butt(facing: back)");
    for facing in ["front", "left", "right"] {
        let solid = good(&format!(
            "{folded}attachment eye on body {{ {RING}, level: 150 mm, facing: {facing}, backing: 30 mm by 40 mm }}"
        ));
        let Ground::Face { face, .. } = solid.fitted.spots[0].on else { panic!("on a face") };
        let (_, edges) = off(&solid, "eye");
        let on = |name: EdgeName| edges.iter().find(|e| e.0 == name).expect("an edge").1;
        near(on(EdgeName::Foot(face)), 150.0 / 200.0 * slant);
        near(on(EdgeName::Head(face)), 50.0 / 200.0 * slant);
        let (out, down) = (1.5 * 200.0 / slant, 1.5 * 30.0 / slant);
        let is = lump(&solid, "eye");
        near(is.truncate().length(), 82.5 + out);
        near(is.z, 150.0 - down);
        cut(&solid);
    }
}

/// Several round it, and on its caps; a swag lies beside itself on its panel.
#[test]
fn panels_and_their_caps_take_several() {
    let text = format!(
        "{LANTERN}cap roof on body.top {{ fit: flush }}
         cap floor on body.bottom {{ fit: inset, sunk: 4 mm }}
         supply disc {{ as: magnet, across: 8 mm, thick: 2 mm, mass: 1 g }}
         attachment tack on body {{ as: rivet, of: rivet8, level: 30 mm, count: 12 }}
         attachment crown on roof {{ {RING}, backing: 40 mm by 40 mm }}
         attachment feet on floor {{ as: magnet, of: disc, count: 4, margin: 15 mm }}
         attachment beads on body {{ as: swag, of: bead10, wire: thin_wire, wide: 70 mm, sag: 20 mm, level: 120 mm }}
         attachment side on body {{ {RING}, level: 150 mm, facing: left }}
         strap sling on [crown, side] {{ of: webbing20, long: 600 mm }}"
    );
    let solid = good(&text);
    // Three to a side of 129 mm at that level: a twelfth of the girth apart, which is a third of a side.
    let lumps = &solid.fitted.lumps.iter().find(|l| l.name == "tack").expect("tacks").at;
    let wide = 120.0 + 60.0 * 30.0 / 200.0;
    assert_eq!(lumps.len(), 12);
    for pair in [(0, 1), (3, 4), (6, 7)] {
        near((lumps[pair.0] - lumps[pair.1]).length(), wide / 3.0);
    }
    let ends = ["beads left end", "beads right end"].map(|n| place(&solid, n).0);
    near(ends[0].distance(ends[1]), 70.0);
    near(ends[0].y, ends[1].y);
    // Square to the roof in its middle, 6 mm thick.
    at(lump(&solid, "crown"), [0.0, 0.0, 207.5]);
    let made = cut(&solid);
    let feet = made.pieces.pieces.iter().find(|p| p.name == "floor").expect("a floor");
    assert_eq!(feet.places.len(), 4);
    // As the key says it.
    let built = clean(&format!("{PROP}{LANTERN}attachment side on body {{ {RING}, level: 150 mm, facing: left }}"));
    let report = built.files.iter().find(|f| f.path.ends_with("report.json")).expect("a report");
    let report: serde_json::Value = serde_json::from_slice(&report.bytes).unwrap();
    let panel = report["pieces"].as_array().unwrap().iter().find(|p| p["name"] == "body panel 2").unwrap();
    let from = &panel["places"][0]["from"][0];
    assert!(from["edge"].as_str().unwrap().starts_with("side "), "{from}");
    near((from["length"].as_f64().unwrap() * 10.0).round() / 10.0, 50.6);
}

#[test]
fn what_has_no_room_on_a_side_is_told() {
    let codes = |text: &str| {
        let built = build(Folder::of(&format!("{PROP}{text}")));
        let mut codes: Vec<&str> = built.diagnostics.iter().map(|d| d.code.name()).collect();
        codes.dedup();
        (codes, told(&built))
    };
    for made in ["made: panels", "made: folded, seam: butt(facing: back)"] {
        let body = LANTERN.replace("made: panels", made);
        let (found, said) = codes(&format!("{body}attachment eye on body {{ {RING}, level: 20 mm, facing: left }}"));
        assert_eq!(found, ["no-room-there"], "{said}");
        let aside =
            "attachment eye on body { as: ring, of: dee20, tab: webbing20, level: 150 mm, shift: toward(left: 78 mm) }";
        let (found, said) = codes(&format!("{body}{aside}"));
        assert!(found == ["no-room-there"] && (made != "made: panels") == said.contains("passes the fold"), "{said}");
        let (found, said) =
            codes(&format!("{body}attachment tack on body {{ as: rivet, of: rivet8, level: 30 mm, count: 8 }}"));
        assert!(found == ["on-a-corner"] && said.contains("another `count`"), "{said}");
        let port = "opening port on body { shape: circle(across: 30 mm), level: 140 mm, facing: left }";
        let over = format!("{body}{port}\nattachment eye on body {{ {RING}, level: 150 mm, facing: left }}");
        assert_eq!(codes(&over).0, ["places-overlap"]);
    }
}

/// On a bent shell levels go along its centre line, and directions go with it.
#[test]
fn a_ring_on_a_bent_shell_lies_along_its_centre_line() {
    // Two straight tubes, each as long as the bend's tangents are, 100 tan 45° and what is straight; joined at a right angle.
    let horn = "shell horn { at bottom to top: circle(across: 60 mm)
        spine: [straight(long: 100 mm), bend(angle: 90 deg, radius: 100 mm, facing: left, joints: 1), straight(long: 100 mm)], rim: level }\n";
    let solid = good(&format!(
        "{horn}attachment low on horn {{ {RING}, level: 80 mm, facing: front, backing: 24 mm by 24 mm }}
         attachment high on horn {{ {RING}, level: top - 40 mm, facing: front }}
         attachment under on horn {{ {RING}, level: top - 40 mm, facing: right }}
         strap sling on [low, high] {{ of: webbing20, long: 600 mm }}"
    ));
    at(lump(&solid, "low"), [31.5, 0.0, 80.0]);
    // The second tube runs left at a height of 200; what faced right before the bend looks up behind it.
    at(lump(&solid, "high"), [31.5, 160.0, 200.0]);
    at(lump(&solid, "under"), [0.0, 160.0, 231.5]);
    cut(&solid);
    let far = build(Folder::of(&format!("{PROP}{horn}attachment eye on horn {{ {RING}, level: 401 mm }}")));
    assert_eq!(errors(&far), ["off-the-wall"], "{}", told(&far));
    let step = build(Folder::of(&format!("{PROP}{horn}attachment eye on horn {{ {RING}, level: 205 mm }}")));
    assert_eq!(errors(&step), ["no-room-there"], "{}", told(&step));
    let keel = format!(
        "{PROP}shell wall {{ at 0 mm to 200 mm: circle(across: 120 mm), rim: level }}
        keel ridge on wall {{ facing: front, wide: 40 mm, rise: 25 mm }}
        attachment eye on ridge {{ {RING}, level: 100 mm }}"
    );
    let keel = build(Folder::of(&keel));
    assert!(told(&keel).contains("fix it to the wall that the keel stands on"), "{}", told(&keel));
}

/// A place that lies elsewhere than the solid has it, is missing, or is called otherwise is told by the audit.
#[test]
fn places_on_flats_that_are_moved_or_left_out_are_told() {
    let body = |made: &str| {
        format!(
            "{}attachment eye on body {{ {RING}, level: 150 mm, facing: left, backing: 30 mm by 40 mm }}",
            LANTERN.replace("made: panels", made)
        )
    };
    let board = format!("{BOARD}attachment eye on board {{ {RING}, level: 150 mm, backing: 30 mm by 40 mm }}");
    let roof = format!(
        "{LANTERN}cap roof on body.top {{ fit: flush }}\nattachment eye on roof {{ {RING}, backing: 30 mm by 40 mm }}"
    );
    for text in [board, body("made: panels"), body("made: folded, seam: butt(facing: back)"), roof] {
        let made = Spoilt::of(&format!("{PROP}{text}"));
        assert!(made.judged().passed());
        let on = |spoil: &dyn Fn(&mut Spoilt, usize), check: Check| {
            let mut bad = made.clone();
            let i = bad.pieces.pieces.iter().position(|p| !p.places.is_empty()).expect("a piece with places");
            spoil(&mut bad, i);
            bad.fails(check, "eye");
        };
        let moved = |hidden: bool| {
            move |bad: &mut Spoilt, i: usize| {
                let piece = &mut bad.pieces.pieces[i];
                let spot = piece.places.iter().find(|p| p.hidden == hidden).expect("a place").spot;
                for mark in piece.marks.iter_mut().filter(|m| m.about == About::Place(spot)) {
                    mark.path = mark.path.moved(&Motion { shift: Vec2::new(0.3, 0.1), ..Motion::STAY });
                }
            }
        };
        on(&moved(false), Check::Landing);
        on(&moved(true), Check::Landing);
        on(&|bad, i| bad.pieces.pieces[i].marks.retain(|m| !matches!(m.about, About::Place(_))), Check::Coverage);
        on(&|bad, i| bad.pieces.pieces[i].places[0].name.push('x'), Check::Coverage);
        on(&|bad, i| bad.pieces.pieces[i].places[0].from[0].1 += 0.3, Check::Claim);
        // Laid flat from a solid in which it lies a little elsewhere.
        let mut other = made.solid.clone();
        for spot in &mut other.fitted.spots {
            match &mut spot.on {
                Ground::Plate { centre } | Ground::Face { centre, .. } => centre.y += 0.2,
                Ground::Leaf { at } => at.x += 0.2,
                Ground::Wall { .. } => {}
            }
        }
        let other = Spoilt::cut(other);
        Spoilt { solid: made.solid.clone(), ..other }.fails(Check::Landing, "eye");
    }
}

/// Along a plate's edge: round a disc they stand on a circle, the first at its top, evenly, each with its up outward; holes
/// too. On a rectangle they lie on the one that is drawn in.
#[test]
fn rows_go_round_the_edge_of_a_plate() {
    let disc = "plate disc { shape: circle(across: 200 mm) }\n";
    let solid = good(&format!(
        "{disc}attachment tack on disc {{ as: rivet, of: rivet8, margin: 15 mm, count: 5 }}
         attachment eye on disc {{ {RING}, margin: 40 mm, count: 3 }}
         opening sew on disc {{ shape: circle(across: 2 mm), margin: 8 mm, every: 60 mm }}"
    ));
    let on =
        |radius: f64, part: f64| Vec2::from_angle(std::f64::consts::FRAC_PI_2 + std::f64::consts::TAU * part) * radius;
    for i in 0..5 {
        let is = place(&solid, &format!("tack {}", i + 1)).0;
        assert!(is.distance(on(85.0, f64::from(i) / 5.0)) < 1e-6, "{is}");
    }
    for i in 0..3 {
        // Its tab runs in from the bar: 25 mm.
        let (bar, corners) = place(&solid, &format!("eye {}", i + 1));
        assert!(bar.distance(on(60.0, f64::from(i) / 3.0)) < 1e-6);
        let inner = corners.iter().map(|p| p.dot(on(1.0, f64::from(i) / 3.0))).fold(f64::INFINITY, f64::min);
        near(inner, 35.0);
    }
    let Body::Leaf(leaf) = &solid.parts[0].body else { panic!("a leaf") };
    // 2π 92 over 60 is 9.6.
    assert_eq!(leaf.holes.len(), 10);
    cut(&solid);
    let board =
        good(&format!("{BOARD}attachment tack on board {{ as: rivet, of: rivet8, margin: 20 mm, every: 40 mm }}"));
    // Round 80 by 160: 480, twelve; the first at the top, then a corner.
    let all: Vec<Vec2> = (1..=12).map(|i| place(&board, &format!("tack {i}")).0).collect();
    for (i, p) in [(0, [0.0, 80.0]), (1, [-40.0, 80.0]), (3, [-40.0, 0.0]), (6, [0.0, -80.0]), (11, [40.0, 80.0])] {
        assert!(all[i].distance(Vec2::from(p)) < 1e-6, "{i}: {all:?}");
    }
    cut(&board);
    let codes = |more: &str| {
        let built =
            build(Folder::of(&format!("{PROP}{BOARD}attachment tack on board {{ as: rivet, of: rivet8, {more} }}")));
        errors(&built).join(" ")
    };
    assert_eq!(codes("count: 4"), "needs-level");
    assert_eq!(codes("count: 4, margin: 10 mm, level: 30 mm"), "needs-level");
    assert_eq!(codes("count: 4, margin: 65 mm"), "off-the-wall");
    assert_eq!(codes("count: 2000, margin: 10 mm"), "too-many-things");
    // Of several plates all together are counted.
    let belt = "shell belt { at 0 mm to 90 mm: circle(across: 900 mm) }
        plate scute on belt { count: 40, shape: rectangle(across: 50 mm by 70 mm) }\n";
    let many = format!("{PROP}{belt}attachment tack on scute {{ as: rivet, of: rivet8, margin: 10 mm, count: 30 }}");
    let many = build(Folder::of(&many));
    assert_eq!(errors(&many), ["too-many-things"], "{}", told(&many));
}
