//! What is cut: pieces with their outline, holes, marks and lettering, in millimetres, y up, as seen on the face that
//! lies up. Rank 5: plain data, made by `finish`. The coordinates here are rounded to the last decimal that is
//! written, so every file shows the same numbers and the audit reads what is cut.

use crate::design::Hand;
use crate::geom::Vec2;
use crate::geom::path::Path;
use crate::ids::{JointId, PanelId, PartId, PieceId};
use crate::solid::{Crease, EdgeName, Leave, Stretched, Stroke};
use crate::span::Span;

/// The border of a sheet that no piece reaches into, mm: sheets are seldom cut true (common practice, no source).
pub const SHEET_BORDER: f64 = 5.0;

/// All pieces, in the order of the parts list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pieces {
    pub pieces: Vec<Piece>,
}

/// One piece; the right one of a pair is a piece of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    pub id: PieceId,
    pub panel: PanelId,
    pub part: PartId,
    pub origin: Span,
    /// Unique among all pieces: `body`, `body ring 2`, `body layer 1`, `bracer left`.
    pub name: String,
    /// The number it carries where its name does not fit.
    pub number: usize,
    pub hand: Option<Hand>,
    /// The index in `Solid::stocks`.
    pub stock: usize,
    /// Counter-clockwise and closed: the runs follow each other.
    pub contour: Vec<Run>,
    /// Counter-clockwise each.
    pub holes: Vec<Hole>,
    pub marks: Vec<Mark>,
    pub places: Vec<Place>,
    pub traces: Vec<Trace>,
    pub letters: Vec<Letter>,
    pub edges: Vec<EdgeNote>,
    /// Direction of the grain on the piece, where its stock has one.
    pub grain: Option<Vec2>,
    /// Direction that is up on the prop.
    pub up: Vec2,
    pub offsets: Vec<Offsets>,
    /// Area of the contour less its holes, mm².
    pub area: f64,
    /// g, when the stock's density is known.
    pub mass: Option<f64>,
    /// The motion that took the flat panel to this piece (a right-hand piece is mirrored); half a split panel lies
    /// on one side of `split`.
    pub from_flat: crate::geom::path::Motion,
    pub split: Option<Split>,
    /// It is stretched to its form.
    pub formed: Option<Forming>,
}

/// A stretch of a contour that belongs to one edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// `None` for the cut line of a split and for the outline of a lap, of tabs or of a turn beyond the edge.
    pub edge: Option<EdgeName>,
    /// The edge along which it is folded over, for the outline of a turn; the fold is a mark.
    pub turn: Option<EdgeName>,
    pub path: Path,
}

impl Run {
    #[must_use]
    pub fn of(edge: Option<EdgeName>, path: Path) -> Self {
        Self { edge, turn: None, path }
    }
}

/// A hole of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Its index among the part's holes.
    pub hole: usize,
    pub name: String,
    pub outline: Path,
    /// What is lettered beside it in place of its name.
    pub number: Option<usize>,
}

/// What is done along a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Operation {
    Cut,
    CutInner,
    /// A cut that ends within the piece.
    Slit,
    Bevel,
    Score,
    Groove,
    /// A line that stays to be seen.
    Line,
    /// A line along which a warmed sheet is stretched or squeezed.
    Form,
    Fold,
    Centre,
    Place,
    Notch,
    Letter,
    Sheet,
}

/// A line on a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    pub operation: Operation,
    pub path: Path,
    /// Which edge or joint it speaks of.
    pub about: About,
}

/// What a mark belongs to, so that the audit can find its place in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum About {
    /// The other face's line of a bevelled edge: bevel from the contour to here.
    Bevel(EdgeName),
    /// A notch of a joint, by its number.
    Notch {
        joint: JointId,
        number: usize,
        edge: EdgeName,
    },
    /// The seam line of a lap, under which the partner ends.
    Lap,
    /// The fold of a turn along this edge, or a slit into the turn.
    Turn(EdgeName),
    /// The generatrix opposite the seam: a centre line.
    Centre,
    /// The outline of what is fitted here; of what goes on the hidden face a cross at each of its corners, to prick
    /// through. The index of its spot.
    Place(usize),
    /// A mark, by its index in the solid; of one on the hidden face crosses along it, to prick through.
    Trace(usize),
    Lettering,
}

/// What the key says of a place mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// The index of its spot.
    pub spot: usize,
    /// The number it carries on this piece where its name does not fit: `P1`, `P2` …
    pub number: usize,
    pub name: String,
    /// It goes on the face that lies down.
    pub hidden: bool,
    /// Lengths on the flat from its point to the nearest rim and to the nearest side of the seam, mm, each with the
    /// edge's name in plain words.
    pub from: Vec<(String, f64)>,
}

/// What the key says of a mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Its index in the solid.
    pub trace: usize,
    /// The number it carries on this piece where its name does not fit: `M1`, `M2` …
    pub number: usize,
    pub name: String,
    pub stroke: Stroke,
    pub deep: Option<f64>,
    /// It is on the face that lies down.
    pub hidden: bool,
    /// How long it is as it is drawn here, mm.
    pub long: f64,
    /// How it is worked, where the piece is folded along it.
    pub fold: Option<Crease>,
    /// How much it is stretched, where the piece is formed along it.
    pub formed: Option<Stretched>,
}

/// How a piece is formed: warmed and stretched over a form.
#[derive(Clone, Debug, PartialEq)]
pub struct Forming {
    /// The edge or form line at which it is stretched most, and by what share of its length; that at which it is squeezed most.
    pub stretched: Option<(String, f64)>,
    pub squeezed: Option<(String, f64)>,
    /// What its stock allows.
    pub leave: Leave,
}

/// A line of stroke lettering.
#[derive(Clone, Debug, PartialEq)]
pub struct Letter {
    pub text: String,
    /// The middle of the line.
    pub at: Vec2,
    /// Height of a capital, mm.
    pub tall: f64,
    /// Direction of writing, radians.
    pub turn: f64,
    /// Strokes, already in place.
    pub strokes: Vec<Path>,
}

/// What the key says about an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeNote {
    pub edge: EdgeName,
    /// `bottom`, `top`, `seam left side`.
    pub name: String,
    /// The joint's letter, and who is met there.
    pub letter: Option<String>,
    pub meets: Option<String>,
    pub joint: Option<JointId>,
    /// True lengths on the inside, neutral and outside face, mm.
    pub long: crate::flat::Long,
    pub notches: usize,
    /// "12° long outside", "3–9.5° long outside", "square": to half a degree.
    pub bevel: String,
    /// How much it is stretched when the piece is formed.
    pub formed: Option<Stretched>,
}

/// How to draw a line that no compass reaches: rises of its points above its chord.
#[derive(Clone, Debug, PartialEq)]
pub struct Offsets {
    pub edge: EdgeName,
    /// `None` for a free curve.
    pub radius: Option<f64>,
    pub chord: f64,
    /// Distance along the chord from the edge's start, and rise above it, out of the piece positive, mm.
    pub rows: Vec<(f64, f64)>,
}

/// One half of a panel that was too large for its sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// The line, in the flat's coordinates; this half lies to its left.
    pub at: Vec2,
    pub along: Vec2,
    /// 1 or 2.
    pub half: usize,
    pub joint: JointId,
}
