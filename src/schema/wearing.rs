//! How it hangs on a body and what it carries: `attachment`, `strap`, `contents`, `hang`. Rank 7.

use super::entry::{else_from, example, fields, may, must, on, or, sort, word};
use super::shared::{ANGLE, FAR, GOODS, HEAVY, LENGTH, LEVEL, MASS, PLACE, REPEAT, SHIFT, SQUARE, SUPPLY};
use super::{Built, Field, Group, Hosts, Kind, SortWord, Target, Type, facts};
use crate::design::{self, Relation};

const ATTACHMENT_SORTS: &[SortWord] = &[
    sort("ring", "A ring held by a tab").not_yet(),
    sort("loop", "A loop a strap runs through").not_yet(),
    sort("keeper", "A loop that holds a strap's tail").not_yet(),
    sort("hook", "A hook or clip").not_yet(),
    sort("rivet", "A rivet").not_yet(),
    sort("magnet", "A magnet let in").not_yet(),
    sort("hook_loop", "A strip of hook-and-loop").not_yet(),
    sort("buckle", "A buckle on a tab").not_yet(),
    sort("drop", "Beads hanging on a wire").not_yet(),
    sort("swag", "Beads on a wire hung between two places").not_yet(),
];

pub(super) const ATTACHMENT: Kind = Kind {
    kind: design::Kind::Attachment,
    group: Group::Wearing,
    word: "attachment",
    target: on(Hosts::Part, true),
    doc: "Hardware fixed to a part: a ring, a loop, a hook, hanging beads",
    example: example!("attachment"),
    fields: fields![
        PLACE,
        REPEAT,
        &[
            must("as", Type::Sort(ATTACHMENT_SORTS), "ring", "What sort of attachment"),
            must("of", Type::OneOrList(&GOODS), "dee20", "What it is of"),
            may("backing", Type::Size, "40 mm by 60 mm", "A patch behind it, on the hidden face").above0(FAR),
            must("tab", GOODS, "webbing20", "What holds the ring").sorts(&["ring"]),
            else_from("wide", LENGTH, "the strap's width + 2 mm", "22 mm", "Inside width of the loop")
                .above0(FAR)
                .sorts(&["loop", "keeper"]),
            must("long", LENGTH, "60 mm", "Length of the strip").above0(FAR).sorts(&["hook_loop"]),
            must("long", LENGTH, "80 mm", "How far it hangs down").above0(FAR).sorts(&["drop"]),
            must("wide", LENGTH, "120 mm", "Distance between its two ends").above0(FAR).sorts(&["swag"]),
            must("sag", LENGTH, "30 mm", "How far its middle hangs below its ends").above0(FAR).sorts(&["swag"]),
            or("gap", LENGTH, "0 mm", "Clear distance between beads").from0(FAR).sorts(&["drop", "swag"]),
            must("wire", SUPPLY, "thin_wire", "What they are strung on").sorts(&["drop", "swag"]),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::ATTACHMENT,
    built: Built::NotYet,
};

const STRAP_SORTS: &[SortWord] = &[
    sort("sling", "From one attachment to another, over a shoulder").not_yet(),
    sort("band", "Round a body or a part").not_yet(),
];

pub(super) const STRAP: Kind = Kind {
    kind: design::Kind::Strap,
    group: Group::Wearing,
    word: "strap",
    target: on(Hosts::Anything, true),
    doc: "A strap between attachments, or round something",
    example: example!("strap"),
    fields: fields![
        REPEAT,
        &[
            must("of", GOODS, "webbing20", "What it is of"),
            else_from(
                "as",
                Type::Sort(STRAP_SORTS),
                "sling on several targets, band on one",
                "sling",
                "What sort of strap"
            ),
            must("long", LENGTH, "129 cm", "Its finished length").above0(FAR).sorts(&["sling"]),
            else_from("around", LENGTH, "the target's girth", "29 cm", "The girth it goes round")
                .above0(FAR)
                .sorts(&["band"]),
            or("tail", LENGTH, "80 mm", "Spare at the end, past the slider").from0(FAR),
            or("fold", LENGTH, "25 mm", "Folded back and sewn at each end").from0(FAR),
            or("slider", Type::YesNo, "yes", "Whether it can be made longer and shorter"),
            may(
                "via",
                Type::OneOrList(&Type::Thing(&[design::Kind::Attachment])),
                "[keeper_one, keeper_two]",
                "The keepers it runs through on its way",
            ),
        ],
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::STRAP,
    built: Built::NotYet,
};

pub(super) const CONTENTS: Kind = Kind {
    kind: design::Kind::Contents,
    group: Group::Wearing,
    word: "contents",
    target: Target { required: true, words: &[Relation::In], things: Hosts::Part, many: false },
    doc: "What it carries: weighed, and hung with and without",
    example: example!("contents"),
    fields: &[
        must("mass", MASS, "340 g", "Its mass").from0(HEAVY),
        may(
            "size",
            Type::Size3,
            "60 mm by 32 mm by 17 mm",
            "Its size, across by deep by up: an upright box about its middle, held against the bore",
        )
        .above0(FAR),
        LEVEL,
        Field { built: Built::Yes, ..SHIFT },
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::CONTENTS,
    built: Built::Yes,
};

pub(super) const HANG: Kind = Kind {
    kind: design::Kind::Hang,
    group: Group::Wearing,
    word: "hang",
    target: on(Hosts::StrapOrAttachment, true),
    doc: "Asks how it hangs, empty and full, and what each attachment bears",
    example: example!("hang"),
    fields: &[
        or(
            "support",
            Type::Word(&[
                word("point", "A strap runs over one point: a shoulder, a peg"),
                word("body", "A strap lies round a body and grips"),
            ]),
            "point",
            "What a strap goes over",
        ),
        or("slide", LENGTH, "0 mm", "How far a strap may slip over it").from0(FAR),
        may("steepest", ANGLE, "35 deg", "The most it may lean from upright").within(0.0, 2.0 * SQUARE),
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::HANG,
    built: Built::Yes,
};
