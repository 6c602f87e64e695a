//! What holds parts together or lets them move: `lacing`, `closure`, `articulation`. Rank 7.

use super::entry::{example, fields, may, must, on, or, sort};
use super::shared::{ANGLE, FAR, GOODS, LENGTH, MANY, REPEAT, SUPPLY, TURN};
use super::{Built, Group, Hosts, Kind, SortWord, Type, facts};
use crate::design;

const LACING_SORTS: &[SortWord] = &[
    sort("cross", "Its middle straight across pair 1, both ends crossing from pair to pair, over and under by turns"),
    sort("ladder", "A rung on the outside at each pair; up on the inside, now on one side, now on the other"),
    sort("spiral", "Straight across on the outside, slanting back on the inside to the first side's next hole"),
    sort("zigzag", "On the outside to and fro between two edges; into each hole and out round the edge beside it"),
    sort("running", "In and out along an edge, hole by hole; of several edges a lace along each"),
    sort(
        "whip",
        "Along an edge, or along each of several: out of each hole, over the edge, inside to the next; a cap's disc is sewn \
         so to the edge it closes",
    ),
];

pub(super) const LACING: Kind = Kind {
    kind: design::Kind::Lacing,
    group: Group::Joining,
    word: "lacing",
    target: on(Hosts::Edge, true),
    doc: "A lace through holes along a seam or between edges, or round the disc of a cap and the edge it closes",
    example: example!("lacing"),
    fields: &[
        or("as", Type::Sort(LACING_SORTS), "cross", "How it is laced"),
        must("of", SUPPLY, "waxed_cord", "The lace"),
        must("holes", LENGTH, "3 mm", "Diameter of its holes").above0(100.0),
        or("every", LENGTH, "25 mm", "Pitch of holes: the nearest that divides the edge evenly is taken").above0(FAR),
        may("count", Type::Count, "12", "How many holes a side, instead of a pitch").within(2.0, MANY),
        or("margin", LENGTH, "10 mm", "Centre of each hole from its edge, square to it on the flat").above0(FAR),
        or("ends", LENGTH, "12 mm", "First and last hole from the ends of the edge; none where it goes all round")
            .from0(FAR),
        or("tail", LENGTH, "150 mm", "Spare lace at each end, to tie").from0(FAR),
        may("eyelets", SUPPLY, "eyelet5", "What is set in each hole"),
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::LACING,
    built: Built::Yes,
};

const CLOSURE_SORTS: &[SortWord] = &[
    sort("magnets", "Pairs of magnets, polarity marked on both").not_yet(),
    sort("hook_loop", "Hook-and-loop tape").not_yet(),
    sort("snaps", "Press studs").not_yet(),
    sort("buckle", "A strap and a buckle").not_yet(),
    sort("pin", "A pin or toggle through a loop").not_yet(),
    sort("hinge", "A flexible strip along one side").not_yet(),
    sort("elastic", "An elastic loop").not_yet(),
    sort("breakaway", "Lets go when pulled: a must round a child's neck").not_yet(),
];

pub(super) const CLOSURE: Kind = Kind {
    kind: design::Kind::Closure,
    group: Group::Joining,
    word: "closure",
    target: on(Hosts::Anything, true),
    doc: "What opens and shuts: magnets, hook-and-loop, a buckle",
    example: example!("closure"),
    fields: fields![
        REPEAT,
        &[
            must("as", Type::Sort(CLOSURE_SORTS), "magnets", "What sort of closure"),
            must("of", Type::OneOrList(&GOODS), "disc8", "What it is of"),
            or("overlap", LENGTH, "0 mm", "How far one side lies over the other").from0(FAR),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::CLOSURE,
    built: Built::NotYet,
};

pub(super) const ARTICULATION: Kind = Kind {
    kind: design::Kind::Articulation,
    group: Group::Joining,
    word: "articulation",
    target: on(Hosts::Part, true),
    doc: "Plates that slide over one another on straps",
    example: example!("articulation"),
    fields: &[
        must("angle", ANGLE, "40 deg", "How far all joints together must turn; each takes an equal share").above0(TURN),
        must("overlap", LENGTH, "43 mm", "How far one plate lies over the next when they are closed, along the sheet")
            .above0(FAR),
        must(
            "of",
            Type::OneOrList(&GOODS),
            "webbing20",
            "Its straps, which run inside all plates; a rivet named beside them holds them, else they are glued",
        ),
        or("count", Type::Count, "3", "How many straps a joint").within(1.0, MANY),
        or("upper", Type::Face { both: false }, "outside", "Which face of the plate below it the upper one lies on"),
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::ARTICULATION,
    built: Built::Yes,
};
