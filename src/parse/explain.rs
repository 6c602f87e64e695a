//! Why something cannot be read, from the words around the place: what pest refuses gets its message here.

use super::errors;
use super::head::preposition;
use super::split::{Extent, Splitter};
use super::token::{Bracket, Key, Kind};
use crate::ast::{Expr, Item, Node, Sentence};
use crate::diag::{Diagnostic, nearest};
use crate::units::unit;

/// Words that begin a sentence, for near misses.
const BEGINNINGS: &[&str] = &["use", "let", "setting", "require", "for", "if", "at"];

/// Words other languages begin their sentences with, and ours.
const ELSEWHERE: &[(&str, &str)] = &[
    ("var", "let"),
    ("const", "let"),
    ("def", "let"),
    ("define", "let"),
    ("set", "let"),
    ("param", "setting"),
    ("parameter", "setting"),
    ("option", "setting"),
    ("import", "use"),
    ("include", "use"),
    ("assert", "require"),
    ("check", "require"),
    ("ensure", "require"),
    ("foreach", "for"),
    ("repeat", "for"),
    ("while", "for"),
    ("when", "if"),
];

/// What a bracket in a value holds.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Hold {
    Call,
    List,
    Group,
    Index,
}

impl Hold {
    /// Whether commas may stand in it.
    fn lists(self) -> bool {
        matches!(self, Self::Call | Self::List)
    }
}

impl Splitter<'_> {
    /// Why the value `from..to` cannot be read; pest gave up at the byte `at`.
    pub fn explain(&self, from: usize, to: usize, at: usize) -> Diagnostic {
        if let Some(d) = self.bad_if(from, to).or_else(|| self.bad_pair(from, to)) {
            return d;
        }
        let i = (from..to).find(|&i| self.tokens[i].end as usize > at).unwrap_or(to - 1);
        errors::unreadable(self.span(i), self.word(i))
    }

    /// The first two neighbours that no value has.
    fn bad_pair(&self, from: usize, to: usize) -> Option<Diagnostic> {
        let mut open: Vec<Hold> = Vec::new();
        let mut before: Option<usize> = None;
        let mut broken = false;
        // What the bracket closed last held.
        let mut closed: Option<Hold> = None;
        for i in from..to {
            let kind = self.tokens[i].kind;
            if kind == Kind::Line {
                broken = true;
                continue;
            }
            if let Some(d) = self.pair(before, i, to, open.last().copied(), broken, closed) {
                return Some(d);
            }
            match kind {
                Kind::Open(_) => open.push(self.hold(before, i, closed)),
                Kind::Close(_) => closed = open.pop(),
                _ => {}
            }
            before = Some(i);
            broken = false;
        }
        let last = before?;
        let kind = self.tokens[last].kind;
        let hangs = matches!(kind, Kind::Operator | Kind::Dot | Kind::Equals | Kind::Colon | Kind::Comma)
            || (matches!(kind, Kind::Key(_)) && kind.carries_on());
        hangs.then(|| errors::missing_value(self.span(last).tail(), self.word(last), false))
    }

    /// What is wrong with token `i` behind token `before`, in the bracket `open`.
    fn pair(
        &self,
        before: Option<usize>,
        i: usize,
        to: usize,
        open: Option<Hold>,
        broken: bool,
        closed: Option<Hold>,
    ) -> Option<Diagnostic> {
        let kind = self.tokens[i].kind;
        let prior = before.map(|b| self.tokens[b].kind);
        let ended = prior.is_some_and(Kind::ends_value);
        let next = self.kind(i + 1).filter(|_| i + 1 < to);
        let part = matches!(prior, Some(Kind::Open(Bracket::Round) | Kind::Comma)) && open.is_some();
        match kind {
            Kind::Equals => {
                return Some(errors::equals_in_value(
                    self.span(i),
                    open.is_some(),
                    before.map_or("", |b| self.word(b)),
                ));
            }
            Kind::Key(_) if part && next == Some(Kind::Colon) => {
                return Some(errors::reserved(self.span(i), self.word(i), "a part"));
            }
            Kind::Key(_) if prior == Some(Kind::Dot) => {
                return Some(errors::reserved(self.span(i), self.word(i), "a name"));
            }
            Kind::Key(Key::Per) if matches!(prior, Some(Kind::Number | Kind::Unit)) => {
                if next != Some(Kind::Unit) {
                    return Some(errors::per_what(self.span(i), self.word(i + 1), next.is_some()));
                }
                let b = before?;
                let number = if prior == Some(Kind::Unit) { b.checked_sub(1)? } else { b };
                let two = number > 0 && self.tokens[number - 1].kind == Kind::Unit;
                let plain = !self.word(number).contains([':', '/']) && !two;
                if self.tokens[b].end == self.tokens[i].start || self.tokens[i].end == self.tokens[i + 1].start {
                    return Some(errors::glued_per(self.span(b).to(self.span(i + 1))));
                }
                return (!plain).then(|| errors::odd_price(self.span(number).to(self.span(b))));
            }
            Kind::Unit if prior == Some(Kind::Number) => {
                let b = before?;
                let ratio = self.word(b).contains(':');
                return ratio.then(|| errors::ratio_with_unit(self.span(b).to(self.span(i)), self.word(b)));
            }
            Kind::Key(k @ (Key::At | Key::To | Key::On | Key::In | Key::Over | Key::Beside | Key::Per)) => {
                return Some(if ended || prior == Some(Kind::Unit) {
                    errors::word_in_value(self.span(i), self.word(i), k == Key::To)
                } else {
                    errors::reserved(self.span(i), self.word(i), "a value")
                });
            }
            Kind::Key(Key::Use | Key::Let | Key::Setting | Key::Require | Key::For) => {
                return Some(errors::reserved(self.span(i), self.word(i), "a value"));
            }
            Kind::Key(Key::If) if ended || prior.is_some_and(|k| k == Kind::Operator) => {
                return Some(errors::bare_if(self.span(i)));
            }
            Kind::Colon if broken => return Some(errors::broken_line(self.span(i), self.word(i))),
            Kind::Colon => return self.odd_colon(before, i, to, open),
            _ => {}
        }
        let minus = kind == Kind::Operator && self.word(i) == "-";
        let joins = (kind.carries_on() && kind != Kind::Key(Key::Not)) || matches!(kind, Kind::Dot | Kind::Comma);
        let Some(b) = before else {
            return (joins && !minus).then(|| errors::missing_before(self.span(i), self.word(i)));
        };
        if prior == Some(Kind::Key(Key::Per)) {
            return None;
        }
        if ended && kind.begins_atom() && (broken || !self.applies(b, i, closed)) {
            return Some(self.side_by_side(b, i, to, open, broken));
        }
        if ended && kind == Kind::Key(Key::Not) {
            return Some(errors::two_values(self.span(b).tail(), self.span(i), self.word(b), self.word(i)));
        }
        let goes_on = kind.carries_on() && kind != Kind::Key(Key::Else);
        if broken && ended && (goes_on || matches!(kind, Kind::Comma | Kind::Dot)) {
            return Some(errors::broken_line(self.span(i), self.word(i)));
        }
        let waits = matches!(prior, Some(Kind::Operator | Kind::Equals | Kind::Colon))
            || prior.is_some_and(|k| matches!(k, Kind::Key(_)) && k.carries_on());
        let empty = matches!(kind, Kind::Operator | Kind::Close(_) | Kind::Comma | Kind::Dot)
            || (kind.carries_on() && kind != Kind::Key(Key::Not));
        if waits && empty && !minus {
            if self.word(b) == "*" && self.word(i) == "*" {
                return Some(errors::other_sign(self.span(b).to(self.span(i)), "**", "^"));
            }
            return Some(errors::missing_value(self.span(b).tail(), self.word(b), false));
        }
        let opened = matches!(prior, Some(Kind::Open(_) | Kind::Comma));
        if opened && joins && !minus {
            return Some(errors::missing_value(self.span(b).tail(), self.word(b), false));
        }
        let empty_bracket = matches!((prior, kind), (Some(Kind::Open(_)), Kind::Close(_)));
        if empty_bracket && matches!(open, Some(Hold::Group | Hold::Index)) {
            return Some(errors::missing_value(self.span(b).tail(), self.word(b), false));
        }
        if prior == Some(Kind::Dot) && kind != Kind::Word {
            return Some(errors::missing_value(self.span(b).tail(), ".", false));
        }
        if broken && matches!(prior, Some(Kind::Colon | Kind::Dot)) {
            return Some(errors::broken_behind(self.span(b), self.word(b)));
        }
        if kind == Kind::Open(Bracket::Round)
            && prior == Some(Kind::Word)
            && b > 0
            && self.kind(b - 1) == Some(Kind::Dot)
        {
            return Some(errors::called_fact(self.span(i), self.word(b)));
        }
        let indexed = prior == Some(Kind::Close(Bracket::Square)) && closed == Some(Hold::Index);
        if kind == Kind::Dot && prior != Some(Kind::Word) && !indexed {
            return Some(errors::no_facts(self.span(i), self.stretch(b, b + 1)));
        }
        if kind == Kind::Comma && !open.is_some_and(Hold::lists) {
            return Some(errors::odd_comma(self.span(i)));
        }
        None
    }

    /// Whether the bracket at `i` belongs to the value that ends at `b`: a call or an index.
    fn applies(&self, b: usize, i: usize, closed: Option<Hold>) -> bool {
        let kind = self.tokens[b].kind;
        match self.tokens[i].kind {
            Kind::Open(Bracket::Round) => kind == Kind::Word,
            Kind::Open(Bracket::Square) => {
                kind == Kind::Word || (kind == Kind::Close(Bracket::Square) && closed == Some(Hold::Index))
            }
            _ => false,
        }
    }

    /// What the bracket at `i`, behind the token `before` of the same value, holds.
    fn hold(&self, before: Option<usize>, i: usize, closed: Option<Hold>) -> Hold {
        let applied = before.is_some_and(|b| self.applies(b, i, closed));
        match (self.tokens[i].kind, applied) {
            (Kind::Open(Bracket::Round), true) => Hold::Call,
            (Kind::Open(Bracket::Round), false) => Hold::Group,
            (_, true) => Hold::Index,
            (_, false) => Hold::List,
        }
    }

    fn odd_colon(&self, before: Option<usize>, i: usize, to: usize, open: Option<Hold>) -> Option<Diagnostic> {
        let Some(b) = before else { return Some(errors::odd_colon(self.span(i), ":", false)) };
        let next = self.kind(i + 1).filter(|_| i + 1 < to);
        let named = self.tokens[b].kind == Kind::Word
            && open == Some(Hold::Call)
            && matches!(self.kind(b - 1), Some(Kind::Open(Bracket::Round) | Kind::Comma | Kind::Line));
        if named {
            return None;
        }
        if self.tokens[b].kind == Kind::Number && next == Some(Kind::Number) {
            let repair = format!("{}:{}", self.word(b), self.word(i + 1));
            return Some(errors::spaced_ratio(self.span(b).to(self.span(i + 1)), &repair));
        }
        Some(errors::odd_colon(self.span(i), self.word(b), self.tokens[b].kind == Kind::Word && open.is_none()))
    }

    /// Two values with nothing between them.
    fn side_by_side(&self, b: usize, i: usize, to: usize, open: Option<Hold>, broken: bool) -> Diagnostic {
        let (left, right) = (self.tokens[b].kind, self.tokens[i].kind);
        let (here, there) = (self.span(b), self.span(i));
        let next = self.kind(i + 1).filter(|_| i + 1 < to);
        if open.is_some_and(Hold::lists) && (broken || next == Some(Kind::Colon)) {
            return errors::missing_comma(here.tail(), there, self.word(i));
        }
        if broken {
            return errors::broken_line(there, self.word(i));
        }
        if next == Some(Kind::Colon) && right == Kind::Word && open.is_none() {
            return errors::missing_comma(here.tail(), there, self.word(i));
        }
        let slash = next == Some(Kind::Operator) && self.word(i + 1) == "/" && i + 2 < to;
        if left == Kind::Number && right == Kind::Number && slash && self.kind(i + 2) == Some(Kind::Number) {
            return errors::fraction_without_unit(
                here.to(self.span(i + 2)),
                self.word(b),
                self.word(i),
                self.word(i + 2),
            );
        }
        if left == Kind::Unit && right == Kind::Number && next == Some(Kind::Unit) && b > 0 {
            let whole = self.span(b - 1).to(self.span(i + 1));
            let large = format!("{} {}", self.word(b - 1), self.word(b));
            return errors::two_amounts(whole, &large, &format!("{} {}", self.word(i), self.word(i + 1)));
        }
        if right == Kind::Word && unit(self.word(i)).is_some() && left != Kind::Unit {
            return errors::unit_after_name(here.to(there), self.word(b), self.word(i));
        }
        errors::two_values(here.tail(), there, self.word(b), self.word(i))
    }

    /// An `if` without its `then` or `else`, or those without an `if`, at one level of brackets.
    fn bad_if(&self, from: usize, to: usize) -> Option<Diagnostic> {
        // For each open bracket: the `if`s that wait for their `then` or `else`.
        let mut open: Vec<Vec<(usize, bool)>> = vec![Vec::new()];
        for i in from..to {
            match self.tokens[i].kind {
                Kind::Open(_) => open.push(Vec::new()),
                Kind::Close(_) | Kind::Comma => {
                    let waiting = open.pop().unwrap_or_default();
                    if let Some(&(at, then)) = waiting.last() {
                        return Some(self.half_if(at, then, i));
                    }
                    if self.tokens[i].kind == Kind::Comma {
                        open.push(Vec::new());
                    }
                }
                Kind::Key(Key::If) => open.last_mut()?.push((i, false)),
                Kind::Key(Key::Then) => match open.last_mut()?.last_mut() {
                    Some(top) if !top.1 => top.1 = true,
                    _ => return Some(errors::without_if(self.span(i), "then")),
                },
                Kind::Key(Key::Else) => match open.last_mut()?.pop() {
                    Some((_, true)) => {}
                    Some((at, false)) => return Some(self.half_if(at, false, i)),
                    None => return Some(errors::without_if(self.span(i), "else")),
                },
                _ => {}
            }
        }
        let &(at, then) = open.last()?.last()?;
        Some(self.half_if(at, then, to))
    }

    fn half_if(&self, at: usize, then: bool, end: usize) -> Diagnostic {
        let tail = self.span(end - 1).tail();
        if then { errors::missing_else(self.span(at), tail) } else { errors::missing_then(self.span(at), tail) }
    }

    /// Why `i..end` is no head of a thing; pest gave up at the byte `at`.
    pub fn bad_head(&self, i: usize, end: usize, at: usize) -> Diagnostic {
        let kind = self.word(i);
        if self.kind(i) != Some(Kind::Word) || end == i + 1 {
            return errors::missing_name(self.span(i).tail(), kind);
        }
        if let Some(hyphen) = self.hyphen(i + 1, end) {
            return hyphen;
        }
        match self.kind(i + 1) {
            Some(Kind::Key(_)) if preposition(self.tokens[i + 1].kind).is_some() && end > i + 2 => {
                return errors::missing_name(self.span(i).tail(), kind);
            }
            Some(Kind::Key(_)) => return errors::reserved(self.span(i + 1), self.word(i + 1), "a name"),
            Some(Kind::Word) => {}
            Some(Kind::Operator | Kind::Text | Kind::Number | Kind::Open(_) | Kind::Equals | Kind::Colon)
            | Some(_)
            | None => {
                return errors::odd_name(self.stretch(i + 1, end), kind, self.stretch_text(i + 1, end));
            }
        }
        if let Some(p) = (i + 2..end).find(|&j| preposition(self.tokens[j].kind).is_some()) {
            if p + 1 == end {
                return errors::missing_target(self.span(p), self.word(p));
            }
            if !matches!(self.kind(p + 1), Some(Kind::Word | Kind::Key(_) | Kind::Open(Bracket::Square))) {
                return errors::odd_target(self.stretch(p + 1, end));
            }
            if let Some(hyphen) = self.hyphen(p + 1, end) {
                return hyphen;
            }
            if let Some(j) = (p + 2..end).find(|&j| matches!(self.tokens[j].kind, Kind::Colon | Kind::Equals)) {
                return errors::extra_in_head(self.stretch(j, end), kind, self.word(i + 1));
            }
            let commas = (p + 1..end).any(|j| matches!(self.tokens[j].kind, Kind::Key(Key::And) | Kind::Comma));
            if commas || self.kind(p + 2) == Some(Kind::Word) {
                return errors::list_target(self.stretch(p + 1, end));
            }
            if let Some(d) = self.bad_pair(p + 1, end) {
                return d;
            }
        } else if self.kind(i + 2) == Some(Kind::Word) {
            return errors::needs_preposition(self.span(i + 2), self.word(i + 1), self.word(i + 2));
        } else if self.kind(i + 2) == Some(Kind::Open(Bracket::Round))
            || matches!(self.kind(i + 2), Some(Kind::Colon | Kind::Equals))
        {
            return errors::extra_in_head(self.stretch(i + 2, end), kind, self.word(i + 1));
        }
        let j = (i..end).find(|&j| self.tokens[j].end as usize > at).unwrap_or(end - 1);
        errors::extra_in_head(self.stretch(j, end), kind, self.word(i + 1))
    }

    fn stretch_text(&self, from: usize, to: usize) -> &str {
        let (start, end) = (self.tokens[from].start as usize, self.tokens[to - 1].end as usize);
        &self.text[start..end]
    }

    /// A name written with hyphens at `i`.
    fn hyphen(&self, i: usize, end: usize) -> Option<Diagnostic> {
        if self.kind(i) != Some(Kind::Word) {
            return None;
        }
        let mut last = i;
        while last + 2 < end
            && self.word(last + 1) == "-"
            && self.tokens[last].end == self.tokens[last + 1].start
            && matches!(self.kind(last + 2), Some(Kind::Word | Kind::Key(_) | Kind::Number))
            && self.tokens[last + 1].end == self.tokens[last + 2].start
        {
            last += 2;
        }
        (last > i).then(|| errors::hyphen_in_name(self.stretch(i, last + 1), self.stretch_text(i, last + 1)))
    }

    /// What stands at `i` instead of the name of a `let` or `setting`.
    pub fn bad_name(&self, i: usize, head: usize, what: &str) -> Diagnostic {
        if i >= head {
            return errors::missing_name(self.span(i - 1).tail(), what);
        }
        match self.kind(i) {
            Some(Kind::Key(_)) => errors::reserved(self.span(i), self.word(i), "a name"),
            _ => errors::odd_name(self.stretch(i, head), what, self.stretch_text(i, head)),
        }
    }

    /// A `let` or `setting` without `=`.
    pub fn without_equals(&self, from: usize, to: usize, what: &str) -> Diagnostic {
        if to <= from + 1 {
            return errors::missing_name(self.span(from).tail(), what);
        }
        if let Some(hyphen) = self.hyphen(from + 1, to) {
            return hyphen;
        }
        let colon = (from + 2..to).find(|&i| matches!(self.tokens[i].kind, Kind::Colon) || self.word(i) == "==");
        match colon {
            Some(i) => errors::colon_for_equals(self.span(i), self.word(i), what, self.word(from + 1)),
            None => errors::missing_equals(self.span(from + 1).tail(), what, self.word(from + 1)),
        }
    }

    /// A head of a `let` that is neither a name nor a function.
    pub fn bad_let_head(&self, from: usize, equals: usize) -> Diagnostic {
        if let Some(hyphen) = self.hyphen(from + 1, equals) {
            return hyphen;
        }
        let inside = from + 3..equals;
        if self.kind(from + 2) == Some(Kind::Open(Bracket::Round))
            && let Some(i) = inside.clone().find(|&i| matches!(self.tokens[i].kind, Kind::Key(_)))
        {
            return errors::reserved(self.span(i), self.word(i), "a name");
        }
        errors::bad_let(self.stretch(from + 2, equals), self.word(from + 1))
    }

    /// A `for` that is not `for NAME in …`.
    pub fn bad_loop(&self, from: usize, to: usize) -> Diagnostic {
        match self.kind(from + 1).filter(|_| from + 1 < to) {
            Some(Kind::Key(_)) if self.kind(from + 2) == Some(Kind::Key(Key::In)) => {
                errors::reserved(self.span(from + 1), self.word(from + 1), "a name")
            }
            _ => errors::odd_loop(self.stretch(from, to)),
        }
    }

    /// An `at` without a colon.
    pub fn station_without_colon(&self, from: usize, to: usize) -> Diagnostic {
        let last = (from + 1..to).find(|&i| {
            matches!(self.tokens[i].kind, Kind::Word) && i > from + 1 && self.tokens[i - 1].kind.ends_value()
        });
        match (last, self.find(from, to, Kind::Equals)) {
            (_, Some(i)) => errors::equals_in_value(self.span(i), false, "at"),
            (Some(i), _) => errors::missing_colon(self.span(i - 1).tail(), self.stretch_text(from, i)),
            _ => errors::missing_colon(self.stretch(from, to).tail(), self.stretch_text(from, to)),
        }
    }

    /// A line that begins as no sentence does.
    pub fn odd_line(&mut self, i: usize, e: Extent, inside: bool) -> Item {
        let end = e.end.max(i + 1);
        let whole = self.stretch(i, end);
        let bad = Item::Sentence(Sentence::Bad(whole));
        let second = self.kind(i + 1).filter(|_| i + 1 < e.end);
        let first = self.tokens[i].kind;
        if first == Kind::Word && second == Some(Kind::Equals) && !self.spoken(i, i + 2) {
            self.faults.push(if inside {
                errors::equals_for_colon(self.span(i + 1), self.word(i))
            } else {
                errors::missing_let(self.span(i), self.word(i))
            });
            return if inside { Item::Field { key: self.name(i), value: self.quiet_value(i + 2, e.end) } } else { bad };
        }
        if self.spoken(i, end) {
            return bad;
        }
        let word = self.word(i);
        let meant = ELSEWHERE.iter().find(|(w, _)| *w == word).map(|&(_, ours)| ours);
        let meant = meant.or_else(|| nearest(word, BEGINNINGS.iter().copied()).filter(|_| word.len() > 2));
        let valued = second.is_some_and(|k| k.begins_atom() || k == Kind::Operator || k == Kind::Key(Key::If));
        let called = second == Some(Kind::Open(Bracket::Round)) && self.tokens[i].end == self.tokens[i + 1].start;
        if called {
            self.tell(|_| errors::unknown_sentence(whole, "", None));
            return bad;
        }
        if first == Kind::Word && valued && inside && !(meant.is_some() && second == Some(Kind::Word)) {
            if let Some(hyphen) = self.hyphen(i, end) {
                self.faults.push(hyphen);
                return bad;
            }
            self.faults.push(errors::missing_colon(self.span(i).tail(), word));
            return Item::Field { key: self.name(i), value: self.quiet_value(i + 1, e.end) };
        }
        self.tell(|s| match first {
            Kind::Operator => errors::broken_line(s.span(i), word),
            Kind::Key(Key::Else | Key::Then) => errors::without_if(s.span(i), word),
            Kind::Key(_) => errors::unknown_sentence(whole, word, None),
            Kind::Word => errors::unknown_sentence(s.span(i), word, meant),
            _ => errors::unknown_sentence(whole, "", None),
        });
        bad
    }

    /// The value of a field whose own sign was faulty.
    fn quiet_value(&mut self, from: usize, to: usize) -> Expr {
        if from >= to {
            return Expr { node: Node::Bad, span: self.stretch(from, to) };
        }
        self.value(from, to, super::split::After::Colon)
    }
}
