//! The faults of sloped ends.

use super::super::say::{at_most_degrees, degrees, mm};
use crate::diag::{Code, Diagnostic};
use crate::span::Span;

pub(in super::super) fn tilt_up(span: Span) -> Diagnostic {
    Diagnostic::error(Code::TiltedStation, "a station does not lean up or down")
        .with_label(span, "its plane lies across the axis")
        .with_help("say toward which side it leans: `tilt: toward(front: 10 deg)`")
        .with_note("what leans toward the front is lower there: its plane faces to the front")
}

pub(in super::super) fn tilt_too_steep(angle: f64, most: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::TiltedStation, format!("a plane that leans {} hardly cuts the wall", degrees(angle.abs())))
        .with_label(span, "this runs along the wall, not across it")
        .with_help(format!("lean it by at most {}", at_most_degrees(most)))
}

pub(in super::super) fn tilted_point(span: Span) -> Diagnostic {
    Diagnostic::error(Code::TiltedStation, "a point cannot lean")
        .with_label(span, "there is no plane here")
        .with_help("take `tilt` out, or end the wall a little before its point with a section that leans")
}

/// The plane reaches `past` the station, to where the wall has run into itself.
pub(in super::super) fn slope_runs_out(past: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::TiltedStation, "the wall cannot go on as far as this slope")
        .with_label(span, format!("one side of the slope lies {} beyond the section", mm(past)))
        .with_help("lean it less, give both ends like sections, or let a straight piece of the same section follow and slope that")
        .with_note("beyond a section that is unlike the other one the wall's straight lines run into each other")
}

/// The planes of both ends meet within the wall: it is `short` long on its short side, and with a tilt of `fits` along
/// the same direction it would just be `least`.
pub(in super::super) fn planes_meet(
    short: f64,
    least: f64,
    fits: Option<(String, f64)>,
    spans: [Span; 2],
) -> Diagnostic {
    let said = if short < 0.0 { "meet within the wall" } else { "leave too little of the wall on one side" };
    let mut d = Diagnostic::error(Code::PlanesMeet, format!("the planes of its ends {said}"))
        .with_label(spans[0], "one end")
        .with_label(spans[1], "the other");
    d = match fits {
        Some((tilt, _)) => d.with_help(format!("lean it less: `{tilt}`")).with_repair(tilt),
        None => d.with_help("move the stations further apart, or lean their planes less"),
    };
    let there =
        if short < 0.0 { format!("would be {} too short", mm(-short)) } else { format!("is {} long", mm(short)) };
    d.with_note(format!("on its short side the wall {there}; {} can be cut", mm(least)))
}
