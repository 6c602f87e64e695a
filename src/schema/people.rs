//! Who it is for and what it is: `prop`, `wearer`. Rank 7.

use super::entry::{NOWHERE, example, may, must, or, word};
use super::shared::{A_FACE, HEAVY, LENGTH, MASS, NO_LIMIT, STOCK, TIME};
use super::{Built, Field, Group, Kind, Need, Range, Type, facts};
use crate::design;
use crate::stock::{MEASURES, Measure};

pub(super) const PROP: Kind = Kind {
    kind: design::Kind::Prop,
    group: Group::People,
    word: "prop",
    target: NOWHERE,
    doc: "What the whole thing is, who it is for, and what holds for all its parts; one in a file that is built",
    example: example!("prop"),
    fields: &[
        must("title", Type::Text, "\"Signal keeper's flag case\"", "What it is called on every page"),
        may(
            "wearer",
            Type::OneOrList(&Type::Thing(&[design::Kind::Wearer])),
            "keeper",
            "Who carries it; of a list each has a run and a folder of their own",
        ),
        may("of", Type::OneOrList(&STOCK), "foam5", "The stock of every part that does not name its own"),
        or("measured", A_FACE, "outside", "The face the sizes of every part belong to"),
        Field {
            need: Need::From("by hand"),
            ..may("cutter", Type::Thing(&[design::Kind::Cutter]), "desk", "What cuts the sheets")
        },
        or("paper", Type::Thing(&[design::Kind::Paper]), "a4", "The paper of printed pages"),
        may(
            "budget",
            Type::Money,
            "60",
            "What everything to buy may cost; each thing's price is in the report, and past it nothing is written",
        )
        .from0(NO_LIMIT),
        may("deadline", Type::Date, "\"2031-06-14\"", "The day it must be ready; kept in the report, not answered yet"),
        or("bench", TIME, "2 h", "Time at the bench on one day; kept in the report, not answered yet")
            .within(60.0, 86_400.0),
        or(
            "sheets",
            Type::Word(&[
                word("shared", "One layout for all wearers of a list"),
                word("own", "Each wearer's pieces on sheets of their own"),
            ]),
            "shared",
            "Whether the runs of several wearers share sheets",
        )
        .not_yet(),
        or(
            "show",
            Type::Word(&[word("mm", "Millimetres"), word("inches", "Inches and sixteenths")]),
            "mm",
            "The units of the report and of what is written on pieces",
        ),
        may("currency", Type::Text, "\"shells\"", "What money is called in the report"),
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: facts::PROP,
    built: Built::Yes,
};

/// A body measure as a field of a wearer.
const fn measure(m: &Measure) -> Field {
    Field {
        name: m.name,
        ty: LENGTH,
        need: Need::Optional,
        range: Range::Within(m.least, m.most),
        sorts: &[],
        doc: m.how,
        example: m.example,
        built: Built::Yes,
    }
}

const OWN: &[Field] = &[
    may("height", LENGTH, "171 cm", "Standing height without shoes").within(300.0, 2_600.0),
    may("mass", MASS, "68 kg", "Body mass").range(Range::Above0(HEAVY)),
    may("age", Type::Count, "34", "Age in whole years").within(0.0, 130.0),
];

const WEARER_FIELDS: [Field; OWN.len() + MEASURES.len()] = {
    let mut all = [OWN[0]; OWN.len() + MEASURES.len()];
    let mut i = 0;
    while i < OWN.len() {
        all[i] = OWN[i];
        i += 1;
    }
    while i < all.len() {
        all[i] = measure(&MEASURES[i - OWN.len()]);
        i += 1;
    }
    all
};

pub(super) const WEARER: Kind = Kind {
    kind: design::Kind::Wearer,
    group: Group::People,
    word: "wearer",
    target: NOWHERE,
    doc: "A person's measures; give those the prop asks for",
    example: example!("wearer"),
    fields: &WEARER_FIELDS,
    ways: &[],
    stations: false,
    edges: &[],
    facts: &[],
    built: Built::Yes,
};
