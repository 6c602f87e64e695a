//! What is said of keels.

use super::*;

pub(in crate::shape) fn keel_past_end(name: &str, (from, to): (f64, f64), tall: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::OffTheWall, format!("{name} lies past the end of the wall"))
        .with_label(span, format!("it would run from {} to {}, and the wall is {} tall", mm(from), mm(to), mm(tall)))
        .with_help("a smaller `long`, or a `level` nearer to the middle; without `long` it runs from end to end")
}

pub(in crate::shape) fn keel_too_wide(name: &str, host: &str, wide: f64, most: f64, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::KeelUnfit, format!("{name} is wider than what it stands on"))
        .with_label(span, format!("{} from foot to foot; {host} is {} wide there", mm(wide), mm(most)));
    if most > 1.0 {
        d.with_help(format!("at most `wide: {}`", at_most(0.9 * most)))
    } else {
        d.with_help("let it face a side of the wall that is not hollow")
    }
}

pub(in crate::shape) fn keel_too_thick(name: &str, thick: f64, lacks: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::KeelUnfit, format!("{name} is too low for its sheet"))
        .with_label(span, format!("inside of sheet {} thick its flanks lack {} to be there", mm(thick), mm(lacks)))
        .with_help("a greater `rise` and `wide`, or thinner sheet: `of: foam2`")
}

pub(in crate::shape) fn keel_askew(name: &str, host: &str, phi: f64, off: f64, span: Span) -> Diagnostic {
    let middle = (phi / num::FRAC_PI_2).round() * 90.0;
    Diagnostic::error(Code::KeelUnfit, format!("the flanks of {name} would be twisted"))
        .with_label(span, format!("{host} narrows unevenly on either side of {}: by {}", degrees(phi), mm(off)))
        .with_help(format!("let it face a middle of {host}, as `facing: {:.0} deg`", num::wrap(middle, 360.0)))
        .with_note("flat flanks stand on lines of the wall that run side by side or to one point with the ridge")
}

pub(in crate::shape) fn keel_stands_off(name: &str, host: &str, off: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::KeelUnfit, format!("{name} does not lie on {host} with a straight edge"))
        .with_label(span, format!("cut in one plane its foot would stand {} off the wall", mm(off)))
        .with_help("thinner sheet, a lesser `wide`, or a shorter one (`long`)")
}
