//! A line up a wall along its seam.

use super::skin::{Line, Skin};
use crate::geom::Vec3;
use crate::geom::rim;
use crate::geom::unroll::Unrolled;
use crate::num;

/// A line up a wall, in short stretches from bottom to top.
pub(super) struct Up {
    points: Vec<Vec3>,
    /// How far up it each point lies.
    along: Vec<f64>,
}

impl Up {
    pub(super) fn long(&self) -> f64 {
        self.along.last().copied().unwrap_or(0.0)
    }

    /// For the eye a sixteenth of its points will do; straight ones keep both ends.
    pub(super) fn drawn(&self) -> Vec<Vec3> {
        let last = self.points.len() - 1;
        let kept = |i: &usize| i.is_multiple_of(16) || *i == last || last < 64;
        (0..=last).filter(kept).map(|i| self.points[i]).collect()
    }

    /// Points that lie so far up it.
    pub(super) fn at(&self, along: &[f64]) -> Vec<Vec3> {
        let point = |&s: &f64| {
            let i = self.along.partition_point(|&a| a < s).clamp(1, self.points.len() - 1);
            let (a, b) = (self.along[i - 1], self.along[i]);
            let share = if b > a { ((s - a) / (b - a)).clamp(0.0, 1.0) } else { 0.0 };
            self.points[i - 1].lerp(self.points[i], share)
        };
        along.iter().map(point).collect()
    }
}

/// A line up the wall along its seam at a depth: along one side of an open one, `within` millimetres from it, or so far
/// beside a closed one, toward growing directions.
pub(super) fn up_the_seam(skin: &Skin, end: Option<bool>, within: f64, depth: f64) -> Option<Up> {
    const STEPS: u32 = 256;
    let mut points: Vec<Vec3> = Vec::new();
    let mut along = Vec::new();
    let mut long = num::Sum::new();
    let last = skin.wall.strips.len() - 1;
    for (i, strip) in skin.wall.strips.iter().enumerate() {
        let (z0, z1) = strip.heights();
        let place = |line: &Line| match end {
            None if within == 0.0 => line.from,
            None if within < 0.0 => line.aside(true, -within),
            None | Some(false) => line.aside(false, within),
            Some(true) => line.aside(true, within),
        };
        // Where it comes to an end of the wall that is cut sloping or to a figure.
        let met = |upper: bool| {
            let (_, cut) = skin.cuts(i).map(|(low, up, _)| (low.clone(), if upper { up } else { low }))?;
            let beyond = |z: f64| {
                let line = skin.line(z, false, depth)?;
                let at = place(&line);
                let flat = Unrolled::new(&line.walk, 0.0);
                // The square cut at a height on the measured face, against the rim, both on the face at the line's depth.
                Some(z - depth * line.walk.rule(at).sine() - rim::Rim::new(&flat, &cut).height(at, depth).0)
            };
            // Where the edge is not cut there, it is the station's own.
            let (end, way) = if upper { (z1, -1.0) } else { (z0, 1.0) };
            if way * beyond(end)? > -1e-7 {
                return Some(end);
            }
            num::root(z0, z1, 1e-9, |z| beyond(z).unwrap_or(0.0))
        };
        let (z0, z1) = (
            if i == 0 && skin.is_uneven(false) { met(false)? } else { z0 },
            if i == last && skin.is_uneven(true) { met(true)? } else { z1 },
        );
        let steps = if end.is_none() && within == 0.0 { 1 } else { STEPS };
        for step in u32::from(!points.is_empty())..=steps {
            let z = z0 + (z1 - z0) * f64::from(step) / f64::from(steps);
            let line = skin.line(z, false, depth)?;
            let p = line.at(&[place(&line)])[0];
            if let Some(last) = points.last() {
                long.add(p.distance(*last));
            }
            along.push(long.value());
            points.push(p);
        }
    }
    (points.len() > 1).then_some(Up { points, along })
}
