//! What several kinds share: types, words, and the groups MAKE, PLACE, REPEAT. Rank 7, private to the schema.

use super::entry::{else_from, may, or, word};
use super::{Family, Field, FieldGroup, Named, Type};
use crate::design::Kind;
use crate::units::Dim;

pub(super) const LENGTH: Type = Type::Of(Dim::LENGTH);
pub(super) const ANGLE: Type = Type::Of(Dim::ANGLE);
pub(super) const MASS: Type = Type::Of(Dim::MASS);
pub(super) const TIME: Type = Type::Of(Dim::TIME);
/// A share: `50 %`.
pub(super) const SHARE: Type = Type::Of(Dim::NONE);
pub(super) const A_FACE: Type = Type::Face { both: false };
pub(super) const FACE_OR_BOTH: Type = Type::Face { both: true };
pub(super) const SHAPE: Type = Type::Make(Family::Shape);
pub(super) const SECTION: Type = Type::Make(Family::Section);
pub(super) const SEAM: Type = Type::Make(Family::Seam);
pub(super) const STOCK: Type = Type::Thing(&[Kind::Stock]);
pub(super) const SUPPLY: Type = Type::Thing(&[Kind::Supply]);
pub(super) const GOODS: Type = Type::Thing(&[Kind::Stock, Kind::Supply]);

/// Longest length a part may have, mm: 20 m, past any pageant cart.
pub(super) const FAR: f64 = 20_000.0;
/// Thickest sheet or supply, mm.
pub(super) const THICK: f64 = 200.0;
/// Heaviest thing, g: a tonne.
pub(super) const HEAVY: f64 = 1e6;
/// Longest wait, s: 60 days.
pub(super) const LONG_WAIT: f64 = 60.0 * 86_400.0;
/// Most of anything counted in one field: LANGUAGE limits a file to 10,000 things.
pub(super) const MANY: f64 = 10_000.0;
/// No upper bound.
pub(super) const NO_LIMIT: f64 = f64::INFINITY;
/// A right angle, rad.
pub(super) const SQUARE: f64 = crate::num::FRAC_PI_2;
/// A whole turn, rad.
pub(super) const TURN: f64 = crate::num::TAU;

/// `auto`, beside a number.
pub(super) const AUTO: Type = Type::Word(&[word("auto", "As many as it takes")]);
pub(super) const COUNT_OR_AUTO: Type = Type::Either(&Type::Count, &AUTO);

/// What a supply warns of, and a limit forbids.
pub(super) const CAUTIONS: &[Named] = &[
    word("solvent", "Gives off solvent: air, and no flame near it"),
    word("flammable", "Burns readily, wet or as vapour"),
    word("flame", "A naked flame is part of it or of the work"),
    word("fumes", "Gives off fumes when heated, cut or sprayed"),
    word("dust", "Makes fine dust when sanded or cut"),
    word("heat", "Worked or applied hot: burns"),
    word("blade", "Cut with a knife: cuts"),
    word("sharp", "Has a sharp point or edge when finished"),
    word("glass", "Glass, or breaks like it"),
    word("small_parts", "Small parts a child can swallow"),
    word("magnets", "Strong magnets: kept from children and from implants"),
    word("battery", "Holds a battery"),
    word("latex", "Holds latex: some skins do not bear it"),
    word("nickel", "Holds nickel: some skins do not bear it"),
    word("skin", "Irritates skin while wet: gloves"),
    word("eyes", "Irritates eyes: goggles"),
];

const PAIR: Type = Type::Word(&[word(
    "mirrored",
    "What is written is the left one; its mirror image is the right one, and so all that stands on it",
)]);

pub(super) const OF: Field = else_from(
    "of",
    Type::OneOrList(&STOCK),
    "the prop's",
    "foam5",
    "Its stock, or a list laminated from inside to outside",
);
pub(super) const MEASURED: Field =
    else_from("measured", A_FACE, "the prop's", "inside", "The face its sizes belong to");
pub(super) const PAIRED: Field = may("pair", PAIR, "mirrored", "Makes a left one and a right one");

/// MAKE: what it is of and which face its sizes belong to.
pub(super) const MAKE: &[Field] = &[OF, MEASURED, PAIRED];

pub(super) const LEVEL: Field =
    else_from("level", Type::Level, "middle", "top - 45 mm", "Where its middle lies along what it is on");
pub(super) const FOOT_LEVEL: Field = else_from(
    "level",
    Type::Level,
    "middle; in or over: bottom",
    "28 mm",
    "Where its foot lies along what it is on, in or over",
);
pub(super) const FACING: Field = or("facing", Type::Direction, "front", "Which way round its middle lies");
pub(super) const GAP: Field = or("gap", LENGTH, "0 mm", "Clear distance from whatever stands proud there").from0(FAR);
pub(super) const SPIN: Field = or("spin", ANGLE, "0 deg", "Turned about its own axis").within(-TURN, TURN);
pub(super) const TILT: Field = may("tilt", Type::Make(Family::Tilt), "toward(front: 10 deg)", "Leans toward");
pub(super) const SHIFT: Field =
    may("shift", Type::Make(Family::Shift), "toward(left: 12 mm, up: 3 mm)", "Moved toward");

/// How a section stands at its station.
pub(super) const STATION: &[Field] = &[
    or("spin", ANGLE, "0 deg", "Turned about the axis there, front toward left").within(-TURN, TURN),
    may(
        "tilt",
        Type::Make(Family::Tilt),
        "toward(front: 10 deg)",
        "At the first or last station: the wall is cut off there along a plane that leans toward",
    ),
    may("shift", Type::Make(Family::Shift), "toward(left: 12 mm)", "Its middle moved toward: an oblique cone"),
];

/// PLACE: where it stands on, in, over or beside its target.
pub(super) const PLACE: &[Field] = &[LEVEL, FACING, GAP, SPIN, TILT, SHIFT];
/// PLACE of a part with a foot.
pub(super) const FOOT_PLACE: &[Field] = &[FOOT_LEVEL, FACING, GAP, SPIN, TILT, SHIFT];

pub(super) const SPREAD: Type = Type::Word(&[
    word("around", "Round the wall, at one level"),
    word("along", "Along the axis, the edge or the strap"),
]);

pub(super) const COUNT: Field = or("count", Type::Count, "1", "How many").within(1.0, MANY);
pub(super) const EVERY: Field =
    may("every", LENGTH, "24 mm", "Largest pitch; evened out so that whole steps fit").above0(FAR);
pub(super) const SPREADING: Field =
    else_from("spread", SPREAD, "around on a wall, along on an edge or strap", "along", "Which way several are spread");
pub(super) const MARGIN: Field = may("margin", LENGTH, "9 mm", "Distance to the nearest edge").from0(FAR);
pub(super) const ENDS: Field =
    may("ends", LENGTH, "36 mm", "Distance of the first and the last from the ends").from0(FAR);

/// REPEAT: several of the same, evenly.
pub(super) const REPEAT: &[Field] = &[COUNT, EVERY, SPREADING, MARGIN, ENDS];

/// The groups, for the manual. A kind has a group when it has all its fields.
pub(super) const GROUPS: &[FieldGroup] = &[
    FieldGroup { name: "MAKE", doc: "what a part is of and which face its sizes belong to", fields: MAKE },
    FieldGroup { name: "PLACE", doc: "where a thing stands on, in, over or beside its target", fields: PLACE },
    FieldGroup { name: "PLACE of a foot", doc: "the same for a part that stands on its foot", fields: FOOT_PLACE },
    FieldGroup { name: "REPEAT", doc: "several of the same, evenly", fields: REPEAT },
];
