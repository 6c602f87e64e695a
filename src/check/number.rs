//! Amounts, operators and built-in functions: numbers and their dimensions.

use super::errors;
use super::state::Checker;
use super::value::{Cx, Ty, Typed, goes_with};
use crate::ast::{self, Amount};
use crate::design::{Binary, Expr, Function, Node};
use crate::diag::Diagnostic;
use crate::eval::dim_power;
use crate::schema;
use crate::span::{At, Span};
use crate::units::{self, Dim, Quantity};

/// A written number in inner units.
pub(super) fn amount(a: &Amount, span: Span) -> Result<Typed, Box<Diagnostic>> {
    let one = |x: f64, dim: Dim| {
        Quantity::new(x, dim)
            .map(|q| Typed::new(Node::Quantity(q), span, Ty::Num(dim)))
            .ok_or_else(|| Box::new(errors::number_too_large(span)))
    };
    match a {
        Amount::Ratio(a, b) => {
            if *b == 0.0 {
                return Err(Box::new(errors::ratio_to_nothing(span)));
            }
            one(a / b, Dim::NONE)
        }
        Amount::Compound { large: (l, lu), small: (s, su) } => {
            let large = unit(lu, span)?;
            let small = unit(su, span)?;
            if large.dim != small.dim {
                return Err(Box::new(errors::compound_mixed(span, lu, su)));
            }
            one(l * large.factor + s * small.factor, large.dim)
        }
        Amount::Plain { number, unit: None, per: None } => one(*number, Dim::NONE),
        Amount::Plain { number, unit: Some(u), per: None } => {
            let u = unit(&u.value, u.span)?;
            one(number * u.factor, u.dim)
        }
        Amount::Plain { number, unit: None, per: Some(per) } => {
            let u = unit(&per.value, per.span)?;
            let goods = Quantity::new(u.factor, u.dim).ok_or_else(|| Box::new(errors::number_too_large(span)))?;
            Ok(Typed::new(Node::Price(*number, goods), span, Ty::Price))
        }
        Amount::Plain { unit: Some(u), per: Some(_), .. } => Err(Box::new(errors::price_with_unit(span, u))),
    }
}

fn unit(word: &str, span: Span) -> Result<units::Unit, Box<Diagnostic>> {
    units::unit(word).ok_or_else(|| Box::new(errors::unknown_unit(word, span)))
}

/// The written number without a unit, when that is all an expression is.
pub(super) fn bare(e: &ast::Expr) -> Option<f64> {
    match &e.node {
        ast::Node::Amount(Amount::Plain { number, unit: None, per: None }) => Some(*number),
        ast::Node::Group(inner) => bare(inner),
        ast::Node::Unary { op: At { value: ast::Unary::Minus, .. }, value } => bare(value).map(|x| -x),
        _ => None,
    }
}

/// `1 / 2 in`: the number, the divisor and its unit, when that is all an expression is.
pub(super) fn divided(e: &ast::Expr) -> Option<(f64, f64, &str)> {
    match &e.node {
        ast::Node::Group(inner) => divided(inner),
        ast::Node::Binary { op, left, right } if op.value == ast::Binary::Over => {
            let top = bare(left)?;
            match &right.node {
                ast::Node::Amount(Amount::Plain { number, unit: Some(u), per: None }) => Some((top, *number, &u.value)),
                _ => None,
            }
        }
        // `1 1 / 2 in` cannot be written; `1 + 1 / 2 in` is caught at its sum.
        _ => None,
    }
}

impl Checker<'_> {
    /// The dimension of a number; anything else is reported.
    pub fn number_type(&mut self, t: &Typed, e: &ast::Expr) -> Option<Dim> {
        match &t.ty {
            Ty::Num(d) => Some(*d),
            Ty::Any => None,
            other => {
                self.report(errors::wrong_value(e.span, "what is reckoned with", "a number", &other.to_string()));
                None
            }
        }
    }

    /// A chain of operators, walked down its left side without recursion.
    pub fn chain(&mut self, e: &ast::Expr, cx: Cx) -> Typed {
        let mut pending: Vec<(&At<ast::Binary>, &ast::Expr, &ast::Expr, Span)> = Vec::new();
        let mut first = e;
        while let ast::Node::Binary { op, left, right } = &first.node {
            pending.push((op, left, right, first.span));
            first = left;
        }
        let mut so_far = self.value(first, cx);
        for (op, left, right, span) in pending.into_iter().rev() {
            let r = self.value(right, cx);
            so_far = self.operator(op, so_far, left, r, right, span);
        }
        so_far
    }

    fn operator(
        &mut self,
        op: &At<ast::Binary>,
        l: Typed,
        left: &ast::Expr,
        r: Typed,
        right: &ast::Expr,
        span: Span,
    ) -> Typed {
        let binary = match op.value {
            ast::Binary::By => return self.by(l, left, r, right, span),
            ast::Binary::Power => Binary::Power,
            ast::Binary::Times => Binary::Times,
            ast::Binary::Over => Binary::Over,
            ast::Binary::Plus => Binary::Plus,
            ast::Binary::Minus => Binary::Minus,
            ast::Binary::AtMost => Binary::AtMost,
            ast::Binary::AtLeast => Binary::AtLeast,
            ast::Binary::Equal => Binary::Equal,
            ast::Binary::NotEqual => Binary::NotEqual,
            ast::Binary::Less => Binary::Less,
            ast::Binary::Greater => Binary::Greater,
            ast::Binary::And => Binary::And,
            ast::Binary::Or => Binary::Or,
        };
        let before = self.errors;
        let ty = self.operator_type(binary, &l, left, &r, right);
        if self.errors > before {
            return Typed::poison(span);
        }
        Typed::new(Node::Binary { op: binary, left: Box::new(l.expr), right: Box::new(r.expr) }, span, ty)
    }

    fn operator_type(&mut self, op: Binary, l: &Typed, left: &ast::Expr, r: &Typed, right: &ast::Expr) -> Ty {
        match op {
            Binary::And | Binary::Or => {
                self.want_truth(l, left.span);
                self.want_truth(r, right.span);
                return Ty::Bool;
            }
            Binary::Equal | Binary::NotEqual if !matches!((&l.ty, &r.ty), (Ty::Num(_), Ty::Num(_))) => {
                if !goes_with(&l.ty, &r.ty) {
                    self.report(errors::not_alike(left.span, &l.ty, right.span, &r.ty));
                }
                return Ty::Bool;
            }
            _ => {}
        }
        let (a, b) = (self.number_type(l, left), self.number_type(r, right));
        let compares = !matches!(op, Binary::Power | Binary::Times | Binary::Over | Binary::Plus | Binary::Minus);
        let (Some(a), Some(b)) = (a, b) else {
            return match (compares, op) {
                (true, _) => Ty::Bool,
                // The sum of a known and an unknown is of the known's kind.
                (false, Binary::Plus | Binary::Minus) => a.or(b).map_or(Ty::Any, Ty::Num),
                _ => Ty::Any,
            };
        };
        match op {
            Binary::Times | Binary::Over => {
                let dim = if op == Binary::Times { a.times(b) } else { a.over(b) };
                match dim {
                    Some(d) => Ty::Num(d),
                    None => {
                        self.report(errors::number_too_large(left.span.to(right.span)));
                        Ty::Any
                    }
                }
            }
            Binary::Power => self.power_type(a, b, left, right),
            _ => {
                if a != b {
                    self.report(unlike(op, a, b, left, right));
                }
                if compares { Ty::Bool } else { Ty::Num(a) }
            }
        }
    }

    fn power_type(&mut self, base: Dim, exponent: Dim, left: &ast::Expr, right: &ast::Expr) -> Ty {
        if exponent != Dim::NONE {
            self.report(errors::power_with_unit(right.span, exponent));
            return Ty::Any;
        }
        if base == Dim::NONE {
            return Ty::Num(base);
        }
        match bare(right).and_then(|n| dim_power(base, n)) {
            Some(d) => Ty::Num(d),
            None => {
                self.report(errors::power_of_unit(left.span, base, right.span));
                Ty::Any
            }
        }
    }

    /// `a by b by c`
    fn by(&mut self, l: Typed, left: &ast::Expr, r: Typed, right: &ast::Expr, span: Span) -> Typed {
        if matches!(r.ty, Ty::By(_)) {
            self.report(errors::by_in_by(right.span));
            return Typed::poison(span);
        }
        let (mut items, mut types) = match (l.expr.node, l.ty) {
            (Node::By(items), Ty::By(types)) => (items, types),
            (node, ty) => {
                let one = Typed { expr: Expr { node, span: left.span }, ty };
                let ty = self.number_type(&one, left).map_or(Ty::Any, Ty::Num);
                (vec![one.expr], vec![ty])
            }
        };
        types.push(self.number_type(&r, right).map_or(Ty::Any, Ty::Num));
        items.push(r.expr);
        Typed::new(Node::By(items), span, Ty::By(types))
    }

    /// A built-in function.
    pub fn operation(
        &mut self,
        op: &schema::Operation,
        name: &ast::Name,
        parts: &[ast::Part],
        span: Span,
        cx: Cx,
    ) -> Typed {
        if let Some(p) = parts.iter().find_map(|p| p.name.as_ref()) {
            self.report(errors::named_argument(p, &name.value));
        }
        let arguments: Vec<Typed> = parts.iter().map(|p| self.value(&p.value, cx)).collect();
        let n = arguments.len();
        if n < op.least || op.most.is_some_and(|m| n > m) {
            self.report(errors::wrong_arguments(name, op.least, op.most, n, None));
            return Typed::poison(span);
        }
        let before = self.errors;
        let ty = self.operation_type(op, &arguments, parts, span);
        if self.errors > before {
            return Typed::poison(span);
        }
        let arguments = arguments.into_iter().map(|a| a.expr).collect();
        Typed::new(Node::Call { function: op.function, arguments }, span, ty)
    }

    fn operation_type(&mut self, op: &schema::Operation, args: &[Typed], parts: &[ast::Part], span: Span) -> Ty {
        if op.function == Function::Count {
            return Ty::Num(Dim::NONE);
        }
        let many = op.most.is_none();
        // The first dimension that is known, and where; the others have to be like it.
        let mut first: Option<(Dim, &ast::Expr)> = None;
        let mut unknown = false;
        let alike = !matches!(op.function, Function::Sin | Function::Cos | Function::Tan | Function::Sqrt);
        for (a, p) in args.iter().zip(parts) {
            let inner = match &a.ty {
                Ty::List(inner) if many => Typed::new(Node::Poison, a.expr.span, (**inner).clone()),
                _ => a.clone(),
            };
            let Some(d) = self.number_type(&inner, &p.value) else {
                unknown = true;
                continue;
            };
            match first {
                None => first = Some((d, &p.value)),
                Some((f, e)) if alike && f != d => self.report(unlike(Binary::Equal, f, d, e, &p.value)),
                Some(_) => {}
            }
        }
        let Some((d, e)) = first else { return Ty::Any };
        if unknown && matches!(op.function, Function::Atan2) {
            return Ty::Num(Dim::ANGLE);
        }
        match op.function {
            Function::Sqrt => match d.root() {
                Some(r) => Ty::Num(r),
                None => {
                    self.report(errors::root_of_unit(span, d));
                    Ty::Any
                }
            },
            Function::Sin | Function::Cos | Function::Tan => {
                if d != Dim::ANGLE {
                    let help = bare(e).map(|n| format!("{} deg", crate::eval::say::number(n)));
                    self.report(errors::not_an_angle(e.span, op.name, d, help));
                }
                Ty::Num(Dim::NONE)
            }
            Function::Atan2 => Ty::Num(Dim::ANGLE),
            _ => Ty::Num(d),
        }
    }
}

/// Two numbers that do not go together: one without its unit, a length divided by mistake, or plainly mixed.
fn unlike(op: Binary, a: Dim, b: Dim, left: &ast::Expr, right: &ast::Expr) -> Diagnostic {
    for (d, e, other) in [(a, left, b), (b, right, a)] {
        if d == Dim::NONE
            && let Some(n) = bare(e)
        {
            return errors::bare_operand(e.span, n, other);
        }
        if other == Dim::LENGTH
            && let Some((top, n, unit)) = divided(e)
        {
            return errors::divided_length(e.span, top, n, unit, "a length belongs here");
        }
    }
    errors::mixed_units(op, a, b, left.span, right.span)
}
