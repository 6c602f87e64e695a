//! The faults of shaped edges.

use super::super::say::{at_least, at_most, mm};
use crate::diag::{Code, Diagnostic};
use crate::span::Span;

fn not_free(name: &str, label: String, span: Span) -> Diagnostic {
    Diagnostic::error(Code::EdgeNotFree, format!("{name} cannot shape this edge")).with_label(span, label)
}

pub(in super::super) fn edge_of_a_point(name: &str, host: &str, span: Span) -> Diagnostic {
    not_free(name, format!("{host} is drawn together to a point there"), span)
        .with_help("end the wall before its point, or shape its other edge")
}

/// Something stands on the edge and meets it all round.
pub(in super::super) fn edge_is_met(name: &str, other: &str, head: Span, span: Span) -> Diagnostic {
    not_free(name, format!("{other} meets it all round"), span)
        .with_label(head, format!("{other} stands here"))
        .with_help(format!("shape the other edge, or let {other} stand on an edge that is straight"))
        .with_note("what closes an edge lies in one plane; a shaped edge goes up and down and would leave gaps")
}

/// The tabs of a foot are folded along the edge, which is level.
pub(in super::super) fn edge_has_tabs(name: &str, host: &str, foot: Span, span: Span) -> Diagnostic {
    not_free(name, format!("{host} has its tabs there"), span)
        .with_label(foot, "they are folded out along this edge, which is level")
        .with_help(format!("shape its other edge, `on {host}.top`; or take `foot` out of {host}"))
}

pub(in super::super) fn edge_cut_already(name: &str, label: &str, span: Span) -> Diagnostic {
    not_free(name, label.to_owned(), span).with_help("an edge has one figure: take one of the two out")
}

/// What lies there was measured for the edge itself, so it is made before.
pub(in super::super) fn edge_reads_what_lies_there(name: &str, other: &str, head: Span, span: Span) -> Diagnostic {
    not_free(name, format!("{other} lies there already"), span)
        .with_label(head, format!("{name} is reckoned from it"))
        .with_help(format!("reckon {name} from the wall itself: what lies on the wall follows the shaped edge"))
}

/// The figure leaves `left` of the wall at its deepest place; `fits` would leave the least.
pub(in super::super) fn figure_too_tall(
    name: &str,
    left: f64,
    least: f64,
    fits: Option<f64>,
    knee: bool,
    span: Span,
) -> Diagnostic {
    let there = match (left < 0.0, knee) {
        (true, false) => format!("at its deepest place it would pass the other edge by {}", mm(-left)),
        (true, true) => format!("at its deepest place it would pass the wall's next station by {}", mm(-left)),
        (false, _) => format!("at its deepest place it leaves {}", mm(left)),
    };
    let d = Diagnostic::error(Code::FigureTooTall, format!("{name} leaves too little of the wall"))
        .with_label(span, there)
        .with_note(format!("a figure lies between its edge and the wall's next station, and leaves {}", mm(least)));
    match fits {
        Some(rise) => {
            let rise = format!("rise: {}", at_most(rise));
            d.with_help(format!("`{rise}` or less")).with_repair(rise)
        }
        None => d.with_help("make the wall taller there"),
    }
}

/// A plane that leans so much runs along the wall.
pub(in super::super) fn figure_too_steep(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::FigureTooTall, format!("{name} hardly cuts the wall"))
        .with_label(span, "so steep a plane runs along the wall, not across it")
        .with_help("a smaller `rise`")
}

/// Each comes out `wide`; so many at most would be as wide as the least.
pub(in super::super) fn figure_too_small(
    name: &str,
    what: &str,
    wide: f64,
    least: f64,
    (many, every): (f64, bool),
    span: Span,
) -> Diagnostic {
    let repair =
        if every { format!("every: {}", at_least(least)) } else { format!("count: {}", many.floor().max(1.0)) };
    let more = if every { "or more" } else { "or fewer" };
    Diagnostic::error(Code::FigureTooSmall, format!("the {what} of {name} are too narrow to cut"))
        .with_label(span, format!("they come out {} wide", mm(wide)))
        .with_help(format!("`{repair}` {more}"))
        .with_repair(repair)
        .with_note("5 mm, and eight times what the cutter takes away or its tip trails (common practice, no source)")
}

/// A tooth's side stands on the seam, or so near that a sliver is left; turned by `by` degrees it stands clear.
pub(in super::super) fn tooth_at_seam(name: &str, off: f64, by: f64, span: Span) -> Diagnostic {
    let repair = format!("facing: front + {} deg", (by * 10.0).ceil() / 10.0);
    Diagnostic::error(Code::FigureAndSeam, format!("a tooth of {name} has its side on the seam"))
        .with_label(span, format!("{} from where the wall is joined", mm(off)))
        .with_help(format!("turn it a little: `{repair}`"))
        .with_repair(repair)
        .with_note("a sliver of a tooth beside the seam tears off: half a millimetre of foam holds no glue")
}

/// Of a cover whose seam stands elsewhere than its wall's.
pub(in super::super) fn seam_at_tooth(name: &str, off: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::FigureAndSeam, format!("the seam of {name} stands on the side of a tooth"))
        .with_label(span, format!("{} from where the edge below goes up or down", mm(off)))
        .with_help("let its seam face another way, or leave `seam` out: then it lies over the wall's own")
}

/// Cloth that would be folded over an edge that goes up and down.
pub(in super::super) fn turn_over_figure(name: &str, host: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::TurnOverFigure, format!("{name} cannot be turned over a sloped or shaped edge"))
        .with_label(span, format!("{host} has one"))
        .with_help("`turn: 0 mm`, which cuts it level with the edge: bind that edge, or glue it down")
        .with_repair("turn: 0 mm")
        .with_note("over a figure's corners and round its crests cloth would have to stretch and to be cut to the fold")
}

pub(in super::super) fn faces_past_the_sides(name: &str, several: bool, span: Span) -> Diagnostic {
    let label = if several { "on an open wall they stand evenly from side to side" } else { "the wall is open there" };
    let help =
        if several { "leave `facing` out" } else { "let it face what is left of the wall, or leave `facing` out" };
    Diagnostic::error(Code::FigureAndSeam, format!("{name} cannot face there")).with_label(span, label).with_help(help)
}

/// A curve through one spot, or none.
pub(in super::super) fn curve_too_short(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PathTooShort, format!("the path of {name} goes nowhere"))
        .with_label(span, "a curve runs through two spots or more")
        .with_help(
            "for example `[front by 0 mm, back by 20 mm]`: on the straight edge in front, 20 mm from it at the back",
        )
}

/// A spot beyond the straight edge, or none on it.
pub(in super::super) fn curve_off_edge(name: &str, highest: f64, span: Span) -> Diagnostic {
    let (title, label, help) = if highest < 0.0 {
        (
            format!("{name} passes the straight edge"),
            format!("{} beyond it: there is no sheet", mm(-highest)),
            format!("add {} to every spot, and make the wall as much taller", mm(-highest)),
        )
    } else {
        (
            format!("{name} nowhere comes to the straight edge"),
            format!("its outermost spot lies {} from it", mm(highest)),
            format!("take {} off every spot, and make the wall as much shorter", mm(highest)),
        )
    };
    Diagnostic::error(Code::CurveOffEdge, title)
        .with_label(span, label)
        .with_help(help)
        .with_note("a spot says how far from the straight edge the cut lies, down the wall; `0 mm` is on it")
}

pub(in super::super) fn curve_is_straight(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::CurveOffEdge, format!("{name} leaves the edge as it is"))
        .with_label(span, "every spot lies on the straight edge")
        .with_help("let a spot lie some way down the wall: `back by 20 mm`")
}

/// Two spots of a curve side by side.
pub(in super::super) fn spots_too_near(name: &str, apart: f64, least: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::FigureTooSmall, format!("two spots of {name} lie too near each other"))
        .with_label(span, format!("{} along the edge from its neighbour", mm(apart.max(0.0))))
        .with_help(format!("{} or more; an upright step is a figure of its own: `as: crenels`", at_least(least)))
        .with_note("5 mm, and eight times what the cutter takes away or its tip trails (common practice, no source)")
}
