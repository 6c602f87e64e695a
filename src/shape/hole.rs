//! Shapes of openings, on paper as seen on the show face: x to the right, y up, the middle at the origin,
//! counter-clockwise, millimetres. An oval comes as a chain of true arcs within [`FIT`] of it.

use super::outline::{self, Leg};
use super::section::{outline_path, regular, widths};
use super::sized::{self, Sized};
use super::{errors, say};
use crate::design::{Made, Value};
use crate::eval::Stop;
use crate::geom::biarc;
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::section::Curve;
use crate::geom::{Vec2, left_of, unit};
use crate::num::{self, FRAC_PI_2};
use crate::span::Span;

/// Largest distance of the arcs from an oval, mm: a quarter of what the fit of an outline may take.
const FIT: f64 = 0.001;

/// A shape and its widths.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shape {
    pub path: Path,
    pub across: f64,
    pub up: f64,
    /// It looks the same whichever way it is turned.
    pub round: bool,
}

/// Reads a shape.
pub(super) fn read(value: &Value, span: Span) -> Result<Shape, Stop> {
    let Value::Made(made) = value else { return Err(Stop::Skip) };
    match made.name {
        "circle" => circle(made, span),
        "oval" => oval(made, span),
        "rectangle" => rectangle(made, span),
        "polygon" => polygon(made, span),
        "outline" => {
            let path = outline_path(made, span)?;
            let (lo, hi) = path.bounds().ok_or(Stop::Skip)?;
            let shift = (lo + hi) * -0.5;
            let path = path.moved(&Motion { shift, ..Motion::STAY });
            Ok(Shape { path, across: hi.x - lo.x, up: hi.y - lo.y, round: false })
        }
        other => Err(errors::not_built_yet(&format!("an opening of the form `{other}`"), span).into()),
    }
}

fn wide_enough(made: &Made, size: f64, span: Span) -> Result<(), Stop> {
    if size > 0.1 { Ok(()) } else { Err(errors::no_width(made.name, size, span).into()) }
}

fn circle(made: &Made, span: Span) -> Result<Shape, Stop> {
    let d = sized::circle(made, "`across: 8 mm`", span)?.across;
    wide_enough(made, d, span)?;
    let (a, b) = (Vec2::new(0.5 * d, 0.0), Vec2::new(-0.5 * d, 0.0));
    let path = Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] };
    Ok(Shape { path, across: d, up: d, round: true })
}

fn oval(made: &Made, span: Span) -> Result<Shape, Stop> {
    let power = made.number("fullness").unwrap_or(2.0);
    let Sized { across, by: up, .. } = sized::oval(made, power, "`across: 40 mm by 20 mm`", span)?;
    wide_enough(made, across.min(up), span)?;
    Ok(Shape { path: arcs(0.5 * across, 0.5 * up, power), across, up, round: false })
}

fn rectangle(made: &Made, span: Span) -> Result<Shape, Stop> {
    let (across, up) = widths(made, "across").ok_or(Stop::Skip)?;
    wide_enough(made, across.min(up), span)?;
    let (x, y) = (0.5 * across, 0.5 * up);
    let corners = [(-x, -y), (x, -y), (x, y), (-x, y)];
    let legs: Vec<Leg> = corners.iter().map(|&(x, y)| Leg { end: Vec2::new(x, y), rise: None }).collect();
    let r = made.number("corner").unwrap_or(0.0);
    let fits = x.min(y);
    if r > fits + 1e-9 {
        let room = format!("a side of {}", say::mm(2.0 * fits));
        return Err(errors::corner_too_large(r, fits, &room, span).into());
    }
    let path = outline::closed(&legs, r.min(fits), false).map_err(|f| Stop::from(errors::outline(f, r, span)))?;
    Ok(Shape { path, across, up, round: false })
}

/// A regular polygon, one of its flats at the top.
fn polygon(made: &Made, span: Span) -> Result<Shape, Stop> {
    let shape = regular(made, span)?;
    wide_enough(made, 2.0 * shape.flat, span)?;
    let sharp = shape.flat / num::cos(shape.half());
    // The middle of its first side points up the page.
    let corner = |i: u32| unit(FRAC_PI_2 + shape.half() * f64::from(2 * i + 1)) * sharp;
    let legs: Vec<Leg> = (0..shape.sides).map(|i| Leg { end: corner(i), rise: None }).collect();
    let path = outline::closed(&legs, shape.corner, false).map_err(|f| errors::outline(f, shape.corner, span))?;
    let (lo, hi) = path.bounds().ok_or(Stop::Skip)?;
    // Of an odd number of sides the middle of its height is not the middle of its flats.
    let shift = (lo + hi) * -0.5;
    let path = path.moved(&Motion { shift, ..Motion::STAY });
    let (across, up) = shape.widths();
    Ok(Shape { path, across, up, round: false })
}

/// An oval with half-axes `a` and `b` as pairs of arcs that share its points and tangents (biarcs: K. M. Bolton,
/// Biarc curves, Computer-Aided Design 7, 1975), halved until they are within [`FIT`].
fn arcs(a: f64, b: f64, power: f64) -> Path {
    let curve = Curve::Oval { centre: Vec2::ZERO, a, b, power, axis: Vec2::X };
    let at = |phi: f64| (curve.support(phi).point(phi), left_of(unit(phi)));
    let mut path = Path::default();
    for quarter in 0..4 {
        let from = FRAC_PI_2 * f64::from(quarter);
        biarc::add(&at, (from, from + FRAC_PI_2), FIT, &mut path);
    }
    // The chain closes on its first point, not a rounding beside it.
    if let (Some(start), Some(last)) = (path.start(), path.segs.last_mut()) {
        last.b = start;
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;

    #[test]
    fn arcs_of_an_oval_keep_its_girth_and_area() {
        for (a, b, power) in [(40.0, 20.0, 2.0), (25.0, 60.0, 2.0), (50.0, 30.0, 3.0)] {
            let (path, exact) = (arcs(a, b, power), Section::oval(a, b, power));
            assert!((path.length() - exact.girth()).abs() < 0.01, "{}", path.length() - exact.girth());
            assert!((path.area() / exact.area() - 1.0).abs() < 1e-5);
            assert!(path.segs.windows(2).all(|w| w[0].b == w[1].a));
            assert!(path.segs.len() < 300, "{}", path.segs.len());
        }
    }
}
