//! The second turn: the fields, stations and target of every thing, typed against the schema.

use std::collections::BTreeMap;

use super::errors;
use super::scope::{FILES, SHELF, ScopeId};
use super::state::{Checker, On, State, Use, What};
use super::typed::Want;
use super::value::Cx;
use crate::ast;
use crate::design::{self, Kind, Node, Places};
use crate::ids::{LetId, ThingId};
use crate::schema::{self, Built, Family, Field, Need, Range, Type};
use crate::span::Span;

/// A station's place, as a field.
static STATION_PLACE: Field = Field {
    name: "at",
    ty: Type::Level,
    need: Need::Required,
    range: Range::Within(-20_000.0, 20_000.0),
    sorts: &[],
    doc: "Where the section stands along the axis",
    example: "310 mm",
    built: Built::Yes,
};

/// A station's section, as a field.
static STATION_SECTION: Field = Field {
    name: "at",
    ty: Type::Make(Family::Section),
    need: Need::Required,
    range: Range::Any,
    sorts: &[],
    doc: "The section that stands there",
    example: "circle(across: 90 mm)",
    built: Built::Yes,
};

/// What a field takes over when it is not written.
const THE_PROPS: Need = Need::From("the prop's");

impl Checker<'_> {
    /// Types every value and thing, and those of the shelf that come to be spoken of on the way.
    pub fn lower_all(&mut self) {
        if let Some(prop) = self.design.prop {
            self.lower_thing(prop);
        }
        let (mut lets, mut things) = (0, 0);
        while lets < self.lets.len() || things < self.things.len() {
            while lets < self.lets.len() {
                if self.lets[lets].state == State::Waiting {
                    self.ensure_let(LetId::new(lets));
                }
                lets += 1;
            }
            if things < self.things.len() {
                self.lower_thing(ThingId::new(things));
                things += 1;
            }
        }
        for i in 0..self.requires.len() {
            self.lower_require(i);
        }
        while things < self.things.len() {
            self.lower_thing(ThingId::new(things));
            things += 1;
        }
    }

    fn lower_require(&mut self, i: usize) {
        let before = self.errors;
        self.uses.clear();
        let (value, scope) = (self.requires[i].value, self.requires[i].scope);
        let typed = self.value(value, Cx::plain(scope));
        self.want_truth(&typed, value.span);
        let late = self.late(0).is_some();
        self.require_uses[i] = std::mem::take(&mut self.uses);
        let r = &mut self.design.requires[i];
        r.value = typed.expr;
        r.late = late;
        r.poisoned = self.errors > before;
    }

    /// The first use, from `from` on, of a fact that is known only after the plan; and where it stands itself.
    fn late(&self, from: usize) -> Option<(Span, Option<Span>)> {
        self.uses[from..].iter().find_map(|u| match (u.what, u.on) {
            (What::Late | What::Whole, _) => Some((u.span, None)),
            (_, On::Let(id)) => self.lets[id.index()].info.made.map(|m| (u.span, Some(m))),
            _ => None,
        })
    }

    /// Types one thing.
    pub fn lower_thing(&mut self, id: ThingId) {
        if !std::mem::replace(&mut self.things[id.index()].lowered, true) {
            self.once(|c| c.lower(id));
        }
    }

    fn lower(&mut self, id: ThingId) {
        let before = self.errors;
        let outer = std::mem::take(&mut self.uses);
        let (kind, ast, scope) = {
            let raw = &self.things[id.index()];
            (raw.kind, raw.ast, raw.scope)
        };
        if kind.built == Built::NotYet {
            self.note_unbuilt(id, format!("`{}`", kind.word), ast.head());
        }
        let body = self.body(id);
        let sort = self.sort_of(id, kind, ast, &body.fields);
        self.design.things[id.index()].sort = sort.flatten();
        self.lower_fields(id, kind, sort, &body.fields);
        self.lower_target(id);
        self.lower_stations(id, kind, ast, &body.stations, body.faulty);
        if !body.faulty {
            self.missing(id, kind, sort, ast);
        }
        self.inherit(id, kind, scope);
        self.defaults(kind, sort.flatten());
        let faulty = body.faulty || self.errors > before;
        self.design.things[id.index()].poisoned |= faulty;
        self.thing_uses[id.index()] = std::mem::replace(&mut self.uses, outer);
    }

    /// The sort of a thing: `Some(None)` for a kind without sorts, `None` when it cannot be told.
    fn sort_of(
        &mut self,
        id: ThingId,
        kind: &'static schema::Kind,
        ast: &ast::Thing,
        fields: &[(&ast::Name, &ast::Expr, ScopeId)],
    ) -> Option<Option<&'static str>> {
        let Some(field) = kind.field("as") else { return Some(None) };
        let written = fields.iter().find(|(n, ..)| n.value == "as");
        let default = match field.need {
            Need::Default(word) => kind.sort(word),
            // "sling on several targets, band on one"
            Need::From(_) => {
                let several = match ast.target.as_ref().map(|t| &t.value.node) {
                    Some(ast::Node::List(items)) => items.len() > 1,
                    _ => false,
                };
                kind.sort(if several { "sling" } else { "band" })
            }
            _ => None,
        };
        match (written, default) {
            (Some((_, value, _)), _) => {
                let name = super::typed::single(value)?;
                kind.sort(&name.value).map(|s| Some(s.word))
            }
            (None, Some(sort)) => {
                if sort.built == Built::NotYet {
                    self.note_unbuilt(id, format!("`as: {}`", sort.word), ast.head());
                }
                if matches!(field.need, Need::From(_)) {
                    let value = design::Expr { node: Node::Word(sort.word), span: ast.head() };
                    let field = design::Field { key: ast.head(), value, written: false };
                    self.design.things[id.index()].fields.insert("as", field);
                }
                Some(Some(sort.word))
            }
            (None, None) => None,
        }
    }

    fn lower_fields(
        &mut self,
        id: ThingId,
        kind: &'static schema::Kind,
        sort: Option<Option<&'static str>>,
        fields: &[(&ast::Name, &ast::Expr, ScopeId)],
    ) {
        let mut keys: BTreeMap<&str, Span> = BTreeMap::new();
        for (key, value, scope) in fields {
            let (key, value, scope) = (*key, *value, *scope);
            if let Some(first) = keys.insert(&key.value, key.span) {
                self.report(errors::field_twice(key, first));
                continue;
            }
            let field = match sort {
                Some(s) => kind.field_for(&key.value, s),
                // The sort is not known: any field of the name will do.
                None => kind.field(&key.value),
            };
            let Some(field) = field else {
                let d = match (kind.field(&key.value), sort.flatten()) {
                    (Some(other), Some(s)) => errors::other_sort(key, kind, s, other),
                    _ => {
                        let names: Vec<&str> = kind.fields_for(sort.flatten()).map(|f| f.name).collect();
                        errors::unknown_field(key, kind.word, &names, Some(value))
                    }
                };
                self.report(d);
                // What stands in it may hold faults of its own.
                let names: Vec<&'static str> = kind.fields_for(sort.flatten()).map(|f| f.name).collect();
                let guess = errors::meant(&key.value, &names).and_then(|n| kind.field_for(n, sort.flatten()));
                self.look_through(value, guess, kind.word, scope);
                continue;
            };
            if field.built == Built::NotYet {
                self.note_unbuilt(id, format!("`{}`", field.name), key.span);
            }
            let from = self.uses.len();
            let want = Want { field, ty: field.ty, owner: kind.word, thing: Some(id) };
            let value = self.typed(value, want, scope);
            self.uses[from..].iter_mut().for_each(|u| u.within = Some(field.name));
            self.stage(kind.kind, field.name, from, value.span);
            let written = design::Field { key: key.span, value, written: true };
            self.design.things[id.index()].fields.insert(field.name, written);
        }
    }

    /// The stage rule: what shapes or places a thing reads no fact that is known only after the plan. Contents are
    /// placed before it; what they weigh is asked for after it.
    fn stage(&mut self, kind: Kind, field: &str, from: usize, span: Span) {
        let may = matches!(kind, Kind::Hang | Kind::Limit) || (kind == Kind::Contents && field == "mass");
        if !may && let Some((at, fact)) = self.late(from) {
            self.report(errors::too_late(at, fact, span));
        }
    }

    fn lower_stations(
        &mut self,
        id: ThingId,
        kind: &'static schema::Kind,
        ast: &ast::Thing,
        stations: &[(&ast::Range, &ast::Expr, Span, ScopeId)],
        faulty: bool,
    ) {
        if !kind.stations {
            if let Some((_, _, span, _)) = stations.first() {
                self.report(errors::station_out_of_place(*span, kind.word));
            }
            return;
        }
        let mut places = 0;
        for (place, section, span, scope) in stations {
            let from = self.uses.len();
            let place_want = Want { field: &STATION_PLACE, ty: Type::Level, owner: kind.word, thing: Some(id) };
            let place = match place {
                ast::Range::Value(e) => {
                    places += 1;
                    Places::One(self.typed(e, place_want, *scope))
                }
                ast::Range::Stretch(a, b) => {
                    places += 2;
                    Places::Stretch(self.typed(a, place_want, *scope), self.typed(b, place_want, *scope))
                }
            };
            let want =
                Want { field: &STATION_SECTION, ty: Type::Make(Family::Section), owner: "a station", thing: Some(id) };
            let section = self.typed(section, want, *scope);
            self.uses[from..].iter_mut().for_each(|u| u.within = Some("at"));
            self.stage(kind.kind, "at", from, *span);
            self.design.things[id.index()].stations.push(design::Station { place, section, span: *span });
        }
        let copies =
            ast.target.as_ref().is_some_and(|t| matches!(t.word.value, ast::Preposition::In | ast::Preposition::Over));
        let unread = stations.iter().any(|(place, ..)| match place {
            ast::Range::Value(e) => matches!(e.node, ast::Node::Bad),
            ast::Range::Stretch(a, b) => matches!(a.node, ast::Node::Bad) || matches!(b.node, ast::Node::Bad),
        });
        let enough = places >= 2 || (places == 0 && copies);
        if !(enough || faulty || unread) {
            self.report(errors::too_few_stations(ast.head(), stations.first().map(|s| s.2)));
        }
    }

    /// Reports required fields that are not there.
    fn missing(
        &mut self,
        id: ThingId,
        kind: &'static schema::Kind,
        sort: Option<Option<&'static str>>,
        ast: &ast::Thing,
    ) {
        // A field that could not be typed is there all the same.
        let body = self.body(id);
        let has = |name: &str| body.fields.iter().any(|(n, ..)| n.value == name);
        // A mistyped key may be the one that is missing: one message for both.
        let mistyped: Vec<&str> =
            body.fields.iter().map(|(n, ..)| n.value.as_str()).filter(|n| kind.field(n).is_none()).collect();
        let fields: Vec<&'static Field> = kind
            .fields_for(sort.flatten())
            .filter(|f| f.need == Need::Required && !has(f.name))
            .filter(|f| !mistyped.iter().any(|m| errors::meant(m, [f.name].as_slice()) == Some(f.name)))
            .collect();
        for f in fields {
            self.report(errors::missing_field(ast, kind, f));
        }
        if !kind.ways.is_empty() && mistyped.is_empty() && !kind.ways.iter().any(|way| way.iter().all(|n| has(n))) {
            self.report(errors::missing_way_of_thing(ast, kind));
        }
    }

    /// Takes over from the prop what is the prop's unless written.
    fn inherit(&mut self, id: ThingId, kind: &'static schema::Kind, _scope: ScopeId) {
        let sort = self.design.thing(id).sort;
        let wanted: Vec<&'static Field> = kind
            .fields_for(sort)
            .filter(|f| f.need == THE_PROPS && !self.design.thing(id).fields.contains_key(f.name))
            .collect();
        let Some(prop) = self.prop_of_run().filter(|p| *p != id) else { return };
        let head = self.design.thing(id).head;
        for f in wanted {
            let body_has = self.body(id).fields.iter().any(|(n, ..)| n.value == f.name);
            if body_has {
                continue;
            }
            self.lower_thing(prop);
            match self.design.field(prop, f.name).cloned() {
                Some(value) => {
                    if value.node == Node::Poison {
                        self.design.things[id.index()].poisoned = true;
                    }
                    for a in things_in(&value) {
                        self.uses.push(Use { within: Some(f.name), ..Use::new(On::Thing(a), head, What::Plain) });
                    }
                    let field = design::Field { key: head, value, written: false };
                    self.design.things[id.index()].fields.insert(f.name, field);
                }
                None => {
                    let given = self.body(prop).fields.iter().any(|(n, ..)| n.value == f.name);
                    self.design.things[id.index()].poisoned = true;
                    if !given && !std::mem::replace(&mut self.told_stock, true) {
                        let prop_head = self.design.thing(prop).head;
                        self.report(errors::no_stock(head, kind.word, prop_head, f));
                    }
                }
            }
        }
    }

    /// Types the schema's defaults for a kind and sort, once.
    fn defaults(&mut self, kind: &'static schema::Kind, sort: Option<&'static str>) {
        if self.design.defaults.contains_key(&(kind.kind, sort)) {
            return;
        }
        let mut out = BTreeMap::new();
        for field in kind.fields_for(sort) {
            if let Need::Default(text) = field.need {
                let e = (self.options.parse)(text);
                let want = Want { field, ty: field.ty, owner: kind.word, thing: None };
                // A maker's own `a4` takes the place of the shelf's, if it is a paper at all.
                let (mark, uses) = (self.mark(), self.uses.len());
                let mut value = self.typed(&e, want, FILES);
                if !self.withdraw(mark).is_empty() {
                    self.uses.truncate(uses);
                    value = self.typed(&e, want, SHELF);
                }
                out.insert(field.name, value);
            }
        }
        self.design.defaults.insert((kind.kind, sort), out);
    }
}

/// The things a value names.
fn things_in(e: &design::Expr) -> Vec<ThingId> {
    match &e.node {
        Node::Things(anchors) => anchors.iter().map(|a| a.thing).collect(),
        Node::List(items) => items.iter().flat_map(things_in).collect(),
        Node::If { then, otherwise, .. } => things_in(then).into_iter().chain(things_in(otherwise)).collect(),
        _ => Vec::new(),
    }
}
