//! Holes, shaped edges, marks and borders of the skin: `opening`, `edge`, `mark`, `border`. Rank 7.

use super::entry::{else_from, example, fields, may, must, on, or, sort, word};
use super::shared::{
    A_FACE, COUNT, ENDS, EVERY, FAR, GOODS, LENGTH, LEVEL, MANY, MARGIN, MEASURED, PAIRED, PLACE, REPEAT, SEAM, SHAPE,
    SPREAD, SUPPLY, THICK,
};
use super::{Built, Family, Field, Group, Hosts, Kind, SortWord, Type, facts};
use crate::design;

pub(super) const OPENING: Kind = Kind {
    kind: design::Kind::Opening,
    group: Group::Edges,
    word: "opening",
    target: on(Hosts::Part, true),
    doc: "A hole through a part and everything on it there: a window, a drain, a hatch",
    example: example!("opening"),
    fields: fields![
        PLACE,
        REPEAT,
        &[
            must("shape", SHAPE, "circle(across: 8 mm)", "Its outline, true on the flat"),
            may("fill", Type::Make(Family::Fill), "pane(of: clear05, margin: 8 mm)", "What closes it").not_yet(),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[word("edges", "The edge of the hole")],
    facts: facts::OPENING,
    built: Built::Yes,
};

const EDGE_SORTS: &[SortWord] = &[
    sort("slope", "Cut off along a plane that touches the straight edge where it faces and is deepest opposite"),
    sort("point", "Points, straight on both sides of each"),
    sort("scallops", "Round tongues side by side, each the arc of a circle"),
    sort("crenels", "Square teeth and gaps of one width"),
    sort("wave", "A wave: a cosine with its crests on the edge"),
    sort(
        "curve",
        "A smooth line through the spots of `path`; between two it rises or falls all the way, so its highest and lowest \
         places are spots",
    ),
];

/// The sorts that repeat.
const ROWS: &[&str] = &["point", "scallops", "crenels", "wave"];
const RISING: &[&str] = &["slope", "point", "scallops", "crenels", "wave"];

pub(super) const EDGE: Kind = Kind {
    kind: design::Kind::Edge,
    group: Group::Edges,
    word: "edge",
    target: on(Hosts::Edge, true),
    doc: "Cuts a shell's bottom or top itself to a figure: measured with a tape on the measured face, along its straight \
          edge and from there down the wall along its straight lines; cut square to the sheet",
    example: example!("edge"),
    fields: fields![&[
        must("as", Type::Sort(EDGE_SORTS), "scallops", "What figure"),
        COUNT.sorts(ROWS),
        EVERY.sorts(ROWS),
        must("rise", LENGTH, "18 mm", "From its outermost place, which lies on the straight edge, to its deepest")
            .above0(FAR)
            .sorts(RISING),
        else_from(
            "facing",
            Type::Direction,
            "front; of several on an open wall, from side to side",
            "left",
            "Which way its outermost side, or the middle of one of its figures, faces; others follow by equal lengths",
        )
        .sorts(RISING),
        must(
            "path",
            Type::List(&Type::SkinSpot),
            "[front by 0 mm, left by 20 mm]",
            "The spots a curve goes through: which way each faces, and how far down the wall from the straight edge it \
             lies. One is on it; on an open wall the curve goes on level from the outer ones to the sides",
        )
        .sorts(&["curve"]),
    ],],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::EDGE,
    built: Built::Yes,
};

const MARK_SORTS: &[SortWord] = &[
    sort("score", "Cut part of the way, on the face it is on, so that the sheet folds away from it or opens"),
    sort("groove", "A channel pressed or carved"),
    sort("line", "A line drawn on its face, to be seen or to work by"),
];

/// The sorts that go into the sheet.
const SUNK: &[&str] = &["score", "groove"];

pub(super) const MARK: Kind = Kind {
    kind: design::Kind::Mark,
    group: Group::Edges,
    word: "mark",
    target: on(Hosts::Part, true),
    doc: "A line, groove or score on a part: a ring at a level of a wall, straight across a plate, a `margin` in from the \
          edge of a cap, or through the spots of a `path`. Holes interrupt it and edges end it",
    example: example!("mark"),
    fields: fields![
        &[LEVEL.doc("At what level of a wall's measured face, or of a plate, a ring lies")],
        &[
            COUNT.doc("How many: rings one above the other, paths set round a wall"),
            EVERY,
            SPREADING_OF_MARKS,
            MARGIN.doc("How far in from the edge of a cap or plate a line along it runs"),
            ENDS.doc("Distance of the first and the last ring from the ends"),
        ],
        &[
            or("as", Type::Sort(MARK_SORTS), "line", "What sort of mark"),
            else_from("deep", LENGTH, "a third of the thickness", "1 mm", "Its depth; of the layer on that face")
                .above0(THICK)
                .sorts(SUNK),
            or(
                "face",
                A_FACE,
                "outside",
                "Which face it is on; one on the inside is pricked through, since pieces lie with their outside up",
            ),
            else_from(
                "path",
                Type::List(&Type::SkinSpot),
                "a ring at `level`",
                "[front by 20 mm, left by 60 mm]",
                "The spots it runs through. On a wall it rises evenly with the share of the way round, the shorter way; \
                 on a cap or plate spots are `ACROSS by UP` from the middle of the face, with straight lines between",
            ),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::MARK,
    built: Built::Yes,
};

const SPREADING_OF_MARKS: Field =
    else_from("spread", SPREAD, "rings along, paths around", "along", "Which way several are spread");

const BORDER_SORTS: &[SortWord] = &[
    sort(
        "band",
        "A strip of stock lying on the skin; on an edge its far side is level with the edge, and goes up and down with it",
    ),
    sort("cord", "A cord lying on the skin; on an edge its far side is level with the edge, round all its corners"),
    sort("binding", "Tape, or a strip cut from a stock, folded over the edge"),
    sort("piping", "A cord that stands on the edge in a strip round it, which is caught outside"),
    sort("beads", "Beads on a wire through their middles, evenly spread"),
    sort(
        "scallops",
        "A row of tongues along the free edge of a strip: on an edge it points away from it, at a level down",
    ),
    sort(
        "wrap",
        "A strip wound round and round a closed wall, turn beside turn from edge to edge, and trimmed to both",
    ),
];

const GOODS_OF: Field = else_from(
    "of",
    Type::OneOrList(&GOODS),
    "the prop's",
    "foam2",
    "What it is of: a stock, or a supply such as a cord; of a piping the cord and the strip round it",
);

const BORDER_LEVEL: Field = else_from(
    "level",
    Type::Level,
    "middle; on an edge beside it",
    "top - 45 mm",
    "Where its middle lies along what it is on, a line of the measured face moved square to the sheet",
);

pub(super) const BORDER: Kind = Kind {
    kind: design::Kind::Border,
    group: Group::Edges,
    word: "border",
    target: on(Hosts::PartOrEdge, true),
    doc: "What runs along an edge or round a part: a band, a cord, a binding, beads",
    example: example!("border"),
    fields: &[
        must("as", Type::Sort(BORDER_SORTS), "band", "What sort of border"),
        GOODS_OF,
        MEASURED,
        PAIRED,
        BORDER_LEVEL,
        or("seam", SEAM, "butt", "How its ends meet on a closed wall; on an open one it ends where that does"),
        or("count", Type::Count, "1", "How many rows, one beside the other: from an edge inwards, about a level")
            .within(1.0, MANY)
            .sorts(&["band", "cord", "beads", "scallops"]),
        must("wide", LENGTH, "30 mm", "Its width along the wall, opposite the wall's seam; along a shaped edge everywhere, so that square to a steep place it is narrower")
            .above0(FAR)
            .sorts(&["band"]),
        or("rise", LENGTH, "0 mm", "How far it stands up past the edge").from0(FAR).sorts(&["band"]),
        or("tuck", LENGTH, "0 mm", "Spare at each end, tucked through the seam").from0(FAR).sorts(&["cord"]),
        or("wide", LENGTH, "12 mm", "Its width on each face").above0(FAR).sorts(&["binding"]),
        or("wide", LENGTH, "8 mm", "Width of what is caught, on each side of the cord").above0(FAR).sorts(&["piping"]),
        or("gap", LENGTH, "0 mm", "Least clear distance between beads; evened out").from0(FAR).sorts(&["beads"]),
        must("wire", SUPPLY, "thin_wire", "What they are strung on: wire, cord, lace or elastic").sorts(&["beads"]),
        must("wide", LENGTH, "40 mm", "Width of the strip with its tongues").above0(FAR).sorts(&["scallops"]),
        must("every", LENGTH, "30 mm", "Pitch of tongues along their edge: the nearest that gives whole ones is taken")
            .above0(FAR)
            .sorts(&["scallops"]),
        else_from("rise", LENGTH, "a quarter of the pitch", "8 mm", "Height of a tongue, from its notches to its tip")
            .above0(FAR)
            .sorts(&["scallops"]),
        must("wide", LENGTH, "20 mm", "Width of the strip").above0(FAR).sorts(&["wrap"]),
    ],
    ways: &[],
    stations: false,
    edges: &[
        word("bottom", "A band's first edge along the part it lies on: a lace goes through it"),
        word("top", "A band's last edge along that part"),
    ],
    facts: facts::BORDER,
    built: Built::Yes,
};
