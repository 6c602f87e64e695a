//! Keels: their flanks, put in their places as they are cut, stand on the wall with both faces of their sheets, and are as
//! wide and as high over it as the text says. What the wall is comes from its own generatrices.

use crate::geom::{Vec3, unit};
use crate::ids::PartId;
use crate::num;
use crate::solid::{Body, Claim, OfKeel, Part, Size, Solid};
use crate::verdict::Check;

use super::claims::Made;
use super::report::{Report, TRANSFER};
use super::space::Round;
use super::wall::fit;

/// The wall below a keel, in its own frame.
struct Below<'a> {
    part: &'a Part,
    round: Round,
    depth: f64,
    /// Under the ridge at the keel's level: the place, the way out, the way along the wall and across it.
    under: Vec3,
    out: Vec3,
    along: Vec3,
    across: Vec3,
}

impl<'a> Below<'a> {
    fn new(solid: &'a Solid, claim: &Claim) -> Option<Self> {
        let Size::Keel { wall, strip, facing, z, depth, .. } = claim.size else { return None };
        let part = solid.parts.get(wall.index())?;
        let Body::Wall(body) = &part.body else { return None };
        let round = Round::new(body.strips.get(strip)?);
        let rule = round.generatrix(round.facing(facing)?);
        let under = rule.at(z, depth);
        let n = unit(facing);
        let across = Vec3::new(-n.y, n.x, 0.0);
        let along = (rule.at(z + 1.0, depth) - under).normalize_or(Vec3::Z);
        Some(Self { part, round, depth, under, out: across.cross(along), along, across })
    }

    /// How high over the tangent plane under the ridge.
    fn high(&self, p: Vec3) -> f64 {
        (p - self.under).dot(self.out)
    }

    /// How far a point lies from the wall, in its level.
    fn off(&self, p: Vec3) -> f64 {
        const LOOKS: u32 = 720;
        let end = self.round.end();
        let far = |w: f64| (self.round.generatrix(w.clamp(0.0, end)).at(p.z, self.depth) - p).length();
        let step = end / f64::from(LOOKS);
        let best = (0..=LOOKS).map(|i| step * f64::from(i)).min_by(|a, b| far(*a).total_cmp(&far(*b))).unwrap_or(0.0);
        -num::peak(best - step, best + step, |w| -far(w)).1
    }
}

/// The corners of a flank's face at a depth of its sheet as it is cut, in the wall's frame.
fn face(made: &[Made<'_>], part: PartId, depth: f64, below: &Below<'_>) -> Option<Vec<Vec3>> {
    let own = made.get(part.index())?;
    let (sheet, group) = own.sheets.iter().find(|s| {
        let (lo, hi) = s.0.between();
        depth >= lo - 1e-9 && depth <= hi + 1e-9
    })?;
    let cut = sheet.as_cut(group)?;
    Some(sheet.placed(&cut, depth).into_iter().map(|p| below.part.place.seen(p)).collect())
}

/// The edge of a face that is the highest over the wall, or the lowest.
fn edge(corners: &[Vec3], below: &Below<'_>, highest: bool) -> Option<(Vec3, Vec3)> {
    let edges = (0..corners.len()).map(|i| (corners[i], corners[(i + 1) % corners.len()]));
    let mean = |e: &(Vec3, Vec3)| below.high(e.0) + below.high(e.1);
    if highest {
        edges.max_by(|a, b| mean(a).total_cmp(&mean(b)))
    } else {
        edges.min_by(|a, b| mean(a).total_cmp(&mean(b)))
    }
}

/// Where a line crosses a plane.
fn crosses((a, b): (Vec3, Vec3), at: Vec3, normal: Vec3) -> Vec3 {
    let (p, q) = ((a - at).dot(normal), (b - at).dot(normal));
    a + (b - a) * (p / (p - q))
}

/// A size of a keel, measured on its flanks as they are cut; false when nothing could be measured.
pub fn claim(solid: &Solid, claim: &Claim, what: &str, made: &[Made<'_>], r: &mut Report) -> bool {
    let Size::Keel { other, z, size, .. } = claim.size else { return false };
    let Some(below) = Below::new(solid, claim) else { return false };
    let parts = [claim.part, other];
    let faces = |depth: f64| parts.map(|p| face(made, p, depth, &below));
    let [Some(one), Some(two)] = faces(0.0) else { return false };
    let both = [one, two];
    match size {
        OfKeel::Wide(mm) => {
            let foot = |corners: &Vec<Vec3>| {
                let level = Vec3::new(0.0, 0.0, z);
                Some((crosses(edge(corners, &below, false)?, level, Vec3::Z) - below.under).dot(below.across))
            };
            let [Some(a), Some(b)] = [foot(&both[0]), foot(&both[1])] else { return false };
            fit(r, Check::Claim, what, (a - b).abs(), mm);
            // The ridge stands over the middle of it.
            fit(r, Check::Claim, what, 0.5 * (a + b), 0.0);
        }
        OfKeel::Rise(mm) => {
            for corners in &both {
                let Some(ridge) = edge(corners, &below, true) else { return false };
                let top = crosses(ridge, below.under, below.along);
                fit(r, Check::Claim, what, below.high(top), mm);
                fit(r, Check::Claim, what, (top - below.under).dot(below.across), 0.0);
            }
        }
        OfKeel::Long(mm) => {
            for corners in &both {
                let ends = corners.iter().map(|p| p.z);
                let (lo, hi) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
                fit(r, Check::Claim, what, hi - lo, mm);
            }
        }
        OfKeel::Stands { off } => {
            let Some(first) = solid.parts.get(claim.part.index()) else { return false };
            let depths = first.layers.iter().flat_map(|l| [l.inner, l.outer]);
            let (lo, hi) = depths.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| (l.min(d), h.max(d)));
            for (depth, allowed) in [(lo, TRANSFER + off), (0.0, TRANSFER), (hi, TRANSFER + off)] {
                for corners in faces(depth) {
                    let Some((a, b)) = corners.and_then(|c| edge(&c, &below, false)) else { return false };
                    let most = (0..=8u32).map(|i| below.off(a.lerp(b, f64::from(i) / 8.0))).fold(0.0, f64::max);
                    let place = format!("the face at depth {depth:.3} stands {most:.3} mm off the wall");
                    // What is between the faces lies on a chord.
                    let within = depth > lo + 1e-9 && depth < hi - 1e-9;
                    if !within {
                        r.figure(
                            Check::Landing,
                            what,
                            place,
                            most,
                            if depth.abs() < 1e-9 { TRANSFER } else { allowed },
                        );
                    }
                }
            }
        }
    }
    true
}
