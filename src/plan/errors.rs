//! The faults of planning, one constructor each.

use super::limits::Spec;
use crate::diag::{Code, Diagnostic};
use crate::eval::say::number;
use crate::ledger::{Held, Shopping};
use crate::span::Span;

/// A length to a tenth of a millimetre.
fn mm(x: f64) -> String {
    format!("{} mm", number((x * 10.0).round() / 10.0))
}

/// A length rounded up to whole millimetres: what is enough.
fn enough(x: f64) -> f64 {
    (x - 1e-6).ceil()
}

/// A mass to a tenth of a gram.
fn grams(x: f64) -> String {
    format!("{} g", number((x * 10.0).round() / 10.0))
}

fn boxed(s: &[f64]) -> String {
    s.iter().map(|x| mm(*x)).collect::<Vec<_>>().join(" by ")
}

fn all(names: &[String]) -> String {
    names.join(", ")
}

/// "of 450 mm", or what is left of it.
fn most(held: &Held, say: impl Fn(f64) -> String) -> String {
    let allowed = held.allowed.first().copied().unwrap_or_default();
    if held.spare > 0.0 { format!("{}, less {} to spare", say(allowed), say(held.spare)) } else { say(allowed) }
}

/// Kept as asked, and answered by a later version. A note: everything is made.
fn not_answered_yet(what: &str, span: Span) -> Diagnostic {
    Diagnostic::note(Code::NotAnsweredYet, format!("{what} is kept as asked, not answered yet"))
        .with_label(span, "it stands in the report as it is asked")
        .with_note("everything in the file is made")
}

/// Part of the language, not of this version. A note: everything else is made.
pub(super) fn not_built_yet(what: &str, span: Span) -> Diagnostic {
    Diagnostic::note(Code::NotBuiltYet, format!("{what} is not built yet"))
        .with_label(span, "this version goes no further with it")
        .with_note("everything else in the file is produced")
}

pub(super) fn hang_not_answered(name: &str, span: Span) -> Diagnostic {
    not_answered_yet(&format!("how `{name}` hangs"), span)
}

pub(super) fn work_not_answered(prop: &str, asked: &[(&str, Span)]) -> Diagnostic {
    let names: Vec<String> = asked.iter().map(|(name, _)| format!("`{name}`")).collect();
    not_answered_yet(&format!("{} of `{prop}`", names.join(", ")), asked[0].1)
}

/// The dearest lines that are named when a budget is passed.
const DEAREST: usize = 3;

/// Cents as money.
fn money(cents: i64) -> String {
    crate::ledger::money(cents)
}

pub(super) fn over_budget(shopping: &Shopping, budget: i64, span: Span) -> Diagnostic {
    let total = money(shopping.total);
    let over = money(shopping.total.saturating_sub(budget));
    let mut dear: Vec<(&str, i64)> =
        shopping.lines.iter().filter_map(|l| Some((l.name.as_str(), l.cents.ok().filter(|c| *c > 0)?))).collect();
    dear.sort_by_key(|(_, cents)| std::cmp::Reverse(*cents));
    let dear: Vec<String> = dear.iter().take(DEAREST).map(|(n, c)| format!("{n} {}", money(*c))).collect();
    let open: Vec<String> = shopping.open().map(|(n, _)| n.to_owned()).collect();
    let open = if open.is_empty() { String::new() } else { format!("; not priced: {}", all(&open)) };
    Diagnostic::error(Code::OverBudget, format!("over budget: what is to be bought costs {total}"))
        .with_label(span, format!("at most {}: {over} too much", money(budget)))
        .with_help(format!("save {over}, say what you `have`, or allow `budget: {total}`"))
        .with_repair(total)
        .with_note(format!("dearest: {}{open}", dear.join(", ")))
}

pub(super) fn budget_not_proven(shopping: &Shopping, span: Span) -> Diagnostic {
    let open: Vec<String> = shopping.open().map(|(n, _)| n.to_owned()).collect();
    Diagnostic::warning(Code::LimitNotProven, "the budget is not proven: nothing to buy has a price")
        .with_label(span, "this is held against no price")
        .with_help("give what is bought a `price`: `price: 7.80`, `price: 9.40 per m`")
        .with_note(format!("not priced: {}", all(&open)))
}

pub(super) fn not_weighed(name: &str, missing: &[String], span: Span) -> Diagnostic {
    Diagnostic::error(Code::NotWeighed, format!("the mass of {name} is not known"))
        .with_label(span, "this asks for it")
        .with_help("give what they are of a `density`, or a `mass` of one")
        .with_note(format!("not weighed: {}", all(missing)))
}

pub(super) fn limits_nothing(name: &str, span: Span) -> Diagnostic {
    Diagnostic::warning(Code::LimitsNothing, format!("{name} limits nothing"))
        .with_label(span, "no figure that could be passed")
        .with_help("give it one: `mass: 450 g`, `long: 90 cm`")
}

pub(super) fn too_heavy(spec: &Spec, held: &Held, heaviest: &[(String, f64)], span: Span) -> Diagnostic {
    let found = held.found[0];
    let over = found - (held.allowed[0] - held.spare);
    let need = number(enough(found + held.spare));
    let list: Vec<String> = heaviest.iter().map(|(n, m)| format!("{n} {}", grams(*m))).collect();
    let open = if held.missing.is_empty() { String::new() } else { format!("; not weighed: {}", all(&held.missing)) };
    Diagnostic::error(Code::PastLimit, format!("too heavy for {}: {}", spec.name, grams(found)))
        .with_label(span, format!("at most {}: {} too much", most(held, grams), grams(over)))
        .with_help(format!("save {}, or allow `mass: {need} g`", grams(over)))
        .with_repair(format!("{need} g"))
        .with_note(format!("heaviest: {}{open}", list.join(", ")))
}

pub(super) fn mass_not_proven(spec: &Spec, held: &Held, span: Span) -> Diagnostic {
    Diagnostic::warning(Code::LimitNotProven, format!("{} is not proven: not everything is weighed", spec.name))
        .with_label(span, format!("{} are weighed of {}", grams(held.found[0]), most(held, grams)))
        .with_help("give what they are of a `density`, or a `mass` of one")
        .with_note(format!("not weighed: {}", all(&held.missing)))
}

pub(super) fn too_long(spec: &Spec, held: &Held, span: Span) -> Diagnostic {
    let need = number(enough(held.found[0] + held.spare));
    Diagnostic::error(Code::PastLimit, format!("too long for {}: {}", spec.name, mm(held.found[0])))
        .with_label(span, format!("at most {}", most(held, mm)))
        .with_help(format!("shorten it, or allow `long: {need} mm`"))
        .with_repair(format!("{need} mm"))
        .with_note(
            "measured along the axes of the part, or of the prop when there are several, sheet parts and cores only",
        )
}

pub(super) fn reaches_too_far(spec: &Spec, held: &Held, part: &str, span: Span) -> Diagnostic {
    let need = number(enough(held.found[0] + held.spare));
    Diagnostic::error(Code::PastLimit, format!("{part} reaches too far for {}: {}", spec.name, mm(held.found[0])))
        .with_label(span, format!("at most {}", most(held, mm)))
        .with_help(format!("bring it in, or allow `reach: {need} mm`"))
        .with_repair(format!("{need} mm"))
        .with_note("measured from the upright axis through the prop's middle, sheet parts and cores only")
}

pub(super) fn not_in_the_box(spec: &Spec, names: &[&str], found: [f64; 3], room: [f64; 3], span: Span) -> Diagnostic {
    let spare =
        if spec.spare_length > 0.0 { format!(" less {} each way", mm(spec.spare_length)) } else { String::new() };
    let need: Vec<String> =
        found.iter().zip(room).map(|(f, r)| format!("{} mm", number(enough((f + spec.spare_length).max(r))))).collect();
    let need = need.join(" by ");
    let what = match names {
        [one] => (*one).to_owned(),
        [first, rest @ ..] => format!("{first} with {}", rest.join(", ")),
        [] => String::new(),
    };
    Diagnostic::error(Code::PastLimit, format!("{what} does not go in the box of {}", spec.name))
        .with_label(span, format!("it takes {} at best of {}{spare}", boxed(&found), boxed(&room)))
        .with_help(format!("make it smaller or to come apart, or allow `packed: {need}`"))
        .with_repair(need)
        .with_note(
            "what is glued stays together and was tried upright, lying and turned about its axis, each by itself; not \
             on the slant",
        )
}

pub(super) fn no_box_left(spec: &Spec, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PastLimit, format!("nothing is left of the box of {}", spec.name))
        .with_label(span, format!("less {} to spare each way", mm(spec.spare_length)))
        .with_help("spare less, or allow a larger box")
}

pub(super) fn caution_forbidden(spec: &Spec, word: &str, name: &str, head: Span) -> Diagnostic {
    Diagnostic::error(Code::CautionForbidden, format!("`{name}` carries the caution `{word}`"))
        .with_label(spec.without_span, format!("{} is to be without it", spec.name))
        .with_label(head, "it is used, and warns of this")
        .with_help(format!("take another in its place, or allow `{word}`"))
}

pub(super) fn glue_not_named(spec: &Spec, word: &str) -> Diagnostic {
    Diagnostic::warning(Code::LimitNotProven, format!("{} is not proven: no glue is named", spec.name))
        .with_label(spec.without_span, format!("seams are glued, perhaps with `{word}`"))
        .with_help("describe your glue: `supply my_glue { as: adhesive, cautions: [skin] }`")
}
