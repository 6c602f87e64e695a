//! What is measured of a wall's seam and of the gap that an open one leaves.

use super::{Answer, Shell, length, measure, strip_at};
use crate::geom::strip::Strip;
use crate::solid::{Part, Rim, Ring, Wall};

/// How far it is round a wall at a height and a depth, a gap taken off.
pub(super) fn open_girth(wall: &Wall, part: &Part, strip: &Strip, z: f64, d: f64) -> f64 {
    let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
    measure::girth(strip, z, d) - measure::gap_at(wall, neutral, strip, z, d)
}

/// A fact of a seam by its name.
pub(super) fn seam_fact(shell: &Shell, wall: &Wall, d: f64, name: &str) -> Option<Answer> {
    // From station to station; a sloped end's plane takes its part.
    let slants = || {
        let plain = |rim: Rim| if rim.is_uneven() { rim } else { Rim::Level };
        let over = |ring: &Ring| {
            let level = Ring { strips: ring.strips.clone(), lower: plain(ring.lower), upper: plain(ring.upper) };
            ring.strips.clone().filter_map(|i| measure::seam_over(wall, &level, i)).sum::<f64>()
        };
        wall.rings.iter().map(over).sum()
    };
    match name {
        "long" | "around" => Some(length(slants())),
        "level" => Some(length(0.5 * shell.tall)),
        "across" => {
            let strip = strip_at(wall, 0.5 * shell.tall)?;
            let middle = 0.5 * (shell.inner + shell.outer);
            Some(length(measure::gap_at(wall, middle, strip, 0.5 * shell.tall, d)))
        }
        _ => None,
    }
}
