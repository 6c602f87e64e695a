//! Marks on caps, plates and the panels of a wall.

use super::super::super::{Shaper, errors};
use super::super::{opening, place};
use super::spec::{self, Spec, Spot};
use super::{Line, body, depth};
use crate::design::Face;
use crate::eval::Stop;
use crate::geom::cross;
use crate::geom::path::{Path, Seg};
use crate::geom::ring::contains;
use crate::geom::walk::Walk;
use crate::geom::{Vec2, Vec3, inset, left_of, sided, unit};
use crate::ids::ThingId;
use crate::num::{self, TAU};
use crate::skin::leaf::Formed;
use crate::solid::{Body, Course, Plate};

/// A ring keeps so far from the edges of its pieces, mm: nearer it cannot be told from them.
const CLEAR: f64 = 1.0;

/// Straight lines between spots, across and up from the middle.
fn straight(spec: &Spec, spots: &[Spot]) -> Result<Path, Stop> {
    for spot in spots {
        if spot.by_direction {
            return Err(errors::spot_across(&spec.name, spot.span).into());
        }
    }
    let points: Vec<Vec2> = spots.iter().map(|s| Vec2::new(s.x, s.y)).collect();
    if let Some(i) = (1..points.len()).find(|&i| points[i].distance(points[i - 1]) < 1e-9) {
        return Err(errors::spot_twice(&spec.name, spots[i].span).into());
    }
    Ok(Path::polyline(&points))
}

/// Only one line goes along an edge or through spots.
fn once(spec: &Spec, what: &str) -> Result<(), Stop> {
    if spec.several() { Err(errors::not_built_yet(&format!("several marks {what}"), spec.head).into()) } else { Ok(()) }
}

/// The parts of a chain that lie within a closed outline.
fn within(path: &Path, outline: &Path) -> Vec<Path> {
    let mut parts = Vec::new();
    for seg in &path.segs {
        let mut cuts = vec![0.0, 1.0];
        for other in &outline.segs {
            cuts.extend(cross::crossings(seg, other).into_iter().map(|c| c.first.clamp(0.0, 1.0)));
        }
        cuts.sort_by(f64::total_cmp);
        for w in cuts.windows(2) {
            if w[1] > w[0] && contains(outline, seg.at(0.5 * (w[0] + w[1]))) {
                parts.push(Path { segs: vec![seg.part(w[0], w[1])] });
            }
        }
    }
    parts
}

fn length(parts: &[Path]) -> f64 {
    parts.iter().map(Path::length).collect::<num::Sum>().value()
}

/// A line on a plate: straight across at a level, along its edge, or through spots.
pub(super) fn on_plate(shaper: &mut Shaper<'_>, id: ThingId, host: ThingId) -> Result<(Spec, Vec<Line>, f64), Stop> {
    let parts = shaper.known.plates.get(&host).ok_or(Stop::Skip)?.parts.clone();
    let mut lines = Vec::new();
    let mut out = None;
    for (k, part) in parts.into_iter().enumerate() {
        let Body::Leaf(leaf) = body(shaper, part) else { return Err(Stop::Skip) };
        let (lo, hi) = leaf.outline.bounds().ok_or(Stop::Skip)?;
        let tall = hi.y - lo.y;
        let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), spec::read)?;
        let d = depth(shaper, part, spec.face);
        let formed = Formed::new(&leaf);
        let edge = formed.line(d).ok_or(Stop::Skip)?;
        let to = formed.to(d).ok_or(Stop::Skip)?;
        let mut add = |course: Course, drawn: &Path, number: usize| -> Result<(), Stop> {
            // On its face, of what is drawn on the measured face as much as lies on it.
            let on = within(drawn, &edge);
            if on.is_empty() {
                return Err(errors::mark_beside(&spec.name, spec.path_span).into());
            }
            let mut long = 0.0;
            for part in &on {
                long += to.measures(part).ok_or(Stop::Skip)?.0;
            }
            lines.push(Line { part, course, long, number: number + k });
            Ok(())
        };
        let level = match (&spec.path, spec.spread.margin) {
            (Some(spots), _) => {
                once(&spec, "through spots of a plate")?;
                let path = straight(&spec, spots)?;
                add(Course::Plate(path.clone()), &path, 0)?;
                0.5 * tall
            }
            (None, Some(margin)) if spec.spread.level.is_none() && !spec.several() => {
                let path = inset::inset(&edge, margin).ok_or_else(|| {
                    let fits = inset::furthest(&edge, margin);
                    errors::mark_too_far_in(&spec.name, margin, fits, spec.margin_span)
                })?;
                if margin < CLEAR {
                    return Err(errors::mark_on_edge(&spec.name, margin, "the edge", CLEAR, spec.margin_span).into());
                }
                let long = to.measures(&path).ok_or(Stop::Skip)?.0;
                lines.push(Line { part, course: Course::Edge(margin), long, number: k });
                0.5 * tall
            }
            (None, _) => {
                let levels = spec.levels(tall)?;
                for (number, &level) in levels.iter().enumerate() {
                    if !(0.0..=tall).contains(&level) {
                        let span = spec.spread.level_span;
                        return Err(errors::off_the_wall(&spec.name, level, tall, span).into());
                    }
                    if level < CLEAR || level > tall - CLEAR {
                        let end = if level < CLEAR { "the bottom" } else { "the top" };
                        return Err(errors::mark_on_edge(&spec.name, level, end, CLEAR, spec.spread.level_span).into());
                    }
                    let y = lo.y + level;
                    // As far as the face reaches where its edge leans out.
                    let out = (-leaf.taper.inset(d)).max(0.0);
                    let across = Path { segs: vec![Seg::line(Vec2::new(lo.x - out, y), Vec2::new(hi.x + out, y))] };
                    add(Course::Plate(across.clone()), &across, number)?;
                }
                levels.first().copied().unwrap_or(0.0)
            }
        };
        out.get_or_insert((spec, level));
    }
    let (spec, level) = out.ok_or(Stop::Skip)?;
    Ok((spec, lines, level))
}

/// A line on a cap: along its edge, or through spots.
pub(super) fn on_cap(shaper: &mut Shaper<'_>, id: ThingId, host: ThingId) -> Result<(Spec, Vec<Line>, f64), Stop> {
    let cap = shaper.known.caps.get(&host).ok_or(Stop::Skip)?;
    let (part, at_top) = (cap.plate, cap.at_top);
    let Body::Plate(plate) = body(shaper, part) else { return Err(Stop::Skip) };
    let spec = shaper.read(id, None, spec::read)?;
    if spec.spread.level.is_some() {
        return Err(errors::level_on_cap(spec.spread.level_span).into());
    }
    let z = if spec.face == Face::Inside { plate.hidden } else { plate.show };
    let (course, long) = match (&spec.path, spec.spread.margin) {
        (Some(spots), _) => {
            once(&spec, "through spots of a cap")?;
            let path = opening_seen(&straight(&spec, spots)?, at_top, place::middle(&plate));
            let long = length(&within(&path, &outline(&plate, z)));
            if long <= 0.0 {
                return Err(errors::mark_beside(&spec.name, spec.path_span).into());
            }
            (Course::Plate(path), long)
        }
        (None, Some(margin)) => {
            once(&spec, "along the edge of a cap")?;
            if margin < CLEAR {
                return Err(errors::mark_on_edge(&spec.name, margin, "the edge", CLEAR, spec.margin_span).into());
            }
            (Course::Edge(margin), further_in(&plate, z, margin))
        }
        (None, None) => return Err(errors::mark_needs_margin(&spec.name, spec.head).into()),
    };
    Ok((spec, vec![Line { part, course, long, number: 0 }], z))
}

/// A chain as it is seen on the show face → the section plane.
fn opening_seen(path: &Path, at_top: bool, centre: Vec2) -> Path {
    let seen = opening::seen(path, at_top, None, centre);
    // An outline is turned to run the same way round; a line keeps its own start.
    if at_top { seen } else { seen.reversed() }
}

/// The outline of a plate's face in its section plane, by chords within a ten-thousandth.
fn outline(plate: &Plate, z: f64) -> Path {
    if plate.sided {
        return Path::polygon(&sided::corners_at(&plate.strip, z));
    }
    let walk = Walk::new(&plate.strip);
    let girth = walk.around(z, plate.depth);
    let n = 4096;
    let point = |i: u32| {
        let at = walk.at_length(girth * f64::from(i) / f64::from(n), z, plate.depth);
        walk.rule(at).point(z, plate.depth).truncate()
    };
    Path::polygon(&(0..n).map(point).collect::<Vec<_>>())
}

/// The length of a line along a plate's edge: a smooth outline is shorter by 2π for each millimetre further in (Steiner),
/// one with corners has them further in too.
fn further_in(plate: &Plate, z: f64, margin: f64) -> f64 {
    if !plate.sided {
        return Walk::new(&plate.strip).around(z, plate.depth) - TAU * margin;
    }
    let heights = plate.strip.heights();
    let sides = sided::sides(&plate.strip);
    let lines: Vec<(f64, f64)> = sides.iter().map(|s| (s.phi, s.at(z, heights) - margin)).collect();
    let corners = sided::corners(&lines);
    (0..corners.len()).map(|i| corners[i].distance(corners[(i + 1) % corners.len()])).sum()
}

/// Rings round a wall in panels: straight across each of a ring's panels.
pub(super) fn on_panels(shaper: &mut Shaper<'_>, id: ThingId, host: ThingId) -> Result<(Spec, Vec<Line>, f64), Stop> {
    let shell = shaper.known.panelled.get(&host).ok_or(Stop::Skip)?.clone();
    let tall = shell.tall;
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), spec::read)?;
    if spec.path.is_some() {
        return Err(errors::not_built_yet("a mark through spots of a wall in panels", spec.path_span).into());
    }
    let levels = spec.levels(tall)?;
    let mut lines = Vec::new();
    for (number, &z) in levels.iter().enumerate() {
        if !(0.0..=tall).contains(&z) {
            return Err(errors::off_the_wall(&spec.name, z, tall, spec.spread.level_span).into());
        }
        let stations = shell.strips.iter().skip(1).map(|s| (s.heights().0, "a station, where two pieces meet"));
        let mut edges = [(0.0, "the bottom"), (tall, "the top")].into_iter().chain(stations);
        if let Some((_, edge)) = edges.find(|(e, _)| (e - z).abs() < CLEAR) {
            return Err(errors::mark_on_edge(&spec.name, z, edge, CLEAR, spec.spread.level_span).into());
        }
        let strip = shell.strips.iter().position(|s| z <= s.heights().1 + 1e-9).ok_or(Stop::Skip)?;
        let facets = shell.folded.as_ref().map_or(&shell.facets, |of| &of.faces);
        for (i, facet) in facets.iter().enumerate().filter(|(_, f)| f.strip == strip) {
            let part = shell.folded.as_ref().map_or_else(|| shell.parts[i], |of| of.part);
            let made = body(shaper, part);
            let side = |depth: f64| match &made {
                Body::Plate(plate) => Some(sided::corners_at(&plate.strip, depth)),
                Body::Folded(wall) => Some(wall.corners(i, depth)),
                Body::Wall(_) | Body::Leaf(_) => None,
            };
            // The measured face's level line, as far as the panel can reach; `finish` ends it at the panel's edges.
            let frame = facet.frame();
            let way = left_of(unit(facet.phi)).extend(0.0);
            let start = facet.corners[0];
            let up = frame.x;
            let on = start + up * ((z - start.z) / up.z);
            let seen = |p: Vec3| frame.seen(p).truncate();
            let (middle, along) = (seen(on), frame.direction_seen(way).truncate());
            let corners = side(if spec.face == Face::Inside { shell.inner } else { shell.outer }).ok_or(Stop::Skip)?;
            let reach = corners.iter().map(|c| c.distance(middle)).fold(0.0, f64::max) + 1.0;
            let path = Path { segs: vec![Seg::line(middle - along * reach, middle + along * reach)] };
            let on = within(&path, &Path::polygon(&corners));
            let long = length(&on);
            if long <= 0.0 {
                continue;
            }
            if shell.folded.is_none() {
                lines.push(Line { part, course: Course::Plate(path), long, number });
                continue;
            }
            // Of a strip no farther than its own face goes: beyond it lies the next one.
            lines.extend(on.into_iter().map(|path| Line {
                part,
                long: path.length(),
                course: Course::Face(i, path),
                number,
            }));
        }
    }
    let first = levels.first().copied().unwrap_or(0.0);
    Ok((spec, lines, first))
}
