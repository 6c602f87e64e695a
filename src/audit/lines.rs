//! Where a wall's edges lie in space, face by face, and where a square cut through the sheet has to run for them:
//! the foot on the neutral surface of a point of an edge is the point moved along the wall's normal.

use crate::geom::{Vec3, tol};
use crate::solid::{EdgeName, Gap, Layer, Rim, Ring, Seam, Turn, Wall};

use super::figure::Course;
use super::space::{Gen, Round};

/// Which of an edge's lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// At half depth.
    Middle,
    /// The inside or the outside one, whichever reaches farther out of the piece.
    Widest,
    /// The other one.
    Narrowest,
}

/// A point of an edge.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    /// Its depth.
    pub depth: f64,
    /// Where it is in space.
    pub point: Vec3,
    /// Its foot on the neutral surface.
    pub foot: Vec3,
}

/// A wall with the way round each of its strips.
#[derive(Debug)]
pub struct View<'a> {
    pub wall: &'a Wall,
    pub rounds: Vec<Round>,
    /// What is folded over its edges.
    pub turns: Vec<Turn>,
    /// The figures of its first and of its last rim, by places.
    pub courses: [Option<Course>; 2],
}

/// Where a generatrix, moved to depth `d`, meets a plane.
fn in_plane(g: &Gen, (at, normal): (Vec3, Vec3), d: f64) -> Vec3 {
    let start = g.foot + g.normal * d;
    start + g.along * ((at - start).dot(normal) / g.along.dot(normal))
}

impl<'a> View<'a> {
    pub fn new(wall: &'a Wall) -> Self {
        let rounds: Vec<Round> = wall.strips.iter().map(Round::new).collect();
        let courses = [false, true].map(|upper| {
            let round = if upper { rounds.last() } else { rounds.first() };
            wall.figure(upper).zip(round).map(|(figure, round)| Course::new(figure, round))
        });
        Self { wall, rounds, turns: Vec::new(), courses }
    }

    /// The figure that a ring's rim is cut to.
    pub fn course(&self, ring: &Ring, upper: bool) -> Option<&Course> {
        match if upper { ring.upper } else { ring.lower } {
            Rim::Shaped { upper } => self.courses[usize::from(upper)].as_ref(),
            _ => None,
        }
    }

    /// What is folded over an edge of a ring.
    pub fn turn(&self, ring: usize, edge: EdgeName) -> Option<&Turn> {
        self.noted(ring, edge).filter(|t| t.wide > 0.0)
    }

    /// The same, or why there is none.
    pub fn noted(&self, ring: usize, edge: EdgeName) -> Option<&Turn> {
        self.turns.iter().find(|t| t.at.ring == ring && t.at.edge == edge)
    }

    fn is_turned(&self, ring: &Ring, upper: bool) -> bool {
        let edge = if upper { EdgeName::Upper } else { EdgeName::Lower };
        self.wall.rings.iter().position(|r| r == ring).is_some_and(|i| self.turn(i, edge).is_some())
    }

    /// The strip at a ring's lower or upper rim.
    pub fn strip_at(ring: &Ring, upper: bool) -> usize {
        if upper { ring.strips.end - 1 } else { ring.strips.start }
    }

    /// The height of the station at a ring's rim; of a closed one, the height at which it is cut.
    pub fn station(&self, ring: &Ring, upper: bool) -> f64 {
        let rim = if upper { ring.upper } else { ring.lower };
        let heights = self.rounds[Self::strip_at(ring, upper)].heights;
        match rim {
            Rim::Closed(z) | Rim::At(z) => z,
            Rim::Plane(plane) | Rim::PlaneSquare(plane) => plane.at.z,
            Rim::Shaped { upper } => self.wall.figure(upper).map_or(f64::NAN, |f| f.side),
            Rim::Level | Rim::Square | Rim::Mitre(_) => {
                if upper {
                    heights.1
                } else {
                    heights.0
                }
            }
        }
    }

    /// The edge point of a rim at place `w` and depth `d`, with its foot on the surface at depth `neutral`.
    pub fn edge(&self, ring: &Ring, upper: bool, w: f64, d: f64, neutral: f64) -> Edge {
        let g = self.rounds[Self::strip_at(ring, upper)].generatrix(w);
        let z = self.station(ring, upper);
        let point = match if upper { ring.upper } else { ring.lower } {
            Rim::Level => g.at(z, d),
            Rim::Square | Rim::At(_) => g.at(z, 0.0) + g.normal * d,
            Rim::Closed(z) => g.at(z, neutral) + g.normal * (d - neutral),
            Rim::Plane(plane) => in_plane(&g, (plane.at, plane.normal), d),
            Rim::PlaneSquare(plane) => in_plane(&g, (plane.at, plane.normal), 0.0) + g.normal * d,
            Rim::Shaped { .. } => match self.course(ring, upper) {
                Some(course) => course.point(&self.rounds[Self::strip_at(ring, upper)], w) + g.normal * d,
                None => Vec3::NAN,
            },
            Rim::Mitre(other) => {
                let corner = g.at(z, 0.0);
                // The end face halves the walls' angle: it holds the rim's tangent and the sum of both normals. The
                // generatrix at depth d, which may lean along the rim, ends where it meets that face.
                let half = (g.normal + self.normal_beside(other, &g, corner)).normalize();
                let across = g.tangent.cross(half);
                let start = corner + g.normal * d;
                start - g.along * (d * g.normal.dot(across) / g.along.dot(across))
            }
        };
        Edge { depth: d, point, foot: point + g.normal * (neutral - d) }
    }

    /// The normal of strip `other` at the same direction and station point.
    fn normal_beside(&self, other: usize, g: &Gen, corner: Vec3) -> Vec3 {
        let round = &self.rounds[other.min(self.rounds.len() - 1)];
        round.normal_at(g.phi, corner)
    }

    /// A line of a rim at place `w` in a layer.
    pub fn line(&self, ring: &Ring, upper: bool, line: Line, w: f64, layer: &Layer) -> Edge {
        let at = |d: f64| self.edge(ring, upper, w, d, layer.neutral);
        if line == Line::Middle {
            return at(layer.middle());
        }
        let (inside, outside) = (at(layer.inner), at(layer.outer));
        let up = self.rounds[Self::strip_at(ring, upper)].generatrix(w).along;
        let outside_higher = (outside.foot - inside.foot).dot(up) >= 0.0;
        let outside_wins = (outside_higher == upper) == (line == Line::Widest);
        if outside_wins { outside } else { inside }
    }

    /// The way a rim runs at a place: along the section, or where it is cut along a plane as that meets the wall's tangent
    /// plane.
    pub fn runs(&self, ring: &Ring, upper: bool, w: f64) -> Vec3 {
        let g = self.rounds[Self::strip_at(ring, upper)].generatrix(w);
        let Rim::Plane(plane) = (if upper { ring.upper } else { ring.lower }) else { return g.tangent };
        let way = plane.normal.cross(g.normal).normalize();
        if way.dot(g.tangent) < 0.0 { -way } else { way }
    }

    /// How far the bevel of a rim moves the line between the faces at most, where the wall is there.
    pub fn shift(&self, ring: &Ring, upper: bool, layer: &Layer) -> f64 {
        let round = &self.rounds[Self::strip_at(ring, upper)];
        let (from, to) = self.span(ring, upper, layer);
        let n = (round.end() * 32.0) as usize;
        let at = |w: f64| {
            let end = |d: f64| self.edge(ring, upper, w, d, layer.neutral).foot;
            let apart = end(layer.outer) - end(layer.inner);
            // A generatrix may lean along the rim; what counts is the way across it.
            apart.cross(self.runs(ring, upper, w)).length()
        };
        // What is most is so as a rule where one span ends and the next begins.
        let evenly = (0..=n).map(|i| from + (to - from) * i as f64 / n as f64);
        evenly.chain(round.joints(from, to)).map(at).fold(0.0, f64::max)
    }

    /// The line a rim is cut along.
    pub fn cut(&self, ring: &Ring, upper: bool, layer: &Layer) -> Line {
        // An edge that is folded over has no end face to bevel.
        let square = layer.square || self.is_turned(ring, upper) || self.shift(ring, upper, layer) < tol::SQUARE_CUT;
        if square { Line::Middle } else { Line::Widest }
    }

    /// The neutral surface's section at a rim's station, along which an open seam's gap is measured.
    pub fn neutral(&self, ring: &Ring, upper: bool, w: f64, layer: &Layer) -> Vec3 {
        let g = self.rounds[Self::strip_at(ring, upper)].generatrix(w);
        g.at(self.station(ring, upper), layer.neutral)
    }

    /// Where an open seam's sides cross a rim: the places from which and up to which the wall is there. The whole
    /// way round for every other seam.
    pub fn span(&self, ring: &Ring, upper: bool, layer: &Layer) -> (f64, f64) {
        let round = &self.rounds[Self::strip_at(ring, upper)];
        let whole = (0.0, round.end());
        let Seam::Open(gap) = self.wall.seam else { return whole };
        let neutral = |w: f64| self.neutral(ring, upper, w, layer);
        let ends = round.end();
        // Where a section runs back there may be three places at one length from the seam's middle: the first is meant.
        let between = |half: f64, curve: &dyn Fn(f64) -> Vec3| {
            let girth = round.length(0.0, ends, 1e-6, curve);
            if girth < tol::ONE_PIECE {
                // Drawn together to a point, it is one place all round.
                return whole;
            }
            let first = |long: f64| round.first_at((0.0, ends), long, curve);
            (first(half), first(girth - half))
        };
        match gap {
            Gap::Angle(angle) => round.around(0.5 * angle),
            Gap::Length(l) => between(0.5 * l, &neutral),
            Gap::Share(s) => between(0.5 * s * round.length(0.0, ends, 1e-6, &neutral), &neutral),
            Gap::Over { depth, length, share } => {
                // Along the section of the wall that it lies on.
                let z = self.station(ring, upper);
                let there = |w: f64| round.generatrix(w).at(z, depth);
                between(0.5 * (length + share * round.length(0.0, ends, 1e-6, &there)), &there)
            }
            Gap::Leaves(l) => {
                // A strip about the generatrix opposite the one where the walk begins: to the first place on either
                // hand that is half its width away.
                let middle = round.opposite();
                let to = |end: f64| round.first_at((middle, end), 0.5 * l, &neutral);
                (to(whole.0), to(whole.1))
            }
        }
    }
}
