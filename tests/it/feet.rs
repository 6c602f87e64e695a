//! Feet of shells that stand on something: glue tabs of a mock-up on an edge and on a cap, and flanges, against closed forms
//! of tubes and cones, worked beside each.

use crate::memory::{Folder, build, errors, mock_up, told};
use crate::mockup::solid;
use crate::support::{Spoilt, cut};
use tasset::flat::{self, Flat};
use tasset::geom::Vec3;
use tasset::num::{TAU, acos, hypot};
use tasset::solid::{EdgeName, Onto, Solid};
use tasset::verdict::Check;

fn mocked(things: &str) -> Solid {
    solid(&format!("prop it {{ title: \"It\", of: foam5 }}\n{things}"), "1:1", "card")
}

/// The turn over an edge of a part, as it lies on the flat.
#[track_caller]
fn turn<'a>(solid: &Solid, flat: &'a Flat, part: &str, edge: EdgeName) -> &'a flat::Turn {
    let part = solid.parts.iter().find(|p| p.name == part).unwrap();
    let panel = flat.panels.iter().find(|p| p.part == part.id).unwrap();
    panel.edges.iter().find(|e| e.name == edge).unwrap().turn.as_ref().expect("it has tabs")
}

/// What the cuts of a turn carry away at its free edge, with both halves of the one at the seam.
fn carried(turn: &flat::Turn) -> f64 {
    turn.cuts.iter().flat_map(|c| c.mouth).sum::<f64>()
        + turn.ends.iter().filter_map(|e| e.last()).map(|p| p.x).sum::<f64>()
}

#[track_caller]
fn near(is: f64, asked: f64, by: f64) {
    assert!((is - asked).abs() <= by, "{is} for {asked}");
}

#[track_caller]
fn onto(solid: &Solid, part: &str, edge: EdgeName) -> Option<Onto> {
    let part = solid.parts.iter().find(|p| p.name == part).unwrap();
    solid.turns.iter().find(|t| t.at.part == part.id && t.at.edge == edge).map(|t| t.onto)
}

#[test]
fn tabs_of_a_foot_on_a_cap_lose_outside_less_turned_girth() {
    // Own figure RC1 (CHECKS 8): what is turned in has outside less inside girth too much. Laid inward on the cap, a tube's
    // middle line of 2π(15 − 0.2) comes to 2π(15 − 0.2 − 10) at the tabs' free edge, whatever the number of cuts: 2π · 10.
    for spin in ["0 deg", "70 deg"] {
        let m = mocked(&format!(
            "shell a {{ at 0 mm to 100 mm: circle(across: 100 mm) }}
            cap roof on a.top {{ fit: flush }}
            shell knob on roof {{ at 0 mm to 40 mm: circle(across: 30 mm), level: 12 mm, facing: left, spin: {spin} }}"
        ));
        let made = cut(&m);
        let turn = turn(&m, &made.flat, "knob", EdgeName::Lower);
        assert_eq!((turn.onto, turn.wide), ("inward, on what it stands on", 10.0));
        near(carried(turn), TAU * 10.0, 1e-3);
        // No tab keeps more than a millimetre where the Vs begin, 2 mm from the fold: 0.95 of one is planned for.
        assert_eq!(turn.cuts.len() + 1, (TAU * 2.0 / 0.95f64).ceil() as usize);
        let knob = made.pieces.pieces.iter().find(|p| p.name == "knob").unwrap();
        let bottom = knob.edges.iter().find(|e| e.edge == EdgeName::Lower).unwrap();
        assert!(bottom.bevel.contains("glue tabs 10 mm inward, on what it stands on, glue on the outside face"));
    }
}

#[test]
fn a_foot_too_narrow_for_tabs_inward_has_them_outward() {
    // Laid outward the free edge is 2π · 10 longer than the sheet: slits that open, and nothing is carried away. Each tab is
    // folded along a chord of 12 − 0.2, which stands off it by 0.95 of half a millimetre at most.
    let m = mocked(
        "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }
        cap roof on a.top { fit: flush }
        shell knob on roof { at 0 mm to 40 mm: circle(across: 24 mm) }
        opening way on roof { shape: circle(across: 14 mm) }",
    );
    let made = cut(&m);
    let turn = turn(&m, &made.flat, "knob", EdgeName::Lower);
    assert_eq!(turn.onto, "outward, on what it stands on");
    near(carried(turn), 0.0, 1e-12);
    assert_eq!(turn.cuts.len() + 1, (0.5 * TAU / acos(1.0 - 0.475 / 11.8)).ceil() as usize);
}

#[test]
fn tabs_of_a_foot_with_bends_lie_outward_where_the_tightest_leaves_no_room_inward() {
    // An ellipse 26 by 18 bends at its ends by 9²/13 = 6.2 at the outside, 6.0 at its middle line: inward 2.5 less would be
    // left; outward slits open. Rounded by 9 a rectangle's corners leave 6.3 inward.
    for section in ["oval(across: 26 mm by 18 mm)", "rectangle(across: 40 mm by 30 mm, corner: 9 mm)"] {
        let m = mocked(&format!(
            "shell a {{ at 0 mm to 100 mm: circle(across: 100 mm) }}
            cap roof on a.top {{ fit: flush }}
            shell knob on roof {{ at 0 mm to 40 mm: {section}, spin: 30 deg, of: foam2 }}"
        ));
        let made = cut(&m);
        let turn = turn(&m, &made.flat, "knob", EdgeName::Lower);
        assert_eq!(turn.onto, "outward, on what it stands on", "{section}");
        near(turn.wide, 10.0, 1e-9);
    }
    // Near the cap's edge they stay within: 30 less 24.1 less 1 outside.
    let m = mocked(
        "shell a { at 0 mm to 100 mm: circle(across: 60 mm) }
        cap roof on a.top { fit: flush }
        shell knob on roof { at 0 mm to 40 mm: rectangle(across: 44 mm by 34 mm, corner: 9 mm), of: foam2 }",
    );
    let made = cut(&m);
    let turn = turn(&m, &made.flat, "knob", EdgeName::Lower);
    assert_eq!(turn.onto, "inward, on what it stands on");
    near(turn.wide, 9.0 - 0.2 - 2.5, 0.1);
}

#[test]
fn tabs_of_a_foot_on_a_cap_keep_clear_of_what_is_cut_out_or_stands_there() {
    let on = |more: &str| {
        let m = mocked(&format!(
            "shell a {{ at 0 mm to 100 mm: circle(across: 120 mm) }}
            cap roof on a.top {{ fit: flush }}
            shell knob on roof {{ at 0 mm to 40 mm: circle(across: 60 mm) }}\n{more}"
        ));
        cut(&m);
        let part = m.parts.iter().find(|p| p.name == "knob").unwrap().id;
        let turn = m.turns.iter().find(|t| t.at.part == part && t.at.edge == EdgeName::Lower).unwrap();
        let roof = m.parts.iter().find(|p| p.name == "roof").unwrap().id;
        match turn.onto {
            Onto::Ground { outward, on } if on == Some(roof) => (outward, turn.wide),
            other => panic!("{other:?}"),
        }
    };
    let (inward, outward) = (false, true);
    assert_eq!(on(""), (inward, 10.0));
    // From the middle line at 29.8 to a hole 36 across: 11.8 less 1.
    assert_eq!(on("opening way on roof { shape: circle(across: 36 mm) }"), (inward, 10.0));
    // To one 44 across 7.8 less 1 are left inside; outside there is room.
    assert_eq!(on("opening way on roof { shape: circle(across: 44 mm) }"), (outward, 10.0));
    // Another foot 74 across round it, whose own face is drawn there: 37 − 29.8 − 1 outside, 6.9 inside, rounded down.
    let both = "opening way on roof { shape: circle(across: 43.8 mm) }
        shell ring on roof { at 0 mm to 30 mm: circle(across: 74 mm) }";
    assert_eq!(on(both), (inward, 6.8));
}

/// Outer girths meet at 100 across on an edge `a.top` or `a.bottom`; `slope` is how much `b` widens over 60.
fn on_edge(host: &str, b: &str, more: &str) -> Solid {
    mocked(&format!("shell a {{ {host} }}\nshell b on {b} }}\n{more}"))
}

#[test]
fn tabs_of_a_foot_on_an_edge_lie_on_the_wall_below() {
    // Card of 0.4, measured outside: the middle of the foot's own sheet runs at 0.2 sec α within 50 and grows by sin α a
    // millimetre of the flat below it; glued behind a wall of slope β it runs at 0.6 sec β within 50, over the distance
    // between both straight on, and then grows by sin β. Cuts carry away 2π times the difference at 10 mm.
    let sine = |rise: f64, tall: f64| rise / hypot(rise, tall);
    let secant = |rise: f64, tall: f64| hypot(rise, tall) / tall;
    for (host, below) in [
        ("at 0 mm to 120 mm: circle(across: 100 mm)", 0.0),
        ("at 0 mm: circle(across: 60 mm), at 120 mm: circle(across: 100 mm)", -20.0),
        ("at 0 mm: circle(across: 110 mm), at 120 mm: circle(across: 100 mm)", 5.0),
    ] {
        for spin in ["0 deg", "40 deg", "300 deg"] {
            let b = format!("a.top {{ at 0 mm: circle(across: 100 mm), at 60 mm: circle(across: 70 mm), spin: {spin}");
            let m = on_edge(host, &b, "");
            let made = cut(&m);
            let turn = turn(&m, &made.flat, "b", EdgeName::Lower);
            assert_eq!((turn.onto, turn.wide), ("behind the wall it meets", 10.0));
            let own = 50.0 - 0.2 * secant(15.0, 60.0);
            let there = 50.0 - 0.6 * secant(below, 120.0);
            let lies = there + (10.0 - (own - there).abs()) * sine(below, 120.0);
            near(carried(turn), TAU * (own + 10.0 * sine(15.0, 60.0) - lies), 2e-3);
        }
    }
}

#[test]
fn tabs_lie_on_either_side_of_an_edge_on_walls_of_any_form() {
    // Upside down on a bottom edge; ovals and rounded corners; of a pair; each turned about; with laps and tabs of their own.
    for (host, b) in [
        (
            "at 0 mm to 120 mm: circle(across: 100 mm)",
            "a.bottom { at 0 mm: circle(across: 100 mm), at 40 mm: circle(across: 130 mm), spin: 25 deg",
        ),
        (
            "at 0 mm: circle(across: 90 mm), at 120 mm: oval(across: 110 mm by 80 mm)",
            "a.top { at 0 mm: oval(across: 110 mm by 80 mm), at 50 mm: circle(across: 70 mm)",
        ),
        (
            "pair: mirrored, at 0 mm to 120 mm: oval(across: 110 mm by 80 mm)",
            "a.bottom { at 0 mm to 40 mm: oval(across: 110 mm by 80 mm), spin: 180 deg, seam: lap(overlap: 12 mm)",
        ),
        (
            "at 0 mm to 80 mm: rectangle(across: 110 mm by 80 mm, corner: 14 mm), seam: butt(facing: left)",
            "a.top { at 0 mm: rectangle(across: 110 mm by 80 mm, corner: 14 mm), at 50 mm: rectangle(across: 80 mm by 60 mm, corner: 10 mm)",
        ),
        (
            "at 0 mm to 80 mm: circle(across: 100 mm), rim: square, seam: tabs(wide: 8 mm)",
            "a.top { at 0 mm: circle(across: 100 mm), at 40 mm: circle(across: 80 mm), rim: square, spin: 90 deg",
        ),
    ] {
        let m = on_edge(host, b, "");
        let made = cut(&m);
        assert_eq!(turn(&m, &made.flat, "b", EdgeName::Lower).onto, "behind the wall it meets", "{b}");
    }
}

#[test]
fn where_a_cap_fills_the_bore_tabs_go_up_or_on_it() {
    let tube = "at 0 mm to 120 mm: circle(across: 100 mm)";
    let lid = "cap lid on a.top { fit: inset }";
    // The wall's own tabs go up behind the foot.
    let m =
        on_edge(tube, "a.top { at 0 mm: circle(across: 100 mm), at 60 mm: circle(across: 70 mm), spin: 50 deg", lid);
    cut(&m);
    assert_eq!(onto(&m, "b", EdgeName::Lower), None);
    assert!(matches!(onto(&m, "a", EdgeName::Upper), Some(Onto::Beyond { .. })));
    // Of a foot too short for that, tabs lie on the lid, which is level with the edge.
    let m = on_edge(tube, "a.top { at 0 mm: circle(across: 100 mm), at 6 mm: circle(across: 90 mm)", lid);
    cut(&m);
    assert!(matches!(onto(&m, "b", EdgeName::Lower), Some(Onto::Ground { outward: false, .. })));
    // A lid deep enough leaves room below the edge: 0.8 of 15 mm.
    let m = on_edge(
        tube,
        "a.top { at 0 mm: circle(across: 100 mm), at 6 mm: circle(across: 90 mm)",
        "cap lid on a.top { fit: inset, sunk: 15 mm }",
    );
    cut(&m);
    assert!(matches!(onto(&m, "b", EdgeName::Lower), Some(Onto::Beyond { .. })));
}

#[test]
fn tabs_that_would_not_lie_on_their_face_are_caught() {
    let edge = "shell a { at 0 mm to 120 mm: circle(across: 100 mm) }
        shell b on a.top { at 0 mm: circle(across: 100 mm), at 60 mm: circle(across: 70 mm) }";
    let cap = "shell a { at 0 mm to 100 mm: circle(across: 100 mm) }
        cap roof on a.top { fit: flush }
        shell knob on roof { at 0 mm to 40 mm: circle(across: 60 mm), level: 10 mm }";
    let spoilt = |text: &str, spoil: fn(&mut Solid)| {
        let mut m = mocked(text);
        spoil(&mut m);
        Spoilt::cut(m)
    };
    spoilt(edge, |s| {
        for t in &mut s.turns {
            if let Onto::Beyond { far, .. } = &mut t.onto {
                *far += 0.2;
            }
        }
    })
    .fails(Check::Turn, "lower edge, folded over");
    spoilt(edge, |s| s.turns.iter_mut().filter(|t| matches!(t.onto, Onto::Beyond { .. })).for_each(|t| t.wide = 130.0))
        .fails(Check::Turn, "past the wall it meets");
    // Outward these would hang over the cap's edge; a cap moved away holds none.
    spoilt(cap, |s| {
        for t in &mut s.turns {
            if let Onto::Ground { outward, .. } = &mut t.onto {
                *outward = true;
                t.wide = 14.0;
            }
        }
    })
    .fails(Check::Turn, "lower edge, folded over");
    spoilt(cap, |s| {
        let knob = s.parts.iter().position(|p| p.name == "knob").unwrap();
        s.parts[knob].place.origin.z += 1.0;
    })
    .fails(Check::Turn, "lower edge, folded over");
}

#[test]
fn what_has_no_room_is_told_with_what_to_do() {
    // Of 5.8 a hole of 4 leaves 0.8 inside; of a cap of 9 the foot leaves 2.2 outside.
    let text = "prop it { title: \"It\", of: foam2 }
        shell a { at 0 mm to 100 mm: circle(across: 18 mm) }
        cap roof on a.top { fit: flush }
        shell pin on roof { at 0 mm to 40 mm: circle(across: 12 mm) }
        opening eye on roof { shape: circle(across: 8 mm) }";
    let built = mock_up(Folder::of(text), "1:1", None);
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    let words = told(&built);
    assert!(words.contains("the mock-up of pin has no glue tabs at its foot"), "{words}");
    assert!(words.contains("glue it by its edge along the line that is drawn for it"), "{words}");
}

#[test]
fn tabs_that_cannot_be_cut_are_narrower_or_left_off_and_all_else_is_made() {
    // The flatter the lip, the more its tabs lack behind the wall: they are slit no closer than 3 mm.
    let text = |tall: f64| {
        format!(
            "prop it {{ title: \"It\", of: foam2 }}
            shell a {{ at 0 mm: circle(across: 110 mm), at 66 mm: circle(across: 46 mm) }}
            shell b on a.top {{ at 0 mm: circle(across: 46 mm), at {tall} mm: circle(across: 90 mm) }}"
        )
    };
    let mut last = f64::INFINITY;
    for tall in [40.0, 20.0, 14.0, 12.0] {
        let m = mocked(&text(tall).replace("prop it { title: \"It\", of: foam2 }", ""));
        let made = cut(&m);
        let turn = turn(&m, &made.flat, "b", EdgeName::Lower);
        let girth = TAU * 23.0;
        assert!(girth / (turn.cuts.len() + 1) as f64 > 2.9, "{tall}: {} cuts", turn.cuts.len());
        assert!(turn.wide < last && turn.wide >= 5.0, "{tall}: {}", turn.wide);
        last = turn.wide;
    }
    // Laid flat this one comes nearly all the way round, and has no room for tabs at its foot at first.
    let built = mock_up(Folder::of(&text(9.0)), "1:1", None);
    assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
}

/// A prop whose `knob` stands on a cap.
fn on_cap(knob: &str) -> String {
    format!(
        "prop it {{ title: \"It\", of: foam5 }}
        shell a {{ at 0 mm to 100 mm: circle(across: 140 mm) }}
        cap roof on a.top {{ fit: flush }}
        shell knob on roof {{ {knob} }}"
    )
}

#[test]
fn a_flange_is_a_ring_round_the_foot() {
    // Foam of 5, measured outside. An upright tube 60 across stands in a hole of 30; one that widens by 20 over 60 comes
    // through from below, so its hole is what it is 5 mm up: 30 + 5/3. One that narrows fills it at the foot.
    for (at, hole) in [
        ("at 0 mm to 40 mm: circle(across: 60 mm)", 30.0),
        ("at 0 mm: circle(across: 60 mm), at 60 mm: circle(across: 100 mm)", 30.0 + 5.0 / 3.0),
        ("at 0 mm: circle(across: 60 mm), at 60 mm: circle(across: 40 mm)", 30.0),
    ] {
        let made =
            Spoilt::of(&on_cap(&format!("{at}, foot: flange(wide: 15 mm), spin: 50 deg, level: 8 mm, facing: left")));
        assert!(made.judged().passed(), "{:#?}", made.judged().breaches);
        let flange = made.pieces.pieces.iter().find(|p| p.name == "knob flange").unwrap();
        let rim: f64 = flange.contour.iter().map(|r| r.path.length()).sum();
        near(rim, TAU * (hole + 15.0), 0.01);
        near(flange.holes[0].outline.length(), TAU * hole, 0.01);
        near(flange.area, 0.5 * TAU * ((hole + 15.0) * (hole + 15.0) - hole * hole), 0.5);
        // Where it goes is drawn on the cap.
        let spot = &made.solid.fitted.spots[0];
        near(spot.outline.area(), 0.5 * TAU * (hole + 15.0) * (hole + 15.0), 0.1);
    }
}

#[test]
fn a_flange_of_any_foot_lies_as_the_foot_does() {
    // An ellipse's flange reaches 12 further on every side; turned by a right angle its sides change places on the cap.
    let size = |spin: &str| {
        let text =
            on_cap(&format!("at 0 mm to 40 mm: oval(across: 70 mm by 40 mm), foot: flange(wide: 12 mm), spin: {spin}"));
        let made = Spoilt::of(&text);
        assert!(made.judged().passed(), "{:#?}", made.judged().breaches);
        let (low, high) = made.solid.fitted.spots[0].outline.bounds().unwrap();
        high - low
    };
    for (spin, across, up) in [("0 deg", 94.0, 64.0), ("90 deg", 64.0, 94.0), ("180 deg", 94.0, 64.0)] {
        near(size(spin).x, across, 0.01);
        near(size(spin).y, up, 0.01);
    }
    // Layers, corners, and a pair below.
    let text = "prop it { title: \"It\", of: foam5 }
        shell a { pair: mirrored, at 0 mm to 100 mm: circle(across: 140 mm) }
        cap base on a.bottom { fit: inset }
        shell leg on base {
            of: [foam5, foam2], at 0 mm to 30 mm: rectangle(across: 50 mm by 40 mm, corner: 15 mm)
            foot: flange(wide: 8 mm), shift: toward(left: 10 mm), spin: 20 deg
        }";
    let made = Spoilt::of(text);
    assert!(made.judged().passed(), "{:#?}", made.judged().breaches);
    let collars = made.pieces.pieces.iter().filter(|p| p.name.starts_with("leg flange"));
    assert_eq!(collars.count(), 4);
}

#[test]
fn a_flange_is_in_every_output_and_glued() {
    let text = on_cap("at 0 mm to 40 mm: circle(across: 60 mm), foot: flange(wide: 15 mm)");
    let report = |text: &str| {
        let built = build(Folder::of(text));
        assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
        let file = built.files.iter().find(|f| f.path.ends_with("report.json")).unwrap();
        serde_json::from_slice::<serde_json::Value>(&file.bytes).unwrap()
    };
    let with = report(&text);
    let part = with["parts"].as_array().unwrap().iter().find(|p| p["name"] == "knob flange").unwrap().clone();
    near(part["place"]["at"][2].as_f64().unwrap(), 105.0, 1e-6);
    assert!(with["pieces"].as_array().unwrap().iter().any(|p| p["name"] == "knob flange"));
    // A mock-up has it too, and the foot's own tabs.
    let mock = mock_up(Folder::of(&text), "1:2", None);
    assert_eq!(errors(&mock), Vec::<&str>::new(), "{}", told(&mock));
    // Coated are both faces below it and both of the hole's edge: 2 · (π(45² − 30²) + 2π · 30 · 5), at 1 m² a litre.
    let need = |knob: &str| {
        let r = report(&format!(
            "{}
supply gum {{ as: adhesive, covers: 1 m2/l }}",
            on_cap(knob)
        ));
        let lines = r["shopping"]["lines"].as_array().unwrap().clone();
        lines.iter().find(|l| l["goods"] == "gum").unwrap()["need"].as_f64().unwrap()
    };
    let tube = "at 0 mm to 40 mm: circle(across: 60 mm)";
    let more = need(&format!("{tube}, foot: flange(wide: 15 mm)")) - need(tube);
    near(more, 2.0 * (0.5 * TAU * (45.0 * 45.0 - 30.0 * 30.0) + TAU * 30.0 * 5.0) / 1000.0, 2e-3);
}

#[test]
fn a_flange_that_fits_another_foot_is_caught() {
    use tasset::solid::{Body, Leaf};
    let text = on_cap("at 0 mm to 40 mm: oval(across: 70 mm by 50 mm), foot: flange(wide: 15 mm)");
    let spoilt = |spoil: fn(&mut Leaf)| {
        let made = Spoilt::of(&text);
        let mut solid = made.solid;
        for part in &mut solid.parts {
            if let Body::Leaf(leaf) = &mut part.body {
                spoil(leaf);
            }
        }
        Spoilt::cut(solid)
    };
    spoilt(|leaf| leaf.holes[0].outline = leaf.holes[0].outline.scaled(1.01))
        .fails(Check::Claim, "hole on the outer skin");
    spoilt(|leaf| leaf.outline = leaf.outline.scaled(0.99)).fails(Check::Claim, "flange of knob flange, width");
    let made = Spoilt::of(&text);
    for (way, says) in [(Vec3::Z, "level with the foot"), (Vec3::X, "hole on the outer skin")] {
        let mut one = made.clone();
        one.solid.parts.iter_mut().filter(|p| p.name == "knob flange").for_each(|p| p.place.origin += way * 0.3);
        one.fails(Check::Claim, says);
    }
}

#[test]
fn a_flange_counts_with_its_shell_and_lies_with_its_front_up() {
    let with = ", foot: flange(wide: 15 mm)";
    let on = |foot: &str| on_cap(&format!("at 0 mm to 40 mm: circle(across: 60 mm){foot}"));
    // The ring is pi (45^2 - 30^2) = 3534.3 mm2; the wall is 60 pi 40 = 7539.8 mm2 outside.
    let ring = 0.5 * TAU * (45.0 * 45.0 - 30.0 * 30.0);
    let coated = |foot: &str| {
        let coat = "supply red { as: paint, covers: 9 m2/l }\nfinish coat on knob { of: red }";
        let checked = crate::support::checked(&format!("{}\n{coat}", on(foot)));
        assert_eq!(checked.errors(), Vec::<&str>::new(), "{}", checked.told());
        tasset::shape::shape(&checked.design).solid.fitted.coats[0].area()
    };
    near(coated(with) - coated(""), ring, 0.1);
    // Of foam of 5 at 95 kg/m3 it weighs 1.68 g.
    for (fact, bare, whole) in [("area", "75.3 cm2", "110.7 cm2"), ("mass", "3.2 g", "4.9 g")] {
        for (foot, least, codes) in [("", bare, &[][..]), ("", whole, &["requirement-fails"]), (with, whole, &[])] {
            let text = format!("{}\nrequire knob.{fact} >= {least} \"it counts\"", on(foot));
            let shaped = tasset::shape::shape(&crate::support::checked(&text).design);
            let told: Vec<&str> = shaped.diagnostics.iter().map(|d| d.code.name()).collect();
            assert_eq!(told, codes, "{fact} {least}{foot}");
        }
    }
    let made = Spoilt::of(&on(with));
    let flange = made.pieces.pieces.iter().find(|p| p.name == "knob flange").unwrap();
    let words: Vec<&str> = flange.letters.iter().map(|l| l.text.as_str()).collect();
    assert!(words.contains(&"front") && !words.contains(&"up"), "{words:?}");
    assert!(made.judged().passed(), "{:#?}", made.judged().breaches);
}

#[test]
fn a_flange_where_none_is_built_is_told_in_a_line() {
    for text in [
        "shell a { at 0 mm to 90 mm: circle(across: 100 mm) }
        shell b on a.top { at 0 mm to 30 mm: circle(across: 100 mm), foot: flange(wide: 10 mm) }",
        "shell b { at 0 mm to 30 mm: circle(across: 100 mm), foot: flange(wide: 10 mm), seam: open(gap: 20 mm) }",
        "shell b { at 0 mm to 30 mm: polygon(sides: 6, across: 100 mm), foot: flange(wide: 10 mm) }",
    ] {
        let checked = crate::support::checked(&format!("prop it {{ title: \"It\", of: foam5 }}\n{text}"));
        let shaped = tasset::shape::shape(&checked.design);
        let codes: Vec<&str> = shaped.diagnostics.iter().map(|d| d.code.name()).collect();
        assert_eq!(codes, ["not-built-yet"], "{text}");
    }
}
