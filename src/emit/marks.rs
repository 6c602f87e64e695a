//! Marks on the picture: lines on the faces that they are on, as far as those reach. Of one that is pricked through to
//! an inside face nothing is seen.

use crate::design::Face;
use crate::geom::course::Leg;
use crate::geom::path::Path;
use crate::geom::rim::Rim;
use crate::geom::ring::contains;
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Place, Walk};
use crate::geom::{Vec2, Vec3, sided};
use crate::skin::leaf::Formed;
use crate::skin::{cuts, leaves};
use crate::solid::{Body, Course, Leaf, Part, Plate, Trace, Wall};

/// How far apart points stand on a wall, mm.
const STEP: f64 = 2.0;
/// Points round the outline of a plate.
const ROUND: u32 = 360;

/// The lines of a mark in its part's frame.
pub(super) fn lines(part: &Part, trace: &Trace) -> Vec<Vec<Vec3>> {
    if trace.face == Face::Inside {
        return Vec::new();
    }
    match (&part.body, &trace.course) {
        (Body::Wall(wall), Course::Wall(legs)) => legs.iter().flat_map(|leg| on_wall(part, wall, leg)).collect(),
        (Body::Plate(plate), course) => on_plate(plate, course),
        (Body::Leaf(leaf), course) => on_leaf(part, leaf, course),
        (Body::Folded(wall), Course::Face(face, path)) => {
            let Some(one) = wall.faces.get(*face) else { return Vec::new() };
            let outline = Path::polygon(&wall.corners(*face, one.plate.show));
            let holes: Vec<&Path> = wall.holes.iter().filter(|h| h.0 == *face).map(|h| &h.1.outline).collect();
            let long = path.length();
            stretches((long / STEP).ceil().clamp(2.0, 2000.0) * 4.0, |share| {
                let p = path.at_length(long * share)?.0;
                let seen = contains(&outline, p) && !holes.iter().any(|h| contains(h, p));
                seen.then(|| one.frame.apply(p.extend(one.plate.show)))
            })
        }
        // A fold is a corner, and is drawn as one; so is a line along which a wall is formed.
        (Body::Wall(_) | Body::Folded(_), _) => Vec::new(),
    }
}

fn on_wall(part: &Part, wall: &Wall, leg: &Leg) -> Vec<Vec<Vec3>> {
    let (Some(layer), Some(ring)) = (part.layers.last(), wall.rings.iter().find(|r| r.strips.contains(&leg.strip)))
    else {
        return Vec::new();
    };
    let (low, high) = cuts(wall, ring);
    let stops = [low.stops(), high.stops()].concat();
    let walk = Walk::with_cuts(&wall.strips[leg.strip], &stops);
    let flat = Unrolled::new(&walk, layer.outer);
    let rims = [
        (leg.strip == ring.strips.start, Rim::new(&flat, &low), 1.0),
        (leg.strip + 1 == ring.strips.end, Rim::new(&flat, &high), -1.0),
    ];
    let there = |place: Place, z: f64, p: Vec3| {
        let (from, to) = leaves(&walk, wall.seam, z, layer.neutral);
        let within = |(at_rim, rim, way): &(bool, Rim<'_>, f64)| {
            !at_rim || rim.is_closed() || (p.z - rim.height(place, layer.outer).0) * way >= -1e-6
        };
        place >= from && place <= to && rims.iter().all(within)
    };
    let (from, to) = (leg.point(&walk, 0.0, layer.outer), leg.point(&walk, 1.0, layer.outer));
    let long = (walk.around(leg.from.z, layer.outer) * (leg.to.share - leg.from.share)).abs().max(from.distance(to));
    let steps = (long / STEP).ceil().clamp(2.0, 2000.0);
    stretches(steps, |share| {
        let (place, z) = leg.at(&walk, share);
        let p = crate::geom::course::over(&walk.rule(place), z, layer.outer);
        there(place, z, p).then_some(p)
    })
}

/// The points of a line at so many even steps, from each place where it comes in sight to the next where it is hidden.
fn stretches<T>(steps: f64, seen: impl Fn(f64) -> Option<T>) -> Vec<Vec<T>> {
    let mut out: Vec<Vec<T>> = vec![Vec::new()];
    let mut i = 0.0;
    while i <= steps {
        match (seen(i / steps), out.last_mut()) {
            (Some(p), Some(line)) => line.push(p),
            (None, Some(line)) if !line.is_empty() => out.push(Vec::new()),
            _ => {}
        }
        i += 1.0;
    }
    out.retain(|line| line.len() > 1);
    out
}

/// A line on a plane, cut where it leaves an outline.
fn kept(path: &Path, outline: &Path, close: bool) -> Vec<Vec<Vec2>> {
    let long = path.length();
    let steps = (long / STEP).ceil().clamp(2.0, 2000.0) * 4.0;
    stretches(steps, |share| {
        let p = path.at_length(long * share)?.0;
        (close || contains(outline, p)).then_some(p)
    })
}

fn on_plate(plate: &Plate, course: &Course) -> Vec<Vec<Vec3>> {
    let walk = Walk::new(&plate.strip);
    let round = |by: f64| {
        if plate.sided {
            let heights = plate.strip.heights();
            let sides = sided::sides(&plate.strip);
            let lines: Vec<(f64, f64)> = sides.iter().map(|s| (s.phi, s.at(plate.show, heights) - by)).collect();
            return Path::polygon(&sided::corners(&lines));
        }
        let girth = walk.around(plate.show, plate.depth);
        let point = |i: u32| {
            let rule = walk.rule(walk.at_length(girth * f64::from(i) / f64::from(ROUND), plate.show, plate.depth));
            rule.point(plate.show, plate.depth).truncate() - rule.facing * by
        };
        Path::polygon(&(0..ROUND).map(point).collect::<Vec<_>>())
    };
    let flat = match course {
        Course::Plate(path) => kept(path, &round(0.0), false),
        Course::Edge(margin) => kept(&round(*margin), &Path::default(), true),
        Course::Wall(_) | Course::Face(..) | Course::Fold(_) | Course::Form(_) => Vec::new(),
    };
    flat.into_iter().map(|line| line.into_iter().map(|p| p.extend(plate.show)).collect()).collect()
}

fn on_leaf(part: &Part, leaf: &Leaf, course: &Course) -> Vec<Vec<Vec3>> {
    let formed = Formed::new(leaf);
    let Some(depth) = part.layers.last().map(|l| l.outer) else { return Vec::new() };
    let (Some(to), Some(edge)) = (formed.to(depth), formed.line(depth)) else { return Vec::new() };
    let flat = match course {
        Course::Plate(path) => kept(path, &edge, false),
        Course::Edge(margin) => {
            crate::geom::inset::inset(&edge, *margin).map_or_else(Vec::new, |p| kept(&p, &edge, true))
        }
        Course::Wall(_) | Course::Face(..) | Course::Fold(_) | Course::Form(_) => Vec::new(),
    };
    flat.into_iter().map(|line| line.into_iter().filter_map(|p| to.in_space(p)).collect()).collect()
}
