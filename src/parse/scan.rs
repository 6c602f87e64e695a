//! The first look at a text: its words and signs with their places, comments aside. One pass, by hand; whatever is
//! wrong with a single word is said here and the word becomes a `Fault`, so that what holds it stays silent.

use super::errors;
use super::faults::Faults;
use super::token::{Bracket, Key, Kind, Token};
use crate::ast::Comment;
use crate::ids::FileId;
use crate::span::Span;

/// Longest run of digits and signs that is taken for a number: far beyond every real one, and finite.
const LONGEST_NUMBER: usize = 100;

/// What the scan finds.
#[derive(Debug, Default)]
pub struct Scan {
    pub tokens: Vec<Token>,
    pub comments: Vec<Comment>,
}

/// Splits `text` into tokens.
pub fn scan(text: &str, file: FileId, faults: &mut Faults) -> Scan {
    let mut s = Scanner { text, bytes: text.as_bytes(), at: 0, file, out: Scan::default(), faults };
    s.out.tokens.reserve(text.len() / 4);
    if text.starts_with('\u{feff}') {
        s.at = 3;
    }
    while s.at < s.bytes.len() {
        s.next();
    }
    s.out
}

struct Scanner<'a> {
    text: &'a str,
    bytes: &'a [u8],
    at: usize,
    file: FileId,
    out: Scan,
    faults: &'a mut Faults,
}

fn is_word(b: u8) -> bool {
    b.is_ascii_alphanumeric() || b == b'_'
}

impl Scanner<'_> {
    fn peek(&self, ahead: usize) -> u8 {
        self.bytes.get(self.at + ahead).copied().unwrap_or(0)
    }

    fn push(&mut self, kind: Kind, len: usize) {
        let place = |n: usize| u32::try_from(n).expect("a file is at most 1 MB");
        self.out.tokens.push(Token { kind, start: place(self.at), end: place(self.at + len) });
        self.at += len;
    }

    fn span(&self, len: usize) -> Span {
        Span::new(self.file, self.at, self.at + len)
    }

    /// The token just before, when nothing stands between.
    fn glued(&self) -> Option<Token> {
        self.out.tokens.last().copied().filter(|t| t.end as usize == self.at)
    }

    fn next(&mut self) {
        let two = self.peek(1);
        match self.bytes[self.at] {
            b' ' | b'\t' => self.at += 1,
            b'\n' => self.line(1),
            b'\r' if two == b'\n' => self.line(2),
            b'#' => self.comment(),
            b'"' => self.quoted(),
            b'0'..=b'9' => self.number(),
            b if is_word(b) => self.word(),
            b'(' => self.push(Kind::Open(Bracket::Round), 1),
            b'[' => self.push(Kind::Open(Bracket::Square), 1),
            b'{' => self.push(Kind::Open(Bracket::Curly), 1),
            b')' => self.push(Kind::Close(Bracket::Round), 1),
            b']' => self.push(Kind::Close(Bracket::Square), 1),
            b'}' => self.push(Kind::Close(Bracket::Curly), 1),
            b',' => self.push(Kind::Comma, 1),
            b':' => self.push(Kind::Colon, 1),
            b'<' | b'>' | b'=' | b'!' if two == b'=' => self.push(Kind::Operator, 2),
            b'=' => self.push(Kind::Equals, 1),
            b'<' | b'>' | b'^' | b'*' | b'/' | b'+' | b'-' => self.push(Kind::Operator, 1),
            b'.' if two.is_ascii_digit() && !self.glued().is_some_and(|t| t.kind.ends_value()) => {
                let len = 1 + self.digits(self.at + 1);
                self.faults.push(errors::odd_number(self.span(len), &format!("0{}", self.word_at(len))));
                self.push(Kind::Fault, len);
            }
            b'.' => self.push(Kind::Dot, 1),
            _ => self.odd(),
        }
    }

    /// A line end; of several in a row only the first is kept.
    fn line(&mut self, len: usize) {
        if self.out.tokens.last().is_some_and(|t| t.kind == Kind::Line) {
            self.at += len;
        } else {
            self.push(Kind::Line, len);
        }
    }

    fn word_at(&self, len: usize) -> &str {
        &self.text[self.at..self.at + len]
    }

    /// How many digits stand at `from`.
    fn digits(&self, from: usize) -> usize {
        self.bytes[from.min(self.bytes.len())..].iter().take_while(|b| b.is_ascii_digit()).count()
    }

    /// How many blanks stand at `from`.
    fn blanks(&self, from: usize) -> usize {
        self.bytes[from.min(self.bytes.len())..].iter().take_while(|&&b| b == b' ' || b == b'\t').count()
    }

    /// The length of the unit at `from`, 0 when none stands there.
    fn unit(&self, from: usize) -> usize {
        let rest = &self.bytes[from.min(self.bytes.len())..];
        for word in ["kg/m3", "g/m2", "g/m", "m2/l", "N/mm"] {
            if rest.starts_with(word.as_bytes()) && !rest.get(word.len()).copied().is_some_and(is_word) {
                return word.len();
            }
        }
        match rest.first() {
            Some(b'%') => 1,
            Some(&b) if is_word(b) && !b.is_ascii_digit() => {
                let len = rest.iter().take_while(|&&b| is_word(b)).count();
                let key = core::str::from_utf8(&rest[..len]).ok().and_then(Key::of);
                if key.is_none() || key == Some(Key::In) { len } else { 0 }
            }
            _ => 0,
        }
    }

    fn comment(&mut self) {
        let rest = &self.bytes[self.at..];
        let mut len = rest.iter().position(|&b| b == b'\n').unwrap_or(rest.len());
        if len < rest.len() && rest[len - 1] == b'\r' {
            len -= 1;
        }
        self.controls(len);
        let trailing = self.out.tokens.last().is_some_and(|t| t.kind != Kind::Line);
        self.out.comments.push(Comment { span: self.span(len), trailing });
        self.at += len;
    }

    /// Says so when a control character hides among the next `len` bytes; whether one does.
    fn controls(&mut self, len: usize) -> bool {
        let Some((i, c)) = self.word_at(len).char_indices().find(|&(_, c)| c.is_control() && c != '\t') else {
            return false;
        };
        let span = Span::new(self.file, self.at + i, self.at + i + c.len_utf8());
        self.faults.push(errors::control_character(span, c));
        true
    }

    fn quoted(&mut self) {
        if let Some(n) = self.glued().filter(|t| t.kind == Kind::Number) {
            let whole = Span::new(self.file, n.start as usize, self.at + 1);
            self.faults.push(errors::mark_for_unit(whole, n.of(self.text), "in"));
            self.push(Kind::Fault, 1);
            return;
        }
        let rest = &self.bytes[self.at + 1..];
        let inside = rest.iter().position(|&b| matches!(b, b'"' | b'\n')).unwrap_or(rest.len());
        if rest.get(inside) == Some(&b'"') {
            let fault = self.controls(inside + 2);
            self.push(if fault { Kind::Fault } else { Kind::Text }, inside + 2);
            return;
        }
        // Closing brackets at the end of the line are taken for brackets, so that theirs do not go missing too.
        let len = self.text[self.at..self.at + 1 + inside].trim_end_matches([' ', '\t', '\r', ')', ']', '}']).len();
        self.faults.push(errors::unclosed_text(self.span(len), self.word_at(len)));
        self.push(Kind::Fault, len);
    }

    fn word(&mut self) {
        let len = self.bytes[self.at..].iter().take_while(|&&b| is_word(b)).count();
        if self.text[self.at + len..].chars().next().is_some_and(|c| !c.is_ascii() && c.is_alphabetic()) {
            self.odd_word();
            return;
        }
        let key = if len <= 7 { Key::of(self.word_at(len)) } else { None };
        let counted = self.out.tokens.last().is_some_and(|t| matches!(t.kind, Kind::Number | Kind::Unit));
        self.push(key.map_or(Kind::Word, Kind::Key), len);
        if key == Some(Key::Per) && counted {
            self.unit_here();
        }
    }

    /// Takes the unit that follows, blanks before it or none.
    fn unit_here(&mut self) {
        let gap = self.blanks(self.at);
        let unit = self.unit(self.at + gap);
        if unit > 0 && !self.text[self.at + gap + unit..].starts_with(|c: char| !c.is_ascii() && c.is_alphabetic()) {
            self.at += gap;
            self.push(Kind::Unit, unit);
        }
    }

    /// A word with letters that names cannot have.
    fn odd_word(&mut self) {
        let rest = &self.text[self.at..];
        let len = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len()).max(1);
        self.faults.push(errors::odd_letter(self.span(len), self.word_at(len)));
        self.push(Kind::Fault, len);
    }

    fn number(&mut self) {
        let start = self.at;
        let whole = self.digits(start);
        let mut len = whole;
        let fraction = |s: &Self, from: usize| {
            let over = s.digits(from);
            if over == 0 || s.bytes.get(from + over) != Some(&b'/') {
                return None;
            }
            let under = s.digits(from + over + 1);
            let end = from + over + 1 + under;
            (under > 0 && s.unit(end + s.blanks(end)) > 0).then_some(end)
        };
        let gap = self.blanks(start + whole);
        let mixed = if gap > 0 { fraction(self, start + whole + gap) } else { None };
        if let Some(end) = mixed.or_else(|| fraction(self, start)) {
            len = end - start;
        } else {
            let decimal = |s: &Self, from: usize| {
                let whole = s.digits(from);
                let part = if s.bytes.get(from + whole) == Some(&b'.') { s.digits(from + whole + 1) } else { 0 };
                if part > 0 { whole + 1 + part } else { whole }
            };
            len = len.max(decimal(self, start));
            if self.peek(len) == b':' && self.peek(len + 1).is_ascii_digit() {
                len += 1 + decimal(self, start + len + 1);
            }
        }
        if len > LONGEST_NUMBER {
            self.faults.push(errors::number_too_large(self.span(len)));
            self.push(Kind::Fault, len);
            return;
        }
        let after = (self.peek(len), self.peek(len + 1));
        if after.0 == b'.' && !is_word(after.1) {
            let repair = self.word_at(len).to_owned();
            self.faults.push(errors::odd_number(self.span(len + 1), &repair));
            self.push(Kind::Fault, len + 1);
            return;
        }
        if let Some((tail, repair)) = self.programmer_number(len) {
            self.faults.push(errors::odd_number(self.span(len + tail), &repair));
            self.push(Kind::Fault, len + tail);
            return;
        }
        self.push(Kind::Number, len);
        self.unit_here();
    }

    /// `1_000` or `1e3` behind `len` bytes of number: how much more is meant, and the number in full.
    fn programmer_number(&self, len: usize) -> Option<(usize, String)> {
        let rest = &self.bytes[self.at + len..];
        let tail = rest.iter().take_while(|&&b| is_word(b)).count();
        let tail = &rest[..tail];
        let (first, more) = tail.split_first()?;
        let digits = more.iter().all(|b| b.is_ascii_digit() || *b == b'_') && !more.is_empty();
        if *first == b'_' && digits {
            let plain = self.text[self.at..self.at + len + tail.len()].replace('_', "");
            return Some((tail.len(), plain));
        }
        let signed = more.is_empty() && matches!(rest.get(1), Some(b'-' | b'+'));
        if matches!(first, b'e' | b'E') && (digits || signed) {
            let after = if signed { 2 } else { 1 };
            let power = self.digits(self.at + len + after);
            if power > 0 {
                let all = after + power;
                let written = &self.text[self.at..self.at + len + all];
                let value: f64 = written.parse().ok().filter(|v: &f64| v.is_finite() && v.abs() < 1e15)?;
                return Some((all, format!("{value}")));
            }
        }
        None
    }

    /// Anything no rule of the language begins with.
    fn odd(&mut self) {
        let c = self.text[self.at..].chars().next().expect("the scan stands on a character");
        if c.is_alphabetic() {
            self.odd_word();
            return;
        }
        if c.is_control() {
            self.faults.push(errors::control_character(self.span(c.len_utf8()), c));
            self.push(Kind::Fault, c.len_utf8());
            return;
        }
        if matches!(c, '“' | '”' | '„' | '«' | '»') {
            self.smart_quotes(c);
            return;
        }
        let number = self.out.tokens.last().copied().filter(|t| t.kind == Kind::Number);
        if let (Some(n), Some(unit)) = (number, mark_of_unit(c)) {
            let span = Span::new(self.file, n.start as usize, self.at + c.len_utf8());
            let written = n.of(self.text).to_owned();
            self.faults.push(errors::mark_for_unit(span, &written, unit));
            self.push(Kind::Fault, c.len_utf8());
            return;
        }
        // A run of one and the same character is one fault.
        let run = self.text[self.at..].chars().take_while(|&d| d == c).count();
        let len = run * c.len_utf8();
        self.faults.push(errors::odd_character(self.span(c.len_utf8()), c, number.is_some()));
        self.push(Kind::Fault, len);
    }

    /// Curly quotation marks: one fault for the whole text when its end stands on the same line.
    fn smart_quotes(&mut self, first: char) {
        let rest = &self.text[self.at..];
        let from = first.len_utf8();
        let end = rest[from..].find(['“', '”', '„', '»', '«', '"', '\n', '\r']).map(|i| from + i);
        let closer = end.and_then(|e| rest[e..].chars().next()).filter(|c| !matches!(c, '\n' | '\r'));
        let end = closer.and(end);
        let inside = &rest[from..end.unwrap_or(from)];
        let len = end.unwrap_or(0) + closer.map_or(from, char::len_utf8);
        self.faults.push(errors::curly_quotes(self.span(len), end.map(|_| inside)));
        self.push(Kind::Fault, len);
    }
}

/// The unit that a mark behind a number stands for.
fn mark_of_unit(c: char) -> Option<&'static str> {
    Some(match c {
        '\'' | '′' | '’' => "ft",
        '″' => "in",
        '°' | 'º' => "deg",
        _ => return None,
    })
}
