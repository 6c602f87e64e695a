//! The heads of sentences, and values: each read by its own rule of the grammar, from its own slice of the text.

use super::brackets::DEEPEST;
use super::grammar::{Grammar, Rule};
use super::split::{After, Extent, Splitter, Within};
use super::token::{Bracket, Key, Kind};
use super::value::{Builder, unquoted};
use super::{MOST_OPERATORS, errors};
use crate::ast::{Amount, Expr, Item, Name, Node, Preposition, Range, Sentence, Target, Thing};
use crate::diag::Diagnostic;
use crate::span::At;
use pest::Parser;
use pest::error::InputLocation;
use pest::iterators::{Pair, Pairs};

/// Values of at most this many words need no counting: they keep every limit.
const SHORT: usize = 64;

impl<'a> Splitter<'a> {
    /// The slice of the text from the first to the last of `from..to`, and where it begins.
    fn slice(&self, from: usize, to: usize) -> (&'a str, usize) {
        let (start, end) = (self.tokens[from].start as usize, self.tokens[to - 1].end as usize);
        (&self.text[start..end], start)
    }

    /// Reads `from..to` by `rule`; where in the file pest gave up when it cannot.
    fn read(&self, rule: Rule, from: usize, to: usize) -> Result<(Pairs<'a, Rule>, usize), usize> {
        let (slice, base) = self.slice(from, to);
        Grammar::parse(rule, slice).map(|pairs| (pairs, base)).map_err(|e| {
            base + match e.location {
                InputLocation::Pos(p) | InputLocation::Span((p, _)) => p,
            }
        })
    }

    fn builder(&mut self, base: usize) -> Builder<'_> {
        Builder { file: self.file, base, faults: self.faults }
    }

    /// Says what `why` finds, unless enough has been said.
    pub fn tell(&mut self, why: impl FnOnce(&Self) -> Diagnostic) {
        let told = if self.faults.full() { None } else { Some(why(self)) };
        self.faults.push_or_count(told);
    }

    /// The value in `from..to`.
    pub fn value(&mut self, from: usize, to: usize, after: After) -> Expr {
        if from >= to {
            let before = self.stretch(from, to);
            let until = from.checked_sub(1).map_or("", |i| self.word(i));
            self.tell(|_| errors::missing_value(before, until, after == After::Colon));
            return Expr { node: Node::Bad, span: before };
        }
        if self.spoken(from, to) || !self.within_limits(from, to) {
            return self.bad(from, to);
        }
        if let Some(plain) = self.plain(from, to) {
            return plain;
        }
        match self.read(Rule::only_value, from, to) {
            Ok((mut pairs, base)) => {
                let value = pairs.next().expect("the rule gives a value");
                self.builder(base).value(value)
            }
            Err(at) => {
                self.tell(|s| s.explain(from, to, at));
                self.bad(from, to)
            }
        }
    }

    /// A value that is one name, one text, or one number with or without its unit: most are. The grammar gives the same.
    fn plain(&self, from: usize, to: usize) -> Option<Expr> {
        let span = self.stretch(from, to);
        let number = |i: usize| {
            let word = self.word(i);
            let (whole, part) = word.split_once('.').unwrap_or((word, "0"));
            let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
            let number: f64 = if digits(whole) && digits(part) { word.parse().ok()? } else { return None };
            number.is_finite().then_some(number)
        };
        let node = match (self.tokens[from].kind, to - from) {
            (Kind::Text, 1) => Node::Text(unquoted(self.word(from)).to_owned()),
            (Kind::Word, 1) => Node::Ref { head: At::new(self.word(from).to_owned(), span), steps: Vec::new() },
            (Kind::Number, 1) => Node::Amount(Amount::Plain { number: number(from)?, unit: None, per: None }),
            (Kind::Number, 2) if self.tokens[from + 1].kind == Kind::Unit => {
                let unit = self.word(from + 1);
                crate::units::unit(unit)?;
                // Nothing but blanks stands between them.
                let between = &self.text[self.tokens[from].end as usize..self.tokens[from + 1].start as usize];
                if !between.bytes().all(|b| b == b' ' || b == b'\t') {
                    return None;
                }
                let unit = Some(At::new(unit.to_owned(), self.stretch(from + 1, to)));
                Node::Amount(Amount::Plain { number: number(from)?, unit, per: None })
            }
            _ => return None,
        };
        Some(Expr { node, span })
    }

    /// A stretch `a to b`, or one value.
    pub fn range(&mut self, from: usize, to: usize, within: Within) -> Range {
        let mut split = self.find(from, to, Kind::Key(Key::To));
        if split.is_none()
            && !self.spoken(from, to)
            && let Some(second) = self.two_values(from, to)
        {
            self.faults.push(errors::missing_to(self.span(second), within == Within::Loop));
            return Range::Value(self.bad(from, to));
        }
        let key = if within == Within::Loop { "in" } else { "at" };
        let Some(at) = split.take() else { return Range::Value(self.value(from, to, After::Key(key))) };
        Range::Stretch(self.value(from, at, After::Key(key)), self.value(at + 1, to, After::Key("to")))
    }

    /// Where a second value begins right behind a first, in `from..to`.
    fn two_values(&self, from: usize, to: usize) -> Option<usize> {
        let mut i = from;
        while i + 1 < to {
            let next = match self.tokens[i].kind {
                Kind::Open(_) => self.partners.behind(self.tokens, i, to),
                _ => i + 1,
            };
            let ended = self.tokens[next - 1].kind.ends_value();
            if ended && next < to && matches!(self.tokens[next].kind, Kind::Number) {
                // `5 ft 3 in` and `1 h 30 min` are one number.
                let joined = matches!((self.word(next - 1), self.word(next + 1)), ("ft", "in") | ("h", "min"));
                if !joined {
                    return Some(next);
                }
            }
            i = next;
        }
        None
    }

    /// Whether a value keeps the limits of operators and of depth; says so when not.
    fn within_limits(&mut self, from: usize, to: usize) -> bool {
        if to - from <= SHORT {
            return true;
        }
        let mut stack = vec![Level::default()];
        for (i, t) in self.tokens[from..to].iter().enumerate() {
            let nested = stack.len() > 1;
            let top = stack.last_mut().expect("the outermost stays");
            match t.kind {
                Kind::Open(_) => stack.push(Level::default()),
                Kind::Comma => top.next_element(),
                Kind::Close(_) if nested => {
                    let done = stack.pop().expect("more than one is open").worst();
                    stack.last_mut().expect("the outermost stays").hold(done);
                }
                k if k.counts() => {
                    top.own.operators += 1;
                    top.own.depth += usize::from(k == Kind::Key(Key::If));
                    // Powers group from the right: a row of them is as deep as it is long.
                    if self.word(from + i) == "^" {
                        top.powers += 1;
                        top.most_powers = top.most_powers.max(top.powers);
                    } else if i == 0 || self.word(from + i - 1) != "^" {
                        top.powers = 0;
                    }
                }
                _ => {}
            }
        }
        let worst = stack.remove(0).worst();
        let first = self.span(from);
        if worst.operators > MOST_OPERATORS {
            self.faults.push(errors::value_too_long(first, worst.operators, MOST_OPERATORS));
        } else if worst.depth > DEEPEST {
            self.faults.push(errors::too_deep(first, DEEPEST));
        }
        worst.operators <= MOST_OPERATORS && worst.depth <= DEEPEST
    }

    fn text_at(&self, i: usize) -> At<String> {
        At::new(unquoted(self.word(i)).to_owned(), self.span(i))
    }

    pub fn use_line(&mut self, from: usize, to: usize) -> Sentence {
        let span = self.stretch(from, to);
        if to == from + 2 && self.tokens[from + 1].kind == Kind::Text {
            return Sentence::Use { path: self.text_at(from + 1), span };
        }
        if !self.spoken(from, to) {
            self.faults.push(if to <= from + 1 || self.tokens[from + 1].kind != Kind::Text {
                errors::use_without_text(span, self.stretch(from + 1, to), self.text)
            } else {
                errors::left_over(self.stretch(from + 2, to), "`use` takes one file name in quotation marks")
            });
        }
        Sentence::Bad(span)
    }

    /// The name behind the word of a sentence, and where its `=` stands.
    fn named(&mut self, from: usize, to: usize, what: &'static str) -> (Option<Name>, Option<usize>) {
        let equals = self.find(from + 1, to, Kind::Equals);
        let head = equals.unwrap_or(to);
        let good = self.kind(from + 1) == Some(Kind::Word) && from + 1 < head;
        let name = good.then(|| self.name(from + 1));
        if equals.is_none() && !self.spoken(from, to) {
            self.faults.push(self.without_equals(from, to, what));
        } else if name.is_none() && !self.spoken(from, head) {
            self.faults.push(self.bad_name(from + 1, head, what));
        }
        (name, equals)
    }

    pub fn let_line(&mut self, from: usize, to: usize) -> Sentence {
        let span = self.stretch(from, to);
        let before = self.faults.count();
        let (name, equals) = self.named(from, to, "let");
        let Some(equals) = equals else {
            return name.map_or(Sentence::Bad(span), |name| {
                let value = self.bad(to, to);
                Sentence::Let { name, params: None, value, span }
            });
        };
        let mut params = None;
        if equals > from + 2 && name.is_some() && !self.spoken(from, equals) {
            params = match self.read(Rule::only_let_head, from, equals) {
                Ok((mut pairs, base)) => {
                    let head = pairs.next().expect("the rule gives a head");
                    let build = self.builder(base);
                    let names: Vec<Name> = head
                        .into_inner()
                        .filter(|p| p.as_rule() == Rule::name)
                        .skip(1)
                        .map(|p| build.name(&p))
                        .collect();
                    Some(names)
                }
                Err(_) => {
                    if self.faults.count() == before {
                        self.faults.push(self.bad_let_head(from, equals));
                    }
                    None
                }
            };
        }
        let value = self.value(equals + 1, to, After::Equals);
        match name {
            Some(name) => Sentence::Let { name, params, value, span },
            None => Sentence::Bad(span),
        }
    }

    pub fn setting(&mut self, from: usize, to: usize) -> Sentence {
        let span = self.stretch(from, to);
        let (name, equals) = self.named(from, to, "setting");
        if let (Some(n), Some(e)) = (&name, equals)
            && e > from + 2
            && !self.spoken(from, e)
        {
            let extra = self.stretch(from + 2, e);
            self.faults.push(errors::left_over(extra, &format!("write `setting {} = …`", n.value)));
        }
        let Some(name) = name else { return Sentence::Bad(span) };
        let Some(equals) = equals else {
            let value = self.bad(to, to);
            return Sentence::Setting { name, value, doc: None, span };
        };
        let why = to > equals + 2 && self.tokens[to - 1].kind == Kind::Text && self.tokens[to - 2].kind.ends_value();
        let doc = why.then(|| self.text_at(to - 1));
        let value = self.value(equals + 1, if why { to - 1 } else { to }, After::Equals);
        Sentence::Setting { name, value, doc, span }
    }

    pub fn require(&mut self, from: usize, to: usize) -> Sentence {
        let span = self.stretch(from, to);
        let told = to > from + 1 && self.tokens[to - 1].kind == Kind::Text;
        let end = if told { to - 1 } else { to };
        let before = self.faults.count();
        let value = self.value(from + 1, end, After::Key("require"));
        if told {
            return Sentence::Require { value, message: self.text_at(to - 1), span };
        }
        if !self.spoken(from, to) && self.faults.count() == before {
            self.faults.push(errors::require_without_text(span));
        }
        Sentence::Bad(span)
    }

    /// A thing, or a line that is no sentence at all.
    pub fn thing(&mut self, i: usize, limit: usize, inside: bool) -> (Item, usize) {
        let e = self.extent(i, limit);
        let (kind, name) = (self.kind(i), self.kind(i + 1).filter(|_| i + 1 < e.end));
        let below = self.kind(e.end) == Some(Kind::Line) && self.kind(e.end + 1) == Some(Kind::Open(Bracket::Curly));
        let words = kind == Some(Kind::Word) && matches!(name, Some(Kind::Word | Kind::Key(_)));
        let headed = e.brace || below || self.has_target(i + 1, e.end) || (e.end == i + 2 && !inside);
        let begun = e.brace && e.end > i && matches!(kind, Some(Kind::Word | Kind::Fault));
        if (words && headed) || begun {
            return self.real_thing(i, e, limit);
        }
        let item = self.odd_line(i, e, inside);
        let next = if e.brace { self.block(e.end, limit).1 } else { e.end };
        (item, next)
    }

    fn has_target(&self, from: usize, to: usize) -> bool {
        (from..to).any(|i| preposition(self.tokens[i].kind).is_some())
    }

    fn real_thing(&mut self, i: usize, e: Extent, limit: usize) -> (Item, usize) {
        // A head holds values too: its index, and what it stands on.
        let read = if self.spoken(i, e.end) || !self.within_limits(i, e.end) {
            Err(None)
        } else {
            self.read(Rule::only_head, i, e.end).map_err(Some)
        };
        let head = match read {
            Ok((mut pairs, base)) => Ok(self.head(pairs.next().expect("the rule gives a head"), base)),
            Err(at) => {
                if let Some(at) = at {
                    self.tell(|s| s.bad_head(i, e.end, at));
                }
                Err(self.salvage(i, e.end))
            }
        };
        let (body, next) = self.body(i, e, limit, self.word(i));
        let span = self.stretch(i, next);
        let thing = match head {
            Ok((kind, name, index, target)) | Err(Some((kind, name, index, target))) => {
                Sentence::Thing(Thing { kind, name, index, target, body, span })
            }
            Err(None) => Sentence::Bad(span),
        };
        (Item::Sentence(thing), next)
    }

    fn head(&mut self, pair: Pair<'a, Rule>, base: usize) -> Head {
        let mut build = self.builder(base);
        let mut inner = pair.into_inner();
        let kind = build.name(&inner.next().expect("a head begins with its kind"));
        let name = build.name(&inner.next().expect("a kind is followed by a name"));
        let (mut index, mut target, mut word) = (None, None, None);
        for p in inner {
            match p.as_rule() {
                Rule::value => index = Some(build.value(p)),
                Rule::preposition => {
                    let which = preposition_word(p.as_str()).expect("the grammar knows four");
                    word = Some(At::new(which, build.span(&p)));
                }
                rule => {
                    let span = build.span(&p);
                    let value = if rule == Rule::list {
                        let all = p.into_inner().map(|v| build.value(v)).collect();
                        Expr { node: Node::List(all), span }
                    } else {
                        build.reference(p)
                    };
                    target = word.take().map(|word| Target { word, value });
                }
            }
        }
        if let Some(Node::List(all)) = target.as_ref().map(|t| &t.value.node) {
            for odd in all.iter().filter(|e| !matches!(e.node, Node::Ref { .. } | Node::Bad)) {
                self.faults.push(errors::odd_target(odd.span));
            }
        }
        (kind, name, index, target)
    }

    /// What can be saved of a faulty head, so that its name is known to the rest of the file.
    fn salvage(&self, i: usize, end: usize) -> Option<Head> {
        let word = |i: usize| (i < end && self.kind(i) == Some(Kind::Word)).then(|| self.name(i));
        let (kind, name) = (word(i)?, word(i + 1)?);
        let target = (i + 2..end).find_map(|j| {
            let word = At::new(preposition(self.tokens[j].kind)?, self.span(j));
            Some(Target { word, value: self.bad(j + 1, end) })
        });
        let index =
            (self.kind(i + 2) == Some(Kind::Open(Bracket::Square)) && i + 2 < end).then(|| self.bad(i + 2, end));
        Some((kind, name, index, target))
    }
}

/// What a value holds at one level of brackets, for its limits.
#[derive(Clone, Copy, Default)]
struct Load {
    operators: usize,
    /// Brackets, `if`s and powers in each other.
    depth: usize,
}

#[derive(Default)]
struct Level {
    /// Of the element being read.
    own: Load,
    /// Powers in a row, up to here and at most.
    powers: usize,
    most_powers: usize,
    /// The worst of the brackets in it.
    held: Load,
    /// The worst of the elements before it.
    before: Load,
}

impl Load {
    fn max(self, o: Self) -> Self {
        Self { operators: self.operators.max(o.operators), depth: self.depth.max(o.depth) }
    }
}

impl Level {
    fn worst(&self) -> Load {
        let operators = self.own.operators + self.held.operators;
        let depth = self.own.depth + self.most_powers + self.held.depth;
        self.before.max(Load { operators, depth })
    }

    fn next_element(&mut self) {
        *self = Self { before: self.worst(), ..Self::default() };
    }

    fn hold(&mut self, inner: Load) {
        self.held = self.held.max(Load { depth: inner.depth + 1, ..inner });
    }
}

type Head = (Name, Name, Option<Expr>, Option<Target>);

fn preposition_word(word: &str) -> Option<Preposition> {
    Key::of(word).and_then(|k| preposition(Kind::Key(k)))
}

/// The preposition a token is.
pub fn preposition(kind: Kind) -> Option<Preposition> {
    Some(match kind {
        Kind::Key(Key::On) => Preposition::On,
        Kind::Key(Key::In) => Preposition::In,
        Kind::Key(Key::Over) => Preposition::Over,
        Kind::Key(Key::Beside) => Preposition::Beside,
        _ => return None,
    })
}
