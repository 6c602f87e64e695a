//! Small solids for tests.

use crate::develop::develop;
use crate::diag::Diagnostics;
use crate::flat::{Flat, Panel};
use crate::geom::Vec2;
use crate::geom::fit;
use crate::geom::path::Path;
use crate::geom::section::{Curve, Element, Section};
use crate::geom::strip::Strip;
use crate::ids::{FileId, PartId, ThingId};
use crate::num::PI;
use crate::solid::{Body, Frame, Goods, Grain, Layer, Part, Plate, Rim, Ring, Seam, Solid, Stock, Wall};
use crate::span::Span;

/// Depths of one layer.
#[derive(Clone, Copy, Debug)]
pub struct Sheet {
    pub inner: f64,
    pub neutral: f64,
    pub outer: f64,
}

/// Paper: no thickness.
pub const SHEET: Sheet = Sheet { inner: 0.0, neutral: 0.0, outer: 0.0 };
/// 5 mm foam measured outside.
pub const FOAM: Sheet = Sheet { inner: -5.0, neutral: -2.5, outer: 0.0 };

pub fn stock() -> Stock {
    Stock {
        thing: ThingId::new(0),
        name: "foam5".to_owned(),
        sort: "foam",
        thick: 5.0,
        size: Goods::Sheet(Vec2::new(500.0, 1000.0)),
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

pub fn part(id: usize, body: Body, sheet: Sheet) -> Part {
    Part {
        id: PartId::new(id),
        thing: ThingId::new(0),
        name: "body".to_owned(),
        origin: Span::new(FileId::new(0), 0, 4),
        pair: false,
        layers: vec![Layer { stock: 0, inner: sheet.inner, neutral: sheet.neutral, outer: sheet.outer, square: false }],
        body,
        place: Frame::WORLD,
        split: true,
    }
}

/// A wall through stations, each strip a ring of its own (mitred to its neighbours), seam at the back.
pub fn wall(stations: &[(f64, Section)], sheet: Sheet) -> Solid {
    let strips: Vec<Strip> = stations
        .windows(2)
        .map(|w| {
            let strip = Strip::new(&w[0].1, w[0].0, &w[1].1, w[1].0).expect("a wall");
            strip.begun_at(PI).expect("the wall faces back")
        })
        .collect();
    let n = strips.len();
    let rings = (0..n)
        .map(|i| Ring {
            strips: i..i + 1,
            lower: if i == 0 { Rim::Level } else { Rim::Mitre(i - 1) },
            upper: if i + 1 == n { Rim::Level } else { Rim::Mitre(i + 1) },
        })
        .collect();
    let body = Body::Wall(Wall::plain(strips, rings, PI, Seam::Butt));
    Solid { stocks: vec![stock()], parts: vec![part(0, body, sheet)], ..Solid::default() }
}

pub fn the_wall(solid: &mut Solid) -> &mut Wall {
    match &mut solid.parts[0].body {
        Body::Wall(wall) => wall,
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => panic!("the part is a wall"),
    }
}

pub fn rims(solid: &mut Solid, lower: Rim, upper: Rim) {
    let wall = the_wall(solid);
    let last = wall.rings.len() - 1;
    wall.rings[0].lower = lower;
    wall.rings[last].upper = upper;
}

pub fn seam(solid: &mut Solid, seam: Seam) {
    the_wall(solid).seam = seam;
}

/// A plate within a wall.
pub fn plate(strip: &Strip, depth: f64, show: f64, hidden: f64, sheet: Sheet) -> Solid {
    let strip = strip.begun_at(PI).expect("the wall faces back");
    let body = Body::Plate(Plate { strip, depth, show, hidden, holes: Vec::new(), sided: false, upright: false });
    Solid { stocks: vec![stock()], parts: vec![part(0, body, sheet)], ..Solid::default() }
}

pub fn run(solid: &Solid) -> (Flat, Diagnostics) {
    develop(solid)
}

/// The only panel of a solid without faults.
pub fn only(solid: &Solid) -> Panel {
    let (flat, diagnostics) = run(solid);
    assert!(!diagnostics.has_errors(), "{diagnostics:?}");
    assert_eq!(flat.panels.len(), 1);
    flat.panels.into_iter().next().expect("one panel")
}

/// Half-axes of an oval with ratio 3:2 (left-right to front-back) that is `around` long.
pub fn around_three_two(around: f64) -> Section {
    let one = Section::oval(2.0, 3.0, 2.0).girth();
    Section::oval(2.0 * around / one, 3.0 * around / one, 2.0)
}

pub fn flag_case() -> Solid {
    wall(&[(0.0, Section::oval(35.0, 52.5, 2.0)), (385.0, around_three_two(420.0))], FOAM)
}

/// A rectangle of full widths `a` (along x) and `b` (along y) with rounded corners, about `centre`.
pub fn rectangle(a: f64, b: f64, corner: f64, centre: Vec2) -> Section {
    let quarter = 0.5 * PI;
    let elements = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
        .iter()
        .enumerate()
        .map(|(i, (x, y))| {
            let from = quarter * f64::from(u8::try_from(i).expect("four corners"));
            let at = centre + Vec2::new(x * (0.5 * a - corner), y * (0.5 * b - corner));
            Element { from, to: from + quarter, curve: Curve::Round { centre: at, radius: corner } }
        })
        .collect();
    Section::new(elements).expect("a rectangle is a section")
}

/// A section moved in its plane.
pub fn moved(section: &Section, by: Vec2) -> Section {
    let elements = section.elements().iter().map(|e| Element { curve: e.curve.moved(by), ..*e }).collect();
    Section::new(elements).expect("a moved section is a section")
}

/// Distance between two chains of segments, both ways, from points along them.
pub fn apart(a: &Path, b: &Path) -> f64 {
    let one_way = |a: &Path, b: &Path| {
        let far = |p: Vec2| b.segs.iter().map(|s| fit::distance(s, p)).fold(f64::INFINITY, f64::min);
        a.segs.iter().flat_map(|s| (0..=8u8).map(|i| s.at(f64::from(i) / 8.0))).map(far).fold(0.0, f64::max)
    };
    one_way(a, b).max(one_way(b, a))
}
