//! A ring of a wall laid flat while it is shaped: where its edges lie there, and which place of the wall a point of the
//! flat is. What `develop` lays out again later lies the same way; holes that are set by their distance from an edge
//! have to be found before.

use crate::geom::path::{Motion, Seg};
use crate::geom::rim::{Rim, spans};
use crate::geom::strip::Rule;
use crate::geom::unroll::Unrolled;
use crate::geom::walk::Place;
use crate::geom::{Vec2, Vec3, left_of};
use crate::num;
use crate::skin::{cuts, height, laid, leaves, walks};
use crate::solid::{Layer, Wall};

/// How many parts of a leg its rims are looked at in.
const PARTS: u32 = 96;

/// A place of a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub ring: usize,
    pub strip: usize,
    pub rule: Rule,
    /// Height on the measured face of the normal that passes through it.
    pub z: f64,
}

impl Spot {
    /// Where the normal through it meets depth `d`, in the part's frame.
    pub(super) fn point(&self, d: f64) -> Vec3 {
        self.rule.point(self.z, 0.0) + self.rule.normal() * d
    }
}

/// One ring laid flat at one depth.
pub(super) struct Laid<'a> {
    ring: usize,
    first: usize,
    flats: &'a [Unrolled<'a>],
    pub lower: Rim<'a>,
    pub upper: Rim<'a>,
    /// Where the seam leaves both rims.
    pub low: (Place, Place),
    pub up: (Place, Place),
    /// Half depth of the layer whose edges are meant.
    middle: f64,
}

/// Lays a ring flat at depth `d`, with the edges of a layer.
pub(super) fn on_flat<T>(wall: &Wall, ring: usize, layer: &Layer, d: f64, f: impl FnOnce(&Laid<'_>) -> T) -> T {
    let this = &wall.rings[ring];
    let (low_cut, up_cut) = cuts(wall, this);
    let walks = walks(wall, this);
    let flats = laid(&walks, d);
    let (bottom, top) = (&flats[0], &flats[flats.len() - 1]);
    let there = Laid {
        ring,
        first: this.strips.start,
        flats: &flats,
        low: leaves(bottom.walk(), wall.seam, height(&low_cut), layer.neutral),
        up: leaves(top.walk(), wall.seam, height(&up_cut), layer.neutral),
        lower: Rim::new(bottom, &low_cut),
        upper: Rim::new(top, &up_cut),
        middle: layer.middle(),
    };
    f(&there)
}

impl Laid<'_> {
    /// A side at the seam, from its lower to its upper rim at half depth.
    pub(super) fn side(&self, end: bool) -> Seg {
        let pick = |p: (Place, Place)| if end { p.1 } else { p.0 };
        let (low, up) = (pick(self.low), pick(self.up));
        Seg::line(self.lower.point(low, self.middle).0, self.upper.point(up, self.middle).0)
    }

    /// The place of a point of the flat, searched from the walk's start or its end.
    pub(super) fn spot(&self, p: Vec2, late: bool) -> Option<Spot> {
        let mut best: Option<(f64, Spot)> = None;
        for (i, flat) in self.flats.iter().enumerate() {
            let Some((place, v)) = flat.locate(p, late) else { continue };
            let rule = flat.walk().rule(place);
            let z = rule.z0 + v * rule.rise() + flat.depth() * rule.sine();
            let out = (-v).max(v - 1.0).max(0.0);
            if best.is_none_or(|b| out < b.0 - 1e-12) {
                best = Some((out, Spot { ring: self.ring, strip: self.first + i, rule, z }));
            }
        }
        best.map(|b| b.1)
    }

    /// The point of the flat that a place of this ring has.
    pub(super) fn point(&self, spot: &Spot) -> Option<Vec2> {
        let flat = self.flats.get(spot.strip.checked_sub(self.first)?)?;
        let laid = flat.at(flat.walk().find(&spot.rule)?);
        Some(laid.point((spot.z - laid.rule.z0 - flat.depth() * laid.rule.sine()) / laid.rule.rise()))
    }

    /// The motion that lays what is drawn about a place on the flat: x along the horizontal, y up.
    pub(super) fn set(&self, spot: &Spot) -> Option<Motion> {
        let flat = self.flats.get(spot.strip.checked_sub(self.first)?)?;
        let tau = flat.at(flat.walk().find(&spot.rule)?).tau;
        Some(Motion { mirror: false, turn: num::atan2(tau.y, tau.x), shift: self.point(spot)? })
    }

    /// A point of the flat seen from the seam's rule: across it, toward growing directions, and up it, both from the
    /// rule's lower rim. Points beyond the walk's end lie to its left, as if the gap were there.
    pub(super) fn seen_from_seam(&self, p: Vec2, end: bool) -> Vec2 {
        let (at, x, y) = self.frame(end);
        Vec2::new((p - at).dot(x), (p - at).dot(y))
    }

    /// The point of the flat that lies so from the seam's rule.
    pub(super) fn laid_from_seam(&self, q: Vec2, end: bool) -> Vec2 {
        let (at, x, y) = self.frame(end);
        at + x * q.x + y * q.y
    }

    fn frame(&self, end: bool) -> (Vec2, Vec2, Vec2) {
        let flat = &self.flats[0];
        let ends = flat.walk().ends();
        let place = if end { ends.1 } else { ends.0 };
        let tau = flat.at(place).tau;
        (self.lower.point(place, flat.depth()).0, tau, left_of(tau))
    }

    /// The upper rim's point on the seam's rule, from the lower rim's: the next ring's seam goes on from there.
    pub(super) fn head(&self) -> Vec2 {
        let flat = self.upper.flat();
        let place = flat.walk().ends().0;
        self.seen_from_seam(self.upper.point(place, flat.depth()).0, false)
    }

    /// The ring's four edges as points: sides at half depth, rims at the neutral depth, closely enough to tell a
    /// hundredth of a millimetre.
    pub(super) fn edges(&self) -> [(Near, Vec<Vec2>); 4] {
        let side = |end: bool| {
            let side = self.side(end);
            vec![side.a, side.b]
        };
        let rim = |rim: &Rim<'_>, (from, to): (Place, Place)| {
            let depth = rim.flat().depth();
            let mut points = Vec::new();
            for (leg, a, b) in spans(from, to) {
                for i in 0..=PARTS {
                    let t = a + (b - a) * f64::from(i) / f64::from(PARTS);
                    points.push(rim.point(Place { leg, t }, depth).0);
                }
            }
            points
        };
        [
            (Near::Begin, side(false)),
            (Near::End, side(true)),
            (Near::Lower, rim(&self.lower, self.low)),
            (Near::Upper, rim(&self.upper, self.up)),
        ]
    }

    /// A rim's edge at the depth that is laid flat, as points from where the seam leaves it, `parts` to a leg.
    pub(super) fn rim_chain(&self, upper: bool, parts: u32) -> Vec<Vec2> {
        let (rim, ends) = if upper { (&self.upper, self.up) } else { (&self.lower, self.low) };
        let depth = rim.flat().depth();
        let mut points: Vec<Vec2> = Vec::new();
        for (leg, a, b) in spans(ends.0, ends.1) {
            for i in 0..=parts {
                let p = rim.point(Place { leg, t: a + (b - a) * f64::from(i) / f64::from(parts) }, depth).0;
                if points.last().is_none_or(|q| q.distance(p) > 1e-9) {
                    points.push(p);
                }
            }
        }
        points
    }

    /// A rim's edge at depth `d` in space, in the part's frame, as closely as [`Self::edges`].
    pub(super) fn rim_in_space(&self, upper: bool, d: f64) -> Vec<Vec3> {
        let (rim, ends) = if upper { (&self.upper, self.up) } else { (&self.lower, self.low) };
        let mut points = Vec::new();
        for (leg, a, b) in spans(ends.0, ends.1) {
            for i in 0..=PARTS {
                let at = Place { leg, t: a + (b - a) * f64::from(i) / f64::from(PARTS) };
                points.push(rim.flat().walk().rule(at).point(rim.height(at, d).0, d));
            }
        }
        points
    }

    /// Points evenly along a rim's neutral edge by its length: places `along` from where the seam leaves it.
    pub(super) fn along_rim(&self, upper: bool, along: f64) -> (Vec2, Vec2) {
        let (rim, ends) = if upper { (&self.upper, self.up) } else { (&self.lower, self.low) };
        let walk = rim.flat().walk();
        let d = rim.flat().depth();
        let z = rim.height(ends.0, d).0;
        let start = walk.length(ends.0, z, d);
        let miss = |s: f64| rim.length(ends.0, walk.at_length(start + s, z, d), d) - along;
        let around = walk.length(ends.1, z, d) - start;
        let reach = 0.05 * around + 1.0;
        let (low, high) = ((along - reach).max(0.0), (along + reach).min(around));
        let s = num::root(low, high, 1e-9, miss).unwrap_or(along);
        let (p, v) = rim.point(walk.at_length(start + s, z, d), d);
        let way = v.normalize_or_zero();
        (p, if upper { -left_of(way) } else { left_of(way) })
    }

    /// The whole length of a rim's neutral edge.
    pub(super) fn rim_length(&self, upper: bool) -> f64 {
        let (rim, ends) = if upper { (&self.upper, self.up) } else { (&self.lower, self.low) };
        rim.length(ends.0, ends.1, rim.flat().depth())
    }
}

/// The edges of a ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Near {
    Begin,
    End,
    Lower,
    Upper,
}

/// The distance of a point from a chain.
pub(super) fn distance(chain: &[Vec2], p: Vec2) -> f64 {
    let to_line = |w: &[Vec2]| {
        let run = w[1] - w[0];
        let s = ((p - w[0]).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        (p - w[0] - run * s).length()
    };
    chain.windows(2).map(to_line).fold(f64::INFINITY, f64::min)
}
