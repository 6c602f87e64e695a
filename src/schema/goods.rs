//! What it is made of and with: `stock`, `supply`, `cutter`, `paper`. Rank 7.

use super::entry::{NOWHERE, else_from, example, may, must, or, sort, word};
use super::shared::{CAUTIONS, FAR, HEAVY, LENGTH, LONG_WAIT, MANY, MASS, NO_LIMIT, SHARE, THICK, TIME};
use super::{Built, Family, Field, Group, Kind, SortWord, Type, facts};
use crate::design;
use crate::units::Dim;

const STOCK_SORTS: &[SortWord] = &[
    sort("foam", "Sheet foam"),
    sort("cloth", "Woven or knitted goods, off a roll"),
    sort("leather", "Leather or hide"),
    sort("card", "Card and board"),
    sort("clear", "Clear sheet, for panes"),
    sort("rod", "Rod, tube or stick; `thick` is its diameter"),
];

const PRICE: Field =
    may("price", Type::Money, "9.40 per m", "Price of one as sold, or `per` a measure").from0(NO_LIMIT);
const WARNED: Field =
    may("cautions", Type::List(&Type::Word(CAUTIONS)), "[solvent]", "What to warn of beside each step that uses it");

pub(super) const STOCK: Kind = Kind {
    kind: design::Kind::Stock,
    group: Group::Goods,
    word: "stock",
    target: NOWHERE,
    doc: "Sheet, roll or rod goods that parts are cut from",
    example: example!("stock"),
    fields: &[
        must("as", Type::Sort(STOCK_SORTS), "foam", "What sort of goods"),
        must("thick", LENGTH, "5 mm", "Thickness of one sheet; of a rod its diameter").above0(THICK),
        may(
            "size",
            Type::Size,
            "500 mm by 1000 mm",
            "Size of one sheet, along the grain second; of a rod its thickness and its length",
        )
        .above0(FAR),
        may("wide", LENGTH, "1400 mm", "Width of a roll").above0(FAR),
        may(
            "density",
            Type::OneOf(&[Dim::DENSITY, Dim::AREA_DENSITY]),
            "95 kg/m3",
            "Mass per volume, or per area of one thickness; without it nothing made of it has a mass",
        )
        .above0(NO_LIMIT),
        PRICE.doc("Price of one sheet, or `per` a measure"),
        or("have", Type::Count, "0", "How many whole sheets are in the cupboard; they are cut before any is bought")
            .within(0.0, MANY),
        may(
            "offcuts",
            Type::List(&Type::Size),
            "[300 mm by 200 mm]",
            "Pieces left over from earlier work, along the grain second; what fits on them is cut from them first",
        )
        .above0(FAR),
        or(
            "neutral",
            Type::Either(&SHARE, &Type::List(&Type::Make(Family::Neutral))),
            "50 %",
            "Depth of the surface that keeps its length in a bend, 0 % inner face to 100 % outer face",
        )
        .within(0.0, 1.0),
        or("stretch", SHARE, "0 %", "How much longer its neutral surface can be formed").within(0.0, 1.0),
        else_from("squeeze", SHARE, "half of stretch", "4 %", "How much shorter its neutral surface can be formed")
            .within(0.0, 1.0),
        else_from("tightest", LENGTH, "3 × thick", "15 mm", "Least inside radius it takes cold").from0(FAR),
        else_from("tightest_warm", LENGTH, "1.5 × thick", "8 mm", "Least inside radius it takes warmed").from0(FAR),
        or(
            "grain",
            Type::Word(&[
                word("none", "Pieces may be turned freely"),
                word("along", "The up of every piece lies along the grain, either end first"),
                word("either", "The up of every piece lies along the grain or across it"),
            ]),
            "none",
            "How pieces may lie on it",
        ),
        or("reversible", Type::YesNo, "yes", "Whether either face may be the outside"),
        WARNED,
    ],
    ways: &[&["size"], &["wide"]],
    stations: false,
    edges: &[],
    facts: facts::STOCK,
    built: Built::Yes,
};

const SUPPLY_SORTS: &[SortWord] = &[
    sort("cord", "Cord and rope, off a reel"),
    sort("wire", "Wire, off a reel"),
    sort("lace", "Lace or thong"),
    sort("webbing", "Woven strapping"),
    sort("elastic", "Elastic band"),
    sort("tape", "Bias tape and the like, for binding"),
    sort("ring", "D-ring, O-ring; `wide` is the strap it takes"),
    sort("hook", "Hook or clip"),
    sort("buckle", "Buckle or slider; `wide` is the strap it takes"),
    sort("snap", "Press stud, both halves"),
    sort("rivet", "Rivet or post"),
    sort("eyelet", "Eyelet or grommet; `across` is the hole it leaves clear"),
    sort("magnet", "Disc or block magnet"),
    sort("beads", "Beads, floats, bells: strung things"),
    sort("hook_loop", "Hook-and-loop tape, both halves"),
    sort("peg", "Peg or dowel"),
    sort("adhesive", "Glue"),
    sort("paint", "Paint or dye"),
    sort("sealer", "Sealer or varnish"),
];

const FLUID: &[&str] = &["adhesive", "paint", "sealer"];

pub(super) const SUPPLY: Kind = Kind {
    kind: design::Kind::Supply,
    group: Group::Goods,
    word: "supply",
    target: NOWHERE,
    doc: "Cord, hardware, glue and paint: what is bought by length, by piece or by volume",
    example: example!("supply"),
    fields: &[
        must("as", Type::Sort(SUPPLY_SORTS), "cord", "What sort of supply"),
        may("across", LENGTH, "14 mm", "Width from side to side; of a round thing its diameter").above0(FAR),
        may("wide", LENGTH, "20 mm", "Width of a strip, or of the strip it takes").above0(FAR),
        may("thick", LENGTH, "2 mm", "Thickness; of a cord or wire its diameter").above0(THICK),
        may("long", LENGTH, "30 mm", "Length of one").above0(FAR),
        may("mass", MASS, "9 g", "Mass of one").from0(HEAVY),
        may(
            "density",
            Type::OneOf(&[Dim::LINE_DENSITY, Dim::AREA_DENSITY, Dim::DENSITY]),
            "3 g/m",
            "Mass per length of what runs, per area of a dry coat, or per volume",
        )
        .above0(NO_LIMIT),
        PRICE,
        may(
            "have",
            Type::OneOf(&[Dim::NONE, Dim::LENGTH, Dim::VOLUME, Dim::AREA]),
            "4 m",
            "What is in the cupboard: a count, a length or a volume",
        )
        .from0(NO_LIMIT),
        may(
            "sold",
            Type::OneOf(&[Dim::NONE, Dim::LENGTH, Dim::VOLUME, Dim::AREA]),
            "5 m",
            "What one purchase holds: a count, a length or a volume",
        )
        .above0(NO_LIMIT),
        may("dry", TIME, "45 min", "Wait until the next coat or until it can be joined").from0(LONG_WAIT).sorts(FLUID),
        may("open_time", TIME, "20 min", "How long it can be joined after that").from0(LONG_WAIT).sorts(FLUID),
        may("cure", TIME, "24 h", "Wait until it bears a load").from0(LONG_WAIT).sorts(FLUID),
        may("covers", Type::Of(Dim::COVERAGE), "9 m2/l", "Area one litre covers in one coat on one face")
            .above0(NO_LIMIT)
            .sorts(FLUID),
        may("strength", Type::Of(Dim::STRENGTH), "4 N/mm", "Force that peels one millimetre of width").above0(NO_LIMIT),
        WARNED,
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: &[],
    built: Built::Yes,
};

const CUTTER_SORTS: &[SortWord] = &[
    sort("drag_knife", "A blade that trails behind its holder"),
    sort("laser", "A beam that burns a kerf away"),
    sort("pen", "Draws only: the lines are cut by hand"),
    sort("hand", "A knife and a straight edge"),
];

pub(super) const CUTTER: Kind = Kind {
    kind: design::Kind::Cutter,
    group: Group::Goods,
    word: "cutter",
    target: NOWHERE,
    doc: "What cuts the sheets, and how large and deep it cuts",
    example: example!("cutter"),
    fields: &[
        must("as", Type::Sort(CUTTER_SORTS), "drag_knife", "What sort of cutter"),
        must("size", Type::Size, "12 in by 24 in", "Largest area it cuts").above0(FAR),
        may("deepest", LENGTH, "3 mm", "Thickest sheet it cuts through; thicker is left for the hand").above0(THICK),
        or("offset", LENGTH, "0 mm", "How far the point of a drag knife trails its pivot").from0(20.0),
        or("kerf", LENGTH, "0 mm", "Width of what the cut takes away").from0(20.0),
        or("overcut", LENGTH, "1 mm", "How far a closed cut runs past its start").from0(20.0),
        or(
            "writes",
            Type::Word(&[word("dxf", "Cut files as DXF"), word("svg", "Cut files as SVG")]),
            "dxf",
            "The cut files it reads",
        ),
        or("compass", LENGTH, "500 mm", "Longest radius that can be struck by hand; a greater one has offsets")
            .above0(FAR),
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: &[],
    built: Built::Yes,
};

pub(super) const PAPER: Kind = Kind {
    kind: design::Kind::Paper,
    group: Group::Goods,
    word: "paper",
    target: NOWHERE,
    doc: "The paper of printed pages at full size",
    example: example!("paper"),
    fields: &[
        must("size", Type::Size, "210 mm by 297 mm", "Size of one page").above0(FAR),
        or("margin", LENGTH, "6.5 mm", "What the printer leaves white on every side").from0(100.0),
        or("overlap", LENGTH, "12 mm", "How much of a page shows on the next, to join them by").from0(100.0),
    ],
    ways: &[],
    stations: false,
    edges: &[],
    facts: &[],
    built: Built::Yes,
};
