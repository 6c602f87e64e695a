//! Which bracket closes which: one pass over the tokens, with a stack of at most [`DEEPEST`].
//!
//! A brace is stronger than the brackets inside it: values hold no braces, so a brace ends every round or square
//! bracket still open. Decimal commas are found here too, since only here is it known what a comma stands in.

use super::errors;
use super::faults::Faults;
use super::token::{Bracket, Key, Kind, Token};
use crate::ids::FileId;
use crate::span::Span;

/// How deep brackets may stand in each other.
pub const DEEPEST: usize = 64;

/// For each token that opens: the index of the token that closes it, or where its content ends for want of one.
/// 0 for all others.
#[derive(Debug)]
pub struct Partners {
    of: Vec<u32>,
}

impl Partners {
    /// Where the content of the bracket opened at `open` ends.
    pub fn close(&self, open: usize) -> usize {
        self.of[open] as usize
    }

    /// Where the field that holds the unclosed bracket at `open` ends.
    pub fn end_of_unclosed(&self, tokens: &[Token], open: usize, limit: usize) -> usize {
        line_end(tokens, &self.of, open, limit)
    }

    /// The first token behind the bracket opened at `open`, before `limit`.
    pub fn behind(&self, tokens: &[Token], open: usize, limit: usize) -> usize {
        let close = self.close(open);
        let real = tokens
            .get(close)
            .is_some_and(|t| matches!((t.kind, tokens[open].kind), (Kind::Close(c), Kind::Open(o)) if c == o));
        if real { close + 1 } else { close }.clamp(open + 1, limit.max(open + 1))
    }
}

struct Open {
    at: usize,
    bracket: Bracket,
    /// Where the part, element or item that is being read began.
    part: usize,
    /// The column its line begins at.
    column: usize,
}

/// Matches the brackets of `tokens`, says what is wrong with them and marks the faulty ones.
pub fn match_brackets(text: &str, tokens: &mut Vec<Token>, file: FileId, faults: &mut Faults) -> Partners {
    cut_too_deep(tokens, file, faults);
    let mut of = vec![0; tokens.len()];
    let mut stack: Vec<Open> = Vec::new();
    let count = |kind| tokens.iter().filter(|t| t.kind == kind).count();
    let short = count(Kind::Open(Bracket::Curly)) > count(Kind::Close(Bracket::Curly));
    let mut outer = 0;
    let span = |t: Token| Span::new(file, t.start as usize, t.end as usize);
    // The first token of the line, and its column.
    let (mut line, mut column) = (0, 0);
    for i in 0..tokens.len() {
        if i == line {
            column = blanks(text, tokens[i]);
        }
        match tokens[i].kind {
            Kind::Open(bracket) => {
                if bracket == Bracket::Curly {
                    drop_unclosed(&mut stack, tokens, &of, i, file, faults);
                }
                stack.push(Open { at: i, bracket, part: i + 1, column });
            }
            Kind::Close(bracket) => {
                if !stack
                    .iter()
                    .rev()
                    .take_while(|o| bracket == Bracket::Curly || o.bracket != Bracket::Curly)
                    .any(|o| o.bracket == bracket)
                {
                    let again = i > 0 && tokens[i - 1].kind == Kind::Stray(bracket);
                    if let Some(open) = stack.pop_if(|o| o.bracket != Bracket::Curly) {
                        let here = span(tokens[open.at]);
                        faults.push_with(|| errors::wrong_bracket(here, open.bracket, span(tokens[i]), bracket));
                        tokens[open.at].kind = Kind::Unclosed;
                    } else if !again {
                        faults.push_with(|| errors::stray_bracket(span(tokens[i]), bracket));
                    }
                    tokens[i].kind = Kind::Stray(bracket);
                    continue;
                }
                if short && bracket == Bracket::Curly && line == i {
                    close_by_indent(&mut stack, column, tokens, i, &mut of, file, faults);
                }
                while let Some(open) = stack.pop() {
                    if open.bracket == bracket {
                        of[open.at] = index(i);
                        break;
                    }
                    unclosed(&open, tokens, &of, i, file, faults);
                }
            }
            Kind::Comma => {
                let part = stack.last().map_or(outer, |o| o.part);
                if decimal_comma(text, tokens, i, part, stack.last()) {
                    let (left, right) = (tokens[i - 1], tokens[i + 1]);
                    let unit = tokens.get(i + 2).filter(|t| t.kind == Kind::Unit).map(|t| t.of(text));
                    let end = if unit.is_some() { tokens[i + 2] } else { right };
                    faults.push(errors::decimal_comma(span(left).to(span(end)), left.of(text), right.of(text), unit));
                    tokens[i].kind = Kind::Fault;
                } else if let Some(o) = stack.last_mut() {
                    o.part = i + 1;
                } else {
                    outer = i + 1;
                }
            }
            Kind::Line => {
                line = i + 1;
                if begins_sentence(tokens, i + 1) && !breaks_here(tokens, i, true) {
                    drop_unclosed(&mut stack, tokens, &of, i, file, faults);
                }
                match stack.last_mut() {
                    Some(o) if o.bracket != Bracket::Curly && o.part != i => {}
                    Some(o) => o.part = i + 1,
                    None => outer = i + 1,
                }
            }
            _ => {}
        }
    }
    let end = tokens.len();
    while let Some(open) = stack.pop() {
        if open.bracket == Bracket::Curly {
            let until = by_indent(text, tokens, &open);
            of[open.at] = index(until);
            faults.push(errors::unclosed_bracket(span(tokens[open.at]), Bracket::Curly, tail(tokens, until, file)));
        } else {
            unclosed(&open, tokens, &of, end, file, faults);
        }
    }
    Partners { of }
}

/// How many blanks stand before a token.
fn blanks(text: &str, t: Token) -> usize {
    text[..t.start as usize].bytes().rev().take_while(|b| matches!(b, b' ' | b'\t')).count()
}

/// In a file with too few closing braces: the brace at `i` begins its line at the column of an outer block, so the
/// inner ones, opened further right, are the ones that lack theirs.
fn close_by_indent(
    stack: &mut Vec<Open>,
    column: usize,
    tokens: &mut [Token],
    i: usize,
    of: &mut [u32],
    file: FileId,
    faults: &mut Faults,
) {
    if !stack.iter().any(|o| o.bracket == Bracket::Curly && o.column == column) {
        return;
    }
    while stack.last().is_some_and(|o| o.bracket != Bracket::Curly || o.column > column) {
        let open = stack.pop().expect("the loop saw it");
        if open.bracket == Bracket::Curly {
            of[open.at] = index(i);
            let t = tokens[open.at];
            let here = Span::new(file, t.start as usize, t.end as usize);
            faults.push(errors::unclosed_bracket(here, Bracket::Curly, tail(tokens, i, file)));
        } else {
            unclosed(&open, tokens, of, i, file, faults);
        }
    }
}

/// Where the unclosed block `open` most likely ends: at the first line that begins no further right.
fn by_indent(text: &str, tokens: &[Token], open: &Open) -> usize {
    let mut depth = 0_usize;
    for i in open.at + 1..tokens.len() {
        match tokens[i].kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth = depth.saturating_sub(1),
            Kind::Line if depth == 0 && i + 1 < tokens.len() && blanks(text, tokens[i + 1]) <= open.column => return i,
            _ => {}
        }
    }
    tokens.len()
}

/// Whether a sentence or station begins at `i`, as no part or element does.
fn begins_sentence(tokens: &[Token], i: usize) -> bool {
    const BEGIN: [Key; 5] = [Key::Use, Key::Let, Key::Setting, Key::Require, Key::At];
    let colon = tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Colon);
    !colon && tokens.get(i).is_some_and(|t| matches!(t.kind, Kind::Key(k) if BEGIN.contains(&k)))
}

fn index(i: usize) -> u32 {
    u32::try_from(i).expect("a file is at most 1 MB")
}

/// Just behind the last token before `end`.
fn tail(tokens: &[Token], end: usize, file: FileId) -> Option<Span> {
    let last = tokens[..end].iter().rev().find(|t| t.kind != Kind::Line)?;
    Some(Span::new(file, last.end as usize, last.end as usize))
}

/// Round and square brackets still open at a brace are not closed.
fn drop_unclosed(
    stack: &mut Vec<Open>,
    tokens: &mut [Token],
    of: &[u32],
    until: usize,
    file: FileId,
    faults: &mut Faults,
) {
    while stack.last().is_some_and(|o| o.bracket != Bracket::Curly) {
        let open = stack.pop().expect("the loop saw it");
        unclosed(&open, tokens, of, until, file, faults);
    }
}

fn unclosed(open: &Open, tokens: &mut [Token], of: &[u32], until: usize, file: FileId, faults: &mut Faults) {
    if open.bracket == Bracket::Curly {
        return;
    }
    let t = tokens[open.at];
    faults.push_with(|| {
        let end = line_end(tokens, of, open.at, until);
        let here = Span::new(file, t.start as usize, t.end as usize);
        errors::unclosed_bracket(here, open.bracket, tail(tokens, end, file))
    });
    tokens[open.at].kind = Kind::Unclosed;
}

/// The first line end behind `from` at which a bracketed value may not be broken, or the next brace, or `until`.
/// `of`: the partners found so far; what stands in closed brackets is stepped over.
fn line_end(tokens: &[Token], of: &[u32], from: usize, until: usize) -> usize {
    let mut i = from + 1;
    while i < until {
        match tokens[i].kind {
            Kind::Line if !breaks_here(tokens, i, true) => return i,
            Kind::Open(Bracket::Curly) | Kind::Close(Bracket::Curly) | Kind::Stray(Bracket::Curly) => return i,
            Kind::Open(_) if of[i] > 0 => i = of[i] as usize + 1,
            _ => i += 1,
        }
    }
    until
}

/// Whether a value may go on over the line end at `i`; `bracketed`: inside round or square brackets.
pub fn breaks_here(tokens: &[Token], i: usize, bracketed: bool) -> bool {
    let open = |k: Kind| matches!(k, Kind::Open(Bracket::Round | Bracket::Square) | Kind::Unclosed | Kind::Comma);
    let close = |k: Kind| matches!(k, Kind::Close(Bracket::Round | Bracket::Square));
    let before = i.checked_sub(1).map(|b| tokens[b].kind);
    let after = tokens.get(i + 1).map(|t| t.kind);
    before.is_some_and(|k| k.carries_on() || (bracketed && open(k)))
        || after.is_some_and(|k| k == Kind::Key(Key::Else) || (bracketed && close(k)))
}

/// Cuts out what stands deeper than [`DEEPEST`], with one fault for each such place.
fn cut_too_deep(tokens: &mut Vec<Token>, file: FileId, faults: &mut Faults) {
    let mut depth = 0_usize;
    let mut cut = false;
    tokens.retain_mut(|t| {
        match t.kind {
            Kind::Open(_) => {
                depth += 1;
                if depth == DEEPEST + 1 {
                    faults.push(errors::too_deep(Span::new(file, t.start as usize, t.end as usize), DEEPEST));
                    cut = true;
                    t.kind = Kind::Fault;
                    return true;
                }
            }
            Kind::Close(_) => {
                let was = depth;
                depth = depth.saturating_sub(1);
                if was == DEEPEST + 1 && cut {
                    cut = false;
                    return false;
                }
            }
            _ => {}
        }
        !cut
    });
}

/// Whether the comma at `i` was meant as a decimal point: glued between two numbers where two numbers can not stand.
fn decimal_comma(text: &str, tokens: &[Token], i: usize, part: usize, open: Option<&Open>) -> bool {
    let (Some(left), Some(comma), Some(right)) =
        (i.checked_sub(1).map(|l| tokens[l]), tokens.get(i), tokens.get(i + 1))
    else {
        return false;
    };
    let plain = |t: Token| t.kind == Kind::Number && t.of(text).bytes().all(|b| b.is_ascii_digit());
    if !plain(left) || !plain(*right) || left.end != comma.start || comma.end != right.start {
        return false;
    }
    let unit = tokens.get(i + 2).is_some_and(|t| t.kind == Kind::Unit);
    let Some(open) = open else { return true };
    match open.bracket {
        Bracket::Curly => true,
        Bracket::Square => unit,
        Bracket::Round => {
            let named = matches!(
                (tokens.get(part).map(|t| t.kind), tokens.get(part + 1).map(|t| t.kind)),
                (Some(Kind::Word | Kind::Key(_)), Some(Kind::Colon))
            );
            let before = open.at.checked_sub(1).map(|b| tokens[b]);
            let group = before.is_none_or(|t| t.kind != Kind::Word);
            let one_kind = before.is_some_and(|t| ALIKE.contains(&t.of(text)));
            named || group || (unit && one_kind)
        }
    }
}

/// Functions whose values are all of one dimension, so that a bare number before a length is never meant.
const ALIKE: &[&str] = &["min", "max", "abs", "sqrt", "clamp", "sum", "median", "nearest", "next_up", "next_down"];
