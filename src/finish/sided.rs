//! What the bevels of a plate with corners take off.

use crate::geom::{Vec2, sided, tol};
use crate::solid::{Layer, Part, Plate};

/// The area that a layer's sheet lacks of that of its cut outline, on the mean of its depths: between two faces whose sides
/// move evenly areas are quadratic in the depth, so that Simpson's rule is exact.
pub(super) fn off(part: &Part, plate: &Plate, layer: &Layer, outline: f64) -> f64 {
    let inner = part.layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
    let outer = part.layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max);
    let height = |d: f64| plate.hidden + (plate.show - plate.hidden) * (d - inner) / (outer - inner);
    let heights = plate.strip.heights();
    let sides = sided::sides(&plate.strip);
    let area = |d: f64| {
        let line = |s: &sided::Side| {
            let [a, b] = [layer.inner, layer.outer].map(|d| s.at(height(d), heights));
            let square = layer.square || (a - b).abs() < tol::SQUARE_CUT;
            (s.phi, if square { 0.5 * (a + b) } else { s.at(height(d), heights) })
        };
        let points: Vec<Vec2> = sided::corners(&sides.iter().map(line).collect::<Vec<_>>());
        let n = points.len();
        0.5 * (0..n).map(|i| points[i].perp_dot(points[(i + 1) % n])).sum::<f64>()
    };
    let mean = (area(layer.inner) + 4.0 * area(layer.middle()) + area(layer.outer)) / 6.0;
    outline - mean.abs()
}
