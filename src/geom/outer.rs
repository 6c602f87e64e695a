//! A polygon round a ring of lines and arcs: what may lie nowhere in the way of the ring may be kept clear of the
//! polygon instead. Lengths mm.

use super::Vec2;
use super::path::Path;
use crate::num;

/// How far the straight outline may stand off an arc, mm.
pub const STAND_OFF: f64 = 0.2;
/// A polygon that holds the counter-clockwise ring, within [`STAND_OFF`] of it. An arc that swells out of the ring is
/// replaced by tangents, which meet at `r / cos(θ/2)` and so stand off by `r (1/cos(θ/2) − 1)`; one that is hollow by
/// its chords, which lie outside the ring.
#[must_use]
pub fn outer(ring: &Path) -> Vec<Vec2> {
    let mut points = Vec::new();
    for s in &ring.segs {
        points.push(s.a);
        let Some(centre) = s.centre() else { continue };
        let r = s.radius();
        // cos(θ/2) = r/(r + t) for tangents, 1 − t/r for chords; the lesser θ serves both.
        let half = num::acos((r / (r + STAND_OFF)).max(0.0)).min(num::acos(1.0 - STAND_OFF / r)).max(0.02);
        let n = (s.sweep().abs() / (2.0 * half)).ceil().clamp(1.0, 256.0);
        let mut i = 0.0;
        while i < n {
            if s.bulge > 0.0 {
                let middle = s.at((i + 0.5) / n) - centre;
                points.push(centre + middle / num::cos(0.5 * s.sweep() / n));
            } else if i > 0.0 {
                points.push(s.at(i / n));
            }
            i += 1.0;
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::super::path::Seg;
    use super::*;

    #[test]
    fn the_outer_polygon_of_a_disc_holds_it_within_the_stand_off() {
        let (a, b) = (Vec2::new(40.0, 0.0), Vec2::new(-40.0, 0.0));
        let disc = Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] };
        let ring = outer(&disc);
        for (i, &p) in ring.iter().enumerate() {
            let q = ring[(i + 1) % ring.len()];
            let t = ((-p).dot(q - p) / (q - p).length_squared()).clamp(0.0, 1.0);
            let near = (p + (q - p) * t).length();
            assert!(near >= 40.0 - 1e-9 && p.length() <= 40.0 + STAND_OFF + 1e-9, "{near}");
        }
    }
}
