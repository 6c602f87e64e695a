//! Folding: the flat between neighbouring generatrices is a rigid cell, hinged to the one before it along their
//! common generatrix so that it takes the solid's normal at its middle. The first cell is laid on the solid, the rest
//! follow, so every fault of the flat adds up along the panel and shows at the seam.
//!
//! Cells must be narrow for a polygon to stand for a curve: with turns of δ between cells the fold errs by parts of
//! `girth · δ²`. Generatrices closer than the panel's own are set between them by interpolation along the flat
//! (six-point, within one smooth part), so that the fold's own error stays below a thousandth of a millimetre.

use crate::flat::Ruling;
use crate::geom::{Vec2, Vec3};
use crate::num;

use super::measure::right_of;
use super::space::Round;

/// A point that is so little beyond a cell is on it: coordinates are rounded, mm.
const BESIDE: f64 = 0.02;

/// The most cells of one folded strip: at the finest turn used a wall of 4 m asks for some 12 000.
const MOST_CELLS: usize = 60_000;

/// How far off its even share of a cell a generatrix may stand, mm.
const EVEN: f64 = 0.005;
/// How often a cell is halved for that at most.
const EVEN_STEPS: u32 = 40;
/// Places nearer to each other than this share of a step are one to interpolate from.
const CROWDED: f64 = 1e-4;
/// Within this share of a span from its ends.
const NEAR_END: f64 = 0.1;

/// A flat cell and the rigid motion that lays it in space.
#[derive(Clone, Copy, Debug)]
pub struct Cell {
    /// Places of its two generatrices on the way round.
    pub w0: f64,
    pub w1: f64,
    /// Feet and heads on the flat.
    foot0: Vec2,
    head0: Vec2,
    foot1: Vec2,
    head1: Vec2,
    up: Vec2,
    right0: Vec2,
    right1: Vec2,
    /// `foot0` in space, and where the flat's `up`, `right0` and the side it is seen from point to.
    origin: Vec3,
    up3: Vec3,
    right3: Vec3,
    pub normal: Vec3,
}

impl Cell {
    fn space(&self, p: Vec2) -> Vec3 {
        let q = p - self.foot0;
        self.origin + self.up3 * q.dot(self.up) + self.right3 * q.dot(self.right0)
    }

    /// The share of the way from the first generatrix to the last at which one between them passes through `p`:
    /// feet and heads move in step, so it is the root of a quadratic, found from its place between both.
    fn share(&self, p: Vec2) -> f64 {
        let (d0, d1) = ((p - self.foot0).dot(self.right0), -(p - self.foot1).dot(self.right1));
        if d0 + d1 <= 0.0 {
            return 0.5;
        }
        let (foot, head) = (self.foot1 - self.foot0, self.head1 - self.head0);
        let mut s = (d0 / (d0 + d1)).clamp(0.0, 1.0);
        for _ in 0..4 {
            let (a, b) = (self.foot0 + foot * s, self.head0 + head * s);
            let off = (b - a).perp_dot(p - a);
            let slope = (head - foot).perp_dot(p - a) - (b - a).perp_dot(foot);
            if slope == 0.0 {
                break;
            }
            s = (s - off / slope).clamp(0.0, 1.0);
        }
        s
    }

    fn flat(&self, p: Vec3) -> Vec2 {
        let q = p - self.origin;
        self.foot0 + self.flat_direction(q)
    }

    fn flat_direction(&self, q: Vec3) -> Vec2 {
        self.up * q.dot(self.up3) + self.right0 * q.dot(self.right3)
    }
}

/// Where a point of the flat lies.
#[derive(Clone, Copy, Debug)]
pub struct Spot {
    pub cell: usize,
    pub w: f64,
    /// How far it lies outside the first or last generatrix, mm on the flat; 0 between them.
    pub beyond: f64,
}

/// One strip of a panel, folded.
#[derive(Clone, Debug)]
pub struct Folded {
    pub cells: Vec<Cell>,
    /// The neutral depth it is folded at.
    pub depth: f64,
    /// How far the last generatrix lands from its place on the solid, mm.
    pub closure: f64,
    /// The worst angle of a folded generatrix to the solid's tangent plane there, radians, and the place.
    pub twist: (f64, f64),
    /// The worst distance of a generatrix's ends from the wall's own rule of the same normal, mm, and the place.
    pub strayed: (f64, f64),
    /// The shares of the way up between which the wall is there.
    there: (f64, f64),
    /// Cells that run backwards, as when seen from the wrong side.
    pub backward: usize,
}

struct Node {
    w: f64,
    foot: Vec2,
    head: Vec2,
}

impl Folded {
    /// Folds the generatrices of one strip; `None` when there are not two of them. `there` are the
    /// shares of the way up between which the wall is there: past a rim that is cut short of its station its faces may
    /// have closed, and its generatrices cross.
    pub fn new(round: &Round, rulings: &[&Ruling], depth: f64, there: (f64, f64)) -> Option<Self> {
        let mut nodes: Vec<Node> = Vec::with_capacity(rulings.len());
        let mut strayed = (0.0, 0.0);
        for r in rulings {
            let from = nodes.last().map_or(0.0, |n| n.w);
            let (w, off) = round.locate(&r.rule, from);
            if off > strayed.0 {
                strayed = (off, w);
            }
            let same = |n: &Node| w - n.w < 1e-12 && (r.foot - n.foot).length() + (r.head - n.head).length() < 1e-9;
            if !nodes.last().is_some_and(same) {
                nodes.push(Node { w, foot: r.foot, head: r.head });
            }
        }
        if nodes.len() < 2 {
            return None;
        }
        let fine = refined(round, &nodes, depth);
        Some(hinged(round, &fine, (depth, there), strayed))
    }

    /// Where a point of the flat lies, searched from `hint`, or everywhere without one. Where a flat turns by more than half
    /// a circle a point by one side lies beyond the other one too: what is on no cell from the hint on is searched everywhere.
    pub fn locate(&self, p: Vec2, hint: &mut Option<usize>) -> Spot {
        let spot = self.walked(p, hint);
        if spot.beyond <= BESIDE {
            return spot;
        }
        let mut anew = None;
        let other = self.walked(p, &mut anew);
        // What is on none, as a lap is, stays beyond the side to which the way led.
        if other.beyond > BESIDE {
            return spot;
        }
        *hint = anew;
        other
    }

    /// The cell to which the way from `hint` leads.
    fn walked(&self, p: Vec2, hint: &mut Option<usize>) -> Spot {
        let mut i = hint.unwrap_or_else(|| self.nearest(p)).min(self.cells.len() - 1);
        for _ in 0..=self.cells.len() {
            let c = &self.cells[i];
            if (p - c.foot0).dot(c.right0) < 0.0 && i > 0 {
                let b = &self.cells[i - 1];
                i -= 1;
                // On the common generatrix itself either cell will do.
                if (p - b.foot1).dot(b.right1) >= 0.0 {
                    break;
                }
            } else if (p - c.foot1).dot(c.right1) > 0.0 && i + 1 < self.cells.len() {
                i += 1;
            } else {
                break;
            }
        }
        *hint = Some(i);
        let c = &self.cells[i];
        let (d0, d1) = ((p - c.foot0).dot(c.right0), -(p - c.foot1).dot(c.right1));
        let share = c.share(p);
        let beyond = if i == 0 { (-d0).max(0.0) } else { 0.0 };
        let beyond = if i + 1 == self.cells.len() { beyond.max(-d1) } else { beyond };
        Spot { cell: i, w: c.w0 + (c.w1 - c.w0) * share, beyond }
    }

    /// The cell whose first generatrix passes nearest; the last one has two. Of a wall that is rolled out round its tip
    /// and whose seam is on a flat side, the first side may lie nearer to the end of the last cell than its first generatrix.
    fn nearest(&self, p: Vec2) -> usize {
        let last = self.cells.last().map(|c| (self.cells.len() - 1, c.foot1, c.head1));
        let mut best = (f64::INFINITY, 0);
        for (i, foot, head) in self.cells.iter().enumerate().map(|(i, c)| (i, c.foot0, c.head0)).chain(last) {
            let ab = head - foot;
            // Drawn on beyond a cone's point, a generatrix would pass near what lies on the other side of it.
            let s = ((p - foot).dot(ab) / ab.length_squared()).clamp(self.there.0, self.there.1);
            let d = (p - foot - ab * s).length_squared();
            if d < best.0 {
                best = (d, i);
            }
        }
        best.1
    }

    /// How far a point lies below the foot or above the head of its generatrix, mm; 0 between them.
    pub fn outside(&self, spot: Spot, p: Vec2) -> f64 {
        let c = &self.cells[spot.cell];
        let v = (p - c.foot0).dot(c.up);
        (-v).max(v - (c.head0 - c.foot0).length()).max(0.0)
    }

    /// A point of the flat in space.
    pub fn space(&self, spot: Spot, p: Vec2) -> Vec3 {
        self.cells[spot.cell].space(p)
    }

    /// A point of the flat as part of the cell at `w`, in space, and the cell's normal.
    pub fn at(&self, w: f64, p: Vec2) -> (Vec3, Vec3) {
        let cell = self.cell_of(w);
        (cell.space(p), cell.normal)
    }

    fn cell_of(&self, w: f64) -> &Cell {
        let i = self.cells.partition_point(|c| c.w1 < w);
        &self.cells[i.min(self.cells.len() - 1)]
    }

    /// The place on the flat of a point in space on the generatrix at `w`.
    pub fn flat(&self, w: f64, p: Vec3) -> Vec2 {
        self.cell_of(w).flat(p)
    }

    /// The way up of the generatrix halfway along, by the lengths that cells have at foot and head.
    pub fn middle_up(&self) -> Vec2 {
        let wide = |c: &Cell| c.foot0.distance(c.foot1) + c.head0.distance(c.head1);
        let mut left = 0.5 * self.cells.iter().map(wide).sum::<f64>();
        for c in &self.cells {
            let here = wide(c);
            if here >= left && here > 0.0 {
                let s = left / here;
                return (c.head0.lerp(c.head1, s) - c.foot0.lerp(c.foot1, s)).normalize_or_zero();
            }
            left -= here;
        }
        self.cells[self.cells.len() - 1].up
    }

    /// A direction of the wall at `w`, on the flat.
    pub fn flat_direction(&self, w: f64, v: Vec3) -> Vec2 {
        self.cell_of(w).flat_direction(v).normalize_or_zero()
    }

    /// The place and folded point of the generatrix at `w` where it meets the height `z`, moved to depth `d`.
    pub fn crossing(&self, i: usize, z: f64, d: f64) -> Vec3 {
        let c = &self.cells[i];
        // Half of the turn between two cells on either side: the mean of both normals stands at their hinge.
        let before = if i > 0 { self.cells[i - 1].normal } else { c.normal };
        let p = c.origin + (before + c.normal).normalize() * (d - self.depth);
        p + c.up3 * ((z - p.z) / c.up3.z)
    }

    /// The same on the last generatrix.
    pub fn last(&self, z: f64, d: f64) -> Vec3 {
        let c = &self.cells[self.cells.len() - 1];
        let origin = c.space(c.foot1);
        // `right1` is square to the last generatrix.
        let up = (c.space(c.foot1 + crate::geom::left_of(c.right1)) - origin).normalize();
        let p = origin + c.normal * (d - self.depth);
        p + up * ((z - p.z) / up.z)
    }

    /// The way the generatrices run on the whole: of a tube or a cone its axis. Each counts by how far the wall turns there.
    pub fn axis(&self) -> Vec3 {
        let turn = |a: &Cell, b: &Cell| a.normal.cross(b.normal).length();
        self.cells.windows(2).map(|c| (c[0].up3 + c[1].up3) * turn(&c[0], &c[1])).sum::<Vec3>().normalize_or_zero()
    }

    /// First and last place that the panel's generatrices reach.
    pub fn reach(&self) -> (f64, f64) {
        (self.cells[0].w0, self.cells[self.cells.len() - 1].w1)
    }
}

/// Generatrices set between the given ones, so close that the fold errs by less than it may. The flat is laid out
/// without stretch, so an end's place on it is smooth in the length that it has gone in space, whatever the section:
/// it is read off there, on the polynomial through the given ones nearest to it.
fn refined(round: &Round, nodes: &[Node], depth: f64) -> Vec<Node> {
    let size = nodes.windows(2).map(|n| (n[1].foot - n[0].foot).length().max((n[1].head - n[0].head).length()));
    let size = size.sum::<f64>().max((nodes[0].head - nodes[0].foot).length()).max(1.0);
    let turn = (0.006 / size).sqrt().min(0.01);
    let mut places: Vec<f64> = Vec::with_capacity(nodes.len() * 4);
    let mut given = Vec::with_capacity(nodes.len());
    for n in nodes.windows(2) {
        let (a, b) = (&n[0], &n[1]);
        given.push(places.len());
        places.push(a.w);
        let middle = 0.5 * (a.w + b.w);
        let span = middle.floor();
        let whole = a.w >= span && b.w <= span + 1.0;
        if round.is_side(middle) || !whole || b.w - a.w < 1e-12 {
            continue;
        }
        let phi = round.generatrix(span + 0.75).phi - round.generatrix(span + 0.25).phi;
        let parts = (2.0 * phi.abs() * (b.w - a.w) / turn).ceil().max(1.0);
        let mut j = 1.0;
        let mut from = a.w;
        while j <= parts && parts as usize + places.len() <= MOST_CELLS {
            let to = a.w + (b.w - a.w) * j / parts;
            if from - span < NEAR_END || span + 1.0 - to < NEAR_END {
                evenly(&mut places, round, depth, (from, to), EVEN_STEPS);
            }
            if j < parts {
                places.push(to);
            }
            (from, j) = (to, j + 1.0);
        }
    }
    given.push(places.len());
    places.push(nodes[nodes.len() - 1].w);
    let gone = gone(round, &places, depth);
    let mut out: Vec<Node> = Vec::with_capacity(places.len());
    for i in 0..nodes.len() - 1 {
        let (a, b) = (&nodes[i], &nodes[i + 1]);
        out.push(Node { w: a.w, foot: a.foot, head: a.head });
        let span = (0.5 * (a.w + b.w)).floor();
        // Up to three on either side, within the span and at places of their own.
        let (mut lo, mut hi) = (i, i + 1);
        while lo > 0 && i - lo < 2 && nodes[lo - 1].w >= span && nodes[lo - 1].w < nodes[lo].w - 1e-12 {
            lo -= 1;
        }
        while hi + 1 < nodes.len()
            && hi - i < 3
            && nodes[hi + 1].w <= span + 1.0
            && nodes[hi + 1].w > nodes[hi].w + 1e-12
        {
            hi += 1;
        }
        for k in given[i] + 1..given[i + 1] {
            let end = |which: usize, of: fn(&Node) -> Vec2| {
                let known: Vec<(f64, Vec2)> = (lo..=hi).map(|n| (gone[given[n]][which], of(&nodes[n]))).collect();
                between(&known, i - lo, gone[k][which])
            };
            out.push(Node { w: places[k], foot: end(0, |n| n.foot), head: end(1, |n| n.head) });
        }
    }
    let last = &nodes[nodes.len() - 1];
    out.push(Node { w: last.w, foot: last.foot, head: last.head });
    out
}

/// Places between two, so close that within each step the walls' ends go on evenly with the place, within [`EVEN`]:
/// where a section is flat in one point its rim runs on while its normal hardly turns.
fn evenly(places: &mut Vec<f64>, round: &Round, depth: f64, (from, to): (f64, f64), steps: u32) {
    let middle = 0.5 * (from + to);
    let ends = |w: f64| {
        let g = round.generatrix(w);
        [g.at(round.heights.0, depth), g.at(round.heights.1, depth)]
    };
    let (a, m, b) = (ends(from), ends(middle), ends(to));
    let off = (0..2).map(|i| (a[i].distance(m[i]) - m[i].distance(b[i])).abs()).fold(0.0, f64::max);
    if steps == 0 || off <= 2.0 * EVEN || places.len() >= MOST_CELLS {
        return;
    }
    evenly(places, round, depth, (from, middle), steps - 1);
    places.push(middle);
    evenly(places, round, depth, (middle, to), steps - 1);
}

/// How far the feet and the heads of the generatrices at these places have gone in space since the first.
fn gone(round: &Round, places: &[f64], depth: f64) -> Vec<[f64; 2]> {
    let (z0, z1) = round.heights;
    let mut last: Option<[Vec3; 2]> = None;
    let mut sum = [0.0; 2];
    let mut all = Vec::with_capacity(places.len());
    for &w in places {
        let g = round.generatrix(w);
        let here = [g.at(z0, depth), g.at(z1, depth)];
        if let Some(last) = last {
            for (s, (a, b)) in sum.iter_mut().zip(last.into_iter().zip(here)) {
                *s += a.distance(b);
            }
        }
        last = Some(here);
        all.push(sum);
    }
    all
}

/// The place at `s` on Lagrange's polynomial through known ones, between number `i` and the next; those that stand
/// where a nearer one does, or all but there for the step's own length, are left out: a polynomial through such two
/// swings wide.
fn between(known: &[(f64, Vec2)], i: usize, s: f64) -> Vec2 {
    let (a, b) = (known[i], known[i + 1]);
    let least = (CROWDED * (b.0 - a.0).abs()).max(1e-9);
    let apart = |a: f64, b: f64| (a - b).abs() > least;
    if !apart(a.0, b.0) {
        return a.1.midpoint(b.1);
    }
    let mut used = vec![a, b];
    for k in known[..i].iter().rev() {
        if apart(k.0, used[0].0) {
            used.insert(0, *k);
        }
    }
    for k in &known[i + 2..] {
        if apart(k.0, used[used.len() - 1].0) {
            used.push(*k);
        }
    }
    let mut place = Vec2::ZERO;
    for (i, a) in used.iter().enumerate() {
        let mut weight = 1.0;
        for (j, b) in used.iter().enumerate() {
            if i != j {
                weight *= (s - b.0) / (a.0 - b.0);
            }
        }
        place += a.1 * weight;
    }
    place
}

fn hinged(round: &Round, nodes: &[Node], (depth, there): (f64, (f64, f64)), strayed: (f64, f64)) -> Folded {
    let (z0, z1) = round.heights;
    let first = round.generatrix(nodes[0].w);
    let mut origin = first.at(z0, depth);
    let mut up3 = (first.at(z1, depth) - origin).normalize();
    let mut cells = Vec::with_capacity(nodes.len());
    let (mut twist, mut backward) = ((0.0f64, 0.0), 0);
    for n in nodes.windows(2) {
        let (a, b) = (&n[0], &n[1]);
        let asked = round.generatrix(0.5 * (a.w + b.w)).normal;
        let normal = (asked - up3 * asked.dot(up3)).normalize();
        let (up, up1) = ((a.head - a.foot).normalize_or_zero(), (b.head - b.foot).normalize_or_zero());
        let cell = Cell {
            w0: a.w,
            w1: b.w,
            foot0: a.foot,
            head0: a.head,
            foot1: b.foot,
            head1: b.head,
            up,
            right0: right_of(up),
            right1: right_of(up1),
            origin,
            up3,
            // Flat right, flat up and the side it is seen from are right-handed; so are these.
            right3: up3.cross(normal),
            normal,
        };
        let ahead = (b.foot - a.foot).lerp(b.head - a.head, 0.5 * (there.0 + there.1)).dot(cell.right0);
        backward += usize::from(ahead < -1e-6);
        origin = cell.space(b.foot);
        up3 = (cell.space(b.head) - origin).normalize();
        let there = round.generatrix(b.w).normal;
        let off = num::asin(up3.dot(there)).abs();
        if off > twist.0 || off.is_nan() {
            twist = (off, b.w);
        }
        cells.push(cell);
    }
    let last = nodes.last().expect("two nodes at least");
    let place = round.generatrix(last.w);
    let head = origin + up3 * (last.head - last.foot).length();
    let closure = (origin - place.at(z0, depth)).length().max((head - place.at(z1, depth)).length());
    Folded { cells, depth, closure, twist, strayed, there, backward }
}
