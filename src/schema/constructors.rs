//! Values with parts: sections and shapes, seams, spines, ways of making, and the rest. Rank 7.
//!
//! A name may stand in several families (`circle` at a station and as an opening); the type of the field says
//! which is meant.

use super::entry::{else_from, fields, may, must, or, word};
use super::shared::{ANGLE, COUNT_OR_AUTO, FAR, GOODS, LENGTH, MANY, SHARE, SQUARE, STATION, STOCK, THICK, TURN};
use super::{Built, Constructor, Family, Field, Type};
use crate::units::Dim;

const YES: Built = Built::Yes;
const NOT_YET: Built = Built::NotYet;

/// How full an oval may be. Where one is flat its normal hardly turns: at 4 a place reckoned by its normal is good to a
/// thousandth of a millimetre, at 7 to a tenth.
pub const FULLNESS: (f64, f64) = (2.0, 4.0);

const TRUST: Field = may(
    "trust",
    Type::Word(&[
        word("around", "The girth rules; the widths grow or shrink alike"),
        word("across", "The widths rule"),
    ]),
    "around",
    "Which rules when girth and width are both given and differ by more than a tape is read to",
);

const CIRCLE: &[Field] = &[
    may("across", LENGTH, "90 mm", "Its diameter").above0(FAR),
    may("around", LENGTH, "30 cm", "Its girth").above0(FAR),
    TRUST,
];
const OVAL: &[Field] = &[
    may("across", Type::Size, "105 mm by 70 mm", "Side to side by front to back").above0(FAR),
    may("around", LENGTH, "42 cm", "Its girth").above0(FAR),
    may("ratio", SHARE, "3:2", "Side to side over front to back").within(0.01, 100.0),
    or("fullness", SHARE, "2", "2 is an ellipse, more is squarer; past 4 it is a rectangle with round corners")
        .within(FULLNESS.0, FULLNESS.1),
    TRUST,
];
const RECTANGLE: &[Field] = &[
    must("across", Type::Size, "160 mm by 120 mm", "Side to side by front to back (on a flat: by up)").above0(FAR),
    or("corner", LENGTH, "0 mm", "Radius of its corners").from0(FAR),
];
const POLYGON: &[Field] = &[
    must("sides", Type::Count, "6", "How many sides, all alike").within(3.0, 100.0),
    may("across", LENGTH, "160 mm", "From flat to flat; of an odd number from flat to corner").above0(FAR),
    may("across_corners", LENGTH, "185 mm", "Diameter of the circle through its corners").above0(FAR),
    or("corner", LENGTH, "0 mm", "Radius of its corners").from0(FAR),
];
const POINTS: Type = Type::List(&Type::Either(&Type::Spot, &Type::Make(Family::OutlinePoint)));
const OUTLINE: &[Field] = &[
    must(
        "points",
        POINTS,
        "[0 mm by 0 mm, 60 mm by 0 mm, arc(end: 60 mm by 160 mm, rise: 12 mm)]",
        "Its corners in order, each to the right by front, on a flat to the right by up; an arc leads to its `end`",
    ),
    or("corner", LENGTH, "0 mm", "Radius of its corners").from0(FAR),
    or(
        "mirror",
        Type::YesNo,
        "no",
        "Whether the points are one half and the other is its mirror image, left for right",
    ),
];

const CIRCLE_WAYS: &[&[&str]] = &[&["across"], &["around"]];
const OVAL_WAYS: &[&[&str]] = &[&["across"], &["around", "ratio"]];
const POLYGON_WAYS: &[&[&str]] = &[&["across"], &["across_corners"]];

const CIRCLE_DOC: &str = "A circle, by its width or its girth; of both `trust` says which rules";
const OVAL_DOC: &str = "An ellipse on the measured face, by its widths, by girth and ratio, or by widths and girth";
const RECTANGLE_DOC: &str = "A rectangle, its corners sharp or rounded";
const POLYGON_DOC: &str = "A polygon of equal sides; the middle of a side faces front";
const OUTLINE_DOC: &str = "Any outline through points; its first and last point are joined";

const CIRCLE_EX: &str = "circle(across: 90 mm)";
const OVAL_EX: &str = "oval(around: 42 cm, ratio: 3:2)";
const RECTANGLE_EX: &str = "rectangle(across: 50 mm by 120 mm, corner: 6 mm)";
const POLYGON_EX: &str = "polygon(sides: 6, across: 160 mm)";
const OUTLINE_EX: &str =
    "outline(points: [-30 mm by -20 mm, 30 mm by -20 mm, arc(end: -30 mm by -20 mm, rise: 40 mm)])";

const fn make(
    family: Family,
    name: &'static str,
    parts: &'static [Field],
    built: Built,
    doc: &'static str,
    example: &'static str,
) -> Constructor {
    Constructor { name, family, parts, ways: &[], doc, example, built }
}

impl Constructor {
    const fn ways(self, ways: &'static [&'static [&'static str]]) -> Self {
        Self { ways, ..self }
    }
}

pub(super) const SECTIONS: &[Constructor] = &[
    make(Family::Section, "circle", fields![CIRCLE, STATION], YES, CIRCLE_DOC, CIRCLE_EX).ways(CIRCLE_WAYS),
    make(Family::Section, "oval", fields![OVAL, STATION], YES, OVAL_DOC, OVAL_EX).ways(OVAL_WAYS),
    make(Family::Section, "rectangle", fields![RECTANGLE, STATION], YES, RECTANGLE_DOC, RECTANGLE_EX),
    make(Family::Section, "polygon", fields![POLYGON, STATION], YES, POLYGON_DOC, POLYGON_EX).ways(POLYGON_WAYS),
    make(Family::Section, "outline", fields![OUTLINE, STATION], YES, OUTLINE_DOC, OUTLINE_EX),
    make(
        Family::Section,
        "point",
        fields![STATION],
        YES,
        "Closes a shell: the place where its neutral surface comes to a point",
        "point",
    ),
];

pub(super) const SHAPES: &[Constructor] = &[
    make(Family::Shape, "circle", CIRCLE, YES, CIRCLE_DOC, CIRCLE_EX).ways(CIRCLE_WAYS),
    make(Family::Shape, "oval", OVAL, YES, OVAL_DOC, OVAL_EX).ways(OVAL_WAYS),
    make(Family::Shape, "rectangle", RECTANGLE, YES, RECTANGLE_DOC, RECTANGLE_EX),
    make(Family::Shape, "polygon", POLYGON, YES, POLYGON_DOC, POLYGON_EX).ways(POLYGON_WAYS),
    make(Family::Shape, "outline", OUTLINE, YES, OUTLINE_DOC, OUTLINE_EX),
];

pub(super) const OUTLINE_POINTS: &[Constructor] = &[make(
    Family::OutlinePoint,
    "arc",
    &[
        must("end", Type::Spot, "60 mm by 160 mm", "Where it ends"),
        must("rise", LENGTH, "12 mm", "How far its middle stands off its chord; outward is above zero")
            .within(-FAR, FAR),
    ],
    YES,
    "An arc of a circle from the point before it",
    "arc(end: 60 mm by 160 mm, rise: 12 mm)",
)];

const SEAM_PLACE: &[Field] = &[
    or("facing", Type::Direction, "back", "The generatrix it lies on; of an open seam the middle of its gap"),
    or(
        "stagger",
        Type::OneOf(&[Dim::ANGLE, Dim::LENGTH]),
        "0 deg",
        "How far each ring's seam of a bent shell is turned from the last, front toward left",
    ),
];

pub(super) const SEAMS: &[Constructor] = &[
    make(Family::Seam, "butt", SEAM_PLACE, YES, "Edge to edge", "butt(facing: back)"),
    make(
        Family::Seam,
        "lap",
        fields![&[or("overlap", LENGTH, "12 mm", "How far one side lies over the other").above0(FAR)], SEAM_PLACE],
        YES,
        "One side over the other",
        "lap(overlap: 12 mm)",
    ),
    make(
        Family::Seam,
        "tabs",
        fields![
            &[or(
                "wide",
                LENGTH,
                "10 mm",
                "Width of the tabs; they stand where the flat leaves room for them beyond its side",
            )
            .above0(FAR)],
            SEAM_PLACE
        ],
        YES,
        "Tabs on one side, glued under the other",
        "tabs(wide: 10 mm)",
    ),
    make(
        Family::Seam,
        "backed",
        fields![
            &[
                or(
                    "wide",
                    LENGTH,
                    "25 mm",
                    "Width of the strip; toward a point it ends where it would go half of the way round, or bend too tightly",
                )
                .above0(FAR),
                else_from("of", GOODS, "the part's", "twill", "What the strip is of"),
            ],
            SEAM_PLACE,
        ],
        YES,
        "Edge to edge, a strip behind both",
        "backed(wide: 25 mm)",
    ),
    make(
        Family::Seam,
        "open",
        fields![
            &[must(
                "gap",
                Type::OneOf(&[Dim::LENGTH, Dim::ANGLE, Dim::NONE]),
                "150 deg",
                "The gap: a length or a share of the girth, or an angle about the axis"
            )
            .above0(FAR)],
            SEAM_PLACE,
        ],
        YES,
        "A part-round wall: its two sides do not meet",
        "open(facing: right, gap: 150 deg)",
    ),
];

pub(super) const SPINES: &[Constructor] = &[
    make(
        Family::Spine,
        "straight",
        &[else_from("long", LENGTH, "as far as the stations go", "40 mm", "Its length").above0(FAR)],
        YES,
        "A straight stretch",
        "straight(long: 40 mm)",
    ),
    make(
        Family::Spine,
        "bend",
        &[
            must("angle", ANGLE, "90 deg", "How far it turns").above0(TURN),
            may("radius", LENGTH, "60 mm", "Radius of its axis").above0(FAR),
            may("long", LENGTH, "94 mm", "Length of its axis, as it is made: straight from cut to cut").above0(FAR),
            or("facing", Type::Direction, "front", "The way it turns"),
            or("joints", Type::Count, "1", "How many cuts it is made with").within(1.0, MANY),
            or(
                "style",
                Type::Word(&[
                    word("mitred", "Cut across at half the angle"),
                    word(
                        "flipped",
                        "One straight tube or cone cut into pieces of one length, each second one turned half round",
                    ),
                ]),
                "mitred",
                "How its joints are cut",
            ),
        ],
        YES,
        "A bend of its axis",
        "bend(angle: 90 deg, radius: 60 mm, facing: front, joints: 2)",
    )
    .ways(&[&["radius"], &["long"]]),
    make(
        Family::Spine,
        "ring",
        &[
            must("radius", LENGTH, "150 mm", "Radius of its axis").above0(FAR),
            must("joints", Type::Count, "12", "How many cuts it is made with").within(3.0, MANY),
        ],
        YES,
        "An axis that closes on itself",
        "ring(radius: 150 mm, joints: 12)",
    ),
    make(
        Family::Spine,
        "path",
        &[
            must(
                "points",
                Type::List(&Type::Size3),
                "[0 mm by 0 mm by 0 mm, 40 mm by 0 mm by 90 mm]",
                "The points its axis goes through: front by left by up",
            ),
            or(
                "joints",
                Type::Count,
                "1",
                "How many pieces from point to point: 1 cuts at the points, more follow a smooth curve through them",
            )
            .within(1.0, MANY),
        ],
        YES,
        "An axis through points",
        "path(points: [0 mm by 0 mm by 0 mm, 40 mm by 0 mm by 90 mm], joints: 1)",
    ),
];

const GORES: &[Field] = &[
    or("count", COUNT_OR_AUTO, "auto", "How many").within(3.0, MANY),
    or(
        "style",
        Type::Word(&[
            word("rounded", "Each gore is formed to the round"),
            word("flat", "Each gore is bent one way only: the dome has as many sides"),
        ]),
        "rounded",
        "How they are worked",
    ),
];
const COUNTED: &[Field] = &[or("count", COUNT_OR_AUTO, "auto", "How many").within(1.0, MANY)];
const FORMED_DOC: &str = "Warmed and stretched over a form";

pub(super) const MADE: &[Constructor] = &[
    make(
        Family::Made,
        "rolled",
        &[or("count", Type::Count, "1", "How many pieces round").within(1.0, MANY)],
        YES,
        "Rolled from the flat",
        "rolled",
    ),
    make(
        Family::Made,
        "panels",
        &[or(
            "style",
            Type::Word(&[
                word("mitred", "Both edges bevelled by half of the turn, meeting on every face of the sheet"),
                word("lapped", "Sides at right angles: each edge square, one over the next"),
            ]),
            "mitred",
            "How the sides meet",
        )],
        YES,
        "A flat piece for each side of sections with sharp corners; a free end is square where all slope alike, else level",
        "panels(style: mitred)",
    ),
    make(
        Family::Made,
        "folded",
        &[else_from(
            "skin",
            LENGTH,
            "a fifth of the sheet, at least 0.5 mm; in card, and where less than 1 mm is left to groove, all of it",
            "1.5 mm",
            "What a groove leaves of the sheet at a fold; as much as the sheet is thick, it is scored only",
        )
        .within(0.1, FAR)],
        YES,
        "One flat strip, grooved and folded at each sharp corner: the V is as wide as the turn asks for and its faces meet, the skin's own bend is allowed for, and the seam stands where it faces",
        "folded(skin: 1.5 mm)",
    ),
    make(Family::Made, "gores", GORES, NOT_YET, "Strips from end to end, side by side", "gores(count: 8)"),
    make(Family::Made, "rings", COUNTED, NOT_YET, "Cone rings, one on the other", "rings(count: 5)"),
    make(
        Family::Made,
        "formed",
        &[],
        YES,
        "One piece over all stations, cut as the plain cone that asks least of its stock, warmed and stretched over a form: up the wall it keeps its length, and how much it is stretched round it is told line by line",
        "formed",
    ),
];

pub(super) const DOME_MADE: &[Constructor] = &[
    make(
        Family::DomeMade,
        "gores",
        GORES,
        NOT_YET,
        "Strips from foot to top, side by side",
        "gores(count: 6, style: flat)",
    ),
    make(Family::DomeMade, "rings", COUNTED, NOT_YET, "Cone rings, one on the other", "rings(count: 5)"),
    make(Family::DomeMade, "darts", COUNTED, NOT_YET, "One piece with wedges taken out", "darts(count: auto)"),
    make(Family::DomeMade, "formed", &[], NOT_YET, FORMED_DOC, "formed"),
];

pub(super) const PLATE_MADE: &[Constructor] = &[
    make(Family::PlateMade, "flat", &[], YES, "As cut; not bent to the wall it is on", "flat"),
    make(Family::PlateMade, "darts", COUNTED, NOT_YET, "Dished, with wedges taken out", "darts(count: auto)"),
];

pub(super) const BEVELS: &[Constructor] = &[
    make(
        Family::Bevel,
        "wedge",
        &[must("wide", LENGTH, "20 mm", "How far it reaches in from the outline, square to it").above0(FAR)],
        YES,
        "Sharp at the inside face: the outside face is bevelled through the whole thickness",
        "wedge(wide: 20 mm)",
    ),
    make(
        Family::Bevel,
        "diamond",
        &[must("wide", LENGTH, "20 mm", "How far it reaches in on each face, square to the outline").above0(FAR)],
        YES,
        "Sharp half-way through: both faces are bevelled, as a blade's",
        "diamond(wide: 20 mm)",
    ),
];

pub(super) const FEET: &[Constructor] = &[
    make(Family::Foot, "butt", &[], YES, "Its end stands on the other", "butt"),
    make(
        Family::Foot,
        "tabs",
        &[or("wide", LENGTH, "10 mm", "From the fold to their end").above0(FAR)],
        YES,
        "Tabs of its own sheet, at most 1 mm thick, folded out and glued down",
        "tabs(wide: 10 mm)",
    ),
    make(
        Family::Foot,
        "flange",
        &[must("wide", LENGTH, "15 mm", "Width of the collar").above0(FAR)],
        YES,
        "A flat collar of its own round it",
        "flange(wide: 15 mm)",
    ),
];

pub(super) const OTHERS: &[Constructor] = &[
    make(
        Family::Neutral,
        "bent",
        &[
            must("radius", LENGTH, "60 mm", "Inside radius of the bend").above0(FAR),
            must("depth", SHARE, "50 %", "Depth of the neutral surface there, from the inner face").within(0.0, 1.0),
        ],
        YES,
        "The neutral depth at one bend; between two it is reckoned in proportion",
        "bent(radius: 60 mm, depth: 50 %)",
    ),
    make(
        Family::Fill,
        "pane",
        &[
            must("of", STOCK, "clear05", "Its stock"),
            or("margin", LENGTH, "8 mm", "How far it reaches past the hole").above0(FAR),
        ],
        NOT_YET,
        "A sheet glued behind the hole",
        "pane(of: clear05, margin: 8 mm)",
    ),
    make(
        Family::Fill,
        "hatch",
        &[
            else_from("of", STOCK, "the part's", "foam6", "Its stock"),
            or("margin", LENGTH, "8 mm", "How far its lip reaches past the hole").above0(FAR),
        ],
        NOT_YET,
        "What was cut out, on a lip, to come off",
        "hatch(of: foam6, margin: 10 mm)",
    ),
    make(
        Family::Shift,
        "toward",
        TOWARD_LENGTH,
        YES,
        "Moved: a length for each direction",
        "toward(left: 12 mm, up: 3 mm)",
    ),
    make(Family::Tilt, "toward", TOWARD_ANGLE, YES, "Leaning: an angle for each direction", "toward(front: 10 deg)"),
    make(
        Family::Girth,
        "dressed",
        &[
            must("body", LENGTH, "wearer.upper_arm_around", "The girth of the bare body").above0(FAR),
            or("cloth", LENGTH, "0 mm", "Thickness of what is worn below").from0(THICK),
            or("pad", LENGTH, "0 mm", "Thickness of padding").from0(THICK),
            or("air", LENGTH, "0 mm", "Clear distance to it").from0(FAR),
            or(
                "ease",
                Type::OneOf(&[Dim::LENGTH, Dim::NONE]),
                "0 mm",
                "Added to the girth itself: a length, or a share of the girth of the body",
            )
            .within(-FAR, FAR),
        ],
        YES,
        "A girth over clothing: body + 2 pi (cloth + pad + air) + ease; an ease of 5 % is that share of the body",
        "dressed(body: wearer.upper_arm_around, cloth: 2 mm, air: 12 mm)",
    ),
];

const TOWARD_LENGTH: &[Field] = &[
    or("front", LENGTH, "0 mm", "To the front").within(-FAR, FAR),
    or("back", LENGTH, "0 mm", "To the back").within(-FAR, FAR),
    or("left", LENGTH, "0 mm", "To the left").within(-FAR, FAR),
    or("right", LENGTH, "0 mm", "To the right").within(-FAR, FAR),
    or("up", LENGTH, "0 mm", "Up, along the axis").within(-FAR, FAR),
    or("down", LENGTH, "0 mm", "Down, along the axis").within(-FAR, FAR),
];

const TOWARD_ANGLE: &[Field] = &[
    or("front", ANGLE, "0 deg", "To the front").within(-SQUARE, SQUARE),
    or("back", ANGLE, "0 deg", "To the back").within(-SQUARE, SQUARE),
    or("left", ANGLE, "0 deg", "To the left").within(-SQUARE, SQUARE),
    or("right", ANGLE, "0 deg", "To the right").within(-SQUARE, SQUARE),
    or("up", ANGLE, "0 deg", "Up: of a thing that stands on a wall").within(-SQUARE, SQUARE),
    or("down", ANGLE, "0 deg", "Down: of a thing that stands on a wall").within(-SQUARE, SQUARE),
];
