//! The faults of shaping, one constructor each.

pub(super) mod borders;

use super::outline::OutlineFault;
use super::say::{at_least, at_most, degrees, mm};
use crate::diag::{Code, Diagnostic};
use crate::geom::Vec3;
use crate::num;
use crate::span::Span;

/// Part of the language, not of this version. A note: everything else is made.
pub(super) fn not_built_yet(what: &str, span: Span) -> Diagnostic {
    Diagnostic::note(Code::NotBuiltYet, format!("{what} is not built yet"))
        .with_label(span, "this version goes no further with it")
        .with_note("everything else in the file is produced")
}

pub(super) fn no_size(name: &str, help: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("this {name} has no size"))
        .with_label(span, "how large?")
        .with_help(format!("give {help}"))
}

pub(super) fn no_width(name: &str, size: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("this {name} is {} wide", mm(size)))
        .with_label(span, "nothing can be cut this small")
        .with_help("give it a width that can be cut")
}

pub(super) fn girth_and_width(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::GirthAndWidth, format!("this {name} is given a girth and a width"))
        .with_label(span, "either of them fixes its size")
        .with_help("keep `around` or `across` and take out the other")
        .with_note("which of two that differ is to be trusted (`trust`) is not built yet")
}

pub(super) fn corner_too_large(radius: f64, fits: f64, room: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::CornerTooLarge, format!("corners of radius {} do not fit", mm(radius)))
        .with_label(span, "two corners meet on one side")
        .with_help(format!("at most `corner: {}`", at_most(fits)))
        .with_repair(format!("corner: {}", at_most(fits)))
        .with_note(format!("{room} has room for {} at each end", mm(fits)))
}

/// What is wrong with the points of an outline.
pub(super) fn outline(fault: OutlineFault, corner: f64, span: Span) -> Diagnostic {
    let error = |code: Code, message: String| Diagnostic::error(code, message);
    match fault {
        OutlineFault::TooFew => error(Code::OutlinePoints, "these points enclose nothing".to_owned())
            .with_label(span, "three sides are the least")
            .with_help("give at least three points, or two and an `arc`"),
        OutlineFault::TooMany(n) => error(Code::OutlinePoints, format!("an outline of {n} points is too long"))
            .with_label(span, "too many points")
            .with_help(format!("give at most {}; arcs stand for many", super::outline::MOST_POINTS)),
        OutlineFault::ArcFirst => error(Code::OutlinePoints, "this outline begins with an arc".to_owned())
            .with_label(span, "an arc starts at the point before it")
            .with_help("put a point first: `[0 mm by 0 mm, arc(…), …]`"),
        OutlineFault::Repeated(p) => error(Code::OutlinePoints, format!("point {p} lies on the one before it"))
            .with_label(span, "this side has no length")
            .with_help(format!("take out point {p}, or move it")),
        OutlineFault::Spike(p) => error(Code::OutlineCrosses, format!("the outline turns straight back at point {p}"))
            .with_label(span, "it runs over itself there")
            .with_help(format!("move point {p} off the line")),
        OutlineFault::Crosses(a, b) => error(Code::OutlineCrosses, "this outline crosses or touches itself".to_owned())
            .with_label(span, format!("the sides after point {a} and point {b} meet"))
            .with_help("list the points in the order in which a knife goes round"),
        OutlineFault::NoArea => error(Code::OutlineCrosses, "this outline encloses nothing".to_owned())
            .with_label(span, "its sides lie on or across each other")
            .with_help("list the points in the order in which a knife goes round"),
        OutlineFault::CornerTooLarge { point, fits } => {
            corner_too_large(corner, fits, &format!("a side at point {point}"), span)
        }
        OutlineFault::CornerAtArc(p) => {
            error(Code::CornerTooLarge, format!("the corner at point {p} lies beside an arc and cannot be rounded"))
                .with_label(span, "`corner` rounds corners between straight sides")
                .with_help("let the arc run on smoothly, or draw the rounding as an arc of its own")
        }
    }
}

pub(super) fn outline_broken(span: Span) -> Diagnostic {
    Diagnostic::error(Code::OutlineCrosses, "this outline does not go round once")
        .with_label(span, "its sides turn more or less than once round")
        .with_help("list the points in the order in which a knife goes round")
}

pub(super) fn rod_for_sheet(stock: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::RodForSheet, format!("{stock} is rod, and this part is cut from sheet"))
        .with_label(span, "a rod cannot be rolled to a wall")
        .with_help("name a stock of foam, cloth, leather, card or clear sheet")
}

pub(super) fn no_sheet_size(name: &str, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("stock {name} has no size"))
        .with_label(head, "how large is a sheet of it?")
        .with_help("give `size: 500 mm by 1000 mm`, or of a roll `wide: 1400 mm`")
}

pub(super) fn paper_too_small(name: &str, side: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PaperTooSmall, format!("nothing of {name} is left to print on"))
        .with_label(span, format!("of {}, words, margins and overlaps leave too little", mm(side)))
        .with_help("give a larger `size`, or a smaller `margin` or `overlap`")
        .with_note(
            "a page has its title and a bar to measure on it, and must show 20 mm of the prop between its overlaps",
        )
}

pub(super) fn no_density(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoDensity, format!("the mass of {name} is not known"))
        .with_label(span, "this asks for its mass")
        .with_help("give its stock a `density`: `density: 95 kg/m3`, or `180 g/m2` of cloth")
}

pub(super) fn no_such_place(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSuchPlace, "there is nothing here of which this could be the place")
        .with_label(span, "along what?")
        .with_help("write the place as a length: `310 mm`")
        .with_note(
            "`bottom`, `middle` and `top` are places along what a thing stands on; in a station they need a `spine` \
             of known length",
        )
}

pub(super) fn station_twice(place: f64, first: Span, second: Span) -> Diagnostic {
    Diagnostic::error(Code::StationTwice, format!("two stations stand at {}", mm(place)))
        .with_label(second, "the second")
        .with_label(first, "the first")
        .with_help("move one of them, or take it out")
        .with_note("a step from one section to another at one height needs two shells, one on the other")
}

pub(super) fn one_station(name: &str, place: f64, span: Span) -> Diagnostic {
    let other = mm(place + 100.0);
    Diagnostic::error(Code::TooFewStations, format!("{name} has only one station"))
        .with_label(span, "from here to where?")
        .with_help(format!("give a second place: `at {other}: …`, or a stretch `at {} to {other}: …`", mm(place)))
}

pub(super) fn no_stations(name: &str, head: Span) -> Diagnostic {
    Diagnostic::error(Code::TooFewStations, format!("{name} has no stations"))
        .with_label(head, "how wide is it, and where?")
        .with_help("give its sections: `at 0 mm to 100 mm: circle(across: 90 mm)`")
        .with_note("only a shell `in` or `over` another may leave them out: it copies the other's")
}

pub(super) fn wall_too_short(asked: f64, run: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::WallTooShort, format!("{} of wall does not reach this station", mm(asked)))
        .with_label(span, "counted along the wall from the station before")
        .with_help(format!("more than {}, or count along the axis: `along: axis`", at_least(run)))
        .with_note(format!("the sections alone stand {} apart sideways, where the wall is counted", mm(run)))
}

pub(super) fn sharp_corner(section: Span, made: Span) -> Diagnostic {
    Diagnostic::error(Code::SharpCorner, "a rolled wall cannot turn a sharp corner")
        .with_label(section, "its corners have no radius")
        .with_label(made, "rolled from one sheet")
        .with_help("round the corners: `corner: 20 mm`, or make it in panels: `made: panels`")
}

pub(super) fn hollow_unlike(lower: Span, upper: Span) -> Diagnostic {
    Diagnostic::error(Code::HollowUnlike, "no sheet bends from one of these sections to the other")
        .with_label(upper, "this one is not like it")
        .with_label(lower, "this section and the next: one is hollow")
        .with_help("make the two alike, one a scaled copy of the other, or fill in the hollow side")
        .with_note("a sheet bends without stretching between bulging sections of any kind, and between like ones")
}

pub(super) fn point_to_point(lower: Span, upper: Span) -> Diagnostic {
    Diagnostic::error(Code::PointWithin, "nothing lies between two points")
        .with_label(upper, "a point")
        .with_label(lower, "a point")
        .with_help("give one of them a section with a width")
}

pub(super) fn point_within(span: Span) -> Diagnostic {
    Diagnostic::error(Code::PointWithin, "a point closes a shell, and this shell goes on")
        .with_label(span, "other stations lie on both sides of it")
        .with_help("make two shells that meet here, or give this station a width")
}

pub(super) fn corner_too_tight(has: f64, least: f64, direction: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::CornerTooTight, "the sheet is too thick to bend this tightly")
        .with_label(
            span,
            format!(
                "the bend that faces {} has an outside radius of {} here",
                degrees(num::wrap(direction, num::TAU)),
                mm(has)
            ),
        )
        .with_help(format!("give it an outside radius of at least {}, or take a thinner stock", at_least(least)))
        .with_note("its inside would have a radius below nothing")
}

pub(super) fn side_gone((lacks, direction): (f64, f64), inside: bool, span: Span) -> Diagnostic {
    let direction = degrees(num::wrap(direction, num::TAU));
    let (this, other) = if inside { ("inside", "outside") } else { ("outside", "inside") };
    Diagnostic::error(Code::SideTooShort, "the sheet is too thick for this side")
        .with_label(span, format!("on its {this} the flat side that faces {direction} lacks {}", mm(lacks)))
        .with_help(format!("let the sizes belong to that face: `measured: {this}`, or take a thinner stock"))
        .with_note(format!(
            "where a flat side runs out, the bends beside it meet; on the {other} alone they do not overlap"
        ))
}

pub(super) fn no_room_to_close(span: Span) -> Diagnostic {
    Diagnostic::error(Code::CornerTooTight, "the sheet is too thick to close to this point")
        .with_label(span, "the wall meets itself before it begins")
        .with_help("make the other end wider, or take a thinner stock")
}

pub(super) fn seam_too_wide(wide: f64, girth: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::SeamTooWide, "this seam takes more than half of the wall")
        .with_label(span, format!("{} of a girth of {}", mm(wide), mm(girth)))
        .with_help(format!("less than {}", at_most(0.5 * girth)))
}

pub(super) fn gap_too_large(gap: f64, girth: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::GapTooWide, "the gap is larger than the wall")
        .with_label(span, format!("a gap of {}", mm(gap)))
        .with_help(format!("less than {}", at_most(girth)))
        .with_note(format!("the wall is {} round at its narrowest, in the middle of the sheet", mm(girth)))
}

pub(super) fn gap_too_wide(angle: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::GapTooWide, "the gap is a whole turn or more")
        .with_label(span, format!("a gap of {}", degrees(angle)))
        .with_help("less than 360 deg: `gap: 150 deg`")
}

pub(super) fn gap_whole(share: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::GapTooWide, "the gap is the whole girth or more")
        .with_label(span, format!("a gap of {} %", crate::eval::say::number(share * 100.0)))
        .with_help("less than 100 %: `gap: 40 %`")
}

pub(super) fn too_wide(name: &str, own: f64, host: &str, level: f64, there: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::TooWide, format!("the {name} is wider than the wall it grows from"))
        .with_label(span, format!("{name} {}; {host} at {} up: {}", mm(own), mm(level), mm(there)))
        .with_help(format!("at most `across: {}`, or stand it `on {host}.top`", at_most(there)))
        .with_repair(format!("circle(across: {})", at_most(there)))
}

pub(super) fn no_room_inside(name: &str, host: &str, thick: f64, gap: f64, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomInside, format!("{name} has no room there"))
        .with_label(head, format!("{host} leaves nothing for {} of sheet and a gap of {}", mm(thick), mm(gap)))
        .with_help(format!("make {host} wider, or {name} of a thinner stock"))
}

pub(super) fn cap_on_open(name: &str, host: &str, head: Span, seam: Span) -> Diagnostic {
    Diagnostic::error(Code::CapOnOpen, format!("{name} cannot close {host}, which is open along its side"))
        .with_label(head, "a cap fills a closed outline")
        .with_label(seam, "this seam leaves a gap")
        .with_help(format!("close the seam of {host} (`seam: butt`), or take out the cap"))
}

pub(super) fn cap_on_point(name: &str, host: &str, head: Span) -> Diagnostic {
    Diagnostic::error(Code::CapOnPoint, format!("{name} has nothing to close"))
        .with_label(head, format!("{host} ends in a point there"))
        .with_help("take out the cap, or end the shell in a section with a width")
}

pub(super) fn edge_taken(name: &str, head: Span, other: &str, first: Span) -> Diagnostic {
    Diagnostic::error(Code::CapsCollide, format!("{name} and {other} lie in the same place"))
        .with_label(head, "on this edge")
        .with_label(first, format!("{other} covers it already"))
        .with_help("let one of them be `fit: inset`, or take one out")
}

pub(super) fn caps_collide(
    name: &str,
    head: Span,
    other: &str,
    first: Span,
    own: (f64, f64),
    theirs: (f64, f64),
) -> Diagnostic {
    Diagnostic::error(Code::CapsCollide, format!("{name} and {other} lie in the same place"))
        .with_label(head, format!("{name} fills the bore from {} to {} up", mm(own.0), mm(own.1)))
        .with_label(first, format!("{other} fills it from {} to {}", mm(theirs.0), mm(theirs.1)))
        .with_help("sink one of them deeper or less deep (`sunk`)")
}

pub(super) fn sunk_too_deep(name: &str, sunk: f64, thick: f64, tall: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::SunkTooDeep, format!("{name} would come out at the other end"))
        .with_label(span, format!("sunk {} and {} thick in a shell {} long", mm(sunk), mm(thick), mm(tall)))
        .with_help(format!("at most `sunk: {}`", at_most((tall - thick).max(0.0))))
}

pub(super) fn no_bore(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomInside, format!("nothing is left of {name}"))
        .with_label(span, "the outline closes on itself before this")
        .with_help("make the shell wider, the sheet thinner or the gap smaller")
}

pub(super) fn rim_too_long(name: &str, rim: f64, host: &str, tall: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::RimTooLong, format!("the rim of {name} is longer than {host}"))
        .with_label(span, format!("a rim of {} on a shell {} long", mm(rim), mm(tall)))
        .with_help(format!("at most `rim: {}`", at_most(tall)))
}

/// A lid's upright rim passes the widest place of the wall and is too wide elsewhere.
pub(super) fn rim_stands_off(name: &str, by: f64, head: Span) -> Diagnostic {
    Diagnostic::warning(Code::RimStandsOff, format!("the rim of {name} stands off the wall in places"))
        .with_label(
            head,
            format!("by up to {} more than its gap, where the wall is narrower than at its widest", mm(by)),
        )
        .with_help("make the rim shorter, pad it with strips of foam, or set the cap in: `fit: inset`")
        .with_note("the rim is one upright strip, and has to pass the widest place it slides over")
}

pub(super) fn cover_over_gap(name: &str, host: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::CoverOverGap, format!("{name} has a seam where {host} is open"))
        .with_label(span, format!("{host} leaves a gap along its side"))
        .with_help(format!("take out `seam`: {name} then ends at both sides of the gap and is turned over them"))
        .with_note("a cover lies on the wall, and in the gap there is none")
}

pub(super) fn no_room_to_line(name: &str, host: &str, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomInside, format!("nothing is left of {host} for {name} to lie on"))
        .with_label(head, "what closes its ends leaves no wall between them")
        .with_help(format!("take it out, or make {host} longer"))
}

pub(super) fn turn_shortened(name: &str, (asked, room): (f64, f64), stop: &str, span: Span) -> Diagnostic {
    Diagnostic::warning(Code::TurnShortened, format!("{name} is turned over by {} only", mm(room)))
        .with_label(span, format!("there is no room for {}: {stop} is in the way", mm(asked)))
        .with_help(format!("`turn: {}` fits everywhere", at_most(room)))
        .with_repair(format!("turn: {}", at_most(room)))
}

pub(super) fn turn_without_edge(name: &str, span: Span) -> Diagnostic {
    Diagnostic::warning(Code::TurnWithoutEdge, format!("no edge of {name} is free to be turned over"))
        .with_label(span, "this has no effect")
        .with_help("take it out, or write `turn: 0 mm`")
        .with_repair("turn: 0 mm")
        .with_note(
            "an edge in a bore, or one that another part closes, is cut level; cloth that is turned over the wall beside \
             it lies under this piece",
        )
}

pub(super) fn off_the_wall(name: &str, level: f64, tall: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::OffTheWall, format!("{name} lies past the end of the wall"))
        .with_label(span, format!("{} up a wall of {}", mm(level), mm(tall)))
        .with_help(format!("a level from 0 mm to {}", at_most(tall)))
}

pub(super) fn no_room_between_ends(ends: f64, tall: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::OffTheWall, "the ends meet before the first hole")
        .with_label(span, format!("twice {} on a wall of {}", mm(ends), mm(tall)))
        .with_help(format!("at most `ends: {}`", at_most(0.5 * tall)))
}

pub(super) fn margin_or_level(margin: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NeedsLevel, "round a wall, a margin does not say which edge is meant")
        .with_label(span, format!("{} from the bottom or from the top?", mm(margin)))
        .with_help(format!("give the level: `level: {0}` or `level: top - {0}`", mm(margin)))
}

pub(super) fn too_many_holes(n: f64, most: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::TooManyHoles, format!("this makes {n} holes"))
        .with_label(span, "one a pitch")
        .with_help(format!("a wider pitch: at most {most} holes"))
}

pub(super) fn level_on_cap(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NeedsLevel, "a cap is flat: nothing on it lies at a level")
        .with_label(span, "a level runs along a wall")
        .with_help("leave it out for the middle, or give `facing` and `margin`, the distance from the cap's edge")
}

pub(super) fn needs_margin(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NeedsLevel, format!("how far from the cap's edge does {name} lie?"))
        .with_label(span, "off the middle, but not how far")
        .with_help("give the distance of its middle from the edge: `margin: 20 mm`")
}

/// What is left round a hole, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Torn {
    pub hole: f64,
    /// Its centre from the nearest edge, and the sheet left between.
    pub centre: f64,
    pub left: f64,
    /// From centre to edge.
    pub advised: f64,
    /// `foam`, `leather` …
    pub sheet: &'static str,
    /// The field that says how far they lie from that edge; `None` where none does.
    pub field: Option<&'static str>,
}

impl Torn {
    fn label(&self) -> String {
        let left = format!("{} of {} is left", mm(self.left.max(0.0)), self.sheet);
        format!("centre {} from the edge, hole {}: {left}", mm(self.centre), mm(self.hole))
    }

    fn told(&self, d: Diagnostic, span: Span) -> Diagnostic {
        let d = d.with_label(span, self.label()).with_note(self.practice());
        match self.field {
            Some(field) => d.with_help(format!("`{field}: {}`", at_least(self.advised))),
            None => d.with_help("another `count`, so that no hole stands by a seam"),
        }
    }

    fn practice(&self) -> &'static str {
        if self.sheet == "foam" {
            "at least twice the hole and 10 mm in foam (common practice)"
        } else {
            "at least twice the hole (common practice)"
        }
    }
}

/// Less than the hole's own width is left beside it.
pub(super) fn tears_out(torn: &Torn, span: Span) -> Diagnostic {
    let d = torn.told(Diagnostic::error(Code::TearsOut, "these holes would tear out"), span);
    match torn.field {
        Some(field) => d.with_repair(format!("{field}: {}", at_least(torn.advised))),
        None => d,
    }
}

pub(super) fn near_the_edge(torn: &Torn, span: Span) -> Diagnostic {
    torn.told(Diagnostic::warning(Code::NearTheEdge, "these holes may tear out"), span)
}

pub(super) fn holes_too_close(pitch: f64, hole: f64, span: Span, counted: bool) -> Diagnostic {
    let help = if counted { "fewer holes" } else { "a wider pitch" };
    Diagnostic::error(Code::HolesMeet, "these holes would tear into each other")
        .with_label(span, format!("holes of {} every {}: {} is left", mm(hole), mm(pitch), mm((pitch - hole).max(0.0))))
        .with_help(format!("{help}: at least {} from hole to hole", at_least(2.0 * hole)))
        .with_note("at least a hole's own width between two (common practice)")
}

pub(super) fn no_room_for_holes(ends: f64, long: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::OffTheWall, "there is no room for the holes")
        .with_label(span, format!("{} at each end of an edge {} long", mm(ends), mm(long)))
        .with_help(format!("less than {}", at_most(0.5 * long)))
}

pub(super) fn margin_past_the_wall(margin: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::OffTheWall, "these holes lie past the wall")
        .with_label(span, format!("{} from their edge", mm(margin)))
        .with_help("a smaller `margin`: what a lace needs is some 10 mm")
}

pub(super) fn seam_is_glued(name: &str, host: &str, target: Span, seam: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} has no two edges to draw together"))
        .with_label(target, "these sides lie over one another or on a strip, and are glued")
        .with_label(seam, format!("the seam of {host}"))
        .with_help("let the sides meet edge to edge, `seam: butt`, or leave a gap: `seam: open(gap: 30 mm)`")
}

pub(super) fn laces_two_edges(name: &str, sort: &str, span: Span, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} needs two edges"))
        .with_label(span, format!("`{sort}` runs from one edge to the other"))
        .with_label(target, "this is one")
        .with_help("`as: whip` or `as: running` goes along one edge; two are a seam, or a list: `on [a.top, b.bottom]`")
}

pub(super) fn laces_one_edge(name: &str, sort: &str, span: Span, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} needs one edge"))
        .with_label(span, format!("`{sort}` goes along a single edge"))
        .with_label(target, "these are two")
        .with_help("`as: cross`, `as: ladder` or `as: spiral` draws two edges together")
}

pub(super) fn laces_a_gap(name: &str, span: Span, seam: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} has no gap to go round its edges"))
        .with_label(span, "a zigzag comes back round each edge")
        .with_label(seam, "these sides meet")
        .with_help("`as: spiral` winds over a closed seam")
}

pub(super) fn no_edge_to_lace(name: &str, host: &str, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} has no edge to go along"))
        .with_label(target, format!("{host} ends in a point there"))
        .with_help("lace its other edge, or let it end in a section with a width")
}

pub(super) fn open_and_closed(name: &str, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("the edges of {name} do not go together"))
        .with_label(target, "one goes all the way round, the other is open at a seam")
        .with_help("open both, or close both")
}

pub(super) fn no_lace(name: &str, sort: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::LaceUnfit, format!("{name} is no lace"))
        .with_label(span, format!("a supply of sort `{sort}`"))
        .with_help("name a supply that is a cord, lace, wire, webbing, elastic or tape: `of: lace3`")
}

pub(super) fn no_eyelet(name: &str, sort: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::LaceUnfit, format!("{name} is no eyelet"))
        .with_label(span, format!("a supply of sort `{sort}`"))
        .with_help("name a supply that is an eyelet: `eyelets: eyelet5`")
}

pub(super) fn lace_too_thick((name, flat): (&str, bool), thick: f64, clear: f64, span: Span, hole: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::LaceUnfit, format!("{name} does not go through its holes"))
        .with_label(span, format!("{} {}", mm(thick), if flat { "wide, folded once" } else { "thick" }))
        .with_label(hole, format!("{} clear", mm(clear)))
        .with_help(format!("holes of at least {}, or a thinner lace", at_least(thick)));
    if flat { d.with_note("a flat lace is folded once to go through") } else { d }
}

pub(super) fn eyelet_too_wide(name: &str, clear: f64, hole: f64, span: Span, holes: Span) -> Diagnostic {
    Diagnostic::error(Code::LaceUnfit, format!("{name} does not go into its holes"))
        .with_label(span, format!("{} wide inside", mm(clear)))
        .with_label(holes, format!("{} wide", mm(hole)))
        .with_help(format!("`holes: {}` or more, as its maker says, or a smaller eyelet", at_least(clear)))
}

/// A finish of something that is neither paint nor sealer.
pub(super) fn no_coat(name: &str, sort: &str, span: Span, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoCoat, format!("`{name}` is no paint"))
        .with_label(span, "coated with this?")
        .with_label(head, format!("it is {sort}"))
        .with_help("name a supply that is `as: paint` or `as: sealer`")
}

/// Contents that stand in a cap.
pub(super) fn contents_meet_a_cap(
    name: &str,
    span: Span,
    host: &str,
    by: f64,
    (cap, head): (&str, Span),
) -> Diagnostic {
    Diagnostic::warning(Code::ContentsDoNotFit, format!("{name} does not fit in {host}"))
        .with_label(span, format!("it stands {} in {cap}", mm(by)))
        .with_label(head, "this closes the end")
        .with_help("move it along (`level`), or make the part longer")
}

/// Contents that the wall leaves no room for.
pub(super) fn contents_too_large(
    name: &str,
    span: Span,
    host: &str,
    size: Option<[f64; 3]>,
    by: f64,
    at: Vec3,
) -> Diagnostic {
    let what = match size {
        Some([across, deep, up]) => format!("{} by {} by {}", mm(across), mm(deep), mm(up)),
        None => "its middle".to_owned(),
    };
    let way = num::wrap(num::atan2(at.y, at.x), num::TAU).to_degrees();
    Diagnostic::warning(Code::ContentsDoNotFit, format!("{name} does not fit in {host}"))
        .with_label(span, format!("{what}: the wall stands {} in it", mm(by)))
        .with_help("make the bore wider, or move it with `level` and `shift`")
        .with_note(format!("worst {} up, toward {way:.0} deg (0 front, 90 left)", mm(at.z)))
}

/// Contents that lie beside the part they are in.
pub(super) fn contents_outside(name: &str, span: Span, host: &str) -> Diagnostic {
    Diagnostic::warning(Code::ContentsDoNotFit, format!("{name} does not lie within {host}"))
        .with_label(span, "its middle is past the wall")
        .with_help("move it back with `shift`")
}

/// Goods of another sort than the thing is made with.
pub(super) fn wrong_goods(name: &str, is: &str, wants: &[&str], span: Span) -> Diagnostic {
    let one = |w: &str| match w {
        "hook_loop" => "hook-and-loop tape".to_owned(),
        "ring" | "buckle" | "hook" | "rivet" | "magnet" | "snap" | "eyelet" | "peg" => format!("a {w}"),
        _ => w.to_owned(),
    };
    let wanted = wants.iter().map(|w| one(w)).collect::<Vec<_>>().join(" or ");
    let is = one(is);
    Diagnostic::error(Code::WrongGoods, format!("{name} is not what this is made with"))
        .with_label(span, format!("{name} is {is}, and this takes {wanted}"))
        .with_help(format!("name one that is: `supply … {{ as: {} }}` of your own, or one of the shelf", wants[0]))
}

/// A supply whose size is needed and not given.
pub(super) fn no_supply_size(name: &str, field: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("supply {name} has no `{field}`"))
        .with_label(span, "its size is needed here")
        .with_help(format!("give it where {name} is described: `{field}: 20 mm`"))
}

pub(super) fn tab_too_wide(tab: &str, wide: f64, ring: &str, inside: f64, span: Span, of: Span) -> Diagnostic {
    Diagnostic::error(Code::DoesNotPass, format!("{tab} does not pass {ring}"))
        .with_label(span, format!("a tab {} wide", mm(wide)))
        .with_label(of, format!("{ring} takes {}", mm(inside)))
        .with_help(format!("a tab at most {} wide, or one of sheet, which is cut to fit", mm(inside)))
}

pub(super) fn strap_too_wide(
    strap: &str,
    wide: f64,
    through: &str,
    inside: f64,
    span: Span,
    head: Option<Span>,
) -> Diagnostic {
    let d = Diagnostic::error(Code::DoesNotPass, format!("{strap} does not pass {through}"))
        .with_label(span, format!("a strap {} wide", mm(wide)));
    let d = match head {
        Some(head) => d.with_label(head, format!("{through} takes {}", mm(inside))),
        None => d,
    };
    d.with_help(format!("a strap at most {} wide, or a ring, loop or keeper at least {} inside", mm(inside), mm(wide)))
}

pub(super) fn rivet_too_short(name: &str, long: f64, thick: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::DoesNotPass, format!("{name} does not reach through the sheet"))
        .with_label(span, format!("its shank is {} long, and the sheet {} thick", mm(long), mm(thick)))
        .with_help(format!("a rivet at least {} long", at_least(thick)))
}

pub(super) fn let_in_too_deep(name: &str, deep: f64, thick: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, format!("{name} is thicker than the sheet it is let into"))
        .with_label(span, format!("{} deep in {} of sheet", mm(deep), mm(thick)))
        .with_help(format!("a magnet at most {} thick, or a backing of more sheet", mm(thick)))
}

pub(super) fn how_wide(name: &str, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("how wide is {name} inside?"))
        .with_label(head, "no strap of known width runs through it")
        .with_help("give its inside width: `wide: 22 mm`, or name it as one of a strap's keepers: `via`")
}

pub(super) fn no_bead_fits(name: &str, across: f64, long: f64, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, format!("not one {name} fits"))
        .with_label(head, format!("{} of wire for beads {} across", mm(long), mm(across)))
        .with_help(format!("at least {}, or smaller beads", at_least(across)))
}

pub(super) fn hangs_too_deep(wide: f64, sag: f64, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, "this wire would hang straight down on itself")
        .with_label(head, format!("it sags {} between ends {} apart", mm(sag), mm(wide)))
        .with_help("less `sag`, more `wide`, or two drops in its place")
}

/// A sling runs between things that hold a strap.
pub(super) fn holds_no_strap(strap: &str, target: &str, what: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::HoldsNoStrap, format!("{strap} cannot be fixed to {target}"))
        .with_label(span, format!("{target} is {what}"))
        .with_help(
            "name two rings: `on [upper, lower]`, each an `attachment` with `as: ring`; a strap that goes round a \
             part is `as: band`",
        )
}

/// A strap runs to one ring of several under one name.
pub(super) fn which_ring(strap: &str, target: &str, count: usize, span: Span) -> Diagnostic {
    Diagnostic::error(Code::HoldsNoStrap, format!("to which {target} does {strap} run?"))
        .with_label(span, format!("{target} is {count} rings"))
        .with_help("give each ring a name of its own")
}

pub(super) fn one_end(strap: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::HoldsNoStrap, format!("{strap} has only one end"))
        .with_label(span, "a sling runs from one ring to another")
        .with_help("name both: `on [upper, lower]`")
}

/// A sling shorter than the way between its rings.
pub(super) fn sling_too_short(name: &str, long: f64, apart: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::DoesNotPass, format!("{name} does not reach from ring to ring"))
        .with_label(span, format!("{} long, and the rings are {} apart", mm(long), mm(apart)))
        .with_help(format!("more than {}", at_least(apart)))
}
