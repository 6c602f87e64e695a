//! `shell`: a wall through sections along a straight axis; one on a spine that bends goes to `super::spine`.

use super::super::known::{Brim, Shell};
use super::super::seam::{self, Joined};
use super::super::section::Given;
use super::super::wall::{self, Stationed, WallFault};
use super::super::{Shaper, errors, goods, joints, measure};
use super::flange;
use super::foot::{self, Foot};
use super::place::{self, Ground};
use super::posture::Posture;
use super::spine::{self, Bent, Spine};
use super::{backing, copy, folded, formed, panels, passes, sloped, stand, stations, tabs};
use crate::design::{Anchor, Face, Value};
use crate::eval::{Fields, Stop};
use crate::geom::strip::Strip;
use crate::ids::{PartId, ThingId};
use crate::num::PI;
use crate::solid::{Body, Claim, OfForm, Part, Rim, Ring, Seam, Size, Wall};
use crate::span::Span;

/// The fields of a shell, reckoned.
pub(super) struct Spec {
    pub name: String,
    pub head: Span,
    pub span: Span,
    pub of: Vec<Anchor>,
    pub of_span: Span,
    pub measured: Face,
    pub stations: Vec<stations::Station>,
    pub seam: Option<Joined>,
    pub along_wall: bool,
    pub rim: Option<&'static str>,
    pub made: Option<(&'static str, f64, Span)>,
    /// Panels run on over the next one's edge.
    pub lapped: bool,
    /// What is left of the sheet at a fold.
    pub skin: Option<f64>,
    pub pair: bool,
    pub split: bool,
    pub level: Option<f64>,
    pub facing: f64,
    pub gap: f64,
    pub posture: Posture,
    /// A girth that must get through, and where that is said.
    pub passes: Option<(f64, Span)>,
    pub foot: Option<Foot>,
}

pub(super) fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let written_seam = fields.written("seam") || !thing.stations.is_empty();
    let seam_span = fields.span("seam");
    let seam = match fields.maybe("seam")? {
        Some(v) if written_seam => Some(seam::read_staggered(Some(&v), seam_span)?),
        None if written_seam => Some(seam::read(None, seam_span)?),
        _ => None,
    };
    let written = fields.maybe("made")?;
    let lapped = matches!(&written, Some(Value::Made(m)) if m.part("style").and_then(Value::word) == Some("lapped"));
    let skin = match &written {
        Some(Value::Made(m)) => m.number("skin"),
        _ => None,
    };
    let made = written.and_then(|v| match v {
        Value::Made(m) => Some((m.name, m.number("count").unwrap_or(1.0))),
        other => other.word().map(|w| (w, 1.0)),
    });
    let made = made.map(|(name, count)| (name, count, fields.span("made")));
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        span: thing.span,
        of: fields.things("of")?,
        of_span: fields.span("of"),
        measured: face(fields.maybe("measured")?.as_ref()),
        stations: stations::read(fields)?,
        seam,
        along_wall: fields.maybe_word("along")? == Some("wall"),
        rim: fields.maybe_word("rim")?,
        made,
        lapped,
        skin,
        pair: fields.maybe_word("pair")?.is_some(),
        split: fields.maybe_word("split")? != Some("never"),
        level: fields.maybe_number("level")?,
        facing: fields.maybe_direction("facing")?.unwrap_or(0.0),
        gap: fields.maybe_number("gap")?.unwrap_or(0.0),
        posture: Posture::read(fields)?,
        passes: fields.maybe_number("passes")?.map(|mm| (mm, fields.span("passes"))),
        foot: foot::read(fields)?,
    })
}

/// The face that sizes belong to; the outside one when nothing is said.
pub(super) fn face(value: Option<&Value>) -> Face {
    match value.and_then(Value::word) {
        Some("inside") => Face::Inside,
        Some("middle") => Face::Middle,
        _ => Face::Outside,
    }
}

/// Builds a shell.
///
/// # Errors
/// When it cannot be built as it is written.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let ground = place::ground(shaper, thing.target.as_ref())?;
    let spine = spine::read(shaper, id)?;
    if let Spine::Bent(bent) = &spine {
        return spine::lower(shaper, id, ground, bent);
    }
    let levels = match ground.host() {
        // On a flat a level is how far from its middle.
        Some(_) if matches!(ground, Ground::Cap { .. }) => None,
        Some(host) => {
            let tall = shaper.known.shells.get(&host).ok_or(Stop::Skip)?.tall;
            Some([0.0, 0.5 * tall, tall])
        }
        None => spine.long().map(|tall| [0.0, 0.5 * tall, tall]),
    };
    let spec = shaper.read(id, levels, read)?;
    let inner = 1..spec.stations.len().saturating_sub(1);
    if spec.stations.get(inner).is_some_and(|list| list.iter().any(|s| s.lowered.leans.is_some())) {
        let span = spec.head;
        return spine::lower(shaper, id, ground, &Bent::straight(spine.long(), span));
    }
    let spec = Spec { seam: spec.seam.clone().map(Joined::in_line).transpose()?, ..spec };
    let thick = shaper.thickness(&spec.of, spec.of_span)?;
    let inner = goods::inner_depth(thick, spec.measured);
    let outer = inner + thick;

    let (placed, joined, foot) = sections(shaper, ground, &spec, (inner, outer))?;
    tabs::may_fold(shaper, &spec, thick)?;
    if let Some(s) = spec.stations.iter().find(|s| s.lowered.sharp) {
        foot::none(spec.foot, "a wall with sharp corners")?;
        return match spec.made {
            Some(("rolled", _, made)) => Err(errors::sharp_corner(s.section, made).into()),
            Some(("folded", ..)) => folded::lower(shaper, id, ground, &spec, (placed, &joined, foot)),
            Some((made @ ("gores" | "rings" | "formed"), _, span)) => {
                Err(errors::not_built_yet(&format!("a wall with sharp corners made as `{made}`"), span).into())
            }
            Some(_) | None => panels::lower(shaper, id, ground, &spec, (placed, (joined.seam, joined.span), foot)),
        };
    }
    let profile = formed::profile(ground, &spec, &placed, &joined)?;
    if let (Some((made, count, span)), None) = (spec.made, &profile)
        && (made != "rolled" || count > 1.0)
    {
        if made == "folded" {
            let at = spec.stations.iter().find(|s| !s.lowered.point).map_or(spec.head, |s| s.section);
            return Err(errors::nothing_to_fold(at, span).into());
        }
        let what = match made {
            "panels" => "a wall in panels whose sections have no sharp corners".to_owned(),
            _ => format!("a wall made as `{made}` in {count} pieces"),
        };
        return Err(errors::not_built_yet(&what, span).into());
    }
    let strips = wall::strips(&placed, joined.facing).map_err(|f| fault(f, &spec))?;
    sloped::clear(&spec.stations, &placed, &strips, [inner, outer])?;

    if let Ground::Wall { host } = ground {
        let level = spec.level.unwrap_or(levels.map_or(0.0, |l| l[1]));
        let at = (level, spec.facing);
        let label = spec.stations.first().map_or(spec.head, |s| s.section);
        place::check_branch(shaper, host, at, (&strips[0], outer), (&spec.name, label))?;
        return Err(errors::not_built_yet("a shell that grows from a wall", spec.head).into());
    }

    let bend = measure::mean_bend(&strips, inner);
    let layers = shaper.layers(&spec.of, inner, bend);
    let neutral = layers.first().map_or(0.0, |l| l.neutral);
    let formed = match (&profile, layers.first()) {
        (Some(points), Some(layer)) => Some(Box::new(formed::of(shaper, &spec, points, *layer, &joined)?)),
        _ => None,
    };
    seam::check(&joined, &strips, neutral)?;
    let backing = match joined.seam {
        Seam::Backed(_) => {
            let of = if joined.backing.is_empty() { spec.of.clone() } else { joined.backing.clone() };
            Some((shaper.thickness(&of, joined.span)?, of))
        }
        Seam::Butt | Seam::Lap(_) | Seam::Tabs(_) | Seam::Open(_) => None,
    };
    let rings = rings(shaper, id, ground, &spec, &strips, &placed, neutral)?;
    let innermost = inner - backing.as_ref().map_or(0.0, |b| b.0);
    wall::check(&strips, &rings, innermost, outer).map_err(|f| match f {
        WallFault::SideGone { station, lacks, direction, inside } => {
            let way = way_out(&strips, &rings, (spec.measured, thick), inner - innermost);
            let at = spec.stations.get(station).map_or(spec.head, |s| s.section);
            errors::side_gone((lacks, direction), inside, way, at).into()
        }
        f => fault(f, &spec),
    })?;
    let backing = match backing {
        Some((thick, of)) => backing::of(shaper, &spec.name, (&joined, &of), (&strips, &rings), (inner, thick))?,
        None => None,
    };

    let brim = spec.foot.map(|f| match f.sort {
        foot::Sort::Flange => {
            let z = flange::level(&strips[0], thick, outer);
            Brim { collar: None, wide: f.wide, depth: outer, z, thick }
        }
        foot::Sort::Tabs => {
            let z = strips[0].heights().0;
            Brim { collar: None, wide: f.wide, depth: 0.5 * (inner + outer), z, thick }
        }
    });
    let reach = spec.posture.reach(&strips, (outer, brim), spec.facing + PI);
    let level = spec.level.unwrap_or(0.0) + foot;
    let frame = place::frame(shaper, ground, level, (spec.facing, spec.gap), reach)?;
    let frame = spec.posture.stand(frame);

    let part = shaper.next_part();
    let tall = placed.last().map_or(0.0, |s| s.z);
    let body = Wall {
        strips,
        rings,
        facing: joined.facing,
        seam: joined.seam,
        holes: Vec::new(),
        scallops: None,
        figures: [None, None],
        formed,
    };
    let made = Part {
        id: part,
        thing: id,
        name: spec.name.clone(),
        origin: spec.head,
        pair: spec.pair || place::on_pair(shaper, ground),
        layers,
        body: Body::Wall(body.clone()),
        place: frame,
        split: spec.split,
    };
    let collar = flange::of(shaper, &spec, ground, (&body, &made), outer)?;
    let tabs = tabs::of(shaper, &spec, ground, (&body, &made))?;
    let stands = stand::joint(shaper, ground, &made, outer)?;
    joints::of_wall(shaper, part, body.cut());
    shaper.joints.extend(stands);
    claims(shaper, (part, body.rings.len()), &spec, &placed, &joined, thick);
    if let Some(points) = &profile {
        formed::traces(shaper, id, &spec, points, &made);
    }
    shaper.solid.parts.push(made.clone());
    passes::ask(shaper, id, spec.passes, vec![part]);
    stand::mark(shaper, ground, part, collar.as_ref().map(|leaf| &leaf.outline).or(tabs.as_ref()));
    let collar = collar.and_then(|leaf| flange::add(shaper, &spec, leaf, &made, thick));
    tabs::add(shaper, &spec, ground, part);
    if let Some(backing) = backing {
        backing::add(shaper, backing, &made, (body, spec.span));
    }
    shaper.known.frames.insert(id, frame);
    let point = |s: Option<&Stationed>| s.is_some_and(|s| s.point);
    let shell = Shell {
        part,
        tall,
        inner,
        outer,
        level,
        closed_bottom: point(placed.first()),
        closed_top: point(placed.last()),
        stations: placed,
        seam: joined,
        brim: brim.map(|b| Brim { collar, ..b }),
    };
    shaper.known.shells.insert(id, shell);
    Ok(())
}

/// The sections in their places, the seam, and how far the foot moved: as written, or copied from the target.
fn sections(
    shaper: &Shaper<'_>,
    ground: Ground,
    spec: &Spec,
    (inner, outer): (f64, f64),
) -> Result<(Vec<Stationed>, Joined, f64), Stop> {
    if !spec.stations.is_empty() {
        let joined = match &spec.seam {
            Some(j) => j.clone(),
            None => seam::read(None, spec.head)?,
        };
        let placed = stations::placed(&spec.stations, spec.along_wall, joined.facing)?;
        return Ok((placed, joined, 0.0));
    }
    let (host, over) = match ground {
        Ground::In { host } => (host, false),
        Ground::Over { host } => (host, true),
        Ground::Free | Ground::Edge { .. } | Ground::Wall { .. } | Ground::Cap { .. } | Ground::Beside { .. } => {
            return Err(errors::no_stations(&spec.name, spec.head).into());
        }
    };
    let shell = shaper.known.shells.get(&host).ok_or(Stop::Skip)?;
    let depth = if over { shell.outer + spec.gap - inner } else { shell.inner - spec.gap - outer };
    let (placed, foot) = copy::parallel(&shell.stations, depth).map_err(|f| match f {
        copy::CopyFault::NotExact => {
            Stop::from(errors::not_built_yet("copying a wall that is neither round nor upright", spec.head))
        }
        copy::CopyFault::NoRoom => {
            let host = shaper.design.thing(host).name.to_string();
            errors::no_room_inside(&spec.name, &host, outer - inner, spec.gap, spec.head).into()
        }
    })?;
    let joined = spec.seam.clone().unwrap_or_else(|| Joined { span: spec.head, ..shell.seam.clone() });
    Ok((placed, joined, foot))
}

/// What would let a wall be whose sheet is too thick for one of its sides: only what was tried is offered. Where it is
/// drawn together to a point, the height at which it closes would change too.
fn way_out(strips: &[Strip], rings: &[Ring], (measured, thick): (Face, f64), backing: f64) -> errors::WayOut {
    if rings.iter().any(|r| matches!(r.lower, Rim::Closed(_)) || matches!(r.upper, Rim::Closed(_))) {
        return errors::WayOut::default();
    }
    let stands = |face: Face, thick: f64| {
        let inner = goods::inner_depth(thick, face);
        wall::check(strips, rings, inner - backing, inner + thick).is_ok()
    };
    let faces = [(Face::Outside, "outside"), (Face::Inside, "inside"), (Face::Middle, "middle")];
    let face = faces.into_iter().find(|(face, _)| *face != measured && stands(*face, thick)).map(|f| f.1);
    // Less than this is no sheet that a wall is made of.
    const THINNEST: f64 = 0.1;
    let thick = stands(measured, THINNEST).then(|| {
        let (mut least, mut most) = (THINNEST, thick);
        while most - least > 0.01 {
            let middle = 0.5 * (least + most);
            if stands(measured, middle) {
                least = middle;
            } else {
                most = middle;
            }
        }
        least
    });
    errors::WayOut { face, thick }
}

pub(super) fn fault(f: WallFault, spec: &Spec) -> Stop {
    let at = |i: usize| spec.stations.get(i).map_or(spec.head, |s| s.section);
    match f {
        WallFault::HollowUnlike(i) => errors::hollow_unlike(at(i), at(i + 1)),
        WallFault::NoGirth(i) => errors::point_to_point(at(i), at(i + 1)),
        WallFault::PointWithin(i) => errors::point_within(at(i)),
        WallFault::SeamInHollow => errors::outline_broken(at(0)),
        WallFault::TooTight { station, has, least, direction } => {
            let section = spec.stations.get(station).map(|s| &s.lowered.section);
            let why = match section.map(|s| (s, s.tightest())) {
                Some((_, tightest)) if tightest > least + 1e-6 => errors::Tight::Wall(tightest),
                Some((section, tightest)) if section.is_oval() => errors::Tight::Oval(tightest),
                _ => errors::Tight::Corner,
            };
            errors::corner_too_tight((has, least), why, direction, at(station))
        }
        WallFault::SideGone { station, lacks, direction, inside } => {
            errors::side_gone((lacks, direction), inside, errors::WayOut::default(), at(station))
        }
        WallFault::NoRoomToClose(i) => errors::no_room_to_close(at(i)),
    }
    .into()
}

/// A sheet too thick for the point at an end.
pub(super) fn no_room_to_close(spec: &Spec, at_top: bool) -> Stop {
    fault(WallFault::NoRoomToClose(if at_top { spec.stations.len() - 1 } else { 0 }), spec)
}

/// The rings and how their rims are cut.
fn rings(
    shaper: &Shaper<'_>,
    id: ThingId,
    ground: Ground,
    spec: &Spec,
    strips: &[Strip],
    placed: &[Stationed],
    neutral: f64,
) -> Result<Vec<Ring>, Stop> {
    let end = |at_top: bool| -> Result<Rim, Stop> {
        let (station, strip) = if at_top { (placed.len() - 1, strips.len() - 1) } else { (0, 0) };
        if placed[station].point {
            let z = wall::closes_at(&strips[strip], at_top, neutral);
            return z.map(Rim::Closed).ok_or_else(|| fault(WallFault::NoRoomToClose(station), spec));
        }
        let stands = !at_top && matches!(ground, Ground::Edge { .. } | Ground::Cap { .. });
        if let Some(plane) = placed[station].plane() {
            return Ok(if spec.rim == Some("level") { Rim::Plane(plane) } else { Rim::PlaneSquare(plane) });
        }
        // Tabs are folded on the ground, whatever the other end is cut like.
        let folds = !at_top && tabs::asked(spec).is_some();
        Ok(match spec.rim {
            _ if folds => Rim::Level,
            Some("level") => Rim::Level,
            Some(_) => Rim::Square,
            None if stands || shaper.met.contains(&(id, if at_top { "top" } else { "bottom" })) => Rim::Level,
            None => Rim::Square,
        })
    };
    let ranges = wall::rings(strips);
    let last = ranges.len() - 1;
    ranges
        .into_iter()
        .enumerate()
        .map(|(i, range)| {
            let lower = if i == 0 { end(false)? } else { Rim::Mitre(range.start - 1) };
            let upper = if i == last { end(true)? } else { Rim::Mitre(range.end) };
            Ok(Ring { strips: range, lower, upper })
        })
        .collect()
}

/// The sizes that the text gives; girths and widths of an open wall are those of its whole sections.
fn claims(
    shaper: &mut Shaper<'_>,
    (part, rings): (PartId, usize),
    spec: &Spec,
    placed: &[Stationed],
    joined: &Joined,
    thick: f64,
) {
    let mut add = |origin: Span, size: Size| shaper.solid.claims.push(Claim { part, origin, size });
    let formed = matches!(spec.made, Some(("formed", ..)));
    for (i, (station, at)) in spec.stations.iter().zip(placed).enumerate() {
        for given in &station.lowered.given {
            match *given {
                Given::Around(mm) if formed => {
                    add(station.section, Size::Formed { station: i, size: OfForm::Around(mm) });
                }
                Given::Across { mm, .. } if formed => {
                    add(station.section, Size::Formed { station: i, size: OfForm::Across(mm) });
                }
                Given::Around(mm) => add(station.section, Size::Around { z: at.z, depth: 0.0, mm }),
                Given::Across { direction, mm } => {
                    add(station.section, Size::Across { z: at.z, depth: 0.0, direction, mm });
                }
            }
        }
    }
    let ends = [(placed.first(), false, 0), (placed.last(), true, rings - 1)];
    for (at, upper, ring) in ends {
        if let Some(normal) = at.and_then(|s| s.leans) {
            let station = if upper { spec.stations.last() } else { spec.stations.first() };
            add(station.map_or(spec.head, |s| s.section), Size::Faces { ring, upper, normal });
        }
    }
    if let (Some(first), Some(last), false) = (spec.stations.first(), spec.stations.last(), spec.along_wall) {
        let mm = last.place - first.place;
        let of = Size::Formed { station: spec.stations.len() - 1, size: OfForm::Tall(mm) };
        add(last.span, if formed { of } else { Size::Tall { mm } });
    }
    add(spec.of_span, Size::Thick { mm: thick });
    match joined.seam {
        Seam::Butt | Seam::Backed(_) => {}
        Seam::Lap(mm) | Seam::Tabs(mm) => add(joined.span, Size::Allowance { mm }),
        Seam::Open(gap) => add(joined.span, Size::Gap(gap)),
    }
}
