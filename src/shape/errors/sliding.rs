//! What is said of plates that slide over one another.

use super::*;
use crate::eval::say::number;
use crate::shape::say::at_most_degrees;

/// The least that lames stick out past each other's straps: whole millimetres read best.
fn whole(x: f64) -> String {
    format!("{} mm", number((x * 10.0).round() / 10.0))
}

/// A length without its unit, to a tenth.
fn bare(x: f64) -> String {
    number((x * 10.0).round() / 10.0)
}

pub(in crate::shape) fn not_lames(why: &str, help: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLames, "these plates cannot slide over one another")
        .with_label(span, why)
        .with_help(help)
        .with_note("plates that slide stand one behind the other on one axis, each a part of its width over the next")
}

/// `(upper, lower)`; where it is asked, and the upper plate.
pub(in crate::shape) fn wrong_side(names: (&str, &str), outside: bool, (span, head): (Span, Span)) -> Diagnostic {
    let (upper, lower) = names;
    let (asked, is) = if outside { ("outside", "inside") } else { ("inside", "outside") };
    let grow = if outside { "over" } else { "in" };
    Diagnostic::error(Code::WrongSide, format!("{upper} lies on the wrong side of {lower}"))
        .with_label(span, format!("the upper plate is to lie {asked}"))
        .with_label(head, format!("{upper} stands above {lower}, {is} it"))
        .with_help(format!("`upper: {is}`, or grow each upper plate {grow} the one below it"))
        .with_repair(format!("upper: {is}"))
}

/// `(upper, lower)`; how far the sheets are apart, what lies between them, and how far they have to be.
pub(in crate::shape) fn too_tight(
    names: (&str, &str),
    (clear, taken, least): (f64, f64, f64),
    (span, head): (Span, Span),
) -> Diagnostic {
    let (upper, lower) = names;
    let apart = if clear < 0.0 {
        format!("they stand {} in each other", mm(-clear))
    } else if taken > 0.0 {
        format!("{} apart, of which {} is taken by what lies between", mm(clear), mm(taken))
    } else {
        format!("{} apart", mm(clear))
    };
    let wants = ((1.0 + taken.max(0.0)) * 10.0 - 1e-6).ceil() / 10.0;
    Diagnostic::error(Code::TooTight, format!("{upper} is too tight on {lower} to slide"))
        .with_label(head, apart)
        .with_label(span, "slides here")
        .with_help(format!("let it clear the other: `gap: {}`", mm(wants)))
        .with_note(format!("sheets that slide need {} between them (common practice)", mm(least)))
}

/// `(upper, lower)`; how far they lie over each other, what is asked, and the level that gives it.
pub(in crate::shape) fn overlap_differs(
    names: (&str, &str),
    (is, asked, level): (f64, f64, f64),
    (span, head): (Span, Span),
) -> Diagnostic {
    let (upper, lower) = names;
    let help = if level > 0.05 {
        format!("`overlap: {}`, or stand each plate at `level: {}` over the last", whole(is), whole(level))
    } else {
        format!("`overlap: {}`", whole(is))
    };
    Diagnostic::error(Code::OverlapDiffers, format!("{upper} does not lie {} over {lower}", whole(asked)))
        .with_label(span, format!("{} is asked for", whole(asked)))
        .with_label(head, format!("it lies {} over {lower}", whole(is)))
        .with_help(help)
        .with_repair(format!("overlap: {}", whole(is)))
}

/// Why plates cannot move so far, and what would do.
pub(in crate::shape) struct Cannot {
    pub joints: usize,
    pub angle: f64,
    /// Of the widest joint.
    pub radius: f64,
    pub overlap: f64,
    pub keep: f64,
    pub most: f64,
    /// The overlap that this many joints need, and how wide the narrowest plate is.
    pub needs: f64,
    pub wide: f64,
    /// So many plates with such an overlap, each standing at such a level over the last.
    pub proposal: Option<(usize, f64, f64)>,
    /// So many plates that lie as these do.
    pub more: Option<usize>,
}

/// At the overlap and at the angle.
pub(in crate::shape) fn cannot_move(told: &Cannot, (span, angle): (Span, Span)) -> Diagnostic {
    let each = told.angle / told.joints as f64;
    let joints = if told.joints == 1 { "1 joint".to_owned() } else { format!("{} joints", told.joints) };
    let slide = told.radius * each;
    let gives = (told.overlap - told.keep).max(0.0);
    let label = format!(
        "{joints}, {} each, slide {} at radius {}; overlap {} keeps {} and gives {}, so {} in all",
        degrees(each),
        mm(slide),
        bare(told.radius),
        bare(told.overlap),
        bare(told.keep.min(told.overlap)),
        bare(gives),
        at_most_degrees(told.most)
    );
    let mut ways = Vec::new();
    if let Some((plates, overlap, level)) = told.proposal {
        let stand = format!("`overlap: {}` with each plate at `level: {}` over the last", whole(overlap), whole(level));
        ways.push(if plates == told.joints + 1 { stand } else { format!("{plates} plates and {stand}") });
    }
    if let Some(more) = told.more {
        ways.push(format!("{more} plates that lie as these do"));
    }
    if told.most > 0.0 {
        ways.push(format!("`angle: {}`", at_most_degrees(told.most)));
    }
    let help = match ways.as_slice() {
        [] => "narrower plates of a smaller radius, or a smaller `angle`".to_owned(),
        _ => ways.join("; or "),
    };
    let d = Diagnostic::error(Code::CannotMove, format!("no: these lames cannot rise {}", degrees(told.angle)))
        .with_label(span, label)
        .with_label(angle, format!("{} in all", degrees(told.angle)))
        .with_help(help);
    let d = match told.proposal {
        Some((plates, overlap, _)) if plates == told.joints + 1 => {
            d.with_repair(format!("overlap: {}", whole(overlap)))
        }
        _ => d,
    };
    if told.needs > told.wide {
        d.with_note(format!(
            "so few joints need an overlap of {}, more than the {} of a plate",
            at_least(told.needs),
            mm(told.wide)
        ))
    } else {
        d.with_note("what slides is the arc: the radius times each joint's angle")
    }
}

/// Behind the line about which they turn plates close: `(upper, lower)`, by how much, and how far past each other.
pub(in crate::shape) fn lames_pinch(names: (&str, &str), (closes, past): (f64, f64), span: Span) -> Diagnostic {
    let (upper, lower) = names;
    Diagnostic::warning(Code::LamesPinch, format!("{upper} and {lower} pinch at their seam"))
        .with_label(span, format!("beside the seam they close by {}, and run {} past each other", mm(closes), mm(past)))
        .with_help("leave them open there: `seam: open(gap: 180 deg)`, or take a smaller overlap")
        .with_note("on the seam's side of the line about which they turn, plates that spread opposite it draw together")
}

/// Too little of a plate stands clear of its neighbour.
pub(in crate::shape) struct NoStrapRoom<'a> {
    pub name: &'a str,
    pub free: f64,
    pub least: f64,
}

pub(in crate::shape) fn no_room_for_straps(told: &NoStrapRoom<'_>, (span, head): (Span, Span)) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, format!("there is no room to fix the straps on {}", told.name))
        .with_label(span, format!("of {} only {} stays clear of its neighbour", told.name, mm(told.free)))
        .with_label(head, "this plate")
        .with_help(format!("let {} stay clear: a smaller overlap, more plates, or wider ones", at_least(told.least)))
}

/// So many straps of such a width, and the girth they have on a plate.
pub(in crate::shape) fn too_many_straps(
    (count, wide): (f64, f64),
    (room, name): (f64, &str),
    span: Span,
) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, format!("there is no room for {} straps side by side", number(count)))
        .with_label(span, format!("each {} wide, on {} of {name}", mm(wide), mm(room)))
        .with_help("a smaller `count`, or narrower straps")
}
