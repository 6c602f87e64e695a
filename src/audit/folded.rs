//! Walls that are folded from one strip. The strip is laid on the plane of its first face and folded up face by face: each of
//! the others is rigid, set back by what the skin of the fold takes in bending, and turned with all that follows about the
//! line in which the groove's faces meet. That line, the turn and the groove's width are taken from the solid's faces in
//! space. So unfolded, every edge, groove, hole and mark of a piece must lie where the solid's do, and the strip's two ends
//! must meet in space.

mod check;

pub use check::{hole, pieces, traces};

use crate::design::Face;
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, Vec3, left_of, unit};
use crate::num;
use crate::piece::{About, Piece};
use crate::solid::{Course, EdgeName, Folded, Frame, Layer, Part, Seam, Solid};

use super::key::Truth;
use super::measure;
use super::sided::{Lines, Sheet, corners};

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

    /// Where a point of a face's plane lies on the flat, and the directions there of its left and its up.
    pub fn frame(&self, face: usize, p: Vec2) -> Option<[Vec2; 3]> {
        (face < self.faces.len()).then(|| {
            let [at, up, left] = [p, p + Vec2::X, p + Vec2::Y].map(|p| self.flat(face, p));
            [at, left - at, up - at]
        })
    }

    /// How far a point of the flat lies from the line along which an edge is cut.
    pub fn off_edge(&self, p: Vec2, name: EdgeName) -> Option<f64> {
        self.line(name).map(|(_, _, path)| measure::to_path(p, &path))
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
