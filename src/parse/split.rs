//! From tokens to sentences, fields and stations, by hand: where each begins and ends. A fault in one never reaches
//! the next. Heads and values are read by `head`, which see.

use super::brackets::{Partners, breaks_here};
use super::errors;
use super::faults::Faults;
use super::token::{Bracket, Key, Kind, Token};
use crate::ast::{Block, Expr, For, If, Item, Name, Node, Range, Sentence};
use crate::ids::FileId;
use crate::span::{At, Span};

/// The reader of one file.
pub struct Splitter<'a> {
    pub text: &'a str,
    pub file: FileId,
    pub tokens: &'a [Token],
    pub partners: &'a Partners,
    pub faults: &'a mut Faults,
    /// How many faulty tokens stand before each.
    bad: Vec<u32>,
    /// How many `else if` stand in each other at the moment.
    pub chain: usize,
}

/// How far a sentence or field reaches.
#[derive(Clone, Copy)]
pub struct Extent {
    /// The first token behind its head or value.
    pub end: usize,
    /// Whether a brace opens there.
    pub brace: bool,
}

impl<'a> Splitter<'a> {
    pub fn new(
        text: &'a str,
        file: FileId,
        tokens: &'a [Token],
        partners: &'a Partners,
        faults: &'a mut Faults,
    ) -> Self {
        let mut bad = Vec::with_capacity(tokens.len() + 1);
        let mut sum = 0;
        bad.push(0);
        for t in tokens {
            sum += u32::from(matches!(t.kind, Kind::Fault | Kind::Stray(_) | Kind::Unclosed));
            bad.push(sum);
        }
        Self { text, file, tokens, partners, faults, bad, chain: 0 }
    }

    /// The whole file.
    pub fn file(&mut self) -> Vec<Sentence> {
        let mut all = Vec::new();
        for item in self.items(0, self.tokens.len(), None) {
            match item {
                Item::Sentence(s) => all.push(s),
                Item::Station { span, .. } => all.push(Sentence::Bad(span)),
                Item::Field { key, value } => all.push(Sentence::Bad(key.span.to(value.span))),
            }
        }
        all
    }

    pub fn kind(&self, i: usize) -> Option<Kind> {
        self.tokens.get(i).map(|t| t.kind)
    }

    pub fn word(&self, i: usize) -> &'a str {
        self.tokens.get(i).map_or("", |t| t.of(self.text))
    }

    pub fn span(&self, i: usize) -> Span {
        self.tokens.get(i).map_or_else(|| self.end(), |t| Span::new(self.file, t.start as usize, t.end as usize))
    }

    fn end(&self) -> Span {
        Span::new(self.file, self.text.len(), self.text.len())
    }

    /// From the first to the last word of `from..to`; where `from` would stand when there is none.
    pub fn stretch(&self, from: usize, to: usize) -> Span {
        if from >= to {
            return from.checked_sub(1).map_or_else(|| self.span(0), |i| self.span(i).tail());
        }
        self.span(from).to(self.span(to - 1))
    }

    /// Whether something in `from..to` has been spoken of already.
    pub fn spoken(&self, from: usize, to: usize) -> bool {
        to > from && self.bad[to] > self.bad[from]
    }

    pub fn name(&self, i: usize) -> Name {
        At::new(self.word(i).to_owned(), self.span(i))
    }

    pub fn bad(&self, from: usize, to: usize) -> Expr {
        Expr { node: Node::Bad, span: self.stretch(from, to) }
    }

    /// The sentences, fields and stations of `from..to`. `opened`: the brace they stand in.
    fn items(&mut self, from: usize, to: usize, opened: Option<usize>) -> Vec<Item> {
        let mut all = Vec::new();
        let mut i = from;
        let mut apart = true;
        while i < to {
            if matches!(self.tokens[i].kind, Kind::Line | Kind::Comma | Kind::Stray(Bracket::Curly)) {
                apart = true;
                i += 1;
                continue;
            }
            if !apart && !self.spoken(i, i + 1) {
                self.tell(|s| match s.tokens[i - 1].kind {
                    Kind::Close(Bracket::Curly) => errors::run_on(s.span(i)),
                    _ => errors::missing_comma(s.span(i - 1).tail(), s.span(i), s.word(i)),
                });
            }
            let (item, next) = self.item(i, to, opened.is_some());
            all.push(item);
            apart = false;
            i = next.max(i + 1);
        }
        all
    }

    /// The block opened at `open`.
    pub fn block(&mut self, open: usize, limit: usize) -> (Block, usize) {
        let close = self.partners.close(open).clamp(open + 1, limit.max(open + 1));
        let next = self.partners.behind(self.tokens, open, limit);
        let items = self.items(open + 1, close, Some(open));
        let span = Some(self.span(open).to(self.span(next - 1)));
        (Block { items, span }, next)
    }

    /// Where what begins at `from` ends: at a line end, a comma, a brace, or `limit`.
    pub fn extent(&self, from: usize, limit: usize) -> Extent {
        let mut i = from;
        while i < limit {
            match self.tokens[i].kind {
                Kind::Open(Bracket::Curly) => return Extent { end: i, brace: true },
                Kind::Open(_) => i = self.partners.behind(self.tokens, i, limit),
                Kind::Unclosed => i = self.partners.end_of_unclosed(self.tokens, i, limit),
                Kind::Comma | Kind::Stray(Bracket::Curly) => break,
                // The next field, with its comma forgotten.
                Kind::Word if i > from && self.follows_value(i) => break,
                Kind::Line if !breaks_here(self.tokens, i, false) || self.starts_item(i + 1) => break,
                _ => i += 1,
            }
        }
        Extent { end: i.min(limit), brace: false }
    }

    /// Whether the word at `i` and a colon stand right behind a value.
    fn follows_value(&self, i: usize) -> bool {
        self.kind(i + 1) == Some(Kind::Colon) && self.tokens[i - 1].kind.ends_value()
    }

    /// Whether a field, station or sentence clearly begins at `i`, so that no value goes on there.
    fn starts_item(&self, i: usize) -> bool {
        const BEGIN: [Key; 6] = [Key::Use, Key::Let, Key::Setting, Key::Require, Key::For, Key::At];
        let (first, second) = (self.kind(i), self.kind(i + 1));
        let named = matches!(first, Some(Kind::Word | Kind::Key(_))) && second == Some(Kind::Colon);
        let two = first == Some(Kind::Word) && second == Some(Kind::Word);
        named || two || matches!(first, Some(Kind::Key(k)) if BEGIN.contains(&k))
    }

    fn item(&mut self, i: usize, limit: usize, inside: bool) -> (Item, usize) {
        let next = self.kind(i + 1).filter(|_| i + 1 < limit);
        match self.tokens[i].kind {
            Kind::Word | Kind::Key(_) if next == Some(Kind::Colon) => self.field(i, limit, inside),
            Kind::Word if inside && next == Some(Kind::Word) && self.kind(i + 2) == Some(Kind::Colon) => {
                let span = self.stretch(i, i + 2);
                self.faults.push(errors::spaced_name(span, self.word(i), self.word(i + 1)));
                let e = self.extent(i + 3, limit);
                let value = self.value(i + 3, e.end, After::Colon);
                let key = At::new(format!("{}_{}", self.word(i), self.word(i + 1)), span);
                (Item::Field { key, value }, self.no_brace(i, e, limit))
            }
            Kind::Key(Key::Use) => self.line(i, limit, Self::use_line),
            Kind::Key(Key::Let) => self.line(i, limit, Self::let_line),
            Kind::Key(Key::Setting) => self.line(i, limit, Self::setting),
            Kind::Key(Key::Require) => self.line(i, limit, Self::require),
            Kind::Key(Key::For) => self.for_loop(i, limit),
            Kind::Key(Key::If) => {
                let (s, next) = self.if_block(i, limit);
                (Item::Sentence(s), next)
            }
            Kind::Key(Key::At) => self.station(i, limit, inside),
            _ => self.thing(i, limit, inside),
        }
    }

    /// A sentence without braces.
    fn line(&mut self, i: usize, limit: usize, read: fn(&mut Self, usize, usize) -> Sentence) -> (Item, usize) {
        let e = self.extent(i, limit);
        let s = read(self, i, e.end);
        (Item::Sentence(s), self.no_brace(i, e, limit))
    }

    /// Steps over a block that stands where none belongs; its inside is read for its own faults.
    pub fn no_brace(&mut self, from: usize, e: Extent, limit: usize) -> usize {
        if !e.brace {
            return e.end;
        }
        if !self.spoken(from, e.end) {
            self.faults.push(errors::brace_here(self.span(e.end), self.text, self.stretch(from, e.end)));
        }
        self.partners.behind(self.tokens, e.end, limit)
    }

    fn field(&mut self, i: usize, limit: usize, inside: bool) -> (Item, usize) {
        let e = self.extent(i + 2, limit);
        if !inside {
            self.tell(|s| errors::field_outside(s.span(i), s.word(i)));
        } else if matches!(self.tokens[i].kind, Kind::Key(_)) {
            self.faults.push(errors::reserved(self.span(i), self.word(i), "a field"));
        }
        let before = self.faults.count();
        let mut value = self.value(i + 2, e.end, After::Colon);
        let next = if self.faults.count() > before && e.brace {
            self.partners.behind(self.tokens, e.end, limit)
        } else {
            self.no_brace(i, e, limit)
        };
        if e.brace {
            value.node = Node::Bad;
        }
        let key = self.name(i);
        if inside && self.tokens[i].kind == Kind::Word {
            return (Item::Field { key, value }, next);
        }
        (Item::Sentence(Sentence::Bad(key.span.to(value.span))), next)
    }

    fn station(&mut self, i: usize, limit: usize, inside: bool) -> (Item, usize) {
        let e = self.extent(i + 1, limit);
        let colon = self.find(i + 1, e.end, Kind::Colon);
        let head = self.stretch(i, colon.unwrap_or(e.end));
        if !inside {
            self.faults.push(errors::field_outside(head, "at"));
        }
        let (place, value) = match colon {
            Some(c) => (self.range(i + 1, c, Within::Station), self.value(c + 1, e.end, After::Colon)),
            None => {
                if !self.spoken(i, e.end) {
                    self.faults.push(self.station_without_colon(i, e.end));
                }
                (Range::Value(self.bad(i + 1, e.end)), self.bad(e.end, e.end))
            }
        };
        let span = self.stretch(i, e.end);
        (Item::Station { place, value, span }, self.no_brace(i, e, limit))
    }

    /// The first token of `kind` in `from..to`, brackets stepped over.
    pub fn find(&self, from: usize, to: usize, kind: Kind) -> Option<usize> {
        let mut i = from;
        while i < to {
            match self.tokens[i].kind {
                k if k == kind => return Some(i),
                Kind::Open(_) => i = self.partners.behind(self.tokens, i, to),
                _ => i += 1,
            }
        }
        None
    }

    fn for_loop(&mut self, i: usize, limit: usize) -> (Item, usize) {
        let e = self.extent(i, limit);
        let name = i + 1;
        let named = name < e.end && self.tokens[name].kind == Kind::Word;
        let within = named && self.kind(i + 2) == Some(Kind::Key(Key::In)) && i + 2 < e.end;
        let source = if within {
            self.range(i + 3, e.end, Within::Loop)
        } else {
            if !self.spoken(i, e.end) {
                self.faults.push(self.bad_loop(i, e.end));
            }
            Range::Value(self.bad(i + 1, e.end))
        };
        let (body, next) = self.body(i, e, limit, "for");
        let span = self.stretch(i, next);
        if !named {
            return (Item::Sentence(Sentence::Bad(span)), next);
        }
        (Item::Sentence(Sentence::For(For { name: self.name(name), source, body, span })), next)
    }

    /// The block behind a head, wherever its brace was put.
    pub fn body(&mut self, from: usize, e: Extent, limit: usize, of: &str) -> (Block, usize) {
        if e.brace {
            return self.block(e.end, limit);
        }
        let open = if self.kind(e.end) == Some(Kind::Line) { e.end + 1 } else { e.end };
        if open < limit && self.kind(open) == Some(Kind::Open(Bracket::Curly)) {
            self.faults.push(errors::brace_on_next_line(self.span(open), self.stretch(from, e.end).tail()));
            return self.block(open, limit);
        }
        if !self.spoken(from, e.end) {
            self.faults.push(errors::no_block(self.stretch(from, e.end), of));
        }
        (Block::default(), e.end)
    }

    fn if_block(&mut self, i: usize, limit: usize) -> (Sentence, usize) {
        let e = self.extent(i + 1, limit);
        let condition = self.value(i + 1, e.end, After::Key("if"));
        let (then, mut next) = self.body(i, e, limit, "if");
        let mut otherwise = None;
        let at = if self.kind(next) == Some(Kind::Line) { next + 1 } else { next };
        if at < limit && self.kind(at) == Some(Kind::Key(Key::Else)) && self.kind(at + 1) != Some(Kind::Colon) {
            let (block, behind) = self.otherwise(at, limit);
            otherwise = Some(block);
            next = behind;
        }
        let span = self.stretch(i, next);
        (Sentence::If(If { condition, then, otherwise, span }), next)
    }

    /// What follows the `else` at `at`.
    fn otherwise(&mut self, at: usize, limit: usize) -> (Block, usize) {
        if at + 1 < limit && self.kind(at + 1) == Some(Kind::Key(Key::If)) {
            if self.chain >= super::brackets::DEEPEST {
                self.faults.push(errors::too_deep(self.span(at), super::brackets::DEEPEST));
                return (Block::default(), self.skip_chain(at, limit));
            }
            self.chain += 1;
            let (inner, next) = self.if_block(at + 1, limit);
            self.chain -= 1;
            let span = Some(self.stretch(at + 1, next));
            return (Block { items: vec![Item::Sentence(inner)], span }, next);
        }
        let e = self.extent(at + 1, limit);
        if e.end > at + 1 && !self.spoken(at + 1, e.end) {
            self.faults.push(errors::odd_else(self.stretch(at + 1, e.end)));
        }
        self.body(at, e, limit, "else")
    }

    /// The end of a chain of `else if` that is too long to read.
    fn skip_chain(&self, at: usize, limit: usize) -> usize {
        let mut at = at;
        loop {
            let e = self.extent(at + 1, limit);
            if !e.brace {
                return e.end;
            }
            let next = self.partners.behind(self.tokens, e.end, limit);
            let on = if self.kind(next) == Some(Kind::Line) { next + 1 } else { next };
            if on >= limit || self.kind(on) != Some(Kind::Key(Key::Else)) {
                return next;
            }
            at = on;
        }
    }
}

/// What a value stands behind, for the message when it is missing.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum After {
    Colon,
    Equals,
    Key(&'static str),
}

/// What a stretch stands in.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Within {
    Station,
    Loop,
}
