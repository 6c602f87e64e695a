//! Which goods the prop is made of, as its text says: what a thing names is bought, whether or not this version cuts it.

use std::collections::BTreeMap;

use super::Given;
use crate::design::{Anchor, Design, Expr, Kind, Node};
use crate::ids::ThingId;

/// Every stock and supply that a thing names, in the order of the design, with the things that name it.
pub(super) fn goods(given: &Given<'_>) -> BTreeMap<ThingId, Vec<ThingId>> {
    let design = given.design;
    let mut out: BTreeMap<ThingId, Vec<ThingId>> = BTreeMap::new();
    for thing in &design.things {
        let named = matches!(
            thing.kind,
            Kind::Stock | Kind::Supply | Kind::Cutter | Kind::Paper | Kind::Wearer | Kind::Prop | Kind::Limit
        );
        if named || thing.poisoned {
            continue;
        }
        let stations = thing.stations.iter().map(|s| &s.section);
        for e in thing.fields.values().map(|f| &f.value).chain(stations) {
            each(design, e, 0, &mut |node| {
                let Node::Things(anchors) = node else { return };
                for a in anchors {
                    if matches!(design.thing(a.thing).kind, Kind::Stock | Kind::Supply) {
                        let by = out.entry(a.thing).or_default();
                        if by.last() != Some(&thing.id) {
                            by.push(thing.id);
                        }
                    }
                }
            });
        }
    }
    // No field names an adhesive: whatever the maker's own files describe is what seams are glued with.
    for thing in &design.things {
        if thing.kind == Kind::Supply && thing.sort == Some("adhesive") && !thing.poisoned {
            out.entry(thing.id).or_default();
        }
    }
    out
}

/// Every node of a value, through named values and functions.
pub(super) fn each(design: &Design, e: &Expr, depth: usize, visit: &mut impl FnMut(&Node)) {
    // Far deeper than any value may stand.
    if depth > 200 {
        return;
    }
    visit(&e.node);
    let mut go = |e: &Expr| each(design, e, depth + 1, visit);
    match &e.node {
        Node::Quantity(_)
        | Node::Price(..)
        | Node::Text(_)
        | Node::Bool(_)
        | Node::Word(_)
        | Node::Place(_)
        | Node::Things(_)
        | Node::FieldOf(..)
        | Node::Fact { .. }
        | Node::Param(_)
        | Node::Poison => {}
        Node::Make { parts, .. } => parts.iter().for_each(|(_, e)| go(e)),
        Node::List(items) | Node::By(items) => items.iter().for_each(go),
        Node::Let(id) => go(&design.value(*id).value),
        Node::Apply { function, arguments } => {
            go(&design.value(*function).value);
            arguments.iter().for_each(go);
        }
        Node::Call { arguments, .. } => arguments.iter().for_each(go),
        Node::Minus(e) | Node::Not(e) => go(e),
        Node::Binary { left, right, .. } => {
            go(left);
            go(right);
        }
        Node::If { condition, then, otherwise } => [condition, then, otherwise].into_iter().for_each(|e| go(e)),
        Node::Item { of, index } => {
            go(of);
            go(index);
        }
        Node::Bounded { value, .. } => go(value),
    }
}

/// The parts that a thing is fitted to: what it stands on, followed through attachments and straps.
pub(super) fn grounds(design: &Design, id: ThingId) -> Vec<Anchor> {
    let mut out = Vec::new();
    let mut open = vec![(id, 0)];
    while let Some((id, depth)) = open.pop() {
        // A loop of targets was refused; a long chain is followed a bounded way.
        let anchors = design.thing(id).target.iter().flat_map(|t| &t.anchors);
        for a in anchors.filter(|_| depth < 64) {
            if is_part(design.thing(a.thing).kind) { out.push(a.clone()) } else { open.push((a.thing, depth + 1)) }
        }
    }
    out
}

/// Whether a kind is a part that others are fitted to.
pub(super) fn is_part(kind: Kind) -> bool {
    matches!(kind, Kind::Shell | Kind::Dome | Kind::Plate | Kind::Cap | Kind::Keel | Kind::Core)
}
