//! Parts that stand in each other: walls and plates of different things, each as it is placed.
//!
//! Every wall is a chain of rules with normals, every plate a flat outline. Points on both faces of one sheet are held
//! against the other sheet: the foot of the square from a point is found on the nearest rule and refined between rules
//! (`ruled`), which gives its signed distance from the sheet. Two sheets collide where a point lies within the other
//! sheet, or neighbouring points lie on either side of it. How deep they do is the least way that would free them: out
//! of one face or the other, or along the sheet past an end. What touches, nests or stands on its edge has no such depth;
//! less than a thickness is the give of foam and of square cuts, and is not told.
//!
//! Parts are compared only where their boxes overlap, and all comparing together takes a fixed number of steps. What has
//! nothing to be compared with is not looked at, and holes are laid out only for what is compared.

mod collar;
mod ruled;

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::kinds::place::has_a_faulty_opening;
use super::{Shaper, errors};
use crate::design::Relation;
use crate::fitted::Core;
use crate::geom::rim::{Rim, spans};
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Leg, Place, Walk};
use crate::geom::{Vec2, Vec3, unit};
use crate::ids::{PartId, ThingId};
use crate::num::{self, PI};
use crate::skin::{cuts, height, leaves};
use crate::solid::{Body, Frame, Part, Plate, Wall};
use crate::span::Span;
use ruled::{Flat, Holes, Pierced, Rule, Ruled, Sheet, Stand, WAYS};

/// From rule to rule a wall turns by this at most, and a flat side goes on by so much.
const TURN: f64 = 3.0 * PI / 180.0;
const STEP: f64 = 15.0;
/// Rows of points stand on a wall's inner face, in its middle and on its outer face, one behind the other.
const FACES: usize = 3;
/// Blocks of so many rules are looked at as one.
const BLOCKS: [usize; 2] = [12, 3];
/// A point farther than this outside a box is not looked at, mm: the next of its row may lie within.
const NEAR: f64 = 30.0;
/// Points up a rule stand no farther apart than this, and are no more than so many.
const UP: f64 = 8.0;
const MOST_UP: f64 = 40.0;
/// Touching is no harm, mm.
const TOUCH: f64 = 0.05;
/// A way that lacks this of a whole thickness is one all the same: two sheets in one place.
const WHOLE: f64 = 0.05;
/// Distances from point to rule that are reckoned for a whole prop: about a second and a half.
const STEPS: u64 = 200_000_000;

/// Points that are kept for a whole prop: about a hundred megabytes.
const POINTS: usize = 4_000_000;

/// What is compared.
#[derive(Clone, Copy, PartialEq, Eq)]
enum What {
    Sheet(PartId),
    /// The tabs round the foot of a wall.
    Tabs(PartId),
    /// The index in `Fitted::cores`.
    Rod(usize),
}

/// A part that may be compared.
#[derive(Clone, Copy)]
struct Listed {
    what: What,
    thing: ThingId,
    /// The shell it closes, of a cap; of a core in a shell that one.
    host: Option<ThingId>,
    /// What it stands on in the end, and whether that has a place that is said.
    root: ThingId,
    placed: bool,
}

/// A part as it is compared.
struct Shown {
    is: Listed,
    name: String,
    origin: Span,
    sheets: Vec<Sheet>,
    /// Rows of points on its faces, each row along a rule or an outline.
    rows: Vec<Vec<Vec3>>,
    /// Of a wall the sheet of each row, and which of its rules it stands on.
    along: Vec<(usize, usize)>,
    blocks: Vec<Block>,
    low: Vec3,
    high: Vec3,
}

impl Shown {
    /// Whether a point lies in a hole of its own sheet.
    fn is_gone(&self, row: usize, i: usize) -> bool {
        let Some(&(sheet, rule)) = self.along.get(row) else { return false };
        let Some(Sheet::Ruled(ruled)) = self.sheets.get(sheet) else { return false };
        #[expect(clippy::cast_precision_loss, reason = "some forty points at most")]
        let share = i as f64 / (self.rows[row].len() - 1) as f64;
        ruled.in_a_hole(&ruled.rules[rule], share)
    }
}

/// Warns of every two things that collide by a thickness or more.
pub(super) fn warn(shaper: &mut Shaper<'_>) {
    let (mut shown, left_out) = shown(shaper);
    let mut found: BTreeMap<(usize, usize), (f64, ThingId, ThingId)> = BTreeMap::new();
    let mut order: Vec<usize> = (0..shown.len()).collect();
    order.sort_by(|&a, &b| shown[a].low.x.total_cmp(&shown[b].low.x).then(a.cmp(&b)));
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for (i, &a) in order.iter().enumerate() {
        for &b in &order[i + 1..] {
            if shown[b].low.x > shown[a].high.x - TOUCH {
                break;
            }
            if meant(&shown[a].is, &shown[b].is) && boxes_meet(&shown[a], &shown[b]) {
                pairs.push((a.min(b), a.max(b)));
            }
        }
    }
    pairs.sort_unstable();
    let compared: BTreeSet<usize> = pairs.iter().flat_map(|&(a, b)| [a, b]).collect();
    for i in compared {
        if let What::Sheet(part) = shown[i].is.what {
            pierce(&shaper.solid.parts[part.index()], &mut shown[i].sheets);
        }
    }
    let mut left = STEPS;
    let mut skipped = 0usize;
    for (a, b) in pairs {
        let (one, other) = (&shown[a], &shown[b]);
        if left == 0 {
            skipped += 1;
            continue;
        }
        let depth = [(one, other), (other, one)].into_iter().filter_map(|(x, y)| depth(x, y, &mut left));
        let Some(depth) = depth.min_by(f64::total_cmp) else { continue };
        let thick = one.sheets.iter().chain(&other.sheets).map(Sheet::thick).fold(f64::INFINITY, f64::min);
        if depth < thick - WHOLE {
            continue;
        }
        let first = shown.iter().position(|s| s.is.thing == one.is.thing).unwrap_or(a);
        let second = shown.iter().position(|s| s.is.thing == other.is.thing).unwrap_or(b);
        let worst = found.entry((first, second)).or_insert((0.0, one.is.thing, other.is.thing));
        worst.0 = worst.0.max(depth);
    }
    for ((a, b), (depth, ..)) in found {
        let (a, b) = (&shown[a], &shown[b]);
        // The one that is written later stands in the other.
        let (a, b) = if a.origin.start > b.origin.start { (a, b) } else { (b, a) };
        // What goes through an opening that has a fault of its own stands in nothing once that is mended.
        if [a, b].iter().any(|s| has_a_faulty_opening(shaper, s.is.thing)) {
            continue;
        }
        shaper.faults.push(errors::parts_collide((&a.name, a.origin), (&b.name, b.origin), depth));
    }
    if skipped + left_out > 0
        && let Some(last) = shown.last()
    {
        shaper.faults.push(errors::not_all_compared((left_out, skipped), last.origin));
    }
}

/// Whether two parts are not to be in each other: what is of one thing, and a cap and what it closes, look after
/// themselves; things of which none is said where it stands are in the prop's middle each for itself.
fn meant(a: &Listed, b: &Listed) -> bool {
    // Two cores of one shell are as any two things; whether one has room in it `kinds::core` looks more closely at.
    let cores = matches!((a.what, b.what), (What::Rod(_), What::Rod(_)));
    let closes = |x: &Listed, y: &Listed| x.host == Some(y.thing) || (!cores && x.host.is_some() && x.host == y.host);
    let placed = a.root == b.root || a.placed || b.placed;
    placed && a.thing != b.thing && !closes(a, b) && !closes(b, a)
}

fn boxes_meet(a: &Shown, b: &Shown) -> bool {
    let (low, high) = (a.low.max(b.low), a.high.min(b.high));
    (high - low).min_element() > TOUCH
}

/// What a thing stands on in the end.
fn root(shaper: &Shaper<'_>, thing: ThingId) -> ThingId {
    let mut at = thing;
    // As many steps as there are things at most: what stands on what goes round nowhere.
    for _ in 0..shaper.design.things.len() {
        let target = shaper.design.thing(at).target.as_ref();
        match target.and_then(|t| t.anchors.first()) {
            Some(anchor) => at = anchor.thing,
            None => break,
        }
    }
    at
}

/// The parts of shells and caps, without what lies on them, and how many are too many to be looked at.
fn shown(shaper: &Shaper<'_>) -> (Vec<Shown>, usize) {
    let all = listed(shaper);
    let one = |is: Listed| {
        let named = shaper.design.thing(is.thing);
        let (sheets, rows, along) = match is.what {
            What::Rod(i) => of_rod(&shaper.solid.fitted.cores[i]),
            What::Tabs(part) => collar::of_tabs(&shaper.solid, &shaper.solid.parts[part.index()]),
            What::Sheet(part) => {
                let part = &shaper.solid.parts[part.index()];
                match &part.body {
                    Body::Wall(wall) => of_wall(part, wall),
                    Body::Plate(plate) => of_plate(part, plate),
                    Body::Leaf(leaf) => collar::of(part, leaf),
                    // Only shells and caps are looked at, and none of them is a shell of flat sides.
                    Body::Folded(_) => (Vec::new(), Vec::new(), Vec::new()),
                }
            }
        };
        let (mut low, mut high) = (Vec3::splat(f64::INFINITY), Vec3::splat(f64::NEG_INFINITY));
        for p in rows.iter().flatten() {
            (low, high) = (low.min(*p), high.max(*p));
        }
        let blocks = Block::of(&rows, 0..rows.len(), &BLOCKS);
        let (name, origin) = (named.name.to_string(), named.head);
        Shown { is, name, origin, sheets, rows, along, blocks, low, high }
    };
    let (mut out, mut points) = (Vec::new(), 0);
    let mut rest = all.into_iter();
    for shown in rest.by_ref().map(one) {
        points += shown.rows.iter().map(Vec::len).sum::<usize>();
        if !shown.rows.is_empty() {
            out.push(shown);
        }
        if points > POINTS {
            break;
        }
    }
    (out, rest.len())
}

/// The parts of shells and caps that have something to be compared with.
fn listed(shaper: &Shaper<'_>) -> Vec<Listed> {
    let known = &shaper.known;
    let mut all: Vec<(PartId, ThingId, Option<ThingId>)> = Vec::new();
    all.extend(known.shells.iter().map(|(id, s)| (s.part, *id, None)));
    all.extend(known.shells.iter().filter_map(|(id, s)| Some((s.brim?.collar?, *id, None))));
    all.extend(known.bent.iter().flat_map(|(id, b)| b.parts.iter().map(move |p| (*p, *id, None))));
    for (id, cap) in &known.caps {
        all.extend([Some(cap.plate), cap.rim].into_iter().flatten().map(|p| (p, *id, Some(cap.host))));
    }
    all.sort_unstable_by_key(|a| a.0);
    let list = |(part, thing, host)| {
        let root = root(shaper, thing);
        let placed = known.frames.get(&root).is_some_and(|f| *f != Frame::WORLD);
        Listed { what: What::Sheet(part), thing, host, root, placed }
    };
    let tabbed = |(part, ..): &(PartId, ThingId, Option<ThingId>)| shaper.solid.turned_out(*part).is_some();
    let tabs: Vec<Listed> =
        all.iter().copied().filter(tabbed).map(|one| Listed { what: What::Tabs(one.0), ..list(one) }).collect();
    let rod = |(i, core): (usize, &Core)| {
        let root = root(shaper, core.thing);
        let placed = [root, core.thing].iter().any(|t| known.frames.get(t).is_some_and(|f| *f != Frame::WORLD));
        let inside = shaper.design.thing(core.thing).target.as_ref().is_some_and(|t| t.relation == Relation::In);
        let host = core.host.as_ref().filter(|_| inside).map(|h| h.0);
        Listed { what: What::Rod(i), thing: core.thing, host, root, placed }
    };
    let mut all: Vec<Listed> = all.into_iter().map(list).collect();
    all.extend(tabs);
    all.extend(shaper.solid.fitted.cores.iter().enumerate().map(rod));
    // A shell with its caps is a family. No two of one family are compared, nor of two roots if neither is placed.
    let mut families: BTreeMap<ThingId, BTreeSet<ThingId>> = BTreeMap::new();
    for one in &all {
        let own = matches!(one.what, What::Rod(_));
        families.entry(one.root).or_default().insert(one.host.filter(|_| !own).unwrap_or(one.thing));
    }
    let placed: BTreeSet<ThingId> = all.iter().filter(|one| one.placed).map(|one| one.root).collect();
    all.retain(|one| {
        let with_a_placed = if one.placed { families.len() > 1 } else { !placed.is_empty() };
        families[&one.root].len() > 1 || with_a_placed
    });
    all
}

/// A rod, as a wall that is thick to its axis.
fn of_rod(core: &Core) -> Made {
    let [low, high] = core.ends;
    let way = (high - low).normalize_or(Vec3::Z);
    let (side, radius) = (way.any_orthonormal_vector(), 0.5 * core.across);
    let other = way.cross(side);
    let rule = |i: u32| {
        let turn = unit(f64::from(i) * TURN * 2.0);
        let normal = side * turn.x + other * turn.y;
        let around = [f64::from(i) * TURN * 2.0 * radius; 2];
        Rule { low: low + normal * radius, high: high + normal * radius, normal, around }
    };
    let rules: Vec<Rule> = (0..=60).map(rule).collect();
    let n = (low.distance(high) / UP).ceil().clamp(2.0, MOST_UP);
    let mut rows = Vec::new();
    for rule in &rules {
        for depth in [-radius, -0.5 * radius, 0.0] {
            let (mut row, mut k) = (Vec::new(), 0.0);
            while k <= n {
                row.push(rule.point(k / n, depth));
                k += 1.0;
            }
            rows.push(row);
        }
    }
    let sheet = Ruled::new(rules, true, [-radius, 0.0], [true; 2]);
    (vec![Sheet::Ruled(sheet)], rows, Vec::new())
}

/// Sheets, rows of points, and the sheet and the rule that each row stands on.
type Made = (Vec<Sheet>, Vec<Vec<Vec3>>, Vec<(usize, usize)>);

fn of_wall(part: &Part, wall: &Wall) -> Made {
    let (mut sheets, mut rows, mut along) = (Vec::new(), Vec::new(), Vec::new());
    let (Some(first), Some(last)) = (part.layers.first(), part.layers.last()) else { return (sheets, rows, along) };
    let faces = [first.inner, last.outer];
    let whole = wall.rings.len();
    for (i, ring) in wall.rings.iter().enumerate() {
        let (low_cut, up_cut) = cuts(wall, ring);
        for index in ring.strips.clone() {
            let strip = &wall.strips[index];
            let (z0, z1) = strip.heights();
            let (is_low, is_up) = (index == ring.strips.start, index + 1 == ring.strips.end);
            let walk = Walk::new(strip);
            let flat = Unrolled::new(&walk, first.neutral);
            let rims = (is_low.then(|| Rim::new(&flat, &low_cut)), is_up.then(|| Rim::new(&flat, &up_cut)));
            // Where an open seam leaves both ends.
            let ends = [if is_low { height(&low_cut) } else { z0 }, if is_up { height(&up_cut) } else { z1 }]
                .map(|z| leaves(&walk, wall.seam, z, first.neutral));
            let from = if ends[0].0 < ends[1].0 { ends[1].0 } else { ends[0].0 };
            let to = if ends[0].1 < ends[1].1 { ends[0].1 } else { ends[1].1 };
            let mut rules: Vec<Rule> = Vec::new();
            let mut add = |at: Place| {
                let rule = walk.rule(at);
                let low = rims.0.as_ref().map_or(z0, |rim| rim.height(at, 0.0).0);
                let high = rims.1.as_ref().map_or(z1, |rim| rim.height(at, 0.0).0);
                let around = [walk.length(at, low, first.neutral), walk.length(at, high, first.neutral)];
                let point = |z: f64| part.place.apply(rule.point(z, 0.0));
                let (low, high) = (point(low), point(high));
                rules.push(Rule { low, high, normal: part.place.direction(rule.normal()), around });
            };
            for (leg, t0, t1) in spans(from, to) {
                let n = match &walk.legs()[leg] {
                    Leg::Turn { from, to, .. } => ((to - from).abs() * (t1 - t0) / TURN).ceil(),
                    Leg::Side { first, last } => (last.point(z0, 0.0).distance(first.point(z0, 0.0)) / STEP).ceil(),
                }
                .clamp(1.0, 400.0);
                let mut k = 0.0;
                while k <= n {
                    add(Place { leg, t: t0 + (t1 - t0) * k / n });
                    k += 1.0;
                }
            }
            let closed = !matches!(wall.seam, crate::solid::Seam::Open(_));
            let ends = [is_low && i == 0, is_up && i + 1 == whole];
            let strip = Ruled::new(rules, closed, faces, ends);
            for (i, rule) in strip.rules.iter().enumerate() {
                let n = ((rule.high - rule.low).length() / UP).ceil().clamp(2.0, MOST_UP);
                for d in [faces[0], 0.5 * (faces[0] + faces[1]), faces[1]] {
                    let mut row = Vec::new();
                    let mut k = 0.0;
                    while k <= n {
                        row.push(rule.point(k / n, d));
                        k += 1.0;
                    }
                    rows.push(row);
                    along.push((sheets.len(), i));
                }
            }
            sheets.push(Sheet::Ruled(strip));
        }
    }
    (sheets, rows, along)
}

/// Lays out the holes of a part in its sheets, which are of its strips in their order.
fn pierce(part: &Part, sheets: &mut [Sheet]) {
    let Some(first) = part.layers.first() else { return };
    match &part.body {
        Body::Wall(wall) => {
            let strips = wall.rings.iter().flat_map(|ring| ring.strips.clone());
            for (index, sheet) in strips.zip(sheets) {
                let Sheet::Ruled(ruled) = sheet else { continue };
                let walk = Walk::new(&wall.strips[index]);
                let (z0, z1) = wall.strips[index].heights();
                let holes = wall.holes.iter().filter(|h| h.strip == index).filter_map(|h| {
                    let at = walk.find(&h.rule)?;
                    let share = (h.z - z0) / (z1 - z0);
                    Some(Pierced::new(share, walk.length(at, h.z, first.neutral), h.outline.flattened(0.2)))
                });
                ruled.holes = Holes::new(holes.collect());
            }
        }
        Body::Plate(plate) => {
            for sheet in sheets {
                let Sheet::Flat(flat) = sheet else { continue };
                let holes = plate.holes.iter().map(|h| Pierced::new(0.0, 0.0, h.outline.flattened(0.2)));
                flat.holes = Holes::new(holes.collect());
            }
        }
        Body::Leaf(leaf) => {
            for sheet in sheets {
                let Sheet::Flat(flat) = sheet else { continue };
                let holes = leaf.holes.iter().map(|h| Pierced::new(0.0, 0.0, h.outline.flattened(0.2)));
                flat.holes = Holes::new(holes.collect());
            }
        }
        Body::Folded(_) => {}
    }
}

fn of_plate(part: &Part, plate: &Plate) -> Made {
    let walk = Walk::new(&plate.strip);
    let ring = |z: f64| -> Vec<Vec3> {
        let mut points = Vec::new();
        let (from, to) = walk.ends();
        for (leg, t0, t1) in spans(from, to) {
            let n = match &walk.legs()[leg] {
                Leg::Turn { from, to, .. } => ((to - from).abs() * (t1 - t0) / TURN).ceil(),
                Leg::Side { first, last } => (last.point(z, 0.0).distance(first.point(z, 0.0)) / STEP).ceil(),
            }
            .clamp(1.0, 400.0);
            let mut k = 0.0;
            while k < n {
                points.push(walk.rule(Place { leg, t: t0 + (t1 - t0) * k / n }).point(z, plate.depth));
                k += 1.0;
            }
        }
        points
    };
    let faces = [plate.show.min(plate.hidden), plate.show.max(plate.hidden)];
    let outline = ring(0.5 * (plate.show + plate.hidden)).into_iter().map(|p| Vec2::new(p.x, p.y)).collect();
    let rows = [faces[0], 0.5 * (faces[0] + faces[1]), faces[1]]
        .map(|z| ring(z).into_iter().map(|p| part.place.apply(p)).collect())
        .into();
    (vec![Sheet::Flat(Box::new(Flat::new(outline, faces, part.place)))], rows, Vec::new())
}

/// How deep the points of one part stand in the sheets of another; `None` where they do not.
fn depth(points: &Shown, sheets: &Shown, left: &mut u64) -> Option<f64> {
    let mut most: Option<f64> = None;
    for sheet in &sheets.sheets {
        if let Some(d) = in_sheet(points, sheets, sheet, left) {
            most = Some(most.map_or(d, |m: f64| m.max(d)));
        }
    }
    most
}

/// What one look from a point to a sheet takes.
fn cost(sheet: &Sheet) -> u64 {
    (match sheet {
        Sheet::Ruled(r) => r.rules.len() + 80,
        Sheet::Flat(f) => f.outline.len() + WAYS,
    }) as u64
}

fn in_sheet(points: &Shown, owner: &Shown, sheet: &Sheet, left: &mut u64) -> Option<f64> {
    let mut look = Look { owner, sheet, left, before: BTreeMap::new() };
    let hit = points.blocks.iter().any(|block| look.hits(points, block));
    hit.then(|| way_out(points, sheet, left))
}

type Seen = Vec<Option<(Stand, Vec3)>>;

/// A search for a point that lies within a sheet, or two neighbours on either side of it.
struct Look<'a> {
    owner: &'a Shown,
    sheet: &'a Sheet,
    left: &'a mut u64,
    /// What was seen of the last row on each face, and which row that was.
    before: BTreeMap<usize, (usize, Seen)>,
}

impl Look<'_> {
    fn stand(&mut self, p: Vec3) -> Option<Stand> {
        *self.left = self.left.saturating_sub(cost(self.sheet));
        if *self.left == 0 { None } else { self.sheet.stand(p) }
    }

    fn hits(&mut self, points: &Shown, block: &Block) -> bool {
        // No point of a block is farther from its middle than it is wide.
        if self.stand(block.middle).is_none_or(|s| s.away > block.radius) {
            return false;
        }
        if !block.parts.is_empty() {
            return block.parts.iter().any(|part| self.hits(points, part));
        }
        block.rows.clone().any(|i| self.row(points, i))
    }

    fn row(&mut self, points: &Shown, index: usize) -> bool {
        let [inner, outer] = self.sheet.faces();
        let face = index % FACES;
        let last = self.before.remove(&face).filter(|b| b.0 + FACES == index).map(|b| b.1).unwrap_or_default();
        let mut seen: Seen = Vec::with_capacity(points.rows[index].len());
        let mut hit = false;
        for (i, &p) in points.rows[index].iter().enumerate() {
            // What lies well outside the other's box is beside it.
            let step = Vec3::splat(NEAR);
            let near =
                (p - self.owner.low + step).min_element() >= 0.0 && (self.owner.high + step - p).min_element() >= 0.0;
            let near = near && !points.is_gone(index, i);
            let Some(stand) = near.then(|| self.stand(p)).flatten().filter(|s| s.over) else {
                seen.push(None);
                continue;
            };
            let within = outer - stand.off > TOUCH && stand.off - inner > TOUCH;
            // A point that passes by an end or through a hole goes farther than its distance changes. One that begins in a
            // face goes through the sheet all the same, as what stands on the far side of a floor does.
            let touch = TOUCH.min(0.25 * (outer - inner));
            let through = |before: Option<&Option<(Stand, Vec3)>>| {
                before.copied().flatten().is_some_and(|(b, q)| {
                    let (low, high) = (b.off.min(stand.off), b.off.max(stand.off));
                    let sides = low < inner + touch && high > outer - touch;
                    sides && (b.off - stand.off).abs() >= 0.5 * p.distance(q)
                })
            };
            hit |= within || through(seen.last()) || through(last.get(i));
            seen.push(Some((stand, p)));
            if hit {
                return true;
            }
        }
        self.before.insert(face, (index, seen));
        false
    }
}

/// The least way that would free all points of a sheet.
fn way_out(points: &Shown, sheet: &Sheet, left: &mut u64) -> f64 {
    let [inner, outer] = sheet.faces();
    let (mut out_most, mut in_most, mut along_most) = (0.0f64, 0.0f64, [f64::NEG_INFINITY; WAYS]);
    let mut deepest: Option<[Vec3; 3]> = None;
    let mut place = (0, 0);
    for (index, row) in points.rows.iter().enumerate() {
        for (i, &p) in row.iter().enumerate().filter(|(i, _)| !points.is_gone(index, *i)) {
            *left = left.saturating_sub(cost(sheet));
            let Some(stand) = sheet.stand(p).filter(|s| s.over) else { continue };
            let (out, inward) = (outer - stand.off, stand.off - inner);
            if out > out_most {
                out_most = out;
                place = (index, i);
                deepest = Some([row[i.saturating_sub(1)], p, row[(i + 1).min(row.len() - 1)]]);
            }
            in_most = in_most.max(inward);
            if out > TOUCH && inward > TOUCH {
                for (most, along) in along_most.iter_mut().zip(stand.along) {
                    *most = most.max(along);
                }
            }
        }
    }
    // Between the points of its row the deepest may lie deeper, and between the rows on either side of it, on the parabola
    // through its three points: near the middle of a round wall the depth itself is no parabola, but a point's place is.
    if let Some([a, p, b]) = deepest {
        let out = |q: Vec3| sheet.stand(q).filter(|s| s.over).map_or(0.0, |s| outer - s.off);
        for end in [a, b] {
            out_most = out_most.max(num::peak(0.0, 1.0, |u| out(p.lerp(end, u))).1);
        }
        let beside = |row: Option<usize>| row.and_then(|r| points.rows.get(r)?.get(place.1).copied());
        if let (Some(a), Some(b)) = (beside(place.0.checked_sub(FACES)), beside(Some(place.0 + FACES))) {
            let between = |u: f64| p + (b - a) * (0.5 * u) + (a + b - 2.0 * p) * (0.5 * u * u);
            for [from, to] in [[-1.0, 0.0], [0.0, 1.0]] {
                out_most = out_most.max(num::peak(from, to, |u| out(between(u))).1);
            }
        }
    }
    // What only crosses the sheet between points has no way along it.
    let along = along_most.into_iter().filter(|a| *a > 0.0).fold(f64::INFINITY, f64::min);
    out_most.min(in_most).min(along)
}

/// A block of rows: no point of them is farther from its middle than its radius, nor any point between them.
struct Block {
    rows: Range<usize>,
    middle: Vec3,
    radius: f64,
    parts: Vec<Block>,
}

impl Block {
    fn of(rows: &[Vec<Vec3>], of: Range<usize>, sizes: &[usize]) -> Vec<Self> {
        let Some((&size, smaller)) = sizes.split_first() else { return Vec::new() };
        let mut out = Vec::new();
        let mut from = of.start;
        while from < of.end {
            let to = (from + size * FACES).min(of.end);
            // With the first rows of the next one, so that what lies between belongs to it.
            let points = || rows[from..(to + FACES).min(of.end)].iter().flatten();
            let (low, high) = points()
                .fold((Vec3::splat(f64::INFINITY), Vec3::splat(f64::NEG_INFINITY)), |(l, h), p| (l.min(*p), h.max(*p)));
            let middle = (low + high) * 0.5;
            let radius = points().map(|p| p.distance(middle)).fold(0.0, f64::max);
            out.push(Self { rows: from..to, middle, radius, parts: Self::of(rows, from..to, smaller) });
            from = to;
        }
        out
    }
}
