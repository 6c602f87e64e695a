//! Faults of values.

use super::brief;
use crate::ast::Name;
use crate::diag::{Code, Diagnostic};
use crate::span::Span;

/// Nothing where a value belongs; `before`: the word or sign it belongs behind.
pub fn missing_value(span: Span, before: &str, field: bool) -> Diagnostic {
    let before = brief(before);
    let d = Diagnostic::error(Code::MissingValue, format!("a value is missing behind `{before}`"))
        .with_label(span, "it belongs here");
    if field {
        d.with_help("write the value on the same line")
    } else {
        d.with_help(format!("write it, or delete the `{before}`"))
    }
}

/// A value that begins with the sign that joins two.
pub fn missing_before(span: Span, sign: &str) -> Diagnostic {
    let sign = brief(sign);
    Diagnostic::error(Code::MissingValue, format!("a value is missing before `{sign}`"))
        .with_label(span, "joins nothing to what follows")
        .with_help(format!("write it, or delete the `{sign}`"))
}

/// `circle(across: 90 mm corner: 5 mm)`.
pub fn missing_comma(span: Span, next: Span, word: &str) -> Diagnostic {
    Diagnostic::error(Code::MissingComma, format!("a comma is missing before `{}`", brief(word)))
        .with_label(span, "it belongs here")
        .with_label(next, "the next one begins here")
        .with_help("`,`")
        .with_repair(",")
}

/// Named and unnamed parts in one call.
pub fn mixed_parts(span: Span, named: &Name) -> Diagnostic {
    Diagnostic::error(Code::MixedParts, "either all parts have names, or none")
        .with_label(span, "this one has none")
        .with_label(named.span, format!("`{}` is named", brief(&named.value)))
        .with_help("give it its name: `name: value`")
}

/// Two values with nothing between.
pub fn two_values(between: Span, second: Span, left: &str, right: &str) -> Diagnostic {
    Diagnostic::error(Code::TwoValues, format!("nothing joins `{}` and `{}`", brief(left), brief(right)))
        .with_label(second, "a second value begins here")
        .with_label(between, "an operator or a comma belongs here")
        .with_help("`+`, `*`, `by`, a comma …: whichever is meant")
}

/// `1 m 20 cm`.
pub fn two_amounts(span: Span, large: &str, small: &str) -> Diagnostic {
    let repair = format!("({large} + {small})");
    Diagnostic::error(Code::TwoValues, format!("nothing joins `{}` and `{}`", brief(large), brief(small)))
        .with_label(span, "two numbers, each with its unit")
        .with_help(format!("one number, or `{}`", brief(&repair)))
        .with_repair(repair)
        .with_note("only `5 ft 3 in` and `1 h 30 min` are one number in two parts")
}

/// `1 1/2` without a unit.
pub fn fraction_without_unit(span: Span, whole: &str, over: &str, under: &str) -> Diagnostic {
    let d = Diagnostic::error(Code::FractionWithoutUnit, "this fraction has no unit")
        .with_label(span, format!("`{}` and `{}/{}` are two values", brief(whole), brief(over), brief(under)));
    let value = match (whole.parse::<f64>(), over.parse::<f64>(), under.parse::<f64>()) {
        (Ok(w), Ok(o), Ok(u)) if u != 0.0 => Some(w + o / u),
        _ => None,
    };
    let exact = value.map(|v| format!("{v}")).filter(|v| v.len() < 12);
    match exact {
        Some(v) => d
            .with_help(format!("`{} {}/{} in`, or `{v}` for a bare number", brief(whole), brief(over), brief(under)))
            .with_repair(v),
        None => d.with_help(format!("`{} {}/{} in`", brief(whole), brief(over), brief(under))),
    }
}

/// `flag mm`.
pub fn unit_after_name(span: Span, name: &str, unit: &str) -> Diagnostic {
    let name = brief(name);
    Diagnostic::error(Code::UnitAfterName, "a unit follows a written number and nothing else")
        .with_label(span, format!("`{name}` has its unit already"))
        .with_help(format!("`{name}`; if it was named as a bare number, `{name} * 1 {unit}`"))
        .with_repair(name)
}

/// `3 : 2`.
pub fn spaced_ratio(span: Span, repair: &str) -> Diagnostic {
    Diagnostic::error(Code::SpacedRatio, "a ratio has no blanks")
        .with_label(span, "with blanks the colon would be that of a field")
        .with_help(format!("`{}`", brief(repair)))
        .with_repair(repair)
}

/// `3:2 mm`.
pub fn ratio_with_unit(span: Span, ratio: &str) -> Diagnostic {
    Diagnostic::error(Code::RatioWithUnit, "a ratio has no unit")
        .with_label(span, format!("`{}` says how one size stands to another", brief(ratio)))
        .with_help(format!("`{}`, or two fields with a colon and a blank", brief(ratio)))
        .with_repair(ratio)
}

/// `1per m`.
pub fn glued_per(span: Span) -> Diagnostic {
    Diagnostic::error(Code::StrayWord, "`per` stands between blanks")
        .with_label(span, "glued to its neighbour")
        .with_help("`9.40 per m`")
}

/// `3/4 per m`, `5 ft 3 in per m`.
pub fn odd_price(span: Span) -> Diagnostic {
    Diagnostic::error(Code::OddNumber, "only a plain number is `per` something")
        .with_label(span, "a fraction, a ratio or two numbers in one")
        .with_help("write the price as a decimal: `0.75 per m`")
}

/// `=` inside a value.
pub fn equals_in_value(span: Span, bracketed: bool, before: &str) -> Diagnostic {
    let d = Diagnostic::error(Code::EqualsForColon, "`=` does not stand in a value")
        .with_label(span, "`=` names a value in `let` and `setting`");
    if bracketed {
        d.with_help(format!("`{}: …` for a part, `==` to compare", brief(before))).with_repair(":")
    } else {
        d.with_help("`:` behind the word of a field or station, `==` to compare")
    }
}

/// `per` without a unit.
pub fn per_what(span: Span, word: &str, something: bool) -> Diagnostic {
    let d = Diagnostic::error(Code::MissingUnit, "`per` is followed by a unit").with_label(
        span,
        if something { format!("`{}` is not a unit", brief(word)) } else { "no unit behind it".to_owned() },
    );
    d.with_help("`per m`, `per kg`, `per l` …; a price a sheet or a piece is the bare number")
}

/// `at`, `to`, `on` … inside a value.
pub fn word_in_value(span: Span, word: &str, to: bool) -> Diagnostic {
    let d = Diagnostic::error(Code::StrayWord, format!("`{word}` does not stand in a value"))
        .with_label(span, "the value before it is complete");
    if to {
        d.with_help("a stretch stands behind `at` or `for … in` only")
    } else {
        d.with_help("end the value with a comma or a line end before it")
    }
}

/// `1 + if …`.
pub fn bare_if(span: Span) -> Diagnostic {
    Diagnostic::error(Code::BareIf, "inside a reckoning an `if` stands in brackets")
        .with_label(span, "it would reach to the end of the value")
        .with_help("`(if … then … else …)`")
}

/// An `if` value without `then`.
pub fn missing_then(span: Span, tail: Span) -> Diagnostic {
    Diagnostic::error(Code::MissingThen, "this `if` has no `then`")
        .with_label(span, "opened here")
        .with_label(tail, "`then` was looked for up to here")
        .with_help("`if … then … else …`")
}

/// An `if` value without `else`.
pub fn missing_else(span: Span, tail: Span) -> Diagnostic {
    Diagnostic::error(Code::MissingElse, "this `if` has no `else`")
        .with_label(span, "a value must be one or the other")
        .with_label(tail, "`else` was looked for up to here")
        .with_help("`if … then … else …`; to leave a whole thing out, a block: `if … { … }`")
}

/// A line that goes on where none may.
pub fn broken_line(span: Span, word: &str) -> Diagnostic {
    let d = Diagnostic::error(Code::BrokenLine, "the line before was complete")
        .with_label(span, format!("so `{}` begins nothing", brief(word)));
    d.with_help("break a line after an operator, a comma in brackets or an opening bracket, not before")
}

/// A line broken behind a colon or a point.
pub fn broken_behind(span: Span, sign: &str) -> Diagnostic {
    Diagnostic::error(Code::BrokenLine, format!("a line cannot be broken behind `{}`", brief(sign)))
        .with_label(span, "the line ends behind it")
        .with_help("write what follows on the same line")
}

/// `body.top(…)`.
pub fn called_fact(span: Span, fact: &str) -> Diagnostic {
    let fact = brief(fact);
    Diagnostic::error(Code::OddSign, format!("`{fact}` is a fact and takes nothing in brackets"))
        .with_label(span, "only a name of its own is called")
        .with_help(format!("`.{fact}`"))
}

/// A sign of another language.
pub fn other_sign(span: Span, written: &str, ours: &str) -> Diagnostic {
    Diagnostic::error(Code::OddSign, format!("`{written}` is not a sign of the language"))
        .with_label(span, "no value stands between")
        .with_help(format!("`{ours}`"))
        .with_repair(ours)
}

/// A colon inside a value; `field`: a second field may have been meant.
pub fn odd_colon(span: Span, before: &str, field: bool) -> Diagnostic {
    let d = Diagnostic::error(Code::OddSign, "a colon does not stand here")
        .with_label(span, format!("behind `{}`", brief(before)));
    if field {
        d.with_help("a field is a word, a colon and a value, and ends with a comma or its line")
    } else {
        d.with_help("parts have names only in a constructor, `circle(across: 90 mm)`; a ratio is glued, `3:2`")
    }
}

/// A comma in a group or an index.
pub fn odd_comma(span: Span) -> Diagnostic {
    Diagnostic::error(Code::OddSign, "a comma does not stand here")
        .with_label(span, "these brackets hold one value")
        .with_help("a list stands in square brackets, `[a, b]`; a size is built with `by`")
}

/// `5 mm.top`, `(a).b`.
pub fn no_facts(span: Span, before: Span) -> Diagnostic {
    Diagnostic::error(Code::OddSign, "only a name can be asked for a fact")
        .with_label(span, "a point joins two names")
        .with_label(before, "this is not a name")
        .with_help("`body.top.around`")
}

/// No rule says better why.
pub fn unreadable(span: Span, word: &str) -> Diagnostic {
    Diagnostic::error(Code::OddSign, format!("`{}` cannot stand here", brief(word)))
        .with_label(span, "the value cannot be read past this")
        .with_help("look for a missing operator, bracket or comma just before it")
}
