//! The measured facts: which kind has which, on which face, known when. Rank 7.

use super::{Fact, Stage};
use crate::units::Dim;

const fn solid(name: &'static str, dim: Dim, doc: &'static str) -> Fact {
    Fact { name, dim, faces: false, stage: Stage::Solid, doc }
}

const fn made(name: &'static str, dim: Dim, doc: &'static str) -> Fact {
    Fact { name, dim, faces: false, stage: Stage::Made, doc }
}

/// A fact that differs from face to face: `.inside`, `.middle`, `.outside` pick one, else the measured face.
const fn faced(name: &'static str, dim: Dim, doc: &'static str) -> Fact {
    Fact { faces: true, ..solid(name, dim, doc) }
}

/// Facts of any edge: `body.top.around`.
pub const EDGE_FACTS: &[Fact] = &[
    faced("around", Dim::LENGTH, "Length of a tape laid along the whole edge; of a closed edge its girth"),
    faced("long", Dim::LENGTH, "Length of the edge from end to end; of a closed edge its girth"),
    faced("across", Dim::LENGTH, "Width from side to side; of a seam the width of its gap"),
    solid("level", Dim::LENGTH, "How far along the part's axis its middle lies"),
];

pub(super) const THICK: Fact = solid("thick", Dim::LENGTH, "Thickness of all its layers together");
pub(super) const BARE_MASS: Fact = solid("mass", Dim::MASS, "Mass of its own sheet, holes taken out, nothing fitted");
pub(super) const LEVEL: Fact = solid("level", Dim::LENGTH, "How far along its target it lies");

pub(super) const SHELL: &[Fact] = &[
    solid("long", Dim::LENGTH, "Length along its axis from the first station to the last"),
    faced("around", Dim::LENGTH, "Its greatest girth"),
    faced("across", Dim::LENGTH, "Its greatest width from side to side"),
    faced("area", Dim::AREA, "Area of its wall and its flange or tabs, holes taken out"),
    BARE_MASS,
    solid("level", Dim::LENGTH, "How far along its target its foot lies"),
    THICK,
];

pub(super) const DOME: &[Fact] = &[
    solid("long", Dim::LENGTH, "Length of a meridian, from its foot to its top"),
    faced("around", Dim::LENGTH, "Girth of its foot"),
    faced("across", Dim::LENGTH, "Width of its foot from side to side"),
    faced("area", Dim::AREA, "Area of its skin, holes taken out"),
    BARE_MASS,
    solid("level", Dim::LENGTH, "How far along its target its foot lies"),
    THICK,
];

pub(super) const PLATE: &[Fact] = &[
    faced("long", Dim::LENGTH, "Its greatest extent up"),
    faced("around", Dim::LENGTH, "Length of its outline"),
    faced("across", Dim::LENGTH, "Its greatest width from side to side"),
    faced("area", Dim::AREA, "Area of its face, holes taken out"),
    BARE_MASS,
    LEVEL,
    THICK,
];

pub(super) const CAP: &[Fact] = &[
    faced("around", Dim::LENGTH, "Girth of its disc"),
    faced("across", Dim::LENGTH, "Width of its disc from side to side"),
    faced("area", Dim::AREA, "Area of its show face, holes taken out"),
    BARE_MASS,
    solid("level", Dim::LENGTH, "How far along the part it closes its show face lies"),
    THICK,
];

pub(super) const KEEL: &[Fact] = &[
    solid("long", Dim::LENGTH, "Length along its ridge"),
    faced("area", Dim::AREA, "Area of both flanks"),
    BARE_MASS,
    LEVEL,
    THICK,
];

pub(super) const CORE: &[Fact] =
    &[solid("long", Dim::LENGTH, "Its whole length"), solid("mass", Dim::MASS, "Mass of all its lengths"), THICK];

pub(super) const OPENING: &[Fact] = &[
    solid("around", Dim::LENGTH, "Length of its edge on the flat"),
    solid("across", Dim::LENGTH, "Its width from side to side on the flat"),
    solid("long", Dim::LENGTH, "Its extent up on the flat"),
    solid("area", Dim::AREA, "Its area on the flat"),
    LEVEL,
];

pub(super) const EDGE: &[Fact] = &[solid("long", Dim::LENGTH, "Length of the shaped edge, up and down its figure")];
pub(super) const MARK: &[Fact] = &[solid("long", Dim::LENGTH, "Length of one line"), LEVEL];

pub(super) const BORDER: &[Fact] = &[
    solid("long", Dim::LENGTH, "Length of one row, without its tucks"),
    solid("thick", Dim::LENGTH, "How far it stands proud of the skin"),
    LEVEL,
    made("mass", Dim::MASS, "Its whole mass"),
];

pub(super) const LACING: &[Fact] = &[
    solid("across", Dim::LENGTH, "Width of the gap it closes"),
    made("long", Dim::LENGTH, "Lace to buy, tails and all"),
    made("mass", Dim::MASS, "Mass of the lace"),
];

pub(super) const COVER: &[Fact] = &[
    solid("area", Dim::AREA, "Area of the faces it lies on, openings and all"),
    THICK,
    made("mass", Dim::MASS, "Mass of the cloth, turns and all"),
];

pub(super) const ATTACHMENT: &[Fact] = &[LEVEL, made("mass", Dim::MASS, "Mass of all of it, tabs and backing too")];

pub(super) const STRAP: &[Fact] = &[
    solid("long", Dim::LENGTH, "Its finished length, from end to end"),
    solid("around", Dim::LENGTH, "The girth a band goes round"),
    made("mass", Dim::MASS, "Its whole mass, tails and folds too"),
];

pub(super) const CLOSURE: &[Fact] = &[made("mass", Dim::MASS, "Its whole mass")];
pub(super) const ARTICULATION: &[Fact] = &[
    solid("angle", Dim::ANGLE, "How far all its joints together can turn"),
    made("mass", Dim::MASS, "Mass of its straps"),
];
pub(super) const CONTENTS: &[Fact] = &[LEVEL];

pub(super) const HANG: &[Fact] =
    &[made("angle", Dim::ANGLE, "How far it hangs from upright, in the worse of empty and full")];

pub(super) const FINISH: &[Fact] =
    &[solid("area", Dim::AREA, "Area of one coat"), made("mass", Dim::MASS, "Mass it adds when dry")];

pub(super) const PROP: &[Fact] = &[
    made("mass", Dim::MASS, "Everything the wearer carries, contents too"),
    made("price", Dim::NONE, "What everything to buy costs"),
    made("sheets", Dim::NONE, "How many sheets of all stocks are cut into"),
];

pub(super) const STOCK: &[Fact] = &[
    made("sheets", Dim::NONE, "How many sheets of it are cut into"),
    made("area", Dim::AREA, "Area of all pieces cut from it"),
];
