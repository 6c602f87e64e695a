//! Which goods the prop is made of, as its text says: what a thing names is bought, whether or not this version cuts it.

use std::collections::{BTreeMap, BTreeSet};

use super::Given;
use crate::design::{Anchor, Design, Expr, Kind, Node};
use crate::ids::{LetId, ThingId};

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
            each(design, e, &mut |node| {
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

/// Every node of a value, through named values and functions, each of which is gone through once: names that use each
/// other twice over would double the way with every one of them.
pub(super) fn each(design: &Design, e: &Expr, visit: &mut impl FnMut(&Node)) {
    let mut seen: BTreeSet<LetId> = BTreeSet::new();
    let mut todo = vec![e];
    while let Some(e) = todo.pop() {
        visit(&e.node);
        todo.extend(e.children().into_iter().rev());
        if let Node::Let(id) | Node::Apply { function: id, .. } = &e.node
            && seen.insert(*id)
        {
            todo.push(&design.value(*id).value);
        }
    }
}

/// The parts that a thing is fitted to: what it stands on, followed through attachments and straps.
pub(super) fn grounds(design: &Design, id: ThingId) -> Vec<Anchor> {
    let mut out = Vec::new();
    let mut open = vec![id];
    let mut seen = BTreeSet::from([id]);
    while let Some(id) = open.pop() {
        for a in design.thing(id).target.iter().flat_map(|t| &t.anchors) {
            if is_part(design.thing(a.thing).kind) {
                out.push(a.clone());
            } else if seen.insert(a.thing) {
                open.push(a.thing);
            }
        }
    }
    out
}

/// Whether a kind is a part that others are fitted to.
pub(super) fn is_part(kind: Kind) -> bool {
    matches!(kind, Kind::Shell | Kind::Dome | Kind::Plate | Kind::Cap | Kind::Keel | Kind::Core)
}
