//! The faults of what reaches out round a foot: a flange, or tabs.

use super::super::say::{at_least, mm};
use crate::design::Kind;
use crate::diag::{Code, Diagnostic};
use crate::span::Span;

/// The collar of a foot is thicker than the whole wall that stands in it.
pub(in super::super) fn lower_than_its_flange(name: &str, tall: f64, thick: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::WallTooShort, format!("{name} is lower than its flange is thick"))
        .with_label(span, format!("a flange {} thick round a wall {} tall", mm(thick), mm(tall)))
        .with_help(format!("make {name} at least {} tall, or take `foot` out", at_least(thick)))
        .with_note("a flange is cut of the wall's own sheet, and glued to the wall over its whole thickness")
}

/// Something lies on the skin to which a collar is glued.
pub(in super::super) fn in_the_flange(
    (name, span): (&str, Span),
    (other, head): (&str, Span),
    thick: f64,
    cover: bool,
) -> Diagnostic {
    let d = Diagnostic::error(Code::CapsCollide, format!("the flange of {name} and {other} lie in the same place"))
        .with_label(span, "its hole fits the bare wall")
        .with_label(head, "lies on the wall there");
    if cover {
        d.with_help("take `foot` out: a covered foot is glued down by what is turned under it, or stands on a `plate`")
    } else {
        d.with_help(format!("let {other} begin at least {} up, above the flange, or take `foot` out", at_least(thick)))
    }
}

/// A collar round a foot that is cut to a figure.
pub(in super::super) fn flange_at_a_shaped_foot(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::CapsCollide, format!("the foot of {name} is cut away where its flange is glued to it"))
        .with_label(span, "its hole fits a foot that is whole all round")
        .with_help("cut the figure into the other end, or take `foot` out")
}

/// Tabs of a sheet, or of sheets, that do not fold along a line: `thick` together, and the thickest that do.
pub(in super::super) fn too_thick_to_turn(
    name: &str,
    stocks: &[String],
    (thick, thickest): (f64, f64),
    wide: f64,
    span: Span,
) -> Diagnostic {
    let label = match stocks {
        [one] => format!("{one} is {} thick: at most {} folds along a line", mm(thick), mm(thickest)),
        _ => format!("{} layers do not fold along one line", stocks.len()),
    };
    let flange = format!("foot: flange(wide: {})", mm(wide));
    Diagnostic::error(Code::TooThickToTurn, format!("the tabs of {name} do not fold"))
        .with_label(span, label)
        .with_help(format!("glue a collar of its own round it, `{flange}`; or let it stand on its end, `foot: butt`"))
        .with_repair(flange)
        .with_note("tabs are cut with the wall, from one thin sheet: card, cloth, leather or clear sheet")
}

/// Tabs wider than a hollow of their foot leaves room for: `fits` would do, in whole millimetres.
pub(in super::super) fn tabs_come_together(name: &str, (wide, fits): (f64, f64), span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::TurnTooWide, format!("the tabs of {name} cannot be {} wide", mm(wide)))
        .with_label(span, "round a hollow of its foot they come together before their ends");
    if fits < 1.0 {
        return d.with_help("round the hollows of its foot more, or let it stand on its end: `foot: butt`");
    }
    let tabs = format!("foot: tabs(wide: {})", mm(fits));
    d.with_help(format!("at most `{tabs}`, or round the hollow more")).with_repair(tabs)
}

/// Tabs in the plane of a foot that does not lie on the cap they would be glued to.
pub(in super::super) fn tabs_off_face(name: &str, cap: &str, off: f64, span: Span, head: Span) -> Diagnostic {
    Diagnostic::error(Code::FootOffEdge, format!("the tabs of {name} do not lie on {cap}"))
        .with_label(span, format!("turned out at a foot that stands up to {} off its face", at_least(off)))
        .with_label(head, "leaves the face")
        .with_help("leave `tilt` and an up or down `shift` out, or let it stand on its end: `foot: butt`")
        .with_repair("foot: butt")
}

/// Something takes up the edge over which tabs are folded.
pub(in super::super) fn over_the_tabs(
    (name, span): (&str, Span),
    (other, head): (&str, Span),
    kind: Kind,
) -> Diagnostic {
    let d = Diagnostic::error(Code::CapsCollide, format!("the tabs of {name} and {other} lie in the same place"))
        .with_label(span, "folded out all round the foot");
    match kind {
        Kind::Cap => d
            .with_label(head, "lies on that edge")
            .with_help(format!("let {other} into the bore (`fit: inset`), or take `foot` out"))
            .with_repair("fit: inset"),
        Kind::Border => d
            .with_label(head, "goes past that edge")
            .with_help(format!("lay {other} on the wall, no farther than its edge; or take `foot` out")),
        Kind::Lacing => d
            .with_label(head, "laces that edge")
            .with_help(format!("lace another edge with {other}, or take `foot` out")),
        _ => d
            .with_label(head, "stands on that edge")
            .with_help("take `foot` out: what stands on an edge is glued to it"),
    }
}
