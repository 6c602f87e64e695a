//! Walls and plates laid flat triangle by triangle, and the pieces cut from them.

mod props;

use crate::design::Hand;
use crate::flat::{self, Allowance, Bevel, Flat, Long, Panel, Ruling};
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::section::Section;
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec2, Vec3, left_of};
use crate::ids::{FileId, JointId, PanelId, PartId, PieceId, ThingId};
use crate::num::{self, PI};
use crate::piece::{self, About, EdgeNote, Mark, Operation, Piece, Pieces, Run};
use crate::solid::*;
use crate::span::Span;

pub use props::{flag_case, flared, oval};

/// Rules to a stretch: chords err by parts of 1e-7 of their arc.
const RULES: usize = 2400;
/// Every so many rules are handed on as generatrices.
const KEPT: usize = 24;
/// Every so many rules are a corner of an outline: a millimetre or less.
const CORNER: usize = 6;

pub fn span() -> Span {
    Span::new(FileId::new(0), 0, 1)
}

/// One wall with a hole, and a base let into it.
pub fn solid(lower: &Section, upper: &Section, rise: f64, layer: Layer, hole_at: (f64, f64), pair: bool) -> Solid {
    let facing = PI;
    let strip = Strip::new(lower, 0.0, upper, rise).expect("a wall").begun_at(facing).expect("a convex wall");
    let id = PartId::new(0);
    let (phi, z) = hole_at;
    let at = strip.stretches().iter().position(|s| s.from <= phi && phi < s.to).expect("a direction");
    let c = Vec2::new;
    let outline = Path::polygon(&[c(-20.0, -9.0), c(20.0, -9.0), c(20.0, 9.0), c(-20.0, 9.0)]);
    let hole = Hole {
        thing: ThingId::new(0),
        name: "port".into(),
        origin: span(),
        strip: 0,
        rule: strip.rule(at, phi),
        z,
        outline,
        number: None,
    };
    let wall = Wall {
        strips: vec![strip.clone()],
        rings: vec![Ring { strips: 0..1, lower: Rim::Level, upper: Rim::Level }],
        facing,
        seam: Seam::Butt,
        holes: vec![hole],
        scallops: None,
        figures: [None, None],
        formed: None,
    };
    let part = |id, name: &str, body, pair, layer| Part {
        id,
        thing: ThingId::new(0),
        name: name.into(),
        origin: span(),
        pair,
        layers: vec![layer],
        body,
        place: Frame::WORLD,
        split: false,
    };
    let plate_id = PartId::new(1);
    let thick = layer.outer - layer.inner;
    let disc = |x: f64, y: f64, r: f64| {
        let (a, b) = (c(x + r, y), c(x - r, y));
        Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
    };
    let plate = Plate {
        strip: strip.clone(),
        depth: layer.inner,
        show: 0.0,
        hidden: thick,
        holes: vec![PlateHole {
            thing: ThingId::new(0),
            name: "drain".into(),
            origin: span(),
            outline: disc(11.0, 5.0, 4.0),
            number: None,
        }],
        sided: false,
        upright: false,
    };
    let plate_layer = Layer { stock: 0, inner: -thick, neutral: -0.5 * thick, outer: 0.0, square: false };
    let edge = |part, edge| EdgeRef { part, ring: 0, edge };
    let joints = vec![
        Joint {
            id: JointId::new(0),
            letter: "A".into(),
            a: edge(id, EdgeName::Begin),
            b: edge(id, EdgeName::End),
            contact: Contact::Along { part: id, ring: 0, depth: layer.neutral },
            notches: vec![0.31 * rise, 0.62 * rise],
            what: "seam".into(),
        },
        Joint {
            id: JointId::new(1),
            letter: "B".into(),
            a: edge(id, EdgeName::Lower),
            b: edge(plate_id, EdgeName::Outline),
            contact: Contact::Round { part: id, strip: 0, z: 0.0, depth: layer.inner },
            notches: [31.0, 90.0, 171.0].map(|s| rule_at(&rules(&strip), s, layer.inner).1).to_vec(),
            what: "base inset".into(),
        },
    ];
    let claim = |part, size| Claim { part, origin: span(), size };
    let claims = vec![
        claim(id, Size::Around { z: 0.0, depth: 0.0, mm: lower.girth() }),
        claim(id, Size::Around { z: rise, depth: 0.0, mm: upper.girth() }),
        claim(id, Size::Across { z: 0.0, depth: 0.0, direction: 0.0, mm: lower.width(0.0) }),
        claim(id, Size::Tall { mm: rise }),
        claim(id, Size::Thick { mm: thick }),
        claim(id, Size::Hole { hole: 0, level: z, facing: phi, across: 40.0, up: 18.0 }),
        claim(plate_id, Size::PlateHole { hole: 0, centre: c(11.0, 5.0), across: 8.0, by: 8.0 }),
        claim(plate_id, Size::Sunk { mm: 0.0 }),
    ];
    let stock = Stock {
        thing: ThingId::new(0),
        name: "foam".into(),
        sort: "foam",
        thick,
        size: Goods::Sheet(c(1000.0, 500.0)),
        area_mass: None,
        grain: Grain::None,
        reversible: true,
        tightest: 3.0 * thick,
        tightest_warm: 1.5 * thick,
        leave: Default::default(),
        have: 0.0,
        offcuts: Vec::new(),
        price: None,
        cautions: Vec::new(),
    };
    Solid {
        job: Job::default(),
        stocks: vec![stock],
        parts: vec![
            part(id, "body", Body::Wall(wall), pair, layer),
            part(plate_id, "base", Body::Plate(plate), pair, plate_layer),
        ],
        joints,
        claims,
        ..Solid::default()
    }
}

/// A wall's layer laid flat: for every rule its ends.
pub struct Strips {
    pub rules: Vec<Rule>,
    pub flat: Vec<(Vec2, Vec2)>,
}

impl Strips {
    /// Where the height `z_foot` of rule `i` lies.
    pub fn at(&self, i: usize, z_foot: f64) -> Vec2 {
        let (a, b) = self.flat[i];
        a + (b - a) * ((z_foot - self.rules[i].z0) / self.rules[i].rise())
    }
}

/// Lays pairs of points flat one triangle after the other: every triangle keeps its three sides.
pub fn flatten(pairs: &[(Vec3, Vec3)]) -> Vec<(Vec2, Vec2)> {
    let long = (pairs[0].1 - pairs[0].0).length();
    let mut out = vec![(Vec2::ZERO, Vec2::new(0.0, long))];
    for w in pairs.windows(2) {
        let (a, b) = *out.last().expect("begun");
        // The next foot lies right of the line up, the next head right of the line from that foot to the old head.
        let foot = beside(w[0].0, w[0].1, w[1].0, a, b);
        let head = beside(w[1].0, w[0].1, w[1].1, foot, b);
        out.push((foot, head));
    }
    out
}

fn beside(p: Vec3, q: Vec3, r: Vec3, a: Vec2, b: Vec2) -> Vec2 {
    let up3 = (q - p).normalize();
    let (along, off) = ((r - p).dot(up3), (r - p).cross(up3).length());
    let up = (b - a).normalize();
    a + up * along - left_of(up) * off
}

pub fn rules(strip: &Strip) -> Vec<Rule> {
    let mut rules: Vec<Rule> = Vec::new();
    for (j, s) in strip.stretches().iter().enumerate() {
        for i in usize::from(j > 0)..=RULES {
            rules.push(strip.rule(j, s.from + (s.to - s.from) * i as f64 / RULES as f64));
        }
    }
    rules
}

pub fn laid(strip: &Strip, neutral: f64) -> Strips {
    let rules = rules(strip);
    let pairs: Vec<_> = rules.iter().map(|r| (r.point(r.z0, neutral), r.point(r.z1, neutral))).collect();
    Strips { flat: flatten(&pairs), rules }
}

fn rounded(path: &Path) -> Path {
    let r = |x: f64| (x * 1000.0).round() / 1000.0;
    let p = |v: Vec2| Vec2::new(r(v.x), r(v.y));
    Path { segs: path.segs.iter().map(|s| Seg { a: p(s.a), b: p(s.b), bulge: s.bulge }).collect() }
}

pub fn moved(path: &Path, motion: &Motion) -> Path {
    rounded(&Path { segs: path.segs.iter().map(|s| s.moved(motion)).collect() })
}

/// Flat and pieces of every part of a solid.
pub fn make(solid: &Solid) -> (Flat, Pieces) {
    let strips = solid.parts.iter().map(|p| match &p.body {
        Body::Wall(w) => Some(laid(&w.strips[0], p.layers[0].neutral)),
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => None,
    });
    make_from(solid, strips.collect())
}

/// The same from walls that are flat already.
pub fn make_from(solid: &Solid, strips: Vec<Option<Strips>>) -> (Flat, Pieces) {
    let (mut flat, mut pieces) = (Flat::default(), Pieces::default());
    for (part, strips) in solid.parts.iter().zip(strips) {
        let id = PanelId::new(flat.panels.len());
        let drawn = match (&part.body, &strips) {
            (Body::Wall(w), Some(s)) => wall(solid, part, w, s),
            (Body::Plate(p), _) => plate(solid, part, p),
            (Body::Wall(_), None) => unreachable!("walls are laid flat"),
            (Body::Leaf(_) | Body::Folded(_), _) => unreachable!("there are none here"),
        };
        let rulings = strips.iter().flat_map(|s| {
            let kept = |i: &usize| i.is_multiple_of(KEPT) || i + 1 == s.rules.len();
            let ruling = |i: usize| Ruling { strip: 0, rule: s.rules[i], foot: s.flat[i].0, head: s.flat[i].1 };
            (0..s.rules.len()).filter(kept).map(ruling)
        });
        flat.panels.push(Panel {
            id,
            part: part.id,
            ring: 0,
            layer: 0,
            rulings: rulings.collect(),
            edges: drawn.edges.clone(),
            holes: vec![],
            traces: Vec::new(),
            places: vec![],
            area: drawn.area,
            turn: 0.0,
            tightest: None,
            rules: None,
        });
        for &hand in hands(part.pair) {
            pieces.pieces.push(cut(part, id, hand, &drawn, pieces.pieces.len()));
        }
    }
    (flat, pieces)
}

struct Drawn {
    edges: Vec<flat::Edge>,
    runs: Vec<Run>,
    holes: Vec<piece::Hole>,
    marks: Vec<Mark>,
    notes: Vec<EdgeNote>,
    area: f64,
    up: Vec2,
}

fn edge(name: EdgeName, path: &Path, joint: Option<JointId>) -> flat::Edge {
    let p = || path.clone();
    flat::Edge {
        name,
        inside: p(),
        middle: p(),
        outside: p(),
        widest: p(),
        narrowest: p(),
        bevel: Bevel::SQUARE,
        long: Long { inside: path.length(), neutral: path.length(), outside: path.length() },
        joints: joint.into_iter().collect(),
        notches: vec![],
        allowance: Allowance::None,
        turn: None,
    }
}

/// What is the same for all notes of one panel's edges.
fn note(solid: &Solid, part: PartId, name: EdgeName, long: Long, angles: (f64, f64)) -> EdgeNote {
    let here = EdgeRef { part, ring: 0, edge: name };
    let joint = solid.joints.iter().find(|j| j.a == here || j.b == here);
    let said = |e: EdgeName| match e {
        EdgeName::Lower => "bottom",
        EdgeName::Upper => "top",
        EdgeName::Begin => "seam left side",
        EdgeName::End => "seam right side",
        EdgeName::Outline | EdgeName::Side(_) | EdgeName::Foot(_) | EdgeName::Head(_) | EdgeName::Cut => "rim",
    };
    let meets = joint.map(|j| {
        let there = if j.a == here { j.b } else { j.a };
        let own = if there.part == part { "its own" } else { &solid.parts[there.part.index()].name };
        format!("{own} {}", said(there.edge))
    });
    let whole = |a: f64| 0.5 * (2.0 * a.abs().to_degrees()).round();
    let bevel = match (whole(angles.0), whole(angles.1)) {
        (a, b) if a == 0.0 && b == 0.0 => "square".to_string(),
        // Every sheet here is as thick as the first stock.
        _ if solid.stocks[0].thick * num::tan(angles.0.abs().max(angles.1.abs())) < crate::geom::tol::SQUARE_CUT => {
            let steepest = angles.0.abs().max(angles.1.abs());
            let moves = solid.stocks[0].thick * num::tan(steepest);
            format!("cut square (a bevel of {:.1}° moves the line {moves:.1} mm)", steepest.to_degrees())
        }
        (a, b) if angles.0 < 0.0 && angles.1 > 0.0 => format!("{a}° long inside to {b}° long outside"),
        (a, b) if angles.1 > 0.0 => format!("{a}–{b}° long outside"),
        (a, b) => format!("{b}–{a}° long inside"),
    };
    EdgeNote {
        edge: name,
        name: said(name).into(),
        letter: joint.map(|j| j.letter.clone()),
        meets,
        joint: joint.map(|j| j.id),
        long,
        notches: joint.map_or(0, |j| j.notches.len()),
        bevel,
        formed: None,
    }
}

/// A right-hand piece is turned over: its sides change places.
fn turned(mut notes: Vec<EdgeNote>) -> Vec<EdgeNote> {
    for note in &mut notes {
        for text in [Some(&mut note.name), note.meets.as_mut()].into_iter().flatten() {
            *text = if text.contains("left") { text.replace("left", "right") } else { text.replace("right", "left") };
        }
    }
    notes
}

/// Where a line across an edge crosses it.
fn onto(path: &Path, at: Vec2, inward: Vec2) -> Vec2 {
    let line = Seg::line(at - inward * 4.0, at + inward * 4.0);
    let hits = crate::geom::cross::along(path, &line).into_iter().map(|c| c.1.at);
    hits.min_by(|a, b| (*a - at).length().total_cmp(&(*b - at).length())).expect("an edge is near")
}

/// Length of a chain of points.
fn chain(points: impl Iterator<Item = Vec3>) -> f64 {
    let points: Vec<Vec3> = points.collect();
    points.windows(2).map(|w| (w[1] - w[0]).length()).sum()
}

/// The least and most lean of rules.
fn leans(rules: &[Rule], sign: f64) -> (f64, f64) {
    let all = rules.iter().map(|r| num::atan(r.flare()) * sign);
    all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)))
}

fn tick(joint: &Joint, number: usize, edge: EdgeName, at: Vec2, inward: Vec2) -> Mark {
    Mark {
        operation: Operation::Notch,
        path: Path::polyline(&[at, at + inward * 5.0]),
        about: About::Notch { joint: joint.id, number, edge },
    }
}

fn wall(solid: &Solid, part: &Part, wall: &Wall, s: &Strips) -> Drawn {
    let layer = part.layers[0];
    let n = s.rules.len() - 1;
    let (z0, z1) = wall.strips[0].heights();
    let foot = |i: usize, z: f64, d: f64| s.at(i, z + (d - layer.neutral) * s.rules[i].sine());
    let shift = s.rules.iter().map(|r| (layer.outer - layer.inner) * r.flare().abs()).fold(0.0, f64::max);
    let square = shift < crate::geom::tol::SQUARE_CUT;
    // The outermost line: at a flaring rule the outside's foot is the higher one.
    let line = |upper: bool, widest: bool| -> Vec<Vec2> {
        let corner = |i: &usize| i.is_multiple_of(CORNER) || *i == n;
        let at = |i: usize| {
            let flares = s.rules[i].sine() >= 0.0;
            let d = if (flares == upper) == widest { layer.outer } else { layer.inner };
            foot(i, if upper { z1 } else { z0 }, if square { layer.middle() } else { d })
        };
        (0..=n).filter(corner).map(at).collect()
    };
    let (low, mut high) = (Path::polyline(&line(false, true)), line(true, true));
    high.reverse();
    let high = Path::polyline(&high);
    let ends = |p: &Path| (p.start().expect("a line"), p.end().expect("a line"));
    let ((low0, low1), (high1, high0)) = (ends(&low), ends(&high));
    let (end, begin) = (Path::polyline(&[low1, high1]), Path::polyline(&[high0, low0]));
    let mut marks: Vec<Mark> = Vec::new();
    if !square {
        for (upper, name) in [(false, EdgeName::Lower), (true, EdgeName::Upper)] {
            let path = Path::polyline(&line(upper, false));
            marks.push(Mark { operation: Operation::Bevel, path, about: About::Bevel(name) });
        }
    }
    let up = |i: usize| (s.flat[i].1 - s.flat[i].0).normalize();
    for (j, &along) in solid.joints[0].notches.iter().enumerate() {
        for (i, name) in [(0, EdgeName::Begin), (n, EdgeName::End)] {
            let side = if i == 0 { -left_of(up(i)) } else { left_of(up(i)) };
            let at = foot(i, z0, layer.neutral) + up(i) * along;
            marks.push(tick(&solid.joints[0], j, name, at, side));
        }
    }
    for (j, &along) in solid.joints[1].notches.iter().enumerate() {
        let i = rule_at(&s.rules, along, layer.inner).0;
        let (p, q) = (foot(i - 1, z0, layer.middle()), foot(i + 1, z0, layer.middle()));
        let inward = left_of((q - p).normalize());
        let at = onto(&low, foot(i, z0, layer.middle()), inward);
        marks.push(tick(&solid.joints[1], j, EdgeName::Lower, at, inward));
    }
    let hole = &wall.holes[0];
    let near = |a: &Rule, phi: f64| (a.phi - phi).abs();
    let i = (0..=n).min_by(|&a, &b| near(&s.rules[a], hole.rule.phi).total_cmp(&near(&s.rules[b], hole.rule.phi)));
    let i = i.expect("rules");
    assert!(near(&s.rules[i], hole.rule.phi) < 1e-6, "holes of fixtures stand on a rule");
    let centre = s.at(i, hole.z - layer.neutral * s.rules[i].sine());
    let x = (s.flat[i + 1].0 - s.flat[i - 1].0).normalize();
    let go = |p: Vec2| centre + x * p.x + left_of(x) * p.y;
    let outline = Path { segs: hole.outline.segs.iter().map(|g| Seg { a: go(g.a), b: go(g.b), ..*g }).collect() };
    let named = [(EdgeName::Lower, low), (EdgeName::End, end), (EdgeName::Upper, high), (EdgeName::Begin, begin)];
    let middle_rule = opposite(&s.rules, wall.facing);
    let line_at = |upper: bool| {
        let out = if (s.rules[middle_rule].sine() >= 0.0) == upper { layer.outer } else { layer.inner };
        foot(middle_rule, if upper { z1 } else { z0 }, if square { layer.middle() } else { out })
    };
    let path = Path::polyline(&[line_at(false), line_at(true)]);
    marks.push(Mark { operation: Operation::Centre, path, about: About::Centre });
    let long =
        |f: &dyn Fn(f64) -> f64| Long { inside: f(layer.inner), neutral: f(layer.neutral), outside: f(layer.outer) };
    let round = |z: f64| long(&|d| chain(s.rules.iter().map(|r| r.point(z, d))));
    let side = long(&|d| (s.rules[0].point(z1, d) - s.rules[0].point(z0, d)).length());
    let notes = vec![
        note(solid, part.id, EdgeName::Lower, round(z0), leans(&s.rules, -1.0)),
        note(solid, part.id, EdgeName::End, side, (0.0, 0.0)),
        note(solid, part.id, EdgeName::Upper, round(z1), leans(&s.rules, 1.0)),
        note(solid, part.id, EdgeName::Begin, side, (0.0, 0.0)),
    ];
    let joint = |e| notes.iter().find(|n| n.edge == e).and_then(|n| n.joint);
    // The neutral surface between its level rims.
    let middle = |upper: bool, i: usize| s.at(i, if upper { z1 } else { z0 });
    let mut ring: Vec<Vec2> = (0..=n).map(|i| middle(false, i)).collect();
    ring.extend((0..=n).rev().map(|i| middle(true, i)));
    ring.push(ring[0]);
    Drawn {
        edges: named.iter().map(|(e, p)| edge(*e, p, joint(*e))).collect(),
        runs: named.iter().map(|(e, p)| Run::of(Some(*e), p.clone())).collect(),
        holes: vec![piece::Hole { hole: 0, name: hole.name.clone(), outline, number: None }],
        marks,
        notes,
        area: super::super::measure::area(&ring),
        up: up(middle_rule),
    }
}

/// The rule that faces away from the seam.
fn opposite(rules: &[Rule], facing: f64) -> usize {
    let off = |i: &usize| (rules[*i].phi - facing - PI).abs();
    (0..rules.len()).min_by(|a, b| off(a).total_cmp(&off(b))).expect("rules")
}

/// The rule next to a length along the lower rim at a depth, and its own length.
fn rule_at(rules: &[Rule], along: f64, depth: f64) -> (usize, f64) {
    let mut sum = 0.0;
    for i in 1..rules.len() - 1 {
        sum += (rules[i].point(rules[i].z0, depth) - rules[i - 1].point(rules[i].z0, depth)).length();
        if sum >= along - 1e-6 {
            return (i, sum);
        }
    }
    (rules.len() - 2, sum)
}

fn plate(solid: &Solid, part: &Part, plate: &Plate) -> Drawn {
    let rules = rules(&plate.strip);
    let z = |d: f64| {
        let l = part.layers[0];
        plate.hidden + (plate.show - plate.hidden) * (d - l.inner) / (l.outer - l.inner)
    };
    let heights = [plate.show, plate.hidden];
    // Seen from below with the front up, right is the wearer's left.
    let at = |r: &Rule, z: f64| {
        let p = r.point(z, plate.depth);
        Vec2::new(p.y, p.x)
    };
    let rise = (plate.show - plate.hidden).abs();
    let shift = rules.iter().map(|r| rise * r.flare().abs()).fold(0.0, f64::max);
    let square = shift < crate::geom::tol::SQUARE_CUT;
    let ring = |widest: bool| {
        let corner = |r: &Rule| {
            let i = usize::from((r.flare() >= 0.0) == (heights[1] > heights[0]));
            at(r, if square { z(part.layers[0].middle()) } else { heights[if widest { i } else { 1 - i }] })
        };
        // Where the flare changes sides the line has a kink that needs a corner of its own.
        let kink = |i: usize| i > 0 && (rules[i].flare() >= 0.0) != (rules[i - 1].flare() >= 0.0);
        let kept = (0..rules.len()).filter(|&i| i.is_multiple_of(CORNER / 2) || kink(i));
        let mut points: Vec<Vec2> = kept.map(|i| corner(&rules[i])).collect();
        // Growing φ runs clockwise when seen from below.
        points.reverse();
        if (points[0] - points[points.len() - 1]).length() < 1e-9 {
            points.pop();
        }
        Path::polygon(&points)
    };
    let outline = ring(true);
    let mut marks = Vec::new();
    if !square {
        let about = About::Bevel(EdgeName::Outline);
        marks.push(Mark { operation: Operation::Bevel, path: ring(false), about });
    }
    for (j, &along) in solid.joints[1].notches.iter().enumerate() {
        let i = rule_at(&rules, along, plate.depth).0;
        let middle = |i: usize| at(&rules[i], 0.5 * (plate.show + plate.hidden));
        let along = (middle(i - 1) - middle(i + 1)).normalize();
        let inward = left_of(along);
        let at = onto(&outline, middle(i), inward);
        marks.push(tick(&solid.joints[1], j, EdgeName::Outline, at, inward));
    }
    let hole = &plate.holes[0];
    let go = |p: Vec2| Vec2::new(p.y, p.x);
    // Mirrored into the view, so walked the other way round.
    let segs = hole.outline.segs.iter().rev().map(|g| Seg { a: go(g.b), b: go(g.a), bulge: g.bulge });
    let holes =
        vec![piece::Hole { hole: 0, name: hole.name.clone(), outline: Path { segs: segs.collect() }, number: None }];
    let neutral = z(part.layers[0].neutral);
    let ring: Vec<Vec2> = rules.iter().rev().map(|r| at(r, neutral)).collect();
    let area = super::super::measure::area(&ring);
    let round = |z: f64| chain(rules.iter().map(|r| r.point(z, plate.depth)));
    let long = Long { inside: round(plate.hidden), neutral: round(neutral), outside: round(plate.show) };
    let notes = vec![note(solid, part.id, EdgeName::Outline, long, leans(&rules, -1.0))];
    Drawn {
        edges: vec![edge(EdgeName::Outline, &outline, Some(JointId::new(1)))],
        runs: vec![Run::of(Some(EdgeName::Outline), outline)],
        holes,
        marks,
        notes,
        area,
        up: Vec2::Y,
    }
}

fn cut(part: &Part, panel: PanelId, hand: Option<Hand>, drawn: &Drawn, number: usize) -> Piece {
    let mirror = hand == Some(Hand::Right);
    let motion = Motion { mirror, turn: 0.4, shift: Vec2::new(700.0, 50.0) };
    let go = |p: &Path| moved(p, &motion);
    // Mirrored rings are walked the other way round.
    let ring = |p: &Path| if mirror { go(p).reversed() } else { go(p) };
    let mut contour: Vec<Run> = drawn.runs.iter().map(|r| Run { path: ring(&r.path), ..r.clone() }).collect();
    if mirror {
        contour.reverse();
    }
    let holes: Vec<piece::Hole> =
        drawn.holes.iter().map(|h| piece::Hole { outline: ring(&h.outline), ..h.clone() }).collect();
    let outline = Path { segs: contour.iter().flat_map(|r| r.path.segs.clone()).collect() };
    let area = outline.area() - holes.iter().map(|h| h.outline.area()).sum::<f64>();
    let suffix = match hand {
        None => "",
        Some(Hand::Left) => " left",
        Some(Hand::Right) => " right",
    };
    Piece {
        id: PieceId::new(number),
        panel,
        part: part.id,
        origin: part.origin,
        name: format!("{}{suffix}", part.name),
        number: number + 1,
        hand,
        stock: 0,
        contour,
        holes,
        marks: drawn.marks.iter().map(|m| Mark { path: go(&m.path), ..m.clone() }).collect(),
        places: vec![],
        traces: vec![],
        letters: vec![],
        edges: if mirror { turned(drawn.notes.clone()) } else { drawn.notes.clone() },
        grain: None,
        up: motion.apply_direction(drawn.up),
        offsets: vec![],
        area,
        mass: None,
        from_flat: motion,
        split: None,
        formed: None,
    }
}
