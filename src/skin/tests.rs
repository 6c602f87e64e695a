//! Areas and middles of areas against closed forms of solids of revolution and prisms.

use super::*;
use crate::geom::path::{Path, Seg};
use crate::geom::section::Section;
use crate::geom::strip::Strip;
use crate::num::{PI, TAU, cos, sin};
use crate::solid::{Body, Frame, Hole, Part, PlateHole, Rim, Ring};

fn layer(inner: f64, neutral: f64, outer: f64) -> Layer {
    Layer { stock: 0, inner, neutral, outer, square: false }
}

fn one_strip(lower: &Section, upper: &Section, rise: f64, seam: Seam, rim: Rim) -> Wall {
    let strip = Strip::new(lower, 0.0, upper, rise).expect("a wall").begun_at(PI).expect("convex");
    let ring = Ring { strips: 0..1, lower: rim, upper: rim };
    Wall::plain(vec![strip], vec![ring], PI, seam)
}

fn whole(w: &Wall, l: &Layer, at: Depths) -> Skin {
    w.rings.iter().map(|r| wall(w, r, l.middle(), at)).fold(Skin::default(), Skin::and)
}

#[test]
fn a_cone_s_skin_is_that_of_a_frustum_on_every_face() {
    // Radii 40 and 60 on the measured face, 90 tall; lateral area π (r1 + r2) s, middle of it
    // h/3 · (r1 + 2 r2)/(r1 + r2) up (any handbook). Level rims: at depth d both radii grow by d sec α.
    let w = one_strip(&Section::circle(40.0), &Section::circle(60.0), 90.0, Seam::Butt, Rim::Level);
    let l = layer(-5.0, -2.5, 0.0);
    let (secant, slant) = ((1.0f64 + (20.0f64 / 90.0).powi(2)).sqrt(), (90.0f64 * 90.0 + 20.0 * 20.0).sqrt());
    for d in [-5.0, -2.5, 0.0] {
        let (a, b) = (40.0 + d * secant, 60.0 + d * secant);
        let skin = whole(&w, &l, Depths::face(&l, d));
        assert!((skin.area - PI * (a + b) * slant).abs() < 1e-4, "{d}: {}", skin.area);
        let c = skin.centre();
        assert!((c.z - 30.0 * (a + 2.0 * b) / (a + b)).abs() < 1e-6, "{d}: {c}");
        assert!(c.x.abs() < 1e-9 && c.y.abs() < 1e-9);
    }
}

#[test]
fn what_an_open_seam_leaves_has_the_middle_of_an_arc() {
    // A trough of half-angle a: the middle of an arc lies r sin a / a from its axis (any table).
    let gap = 150f64.to_radians();
    let l = layer(-3.0, -1.5, 0.0);
    let half = 0.5 * (TAU - gap);
    for seam in [Gap::Angle(gap), Gap::Length(gap * 58.5), Gap::Share(gap / TAU), Gap::Leaves(2.0 * half * 58.5)] {
        let w = one_strip(&Section::circle(60.0), &Section::circle(60.0), 80.0, Seam::Open(seam), Rim::Square);
        for (d, r) in [(-3.0, 57.0), (-1.5, 58.5), (0.0, 60.0)] {
            let skin = whole(&w, &l, Depths::face(&l, d));
            assert!((skin.area - 2.0 * half * r * 80.0).abs() < 1e-3, "{seam:?} {d}: {}", skin.area);
            let c = skin.centre();
            assert!((c.x - r * sin(half) / half).abs() < 1e-6 && c.y.abs() < 1e-6, "{seam:?} {c}");
            assert!((c.z - 40.0).abs() < 1e-6);
        }
    }
}

#[test]
fn a_prism_s_walls_are_weighed_side_by_side() {
    // A 60 by 100 box with square corners, 50 tall, its faces the measured ones: area of the walls, middle half-way up.
    let corner = |x: f64, y: f64, i: i32| crate::geom::section::Element {
        from: 0.5 * PI * f64::from(i),
        to: 0.5 * PI * f64::from(i + 1),
        curve: crate::geom::section::Curve::Round { centre: Vec2::new(x, y), radius: 0.0 },
    };
    let section = |x: f64, y: f64| {
        Section::new(vec![corner(x, y, 0), corner(-x, y, 1), corner(-x, -y, 2), corner(x, -y, 3)]).expect("a box")
    };
    let w = one_strip(&section(30.0, 50.0), &section(30.0, 50.0), 50.0, Seam::Butt, Rim::Level);
    let l = layer(0.0, 0.0, 4.0);
    let skin = whole(&w, &l, Depths { neutral: 0.0, edge: 0.0, area: 0.0, point: 0.0 });
    assert!((skin.area - 2.0 * 160.0 * 50.0).abs() < 1e-6, "{}", skin.area);
    assert!((skin.centre() - Vec3::new(0.0, 0.0, 25.0)).length() < 1e-6);
    // The skin of a pyramid's frustum: four trapezia.
    let w = one_strip(&section(30.0, 50.0), &section(20.0, 40.0), 50.0, Seam::Butt, Rim::Level);
    let skin = whole(&w, &l, Depths { neutral: 0.0, edge: 0.0, area: 0.0, point: 0.0 });
    let slant = (50.0f64 * 50.0 + 10.0 * 10.0).sqrt();
    assert!((skin.area - (60.0 + 40.0 + 100.0 + 80.0) * slant).abs() < 1e-6, "{}", skin.area);
}

#[test]
fn a_hole_grows_with_the_face_it_is_seen_on() {
    // A square window bent round a cylinder of radius 50 (neutral): true on the neutral flat, it spans the same angle
    // on every face. Middle of an arc again.
    let mut w = one_strip(&Section::circle(50.0), &Section::circle(50.0), 100.0, Seam::Butt, Rim::Level);
    let l = layer(-4.0, 0.0, 4.0);
    let full = |d: f64| TAU * (50.0 + d) * 100.0;
    let (wide, tall) = (40.0, 30.0);
    let outline = Path::polygon(&[
        Vec2::new(-0.5 * wide, -0.5 * tall),
        Vec2::new(0.5 * wide, -0.5 * tall),
        Vec2::new(0.5 * wide, 0.5 * tall),
        Vec2::new(-0.5 * wide, 0.5 * tall),
    ]);
    let front = crate::geom::walk::Walk::new(&w.strips[0]);
    let place = front.at_normal(0.0)[0];
    let rule = front.rule(place);
    w.holes.push(Hole {
        number: None,
        thing: crate::ids::ThingId::new(0),
        name: String::new(),
        origin: crate::span::Span::new(crate::ids::FileId::new(0), 0, 0),
        strip: 0,
        rule,
        z: 35.0,
        outline,
    });
    for d in [-4.0, 0.0, 4.0] {
        let skin = whole(&w, &l, Depths::face(&l, d));
        let taken = wide * tall * (50.0 + d) / 50.0;
        assert!((skin.area - (full(d) - taken)).abs() < 1e-3, "{d}: {}", full(d) - skin.area);
        let half = 0.5 * wide / 50.0;
        let arc = (50.0 + d) * sin(half) / half;
        assert!((skin.moment.x + taken * arc).abs() < 0.05, "{d}: {} {}", skin.moment.x, taken * arc);
        assert!((skin.moment.z - (full(d) * 50.0 - taken * 35.0)).abs() < 0.05, "{d}");
    }
}

#[test]
fn a_plate_has_the_area_and_middle_of_its_section() {
    let strip =
        Strip::new(&Section::oval(30.0, 50.0, 2.0), 0.0, &Section::oval(40.0, 60.0, 2.0), 100.0).expect("a wall");
    let disc = |x: f64, y: f64, r: f64| Path {
        segs: (0..2)
            .map(|i| {
                let a = f64::from(i) * PI;
                let at = |a: f64| Vec2::new(x + r * cos(a), y + r * sin(a));
                Seg { a: at(a), b: at(a + PI), bulge: 1.0 }
            })
            .collect(),
    };
    let hole = PlateHole {
        thing: crate::ids::ThingId::new(0),
        name: String::new(),
        origin: crate::span::Span::new(crate::ids::FileId::new(0), 0, 0),
        outline: disc(10.0, 5.0, 8.0),
        number: None,
    };
    let p = Plate { strip, depth: 0.0, show: 0.0, hidden: 5.0, holes: vec![hole], sided: false, upright: false };
    let skin = plate(&p, 0.0);
    let (oval, taken) = (PI * 30.0 * 50.0, PI * 64.0);
    assert!((skin.area - (oval - taken)).abs() < 1e-4, "{}", skin.area);
    let c = skin.centre();
    assert!((c.x + taken * 10.0 / (oval - taken)).abs() < 1e-5 && (c.y + taken * 5.0 / (oval - taken)).abs() < 1e-5);
}

#[test]
fn rims_reach_as_far_as_their_faces() {
    let w = one_strip(&Section::circle(40.0), &Section::circle(60.0), 90.0, Seam::Butt, Rim::Square);
    let part = Part {
        id: crate::ids::PartId::new(0),
        thing: crate::ids::ThingId::new(0),
        name: String::new(),
        origin: crate::span::Span::new(crate::ids::FileId::new(0), 0, 0),
        pair: false,
        layers: vec![layer(-5.0, -2.5, 0.0)],
        body: Body::Wall(w),
        place: Frame::WORLD,
        split: true,
    };
    let all = corners(&part);
    // Square to the sheet: the inner face's upper rim stands higher by 5 sin α.
    let sine = 20.0 / (90.0f64 * 90.0 + 400.0).sqrt();
    assert!((all.most(|p| p.z) - (90.0 + 5.0 * sine)).abs() < 1e-9);
    assert!((all.most(|p| p.x) - 60.0).abs() < 1e-9);
    assert!((all.most(|p| (p.x * p.x + p.y * p.y).sqrt()) - 60.0).abs() < 1e-9);
}

#[test]
fn tongues_have_the_area_and_the_middle_of_their_segments() {
    // A segment of radius r and angle θ has the area r²(θ − sin θ)/2, and its middle lies 4 r sin³(θ/2)/(3 (θ − sin θ))
    // from the centre (any handbook). Tongues a quarter as tall as wide: r = 5/8 of the pitch, sin θ/2 = 0.8.
    let mut w = one_strip(&Section::circle(60.0), &Section::circle(60.0), 80.0, Seam::Butt, Rim::Square);
    let l = layer(-3.0, -1.5, 0.0);
    let pitch = TAU * 58.5 / 12.0;
    let (r, theta, rise) = (0.625 * pitch, 1.854_590_436_003_224_4f64, 0.25 * pitch);
    let segment = 0.5 * r * r * (theta - 0.96);
    let from_chord = 4.0 * r * 0.512 / (3.0 * (theta - 0.96)) - 0.6 * r;
    for upper in [false, true] {
        w.scallops = Some(crate::solid::Scallops { upper, count: 12, rise });
        let skin = whole(&w, &l, Depths::sheet(&l));
        let strip = TAU * 58.5 * (80.0 - rise);
        assert!((skin.area - strip - 12.0 * segment).abs() < 1e-3, "{}", skin.area);
        // From the notches' line.
        let middle = (strip * -0.5 * (80.0 - rise) + 12.0 * segment * from_chord) / (strip + 12.0 * segment);
        let z = if upper { 80.0 - rise + middle } else { rise - middle };
        assert!((skin.centre().z - z).abs() < 1e-4, "{} {z}", skin.centre().z);
        assert!(skin.centre().x.abs() < 1e-6 && skin.centre().y.abs() < 1e-6);
    }
    // On the face farther out all is larger by the girth.
    let face = whole(&w, &l, Depths::face(&l, 0.0));
    let sheet = whole(&w, &l, Depths::sheet(&l));
    assert!((face.area / sheet.area - 60.0 / 58.5).abs() < 1e-6);
}
