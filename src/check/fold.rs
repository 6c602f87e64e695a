//! Values that wait for nothing are reckoned at once, so that their faults and ranges show in every check; the
//! design then holds their figures.

use std::collections::BTreeMap;

use super::constant::literal;
use super::state::Checker;
use crate::design::{Binary, Expr, Node, Station, Value};
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
            || thing.stations.iter().flat_map(Station::values).any(holds_poison);
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
        stations.iter_mut().flat_map(Station::values_mut).for_each(|e| self.fold_expr(e));
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
        match &e.node {
            Node::FieldOf(..)
            | Node::Let(_)
            | Node::Param(_)
            | Node::Apply { .. }
            | Node::Call { .. }
            | Node::Minus(_)
            | Node::Not(_)
            | Node::Bounded { .. }
            | Node::Binary { .. }
            | Node::If { .. }
            | Node::Item { .. } => self.fold_whole(e),
            Node::Make { name: "dressed", .. } => {
                e.children_mut().into_iter().for_each(|part| self.fold_expr(part));
                self.fold_whole(e);
            }
            _ => e.children_mut().into_iter().for_each(|part| self.fold_expr(part)),
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
