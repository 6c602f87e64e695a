//! A parallel view of meshes: which faces are seen in which order, and which stretches of lines. Faces are drawn far
//! to near (painter's order); lines are tested against a raster of depths, so a line is hidden exactly where some
//! face lies before it.
//!
//! Screen: x to the right, y up, depth towards the eye, mm.

use crate::geom::mesh::normal;
use crate::geom::{Vec2, Vec3};
use crate::num;

use super::body::Shown;

/// Cells of the depth raster along its longer side.
const CELLS: f64 = 900.0;
/// How far a line may lie behind the raster and still be seen, in cells: it lies on a face that slopes.
const BIAS: f64 = 1.5;

/// Faces larger than the view's longer side over this are divided, so that the order of their middles is theirs.
const FINE: f64 = 24.0;

/// The direction of looking.
#[derive(Clone, Copy, Debug)]
pub struct View {
    right: Vec3,
    up: Vec3,
    eye: Vec3,
}

impl View {
    /// From `around` (0 = from the front, turning to the left) and `above`, radians.
    #[must_use]
    pub fn new(around: f64, above: f64) -> Self {
        let ((s, c), (se, ce)) = (num::sin_cos(around), num::sin_cos(above));
        let (eye, right) = (Vec3::new(ce * c, ce * s, se), Vec3::new(-s, c, 0.0));
        Self { right, up: eye.cross(right), eye }
    }

    /// Where a point is on the screen.
    #[must_use]
    pub fn screen(&self, p: Vec3) -> Vec2 {
        Vec2::new(p.dot(self.right), p.dot(self.up))
    }

    /// How near a point is.
    #[must_use]
    pub fn depth(&self, p: Vec3) -> f64 {
        p.dot(self.eye)
    }
}

/// A face as seen.
#[derive(Clone, Debug)]
pub struct Seen {
    /// Which of the bodies.
    pub body: usize,
    pub corners: Vec<Vec2>,
    /// How much light falls on it, 0 to 1.
    pub light: f64,
    /// The middle, for a label to point at.
    pub middle: Vec2,
    pub area: f64,
    /// Whether its middle is seen: a label may point there.
    pub clear: bool,
}

/// What is seen of all bodies.
#[derive(Debug)]
pub struct Scene {
    view: View,
    low: Vec2,
    cell: f64,
    wide: usize,
    tall: usize,
    depths: Vec<f64>,
    /// Far to near.
    pub faces: Vec<Seen>,
}

impl Scene {
    /// The scene of some bodies.
    #[must_use]
    pub fn new(view: View, bodies: &[Shown]) -> Self {
        let points = bodies.iter().flat_map(|b| &b.mesh.points).map(|&p| view.screen(p));
        let (low, high) = points
            .fold((Vec2::splat(f64::INFINITY), Vec2::splat(f64::NEG_INFINITY)), |(lo, hi), p| (lo.min(p), hi.max(p)));
        let (low, high) = if low.x <= high.x { (low, high) } else { (Vec2::ZERO, Vec2::ONE) };
        let size = high - low;
        let cell = (size.max_element() / CELLS).max(1e-3);
        let (wide, tall) = (index(size.x / cell, 4000) + 2, index(size.y / cell, 4000) + 2);
        let mut scene =
            Self { view, low, cell, wide, tall, depths: vec![f64::NEG_INFINITY; wide * tall], faces: Vec::new() };
        scene.look(bodies);
        scene
    }

    /// Bounds on the screen.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "a raster has few cells")]
    pub fn bounds(&self) -> (Vec2, Vec2) {
        (self.low, self.low + Vec2::new((self.wide - 2) as f64, (self.tall - 2) as f64) * self.cell)
    }

    fn look(&mut self, bodies: &[Shown]) {
        // From the upper left before the prop.
        let lamp = (self.view.eye * 0.6 - self.view.right * 0.5 + self.view.up * 0.6).normalize();
        let (low, high) = self.bounds();
        let limit = (high - low).max_element() / FINE;
        let eye = self.view.eye;
        let towards = |shown: &'_ Shown, face: &[usize]| {
            let corners = shown.mesh.corners(face);
            (normal(&corners).dot(eye) > 1e-9).then_some(corners)
        };
        for shown in bodies {
            for corners in shown.mesh.faces.iter().filter_map(|face| towards(shown, face)) {
                self.fill(&corners);
            }
        }
        // Divided again face by face: of many bodies one behind the other most parts are hidden, and not kept.
        let pieces = bodies.iter().enumerate().flat_map(|(body, shown)| {
            let faces = shown.mesh.faces.iter().filter_map(move |face| towards(shown, face));
            faces.flat_map(move |corners| divided(corners, limit)).map(move |corners| (body, corners))
        });
        let mut order: Vec<(f64, Seen)> = Vec::new();
        for (body, corners) in pieces {
            let n = normal(&corners);
            let middle = mean(&corners);
            // Hidden when none of its corners, drawn a little inward, nor its middle is seen.
            let visible = self.sees(middle) || corners.iter().any(|&p| self.sees(p + (middle - p) * 0.1));
            if !visible {
                continue;
            }
            let seen = Seen {
                body,
                corners: corners.iter().map(|&p| self.view.screen(p)).collect(),
                // Half of the lamp's cosine, so that the far side of a round body still shows its shape.
                light: 0.5 + 0.5 * n.normalize_or_zero().dot(lamp),
                middle: self.view.screen(middle),
                area: n.dot(self.view.eye),
                clear: self.sees(middle),
            };
            order.push((self.view.depth(middle), seen));
        }
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.faces = order.into_iter().map(|o| o.1).collect();
    }

    /// Enters a face's depth into every cell whose middle it covers.
    fn fill(&mut self, corners: &[Vec3]) {
        let at = |p: Vec3| ((self.view.screen(p) - self.low) / self.cell, self.view.depth(p));
        let first = at(corners[0]);
        for w in corners[1..].windows(2) {
            let [(a, da), (b, db), (c, dc)] = [first, at(w[0]), at(w[1])];
            let whole = (b - a).perp_dot(c - a);
            if whole.abs() < 1e-12 {
                continue;
            }
            let (lo, hi) = (a.min(b).min(c), a.max(b).max(c));
            for y in index(lo.y, self.tall)..(index(hi.y, self.tall) + 1).min(self.tall) {
                #[expect(clippy::cast_precision_loss, reason = "a raster has few cells")]
                let Some((from, to)) = reach([a, b, c], y as f64 + 0.5) else { continue };
                for x in index(from.max(lo.x), self.wide)..(index(to.min(hi.x), self.wide) + 1).min(self.wide) {
                    #[expect(clippy::cast_precision_loss, reason = "a raster has few cells")]
                    let p = Vec2::new(x as f64 + 0.5, y as f64 + 0.5);
                    let (u, v) = ((c - b).perp_dot(p - b) / whole, (a - c).perp_dot(p - c) / whole);
                    let w = 1.0 - u - v;
                    if u >= 0.0 && v >= 0.0 && w >= 0.0 {
                        let cell = &mut self.depths[y * self.wide + x];
                        *cell = cell.max(u * da + v * db + w * dc);
                    }
                }
            }
        }
    }

    /// Whether a point is seen: nothing lies before it in at least one of the cells round it.
    #[must_use]
    pub fn sees(&self, p: Vec3) -> bool {
        let at = (self.view.screen(p) - self.low) / self.cell;
        let depth = self.view.depth(p) + BIAS * self.cell;
        let (x, y) = (index(at.x, self.wide), index(at.y, self.tall));
        let near = |i: usize, most: usize| i.saturating_sub(1)..(i + 2).min(most);
        near(y, self.tall).any(|j| near(x, self.wide).any(|i| self.depths[j * self.wide + i] <= depth))
    }

    /// The stretches of a line that are seen, on the screen.
    #[must_use]
    pub fn seen_of(&self, line: &[Vec3]) -> Vec<Vec<Vec2>> {
        let mut out: Vec<Vec<Vec2>> = Vec::new();
        let mut open = false;
        for w in line.windows(2) {
            let steps = (w[0].distance(w[1]) / (2.0 * self.cell)).ceil().clamp(1.0, 2000.0);
            let mut i = 0.0;
            while i < steps {
                let (a, b) = (w[0] + (w[1] - w[0]) * (i / steps), w[0] + (w[1] - w[0]) * ((i + 1.0) / steps));
                if self.sees((a + b) * 0.5) {
                    if !open {
                        out.push(vec![self.view.screen(a)]);
                    }
                    out.last_mut().expect("a stretch is open").push(self.view.screen(b));
                    open = true;
                } else {
                    open = false;
                }
                i += 1.0;
            }
        }
        out.into_iter().map(thinned).collect()
    }

    /// Sides between a face that is seen from outside and one that is seen from behind: the bodies' outlines.
    #[must_use]
    pub fn silhouettes(&self, bodies: &[Shown]) -> Vec<Vec<Vec3>> {
        let mut out = Vec::new();
        for shown in bodies {
            let mut sides: Vec<((usize, usize), bool)> = Vec::new();
            for face in &shown.mesh.faces {
                let towards = normal(&shown.mesh.corners(face)).dot(self.view.eye) > 0.0;
                for (&a, &b) in face.iter().zip(face.iter().cycle().skip(1)) {
                    sides.push(((a.min(b), a.max(b)), towards));
                }
            }
            sides.sort_unstable();
            for w in sides.windows(2) {
                if w[0].0 == w[1].0 && w[0].1 != w[1].1 {
                    let (a, b) = w[0].0;
                    out.push(vec![shown.mesh.points[a], shown.mesh.points[b]]);
                }
            }
        }
        out
    }
}

/// From where to where a triangle reaches at a height, a cell more on either side.
fn reach(corners: [Vec2; 3], y: f64) -> Option<(f64, f64)> {
    let mut reach: Option<(f64, f64)> = None;
    for i in 0..3 {
        let (p, q) = (corners[i], corners[(i + 1) % 3]);
        // Half a cell above and below: rounding leaves nothing out.
        let (low, high) = (p.y.min(q.y).max(y - 0.5), p.y.max(q.y).min(y + 0.5));
        if low > high {
            continue;
        }
        let at = |y: f64| if p.y == q.y { p.x } else { p.x + (q.x - p.x) * ((y - p.y) / (q.y - p.y)).clamp(0.0, 1.0) };
        let mut ends = [at(low), at(high)];
        if p.y == q.y {
            ends = [p.x, q.x];
        }
        let (from, to) = (ends[0].min(ends[1]) - 1.0, ends[0].max(ends[1]) + 1.0);
        reach = Some(reach.map_or((from, to), |r| (r.0.min(from), r.1.max(to))));
    }
    reach
}

fn mean(corners: &[Vec3]) -> Vec3 {
    #[expect(clippy::cast_precision_loss, reason = "a face has few corners")]
    let n = corners.len().max(1) as f64;
    corners.iter().copied().sum::<Vec3>() / n
}

/// A face in parts none of whose sides is longer than `limit`, or cut 2⁸ times.
fn divided(face: Vec<Vec3>, limit: f64) -> Vec<Vec<Vec3>> {
    let mut waiting = vec![(face, 0)];
    let mut out = Vec::new();
    while let Some((face, cuts)) = waiting.pop() {
        let n = face.len();
        let side = |i: usize| face[i].distance(face[(i + 1) % n]);
        let longest = (0..n).max_by(|&i, &j| side(i).total_cmp(&side(j))).unwrap_or(0);
        if cuts == 8 || n < 3 || side(longest) <= limit {
            out.push(face);
            continue;
        }
        // From the middle of the longest side to the middle of the opposite one, or to the opposite corner.
        let at = |i: usize| face[(longest + i) % n];
        let middle = (at(0) + at(1)) * 0.5;
        let halves = match n {
            3 => [vec![middle, at(1), at(2)], vec![middle, at(2), at(0)]],
            4 => {
                let far = (at(2) + at(3)) * 0.5;
                [vec![middle, at(1), at(2), far], vec![middle, far, at(3), at(0)]]
            }
            _ => [face[..3].to_vec(), core::iter::once(face[0]).chain(face[2..].iter().copied()).collect()],
        };
        waiting.extend(halves.map(|h| (h, cuts + 1)));
    }
    out
}

/// A cell's number, within `0..most`.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a small range")]
fn index(x: f64, most: usize) -> usize {
    (x.max(0.0) as usize).min(most.saturating_sub(1))
}

/// The line without points that lie on the way between their neighbours, within a hundredth of a millimetre.
fn thinned(line: Vec<Vec2>) -> Vec<Vec2> {
    let mut out: Vec<Vec2> = Vec::with_capacity(line.len());
    for p in line {
        while let [.., a, b] = out[..] {
            let d = p - a;
            let off = d.perp_dot(b - a).abs() / d.length().max(1e-12);
            if off > 0.01 || (b - a).dot(d) < 0.0 {
                break;
            }
            out.pop();
        }
        out.push(p);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::emit::body::bodies;
    use crate::samples;

    #[test]
    fn the_near_side_is_seen_and_the_far_side_is_not() {
        let bodies = bodies(&samples::solid(), 25.0);
        let scene = Scene::new(View::new(0.5, 0.4), &bodies);
        let side = |x: f64| Vec3::new(50.0 * x, 0.0, 150.0);
        assert!(scene.sees(side(1.0)), "the front");
        assert!(!scene.sees(side(-1.0)), "the back");
        assert!(!scene.sees(Vec3::new(0.0, 0.0, 2.0)), "the base inside");
    }

    #[test]
    fn rows_of_a_triangle_hold_every_cell_within_it() {
        let mut chance = 11u64;
        let mut any = || {
            chance = chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            40.0 * (chance >> 11) as f64 / (1u64 << 53) as f64
        };
        for _ in 0..500 {
            let [a, b, c] = core::array::from_fn(|_| Vec2::new(any(), any()));
            for y in 0..40 {
                for x in 0..40 {
                    let p = Vec2::new(f64::from(x) + 0.5, f64::from(y) + 0.5);
                    let sides = [(a, b), (b, c), (c, a)].map(|(a, b)| (b - a).perp_dot(p - a));
                    let within = sides.iter().all(|s| *s >= 0.0) || sides.iter().all(|s| *s <= 0.0);
                    let (from, to) = reach([a, b, c], p.y).unwrap_or((f64::INFINITY, 0.0));
                    assert!(!within || (from <= p.x && p.x <= to), "{p} in {a} {b} {c}: {from} to {to}");
                }
            }
        }
    }

    #[test]
    fn up_is_up() {
        let view = View::new(0.7, 0.3);
        assert!(view.screen(Vec3::Z).y > 0.9 && view.screen(Vec3::Z).x.abs() < 1e-12);
        // From the front left the wearer's left is to the right.
        assert!(view.screen(Vec3::Y).x > 0.0 && view.depth(Vec3::X) > 0.0);
    }
}
