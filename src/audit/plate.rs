//! Plates: their outline is the section of a wall's parallel surface at the height of each face, seen from outside
//! the prop. Nothing is folded; the flat is the plane itself.

use crate::design::Face;
use crate::flat::Panel;
use crate::geom::{Vec2, Vec3, tol};
use crate::ids::PartId;
use crate::num;
use crate::piece::Piece;
use crate::solid::{EdgeName, EdgeRef, Layer, Onto, Part, Plate, Solid, Turn};
use crate::verdict::Check;

use super::joints;
use super::key::{Bevel, Truth};
use super::lines::Line;
use super::measure;
use super::outline;
use super::real::{self, Point};
use super::report::{AREA, FIT, LANDING, Report, TRANSFER};
use super::space::{Gen, Round};
use super::turn::Under;
use super::wall::{self, outline_fits};

/// Crossings of a tick with an outline that are one but for where it runs back, mm.
const BESIDE: f64 = 0.5;

/// One layer of a plate.
#[derive(Debug)]
pub struct Plane<'a> {
    plate: &'a Plate,
    round: Round,
    /// Heights of the layer's face toward the show side and of the other one.
    z: (f64, f64),
    /// The height of its neutral surface.
    neutral: f64,
    stock: usize,
    /// Cut square whatever it meets.
    square: bool,
    pub cut: Line,
    /// What is folded over its edge, or why nothing is.
    pub turn: Option<Turn>,
}

impl<'a> Plane<'a> {
    pub fn new(plate: &'a Plate, part: &Part, layer: &Layer, turn: Option<Turn>) -> Self {
        // Depths of a plate count toward its show face: the layers share the way from hidden to show face.
        let inner = part.layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
        let outer = part.layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max);
        let height = |d: f64| plate.hidden + (plate.show - plate.hidden) * (d - inner) / (outer - inner);
        let z = (height(layer.outer), height(layer.inner));
        let (neutral, stock, square) = (height(layer.neutral), layer.stock, layer.square);
        let round = Round::new(&plate.strip);
        let mut plane = Self { plate, round, z, neutral, stock, square, cut: Line::Middle, turn };
        let square = plane.square || plane.turn().is_some() || plane.shift() < tol::SQUARE_CUT;
        plane.cut = if square { Line::Middle } else { Line::Widest };
        plane
    }

    /// What is folded over its edge.
    pub fn turn(&self) -> Option<&Turn> {
        self.turn.as_ref().filter(|t| t.wide > 0.0)
    }

    /// How far the show face reaches out beyond the hidden one at a place.
    fn overhang(&self, w: f64) -> f64 {
        let g = self.round.generatrix(w);
        let out = g.normal.truncate().normalize_or_zero();
        let reach = |z: f64| g.at(z, self.plate.depth).truncate().dot(out);
        reach(self.z.0) - reach(self.z.1)
    }

    fn shift(&self) -> f64 {
        let (least, most) = measure::range((0.0, self.round.end()), &|w| self.overhang(w));
        least.abs().max(most.abs())
    }

    /// A point of one of the outline's lines, in the plate's plane.
    fn point(&self, g: &Gen, line: Line) -> Vec2 {
        let at = |z: f64| g.at(z, self.plate.depth).truncate();
        let (show, hidden) = (at(self.z.0), at(self.z.1));
        if line == Line::Middle {
            return at(0.5 * (self.z.0 + self.z.1));
        }
        let out = g.normal.truncate();
        let show_wins = ((show - hidden).dot(out) >= 0.0) == (line == Line::Widest);
        if show_wins { show } else { hidden }
    }

    /// From the plate's plane (x front, y left) to its flat: seen on the show face with the wearer's front up. Seen
    /// from above, right is `-y`; seen from below, right is `y`: right, up and toward the eye are right-handed.
    pub fn flat(&self, p: Vec2) -> Vec2 {
        if self.plate.show < self.plate.hidden { Vec2::new(p.y, p.x) } else { Vec2::new(-p.y, p.x) }
    }

    fn curve(&self, line: Line) -> Vec<Vec3> {
        self.traced(line).into_iter().map(|(_, p)| p).collect()
    }

    /// One of the outline's lines on the flat, by places that may lie beyond the end of the way round.
    fn traced(&self, line: Line) -> Vec<(f64, Vec3)> {
        let out = self.traced_on(&self.round, line);
        let gap = out.first().zip(out.last()).map_or(0.0, |(a, b)| a.1.distance(b.1));
        if gap < tol::SAME {
            return out;
        }
        // Where the faces change places at the seam itself the line runs back there: it is looked at from elsewhere.
        let ahead = (0.5 * self.round.end()).floor();
        let all = self.traced_on(&self.round.begun_with(ahead as usize), line);
        all.into_iter().map(|(w, p)| (w + ahead, p)).collect()
    }

    /// What runs back of a line is found in the plate's own plane, where the wall's directions hold.
    fn traced_on(&self, round: &Round, line: Line) -> Vec<(f64, Vec3)> {
        let at = |w: f64| {
            let p = self.point(&round.generatrix(w), line).extend(0.0);
            Point { w, foot: p, space: p, depth: 0.0 }
        };
        let plane = |w: f64| {
            let g = round.generatrix(w);
            let out = g.normal.truncate().normalize_or_zero();
            (self.point(&g, line).extend(0.0), out.extend(0.0))
        };
        // In a hollow no tangent plane bounds it, and it goes on from where the line crosses itself.
        let points = if round.is_convex() {
            real::points(round, 5e-4, &at, &plane)
        } else {
            real::cut(round, 5e-4, &at, &|p: &Point| p.space.truncate()).concat()
        };
        points.into_iter().map(|(w, p)| (w, self.flat(p.truncate()).extend(0.0))).collect()
    }

    /// Places round it with their points on the flat, on one of the outline's lines.
    pub fn places(&self, line: Line) -> Vec<(f64, Vec2)> {
        let mut out: Vec<(f64, Vec2)> = self.traced(line).into_iter().map(|(w, p)| (w, p.truncate())).collect();
        out.extend(out.first().copied().map(|(w, p)| (w + self.round.end(), p)));
        out
    }

    /// What its turn lies on at a place: the surface that bounds the plate, as far off it as the sheet's middle lies off
    /// its hidden face.
    pub fn beside(&self, w: f64) -> Under {
        let g = self.round.generatrix(w);
        let middle = 0.5 * (self.z.0 + self.z.1);
        let off = (middle - self.plate.hidden).abs();
        let off = if self.turn().is_some_and(|t| t.onto == Onto::Bore) { -off } else { off };
        Under {
            from: g.at(middle, self.plate.depth),
            corner: g.at(middle, self.plate.depth + off),
            tangent: g.tangent,
            up: g.normal.cross(g.tangent),
            turning: g.normal.z,
            phi: g.phi,
            left: self.plate.show < self.plate.hidden,
        }
    }

    /// The length of the line it is cut along.
    pub fn length(&self) -> f64 {
        let mut chain = self.traced(self.cut);
        let end = self.round.end();
        chain.extend(chain.first().copied().map(|(w, p)| (w + end, p)));
        let back = |w: f64, step: Vec3| {
            let tangent = self.round.generatrix(if w < end { w } else { w - end }).tangent;
            step.truncate().dot(self.flat(tangent.truncate())) < 0.0
        };
        measure::chain_length(&chain, back)
    }

    /// What the key ought to say of its outline: lengths at the heights of its faces, and how it leans.
    pub fn truth(&self) -> Truth {
        let at = |z: f64| move |w: f64| self.round.generatrix(w).at(z, self.plate.depth);
        let long = |z: f64| self.round.length(0.0, self.round.end(), 1e-5, &at(z));
        let thick = (self.z.0 - self.z.1).abs();
        let lean = |w: f64| num::atan2(self.overhang(w), thick).to_degrees();
        let leans = measure::range((0.0, self.round.end()), &lean);
        let bevel = if self.square { Bevel::SQUARE } else { Bevel::of(leans, self.cut == Line::Widest, thick) };
        Truth { long: [self.z.1, self.neutral, self.z.0].map(|z| Some(long(z))), bevel }
    }

    /// The generatrix of the wall at which a tick across the outline stands, and whether it lies on the second half
    /// of the way round.
    pub fn place(&self, middle: Vec2, way: Vec2) -> Option<(Gen, bool)> {
        let f = |w: f64| self.flat(self.point(&self.round.generatrix(w), Line::Middle));
        let points = self.round.points(0.0, self.round.end(), 5e-3, &|w| f(w).extend(0.0));
        let across = measure::right_of(way);
        let side = |p: Vec2| (p - middle).dot(across);
        let mut found: Vec<(f64, f64)> = Vec::new();
        for pair in points.windows(2) {
            let (a, b) = (side(pair[0].1.truncate()), side(pair[1].1.truncate()));
            if (a > 0.0) == (b > 0.0) {
                continue;
            }
            let Some(w) = crate::num::bisect(pair[0].0, pair[1].0, 1e-11, |w| side(f(w))) else { continue };
            found.push(((f(w) - middle).length(), w));
        }
        // The nearest; where the line crosses itself beside it, the one to which the tick stands square.
        let nearest = found.iter().map(|f| f.0).fold(f64::INFINITY, f64::min);
        let square = |w: f64| self.flat(self.round.generatrix(w).normal.truncate()).normalize_or_zero().dot(way).abs();
        let beside = found.into_iter().filter(|f| f.0 <= nearest + BESIDE).map(|f| (square(f.1), f.1));
        let (_, w) = beside.max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some((self.round.generatrix(w), w > 0.5 * self.round.end()))
    }

    /// How far a point of the flat lies from the outline at half depth.
    pub fn off_edge(&self, at: Vec2) -> f64 {
        let curve = self.traced(self.cut);
        let mut points: Vec<Vec2> = curve.iter().map(|(_, p)| p.truncate()).collect();
        points.extend(points.first().copied());
        measure::to_path(at, &crate::geom::path::Path::polyline(&points))
    }

    /// Area within one of its lines.
    fn area(&self, line: Line) -> f64 {
        self.area_within(&|g| self.flat(self.point(g, line)))
    }

    /// Area within its outline on the neutral surface.
    fn neutral_area(&self) -> f64 {
        self.area_within(&|g| self.flat(g.at(self.neutral, self.plate.depth).truncate())).abs()
    }

    /// Area within a line given generatrix by generatrix, by chords and Richardson's correction.
    fn area_within(&self, point: &dyn Fn(&Gen) -> Vec2) -> f64 {
        let sum = |n: usize| {
            let steps = n * self.round.end() as usize;
            let mut out: Vec<Vec2> = Vec::with_capacity(steps + 1);
            for i in 0..=steps {
                let w = i as f64 / n as f64;
                out.push(point(&self.round.generatrix(w)));
            }
            measure::area(&out)
        };
        let (one, two) = (sum(256), sum(512));
        two + (two - one) / 3.0
    }
}

/// All pieces of one hand of one plate layer.
pub fn pieces(plane: &Plane<'_>, panel: &Panel, group: &[&Piece], report: &mut Report) {
    let what = wall::edge_name(EdgeName::Outline);
    line(plane, group, plane.cut, what, report);
    if plane.cut == Line::Widest {
        line(plane, group, Line::Narrowest, "bevel line of the outline", report);
    } else {
        super::marks::no_bevel(group, EdgeName::Outline, report);
    }
    super::beyond::on_plate(group, report);
    super::turn::on_plate(plane, group, report);
    let mut found = vec![0usize; plane.plate.holes.len()];
    let (mut area, mut round) = (0.0, 0.0);
    for piece in group {
        for hole in &piece.holes {
            report.verdict.checked.holes += 1;
            let Some(asked) = plane.plate.holes.get(hole.hole) else {
                report.holds(Check::Coverage, &format!("hole {}", hole.name), "asked for", false);
                continue;
            };
            found[hole.hole] += 1;
            let named = hole.name == asked.name;
            report.holds(Check::Coverage, &format!("hole {}", asked.name), "goes by its name", named);
            let emitted = measure::path_undone(&piece.from_flat, &hole.outline);
            let go = |p: Vec2| plane.flat(p);
            let mirrored = plane.plate.show < plane.plate.hidden;
            let seg = |s: &crate::geom::path::Seg| crate::geom::path::Seg {
                a: go(s.a),
                b: go(s.b),
                bulge: if mirrored { -s.bulge } else { s.bulge },
            };
            let outline = crate::geom::path::Path { segs: asked.outline.segs.iter().map(seg).collect() };
            outline_fits(&emitted, &outline, Check::Landing, &format!("hole {}", asked.name), report);
        }
        let within = wall::seam_to_seam(piece);
        let contour: Vec<_> = if plane.turn().is_some() {
            within.iter().collect()
        } else {
            piece.contour.iter().map(|r| &r.path).collect()
        };
        area += measure::path_area(&contour);
        round += contour.iter().map(|p| p.length()).sum::<f64>();
        wall::own_area(piece, report);
        // The plane itself lies with the wearer's front up.
        super::marks::arrows(piece, |_| Vec2::Y, report);
        let up = measure::undone(&piece.from_flat, piece.up) - measure::undone(&piece.from_flat, Vec2::ZERO);
        report.holds(Check::Hand, "way up", "the wearer's front", (up - Vec2::Y).length() < 1e-6);
    }
    for (i, hole) in plane.plate.holes.iter().enumerate() {
        report.count(&format!("hole {}", hole.name), found[i], 1);
    }
    if !group.is_empty() {
        let asked = plane.area(plane.cut).abs();
        let allowed = AREA * asked + tol::ROUNDING * round;
        report.figure(Check::Area, "plate", format!("{area:.3} mm² for {asked:.3}"), (area - asked).abs(), allowed);
        let (said, asked) = (panel.area, plane.neutral_area());
        let place = format!("{said:.3} mm² for {asked:.3}");
        report.figure(Check::Area, "panel's stated area", place, (said - asked).abs(), AREA * asked);
    }
}

/// The cut length of an outline that no joint measures.
pub fn lengths(solid: &Solid, part: PartId, plane: &Plane<'_>, group: &[&Piece], report: &mut Report) {
    let here = EdgeRef { part, ring: 0, edge: EdgeName::Outline };
    if group.is_empty() || solid.joints.iter().any(|j| j.a == here || j.b == here) {
        return;
    }
    let (is, asked) = (joints::run_length(group, EdgeName::Outline), plane.length());
    let place = format!("cut {is:.3} mm long for {asked:.3}");
    report.figure(Check::Partner, wall::edge_name(EdgeName::Outline), place, (is - asked).abs(), FIT);
}

/// What the pieces of a plate weigh.
pub fn mass(solid: &Solid, plane: &Plane<'_>, group: &[&Piece], report: &mut Report) {
    let bevelled = plane.cut == Line::Widest;
    let band = if bevelled { plane.area(Line::Widest).abs() - plane.area(Line::Narrowest).abs() } else { 0.0 };
    wall::weighed(solid, plane.stock, group, band, report);
}

fn line(plane: &Plane<'_>, group: &[&Piece], line: Line, what: &str, report: &mut Report) {
    // Where the faces' outlines cross, the bevel line changes from one to the other along their common tangent.
    let allowed = if line == Line::Narrowest { TRANSFER } else { LANDING };
    let curve = plane.curve(line);
    outline::lands(group, line == Line::Narrowest, &curve, (what, allowed), report);
}

/// Its marks.
pub fn traces(solid: &Solid, at: (&Part, usize), plane: &Plane<'_>, group: &[&Piece], report: &mut Report) {
    let height = |face: Face| if face == Face::Inside { plane.z.1 } else { plane.z.0 };
    let line = |face: Face, by: f64| -> Vec<Vec2> {
        let points = super::traces::moved_in(&plane.round, height(face), plane.plate.depth, by);
        points.into_iter().map(|p| plane.flat(p)).collect()
    };
    let face = |face: Face| match plane.cut {
        Line::Middle => Some(plane.places(Line::Middle).into_iter().map(|p| p.1).collect()),
        Line::Widest | Line::Narrowest => Some(line(face, 0.0)),
    };
    let holes: Vec<crate::geom::path::Path> = plane.plate.holes.iter().map(|h| h.outline.clone()).collect();
    let flat = |p: Vec2| Some(plane.flat(p));
    super::traces::on_plate(solid, at, &flat, &face, &|f, by| Some(line(f, by)), &holes, group, report);
}
