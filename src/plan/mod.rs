//! Design, solid, flat, pieces, layout → ledger: weighs everything, says what finishes take, holds the prop to its
//! limits, answers what is asked of things made (`require`, and the mass of contents), and lists what to beware of.
//! Rank 8.
//!
//! Facts of the solid are asked of whoever made it, through [`Facts`]; those of what is made are answered here. The
//! order of the design already respects every use, so one walk settles values, contents and questions; limits are held
//! last, when everything is weighed.
//!
//! Conventions chosen here, where the language leaves room:
//! - a sheet's mass is that of its emitted pieces; its centre is that of the part's own surface, a lap or tabs counted
//!   along the seam;
//! - a mirrored twin is the mirror image about the prop's plane y = 0, and a pair is weighed together;
//! - glue is not weighed, nor what seams lose or gain by being bevelled after cutting;
//! - a limit on parts counts their own sheets and what is fitted to any of them, not other parts that stand on them;
//! - `long` is the greatest extent along the axes of the one part, or of the prop when there are several; `reach` is
//!   from the prop's upright axis; both count sheet parts and cores only;
//! - taken apart (`packed`) means: what is glued stays together (joined edges, a loose cap not), each such body alone
//!   stands, lies or is turned about its own axis in the box; several in one box, and on the slant, are not tried.

mod bodies;
mod buy;
mod cautions;
mod coats;
mod errors;
mod facts;
mod glue;
mod held;
mod limits;
#[cfg(test)]
mod tests;
mod used;
mod weigh;

use crate::design::{Design, Kind, Step, Value};
use crate::diag::Diagnostics;
use crate::eval::{self, Budget, Facts, Fields, Reckoner, Stop};
use crate::flat::Flat;
use crate::ids::ThingId;
use crate::ledger::{Contents, Entry, Hang, Ledger, Work};
use crate::piece::Pieces;
use crate::sheet::Layout;
use crate::solid::Solid;
use crate::span::Span;
use facts::View;

/// What the plan is made from.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a> {
    pub design: &'a Design,
    pub solid: &'a Solid,
    pub flat: &'a Flat,
    pub pieces: &'a Pieces,
    /// `None` while only mistakes are looked for: sheets are not counted then.
    pub layout: Option<&'a Layout>,
    /// Whether it is asked where sheet parts have their weight: no mistake lies there, and it is much of the work.
    pub middles: bool,
}

/// Whether a design asks anything that only the plan answers.
#[must_use]
pub fn asked(design: &Design) -> bool {
    let of_thing = |k: Kind| matches!(k, Kind::Hang | Kind::Limit | Kind::Contents);
    let of_prop = |id| !of_work(design, id).is_empty();
    design.requires.iter().any(|r| r.late)
        || design.things.iter().any(|t| of_thing(t.kind))
        || design.prop.is_some_and(of_prop)
}

/// What a prop asks of the work, which is kept as asked.
const OF_WORK: [&str; 2] = ["deadline", "bench"];

/// Those of them that a prop writes, and where.
fn of_work(design: &Design, prop: ThingId) -> Vec<(&'static str, Span)> {
    let field = |name| design.thing(prop).field(name).filter(|f| f.written);
    OF_WORK.into_iter().filter_map(|name| Some((name, field(name)?.value.span))).collect()
}

/// The plan. `facts` answers for the solid; `budget` is what is left of the steps of reckoning.
#[must_use]
pub fn plan(given: Given<'_>, facts: &dyn Facts, budget: &mut Budget) -> (Ledger, Diagnostics) {
    let design = given.design;
    let mut planner = Planner {
        given,
        facts,
        budget,
        lets: vec![None; design.lets.len()],
        unbuilt: weigh::unbuilt(&given),
        ledger: Ledger { entries: weigh::entries(&given), ..Ledger::default() },
        limits: Vec::new(),
        money: Money::default(),
        faults: Diagnostics::new(),
    };
    for step in &design.order {
        if let Err(Stop::Fault(d)) = planner.step(*step) {
            planner.faults.push(*d);
        }
    }
    let Planner { mut ledger, limits, money, mut faults, unbuilt, lets, budget, .. } = planner;
    ledger.empty = weigh::sum(&ledger.entries, &unbuilt, weigh::Load::Empty);
    ledger.full = weigh::sum(&ledger.entries, &unbuilt, weigh::Load::Full);
    ledger.coatings = coats::coatings(given.solid);
    ledger.contents = contents(&given, &ledger.entries);
    let view = View { given, facts, entries: &ledger.entries, unbuilt: &unbuilt, lets: &lets };
    ledger.cautions = cautions::cautions(&given, &view, budget);
    for spec in &limits {
        let limit = held::hold(&given, &ledger.entries, &unbuilt, spec, &mut faults);
        ledger.limits.push(limit);
    }
    ledger.shopping = buy::shopping(&given, &unbuilt, money.currency);
    if let (Some(shopping), Some((budget, span))) = (&mut ledger.shopping, money.budget) {
        buy::hold(shopping, budget, span).into_iter().for_each(|d| faults.push(d));
    }
    (ledger, faults)
}

/// What a prop says of money: what everything to buy may cost and where that is written, and what money is called.
#[derive(Default)]
struct Money {
    budget: Option<(f64, Span)>,
    currency: Option<String>,
}

/// The state of the walk.
struct Planner<'a> {
    given: Given<'a>,
    facts: &'a dyn Facts,
    budget: &'a mut Budget,
    /// Values that read what is made, as they come to be known.
    lets: Vec<Option<Value>>,
    /// What would weigh something and is not there.
    unbuilt: Vec<String>,
    ledger: Ledger,
    limits: Vec<limits::Spec>,
    money: Money,
    faults: Diagnostics,
}

impl Planner<'_> {
    fn step(&mut self, step: Step) -> Result<(), Stop> {
        let design = self.given.design;
        match step {
            Step::Let(id) => {
                let l = design.value(id);
                // What reads the solid only is known already.
                if l.params > 0 || l.poisoned || self.facts.value(id).is_ok() {
                    return Ok(());
                }
                let value = self.with(|view, budget| Reckoner::new(design, view, budget).value(&l.value))?;
                self.lets[id.index()] = Some(value);
            }
            Step::Require(i) => {
                let r = &design.requires[i];
                if r.late && !r.poisoned {
                    self.with(|view, budget| eval::hold(design, view, budget, r))?;
                }
            }
            Step::Thing(id) => {
                let thing = design.thing(id);
                if thing.poisoned || !thing.built {
                    return Ok(());
                }
                match thing.kind {
                    Kind::Prop => self.prop(id)?,
                    Kind::Contents => self.contents(id)?,
                    Kind::Hang => {
                        let mut hang = self.read(id, hang)?;
                        let on = thing.target.iter().flat_map(|t| &t.anchors);
                        hang.on = on.map(|a| design.thing(a.thing).name.to_string()).collect();
                        self.faults.push(errors::hang_not_answered(&hang.name, hang.origin));
                        self.ledger.hangs.push(hang);
                    }
                    Kind::Limit => {
                        let spec = self.read(id, limits::read)?;
                        if spec.is_empty() {
                            self.faults.push(errors::limits_nothing(&spec.name, spec.origin));
                        }
                        self.limits.push(spec);
                    }
                    _ => {}
                }
            }
        }
        Ok(())
    }

    /// What the prop may cost, and what it asks of the work. A mock-up asks nothing.
    fn prop(&mut self, id: ThingId) -> Result<(), Stop> {
        if self.given.solid.job.mock_up.is_some() {
            return Ok(());
        }
        self.money = self.read(id, |f| {
            let budget = f.maybe_number("budget")?.map(|money| (money, f.span("budget")));
            Ok(Money { budget, currency: if f.written("currency") { Some(f.text("currency")?) } else { None } })
        })?;
        self.ledger.work = self.read(id, |f| {
            let deadline = if f.written("deadline") { Some(f.text("deadline")?) } else { None };
            Ok(Work { deadline, bench: f.maybe_number("bench")? })
        })?;
        let design = self.given.design;
        let asked = of_work(design, id);
        if !asked.is_empty() {
            self.faults.push(errors::work_not_answered(&design.thing(id).name.to_string(), &asked));
        }
        Ok(())
    }

    /// The mass of contents that reads what is made.
    fn contents(&mut self, id: ThingId) -> Result<(), Stop> {
        let waits = |e: &Entry| e.thing == id && e.mass.is_none();
        let Some(at) = self.ledger.entries.iter().position(waits) else { return Ok(()) };
        let one = self.read(id, |f| f.number("mass"))?;
        let entry = &mut self.ledger.entries[at];
        entry.mass = Some(one * entry.count as f64);
        Ok(())
    }

    fn with<T>(&mut self, f: impl FnOnce(&dyn Facts, &mut Budget) -> T) -> T {
        let view = View {
            given: self.given,
            facts: self.facts,
            entries: &self.ledger.entries,
            unbuilt: &self.unbuilt,
            lets: &self.lets,
        };
        f(&view, self.budget)
    }

    fn read<T>(&mut self, id: ThingId, f: impl FnOnce(&mut Fields<'_>) -> Result<T, Stop>) -> Result<T, Stop> {
        let design = self.given.design;
        self.with(|view, budget| f(&mut Fields::new(design, id, view, budget)))
    }
}

fn hang(fields: &mut Fields<'_>) -> Result<Hang, Stop> {
    let thing = fields.thing();
    Ok(Hang {
        name: thing.name.to_string(),
        origin: thing.head,
        on: Vec::new(),
        over: fields.word("support")?,
        slide: fields.length("slide")?,
        steepest: fields.maybe_number("steepest")?,
    })
}

/// What is carried.
fn contents(given: &Given<'_>, entries: &[Entry]) -> Vec<Contents> {
    let solid = given.solid;
    let carried = solid.fitted.carried.iter().map(|c| {
        let lump = &solid.fitted.lumps[c.lump];
        Contents {
            name: lump.name.clone(),
            within: given.design.thing(solid.parts[c.part.index()].thing).name.to_string(),
            count: if lump.pair { 2 } else { 1 },
            mass: entries.iter().find(|e| e.thing == lump.thing).and_then(|e| Some(e.mass? / e.count as f64)),
            size: c.size,
            level: c.middle.z,
            centre: lump.at.first().copied().unwrap_or_default(),
        }
    });
    carried.collect()
}
