//! What the report says of plates that slide over one another.

use serde::Serialize;

use super::super::number::report as figure;
use crate::fitted::sliding::{Slide, Sliding, Strap};
use crate::solid::Solid;

/// An articulation: angles in degrees.
#[derive(Debug, Serialize)]
pub(super) struct SlidingOf<'a> {
    name: &'a str,
    pair: bool,
    /// How far all joints together must turn, and how far they can.
    angle: f64,
    most: f64,
    /// Along the sheet when they are closed, and what of it is kept when they are drawn out.
    overlap: f64,
    keep: f64,
    /// The face of the plate below it on which each upper one lies.
    upper: &'static str,
    /// From the lowest up.
    plates: Vec<&'a str>,
    joints: Vec<JointOf<'a>>,
    straps: Vec<StrapOf<'a>>,
}

#[derive(Debug, Serialize)]
struct JointOf<'a> {
    between: [&'a str; 2],
    angle: f64,
    radius: f64,
    slide: f64,
    clear: f64,
    closes: f64,
}

#[derive(Debug, Serialize)]
struct StrapOf<'a> {
    name: &'a str,
    /// The direction in which it lies, in the plates' own frame.
    facing: f64,
    /// The piece it is, where it is cut from sheet.
    piece: Option<&'a str>,
    long: f64,
    wide: f64,
    fixed: &'static str,
    holds: Vec<HoldOf<'a>>,
    free: Vec<FreeOf>,
}

#[derive(Debug, Serialize)]
struct HoldOf<'a> {
    /// The name that its place carries on the plate.
    name: &'a str,
    part: &'a str,
    face: &'static str,
    /// Its middle from the strap's lower end, and how long it is glued down.
    at: f64,
    long: f64,
}

#[derive(Debug, Serialize)]
struct FreeOf {
    closed: f64,
    drawn: f64,
}

pub(super) fn sliding<'a>(solid: &'a Solid, sliding: &'a Sliding) -> SlidingOf<'a> {
    let part = |p: crate::ids::PartId| solid.parts[p.index()].name.as_str();
    let angle = |x: f64| figure(x.to_degrees());
    let joint = |(i, j): (usize, &Slide)| JointOf {
        between: [part(sliding.plates[i]), part(sliding.plates[i + 1])],
        angle: angle(sliding.each()),
        radius: figure(j.radius),
        slide: figure(j.slide),
        clear: figure(j.clear),
        closes: figure(j.closes),
    };
    SlidingOf {
        name: &sliding.name,
        pair: sliding.pair,
        angle: angle(sliding.angle),
        most: angle(sliding.most),
        overlap: figure(sliding.overlap),
        keep: figure(sliding.keep),
        upper: if sliding.outside { "outside" } else { "inside" },
        plates: sliding.plates.iter().map(|p| part(*p)).collect(),
        joints: sliding.joints.iter().enumerate().map(joint).collect(),
        straps: sliding.straps.iter().map(|s| strap(solid, s)).collect(),
    }
}

fn strap<'a>(solid: &'a Solid, strap: &'a Strap) -> StrapOf<'a> {
    let part = |p: crate::ids::PartId| solid.parts[p.index()].name.as_str();
    let holds = strap.holds.iter().filter_map(|h| {
        let spot = solid.fitted.spots.get(h.spot)?;
        Some(HoldOf {
            name: &spot.name,
            part: part(spot.part),
            face: if spot.face == crate::design::Face::Inside { "inside" } else { "outside" },
            at: figure(h.at),
            long: figure(h.long),
        })
    });
    StrapOf {
        name: &strap.name,
        facing: figure(strap.facing.to_degrees()),
        piece: strap.part.map(part),
        long: figure(strap.long),
        wide: figure(strap.wide),
        fixed: if strap.riveted { "riveted" } else { "glued" },
        holds: holds.collect(),
        free: strap.free.iter().map(|f| FreeOf { closed: figure(f.closed), drawn: figure(f.drawn) }).collect(),
    }
}
