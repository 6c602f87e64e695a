//! A bent axis made of straight pieces, and the cones about it. Pieces of one diameter meet in the plane that halves
//! the angle of their axes. Where the wall narrows, each piece is the cone that touches two balls centred on the axis:
//! neighbours share a ball of radius `r`, and with axes `a`, `s = (r_i − r_{i+1})/distance` and `c = √(1 − s²)` they
//! meet in the plane `(a1/c1 + a2/c2)·x = r (s1/c1 + s2/c2)` from its middle. Derivation: a cone touching the ball is
//! `c |x⊥| = r − s a·x`, which is `|x|² − r² = ((a·x − r s)/c)²`; both are alike where the brackets are opposite.

use super::Vec3;
use super::frame::Frame;
use super::plane::Plane;
use crate::num;

/// What an axis does next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    Ahead(f64),
    /// Turns by this angle toward this direction of the frame that goes along.
    Turn {
        angle: f64,
        facing: f64,
    },
}

/// One straight piece of an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// At its start.
    pub frame: Frame,
    pub long: f64,
    /// How far along the whole axis it starts.
    pub from: f64,
}

/// The straight pieces of an axis; steps of no length make none.
#[must_use]
pub fn pieces(steps: &[Step]) -> Vec<Piece> {
    let mut out: Vec<Piece> = Vec::new();
    let mut frame = Frame::WORLD;
    let (mut from, mut open) = (0.0, false);
    for step in steps {
        match *step {
            Step::Ahead(by) => {
                match out.last_mut() {
                    Some(last) if open => last.long += by,
                    _ => out.push(Piece { frame, long: by, from }),
                }
                (open, from) = (true, from + by);
                frame = frame.ahead(by);
            }
            Step::Turn { angle, facing } => {
                frame = frame.turned(angle, frame.toward(facing));
                open = false;
            }
        }
    }
    out
}

/// A place nearer to a cut than this stands on it, mm.
pub const NEAR: f64 = 1e-6;

/// Cuts the piece that holds this place of the axis in two there; what is cut there already stays.
pub fn cut(pieces: &mut Vec<Piece>, at: f64) {
    let holds = |p: &Piece| at > p.from + NEAR && at < p.from + p.long - NEAR;
    let Some(i) = pieces.iter().position(holds) else { return };
    let piece = pieces[i];
    let done = at - piece.from;
    pieces[i].long = done;
    pieces.insert(i + 1, Piece { frame: piece.frame.ahead(done), long: piece.long - done, from: at });
}

/// The steps through points, the frame turned at each without a twist; from the first point on.
#[must_use]
pub fn through(points: &[Vec3]) -> Vec<Piece> {
    let mut out: Vec<Piece> = Vec::new();
    let mut frame = Frame::WORLD;
    let mut from = 0.0;
    for w in points.windows(2) {
        let way = w[1] - w[0];
        let (long, z) = (way.length(), way.normalize_or_zero());
        let off = z - frame.z * z.dot(frame.z);
        if off.length() > 1e-12 {
            let angle = num::atan2(off.length(), z.dot(frame.z));
            frame = frame.turned(angle, off.normalize());
        } else if z.dot(frame.z) < 0.0 {
            frame = frame.turned(num::PI, frame.x);
        }
        frame.origin = w[0];
        out.push(Piece { frame, long, from });
        from += long;
    }
    out
}

/// A smooth curve through points (a natural cubic spline over their chords; C. de Boor, A Practical Guide to Splines,
/// 1978, IV), with so many places from point to point, evenly by chord.
#[must_use]
pub fn smooth(points: &[Vec3], each: usize) -> Vec<Vec3> {
    let n = points.len();
    if each <= 1 || n < 3 {
        return points.to_vec();
    }
    let h: Vec<f64> = points.windows(2).map(|w| (w[1] - w[0]).length()).collect();
    // Second derivatives at the points, nothing at both ends: a tridiagonal system, eliminated downwards.
    let (mut diagonal, mut right) = (vec![1.0; n], vec![Vec3::ZERO; n]);
    let mut above = vec![0.0; n];
    for i in 1..n - 1 {
        let slope = |j: usize| (points[j + 1] - points[j]) / h[j];
        let (low, mid, high) = (if i > 1 { h[i - 1] } else { 0.0 }, 2.0 * (h[i - 1] + h[i]), h[i]);
        let factor = low / diagonal[i - 1];
        diagonal[i] = mid - factor * above[i - 1];
        right[i] = (slope(i) - slope(i - 1)) * 6.0 - right[i - 1] * factor;
        above[i] = high;
    }
    let mut second = vec![Vec3::ZERO; n];
    for i in (1..n - 1).rev() {
        second[i] = (right[i] - second[i + 1] * above[i]) / diagonal[i];
    }
    let mut out = vec![points[0]];
    for i in 0..n - 1 {
        for k in 1..=each {
            let (b, a) = (k as f64 / each as f64, 1.0 - k as f64 / each as f64);
            let bend = (second[i] * (a * a * a - a) + second[i + 1] * (b * b * b - b)) * (h[i] * h[i] / 6.0);
            out.push(if k == each { points[i + 1] } else { points[i] * a + points[i + 1] * b + bend });
        }
    }
    out
}

/// A cone about a piece by the balls at its ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cone {
    /// The radius of the ball at its start.
    pub ball: f64,
    /// Sine and cosine of its half angle, above nothing where it narrows.
    pub sine: f64,
    pub cosine: f64,
}

impl Cone {
    /// `None` where one ball holds the other.
    #[must_use]
    pub fn between(ball: f64, next: f64, apart: f64) -> Option<Self> {
        let sine = (ball - next) / apart;
        (sine.abs() < 1.0).then(|| Self { ball, sine, cosine: (1.0 - sine * sine).sqrt() })
    }

    /// Its radius so far along its axis.
    #[must_use]
    pub fn radius(&self, z: f64) -> f64 {
        (self.ball - self.sine * z) / self.cosine
    }
}

/// The plane in which the walls about two pieces meet, seen from the frame of either: `at` is where the ball's middle
/// lies on the axis seen from, `axis` which way that runs.
#[must_use]
pub fn joint(before: (&Piece, &Cone), after: (&Piece, &Cone), seen: &Frame) -> Plane {
    let ((p, one), (q, two)) = (before, after);
    let way = p.frame.z / one.cosine + q.frame.z / two.cosine;
    let off = two.ball * (one.sine / one.cosine + two.sine / two.cosine);
    let (long, middle) = (way.length(), q.frame.origin - seen.origin);
    let normal = seen.direction_seen(way / long);
    let middle = seen.direction_seen(middle);
    // Where it crosses the axis it is seen from.
    let z = (normal.dot(middle) + off / long) / normal.z;
    Plane { at: Vec3::new(0.0, 0.0, z), normal }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::unit;

    /// A bend of `cuts` cuts as tangent pieces about an arc of radius `r`.
    fn bend(angle: f64, cuts: u32, r: f64) -> Vec<Piece> {
        let half = 0.5 * angle / f64::from(cuts);
        let end = r * num::tan(half);
        let mut steps = vec![Step::Ahead(end)];
        for i in 0..cuts {
            steps.push(Step::Turn { angle: 2.0 * half, facing: 0.0 });
            steps.push(Step::Ahead(if i + 1 == cuts { end } else { 2.0 * end }));
        }
        pieces(&steps)
    }

    #[test]
    fn a_bend_of_five_pieces_has_the_lengths_a_fitter_marks() {
        // 90 degrees in four cuts, centre radius 381, diameter 273: middle piece 151.6, end piece 75.8 (printed in a
        // pipe fitter's table); throat 97.268 and heel 205.874 of the middle piece from 2 (R ∓ D/2) tan a.
        let p = bend(num::FRAC_PI_2, 4, 381.0);
        let pipe = Cone::between(136.5, 136.5, 1.0).expect("a pipe");
        assert_eq!(p.len(), 5);
        assert!((p[0].long - 75.785_61).abs() < 1e-4 && (p[1].long - 151.571_22).abs() < 1e-4);
        let (low, up) =
            (joint((&p[0], &pipe), (&p[1], &pipe), &p[1].frame), joint((&p[1], &pipe), (&p[2], &pipe), &p[1].frame));
        let height = |plane: &Plane, x: f64| plane.at.z - plane.normal.x * x / plane.normal.z;
        let side = |x: f64| height(&up, x) - height(&low, x);
        assert!((side(136.5) - 97.268_15).abs() < 1e-4, "{}", side(136.5));
        assert!((side(-136.5) - 205.874_30).abs() < 1e-4);
        // It ends to the front, having risen by its radius and gone out by it.
        let last = p[4].frame.ahead(p[4].long);
        assert!((last.origin - Vec3::new(381.0, 0.0, 381.0)).length() < 1e-9 && (last.z - Vec3::X).length() < 1e-12);
    }

    #[test]
    fn cones_about_one_ball_meet_in_their_plane() {
        let p = pieces(&[Step::Ahead(60.0), Step::Turn { angle: 0.5, facing: 0.7 }, Step::Ahead(50.0)]);
        let (one, two) = (Cone::between(40.0, 32.0, 60.0).unwrap(), Cone::between(32.0, 20.0, 50.0).unwrap());
        let plane = joint((&p[0], &one), (&p[1], &two), &p[0].frame);
        for i in 0..12 {
            // A point of the first cone in the plane lies on the second.
            let n = unit(0.5 * f64::from(i)).extend(0.0);
            let at = |z: f64| n * one.radius(z) + Vec3::Z * z;
            let z = num::root(0.0, 120.0, 1e-13, |z| plane.above(at(z))).expect("it meets the plane");
            let seen = p[1].frame.seen(p[0].frame.apply(at(z)));
            let radius = seen.truncate().length();
            assert!((radius - two.radius(seen.z)).abs() < 1e-9, "{radius} {}", two.radius(seen.z));
        }
    }

    #[test]
    fn a_frame_goes_round_a_ring_and_comes_back() {
        let steps: Vec<Step> =
            (0..12).flat_map(|_| [Step::Ahead(20.0), Step::Turn { angle: num::TAU / 12.0, facing: 0.3 }]).collect();
        let p = pieces(&steps);
        let end = p[11].frame.ahead(20.0).turned(num::TAU / 12.0, p[11].frame.toward(0.3));
        assert!(end.origin.length() < 1e-9 && (end.x - Vec3::X).length() < 1e-9 && (end.z - Vec3::Z).length() < 1e-9);
    }

    #[test]
    fn a_smooth_curve_goes_through_its_points() {
        let points =
            [Vec3::ZERO, Vec3::new(30.0, 0.0, 60.0), Vec3::new(30.0, 40.0, 120.0), Vec3::new(0.0, 60.0, 150.0)];
        let curve = smooth(&points, 4);
        assert_eq!(curve.len(), 13);
        for (i, p) in points.iter().enumerate() {
            assert!((curve[4 * i] - *p).length() < 1e-12);
        }
        // No kink: neighbours turn by less than the corners of the points do.
        let turn = |w: &[Vec3]| crate::geom::angle(w[1] - w[0], w[2] - w[1]);
        let corner = points.windows(3).map(turn).fold(0.0, f64::max);
        assert!(curve.windows(3).map(turn).fold(0.0, f64::max) < 0.6 * corner);
        // Three points on a line stay on it.
        let line = smooth(&[Vec3::ZERO, Vec3::Z * 50.0, Vec3::Z * 80.0], 3);
        assert!(line.iter().all(|p| p.truncate().length() < 1e-12));
    }
}
