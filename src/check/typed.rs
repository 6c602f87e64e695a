//! What a field or part wants of a value: its type, its unit, its words, its range.

use super::errors;
use super::number::{bare, divided};
use super::scope::{Binding, ScopeId};
use super::state::{Checker, Unbuilt};
use super::value::{Cx, Ty, Typed};
use crate::ast;
use crate::design::{Bounds, Expr, Node};
use crate::ids::ThingId;
use crate::schema::{self, Built, Field, Range, Type};
use crate::span::Span;
use crate::units::Dim;

/// What is wanted: a field of a kind or a part of a constructor, and the type of it looked at (an item of its list,
/// one of two).
#[derive(Clone, Copy)]
pub(super) struct Want {
    pub field: &'static Field,
    pub ty: Type,
    /// The kind or constructor it belongs to.
    pub owner: &'static str,
    /// The thing it is for: what is not built is noted with it.
    pub thing: Option<ThingId>,
}

impl Want {
    fn of(self, ty: Type) -> Self {
        Self { ty, ..self }
    }
}

impl Checker<'_> {
    /// Types a value for what is wanted; a poisoned expression comes out when it does not fit.
    pub fn typed(&mut self, e: &ast::Expr, want: Want, scope: ScopeId) -> Expr {
        if !self.step(e.span) {
            return poison(e.span);
        }
        match &e.node {
            ast::Node::Group(inner) => return self.typed(inner, want, scope),
            ast::Node::Bad => return poison(e.span),
            ast::Node::If { condition, then, otherwise } => {
                let c = self.value(condition, Cx::plain(scope));
                self.want_truth(&c, condition.span);
                let then = Box::new(self.typed(then, want, scope));
                let otherwise = Box::new(self.typed(otherwise, want, scope));
                return Expr { node: Node::If { condition: Box::new(c.expr), then, otherwise }, span: e.span };
            }
            _ => {}
        }
        let cx = Cx::plain(scope);
        match want.ty {
            Type::Of(dim) => self.number(e, &[dim], want, cx),
            Type::OneOf(dims) => self.number(e, dims, want, cx),
            Type::Count => self.number(e, &[Dim::NONE], want, cx),
            Type::Level => self.number(e, &[Dim::LENGTH], want, cx.with_places()),
            Type::Direction => self.number(e, &[Dim::ANGLE], want, cx),
            Type::Money => {
                let t = self.value(e, cx);
                if t.ty == Ty::Price { t.expr } else { self.numeric(t, e, &[Dim::NONE], want) }
            }
            Type::Text => match single(e).filter(|n| self.is_no_value(n, cx)) {
                Some(name) => {
                    self.report(errors::unquoted(name, want.field, want.owner));
                    poison(e.span)
                }
                None => self.plain(e, want, cx, |t| *t == Ty::Text),
            },
            Type::Date => self.date(e, want, cx),
            Type::YesNo => self.plain(e, want, cx, |t| *t == Ty::Bool),
            Type::Word(words) => {
                let found = single(e).and_then(|n| words.iter().find(|w| w.name == n.value));
                match found {
                    Some(w) => {
                        self.unbuilt_word(want, w.built, w.name, e.span);
                        Expr { node: Node::Word(w.name), span: e.span }
                    }
                    None => self.no_word(e, want, words.iter().map(|w| w.name).collect()),
                }
            }
            Type::Sort(sorts) => match single(e).and_then(|n| sorts.iter().find(|w| w.word == n.value)) {
                Some(w) => {
                    self.unbuilt_word(want, w.built, w.word, e.span);
                    Expr { node: Node::Word(w.word), span: e.span }
                }
                None => self.no_word(e, want, sorts.iter().map(|w| w.word).collect()),
            },
            Type::Face { both } => {
                let words: &[&'static str] =
                    if both { &["inside", "middle", "outside", "both"] } else { &["inside", "middle", "outside"] };
                match single(e).and_then(|n| words.iter().find(|w| **w == n.value)) {
                    Some(w) => Expr { node: Node::Word(w), span: e.span },
                    None => self.no_word(e, want, words.to_vec()),
                }
            }
            Type::Size => self.sized(e, &[Dim::LENGTH; 2], true, want, cx),
            Type::Size3 => self.sized(e, &[Dim::LENGTH; 3], false, want, cx),
            Type::Spot => self.sized(e, &[Dim::LENGTH; 2], false, want, cx),
            Type::SkinSpot => self.skin_spot(e, want, cx),
            Type::Make(family) => self.made_for(e, family, want, scope),
            Type::Thing(kinds) => self.thing_value(e, kinds, want, cx),
            Type::OneOrList(inner) => match &e.node {
                ast::Node::List(_) => self.list(e, *inner, want, scope),
                _ => self.list_or_one(e, *inner, want, scope),
            },
            Type::List(inner) => match &e.node {
                ast::Node::List(_) => self.list(e, *inner, want, scope),
                ast::Node::Ref { .. } => self.list_or_one(e, *inner, want, scope),
                _ => {
                    self.report(errors::wants_list(e.span, want.field, &super::say::expr(e)));
                    poison(e.span)
                }
            },
            Type::Either(a, b) => self.either(e, *a, *b, want, scope),
        }
    }

    fn list(&mut self, e: &ast::Expr, inner: Type, want: Want, scope: ScopeId) -> Expr {
        let ast::Node::List(items) = &e.node else { return poison(e.span) };
        let items = items.iter().map(|i| self.typed(i, want.of(inner), scope)).collect();
        Expr { node: Node::List(items), span: e.span }
    }

    /// A name may stand for a list that a `let` holds.
    fn list_or_one(&mut self, e: &ast::Expr, inner: Type, want: Want, scope: ScopeId) -> Expr {
        let named = single(e).is_some_and(|n| {
            matches!(
                self.lookup(&n.value, scope),
                Some((super::scope::Bound { binding: super::scope::Binding::Let(_), .. }, _))
            )
        });
        if named {
            let t = self.value(e, Cx::plain(scope));
            if let Ty::List(item) = &t.ty {
                if !suits(&inner, item) {
                    self.report(errors::wrong_for(e.span, want.field, want.owner, &t.ty.to_string()));
                    return poison(e.span);
                }
                return t.expr;
            }
        }
        self.typed(e, want.of(inner), scope)
    }

    /// Tries the first of two types, then the second; when neither fits, the one it looks like tells why.
    fn either(&mut self, e: &ast::Expr, a: Type, b: Type, want: Want, scope: ScopeId) -> Expr {
        let mark = self.mark();
        let uses = self.uses.len();
        let (errors, unbuilt) = (self.errors, self.unbuilt_of(want));
        let first = self.typed(e, want.of(a), scope);
        if self.errors == errors {
            return first;
        }
        let why = self.withdraw(mark);
        self.uses.truncate(uses);
        let unbuilt_first = self.unbuilt_of(want);
        self.set_unbuilt(want, unbuilt);
        let second = self.typed(e, want.of(b), scope);
        if self.errors == errors {
            return second;
        }
        if looks_like(e, &b) && !looks_like(e, &a) {
            return second;
        }
        self.withdraw(mark);
        self.set_unbuilt(want, unbuilt_first);
        why.into_iter().for_each(|d| self.report(d));
        first
    }

    fn unbuilt_of(&self, want: Want) -> Option<Unbuilt> {
        want.thing.and_then(|id| self.unbuilt.get(&id).cloned())
    }

    fn set_unbuilt(&mut self, want: Want, unbuilt: Option<Unbuilt>) {
        if let Some(id) = want.thing {
            match unbuilt {
                Some(u) => self.unbuilt.insert(id, u),
                None => self.unbuilt.remove(&id),
            };
        }
    }

    fn number(&mut self, e: &ast::Expr, dims: &[Dim], want: Want, cx: Cx) -> Expr {
        let t = self.value(e, cx);
        self.numeric(t, e, dims, want)
    }

    /// Holds a number against the dimensions wanted, and puts the range round it.
    fn numeric(&mut self, t: Typed, e: &ast::Expr, dims: &[Dim], want: Want) -> Expr {
        match &t.ty {
            Ty::Any => self.bounded(t.expr, want),
            Ty::Num(d) if dims.contains(d) => {
                // Among several dimensions a bare number says none of them: `gap: 30` is no share.
                if *d == Dim::NONE
                    && dims.len() > 1
                    && let Some(n) = bare(e)
                    && want.field.name != "have"
                {
                    self.report(errors::bare_number(e.span, n, want.field, dims));
                    return poison(e.span);
                }
                // Both are lengths, and the one is three times the other.
                if want.field.name == "across" && matches!(t.expr.node, Node::Make { name: "dressed", .. }) {
                    self.report(errors::girth_for_width(e.span, want.owner));
                    return poison(e.span);
                }
                self.bounded(t.expr, want)
            }
            Ty::Num(d) => {
                let diagnostic = if let (Dim::NONE, Some(n)) = (*d, bare(e)) {
                    errors::bare_number(e.span, n, want.field, dims)
                } else if let (true, Some((top, n, unit))) = (dims.contains(&Dim::LENGTH), divided(e)) {
                    let what = errors::what_is(want.field, dims);
                    errors::divided_length(e.span, top, n, unit, &what)
                } else {
                    errors::wrong_dimension(e.span, *d, want.field, dims)
                };
                self.report(diagnostic);
                poison(e.span)
            }
            other => {
                self.report(errors::wrong_for(e.span, want.field, want.owner, &other.to_string()));
                poison(e.span)
            }
        }
    }

    /// `A by B`: as many lengths as `dims`, or one width alone where that will do.
    fn sized(&mut self, e: &ast::Expr, dims: &[Dim], one: bool, want: Want, cx: Cx) -> Expr {
        let t = self.value(e, cx);
        match &t.ty {
            Ty::Num(_) if one => self.numeric(t, e, &dims[..1], want),
            _ => self.sized_typed(t, e, dims, want),
        }
    }

    /// `direction by position`, or on a flat `across by up`.
    fn skin_spot(&mut self, e: &ast::Expr, want: Want, cx: Cx) -> Expr {
        let t = self.value(e, cx.with_places());
        let dims = match &t.ty {
            Ty::By(types) if types.first() == Some(&Ty::Num(Dim::ANGLE)) => [Dim::ANGLE, Dim::LENGTH],
            _ => [Dim::LENGTH; 2],
        };
        self.sized_typed(t, e, &dims, want)
    }

    /// A size or spot already typed, part by part.
    fn sized_typed(&mut self, t: Typed, e: &ast::Expr, dims: &[Dim], want: Want) -> Expr {
        match (t.expr.node, t.ty) {
            (Node::By(items), Ty::By(types)) if types.len() == dims.len() => {
                let parts = by_parts(e);
                let mut out = Vec::new();
                for (i, (item, ty)) in items.into_iter().zip(types).enumerate() {
                    let part = parts.get(i).copied().unwrap_or(e);
                    // What is offered takes the place of this number alone.
                    if let (Ty::Num(Dim::NONE), Some(n), Some(at)) = (&ty, bare(part), parts.get(i)) {
                        self.report(errors::bare_part(at.span, n, want.field, &dims[i..=i]));
                        out.push(poison(at.span));
                        continue;
                    }
                    out.push(self.numeric(Typed { expr: item, ty }, part, &dims[i..=i], want));
                }
                Expr { node: Node::By(out), span: e.span }
            }
            (node, Ty::Any) => Expr { node, span: e.span },
            // A `let` may hold it.
            (node, Ty::By(types))
                if types.len() == dims.len() && types.iter().zip(dims).all(|(t, d)| *t == Ty::Num(*d)) =>
            {
                Expr { node, span: e.span }
            }
            (_, other) => {
                self.report(errors::wants_size(e.span, want.field, dims.len(), &other.to_string()));
                poison(e.span)
            }
        }
    }

    /// Whether a name stands for a thing, or for nothing and is near to nothing.
    fn is_no_value(&mut self, name: &ast::Name, cx: Cx) -> bool {
        match self.lookup(&name.value, cx.scope).map(|(b, _)| &b.binding) {
            Some(Binding::Things(_) | Binding::OnShelf(_) | Binding::Recipe(_) | Binding::Uses(_)) => true,
            Some(Binding::Let(_) | Binding::Known(..) | Binding::Param(..) | Binding::Host(..)) => false,
            None => self.nearest_name(&name.value, cx.scope).is_none(),
        }
    }

    fn plain(&mut self, e: &ast::Expr, want: Want, cx: Cx, fits: impl Fn(&Ty) -> bool) -> Expr {
        let t = self.value(e, cx);
        if t.ty == Ty::Any || fits(&t.ty) {
            return t.expr;
        }
        self.report(errors::wrong_for(e.span, want.field, want.owner, &t.ty.to_string()));
        poison(e.span)
    }

    fn date(&mut self, e: &ast::Expr, want: Want, cx: Cx) -> Expr {
        let expr = self.plain(e, want, cx, |t| *t == Ty::Text);
        if let Node::Text(text) = &expr.node
            && !is_date(text)
        {
            self.report(errors::bad_date(e.span, text));
            return poison(e.span);
        }
        expr
    }

    fn no_word(&mut self, e: &ast::Expr, want: Want, words: Vec<&'static str>) -> Expr {
        self.report(errors::unknown_word(e.span, &super::say::expr(e), want.field, want.owner, &words));
        poison(e.span)
    }

    fn thing_value(&mut self, e: &ast::Expr, kinds: &'static [crate::design::Kind], want: Want, cx: Cx) -> Expr {
        let t = self.value(e, cx);
        match (&t.expr.node, &t.ty) {
            (_, Ty::Any) => t.expr,
            (Node::Things(anchors), _) => {
                let odd =
                    anchors.iter().find(|a| a.edge.is_some() || !kinds.contains(&self.design.thing(a.thing).kind));
                if let Some(a) = odd {
                    let other = self.design.thing(a.thing);
                    let (kind, head) = (schema::kind_of(other.kind).word, other.head);
                    let words: Vec<&str> = kinds.iter().map(|k| schema::kind_of(*k).word).collect();
                    self.report(errors::wrong_thing(e.span, want.field, kind, head, &words));
                    return poison(e.span);
                }
                t.expr
            }
            (_, Ty::Things) => t.expr,
            (_, other) => {
                let words: Vec<&str> = kinds.iter().map(|k| schema::kind_of(*k).word).collect();
                self.report(errors::wants_thing(e.span, want.field, &words, &other.to_string()));
                poison(e.span)
            }
        }
    }

    /// Puts the range of a field round a number that is not known yet; a written one is held against it at once.
    pub fn bounded(&mut self, expr: Expr, want: Want) -> Expr {
        let Some(bounds) = bounds(want) else { return expr };
        let written = match &expr.node {
            Node::Quantity(q) => Some(*q),
            Node::Minus(inner) => match inner.node {
                Node::Quantity(q) => crate::units::Quantity::new(-q.value(), q.dim()),
                _ => None,
            },
            Node::Poison => return expr,
            _ => None,
        };
        match written {
            Some(q) if bounds.hold(q.value()) => expr,
            Some(q) => {
                self.report(crate::eval::out_of_range(&bounds, q, expr.span));
                poison(expr.span)
            }
            None => {
                let span = expr.span;
                Expr { node: Node::Bounded { value: Box::new(expr), bounds }, span }
            }
        }
    }

    /// Notes that a thing holds something this version does not build.
    pub fn unbuilt_word(&mut self, want: Want, built: Built, word: &str, span: Span) {
        if built == Built::NotYet
            && let Some(id) = want.thing
        {
            let what = format!("`{}: {word}`", want.field.name);
            self.note_unbuilt(id, what, span);
        }
    }

    /// Notes that a thing holds something this version does not build; goods and the prop are read all the same.
    pub fn note_unbuilt(&mut self, id: ThingId, what: String, span: Span) {
        let whole = self.things[id.index()].kind.target.things != schema::Hosts::Nothing;
        let found = self.unbuilt.entry(id).or_insert(Unbuilt { what: what.clone(), span, whole });
        // A thing left out says why once; one that is read all the same names each field that does nothing yet.
        if !whole && found.what != what {
            found.what = format!("{}, {what}", found.what);
        }
    }
}

pub(super) fn poison(span: Span) -> Expr {
    Expr { node: Node::Poison, span }
}

/// The range of what is wanted.
fn bounds(want: Want) -> Option<Bounds> {
    let whole = want.ty == Type::Count;
    let (low, low_in, high) = match want.field.range {
        Range::Any if whole => (f64::NEG_INFINITY, true, f64::INFINITY),
        Range::Any => return None,
        Range::Above0(high) => (0.0, false, high),
        Range::From0(high) => (0.0, true, high),
        Range::Within(low, high) => (low, true, high),
    };
    Some(Bounds { name: want.field.name, low, low_in, high, whole })
}

/// The one name an expression is.
pub(super) fn single(e: &ast::Expr) -> Option<&ast::Name> {
    match &e.node {
        ast::Node::Ref { head, steps } if steps.is_empty() => Some(head),
        ast::Node::Call { name, parts } if parts.is_empty() => Some(name),
        _ => None,
    }
}

/// The parts of `a by b by c`.
fn by_parts(e: &ast::Expr) -> Vec<&ast::Expr> {
    let mut out = Vec::new();
    let mut at = e;
    loop {
        match &at.node {
            ast::Node::Binary { op, left, right } if op.value == ast::Binary::By => {
                out.push(&**right);
                at = left;
            }
            ast::Node::Group(inner) => at = inner,
            _ => break,
        }
    }
    out.push(at);
    out.reverse();
    out
}

/// Whether an expression has the look of a type: only to choose which of two complaints to make.
fn looks_like(e: &ast::Expr, ty: &Type) -> bool {
    match ty {
        Type::List(_) => matches!(e.node, ast::Node::List(_)),
        Type::Make(_) => matches!(e.node, ast::Node::Call { .. }),
        Type::Word(_) | Type::Sort(_) => single(e).is_some(),
        Type::Size | Type::Size3 | Type::Spot | Type::SkinSpot => !by_parts(e).is_empty() && by_parts(e).len() > 1,
        _ => !matches!(e.node, ast::Node::List(_) | ast::Node::Call { .. }),
    }
}

/// The static type of a field's value.
pub(super) fn type_of(ty: &Type) -> Ty {
    match ty {
        Type::Of(d) => Ty::Num(*d),
        Type::Count => Ty::Num(Dim::NONE),
        Type::Level => Ty::Num(Dim::LENGTH),
        Type::Direction => Ty::Num(Dim::ANGLE),
        Type::Text | Type::Date => Ty::Text,
        Type::YesNo => Ty::Bool,
        Type::Word(_) | Type::Sort(_) | Type::Face { .. } => Ty::Word,
        Type::Thing(_) => Ty::Things,
        Type::Size3 => Ty::By(vec![Ty::Num(Dim::LENGTH); 3]),
        Type::Spot => Ty::By(vec![Ty::Num(Dim::LENGTH); 2]),
        Type::List(inner) => Ty::List(Box::new(type_of(inner))),
        Type::OneOf(_)
        | Type::Money
        | Type::Size
        | Type::SkinSpot
        | Type::Make(_)
        | Type::OneOrList(_)
        | Type::Either(..) => Ty::Any,
    }
}

/// Whether a value of a static type may stand where a type is wanted.
fn suits(want: &Type, ty: &Ty) -> bool {
    match (want, ty) {
        (_, Ty::Any) => true,
        (Type::OneOf(dims), Ty::Num(d)) => dims.contains(d),
        (Type::Make(family), Ty::Made(name)) => schema::constructor_in(*family, name).is_some(),
        (Type::Either(a, b), ty) => suits(a, ty) || suits(b, ty),
        (Type::Money, ty) => matches!(ty, Ty::Price | Ty::Num(Dim::NONE)),
        (want, ty) => super::value::goes_with(&type_of(want), ty),
    }
}

/// `YYYY-MM-DD`, a day there is.
fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [y, m, d] = parts.as_slice() else { return false };
    if (y.len(), m.len(), d.len()) != (4, 2, 2) {
        return false;
    }
    let (Ok(y), Ok(m), Ok(d)) = (y.parse::<u32>(), m.parse::<u32>(), d.parse::<u32>()) else { return false };
    let leap = (y.is_multiple_of(4) && !y.is_multiple_of(100)) || y.is_multiple_of(400);
    let days = match m {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 0,
    };
    (1..=days).contains(&d)
}
