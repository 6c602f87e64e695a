//! The rings of a bent shell.

use super::super::super::known::{Bent as Known, BentRing};
use super::super::super::seam::{self, Joined, Stagger};
use super::super::super::wall::{self, Stationed};
use super::super::super::{Shaper, errors, goods, joints, measure};
use super::super::place::{self, Ground};
use super::super::shell::{self, Spec};
use super::super::sloped::{self, LEAST};
use super::super::stations;
use super::super::{foot, passes, stand};
use super::hulled::{self, hulled};
use super::read::Bent;
use crate::eval::Stop;
use crate::geom::plane::Plane;
use crate::geom::section::{Curve, Section};
use crate::geom::spine::{self, Cone, Piece};
use crate::geom::strip::Strip;
use crate::geom::{Vec2, Vec3, angle, tol};
use crate::ids::{PartId, ThingId};
use crate::num::{self, FRAC_PI_2, PI, TAU};
use crate::shape::section::Given;
use crate::solid::{Body, Claim, Contact, EdgeName, EdgeRef, Frame, OfSeen, Part, Rim, Ring, Seam, Size, Wall};

/// A slope of a wall changes where it changes by more than this.
const KINK: f64 = 1e-9;

/// One ring before it is a part.
pub(super) struct Raw {
    pub frame: Frame,
    /// As far as its rims reach; between leaning sections only where both are (`geom::hull`).
    pub strip: Strip,
    /// The planes of its joints, in its own frame; none at an end of the spine.
    pub lower: Option<Plane>,
    pub upper: Option<Plane>,
    /// Where the spine's own end lies along its axis.
    pub ends: (f64, f64),
    /// Where that is on the spine, and by how much its directions are turned from the spine's.
    pub from: f64,
    pub turn: f64,
    pub facing: f64,
    /// Widths of its level sections that the text fixes.
    pub widths: Vec<(f64, f64)>,
    /// Lengths along the wall that the text fixes, by the direction they face.
    pub lengths: Vec<(f64, f64)>,
    /// Sizes of the stations at its cuts, as they are seen along its axis: of which station, and in which plane.
    pub seen: Vec<(usize, Plane, OfSeen)>,
    /// How far the spine turns from the piece before to this one.
    pub turns: f64,
}

/// The stations as radii along the spine, where all are round about it.
fn profile(placed: &[Stationed]) -> Option<Vec<(f64, f64)>> {
    placed.iter().map(|s| Some((s.z, round(&s.section)?))).collect()
}

fn round(section: &Section) -> Option<f64> {
    let Curve::Round { centre, radius } = section.elements().first()?.curve else { return None };
    let whole = section.elements().iter().all(|e| e.curve == Curve::Round { centre, radius });
    (whole && centre.length() < tol::SAME).then_some(radius)
}

/// The radius at a place of a profile.
fn radius_at(profile: &[(f64, f64)], at: f64) -> f64 {
    let on = |w: &[(f64, f64)]| w[0].1 + (w[1].1 - w[0].1) * ((at - w[0].0) / (w[1].0 - w[0].0));
    let within = profile.windows(2).find(|w| at <= w[1].0 + tol::SAME);
    within.or_else(|| profile.windows(2).last()).map_or(0.0, on)
}

/// Builds a shell on a bent spine.
///
/// # Errors
/// When it cannot be built as it is written.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId, ground: Ground, bent: &Bent) -> Result<(), Stop> {
    let levels = bent.long().map(|tall| [0.0, 0.5 * tall, tall]);
    let spec = shaper.read(id, levels, shell::read)?;
    let not_yet = |what: &str, span| -> Result<(), Stop> { Err(errors::not_built_yet(what, span).into()) };
    if matches!(ground, Ground::In { .. } | Ground::Over { .. } | Ground::Wall { .. }) {
        not_yet("a bent shell in, over or on the wall of another", spec.head)?;
    }
    if spec.along_wall {
        not_yet("stations along the wall of a bent shell", spec.head)?;
    }
    if let Some((made, count, span)) = spec.made
        && (made != "rolled" || count > 1.0)
    {
        let pieces = if count > 1.0 { format!(" in {count} pieces") } else { String::new() };
        not_yet(&format!("a bent wall made as `{made}`{pieces}"), span)?;
    }
    if spec.stations.is_empty() {
        return Err(errors::no_stations(&spec.name, spec.head).into());
    }
    if let Some(s) = spec.stations.iter().find(|s| s.lowered.sharp) {
        not_yet("a bent wall with sharp corners", s.section)?;
    }
    let joined = match &spec.seam {
        Some(j) => j.clone(),
        None => seam::read(None, spec.head)?,
    };
    if matches!(joined.seam, Seam::Open(_) | Seam::Backed(_)) {
        not_yet("an open or backed seam of a bent shell", joined.span)?;
    }
    foot::none(spec.foot, "a bent shell")?;
    let thick = shaper.thickness(&spec.of, spec.of_span)?;
    let inner = goods::inner_depth(thick, spec.measured);
    let outer = inner + thick;
    let placed = stations::placed(&spec.stations, false, joined.facing)?;
    let whole = placed.last().map_or(0.0, |s| s.z);
    let bent = bent.with_open(whole)?;
    check_sections(&spec, &placed, &bent)?;
    if let (true, Some(s)) = (bent.closed, spec.stations.iter().find(|s| s.lowered.leans.is_some())) {
        not_yet("a station that leans on a ring", s.section)?;
    }

    let inner_leans = spec.stations[1..spec.stations.len() - 1].iter().find(|s| s.lowered.leans.is_some());
    if let (true, Some(s)) = (bent.flipped, inner_leans) {
        return Err(errors::leans_at_a_cut(s.section).into());
    }
    let by_hull = !bent.flipped && (inner_leans.is_some() || (profile(&placed).is_none() && !is_one(&placed)));
    let mut raws = match bent.flipped {
        true => flipped(&placed, &bent, &joined)?,
        false if by_hull => hulled(&spec, &placed, &bent, &joined)?,
        false => mitred(&spec, &placed, &bent, &joined)?,
    };
    check_room(&spec, &raws, &bent, [inner, outer])?;
    for raw in raws.iter_mut().filter(|r| !r.strip.is_between_leaning()) {
        raw.strip = reaching(raw).ok_or(Stop::Skip)?;
    }

    if matches!(ground, Ground::Beside { .. }) && spec.posture.leans() {
        not_yet("a bent shell beside another that leans", spec.head)?;
    }
    let toward = spec.facing + PI - spec.posture.spin;
    let reach = placed.iter().map(|s| s.section.support(toward).h).fold(0.0, f64::max) + outer;
    let base = place::frame(shaper, ground, spec.level.unwrap_or(0.0), (spec.facing, spec.gap), reach)?;
    let base = spec.posture.stand(base);
    let pair = spec.pair || place::on_pair(shaper, ground);
    let mut parts: Vec<PartId> = Vec::with_capacity(raws.len());
    let many = raws.len();
    for (i, raw) in raws.iter().enumerate() {
        let (first, last) = (i == 0, i + 1 == many);
        let lower = match raw.lower {
            Some(plane) => Rim::Plane(plane),
            None => end(shaper, id, ground, &spec, (&placed[0], &raw.strip), false)?,
        };
        let upper = match raw.upper {
            Some(plane) => Rim::Plane(plane),
            None => end(shaper, id, ground, &spec, (&placed[placed.len() - 1], &raw.strip), true)?,
        };
        let bend = measure::mean_bend(std::slice::from_ref(&raw.strip), inner);
        let layers = shaper.layers(&spec.of, inner, bend);
        if layers.len() > 1 && joined.stagger != Stagger::None {
            not_yet("turning each layer's seam from the last (`stagger`)", joined.span)?;
        }
        let neutral = layers.first().map_or(0.0, |l| l.neutral);
        let lower =
            closed_at(lower, &raw.strip, false, neutral).ok_or_else(|| shell::no_room_to_close(&spec, false))?;
        let upper = closed_at(upper, &raw.strip, true, neutral).ok_or_else(|| shell::no_room_to_close(&spec, true))?;
        let strips = vec![raw.strip.clone()];
        seam::check(&joined, &strips, neutral)?;
        let rings = vec![Ring { strips: 0..1, lower, upper }];
        wall::check(&strips, &rings, inner, outer).map_err(|f| shell::fault(f, &spec))?;
        let part = shaper.next_part();
        let body = Wall::plain(strips, rings, raw.facing, joined.seam);
        let frame = base.of(&raw.frame);
        let made = Part {
            id: part,
            thing: id,
            name: if many > 1 { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() },
            origin: spec.head,
            pair,
            layers,
            body: Body::Wall(body.clone()),
            place: frame,
            split: spec.split,
        };
        let stands = if first { stand::joint(shaper, ground, &made, outer)? } else { None };
        joints::of_wall(shaper, part, &body);
        shaper.joints.extend(stands);
        claims(shaper, part, &spec, &placed, (raw, first, last), &joined, thick);
        shaper.solid.parts.push(made);
        if let Some(&below) = parts.last() {
            meet(shaper, below, part);
            let step = hulled::step(&raws[i - 1], raw, [inner, outer]);
            if step >= hulled::TOLD {
                let name = |i: usize| format!("{} {}", spec.name, i + 1);
                let warning = errors::joint_step([&name(i - 1), &name(i)], step, spec.head);
                shaper.faults.push(warning);
            }
            // The way the generatrices run shows the axis of tubes and cones alone; the planes of the cuts say it of others.
            if !by_hull {
                let size = Size::Turned { from: below, angle: raw.turns };
                shaper.solid.claims.push(Claim { part, origin: bent.span, size });
            }
        }
        parts.push(part);
    }
    if let (true, Some(&first), Some(&last)) = (bent.closed, parts.first(), parts.last()) {
        meet(shaper, last, first);
    }
    shaper.known.frames.insert(id, base);
    passes::ask(shaper, id, spec.passes, parts.clone());
    if let Some(first) = parts.first() {
        stand::mark(shaper, ground, *first, None);
    }
    let level = spec.level.unwrap_or(0.0);
    let ring = |r: &Raw| BentRing { from: r.from, long: r.ends.1 - r.ends.0, z: r.ends.0, turn: r.turn };
    let rings = raws.iter().map(ring).collect();
    shaper.known.bent.insert(id, Known { parts, rings, long: whole, inner, outer, level });
    Ok(())
}

/// Where a ring of a bent shell meets the next.
fn meet(shaper: &mut Shaper<'_>, below: PartId, above: PartId) {
    shaper.joints.push(joints::Draft {
        a: EdgeRef { part: below, ring: 0, edge: EdgeName::Upper },
        b: EdgeRef { part: above, ring: 0, edge: EdgeName::Lower },
        contact: Contact::Rim { part: below, ring: 0, upper: true, depth: 0.0, other: 0.0 },
        what: "ring joint".to_owned(),
    });
}

/// How an end of the whole wall is cut.
fn end(
    shaper: &Shaper<'_>,
    id: ThingId,
    ground: Ground,
    spec: &Spec,
    (station, strip): (&Stationed, &Strip),
    at_top: bool,
) -> Result<Rim, Stop> {
    let (z0, z1) = strip.heights();
    let z = if at_top { z1 } else { z0 };
    if station.point {
        return Ok(Rim::Closed(z));
    }
    if let Some(normal) = station.leans {
        let plane = Plane { at: station.section.middle().extend(z), normal };
        return Ok(if spec.rim == Some("level") { Rim::Plane(plane) } else { Rim::PlaneSquare(plane) });
    }
    let stands = !at_top && matches!(ground, Ground::Edge { .. } | Ground::Cap { .. });
    Ok(match spec.rim {
        Some("level") => Rim::Level,
        Some(_) => Rim::Square,
        None if stands || shaper.met.contains(&(id, if at_top { "top" } else { "bottom" })) => Rim::Level,
        None => Rim::Square,
    })
}

/// A rim that is drawn together closes where the neutral surface does.
fn closed_at(rim: Rim, strip: &Strip, at_top: bool, neutral: f64) -> Option<Rim> {
    match rim {
        Rim::Closed(_) => wall::closes_at(strip, at_top, neutral).map(Rim::Closed),
        other => Some(other),
    }
}

fn is_one(placed: &[Stationed]) -> bool {
    placed.iter().all(|s| s.section == placed[0].section)
}

/// A flipped bend is round, and a ring the same all the way.
fn check_sections(spec: &Spec, placed: &[Stationed], bent: &Bent) -> Result<(), Stop> {
    let one = is_one(placed);
    let round = profile(placed);
    let differs = || {
        let odd = placed.iter().position(|s| round_or_same(s, &placed[0])).unwrap_or(placed.len() - 1);
        spec.stations[odd].section
    };
    if let Some(i) = (1..placed.len().saturating_sub(1)).find(|&i| placed[i].point) {
        return Err(errors::point_within(spec.stations[i].section).into());
    }
    if placed.iter().all(|s| s.point) {
        return Err(errors::point_to_point(spec.stations[0].section, spec.stations[1].section).into());
    }
    if !one && bent.closed {
        return Err(errors::ring_changes(differs(), bent.span).into());
    }
    if bent.flipped && round.is_none() {
        return Err(errors::one_tube(differs()).into());
    }
    if let (true, Some(profile)) = (bent.flipped, round) {
        let (first, last) = (profile[0], profile[profile.len() - 1]);
        let line = [first, last];
        if let Some(i) = profile.iter().position(|p| (p.1 - radius_at(&line, p.0)).abs() > 1e-6) {
            return Err(errors::one_tube(spec.stations[i].section).into());
        }
    }
    Ok(())
}

/// What a message underlines first: a station that is not round, or not the first one's section.
fn round_or_same(s: &Stationed, first: &Stationed) -> bool {
    round(&s.section).is_none() || s.section != first.section
}

/// How far the seam of a ring is turned from the first ring's.
pub(super) fn turned(joined: &Joined, i: usize, radius: Option<f64>, head: crate::span::Span) -> Result<f64, Stop> {
    #[expect(clippy::cast_precision_loss, reason = "few rings")]
    let i = i as f64;
    match (joined.stagger, radius) {
        (Stagger::None, _) => Ok(0.0),
        (Stagger::Angle(a), _) => Ok(a * i),
        (Stagger::Length(l), Some(r)) if r > tol::SAME => Ok(l / r * i),
        (Stagger::Length(_), Some(_)) => Ok(0.0),
        (Stagger::Length(_), None) => {
            Err(errors::not_built_yet("a `stagger` by length on a wall that is not round", head).into())
        }
    }
}

/// Rings between the planes that halve the angles of the spine.
fn mitred(spec: &Spec, placed: &[Stationed], bent: &Bent, joined: &Joined) -> Result<Vec<Raw>, Stop> {
    let profile = profile(placed);
    let mut pieces = bent.pieces();
    if let Some(profile) = &profile {
        kinks(&mut pieces, profile);
    }
    let n = pieces.len();
    let cones: Vec<Cone> = match &profile {
        Some(profile) => cones(&pieces, profile).map_err(|i| {
            let name = format!("{} {}", spec.name, i + 1);
            Stop::from(errors::rings_meet(&name, -1.0, LEAST, None, bent.span))
        })?,
        None => vec![Cone { ball: 0.0, sine: 0.0, cosine: 1.0 }; n],
    };
    let mut out = Vec::with_capacity(n);
    let even = profile.as_ref().is_some_and(|p| p.iter().all(|s| s.1 == p[0].1));
    for i in 0..n {
        let (piece, cone) = (&pieces[i], &cones[i]);
        let at = |j: usize| (&pieces[j], &cones[j]);
        let before = if i > 0 { Some(i - 1) } else { bent.closed.then_some(n - 1) };
        let after = if i + 1 < n { Some(i + 1) } else { bent.closed.then_some(0) };
        let lower = before.map(|j| spine::joint(at(j), at(i), &piece.frame));
        let upper = after.map(|j| {
            if j == 0 {
                // The last ring of a closed spine meets the first where its own end is.
                let next = Piece {
                    frame: Frame { origin: piece.frame.ahead(piece.long).origin, ..pieces[0].frame },
                    ..pieces[0]
                };
                return spine::joint(at(i), (&next, &cones[0]), &piece.frame);
            }
            spine::joint(at(i), at(j), &piece.frame)
        });
        let radius = profile.is_some().then(|| cone.radius(0.0));
        let turn = turned(joined, i, radius, joined.span)?;
        let facing = joined.facing + turn;
        let section = |z: f64| match &profile {
            Some(_) if cone.radius(z) < tol::SAME => Section::point(Vec2::ZERO),
            Some(_) => Section::circle(cone.radius(z)),
            None => placed[0].section.clone(),
        };
        let strip = Strip::new(&section(0.0), 0.0, &section(piece.long), piece.long).ok();
        let strip = strip.and_then(|s| s.begun_at(facing)).ok_or(Stop::Skip)?;
        let mut lengths = Vec::new();
        let sloped = (i == 0 && placed[0].leans.is_some()) || (i + 1 == n && placed[placed.len() - 1].leans.is_some());
        if let (true, false, Some(profile)) = (even, sloped, &profile) {
            // As a fitter marks it: along a line of the tube that faces away from a joint it is longer by r tan a. The
            // piece before bends toward where it leaves, the one behind toward where it goes.
            let bend = |other: &Piece, sign: f64| {
                let seen = piece.frame.direction_seen(other.frame.z) * sign;
                let half = 0.5 * angle(other.frame.z, piece.frame.z);
                (num::tan(half), num::atan2(seen.y, seen.x))
            };
            let joints: Vec<(f64, f64)> =
                [before.map(|j| bend(&pieces[j], -1.0)), after.map(|j| bend(&pieces[j], 1.0))]
                    .into_iter()
                    .flatten()
                    .collect();
            if let Some(&(_, toward)) = joints.first() {
                for side in [toward, toward + PI] {
                    let less: f64 = joints.iter().map(|(tan, to)| profile[0].1 * tan * num::cos(side - to)).sum();
                    lengths.push((side, piece.long - less));
                }
            }
        }
        let raw = Raw {
            frame: piece.frame,
            strip,
            lower,
            upper,
            ends: (0.0, piece.long),
            from: piece.from,
            turn: 0.0,
            facing,
            widths: Vec::new(),
            lengths,
            seen: Vec::new(),
            turns: if i > 0 { angle(pieces[i - 1].frame.z, piece.frame.z) } else { 0.0 },
        };
        out.push(raw);
    }
    Ok(out)
}

/// Cuts pieces where the slope of a wall changes at a station.
fn kinks(pieces: &mut Vec<Piece>, profile: &[(f64, f64)]) {
    let slope = |a: (f64, f64), b: (f64, f64)| (b.1 - a.1) / (b.0 - a.0);
    for w in profile.windows(3) {
        if (slope(w[0], w[1]) - slope(w[1], w[2])).abs() < KINK {
            continue;
        }
        spine::cut(pieces, w[1].0);
    }
}

/// The cone about each piece; the number of one that holds its neighbour's ball within its own.
fn cones(pieces: &[Piece], profile: &[(f64, f64)]) -> Result<Vec<Cone>, usize> {
    let n = pieces.len();
    let cosine = |a: f64, b: f64| {
        let slope = (radius_at(profile, b) - radius_at(profile, a)) / (b - a);
        1.0 / (1.0 + slope * slope).sqrt()
    };
    // On each cut the ball of the straight run; where the slope changes there, the mean of both.
    let mut balls: Vec<f64> = Vec::with_capacity(n + 1);
    for i in 0..=n {
        let before = (i > 0).then(|| cosine(pieces[i - 1].from, pieces[i - 1].from + pieces[i - 1].long));
        let after = (i < n).then(|| cosine(pieces[i].from, pieces[i].from + pieces[i].long));
        let share = match (before, after) {
            (Some(a), Some(b)) => 0.5 * (a + b),
            (a, b) => a.or(b).unwrap_or(1.0),
        };
        let at = if i < n { pieces[i].from } else { pieces[n - 1].from + pieces[n - 1].long };
        balls.push(share * radius_at(profile, at));
    }
    // At either end the circle has its size, square to the axis: with `R` its radius and `n` the next ball's, `D` apart,
    // `ball = R √(1 − ((ball − n)/D)²)`, a quadratic.
    let fit = |radius: f64, next: f64, apart: f64| {
        let q = radius * radius / (apart * apart);
        let root = (radius * radius * (1.0 + q) - q * next * next).max(0.0).sqrt();
        if radius < tol::SAME { 0.0 } else { (q * next + root) / (1.0 + q) }
    };
    let whole = pieces[n - 1].from + pieces[n - 1].long;
    if profile.iter().any(|p| p.1 != profile[0].1) {
        balls[0] = fit(radius_at(profile, 0.0), balls[1], pieces[0].long);
        balls[n] = fit(radius_at(profile, whole), balls[n - 1], pieces[n - 1].long);
    }
    (0..n).map(|i| Cone::between(balls[i], balls[i + 1], pieces[i].long).ok_or(i)).collect()
}

/// Rings of one straight cone, each second one turned half round.
fn flipped(placed: &[Stationed], bent: &Bent, joined: &Joined) -> Result<Vec<Raw>, Stop> {
    let profile = profile(placed).ok_or(Stop::Skip)?;
    let pieces = bent.pieces();
    let (first, last) = (profile[0], profile[profile.len() - 1]);
    let radius = |z: f64| radius_at(&[first, last], z);
    let narrows = (first.1 - last.1) / (last.0 - first.0);
    let section = |r: f64| if r < tol::SAME { Section::point(Vec2::ZERO) } else { Section::circle(r) };
    let cone = Strip::new(&section(first.1), first.0, &section(last.1), last.0).map_err(|_| Stop::Skip)?;
    let mut frame = Frame::WORLD;
    let mut out: Vec<Raw> = Vec::with_capacity(pieces.len());
    let mut lower: Option<Plane> = None;
    for (i, piece) in pieces.iter().enumerate() {
        let upper = pieces.get(i + 1).map(|next| {
            let (a, b) = (piece.frame.z, next.frame.z);
            let normal = frame.direction_seen((a + b).normalize());
            Plane { at: Vec3::new(0.0, 0.0, next.from), normal }
        });
        let turn = turned(joined, i, Some(radius(piece.from)), joined.span)?;
        let seen = |phi: f64| {
            let way = frame.direction_seen(piece.frame.toward(phi));
            num::atan2(way.y, way.x)
        };
        let facing = num::wrap(seen(joined.facing + turn), TAU);
        let own = seen(0.0);
        let strip = cone.begun_at(facing).ok_or(Stop::Skip)?;
        let widths = [lower, upper].into_iter().flatten().map(|p| (p.at.z, 2.0 * radius(p.at.z))).collect();
        let ends = (piece.from, piece.from + piece.long);
        let turns = if i > 0 { angle(pieces[i - 1].frame.z, piece.frame.z) } else { 0.0 };
        out.push(Raw {
            frame,
            strip,
            lower,
            upper,
            ends,
            from: piece.from,
            turn: own,
            facing,
            widths,
            lengths: Vec::new(),
            seen: Vec::new(),
            turns,
        });
        if let Some(plane) = upper {
            // The cut is an ellipse, which fits itself half turned round about its own middle.
            let n = plane.normal;
            let across = n.truncate();
            let middle = if across.length() < 1e-12 {
                plane.at
            } else {
                let (u, lean) = (across.normalize(), across.length() / n.z);
                let end = |sign: f64| {
                    let r = radius(plane.at.z) / (1.0 - sign * narrows * lean);
                    (u * (sign * r)).extend(plane.at.z - sign * r * lean)
                };
                0.5 * (end(1.0) + end(-1.0))
            };
            let at = frame.apply(middle);
            frame = frame.half_turned(at, frame.direction(n));
        }
        lower = upper;
    }
    Ok(out)
}

/// The strip of a ring, carried on straight or cut off to where the rims of its measured face reach.
fn reaching(raw: &Raw) -> Option<Strip> {
    let rules = sloped::rules(&raw.strip);
    let heights = |plane: Plane| rules.iter().map(move |r| plane.height(r, 0.0));
    let from = raw.lower.map_or(raw.ends.0, |p| heights(p).fold(f64::INFINITY, f64::min));
    let to = raw.upper.map_or(raw.ends.1, |p| heights(p).fold(f64::NEG_INFINITY, f64::max));
    raw.strip.between(from, to)
}

/// Every ring is there all round.
fn check_room(spec: &Spec, raws: &[Raw], bent: &Bent, depths: [f64; 2]) -> Result<(), Stop> {
    let many = raws.len() > 1;
    for (i, raw) in raws.iter().enumerate() {
        let level = |z: f64| Plane { at: Vec3::new(0.0, 0.0, z), normal: Vec3::Z };
        let low = raw.lower.unwrap_or_else(|| level(raw.ends.0));
        let up = raw.upper.unwrap_or_else(|| level(raw.ends.1));
        let rules = sloped::rules(&raw.strip);
        let short = sloped::shortest(&[rules.clone(), rules], [&low, &up], depths);
        if short >= LEAST - tol::SAME {
            continue;
        }
        let name = if many { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() };
        if bent.is_straight() {
            return Err(errors::cuts_overlap(&name, short, hulled::beside(spec, raw.from)).into());
        }
        let cuts = f64::from(u8::from(raw.lower.is_some()) + u8::from(raw.upper.is_some()));
        let radius = bent
            .arc()
            .filter(|_| short.is_finite())
            .map(|arc| arc.radius + (LEAST - short) / (cuts * num::tan(arc.half)));
        return Err(errors::rings_meet(&name, short, LEAST, radius, bent.span).into());
    }
    Ok(())
}

/// The sizes that the text gives.
fn claims(
    shaper: &mut Shaper<'_>,
    part: PartId,
    spec: &Spec,
    placed: &[Stationed],
    (raw, first, last): (&Raw, bool, bool),
    joined: &Joined,
    thick: f64,
) {
    let mut add = |origin, size: Size| shaper.solid.claims.push(Claim { part, origin, size });
    let closed = raw.lower.is_some() && raw.upper.is_some();
    for (is, index, z) in [(first, 0, raw.ends.0), (last, placed.len() - 1, raw.ends.1)] {
        if !is || closed {
            continue;
        }
        let station = &spec.stations[index];
        for given in &station.lowered.given {
            match *given {
                Given::Around(mm) => add(station.section, Size::Around { z, depth: 0.0, mm }),
                Given::Across { direction, mm } => add(station.section, Size::Across { z, depth: 0.0, direction, mm }),
            }
        }
        if let Some(normal) = station.lowered.leans {
            add(station.section, Size::Faces { ring: 0, upper: index > 0, normal });
        }
    }
    for (upper, plane) in [(false, raw.lower), (true, raw.upper)] {
        if let Some(plane) = plane {
            add(spec.head, Size::Faces { ring: 0, upper, normal: plane.normal });
        }
    }
    for &(z, mm) in &raw.widths {
        add(spec.head, Size::Across { z, depth: 0.0, direction: FRAC_PI_2, mm });
    }
    for &(station, plane, size) in &raw.seen {
        add(spec.stations[station].section, Size::Seen { plane, size });
    }
    for &(facing, mm) in &raw.lengths {
        add(spec.head, Size::Wide { facing, depth: 0.0, mm });
    }
    add(spec.of_span, Size::Thick { mm: thick });
    if let Seam::Lap(mm) | Seam::Tabs(mm) = joined.seam {
        add(joined.span, Size::Allowance { mm });
    }
}
