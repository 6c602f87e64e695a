//! The canonical layout of a file. Works on the words, not on the tree, so nothing a maker wrote is lost.
//!
//! Kept: every line break and comment of the maker's, one blank line where there were any. Made alike:
//! - four blanks of indent for each brace or bracket that opened on an earlier line, and for a value that goes on
//!   over a line end; brackets opened on one line count once;
//! - one blank around operators, behind `:` and `,`, before a unit and inside braces; none inside `(` and `[`;
//! - a block is either on one line, `{ a: 1, b: 2 }`, or opens at a line end and closes on a line of its own. One
//!   whose line would pass 120 columns, the comment behind it aside, gets one field a line; so do several fields
//!   on one line that would pass them. Longer values are left to their maker;
//! - commas between fields stand only inside a line; in brackets a last comma stands only before a line end;
//! - words that stand below one another in a column of their maker's stay in a column (`format::columns`); other
//!   blanks inside a line are not kept;
//! - comments behind several lines in a row stand in one column: the leftmost of those they were given, and at least
//!   two blanks behind the longest line. A line of more than 80 columns, or one that ends with an opening bracket, has
//!   a column of its own;
//! - no blank line behind an opening or before a closing brace or bracket; line ends are LF; no blanks at line ends.
//!
//! Formatting twice is formatting once, and the tree stays the same but for its places.

mod columns;

use self::columns::Cell;
use super::brackets::{Partners, match_brackets};
use super::faults::Faults;
use super::scan::{Scan, scan};
use super::token::{Bracket, Key, Kind, Token};
use crate::diag::Diagnostics;
use crate::ids::FileId;

/// The last column a line with a block or several fields may reach.
const WIDEST: usize = 120;

/// Lines up to this long share the column of their comments.
const SHARING: usize = 80;

/// The canonical layout of `text`.
///
/// # Errors
/// The diagnostics of [`parse`](super::parse) when the file cannot be read.
///
/// ```
/// # use tasset::{parse, ids::FileId};
/// let neat = parse::format("shell  body{at 0mm:circle( across:90mm )}", FileId::new(0)).unwrap();
/// assert_eq!(neat, "shell body { at 0 mm: circle(across: 90 mm) }\n");
/// ```
pub fn format(text: &str, file: FileId) -> Result<String, Diagnostics> {
    let (_, faults) = super::parse(text, file);
    if faults.has_errors() {
        return Err(faults);
    }
    let mut none = Faults::default();
    let Scan { mut tokens, comments } = scan(text, file, &mut none);
    let partners = match_brackets(text, &mut tokens, file, &mut none);
    let mut words = words(text, &tokens, &comments);
    pair(&mut words, &tokens, &partners);
    open_blocks(&mut words);
    drop_commas(&mut words);
    let mut layout = Layout { text, words, lines: Vec::new(), stack: Vec::new() };
    layout.run();
    columns::keep(&mut layout.lines);
    Ok(layout.finish())
}

/// A token or a comment, and how it stands.
struct Word {
    /// None for a comment.
    kind: Option<Kind>,
    start: usize,
    end: usize,
    /// Line ends before it: 0, 1, or 2 for a blank line.
    breaks: u8,
    /// Characters before it on its line as written.
    column: usize,
    /// Whether its maker set it off with two blanks or more.
    set_off: bool,
    /// The word of the bracket it is partner of.
    partner: Option<usize>,
    gone: bool,
}

/// Tokens and comments in order, line ends turned into `breaks`.
fn words(text: &str, tokens: &[Token], comments: &[crate::ast::Comment]) -> Vec<Word> {
    let mut all: Vec<Word> = Vec::with_capacity(tokens.len() + comments.len());
    let mut comments = comments.iter().peekable();
    let (mut at, mut column) = (0, 0);
    let mut push = |kind: Option<Kind>, start: u32, end: u32| {
        let (start, end) = (start as usize, end as usize);
        let before = all.last().map_or(0, |w| w.end);
        let lines = text[before..start].bytes().filter(|&b| b == b'\n').take(2).count();
        let breaks = if all.is_empty() { 0 } else { u8::try_from(lines).expect("at most two") };
        for c in text[at..start].chars() {
            column = if c == '\n' { 0 } else { column + 1 };
        }
        at = start;
        let set_off = start >= before + 2;
        all.push(Word { kind, start, end, breaks, column, set_off, partner: None, gone: false });
    };
    for t in tokens.iter().filter(|t| t.kind != Kind::Line) {
        while let Some(c) = comments.next_if(|c| c.span.start < t.start) {
            push(None, c.span.start, c.span.end);
        }
        push(Some(t.kind), t.start, t.end);
    }
    comments.for_each(|c| push(None, c.span.start, c.span.end));
    all
}

/// Gives each bracket the index of its partner.
fn pair(words: &mut [Word], tokens: &[Token], partners: &Partners) {
    let of_token = |words: &[Word], token: usize| {
        tokens.get(token).and_then(|t| words.binary_search_by_key(&(t.start as usize), |w| w.start).ok())
    };
    for (i, t) in tokens.iter().enumerate() {
        if matches!(t.kind, Kind::Open(_)) {
            let (open, close) = (of_token(words, i), of_token(words, partners.close(i)));
            if let (Some(open), Some(close)) = (open, close) {
                words[open].partner = Some(close);
                words[close].partner = Some(open);
            }
        }
    }
}

/// A block that holds a line end opens at a line end and closes on its own line; no blank lines at its ends.
fn open_blocks(words: &mut [Word]) {
    let mut lines = Vec::with_capacity(words.len());
    let mut sum = 0_usize;
    for w in words.iter() {
        sum += usize::from(w.breaks > 0);
        lines.push(sum);
    }
    for i in 0..words.len() {
        let (Some(Kind::Open(bracket)), Some(close)) = (words[i].kind, words[i].partner) else { continue };
        let empty = close == i + 1;
        if empty {
            words[close].breaks = 0;
        } else if bracket == Bracket::Curly && lines[close] > lines[i] {
            let comment = words[i + 1].kind.is_none() && words[i + 1].breaks == 0;
            if !comment {
                words[i + 1].breaks = 1;
            }
            words[close].breaks = 1;
        }
        // A comment behind the opening bracket stands on its line; what follows that comes first inside.
        let first = if words[i + 1].kind.is_none() && words[i + 1].breaks == 0 { i + 2 } else { i + 1 };
        if let Some(w) = words.get_mut(first) {
            w.breaks = w.breaks.min(1);
        }
        words[close].breaks = words[close].breaks.min(1);
    }
}

/// Takes out the commas that a line end or a brace makes needless.
fn drop_commas(words: &mut [Word]) {
    let mut inside: Vec<Bracket> = Vec::new();
    let mut last: Option<Kind> = None;
    for i in 0..words.len() {
        match words[i].kind {
            Some(Kind::Open(b)) => inside.push(b),
            Some(Kind::Close(_)) => drop(inside.pop()),
            Some(Kind::Comma) => {
                let next = words.get(i + 1);
                let ends = next.is_none_or(|w| w.breaks > 0 || matches!(w.kind, Some(Kind::Close(_))));
                let block = inside.last().is_none_or(|&b| b == Bracket::Curly);
                let gone = if block {
                    let comment = next.is_some_and(|w| w.kind.is_none());
                    let twice = next.is_some_and(|w| w.kind == Some(Kind::Comma));
                    let first = matches!(last, None | Some(Kind::Open(_)));
                    ends || comment || twice || first || words[i].breaks > 0
                } else {
                    next.is_some_and(|w| w.breaks == 0 && matches!(w.kind, Some(Kind::Close(_))))
                };
                if gone {
                    words[i].gone = true;
                    let breaks = words[i].breaks;
                    if let Some(next) = words.get_mut(i + 1) {
                        next.breaks = next.breaks.max(breaks);
                    }
                    continue;
                }
            }
            _ => {}
        }
        last = words[i].kind.or(last);
    }
}

/// One line as it will stand.
struct Line {
    blank_before: bool,
    indent: usize,
    code: String,
    /// The words of `code` that a blank stands before.
    cells: Vec<Cell>,
    comment: Option<Remark>,
}

/// A comment: its place in the text and the column it was given.
struct Remark {
    start: usize,
    end: usize,
    column: usize,
}

impl Line {
    fn width(&self) -> usize {
        self.indent * 4 + self.code.chars().count()
    }

    /// Whether its comment stands in a column with those of its neighbours.
    fn shares(&self) -> bool {
        let code = !self.code.is_empty() && !self.code.ends_with(['{', '(', '[']);
        self.comment.is_some() && code && self.width() <= SHARING
    }
}

struct Layout<'a> {
    text: &'a str,
    words: Vec<Word>,
    lines: Vec<Line>,
    /// The open brackets, each with the indent of the line it opened on.
    stack: Vec<(usize, Bracket)>,
}

impl Layout<'_> {
    fn run(&mut self) {
        let mut from = 0;
        let mut before: Option<Kind> = None;
        while from < self.words.len() {
            let mut to = self.line_end(from);
            let indent = self.indent(from, before);
            let (mut code, mut cells) = self.code(from, to, before);
            while indent * 4 + code.chars().count() > WIDEST && self.break_up(from, to) {
                to = self.line_end(from);
                (code, cells) = self.code(from, to, before);
            }
            let blank_before = self.words[from].breaks > 1;
            let comment = self.words[from..to].iter().find(|w| w.kind.is_none());
            let comment = comment.map(|w| Remark { start: w.start, end: w.end, column: w.column.min(WIDEST) });
            for i in from..to {
                match self.words[i].kind {
                    Some(Kind::Open(b)) => self.stack.push((indent, b)),
                    Some(Kind::Close(_)) => drop(self.stack.pop()),
                    _ => {}
                }
                if !self.words[i].gone {
                    before = self.words[i].kind.or(before);
                }
            }
            if !code.is_empty() || comment.is_some() {
                self.lines.push(Line { blank_before, indent, code, cells, comment });
            }
            from = to;
        }
    }

    /// The first word of the next line.
    fn line_end(&self, from: usize) -> usize {
        (from + 1..self.words.len()).find(|&i| self.words[i].breaks > 0).unwrap_or(self.words.len())
    }

    /// The indent of a line that begins at `from`, behind the token `before`.
    fn indent(&self, from: usize, before: Option<Kind>) -> usize {
        let first = self.words[from].kind;
        if let Some(Kind::Close(_)) = first {
            return self.stack.last().map_or(0, |s| s.0);
        }
        let inner = self.stack.last().map_or(0, |s| s.0 + 1);
        let goes_on = before.is_some_and(Kind::carries_on)
            || (first == Some(Kind::Key(Key::Else)) && before != Some(Kind::Close(Bracket::Curly)));
        inner + usize::from(goes_on)
    }

    /// The words `from..to`, comment aside, on one line that stands behind the token `last`.
    fn code(&self, from: usize, to: usize, last: Option<Kind>) -> (String, Vec<Cell>) {
        let mut out = String::new();
        let mut cells = Vec::new();
        let mut before = last;
        let mut sign = false;
        for w in self.words[from..to].iter().filter(|w| !w.gone) {
            let Some(kind) = w.kind else { continue };
            if !out.is_empty() && !sign && before.is_some_and(|b| spaced(b, kind)) {
                out.push(' ');
                let kinds = (kind, before);
                cells.push(Cell { column: w.column, set_off: w.set_off, at: out.len(), kinds });
            }
            let text = &self.text[w.start..w.end];
            if kind == Kind::Number {
                out.extend(
                    text.split_ascii_whitespace().enumerate().flat_map(|(i, t)| [if i > 0 { " " } else { "" }, t]),
                );
            } else {
                out.push_str(text);
            }
            sign = kind == Kind::Operator && text == "-" && !before.is_some_and(Kind::ends_value);
            before = Some(kind);
        }
        (out, cells)
    }

    /// Gives the line `from..to` more line ends: between its fields, or else inside its blocks. Whether it could.
    fn break_up(&mut self, from: usize, to: usize) -> bool {
        // The depth of braces and of brackets inside them, counted from the start of the line.
        let mut depth = 0_i64;
        let mut bracketed: Vec<Bracket> = Vec::new();
        let outer = self.stack.last().map(|s| s.1);
        let mut fields: Vec<(i64, usize)> = Vec::new();
        let mut blocks: Vec<(i64, usize)> = Vec::new();
        for i in from..to {
            let w = &self.words[i];
            match w.kind {
                Some(Kind::Open(b)) => {
                    if b == Bracket::Curly && w.partner.is_some_and(|p| p < to && p > i + 1) {
                        blocks.push((depth, i));
                    }
                    bracketed.push(b);
                    depth += 1;
                }
                Some(Kind::Close(_)) => {
                    bracketed.pop();
                    depth -= 1;
                }
                Some(Kind::Comma) if !w.gone => {
                    let block = match bracketed.last() {
                        Some(&b) => b == Bracket::Curly,
                        None => depth == 0 && outer.is_none_or(|b| b == Bracket::Curly),
                    };
                    if block {
                        fields.push((depth, i));
                    }
                }
                _ => {}
            }
        }
        let shallow = blocks.iter().chain(&fields).map(|&(d, _)| d).min();
        let Some(shallow) = shallow else { return false };
        // A comment behind a line that is broken has no column to keep.
        self.words[from..to].iter_mut().filter(|w| w.kind.is_none()).for_each(|w| w.column = 0);
        let split: Vec<usize> = fields.iter().filter(|f| f.0 == shallow).map(|f| f.1).collect();
        if !split.is_empty() {
            self.split_at(&split);
            return true;
        }
        for &(_, open) in blocks.iter().filter(|b| b.0 == shallow) {
            let close = self.words[open].partner.expect("a block on this line has its end");
            let split: Vec<usize> =
                fields.iter().filter(|&&(d, i)| d == shallow + 1 && open < i && i < close).map(|f| f.1).collect();
            self.split_at(&split);
            self.words[open + 1].breaks = 1;
            self.words[close].breaks = 1;
        }
        true
    }

    /// Turns commas into line ends.
    fn split_at(&mut self, commas: &[usize]) {
        for &i in commas {
            self.words[i].gone = true;
            if let Some(next) = self.words.get_mut(i + 1) {
                next.breaks = next.breaks.max(1);
            }
        }
    }

    /// The lines as text, their comments in columns.
    fn finish(self) -> String {
        let mut out = String::with_capacity(self.text.len() + self.text.len() / 8);
        let mut column = 0;
        for (i, line) in self.lines.iter().enumerate() {
            if line.blank_before && i > 0 {
                out.push('\n');
            }
            if line.shares() && (i == 0 || line.blank_before || !self.lines[i - 1].shares()) {
                let rest = self.lines[i..].iter().enumerate();
                let run = || rest.clone().take_while(|(k, l)| l.shares() && (*k == 0 || !l.blank_before));
                let given = run().filter_map(|(_, l)| l.comment.as_ref()).map(|c| c.column).min();
                column = run().map(|(_, l)| l.width() + 2).max().max(given).unwrap_or(0);
            }
            out.extend(core::iter::repeat_n("    ", line.indent));
            out.push_str(&line.code);
            if let Some(comment) = &line.comment {
                if !line.code.is_empty() {
                    let width = line.width();
                    let to = if line.shares() { column } else { comment.column.max(width + 2) };
                    out.extend(core::iter::repeat_n(" ", to - width));
                }
                out.push_str(self.text[comment.start..comment.end].trim_end());
            }
            out.push('\n');
        }
        out
    }
}

/// Whether a blank stands between two tokens on one line.
fn spaced(left: Kind, right: Kind) -> bool {
    use Bracket::{Curly, Round, Square};
    match (left, right) {
        (Kind::Open(Round | Square) | Kind::Dot, _) => false,
        (_, Kind::Close(Round | Square) | Kind::Comma | Kind::Colon | Kind::Dot) => false,
        (Kind::Word, Kind::Open(Round | Square)) => false,
        (Kind::Close(Square), Kind::Open(Square)) => false,
        (Kind::Open(Curly), _) | (_, Kind::Close(Curly)) => true,
        _ => true,
    }
}
