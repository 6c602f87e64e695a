//! What it is laid flat: every layer of every ring and plate unrolled on its neutral surface, exact within the error
//! budget of `geom::tol`, before allowances, bevel decisions and lettering. Rank 5: plain data, made by `develop`.
//!
//! A wall panel is drawn as seen on its outside face: x along the lower rim in the sense of growing φ, y up. A plate
//! panel is drawn as seen on its show face.

use crate::design::Face;
use crate::geom::Vec2;
use crate::geom::path::Path;
use crate::geom::strip::Rule;
use crate::ids::{JointId, PanelId, PartId};
use crate::solid::EdgeName;

/// All panels.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flat {
    pub panels: Vec<Panel>,
}

/// One layer of one ring of a wall, or one layer of a plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    pub id: PanelId,
    pub part: PartId,
    pub ring: usize,
    pub layer: usize,
    /// Generatrices in order along the panel, dense enough to fold it by; empty for a plate.
    pub rulings: Vec<Ruling>,
    /// Counter-clockwise round the panel, each beginning where the last ended (on each of its curves): for a wall
    /// lower, end, upper, begin; a closed outline for a plate.
    pub edges: Vec<Edge>,
    pub holes: Vec<Hole>,
    /// What is fitted to the face that this layer has.
    pub places: Vec<Place>,
    /// What is drawn, grooved or scored on a face that this layer has.
    pub traces: Vec<Trace>,
    /// Area on the neutral surface, in closed form (not from the arcs), before holes, mm².
    pub area: f64,
    /// The whole turn of the flat between its sides, radians: `∮ sin α dφ`.
    pub turn: f64,
    /// The tightest inside bend: radius, and where on the flat.
    pub tightest: Option<(f64, Vec2)>,
    /// Shortest and longest generatrix between the rims on the neutral surface, mm.
    pub rules: Option<(f64, f64)>,
}

impl Panel {
    /// One layer of a part that has one panel a layer and no generatrices, without holes or anything fitted to it.
    #[must_use]
    pub fn plain(part: PartId, layer: usize, edges: Vec<Edge>, area: f64) -> Self {
        Self {
            id: PanelId::new(0),
            part,
            ring: 0,
            layer,
            rulings: Vec::new(),
            edges,
            holes: Vec::new(),
            places: Vec::new(),
            traces: Vec::new(),
            area,
            turn: 0.0,
            tightest: None,
            rules: None,
        }
    }
}

/// One generatrix on the flat, from the strip's lower plane to its upper plane on the neutral surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ruling {
    /// The strip of the wall it belongs to.
    pub strip: usize,
    pub rule: Rule,
    pub foot: Vec2,
    pub head: Vec2,
}

/// One edge as curves on the neutral flat: the feet of its inside, middle (half-depth) and outside edge, all walked
/// in the same sense, and at every generatrix the outermost and innermost of inside and outside. Equal when the edge is square.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    pub name: EdgeName,
    pub inside: Path,
    pub middle: Path,
    pub outside: Path,
    pub widest: Path,
    pub narrowest: Path,
    pub bevel: Bevel,
    /// True lengths of the edge in space on its inside, neutral and outside face, mm.
    pub long: Long,
    /// The joints it is part of: most edges have one, one that carries another part beside a cap has two.
    pub joints: Vec<JointId>,
    /// Notches: on the middle curve, with the direction into the piece.
    pub notches: Vec<Notch>,
    /// On a seam's side: what is added beyond it.
    pub allowance: Allowance,
    /// What is folded over it.
    pub turn: Option<Turn>,
}

/// A strip of one width beyond an edge, which is folded along it.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    pub wide: f64,
    /// In order along the edge.
    pub cuts: Vec<Relief>,
    /// Its outline at its start and its end, from the fold outwards: how far in from the end of the edge, and how far
    /// out from it. Empty where the edge runs round.
    pub ends: [Vec<Vec2>; 2],
    /// What the key says of it: `over the edge`.
    pub onto: &'static str,
    /// Of tabs the face that takes the glue.
    pub glued: Option<Face>,
}

/// A cut into a turn, square to the fold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// Where, as arc length along the fold from its start, mm.
    pub at: f64,
    /// That place on the flat: the fold as it is drawn may be some hundredths longer.
    pub fold: Vec2,
    /// How far from the fold it begins.
    pub from: f64,
    /// How much of the free edge it carries away before and after that place; nothing for a slit.
    pub mouth: [f64; 2],
}

/// How an edge leans: the angle between its end face and a square cut, positive where the outside is longer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bevel {
    pub least: f64,
    pub most: f64,
    /// How far the bevel moves the line between the faces at most, mm.
    pub shift: f64,
}

impl Bevel {
    pub const SQUARE: Self = Self { least: 0.0, most: 0.0, shift: 0.0 };
}

/// True lengths, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Long {
    pub inside: f64,
    pub neutral: f64,
    pub outside: f64,
}

/// A place where both partners carry a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    pub joint: JointId,
    /// Which of its joint's notches this is.
    pub number: usize,
    pub at: Vec2,
    /// Unit direction square to the edge, into the piece.
    pub inward: Vec2,
}

/// What a side edge carries beyond the seam line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Allowance {
    None,
    Lap(f64),
    Tabs(f64),
}

/// A hole on the flat.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Its index among the part's holes.
    pub hole: usize,
    pub name: String,
    /// Counter-clockwise.
    pub outline: Path,
    pub centre: Vec2,
}

/// Where something fitted goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Its index among the solid's spots.
    pub spot: usize,
    pub name: String,
    /// It goes on the face that lies down.
    pub hidden: bool,
    /// The spot's own point.
    pub at: Vec2,
    /// Counter-clockwise. Over a closed seam there are two, one from either side, each whole: what passes the seam is
    /// still to be taken off.
    pub outlines: Vec<Path>,
    /// What of it is left free.
    pub hollow: Option<Path>,
}

/// A mark on the flat.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Its index among the solid's.
    pub trace: usize,
    pub name: String,
    /// It is on the face that lies down.
    pub hidden: bool,
    /// In the order in which it runs, over holes and past edges.
    pub paths: Vec<Path>,
}
