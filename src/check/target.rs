//! What a thing stands on, in, over or beside; and the prop and the wearer of the run.

use super::errors;
use super::scope::FILES;
use super::state::Checker;
use crate::ast::{self, Preposition};
use crate::design::{self, Anchor, Kind, Relation};
use crate::ids::ThingId;
use crate::schema::{self, Hosts};
use crate::span::Span;

impl Checker<'_> {
    /// Types the target of a thing.
    pub fn lower_target(&mut self, id: ThingId) {
        let raw = &self.things[id.index()];
        let (kind, scope, ast) = (raw.kind, raw.scope, raw.ast);
        let Some(target) = &ast.target else {
            if kind.target.required {
                self.report(errors::missing_target(ast, kind));
            }
            return;
        };
        if kind.target.things == Hosts::Nothing {
            self.report(errors::no_target(target.word.span.to(target.value.span), kind.word));
            return;
        }
        let relation = match target.word.value {
            Preposition::On => Relation::On,
            Preposition::In => Relation::In,
            Preposition::Over => Relation::Over,
            Preposition::Beside => Relation::Beside,
        };
        if !kind.target.words.contains(&relation) {
            self.report(errors::wrong_preposition(target.word.span, kind));
            return;
        }
        let before = self.errors;
        let anchors = self.anchors(&target.value, scope, true);
        if self.errors > before {
            return;
        }
        for a in &anchors {
            if !self.hosts(kind.target.things, a) {
                let host = self.design.thing(a.thing);
                let name = host.name.to_string();
                let host_kind = schema::kind_of(host.kind);
                let head = host.head;
                self.report(errors::wrong_target(target.value.span, kind, &name, host_kind, head, a.edge));
                return;
            }
        }
        // `edge` targets of a cap and the like: a name of several would make one thing stand on many.
        if !kind.target.many && anchors.len() > 1 {
            self.report(errors::one_target(target.value.span, kind.word, anchors.len()));
            return;
        }
        self.design.things[id.index()].target = Some(design::Target { relation, anchors, span: target.value.span });
    }

    fn hosts(&self, hosts: Hosts, a: &Anchor) -> bool {
        let kind = self.design.thing(a.thing).kind;
        let part = matches!(kind, Kind::Shell | Kind::Dome | Kind::Plate | Kind::Cap | Kind::Keel);
        let edged = !schema::kind_of(kind).edges.is_empty();
        match hosts {
            Hosts::Nothing => false,
            Hosts::Part => part && a.edge.is_none(),
            Hosts::Edge => edged && a.edge.is_some(),
            Hosts::PartOrEdge => part && a.edge.is_none() || edged && a.edge.is_some(),
            Hosts::Strap => kind == Kind::Strap,
            Hosts::Attachment => kind == Kind::Attachment,
            Hosts::StrapOrAttachment => matches!(kind, Kind::Strap | Kind::Attachment),
            Hosts::Anything => schema::kind_of(kind).target.things != Hosts::Nothing || part,
        }
    }

    /// Finds the prop and the wearers of the run.
    pub fn find_prop(&mut self) {
        let props: Vec<ThingId> = self.design.things.iter().filter(|t| t.kind == Kind::Prop).map(|t| t.id).collect();
        match props.as_slice() {
            [] if self.unread => {}
            [] => self.report(errors::no_prop()),
            [one] => self.design.prop = Some(*one),
            [first, rest @ ..] => {
                let first_head = self.design.thing(*first).head;
                for other in rest {
                    let head = self.design.thing(*other).head;
                    self.report(errors::two_props(head, first_head));
                }
                self.design.prop = Some(*first);
            }
        }
        let written = self.prop_wearers();
        self.design.wearers = written.iter().map(|(n, _)| n.clone()).collect();
        if !written.is_empty() || self.options.wearer.is_some() {
            let span = written.first().map(|w| w.1);
            self.design.wearer = self.once(|c| c.seek_wearer(span, false));
        }
    }

    /// Finds the stock that a mock-up is cut from.
    pub fn find_card(&mut self) {
        let options = self.options;
        let Some(name) = &options.card else { return };
        let found = self.group(&name.value, FILES).and_then(|g| self.groups[g].members.get(&None).copied());
        match found.filter(|id| self.design.thing(*id).kind == Kind::Stock) {
            Some(id) => self.design.card = Some(id),
            None => {
                let near = self.nearest_name(&name.value, FILES);
                self.report(errors::no_such_card(name, near.as_deref()));
            }
        }
    }

    /// A mock-up is made of card.
    pub fn prove_card(&mut self) {
        let options = self.options;
        let (Some(name), Some(id)) = (&options.card, self.design.card) else { return };
        let card = self.design.thing(id);
        match card.sort {
            Some("card") | None => {}
            Some(sort) => {
                let d = errors::not_card(name, sort, card.head);
                self.report(d);
            }
        }
    }

    /// The prop, before it is known whether there is just one.
    pub fn prop_of_run(&self) -> Option<ThingId> {
        self.design.prop.or_else(|| self.design.things.iter().find(|t| t.kind == Kind::Prop).map(|t| t.id))
    }

    /// The names in the prop's `wearer`.
    fn prop_wearers(&mut self) -> Vec<(String, Span)> {
        let Some(prop) = self.prop_of_run() else { return Vec::new() };
        let body = self.body(prop);
        let Some((_, value, _)) = body.fields.iter().find(|(n, ..)| n.value == "wearer") else { return Vec::new() };
        let items: Vec<&ast::Expr> = match &value.node {
            ast::Node::List(items) => items.iter().collect(),
            _ => vec![value],
        };
        items.iter().filter_map(|e| super::typed::single(e)).map(|n| (n.value.clone(), n.span)).collect()
    }

    /// The wearer of this run; one that is not to be had is reported where it was asked for.
    pub fn wearer_of_run(&mut self, span: Span) -> Option<ThingId> {
        let before = self.wearer.is_some();
        // The first search tells its faults for good; a missing wearer is told at every use.
        if before { self.seek_wearer(Some(span), true) } else { self.once(|c| c.seek_wearer(Some(span), true)) }
    }

    fn seek_wearer(&mut self, asked: Option<Span>, needed: bool) -> Option<ThingId> {
        if let Some(found) = self.wearer {
            if found.is_none() && needed && self.options.wearer.is_none() && self.prop_wearers().is_empty() {
                self.missing_wearer(asked);
            }
            return found;
        }
        let written = self.prop_wearers();
        let found = if let Some(name) = self.options.wearer.clone() {
            let found = self.wearer_named(&name);
            if found.is_none() {
                let mut known: Vec<String> =
                    self.design.things.iter().filter(|t| t.kind == Kind::Wearer).map(|t| t.name.to_string()).collect();
                known.sort();
                self.report(errors::unknown_wearer(&name, written.first().map(|w| w.1), &known));
            }
            found
        } else {
            match written.first() {
                // A name that is no wearer is reported where the prop's field is typed.
                Some((name, _)) => self.wearer_named(name),
                None => {
                    if needed {
                        self.missing_wearer(asked);
                    }
                    None
                }
            }
        };
        self.wearer = Some(found);
        found
    }

    fn wearer_named(&mut self, name: &str) -> Option<ThingId> {
        let group = self.group(name, FILES)?;
        let id = self.groups[group].members.values().next().copied()?;
        (self.design.thing(id).kind == Kind::Wearer).then_some(id)
    }

    fn missing_wearer(&mut self, asked: Option<Span>) {
        let prop = self.prop_of_run().map(|p| self.design.thing(p).head);
        if let Some(span) = asked {
            self.report(errors::no_wearer(span, prop));
        }
    }
}
