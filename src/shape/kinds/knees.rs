//! A stretch of lace from rim to rim of a wall that bends at stations between them: straight on each ring's flat, from
//! ring to ring where the whole way is shortest.
//!
//! Two rings meet along a station in one line of space, which each of them has on its own flat, equally long. So a
//! stretch is told by how far along each station it passes, as shares of the way round, and on every ring it is the line
//! between two such points. On a closed wall the shares go on past the seam: the flat is laid on once more there.

use super::super::laid::{Laid, on_flat};
use super::lace::{At, PARTS, Placed};
use crate::geom::{Vec2, Vec3};
use crate::solid::Seam;

/// How many parts of a leg the rims are looked at in: their chords stand off by less than a ten-thousandth of a
/// millimetre on any wall that is worn.
const FINE: u32 = 768;
/// How far two rings' lines along their station may differ in length, as a share.
const SAME: f64 = 1e-6;
/// How far beyond its ends a stretch may swing out on its way, as a share of the way round.
const SWING: f64 = 0.125;
/// How often all stations are gone through at most, and how little a change is none, as a share: near its least a length
/// changes by the square of that.
const SWEEPS: u32 = 200;
const STILL: f64 = 1e-7;

/// The rings between two rows on one face.
pub(super) struct Knees {
    depth: f64,
    closed: bool,
    /// From the first row's ring to the second's.
    rings: Vec<Chart>,
    /// The holes of both rows, and their feet on the edge.
    holes: [Vec<Start>; 2],
}

/// One ring on its flat.
struct Chart {
    ring: usize,
    /// The lines along its lower and upper rim.
    low: Chain,
    up: Chain,
    /// How the flat lies when it is laid on once more beyond the seam's end: the seam's frame at its start and its end.
    frames: [(Vec2, Vec2, Vec2); 2],
}

/// A line with its lengths.
struct Chain {
    points: Vec<Vec2>,
    along: Vec<f64>,
}

/// Where a stretch begins or ends on its ring.
#[derive(Clone, Copy)]
struct Start {
    /// Its share of the way round.
    share: f64,
    hole: Vec2,
    edge: Vec2,
}

impl Chain {
    fn new(points: Vec<Vec2>) -> Self {
        let mut along = vec![0.0];
        for w in points.windows(2) {
            along.push(along[along.len() - 1] + w[0].distance(w[1]));
        }
        Self { points, along }
    }

    fn long(&self) -> f64 {
        self.along[self.along.len() - 1]
    }

    /// The point at a share from nought to one.
    fn at(&self, share: f64) -> Vec2 {
        let s = share * self.long();
        let i = self.along.partition_point(|x| *x < s).clamp(1, self.points.len() - 1);
        let step = self.along[i] - self.along[i - 1];
        let part = if step > 0.0 { (s - self.along[i - 1]) / step } else { 0.0 };
        self.points[i - 1].lerp(self.points[i], part)
    }
}

impl Chart {
    fn new(laid: &Laid<'_>, ring: usize) -> Option<Self> {
        let frame = |end: bool| {
            let at = laid.laid_from_seam(Vec2::ZERO, end);
            (at, laid.laid_from_seam(Vec2::X, end) - at, laid.laid_from_seam(Vec2::Y, end) - at)
        };
        let [low, up] = [false, true].map(|upper| Chain::new(laid.rim_chain(upper, FINE)));
        (low.points.len() > 1 && up.points.len() > 1).then(|| Self {
            ring,
            low,
            up,
            frames: [frame(false), frame(true)],
        })
    }

    /// A point of the flat so many turns farther round.
    fn carried(&self, p: Vec2, turns: f64) -> Vec2 {
        let (from, to) = if turns > 0.0 { (self.frames[0], self.frames[1]) } else { (self.frames[1], self.frames[0]) };
        let (mut p, mut left) = (p, turns.abs());
        while left > 0.5 {
            let q = p - from.0;
            p = to.0 + to.1 * q.dot(from.1) + to.2 * q.dot(from.2);
            left -= 1.0;
        }
        p
    }

    fn on_rim(&self, upper: bool, share: f64) -> Vec2 {
        let turns = share.floor();
        self.carried(if upper { &self.up } else { &self.low }.at(share - turns), turns)
    }
}

impl Knees {
    /// `None` where two rings do not meet along one line.
    pub(super) fn new(one: &Placed<'_>, other: &Placed<'_>, face: usize) -> Option<Self> {
        let depth = one.faces[face].depth;
        let layer = one.part.layers.first()?;
        let [first, last] = [one, other].map(|p| p.row.holes.first().map_or(0, |h| h.spot.ring));
        let order: Vec<usize> = if first < last { (first..=last).collect() } else { (last..=first).rev().collect() };
        let mut holes = [Vec::new(), Vec::new()];
        let mut rings = Vec::with_capacity(order.len());
        for &ring in &order {
            rings.push(on_flat(one.wall, ring, layer, depth, |laid| {
                for (own, placed) in holes.iter_mut().zip([one, other]) {
                    for h in placed.row.holes.iter().filter(|h| h.spot.ring == ring) {
                        let share = h.ring_along / (h.ring_along + h.ring_beyond);
                        own.push(Start { share, hole: laid.point(&h.spot)?, edge: laid.point(&h.edge)? });
                    }
                }
                Chart::new(laid, ring)
            })?);
        }
        let up = first < last;
        let meet = rings.windows(2).all(|w| {
            let (a, b) = if up { (&w[0].up, &w[1].low) } else { (&w[0].low, &w[1].up) };
            (a.long() - b.long()).abs() <= SAME * a.long().max(b.long())
        });
        let closed = !matches!(one.wall.seam, Seam::Open(_));
        let counted = holes[0].len() == one.row.holes.len() && holes[1].len() == other.row.holes.len();
        (meet && counted).then_some(Self { depth, closed, rings, holes })
    }

    /// A stretch from a hole (or the edge beside it) of one row to a hole of the other: its length, and points on its way.
    pub(super) fn leg(&self, placed: &Placed<'_>, from: At, over_edge: bool, to: At) -> (f64, Vec<Vec3>) {
        let (start, end) = (self.holes[from.0][from.1], self.holes[to.0][to.1]);
        // From the first row's ring up the list of rings, or back.
        let forth = from.0 == 0;
        let rings: Vec<&Chart> = if forth { self.rings.iter().collect() } else { self.rings.iter().rev().collect() };
        let turns = if self.closed { (start.share - end.share).round() } else { 0.0 };
        let goal = end.share + turns;
        let begin = if over_edge { start.edge } else { start.hole };
        let finish = rings[rings.len() - 1].carried(end.hole, turns);
        let stations = rings.len() - 1;
        // Which rim of a ring leads on to the next of the list.
        let leads_up = rings[0].ring < rings[stations].ring;
        // On ring `k` from the station before it to the one after it.
        let ends = |shares: &[f64], k: usize| {
            let a = if k == 0 { begin } else { rings[k].on_rim(!leads_up, shares[k - 1]) };
            let b = if k == stations { finish } else { rings[k].on_rim(leads_up, shares[k]) };
            (a, b)
        };
        let long = |shares: &[f64], k: usize| {
            let (a, b) = ends(shares, k);
            a.distance(b)
        };
        let mut shares: Vec<f64> =
            (1..=stations).map(|k| start.share + (goal - start.share) * k as f64 / (stations + 1) as f64).collect();
        let (mut low, mut high) = (start.share.min(goal) - SWING, start.share.max(goal) + SWING);
        if !self.closed {
            (low, high) = (low.max(0.0), high.min(1.0));
        }
        for _ in 0..SWEEPS {
            let mut moved = 0.0f64;
            for k in 0..stations {
                let before = shares[k];
                let mut at = |share: f64| {
                    shares[k] = share;
                    long(&shares, k) + long(&shares, k + 1)
                };
                let best = least(low, high, &mut at);
                shares[k] = best;
                moved = moved.max((best - before).abs());
            }
            // One station is settled at once.
            if stations == 1 || moved < STILL {
                break;
            }
        }
        let whole = (0..=stations).map(|k| long(&shares, k)).sum();
        let mut line = Vec::new();
        for (k, chart) in rings.iter().enumerate() {
            let (a, b) = ends(&shares, k);
            line.extend(self.drawn(placed, chart, (a, b)));
        }
        (whole, line)
    }

    /// Points of a line on a ring's flat, in the prop.
    fn drawn(&self, placed: &Placed<'_>, chart: &Chart, (a, b): (Vec2, Vec2)) -> Vec<Vec3> {
        let Some(layer) = placed.part.layers.first() else { return Vec::new() };
        on_flat(placed.wall, chart.ring, layer, self.depth, |laid| {
            let points = (0..=PARTS).map(|i| a.lerp(b, f64::from(i) / f64::from(PARTS)));
            let spots = points.filter_map(|p| {
                let back = |turns: f64| laid.spot(chart.carried(p, turns), turns > 0.0);
                laid.spot(p, false).or_else(|| laid.spot(p, true)).or_else(|| back(-1.0)).or_else(|| back(1.0))
            });
            spots.map(|s| placed.part.place.apply(s.point(self.depth))).collect()
        })
    }
}

/// Where a function that falls and then rises is least, by the golden section.
fn least(mut low: f64, mut high: f64, at: &mut dyn FnMut(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut fa, mut fb) = (at(a), at(b));
    while high - low > 1e-12 {
        if fa < fb {
            (high, b, fb) = (b, a, fa);
            a = high - GOLDEN * (high - low);
            fa = at(a);
        } else {
            (low, a, fa) = (a, b, fb);
            b = low + GOLDEN * (high - low);
            fb = at(b);
        }
        if a >= b {
            break;
        }
    }
    0.5 * (low + high)
}
