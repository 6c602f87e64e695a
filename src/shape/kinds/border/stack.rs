//! What lies on what: covers and what caps turn down over them, then bands, bindings and wraps, then cords and beads, each
//! counting what lies below it.
//!
//! What else lies on a wall is read from its fields, so that it does not matter which thing of the text is built first.

use super::super::super::{Shaper, errors, goods};
use super::rows::{self, Foot};
use super::skin::Skin;
use super::spec::{self, Spec};
use crate::design::Kind;
use crate::eval::Stop;
use crate::ids::{PartId, ThingId};

/// Everything but `own` that lies outside on a wall, by what it is part of.
pub(in super::super::super) fn on_wall(
    shaper: &mut Shaper<'_>,
    skin: &Skin,
    own: Option<ThingId>,
) -> Vec<(ThingId, Foot)> {
    let mut out = Vec::new();
    let mut ids = shaper.raised.get(&skin.host).cloned().unwrap_or_default();
    // One that stands on several of its edges is there once for each.
    ids.dedup();
    for id in ids {
        if own == Some(id) || shaper.design.thing(id).poisoned {
            continue;
        }
        let known = shaper.feet.get(&(skin.host, id)).cloned();
        // What is wrong with it is said where it is built.
        let Some(feet) = known.or_else(|| feet(shaper, skin, id).ok()) else { continue };
        out.extend(feet.iter().map(|f| (id, *f)));
        shaper.feet.insert((skin.host, id), feet);
    }
    out
}

fn feet(shaper: &mut Shaper<'_>, skin: &Skin, id: ThingId) -> Result<Vec<Foot>, Stop> {
    let (design, tall) = (shaper.design, skin.tall());
    let thing = design.thing(id);
    let places = Some([0.0, 0.5 * tall, tall]);
    if thing.kind == Kind::Cover {
        let thick = shaper.read(id, places, |fields| {
            let inside = fields.maybe_word("face")? == Some("inside");
            if inside { Ok(0.0) } else { goods::stands(design, fields, "of") }
        })?;
        return Ok(vec![Foot { rank: 0, low: f64::NEG_INFINITY, high: f64::INFINITY, thick, wall: false }]);
    }
    if thing.kind == Kind::Cap {
        return head(shaper, skin, id);
    }
    let spec = shaper.read(id, places, spec::read)?;
    let mut out = Vec::new();
    for anchor in thing.target.iter().flat_map(|t| &t.anchors).filter(|a| a.thing == skin.host) {
        for course in skin.courses(anchor.edge)? {
            // How thick the cover below is moves no row by more than its slope's share of it.
            let rows = rows::rows(&spec, skin, course, (spec.thick(shaper)?, 0.0))?;
            out.extend(of_rows(shaper, &spec, skin, &rows)?);
        }
    }
    Ok(out)
}

/// What of a cap is turned down over a wall. It lies on the wall's cover.
fn head(shaper: &mut Shaper<'_>, skin: &Skin, id: ThingId) -> Result<Vec<Foot>, Stop> {
    let design = shaper.design;
    let (turn, thick) = shaper.read(id, None, |fields| {
        let flush = fields.maybe_word("fit")? == Some("flush");
        let turn = fields.maybe_number("turn")?.filter(|_| flush).unwrap_or(0.0);
        Ok((turn, goods::stands(design, fields, "of")?))
    })?;
    let upper = design.thing(id).target.iter().flat_map(|t| &t.anchors).any(|a| a.edge == Some("top"));
    if turn <= 0.0 {
        return Ok(Vec::new());
    }
    let thick = covers(shaper, skin.host)? + thick;
    let (edge, end) = (skin.edge(upper), skin.up(skin.edge(upper), if upper { -turn } else { turn }));
    Ok(vec![Foot { rank: 0, low: edge.min(end), high: edge.max(end), thick, wall: false }])
}

/// How thick what covers a wall outside is.
pub(in super::super) fn covers(shaper: &mut Shaper<'_>, host: ThingId) -> Result<f64, Stop> {
    let design = shaper.design;
    let mut thick = 0.0f64;
    for id in shaper.raised.get(&host).cloned().unwrap_or_default() {
        if design.thing(id).kind == Kind::Cover && !design.thing(id).poisoned {
            let own = shaper.read(id, None, |fields| {
                let inside = fields.maybe_word("face")? == Some("inside");
                if inside { Ok(0.0) } else { goods::stands(design, fields, "of") }
            })?;
            thick = thick.max(own);
        }
    }
    Ok(thick)
}

/// The room that the rows of a border take.
pub(super) fn of_rows(shaper: &Shaper<'_>, spec: &Spec, skin: &Skin, rows: &[rows::Row]) -> Result<Vec<Foot>, Stop> {
    let thick = spec.thick(shaper)?;
    let strip = if spec.sort == spec::Sort::Piping { spec.piped(shaper)?.1.thick } else { 0.0 };
    Ok(rows.iter().flat_map(|r| rows::feet(spec, skin, *r, thick, strip)).collect())
}

/// How thick what lies below a rank is between two heights.
pub(super) fn below(lying: &[(ThingId, Foot)], rank: u8, (low, high): (f64, f64)) -> f64 {
    let of = |r: u8| {
        let there = lying.iter().map(|l| l.1).filter(|f| f.rank == r && f.low < high - 1e-9 && f.high > low + 1e-9);
        there.map(|f| f.thick).fold(0.0, f64::max)
    };
    (0..rank).map(of).sum()
}

/// Warns of what lies in one place with something of its own rank that was built before it.
pub(super) fn meeting(shaper: &mut Shaper<'_>, spec: &Spec, part: PartId, feet: &[Foot]) {
    let mut told: Vec<ThingId> = Vec::new();
    let mut found = Vec::new();
    for (id, border) in &shaper.known.borders {
        for (on, other) in &border.feet {
            for own in feet.iter().filter(|f| *on == part && f.rank == other.rank) {
                let by = own.high.min(other.high) - own.low.max(other.low);
                if by > LEAST && !told.contains(id) {
                    told.push(*id);
                    let thing = shaper.design.thing(*id);
                    let other = thing.name.to_string();
                    found.push(errors::borders::borders_meet(&spec.name, spec.head, &other, thing.head, by));
                }
            }
        }
    }
    for d in found {
        shaper.faults.push(d);
    }
}

/// Borders that lie over each other by less than this only touch, mm.
const LEAST: f64 = 0.05;
