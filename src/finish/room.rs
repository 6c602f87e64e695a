//! Room for lettering on a piece: where a rectangle lies clear of cut lines, marks, holes and other lettering.

use super::grid::Grid;
use crate::geom::cross;
use crate::geom::path::Path;
use crate::geom::ring::contains;
use crate::geom::{Vec2, left_of, unit};

/// Clear distance between lettering and any line, mm.
const CLEAR: f64 = 1.0;
/// The cosine of the lean from which a place has a way up of its own: 45 degrees.
const LEANS: f64 = core::f64::consts::FRAC_1_SQRT_2;
/// How far a chord may lie off its arc in the obstacles, mm: well within [`CLEAR`].
const CHORD: f64 = 0.2;
/// About how many of the preferred places are tried: a few dozen are plenty.
const PREFERRED: usize = 60;
/// About how many places are tried on a piece.
const PLACES: f64 = 900.0;

/// A rectangle: middle, half lengths along and across its direction.
#[derive(Clone, Copy, Debug)]
pub(super) struct Patch {
    pub at: Vec2,
    pub half: Vec2,
    pub turn: f64,
}

/// A place that may carry lettering: the distance to the nearest line, and which way is up there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub at: Vec2,
    pub depth: f64,
    pub up: Vec2,
}

/// A line from below up the piece, and which way is up along it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    pub from: Vec2,
    pub to: Vec2,
    pub up: Vec2,
}

/// How a rectangle lies: with its own way up, a quarter turned from that, or as told.
#[derive(Clone, Copy, Debug)]
pub(super) enum Way {
    Upright,
    Quarter,
    Turned(f64),
}

/// The obstacles of one piece and the lettering placed so far.
#[derive(Debug)]
pub(super) struct Room {
    contour: Path,
    /// Its box.
    low: Vec2,
    high: Vec2,
    /// Each with its box.
    edges: Vec<(Path, Vec2, Vec2)>,
    holes: Vec<(Path, Vec2, Vec2)>,
    lines: Vec<(Vec2, Vec2)>,
    lines_near: Grid,
    taken: Vec<Patch>,
    taken_near: Grid,
    /// Deepest first.
    spots: Vec<Spot>,
    /// The way up where no line leans far from it, and the lines where one does.
    up: Vec2,
    leaning: Vec<Line>,
}

impl Room {
    /// `preferred`: lines from below up, along whose middles lettering is best, each with its own way up. Elsewhere `up`
    /// is up, but for where the nearest of them leans far from it: on a wall that is rolled out round its tip.
    pub(super) fn new(contour: Path, holes: Vec<Path>, marks: &[&Path], up: Vec2, preferred: &[Line]) -> Self {
        let mut lines: Vec<(Vec2, Vec2)> = Vec::new();
        for path in core::iter::once(&contour).chain(&holes).chain(marks.iter().copied()) {
            lines.extend(path.flattened(CHORD).windows(2).map(|w| (w[0], w[1])));
        }
        let (low, high) = contour.bounds().unwrap_or_default();
        let mut lines_near = Grid::new(low, high, lines.len());
        for (i, (a, b)) in lines.iter().enumerate() {
            lines_near.add(i, a.min(*b), a.max(*b));
        }
        let taken_near = Grid::new(low, high, holes.len() + 16);
        let boxed = |p: Path| p.bounds().map(|(low, high)| (p, low, high));
        let holes = holes.into_iter().filter_map(boxed).collect();
        let edges = contour.segs.iter().filter_map(|s| boxed(Path { segs: vec![*s] })).collect();
        let (taken, spots) = (Vec::new(), Vec::new());
        let one_way = preferred.iter().all(|line| line.up.dot(up) >= LEANS);
        let leaning = if one_way { Vec::new() } else { preferred.to_vec() };
        let mut room =
            Self { contour, low, high, edges, holes, lines, lines_near, taken, taken_near, spots, up, leaning };
        let mut spots: Vec<Spot> = Vec::new();
        // Nearer to the last place looked at than any line is to that, a place lies on the same side of all.
        let mut last: Option<(Vec2, f64, bool)> = None;
        let mut add = |at: Vec2, up: Vec2| {
            let depth = room.depth(at);
            let as_last = last.filter(|(p, clear, _)| at.distance(*p) < clear - 2.0 * CHORD);
            let inside = as_last.map_or_else(|| room.inside(at), |l| l.2);
            last = Some((at, depth, inside));
            if inside {
                spots.push(Spot { at, depth, up });
            }
        };
        let every = (preferred.len() / PREFERRED).max(1);
        for line in preferred.iter().step_by(every) {
            add(line.from.midpoint(line.to), line.up);
        }
        if let Some((lo, hi)) = room.contour.bounds() {
            let size = hi - lo;
            let step = (size.x * size.y / PLACES).sqrt().max(0.75);
            let count = |x: f64| (x / step).ceil().clamp(1.0, 400.0);
            let (nx, ny) = (count(size.x), count(size.y));
            let mut j = 0.5;
            while j < ny {
                let mut i = 0.5;
                while i < nx {
                    let at = lo + size * Vec2::new(i / nx, j / ny);
                    add(at, room.up_at(at));
                    i += 1.0;
                }
                j += 1.0;
            }
        }
        spots.sort_by(|a, b| b.depth.total_cmp(&a.depth));
        room.spots = spots;
        room
    }

    /// The way up at a place.
    fn up_at(&self, at: Vec2) -> Vec2 {
        let far = |line: &&Line| to_line(at, line.from, line.to);
        let nearest = self.leaning.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
        nearest.map(|line| line.up).filter(|way| way.dot(self.up) < LEANS).unwrap_or(self.up)
    }

    /// Whether a way is about that up at a place, or that of the whole piece: what lies across a bend of a wall that is
    /// rolled out round its tip may lie elsewhere than where its way is up.
    pub(super) fn is_up(&self, way: Vec2, at: Vec2) -> bool {
        way.dot(self.up) >= LEANS || way.dot(self.up_at(at)) >= LEANS
    }

    fn inside(&self, p: Vec2) -> bool {
        let near = |low: Vec2, high: Vec2| p.cmpge(low).all() && p.cmple(high).all();
        contains(&self.contour, p) && !self.holes.iter().any(|(h, low, high)| near(*low, *high) && contains(h, p))
    }

    fn depth(&self, p: Vec2) -> f64 {
        // What lies nearer than half of a box is in the box: boxes grow until that holds.
        let mut reach = self.lines_near.cell();
        loop {
            let mut least = f64::INFINITY;
            self.lines_near.any(p - reach, p + reach, |i| {
                least = least.min(to_line(p, self.lines[i].0, self.lines[i].1));
                false
            });
            let whole = self.lines_near.within(p - reach, p + reach);
            if whole || least <= reach.x.min(reach.y).powi(2) {
                return least.sqrt();
            }
            reach *= 2.0;
        }
    }

    /// How far a point lies from the contour.
    pub(super) fn inland(&self, p: Vec2) -> f64 {
        let mut best = f64::INFINITY;
        for (edge, low, high) in &self.edges {
            if p.distance(p.clamp(*low, *high)) < best {
                best = cross::nearest(edge, p).map_or(best, |n| best.min(n.2.distance(p)));
            }
        }
        if best.is_finite() { best } else { 0.0 }
    }

    /// Whether the rectangle with [`CLEAR`] round it lies on the piece and off every line and lettering.
    pub(super) fn free(&self, patch: Patch) -> bool {
        let wide = Patch { half: patch.half + Vec2::splat(CLEAR), ..patch };
        let (low, high) = around(&wide);
        let along = unit(wide.turn);
        // One that reaches beyond the piece is not held against all the lines there are at its edge.
        low.cmpge(self.low).all()
            && high.cmple(self.high).all()
            && !self.taken_near.any(low, high, |i| overlap(&self.taken[i], &wide))
            && !self.lines_near.any(low, high, |i| hits(&wide, along, self.lines[i]))
            && self.inside(patch.at)
    }

    /// Keeps later lettering off.
    pub(super) fn take(&mut self, patch: Patch) {
        let (low, high) = around(&patch);
        self.taken_near.add(self.taken.len(), low, high);
        self.taken.push(patch);
    }

    /// The deepest place (or the nearest to `near`) where a rectangle of these half lengths is free, and the way up
    /// there.
    pub(super) fn find(&self, half: Vec2, near: Option<Vec2>, way: Way) -> Option<(Patch, Vec2)> {
        self.find_where(half, near, way, |_, _| true)
    }

    /// The same, where the rectangle and its way up fit as well.
    pub(super) fn find_where(
        &self,
        half: Vec2,
        near: Option<Vec2>,
        way: Way,
        fits: impl Fn(Patch, Vec2) -> bool,
    ) -> Option<(Patch, Vec2)> {
        let least = half.min_element() + CLEAR;
        let mut spots: Vec<&Spot> = self.spots.iter().take_while(|s| s.depth >= least).collect();
        if let Some(near) = near {
            spots.sort_by(|a, b| a.at.distance_squared(near).total_cmp(&b.at.distance_squared(near)));
        }
        spots.into_iter().find_map(|s| {
            let turn = match way {
                Way::Upright => readable(upright(s.up)),
                Way::Quarter => readable(upright(s.up) + crate::num::FRAC_PI_2),
                Way::Turned(turn) => turn,
            };
            let patch = Patch { at: s.at, half, turn };
            (self.free(patch) && fits(patch, s.up)).then_some((patch, s.up))
        })
    }
}

/// The square of the distance from a line.
fn to_line(p: Vec2, a: Vec2, b: Vec2) -> f64 {
    let d = b - a;
    let s = if d == Vec2::ZERO { 0.0 } else { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) };
    p.distance_squared(a + d * s)
}

/// The direction of writing under which `up` is up.
pub(super) fn upright(up: Vec2) -> f64 {
    crate::num::atan2(-up.x, up.y)
}

/// The same line of writing, turned by a half turn when it would stand on its head: in (−90°, 90°].
pub(super) fn readable(turn: f64) -> f64 {
    let t = crate::geom::cross::signed(turn);
    let quarter = crate::num::FRAC_PI_2;
    if t > quarter + 1e-9 {
        t - crate::num::PI
    } else if t <= -quarter + 1e-9 {
        t + crate::num::PI
    } else {
        t
    }
}

/// Two rectangles overlap unless a side of one parts them.
fn overlap(a: &Patch, b: &Patch) -> bool {
    let parts = |p: &Patch, q: &Patch| {
        let u = unit(p.turn);
        let v = unit(q.turn);
        [(u, p.half.x), (left_of(u), p.half.y)].iter().any(|&(axis, reach)| {
            let other = q.half.x * v.dot(axis).abs() + q.half.y * left_of(v).dot(axis).abs();
            (q.at - p.at).dot(axis).abs() >= reach + other
        })
    };
    !parts(a, b) && !parts(b, a)
}

/// The upright box round a rectangle.
fn around(p: &Patch) -> (Vec2, Vec2) {
    let u = unit(p.turn);
    let reach = u.abs() * p.half.x + left_of(u).abs() * p.half.y;
    (p.at - reach, p.at + reach)
}

/// Whether a line from `a` to `b` comes into the rectangle with the direction `u` (clipped against both its
/// directions; Y.-D. Liang and B. Barsky 1984).
fn hits(p: &Patch, u: Vec2, (a, b): (Vec2, Vec2)) -> bool {
    let local = |q: Vec2| Vec2::new((q - p.at).dot(u), (q - p.at).dot(left_of(u)));
    let (a, b) = (local(a), local(b));
    let d = b - a;
    let (mut lo, mut hi) = (0.0f64, 1.0f64);
    for (from, by, reach) in [(a.x, d.x, p.half.x), (a.y, d.y, p.half.y)] {
        if by.abs() < 1e-12 {
            if from.abs() > reach {
                return false;
            }
            continue;
        }
        let (s, t) = ((-reach - from) / by, (reach - from) / by);
        lo = lo.max(s.min(t));
        hi = hi.min(s.max(t));
    }
    lo <= hi
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::path::Seg;

    #[test]
    fn writing_is_never_upside_down_by_more_than_a_quarter() {
        for i in 0..720 {
            let t = readable(f64::from(i) * 0.05 - 18.0);
            assert!(t > -core::f64::consts::FRAC_PI_2 - 1e-6 && t <= core::f64::consts::FRAC_PI_2 + 1e-6);
        }
        assert!(upright(Vec2::Y).abs() < 1e-12);
    }

    #[test]
    fn places_are_as_deep_as_the_nearest_of_all_lines_and_on_their_side_of_them() {
        // A disc of three arcs with a window, and a mark across.
        let turn = |k: u32| unit(crate::num::TAU * f64::from(k) / 3.0) * 50.0;
        let bulge = crate::num::tan(crate::num::PI / 6.0);
        let disc = Path { segs: (0..3).map(|k| Seg { a: turn(k), b: turn(k + 1), bulge }).collect() };
        let hole = Path::polygon(&[Vec2::ZERO, Vec2::new(20.0, 0.0), Vec2::new(20.0, 14.0), Vec2::new(0.0, 14.0)]);
        let mark = Path { segs: vec![Seg::line(Vec2::new(-40.0, -10.0), Vec2::new(30.0, -20.0))] };
        let room = Room::new(disc.clone(), vec![hole.clone()], &[&mark], Vec2::Y, &[]);
        assert!(room.spots.len() > 500);
        for spot in &room.spots {
            let plain = room.lines.iter().map(|&(a, b)| to_line(spot.at, a, b)).fold(f64::INFINITY, f64::min).sqrt();
            assert_eq!(spot.depth, plain);
            assert!(contains(&disc, spot.at) && !contains(&hole, spot.at));
            let inland = cross::nearest(&disc, spot.at).map_or(0.0, |n| n.2.distance(spot.at));
            assert_eq!(room.inland(spot.at), inland);
        }
        // None is missing: the places of the whole box that are inside are all there.
        let (low, high) = disc.bounds().expect("a box");
        let step = ((high - low).element_product() / PLACES).sqrt();
        let n = ((high - low) / step).ceil();
        let mut inside = 0;
        for j in 0..n.y as u32 {
            for i in 0..n.x as u32 {
                let at = low + (high - low) * Vec2::new((f64::from(i) + 0.5) / n.x, (f64::from(j) + 0.5) / n.y);
                inside += usize::from(contains(&disc, at) && !contains(&hole, at));
            }
        }
        assert_eq!(room.spots.len(), inside);
    }

    #[test]
    fn a_hole_in_the_middle_pushes_lettering_aside() {
        let square = Path::polygon(&[Vec2::ZERO, Vec2::new(100.0, 0.0), Vec2::new(100.0, 60.0), Vec2::new(0.0, 60.0)]);
        let hole = Path::polygon(&[
            Vec2::new(40.0, 20.0),
            Vec2::new(60.0, 20.0),
            Vec2::new(60.0, 40.0),
            Vec2::new(40.0, 40.0),
        ]);
        let room = Room::new(square, vec![hole.clone()], &[], Vec2::Y, &[]);
        let (patch, _) = room.find(Vec2::new(15.0, 5.0), None, Way::Upright).expect("room enough");
        for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
            let u = unit(patch.turn);
            let corner = patch.at + u * (patch.half.x * x) + left_of(u) * (patch.half.y * y);
            assert!(!contains(&hole, corner));
        }
        assert!(!room.free(Patch { at: Vec2::new(50.0, 30.0), half: Vec2::splat(2.0), turn: 0.0 }));
        assert!(room.find(Vec2::new(49.0, 12.0), None, Way::Upright).is_none());
    }
}
