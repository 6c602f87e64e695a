//! How far a part reaches: points of its rims, close enough that what is reckoned from them alone is within a
//! hundredth of a millimetre. Between its rims a part is ruled by straight lines, so whatever is farthest in any
//! direction, or from any axis, lies on a rim, on its outer or inner face.

use super::leaf::Formed;
use super::{cuts, height, leaves};
use crate::geom::Vec3;
use crate::geom::rim::{Cut, Rim, spans};
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Leg, Place, Walk};
use crate::solid::{Body, Leaf, Part, Plate, Wall};

/// How far the normal turns from point to point: the sag of a chord is `s Δφ/8`, 0.005 mm on a circle of 2 m.
const STEP: f64 = 0.25 * core::f64::consts::PI / 180.0;

/// Points of a part's rims, in the part's frame.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Corners {
    pub points: Vec<Vec3>,
}

impl Corners {
    /// The greatest of a convex measure.
    #[must_use]
    pub fn most(&self, measure: impl Fn(Vec3) -> f64) -> f64 {
        self.points.iter().map(|p| measure(*p)).fold(f64::NEG_INFINITY, f64::max)
    }
}

/// The rims of a part.
#[must_use]
pub fn corners(part: &Part) -> Corners {
    let mut out = Corners::default();
    let (Some(first), Some(last)) = (part.layers.first(), part.layers.last()) else { return out };
    match &part.body {
        Body::Wall(wall) => of_wall(wall, [first.inner, last.outer], first.neutral, &mut out),
        Body::Plate(plate) => of_plate(plate, &mut out),
        Body::Leaf(leaf) => of_leaf(leaf, [first.inner, last.outer], &mut out),
        Body::Folded(wall) => {
            for face in &wall.faces {
                let mut own = Corners::default();
                of_plate(&face.plate, &mut own);
                out.points.extend(own.points.into_iter().map(|p| face.frame.apply(p)));
            }
        }
    }
    out
}

fn of_wall(wall: &Wall, depths: [f64; 2], neutral: f64, out: &mut Corners) {
    for ring in &wall.rings {
        let (low, up) = cuts(wall, ring);
        for index in ring.strips.clone() {
            let strip = &wall.strips[index];
            let (z0, z1) = strip.heights();
            let ends = [
                if index == ring.strips.start { low.clone() } else { Cut::Square(z0) },
                if index + 1 == ring.strips.end { up.clone() } else { Cut::Square(z1) },
            ];
            for cut in &ends {
                let walk = Walk::with_cuts(strip, &cut.stops());
                let flat = Unrolled::new(&walk, neutral);
                let rim = Rim::new(&flat, cut);
                let range = leaves(&walk, wall.seam, height(cut), neutral);
                for d in depths {
                    along(&walk, range, |at| {
                        let z = rim.height(at, d).0;
                        out.points.push(walk.rule(at).point(z, d));
                    });
                }
            }
        }
    }
}

/// Points of a leaf's edge on its faces and where its bevel begins, every millimetre.
fn of_leaf(leaf: &Leaf, faces: [f64; 2], out: &mut Corners) {
    let bent = Formed::new(leaf);
    for depth in [faces[0], faces[1], leaf.taper.from.clamp(faces[0], faces[1])] {
        let (Some(line), Some(to)) = (bent.line(depth), bent.to(depth)) else { continue };
        for seg in &line.segs {
            let n = seg.length().ceil().clamp(1.0, 2000.0);
            let mut i = 0.0;
            while i < n {
                out.points.extend(to.in_space(seg.at(i / n)));
                i += 1.0;
            }
        }
    }
}

fn of_plate(plate: &Plate, out: &mut Corners) {
    let walk = Walk::new(&plate.strip);
    for z in [plate.show, plate.hidden] {
        along(&walk, walk.ends(), |at| out.points.push(walk.rule(at).point(z, plate.depth)));
    }
}

fn along(walk: &Walk, (from, to): (Place, Place), mut visit: impl FnMut(Place)) {
    for (leg, t0, t1) in spans(from, to) {
        let n = match walk.legs()[leg] {
            Leg::Side { .. } => 1.0,
            Leg::Turn { from, to, .. } => ((to - from).abs() * (t1 - t0) / STEP).ceil().clamp(1.0, 2000.0),
        };
        let mut i = 0.0;
        while i <= n {
            visit(Place { leg, t: t0 + (t1 - t0) * i / n });
            i += 1.0;
        }
    }
}
