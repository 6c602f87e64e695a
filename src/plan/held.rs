//! Limits held against what was found.

use std::collections::{BTreeMap, BTreeSet};

use super::limits::Spec;
use super::{Given, bodies, errors, used};
use crate::design::{Hand, Kind};
use crate::diag::Diagnostics;
use crate::fitted::Core;
use crate::ids::ThingId;
use crate::ledger::{Entry, Held, Limit, Without};
use crate::solid::{Frame, Part, Solid};

/// What a limit counts.
struct Scope {
    /// Things by name, with their share: half where one of a pair is meant. `None` for the whole prop.
    things: Option<BTreeMap<ThingId, f64>>,
}

impl Scope {
    fn of(given: &Given<'_>, spec: &Spec) -> Self {
        let Some(target) = &given.design.thing(spec.thing).target else { return Self { things: None } };
        let mut things: BTreeMap<ThingId, (bool, bool)> = BTreeMap::new();
        for a in &target.anchors {
            let (left, right) = things.entry(a.thing).or_default();
            *left |= a.hand != Some(Hand::Right);
            *right |= a.hand != Some(Hand::Left);
        }
        let share = |(left, right): (bool, bool)| if left && right { 1.0 } else { 0.5 };
        Self { things: Some(things.into_iter().map(|(id, hands)| (id, share(hands))).collect()) }
    }

    /// How much of a thing counts: all, half of a pair, or nothing.
    fn share(&self, given: &Given<'_>, thing: ThingId) -> f64 {
        let Some(things) = &self.things else { return 1.0 };
        if let Some(share) = things.get(&thing) {
            return *share;
        }
        if used::is_part(given.design.thing(thing).kind) {
            return 0.0;
        }
        let grounds = used::grounds(given.design, thing);
        grounds.iter().filter_map(|a| things.get(&a.thing)).fold(0.0, |most, s| s.max(most))
    }

    fn parts<'a>(&self, given: &Given<'a>) -> Vec<&'a Part> {
        given.solid.parts.iter().filter(|p| self.share(given, p.thing) > 0.0).collect()
    }

    fn cores<'a>(&self, given: &Given<'a>) -> Vec<&'a Core> {
        given.solid.fitted.cores.iter().filter(|c| self.share(given, c.thing) > 0.0).collect()
    }
}

/// A limit's every figure.
pub(super) fn hold(
    given: &Given<'_>,
    entries: &[Entry],
    unbuilt: &[String],
    spec: &Spec,
    faults: &mut Diagnostics,
) -> Limit {
    let scope = Scope::of(given, spec);
    let on = given.design.thing(spec.thing).target.iter().flat_map(|t| &t.anchors);
    let mut limit = Limit {
        name: spec.name.clone(),
        on: on.map(|a| given.design.thing(a.thing).name.to_string()).collect(),
        held: Vec::new(),
        without: Vec::new(),
    };
    if let Some((most, span)) = spec.mass {
        let held = mass(given, entries, unbuilt, &scope, most, spec.spare_mass);
        if !held.kept {
            faults.push(errors::too_heavy(spec, &held, &heaviest(given, entries, &scope), span));
        } else if !held.missing.is_empty() {
            faults.push(errors::mass_not_proven(spec, &held, span));
        }
        limit.held.push(held);
    }
    let parts = scope.parts(given);
    let cores = scope.cores(given);
    let clear = |what, most: f64, found: f64| Held {
        what,
        allowed: vec![most],
        spare: spec.spare_length,
        found: vec![found],
        kept: found <= most - spec.spare_length + SAME,
        missing: Vec::new(),
    };
    if let Some((most, span)) = spec.long {
        let held = clear("long", most, long(given.solid, &scope, (&parts, &cores)));
        if !held.kept {
            faults.push(errors::too_long(spec, &held, span));
        }
        limit.held.push(held);
    }
    if let Some((most, span)) = spec.reach {
        let (found, farthest) = reach(given.solid, (&parts, &cores));
        let held = clear("reach", most, found);
        if !held.kept {
            faults.push(errors::reaches_too_far(spec, &held, &farthest, span));
        }
        limit.held.push(held);
    }
    if let Some((room, span)) = spec.packed {
        let held = packed(given, (&parts, &cores), room, spec, faults, span);
        limit.held.push(held);
    }
    limit.without = without(given, &scope, spec, faults);
    limit
}

/// Lengths and masses that are alike.
const SAME: f64 = 1e-6;

fn mass(given: &Given<'_>, entries: &[Entry], unbuilt: &[String], scope: &Scope, most: f64, spare: f64) -> Held {
    let (mut found, mut missing) = (crate::num::Sum::new(), Vec::new());
    for entry in entries {
        let share = scope.share(given, entry.thing);
        if share <= 0.0 {
            continue;
        }
        match entry.mass {
            Some(mass) => found.add(if entry.pair { share * mass } else { mass }),
            None if !missing.contains(&entry.name) => missing.push(entry.name.clone()),
            None => {}
        }
    }
    if scope.things.is_none() {
        missing.extend(unbuilt.iter().cloned());
    } else {
        let own = given.design.things.iter().filter(|t| scope.share(given, t.id) > 0.0).map(|t| t.name.to_string());
        missing.extend(own.map(|n| format!("{n} (not built yet)")).filter(|n| unbuilt.contains(n)));
    }
    let found = found.value();
    Held { what: "mass", allowed: vec![most], spare, found: vec![found], kept: found <= most - spare + SAME, missing }
}

/// The three heaviest things that count, for who has to save.
fn heaviest(given: &Given<'_>, entries: &[Entry], scope: &Scope) -> Vec<(String, f64)> {
    let counts = |e: &&Entry| scope.share(given, e.thing) > 0.0;
    let mut all: Vec<(String, f64)> =
        entries.iter().filter(counts).filter_map(|e| Some((e.name.clone(), e.mass?))).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    all.truncate(3);
    all
}

/// The greatest extent along the axes of the one part that is meant, or of the prop.
fn long(solid: &Solid, scope: &Scope, (parts, cores): (&[&Part], &[&Core])) -> f64 {
    let one = scope.things.as_ref().filter(|t| t.len() == 1).and_then(|t| t.keys().next());
    if let Some(core) = cores.iter().find(|c| Some(&c.thing) == one) {
        return core.ends[0].distance(core.ends[1]).max(core.across);
    }
    let own = parts.iter().find(|p| Some(&p.thing) == one);
    let frame = own.map_or(Frame::WORLD, |p| p.place);
    let all = bodies::extents(solid, (parts, cores), [frame.x, frame.y, frame.z]);
    all.iter().map(|(low, high)| high - low).fold(0.0, f64::max)
}

/// The farthest from the prop's upright axis, and which part that is.
fn reach(solid: &Solid, (parts, cores): (&[&Part], &[&Core])) -> (f64, String) {
    let level = |q: crate::geom::Vec3| q.truncate().length();
    let of = |p: &Part| bodies::most(solid, p, level);
    let rod = |c: &Core| bodies::rims(c).iter().map(|q| level(*q)).fold(0.0, f64::max);
    let parts = parts.iter().map(|p| (of(p), p.name.clone()));
    let cores = cores.iter().map(|c| (rod(c), c.name.clone()));
    parts.chain(cores).fold((0.0, String::new()), |a, b| if b.0 > a.0 { b } else { a })
}

fn packed(
    given: &Given<'_>,
    (parts, cores): (&[&Part], &[&Core]),
    room: [f64; 3],
    spec: &Spec,
    faults: &mut Diagnostics,
    span: crate::span::Span,
) -> Held {
    let left = room.map(|r| r - spec.spare_length);
    let mut held = Held {
        what: "packed",
        allowed: room.to_vec(),
        spare: spec.spare_length,
        found: vec![0.0; 3],
        kept: true,
        missing: Vec::new(),
    };
    if left.iter().any(|r| *r <= 0.0) {
        held.kept = parts.is_empty() && cores.is_empty();
        if !held.kept {
            faults.push(errors::no_box_left(spec, span));
        }
        return held;
    }
    let mut worst = 0.0;
    // A core is taken out and comes apart: each of its lengths is a body of its own.
    let rods =
        cores.iter().map(|c| (bodies::rod(given.solid.fitted.runs[c.run].along, c.across), vec![c.name.as_str()]));
    let glued = bodies::rigid(given, parts).into_iter().map(|body| {
        let outline = bodies::outline(given.solid, body.iter().map(|i| parts[*i]), &parts[body[0]].place);
        (outline, body.iter().map(|i| parts[*i].name.as_str()).collect::<Vec<_>>())
    });
    for (outline, names) in glued.chain(rods) {
        let found = bodies::tightest(&outline, left);
        let share = found.iter().zip(left).map(|(f, r)| f / r).fold(0.0, f64::max);
        if share > worst {
            worst = share;
            held.found = found.to_vec();
        }
        if found.iter().zip(left).any(|(f, r)| *f > r + SAME) {
            held.kept = false;
            faults.push(errors::not_in_the_box(spec, &names, found, room, span));
        }
    }
    held
}

/// Forbidden cautions and what has them.
fn without(given: &Given<'_>, scope: &Scope, spec: &Spec, faults: &mut Diagnostics) -> Vec<Without> {
    let mut out: Vec<Without> = Vec::new();
    if spec.without.is_empty() {
        return out;
    }
    let goods = used::goods(given);
    let counts = |by: &[ThingId]| scope.things.is_none() || by.iter().any(|id| scope.share(given, *id) > 0.0);
    let mut seen = BTreeSet::new();
    for &word in spec.without.iter().filter(|w| seen.insert(**w)) {
        let has = |id: ThingId| warns(given, id).contains(&word);
        let own = goods.iter().filter(|(id, by)| has(**id) && counts(by));
        let had_by: Vec<ThingId> = own.map(|(id, _)| *id).collect();
        for id in &had_by {
            let thing = given.design.thing(*id);
            faults.push(errors::caution_forbidden(spec, word, &thing.name.to_string(), thing.head));
        }
        let unnamed = matches!(word, "solvent" | "flammable" | "fumes") && glue_is_open(given, &goods);
        if had_by.is_empty() && unnamed && scope.things.is_none() {
            faults.push(errors::glue_not_named(spec, word));
        }
        let names = had_by.iter().map(|id| given.design.thing(*id).name.to_string());
        out.push(Without { word, had_by: names.collect() });
    }
    out
}

/// Whether something is glued and no file says with what.
pub(super) fn glue_is_open(given: &Given<'_>, goods: &BTreeMap<ThingId, Vec<ThingId>>) -> bool {
    let glue = goods.keys().any(|id| given.design.thing(*id).sort == Some("adhesive"));
    let all_card = given.solid.stocks.iter().all(|s| s.sort == "card");
    !given.solid.joints.is_empty() && !glue && !all_card
}

/// The cautions a stock or supply names.
pub(super) fn warns(given: &Given<'_>, id: ThingId) -> Vec<&'static str> {
    let mut words = Vec::new();
    if !matches!(given.design.thing(id).kind, Kind::Stock | Kind::Supply) {
        return words;
    }
    if let Some(e) = given.design.field(id, "cautions") {
        used::each(given.design, e, &mut |node| {
            if let crate::design::Node::Word(w) = node {
                words.push(*w);
            }
        });
    }
    words
}
