//! The line beside an edge that has corners: teeth, points, tongues. On the flat of its depth it is the parallel of the edge.
//! Where the edge turns away from it, it goes round the corner on an arc; where the edge turns toward it, the parallels of both
//! sides end where they cross. Where the edge goes along a generatrix from one part of its figure to the next, so does it.

use super::skin::{Line, carried};
use crate::geom::rim::{self, Rim};
use crate::geom::walk::Place;
use crate::geom::{Vec2, Vec3, unit};
use crate::num::{self, PI, TAU};

/// What is shorter, mm, is a point.
const SAME: f64 = 1e-6;

/// What turns by less, radians, is straight: beside it the line is shorter or longer by no more than a thousandth of a
/// millimetre.
const STRAIGHT: f64 = 1e-4;

/// A corner is taken for a bend where that makes no more than this of the length, mm: of a figure that is even on the measured
/// face there is one wherever a bend of the wall begins, since at another depth a bend is longer and a side is not.
const BEND: f64 = 0.005;

/// Between two corners that turn by more together, radians, it comes back beside itself.
const BACK: f64 = 5.0 / 6.0 * PI;

/// How far a drawn arc turns from point to point, radians.
const TURN: f64 = PI / 12.0;

/// A line beside an edge with corners.
#[derive(Debug)]
pub(super) struct Cornered {
    line: Line,
    pieces: Vec<Piece>,
}

#[derive(Clone, Copy, Debug)]
enum Piece {
    /// Beside a part of the edge, between two places.
    Beside(Place, Place),
    /// Beside a generatrix.
    Straight(Vec2, Vec2),
    /// Round a corner, from one direction on by an angle.
    Round { about: Vec2, from: f64, by: f64 },
}

/// What an edge is made of.
#[derive(Clone, Copy, Debug)]
enum Element {
    /// Without a corner, from a place to another.
    Part(Place, Place),
    /// Along a generatrix.
    Step(Vec2, Vec2),
}

/// Where a corner lies, and the ways of the edge before and behind it.
#[derive(Clone, Copy, Debug)]
struct Corner {
    at: Vec2,
    before: Vec2,
    behind: Vec2,
}

impl Corner {
    /// The angle by which the edge turns to the left.
    fn turn(&self) -> f64 {
        num::atan2(self.before.perp_dot(self.behind), self.before.dot(self.behind))
    }
}

impl Cornered {
    /// The line beside an edge; `None` where it is left no way of its own, or where two of its corners that turn the same way
    /// are nearer to each other than it is `thick`.
    pub(super) fn new(line: Line, thick: f64) -> Option<Self> {
        let pieces = line.with(|rim| Edge { line: &line, rim }.pieces(thick))?;
        Some(Self { line, pieces })
    }

    pub(super) fn is_closed(&self) -> bool {
        self.line.closed
    }

    /// Its true length.
    pub(super) fn long(&self) -> f64 {
        self.line.with(|rim| self.lengths(rim).into_iter().collect::<num::Sum>().value())
    }

    fn lengths(&self, rim: &Rim<'_>) -> Vec<f64> {
        let edge = Edge { line: &self.line, rim };
        self.pieces.iter().map(|p| edge.long(*p)).collect()
    }

    /// Points that lie so far along it from its start.
    pub(super) fn at(&self, along: &[f64]) -> Vec<Vec3> {
        self.line.with(|rim| {
            let (edge, lengths) = (Edge { line: &self.line, rim }, self.lengths(rim));
            let point = |&s: &f64| {
                let mut left = s;
                let mut i = 0;
                while i + 1 < lengths.len() && left > lengths[i] {
                    left -= lengths[i];
                    i += 1;
                }
                let share = if lengths[i] > 0.0 { (left / lengths[i]).clamp(0.0, 1.0) } else { 0.0 };
                match self.pieces[i] {
                    Piece::Beside(from, to) => {
                        let beyond = |u: f64| self.line.between(rim, from, place((from, to), u)) - left;
                        let at =
                            num::root(number(from), number(to), 1e-10, beyond).map_or(to, |u| place((from, to), u));
                        edge.in_the_prop(self.line.offset(rim, at), at)
                    }
                    piece => edge.in_the_prop(edge.on(piece, share), self.near(i)),
                }
            };
            along.iter().map(point).collect()
        })
    }

    /// The whole of it in the prop, for the eye.
    pub(super) fn drawn(&self) -> Vec<Vec3> {
        self.line.with(|rim| {
            let edge = Edge { line: &self.line, rim };
            let mut out = Vec::new();
            for (i, &piece) in self.pieces.iter().enumerate() {
                let steps = match piece {
                    Piece::Beside(from, to) => 12.0 * (to.leg - from.leg + 1) as f64,
                    Piece::Straight(..) => 1.0,
                    Piece::Round { by, .. } => (by / TURN).abs().ceil().max(1.0),
                };
                let mut step = 0.0;
                while step <= steps {
                    out.push(edge.in_the_prop(edge.on(piece, step / steps), self.near(i)));
                    step += 1.0;
                }
            }
            out
        })
    }

    /// A place of the edge near a piece.
    fn near(&self, i: usize) -> Place {
        let end = |p: &Piece| if let Piece::Beside(_, to) = p { Some(*to) } else { None };
        self.pieces[..=i].iter().rev().find_map(end).unwrap_or(self.line.from)
    }
}

/// An edge on the flat of a line's depth.
struct Edge<'a> {
    line: &'a Line,
    rim: &'a Rim<'a>,
}

impl Edge<'_> {
    fn pieces(&self, thick: f64) -> Option<Vec<Piece>> {
        let elements = self.elements();
        let n = elements.len();
        if n == 0 {
            return None;
        }
        let mut kept: Vec<(f64, f64)> = elements.iter().map(|e| reach(*e)).collect();
        let mut arcs: Vec<Option<Piece>> = vec![None; n];
        // By how much the line turns toward itself at both ends of an element.
        let mut turned = vec![0.0; n];
        let left = self.line.left;
        for i in 0..if self.line.closed { n } else { n - 1 } {
            let j = (i + 1) % n;
            let corner = self.corner(elements[i], elements[j], i + 1 == n);
            let turn = corner.turn();
            if turn.abs() < STRAIGHT {
                continue;
            }
            if turn * left < 0.0 {
                let out = crate::geom::left_of(corner.before) * left;
                arcs[i] = Some(Piece::Round { about: corner.at, from: num::atan2(out.y, out.x), by: turn });
                continue;
            }
            let (a, b) = self.crossing((elements[i], elements[j]), i + 1 == n, turn)?;
            kept[i].1 = kept[i].1.min(a);
            kept[j].0 = kept[j].0.max(b);
            turned[i] += turn.abs();
            turned[j] += turn.abs();
        }
        let mut out = Vec::with_capacity(2 * n);
        for (i, (&element, &(from, to))) in elements.iter().zip(&kept).enumerate() {
            let piece = match element {
                Element::Part(a, b) => Piece::Beside(place((a, b), from), place((a, b), to)),
                Element::Step(..) => Piece::Straight(self.parallel(element, from), self.parallel(element, to)),
            };
            let least = if turned[i] > BACK { thick } else { 0.0 };
            if to <= from || self.long(piece) < least - SAME || !self.keeps_a_radius(piece) {
                return None;
            }
            out.push(piece);
            out.extend(arcs[i]);
        }
        Some(out)
    }

    /// The parts of the edge, and the ways along generatrices between them.
    fn elements(&self) -> Vec<Element> {
        let end = |at: Place| self.rim.point(at, self.line.depth).0;
        let mut out: Vec<Element> = Vec::new();
        for (leg, t0, t1) in rim::spans(self.line.from, self.line.to) {
            let (from, to) = (Place { leg, t: t0 }, Place { leg, t: t1 });
            // A side that comes to nothing at the rim has no length there, or runs back by as little as it leans.
            if (end(to) - end(from)).dot(self.rim.flat().at(from).tau) < SAME {
                continue;
            }
            match out.last_mut() {
                Some(Element::Part(_, last)) if self.goes_on(*last, from) => *last = to,
                last => {
                    let step = match last {
                        Some(Element::Part(_, last)) => self.step(*last, end(*last), end(from)),
                        _ => None,
                    };
                    out.extend(step);
                    out.push(Element::Part(from, to));
                }
            }
        }
        if let (true, Some(Element::Part(first, _)), Some(Element::Part(_, last))) =
            (self.line.closed, out.first(), out.last())
        {
            let step = self.step(*last, end(*last), self.over_the_seam(end(*first)));
            out.extend(step);
        }
        out
    }

    /// The way along the generatrix at a place from one point to another, if that is how they lie.
    fn step(&self, at: Place, a: Vec2, b: Vec2) -> Option<Element> {
        let (up, way) = (self.rim.flat().at(at).rise.normalize_or_zero(), b - a);
        (way.length() > SAME && way.dot(up).abs() > way.perp_dot(up).abs()).then_some(Element::Step(a, b))
    }

    /// Whether the edge runs on from the end of one leg to the start of the next.
    fn goes_on(&self, from: Place, to: Place) -> bool {
        let ((p, u), (q, v)) = (self.rim.point(from, self.line.depth), self.rim.point(to, self.line.depth));
        let (u, v) = (u.normalize_or_zero(), v.normalize_or_zero());
        self.step(from, p, q).is_none() && self.is_bend(num::atan2(u.perp_dot(v), u.dot(v)))
    }

    /// Beside a corner the line is cut off by d tan(θ/2) on both sides, beside a bend by d θ in all.
    fn is_bend(&self, turn: f64) -> bool {
        let by = self.line.left.abs() * turn.abs();
        turn.abs() < 0.5 * PI && (2.0 * self.line.left.abs() * num::tan(0.5 * turn.abs()) - by).abs() < BEND
    }

    /// A point at the start, where the end goes on to it.
    fn over_the_seam(&self, p: Vec2) -> Vec2 {
        let ends = self.line.walk.ends();
        carried(p, &self.rim.flat().at(ends.0), &self.rim.flat().at(ends.1))
    }

    fn corner(&self, a: Element, b: Element, at_seam: bool) -> Corner {
        let way = |place: Place| self.rim.point(place, self.line.depth);
        let (at, before) = match a {
            Element::Part(_, to) => way(to),
            Element::Step(a, b) => (b, b - a),
        };
        let (start, behind) = match b {
            Element::Part(from, _) => way(from),
            Element::Step(a, b) => (a, b - a),
        };
        let behind = if at_seam { self.over_the_seam(start + behind) - self.over_the_seam(start) } else { behind };
        Corner { at, before: before.normalize_or_zero(), behind: behind.normalize_or_zero() }
    }

    /// Where the parallels of two elements cross beside the corner between them, as far along each.
    fn crossing(&self, (a, b): (Element, Element), at_seam: bool, turn: f64) -> Option<(f64, f64)> {
        let on_b = |x: f64| {
            let p = self.parallel(b, x);
            if at_seam { self.over_the_seam(p) } else { p }
        };
        let on_a = |x: f64| self.parallel(a, x);
        let (reach_a, reach_b) = (reach(a), reach(b));
        // Where they would if both were straight.
        let lost = self.line.left.abs() * num::tan(0.5 * turn.abs());
        let (mut x, mut y) = (self.along(a, self.long_of(a) - lost), self.along(b, lost));
        // Newton's steps in both, with slopes between points on either side.
        const STEP: f64 = 1e-5;
        for _ in 0..50 {
            let off = on_b(y) - on_a(x);
            if off.length() < 1e-10 {
                return Some((x, y));
            }
            let slope = |at: &dyn Fn(f64) -> Vec2, x: f64, (low, high): (f64, f64)| {
                let (from, to) = ((x - STEP).max(low), (x + STEP).min(high));
                (at(to) - at(from)) / (to - from)
            };
            let (u, v) = (slope(&on_a, x, reach_a), slope(&on_b, y, reach_b));
            // x' u − y' v = off
            let double = v.perp_dot(u);
            let (dx, dy) = (v.perp_dot(off) / double, u.perp_dot(off) / double);
            if !(dx.is_finite() && dy.is_finite()) {
                return None;
            }
            x = (x + dx).clamp(reach_a.0, reach_a.1);
            y = (y + dy).clamp(reach_b.0, reach_b.1);
        }
        (on_a(x).distance(on_b(y)) < 1e-7).then_some((x, y))
    }

    /// The point beside an element, so far along it.
    fn parallel(&self, element: Element, x: f64) -> Vec2 {
        match element {
            Element::Part(from, to) => self.line.offset(self.rim, place((from, to), x)),
            Element::Step(a, b) => {
                let way = (b - a).normalize_or_zero();
                a + way * x + crate::geom::left_of(way) * self.line.left
            }
        }
    }

    /// The length of an element of the edge itself.
    fn long_of(&self, element: Element) -> f64 {
        match element {
            Element::Part(from, to) => self.rim.length(from, to, self.line.depth),
            Element::Step(a, b) => a.distance(b),
        }
    }

    /// So far along an element of the edge itself, or at its nearer end.
    fn along(&self, element: Element, long: f64) -> f64 {
        let (start, end) = reach(element);
        match element {
            Element::Part(from, _) => number(self.rim.at_length(from, long, self.line.depth)).clamp(start, end),
            Element::Step(..) => long.clamp(start, end),
        }
    }

    fn long(&self, piece: Piece) -> f64 {
        match piece {
            Piece::Beside(from, to) => self.line.between(self.rim, from, to),
            Piece::Straight(a, b) => a.distance(b),
            Piece::Round { by, .. } => (self.line.left * by).abs(),
        }
    }

    fn keeps_a_radius(&self, piece: Piece) -> bool {
        let Piece::Beside(from, to) = piece else { return true };
        rim::spans(from, to).all(|(leg, t0, t1)| {
            let place = |t: f64| Place { leg, t };
            // As near to each other as the line lies beside the edge.
            let long = self.rim.length(place(t0), place(t1), self.line.depth);
            let steps = (long / self.line.left.abs()).ceil().clamp(4.0, 64.0);
            let share = |i: u32| place(t0 + (t1 - t0) * (f64::from(i) / steps).min(1.0));
            (0..64)
                .take_while(|i| f64::from(*i) < steps)
                .all(|i| self.line.between(self.rim, share(i), share(i + 1)) > -SAME)
        })
    }

    /// A point of a piece on the flat, by the share of its way.
    fn on(&self, piece: Piece, share: f64) -> Vec2 {
        match piece {
            Piece::Beside(from, to) => {
                let u = number(from) + (number(to) - number(from)) * share;
                self.line.offset(self.rim, place((from, to), u))
            }
            Piece::Straight(a, b) => a.lerp(b, share),
            Piece::Round { about, from, by } => about + unit(num::wrap(from + by * share, TAU)) * self.line.left.abs(),
        }
    }

    fn in_the_prop(&self, p: Vec2, near: Place) -> Vec3 {
        self.line.in_the_prop(self.rim, p, near)
    }
}

/// The ends of an element: places by their numbers, lengths of a step.
fn reach(element: Element) -> (f64, f64) {
    match element {
        Element::Part(from, to) => (number(from), number(to)),
        Element::Step(a, b) => (0.0, a.distance(b)),
    }
}

/// A place by one number: leg and share.
fn number(at: Place) -> f64 {
    at.leg as f64 + at.t
}

/// The place of a number between two places. A leg's end is the next one's start but where the edge goes along a generatrix.
fn place((from, to): (Place, Place), u: f64) -> Place {
    match u {
        u if u <= number(from) => from,
        u if u >= number(to) => to,
        u => Place { leg: u as usize, t: u.fract() },
    }
}
