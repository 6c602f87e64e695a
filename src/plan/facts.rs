//! The facts of what is made; those of the solid are asked of whoever made it.

use super::weigh::{self, Load};
use super::{Given, errors};
use crate::design::{Anchor, Face, Kind, Place, Value};
use crate::eval::{Answer, Facts, Stop};
use crate::fitted::Run;
use crate::ids::{LetId, ThingId};
use crate::ledger::Entry;
use crate::schema::{self, Stage};
use crate::span::Span;
use crate::units::{Dim, Quantity};

/// What values of the plan ask of the world.
pub(super) struct View<'a> {
    pub given: Given<'a>,
    pub facts: &'a dyn Facts,
    pub entries: &'a [Entry],
    pub unbuilt: &'a [String],
    /// Values that read what is made.
    pub lets: &'a [Option<Value>],
}

fn of(x: f64, dim: Dim) -> Answer {
    Quantity::new(x, dim).map(Value::Quantity).ok_or(Stop::Skip)
}

impl Facts for View<'_> {
    fn place(&self, place: Place, span: Span) -> Answer {
        self.facts.place(place, span)
    }

    fn fact(&self, anchor: &Anchor, face: Option<Face>, name: &'static str, span: Span) -> Answer {
        let thing = self.given.design.thing(anchor.thing);
        let made = |f: &schema::Fact| f.stage == Stage::Made;
        if anchor.edge.is_some() || !schema::kind_of(thing.kind).fact(name).is_some_and(made) {
            return self.facts.fact(anchor, face, name, span);
        }
        if thing.poisoned || !thing.built {
            return Err(Stop::Skip);
        }
        match (thing.kind, name) {
            (Kind::Prop, "mass") => {
                let all = weigh::sum(self.entries, self.unbuilt, Load::Full);
                self.weighed(all.mass, &all.missing, "the prop", span)
            }
            (_, "mass") => self.mass_of(anchor.thing, &thing.name.to_string(), span),
            (Kind::Lacing, "long") => of(self.runs(anchor.thing).map(bought).sum(), Dim::LENGTH),
            (Kind::Prop, "sheets") => self.sheets(|_| true),
            (Kind::Stock, "sheets") => self.sheets(|stock| self.given.solid.stocks[stock].thing == anchor.thing),
            (Kind::Stock, "area") => {
                let stocks = &self.given.solid.stocks;
                let own = self.given.pieces.pieces.iter().filter(|p| stocks[p.stock].thing == anchor.thing);
                of(own.map(|p| p.area).sum(), Dim::AREA)
            }
            _ => Err(errors::not_built_yet(
                &format!("the fact `{name}` of this {}", schema::kind_of(thing.kind).word),
                span,
            )
            .into()),
        }
    }

    fn value(&self, id: LetId) -> Answer {
        match self.facts.value(id) {
            Err(Stop::Skip) => self.lets.get(id.index()).cloned().flatten().ok_or(Stop::Skip),
            known => known,
        }
    }
}

/// What is cut for a run: every row, of both of a pair.
fn bought(run: &Run) -> f64 {
    run.long() * run.rows as f64 * if run.pair { 2.0 } else { 1.0 }
}

impl View<'_> {
    fn runs(&self, thing: ThingId) -> impl Iterator<Item = &Run> {
        self.given.solid.fitted.runs.iter().filter(move |r| r.thing == thing)
    }

    /// Everything a thing of its own adds: its sheets, runs, lumps, coats.
    fn mass_of(&self, thing: ThingId, name: &str, span: Span) -> Answer {
        let own: Vec<&Entry> = self.entries.iter().filter(|e| e.thing == thing).collect();
        let missing: Vec<String> = own.iter().filter(|e| e.mass.is_none()).map(|e| e.name.clone()).collect();
        self.weighed(own.iter().filter_map(|e| e.mass).sum(), &missing, name, span)
    }

    fn weighed(&self, mass: f64, missing: &[String], name: &str, span: Span) -> Answer {
        if missing.is_empty() { of(mass, Dim::MASS) } else { Err(errors::not_weighed(name, missing, span).into()) }
    }

    fn sheets(&self, of_stock: impl Fn(usize) -> bool) -> Answer {
        let layout = self.given.layout.ok_or(Stop::Skip)?;
        of(layout.sheets.iter().filter(|s| of_stock(s.stock)).count() as f64, Dim::NONE)
    }
}
