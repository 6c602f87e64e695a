//! What is fitted to the sheet parts: goods that run along a line (cord, lace, strap), single things at their places
//! (rings, beads, contents), and the outlines where they go. Rank 5: plain data, made by `shape`.

use crate::design::Face;
use crate::geom::path::Path;
use crate::geom::strip::Rule;
use crate::geom::{Vec2, Vec3};
use crate::ids::{PartId, ThingId};
use crate::num::PI;
use crate::span::Span;
use crate::units::{Dim, Quantity};

/// Everything fitted, each list in the order in which the text's things are built.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fitted {
    /// The supplies that are used, each once.
    pub supplies: Vec<Supply>,
    pub runs: Vec<Run>,
    pub lumps: Vec<Lump>,
    pub spots: Vec<Spot>,
    /// Sheet parts that are cut flat and bent or folded where they go (tabs, backing patches): plates that stand in
    /// the prop as their own flat, the middle of it where they go. No picture shows them; their spots are shown.
    pub patches: Vec<PartId>,
}

/// What is bought by length, by piece or by volume; as read, what is not said is `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct Supply {
    pub thing: ThingId,
    pub name: String,
    /// `cord`, `ring`, `adhesive` …
    pub sort: &'static str,
    /// mm, as are the next three.
    pub across: Option<f64>,
    pub wide: Option<f64>,
    pub thick: Option<f64>,
    pub long: Option<f64>,
    /// g of one.
    pub mass: Option<f64>,
    /// By length, area or volume: its dimension tells.
    pub density: Option<Quantity>,
    pub price: Option<Price>,
    /// A count, a length, an area or a volume.
    pub have: Option<Quantity>,
    pub sold: Option<Quantity>,
    /// s
    pub dry: Option<f64>,
    pub open_time: Option<f64>,
    pub cure: Option<f64>,
    /// mm² that one mm³ covers in one coat.
    pub covers: Option<f64>,
    /// N/mm
    pub strength: Option<f64>,
    /// Words of the table's cautions.
    pub cautions: Vec<&'static str>,
}

impl Supply {
    /// g of one mm of it: as given by length, or by area over its width, or by volume over its cross-section (round
    /// where it has no width). `None` where that is not known.
    #[must_use]
    pub fn line_mass(&self) -> Option<f64> {
        let density = self.density?;
        let thick = self.thick.or(self.across);
        Some(match density.dim() {
            Dim::LINE_DENSITY => density.value(),
            Dim::AREA_DENSITY => density.value() * self.wide.or(thick)?,
            Dim::DENSITY => {
                let section = match (self.wide, thick) {
                    (Some(w), Some(t)) => w * t,
                    (None, Some(t)) => 0.25 * PI * t * t,
                    (_, None) => return None,
                };
                density.value() * section
            }
            _ => return None,
        })
    }
}

/// Money in the prop's currency, for one or per something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    pub money: f64,
    pub per: Option<Quantity>,
}

/// Goods that run along a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    pub goods: GoodsOf,
    /// How many rows like it, one beside the other.
    pub rows: usize,
    /// Where one row lies in the prop (within a fiftieth of its bends' radius: for the eye and for where its mass is).
    pub line: Vec<Vec3>,
    /// The true length of one row along that way, reckoned exactly and not from `line`, mm.
    pub along: f64,
    /// Spare at both ends of a row together: tucks, tails, folds, mm.
    pub spare: f64,
    /// It is on one of a mirrored pair, and there is another like it.
    pub pair: bool,
}

impl Run {
    /// The length one row is cut to, mm.
    #[must_use]
    pub fn long(&self) -> f64 {
        self.along + self.spare
    }
}

/// What a run or a lump is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GoodsOf {
    /// The index in [`Fitted::supplies`].
    Supply(usize),
    /// The index in `Solid::stocks`, in a strip of this many hundredths of a millimetre.
    Strip { stock: usize, wide: u32 },
}

/// Single things, alike: rings, beads, rivets, contents.
#[derive(Clone, Debug, PartialEq)]
pub struct Lump {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    /// The index in [`Fitted::supplies`]; contents have none.
    pub supply: Option<usize>,
    /// g of one, where it is known.
    pub mass: Option<f64>,
    /// The mass centre of each, in the prop.
    pub at: Vec<Vec3>,
    /// From the middle of one to the next along the line they stand in, mm; `None` where they stand in none.
    pub spacing: Option<f64>,
    pub pair: bool,
    /// It is carried, not fixed: gone when the prop is empty.
    pub contents: bool,
}

/// The outline of something on a part's face, drawn there so that it can be put in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    pub part: PartId,
    /// What lies over the part on that face (covers, linings) and shows the place too.
    pub over: Vec<Over>,
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    pub face: Face,
    pub on: Ground,
    /// Counter-clockwise, true on the neutral flat, as the outline of a hole is: x to the right as seen from outside,
    /// y up, from the point that `on` names (its middle; of a ring's tab the ring's bar).
    pub outline: Path,
}

/// A part that lies over another one: a wall of the same surface at another depth, or a plate on a plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Over {
    pub part: PartId,
    /// Which of its strips the spot's strip is; 0 of a plate.
    pub strip: usize,
}

impl Spot {
    /// The strip of a part on which it lies, when that part shows it; 0 of a plate.
    #[must_use]
    pub fn strip_on(&self, part: PartId) -> Option<usize> {
        if part == self.part {
            return Some(match self.on {
                Ground::Wall { strip, .. } => strip,
                Ground::Plate { .. } => 0,
            });
        }
        self.over.iter().find(|o| o.part == part).map(|o| o.strip)
    }
}

/// Where a spot lies. On a plate `outline` is drawn as the plate's flat is, the wearer's front up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ground {
    /// On a wall: its strip, the rule through it, and the height on the measured face.
    Wall { strip: usize, rule: Rule, z: f64 },
    /// On a plate, in its own section plane.
    Plate { centre: Vec2 },
}
