//! How it hangs on a body and what it carries: `attachment`, `strap`, `contents`, `hang`. Rank 7.

use super::entry::{else_from, example, fields, may, must, on, or, sort, word};
use super::shared::{ANGLE, FAR, GOODS, HEAVY, LENGTH, LEVEL, MASS, PLACE, REPEAT, SHIFT, SQUARE, SUPPLY};
use super::{Built, Field, Group, Hosts, Kind, SortWord, Target, Type, facts};
use crate::design::{self, Relation};

const ATTACHMENT_SORTS: &[SortWord] = &[
    sort("ring", "A ring held by a tab that runs down from its bar; the bar lies at its level"),
    sort("loop", "An upright strip, both ends fixed, that a strap runs through"),
    sort("keeper", "A loop that holds a strap's tail"),
    sort("hook", "A hook or clip"),
    sort("rivet", "A rivet; its hole is punched when all layers are glued"),
    sort("magnet", "A magnet let into the outer face"),
    sort("hook_loop", "A level strip of hook-and-loop"),
    sort("buckle", "A buckle on a tab, as a ring"),
    sort("drop", "Beads hanging straight down on a wire"),
    sort("swag", "Beads on a wire hung between two places, as a chain hangs"),
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
            may(
                "backing",
                Type::Size,
                "40 mm by 60 mm",
                "A patch behind it, on the hidden face, across by up: of a sheet that `of` names beside it, else of the \
                 part's innermost",
            )
            .above0(FAR),
            must("tab", GOODS, "webbing20", "What holds it: webbing, or sheet that is cut as wide as it takes")
                .sorts(&["ring", "buckle"]),
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
    built: Built::Yes,
};

const STRAP_SORTS: &[SortWord] =
    &[sort("sling", "From one attachment to another, over a shoulder"), sort("band", "Round a part")];

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
            must("of", Type::OneOrList(&GOODS), "webbing20", "What it is of, and a slider or buckle beside it"),
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
            LEVEL.sorts(&["band"]),
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
    built: Built::Yes,
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
