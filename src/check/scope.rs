//! The space of names: scopes within scopes, and what a name is bound to.

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use super::value::Ty;
use crate::ast;
use crate::design::Expr;
use crate::ids::{LetId, ThingId};
use crate::span::Span;

/// Index of a scope. The shelf's is 0, the files' is 1; every name seen in the files is looked up there last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct ScopeId(pub usize);

pub(super) const SHELF: ScopeId = ScopeId(0);
pub(super) const FILES: ScopeId = ScopeId(1);

/// What a name stands for.
#[derive(Clone, Debug)]
pub(super) enum Binding<'a> {
    Let(LetId),
    /// Index of a group of things.
    Things(usize),
    /// A thing of the shelf that nothing has spoken of yet.
    OnShelf(&'a ast::Thing),
    Recipe(usize),
    /// Uses of a recipe: the scope of each.
    Uses(BTreeMap<Option<i64>, ScopeId>),
    /// The variable of a loop, in one of its turns.
    Known(Rc<Expr>, Ty),
    /// A parameter of a function.
    Param(usize, Ty),
    /// `host`: what the use of a recipe stands on.
    Host(Option<&'a ast::Expr>, ScopeId),
}

/// A binding and where its name was written.
#[derive(Clone, Debug)]
pub(super) struct Bound<'a> {
    pub binding: Binding<'a>,
    pub span: Span,
}

#[derive(Debug, Default)]
pub(super) struct Scope<'a> {
    pub parent: Option<ScopeId>,
    pub names: HashMap<String, Bound<'a>>,
}

/// All things of one name: one alone, or several by number.
#[derive(Debug)]
pub(super) struct Group {
    pub members: BTreeMap<Option<i64>, ThingId>,
}
