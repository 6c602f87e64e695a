//! `core`: a rod that stiffens a part or makes it long: of how many lengths it is, where they meet, and whether it has
//! room where it stands.
//!
//! Conventions chosen here, where the language leaves room:
//! - all lengths of a core are alike, and meet end to end; how they are held together (a sleeve, a screw) is the maker's;
//! - `level` is where its lower end stands; without one a core in a shell stands on the cap that is let into its bottom,
//!   else level with its bottom edge;
//! - in a shell `gap` is what is to be clear all round it.

use super::super::{Shaper, errors};
use super::contents::{TOUCH, inside, poke};
use super::place::{self, Ground};
use super::posture::Posture;
use crate::design::Relation;
use crate::diag::Diagnostic;
use crate::eval::{Fields, Stop};
use crate::fitted::{Core, GoodsOf, Run};
use crate::geom::rim::spans;
use crate::geom::strip::Strip;
use crate::geom::walk::{Leg, Place, Walk};
use crate::geom::{Vec2, Vec3, ring, unit};
use crate::ids::ThingId;
use crate::num::{self, TAU};
use crate::shape::known::Cored;
use crate::shape::say::{at_least, mm};
use crate::solid::{Body, Hole, Part, Plate, Seam, Wall};
use crate::span::Span;

/// What the text says of a core.
struct Spec {
    of: ThingId,
    of_span: Span,
    long: f64,
    count: Option<f64>,
    count_span: Span,
    longest: Option<f64>,
    level: Option<f64>,
    facing: f64,
    gap: f64,
    posture: Posture,
}

/// A core whose place is settled when all that closes its part stands.
pub(in super::super) struct Waiting {
    id: ThingId,
    ground: Ground,
    spec: Spec,
    stock: usize,
    count: usize,
    across: f64,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let of = fields.things("of")?.first().ok_or(Stop::Skip)?.thing;
    let count = if fields.written("count") { Some(fields.number("count")?) } else { None };
    Ok(Spec {
        of,
        of_span: fields.span("of"),
        long: fields.length("long")?,
        count,
        count_span: fields.span("count"),
        longest: fields.maybe_number("longest")?,
        level: if fields.written("level") { fields.maybe_number("level")? } else { None },
        facing: fields.maybe_direction("facing")?.unwrap_or(0.0),
        gap: fields.maybe_number("gap")?.unwrap_or(0.0),
        posture: Posture::read(fields)?,
    })
}

/// Less than this is not another length, mm.
const HAIR: f64 = 1e-6;

/// Reads a core and settles of how many lengths it is.
///
/// # Errors
/// Where it is of no rod, of too few lengths, or stands where this version puts none.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let (name, head) = (thing.name.to_string(), thing.head);
    let ground = place::ground(shaper, thing.target.as_ref())?;
    if let (Ground::Wall { .. } | Ground::Over { .. }, Some(target)) = (ground, &thing.target) {
        let word = if target.relation == Relation::Over { "over a part" } else { "on a wall" };
        return Err(errors::not_built_yet(&format!("a core {word}"), target.span).into());
    }
    let tall = ground.host().and_then(|h| shaper.known.shells.get(&h)).map(|s| s.tall);
    let spec = shaper.read(id, tall.map(|t| [0.0, 0.5 * t, t]), read)?;
    let sheet = shaper.known.sheets.get(&spec.of).ok_or(Stop::Skip)?;
    let rod = &sheet.stock;
    if rod.sort != "rod" {
        return Err(errors::core_needs_rod(&name, &rod.name, rod.sort, spec.of_span).into());
    }
    let (across, mass) = (rod.thick, rod.line_mass().map(|m| m * spec.long));
    // The shortest bound on a length, and what sets it.
    let by_stock = rod.rod_long().map(|s| (s, format!("{} is {} long", rod.name, mm(s))));
    let by_wish = spec.longest.map(|l| (l, format!("`longest` is {}", mm(l))));
    let bound = match (by_stock, by_wish) {
        (Some(a), Some(b)) => Some(if b.0 <= a.0 { b } else { a }),
        (a, b) => a.or(b),
    };
    let least = bound.as_ref().map_or(1.0, |(most, _)| (spec.long / most - HAIR).ceil().max(1.0));
    let count = match (spec.count, &bound) {
        (Some(count), Some((_, why))) if count < least => {
            return Err(errors::core_too_long(&name, spec.long, count, least, why, spec.count_span).into());
        }
        (Some(count), _) => count,
        (None, Some((_, why))) if least > 1.0 && spec.longest.is_none() => {
            let field = thing.field("long").map_or(head, |f| f.value.span);
            shaper.faults.push(errors::core_joined(&name, spec.long, least, why, field));
            least
        }
        (None, _) => least,
    };
    let stock = shaper.stock(spec.of).ok_or(Stop::Skip)?;
    shaper.known.cores.insert(id, Cored { long: spec.long, mass, thick: across });
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole number within its range")]
    let count = count.clamp(1.0, 1e6) as usize;
    shaper.cores.push(Waiting { id, ground, spec, stock, count, across });
    Ok(())
}

/// Puts every core in its place, and says where one has no room.
pub(in super::super) fn fit(shaper: &mut Shaper<'_>) {
    for core in std::mem::take(&mut shaper.cores) {
        match stand(shaper, &core) {
            Ok(Some(fault)) => shaper.faults.push(fault),
            Ok(None) => {}
            Err(stop) => shaper.left_out(core.id, stop),
        }
    }
}

fn stand(shaper: &mut Shaper<'_>, core: &Waiting) -> Result<Option<Diagnostic>, Stop> {
    let Waiting { id, ground, spec, stock, count, across } = core;
    let level = spec.level.unwrap_or_else(|| foot(shaper, *ground));
    let there = place::frame(shaper, *ground, level, (spec.facing, spec.gap), 0.5 * across)?;
    let frame = spec.posture.stand(there);
    let pair = place::on_pair(shaper, *ground);
    let thing = shaper.design.thing(*id);
    let (name, origin) = (thing.name.to_string(), thing.head);
    let (from, to) = (frame.origin, frame.origin + frame.z * spec.long);
    #[expect(clippy::cast_precision_loss, reason = "few lengths")]
    let parts = *count as f64;
    let along = spec.long / parts;
    let mut line = vec![from];
    let mut i = 1.0;
    while i <= parts {
        line.push(from.lerp(to, i / parts));
        i += 1.0;
    }
    let (clear, fault) = match ground {
        Ground::In { host } => room(shaper, *host, (from, to), core)?,
        _ => (None, None),
    };
    let goods = GoodsOf::Rod(*stock);
    let fitted = &mut shaper.solid.fitted;
    let run = fitted.runs.len();
    let spare = 0.0;
    fitted.runs.push(Run { thing: *id, name: name.clone(), origin, goods, rows: *count, line, along, spare, pair });
    let host = ground.host().map(|h| (h, shaper.design.thing(h).name.to_string()));
    let fitted = &mut shaper.solid.fitted;
    fitted.cores.push(Core { thing: *id, name, origin, run, across: *across, ends: [from, to], host, clear });
    shaper.known.frames.insert(*id, frame);
    Ok(fault)
}

/// Where a core stands of which no level is said.
fn foot(shaper: &Shaper<'_>, ground: Ground) -> f64 {
    let Ground::In { host } = ground else { return 0.0 };
    let ids = shaper.caps_of.get(&host).into_iter().flatten();
    let caps = ids.filter_map(|id| shaper.known.caps.get(id)).filter(|c| !c.at_top);
    caps.filter_map(|c| c.inside).map(|i| i.1).fold(0.0, f64::max)
}

/// A rod in a part's own frame.
#[derive(Clone, Copy)]
struct Rod {
    from: Vec3,
    way: Vec3,
    long: f64,
    radius: f64,
}

impl Rod {
    /// How far a point lies from its axis, and how far along it.
    fn at(&self, p: Vec3) -> (f64, f64) {
        let off = p - self.from;
        let along = off.dot(self.way);
        ((off - self.way * along).length(), along)
    }

    /// How deep a point stands in it, in the direction of its side or (of one that leans) of the nearer end; below nought
    /// how far it lies from it. As of any convex body this has one top along a line.
    fn depth(&self, p: Vec3) -> f64 {
        let (off, along) = self.at(p);
        let (side, end) = (self.radius - off, along.min(self.long - along));
        if self.upright() {
            side
        } else if side < 0.0 || end < 0.0 {
            -num::hypot(side.min(0.0), end.min(0.0))
        } else {
            side.min(end)
        }
    }

    fn upright(&self) -> bool {
        self.way.z > 1.0 - 1e-12
    }

    /// Heights between which all of it lies.
    fn heights(&self) -> (f64, f64) {
        let (a, b) = (self.from.z, self.from.z + self.way.z * self.long);
        let wide = self.radius * self.way.truncate().length();
        (a.min(b) - wide, a.max(b) + wide)
    }
}

/// The clear distance round a core in a shell, and what has no room.
fn room(
    shaper: &Shaper<'_>,
    host: ThingId,
    (from, to): (Vec3, Vec3),
    core: &Waiting,
) -> Result<(Option<f64>, Option<Diagnostic>), Stop> {
    let (shell, wall) = place::host_wall(shaper, host)?;
    let part = &shaper.solid.parts[shell.part.index()];
    let layer = part.layers.first().ok_or(Stop::Skip)?;
    let (a, b) = (part.place.seen(from), part.place.seen(to));
    let rod = Rod { from: a, way: (b - a).normalize_or(Vec3::Z), long: core.spec.long, radius: 0.5 * core.across };
    let thing = shaper.design.thing(core.id);
    let name = thing.name.to_string();
    let host_name = shaper.design.thing(host).name.to_string();
    let field = |names: &[&str]| names.iter().find_map(|n| thing.field(n)).map_or(thing.head, |f| f.value.span);
    let (low, high) = rod.heights();
    // Its axis where it is in the shell.
    let (z0, z1) = (low.max(0.0), high.min(shell.tall));
    let along = |z: f64| if rod.way.z.abs() < 1e-9 { 0.5 * rod.long } else { (z - a.z) / rod.way.z };
    let middle = rod.from + rod.way * along(0.5 * (z0 + z1)).clamp(0.0, rod.long);
    let strip = crate::shape::known::strip_at(wall, middle.z);
    let within = z0 < z1 && strip.is_some_and(|s| inside(s, layer.inner, middle));
    if !within && !matches!(wall.seam, Seam::Open(_)) {
        let span = field(&["shift", "level", "tilt"]);
        return Ok((None, Some(errors::core_outside(&name, &host_name, span))));
    }
    let deepest = wall
        .strips
        .iter()
        .filter_map(|s| {
            let (s0, s1) = s.heights();
            poke(wall, s, layer.neutral, layer.inner, (low.max(s0), high.min(s1)), &|p| rod.depth(p))
        })
        .fold(None, |best: Option<(f64, Vec3)>, one| if best.is_some_and(|b| b.0 >= one.0) { best } else { Some(one) });
    let clear = deepest.map(|d| -d.0);
    if let Some((by, at)) = deepest.filter(|d| d.0 > TOUCH - core.spec.gap) {
        let through = wall.strips.iter().filter_map(|s| crossing(wall, s, part, &rod));
        let most = through.max_by(|p, q| p.across.total_cmp(&q.across));
        let crosses = most.is_some_and(|c| c.nearest < 0.5 * rod.radius && c.square > SQUARE);
        if let Some(way) = most.filter(|_| crosses) {
            let at = format!(
                "level: {}, facing: {} deg, ",
                at_least(way.level),
                (way.facing.to_degrees() * 10.0).round() / 10.0
            );
            let words = opening(&name, &host_name, &at, way.across);
            let span = field(&["tilt", "shift", "long"]);
            return Ok((None, Some(errors::core_meets(&name, &host_name, None, words, span))));
        }
        // What stands in the rod lies in the way that was cut for it.
        let spared = by > TOUCH && most.is_none();
        if !spared {
            let span = field(&["shift", "tilt", "of"]);
            let fault = errors::core_too_thick(&name, core.across, &host_name, (by, core.spec.gap), at, span);
            return Ok((clear, Some(fault)));
        }
    }
    for cap in shaper.caps_of.get(&host).into_iter().flatten() {
        let Some(known) = shaper.known.caps.get(cap) else { continue };
        let closes = &shaper.solid.parts[known.plate.index()];
        let Body::Plate(plate) = &closes.body else { continue };
        if let Some((by, centre)) = meets(plate, &rod) {
            let cap_name = shaper.design.thing(*cap).name.to_string();
            // A cap's hole is counted from its middle.
            let off = centre - place::middle(plate);
            let thick = (plate.show - plate.hidden).abs();
            let lean = rod.way.truncate().length() / rod.way.z.abs();
            let wide = core.across / rod.way.z.abs() + thick * lean + CLEAR;
            let way = |x: f64, ahead: &str, behind: &str| {
                let word = if x < 0.0 { behind } else { ahead };
                (x.abs() >= 0.05).then(|| format!("{word}: {}", mm(x.abs())))
            };
            let ways: Vec<String> =
                [way(off.x, "front", "back"), way(off.y, "left", "right")].into_iter().flatten().collect();
            let at = if ways.is_empty() { String::new() } else { format!("shift: toward({}), ", ways.join(", ")) };
            let words = opening(&name, &cap_name, &at, wide);
            let span = field(&["long", "level"]);
            return Ok((clear, Some(errors::core_meets(&name, &cap_name, Some((by, known.head)), words, span))));
        }
    }
    Ok((clear, None))
}

/// The hole that lets a core through, as it is written.
fn opening(name: &str, on: &str, at: &str, across: f64) -> String {
    format!("opening {name}_way on {on} {{ {at}shape: circle(across: {}) }}", at_least(across))
}

/// A rod and its way through: half a millimetre on either side (common practice, no source).
const CLEAR: f64 = 1.0;
/// A rod that slants more than this through a wall (60 degrees from square) has no hole to speak of.
const SQUARE: f64 = 0.5;
/// Of what stands in a rod so little is the give of foam and of a knife's cut, mm.
const GIVE: f64 = 0.05;

/// How deep a rod stands in a plate, and where its axis meets it; `None` where a hole lets it through, or it ends at it.
fn meets(plate: &Plate, rod: &Rod) -> Option<(f64, Vec2)> {
    let (low, high) = (plate.show.min(plate.hidden), plate.show.max(plate.hidden));
    let (from, to) = rod.heights();
    let by = high.min(to) - low.max(from);
    if by <= TOUCH || rod.way.z.abs() < 1e-9 {
        return None;
    }
    let at = |z: f64| {
        let p = rod.from + rod.way * ((z - rod.from.z) / rod.way.z);
        Vec2::new(p.x, p.y)
    };
    // Its outline in a plane: a circle, drawn out the way it leans.
    let lean = rod.way.truncate();
    let outline = |z: f64| {
        (0..64u8).map(move |i| {
            let n = unit(TAU * f64::from(i) / 64.0) * (rod.radius - GIVE);
            let along = if lean.length() < 1e-12 { Vec2::ZERO } else { lean.normalize() };
            at(z) + n + along * (n.dot(along) * (1.0 / rod.way.z.abs() - 1.0))
        })
    };
    let lets =
        plate.holes.iter().any(|h| [low, high].iter().all(|&z| outline(z).all(|p| ring::contains(&h.outline, p))));
    (!lets).then(|| (by, at(0.5 * (low + high))))
}

/// Where a rod goes through a wall, on its neutral flat.
#[derive(Clone, Copy)]
struct Crossing {
    level: f64,
    facing: f64,
    /// A round hole that lets it through.
    across: f64,
    /// How near a point of it lies to the rod's axis.
    nearest: f64,
    /// The cosine of the rod's way to the wall's normal.
    square: f64,
}

/// A place of a wall within a rod.
#[derive(Clone, Copy)]
struct Spot {
    /// On the neutral flat: along its level, and up its rule.
    flat: Vec2,
    z: f64,
    facing: f64,
    /// From the rod's axis.
    off: f64,
    square: f64,
}

/// What of a strip stands in a rod and in no hole of the wall: places on both faces are tried. How far they lie from the
/// middle of a hole is taken along its level and up its rule, as on a wall whose generatrices do not fan out; over a hole
/// for a rod that differs by less than the rod has to spare.
fn crossing(wall: &Wall, strip: &Strip, part: &Part, rod: &Rod) -> Option<Crossing> {
    let (first, last) = (part.layers.first()?, part.layers.last()?);
    let neutral = first.neutral;
    let walk = Walk::new(strip);
    let (z0, z1) = strip.heights();
    let (low, high) = (rod.heights().0.max(z0), rod.heights().1.min(z1));
    if low >= high {
        return None;
    }
    let own = |h: &&Hole| std::ptr::eq(&raw const wall.strips[h.strip], strip);
    let holes: Vec<(&Hole, f64)> = wall
        .holes
        .iter()
        .filter(own)
        .filter_map(|h| Some((h, walk.length(walk.find(&h.rule)?, h.z, neutral))))
        .collect();
    let round = walk.length(walk.ends().1, 0.5 * (low + high), neutral);
    // Round the wall the shorter way.
    let near = |x: f64| x - round * (x / round).round();
    let step = (0.1 * rod.radius).min(1.0).max((high - low) / 400.0);
    // On either hand of the rod's way.
    let mut found: [Vec<Spot>; 2] = Default::default();
    let (from, to) = walk.ends();
    for (leg, t0, t1) in spans(from, to) {
        let n: u32 = match walk.legs()[leg] {
            Leg::Side { .. } => 120,
            Leg::Turn { .. } => 360,
        };
        for i in 0..=n {
            let place = Place { leg, t: t0 + (t1 - t0) * f64::from(i) / f64::from(n) };
            let rule = walk.rule(place);
            let square = rule.normal().dot(rod.way);
            let side = usize::from(square > 0.0);
            let mut z = low;
            while z <= high {
                for face in [first.inner, last.outer] {
                    let (off, along) = rod.at(rule.point(z, face));
                    if off > rod.radius - GIVE || along < GIVE || along > rod.long - GIVE {
                        continue;
                    }
                    let lets = holes.iter().any(|(h, at)| {
                        let x = near(walk.length(place, h.z, neutral) - at);
                        ring::contains(&h.outline, Vec2::new(x, (z - h.z) * rule.secant()))
                    });
                    if !lets {
                        let flat = Vec2::new(walk.length(place, z, neutral), z * rule.secant());
                        found[side].push(Spot { flat, z, facing: rule.phi, off, square: square.abs() });
                    }
                }
                z += step;
            }
        }
    }
    let one = |all: &Vec<Spot>| {
        let axis = all.iter().min_by(|p, q| p.off.total_cmp(&q.off))?;
        let from = |s: &Spot, to: &Spot| Vec2::new(near(to.flat.x - s.flat.x), to.flat.y - s.flat.y);
        let bounds = |(l, h): (Vec2, Vec2), p: &Spot| (l.min(from(axis, p)), h.max(from(axis, p)));
        let (lo, hi) = all.iter().fold((Vec2::INFINITY, Vec2::NEG_INFINITY), bounds);
        let middle = 0.5 * (lo + hi);
        let off = |p: &&Spot| from(axis, p).distance(middle);
        let middle = all.iter().min_by(|p, q| off(p).total_cmp(&off(q)))?;
        let reach = all.iter().map(|p| from(middle, p).length()).fold(0.0, f64::max);
        let facing = num::wrap(middle.facing, TAU);
        Some(Crossing { level: middle.z, facing, across: 2.0 * reach + CLEAR, nearest: axis.off, square: axis.square })
    };
    found.iter().filter_map(one).max_by(|p, q| p.across.total_cmp(&q.across))
}
