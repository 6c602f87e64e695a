//! The faults of where a part stands, and of what gets through it.

use super::super::say::{at_least, at_most_degrees, degrees, down, mm};
use crate::diag::{Code, Diagnostic};
use crate::span::Span;

pub(in super::super) fn leans_up(span: Span) -> Diagnostic {
    Diagnostic::error(Code::CannotLean, "a part does not lean up or down")
        .with_label(span, "up and down run along its axis")
        .with_help("say toward which side its axis leans: `tilt: toward(front: 10 deg)`")
}

pub(in super::super) fn leans_two_ways(angle: f64, most: f64, span: Span) -> Diagnostic {
    Diagnostic::error(
        Code::CannotLean,
        format!("an axis cannot lean {} one way and another way too", degrees(angle.abs())),
    )
    .with_label(span, "lying down it has no slope to the other side")
    .with_help(format!("with two directions at most {} each; one alone may be any angle", at_most_degrees(most)))
}

pub(in super::super) fn lies_flat(name: &str, why: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::CannotLean, format!("{name} cannot lean"))
        .with_label(span, why.to_owned())
        .with_help("take `tilt` out; `spin: 10 deg` turns it on the face")
}

pub(in super::super) fn hangs_straight(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::CannotLean, format!("{name} cannot be turned"))
        .with_label(span, "what is strung hangs as its weight pulls it")
        .with_help("take `spin` out")
}

pub(in super::super) fn moved_off_face(name: &str, by: f64, help: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::OffTheWall, format!("{name} would be moved off the sheet"))
        .with_label(span, format!("{} of this leads out of the face it is on", mm(by.abs())))
        .with_help(help.to_owned())
}

/// The foot of a part and the edge it stands on share no curve; their outer skins lie `apart` at most.
pub(in super::super) fn foot_off_edge(name: &str, edge: &str, apart: f64, head: Span) -> Diagnostic {
    Diagnostic::warning(Code::FootOffEdge, format!("the foot of {name} does not meet {edge} all round"))
        .with_label(head, format!("outer skins up to {} apart: no letter, no notches", more_than(apart)))
        .with_help(format!("begin it as the edge ends: the same section at its first station, or `circle(around: {edge}.outside.around)` of a part measured outside"))
        .with_note("edges that meet along one line get a letter and notches, and are measured against each other")
}

fn more_than(apart: f64) -> String {
    if apart < 0.05 { "less than 0.1 mm".to_owned() } else { mm(apart) }
}

/// The foot of a part stands off the flat it should lie on by `off`.
pub(in super::super) fn foot_off_face(name: &str, cap: &str, off: f64, head: Span) -> Diagnostic {
    Diagnostic::warning(Code::FootOffEdge, format!("the foot of {name} does not lie on {cap}"))
        .with_label(head, format!("up to {} off its face: its place is not marked", more_than(off)))
        .with_help("leave `tilt` and an up or down `shift` out, or cut its foot to the flat with a `tilt` of its first station")
}

pub(in super::super) fn stands_on_a_point(name: &str, edge: &str, head: Span) -> Diagnostic {
    Diagnostic::warning(Code::FootOffEdge, format!("{edge} is a point, and {name} has nothing to stand on"))
        .with_label(head, "stands here")
        .with_help("end the wall below before its point, or let it stand `in` or `over` the other")
}

pub(in super::super) fn stands_on_its_point(name: &str, edge: &str, head: Span) -> Diagnostic {
    Diagnostic::warning(Code::FootOffEdge, format!("{name} begins with a point, and does not meet {edge}"))
        .with_label(head, "its point stands in the middle of that edge")
        .with_help("begin it with the section the edge has")
}

pub(in super::super) fn two_on_edge(name: &str, head: Span, other: &str, first: Span) -> Diagnostic {
    Diagnostic::error(Code::CapsCollide, format!("{name} and {other} lie in the same place"))
        .with_label(head, "on this edge")
        .with_label(first, format!("{other} stands on it already"))
        .with_help(format!("stand it on {other}, or take one out"))
}

/// A closed wall, perhaps one that stands in another, that is `(girth, level)` inside at its narrowest.
pub(in super::super) fn does_not_get_through(
    (name, within): (&str, Option<&str>),
    passes: f64,
    (girth, level, tall): (f64, f64, Option<f64>),
    span: Span,
) -> Diagnostic {
    let place = match tall {
        _ if level < 0.05 => "at its bottom".to_owned(),
        Some(tall) if tall - level < 0.05 => "at its top".to_owned(),
        Some(_) => format!("at {} up", mm(level)),
        None => "at its narrowest".to_owned(),
    };
    let lacks = passes - girth;
    // Whole millimetres, and no less than half a centimetre, as a maker cuts a gap.
    let gap = (lacks / 5.0).ceil().max(1.0) * 5.0;
    let seam = format!("seam: open(gap: {})", mm(gap));
    let it = within.map_or_else(|| "it".to_owned(), |host| format!("{name}, which stands in {host},"));
    Diagnostic::error(Code::DoesNotPass, format!("{} round does not get through {name}", mm(passes)))
        .with_label(span, format!("inside {it} is {} round {place}: {} too little", down(girth), at_least(lacks)))
        .with_help(format!(
            "leave {it} open: `{seam}` lets it through where the sides are drawn {} apart; or make it wider",
            at_least(gap + lacks)
        ))
        .with_repair(seam)
        .with_note("a sheet keeps its length when it is opened: each millimetre between the sides is one more inside")
}

/// A shell of flat sides, which has no seam to be left open; its girth inside at its narrowest, and where that is.
pub(in super::super) fn not_through_flat_sides(
    name: &str,
    passes: f64,
    (girth, level): (f64, f64),
    span: Span,
) -> Diagnostic {
    let lacks = passes - girth;
    Diagnostic::error(Code::DoesNotPass, format!("{} round does not get through {name}", mm(passes)))
        .with_label(
            span,
            format!("inside it is {} round at {} up: {} too little", down(girth), mm(level), at_least(lacks)),
        )
        .with_help(format!("make it wider: {} more round there lets it through", at_least(lacks)))
        .with_note("flat sides are stiff: what does not get through them as they stand does not get through")
}

/// An end is closed by a cap that is glued in or on: it has no opening, or its longest is `(name, girth)`.
pub(in super::super) fn closed_by_a_cap(
    (name, passes, span): (&str, f64, Span),
    (cap, head): (&str, Span),
    opening: Option<(&str, f64)>,
) -> Diagnostic {
    let d = Diagnostic::error(Code::DoesNotPass, format!("{} round does not get through {cap}", mm(passes)));
    let around = at_least(passes);
    match opening {
        None => d
            .with_label(head, format!("closes {name} and has no opening"))
            .with_label(span, "this has to get through")
            .with_help(format!(
                "`opening way on {cap} {{ shape: circle(around: {around}) }}`; or `loose: yes` if {cap} comes off first"
            ))
            .with_repair(format!("opening way on {cap} {{ shape: circle(around: {around}) }}")),
        Some((hole, girth)) => d
            .with_label(head, format!("closes {name}; its opening {hole} is {} round", down(girth)))
            .with_label(span, format!("this has to get through: {} too much", at_least(passes - girth)))
            .with_help(format!(
                "make {hole} {around} round (`around: {around}`); or `loose: yes` if {cap} comes off first"
            ))
            .with_repair(format!("around: {around}")),
    }
}

pub(in super::super) fn closed_to_a_point(name: &str, passes: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::DoesNotPass, format!("{} round does not get through {name}", mm(passes)))
        .with_label(span, "one end is drawn together to a point")
        .with_help("take `passes` out, or end the wall with an opening")
}

/// Two parts stand in each other by `depth`.
pub(in super::super) fn parts_collide(
    (one, head): (&str, Span),
    (other, there): (&str, Span),
    depth: f64,
) -> Diagnostic {
    Diagnostic::warning(Code::PartsCollide, format!("{one} and {other} stand in each other"))
        .with_label(head, format!("{} deep in {other}", mm(depth)))
        .with_label(there, format!("{other} stands here"))
        .with_help("move one of them (`gap`, `level`, `facing`, `shift`), or cut an `opening` for it to go through")
        .with_note(
            "the least way that would free them; what only touches, or gives by less than its thickness, is not told",
        )
}

pub(in super::super) fn not_all_compared((parts, pairs): (usize, usize), span: Span) -> Diagnostic {
    let said = match (parts, pairs) {
        (0, _) => format!("{pairs} pairs of parts were not held against each other"),
        (_, 0) => format!("{parts} parts were not held against the others"),
        _ => format!("{parts} parts, and {pairs} pairs of others, were not held against each other"),
    };
    Diagnostic::note(Code::PartsCollide, said)
        .with_label(span, "too many parts stand close together")
        .with_note("whether parts stand in each other is looked at for so many steps, so that a build ends")
}
