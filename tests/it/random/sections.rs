//! Sections of a wall, written as text: a kind, a girth and a place.

use crate::chance::Chance;
use std::fmt::Write as _;
use tasset::num::{self, FRAC_PI_2, PI, TAU};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Circle,
    Oval,
    Full,
    Rectangle,
    /// A bulging outline of its own, or (above another outline) a scaled copy of that.
    Outline,
    Point,
}

pub const KINDS: [Kind; 6] = [Kind::Circle, Kind::Oval, Kind::Full, Kind::Rectangle, Kind::Outline, Kind::Point];

/// A station: its section, its place, and about how far round it is (0 of a point).
#[derive(Clone, Debug)]
pub struct Station {
    pub kind: Kind,
    pub at: f64,
    pub girth: f64,
    pub text: String,
    outline: Option<Outline>,
}

/// Points at a girth of about 1, so that a copy is a scale; a smooth one (`None`) is two straights and two half rounds.
#[derive(Clone, Debug)]
struct Outline {
    points: Vec<(f64, f64)>,
    corner: f64,
    smooth: bool,
}

impl Station {
    /// A station that `below` stands under, if any.
    pub fn new(
        chance: &mut Chance,
        kind: Kind,
        (at, girth): (f64, f64),
        thick: f64,
        below: Option<&Station>,
    ) -> Station {
        let ratio = chance.between(1.0, 2.2);
        let ratio = if chance.percent(50.0) { ratio } else { 1.0 / ratio };
        let mut outline = None;
        let text = match kind {
            Kind::Point => "point".to_owned(),
            Kind::Circle if chance.percent(50.0) => format!("circle(around: {girth:.1} mm)"),
            Kind::Circle => format!("circle(across: {:.1} mm)", girth / PI),
            Kind::Oval => oval(chance, girth, ratio, ""),
            Kind::Full => {
                let fullness = format!(", fullness: {:.1}", chance.between(2.1, 4.0));
                oval(chance, girth, ratio, &fullness)
            }
            Kind::Rectangle => rectangle(chance, girth, ratio, thick),
            Kind::Outline => {
                let shape = match below.and_then(|b| b.outline.clone()) {
                    Some(same) if chance.percent(60.0) => same,
                    _ => outlined(chance, thick / girth),
                };
                let text = shape.text(girth);
                outline = Some(shape);
                text
            }
        };
        let girth = if kind == Kind::Point { 0.0 } else { girth };
        Station { kind, at, girth, text, outline }
    }
}

/// An oval's girth is near that of the circle on the mean of its widths (within 3 % for a ratio of 2); exactness is
/// not needed of a random size.
fn oval(chance: &mut Chance, girth: f64, ratio: f64, more: &str) -> String {
    if chance.percent(40.0) {
        return format!("oval(around: {girth:.1} mm, ratio: {ratio:.2}{more})");
    }
    let by = 2.0 * girth / PI / (1.0 + ratio);
    format!("oval(across: {:.1} mm by {by:.1} mm{more})", by * ratio)
}

/// Corners from what the sheet needs to as round as they go.
fn rectangle(chance: &mut Chance, girth: f64, ratio: f64, thick: f64) -> String {
    let by = girth / (1.75 * (1.0 + ratio));
    let (across, by) = (by * ratio, by);
    let most = 0.5 * across.min(by);
    let corner = chance.between((4.0 * thick).min(0.8 * most), most).min(0.99 * most);
    format!("rectangle(across: {across:.1} mm by {by:.1} mm, corner: {corner:.1} mm)")
}

/// A bulging outline with corners that a sheet of this share of the girth takes.
fn outlined(chance: &mut Chance, thick: f64) -> Outline {
    if chance.percent(30.0) {
        let (long, round) = (chance.between(0.05, 0.15), chance.between(0.08, 0.12));
        return Outline { points: vec![(long, round)], corner: 0.0, smooth: true };
    }
    // Corners of an ellipse, at angles that are each a share of the turn: bulging whatever the shares are.
    let n = 3 + chance.below(4);
    let ratio = chance.between(0.7, 1.4);
    let start = chance.between(0.0, TAU);
    let points: Vec<(f64, f64)> = (0..n)
        .map(|i| {
            let angle = start + TAU * (i as f64 + chance.between(-0.2, 0.2)) / n as f64;
            (ratio * num::cos(angle), num::sin(angle))
        })
        .collect();
    let mut out = Outline { points, corner: 0.0, smooth: false };
    let long: f64 = (0..n).map(|i| out.side(i).1).sum();
    out.points.iter_mut().for_each(|p| *p = (p.0 / long, p.1 / long));
    // The most that fits: the tangents of two corners share a side.
    let fits = (0..n)
        .map(|i| out.side(i).1 / (num::tan(0.5 * out.turn(i)) + num::tan(0.5 * out.turn((i + 1) % n))))
        .fold(f64::INFINITY, f64::min);
    out.corner = chance.between((4.0 * thick).min(0.8 * fits), 0.95 * fits);
    out
}

impl Outline {
    /// Direction and length of the side that begins at a point.
    fn side(&self, i: usize) -> (f64, f64) {
        let (a, b) = (self.points[i], self.points[(i + 1) % self.points.len()]);
        (num::atan2(b.1 - a.1, b.0 - a.0), num::hypot(b.0 - a.0, b.1 - a.1))
    }

    /// How far the line turns at a point.
    fn turn(&self, i: usize) -> f64 {
        let n = self.points.len();
        num::wrap(self.side(i).0 - self.side((i + n - 1) % n).0, TAU).min(FRAC_PI_2 * 1.9)
    }

    fn text(&self, girth: f64) -> String {
        let mm = |x: f64| format!("{:.4} mm", x * girth);
        if self.smooth {
            let (a, r) = self.points[0];
            let (left, right, low, high) = (mm(-a), mm(a), mm(-r), mm(r));
            return format!(
                "outline(points: [{left} by {low}, {right} by {low}, arc(end: {right} by {high}, rise: {high}), \
                 {left} by {high}, arc(end: {left} by {low}, rise: {high})])"
            );
        }
        let mut text = "outline(points: [".to_owned();
        for (i, (x, y)) in self.points.iter().enumerate() {
            let comma = if i > 0 { ", " } else { "" };
            write!(text, "{comma}{} by {}", mm(*x), mm(*y)).unwrap();
        }
        write!(text, "], corner: {})", mm(self.corner)).unwrap();
        text
    }
}
