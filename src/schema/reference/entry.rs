//! What the manual says of one entry of the table. Rank 7.

use super::block::Block;
use super::speech::{form, marked, of_family, of_need, of_range, of_target, of_type, of_ways};
use crate::schema::shared::GROUPS;
use crate::schema::{
    Constructor, Fact, Field, FieldGroup, Kind, Named, Need, Operation, Sentence, SortWord, Stage, Type,
};

/// Whether shared fields are written out or named by their group.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Shared {
    Named,
    WrittenOut,
}

/// A kind with all it has, under a heading of `depth`.
pub(super) fn of_kind(kind: &Kind, depth: usize, shared: Shared) -> Vec<Block> {
    let mut out = vec![
        Block::Heading(depth, format!("`{}`", kind.word)),
        Block::Para(marked(&format!("{}.", kind.doc), kind.built)),
    ];
    out.push(Block::Para(format!("`{}`: {}.", form(kind), of_target(&kind.target))));
    if kind.stations {
        let how = "Stations, in any order: `at PLACE: SECTION`, at least two, or one stretch `at PLACE to PLACE: SECTION` with both ends in. A shell `in` or `over` another may have none: it copies its target's.";
        out.push(Block::Para(how.to_owned()));
    }
    let groups: Vec<&FieldGroup> = GROUPS.iter().filter(|g| shared == Shared::Named && has(kind, g)).collect();
    if !groups.is_empty() {
        let names: Vec<&str> = groups.iter().map(|g| g.name).collect();
        out.push(Block::Para(format!("Shared fields: {}.", names.join(", "))));
    }
    let own = |f: &&Field| !groups.iter().any(|g| g.fields.iter().any(|s| same(s, f)));
    out.extend(fields("field", kind.fields.iter().filter(own)));
    if !kind.ways.is_empty() {
        out.push(Block::Para(format!("{} must be given.", of_ways(kind.ways))));
    }
    out.extend(words_of(kind.fields.iter().filter(own)));
    if !kind.edges.is_empty() {
        let edges = kind.edges.iter().map(|e| format!("`NAME.{}`: {}", e.name, lower(e.doc))).collect();
        out.extend([Block::Para("Edges:".to_owned()), Block::List(edges)]);
    }
    if !kind.facts.is_empty() {
        out.push(Block::Para("Facts:".to_owned()));
        out.push(facts("NAME.", kind.facts));
    }
    out.push(Block::Code(kind.example.to_owned()));
    out
}

fn same(a: &Field, b: &Field) -> bool {
    a.name == b.name && a.doc == b.doc
}

fn has(kind: &Kind, group: &FieldGroup) -> bool {
    group.fields.iter().all(|s| kind.fields.iter().any(|f| same(s, f)))
}

/// A sentence within a list starts small, unless its first word is written so: `D-ring`.
pub(super) fn lower(doc: &str) -> String {
    let mut chars = doc.chars();
    match (chars.next(), doc.chars().nth(1)) {
        (Some(first), Some(c)) if c.is_lowercase() || c == ' ' => first.to_lowercase().chain(chars).collect(),
        _ => doc.to_owned(),
    }
}

/// A table of fields or parts; nothing where there are none.
pub(super) fn fields<'a>(what: &str, fields: impl Iterator<Item = &'a Field>) -> Option<Block> {
    let rows: Vec<Vec<String>> = fields.map(row).collect();
    let head = [what, "type", "default", "range", "for example", "what"].map(str::to_owned).to_vec();
    (!rows.is_empty()).then_some(Block::Table { head, rows })
}

fn row(f: &Field) -> Vec<String> {
    let sorts: Vec<String> = f.sorts.iter().map(|s| format!("`{s}`")).collect();
    let of_sorts = if sorts.is_empty() { String::new() } else { format!(" of {}", sorts.join(", ")) };
    vec![
        marked(&format!("`{}`{of_sorts}", f.name), f.built),
        of_type(&f.ty),
        of_need(f.need),
        of_range(f),
        if f.need == Need::Default(f.example) { String::new() } else { format!("`{}`", f.example) },
        f.doc.to_owned(),
    ]
}

/// What each word of a choice means, field by field; the same list of words once.
pub(super) fn words_of<'a>(fields: impl Iterator<Item = &'a Field>) -> Vec<Block> {
    let mut out = Vec::new();
    for f in fields {
        let mut words = Vec::new();
        meanings(&f.ty, &mut words);
        if !words.is_empty() {
            out.push(Block::Para(format!("Words for `{}`:", f.name)));
            out.push(Block::List(words));
        }
    }
    out
}

fn meanings(ty: &Type, out: &mut Vec<String>) {
    match ty {
        Type::Word(words) => out.extend(words.iter().map(meaning)),
        Type::Sort(sorts) => out.extend(sorts.iter().map(sort)),
        Type::OneOrList(ty) | Type::List(ty) => meanings(ty, out),
        Type::Either(a, b) => {
            meanings(a, out);
            meanings(b, out);
        }
        _ => {}
    }
}

fn meaning(w: &Named) -> String {
    marked(&format!("`{}`: {}", w.name, lower(w.doc)), w.built)
}

fn sort(s: &SortWord) -> String {
    marked(&format!("`{}`: {}", s.word, lower(s.doc)), s.built)
}

/// A table of facts, each written after `before`.
pub(super) fn facts(before: &str, facts: &[Fact]) -> Block {
    let row = |f: &Fact| {
        let faces = if f.faces { "the measured face, or the one named" } else { "" };
        let stage = match f.stage {
            Stage::Solid => "from the geometry",
            Stage::Made => "after the plan",
        };
        vec![format!("`{before}{}`", f.name), f.dim.to_string(), faces.to_owned(), stage.to_owned(), f.doc.to_owned()]
    };
    let head = ["fact", "is", "on", "known", "what"].map(str::to_owned).to_vec();
    Block::Table { head, rows: facts.iter().map(row).collect() }
}

/// A constructor with its parts, under a heading of `depth`.
pub(super) fn of_constructor(c: &Constructor, depth: usize) -> Vec<Block> {
    let mut out = vec![Block::Heading(depth, format!("`{}`: {}", c.name, of_family(c.family)))];
    out.push(Block::Para(format!("{} `{}`", marked(&format!("{}.", c.doc), c.built), c.example)));
    out.extend(fields("part", c.parts.iter()));
    if !c.ways.is_empty() {
        out.push(Block::Para(format!("{} must be given.", of_ways(c.ways))));
    }
    out.extend(words_of(c.parts.iter()));
    out
}

/// A sentence that is not a thing.
pub(super) fn of_sentence(s: &Sentence, depth: usize) -> Vec<Block> {
    vec![
        Block::Heading(depth, format!("`{}`", s.word)),
        Block::Para(format!("`{}`", s.form)),
        Block::Para(format!("{}.", s.doc)),
        Block::Code(s.example.to_owned()),
    ]
}

/// A table of functions of arithmetic.
pub(super) fn functions<'a>(functions: impl Iterator<Item = &'a Operation>) -> Block {
    let row = |f: &Operation| vec![format!("`{}({})`", f.name, f.form), format!("`{}`", f.example), f.doc.to_owned()];
    let head = ["function", "for example", "what"].map(str::to_owned).to_vec();
    Block::Table { head, rows: functions.map(row).collect() }
}
