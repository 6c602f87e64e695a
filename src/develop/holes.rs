//! Holes: a wall's are set on the flat as drawn, at the rule through their centre; all are held against the edges of
//! their piece and against each other.

use std::collections::{BTreeMap, BTreeSet};

use crate::diag::Diagnostics;
use crate::flat::{Hole, Panel};
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::strip::Rule;
use crate::geom::unroll::Unrolled;
use crate::geom::{Vec2, tol};
use crate::ids::ThingId;
use crate::num;
use crate::solid::{self, EdgeName, Part, PlateHole, Ring, Seam, Wall};

use super::errors::{self, HoleRef};

/// The holes of a wall that lie in one ring, on one layer's flat. The centre stands on the normal through the
/// measured face at its height, so its foot on the neutral surface is `d sin α` lower.
pub(super) fn lay(wall: &Wall, ring: &Ring, flats: &[Unrolled]) -> Vec<Hole> {
    let mut out = Vec::new();
    for (i, hole) in wall.holes.iter().enumerate() {
        if !ring.strips.contains(&hole.strip) {
            continue;
        }
        let Some(mut motion) = set(&flats[hole.strip - ring.strips.start], &hole.rule, hole.z) else { continue };
        // A circle looks alike whichever way it is turned; its ends lie along x, where rounding moves them least.
        if is_round(&hole.outline) {
            motion.turn = 0.0;
        }
        let outline = hole.outline.moved(&motion);
        out.push(Hole { hole: i, name: hole.name.clone(), outline, centre: motion.shift });
    }
    out
}

/// Whether an outline is a circle about the hole's centre, from its right round.
fn is_round(outline: &Path) -> bool {
    let [a, b] = outline.segs.as_slice() else { return false };
    let half = |s: &Seg| s.bulge == 1.0 && (s.a + s.b).length() < tol::SAME;
    half(a) && half(b) && a.a.y == 0.0
}

/// The motion that lays what is drawn about a point of a wall (x along the horizontal, y up) on one layer's flat.
pub(super) fn set(flat: &Unrolled, rule: &Rule, z: f64) -> Option<Motion> {
    let laid = flat.at(flat.walk().find(rule)?);
    let rule = laid.rule;
    let v = (z - rule.z0 - flat.depth() * rule.sine()) / rule.rise();
    Some(Motion { mirror: false, turn: num::atan2(laid.tau.y, laid.tau.x), shift: laid.point(v) })
}

/// How closely outlines are followed when they are held against each other, mm.
pub(super) const FOLLOW: f64 = 0.01;

/// Holes of a wall against its panels' edges and each other.
pub(super) fn check(part: &Part, holes: &[solid::Hole], panels: &[&Panel], diagnostics: &mut Diagnostics) {
    let refs: Vec<HoleRef> = holes.iter().map(HoleRef::from).collect();
    all(part, &refs, panels, diagnostics);
    under_the_seam(part, holes, panels, diagnostics);
}

/// Holes beside a seam that what holds it covers: the lap and the tabs lie on the wall's beginning, a strip behind both of
/// its sides. They are cut in the wall alone, so the maker is told to cut through; once for each thing.
fn under_the_seam(part: &Part, holes: &[solid::Hole], panels: &[&Panel], diagnostics: &mut Diagnostics) {
    let solid::Body::Wall(wall) = &part.body else { return };
    let (covers, sides, wide): (&str, &[EdgeName], f64) = match wall.seam {
        Seam::Lap(mm) => ("lap", &[EdgeName::Begin], mm),
        Seam::Tabs(mm) => ("tabs", &[EdgeName::Begin], mm),
        Seam::Backed(mm) => ("strip", &[EdgeName::Begin, EdgeName::End], 0.5 * mm),
        Seam::Butt | Seam::Open(_) => return,
    };
    let mut told: BTreeSet<ThingId> = BTreeSet::new();
    for panel in panels {
        let outline = narrowest(panel);
        let sides: Vec<(Vec2, Vec2)> =
            outline.iter().filter(|(.., name)| sides.contains(name)).map(|&(a, b, _)| (a, b)).collect();
        for hole in &panel.holes {
            let own = &holes[hole.hole];
            let off =
                hole.outline.flattened(FOLLOW).iter().fold(f64::INFINITY, |least, p| {
                    sides.iter().fold(least, |least, side| least.min(off_side(*p, *side)))
                });
            if off < wide - FOLLOW && told.insert(own.thing) {
                diagnostics.push(errors::hole_under_the_seam(part, HoleRef::from(own), covers, wide - off));
            }
        }
    }
}

/// How far a point lies off a line between two.
fn off_side(p: Vec2, (a, b): (Vec2, Vec2)) -> f64 {
    let run = b - a;
    let share = ((p - a).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    (p - a - run * share).length()
}

/// Holes of a plate likewise.
pub(super) fn check_plate(part: &Part, holes: &[PlateHole], panels: &[&Panel], diagnostics: &mut Diagnostics) {
    let refs: Vec<HoleRef> = holes.iter().map(HoleRef::from).collect();
    all(part, &refs, panels, diagnostics);
}

fn all(part: &Part, refs: &[HoleRef], panels: &[&Panel], diagnostics: &mut Diagnostics) {
    let mut over: Vec<Option<(f64, EdgeName)>> = vec![None; refs.len()];
    let mut meet: BTreeSet<(usize, usize)> = BTreeSet::new();
    for panel in panels {
        if panel.holes.is_empty() {
            continue;
        }
        let outline = narrowest(panel);
        let shapes: Vec<Shape> = panel.holes.iter().map(|h| Shape::of(&h.outline)).collect();
        for (hole, shape) in panel.holes.iter().zip(&shapes) {
            if let Some((by, edge)) = outside_by(shape, &outline)
                && over[hole.hole].is_none_or(|o| by > o.0)
            {
                over[hole.hole] = Some((by, edge));
            }
        }
        for (i, j) in meeting(&shapes, |_, _| true) {
            let (one, other) = (panel.holes[i].hole, panel.holes[j].hole);
            meet.insert((one.max(other), one.min(other)));
        }
    }
    for (hole, over) in refs.iter().zip(&over) {
        if let Some((by, edge)) = over {
            let edge = match edge {
                EdgeName::Lower | EdgeName::Foot(_) => "lower rim",
                EdgeName::Upper | EdgeName::Head(_) => "upper rim",
                EdgeName::Begin | EdgeName::End => "seam",
                EdgeName::Side(_) => "side",
                EdgeName::Outline | EdgeName::Cut => "edge",
            };
            diagnostics.push(errors::hole_crosses_edge(part, *hole, edge, *by));
        }
    }
    // An opening across a row of holes meets many of them: of two things it is told once.
    let mut pairs: BTreeMap<(ThingId, ThingId), ((usize, usize), usize)> = BTreeMap::new();
    for (a, b) in meet {
        let things = (refs[a].thing.min(refs[b].thing), refs[a].thing.max(refs[b].thing));
        pairs.entry(things).or_insert(((a, b), 0)).1 += 1;
    }
    let mut pairs: Vec<_> = pairs.into_values().collect();
    pairs.sort_unstable();
    for ((a, b), count) in pairs {
        diagnostics.push(errors::holes_meet(part, refs[a], refs[b], count - 1));
    }
}

/// So many of those that reach a shape's left end are looked at before they are sought by where they lie: of shapes in a
/// heap the first ones meet.
const AT_ONCE: usize = 32;

/// Shapes that run into another, each with one that it meets among those it is `held` against: from left to right,
/// each held against those that reach as far as its left end, the one furthest left of them first.
pub(super) fn meeting(shapes: &[Shape], held: impl Fn(usize, usize) -> bool) -> Vec<(usize, usize)> {
    let mut order: Vec<usize> = (0..shapes.len()).collect();
    order.sort_by(|a, b| shapes[*a].low.x.total_cmp(&shapes[*b].low.x));
    // By where they end on the right, by where they stand in the order, and by their lower ends.
    let mut ends: BTreeSet<(u64, usize)> = BTreeSet::new();
    let mut reaching: BTreeSet<usize> = BTreeSet::new();
    let mut lows: BTreeSet<(u64, usize)> = BTreeSet::new();
    let tallest = shapes.iter().map(|s| s.high.y - s.low.y).fold(0.0, f64::max);
    let mut out = Vec::new();
    for (rank, &i) in order.iter().enumerate() {
        let shape = &shapes[i];
        while let Some(&(end, gone)) = ends.first()
            && end < by_size(shape.low.x)
        {
            ends.pop_first();
            reaching.remove(&gone);
            lows.remove(&(by_size(shapes[order[gone]].low.y), gone));
        }
        let meets = |rank: &usize| {
            let j = order[*rank];
            held(i, j) && shape.meets(&shapes[j])
        };
        let found = if reaching.len() <= 2 * AT_ONCE {
            reaching.iter().copied().find(meets)
        } else {
            reaching.iter().copied().take(AT_ONCE).find(meets).or_else(|| {
                let (low, high) = (by_size(shape.low.y - tallest), by_size(shape.high.y));
                let beside = lows.range((low, 0)..=(high, usize::MAX)).map(|l| l.1);
                let mut beside: Vec<usize> = beside.filter(|r| shapes[order[*r]].high.y >= shape.low.y).collect();
                beside.sort_unstable();
                beside.into_iter().find(meets)
            })
        };
        out.extend(found.map(|rank| (i, order[rank])));
        ends.insert((by_size(shape.high.x), rank));
        reaching.insert(rank);
        lows.insert((by_size(shape.low.y), rank));
    }
    out
}

/// A number that orders as a length does.
fn by_size(x: f64) -> u64 {
    let bits = (x + 0.0).to_bits();
    if bits >> 63 == 0 { bits | 1 << 63 } else { !bits }
}

/// The innermost outline of a panel as lines, each with its edge.
pub(super) fn narrowest(panel: &Panel) -> Vec<(Vec2, Vec2, EdgeName)> {
    let mut outline = Vec::new();
    for edge in &panel.edges {
        let points = edge.narrowest.flattened(FOLLOW);
        outline.extend(points.windows(2).map(|w| (w[0], w[1], edge.name)));
    }
    outline
}

/// An outline as a polygon with its box.
pub(super) struct Shape {
    pub points: Vec<Vec2>,
    low: Vec2,
    high: Vec2,
}

impl Shape {
    pub(super) fn of(outline: &Path) -> Self {
        let points = outline.flattened(FOLLOW);
        let mut low = Vec2::splat(f64::INFINITY);
        let mut high = Vec2::splat(f64::NEG_INFINITY);
        for p in &points {
            low = low.min(*p);
            high = high.max(*p);
        }
        Self { points, low, high }
    }

    fn meets(&self, other: &Self) -> bool {
        if self.low.cmpgt(other.high).any() || other.low.cmpgt(self.high).any() {
            return false;
        }
        // Of two that lie on each other no sides cross, and no corner lies within the other.
        if self.points[0].distance(other.points[0]) < FOLLOW && self.low.distance(other.low) < FOLLOW {
            return true;
        }
        let (mine, theirs) = (sides(&self.points), sides(&other.points));
        // They meet nowhere but where both boxes lie: of many holes side by side few sides do.
        let (low, high) = (self.low.max(other.low), self.high.min(other.high));
        let there = |sides: &[(Vec2, Vec2)]| -> Vec<(Vec2, Vec2)> {
            let apart = |(a, b): (Vec2, Vec2)| a.max(b).cmplt(low).any() || a.min(b).cmpgt(high).any();
            sides.iter().copied().filter(|side| !apart(*side)).collect()
        };
        let (here, across) = (there(&mine), there(&theirs));
        here.iter().any(|a| across.iter().any(|b| cross(*a, *b)))
            || within_just_inside(&mine, &theirs, (low, high))
            || within_just_inside(&theirs, &mine, (low, high))
            || within(self.points[0], &theirs)
            || within(other.points[0], &mine)
    }
}

/// Whether a point of the first shape, just inside the middle of one of its sides, lies in the second. Outlines that
/// run along each other, as those of two equal holes in one place, cross nowhere and have no corner inside; this
/// tells that there is no sheet between them.
/// Nothing outside the box that both lie in is asked about.
fn within_just_inside(mine: &[(Vec2, Vec2)], theirs: &[(Vec2, Vec2)], (low, high): (Vec2, Vec2)) -> bool {
    let both = |p: Vec2| p.cmpge(low).all() && p.cmple(high).all();
    mine.iter().any(|&(a, b)| {
        let Some(along) = (b - a).try_normalize() else { return false };
        let (middle, aside) = ((a + b) / 2.0, along.perp() * (2.0 * FOLLOW));
        // Which hand is inside depends on the way round, so both are tried.
        [middle + aside, middle - aside].into_iter().any(|p| both(p) && within(p, mine) && within(p, theirs))
    })
}

pub(super) fn sides(points: &[Vec2]) -> Vec<(Vec2, Vec2)> {
    let mut out: Vec<(Vec2, Vec2)> = points.windows(2).map(|w| (w[0], w[1])).collect();
    if let (Some(&first), Some(&last)) = (points.first(), points.last()) {
        out.push((last, first));
    }
    out
}

fn cross((a, b): (Vec2, Vec2), (c, d): (Vec2, Vec2)) -> bool {
    let side = |p: Vec2, q: Vec2, r: Vec2| (q - p).perp_dot(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Even-odd rule.
pub(super) fn within(p: Vec2, sides: &[(Vec2, Vec2)]) -> bool {
    let hits =
        |&&(a, b): &&(Vec2, Vec2)| (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y);
    sides.iter().filter(hits).count() % 2 == 1
}

/// How far a shape reaches outside the outline at most, and past which of its edges; `None` when it is inside.
fn outside_by(shape: &Shape, outline: &[(Vec2, Vec2, EdgeName)]) -> Option<(f64, EdgeName)> {
    let mut worst: Option<(f64, EdgeName)> = None;
    // A line to the right of a point of it crosses nothing that lies wholly above or below the shape.
    let level = |a: Vec2, b: Vec2| a.y.max(b.y) >= shape.low.y && a.y.min(b.y) <= shape.high.y;
    let beside: Vec<(Vec2, Vec2)> = outline.iter().filter(|(a, b, _)| level(*a, *b)).map(|&(a, b, _)| (a, b)).collect();
    for &p in &shape.points {
        if within(p, &beside) {
            continue;
        }
        let mut near: Option<(f64, EdgeName)> = None;
        for &(a, b, name) in outline {
            let away = off_side(p, (a, b));
            if near.is_none_or(|n| away < n.0) {
                near = Some((away, name));
            }
        }
        if let Some(n) = near
            && worst.is_none_or(|w| n.0 > w.0)
        {
            worst = Some(n);
        }
    }
    // What the followed outlines cannot tell apart from touching is not a fault.
    worst.filter(|w| w.0 > 2.0 * FOLLOW)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(corners: &[(f64, f64)]) -> Shape {
        let points: Vec<Vec2> = corners.iter().map(|&(x, y)| Vec2::new(x, y)).collect();
        let low = points.iter().copied().reduce(Vec2::min).unwrap();
        let high = points.iter().copied().reduce(Vec2::max).unwrap();
        Shape { points, low, high }
    }

    fn rectangle(left: f64, low: f64, wide: f64, tall: f64) -> Shape {
        shape(&[(left, low), (left + wide, low), (left + wide, low + tall), (left, low + tall)])
    }

    fn ring(at: f64, radius: f64) -> Shape {
        let turn = |k: u32| num::TAU * f64::from(k) / 48.0;
        let corners: Vec<(f64, f64)> =
            (0..48).map(|k| (at + radius * num::cos(turn(k)), radius * num::sin(turn(k)))).collect();
        shape(&corners)
    }

    fn both_ways(a: &Shape, b: &Shape) -> bool {
        assert_eq!(a.meets(b), b.meets(a), "meeting has no direction");
        a.meets(b)
    }

    #[test]
    fn equal_holes_in_one_place_meet() {
        assert!(both_ways(&ring(0.0, 4.0), &ring(0.0, 4.0)));
        assert!(both_ways(&rectangle(0.0, 0.0, 8.0, 6.0), &rectangle(0.0, 0.0, 8.0, 6.0)));
        let mut back = rectangle(0.0, 0.0, 8.0, 6.0);
        back.points.reverse();
        assert!(both_ways(&rectangle(0.0, 0.0, 8.0, 6.0), &back), "the way round does not matter");
    }

    #[test]
    fn holes_that_share_parts_of_their_outlines_meet() {
        assert!(both_ways(&rectangle(0.0, 0.0, 8.0, 6.0), &rectangle(4.0, 0.0, 8.0, 6.0)));
        assert!(both_ways(&rectangle(0.0, 0.0, 8.0, 6.0), &rectangle(0.0, 0.0, 8.0, 3.0)));
    }

    #[test]
    fn holes_in_each_other_meet_and_holes_apart_do_not() {
        assert!(both_ways(&ring(0.0, 4.0), &ring(0.0, 1.0)));
        assert!(!both_ways(&ring(0.0, 4.0), &ring(8.1, 4.0)));
        let hook = shape(&[(0.0, 0.0), (9.0, 0.0), (9.0, 2.0), (2.0, 2.0), (2.0, 9.0), (0.0, 9.0)]);
        assert!(!both_ways(&hook, &rectangle(4.0, 4.0, 3.0, 3.0)), "in the crook, not in the hook");
    }

    #[test]
    fn of_many_shapes_each_meets_the_leftmost_that_it_runs_into() {
        // Against all pairs, in a column, a row, a field with gaps and without, and in heaps.
        let mut chance = 7u64;
        let mut any = |most: f64| {
            chance = chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            most * (chance >> 11) as f64 / (1u64 << 53) as f64 - 0.25 * most
        };
        for (wide, tall, size) in [(1.0, 900.0, 2.0), (900.0, 1.0, 2.0), (200.0, 200.0, 6.0), (20.0, 20.0, 9.0)] {
            let shapes: Vec<Shape> = (0..400)
                .map(|_| rectangle(any(wide), any(tall), 0.5 + any(size).abs(), 0.5 + any(size).abs()))
                .collect();
            let mut order: Vec<usize> = (0..shapes.len()).collect();
            order.sort_by(|a, b| shapes[*a].low.x.total_cmp(&shapes[*b].low.x));
            let mut all = Vec::new();
            for (rank, &i) in order.iter().enumerate() {
                let first = order[..rank].iter().find(|j| (i + **j) % 3 > 0 && shapes[i].meets(&shapes[**j]));
                all.extend(first.map(|j| (i, *j)));
            }
            assert!(!all.is_empty());
            assert_eq!(meeting(&shapes, |i, j| (i + j) % 3 > 0), all);
        }
        let numbers = [-5.0, -0.1, -0.0, 0.0, 1e-9, 3.0, 1e9];
        assert!(numbers.windows(2).all(|w| by_size(w[0]) <= by_size(w[1])));
    }

    #[test]
    fn a_heap_of_equal_holes_is_told_once_a_hole() {
        let shapes: Vec<Shape> = (0..300).map(|_| ring(0.0, 1.0)).collect();
        assert_eq!(meeting(&shapes, |_, _| true).len(), 299);
    }
}
