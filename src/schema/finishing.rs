//! What goes over it, and what it must keep to: `cover`, `finish`, `limit`. Rank 7.

use super::entry::{example, may, must, on, or, word};
use super::shared::{CAUTIONS, FACE_OR_BOTH, FAR, HEAVY, LENGTH, MASS, NO_LIMIT, SEAM, STOCK, SUPPLY};
use super::{Built, Group, Hosts, Kind, Target, Type, facts};
use crate::design::{self, Relation};
use crate::units::Dim;

pub(super) const COVER: Kind = Kind {
    kind: design::Kind::Cover,
    group: Group::Finishing,
    word: "cover",
    target: on(Hosts::Part, true),
    doc: "Cloth or hide over a part, folded round its edges; on the inside a lining",
    example: example!("cover"),
    fields: &[
        must("of", Type::OneOrList(&STOCK), "twill", "Its stock"),
        or("face", FACE_OR_BOTH, "outside", "The face it lies on; inside is a lining"),
        or("turn", LENGTH, "15 mm", "What is folded over each free edge, from the fold to its end").from0(FAR),
        or(
            "seam",
            SEAM,
            "butt",
            "How it closes: in line with the wall's seam unless it has a `facing`; not on an open wall",
        ),
        or(
            "relief",
            Type::Word(&[
                word("auto", "Cuts where the turn would pucker or pull: no tab keeps more than 1 mm"),
                word("none", "No cuts: the cloth gives"),
            ]),
            "auto",
            "Cuts in the turn",
        ),
    ],
    ways: &[],
    stations: false,
    edges: &[word("edges", "All its free edges, before they are turned")],
    facts: facts::COVER,
    built: Built::Yes,
};

pub(super) const FINISH: Kind = Kind {
    kind: design::Kind::Finish,
    group: Group::Finishing,
    word: "finish",
    target: on(Hosts::Anything, true),
    doc: "Coats of paint or sealer",
    example: example!("finish"),
    fields: &[
        must("of", SUPPLY, "slate_grey", "Its paint or sealer"),
        or("coats", Type::Count, "2", "How many coats").within(1.0, 100.0),
        or("face", FACE_OR_BOTH, "outside", "The face it goes on"),
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::FINISH,
    built: Built::Yes,
};

pub(super) const LIMIT: Kind = Kind {
    kind: design::Kind::Limit,
    group: Group::Finishing,
    word: "limit",
    target: Target { required: false, words: &[Relation::On], things: Hosts::Anything, many: true },
    doc: "What parts, or without a target the whole prop, must not pass",
    example: example!("limit"),
    fields: &[
        may("mass", MASS, "450 g", "The most it may weigh, with what is fitted to it and what it carries")
            .above0(HEAVY),
        may(
            "long",
            LENGTH,
            "900 mm",
            "The longest it may be along its own axes, or along the prop's where there are several parts",
        )
        .above0(FAR),
        may(
            "reach",
            LENGTH,
            "600 mm",
            "The farthest any of it may stand from the wearer's axis: the upright through the prop's middle",
        )
        .above0(FAR),
        may(
            "packed",
            Type::Size3,
            "400 mm by 250 mm by 200 mm",
            "The box each body must go in by itself when the prop is taken apart: what is glued stays together",
        )
        .above0(FAR),
        may(
            "without",
            Type::List(&Type::Word(CAUTIONS)),
            "[glass, flame]",
            "Cautions that no stock and no supply in it may have",
        ),
        may("spare", Type::OneOf(&[Dim::MASS, Dim::LENGTH]), "15 g", "To keep in hand under each limit of its kind")
            .from0(NO_LIMIT),
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: &[],
    built: Built::Yes,
};
