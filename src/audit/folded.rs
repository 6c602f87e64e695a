//! Walls that are folded from one strip. The strip is laid on the plane of its first face and folded up face by face: each of
//! the others is rigid, set back by what the skin of the fold takes in bending, and turned with all that follows about the
//! line in which the groove's faces meet. That line, the turn and the groove's width are taken from the solid's faces in
//! space. So unfolded, every edge, groove, hole and mark of a piece must lie where the solid's do, and the strip's two ends
//! must meet in space.

use crate::design::Face;
use crate::flat::Panel;
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, Vec3, left_of, tol, unit};
use crate::ids::PartId;
use crate::num;
use crate::piece::{About, Piece};
use crate::solid::{Contact, Course, EdgeName, EdgeRef, Folded, Frame, Layer, Part, Seam, Solid, Stroke};
use crate::verdict::Check;

use super::joints;
use super::key::Truth;
use super::laid;
use super::measure;
use super::report::{AREA, FIT, LANDING, Report, TRANSFER};
use super::sided::{Lines, Sheet, corners, lands};
use super::wall::{self, edge_name, outline_fits};

/// Turns smaller than this are none, radians.
const STRAIGHT: f64 = 1e-6;

/// What the solid says of a fold, measured on its faces.
#[derive(Clone, Copy, Debug)]
struct Hinge {
    /// From one face's plane to the next one's; less than 0 in a hollow corner.
    turn: f64,
    /// The depth of the line about which it is bent.
    root: f64,
    /// What the skin takes in bending.
    allowance: f64,
    /// The depth of the face that is marked, and whether it is only scored.
    marked: f64,
    face: Face,
    scored: bool,
    /// Of the groove on that face.
    wide: f64,
}

/// For each face how far out the edges of each of its sides lie on its two faces.
pub type AsCut = Vec<Vec<(f64, f64)>>;

/// A strip laid out: its faces with the frames that take the flat to their planes, and its folds.
#[derive(Clone, Debug)]
pub struct Strip<'a> {
    part: &'a Part,
    wall: &'a Folded,
    pub faces: Vec<Sheet<'a>>,
    /// From the flat to the prop, x and y of the flat and the depth.
    onto: Vec<Frame>,
    hinges: Vec<Hinge>,
    layer: Layer,
}

/// The side of a face toward the next one, and toward the last.
fn sides(wall: &Folded, fold: usize) -> (usize, usize) {
    (wall.faces[fold].right, wall.faces[fold + 1].left)
}

impl<'a> Strip<'a> {
    pub fn new(wall: &'a Folded, part: &'a Part, layer: &Layer) -> Option<Self> {
        let faces: Vec<Sheet<'a>> =
            wall.faces.iter().map(|f| Sheet::of(&f.plate, part, layer, part.place.of(&f.frame))).collect();
        let first = faces.first()?;
        let mut onto = vec![first.place];
        let mut hinges = Vec::new();
        for (i, fold) in wall.folds.iter().enumerate() {
            let (k, _) = sides(wall, i);
            let thick = layer.outer - layer.inner;
            let here = &faces[i];
            // Which way it turns about its own edge, from bottom to top.
            let edge = |depth: f64| -> (Vec3, Vec3) {
                let points = corners(&here.at(depth));
                let (a, b) = here.side_of(&points, k);
                (here.place.apply(a.extend(depth)), here.place.apply(b.extend(depth)))
            };
            let (low, up) = edge(layer.outer);
            let way = (up - low).normalize_or_zero();
            let (n, m) = (here.place.z, faces[i + 1].place.z);
            let turn = num::atan2(n.cross(m).dot(way), n.dot(m));
            let out = turn >= 0.0;
            let scored = fold.skin >= thick - 1e-9;
            let root = if out { layer.outer - fold.skin } else { layer.inner + fold.skin };
            let allowance = turn.abs() * fold.skin * fold.share;
            let (marked, face) = if out != scored { (layer.inner, Face::Inside) } else { (layer.outer, Face::Outside) };
            let wide = if scored { 0.0 } else { 2.0 * num::tan(0.5 * turn.abs()) * (thick - fold.skin) + allowance };
            let (axis, _) = edge(root);
            let frame = onto[i];
            let next = turned(&frame, (axis, way), n, (turn, allowance));
            onto.push(next);
            hinges.push(Hinge { turn, root, allowance, marked, face, scored, wide });
        }
        Some(Self { part, wall, faces, onto, hinges, layer: *layer })
    }

    /// A point of a face's plane on the flat.
    fn flat(&self, face: usize, p: Vec2) -> Vec2 {
        let space = self.faces[face].place.apply(p.extend(0.0));
        self.onto[face].seen(space).truncate()
    }

    /// The same for a point of the flat.
    fn unflat(&self, face: usize, p: Vec2) -> Vec2 {
        self.faces[face].place.seen(self.onto[face].apply(p.extend(0.0))).truncate()
    }

    fn folds(&self, face: usize) -> [(usize, Option<usize>); 2] {
        let one = &self.wall.faces[face];
        [(one.left, face.checked_sub(1)), (one.right, (face < self.hinges.len()).then_some(face))]
    }

    /// A face's sides where they end at a depth as the strip lies flat: at a fold not past the line about which it is bent.
    fn bounded(&self, face: usize, depth: f64) -> Lines {
        let mut lines = self.faces[face].at(depth);
        for (side, fold) in self.folds(face) {
            let Some(fold) = fold else { continue };
            let hinge = &self.hinges[fold];
            let past = if hinge.turn >= 0.0 { depth > hinge.root } else { depth < hinge.root };
            if past {
                lines[side] = self.faces[face].at(hinge.root)[side];
            }
        }
        lines
    }

    /// A face's sides as the strip is cut.
    fn cut(&self, face: usize) -> Lines {
        let mut lines = self.faces[face].cut();
        for (side, fold) in self.folds(face) {
            if let Some(fold) = fold {
                lines[side] = self.faces[face].at(self.hinges[fold].root)[side];
            }
        }
        lines
    }

    fn side(&self, face: usize, lines: &Lines, k: usize) -> (Vec2, Vec2) {
        let points = corners(lines);
        let (a, b) = self.faces[face].side_of(&points, k);
        (self.flat(face, a), self.flat(face, b))
    }

    /// An edge's line as it is cut: over half of the skin beside it at a fold.
    fn line(&self, name: EdgeName) -> Option<(usize, usize, Path)> {
        let (face, k) = self.side_named(name)?;
        let (a, b) = self.side(face, &self.cut(face), k);
        let mut points = vec![a, b];
        if matches!(name, EdgeName::Foot(_) | EdgeName::Head(_)) {
            let upper = matches!(name, EdgeName::Head(_));
            for (side, fold) in self.folds(face) {
                let Some(fold) = fold else { continue };
                let before = side == self.wall.faces[face].left;
                let next = if before { fold } else { fold + 1 };
                let rim = self.wall.faces[next].rims[usize::from(upper)]?;
                let (c, d) = self.side(next, &self.cut(next), rim);
                // Feet run on to the right, heads back to the left.
                if before == upper {
                    points.push(points[points.len() - 1].midpoint(c));
                } else {
                    points.insert(0, points[0].midpoint(d));
                }
            }
        }
        Some((face, k, Path::polyline(&points)))
    }

    pub fn side_named(&self, name: EdgeName) -> Option<(usize, usize)> {
        let last = self.wall.faces.len() - 1;
        match name {
            EdgeName::Foot(i) => Some((i, self.wall.faces.get(i)?.rims[0]?)),
            EdgeName::Head(i) => Some((i, self.wall.faces.get(i)?.rims[1]?)),
            EdgeName::Begin => Some((0, self.wall.faces[0].left)),
            EdgeName::End => Some((last, self.wall.faces[last].right)),
            _ => None,
        }
    }

    /// The names of its edges.
    fn names(&self) -> Vec<EdgeName> {
        let n = self.wall.faces.len();
        let rims = (0..n).flat_map(|i| [EdgeName::Foot(i), EdgeName::Head(i)]);
        rims.chain([EdgeName::Begin, EdgeName::End]).filter(|e| self.side_named(*e).is_some()).collect()
    }

    /// Moves the strip as it is unfolded onto the pieces: their two far corners lie on its own.
    fn settled(mut self, group: &[&Piece]) -> Self {
        let runs = |name: EdgeName| {
            let own = move |p: &&Piece| -> Vec<Path> {
                let runs = p.contour.iter().filter(|r| r.edge == Some(name));
                runs.map(|r| measure::path_undone(&p.from_flat, &r.path)).collect()
            };
            group.iter().flat_map(own).collect::<Vec<Path>>()
        };
        let ends = |paths: Vec<Path>| paths.iter().flat_map(|p| [p.start(), p.end()]).flatten().collect::<Vec<Vec2>>();
        let (begin, end) = (ends(runs(EdgeName::Begin)), ends(runs(EdgeName::End)));
        let last = self.faces.len() - 1;
        // The beginning's lower corner: its side runs down.
        let (_, a) = self.side(0, &self.cut(0), self.wall.faces[0].left);
        let (_, b) = self.side(last, &self.cut(last), self.wall.faces[last].right);
        // A side runs on along the contour, but a mirrored one that was turned back runs the other way.
        let mirrored = group.iter().any(|p| p.from_flat.mirror);
        let far = |points: &[Vec2]| if mirrored { points.first().copied() } else { points.last().copied() };
        let (Some(p), Some(q)) = (far(&begin), far(&end)) else { return self };
        let (own, asked) = (b - a, q - p);
        let turn = num::atan2(own.perp_dot(asked), own.dot(asked));
        let shift = p.midpoint(q);
        let middle = a.midpoint(b);
        for frame in &mut self.onto {
            // From the pieces' flat to the strip's own, then on.
            let back = |v: Vec2| unit(-turn).rotate(v);
            let origin = back(-shift) + middle;
            let (x, y) = (back(Vec2::X), back(Vec2::Y));
            *frame = Frame {
                origin: frame.apply(origin.extend(0.0)),
                x: frame.direction(x.extend(0.0)),
                y: frame.direction(y.extend(0.0)),
                z: frame.z,
            };
        }
        self
    }

    /// What the key ought to say of an edge.
    pub fn truths(&self) -> Vec<(EdgeName, Truth)> {
        let one = |name: EdgeName| {
            let (face, k) = self.side_named(name)?;
            let truth = self.faces[face].truth(k);
            Some((name, truth))
        };
        self.names().into_iter().filter_map(one).collect()
    }

    /// What is said of an edge's tabs.
    pub fn said(&self, name: EdgeName) -> Option<String> {
        match self.wall.seam {
            Seam::Tabs(mm) if name == EdgeName::End => Some(format!("; glue tabs {mm} mm")),
            _ => None,
        }
    }

    /// The area of the strip at a depth: its faces as far as their folds, and half of each fold's skin.
    fn area(&self, lines: &dyn Fn(usize) -> Lines) -> f64 {
        let one = |i: usize| {
            let points = corners(&lines(i));
            let skins = self.folds(i).into_iter().filter_map(|(k, fold)| {
                let (a, b) = self.faces[i].side_of(&points, k);
                Some(0.5 * self.hinges[fold?].allowance * a.distance(b))
            });
            measure::area(&points).abs() + skins.sum::<f64>()
        };
        (0..self.faces.len()).map(one).sum()
    }

    /// The mean of the sheet's area over its depth: by so many thin slices, each at its middle.
    fn mean(&self) -> f64 {
        const SLICES: usize = 400;
        let thick = self.layer.outer - self.layer.inner;
        let slice = |i: usize| {
            let depth = self.layer.inner + thick * (i as f64 + 0.5) / SLICES as f64;
            let face = |f: usize| {
                let mut lines = self.bounded(f, depth);
                let square = self.cut(f);
                let folds = self.folds(f);
                for (k, line) in lines.iter_mut().enumerate() {
                    let folded = folds.iter().any(|(side, fold)| *side == k && fold.is_some());
                    if !folded && self.faces[f].is_square(k) {
                        *line = square[k];
                    }
                }
                measure::area(&corners(&lines)).abs()
            };
            (0..self.faces.len()).map(face).sum::<f64>()
        };
        let faces = (0..SLICES).map(slice).sum::<f64>() / SLICES as f64;
        let skins = self.hinges.iter().enumerate().map(|(i, hinge)| {
            let (a, b) = self.side(i, &self.cut(i), self.wall.faces[i].right);
            hinge.allowance * a.distance(b) * self.wall.folds[i].skin / thick
        });
        faces + skins.sum::<f64>()
    }

    /// The sides of its faces as the pieces are cut and grooved: how far out on the show and on the hidden face. A fold's are
    /// found from its marks: half of what it takes in bending lies on either side of the middle between them.
    pub fn as_cut(&self, solid: &Solid, group: &[&Piece]) -> Option<AsCut> {
        let mut out = Vec::new();
        for face in 0..self.faces.len() {
            let sheet = &self.faces[face];
            let along = |paths: Vec<Path>, phi: f64| {
                let points: Vec<Vec2> = paths
                    .iter()
                    .filter_map(|p| p.segs.iter().max_by(|a, b| a.length().total_cmp(&b.length())).copied())
                    .flat_map(|s| [s.a, s.b])
                    .collect();
                let n = points.len() as f64;
                let sum: f64 = points.iter().map(|p| self.unflat(face, *p).dot(unit(phi))).sum();
                (n > 0.0).then(|| sum / n)
            };
            let mut sides = Vec::new();
            for (k, side) in sheet.sides().iter().enumerate() {
                let fold = self.folds(face).into_iter().find(|f| f.0 == k).and_then(|f| f.1);
                if let Some(fold) = fold {
                    let hinge = self.hinges[fold];
                    let middle = self.middle_of(solid, fold, group).map_or_else(
                        // What is not folded is not marked.
                        || self.unmarked(fold).map(|p| self.unflat(face, p).dot(unit(side.phi))),
                        |points| {
                            let n = points.len() as f64;
                            Some(points.iter().map(|p| self.unflat(face, *p).dot(unit(side.phi))).sum::<f64>() / n)
                        },
                    )?;
                    let root = middle - 0.5 * hinge.allowance;
                    let slope = num::tan(0.5 * hinge.turn);
                    let at = |depth: f64| root + (depth - hinge.root) * slope;
                    sides.push((at(sheet.show()), at(sheet.hidden())));
                    continue;
                }
                let name = self.names().into_iter().find(|e| self.side_named(*e) == Some((face, k)))?;
                let runs = self.runs(name, group);
                let cut = along(runs, side.phi)?;
                if sheet.is_square(k) {
                    let half = 0.5 * side.over();
                    sides.push((cut + half, cut - half));
                    continue;
                }
                let other = along(self.bevels(name, group), side.phi)?;
                sides.push(if side.over() > 0.0 { (cut, other) } else { (other, cut) });
            }
            out.push(sides);
        }
        Some(out)
    }

    fn unmarked(&self, fold: usize) -> Option<Vec2> {
        (self.hinges[fold].turn.abs() <= STRAIGHT).then(|| {
            let (a, b) = self.side(fold, &self.cut(fold), self.wall.faces[fold].right);
            a.midpoint(b)
        })
    }

    /// The lines of an edge that stay to be measured: what is cut along it, and the folds of its tabs.
    fn runs(&self, name: EdgeName, group: &[&Piece]) -> Vec<Path> {
        let of = |p: &&Piece| -> Vec<Path> {
            let cut = p.contour.iter().filter(|r| r.edge == Some(name)).map(|r| &r.path);
            let tabs = p.marks.iter().filter(|m| name == EdgeName::End && m.about == About::Lap).map(|m| &m.path);
            cut.chain(tabs).map(|path| measure::path_undone(&p.from_flat, path)).collect()
        };
        group.iter().flat_map(of).filter(|p| !p.is_empty()).collect()
    }

    fn bevels(&self, name: EdgeName, group: &[&Piece]) -> Vec<Path> {
        let of = |p: &&Piece| -> Vec<Path> {
            let own = p.marks.iter().filter(|m| m.about == About::Bevel(name));
            own.map(|m| measure::path_undone(&p.from_flat, &m.path)).collect()
        };
        group.iter().flat_map(of).collect()
    }

    /// Points in pairs on a fold's marks of pieces, half-way between them.
    fn middle_of(&self, solid: &Solid, fold: usize, group: &[&Piece]) -> Option<Vec<Vec2>> {
        let lines = self.grooved(solid, fold, group)?;
        Some(match lines.as_slice() {
            [one] => one.clone(),
            [a, b] => a.iter().zip(b).map(|(p, q)| p.midpoint(*q)).collect(),
            _ => return None,
        })
    }

    /// The outermost points of each line of a fold's marks, from bottom to top; on the other face they are crosses.
    fn grooved(&self, solid: &Solid, fold: usize, group: &[&Piece]) -> Option<Vec<Vec<Vec2>>> {
        let index = self.trace_of(solid, fold)?;
        let mut points: Vec<Vec2> = Vec::new();
        for piece in group {
            for mark in piece.marks.iter().filter(|m| m.about == About::Trace(index)) {
                let path = measure::path_undone(&piece.from_flat, &mark.path);
                let (a, b) = (path.start()?, path.end()?);
                if self.hinges[fold].face == Face::Inside {
                    points.push(a.midpoint(b));
                } else {
                    points.extend([a, b]);
                }
            }
        }
        let (a, b) = self.side(fold, &self.cut(fold), self.wall.faces[fold].right);
        let way = (b - a).normalize_or_zero();
        let up = |p: &Vec2| (*p - a).dot(way);
        let off = |p: &Vec2| -left_of(way).dot(*p - a);
        let split = points.iter().map(off).sum::<f64>() / points.len().max(1) as f64;
        let ends = |mut on: Vec<Vec2>| -> Option<Vec<Vec2>> {
            on.sort_by(|p, q| up(p).total_cmp(&up(q)));
            Some(vec![*on.first()?, *on.last()?])
        };
        if self.hinges[fold].scored {
            return Some(vec![ends(points)?]);
        }
        let (left, right) = points.into_iter().partition(|p| off(p) < split);
        Some(vec![ends(left)?, ends(right)?])
    }

    fn trace_of(&self, solid: &Solid, fold: usize) -> Option<usize> {
        solid.traces.iter().position(|t| t.part == self.part.id && t.course == Course::Fold(fold))
    }

    /// The marks asked for along a fold, on the flat.
    fn asked(&self, fold: usize) -> Vec<Path> {
        let hinge = &self.hinges[fold];
        let (k, l) = sides(self.wall, fold);
        let (a0, a1) = self.side(fold, &self.bounded(fold, hinge.marked), k);
        let (b1, b0) = self.side(fold + 1, &self.bounded(fold + 1, hinge.marked), l);
        let line = |a: Vec2, b: Vec2| Path { segs: vec![Seg::line(a, b)] };
        if hinge.scored { vec![line(a0.midpoint(b0), a1.midpoint(b1))] } else { vec![line(a0, a1), line(b0, b1)] }
    }

    /// The outline of a face of the sheet on the flat.
    fn outline(&self, face: Face) -> Vec<Vec2> {
        let depth = if face == Face::Inside { self.layer.inner } else { self.layer.outer };
        let n = self.faces.len();
        let bounds = |i: usize| {
            let mut lines = self.bounded(i, depth);
            let cut = self.cut(i);
            let folds = self.folds(i);
            for (k, line) in lines.iter_mut().enumerate() {
                let folded = folds.iter().any(|(side, fold)| *side == k && fold.is_some());
                if !folded && self.faces[i].is_square(k) {
                    *line = cut[k];
                }
            }
            lines
        };
        let rim = |i: usize, upper: bool| -> Vec<Vec2> {
            let k = self.wall.faces[i].rims[usize::from(upper)];
            k.map_or_else(Vec::new, |k| {
                let (a, b) = self.side(i, &bounds(i), k);
                vec![a, b]
            })
        };
        (0..n).flat_map(|i| rim(i, false)).chain((0..n).rev().flat_map(|i| rim(i, true))).collect()
    }
}

/// The strip's pieces of one hand; returns it as it lies on them.
pub fn pieces<'a>(
    solid: &Solid,
    part: PartId,
    strip: Strip<'a>,
    panel: &Panel,
    group: &[&Piece],
    report: &mut Report,
) -> Strip<'a> {
    let strip = strip.settled(group);
    for name in strip.names() {
        let Some((face, k, line)) = strip.line(name) else { continue };
        let what = match name {
            EdgeName::Foot(i) | EdgeName::Head(i) => format!("{} {}", edge_name(name), i + 1),
            _ => edge_name(name).to_owned(),
        };
        let own = |piece: &Piece| -> Vec<Path> {
            let cut = piece.contour.iter().filter(|r| r.edge == Some(name)).map(|r| r.path.clone());
            let tabs = piece.marks.iter().filter(|m| name == EdgeName::End && m.about == About::Lap);
            cut.chain(tabs.map(|m| m.path.clone())).filter(|p| !p.is_empty()).collect()
        };
        lands(&what, &line, group, &own, LANDING, report);
        let marks = |piece: &Piece| -> Vec<Path> {
            piece.marks.iter().filter(|m| m.about == About::Bevel(name)).map(|m| m.path.clone()).collect()
        };
        let sheet = &strip.faces[face];
        if sheet.is_square(k) {
            super::marks::no_bevel(group, name, report);
        } else {
            let over = sheet.sides()[k].over() > 0.0;
            let depth = if over { strip.layer.inner } else { strip.layer.outer };
            let mut lines = strip.bounded(face, depth);
            for (i, line) in lines.iter_mut().enumerate() {
                let folded = strip.folds(face).iter().any(|(side, fold)| *side == i && fold.is_some());
                if !folded && sheet.is_square(i) {
                    *line = strip.cut(face)[i];
                }
            }
            let (a, b) = strip.side(face, &lines, k);
            let asked = Path::polyline(&[a, b]);
            lands(&format!("bevel line of the {what}"), &asked, group, &marks, TRANSFER, report);
        }
        joined(solid, part, &strip, (name, face, k), &line, group, report);
    }
    match strip.wall.seam {
        Seam::Tabs(wide) => {
            if let Some((_, _, line)) = strip.line(EdgeName::End)
                && let Some(s) = line.segs.first()
            {
                let end = laid::Side { at: s.a, up: (s.b - s.a).normalize_or_zero() };
                super::beyond::tabs(&end, [0.0, s.length()], group, wide, report);
            }
        }
        _ => super::beyond::on_plate(group, report),
    }
    holes(&strip, group, report);
    sheet(solid, &strip, panel, group, report);
    folds(solid, &strip, group, report);
    strip
}

/// The notches of an edge at its joints, and its cut length.
fn joined(
    solid: &Solid,
    part: PartId,
    strip: &Strip<'_>,
    (edge, face, k): (EdgeName, usize, usize),
    line: &Path,
    group: &[&Piece],
    report: &mut Report,
) {
    let here = EdgeRef { part, ring: 0, edge };
    if !group.is_empty() {
        let is: f64 = strip.runs(edge, group).iter().flat_map(|p| &p.segs).map(Seg::length).sum();
        let place = format!("cut {is:.3} mm long for {:.3}", line.length());
        report.figure(Check::Partner, edge_name(edge), place, (is - line.length()).abs(), FIT);
    }
    for joint in joints::joints_at(solid, here) {
        let what = format!("{} at joint {}", edge_name(edge), joint.letter);
        let Contact::Line { from, to, .. } = joint.contact else {
            report.holds(Check::Coverage, &what, "meets along a line", false);
            continue;
        };
        let sheet = &strip.faces[face];
        let points = corners(&sheet.at(sheet.show()));
        let (a, b) = sheet.side_of(&points, k);
        // Ticks stand square to the edge: how far along it that is told the way the joint is walked.
        let own = (b - a).normalize_or_zero();
        let foot = sheet.place.seen(from).truncate();
        let way = sheet.place.direction_seen((to - from).normalize_or_zero()).truncate();
        let mut at = std::collections::BTreeMap::new();
        for (piece, mark, number) in joints::ticks(group, joint, edge) {
            report.verdict.checked.notches += 1;
            report.verdict.checked.marks += 1;
            let Some((middle, _)) = joints::tick_line(piece, &mark.path) else { continue };
            let s = (strip.unflat(face, middle) - foot).dot(own) / way.dot(own);
            report.holds(Check::Coverage, &what, "each notch once", at.insert(number, s).is_none());
        }
        joints::compare(joint, &what, &at, report);
    }
}

fn holes(strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let mut found = vec![0usize; strip.wall.holes.len()];
    for piece in group {
        for hole in &piece.holes {
            report.verdict.checked.holes += 1;
            let Some((face, asked)) = strip.wall.holes.get(hole.hole) else {
                report.holds(Check::Coverage, &format!("hole {}", hole.name), "asked for", false);
                continue;
            };
            found[hole.hole] += 1;
            report.holds(Check::Coverage, &format!("hole {}", asked.name), "goes by its name", hole.name == asked.name);
            let seg = |s: &Seg| Seg { a: strip.flat(*face, s.a), b: strip.flat(*face, s.b), ..*s };
            let outline = Path { segs: asked.outline.segs.iter().map(seg).collect() };
            let emitted = measure::path_undone(&piece.from_flat, &hole.outline);
            outline_fits(&emitted, &outline, Check::Landing, &format!("hole {}", asked.name), report);
        }
    }
    for (i, (_, hole)) in strip.wall.holes.iter().enumerate() {
        report.count(&format!("hole {}", hole.name), found[i], 1);
    }
}

/// Areas, masses and the ways up.
fn sheet(solid: &Solid, strip: &Strip<'_>, panel: &Panel, group: &[&Piece], report: &mut Report) {
    let (mut area, mut round, mut tabs) = (0.0, 0.0, 0.0);
    let face = &strip.onto[strip.faces.len() / 2];
    let middle = &strip.faces[strip.faces.len() / 2].place;
    let upright = face.direction_seen(middle.x).truncate();
    for piece in group {
        let contour: Vec<&Path> = piece.contour.iter().map(|r| &r.path).collect();
        area += measure::path_area(&contour);
        round += contour.iter().map(|p| p.length()).sum::<f64>();
        for run in piece.contour.iter().filter(|r| r.edge.is_none()) {
            let (Some(a), Some(b)) = (run.path.start(), run.path.end()) else { continue };
            let back = Path { segs: vec![Seg::line(b, a)] };
            tabs += measure::path_area(&[&run.path, &back]);
        }
        wall::own_area(piece, report);
        super::marks::arrows(piece, |_| Vec2::Y, report);
        let up = measure::undone(&piece.from_flat, piece.up) - measure::undone(&piece.from_flat, Vec2::ZERO);
        report.holds(Check::Hand, "way up", "as it stands in the prop", (up - upright).length() < 1e-4);
    }
    if group.is_empty() {
        return;
    }
    let asked = strip.area(&|i| strip.cut(i)) + tabs;
    let allowed = AREA * asked + tol::ROUNDING * round + bridged(strip);
    report.figure(Check::Area, "strip", format!("{area:.3} mm² for {asked:.3}"), (area - asked).abs(), allowed);
    let neutral = strip.area(&|i| {
        let mut lines = strip.faces[i].at(strip.layer.neutral);
        for (side, fold) in strip.folds(i) {
            if fold.is_some() {
                lines[side] = strip.cut(i)[side];
            }
        }
        lines
    });
    let place = format!("{:.3} mm² for {neutral:.3}", panel.area);
    report.figure(Check::Area, "panel's stated area", place, (panel.area - neutral).abs(), AREA * neutral);
    let band = 2.0 * (asked - tabs - strip.mean());
    wall::weighed(solid, strip.faces[0].stock(), group, band, report);
}

/// What the outline of a fold's skin may differ from a strip as wide as it bends: where two rims come to it at unlike heights.
fn bridged(strip: &Strip<'_>) -> f64 {
    let one = |(i, hinge): (usize, &Hinge)| {
        let gap = |upper: bool| {
            let (k, l) =
                (strip.wall.faces[i].rims[usize::from(upper)], strip.wall.faces[i + 1].rims[usize::from(upper)]);
            let (Some(k), Some(l)) = (k, l) else { return 0.0 };
            let (a, b) = strip.side(i, &strip.cut(i), k);
            let (c, d) = strip.side(i + 1, &strip.cut(i + 1), l);
            (if upper { a.distance(d) } else { b.distance(c) } - hinge.allowance).abs()
        };
        hinge.allowance * (gap(false) + gap(true))
    };
    strip.hinges.iter().enumerate().map(one).sum()
}

/// Each fold: marked on the face on which its corner is hollow if it is grooved, as wide and as deep as its turn and its skin
/// ask for, and where its faces end.
fn folds(solid: &Solid, strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let thick = strip.layer.outer - strip.layer.inner;
    for (i, hinge) in strip.hinges.iter().enumerate() {
        let what = format!("fold between faces {} and {}", i + 1, i + 2);
        let fold = &strip.wall.folds[i];
        // Folded about its own line by the turn between the planes, the next face comes to lie in its own.
        let (there, here) = (&strip.faces[i + 1].place, &strip.onto[i + 1]);
        report.figure(
            Check::Closure,
            &what,
            "the next face's plane".into(),
            (here.z - there.z).length() * 100.0 + here.z.dot(there.origin - here.origin).abs(),
            super::report::CLOSURE,
        );
        let said = (fold.turn - hinge.turn).abs().to_degrees();
        report.figure(Check::Transfer, &what, "turn between the planes".into(), said, super::report::TWIST);
        report.holds(Check::Claim, &what, "leaves a skin", fold.skin > 0.0 && fold.skin <= thick + 1e-9);
        let traced: Vec<_> =
            (solid.traces.iter()).filter(|t| t.part == strip.part.id && t.course == Course::Fold(i)).collect();
        report.count(&format!("marks of the {what}"), traced.len(), usize::from(hinge.turn.abs() > STRAIGHT));
        for note in group.iter().flat_map(|p| &p.traces).filter(|t| Some(t.trace) == strip.trace_of(solid, i)) {
            let said = note.fold.map_or([f64::NAN; 4], |f| [f.turn.to_degrees(), f.skin, f.wide, f.allowance]);
            let asked = [hinge.turn.abs().to_degrees(), fold.skin, hinge.wide, hinge.allowance];
            for (what_of, (is, want)) in ["turn", "skin", "width", "allowance"].iter().zip(said.iter().zip(asked)) {
                let place = format!("{what_of} said to be {is:.3} for {want:.3}");
                report.figure(Check::Claim, &format!("key of the {what}"), place, (is - want).abs(), 1e-3);
            }
            let scored = note.fold.is_some_and(|f| f.scored == hinge.scored);
            report.holds(Check::Claim, &format!("key of the {what}"), "scored or grooved", scored);
        }
        for trace in traced {
            let stroke = if hinge.scored { Stroke::Score } else { Stroke::Groove };
            let place =
                format!("a {} on the {}", stroke.word(), if hinge.face == Face::Inside { "inside" } else { "outside" });
            report.holds(Check::Coverage, &what, &place, trace.stroke == stroke && trace.face == hinge.face);
            if !hinge.scored {
                let deep = trace.deep.unwrap_or(f64::NAN);
                let place = format!("{deep:.3} mm deep for {:.3}", thick - fold.skin);
                report.figure(Check::Claim, &what, place, (deep - (thick - fold.skin)).abs(), 1e-6);
            }
        }
        if hinge.scored || group.is_empty() || hinge.turn.abs() <= STRAIGHT {
            continue;
        }
        let lines = strip.grooved(solid, i, group);
        report.holds(Check::Coverage, &what, "is marked", lines.is_some());
        let Some([a, b]) = lines.as_deref() else { continue };
        let way = (a[1] - a[0]).normalize_or_zero();
        for (p, q, end) in [(a[0], b[0], "foot"), (a[1], b[1], "head")] {
            let wide = (-left_of(way)).dot(q - p);
            let place = format!("groove {wide:.3} mm wide for {:.3} at its {end}", hinge.wide);
            report.figure(Check::Transfer, &what, place, (wide - hinge.wide).abs(), TRANSFER);
        }
    }
    closes(solid, strip, group, report);
}

/// Folded up as it is cut and marked, fold by fold, the strip's two ends meet on both faces.
fn closes(solid: &Solid, strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let what = "ends of the folded strip";
    let Some(cut) = strip.as_cut(solid, group) else {
        report.holds(Check::Coverage, what, "all of its faces", group.is_empty());
        return;
    };
    let mut frame = strip.onto[0];
    let (mut shortest, mut along) = (f64::INFINITY, 0.0);
    for (i, hinge) in strip.hinges.iter().enumerate() {
        let Some(marks) = strip.middle_of(solid, i, group) else {
            if hinge.turn.abs() <= STRAIGHT {
                continue;
            }
            report.holds(Check::Coverage, what, "every fold is marked", false);
            return;
        };
        let [low, up] = marks[..] else { continue };
        let way = (up - low).normalize_or_zero();
        let root = low + left_of(way) * (0.5 * hinge.allowance);
        shortest = low.distance(up).min(shortest);
        along +=
            marks[0].distance(strip.side(0, &strip.cut(0), strip.wall.faces[0].left).1) / strip.hinges.len() as f64;
        let axis = frame.apply(root.extend(hinge.root));
        let way = frame.direction(way.extend(0.0));
        frame = turned(&frame, (axis, way), frame.z, (hinge.turn, hinge.allowance));
    }
    let last = strip.faces.len() - 1;
    // A mark's ends are rounded: over so much of the strip that turns what follows by as much as over its own length.
    let allowed = TRANSFER + 4.0 * tol::ROUNDING * strip.hinges.len() as f64 * (1.0 + along / shortest);
    for (face, depth) in [("outer", strip.layer.outer), ("inner", strip.layer.inner)] {
        let side = |i: usize, k: usize, onto: &Frame| {
            let sheet = &strip.faces[i];
            let share = (depth - sheet.hidden()) / (sheet.show() - sheet.hidden());
            let own = sheet.sides().iter().zip(&cut[i]);
            let lines: Lines = own.map(|(s, f)| (s.phi, f.1 + (f.0 - f.1) * share)).collect();
            let (a, b) = strip.side(i, &lines, k);
            (onto.apply(a.extend(depth)), onto.apply(b.extend(depth)))
        };
        let (a, b) = side(0, strip.wall.faces[0].left, &strip.onto[0]);
        let (c, d) = side(last, strip.wall.faces[last].right, &frame);
        let off = a.distance(d).max(b.distance(c));
        report.figure(Check::Partner, what, format!("corners on the {face} face"), off, allowed);
    }
}

/// The frame of what follows a fold: set back by what its skin takes, square to the fold along the plane with this normal, and
/// turned about the axis.
fn turned(frame: &Frame, (axis, way): (Vec3, Vec3), normal: Vec3, (turn, allowance): (f64, f64)) -> Frame {
    let beside = way.cross(normal);
    let (s, c) = num::sin_cos(turn);
    let round = |v: Vec3| v * c + way.cross(v) * s + way * (way.dot(v) * (1.0 - c));
    Frame {
        origin: axis + round(frame.origin - beside * allowance - axis),
        x: round(frame.x),
        y: round(frame.y),
        z: round(frame.z),
    }
}

/// Its marks.
pub fn traces(solid: &Solid, layer: usize, strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let laid = |face: usize, path: &Path| {
        let seg = |s: &Seg| Seg { a: strip.flat(face, s.a), b: strip.flat(face, s.b), ..*s };
        Path { segs: path.segs.iter().map(seg).collect() }
    };
    let lines = |course: &Course| match course {
        Course::Face(face, path) if *face < strip.faces.len() => vec![laid(*face, path)],
        Course::Fold(fold) if *fold < strip.hinges.len() => strip.asked(*fold),
        _ => Vec::new(),
    };
    let holes: Vec<Path> = strip.wall.holes.iter().map(|(face, h)| laid(*face, &h.outline)).collect();
    let face = |face: Face| strip.outline(face);
    super::traces::on_strip(solid, (strip.part, layer), &lines, &face, &holes, group, report);
}

/// A hole as it is cut: its middle and widths in its face's plane.
pub fn hole(strip: &Strip<'_>, group: &[&Piece], hole: usize) -> Option<(Vec2, Vec2)> {
    let face = strip.wall.holes.get(hole)?.0;
    let mut all = group.iter().flat_map(|p| p.holes.iter().filter(|h| h.hole == hole).map(move |h| (p, h)));
    let (piece, found) = all.next()?;
    let flat = measure::path_undone(&piece.from_flat, &found.outline);
    let points = measure::samples(&flat, 0.5, 1e-3).into_iter().map(|p| strip.unflat(face, p));
    let (lo, hi) = points.fold((Vec2::INFINITY, Vec2::NEG_INFINITY), |(lo, hi), p| (lo.min(p), hi.max(p)));
    Some(((lo + hi) * 0.5, hi - lo))
}
