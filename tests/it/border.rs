//! Borders: how long they are, what they lie on, and that what is cut for them folds up to them.
//!
//! Lengths of ovals are from a computation that shares nothing with the program: the wall's points joined by equal
//! normals, moved along the cross product of the section's tangent and the rule, their chords summed (40,000 of them,
//! Richardson); half-axes by the complete elliptic integral of scipy 1.16. Round ones are closed forms, written out.

use crate::shape::{Made, made, made_with};
use tasset::audit::audit;
use tasset::develop::develop;
use tasset::finish::finish;
use tasset::fitted::{GoodsOf, Lump, Run};
use tasset::num::{self, PI, TAU};
use tasset::piece::Pieces;
use tasset::solid::{Body, Gap, Layer, Part, Rim, Seam, Size};
use tasset::verdict::Check;

const GOODS: &str = "supply cord6 { as: cord, thick: 6 mm, density: 18 g/m }
    supply wire1 { as: wire, thick: 0.8 mm, density: 4 g/m }
    supply bead14 { as: beads, across: 14 mm, mass: 1 g }
    supply tape20 { as: tape, thick: 0.5 mm, wide: 20 mm, density: 6 g/m }
    stock twill { as: cloth, thick: 0.4 mm, wide: 1400 mm, density: 180 g/m2 }
    stock hide { as: leather, thick: 1 mm, size: 600 mm by 900 mm, density: 900 kg/m3 }
    ";

const FLAG: &str = "shell body { at 0 mm: oval(across: 105 mm by 70 mm), at 385 mm: oval(around: 42 cm, ratio: 3:2) }
    ";

const TUBE: &str = "shell tube { at 0 mm to 100 mm: circle(across: 90 mm) }
    ";

fn on(body: &str, borders: &str) -> Made {
    made(&format!("{GOODS}{body}{borders}"))
}

fn near(a: f64, b: f64, tol: f64) {
    assert!((a - b).abs() <= tol, "{a} is not {b}");
}

fn run<'a>(m: &'a Made, name: &str) -> &'a Run {
    let runs = &m.shaped.solid.fitted.runs;
    runs.iter().find(|r| r.name == name).unwrap_or_else(|| panic!("no run {name}: {}", m.told()))
}

fn lump<'a>(m: &'a Made, name: &str) -> &'a Lump {
    let lumps = &m.shaped.solid.fitted.lumps;
    lumps.iter().find(|l| l.name == name).unwrap_or_else(|| panic!("no lump {name}: {}", m.told()))
}

/// Lays a prop flat, makes its pieces and audits them.
fn cut(m: &Made) -> Pieces {
    assert!(!m.shaped.diagnostics.has_errors(), "{}", m.told());
    crate::support::cut(&m.shaped.solid).pieces
}

/// Neutral lengths of a piece's bottom and top.
fn rims(pieces: &Pieces, name: &str) -> (f64, f64) {
    let piece = pieces.pieces.iter().find(|p| p.name == name).unwrap_or_else(|| panic!("no piece {name}"));
    let long = |edge: &str| piece.edges.iter().find(|e| e.name == edge).expect("an edge").long.neutral;
    (long("bottom"), long("top"))
}

#[test]
fn the_rim_cord_of_the_chart_case_is_as_long_as_its_middle_line() {
    // Brief B1: bore 95 at the top, foam 5, cord 6 outside the top edge: 348.7 ± 0.5, its middle level with the edge.
    // Square to the sheet: 2π (47.5 + 8 cos α), tan α = 10/520. Its far side level with the edge, it lies 3 mm lower
    // along the wall.
    let tube = "shell tube { at 0 mm: circle(across: 75 mm), at 520 mm: circle(across: 95 mm) }\n";
    let m = made_with(
        "of: foam5, measured: inside",
        &format!(
            "{GOODS}{tube}border rim on tube.top {{ as: cord, of: cord6, tuck: 15 mm }}
             border high on tube.top {{ as: cord, of: cord6, level: top - 20 mm }}
             shell other {{ at 0 mm: circle(across: 75 mm), at 520 mm: circle(across: 95 mm) }}
             border even on other.top {{ as: cord, of: cord6, level: top }}"
        ),
    );
    m.clean();
    near(run(&m, "even").along, 348.707_492, 1e-5);
    near(run(&m, "rim").along, 348.345_068, 1e-5);
    near(run(&m, "rim").spare, 30.0, 1e-12);
    let mass = m.shaped.solid.mass_of_run(run(&m, "rim")).expect("a mass");
    near(mass, (348.345_068 + 30.0) * 0.018, 1e-5);
    near(run(&m, "high").along, 348.707_492 - TAU * 20.0 * 10.0 / 520.0, 1e-5);
}

#[test]
fn what_lies_on_what_counts_what_lies_below() {
    // Round layers: cover 0.4, band 2, cord 6 on a radius of 45; each length 2π times the radius of its own middle.
    let m = on(
        TUBE,
        "border rim on tube.top { as: cord, of: cord6 }
         border collar on tube.top { as: band, of: foam2, wide: 20 mm }
         border low on tube { as: cord, of: cord6, level: 40 mm }
         cover skin on tube { of: twill }",
    );
    m.clean();
    near(run(&m, "rim").along, TAU * (45.0 + 0.4 + 2.0 + 3.0), 1e-9);
    near(run(&m, "low").along, TAU * (45.0 + 0.4 + 3.0), 1e-9);
    let layer = &m.part("collar").layers[0];
    near(layer.inner, 0.4, 1e-12);
    near(layer.outer, 2.4, 1e-12);
    near(rims(&cut(&m), "collar").0, TAU * (45.0 + 0.4 + 1.0), 1e-3);
}

#[test]
fn the_collar_of_the_flag_case_stands_past_its_edge_along_the_rules() {
    let m = on(FLAG, "border collar on body.top { as: band, of: foam2, wide: 30 mm, rise: 6 mm }");
    m.clean();
    let collar = m.wall("collar");
    // Along the rule that faces front, sec α = 1.001085708.
    let (from, to) = collar.strips[0].heights();
    near(from, 361.026_028_7, 1e-6);
    near(to, 390.993_492_8, 1e-6);
    let body = &m.wall("body").strips[0];
    for phi in [PI + 0.3, 5.0, 9.0] {
        let rules = [body, &collar.strips[0]].map(|s| {
            let i = s.stretches().iter().position(|t| t.from <= phi && phi <= t.to).expect("a stretch");
            s.rule(i, phi)
        });
        for d in [0.0, 2.0] {
            near((rules[0].point(to, d) - rules[1].point(to, d)).length(), 0.0, 1e-9);
        }
    }
    let (low, high) = rims(&cut(&m), "collar");
    near(low, 417.407_698, 0.01);
    near(high, 428.488_250, 0.01);
    let claims: Vec<&Size> = m.shaped.solid.claims.iter().map(|c| &c.size).collect();
    assert!(claims.contains(&&Size::Wide { facing: TAU, depth: 2.0, mm: 30.0 }));
}

#[test]
fn the_cord_and_the_floats_of_the_flag_case_follow_its_oval() {
    let m = on(
        FLAG,
        "border piping on body.bottom { as: cord, of: cord6, tuck: 15 mm }
         border floats on body { as: beads, of: bead14, gap: 2 mm, wire: wire1, level: top - 70 mm }
         let way = floats.long
         let proud = floats.thick
         let up = floats.level",
    );
    m.clean();
    near(run(&m, "piping").along, 297.569_801, 1e-4);
    near(run(&m, "floats wire").along, 438.022_835, 1e-4);
    assert_eq!((m.value("proud"), m.value("up")), (14.0, 315.0));
    near(m.value("way"), 438.022_835, 1e-4);
    // 27 times 16 mm and a rest; straight from one to the next they still keep their gap.
    let floats = lump(&m, "floats");
    assert_eq!(floats.at.len(), 27);
    near(floats.spacing.expect("a row"), 438.022_835 / 27.0, 1e-4);
    let mut sides: Vec<f64> = floats.at.windows(2).map(|w| w[0].distance(w[1])).collect();
    sides.push(floats.at[26].distance(floats.at[0]));
    assert!(sides.iter().all(|s| *s >= 16.0 && *s < 438.022_835 / 27.0), "{sides:?}");
    near(m.shaped.solid.mass_of_lump(floats).expect("a mass"), 27.0, 1e-12);
}

#[test]
fn beads_keep_their_gap_straight_across_and_not_along_the_bend() {
    // Middles on a radius of 51: 20 of 16 mm go along the arc, 320.44 long, but 20 chords are 2·51·sin 9° = 15.956.
    let tube = "shell tube { at 0 mm to 100 mm: circle(across: 88 mm) }\n";
    let m = on(tube, "border floats on tube { as: beads, of: bead14, gap: 2 mm, wire: wire1 }");
    m.clean();
    assert_eq!(lump(&m, "floats").at.len(), 19);
    let m = on(TUBE, "border floats on tube { as: beads, of: bead14, gap: 2 mm, wire: wire1, count: 2 }");
    m.clean();
    assert_eq!(lump(&m, "floats 1").at.len(), 20);
    let rows = [lump(&m, "floats 1").at[0], lump(&m, "floats 2").at[0]];
    near(rows[1].z - rows[0].z, 14.0, 1e-9);
}

#[test]
fn on_an_open_wall_borders_end_where_it_does() {
    // Half a tube: its sides stand on one plane through the axis, so everything on it is half round.
    let half = "shell half { measured: inside, at 0 mm to 60 mm: circle(across: 80 mm),
        seam: open(facing: back, gap: 180 deg) }\n";
    let m = on(
        half,
        "border rim on half.edges { as: cord, of: cord6 }
         border floats on half { as: beads, of: bead14, gap: 2 mm, wire: wire1 }
         border hoop on half.top { as: band, of: foam2, wide: 12 mm }
         border bound on half.seam { as: binding, of: hide }",
    );
    near(run(&m, "rim 1").along, PI * 48.0, 1e-9);
    // Over the band.
    near(run(&m, "rim 3").along, PI * 50.0, 1e-9);
    near(run(&m, "rim 2").along, 60.0, 1e-9);
    near(run(&m, "bound 1").along, 60.0, 1e-9);
    // 163.4 long, with half a bead at each end: 9 spaces of 16.6 straight or more.
    let floats = lump(&m, "floats");
    let room = PI * 52.0 - 14.0;
    assert_eq!(floats.at.len(), 10);
    near(floats.spacing.expect("a row"), room / 9.0, 1e-9);
    for p in [floats.at[0], floats.at[9]] {
        near(p.x, 52.0 * num::sin(7.0 / 52.0), 1e-9);
    }
    assert_eq!(m.wall("hoop").seam, Seam::Open(Gap::Angle(PI)));
    near(rims(&cut(&m), "hoop").1, PI * 46.0, 0.01);
}

#[test]
fn the_bracers_raised_border_follows_both_curved_ends() {
    // Brief B2: foam 4 inside girths 190.566 and 304.566, 190 apart along the wall, a gap of 30 at both ends; border 2
    // thick, 12 wide. On a cone of slope sin α = (304.566 − 190.566)/(2π 190) the band's middle surface, 5 from the
    // inside, has the girth 2π (r + 5 cos α) under a square rim at radius r, less its gap: that between the wall's own
    // sides, straight on its flat (radii r/sin α, angles φ sin α), half-way up the band and at its depth.
    let bracer = "stock foam4 { as: foam, thick: 4 mm, size: 500 mm by 1000 mm, density: 95 kg/m3 }
        shell bracer { of: foam4, measured: inside, pair: mirrored, along: wall, seam: open(facing: right, gap: 30 mm),
            at 0 mm: circle(around: dressed(body: 168 mm, cloth: 2 mm, ease: 10 mm)),
            at 190 mm: circle(around: dressed(body: 282 mm, cloth: 2 mm, ease: 10 mm)) }\n";
    let m = on(bracer, "border brim on [bracer.top, bracer.bottom] { as: band, of: foam2, wide: 12 mm }");
    m.clean();
    assert!(m.part("brim 1").pair && m.part("brim 2").pair);
    let (r0, r1) = (190.566_370_614 / TAU, 304.566_370_614 / TAU);
    let sine = (r1 - r0) / 190.0;
    let cosine = (1.0 - sine * sine).sqrt();
    let mut text = String::new();
    let pieces = cut(&m);
    let (foot, head) = (15.0 / (r0 + 2.0 / cosine), 15.0 / (r1 + 2.0 / cosine));
    let flat = |r: f64, phi: f64| {
        let (radius, angle) = (r / sine, phi * sine);
        (radius * num::sin(angle), radius * num::cos(angle))
    };
    let (a, b) = (flat(r0 + 2.0 * cosine, foot), flat(r1 + 2.0 * cosine, head));
    // Half the angle that the sides leave out at a radius of the flat.
    let between = |radius: f64| {
        let (mut lo, mut hi) = (0.0, 1.0);
        for _ in 0..60 {
            let t = 0.5 * (lo + hi);
            let p = (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
            if num::hypot(p.0, p.1) < radius { lo = t } else { hi = t }
        }
        let p = (a.0 + (b.0 - a.0) * lo, a.1 + (b.1 - a.1) * lo);
        num::atan2(p.0, p.1) / sine
    };
    for (name, low, high) in [("brim 1", r1 - 12.0 * sine, r1), ("brim 2", r0, r0 + 12.0 * sine)] {
        let middle = 0.5 * (low + high);
        let gap = 2.0 * between((middle + 2.0 / cosine) / sine) * (middle + 5.0 / cosine);
        // The gap counts at a rim's own level; the rim itself stands square to the sheet.
        let left = |r: f64| (TAU - gap / (r + 5.0 / cosine)) * (r + 5.0 * cosine);
        for hand in ["left", "right"] {
            let (bottom, top) = rims(&pieces, &format!("{name} {hand}"));
            text += &format!("{name} {hand}: {bottom} {top}\n");
            near(bottom, left(low), 0.01);
            near(top, left(high), 0.01);
        }
    }
    assert_eq!(pieces.pieces.len(), 6, "{text}");
}

#[test]
fn bindings_pipings_and_wraps_take_what_the_trade_cuts() {
    let tube = "shell grip { at 0 mm to 100 mm: circle(across: 40 mm) }\n";
    let m = on(
        &format!("{TUBE}{tube}"),
        "border bound on tube.top { as: binding, of: hide, wide: 12 mm, seam: lap(overlap: 15 mm) }
         border piped on tube.bottom { as: piping, of: [cord6, twill], wide: 8 mm }
         border wound on grip { as: wrap, of: tape20, wide: 20 mm }",
    );
    m.clean();
    // Over both faces, the end of 5 mm, and round two corners at half its own thickness: 2·12 + 5 + π/2.
    let bound = run(&m, "bound");
    assert_eq!(bound.goods, GoodsOf::Strip { stock: 1, wide: 3057 });
    near(bound.along, TAU * 45.5, 1e-9);
    near(bound.spare, 15.0, 1e-12);
    // Round the cord on the strip's own middle, and 8 mm caught on either side: 16 + π (6 + 0.4).
    let strip = run(&m, "piped strip");
    assert_eq!(strip.goods, GoodsOf::Strip { stock: 2, wide: 3611 });
    near(strip.along, TAU * 45.4, 1e-9);
    near(run(&m, "piped cord").along, TAU * 45.4, 1e-9);
    // The wall's area at the tape's middle over its width, and a leaning turn to trim: sin θ = 20/(2π 20.25).
    let (girth, wound) = (TAU * 20.25, run(&m, "wound"));
    near(wound.along, girth * 100.0 / 20.0, 1e-6);
    near(wound.spare, girth / num::cos(num::asin(20.0 / girth)), 1e-9);
    let area = 180e-6 * 36.11;
    near(m.shaped.solid.mass_of_run(strip).expect("a mass"), area * TAU * 45.4, 1e-6);
}

#[test]
fn a_band_over_a_knee_is_two_rings_in_half_the_angle() {
    let knee = "shell jar { at 0 mm: circle(across: 100 mm), at 60 mm: circle(across: 120 mm),
        at 120 mm: circle(across: 90 mm) }\n";
    let m =
        on(knee, "border waist on jar { as: band, of: foam2, wide: 20 mm, level: 62 mm, seam: lap(overlap: 12 mm) }");
    m.clean();
    let waist = m.wall("waist");
    assert_eq!((waist.rings[0].upper, waist.rings[1].lower), (Rim::Mitre(1), Rim::Mitre(0)));
    // Along the wall 10 mm up and down from 62: (120 − 60)/tan is 60 to 15, and 60 to 10.
    let (up, down) = ((60.0f64 * 60.0 + 225.0).sqrt() / 60.0, (60.0f64 * 60.0 + 100.0).sqrt() / 60.0);
    near(waist.strips[1].heights().1, 62.0 + 10.0 / up, 1e-9);
    near(waist.strips[0].heights().0, 60.0 - (10.0 - 2.0 * up) / down, 1e-9);
    assert_eq!(cut(&m).pieces.iter().filter(|p| p.name.starts_with("waist")).count(), 2);
}

#[test]
fn an_opening_goes_through_the_band_on_it_too() {
    let m = on(
        FLAG,
        "opening port on body { shape: circle(across: 10 mm), level: 360 mm, facing: left }
         opening low on body { shape: circle(across: 10 mm), level: 100 mm, facing: left }
         border collar on body.top { as: band, of: foam2, wide: 50 mm }",
    );
    m.clean();
    assert_eq!((m.wall("body").holes.len(), m.wall("collar").holes.len()), (2, 1));
    let pieces = cut(&m);
    let collar = pieces.pieces.iter().find(|p| p.name == "collar").expect("a collar");
    assert_eq!(collar.holes[0].name, "port");
}

#[test]
fn a_lid_lies_on_a_raised_band_and_clears_it() {
    let m = on(
        FLAG,
        "border collar on body.top { as: band, of: foam2, wide: 20 mm, rise: 6 mm }
         border rim on body.top { as: cord, of: cord6 }
         cap lid on body.top { fit: overlay, rim: 40 mm, gap: 1 mm }",
    );
    let to = m.wall("collar").strips[0].heights().1;
    near(m.plate("lid").hidden, to, 1e-9);
    near(m.wall("lid rim").strips[0].heights().0, to - 40.0, 1e-9);
    // Nothing of the rim is nearer to the cord than the gap: 2 + 6 + 1 from the wall.
    let layer = &m.part("lid rim").layers[0];
    let (rim, body) = (&m.wall("lid rim").strips[0], &m.wall("body").strips[0]);
    for (i, t) in body.stretches().iter().enumerate() {
        let (outer, j) = (body.rule(i, t.from), rim.stretches().iter().position(|r| (r.from - t.from).abs() < 1e-9));
        let Some(j) = j else { continue };
        let inner = rim.rule(j, t.from);
        for z in [to - 40.0, 385.0] {
            let apart = (inner.support_at(z, layer.inner).0 - outer.support_at(z, 0.0).0) / inner.secant();
            assert!(apart > 8.99, "{apart} at {z}");
        }
    }
    cut(&m);
}

#[test]
fn a_border_may_stand_on_the_rim_of_a_lid() {
    let m = on(
        TUBE,
        "cap lid on tube.top { fit: overlay, rim: 30 mm, gap: 1 mm }
         border edge on lid.bottom { as: cord, of: cord6 }
         border hoop on lid { as: band, of: foam2, wide: 10 mm, level: 20 mm }",
    );
    m.clean();
    // The rim stands 1 mm off and is 5 thick.
    near(run(&m, "edge").along, TAU * (45.0 + 6.0 + 3.0), 1e-9);
    assert_eq!(m.wall("hoop").strips[0].heights(), (85.0, 95.0));
    cut(&m);
}

#[test]
fn a_band_of_the_walls_own_girth_is_caught() {
    let m = on(FLAG, "border collar on body.top { as: band, of: foam2, wide: 30 mm, rise: 6 mm }");
    let solid = &m.shaped.solid;
    let i = solid.parts.iter().position(|p| p.name == "collar").expect("a collar");
    type Harm = fn(&mut Part);
    let harms: [(Harm, &[Check]); 3] = [
        // As if it lay in the wall's face, and as if it lay on nothing but the face and not over it.
        (
            |p| p.layers[0] = Layer { inner: -2.0, neutral: -1.0, outer: 0.0, ..p.layers[0] },
            &[Check::Landing, Check::Area],
        ),
        (|p| p.layers[0].neutral = 0.0, &[Check::Landing]),
        // Half a millimetre too narrow.
        (
            |p| {
                let Body::Wall(w) = &mut p.body else { panic!("a wall") };
                let (from, to) = w.strips[0].heights();
                w.strips[0] = w.strips[0].between(from + 0.5, to).expect("a wall");
            },
            &[Check::Landing, Check::Claim],
        ),
    ];
    for (harm, checks) in harms {
        let mut spoilt = solid.clone();
        harm(&mut spoilt.parts[i]);
        let (flat, _) = develop(&spoilt);
        let (pieces, _) = finish(&spoilt, &flat);
        let verdict = audit(solid, &flat, &pieces, None);
        for check in checks {
            let about = |b: &tasset::verdict::Breach| {
                b.check == *check && b.piece.is_none_or(|p| pieces.pieces[p.index()].name == "collar")
            };
            assert!(verdict.breaches.iter().any(about), "{}: {:#?}", check.name(), verdict.breaches);
        }
    }
    // And where it is right in itself but not as wide as the text says.
    let mut wide = solid.clone();
    for claim in &mut wide.claims {
        if let Size::Wide { mm, .. } = &mut claim.size {
            *mm += 0.5;
        }
    }
    let (flat, _) = develop(solid);
    let (pieces, _) = finish(solid, &flat);
    let verdict = audit(&wide, &flat, &pieces, None);
    assert!(verdict.breaches.iter().any(|b| b.check == Check::Claim && b.what.contains("width along")), "{verdict:#?}");
}

#[test]
fn what_stands_where_is_the_same_in_any_order() {
    let rows = [
        "border rim on body.top { as: cord, of: cord6 }",
        "border collar on body.top { as: band, of: foam2, wide: wide, rise: 4 mm }",
        "let wide = body.top.around / 14",
    ];
    let lengths: Vec<f64> = [[0, 1, 2], [2, 1, 0], [1, 2, 0], [0, 2, 1]]
        .iter()
        .map(|order| {
            let text: Vec<&str> = order.iter().map(|i| rows[*i]).collect();
            let m = on(FLAG, &text.join("\n"));
            m.clean();
            run(&m, "rim").along
        })
        .collect();
    assert!(lengths.windows(2).all(|w| w[0] == w[1]), "{lengths:?}");
}

#[test]
fn what_cannot_be_is_said_where_it_is_written() {
    let says = |body: &str, border: &str, words: &[&str]| {
        let told = on(body, border).told();
        assert!(words.iter().all(|w| told.contains(w)), "{border}\n{told}");
    };
    says(
        TUBE,
        "border a on tube.top { as: cord, of: foam2 }",
        &["wrong-goods", "`foam2` foam2 is foam", "a supply of cord"],
    );
    says(TUBE, "border a on tube.top { as: band, of: cord6, wide: 9 mm }", &["wrong-goods", "a stock of foam"]);
    says(
        TUBE,
        "border a on tube { as: beads, of: bead14, wire: bead14 }",
        &["wrong-goods", "`bead14` bead14 is beads"],
    );
    says(TUBE, "border a on tube.top { as: piping, of: cord6 }", &["wrong-goods", "of: [cord6, twill]"]);
    says(
        TUBE,
        "border a on tube.top { as: band, of: foam2, wide: 130 mm, rise: 10 mm }",
        &["past-the-edge", "passes the bottom edge", "by 20 mm", "at most `wide: 110 mm`"],
    );
    says(TUBE, "border a on tube { as: band, of: foam2, wide: 9 mm, level: 101 mm }", &["off-the-wall"]);
    says(TUBE, "border a on tube { as: band, of: foam2, wide: 9 mm, rise: 2 mm }", &["hangs-free", "past which edge"]);
    says(
        TUBE,
        "border a on tube.top { as: binding, of: tape20 }",
        &["own-width", "takes a strip 29.8 mm wide", "wide: 7.1 mm"],
    );
    says(TUBE, "border a on tube.top { as: wrap, of: tape20, wide: 20 mm }", &["wrong-course", "`on tube`"]);
    says(TUBE, "border a on tube { as: wrap, of: tape20, wide: 15 mm }", &["own-width", "`wide: 20 mm`"]);
    let cone = "shell cone { at 0 mm: circle(across: 90 mm), at 80 mm: point }\n";
    says(cone, "border a on cone.top { as: cord, of: cord6 }", &["wrong-course", "ends in a point"]);
    let open = "shell half { at 0 mm to 60 mm: circle(across: 80 mm), seam: open(gap: 20 %) }\n";
    says(
        open,
        "border a on half.top { as: band, of: foam2, wide: 9 mm, seam: butt }",
        &["wrong-course", "half is open there"],
    );
    says(
        TUBE,
        "border a on tube.top { as: cord, of: cord6, seam: tabs(wide: 9 mm) }",
        &["wrong-course", "lap(overlap"],
    );
    says(
        TUBE,
        "border a on tube { as: beads, of: grain, wire: wire1 }\nsupply grain { as: beads, across: 0.001 mm }",
        &["beads-do-not-fit", "at most 2000 in a row"],
    );
    says(TUBE, "border a on tube { as: band, of: foam2, wide: 0.01 mm }", &["no-room-inside"]);
    // The corner of a rectangle faces the circle's point: past the circle the flat triangles beside it would cross.
    let unlike = "shell jar { at 0 mm: rectangle(across: 190 mm by 120 mm, corner: 20 mm),
        at 60 mm: circle(across: 120 mm) }\n";
    says(
        unlike,
        "border a on jar.top { as: band, of: foam2, wide: 20 mm, rise: 6 mm }",
        &["past-the-edge", "`6 mm` the wall cannot be carried on there", "leave `rise` out"],
    );
    says(
        TUBE,
        "border a on tube.seam { as: band, of: foam2, wide: 9 mm }",
        &["wrong-course", "`plate NAME on tube { facing: back, shape: rectangle(across: 9 mm by 100 mm) }`"],
    );
}

#[test]
fn a_band_has_no_strip_behind_its_seam() {
    let m = on(TUBE, "border a on tube.top { as: band, of: foam2, wide: 20 mm, seam: backed(wide: 20 mm) }");
    assert_eq!(m.errors(), ["backed-by-its-part"], "{}", m.told());
}

/// Three cords of 6 mm up a tube of 90 mm: each as long as the wall, 6 mm of arc apart where their middles lie, 48 mm from
/// the axis; about a closed seam, or inwards from the side of an open one.
#[test]
fn several_cords_lie_beside_each_other_up_a_seam() {
    let apart = 2.0 * 48.0 * num::sin(3.0 / 48.0);
    let feet = |m: &Made| -> Vec<_> { ["rib 1", "rib 2", "rib 3"].map(|n| run(m, n).line[0]).to_vec() };
    let m = on(TUBE, "border rib on tube.seam { as: cord, of: cord6, count: 3 }");
    for name in ["rib 1", "rib 2", "rib 3"] {
        near(run(&m, name).along, 100.0, 1e-6);
    }
    let closed = feet(&m);
    near(closed[0].distance(closed[1]), apart, 1e-6);
    near(closed[1].distance(closed[2]), apart, 1e-6);
    // The middle one lies on the seam, at the back.
    near(closed[1].x, -48.0, 1e-6);
    near(closed[0].y + closed[2].y, 0.0, 1e-6);
    let half = "shell tube { at 0 mm to 100 mm: circle(across: 90 mm), seam: open(gap: 60 mm) }\n";
    let m = on(half, "border rib on tube.edges { as: cord, of: cord6, count: 2 }");
    let up: Vec<&Run> = m.shaped.solid.fitted.runs.iter().filter(|r| (r.along - 100.0).abs() < 1e-6).collect();
    assert_eq!(up.len(), 4, "two up either side");
    near(up[0].line[0].distance(up[1].line[0]), apart, 1e-6);
    // A tube of 90 mm has no room for as many as would go round it twice.
    let m = on(TUBE, "border rib on tube.seam { as: cord, of: cord6, count: 60 }");
    assert!(m.told().contains("at most 47 rows"), "{}", m.told());
}

/// Beads of 14 mm with 2 mm between them up a wall of 100 mm: six, their outer ones within its ends, 86/5 apart; up the
/// seam their middles stand on its back, up an open side half a bead in from it. The line has the wall's own length.
#[test]
fn beads_go_up_a_seam_and_up_the_sides_of_an_open_wall() {
    let m = on(TUBE, "border floats on tube.seam { as: beads, of: bead14, gap: 2 mm, wire: wire1 }");
    m.clean();
    let floats = lump(&m, "floats");
    assert_eq!(floats.at.len(), 6);
    near(floats.spacing.expect("a row"), 86.0 / 5.0, 1e-9);
    for (p, z) in floats.at.iter().zip([7.0, 24.2, 41.4, 58.6, 75.8, 93.0]) {
        near(p.x, -52.0, 1e-9);
        near(p.z, z, 1e-9);
    }
    near(run(&m, "floats wire").along, 100.0, 1e-9);
    let half = "shell half { at 0 mm to 100 mm: circle(across: 90 mm), seam: open(facing: back, gap: 180 deg) }\n";
    let m = on(half, "border floats on half.seam { as: beads, of: bead14, gap: 2 mm, wire: wire1 }");
    m.clean();
    for name in ["floats 1", "floats 2"] {
        let floats = lump(&m, name);
        assert_eq!(floats.at.len(), 6);
        near(floats.at[0].x, 52.0 * num::sin(7.0 / 52.0), 1e-6);
    }
}

/// A piping up both sides of half a tube: cord and strip as long as the side.
#[test]
fn a_piping_goes_up_the_sides_of_an_open_wall() {
    let half = "shell half { at 0 mm to 100 mm: circle(across: 90 mm), seam: open(facing: back, gap: 180 deg) }\n";
    let m = on(half, "border piped on half.seam { as: piping, of: [cord6, twill] }");
    m.clean();
    for name in ["piped 1 cord", "piped 2 cord", "piped 1 strip", "piped 2 strip"] {
        near(run(&m, name).along, 100.0, 1e-6);
    }
}

/// There is one edge to be bound: neither a number of bindings nor a second one over the first.
#[test]
fn an_edge_is_bound_once() {
    let twice = format!(
        "prop p {{ title: \"P\", of: foam5 }}\n{GOODS}{TUBE}border a on tube.top {{ as: binding, of: hide, count: 2 }}"
    );
    let built = crate::memory::build(crate::memory::Folder::of(&twice));
    assert_eq!(crate::memory::errors(&built), ["other-sort"]);
    let m = on(TUBE, "border a on tube.top { as: binding, of: hide }\nborder b on tube.top { as: binding, of: hide }");
    assert!(m.told().contains("b and a lie in the same place"), "{}", m.told());
}

/// What a band along a seam or a side is offered instead is built as it stands.
#[test]
fn the_plate_that_is_offered_for_a_band_up_a_wall_is_built() {
    let half = "shell tube { at 0 mm to 100 mm: circle(across: 90 mm), seam: open(facing: back, gap: 180 deg) }\n";
    for (body, edge) in [(TUBE, "tube.seam"), (half, "tube.seam")] {
        let told = on(body, &format!("border a on {edge} {{ as: band, of: foam2, wide: 20 mm }}")).told();
        let plate = told.split('`').find(|t| t.starts_with("plate NAME")).unwrap_or_else(|| panic!("{told}"));
        let m = on(body, &plate.replace("NAME", "strip"));
        m.clean();
        cut(&m);
    }
}
