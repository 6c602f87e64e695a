//! What is fitted: attachments and straps from the text to the pieces.

use crate::support::{checked, cut};
use tasset::develop::develop;
use tasset::diag::{Code, Diagnostics};
use tasset::fitted::{GoodsOf, Over, Run};
use tasset::flat::Flat;
use tasset::ids::{PartId, ThingId};
use tasset::num::PI;
use tasset::piece::{About, Piece, Pieces};
use tasset::shape::shape;
use tasset::solid::{Layer, Size, Solid};

fn solid(text: &str) -> (Solid, Diagnostics) {
    let checked = checked(text);
    assert!(checked.errors().is_empty(), "{}", checked.told());
    let shaped = shape(&checked.design);
    (shaped.solid, shaped.diagnostics)
}

fn good(text: &str) -> Solid {
    let (solid, found) = solid(text);
    assert!(!found.has_errors(), "{found:#?}");
    solid
}

fn made(solid: &Solid) -> (Flat, Pieces) {
    let cut = cut(solid);
    (cut.flat, cut.pieces)
}

fn run<'a>(solid: &'a Solid, name: &str) -> &'a Run {
    solid.fitted.runs.iter().find(|r| r.name == name).expect("it runs")
}

fn piece<'a>(pieces: &'a Pieces, name: &str) -> &'a Piece {
    pieces.pieces.iter().find(|p| p.name == name).expect("it is cut")
}

/// The chart runner's case: bore 75 and 95, 520 tall.
const CASE: &str = "prop case { title: \"Chart case\", of: foam5, measured: inside }
shell tube { at 0 mm: circle(across: 75 mm), at 520 mm: circle(across: 95 mm) }
attachment upper on tube { as: ring, of: dee25, tab: webbing25, backing: 40 mm by 60 mm, level: top - 90 mm, facing: back }
attachment lower on tube { as: ring, of: dee25, tab: webbing25, backing: 40 mm by 60 mm, level: top - 400 mm, facing: back }
strap sling on [upper, lower] { of: webbing25, long: 1250 mm, tail: 80 mm, fold: 25 mm }
";

const TUBE: &str = "prop p { title: \"Tube\", of: foam5 }
shell tube { at 0 mm to 200 mm: circle(across: 90 mm) }
";

#[test]
fn straps_are_cut_to_length() {
    // B1: 1250 + 80 + 2 · 25.
    let case = good(CASE);
    assert!((run(&case, "sling").long() - 1380.0).abs() < 1e-9);
    assert!((run(&case, "sling").along - 1250.0).abs() < 1e-9);
    // A band lies half of its 1.5 mm off what it goes round: π (d + 1.5).
    let band = |text: &str| run(&good(&format!("{TUBE}{text}")), "girdle").long() - 130.0;
    let girdle = "strap girdle on tube { of: webbing20 }";
    assert!((band(girdle) - PI * 91.5).abs() < 1e-9);
    // A cover of 0.4 mm lies below it, and a cord of 6 mm at its level, but not one that lies elsewhere.
    let cloth = "stock twill { as: cloth, thick: 0.4 mm, wide: 1400 mm, density: 180 g/m2, grain: along }
cover hide on tube { of: twill }\n";
    assert!((band(&format!("{cloth}{girdle}")) - PI * 92.3).abs() < 1e-9);
    let cord = |level: &str| {
        format!(
            "supply rope6 {{ as: cord, thick: 6 mm }}\nborder ring on tube {{ as: cord, of: rope6, level: {level} }}\n{girdle}"
        )
    };
    assert!((band(&cord("104 mm")) - PI * 103.5).abs() < 1e-9);
    assert!((band(&cord("150 mm")) - PI * 91.5).abs() < 1e-9);
    // A girth of its own, a fact of it, and its bands one above the other.
    let own = "strap girdle on tube { of: webbing20, around: 290 mm }\nrequire girdle.around == 290 mm \"as given\"";
    assert!((band(own) - (290.0 + PI * 1.5)).abs() < 1e-9);
    let two = good(&format!("{TUBE}strap girdle on tube {{ of: webbing20, count: 2, ends: 40 mm }}"));
    let heights: Vec<f64> = ["girdle 1", "girdle 2"].map(|n| run(&two, n).line[0].z).to_vec();
    assert!((heights[0] - 40.0).abs() < 1e-9 && (heights[1] - 160.0).abs() < 1e-9);
}

#[test]
fn a_tab_is_two_legs_and_half_a_turn() {
    // dee20 has a bar of 3 mm, foam2 its neutral surface in the middle of 2 mm: 2 · 25 + π (1.5 + 1).
    let text =
        format!("{TUBE}attachment eye on tube {{ as: ring, of: dee20, tab: foam2, level: 150 mm, facing: right }}");
    let solid = good(&text);
    let long = 50.0 + PI * 2.5;
    let patch = solid.claims.iter().find_map(|c| match c.size {
        Size::Patch { across, up } => Some((across, up)),
        _ => None,
    });
    let (across, up) = patch.expect("a tab is cut");
    assert!((across - 20.0).abs() < 1e-9 && (up - long).abs() < 1e-9);
    let (_, pieces) = made(&solid);
    let tab = piece(&pieces, "eye tab");
    assert!((tab.area - 20.0 * long).abs() < 0.02, "{}", tab.area);
    // Of webbing it is a length off the reel, on the webbing's own middle: 2 · 25 + π (1.5 + 0.75).
    let webbing = good(&text.replace("tab: foam2", "tab: webbing20"));
    let tab = run(&webbing, "eye tab");
    assert!(matches!(tab.goods, GoodsOf::Supply(_)) && (tab.long() - (50.0 + PI * 2.25)).abs() < 1e-9);
}

/// How far the place of a fitting reaches across and up, on the flat.
fn place_of(solid: &Solid, name: &str) -> (f64, f64) {
    let spot = solid.fitted.spots.iter().find(|s| s.name == name).expect("it has a place");
    let (lo, hi) = spot.outline.bounds().expect("an outline");
    (hi.x - lo.x, hi.y - lo.y)
}

fn alike((a, b): (f64, f64), (c, d): (f64, f64), what: &str) {
    assert!((a - c).abs() < 1e-9 && (b - d).abs() < 1e-9, "{what}: {a} by {b} for {c} by {d}");
}

/// A loop is 2 mm wider inside than its strap (the language's default), glued down 20 mm at either end and 20 mm wide where
/// it is cut from sheet (common practice, no source); its strip climbs the strap's thickness on either side.
#[test]
fn a_loop_and_a_keeper_hold_their_strap() {
    for sort in ["loop", "keeper"] {
        let on = |of: &str, more: &str| {
            good(&format!(
                "{TUBE}attachment eye on tube {{ as: {sort}, of: {of}, level: 150 mm, facing: right{more} }}
                 attachment other on tube {{ as: ring, of: dee25, tab: webbing25, level: 150 mm, facing: left }}
                 strap sling on [eye, other] {{ of: webbing25, long: 900 mm }}"
            ))
        };
        // Webbing of 25 by 1.5 mm: 27 inside, 67 with both ends, 70 over the strap.
        let solid = on("webbing20", "");
        alike(place_of(&solid, "eye"), (20.0, 67.0), sort);
        assert!((run(&solid, "eye").long() - 70.0).abs() < 1e-9);
        // Of sheet it is a piece of that length.
        let sheet = on("foam2", ", wide: 31 mm");
        alike(place_of(&sheet, "eye"), (20.0, 71.0), sort);
        let (_, pieces) = made(&sheet);
        assert!((piece(&pieces, "eye").area - 20.0 * 74.0).abs() < 0.02);
    }
    // No strap runs through it: as wide as it is asked to be, and nothing to climb over.
    let alone =
        good(&format!("{TUBE}attachment eye on tube {{ as: loop, of: webbing20, wide: 30 mm, level: 150 mm }}"));
    assert!((run(&alone, "eye").long() - 70.0).abs() < 1e-9);
}

/// A hook's place is as large as the hook, hook-and-loop's as the tape is wide and long.
#[test]
fn hooks_and_tapes_take_their_own_size() {
    let solid = good(&format!(
        "{TUBE}attachment catch on tube {{ as: hook, of: belt_hook, level: 150 mm, facing: right }}
         attachment pad on tube {{ as: hook_loop, of: hook_loop25, long: 60 mm, level: 100 mm, facing: left, count: 2 }}"
    ));
    alike(place_of(&solid, "catch"), (40.0, 60.0), "a hook of 40 by 60 mm");
    for name in ["pad 1", "pad 2"] {
        alike(place_of(&solid, name), (60.0, 25.0), "a tape of 25 mm, 60 long");
        assert!((run(&solid, name).long() - 60.0).abs() < 1e-9);
    }
}

/// A magnet is let into the outer face, level with it: a place of its own size, its middle half its thickness deep. One
/// that is thicker than the sheet is told; children and implants are warned of.
#[test]
fn magnets_lie_within_the_sheet_and_are_warned_of() {
    let disc = |thick: f64| format!("supply disc8 {{ as: magnet, across: 8 mm, thick: {thick} mm, mass: 0.8 g }}\n");
    let catch = "attachment catch on tube { as: magnet, of: disc8, level: 60 mm, count: 3 }\n";
    let solid = good(&format!("{TUBE}{}{catch}", disc(2.0)));
    alike(place_of(&solid, "catch 1"), (8.0, 8.0), "a disc of 8 mm");
    let at = &solid.fitted.lumps[0].at;
    assert_eq!(at.len(), 3);
    // The tube is 90 mm across outside; their middles stand on a circle of 88.
    assert!(at.iter().all(|p| (p.truncate().length() - 44.0).abs() < 1e-9 && (p.z - 60.0).abs() < 1e-9), "{at:?}");
    assert_eq!(solid_of(TUBE, &format!("{}{catch}", disc(7.0))), [Code::NoRoomThere]);
    let built = crate::memory::build(crate::memory::Folder::of(&format!("{TUBE}{}{catch}", disc(2.0))));
    let report = built.files.iter().find(|f| f.path.ends_with("report.json")).expect("a report");
    assert!(String::from_utf8_lossy(&report.bytes).contains("keep them from children and from hearts"));
}

/// Rivets stand on their pitch, a place as wide as the head each, and go through the sheet; a backing patch of its size lies
/// behind the middle of what it backs.
#[test]
fn rivets_stand_on_a_pitch_and_patches_lie_behind() {
    let row =
        "attachment stud on tube { as: rivet, of: rivet8, count: 4, ends: 25 mm, spread: along, facing: right }\n";
    let solid = good(&format!("{TUBE}{row}"));
    let lump = &solid.fitted.lumps[0];
    let heights: Vec<f64> = lump.at.iter().map(|p| p.z).collect();
    assert_eq!(heights.len(), 4);
    assert!(heights.windows(2).all(|z| (z[1] - z[0] - 50.0).abs() < 1e-9), "{heights:?}");
    alike(place_of(&solid, "stud 1"), (8.0, 8.0), "a head of 8 mm");
    // Its shank is 8 mm long.
    let short = solid_of(&TUBE.replace("of: foam5", "of: [foam5, foam5]"), row);
    assert_eq!(short, [Code::DoesNotPass]);
    let backed = good(&format!(
        "{TUBE}attachment eye on tube {{ as: ring, of: dee20, tab: webbing20, backing: 30 mm by 40 mm, level: 150 mm }}"
    ));
    alike(place_of(&backed, "eye backing"), (30.0, 40.0), "a patch");
    let (_, pieces) = made(&backed);
    assert!((piece(&pieces, "eye backing").area - 1200.0).abs() < 0.01);
}

#[test]
fn a_tab_s_key_has_its_widths() {
    // 2 · 25 + π (1.5 + 1) is 57.85: said to half a millimetre.
    let text =
        format!("{TUBE}attachment eye on tube {{ as: ring, of: dee20, tab: foam2, level: 150 mm, facing: right }}");
    let built = crate::memory::build(crate::memory::Folder::of(&text));
    let svg = built.files.iter().find(|f| f.path.contains("cut/foam2") && f.path.ends_with(".svg")).expect("a sheet");
    assert!(String::from_utf8_lossy(&svg.bytes).contains("20 mm by 58 mm"));
}

fn solid_of(shell: &str, more: &str) -> Vec<Code> {
    solid(&format!("{shell}{more}")).1.sorted().iter().map(|d| d.code).collect()
}

/// A buckle's tab is as wide as the strap it takes, or as its own webbing; its bar is 4 mm at most, whatever its frame is
/// (common practice, no source): 2 · 25 + π (2 + 0.75).
#[test]
fn a_buckle_is_held_by_a_tab_round_its_bar() {
    let solid = good(&format!(
        "{TUBE}attachment clasp on tube {{ as: buckle, of: buckle25, tab: webbing25, level: 150 mm, facing: right }}"
    ));
    alike(place_of(&solid, "clasp"), (25.0, 25.0), "a tab");
    assert!((run(&solid, "clasp tab").long() - (50.0 + PI * 2.75)).abs() < 1e-9);
    // A tab is glued down for no less than it is wide: 2 · 38 + π (2 + 0.75).
    let wide = good(&format!(
        "supply buckle38 {{ as: buckle, wide: 38 mm, thick: 8 mm, mass: 20 g }}
         {TUBE}attachment clasp on tube {{ as: buckle, of: buckle38, tab: webbing38, level: 150 mm, facing: right }}"
    ));
    assert!((run(&wide, "clasp tab").long() - (76.0 + PI * 2.75)).abs() < 1e-9);
}

/// What a strap passes, by `via` or with a slider on it, lets it through where it is as wide as the strap, and no less.
#[test]
fn sliders_and_what_straps_run_through_are_wide_enough() {
    let rings = "attachment one on tube { as: ring, of: dee25, tab: webbing25, level: 150 mm, facing: right }
        attachment two on tube { as: ring, of: dee25, tab: webbing25, level: 150 mm, facing: left }\n";
    let said =
        |more: &str| solid(&format!("{TUBE}{rings}{more}")).1.sorted().iter().map(|d| d.code).collect::<Vec<_>>();
    let sling = |of: &str| format!("strap sling on [one, two] {{ of: {of}, long: 900 mm }}");
    assert_eq!(said(&sling("[webbing25, slider25]")), []);
    assert_eq!(said(&sling("[webbing25, slider20]")), [Code::DoesNotPass]);
    // A round ring is as wide inside as it is across.
    let round = |across: &str| {
        let ring = format!("supply hoop {{ as: ring, across: {across} }}\n");
        said(&format!("{ring}{}", sling("[webbing25, hoop]")))
    };
    assert_eq!(round("24 mm"), [Code::DoesNotPass]);
    assert_eq!(round("25 mm"), []);
    let via = |wide: &str| {
        said(&format!(
            "attachment eye on tube {{ as: loop, of: webbing20, wide: {wide}, level: 150 mm, facing: back }}
             strap sling on [one, two] {{ of: webbing25, long: 900 mm, via: eye }}"
        ))
    };
    assert_eq!(via("25 mm"), []);
    assert_eq!(via("24 mm"), [Code::DoesNotPass]);
}

#[test]
fn a_place_is_given_by_lengths_from_its_edges() {
    // A tube of 90 mm in foam of 5: rolled on a radius of 42.5. From the seam at the back to the right a quarter.
    let text =
        format!("{TUBE}attachment eye on tube {{ as: ring, of: dee20, tab: foam2, level: 150 mm, facing: right }}");
    let (_, pieces) = made(&good(&text));
    let tube = piece(&pieces, "tube");
    let from = &tube.places[0].from;
    assert_eq!(from[0].0, "top");
    assert!((from[0].1 - 50.0).abs() < 1e-6, "{from:?}");
    // Growing φ leads from the back over the right to the front: along the flat from its left side.
    assert_eq!(from[1].0, "seam left side");
    assert!((from[1].1 - 42.5 * 0.5 * PI).abs() < 0.01, "{from:?}");
    assert!(tube.letters.iter().any(|l| l.text == "eye"), "its name stands by it");
}

#[test]
fn a_place_on_the_seam_is_drawn_on_both_sides_of_it() {
    let (_, pieces) = made(&good(CASE));
    let tube = piece(&pieces, "tube");
    let drawn: Vec<_> = tube.places.iter().filter(|p| !p.hidden).collect();
    assert_eq!(drawn.len(), 2);
    for place in drawn {
        let own: Vec<_> = tube.marks.iter().filter(|m| m.about == About::Place(place.spot)).collect();
        // 25 by 25 mm all round, in two stretches, the seam itself left out.
        assert_eq!(own.len(), 2);
        let long: f64 = own.iter().map(|m| m.path.length()).sum();
        assert!((long - 100.0).abs() < 0.01, "{long}");
    }
    // Four corners of each patch, pricked through with two strokes each.
    let hidden: Vec<_> = tube.places.iter().filter(|p| p.hidden).collect();
    assert_eq!(hidden.len(), 2);
    for place in hidden {
        assert_eq!(tube.marks.iter().filter(|m| m.about == About::Place(place.spot)).count(), 8);
    }
}

#[test]
fn a_place_shows_on_what_lies_over_its_part() {
    let text = format!(
        "{}attachment eye on tube {{ as: ring, of: dee20, tab: webbing20, backing: 30 mm by 40 mm, level: 150 mm, facing: right }}",
        TUBE.replace("of: foam5", "of: [foam5, foam2]")
    );
    let mut solid = good(&text);
    // A cover as its kind makes it: a wall with the same strips beyond the outer face.
    let mut cover = solid.parts[0].clone();
    cover.id = PartId::new(solid.parts.len());
    cover.thing = ThingId::new(99);
    cover.name = "hide".to_owned();
    let outer = cover.layers[1].outer;
    cover.layers = vec![Layer { stock: 1, inner: outer, neutral: outer + 1.0, outer: outer + 2.0, square: false }];
    let tube = solid.parts[0].id;
    let over = cover.id;
    solid.joints.clear();
    solid.parts.push(cover);
    for spot in &mut solid.fitted.spots {
        assert!(spot.part == tube && spot.over.is_empty());
        if spot.name == "eye" {
            spot.over.push(Over { part: over, strip: 0, rule: None });
        }
    }
    let (_, pieces) = made(&solid);
    let names =
        |piece: &str| -> Vec<String> { self::piece(&pieces, piece).places.iter().map(|p| p.name.clone()).collect() };
    assert_eq!(names("tube layer 1 inside"), ["eye backing"]);
    assert_eq!(names("tube layer 2 outside"), ["eye"]);
    assert_eq!(names("hide"), ["eye"]);
    // On the cover, as on the wall, a quarter of the way round its own neutral surface.
    let from = &self::piece(&pieces, "hide").places[0].from;
    assert!((from[1].1 - 46.0 * 0.5 * PI).abs() < 0.01, "{from:?}");
}

#[test]
fn a_place_shows_on_the_band_it_lies_under() {
    let text = |level: &str| {
        format!(
            "{TUBE}border collar on tube {{ as: band, of: foam2, wide: 60 mm, level: 120 mm }}
border hem on tube.bottom {{ as: scallops, of: foam2, wide: 60 mm, every: 30 mm }}
attachment eye on tube {{ as: ring, of: dee20, tab: webbing20, level: {level}, facing: right + 10 deg }}"
        )
    };
    // The tab hangs 25 mm below its bar: from 100 to 125 all of it lies on the band, from 75 to 100 not, nor from 36 to
    // 61 on the one with tongues, whose notches lie 7 mm below its rim at 60.
    for (level, shown) in [("125 mm", vec!["collar"]), ("100 mm", vec![]), ("61 mm", vec![]), ("48 mm", vec!["hem"])] {
        let (_, pieces) = made(&good(&text(level)));
        let on: Vec<&str> =
            pieces.pieces.iter().filter(|p| p.name != "tube" && !p.places.is_empty()).map(|p| &*p.name).collect();
        assert_eq!(on, shown, "{level}");
        assert_eq!(piece(&pieces, "tube").places.len(), 1);
    }
    // On the band a quarter of the way round less ten degrees, along its own neutral surface; and up from its rim.
    let (_, pieces) = made(&good(&text("125 mm")));
    let place = &piece(&pieces, "collar").places[0];
    assert!((place.from[1].1 - 46.0 * (0.5 * PI + PI / 18.0)).abs() < 0.01, "{:?}", place.from);
    assert!((place.from[0].1 - 25.0).abs() < 0.01, "{:?}", place.from);
}

#[test]
fn overlaps_are_told_with_both_places() {
    let found = |text: &str| {
        let (_, found) = develop(&good(&format!("{TUBE}{text}")));
        found.iter().map(|d| (d.code, d.labels.len(), d.message.clone())).collect::<Vec<_>>()
    };
    let ring = |name: &str, level: u32, facing: &str| {
        format!(
            "attachment {name} on tube {{ as: ring, of: dee20, tab: webbing20, level: {level} mm, facing: {facing} }}\n"
        )
    };
    let two = found(&(ring("upper", 120, "left") + &ring("lower", 100, "left")));
    assert!(matches!(two.as_slice(), [(Code::PlacesOverlap, 2, m)] if m.contains("upper and lower")), "{two:?}");
    assert_eq!(found(&(ring("upper", 126, "left") + &ring("lower", 100, "left"))), []);
    // Across the seam as well.
    let seam = found(&(ring("upper", 100, "back - 8 deg") + &ring("lower", 100, "back + 8 deg")));
    assert!(matches!(seam.as_slice(), [(Code::PlacesOverlap, 2, _)]), "{seam:?}");
    assert_eq!(found(&(ring("upper", 100, "back - 16 deg") + &ring("lower", 100, "back + 16 deg"))), []);
    let port = "opening port on tube { shape: circle(across: 30 mm), level: 95 mm, facing: left }\n";
    let hole = found(&(ring("upper", 100, "left") + port));
    assert!(matches!(hole.as_slice(), [(Code::PlacesOverlap, 2, m)] if m.contains("over port")), "{hole:?}");
    // Of one name: both places under one label.
    let tacks = found("attachment tacks on tube { as: rivet, of: rivet8, every: 7 mm, level: 100 mm }");
    assert!(matches!(tacks.as_slice(), [(Code::PlacesOverlap, 1, _)]), "all under one name at once: {tacks:?}");
    // What has no room is refused: past a rim, in the gap of an open seam, over a step between two pieces.
    let low = found(&ring("eye", 20, "left"));
    assert!(matches!(low.as_slice(), [(Code::NoRoomThere, ..)]), "{low:?}");
}

#[test]
fn nothing_is_fixed_where_there_is_no_wall() {
    let open = TUBE.replace("(across: 90 mm) }", "(across: 90 mm), seam: open(facing: back, gap: 60 mm) }");
    let text =
        format!("{open}attachment eye on tube {{ as: ring, of: dee20, tab: webbing20, level: 100 mm, facing: back }}");
    let (_, found) = develop(&good(&text));
    assert!(found.iter().any(|d| d.code == Code::NoRoomThere), "{found:#?}");
}

#[test]
fn fittings_are_counted_and_weighed() {
    let solid = good(&format!(
        "{TUBE}attachment tacks on tube {{ as: rivet, of: rivet8, every: 40 mm, level: 30 mm }}
attachment tear on tube {{ as: drop, of: bead10, wire: thin_wire, long: 60 mm, gap: 2 mm, facing: left, level: 150 mm }}"
    ));
    let lump = |name: &str| solid.fitted.lumps.iter().find(|l| l.name == name).expect("it is fitted");
    // π · 90 / 40 is 7.07: eight, evenly; each half-way through the sheet.
    assert_eq!(lump("tacks").at.len(), 8);
    assert!(lump("tacks").at.iter().all(|p| (p.truncate().length() - 42.5).abs() < 1e-9 && (p.z - 30.0).abs() < 1e-9));
    assert_eq!(lump("tacks").mass, Some(1.5));
    // Five beads of 10 with 2 between take 58 of 60 mm; they hang down from the place.
    let beads = lump("tear");
    assert_eq!((beads.at.len(), beads.spacing), (5, Some(12.0)));
    assert!((beads.at[0].z - 145.0).abs() < 1e-9 && (beads.at[4].z - 97.0).abs() < 1e-9);
}
