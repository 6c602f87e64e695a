//! Names: values, things, their edges, halves, facts and fields.

use std::rc::Rc;

use super::errors;
use super::scope::{Binding, ScopeId};
use super::state::{Checker, On, Use, What};
use super::value::{Cx, Ty, Typed};
use crate::ast::{self, Step};
use crate::design::{Anchor, Expr, Face, Hand, Kind, Node};
use crate::ids::ThingId;
use crate::schema::{self, Need, Sense, Stage};
use crate::span::Span;
use crate::units::{Dim, Quantity};

/// Most things that names of several may stand for, all uses together.
const MOST_NAMED: usize = 1_000_000;

impl Checker<'_> {
    /// `name.name[value]…` as a value.
    pub fn reference(&mut self, head: &ast::Name, steps: &[Step], span: Span, cx: Cx) -> Typed {
        let Some((bound, _)) = self.lookup(&head.value, cx.scope) else {
            return self.unbound(head, steps, span, cx);
        };
        match bound.binding.clone() {
            Binding::Param(i, ty) => self.items(Typed::new(Node::Param(i), head.span, ty), steps, span, cx),
            Binding::Known(expr, ty) => {
                if let Node::Things(anchors) = &expr.node {
                    let anchors = anchors.clone();
                    return self.steps(head, anchors, steps, span, cx);
                }
                let expr = Rc::unwrap_or_clone(expr);
                self.items(Typed { expr: Expr { span: head.span, ..expr }, ty }, steps, span, cx)
            }
            Binding::Let(id) => {
                self.ensure_let(id);
                self.uses.push(Use::new(On::Let(id), head.span, What::Plain));
                let value = self.design.value(id);
                if value.params > 0 {
                    let first = value.name.span;
                    self.report(errors::function_without_values(head, first));
                    return Typed::poison(span);
                }
                if let (Node::Things(anchors), [Step::Field(_), ..]) = (&value.value.node, steps) {
                    let anchors = anchors.clone();
                    return self.steps(head, anchors, steps, span, cx);
                }
                let ty = self.lets[id.index()].info.ty.clone();
                self.items(Typed::new(Node::Let(id), head.span, ty), steps, span, cx)
            }
            Binding::Things(_) | Binding::OnShelf(_) => match self.group(&head.value, cx.scope) {
                Some(g) => self.group_steps(g, head, steps, span, cx),
                None => Typed::poison(span),
            },
            Binding::Uses(uses) => self.use_steps(&uses, head, steps, span, cx),
            Binding::Host(target, scope) => match target {
                Some(target) => {
                    let anchors = self.anchors(target, scope, false);
                    self.steps(head, anchors, steps, span, cx)
                }
                None => {
                    self.report(errors::no_host(head.span));
                    Typed::poison(span)
                }
            },
            Binding::Recipe(_) => {
                self.report(errors::recipe_as_value(head));
                Typed::poison(span)
            }
        }
    }

    /// `sizes[2]`
    fn items(&mut self, first: Typed, steps: &[Step], span: Span, cx: Cx) -> Typed {
        let mut so_far = first;
        for step in steps {
            match step {
                Step::Index(e) => {
                    let ty = match &so_far.ty {
                        Ty::List(inner) => (**inner).clone(),
                        Ty::Any => Ty::Any,
                        other => {
                            let stands = other.to_string();
                            self.report(errors::wrong_value(span, "what is counted into", "a list", &stands));
                            return Typed::poison(span);
                        }
                    };
                    let index = self.value(e, cx);
                    if !matches!(index.ty, Ty::Num(Dim::NONE) | Ty::Any) {
                        self.report(errors::not_whole(e.span, &index.ty.to_string()));
                    }
                    let node = Node::Item { of: Box::new(so_far.expr), index: Box::new(index.expr) };
                    so_far = Typed::new(node, span, ty);
                }
                Step::Field(name) => {
                    if so_far.ty != Ty::Any {
                        self.report(errors::value_has_no_parts(name, &so_far.ty));
                    }
                    return Typed::poison(span);
                }
            }
        }
        so_far
    }

    /// A name that nothing was given: a word of place, the prop, the wearer, or a mistake.
    fn unbound(&mut self, head: &ast::Name, steps: &[Step], span: Span, cx: Cx) -> Typed {
        let word = head.value.as_str();
        match word {
            "yes" | "no" if steps.is_empty() => return Typed::new(Node::Bool(word == "yes"), span, Ty::Bool),
            "pi" if steps.is_empty() => {
                let pi = Quantity::new(crate::num::PI, Dim::NONE).map_or(Node::Poison, Node::Quantity);
                return Typed::new(pi, span, Ty::Num(Dim::NONE));
            }
            "prop" => {
                let Some(id) = self.prop_of_run() else { return Typed::poison(span) };
                return self.steps(head, vec![whole(id)], steps, span, cx);
            }
            "wearer" => {
                let Some(id) = self.wearer_of_run(head.span) else { return Typed::poison(span) };
                return self.steps(head, vec![whole(id)], steps, span, cx);
            }
            "host" => {
                self.report(errors::no_host(head.span));
                return Typed::poison(span);
            }
            _ => {}
        }
        if steps.is_empty() {
            if let Some(place) = schema::place_word(word) {
                for sense in place.senses {
                    match sense {
                        Sense::Direction(deg) => {
                            let q = Quantity::new(deg.to_radians(), Dim::ANGLE);
                            return Typed::new(q.map_or(Node::Poison, Node::Quantity), span, Ty::Num(Dim::ANGLE));
                        }
                        Sense::Place(p) if cx.places => return Typed::new(Node::Place(*p), span, Ty::Num(Dim::LENGTH)),
                        _ => {}
                    }
                }
                self.report(errors::misplaced_word(head));
                return Typed::poison(span);
            }
            if let Some(c) = schema::constructor(word).filter(|_| !self.in_target) {
                return self.make(c, None, &[], span, cx);
            }
        }
        if let Some(first) = self.untaken.get(word).copied() {
            self.report(errors::in_untaken_branch(head, first));
            return Typed::poison(span);
        }
        let near = self.nearest_name(word, cx.scope);
        // A word of place that is misspelt: of those that could stand here.
        let stands = |s: &Sense| matches!(s, Sense::Direction(_)) || cx.places && matches!(s, Sense::Place(_));
        let places = schema::place_words().filter(|p| steps.is_empty() && p.senses.iter().any(stands)).map(|p| p.word);
        let near = crate::diag::nearest(word, near.as_deref().into_iter().chain(places)).map(str::to_owned);
        self.report(errors::unknown_name(head, near.as_deref()));
        Typed::poison(span)
    }

    fn group_steps(&mut self, g: usize, head: &ast::Name, steps: &[Step], span: Span, cx: Cx) -> Typed {
        let (index, rest) = match steps {
            [Step::Index(e), rest @ ..] => match self.whole_number(e, cx.scope) {
                Some(i) => (Some((i, e.span)), rest),
                None => return Typed::poison(span),
            },
            _ => (None, steps),
        };
        let members = &self.groups[g].members;
        let anchors: Vec<Anchor> = match index {
            None => members.values().map(|id| whole(*id)).collect(),
            Some((i, at)) => match members.get(&Some(i)) {
                Some(id) => vec![whole(*id)],
                None => {
                    let known: Vec<i64> = members.keys().filter_map(|k| *k).collect();
                    self.report(errors::no_such_number(head, i, at, &known));
                    return Typed::poison(span);
                }
            },
        };
        self.steps(head, anchors, rest, span, cx)
    }

    fn use_steps(
        &mut self,
        uses: &std::collections::BTreeMap<Option<i64>, ScopeId>,
        head: &ast::Name,
        steps: &[Step],
        span: Span,
        cx: Cx,
    ) -> Typed {
        let (index, rest) = match steps {
            [Step::Index(e), rest @ ..] => match self.whole_number(e, cx.scope) {
                Some(i) => (Some(i), rest),
                None => return Typed::poison(span),
            },
            _ => (None, steps),
        };
        let inner = uses.get(&index).copied();
        match (inner, rest) {
            (Some(scope), [Step::Field(name), rest @ ..]) => {
                if let Some(bound) = self.scopes[scope.0].names.get(&name.value) {
                    match &bound.binding {
                        Binding::Things(g) => return self.group_steps(*g, name, rest, span, cx),
                        Binding::Uses(inner) => {
                            let inner = inner.clone();
                            return self.use_steps(&inner, name, rest, span, cx);
                        }
                        _ => {}
                    }
                }
                let mut names: Vec<String> = Vec::new();
                #[expect(clippy::iter_over_hash_type, reason = "sorted below")]
                for (n, b) in &self.scopes[scope.0].names {
                    if matches!(b.binding, Binding::Things(_) | Binding::Uses(_)) {
                        names.push(n.clone());
                    }
                }
                names.sort();
                self.report(errors::no_such_inner(head, name, &names));
            }
            _ => self.report(errors::use_as_value(head)),
        }
        Typed::poison(span)
    }

    /// What follows the name of a thing: a half, an edge, a face, then a fact or a field.
    fn steps(&mut self, head: &ast::Name, anchors: Vec<Anchor>, steps: &[Step], span: Span, _cx: Cx) -> Typed {
        let mut anchors = anchors;
        self.named += anchors.len().saturating_sub(1);
        if self.named > MOST_NAMED {
            if !std::mem::replace(&mut self.too_many, true) {
                self.once(|c| c.report(errors::too_many_named(span, MOST_NAMED)));
            }
            return Typed::poison(span);
        }
        let mut face: Option<Face> = None;
        let mut said = head.value.clone();
        let mut at = head.span;
        for (n, step) in steps.iter().enumerate() {
            let Step::Field(name) = step else {
                self.report(errors::not_numbered(&said, span));
                return Typed::poison(span);
            };
            let last = n + 1 == steps.len();
            let word = name.value.as_str();
            let Some(first) = anchors.first().cloned() else { return Typed::poison(span) };
            let kind = schema::kind_of(self.design.thing(first.thing).kind);
            if face.is_none() && first.hand.is_none() && first.edge.is_none() && matches!(word, "left" | "right") {
                let hand = if word == "left" { Hand::Left } else { Hand::Right };
                if let Some(single) = anchors.iter().find(|a| !self.is_pair(a.thing)).cloned() {
                    self.report(errors::not_a_pair(&said, name, self.design.thing(single.thing).head));
                    return Typed::poison(span);
                }
                anchors.iter_mut().for_each(|a| a.hand = Some(hand));
            } else if let (None, None, Some(edge)) = (face, first.edge, kind.edge(word)) {
                anchors.iter_mut().for_each(|a| a.edge = Some(edge.name));
            } else if let (None, Some(f)) = (face, face_word(word)) {
                face = Some(f);
                if last {
                    self.report(errors::face_alone(name, &said));
                    return Typed::poison(span);
                }
            } else {
                if !last {
                    let next = &steps[n + 1];
                    let span = match next {
                        Step::Field(f) => f.span,
                        Step::Index(e) => e.span,
                    };
                    let known = kind.fact(word).is_some() || kind.field(word).is_some();
                    if known {
                        self.report(errors::value_has_more(span, &format!("{said}.{word}")));
                        return Typed::poison(span);
                    }
                }
                return self.fact_or_field(&said, anchors, face, name, span);
            }
            said = format!("{said}.{word}");
            at = at.to(name.span);
        }
        for a in &anchors {
            self.uses.push(Use::new(On::Thing(a.thing), at, What::Plain));
        }
        Typed::new(Node::Things(anchors), span, Ty::Things)
    }

    fn fact_or_field(
        &mut self,
        said: &str,
        anchors: Vec<Anchor>,
        face: Option<Face>,
        name: &ast::Name,
        span: Span,
    ) -> Typed {
        let [anchor] = anchors.as_slice() else {
            self.report(errors::which_one(said, name, anchors.len()));
            return Typed::poison(span);
        };
        let thing = self.design.thing(anchor.thing);
        let kind = schema::kind_of(thing.kind);
        let word = name.value.as_str();
        let fact = if anchor.edge.is_some() { schema::edge_fact(word) } else { kind.fact(word) };
        if let Some(fact) = fact {
            if face.is_some() && !fact.faces {
                self.report(errors::fact_without_faces(name, said));
                return Typed::poison(span);
            }
            let what = match (fact.stage, kind.kind, fact.name) {
                (Stage::Made, Kind::Prop, "mass") => What::Whole,
                (Stage::Made, ..) => What::Late,
                (Stage::Solid, ..) => What::Fact,
            };
            self.uses.push(Use::new(On::Thing(anchor.thing), span, what));
            let node = Node::Fact { of: anchor.clone(), face, name: fact.name };
            return Typed::new(node, span, Ty::Num(fact.dim));
        }
        if anchor.edge.is_none()
            && face.is_none()
            && let Some(field) = kind.field(word)
        {
            let id = anchor.thing;
            let ty = super::typed::type_of(&field.ty);
            let written = self.body(id).fields.iter().any(|(n, ..)| n.value == field.name);
            let (owner, owner_span) = (self.design.thing(id).name.to_string(), self.design.thing(id).head);
            if !written && !matches!(field.need, Need::Default(_)) {
                self.report(errors::not_given(name, kind.word, &owner, owner_span, field));
                return Typed::poison(span);
            }
            self.uses.push(Use::new(On::Field(id, field.name), span, What::Plain));
            return Typed::new(Node::FieldOf(id, field.name), span, ty);
        }
        let head = thing.head;
        let facts: Vec<&str> = match anchor.edge {
            Some(_) => schema::EDGE_FACTS.iter().map(|f| f.name).collect(),
            None => kind.facts.iter().map(|f| f.name).collect(),
        };
        let edges: Vec<&str> = if anchor.edge.is_none() && face.is_none() {
            kind.edges.iter().map(|e| e.name).collect()
        } else {
            Vec::new()
        };
        let fields: Vec<&str> =
            if anchor.edge.is_none() { kind.fields.iter().map(|f| f.name).collect() } else { Vec::new() };
        let d = if self.in_target {
            errors::unknown_edge(name, said, &edges, head)
        } else {
            errors::unknown_fact(name, said, head, kind.word, &facts, &edges, &fields)
        };
        self.report(d);
        Typed::poison(span)
    }

    /// Whether a thing is a mirrored pair, or stands on one.
    fn is_pair(&mut self, id: ThingId) -> bool {
        let body = self.body(id);
        if body.fields.iter().any(|(n, ..)| n.value == "pair") {
            return true;
        }
        // All that stands on a pair is a pair too; targets are followed a bounded way.
        let mut at = id;
        for _ in 0..64 {
            let raw = &self.things[at.index()];
            let (target, scope) = match &raw.ast.target {
                Some(t) => (&t.value, raw.scope),
                None => return false,
            };
            let ast::Node::Ref { head, .. } = &target.node else { return false };
            let Some(g) = self.group(&head.value, scope) else { return false };
            let Some(next) = self.groups[g].members.values().next().copied() else { return false };
            if self.body(next).fields.iter().any(|(n, ..)| n.value == "pair") {
                return true;
            }
            at = next;
        }
        false
    }

    /// The things or edges an expression names: a target, or what a recipe's use stands on.
    pub fn anchors(&mut self, e: &ast::Expr, scope: ScopeId, target: bool) -> Vec<Anchor> {
        let items: Vec<&ast::Expr> = match &e.node {
            ast::Node::List(items) => items.iter().collect(),
            _ => vec![e],
        };
        let mut out = Vec::new();
        for item in items {
            let outer = std::mem::replace(&mut self.in_target, target);
            let typed = self.value(item, Cx::plain(scope));
            self.in_target = outer;
            match typed.expr.node {
                Node::Things(anchors) => out.extend(anchors),
                Node::Poison => {}
                Node::Let(id) => match &self.design.value(id).value.node {
                    Node::Things(anchors) => out.extend(anchors.iter().cloned()),
                    _ => self.report(errors::not_a_target(item.span, &typed.ty)),
                },
                _ => self.report(errors::not_a_target(item.span, &typed.ty)),
            }
        }
        out
    }
}

/// A thing as a whole.
pub(super) fn whole(id: ThingId) -> Anchor {
    Anchor { thing: id, edge: None, hand: None }
}

fn face_word(word: &str) -> Option<Face> {
    match word {
        "inside" => Some(Face::Inside),
        "middle" => Some(Face::Middle),
        "outside" => Some(Face::Outside),
        _ => None,
    }
}
