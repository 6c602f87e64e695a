//! The file as a whole: the prop, the wearer, loops of use, limits, stages, what is not built.

use super::super::state::Unbuilt;
use super::super::words;
use crate::ast;
use crate::diag::{Code, Diagnostic, nearest, shown};
use crate::span::Span;

/// One step of a loop: `from` needs `to`, said at `span`.
#[derive(Clone, Debug)]
pub(in crate::check) struct Link {
    pub from: String,
    pub to: String,
    pub span: Span,
}

/// Most steps of a loop that are shown one by one.
const SHOWN: usize = 12;

fn with_links(mut d: Diagnostic, links: &[Link]) -> Diagnostic {
    for l in links.iter().take(SHOWN) {
        d = d.with_label(l.span, format!("{} needs {}", l.from, l.to));
    }
    if links.len() > SHOWN {
        d = d.with_note(format!("and {} steps more, back to {}", links.len() - SHOWN, links[0].from));
    }
    d
}

pub(in crate::check) fn goes_round(links: &[Link]) -> Diagnostic {
    let message = match links {
        [one] => format!("{} waits for itself", one.from),
        _ => "these values wait for each other".to_owned(),
    };
    let d = Diagnostic::error(Code::GoesRound, message);
    let help = if links.len() == 1 { "give it a figure of its own" } else { "give one of them a figure of its own" };
    with_links(d, links).with_help(help)
}

pub(in crate::check) fn calls_itself(name: &ast::Name, links: &[Link]) -> Diagnostic {
    let d = Diagnostic::error(Code::CallsItself, format!("{} comes back to itself", name.value));
    with_links(d, links).with_help("write it without calling itself: functions do not recurse")
}

pub(in crate::check) fn recipe_in_itself(kind: &ast::Name, first: Span) -> Diagnostic {
    Diagnostic::error(Code::CallsItself, format!("the recipe {} is used within itself", kind.value))
        .with_label(kind.span, "this would never end")
        .with_label(first, "the recipe")
        .with_help("repeat with `for` instead")
}

pub(in crate::check) fn fact_decides(here: Span, fact: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::FactDecides, "how many things there are cannot wait for a measured fact")
        .with_label(here, if here == fact { "a fact of the geometry" } else { "this rests on a fact of the geometry" });
    let d = if here == fact { d } else { d.with_label(fact, "the fact") };
    d.with_help("reckon it from settings, values and the wearer's measures")
        .with_note("values of fields may read facts: `if … then … else` within a value is free to")
}

pub(in crate::check) fn too_many_things(span: Span, most: usize) -> Diagnostic {
    Diagnostic::error(Code::TooManyThings, format!("there are more than {} things after all loops", thousands(most)))
        .with_label(span, "this one is too many, and all that follow")
        .with_help("look at the ends of the loops")
}

pub(in crate::check) fn too_many_values(span: Span, most: usize) -> Diagnostic {
    Diagnostic::error(Code::TooManyThings, format!("there are more than {} values after all loops", thousands(most)))
        .with_label(span, "this one is too many, and all that follow")
        .with_help("look at the ends of the loops, or write what is the same in every turn before them")
}

pub(in crate::check) fn too_many_turns(span: Span, most: usize) -> Diagnostic {
    Diagnostic::error(Code::TooManyThings, format!("a loop turns more than {} times", thousands(most)))
        .with_label(span, "so many")
        .with_help("look at its ends")
}

pub(in crate::check) fn too_many_named(span: Span, most: usize) -> Diagnostic {
    Diagnostic::error(Code::TooManyThings, format!("names of several stand for more than {} things", thousands(most)))
        .with_label(span, "here it becomes too many")
        .with_help("speak of one of them, in a loop, or of all of them once")
}

fn thousands(n: usize) -> String {
    if n >= 1_000_000 {
        format!("{},{:03},{:03}", n / 1_000_000, n / 1000 % 1000, n % 1000)
    } else if n >= 1000 {
        format!("{},{:03}", n / 1000, n % 1000)
    } else {
        n.to_string()
    }
}

pub(in crate::check) fn too_late(at: Span, fact: Option<Span>, _whole: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::TooLate, "this is known only after the pieces are laid out and weighed")
        .with_label(at, "too late to shape or place anything");
    let d = match fact {
        Some(span) => d.with_label(span, "it reads this"),
        None => d,
    };
    d.with_help("read a fact of the geometry instead, or state it in a `require`")
        .with_note("such facts may stand in require, limit and hang, and in the mass of contents")
}

pub(in crate::check) fn no_prop() -> Diagnostic {
    Diagnostic::error(Code::NoProp, "this file has no prop")
        .with_help("add `prop NAME { title: \"…\", of: foam5 }`")
        .with_repair("prop my_prop { title: \"My prop\", of: foam5 }")
}

pub(in crate::check) fn two_props(span: Span, first: Span) -> Diagnostic {
    Diagnostic::error(Code::TwoProps, "there are two props")
        .with_label(span, "the second")
        .with_label(first, "the first")
        .with_help("keep one, or put the other in a file of its own")
}

pub(in crate::check) fn no_such_card(name: &ast::Name, near: Option<&str>) -> Diagnostic {
    let n = shown(&name.value);
    let d = Diagnostic::error(Code::NotCard, format!("there is no stock called `{n}`"))
        .with_label(name.span, "the mock-up is to be cut from this");
    match near {
        Some(near) if near != name.value => d.with_help(format!("`--card {near}`")),
        _ => d.with_help("leave `--card` out for the shelf's own `card`, or name a stock of yours that is `as: card`"),
    }
}

pub(in crate::check) fn not_card(name: &ast::Name, sort: &str, head: Span) -> Diagnostic {
    let n = shown(&name.value);
    Diagnostic::error(Code::NotCard, format!("`{n}` is no card"))
        .with_label(name.span, "the mock-up is to be cut from this")
        .with_label(head, format!("this is {sort}"))
        .with_help("`--card board2` is grey board from the shelf; a stock of yours must be `as: card`")
        .with_note("a mock-up has the thickness of card and is folded and glued as card is")
}

pub(in crate::check) fn unknown_wearer(name: &str, span: Option<Span>, known: &[String]) -> Diagnostic {
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    let d = Diagnostic::error(Code::UnknownWearer, format!("there is no wearer called `{}`", shown(name)));
    let d = match span {
        Some(span) => d.with_label(span, "the prop names its wearer here"),
        None => d,
    };
    let d = match nearest(name, known.iter().copied()) {
        Some(n) => d.with_help(format!("`--wearer {n}`")).with_repair(n),
        None => d.with_help("name one of the wearers there are"),
    };
    d.with_note(format!("the wearers are {}", words::all(&known)))
}

pub(in crate::check) fn no_wearer(span: Span, prop: Option<Span>) -> Diagnostic {
    let d = Diagnostic::error(Code::NoWearer, "this speaks of the wearer, and the prop names none")
        .with_label(span, "whose?");
    let d = match prop {
        Some(p) => d.with_label(p, "add the wearer here"),
        None => d,
    };
    d.with_help("add `wearer: NAME` to the prop, and `wearer NAME { … }` with the measures").with_repair("wearer: NAME")
}

pub(in crate::check) fn not_built(name: &str, u: &Unbuilt) -> Diagnostic {
    let message = if u.whole {
        format!("`{name}` ({}) is not built yet", u.what.trim_matches('`'))
    } else {
        format!("{} of `{name}` is not built yet", u.what)
    };
    Diagnostic::unbuilt(message, u.span)
}

pub(in crate::check) fn require_rests_on_unbuilt(span: Span, root: &str) -> Diagnostic {
    Diagnostic::note(
        Code::NotBuiltYet,
        format!("this requirement is not answered: it rests on `{root}`, which is not built yet"),
    )
    .with_label(span, "not answered")
}
