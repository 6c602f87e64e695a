//! Shells of flat sides: in panels, or folded from one strip.

use crate::geom::facets::{self, Facet};
use crate::geom::strip::Strip;
use crate::geom::{Vec2, sided};
use crate::ids::PartId;
use crate::solid::EdgeName;

/// A shell in panels.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::shape) struct Panelled {
    /// A part a facet.
    pub parts: Vec<PartId>,
    pub facets: Vec<Facet>,
    pub strips: Vec<Strip>,
    pub tall: f64,
    pub inner: f64,
    pub outer: f64,
    pub level: f64,
    /// Whether it ends in a point, at its first and its last station.
    pub closed: [bool; 2],
    /// Where it is folded from one strip: its faces.
    pub folded: Option<FoldedOf>,
}

/// The strip of a shell that is folded.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::shape) struct FoldedOf {
    pub part: PartId,
    /// From the seam on, each as it lies in the strip.
    pub faces: Vec<Facet>,
    /// The facet that each is, or is half of.
    pub of: Vec<usize>,
}

impl Panelled {
    /// The figure of its faces at a depth in the plane at a height; at a station of the ring below.
    pub(super) fn figure(&self, z: f64, depth: f64) -> Vec<Vec2> {
        let strip = self.strips.iter().position(|s| z <= s.heights().1 + 1e-9).unwrap_or(self.strips.len() - 1);
        let (z0, z1) = self.strips[strip].heights();
        // A triangle has no side at its point: what is asked for there is nothing.
        let z = z.clamp(z0 + 1e-9, z1 - 1e-9);
        sided::corners(&facets::figure(&self.facets, strip, z, depth))
    }

    /// The edges of its parts along an edge of a facet at its top or its bottom, and the share of that which each takes: of a
    /// side in whose middle the seam of a strip stands two.
    pub(in crate::shape) fn edges_at(&self, (facet, side): (usize, usize), at_top: bool) -> Vec<(EdgeName, [f64; 2])> {
        let Some(of) = &self.folded else { return vec![(EdgeName::Side(side), [0.0, 1.0])] };
        let own: Vec<usize> = (0..of.of.len()).filter(|i| of.of[*i] == facet).collect();
        let name = |face: usize| if at_top { EdgeName::Head(face) } else { EdgeName::Foot(face) };
        match own.as_slice() {
            // The strip begins behind the seam.
            [after, before] => vec![(name(*before), [0.0, 0.5]), (name(*after), [0.5, 1.0])],
            own => own.iter().map(|face| (name(*face), [0.0, 1.0])).collect(),
        }
    }

    pub(in crate::shape) fn around(&self, z: f64, depth: f64) -> f64 {
        let points = self.figure(z, depth);
        (0..points.len()).map(|i| points[i].distance(points[(i + 1) % points.len()])).sum()
    }

    pub(super) fn across(&self, z: f64, depth: f64) -> f64 {
        let points = self.figure(z, depth);
        let (lo, hi) = points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), p| (lo.min(p.y), hi.max(p.y)));
        hi - lo
    }
}
