//! Laying items closer: from a layout that is legal to one on fewer beds, or with a lower top on the last one.
//!
//! Overlap minimisation by guided local search (Umetani, Yagiura, Imahori, Imamichi, Nonobe and Ibaraki 2009; Elkeran
//! 2013; with the moves of Gardeyn, Vanden Berghe and Wauters 2025, arXiv 2509.13329): the last bed is cut short, what
//! stuck out is thrown in anywhere, and items that overlap are moved, one after the other, to the best of many places
//! tried, while pairs that go on overlapping grow heavier. When nothing overlaps any more, all is pushed down and to the
//! left, and the bed is cut short again.
//!
//! Everything is decided by counting steps (places tried) and by random numbers of a fixed seed: the same items give the
//! same layout on any machine, however long it takes.

use super::alone;
use super::heap::{Heap, Spot};
use super::turned::{Item, Turn, Turns};
use crate::geom::Vec2;
use crate::sheet::Ended;

/// An item where it lies: turned by so much and then moved, it is within `0..room` of its bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place {
    pub bed: usize,
    pub turn: f64,
    pub shift: Vec2,
}

/// A layout and what it is worth: beds used up to the last one, and the top on that.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    pub places: Vec<Place>,
    pub beds: usize,
    pub top: f64,
}

/// How long to go on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Patience {
    /// Places tried in all.
    pub steps: u64,
    /// Attempts in a row, at the least cut, that gain nothing.
    pub failures: u32,
}

/// What is asked of whoever waits, every so often: whether to go on.
pub(super) trait Watch {
    fn go_on(&mut self, steps: u64, best: &Laid) -> bool;
    /// Whether places keep all rules, by other means than the search's.
    fn legal(&self, places: &[Place]) -> bool;
}

/// What came of it.
#[derive(Debug)]
pub(super) struct Found {
    pub best: Laid,
    pub steps: u64,
    pub ended: Ended,
}

/// A top is worth lowering by this much, mm.
const WORTH: f64 = 1.0;
/// Places tried for one move: anywhere, and near where the item lies.
const ANYWHERE: usize = 40;
const NEAR: usize = 20;
/// An attempt ends after so many rounds that did not lessen the overlap, and so many more for each item.
const ROUNDS: usize = 10;
const ROUNDS_EACH: usize = 3;
/// No attempt takes more than this part of all steps.
const ATTEMPTS: u64 = 12;
/// Making a turned outline takes about as long as trying this many places.
const TURNING: u64 = 100;
/// Whoever waits is asked after so many steps.
const ASKED: u64 = 512;

/// Improves on a layout that is legal. None where the engine refuses an item.
pub(super) fn improve(
    items: &[Item],
    rooms: &[Vec2],
    start: Laid,
    gap: f64,
    patience: Patience,
    watch: &mut dyn Watch,
) -> Option<Found> {
    let turns = Turns::new(items, gap)?;
    let mut search = Search {
        least: (0..items.len()).map(|i| least(&turns, i, rooms)).collect(),
        alone: Vec::new(),
        turns,
        gap,
        patience,
        steps: 0,
        asked: 0,
        stopped: false,
        chance: Chance(0x5bd1_e995_9d1b_58a3),
        watch,
    };
    // Nothing is made where there is nothing to gain.
    if search.settled(rooms, &start) {
        return Some(Found { best: start, steps: 0, ended: Ended::Best });
    }
    search.turns.stand_in(gap);
    search.alone = alone::groups(&search.turns, rooms);
    if search.settled(rooms, &start) {
        return Some(Found { best: start, steps: 0, ended: Ended::Best });
    }
    if !search.turns.outline(gap) {
        return None;
    }
    let (best, ended) = search.run(rooms, start);
    Some(Found { best, steps: search.steps, ended })
}

/// The least height of an item in any turn that a room takes.
fn least(turns: &Turns<'_>, item: usize, rooms: &[Vec2]) -> f64 {
    // The plain layout lets in what is a hair too large.
    let hair = Vec2::splat(0.01);
    let fits = |s: Vec2| rooms.iter().any(|r| s.cmple(*r + hair).all());
    let named = turns.sizes(item).map(|s| s.1);
    let freely = turns.items[item].free.then(|| turns.freely(item)).into_iter().flatten();
    named.chain(freely).filter(|s| fits(*s)).map(|s| s.y).fold(f64::INFINITY, f64::min)
}

/// What rounding may cost an item as large as its bed, mm.
pub(super) const SLACK: f64 = 1e-6;

struct Search<'a> {
    turns: Turns<'a>,
    least: Vec<f64>,
    /// Groups of items no two of which lie on one bed.
    alone: Vec<Vec<usize>>,
    gap: f64,
    patience: Patience,
    steps: u64,
    asked: u64,
    stopped: bool,
    chance: Chance,
    watch: &'a mut dyn Watch,
}

impl Search<'_> {
    fn run(&mut self, rooms: &[Vec2], start: Laid) -> (Laid, Ended) {
        let mut best = start;
        // The share of what might be gained that the next cut takes.
        let mut share = 0.2;
        let mut failures = 0;
        let mut drop_bed = true;
        loop {
            if self.stopped {
                return (best, Ended::Stopped);
            } else if self.steps >= self.patience.steps {
                return (best, Ended::Steps);
            } else if failures >= self.patience.failures {
                return (best, Ended::Tried);
            }
            let (fewer, gain) = self.gain(rooms, &best);
            let mut target = rooms[..best.beds].to_vec();
            if fewer && (drop_bed || gain < WORTH || best.top - share * gain < self.lowest()) {
                target.pop();
            } else if gain < WORTH {
                return (best, Ended::Best);
            } else {
                let cut = (share * gain).max(WORTH);
                target[best.beds - 1].y = best.top - cut;
            }
            let found = self.attempt(&best, &target, failures > 0).filter(|l| self.watch.legal(&l.places));
            match found {
                Some(laid) => {
                    drop_bed = laid.beds < best.beds;
                    best = laid;
                    failures = 0;
                    share = (share * 1.5_f64).min(0.4);
                }
                None => {
                    failures += u32::from(target.len() < best.beds || share * gain <= WORTH);
                    drop_bed = false;
                    share *= 0.5;
                }
            }
        }
    }

    /// Whether one bed fewer might do, and by how much the top might be lowered.
    fn gain(&self, rooms: &[Vec2], best: &Laid) -> (bool, f64) {
        let fewer = best.beds > 1 && self.bound(rooms, best.beds - 1) <= rooms[best.beds - 2].y;
        (fewer, best.top - self.bound(rooms, best.beds))
    }

    /// Whether nothing better than a layout is possible.
    fn settled(&self, rooms: &[Vec2], laid: &Laid) -> bool {
        let (fewer, gain) = self.gain(rooms, laid);
        !fewer && gain < WORTH
    }

    /// The least height of any item.
    fn lowest(&self) -> f64 {
        self.least.iter().copied().fold(f64::INFINITY, f64::min)
    }

    /// No layout on the first `beds` beds has a lower top on the last of them: areas grown by half the gap fill rooms
    /// grown by as much, on a single bed the tallest item has to stand, and where as many items as there are beds have to
    /// lie on one each, one of them lies on the last.
    fn bound(&self, rooms: &[Vec2], beds: usize) -> f64 {
        let whole = |r: &Vec2| (r.x + self.gap) * (r.y + self.gap);
        let area: f64 = self.turns.least_areas.iter().sum();
        let others: f64 = rooms[..beds - 1].iter().map(whole).sum();
        let by_area = (area - others) / (rooms[beds - 1].x + self.gap) - self.gap;
        let tallest = if beds == 1 { self.least.iter().copied().fold(0.0, f64::max) } else { 0.0 };
        let one_each = self.alone.iter().filter(|group| group.len() >= beds).map(|group| {
            if group.len() > beds {
                f64::INFINITY
            } else {
                group.iter().map(|&i| self.least[i]).fold(f64::INFINITY, f64::min)
            }
        });
        by_area.max(tallest).max(one_each.fold(0.0, f64::max))
    }

    /// Tries to lay everything in the rooms, beginning from a layout in wider ones.
    fn attempt(&mut self, from: &Laid, rooms: &[Vec2], disturb: bool) -> Option<Laid> {
        // Building the beds takes about as long as trying a place for each item.
        self.steps += from.places.len() as u64;
        let mut spots = Vec::with_capacity(from.places.len());
        for (i, place) in from.places.iter().enumerate() {
            let turn = self.turns.of(i, place.turn)?;
            let turned = self.turns.get(i, turn)?;
            let spot = Spot { bed: place.bed, turn, shift: place.shift, turned };
            let inside = place.bed < rooms.len() && spot.top() <= rooms[place.bed].y + SLACK;
            spots.push(if inside { spot } else { self.anywhere(i, rooms)? });
        }
        if disturb {
            self.disturb(&mut spots, rooms);
        }
        let mut heap = Heap::new(&self.turns, rooms, spots, self.gap)?;
        if !self.separate(&mut heap, from) {
            return None;
        }
        self.settle(&mut heap);
        let places = heap.spots.iter().enumerate().map(|(i, s)| Place {
            bed: s.bed,
            turn: self.turns.angle(i, s.turn),
            // To the thousandth, as the layout is written; outlines are grown by more.
            shift: (s.shift * 1e3).round() / 1e3,
        });
        let mut beds = rooms.len();
        while beds > 1 && heap.spots.iter().all(|s| s.bed + 1 != beds) {
            beds -= 1;
        }
        Some(Laid { places: places.collect(), beds, top: heap.used(beds - 1) })
    }

    /// Two items change places, where they fit, or one is thrown anywhere: a way out of a corner the search is in.
    fn disturb(&mut self, spots: &mut [Spot], rooms: &[Vec2]) {
        let n = spots.len();
        let (i, j) = (self.chance.below(n), self.chance.below(n));
        let middle = |s: &Spot| (s.turned.lo + s.turned.hi) * 0.5 + s.shift;
        let (at_i, at_j) = (middle(&spots[i]), middle(&spots[j]));
        let (bed_i, bed_j) = (spots[i].bed, spots[j].bed);
        for (k, bed, at) in [(i, bed_j, at_j), (j, bed_i, at_i)] {
            let mut spot = spots[k].clone();
            let half = (spot.turned.lo + spot.turned.hi) * 0.5;
            (spot.bed, spot.shift) = (bed, at - half);
            match within(&spot, rooms[bed]) {
                Some(shift) => spots[k] = Spot { shift, ..spot },
                None => {
                    if let Some(spot) = self.anywhere(k, rooms) {
                        spots[k] = spot;
                    }
                }
            }
        }
    }

    /// Moves items until none overlaps. Whether it came to that.
    fn separate(&mut self, heap: &mut Heap, best: &Laid) -> bool {
        let mut least = f64::INFINITY;
        let mut idle = 0;
        let last = self.steps + self.patience.steps / ATTEMPTS;
        let rounds = ROUNDS + ROUNDS_EACH * heap.spots.len();
        while idle < rounds && self.steps < last {
            let mut order: Vec<usize> = (0..heap.spots.len()).filter(|&i| heap.meets(i)).collect();
            if order.is_empty() {
                return true;
            }
            self.chance.shuffle(&mut order);
            for i in order {
                if heap.meets(i) {
                    self.relocate(heap, i);
                }
                if !self.go_on(best) {
                    return false;
                }
            }
            let sum = heap.overlaps();
            idle = if sum < least * 0.98 { 0 } else { idle + 1 };
            least = least.min(sum);
            heap.weigh();
        }
        false
    }

    fn go_on(&mut self, best: &Laid) -> bool {
        if self.steps >= self.asked {
            self.asked = self.steps + ASKED;
            self.stopped |= !self.watch.go_on(self.steps, best);
        }
        !self.stopped && self.steps < self.patience.steps
    }

    /// Lays an item at the best of many places.
    fn relocate(&mut self, heap: &mut Heap, i: usize) {
        let now = heap.spots[i].clone();
        let cost = self.cost(heap, i, &now, f64::INFINITY);
        let mut best: Vec<(f64, Spot)> = vec![(cost, now.clone())];
        for k in 0..ANYWHERE + NEAR {
            let tried = if k < ANYWHERE { self.anywhere(i, &heap.rooms) } else { self.near(i, &now, &heap.rooms) };
            let Some(spot) = tried else { continue };
            let enough = if best.len() < 4 { f64::INFINITY } else { best[3].0 };
            let cost = self.cost(heap, i, &spot, enough);
            if cost < enough {
                best.push((cost, spot));
                best.sort_by(|a, b| a.0.total_cmp(&b.0));
                best.truncate(4);
            }
            if cost <= 0.0 {
                break;
            }
        }
        for (cost, spot) in &mut best {
            self.refine(heap, i, cost, spot, 0.25, 0.02);
        }
        best.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut found, mut spot) = best.swap_remove(0);
        self.refine(heap, i, &mut found, &mut spot, 0.02, 0.0005);
        if found < cost {
            heap.lay(i, spot);
        }
    }

    fn cost(&mut self, heap: &mut Heap, i: usize, spot: &Spot, enough: f64) -> f64 {
        self.steps += 1;
        heap.cost(i, spot, enough)
    }

    /// Descends to lesser cost by steps along the axes, the diagonals and by turning; steps are shares of the item's
    /// lesser side.
    fn refine(&mut self, heap: &mut Heap, i: usize, cost: &mut f64, spot: &mut Spot, from: f64, to: f64) {
        let size = spot.turned.hi - spot.turned.lo;
        let side = size.min_element();
        let mut step = from;
        while step > to && *cost > 0.0 {
            let way = self.chance.below(if self.turns.items[i].free { 5 } else { 4 });
            let better = [1.0, -1.0].into_iter().any(|sign| {
                let far = step * side * sign;
                let moved = match way {
                    0 => Vec2::new(far, 0.0),
                    1 => Vec2::new(0.0, far),
                    2 => Vec2::new(far, far),
                    3 => Vec2::new(far, -far),
                    _ => Vec2::ZERO,
                };
                let mut tried = spot.clone();
                tried.shift += moved;
                if way == 4 {
                    #[expect(clippy::cast_possible_truncation, reason = "a few half degrees")]
                    let halves = ((step * 40.0).ceil() * sign) as i32;
                    let Some(turned) = self.turned_by(i, spot, halves) else { return false };
                    tried = turned;
                }
                let Some(shift) = within(&tried, heap.rooms[tried.bed]) else { return false };
                tried.shift = shift;
                let found = self.cost(heap, i, &tried, *cost);
                let better = found < *cost;
                if better {
                    (*cost, *spot) = (found, tried);
                }
                better
            });
            step *= if better { 1.1 } else { 0.5 };
        }
    }

    /// The same middle, turned by so many half degrees.
    fn turned_by(&mut self, i: usize, spot: &Spot, halves: i32) -> Option<Spot> {
        let turn = self.turns.beside(i, spot.turn, halves);
        let turned = self.made(i, turn)?;
        let shift = spot.shift + (spot.turned.lo + spot.turned.hi - turned.lo - turned.hi) * 0.5;
        Some(Spot { turn, shift, turned, ..spot.clone() })
    }

    fn made(&mut self, i: usize, turn: Turn) -> Option<std::rc::Rc<super::turned::Turned>> {
        if !self.turns.known(i, turn) {
            self.steps += TURNING;
        }
        self.turns.get(i, turn)
    }

    /// Any place on any bed, in any named turn that fits there.
    fn anywhere(&mut self, i: usize, rooms: &[Vec2]) -> Option<Spot> {
        let fits = |s: Vec2, r: &Vec2| s.x <= r.x + SLACK && s.y <= r.y + SLACK;
        let mut ways: Vec<(usize, Turn)> = Vec::new();
        for (bed, room) in rooms.iter().enumerate() {
            ways.extend(self.turns.sizes(i).filter(|s| fits(s.1, room)).map(|s| (bed, s.0)));
        }
        if ways.is_empty() {
            return None;
        }
        let (bed, turn) = ways[self.chance.below(ways.len())];
        let turned = self.made(i, turn)?;
        let free = (rooms[bed] - (turned.hi - turned.lo)).max(Vec2::ZERO);
        let at = Vec2::new(self.chance.share() * free.x, self.chance.share() * free.y);
        Some(Spot { bed, turn, shift: at - turned.lo, turned })
    }

    /// A place near another, mostly in the same turn.
    fn near(&mut self, i: usize, spot: &Spot, rooms: &[Vec2]) -> Option<Spot> {
        let mut tried = spot.clone();
        if self.chance.below(3) == 0 {
            let ways: Vec<Turn> = self.turns.sizes(i).map(|s| s.0).collect();
            let turn = ways[self.chance.below(ways.len())];
            let turned = self.made(i, turn)?;
            tried.shift += (spot.turned.lo + spot.turned.hi - turned.lo - turned.hi) * 0.5;
            (tried.turn, tried.turned) = (turn, turned);
        }
        let size = tried.turned.hi - tried.turned.lo;
        tried.shift += size * Vec2::new(self.chance.share() - 0.5, self.chance.share() - 0.5);
        tried.shift = within(&tried, rooms[tried.bed])?;
        Some(tried)
    }

    /// Pushes everything down and then to the left, the lowest first, in steps from long to short.
    fn settle(&mut self, heap: &mut Heap) {
        for _ in 0..2 {
            let mut order: Vec<usize> = (0..heap.spots.len()).collect();
            order.sort_by(|&a, &b| heap.spots[a].top().total_cmp(&heap.spots[b].top()).then(a.cmp(&b)));
            for i in order {
                for way in [Vec2::new(0.0, -1.0), Vec2::new(-1.0, 0.0)] {
                    let mut step = 256.0;
                    while step > 0.05 {
                        let mut tried = heap.spots[i].clone();
                        tried.shift += way * step;
                        let inside = (tried.turned.lo + tried.shift).min_element() >= 0.0;
                        self.steps += 1;
                        if inside && heap.free(i, &tried) {
                            heap.lay(i, tried);
                        } else {
                            step *= 0.5;
                        }
                    }
                }
            }
        }
    }
}

/// The shift nearest to a spot's that keeps the item within its room.
fn within(spot: &Spot, room: Vec2) -> Option<Vec2> {
    let free = room - (spot.turned.hi - spot.turned.lo);
    (free.min_element() >= -SLACK).then(|| {
        let at = spot.shift + spot.turned.lo;
        at.clamp(Vec2::ZERO, free.max(Vec2::ZERO)) - spot.turned.lo
    })
}

/// Random numbers of a fixed seed (splitmix64: Steele, Lea and Flood 2014).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % n.max(1) as u64).unwrap_or(0)
    }

    /// In `0..1`.
    fn share(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
        let bits = (self.next() >> 11) as f64;
        bits / 9_007_199_254_740_992.0
    }

    fn shuffle(&mut self, items: &mut [usize]) {
        for k in (1..items.len()).rev() {
            items.swap(k, self.below(k + 1));
        }
    }
}
