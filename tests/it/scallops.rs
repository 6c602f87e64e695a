//! Scallops: that their tongues are the arcs they should be, as many as fit, and that the strip is cut to them.
//!
//! Figures of a circular segment of chord `c` and height `h`: `r = (c² + 4h²)/(8h)`, `θ = 2 asin(c/2r)`, length of the
//! arc `rθ`, area `r²(θ − sin θ)/2` (Machinery's Handbook, "Segments of circles"; from memory, and derived in
//! `geom::scallop`). With `h = c/4` they are `r = 5c/8` and `sin θ/2 = 4/5`, a right triangle of 3, 4 and 5.

use crate::shape::{Made, made};
use tasset::develop::develop;
use tasset::geom::path::Seg;
use tasset::num::{self, PI, TAU};
use tasset::piece::{Piece, Pieces};
use tasset::solid::{EdgeName, Scallops};

/// `2 asin(4/5)`.
const THETA: f64 = 1.854_590_436_003_224_4;

fn cut(m: &Made) -> Pieces {
    m.clean();
    crate::support::cut(&m.shaped.solid).pieces
}

fn piece<'a>(pieces: &'a Pieces, name: &str) -> &'a Piece {
    pieces.pieces.iter().find(|p| p.name == name).unwrap_or_else(|| panic!("no piece {name}"))
}

fn tongues(piece: &Piece, edge: EdgeName) -> Vec<Seg> {
    let runs = piece.contour.iter().filter(|r| r.edge == Some(edge));
    runs.flat_map(|r| r.path.segs.iter().copied()).collect()
}

fn row(m: &Made, name: &str) -> Scallops {
    m.wall(name).scallops.unwrap_or_else(|| panic!("{name} has no tongues"))
}

fn near(a: f64, b: f64, tol: f64) {
    assert!((a - b).abs() <= tol, "{a} is not {b}");
}

#[test]
fn round_a_tube_every_tongue_is_the_handbook_s_segment() {
    // Foam 2 on a radius of 45: its neutral surface is 2π·46 = 289.027 round, 9.63 times 30 mm: ten tongues.
    let m = made(
        "shell tube { at 0 mm to 100 mm: circle(across: 90 mm) }
         border hem on tube { as: scallops, of: foam2, wide: 30 mm, every: 30 mm, level: 50 mm }
         let way = hem.long",
    );
    let pieces = cut(&m);
    let hem = piece(&pieces, "hem");
    let (long, pitch) = (TAU * 46.0, TAU * 4.6);
    assert_eq!(row(&m, "hem").count, 10);
    assert!(!row(&m, "hem").upper, "at a level they hang down");
    near(row(&m, "hem").rise, pitch / 4.0, 1e-9);
    let arcs = tongues(hem, EdgeName::Lower);
    assert_eq!(arcs.len(), 10);
    let radius = 5.0 * pitch / 8.0;
    for arc in &arcs {
        near(arc.radius(), radius, 5e-3);
        near(arc.length(), radius * THETA, 2e-3);
        near(arc.a.distance(arc.b), pitch, 2e-3);
    }
    let note = |name: &str| hem.edges.iter().find(|e| e.name == name).expect("an edge");
    near(note("bottom").long.neutral, 10.0 * radius * THETA, 1e-6);
    assert_eq!(note("bottom").bevel, "square; 10 tongues, 7.2 mm from notch to tip");
    near(note("seam left side").long.neutral, 30.0 - pitch / 4.0, 1e-6);
    // sin θ = 2 · 4/5 · 3/5.
    let segment = 0.5 * radius * radius * (THETA - 0.96);
    near(hem.area, long * (30.0 - pitch / 4.0) + 10.0 * segment, 0.2);
    near(hem.mass.expect("a mass"), hem.area * 2.0 * 110e-6, 1e-9);
    // As a fact its length is its girth half-way up, on the measured face: what it lies round is 2 mm less in radius.
    near(m.value("way"), TAU * 47.0, 1e-6);
}

#[test]
fn on_a_cone_tongues_lean_to_neither_side() {
    // 90 to 120 mm over 120: the flat is a sector, its lower rim of radius R; a notch lies `rise` farther out on its
    // generatrix, the tip on the rim, so chord and height follow from the angle of a pitch.
    let m = made(
        "shell lamp { at 0 mm: circle(across: 90 mm), at 120 mm: circle(across: 120 mm) }
         border hem on lamp.top { as: scallops, of: foam2, wide: 40 mm, every: 24 mm, rise: 8 mm }
         border frill on lamp.bottom { as: scallops, of: foam2, wide: 20 mm, every: 24 mm }",
    );
    let pieces = cut(&m);
    let slope = num::atan(15.0 / 120.0);
    // On the edge the strip ends level with it; 40 mm down the wall's face stands the rim of the tongues.
    let (hem, frill) = (m.wall("hem"), m.wall("frill"));
    let rim = |z: f64| (45.0 + z * num::tan(slope) + num::cos(slope)) / num::sin(slope);
    let heights = hem.strips[0].heights();
    let radius = rim(heights.0);
    let n = row(&m, "hem").count as f64;
    near(n, (TAU * num::sin(slope) * radius / 24.0).round(), 0.0);
    let pitch = TAU * num::sin(slope) / n;
    let chord = 2.0 * (radius + 8.0) * num::sin(pitch / 2.0);
    let height = (radius + 8.0) * num::cos(pitch / 2.0) - radius;
    for arc in tongues(piece(&pieces, "hem"), EdgeName::Lower) {
        near(arc.a.distance(arc.b), chord, 2e-3);
        near(arc.radius(), (chord * chord + 4.0 * height * height) / (8.0 * height), 2e-3);
    }
    // On the bottom edge they point up: outside the sector's rim, chord and height change places round it.
    assert!(row(&m, "frill").upper && !row(&m, "hem").upper);
    let (_, top) = frill.strips[0].heights();
    let (radius, rise) = (rim(top), row(&m, "frill").rise);
    let pitch = TAU * num::sin(slope) / row(&m, "frill").count as f64;
    let chord = 2.0 * (radius - rise) * num::sin(pitch / 2.0);
    let height = radius - (radius - rise) * num::cos(pitch / 2.0);
    for arc in tongues(piece(&pieces, "frill"), EdgeName::Upper) {
        near(arc.a.distance(arc.b), chord, 2e-3);
        near(arc.radius(), (chord * chord + 4.0 * height * height) / (8.0 * height), 2e-3);
    }
}

#[test]
fn an_open_wall_has_whole_tongues_from_side_to_side() {
    // Half a tube inside: the strip is π·41 = 128.8 long on its neutral surface, 5.85 times 22 mm.
    let m = made(
        "shell half { measured: inside, of: foam2, at 0 mm to 60 mm: circle(across: 78 mm), seam: open(facing: back, gap: 180 deg) }
         border hem on half.top { as: scallops, of: foam2, wide: 20 mm, every: 22 mm, count: 2 }",
    );
    let pieces = cut(&m);
    for name in ["hem 1", "hem 2"] {
        assert_eq!(row(&m, name).count, 6, "{name}");
        let arcs = tongues(piece(&pieces, name), EdgeName::Lower);
        assert_eq!(arcs.len(), 6);
        let pitch = PI * 42.0 / 6.0;
        for arc in arcs {
            near(arc.a.distance(arc.b), pitch, 2e-3);
        }
    }
}

#[test]
fn between_unlike_sections_tongues_lean_as_the_generatrices_do() {
    let m = made(
        "shell body { at 0 mm: oval(across: 105 mm by 70 mm), at 140 mm: circle(across: 130 mm) }
         border skirt on body { as: scallops, of: foam2, wide: 40 mm, every: 30 mm, level: 80 mm, seam: lap(overlap: 12 mm) }
         shell open { at 0 mm: oval(across: 105 mm by 70 mm), at 140 mm: circle(across: 130 mm), seam: open(gap: 60 mm) }
         border fringe on open.bottom { as: scallops, of: foam2, wide: 30 mm, every: 22 mm, rise: 8 mm }",
    );
    let pieces = cut(&m);
    // Chords differ, and so do the heights over them; every tongue still passes through its tip, as the audit saw.
    let arcs = tongues(piece(&pieces, "skirt"), EdgeName::Lower);
    let chords: Vec<f64> = arcs.iter().map(|s| s.a.distance(s.b)).collect();
    let (least, most) = chords.iter().fold((f64::INFINITY, 0.0f64), |(a, b), c| (a.min(*c), b.max(*c)));
    assert!(most - least > 0.1, "{least} {most}");
    assert!(most < 33.0 && least > 30.0, "{least} {most}");
    // Neighbours share their notch.
    let gaps = |arcs: &[Seg]| arcs.windows(2).map(|w| w[0].b.distance(w[1].a)).fold(0.0, f64::max);
    assert!(gaps(&arcs) == 0.0 && gaps(&tongues(piece(&pieces, "fringe"), EdgeName::Upper)) == 0.0);
}

#[test]
fn tongues_that_cannot_be_cut_are_told() {
    let told = |border: &str| {
        let m = made(&format!("shell tube {{ at 0 mm to 100 mm: circle(across: 90 mm) }}\n{border}"));
        let errors = m.errors();
        assert_eq!(errors.len(), 1, "{}", m.told());
        (errors[0], m.told())
    };
    let hem = |fields: &str| told(&format!("border hem on tube.top {{ as: scallops, of: foam2, {fields} }}"));
    let (code, said) = hem("wide: 9 mm, every: 30 mm");
    assert!(code == "scallops-too-tall" && said.contains("`wide: 10.3 mm` or more"), "{said}");
    let (code, said) = hem("wide: 30 mm, every: 30 mm, rise: 14 mm");
    assert!(code == "scallops-too-tall" && said.contains("`rise: 11 mm` or less"), "{said}");
    let (code, said) = hem("wide: 30 mm, every: 3 mm");
    assert!(code == "scallops-too-small" && said.contains("`every: 5 mm` or more"), "{said}");
    let (code, said) = hem("wide: 30 mm, every: 30 mm, level: top - 2 mm");
    assert!(code == "past-the-edge" && said.contains("hem passes the top edge"), "{said}");
    let m = made(
        "shell knee { at 0 mm: circle(across: 90 mm), at 50 mm: circle(across: 120 mm), at 100 mm: circle(across: 90 mm) }
         border hem on knee { as: scallops, of: foam2, wide: 40 mm, every: 40 mm, level: 65 mm }",
    );
    assert_eq!(m.errors(), ["scallops-too-tall"], "{}", m.told());
    assert!(m.told().contains("across a knee"), "{}", m.told());
}

#[test]
fn a_hole_keeps_clear_of_the_tongues() {
    let m = made(
        "shell tube { at 0 mm to 100 mm: circle(across: 90 mm) }
         border hem on tube { as: scallops, of: foam2, wide: 30 mm, every: 30 mm, level: 50 mm }
         opening port on tube { shape: circle(across: 10 mm), level: 55 mm, facing: left }",
    );
    let pieces = cut(&m);
    assert_eq!(piece(&pieces, "hem").holes.len(), 1, "it goes through the strip");
    let m = made(
        "shell tube { at 0 mm to 100 mm: circle(across: 90 mm) }
         border hem on tube { as: scallops, of: foam2, wide: 30 mm, every: 30 mm, level: 50 mm }
         opening port on tube { shape: circle(across: 10 mm), level: 40 mm, facing: left + 18 deg }",
    );
    // Ten tongues from the back on: 18 degrees past the left stands a notch.
    let (_, found) = develop(&m.shaped.solid);
    let codes: Vec<&str> = found.iter().map(|d| d.code.name()).collect();
    assert_eq!(codes, ["hole-crosses-edge"], "{found:?}");
}
