//! The faults of shaping, one constructor each.

pub(super) mod borders;

mod cores;
mod edges;
mod feet;
mod fitted;
mod folds;
mod forms;
mod keels;
mod marks;
mod placing;
mod sizes;
mod sliding;
mod sloped;

pub(super) use cores::*;
pub(super) use edges::*;
pub(super) use feet::*;
pub(super) use fitted::*;
pub(super) use folds::*;
pub(super) use forms::*;
pub(super) use keels::*;
pub(super) use marks::*;
pub(super) use placing::*;
pub(super) use sizes::*;
pub(super) use sliding::*;
pub(super) use sloped::*;

use super::kinds::plate::Bevel;
use super::outline::OutlineFault;
use super::say::{at_least, at_most, degrees, down, mm};
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

pub(super) fn on_a_corner(name: &str, direction: f64, side: f64, span: Span) -> Diagnostic {
    let words = |phi: f64| degrees(num::wrap(phi, num::TAU));
    Diagnostic::error(Code::OnACorner, format!("`{name}` lies on a corner, where two panels meet"))
        .with_label(span, format!("{} is the direction of a corner, not of a side", words(direction)))
        .with_help(format!("turn it to a side: `facing: {}` is the nearest one's", words(side)))
}

/// One of several, or one that is moved, comes to lie on a corner.
pub(super) fn comes_to_a_corner(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::OnACorner, format!("`{name}` lies on a corner, where two panels meet"))
        .with_label(span, "counted or moved round the wall it comes to one")
        .with_help("another `count`, `facing` or `shift`, so that each lies on a side")
}

pub(super) fn hollow_unlike(lower: Span, upper: Span) -> Diagnostic {
    Diagnostic::error(Code::HollowUnlike, "no sheet bends from one of these sections to the other")
        .with_label(upper, "this one is not like it")
        .with_label(lower, "this section and the next: one is hollow")
        .with_help("make one a copy of the other, every size times one number (`0.9 * 60 mm`; rounded sizes make no copy), or fill in the hollow side")
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

/// What makes a bend tight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Tight {
    /// The section itself, which has a corner or is a circle.
    Corner,
    /// The section itself, an oval: its least radius.
    Oval(f64),
    /// The wall, which turns over too quickly: the section is round enough, with this radius at its tightest.
    Wall(f64),
}

pub(super) fn corner_too_tight((has, least): (f64, f64), why: Tight, direction: f64, span: Span) -> Diagnostic {
    let help = match why {
        Tight::Wall(section) => format!(
            "the section itself is round enough, {} at its tightest, but the wall's slope changes quickly round it: \
             make the wall taller or its sections more alike, or take a thinner stock",
            mm(section)
        ),
        Tight::Oval(tightest) => format!(
            "make the oval larger or its widths more alike: it has a radius of {} at its tightest and needs at least \
             {}; or take a thinner stock",
            mm(tightest),
            at_least(least)
        ),
        Tight::Corner => format!("give it an outside radius of at least {}, or take a thinner stock", at_least(least)),
    };
    Diagnostic::error(Code::CornerTooTight, "the sheet is too thick to bend this tightly")
        .with_label(
            span,
            format!(
                "the bend that faces {} has an outside radius of {} here",
                degrees(num::wrap(direction, num::TAU)),
                mm(has)
            ),
        )
        .with_help(help)
        .with_note("its inside would have a radius below nothing")
}

/// What would let a side be: another face that the sizes belong to, and the thickest sheet; neither where none does.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct WayOut {
    pub face: Option<&'static str>,
    pub thick: Option<f64>,
}

pub(super) fn side_gone(
    (lacks, direction): (f64, f64),
    inside: bool,
    WayOut { face, thick }: WayOut,
    span: Span,
) -> Diagnostic {
    let direction = degrees(num::wrap(direction, num::TAU));
    let this = if inside { "inside" } else { "outside" };
    let thinner = match thick {
        Some(mm) => format!("take sheet of at most {} in all", at_most(mm)),
        None => "take a thinner stock".to_owned(),
    };
    let d = Diagnostic::error(Code::SideTooShort, "the sheet is too thick for this side")
        .with_label(span, format!("on its {this} the flat side that faces {direction} lacks {}", mm(lacks)))
        .with_note("where a flat side runs out, the bends beside it meet, and on this face they would overlap");
    match face {
        Some(face) => d
            .with_help(format!("let the sizes belong to another face: `measured: {face}`; or {thinner}"))
            .with_repair(format!("measured: {face}")),
        None => d.with_help(format!("{thinner}, or make the sections more alike or the wall between them taller")),
    }
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

/// On a wall that runs to a point, a strip behind the seam that ends before it has begun.
pub(super) fn backing_to_a_point(
    name: &str,
    wide: f64,
    (long, least): (f64, f64),
    fits: f64,
    span: Span,
) -> Diagnostic {
    let d = Diagnostic::error(Code::SeamTooWide, format!("the strip behind the seam of {name} finds no room"))
        .with_label(span, format!("a strip {} wide would end after {}", mm(wide), mm(long)))
        .with_note(format!(
            "toward the point of {name} the strip ends where it would go half of the way round, where it would bend more \
             tightly inside than it is thick, or where its end would run along its sides; it is to be at least {} long",
            mm(least)
        ));
    if fits >= 3.0 {
        d.with_help(format!("a narrower strip: at most `wide: {0}`; or edge to edge: `seam: butt`", at_most(fits)))
            .with_repair(format!("wide: {}", at_most(fits)))
    } else {
        d.with_help("join the seam edge to edge: `seam: butt`, or with a lap: `seam: lap`").with_repair("butt")
    }
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

/// A flush cap's edge goes on along the wall, which crosses itself there.
pub(super) fn no_flush_edge(name: &str, host: &str, (thick, fits): (f64, f64), inset: bool, head: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::NoRoomInside, format!("{name} has no edge that is flush with {host}"))
        .with_label(
            head,
            format!(
                "its edge goes on along the wall, which drawn on past its end crosses itself within the {} of this sheet",
                mm(thick)
            ),
        )
        .with_note("at that end flat sides run out to nothing, and past it what lies beside them would overlap");
    let thinner = (fits >= 0.1).then(|| format!("take sheet of at most {} for it", at_most(fits)));
    match (inset, thinner) {
        (true, thinner) => d
            .with_help(format!("set it in: `fit: inset`{}", thinner.map_or(String::new(), |t| format!("; or {t}"))))
            .with_repair("fit: inset"),
        (false, Some(thinner)) => d.with_help(format!("{thinner}, or lay it over the end: `fit: overlay`")),
        (false, None) => d.with_help("lay it over the end, `fit: overlay`, or make the section there rounder"),
    }
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

/// A cap that lies in a bore, or has a rim, is not turned down.
pub(super) fn turns_where_it_lies_on_the_end(name: &str, span: Span) -> Diagnostic {
    Diagnostic::warning(Code::TurnWithoutEdge, format!("{name} has no edge to be turned down over the wall"))
        .with_label(span, "this has no effect")
        .with_help(format!("let {name} lie on the wall's end: `fit: flush`; or take `turn` out"))
        .with_repair("fit: flush")
}

/// Goods that are to be turned down over a wall.
pub(super) fn does_not_fold(name: &str, stock: &str, sort: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongGoods, format!("{name} is to be turned down over its wall, and {stock} does not fold"))
        .with_label(span, format!("{stock} is {sort}; cloth and leather fold"))
        .with_help("name cloth: `of: twill`; or take `turn` out")
}

/// A hole in a wall `free` from the edge, under what is turned down there.
pub(super) fn hole_under_a_turn(hole: &str, cap: &str, free: f64, at: Span, turn: Span) -> Diagnostic {
    not_built_yet(&format!("{hole}, cut through what {cap} turns down over it,"), at)
        .with_label(turn, format!("up to {} of it leaves the hole free", at_most(free.max(0.0))))
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

/// It does not lie on the wall it is bent to; too far round: how wide it is, and how much there is.
pub(super) fn plate_off_wall(name: &str, round: Option<(f64, f64)>, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::PlateOffWall, format!("{name} does not lie on the wall"));
    match round {
        Some((wide, fits)) => d
            .with_label(span, format!("{} wide, and the wall is {} around to hold it", mm(wide), mm(fits)))
            .with_help(format!("at most {} across, or `made: flat`", at_most(fits))),
        None => d
            .with_label(span, "some of it reaches past where the wall can be carried on")
            .with_help("make it smaller, move it away from the wall's point, or leave it flat: `made: flat`"),
    }
    .with_note("on a wall a plate is bent as the wall is, unless it says `made: flat` or gives a radius in `bent`")
}

/// It reaches past a station where the wall changes its slope.
pub(super) fn plate_past_station(name: &str, station: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PlateOffWall, format!("{name} reaches past a station where the wall bends"))
        .with_label(span, format!("the wall changes its slope {} up", mm(station)))
        .with_help("give it a `level` at which it lies on one stretch, make it smaller, or leave it flat: `made: flat`")
        .with_note("sheet that is bent round a wall cannot be bent across it as well")
}

/// The radius is too small for its sheet.
pub(super) fn plate_bend(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PlateOffWall, format!("{name} is bent to less than its own thickness"))
        .with_label(span, "nothing is left of its inside")
        .with_help("a larger radius, or a thinner stock")
}

/// The sides of a bevel run into each other: how far in they may go.
pub(super) fn bevels_meet(bevel: Bevel, name: &str, fits: f64, asked: f64, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::BevelsMeet, format!("the bevels of {name} run into each other"))
        .with_label(span, format!("they reach {} in from the outline", mm(asked)));
    match bevel {
        Bevel::Wedge(_) | Bevel::Diamond(_) if fits >= 0.1 => {
            d.with_help(format!("at most `wide: {}`", at_most(fits))).with_repair(format!("wide: {}", at_most(fits)))
        }
        Bevel::Lean(_) if asked > 0.0 => d.with_help(format!("a smaller angle: {} in is the most", at_most(fits))),
        _ => d.with_help("a narrower bevel, or an outline without narrow places"),
    }
}

pub(super) fn flat_and_bent(name: &str, flat: Span, bent: Span) -> Diagnostic {
    Diagnostic::error(Code::FlatAndBent, format!("{name} is both flat and bent"))
        .with_label(flat, "it stays flat here")
        .with_label(bent, "and is bent here")
        .with_help("keep `bent` or `made: flat` and take out the other")
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

pub(super) fn too_many_fitted(n: f64, most: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::TooManyThings, format!("this fits {n} of them"))
        .with_label(span, format!("more than {most} under one name"))
        .with_help(format!("a wider pitch or a smaller count: at most {most}"))
}

pub(super) fn too_much_sheet(span: Span, parts: usize, most: f64) -> Diagnostic {
    let most = most * 1e-6;
    Diagnostic::error(Code::TooManyThings, format!("more than {parts} parts need more than {most} m2 of sheet"))
        .with_label(span, "with this one it is too much; all that follow are left out")
        .with_help("look at the ends of the loops, and at the sizes they lead to")
}

pub(super) fn level_on_cap(span: Span) -> Diagnostic {
    Diagnostic::error(Code::NeedsLevel, "a cap is flat: nothing on it lies at a level")
        .with_label(span, "a level runs along a wall")
        .with_help("leave it out for the middle, or give `facing` and `margin`, the distance from the cap's edge")
}

/// On a cap or a plate.
pub(super) fn needs_margin(name: &str, on: &str, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::NeedsLevel, format!("how far from the {on}'s edge does {name} lie?"))
        .with_label(span, "off the middle, but not how far");
    let help = "give the distance of its middle from the edge: `margin: 20 mm`";
    if on == "plate" {
        d.with_help(format!("{help}; or `spread: along`, one above the other"))
    } else {
        d.with_help(help)
    }
}
