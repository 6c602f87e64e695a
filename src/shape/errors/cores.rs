//! What is said of cores.

use super::*;

pub(in crate::shape) fn core_needs_rod(name: &str, stock: &str, sort: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::CoreNeedsRod, format!("{name} is not of rod"))
        .with_label(span, format!("{stock} is {sort}: sheet, not a stick"))
        .with_help("name a stock that is `as: rod`, as `of: dowel12` of the shelf")
}

/// More lengths are needed than were asked for.
pub(in crate::shape) fn core_too_long(
    name: &str,
    long: f64,
    count: f64,
    least: f64,
    why: &str,
    span: Span,
) -> Diagnostic {
    let each = if count > 1.0 {
        format!("{} in {count:.0} lengths is {} each", mm(long), mm(long / count))
    } else {
        format!("{} in one length", mm(long))
    };
    Diagnostic::error(Code::CoreTooLong, format!("{name} needs more lengths"))
        .with_label(span, format!("{each}, and {why}"))
        .with_help(format!("at least `count: {least:.0}`, {} each", mm(long / least)))
        .with_repair(format!("count: {least:.0}"))
}

/// A rod is sold shorter than the core, and the text does not say that it is joined.
pub(in crate::shape) fn core_joined(name: &str, long: f64, count: f64, why: &str, span: Span) -> Diagnostic {
    Diagnostic::warning(Code::CoreJoined, format!("{name} is joined of {count:.0} lengths"))
        .with_label(span, format!("{} long, and {why}: {} each", mm(long), mm(long / count)))
        .with_help(format!("`count: {count:.0}` says that you want it so; or take a rod that is sold longer"))
        .with_note("a sleeve or a screw over each joint is yours to choose: it is not in the list of what to buy")
}

pub(in crate::shape) fn core_too_thick(
    name: &str,
    across: f64,
    host: &str,
    (by, gap): (f64, f64),
    at: Vec3,
    span: Span,
) -> Diagnostic {
    let way = num::wrap(num::atan2(at.y, at.x), num::TAU).to_degrees();
    let what = if by > 0.0 {
        format!("{} across: the wall stands {} in it", mm(across), mm(by))
    } else {
        format!("{} across: {} is clear beside it, and `gap` asks for {}", mm(across), mm(-by), mm(gap))
    };
    Diagnostic::warning(Code::CoreDoesNotFit, format!("{name} has no room in {host}"))
        .with_label(span, what)
        .with_help("a thinner rod, a wider part, or another place for it (`shift`, `tilt`, `level`)")
        .with_note(format!("worst {} up, toward {way:.0} deg (0 front, 90 left)", mm(at.z)))
}

pub(in crate::shape) fn core_outside(name: &str, host: &str, span: Span) -> Diagnostic {
    Diagnostic::warning(Code::CoreDoesNotFit, format!("{name} does not lie within {host}"))
        .with_label(span, "its axis is past the wall or past the ends")
        .with_help("move it back with `shift` or `level`")
}

/// A core that goes through a cap or a wall in which no hole is cut for it.
pub(in crate::shape) fn core_meets(
    name: &str,
    what: &str,
    cap: Option<(f64, Span)>,
    opening: String,
    span: Span,
) -> Diagnostic {
    let d = Diagnostic::warning(Code::CoreMeetsSheet, format!("{name} goes through {what}, which has no hole for it"));
    let d = match cap {
        Some((by, head)) => {
            d.with_label(span, format!("it stands {} in {what}", mm(by))).with_label(head, "this closes the end")
        }
        None => d.with_label(span, format!("it goes through the wall of {what}")),
    };
    d.with_help(format!("`{opening}`, or another place for it")).with_repair(opening)
}
