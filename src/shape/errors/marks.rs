//! The faults of marks.

use super::super::say::{at_least, at_most, mm};
use crate::diag::{Code, Diagnostic};
use crate::span::Span;

/// It goes through the layer it lies on.
pub(in super::super) fn mark_too_deep(
    name: &str,
    word: &str,
    deep: f64,
    (stock, thick): (&str, f64),
    span: Span,
) -> Diagnostic {
    let repair = format!("deep: {}", at_most(thick / 3.0));
    Diagnostic::error(Code::MarkTooDeep, format!("{name} goes through the sheet"))
        .with_label(span, format!("a {word} {} deep in {} of {stock}", mm(deep), mm(thick)))
        .with_help(format!("`{repair}` is a third of it; what goes through is an `opening`"))
        .with_repair(repair)
        .with_note("of several layers it is the one on that face: each is marked before they are glued together")
}

/// It leaves little of the layer it lies on.
pub(in super::super) fn mark_nearly_through(
    name: &str,
    word: &str,
    (deep, left): (f64, f64),
    (stock, thick): (&str, f64),
    span: Span,
) -> Diagnostic {
    let repair = format!("deep: {}", at_most((1.0 - left) * thick));
    Diagnostic::warning(Code::MarkNearlyThrough, format!("{name} leaves little of the sheet"))
        .with_label(span, format!("a {word} {} deep leaves {} of {stock}", mm(deep), mm(thick - deep)))
        .with_help(format!("`{repair}` leaves a fifth, which holds"))
        .with_repair(repair)
        .with_note("less tears when it is folded, opened or leant on (common practice, no source)")
}

/// Two answers to where it runs.
pub(in super::super) fn mark_two_ways(name: &str, field: &str, why: &str, (span, other): (Span, Span)) -> Diagnostic {
    Diagnostic::error(Code::MarkTwoWays, format!("{name} is told twice where it runs"))
        .with_label(span, why.to_owned())
        .with_label(other, "it is said here already")
        .with_help(format!("take `{field}` out, or the other one"))
}

/// Rings beside each other at one level would be one.
pub(in super::super) fn rings_go_along(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MarkTwoWays, format!("{name} is a ring, and goes round by itself"))
        .with_label(span, "several rings lie one above the other")
        .with_help("`spread: along`, or a `path` that is set round the part")
        .with_repair("spread: along")
}

pub(in super::super) fn mark_within(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MarkTwoWays, format!("{name} lies on a face, not within the sheet"))
        .with_label(span, "the middle of the sheet cannot be reached")
        .with_help("`face: outside` or `face: inside`")
        .with_repair("face: outside")
}

/// A mark along the edge of a cap says how far from it.
pub(in super::super) fn mark_needs_margin(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MarkTwoWays, format!("where on the cap does {name} run?"))
        .with_label(span, "a cap has no levels")
        .with_help("`margin: 10 mm` for a line along its edge, or a `path` of spots `ACROSS by UP` from its middle")
        .with_repair("margin: 10 mm")
}

/// A ring that cannot be told from an edge of its piece.
pub(in super::super) fn mark_on_edge(name: &str, at: f64, edge: &str, clear: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MarkOffPart, format!("{name} lies on an edge of its piece"))
        .with_label(span, format!("{} is at {edge}", mm(at)))
        .with_help(format!("keep it {} or more away", at_least(clear)))
        .with_note("a mark lies on a face; a line along a cut is lost with the cut")
}

/// A spot beyond the end of its wall.
pub(in super::super) fn spot_off_part(name: &str, level: f64, tall: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MarkOffPart, format!("a spot of {name} lies past the end of the wall"))
        .with_label(span, format!("{} up a wall of {}", mm(level), mm(tall)))
        .with_help(format!("a level from 0 mm to {}", at_most(tall)))
}

/// A spot where an open wall is not.
pub(in super::super) fn spot_in_the_gap(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MarkOffPart, format!("a spot of {name} lies in the gap of an open wall"))
        .with_label(span, "there is no wall that way")
        .with_help("turn the spot to where the wall is, or the wall's gap with `facing`")
}

/// Nothing of it lies on the part.
pub(in super::super) fn mark_in_the_gap(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MarkOffPart, format!("{name} lies in the gap of an open wall"))
        .with_label(span, "nothing of it is on the wall")
        .with_help("turn it to where the wall is")
}

pub(in super::super) fn mark_beside(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::MarkOffPart, format!("{name} lies beside its part"))
        .with_label(span, "nothing of it is on the face")
        .with_help(
            "spots are told from the middle of the face: across to the right, up; the left and down are below zero",
        )
}

/// A line along an edge for which the face has no room.
pub(in super::super) fn mark_too_far_in(name: &str, margin: f64, fits: f64, span: Span) -> Diagnostic {
    let repair = format!("margin: {}", at_most(fits));
    Diagnostic::error(Code::MarkOffPart, format!("{name} lies too far in from the edge"))
        .with_label(span, format!("{} in, the outline is used up", mm(margin)))
        .with_help(format!("`{repair}` or less"))
        .with_repair(repair)
        .with_note("a line along an edge keeps its sides and corners: a round corner must keep a radius")
}

pub(in super::super) fn path_too_short(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PathTooShort, format!("the path of {name} goes nowhere"))
        .with_label(span, "a line runs from one spot to another")
        .with_help("give two spots or more: `[front by 20 mm, left by 60 mm]`; without a path it is a ring at `level`")
}

pub(in super::super) fn spot_twice(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PathTooShort, format!("two spots of {name} are one"))
        .with_label(span, "this one lies where the one before it does")
        .with_help("take one of the two out")
}

/// Two spots that face opposite ways.
pub(in super::super) fn path_either_way(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PathEitherWay, format!("which way round does {name} go?"))
        .with_label(span, "this spot is opposite the one before it: both ways are as long")
        .with_help("put a spot between the two, on the side where the line shall run")
}

pub(in super::super) fn spot_by_direction(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::SpotWrongSort, format!("a spot of {name} does not say which way it faces"))
        .with_label(span, "on a wall a spot is `DIRECTION by PLACE`")
        .with_help("for example `left by 60 mm`, or `left + 20 deg by top - 15 mm`")
}

pub(in super::super) fn spot_across(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::SpotWrongSort, format!("a spot of {name} faces a direction"))
        .with_label(span, "on a cap or a plate a spot is `ACROSS by UP` from its middle")
        .with_help("for example `-20 mm by 15 mm`: 20 mm to the left and 15 mm up")
}
