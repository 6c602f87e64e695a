//! Glue tabs where the prop has butt edges: along the sides of a seam, where one ring of a wall meets the next, round every
//! cap, and at the foot of what stands on something (`feet`). Laps stay laps, tabs stay tabs, open seams stay open.

use super::{errors, feet};
use crate::design::Face;
use crate::diag::Diagnostics;
use crate::geom::strip::Strip;
use crate::geom::walk::Walk;
use crate::geom::{Vec2, Vec3, left_of, sided};
use crate::solid::{
    Body, Claim, EdgeName, EdgeRef, Folded, MockUp, Onto, Part, Plate, Ring, Seam, Size, Solid, Turn, Wall,
};

/// How wide a tab is on card at full size, the least of it at a smaller scale, and the least where little room is, mm
/// (common practice, no source).
const WIDE: f64 = 10.0;
pub(super) const SMALL: f64 = 5.0;
pub(super) const LEAST: f64 = 3.0;
/// How far a tab at a seam keeps from the holes beside it, mm.
pub(super) const CLEAR: f64 = 1.0;
/// What the ends of a side and the free edge of a tab take of the side, and the share of the rest that a tab, slanted at
/// its ends by 60 degrees, may be wide, mm.
const ENDS: f64 = 9.5;
const SHARE: f64 = 0.8;
/// The share of what lies behind an edge that a tab covers.
pub(super) const COVERS: f64 = 0.8;

/// Puts the tabs on. Where none fits, the part is told and stays as it is.
pub(super) fn glue(solid: &mut Solid) -> Diagnostics {
    let mut faults = Diagnostics::new();
    let Some(mock) = solid.job.mock_up.clone() else { return faults };
    let usual = (WIDE * mock.ratio).clamp(SMALL, WIDE);
    let mut narrow = |part: &Part, mock: &MockUp, room: f64| {
        if room < LEAST - 1e-9 {
            faults.push(errors::too_small(part, mock, room, LEAST));
        }
        tenths(room.max(LEAST))
    };
    for i in 0..solid.parts.len() {
        let part = &solid.parts[i];
        let (id, origin) = (part.id, part.origin);
        match &part.body {
            Body::Wall(wall) => {
                let seam = match wall.seam {
                    Seam::Butt | Seam::Backed(_) => at_side(wall, usual.min((beside_holes(wall) - CLEAR).max(LEAST))),
                    Seam::Tabs(mm) => at_side(wall, mm.max(SMALL)),
                    Seam::Lap(mm) => Seam::Lap(mm.max(SMALL)),
                    Seam::Open(_) => wall.seam,
                };
                let mut turns = Vec::new();
                for ring in 0..wall.rings.len().saturating_sub(1) {
                    let next = &wall.rings[ring + 1].strips;
                    let strips = &wall.strips[next.clone()];
                    let wide = narrow(part, &mock, usual.min(COVERS * strips.iter().map(least_slant).sum::<f64>()));
                    let Some(layer) = part.layers.first() else { continue };
                    turns.push(Turn {
                        at: EdgeRef { part: id, ring, edge: EdgeName::Upper },
                        origin,
                        wide,
                        relief: true,
                        onto: Onto::Next { strip: next.start, far: 2.0 * layer.inner - layer.middle() },
                        glued: Some(Face::Outside),
                    });
                }
                solid.turns.extend(turns);
                if let Body::Wall(wall) = &mut solid.parts[i].body {
                    wall.seam = seam;
                }
                solid.claims.retain(|c| c.part != id || !matches!(c.size, Size::Allowance { .. }));
                if let Seam::Lap(mm) | Seam::Tabs(mm) = seam {
                    solid.claims.push(Claim { part: id, origin, size: Size::Allowance { mm } });
                }
            }
            Body::Plate(plate) if !plate.sided && !solid.fitted.patches.contains(&id) => {
                let outside = over_the_wall(solid, part, plate);
                let wide = narrow(part, &mock, usual.min(COVERS * behind(solid, part, plate)));
                let (onto, glued) = if outside { (Onto::Side, Face::Inside) } else { (Onto::Bore, Face::Outside) };
                solid.turns.push(Turn {
                    at: EdgeRef { part: id, ring: 0, edge: EdgeName::Outline },
                    origin,
                    wide,
                    relief: true,
                    onto,
                    glued: Some(glued),
                });
            }
            Body::Folded(wall) => {
                let wide = match wall.seam {
                    Seam::Tabs(mm) => mm.max(SMALL),
                    _ => narrow(part, &mock, usual.min(beside_folds(wall) - CLEAR)),
                };
                if let Body::Folded(wall) = &mut solid.parts[i].body {
                    wall.seam = Seam::Tabs(wide);
                }
            }
            // A leaf is glued by its face.
            Body::Plate(_) | Body::Leaf(_) => {}
        }
    }
    feet::tabs(solid, usual, &mut faults);
    faults
}

/// A seam with tabs as wide as asked, or as the lowest ring of the wall leaves room for; where that is too little for tabs,
/// one side goes on behind the other as a lap.
fn at_side(wall: &Wall, wide: f64) -> Seam {
    let long = |r: &Ring| wall.strips[r.strips.clone()].iter().map(least_slant).sum::<f64>();
    let low = wall.rings.iter().map(long).fold(f64::INFINITY, f64::min);
    let room = tenths(wide.min(SHARE * (low - ENDS)));
    if room >= LEAST - 1e-9 { Seam::Tabs(room) } else { Seam::Lap(tenths(wide)) }
}

/// A width as it can be measured.
pub(super) fn tenths(mm: f64) -> f64 {
    (mm * 10.0 + 1e-6).floor() / 10.0
}

/// No generatrix of a strip is shorter than it is high.
pub(super) fn least_slant(strip: &Strip) -> f64 {
    strip.heights().1 - strip.heights().0
}

/// How far the nearest hole keeps from a wall's seam.
fn beside_holes(wall: &Wall) -> f64 {
    let mut room = f64::INFINITY;
    for hole in &wall.holes {
        let Some(strip) = wall.strips.get(hole.strip) else { continue };
        let walk = Walk::new(strip);
        let seam: Vec3 = walk.rule(walk.ends().0).point(hole.z, 0.0);
        let reach = hole.outline.flattened(0.05).iter().map(|p| p.length()).fold(0.0, f64::max);
        room = room.min((hole.rule.point(hole.z, 0.0) - seam).length() - reach);
    }
    room
}

/// How wide a tab behind the first face of a folded strip may be: clear of the fold and the holes there, and no wider than the
/// seam is long enough for.
fn beside_folds(wall: &Folded) -> f64 {
    let Some(first) = wall.faces.first() else { return 0.0 };
    let corners = sided::corners_at(&first.plate.strip, first.plate.hidden);
    let n = corners.len();
    let (a, b) = (corners[first.left], corners[(first.left + 1) % n]);
    let way = (b - a).normalize_or_zero();
    let off = |p: Vec2| left_of(way).dot(p - a).abs();
    let across = (0..n).filter(|k| *k != first.left && *k != (first.left + 1) % n).map(|k| off(corners[k]));
    let holes = wall.holes.iter().filter(|h| h.0 == 0).flat_map(|h| h.1.outline.flattened(0.05)).map(off);
    let long = SHARE * (a.distance(b) - ENDS);
    across.map(|mm| COVERS * mm).chain(holes).chain([long + CLEAR]).fold(f64::INFINITY, f64::min)
}

/// Whether a plate lies on a wall's end, as wide as its outside, and not in its bore.
fn over_the_wall(solid: &Solid, part: &Part, plate: &Plate) -> bool {
    let joint = solid.joints.iter().find(|j| j.a.part == part.id);
    let met = joint.and_then(|j| solid.parts.get(j.b.part.index()));
    met.and_then(|p| p.layers.last()).is_some_and(|l| plate.depth > l.middle())
}

/// How far a plate's tabs can reach from its hidden face before the wall ends or bends or another plate is in the way,
/// whose own tabs may come to meet them.
fn behind(solid: &Solid, part: &Part, plate: &Plate) -> f64 {
    let up = plate.hidden > plate.show;
    let (z0, z1) = plate.strip.heights();
    let mut room = if up { z1 - plate.hidden } else { plate.hidden - z0 };
    for other in solid.parts.iter().filter(|p| p.id != part.id && p.place == part.place) {
        let Body::Plate(there) = &other.body else { continue };
        let apart = |z: f64| if up { z - plate.hidden } else { plate.hidden - z };
        let nearest = apart(there.show).min(apart(there.hidden));
        if nearest > 0.0 {
            let facing = (there.hidden > there.show) != up;
            room = room.min(if facing { 0.5 * nearest } else { nearest });
        }
    }
    room
}
