//! Places of what is fitted: outlines laid on the flat of the layer whose face they touch, as holes are, and held
//! against the rims of their piece, its holes and each other.

use std::collections::{BTreeMap, BTreeSet};

use crate::design::Face;
use crate::diag::Diagnostics;
use crate::fitted::{Ground, Spot};
use crate::flat::{Panel, Place, Ruling};
use crate::geom::Vec2;
use crate::geom::path::{Motion, Path};
use crate::geom::unroll::Unrolled;
use crate::ids::ThingId;
use crate::num::{self, FRAC_PI_2};
use crate::skin::leaf::To;
use crate::solid::{Body, Claim, EdgeName, Part, Ring, Seam, Size, Solid, Wall};

use super::errors::{self, HoleRef};
use super::holes::{self, FOLLOW, Shape, meeting, narrowest, sides, within};

/// The spots that a layer of a part shows, with their indices and the strip they lie on.
fn shown<'a>(solid: &'a Solid, part: &'a Part, layer: usize) -> impl Iterator<Item = (usize, &'a Spot, usize)> {
    let touched = move |face: Face| match face {
        Face::Inside => layer == 0,
        Face::Middle | Face::Outside => layer + 1 == part.layers.len(),
    };
    let spots = solid.fitted.spots.iter().enumerate().filter(move |(_, s)| touched(s.face));
    spots.filter_map(move |(i, s)| s.strip_on(part.id).map(|strip| (i, s, strip)))
}

fn place(index: usize, spot: &Spot, at: Vec2, outlines: Vec<Path>) -> Place {
    let hollow = spot.hollow.as_ref().map(|h| h.moved(&Motion { shift: at, ..Motion::STAY }));
    Place { spot: index, name: spot.name.clone(), hidden: spot.face == Face::Inside, at, outlines, hollow }
}

/// One that lies as it was drawn but for a motion.
fn moved(index: usize, spot: &Spot, motion: &Motion) -> Place {
    let hollow = spot.hollow.as_ref().map(|h| h.moved(motion));
    Place { hollow, ..place(index, spot, motion.shift, vec![spot.outline.moved(motion)]) }
}

/// The places on one layer of one ring of a wall.
pub(super) fn on_wall(
    solid: &Solid,
    part: &Part,
    wall: &Wall,
    ring: &Ring,
    layer: usize,
    flats: &[Unrolled],
    rulings: &[Ruling],
) -> Vec<Place> {
    let mut out = Vec::new();
    for (i, spot, strip) in shown(solid, part, layer) {
        let (Ground::Wall { z, .. }, Some(rule)) = (&spot.on, spot.rule_on(part.id)) else { continue };
        if !ring.strips.contains(&strip) {
            continue;
        }
        let Some(motion) = holes::set(&flats[strip - ring.strips.start], &rule, *z) else { continue };
        let outline = spot.outline.moved(&motion);
        let mut outlines = Vec::new();
        if !matches!(wall.seam, Seam::Open(_)) {
            let own: Vec<&Ruling> = rulings.iter().filter(|r| r.strip == strip).collect();
            outlines.extend(across(&outline, motion.shift, &own));
        }
        outlines.insert(0, outline);
        out.push(place(i, spot, motion.shift, outlines));
    }
    out
}

/// An outline that passes the closed seam, as it is seen from the other side of it.
fn across(outline: &Path, at: Vec2, rulings: &[&Ruling]) -> Option<Path> {
    let (begin, end) = (rulings.first()?, rulings.last()?);
    let points = outline.flattened(FOLLOW);
    let reach = points.iter().map(|p| p.distance(at)).fold(0.0, f64::max);
    // Growing φ leads away from the first side: the wall lies to its right.
    for (from, to, right) in [(begin, end, 1.0), (end, begin, -1.0)] {
        let up = from.head - from.foot;
        let share = ((at - from.foot).dot(up) / up.length_squared()).clamp(0.0, 1.0);
        let near = at.distance(from.foot + up * share) <= reach;
        let outside = |p: &Vec2| right * up.perp_dot(*p - from.foot) > 1e-6 * up.length();
        if near && points.iter().any(outside) {
            let there = to.head - to.foot;
            let turn = num::atan2(up.perp_dot(there), up.dot(there));
            let turned = Motion { mirror: false, turn, shift: Vec2::ZERO };
            let shift = to.foot - turned.apply_direction(from.foot);
            return Some(outline.moved(&Motion { shift, ..turned }));
        }
    }
    None
}

/// The places on one layer of a plate; `onto` takes its section plane to the flat.
pub(super) fn on_plate(solid: &Solid, part: &Part, layer: usize, onto: &Motion) -> Vec<Place> {
    let spots = shown(solid, part, layer).filter_map(|(i, spot, _)| {
        let Ground::Plate { centre } = spot.on else { return None };
        Some(moved(i, spot, &Motion { shift: onto.apply(centre), ..Motion::STAY }))
    });
    spots.collect()
}

/// The places on one layer of a wall that is folded from one strip; `onto` takes the planes of its faces to the flat.
pub(super) fn on_faces(solid: &Solid, part: &Part, layer: usize, onto: impl Fn(usize) -> Option<Motion>) -> Vec<Place> {
    let spots = shown(solid, part, layer).filter_map(|(i, spot, _)| {
        let Ground::Face { face, centre } = spot.on else { return None };
        let onto = onto(face)?;
        // A face's plane has its up along x.
        let motion = Motion { mirror: false, turn: onto.turn - FRAC_PI_2, shift: onto.apply(centre) };
        Some(moved(i, spot, &motion))
    });
    spots.collect()
}

/// The places on one layer of a leaf; `to` carries points of its measured face's flat to the layer's. An outline keeps its
/// form, and turns as the leaf's up does there. `None` off what the leaf is bent to.
pub(super) fn on_leaf(solid: &Solid, part: &Part, layer: usize, to: &To<'_>) -> Option<Vec<Place>> {
    let spots = shown(solid, part, layer).filter_map(|(i, spot, _)| match spot.on {
        Ground::Leaf { at } => Some((i, spot, at)),
        Ground::Wall { .. } | Ground::Plate { .. } | Ground::Face { .. } => None,
    });
    let one = |(i, spot, at): (usize, &Spot, Vec2)| {
        let up = to.up(at)?;
        let turn = num::atan2(-up.x, up.y);
        Some(moved(i, spot, &Motion { mirror: false, turn, shift: to.point(at)? }))
    };
    spots.map(one).collect()
}

/// What has no room on its piece is a fault; what overlaps is told with both places.
pub(super) fn check(solid: &Solid, part: &Part, panels: &[&Panel], diagnostics: &mut Diagnostics) {
    let mut past: Vec<(usize, EdgeName, f64)> = Vec::new();
    let mut meet: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut pierced: BTreeSet<(usize, usize)> = BTreeSet::new();
    let closed = matches!(&part.body, Body::Wall(w) if !matches!(w.seam, Seam::Open(_)));
    for panel in panels {
        let own = |p: &&Place| solid.fitted.spots[p.spot].part == part.id;
        let places: Vec<&Place> = panel.places.iter().filter(own).collect();
        if places.is_empty() {
            continue;
        }
        let outline = narrowest(panel);
        let plain: Vec<(Vec2, Vec2)> = outline.iter().map(|&(a, b, _)| (a, b)).collect();
        // Each outline with whose it is: a place, or beyond them a hole.
        let mut shapes: Vec<Shape> = Vec::new();
        let mut whose: Vec<usize> = Vec::new();
        for (k, place) in places.iter().enumerate() {
            for path in &place.outlines {
                let shape = Shape::of(path);
                for &p in &shape.points {
                    if within(p, &plain) {
                        continue;
                    }
                    let Some((by, edge)) = nearest(p, &outline) else { continue };
                    // What passes a closed seam goes on beyond it.
                    let goes_on = closed && matches!(edge, EdgeName::Begin | EdgeName::End);
                    if goes_on || by <= 2.0 * FOLLOW {
                        continue;
                    }
                    match past.iter_mut().find(|o| o.0 == place.spot) {
                        Some(worst) if worst.2 < by => *worst = (place.spot, edge, by),
                        Some(_) => {}
                        None => past.push((place.spot, edge, by)),
                    }
                }
                shapes.push(shape);
                whose.push(k);
            }
        }
        let first_hole = places.len();
        for hole in &panel.holes {
            shapes.push(Shape::of(&hole.outline));
            whose.push(first_hole + whose.len());
        }
        let holes_from = shapes.len() - panel.holes.len();
        let face = |i: usize| places.get(whose[i]).map(|p| p.hidden);
        let hollows: Vec<Option<Vec<(Vec2, Vec2)>>> =
            places.iter().map(|p| p.hollow.as_ref().map(|h| sides(&h.flattened(FOLLOW)))).collect();
        // What lies whole in what another leaves free does not meet it.
        let clear = |i: usize, j: usize| {
            let bore = hollows.get(whose[j]).and_then(Option::as_ref);
            bore.is_some_and(|bore| shapes[i].points.iter().all(|p| within(*p, bore)))
        };
        let held = |i: usize, j: usize| {
            let apart = whose[i] != whose[j] && !clear(i, j) && !clear(j, i);
            match (face(i), face(j)) {
                (None, None) => false,
                (Some(a), Some(b)) => apart && a == b,
                _ => apart,
            }
        };
        for (i, j) in meeting(&shapes, held) {
            let (i, j) = (i.max(j), i.min(j));
            match (face(i), face(j)) {
                (Some(_), Some(_)) => {
                    let (a, b) = (places[whose[i]].spot, places[whose[j]].spot);
                    meet.insert((a.max(b), a.min(b)));
                }
                _ => {
                    pierced.insert((places[whose[j]].spot, panel.holes[i - holes_from].hole));
                }
            }
        }
    }
    let spots = &solid.fitted.spots;
    for (spot, edge, by) in past {
        let edge = match edge {
            EdgeName::Lower => "lower rim",
            EdgeName::Upper => "upper rim",
            EdgeName::Begin | EdgeName::End if matches!(part.body, Body::Folded(_)) => "seam",
            EdgeName::Side(_) if matches!(part.body, Body::Folded(_)) => "fold",
            EdgeName::Begin | EdgeName::End => "gap of the seam",
            EdgeName::Outline | EdgeName::Side(_) | EdgeName::Foot(_) | EdgeName::Head(_) | EdgeName::Cut => "edge",
        };
        let own = |c: &&Claim| solid.parts.get(c.part.index()).is_some_and(|p| p.thing == spots[spot].thing);
        let tabs = solid.claims.iter().filter(own).find_map(|c| match c.size {
            Size::Tabs { wide } => Some(wide),
            _ => None,
        });
        diagnostics.push(errors::place_crosses_edge(part, &spots[spot], tabs, edge, by));
    }
    // Of several under one name the first is told, with how many more there are.
    let mut told: BTreeMap<(ThingId, ThingId), (usize, usize, usize)> = BTreeMap::new();
    for (a, b) in meet {
        told.entry((spots[a].thing, spots[b].thing)).or_insert((a, b, 0)).2 += 1;
    }
    for (a, b, pairs) in told.into_values() {
        diagnostics.push(errors::places_overlap(part, &spots[b], &spots[a], pairs - 1));
    }
    for (spot, hole) in pierced {
        let hole: Option<HoleRef> = match &part.body {
            Body::Wall(w) => w.holes.get(hole).map(HoleRef::from),
            Body::Plate(p) => p.holes.get(hole).map(HoleRef::from),
            Body::Leaf(p) => p.holes.get(hole).map(HoleRef::from),
            Body::Folded(p) => p.holes.get(hole).map(|h| HoleRef::from(&h.1)),
        };
        if let Some(hole) = hole {
            diagnostics.push(errors::place_over_hole(part, &spots[spot], hole));
        }
    }
}

fn nearest(p: Vec2, outline: &[(Vec2, Vec2, EdgeName)]) -> Option<(f64, EdgeName)> {
    let away = |&(a, b, name): &(Vec2, Vec2, EdgeName)| {
        let run = b - a;
        let share = ((p - a).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        ((p - a - run * share).length(), name)
    };
    outline.iter().map(away).min_by(|a, b| a.0.total_cmp(&b.0))
}
