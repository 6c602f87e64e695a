//! From pest's pairs to the tree of a value. The pairs come from a slice of the file: `base` is where it begins.
//!
//! Precedence, tightest first: `^` (from the right), unary `-`, `*` `/`, `+` `-`, `by`, comparisons, `not`, `and`,
//! `or`. Spans run from the first to the last word or bracket: what pest spans of blanks and comments behind a
//! repetition is left out.

use super::grammar::Rule;
use super::{errors, faults::Faults};
use crate::ast::{Amount, Binary, Expr, Name, Node, Part, Step, Unary};
use crate::ids::FileId;
use crate::span::{At, Span};
use pest::iterators::{Pair, Pairs};
use pest::pratt_parser::{Assoc, Op, PrattParser};
use std::sync::LazyLock;

static PRECEDENCE: LazyLock<PrattParser<Rule>> = LazyLock::new(|| {
    let left = |rule| Op::infix(rule, Assoc::Left);
    PrattParser::new()
        .op(left(Rule::or))
        .op(left(Rule::and))
        .op(Op::prefix(Rule::not))
        .op(left(Rule::at_most)
            | left(Rule::at_least)
            | left(Rule::equal)
            | left(Rule::not_equal)
            | left(Rule::less)
            | left(Rule::greater))
        .op(left(Rule::by))
        .op(left(Rule::plus) | left(Rule::minus))
        .op(left(Rule::times) | left(Rule::over))
        .op(Op::prefix(Rule::negative))
        .op(Op::infix(Rule::power, Assoc::Right))
});

/// Builds tree nodes from pairs.
pub struct Builder<'a> {
    pub file: FileId,
    pub base: usize,
    pub faults: &'a mut Faults,
}

impl Builder<'_> {
    /// The span of a pair that ends where its last word ends.
    pub fn span(&self, pair: &Pair<'_, Rule>) -> Span {
        let s = pair.as_span();
        Span::new(self.file, self.base + s.start(), self.base + s.end())
    }

    /// A name.
    pub fn name(&self, pair: &Pair<'_, Rule>) -> Name {
        At::new(pair.as_str().to_owned(), self.span(pair))
    }

    /// A `value`.
    pub fn value(&mut self, pair: Pair<'_, Rule>) -> Expr {
        debug_assert_eq!(pair.as_rule(), Rule::value);
        let mut inner = pair.into_inner();
        if let Some(first) = inner.peek()
            && first.as_rule() == Rule::conditional
        {
            inner.next();
            return self.conditional(first);
        }
        self.chain(inner)
    }

    fn conditional(&mut self, pair: Pair<'_, Rule>) -> Expr {
        let start = self.span(&pair);
        let values: Vec<Expr> =
            pair.into_inner().filter(|p| p.as_rule() == Rule::value).map(|p| self.value(p)).collect();
        let [condition, then, otherwise] =
            <[Expr; 3]>::try_from(values).expect("the grammar gives a conditional three values");
        let span = Span { end: otherwise.span.end, ..start };
        let node = Node::If { condition: Box::new(condition), then: Box::new(then), otherwise: Box::new(otherwise) };
        Expr { node, span }
    }

    fn chain(&mut self, pairs: Pairs<'_, Rule>) -> Expr {
        let (file, base) = (self.file, self.base);
        let place = |p: &Pair<'_, Rule>| {
            let s = p.as_span();
            Span::new(file, base + s.start(), base + s.end())
        };
        PRECEDENCE
            .map_primary(|p| self.atom(p))
            .map_prefix(|op, value| {
                let word = if op.as_rule() == Rule::not { Unary::Not } else { Unary::Minus };
                let op = At::new(word, place(&op));
                let span = op.span.to(value.span);
                Expr { node: Node::Unary { op, value: Box::new(value) }, span }
            })
            .map_infix(|left, op, right| {
                let op = At::new(binary(op.as_rule()), place(&op));
                let span = left.span.to(right.span);
                Expr { node: Node::Binary { op, left: Box::new(left), right: Box::new(right) }, span }
            })
            .parse(pairs)
    }

    fn atom(&mut self, pair: Pair<'_, Rule>) -> Expr {
        let span = self.span(&pair);
        match pair.as_rule() {
            Rule::amount => self.amount(pair, span),
            Rule::text => Expr { node: Node::Text(unquoted(pair.as_str()).to_owned()), span },
            Rule::call => {
                let mut inner = pair.into_inner();
                let name = self.name(&inner.next().expect("a call begins with its name"));
                let parts: Vec<Part> = inner.map(|p| self.part(p)).collect();
                self.parts_agree(&parts);
                Expr { node: Node::Call { name, parts }, span }
            }
            Rule::reference => self.reference(pair),
            Rule::list => {
                let all = pair.into_inner().map(|p| self.value(p)).collect();
                Expr { node: Node::List(all), span }
            }
            Rule::group => {
                let inner = self.value(pair.into_inner().next().expect("brackets hold a value"));
                Expr { node: Node::Group(Box::new(inner)), span }
            }
            rule => unreachable!("{rule:?} is no atom"),
        }
    }

    fn part(&mut self, pair: Pair<'_, Rule>) -> Part {
        let mut inner = pair.into_inner();
        let first = inner.next().expect("a part has a value");
        if first.as_rule() == Rule::name {
            let name = self.name(&first);
            let value = self.value(inner.next().expect("a named part has a value"));
            return Part { name: Some(name), value };
        }
        Part { name: None, value: self.value(first) }
    }

    /// All parts of a call are named, or none.
    fn parts_agree(&mut self, parts: &[Part]) {
        let named = parts.iter().find_map(|p| p.name.as_ref());
        let bare = parts.iter().find(|p| p.name.is_none());
        if let (Some(named), Some(bare)) = (named, bare) {
            self.faults.push(errors::mixed_parts(bare.value.span, named));
        }
    }

    /// A `reference`.
    pub fn reference(&mut self, pair: Pair<'_, Rule>) -> Expr {
        let mut inner = pair.into_inner();
        let head = self.name(&inner.next().expect("a reference begins with a name"));
        let mut span = head.span;
        let mut steps = Vec::new();
        for p in inner {
            span = span.to(self.span(&p));
            let rule = p.as_rule();
            let inside = p.into_inner().next().expect("a step holds a name or a value");
            steps.push(match rule {
                Rule::step => Step::Field(self.name(&inside)),
                _ => Step::Index(self.value(inside)),
            });
        }
        Expr { node: Node::Ref { head, steps }, span }
    }

    fn amount(&mut self, pair: Pair<'_, Rule>, span: Span) -> Expr {
        let kind = pair.into_inner().next().expect("an amount is of one form");
        let rule = kind.as_rule();
        let mut inner = kind.into_inner();
        let amount = match rule {
            Rule::ratio => {
                let mut side = || number(inner.next().expect("a ratio has two sides").as_str());
                Amount::Ratio(side(), side())
            }
            Rule::compound => {
                let mut next = || inner.next().expect("a compound has two numbers and two units");
                let large = (number(next().as_str()), next().as_str().to_owned());
                let small = (any_number(next()), next().as_str().to_owned());
                Amount::Compound { large, small }
            }
            Rule::fractional => {
                let value = any_number(inner.next().expect("a fraction"));
                let unit = inner.next().expect("a fraction has its unit");
                let unit = At::new(unit.as_str().to_owned(), self.span(&unit));
                Amount::Plain { number: value, unit: Some(unit), per: None }
            }
            _ => {
                let value = number(inner.next().expect("a number").as_str());
                let (mut unit, mut per, mut priced) = (None, None, false);
                for p in inner {
                    match p.as_rule() {
                        Rule::kw_per => priced = true,
                        _ => {
                            let word = Some(At::new(p.as_str().to_owned(), self.span(&p)));
                            if priced { per = word } else { unit = word }
                        }
                    }
                }
                Amount::Plain { number: value, unit, per }
            }
        };
        if self.stands(&amount, span) {
            Expr { node: Node::Amount(amount), span }
        } else {
            Expr { node: Node::Bad, span }
        }
    }

    /// Whether the number is finite and its units are known; says so when not.
    fn stands(&mut self, amount: &Amount, span: Span) -> bool {
        let (finite, unit, per) = match amount {
            Amount::Ratio(a, b) => (a.is_finite() && b.is_finite() && *b != 0.0, None, None),
            Amount::Compound { large, small } => (large.0.is_finite() && small.0.is_finite(), None, None),
            Amount::Plain { number, unit, per } => (number.is_finite(), unit.as_ref(), per.as_ref()),
        };
        if !finite {
            self.faults.push(errors::over_nothing(span));
        }
        let unknown = |word: &&At<String>| crate::units::unit(&word.value).is_none();
        let (unit, per) = (unit.filter(unknown), per.filter(unknown));
        if let Some(word) = unit {
            self.faults.push(errors::unknown_unit(word.span, &word.value));
        }
        if let Some(word) = per {
            self.faults.push(errors::per_what(word.span, &word.value, true));
        }
        finite && unit.is_none() && per.is_none()
    }
}

/// A decimal. The scan has bounded its length, so that it is finite.
fn number(digits: &str) -> f64 {
    digits.parse().unwrap_or(f64::INFINITY)
}

/// A decimal or a fraction: `3/4`, `1 1/2`.
fn any_number(pair: Pair<'_, Rule>) -> f64 {
    if pair.as_rule() != Rule::fraction {
        return number(pair.as_str());
    }
    let all: Vec<f64> = pair.into_inner().map(|p| number(p.as_str())).collect();
    match all[..] {
        [whole, over, under] => whole + over / under,
        [over, under] => over / under,
        _ => f64::INFINITY,
    }
}

/// A text without its quotation marks. There are no escapes.
pub fn unquoted(text: &str) -> &str {
    text.strip_prefix('"').and_then(|t| t.strip_suffix('"')).unwrap_or(text)
}

fn binary(rule: Rule) -> Binary {
    match rule {
        Rule::power => Binary::Power,
        Rule::times => Binary::Times,
        Rule::over => Binary::Over,
        Rule::plus => Binary::Plus,
        Rule::minus => Binary::Minus,
        Rule::by => Binary::By,
        Rule::at_most => Binary::AtMost,
        Rule::at_least => Binary::AtLeast,
        Rule::equal => Binary::Equal,
        Rule::not_equal => Binary::NotEqual,
        Rule::less => Binary::Less,
        Rule::greater => Binary::Greater,
        Rule::and => Binary::And,
        Rule::or => Binary::Or,
        rule => unreachable!("{rule:?} is no operator between two values"),
    }
}
