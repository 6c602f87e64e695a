//! The design a maker would write for the same prop of card, at full size.

use std::collections::BTreeSet;

use crate::design::{Design, Expr, Field, Kind, Node, Station, Step, Value};
use crate::eval::{Budget, Facts, Reckoner};
use crate::ids::{LetId, ThingId};
use crate::solid::Solid;
use crate::span::Span;
use crate::units::{Dim, Quantity};

/// Kinds that card has no use for: what lies over the sheet, what is put in, painted or promised of the whole.
///
/// A cover or lining is cloth over foam and adds no form of its own; on card it would only hide the marks. A mock-up is
/// carried, weighed and hung by nobody.
const LEFT_OUT: [Kind; 5] = [Kind::Cover, Kind::Contents, Kind::Hang, Kind::Finish, Kind::Limit];

/// Whether a shell is made by stretching its sheet.
fn is_formed(made: &Expr) -> bool {
    matches!(&made.node, Node::Make { name: "formed", .. } | Node::Word("formed"))
}

/// The design of the mock-up. `facts` are those of the prop itself, `ratio` is the mock-up's length for one of the
/// prop's.
#[must_use]
pub fn drawn(design: &Design, facts: &dyn Facts, card: ThingId, ratio: f64) -> Design {
    let mut out = design.clone();
    let mut pen = Pen { design, facts, card, budget: Budget::new() };
    for (i, one) in out.lets.iter_mut().enumerate() {
        let known = if one.params == 0 { facts.value(LetId::new(i)).ok() } else { None };
        match known.and_then(|v| written(&v, one.value.span)) {
            Some(value) => one.value = value,
            None => pen.settle(&mut one.value),
        }
    }
    // They were held against the prop.
    for one in &mut out.requires {
        one.poisoned = true;
    }
    for thing in &mut out.things {
        // What is skipped silently is told of by nobody.
        thing.poisoned |= LEFT_OUT.contains(&thing.kind);
        if thing.poisoned {
            continue;
        }
        for field in thing.fields.values_mut() {
            pen.settle(&mut field.value);
        }
        // Card does not stretch: what is formed from one piece is cut in rings.
        if thing.kind == Kind::Shell && thing.fields.get("made").is_some_and(|f| is_formed(&f.value)) {
            thing.fields.remove("made");
        }
        thing.stations.iter_mut().flat_map(Station::values_mut).for_each(|e| pen.settle(e));
        let strip = thing.kind == Kind::Border && thing.sort != Some("band");
        if !(strip || matches!(thing.kind, Kind::Stock | Kind::Supply | Kind::Cutter | Kind::Paper | Kind::Lacing)) {
            for field in thing.fields.values_mut() {
                pen.of_card(&mut field.value);
            }
        }
    }
    for defaults in out.defaults.values_mut() {
        defaults.values_mut().for_each(|e| pen.settle(e));
    }
    thickness(&mut out, &mut pen, ratio);
    // Values are figures now, and every part waits for the card.
    let first = |step: &Step| match step {
        Step::Let(_) => 0,
        Step::Thing(id) if *id == card => 1,
        Step::Thing(_) | Step::Require(_) => 2,
    };
    out.order.sort_by_key(first);
    out
}

/// What of the prop its mock-up is without, by name: things that have no part in it, and goods that are not bought. From
/// here on nothing knows of them but the holes that they go through and the places that are marked for them.
#[must_use]
pub fn without(prop: &Design, drawn: &mut Design, shaped: &Solid) -> Vec<String> {
    let goods = shaped.fitted.runs.iter().map(|r| r.thing).chain(shaped.fitted.lumps.iter().map(|l| l.thing));
    let goods: BTreeSet<ThingId> = goods.collect();
    let mut names = Vec::new();
    for thing in &mut drawn.things {
        if thing.poisoned && !prop.thing(thing.id).poisoned || goods.contains(&thing.id) {
            names.push(thing.name.to_string());
            // Holes for a lace are pierced all the same.
            thing.poisoned |= thing.kind != Kind::Lacing;
        }
    }
    for glue in drawn.things.iter_mut().filter(|t| t.kind == Kind::Supply && t.sort == Some("adhesive")) {
        glue.poisoned = true;
    }
    names
}

/// The card in proportion to the prop at full size, and magnets that are only marked on it.
fn thickness(out: &mut Design, pen: &mut Pen<'_>, ratio: f64) {
    let head = out.thing(pen.card).head;
    let mut lengths = Vec::new();
    for name in ["thick", "tightest", "tightest_warm"] {
        if let Some(Value::Quantity(q)) = pen.of_thing(pen.card, name) {
            lengths.extend(Quantity::new(q.value() / ratio, q.dim()).map(|q| (name, Node::Quantity(q))));
        }
    }
    if let Some(Value::List(bends)) = pen.of_thing(pen.card, "neutral") {
        let bends = bends.into_iter().map(|bend| match bend {
            Value::Made(mut made) => {
                if let Some(Value::Quantity(q)) = made.parts.get("radius").cloned()
                    && let Some(q) = Quantity::new(q.value() / ratio, q.dim())
                {
                    made.parts.insert("radius", Value::Quantity(q));
                }
                Value::Made(made)
            }
            other => other,
        });
        lengths.extend(written(&Value::List(bends.collect()), head).map(|e| ("neutral", e.node)));
    }
    let field = |node: Node| Field { key: head, value: Expr { node, span: head }, written: true };
    for (name, node) in lengths {
        out.things[pen.card.index()].fields.insert(name, field(node));
    }
    for thing in &mut out.things {
        thing.fields.remove("passes");
        // Card is not turned down.
        if thing.kind == Kind::Cap {
            thing.fields.remove("turn");
        }
        // Marks are only drawn on it.
        if thing.kind == Kind::Mark {
            thing.fields.remove("deep");
        }
    }
    for thing in out.things.iter_mut().filter(|t| t.kind == Kind::Supply && t.sort == Some("magnet")) {
        thing.fields.extend(Quantity::new(0.0, Dim::LENGTH).map(|q| ("thick", field(Node::Quantity(q)))));
    }
}

struct Pen<'a> {
    design: &'a Design,
    facts: &'a dyn Facts,
    card: ThingId,
    budget: Budget,
}

impl Pen<'_> {
    /// The value that a thing's field has in the prop.
    fn of_thing(&mut self, id: ThingId, name: &str) -> Option<Value> {
        let e = self.design.field(id, name)?;
        Reckoner::new(self.design, self.facts, &mut self.budget).value(e).ok()
    }

    /// Puts figures in place of what is measured on the prop and of what other things say of themselves: neither is to
    /// change with the sheet.
    fn settle(&mut self, e: &mut Expr) {
        if matches!(e.node, Node::Fact { .. } | Node::FieldOf(..)) {
            let value = Reckoner::new(self.design, self.facts, &mut self.budget).value(e).ok();
            if let Some(figure) = value.and_then(|v| written(&v, e.span)) {
                *e = figure;
            }
            return;
        }
        e.children_mut().into_iter().for_each(|e| self.settle(e));
    }

    /// Puts the card in place of sheet goods; of several layers one is left. A seam needs no strip behind it.
    fn of_card(&self, e: &mut Expr) {
        e.children_mut().into_iter().for_each(|e| self.of_card(e));
        match &mut e.node {
            Node::Things(anchors) => {
                let sheet = |id: ThingId| {
                    let thing = self.design.thing(id);
                    thing.kind == Kind::Stock && thing.sort != Some("rod")
                };
                if !anchors.is_empty() && anchors.iter().all(|a| sheet(a.thing)) {
                    anchors.truncate(1);
                    anchors[0].thing = self.card;
                }
            }
            Node::List(items) => {
                let card = |e: &Expr| matches!(&e.node, Node::Things(a) if a.len() == 1 && a[0].thing == self.card);
                if items.len() > 1 && items.iter().all(card) {
                    items.truncate(1);
                }
            }
            // Card is scored whatever the prop's sheet keeps at a fold.
            Node::Make { name: "folded", parts } => parts.retain(|(part, _)| *part != "skin"),
            Node::Make { name, parts } if *name == "backed" => {
                *name = "butt";
                parts.retain(|(part, _)| matches!(*part, "facing" | "stagger"));
            }
            _ => {}
        }
    }
}

/// A value as an expression that has it; `None` of what stands for nothing that can be written.
fn written(value: &Value, span: Span) -> Option<Expr> {
    let all = |items: &[Value]| items.iter().map(|v| written(v, span)).collect::<Option<Vec<_>>>();
    let node = match value {
        Value::Quantity(q) => Node::Quantity(*q),
        Value::Price(p, per) => Node::Price(*p, *per),
        Value::Text(t) => Node::Text(t.clone()),
        Value::Bool(b) => Node::Bool(*b),
        Value::Word(w) => Node::Word(w),
        Value::By(parts) => Node::By(parts.iter().map(|q| Expr { node: Node::Quantity(*q), span }).collect()),
        Value::List(items) => Node::List(all(items)?),
        Value::Things(anchors) => Node::Things(anchors.clone()),
        Value::Made(made) => {
            let parts = made.parts.iter().map(|(name, v)| Some((*name, written(v, made.span)?)));
            Node::Make { name: made.name, parts: parts.collect::<Option<Vec<_>>>()? }
        }
    };
    Some(Expr { node, span: if let Value::Made(made) = value { made.span } else { span } })
}
