//! `cover`: cloth or hide over parts, on their outside or, as a lining, on their inside.
//!
//! It is developed on the face it lies on: the same wall (or plate) with one face on its host's, a seam of its own and
//! the host's holes. It is lowered when everything else stands, since caps, openings and other covers that come later
//! in the text change where it ends and what goes through it.
//!
//! Where it ends, and what is folded over:
//! - a free rim of a wall is turned over: square over the end face, then back along the other face;
//! - where an inset cap is level with the rim, the turn lies over the end face and then across the cap; where the cap
//!   sits deeper, the turn ends at it;
//! - an edge that another part closes (a flush cap, a lid's disc on its rim, a shell that stands there) or that is glued
//!   into a bore (an inset cap's) is not free and has no turn;
//! - a flush cap's or a lid disc's edge is turned over down the side;
//! - the sides of an open wall are turned over as its rims are;
//! - a lining is turned outward over a free rim, unless that rim has a lid or a cover is turned in over it: then it ends
//!   [`SHORT`] below the rim, as it does before an inset cap;
//! - a lid's rim is not lined: it has to clear the wall.

mod caps;
mod ends;

use super::super::known::Cover;
use super::super::seam::{self, Joined};
use super::super::{Shaper, errors, joints, measure, wall};
use super::{edge, place};
use crate::design::{Anchor, Face, Node};
use crate::eval::{Fields, Stop};
use crate::geom::figure::Figure;
use crate::geom::strip::Strip;
use crate::ids::{PartId, ThingId};
use crate::solid::{Body, Claim, EdgeName, EdgeRef, Gap, Hole, Onto, Part, Rim, Ring, Seam, Size, Turn, Wall};
use crate::span::Span;
use caps::on_cap;
use ends::{End, end};

/// A lining ends this far from what it must clear, mm (common practice, no source).
const SHORT: f64 = 3.0;
/// Why an edge on which another part lies is not turned over.
const CLOSED: &str = "another part closes it";
/// Why the edge of a foot is not turned over whose wall is folded out there itself.
const TABBED: &str = "the wall's own tabs are folded out there";
/// A turn needs at least this much to lie on, mm.
const LEAST: f64 = 0.01;

/// The fields of a cover, reckoned.
#[derive(Clone, Debug)]
pub(in super::super) struct Spec {
    name: String,
    head: Span,
    of: Vec<Anchor>,
    of_span: Span,
    thick: f64,
    outside: bool,
    inside: bool,
    turn: f64,
    turn_span: Span,
    turn_written: bool,
    relief: bool,
    /// Its own seam, when it has one, and whether that says where it lies.
    seam: Option<(Joined, bool)>,
    targets: Vec<Anchor>,
    target_span: Span,
}

impl Spec {
    fn faces(&self) -> impl Iterator<Item = Face> {
        [(self.outside, Face::Outside), (self.inside, Face::Inside)].into_iter().filter(|f| f.0).map(|f| f.1)
    }

    /// The name of its part on one of its targets.
    fn part_name(&self, shaper: &Shaper<'_>, host: ThingId, face: Face, what: &str) -> String {
        let mut name = self.name.clone();
        if self.targets.len() > 1 {
            name += &format!(" {}", shaper.design.thing(host).name);
        }
        if self.outside && self.inside && face == Face::Inside {
            name += " inside";
        }
        name + what
    }
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let target = thing.target.as_ref().ok_or(Stop::Skip)?;
    let face = fields.maybe_word("face")?;
    let seam_span = fields.span("seam");
    let seam = match fields.maybe("seam")? {
        Some(v) if fields.written("seam") => {
            // Of a seam that is written out, its `facing` counts when it stands there; a named one has it all.
            let placed = match fields.expr("seam").map(|e| (&e.node, e.span)) {
                Some((Node::Make { parts, .. }, span)) => parts.iter().any(|(name, e)| {
                    *name == "facing"
                        && e.span.file == span.file
                        && e.span.start >= span.start
                        && e.span.end <= span.end
                }),
                _ => true,
            };
            Some((seam::read(Some(&v), seam_span)?, placed))
        }
        _ => None,
    };
    if let Some((Joined { seam: Seam::Backed(_), .. }, _)) = &seam {
        return Err(errors::borders::backed_by_its_part(&thing.name.to_string(), seam_span).into());
    }
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        of: fields.things("of")?,
        of_span: fields.span("of"),
        thick: 0.0,
        outside: face != Some("inside"),
        inside: matches!(face, Some("inside" | "both")),
        turn: fields.maybe_number("turn")?.unwrap_or(15.0),
        turn_span: fields.span("turn"),
        turn_written: fields.written("turn"),
        relief: fields.maybe_word("relief")? != Some("none"),
        seam,
        targets: target.anchors.clone(),
        target_span: target.span,
    })
}

/// Reads a cover, keeps what is asked of it and puts it by for [`build`].
///
/// # Errors
/// When it cannot be built as it is written.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let mut spec = shaper.read(id, None, read)?;
    spec.thick = shaper.thickness(&spec.of, spec.of_span)?;
    let mut area = 0.0;
    for anchor in &spec.targets {
        if anchor.edge.is_some() {
            return Err(errors::not_built_yet("a cover on an edge", spec.target_span).into());
        }
        if anchor.hand.is_some() {
            return Err(errors::not_built_yet("a cover on one of a pair only", spec.target_span).into());
        }
        if shaper.known.plates.contains_key(&anchor.thing) {
            return Err(errors::not_built_yet("a cover on a plate", spec.target_span).into());
        }
        for face in spec.faces() {
            area += skin(shaper, anchor.thing, face).ok_or(Stop::Skip)?;
        }
    }
    shaper.known.covers.insert(id, Cover { area, thick: spec.thick });
    shaper.covers.push((id, spec));
    Ok(())
}

/// The area of a face of a part, openings and all; `None` for what was left out.
fn skin(shaper: &Shaper<'_>, host: ThingId, face: Face) -> Option<f64> {
    let of_wall = |part: PartId, depth: f64| {
        let part = &shaper.solid.parts[part.index()];
        let Body::Wall(wall) = &part.body else { return None };
        let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
        Some(measure::wall_area(&Wall { holes: Vec::new(), ..wall.clone() }, neutral, depth))
    };
    if let Some(shell) = shaper.known.shells.get(&host) {
        return of_wall(shell.part, shell.depth(Some(face)));
    }
    let cap = shaper.known.caps.get(&host)?;
    let Body::Plate(plate) = &shaper.solid.parts[cap.plate.index()].body else { return None };
    let disc =
        measure::enclosed(&plate.strip, if face == Face::Outside { plate.show } else { plate.hidden }, plate.depth);
    let rim = match (cap.rim, face) {
        (Some(rim), Face::Outside) => of_wall(rim, plate.depth)?,
        _ => 0.0,
    };
    Some(disc + rim)
}

/// Builds the parts of a cover on each of its targets.
pub(in super::super) fn build(shaper: &mut Shaper<'_>, id: ThingId, spec: &Spec) {
    let before = shaper.solid.turns.len();
    let mut whole = true;
    for anchor in &spec.targets {
        for face in spec.faces() {
            let host = anchor.thing;
            let done = if shaper.known.shells.contains_key(&host) {
                on_shell(shaper, (id, spec), host, face)
            } else {
                on_cap(shaper, (id, spec), host, face)
            };
            if let Err(stop) = done {
                whole = false;
                shaper.left_out(id, stop);
            }
        }
    }
    let none = shaper.solid.turns[before..].iter().all(|t| t.wide == 0.0);
    if whole && spec.turn_written && spec.turn > 0.0 && none {
        shaper.faults.push(errors::turn_without_edge(&spec.name, spec.turn_span));
    }
}

/// The wall that a cover lies on.
struct Host {
    id: ThingId,
    part: PartId,
    wall: Wall,
    /// Depths of the face it lies on and of the other one.
    near: f64,
    far: f64,
    neutral: f64,
}

fn on_shell(shaper: &mut Shaper<'_>, (id, spec): (ThingId, &Spec), host: ThingId, face: Face) -> Result<(), Stop> {
    let (shell, wall) = place::host_wall(shaper, host)?;
    let (near, far) = if face == Face::Outside { (shell.outer, shell.inner) } else { (shell.inner, shell.outer) };
    let part = &shaper.solid.parts[shell.part.index()];
    let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
    let ends = [false, true].map(|at_top| end(shaper, (id, spec), (host, shell), face, at_top));
    let lies_on = Host { id: host, part: shell.part, wall: wall.clone(), near, far, neutral };
    on_wall(shaper, (id, spec), &lies_on, face, &ends, "")
}

/// A wall's strips between two heights, the index of the first that is left, and its rings.
fn between(wall: &Wall, lo: Option<f64>, hi: Option<f64>) -> Option<(Vec<Strip>, usize, Vec<Ring>)> {
    let (least, most) = (lo.unwrap_or(f64::NEG_INFINITY), hi.unwrap_or(f64::INFINITY));
    let kept = |s: &Strip| s.heights().1 > least + LEAST && s.heights().0 < most - LEAST;
    let first = wall.strips.iter().position(kept)?;
    let last = wall.strips.iter().rposition(kept)?;
    let strips = wall.strips[first..=last].to_vec();
    let mut rings = Vec::new();
    for ring in &wall.rings {
        let (from, to) = (ring.strips.start.max(first), ring.strips.end.min(last + 1));
        if from >= to {
            continue;
        }
        let moved = |rim: Rim| match rim {
            Rim::Mitre(other) => Rim::Mitre(other.wrapping_sub(first)),
            other => other,
        };
        let below = lo.filter(|_| from == first);
        let above = hi.filter(|_| to == last + 1);
        rings.push(Ring {
            strips: from - first..to - first,
            lower: below.map_or_else(|| moved(ring.lower), Rim::At),
            upper: above.map_or_else(|| moved(ring.upper), Rim::At),
        });
    }
    Some((strips, first, rings))
}

/// The seam of a cover on a wall: its own, in line with the wall's unless it says where; an open wall's cover ends
/// where the wall does.
fn seam_on(spec: &Spec, host: &Host, host_name: &str) -> Result<(Seam, f64), Stop> {
    match (&spec.seam, host.wall.seam) {
        (None, Seam::Open(gap)) => {
            let depth = host.neutral;
            let gap = match gap {
                Gap::Length(length) => Gap::Over { depth, length, share: 0.0 },
                Gap::Share(share) => Gap::Over { depth, length: 0.0, share },
                other => other,
            };
            Ok((Seam::Open(gap), host.wall.facing))
        }
        (Some((own, _)), Seam::Open(_)) => Err(errors::cover_over_gap(&spec.name, host_name, own.span).into()),
        (None, _) => Ok((Seam::Butt, host.wall.facing)),
        (Some((own, placed)), _) => Ok((own.seam, if *placed { own.facing } else { host.wall.facing })),
    }
}

fn on_wall(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    host: &Host,
    face: Face,
    ends: &[End; 2],
    what: &str,
) -> Result<(), Stop> {
    let host_name = shaper.design.thing(host.id).name.to_string();
    let (seam, facing) = seam_on(spec, host, &host_name)?;
    let short = |e: &End| if let End::Short(z, _) = e { Some(*z) } else { None };
    let (lo, hi) = (short(&ends[0]), short(&ends[1]));
    let whole = (host.wall.strips.first(), host.wall.strips.last());
    let (Some(first), Some(last)) = whole else { return Err(Stop::Skip) };
    let heights = (lo.unwrap_or(first.heights().0), hi.unwrap_or(last.heights().1));
    if heights.1 - heights.0 < SHORT {
        return Err(errors::no_room_to_line(&spec.name, &host_name, spec.head).into());
    }
    let (strips, from, mut rings) = between(&host.wall, lo, hi).ok_or(Stop::Skip)?;
    let begun: Option<Vec<Strip>> = strips.iter().map(|s| s.begun_at(facing)).collect();
    let strips = begun.ok_or_else(|| Stop::from(errors::outline_broken(spec.head)))?;
    let inner = if face == Face::Outside { host.near } else { host.near - spec.thick };
    let bend = measure::mean_bend(&strips, inner);
    let layers = shaper.layers(&spec.of, inner, bend);
    let neutral = layers.first().map_or(0.0, |l| l.neutral);
    let joined = Joined { seam, facing, backing: Vec::new(), stagger: seam::Stagger::None, span: spec.head };
    seam::check(&joined, &strips, neutral)?;
    for (at_top, end) in [false, true].into_iter().zip(ends) {
        let n = rings.len();
        let strip = if at_top { strips.last() } else { strips.first() };
        let (End::Point, Some(strip)) = (end, strip) else { continue };
        let z = wall::closes_at(strip, at_top, neutral);
        let z = z.ok_or_else(|| Stop::from(errors::no_room_to_line(&spec.name, &host_name, spec.head)))?;
        if at_top {
            rings[n - 1].upper = Rim::Closed(z);
        } else {
            rings[0].lower = Rim::Closed(z);
        }
    }
    let figures = figures(spec, host, &host_name, (&strips, &rings), ends)?;
    let part = shaper.next_part();
    let body = Wall { strips, rings, facing, seam, holes: Vec::new(), scallops: None, figures, formed: None };
    joints::of_wall(shaper, part, &body);
    let mut add = |origin: Span, size: Size| shaper.solid.claims.push(Claim { part, origin, size });
    add(spec.of_span, Size::Thick { mm: spec.thick });
    let seam_span = spec.seam.as_ref().map_or(spec.head, |s| s.0.span);
    match seam {
        Seam::Butt | Seam::Backed(_) => {}
        Seam::Lap(mm) | Seam::Tabs(mm) => add(seam_span, Size::Allowance { mm }),
        Seam::Open(gap) => add(seam_span, Size::Gap(gap)),
    }
    if lo.is_some() || hi.is_some() {
        add(spec.head, Size::Tall { mm: heights.1 - heights.0 });
    }
    let holes = repeated(shaper, host, part, from, body.strips.len());
    turns(shaper, spec, (part, &body), ends, (host, &host_name));
    let of = &shaper.solid.parts[host.part.index()];
    let (pair, place, split) = (of.pair, of.place, of.split);
    let name = spec.part_name(shaper, host.id, face, what);
    let body = Body::Wall(Wall { holes, ..body });
    shaper.solid.parts.push(Part { id: part, thing: id, name, origin: spec.head, pair, layers, body, place, split });
    Ok(())
}

/// The figures of the host's rims, where the cover ends as they do: level with them, without a turn.
fn figures(
    spec: &Spec,
    host: &Host,
    host_name: &str,
    (strips, rings): (&[Strip], &[Ring]),
    ends: &[End; 2],
) -> Result<[Option<Box<Figure>>; 2], Stop> {
    let mut out = [None, None];
    let rims = host.wall.rings.first().zip(host.wall.rings.last()).map(|(a, b)| [a.lower, b.upper]);
    let own = rings.first().zip(rings.last()).map(|(a, b)| [a.lower, b.upper]);
    let (Some(rims), Some(own)) = (rims, own) else { return Ok(out) };
    for (i, upper) in [false, true].into_iter().enumerate() {
        if !rims[i].is_uneven() {
            continue;
        }
        if let End::Short(..) = ends[i] {
            let what = "a lining that ends short of a sloped or shaped edge";
            return Err(errors::not_built_yet(what, spec.head).into());
        }
        if spec.turn > 0.0 {
            return Err(errors::turn_over_figure(&spec.name, host_name, spec.turn_span).into());
        }
        let (Rim::Shaped { .. }, Some(figure)) = (own[i], host.wall.figure(upper)) else { continue };
        let end = |strips: &[Strip]| if upper { strips.last().cloned() } else { strips.first().cloned() };
        let (Some(from), Some(to)) = (end(&host.wall.strips), end(strips)) else { return Err(Stop::Skip) };
        let span = spec.seam.as_ref().map_or(spec.head, |s| s.0.span);
        out[i] = Some(Box::new(edge::begun(figure, &from, &to, &spec.name, span)?));
    }
    Ok(out)
}

/// The holes of the host that the cover reaches, each with its claim.
fn repeated(shaper: &mut Shaper<'_>, host: &Host, part: PartId, from: usize, strips: usize) -> Vec<Hole> {
    let mut holes: Vec<Hole> = Vec::new();
    let mut index: Vec<Option<usize>> = Vec::new();
    for hole in &host.wall.holes {
        let there = hole.strip.checked_sub(from).filter(|s| *s < strips);
        index.push(there.map(|_| holes.len()));
        holes.extend(there.map(|strip| Hole { strip, ..hole.clone() }));
    }
    let claims: Vec<Claim> = shaper.solid.claims.iter().filter(|c| c.part == host.part).cloned().collect();
    for claim in claims {
        if let Size::Hole { hole, .. } = claim.size
            && let Some(Some(own)) = index.get(hole)
        {
            let mut size = claim.size.clone();
            if let Size::Hole { hole, .. } = &mut size {
                *hole = *own;
            }
            shaper.solid.claims.push(Claim { part, origin: claim.origin, size });
        }
    }
    holes
}

/// What is folded over the edges of a cover's wall.
fn turns(
    shaper: &mut Shaper<'_>,
    spec: &Spec,
    (part, body): (PartId, &Wall),
    ends: &[End; 2],
    (host, host_name): (&Host, &str),
) {
    if spec.turn <= 0.0 || body.rings.is_empty() {
        return;
    }
    let turn = |ring: usize, edge: EdgeName, wide: f64, onto: Onto| Turn {
        at: EdgeRef { part, ring, edge },
        origin: spec.turn_span,
        wide,
        relief: spec.relief,
        onto,
        glued: None,
    };
    for (at_top, end) in [false, true].into_iter().zip(ends) {
        let (ring, edge) = if at_top { (body.rings.len() - 1, EdgeName::Upper) } else { (0, EdgeName::Lower) };
        let (onto, room, stop) = match end {
            End::Free { onto, room, stop } => (onto, room, stop),
            End::Level(why) | End::Short(_, why) => {
                shaper.solid.turns.push(turn(ring, edge, 0.0, Onto::Not(why)));
                continue;
            }
            End::Point => continue,
        };
        if *room < spec.turn {
            shaper.faults.push(errors::turn_shortened(&spec.name, (spec.turn, *room), stop, spec.turn_span));
        }
        shaper.solid.turns.push(turn(ring, edge, spec.turn.min(*room), *onto));
    }
    // Only where the wall ends with it has a side something to be folded round.
    if matches!((host.wall.seam, &spec.seam), (Seam::Open(_), None)) {
        let least = body.strips.iter().flat_map(|s| [(s, s.heights().0), (s, s.heights().1)]);
        let least = least
            .map(|(s, z)| measure::girth(s, z, host.far) - measure::gap_at(&host.wall, host.neutral, s, z, host.far));
        // Both sides' turns share what is left of the girth on the other face.
        let thick = (host.near - host.far).abs() + spec.thick;
        let room = thick + 0.5 * least.fold(f64::INFINITY, f64::min).max(0.0);
        if room < spec.turn {
            let stop = format!("the turn of {host_name}'s other side");
            shaper.faults.push(errors::turn_shortened(&spec.name, (spec.turn, room), &stop, spec.turn_span));
        }
        let onto = Onto::Back { near: host.near, far: host.far };
        for ring in 0..body.rings.len() {
            for edge in [EdgeName::Begin, EdgeName::End] {
                shaper.solid.turns.push(turn(ring, edge, spec.turn.min(room), onto));
            }
        }
    }
}
