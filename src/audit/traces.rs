//! Marks: each runs where the solid says, on the layer that has its face, as far as that face reaches and no hole goes
//! through it. The way round a wall is found by the chords of its section at the line's own level; how far a face
//! reaches by its edges in space. None of it knows the fit, the clipping or the walk by which marks were drawn.

use std::cell::RefCell;
use std::collections::BTreeSet;

use crate::design::Face;
use crate::geom::course::Leg;
use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3, unit};
use crate::num;
use crate::piece::{About, Piece};
use crate::solid::{Course, Part, Solid, Stroke, Trace};
use crate::verdict::Check;

use super::laid::{Hints, Laid};
use super::lines::{Line, View};
use super::measure;
use super::report::{FIT, LANDING, Most, Report};
use super::space::Round;
use super::wall::{frame_at, hole_frame};

/// The farthest that two pricks of a mark on the hidden face may stand apart, mm.
const PRICKS: f64 = 20.0;
/// How near points of an expected line stand, mm.
const STEP: f64 = 0.75;
/// How far chords of an expected line stand off it, mm, and how often a step is halved for that.
const CHORD: f64 = 5e-4;
const DEEP: u32 = 8;
/// What is so near to an edge runs along it, mm.
const ALONG: f64 = 0.005;
/// Chords of a section's arc, by spans.
const FINE: usize = 512;

/// Whether a layer of a part has the face that a mark is on.
fn shows(trace: &Trace, part: &Part, layer: usize) -> bool {
    let depth = |i: &usize| part.layers[*i].middle();
    let all = 0..part.layers.len();
    let has = match trace.face {
        Face::Inside => all.min_by(|a, b| depth(a).total_cmp(&depth(b))),
        Face::Middle | Face::Outside => all.max_by(|a, b| depth(a).total_cmp(&depth(b))),
    };
    trace.part == part.id && has == Some(layer)
}

/// The section of a strip's measured face at any level, as points on its generatrices.
struct Section {
    w: Vec<f64>,
    foot: Vec<Vec3>,
    head: Vec<Vec3>,
    heights: (f64, f64),
}

impl Section {
    fn new(round: &Round) -> Self {
        let mut w = Vec::new();
        let mut span = 0.0;
        while span < round.end() {
            let parts = if round.is_side(span + 0.5) { 2 } else { FINE };
            w.extend((0..parts).map(|i| span + i as f64 / parts as f64));
            span += 1.0;
        }
        w.push(round.end());
        let all: Vec<_> = w.iter().map(|w| round.generatrix(*w)).collect();
        Self {
            w,
            foot: all.iter().map(|g| g.foot).collect(),
            head: all.iter().map(|g| g.head).collect(),
            heights: round.heights,
        }
    }

    /// The lengths of its chords from the seam on.
    fn along(&self, z: f64) -> Vec<f64> {
        let v = (z - self.heights.0) / (self.heights.1 - self.heights.0);
        let at = |i: usize| self.foot[i] + (self.head[i] - self.foot[i]) * v;
        let mut sum = num::Sum::new();
        let mut out = vec![0.0];
        for i in 1..self.w.len() {
            sum.add(at(i).distance(at(i - 1)));
            out.push(sum.value());
        }
        out
    }

    /// The place a share of the way round.
    fn place(&self, along: &[f64], share: f64) -> f64 {
        let asked = share * along[along.len() - 1];
        let i = along.partition_point(|s| *s < asked).clamp(1, along.len() - 1);
        let step = along[i] - along[i - 1];
        let part = if step > 0.0 { ((asked - along[i - 1]) / step).clamp(0.0, 1.0) } else { 0.0 };
        self.w[i - 1] + (self.w[i] - self.w[i - 1]) * part
    }
}

/// Points along a leg where it lies on the flat, by `flat` of a place on the round and a level; as close as its bends on
/// the flat ask for: a tight corner of the section turns in less than a step.
fn points(round: &Round, leg: &Leg, flat: &dyn Fn(f64, f64) -> Vec2) -> Vec<Vec2> {
    let section = Section::new(round);
    let girth = section.along(0.5 * (leg.from.z + leg.to.z)).last().copied().unwrap_or(0.0);
    let long = num::hypot((leg.to.share - leg.from.share) * girth, leg.to.z - leg.from.z);
    let n = (long / STEP).ceil().clamp(8.0, 8000.0);
    let level = leg.from.z == leg.to.z;
    let once = section.along(leg.from.z);
    let at = |t: f64| {
        let z = leg.from.z + (leg.to.z - leg.from.z) * t;
        let share = leg.from.share + (leg.to.share - leg.from.share) * t;
        let w = if level { section.place(&once, share) } else { section.place(&section.along(z), share) };
        flat(w, z)
    };
    let mut out = vec![at(0.0)];
    let mut i = 0.0;
    while i < n {
        let (from, to) = (i / n, ((i + 1.0) / n).min(1.0));
        halved(&mut out, from, (to, at(to)), DEEP, &at);
        i += 1.0;
    }
    out
}

/// Points after the last one up to one of a share, so close that chords stand off by no more than [`CHORD`].
fn halved(out: &mut Vec<Vec2>, from: f64, (to, end): (f64, Vec2), deep: u32, at: &dyn Fn(f64) -> Vec2) {
    let t = 0.5 * (from + to);
    let middle = at(t);
    let start = out[out.len() - 1];
    if deep == 0 || measure::to_chord(middle.extend(0.0), start.extend(0.0), end.extend(0.0)) <= CHORD {
        out.push(end);
        return;
    }
    halved(out, from, (t, middle), deep - 1, at);
    halved(out, t, (to, end), deep - 1, at);
}

/// The marks of one layer of one ring of a wall.
pub fn on_wall(solid: &Solid, laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    let Some(part) = solid.parts.get(laid.panel.part.index()) else { return };
    let round = super::formed::legs(part, laid);
    let mut asked = BTreeSet::new();
    let holes: Vec<Path> = (laid.view.wall.holes.iter())
        .filter_map(|h| Some(hole_frame(laid, h.strip, &h.rule, h.z)?.placed(&h.outline)))
        .collect();
    for (i, trace) in solid.traces.iter().enumerate() {
        let legs = match &trace.course {
            Course::Wall(legs) => legs.as_slice(),
            Course::Form(station) if trace.part == part.id => {
                round.get(*station).map_or(&[][..], core::slice::from_ref)
            }
            _ => continue,
        };
        let own: Vec<&Leg> = legs.iter().filter(|l| laid.ring.strips.contains(&l.strip)).collect();
        if !shows(trace, part, laid.panel.layer) || own.is_empty() {
            continue;
        }
        asked.insert(i);
        let expected: Vec<Vec<Vec2>> = own
            .iter()
            .map(|leg| points(&laid.view.rounds[leg.strip], leg, &|w, z| frame_at(laid, leg.strip, w, z).at))
            .collect();
        let hints = RefCell::new(Hints::default());
        let room = |p: Vec2| room(laid, trace.face, p, &mut hints.borrow_mut()).min(off_holes(p, &holes));
        one((trace, i), &expected, &room, !holes.is_empty(), group, report);
    }
    others(solid, &asked, group, report);
}

/// How far a point of the flat lies within the face of its ring.
fn room(laid: &Laid<'_>, face: Face, p: Vec2, hints: &mut Hints) -> f64 {
    let l = laid.land(p, hints);
    let mut room = laid.within(l.strip, l.w, p);
    let along = laid.view.rounds[laid.ring.strips.start + l.strip].generatrix(l.w).along;
    for (upper, cut) in [(false, laid.cut.0), (true, laid.cut.1)] {
        if l.strip != laid.rim_strip(upper) {
            continue;
        }
        let depth = match (cut, face) {
            (Line::Middle, _) => laid.layer.middle(),
            (_, Face::Inside) => laid.layer.inner,
            _ => laid.layer.outer,
        };
        let edge = laid.view.edge(laid.ring, upper, l.w, depth, laid.layer.neutral);
        let up = (l.space - edge.foot).dot(along);
        room = room.min(if upper { -up } else { up });
    }
    room
}

/// How far a point lies from all holes, below zero within one.
fn off_holes(p: Vec2, holes: &[Path]) -> f64 {
    let off = |h: &Path| {
        let by = measure::to_path(p, h);
        if measure::encloses(h, p) { -by } else { by }
    };
    holes.iter().map(off).fold(f64::INFINITY, f64::min)
}

/// The marks of one layer of a plate. `flat` takes its plane to its flat, `face` is the outline of a face on the flat as
/// far as it is cut, `inset` a line along the true edge of that face.
pub fn on_plate(
    solid: &Solid,
    (part, layer): (&Part, usize),
    flat: &dyn Fn(Vec2) -> Option<Vec2>,
    face: &dyn Fn(Face) -> Option<Vec<Vec2>>,
    inset: &dyn Fn(Face, f64) -> Option<Vec<Vec2>>,
    holes: &[Path],
    group: &[&Piece],
    report: &mut Report,
) {
    let mut asked = BTreeSet::new();
    let laid: Vec<Path> = holes.iter().filter_map(|h| carried(h, flat)).collect();
    for (i, trace) in solid.traces.iter().enumerate() {
        if !shows(trace, part, layer) {
            continue;
        }
        asked.insert(i);
        let expected = match &trace.course {
            Course::Plate(path) => carried(path, flat).map(|p| measure::samples(&p, STEP, 1e-4)),
            Course::Edge(margin) => inset(trace.face, *margin).map(|mut line| {
                line.extend(line.first().copied());
                line
            }),
            Course::Wall(_) | Course::Face(..) | Course::Fold(_) | Course::Form(_) => None,
        };
        let (Some(expected), Some(outline)) = (expected, face(trace.face)) else {
            report.holds(Check::Coverage, &format!("mark {}", trace.name), "lies on its part", false);
            continue;
        };
        let outline = Path::polygon(&outline);
        let room = |p: Vec2| {
            let by = measure::to_path(p, &outline);
            let in_it = if measure::encloses(&outline, p) { by } else { -by };
            in_it.min(off_holes(p, &laid))
        };
        one((trace, i), &[expected], &room, !laid.is_empty(), group, report);
    }
    others(solid, &asked, group, report);
}

/// The marks of one layer of a wall that is folded from one strip: `lines` on its flat, `face` the outline of a face there.
pub fn on_strip(
    solid: &Solid,
    (part, layer): (&Part, usize),
    lines: &dyn Fn(&Course) -> Vec<Path>,
    face: &dyn Fn(Face) -> Vec<Vec2>,
    holes: &[Path],
    group: &[&Piece],
    report: &mut Report,
) {
    let mut asked = BTreeSet::new();
    for (i, trace) in solid.traces.iter().enumerate() {
        if !shows(trace, part, layer) {
            continue;
        }
        asked.insert(i);
        let expected: Vec<Vec<Vec2>> = lines(&trace.course).iter().map(|p| measure::samples(p, STEP, 1e-4)).collect();
        if expected.is_empty() {
            report.holds(Check::Coverage, &format!("mark {}", trace.name), "lies on its part", false);
            continue;
        }
        let outline = Path::polygon(&face(trace.face));
        let room = |p: Vec2| {
            let by = measure::to_path(p, &outline);
            let in_it = if measure::encloses(&outline, p) { by } else { -by };
            in_it.min(off_holes(p, holes))
        };
        one((trace, i), &expected, &room, !holes.is_empty(), group, report);
    }
    others(solid, &asked, group, report);
}

/// A line point by point on another flat.
fn carried(path: &Path, flat: &dyn Fn(Vec2) -> Option<Vec2>) -> Option<Path> {
    let points: Option<Vec<Vec2>> = measure::samples(path, STEP, 1e-4).into_iter().map(flat).collect();
    Some(Path::polyline(&points?))
}

/// A closed line so far in from a convex outline of which each point is given with its outward normal.
pub fn moved_in(round: &Round, z: f64, depth: f64, by: f64) -> Vec<Vec2> {
    let mut out = Vec::new();
    let mut span = 0.0;
    while span < round.end() {
        let parts = if round.is_side(span + 0.5) { 1 } else { FINE };
        for i in 0..parts {
            let g = round.generatrix(span + i as f64 / parts as f64);
            out.push(g.at(z, depth).truncate() - unit(g.phi) * by);
        }
        span += 1.0;
    }
    out
}

/// One mark against what the pieces of a panel show of it.
fn one(
    (trace, index): (&Trace, usize),
    expected: &[Vec<Vec2>],
    room: &dyn Fn(Vec2) -> f64,
    pierced: bool,
    group: &[&Piece],
    report: &mut Report,
) {
    let what = format!("mark {}", trace.name);
    let hidden = trace.face == Face::Inside;
    let mut chains: Vec<Path> = Vec::new();
    let mut said = num::Sum::new();
    for piece in group {
        let own: Vec<Path> = piece
            .marks
            .iter()
            .filter(|m| m.about == About::Trace(index))
            .map(|m| measure::path_undone(&piece.from_flat, &m.path))
            .collect();
        report.verdict.checked.marks += own.len();
        let noted: Vec<_> = piece.traces.iter().filter(|t| t.trace == index).collect();
        report.count(&format!("{what} in the key"), noted.len(), usize::from(!own.is_empty()));
        for note in noted {
            let is = note.name == trace.name && note.hidden == hidden;
            report.holds(Check::Coverage, &what, "goes by its name, on its face", is);
            let sort = note.stroke == trace.stroke && note.deep == trace.deep;
            let sunk = matches!(trace.stroke, Stroke::Line | Stroke::Form) == trace.deep.is_none();
            report.holds(Check::Claim, &what, "is as deep as it is told", sort && sunk);
            said.add(note.long);
        }
        chains.extend(own);
    }
    // What of it is there, by chords cut where it leaves the face.
    let rooms: Vec<Vec<f64>> = expected.iter().map(|line| line.iter().map(|p| room(*p)).collect()).collect();
    let mut long = num::Sum::new();
    for (line, rooms) in expected.iter().zip(&rooms) {
        for (p, r) in line.windows(2).zip(rooms.windows(2)) {
            // Where a curved edge crosses the chord is looked for: between its ends the distance does not grow evenly.
            let crossed = |from: Vec2, to: Vec2| num::bisect(0.0, 1.0, 1e-6, |t| room(from.lerp(to, t))).unwrap_or(0.5);
            // What runs along the edge of a hole is cut with it.
            if r[0].abs() <= ALONG && r[1].abs() <= ALONG {
                continue;
            }
            let share = match (r[0] > 0.0, r[1] > 0.0) {
                (true, true) => 1.0,
                (false, false) => 0.0,
                (true, false) => 1.0 - crossed(p[1], p[0]),
                (false, true) => 1.0 - crossed(p[0], p[1]),
            };
            long.add(share * p[0].distance(p[1]));
        }
    }
    if group.is_empty() {
        return;
    }
    let paths: Vec<Path> = expected.iter().map(|line| Path::polyline(line)).collect();
    let asked = |p: Vec2| paths.iter().map(|c| measure::to_path(p, c)).fold(f64::INFINITY, f64::min);
    let there = long.value() > 4.0 * LANDING;
    report.holds(Check::Coverage, &what, "drawn where its face is", chains.is_empty() != there);
    let place = format!("said to be {:.3} mm long for {:.3}", said.value(), long.value());
    // A hole that is only grazed may lie between two points.
    let allowed = if pierced { FIT + STEP } else { FIT };
    report.figure(Check::Claim, &what, place, (said.value() - long.value()).abs(), allowed);
    let inside: Vec<Vec2> = (expected.iter().zip(&rooms))
        .flat_map(|(line, rooms)| line.iter().zip(rooms).filter(|(_, r)| **r > 2.0 * LANDING).map(|(p, _)| *p))
        .collect();
    let mut most = Most::default();
    if hidden {
        let mut middles: Vec<(Vec2, Vec<Vec2>)> = Vec::new();
        for chain in &chains {
            let [s] = chain.segs.as_slice() else {
                report.holds(Check::Coverage, &what, "one straight stroke of a cross", false);
                continue;
            };
            let at = (s.a + s.b) * 0.5;
            most.add(asked(at).max(-room(at)), at);
            let way = (s.b - s.a).normalize_or_zero();
            match middles.iter_mut().find(|m| m.0.distance(at) < LANDING) {
                Some(m) => m.1.push(way),
                None => middles.push((at, vec![way])),
            }
        }
        let crossed = |m: &(Vec2, Vec<Vec2>)| matches!(m.1.as_slice(), [a, b] if a.dot(*b).abs() < 0.1);
        report.holds(Check::Coverage, &what, "pricked through by crosses", middles.iter().all(crossed));
        for p in inside {
            let near = middles.iter().map(|m| m.0.distance(p)).fold(f64::INFINITY, f64::min);
            // Along a bent line the next prick is a little nearer than the way to it.
            most.add((near - 0.5 * PRICKS).max(0.0), p);
        }
        most.enter(report, Check::Landing, &what, LANDING);
        return;
    }
    for chain in &chains {
        for p in measure::samples(chain, 1.0, 1e-3) {
            most.add(asked(p).max(-room(p)), p);
        }
    }
    for p in inside {
        let near = chains.iter().map(|c| measure::to_path(p, c)).fold(f64::INFINITY, f64::min);
        most.add(near, p);
    }
    most.enter(report, Check::Landing, &what, LANDING);
}

/// Legs that follow each other on two rings lie on one point of the face between them.
pub fn meet(solid: &Solid, views: &[Option<View<'_>>], report: &mut Report) {
    for trace in &solid.traces {
        let (Course::Wall(legs), Some(Some(view)), Some(part)) =
            (&trace.course, views.get(trace.part.index()), solid.parts.get(trace.part.index()))
        else {
            continue;
        };
        let Some(layer) = (if trace.face == Face::Inside { part.layers.first() } else { part.layers.last() }) else {
            continue;
        };
        let depth = if trace.face == Face::Inside { layer.inner } else { layer.outer };
        report.piece = None;
        let ring = |strip: usize| view.wall.rings.iter().position(|r| r.strips.contains(&strip));
        let point = |leg: &Leg, end: bool| {
            let round = &view.rounds[leg.strip];
            let at = if end { leg.to } else { leg.from };
            let section = Section::new(round);
            let g = round.generatrix(section.place(&section.along(at.z), at.share));
            g.at(at.z, 0.0) + g.normal * depth
        };
        for pair in legs.windows(2).filter(|p| ring(p[0].strip) != ring(p[1].strip)) {
            let off = point(&pair[0], true).distance(point(&pair[1], false));
            let what = format!("mark {} from ring to ring", trace.name);
            report.figure(Check::Partner, &what, format!("{off:.3} mm apart"), off, FIT);
        }
    }
}

/// Marks and notes of faces that this panel has not.
fn others(solid: &Solid, asked: &BTreeSet<usize>, group: &[&Piece], report: &mut Report) {
    for piece in group {
        let marked = piece.marks.iter().filter_map(|m| if let About::Trace(i) = m.about { Some(i) } else { None });
        let strange: Vec<usize> =
            marked.chain(piece.traces.iter().map(|t| t.trace)).filter(|i| !asked.contains(i)).collect();
        let name = strange.first().and_then(|i| solid.traces.get(*i)).map_or("", |t| t.name.as_str());
        let what =
            if strange.is_empty() { "marks of other faces".into() } else { format!("mark {name} of another face") };
        report.count(&what, strange.len(), 0);
        let numbers: BTreeSet<usize> = piece.traces.iter().map(|t| t.number).collect();
        report.count("numbers of marks", numbers.len(), piece.traces.len());
    }
}
