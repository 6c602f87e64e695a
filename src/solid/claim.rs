//! Sizes that the text gives, as they are measured again on the folded pieces.

use super::{EdgeName, Gap};
use crate::geom::plane::Plane;
use crate::geom::{Vec2, Vec3};
use crate::ids::PartId;
use crate::span::Span;

/// A size asked for in the text, and where on the solid it holds. Levels are heights on the part's measured face.
#[derive(Clone, Debug, PartialEq)]
pub struct Claim {
    pub part: PartId,
    pub origin: Span,
    pub size: Size,
}

/// Where the falls of a figure are measured from, and how far beyond that its nearest place lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    pub z: f64,
    /// They go down the wall; else up.
    pub falls: bool,
    pub down: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Size {
    /// Girth at a height and depth.
    Around {
        z: f64,
        depth: f64,
        mm: f64,
    },
    /// Full width along a direction at a height and depth.
    Across {
        z: f64,
        depth: f64,
        direction: f64,
        mm: f64,
    },
    /// The plane of a ring's sloped rim faces this way (unit, in the part's frame).
    Faces {
        ring: usize,
        upper: bool,
        normal: Vec3,
    },
    /// In a plane that may lean, of the measured face as it is seen along the ring's axis.
    Seen {
        plane: Plane,
        size: OfSeen,
    },
    /// The axis of a ring stands at this angle to that of another part's, in the prop.
    Turned {
        from: PartId,
        angle: f64,
    },
    /// From the first to the last station, along the axis.
    Tall {
        mm: f64,
    },
    /// Of all panels of the part's thing together, on their faces at a depth: in the plane through this point of the
    /// prop, square to the axis.
    Panels {
        at: Vec3,
        axis: Vec3,
        depth: f64,
        size: OfPanels,
    },
    /// Of a keel whose flanks are the part and another one, on the strip of a wall under it: under its ridge the wall faces
    /// this way, and its sizes hold at this height of the wall's face at this depth.
    Keel {
        other: PartId,
        wall: PartId,
        strip: usize,
        facing: f64,
        z: f64,
        depth: f64,
        size: OfKeel,
    },
    /// Along the generatrix that faces a direction, from rim to rim on the face at a depth.
    Wide {
        facing: f64,
        depth: f64,
        mm: f64,
    },
    /// Of a wall that is formed from one piece, at a station on the measured face.
    Formed {
        station: usize,
        size: OfForm,
    },
    /// Thickness of all layers together.
    Thick {
        mm: f64,
    },
    /// An open seam.
    Gap(Gap),
    /// Lap or tab width beyond the seam.
    Allowance {
        mm: f64,
    },
    /// A hole's centre and its widths across and up.
    Hole {
        hole: usize,
        level: f64,
        facing: f64,
        across: f64,
        up: f64,
    },
    /// A plate's hole: centre in its plane and widths.
    PlateHole {
        hole: usize,
        centre: Vec2,
        across: f64,
        by: f64,
    },
    /// A round hole of a row along an edge of its ring, on the innermost layer's flat: its width, the distance of its
    /// centre from the edge, and along the edge from its start and to its end (a side's from lower to upper rim at
    /// half depth, a rim's on the neutral surface from the beginning side on, a plate's outline at half depth from where
    /// its strip begins).
    Row {
        hole: usize,
        edge: EdgeName,
        across: f64,
        margin: f64,
        along: f64,
        beyond: f64,
    },
    /// Distance of a plate's show face from the edge it is on, into the wall positive.
    Sunk {
        mm: f64,
    },
    /// Innermost girth at a height and depth, and how much is added to it when an open seam is drawn apart, for a girth
    /// to get through.
    Passes {
        z: f64,
        depth: f64,
        narrow: f64,
        mm: f64,
        spread: f64,
    },
    /// Length of the outline of a plate's hole, for a girth to get through.
    Through {
        hole: usize,
        narrow: f64,
        mm: f64,
    },
    /// Clearance of a rim from what it slides over, and its length.
    Clearance {
        mm: f64,
        over: PartId,
    },
    RimLong {
        mm: f64,
    },
    /// A rim cut to tongues: how many, how far they reach from their notches, and the width of the strip with them
    /// along the generatrix that faces a direction, on the face at a depth.
    Scallops {
        count: usize,
        rise: f64,
        wide: f64,
        facing: f64,
        depth: f64,
    },
    /// A ring's rim cut to a figure: how many times, how far from its highest to its lowest place along the generatrix,
    /// where one of its crests stands, if the text says so, and from where its falls are measured.
    Shaped {
        ring: usize,
        upper: bool,
        count: usize,
        rise: f64,
        crest: Option<f64>,
        station: Station,
    },
    /// A rectangle that is cut flat: its widths.
    Patch {
        across: f64,
        up: f64,
    },
    /// The widths of a leaf's outline, on the face on which it is true.
    Outline {
        across: f64,
        up: f64,
    },
    /// A leaf that lies round the foot of a wall: its width.
    Flange {
        round: PartId,
        wide: f64,
    },
    /// How far the tabs that are folded out round a wall's foot reach from the fold.
    Tabs {
        wide: f64,
    },
    /// The radius to which a leaf is bent, on its measured face.
    Bent {
        mm: f64,
    },
    /// How far the bevel of a leaf reaches in from its outline, over all its layers; of one that is bevelled on both faces
    /// on each of them.
    Bevelled {
        mm: f64,
        both: bool,
    },
}

/// A size of a wall in panels, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OfPanels {
    /// The girth.
    Around(f64),
    /// The full width along a direction of the prop.
    Across { way: Vec3, mm: f64 },
    /// From its lowest to its highest corner along the axis.
    Tall(f64),
    /// Of a plate that closes it: how far its show face lies from the plane, along the axis.
    Sunk(f64),
}

/// A size of a wall that is formed, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OfForm {
    /// The girth.
    Around(f64),
    /// The full width.
    Across(f64),
    /// How high the station lies over the first one, along the axis.
    Tall(f64),
}

/// A size of a keel, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OfKeel {
    /// Straight across from foot to foot.
    Wide(f64),
    /// From the wall to the ridge, along the wall's normal.
    Rise(f64),
    /// From its lower to its upper end, along the wall's axis.
    Long(f64),
    /// Both faces of its flanks end on the wall; one that holds no generatrix of it stands off by so much at most.
    Stands { off: f64 },
}

/// A size of a section that stands over a plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OfSeen {
    Around(f64),
    Across { direction: f64, mm: f64 },
}
