//! What things stand on, and what they must have.

use super::super::words;
use crate::ast;
use crate::design::Relation;
use crate::diag::{Code, Diagnostic};
use crate::schema::{self, Constructor, Field, Hosts};
use crate::span::Span;

fn relation(r: Relation) -> &'static str {
    match r {
        Relation::On => "on",
        Relation::In => "in",
        Relation::Over => "over",
        Relation::Beside => "beside",
    }
}

/// An example of what a kind stands on.
fn example_target(kind: &schema::Kind) -> &'static str {
    match kind.target.things {
        Hosts::Edge => "body.bottom",
        Hosts::Strap | Hosts::StrapOrAttachment => "sling",
        Hosts::Attachment => "ring",
        _ => "body",
    }
}

fn hosts_in_words(hosts: Hosts) -> &'static str {
    match hosts {
        Hosts::Nothing => "nothing",
        Hosts::Part => "a part: a shell, dome, plate, cap or keel",
        Hosts::Edge => "an edge of a part, such as `body.bottom`",
        Hosts::PartOrEdge => "a part or one of its edges",
        Hosts::Strap => "a strap",
        Hosts::Attachment => "an attachment",
        Hosts::StrapOrAttachment => "a strap or attachments",
        Hosts::Anything => "a part or anything fitted to one",
    }
}

pub(in crate::check) fn missing_target(thing: &ast::Thing, kind: &schema::Kind) -> Diagnostic {
    let word = kind.target.words.first().map_or("on", |r| relation(*r));
    let repair = format!("{} {word} {}", thing.name.value, example_target(kind));
    Diagnostic::error(Code::MissingTarget, format!("{} stands {word} something", words::with_article(kind.word)))
        .with_label(thing.name.span, "what it stands on is missing")
        .with_help(format!("`{} {repair} {{ … }}`", kind.word))
        .with_repair(repair)
        .with_note(format!("{} stands {word} {}", words::with_article(kind.word), hosts_in_words(kind.target.things)))
}

pub(in crate::check) fn no_target(span: Span, kind: &str) -> Diagnostic {
    Diagnostic::error(Code::WrongTarget, format!("{} stands on nothing", words::with_article(kind)))
        .with_label(span, "take this away")
        .with_help(format!("`{kind} NAME {{ … }}`"))
}

pub(in crate::check) fn wrong_preposition(span: Span, kind: &schema::Kind) -> Diagnostic {
    let words: Vec<&str> = kind.target.words.iter().map(|r| relation(*r)).collect();
    let d = Diagnostic::error(
        Code::WrongTarget,
        format!("{} stands {} something", words::with_article(kind.word), words.join(" or ")),
    )
    .with_label(span, "this word does not go with it");
    match words.first() {
        Some(w) => d.with_help(words::any(&words)).with_repair(*w),
        None => d.with_help("take the target away"),
    }
}

pub(in crate::check) fn wrong_target(
    span: Span,
    kind: &schema::Kind,
    host: &str,
    host_kind: &schema::Kind,
    head: Span,
    edge: Option<&str>,
) -> Diagnostic {
    let what = match edge {
        Some(e) => format!("`{host}.{e}`, an edge"),
        None => format!("`{host}`, {}", words::with_article(host_kind.word)),
    };
    let d = Diagnostic::error(Code::WrongTarget, format!("{} cannot stand there", words::with_article(kind.word)))
        .with_label(span, format!("this is {what}"))
        .with_label(head, format!("{host} is this"))
        .with_note(format!("{} stands on {}", words::with_article(kind.word), hosts_in_words(kind.target.things)));
    match (kind.target.things, edge, host_kind.edges.first()) {
        (Hosts::Edge, None, Some(first)) => {
            let closes = kind.kind == crate::design::Kind::Cap;
            let all: Vec<String> = host_kind
                .edges
                .iter()
                .filter(|e| e.name != "edges" && !(closes && e.name == "seam"))
                .map(|e| format!("{host}.{}", e.name))
                .collect();
            let all: Vec<&str> = all.iter().map(String::as_str).collect();
            d.with_help(words::any(&all)).with_repair(format!("{host}.{}", first.name))
        }
        (Hosts::Part, Some(_), _) => d.with_help(format!("`{host}`")).with_repair(host),
        _ => d.with_help(format!("put it on {}", hosts_in_words(kind.target.things))),
    }
}

pub(in crate::check) fn one_target(span: Span, kind: &str, several: usize) -> Diagnostic {
    Diagnostic::error(Code::WrongTarget, format!("{} stands on one thing", words::with_article(kind)))
        .with_label(span, format!("these are {several}"))
        .with_help(format!("write one {kind} for each, with `for`"))
}

pub(in crate::check) fn not_a_target(span: Span, ty: &impl std::fmt::Display) -> Diagnostic {
    Diagnostic::error(Code::WrongTarget, "nothing can stand on this")
        .with_label(span, format!("this is {ty}"))
        .with_help("name a thing or one of its edges")
}

pub(in crate::check) fn missing_field(thing: &ast::Thing, kind: &schema::Kind, field: &Field) -> Diagnostic {
    let name = field.name;
    Diagnostic::error(Code::MissingField, format!("{} `{}` needs its `{name}`", kind.word, thing.name.value))
        .with_label(thing.head(), format!("`{name}` is missing"))
        .with_help(format!("add `{name}: {}`", field.example))
        .with_repair(format!("{name}: {}", field.example))
        .with_note(format!("{name}: {}", field.doc))
}

pub(in crate::check) fn missing_way_of_thing(thing: &ast::Thing, kind: &schema::Kind) -> Diagnostic {
    let fields: Vec<String> = kind.ways.iter().map(|w| w.join(" and ")).collect();
    let example = kind
        .ways
        .first()
        .and_then(|w| w.first())
        .and_then(|n| kind.field(n))
        .map_or_else(String::new, |f| format!("{}: {}", f.name, f.example));
    let all: Vec<&str> = fields.iter().map(String::as_str).collect();
    Diagnostic::error(
        Code::MissingField,
        format!("{} `{}` needs its {}", kind.word, thing.name.value, words::any(&all)),
    )
    .with_label(thing.head(), "one of them is missing")
    .with_help(format!("add `{example}`"))
    .with_repair(example)
}

pub(in crate::check) fn missing_part(span: Span, c: &Constructor, f: &Field) -> Diagnostic {
    Diagnostic::error(Code::MissingPart, format!("{} needs its `{}`", c.name, f.name))
        .with_label(span, format!("`{}` is missing", f.name))
        .with_help(format!("add `{}: {}`: `{}`", f.name, f.example, c.example))
        .with_repair(c.example)
        .with_note(format!("{}: {}", f.name, f.doc))
}

pub(in crate::check) fn missing_way(span: Span, name: &str, ways: &[&[&str]], example: &str) -> Diagnostic {
    let all: Vec<String> = ways.iter().map(|w| w.join("` and `")).collect();
    let all: Vec<&str> = all.iter().map(String::as_str).collect();
    Diagnostic::error(Code::MissingPart, format!("{name} needs its {}", words::any(&all)))
        .with_label(span, "its size is missing")
        .with_help(format!("`{example}`"))
        .with_repair(example)
}

pub(in crate::check) fn no_stock(head: Span, kind: &str, prop: Span, f: &Field) -> Diagnostic {
    Diagnostic::error(Code::NoStock, format!("nothing says what this {kind} is made of"))
        .with_label(head, format!("it has no `{}`", f.name))
        .with_label(prop, "nor has the prop")
        .with_help(format!("add `{}: {}` to the prop, or to the {kind}", f.name, f.example))
        .with_repair(format!("{}: {}", f.name, f.example))
}

pub(in crate::check) fn station_out_of_place(span: Span, kind: &str) -> Diagnostic {
    Diagnostic::error(Code::Misplaced, format!("{} has no stations", words::with_article(kind)))
        .with_label(span, "a station belongs in a shell")
        .with_help("take this line away")
}

pub(in crate::check) fn too_few_stations(head: Span, only: Option<Span>) -> Diagnostic {
    let d = Diagnostic::error(Code::TooFewStations, "a shell runs between two stations");
    match only {
        Some(span) => d
            .with_label(span, "this is the only one")
            .with_label(head, "of this shell")
            .with_help("make it a stretch, `at 0 mm to 90 mm: …`, or add a second place"),
        None => d
            .with_label(head, "it has none")
            .with_help("add `at 0 mm to 90 mm: circle(across: 70 mm)`")
            .with_repair("at 0 mm to 90 mm: circle(across: 70 mm)"),
    }
    .with_note("only a shell in or over another may have none, and copies that one")
}
