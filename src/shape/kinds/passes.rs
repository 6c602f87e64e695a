//! `passes`: whether a girth (a hand, a head) gets through a shell. What counts is the narrowest section of what lies
//! innermost, linings and a strip behind the seam all round, from end to end of the wall, and the opening of a cap that
//! closes it, the longest round if there are several. What gets through a shell gets through every other one that stands
//! in it too, with its caps. A cap that comes off (`loose`, or a lid with a rim of its own) does not
//! count: it is put on afterwards.
//!
//! A sheet that bends keeps its length, so a wall with an open seam takes any girth: its sides are drawn apart by as much
//! more than they stand as the girth is larger than the wall is inside.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::super::{Shaper, errors, measure};
use super::cap::Fit;
use super::place;
use crate::design::{Kind, Relation};
use crate::fitted::Passage;
use crate::geom::Vec3;
use crate::ids::{PartId, ThingId};
use crate::skin;
use crate::solid::{Body, Claim, Frame, OfPanels, Part, Rim, Ring, Seam, Size, Wall};
use crate::span::Span;

/// Shells that were asked, and their parts.
pub(in super::super) type Asked = (ThingId, f64, Span, Vec<PartId>);

pub(super) fn ask(shaper: &mut Shaper<'_>, id: ThingId, passes: Option<(f64, Span)>, parts: Vec<PartId>) {
    if let Some((mm, span)) = passes {
        shaper.asked.push((id, mm, span, parts));
    }
}

/// The narrowest place of a shell, and how wide its seam stands open there.
#[derive(Clone, Copy)]
struct Narrow {
    part: PartId,
    z: f64,
    depth: f64,
    girth: f64,
    open: Option<f64>,
}

/// Answers all that were asked, once everything that may line a wall stands.
pub(in super::super) fn answer(shaper: &mut Shaper<'_>) {
    let asked = std::mem::take(&mut shaper.asked);
    let within = if asked.is_empty() { BTreeMap::new() } else { standing_in(shaper) };
    // Of all that has to get through the shells round it, a shell is held to the largest: the rest gets through with that.
    let mut widest: Vec<usize> = (0..asked.len()).collect();
    widest.sort_by(|&a, &b| asked[b].1.total_cmp(&asked[a].1).then(a.cmp(&b)));
    let mut held: BTreeMap<ThingId, usize> = BTreeMap::new();
    for i in widest {
        held.entry(asked[i].0).or_insert(i);
        let mut hosts = vec![asked[i].0];
        while let Some(host) = hosts.pop() {
            for &inner in within.get(&host).into_iter().flatten() {
                if let Entry::Vacant(free) = held.entry(inner) {
                    free.insert(i);
                    hosts.push(inner);
                }
            }
        }
    }
    let mut inner_ones: Vec<(usize, ThingId)> = held.into_iter().map(|(inner, i)| (i, inner)).collect();
    inner_ones.retain(|(i, inner)| asked[*i].0 != *inner);
    inner_ones.sort_unstable();
    let mut inner_ones = inner_ones.into_iter().peekable();
    for (i, (id, mm, span, parts)) in asked.into_iter().enumerate() {
        let name = shaper.design.thing(id).name.to_string();
        through(shaper, id, Girth { name: name.clone(), within: None, mm, span }, &parts);
        while let Some((_, inner)) = inner_ones.next_if(|(by, _)| *by == i) {
            let shell = shaper.known.shells.get(&inner).map(|s| vec![s.part]);
            let parts = shell.or_else(|| shaper.known.bent.get(&inner).map(|b| b.parts.clone()));
            let inner_name = shaper.design.thing(inner).name.to_string();
            let girth = Girth { name: inner_name, within: Some(name.clone()), mm, span };
            through(shaper, inner, girth, &parts.unwrap_or_default());
        }
    }
}

/// The shells that stand in a shell, by that one.
fn standing_in(shaper: &Shaper<'_>) -> BTreeMap<ThingId, Vec<ThingId>> {
    let mut all: BTreeMap<ThingId, Vec<ThingId>> = BTreeMap::new();
    for thing in shaper.design.things.iter().filter(|t| t.kind == Kind::Shell) {
        let Some(target) = thing.target.as_ref().filter(|t| t.relation == Relation::In) else { continue };
        for anchor in &target.anchors {
            all.entry(anchor.thing).or_default().push(thing.id);
        }
    }
    all
}

/// What has to get through a shell, or through the one that this one stands in.
struct Girth {
    name: String,
    within: Option<String>,
    mm: f64,
    span: Span,
}

/// Answers for one shell.
fn through(shaper: &mut Shaper<'_>, id: ThingId, girth: Girth, parts: &[PartId]) {
    let way = through_caps(shaper, id, (&girth.name, girth.mm, girth.span));
    if shaper.known.panelled.contains_key(&id) {
        of_panels(shaper, id, girth, way);
        return;
    }
    let all: Vec<Narrow> = parts.iter().flat_map(|p| ends(shaper, *p)).collect();
    let Some(worst) = all.iter().copied().min_by(|a, b| a.girth.total_cmp(&b.girth)) else { return };
    let Girth { name, within, mm, span } = girth;
    if worst.girth <= 0.0 {
        shaper.faults.push(errors::closed_to_a_point(&name, mm, span));
        return;
    }
    let lacks = |n: &Narrow| mm - n.girth;
    let opens = all.iter().filter_map(|n| Some((n, n.open? + lacks(n).max(0.0)))).max_by(|a, b| a.1.total_cmp(&b.1));
    if worst.open.is_none() && lacks(&worst) > 1e-6 {
        let tall = shaper.known.shells.get(&id).map(|s| s.tall);
        let place = (worst.girth, worst.z, tall);
        shaper.faults.push(errors::does_not_get_through((&name, within.as_deref()), mm, place, span));
        return;
    }
    // Of an open wall the place that has to be opened farthest.
    let at = opens.map_or(worst, |(n, _)| *n);
    let apart = opens.map(|(n, apart)| (lacks(n) > 1e-6).then_some(apart)).unwrap_or_default();
    let spread = if apart.is_some() { lacks(&at) } else { 0.0 };
    let size = Size::Passes { z: at.z, depth: at.depth, narrow: at.girth, mm, spread };
    shaper.solid.claims.push(Claim { part: at.part, origin: span, size });
    keep(shaper, Passage { part: at.part, name, girth: mm, narrowest: at.girth, level: at.z, apart }, way);
}

/// Where the way is narrowest: in the wall or in the opening of a cap.
fn keep(shaper: &mut Shaper<'_>, wall: Passage, way: Way) {
    let Way::Open(cap) = way else { return };
    let narrower = cap.filter(|c| c.girth < wall.narrowest);
    shaper.solid.passages.push(match narrower {
        Some(cap) => Passage { part: cap.part, narrowest: cap.girth, level: cap.level, ..wall },
        None => wall,
    });
}

/// The opening of a cap that closes the way.
#[derive(Clone, Copy, Debug)]
struct InCap {
    part: PartId,
    level: f64,
    girth: f64,
}

/// The way through the caps that close a shell.
enum Way {
    /// Through all of them, of which this opening is the narrowest.
    Open(Option<InCap>),
    /// It is shut, which was told.
    Shut,
}

/// Looks at every cap that closes a shell.
fn through_caps(shaper: &mut Shaper<'_>, id: ThingId, (name, mm, span): (&str, f64, Span)) -> Way {
    let mut shut = false;
    let mut narrowest: Option<InCap> = None;
    for cap in shaper.caps_of.get(&id).cloned().unwrap_or_default() {
        let Some(known) = shaper.known.caps.get(&cap) else { continue };
        let (plate, head, fit) = (known.plate, known.head, known.fit);
        let loose = shaper.read(cap, None, |fields| fields.flag("loose")).unwrap_or(false);
        if loose || fit == Fit::Overlay {
            continue;
        }
        let Body::Plate(body) = &shaper.solid.parts[plate.index()].body else { continue };
        let girths = body.holes.iter().enumerate().map(|(i, hole)| (i, hole.outline.length()));
        let widest = girths.max_by(|a, b| a.1.total_cmp(&b.1));
        let level = body.show;
        match widest.filter(|(_, girth)| mm - girth <= 1e-6) {
            Some((hole, girth)) => {
                let size = Size::Through { hole, narrow: girth, mm };
                shaper.solid.claims.push(Claim { part: plate, origin: span, size });
                if narrowest.is_none_or(|n| girth < n.girth) {
                    narrowest = Some(InCap { part: plate, level, girth });
                }
            }
            None => {
                let holed = widest.map(|(hole, girth)| (body.holes[hole].name.as_str(), girth));
                let closed = shaper.design.thing(cap).name.to_string();
                // An opening that has a fault of its own is told of by itself: there will be one.
                if !place::has_a_faulty_opening(shaper, cap) {
                    shaper.faults.push(errors::closed_by_a_cap((name, mm, span), (&closed, head), holed));
                }
                shut = true;
            }
        }
    }
    if shut { Way::Shut } else { Way::Open(narrowest) }
}

/// Answers for a shell of flat sides: the narrowest of its figures at stations, on the inner faces.
fn of_panels(shaper: &mut Shaper<'_>, id: ThingId, girth: Girth, way: Way) {
    let Girth { name, mm, span, .. } = girth;
    let Some(shell) = shaper.known.panelled.get(&id) else { return };
    if shell.closed.contains(&true) {
        shaper.faults.push(errors::closed_to_a_point(&name, mm, span));
        return;
    }
    let heights = shell.strips.iter().flat_map(|s| [s.heights().0, s.heights().1]);
    let all = heights.map(|z| (z, shell.around(z, shell.inner)));
    let Some((z, girth)) = all.min_by(|a, b| a.1.total_cmp(&b.1)) else { return };
    if mm - girth > 1e-6 {
        shaper.faults.push(errors::not_through_flat_sides(&name, mm, (girth, z), span));
        return;
    }
    let (part, inner, tall) = (shell.parts[0], shell.inner, shell.tall);
    // Where every side has its inner face, however its end is cut.
    let thick = shell.outer - inner;
    let at = z.clamp(thick.min(0.5 * tall), (tall - thick).max(0.5 * tall));
    let size = OfPanels::Around(shell.around(at, inner));
    let frame = shaper.known.frames.get(&id).copied().unwrap_or(Frame::WORLD);
    let (axis, at) = (frame.direction(Vec3::Z), frame.apply(Vec3::new(0.0, 0.0, at)));
    let size = Size::Panels { at, axis, depth: inner, size };
    shaper.solid.claims.push(Claim { part, origin: span, size });
    keep(shaper, Passage { part, name, girth: mm, narrowest: girth, level: z, apart: None }, way);
}

/// The sections of a part at which it may be narrowest: those of its stations, since between them a girth changes evenly.
fn ends(shaper: &Shaper<'_>, id: PartId) -> Vec<Narrow> {
    let part = &shaper.solid.parts[id.index()];
    let (Body::Wall(wall), Some(layer)) = (&part.body, part.layers.first()) else { return Vec::new() };
    let depth = innermost(shaper, part, wall).min(layer.inner);
    let mut all = Vec::new();
    for ring in &wall.rings {
        for i in ring.strips.clone() {
            let strip = &wall.strips[i];
            for upper in [false, true] {
                let (z, girth) = match end(wall, ring, i, upper) {
                    None => (0.0, 0.0),
                    Some(z) => (z, measure::girth(strip, z, depth).max(0.0)),
                };
                let open = matches!(wall.seam, Seam::Open(_))
                    .then(|| measure::gap_at(wall, layer.neutral, strip, z, layer.neutral));
                all.push(Narrow { part: id, z, depth, girth, open });
            }
        }
    }
    all
}

/// The height at which a strip ends on the way through; `None` where it is closed. A sloped end counts in the middle of
/// its plane.
fn end(wall: &Wall, ring: &Ring, strip: usize, upper: bool) -> Option<f64> {
    let (z0, z1) = wall.strips[strip].heights();
    let at_rim = if upper { strip + 1 == ring.strips.end } else { strip == ring.strips.start };
    let station = if upper { z1 } else { z0 };
    if !at_rim {
        return Some(station);
    }
    match if upper { ring.upper } else { ring.lower } {
        Rim::Closed(_) => None,
        rim @ (Rim::Plane(_) | Rim::PlaneSquare(_)) => Some(skin::height(&skin::cut(wall, rim, station))),
        Rim::Level | Rim::Square | Rim::Mitre(_) | Rim::At(_) | Rim::Shaped { .. } => Some(station),
    }
}

/// How deep in what lies innermost on a wall begins: a lining, a strip behind its seam.
fn innermost(shaper: &Shaper<'_>, part: &Part, wall: &Wall) -> f64 {
    let on_it = shaper.solid.parts.iter().filter(|p| p.place == part.place && p.id != part.id);
    let lining = on_it.filter_map(|p| match &p.body {
        Body::Wall(w) if w.strips.iter().any(|s| wall.strips.iter().any(|t| measure::alike(s, t))) => p.layers.first(),
        Body::Wall(_) | Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => None,
    });
    lining.map(|l| l.inner).fold(f64::INFINITY, f64::min)
}
