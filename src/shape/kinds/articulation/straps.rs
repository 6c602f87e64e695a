//! The straps of an articulation: inside all plates, from the lowest to the highest, fixed once to each.
//!
//! Conventions chosen here, where the language leaves room:
//! - straps lie on the half that slides, by equal lengths of the innermost plate's inside from one end of the line about
//!   which the plates turn to the other: the outermost two are all but hinges, one alone lies opposite the seam;
//! - where the plates end before that line, the outermost keep clear of the sides;
//! - between two plates a strap is as long as drawn-out plates stand apart there, by that strap's own arc: all of them
//!   come taut at once, and what is too long while the plates are closed hangs slack inside;
//! - a strap is glued down (or sewn) below each plate's free edge, where no other plate slides past; where a rivet is
//!   named beside it, it is riveted there, and runs on past its last ones;
//! - of sheet it is cut [`CUT`] wide.

use super::super::super::{Shaper, errors, measure};
use super::super::patch::{self, Patch};
use super::{Lame, Pair, Spec, point};
use crate::design::{Anchor, Face, Kind};
use crate::eval::Stop;
use crate::fitted::sliding::{Free, Hold, Strap};
use crate::fitted::{GoodsOf, Ground, Lump, Run, Spot};
use crate::geom::path::{Path, Seg};
use crate::geom::strip::Rule;
use crate::geom::walk::Walk;
use crate::geom::{Vec2, Vec3, unit};
use crate::ids::ThingId;
use crate::num::{self, FRAC_PI_2, PI, TAU};
use crate::skin::leaves;
use crate::solid::{Frame, Seam};

/// How wide a strap is cut from sheet, mm (common practice, no source).
const CUT: f64 = 20.0;
/// What is glued ends so far below the plate's edge, mm, and is no longer and no shorter than this (common practice,
/// no source).
const BELOW: f64 = 3.0;
const GLUED: (f64, f64) = (10.0, 25.0);
/// A rivet's middle from the plate's edge, mm: what holes in foam keep (common practice, no source).
const RIVETED: f64 = 10.0;
/// And the strap runs on past its last rivet, mm (common practice, no source).
const PAST: f64 = 15.0;
/// From what holds a strap to the edge that slides past it, mm.
const FREE: f64 = 2.0;
/// From a strap's side to the plate's own, and to the next strap's, mm.
const BESIDE: f64 = 5.0;
/// Points along the slack of a strap, for the eye.
const POINTS: u32 = 16;
/// Holds of one articulation: as many as one attachment may have.
const MOST: f64 = 1_000.0;

/// What straps are of.
pub(super) struct Goods {
    of: Anchor,
    /// The index of their supply; none of sheet.
    supply: Option<usize>,
    wide: f64,
    thick: f64,
    rivet: Option<Rivet>,
}

struct Rivet {
    supply: usize,
    across: f64,
    mass: Option<f64>,
}

impl Goods {
    /// How much of each plate has to stand clear of its neighbour when they are closed.
    pub(super) fn least_shown(&self) -> f64 {
        match &self.rivet {
            Some(rivet) => RIVETED + 0.5 * rivet.across + FREE,
            None => BELOW + GLUED.0 + FREE,
        }
    }
}

/// Reads what the straps are of, and what holds them.
pub(super) fn goods(shaper: &mut Shaper<'_>, spec: &Spec, lames: &[Lame]) -> Result<Goods, Stop> {
    let (of, held) = spec.of.split_first().ok_or(Stop::Skip)?;
    let thing = shaper.design.thing(of.thing);
    let (supply, wide, thick) = if thing.kind == Kind::Stock {
        (None, CUT, shaper.thickness(std::slice::from_ref(of), spec.of_span)?)
    } else {
        let index = shaper.supplied(of.thing).ok_or(Stop::Skip)?;
        let own = &shaper.solid.fitted.supplies[index];
        let wants = ["webbing", "tape"];
        if !wants.contains(&own.sort) {
            return Err(errors::wrong_goods(&own.name, own.sort, &wants, spec.of_span).into());
        }
        let wide = own.wide.or(own.across);
        let wide = wide.ok_or_else(|| Stop::from(errors::no_supply_size(&own.name, "wide", spec.of_span)))?;
        (Some(index), wide, own.thick.unwrap_or(0.0))
    };
    let mut rivet = None;
    for anchor in held {
        let thing = shaper.design.thing(anchor.thing);
        if thing.kind != Kind::Supply {
            let name = thing.name.to_string();
            return Err(errors::wrong_goods(&name, "a stock", &["rivet"], spec.of_span).into());
        }
        let index = shaper.supplied(anchor.thing).ok_or(Stop::Skip)?;
        let own = shaper.solid.fitted.supplies[index].clone();
        if own.sort != "rivet" || rivet.is_some() {
            return Err(errors::wrong_goods(&own.name, own.sort, &["rivet"], spec.of_span).into());
        }
        let across = own.across.ok_or_else(|| Stop::from(errors::no_supply_size(&own.name, "across", spec.of_span)))?;
        let through = lames.iter().map(|l| l.outer - l.inner).fold(0.0, f64::max) + thick;
        if let Some(long) = own.long
            && long < through - 1e-9
        {
            return Err(errors::rivet_too_short(&own.name, long, through, spec.of_span).into());
        }
        rivet = Some(Rivet { supply: index, across, mass: own.mass });
    }
    Ok(Goods { of: of.clone(), supply, wide, thick, rivet })
}

/// One strap's place on one plate.
struct Place {
    rule: Rule,
    /// Height of its middle on the plate.
    z: f64,
    /// The strap's own middle there, in the prop.
    at: Vec3,
    up: Vec3,
    out: Vec3,
}

/// Fixes all straps.
pub(super) fn fix(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    spec: &Spec,
    goods: &Goods,
    pairs: &[Pair<'_>],
    each: f64,
) -> Result<Vec<Strap>, Stop> {
    let lames: Vec<&Lame> = pairs.iter().map(|p| p.lower).chain(pairs.last().map(|p| p.upper)).collect();
    if spec.count * lames.len() as f64 > MOST {
        return Err(errors::too_many_fitted(spec.count * lames.len() as f64, MOST, spec.count_span).into());
    }
    let held = held(spec, goods, pairs)?;
    let first = if spec.outside { lames[0] } else { lames[lames.len() - 1] };
    let mut straps = Vec::new();
    for (k, at) in spread(spec, goods, first)?.into_iter().enumerate() {
        let name = format!("{} strap {}", spec.name, k + 1);
        let places = lames
            .iter()
            .map(|l| place(l, at, spec.outside, held, goods))
            .collect::<Option<Vec<_>>>()
            .ok_or(Stop::Skip)?;
        straps.push(one(shaper, id, spec, goods, (pairs, &lames), (k, name), (&places, held), each)?);
    }
    if let Some(rivet) = &goods.rivet {
        let at = straps.iter().flat_map(|s: &Strap| &s.holds).map(|h| middle(shaper, h)).collect();
        shaper.solid.fitted.lumps.push(Lump {
            thing: id,
            name: format!("{} rivets", spec.name),
            origin: spec.head,
            supply: Some(rivet.supply),
            mass: rivet.mass,
            at,
            spacing: None,
            pair: lames[0].pair,
            contents: false,
        });
    }
    Ok(straps)
}

/// Half-way through the sheet where something is fixed.
fn middle(shaper: &Shaper<'_>, hold: &Hold) -> Vec3 {
    let spot = &shaper.solid.fitted.spots[hold.spot];
    let part = &shaper.solid.parts[spot.part.index()];
    let depth = match (part.layers.first(), part.layers.last()) {
        (Some(a), Some(b)) => 0.5 * (a.inner + b.outer),
        _ => 0.0,
    };
    match spot.on {
        Ground::Wall { rule, z, .. } => part.place.apply(rule.point(z, depth)),
        Ground::Plate { centre } => part.place.apply(centre.extend(0.0)),
        // Lames are walls and straps are plates.
        Ground::Face { .. } | Ground::Leaf { .. } => part.place.origin,
    }
}

/// How long a strap is glued down, 0 where it is riveted, and how far the middle of that lies from the plate's edge.
fn held(spec: &Spec, goods: &Goods, pairs: &[Pair<'_>]) -> Result<(f64, f64), Stop> {
    let mut least: Option<(f64, &Lame)> = None;
    for pair in pairs {
        let over = if spec.outside { pair.upper } else { pair.lower };
        let free = over.wide() - pair.overlap();
        if least.is_none_or(|l| free < l.0) {
            least = Some((free, over));
        }
    }
    let (room, lame) = least.ok_or(Stop::Skip)?;
    if room < goods.least_shown() - 1e-9 {
        let told = errors::NoStrapRoom { name: &lame.name, free: room, least: goods.least_shown() };
        return Err(errors::no_room_for_straps(&told, (spec.overlap_span, lame.head)).into());
    }
    Ok(match goods.rivet {
        Some(_) => (0.0, RIVETED),
        None => {
            let long = (room - BELOW - FREE).min(GLUED.1);
            (long, BELOW + 0.5 * long)
        }
    })
}

/// Points on the inside of the innermost plate at which straps lie, in its own plane.
fn spread(spec: &Spec, goods: &Goods, lame: &Lame) -> Result<Vec<Vec2>, Stop> {
    let walk = Walk::new(&lame.strip);
    let (z, d) = (0.5 * lame.tall, lame.inner);
    let at = |turn: f64| -> Result<f64, Stop> {
        let rule = measure::facing(&lame.strip, lame.facing + turn).ok_or(Stop::Skip)?;
        walk.find(&rule).map(|p| walk.length(p, z, d)).ok_or(Stop::Skip)
    };
    let (mut from, mut to) = (at(FRAC_PI_2)?, at(PI + FRAC_PI_2)?);
    if matches!(lame.seam, Seam::Open(_)) {
        let keep = 0.5 * goods.wide + BESIDE;
        for z in [0.0, lame.tall] {
            let (start, end) = leaves(&walk, lame.seam, z, lame.neutral);
            // At half its height, where straps are spread.
            from = from.max(walk.length(start, 0.5 * lame.tall, d) + keep);
            to = to.min(walk.length(end, 0.5 * lame.tall, d) - keep);
        }
    }
    let there = |s: f64| walk.rule(walk.at_length(s, z, d)).point(z, d).truncate();
    let n = spec.count;
    let needs = (n - 1.0) * (goods.wide + BESIDE);
    if to - from < needs - 1e-9 {
        let d =
            errors::too_many_straps((n, goods.wide), ((to - from).max(0.0) + goods.wide, &lame.name), spec.count_span);
        return Err(d.into());
    }
    if n < 2.0 {
        return Ok(vec![there(at(PI)?.clamp(from, to))]);
    }
    let mut out = Vec::new();
    let mut k = 0.0;
    while k < n {
        out.push(there(from + (to - from) * k / (n - 1.0)));
        k += 1.0;
    }
    Ok(out)
}

/// Where a strap that begins at a point of the innermost plate lies on another: as near to that as it can.
fn place(lame: &Lame, from: Vec2, outside: bool, (_, edge): (f64, f64), goods: &Goods) -> Option<Place> {
    let walk = Walk::new(&lame.strip);
    let (z, d) = (0.5 * lame.tall, lame.inner);
    let around = walk.around(z, d);
    let off = |s: f64| walk.rule(walk.at_length(s, z, d)).point(z, d).truncate().distance(from);
    let step = around / 360.0;
    let near = (0..=360).map(|i| step * f64::from(i)).min_by(|a, b| off(*a).total_cmp(&off(*b)))?;
    let (at, _) = num::peak((near - step).max(0.0), (near + step).min(around), |s| -off(s));
    let rule = walk.rule(walk.at_length(at, z, d));
    let along = edge / lame.slope(&rule);
    let z = if outside { lame.tall - along } else { along };
    let (normal, right) = (rule.normal(), rule.tangent());
    Some(Place {
        rule,
        z,
        at: point(lame, &rule, z, lame.inner) - lame.frame.direction(normal) * (0.5 * goods.thick),
        up: lame.frame.direction(normal.cross(right)),
        out: lame.frame.direction(normal),
    })
}

/// One strap: its marks on the plates, its lengths, and itself.
fn one(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    spec: &Spec,
    goods: &Goods,
    (pairs, lames): (&[Pair<'_>], &[&Lame]),
    (k, name): (usize, String),
    (places, (long, _)): (&[Place], (f64, f64)),
    each: f64,
) -> Result<Strap, Stop> {
    let axis = lames[0].frame.z;
    let mut free = Vec::with_capacity(pairs.len());
    for (i, pair) in pairs.iter().enumerate() {
        let (a, b) = (&places[i], &places[i + 1]);
        // From where it is glued down last on the one to where it is first on the other.
        let way = (b.at - b.up * (0.5 * long)) - (a.at + a.up * (0.5 * long));
        let up = way.dot(axis);
        let across = (way - axis * up).length();
        let slide = pair.off_line(if spec.outside { &a.rule } else { &b.rule }) * each;
        let drawn = ((up + slide) * (up + slide) + across * across).sqrt();
        free.push(Free { closed: way.length(), drawn });
    }
    let past = if goods.rivet.is_some() { PAST } else { 0.0 };
    let mut holds = Vec::with_capacity(lames.len());
    let mut at = past + 0.5 * long;
    for (i, (lame, place)) in lames.iter().zip(places).enumerate() {
        let spot = shaper.solid.fitted.spots.len();
        let (face, outline) = match &goods.rivet {
            Some(rivet) => (Face::Outside, circle(rivet.across)),
            None => (Face::Inside, rectangle(goods.wide, long)),
        };
        shaper.solid.fitted.spots.push(Spot {
            part: lame.part,
            over: Vec::new(),
            thing: id,
            name: format!("{} {}-{}", spec.name, k + 1, i + 1),
            origin: spec.head,
            face,
            on: Ground::Wall { strip: 0, rule: place.rule, z: place.z },
            outline,
            hollow: None,
        });
        holds.push(Hold { spot, at, long });
        at += long + free.get(i).map_or(0.0, |f| f.drawn);
    }
    let last = holds.last().map_or(0.0, |h| h.at);
    let whole = last + 0.5 * long + past;
    let (mut run, mut part) = (None, None);
    match goods.supply {
        Some(supply) => {
            run = Some(shaper.solid.fitted.runs.len());
            shaper.solid.fitted.runs.push(Run {
                thing: id,
                name: name.clone(),
                origin: spec.head,
                goods: GoodsOf::Supply(supply),
                rows: 1,
                line: line(places, &free, long),
                along: whole - 2.0 * past,
                spare: 2.0 * past,
                pair: lames[0].pair,
            });
        }
        None => part = Some(cut(shaper, id, spec, goods, (lames, places), (k, &name), (&holds, whole))?),
    }
    let facing = num::wrap(places[0].rule.phi, TAU);
    Ok(Strap { name, facing, run, part, long: whole, wide: goods.wide, riveted: goods.rivet.is_some(), holds, free })
}

/// A strap of sheet: a piece with its own marks.
fn cut(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    spec: &Spec,
    goods: &Goods,
    (lames, places): (&[&Lame], &[Place]),
    (k, name): (usize, &str),
    (holds, whole): (&[Hold], f64),
) -> Result<crate::ids::PartId, Stop> {
    let half = &places[places.len() / 2];
    let frame = Frame { origin: half.at, x: half.up, y: half.out.cross(half.up), z: half.out };
    let made = Patch {
        thing: id,
        name: name.to_owned(),
        origin: spec.head,
        of: goods.of.clone(),
        size: (goods.wide, whole),
        span: spec.of_span,
        frame,
        pair: lames[0].pair,
    };
    let part = patch::add(shaper, made)?;
    for (i, hold) in holds.iter().enumerate() {
        let outline = match &goods.rivet {
            Some(rivet) => circle(rivet.across),
            // A line across the strap at either end, clear of its edges.
            None => rectangle(goods.wide - 2.0, hold.long - 2.0),
        };
        shaper.solid.fitted.spots.push(Spot {
            part,
            over: Vec::new(),
            thing: id,
            name: format!("{} {}-{}", spec.name, k + 1, i + 1),
            origin: spec.head,
            face: Face::Outside,
            // On a plate's flat its section's x is up the page.
            on: Ground::Plate { centre: Vec2::new(hold.at - 0.5 * whole, 0.0) },
            outline,
            hollow: None,
        });
    }
    Ok(part)
}

/// As it lies when the plates are closed: glued down on each, slack between.
fn line(places: &[Place], free: &[Free], long: f64) -> Vec<Vec3> {
    let mut out = Vec::new();
    for (i, place) in places.iter().enumerate() {
        let (low, high) = (place.at - place.up * (0.5 * long), place.at + place.up * (0.5 * long));
        if long > 0.0 {
            out.extend([low, high]);
        } else {
            out.push(place.at);
        }
        if let (Some(next), Some(free)) = (places.get(i + 1), free.get(i)) {
            let to = next.at - next.up * (0.5 * long);
            out.extend(slack(high, to, free.drawn, -(place.out + next.out)));
        }
    }
    out
}

/// Points of an arc as long as the strap, from one place to another, that hangs inwards.
fn slack(from: Vec3, to: Vec3, long: f64, inward: Vec3) -> Vec<Vec3> {
    let way = to - from;
    let chord = way.length();
    if long <= chord + 1e-6 || chord < 1e-9 {
        return Vec::new();
    }
    let along = way / chord;
    let inward = (inward - along * inward.dot(along)).normalize_or_zero();
    // Of half the arc's turn: its chord is to its length as the sine is to it.
    let Some(half) = num::root(1e-6, PI - 1e-6, 1e-12, |x| num::sin(x) / x - chord / long) else { return Vec::new() };
    let radius = 0.5 * long / half;
    let rim = unit(half).x;
    (1..POINTS)
        .map(|i| {
            let u = unit(half * (2.0 * f64::from(i) / f64::from(POINTS) - 1.0));
            from + along * (0.5 * chord + radius * u.y) + inward * (radius * (u.x - rim))
        })
        .collect()
}

fn rectangle(across: f64, up: f64) -> Path {
    let (x, y) = (0.5 * across, 0.5 * up);
    Path::polygon(&[Vec2::new(-x, -y), Vec2::new(x, -y), Vec2::new(x, y), Vec2::new(-x, y)])
}

fn circle(across: f64) -> Path {
    let (a, b) = (Vec2::new(0.5 * across, 0.0), Vec2::new(-0.5 * across, 0.0));
    Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
}
