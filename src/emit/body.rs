//! The parts of a solid as meshes and crisp lines, for the picture and for solid files. Facets stand within about
//! a fiftieth of a radius of the true surface; nothing that is cut is made here.
//!
//! Of a mirrored pair this is the left one, as it is written; `super::twins` adds the right one. Holes of walls come as outlines on the outer face; the
//! mesh itself is not pierced there (holes of plates are). Laps and tabs of seams are not shown.

use crate::design::Face;
use crate::fitted::{Ground, Spot};
use crate::geom::mesh::{Mesh, triangulated};
use crate::geom::parallel::closes_at;
use crate::geom::rim::Cut;
use crate::geom::strip::{Rule, Strip};
use crate::geom::unroll::{Laid, Unrolled};
use crate::geom::walk::{Leg, Place, Stop, Walk};
use crate::geom::{self, Vec2, Vec3, scallop, sided};
use crate::ids::PartId;
use crate::num;
use crate::skin::{cut, height};
use crate::solid::{Body, Gap, Hole, Layer, Part, Plate, Rim, Scallops, Seam, Solid, Stroke, Turn, Wall};

/// How far a column turns, radians: seven and a half degrees.
pub(super) const TURN: f64 = num::PI / 24.0;
/// How far a chord of a hole's outline lies off its arc, mm.
const CHORD: f64 = 0.2;
/// How far apart the points of a place's outline stand, mm.
const STEP: f64 = 2.0;
/// Parts of a tongue: its notches and its tip are corners of them.
const TONGUE: usize = 8;
/// Parts of a stretch of a figure.
const FIGURED: usize = 8;
/// Where a figure goes up or down along a generatrix its sides stand this far from it, mm, so that every face has a
/// direction.
const BESIDE: f64 = 0.01;

/// One part, or what is fitted, in space.
#[derive(Clone, Debug)]
pub struct Shown {
    /// As the picture calls it; nothing where it is not to be named.
    pub name: String,
    /// The left one of a mirrored pair.
    pub pair: bool,
    pub mesh: Mesh,
    /// Rims, corners and outlines.
    pub lines: Vec<Vec<Vec3>>,
    /// Seams: lines where two edges meet within the part.
    pub seams: Vec<Vec<Vec3>>,
    /// Outlines of holes in walls, on the outer face.
    pub holes: Vec<Vec<Vec3>>,
    /// Outlines of what is fitted to its outer face.
    pub places: Vec<Vec<Vec3>>,
    /// Marks on its outer face.
    pub marks: Vec<(Stroke, Vec<Vec3>)>,
}

impl Shown {
    /// Nothing yet.
    #[must_use]
    pub fn named(name: &str) -> Self {
        let (lines, seams, holes, places, marks) = (Vec::new(), Vec::new(), Vec::new(), Vec::new(), Vec::new());
        Self { name: name.to_owned(), pair: false, mesh: Mesh::default(), lines, seams, holes, places, marks }
    }
}

/// Every part, its walls cut into faces no taller than `tall` mm.
#[must_use]
pub fn bodies(solid: &Solid, tall: f64) -> Vec<Shown> {
    // Tabs and patches are cut flat and bent where they go: their places are shown.
    let shown = solid.parts.iter().filter(|p| !solid.fitted.patches.contains(&p.id));
    let mut all: Vec<(PartId, Shown)> = shown.map(|p| (p.id, body(p, solid.turned_out(p.id), tall))).collect();
    for spot in solid.fitted.spots.iter().filter(|s| s.face != Face::Inside) {
        // On what lies outermost there.
        let outer = |id: &PartId| solid.parts[id.index()].layers.last().map_or(0.0, |l| l.outer);
        let over = spot.over.iter().map(|o| o.part).chain([spot.part]).max_by(|a, b| outer(a).total_cmp(&outer(b)));
        let Some(part) = over.and_then(|id| solid.parts.get(id.index())) else { continue };
        let Some((_, own)) = all.iter_mut().find(|s| s.0 == part.id) else { continue };
        own.places.extend(place(part, spot).map(|line| line.into_iter().map(|p| part.place.apply(p)).collect()));
    }
    for trace in &solid.traces {
        let Some(part) = solid.parts.get(trace.part.index()) else { continue };
        let Some((_, own)) = all.iter_mut().find(|s| s.0 == part.id) else { continue };
        let placed = |line: Vec<Vec3>| (trace.stroke, line.into_iter().map(|p| part.place.apply(p)).collect());
        own.marks.extend(super::marks::lines(part, trace).into_iter().map(placed));
    }
    all.into_iter().map(|(_, shown)| shown).collect()
}

/// The outline of what is fitted, on the part's outer face: along the level by its length there, and up the rule at
/// that place.
fn place(part: &Part, spot: &Spot) -> Option<Vec<Vec3>> {
    let long = spot.outline.length();
    let steps = (long / STEP).ceil().clamp(16.0, 400.0);
    let mut points: Vec<Vec2> = Vec::new();
    let mut i = 0.0;
    while i <= steps {
        points.extend(spot.outline.at_length(long * i / steps).map(|p| p.0));
        i += 1.0;
    }
    match (&part.body, &spot.on) {
        (Body::Wall(wall), Ground::Wall { z, .. }) => {
            let rule = &spot.rule_on(part.id)?;
            let depth = part.layers.last()?.outer;
            let walk = Walk::new(wall.strips.get(spot.strip_on(part.id)?)?);
            let from = walk.length(walk.find(rule)?, *z, depth);
            let around = walk.around(*z, depth);
            let point = |p: Vec2| {
                let rule = walk.rule(walk.at_length(num::wrap(from + p.x, around), *z, depth));
                rule.point(z + p.y / rule.secant(), depth)
            };
            Some(points.into_iter().map(point).collect())
        }
        (Body::Plate(plate), Ground::Plate { centre }) => Some(super::leaf::on_plate(plate, *centre, &points)),
        (Body::Folded(wall), Ground::Face { face, centre }) => {
            let one = wall.faces.get(*face)?;
            Some(super::leaf::on_plate(&one.plate, *centre, &points).into_iter().map(|p| one.frame.apply(p)).collect())
        }
        (Body::Leaf(leaf), Ground::Leaf { at }) => super::leaf::place(part, leaf, *at, &points),
        _ => None,
    }
}

fn body(part: &Part, tabs: Option<&Turn>, tall: f64) -> Shown {
    let mut shown = Shown { pair: part.pair, ..Shown::named(&part.name) };
    match &part.body {
        Body::Wall(w) => {
            wall(part, w, tall, &mut shown);
            super::tabs::shown(part, w, tabs, &mut shown);
        }
        Body::Plate(p) => plate(p, &mut shown),
        Body::Leaf(l) => super::leaf::shown(part, l, &mut shown),
        Body::Folded(f) => super::folded::shown(f, &mut shown),
    }
    let place = |p: Vec3| part.place.apply(p);
    for p in &mut shown.mesh.points {
        *p = place(*p);
    }
    for line in shown.lines.iter_mut().chain(&mut shown.seams).chain(&mut shown.holes) {
        for p in line {
            *p = place(*p);
        }
    }
    shown
}

/// Which end of a strip, and how it is cut there.
struct End<'a> {
    strip: &'a Strip,
    rim: Rim,
    /// The neighbour of a mitre.
    other: Option<Walk>,
    upper: bool,
}

impl End<'_> {
    /// Height of the edge at depth `d` on a rule: the cuts of [`crate::solid::Rim`], as `geom::rim` derives them.
    fn height(&self, rule: &Rule, d: f64, neutral: f64) -> f64 {
        let (z0, z1) = self.strip.heights();
        let z = if self.upper { z1 } else { z0 };
        let (sine, secant) = (rule.sine(), rule.secant());
        match self.rim {
            Rim::Level => z,
            Rim::Square => z - d * sine,
            Rim::At(at) => at - d * sine,
            Rim::Plane(plane) => plane.height(rule, d),
            Rim::PlaneSquare(plane) => plane.height(rule, 0.0) - d * sine,
            // Where a figure stands is known of places, not of rules: `Shaped` tells.
            Rim::Shaped { .. } => z - d * sine,
            Rim::Mitre(_) => {
                let slope = self
                    .other
                    .as_ref()
                    .and_then(|w| w.at_normal(rule.phi).first().map(|&p| num::atan(w.rule(p).flare())));
                let own = num::atan(rule.flare());
                let half = 0.5 * (own - slope.unwrap_or(own));
                z - d * sine + d * num::tan(half) / secant
            }
            Rim::Closed(closed) => {
                // An inner surface closes before its sheet does: it cannot go on past its own point.
                let own = closes_at(self.strip, d).unwrap_or(closed);
                let square = closed - (d - neutral) * sine;
                if self.upper { square.min(own) } else { square.max(own) }
            }
        }
    }
}

fn wall(part: &Part, wall: &Wall, tall: f64, shown: &mut Shown) {
    for ring in &wall.rings {
        for s in ring.strips.clone() {
            let strip = &wall.strips[s];
            let end = |rim: Rim, upper: bool| {
                let other = if let Rim::Mitre(k) = rim { wall.strips.get(k).map(Walk::new) } else { None };
                End { strip, rim, other, upper }
            };
            // Strips of one ring share their slope where they meet: cut square there, both have the same end face.
            let (first, last) = (s == ring.strips.start, s + 1 == ring.strips.end);
            let lower = end(if first { ring.lower } else { Rim::Square }, false);
            let upper = end(if last { ring.upper } else { Rim::Square }, true);
            let shaped = [(lower.rim, first, strip.heights().0), (upper.rim, last, strip.heights().1)];
            let shaped = shaped.map(|(rim, there, z)| match rim {
                Rim::Shaped { .. } if there => Some(cut(wall, rim, z)),
                _ => None,
            });
            let stops: Vec<Stop> = shaped.iter().flatten().flat_map(Cut::stops).collect();
            let walk = Walk::with_cuts(strip, &stops);
            for (i, layer) in part.layers.iter().enumerate() {
                let outermost = i + 1 == part.layers.len();
                let there = wall.rings.iter().position(|r| r == ring);
                let row = |at_rim: bool, upper: bool| there.filter(|_| at_rim).and_then(|i| wall.scalloped(i, upper));
                let rows = [row(first, false), row(last, true)];
                let rims = [(first, rows[0]), (last, rows[1])];
                strip_layer(wall, (&walk, &shaped), [&lower, &upper], layer, tall, shown, outermost, rims);
            }
        }
    }
    if let Some(layer) = part.layers.last() {
        shown.holes.extend(wall.holes.iter().filter_map(|h| hole(wall, h, layer)));
    }
}

/// Places along a walk, close enough for the eye, from its start to its end.
fn places(walk: &Walk) -> Vec<Place> {
    let mut out = vec![walk.ends().0];
    for (leg, one) in walk.legs().iter().enumerate() {
        let steps = match one {
            Leg::Side { .. } => 1.0,
            Leg::Turn { from, to, .. } => ((to - from).abs() / TURN).ceil().clamp(1.0, 200.0),
        };
        let mut i = 1.0;
        while i <= steps {
            out.push(Place { leg, t: i / steps });
            i += 1.0;
        }
    }
    out
}

/// The stretch of the walk that an open seam leaves at a height, on the neutral surface.
fn kept(wall: &Wall, walk: &Walk, z: f64, neutral: f64) -> Option<(Place, Place)> {
    let Seam::Open(gap) = wall.seam else { return None };
    let neutral = if let Gap::Over { depth, .. } = gap { depth } else { neutral };
    let around = walk.around(z, neutral);
    let half = 0.5
        * match gap {
            Gap::Length(l) => l.min(0.95 * around),
            Gap::Share(s) => s.min(0.95) * around,
            Gap::Over { length, share, .. } => (length + share * around).min(0.95 * around),
            Gap::Leaves(l) => return walk.about(wall.facing + num::PI, l, z, neutral),
            Gap::Angle(a) => {
                let from = walk.at_normal(wall.facing + 0.5 * a).first().copied()?;
                let to = walk.at_normal(wall.facing - 0.5 * a).first().copied()?;
                return Some((from, to));
            }
        };
    Some((walk.at_length(half, z, neutral), walk.at_length(around - half, z, neutral)))
}

fn clamped(at: Place, within: Option<(Place, Place)>) -> Place {
    let Some((from, to)) = within else { return at };
    if at < from {
        from
    } else if at > to {
        to
    } else {
        at
    }
}

fn strip_layer(
    wall: &Wall,
    (walk, shaped): (&Walk, &[Option<Cut>; 2]),
    [lower, upper]: [&End<'_>; 2],
    layer: &Layer,
    tall: f64,
    shown: &mut Shown,
    outermost: bool,
    [(first, below_rim), (last, above_rim)]: [(bool, Option<&Scallops>); 2],
) {
    let (z0, z1) = walk.strip().heights();
    let open = matches!(wall.seam, Seam::Open(_));
    let side = |cut: &Option<Cut>, z: f64| cut.as_ref().map_or(z, height);
    let (low, high) = (side(&shaped[0], z0), side(&shaped[1], z1));
    let (below, above) = (kept(wall, walk, low, layer.neutral), kept(wall, walk, high, layer.neutral));
    let mut columns = places(walk);
    let flat = Unrolled::new(walk, layer.neutral);
    let figures = [0, 1].map(|i| shaped[i].as_ref().map(|cut| geom::rim::Rim::new(&flat, cut)));
    // Along a figure columns stand close, and on either side of a place where it goes up or down.
    for (leg, _) in walk.legs().iter().enumerate().filter(|_| figures.iter().any(Option::is_some)) {
        let long = walk.length(Place { leg, t: 1.0 }, z0, 0.0) - walk.length(Place { leg, t: 0.0 }, z0, 0.0);
        let beside = (BESIDE / long.max(BESIDE)).min(0.1);
        columns.retain(|p| p.leg != leg || p.t < 1.0 - 1e-9 && p.t > 1e-9 || leg == 0 && p.t == 0.0);
        columns.extend((1..FIGURED).map(|i| Place { leg, t: i as f64 / FIGURED as f64 }));
        let ends = [(leg == 0, beside), (leg + 1 == walk.legs().len(), 1.0 - beside)];
        columns.extend(ends.iter().filter(|e| !e.0).map(|e| Place { leg, t: e.1 }));
        if leg + 1 == walk.legs().len() {
            columns.push(Place { leg, t: 1.0 });
        }
    }
    for (from, to) in below.into_iter().chain(above) {
        columns.extend([from, to]);
    }
    // Where tongues hang, columns stand close, with one in every notch and at every tip.
    let stretch = |kept: Option<(Place, Place)>, z: f64| {
        let (from, to) = kept.unwrap_or_else(|| walk.ends());
        (walk.length(from, z, layer.neutral), walk.length(to, z, layer.neutral))
    };
    let tongued = [(below_rim, below, z0), (above_rim, above, z1)];
    for (row, kept, z) in tongued {
        let Some(row) = row else { continue };
        let (from, to) = stretch(kept, z);
        let steps = row.count * TONGUE;
        let share = |i: usize| i as f64 / steps as f64;
        columns.extend((0..=steps).map(|i| walk.at_length(from + (to - from) * share(i), z, layer.neutral)));
    }
    // How far a rim stands back from its tips at a place, along the generatrix.
    let falls = |at: Place, upper: bool| {
        let (row, kept, z) = tongued[usize::from(upper)];
        row.map_or(0.0, |row| {
            let (from, to) = stretch(kept, z);
            let pitch = (to - from) / row.count as f64;
            let on = num::wrap(walk.length(at, z, layer.neutral) - from, pitch);
            scallop::falls(on - 0.5 * pitch, pitch, row.rise)
        })
    };
    columns.sort_by(|a, b| a.leg.cmp(&b.leg).then(a.t.total_cmp(&b.t)));
    // Between two that are all but one there would be a face without a direction.
    columns.dedup_by(|b, a| a.leg == b.leg && b.t - a.t < 1e-6);
    if !open {
        // The walk ends at the rule where it began.
        columns.pop();
    }
    let rows = ((z1 - z0) / tall).ceil().clamp(1.0, 60.0);
    let face = |d: f64| -> Vec<Vec<Vec3>> {
        let column = |&at: &Place| {
            let (p0, p1) = (clamped(at, below), clamped(at, above));
            let (r0, r1) = (walk.rule(p0), walk.rule(p1));
            let own = |i: usize, at: Place| figures[i].as_ref().map(|rim| rim.height(at, d).0);
            let foot = r0.point(own(0, p0).unwrap_or_else(|| lower.height(&r0, d, layer.neutral)), d);
            let head = r1.point(own(1, p1).unwrap_or_else(|| upper.height(&r1, d, layer.neutral)), d);
            let way = (head - foot).normalize_or_zero();
            let (foot, head) =
                (foot + way * falls(clamped(at, below), false), head - way * falls(clamped(at, above), true));
            let mut points = vec![foot];
            let mut i = 1.0;
            while i <= rows {
                points.push(foot + (head - foot) * (i / rows));
                i += 1.0;
            }
            points
        };
        columns.iter().map(column).collect()
    };
    let (inner, outer) = (face(layer.inner), face(layer.outer));
    shell(&inner, &outer, !open, &mut shown.mesh);
    let row = |face: &[Vec<Vec3>], top: bool| -> Vec<Vec3> {
        let mut line: Vec<Vec3> = face.iter().filter_map(|c| if top { c.last() } else { c.first() }).copied().collect();
        if !open {
            line.extend(line.first().copied());
        }
        line
    };
    for (top, wanted) in [(false, first), (true, last)] {
        if wanted {
            shown.lines.extend([row(&outer, top), row(&inner, top)]);
        }
    }
    let ends = if open { vec![0, columns.len() - 1] } else { vec![0] };
    for k in ends {
        let mut around: Vec<Vec3> = outer[k].clone();
        around.extend(inner[k].iter().rev());
        around.extend(outer[k].first());
        shown.seams.push(around);
    }
    if outermost {
        corners(walk, &columns, &outer, shown);
    }
}

/// Lines along the corners of an angular wall: where both sections turn on the spot.
fn corners(walk: &Walk, columns: &[Place], outer: &[Vec<Vec3>], shown: &mut Shown) {
    for leg in 0..walk.legs().len() {
        let Some((l, u)) = walk.curves(leg) else { continue };
        let phi = walk.rule(Place { leg, t: 0.5 }).phi;
        if l.radius(phi).abs() > 1e-9 || u.radius(phi).abs() > 1e-9 {
            continue;
        }
        let middle = columns.iter().position(|p| p.leg == leg && p.t >= 0.5);
        shown.lines.extend(middle.and_then(|i| outer.get(i)).cloned());
    }
}

/// Faces of a layer between its inner and its outer surface, columns of points each.
pub(super) fn shell(inner: &[Vec<Vec3>], outer: &[Vec<Vec3>], round: bool, mesh: &mut Mesh) {
    let index = |face: &[Vec<Vec3>], mesh: &mut Mesh| -> Vec<Vec<usize>> {
        face.iter().map(|c| c.iter().map(|&p| mesh.point(p)).collect()).collect()
    };
    let (inner, outer) = (index(inner, mesh), index(outer, mesh));
    let n = inner.len();
    let rows = inner.first().map_or(0, Vec::len).saturating_sub(1);
    for j in 0..if round { n } else { n.saturating_sub(1) } {
        let k = (j + 1) % n;
        for r in 0..rows {
            mesh.faces.push(vec![outer[j][r], outer[k][r], outer[k][r + 1], outer[j][r + 1]]);
            mesh.faces.push(vec![inner[j][r + 1], inner[k][r + 1], inner[k][r], inner[j][r]]);
        }
        mesh.faces.push(vec![inner[j][0], inner[k][0], outer[k][0], outer[j][0]]);
        mesh.faces.push(vec![outer[j][rows], outer[k][rows], inner[k][rows], inner[j][rows]]);
    }
    if !round && n > 1 {
        for r in 0..rows {
            let (i, o) = (&inner[0], &outer[0]);
            mesh.faces.push(vec![i[r], o[r], o[r + 1], i[r + 1]]);
            let (i, o) = (&inner[n - 1], &outer[n - 1]);
            mesh.faces.push(vec![i[r + 1], o[r + 1], o[r], i[r]]);
        }
    }
}

/// A hole's outline on the outer face: each point of it lies on the neutral flat as drawn, and is carried to the
/// generatrix through it and from there square to the sheet.
fn hole(wall: &Wall, hole: &Hole, layer: &Layer) -> Option<Vec<Vec3>> {
    let walk = Walk::new(wall.strips.get(hole.strip)?);
    let flat = Unrolled::new(&walk, layer.neutral);
    let middle = walk.find(&hole.rule)?;
    let laid = flat.at(middle);
    let centre = laid.point((hole.z - laid.rule.z0 - layer.neutral * laid.rule.sine()) / laid.rule.rise());
    let (along, around) = (walk.length(middle, hole.z, layer.neutral), walk.around(hole.z, layer.neutral));
    let place = |p: Vec2| {
        let beside = |s: f64| {
            let laid = flat.at(walk.at_length(s, hole.z, layer.neutral));
            laid.rise.perp_dot(p - laid.foot)
        };
        let mut reach = p.distance(centre).max(CHORD);
        loop {
            let (from, to) = ((along - reach).max(0.0), (along + reach).min(around));
            if let Some(s) = num::root(from, to, 1e-9, beside) {
                return Some(walk.at_length(s, hole.z, layer.neutral));
            }
            if reach > around {
                return None;
            }
            reach *= 2.0;
        }
    };
    let point = |p: Vec2| {
        let p = centre + laid.tau * p.x + laid.nu * p.y;
        let Laid { rule, foot, rise, .. } = flat.at(place(p)?);
        let z = rule.z0 + rule.rise() * (p - foot).dot(rise) / rise.length_squared();
        Some(rule.point(z - (layer.outer - layer.neutral) * rule.sine(), layer.outer))
    };
    stepped(&hole.outline.flattened(CHORD), hole.outline.length()).into_iter().map(point).collect()
}

/// A closed chain with its long sides divided, so that it follows a wall that bends below it.
fn stepped(chain: &[Vec2], long: f64) -> Vec<Vec2> {
    let step = STEP.max(long / 200.0);
    let mut out = Vec::with_capacity(chain.len());
    for w in chain.windows(2) {
        let n = (w[0].distance(w[1]) / step).ceil().clamp(1.0, 200.0);
        let mut i = 0.0;
        while i < n {
            out.push(w[0].lerp(w[1], i / n));
            i += 1.0;
        }
    }
    out.extend(chain.last());
    out
}

pub(super) fn plate(plate: &Plate, shown: &mut Shown) {
    let walk = Walk::new(&plate.strip);
    let mut columns = places(&walk);
    columns.pop();
    let holes: Vec<Vec<Vec2>> = plate
        .holes
        .iter()
        .map(|h| {
            let mut points = h.outline.flattened(CHORD);
            points.pop();
            points.reverse();
            points
        })
        .collect();
    let (low, high) = (plate.show.min(plate.hidden), plate.show.max(plate.hidden));
    let outline = |z: f64| -> Vec<Vec2> {
        if plate.sided {
            return sided::corners_at(&plate.strip, z);
        }
        columns.iter().map(|&at| walk.rule(at).point(z, plate.depth)).map(|p| Vec2::new(p.x, p.y)).collect()
    };
    let mesh = &mut shown.mesh;
    let mut rings: Vec<Vec<Vec<usize>>> = Vec::new();
    for z in [low, high] {
        let outline = outline(z);
        let all: Vec<&[Vec2]> = core::iter::once(outline.as_slice()).chain(holes.iter().map(Vec::as_slice)).collect();
        let base = mesh.points.len();
        let mut level = Vec::new();
        for ring in &all {
            level.push(ring.iter().map(|p| mesh.point(Vec3::new(p.x, p.y, z))).collect::<Vec<usize>>());
            let mut line: Vec<Vec3> = ring.iter().map(|p| Vec3::new(p.x, p.y, z)).collect();
            line.extend(line.first().copied());
            shown.lines.push(line);
        }
        for t in triangulated(&outline, &holes) {
            let [a, b, c] = t.map(|i| i + base);
            mesh.faces.push(if z == high { vec![a, b, c] } else { vec![c, b, a] });
        }
        rings.push(level);
    }
    for (below, above) in rings[0].iter().zip(&rings[1]) {
        let n = below.len();
        for j in 0..n {
            let k = (j + 1) % n;
            mesh.faces.push(vec![below[j], below[k], above[k], above[j]]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::{Curve, Element, Section};
    use crate::samples;

    #[test]
    fn every_part_is_a_closed_solid_of_its_volume() {
        let all = bodies(&samples::solid(), 30.0);
        for shown in &all {
            assert!(shown.mesh.is_closed(), "{}", shown.name);
        }
        // Level below, square above: between the cones of the two faces the sheet is its neutral area times its
        // thickness, within the facets' share: 1 - (π/24)²/6 ≈ 0.3 %, and the cuts' half thickness.
        let slant = (300.0f64 * 300.0 + 15.0 * 15.0).sqrt();
        let neutral = num::PI * (40.0 + 55.0) * slant * 5.0;
        let volume = all[0].mesh.volume();
        assert!((volume / neutral - 1.0).abs() < 0.01, "{volume} {neutral}");
        let disc = num::PI * (37.5f64 * 37.5 - 16.0) * 5.0;
        assert!((all[1].mesh.volume() / disc - 1.0).abs() < 0.02, "{} {disc}", all[1].mesh.volume());
    }

    #[test]
    fn a_round_hole_of_thin_card_stays_round_where_flat_sides_meet_a_cone() {
        // Between a circle and a rectangle the wall is made of plane triangles and cones: on each of them, and on
        // what lies across two of them, card keeps every way along its surface; in space no way is longer.
        let corner = |i: u8| {
            let from = num::FRAC_PI_2 * f64::from(i);
            let (x, y) = [(30.0, 20.0), (-30.0, 20.0), (-30.0, -20.0), (30.0, -20.0)][usize::from(i)];
            let curve = Curve::Round { centre: Vec2::new(x, y), radius: 10.0 };
            Element { from, to: from + num::FRAC_PI_2, curve }
        };
        let lower = Section::circle(60.0);
        let upper = Section::new((0..4).map(corner).collect()).unwrap();
        let strip = Strip::new(&lower, 0.0, &upper, 100.0).unwrap().begun_at(num::PI).unwrap();
        for phi in [0.0, 0.4, 0.9, -0.7] {
            let mut solid = samples::solid();
            let part = &mut solid.parts[0];
            part.layers = vec![Layer { stock: 0, inner: -0.02, neutral: -0.01, outer: 0.0, square: false }];
            let Body::Wall(wall) = &mut part.body else { panic!("a wall") };
            let walk = Walk::new(&strip);
            let rule = walk.rule(walk.at_normal(phi)[0]);
            wall.strips = vec![strip.clone()];
            wall.holes = vec![Hole {
                thing: part.thing,
                name: "port".to_owned(),
                origin: samples::span(),
                strip: 0,
                rule,
                z: 50.0,
                outline: samples::circle(Vec2::ZERO, 12.0),
                number: None,
            }];
            let shown = &bodies(&solid, 30.0)[0].holes[0];
            assert!(shown.len() > 12, "{}", shown.len());
            // The girth of the outline, and its centre's distance from every point as the crow flies.
            let round: f64 = shown.windows(2).map(|w| w[0].distance(w[1])).sum();
            assert!((round / (2.0 * num::PI * 12.0) - 1.0).abs() < 0.02, "{phi}: {round}");
            let centre = rule.point(50.0, 0.0);
            for p in shown {
                let far = p.distance(centre);
                assert!(far < 12.02 && far > 11.0, "{phi}: {far}");
            }
        }
    }

    #[test]
    fn an_open_seam_leaves_its_gap() {
        let mut solid = samples::solid();
        if let Body::Wall(w) = &mut solid.parts[0].body {
            w.seam = Seam::Open(Gap::Length(30.0));
        }
        let shown = &bodies(&solid, 30.0)[0];
        assert!(shown.mesh.is_closed());
        let ends: Vec<Vec3> = shown.seams.iter().map(|s| s[0]).collect();
        // Chord of 30 mm of arc at mid-thickness radius 40, seen on the outside radius 42.5.
        let chord = 2.0 * 42.5 * num::sin(0.5 * 30.0 / 40.0);
        assert!((ends[0].distance(ends[1]) - chord).abs() < 0.1, "{ends:?}");
    }
}
