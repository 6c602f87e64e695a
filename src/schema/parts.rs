//! The skin: `shell`, `dome`, `plate`, `cap`, `keel`, and the `core` that stiffens it. Rank 7.

use super::entry::{ANYWHERE, else_from, example, fields, may, must, on, or, word};
use super::shared::{ANGLE, FAR, FOOT_PLACE, LENGTH, MAKE, MANY, PLACE, REPEAT, SEAM, SECTION, SHAPE, SQUARE, STOCK};
use super::{Built, Family, Group, Hosts, Kind, Named, Type, facts};
use crate::design;

const BOTTOM: Named = word("bottom", "Its first edge along the axis");
const TOP: Named = word("top", "Its last edge along the axis");
const SEAM_EDGE: Named = word("seam", "Both sides of its seam");
const ALL_EDGES: Named = word("edges", "All its free edges");

pub(super) const SHELL: Kind = Kind {
    kind: design::Kind::Shell,
    group: Group::Parts,
    word: "shell",
    target: ANYWHERE,
    doc: "A wall around an axis, through a section at each station",
    example: example!("shell"),
    fields: fields![
        MAKE,
        FOOT_PLACE,
        &[
            or("spine", Type::List(&Type::Make(Family::Spine)), "[straight]", "The line its stations stand along"),
            or("seam", SEAM, "butt", "How the wall closes"),
            else_from(
                "made",
                Type::Make(Family::Made),
                "rolled; with sharp corners panels",
                "rolled",
                "How the wall is worked"
            ),
            or(
                "between",
                Type::Word(&[
                    word("straight", "Straight lines from station to station"),
                    word("curved", "One smooth curve through all stations; the sheet is stretched").not_yet(),
                ]),
                "straight",
                "How the wall runs between stations",
            ),
            or("foot", Type::Make(Family::Foot), "butt", "How it meets what it stands on"),
            else_from(
                "rim",
                Type::Word(&[
                    word("level", "The end face lies in the plane of the station"),
                    word("square", "The edge is cut at right angles to the sheet"),
                ]),
                "level where something meets it, else square",
                "level",
                "How its ends are cut",
            ),
            or(
                "along",
                Type::Word(&[
                    word("axis", "Stations count along the axis"),
                    word("wall", "Stations count along the wall, on its line opposite the seam"),
                ]),
                "axis",
                "What stations count",
            ),
            may("passes", LENGTH, "195 mm", "A girth that must get through it and what stands in it: a hand, a head")
                .above0(FAR),
            or(
                "split",
                Type::Word(&[
                    word("auto", "A piece too large for its sheet is cut once, straight across, with a warning"),
                    word("never", "A piece too large for its sheet is an error"),
                ]),
                "auto",
                "What to do when a piece does not fit its sheet",
            ),
            or(
                "fit",
                Type::Word(&[
                    word("onto", "Stands on the outer face"),
                    word("through", "Goes through the wall to its inner face"),
                ]),
                "onto",
                "Grown from a wall: how far it goes in",
            )
            .not_yet(),
            or("hole", Type::YesNo, "yes", "Grown from a wall: whether the wall is cut open there").not_yet(),
        ],
    ],
    ways: &[],
    stations: true,
    edges: &[BOTTOM, TOP, SEAM_EDGE, ALL_EDGES],
    facts: facts::SHELL,
    built: Built::Yes,
};

pub(super) const DOME: Kind = Kind {
    kind: design::Kind::Dome,
    group: Group::Parts,
    word: "dome",
    target: ANYWHERE,
    doc: "A skin that closes over a base: half a ball, a cone, an ogee",
    example: example!("dome"),
    fields: fields![
        MAKE,
        FOOT_PLACE,
        &[
            else_from(
                "base",
                SECTION,
                "the edge it is on",
                "oval(across: 180 mm by 160 mm)",
                "The section it starts from"
            ),
            may("rise", LENGTH, "80 mm", "How high its top stands over its foot").above0(FAR),
            may("radius", LENGTH, "110 mm", "Radius of its meridian").above0(FAR),
            or(
                "profile",
                Type::Either(
                    &Type::Word(&[
                        word("round", "An arc of a circle or an ellipse"),
                        word("straight", "A cone"),
                        word("ogee", "Hollow below the top, round below that"),
                    ]),
                    &SHAPE,
                ),
                "round",
                "The line from its foot to its top; an outline gives any",
            ),
            or("made", Type::Make(Family::DomeMade), "gores", "How the skin is worked"),
            or("foot", Type::Make(Family::Foot), "butt", "How it meets what it stands on"),
        ],
    ],
    ways: &[&["rise"], &["radius"]],
    stations: false,
    edges: &[BOTTOM, SEAM_EDGE, ALL_EDGES],
    facts: facts::DOME,
    built: Built::NotYet,
};

pub(super) const PLATE: Kind = Kind {
    kind: design::Kind::Plate,
    group: Group::Parts,
    word: "plate",
    target: ANYWHERE,
    doc: "A flat or once-bent piece of any shape: a fin, a badge, a scute",
    example: example!("plate"),
    fields: fields![
        MAKE,
        PLACE,
        REPEAT,
        &[
            must("shape", SHAPE, "circle(across: 60 mm)", "Its outline on the flat"),
            else_from(
                "bent",
                LENGTH,
                "flat, or as the wall",
                "120 mm",
                "Radius of its measured face, bent about its up"
            )
            .above0(FAR),
            or(
                "bevel",
                Type::Either(&ANGLE, &Type::Make(Family::Bevel)),
                "0 deg",
                "How far its edge leans in from square toward the outside face; or a wedge or a diamond, by width",
            )
            .within(-SQUARE, SQUARE),
            else_from(
                "made",
                Type::Make(Family::PlateMade),
                "flat; on a wall bent as the wall",
                "flat",
                "How it is worked: flat on a wall it stands tangent to it",
            ),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[BOTTOM, TOP, ALL_EDGES],
    facts: facts::PLATE,
    built: Built::Yes,
};

pub(super) const CAP: Kind = Kind {
    kind: design::Kind::Cap,
    group: Group::Parts,
    word: "cap",
    target: on(Hosts::Edge, false),
    doc: "A flat piece that closes an edge: a base, a lid",
    example: example!("cap"),
    fields: fields![
        MAKE,
        &[
            or(
                "fit",
                Type::Word(&[
                    word("inset", "Inside the bore, its face level with the edge"),
                    word("flush", "On the edge, covering the wall's end"),
                    word("overlay", "Over the edge, with a rim of its own"),
                ]),
                "inset",
                "How it closes the edge",
            ),
            or("sunk", LENGTH, "0 mm", "Inset: how far its face lies below the edge").from0(FAR),
            or("loose", Type::YesNo, "no", "Whether it comes off: a lid, not a base"),
            or("rim", LENGTH, "25 mm", "Overlay: height of its rim").above0(FAR),
            or("gap", LENGTH, "0.5 mm", "Overlay: clear distance to the wall and to whatever stands proud of it")
                .from0(100.0),
            or(
                "turn",
                LENGTH,
                "0 mm",
                "Flush, of cloth or leather: what is turned down over the wall, under any band there"
            )
            .from0(FAR),
            or(
                "relief",
                Type::Word(&[
                    word("auto", "Cuts where what is turned down would not lie"),
                    word("none", "No cuts: it is stretched, or laid in folds"),
                ]),
                "auto",
                "What is done about the cloth that is too much there",
            ),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[
        word("bottom", "The edge of its hidden face; of an overlay the free edge of its rim"),
        word("top", "The edge of its show face: laced, of its disc to the edge it closes"),
        word("seam", "Both sides of the seam of an overlay's rim"),
        ALL_EDGES,
    ],
    facts: facts::CAP,
    built: Built::Yes,
};

pub(super) const KEEL: Kind = Kind {
    kind: design::Kind::Keel,
    group: Group::Parts,
    word: "keel",
    target: on(Hosts::Part, false),
    doc: "A ridge of two flanks along a part",
    example: example!("keel"),
    fields: fields![
        MAKE,
        PLACE,
        &[
            must("wide", LENGTH, "30 mm", "Straight across from foot to foot, at its level").above0(FAR),
            must("rise", LENGTH, "18 mm", "Height of its ridge over the skin, at its level").above0(FAR),
            else_from("long", LENGTH, "all of the part", "200 mm", "Length along the part").above0(FAR),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[BOTTOM, TOP, ALL_EDGES],
    facts: facts::KEEL,
    built: Built::Yes,
};

pub(super) const CORE: Kind = Kind {
    kind: design::Kind::Core,
    group: Group::Parts,
    word: "core",
    target: ANYWHERE,
    doc: "A rod that stiffens a part or makes it long",
    example: example!("core"),
    fields: fields![
        FOOT_PLACE,
        &[
            must("of", STOCK, "dowel12", "Its rod"),
            must("long", LENGTH, "1400 mm", "Its whole length").above0(FAR),
            else_from(
                "count",
                Type::Count,
                "as few as the rod and `longest` allow",
                "2",
                "How many lengths it is of, all alike"
            )
            .within(1.0, MANY),
            may("longest", LENGTH, "700 mm", "The longest a length may be, to travel").above0(FAR),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::CORE,
    built: Built::Yes,
};
