//! Glue tabs where a shell stands on the edge of another or on a cap. On an edge the standing shell's go down behind the wall
//! below it; where there is no room for them that wall's go up into the shell, or, over a cap that is level with the edge, the
//! shell's lie inward on it. On a cap they lie inward, out of sight; where that is too narrow or cut through, outward.

use super::errors::{self, Why};
use super::glue::{CLEAR, COVERS, LEAST, SMALL, least_slant, tenths};
use crate::design::Face;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::fitted::Ground;
use crate::geom::path::Path;
use crate::geom::rim::spans;
use crate::geom::walk::{Place, Walk};
use crate::geom::{Vec2, cross, ring, tol};
use crate::ids::{PartId, ThingId};
use crate::num::{self, TAU};
use crate::skin::on_rim;
use crate::solid::{Body, Contact, EdgeName, EdgeRef, Joint, Onto, Part, Plate, Rim, Ring, Solid, Turn, Wall};
use crate::span::Span;

/// Places on a leg of a rim at which it is looked at.
const LOOKS: u32 = 64;
/// So much less than the radius of a bend are tabs wide that are turned in round it, mm: else no free edge is left between
/// their cuts.
const MIDDLE: f64 = 2.5;

/// One way to put tabs on: the edge they are on, what they lie on, how wide they may be.
struct Way {
    at: EdgeRef,
    onto: Onto,
    glued: Face,
    room: f64,
}

/// Puts tabs on all rims that stand on something, as wide as is usual where there is room for it.
pub(super) fn tabs(solid: &mut Solid, usual: f64, faults: &mut Diagnostics) {
    let mut without: Vec<(ThingId, PartId, Vec<String>, Why)> = Vec::new();
    let mut turns: Vec<Turn> = Vec::new();
    let mut put = |solid: &Solid, on: PartId, letter: Option<&str>, ways: Result<Vec<Way>, Why>| {
        let part = &solid.parts[on.index()];
        let why = match ways.map(|all| best(all, usual)) {
            Ok(Some(way)) => {
                let Way { at, onto, glued, room } = way;
                let wide = tenths(usual.min(room));
                turns.push(Turn { at, origin: part.origin, wide, relief: true, onto, glued: Some(glued) });
                return;
            }
            Ok(None) => Why::NoRoom,
            Err(why) => why,
        };
        let letter = letter.map(str::to_owned);
        match without.iter_mut().find(|t| t.0 == part.thing && t.3 == why) {
            Some(t) => t.2.extend(letter),
            None => without.push((part.thing, on, letter.into_iter().collect(), why)),
        }
    };
    for joint in &solid.joints {
        if let Contact::Rim { .. } = joint.contact {
            put(solid, joint.b.part, Some(&joint.letter), on_edge(solid, joint));
        }
    }
    for spot in &solid.fitted.spots {
        let Some(cap) = solid.parts.get(spot.part.index()) else { continue };
        let (Ground::Plate { .. }, Body::Plate(plate)) = (&spot.on, &cap.body) else { continue };
        let stands = solid.parts.iter().find(|p| p.thing == spot.thing);
        let Some((part, Body::Wall(wall))) = stands.map(|p| (p, &p.body)) else { continue };
        // It is made with tabs of its own.
        if solid.turned_out(part.id).is_some() {
            continue;
        }
        put(solid, part.id, None, on_cap(solid, (part, wall), (cap, plate)));
    }
    solid.turns.extend(turns);
    for (_, part, letters, why) in &without {
        faults.push(errors::no_tabs(&solid.parts[part.index()], letters, *why));
    }
}

/// The solid with narrower tabs, or none, at the feet where its pieces cannot have them as wide as they are, and what to say of
/// it; `None` where none of the faults that were found is theirs.
#[must_use]
pub fn narrower(solid: &Solid, faults: &Diagnostics) -> Option<(Solid, Vec<Diagnostic>)> {
    let theirs = |code: Code| matches!(code, Code::TurnTooWide | Code::BrokenOutline);
    let first = faults.iter().filter(|d| theirs(d.code)).filter_map(|d| d.labels.first());
    let spans: Vec<Span> = first.map(|l| l.span).collect();
    let mut told: Vec<Diagnostic> = Vec::new();
    let mut out = solid.clone();
    for turn in &mut out.turns {
        let Some(part) = solid.parts.get(turn.at.part.index()) else { continue };
        // Those of the prop itself are as wide as it says.
        let foot = turn.origin == part.origin && matches!(turn.onto, Onto::Beyond { .. } | Onto::Ground { .. });
        if !foot || !(spans.contains(&turn.origin) || spans.contains(&part.origin)) {
            continue;
        }
        turn.wide = [SMALL, LEAST].into_iter().find(|w| *w < turn.wide - 1e-9).unwrap_or(0.0);
        if turn.wide == 0.0 {
            let here = |j: &&Joint| matches!(j.contact, Contact::Rim { .. }) && (j.a == turn.at || j.b == turn.at);
            let letters: Vec<String> = solid.joints.iter().find(here).map(|j| j.letter.clone()).into_iter().collect();
            told.push(errors::no_tabs(part, &letters, Why::NoFold));
        }
    }
    out.turns.retain(|t| t.wide > 0.0 || matches!(t.onto, Onto::Not(_)));
    (out.turns != solid.turns).then_some((out, told))
}

/// The first way that has room for a tab of the usual width, else the one with the most.
fn best(ways: Vec<Way>, usual: f64) -> Option<Way> {
    let mut found: Option<Way> = None;
    for way in ways.into_iter().filter(|w| w.room >= LEAST - 1e-9) {
        if found.as_ref().is_none_or(|f| f.room < usual && way.room > f.room) {
            found = Some(way);
        }
    }
    found
}

/// A wall's ring whose rim is level or square: what tabs can be folded over.
fn plain(solid: &Solid, at: EdgeRef) -> Option<(&Part, &Wall, &Ring)> {
    let part = solid.parts.get(at.part.index())?;
    let Body::Wall(wall) = &part.body else { return None };
    let ring = wall.rings.get(at.ring)?;
    let upper = at.edge == EdgeName::Upper;
    let rim = if upper { ring.upper } else { ring.lower };
    let straight = matches!(rim, Rim::Level | Rim::Square) && wall.scalloped(at.ring, upper).is_none();
    straight.then_some((part, wall, ring))
}

/// Ways where a shell stands on another's edge, the best first.
fn on_edge(solid: &Solid, joint: &Joint) -> Result<Vec<Way>, Why> {
    let (below, above) = (joint.a, joint.b);
    let Contact::Rim { part, depth, other, .. } = joint.contact else { return Ok(Vec::new()) };
    let depth = |at: EdgeRef| if at.part == part { depth } else { other };
    let (Some(lower), Some(upper)) = (plain(solid, below), plain(solid, above)) else { return Err(Why::Sloped) };
    let behind = |at: EdgeRef, on: EdgeRef, from: &Part, to: &Part| {
        let (layer, beyond) = (from.layers.first()?, to.layers.first()?);
        let far = beyond.inner - (layer.middle() - layer.inner);
        let onto = Onto::Beyond { edge: on, own: depth(at), there: depth(on), far };
        let room = behind_rim(solid, on)?.min(slit_apart(solid, at, on)?);
        Some(Way { at, onto, glued: Face::Outside, room })
    };
    let mut ways: Vec<Way> = Vec::new();
    ways.extend(behind(above, below, upper.0, lower.0));
    ways.extend(behind(below, above, lower.0, upper.0));
    let (host, wall, ring) = lower;
    let z = station(wall, ring, below.edge == EdgeName::Upper);
    let level = solid.parts.iter().find_map(|p| match &p.body {
        Body::Plate(plate) if p.place == host.place && !plate.sided && (plate.show - z).abs() < tol::SAME => {
            Some((p, plate))
        }
        _ => None,
    });
    if let Some(cap) = level {
        let inward = |w: &Way| matches!(w.onto, Onto::Ground { outward: false, .. });
        ways.extend(on_cap(solid, (upper.0, upper.1), cap)?.into_iter().filter(inward));
    }
    Ok(ways)
}

/// How wide tabs over one rim may be behind the wall of another, so that none is narrower along the fold than [`LEAST`]: where
/// that wall is longer there than the sheet they are slit as often as they lack a millimetre.
fn slit_apart(solid: &Solid, at: EdgeRef, on: EdgeRef) -> Option<f64> {
    let grows = |edge: EdgeRef| {
        let (_, wall, ring) = plain(solid, edge)?;
        let strip = &wall.strips[if edge.edge == EdgeName::Upper { ring.strips.end - 1 } else { ring.strips.start }];
        let walk = Walk::new(strip);
        let (low, high) = strip.heights();
        let (from, to) = if edge.edge == EdgeName::Upper { (high, low) } else { (low, high) };
        let (girth, other) = (walk.around(from, 0.0), walk.around(to, 0.0));
        Some((girth, (other - girth) / num::hypot(high - low, (other - girth) / TAU)))
    };
    let ((girth, own), (_, there)) = (grows(at)?, grows(on)?);
    // Beyond its rim the sheet goes on as it does within, the other way.
    let lacks = own + there;
    Some(if lacks > 0.0 { 0.9 * girth / (LEAST * lacks) } else { f64::INFINITY })
}

fn station(wall: &Wall, ring: &Ring, upper: bool) -> f64 {
    if upper { wall.strips[ring.strips.end - 1].heights().1 } else { wall.strips[ring.strips.start].heights().0 }
}

/// How far from a wall's rim tabs can reach behind it: a share of its ring, clear of holes, and of plates and of the tabs that
/// may come to meet them.
fn behind_rim(solid: &Solid, at: EdgeRef) -> Option<f64> {
    let (part, wall, ring) = plain(solid, at)?;
    let upper = at.edge == EdgeName::Upper;
    let z = station(wall, ring, upper);
    let long: f64 = wall.strips[ring.strips.clone()].iter().map(least_slant).sum();
    // The ring before has its own tabs behind this one's other end.
    let shared = if upper { at.ring > 0 } else { at.ring + 1 < wall.rings.len() };
    let mut room = COVERS * if shared { 0.5 * long } else { long };
    let apart = |there: f64| if upper { z - there } else { there - z };
    for other in solid.parts.iter().filter(|p| p.id != part.id && p.place == part.place) {
        let Body::Plate(plate) = &other.body else { continue };
        let nearest = apart(plate.show).min(apart(plate.hidden));
        let outside = part.layers.last().is_some_and(|l| plate.depth > l.middle());
        if nearest > -tol::SAME && nearest < long && !outside {
            let facing = (plate.hidden > plate.show) == upper;
            room = room.min(COVERS * if facing { 0.5 * nearest } else { nearest });
        }
    }
    for hole in wall.holes.iter().filter(|h| ring.strips.contains(&h.strip)) {
        let reach = hole.outline.flattened(0.05).iter().map(|p| p.length()).fold(0.0, f64::max);
        room = room.min(apart(hole.z) - reach - CLEAR);
    }
    Some(room)
}

/// Ways where a shell stands on a cap, the best first.
fn on_cap(solid: &Solid, (part, wall): (&Part, &Wall), (cap, plate): (&Part, &Plate)) -> Result<Vec<Way>, Why> {
    let at = EdgeRef { part: part.id, ring: 0, edge: EdgeName::Lower };
    let Some((_, _, ring)) = plain(solid, at).filter(|p| p.2.lower == Rim::Level) else { return Err(Why::Sloped) };
    let Some(layer) = part.layers.first() else { return Ok(Vec::new()) };
    let foot = on_rim(wall, ring, false, layer.middle(), |rim| {
        let at = |p: Place| cap.place.seen(part.place.apply(rim.in_space(p, layer.middle()))).truncate();
        round(rim.flat().walk()).map(at).collect::<Vec<Vec2>>()
    });
    let bend = tightest(&foot);
    let foot = Path::polygon(&foot);
    let deep = depth_of(&foot);
    let mut inside = (COVERS * deep).min(bend - MIDDLE);
    let mut outside = f64::INFINITY;
    let mut clear = |there: &Path| {
        let off = apart(&foot, there) - CLEAR;
        match there.start() {
            // It lies across the foot.
            Some(_) if off < 0.0 => (inside, outside) = (inside.min(off), outside.min(off)),
            Some(p) if ring::contains(&foot, p) => inside = inside.min(off),
            Some(_) => outside = outside.min(off),
            None => {}
        }
    };
    plate.holes.iter().for_each(|h| clear(&h.outline));
    let above = if plate.show >= plate.hidden { 1.0 } else { -1.0 };
    for spot in
        solid.fitted.spots.iter().filter(|s| s.part == cap.id && s.thing != part.thing && s.face == Face::Outside)
    {
        let Ground::Plate { centre } = spot.on else { continue };
        let place = |p: Vec2| centre + Vec2::new(p.y, -above * p.x);
        clear(&Path::polygon(&spot.outline.flattened(0.05).into_iter().map(place).collect::<Vec<_>>()));
    }
    let edge = edge_of(plate);
    let stands_within = foot.segs.iter().all(|s| ring::contains(&edge, s.a));
    outside = outside.min(if stands_within { apart(&foot, &edge) - CLEAR } else { 0.0 });
    let way = |outward: bool, room: f64| {
        let glued = if outward { Face::Inside } else { Face::Outside };
        Way { at, onto: Onto::Ground { outward, on: Some(cap.id) }, glued, room }
    };
    Ok(vec![way(false, inside), way(true, outside)])
}

/// The outline of a plate's show face, in its section's plane.
fn edge_of(plate: &Plate) -> Path {
    let walk = Walk::new(&plate.strip);
    let places = round(&walk);
    Path::polygon(&places.map(|p| walk.rule(p).point(plate.show, plate.depth).truncate()).collect::<Vec<_>>())
}

/// Places once round a wall.
fn round(walk: &Walk) -> impl Iterator<Item = Place> {
    let (from, to) = walk.ends();
    spans(from, to).flat_map(|(leg, t0, t1)| {
        (0..LOOKS).map(move |i| Place { leg, t: t0 + (t1 - t0) * f64::from(i) / f64::from(LOOKS) })
    })
}

/// The least radius of the circles through three neighbours of a closed chain of points.
fn tightest(points: &[Vec2]) -> f64 {
    let n = points.len();
    let radius = |i: usize| {
        let [a, b, c] = [points[i], points[(i + 1) % n], points[(i + 2) % n]];
        let (ab, bc, ca) = (b - a, c - b, a - c);
        let across = ab.perp_dot(bc).abs();
        let long = ab.length() * bc.length() * ca.length();
        if across > 1e-12 && long > 0.0 { long / (2.0 * across) } else { f64::INFINITY }
    };
    (0..n).map(radius).fold(f64::INFINITY, f64::min)
}

/// How far two closed chains of chords keep from each other; nothing where they cross.
fn apart(a: &Path, b: &Path) -> f64 {
    let corners = |path: &Path| path.flattened(0.05);
    let off = |p: &Vec2, of: &Path| cross::nearest(of, *p).map_or(f64::INFINITY, |(_, _, at)| at.distance(*p));
    let one = corners(a).iter().map(|p| off(p, b)).fold(f64::INFINITY, f64::min);
    let crossing = a.segs.iter().any(|s| b.segs.iter().any(|t| !cross::crossings(s, t).is_empty()));
    if crossing { 0.0 } else { corners(b).iter().map(|p| off(p, a)).fold(one, f64::min) }
}

/// How far the middle of a closed chain lies within it.
fn depth_of(chain: &Path) -> f64 {
    let Some((lo, hi)) = chain.bounds() else { return 0.0 };
    let middle = (lo + hi) * 0.5;
    if !ring::contains(chain, middle) {
        return 0.0;
    }
    cross::nearest(chain, middle).map_or(0.0, |(_, _, at)| at.distance(middle))
}
