//! `foot: tabs(wide)` of a shell: tabs of the wall's own sheet beyond its foot, folded out and glued down on what the shell
//! stands on. Where they come apart is told by what the sheet lies on (`develop::turn`).

use super::super::{Shaper, errors};
use super::cap::Fit;
use super::foot::{self, Foot, Sort};
use super::place::Ground;
use super::shell::Spec;
use super::{flange, stand};
use crate::design::{Face, Kind};
use crate::eval::Stop;
use crate::geom::inset;
use crate::geom::path::Path;
use crate::geom::walk::Walk;
use crate::ids::{PartId, ThingId};
use crate::solid::{Claim, EdgeName, EdgeRef, Onto, Part, Size, Turn, Wall};

/// The thickest sheet that is folded along a line, mm (common practice, no source).
const THICKEST: f64 = 1.0;
/// What reaches past the foot by less than this lies on the tabs, mm.
const LEAST: f64 = 0.05;

/// The tabs of a shell, if it has any.
pub(super) fn asked(spec: &Spec) -> Option<Foot> {
    spec.foot.filter(|f| f.sort == Sort::Tabs)
}

/// Whether the sheet folds: one layer, and thin.
///
/// # Errors
/// When it does not.
pub(super) fn may_fold(shaper: &Shaper<'_>, spec: &Spec, thick: f64) -> Result<(), Stop> {
    let Some(tabs) = asked(spec) else { return Ok(()) };
    // Drawn at full size for a mock-up the card is as much thicker as that is smaller.
    let mocked = spec.of.iter().all(|a| Some(a.thing) == shaper.design.card);
    if spec.of.len() == 1 && (thick <= THICKEST + 1e-9 || mocked) {
        return Ok(());
    }
    let stocks = spec.of.iter().map(|a| shaper.design.thing(a.thing).name.to_string()).collect::<Vec<_>>();
    Err(errors::too_thick_to_turn(&spec.name, &stocks, (thick, THICKEST), tabs.wide, tabs.span).into())
}

/// Where the tabs of a shell end on what it stands on: an outline about the middle of its foot, x to its right and y to its
/// front, as seen from above.
///
/// # Errors
/// Where they are not built yet, and where they would not lie on the cap they are to be glued to.
pub(super) fn of(
    shaper: &Shaper<'_>,
    spec: &Spec,
    ground: Ground,
    (wall, part): (&Wall, &Part),
) -> Result<Option<Path>, Stop> {
    let Some(tabs) = asked(spec) else { return Ok(None) };
    foot::may_reach_out(&tabs, ground, wall)?;
    if let (Some(off), Ground::Cap { cap, .. }) = (stand::off_face(shaper, ground, part), ground)
        && off > stand::MEET
    {
        let cap = shaper.design.thing(cap).name.to_string();
        return Err(errors::tabs_off_face(&spec.name, &cap, off, tabs.span, spec.head).into());
    }
    let middle = part.layers.first().map_or(0.0, |l| l.middle());
    let walk = Walk::new(&wall.strips[0]);
    let fold = flange::outline(&walk, wall.strips[0].heights().0, middle);
    if let Some(edge) = inset::inset(&fold, -tabs.wide) {
        return Ok(Some(edge));
    }
    // Round a hollow the ends of wider ones would lie in each other.
    let (mut fits, mut wide) = (0.0, tabs.wide.ceil());
    while wide - fits > 1.0 {
        let middle = (0.5 * (fits + wide)).floor();
        if inset::inset(&fold, -middle).is_some() { fits = middle } else { wide = middle }
    }
    Err(errors::tabs_come_together(&spec.name, (tabs.wide, fits), tabs.span).into())
}

/// Folds the tabs of a shell out.
pub(super) fn add(shaper: &mut Shaper<'_>, spec: &Spec, ground: Ground, part: PartId) {
    let Some(tabs) = asked(spec) else { return };
    let on = match ground {
        Ground::Cap { cap, .. } => shaper.known.caps.get(&cap).map(|c| c.plate),
        _ => None,
    };
    let at = EdgeRef { part, ring: 0, edge: EdgeName::Lower };
    let onto = Onto::Ground { outward: true, on };
    let (origin, wide, glued) = (tabs.span, tabs.wide, Some(Face::Inside));
    shaper.solid.turns.push(Turn { at, origin, wide, relief: true, onto, glued });
    shaper.solid.claims.push(Claim { part, origin, size: Size::Tabs { wide } });
}

/// What closes a foot whose tabs are folded out, or goes round its edge, is told once all of that stands.
pub(in super::super) fn look(shaper: &mut Shaper<'_>) {
    let tabbed = shaper.known.shells.iter().filter(|(_, s)| s.tabbed());
    let all: Vec<(ThingId, PartId)> = tabbed.map(|(id, s)| (*id, s.part)).collect();
    for (host, part) in all {
        let Some(span) = shaper.solid.turned_out(part).map(|t| t.origin) else { continue };
        let name = shaper.solid.parts[part.index()].name.clone();
        for other in in_the_way(shaper, host, part) {
            let other = shaper.design.thing(other);
            shaper.faults.push(errors::over_the_tabs((&name, span), (&other.name.to_string(), other.head), other.kind));
        }
    }
}

/// The things that take up the edge of a foot.
fn in_the_way(shaper: &mut Shaper<'_>, host: ThingId, part: PartId) -> Vec<ThingId> {
    let design = shaper.design;
    let at_foot = design.things.iter().filter(|t| {
        let at = |a: &crate::design::Anchor| a.thing == host && a.edge == Some("bottom");
        t.built && !t.poisoned && t.target.as_ref().is_some_and(|t| t.anchors.iter().any(at))
    });
    let mut found: Vec<ThingId> = Vec::new();
    for thing in at_foot {
        let takes = match thing.kind {
            Kind::Cap => shaper.known.caps.get(&thing.id).is_some_and(|c| c.fit != Fit::Inset),
            Kind::Shell | Kind::Dome | Kind::Plate | Kind::Lacing => true,
            Kind::Border => {
                let sort = shaper.read(thing.id, None, |f| f.maybe_word("as")).ok().flatten();
                matches!(sort, Some("binding" | "piping"))
            }
            _ => false,
        };
        if takes {
            found.push(thing.id);
        }
    }
    if let Ok(skin) = super::border::skin::Skin::wall_of(shaper, host, part) {
        let past = super::border::stack::on_wall(shaper, &skin, None);
        let past = past.into_iter().filter(|(id, f)| f.low < -LEAST && design.thing(*id).kind == Kind::Border);
        found.extend(past.map(|(id, _)| id));
    }
    found.sort_unstable();
    found.dedup();
    found
}
