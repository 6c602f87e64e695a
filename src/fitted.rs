//! What is fitted to the sheet parts: goods that run along a line (cord, lace, strap), single things at their places
//! (rings, beads, contents), and the outlines where they go. Rank 5: plain data, made by `shape`.

pub mod sliding;

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
    pub lacings: Vec<Lacing>,
    pub slidings: Vec<sliding::Sliding>,
    pub coats: Vec<Coat>,
    pub carried: Vec<Carried>,
    pub cores: Vec<Core>,
    pub ridges: Vec<Ridge>,
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

/// How many of what length are bought for laces of one length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Purchase {
    pub count: usize,
    /// mm
    pub each: f64,
    /// Of how many of them one lace is joined.
    pub joined: usize,
}

impl Supply {
    /// What is bought for `laces` lengths of `long` mm: as it is sold, by a length (`sold`, or `long` of one), as many
    /// as each purchase holds; else to the next 100 mm off the reel.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small whole numbers")]
    pub fn purchase(&self, long: f64, laces: usize) -> Purchase {
        // A hair's breadth is not another length.
        let over = |x: f64| (x - 1e-6).ceil().clamp(1.0, 1e9) as usize;
        let sold = self.sold.filter(|q| q.dim() == Dim::LENGTH).map(Quantity::value).or(self.long);
        match sold.filter(|s| *s > 0.0) {
            None => Purchase { count: laces, each: (long / 100.0 - 1e-6).ceil().max(1.0) * 100.0, joined: 1 },
            Some(each) if each + 1e-6 >= long => {
                let holds = ((each / long.max(1e-3)) + 1e-6).floor().clamp(1.0, 1e9) as usize;
                Purchase { count: laces.div_ceil(holds), each, joined: 1 }
            }
            Some(each) => {
                let joined = over(long / each);
                Purchase { count: laces * joined, each, joined }
            }
        }
    }
}

/// A girth that gets through a part (or through all parts of one shell).
#[derive(Clone, Debug, PartialEq)]
pub struct Passage {
    /// The part that is narrowest, and the name of the whole.
    pub part: PartId,
    pub name: String,
    pub girth: f64,
    /// Its girth inside there, and at which height.
    pub narrowest: f64,
    pub level: f64,
    /// How far apart the sides of an open seam must be drawn for it; `None` where it gets through as the wall stands.
    pub apart: Option<f64>,
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
    /// The index in `Solid::stocks`, of a rod: a row is one of the lengths of a core, and its line is that of all.
    Rod(usize),
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

/// A rod within a part, or one that makes it long: so many lengths alike, end to end.
#[derive(Clone, Debug, PartialEq)]
pub struct Core {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    /// Its lengths: the index in [`Fitted::runs`].
    pub run: usize,
    /// Its diameter, mm.
    pub across: f64,
    /// The middles of its lower and its upper end, in the prop.
    pub ends: [Vec3; 2],
    /// What it stands in, on or beside, and its name.
    pub host: Option<(ThingId, String)>,
    /// The least distance to the wall that it stands in, all round, mm; below nought it does not go in.
    pub clear: Option<f64>,
}

/// A keel: two flanks that meet in a ridge over a wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Ridge {
    pub thing: ThingId,
    pub name: String,
    /// Its flanks, the left one as seen from outside first.
    pub parts: [PartId; 2],
    /// The wall it stands on, and the name of its thing.
    pub on: (PartId, String),
    /// As asked for, at its level, mm.
    pub wide: f64,
    pub rise: f64,
    /// Along its ridge.
    pub long: f64,
    pub level: f64,
    /// The angle between the flanks inside the ridge.
    pub between: f64,
    /// Of each flank at the keel's level: its width from foot to ridge, the width of the end of its sheet on the wall, the
    /// angle between its outer face and the wall beside it, and how far an edge of that end stands off at most.
    pub flanks: Vec<(f64, f64, f64, f64)>,
    /// The area of both ends on the wall, mm².
    pub glued: f64,
    pub pair: bool,
}

/// Rows of holes along edges, and the lace that is drawn through them.
#[derive(Clone, Debug, PartialEq)]
pub struct Lacing {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    /// `cross`, `ladder` …
    pub sort: &'static str,
    /// Its lace: the index in [`Fitted::runs`].
    pub run: usize,
    /// Width of a hole, and distance of its centre from its edge, mm.
    pub hole: f64,
    pub margin: f64,
    /// The least distance of the two edges it joins, mm; one edge has none.
    pub gap: Option<f64>,
    /// One or two: holes of one number are a pair.
    pub rows: Vec<Row>,
    /// Of [`Run::along`]: from hole to hole, and through the sheet, mm.
    pub over: f64,
    pub through: f64,
}

/// A row of holes along one edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub part: PartId,
    pub edge: EdgeOf,
    /// From hole to hole along the edge, mm.
    pub pitch: f64,
    /// In order of their numbers: the index among the part's holes, and the distance along the edge from its start.
    pub holes: Vec<(usize, f64)>,
}

/// An edge of a whole wall, or of a cap's disc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeOf {
    /// The seam's side where the wall begins: the left one of the piece as it lies with its outside up.
    SeamBegin,
    SeamEnd,
    Bottom,
    Top,
    /// Round the disc of a cap.
    Disc,
}

impl EdgeOf {
    /// As a maker would say it, of what is written (on the right one of a pair the seam's sides change places).
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::SeamBegin => "seam left side",
            Self::SeamEnd => "seam right side",
            Self::Bottom => "bottom",
            Self::Top => "top",
            Self::Disc => "disc's edge",
        }
    }
}

/// Coats of paint or sealer on the faces of parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Coat {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    /// The index in [`Fitted::supplies`].
    pub supply: usize,
    /// How many, one over the other.
    pub coats: usize,
    pub faces: Vec<Coated>,
}

impl Coat {
    /// The area of one coat, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.faces.iter().map(|f| f.area * if f.pair { 2.0 } else { 1.0 }).sum()
    }
}

/// One face of one part that is coated.
#[derive(Clone, Debug, PartialEq)]
pub struct Coated {
    pub part: PartId,
    pub face: Face,
    /// Holes taken out, mm²; of one of a pair.
    pub area: f64,
    /// The middle of that area, in the prop.
    pub middle: Vec3,
    /// The mirror image is coated too.
    pub pair: bool,
}

/// What a part carries: a lump that is put in, not fixed.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// The index in [`Fitted::lumps`]. Its mass may read what is known only after the plan, and is `None` until then.
    pub lump: usize,
    /// The part it lies in.
    pub part: PartId,
    /// To the front, to the left and up, mm.
    pub size: Option<Vec3>,
    /// Its middle, in the part's frame.
    pub middle: Vec3,
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
    /// What of it is left free, as the bore of a shell that stands there; as the outline is given.
    pub hollow: Option<Path>,
}

/// A part that lies over another one: a wall of the same surface at another depth, a band on it, or a plate on a plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Over {
    pub part: PartId,
    /// Which of its strips the spot's strip is, or of a band the spot lies on; 0 of a plate.
    pub strip: usize,
    /// Of a band: the spot's rule between the band's own planes.
    pub rule: Option<Rule>,
}

impl Spot {
    /// The strip of a part on which it lies, when that part shows it; 0 of a plate.
    #[must_use]
    pub fn strip_on(&self, part: PartId) -> Option<usize> {
        if part == self.part {
            return Some(match self.on {
                Ground::Wall { strip, .. } => strip,
                Ground::Plate { .. } | Ground::Face { .. } | Ground::Leaf { .. } => 0,
            });
        }
        self.over.iter().find(|o| o.part == part).map(|o| o.strip)
    }

    /// The rule through it on a part, which is the wall's own but on a band.
    #[must_use]
    pub fn rule_on(&self, part: PartId) -> Option<Rule> {
        let Ground::Wall { rule, .. } = self.on else { return None };
        Some(self.over.iter().find(|o| o.part == part).and_then(|o| o.rule).unwrap_or(rule))
    }
}

/// Where a spot lies. On a plate `outline` is drawn as the plate's flat is, the wearer's front up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ground {
    /// On a wall: its strip, the rule through it, and the height on the measured face.
    Wall { strip: usize, rule: Rule, z: f64 },
    /// On a plate, in its own section plane.
    Plate { centre: Vec2 },
    /// On a face of a wall that is folded from one strip, in that face's plane.
    Face { face: usize, centre: Vec2 },
    /// On a leaf: on its measured face laid flat.
    Leaf { at: Vec2 },
}

#[cfg(test)]
mod tests {
    use super::*;

    fn supply(sold: Option<f64>, long: Option<f64>) -> Supply {
        let sold = sold.and_then(|s| Quantity::new(s, Dim::LENGTH));
        Supply { thick: Some(3.0), long, sold, ..crate::samples::supply("lace3", "lace") }
    }

    #[test]
    fn what_is_bought_is_as_it_is_sold() {
        let of = |sold, long, wanted, laces| {
            let p = supply(sold, long).purchase(wanted, laces);
            (p.count, p.each, p.joined)
        };
        // Laces of one length: one each; a reel that holds two; off the reel to the next tenth of a metre.
        assert_eq!(of(Some(1500.0), None, 1234.6, 2), (2, 1500.0, 1));
        assert_eq!(of(None, Some(1500.0), 1500.0, 2), (2, 1500.0, 1));
        assert_eq!(of(Some(2500.0), None, 1234.6, 3), (2, 2500.0, 1));
        assert_eq!(of(None, None, 1234.6, 2), (2, 1300.0, 1));
        assert_eq!(of(None, None, 1300.0, 1), (1, 1300.0, 1));
        // Shorter than the lace: joined.
        assert_eq!(of(Some(1000.0), None, 2400.0, 2), (6, 1000.0, 3));
    }
}
