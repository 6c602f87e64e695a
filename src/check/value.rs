//! Types values for what they are themselves: arithmetic, lists, calls. What a field wants of a value is `typed`.

use super::errors;
use super::scope::{Binding, Bound, ScopeId};
use super::state::{Checker, LetInfo, On, State, Use, What};
use crate::ast::{self, Amount};
use crate::design::{Expr, Node};
use crate::ids::LetId;
use crate::schema;
use crate::span::Span;
use crate::units::Dim;

/// The static type of a value.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) enum Ty {
    /// Not known (a parameter), or faulty and reported: goes with everything.
    Any,
    Num(Dim),
    Price,
    Text,
    Bool,
    Word,
    By(Vec<Ty>),
    List(Box<Ty>),
    Made(&'static str),
    Things,
}

impl Ty {
    /// How many lists stand within each other.
    fn lists(&self) -> usize {
        let (mut n, mut at) = (0, self);
        while let Self::List(inner) = at {
            n += 1;
            at = inner;
        }
        n
    }
}

impl std::fmt::Display for Ty {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Any => f.write_str("a value"),
            Self::Num(d) => d.fmt(f),
            Self::Price => f.write_str("a price"),
            Self::Text => f.write_str("a text"),
            Self::Bool => f.write_str("yes or no"),
            Self::Word => f.write_str("a word"),
            Self::By(_) => f.write_str("a size"),
            Self::List(_) => f.write_str("a list"),
            Self::Made(n) => write!(f, "`{n}(…)`"),
            Self::Things => f.write_str("a thing"),
        }
    }
}

/// An expression and its type.
#[derive(Clone, Debug)]
pub(super) struct Typed {
    pub expr: Expr,
    pub ty: Ty,
}

impl Typed {
    pub fn new(node: Node, span: Span, ty: Ty) -> Self {
        Self { expr: Expr { node, span }, ty }
    }

    pub fn poison(span: Span) -> Self {
        Self::new(Node::Poison, span, Ty::Any)
    }
}

/// Where a value stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cx {
    pub scope: ScopeId,
    /// `bottom`, `middle`, `top` are places here.
    pub places: bool,
}

impl Cx {
    pub fn plain(scope: ScopeId) -> Self {
        Self { scope, places: false }
    }

    pub fn with_places(self) -> Self {
        Self { places: true, ..self }
    }
}

/// How deep lists may stand within lists.
const LISTS: usize = 8;
/// How deep values may stand within each other.
const DEPTH: usize = 200;
/// How deep functions are typed within functions; past that their types are left to the reckoning.
const CALL_DEPTH: usize = 12;
/// Most types of functions that are worked out.
const CALL_TYPES: usize = 2_000;

impl Checker<'_> {
    /// Types a value for itself.
    pub fn value(&mut self, e: &ast::Expr, cx: Cx) -> Typed {
        if !self.step(e.span) {
            return Typed::poison(e.span);
        }
        if self.depth >= DEPTH {
            if self.call_depth == 0 && !std::mem::replace(&mut self.told_deep, true) {
                self.report(errors::too_deep(e.span));
            }
            return Typed::poison(e.span);
        }
        self.depth += 1;
        let out = self.value_inner(e, cx);
        self.depth -= 1;
        if self.depth == 0 {
            self.told_deep = false;
        }
        out
    }

    fn value_inner(&mut self, e: &ast::Expr, cx: Cx) -> Typed {
        match &e.node {
            ast::Node::Amount(a) => self.amount(a, e.span),
            ast::Node::Text(t) => Typed::new(Node::Text(t.clone()), e.span, Ty::Text),
            ast::Node::Call { name, parts } => self.call(name, parts, e.span, cx),
            ast::Node::Ref { head, steps } => self.reference(head, steps, e.span, cx),
            ast::Node::List(items) => {
                let items: Vec<Typed> = items.iter().map(|i| self.value(i, cx)).collect();
                let ty = items.iter().map(|i| &i.ty).find(|t| **t != Ty::Any).cloned().unwrap_or(Ty::Any);
                if ty.lists() >= LISTS {
                    self.report(errors::too_deep(e.span));
                    return Typed::poison(e.span);
                }
                Typed::new(Node::List(items.into_iter().map(|i| i.expr).collect()), e.span, Ty::List(Box::new(ty)))
            }
            ast::Node::Group(inner) => self.value(inner, cx),
            ast::Node::Unary { op, value } => {
                let inner = self.value(value, cx);
                match op.value {
                    ast::Unary::Minus => {
                        let ty = self.number_type(&inner, value);
                        Typed::new(Node::Minus(Box::new(inner.expr)), e.span, ty.map_or(Ty::Any, Ty::Num))
                    }
                    ast::Unary::Not => {
                        self.want_truth(&inner, value.span);
                        Typed::new(Node::Not(Box::new(inner.expr)), e.span, Ty::Bool)
                    }
                }
            }
            ast::Node::Binary { .. } => self.chain(e, cx),
            ast::Node::If { condition, then, otherwise } => {
                let c = self.value(condition, cx);
                self.want_truth(&c, condition.span);
                let t = self.value(then, cx);
                let o = self.value(otherwise, cx);
                if !goes_with(&t.ty, &o.ty) {
                    self.report(errors::branches_differ(then.span, &t.ty, otherwise.span, &o.ty));
                    return Typed::poison(e.span);
                }
                let ty = if t.ty == Ty::Any { o.ty } else { t.ty };
                let node =
                    Node::If { condition: Box::new(c.expr), then: Box::new(t.expr), otherwise: Box::new(o.expr) };
                Typed::new(node, e.span, ty)
            }
            ast::Node::Bad => Typed::poison(e.span),
        }
    }

    fn amount(&mut self, a: &Amount, span: Span) -> Typed {
        match super::number::amount(a, span) {
            Ok(typed) => typed,
            Err(d) => {
                self.report(*d);
                Typed::poison(span)
            }
        }
    }

    pub fn want_truth(&mut self, t: &Typed, span: Span) {
        if !matches!(t.ty, Ty::Bool | Ty::Any) {
            self.report(errors::wrong_value(span, "a condition", "`yes` or `no`, or a comparison", &t.ty.to_string()));
        }
    }

    fn call(&mut self, name: &ast::Name, parts: &[ast::Part], span: Span, cx: Cx) -> Typed {
        if let Some((Bound { binding: Binding::Let(id), .. }, _)) = self.lookup(&name.value, cx.scope) {
            let id = *id;
            return self.apply(id, name, parts, span, cx);
        }
        if let Some(op) = schema::function(&name.value) {
            return self.operation(op, name, parts, span, cx);
        }
        if let Some(c) = schema::constructor(&name.value) {
            return self.make(c, Some(name), parts, span, cx);
        }
        for p in parts {
            self.value(&p.value, cx);
        }
        let known = schema::functions().iter().map(|f| f.name).chain(schema::constructors().map(|c| c.name));
        let near = crate::diag::nearest(&name.value, known).map(str::to_owned);
        let near = near.or_else(|| self.nearest_name(&name.value, cx.scope));
        self.report(errors::unknown_function(name, near.as_deref()));
        Typed::poison(span)
    }

    /// The use of a maker's own function.
    fn apply(&mut self, id: LetId, name: &ast::Name, parts: &[ast::Part], span: Span, cx: Cx) -> Typed {
        let wanted = self.design.value(id).params;
        self.uses.push(Use::new(On::Let(id), name.span, What::Plain));
        if self.lets[id.index()].params.is_none() {
            self.report(errors::not_a_function(name, self.design.value(id).name.span));
            return Typed::poison(span);
        }
        if let Some(p) = parts.iter().find_map(|p| p.name.as_ref()) {
            self.report(errors::named_argument(p, &name.value));
        }
        let arguments: Vec<Typed> = parts.iter().map(|p| self.value(&p.value, cx)).collect();
        if arguments.len() != wanted {
            let first = self.design.value(id).name.span;
            self.report(errors::wrong_arguments(name, wanted, Some(wanted), arguments.len(), Some(first)));
            return Typed::poison(span);
        }
        let types: Vec<Ty> = arguments.iter().map(|a| a.ty.clone()).collect();
        let ty = self.result_type(id, types, name.span);
        let node = Node::Apply { function: id, arguments: arguments.into_iter().map(|a| a.expr).collect() };
        Typed::new(node, span, ty)
    }

    /// The type a function gives for arguments of some types: its body is typed once for each.
    fn result_type(&mut self, id: LetId, types: Vec<Ty>, span: Span) -> Ty {
        let key = (id, types);
        if let Some(ty) = self.call_types.get(&key) {
            return ty.clone();
        }
        if self.call_depth >= CALL_DEPTH || self.call_types.len() >= CALL_TYPES || key.1.contains(&Ty::Any) {
            return Ty::Any;
        }
        // A function that comes back to itself finds this; the order of uses reports it.
        self.call_types.insert(key.clone(), Ty::Any);
        let raw = &self.lets[id.index()];
        let (body, params, scope) = (raw.value, raw.params.unwrap_or_default(), raw.scope);
        let inner = self.scope(scope);
        for (i, (p, ty)) in params.iter().zip(&key.1).enumerate() {
            let bound = Bound { binding: Binding::Param(i, ty.clone()), span: p.span };
            self.scopes[inner.0].names.insert(p.value.clone(), bound);
        }
        let mark = self.mark();
        let uses = self.uses.len();
        self.call_depth += 1;
        let typed = self.value(body, Cx::plain(inner));
        self.call_depth -= 1;
        self.uses.truncate(uses);
        let faults = self.withdraw(mark);
        // Faults of the body itself were reported where it stands.
        if let Some(d) = faults.into_iter().next()
            && !self.design.value(id).poisoned
        {
            self.report(errors::function_cannot_take(&self.design.value(id).name.value, span, d));
            self.call_types.remove(&key);
            return Ty::Any;
        }
        self.call_types.insert(key, typed.ty.clone());
        typed.ty
    }

    /// Types a `let` and all it needs, deepest first, without recursion.
    pub fn ensure_let(&mut self, id: LetId) {
        if self.lets[id.index()].state != State::Waiting {
            return;
        }
        let mut stack = vec![id];
        while let Some(&top) = stack.last() {
            let i = top.index();
            match self.lets[i].state {
                State::Done => {
                    stack.pop();
                }
                State::UnderWay => {
                    stack.pop();
                    self.once(|c| c.type_let(top));
                    self.lets[i].state = State::Done;
                }
                State::Waiting => {
                    self.lets[i].state = State::UnderWay;
                    let mut needed = Vec::new();
                    self.needs(self.lets[i].value, self.lets[i].scope, &mut needed);
                    if let Some((like, scope)) = self.lets[i].like {
                        self.needs(like, scope, &mut needed);
                    }
                    for n in needed.into_iter().rev() {
                        if self.lets[n.index()].state == State::Waiting {
                            stack.push(n);
                        }
                    }
                }
            }
        }
    }

    /// The lets an expression speaks of.
    fn needs(&self, e: &ast::Expr, scope: ScopeId, out: &mut Vec<LetId>) {
        let mut todo = vec![e];
        while let Some(e) = todo.pop() {
            match &e.node {
                ast::Node::Ref { head, steps } => {
                    self.need(&head.value, scope, out);
                    todo.extend(steps.iter().filter_map(|s| match s {
                        ast::Step::Index(e) => Some(e),
                        ast::Step::Field(_) => None,
                    }));
                }
                ast::Node::Call { name, parts } => {
                    self.need(&name.value, scope, out);
                    todo.extend(parts.iter().map(|p| &p.value));
                }
                ast::Node::List(items) => todo.extend(items),
                ast::Node::Group(inner) => todo.push(inner),
                ast::Node::Unary { value, .. } => todo.push(value),
                ast::Node::Binary { left, right, .. } => todo.extend([&**left, &**right]),
                ast::Node::If { condition, then, otherwise } => todo.extend([&**condition, &**then, &**otherwise]),
                ast::Node::Amount(_) | ast::Node::Text(_) | ast::Node::Bad => {}
            }
        }
    }

    fn need(&self, name: &str, scope: ScopeId, out: &mut Vec<LetId>) {
        if let Some((Bound { binding: Binding::Let(id), .. }, _)) = self.lookup(name, scope) {
            out.push(*id);
        }
    }

    fn type_let(&mut self, id: LetId) {
        let raw = &self.lets[id.index()];
        let (value, params, mut scope) = (raw.value, raw.params, raw.scope);
        let before = self.errors;
        if let Some(params) = params {
            scope = self.scope(scope);
            for (i, p) in params.iter().enumerate() {
                if let Some((first, _)) = self.lookup(&p.value, scope) {
                    let first = first.span;
                    self.report(errors::name_taken(p, first, None));
                } else if schema::place_word(&p.value).is_some() || schema::is_reserved(&p.value) {
                    self.report(errors::word_taken(p));
                }
                let bound = Bound { binding: Binding::Param(i, Ty::Any), span: p.span };
                self.scopes[scope.0].names.insert(p.value.clone(), bound);
            }
        }
        let outer = std::mem::take(&mut self.uses);
        let typed = self.value(value, Cx::plain(scope));
        let typed = self.alike(id, typed);
        let uses = std::mem::replace(&mut self.uses, outer);
        let made = uses.iter().find(|u| matches!(u.what, What::Late | What::Whole)).map(|u| u.span).or_else(|| {
            uses.iter().find_map(|u| match u.on {
                On::Let(l) => self.lets[l.index()].info.made,
                On::Thing(_) | On::Field(..) => None,
            })
        });
        let pure = uses.iter().all(|u| match u.on {
            On::Let(l) => self.lets[l.index()].info.pure && self.lets[l.index()].state == State::Done,
            On::Thing(_) | On::Field(..) => false,
        });
        let i = id.index();
        self.design.lets[i].value = typed.expr;
        self.design.lets[i].poisoned = self.errors > before;
        self.let_uses[i] = uses;
        self.lets[i].info = LetInfo { ty: typed.ty, made, pure, constant: None };
        if pure && params.is_none() && !self.design.lets[i].poisoned {
            let e = std::mem::replace(&mut self.design.lets[i].value, Expr { node: Node::Poison, span: value.span });
            self.lets[i].info.constant = self.reckon_known(&e, std::collections::BTreeMap::new());
            self.design.lets[i].value = e;
            self.design.lets[i].poisoned = self.errors > before;
        }
    }
}

impl Checker<'_> {
    /// A value put in place of a setting's own is of the same type.
    fn alike(&mut self, id: LetId, typed: Typed) -> Typed {
        let Some((like, scope)) = self.lets[id.index()].like else { return typed };
        let (mark, uses) = (self.mark(), self.uses.len());
        let wanted = self.value(like, Cx::plain(scope)).ty;
        self.withdraw(mark);
        self.uses.truncate(uses);
        if goes_with(&wanted, &typed.ty) {
            return typed;
        }
        let raw = &self.lets[id.index()];
        let d = match (&wanted, super::number::bare(raw.value)) {
            (Ty::Num(dim), Some(n)) if typed.ty == Ty::Num(Dim::NONE) => errors::bare_setting(raw.value.span, n, *dim),
            _ => {
                let name = &self.design.value(id).name.value;
                errors::wrong_value(raw.value.span, &format!("`{name}`"), &wanted.to_string(), &typed.ty.to_string())
            }
        };
        self.report(d);
        Typed { ty: wanted, ..typed }
    }
}

/// Whether two types may stand for each other.
pub(super) fn goes_with(a: &Ty, b: &Ty) -> bool {
    match (a, b) {
        (Ty::Any, _) | (_, Ty::Any) | (Ty::Made(_), Ty::Made(_)) => true,
        (Ty::By(x), Ty::By(y)) => x.len() == y.len() && x.iter().zip(y).all(|(p, q)| goes_with(p, q)),
        (Ty::List(x), Ty::List(y)) => goes_with(x, y),
        (Ty::Price, Ty::Num(Dim::NONE)) | (Ty::Num(Dim::NONE), Ty::Price) => true,
        _ => a == b,
    }
}
