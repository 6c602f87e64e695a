//! Turns: what is folded over an edge, how far what it lies on is shorter or longer than the sheet is there, and the
//! cuts that make up for it.
//!
//! Along a fold a turn of one width is laid out flat beyond the edge: at the distance `x` it is as long as the edge's
//! parallel there. Folded, it lies on a curve whose length is another one: turned in over a round rim, that of a smaller
//! girth (on a tube of thickness `t` by `2πt`). Between two cuts a tab has the difference of both, at every distance. A
//! cut is a V; each of its sides carries away half of what the tab beside it has too much at the free edge, so that the
//! two differ where one tab lies on a straight side and the other round a bend. Where a tab has too little it is slit.
//! There are as few cuts, evenly by what there is to make up, as leave no tab more than [`KEPT`] at any distance: measured
//! between the sides of its cuts as they are drawn, which are straight where the parallels between them bend.
//!
//! Tabs that are turned out on what a wall stands on spread: where they have too little, slits between them open, and take
//! nothing. There are so many that the fold, straight across each tab, keeps to its curve (`spread`).

mod beyond;
mod relief;
mod spread;

use crate::flat::{Edge, Turn};
use crate::geom::rim::{Cut, Rim, spans};
use crate::geom::strip::Strip;
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Leg, Place, Walk};
use crate::geom::{Vec2, Vec3, left_of};
use crate::num::{self, FRAC_PI_2, PI};
use crate::solid::{self, EdgeName, Onto};

/// What a tab may keep, mm (common practice, no source: cloth takes up as much).
const KEPT: f64 = 1.0;
/// What is planned for, so that neither rounding nor places between those looked at pass it.
const PLANNED: f64 = 0.95 * KEPT;
/// A cut begins this far from the fold, so that it does not show at the edge (common practice, no source); of a narrow
/// turn at a quarter of its width.
const FROM: f64 = 2.0;
/// A V narrower than this at its mouth is a slit, mm.
const NARROW: f64 = 0.3;
/// The least free edge of a tab, mm.
const LEAST: f64 = 1.0;
/// Distances from the fold at which a turn is looked at.
const LOOKS: usize = 48;
/// Places on each quarter of a turn of an edge at which it is looked at, and on a leg that hardly turns.
const PLACES: f64 = 64.0;
const FEWEST: f64 = 24.0;
/// So much of a hollow edge's parallel may run back: at a corner of a few hundredths of a radian the free edge meets itself
/// a little earlier, mm.
const BACK: f64 = 0.5;
/// A line that moves slower than this by the share of a leg stands still, mm.
const STILL: f64 = 1e-6;
/// Places nearer to each other than this are one, mm.
const STANDS: f64 = 1e-6;
/// A fold that turns by more than this in one place, radians, has a corner there; a cut stands so far from it, mm, that it
/// stands on one side of it however the fold is drawn.
const TURNS: f64 = 0.01;
const BESIDE: f64 = 0.1;
/// The most tabs of one edge.
const MOST: usize = 600;

pub(super) use beyond::of_joint;
use relief::{Ends, relief};
use spread::{Spread, spreads};

/// A turn that cannot be made: there is no tab left of it at this width.
#[derive(Clone, Copy, Debug)]
pub(super) struct NoTab;

/// The widest turn that can be made, in whole millimetres, where `wide` cannot.
pub(super) fn fits(wide: f64, make: impl Fn(f64) -> Result<Turn, NoTab>) -> f64 {
    let (mut low, mut high) = (0.0, wide.ceil());
    while high - low > 1.0 {
        let middle = (0.5 * (low + high)).floor();
        if make(middle).is_ok() { low = middle } else { high = middle }
    }
    low
}

/// One place along a fold.
struct Spot {
    /// Where it is on the flat, and outward from the panel there.
    fold: Vec2,
    out: Vec2,
    /// What it lies on first: straight from one point of space to another, this far.
    ends: [Vec3; 2],
    over: f64,
    /// Then the face it is folded onto, unrolled as well: on that flat the turn goes on square to the edge, since what lies
    /// smoothly on a rolled face runs as straight on it as on the flat.
    back: Vec2,
    inward: Vec2,
}

impl Spot {
    /// How far two places are apart on what the turn lies on at the distance `x`, against the fold's sense negative: it may
    /// run back, as across the end of a corner rounded less than the turn is wide.
    ///
    /// Where the edge on that face stands still it goes on as its direction turns: `onward` is that direction.
    fn apart(&self, next: &Self, x: f64, onward: Vec2) -> f64 {
        let sense = |way: f64| if way < 0.0 { -1.0 } else { 1.0 };
        if x < self.over.max(next.over) {
            let at = |s: &Self| s.ends[0] + (s.ends[1] - s.ends[0]) * (x / s.over.max(1e-12)).min(1.0);
            let chord = at(next) - at(self);
            return chord.length() * sense(chord.dot(next.ends[0] - self.ends[0]));
        }
        let at = |s: &Self| s.back + s.inward * (x - s.over);
        let chord = at(next) - at(self);
        let along = next.back - self.back;
        let along = if along.length() > STANDS { along } else { onward };
        chord.length() * sense(chord.dot(along))
    }

    /// Whether the fold turns at once from this place to the next.
    fn turns(&self, next: &Self) -> bool {
        (next.fold - self.fold).length() < STANDS && (next.out - self.out).length() > TURNS
    }
}

/// Which way an edge goes on on the face it lies on, place by place: where it stands still, at a right angle to the way
/// inward, to the hand on which that lies elsewhere.
fn onward(spots: &[Spot]) -> Vec<Vec2> {
    let hand = |pair: &[Spot]| (pair[1].back - pair[0].back).perp_dot(pair[0].inward + pair[1].inward);
    let most = spots.windows(2).map(hand).fold(0.0, |most: f64, h| if h.abs() > most.abs() { h } else { most });
    let square = |inward: Vec2| if most < 0.0 { left_of(inward) } else { -left_of(inward) };
    spots.windows(2).map(|pair| square(pair[0].inward + pair[1].inward)).collect()
}

/// Along a fold, at each distance, from its start to each place.
struct Lengths<'a> {
    spots: &'a [Spot],
    /// Along the fold itself.
    fold: Vec<f64>,
    /// The sheet's, by distance.
    flat: Vec<Vec<f64>>,
    /// The sheet's less what it lies on, by distance.
    over: Vec<Vec<f64>>,
}

impl Lengths<'_> {
    /// A point of the flat at a place between two spots, at the distance `x`.
    fn point(&self, p: f64, x: f64) -> Vec2 {
        let i = (p.floor().max(0.0) as usize).min(self.spots.len() - 1);
        let at = |s: &Spot| s.fold + s.out * x;
        let (a, b) = (at(&self.spots[i]), at(&self.spots[(i + 1).min(self.spots.len() - 1)]));
        a + (b - a) * (p - i as f64)
    }

    /// The place at which the sheet's free edge is `way` long from the place `from` on: onward, or back where it is negative.
    fn along_free(&self, from: f64, way: f64) -> f64 {
        let Some(free) = self.flat.last() else { return from };
        let end = (free.len() - 1) as f64;
        let aim = at(free, from) + way;
        let (mut p, onward) = (from, way > 0.0);
        loop {
            let next = if onward { (p.floor() + 1.0).min(end) } else { (p.ceil() - 1.0).max(0.0) };
            let (here, there) = (at(free, p), at(free, next));
            if next == p || (there >= aim) == onward {
                let step = there - here;
                return if step == 0.0 { next } else { p + (next - p) * ((aim - here) / step).clamp(0.0, 1.0) };
            }
            p = next;
        }
    }

    /// The side of a cut that begins at the place `root`, `from` out, and ends on the free edge `half` onward of it, or back:
    /// a straight line, and the place at which each parallel meets it.
    fn side(&self, root: f64, half: f64, from: f64, outs: &[f64]) -> Vec<f64> {
        if half == 0.0 {
            return vec![root; outs.len()];
        }
        let mouth = self.along_free(root, half);
        let apex = self.point(root, from);
        let way = self.point(mouth, outs[outs.len() - 1]) - apex;
        let onward = half > 0.0;
        let mut last = root;
        let meets = |x: f64| {
            if x <= from {
                return root;
            }
            // From place to place a parallel is straight, so it meets the side where one of its chords does.
            let off = |p: f64| way.perp_dot(self.point(p, x) - apex);
            let beyond = off(mouth) >= 0.0;
            let mut here = off(last);
            while (here >= 0.0) != beyond && last != mouth {
                let next = if onward { (last.floor() + 1.0).min(mouth) } else { (last.ceil() - 1.0).max(mouth) };
                let there = off(next);
                if (there >= 0.0) == beyond {
                    last += (next - last) * (here / (here - there)).clamp(0.0, 1.0);
                    break;
                }
                (last, here) = (next, there);
            }
            last
        };
        outs.iter().copied().map(meets).collect()
    }
}

/// The distances at which a turn is looked at: evenly, where its cuts begin, and where what it lies on changes.
fn distances(wide: f64, spots: &[Spot], spreads: bool) -> Vec<f64> {
    let over = |most: fn(f64, f64) -> f64, from: f64| spots.iter().map(|s| s.over).fold(from, most);
    let own = [begins(wide, spreads), over(f64::min, f64::INFINITY), over(f64::max, 0.0)];
    let mut all: Vec<f64> = (0..=LOOKS).map(|i| wide * i as f64 / LOOKS as f64).collect();
    all.extend(own.into_iter().filter(|x| *x > 0.0 && *x < wide));
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

/// The lengths along the spots; `None` where the parallel of a hollow edge runs back.
fn lengths<'a>(spots: &'a [Spot], outs: &[f64]) -> Option<Lengths<'a>> {
    if spots.len() < 2 {
        return None;
    }
    let from_start = || {
        let mut list = Vec::with_capacity(spots.len());
        list.push(0.0);
        list
    };
    let each = || outs.iter().map(|_| from_start()).collect();
    let mut all = Lengths { spots, fold: from_start(), flat: each(), over: each() };
    let mut sums = vec![(0.0, 0.0); outs.len()];
    let mut back = vec![0.0; outs.len()];
    let mut fold = 0.0;
    let onward = onward(spots);
    for (pair, onward) in spots.windows(2).zip(onward) {
        let (a, b) = (&pair[0], &pair[1]);
        let along = b.fold - a.fold;
        // Outward is to the right.
        let along = if along.length() > STANDS { along } else { left_of(a.out + b.out) };
        fold += (b.fold - a.fold).length();
        all.fold.push(fold);
        for (j, &x) in outs.iter().enumerate() {
            let chord = (b.fold + b.out * x) - (a.fold + a.out * x);
            let flat = chord.length() * if chord.dot(along) < 0.0 { -1.0 } else { 1.0 };
            back[j] -= flat.min(0.0);
            if back[j] > BACK {
                return None;
            }
            sums[j].0 += flat;
            sums[j].1 += a.apart(b, x, onward);
            all.flat[j].push(sums[j].0);
            all.over[j].push(sums[j].0 - sums[j].1);
        }
    }
    Some(all)
}

/// A list's value at a place between two of its items.
fn at(list: &[f64], p: f64) -> f64 {
    let i = (p.floor().max(0.0) as usize).min(list.len() - 1);
    let j = (i + 1).min(list.len() - 1);
    list[i] + (list[j] - list[i]) * (p - i as f64)
}

/// The first place at which a list that grows has a value, within its ends.
fn place_at(list: &[f64], value: f64) -> f64 {
    let i = list.partition_point(|s| *s < value).clamp(1, list.len() - 1);
    let step = list[i] - list[i - 1];
    let share = if step > 0.0 { ((value - list[i - 1]) / step).clamp(0.0, 1.0) } else { 0.0 };
    (i - 1) as f64 + share
}

/// How far from the fold the cuts of a turn begin.
fn begins(wide: f64, spreads: bool) -> f64 {
    (if spreads { spread::FROM } else { FROM }).min(0.25 * wide)
}

/// The side of a cut at an end.
fn half_cut(half: f64, wide: f64, spreads: bool) -> Vec<Vec2> {
    let from = begins(wide, spreads);
    if half == 0.0 {
        return vec![Vec2::new(0.0, wide)];
    }
    vec![Vec2::new(0.0, from), Vec2::new(half, wide)]
}

/// The places along an edge, dense enough for its lengths.
fn places(walk: &Walk, from: Place, to: Place) -> Vec<Place> {
    let mut out = Vec::new();
    for (leg, t0, t1) in spans(from, to) {
        let n = match walk.legs()[leg] {
            Leg::Side { .. } => 16,
            Leg::Turn { from, to, .. } => {
                ((to - from) / FRAC_PI_2 * PLACES).abs().clamp(FEWEST, PLACES).ceil() as usize
            }
        };
        // Where two legs meet there are two places: the edge may have a corner there.
        out.extend((0..=n).map(|i| Place { leg, t: t0 + (t1 - t0) * i as f64 / n as f64 }));
    }
    out
}

/// The turn over a wall's rim between two places. Of one that goes on along the next ring's wall, `own` is this ring's
/// strip at the rim and `next` that one's.
pub(super) fn of_rim(
    asked: &solid::Turn,
    (own, next): (&Strip, Option<&Strip>),
    (rim, cut): (&Rim, &Cut),
    (from, to): (Place, Place),
    middle: f64,
    sides_meet: bool,
) -> Result<Turn, NoTab> {
    let upper = asked.at.edge == EdgeName::Upper;
    let walk = rim.flat().walk();
    let back = match asked.onto {
        Onto::Back { near, far } => far - (middle - near),
        Onto::Next { far, .. } => far,
        _ => middle,
    };
    let beyond = next.map(Walk::new);
    let other_walk = beyond.as_ref().unwrap_or(walk);
    let station = if upper { own.heights().1 } else { own.heights().0 };
    let mitre = Cut::Mitre(station, own.clone());
    let other = Unrolled::new(other_walk, back);
    let other = Rim::new(&other, if next.is_some() { &mitre } else { cut });
    // Both rings have the station's section, and begin at the seam's rule.
    let there = |place: Place| match next {
        Some(_) => other_walk.at_length(walk.length(place, station, 0.0), station, 0.0),
        None => place,
    };
    let spots: Vec<Spot> = places(walk, from, to)
        .into_iter()
        // Where many rules meet in one place of the rim it has no direction; those before and after have it.
        .filter(|place| rim.point(*place, middle).1.length() > STILL)
        .map(|place| {
            let on = |rim: &Rim, d: f64| {
                let (p, velocity) = rim.point(place, d);
                (p, left_of(velocity.normalize_or_zero()))
            };
            let rule = walk.rule(place);
            let (fold, left) = on(rim, middle);
            let out = if upper { left } else { -left };
            let ends = [middle, back].map(|d| rule.point(rim.height(place, d).0, d));
            let over = (back - middle).abs() / num::cos(rim.lean(place));
            match asked.onto {
                Onto::Back { .. } => {
                    let (back, left) = on(&other, back);
                    return Spot { fold, out, ends, over, back, inward: if upper { -left } else { left } };
                }
                Onto::Next { .. } => {
                    let there = there(place);
                    let (p, velocity) = other.point(there, back);
                    let left = left_of(velocity.normalize_or_zero());
                    let corner = other_walk.rule(there).point(other.height(there, back).0, back);
                    let ends = [ends[0], corner];
                    // Above this ring's upper rim begins the next one's lower rim.
                    let inward = if upper { left } else { -left };
                    return Spot { fold, out, ends, over: (corner - ends[0]).length(), back: p, inward };
                }
                _ => {}
            }
            // In the plane of the station.
            let inward = if spreads(asked.onto) { rule.facing } else { -rule.facing };
            Spot { fold, out, ends, over: 0.0, back: ends[0].truncate(), inward }
        })
        .collect();
    along_rim(asked, spots, sides_meet)
}

/// The turn over a rim whose places are known, in the order of the walk.
fn along_rim(asked: &solid::Turn, mut spots: Vec<Spot>, sides_meet: bool) -> Result<Turn, NoTab> {
    if asked.at.edge == EdgeName::Upper {
        spots.reverse();
    }
    let spread = spreads(asked.onto).then(|| Spread(&spots));
    let outs = distances(asked.wide, &spots, spread.is_some());
    let all = lengths(&spots, &outs).ok_or(NoTab)?;
    let ends = if sides_meet { Ends::Seam } else { Ends::Side };
    let (cuts, mouths) = match asked.relief {
        true => relief(&all, &outs, asked.wide, ends, spread.as_ref())?,
        false => (Vec::new(), [0.0; 2]),
    };
    let ends = mouths.map(|half| half_cut(half, asked.wide, spread.is_some()));
    Ok(Turn { wide: asked.wide, cuts, ends, onto: said(asked.onto), glued: asked.glued })
}

/// A corner of an open wall at which the rim is turned over as well: the angle within the panel, and how wide the rim's
/// turn is.
pub(super) type Corner = Option<(f64, f64)>;

/// The turn over a straight side of an open wall: what it lies on is as long as itself. At the corners it stops where the
/// rims' turns lie.
pub(super) fn of_side(asked: &solid::Turn, edge: &Edge, middle: f64, corners: [Corner; 2]) -> Result<Turn, NoTab> {
    let over = over(asked.onto, middle);
    let ends = corners.map(|c| match c {
        Some((angle, rim)) => set_back(angle, over, rim, asked.wide),
        None => half_cut(0.0, asked.wide, false),
    });
    if ends.iter().filter_map(|e| e.last()).map(|p| p.x).sum::<f64>() > edge.middle.length() - LEAST {
        return Err(NoTab);
    }
    Ok(Turn { wide: asked.wide, cuts: Vec::new(), ends, onto: said(asked.onto), glued: asked.glued })
}

/// The turn over a plate's edge, whose middle line `curve` gives by place, counter-clockwise on the flat when `up`. It lies
/// on the wall's surface at `depth`, its middle `off` from it (outward), from the height `z` on.
pub(super) fn of_plate(
    asked: &solid::Turn,
    walk: &Walk,
    curve: &dyn Fn(Place) -> (Vec2, Vec2),
    (z, depth, off): (f64, f64, f64),
    up: bool,
) -> Result<Turn, NoTab> {
    let (start, end) = walk.ends();
    // The side, unrolled where the sheet's middle lies on it.
    let level = Cut::Level(z);
    let side = Unrolled::new(walk, depth + off);
    let side = Rim::new(&side, &level);
    let mut spots: Vec<Spot> = places(walk, start, end)
        .into_iter()
        .filter(|place| curve(*place).1.length() > STILL)
        .map(|place| {
            let (fold, velocity) = curve(place);
            let left = left_of(velocity.normalize_or_zero());
            let rule = walk.rule(place);
            let tau = left_of(side.flat().at(place).tau);
            // Down from a plate that shows up is back from an upper rim.
            Spot {
                fold,
                out: if up { -left } else { left },
                ends: [depth, depth + off].map(|d| rule.point(z, d)),
                over: off.abs(),
                back: side.point(place, depth + off).0,
                inward: if up { -tau } else { tau },
            }
        })
        .collect();
    if !up {
        spots.reverse();
    }
    let outs = distances(asked.wide, &spots, false);
    let all = lengths(&spots, &outs).ok_or(NoTab)?;
    let cuts = if asked.relief { relief(&all, &outs, asked.wide, Ends::None, None)?.0 } else { Vec::new() };
    Ok(Turn { wide: asked.wide, cuts, ends: [Vec::new(), Vec::new()], onto: said(asked.onto), glued: asked.glued })
}

/// How far a turn runs over an end face before it turns once more.
fn over(onto: Onto, middle: f64) -> f64 {
    match onto {
        Onto::Back { near, far } => (far - (middle - near) - middle).abs(),
        _ => 0.0,
    }
}

/// The end of a side's turn at a corner: square over the end face, then back from the rim's turn, which reaches `rim` from
/// its own fold and lies under neither. Folded in, a point `u` along the side and `y` in from it lies
/// `u sin θ − y cos θ` from the rim.
fn set_back(angle: f64, over: f64, rim: f64, wide: f64) -> Vec<Vec2> {
    let deep = (rim - over).max(0.0);
    if wide <= over || deep == 0.0 {
        return vec![Vec2::new(0.0, wide)];
    }
    let (sin, cos) = num::sin_cos(angle.clamp(0.2, PI - 0.2));
    let at = |y: f64| Vec2::new(((deep + y * cos) / sin).max(0.0), over + y);
    vec![Vec2::new(0.0, over), at(0.0), at(wide - over)]
}

fn said(onto: Onto) -> &'static str {
    match onto {
        Onto::Back { .. } => "over the edge",
        Onto::Across => "over the edge and across",
        Onto::Side => "over the edge and down the side",
        Onto::Bore => "along the wall's inside",
        Onto::Next { .. } => "behind the next ring",
        Onto::Beyond { .. } => "behind the wall it meets",
        Onto::Ground { outward: false, .. } => "inward, on what it stands on",
        Onto::Ground { outward: true, .. } => "outward, on what it stands on",
        Onto::Not(why) => why,
    }
}

#[cfg(test)]
mod tests;
