//! Types, needs, ranges and targets in a maker's words. Rank 7.

use crate::design::Relation;
use crate::schema::{Built, Family, Field, Group, Hosts, Kind, Named, Need, Range, Target, Type, kind_of};
use crate::units::Dim;

/// `a length`, `one word: level, square`.
pub(super) fn of_type(ty: &Type) -> String {
    match ty {
        Type::Of(dim) => of_dim(*dim),
        Type::OneOf(dims) => one_of(dims.iter().map(|d| of_dim(*d)).collect()),
        Type::Count => "a whole number".to_owned(),
        Type::Money => "money: a plain number, or `per` a measure".to_owned(),
        Type::Text => "a text".to_owned(),
        Type::Date => "a date, as the text \"YYYY-MM-DD\"".to_owned(),
        Type::YesNo => "`yes` or `no`".to_owned(),
        Type::Word(words) => one_of(words.iter().map(of_word).collect()),
        Type::Sort(sorts) => one_of(sorts.iter().map(|s| marked(&format!("`{}`", s.word), s.built)).collect()),
        Type::Level => "a place along it: a length, `bottom`, `middle`, `top`".to_owned(),
        Type::Direction => "a direction: `front`, `left`, `back`, `right`, an angle".to_owned(),
        Type::Face { both: false } => "`inside`, `middle` or `outside`".to_owned(),
        Type::Face { both: true } => "`inside`, `outside` or `both`".to_owned(),
        Type::Size => "a width, or `A by B`".to_owned(),
        Type::Size3 => "`A by B by C`".to_owned(),
        Type::Spot => "a spot, `ACROSS by UP`".to_owned(),
        Type::SkinSpot => "a spot on the skin, `DIRECTION by PLACE`; on a flat `ACROSS by UP`".to_owned(),
        Type::Make(family) => of_family(*family).to_owned(),
        Type::Thing(kinds) => one_of(kinds.iter().map(|k| format!("a {}", kind_of(*k).word)).collect()),
        Type::OneOrList(ty) => format!("{}, or a list of such", of_type(ty)),
        Type::List(ty) => format!("a list; each {}", of_type(ty)),
        Type::Either(a, b) => format!("{}, or {}", of_type(a), of_type(b)),
    }
}

fn of_dim(dim: Dim) -> String {
    match dim {
        Dim::NONE => "a plain number or a share (%)".to_owned(),
        dim => dim.to_string(),
    }
}

fn of_word(word: &Named) -> String {
    marked(&format!("`{}`", word.name), word.built)
}

fn one_of(mut words: Vec<String>) -> String {
    match words.pop() {
        None => String::new(),
        Some(last) if words.is_empty() => last,
        Some(last) => format!("{} or {last}", words.join(", ")),
    }
}

/// What a family of constructors is called; also the heading of its chapter.
pub(super) fn of_family(family: Family) -> &'static str {
    match family {
        Family::Section => "a section",
        Family::Shape => "a shape",
        Family::Seam => "a seam",
        Family::Spine => "a stretch of spine",
        Family::Made => "a way a shell is made",
        Family::DomeMade => "a way a dome is made",
        Family::PlateMade => "a way a plate is made",
        Family::Bevel => "a bevel",
        Family::Foot => "a foot",
        Family::Neutral => "a neutral depth at a bend",
        Family::Fill => "a fill",
        Family::Shift => "a shift",
        Family::Tilt => "a tilt",
        Family::OutlinePoint => "an arc of an outline",
        Family::Girth => "a girth",
    }
}

/// What this version does not act on says so wherever it is named.
pub(super) fn marked(text: &str, built: Built) -> String {
    match built {
        Built::Yes => text.to_owned(),
        Built::NotYet => format!("{text} (not built yet)"),
    }
}

/// In the place of a default, for a field without which a thing says too little.
pub(super) const MUST: &str = "must be given";

/// What holds when a field is left out.
pub(super) fn of_need(need: Need) -> String {
    match need {
        Need::Required => MUST.to_owned(),
        Need::Default(value) => format!("`{value}`"),
        Need::From(words) => words.to_owned(),
        Need::Optional => "none".to_owned(),
    }
}

/// The legal range, in units a maker reads; empty when there is none.
pub(super) fn of_range(field: &Field) -> String {
    let dim = dim_of(&field.ty);
    let upto = |most: f64| if most.is_finite() { format!(", at most {}", amount(most, dim)) } else { String::new() };
    match field.range {
        Range::Any => String::new(),
        Range::Above0(most) => format!("above 0{}", upto(most)),
        Range::From0(most) => format!("0 or more{}", upto(most)),
        Range::Within(least, most) => format!("{} to {}", amount(least, dim), amount(most, dim)),
    }
}

/// The dimension the bounds of a field are in: a size is of lengths, a share of none.
fn dim_of(ty: &Type) -> Dim {
    match ty {
        Type::Of(dim) => *dim,
        Type::Level | Type::Size | Type::Size3 | Type::Spot => Dim::LENGTH,
        Type::Direction => Dim::ANGLE,
        Type::OneOrList(ty) | Type::List(ty) | Type::Either(ty, _) => dim_of(ty),
        _ => Dim::NONE,
    }
}

/// A bound in the unit that makes it short.
fn amount(value: f64, dim: Dim) -> String {
    let units: &[(f64, &str)] = match dim {
        Dim::LENGTH => &[(1000.0, " m"), (1.0, " mm")],
        Dim::MASS => &[(1000.0, " kg"), (1.0, " g")],
        Dim::TIME => &[(3600.0, " h"), (60.0, " min"), (1.0, " s")],
        Dim::ANGLE => &[(crate::num::PI / 180.0, " deg")],
        _ => &[(1.0, "")],
    };
    let whole = |n: f64| (n - n.round()).abs() < 1e-9;
    let (size, unit) = units
        .iter()
        .find(|(size, _)| value != 0.0 && whole(value / size))
        .or(units.last())
        .copied()
        .unwrap_or((1.0, ""));
    let n = value / size;
    if whole(n) { format!("{}{unit}", n.round()) } else { format!("{n}{unit}") }
}

/// Where a kind may stand.
pub(super) fn of_target(target: &Target) -> String {
    if target.words.is_empty() {
        return "no target".to_owned();
    }
    let words: Vec<String> = target.words.iter().map(|w| format!("`{}`", of_relation(*w))).collect();
    let things = match (target.things, target.many) {
        (Hosts::Nothing, _) => "nothing",
        (Hosts::Part, false) => "a part",
        (Hosts::Part, true) => "a part, or a list of parts",
        (Hosts::Edge, false) => "an edge",
        (Hosts::Edge, true) => "an edge, or a list of edges",
        (Hosts::PartOrEdge, false) => "a part or an edge",
        (Hosts::PartOrEdge, true) => "a part or an edge, or a list of them",
        (Hosts::Strap, _) => "a strap",
        (Hosts::Attachment, _) => "an attachment, or a list of them",
        (Hosts::StrapOrAttachment, _) => "a strap, an attachment, or a list of them",
        (Hosts::Anything, false) => "a part, an edge, a strap or another thing",
        (Hosts::Anything, true) => "a part, an edge, a strap or another thing, or a list of them",
    };
    let may = if target.required { "" } else { ", or without a target" };
    format!("{} {things}{may}", one_of(words))
}

fn of_relation(relation: Relation) -> &'static str {
    match relation {
        Relation::On => "on",
        Relation::In => "in",
        Relation::Over => "over",
        Relation::Beside => "beside",
    }
}

/// The chapter of a group of kinds.
pub(super) fn of_group(group: Group) -> &'static str {
    match group {
        Group::People => "Who it is for and what it is",
        Group::Goods => "What it is made of and with",
        Group::Parts => "Parts: the skin",
        Group::Edges => "Edges, holes and marks",
        Group::Joining => "Joining",
        Group::Wearing => "Wearing and carrying",
        Group::Finishing => "Covering, finishing and limits",
    }
}

/// How a use of a kind is written.
pub(super) fn form(kind: &Kind) -> String {
    let target = match kind.target.words.first() {
        None => String::new(),
        Some(word) if kind.target.required => format!(" {} TARGET", of_relation(*word)),
        Some(word) => format!(" [{} TARGET]", of_relation(*word)),
    };
    format!("{} NAME{target} {{ … }}", kind.word)
}

/// `either \`rise\` or \`radius\``, from sets of names of which one must be given whole.
pub(super) fn of_ways(ways: &[&[&str]]) -> String {
    let set = |names: &&[&str]| names.iter().map(|n| format!("`{n}`")).collect::<Vec<_>>().join(" and ");
    one_of(ways.iter().map(set).collect())
}
