//! `lacing`: rows of round holes along the sides of a seam or along rims, and the lace that is drawn through them
//! (`lace`). Along edges one lace goes along each; between edges it goes between two.
//!
//! A row lies on the flat of the innermost layer, where its neutral surface is true: each hole's centre at `margin`
//! from the edge, square to it, at one pitch along it. Of several layers the innermost has the least sheet beside a
//! hole, so what is checked there holds for all.

use super::super::laid::{self, Near, Spot, on_flat};
use super::super::{Shaper, errors, measure};
use super::border::skin::Skin;
use super::border::stack;
use super::lace::{self, Legs};
use super::lace_disc;
use super::lace_edges::{On, edges};
use super::lace_tied::{self, Tied};
use crate::design::{Anchor, Kind};
use crate::eval::{Fields, Stop};
use crate::fitted::{EdgeOf, Row};
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, Vec3, left_of};
use crate::ids::{PartId, ThingId};
use crate::solid::{Body, Claim, EdgeName, Hole, Layer, Part, Seam, Size, Wall};
use crate::span::Span;

/// The fields of a lacing, reckoned.
#[derive(Clone)]
pub(super) struct Spec {
    pub name: String,
    pub head: Span,
    pub target: Span,
    pub sort: &'static str,
    pub sort_span: Span,
    pub of: ThingId,
    pub of_span: Span,
    pub hole: f64,
    pub hole_span: Span,
    pub every: f64,
    pub every_span: Span,
    pub count: Option<f64>,
    pub margin: f64,
    pub margin_span: Span,
    pub ends: f64,
    pub ends_span: Span,
    pub tail: f64,
    pub eyelets: Option<(ThingId, Span)>,
}

impl Spec {
    /// How many holes go in such a length: at the nearest pitch that divides it.
    fn holes_in(&self, free: f64, closed: bool) -> Result<f64, Stop> {
        let steps = (free / self.every).round().max(1.0);
        let n = self.count.unwrap_or(if closed { steps.max(2.0) } else { steps + 1.0 });
        if n > MOST { Err(errors::too_many_holes(n, MOST, self.every_span).into()) } else { Ok(n) }
    }

    /// How many go all the way round an edge so long.
    pub(super) fn holes_round(&self, long: f64) -> Result<f64, Stop> {
        let n = self.holes_in(long, true)?;
        if long / n < 2.0 * self.hole {
            return Err(errors::holes_too_close(long / n, self.hole, self.every_span, self.count.is_some()).into());
        }
        Ok(n)
    }
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let one = |list: Vec<Anchor>| list.first().map(|a| a.thing);
    let of = one(fields.things("of")?).ok_or(Stop::Skip)?;
    let eyelets = one(fields.things("eyelets")?);
    let count = fields.maybe_number("count")?;
    let pitch = if count.is_some() { "count" } else { "every" };
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        target: thing.target.as_ref().map_or(thing.head, |t| t.span),
        sort: fields.word("as")?,
        sort_span: fields.span("as"),
        of,
        of_span: fields.span("of"),
        hole: fields.length("holes")?,
        hole_span: fields.span("holes"),
        every: fields.length("every")?,
        every_span: fields.span(pitch),
        count,
        margin: fields.length("margin")?,
        margin_span: fields.span("margin"),
        ends: fields.length("ends")?,
        ends_span: fields.span("ends"),
        tail: fields.length("tail")?,
        eyelets: eyelets.map(|e| (e, fields.span("eyelets"))),
    })
}

/// A hole of a row: where it is, where its edge is beside it, its place along the edge of its ring, and what is left
/// of the nearest edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Holed {
    pub spot: Spot,
    /// The foot of its centre on the edge.
    pub edge: Spot,
    along: f64,
    pub ring_along: f64,
    pub ring_beyond: f64,
    near: (Near, f64),
    /// How wide the sheet is from its edge to the rim opposite, of a row along a rim.
    across: Option<f64>,
}

/// The rim over against the edge that a row runs along.
fn opposite(edge: EdgeOf) -> Option<Near> {
    match edge {
        EdgeOf::Bottom => Some(Near::Upper),
        EdgeOf::Top => Some(Near::Lower),
        EdgeOf::SeamBegin | EdgeOf::SeamEnd | EdgeOf::Disc => None,
    }
}

/// A row before it is cut.
#[derive(Clone, Debug)]
pub(super) struct Drafted {
    pub part: PartId,
    pub edge: EdgeOf,
    pub pitch: f64,
    /// It runs all the way round.
    pub closed: bool,
    pub holes: Vec<Holed>,
}

/// Builds a lacing.
///
/// # Errors
/// When there is no room for it, or nothing to lace.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let target = shaper.design.thing(id).target.as_ref().ok_or(Stop::Skip)?;
    let spec = shaper.read(id, None, read)?;
    let laced = match edges(shaper, target, &spec) {
        Err(Stop::Skip) => {
            // What it is on was left out: what its own figures tell is told all the same.
            foretell(shaper, id);
            return Err(Stop::Skip);
        }
        found => found?,
    };
    if spec.hole <= LEAST {
        return Err(errors::no_width("hole", spec.hole, spec.hole_span).into());
    }
    goods(shaper, &spec)?;
    for (i, ons) in laced.iter().enumerate() {
        let name = if laced.len() > 1 { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() };
        let spec = Spec { name, ..spec.clone() };
        match ons.as_slice() {
            [wall @ .., disc] if disc.edge == EdgeOf::Disc => {
                lace_disc::lace_up(shaper, id, &spec, (wall.first(), disc))
            }
            _ => lace_up(shaper, id, &spec, ons),
        }?;
    }
    Ok(())
}

/// One lace through the holes of one edge, or of two.
fn lace_up(shaper: &mut Shaper<'_>, id: ThingId, spec: &Spec, ons: &[On]) -> Result<(), Stop> {
    let rows = rows(shaper, spec, ons)?;
    for (row, on) in rows.iter().zip(ons) {
        room(shaper, spec, row, on)?;
    }
    let first = rows.first().ok_or(Stop::Skip)?;
    let seam = rows.len() == 2 && matches!(first.edge, EdgeOf::SeamBegin);
    let over: Vec<Vec<(f64, f64)>> = rows.iter().zip(ons).map(|(row, on)| lying(shaper, on, row)).collect();
    let legs = Legs::new(&shaper.solid, &rows, &over).ok_or(Stop::Skip)?;
    if legs.are_cut_off() {
        let what = "a lacing from rim to rim over a wall whose rings do not meet in one line";
        return Err(errors::not_built_yet(what, spec.target).into());
    }
    let closed = rows.iter().all(|r| r.closed);
    let way = lace::way(spec, (first.holes.len(), rows.len() > 1, closed), &legs);
    let gap = gap(shaper, &rows, seam);
    let at = rows.iter().flat_map(|row| row.holes.iter().map(|h| outside(shaper, row.part, &h.spot))).collect();
    let (pitch, pair) = (first.pitch, shaper.solid.parts[first.part.index()].pair);
    let letters: &[&str] = if rows.len() == 1 { &[""] } else { &["a", "b"] };
    let listed = cut(shaper, id, spec, &rows, letters)?;
    lace_tied::keep(shaper, id, spec, Tied { way, gap, pitch, at, pair, listed })
}

/// What lies on a wall at each hole of a row: how thick on its inside and on its outside. A lace passes through it.
pub(super) fn lying(shaper: &mut Shaper<'_>, on: &On, row: &Drafted) -> Vec<(f64, f64)> {
    let nothing = vec![(0.0, 0.0); row.holes.len()];
    let Ok(skin) = Skin::wall_of(shaper, on.host, on.part) else { return nothing };
    let outside = stack::on_wall(shaper, &skin, None);
    // A lid's rim is not lined.
    let lined = shaper.known.shells.contains_key(&on.host);
    let design = shaper.design;
    let covers = shaper.raised.get(&on.host).cloned().unwrap_or_default();
    let mut inside = 0.0f64;
    for id in covers.into_iter().filter(|id| lined && design.thing(*id).kind == Kind::Cover) {
        let thick = shaper.read(id, None, |fields| {
            let lines = matches!(fields.maybe_word("face")?, Some("inside" | "both"));
            if lines { super::super::goods::stands(design, fields, "of") } else { Ok(0.0) }
        });
        // What is wrong with it is said where it is built.
        inside = inside.max(thick.unwrap_or(0.0));
    }
    let there = |rank: u8, z: f64| {
        let feet = outside.iter().map(|(_, f)| f).filter(|f| f.rank == rank && f.low < z && z < f.high);
        feet.filter(|f| rank == 0 || f.wall).map(|f| f.thick).fold(0.0, f64::max)
    };
    row.holes.iter().map(|h| (inside, there(0, h.spot.z) + there(1, h.spot.z))).collect()
}

/// A lacing on what was left out: that its holes lie too near to their edge follows from its own figures.
pub(in super::super) fn foretell(shaper: &mut Shaper<'_>, id: ThingId) {
    let Ok(spec) = shaper.read(id, None, read) else { return };
    let Some(target) = &shaper.design.thing(id).target else { return };
    for anchor in &target.anchors {
        let Ok(of) = shaper.read(anchor.thing, None, |fields| fields.things("of")) else { continue };
        let sorts: Option<Vec<&'static str>> =
            of.iter().map(|a| shaper.known.sheets.get(&a.thing).map(|s| s.stock.sort)).collect();
        let Some(sorts) = sorts else { continue };
        let Some(&sheet) = sorts.first() else { continue };
        let advised = (2.0 * spec.hole).max(if sorts.contains(&"foam") { 10.0 } else { 0.0 });
        let left = spec.margin - 0.5 * spec.hole;
        if spec.hole > LEAST && left < spec.hole - NEAR {
            let field = Some(("margin", spec.margin));
            let torn = errors::Torn { hole: spec.hole, centre: spec.margin, left, advised, sheet, field, across: None };
            shaper.faults.push(errors::tears_out(&torn, spec.margin_span));
            return;
        }
    }
}

/// What a lace may be of: what runs off a reel or comes as a lace, and bends.
const LACES: &[&str] = &["cord", "lace", "wire", "webbing", "elastic", "tape"];

/// The lace and the eyelets go through the holes.
fn goods(shaper: &Shaper<'_>, spec: &Spec) -> Result<(), Stop> {
    let lace = shaper.known.supplies.get(&spec.of).ok_or(Stop::Skip)?;
    if !LACES.contains(&lace.sort) {
        return Err(errors::no_lace(&lace.name, lace.sort, spec.of_span).into());
    }
    let flat = lace.wide.is_some();
    // A flat one is drawn through by its width, folded to half of it at most.
    let thick = match (lace.wide, lace.thick.or(lace.across)) {
        (Some(wide), Some(thick)) => Some((0.5 * wide).max(thick)),
        (Some(wide), None) => Some(0.5 * wide),
        (None, thick) => thick,
    };
    if let Some(thick) = thick
        && thick > spec.hole + 1e-9
    {
        return Err(errors::lace_too_thick((&lace.name, flat), thick, spec.hole, spec.of_span, spec.hole_span).into());
    }
    if let Some((id, span)) = spec.eyelets {
        let eyelet = shaper.known.supplies.get(&id).ok_or(Stop::Skip)?;
        if eyelet.sort != "eyelet" {
            return Err(errors::no_eyelet(&eyelet.name, eyelet.sort, span).into());
        }
        if let Some(clear) = eyelet.across {
            if clear > spec.hole + 1e-9 {
                return Err(errors::eyelet_too_wide(&eyelet.name, clear, spec.hole, span, spec.hole_span).into());
            }
            if let Some(thick) = thick.filter(|t| *t > clear + 1e-9) {
                return Err(errors::lace_too_thick((&lace.name, flat), thick, clear, spec.of_span, span).into());
            }
        }
    }
    Ok(())
}

/// A part's wall and the layer its rows are set out on.
pub(super) fn wall_of(part: &Part) -> Option<(&Wall, &Layer)> {
    match (&part.body, part.layers.first()) {
        (Body::Wall(wall), Some(layer)) => Some((wall, layer)),
        _ => None,
    }
}

/// The rows of holes, as many in each.
pub(super) fn rows(shaper: &Shaper<'_>, spec: &Spec, ons: &[On]) -> Result<Vec<Drafted>, Stop> {
    let mut long = Vec::new();
    for on in ons {
        let (wall, layer) = wall_of(&shaper.solid.parts[on.part.index()]).ok_or(Stop::Skip)?;
        let closed = matches!(on.edge, EdgeOf::Bottom | EdgeOf::Top) && !matches!(wall.seam, Seam::Open(_));
        let lengths: Vec<f64> = match on.edge {
            EdgeOf::SeamBegin | EdgeOf::SeamEnd => (0..wall.rings.len())
                .map(|r| on_flat(wall, r, layer, layer.neutral, |l| l.side(on.edge == EdgeOf::SeamEnd).length()))
                .collect(),
            EdgeOf::Bottom => vec![on_flat(wall, 0, layer, layer.neutral, |l| l.rim_length(false))],
            EdgeOf::Top => vec![on_flat(wall, wall.rings.len() - 1, layer, layer.neutral, |l| l.rim_length(true))],
            EdgeOf::Disc => return Err(Stop::Skip),
        };
        long.push((closed, lengths));
    }
    let closed = long.iter().all(|l| l.0);
    if !closed && long.iter().any(|l| l.0) {
        return Err(errors::open_and_closed(&spec.name, spec.target).into());
    }
    let whole = |l: &[f64]| l.iter().sum::<f64>();
    let mean = long.iter().map(|l| whole(&l.1)).sum::<f64>() / long.len().max(1) as f64;
    let shortest = long.iter().map(|l| whole(&l.1)).fold(f64::INFINITY, f64::min);
    let free = |long: f64| if closed { long } else { long - 2.0 * spec.ends };
    if free(shortest) <= 0.0 {
        return Err(errors::no_room_for_holes(spec.ends, shortest, spec.ends_span).into());
    }
    let n = spec.holes_in(free(mean), closed)?;
    let pitch = |long: f64| free(long) / if closed { n } else { (n - 1.0).max(1.0) };
    let least = pitch(shortest);
    if least < 2.0 * spec.hole {
        return Err(errors::holes_too_close(least, spec.hole, spec.every_span, spec.count.is_some()).into());
    }
    // On edges that go round, holes stand clear of the seam: half a pitch from it, or for a zigzag, whose holes
    // stand between those of the other edge, a quarter.
    let shares = match (closed, spec.sort, ons.len()) {
        (true, "zigzag", 2) => [0.25, 0.75],
        (true, ..) => [0.5, 0.5],
        (false, ..) => [0.0, 0.0],
    };
    let mut rows: Vec<Drafted> = Vec::new();
    for (i, (on, (_, lengths))) in ons.iter().zip(&long).enumerate() {
        let pitch = pitch(whole(lengths));
        let start = if closed { shares[i.min(1)] * pitch } else { spec.ends };
        let mut at = Vec::new();
        let mut k = 0.0;
        while k < n {
            at.push(start + pitch * k);
            k += 1.0;
        }
        let mut holes = row(shaper, spec, on, lengths, &at)?;
        if let Some(first) = rows.first() {
            facing(shaper, first, on.part, &mut holes, closed);
        }
        rows.push(Drafted { part: on.part, edge: on.edge, pitch, closed, holes });
    }
    let paired: Vec<bool> = rows.iter().map(|r| shaper.solid.parts[r.part.index()].pair).collect();
    if paired.windows(2).any(|p| p[0] != p[1]) {
        let what = "a lacing between one of a mirrored pair and a part that is none";
        return Err(errors::not_built_yet(what, spec.target).into());
    }
    Ok(rows)
}

/// More holes in a row than anyone laces.
const MOST: f64 = 1_000.0;
/// The narrowest hole, mm: what can be cut at all, as of an opening.
const LEAST: f64 = 0.1;

/// The holes of one row at places along its edge, ring by ring.
fn row(shaper: &Shaper<'_>, spec: &Spec, on: &On, lengths: &[f64], at: &[f64]) -> Result<Vec<Holed>, Stop> {
    let part = &shaper.solid.parts[on.part.index()];
    let (wall, layer) = wall_of(part).ok_or(Stop::Skip)?;
    let mut out: Vec<Holed> = Vec::with_capacity(at.len());
    let mut before = 0.0;
    let last = lengths.len() - 1;
    for (i, long) in lengths.iter().enumerate() {
        let here: Vec<f64> = at[out.len()..].iter().copied().take_while(|s| *s < before + long || i == last).collect();
        let ring = match on.edge {
            EdgeOf::SeamBegin | EdgeOf::SeamEnd => i,
            EdgeOf::Bottom => 0,
            EdgeOf::Top => wall.rings.len() - 1,
            EdgeOf::Disc => return Err(Stop::Skip),
        };
        let past = std::cell::Cell::new(None);
        let found: Option<Vec<Holed>> = on_flat(wall, ring, layer, layer.neutral, |laid| {
            let edges = laid.edges();
            here.iter()
                .map(|&s| {
                    let along = s - before;
                    let (foot, inward) = beside(laid, on.edge, along);
                    let p = foot + inward * spec.margin;
                    // From the nearer end of the walk: a wide cone's flat comes round to its start again.
                    let late = match on.edge {
                        EdgeOf::SeamBegin => false,
                        EdgeOf::SeamEnd => true,
                        EdgeOf::Bottom | EdgeOf::Top | EdgeOf::Disc => along > 0.5 * long,
                    };
                    let near = edges
                        .iter()
                        .map(|(which, chain)| (*which, laid::distance(chain, p)))
                        .fold((Near::Begin, f64::INFINITY), |a, b| if b.1 < a.1 - 1e-9 { b } else { a });
                    let to_rim = |facing: Near| {
                        let chains = edges.iter().filter(|(which, _)| *which == facing);
                        chains.map(|(_, chain)| laid::distance(chain, foot)).fold(f64::INFINITY, f64::min)
                    };
                    let across = opposite(on.edge).map(to_rim);
                    past.set(across);
                    Some(Holed {
                        across,
                        spot: laid.spot(p, late)?,
                        edge: laid.spot(foot, late)?,
                        along: s,
                        ring_along: along,
                        ring_beyond: long - along,
                        near,
                    })
                })
                .collect()
        });
        let fault = || errors::margin_past_the_wall(spec.margin, spec.hole, past.get(), spec.margin_span);
        out.extend(found.ok_or_else(|| Stop::from(fault()))?);
        before += long;
    }
    Ok(out)
}

/// The point of an edge so far along it on the flat, and the way into the piece there.
fn beside(laid: &laid::Laid<'_>, edge: EdgeOf, along: f64) -> (Vec2, Vec2) {
    let side = |end: bool| {
        let side: Seg = laid.side(end);
        let up = (side.b - side.a).normalize_or_zero();
        (side.a + up * along, if end { left_of(up) } else { -left_of(up) })
    };
    match edge {
        EdgeOf::SeamBegin => side(false),
        EdgeOf::SeamEnd => side(true),
        EdgeOf::Bottom => laid.along_rim(false, along),
        EdgeOf::Top | EdgeOf::Disc => laid.along_rim(true, along),
    }
}

/// Numbers the holes of a second edge from the one that faces the first hole of the first edge, the same way round.
fn facing(shaper: &Shaper<'_>, first: &Drafted, part: PartId, holes: &mut [Holed], closed: bool) {
    if first.part == part {
        return;
    }
    let there: Vec<Vec3> = first.holes.iter().map(|h| outside(shaper, first.part, &h.spot)).collect();
    let here: Vec<Vec3> = holes.iter().map(|h| outside(shaper, part, &h.spot)).collect();
    let (Some(&start), Some(&next), Some(&last)) = (there.first(), there.get(1), there.last()) else { return };
    if !closed {
        let straight = here.first().map_or(0.0, |p| p.distance(start)) + here.last().map_or(0.0, |p| p.distance(last));
        let turned = here.last().map_or(0.0, |p| p.distance(start)) + here.first().map_or(0.0, |p| p.distance(last));
        if turned < straight {
            holes.reverse();
        }
        return;
    }
    let n = here.len();
    // Of equally near ones (a zigzag's stand between two) the one that comes after.
    let off = |i: usize, way: usize| {
        here[i].distance(start) + 0.5 * here[i].distance(next) + here[(i + way) % n].distance(next)
    };
    let best = (0..n)
        .flat_map(|i| [(i, 1), (i, n - 1)])
        .fold((0, 1, f64::INFINITY), |a, (i, way)| if off(i, way) < a.2 - 1e-6 { (i, way, off(i, way)) } else { a });
    if best.1 != 1 && n > 2 {
        holes.reverse();
        holes.rotate_left(n - 1 - best.0);
    } else {
        holes.rotate_left(best.0);
    }
}

/// Where a hole comes out of its part, in the prop.
pub(super) fn outside(shaper: &Shaper<'_>, part: PartId, spot: &Spot) -> Vec3 {
    let part = &shaper.solid.parts[part.index()];
    part.place.apply(spot.point(part.layers.last().map_or(0.0, |l| l.outer)))
}

/// How closely the distance of a hole from a curved edge is told, mm.
pub(in crate::shape) const NEAR: f64 = 0.02;

/// At least a hole's own width of sheet is left round each hole, or it tears out; twice the hole and 10 mm of foam from
/// centre to edge are what is advised, unless cloth over it holds the hole (common practice, no source).
pub(super) fn room(shaper: &mut Shaper<'_>, spec: &Spec, row: &Drafted, on: &On) -> Result<(), Stop> {
    let part = &shaper.solid.parts[row.part.index()];
    let (wall, _) = wall_of(part).ok_or(Stop::Skip)?;
    let rings = wall.rings.len();
    let Some(hole) = row.holes.iter().min_by(|a, b| a.near.1.total_cmp(&b.near.1)) else { return Ok(()) };
    let foam = part.layers.iter().any(|l| shaper.solid.stocks[l.stock].sort == "foam");
    let sheet = part.layers.first().map_or("sheet", |l| shaper.solid.stocks[l.stock].sort);
    let advised = (2.0 * spec.hole).max(if foam { 10.0 } else { 0.0 });
    let along_side = matches!(row.edge, EdgeOf::SeamBegin | EdgeOf::SeamEnd);
    // Its own edge, or the one opposite.
    let own = along_side == matches!(hole.near.0, Near::Begin | Near::End);
    // A ring's rims within a wall are seams between its rings.
    let station = along_side
        && (hole.near.0 == Near::Lower && hole.spot.ring > 0
            || hole.near.0 == Near::Upper && hole.spot.ring + 1 < rings);
    let (field, span) = match (own, station || row.closed) {
        (true, _) => (Some(("margin", spec.margin)), spec.margin_span),
        (false, false) => (Some(("ends", spec.ends)), spec.ends_span),
        (false, true) => (None, spec.every_span),
    };
    // Along a rim with another one over it.
    let facing = opposite(row.edge).filter(|_| own);
    let across = facing.zip(hole.across).map(|(facing, across)| (across, hole.near.0 == facing));
    if let Some((across, true)) = across.filter(|a| spec.margin >= a.0) {
        let at = spec.margin_span;
        return Err(errors::margin_past_the_wall(spec.margin, spec.hole, Some(across), at).into());
    }
    let left = hole.near.1 - 0.5 * spec.hole;
    if left < spec.hole - NEAR {
        let torn = errors::Torn { hole: spec.hole, centre: hole.near.1, left, advised, sheet, field, across };
        return Err(errors::tears_out(&torn, span).into());
    }
    let covered = shaper.design.things.iter().any(|t| {
        t.kind == Kind::Cover && t.target.as_ref().is_some_and(|t| t.anchors.iter().any(|a| a.thing == on.host))
    });
    // A lace pulls across, so the ends of a leaning edge are taken as they are written.
    let centre = if let Some(("ends", written)) = field { written } else { hole.near.1 };
    if centre < advised - NEAR && !covered {
        let left = centre - 0.5 * spec.hole;
        let torn = errors::Torn { hole: spec.hole, centre, left, advised, sheet, field, across };
        shaper.faults.push(errors::near_the_edge(&torn, span));
    }
    Ok(())
}

/// A round hole, so wide, about a point.
pub(super) fn round_hole(across: f64, at: Vec2) -> Path {
    let (a, b) = (at + Vec2::X * (0.5 * across), at - Vec2::X * (0.5 * across));
    Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
}

/// Cuts the holes of all rows, with what is claimed of each.
pub(super) fn cut(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    spec: &Spec,
    rows: &[Drafted],
    letters: &[&str],
) -> Result<Vec<Row>, Stop> {
    let outline = round_hole(spec.hole, Vec2::ZERO);
    let mut out = Vec::new();
    for (row, letter) in rows.iter().zip(letters) {
        let Body::Wall(wall) = &mut shaper.solid.parts[row.part.index()].body else { return Err(Stop::Skip) };
        let edge = match row.edge {
            EdgeOf::SeamBegin => EdgeName::Begin,
            EdgeOf::SeamEnd => EdgeName::End,
            EdgeOf::Bottom => EdgeName::Lower,
            EdgeOf::Top => EdgeName::Upper,
            EdgeOf::Disc => return Err(Stop::Skip),
        };
        let mut holes = Vec::with_capacity(row.holes.len());
        for (i, h) in row.holes.iter().enumerate() {
            let hole = wall.holes.len();
            let size = Size::Row {
                hole,
                edge,
                across: spec.hole,
                margin: spec.margin,
                along: h.ring_along,
                beyond: h.ring_beyond,
            };
            shaper.solid.claims.push(Claim { part: row.part, origin: spec.head, size });
            wall.holes.push(Hole {
                thing: id,
                name: format!("{} {}{letter}", spec.name, i + 1),
                origin: spec.head,
                strip: h.spot.strip,
                rule: h.spot.rule,
                z: h.spot.z,
                outline: outline.clone(),
                number: Some(i + 1),
            });
            holes.push((hole, h.along));
        }
        out.push(Row { part: row.part, edge: row.edge, pitch: row.pitch, holes });
    }
    Ok(out)
}

/// The width of what is laced together: an open seam's gap half-way up, or the least distance of two edges; `None` of
/// one edge.
fn gap(shaper: &Shaper<'_>, rows: &[Drafted], seam: bool) -> Option<f64> {
    let [one, other] = rows else { return None };
    let part = &shaper.solid.parts[one.part.index()];
    if seam {
        let (wall, layer) = wall_of(part)?;
        let (low, high) = (wall.strips.first()?.heights().0, wall.strips.last()?.heights().1);
        let z = 0.5 * (low + high);
        let strip = super::super::known::strip_at(wall, z)?;
        return Some(measure::gap_at(wall, layer.neutral, strip, z, layer.neutral));
    }
    let there = &shaper.solid.parts[other.part.index()];
    let (wall, layer) = wall_of(there)?;
    let (ring, upper) = if other.edge == EdgeOf::Top { (wall.rings.len() - 1, true) } else { (0, false) };
    let outer = there.layers.last()?.outer;
    let rim = on_flat(wall, ring, layer, layer.neutral, |laid| laid.rim_in_space(upper, outer));
    let rim: Vec<Vec3> = rim.into_iter().map(|p| there.place.apply(p)).collect();
    let off = |p: Vec3| {
        let to_line = |w: &[Vec3]| {
            let run = w[1] - w[0];
            let s = ((p - w[0]).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
            (p - w[0] - run * s).length()
        };
        rim.windows(2).map(to_line).fold(f64::INFINITY, f64::min)
    };
    Some(one.holes.iter().map(|h| off(outside(shaper, one.part, &h.edge))).fold(f64::INFINITY, f64::min))
}
