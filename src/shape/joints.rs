//! Joints: which edges meet along which curve, their letters, and where they carry notches.

use super::notches::{Edge, Patterns, ROOM};
use super::{Shaper, measure};
use crate::geom::parallel::radius;
use crate::geom::tol;
use crate::geom::walk::{Leg, Place, Walk};
use crate::ids::{JointId, PartId, letters};
use crate::skin::{leaves, on_rim};
use crate::solid::{Body, Contact, EdgeName, EdgeRef, Joint, Layer, Seam, Solid, Wall};

/// A joint before it has its letter and notches.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Draft {
    pub a: EdgeRef,
    pub b: EdgeRef,
    pub contact: Contact,
    pub what: String,
}

/// The seams of a wall: its sides, ring by ring, and the station seams between its rings.
pub(super) fn of_wall(shaper: &mut Shaper<'_>, part: PartId, wall: &Wall) {
    let edge = |ring: usize, edge: EdgeName| EdgeRef { part, ring, edge };
    if !matches!(wall.seam, Seam::Open(_)) {
        for ring in 0..wall.rings.len() {
            shaper.joints.push(Draft {
                a: edge(ring, EdgeName::Begin),
                b: edge(ring, EdgeName::End),
                contact: Contact::Along { part, ring, depth: 0.0 },
                what: "seam".to_owned(),
            });
        }
    }
    for (i, pair) in wall.rings.windows(2).enumerate() {
        let strip = pair[0].strips.end - 1;
        let z = wall.strips[strip].heights().1;
        // A mitre meets at the station's own height on the measured face only.
        shaper.joints.push(Draft {
            a: edge(i, EdgeName::Upper),
            b: edge(i + 1, EdgeName::Lower),
            contact: Contact::Round { part, strip, z, depth: 0.0 },
            what: "station seam".to_owned(),
        });
    }
}

/// The drafts with letters in order and notches that tell them apart.
pub(super) fn numbered(solid: &Solid, drafts: &[Draft]) -> Vec<Joint> {
    let mut patterns = Patterns::default();
    drafts
        .iter()
        .enumerate()
        .map(|(i, d)| Joint {
            id: JointId::new(i),
            letter: letters(i),
            a: d.a,
            b: d.b,
            contact: d.contact.clone(),
            notches: edge(solid, &d.contact).map_or_else(Vec::new, |e| patterns.next(e, &clear(solid, d, e.long))),
            what: d.what.clone(),
        })
        .collect()
}

/// The length of a contact curve, and whether it runs all round.
fn edge(solid: &Solid, contact: &Contact) -> Option<Edge> {
    match *contact {
        Contact::Round { part, strip, z, depth } => {
            let part = &solid.parts[part.index()];
            let (strip, gap) = match &part.body {
                Body::Wall(wall) => {
                    let strip = wall.strips.get(strip)?;
                    let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
                    (strip, measure::gap_at(wall, neutral, strip, z, depth))
                }
                Body::Plate(plate) => (&plate.strip, 0.0),
                Body::Leaf(_) | Body::Folded(_) => return None,
            };
            Some(Edge { long: measure::girth(strip, z, depth) - gap, closed: gap == 0.0 })
        }
        Contact::Rim { part, ring, upper, depth, .. } => {
            let Body::Wall(wall) = &solid.parts[part.index()].body else { return None };
            let long = on_rim(wall, wall.rings.get(ring)?, upper, depth, |rim| {
                let (from, to) = rim.flat().walk().ends();
                rim.length(from, to, depth)
            });
            Some(Edge { long, closed: true })
        }
        Contact::Line { from, to, .. } => Some(Edge { long: from.distance(to), closed: false }),
        Contact::Along { part, ring, .. } => {
            let Body::Wall(wall) = &solid.parts[part.index()].body else { return None };
            let wall = wall.cut();
            let ring = wall.rings.get(ring)?;
            let long = ring.strips.clone().filter_map(|i| measure::seam_over(wall, ring, i)).sum();
            Some(Edge { long, closed: false })
        }
    }
}

/// A rim must go on by at least this share of what its contact goes on by, where it carries a tick.
const GOES_ON: f64 = 0.2;
/// Into how many stretches a bend is divided to see where its rim goes on.
const STRETCHES: f64 = 8.0;

/// The stretches of a contact, by arc length, at which both edges can carry a tick. Where it runs across a wall away
/// from the wall's rim, all generatrices of a flat triangle or a cone may meet in one corner of that rim: a tick
/// there would stand for every place of the contact between them.
fn clear(solid: &Solid, draft: &Draft, long: f64) -> Vec<(f64, f64)> {
    let (part, strip, z, depth) = match draft.contact {
        Contact::Round { part, strip, z, depth } => (part, strip, z, depth),
        Contact::Rim { .. } => return beside_seam(solid, draft, long).unwrap_or_else(|| vec![(0.0, long)]),
        Contact::Line { .. } => return vec![(0.0, long)],
        Contact::Along { part, ring, .. } => {
            // Where a rim is scalloped its sides end at the notches.
            let Body::Wall(wall) = &solid.parts[part.index()].body else { return vec![(0.0, long)] };
            let off = |upper: bool| wall.scalloped(ring, upper).map_or(0.0, |s| s.rise);
            return vec![(off(false), long - off(true))];
        }
    };
    let part = &solid.parts[part.index()];
    let Body::Wall(wall) = &part.body else { return vec![(0.0, long)] };
    let Some(surface) = wall.strips.get(strip) else { return vec![(0.0, long)] };
    let (z0, z1) = surface.heights();
    // The rim of a ring beside this one is its own station, where the contact lies.
    let here =
        |e: &&EdgeRef| e.part == part.id && wall.cut().rings.get(e.ring).is_none_or(|r| r.strips.contains(&strip));
    let rims: Vec<f64> = [draft.a, draft.b]
        .iter()
        .filter(here)
        .filter_map(|e| match e.edge {
            EdgeName::Lower => Some(z0),
            EdgeName::Upper => Some(z1),
            _ => None,
        })
        .filter(|rim| (rim - z).abs() > tol::SAME)
        .collect();
    if rims.is_empty() {
        return vec![(0.0, long)];
    }
    let walk = Walk::new(surface);
    let depths: Vec<f64> = part.layers.iter().map(Layer::middle).collect();
    // Along an open wall lengths are counted from the side at which it begins.
    let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
    let start = match wall.seam {
        Seam::Open(_) => walk.length(leaves(&walk, wall.seam, z, neutral).0, z, depth),
        Seam::Butt | Seam::Lap(_) | Seam::Tabs(_) | Seam::Backed(_) => 0.0,
    };
    let mut stretches: Vec<(f64, f64)> = Vec::new();
    let mut add = |from: Place, to: Place, share: f64| {
        let along = |at: Place| (walk.length(at, z, depth) - start).max(0.0).min(long);
        let (from, to) = (along(from), along(to));
        if share < GOES_ON || to <= from {
            return;
        }
        match stretches.last_mut() {
            Some(last) if (from - last.1).abs() < tol::SAME => last.1 = to,
            _ => stretches.push((from, to)),
        }
    };
    for (leg, one) in walk.legs().iter().enumerate() {
        let at = |t: f64| Place { leg, t };
        let least = |of: &dyn Fn(f64, f64) -> f64| {
            let on = rims.iter().flat_map(|&rim| depths.iter().map(move |&d| (rim, d)));
            on.map(|(rim, d)| of(rim, d)).fold(f64::INFINITY, f64::min)
        };
        match one {
            Leg::Side { first, last } => {
                let run = |z: f64, d: f64| last.support_at(z, d).1 - first.support_at(z, d).1;
                add(at(0.0), at(1.0), least(&run) / run(z, depth));
            }
            Leg::Turn { .. } => {
                let mut i = 0.0;
                while i < STRETCHES {
                    let (from, to) = (at(i / STRETCHES), at((i + 1.0) / STRETCHES));
                    let share = |at: Place| least(&|z, d| radius(&walk, at, z, d)) / radius(&walk, at, z, depth);
                    add(from, to, share(from).min(share(to)));
                    i += 1.0;
                }
            }
        }
    }
    stretches
}

/// The stretches of a contact of two rings that are clear of the seam of the other one, which may stand elsewhere.
fn beside_seam(solid: &Solid, draft: &Draft, long: f64) -> Option<Vec<(f64, f64)>> {
    let Contact::Rim { part, ring, upper, depth, other: there } = draft.contact else { return None };
    let other = if draft.a.part == part { draft.b } else { draft.a };
    let (own, theirs) = (&solid.parts[part.index()], &solid.parts[other.part.index()]);
    let (Body::Wall(wall), Body::Wall(beside)) = (&own.body, &theirs.body) else { return None };
    let seam = on_rim(beside, beside.rings.get(other.ring)?, other.edge == EdgeName::Upper, there, |rim| {
        rim.in_space(rim.flat().walk().ends().0, there)
    });
    let seam = own.place.seen(theirs.place.apply(seam));
    let at = on_rim(wall, wall.rings.get(ring)?, upper, depth, |rim| {
        rim.length(rim.flat().walk().ends().0, rim.nearest(seam, depth).0, depth)
    });
    let near = |x: f64| x < ROOM || x > long - ROOM;
    Some(if near(at) { vec![(0.0, long)] } else { vec![(0.0, at - ROOM), (at + ROOM, long)] })
}
