//! What the turns of the check share: the design that grows, the names, the uses, the faults.

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use super::Options;
use super::scope::{Binding, Bound, Group, SHELF, Scope, ScopeId};
use super::value::Ty;
use crate::ast;
use crate::design::{self, Design, Expr, ThingName, Value};
use crate::diag::{Diagnostic, Diagnostics, Severity};
use crate::eval::{Budget, too_much_reckoning};
use crate::ids::{LetId, ThingId};
use crate::schema;
use crate::span::Span;

/// Where a thing or value stands in the order of writing: its sentence, then its turn in it.
pub(super) type Place = (usize, usize);

/// A thing as written.
#[derive(Debug)]
pub(super) struct RawThing<'a> {
    pub ast: &'a ast::Thing,
    pub kind: &'static schema::Kind,
    pub scope: ScopeId,
    pub place: Place,
    pub lowered: bool,
    /// Its fields and stations, `for` and `if` in it expanded; made when first asked for.
    pub body: Option<Rc<Body<'a>>>,
}

/// The fields and stations of a thing, each with the scope it is read in.
#[derive(Debug, Default)]
pub(super) struct Body<'a> {
    pub fields: Vec<(&'a ast::Name, &'a ast::Expr, ScopeId)>,
    pub stations: Vec<(&'a ast::Range, &'a ast::Expr, Span, ScopeId)>,
    /// A fault was found in it.
    pub faulty: bool,
}

/// A `let` or setting as written.
#[derive(Debug)]
pub(super) struct RawLet<'a> {
    pub value: &'a ast::Expr,
    pub params: Option<&'a [ast::Name]>,
    /// The value it was put in place of, and the scope of that: the two are of one type.
    pub like: Option<(&'a ast::Expr, ScopeId)>,
    pub scope: ScopeId,
    pub place: Place,
    pub state: State,
    pub info: LetInfo,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    Waiting,
    UnderWay,
    Done,
}

/// What is known of a `let` once it is typed.
#[derive(Clone, Debug)]
pub(super) struct LetInfo {
    pub ty: Ty,
    /// Where it comes to read a fact that is known only after the plan.
    pub made: Option<Span>,
    /// It rests on numbers and other such values only.
    pub pure: bool,
    /// Its value, when it could be reckoned already.
    pub constant: Option<Value>,
}

#[derive(Debug)]
pub(super) struct RawRequire<'a> {
    pub value: &'a ast::Expr,
    pub scope: ScopeId,
    pub place: Place,
}

#[derive(Debug)]
pub(super) struct Recipe<'a> {
    pub ast: &'a ast::Thing,
    pub settings: Vec<(&'a ast::Name, &'a ast::Expr)>,
}

/// What is reckoned: a node of the graph of uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum On {
    Let(LetId),
    Thing(ThingId),
    /// One field of a thing: it may be known before the thing is.
    Field(ThingId, &'static str),
}

/// One use, and where it was written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Use {
    pub on: On,
    pub span: Span,
    pub what: What,
    /// In a thing: the field it stands in.
    pub within: Option<&'static str>,
}

impl Use {
    pub fn new(on: On, span: Span, what: What) -> Self {
        Self { on, span, what, within: None }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    /// A value of a `let`, a field, or the thing itself.
    Plain,
    /// A fact of the solid.
    Fact,
    /// A fact known after the plan.
    Late,
    /// The mass of the whole prop, its contents too.
    Whole,
}

/// Most values, things and names that are read in a run, loops and recipes expanded.
const MOST_READ: usize = 3_000_000;

/// Defaults of the parts of one constructor.
pub(super) type PartDefaults = Rc<Vec<(&'static str, Expr)>>;

pub(super) struct Checker<'a> {
    pub options: &'a Options<'a>,
    diagnostics: Vec<Diagnostic>,
    /// Faults of what is read once only: never withdrawn.
    kept: Vec<Diagnostic>,
    /// How many errors were found so far, withdrawn ones taken off.
    pub errors: usize,
    pub scopes: Vec<Scope<'a>>,
    pub groups: Vec<Group>,
    pub things: Vec<RawThing<'a>>,
    pub lets: Vec<RawLet<'a>>,
    pub requires: Vec<RawRequire<'a>>,
    pub recipes: Vec<Recipe<'a>>,
    pub design: Design,
    /// The uses of what is being typed.
    pub uses: Vec<Use>,
    pub thing_uses: Vec<Vec<Use>>,
    pub let_uses: Vec<Vec<Use>>,
    pub require_uses: Vec<Vec<Use>>,
    pub budget: Budget,
    /// How deep the value being typed stands.
    pub depth: usize,
    /// How deep functions are being typed within functions.
    pub call_depth: usize,
    /// The types of functions for the types of their arguments.
    pub call_types: HashMap<(LetId, Vec<Ty>), Ty>,
    /// Defaults of parts of constructors, typed once.
    pub part_defaults: HashMap<(schema::Family, &'static str), PartDefaults>,
    /// Things made, the shelf and the goods not counted.
    pub parts: usize,
    pub too_many: bool,
    /// Turns of loops and uses of recipes.
    pub turns: usize,
    /// Values read, things and names entered: what the work is bounded by.
    read: usize,
    told_read: bool,
    /// A sentence outside all blocks could not be read: it may be the prop.
    pub unread: bool,
    /// A value too deep was told of.
    pub told_deep: bool,
    /// Things named by names of several.
    pub named: usize,
    /// Names in the branches of `if` that were not taken.
    pub untaken: BTreeMap<String, Span>,
    /// How many unknown names have had a nearest one sought for them.
    pub suggested: usize,
    /// What a thing that is not built has in it that is not.
    pub unbuilt: BTreeMap<ThingId, Unbuilt>,
    /// A target is being read: what follows a thing's name is an edge.
    pub in_target: bool,
    /// The wearer of this run, once sought.
    pub wearer: Option<Option<ThingId>>,
    /// The missing stock of the prop was reported.
    pub told_stock: bool,
    /// The place of the sentence being read.
    pub sentence: usize,
    pub turn: usize,
}

/// What is not built yet, in words, and where it was written.
#[derive(Clone, Debug)]
pub(super) struct Unbuilt {
    pub what: String,
    pub span: Span,
    /// Whether the whole thing is left out for it.
    pub whole: bool,
}

impl<'a> Checker<'a> {
    pub fn new(options: &'a Options<'a>) -> Self {
        let scopes = vec![Scope::default(), Scope { parent: Some(SHELF), ..Scope::default() }];
        Self {
            options,
            diagnostics: Vec::new(),
            kept: Vec::new(),
            errors: 0,
            scopes,
            groups: Vec::new(),
            things: Vec::new(),
            lets: Vec::new(),
            requires: Vec::new(),
            recipes: Vec::new(),
            design: Design::default(),
            uses: Vec::new(),
            thing_uses: Vec::new(),
            let_uses: Vec::new(),
            require_uses: Vec::new(),
            budget: Budget::new(),
            depth: 0,
            call_depth: 0,
            call_types: HashMap::new(),
            part_defaults: HashMap::new(),
            parts: 0,
            too_many: false,
            turns: 0,
            read: 0,
            told_read: false,
            unread: false,
            told_deep: false,
            named: 0,
            untaken: BTreeMap::new(),
            suggested: 0,
            unbuilt: BTreeMap::new(),
            in_target: false,
            wearer: None,
            told_stock: false,
            sentence: 0,
            turn: 0,
        }
    }

    /// Reports a fault.
    pub fn report(&mut self, d: Diagnostic) {
        if d.severity == Severity::Error {
            self.errors += 1;
        }
        self.diagnostics.push(d);
    }

    /// How many diagnostics there are, to come back to with [`Self::withdraw`].
    pub fn mark(&self) -> usize {
        self.diagnostics.len()
    }

    /// Takes back every diagnostic after `mark`.
    pub fn withdraw(&mut self, mark: usize) -> Vec<Diagnostic> {
        let back = self.diagnostics.split_off(mark);
        self.errors -= back.iter().filter(|d| d.severity == Severity::Error).count();
        back
    }

    /// Runs what is done once only, wherever it comes to be asked for: its faults stay, and are not those of what
    /// asked.
    pub fn once<R>(&mut self, f: impl FnOnce(&mut Self) -> R) -> R {
        let (mark, errors) = (self.mark(), self.errors);
        let out = f(self);
        let mut own = self.diagnostics.split_off(mark);
        self.kept.append(&mut own);
        self.errors = errors;
        out
    }

    pub fn finish(self) -> (Design, Diagnostics) {
        let mut out = Diagnostics::new();
        // The turns of a loop and the uses of a recipe read the same text: one fault of it is told once.
        let mut told = std::collections::BTreeSet::new();
        for d in self.kept.into_iter().chain(self.diagnostics) {
            if d.span().is_none_or(|span| told.insert((d.code, span))) {
                out.push(d);
            }
        }
        (self.design, out)
    }

    /// Takes one step of reading at `span`; whether there was one left. Loops and recipes read their text again and
    /// again, and this bounds all of it together.
    pub fn step(&mut self, span: Span) -> bool {
        self.read += 1;
        if self.read > MOST_READ {
            self.too_many = true;
            if !std::mem::replace(&mut self.told_read, true) {
                self.once(|c| c.report(too_much_reckoning(span, MOST_READ as u32)));
            }
            return false;
        }
        true
    }

    /// A new scope within `parent`.
    pub fn scope(&mut self, parent: ScopeId) -> ScopeId {
        self.scopes.push(Scope { parent: Some(parent), ..Scope::default() });
        ScopeId(self.scopes.len() - 1)
    }

    /// What a name stands for, seen from a scope.
    pub fn lookup(&self, name: &str, scope: ScopeId) -> Option<(&Bound<'a>, ScopeId)> {
        let mut at = Some(scope);
        while let Some(id) = at {
            let s = &self.scopes[id.0];
            if let Some(bound) = s.names.get(name) {
                return Some((bound, id));
            }
            at = s.parent;
        }
        None
    }

    /// The name of `names` that was probably meant, among those that can be seen from a scope.
    pub fn nearest_name(&mut self, name: &str, scope: ScopeId) -> Option<String> {
        // Each search walks every name: past a few dozen faults it helps nobody and takes its time.
        self.suggested += 1;
        if self.suggested > 40 {
            return None;
        }
        let mut seen = Vec::new();
        let mut at = Some(scope);
        while let Some(id) = at {
            let s = &self.scopes[id.0];
            #[expect(clippy::iter_over_hash_type, reason = "the nearest is chosen by distance, then by the word")]
            for n in s.names.keys() {
                seen.push(n.as_str());
            }
            at = s.parent;
        }
        crate::diag::nearest(name, seen).map(str::to_owned)
    }

    /// The place of what is being read in the order of writing.
    pub fn next_place(&mut self) -> Place {
        self.turn += 1;
        (self.sentence, self.turn)
    }

    /// Enters a thing in the design, without its fields.
    pub fn add_thing(
        &mut self,
        ast: &'a ast::Thing,
        kind: &'static schema::Kind,
        name: ThingName,
        scope: ScopeId,
    ) -> ThingId {
        let id = ThingId::new(self.things.len());
        let place = self.next_place();
        self.things.push(RawThing { ast, kind, scope, place, lowered: false, body: None });
        self.thing_uses.push(Vec::new());
        self.design.things.push(design::Thing {
            id,
            kind: kind.kind,
            name,
            sort: None,
            target: None,
            fields: BTreeMap::new(),
            stations: Vec::new(),
            head: ast.head(),
            span: ast.span,
            poisoned: false,
            built: true,
            measures: Vec::new(),
        });
        id
    }

    /// The group of a name of the shelf: from now on its thing is in the design.
    pub fn take_from_shelf(&mut self, name: &str) -> Option<usize> {
        let bound = self.scopes[SHELF.0].names.get(name)?;
        let Binding::OnShelf(ast) = bound.binding else { return None };
        let kind = schema::kind(&ast.kind.value)?;
        let id = self.add_thing(ast, kind, ThingName { base: ast.name.value.clone(), index: None }, SHELF);
        let group = self.groups.len();
        self.groups.push(Group { members: BTreeMap::from([(None, id)]) });
        let bound = self.scopes[SHELF.0].names.get_mut(name)?;
        bound.binding = Binding::Things(group);
        Some(group)
    }

    /// A name bound to things, taken from the shelf if it lies there.
    pub fn group(&mut self, name: &str, scope: ScopeId) -> Option<usize> {
        match self.lookup(name, scope)?.0.binding {
            Binding::Things(g) => Some(g),
            Binding::OnShelf(_) => self.take_from_shelf(name),
            _ => None,
        }
    }
}
