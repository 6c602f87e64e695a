//! Plates that slide over one another on straps, as an arm is lifted or a tail curls.
//!
//! The plates stand one behind the other along one axis, the next over (or in) the last, as they lie closed. Each turns
//! against its neighbour about a line across the axis, square to the `crown`: the direction opposite their seams. What
//! lies `radius` off that line slides along the other by the arc, radius times angle.

use crate::ids::{PartId, ThingId};
use crate::span::Span;

/// Plates that slide over one another.
#[derive(Clone, Debug, PartialEq)]
pub struct Sliding {
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    /// How far all joints together must turn, and how far they can.
    pub angle: f64,
    pub most: f64,
    /// How far a plate lies over the next when they are closed, along the sheet, as asked, mm.
    pub overlap: f64,
    /// How much of that a joint keeps when it is drawn out, mm.
    pub keep: f64,
    /// The upper one of two plates lies outside; else inside.
    pub outside: bool,
    /// The direction, in the plates' own frame, in which they slide most.
    pub crown: f64,
    /// From the lowest up.
    pub plates: Vec<PartId>,
    /// Of each plate but the last with the next.
    pub joints: Vec<Slide>,
    pub straps: Vec<Strap>,
    /// On one of a mirrored pair, and there is another like it.
    pub pair: bool,
}

impl Sliding {
    /// How far each joint turns.
    #[must_use]
    pub fn each(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "few joints")]
        let n = self.joints.len().max(1) as f64;
        self.angle / n
    }

    /// The part that lies inside and the one outside, of a joint.
    #[must_use]
    pub fn nested(&self, joint: usize) -> Option<(PartId, PartId)> {
        let (lower, upper) = (*self.plates.get(joint)?, *self.plates.get(joint + 1)?);
        Some(if self.outside { (lower, upper) } else { (upper, lower) })
    }
}

/// One joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slide {
    /// Of the face on which the outer plate slides, from the line about which they turn, where that is farthest, mm.
    pub radius: f64,
    /// How far the plates slide there.
    pub slide: f64,
    /// The least distance of the two sheets from each other, square to them, mm.
    pub clear: f64,
    /// How much farther behind that line the plates close than they lie.
    pub closes: f64,
}

/// A strap inside all plates, fixed once to each.
#[derive(Clone, Debug, PartialEq)]
pub struct Strap {
    pub name: String,
    /// Where it lies on the lowest plate: the direction that its wall faces there.
    pub facing: f64,
    /// Of a supply: the index in [`super::Fitted::runs`]. Of sheet it is a part of its own.
    pub run: Option<usize>,
    pub part: Option<PartId>,
    /// What it is cut to, mm.
    pub long: f64,
    pub wide: f64,
    /// Held by rivets; else glued down.
    pub riveted: bool,
    /// One a plate, from the lowest up.
    pub holds: Vec<Hold>,
    /// What is left between each two.
    pub free: Vec<Free>,
}

/// Where a strap is fixed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// Its place on the plate: the index in [`super::Fitted::spots`].
    pub spot: usize,
    /// Its middle on the strap, from the strap's lower end, mm.
    pub at: f64,
    /// How long it is glued down; 0 of a rivet.
    pub long: f64,
}

/// Of a strap between two places where it is fixed, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Free {
    /// From one to the other when the plates are closed: the rest of the strap hangs slack.
    pub closed: f64,
    /// When they are drawn out: the free length of the strap.
    pub drawn: f64,
}
