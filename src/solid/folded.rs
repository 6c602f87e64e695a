//! Walls that are folded from one strip.

use super::{Face, Frame, Plate, PlateHole, Seam};
use crate::geom::sided;
use crate::geom::{Vec2, tol};
use crate::num;

/// A wall of flat faces side by side, cut as one piece and folded at the corners between them. Before it is folded, and after,
/// each face is a sheet between two parallel planes that ends at its corners in the plane half-way between its own and its
/// neighbour's: at a fold those two end faces meet, and what is left of the sheet between them holds both together.
#[derive(Clone, Debug, PartialEq)]
pub struct Folded {
    /// From the seam on, in the sense of growing φ: to the right as seen from outside.
    pub faces: Vec<Faced>,
    /// Between each face and the next.
    pub folds: Vec<Fold>,
    /// Each with the face it is in, in that face's plane.
    pub holes: Vec<(usize, PlateHole)>,
    pub seam: Seam,
}

/// One face: a plate with corners in a frame of its own within the part's.
#[derive(Clone, Debug, PartialEq)]
pub struct Faced {
    pub frame: Frame,
    /// Its holes are the wall's ([`Folded::holes`]).
    pub plate: Plate,
    /// The numbers of its sides: its foot and its head where it has them, and those toward the seam's beginning and its
    /// end.
    pub rims: [Option<usize>; 2],
    pub left: usize,
    pub right: usize,
}

/// A fold between two faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fold {
    /// The turn from one face's plane to the next one's, radians; less than 0 in a hollow corner.
    pub turn: f64,
    /// What is left of the sheet under the groove, or all of it where it is only scored, mm.
    pub skin: f64,
    /// How deep in that skin the surface lies that keeps its length, as a share from the side on which it is pressed
    /// together.
    pub share: f64,
}

/// How a fold is worked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crease {
    /// Scored only; else a groove of this width on the face that is marked, whose faces lean by half of the turn each.
    pub scored: bool,
    pub wide: f64,
    /// How far the sheet turns there, radians.
    pub turn: f64,
    /// What is left of the sheet.
    pub skin: f64,
    /// What of it is bent, as it lies flat.
    pub allowance: f64,
}

impl Fold {
    /// What the skin takes in bending: the length of the surface in it that keeps its length. It bends about the corner
    /// in which the groove's faces meet, so the inside radius of the bend is nothing.
    #[must_use]
    pub fn allowance(&self) -> f64 {
        self.turn.abs() * self.share * self.skin
    }

    /// Whether the corner stands out.
    #[must_use]
    pub fn is_out(&self) -> bool {
        self.turn >= 0.0
    }
}

impl Folded {
    /// A face with its holes.
    #[must_use]
    pub fn plate(&self, face: usize) -> Plate {
        let holes = self.holes.iter().filter(|h| h.0 == face).map(|h| h.1.clone()).collect();
        Plate { holes, ..self.faces[face].plate.clone() }
    }

    /// All faces with their holes, each with its frame in the part's.
    pub fn plates(&self) -> impl Iterator<Item = (Frame, Plate)> {
        (0..self.faces.len()).map(|i| (self.faces[i].frame, self.plate(i)))
    }

    /// The depths of the sheet's inner and outer face.
    #[must_use]
    pub fn faces_at(&self) -> (f64, f64) {
        self.faces.first().map_or((0.0, 0.0), |f| (f.plate.hidden, f.plate.show))
    }

    /// Whether a fold is scored only: there is no groove.
    #[must_use]
    pub fn is_scored(&self, fold: usize) -> bool {
        let (inner, outer) = self.faces_at();
        self.folds[fold].skin > outer - inner - tol::SAME
    }

    /// The depth at which a fold's groove ends: there its two faces meet, and about that line the skin is bent.
    #[must_use]
    pub fn root(&self, fold: usize) -> f64 {
        let (inner, outer) = self.faces_at();
        let Fold { skin, .. } = self.folds[fold];
        if self.folds[fold].is_out() { outer - skin } else { inner + skin }
    }

    /// The face into which a fold's groove is cut; of a score that on which the corner stands out, so that it opens and the
    /// sheet folds away from it.
    #[must_use]
    pub fn marked(&self, fold: usize) -> Face {
        if self.folds[fold].is_out() == self.is_scored(fold) { Face::Outside } else { Face::Inside }
    }

    /// How wide a fold's groove is on the face into which it is cut: its faces lean by half of the turn each, and between
    /// their feet lies what the skin takes in bending.
    #[must_use]
    pub fn groove(&self, fold: usize) -> f64 {
        let (inner, outer) = self.faces_at();
        let one = self.folds[fold];
        2.0 * (outer - inner - one.skin) * num::tan(0.5 * one.turn.abs()) + one.allowance()
    }

    /// How a fold is worked.
    #[must_use]
    pub fn crease(&self, fold: usize) -> Option<Crease> {
        let one = self.folds.get(fold)?;
        let scored = self.is_scored(fold);
        Some(Crease {
            scored,
            wide: if scored { 0.0 } else { self.groove(fold) },
            turn: one.turn.abs(),
            skin: one.skin,
            allowance: one.allowance(),
        })
    }

    /// The folds at a face's side toward the seam's beginning and at that toward its end.
    #[must_use]
    pub fn folds_of(&self, face: usize) -> [Option<usize>; 2] {
        [face.checked_sub(1), (face + 1 < self.faces.len()).then_some(face)]
    }

    /// The sides of a face at which it is folded, each with its fold.
    fn hinges(&self, face: usize) -> impl Iterator<Item = (usize, usize)> {
        let one = &self.faces[face];
        [one.left, one.right].into_iter().zip(self.folds_of(face)).filter_map(|(side, fold)| Some((side, fold?)))
    }

    /// A face's sides as directions and distances: at `depth`, but at a fold at the depth that `folded` has for it.
    fn sides(&self, face: usize, depth: f64, folded: impl Fn(usize) -> f64) -> Vec<(f64, f64)> {
        let strip = &self.faces[face].plate.strip;
        let (sides, heights) = (sided::sides(strip), strip.heights());
        let mut lines: Vec<(f64, f64)> = sides.iter().map(|s| (s.phi, s.at(depth, heights))).collect();
        for (side, fold) in self.hinges(face) {
            lines[side].1 = sides[side].at(folded(fold), heights);
        }
        lines
    }

    /// A face's sides at a depth as directions and distances, as far as the sheet is flat there: beyond the line about which
    /// a fold is bent there is only its skin.
    #[must_use]
    pub fn lines(&self, face: usize, depth: f64) -> Vec<(f64, f64)> {
        self.sides(face, depth, |fold| {
            let root = self.root(fold);
            if self.folds[fold].is_out() { depth.min(root) } else { depth.max(root) }
        })
    }

    /// A face's sides as they are cut: where a side leans, along its wider face, unless it is cut square at half depth; at a
    /// fold the line about which it is bent.
    #[must_use]
    pub fn cut(&self, face: usize, square: bool) -> Vec<(f64, f64)> {
        let (inner, outer) = self.faces_at();
        let [a, b] = [inner, outer].map(|d| self.sides(face, d, |fold| self.root(fold)));
        let at = |(a, b): (f64, f64)| if is_square(a - b, square) { 0.5 * (a + b) } else { a.max(b) };
        a.into_iter().zip(b).map(|((phi, a), (_, b))| (phi, at((a, b)))).collect()
    }

    /// The area of the strip at a depth, its holes not taken off: of its faces as far as the lines about which they are bent,
    /// and of what is bent between them.
    #[must_use]
    pub fn sheet(&self, depth: f64) -> f64 {
        let bounds = |face: usize| self.sides(face, depth, |fold| self.root(fold));
        self.area(&bounds)
    }

    /// The area within the line along which the strip is cut, without tabs.
    #[must_use]
    pub fn within_cut(&self, square: bool) -> f64 {
        let bounds = |face: usize| self.cut(face, square);
        self.area(&bounds)
    }

    fn area(&self, bounds: &dyn Fn(usize) -> Vec<(f64, f64)>) -> f64 {
        let face = |i: usize| {
            let corners = sided::corners(&bounds(i));
            let bent = |(side, fold): (usize, usize)| 0.5 * self.folds[fold].allowance() * long(&corners, side);
            ring(&corners) + self.hinges(i).map(bent).sum::<f64>()
        };
        (0..self.faces.len()).map(face).sum()
    }

    /// What of the sheet is there, mm³, its holes not taken off: the faces between their grooves, and the skin of the folds.
    #[must_use]
    pub fn volume(&self, square: bool) -> f64 {
        let (inner, outer) = self.faces_at();
        let mut stops = vec![inner, outer];
        stops.extend((0..self.folds.len()).map(|f| self.root(f)));
        stops.sort_by(f64::total_cmp);
        let cut: Vec<Vec<(f64, f64)>> = (0..self.faces.len()).map(|i| self.cut(i, square)).collect();
        let face = |i: usize, depth: f64| ring(&sided::corners(&self.as_cut(i, depth, square)));
        // Between two depths at which a side bends off an area is quadratic in the depth: Simpson's rule is exact.
        let between =
            |i: usize, [a, b]: [f64; 2]| (b - a) / 6.0 * (face(i, a) + 4.0 * face(i, 0.5 * (a + b)) + face(i, b));
        let faces: f64 =
            (0..self.faces.len()).map(|i| stops.windows(2).map(|w| between(i, [w[0], w[1]])).sum::<f64>()).sum();
        let skins: f64 = (0..self.folds.len())
            .map(|f| {
                let long = long(&sided::corners(&cut[f]), self.faces[f].right);
                self.folds[f].allowance() * self.folds[f].skin * long
            })
            .sum();
        faces + skins
    }

    /// What bounds a face's sheet at a depth once it is cut: as [`Folded::lines`] has it, but for free sides that are cut
    /// square, which lie there at every depth.
    #[must_use]
    pub fn as_cut(&self, face: usize, depth: f64, square: bool) -> Vec<(f64, f64)> {
        let (inner, outer) = self.faces_at();
        let [a, b] = [inner, outer].map(|d| self.sides(face, d, |_| d));
        let cut = self.cut(face, square);
        let mut lines = self.lines(face, depth);
        for k in (0..lines.len()).filter(|k| self.hinges(face).all(|(side, _)| side != *k)) {
            if is_square(a[k].1 - b[k].1, square) {
                lines[k] = cut[k];
            }
        }
        lines
    }

    /// The corners of what [`Folded::lines`] bounds.
    #[must_use]
    pub fn corners(&self, face: usize, depth: f64) -> Vec<Vec2> {
        sided::corners(&self.lines(face, depth))
    }
}

/// Whether a side is cut square, at half depth: where it is asked, and where a bevel would move its line by too little.
fn is_square(over: f64, square: bool) -> bool {
    square || over.abs() < tol::SQUARE_CUT
}

/// How long a side is.
fn long(corners: &[Vec2], side: usize) -> f64 {
    corners[side].distance(corners[(side + 1) % corners.len()])
}

/// The area within a ring of points.
fn ring(points: &[Vec2]) -> f64 {
    let n = points.len();
    0.5 * (0..n).map(|i| points[i].perp_dot(points[(i + 1) % n])).collect::<num::Sum>().value()
}
