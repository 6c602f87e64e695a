//! Notches: an arc length along a joint's contact curve names a rule of the contact's wall; every partner carries its
//! tick where the same rule crosses its own edge.

use crate::flat::{Edge, Notch};
use crate::geom::rim::Rim;
use crate::geom::walk::{Leg, Place, Walk};
use crate::geom::{Vec2, Vec3, left_of};
use crate::ids::PartId;
use crate::skin::on_rim;
use crate::solid::{Body, Contact, EdgeName, Joint, Layer, Part, Seam, Solid};

use super::{joints_of, wall};

/// The rims of a panel and where they run.
pub(super) struct Rims<'a> {
    pub lower: &'a Rim<'a>,
    pub low: (Place, Place),
    pub upper: &'a Rim<'a>,
    pub up: (Place, Place),
}

/// Names the joints on an edge of a wall's panel and sets their notches.
pub(super) fn place(solid: &Solid, part: &Part, ring: usize, sheet: &Layer, rims: &Rims, edge: &mut Edge) {
    for joint in joints_of(solid, part.id, ring, edge.name) {
        edge.joints.push(joint.id);
        for (number, &long) in joint.notches.iter().enumerate() {
            if let Some((at, inward)) = notch(solid, part, sheet, rims, (edge.name, joint), long) {
                edge.notches.push(Notch { joint: joint.id, number, at, inward });
            }
        }
    }
}

/// Where the tick of a joint's notch at the length `long` stands on an edge, and its direction into the panel.
fn notch(
    solid: &Solid,
    part: &Part,
    sheet: &Layer,
    rims: &Rims,
    (edge, joint): (EdgeName, &Joint),
    long: f64,
) -> Option<(Vec2, Vec2)> {
    let middle = sheet.middle();
    match (&joint.contact, edge) {
        (Contact::Round { .. }, EdgeName::Lower | EdgeName::Upper) => {
            let lower = edge == EdgeName::Lower;
            let rim = if lower { rims.lower } else { rims.upper };
            let (walk, at, level) = on_contact(solid, &joint.contact, long)?;
            let at = same_rule(&walk, at, rim.flat().walk(), level)?;
            let (p, along) = rim.point(at, middle);
            let inward = left_of(along.normalize_or_zero());
            Some((p, if lower { inward } else { -inward }))
        }
        (Contact::Rim { .. }, EdgeName::Lower | EdgeName::Upper) => {
            let lower = edge == EdgeName::Lower;
            let rim = if lower { rims.lower } else { rims.upper };
            let there = along_rim(solid, &joint.contact, long)?;
            let at = rim.nearest(part.place.seen(there), depth_on(&joint.contact, part.id)).0;
            let (p, along) = rim.point(at, middle);
            // Where the bevel changes fast the cut runs otherwise than the edge at half depth: half-way between both.
            let widest = if (rim.lean(at) > 0.0) == lower { sheet.inner } else { sheet.outer };
            let along = along.normalize_or_zero() + rim.point(at, widest).1.normalize_or_zero();
            let inward = left_of(along.normalize_or_zero());
            Some((p, if lower { inward } else { -inward }))
        }
        (&Contact::Along { depth, .. }, EdgeName::Begin | EdgeName::End) => {
            let begin = edge == EdgeName::Begin;
            let (low, up) = if begin { (rims.low.0, rims.up.0) } else { (rims.low.1, rims.up.1) };
            let start = rims.lower.point(low, depth).0;
            let way = (rims.upper.point(up, depth).0 - start).normalize_or_zero();
            let inward = left_of(way);
            Some((start + way * long, if begin { -inward } else { inward }))
        }
        _ => None,
    }
}

/// The depth at which a contact lies on a part of its joint.
fn depth_on(contact: &Contact, on: PartId) -> f64 {
    match *contact {
        Contact::Rim { part, other, .. } if part != on => other,
        Contact::Rim { depth, .. } | Contact::Round { depth, .. } | Contact::Along { depth, .. } => depth,
        Contact::Line { .. } => 0.0,
    }
}

/// The point in the prop a length along a contact that is the rim of a ring.
fn along_rim(solid: &Solid, contact: &Contact, long: f64) -> Option<Vec3> {
    let &Contact::Rim { part, ring, upper, depth, .. } = contact else { return None };
    let part = solid.parts.get(part.index())?;
    let Body::Wall(wall) = &part.body else { return None };
    let wall = wall.cut();
    let p = on_rim(wall, wall.rings.get(ring)?, upper, depth, |rim| {
        rim.in_space(rim.at_length(rim.flat().walk().ends().0, long, depth), depth)
    });
    Some(part.place.apply(p))
}

/// The place a length along a contact that runs round, on a walk round the strip it belongs to, and the contact's
/// height and depth.
pub(super) fn on_contact(solid: &Solid, contact: &Contact, long: f64) -> Option<(Walk, Place, (f64, f64))> {
    let &Contact::Round { part, strip, z, depth } = contact else { return None };
    let part = solid.parts.get(part.index())?;
    let (walk, start) = match &part.body {
        Body::Wall(body) => {
            let body = body.cut();
            let walk = Walk::new(body.strips.get(strip)?);
            let start = match body.seam {
                Seam::Open(_) => {
                    let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
                    walk.length(wall::leaves(&walk, body.seam, z, neutral).0, z, depth)
                }
                Seam::Butt | Seam::Lap(_) | Seam::Tabs(_) | Seam::Backed(_) => 0.0,
            };
            (walk, start)
        }
        Body::Plate(plate) => (Walk::new(&plate.strip), 0.0),
        Body::Leaf(_) | Body::Folded(_) => return None,
    };
    let at = walk.at_length(start + long, z, depth);
    Some((walk, at, (z, depth)))
}

/// The place on `other` whose rule has the normal of `walk`'s at `at`; on a straight side the same share along it;
/// where several have it, the one that lies nearest at the height and depth at which the two walls meet: a side that
/// comes to nothing on the measured face may be there on another.
pub(super) fn same_rule(walk: &Walk, at: Place, other: &Walk, (z, depth): (f64, f64)) -> Option<Place> {
    let rule = walk.rule(at);
    let spot = |r: &crate::geom::strip::Rule| {
        let p = r.point(z, depth);
        Vec2::new(p.x, p.y)
    };
    let here = spot(&rule);
    let mut best: Option<(f64, Place)> = None;
    for place in other.at_normal(rule.phi) {
        let place = match (&walk.legs()[at.leg], &other.legs()[place.leg]) {
            (Leg::Side { .. }, Leg::Side { .. }) => {
                let (from, to) = share_of_side(walk, at.leg);
                let (other_from, other_to) = share_of_side(other, place.leg);
                let share = from + (to - from) * at.t;
                let t = (share - other_from) / (other_to - other_from);
                if !(-1e-9..=1.0 + 1e-9).contains(&t) {
                    continue;
                }
                Place { t: t.clamp(0.0, 1.0), ..place }
            }
            _ => place,
        };
        let miss = (spot(&other.rule(place)) - here).length();
        if best.is_none_or(|b| miss < b.0 - 1e-6) {
            best = Some((miss, place));
        }
    }
    best.map(|b| b.1)
}

/// Which part of its whole side a leg is: a side may be cut, and one at the seam is walked in two halves, first and last.
fn share_of_side(walk: &Walk, leg: usize) -> (f64, f64) {
    let legs = walk.legs();
    let long = |one: &Leg| match one {
        Leg::Side { first, last } => Some((last.k0 - first.k0).abs().max((last.k1 - first.k1).abs())),
        Leg::Turn { .. } => None,
    };
    let before: f64 = legs[..leg].iter().rev().map_while(long).sum();
    let beyond: f64 = legs[leg + 1..].iter().map_while(long).sum();
    let own = long(&legs[leg]).unwrap_or(0.0);
    let whole = before + own + beyond;
    let (from, to) = (before / whole, (before + own) / whole);
    let sides = |list: &[Leg]| list.iter().all(|one| matches!(one, Leg::Side { .. }));
    let halved = matches!(legs[0], Leg::Side { .. });
    if halved && sides(&legs[..=leg]) {
        (0.5 + 0.5 * from, 0.5 + 0.5 * to)
    } else if halved && sides(&legs[leg..]) {
        (0.5 * from, 0.5 * to)
    } else {
        (from, to)
    }
}
