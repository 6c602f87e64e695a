//! Shaped edges: that a figure is what a tape would draw, on every sort of wall, against figures from outside.

use crate::shape::{Made, made};
use crate::support::{Cut, cut};
use tasset::audit::audit;
use tasset::geom::path::Seg;
use tasset::num::{self, PI, TAU};
use tasset::piece::Piece;
use tasset::solid::{EdgeName, Rim};

pub fn of(text: &str) -> (Made, Cut) {
    let m = made(text);
    m.clean();
    let cut = cut(&m.shaped.solid);
    (m, cut)
}

pub fn piece<'a>(cut: &'a Cut, name: &str) -> &'a Piece {
    cut.pieces.pieces.iter().find(|p| p.name == name).unwrap_or_else(|| panic!("no piece {name}"))
}

pub fn edge(piece: &Piece, edge: EdgeName) -> Vec<Seg> {
    let runs = piece.contour.iter().filter(|r| r.edge == Some(edge));
    runs.flat_map(|r| r.path.segs.iter().copied()).collect()
}

pub fn long(piece: &Piece, name: EdgeName) -> f64 {
    edge(piece, name).iter().map(Seg::length).sum()
}

#[track_caller]
pub fn near(a: f64, b: f64, tol: f64) {
    assert!((a - b).abs() <= tol, "{a} is not {b}");
}

/// A straight tube of 90 mm across and 100 mm tall, foam 5 measured in its middle, which is neutral.
fn tube(edge: &str) -> (Made, Cut) {
    of(&format!(
        "shell tube {{ measured: middle, at 0 mm to 100 mm: circle(across: 90 mm) }}\nedge e on tube.top {{ {edge} }}\nlet way = e.long\nlet round = tube.top.around"
    ))
}

#[test]
fn teeth_go_up_and_down_as_often_as_there_are_teeth() {
    // Exact: on the flat of a tube eight teeth are a rectangle's side and sixteen times their height.
    let (m, cut) = tube("as: crenels, count: 8, rise: 12 mm");
    let girth = TAU * 45.0;
    near(m.value("way"), girth + 192.0, 1e-6);
    near(m.value("round"), girth + 192.0, 1e-6);
    let piece = piece(&cut, "tube");
    let segs = edge(piece, EdgeName::Upper);
    assert!(segs.iter().all(|s| s.bulge == 0.0), "teeth are square");
    let upright: Vec<&Seg> = segs.iter().filter(|s| (s.b - s.a).x.abs() < 2e-3).collect();
    assert_eq!(upright.len(), 16);
    upright.iter().for_each(|s| near(s.length(), 12.0, 2e-3));
    // Eight tops, and eight gaps or one more that the seam divides.
    let (tops, gaps): (Vec<&Seg>, Vec<&Seg>) =
        segs.iter().filter(|s| (s.b - s.a).y.abs() < 2e-3).partition(|s| s.a.y > 94.0 + segs[0].a.y.min(0.0));
    assert_eq!(tops.len() + gaps.len(), 17);
    near(piece.area, girth * (100.0 - 6.0), 0.05);
    near(long(piece, EdgeName::Upper), girth + 192.0, 0.01);
    let note = piece.edges.iter().find(|e| e.name == "top").expect("an edge");
    assert_eq!(note.bevel, "square; 8 teeth, 12 mm deep");
    near(note.long.neutral, girth + 192.0, 1e-6);
    // On the outside, 2.5 mm out, the teeth are as tall and the way round is longer.
    near(note.long.outside, TAU * 47.5 + 192.0, 1e-6);
}

#[test]
fn points_are_straight_on_both_sides() {
    let (m, cut) = tube("as: point, count: 9, rise: 30 mm");
    let half = TAU * 45.0 / 18.0;
    near(m.value("way"), 18.0 * (half * half + 900.0).sqrt(), 1e-6);
    let segs = edge(piece(&cut, "tube"), EdgeName::Upper);
    assert!(segs.iter().all(|s| s.bulge == 0.0), "straight");
    // Nine points, the valley opposite the front on the seam: eighteen sides.
    assert_eq!(segs.len(), 18);
    near(piece(&cut, "tube").area, TAU * 45.0 * 85.0, 0.05);
    // One alone is straight all the way from the seam up to the front.
    let (m, cut) = tube("as: point, rise: 40 mm");
    let half = PI * 45.0;
    near(m.value("way"), 2.0 * (half * half + 1600.0).sqrt(), 1e-6);
    assert_eq!(edge(piece(&cut, "tube"), EdgeName::Upper).len(), 2);
}

#[test]
fn a_wave_has_its_length_by_elliptic_integral() {
    // Six waves of a cosine 18 mm deep round 90π: 4 · (p/2π) √(1 + k²) E(k²/(1 + k²)) each, k = π · 18/p (scipy 1.x,
    // `ellipe` and `quad` agree to 1e-12).
    let (m, cut) = tube("as: wave, count: 6, rise: 18 mm");
    near(m.value("way"), 366.572_317_726_175, 1e-6);
    near(long(piece(&cut, "tube"), EdgeName::Upper), 366.572_317_726, 0.02);
    near(piece(&cut, "tube").area, TAU * 45.0 * 91.0, 0.05);
    // Measured on the outside, its neutral surface is 2.5 mm in: the same falls over a shorter way (`quad`).
    let (_, cut) = of(
        "shell tube { at 0 mm to 100 mm: circle(across: 90 mm) }\nedge e on tube.top { as: wave, count: 6, rise: 18 mm }",
    );
    let note = piece(&cut, "tube").edges.iter().find(|e| e.name == "top").expect("an edge");
    near(note.long.neutral, 354.275_092_344_338, 1e-6);
}

#[test]
fn tongues_are_the_handbook_s_segments() {
    // Chord c and height c/4: r = 5c/8, sin θ/2 = 4/5 (Machinery's Handbook, "Segments of circles"; from memory).
    let theta = 1.854_590_436_003_224_4;
    let chord = TAU * 45.0 / 10.0;
    let (m, cut) = tube(&format!("as: scallops, count: 10, rise: {:.6} mm", chord / 4.0));
    let radius = 5.0 * chord / 8.0;
    near(m.value("way"), 10.0 * radius * theta, 1e-4);
    let piece = piece(&cut, "tube");
    for seg in edge(piece, EdgeName::Upper) {
        near(seg.radius(), radius, 5e-3);
        assert!(seg.bulge > 0.0, "they stand out of the wall");
    }
    let segment = 0.5 * radius * radius * (theta - 0.96);
    // An area is right within a hundred-thousandth of itself, as every panel's is.
    near(piece.area, TAU * 45.0 * (100.0 - chord / 4.0) + 10.0 * segment, 0.27);
}

#[test]
fn a_slope_is_a_sine_on_the_flat() {
    // u(x) = h sin(x/r) (M. Apostol and M. Mnatsakanian, Unwrapping curves from cylinders and cones, The American
    // Mathematical Monthly 114, 2007, section 2); facing the front, deepest on the seam at the back.
    let (m, cut) = tube("as: slope, rise: 30 mm");
    let Rim::PlaneSquare(plane) = m.wall("tube").rings[0].upper else { panic!("no plane") };
    near(num::atan(15.0 / 45.0), num::acos(plane.normal.z), 1e-9);
    let segs = edge(piece(&cut, "tube"), EdgeName::Upper);
    let middle = segs.iter().map(|s| s.a.x.max(s.b.x)).fold(f64::NEG_INFINITY, f64::max)
        + segs.iter().map(|s| s.a.x.min(s.b.x)).fold(f64::INFINITY, f64::min);
    let top = segs.iter().map(|s| s.a.y.max(s.b.y)).fold(f64::NEG_INFINITY, f64::max);
    for s in &segs {
        let x = s.a.x - 0.5 * middle;
        near(top - s.a.y, 15.0 * (1.0 - num::cos(x / 45.0)), 0.02);
    }
    near(piece(&cut, "tube").area, TAU * 45.0 * 85.0, 0.05);
    // The ellipse of half-axes 45 and √(45² + 15²): 4aE(m) (Abramowitz & Stegun 1964, ch. 17), by its series here.
    let (a, b) = ((45.0f64 * 45.0 + 225.0).sqrt(), 45.0);
    let m2 = 1.0 - b * b / (a * a);
    let (mut sum, mut term) = (1.0, 1.0);
    for n in 1..60u8 {
        let n = f64::from(n);
        term *= ((2.0 * n - 1.0) / (2.0 * n)).powi(2) * m2;
        sum -= term / (2.0 * n - 1.0);
    }
    near(m.value("way"), TAU * a * sum, 1e-5);
}

#[test]
fn on_a_cone_a_tape_s_straight_line_winds_as_a_spiral() {
    // 100 to 140 mm over 100, five points 20 mm deep: in the sector's polar coordinates r = R − m s, θ = s/R
    // (Archimedes' spiral); length and area between it and the rim by scipy's `quad`.
    let (m, cut) = of(
        "shell lamp { measured: middle, at 0 mm: circle(across: 100 mm), at 100 mm: circle(across: 140 mm) }\nedge e on lamp.top { as: point, count: 5, rise: 20 mm }\nlet way = e.long",
    );
    near(m.value("way"), 471.980_806_062_873, 1e-6);
    let whole = PI * (50.0 + 70.0) * (20.0f64 * 20.0 + 100.0 * 100.0).sqrt();
    near(piece(&cut, "lamp").area, whole - 4_316.080_780_438_968, 0.05);
    // Each tip on the rim's radius and each valley 20 mm from it, seen from the sector's apex.
    let radius = 356.931_365_951_495;
    let segs = edge(piece(&cut, "lamp"), EdgeName::Upper);
    let seam = edge(piece(&cut, "lamp"), EdgeName::End);
    let begin = edge(piece(&cut, "lamp"), EdgeName::Begin);
    let (p, u) = (seam[0].a, (seam[0].b - seam[0].a).normalize());
    let (q, v) = (begin[0].a, (begin[0].b - begin[0].a).normalize());
    let apex = p + u * ((q - p).perp_dot(v) / u.perp_dot(v));
    let falls: Vec<f64> = segs.iter().map(|s| radius - s.a.distance(apex)).collect();
    near(falls.iter().copied().fold(f64::INFINITY, f64::min), 0.0, 5e-3);
    near(falls.iter().copied().fold(f64::NEG_INFINITY, f64::max), 20.0, 5e-3);
}

#[test]
fn figures_lie_right_on_every_sort_of_wall() {
    let walls = [
        "at 0 mm to 90 mm: circle(across: 120 mm)",
        "at 0 mm: circle(across: 120 mm), at 110 mm: circle(across: 170 mm)",
        "measured: inside, at 0 mm: oval(across: 120 mm by 90 mm), at 110 mm: oval(across: 150 mm by 130 mm)",
        "at 0 mm: circle(across: 120 mm), at 110 mm: oval(across: 170 mm by 130 mm)",
        "at 0 mm to 90 mm: rectangle(across: 150 mm by 120 mm, corner: 20 mm)",
        "at 0 mm: rectangle(across: 150 mm by 120 mm, corner: 25 mm), at 90 mm: rectangle(across: 130 mm by 140 mm, corner: 20 mm)",
        "at 0 mm: circle(across: 130 mm), at 60 mm: circle(across: 180 mm), at 130 mm: circle(across: 160 mm)",
        "at 0 mm: oval(across: 120 mm by 90 mm), at 110 mm: oval(across: 150 mm by 130 mm), seam: open(gap: 30 mm, facing: back)",
        "at 0 mm: circle(across: 120 mm), at 110 mm: circle(across: 150 mm), seam: open(gap: 110 deg, facing: left)",
        "at 0 mm to 90 mm: circle(across: 120 mm), seam: lap(overlap: 14 mm, facing: left)",
        "of: [foam2, foam5], at 0 mm: oval(across: 120 mm by 90 mm), at 110 mm: circle(across: 150 mm)",
    ];
    let figures = [
        ("as: slope, rise: 22 mm, facing: left", "as: slope, rise: 9 mm, facing: right"),
        ("as: point, count: 5, rise: 25 mm", "as: point, count: 3, rise: 6 mm"),
        ("as: crenels, count: 6, rise: 14 mm", "as: crenels, every: 50 mm, rise: 5 mm"),
        ("as: wave, count: 5, rise: 16 mm", "as: wave, every: 70 mm, rise: 9 mm"),
        ("as: scallops, count: 8, rise: 11 mm", "as: scallops, every: 40 mm, rise: 9 mm"),
    ];
    for (i, wall) in walls.iter().enumerate() {
        // Every other one: each wall takes some, each figure lies on some of every sort.
        for (top, bottom) in figures.iter().skip(i % 2).step_by(2) {
            let text = format!(
                "shell body {{ {wall} }}\nedge head on body.top {{ {top} }}\nedge foot on body.bottom {{ {bottom} }}"
            );
            let m = made(&text);
            assert_eq!(m.errors(), Vec::<&str>::new(), "{text}\n{}", m.told());
            let (flat, found) = tasset::develop::develop(&m.shaped.solid);
            assert!(!found.has_errors(), "{text}\n{found:#?}");
            let (pieces, found) = tasset::finish::finish(&m.shaped.solid, &flat);
            assert!(!found.has_errors(), "{text}\n{found:#?}");
            let verdict = audit(&m.shaped.solid, &flat, &pieces, None);
            assert!(verdict.passed(), "{text}\n{:#?}", verdict.breaches);
        }
    }
}

/// A straight side may come to nothing on the rim that is cut: all of its rules end in one place of it. Of figures whose
/// parts end just there half of the side goes to either.
#[test]
fn a_figure_s_part_may_end_where_a_flat_side_comes_to_nothing() {
    let (flat, round) = ("rectangle(across: 117 mm by 99.7 mm, corner: 29.9 mm)", "circle(across: 119 mm)");
    for (bottom, top, end) in [(flat, round, "top"), (round, flat, "bottom")] {
        for figure in [
            // Gaps end facing left and right, where a side does.
            "as: crenels, count: 3, rise: 25.9 mm",
            "as: crenels, count: 7, rise: 25.9 mm",
            // Crests there, and half-way between two.
            "as: point, count: 4, rise: 25 mm",
            "as: point, count: 10, rise: 18.4 mm",
            "as: wave, count: 6, rise: 12 mm",
        ] {
            let text = format!(
                "shell body {{ measured: inside, at 0 mm: {bottom}, at 97.3 mm: {top} }}\nedge e on body.{end} {{ {figure} }}"
            );
            let (m, cut) = of(&text);
            let verdict = audit(&m.shaped.solid, &cut.flat, &cut.pieces, None);
            assert!(verdict.passed(), "{text}\n{:#?}", verdict.breaches);
            // The same on the left as on the right: what a part begins with the other one ends with.
            let falls: Vec<f64> =
                edge(piece(&cut, "body"), if end == "top" { EdgeName::Upper } else { EdgeName::Lower })
                    .iter()
                    .map(Seg::length)
                    .collect();
            let back: Vec<f64> = falls.iter().rev().copied().collect();
            let alike = falls.len() == back.len() && falls.iter().zip(&back).all(|(a, b)| (a - b).abs() < 0.02);
            assert!(alike, "{text}\n{falls:?}");
        }
    }
}

/// The first is what is asked for, and the pieces are those of the second.
fn caught(asked: &str, cut_as: &str) -> bool {
    let wall = "shell body { at 0 mm: circle(across: 120 mm), at 110 mm: circle(across: 150 mm) }\n";
    let (right, _) = of(&format!("{wall}edge e on body.top {{ {asked} }}"));
    let (wrong, spoilt) = of(&format!("{wall}edge e on body.top {{ {cut_as} }}"));
    let (flat, _) = tasset::develop::develop(&right.shaped.solid);
    // Against the line that is asked for; and, where the solid itself is wrong, against what the text says.
    let by_line = !audit(&right.shaped.solid, &flat, &spoilt.pieces, None).passed();
    let mut said = wrong.shaped.solid.clone();
    said.claims.clone_from(&right.shaped.solid.claims);
    let by_claim = !audit(&said, &spoilt.flat, &spoilt.pieces, None).passed();
    assert_eq!(by_line, by_claim, "{asked} as {cut_as}");
    by_line
}

#[test]
fn a_figure_that_is_cut_wrongly_is_caught() {
    // Half a millimetre of 471 mm is 0.38 degrees.
    assert!(!caught("as: point, count: 7, rise: 25 mm", "as: point, count: 7, rise: 25 mm"));
    for (asked, cut_as) in [
        // Moved round by a millimetre.
        ("as: point, count: 7, rise: 25 mm", "as: point, count: 7, rise: 25 mm, facing: front + 0.77 deg"),
        // One tooth too few.
        ("as: crenels, count: 8, rise: 14 mm", "as: crenels, count: 7, rise: 14 mm"),
        // Upside down: teeth where gaps are.
        ("as: crenels, count: 7, rise: 14 mm", "as: crenels, count: 7, rise: 14 mm, facing: back"),
        ("as: wave, count: 5, rise: 16 mm", "as: wave, count: 5, rise: 16 mm, facing: back"),
        // Not as deep.
        ("as: scallops, count: 9, rise: 12 mm", "as: scallops, count: 9, rise: 11.8 mm"),
        ("as: slope, rise: 22 mm", "as: slope, rise: 22.2 mm"),
        ("as: slope, rise: 22 mm", "as: slope, rise: 22 mm, facing: left"),
        // Another figure.
        ("as: wave, count: 6, rise: 16 mm", "as: point, count: 6, rise: 16.2 mm"),
    ] {
        assert!(caught(asked, cut_as), "{asked} as {cut_as}");
    }
}

#[track_caller]
pub fn says(text: &str, parts: &[&str]) {
    let m = made(text);
    let told = m.told();
    assert!(parts.iter().all(|p| told.contains(p)), "{text}\n{told}");
}

pub const TUBE: &str = "shell tube { at 0 mm to 100 mm: circle(across: 90 mm) }\n";

#[test]
fn what_cannot_be_cut_is_refused_with_what_would_do() {
    let on = |rest: &str| format!("{TUBE}{rest}");
    says(&on("edge e on tube.top { as: crenels, count: 8, rise: 100 mm }"), &["figure-too-tall", "`rise: 99 mm`"]);
    says(&on("edge e on tube.top { as: crenels, count: 80, rise: 10 mm }"), &["figure-too-small", "`count: 28`"]);
    says(&on("edge e on tube.top { as: wave, every: 2 mm, rise: 10 mm }"), &["figure-too-small", "`every: 5 mm`"]);
    says(&on("edge e on tube.top { as: scallops, count: 10, rise: 20 mm }"), &["scallops-too-tall", "`rise: 11 mm`"]);
    says(
        &on("edge e on tube.top { as: crenels, count: 8, rise: 10 mm, facing: front + 11 deg }"),
        &["figure-and-seam", "facing: front + "],
    );
    says(
        "shell c { at 0 mm to 90 mm: circle(across: 90 mm), seam: open(gap: 20 mm) }\nedge e on c.top { as: wave, count: 4, rise: 9 mm, facing: left }",
        &["figure-and-seam", "leave `facing` out"],
    );
    says(
        &on("cap lid on tube.top { }\nedge e on tube.top { as: wave, count: 4, rise: 9 mm }"),
        &["edge-not-free", "lid"],
    );
    says(
        "shell c { at 0 mm: circle(across: 90 mm), at 80 mm: point }\nedge e on c.top { as: slope, rise: 9 mm }",
        &["edge-not-free", "drawn together"],
    );
    says(
        &on("edge e on tube.top { as: wave, count: 4, rise: 9 mm }\nedge f on tube.top { as: slope, rise: 9 mm }"),
        &["edge-not-free", "already"],
    );
    says(&on("edge e on tube.seam { as: wave, count: 4, rise: 9 mm }"), &["not-built-yet", "side of a seam"]);
    // Both ends of one wall: what is left between them.
    says(
        &on("edge e on tube.top { as: slope, rise: 60 mm }\nedge f on tube.bottom { as: slope, rise: 60 mm }"),
        &["figure-too-tall", "`rise: 39 mm`"],
    );
}

#[test]
fn parallel_figures_of_both_ends_may_pass_each_other_by() {
    // Both slopes lean the same way: a hose cut slantwise, 100 mm long everywhere.
    let (_, cut) = of(&format!(
        "{TUBE}edge e on tube.top {{ as: slope, rise: 70 mm }}\nedge f on tube.bottom {{ as: slope, rise: 70 mm, facing: back }}"
    ));
    near(piece(&cut, "tube").area, TAU * 42.5 * 30.0, 0.05);
}

#[test]
fn what_measures_or_stands_on_a_wall_sees_its_shaped_edge() {
    // The value is written first, and read after the edge is cut; what an edge is reckoned from is not.
    let m = made(
        "let before = tube.top.across\nlet after = tube.top.around\nshell tube { measured: middle, at 0 mm to 100 mm: circle(across: 90 mm) }\nedge e on tube.top { as: crenels, count: 8, rise: before / 9 }\nlet all = tube.area",
    );
    m.clean();
    near(m.value("after"), TAU * 45.0 + 160.0, 1e-6);
    near(m.value("all"), TAU * 45.0 * 95.0, 1e-6);
}

#[test]
fn a_binding_goes_up_and_down_with_its_edge() {
    // Hide of 2 mm folded over foam 5: its middle runs 1 mm outside the tube of 90 mm; on a slope that is the ellipse's parallel
    // on the flat, a sine of the same falls over the girth at 46 (by Simpson's rule here).
    let m = made(&format!(
        "{TUBE}edge e on tube.top {{ as: crenels, count: 8, rise: 12 mm }}\nedge f on tube.bottom {{ as: slope, rise: 30 mm }}\nborder teeth on tube.top {{ as: binding, of: hide2, wide: 9 mm }}\nborder hem on tube.bottom {{ as: binding, of: hide2, wide: 9 mm }}\nlet a = teeth.long\nlet b = hem.long"
    ));
    m.clean();
    near(m.value("a"), TAU * 46.0 + 192.0, 1e-6);
    let speed = |phi: f64| (46.0f64.powi(2) + (15.0 * num::sin(phi)).powi(2)).sqrt();
    let n = 2000;
    let step = TAU / f64::from(n);
    let sum: f64 = (0..n).map(|i| speed(step * f64::from(i))).sum();
    near(m.value("b"), sum * step, 1e-6);
    let runs = &m.shaped.solid.fitted.runs;
    near(runs.iter().find(|r| r.name == "teeth").expect("a run").along, TAU * 46.0 + 192.0, 1e-6);
    says(
        &format!(
            "{TUBE}edge e on tube.top {{ as: wave, count: 8, rise: 12 mm }}\nborder c on tube {{ as: band, of: foam2, wide: 9 mm, level: 86 mm }}"
        ),
        &["past-the-edge"],
    );
}

#[test]
fn covers_and_laces_end_where_shaped_edges_do() {
    // A cover with its own seam follows the teeth below it; a lining too.
    let (m, cut) = of(&format!(
        "{TUBE}edge e on tube.top {{ as: crenels, count: 7, rise: 12 mm }}\nedge f on tube.bottom {{ as: slope, rise: 9 mm }}\ncover hide on tube {{ of: foam2, turn: 0 mm, seam: butt(facing: left + 20 deg) }}\ncover soft on tube {{ of: foam2, face: inside, turn: 0 mm }}\nlet bare = tube.area"
    ));
    let girth = |r: f64| TAU * r * (100.0 - 6.0 - 4.5);
    near(m.value("bare"), girth(45.0), 1e-6);
    for (name, radius) in [("hide", 46.0), ("soft", 39.0)] {
        near(piece(&cut, name).area, girth(radius), 1e-5 * girth(radius));
        let long = edge(piece(&cut, name), EdgeName::Upper).iter().map(Seg::length).sum::<f64>();
        near(long, TAU * radius + 14.0 * 12.0, 0.02);
    }
    // Holes along the sides of an open wall keep their distance from the shaped ends.
    of(
        "shell arm { at 0 mm: circle(across: 80 mm), at 160 mm: circle(across: 110 mm), seam: open(gap: 24 mm, facing: back) }\nedge e on arm.top { as: point, rise: 40 mm }\nedge f on arm.bottom { as: slope, rise: 20 mm, facing: back }\nlacing side on arm.seam { of: cord3, holes: 5 mm, count: 4 }",
    );
}

/// Simpson's rule.
pub fn simpson(f: impl Fn(f64) -> f64) -> f64 {
    let n = 4000;
    let at = |i: u32| {
        f(f64::from(i) / f64::from(n))
            * if i == 0 || i == n {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            }
    };
    (0..=n).map(at).sum::<f64>() / (3.0 * f64::from(n))
}

#[test]
fn a_curve_runs_through_its_spots_and_takes_half_of_what_they_span() {
    // Two spots opposite each other, 0 and 20 mm down: between them a cubic that is level at both, 20 (3u² − 2u³), whose
    // mean is half of it, and whose slope is 120 u (1 − u) over half a girth.
    let (m, cut) = tube("as: curve, path: [front by 0 mm, back by 20 mm]");
    let half = PI * 45.0;
    near(m.value("way"), 2.0 * half * simpson(|u| (1.0f64 + (120.0 * u * (1.0 - u) / half).powi(2)).sqrt()), 1e-6);
    let tube = piece(&cut, "tube");
    near(tube.area, 2.0 * half * 90.0, 0.05);
    assert!(tube.edges.iter().any(|e| e.bevel.contains("a curve, 20 mm deep")), "{:?}", tube.edges);
}

#[test]
fn curves_are_cut_on_every_sort_of_wall() {
    for text in [
        // Over a cone and an oval, at both ends, the seam between two spots and on one.
        "shell w { at 0 mm: oval(across: 90 mm by 130 mm), at 110 mm: circle(across: 150 mm) }
         edge t on w.top { as: curve, path: [left by 0 mm, front by 18 mm, right by 6 mm, back by 25 mm] }
         edge b on w.bottom { as: curve, path: [front by 0 mm, back by 12 mm, left by 12 mm] }",
        // An open wall of a pair, level at its sides.
        "shell w { pair: mirrored, measured: inside, at 0 mm: circle(across: 80 mm), at 160 mm: circle(across: 100 mm), seam: open(gap: 50 mm) }
         edge t on w.top { as: curve, path: [left + 20 deg by 22 mm, front by 0 mm, right - 20 deg by 22 mm] }",
    ] {
        let (m, cut) = of(text);
        assert!(audit(&m.shaped.solid, &cut.flat, &cut.pieces, None).passed());
    }
}

#[test]
fn what_is_no_curve_is_refused_with_a_reason() {
    for (path, code) in [
        ("[front by 0 mm]", "path-too-short"),
        ("[front by 0 mm, left by -4 mm]", "curve-off-edge"),
        ("[front by 3 mm, left by 9 mm]", "curve-off-edge"),
        ("[front by 0 mm, left by 0 mm]", "curve-off-edge"),
        ("[front by 0 mm, front + 2 deg by 9 mm, back by 4 mm]", "figure-too-small"),
        ("[front by 0 mm, back by 120 mm]", "figure-too-tall"),
        ("[10 mm by 0 mm, 20 mm by 9 mm]", "spot-wrong-sort"),
    ] {
        let m = made(&format!(
            "shell tube {{ at 0 mm to 100 mm: circle(across: 90 mm) }}\nedge e on tube.top {{ as: curve, path: {path} }}"
        ));
        assert!(m.told().contains(code), "{path}: {}", m.told());
    }
}
