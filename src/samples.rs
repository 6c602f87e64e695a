//! A small prop made by hand, for the tests of later phases: a tapered tube of foam with a butt seam, its base disc
//! with a hole, and a strip.

use crate::design::Hand;
use crate::fitted::Supply;
use crate::flat::Long;
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::section::Section;
use crate::geom::strip::Strip;
use crate::geom::{Vec2, unit};
use crate::ids::{FileId, JointId, PanelId, PartId, PieceId, ThingId};
use crate::num;
use crate::piece::{About, EdgeNote, Hole, Letter, Mark, Offsets, Operation, Piece, Pieces, Run};
use crate::solid::{
    Body, Contact, Cutter, EdgeName, EdgeRef, Frame, Goods, Grain, Job, Joint, Layer, Paper, Part, Plate, Rim, Ring,
    Seam, Show, Solid, Stock, Wall,
};
use crate::span::Span;

pub(crate) fn span() -> Span {
    Span::new(FileId::new(0), 0, 0)
}

fn round3(p: Vec2) -> Vec2 {
    (p * 1e3).round() / 1e3
}

pub(crate) fn stock(name: &str, thick: f64, size: Goods) -> Stock {
    Stock {
        thing: ThingId::new(0),
        name: name.to_owned(),
        sort: "foam",
        thick,
        size,
        area_mass: Some(thick * 95e-6),
        grain: Grain::None,
        reversible: true,
        tightest: 3.0 * thick,
        tightest_warm: 1.5 * thick,
        leave: Default::default(),
        have: 1.0,
        offcuts: Vec::new(),
        price: None,
        cautions: Vec::new(),
    }
}

/// A piece of one closed outline.
/// A supply of which nothing is said but its sort.
pub(crate) fn supply(name: &str, sort: &'static str) -> Supply {
    Supply {
        thing: ThingId::new(0),
        name: name.to_owned(),
        sort,
        across: None,
        wide: None,
        thick: None,
        long: None,
        mass: None,
        density: None,
        price: None,
        have: None,
        sold: None,
        dry: None,
        open_time: None,
        cure: None,
        covers: None,
        strength: None,
        cautions: Vec::new(),
    }
}

pub(crate) fn piece(index: usize, name: &str, runs: Vec<Run>, holes: Vec<Hole>) -> Piece {
    let whole = Path { segs: runs.iter().flat_map(|r| r.path.segs.clone()).collect() };
    let area = whole.area() - holes.iter().map(|h| h.outline.area()).sum::<f64>();
    Piece {
        id: PieceId::new(index),
        panel: PanelId::new(index),
        part: PartId::new(index.min(1)),
        origin: span(),
        name: name.to_owned(),
        number: index + 1,
        hand: None,
        stock: 0,
        contour: runs,
        holes,
        marks: Vec::new(),
        places: Vec::new(),
        traces: Vec::new(),
        letters: Vec::new(),
        edges: Vec::new(),
        grain: None,
        up: Vec2::Y,
        offsets: Vec::new(),
        area,
        mass: Some(area * 5.0 * 95e-6),
        from_flat: Motion::STAY,
        split: None,
        formed: None,
    }
}

pub(crate) fn polygon(points: &[Vec2]) -> Vec<Run> {
    vec![Run::of(None, Path::polygon(points))]
}

pub(crate) fn circle(centre: Vec2, r: f64) -> Path {
    let (a, b) = (centre + Vec2::X * r, centre - Vec2::X * r);
    Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
}

/// A sector between two radii, symmetric about the y axis, swelling downwards: the flat of a tapered tube.
pub(crate) fn sector(index: usize, name: &str, r0: f64, r1: f64, angle: f64) -> Piece {
    let at = |r: f64, a: f64| round3(unit(-num::FRAC_PI_2 + a) * r + Vec2::Y * r1);
    let bulge = num::tan(angle / 4.0);
    let h = angle / 2.0;
    let run = |edge, a, b, bulge| Run::of(Some(edge), Path { segs: vec![Seg { a, b, bulge }] });
    let runs = vec![
        run(EdgeName::Lower, at(r1, -h), at(r1, h), bulge),
        run(EdgeName::End, at(r1, h), at(r0, h), 0.0),
        run(EdgeName::Upper, at(r0, h), at(r0, -h), -bulge),
        run(EdgeName::Begin, at(r0, -h), at(r1, -h), 0.0),
    ];
    piece(index, name, runs, Vec::new())
}

/// A letter of two strokes: a cross.
fn cross(text: &str, at: Vec2, tall: f64) -> Letter {
    let h = tall / 2.0;
    let stroke = |d: Vec2| Path::polyline(&[at - d, at + d]);
    Letter {
        text: text.to_owned(),
        at,
        tall,
        turn: 0.0,
        strokes: vec![stroke(Vec2::splat(h)), stroke(Vec2::new(h, -h))],
    }
}

fn note(edge: EdgeName, name: &str, letter: &str, meets: &str, long: f64, bevel: &str) -> EdgeNote {
    EdgeNote {
        edge,
        name: name.to_owned(),
        letter: (!letter.is_empty()).then(|| letter.to_owned()),
        meets: (!meets.is_empty()).then(|| meets.to_owned()),
        joint: (!letter.is_empty()).then(|| JointId::new(usize::from(letter == "B"))),
        long: Long { inside: long - 15.7, neutral: long, outside: long + 15.7 },
        notches: if letter.is_empty() { 0 } else { 3 },
        bevel: bevel.to_owned(),
        formed: None,
    }
}

/// The pieces of [`solid`], lettered.
pub(crate) fn pieces() -> Pieces {
    // A wall of 300 mm with mean radii 40 and 55.
    let slant = (300.0f64 * 300.0 + 15.0 * 15.0).sqrt();
    let (r0, r1) = (40.0 / 15.0 * slant, 55.0 / 15.0 * slant);
    let mut body = sector(0, "body", r0, r1, num::TAU * 15.0 / slant);
    body.edges = vec![
        note(EdgeName::Lower, "top", "", "", num::TAU * 55.0, "square"),
        note(EdgeName::End, "seam left side", "A", "body seam right side", slant, "square"),
        note(EdgeName::Upper, "bottom", "B", "base edge", num::TAU * 40.0, "3° long outside"),
        note(EdgeName::Begin, "seam right side", "A", "body seam left side", slant, "square"),
    ];
    body.letters = vec![cross("body", Vec2::new(0.0, 150.0), 14.0)];
    let upper = body.contour[2].path.clone();
    body.marks.push(Mark {
        operation: Operation::Bevel,
        path: Path {
            segs: upper.segs.iter().map(|s| s.moved(&Motion { shift: Vec2::new(0.0, -4.0), ..Motion::STAY })).collect(),
        },
        about: About::Bevel(EdgeName::Upper),
    });
    for (number, y) in [60.0, 130.0, 255.0].into_iter().enumerate() {
        if let Some((p, d)) = body.contour[1].path.at_length(y) {
            let into = crate::geom::left_of(d);
            let about = About::Notch { joint: JointId::new(0), number, edge: EdgeName::End };
            let path = Path::polyline(&[round3(p), round3(p + into * 6.0)]);
            body.marks.push(Mark { operation: Operation::Notch, path, about });
        }
    }
    body.marks.push(Mark {
        operation: Operation::Centre,
        path: Path::polyline(&[Vec2::new(0.0, 20.0), Vec2::new(0.0, 280.0)]),
        about: About::Centre,
    });
    body.offsets = vec![Offsets {
        edge: EdgeName::Lower,
        radius: Some(r1),
        chord: 340.0,
        rows: vec![(0.0, 0.0), (170.0, 13.2), (340.0, 0.0)],
    }];
    let drain = Hole { hole: 0, name: "drain".to_owned(), outline: circle(Vec2::new(5.0, 0.0), 4.0), number: None };
    let outline = Run::of(Some(EdgeName::Outline), circle(Vec2::ZERO, 37.5));
    let mut base = piece(1, "base", vec![outline], vec![drain]);
    base.edges = vec![note(EdgeName::Outline, "edge", "B", "body bottom", num::TAU * 37.5, "3° long outside")];
    base.letters = vec![cross("base", Vec2::new(0.0, 15.0), 8.0)];
    let corners = [Vec2::ZERO, Vec2::new(180.0, 0.0), Vec2::new(180.0, 25.0), Vec2::new(0.0, 25.0)];
    let mut strip = piece(2, "strap left", polygon(&corners), Vec::new());
    strip.hand = Some(Hand::Left);
    Pieces { pieces: vec![body, base, strip] }
}

/// The prop of [`pieces`]: outside radii 42.5 and 57.5, foam 5.
pub(crate) fn solid() -> Solid {
    let strip = Strip::new(&Section::circle(42.5), 0.0, &Section::circle(57.5), 300.0)
        .expect("a cone")
        .begun_at(num::PI)
        .expect("faces everywhere");
    let layer = Layer { stock: 0, inner: -5.0, neutral: -2.5, outer: 0.0, square: false };
    let part = |index: usize, name: &str, body: Body| Part {
        id: PartId::new(index),
        thing: ThingId::new(index),
        name: name.to_owned(),
        origin: span(),
        pair: false,
        layers: vec![layer],
        body,
        place: Frame::WORLD,
        split: true,
    };
    let wall = Wall::plain(
        vec![strip.clone()],
        vec![Ring { strips: 0..1, lower: Rim::Level, upper: Rim::Square }],
        num::PI,
        Seam::Butt,
    );
    let drain = crate::solid::PlateHole {
        thing: ThingId::new(3),
        name: "drain".to_owned(),
        origin: span(),
        outline: circle(Vec2::new(5.0, 0.0), 4.0),
        number: None,
    };
    let plate = Plate { strip, depth: -5.0, show: 0.0, hidden: 5.0, holes: vec![drain], sided: false, upright: false };
    let edge = |part: usize, edge| EdgeRef { part: PartId::new(part), ring: 0, edge };
    Solid {
        job: Job {
            one_of_several: false,
            name: "chart_case".to_owned(),
            title: "Chart runner's case".to_owned(),
            wearer: Some("runner".to_owned()),
            cutter: Some(Cutter {
                name: "desk".to_owned(),
                sort: "drag_knife",
                size: Vec2::new(304.8, 609.6),
                deepest: Some(3.0),
                kerf: 0.0,
                offset: 0.5,
                overcut: 1.0,
                compass: 500.0,
                writes_dxf: true,
            }),
            paper: Some(Paper { name: "a4".to_owned(), size: Vec2::new(210.0, 297.0), margin: 6.5, overlap: 12.0 }),
            show: Show::Millimetres,
            mock_up: None,
            settings: vec![("drama".to_owned(), "1.1".to_owned())],
            unbuilt: vec!["strap sling".to_owned()],
        },
        stocks: vec![stock("foam5", 5.0, Goods::Sheet(Vec2::new(500.0, 1000.0)))],
        parts: vec![part(0, "body", Body::Wall(wall)), part(1, "base", Body::Plate(plate))],
        joints: vec![
            Joint {
                id: JointId::new(0),
                letter: "A".to_owned(),
                a: edge(0, EdgeName::Begin),
                b: edge(0, EdgeName::End),
                contact: Contact::Along { part: PartId::new(0), ring: 0, depth: -2.5 },
                notches: vec![60.0, 130.0, 255.0],
                what: "seam".to_owned(),
            },
            Joint {
                id: JointId::new(1),
                letter: "B".to_owned(),
                a: edge(0, EdgeName::Lower),
                b: edge(1, EdgeName::Outline),
                contact: Contact::Round { part: PartId::new(0), strip: 0, z: 0.0, depth: -5.0 },
                notches: vec![20.0, 90.0, 180.0],
                what: "base inset".to_owned(),
            },
        ],
        ..Solid::default()
    }
}
