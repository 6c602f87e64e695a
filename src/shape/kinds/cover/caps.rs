//! Covers of caps: the plate, and a lid's rim.

use super::super::super::{Shaper, errors, goods, known, wall};
use super::super::cap::Fit;
use super::super::place;
use super::ends::{End, linings};
use super::{Host, LEAST, Spec, on_wall};
use crate::design::Face;
use crate::eval::Stop;
use crate::ids::ThingId;
use crate::solid::{Body, Claim, EdgeName, EdgeRef, Onto, Part, Plate, Size, Turn};

pub(super) fn on_cap(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    cap_id: ThingId,
    face: Face,
) -> Result<(), Stop> {
    let cap = shaper.known.caps.get(&cap_id).ok_or(Stop::Skip)?.clone();
    let host = cap.host;
    let of = &shaper.solid.parts[cap.plate.index()];
    let (pair, place) = (of.pair, of.place);
    let Body::Plate(plate) = &of.body else { return Err(Stop::Skip) };
    let (own, holes) = ((plate.show, plate.hidden), plate.holes.clone());
    let up = if own.0 > own.1 { 1.0 } else { -1.0 };
    let strip = plate.strip.clone();
    let rim = cap.rim.map(|r| shaper.solid.parts[r.index()].clone());
    let tall = place::host_wall(shaper, host)?.0.tall;
    let (depth, show, hidden) = if face == Face::Outside {
        (plate.depth, own.0 + up * spec.thick, own.0)
    } else {
        // Within the bore, clear of what lines it; a lid's within its own rim.
        let bore = match (&rim, cap.fit) {
            (Some(rim), _) => rim.layers.first().map_or(plate.depth, |l| l.inner),
            (None, Fit::Flush) => place::host_wall(shaper, host)?.0.inner - linings(shaper, host),
            (None, _) => plate.depth - linings(shaper, host),
        };
        (bore, own.1 - up * spec.thick, own.1)
    };
    if ![show, hidden].iter().all(|&z| wall::exists_at(&strip, z, depth)) {
        return Err(errors::no_bore(&spec.name, spec.head).into());
    }
    let thick = (own.0 - own.1).abs();
    if spec.turn > 0.0 && (face == Face::Inside || cap.fit == Fit::Inset) {
        let at = EdgeRef { part: shaper.next_part(), ring: 0, edge: EdgeName::Outline };
        let why = if face == Face::Inside { "it lies in a corner" } else { "it lies in a bore" };
        let onto = Onto::Not(why);
        shaper.solid.turns.push(Turn { at, origin: spec.turn_span, wide: 0.0, relief: spec.relief, onto, glued: None });
    }
    if face == Face::Outside && spec.turn > 0.0 && cap.fit != Fit::Inset {
        let (room, stop) = match &rim {
            Some(rim) => match &rim.body {
                Body::Wall(w) => {
                    let long = w.strips.first().map_or(0.0, |s| s.heights().1 - s.heights().0);
                    (thick + long, "the mouth of the lid's rim".to_owned())
                }
                Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => (thick, String::new()),
            },
            // A cap that stands back from the wall's outside has only its own edge.
            None if (plate.depth - place::host_wall(shaper, host)?.0.outer).abs() > LEAST => {
                (thick, "the step to the wall".to_owned())
            }
            None => {
                let name = shaper.design.thing(host).name.to_string();
                let at_end = place::host_wall(shaper, host)?.1;
                let ring = if cap.at_top { at_end.rings.last() } else { at_end.rings.first() };
                // Down to where the wall bends.
                let run = ring.map_or(tall, |r| {
                    at_end.strips[r.strips.clone()].iter().map(|s| s.heights().1 - s.heights().0).sum()
                });
                (thick + run, format!("the end of that stretch of {name}"))
            }
        };
        if room < spec.turn {
            shaper.faults.push(errors::turn_shortened(&spec.name, (spec.turn, room), &stop, spec.turn_span));
        }
        let at = EdgeRef { part: shaper.next_part(), ring: 0, edge: EdgeName::Outline };
        let (wide, origin) = (spec.turn.min(room), spec.turn_span);
        shaper.solid.turns.push(Turn { at, origin, wide, relief: spec.relief, onto: Onto::Side, glued: None });
    }
    let layers = shaper.layers(&spec.of, goods::inner_depth(spec.thick, Face::Outside), f64::INFINITY);
    let part = shaper.next_part();
    shaper.solid.claims.push(Claim { part, origin: spec.of_span, size: Size::Thick { mm: spec.thick } });
    let claims: Vec<Claim> = shaper.solid.claims.iter().filter(|c| c.part == cap.plate).cloned().collect();
    for claim in claims {
        if matches!(claim.size, Size::PlateHole { .. }) {
            shaper.solid.claims.push(Claim { part, ..claim });
        }
    }
    let what = if rim.is_some() { " disc" } else { "" };
    let name = spec.part_name(shaper, cap_id, face, what);
    let body = Body::Plate(Plate { strip, depth, show, hidden, holes, sided: false, upright: false });
    shaper.solid.parts.push(Part {
        id: part,
        thing: id,
        name,
        origin: spec.head,
        pair,
        layers,
        body,
        place,
        split: true,
    });
    match rim {
        Some(rim) if face == Face::Outside => on_rim(shaper, (id, spec), cap_id, (&cap, &rim)),
        _ => Ok(()),
    }
}

/// The outside of a lid's rim: turned in at its mouth, without a turn at the disc.
fn on_rim(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    cap_id: ThingId,
    (cap, rim): (&known::Cap, &Part),
) -> Result<(), Stop> {
    let Body::Wall(wall) = &rim.body else { return Err(Stop::Skip) };
    let (Some(first), Some(last)) = (rim.layers.first(), rim.layers.last()) else { return Err(Stop::Skip) };
    let (near, far) = (last.outer, first.inner);
    let long = wall.strips.first().map_or(0.0, |s| s.heights().1 - s.heights().0);
    let mouth = End::Free {
        onto: Onto::Back { near, far },
        room: near - far + spec.thick + long,
        stop: "the lid's disc".to_owned(),
    };
    let disc = End::Level("the lid's disc lies on it");
    let ends = if cap.at_top { [mouth, disc] } else { [disc, mouth] };
    let lies_on = Host { id: cap_id, part: rim.id, wall: wall.clone(), near, far, neutral: first.neutral };
    on_wall(shaper, (id, spec), &lies_on, Face::Outside, &ends, " rim")
}
