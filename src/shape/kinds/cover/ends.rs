//! How a cover or lining ends at either end of a wall, by what closes it or lies there.

use super::super::super::Shaper;
use super::super::super::known::{self, Shell};
use super::super::cap::Fit;
use super::{CLOSED, LEAST, SHORT, Spec, TABBED};
use crate::design::{Face, Kind, Relation};
use crate::ids::ThingId;
use crate::solid::Onto;

/// How a cover ends at one end of a wall.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum End {
    /// Turned over, with so much to lie on before something named is in the way.
    Free {
        onto: Onto,
        room: f64,
        stop: String,
    },
    /// Level with the wall, without a turn, for this reason.
    Level(&'static str),
    /// At this height, without a turn, for this reason.
    Short(f64, &'static str),
    Point,
}

/// Caps at one end of a shell, with their fit and the heights they fill in its bore.
fn caps(shaper: &Shaper<'_>, host: ThingId) -> impl Iterator<Item = (String, known::Cap)> {
    let ids = shaper.caps_of.get(&host).into_iter().flatten();
    ids.filter_map(|id| Some((shaper.design.thing(*id).name.to_string(), shaper.known.caps.get(id)?.clone())))
}

pub(super) fn end(
    shaper: &Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    (host, shell): (ThingId, &Shell),
    face: Face,
    at_top: bool,
) -> End {
    if if at_top { shell.closed_top } else { shell.closed_bottom } {
        return End::Point;
    }
    if !at_top && shell.tabbed() {
        return End::Level(TABBED);
    }
    let here = |fit: Fit| caps(shaper, host).find(|(_, c)| c.at_top == at_top && c.fit == fit);
    let tall = shell.tall;
    // How far the bore is free from this end, and what is in the way.
    let mut bore = (tall, shaper.design.thing(host).name.to_string() + "'s other end");
    for (name, c) in caps(shaper, host) {
        let Some((lo, hi)) = c.inside else { continue };
        let free = if at_top { tall - hi } else { lo };
        if free < bore.0 {
            bore = (free, name);
        }
    }
    let stood_on = stands_on(shaper, host, at_top);
    let thick = shell.outer - shell.inner;
    let over = thick + spec.thick;
    if face == Face::Outside {
        if stood_on || here(Fit::Flush).is_some() {
            return End::Level(CLOSED);
        }
        let onto = Onto::Back { near: shell.outer, far: shell.inner };
        return match here(Fit::Inset) {
            Some((_, c)) if c.inside.is_some_and(|(lo, hi)| if at_top { tall - hi } else { lo } < LEAST) => {
                End::Free { onto: Onto::Across, room: f64::INFINITY, stop: String::new() }
            }
            _ => End::Free { onto, room: over + bore.0, stop: bore.1 },
        };
    }
    let from_edge = |by: f64| if at_top { tall - by } else { by };
    let deepest = caps(shaper, host)
        .filter(|(_, c)| c.at_top == at_top)
        .filter_map(|(_, c)| c.inside.map(|(lo, hi)| if at_top { tall - lo } else { hi }))
        .fold(None, |m: Option<f64>, d| Some(m.map_or(d, |m| m.max(d))));
    match deepest {
        Some(deep) => End::Short(from_edge(deep + SHORT), "it ends short of the cap"),
        None if stood_on || here(Fit::Flush).is_some() => End::Level(CLOSED),
        None if here(Fit::Overlay).is_some() => {
            End::Short(from_edge(SHORT), "it ends short of the edge, which goes into a lid")
        }
        None if covered(shaper, id, spec, host) => {
            End::Short(from_edge(SHORT), "it ends short of the edge, over the turn of the cover")
        }
        None => {
            let stop = shaper.design.thing(host).name.to_string() + "'s other end";
            End::Free { onto: Onto::Back { near: shell.inner, far: shell.outer }, room: over + tall, stop }
        }
    }
}

/// Whether something other than a cap stands on an end of a shell.
fn stands_on(shaper: &Shaper<'_>, host: ThingId, at_top: bool) -> bool {
    let edge = if at_top { "top" } else { "bottom" };
    if !shaper.met.contains(&(host, edge)) {
        return false;
    }
    shaper.design.things.iter().any(|t| {
        t.kind != Kind::Cap
            && matches!(t.kind, Kind::Shell | Kind::Dome | Kind::Plate)
            && t.target.as_ref().is_some_and(|t| {
                t.relation == Relation::On && t.anchors.iter().any(|a| a.thing == host && a.edge == Some(edge))
            })
    })
}

/// Whether a cover lies on the outside of a wall and is turned in over its edges: this one, or another.
fn covered(shaper: &Shaper<'_>, id: ThingId, spec: &Spec, host: ThingId) -> bool {
    let on = |s: &Spec| s.outside && s.turn > 0.0 && s.targets.iter().any(|a| a.thing == host);
    on(spec) || shaper.covers.iter().any(|(other, s)| *other != id && on(s))
}

/// How thick the linings of a wall are together.
pub(super) fn linings(shaper: &Shaper<'_>, host: ThingId) -> f64 {
    let on = |s: &Spec| s.inside && s.targets.iter().any(|a| a.thing == host);
    shaper.covers.iter().filter(|(_, s)| on(s)).map(|(_, s)| s.thick).sum()
}
