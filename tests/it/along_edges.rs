//! Borders along edges that are cut sloping or to a figure: cords, beads and pipings beside them, bands and rows of tongues
//! that go up and down with them.

use crate::edges::{TUBE, edge, long, near, of, piece, says, simpson};
use crate::shape::made;
use tasset::audit::audit;
use tasset::num::{self, PI, TAU};
use tasset::solid::EdgeName;

#[test]
fn a_cord_beside_a_wave_is_as_long_as_the_wave_at_its_own_depth() {
    // Laid flat at the cord's depth the wave is stretched along; a parallel to a line that comes round to where it began
    // is as long as the line (Steiner: what turns left turns right). A piping's stands half its thickness past the edge.
    let wave = |radius: f64| {
        // y = 6 (1 − cos 5φ), by the way round at the cord's radius.
        TAU * simpson(|u| (radius * radius + (30.0 * num::sin(5.0 * TAU * u)).powi(2)).sqrt())
    };
    let (m, _) = of(
        "supply rope { as: cord, across: 4 mm }\nsupply pearl { as: beads, across: 6 mm, mass: 1 g }\nsupply thread { as: wire, across: 0.5 mm }
         shell tube { measured: outside, at 0 mm to 100 mm: circle(across: 90 mm) }
         edge e on tube.top { as: wave, count: 5, rise: 12 mm }
         edge f on tube.bottom { as: wave, count: 5, rise: 12 mm }
         border c on tube.top { as: cord, of: rope }\nborder d on tube.bottom { as: beads, of: pearl, wire: thread }
         let cord = c.long\nlet beads = d.long",
    );
    near(m.value("cord"), wave(47.0), 1e-5);
    near(m.value("beads"), wave(48.0), 1e-5);
    // Beads stand evenly along it, all inside the wall's wave.
    let lump = &m.shaped.solid.fitted.lumps[0];
    let apart: Vec<f64> = lump.at.windows(2).map(|w| w[0].distance(w[1])).collect();
    assert!(apart.iter().all(|d| *d <= lump.spacing.unwrap() + 1e-6 && *d >= 6.0 - 1e-6));
    let run = m.shaped.solid.fitted.runs.iter().find(|r| r.name == "c").unwrap();
    assert!(run.line.iter().all(|p| (p.truncate().length() - 47.0).abs() < 1e-6));
    let (low, high) = run.line.iter().fold((f64::INFINITY, 0.0f64), |(l, h), p| (l.min(p.z), h.max(p.z)));
    near(high, 98.0, 0.02);
    near(low, 86.0, 0.02);
}

#[test]
fn a_piping_stands_on_a_sloped_end_and_a_cord_lies_beside_it() {
    // A tube cut along a plane: on the flat a sine (the development of an oblique cut), and so is its parallel's length.
    let (m, _) = of("supply rope { as: cord, across: 4 mm }
         shell tube { at 0 mm to 100 mm: circle(across: 90 mm) }
         edge e on tube.top { as: slope, rise: 30 mm }
         border c on tube.top { as: cord, of: rope }\nlet cord = c.long");
    // The measured face's cut leans by 30 mm over 90; square to the sheet, it is that line further out too.
    let asked = TAU * simpson(|u| (47.0f64 * 47.0 + (15.0 * num::sin(TAU * u)).powi(2)).sqrt());
    near(m.value("cord"), asked, 1e-5);
}

#[test]
fn a_cord_goes_round_the_corners_of_teeth() {
    // On the flat of a tube at the cord's depth. Within the edge the line loses twice its distance at each of the two corners
    // that the teeth turn to it, and goes a quarter round at each of the two that they turn away; past the edge the other way
    // about, which is as much.
    let goods = "supply rope { as: cord, across: 4 mm }\nstock thin { as: cloth, thick: 1 mm, size: 1 m by 1 m }";
    let tube = |count: u32, border: &str| {
        format!(
            "{goods}\nshell tube {{ measured: outside, at 0 mm to 100 mm: circle(across: 90 mm) }}\n\
             edge e on tube.top {{ as: crenels, count: {count}, rise: 12 mm }}\nborder c on tube.top {{ {border} }}\nlet long = c.long"
        )
    };
    let corners = 8.0 * (2.0 * PI - 8.0);
    let (m, _) = of(&tube(8, "as: cord, of: rope"));
    near(m.value("long"), TAU * 47.0 + 192.0 + corners, 1e-6);
    let run = &m.shaped.solid.fitted.runs[0];
    assert!(run.line.iter().all(|p| (p.truncate().length() - 47.0).abs() < 1e-6));
    let (low, high) = run.line.iter().fold((f64::INFINITY, 0.0f64), |(l, h), p| (l.min(p.z), h.max(p.z)));
    near(high, 98.0, 1e-6);
    near(low, 86.0, 1e-6);
    let (m, _) = of(&tube(8, "as: piping, of: [rope, thin], wide: 8 mm"));
    // Its cord stands half its own thickness and that of the cloth past the edge.
    near(m.value("long"), TAU * 46.0 + 192.0 + 1.5 * corners, 1e-6);
    // Of teeth so narrow that it would lie beside itself, or of more rows than there is room for, it is told.
    of(&tube(16, "as: cord, of: rope"));
    says(&tube(20, "as: cord, of: rope"), &["bends-too-tightly"]);
    says(&tube(8, "as: cord, of: rope, count: 5"), &["bends-too-tightly"]);
}

#[test]
fn beads_stand_evenly_round_the_corners_of_points() {
    let (m, _) = of("supply pearl { as: beads, across: 6 mm, mass: 1 g }\nsupply thread { as: wire, across: 0.5 mm }
         shell tube { measured: outside, at 0 mm to 100 mm: circle(across: 90 mm) }
         edge e on tube.bottom { as: point, count: 6, rise: 15 mm }
         border d on tube.bottom { as: beads, of: pearl, wire: thread }\nlet long = d.long");
    // Twelve straight lines; at each tip 2 d tan(θ/2) is lost, at each notch d θ won, θ being what the edge turns there.
    let half = TAU * 48.0 / 12.0;
    let turn = 2.0 * num::atan2(15.0, half);
    near(m.value("long"), 12.0 * num::hypot(half, 15.0) + 6.0 * 3.0 * (turn - 2.0 * num::tan(0.5 * turn)), 1e-6);
    let lump = &m.shaped.solid.fitted.lumps[0];
    let apart: Vec<f64> = lump.at.windows(2).map(|w| w[0].distance(w[1])).collect();
    assert!(apart.iter().all(|d| *d <= lump.spacing.unwrap() + 1e-6 && *d >= 6.0 - 1e-6));
}

/// A tube of 90 mm across and 100 mm tall with an edge, and a band along that.
fn banded(edge: &str, band: &str) -> String {
    format!("{TUBE}edge e on tube.top {{ {edge} }}\nborder c on tube.top {{ of: foam2, {band} }}")
}

#[test]
fn a_band_is_as_wide_everywhere_as_a_tape_up_the_wall_finds_it() {
    // On a tube both edges of it are one line, and what lies between them has the area of a straight strip (Cavalieri): 16 mm of
    // the girth at the band's middle, 46 mm from the axis.
    for edge in [
        "as: crenels, count: 8, rise: 12 mm",
        "as: point, count: 5, rise: 20 mm",
        "as: scallops, count: 9, rise: 8 mm",
        "as: wave, count: 4, rise: 15 mm",
        "as: slope, rise: 30 mm",
        "as: curve, path: [front by 0 mm, left by 18 mm, back by 6 mm]",
    ] {
        for (band, wide) in [("as: band, wide: 16 mm", 16.0), ("as: band, wide: 20 mm, rise: 5 mm", 20.0)] {
            let (_, cut) = of(&banded(edge, band));
            let strip = piece(&cut, "c");
            near(strip.area, TAU * 46.0 * wide, 1e-4 * strip.area);
            near(long(strip, EdgeName::Upper), long(strip, EdgeName::Lower), 0.01);
        }
    }
    // Teeth are as tall on it as on the wall, a wave as long as by the integral of its speed.
    let (_, cut) = of(&banded("as: crenels, count: 8, rise: 12 mm", "as: band, wide: 16 mm, count: 2"));
    for name in ["c 1", "c 2"] {
        near(long(piece(&cut, name), EdgeName::Lower), TAU * 46.0 + 192.0, 0.02);
    }
    let (_, cut) = of(&banded("as: wave, count: 5, rise: 12 mm", "as: band, wide: 16 mm"));
    let wave = TAU * simpson(|u| (46.0f64 * 46.0 + (30.0 * num::sin(5.0 * TAU * u)).powi(2)).sqrt());
    near(long(piece(&cut, "c"), EdgeName::Lower), wave, 0.01);
}

#[test]
fn tongues_hang_along_sloped_and_shaped_edges() {
    // As many as the edge's own length has room for: the ellipse of a slope of 30 mm, by Simpson's rule.
    let long = TAU * simpson(|u| (46.0f64 * 46.0 + (15.0 * num::sin(TAU * u)).powi(2)).sqrt());
    let (_, cut) = of(&banded("as: slope, rise: 30 mm", "as: scallops, wide: 18 mm, every: 15 mm"));
    let arcs = edge(piece(&cut, "c"), EdgeName::Lower).len();
    near(arcs as f64, (long / 15.0).round(), 0.1);
    for edge in
        ["as: wave, count: 4, rise: 12 mm", "as: scallops, count: 7, rise: 9 mm", "as: point, count: 5, rise: 12 mm"]
    {
        of(&banded(edge, "as: scallops, wide: 22 mm, every: 15 mm"));
    }
    says(
        &banded("as: crenels, count: 8, rise: 12 mm", "as: scallops, wide: 30 mm, every: 15 mm"),
        &["not-built-yet", "a row of scallops along an edge with upright sides"],
    );
}

#[test]
fn a_band_that_falls_apart_or_has_no_room_says_what_would_do() {
    // Beside a tooth of 12 mm a band of 13 is 1 mm wide; its foam is 2 mm thick.
    let teeth = |wide: &str| banded("as: crenels, count: 8, rise: 12 mm", &format!("as: band, wide: {wide}"));
    says(&teeth("13 mm"), &["band-falls-apart", "only 1 mm of it are left", "`wide: 14 mm`"]);
    of(&teeth("14 mm"));
    says(&teeth("95 mm"), &["past-the-edge", "`wide: 88 mm`"]);
    says(&teeth("15 mm, rise: 15 mm"), &["hangs-free"]);
    says(
        "shell tube { at 0 mm: circle(across: 90 mm), at 80 mm: circle(across: 90 mm), at 100 mm: circle(across: 110 mm) }
         edge e on tube.top { as: wave, count: 4, rise: 9 mm }
         border c on tube.top { as: band, of: foam2, wide: 30 mm }",
        &["not-built-yet", "past a station"],
    );
}

#[test]
fn a_band_that_does_not_follow_its_edge_is_caught() {
    let wall = "shell body { at 0 mm: circle(across: 120 mm), at 110 mm: circle(across: 150 mm) }\n";
    let text = |edge: &str, band: &str| {
        format!("{wall}edge e on body.top {{ {edge} }}\nborder c on body.top {{ as: band, of: foam2, {band} }}")
    };
    let points = "as: point, count: 5, rise: 16 mm";
    let (right, _) = of(&text(points, "wide: 24 mm"));
    for (edge, band) in [
        // Half a millimetre narrower; a millimetre aside; one too few; moved out.
        (points, "wide: 23.5 mm"),
        ("as: point, count: 5, rise: 16 mm, facing: front + 0.77 deg", "wide: 24 mm"),
        ("as: point, count: 4, rise: 16 mm", "wide: 24 mm"),
        (points, "wide: 24 mm, rise: 0.5 mm"),
    ] {
        let (wrong, spoilt) = of(&text(edge, band));
        let (flat, _) = tasset::develop::develop(&right.shaped.solid);
        assert!(!audit(&right.shaped.solid, &flat, &spoilt.pieces, None).passed(), "{edge}, {band}: by its line");
        // The solid itself is wrong: against what the text says. What turns aside with its wall is the wall's own claim.
        let mut said = wrong.shaped.solid.clone();
        said.claims.clone_from(&right.shaped.solid.claims);
        assert!(!audit(&said, &spoilt.flat, &spoilt.pieces, None).passed(), "{edge}, {band}: by its claims");
    }
}

#[test]
fn what_goes_up_a_seam_ends_where_the_edge_comes_down_to_it() {
    // The seam is at the back. A slope of 30 mm is deepest there, and half as deep at the left; one point is lowest there; teeth of
    // 12 mm stand at the front and there; on a cone of slope 3 : 4 the way up is a quarter longer than the height.
    let up = |wall: &str, edge: &str, seam: &str| {
        let m = made(&format!(
            "supply rope {{ as: cord, across: 3 mm }}\nshell t {{ {wall}\nseam: {seam} }}\nedge e on t.top {{ {edge} }}\nborder c on t.seam {{ as: cord, of: rope }}\nlet way = c.long"
        ));
        m.clean();
        m.value("way")
    };
    let tube = "at 0 mm to 100 mm: circle(across: 90 mm)";
    let cone = "at 0 mm: circle(across: 80 mm)\nat 80 mm: circle(across: 200 mm)";
    for (wall, edge, seam, asked) in [
        (tube, "as: slope, rise: 30 mm", "butt(facing: back)", 70.0),
        (tube, "as: slope, rise: 30 mm", "butt(facing: left)", 85.0),
        (tube, "as: point, count: 1, rise: 24 mm", "butt(facing: back)", 76.0),
        (tube, "as: crenels, count: 6, rise: 12 mm", "butt(facing: back)", 100.0),
        (tube, "as: crenels, count: 5, rise: 12 mm", "butt(facing: back)", 88.0),
        (cone, "as: wave, count: 3, rise: 14 mm", "butt(facing: back)", 86.0),
    ] {
        near(up(wall, edge, seam), asked, 0.01);
    }
    // Bound all round: both sides end where the edge is lowest.
    let m = made(
        "shell arm { at 0 mm to 100 mm: circle(across: 90 mm), seam: open(facing: back, gap: 30 mm) }
         edge e on arm.top { as: point, count: 1, rise: 24 mm }
         border c on arm.edges { as: binding, of: hide2, wide: 9 mm }",
    );
    m.clean();
    let runs: Vec<f64> = m.shaped.solid.fitted.runs.iter().map(|r| r.along).collect();
    assert_eq!(runs.len(), 4);
    near(runs[1], 76.0, 0.01);
    near(runs[3], 76.0, 0.01);
}

#[test]
fn a_wrap_is_wound_past_a_shaped_edge_and_trimmed_to_it() {
    // On a tube it lies on 2 pi r (h - rise / 2) at its middle, 45.5 mm from the axis; what it takes beyond that is the half turns
    // of any wrap and the gaps of the figure.
    let wound = |edge: &str| {
        let m = made(&format!(
            "supply tape {{ as: tape, thick: 1 mm, wide: 20 mm }}\n{TUBE}{edge}\nborder c on tube {{ as: wrap, of: tape, wide: 20 mm }}"
        ));
        m.clean();
        let run = &m.shaped.solid.fitted.runs[0];
        let highest = run.line.iter().map(|p| p.z).fold(0.0, f64::max);
        (run.along, run.along + run.spare, highest)
    };
    let plain = wound("");
    near(plain.0, TAU * 45.5 * 100.0 / 20.0, 1e-6);
    for edge in ["as: wave, count: 4, rise: 18 mm", "as: slope, rise: 18 mm", "as: crenels, count: 6, rise: 18 mm"] {
        let (along, whole, highest) = wound(&format!("edge e on tube.top {{ {edge} }}"));
        near(along, TAU * 45.5 * 91.0 / 20.0, 1e-4);
        near(whole, plain.1, 1e-6);
        assert!(highest <= 100.0 + 1e-9);
    }
}

#[test]
fn an_opening_beside_a_band_is_no_business_of_the_band() {
    // A slope of 60 mm on a wall of 150: at the front the band lies 130 to 150 mm up, at the back 70 to 90.
    let text = |level: f64, facing: &str| {
        format!(
            "shell tower {{ at 0 mm to 150 mm: circle(across: 150 mm), seam: butt(facing: left) }}
             edge slant on tower.top {{ as: slope, rise: 60 mm }}
             border collar on tower.top {{ as: band, of: foam2, wide: 20 mm, seam: butt(facing: left) }}
             opening eye on tower {{ shape: circle(across: 12 mm), facing: {facing}, level: {level} mm }}"
        )
    };
    for (level, facing, holes) in [(100.0, "front", 0), (140.0, "front", 1), (80.0, "back", 1), (40.0, "back", 0)] {
        let (_, cut) = of(&text(level, facing));
        assert_eq!(piece(&cut, "collar").holes.len(), holes, "{level} mm at the {facing}");
        assert_eq!(piece(&cut, "tower").holes.len(), 1);
    }
}

#[test]
fn sides_end_at_the_straight_edge_where_a_slope_touches_it() {
    // Its highest place faces the gap: what is left of it there, both sides, comes up to the station.
    let (m, _) = of("shell t { at 0 mm to 100 mm: circle(across: 90 mm), seam: open(facing: back, gap: 20 deg) }
         edge e on t.top { as: slope, rise: 24 mm, facing: back }
         border c on t.seam { as: binding, of: hide2, wide: 9 mm }");
    let runs: Vec<f64> = m.shaped.solid.fitted.runs.iter().map(|r| r.along).collect();
    assert_eq!(runs.len(), 2);
    runs.iter().for_each(|r| near(*r, 100.0, 0.01));
}

#[test]
fn what_is_offered_for_tongues_that_are_too_tall_is_built() {
    let text = |row: &str| format!("{TUBE}border c on tube.top {{ as: scallops, of: foam2, wide: 18 mm, {row} }}");
    let m = made(&text("every: 15 mm, rise: 7 mm"));
    let told = m.told();
    let every = told.split("`every: ").nth(1).and_then(|t| t.split('`').next()).expect("an offer").to_owned();
    of(&text(&format!("every: {every}, rise: 7 mm")));
    let rise = told.split("`rise: ").nth(1).and_then(|t| t.split('`').next()).expect("an offer").to_owned();
    of(&text(&format!("every: 15 mm, rise: {rise}")));
    // Where an edge is steep they meet before they are too tall.
    let row = |rise: &str| {
        banded("as: wave, count: 9, rise: 11 mm", &format!("as: scallops, wide: 26 mm, every: 30 mm, rise: {rise}"))
    };
    let told = made(&row("10 mm")).told();
    assert!(told.contains("run into each other"), "{told}");
    let rise = told.split("`rise: ").nth(1).and_then(|t| t.split('`').next()).expect("an offer").to_owned();
    of(&row(&rise));
}
