//! Items lying on beds, some of them over each other, and how much they do so.
//!
//! How deeply two outlines overlap is told by the circles in them, after Gardeyn, Vanden Berghe and Wauters 2025
//! (arXiv 2509.13329): for each pair of circles the depth to which they overlap, kept above nothing by a hyperbola where
//! they do not, times the lesser radius. Whether they overlap at all the engine says.

use std::rc::Rc;

use super::circles::Circles;
use super::engine::Ground;
use super::turned::{Turn, Turned, Turns};
use crate::geom::Vec2;
use crate::num;

/// By more than this the engine's f32 cannot be mistaken, mm.
const CLEAR: f64 = 0.1;

/// Where an item lies: its turned ring moved by `shift` is within `0..room` of its bed.
#[derive(Clone, Debug)]
pub(super) struct Spot {
    pub bed: usize,
    pub turn: Turn,
    pub shift: Vec2,
    pub turned: Rc<Turned>,
}

impl Spot {
    pub fn top(&self) -> f64 {
        self.turned.hi.y + self.shift.y
    }
}

/// All items on their beds.
#[derive(Debug)]
pub(super) struct Heap {
    pub rooms: Vec<Vec2>,
    pub spots: Vec<Spot>,
    grounds: Vec<Ground>,
    /// Overlap and weight of each pair, row by row; both orders are kept.
    over: Vec<f64>,
    weights: Vec<f64>,
    /// Scale of an item: the root of its hull's area.
    scales: Vec<f64>,
    met: Vec<usize>,
}

impl Heap {
    pub fn new(turns: &Turns<'_>, rooms: &[Vec2], spots: Vec<Spot>, gap: f64) -> Option<Self> {
        let n = spots.len();
        let grounds = rooms.iter().map(|&r| Ground::new(Vec2::splat(-gap), r + Vec2::splat(gap), n));
        let mut heap = Self {
            rooms: rooms.to_vec(),
            grounds: grounds.collect::<Option<_>>()?,
            over: vec![0.0; n * n],
            weights: vec![1.0; n * n],
            scales: turns.hulls.iter().map(|a| a.sqrt()).collect(),
            met: Vec::new(),
            spots,
        };
        for i in 0..n {
            heap.put(i);
        }
        (0..n).for_each(|i| heap.look(i));
        Some(heap)
    }

    fn put(&mut self, i: usize) {
        let s = &self.spots[i];
        self.grounds[s.bed].put(i, &s.turned.outline, s.shift);
    }

    /// Reckons an item's overlaps afresh.
    fn look(&mut self, i: usize) {
        let n = self.spots.len();
        for j in 0..n {
            (self.over[i * n + j], self.over[j * n + i]) = (0.0, 0.0);
        }
        let spot = self.spots[i].clone();
        let mut met = core::mem::take(&mut self.met);
        self.find(i, &spot, &mut met);
        for &j in &met {
            let depth = self.depth(i, &spot, j);
            (self.over[i * n + j], self.over[j * n + i]) = (depth, depth);
        }
        self.met = met;
    }

    /// The items that an item would meet at a spot. The engine is asked where boxes and circles do not tell.
    fn find(&self, i: usize, spot: &Spot, met: &mut Vec<usize>) {
        met.clear();
        let far = |s: &Spot| (s.turned.far.0 + s.shift, s.turned.far.1 + s.shift);
        let (lo, hi) = far(spot);
        for (j, other) in self.spots.iter().enumerate() {
            if j == i || other.bed != spot.bed {
                continue;
            }
            let (a, b) = far(other);
            if (lo - b).max(a - hi).max_element() > CLEAR {
                continue;
            }
            if !deep(&spot.turned.circles, spot.shift, &other.turned.circles, other.shift) {
                self.grounds[spot.bed].meets(&spot.turned.outline, spot.shift, i, met);
                return;
            }
            met.push(j);
        }
    }

    /// Lays an item elsewhere.
    pub fn lay(&mut self, i: usize, spot: Spot) {
        self.grounds[self.spots[i].bed].lift(i);
        self.spots[i] = spot;
        self.put(i);
        self.look(i);
    }

    /// What an item would cost at a spot: the weighted overlaps, or anything not below `enough`.
    pub fn cost(&mut self, i: usize, spot: &Spot, enough: f64) -> f64 {
        let n = self.spots.len();
        let mut met = core::mem::take(&mut self.met);
        self.find(i, spot, &mut met);
        let mut sum = 0.0;
        for &j in &met {
            sum += self.weights[i * n + j] * self.depth(i, spot, j);
            if sum >= enough {
                break;
            }
        }
        self.met = met;
        sum
    }

    /// Whether an item would lie free at a spot.
    pub fn free(&mut self, i: usize, spot: &Spot) -> bool {
        let mut met = core::mem::take(&mut self.met);
        self.find(i, spot, &mut met);
        let free = met.is_empty();
        self.met = met;
        free
    }

    fn depth(&self, i: usize, spot: &Spot, j: usize) -> f64 {
        let other = &self.spots[j];
        let scale = (self.scales[i] * self.scales[j]).sqrt();
        let lift = 0.01 * self.scales[i].max(self.scales[j]);
        let sum = overlap(&spot.turned.circles, spot.shift, &other.turned.circles, other.shift, lift);
        (sum + lift * lift).sqrt() * scale
    }

    /// Whether an item meets another.
    pub fn meets(&self, i: usize) -> bool {
        let n = self.spots.len();
        self.over[i * n..(i + 1) * n].iter().any(|&o| o > 0.0)
    }

    /// The sum of all overlaps, unweighted.
    pub fn overlaps(&self) -> f64 {
        self.over.iter().sum::<f64>() * 0.5
    }

    /// Guided local search: pairs that overlap grow heavier, the worst fastest; the others are slowly forgotten.
    pub fn weigh(&mut self) {
        let worst = self.over.iter().copied().fold(0.0, f64::max);
        if worst <= 0.0 {
            return;
        }
        for (w, &o) in self.weights.iter_mut().zip(&self.over) {
            *w = if o > 0.0 { *w * (1.2 + 0.8 * o / worst) } else { (*w * 0.95).max(1.0) };
        }
    }

    /// The highest top on a bed.
    pub fn used(&self, bed: usize) -> f64 {
        self.spots.iter().filter(|s| s.bed == bed).map(Spot::top).fold(0.0, f64::max)
    }
}

/// Whether circles of both overlap by so much that the outlines do without a doubt.
fn deep(a: &Circles, at: Vec2, b: &Circles, bt: Vec2) -> bool {
    let away = bt - at;
    a.iter().any(|&(p, r)| {
        let from = away - p;
        b.iter().any(|&(q, s)| {
            let reach = r + s - CLEAR;
            reach > 0.0 && (q + from).length_squared() < reach * reach
        })
    })
}

fn overlap(a: &Circles, at: Vec2, b: &Circles, bt: Vec2, lift: f64) -> f64 {
    let mut sum = 0.0;
    let away = bt - at;
    for &(p, r) in a {
        for &(q, s) in b {
            let deep = r + s - (q + away - p).length();
            let deep = if deep >= lift { deep } else { lift * lift / (2.0 * lift - deep) };
            sum += deep * r.min(s);
        }
    }
    sum * num::PI
}
