//! Contents: a lump within a part, and whether it has room there.

use super::super::{Shaper, errors};
use super::posture;
use crate::design::{Hand, Kind, Relation};
use crate::eval::{Fields, Stop};
use crate::fitted::{Carried, Lump};
use crate::geom::Vec3;
use crate::geom::rim::spans;
use crate::geom::strip::Strip;
use crate::geom::walk::{Leg, Place, Walk};
use crate::ids::ThingId;
use crate::num;
use crate::schema;
use crate::skin;
use crate::solid::{Body, Frame, Seam, Wall};
use crate::span::Span;

struct Spec {
    /// `None` when it is known only after the plan.
    mass: Option<f64>,
    size: Option<Vec3>,
    level: Option<f64>,
    shift: Vec3,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let mass = match fields.number("mass") {
        Err(Stop::Skip) => None,
        other => Some(other?),
    };
    // Across by deep by up: left to right, front to back.
    let size = match fields.maybe("size")?.and_then(|v| v.size()).as_deref() {
        Some([across, deep, up]) => Some(Vec3::new(*deep, *across, *up)),
        _ => None,
    };
    let shift = posture::shift(fields)?;
    Ok(Spec { mass, size, level: fields.maybe_number("level")?, shift })
}

/// Puts contents in a shell.
///
/// # Errors
/// Where what they lie in is not built, or takes none yet.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let target = thing.target.as_ref().filter(|t| t.relation == Relation::In).ok_or(Stop::Skip)?;
    let anchor = target.anchors.first().ok_or(Stop::Skip)?;
    let Some(shell) = shaper.known.shells.get(&anchor.thing) else {
        let kind = shaper.design.thing(anchor.thing).kind;
        return Err(match kind {
            // It was left out, and whoever did so said why.
            Kind::Shell => Stop::Skip,
            _ => errors::not_built_yet(&format!("contents in a {}", schema::kind_of(kind).word), target.span).into(),
        });
    };
    let (tall, part) = (shell.tall, shell.part);
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), read)?;
    let level = spec.level.unwrap_or(0.5 * tall);
    let middle = Vec3::new(0.0, 0.0, level) + spec.shift;
    let frame = shaper.known.frames.get(&anchor.thing).copied().unwrap_or(Frame::WORLD);
    let at = frame.apply(middle);
    let at = if anchor.hand == Some(Hand::Right) { Vec3::new(at.x, -at.y, at.z) } else { at };
    let pair = anchor.hand.is_none() && shaper.solid.parts[part.index()].pair;
    let (name, origin) = (thing.name.to_string(), thing.head);
    let fitted = &mut shaper.solid.fitted;
    let lump = fitted.lumps.len();
    let at = vec![at];
    let mass = spec.mass;
    let lumped = Lump { thing: id, name, origin, supply: None, mass, at, spacing: None, pair, contents: true };
    fitted.lumps.push(lumped);
    fitted.carried.push(Carried { lump, part, size: spec.size, middle });
    shaper.known.contents.insert(id, level);
    Ok(())
}

/// Touching is no harm, mm.
pub(super) const TOUCH: f64 = 1e-6;

/// Warns of contents that have no room where they lie. A box that stands out of an open end is as it should be.
pub(in super::super) fn fit(shaper: &mut Shaper<'_>) {
    for i in 0..shaper.solid.fitted.carried.len() {
        if let Some(d) = no_room(shaper, i) {
            shaper.faults.push(d);
        }
    }
}

/// A box: its middle and half of its sides.
#[derive(Clone, Copy)]
struct Boxed {
    middle: Vec3,
    half: Vec3,
}

impl Boxed {
    /// The heights that it and a strip have in common: the second below the first where they have none.
    fn heights(&self, strip: &Strip) -> (f64, f64) {
        let (z0, z1) = strip.heights();
        (z0.max(self.middle.z - self.half.z), z1.min(self.middle.z + self.half.z))
    }
}

fn no_room(shaper: &Shaper<'_>, index: usize) -> Option<crate::diag::Diagnostic> {
    let carried = &shaper.solid.fitted.carried[index];
    let lump = &shaper.solid.fitted.lumps[carried.lump];
    let part = &shaper.solid.parts[carried.part.index()];
    let Body::Wall(wall) = &part.body else { return None };
    let boxed = Boxed { middle: carried.middle, half: 0.5 * carried.size.unwrap_or(Vec3::ZERO) };
    let span = field_span(shaper, lump.thing, lump.origin);
    let host = shaper.design.thing(part.thing).name.to_string();
    let (low, high) = (boxed.middle.z - boxed.half.z, boxed.middle.z + boxed.half.z);
    // Caps at either end, and how far they reach in.
    for (id, cap) in shaper.known.caps.iter().filter(|(_, c)| c.host == part.thing) {
        let tall = shaper.known.shells.get(&part.thing)?.tall;
        let by =
            if cap.at_top { high - cap.inside.map_or(tall, |i| i.0) } else { cap.inside.map_or(0.0, |i| i.1) - low };
        if by > TOUCH {
            let cap = (shaper.design.thing(*id).name.to_string(), cap.head);
            return Some(errors::contents_meet_a_cap(&lump.name, span, &host, by, (&cap.0, cap.1)));
        }
    }
    let layer = part.layers.first()?;
    let poke = wall
        .strips
        .iter()
        .filter_map(|s| poke(wall, s, layer.neutral, layer.inner, boxed.heights(s), &|p| within(boxed, p)))
        .fold(None, |best: Option<(f64, Vec3)>, one| if best.is_some_and(|b| b.0 >= one.0) { best } else { Some(one) });
    if let Some((by, at)) = poke.filter(|p| p.0 > TOUCH) {
        return Some(errors::contents_too_large(
            &lump.name,
            span,
            &host,
            carried.size.map(|s| [s.y, s.x, s.z]),
            by,
            at,
        ));
    }
    let within = wall.strips.iter().find(|s| (s.heights().0..=s.heights().1).contains(&boxed.middle.z))?;
    if !matches!(wall.seam, Seam::Open(_)) && !inside(within, layer.inner, boxed.middle) {
        return Some(errors::contents_outside(&lump.name, span, &host));
    }
    None
}

/// What a message about the room underlines: the size, or where it was put, or the thing.
fn field_span(shaper: &Shaper<'_>, id: ThingId, head: Span) -> Span {
    let thing = shaper.design.thing(id);
    ["size", "shift", "level"].iter().find_map(|n| thing.field(n)).map_or(head, |f| f.value.span)
}

/// How far a point of the inner face lies within a box, in the direction of the nearest side; negative outside.
fn within(boxed: Boxed, p: Vec3) -> f64 {
    let off = (p - boxed.middle).abs();
    (boxed.half.x - off.x).min(boxed.half.y - off.y)
}

/// The deepest that a strip's inner face stands in a convex body between two heights, and where: `depth` is how far a
/// point lies within it, in the direction of the nearest side; negative outside.
pub(super) fn poke(
    wall: &Wall,
    strip: &Strip,
    neutral: f64,
    inner: f64,
    (low, high): (f64, f64),
    depth: &dyn Fn(Vec3) -> f64,
) -> Option<(f64, Vec3)> {
    if low > high {
        return None;
    }
    let walk = Walk::new(strip);
    let (a, b) = (skin::leaves(&walk, wall.seam, low, neutral), skin::leaves(&walk, wall.seam, high, neutral));
    let first = if (a.0.leg, a.0.t) < (b.0.leg, b.0.t) { a.0 } else { b.0 };
    let last = if (a.1.leg, a.1.t) > (b.1.leg, b.1.t) { a.1 } else { b.1 };
    let mut best: Option<(f64, Vec3)> = None;
    for (leg, t0, t1) in spans(first, last) {
        let along = |t: f64| deepest_on_rule(&walk, Place { leg, t }, inner, (low, high), depth);
        let n: u32 = match walk.legs()[leg] {
            Leg::Side { .. } => 16,
            Leg::Turn { .. } => 96,
        };
        let at = |i: f64| t0 + (t1 - t0) * i / f64::from(n);
        let found = (0..=n).map(|i| (f64::from(i), along(at(f64::from(i))).0));
        let (i, _) = found.fold((0.0, f64::NEG_INFINITY), |best, one| if one.1 > best.1 { one } else { best });
        let t = num::peak(at((i - 1.0).max(0.0)), at((i + 1.0).min(f64::from(n))), |t| along(t).0).0;
        let one = along(t);
        if best.is_none_or(|b| one.0 > b.0) {
            best = Some(one);
        }
    }
    best
}

/// The deepest point of one rule: within what is convex the depth along a line has one top.
fn deepest_on_rule(
    walk: &Walk,
    at: Place,
    inner: f64,
    (low, high): (f64, f64),
    depth: &dyn Fn(Vec3) -> f64,
) -> (f64, Vec3) {
    let rule = walk.rule(at);
    let z = num::peak(low, high, |z| depth(rule.point(z, inner))).0;
    (depth(rule.point(z, inner)), rule.point(z, inner))
}

/// Whether a point lies within the bore: how often a line to the front crosses the inner face's section there.
pub(super) fn inside(strip: &Strip, inner: f64, p: Vec3) -> bool {
    let walk = Walk::new(strip);
    let mut points = Vec::new();
    for (leg, t0, t1) in spans(walk.ends().0, walk.ends().1) {
        for i in 0..128u8 {
            let t = t0 + (t1 - t0) * f64::from(i) / 128.0;
            points.push(walk.rule(Place { leg, t }).point(p.z, inner));
        }
    }
    let next = points.iter().cycle().skip(1);
    let crossed = points
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y));
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;
    use crate::num::PI;
    use crate::solid::{Rim, Ring};

    fn wall(strip: Strip) -> Wall {
        let ring = Ring { strips: 0..1, lower: Rim::Level, upper: Rim::Level };
        Wall::plain(vec![strip], vec![ring], PI, Seam::Butt)
    }

    fn deepest(strip: &Strip, middle: Vec3, size: Vec3) -> f64 {
        let boxed = Boxed { middle, half: 0.5 * size };
        poke(&wall(strip.clone()), strip, -2.5, -5.0, boxed.heights(strip), &|p| within(boxed, p))
            .expect("at its height")
            .0
    }

    #[test]
    fn a_box_just_fits_the_tube_round_its_diagonal() {
        // Bore 100: a box 60 by 80 has the diagonal 100 (3-4-5).
        let tube = Strip::new(&Section::circle(55.0), 0.0, &Section::circle(55.0), 200.0).expect("a wall");
        let at = Vec3::new(0.0, 0.0, 100.0);
        assert!(deepest(&tube, at, Vec3::new(60.0, 80.0, 50.0)).abs() < 1e-6);
        assert!(deepest(&tube, at, Vec3::new(60.2, 80.2, 50.0)) > 0.05);
        assert!(deepest(&tube, at, Vec3::new(59.9, 79.9, 50.0)) < -0.02);
        // Moved by a millimetre: (31 - d)² + (40 - d)² = 50² where the circle is deepest in the box.
        let moved = deepest(&tube, at + Vec3::X, Vec3::new(60.0, 80.0, 50.0));
        assert!((moved - (142.0 - (142.0f64 * 142.0 - 8.0 * 61.0).sqrt()) / 4.0).abs() < 1e-6, "{moved}");
    }

    #[test]
    fn a_taper_is_met_at_the_end_of_the_box() {
        // Radii 40 and 60 over 100, inner face 5 sec α in: at 30 up the bore is 46 - 5 sec α.
        let cone = Strip::new(&Section::circle(40.0), 0.0, &Section::circle(60.0), 100.0).expect("a wall");
        let bore = 46.0 - 5.0 * 1.04f64.sqrt();
        let side = 2.0 * bore / 2f64.sqrt();
        let size = |by: f64| Vec3::new(side + by, side + by, 40.0);
        let at = Vec3::new(0.0, 0.0, 50.0);
        assert!(deepest(&cone, at, size(0.0)).abs() < 1e-6);
        assert!(deepest(&cone, at, size(0.02)) > 0.005);
        assert!(inside(&cone, -5.0, at) && !inside(&cone, -5.0, Vec3::new(46.0, 0.0, 50.0)));
    }
}
