//! `foot: tabs(wide)` of a shell: tabs of its own sheet that are folded out and glued down, against closed forms of tubes and
//! cones, worked beside each.

use crate::memory::{Folder, build, errors, mock_up, told};
use crate::support::{Spoilt, checked};
use tasset::emit::body::bodies;
use tasset::geom::{Vec2, Vec3};
use tasset::num::{TAU, acos, atan2, cos, hypot};
use tasset::piece::{About, Mark, Operation, Piece};
use tasset::shape::shape;
use tasset::solid::{EdgeName, Onto};
use tasset::verdict::Check;

/// A prop of board of 0.8 mm whose `knob` stands on a cap.
fn on_cap(knob: &str) -> String {
    format!(
        "prop it {{ title: \"It\", of: board }}
        stock board {{ as: card, thick: 0.8 mm, size: 700 mm by 1000 mm, density: 560 g/m2 }}
        shell a {{ at 0 mm to 100 mm: circle(across: 140 mm) }}
        cap roof on a.top {{ fit: flush }}
        shell knob on roof {{ {knob} }}"
    )
}

#[track_caller]
fn near(is: f64, asked: f64, by: f64) {
    assert!((is - asked).abs() <= by, "{is} for {asked}");
}

/// A prop that is made without a fault and passes its own check.
#[track_caller]
fn made(text: &str) -> Spoilt {
    let made = Spoilt::of(text);
    assert!(made.judged().passed(), "{:#?}", made.judged().breaches);
    made
}

fn piece<'a>(made: &'a Spoilt, name: &str) -> &'a Piece {
    made.pieces.pieces.iter().find(|p| p.name == name).unwrap()
}

fn marks(piece: &Piece, operation: Operation) -> Vec<&Mark> {
    let of = |m: &&Mark| m.about == About::Turn(EdgeName::Lower) && m.operation == operation;
    piece.marks.iter().filter(of).collect()
}

#[track_caller]
fn codes(text: &str) -> Vec<&'static str> {
    let checked = checked(text);
    assert_eq!(checked.errors(), Vec::<&str>::new(), "{}", checked.told());
    shape(&checked.design).diagnostics.iter().map(|d| d.code.name()).collect()
}

/// How many tabs are folded along chords of a circle so that none stands off it by more than 0.95 of half a millimetre.
fn tabs_round(r: f64) -> usize {
    (0.5 * TAU / acos(1.0 - 0.475 / r)).ceil() as usize
}

#[test]
fn tabs_are_a_strip_beyond_the_fold_slit_apart() {
    // A tube 60 across of 0.8, measured outside: its middle runs at 29.6. Flat it is 2 pi 29.6 by 40, and 10 more of tabs.
    let made =
        made(&on_cap("at 0 mm to 40 mm: circle(across: 60 mm), foot: tabs, spin: 50 deg, level: 8 mm, facing: left"));
    let knob = piece(&made, "knob");
    near(knob.area, TAU * 29.6 * 50.0, 0.1);
    let (low, high) = knob
        .contour
        .iter()
        .filter_map(|r| r.path.bounds())
        .fold((Vec2::INFINITY, Vec2::NEG_INFINITY), |(a, b), (c, d)| (a.min(c), b.max(d)));
    near((high - low).min_element(), 50.0, 1e-3);
    near((high - low).max_element(), TAU * 29.6, 1e-3);
    // The fold runs from side to side, 10 within the piece; slits stand alike far apart, from the edge to half a millimetre
    // before the fold, and one tab more than slits: the seam parts two.
    let folds = marks(knob, Operation::Fold);
    near(folds.iter().map(|m| m.path.length()).sum::<f64>(), TAU * 29.6, 1e-3);
    let slits = marks(knob, Operation::Slit);
    let n = tabs_round(29.6);
    assert_eq!((n, slits.len()), (18, n - 1));
    let mut at: Vec<f64> = slits.iter().map(|m| m.path.start().unwrap().x).collect();
    at.sort_by(f64::total_cmp);
    for pair in at.windows(2) {
        near(pair[1] - pair[0], TAU * 29.6 / n as f64, 0.02);
    }
    slits.iter().for_each(|m| near(m.path.length(), 9.5, 1e-3));
    // Where they go is drawn on the cap: the fold's circle and 10 round it.
    let spot = &made.solid.fitted.spots[0];
    near(spot.outline.area(), 0.5 * TAU * 39.6 * 39.6, 0.1);
    let note = knob.edges.iter().find(|e| e.edge == EdgeName::Lower).unwrap();
    let said = "; glue tabs 10 mm outward, on what it stands on, glue on the inside face, 17 cuts";
    assert!(note.bevel.ends_with(said), "{}", note.bevel);
}

#[test]
fn folded_out_they_end_as_far_round_as_they_are_wide() {
    // The free edge of a cone's flat is folded here by its own rule: a flat point a distance x beyond the fold at the arc
    // length s lies, on the ground, x out from the chord of its tab. At the middle of a tab that is the circle of the fold
    // less what the chord cuts off, and the width.
    let (r, wide) = (34.6, 12.0);
    let made =
        made(&on_cap("at 0 mm: circle(across: 70 mm), at 40 mm: circle(across: 46 mm), foot: tabs(wide: 12 mm)"));
    let knob = piece(&made, "knob");
    // The middle surface of a sheet that leans by α inward stands 0.4 sec α within its outside, and ends, cut square at the
    // top, 0.4 sin α below it.
    let (sec, sin) = (hypot(12.0, 40.0) / 40.0, 12.0 / hypot(12.0, 40.0));
    let (fold, tall) = (35.0 - 0.4 * sec, 40.0 - 0.4 * sin);
    assert!((fold - r).abs() < 0.03);
    let n = marks(knob, Operation::Slit).len() + 1;
    assert_eq!(n, tabs_round(fold));
    // Laid flat a cone's foot is an arc of radius fold / sin α; its tabs are the ring beyond that: 2 pi fold (w + w² sin α /
    // 2 fold).
    let frustum = 0.5 * TAU * (2.0 * fold - 0.3 * tall) * tall * sec;
    near(knob.area, frustum + TAU * (fold * wide + 0.5 * wide * wide * sin), 0.5);
    let run = knob.contour.iter().find(|r| r.turn == Some(EdgeName::Lower)).unwrap();
    let folds = marks(knob, Operation::Fold);
    let off = |p: Vec2| {
        let all = folds.iter().flat_map(|m| m.path.flattened(0.001));
        all.map(|q| q.distance(p)).fold(f64::INFINITY, f64::min)
    };
    let free = run.path.segs.iter().map(|s| s.at(0.5)).filter(|p| off(*p) > 11.0);
    assert!(free.map(|p| near(off(p), wide, 0.01)).count() > 0);
    let chord = fold * cos(0.5 * TAU / n as f64);
    assert!(fold - chord <= 0.5 && fold - chord > 0.3, "{chord}");
    // On the cap they are drawn so far out.
    near(made.solid.fitted.spots[0].outline.area(), 0.5 * TAU * (fold + wide).powi(2), 0.2);
}

#[test]
fn flat_sides_have_whole_tabs_and_hollows_lose_what_comes_together() {
    // Round corners of 12 and sides between: slits stand in the corners alone, whose arcs begin at 28 and 13 from the middle
    // of the sides.
    let rounded =
        made(&on_cap("at 0 mm to 40 mm: rectangle(across: 80 mm by 50 mm, corner: 12 mm), foot: tabs(wide: 9 mm)"));
    let knob = piece(&rounded, "knob");
    let flat = rounded.flat.panels.iter().find(|p| p.part == knob.part).unwrap();
    let turn = flat.edges.iter().find(|e| e.name == EdgeName::Lower).unwrap().turn.as_ref().unwrap();
    assert!(turn.cuts.iter().all(|c| c.mouth == [0.0; 2]));
    // From the seam, at the middle of the back: 28 of side, a quarter of 11.6, 26, a quarter, 56 and so on.
    let quarter = 0.25 * TAU * 11.6;
    let corners = [28.0, 54.0 + quarter, 110.0 + 2.0 * quarter, 136.0 + 3.0 * quarter];
    for cut in &turn.cuts {
        let on = |from: &f64| cut.at > from - 0.2 && cut.at < from + quarter + 0.2;
        assert!(corners.iter().any(on), "{}", cut.at);
    }
    // A side's tab may reach into its corners until its chord stands off by 0.475: an arc of acos(1 - 0.475 / 11.6) at either
    // end; what is left of each quarter takes two tabs, so that three slits stand in it. The seam parts one side's tab in two.
    let taken = 2.0 * acos(1.0 - 0.475 / 11.6);
    assert_eq!(((0.25 * TAU - taken) / taken).ceil(), 2.0);
    assert_eq!(turn.cuts.len(), 12);
    assert!(corners.iter().all(|from| turn.cuts.iter().any(|c| c.at > *from && c.at < from + quarter)));
    // Round a hollow of 40 tabs of 8 have too much: with the turning there carried away by Vs.
    let hollow = made(&on_cap(
        "at 0 mm to 40 mm: outline(points: [30 mm by -20 mm, 30 mm by 20 mm, 0 mm by 8 mm, -30 mm by 20 mm, -30 mm by -20 mm], corner: 6 mm), foot: tabs(wide: 5 mm)",
    ));
    let flat = hollow.flat.panels.iter().find(|p| p.part == piece(&hollow, "knob").part).unwrap();
    let turn = flat.edges.iter().find(|e| e.name == EdgeName::Lower).unwrap().turn.as_ref().unwrap();
    let carried: f64 = turn.cuts.iter().flat_map(|c| c.mouth).sum();
    // It turns back by twice the slope 12 in 30, and 5 mm out from it the sheet has 5 mm times that too much; of each of the
    // tabs there up to 0.95 mm may stay.
    let too_much = 5.0 * 2.0 * atan2(12.0, 30.0);
    assert!(carried > 0.3 && carried < too_much + 0.1, "{carried} of {too_much}");
    // Its middle bends by 6.4 there: wider ones have no end. What is offered is made.
    let wide = |foot: &str| {
        on_cap(&format!(
            "at 0 mm to 40 mm: outline(points: [30 mm by -20 mm, 30 mm by 20 mm, 0 mm by 8 mm, -30 mm by 20 mm, -30 mm by -20 mm], corner: 6 mm), {foot}"
        ))
    };
    let told = shape(&checked(&wide("foot: tabs(wide: 14 mm)")).design).diagnostics;
    let told: Vec<_> = told.iter().map(|d| (d.code.name(), d.repair.clone().unwrap_or_default())).collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!(told[0].0, "turn-too-wide");
    assert!(told[0].1.starts_with("foot: tabs(wide: "), "{told:?}");
    self::made(&wide(&told[0].1));
}

#[test]
fn tabs_are_in_every_output_and_glued() {
    let text = on_cap("at 0 mm to 40 mm: circle(across: 60 mm), foot: tabs(wide: 10 mm)");
    let report = |text: &str| {
        let built = build(Folder::of(text));
        assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
        let file = |end: &str| built.files.iter().find(|f| f.path.ends_with(end)).unwrap().bytes.clone();
        let drawn = String::from_utf8(file("board-1.svg")).unwrap();
        (serde_json::from_slice::<serde_json::Value>(&file("report.json")).unwrap(), drawn)
    };
    let (with, drawn) = report(&text);
    assert!(drawn.contains("glue tabs 10 mm outward, on what it stands on"), "said on the sheet");
    let knob = with["pieces"].as_array().unwrap().iter().find(|p| p["name"] == "knob").unwrap();
    near(knob["area"].as_f64().unwrap(), TAU * 29.6 * 50.0, 0.1);
    // In the picture they reach as far round the foot.
    let made = made(&text);
    let shown = bodies(&made.solid, 20.0);
    let knob = shown.iter().find(|s| s.name == "knob").unwrap();
    let far = knob.mesh.points.iter().map(|p| p.truncate().length()).fold(0.0, f64::max);
    near(far, 39.6, 1e-6);
    // Coated are both faces under them: 2 · 2 pi 29.6 · 10, at 1 m² a litre.
    let need = |knob: &str| {
        let (r, _) = report(&format!("{}\nsupply gum {{ as: adhesive, covers: 1 m2/l }}", on_cap(knob)));
        let lines = r["shopping"]["lines"].as_array().unwrap().clone();
        lines.iter().find(|l| l["goods"] == "gum").unwrap()["need"].as_f64().unwrap()
    };
    let tube = "at 0 mm to 40 mm: circle(across: 60 mm)";
    near(need(&format!("{tube}, foot: tabs")) - need(tube), 2.0 * TAU * 29.6 * 10.0 / 1000.0, 2e-3);
}

#[test]
fn a_mock_up_has_them_once_and_to_scale() {
    for (scale, wide) in [("1:1", 10.0), ("1:2", 5.0), ("1:4", 2.5)] {
        let text = on_cap("at 0 mm to 40 mm: circle(across: 60 mm), foot: tabs");
        let solid = crate::mockup::solid(&text, scale, "card");
        let knob = solid.parts.iter().find(|p| p.name == "knob").unwrap();
        let own: Vec<f64> = solid.turns.iter().filter(|t| t.at.part == knob.id).map(|t| t.wide).collect();
        assert_eq!(own, [wide], "{scale}");
        let built = mock_up(Folder::of(&text), scale, None);
        assert_eq!(errors(&built), Vec::<&str>::new(), "{}", told(&built));
    }
}

#[test]
fn tabs_count_with_their_shell() {
    let tube = "at 0 mm to 40 mm: circle(across: 60 mm)";
    // The wall is 60 pi 40 outside and 2 pi 29.6 40 in the middle, the tabs 2 pi 29.6 10.
    let tabs = TAU * 29.6 * 10.0;
    let coated = |foot: &str| {
        let coat = "supply red { as: paint, covers: 9 m2/l }\nfinish coat on knob { of: red }";
        shape(&checked(&format!("{}\n{coat}", on_cap(&format!("{tube}{foot}")))).design).solid.fitted.coats[0].area()
    };
    near(coated(", foot: tabs") - coated(""), tabs, 0.1);
    for (fact, whole, unit) in
        [("area", (TAU * 30.0 * 40.0 + tabs) / 100.0, "cm2"), ("mass", (TAU * 29.6 * 50.0) * 560e-6, "g")]
    {
        for (share, told) in [(0.999, &[][..]), (1.001, &["requirement-fails"])] {
            let holds = format!("require knob.{fact} >= {:.4} {unit} \"it counts\"", whole * share);
            let text = format!("{}\n{holds}", on_cap(&format!("{tube}, foot: tabs")));
            assert_eq!(codes(&text), told, "{holds}");
        }
    }
    // A box holds them too: 60 and twice 9.6 across, less what they are not yet glued to.
    let alone = |room: f64| {
        let text = format!(
            "prop it {{ title: \"It\", of: card }}
            shell knob {{ {tube}, foot: tabs }}
            limit box {{ packed: {room} mm by {room} mm by 60 mm }}"
        );
        let built = build(Folder::of(&text));
        errors(&built)
    };
    assert_eq!(alone(79.0), ["past-limit"]);
    assert_eq!(alone(80.0), Vec::<&str>::new());
    // Lying on the ground they draw the middle of the mass down: 40 of 50 mm of sheet stand 20 up on an average.
    let board = "stock board { as: card, thick: 0.8 mm, size: 700 mm by 1000 mm, density: 560 g/m2 }";
    let text = format!("prop it {{ title: \"It\", of: board }}\n{board}\nshell knob {{ {tube}, foot: tabs }}");
    let built = build(Folder::of(&text));
    let file = built.files.iter().find(|f| f.path.ends_with("report.json")).unwrap();
    let report = serde_json::from_slice::<serde_json::Value>(&file.bytes).unwrap();
    near(report["centre"]["empty"][2].as_f64().unwrap(), 16.0, 1e-3);
}

#[test]
fn tabs_stand_in_the_way() {
    let a = "prop it { title: \"It\", of: card }\nshell a { at 0 mm to 100 mm: circle(across: 90 mm), foot: tabs(wide: 20 mm) }";
    let beside = |shift: f64| {
        format!(
            "{a}\nshell b beside a {{ at 0 mm to 60 mm: circle(across: 40 mm), foot: tabs(wide: 7 mm), facing: left, gap: 3 mm, shift: toward(right: {shift} mm) }}"
        )
    };
    assert_eq!(codes(&beside(0.0)), Vec::<&str>::new());
    let shaped = shape(&checked(&beside(0.0)).design);
    let b = shaped.solid.parts.iter().find(|p| p.name == "b").unwrap();
    // 45 less 0.2 and 20; 3; 7 and 20 less 0.2.
    near(b.place.origin.y, 44.8 + 20.0 + 3.0 + 7.0 + 19.8, 1e-9);
    assert_eq!(codes(&beside(10.0)), ["parts-collide"]);
    assert_eq!(codes(&beside(2.0)), Vec::<&str>::new());
    // Past the cap's edge, and over a hole in it.
    let built = |knob: &str| build(Folder::of(&on_cap(knob)));
    let past = built("at 0 mm to 40 mm: circle(across: 125 mm), foot: tabs(wide: 9 mm)");
    assert_eq!(errors(&past), ["no-room-there"]);
    // 62.1 + 9 of 70: 1.1 past it.
    assert!(told(&past).contains("cut its tabs narrower, `foot: tabs(wide: 7 mm)`"), "{}", told(&past));
    assert_eq!(errors(&built("at 0 mm to 40 mm: circle(across: 125 mm), foot: tabs(wide: 7 mm)")), Vec::<&str>::new());
    let over = "at 0 mm to 40 mm: circle(across: 60 mm), foot: tabs }
        opening way on roof { shape: circle(across: 8 mm), shift: toward(front: 36 mm)";
    let over = built(over);
    assert_eq!(errors(&over), Vec::<&str>::new(), "{}", told(&over));
    assert!(told(&over).contains("knob lies over way on roof"), "{}", told(&over));
}

#[test]
fn what_takes_up_the_edge_is_told() {
    let tube = |more: &str, last: &str| {
        format!(
            "prop it {{ title: \"It\", of: card }}
            shell tube {{ at 0 mm to 60 mm: circle(across: 90 mm), foot: tabs{more} }}\n{last}"
        )
    };
    for last in [
        "cap base on tube.bottom { fit: flush }",
        "cap base on tube.bottom { fit: overlay, rim: 12 mm, loose: yes }",
        "border hem on tube.bottom { as: binding, of: tape20, wide: 9 mm }",
        "border hoop on tube.bottom { as: band, of: card, wide: 9 mm, rise: 3 mm }",
        "lacing low on tube.bottom { as: running, of: cord2, holes: 4 mm, count: 7 }",
    ] {
        assert_eq!(codes(&tube("", last)), ["caps-collide"], "{last}");
    }
    assert_eq!(codes(&tube("", "edge low on tube.bottom { as: wave, count: 6, rise: 8 mm }")), ["edge-not-free"]);
    for last in [
        "cap base on tube.bottom { fit: inset }",
        "border hoop on tube.bottom { as: band, of: card, wide: 9 mm }",
        "edge high on tube.top { as: wave, count: 6, rise: 8 mm }",
        "border hem on tube.top { as: binding, of: tape20, wide: 9 mm }",
    ] {
        made(&tube("", last));
    }
    // A cover is cut level with the foot, and a lining too.
    let covered = made(&tube("", "cover hide on tube { of: twill, turn: 8 mm }"));
    let hide = covered.pieces.pieces.iter().find(|p| p.name.starts_with("hide")).unwrap();
    let note = hide.edges.iter().find(|e| e.edge == EdgeName::Lower).unwrap();
    assert!(note.bevel.contains("not turned over: the wall's own tabs are folded out there"), "{}", note.bevel);
    assert_eq!(codes(&tube(", seam: open(gap: 20 mm)", "")), ["not-built-yet"]);
    for text in [
        "shell tube { at 0 mm: point, at 60 mm: circle(across: 90 mm), foot: tabs }",
        "shell tube { at 0 mm to 60 mm: polygon(sides: 6, across: 90 mm), foot: tabs }",
        "shell tube { at 0 mm: circle(across: 90 mm, tilt: toward(left: 8 deg)), at 60 mm: circle(across: 90 mm), foot: tabs }",
        "shell a { at 0 mm to 60 mm: circle(across: 90 mm) }
        shell tube on a.top { at 0 mm to 60 mm: circle(across: 90 mm), foot: tabs }",
    ] {
        assert_eq!(codes(&format!("prop it {{ title: \"It\", of: card }}\n{text}")), ["not-built-yet"], "{text}");
    }
    // What leaves the cap's face has nothing for its tabs to lie on.
    let leans = on_cap("at 0 mm to 40 mm: circle(across: 60 mm), foot: tabs, tilt: toward(front: 5 deg)");
    assert_eq!(codes(&leans), ["foot-off-edge"]);
}

#[test]
fn only_one_thin_sheet_folds() {
    let of = |of: &str| {
        codes(&format!(
            "prop it {{ title: \"It\", of: {of} }}
            stock felted {{ as: cloth, thick: 1 mm, wide: 900 mm, density: 300 g/m2 }}
            stock thick {{ as: card, thick: 1.1 mm, size: 700 mm by 1000 mm, density: 700 g/m2 }}
            shell tube {{ at 0 mm to 60 mm: circle(across: 90 mm), foot: tabs }}"
        ))
    };
    for good in ["card", "clear05", "felted"] {
        assert_eq!(of(good), Vec::<&str>::new(), "{good}");
    }
    for bad in ["foam5", "foam2", "thick", "[card, card]"] {
        assert_eq!(of(bad), ["too-thick-to-turn"], "{bad}");
    }
}

#[test]
fn halves_layers_and_pairs_of_walls_have_their_tabs() {
    // Larger than its sheet, knees, ovals, laps, and one of a pair.
    for knob in [
        "at 0 mm: oval(across: 60 mm by 40 mm), at 30 mm: circle(across: 70 mm), at 50 mm: circle(across: 50 mm), foot: tabs(wide: 8 mm), spin: 30 deg, seam: lap(overlap: 9 mm)",
        "pair: mirrored, at 0 mm: circle(across: 60 mm), at 40 mm: circle(across: 80 mm), foot: tabs(wide: 14 mm), measured: inside, seam: tabs(wide: 8 mm)",
        "at 0 mm: circle(across: 30 mm), at 30 mm: circle(across: 70 mm), foot: tabs(wide: 15 mm), rim: square",
    ] {
        made(&on_cap(knob));
    }
    // Laid flat the foot of that funnel bends by 14.6 / sin α = 26.3: there is nothing of tabs so wide.
    let funnel = |foot: &str| {
        let built = build(Folder::of(&on_cap(&format!(
            "at 0 mm: circle(across: 30 mm), at 30 mm: circle(across: 70 mm), {foot}"
        ))));
        (errors(&built), told(&built))
    };
    let (codes, words) = funnel("foot: tabs(wide: 26 mm)");
    assert_eq!(codes, ["turn-too-wide"]);
    assert!(words.contains("at most `foot: tabs(wide: 2"), "{words}");
    assert_eq!(funnel("foot: tabs(wide: 20 mm)").0, Vec::<&str>::new());
    let halves = made(
        "prop it { title: \"It\", of: thin }
        stock thin { as: card, thick: 0.8 mm, size: 460 mm by 600 mm, density: 560 g/m2 }
        shell body { at 0 mm: circle(across: 230 mm), at 190 mm: circle(across: 250 mm), foot: tabs(wide: 12 mm) }",
    );
    assert!(halves.pieces.pieces.iter().all(|p| p.split.is_some()));
}

#[test]
fn spoilt_tabs_are_caught() {
    let text = on_cap("at 0 mm to 40 mm: oval(across: 70 mm by 50 mm), foot: tabs(wide: 12 mm), spin: 20 deg");
    let as_it_is = made(&text);
    let fold = |m: &Mark| m.about == About::Turn(EdgeName::Lower);
    // Cut a tenth of a millimetre too narrow, all of it: the width, and the size of the text.
    let mut one = as_it_is.clone();
    one.solid.turns.iter_mut().for_each(|t| t.wide -= 0.1);
    let narrow = Spoilt::cut(one.solid.clone());
    let mut one = Spoilt { solid: as_it_is.solid.clone(), ..narrow };
    one.fails(Check::Turn, "its width");
    one.fails(Check::Claim, "tabs");
    // A slit into the wall, and half of the slits gone.
    one = as_it_is.clone();
    for piece in &mut one.pieces.pieces {
        for mark in piece.marks.iter_mut().filter(|m| fold(m) && m.operation == Operation::Slit) {
            let (a, b) = (mark.path.segs[0].a, mark.path.segs[0].b);
            mark.path.segs[0].b = a + (b - a) * 1.2;
        }
    }
    one.fails(Check::Turn, "slit past the fold");
    one = as_it_is.clone();
    for piece in &mut one.pieces.pieces {
        let mut k = 0;
        piece.marks.retain(|m| {
            let slit = fold(m) && m.operation == Operation::Slit;
            k += usize::from(slit);
            !slit || k % 2 == 0
        });
    }
    one.fails(Check::Turn, "off the curve it stands on");
    // Drawn too small on the cap; glued to nothing; a cap that is not there.
    one = as_it_is.clone();
    one.solid.fitted.spots.iter_mut().for_each(|s| s.outline = s.outline.scaled(0.98));
    one.fails(Check::Turn, "off its place as that is drawn");
    one = as_it_is.clone();
    one.solid.turns.iter_mut().for_each(|t| t.onto = Onto::Ground { outward: true, on: None });
    one.fails(Check::Turn, "lower edge, folded over");
    one = as_it_is.clone();
    one.solid.parts.iter_mut().filter(|p| p.name == "knob").for_each(|p| p.place.origin += Vec3::Z * 0.3);
    one.fails(Check::Turn, "lower edge, folded over");
}
