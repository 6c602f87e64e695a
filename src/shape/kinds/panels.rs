//! Shells with sharp corners: a flat panel for every side, mitred where two meet, and what closes and pierces them.

use super::super::known::Panelled;
use super::super::section::Given;
use super::super::wall::{self, Stationed};
use super::super::{Shaper, errors, goods, joints};
use super::cap::{self, Fit};
use super::folded;
use super::passes;
use super::place::{self, Ground};
use super::shell::{self, Spec};
use super::spread::Spread;
use crate::design::{Kind, Relation, Thing};
use crate::eval::Stop;
use crate::geom::facets::{self, End, Facet, Meet, Slab, Style};
use crate::geom::sided::{self, Side};
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec2, Vec3, tol, unit};
use crate::ids::{PartId, ThingId};
use crate::num::{self, PI, TAU};
use crate::solid::{
    Body, Claim, Contact, EdgeName, EdgeRef, Frame, OfPanels, Part, Plate, PlateHole, Seam, Size, Wall,
};
use crate::span::Span;

/// Corners of neighbours that stand this far apart at most meet, mm.
const MEET: f64 = 1e-6;

/// More panels of one shell than anybody cuts, few enough to compare their joints each with each.
const MOST: usize = 500;

/// Builds the panels of a shell whose sections have sharp corners.
///
/// # Errors
/// When it cannot be built as it is written.
pub(super) fn lower(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    ground: Ground,
    spec: &Spec,
    (placed, seam, foot): (Vec<Stationed>, (Seam, Span), f64),
) -> Result<(), Stop> {
    if seam.0 != Seam::Butt {
        return Err(errors::not_built_yet("such a seam of a wall in panels", seam.1).into());
    }
    let Sheeted { thick, inner, outer, strips, facets: all } = sheeted(shaper, ground, spec, &placed)?;
    let ends = ends(shaper, id, ground, spec, &all);
    let style = if spec.lapped { Style::Lapped } else { Style::Mitred };
    let right = |i: usize, m: &Meet| match *m {
        Meet::Facet { facet, .. } => all[i].normal.dot(all[facet].normal).abs() < 1e-6,
        Meet::Lower | Meet::Upper => true,
    };
    if let (Some((.., made)), true) = (spec.made, spec.lapped)
        && !all.iter().enumerate().all(|(i, f)| f.meets.iter().all(|m| right(i, m)))
    {
        return Err(errors::not_built_yet("lapped panels that meet at another angle than a right one", made).into());
    }
    if let (Some((_, span)), true) = (spec.passes, spec.lapped) {
        return Err(errors::not_built_yet("what gets through a shell in lapped panels", span).into());
    }
    let slabs = slabs(spec, &placed, &all, (style, ends), [inner, outer])?;
    let reach = reach(spec, &slabs);
    let level = spec.level.unwrap_or(0.0) + foot;
    let frame = place::frame(shaper, ground, level, (spec.facing, spec.gap), reach)?;
    let tall = placed.last().map_or(0.0, |s| s.z);
    let parts = push(shaper, (id, spec), &strips, (&all, &slabs), (inner, outer), frame);
    join(shaper, (&all, style), &parts, frame);
    claims(shaper, parts[0], spec, &placed, (thick, frame));
    shaper.known.frames.insert(id, frame);
    let point = |s: Option<&Stationed>| s.is_some_and(|s| s.point);
    let panelled = Panelled {
        parts,
        tall,
        inner,
        outer,
        level,
        closed: [point(placed.first()), point(placed.last())],
        facets: all,
        strips,
        folded: None,
    };
    passes::ask(shaper, id, spec.passes, panelled.parts.clone());
    shaper.known.panelled.insert(id, panelled);
    Ok(())
}

/// The sheet of a wall with sharp corners and its flat sides.
pub(super) struct Sheeted {
    pub thick: f64,
    pub inner: f64,
    pub outer: f64,
    pub strips: Vec<Strip>,
    pub facets: Vec<Facet>,
}

/// The flat sides of a shell whose sections have sharp corners.
pub(super) fn sheeted(shaper: &Shaper<'_>, ground: Ground, spec: &Spec, placed: &[Stationed]) -> Result<Sheeted, Stop> {
    let station = |i: usize| spec.stations.get(i).map_or(spec.head, |s| s.section);
    if let Some(i) = placed.iter().position(|s| !facets::is_sharp(&s.section)) {
        let what = "a wall in panels through a section that has no straight sides, or round corners beside sharp ones,";
        return Err(errors::not_built_yet(what, station(i)).into());
    }
    if let Some(i) = placed.iter().position(|s| s.leans.is_some()) {
        return Err(errors::not_built_yet("a wall in panels with a sloped end", station(i)).into());
    }
    if let Ground::Wall { .. } = ground {
        return Err(errors::not_built_yet("a shell that grows from a wall", spec.head).into());
    }
    let thick = shaper.thickness(&spec.of, spec.of_span)?;
    let inner = goods::inner_depth(thick, spec.measured);
    let outer = inner + thick;
    let strips = strips(placed).map_err(|f| shell::fault(f, spec))?;
    let facets = facets::facets(&strips);
    if facets.len() > MOST {
        let what = format!("a wall of {} panels: more than {MOST}", facets.len());
        return Err(errors::not_built_yet(&what, spec.head).into());
    }
    Ok(Sheeted { thick, inner, outer, strips, facets })
}

/// The sheets of all facets, which meet in their corners.
pub(super) fn slabs(
    spec: &Spec,
    placed: &[Stationed],
    all: &[Facet],
    (style, ends): (Style, [End; 2]),
    faces: [f64; 2],
) -> Result<Vec<Slab>, Stop> {
    let station = |i: usize| spec.stations.get(i).map_or(spec.head, |s| s.section);
    // The station at the end of a strip, as written.
    let at = |z: f64| placed.iter().position(|s| (s.z - z).abs() < tol::SAME).map_or(spec.head, station);
    let mut slabs: Vec<Slab> = Vec::with_capacity(all.len());
    for (i, facet) in all.iter().enumerate() {
        let slab = facets::slab(all, i, (style, ends), faces).map_err(|gone| {
            let z = facet.edge(gone.side.min(facet.corners.len() - 1)).0.z;
            errors::side_gone((gone.lacks.max(0.0), facet.phi), !gone.upper, errors::WayOut::default(), at(z))
        })?;
        slabs.push(slab);
    }
    for (i, facet) in all.iter().enumerate() {
        for k in 0..facet.corners.len() {
            if style == Style::Mitred && facets::apart(all, &slabs, i, k) > MEET {
                let (a, b) = facet.edge(k);
                let what = "a corner in which panels of unlike slopes meet, which a thick sheet splits in two,";
                return Err(errors::not_built_yet(what, at(a.z.min(b.z))).into());
            }
        }
    }
    Ok(slabs)
}

/// How far it reaches toward what it stands beside.
pub(super) fn reach(spec: &Spec, slabs: &[Slab]) -> f64 {
    slabs.iter().flat_map(|s| &s.outer).map(|p| p.truncate().dot(unit(spec.facing + PI))).fold(0.0, f64::max)
}

/// The strips between stations; those that run straight on are one.
fn strips(placed: &[Stationed]) -> Result<Vec<Strip>, wall::WallFault> {
    let all = wall::strips(placed, 0.0)?;
    let one = |range: &core::ops::Range<usize>| {
        let (low, up) = (&placed[range.start], &placed[range.end]);
        Strip::new(&low.section, low.z, &up.section, up.z).map_err(|_| wall::WallFault::HollowUnlike(range.start))
    };
    wall::rings(&all).iter().map(one).collect()
}

/// How the free ends are cut. Square ends of panels that slope alike meet in their corners; others are level.
pub(super) fn ends(shaper: &Shaper<'_>, id: ThingId, ground: Ground, spec: &Spec, all: &[Facet]) -> [End; 2] {
    let end = |at_top: bool| {
        let wanted = if at_top { Meet::Upper } else { Meet::Lower };
        let mut slopes = all.iter().filter(|f| f.meets.contains(&wanted)).map(|f| f.normal.z);
        let first = slopes.next();
        let alike = first.is_none_or(|a| slopes.all(|b| (a - b).abs() < 1e-9));
        let stands = !at_top && matches!(ground, Ground::Edge { .. });
        let met = stands || shaper.met.contains(&(id, if at_top { "top" } else { "bottom" }));
        match spec.rim {
            Some("level") => End::Level,
            None if met || !alike => End::Level,
            Some(_) | None => End::Square,
        }
    };
    [end(false), end(true)]
}

/// The parts: the panel that faces front first, then to the left round each ring.
fn push(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    strips: &[Strip],
    (all, slabs): (&[Facet], &[Slab]),
    (inner, outer): (f64, f64),
    frame: Frame,
) -> Vec<PartId> {
    let mut parts = Vec::with_capacity(all.len());
    for (i, (facet, slab)) in all.iter().zip(slabs).enumerate() {
        let first = all.iter().position(|f| f.strip == facet.strip).unwrap_or(0);
        let number = i - first + 1;
        let name = if strips.len() > 1 {
            format!("{} ring {} panel {number}", spec.name, facet.strip + 1)
        } else {
            format!("{} panel {number}", spec.name)
        };
        // A flat sheet is not bent: its radius has no end.
        let layers = shaper.layers(&spec.of, inner, f64::INFINITY);
        let part = shaper.next_part();
        let plate = Plate::standing(slab.strip.clone(), [inner, outer]);
        shaper.solid.parts.push(Part {
            id: part,
            thing: id,
            name,
            origin: spec.head,
            pair: spec.pair,
            layers,
            body: Body::Plate(plate),
            place: frame.of(&slab.frame),
            split: spec.split,
        });
        parts.push(part);
    }
    parts
}

/// Where two panels meet.
fn join(shaper: &mut Shaper<'_>, (all, style): (&[Facet], Style), parts: &[PartId], frame: Frame) {
    for (i, facet) in all.iter().enumerate() {
        for (k, meet) in facet.meets.iter().enumerate() {
            let Meet::Facet { facet: other, edge } = *meet else { continue };
            if other < i || (other == i && edge <= k) {
                continue;
            }
            let (from, to) = facet.edge(k);
            let edge_of = |part: PartId, k: usize| EdgeRef { part, ring: 0, edge: EdgeName::Side(k) };
            // The one on top is named first.
            let lapped = style == Style::Lapped;
            let (one, next) = ((parts[i], k), (parts[other], edge));
            let (one, next) = if lapped && !facets::over(all, i, k) { (next, one) } else { (one, next) };
            shaper.joints.push(joints::Draft {
                a: edge_of(one.0, one.1),
                b: edge_of(next.0, next.1),
                contact: Contact::Line { from: frame.apply(from), to: frame.apply(to), lapped },
                what: if all[other].strip == facet.strip { "corner" } else { "station seam" }.to_owned(),
            });
        }
    }
}

/// The sizes that the text gives, to be measured on all panels together.
pub(super) fn claims(
    shaper: &mut Shaper<'_>,
    part: PartId,
    spec: &Spec,
    placed: &[Stationed],
    (thick, frame): (f64, Frame),
) {
    let axis = frame.direction(Vec3::Z);
    let at = |z: f64| frame.apply(Vec3::new(0.0, 0.0, z));
    let mut add = |origin: Span, size: Size| shaper.solid.claims.push(Claim { part, origin, size });
    for (station, set) in spec.stations.iter().zip(placed) {
        for given in &station.lowered.given {
            let size = match *given {
                Given::Around(mm) => OfPanels::Around(mm),
                Given::Across { direction, mm } => OfPanels::Across { way: frame.toward(direction), mm },
            };
            add(station.section, Size::Panels { at: at(set.z), axis, depth: 0.0, size });
        }
    }
    if let (Some(first), Some(last), false) = (spec.stations.first(), spec.stations.last(), spec.along_wall) {
        let size = OfPanels::Tall(last.place - first.place);
        add(last.span, Size::Panels { at: at(0.0), axis, depth: 0.0, size });
    }
    add(spec.of_span, Size::Thick { mm: thick });
}

/// Refuses what cannot yet stand on, in, over or beside a shell in panels, or on a cap of one.
///
/// # Errors
/// `not-built-yet` at the target.
pub(super) fn may_stand(shaper: &Shaper<'_>, thing: &Thing) -> Result<(), Stop> {
    let Some(target) = &thing.target else { return Ok(()) };
    for anchor in &target.anchors {
        let on_cap = shaper.known.caps.get(&anchor.thing).is_some_and(|c| shaper.known.panelled.contains_key(&c.host));
        let on_panels = shaper.known.panelled.contains_key(&anchor.thing);
        if !on_cap && !on_panels {
            continue;
        }
        let may = match thing.kind {
            Kind::Finish | Kind::Limit | Kind::Hang => true,
            Kind::Opening | Kind::Mark | Kind::Attachment => anchor.edge.is_none(),
            Kind::Cap => on_panels && target.relation == Relation::On,
            _ => false,
        };
        if !may {
            let folded = shaper.known.panelled.get(&anchor.thing).is_some_and(|p| p.folded.is_some());
            let on = if folded { "a shell that is folded from one strip" } else { "a shell in panels" };
            let what = format!("{} on {on}", super::sloped::one(thing.kind));
            return Err(errors::not_built_yet(&what, target.span).into());
        }
    }
    Ok(())
}

/// A cap of a shell in panels, in its bore or on its end: as many sides, each in the plane of a panel's face.
pub(super) fn cap(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    (host, at_top): (ThingId, bool),
    spec: &cap::Spec,
) -> Result<(), Stop> {
    let shell = shaper.known.panelled.get(&host).ok_or(Stop::Skip)?.clone();
    let host_name = shaper.design.thing(host).name.to_string();
    if shell.closed[usize::from(at_top)] {
        return Err(errors::cap_on_point(&spec.name, &host_name, spec.head).into());
    }
    if spec.fit == Fit::Overlay {
        return Err(errors::not_built_yet("an overlaid cap on a shell in panels", spec.head).into());
    }
    cap::collide_outside(shaper, host, at_top, spec)?;
    let thick = shaper.thickness(&spec.of, spec.of_span)?;
    let tall = shell.tall;
    let flush = spec.fit == Fit::Flush;
    let (show, hidden) = match (flush, at_top) {
        (true, true) => (tall + thick, tall),
        (true, false) => (-thick, 0.0),
        (false, true) => (tall - spec.sunk, tall - spec.sunk - thick),
        (false, false) => (spec.sunk, spec.sunk + thick),
    };
    if !flush && spec.sunk + thick > tall {
        return Err(errors::sunk_too_deep(&spec.name, spec.sunk, thick, tall, spec.sunk_span).into());
    }
    let (lo, hi) = (show.min(hidden), show.max(hidden));
    let inside = (!flush).then_some((lo, hi));
    cap::collide_inside(shaper, host, spec, inside)?;
    let strip = if flush {
        if at_top { shell.strips.len() - 1 } else { 0 }
    } else {
        let middle = 0.5 * (lo + hi);
        shell.strips.iter().position(|s| middle <= s.heights().1).ok_or(Stop::Skip)?
    };
    let (z0, z1) = shell.strips[strip].heights();
    if !flush && (lo < z0 - tol::SAME || hi > z1 + tol::SAME) {
        return Err(errors::not_built_yet("a cap that reaches across a station where the wall bends", spec.head).into());
    }
    let gap = spec.gap.unwrap_or(0.0);
    let depth = if flush { shell.outer } else { shell.inner } - gap;
    let (low, up) = (facets::figure(&shell.facets, strip, lo, depth), facets::figure(&shell.facets, strip, hi, depth));
    let sides: Vec<Side> = low.iter().zip(&up).map(|(a, b)| Side { phi: a.0, lower: a.1, upper: b.1 }).collect();
    let made = sided::strip(&sides, lo, hi).map_err(|_| Stop::from(errors::no_bore(&spec.name, spec.gap_span)))?;
    let middle = sided::corners_at(&made, if flush { hidden } else { 0.5 * (lo + hi) });
    let plate = Plate { strip: made, depth: 0.0, show, hidden, holes: Vec::new(), sided: true, upright: false };
    let frame = shaper.known.frames.get(&host).copied().unwrap_or(Frame::WORLD);
    let pair = shell.parts.first().is_some_and(|p| shaper.solid.parts[p.index()].pair);
    let part = cap::push_plate(shaper, (id, spec), pair, plate, thick, frame);
    let z = if flush { hidden } else { 0.5 * (lo + hi) };
    let wanted = if at_top { Meet::Upper } else { Meet::Lower };
    let ring = shell.facets.iter().enumerate().filter(|(_, f)| f.strip == strip);
    for (side, (facet, one)) in ring.enumerate() {
        let Some(k) = one.meets.iter().position(|m| *m == wanted) else { continue };
        let on = |p: Vec2| frame.apply(p.extend(z));
        let (from, to) = (middle[side], middle[(side + 1) % middle.len()]);
        for (edge, [a, b]) in shell.edges_at((facet, k), at_top) {
            let b_ref = EdgeRef { part: shell.parts[facet], ring: 0, edge };
            // An edge carries the marks of one joint: of several caps at one end the first that is built.
            if shaper.joined.insert((b_ref.part, b_ref.ring, b_ref.edge)) {
                shaper.joints.push(joints::Draft {
                    a: EdgeRef { part, ring: 0, edge: EdgeName::Side(side) },
                    b: b_ref,
                    contact: Contact::Line { from: on(from.lerp(to, a)), to: on(from.lerp(to, b)), lapped: false },
                    what: format!("{} {}", spec.name, if flush { "flush" } else { "inset" }),
                });
            }
        }
    }
    if !flush {
        // From the end into the bore.
        let (at, axis) = if at_top { (tall, -Vec3::Z) } else { (0.0, Vec3::Z) };
        let at = frame.apply(Vec3::new(0.0, 0.0, at));
        let size = Size::Panels { at, axis: frame.direction(axis), depth: 0.0, size: OfPanels::Sunk(spec.sunk) };
        shaper.solid.claims.push(Claim { part, origin: spec.sunk_span, size });
    }
    cap::keep(shaper, id, (host, at_top), (spec, part, inside), frame);
    Ok(())
}

/// The walls of a shell in panels, as they are looked at for places on them.
pub(super) fn as_wall(shell: &Panelled) -> Wall {
    Wall::plain(shell.strips.clone(), Vec::new(), 0.0, Seam::Butt)
}

/// Where a place of [`as_wall`] lies: the part, of a folded wall its face, and the point in the plane of that flat side.
pub(super) fn side_of(
    shell: &Panelled,
    (strip, rule, z): (usize, Rule, f64),
    spread: &Spread,
) -> Result<(PartId, usize, Vec2), Stop> {
    let at = rule.point(z, 0.0);
    if let Some(of) = &shell.folded {
        let face = folded::face_at(of, rule.phi, at).ok_or_else(|| on_a_corner(shell, spread, rule.phi))?;
        return Ok((of.part, face, of.faces[face].frame().seen(at).truncate()));
    }
    let lies = |f: &Facet| {
        let turn = num::wrap(f.phi - rule.phi + PI, TAU) - PI;
        f.strip == strip && turn.abs() < 1e-7 && (at - f.corners[0]).dot(f.normal).abs() < 1e-6
    };
    let found = shell.facets.iter().position(lies);
    let i = found.ok_or_else(|| on_a_corner(shell, spread, rule.phi))?;
    Ok((shell.parts[i], 0, shell.facets[i].frame().seen(at).truncate()))
}

/// Holes in flat sides, one at each place, of these widths.
pub(super) fn pierce(
    shaper: &mut Shaper<'_>,
    host: ThingId,
    holes: Vec<((usize, Rule, f64), PlateHole)>,
    sized: Option<(f64, f64)>,
    (spread, shape_span): (&Spread, Span),
) -> Result<(), Stop> {
    let shell = shaper.known.panelled.get(&host).ok_or(Stop::Skip)?.clone();
    for (place, hole) in holes {
        let (part, face, centre) = side_of(&shell, place, spread)?;
        let outline = super::opening::seen(&hole.outline, true, None, centre);
        let hole = PlateHole { outline, ..hole };
        let number = match &mut shaper.solid.parts[part.index()].body {
            Body::Plate(plate) => {
                plate.holes.push(hole);
                plate.holes.len() - 1
            }
            Body::Folded(wall) => {
                wall.holes.push((face, hole));
                wall.holes.len() - 1
            }
            Body::Wall(_) | Body::Leaf(_) => return Err(Stop::Skip),
        };
        if let Some((across, by)) = sized {
            let size = Size::PlateHole { hole: number, centre, across, by };
            shaper.solid.claims.push(Claim { part, origin: shape_span, size });
        }
    }
    Ok(())
}

/// Refuses what lies on a corner, and says which side is near.
fn on_a_corner(shell: &Panelled, spread: &Spread, phi: f64) -> Stop {
    if spread.count > 1.0 || spread.every.is_some() || spread.shift != Vec3::ZERO {
        return errors::comes_to_a_corner(&spread.name, spread.head).into();
    }
    let front = shell.facets.iter().map(|f| f.phi).min_by(|a, b| {
        let off = |side: f64| (num::wrap(side - phi + PI, TAU) - PI).abs();
        off(*a).total_cmp(&off(*b))
    });
    errors::on_a_corner(&spread.name, phi, front.unwrap_or(0.0), spread.head).into()
}
