//! Solid → flat: unrolls every layer of every ring of a wall on its neutral surface, lays every plate down, and
//! brings along edges on each face, bevels, notches, holes and allowances. Rank 8.
//!
//! Curves are exact (`geom::rim`, `geom::unroll`) until they are fitted by lines and arcs (`geom::fit`); lengths and
//! areas come from the exact curves. It decides no allowance's shape, no cut contour and no lettering: `finish` does.
//!
//! Frames: a wall's panel as seen on its outside face, x along the lower rim in the sense of growing φ, y up, level in
//! the panel's middle. A plate's panel as seen on its show face with the wearer's front up the page: for a plate that
//! shows upward `flat = (−y, x)`, for one that shows downward `flat = (y, x)` (the wearer's left is then on the right).
//! A leaf's panel as seen on its outside face, x to the right and y up from its middle.
//! For plates the edge curves read `inside` = hidden face, `outside` = show face, `middle` = half-way between.

mod bends;
mod edges;
pub mod errors;
mod folded;
mod formed;
mod holes;
mod leaf;
mod notches;
mod over;
mod places;
mod plate;
mod sided;
#[cfg(test)]
mod tests;
mod traces;
mod turn;
mod wall;

use std::collections::BTreeMap;

use crate::diag::Diagnostics;
use crate::flat::{Flat, Panel};
use crate::ids::{JointId, PanelId, PartId};
use crate::num::{self, TAU};
use crate::solid::{Body, Contact, EdgeName, EdgeRef, Joint, Part, Solid, Turn};
use crate::threads;

/// Normals at which the edges of a joint get knots, so that partners are fitted from the same ones.
type Knots = BTreeMap<JointId, Vec<f64>>;

/// A panel and the knots its fitted edges needed.
struct Made {
    panel: Panel,
    knots: Vec<(EdgeName, Vec<f64>)>,
    faults: Vec<Fault>,
}

/// Why a panel cannot be cut as it was asked for.
#[derive(Clone, Copy)]
enum Fault {
    /// A turn leaves no tab; how wide it may be.
    NoTab(Turn, f64),
    /// A strip of one width, this, has an end that never meets its side.
    NoCorner(f64),
    /// A rim's edge stands off the body's where it goes over from one part to another.
    RunsOff(over::Off),
}

/// About how much there is to lay flat of a part, against others: which is begun first depends on it, nothing else.
fn work_of(part: &Part) -> usize {
    let around = match &part.body {
        Body::Wall(wall) => wall.strips.iter().map(|s| s.stretches().len()).sum(),
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => 1,
    };
    around * part.layers.len()
}

/// Lays the solid flat. Parts with a fault have no panel; the others come out.
#[must_use]
pub fn develop(solid: &Solid) -> (Flat, Diagnostics) {
    let mut diagnostics = Diagnostics::new();
    let mut made: Vec<Made> = Vec::new();
    let mut turned = vec![0; solid.parts.len()];
    for turn in &solid.turns {
        turned[turn.at.part.index()] += 1;
    }
    let work = |part: &Part| work_of(part) * (1 + turned[part.id.index()]);
    for (panels, found) in threads::each_heavy_first(&solid.parts, work, |part| of_part(solid, part)) {
        made.extend(panels);
        diagnostics.extend(found);
    }
    share_knots(solid, &mut made);
    let mut flat = Flat::default();
    for (i, m) in made.into_iter().enumerate() {
        flat.panels.push(Panel { id: PanelId::new(i), ..m.panel });
    }
    (flat, diagnostics)
}

/// The panels of one part, fitted from knots of their own; none where it has a fault.
fn of_part(solid: &Solid, part: &Part) -> (Vec<Made>, Diagnostics) {
    let mut diagnostics = Diagnostics::new();
    let mut made: Vec<Made> = Vec::new();
    let none = Knots::new();
    let sound = match &part.body {
        Body::Wall(wall) => wall::exists(part, wall.cut(), &mut diagnostics),
        Body::Plate(one) => plate::exists(part, one, &mut diagnostics),
        Body::Leaf(_) | Body::Folded(_) => true,
    };
    if !sound {
        return (made, diagnostics);
    }
    match &part.body {
        Body::Wall(wall) => {
            let cut = wall.cut();
            for ring in 0..cut.rings.len() {
                for layer in 0..part.layers.len() {
                    made.push(wall::panel(solid, part, cut, (ring, layer), &none, None));
                }
            }
            if wall.formed.is_some() {
                made.iter_mut().for_each(|m| formed::bend(part, wall, &mut m.panel));
            }
        }
        Body::Plate(one) => {
            made.extend((0..part.layers.len()).map(|layer| plate::panel(solid, part, one, layer, &none)));
        }
        Body::Folded(one) => made.extend((0..part.layers.len()).map(|layer| folded::panel(solid, part, one, layer))),
        Body::Leaf(one) => {
            made.extend(
                (0..part.layers.len()).filter_map(|layer| leaf::panel(solid, part, one, layer, &mut diagnostics)),
            );
        }
    }
    tell(part, &made, &mut diagnostics);
    let panels: Vec<&Panel> = made.iter().map(|m| &m.panel).collect();
    match &part.body {
        Body::Wall(wall) => holes::check(part, &wall.holes, &panels, &mut diagnostics),
        Body::Plate(one) => holes::check_plate(part, &one.holes, &panels, &mut diagnostics),
        Body::Leaf(one) => holes::check_plate(part, &one.holes, &panels, &mut diagnostics),
        Body::Folded(one) => {
            let holes: Vec<_> = one.holes.iter().map(|h| h.1.clone()).collect();
            let alone: Vec<Panel> =
                (0..part.layers.len()).flat_map(|layer| folded::alone(solid, part, one, layer)).collect();
            let alone: Vec<&Panel> = alone.iter().collect();
            holes::check_plate(part, &holes, &alone, &mut diagnostics);
            places::check(solid, part, &alone, &mut diagnostics);
        }
    }
    if let Body::Wall(_) | Body::Plate(_) | Body::Leaf(_) = &part.body {
        places::check(solid, part, &panels, &mut diagnostics);
    }
    traces::check(solid, part, &panels, &mut diagnostics);
    if let Body::Wall(_) | Body::Leaf(_) = &part.body {
        bends::check(solid, part, &panels, &mut diagnostics);
    }
    (made, diagnostics)
}

/// Tells the faults of a part's panels, each sort once and of turns the one that has to be narrowest.
fn tell(part: &Part, made: &[Made], diagnostics: &mut Diagnostics) {
    let (mut turn, mut corner): (Option<(Turn, f64)>, Option<f64>) = (None, None);
    let mut off: Option<over::Off> = None;
    for fault in made.iter().flat_map(|m| &m.faults) {
        match *fault {
            Fault::NoTab(asked, fits) if turn.is_none_or(|(_, least)| fits < least) => turn = Some((asked, fits)),
            Fault::NoTab(..) => {}
            Fault::NoCorner(wide) => corner = Some(wide),
            Fault::RunsOff(here) if off.is_none_or(|most| most.by < here.by) => off = Some(here),
            Fault::RunsOff(_) => {}
        }
    }
    if let Some(off) = off {
        diagnostics.push(errors::edge_runs_off(part, off));
    }
    if let Some(wide) = corner {
        diagnostics.push(errors::backing_along_its_rim(part, wide));
    }
    if let Some((turn, fits)) = turn {
        diagnostics.push(errors::turn_too_wide(part, &turn, fits));
    }
}

/// Fits the partners of every joint again where they were fitted from different knots.
fn share_knots(solid: &Solid, made: &mut [Made]) {
    let mut shared = Knots::new();
    let joint_at = |m: &Made, edge: EdgeName| round_joint(solid, m.panel.part, m.panel.ring, edge).map(|j| j.id);
    for m in made.iter() {
        for (edge, knots) in &m.knots {
            if let Some(joint) = joint_at(m, *edge) {
                shared.entry(joint).or_default().extend(knots.iter().map(|k| num::wrap(*k, TAU)));
            }
        }
    }
    for knots in shared.values_mut() {
        knots.sort_by(f64::total_cmp);
        knots.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    }
    let differs = |m: &Made, (edge, knots): &(EdgeName, Vec<f64>)| {
        joint_at(m, *edge).is_some_and(|joint| shared[&joint].len() != knots.len())
    };
    let of_others: Vec<usize> =
        (0..made.len()).filter(|&i| made[i].knots.iter().any(|k| differs(&made[i], k))).collect();
    let again = |&i: &usize| {
        let m = &made[i];
        let part = &solid.parts[m.panel.part.index()];
        match &part.body {
            Body::Wall(wall) => {
                let own = |edge: EdgeName| !m.knots.iter().any(|k| k.0 == edge && differs(m, k));
                let kept = wall::Kept { made: m, edges: [EdgeName::Lower, EdgeName::Upper].map(own) };
                Some(wall::panel(solid, part, wall.cut(), (m.panel.ring, m.panel.layer), &shared, Some(kept)))
            }
            Body::Plate(one) => Some(plate::panel(solid, part, one, m.panel.layer, &shared)),
            // No joint of it is fitted.
            Body::Leaf(_) | Body::Folded(_) => None,
        }
    };
    let fitted = threads::each(&of_others, again);
    for (i, one) in of_others.into_iter().zip(fitted) {
        if let Some(one) = one {
            made[i] = one;
        }
    }
}

/// The joints that an edge belongs to.
fn joints_of(solid: &Solid, part: PartId, ring: usize, edge: EdgeName) -> impl Iterator<Item = &Joint> {
    let this = EdgeRef { part, ring, edge };
    solid.joints.iter().filter(move |j| j.a == this || j.b == this)
}

/// Of these the one that runs round (its partners are fitted rims) rather than along a seam or from rim to rim.
fn round_joint(solid: &Solid, part: PartId, ring: usize, edge: EdgeName) -> Option<&Joint> {
    joints_of(solid, part, ring, edge).find(|j| matches!(j.contact, Contact::Round { .. }))
}

/// What is folded over an edge.
fn turn_of(solid: &Solid, part: PartId, ring: usize, edge: EdgeName) -> Option<&Turn> {
    let this = EdgeRef { part, ring, edge };
    solid.turns.iter().find(|t| t.at == this && t.wide > 0.0)
}
