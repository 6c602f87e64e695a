//! What can be wrong with a piece: one constructor a fault.

use crate::diag::{Code, Diagnostic};
use crate::geom::Vec2;
use crate::geom::ring::RingFault;
use crate::num;
use crate::span::Span;

/// A seam as it is written, where it faces now.
fn seam(word: &str, size: &str, facing: f64) -> String {
    let degrees = num::wrap(facing.to_degrees() + 180.0, 360.0) - 180.0;
    let degrees = (degrees * 100.0).round() / 100.0 + 0.0;
    // It faces backward when nothing is said.
    let facing = if degrees.abs() == 180.0 { String::new() } else { format!("facing: {degrees} deg") };
    let fields: Vec<&str> = [size, &facing].into_iter().filter(|f| !f.is_empty()).collect();
    if fields.is_empty() { format!("seam: {word}") } else { format!("seam: {word}({})", fields.join(", ")) }
}

fn mm(x: f64) -> String {
    let x = (x * 10.0).round() / 10.0;
    format!("{x} mm")
}

/// A piece passes its sheet and may not be split, or half of it still does.
pub(super) fn piece_too_large(
    origin: Span,
    name: &str,
    size: Vec2,
    stock: &str,
    sheet: &str,
    why: Whole,
) -> Diagnostic {
    let d = Diagnostic::error(Code::PieceTooLarge, format!("{name} is too large for {stock}"))
        .with_label(origin, format!("its flat needs {} by {}, free of the border", mm(size.x), mm(size.y)))
        .with_note(format!("{stock} leaves {sheet}"));
    match why {
        Whole::Never => d
            .with_help("let it be cut in two with `split: auto`, or take a larger sheet")
            .with_repair("split: auto"),
        Whole::Folded => d
            .with_help("cut each side by itself with `made: panels`, or take a larger sheet")
            .with_note("a strip that is folded is not cut in two: its halves would be glued beside a fold"),
        Whole::Formed => d
            .with_help("cut its rings one by one: leave `made: formed` out, or take a larger sheet")
            .with_note("a sheet that is stretched over a form is not cut in two: it would be stretched across a glued joint"),
        Whole::HalfTooLarge => d.with_help("half of it does not fit either: take a larger sheet, or make the part smaller"),
        Whole::NoPlace => d.with_help(
            "no straight cut near its middle keeps 10 mm clear of holes, notches and corners: move them, or take a larger sheet",
        ),
    }
}

/// Why a piece that is too large stays whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Whole {
    /// `split: never`.
    Never,
    /// It is folded from one strip.
    Folded,
    /// It is stretched over a form.
    Formed,
    HalfTooLarge,
    NoPlace,
}

/// A piece was split to fit its sheet.
pub(super) fn piece_split(origin: Span, name: &str, stock: &str, sheet: &str, letter: &str) -> Diagnostic {
    Diagnostic::warning(Code::PieceSplit, format!("{name} is cut in two to fit {stock}"))
        .with_label(origin, format!("glue the halves edge to edge along joint {letter} before anything else"))
        .with_help("to keep it whole, take a larger sheet or make the part smaller; `split: never` makes this an error")
        .with_note(format!("{stock} leaves {sheet}"))
}

/// A lap longer than the wall is round.
pub(super) fn lap_too_long(origin: Span, name: &str, overlap: f64, room: f64, facing: f64) -> Diagnostic {
    let most = (room * 0.9).floor().max(0.0);
    Diagnostic::error(Code::SeamTooWide, format!("the lap of {name} is longer than {name} is round"))
        .with_label(origin, format!("the seam laps {}, the wall is only {} round there", mm(overlap), mm(room)))
        .with_help(format!("a shorter lap: at most {}", mm(most)))
        .with_repair(seam("lap", &format!("overlap: {}", mm(most)), facing))
}

/// Tabs too wide for the side they stand on.
pub(super) fn tabs_too_wide(origin: Span, name: &str, wide: f64, fits: f64, facing: f64) -> Diagnostic {
    let most = fits.floor();
    let d = Diagnostic::error(Code::TabsTooWide, format!("the seam of {name} is too short for its glue tabs"))
        .with_label(origin, format!("a tab {} wide with slanted ends finds no room on this seam", mm(wide)))
        .with_note("tabs narrow at 60° towards their free side, leave 3 mm of seam bare at either end, and stand only where the flat leaves room beyond its side");
    if most >= 1.0 {
        d.with_help(format!("narrower tabs: at most {}", mm(most))).with_repair(seam(
            "tabs",
            &format!("wide: {}", mm(most)),
            facing,
        ))
    } else {
        d.with_help("join it edge to edge: `seam: butt`").with_repair(seam("butt", "", facing))
    }
}

/// The outline of a piece is none: it meets itself or stays open.
pub(super) fn broken_outline(origin: Span, name: &str, fault: Fault) -> Diagnostic {
    let at = |p: Vec2| format!("at {} by {} on its flat", mm(p.x), mm(p.y));
    let (what, label) = match fault {
        Fault::Apart(p) | Fault::Ring(RingFault::Open { at: p }) => {
            ("the edges of {} do not meet", format!("two edges stay apart {}", at(p)))
        }
        Fault::Ring(RingFault::Crosses { at: p }) => {
            ("the flat of {} overlaps itself", format!("its outline meets itself {}", at(p)))
        }
        Fault::Ring(_) => ("the flat of {} has no area", String::from("nothing is left to cut")),
    };
    Diagnostic::error(Code::BrokenOutline, what.replace("{}", name))
        .with_label(origin, label)
        .with_help(
            "make the lap or tabs smaller or the wall steeper, or let the seam face elsewhere; at a corner that runs to nothing, \
             make the sheet thinner or leave a few millimetres of flat side",
        )
        .with_note("a piece is cut along one closed line that nowhere touches itself")
}

/// A lap, or tabs, that reach the other side of the flat.
pub(super) fn allowance_meets_flat(origin: Span, name: &str, what: &str, facing: f64) -> Diagnostic {
    Diagnostic::error(Code::SeamTooWide, format!("the {what} of {name} would lie on {name} itself"))
        .with_label(origin, "laid flat it comes nearly all the way round")
        .with_help(format!("join it edge to edge: `seam: butt`, or make the {what} narrower or the wall steeper"))
        .with_repair(seam("butt", "", facing))
        .with_note(
            "sheet can be cut once only: between both sides of the seam the flat has to leave room for what is added",
        )
}

/// What is wrong with an outline.
#[derive(Clone, Copy, Debug)]
pub(super) enum Fault {
    Apart(Vec2),
    Ring(RingFault),
}
