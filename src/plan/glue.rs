//! How much is coated with glue, from what is cut: contact glue goes on both of the faces that meet, in one coat.
//!
//! - Edges that are joined are coated over their whole length and thickness, both as the greater of the two: a cap on a
//!   wall's end takes that end, one in the bore its own edge. A lap and glue tabs are coated as wide as they are.
//! - What lies on something else is coated all over: each further layer of a sheet, a cover, a band, a strip behind a seam,
//!   a tab or patch of a fitting, a plate that lies on a part, a flange. So is what of a cover is turned over an edge.
//! - A loose cap is not glued to what it closes. Cords, bindings and what is sewn or laced are not counted, nor is what
//!   soaks into cloth or stays in the brush: the glue's label comes first (common practice, no source).

use super::Given;
use super::bodies::is_loose;
use crate::design::{Kind, Relation};
use crate::flat::{Allowance, Edge, Panel};
use crate::ids::JointId;
use crate::num::Sum;
use crate::solid::{Body, Gap, Joint, Part, Seam};

/// The area that is coated, both faces together, mm².
pub(super) fn coated(given: &Given<'_>) -> f64 {
    let solid = given.solid;
    let mut sum = Sum::new();
    let twins = |part: &Part| if part.pair { 2.0 } else { 1.0 };
    for panel in &given.flat.panels {
        let part = &solid.parts[panel.part.index()];
        if panel.layer > 0 || lies_on(given, part) {
            sum.add(2.0 * twins(part) * panel.area);
        }
        // A flange is glued to the wall in its hole, and nothing lies there.
        if is_flange(given, part) {
            let layer = &part.layers[panel.layer];
            let thick = layer.outer - layer.inner;
            let more = panel.holes.iter().map(|h| h.outline.length() * thick - h.outline.area());
            sum.add(2.0 * twins(part) * more.sum::<f64>());
        }
        for edge in &panel.edges {
            let turned = edge.turn.as_ref().filter(|t| t.wide > 0.0).map_or(0.0, |t| t.wide);
            let beyond = match edge.allowance {
                Allowance::None => 0.0,
                Allowance::Lap(wide) | Allowance::Tabs(wide) => wide,
            };
            sum.add(2.0 * twins(part) * (turned + beyond) * edge.long.neutral);
        }
    }
    for joint in &solid.joints {
        let part = &solid.parts[joint.a.part.index()];
        let [a, b] = [joint.a, joint.b].map(|e| &solid.parts[e.part.index()]);
        let comes_off = a.thing != b.thing && (is_loose(given, a) || is_loose(given, b));
        if !comes_off && !lapped(given, joint) {
            sum.add(2.0 * twins(part) * meets(given, joint));
        }
    }
    sum.value()
}

/// Whether a part is the collar round a shell's foot.
fn is_flange(given: &Given<'_>, part: &Part) -> bool {
    matches!(part.body, Body::Leaf(_)) && given.design.thing(part.thing).kind == Kind::Shell
}

/// Whether a part lies with its whole face on another.
fn lies_on(given: &Given<'_>, part: &Part) -> bool {
    let thing = given.design.thing(part.thing);
    let on = |relation| thing.target.as_ref().is_some_and(|t| t.relation == relation);
    match thing.kind {
        Kind::Cover | Kind::Border | Kind::Attachment => true,
        Kind::Plate => on(Relation::On),
        Kind::Shell if is_flange(given, part) => true,
        _ => matches!(&part.body, Body::Wall(w) if matches!(w.seam, Seam::Open(Gap::Leaves(_)))),
    }
}

/// The edges of a joint, with their panels.
fn edges<'a>(given: &'a Given<'_>, joint: JointId) -> impl Iterator<Item = (&'a Panel, &'a Edge)> {
    let panels = given.flat.panels.iter();
    panels.flat_map(|p| p.edges.iter().map(move |e| (p, e))).filter(move |(_, e)| e.joints.contains(&joint))
}

/// Whether what holds a joint is counted by its own width.
fn lapped(given: &Given<'_>, joint: &Joint) -> bool {
    edges(given, joint.id).any(|(_, e)| e.allowance != Allowance::None)
}

/// The area over which two edges meet: the greater of theirs.
fn meets(given: &Given<'_>, joint: &Joint) -> f64 {
    let side = |at: crate::solid::EdgeRef| {
        let of = edges(given, joint.id).filter(|(p, e)| (p.part, p.ring, e.name) == (at.part, at.ring, at.edge));
        let layers = |p: &Panel| given.solid.parts[p.part.index()].layers[p.layer];
        of.map(|(p, e)| e.long.neutral * (layers(p).outer - layers(p).inner)).sum::<f64>()
    };
    side(joint.a).max(side(joint.b))
}
