//! Which edges a lacing goes along: those its target names, and whether it can be laced so there.

use super::super::{Shaper, errors};
use super::lacing::Spec;
use super::place;
use crate::design::{Anchor, Kind, Target};
use crate::eval::Stop;
use crate::fitted::EdgeOf;
use crate::ids::{PartId, ThingId};
use crate::solid::{Body, Seam};

/// An edge of a shell, of a lid's rim or of a cap's disc that was built.
#[derive(Clone, Copy, Debug)]
pub(super) struct On {
    pub host: ThingId,
    pub part: PartId,
    pub edge: EdgeOf,
}

/// The edges a target names, and that they can be laced so: for each lace its two edges, or its one.
pub(super) fn edges(shaper: &Shaper<'_>, target: &Target, spec: &Spec) -> Result<Vec<Vec<On>>, Stop> {
    let not_yet = |what: &str| Stop::from(errors::not_built_yet(what, target.span));
    let along = matches!(spec.sort, "running" | "whip");
    let mut ons = Vec::new();
    for anchor in &target.anchors {
        let found = match shaper.design.thing(anchor.thing).kind {
            Kind::Shell => of_shell(shaper, anchor, target, spec, along)?,
            Kind::Cap => of_cap(shaper, anchor, target, spec, along)?,
            Kind::Border => of_band(shaper, anchor, target)?,
            other => return Err(not_yet(&format!("a lacing on the edge of a {}", kind_word(other)))),
        };
        ons.extend(found);
    }
    if ons.iter().any(|on| on.edge == EdgeOf::Disc) {
        return discs(shaper, ons, target, spec);
    }
    match (ons.len(), along) {
        (0, _) => Err(Stop::Skip),
        (_, true) => Ok(ons.into_iter().map(|on| vec![on]).collect()),
        (1, false) => Err(errors::laces_two_edges(&spec.name, spec.sort, spec.sort_span, target.span).into()),
        (2, false) => Ok(vec![ons]),
        (n, false) => Err(errors::laces_no_more(&spec.name, spec.sort, n, spec.sort_span, target.span).into()),
    }
}

/// The edges of a cap that an anchor names.
fn of_cap(shaper: &Shaper<'_>, anchor: &Anchor, target: &Target, spec: &Spec, along: bool) -> Result<Vec<On>, Stop> {
    let Some(cap) = shaper.known.caps.get(&anchor.thing) else { return Err(Stop::Skip) };
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("a part on one of a pair only", target.span).into());
    }
    let on = |part: PartId, edge: EdgeOf| On { host: anchor.thing, part, edge };
    match (cap.rim, anchor.edge) {
        // The disc closes its other end.
        (Some(part), Some("bottom" | "edges")) => {
            Ok(vec![on(part, if cap.at_top { EdgeOf::Bottom } else { EdgeOf::Top })])
        }
        // Its sides meet edge to edge.
        (Some(_), Some("seam")) if along => {
            Err(errors::laces_one_edge(&spec.name, spec.sort, spec.sort_span, target.span).into())
        }
        (Some(_), Some("seam")) if spec.sort == "zigzag" => {
            Err(errors::laces_a_gap(&spec.name, spec.sort_span, cap.head).into())
        }
        (Some(part), Some("seam")) => Ok([EdgeOf::SeamBegin, EdgeOf::SeamEnd].map(|edge| on(part, edge)).into()),
        (None, Some("seam")) => Err(errors::no_seam_to_lace(&spec.name, target.span, cap.head).into()),
        _ => Ok(vec![on(cap.plate, EdgeOf::Disc)]),
    }
}

/// The edge of a band that an anchor names: of several rows the outermost on that side. What lies below the band is behind
/// it, so its holes go through the band alone, and the lace round its edge.
fn of_band(shaper: &Shaper<'_>, anchor: &Anchor, target: &Target) -> Result<Vec<On>, Stop> {
    if !shaper.known.borders.contains_key(&anchor.thing) {
        return Err(Stop::Skip);
    }
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("a part on one of a pair only", target.span).into());
    }
    let upper = anchor.edge == Some("top");
    let ends = shaper.bands.iter().map(|band| &shaper.solid.parts[band.0.index()]).filter_map(|part| {
        let Body::Wall(wall) = &part.body else { return None };
        let (first, last) = wall.strips.first().zip(wall.strips.last())?;
        let end = if upper { last.heights().1 } else { -first.heights().0 };
        (part.thing == anchor.thing && wall.scallops.is_none()).then_some((part.id, end))
    });
    let Some((part, _)) = ends.max_by(|a, b| a.1.total_cmp(&b.1)) else {
        let what = "a lacing on the edge of a border that is no band";
        return Err(errors::not_built_yet(what, target.span).into());
    };
    Ok(vec![On { host: anchor.thing, part, edge: if upper { EdgeOf::Top } else { EdgeOf::Bottom } }])
}

/// The laces of edges some of which are the discs of caps. A disc is sewn to the edge it closes, which need not be named;
/// `running` goes along it alone.
fn discs(shaper: &Shaper<'_>, mut ons: Vec<On>, target: &Target, spec: &Spec) -> Result<Vec<Vec<On>>, Stop> {
    if spec.sort == "running" {
        return Ok(ons.into_iter().map(|on| vec![on]).collect());
    }
    let mut laces: Vec<Vec<On>> = Vec::new();
    while let Some(i) = ons.iter().position(|on| on.edge == EdgeOf::Disc) {
        let disc = ons.remove(i);
        ons.retain(|on| on.part != disc.part);
        let cap = shaper.known.caps.get(&disc.host).ok_or(Stop::Skip)?;
        if spec.sort == "zigzag" {
            return Err(errors::disc_has_no_gap(&spec.name, spec.sort_span, cap.head).into());
        }
        let edge = if cap.at_top { EdgeOf::Top } else { EdgeOf::Bottom };
        let wall = match cap.rim {
            Some(rim) => On { host: disc.host, part: rim, edge },
            None => On { host: cap.host, part: shaper.known.shells.get(&cap.host).ok_or(Stop::Skip)?.part, edge },
        };
        ons.retain(|on| (on.part, on.edge) != (wall.part, wall.edge));
        laces.push(vec![wall, disc]);
    }
    if spec.sort == "whip" {
        laces.extend(ons.into_iter().map(|on| vec![on]));
    } else if !ons.is_empty() {
        let what = "a lacing between the disc of a cap and an edge that it does not close";
        return Err(errors::not_built_yet(what, target.span).into());
    } else if laces.len() > 1 {
        let (name, n) = (&spec.name, 2 * laces.len());
        return Err(errors::laces_no_more(name, spec.sort, n, spec.sort_span, target.span).into());
    }
    Ok(laces)
}

/// The edges of a shell that an anchor names.
fn of_shell(shaper: &Shaper<'_>, anchor: &Anchor, target: &Target, spec: &Spec, along: bool) -> Result<Vec<On>, Stop> {
    let host = place::built(shaper, anchor, target.span)?;
    let (shell, wall) = place::host_wall(shaper, host)?;
    let on = |edge: EdgeOf| On { host, part: shell.part, edge };
    let open = matches!(wall.seam, Seam::Open(_));
    let free = |top: bool| !(if top { shell.closed_top } else { shell.closed_bottom });
    let name = || shaper.design.thing(host).name.to_string();
    match anchor.edge {
        Some("seam") => {
            if matches!(wall.seam, Seam::Lap(_) | Seam::Tabs(_) | Seam::Backed(_)) {
                return Err(errors::seam_is_glued(&spec.name, &name(), target.span, shell.seam.span).into());
            }
            // Round an edge that meets another nothing goes.
            if along && !open {
                return Err(errors::laces_one_edge(&spec.name, spec.sort, spec.sort_span, target.span).into());
            }
            if spec.sort == "zigzag" && !open {
                return Err(errors::laces_a_gap(&spec.name, spec.sort_span, shell.seam.span).into());
            }
            Ok(vec![on(EdgeOf::SeamBegin), on(EdgeOf::SeamEnd)])
        }
        Some(edge @ ("bottom" | "top")) => {
            let top = edge == "top";
            if !free(top) {
                return Err(errors::no_edge_to_lace(&spec.name, &name(), target.span).into());
            }
            Ok(vec![on(if top { EdgeOf::Top } else { EdgeOf::Bottom })])
        }
        Some("edges") => {
            let sides = if open { vec![on(EdgeOf::SeamBegin), on(EdgeOf::SeamEnd)] } else { Vec::new() };
            let rims = [(false, EdgeOf::Bottom), (true, EdgeOf::Top)];
            let all: Vec<On> = rims.into_iter().filter(|r| free(r.0)).map(|r| on(r.1)).chain(sides).collect();
            if all.is_empty() {
                return Err(errors::no_edge_to_lace(&spec.name, &name(), target.span).into());
            }
            Ok(all)
        }
        _ => Err(Stop::Skip),
    }
}

fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Cap => "cap",
        Kind::Dome => "dome",
        Kind::Plate => "plate",
        Kind::Keel => "keel",
        _ => "part",
    }
}
