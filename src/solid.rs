//! What the prop is in space: sheet parts with their layers, holes and joints, and the sizes that were asked for.
//! Rank 5: plain data, made by `shape`. Kinds of things end here: later phases know only what stands in this file.
//!
//! Each part has its own frame: a wall's sections lie in planes of constant z along its axis, x to its front, y to
//! its left. `Part::place` sets it in the whole prop.

mod folded;
mod formed;
mod leaf;

use std::ops::Range;

use crate::design::{Face, Hand};
use crate::fitted::{Fitted, GoodsOf, Lump, Passage, Price, Run};
pub use crate::geom::figure::Figure;
pub use crate::geom::formed::Leave;
pub use crate::geom::frame::Frame;
use crate::geom::path::Path;
use crate::geom::plane::Plane;
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec2, Vec3};
use crate::ids::{JointId, PartId, ThingId};
use crate::span::Span;
pub use folded::{Crease, Faced, Fold, Folded};
pub use formed::{Formed, Stretched};
pub use leaf::{Form, Leaf, Taper};

mod claim;
mod trace;

pub use claim::{Claim, OfForm, OfKeel, OfPanels, OfSeen, Size, Station};
pub use trace::{Course, Stroke, Trace};

/// The whole prop.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solid {
    pub job: Job,
    pub stocks: Vec<Stock>,
    pub parts: Vec<Part>,
    pub joints: Vec<Joint>,
    /// What is drawn, grooved or scored on the parts.
    pub traces: Vec<Trace>,
    /// What of covers and linings is folded over their edges, and tabs that are glued to what an edge meets.
    pub turns: Vec<Turn>,
    /// What is fitted to the parts.
    pub fitted: Fitted,
    /// Every size that the text gives, to be measured again on the folded pieces.
    pub claims: Vec<Claim>,
    /// What was asked of girths that must get through, and the answers.
    pub passages: Vec<Passage>,
}

impl Solid {
    /// g of all rows of a run, spares too, as it stands on one of a pair; `None` where its goods have no density.
    #[must_use]
    pub fn mass_of_run(&self, run: &Run) -> Option<f64> {
        let per = match run.goods {
            GoodsOf::Supply(i) => self.fitted.supplies.get(i)?.line_mass()?,
            GoodsOf::Strip { stock, wide } => self.stocks.get(stock)?.area_mass? * f64::from(wide) / 100.0,
            GoodsOf::Rod(stock) => self.stocks.get(stock)?.line_mass()?,
        };
        #[expect(clippy::cast_precision_loss, reason = "few rows")]
        let rows = run.rows as f64;
        Some(per * run.long() * rows)
    }

    /// The tabs that are turned out round the foot of a part.
    #[must_use]
    pub fn turned_out(&self, part: PartId) -> Option<&Turn> {
        let own = |t: &&Turn| t.at.part == part && matches!(t.onto, Onto::Ground { outward: true, .. });
        self.turns.iter().find(own)
    }

    /// g of all of a lump, as they stand on one of a pair; `None` where the mass of one is not known.
    #[must_use]
    pub fn mass_of_lump(&self, lump: &Lump) -> Option<f64> {
        #[expect(clippy::cast_precision_loss, reason = "few of them")]
        let count = lump.at.len() as f64;
        lump.mass.map(|m| m * count)
    }
}

/// What is made, for whom, with what.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// The prop's name in the text.
    pub name: String,
    pub title: String,
    pub wearer: Option<String>,
    /// The prop names several wearers, and this is the run for one of them.
    pub one_of_several: bool,
    pub cutter: Option<Cutter>,
    pub paper: Option<Paper>,
    pub show: Show,
    /// This is not the prop itself but a mock-up of it.
    pub mock_up: Option<MockUp>,
    /// Settings and their values in force, as written, for the report.
    pub settings: Vec<(String, String)>,
    /// Things of the text that are not built by this version.
    pub unbuilt: Vec<String>,
}

/// A mock-up of the prop: what to try before it is made.
#[derive(Clone, Debug, PartialEq)]
pub struct MockUp {
    /// As it is said: `1:2`.
    pub scale: String,
    /// Its lengths for one of the prop's.
    pub ratio: f64,
    /// The stock it is cut from.
    pub card: String,
    /// What of the prop it leaves out, by name.
    pub without: Vec<String>,
}

/// A cutter, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Cutter {
    pub name: String,
    pub sort: &'static str,
    pub size: Vec2,
    /// The thickest goods it cuts through.
    pub deepest: Option<f64>,
    pub kerf: f64,
    /// How far a drag knife's tip trails its holder.
    pub offset: f64,
    pub overcut: f64,
    /// The longest radius that can be drawn with a compass; longer arcs get an offsets table.
    pub compass: f64,
    pub writes_dxf: bool,
}

/// The units in which lengths are written for the maker.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Show {
    #[default]
    Millimetres,
    /// In sixteenths.
    Inches,
}

/// A paper, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Paper {
    pub name: String,
    pub size: Vec2,
    pub margin: f64,
    pub overlap: f64,
}

/// Sheet goods.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    pub thing: ThingId,
    pub name: String,
    /// `foam`, `cloth` …
    pub sort: &'static str,
    pub thick: f64,
    pub size: Goods,
    /// g per mm² of sheet.
    pub area_mass: Option<f64>,
    pub grain: Grain,
    pub reversible: bool,
    /// Least inside radius rolled cold, and warmed, mm.
    pub tightest: f64,
    pub tightest_warm: f64,
    /// How much of its length its neutral surface may gain and lose.
    pub leave: Leave,
    /// Whole sheets in the cupboard.
    pub have: f64,
    /// Pieces left over from earlier work, along the grain second, mm.
    pub offcuts: Vec<Vec2>,
    pub price: Option<Price>,
    /// Words of the table's cautions.
    pub cautions: Vec<&'static str>,
}

impl Stock {
    /// g of one mm of a round rod: what a sheet as thick weighs, over the area of its section.
    #[must_use]
    pub fn line_mass(&self) -> Option<f64> {
        Some(self.area_mass? * 0.25 * crate::num::PI * self.thick)
    }

    /// The length in which a rod is sold, mm; `None` where it comes off a roll.
    #[must_use]
    pub fn rod_long(&self) -> Option<f64> {
        match self.size {
            Goods::Sheet(size) => Some(size.max_element()),
            Goods::Roll(_) => None,
        }
    }
}

/// How sheet goods are sold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Goods {
    Sheet(Vec2),
    /// A roll of this width; its length is what is needed.
    Roll(f64),
}

/// How pieces may lie on goods, said here once; the schema's words (`src/schema/goods.rs`) say the same to the maker,
/// `arrange` turns pieces by [`Grain::step`], and the audit measures for itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Any way.
    None,
    /// The up of every piece along the grain, either end first: goods without a nap.
    Along,
    /// Along the grain or across it.
    Either,
}

impl Grain {
    /// The least turn between two ways in which a piece may lie; `None` where it turns freely.
    #[must_use]
    pub fn step(self) -> Option<f64> {
        match self {
            Self::None => None,
            Self::Along => Some(crate::num::PI),
            Self::Either => Some(crate::num::FRAC_PI_2),
        }
    }
}

/// One sheet part: a shell's wall, a cap, a lid's rim or disc, a seam's backing strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    pub id: PartId,
    /// The thing it comes from.
    pub thing: ThingId,
    /// As a maker would call it: `body`, `base`, `lid rim`.
    pub name: String,
    pub origin: Span,
    /// One of a mirrored pair: the part as it stands is the left one; the right one is its mirror image.
    pub pair: bool,
    /// Inside to outside.
    pub layers: Vec<Layer>,
    pub body: Body,
    pub place: Frame,
    /// Whether a piece may be split when it passes its sheet.
    pub split: bool,
}

impl Part {
    /// How many pieces are cut for it, before any is split.
    #[must_use]
    pub fn pieces(&self) -> usize {
        let panels = match &self.body {
            Body::Wall(wall) => wall.cut().rings.len(),
            Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => 1,
        };
        panels * self.layers.len() * if self.pair { 2 } else { 1 }
    }
}

/// One layer of sheet, as depths from the measured face along the outward normal, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// The index in [`Solid::stocks`].
    pub stock: usize,
    pub inner: f64,
    pub neutral: f64,
    pub outer: f64,
    /// Its edges are cut square at half depth, whatever angle they meet at.
    pub square: bool,
}

impl Layer {
    /// Half-way between its faces: where a square cut is measured.
    #[must_use]
    pub fn middle(&self) -> f64 {
        0.5 * (self.inner + self.outer)
    }

    /// The depth of one of its faces.
    #[must_use]
    pub fn face(&self, face: Face) -> f64 {
        match face {
            Face::Inside => self.inner,
            Face::Middle => self.neutral,
            Face::Outside => self.outer,
        }
    }
}

#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    Wall(Wall),
    Plate(Plate),
    Leaf(Leaf),
    Folded(Folded),
}

/// A wall along a straight axis: strips between consecutive stations, gathered into rings that are one flat piece
/// each.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// From the first station up. Each begins at the seam's rule (`Strip::begun_at(facing)`).
    pub strips: Vec<Strip>,
    pub rings: Vec<Ring>,
    /// The direction of the seam's generatrix.
    pub facing: f64,
    pub seam: Seam,
    pub holes: Vec<Hole>,
    /// What its first or its last rim is cut to.
    pub scallops: Option<Scallops>,
    /// The figures of its first and of its last rim, where those are [`Rim::Shaped`].
    pub figures: [Option<Box<Figure>>; 2],
    /// All of its rings are one piece, whose sheet is stretched.
    pub formed: Option<Box<Formed>>,
}

/// A rim cut to a row of tongues. Each is the arc of a circle on the flat, through its tip half-way between its
/// notches' generatrices on the rim and the two notches, which lie `rise` from the rim along those. The first and the
/// last notch stand on the sides; all are as long along the rim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scallops {
    /// The wall's last rim; else its first.
    pub upper: bool,
    pub count: usize,
    /// From the notches to the rim, mm.
    pub rise: f64,
}

impl Wall {
    /// A wall with no holes and straight ends, rolled from its own flat.
    #[must_use]
    pub fn plain(strips: Vec<Strip>, rings: Vec<Ring>, facing: f64, seam: Seam) -> Self {
        Self { strips, rings, facing, seam, holes: Vec::new(), scallops: None, figures: [None, None], formed: None }
    }

    /// The figure of its first or of its last rim.
    #[must_use]
    pub fn figure(&self, upper: bool) -> Option<&Figure> {
        self.figures[usize::from(upper)].as_deref()
    }

    /// The scallops of a ring's rim.
    #[must_use]
    pub fn scalloped(&self, ring: usize, upper: bool) -> Option<&Scallops> {
        let there = if upper { ring + 1 == self.rings.len() } else { ring == 0 };
        self.scallops.as_ref().filter(|s| s.upper == upper && there)
    }
}

/// Strips that lie in one flat piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    pub strips: Range<usize>,
    pub lower: Rim,
    pub upper: Rim,
}

/// How a rim is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rim {
    /// The end face lies in the station's plane.
    Level,
    /// At right angles to the sheet, through the measured face's rim.
    Square,
    /// Half of the angle to the wall of the strip with this index, with which it is joined.
    Mitre(usize),
    /// Short of the station: at right angles to the sheet, through the measured face at this height.
    At(f64),
    /// Closed to a point: cut level where the neutral surface first closes, at this height.
    Closed(f64),
    /// The end face lies in this plane. The plane's own point stands at the height of the station.
    Plane(Plane),
    /// At right angles to the sheet, through the measured face's rim in this plane.
    PlaneSquare(Plane),
    /// At right angles to the sheet, through the measured face's line of the wall's figure for that rim.
    Shaped { upper: bool },
}

impl Rim {
    /// The plane along which it is cut, when that is one of its own.
    #[must_use]
    pub fn plane(&self) -> Option<Plane> {
        match self {
            Self::Plane(plane) | Self::PlaneSquare(plane) => Some(*plane),
            Self::Level | Self::Square | Self::Mitre(_) | Self::At(_) | Self::Closed(_) | Self::Shaped { .. } => None,
        }
    }

    /// Whether it is cut sloping or to a figure: it stands at no one height.
    #[must_use]
    pub fn is_uneven(&self) -> bool {
        self.plane().is_some() || matches!(self, Self::Shaped { .. })
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Seam {
    Butt,
    /// One edge runs on under (or over) the other by this much.
    Lap(f64),
    /// Glue tabs of this width on one edge.
    Tabs(f64),
    /// A butt seam with a strip behind it (a part of its own).
    Backed(f64),
    Open(Gap),
}

/// What an open seam leaves out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gap {
    /// This length of the neutral girth, everywhere.
    Length(f64),
    /// The generatrices within half of this angle on either side.
    Angle(f64),
    /// This share of the neutral girth, everywhere.
    Share(f64),
    /// All but this length of the neutral girth, everywhere: what is left is a strip of one width, about the generatrix
    /// opposite the gap. Where the section runs back, it ends at the nearest place on either hand that is so far away.
    Leaves(f64),
    /// What an open wall leaves out on which this one lies: this length and this share of the girth at this depth.
    Over { depth: f64, length: f64, share: f64 },
}

/// What of a cover or lining is folded over one of its edges, or the tabs of card along one. The fold is the edge as it
/// is cut without one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    pub at: EdgeRef,
    pub origin: Span,
    /// How far it reaches from the fold, mm.
    pub wide: f64,
    /// Whether cuts carry away what it has too much of, and let it spread where it has too little.
    pub relief: bool,
    pub onto: Onto,
    /// Of tabs the face that takes the glue.
    pub glued: Option<Face>,
}

/// What a turn lies on, from the fold on. The middle of its own sheet keeps its distance from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Onto {
    /// Over the end face of a wall, from the face at the depth `near`, on which the part lies, to the one at `far`;
    /// then back along that face.
    Back { near: f64, far: f64 },
    /// Straight across a wall's end, in the plane of its station: a cap is level with it.
    Across,
    /// A plate's: along the surface that bounds the plate, away from its show face.
    Side,
    /// A plate's in a bore: along the surface that bounds the plate, away from its show face, on the bore's side of it.
    Bore,
    /// Of a rim that meets another ring in a mitre: through the mitre to the face at this depth of the strip with this
    /// index, and on along it. The middle of its own sheet keeps its distance from that face.
    Next { strip: usize, far: f64 },
    /// Of a rim that meets that of another part, in a joint that lies at the depth `own` here and at `there` on the other
    /// wall: through the joint to that wall's face at the depth `far`, and on along it.
    Beyond { edge: EdgeRef, own: f64, there: f64, far: f64 },
    /// In the plane of a rim's station, on what the wall stands on: into the wall or out from it. On the show face of this
    /// plate, or on what is no part of the prop.
    Ground { outward: bool, on: Option<PartId> },
    /// Nothing: the edge is not free, for this reason. Such a turn has no width.
    Not(&'static str),
}

/// A hole in a wall: its outline is true on the neutral flat and cut square to the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    /// The rule through its centre, and the strip it is one of.
    pub strip: usize,
    pub rule: Rule,
    /// Height of its centre on the measured face.
    pub z: f64,
    /// Counter-clockwise, x along the horizontal to the right as seen from outside, y up the wall, from the centre.
    pub outline: Path,
    /// The number that is lettered beside it in place of its name: its place in a row, and the same for the hole it is
    /// laced with.
    pub number: Option<usize>,
}

/// A flat plate across a wall: the part of a plane sheet within one of the wall's parallel surfaces. Its edge lies
/// on that surface, so it is bevelled where the wall slopes.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// The wall whose surface bounds it.
    pub strip: Strip,
    /// The parallel surface's depth from the wall's measured face.
    pub depth: f64,
    /// Height of its show face (the one seen from outside the prop) and of its hidden face.
    pub show: f64,
    pub hidden: f64,
    pub holes: Vec<PlateHole>,
    /// Its outline is straight from corner to corner on both faces (`geom::sided`; the depth is 0 then), and every side
    /// an edge of its own.
    pub sided: bool,
    /// It stands in the prop: its x is the way up, not the front.
    pub upright: bool,
}

impl Plate {
    /// A flat side of a wall, or a flank: its outline is straight from corner to corner, and it stands in the prop.
    #[must_use]
    pub fn standing(strip: Strip, [inner, outer]: [f64; 2]) -> Self {
        Self { strip, depth: 0.0, show: outer, hidden: inner, holes: Vec::new(), sided: true, upright: true }
    }
}

/// A hole in a plate, cut square.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateHole {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    /// Counter-clockwise in the plate's own section plane (x front, y left), in place.
    pub outline: Path,
    /// As of a hole in a wall.
    pub number: Option<usize>,
}

/// The edges of parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EdgeName {
    /// A ring's rim at its first station.
    Lower,
    /// A ring's rim at its last station.
    Upper,
    /// The side at the seam where the wall begins (growing φ leads away from it).
    Begin,
    /// The side at the seam where the wall ends.
    End,
    /// A plate's outline.
    Outline,
    /// A side of a plate with corners, counted from the corner at which its strip begins.
    Side(usize),
    /// The foot and the head of a face of a wall that is folded from one strip, counted from its seam.
    Foot(usize),
    Head(usize),
    /// The straight cut of a panel that is made as two pieces; no edge of the solid.
    Cut,
}

/// One edge of one part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EdgeRef {
    pub part: PartId,
    /// The ring of a wall; 0 for a plate.
    pub ring: usize,
    pub edge: EdgeName,
}

/// Two edges that meet along one curve in space.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    pub id: JointId,
    /// The letter both edges carry: `A`, `B` …
    pub letter: String,
    pub a: EdgeRef,
    pub b: EdgeRef,
    pub contact: Contact,
    /// Arc lengths along the contact from its start, at which both edges carry a notch.
    pub notches: Vec<f64>,
    /// What it is: "seam", "station seam", "base inset".
    pub what: String,
}

/// The curve in space along which a joint's edges meet; its length is what both must agree on.
#[derive(Clone, Debug, PartialEq)]
pub enum Contact {
    /// The section of a part's strip at height `z` and depth `depth`, from the seam's rule once round (or as far as
    /// an open seam leaves it).
    Round { part: PartId, strip: usize, z: f64, depth: f64 },
    /// The rim of a part's ring at depth `depth`, from its seam's rule once round: where two rings with frames of their
    /// own meet. On the other ring's rim it lies at the depth `other`.
    Rim { part: PartId, ring: usize, upper: bool, depth: f64, other: f64 },
    /// The seam's rule of a part's ring at depth `depth`, from its lower to its upper rim.
    Along { part: PartId, ring: usize, depth: f64 },
    /// A straight line of the prop; of a pair, of the left one. An edge carries its notches where they lie nearest. Two
    /// panels meet half-way between their planes, or where they are lapped the first runs on over the edge of the second.
    Line { from: Vec3, to: Vec3, lapped: bool },
}

/// Which hand a copy of a paired part is for; `None` when it is not one of a pair.
#[must_use]
pub fn hands(pair: bool) -> &'static [Option<Hand>] {
    if pair { &[Some(Hand::Left), Some(Hand::Right)] } else { &[None] }
}
