//! `keel`: a ridge of two flat flanks along a wall (`geom::keel` says what planes they are).
//!
//! Conventions chosen here, where the language leaves room:
//! - `wide` and `rise` hold at the keel's own level: along a cone it grows and falls with the cone;
//! - its ends are level, open, and by default those of the wall;
//! - it lies on one stretch of wall between two stations.

use super::super::known::Keeled;
use super::super::{Shaper, errors, goods, joints, measure};
use super::{place, posture, shell};
use crate::design::{Anchor, Face, Relation};
use crate::eval::{Fields, Stop};
use crate::fitted::{self, Ridge, Spot};
use crate::geom::about::About;
use crate::geom::keel::{Asked, Fault, Flank, Keel, keel};
use crate::geom::path::Path;
use crate::geom::strip::Rule;
use crate::geom::walk::Walk;
use crate::geom::{Vec2, tol};
use crate::ids::{PartId, ThingId};
use crate::num::PI;
use crate::solid::{Body, Claim, Contact, EdgeName, EdgeRef, Frame, OfKeel, Part, Plate, Rim, Size, Wall};
use crate::span::Span;

struct Spec {
    name: String,
    head: Span,
    of: Vec<Anchor>,
    of_span: Span,
    measured: Face,
    pair: bool,
    wide: f64,
    wide_span: Span,
    rise: f64,
    rise_span: Span,
    long: Option<f64>,
    long_span: Span,
    level: Option<f64>,
    level_span: Span,
    facing: f64,
    facing_span: Span,
    gap: f64,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let name = thing.name.to_string();
    posture::no_lean(fields, "a keel lies along its wall")?;
    if fields.maybe_number("spin")?.is_some_and(|s| s != 0.0) {
        return Err(errors::not_built_yet("a keel that is turned on its wall", fields.span("spin")).into());
    }
    if posture::shift(fields)? != crate::geom::Vec3::ZERO {
        return Err(errors::not_built_yet(
            "a keel that is moved: give it a `facing` and a `level`; this",
            fields.span("shift"),
        )
        .into());
    }
    Ok(Spec {
        name,
        head: thing.head,
        of: fields.things("of")?,
        of_span: fields.span("of"),
        measured: shell::face(fields.maybe("measured")?.as_ref()),
        pair: fields.maybe_word("pair")?.is_some(),
        wide: fields.length("wide")?,
        wide_span: fields.span("wide"),
        rise: fields.length("rise")?,
        rise_span: fields.span("rise"),
        long: fields.maybe_number("long")?,
        long_span: fields.span("long"),
        level: if fields.written("level") { fields.maybe_number("level")? } else { None },
        level_span: fields.span("level"),
        facing: fields.maybe_direction("facing")?.unwrap_or(0.0),
        facing_span: if fields.written("facing") { fields.span("facing") } else { thing.head },
        gap: fields.maybe_number("gap")?.unwrap_or(0.0),
    })
}

/// Builds a keel.
///
/// # Errors
/// When it cannot stand on its wall, or stands on what this version does not put one on.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let target = shaper.design.thing(id).target.as_ref().filter(|t| t.relation == Relation::On).ok_or(Stop::Skip)?;
    let anchor = target.anchors.first().ok_or(Stop::Skip)?;
    if anchor.edge.is_some() || target.anchors.len() > 1 {
        return Err(errors::not_built_yet("a keel on an edge or on several parts", target.span).into());
    }
    let host = place::built(shaper, anchor, target.span)?;
    let (shell, _) = place::host_wall(shaper, host)?;
    let (tall, outer, part) = (shell.tall, shell.outer, shell.part);
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), read)?;
    let middle = spec.level.unwrap_or(0.5 * tall);
    let (from, to) = spec.long.map_or((0.0, tall), |long| (middle - 0.5 * long, middle + 0.5 * long));
    if from < -tol::SAME || to > tall + tol::SAME || !(from..=to).contains(&middle) {
        let span = if spec.long.is_some() { spec.long_span } else { spec.level_span };
        return Err(errors::keel_past_end(&spec.name, (from, to), tall, span).into());
    }
    let (_, wall) = place::host_wall(shaper, host)?;
    let index = wall.strips.iter().position(|s| from >= s.heights().0 - tol::SAME && to <= s.heights().1 + tol::SAME);
    let Some(index) = index else {
        return Err(errors::not_built_yet("a keel across a station where its wall bends", spec.head).into());
    };
    if wall.scallops.is_some() || wall.rings.iter().any(|r| [r.lower, r.upper].iter().any(|rim| rim.is_uneven())) {
        return Err(
            errors::not_built_yet("a keel on a wall whose ends are cut sloping or to a figure", target.span).into()
        );
    }
    let rule = measure::facing(&wall.strips[index], spec.facing).ok_or(Stop::Skip)?;
    let strip = wall.strips[index].begun_at(rule.phi + PI).ok_or(Stop::Skip)?;
    let walk = Walk::new(&strip);
    let thick = shaper.thickness(&spec.of, spec.of_span)?;
    let inner = goods::inner_depth(thick, spec.measured);
    let asked = Asked {
        rule,
        depth: outer + spec.gap,
        wide: spec.wide,
        rise: spec.rise,
        middle,
        from,
        to,
        faces: [inner, inner + thick],
    };
    let host_name = shaper.design.thing(host).name.to_string();
    let built = |asked: &Asked| keel(&walk, asked).map_err(|fault| refused(fault, &spec, &host_name, (rule, thick)));
    let whole = built(&asked)?;
    let faces = shaper.solid.parts[part.index()].layers.last().map_or((outer, outer), |l| (l.inner, l.outer));
    let asked = if spec.long.is_none() { within_rims(wall, &walk, faces, &whole, asked) } else { asked };
    let made = built(&asked)?;
    let below = &shaper.solid.parts[part.index()];
    let (place, pair) = (below.place, spec.pair || below.pair);
    let parts = push(shaper, (id, &spec), (&made, inner, thick), (place, pair));
    join(shaper, &parts, &made, place);
    claims(shaper, &parts, &spec, (part, index), (&asked, &made));
    mark(shaper, (id, &spec), (part, index), (&walk, &asked, &made));
    let long = made.ridge[0].distance(made.ridge[1]);
    let flank = |f: &Flank| (f.wide, f.lands, f.meets, f.off);
    let glued: f64 = made.flanks.iter().map(|f| f.lands).sum::<f64>() * (asked.to - asked.from) * rule.secant();
    shaper.solid.fitted.ridges.push(Ridge {
        thing: id,
        name: spec.name.clone(),
        parts: [parts[0], parts[1]],
        on: (part, host_name),
        wide: spec.wide,
        rise: spec.rise,
        long,
        level: middle,
        between: made.between,
        flanks: made.flanks.iter().map(flank).collect(),
        glued,
        pair,
    });
    shaper.known.keels.insert(id, Keeled { parts, long, level: middle, inner, outer: inner + thick });
    shaper.known.frames.insert(id, place);
    Ok(())
}

/// What runs from rim to rim ends with the face that it stands on and with all that is cut below it: a rim that is cut
/// square lies elsewhere there than on the measured face, and one that is level is narrower on one of the sheet's faces.
fn within_rims(wall: &Wall, walk: &Walk, (inner, outer): (f64, f64), whole: &Keel, asked: Asked) -> Asked {
    let ends = |flank: &Flank| flank.line.first().map_or(0.0, |p| p.0);
    let [left, right] = [ends(&whole.flanks[0]), ends(&whole.flanks[1])];
    let sine = |i: u32| {
        let round = left + (right - left) * f64::from(i) / 32.0;
        walk.rule(walk.at_length(round, asked.middle, asked.depth)).sine()
    };
    let (low, high) = (0..=32).map(sine).fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
    // How far past the rim, the way that is outward of it, a foot at a rim's own height would lie: at the depth `d` of the
    // face by which the rim is judged, along the normal.
    let past = |rim: Option<Rim>, outward: f64| {
        let by = |d: f64| [low, high].map(|sine| outward * (asked.depth - d) * sine).into_iter().fold(0.0, f64::max);
        match rim {
            Some(Rim::Square) => by(0.0),
            Some(Rim::Level) => by(inner).max(by(outer)),
            _ => 0.0,
        }
    };
    let (first, last) = (wall.rings.first().map(|r| r.lower), wall.rings.last().map(|r| r.upper));
    // No more than is seen on a rule, so that a line between two of them is not past it.
    let hair = |by: f64| if by > 0.0 { by + 0.05 } else { 0.0 };
    Asked { from: asked.from + hair(past(first, -1.0)), to: asked.to - hair(past(last, 1.0)), ..asked }
}

fn refused(fault: Fault, spec: &Spec, host: &str, (rule, thick): (Rule, f64)) -> Stop {
    let name = &spec.name;
    match fault {
        Fault::TooWide(most) => errors::keel_too_wide(name, host, spec.wide, most, spec.wide_span).into(),
        Fault::Askew(off) => errors::keel_askew(name, host, rule.phi, off, spec.facing_span).into(),
        Fault::TooThick(lacks) => errors::keel_too_thick(name, thick, lacks, spec.rise_span).into(),
        Fault::StandsOff(off) => errors::keel_stands_off(name, host, off, spec.wide_span).into(),
        Fault::NotThere => errors::keel_too_wide(name, host, spec.wide, 0.0, spec.wide_span).into(),
    }
}

/// The flanks, the left one as seen from outside first.
fn push(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    (made, inner, thick): (&Keel, f64, f64),
    (place, pair): (Frame, bool),
) -> Vec<PartId> {
    let mut parts = Vec::with_capacity(2);
    for (i, flank) in made.flanks.iter().enumerate() {
        let layers = shaper.layers(&spec.of, inner, f64::INFINITY);
        let id_of = shaper.next_part();
        let plate = Plate::standing(flank.strip.clone(), [inner, inner + thick]);
        shaper.solid.parts.push(Part {
            id: id_of,
            thing: id,
            name: format!("{} flank {}", spec.name, i + 1),
            origin: spec.head,
            pair,
            layers,
            body: Body::Plate(plate),
            place: place.of(&flank.frame),
            split: true,
        });
        parts.push(id_of);
    }
    parts
}

/// The ridge, where both meet half-way between their planes.
fn join(shaper: &mut Shaper<'_>, parts: &[PartId], made: &Keel, place: Frame) {
    let edge = |i: usize| EdgeRef { part: parts[i], ring: 0, edge: EdgeName::Side(made.flanks[i].ridge) };
    let [from, to] = made.ridge.map(|p| place.apply(p));
    shaper.joints.push(joints::Draft {
        a: edge(0),
        b: edge(1),
        contact: Contact::Line { from, to, lapped: false },
        what: "ridge".to_owned(),
    });
}

fn claims(
    shaper: &mut Shaper<'_>,
    parts: &[PartId],
    spec: &Spec,
    (wall, strip): (PartId, usize),
    (asked, made): (&Asked, &Keel),
) {
    let mut add = |part: PartId, origin: Span, size: Size| shaper.solid.claims.push(Claim { part, origin, size });
    let of = |size: OfKeel| Size::Keel {
        other: parts[1],
        wall,
        strip,
        facing: asked.rule.phi,
        z: asked.middle,
        depth: asked.depth,
        size,
    };
    add(parts[0], spec.of_span, Size::Thick { mm: asked.faces[1] - asked.faces[0] });
    add(parts[0], spec.wide_span, of(OfKeel::Wide(spec.wide)));
    add(parts[0], spec.rise_span, of(OfKeel::Rise(spec.rise)));
    if let Some(long) = spec.long {
        add(parts[0], spec.long_span, of(OfKeel::Long(long)));
    }
    let off = made.flanks.iter().map(|f| f.off).fold(0.0, f64::max);
    add(parts[0], spec.head, of(OfKeel::Stands { off }));
}

/// Chords of what is marked stand off it by less than this, mm: so many to an end.
const ENDS: u32 = 24;

/// Marks its place on the wall: what its flanks' outer faces and its ends enclose.
fn mark(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    (part, strip): (PartId, usize),
    (walk, asked, made): (&Walk, &Asked, &Keel),
) {
    let below = &shaper.solid.parts[part.index()];
    let Some(layer) = below.layers.last() else { return };
    let z = asked.middle + asked.depth * asked.rule.sine();
    let Some(about) = About::new(walk, &asked.rule, z, layer.neutral) else { return };
    let put = |&(round, z): &(f64, f64)| -> Vec2 {
        let at = walk.at_length(round, asked.middle, asked.depth);
        about.put(at, z - (layer.neutral - asked.depth) * walk.rule(at).sine())
    };
    let [left, right] = [0, 1].map(|i| &made.flanks[i].line);
    // From the lower end up on the right, back along the upper end, and down on the left.
    let across = |from: &(f64, f64), to: &(f64, f64)| -> Vec<Vec2> {
        let share = |i: u32| f64::from(i) / f64::from(ENDS);
        let point = |s: f64| (from.0 + (to.0 - from.0) * s, from.1 + (to.1 - from.1) * s);
        (1..ENDS).map(|i| put(&point(share(i)))).collect()
    };
    let (Some(l0), Some(l1), Some(r0), Some(r1)) = (left.first(), left.last(), right.first(), right.last()) else {
        return;
    };
    let mut points: Vec<Vec2> = right.iter().map(put).collect();
    points.extend(across(r1, l1));
    points.extend(left.iter().rev().map(put));
    points.extend(across(l0, r0));
    // Places on one straight line are one.
    let straight = |a: Vec2, b: Vec2, c: Vec2| (b - a).perp_dot(c - a).abs() <= 1e-6 * (c - a).length();
    let n = points.len();
    let kept: Vec<Vec2> = (0..n)
        .filter(|&i| !straight(points[(i + n - 1) % n], points[i], points[(i + 1) % n]))
        .map(|i| points[i])
        .collect();
    let outline = Path::polygon(&kept);
    let outline = if outline.area() < 0.0 { outline.reversed() } else { outline };
    let spot = Spot {
        part,
        over: Vec::new(),
        thing: id,
        name: spec.name.clone(),
        origin: spec.head,
        face: Face::Outside,
        on: fitted::Ground::Wall { strip, rule: asked.rule, z },
        outline,
        hollow: None,
    };
    shaper.solid.fitted.spots.push(spot);
}
