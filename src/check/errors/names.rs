//! Names: taken, unknown, out of place.

use super::super::words;
use crate::ast;
use crate::design;
use crate::diag::{Code, Diagnostic, nearest, shown};
use crate::schema::{self, Field};
use crate::span::Span;

/// The known word a maker probably meant: another word for it, or a slip of the pen.
pub(in crate::check) fn meant(word: &str, known: &[&'static str]) -> Option<&'static str> {
    words::synonym(word, known)
        .map(|(ours, _)| ours)
        .or_else(|| nearest(word, known.iter().copied()))
        .or_else(|| words::near_synonym(word, known))
}

pub(in crate::check) fn misplaced(word: &str, span: Span, why: &str) -> Diagnostic {
    Diagnostic::error(Code::Misplaced, format!("`{}` stands where it does not belong", shown(word)))
        .with_label(span, "this means nothing here")
        .with_help(why)
}

pub(in crate::check) fn word_taken(name: &ast::Name) -> Diagnostic {
    let n = &name.value;
    Diagnostic::error(Code::WordTaken, format!("`{n}` is a word of the language and cannot be a name"))
        .with_label(name.span, "this word has its own meaning")
        .with_help(format!("call it something else, such as `my_{n}`"))
        .with_repair(format!("my_{n}"))
        .with_note("words of place, constants and functions mean the same everywhere")
}

/// Two things of one name. For two things `clash` tells what stands here and what stood there first.
pub(in crate::check) fn name_taken(
    name: &ast::Name,
    first: Span,
    clash: Option<(&ast::Thing, &schema::Kind, &design::Thing)>,
) -> Diagnostic {
    let n = &name.value;
    let d = match &clash {
        Some((_, _, other)) => {
            let what = schema::kind_of(other.kind).word;
            Diagnostic::error(Code::NameTaken, format!("two things are called `{n}`"))
                .with_label(name.span, "this name is taken")
                .with_label(first, format!("the {what} of that name"))
        }
        None => Diagnostic::error(Code::NameTaken, format!("the name `{n}` is given twice"))
            .with_label(name.span, "this name is taken")
            .with_label(first, "it was given first here"),
    };
    match clash {
        Some((thing, kind, other)) if kind.kind != other.kind && thing.target.is_none() && kind.target.required => {
            let (first_word, word) = (schema::kind_of(other.kind).word, kind.word);
            d.with_help(format!("`{word} NAME on {n} {{ … }}`, if the {first_word} is what it is for"))
                .with_repair(format!("NAME on {n}"))
        }
        _ => d.with_help(format!("rename one of them, such as `{n}_2`")).with_repair(format!("{n}_2")),
    }
    .with_note("all files of a prop share one space of names")
}

pub(in crate::check) fn recipe_is_kind(name: &ast::Name) -> Diagnostic {
    let n = &name.value;
    Diagnostic::error(Code::NameTaken, format!("`{n}` is a kind of the language"))
        .with_label(name.span, "a recipe cannot take its name")
        .with_help(format!("call the recipe something else, such as `my_{n}`"))
        .with_repair(format!("my_{n}"))
}

pub(in crate::check) fn recipe_with_target(span: Span) -> Diagnostic {
    Diagnostic::error(Code::Misplaced, "a recipe stands on nothing itself")
        .with_label(span, "take this away")
        .with_help("inside the recipe `host` is what each use stands on")
}

pub(in crate::check) fn unknown_kind(kind: &ast::Name, known: &[&str]) -> Diagnostic {
    let d = Diagnostic::error(Code::UnknownKind, format!("there is no kind of thing called `{}`", shown(&kind.value)))
        .with_label(kind.span, "a thing starts with its kind");
    let d = match nearest(&kind.value, known.iter().copied()) {
        Some(n) => d.with_help(format!("`{n}`")).with_repair(n),
        None => d.with_help("write one of the kinds there are, or make your own with `recipe`"),
    };
    d.with_note(format!("the kinds are {}", words::all(known)))
}

pub(in crate::check) fn unknown_name(name: &ast::Name, near: Option<&str>) -> Diagnostic {
    let n = shown(&name.value);
    let d = Diagnostic::error(Code::UnknownName, format!("nothing is called `{n}`"))
        .with_label(name.span, "this name is not known here");
    match near {
        Some(near) => d.with_help(format!("`{near}`")).with_repair(near),
        None => d.with_help(format!("name a value with `let {n} = …`, or a thing, or check the spelling")),
    }
}

pub(in crate::check) fn in_untaken_branch(name: &ast::Name, first: Span) -> Diagnostic {
    Diagnostic::error(Code::UnknownName, format!("`{}` is not there in this run", name.value))
        .with_label(name.span, "this speaks of it")
        .with_label(first, "it stands in a branch of `if` that does not hold")
        .with_help("put what speaks of it in the same branch")
}

pub(in crate::check) fn unknown_function(name: &ast::Name, near: Option<&str>) -> Diagnostic {
    let n = shown(&name.value);
    let d = Diagnostic::error(Code::UnknownName, format!("there is no function or form called `{n}`"))
        .with_label(name.span, "this is not known");
    match near {
        Some(near) => d.with_help(format!("`{near}(…)`")).with_repair(near),
        None => d.with_help(format!("name a function with `let {n}(x) = …`")),
    }
}

pub(in crate::check) fn not_a_function(name: &ast::Name, first: Span) -> Diagnostic {
    let n = &name.value;
    Diagnostic::error(Code::WrongArguments, format!("`{n}` is no function"))
        .with_label(name.span, "this takes no values")
        .with_label(first, "it is named here")
        .with_help(format!("write `{n}` alone"))
}

pub(in crate::check) fn function_without_values(name: &ast::Name, first: Span) -> Diagnostic {
    let n = &name.value;
    Diagnostic::error(Code::WrongArguments, format!("`{n}` is a function and wants its values"))
        .with_label(name.span, "its values are missing")
        .with_label(first, "it is named here")
        .with_help(format!("write `{n}(…)`"))
}

pub(in crate::check) fn no_host(span: Span) -> Diagnostic {
    Diagnostic::error(Code::UnknownName, "there is no host here")
        .with_label(span, "`host` is what the use of a recipe stands on")
        .with_help("speak of `host` inside a recipe, and give its use a target: `NAME mine on body { … }`")
}

pub(in crate::check) fn recipe_as_value(name: &ast::Name) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, format!("`{}` is a recipe, not a thing or value", name.value))
        .with_label(name.span, "this is a kind of your own")
        .with_help(format!("use it as a kind: `{} NAME on … {{ }}`", name.value))
}

pub(in crate::check) fn use_as_value(name: &ast::Name) -> Diagnostic {
    Diagnostic::error(Code::WrongValue, format!("`{}` is the use of a recipe, which holds several things", name.value))
        .with_label(name.span, "say which of them")
        .with_help(format!("`{}.NAME`, with a name from the recipe", name.value))
}

pub(in crate::check) fn no_such_inner(head: &ast::Name, name: &ast::Name, known: &[String]) -> Diagnostic {
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    let d =
        Diagnostic::error(Code::UnknownName, format!("{} holds nothing called `{}`", head.value, shown(&name.value)))
            .with_label(name.span, "no thing of the recipe has this name");
    match nearest(&name.value, known.iter().copied()) {
        Some(n) => d.with_help(format!("`{}.{n}`", head.value)).with_repair(n),
        None => d.with_help(format!("it holds {}", words::all(&known))),
    }
}

pub(in crate::check) fn no_such_number(head: &ast::Name, i: i64, at: Span, known: &[i64]) -> Diagnostic {
    let n = &head.value;
    let d = Diagnostic::error(Code::UnknownName, format!("there is no `{n}[{i}]`"));
    match (known.first(), known.last()) {
        (Some(a), Some(b)) => {
            d.with_label(at, format!("`{n}` goes from {a} to {b}")).with_help(format!("`{n}[{a}]` to `{n}[{b}]`"))
        }
        _ => d.with_label(at, format!("there is one `{n}` only")).with_help(format!("write `{n}` alone")),
    }
}

pub(in crate::check) fn not_numbered(said: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::UnknownName, format!("`{said}` has no numbers"))
        .with_label(span, "the number in brackets picks nothing here")
        .with_help(format!("write `{said}` alone; a number stands right behind a thing's name"))
}

pub(in crate::check) fn unknown_setting(name: &str, span: Span, known: &[&str]) -> Diagnostic {
    let d = Diagnostic::error(Code::UnknownSetting, format!("the prop has no setting called `{}`", shown(name)))
        .with_label(span, "this value is for no one");
    let d = match nearest(name, known.iter().copied()) {
        Some(n) => d.with_help(format!("`--set {n}=…`")).with_repair(n),
        None if known.is_empty() => return d.with_help("take it away: the prop has no settings"),
        None => d.with_help("set one of the settings there are"),
    };
    d.with_note(format!("its settings are {}", words::all(known)))
}

pub(in crate::check) fn unknown_field(
    key: &ast::Name,
    owner: &str,
    known: &[&str],
    value: Option<&ast::Expr>,
) -> Diagnostic {
    let k = shown(&key.value);
    let d = Diagnostic::error(Code::UnknownField, format!("{owner} has no field called `{k}`"))
        .with_label(key.span, "this field is not known");
    let tail = value.map_or("…".to_owned(), super::super::say::expr);
    let fields: Vec<&'static str> = schema::kind(owner)
        .map(|s| s.fields.iter().map(|f| f.name).filter(|f| known.contains(f)).collect())
        .unwrap_or_default();
    let d = match (words::synonym(&key.value, &fields), nearest(&key.value, known.iter().copied())) {
        (Some((ours, what)), _) => d.with_help(format!("{what} is `{ours}: {tail}`")).with_repair(ours),
        (None, Some(near)) => d.with_help(format!("`{near}: {tail}`")).with_repair(near),
        (None, None) => match words::kin(&key.value, known).as_slice() {
            [] => d.with_help("take it away, or write one of its fields"),
            kin => d.with_help(format!("{}, if that is meant", words::any(kin))),
        },
    };
    d.with_note(format!("its fields are {}", words::listed(known, owner)))
}

pub(in crate::check) fn other_sort(key: &ast::Name, kind: &schema::Kind, sort: &str, other: &Field) -> Diagnostic {
    Diagnostic::error(Code::OtherSort, format!("a {sort} has no `{}`", key.value))
        .with_label(key.span, format!("this belongs to {}", words::any(other.sorts)))
        .with_help(format!("take it away, or write `as: {}`", other.sorts.first().unwrap_or(&"…")))
        .with_note(format!("in {} `{}` is: {}", words::with_article(kind.word), key.value, other.doc))
}

pub(in crate::check) fn field_twice(key: &ast::Name, first: Span) -> Diagnostic {
    Diagnostic::error(Code::FieldTwice, format!("`{}` is given twice", key.value))
        .with_label(key.span, "here again")
        .with_label(first, "here first")
        .with_help("keep one of them")
}

pub(in crate::check) fn unknown_edge(name: &ast::Name, said: &str, edges: &[&str], head: Span) -> Diagnostic {
    let n = shown(&name.value);
    let shown_edges: Vec<&str> = edges.iter().copied().filter(|e| *e != "edges").collect();
    let d = Diagnostic::error(Code::UnknownEdge, format!("{said} has no edge called `{n}`"))
        .with_label(name.span, "this edge is not known")
        .with_label(head, format!("{said} is this"));
    let d = match nearest(&name.value, edges.iter().copied()) {
        Some(near) => d.with_help(format!("`{said}.{near}`")).with_repair(near),
        None if edges.is_empty() => d.with_help(format!("write `{said}` alone")),
        None => d.with_help(format!("one of {}", words::any(&shown_edges))),
    };
    if edges.is_empty() { d } else { d.with_note(format!("its edges are {}", shown_edges.join(", "))) }
}

pub(in crate::check) fn unknown_fact(
    name: &ast::Name,
    said: &str,
    head: Span,
    kind: &str,
    facts: &[&'static str],
    edges: &[&'static str],
    fields: &[&'static str],
) -> Diagnostic {
    let all: Vec<&'static str> = facts.iter().chain(edges).chain(fields).copied().collect();
    let near = meant(&name.value, &all);
    if near.is_some_and(|n| edges.contains(&n) && !facts.contains(&n)) {
        return unknown_edge(name, said, edges, head);
    }
    let d = Diagnostic::error(Code::UnknownFact, format!("{said} has no `{}`", shown(&name.value)))
        .with_label(name.span, "neither a fact nor a field of it")
        .with_label(head, format!("{said} is this"));
    let d = match near {
        Some(near) => d.with_help(format!("`{said}.{near}`")).with_repair(near),
        None => match words::kin(&name.value, &all).as_slice() {
            [] => d.with_help("ask for something it has"),
            kin => d.with_help(format!("{}, if that is meant", words::any(kin))),
        },
    };
    if facts.is_empty() {
        d.with_note(format!("its fields are {}", words::listed(fields, kind)))
    } else {
        d.with_note(format!("its facts are {}", words::all(facts)))
    }
}

pub(in crate::check) fn which_one(said: &str, name: &ast::Name, several: usize) -> Diagnostic {
    Diagnostic::error(Code::WhichOne, format!("there are {several} of `{said}`"))
        .with_label(name.span, "this belongs to one of them")
        .with_help(format!("say which: `{}.{}`", numbered(said), name.value))
}

/// `lame.top` with a number where it belongs: `lame[1].top`.
fn numbered(said: &str) -> String {
    match said.split_once('.') {
        Some((head, rest)) => format!("{head}[1].{rest}"),
        None => format!("{said}[1]"),
    }
}

pub(in crate::check) fn not_a_pair(said: &str, name: &ast::Name, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NotAPair, format!("there is one `{said}`, not a left and a right one"))
        .with_label(name.span, "this picks one of two")
        .with_label(head, "this is one alone")
        .with_help(format!("write `{said}` alone, or `pair: mirrored` in it"))
}

pub(in crate::check) fn face_alone(name: &ast::Name, said: &str) -> Diagnostic {
    Diagnostic::error(Code::MisplacedWord, format!("`{said}.{}` names a face and asks nothing of it", name.value))
        .with_label(name.span, "a fact belongs behind this")
        .with_help(format!("ask for one: `{said}.{}.around`", name.value))
}

pub(in crate::check) fn fact_without_faces(name: &ast::Name, said: &str) -> Diagnostic {
    Diagnostic::error(Code::UnknownFact, format!("`{}` is the same on every face", name.value))
        .with_label(name.span, "no face is named with it")
        .with_help(format!("`{said}.{}`, without the face", name.value))
}

pub(in crate::check) fn value_has_no_parts(name: &ast::Name, ty: &impl std::fmt::Display) -> Diagnostic {
    Diagnostic::error(Code::UnknownFact, format!("{ty} has no `{}`", shown(&name.value)))
        .with_label(name.span, "only things have facts and fields")
        .with_help("take this away")
}

pub(in crate::check) fn value_has_more(span: Span, said: &str) -> Diagnostic {
    Diagnostic::error(Code::UnknownFact, format!("`{said}` is a value already"))
        .with_label(span, "nothing comes behind it")
        .with_help(format!("`{said}`"))
}

pub(in crate::check) fn misplaced_word(name: &ast::Name) -> Diagnostic {
    let d = Diagnostic::error(Code::MisplacedWord, format!("`{}` says nothing here", name.value))
        .with_label(name.span, "a word of place");
    match name.value.as_str() {
        "bottom" | "middle" | "top" => d.with_help(
            "it is a place along something: in a `level`, or at a station; a thing's own edge is `body.top`",
        ),
        _ => {
            d.with_help("it is a face of the sheet: in `face`, `measured`, or before a fact: `body.top.inside.around`")
        }
    }
}

pub(in crate::check) fn not_given(
    name: &ast::Name,
    kind: &str,
    owner: &str,
    owner_span: Span,
    field: &Field,
) -> Diagnostic {
    let n = field.name;
    Diagnostic::error(Code::NotGiven, format!("{owner} has no `{n}` written down"))
        .with_label(name.span, "this asks for it")
        .with_label(owner_span, format!("write it in this {kind}"))
        .with_help(format!("add `{n}: {}` with the true figure to {owner}", field.example))
        .with_repair(format!("{n}: {}", field.example))
        .with_note(format!("{n}: {}", field.doc))
}
