//! Names beside pieces that are too narrow to be written on: on what is cut off round them, where it is plain whose they
//! are. One with no room for that either is told apart by its place and its size in the key.

use super::lines::{self, Form, Line};
use crate::geom::path::{Motion, Path};
use crate::geom::{Vec2, left_of, lettering};
use crate::piece::{Operation, Piece, Pieces};
use crate::sheet::Placed;

/// Heights that are tried, mm.
const TALL: [f64; 2] = [4.0, 3.0];
/// Blank between a line and a name beside it, mm: the name's own piece, nearest first.
const AWAY: [f64; 4] = [1.5, 3.0, 5.0, 8.0];
/// Clear distance from every other line, mm.
const CLEAR: f64 = 1.0;
/// By how much a name stands nearer to its own piece than to any other, mm.
const NEARER: f64 = 1.5;
/// Places along an outline that are tried, from its middle outward on both sides.
const PLACES: u32 = 48;
/// How far a chord may lie off its arc, mm.
const CHORD: f64 = 0.1;

/// Whether neither its name nor its number is written on it.
pub(super) fn is_unnamed(piece: &Piece) -> bool {
    let words = [lettering::drawable(&piece.name), piece.number.to_string()];
    !piece.letters.iter().any(|l| words.contains(&l.text))
}

/// The names, as lines of their pieces, within a frame.
pub(super) fn names(placed: &[Placed], pieces: &Pieces, (low, high): (Vec2, Vec2)) -> Vec<Line> {
    if !placed.iter().any(|p| is_unnamed(&pieces.pieces[p.piece.index()])) {
        return Vec::new();
    }
    let outlines: Vec<Outline> =
        placed.iter().map(|p| Outline::new(&lines::contour(&pieces.pieces[p.piece.index()]), &p.motion)).collect();
    let mut taken: Vec<(Vec2, Vec2)> = Vec::new();
    let mut all = Vec::new();
    for (i, one) in placed.iter().enumerate() {
        let piece = &pieces.pieces[one.piece.index()];
        if !is_unnamed(piece) {
            continue;
        }
        let number = piece.number.to_string();
        let found = [piece.name.as_str(), &number].into_iter().find_map(|words| {
            let find = |tall: f64| {
                let half = Vec2::new(lettering::width(words, tall) * 0.5, tall * 0.85);
                outlines[i]
                    .beside(half)
                    .find(|&at| {
                        let (lo, hi) = (at - half, at + half);
                        lo.cmpge(low).all()
                            && hi.cmple(high).all()
                            && taken.iter().all(|t| lo.cmpge(t.1).any() || hi.cmple(t.0).any())
                            && stands_free((lo, hi), i, &outlines)
                    })
                    .map(|at| (at, half, tall))
            };
            TALL.into_iter().find_map(find).map(|found| (words, found))
        });
        let Some((words, (at, half, tall))) = found else { continue };
        taken.push((at - half, at + half));
        let strokes = lettering::centred(words, tall, at, 0.0);
        let strokes = strokes.iter().map(|s| Form::Open(lines::laid(s, &Motion::STAY))).filter(|f| !f.is_empty());
        all.extend(strokes.map(|form| Line { operation: Operation::Letter, piece: Some(one.piece), form }));
    }
    all
}

/// Whether a box lies clear of all outlines, and nearest to its own.
fn stands_free((lo, hi): (Vec2, Vec2), own: usize, outlines: &[Outline]) -> bool {
    let nearest = outlines[own].clear((lo, hi));
    nearest >= CLEAR
        && outlines.iter().enumerate().filter(|(i, _)| *i != own).all(|(_, other)| {
            let needs = nearest + NEARER;
            // Boxes that lie further apart need no closer look.
            let gap = (other.low - hi).max(lo - other.high).max_element();
            gap >= needs || other.clear((lo, hi)) >= needs
        })
}

/// A piece's outline where it lies.
struct Outline {
    points: Vec<Vec2>,
    low: Vec2,
    high: Vec2,
    /// Places along it, and outward there.
    places: Vec<(Vec2, Vec2)>,
}

impl Outline {
    fn new(contour: &Path, motion: &Motion) -> Self {
        let path = contour.moved(motion);
        let path = if path.area() < 0.0 { path.reversed() } else { path };
        let points = path.flattened(CHORD);
        let (low, high) = path.bounds().unwrap_or_default();
        let share = |k: u32| {
            let off = f64::from(k.div_ceil(2)) / f64::from(PLACES);
            (0.5 + if k.is_multiple_of(2) { off } else { -off }).clamp(0.0, 1.0)
        };
        // Counter-clockwise its inside is at the left.
        let place = |k: u32| path.at_length(path.length() * share(k)).map(|(at, way)| (at, -left_of(way)));
        Self { places: (0..PLACES).filter_map(place).collect(), points, low, high }
    }

    /// Where the middle of a box of this size may stand beside it.
    fn beside(&self, half: Vec2) -> impl Iterator<Item = Vec2> {
        let reach = move |out: Vec2| (out.x * half.x).abs() + (out.y * half.y).abs();
        AWAY.into_iter().flat_map(move |away| self.places.iter().map(move |&(at, out)| at + out * (reach(out) + away)))
    }

    /// How far an upright box is from it; nothing where they meet.
    fn clear(&self, (lo, hi): (Vec2, Vec2)) -> f64 {
        let mut within = false;
        let mut least = f64::INFINITY;
        let middle = (lo + hi) * 0.5;
        let mut last = self.points.last().copied().unwrap_or_default();
        for &p in &self.points {
            least = least.min(apart(last, p, lo, hi));
            // The middle lies within where a ray to the right crosses the outline an odd number of times.
            if (last.y > middle.y) != (p.y > middle.y)
                && middle.x < last.x + (p.x - last.x) * (middle.y - last.y) / (p.y - last.y)
            {
                within = !within;
            }
            last = p;
        }
        if within { 0.0 } else { least }
    }
}

/// How far a stretch is from an upright box: one of its ends is nearest, or a corner of the box; nothing where it runs
/// through.
fn apart(a: Vec2, b: Vec2, lo: Vec2, hi: Vec2) -> f64 {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let way = b - a;
    for (start, way, lo, hi) in [(a.x, way.x, lo.x, hi.x), (a.y, way.y, lo.y, hi.y)] {
        if way == 0.0 {
            if start < lo || start > hi {
                from = f64::INFINITY;
            }
            continue;
        }
        let (p, q) = ((lo - start) / way, (hi - start) / way);
        (from, to) = (from.max(p.min(q)), to.min(p.max(q)));
    }
    if from <= to {
        return 0.0;
    }
    let ends = [a, b].map(|p| p.distance(p.clamp(lo, hi)));
    let corner = |c: Vec2| {
        let share = if way == Vec2::ZERO { 0.0 } else { ((c - a).dot(way) / way.length_squared()).clamp(0.0, 1.0) };
        c.distance(a + way * share)
    };
    let corners = [lo, hi, Vec2::new(lo.x, hi.y), Vec2::new(hi.x, lo.y)].map(corner);
    ends.into_iter().chain(corners).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    /// Two pieces 8 mm from each other, and one against two sides of the frame: every point of a name is off all outlines,
    /// within the frame, and nearest to the piece that it names.
    #[test]
    fn what_is_not_written_on_is_named_beside_itself() {
        let mut pieces = samples::pieces();
        pieces.pieces.iter_mut().for_each(|p| p.letters.clear());
        let at = |index: usize, x: f64, y: f64| {
            let motion = Motion { shift: Vec2::new(x, y), ..Motion::STAY };
            Placed { piece: crate::ids::PieceId::new(index), motion }
        };
        let placed = [at(2, 50.0, 50.0), at(2, 50.0, 83.0), at(1, 38.0, 170.0)];
        let frame = (Vec2::ZERO, Vec2::new(250.0, 210.0));
        let all = names(&placed, &pieces, frame);
        let outlines: Vec<Path> =
            placed.iter().map(|p| lines::contour(&pieces.pieces[p.piece.index()]).moved(&p.motion)).collect();
        let far = |p: Vec2, i: usize| {
            let near = crate::geom::cross::nearest(&outlines[i], p).expect("an outline").2;
            if crate::geom::ring::contains(&outlines[i], p) { 0.0 } else { p.distance(near) }
        };
        let mut named = [0; 3];
        for line in &all {
            let Form::Open(path) = &line.form else { panic!("a stroke") };
            for p in path.flattened(0.05) {
                assert!(p.cmpge(frame.0).all() && p.cmple(frame.1).all(), "{p}");
                let own = (0..3).min_by(|&a, &b| far(p, a).total_cmp(&far(p, b))).expect("three");
                assert_eq!(Some(placed[own].piece), line.piece);
                assert!(far(p, own) >= 1.0 - 1e-3, "{p}: {}", far(p, own));
                named[own] += 1;
            }
        }
        assert!(named.iter().all(|n| *n > 0), "{named:?}");
        // One that has its name needs none beside it.
        let named = samples::pieces();
        assert!(names(&[at(1, 100.0, 100.0)], &named, frame).is_empty());
    }

    #[test]
    fn a_stretch_is_as_far_from_a_box_as_the_nearest_of_their_points() {
        let (lo, hi) = (Vec2::ZERO, Vec2::new(4.0, 2.0));
        let of = |a: [f64; 2], b: [f64; 2]| apart(Vec2::from(a), Vec2::from(b), lo, hi);
        assert_eq!(of([-1.0, 1.0], [5.0, 1.0]), 0.0);
        assert_eq!(of([5.0, -3.0], [5.0, 9.0]), 1.0);
        assert_eq!(of([7.0, 6.0], [9.0, 9.0]), 5.0);
        // Past the corner (4, 2): the line x + y = 8 is 2/√2 from it.
        assert!((of([8.0, 0.0], [0.0, 8.0]) - 2f64.sqrt()).abs() < 1e-12);
        assert_eq!(of([1.0, 3.0], [1.0, 3.0]), 1.0);
    }
}
