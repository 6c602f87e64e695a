//! Values that wait for nothing are reckoned at once, so that their faults and ranges show in every check; the
//! design then holds their figures.

use std::collections::BTreeMap;

use super::constant::literal;
use super::state::Checker;
use crate::design::{Binary, Expr, Node, Places, Value};
use crate::ids::{LetId, ThingId};

impl Checker<'_> {
    /// Folds a `let` whose uses are folded; whether it proves faulty.
    pub fn fold_let(&mut self, id: LetId, poisoned: bool) -> bool {
        let i = id.index();
        self.design.lets[i].poisoned |= holds_poison(&self.design.lets[i].value);
        if poisoned || self.design.lets[i].poisoned || self.design.lets[i].params > 0 {
            return self.design.lets[i].poisoned;
        }
        let before = self.errors;
        if self.lets[i].info.constant.is_none() {
            let e = self.take(|c| &mut c.design.lets[i].value);
            self.lets[i].info.constant = self.reckon_known(&e, BTreeMap::new());
            self.design.lets[i].value = e;
        }
        if let Some(Value::Quantity(q)) = self.lets[i].info.constant {
            self.design.lets[i].value.node = Node::Quantity(q);
        }
        self.errors > before
    }

    /// Folds the fields and stations of a thing; whether it proves faulty.
    pub fn fold_thing(&mut self, id: ThingId, poisoned: bool) -> bool {
        let i = id.index();
        let thing = &self.design.things[i];
        let faulty = thing.fields.values().any(|f| holds_poison(&f.value))
            || thing.stations.iter().any(|s| {
                holds_poison(&s.section)
                    || match &s.place {
                        Places::One(e) => holds_poison(e),
                        Places::Stretch(a, b) => holds_poison(a) || holds_poison(b),
                    }
            });
        if poisoned || faulty || thing.poisoned {
            return true;
        }
        let before = self.errors;
        let mut fields = std::mem::take(&mut self.design.things[i].fields);
        for field in fields.values_mut().filter(|f| f.written) {
            self.fold_expr(&mut field.value);
        }
        self.design.things[i].fields = fields;
        let mut stations = std::mem::take(&mut self.design.things[i].stations);
        for s in &mut stations {
            match &mut s.place {
                Places::One(e) => self.fold_expr(e),
                Places::Stretch(a, b) => {
                    self.fold_expr(a);
                    self.fold_expr(b);
                }
            }
            self.fold_expr(&mut s.section);
        }
        self.design.things[i].stations = stations;
        self.errors > before
    }

    /// Folds a requirement; whether it proves faulty.
    pub fn fold_require(&mut self, i: usize, poisoned: bool) -> bool {
        if poisoned || self.design.requires[i].poisoned || holds_poison(&self.design.requires[i].value) {
            return true;
        }
        let before = self.errors;
        let mut e = self.take(|c| &mut c.design.requires[i].value);
        self.fold_condition(&mut e);
        self.design.requires[i].value = e;
        self.errors > before
    }

    fn take(&mut self, at: impl Fn(&mut Self) -> &mut Expr) -> Expr {
        let e = at(self);
        let span = e.span;
        std::mem::replace(e, Expr { node: Node::Poison, span })
    }

    /// Folds an expression: its parts where it only holds them together, else the whole of it.
    fn fold_expr(&mut self, e: &mut Expr) {
        match &mut e.node {
            Node::Quantity(_)
            | Node::Price(..)
            | Node::Text(_)
            | Node::Bool(_)
            | Node::Word(_)
            | Node::Place(_)
            | Node::Things(_)
            | Node::Fact { .. }
            | Node::Poison => {}
            Node::Make { name, parts } => {
                for (_, part) in parts.iter_mut() {
                    self.fold_expr(part);
                }
                if *name == "dressed" {
                    self.fold_whole(e);
                }
            }
            Node::List(items) | Node::By(items) => items.iter_mut().for_each(|i| self.fold_expr(i)),
            _ => self.fold_whole(e),
        }
    }

    /// Folds the sides of the comparisons in a condition, which stand as they are: when one does not hold, both its
    /// sides are shown.
    fn fold_condition(&mut self, e: &mut Expr) {
        match &mut e.node {
            Node::Not(inner) => self.fold_condition(inner),
            Node::Binary { op: Binary::And | Binary::Or, left, right } => {
                self.fold_condition(left);
                self.fold_condition(right);
            }
            Node::Binary { left, right, .. } => {
                self.fold_expr(left);
                self.fold_expr(right);
            }
            _ => {}
        }
    }

    fn fold_whole(&mut self, e: &mut Expr) {
        if let Some(v) = self.reckon_known(e, BTreeMap::new())
            && !matches!(v, Value::Made(_) | Value::Things(_) | Value::List(_))
        {
            e.node = literal(&v, e.span).node;
        }
    }
}

/// Whether anything in an expression was faulty.
fn holds_poison(e: &Expr) -> bool {
    let mut todo = vec![e];
    while let Some(e) = todo.pop() {
        if matches!(e.node, Node::Poison) {
            return true;
        }
        todo.extend(e.children());
    }
    false
}
