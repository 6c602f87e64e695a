//! Constructors: `circle(across: 90 mm)`, and words that stand for one without parts.

use std::rc::Rc;

use super::errors;
use super::scope::ScopeId;
use super::state::Checker;
use super::typed::{Want, poison};
use super::value::{Cx, Ty, Typed};
use crate::ast::{self, Part};
use crate::design::{Expr, Node};
use crate::ids::ThingId;
use crate::schema::{self, Built, Constructor, Family, Need};
use crate::span::Span;
use crate::units::Dim;

impl Checker<'_> {
    /// A constructor where none is wanted: the value of a `let`, a girth in arithmetic.
    pub fn make(
        &mut self,
        c: &'static Constructor,
        _name: Option<&ast::Name>,
        parts: &[Part],
        span: Span,
        cx: Cx,
    ) -> Typed {
        let expr = self.construct(c, parts, span, cx.scope, None);
        let ty = match expr.node {
            Node::Poison => Ty::Any,
            _ if c.family == Family::Girth => Ty::Num(Dim::LENGTH),
            _ => Ty::Made(c.name),
        };
        Typed { expr, ty }
    }

    /// A constructor of the family wanted.
    pub fn made_for(&mut self, e: &ast::Expr, family: Family, want: Want, scope: ScopeId) -> Expr {
        let (name, parts): (&ast::Name, &[Part]) = match &e.node {
            ast::Node::Call { name, parts } => (name, parts),
            ast::Node::Ref { head, steps } if steps.is_empty() => (head, &[]),
            _ => {
                let t = self.value(e, Cx::plain(scope));
                if t.ty == Ty::Any {
                    return t.expr;
                }
                self.report(errors::wants_made(e.span, want.field, family, &t.ty.to_string()));
                return poison(e.span);
            }
        };
        if let Some(c) = schema::constructor_in(family, &name.value) {
            if c.built == Built::NotYet
                && let Some(id) = want.thing
            {
                self.note_unbuilt(id, format!("`{}: {}`", want.field.name, c.name), e.span);
            }
            return self.construct(c, parts, e.span, scope, want.thing);
        }
        let known = self.lookup(&name.value, scope).is_some();
        if known {
            let t = self.value(e, Cx::plain(scope));
            match &t.ty {
                Ty::Any => return t.expr,
                Ty::Made(n) if schema::constructor_in(family, n).is_some() => return t.expr,
                other => {
                    self.report(errors::wants_made(e.span, want.field, family, &other.to_string()));
                    return poison(e.span);
                }
            }
        }
        let names: Vec<&str> = schema::constructors().filter(|c| c.family == family).map(|c| c.name).collect();
        self.report(errors::unknown_word(name.span, &name.value, want.field, want.owner, &names));
        // What stands in it may hold faults of its own.
        for p in parts {
            self.look_through(&p.value, None, want.owner, scope);
        }
        poison(e.span)
    }

    /// Finds the faults within a value whose field or part is not known: as the one probably meant, else for itself;
    /// a word alone may be one of a choice and says nothing.
    pub fn look_through(
        &mut self,
        e: &ast::Expr,
        guess: Option<&'static schema::Field>,
        owner: &'static str,
        scope: ScopeId,
    ) {
        let uses = self.uses.len();
        match guess {
            Some(field) => {
                self.typed(e, Want { field, ty: field.ty, owner, thing: None }, scope);
            }
            None if super::typed::single(e).is_some() => {}
            None => {
                self.value(e, Cx::plain(scope).with_places());
            }
        }
        self.uses.truncate(uses);
    }

    /// The parts of a constructor, those written and the defaults of the others.
    fn construct(
        &mut self,
        c: &'static Constructor,
        parts: &[Part],
        span: Span,
        scope: ScopeId,
        thing: Option<ThingId>,
    ) -> Expr {
        let before = self.errors;
        let mut out: Vec<(&'static str, Expr)> = Vec::with_capacity(parts.len());
        let mut given: Vec<(&'static str, Span)> = Vec::with_capacity(parts.len());
        let mut missed = false;
        for p in parts {
            let Some(name) = &p.name else {
                let free = c.parts.iter().find(|f| !given.iter().any(|(n, _)| *n == f.name));
                // Names on some parts only were told by the parse.
                let bad = matches!(p.value.node, ast::Node::Bad) || parts.iter().any(|p| p.name.is_some());
                if !bad {
                    self.report(errors::unnamed_part(p.value.span, c.name, free, &super::say::expr(&p.value)));
                }
                missed = true;
                continue;
            };
            let Some(field) = c.part(&name.value) else {
                let names: Vec<&'static str> = c.parts.iter().map(|f| f.name).collect();
                self.report(errors::unknown_part(name, c.name, &names, &super::say::expr(&p.value)));
                let guess = errors::meant(&name.value, &names).and_then(|n| c.part(n));
                self.look_through(&p.value, guess, c.name, scope);
                missed = true;
                continue;
            };
            if let Some((_, first)) = given.iter().find(|(n, _)| *n == field.name) {
                let first = *first;
                self.report(errors::field_twice(name, first));
                continue;
            }
            given.push((field.name, name.span));
            let want = Want { field, ty: field.ty, owner: c.name, thing };
            if field.built == Built::NotYet
                && let Some(id) = thing
            {
                self.note_unbuilt(id, format!("`{}` of {}", field.name, c.name), name.span);
            }
            let value = self.typed(&p.value, want, scope);
            out.push((field.name, value));
        }
        // A part that could not be read may be the one that is missing.
        if !missed {
            let has = |name: &str| given.iter().any(|(n, _)| *n == name);
            for f in c.parts.iter().filter(|f| f.need == Need::Required && !has(f.name)) {
                self.report(errors::missing_part(span, c, f));
            }
            if !c.ways.is_empty() && !c.ways.iter().any(|way| way.iter().all(|n| has(n))) {
                self.report(errors::missing_way(span, c.name, c.ways, c.example));
            }
        }
        if missed || self.errors > before {
            return poison(span);
        }
        for (name, e) in self.defaults_of(c).iter() {
            if !given.iter().any(|(n, _)| n == name) {
                out.push((name, e.clone()));
            }
        }
        Expr { node: Node::Make { name: c.name, parts: out }, span }
    }

    /// The defaults of a constructor's parts, typed once.
    fn defaults_of(&mut self, c: &'static Constructor) -> Rc<Vec<(&'static str, Expr)>> {
        let key = (c.family, c.name);
        if let Some(found) = self.part_defaults.get(&key) {
            return Rc::clone(found);
        }
        let mut out = Vec::new();
        for field in c.parts {
            if let Need::Default(text) = field.need {
                let e = (self.options.parse)(text);
                let want = Want { field, ty: field.ty, owner: c.name, thing: None };
                let uses = self.uses.len();
                out.push((field.name, self.typed(&e, want, super::scope::FILES)));
                self.uses.truncate(uses);
            }
        }
        let out = Rc::new(out);
        self.part_defaults.insert(key, Rc::clone(&out));
        out
    }
}
