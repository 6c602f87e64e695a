//! The turn over a rim that goes on along the wall of another part, whose own rim this one meets in a joint.

use super::{NoTab, STILL, Spot, along_rim, places};
use crate::flat::Turn;
use crate::geom::path::{Motion, Mover};
use crate::geom::rim::Rim;
use crate::geom::walk::Place;
use crate::geom::{Vec2, left_of};
use crate::num;
use crate::skin::on_rim;
use crate::solid::{self, Body, EdgeName, Onto, Part, Solid};

/// The turn over a rim between two places, of a part whose seam is closed.
pub(in super::super) fn of_joint(
    solid: &Solid,
    part: &Part,
    asked: &solid::Turn,
    rim: &Rim,
    (from, to): (Place, Place),
    middle: f64,
) -> Result<Turn, NoTab> {
    let Onto::Beyond { edge, own, there, far } = asked.onto else { return Err(NoTab) };
    let other = solid.parts.get(edge.part.index()).ok_or(NoTab)?;
    let Body::Wall(wall) = &other.body else { return Err(NoTab) };
    let ring = wall.rings.get(edge.ring).ok_or(NoTab)?;
    let (upper, at_top) = (asked.at.edge == EdgeName::Upper, edge.edge == EdgeName::Upper);
    let spots = on_rim(wall, ring, at_top, far, |beyond| {
        let mut way = Way::new(beyond);
        let mut spots: Vec<Spot> = Vec::new();
        for place in places(rim.flat().walk(), from, to) {
            let (fold, velocity) = rim.point(place, middle);
            // Where many rules meet in one place of the rim it has no direction; those before and after have it.
            if velocity.length() <= STILL {
                continue;
            }
            let left = left_of(velocity.normalize_or_zero());
            let met = other.place.seen(part.place.apply(rim.in_space(place, own)));
            let at = beyond.nearest(met, there).0;
            let corner = part.place.seen(other.place.apply(beyond.in_space(at, far)));
            let start = rim.in_space(place, middle);
            let (back, left_there) = way.laid(at);
            spots.push(Spot {
                fold,
                out: if upper { left } else { -left },
                ends: [start, corner],
                over: (corner - start).length(),
                back,
                // A wall lies below its upper rim and above its lower one.
                inward: if at_top { -left_there } else { left_there },
            });
        }
        spots
    });
    along_rim(asked, spots, true)
}

/// Another wall's rim on its flat, followed past its seam: beyond that the wall is its own beginning again, moved as one side
/// of the seam lies to the other.
struct Way<'a> {
    rim: &'a Rim<'a>,
    long: f64,
    /// From the side where the wall begins to the side where it ends, and back.
    on: Mover,
    back: Mover,
    last: Option<f64>,
}

impl<'a> Way<'a> {
    fn new(rim: &'a Rim<'a>) -> Self {
        let flat = rim.flat();
        let (from, to) = flat.walk().ends();
        let [start, end] = [from, to].map(|at| (rim.point(at, flat.depth()).0, flat.at(at).tau));
        let moved = |a: (Vec2, Vec2), b: (Vec2, Vec2)| {
            let turn = num::atan2(a.1.perp_dot(b.1), a.1.dot(b.1));
            let spin = Motion { mirror: false, turn, shift: Vec2::ZERO };
            Motion { shift: b.0 - spin.apply(a.0), ..spin }.ready()
        };
        let long = rim.length(from, to, flat.depth());
        Self { rim, long, on: moved(start, end), back: moved(end, start), last: None }
    }

    /// A place's point, and what lies to the left there of one who walks as the wall does.
    fn laid(&mut self, at: Place) -> (Vec2, Vec2) {
        let flat = self.rim.flat();
        let s = self.rim.length(flat.walk().ends().0, at, flat.depth());
        let rounds = self.last.map_or(0.0, |last| ((last - s) / self.long).round());
        self.last = Some(s + rounds * self.long);
        let (mut p, velocity) = self.rim.point(at, flat.depth());
        let ahead = if velocity.length() > STILL { velocity.normalize_or_zero() } else { flat.at(at).tau };
        let mut left = left_of(ahead);
        let motion = if rounds > 0.0 { &self.on } else { &self.back };
        let mut times = rounds.abs();
        while times > 0.5 {
            (p, left) = (motion.apply(p), motion.apply_direction(left));
            times -= 1.0;
        }
        (p, left)
    }
}
