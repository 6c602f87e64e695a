//! A wall's surface laid flat cell by cell: two neighbouring generatrices and what lies between keep their four
//! distances. A point has the same place in its cell at every depth, moved along the normal.

use crate::geom::{Vec2, Vec3, left_of};
use crate::solid::Form;

use super::space::{Gen, Round};

/// How far apart generatrices stand at most, mm: what a chord leaves out of its arc is its cube, 0.1 µm on 20 mm.
const APART: f64 = 0.1;
/// And how far their normals turn at most, radians.
const TURN: f64 = 0.004;
/// More columns than a leaf of a metre has.
const MOST: usize = 60_000;

/// The wall about a leaf, as generatrices laid side by side.
#[derive(Debug)]
pub struct Fan {
    round: Round,
    /// Where it is bent from, and the height there on the surface that depths count from.
    middle: f64,
    z: f64,
    columns: Vec<(f64, Gen)>,
    /// Which of them is the middle.
    at: usize,
}

/// A fan laid flat at one depth: the ends of each generatrix.
#[derive(Debug)]
pub struct Flat {
    pub depth: f64,
    ends: Vec<(Vec2, Vec2)>,
}

impl Fan {
    /// Columns to both sides of the middle as far as `reach` on the surface at `depth`.
    pub fn new(form: &Form, depth: f64, reach: f64) -> Option<Self> {
        let Form::Bent { strip, rule, z } = form else { return None };
        let round = Round::new(strip);
        let (middle, off) = round.locate(rule, 0.0);
        if off > 1e-6 {
            return None;
        }
        let mut sides: Vec<Vec<(f64, Gen)>> = Vec::new();
        for sign in [-1.0, 1.0] {
            let mut side = Vec::new();
            let (mut w, mut gone) = (middle, 0.0);
            let mut last = round.generatrix(w);
            while gone < reach && side.len() < MOST {
                let room = if sign > 0.0 { round.end() - w } else { w };
                if room <= 1e-12 {
                    break;
                }
                // A step that keeps both ends near, and within its span.
                let edge = if sign > 0.0 { w.floor() + 1.0 - w } else { w - (w.ceil() - 1.0) };
                let mut step = edge.min(room);
                let next = loop {
                    let g = round.generatrix(w + sign * step);
                    let far = |z: f64| (g.at(z, depth) - last.at(z, depth)).length();
                    let apart = far(round.heights.0).max(far(round.heights.1));
                    let turned = g.normal.cross(last.normal).length();
                    if (apart <= APART && turned <= TURN) || step < 1e-9 {
                        break g;
                    }
                    step *= 0.5;
                };
                w += sign * step;
                gone += (next.at(*z, depth) - last.at(*z, depth)).length();
                side.push((w, next));
                last = next;
            }
            sides.push(side);
        }
        let right = sides.pop()?;
        let mut columns: Vec<(f64, Gen)> = sides.pop()?.into_iter().rev().collect();
        let at = columns.len();
        columns.push((middle, round.generatrix(middle)));
        columns.extend(right);
        Some(Self { round, middle, z: *z, columns, at })
    }

    /// Laid flat about the middle's normal: x along the horizontal there, y up the wall.
    pub fn flat(&self, depth: f64) -> Flat {
        let (low, high) = self.round.heights;
        let ends = |g: &Gen| (g.at(low, depth), g.at(high, depth));
        let g = self.round.generatrix(self.middle);
        let origin = g.at(self.z, 0.0) + g.normal * depth;
        let up = g.normal.cross(g.tangent);
        let put = |p: Vec3| Vec2::new((p - origin).dot(g.tangent), (p - origin).dot(up));
        let (p, q) = ends(&g);
        let mut out = vec![(Vec2::ZERO, Vec2::ZERO); self.columns.len()];
        out[self.at] = (put(p), put(q));
        let mut go = |from: usize, to: usize, side: f64| {
            let (p, q) = ends(&self.columns[from].1);
            let (r, s) = ends(&self.columns[to].1);
            let (a, b) = out[from];
            // The corner at these distances from both ends, on its side of them.
            let third = |from_a: f64, from_b: f64| {
                let way = b - a;
                let long = way.length();
                let x = (from_a * from_a - from_b * from_b + long * long) / (2.0 * long);
                let y = (from_a * from_a - x * x).max(0.0).sqrt();
                let way = way / long;
                a + way * x - left_of(way) * (y * side)
            };
            let foot = third((r - p).length(), (r - q).length());
            let head = third((s - p).length(), (s - q).length());
            out[to] = (foot, head);
        };
        for i in self.at..self.columns.len() - 1 {
            go(i, i + 1, 1.0);
        }
        for i in (1..=self.at).rev() {
            go(i, i - 1, -1.0);
        }
        Flat { depth, ends: out }
    }

    /// The place of a point of a flat: its cell, the share of the way across it, and its height.
    pub fn find(&self, flat: &Flat, p: Vec2) -> Option<(usize, f64, f64)> {
        let off = |i: usize| {
            let (a, b) = flat.ends[i];
            // To the right of it above nothing.
            -(b - a).normalize().perp_dot(p - a)
        };
        let (mut low, mut high) = (0, flat.ends.len() - 1);
        if off(low) < -1e-9 || off(high) > 1e-9 {
            return None;
        }
        while high - low > 1 {
            let middle = (low + high) / 2;
            if off(middle) >= 0.0 { low = middle } else { high = middle }
        }
        let (a, b) = (off(low), off(high));
        let s = if a - b > 0.0 { (a / (a - b)).clamp(0.0, 1.0) } else { 0.0 };
        let (foot, head) = between(flat, low, s);
        let t = (p - foot).dot(head - foot) / (head - foot).length_squared();
        let (z0, z1) = self.round.heights;
        Some((low, s, z0 + (z1 - z0) * t))
    }

    fn normal(&self, cell: usize, s: f64) -> Vec3 {
        let (a, b) = (self.columns[cell].1.normal, self.columns[(cell + 1).min(self.columns.len() - 1)].1.normal);
        (a + (b - a) * s).normalize()
    }

    /// From one flat to another along the normals.
    pub fn carried(&self, from: &Flat, to: &Flat, p: Vec2) -> Option<Vec2> {
        let (cell, s, z) = self.find(from, p)?;
        let z = z + (to.depth - from.depth) * self.normal(cell, s).z;
        let (foot, head) = between(to, cell, s);
        let (z0, z1) = self.round.heights;
        Some(foot + (head - foot) * ((z - z0) / (z1 - z0)))
    }

    /// Where a point of a flat lies in space.
    pub fn space(&self, flat: &Flat, p: Vec2) -> Option<Vec3> {
        let (cell, s, z) = self.find(flat, p)?;
        let at = |i: usize| self.columns[i.min(self.columns.len() - 1)].1.at(z, flat.depth);
        Some(at(cell) + (at(cell + 1) - at(cell)) * s)
    }
}

fn between(flat: &Flat, cell: usize, s: f64) -> (Vec2, Vec2) {
    let (a, b) = (flat.ends[cell], flat.ends[(cell + 1).min(flat.ends.len() - 1)]);
    (a.0 + (b.0 - a.0) * s, a.1 + (b.1 - a.1) * s)
}
