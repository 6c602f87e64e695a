//! The faults that only the laid-out geometry can see.

use crate::diag::{Code, Diagnostic};
use crate::eval::say::direction;
use crate::fitted::{Ground, Spot};
use crate::ids::ThingId;
use crate::solid::{Body, Hole, Onto, Part, PlateHole, Stock, Trace, Turn};
use crate::span::Span;

use super::over::{MOST, Off};

/// A length as a maker reads it: millimetres to a tenth, without a needless zero.
fn mm(x: f64) -> String {
    let text = format!("{:.1}", x + 0.0);
    let text = text.strip_suffix(".0").unwrap_or(&text);
    format!("{} mm", if text == "-0" { "0" } else { text })
}

/// The next tenth that is enough.
fn at_least(x: f64) -> String {
    mm(((x * 10.0 - 1e-6).ceil()) / 10.0)
}

/// A length rounded down to tenths: what fits.
fn at_most(x: f64) -> String {
    mm((x * 10.0 + 1e-6).floor() / 10.0)
}

/// What a leaf is bent to ends, or bends at a station, before the leaf does.
#[must_use]
pub fn leaf_off_wall(part: &Part) -> Diagnostic {
    Diagnostic::error(Code::PlateOffWall, format!("{} reaches past what it is bent to", part.name))
        .with_label(part.origin, "no single bend carries all of it")
        .with_help("make it smaller, or leave it flat: `made: flat`")
}

/// A rounding is tighter than the sheet is thick: the inside face would cross itself. `outside` is the radius that
/// the outside face has there, `least` the one that would leave the inside face a sharp corner.
#[must_use]
pub fn corner_too_tight(part: &Part, phi: f64, z: f64, outside: f64, least: f64) -> Diagnostic {
    let least = at_least(least);
    Diagnostic::error(Code::CornerTooTight, format!("a corner of {} is tighter than its sheet is thick", part.name))
        .with_label(
            part.origin,
            format!(
                "at {}, {} up, its outside radius is {}; the inside would be less than nothing",
                direction(phi),
                mm(z),
                mm(outside.max(0.0))
            ),
        )
        .with_help(format!("give the corner an outside radius of at least {least}: `corner: {least}`"))
        .with_repair(format!("corner: {least}"))
        .with_note("bent round its own thickness, a sheet's inside radius is its outside radius less the thickness")
}

/// What is folded over an edge would lie over itself, however it is cut.
#[must_use]
pub fn turn_too_wide(part: &Part, turn: &Turn, fits: f64) -> Diagnostic {
    if let (Onto::Ground { .. }, false) = (turn.onto, turn.origin == part.origin) {
        let tabs = format!("foot: tabs(wide: {})", mm(fits));
        let error =
            Diagnostic::error(Code::TurnTooWide, format!("the tabs of {} cannot be {} wide", part.name, mm(turn.wide)))
                .with_label(turn.origin, "toward their ends they run together, and no sheet is left of some")
                .with_note(
                    "round a hollow of a foot, and below a wall that widens, they are the narrower the farther out",
                );
        return if fits < 1.0 {
            error.with_help("round the hollows of its foot more, or let it stand on its end: `foot: butt`")
        } else {
            error.with_help(format!("at most `{tabs}`")).with_repair(tabs)
        };
    }
    let error =
        Diagnostic::error(Code::TurnTooWide, format!("{} cannot be turned over by {}", part.name, mm(turn.wide)))
            .with_label(turn.origin, "folded in, it would lie over itself and leave no tab between its cuts");
    if turn.glued.is_some() {
        return error.with_help(format!("glue tabs there may be {} wide at most: make the part wider", mm(fits)));
    }
    // Where not even a millimetre lies, a smaller turn is no way out.
    if fits < 1.0 {
        return error
            .with_help(
                "no turn lies there: round the edge's bends more (a larger `corner`, a smaller `fullness`, no `spin` \
                 between two stations), or end the cloth at the edge and bind it with a `border`",
            )
            .with_note("along an edge that bends all but at once the cloth has nowhere to go");
    }
    error
        .with_help(format!("at most `turn: {}`", mm(fits)))
        .with_repair(format!("turn: {}", mm(fits)))
        .with_note("at a corner that is tighter than the turn is wide the cloth of both sides meets before its edge")
}

/// A plate's outline would have a corner below nothing.
#[must_use]
pub fn plate_corner(part: &Part, phi: f64, z: f64, more: f64) -> Diagnostic {
    Diagnostic::error(Code::CornerTooTight, format!("the wall round {} has too tight a corner for it", part.name))
        .with_label(part.origin, format!("at {}, {} up, the inside radius lacks {}", direction(phi), mm(z), mm(more)))
        .with_help(format!("make the wall's corner radius larger by at least {}", at_least(more)))
        .with_note("bent round its own thickness, a sheet's inside radius is its outside radius less the thickness")
}

/// A flat side of the wall is shorter than its bevelled ends take away.
#[must_use]
pub fn side_too_short(part: &Part, phi: f64, z: f64, lacks: f64) -> Diagnostic {
    Diagnostic::error(
        Code::SideTooShort,
        format!("a flat side of {} is too short for the sheet's thickness", part.name),
    )
    .with_label(
        part.origin,
        format!("toward {}, {} up, the face on the other side of the sheet lacks {}", direction(phi), mm(z), mm(lacks)),
    )
    .with_help("lengthen the side, give its corners a radius, or take a thinner sheet")
    .with_note("a sheet that leans takes its thickness from the length of a level side")
}

/// A side of the wall runs out to nothing within a plate's thickness.
#[must_use]
pub fn plate_side(part: &Part, phi: f64, z: f64, lacks: f64) -> Diagnostic {
    Diagnostic::error(Code::SideTooShort, format!("{} has no outline at one of its faces", part.name))
        .with_label(
            part.origin,
            format!("toward {}, {} up, a flat side of the wall there lacks {}", direction(phi), mm(z), mm(lacks)),
        )
        .with_help("set it in: `fit: inset`; or take a thinner sheet for it or for the wall")
        .with_note(
            "at that end flat sides of the wall run out to nothing, and past it what lies beside them would overlap",
        )
}

/// An open seam leaves nothing of the wall.
#[must_use]
pub fn gap_too_wide(part: &Part, gap: f64, around: f64) -> Diagnostic {
    Diagnostic::error(Code::GapTooWide, format!("the open seam leaves nothing of {}", part.name))
        .with_label(part.origin, format!("the gap takes {} of the {} around", mm(gap), mm(around)))
        .with_help("make the gap smaller than the girth at every station")
}

/// A rim that crosses itself on the flat farther off than on the faces of the sheet.
#[must_use]
pub(super) fn edge_runs_off(part: &Part, off: Off) -> Diagnostic {
    Diagnostic::error(Code::EdgeRunsOff, format!("an edge of {} cannot be cut true at a corner", part.name))
        .with_label(
            part.origin,
            format!(
                "at {}, {} up, where a side faces a corner, what is cut stands {:.3} mm off the body; at most {MOST} mm \
                 is built",
                direction(off.phi),
                mm(off.z),
                off.by
            ),
        )
        .with_help(
            "round that corner more, make the sections on both sides of it more alike, the wall between them taller, \
             or the sheet thinner",
        )
        .with_note("the sheet's faces meet round such a corner each in another place, and one cut cannot be in all of them")
}

/// A strip behind a seam whose rim comes round beside its side.
#[must_use]
pub fn backing_along_its_rim(part: &Part, wide: f64) -> Diagnostic {
    Diagnostic::error(Code::SeamTooWide, format!("{} is too wide for where the wall is narrow", part.name))
        .with_label(part.origin, format!("{} wide, it has an end that comes round beside its side", mm(wide)))
        .with_help("give a narrower strip, or join the seam edge to edge: `seam: butt`")
        .with_note(
            "its sides are straight on the flat; where the wall turns far within its width, a bevelled end does not \
             meet them",
        )
}

/// A gap of one length on a wall that runs to a point.
#[must_use]
pub fn gap_to_a_point(part: &Part, gap: f64) -> Diagnostic {
    Diagnostic::error(
        Code::GapTooWide,
        format!("{} runs to a point, where a gap of one width is wider than it", part.name),
    )
    .with_label(part.origin, format!("the gap is {} wide all along", mm(gap)))
    .with_help("let the gap narrow with the wall: give it as a share of the girth, or as an angle: `gap: 25 %`")
}

/// A bend tighter than the sheet takes cold.
#[must_use]
pub fn bend_warm(part: &Part, radius: f64, stock: &Stock) -> Diagnostic {
    Diagnostic::warning(Code::BendWarm, format!("{} must be warmed to bend this tightly", part.name))
        .with_label(part.origin, format!("its tightest inside bend has a radius of {}", mm(radius)))
        .with_help(format!(
            "warm it before rolling, or keep every inside radius at {} or more",
            at_least(stock.tightest)
        ))
        .with_note(format!(
            "rolled cold, {} takes an inside radius of {}; warmed, {}",
            stock.name,
            mm(stock.tightest),
            mm(stock.tightest_warm)
        ))
}

/// A bend tighter than the sheet takes even warmed.
#[must_use]
pub fn bend_too_tight(part: &Part, radius: f64, stock: &Stock) -> Diagnostic {
    Diagnostic::warning(Code::BendTooTight, format!("{} bends more tightly than {} takes", part.name, stock.name))
        .with_label(part.origin, format!("its tightest inside bend has a radius of {}", mm(radius.max(0.0))))
        .with_help(format!(
            "score or carve it there, or keep every inside radius at {} or more",
            at_least(stock.tightest_warm)
        ))
        .with_note(format!("even warmed, {} takes an inside radius of {}", stock.name, mm(stock.tightest_warm)))
}

/// A hole, as messages name it.
#[derive(Clone, Copy, Debug)]
pub struct HoleRef<'a> {
    pub thing: ThingId,
    pub name: &'a str,
    pub origin: Span,
}

impl<'a> From<&'a Hole> for HoleRef<'a> {
    fn from(h: &'a Hole) -> Self {
        Self { thing: h.thing, name: &h.name, origin: h.origin }
    }
}

impl<'a> From<&'a PlateHole> for HoleRef<'a> {
    fn from(h: &'a PlateHole) -> Self {
        Self { thing: h.thing, name: &h.name, origin: h.origin }
    }
}

/// A hole runs over the edge of its piece.
#[must_use]
pub fn hole_crosses_edge(part: &Part, hole: HoleRef, edge: &str, by: f64) -> Diagnostic {
    let by_text = at_least(by);
    Diagnostic::error(Code::HoleCrossesEdge, format!("{} runs over an edge of {}", hole.name, part.name))
        .with_label(hole.origin, format!("it passes the {edge} by {by_text}"))
        .with_label(part.origin, "this is the piece it is cut in")
        .with_help(format!(
            "move it at least {by_text} away from the {edge}, or make it smaller by {} across",
            at_least(2.0 * by)
        ))
        .with_note("a hole lies whole within one flat piece")
}

/// A hole is cut in the wall, and what holds the seam lies over it there.
#[must_use]
pub fn hole_under_the_seam(part: &Part, hole: HoleRef, covers: &str, by: f64) -> Diagnostic {
    let by = at_least(by);
    Diagnostic::warning(Code::UnderTheSeam, format!("the {covers} of {}'s seam would close {}", part.name, hole.name))
        .with_label(hole.origin, format!("it reaches {by} under the {covers}"))
        .with_help(format!("turn the seam to another side (`facing`), or move this {by} away; else cut through both"))
        .with_note("holes are cut in the wall alone: what lies behind its seam is glued there afterwards")
}

/// Two holes of one piece meet, and so do `more` pairs of the same two things.
#[must_use]
pub fn holes_meet(part: &Part, one: HoleRef, other: HoleRef, more: usize) -> Diagnostic {
    let d = Diagnostic::error(Code::HolesMeet, format!("{} and {} meet on {}", one.name, other.name, part.name))
        .with_label(one.origin, format!("{} cuts into the other hole", one.name))
        .with_label(other.origin, format!("{} is already there", other.name))
        .with_help("move one of them, or make them smaller, so that some sheet is left between them");
    with_more(d, more)
}

/// How many more pairs of holes or places a message stands for.
fn with_more(d: Diagnostic, more: usize) -> Diagnostic {
    match more {
        0 => d,
        1 => d.with_note("and one more pair of them"),
        n => d.with_note(format!("and {n} more pairs of them")),
    }
}

/// Where a spot of a part lies, in words: `310 mm up, facing right`.
fn lies(part: &Part, spot: &Spot) -> String {
    let way = |x: f64, plus: &str, minus: &str| format!("{} {}", mm(x.abs()), if x < 0.0 { minus } else { plus });
    let both = |x: f64, y: f64, (up, down): (&str, &str)| match (x.abs() < 0.05, y.abs() < 0.05) {
        (true, true) => "in the middle".to_owned(),
        (false, true) => way(x, up, down),
        (true, false) => way(y, "to the left", "to the right"),
        (false, false) => format!("{}, {}", way(x, up, down), way(y, "to the left", "to the right")),
    };
    match (spot.on, &part.body) {
        (Ground::Wall { rule, z, .. }, _) => format!("{} up, facing {}", mm(z), direction(rule.phi)),
        (Ground::Plate { centre }, Body::Plate(plate)) if plate.upright => {
            both(centre.x, centre.y, ("above the middle", "below the middle"))
        }
        (Ground::Face { centre, .. }, _) => both(centre.x, centre.y, ("above the middle", "below the middle")),
        (Ground::Plate { centre }, _) => both(centre.x, centre.y, ("to the front", "to the back")),
        (Ground::Leaf { at }, Body::Leaf(leaf)) if at.x.abs() < 0.05 => format!("{} up", mm(leaf.level(at))),
        (Ground::Leaf { at }, body) => {
            let up = if let Body::Leaf(leaf) = body { leaf.level(at) } else { at.y };
            format!("{} up, {}", mm(up), way(at.x, "to the right of its middle", "to the left of its middle"))
        }
    }
}

/// What is fitted reaches past its piece.
#[must_use]
pub fn place_crosses_edge(part: &Part, spot: &Spot, tabs: Option<f64>, edge: &str, by: f64) -> Diagnostic {
    let by_text = at_least(by);
    let d = Diagnostic::error(Code::NoRoomThere, format!("{} has no room on {}", spot.name, part.name))
        .with_label(spot.origin, format!("{}: it passes the {edge} by {by_text}", lies(part, spot)))
        .with_label(part.origin, "this is the piece it goes on")
        .with_note("what is glued or sewn on needs the whole of its place on one piece");
    let away = format!("move it at least {by_text} away from the {edge}");
    match tabs.map(|wide| (wide - by).floor()) {
        Some(fits) if fits >= 1.0 => {
            let tabs = format!("foot: tabs(wide: {})", mm(fits));
            d.with_help(format!("cut its tabs narrower, `{tabs}`; or {away}")).with_repair(tabs)
        }
        _ => d.with_help(away),
    }
}

/// Two fittings share some of their ground.
#[must_use]
pub fn places_overlap(part: &Part, one: &Spot, other: &Spot, more: usize) -> Diagnostic {
    let d = Diagnostic::warning(
        Code::PlacesOverlap,
        format!("{} and {} lie over each other on {}", one.name, other.name, part.name),
    );
    let d = if one.origin == other.origin {
        d.with_label(one.origin, format!("{}: {}; {}: {}", one.name, lies(part, one), other.name, lies(part, other)))
    } else {
        d.with_label(one.origin, format!("{}: {}", one.name, lies(part, one)))
            .with_label(other.origin, format!("{}: {}", other.name, lies(part, other)))
    };
    with_more(d.with_help("move one of them, unless one is meant to lie on the other"), more)
}

/// A fitting stands over a hole.
#[must_use]
pub fn place_over_hole(part: &Part, spot: &Spot, hole: HoleRef) -> Diagnostic {
    Diagnostic::warning(Code::PlacesOverlap, format!("{} lies over {} on {}", spot.name, hole.name, part.name))
        .with_label(spot.origin, format!("{}: some of its place is cut away", lies(part, spot)))
        .with_label(hole.origin, format!("{} is cut here", hole.name))
        .with_help("move one of them, so that there is sheet under the whole of it")
}

/// A line along the edge lies further in than its face has one; `fits` would do.
#[must_use]
pub fn mark_too_far_in(part: &Part, trace: &Trace, margin: f64, fits: f64) -> Diagnostic {
    let repair = format!("margin: {}", at_most(fits));
    Diagnostic::error(Code::MarkOffPart, format!("{} lies too far in from the edge of {}", trace.name, part.name))
        .with_label(trace.origin, format!("{} in from it, the outline is used up", mm(margin)))
        .with_label(part.origin, "this is the piece it is on")
        .with_help(format!("`{repair}` or less"))
        .with_repair(repair)
        .with_note("a line along an edge keeps its sides and corners: a round corner must keep a radius")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_read_as_typed() {
        assert_eq!(mm(12.04), "12 mm");
        assert_eq!(at_least(4.51), "4.6 mm");
    }
}
