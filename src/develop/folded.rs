//! A wall that is folded from one strip, laid down: its faces side by side as they are, each fold's skin between them as wide as
//! it is long in bending.

use crate::fitted::{Ground, Spot};
use crate::flat::{Allowance, Bevel, Edge, Hole, Long, Notch, Panel, Trace};
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::{Vec2, left_of, sided, tol, unit};
use crate::num::{self, FRAC_PI_2};
use crate::solid::{Contact, Course, EdgeName, Folded, Layer, Part, Seam, Solid};

use super::{Made, joints_of, places, plate, traces};

/// From each face's plane to the flat. The face in the middle stands upright.
pub(super) fn motions(wall: &Folded) -> Vec<Motion> {
    let mut out = vec![Motion { mirror: false, turn: FRAC_PI_2, shift: Vec2::ZERO }];
    for fold in 0..wall.folds.len() {
        let (here, next) = (&wall.faces[fold], &wall.faces[fold + 1]);
        let root = wall.root(fold);
        let corners = sided::corners_at(&here.plate.strip, root);
        let ends = [corners[here.right], corners[(here.right + 1) % corners.len()]];
        let space = ends.map(|p| here.frame.apply(p.extend(root)));
        let there = space.map(|p| next.frame.seen(p).truncate());
        let onto = out[fold];
        let [a, b] = ends.map(|p| onto.apply(p));
        let way = (b - a).normalize_or_zero();
        let own = there[1] - there[0];
        let turn = num::atan2(own.perp_dot(way), own.dot(way));
        let at = a - left_of(way) * wall.folds[fold].allowance();
        out.push(Motion { mirror: false, turn, shift: at - unit(turn).rotate(there[0]) });
    }
    let lean = out[out.len() / 2].turn - FRAC_PI_2;
    for motion in &mut out {
        *motion = Motion { turn: motion.turn - lean, shift: unit(-lean).rotate(motion.shift), ..*motion };
    }
    out
}

/// A face's side as it is laid down, in the sense of its own way round.
fn side(lines: &[(f64, f64)], k: usize, onto: &Motion) -> (Vec2, Vec2) {
    let corners = sided::corners(lines);
    (onto.apply(corners[k]), onto.apply(corners[(k + 1) % corners.len()]))
}

/// A chain without the corners that are none.
fn chain(points: &[Vec2]) -> Path {
    let mut out: Vec<Vec2> = Vec::with_capacity(points.len());
    for &p in points {
        if out.last().is_some_and(|q| q.distance(p) < tol::SAME) {
            continue;
        }
        if let [.., a, b] = out.as_slice()
            && (*b - *a).normalize_or_zero().perp_dot(p - *a).abs() < tol::SAME
        {
            out.pop();
        }
        out.push(p);
    }
    Path::polyline(&out)
}

/// Lays its sheet down.
pub(super) fn panel(solid: &Solid, part: &Part, wall: &Folded, index: usize) -> Made {
    let layer = &part.layers[index];
    let onto = motions(wall);
    let n = wall.faces.len();
    let cut: Vec<Vec<(f64, f64)>> = (0..n).map(|i| wall.cut(i, layer.square)).collect();
    // Where the strip's outline crosses the skin of each fold: half-way from one face's rim to the next one's.
    let bridge = |fold: usize, upper: bool| {
        let (a, b) = (&wall.faces[fold], &wall.faces[fold + 1]);
        let (p, q) = side(&cut[fold], a.right, &onto[fold]);
        let (s, r) = side(&cut[fold + 1], b.left, &onto[fold + 1]);
        if upper { q.midpoint(s) } else { p.midpoint(r) }
    };
    let edge = |face: usize, upper: bool| -> Option<Edge> {
        let k = wall.faces[face].rims[usize::from(upper)]?;
        let [before, after] = wall.folds_of(face).map(|f| f.map(|f| bridge(f, upper)));
        let (a, b) = side(&cut[face], k, &onto[face]);
        // Foots run on to the right, heads back to the left.
        let (first, last) = if upper { (after, before) } else { (before, after) };
        let points: Vec<Vec2> = first.into_iter().chain([a, b]).chain(last).collect();
        let name = if upper { EdgeName::Head(face) } else { EdgeName::Foot(face) };
        Some(laid(solid, part, wall, (layer, face, k), name, &onto[face], chain(&points)))
    };
    let seam_side = |face: usize, k: usize, name: EdgeName| {
        let (a, b) = side(&cut[face], k, &onto[face]);
        laid(solid, part, wall, (layer, face, k), name, &onto[face], Path { segs: vec![Seg::line(a, b)] })
    };
    let mut edges: Vec<Edge> = (0..n).filter_map(|i| edge(i, false)).collect();
    let mut end = seam_side(n - 1, wall.faces[n - 1].right, EdgeName::End);
    if let Seam::Tabs(wide) = wall.seam {
        end.allowance = Allowance::Tabs(wide);
    }
    edges.push(end);
    edges.extend((0..n).rev().filter_map(|i| edge(i, true)));
    edges.push(seam_side(0, wall.faces[0].left, EdgeName::Begin));
    let panel = Panel {
        holes: holes(wall, &onto),
        places: places::on_faces(solid, part, index, |face| onto.get(face).copied()),
        traces: traced(solid, part, wall, &onto),
        ..Panel::plain(part.id, index, edges, wall.sheet(layer.neutral))
    };
    Made { panel, knots: Vec::new(), faults: Vec::new() }
}

/// One edge of a face: how it is cut, where its two faces' lines lie, and how long it is in space.
fn laid(
    solid: &Solid,
    part: &Part,
    wall: &Folded,
    (layer, face, k): (&Layer, usize, usize),
    name: EdgeName,
    onto: &Motion,
    path: Path,
) -> Edge {
    let plate = &wall.faces[face].plate;
    let heights = plate.strip.heights();
    let sides = sided::sides(&plate.strip);
    let flat = |depth: f64| {
        let (a, b) = side(&wall.lines(face, depth), k, onto);
        Path { segs: vec![Seg::line(a, b)] }
    };
    let long = |depth: f64| {
        let lines: Vec<(f64, f64)> = sides.iter().map(|s| (s.phi, s.at(depth, heights))).collect();
        let corners = sided::corners(&lines);
        corners[k].distance(corners[(k + 1) % corners.len()])
    };
    let (inner, outer) = (sides[k].at(layer.inner, heights), sides[k].at(layer.outer, heights));
    let lean = num::atan((outer - inner) / (layer.outer - layer.inner));
    let bevel = if layer.square || lean.abs() < tol::SAME_ANGLE {
        Bevel::SQUARE
    } else {
        Bevel { least: lean, most: lean, shift: (outer - inner).abs() }
    };
    let (inside, outside) = (flat(layer.inner), flat(layer.outer));
    // A bevel line goes as far as its neighbours' edges, also where those are cut square, at half depth.
    let narrow = if outer > inner { layer.inner } else { layer.outer };
    let (a, b) = side(&wall.as_cut(face, narrow, layer.square), k, onto);
    let narrowest = Path { segs: vec![Seg::line(a, b)] };
    let middle = if bevel.shift < tol::SQUARE_CUT { path.clone() } else { flat(layer.middle()) };
    let mut notches = Vec::new();
    let mut joints = Vec::new();
    for joint in joints_of(solid, part.id, 0, name) {
        joints.push(joint.id);
        let Contact::Line { from, to, .. } = joint.contact else { continue };
        let frame = part.place.of(&wall.faces[face].frame);
        let Some(seg) = flat(layer.middle()).segs.first().copied() else { continue };
        let way = (seg.b - seg.a).normalize_or_zero();
        for (number, s) in joint.notches.iter().enumerate() {
            let p = onto.apply(frame.seen(from + (to - from).normalize_or_zero() * *s).truncate());
            let at = seg.a + way * (p - seg.a).dot(way).clamp(0.0, seg.length());
            notches.push(Notch { joint: joint.id, number, at, inward: left_of(way) });
        }
    }
    Edge {
        name,
        inside,
        middle,
        outside,
        widest: path,
        narrowest,
        bevel,
        long: Long { inside: long(layer.inner), neutral: long(layer.neutral), outside: long(layer.outer) },
        joints,
        notches,
        allowance: Allowance::None,
        turn: None,
    }
}

fn holes(wall: &Folded, onto: &[Motion]) -> Vec<Hole> {
    let one = |(i, (face, h)): (usize, &(usize, crate::solid::PlateHole))| {
        let outline = h.outline.moved(&onto[*face]);
        let centre = outline.bounds().map_or(Vec2::ZERO, |(lo, hi)| (lo + hi) * 0.5);
        Hole { hole: i, name: h.name.clone(), outline, centre }
    };
    wall.holes.iter().enumerate().map(one).collect()
}

/// Marks on its faces, and what is grooved or scored along its folds.
fn traced(solid: &Solid, part: &Part, wall: &Folded, onto: &[Motion]) -> Vec<Trace> {
    let along = |course: &Course| match course {
        Course::Face(face, path) => vec![path.moved(&onto[*face])],
        Course::Fold(fold) => groove(wall, *fold, onto),
        Course::Wall(_) | Course::Plate(_) | Course::Edge(_) | Course::Form(_) => Vec::new(),
    };
    traces::shown(solid, part, 0).map(|(i, one)| traces::trace(i, one, along(&one.course))).collect()
}

/// Both edges of a fold's groove on the face into which it is cut, from bottom to top; of a score the line in the middle of
/// what is bent.
fn groove(wall: &Folded, fold: usize, onto: &[Motion]) -> Vec<Path> {
    let (inner, outer) = wall.faces_at();
    let depth = if wall.marked(fold) == crate::design::Face::Inside { inner } else { outer };
    let (a0, a1) = side(&wall.lines(fold, depth), wall.faces[fold].right, &onto[fold]);
    let (b1, b0) = side(&wall.lines(fold + 1, depth), wall.faces[fold + 1].left, &onto[fold + 1]);
    let line = |a: Vec2, b: Vec2| Path { segs: vec![Seg::line(a, b)] };
    if wall.is_scored(fold) { vec![line(a0.midpoint(b0), a1.midpoint(b1))] } else { vec![line(a0, a1), line(b0, b1)] }
}

/// Every face by itself, with its own holes and places: for whoever asks whether those have room on it.
pub(super) fn alone(solid: &Solid, part: &Part, wall: &Folded, layer: usize) -> Vec<Panel> {
    let one = |face: usize| {
        let mut panel = super::sided::panel(solid, part, &wall.plate(face), layer).panel;
        let own: Vec<usize> = (0..wall.holes.len()).filter(|i| wall.holes[*i].0 == face).collect();
        for hole in &mut panel.holes {
            hole.hole = own[hole.hole];
        }
        let faced = &wall.faces[face];
        let own = plate::motion(&faced.plate);
        panel.places = places::on_faces(solid, part, layer, |of| (of == face).then_some(own));
        let n = wall.faces.len();
        for edge in &mut panel.edges {
            let EdgeName::Side(k) = edge.name else { continue };
            if faced.rims[0] == Some(k) {
                edge.name = EdgeName::Foot(face);
            } else if faced.rims[1] == Some(k) {
                edge.name = EdgeName::Head(face);
            } else if face == 0 && k == faced.left {
                edge.name = EdgeName::Begin;
            } else if face + 1 == n && k == faced.right {
                edge.name = EdgeName::End;
            }
        }
        panel
    };
    let fitted = |f: usize| {
        let on = |s: &Spot| s.part == part.id && matches!(s.on, Ground::Face { face, .. } if face == f);
        solid.fitted.spots.iter().any(on)
    };
    let asked = |f: &usize| wall.holes.iter().any(|h| h.0 == *f) || fitted(*f);
    (0..wall.faces.len()).filter(asked).map(one).collect()
}
