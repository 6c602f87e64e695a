//! A ring of a wall laid flat on its neutral surface, coarsely: to see whether holes have room. Positions are good to
//! a hundredth of a millimetre on walls that fit a table; what is cut comes from `develop`.
//!
//! On the flat the rims' direction is ψ with dψ = −sin α dφ, and the lower rim is
//! `a(φ) = k₀ τ + ∫ (h₀ τ + sin α k₀ ν) dφ` with τ the direction and ν its left.

use super::measure;
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec2, left_of, unit};
use crate::solid::{Hole, Layer, Rim, Wall};

/// Angle of a step, radians: one degree.
const STEP: f64 = std::f64::consts::PI / 180.0;

/// One generatrix on the flat.
#[derive(Clone, Copy, Debug)]
struct Node {
    rule: Rule,
    psi: f64,
    foot: Vec2,
}

/// A ring's outline on the flat, without its gap, and where its rules lie.
#[derive(Clone, Debug)]
pub(super) struct Panel {
    nodes: Vec<Node>,
    neutral: f64,
    /// What is sheet on every face, counter-clockwise.
    outline: Vec<Vec2>,
}

/// From the seam once round, in steps; a straight side is one step.
fn rules(strip: &Strip, facing: f64) -> Vec<Rule> {
    let stretches = strip.stretches();
    let seam = measure::facing(strip, facing);
    let mut list: Vec<Rule> = seam.into_iter().collect();
    for (i, s) in stretches.iter().enumerate() {
        let n = ((s.to - s.from).abs() / STEP).ceil().max(1.0);
        let mut j = 0.0;
        while j <= n {
            list.push(strip.rule(i, s.from + (s.to - s.from) * (j / n)));
            j += 1.0;
        }
    }
    if let (Some(r), Some(last)) = (seam, stretches.last()) {
        list.push(Rule { phi: last.to, ..r });
    }
    list
}

/// The step of ψ and of the lower rim from one rule to a near one, by the rule of the mean (two half steps).
fn step(a: &Rule, b: &Rule, psi: f64, d: f64) -> (f64, Vec2) {
    let turn = b.phi - a.phi;
    let (sa, sb) = (a.sine(), b.sine());
    let end = psi - 0.5 * (sa + sb) * turn;
    let part = |r: &Rule, psi: f64, s: f64| {
        let (h, k) = r.support_at(r.z0, d);
        let t = unit(psi);
        t * h + left_of(t) * (s * k)
    };
    let jump = |r: &Rule, psi: f64| unit(psi) * r.support_at(r.z0, d).1;
    let run = (part(a, psi, sa) + part(b, end, sb)) * (0.5 * turn);
    (end, jump(b, end) - jump(a, psi) + run)
}

/// The generatrix on the flat, from plane to plane.
fn rise(r: &Rule, psi: f64) -> Vec2 {
    let t = unit(psi);
    t * (r.k1 - r.k0) + left_of(t) * (r.rise() * r.secant())
}

impl Panel {
    /// The ring's panel.
    pub(super) fn new(wall: &Wall, ring: usize, layer: &Layer, (inner, outer): (f64, f64)) -> Option<Self> {
        let r = wall.rings.get(ring)?;
        let first = wall.strips.get(r.strips.start)?;
        let d = layer.neutral;
        let mut nodes: Vec<Node> = Vec::new();
        for rule in rules(first, wall.facing) {
            let (psi, foot) = match nodes.last() {
                None => (0.0, Vec2::ZERO),
                Some(n) => {
                    let (psi, by) = step(&n.rule, &rule, n.psi, d);
                    (psi, n.foot + by)
                }
            };
            nodes.push(Node { rule, psi, foot });
        }
        // How far the end faces reach into the sheet, along a rule: where it is all there on every face.
        let trim = |rule: &Rule, rim: Rim| match rim {
            Rim::Square => (-d * rule.sine(), -d * rule.sine()),
            Rim::Level | Rim::Mitre(_) => {
                let (a, b) = ((inner - d) * rule.sine(), (outer - d) * rule.sine());
                (a.min(b), a.max(b))
            }
            Rim::Closed(_) => (0.0, 0.0),
        };
        let place = |n: &Node, z: f64| n.foot + rise(&n.rule, n.psi) * ((z - n.rule.z0) / n.rule.rise());
        let top = |n: &Node| {
            // Strips of one ring share their slopes: their rules run straight on.
            let z1 = wall.strips[r.strips.end - 1].heights().1;
            let z = if let Rim::Closed(z) = r.upper { z } else { z1 };
            place(n, z + trim(&n.rule, r.upper).0)
        };
        let bottom = |n: &Node| {
            let z = if let Rim::Closed(z) = r.lower { z } else { n.rule.z0 };
            place(n, z + trim(&n.rule, r.lower).1)
        };
        let mut outline: Vec<Vec2> = nodes.iter().map(bottom).collect();
        outline.extend(nodes.iter().rev().map(top));
        Some(Self { nodes, neutral: d, outline })
    }

    /// Where a hole's middle lies on the flat, and the direction of its x there.
    pub(super) fn place(&self, hole: &Hole) -> Option<(Vec2, f64)> {
        let at = hole.rule.point(hole.rule.z0, 0.0);
        let near = self.nodes.iter().min_by(|a, b| {
            let d = |n: &Node| (n.rule.point(n.rule.z0, 0.0) - at).length();
            d(a).total_cmp(&d(b))
        })?;
        let turn = near.rule.phi - hole.rule.phi;
        let whole = (turn / crate::num::TAU).round() * crate::num::TAU;
        let rule = Rule { phi: hole.rule.phi + whole, ..hole.rule };
        let (psi, by) = step(&near.rule, &rule, near.psi, self.neutral);
        let z = hole.z - rule.z0 - self.neutral * rule.sine();
        Some((near.foot + by + rise(&rule, psi) * (z / rule.rise()), psi))
    }

    /// Whether all of these points are sheet.
    pub(super) fn holds(&self, points: &[Vec2]) -> bool {
        points.iter().all(|p| super::hole::within(*p, &self.outline))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;
    use crate::num::{PI, TAU};
    use crate::solid::{Ring, Seam};

    #[test]
    fn a_cone_lies_flat_as_a_sector() {
        let strip = Strip::new(&Section::circle(37.5), 0.0, &Section::circle(47.5), 520.0).unwrap();
        let strip = strip.begun_at(PI).unwrap();
        let ring = Ring { strips: 0..1, lower: Rim::Square, upper: Rim::Square };
        let wall = Wall { strips: vec![strip], rings: vec![ring], facing: PI, seam: Seam::Butt, holes: vec![] };
        let layer = Layer { stock: 0, inner: 0.0, neutral: 0.0, outer: 0.0 };
        let panel = Panel::new(&wall, 0, &layer, (0.0, 0.0)).unwrap();
        let n = panel.nodes.len();
        let foot: f64 = panel.outline[..n].windows(2).map(|w| (w[1] - w[0]).length()).sum();
        assert!((foot - TAU * 37.5).abs() < 0.02);
        let last = panel.nodes.last().unwrap();
        let slant = (520.0f64 * 520.0 + 100.0).sqrt();
        assert!((last.psi + TAU * 10.0 / slant).abs() < 1e-9, "the whole turn is 2 pi sin alpha");
        // The chord of the lower rim: radius R over the sector's angle.
        let radius = slant * 37.5 / 10.0;
        let chord = 2.0 * radius * crate::num::sin(0.5 * TAU * 10.0 / slant);
        assert!(((last.foot - panel.nodes[0].foot).length() - chord).abs() < 0.02);
    }
}
