//! The first turn: every name enters its scope; recipes, `for` and `if` are expanded.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::scope::{Binding, Bound, FILES, Group, SHELF, ScopeId};
use super::state::{Checker, LetInfo, RawLet, RawRequire, Recipe, State};
use super::value::Ty;
use super::{Input, errors};
use crate::ast::{self, Item, Sentence};
use crate::design::{self, Setting, ThingName};
use crate::ids::LetId;
use crate::schema;
use crate::span::Span;

/// Most things after loops, goods not counted.
pub(super) const MOST_THINGS: usize = 10_000;
/// Most turns of loops and uses of recipes: loops within loops may make nothing at all.
const MOST_TURNS: usize = 100_000;
/// Most values after loops: each turn has its own.
const MOST_VALUES: usize = 50_000;
/// Most recipes within recipes.
const MOST_NESTED: usize = 64;

/// Where a block is read: what its names enter, and what stands before them.
#[derive(Clone, Copy)]
pub(super) struct Into_<'p> {
    pub scope: ScopeId,
    /// The scope its things are named in.
    pub named: ScopeId,
    /// The name of the recipe's use, with a point behind it.
    pub prefix: &'p str,
    /// The recipes being expanded, outermost first.
    pub inside: &'p [usize],
    /// Outside every block.
    pub top: bool,
}

impl<'a> Checker<'a> {
    /// Reads the sentences of all files.
    pub fn gather(&mut self, files: &[Input<'a>]) {
        for file in files.iter().filter(|f| f.shelf) {
            self.gather_shelf(file.tree);
        }
        let sentences: Vec<&'a Sentence> =
            files.iter().filter(|f| !f.shelf).flat_map(|f| f.tree.sentences.iter()).collect();
        for s in &sentences {
            if let Sentence::Thing(t) = s
                && t.kind.value == "recipe"
            {
                self.add_recipe(t);
            }
        }
        let into = Into_ { scope: FILES, named: FILES, prefix: "", inside: &[], top: true };
        let mut later = Vec::new();
        for (n, s) in sentences.iter().enumerate() {
            self.sentence = n;
            self.turn = 0;
            match s {
                Sentence::Thing(t) if t.kind.value == "recipe" => {}
                Sentence::Thing(t) if t.index.is_some() || self.is_recipe(t, FILES) => later.push((n, *s)),
                Sentence::For(_) | Sentence::If(_) => later.push((n, *s)),
                s => self.sentence(s, into),
            }
        }
        self.override_settings();
        for (n, s) in later {
            self.sentence = n;
            self.turn = 0;
            self.sentence(s, into);
        }
    }

    fn gather_shelf(&mut self, tree: &'a ast::File) {
        for s in &tree.sentences {
            if let Sentence::Thing(t) = s {
                let bound = Bound { binding: Binding::OnShelf(t), span: t.name.span };
                self.scopes[SHELF.0].names.insert(t.name.value.clone(), bound);
            }
        }
    }

    fn is_recipe(&self, t: &ast::Thing, scope: ScopeId) -> bool {
        schema::kind(&t.kind.value).is_none()
            && matches!(self.lookup(&t.kind.value, scope), Some((Bound { binding: Binding::Recipe(_), .. }, _)))
    }

    /// Reads one sentence into a scope.
    pub fn sentence(&mut self, s: &'a Sentence, into: Into_<'_>) {
        if self.too_many {
            return;
        }
        match s {
            Sentence::Use { span, .. } => {
                if !into.top {
                    self.report(errors::misplaced("use", *span, "`use` lines stand at the head of a file"));
                }
            }
            Sentence::Bad(_) => self.unread |= into.top,
            Sentence::Let { name, params, value, .. } => {
                self.add_let(name, params.as_deref(), value, into.scope, into.scope, None);
            }
            Sentence::Setting { name, value, doc, .. } => {
                if !into.top {
                    // Those of a recipe are bound at each use; deeper ones are told where it is written.
                    if into.inside.is_empty() {
                        self.report(errors::misplaced("setting", name.span, "settings stand outside every block"));
                    }
                    return;
                }
                let setting = Setting { doc: doc.as_ref().map(|d| d.value.clone()), overridden: false };
                self.add_let(name, None, value, into.scope, into.scope, Some(setting));
            }
            Sentence::Require { value, message, span } => {
                let place = self.next_place();
                self.requires.push(RawRequire { value, scope: into.scope, place });
                self.require_uses.push(Vec::new());
                self.design.requires.push(design::Require {
                    value: design::Expr { node: design::Node::Poison, span: value.span },
                    message: message.value.clone(),
                    span: *span,
                    late: false,
                    poisoned: false,
                });
            }
            Sentence::For(f) => {
                for (turn, _) in self.turns_of(f, into.scope) {
                    if self.too_many {
                        break;
                    }
                    self.block(&f.body, Into_ { scope: turn, ..into });
                }
            }
            Sentence::If(i) => {
                let mut i = i;
                loop {
                    match self.condition(&i.condition, into.scope) {
                        None => {
                            // Which branch holds is not known: the names of both stay quiet.
                            self.note_untaken(&i.then);
                            i.otherwise.iter().for_each(|b| self.note_untaken(b));
                            break;
                        }
                        Some(true) => {
                            i.otherwise.iter().for_each(|b| self.note_untaken(b));
                            self.block(&i.then, into);
                            break;
                        }
                        Some(false) => {
                            self.note_untaken(&i.then);
                            let Some(otherwise) = &i.otherwise else { break };
                            // `else if … else if …` may be long: it is followed without recursion.
                            if let [Item::Sentence(Sentence::If(next))] = otherwise.items.as_slice() {
                                i = next;
                                continue;
                            }
                            self.block(otherwise, into);
                            break;
                        }
                    }
                }
            }
            Sentence::Thing(t) => self.thing_sentence(t, into),
        }
    }

    fn note_untaken(&mut self, block: &ast::Block) {
        for item in &block.items {
            match item {
                Item::Sentence(Sentence::Thing(t)) => {
                    self.untaken.insert(t.name.value.clone(), t.name.span);
                }
                Item::Sentence(Sentence::Let { name, .. }) => {
                    self.untaken.insert(name.value.clone(), name.span);
                }
                _ => {}
            }
        }
    }

    /// Reads a block of sentences; fields and stations have no place in it.
    fn block(&mut self, block: &'a ast::Block, into: Into_<'_>) {
        let into = Into_ { top: false, ..into };
        for item in &block.items {
            match item {
                Item::Sentence(s) => self.sentence(s, into),
                Item::Field { key, .. } => self.report(errors::misplaced(
                    &key.value,
                    key.span,
                    "a field stands between the braces of the thing it describes",
                )),
                Item::Station { span, .. } => {
                    self.report(errors::misplaced("at", *span, "a station stands between the braces of its shell"))
                }
            }
        }
    }

    /// Whether a name may be given at all; reports it when not.
    fn may_be_named(&mut self, name: &ast::Name, function: bool) -> bool {
        let word = name.value.as_str();
        let taken = schema::place_word(word).is_some()
            || schema::is_reserved(word)
            || schema::CONSTANTS.iter().any(|c| c.word == word && !matches!(word, "prop" | "wearer"))
            || (function && (schema::function(word).is_some() || schema::constructor(word).is_some()));
        if taken {
            self.report(errors::word_taken(name));
        }
        !taken
    }

    /// Binds a name, or reports the one that has it already.
    fn bind(&mut self, name: &ast::Name, scope: ScopeId, binding: Binding<'a>) -> bool {
        let shadowed = self.lookup(&name.value, scope).filter(|(_, at)| *at != SHELF).map(|(b, _)| b.span);
        if let Some(first) = shadowed {
            self.report(errors::name_taken(name, first, None));
            return false;
        }
        self.scopes[scope.0].names.insert(name.value.clone(), Bound { binding, span: name.span });
        true
    }

    fn add_recipe(&mut self, t: &'a ast::Thing) {
        if schema::kind(&t.name.value).is_some() || t.name.value == "recipe" {
            self.report(errors::recipe_is_kind(&t.name));
            return;
        }
        if !self.may_be_named(&t.name, false) {
            return;
        }
        let mut settings = Vec::new();
        for item in &t.body.items {
            match item {
                Item::Sentence(Sentence::Setting { name, value, .. }) => settings.push((name, value)),
                Item::Field { key, .. } => self.report(errors::misplaced(
                    &key.value,
                    key.span,
                    "a recipe holds `setting` lines and things; a field belongs in one of its things",
                )),
                Item::Station { span, .. } => {
                    self.report(errors::misplaced("at", *span, "a station belongs in a shell of the recipe"));
                }
                Item::Sentence(_) => {}
            }
        }
        self.settings_in_branches(&t.body);
        if let Some(target) = &t.target {
            self.report(errors::recipe_with_target(target.value.span));
        }
        let recipe = self.recipes.len();
        self.recipes.push(Recipe { ast: t, settings });
        self.bind(&t.name, FILES, Binding::Recipe(recipe));
    }

    /// Tells the settings of a recipe that stand in its loops and branches: a field has to be there whatever holds.
    fn settings_in_branches(&mut self, body: &'a ast::Block) {
        let mut open: Vec<(&ast::Block, bool)> = vec![(body, true)];
        while let Some((block, outermost)) = open.pop() {
            for item in &block.items {
                match item {
                    Item::Sentence(Sentence::Setting { name, .. }) if !outermost => self.report(errors::misplaced(
                        "setting",
                        name.span,
                        "a recipe's settings stand right inside its braces, outside every `for` and `if`",
                    )),
                    Item::Sentence(Sentence::For(f)) => open.push((&f.body, false)),
                    Item::Sentence(Sentence::If(i)) => {
                        open.push((&i.then, false));
                        open.extend(i.otherwise.iter().map(|b| (b, false)));
                    }
                    _ => {}
                }
            }
        }
    }

    /// Enters a value; its expression is read in the scope `seen`.
    pub fn add_let(
        &mut self,
        name: &'a ast::Name,
        params: Option<&'a [ast::Name]>,
        value: &'a ast::Expr,
        scope: ScopeId,
        seen: ScopeId,
        setting: Option<Setting>,
    ) -> Option<LetId> {
        if !self.may_be_named(name, params.is_some()) || !self.step(name.span) {
            return None;
        }
        if self.lets.len() >= MOST_VALUES {
            if !std::mem::replace(&mut self.too_many, true) {
                self.once(|c| c.report(errors::too_many_values(name.span, MOST_VALUES)));
            }
            return None;
        }
        let id = LetId::new(self.lets.len());
        if !self.bind(name, scope, Binding::Let(id)) {
            return None;
        }
        let place = self.next_place();
        self.lets.push(RawLet {
            value,
            params,
            like: None,
            scope: seen,
            place,
            state: State::Waiting,
            info: LetInfo { ty: Ty::Any, made: None, pure: false, constant: None },
        });
        self.let_uses.push(Vec::new());
        self.design.lets.push(design::Let {
            name: name.clone(),
            params: params.map_or(0, <[_]>::len),
            value: design::Expr { node: design::Node::Poison, span: value.span },
            setting,
            poisoned: false,
        });
        Some(id)
    }

    /// Puts the values of the command line in place of those written.
    fn override_settings(&mut self) {
        let options = self.options;
        for set in &options.sets {
            let found = match self.scopes[FILES.0].names.get(&set.name).map(|b| &b.binding) {
                Some(Binding::Let(id)) => Some(*id).filter(|id| self.design.value(*id).setting.is_some()),
                _ => None,
            };
            let Some(id) = found else {
                let names: Vec<&str> =
                    self.design.lets.iter().filter(|l| l.setting.is_some()).map(|l| l.name.value.as_str()).collect();
                let d = errors::unknown_setting(&set.name, set.value.span, &names);
                self.report(d);
                continue;
            };
            let raw = &mut self.lets[id.index()];
            raw.like = Some((raw.value, raw.scope));
            raw.value = &set.value;
            if let Some(setting) = &mut self.design.lets[id.index()].setting {
                setting.overridden = true;
            }
        }
    }

    /// The turns of a loop: a scope for each, with its variable known.
    pub fn turns_of(&mut self, f: &'a ast::For, scope: ScopeId) -> Vec<(ScopeId, Span)> {
        let named = self.may_be_named(&f.name, false);
        let shadowed = self.lookup(&f.name.value, scope).filter(|(_, at)| *at != SHELF).map(|(b, _)| b.span);
        if let Some(first) = shadowed {
            self.report(errors::name_taken(&f.name, first, None));
            return Vec::new();
        }
        let Some(values) = self.loop_values(&f.source, scope).filter(|_| named) else { return Vec::new() };
        if !self.turn_on(values.len(), f.span) {
            return Vec::new();
        }
        values
            .into_iter()
            .map(|(expr, ty)| {
                let turn = self.scope(scope);
                let binding = Binding::Known(Rc::new(expr), ty);
                self.scopes[turn.0].names.insert(f.name.value.clone(), Bound { binding, span: f.name.span });
                (turn, f.span)
            })
            .collect()
    }

    /// Counts turns; whether that many are left.
    fn turn_on(&mut self, n: usize, span: Span) -> bool {
        self.turns += n;
        if self.turns > MOST_TURNS && !std::mem::replace(&mut self.too_many, true) {
            self.once(|c| c.report(errors::too_many_turns(span, MOST_TURNS)));
        }
        self.turns <= MOST_TURNS
    }

    fn thing_sentence(&mut self, t: &'a ast::Thing, into: Into_<'_>) {
        if t.kind.value == "recipe" {
            self.report(errors::misplaced("recipe", t.kind.span, "a recipe stands by itself, outside every block"));
            return;
        }
        if self.is_recipe(t, into.scope) {
            self.use_recipe(t, into);
            return;
        }
        let Some(kind) = schema::kind(&t.kind.value) else {
            let recipes: Vec<&str> = self.recipes.iter().map(|r| r.ast.name.value.as_str()).collect();
            let mut known: Vec<&str> = schema::kind_words().collect();
            known.extend(recipes);
            let d = errors::unknown_kind(&t.kind, &known);
            self.report(d);
            // The name is kept, so that what speaks of it is not reported too.
            self.hold_name(t, into);
            return;
        };
        if !self.may_be_named(&t.name, false) {
            return;
        }
        if kind.target.things != schema::Hosts::Nothing {
            self.parts += 1;
        }
        if !self.step(t.name.span) {
            return;
        }
        if self.parts > MOST_THINGS {
            if !std::mem::replace(&mut self.too_many, true) {
                self.report(errors::too_many_things(t.head(), MOST_THINGS));
            }
            return;
        }
        let index = match &t.index {
            None => None,
            Some(e) => match self.whole_number(e, into.scope) {
                Some(i) => Some(i),
                None => return,
            },
        };
        let full = format!("{}{}", into.prefix, t.name.value);
        let group = match self.scopes[into.named.0].names.get(&t.name.value).map(|b| (&b.binding, b.span)) {
            Some((&Binding::Things(g), first)) => {
                let members = &self.groups[g].members;
                let clash =
                    if index.is_none() { members.values().next() } else { members.get(&index).or(members.get(&None)) };
                if let Some(&other) = clash {
                    let other = self.design.thing(other);
                    let at =
                        if other.name.index == index { self.things[other.id.index()].ast.name.span } else { first };
                    let d = errors::name_taken(&t.name, at, Some((t, kind, other)));
                    self.report(d);
                    return;
                }
                g
            }
            _ => {
                let g = self.groups.len();
                if !self.bind(&t.name, into.named, Binding::Things(g)) {
                    return;
                }
                self.groups.push(Group { members: BTreeMap::new() });
                g
            }
        };
        let id = self.add_thing(t, kind, ThingName { base: full, index }, into.scope);
        self.groups[group].members.insert(index, id);
    }

    /// Binds the name of a thing that cannot be read to no thing at all.
    fn hold_name(&mut self, t: &'a ast::Thing, into: Into_<'_>) {
        if self.lookup(&t.name.value, into.named).is_none() {
            let expr = design::Expr { node: design::Node::Poison, span: t.name.span };
            let binding = Binding::Known(Rc::new(expr), Ty::Any);
            self.scopes[into.named.0].names.insert(t.name.value.clone(), Bound { binding, span: t.name.span });
        }
    }

    fn use_recipe(&mut self, t: &'a ast::Thing, into: Into_<'_>) {
        let Some((Bound { binding: Binding::Recipe(r), .. }, _)) = self.lookup(&t.kind.value, into.scope) else {
            return;
        };
        let r = *r;
        if into.inside.contains(&r) || into.inside.len() >= MOST_NESTED {
            let first = self.recipes[r].ast.name.span;
            self.report(errors::recipe_in_itself(&t.kind, first));
            return;
        }
        if !self.may_be_named(&t.name, false) || !self.turn_on(1, t.head()) {
            return;
        }
        let index = match &t.index {
            None => None,
            Some(e) => match self.whole_number(e, into.scope) {
                Some(i) => Some(i),
                None => return,
            },
        };
        let scope = self.scope(FILES);
        match self.scopes[into.named.0].names.get_mut(&t.name.value) {
            Some(Bound { binding: Binding::Uses(uses), span }) => {
                if uses.contains_key(&index) || index.is_none() || uses.contains_key(&None) {
                    let first = *span;
                    self.report(errors::name_taken(&t.name, first, None));
                    return;
                }
                uses.insert(index, scope);
            }
            _ => {
                if !self.bind(&t.name, into.named, Binding::Uses(BTreeMap::from([(index, scope)]))) {
                    return;
                }
            }
        }
        let host = Bound { binding: Binding::Host(t.target.as_ref().map(|x| &x.value), into.scope), span: t.head() };
        self.scopes[scope.0].names.insert("host".to_owned(), host);
        self.recipe_settings(r, t, scope, into.scope);
        let written = match index {
            Some(i) => format!("{}{}[{i}].", into.prefix, t.name.value),
            None => format!("{}{}.", into.prefix, t.name.value),
        };
        let mut inside = into.inside.to_vec();
        inside.push(r);
        let inner = Into_ { scope, named: scope, prefix: &written, inside: &inside, top: false };
        let body = &self.recipes[r].ast.body;
        for item in &body.items {
            if let Item::Sentence(s) = item {
                self.sentence(s, inner);
            }
        }
    }

    /// Binds the settings of a recipe to the fields of a use.
    fn recipe_settings(&mut self, r: usize, t: &'a ast::Thing, scope: ScopeId, outside: ScopeId) {
        let settings = self.recipes[r].settings.clone();
        let mut given: BTreeMap<&str, (&'a ast::Name, &'a ast::Expr)> = BTreeMap::new();
        for item in &t.body.items {
            match item {
                Item::Field { key, value } => {
                    if !settings.iter().any(|(n, _)| n.value == key.value) {
                        let names: Vec<&str> = settings.iter().map(|(n, _)| n.value.as_str()).collect();
                        self.report(errors::unknown_field(key, &t.kind.value, &names, None));
                    } else if let Some((first, _)) = given.insert(&key.value, (key, value)) {
                        self.report(errors::field_twice(key, first.span));
                    }
                }
                Item::Station { span, .. } => {
                    self.report(errors::misplaced(
                        "at",
                        *span,
                        "a recipe's use has the recipe's settings as its fields",
                    ));
                }
                Item::Sentence(_) => {
                    self.report(errors::misplaced("this", t.head(), "a recipe's use holds fields only"));
                }
            }
        }
        for (name, default) in settings {
            let (value, seen) = match given.get(name.value.as_str()) {
                Some((_, v)) => (*v, outside),
                None => (default, scope),
            };
            let id = self.add_let(name, None, value, scope, seen, None);
            if let Some(id) = id
                && seen != scope
            {
                self.lets[id.index()].like = Some((default, scope));
            }
        }
    }
}
