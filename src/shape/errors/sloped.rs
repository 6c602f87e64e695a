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

/// A station that leans stands on a cut of the spine, whose plane it does not choose.
pub(in super::super) fn leans_at_a_cut(span: Span) -> Diagnostic {
    Diagnostic::error(Code::TiltedStation, "a station on a cut of the spine does not lean")
        .with_label(span, "the spine turns here: the cut lies in the plane that halves the turn")
        .with_help("move the station a little along the spine, or take `tilt` out")
}

/// From the highest place of a ring's lower cut to the lowest of its upper one there is less than can be reckoned.
pub(in super::super) fn cuts_overlap(name: &str, rise: f64, spans: [Span; 2]) -> Diagnostic {
    Diagnostic::error(Code::PlanesMeet, format!("the planes at both ends of {name} reach past each other"))
        .with_label(spans[0], "below it")
        .with_label(spans[1], "above it")
        .with_help("move them further apart, or let them lean less")
        .with_note(match rise < 0.0 {
            true => format!("the lowest place of the upper one lies {} below the highest of the lower one", mm(-rise)),
            false => format!("the upper one lies only {} above the lower one", mm(rise)),
        })
}

/// The stations reach over `stations`, the spine over `spine`.
pub(in super::super) fn off_the_spine(stations: f64, spine: f64, span: Span) -> Diagnostic {
    let (stations_say, spine_say) = (mm(stations), mm(spine));
    Diagnostic::error(
        Code::OffTheSpine,
        format!("the stations reach over {stations_say}, and the spine over {spine_say}"),
    )
    .with_label(span, format!("from its start to its end {spine_say}"))
    .with_help("let the stations say `at bottom to top`, or leave one `straight` without a length")
    .with_note("a bend is as long as its centre line is made: straight from cut to cut")
}

pub(in super::super) fn spine_left_open(span: Span) -> Diagnostic {
    Diagnostic::error(Code::OffTheSpine, "two stretches of the spine are left open")
        .with_label(span, "how long is either of them?")
        .with_help("give all but one `straight` a length: `straight(long: 40 mm)`")
}

pub(in super::super) fn spine_alone(what: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::SpineAlone, format!("a {what} is a whole spine by itself"))
        .with_label(span, "nothing goes before it or after it")
        .with_help(match what {
            "ring" => "take the other stretches out, or bend part of the way round: `bend(angle: 270 deg, …)`",
            _ => "put the other stretches among the points of the path",
        })
}

pub(in super::super) fn joint_too_sharp(turn: f64, joints: Option<f64>, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::JointTooSharp, format!("one joint would turn by {}", degrees(turn)))
        .with_label(span, "so slanting a cut runs along the tube, not across it");
    match joints {
        Some(n) => {
            let repair = format!("joints: {n:.0}");
            d.with_help(format!("share the bend among more cuts: `{repair}`")).with_repair(repair)
        }
        None => d.with_help("move the points so that the path turns less at each, or give it more `joints`"),
    }
}

/// Point `at` (from 1) of a path lies `apart` from the next; or there are only so many points.
pub(in super::super) fn path_points(apart: f64, at: usize, span: Span) -> Diagnostic {
    if at < 2 && apart == 0.0 {
        return Diagnostic::error(Code::PathPoints, "a path goes through two points at least")
            .with_label(span, "from where to where?")
            .with_help("give its points: `points: [0 mm by 0 mm by 0 mm, 40 mm by 0 mm by 90 mm]`");
    }
    Diagnostic::error(Code::PathPoints, format!("points {at} and {} of the path lie {} apart", at + 1, mm(apart)))
        .with_label(span, "no piece can be made between them")
        .with_help(format!("take out point {at}, or move it"))
}

/// The planes at both ends of a ring meet within it: what is left on its short side, and the bend radius that would do.
pub(in super::super) fn rings_meet(name: &str, short: f64, least: f64, radius: Option<f64>, span: Span) -> Diagnostic {
    let said = if short < 0.0 {
        format!("the cuts at both ends of {name} meet within it")
    } else {
        format!("{name} is too short on its inner side")
    };
    let d = Diagnostic::error(Code::RingsMeet, said).with_label(span, "the spine turns too tightly for a wall so wide");
    let there = if short < 0.0 { format!("{} would be missing", mm(-short)) } else { format!("{} is left", mm(short)) };
    let d = d.with_note(format!("on the inner side of the bend {there}; {} can be cut", mm(least)));
    match radius {
        Some(r) => {
            let repair = format!("radius: {}", super::super::say::at_least(r));
            d.with_help(format!("bend it more gently: `{repair}`")).with_repair(repair)
        }
        None => d.with_help("make the spine longer there, turn it less, or make the wall narrower"),
    }
}

pub(in super::super) fn ring_changes(section: Span, spine: Span) -> Diagnostic {
    Diagnostic::error(Code::BendNeedsRound, "a spine that closes on itself has one section all the way round")
        .with_label(section, "this section is not that of the rest")
        .with_label(spine, "and the spine ends where it begins")
        .with_help("let all its stations have one section, or leave a gap: `bend(angle: 330 deg, …)`")
}

/// The faces of two pieces of a bent wall stand this far off each other at their joint, beside the measured face.
pub(in super::super) fn joint_step(names: [&str; 2], step: f64, span: Span) -> Diagnostic {
    let [a, b] = names;
    Diagnostic::warning(Code::JointStep, format!("{a} and {b} meet with a step of up to {} in their faces", mm(step)))
        .with_label(span, "their slopes differ so much where they meet")
        .with_help("sand the step away, or bring the stations nearer to one slope")
        .with_note(
            "both are cut along one plane: on the measured face they meet, and the sheet reaches unlike far past it",
        )
}

pub(in super::super) fn one_tube(section: Span) -> Diagnostic {
    Diagnostic::error(Code::BendNeedsRound, "a flipped bend is cut from one straight round tube or cone")
        .with_label(section, "this is not on the straight line between the others")
        .with_help("give it two stations, both circles, or take `style: mitred`")
        .with_note("a slanting cut fits itself again half turned round only where the tube is round")
}
