//! Values: units, types, words, parts, arguments.

use super::super::value::Ty;
use super::super::words;
use super::names::meant;
use crate::ast;
use crate::diag::{Code, Diagnostic, nearest, shown};
use crate::eval::say::number;
use crate::schema::{self, Family, Field, Type};
use crate::span::{At, Span};
use crate::units::Dim;

/// What a field wants, with its article: "a width".
pub(in crate::check) fn what_is(field: &Field, dims: &[Dim]) -> String {
    let what = words::measure(field.name, dims);
    match dims {
        [one] if what != one.to_string() => format!("{what} is {one}"),
        _ => format!("{what} belongs here"),
    }
}

/// `across: 90 mm`; at a station `at 90 mm`.
fn written(field: &Field, value: &str) -> String {
    if field.name == "at" { format!("at {value}") } else { format!("{}: {value}", field.name) }
}

/// A number with the units it is likely to be in, the likeliest first, and why another would be silly.
fn likely(n: f64, dims: &[Dim]) -> (Vec<String>, Option<String>) {
    let mut silly = None;
    let one = |d: &Dim| -> Vec<String> {
        let with = |u: &str| format!("{} {u}", number(n));
        match *d {
            Dim::LENGTH if n == 0.0 || dims.len() > 1 => vec![with("mm")],
            Dim::LENGTH if n.abs() >= 10.0 => vec![with("mm"), format!("{} cm", number(n / 10.0))],
            Dim::LENGTH => vec![with("mm"), with("cm")],
            Dim::AREA => vec![with("cm2")],
            Dim::VOLUME => vec![with("ml")],
            Dim::ANGLE => vec![with("deg")],
            Dim::MASS if n.abs() >= 1000.0 => vec![with("g"), format!("{} kg", number(n / 1000.0))],
            Dim::MASS => vec![with("g")],
            Dim::TIME => vec![with("min"), with("h")],
            Dim::DENSITY => vec![with("kg/m3")],
            Dim::AREA_DENSITY => vec![with("g/m2")],
            Dim::LINE_DENSITY => vec![with("g/m")],
            Dim::COVERAGE => vec![with("m2/l")],
            Dim::STRENGTH => vec![with("N/mm")],
            Dim::NONE => vec![with("%")],
            _ => vec![],
        }
    };
    let mut out: Vec<String> = dims.iter().flat_map(one).collect();
    if dims == [Dim::LENGTH] {
        let metres = (n.abs() * 0.0254).floor();
        if metres >= 1.0 {
            let unit = words::unit("m", metres);
            silly = Some(format!("{} in is over {} {unit}", number(n), words::count(metres)));
        } else if n != 0.0 {
            out.push(format!("{} in", number(n)));
        }
    }
    (out, silly)
}

fn offer(n: f64, dims: &[Dim], say: impl Fn(&str) -> String) -> (String, Option<String>) {
    let (units, silly) = likely(n, dims);
    let all: Vec<String> = units.iter().map(|u| say(u)).collect();
    let all: Vec<&str> = all.iter().map(String::as_str).collect();
    let help = words::any(&all);
    (silly.map_or(help.clone(), |s| format!("{help}; {s}")), units.into_iter().next())
}

/// A number where a unit is wanted.
pub(in crate::check) fn bare_number(span: Span, n: f64, field: &Field, dims: &[Dim]) -> Diagnostic {
    bare(span, n, (field, dims), |v| written(field, v))
}

/// A bare number in a size: `40 mm by 30`.
pub(in crate::check) fn bare_part(span: Span, n: f64, field: &Field, dims: &[Dim]) -> Diagnostic {
    bare(span, n, (field, dims), str::to_owned)
}

fn bare(span: Span, n: f64, (field, dims): (&Field, &[Dim]), written: impl Fn(&str) -> String) -> Diagnostic {
    let what = words::measure(field.name, dims);
    let d = Diagnostic::error(Code::BareNumber, format!("{what} needs its unit"))
        .with_label(span, format!("`{}` of what?", number(n)));
    let (help, repair) = offer(n, dims, written);
    let d = d.with_help(help);
    match repair {
        Some(r) => d.with_repair(r),
        None => d,
    }
}

/// A bare number in place of a setting that has a unit.
pub(in crate::check) fn bare_setting(span: Span, n: f64, dim: Dim) -> Diagnostic {
    Diagnostic { message: format!("{dim} needs its unit"), ..bare_operand(span, n, dim) }
}

/// A bare number beside one with a unit: `2 in + 3`.
pub(in crate::check) fn bare_operand(span: Span, n: f64, other: Dim) -> Diagnostic {
    let d = Diagnostic::error(Code::BareNumber, format!("this number needs its unit, beside {other}"))
        .with_label(span, format!("`{}` of what?", number(n)));
    let (help, repair) = offer(n, &[other], str::to_owned);
    let d = d.with_help(help);
    match repair {
        Some(r) => d.with_repair(r),
        None => d,
    }
}

/// `1 / 2 in`
pub(in crate::check) fn divided_length(span: Span, top: f64, n: f64, unit: &str, what: &str) -> Diagnostic {
    let fraction = format!("{}/{} {unit}", number(top), number(n));
    Diagnostic::error(
        Code::DividedLength,
        format!("this divides {} by {} {}", number(top), words::count(n), words::unit(unit, n)),
    )
    .with_label(span, what.to_owned())
    .with_help(format!("`{fraction}` without blanks"))
    .with_repair(fraction)
    .with_note("a fraction is glued and has its unit; with blanks `/` divides")
}

pub(in crate::check) fn wrong_dimension(span: Span, stands: Dim, field: &Field, dims: &[Dim]) -> Diagnostic {
    let what = words::measure(field.name, dims);
    let all: Vec<String> = dims.iter().map(ToString::to_string).collect();
    let (d, help) = match (stands, dims) {
        (Dim::NONE, [Dim::LENGTH]) => {
            ("a plain number".to_owned(), "multiply it by a length, such as `* 1 mm`".to_owned())
        }
        (Dim::AREA, [Dim::LENGTH]) => {
            ("an area".to_owned(), "take its root with `sqrt(…)`, or divide by a length".to_owned())
        }
        (d, _) => (d.to_string(), format!("give {} as `{}`", all.join(" or "), written(field, field.example))),
    };
    let message = if all.len() == 1 && what != all[0] {
        format!("{what} is {}, not {d}", all[0])
    } else {
        format!("{what} belongs here, not {d}")
    };
    Diagnostic::error(Code::WrongValue, message)
        .with_label(span, format!("this is {d}"))
        .with_help(help)
        .with_note(format!("{}: {}", field.name, field.doc))
}

/// What a type is, in words.
fn type_in_words(ty: &Type) -> String {
    match ty {
        Type::Of(d) => d.to_string(),
        Type::OneOf(dims) => words::measure("", dims),
        Type::Count => "a whole number".to_owned(),
        Type::Money => "an amount of money".to_owned(),
        Type::Text => "a text in quotes".to_owned(),
        Type::Date => "a date in quotes".to_owned(),
        Type::YesNo => "`yes` or `no`".to_owned(),
        Type::Word(_) | Type::Sort(_) => "one of its words".to_owned(),
        Type::Level => "a place along it".to_owned(),
        Type::Direction => "a direction".to_owned(),
        Type::Face { .. } => "a face".to_owned(),
        Type::Size => "a width, or two with `by`".to_owned(),
        Type::Size3 => "three lengths with `by`".to_owned(),
        Type::Spot | Type::SkinSpot => "a spot: two values with `by`".to_owned(),
        Type::Make(f) => family(*f).to_owned(),
        Type::Thing(kinds) => words::with_article(kinds.first().map_or("thing", |k| schema::kind_of(*k).word)),
        Type::OneOrList(t) => format!("{}, or a list", type_in_words(t)),
        Type::List(t) => format!("a list: {} each", type_in_words(t)),
        Type::Either(a, b) => format!("{} or {}", type_in_words(a), type_in_words(b)),
    }
}

fn family(f: Family) -> &'static str {
    match f {
        Family::Section => "a section",
        Family::Shape => "a shape",
        Family::Seam => "a seam",
        Family::Spine => "a stretch of spine",
        Family::Made | Family::DomeMade | Family::PlateMade => "a way of making",
        Family::Bevel => "a bevel",
        Family::Foot => "a foot",
        Family::Neutral => "a bend with its depth",
        Family::Fill => "a fill",
        Family::Shift => "`toward(…)` with lengths",
        Family::Tilt => "`toward(…)` with angles",
        Family::Girth => "a girth",
        Family::OutlinePoint => "a point or an arc",
    }
}

/// A value of another type than a field has.
pub(in crate::check) fn wrong_for(span: Span, field: &Field, owner: &str, stands: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, format!("`{}` is {}", field.name, type_in_words(&field.ty)))
        .with_label(span, format!("this is {stands}"))
        .with_help(format!("`{}`", written(field, field.example)))
        .with_repair(field.example)
        .with_note(format!("{} of {owner}: {}", field.name, field.doc))
}

/// A girth over clothing where a width belongs.
pub(in crate::check) fn girth_for_width(span: Span, owner: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, "`across` is a width, and `dressed(…)` is a girth")
        .with_label(span, "this is how far a tape goes round")
        .with_help(format!("`{owner}(around: dressed(…))` takes it as a girth: write `around` for `across`"))
        .with_note("a circle's girth is pi times its width")
}

/// A word where a text belongs, or what nobody put in quotes.
pub(in crate::check) fn unquoted(name: &ast::Name, field: &Field, owner: &str) -> Diagnostic {
    let quoted = format!("\"{}\"", shown(&name.value));
    Diagnostic::error(Code::WrongValue, format!("`{}` is a text in quotes", field.name))
        .with_label(name.span, "this stands without quotes")
        .with_help(format!("`{}`", written(field, &quoted)))
        .with_repair(quoted)
        .with_note(format!("{} of {owner}: {}", field.name, field.doc))
}

/// A value of another type than belongs somewhere.
pub(in crate::check) fn wrong_value(span: Span, what: &str, wanted: &str, stands: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, format!("{what} is {wanted}"))
        .with_label(span, format!("this is {stands}"))
        .with_help(format!("put {wanted} here"))
}

pub(in crate::check) fn not_whole(span: Span, stands: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, "a whole number belongs here")
        .with_label(span, format!("this is {stands}"))
        .with_help("write a whole number without a unit, or round it with `nearest(x, 1)`")
}

pub(in crate::check) fn wants_list(span: Span, field: &Field, text: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, format!("`{}` is a list", field.name))
        .with_label(span, "this stands alone")
        .with_help(format!("`{}: [{text}]`", field.name))
        .with_repair(format!("[{text}]"))
}

pub(in crate::check) fn wants_size(span: Span, field: &Field, n: usize, stands: &str) -> Diagnostic {
    let what = if n == 3 { "three lengths with `by`" } else { "two values with `by`" };
    Diagnostic::error(Code::WrongValue, format!("`{}` is {what}", field.name))
        .with_label(span, format!("this is {stands}"))
        .with_help(format!("`{}`", written(field, field.example)))
        .with_repair(field.example)
}

pub(in crate::check) fn wants_thing(span: Span, field: &Field, kinds: &[&str], stands: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, format!("`{}` names {}", field.name, words::with_article(&kinds.join(" or "))))
        .with_label(span, format!("this is {stands}"))
        .with_help(format!("`{}: {}`, by its name", field.name, field.example))
}

pub(in crate::check) fn wrong_thing(span: Span, field: &Field, kind: &str, head: Span, kinds: &[&str]) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, format!("`{}` names {}", field.name, words::with_article(&kinds.join(" or "))))
        .with_label(span, format!("this is {}", words::with_article(kind)))
        .with_label(head, format!("the {kind}"))
        .with_help(format!("name {} here", words::with_article(&kinds.join(" or "))))
}

pub(in crate::check) fn wants_made(span: Span, field: &Field, f: Family, stands: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, format!("`{}` is {}", field.name, family(f)))
        .with_label(span, format!("this is {stands}"))
        .with_help(format!("`{}`", field.example))
        .with_repair(field.example)
}

pub(in crate::check) fn unknown_word(
    span: Span,
    text: &str,
    field: &Field,
    owner: &str,
    known: &[&'static str],
) -> Diagnostic {
    let d = Diagnostic::error(Code::UnknownWord, format!("`{}` of {owner} cannot be `{}`", field.name, shown(text)))
        .with_label(span, "this word is not one of its own");
    // The word alone: what stands in brackets behind it stays, and at a station its place stands before it.
    let d = match meant(text, known) {
        Some(n) => d.with_help(format!("`{n}`")).with_repair(n),
        None => d.with_help(format!("one of {}", words::any(known))),
    };
    d.with_note(format!("`{}` is {}", field.name, words::any(known)))
}

pub(in crate::check) fn unknown_part(name: &ast::Name, made: &str, known: &[&'static str], text: &str) -> Diagnostic {
    let n = shown(&name.value);
    let d = Diagnostic::error(Code::UnknownPart, format!("{made} has no part called `{n}`"))
        .with_label(name.span, "this part is not known");
    let d = match (words::synonym(&name.value, known), meant(&name.value, known)) {
        (Some((ours, what)), _) => {
            d.with_help(format!("{what} is `{ours}: {text}`")).with_repair(format!("{ours}: {text}"))
        }
        (None, Some(near)) => d.with_help(format!("`{near}: {text}`")).with_repair(format!("{near}: {text}")),
        (None, None) if matches!(n.as_str(), "radius" | "r") && known.contains(&"across") => {
            d.with_help("the width from side to side, twice the radius, is `across: …`")
        }
        (None, None) => d.with_help("take it away, or write one of its parts"),
    };
    if known.is_empty() {
        d.with_note(format!("{made} has no parts"))
    } else {
        d.with_note(format!("its parts are {}", words::all(known)))
    }
}

pub(in crate::check) fn unnamed_part(span: Span, made: &str, free: Option<&Field>, text: &str) -> Diagnostic {
    let d = Diagnostic::error(Code::UnnamedPart, format!("the parts of {made} are named"))
        .with_label(span, "which part is this?");
    match free {
        Some(f) => d.with_help(format!("`{made}({}: {text})`", f.name)).with_repair(format!("{}: {text}", f.name)),
        None => d.with_help(format!("write `{made}` alone")),
    }
}

pub(in crate::check) fn named_argument(name: &ast::Name, function: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongArguments, format!("the values of {function} have no names"))
        .with_label(name.span, "take this name away")
        .with_help(format!("write them in order: `{function}(x, y)`"))
}

pub(in crate::check) fn wrong_arguments(
    name: &ast::Name,
    least: usize,
    most: Option<usize>,
    given: usize,
    first: Option<Span>,
) -> Diagnostic {
    let wanted = match most {
        Some(m) if m == least => words::count(least as f64),
        Some(m) => format!("{least} to {m}"),
        None => format!("at least {}", words::count(least as f64)),
    };
    let noun = if wanted == "one" || wanted == "at least one" { "value" } else { "values" };
    let d = Diagnostic::error(Code::WrongArguments, format!("{} takes {wanted} {noun}", name.value))
        .with_label(name.span, format!("it is given {}", words::count(given as f64)));
    let d = match first {
        Some(span) => d.with_label(span, "it is named here"),
        None => d,
    };
    match schema::function(&name.value).filter(|_| first.is_none()) {
        Some(op) => d.with_help(format!("`{}({})`", op.name, op.form)),
        None => d.with_help(format!("give it {wanted} {noun}")),
    }
}

pub(in crate::check) fn function_cannot_take(name: &str, call: Span, inner: Diagnostic) -> Diagnostic {
    let mut d = Diagnostic::error(inner.code, format!("{name} cannot take these values: {}", inner.message))
        .with_label(call, "called here");
    d.labels.extend(inner.labels);
    d.help = inner.help;
    d.note = inner.note;
    d
}

pub(in crate::check) fn branches_differ(a: Span, ta: &Ty, b: Span, tb: &Ty) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, "both branches of an `if` give the same kind of value")
        .with_label(b, format!("this is {tb}"))
        .with_label(a, format!("this is {ta}"))
        .with_help("make them alike")
}

pub(in crate::check) fn not_alike(a: Span, ta: &Ty, b: Span, tb: &Ty) -> Diagnostic {
    Diagnostic::error(Code::MixedUnits, format!("{ta} is never equal to {tb}"))
        .with_label(b, format!("this is {tb}"))
        .with_label(a, format!("this is {ta}"))
        .with_help("compare like with like")
}

pub(in crate::check) fn power_with_unit(span: Span, dim: Dim) -> Diagnostic {
    Diagnostic::error(Code::MixedUnits, "a power is a plain number")
        .with_label(span, format!("this is {dim}"))
        .with_help("write the power without a unit: `x ^ 2`")
}

pub(in crate::check) fn power_of_unit(base: Span, dim: Dim, power: Span) -> Diagnostic {
    Diagnostic::error(Code::MixedUnits, format!("the power of {dim} is a written whole number"))
        .with_label(power, "the unit of the result depends on this")
        .with_label(base, format!("this is {dim}"))
        .with_help("write the power as a figure, such as `^ 2`, or take the unit off first: `(x / 1 mm) ^ n`")
}

pub(in crate::check) fn root_of_unit(span: Span, dim: Dim) -> Diagnostic {
    Diagnostic::error(Code::MixedUnits, format!("{dim} has no square root"))
        .with_label(span, "half a unit would be left")
        .with_help("take the root of an area or of a plain number")
}

pub(in crate::check) fn not_an_angle(span: Span, function: &str, dim: Dim, help: Option<String>) -> Diagnostic {
    let code = if dim == Dim::NONE { Code::BareNumber } else { Code::MixedUnits };
    let d = Diagnostic::error(code, format!("{function} takes an angle")).with_label(span, format!("this is {dim}"));
    match help {
        Some(h) => d.with_help(format!("`{function}({h})`")).with_repair(h),
        None => d.with_help("give it an angle, such as `30 deg`"),
    }
}

pub(in crate::check) fn by_in_by(span: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, "a size within a size")
        .with_label(span, "this is a size already")
        .with_help("write `a by b by c`, without brackets")
}

pub(in crate::check) fn unknown_unit(word: &str, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::UnknownUnit, format!("`{}` is no unit", shown(word)))
        .with_label(span, "this unit is not known");
    match nearest(word, crate::units::UNITS.iter().map(|u| u.word)) {
        Some(n) => d.with_help(format!("`{n}`")).with_repair(n),
        None => d.with_help("write one of mm, cm, m, in, ft, deg, g, kg, oz, lb, s, min, h …"),
    }
}

pub(in crate::check) fn compound_mixed(span: Span, large: &str, small: &str) -> Diagnostic {
    Diagnostic::error(Code::MixedUnits, format!("`{large}` and `{small}` do not make one number"))
        .with_label(span, "these measure different things")
        .with_help("`5 ft 3 in` and `1 h 30 min` are one number each")
}

pub(in crate::check) fn price_with_unit(span: Span, unit: &At<String>) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, "money has no unit")
        .with_label(unit.span, "take this unit away")
        .with_label(span, "in this price")
        .with_help("`9.40 per m`")
}

pub(in crate::check) fn number_too_large(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NumberTooLarge, "this number is too large")
        .with_label(span, "larger than any prop")
        .with_help("look at its powers and units")
}

pub(in crate::check) fn ratio_to_nothing(span: Span) -> Diagnostic {
    Diagnostic::error(Code::DividedByNothing, "this ratio has nothing on its right")
        .with_label(span, "to zero")
        .with_help("`3:2`")
}

pub(in crate::check) fn bad_date(span: Span, text: &str) -> Diagnostic {
    Diagnostic::error(Code::BadDate, format!("\"{}\" is no date", shown(text)))
        .with_label(span, "year, month and day are wanted")
        .with_help("`\"2031-06-14\"`: four figures, two, two, and a day the month has")
}

pub(in crate::check) fn too_deep(span: Span) -> Diagnostic {
    Diagnostic::error(Code::TooDeep, "this value stands too deep within others")
        .with_label(span, "followed no further")
        .with_help("name part of it with `let`")
}
