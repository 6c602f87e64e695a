//! What decides how many things there are: conditions, loops and indices, reckoned while names are gathered.
//! They read values and the fields of goods and wearers, never a fact of the geometry.

use std::cell::RefCell;
use std::rc::Rc;

use super::errors;
use super::gather::MOST_THINGS;
use super::scope::ScopeId;
use super::state::{Body, Checker, On, What};
use super::value::{Cx, Ty, Typed};
use crate::ast::{self, Item, Sentence};
use crate::design::{Anchor, Expr, Face, Node, Place, Value};
use crate::eval::{Answer, Facts, Reckoner, Stop};
use crate::ids::{LetId, ThingId};
use crate::schema;
use crate::span::Span;
use crate::units::{Dim, Quantity};

/// Answers with the values that are known already.
pub(super) struct Known<'c, 'a> {
    pub checker: &'c Checker<'a>,
    /// Values of this reckoning that rest on fields: each is reckoned once.
    pub more: RefCell<std::collections::BTreeMap<LetId, Value>>,
}

impl Facts for Known<'_, '_> {
    fn place(&self, _: Place, _: Span) -> Answer {
        Err(Stop::Skip)
    }

    fn fact(&self, _: &Anchor, _: Option<Face>, _: &'static str, _: Span) -> Answer {
        Err(Stop::Skip)
    }

    fn value(&self, id: LetId) -> Answer {
        if let Some(v) = &self.checker.lets[id.index()].info.constant {
            return Ok(v.clone());
        }
        self.more.borrow().get(&id).cloned().ok_or(Stop::Skip)
    }
}

impl<'a> Checker<'a> {
    /// Reckons an expression whose uses are known already; a fault is reported.
    pub fn reckon_known(&mut self, e: &Expr, more: std::collections::BTreeMap<LetId, Value>) -> Option<Value> {
        let mut budget = std::mem::take(&mut self.budget);
        let facts = Known { checker: self, more: RefCell::new(more) };
        let out = Reckoner::new(&self.design, &facts, &mut budget).value(e);
        self.budget = budget;
        match out {
            Ok(v) => Some(v),
            Err(Stop::Skip) => None,
            Err(Stop::Fault(d)) => {
                self.report(*d);
                None
            }
        }
    }

    /// The value of an expression that decides how many things there are.
    fn deciding(&mut self, e: &ast::Expr, scope: ScopeId) -> Option<(Value, Ty)> {
        let before = self.errors;
        let outer = std::mem::take(&mut self.uses);
        let typed = self.value(e, Cx::plain(scope));
        let uses = std::mem::replace(&mut self.uses, outer);
        if self.errors > before {
            return None;
        }
        self.deciding_value(&typed, uses.iter().map(|u| (u.on, u.span, u.what)).collect()).map(|v| (v, typed.ty))
    }

    /// Follows the uses of a value to the end: lets that rest on fields are reckoned on the way.
    fn deciding_value(&mut self, typed: &Typed, uses: Vec<(On, Span, What)>) -> Option<Value> {
        // Every value and thing it rests on, found by walking outward; then the values, last found first.
        let mut found: Vec<LetId> = Vec::new();
        let mut seen = std::collections::BTreeSet::new();
        let mut todo: Vec<(On, Span, What, Span)> = uses.into_iter().map(|(o, s, w)| (o, s, w, s)).collect();
        let mut reads_fields = false;
        while let Some((on, span, what, here)) = todo.pop() {
            if what != What::Plain {
                self.report(errors::fact_decides(here, span));
                return None;
            }
            if !seen.insert(on) {
                continue;
            }
            match on {
                On::Let(id) => {
                    if self.lets[id.index()].info.constant.is_none() {
                        found.push(id);
                        todo.extend(self.let_uses[id.index()].iter().map(|u| (u.on, u.span, u.what, here)));
                    }
                }
                // A thing as a value says nothing about itself.
                On::Thing(_) => {}
                On::Field(id, name) => {
                    reads_fields = true;
                    if self.things[id.index()].kind.target.things != schema::Hosts::Nothing {
                        self.report(errors::fact_decides(here, span));
                        return None;
                    }
                    self.lower_thing(id);
                    let of_field = self.thing_uses[id.index()].iter().filter(|u| u.within == Some(name));
                    todo.extend(of_field.map(|u| (u.on, u.span, u.what, here)));
                }
            }
        }
        let mut more = std::collections::BTreeMap::new();
        if reads_fields {
            // A value found later may be needed by one found earlier: a few rounds settle any sensible chain.
            for _ in 0..found.len().min(64) {
                let before = more.len();
                for id in found.iter().rev() {
                    if !more.contains_key(id) {
                        let e = self.design.value(*id).value.clone();
                        if self.design.value(*id).params == 0
                            && let Some(v) = self.reckon_known(&e, more.clone())
                        {
                            more.insert(*id, v);
                        }
                    }
                }
                if more.len() == before {
                    break;
                }
            }
        }
        self.reckon_known(&typed.expr, more)
    }

    /// Whether a condition of an `if` block holds.
    pub fn condition(&mut self, e: &ast::Expr, scope: ScopeId) -> Option<bool> {
        match self.deciding(e, scope)?.0 {
            Value::Bool(b) => Some(b),
            v => {
                self.report(errors::wrong_value(
                    e.span,
                    "a condition",
                    "`yes` or `no`",
                    &crate::eval::say::kind_of(&v),
                ));
                None
            }
        }
    }

    /// A whole number: the index of a thing, an end of a loop.
    pub fn whole_number(&mut self, e: &ast::Expr, scope: ScopeId) -> Option<i64> {
        let (v, _) = self.deciding(e, scope)?;
        match v.quantity() {
            Some(q) if q.dim() == Dim::NONE && q.value().fract() == 0.0 && q.value().abs() <= 1e9 => {
                Some(q.value() as i64)
            }
            Some(q) => {
                self.report(errors::not_whole(e.span, &crate::eval::say::quantity(q)));
                None
            }
            None => {
                self.report(errors::not_whole(e.span, &crate::eval::say::kind_of(&v)));
                None
            }
        }
    }

    /// The values of a loop's variable, as literals.
    pub fn loop_values(&mut self, source: &ast::Range, scope: ScopeId) -> Option<Vec<(Expr, Ty)>> {
        match source {
            ast::Range::Stretch(from, to) => {
                let first = self.whole_number(from, scope);
                let last = self.whole_number(to, scope);
                let (first, last) = (first?, last?);
                let span = from.span.to(to.span);
                if last.saturating_sub(first) >= MOST_THINGS as i64 {
                    self.report(errors::too_many_turns(span, MOST_THINGS));
                    return None;
                }
                let literal = |i: i64| {
                    let q = Quantity::new(i as f64, Dim::NONE)?;
                    Some((Expr { node: Node::Quantity(q), span }, Ty::Num(Dim::NONE)))
                };
                (first..=last).map(literal).collect()
            }
            ast::Range::Value(e) => {
                let (v, ty) = self.deciding(e, scope)?;
                let items = match v {
                    Value::List(items) => items,
                    Value::Things(anchors) => anchors.into_iter().map(|a| Value::Things(vec![a])).collect(),
                    other => {
                        let stands = crate::eval::say::kind_of(&other);
                        self.report(errors::wrong_value(
                            e.span,
                            "what a loop goes through",
                            "a list, or `1 to 4`",
                            &stands,
                        ));
                        return None;
                    }
                };
                let of = match ty {
                    Ty::List(inner) => *inner,
                    Ty::Things => Ty::Things,
                    _ => Ty::Any,
                };
                Some(items.iter().map(|v| (literal(v, e.span), of.clone())).collect())
            }
        }
    }

    /// The fields and stations of a thing, `for` and `if` in it expanded.
    pub fn body(&mut self, id: ThingId) -> Rc<Body<'a>> {
        let raw = &self.things[id.index()];
        if let Some(body) = &raw.body {
            return Rc::clone(body);
        }
        let (block, scope) = (&raw.ast.body, raw.scope);
        // A body that asks for itself while it is expanded finds it empty.
        self.things[id.index()].body = Some(Rc::new(Body::default()));
        let body = self.once(|c| c.read_body(block, scope));
        let body = Rc::new(body);
        self.things[id.index()].body = Some(Rc::clone(&body));
        body
    }

    fn read_body(&mut self, block: &'a ast::Block, scope: ScopeId) -> Body<'a> {
        let before = self.errors;
        let mut body = Body::default();
        let inner = if block.items.iter().any(|i| matches!(i, Item::Sentence(_))) { self.scope(scope) } else { scope };
        self.body_items(block, inner, &mut body);
        // What could not be read was told by the parse.
        body.faulty |= self.errors > before;
        body
    }

    fn body_items(&mut self, block: &'a ast::Block, scope: ScopeId, out: &mut Body<'a>) {
        for item in &block.items {
            match item {
                Item::Field { key, value } => out.fields.push((key, value, scope)),
                Item::Station { place, value, span } => out.stations.push((place, value, *span, scope)),
                Item::Sentence(Sentence::For(f)) => {
                    for (turn, _) in self.turns_of(f, scope) {
                        if self.too_many {
                            break;
                        }
                        self.body_items(&f.body, turn, out);
                    }
                }
                Item::Sentence(Sentence::If(i)) => {
                    let mut i = i;
                    loop {
                        match self.condition(&i.condition, scope) {
                            Some(true) => self.body_items(&i.then, scope, out),
                            Some(false) => match i.otherwise.as_ref().map(|b| (b, b.items.as_slice())) {
                                Some((_, [Item::Sentence(Sentence::If(next))])) => {
                                    i = next;
                                    continue;
                                }
                                Some((b, _)) => self.body_items(b, scope, out),
                                None => {}
                            },
                            None => {}
                        }
                        break;
                    }
                }
                Item::Sentence(Sentence::Let { name, params, value, .. }) => {
                    self.add_let(name, params.as_deref(), value, scope, scope, None);
                }
                Item::Sentence(Sentence::Bad(_)) => out.faulty = true,
                Item::Sentence(Sentence::Thing(t)) => {
                    let why = "a thing stands by itself: write it after the closing brace, `on` what it belongs to";
                    self.report(errors::misplaced(&t.kind.value, t.head(), why));
                }
                Item::Sentence(Sentence::Setting { span, .. }) => {
                    self.report(errors::misplaced("setting", *span, "settings stand outside the things"));
                }
                Item::Sentence(Sentence::Require { span, .. }) => {
                    self.report(errors::misplaced("require", *span, "`require` lines stand outside the things"));
                }
                Item::Sentence(Sentence::Use { span, .. }) => {
                    self.report(errors::misplaced("use", *span, "`use` lines stand at the head of a file"));
                }
            }
        }
    }
}

/// A value as an expression that gives it.
pub(super) fn literal(v: &Value, span: Span) -> Expr {
    let node = match v {
        Value::Quantity(q) => Node::Quantity(*q),
        Value::Price(p, per) => Node::Price(*p, *per),
        Value::Text(t) => Node::Text(t.clone()),
        Value::Bool(b) => Node::Bool(*b),
        Value::Word(w) => Node::Word(w),
        Value::By(items) => Node::By(items.iter().map(|q| Expr { node: Node::Quantity(*q), span }).collect()),
        Value::List(items) => Node::List(items.iter().map(|v| literal(v, span)).collect()),
        Value::Made(m) => {
            Node::Make { name: m.name, parts: m.parts.iter().map(|(n, v)| (*n, literal(v, span))).collect() }
        }
        Value::Things(anchors) => Node::Things(anchors.clone()),
    };
    Expr { node, span }
}
