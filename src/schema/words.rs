//! The words of the language that are neither kinds nor fields: sentences, reserved words, words of place,
//! constants, functions of arithmetic. Rank 7.

use crate::design::{Face, Function, Place};

/// A sentence that is not a thing, and `recipe`, which makes kinds.
#[derive(Clone, Copy, Debug)]
pub struct Sentence {
    pub word: &'static str,
    /// How it is written, with words in capitals to be replaced.
    pub form: &'static str,
    pub doc: &'static str,
    /// A whole small prop that uses it and compiles.
    pub example: &'static str,
}

macro_rules! sentence {
    ($word:literal, $form:literal, $doc:literal) => {
        Sentence { word: $word, form: $form, doc: $doc, example: include_str!(concat!("examples/", $word, ".prop")) }
    };
}

/// Every sentence that is not a thing of a kind.
pub const SENTENCES: &[Sentence] = &[
    sentence!("use", "use \"FILE.prop\"", "Takes in the things and values of another file in the prop's folder"),
    sentence!(
        "setting",
        "setting NAME = VALUE \"what it is for\"",
        "A value meant to be changed, from the command line too"
    ),
    sentence!("let", "let NAME = VALUE, or let NAME(A, B) = VALUE", "Names a value or a function"),
    sentence!("require", "require CONDITION \"why\"", "Must hold, or the prop is not built and the text says why"),
    sentence!(
        "for",
        "for NAME in FIRST to LAST { … }, or for NAME in [A, B] { … }",
        "The block once for each; both ends count"
    ),
    sentence!(
        "if",
        "if CONDITION { … } else { … }",
        "The block only where it holds; no fact of the geometry may decide it"
    ),
    sentence!(
        "recipe",
        "recipe NAME { … }",
        "A kind of your own: its `setting` lines are its fields, `host` is what a use stands on, its things are made for each use"
    ),
];

/// Files an example takes in with `use`, by name.
pub const EXAMPLE_FILES: &[(&str, &str)] = &[("crew.prop", include_str!("examples/crew.prop"))];

/// Words that are never names, keys or units.
pub const RESERVED: &[&str] = &[
    "use", "let", "setting", "require", "for", "if", "then", "else", "at", "to", "by", "per", "on", "in", "over",
    "beside", "and", "or", "not",
];

/// What a word of place means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sense {
    /// Degrees from front through left, seen from above.
    Direction(f64),
    Place(Place),
    Face(Face),
    /// Inside and outside.
    BothFaces,
}

/// A word of place: not to be had as a name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceWord {
    pub word: &'static str,
    pub senses: &'static [Sense],
    pub doc: &'static str,
}

/// Every word of place. `middle` is a place and a face; the type of the field says which.
pub const PLACE_WORDS: &[PlaceWord] = &[
    PlaceWord { word: "front", senses: &[Sense::Direction(0.0)], doc: "Where the wearer's front is: 0 deg" },
    PlaceWord { word: "left", senses: &[Sense::Direction(90.0)], doc: "The wearer's left: 90 deg" },
    PlaceWord { word: "back", senses: &[Sense::Direction(180.0)], doc: "The wearer's back: 180 deg" },
    PlaceWord { word: "right", senses: &[Sense::Direction(270.0)], doc: "The wearer's right: 270 deg" },
    PlaceWord { word: "bottom", senses: &[Sense::Place(Place::Bottom)], doc: "The first place along an axis" },
    PlaceWord {
        word: "middle",
        senses: &[Sense::Place(Place::Middle), Sense::Face(Face::Middle)],
        doc: "Half-way along an axis; of faces, half-way through the sheet",
    },
    PlaceWord { word: "top", senses: &[Sense::Place(Place::Top)], doc: "The last place along an axis" },
    PlaceWord { word: "inside", senses: &[Sense::Face(Face::Inside)], doc: "The inner face of the sheet" },
    PlaceWord { word: "outside", senses: &[Sense::Face(Face::Outside)], doc: "The outer face of the sheet" },
    PlaceWord { word: "both", senses: &[Sense::BothFaces], doc: "The inner and the outer face" },
];

/// A name known everywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Constant {
    pub word: &'static str,
    pub doc: &'static str,
}

/// `yes`, `no`, `pi`.
pub const CONSTANTS: &[Constant] = &[
    Constant { word: "yes", doc: "It is so" },
    Constant { word: "no", doc: "It is not so" },
    Constant { word: "pi", doc: "Half the girth of a circle over its radius, 3.14159…" },
];

/// Names that stand for a thing of this run or this use, unless the file gives one of them to a thing of its own.
pub const STANDINS: &[Constant] = &[
    Constant { word: "prop", doc: "The prop of this file: `prop.mass`" },
    Constant { word: "wearer", doc: "The wearer of this run: `wearer.height`" },
    Constant { word: "host", doc: "In a recipe: what the use stands on" },
];

/// A function of arithmetic.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Operation {
    pub name: &'static str,
    pub function: Function,
    /// The fewest and the most values it takes; without a most, any number. A list stands for its values where
    /// any number is taken.
    pub least: usize,
    pub most: Option<usize>,
    /// The names of its values in the manual.
    pub form: &'static str,
    pub doc: &'static str,
    pub example: &'static str,
}

const fn op(
    function: Function,
    name: &'static str,
    (least, most): (usize, Option<usize>),
    form: &'static str,
    doc: &'static str,
    example: &'static str,
) -> Operation {
    Operation { name, function, least, most, form, doc, example }
}

const ANY: (usize, Option<usize>) = (1, None);
const ONE: (usize, Option<usize>) = (1, Some(1));
const TWO: (usize, Option<usize>) = (2, Some(2));

/// Every function of arithmetic.
pub const FUNCTIONS: &[Operation] = &[
    op(Function::Min, "min", ANY, "x, y, …", "The least", "min(30 mm, 2 cm)"),
    op(Function::Max, "max", ANY, "x, y, …", "The greatest", "max(30 mm, 2 cm)"),
    op(Function::Abs, "abs", ONE, "x", "Without its sign", "abs(-3 mm)"),
    op(Function::Sqrt, "sqrt", ONE, "x", "Square root; of an area a length", "sqrt(900 mm2)"),
    op(Function::Sin, "sin", ONE, "angle", "Sine", "sin(30 deg)"),
    op(Function::Cos, "cos", ONE, "angle", "Cosine", "cos(60 deg)"),
    op(Function::Tan, "tan", ONE, "angle", "Tangent", "tan(45 deg)"),
    op(
        Function::Atan2,
        "atan2",
        TWO,
        "y, x",
        "The angle whose tangent is y over x, in its own quarter",
        "atan2(30 mm, 40 mm)",
    ),
    op(
        Function::Clamp,
        "clamp",
        (3, Some(3)),
        "x, least, most",
        "x, but no less than `least` and no more than `most`",
        "clamp(35 mm, 10 mm, 30 mm)",
    ),
    op(Function::Sum, "sum", ANY, "x, y, …", "All added up", "sum(30 mm, 2 cm)"),
    op(Function::Count, "count", ANY, "x, y, …", "How many", "count([30 mm, 2 cm])"),
    op(
        Function::Median,
        "median",
        ANY,
        "x, y, …",
        "The middle one in order of size; of an even number the mean of the middle two",
        "median(412 mm, 398 mm, 405 mm)",
    ),
    op(
        Function::Nearest,
        "nearest",
        TWO,
        "x, step",
        "The nearest whole number of steps, halves away from zero",
        "nearest(38.6 cm, 5 mm)",
    ),
    op(
        Function::NextUp,
        "next_up",
        TWO,
        "x, step",
        "The next whole number of steps up, or x itself",
        "next_up(38.1 cm, 5 mm)",
    ),
    op(
        Function::NextDown,
        "next_down",
        TWO,
        "x, step",
        "The next whole number of steps down, or x itself",
        "next_down(38.9 cm, 5 mm)",
    ),
];
