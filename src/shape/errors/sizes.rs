//! What is said of sections and holes whose sizes are missing, too small, or at odds with each other.

use super::*;
use crate::eval::say::number;

pub(in crate::shape) fn no_size(name: &str, help: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("this {name} has no size"))
        .with_label(span, "how large?")
        .with_help(format!("give {help}"))
}

pub(in crate::shape) fn no_width(name: &str, size: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("this {name} is {} wide", mm(size)))
        .with_label(span, "nothing can be cut this small")
        .with_help("give it a width that can be cut")
}

/// A girth and widths that are not those of one section.
pub(in crate::shape) struct Differ {
    /// Side to side, and the other way.
    pub widths: (f64, f64),
    /// The girth of a section so wide.
    pub of_widths: f64,
    pub girth: f64,
    /// The fullness of an oval that has both.
    pub fullness: Option<f64>,
}

/// Two widths, or one that holds both ways.
fn wide((across, by): (f64, f64)) -> String {
    if across.to_bits() == by.to_bits() { mm(across) } else { format!("{} by {}", mm(across), mm(by)) }
}

pub(in crate::shape) fn girth_and_width(name: &str, differ: &Differ, span: Span) -> Diagnostic {
    let Differ { widths, of_widths, girth, fullness } = *differ;
    let off = girth - of_widths;
    let share = number((off.abs() / of_widths * 1000.0).round() / 10.0);
    let by = if share == "0" { mm(off.abs()) } else { format!("{share} %") };
    let sort = if off > 0.0 { "more" } else { "less" };
    let scale = girth / of_widths;
    let grown = wide((widths.0 * scale, widths.1 * scale));
    let both = fullness.map_or(String::new(), |power| {
        format!("; `fullness: {}` is as wide as that and as far round", number((power * 1000.0).round() / 1000.0))
    });
    Diagnostic::error(Code::GirthAndWidth, format!("the girth and the width of this {name} differ by {by}"))
        .with_label(
            span,
            format!(
                "{} across is {} round, and `around` is {}: {} {sort}",
                wide(widths),
                mm(of_widths),
                mm(girth),
                mm(off.abs())
            ),
        )
        .with_help(format!(
            "which of them rules? `trust: around` keeps {} round and makes it {grown} across; `trust: across` keeps the \
             width, {} round{both}",
            mm(girth),
            mm(of_widths)
        ))
        .with_repair("trust: around")
        .with_note("a tape and calipers on one body agree to a millimetre or two: where they do not, measure again first")
}

pub(in crate::shape) fn nothing_to_settle(name: &str, girth: bool, span: Span) -> Diagnostic {
    let (has, lacks) = if girth { ("a girth", "across") } else { ("a width", "around") };
    Diagnostic::error(
        Code::GirthAndWidth,
        format!("`trust` has nothing to settle: this {name} is given by {has} alone"),
    )
    .with_label(span, format!("there is no `{lacks}` that could differ from it"))
    .with_help(format!("take `trust` out, or give `{lacks}` too"))
}

pub(in crate::shape) fn widths_and_ratio(widths: (f64, f64), ratio: f64, span: Span) -> Diagnostic {
    let is = number(widths.0 / widths.1);
    Diagnostic::error(Code::GirthAndWidth, "the widths of this oval are not in its ratio")
        .with_label(span, format!("{} is {is} to 1, and `ratio` is {}", wide(widths), number(ratio)))
        .with_help("take `ratio` out: both widths are given")
}

pub(in crate::shape) fn flats_and_corners(span: Span) -> Diagnostic {
    Diagnostic::error(Code::FlatsAndCorners, "this polygon is given two widths")
        .with_label(span, "across its flats and across its corners: either fixes its size")
        .with_help("keep `across` or `across_corners` and take out the other")
}
