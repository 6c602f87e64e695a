//! `cap`: a flat piece that closes an end of a shell: inside the bore, on the wall's end, or over it with a rim of its
//! own (`lid`). One of cloth on the wall's end is turned down over the wall, a drum's head (`head`).

use super::super::known::Cap;
use super::super::{Shaper, errors, goods, joints, wall};
use super::border::stack;
use super::{head, lid, panels, place};
use crate::design::{Anchor, Face};
use crate::eval::{Fields, Stop};
use crate::ids::{PartId, ThingId};
use crate::solid::{Body, Claim, Contact, EdgeName, EdgeRef, Frame, Layer, Part, Plate, Seam, Size, Wall};
use crate::span::Span;

/// How a cap closes an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Fit {
    Inset,
    Flush,
    Overlay,
}

/// The fields of a cap, reckoned.
pub(super) struct Spec {
    pub name: String,
    pub head: Span,
    pub of: Vec<Anchor>,
    pub of_span: Span,
    pub fit: Fit,
    pub sunk: f64,
    pub sunk_span: Span,
    pub rim: f64,
    pub rim_span: Span,
    /// The clear distance; of an inset or flush cap only when it is written.
    pub gap: Option<f64>,
    pub gap_span: Span,
    /// What is turned down over the wall.
    pub turn: f64,
    pub turn_span: Span,
    pub relief: bool,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let fit = match fields.maybe_word("fit")? {
        Some("flush") => Fit::Flush,
        Some("overlay") => Fit::Overlay,
        _ => Fit::Inset,
    };
    let gap = fields.maybe_number("gap")?;
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        of: fields.things("of")?,
        of_span: fields.span("of"),
        fit,
        sunk: fields.maybe_number("sunk")?.unwrap_or(0.0),
        sunk_span: fields.span("sunk"),
        rim: fields.maybe_number("rim")?.unwrap_or(25.0),
        rim_span: fields.span("rim"),
        gap: if fit == Fit::Overlay || fields.written("gap") { gap } else { None },
        gap_span: fields.span("gap"),
        turn: fields.maybe_number("turn")?.unwrap_or(0.0),
        turn_span: fields.span("turn"),
        relief: fields.maybe_word("relief")? != Some("none"),
    })
}

/// Builds a cap.
///
/// # Errors
/// When it cannot close its edge.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let target = thing.target.as_ref().ok_or(Stop::Skip)?;
    let anchor = match target.anchors.as_slice() {
        [anchor] => anchor,
        // What it stands on has a fault of its own.
        [] => return Err(Stop::Skip),
        _ => return Err(errors::not_built_yet("a cap with several targets", target.span).into()),
    };
    let panelled = anchor.hand.is_none() && shaper.known.panelled.contains_key(&anchor.thing);
    let host = if panelled { anchor.thing } else { place::built(shaper, anchor, target.span)? };
    let at_top = match anchor.edge {
        Some("top") => true,
        Some("bottom") => false,
        _ => return Err(errors::not_built_yet("a cap on such an edge", target.span).into()),
    };
    let spec = shaper.read(id, None, read)?;
    head::may_turn(shaper, &spec)?;
    if panelled {
        if spec.fit == Fit::Flush && spec.turn > 0.0 {
            return Err(errors::not_built_yet("a cap turned down over flat sides", spec.turn_span).into());
        }
        return panels::cap(shaper, id, (host, at_top), &spec);
    }
    let (shell, body) = place::host_wall(shaper, host)?;
    let host_name = shaper.design.thing(host).name.to_string();
    if matches!(body.seam, Seam::Open(_)) {
        return Err(errors::cap_on_open(&spec.name, &host_name, spec.head, shell.seam.span).into());
    }
    if if at_top { shell.closed_top } else { shell.closed_bottom } {
        return Err(errors::cap_on_point(&spec.name, &host_name, spec.head).into());
    }
    collide_outside(shaper, host, at_top, &spec)?;
    let thick = shaper.thickness(&spec.of, spec.of_span)?;
    if spec.fit == Fit::Overlay {
        return lid::lower(shaper, (id, &spec), (host, at_top), thick);
    }
    let turned = spec.fit == Fit::Flush && spec.turn > 0.0;
    let (plate, inside, strip) = if spec.fit == Fit::Flush {
        let over = if turned { stack::covers(shaper, host)? } else { 0.0 };
        flush(shaper, (host, at_top), &spec, thick, over)?
    } else {
        inset(shaper, host, at_top, &spec, thick)?
    };
    let (shell, body) = place::host_wall(shaper, host)?;
    let contact_z = match spec.fit {
        Fit::Inset => 0.5 * (plate.show + plate.hidden),
        Fit::Flush | Fit::Overlay => plate.hidden,
    };
    let (wall_part, ring) = (shell.part, ring_of(body, strip));
    let contact = Contact::Round { part: wall_part, strip, z: contact_z, depth: plate.depth };
    let frame = shaper.known.frames.get(&host).copied().unwrap_or(Frame::WORLD);
    let pair = shaper.known.shells.get(&host).is_some_and(|s| shaper.solid.parts[s.part.index()].pair);
    let part = push_plate(shaper, (id, &spec), pair, plate, thick, frame);
    let edge = if at_top { EdgeName::Upper } else { EdgeName::Lower };
    let b = EdgeRef { part: wall_part, ring, edge };
    if turned {
        head::turn(shaper, &spec, (host, at_top), part)?;
    }
    // An edge carries the marks of one joint: of several caps at one end the first that is built. A fold has none.
    if !turned && shaper.joined.insert((wall_part, ring, edge)) {
        shaper.joints.push(joints::Draft {
            a: EdgeRef { part, ring: 0, edge: EdgeName::Outline },
            b,
            contact,
            what: format!("{} {}", spec.name, if spec.fit == Fit::Flush { "flush" } else { "inset" }),
        });
    }
    if spec.fit == Fit::Inset {
        shaper.solid.claims.push(Claim { part, origin: spec.sunk_span, size: Size::Sunk { mm: spec.sunk } });
    }
    keep(shaper, id, (host, at_top), (&spec, part, inside), frame);
    Ok(())
}

/// Remembers a cap that was built.
pub(super) fn keep(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    (host, at_top): (ThingId, bool),
    (spec, plate, inside): (&Spec, PartId, Option<(f64, f64)>),
    frame: Frame,
) {
    let cap = Cap { host, at_top, fit: spec.fit, plate, rim: None, inside, head: spec.head };
    shaper.caps_of.entry(host).or_default().push(id);
    shaper.known.caps.insert(id, cap);
    shaper.known.frames.insert(id, frame);
}

/// The plate's part, its layers counted from its show face inwards.
pub(super) fn push_plate(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    pair: bool,
    plate: Plate,
    thick: f64,
    frame: Frame,
) -> PartId {
    // A flat sheet is not bent: its radius has no end.
    let layers: Vec<Layer> = shaper.layers(&spec.of, goods::inner_depth(thick, Face::Outside), f64::INFINITY);
    let part = shaper.next_part();
    shaper.solid.claims.push(Claim { part, origin: spec.of_span, size: Size::Thick { mm: thick } });
    shaper.solid.parts.push(Part {
        id: part,
        thing: id,
        name: spec.name.clone(),
        origin: spec.head,
        pair,
        layers,
        body: Body::Plate(plate),
        place: frame,
        split: true,
    });
    part
}

fn ring_of(wall: &Wall, strip: usize) -> usize {
    wall.rings.iter().position(|r| r.strips.contains(&strip)).unwrap_or(0)
}

/// Two caps that both lie on the wall's end are one too many.
pub(super) fn collide_outside(shaper: &Shaper<'_>, host: ThingId, at_top: bool, spec: &Spec) -> Result<(), Stop> {
    if spec.fit == Fit::Inset {
        return Ok(());
    }
    if let Some((other, first)) = shaper.stood.get(&(host, at_top)) {
        return Err(errors::edge_taken(&spec.name, spec.head, other, *first).into());
    }
    let other = caps(shaper, host).find(|(_, c)| c.at_top == at_top && c.fit != Fit::Inset);
    match other {
        Some((id, c)) => {
            let other = shaper.design.thing(id).name.to_string();
            Err(errors::edge_taken(&spec.name, spec.head, &other, c.head).into())
        }
        None => Ok(()),
    }
}

/// Two caps may not fill the same part of a bore.
pub(super) fn collide_inside(
    shaper: &Shaper<'_>,
    host: ThingId,
    spec: &Spec,
    inside: Option<(f64, f64)>,
) -> Result<(), Stop> {
    let Some((lo, hi)) = inside else { return Ok(()) };
    for (id, c) in caps(shaper, host) {
        if let Some((l, h)) = c.inside
            && lo < h - 1e-9
            && l < hi - 1e-9
        {
            let other = shaper.design.thing(id).name.to_string();
            return Err(errors::caps_collide(&spec.name, spec.head, &other, c.head, (lo, hi), (l, h)).into());
        }
    }
    Ok(())
}

/// The caps that close a shell already.
fn caps<'a>(shaper: &'a Shaper<'_>, host: ThingId) -> impl Iterator<Item = (ThingId, &'a Cap)> {
    let ids = shaper.caps_of.get(&host).into_iter().flatten();
    ids.filter_map(|id| Some((*id, shaper.known.caps.get(id)?)))
}

type Placed = (Plate, Option<(f64, f64)>, usize);

fn inset(shaper: &Shaper<'_>, host: ThingId, at_top: bool, spec: &Spec, thick: f64) -> Result<Placed, Stop> {
    let (shell, body) = place::host_wall(shaper, host)?;
    let tall = shell.tall;
    let place = |deep: f64| if at_top { tall - deep } else { deep };
    let (show, hidden) = (place(spec.sunk), place(spec.sunk + thick));
    if spec.sunk + thick > tall {
        return Err(errors::sunk_too_deep(&spec.name, spec.sunk, thick, tall, spec.sunk_span).into());
    }
    let (lo, hi) = (show.min(hidden), show.max(hidden));
    collide_inside(shaper, host, spec, Some((lo, hi)))?;
    let find = |z: f64| body.strips.iter().position(|s| z >= s.heights().0 - 1e-9 && z <= s.heights().1 + 1e-9);
    let middle = find(0.5 * (lo + hi)).ok_or(Stop::Skip)?;
    let (z0, z1) = body.strips[middle].heights();
    // Beyond its own strip a plate may reach only where the next one runs straight on.
    let ring = &body.rings[ring_of(body, middle)].strips;
    let straight_below = lo >= z0 - 1e-9 || ring.contains(&middle.wrapping_sub(1));
    let straight_above = hi <= z1 + 1e-9 || ring.contains(&(middle + 1));
    if !(straight_below && straight_above) {
        return Err(errors::not_built_yet("a cap that reaches across a station where the wall bends", spec.head).into());
    }
    let depth = shell.inner - spec.gap.unwrap_or(0.0);
    let strip = &body.strips[middle];
    if ![lo, hi].iter().all(|&z| wall::exists_at(strip, z, depth)) {
        return Err(errors::no_bore(&spec.name, spec.gap_span).into());
    }
    let plate = Plate { strip: strip.clone(), depth, show, hidden, holes: Vec::new(), sided: false, upright: false };
    Ok((plate, Some((lo, hi)), middle))
}

/// On the wall's end; `over` is how thick what lies on the wall is that it covers too.
fn flush(
    shaper: &Shaper<'_>,
    (host, at_top): (ThingId, bool),
    spec: &Spec,
    thick: f64,
    over: f64,
) -> Result<Placed, Stop> {
    let (shell, body) = place::host_wall(shaper, host)?;
    let index = if at_top { body.strips.len() - 1 } else { 0 };
    let strip = &body.strips[index];
    let hidden = if at_top { shell.tall } else { 0.0 };
    let show = if at_top { hidden + thick } else { -thick };
    let depth = shell.outer + over - spec.gap.unwrap_or(0.0);
    if !wall::exists_at(strip, hidden, depth) {
        return Err(errors::no_bore(&spec.name, spec.head).into());
    }
    if !wall::exists_at(strip, show, depth) {
        let (mut fits, mut most) = (0.0, 1.0);
        while (most - fits) * thick > 0.01 {
            let middle = 0.5 * (fits + most);
            if wall::exists_at(strip, hidden + (show - hidden) * middle, depth) {
                fits = middle;
            } else {
                most = middle;
            }
        }
        let inset = inset(shaper, host, at_top, spec, thick).is_ok();
        let host = shaper.design.thing(host).name.to_string();
        return Err(errors::no_flush_edge(&spec.name, &host, (thick, fits * thick), inset, spec.head).into());
    }
    Ok((
        Plate { strip: strip.clone(), depth, show, hidden, holes: Vec::new(), sided: false, upright: false },
        None,
        index,
    ))
}
