//! The audit on what development and finishing really make: every kind of section, rim and seam passes, with the
//! worst figure of every check printed.

#![allow(clippy::print_stdout, reason = "the worst figures are for the reader of a run")]

use tasset::audit::audit;
use tasset::develop::develop;
use tasset::finish::finish;
use tasset::geom::Vec2;
use tasset::geom::path::{Path, Seg};
use tasset::geom::section::{Curve, Element, Section};
use tasset::geom::strip::Strip;
use tasset::ids::{FileId, JointId, PartId, ThingId};
use tasset::solid::*;
use tasset::span::Span;
use tasset::verdict::Verdict;

const PI: f64 = core::f64::consts::PI;
const OUTSIDE: Layer = Layer { stock: 0, inner: -5.0, neutral: -2.5, outer: 0.0, square: false };
const INSIDE: Layer = Layer { stock: 0, inner: 0.0, neutral: 2.5, outer: 5.0, square: false };

fn stock() -> Stock {
    Stock {
        thing: ThingId::new(0),
        name: "foam5".into(),
        sort: "foam",
        thick: 5.0,
        size: Goods::Sheet(Vec2::new(1500.0, 1200.0)),
        area_mass: None,
        grain: Grain::None,
        reversible: true,
        tightest: 15.0,
        tightest_warm: 7.5,
        leave: Default::default(),
        have: 0.0,
        offcuts: Vec::new(),
        price: None,
        cautions: Vec::new(),
    }
}

fn part(id: usize, name: &str, layers: Vec<Layer>, body: Body) -> Part {
    Part {
        id: PartId::new(id),
        thing: ThingId::new(0),
        name: name.into(),
        origin: Span::new(FileId::new(0), 0, 1),
        pair: false,
        layers,
        body,
        place: Frame::WORLD,
        split: true,
    }
}

/// A wall through stations, level at its ends, mitred between rings, with notched seams and its girths as claims.
fn wall(stations: &[(f64, Section)], facing: f64, seam: Seam, layers: &[Layer]) -> Solid {
    let strips: Vec<Strip> = stations
        .windows(2)
        .map(|w| Strip::new(&w[0].1, w[0].0, &w[1].1, w[1].0).expect("a wall").begun_at(facing).expect("faces there"))
        .collect();
    let n = strips.len();
    let ring = |i: usize| Ring {
        strips: i..i + 1,
        lower: if i == 0 { Rim::Level } else { Rim::Mitre(i - 1) },
        upper: if i + 1 == n { Rim::Level } else { Rim::Mitre(i + 1) },
    };
    let rings: Vec<Ring> = (0..n).map(ring).collect();
    let id = PartId::new(0);
    let mut joints = Vec::new();
    let edge = |ring, edge| EdgeRef { part: id, ring, edge };
    if matches!(seam, Seam::Butt | Seam::Backed(_)) {
        for (i, w) in stations.windows(2).enumerate() {
            let long = w[1].0 - w[0].0;
            joints.push(Joint {
                id: JointId::new(joints.len()),
                letter: format!("S{i}"),
                a: edge(i, EdgeName::Begin),
                b: edge(i, EdgeName::End),
                contact: Contact::Along { part: id, ring: i, depth: layers[0].neutral },
                notches: vec![0.3 * long, 0.55 * long],
                what: "seam".into(),
            });
        }
    }
    for (i, (z, section)) in stations.iter().enumerate().take(n).skip(1) {
        let girth = section.girth();
        joints.push(Joint {
            id: JointId::new(joints.len()),
            letter: format!("T{i}"),
            a: edge(i - 1, EdgeName::Upper),
            b: edge(i, EdgeName::Lower),
            contact: Contact::Round { part: id, strip: i - 1, z: *z, depth: 0.0 },
            notches: vec![0.11 * girth, 0.37 * girth, 0.61 * girth],
            what: "station seam".into(),
        });
    }
    let origin = Span::new(FileId::new(0), 0, 1);
    let mut claims: Vec<Claim> = stations
        .iter()
        .filter(|s| s.1.girth() > 1.0)
        .map(|(z, s)| Claim { part: id, origin, size: Size::Around { z: *z, depth: 0.0, mm: s.girth() } })
        .collect();
    let mut claim = |size| claims.push(Claim { part: id, origin, size });
    claim(Size::Thick { mm: layers.iter().map(|l| l.outer - l.inner).sum() });
    claim(Size::Tall { mm: stations[n].0 - stations[0].0 });
    match seam {
        Seam::Lap(mm) | Seam::Tabs(mm) => claim(Size::Allowance { mm }),
        Seam::Open(gap) => claim(Size::Gap(gap)),
        Seam::Butt | Seam::Backed(_) => {}
    }
    let wall = Wall { strips, rings, facing, seam, holes: vec![], scallops: None, figures: [None, None], formed: None };
    Solid {
        stocks: vec![stock()],
        parts: vec![part(0, "body", layers.to_vec(), Body::Wall(wall))],
        joints,
        claims,
        ..Solid::default()
    }
}

fn body(solid: &mut Solid) -> &mut Wall {
    match &mut solid.parts[0].body {
        Body::Wall(w) => w,
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => unreachable!("the first part is a wall"),
    }
}

/// A round hole and one with four corners, off every axis.
fn pierced(mut solid: Solid, strip: usize, phi: f64, z: f64) -> Solid {
    let wall = body(&mut solid);
    let c = Vec2::new;
    let (a, b) = (c(9.0, 0.0), c(-9.0, 0.0));
    let disc = Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] };
    let four = Path::polygon(&[c(-14.0, -6.0), c(14.0, -6.0), c(14.0, 6.0), c(-14.0, 6.0)]);
    let mut claims = Vec::new();
    for (i, (outline, phi, size)) in
        [(disc, phi, (18.0, 18.0)), (four, phi + 1.3, (28.0, 12.0))].into_iter().enumerate()
    {
        let s = &wall.strips[strip];
        let j = s.stretches().iter().position(|s| s.from <= phi && phi <= s.to).expect("a direction");
        wall.holes.push(Hole {
            thing: ThingId::new(i),
            name: format!("hole {i}"),
            origin: Span::new(FileId::new(0), 0, 1),
            strip,
            rule: s.rule(j, phi),
            z,
            outline,
            number: None,
        });
        let size = Size::Hole { hole: i, level: z, facing: phi, across: size.0, up: size.1 };
        claims.push(Claim { part: PartId::new(0), origin: Span::new(FileId::new(0), 0, 1), size });
    }
    solid.claims.extend(claims);
    solid
}

/// A base let into the wall's lower end and a lid plate at its upper one.
fn capped(mut solid: Solid) -> Solid {
    let layer = solid.parts[0].layers[0];
    let wall = body(&mut solid).clone();
    let last = wall.strips.len() - 1;
    let top = wall.strips[last].heights().1;
    let bottom = wall.strips[0].heights().0;
    let origin = Span::new(FileId::new(0), 0, 1);
    for (i, strip, show, hidden, edge, ring) in [
        (1, 0, bottom, bottom + 5.0, EdgeName::Lower, 0),
        (2, last, top - 2.0, top - 7.0, EdgeName::Upper, wall.rings.len() - 1),
    ] {
        let (a, b) = (Vec2::new(19.0, 7.0), Vec2::new(7.0, 7.0));
        let outline = Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] };
        let hole = PlateHole { thing: ThingId::new(0), name: "drain".into(), origin, outline, number: None };
        let plate = Plate {
            strip: wall.strips[strip].clone(),
            depth: layer.inner,
            show,
            hidden,
            holes: vec![hole],
            sided: false,
            upright: false,
        };
        let layers = vec![Layer { stock: 0, inner: -5.0, neutral: -2.5, outer: 0.0, square: false }];
        solid.parts.push(part(i, &format!("cap {i}"), layers, Body::Plate(plate)));
        let z = if i == 1 { bottom } else { top };
        solid.joints.push(Joint {
            id: JointId::new(solid.joints.len()),
            letter: format!("C{i}"),
            a: EdgeRef { part: PartId::new(0), ring, edge },
            b: EdgeRef { part: PartId::new(i), ring: 0, edge: EdgeName::Outline },
            contact: Contact::Round { part: PartId::new(0), strip, z, depth: layer.inner },
            notches: vec![22.0, 71.0, 150.0],
            what: "cap inset".into(),
        });
        let mm = if i == 1 { 0.0 } else { 2.0 };
        let mut claim = |size| solid.claims.push(Claim { part: PartId::new(i), origin, size });
        claim(Size::Sunk { mm });
        claim(Size::PlateHole { hole: 0, centre: Vec2::new(13.0, 7.0), across: 12.0, by: 12.0 });
    }
    solid
}

fn judged(solid: &Solid) -> Verdict {
    let (flat, faults) = develop(solid);
    assert!(!faults.has_errors(), "{:#?}", faults.iter().collect::<Vec<_>>());
    let (pieces, faults) = finish(solid, &flat);
    assert!(!faults.has_errors(), "{:#?}", faults.iter().collect::<Vec<_>>());
    audit(solid, &flat, &pieces, None)
}

fn passes(name: &str, solid: &Solid) {
    let verdict = judged(solid);
    println!("{name}: {:?}", verdict.checked);
    for (check, w) in &verdict.worst {
        println!("  {:>20} {:>11.6} {} of {:.6} ({})", check.name(), w.off, check.unit(), w.allowed, w.what);
    }
    for b in &verdict.breaches {
        println!("  BREACH {name} {} {} ({}) {:.6} of {:.6}", b.check.name(), b.what, b.place, b.off, b.allowed);
    }
    assert!(verdict.passed(), "{name}: {} breaches", verdict.breaches.len());
}

/// A regular polygon's section, `across` its flats, the first normal forward.
fn polygon(sides: u8, across: f64, corner: f64) -> Section {
    let turn = 2.0 * PI / f64::from(sides);
    let reach = (0.5 * across - corner) / tasset::num::cos(0.5 * turn);
    let corner = |i: u8| {
        let at = turn * (f64::from(i) + 0.5);
        let centre = tasset::geom::unit(at) * reach;
        Element { from: at - 0.5 * turn, to: at + 0.5 * turn, curve: Curve::Round { centre, radius: corner } }
    };
    Section::new((0..sides).map(corner).collect()).expect("a section")
}

fn round(r: f64) -> Section {
    Section::circle(r)
}

#[test]
fn the_flag_case_passes() {
    let solid =
        wall(&[(0.0, round(277.6452 / 2.0 / PI)), (384.76, round(420.0 / 2.0 / PI))], PI, Seam::Butt, &[OUTSIDE]);
    passes("flag case", &capped(pierced(solid, 0, 4.0, 200.0)));
}

#[test]
fn a_flared_frustum_and_its_mirror_pass() {
    for (low, high) in [(50.0, 82.76), (82.76, 50.0)] {
        let solid = wall(&[(0.0, round(low)), (90.0, round(high))], PI, Seam::Butt, &[INSIDE]);
        let mut solid = capped(pierced(solid, 0, 4.0, 50.0));
        passes("flared", &solid);
        solid.parts.iter_mut().for_each(|p| p.pair = true);
        passes("flared pair", &solid);
    }
}

#[test]
fn ovals_pass() {
    let stations = [(0.0, Section::oval(90.0, 60.0, 2.0)), (120.0, Section::oval(60.0, 75.0, 2.0))];
    let solid = wall(&stations, PI, Seam::Butt, &[OUTSIDE]);
    passes("oval", &capped(pierced(solid, 0, 4.4, 70.0)));
    let solid = wall(
        &[stations[0].clone(), (100.0, round(55.0))],
        0.3,
        Seam::Butt,
        &[OUTSIDE, Layer { stock: 0, inner: 0.0, neutral: 2.5, outer: 5.0, square: false }],
    );
    passes("two layers", &pierced(solid, 0, 2.0, 50.0));
    let full = [(0.0, Section::oval(90.0, 60.0, 2.6)), (120.0, Section::oval(70.0, 60.0, 3.0))];
    passes("fuller oval", &wall(&full, PI, Seam::Butt, &[INSIDE]));
}

#[test]
fn polygons_pass() {
    let sharp = [(0.0, polygon(6, 160.0, 0.0)), (120.0, polygon(6, 120.0, 0.0))];
    passes("hexagon", &capped(wall(&sharp, PI, Seam::Butt, &[INSIDE])));
    passes("hexagon seam at a corner", &wall(&sharp, PI / 6.0, Seam::Butt, &[INSIDE]));
    let soft = [(0.0, polygon(4, 120.0, 12.0)), (90.0, round(40.0))];
    passes("square to round", &pierced(wall(&soft, PI, Seam::Butt, &[INSIDE]), 0, 4.0, 45.0));
}

#[test]
fn rings_pass() {
    let stations =
        [(0.0, round(50.0)), (80.0, round(70.0)), (150.0, round(60.0)), (200.0, Section::oval(75.0, 55.0, 2.0))];
    passes("rings", &capped(pierced(wall(&stations, PI, Seam::Butt, &[OUTSIDE]), 1, 4.0, 115.0)));
}

#[test]
fn seams_pass() {
    for seam in [
        Seam::Lap(12.0),
        Seam::Tabs(10.0),
        Seam::Backed(25.0),
        Seam::Open(Gap::Length(30.0)),
        Seam::Open(Gap::Share(0.1)),
        Seam::Open(Gap::Angle(2.6)),
    ] {
        let stations = [(0.0, round(26.0)), (190.0, round(44.0))];
        passes(&format!("frustum {seam:?}"), &pierced(wall(&stations, PI, seam, &[INSIDE]), 0, 5.0, 80.0));
        let stations = [(0.0, Section::oval(90.0, 60.0, 2.0)), (120.0, Section::oval(80.0, 75.0, 2.0))];
        passes(&format!("oval {seam:?}"), &pierced(wall(&stations, PI, seam, &[INSIDE]), 0, 5.0, 60.0));
    }
    // Foam that bends about a surface off its middle, gaps narrow and wide.
    for gap in [Gap::Length(30.0), Gap::Length(60.0), Gap::Leaves(25.0)] {
        let layer = Layer { neutral: 2.1, ..INSIDE };
        for facing in [PI, -0.5 * PI, 0.3] {
            let stations = [(0.0, round(30.0)), (190.0, round(50.0))];
            passes(&format!("off-middle {gap:?}"), &wall(&stations, facing, Seam::Open(gap), &[layer]));
        }
    }
}

#[test]
fn square_rims_pass() {
    let mut solid = wall(&[(0.0, round(50.0)), (90.0, round(82.76))], PI, Seam::Butt, &[INSIDE]);
    body(&mut solid).rings[0].lower = Rim::Square;
    body(&mut solid).rings[0].upper = Rim::Square;
    passes("square rims", &solid);
}

#[test]
fn a_cone_to_a_point_passes() {
    let mut solid = wall(&[(0.0, round(60.0)), (80.0, Section::point(Vec2::ZERO))], PI, Seam::Butt, &[OUTSIDE]);
    // The neutral surface, 2.5 mm inside, closes 2.5 sec α / tan α below the apex: sec α = 1.25 at 60 in 80.
    let z = 80.0 - 2.5 * 1.25 / 0.75;
    body(&mut solid).rings[0].upper = Rim::Closed(z);
    solid.claims.retain(|c| !matches!(c.size, Size::Tall { .. }));
    passes("point", &pierced(solid, 0, 4.5, 25.0));
}

#[test]
fn a_panel_cut_in_halves_passes() {
    let mut solid = wall(&[(0.0, round(150.0)), (200.0, round(170.0))], PI, Seam::Butt, &[INSIDE]);
    solid.stocks[0].size = Goods::Sheet(Vec2::new(800.0, 500.0));
    let verdict = judged(&solid);
    assert_eq!(verdict.checked.pieces, 2);
    passes("halves", &pierced(solid, 0, 4.0, 100.0));
}

#[test]
fn the_audit_of_the_flag_case_takes_little() {
    let stations = [(0.0, round(277.6452 / 2.0 / PI)), (384.76, round(420.0 / 2.0 / PI))];
    let solid = capped(pierced(wall(&stations, PI, Seam::Butt, &[OUTSIDE]), 0, 4.0, 200.0));
    let (flat, _) = develop(&solid);
    let (pieces, _) = finish(&solid, &flat);
    let start = std::time::Instant::now();
    assert!(audit(&solid, &flat, &pieces, None).passed());
    // 100 ms are meant for an optimised build on a quiet machine; a busy one and a plain build get ten times that.
    let took = start.elapsed();
    println!("audit of the flag case: {took:?}");
    assert!(took.as_millis() < 1000, "{took:?}");
}
