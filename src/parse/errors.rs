//! What is wrong with the writing of a file: one constructor a fault. Faults of single words and of brackets stand
//! here, those of values and sentences in [`sentences`] and [`values`].

mod sentences;
mod values;

pub use sentences::*;
pub use values::*;

use super::token::Bracket;
use crate::diag::{Code, Diagnostic};
use crate::ids::FileId;
use crate::span::Span;

/// The longest stretch of source a message repeats.
const SHOWN: usize = 40;

/// A stretch of source cut to a length that reads.
fn brief(text: &str) -> String {
    let line = text.lines().next().unwrap_or("").trim_end();
    if line.chars().count() <= SHOWN {
        return line.to_owned();
    }
    let mut cut: String = line.chars().take(SHOWN).collect();
    cut.push('…');
    cut
}

/// `2,5 mm`: a comma ends a part, decimals take a point.
pub fn decimal_comma(span: Span, left: &str, right: &str, unit: Option<&str>) -> Diagnostic {
    let unit = unit.map_or_else(String::new, |u| if u == "%" { " %".to_owned() } else { format!(" {u}") });
    let repair = format!("{left}.{right}{unit}");
    let help = if right.len() == 3 {
        format!("`{repair}`, or without any sign, `{left}{right}{unit}`, if thousands were meant")
    } else {
        format!("`{repair}`")
    };
    Diagnostic::error(Code::DecimalComma, "a comma ends the part here")
        .with_label(span, format!("`{left}` and `{right}{unit}` are two values"))
        .with_help(help)
        .with_repair(repair)
        .with_note("decimals take a point")
}

/// A bracket that nothing closes; `tail`: where the closing one was looked for last.
pub fn unclosed_bracket(span: Span, bracket: Bracket, tail: Option<Span>) -> Diagnostic {
    let (open, close) = (bracket.open(), bracket.close());
    let d = Diagnostic::error(Code::UnclosedBracket, format!("this `{open}` is never closed"))
        .with_label(span, "opened here")
        .with_help(format!("put a `{close}` where it ends"));
    match tail {
        Some(tail) if tail.start > span.end => d.with_label(tail, format!("a `{close}` was looked for up to here")),
        _ => d,
    }
}

/// `[a, b)`: the one that closes is of another kind.
pub fn wrong_bracket(span: Span, open: Bracket, closing: Span, found: Bracket) -> Diagnostic {
    let (open, close) = (open.open(), open.close());
    Diagnostic::error(Code::UnclosedBracket, format!("this `{open}` is closed by a `{}`", found.close()))
        .with_label(closing, format!("a `{close}` belongs here"))
        .with_label(span, "opened here")
        .with_help(format!("`{close}`"))
        .with_repair(close.to_string())
}

/// A closing bracket without its opening one.
pub fn stray_bracket(span: Span, bracket: Bracket) -> Diagnostic {
    let (open, close) = (bracket.open(), bracket.close());
    Diagnostic::error(Code::StrayBracket, format!("this `{close}` closes nothing"))
        .with_label(span, format!("no `{open}` is open here"))
        .with_help(format!("delete it, or put the missing `{open}` before it"))
        .with_repair("")
}

/// Brackets in brackets in brackets, past the limit.
pub fn too_deep(span: Span, deepest: usize) -> Diagnostic {
    Diagnostic::error(Code::NestedTooDeep, "this is nested too deep")
        .with_label(span, format!("more than {deepest} brackets, braces, `if`s or powers stand in each other here"))
        .with_help("give the inner values names with `let`")
}

/// More operators in a value than the limit.
pub fn value_too_long(span: Span, have: usize, most: usize) -> Diagnostic {
    Diagnostic::error(Code::ValueTooLong, "this value is too long to reckon")
        .with_label(span, format!("it begins here and has {have} operators; {most} are the most"))
        .with_help("give parts of it names with `let`")
}

/// A file past the limit of its size.
pub fn file_too_large(file: FileId, have: usize, most: usize) -> Diagnostic {
    Diagnostic::error(Code::FileTooLarge, "this file is too large")
        .with_label(Span::new(file, 0, 0), format!("{have} bytes; a file may have {most}"))
        .with_help("move parts of it into files of their own and fetch them with `use`")
}

/// Faults past the first hundred.
pub fn more_faults(span: Span, more: usize) -> Diagnostic {
    Diagnostic::error(Code::MoreFaults, format!("{more} more mistakes in the writing of this file are not shown"))
        .with_label(span, "up to the end of the file")
        .with_help("mend the ones above and look again")
}

/// A text that does not end on its line.
pub fn unclosed_text(span: Span, text: &str) -> Diagnostic {
    let d = Diagnostic::error(Code::UnclosedText, "this text is never closed").with_label(span, "begins here");
    // What stands behind may well be meant as source: only a plain stretch of words is offered as the text.
    let inside = text.trim_start_matches('"');
    let words = !inside.is_empty() && inside.chars().all(|c| c.is_alphanumeric() || " .'-_".contains(c));
    if words {
        let repair = format!("\"{inside}\"");
        return d.with_help(format!("`{}`", brief(&repair))).with_repair(repair);
    }
    d.with_help("put a `\"` where the text ends").with_note("a text ends on the line it began on")
}

/// `12"`, `5'`, `30°`: a mark where the word of a unit belongs.
pub fn mark_for_unit(span: Span, number: &str, unit: &str) -> Diagnostic {
    let repair = format!("{number} {unit}");
    let what = match unit {
        "in" => "inches",
        "ft" => "feet",
        _ => "degrees",
    };
    Diagnostic::error(Code::PastedCharacter, "a unit is a word")
        .with_label(span, format!("{what} are written `{unit}`"))
        .with_help(format!("`{repair}`"))
        .with_repair(repair)
}

/// Typeset quotation marks; `inside` when both stand there.
pub fn curly_quotes(span: Span, inside: Option<&str>) -> Diagnostic {
    let d = Diagnostic::error(Code::PastedCharacter, "these quotation marks are typeset ones")
        .with_label(span, "a text stands between plain quotation marks, `\"`");
    match inside {
        Some(inside) => {
            let repair = format!("\"{inside}\"");
            d.with_help(format!("`{}`", brief(&repair))).with_repair(repair)
        }
        None => d.with_help("type `\"` at both ends"),
    }
}

/// A character no rule knows, with what to type for it; `counted`: it stands behind a number.
pub fn odd_character(span: Span, c: char, counted: bool) -> Diagnostic {
    let pasted = |name: &str, repair: &str| {
        Diagnostic::error(Code::PastedCharacter, format!("{name} is typed in another way here"))
            .with_label(span, format!("`{}` has no meaning here", crate::diag::shown(&c.to_string())))
            .with_help(if repair == " " { "a plain blank".to_owned() } else { format!("`{repair}`") })
            .with_repair(repair)
    };
    match c {
        '×' | '✕' | '·' | '⋅' | '∗' => pasted("times", "*"),
        '−' | '–' | '—' | '‐' | '‑' => pasted("minus", "-"),
        '÷' | '∕' | '⁄' => pasted("divided by", "/"),
        '≤' => pasted("at most", "<="),
        '≥' => pasted("at least", ">="),
        '≠' => pasted("not equal", "!="),
        '²' => pasted("squared", "^2"),
        '³' => pasted("cubed", "^3"),
        '°' | 'º' => pasted("degrees", "deg"),
        '¼'..='¾' | '⅓' | '⅔' | '⅛'..='⅞' => {
            let (name, plain) = fraction(c);
            pasted(name, &if counted { format!(" {plain}") } else { plain.to_owned() })
        }
        '′' => pasted("feet", "ft"),
        '″' => pasted("inches", "in"),
        '…' => pasted("a row of points", "to"),
        '，' => pasted("a comma", ","),
        '：' => pasted("a colon", ":"),
        '（' => pasted("an opening bracket", "("),
        '）' => pasted("a closing bracket", ")"),
        c if c.is_whitespace() => pasted("a blank", " "),
        '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}' => {
            Diagnostic::error(Code::ControlCharacter, "an invisible character stands here")
                .with_label(span, format!("U+{:04X}", u32::from(c)))
                .with_help("delete it")
                .with_repair("")
        }
        '\'' | '‘' | '’' | '`' => {
            Diagnostic::error(Code::UnknownCharacter, "a text stands between double quotation marks")
                .with_label(span, format!("`{c}` has no meaning here"))
                .with_help("type `\"` at both ends")
        }
        _ => {
            let d = Diagnostic::error(Code::UnknownCharacter, "this character has no meaning here")
                .with_label(span, format!("`{c}` is not part of the language"));
            match c {
                ';' => d.with_help("end a sentence or field with its line or a comma").with_repair(","),
                '&' => d.with_help("`and`").with_repair("and"),
                '|' => d.with_help("`or`").with_repair("or"),
                '!' => d.with_help("`not`").with_repair("not"),
                '$' | '€' | '£' | '¥' => d.with_help("money is a bare number").with_repair(""),
                '/' | '\\' => d.with_help("a comment begins with `#`"),
                '~' => d.with_help("write the figure itself"),
                _ => d.with_help("delete it, or put it in a text or behind `#`"),
            }
        }
    }
}

/// The name and the plain form of a fraction that is one character.
fn fraction(c: char) -> (&'static str, &'static str) {
    match c {
        '¼' => ("a quarter", "1/4"),
        '½' => ("a half", "1/2"),
        '¾' => ("three quarters", "3/4"),
        '⅓' => ("a third", "1/3"),
        '⅔' => ("two thirds", "2/3"),
        '⅛' => ("an eighth", "1/8"),
        '⅜' => ("three eighths", "3/8"),
        '⅝' => ("five eighths", "5/8"),
        _ => ("seven eighths", "7/8"),
    }
}

/// A control character, anywhere in the file.
pub fn control_character(span: Span, c: char) -> Diagnostic {
    Diagnostic::error(Code::ControlCharacter, "an invisible control character stands here")
        .with_label(span, format!("U+{:04X}", u32::from(c)))
        .with_help("delete it")
        .with_repair("")
        .with_note("it could hide what the line really says")
}

/// A word with letters beyond a to z.
pub fn odd_letter(span: Span, word: &str) -> Diagnostic {
    let plain: String = word.chars().map(plain_letter).collect();
    let d = Diagnostic::error(Code::OddName, "a name has only letters from a to z, digits and `_`")
        .with_label(span, format!("`{}` has others", brief(word)));
    let good = plain.is_ascii() && !plain.starts_with(|c: char| c.is_ascii_digit());
    if good {
        d.with_help(format!("for example `{}`", brief(&plain))).with_repair(plain)
    } else {
        d.with_help("take another name")
    }
}

/// The plain letter nearest to an accented one of the Latin alphabet.
fn plain_letter(c: char) -> char {
    match c {
        'à'..='å' | 'ā' | 'ă' | 'ą' => 'a',
        'ç' | 'ć' | 'č' => 'c',
        'è'..='ë' | 'ē' | 'ę' | 'ě' => 'e',
        'ì'..='ï' | 'ī' => 'i',
        'ñ' | 'ń' | 'ň' => 'n',
        'ò'..='ö' | 'ø' | 'ō' | 'ő' => 'o',
        'ù'..='ü' | 'ū' | 'ů' | 'ű' => 'u',
        'ý' | 'ÿ' => 'y',
        'ś' | 'š' | 'ß' => 's',
        'ź' | 'ż' | 'ž' => 'z',
        'ł' => 'l',
        'À'..='Å' => 'A',
        'È'..='Ë' => 'E',
        'Ò'..='Ö' | 'Ø' => 'O',
        'Ù'..='Ü' => 'U',
        c => c,
    }
}

/// `.5`, `5.`, `1_000`, `1e3`.
pub fn odd_number(span: Span, repair: &str) -> Diagnostic {
    Diagnostic::error(Code::OddNumber, "this number is not in plain digits")
        .with_label(span, "digits, and at most one point with a digit on each side")
        .with_help(format!("`{}`", brief(repair)))
        .with_repair(repair)
}

/// A number of more than a hundred digits.
pub fn number_too_large(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NumberTooLarge, "this number is too large")
        .with_label(span, "more than a hundred digits")
        .with_help("no measure of a prop needs more than a dozen")
}

/// A fraction or ratio over zero.
pub fn over_nothing(span: Span) -> Diagnostic {
    Diagnostic::error(Code::DividedByNothing, "nothing stands below the line")
        .with_label(span, "a figure over 0 has no value")
        .with_help("write the second figure, as in `3/4 in` or `3:2`")
}

/// The word behind a number is no unit.
pub fn unknown_unit(span: Span, word: &str) -> Diagnostic {
    let d = Diagnostic::error(Code::UnknownUnit, format!("there is no unit called `{}`", brief(word)))
        .with_label(span, "the word behind a number is its unit");
    match meant(word) {
        Some(near) => d.with_help(format!("`{near}`")).with_repair(near),
        None if word == "px" || word == "pt" => {
            d.with_help("give a dot its size: `let px = wearer.height / 905`, then `412 * px`")
        }
        None => d.with_help("if it names a value, put an operator between: `2 * drop`"),
    }
    .with_note("units: mm cm m in ft, mm2 cm2 m2, ml l, deg, s min h day, g kg oz lb, kg/m3 g/m2 g/m m2/l N/mm, %")
}

/// Other words and abbreviations for units.
const OTHER_WORDS: &[(&str, &str)] = &[
    ("millimetre", "mm"),
    ("millimeter", "mm"),
    ("centimetre", "cm"),
    ("centimeter", "cm"),
    ("metre", "m"),
    ("meter", "m"),
    ("inch", "in"),
    ("inche", "in"),
    ("foot", "ft"),
    ("feet", "ft"),
    ("degree", "deg"),
    ("second", "s"),
    ("sec", "s"),
    ("minute", "min"),
    ("hour", "h"),
    ("hr", "h"),
    ("d", "day"),
    ("gram", "g"),
    ("gr", "g"),
    ("kilo", "kg"),
    ("kilogram", "kg"),
    ("ounce", "oz"),
    ("pound", "lb"),
    ("litre", "l"),
    ("liter", "l"),
    ("sqm", "m2"),
    ("percent", "%"),
];

/// The unit that a word was most likely meant for.
fn meant(word: &str) -> Option<&'static str> {
    let lower = word.to_lowercase();
    let single = lower.strip_suffix('s').unwrap_or(&lower);
    let units = || crate::units::UNITS.iter().map(|u| u.word);
    let other = |w: &str| OTHER_WORDS.iter().find(|(o, _)| *o == w).map(|&(_, unit)| unit);
    let same = |w: &str| units().find(|u| u.to_lowercase() == w);
    if let Some(unit) = other(single).or_else(|| same(&lower)).or_else(|| same(single)) {
        return Some(unit);
    }
    if word.len() < 2 {
        return None;
    }
    // A slip keeps the length and the first letter more often than not; of equals the commonest, listed first.
    let slip = |u: &&str| {
        u.len() == lower.len()
            && u.bytes().all(|b| b.is_ascii_alphabetic())
            && u.bytes().zip(lower.bytes()).filter(|(a, b)| a != b).count() == 1
            && u.as_bytes().first() == lower.as_bytes().first()
    };
    units().find(slip).or_else(|| {
        let words = OTHER_WORDS.iter().map(|(o, _)| *o).filter(|o| o.len() > 2);
        crate::diag::nearest(single, words).and_then(other).or_else(|| crate::diag::nearest(&lower, units()))
    })
}
