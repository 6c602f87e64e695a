//! What to beware of: rules from what the prop is made of, how it is made and how it is worn, to the usual cautions of
//! the trade. Each is one sentence or two, with the signal word that fits the gravest thing it speaks of (ANSI
//! Z535.4-2007 4.14 for the words, and for several hazards in one message the word of the gravest, as Regulation (EC)
//! 1272/2008 article 20 has it too).
//!
//! Which word an everyday hazard earns no standard says: heat guns and knives are a CAUTION by the definitions (burns
//! and cuts are minor or moderate), solvents, choking, strangling, magnets and being blind in a crowd a WARNING (they
//! kill, if seldom). Sources of the single rules stand beside them; where none stands it is common practice, no source.

use std::collections::BTreeMap;

use super::facts::View;
use super::{Given, held, used};
use crate::design::{Kind, ThingName};
use crate::eval::{Budget, Fields};
use crate::ids::ThingId;
use crate::ledger::{Caution, Signal};
use crate::piece::About;
use crate::solid::{Course, Stroke};

/// Under this age a wearer is a child here: toys are made for those under 14 (Directive 2009/48/EC, article 2).
const CHILD: f64 = 14.0;

/// One row: the word of the table or of the prop's own, its signal word, a title, what to do.
pub(super) type Row = (&'static str, Signal, &'static str, &'static str);

/// In the order in which they are told within one signal word.
pub(super) const ROWS: &[Row] = &[
    (
        "neck",
        Signal::Warning,
        "straps near the neck",
        "A strap or cord that catches can strangle: let it come open by itself when pulled hard; on a child never \
         without such a breakaway, and never on stairs, machines or climbing frames.",
    ),
    (
        "head",
        Signal::Warning,
        "sight and hearing",
        "Worn on the head: keep eyes, ears and breath clear, have someone beside you in a crowd, and take it off for \
         stairs and roads. It is no helmet and protects from nothing.",
    ),
    // H225, H336 and the like of a solvent contact adhesive, each a Danger or Warning of Regulation (EC) 1272/2008,
    // annex I; P210, P261, P271 (from memory).
    (
        "solvent",
        Signal::Warning,
        "solvent vapour",
        "Solvent vapour burns and makes drowsy: open windows, no flame or spark near, gloves on, lid shut between uses.",
    ),
    (
        "flammable",
        Signal::Warning,
        "fire",
        "It burns readily, wet or as vapour: no flame, spark or heat near, on the bench and when worn.",
    ),
    (
        "flame",
        Signal::Warning,
        "naked flame",
        "Keep a naked flame from cloth, foam, hair and paper, never leave it alone, and have water at hand.",
    ),
    (
        "fumes",
        Signal::Warning,
        "fumes",
        "Heated, sprayed or cut by a beam it gives off fumes: work outdoors or under an exhaust.",
    ),
    // Under three years: 16 CFR 1501 and EN 71-1, 5.1 (from memory).
    (
        "small_parts",
        Signal::Warning,
        "small parts",
        "Small parts choke: keep them from children under three, and pull at each before a child wears it.",
    ),
    (
        "magnets",
        Signal::Warning,
        "magnets",
        "Strong magnets injure gravely when swallowed and disturb implants: keep them from children and from hearts.",
    ),
    (
        "battery",
        Signal::Warning,
        "batteries",
        "Batteries burn when shorted or crushed, and button cells kill when swallowed: a closed, screwed holder.",
    ),
    ("latex", Signal::Warning, "latex", "It holds latex, which some cannot bear: ask who wears it and who makes it."),
    (
        "blade",
        Signal::Caution,
        "knives",
        "Knives cut: a fresh blade, several light strokes along a steel rule, the free hand never before the edge.",
    ),
    (
        "awl",
        Signal::Caution,
        "awls and punches",
        "Awls and punches pierce: work down onto a block, never toward the hand that holds.",
    ),
    (
        "saw",
        Signal::Caution,
        "saws and splinters",
        "Saws cut and rods splinter: clamp the rod, saw away from the hand that holds, and sand and round both ends \
         before anyone takes hold of it.",
    ),
    (
        "heat",
        Signal::Caution,
        "heat",
        "Heat guns and hot glue burn: heat-proof gloves, never on the body, and stop where foam begins to smoke. How warm \
         goods may get is for their label to say.",
    ),
    (
        "dust",
        Signal::Caution,
        "dust",
        "Sanding and grinding make fine dust: mask and goggles, outdoors or under an exhaust, wipe up wet.",
    ),
    (
        "load",
        Signal::Caution,
        "loads that hang",
        "What hangs can fall: try straps, rings and seams low down with twice the load, and look at them before each \
         wearing.",
    ),
    (
        "pinch",
        Signal::Caution,
        "plates that slide",
        "Plates that slide pinch skin, hair and cloth between them: wear a sleeve below, tuck slack straps flat, and \
         go slowly through the whole movement before it is worn among people.",
    ),
    (
        "sharp",
        Signal::Caution,
        "sharp points",
        "Points and edges of the finished piece cut and poke: round them or cover them before it goes among people.",
    ),
    (
        "glass",
        Signal::Caution,
        "glass",
        "Glass, or what breaks like it, cuts: gloves and goggles, edges taped, and not in a crowd.",
    ),
    ("skin", Signal::Caution, "skin", "It irritates skin while wet: gloves, and wash at once."),
    ("eyes", Signal::Caution, "eyes", "It irritates eyes: goggles, and rinse long with water."),
    ("nickel", Signal::Caution, "nickel", "It holds nickel, which some skins cannot bear: not on bare skin."),
    (
        "spoil",
        Signal::Notice,
        "try it first",
        "Glue, paint and heat spoil some goods and tables: try them on an offcut, on a covered bench.",
    ),
];

/// Sorts of supplies whose single pieces are small enough to swallow.
const SMALL: &[&str] = &["beads", "ring", "hook", "buckle", "snap", "rivet", "eyelet", "magnet", "peg"];

/// Reasons, by the word of the caution.
#[derive(Default)]
struct Reasons(BTreeMap<&'static str, Vec<String>>);

impl Reasons {
    fn add(&mut self, key: &'static str, why: impl Into<String>) {
        let list = self.0.entry(key).or_default();
        let why = why.into();
        if !list.contains(&why) {
            list.push(why);
        }
    }
}

/// The cautions of a prop, the gravest first.
pub(super) fn cautions(given: &Given<'_>, view: &View<'_>, budget: &mut Budget) -> Vec<Caution> {
    let mut why = Reasons::default();
    let age = age(given, view, budget);
    let goods = used::goods(given);
    of_goods(given, &goods, age, &mut why);
    of_work(given, &goods, &mut why);
    of_wear(given, age, &mut why);
    let mut out: Vec<Caution> = Vec::new();
    for (key, signal, title, text) in ROWS {
        if let Some(because) = why.0.remove(key) {
            out.push(Caution { signal: *signal, key, title, text, because });
        }
    }
    out.sort_by_key(|c| c.signal);
    out
}

/// The wearer's age in years, where it is known.
fn age(given: &Given<'_>, view: &View<'_>, budget: &mut Budget) -> Option<f64> {
    let wearer = given.design.wearer?;
    Fields::new(given.design, wearer, view, budget).maybe_number("age").ok()?
}

fn name(given: &Given<'_>, id: ThingId) -> String {
    given.design.thing(id).name.to_string()
}

/// What stocks and supplies warn of, and small parts.
fn of_goods(given: &Given<'_>, goods: &BTreeMap<ThingId, Vec<ThingId>>, age: Option<f64>, why: &mut Reasons) {
    for id in goods.keys() {
        let thing = given.design.thing(*id);
        for word in held::warns(given, *id) {
            why.add(word, name(given, *id));
        }
        // An adhesive or a magnet is what it is, said or not.
        match thing.sort {
            Some("magnet") => why.add("magnets", name(given, *id)),
            Some(sort) if SMALL.contains(&sort) && age.is_none_or(|a| a < CHILD) => {
                why.add("small_parts", name(given, *id));
            }
            _ => {}
        }
        if matches!(thing.sort, Some("paint" | "sealer" | "adhesive")) {
            why.add("spoil", name(given, *id));
        }
    }
    if held::glue_is_open(given, goods) {
        // Most that sticks foam is a solvent contact adhesive.
        why.add("solvent", "contact adhesive, if you take it: no glue is named");
        why.add("spoil", "glue");
    }
}

/// What the work takes: cutting, piercing, warming, sanding.
fn of_work(given: &Given<'_>, goods: &BTreeMap<ThingId, Vec<ThingId>>, why: &mut Reasons) {
    let solid = given.solid;
    if !given.pieces.pieces.is_empty() {
        why.add("blade", "cutting the pieces");
    }
    // A blade that goes part of the way slips more readily than one that goes through.
    for trace in solid.traces.iter().filter(|t| matches!(t.stroke, Stroke::Score | Stroke::Groove)) {
        let where_ = if matches!(trace.course, Course::Fold(_)) { " at the folds" } else { "" };
        why.add("blade", format!("the {}s{where_} of {}", trace.stroke.word(), name(given, trace.thing)));
    }
    if let Some(cutter) = solid.job.cutter.as_ref().filter(|c| c.sort == "laser") {
        why.add("fumes", cutter.name.clone());
    }
    for thing in given.design.things.iter().filter(|t| t.kind == Kind::Lacing && !t.poisoned) {
        why.add("awl", thing.name.to_string());
    }
    for core in &solid.fitted.cores {
        why.add("saw", core.name.clone());
    }
    for (id, by) in goods {
        if given.design.thing(*id).sort.is_some_and(|s| matches!(s, "eyelet" | "rivet")) && !by.is_empty() {
            why.add("awl", name(given, *id));
        }
    }
    for panel in &given.flat.panels {
        let part = &solid.parts[panel.part.index()];
        let stock = &solid.stocks[part.layers[panel.layer].stock];
        if panel.tightest.is_some_and(|(radius, _)| radius < stock.tightest - 1e-6) {
            why.add("heat", format!("bending {}", part.name));
        }
    }
    for piece in &given.pieces.pieces {
        if piece.formed.is_some() {
            why.add("heat", format!("forming {}", solid.parts[piece.part.index()].name));
            why.add("spoil", format!("warming {}", solid.stocks[piece.stock].name));
        }
        if piece.marks.iter().any(|m| matches!(m.about, About::Bevel(_))) {
            why.add("dust", format!("bevels of {}", piece.name));
        }
    }
}

/// What wearing it does: loads, necks, heads.
fn of_wear(given: &Given<'_>, age: Option<f64>, why: &mut Reasons) {
    let design = given.design;
    for thing in design.things.iter().filter(|t| !t.poisoned) {
        let named = thing.name.to_string();
        match thing.kind {
            // A sling goes over a shoulder or a neck; so may anything that is asked how it hangs.
            Kind::Strap if thing.sort == Some("sling") => {
                why.add("load", named.clone());
                why.add("neck", named);
            }
            Kind::Strap | Kind::Hang => why.add("load", named),
            Kind::Articulation => why.add("pinch", named),
            _ => {}
        }
    }
    let about_neck = measured(given, "neck");
    about_neck.into_iter().for_each(|n| why.add("neck", n.to_string()));
    // Nothing says that a shell goes over a head but that it is made to a head's measures.
    measured(given, "head").into_iter().for_each(|n| why.add("head", n.to_string()));
    if age.is_some_and(|a| a < CHILD) && why.0.contains_key("neck") {
        let open = design.things.iter().any(|t| t.kind == Kind::Closure && t.sort == Some("breakaway"));
        why.add("neck", if open { "a child wears it" } else { "a child wears it, and no breakaway is named" });
    }
}

/// The parts that are made to a measure of this part of the wearer's body: `neck_around`, `head_deep` …
fn measured(given: &Given<'_>, of: &str) -> Vec<ThingName> {
    let is_of = |m: &&'static str| m.strip_prefix(of).is_some_and(|rest| rest.starts_with('_'));
    let made = given.design.things.iter().filter(|t| used::is_part(t.kind) || t.kind == Kind::Strap);
    made.filter(|t| t.measures.iter().any(is_of)).map(|t| t.name.clone()).collect()
}
