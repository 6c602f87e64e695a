//! Items in the turns they may take, each made once, when it is first tried.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::circles::{self, Circles};
use super::engine::Outline;
use crate::geom::grow;
use crate::geom::path::{Motion, Path};
use crate::geom::{Vec2, rect, unit};
use crate::num;

/// What is to be laid: a ring, and how it may be turned.
#[derive(Debug)]
pub(super) struct Item {
    /// Counter-clockwise.
    pub ring: Path,
    /// Turns by name, radians.
    pub turns: Vec<f64>,
    /// Whether every multiple of half a degree is allowed as well.
    pub free: bool,
}

/// A turn: the index of a named one, or [`NAMED`] and half degrees.
pub(super) type Turn = u32;
const NAMED: Turn = 10_000;
const HALF_DEGREES: Turn = 720;

/// How far off an outline a line may be drawn to give it fewer corners, mm: it is grown by as much before.
const PLAINER: f64 = 0.1;

/// An item in one turn.
#[derive(Debug)]
pub(super) struct Turned {
    /// Bounds of the turned ring.
    pub lo: Vec2,
    pub hi: Vec2,
    /// The ring grown by half the gap, and its bounds.
    pub outline: Outline,
    pub far: (Vec2, Vec2),
    pub circles: Circles,
}

/// All turns of all items.
#[derive(Debug)]
pub(super) struct Turns<'a> {
    pub items: &'a [Item],
    grown: Vec<Vec<Vec2>>,
    pub circles: Vec<Circles>,
    /// Area of the grown outline's hull, mm².
    pub hulls: Vec<f64>,
    /// No ring grown by half the gap has a lesser area than this (Brunn and Minkowski), mm².
    pub least_areas: Vec<f64>,
    /// Bounds of each named turn.
    pub named: Vec<Vec<(Vec2, Vec2)>>,
    made: BTreeMap<(usize, Turn), Option<Rc<Turned>>>,
}

impl<'a> Turns<'a> {
    /// None where a ring has no bounds.
    pub fn new(items: &'a [Item], gap: f64) -> Option<Self> {
        let mut all = Self {
            items,
            grown: Vec::new(),
            circles: Vec::new(),
            hulls: Vec::new(),
            least_areas: Vec::new(),
            named: Vec::new(),
            made: BTreeMap::new(),
        };
        for item in items {
            all.least_areas.push(grow::least_area(&item.ring, 0.5 * gap));
            all.named.push(item.turns.iter().map(|&a| bounds(&item.ring, a)).collect::<Option<_>>()?);
        }
        Some(all)
    }

    /// What stands for the items where they are laid over each other.
    pub fn stand_in(&mut self, gap: f64) {
        for item in self.items {
            let points = grow::grown(&item.ring, 0.5 * gap);
            self.circles.push(circles::within(&points, &item.ring, 0.5 * gap));
            self.grown.push(points);
        }
    }

    /// Outlines that the engine takes, with few corners where it takes that. False where it refuses an item even without
    /// its bays.
    pub fn outline(&mut self, gap: f64) -> bool {
        for (item, grown) in self.items.iter().zip(&mut self.grown) {
            let few = circles::plainer(&grow::grown(&item.ring, 0.5 * gap + PLAINER), PLAINER);
            let taken = |points: &[Vec2]| Outline::new(points).is_some();
            if taken(&few) {
                *grown = few;
            } else if !taken(grown) {
                *grown = grow::hulled(&item.ring, 0.5 * gap);
                if !taken(grown) {
                    return false;
                }
            }
            self.hulls.push(Path::polygon(&rect::hull(grown)).area());
        }
        true
    }

    pub fn angle(&self, item: usize, turn: Turn) -> f64 {
        match self.items[item].turns.get(turn as usize) {
            Some(&angle) => angle,
            None => f64::from(turn - NAMED) * num::PI / f64::from(HALF_DEGREES / 2),
        }
    }

    /// The turn that has an angle; none where no turn is within rounding of it.
    pub fn of(&self, item: usize, angle: f64) -> Option<Turn> {
        let named = (0..).zip(&self.items[item].turns);
        let all = named.map(|(t, _)| t).chain(NAMED..NAMED + HALF_DEGREES);
        all.take(self.items[item].turns.len() + HALF_DEGREES as usize)
            .find(|&t| (self.angle(item, t) - angle).abs() < 1e-12)
    }

    /// Extents of an item in its named turns.
    pub fn sizes(&self, item: usize) -> impl Iterator<Item = (Turn, Vec2)> {
        (0..).zip(self.named[item].iter().map(|(lo, hi)| *hi - *lo))
    }

    /// Extents of an item in every half degree: never more than they are, and less by no more than the chords for its arcs.
    pub fn freely(&self, item: usize) -> impl Iterator<Item = Vec2> {
        let hull = rect::hull(&self.items[item].ring.flattened(1e-3));
        let turns = if hull.is_empty() { 0 } else { HALF_DEGREES };
        (0..turns).map(move |k| {
            let (x, y) = (unit(-self.angle(item, NAMED + k)), unit(num::FRAC_PI_2 - self.angle(item, NAMED + k)));
            let mut far = [f64::NEG_INFINITY; 4];
            for p in &hull {
                let (across, up) = (p.dot(x), p.dot(y));
                far = [far[0].max(across), far[1].max(-across), far[2].max(up), far[3].max(-up)];
            }
            Vec2::new(far[0] + far[1], far[2] + far[3])
        })
    }

    /// Whether an item was made in this turn.
    pub fn known(&self, item: usize, turn: Turn) -> bool {
        self.made.contains_key(&(item, turn))
    }

    /// The turn some half degrees from another; the same where items may not be turned freely.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "half degrees within one turn")]
    pub fn beside(&self, item: usize, turn: Turn, halves: i32) -> Turn {
        if !self.items[item].free {
            return turn;
        }
        let half = num::PI / f64::from(HALF_DEGREES / 2);
        let at = (self.angle(item, turn) / half).round() + f64::from(halves);
        NAMED + num::wrap(at, f64::from(HALF_DEGREES)).round() as Turn % HALF_DEGREES
    }

    /// An item in a turn; none where the engine refuses it so.
    pub fn get(&mut self, item: usize, turn: Turn) -> Option<Rc<Turned>> {
        if let Some(found) = self.made.get(&(item, turn)) {
            return found.clone();
        }
        let angle = self.angle(item, turn);
        let made = self.make(item, angle).map(Rc::new);
        self.made.insert((item, turn), made.clone());
        made
    }

    fn make(&self, item: usize, angle: f64) -> Option<Turned> {
        let motion = Motion { mirror: false, turn: angle, shift: Vec2::ZERO };
        let (lo, hi) = bounds(&self.items[item].ring, angle)?;
        let points: Vec<Vec2> = self.grown[item].iter().map(|&p| motion.apply(p)).collect();
        let circles = self.circles[item].iter().map(|&(c, r)| (motion.apply(c), r)).collect();
        let far = (points.iter().copied().reduce(Vec2::min)?, points.iter().copied().reduce(Vec2::max)?);
        Some(Turned { lo, hi, outline: Outline::new(&points)?, far, circles })
    }
}

fn bounds(ring: &Path, angle: f64) -> Option<(Vec2, Vec2)> {
    ring.moved(&Motion { mirror: false, turn: angle, shift: Vec2::ZERO }).bounds()
}
