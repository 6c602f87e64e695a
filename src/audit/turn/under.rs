//! What a turn lies on, place by place along its fold: taken from the solid alone.

use crate::geom::{Vec3, unit};
use crate::num;
use crate::solid::{EdgeName, EdgeRef, Frame, Onto, Ring, Solid};

use super::super::laid::Laid;
use super::super::lines::View;
use super::lands;

/// What a turn lies on at one place: from the fold straight to a corner, and from there on a face on which it goes on as
/// straight as on the flat.
#[derive(Clone, Copy, Debug)]
pub struct Under {
    pub from: Vec3,
    pub corner: Vec3,
    /// Along the corner's line, and at right angles to it on the face.
    pub tangent: Vec3,
    pub up: Vec3,
    /// How fast the direction of a level line turns left on the unrolled face, by the normal's angle.
    pub turning: f64,
    pub phi: f64,
    /// Whether the turn lies to the left of the line as the normal's angle grows, or to its right.
    pub left: bool,
}

impl Under {
    pub(super) fn over(&self) -> f64 {
        (self.corner - self.from).length()
    }
}

/// The wall of another part on which a turn goes on.
pub(super) struct Beyond<'a> {
    view: &'a View<'a>,
    ring: &'a Ring,
    upper: bool,
    neutral: f64,
    /// Its innermost and its outermost face.
    pub(super) faces: [f64; 2],
    own: Frame,
    other: Frame,
}

impl<'a> Beyond<'a> {
    pub(super) fn of(solid: &Solid, views: &'a [Option<View<'a>>], laid: &Laid<'_>, edge: EdgeRef) -> Option<Self> {
        let own = solid.parts.get(laid.panel.part.index())?.place;
        let part = solid.parts.get(edge.part.index())?;
        let view = views.get(edge.part.index())?.as_ref()?;
        let ring = view.wall.rings.get(edge.ring)?;
        let neutral = part.layers.first()?.neutral;
        let faces = lands::faces(&part.layers);
        Some(Self { view, ring, upper: edge.edge == EdgeName::Upper, neutral, faces, own, other: part.place })
    }

    /// How far the wall reaches from a point of its rim that is given in the own frame.
    pub(super) fn reach(&self, corner: Vec3) -> f64 {
        let p = self.other.seen(self.own.apply(corner));
        let [low, high] = [self.ring.strips.start, self.ring.strips.end - 1].map(|s| self.view.rounds[s].heights);
        (p.z - low.0).abs().max((p.z - high.1).abs())
    }

    /// The edge of the other wall at the depth `far`, where a generatrix of this one that faces `facing` touches it at the
    /// depth `there`, all in the own frame.
    fn under(&self, from: Vec3, (touch, facing): (Vec3, f64), (there, far): (f64, f64), late: bool) -> Under {
        let into = |v: Vec3| self.other.direction_seen(self.own.direction(v));
        let back = |v: Vec3| self.own.direction_seen(self.other.direction(v));
        let facing = into(unit(facing).extend(0.0));
        let touch = self.other.seen(self.own.apply(touch));
        let round = &self.view.rounds[View::strip_at(self.ring, self.upper)];
        let w = round.nearest(num::atan2(facing.y, facing.x), touch, there, late).unwrap_or(0.0);
        let g = round.generatrix(w);
        let corner = self.view.edge(self.ring, self.upper, w, far, self.neutral).point;
        Under {
            from,
            corner: self.own.seen(self.other.apply(corner)),
            tangent: back(g.tangent),
            up: back(g.normal.cross(g.tangent)),
            turning: g.normal.z,
            phi: g.phi,
            // A wall lies below its upper rim.
            left: !self.upper,
        }
    }
}

/// What a wall's turn lies on.
pub(super) fn of_rim(laid: &Laid<'_>, upper: bool, onto: Onto, beyond: Option<&Beyond<'_>>, w: f64) -> Under {
    let (view, ring, layer) = (laid.view, laid.ring, &laid.layer);
    let strip = ring.strips.start + laid.rim_strip(upper);
    let g = view.rounds[strip].generatrix(w);
    let edge = |d: f64| view.edge(ring, upper, w, d, layer.neutral).point;
    let from = edge(layer.middle());
    let up = g.normal.cross(g.tangent);
    match onto {
        // Its middle keeps its distance from both faces. On the unrolled wall a level line turns by −sin α dφ.
        Onto::Back { near, far } => Under {
            from,
            corner: edge(far + near - layer.middle()),
            tangent: g.tangent,
            up,
            turning: g.normal.z,
            phi: g.phi,
            left: !upper,
        },
        // On the next ring's wall, which the mitre's end face meets at the same depth in the same line.
        Onto::Next { strip: next, far } => {
            let round = &view.rounds[next];
            let late = w > 0.5 * view.rounds[strip].end();
            let z = view.station(ring, upper);
            let corner = g.at(z, 0.0);
            let there = round.nearest(g.phi, corner, 0.0, late).unwrap_or(0.0);
            let h = round.generatrix(there);
            let beyond = view.wall.rings.iter().find(|r| r.strips.contains(&next));
            let edge = |r: &Ring| view.edge(r, !upper, there, far, layer.neutral).point;
            let corner = beyond.map_or(from, edge);
            let up = h.normal.cross(h.tangent);
            Under { from, corner, tangent: h.tangent, up, turning: h.normal.z, phi: h.phi, left: upper }
        }
        Onto::Beyond { own, there, far, .. } => {
            let level = Under { from, corner: from, tangent: g.tangent, up, turning: 1.0, phi: g.phi, left: true };
            let late = w > 0.5 * view.rounds[strip].end();
            beyond.map_or(level, |b| b.under(from, (edge(own), g.phi), (there, far), late))
        }
        // In the plane a section turns with its normal.
        Onto::Across | Onto::Side | Onto::Bore | Onto::Ground { .. } | Onto::Not(_) => {
            let left = !matches!(onto, Onto::Ground { outward: true, .. });
            Under { from, corner: from, tangent: g.tangent, up, turning: 1.0, phi: g.phi, left }
        }
    }
}
