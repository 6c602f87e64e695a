//! Where a line of a rim crosses itself on the flat, and where what lies beside such a place lands.

use crate::geom::{Vec2, Vec3};

use super::laid::Laid;

/// A point lies beside a crossing up to this far from it, mm: twice what may run back.
const BESIDE: f64 = 2.5;

/// A line of a rim as it is cut, in chains that end where it crosses itself.
pub struct Crossings(Vec<Vec<(f64, Vec3)>>);

/// A point of the piece beside a crossing, landed on the generatrix of the nearest point of the line.
pub struct Beside {
    /// How far it lies off the line.
    pub off: f64,
    pub w: f64,
    pub space: Vec3,
    pub normal: Vec3,
}

impl Crossings {
    pub fn new(chains: Vec<Vec<(f64, Vec3)>>) -> Self {
        Self(chains)
    }

    /// Whether the cut leaves out what lies on a generatrix since it goes over there. The body's edge does so elsewhere in
    /// between, on the fold between both faces.
    pub fn goes_over(&self, w: f64) -> bool {
        let ends = self.0.windows(2).filter_map(|c| c[0].last().zip(c[1].first()));
        ends.into_iter().any(|(a, b)| a.0 < w && w < b.0)
    }

    /// Whether a point on the flat lies beside a crossing.
    pub fn is_beside(&self, laid: &Laid<'_>, upper: bool, p: Vec2) -> bool {
        let folded = &laid.strips[laid.rim_strip(upper)];
        let mut ends = self.0.windows(2).flat_map(|c| c[0].last().into_iter().chain(c[1].first()));
        ends.any(|&(w, foot)| folded.flat(w, foot).distance(p) < BESIDE)
    }

    /// Lands a point that lies beside a crossing; `None` for any other.
    pub fn land(&self, laid: &Laid<'_>, upper: bool, p: Vec2) -> Option<Beside> {
        let folded = &laid.strips[laid.rim_strip(upper)];
        if !self.is_beside(laid, upper, p) {
            return None;
        }
        let far = |&(w, foot): &(f64, Vec3)| folded.flat(w, foot).distance(p);
        let (w, _) = self.0.iter().flatten().min_by(|a, b| far(a).total_cmp(&far(b)))?;
        let (space, normal) = folded.at(*w, p);
        let chains = self.0.iter().map(|c| c.iter().map(|q| q.1).collect::<Vec<Vec3>>());
        let off = chains.map(|c| super::measure::to_chain(space, &c, &mut 0, 0.0)).fold(f64::INFINITY, f64::min);
        Some(Beside { off, w: *w, space, normal })
    }
}
