//! Where a shell stands: its target, its frame, and the proof that it can stand there.

use super::super::known::{self, Shell};
use super::super::{Shaper, errors, measure};
use crate::design::{Anchor, Kind, Relation, Target, Thing};
use crate::eval::Stop;
use crate::geom::strip::Strip;
use crate::geom::{Vec2, Vec3, unit};
use crate::ids::ThingId;
use crate::num::{FRAC_PI_2, PI};
use crate::solid::{Body, Frame, Plate, Wall};
use crate::span::Span;

/// What a shell stands on, in, over or beside, all of it built.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ground {
    /// At the prop's middle.
    Free,
    /// On a shell's bottom or top edge.
    Edge {
        host: ThingId,
        at_top: bool,
    },
    /// On a cap's show face.
    Cap {
        cap: ThingId,
        host: ThingId,
    },
    /// On a shell's wall.
    Wall {
        host: ThingId,
    },
    In {
        host: ThingId,
    },
    Over {
        host: ThingId,
    },
    Beside {
        host: ThingId,
    },
}

impl Ground {
    pub(super) fn host(self) -> Option<ThingId> {
        match self {
            Self::Free => None,
            Self::Edge { host, .. }
            | Self::Cap { host, .. }
            | Self::Wall { host }
            | Self::In { host }
            | Self::Over { host }
            | Self::Beside { host } => Some(host),
        }
    }
}

/// Whether an opening is written in a thing and was not built: its fault is told, and what it would do is not known.
pub(in super::super) fn has_a_faulty_opening(shaper: &Shaper<'_>, host: ThingId) -> bool {
    let in_it = |t: &Thing| t.target.as_ref().is_some_and(|t| t.anchors.iter().any(|a| a.thing == host));
    let mut all = shaper.design.things.iter().filter(|t| t.kind == Kind::Opening && in_it(t));
    all.any(|t| !shaper.known.openings.contains_key(&t.id))
}

/// Whether what it stands on, in, over or beside is one of a mirrored pair: then so is it.
pub(super) fn on_pair(shaper: &Shaper<'_>, ground: Ground) -> bool {
    let part = ground.host().and_then(|host| shaper.known.shells.get(&host)).map(|s| s.part);
    part.is_some_and(|p| shaper.solid.parts[p.index()].pair)
}

/// Resolves a shell's target.
pub(super) fn ground(shaper: &Shaper<'_>, target: Option<&Target>) -> Result<Ground, Stop> {
    let Some(target) = target else { return Ok(Ground::Free) };
    let anchor = match target.anchors.as_slice() {
        [anchor] => anchor,
        // What it stands on has a fault of its own.
        [] => return Err(Stop::Skip),
        _ => return Err(errors::not_built_yet("a shell with several targets", target.span).into()),
    };
    if let Some(cap) = shaper.known.caps.get(&anchor.thing).filter(|_| anchor.hand.is_none()) {
        return match (target.relation, anchor.edge) {
            (Relation::On, None | Some("top")) => Ok(Ground::Cap { cap: anchor.thing, host: cap.host }),
            _ => Err(errors::not_built_yet("a shell in, over, beside or under a cap", target.span).into()),
        };
    }
    let host = built(shaper, anchor, target.span)?;
    match (target.relation, anchor.edge) {
        (Relation::On, Some("top")) => Ok(Ground::Edge { host, at_top: true }),
        (Relation::On, Some("bottom")) => Ok(Ground::Edge { host, at_top: false }),
        (Relation::On, None) => Ok(Ground::Wall { host }),
        (Relation::In, None) => Ok(Ground::In { host }),
        (Relation::Over, None) => Ok(Ground::Over { host }),
        (Relation::Beside, None) => Ok(Ground::Beside { host }),
        (Relation::On | Relation::In | Relation::Over | Relation::Beside, Some(edge)) => {
            Err(errors::not_built_yet(&format!("a shell that stands at `{edge}`"), target.span).into())
        }
    }
}

/// The shell that an anchor names, when it was built.
pub(super) fn built(shaper: &Shaper<'_>, anchor: &Anchor, span: Span) -> Result<ThingId, Stop> {
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("a part on one of a pair only", span).into());
    }
    let thing = shaper.design.thing(anchor.thing);
    if shaper.known.shells.contains_key(&anchor.thing) {
        return Ok(anchor.thing);
    }
    match thing.kind {
        _ if shaper.known.panelled.contains_key(&anchor.thing) => {
            Err(errors::not_built_yet("a part on a shell in panels", span).into())
        }
        // It was left out, and whoever did so said why.
        Kind::Shell => Err(Stop::Skip),
        _ if shaper.known.keels.contains_key(&anchor.thing) => {
            Err(errors::not_built_yet("what is asked for here, on a keel", span).into())
        }
        _ if shaper.known.plates.contains_key(&anchor.thing) => {
            Err(errors::not_built_yet("what is asked for here, on a plate", span).into())
        }
        _ if shaper.known.caps.contains_key(&anchor.thing) => {
            Err(errors::not_built_yet("a part that stands on a cap", span).into())
        }
        _ if shaper.known.borders.contains_key(&anchor.thing) => {
            Err(errors::not_built_yet("what is asked for here, on the edge of a border", span).into())
        }
        _ => Err(Stop::Skip),
    }
}

/// What a shell stands on, and its wall.
pub(super) fn host_wall<'a>(shaper: &'a Shaper<'_>, host: ThingId) -> Result<(&'a Shell, &'a Wall), Stop> {
    let shell = shaper.known.shells.get(&host).ok_or(Stop::Skip)?;
    match &shaper.solid.parts[shell.part.index()].body {
        Body::Wall(wall) => Ok((shell, wall)),
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => Err(Stop::Skip),
    }
}

/// A shell that grows from a wall may not be wider than the wall: measured across `facing` at its level, on the outer
/// faces of both.
pub(super) fn check_branch(
    shaper: &Shaper<'_>,
    host: ThingId,
    (level, facing): (f64, f64),
    (branch, depth): (&Strip, f64),
    (name, span): (&str, Span),
) -> Result<(), Stop> {
    let (shell, wall) = host_wall(shaper, host)?;
    let strip = known::strip_at(wall, level).ok_or(Stop::Skip)?;
    let there = measure::width(strip, level.clamp(0.0, shell.tall), shell.outer, facing + FRAC_PI_2);
    // The branch's own left is the wall's horizontal there.
    let own = measure::width(branch, branch.heights().0, depth, FRAC_PI_2);
    if own > there {
        let host = shaper.design.thing(host).name.to_string();
        return Err(errors::too_wide(name, own, &host, level, there, span).into());
    }
    Ok(())
}

/// The frame in the middle of a cap's show face, away from the wall it closes, moved along that face.
fn on_cap(shaper: &Shaper<'_>, cap: ThingId, by: Vec2) -> Result<Frame, Stop> {
    let known = shaper.known.caps.get(&cap).ok_or(Stop::Skip)?;
    let part = &shaper.solid.parts[known.plate.index()];
    let Body::Plate(plate) = &part.body else { return Err(Stop::Skip) };
    let base = part.place;
    let turned = if plate.show >= plate.hidden { base } else { Frame { y: -base.y, z: -base.z, ..base } };
    let middle = base.apply(middle(plate).extend(plate.show));
    Ok(Frame { origin: middle + turned.x * by.x + turned.y * by.y, ..turned })
}

/// The middle of a plate, half-way between its sides, in its section plane.
pub(super) fn middle(plate: &Plate) -> Vec2 {
    let reach = |phi: f64| measure::facing(&plate.strip, phi).map_or(0.0, |r| r.support_at(plate.show, plate.depth).0);
    let middle = |phi: f64| 0.5 * (reach(phi) - reach(phi + PI));
    Vec2::new(middle(0.0), middle(FRAC_PI_2))
}

/// How far the outer skin of a shell, or its brim, reaches from its axis in a direction.
pub(super) fn far(shell: &Shell, wall: &Wall, facing: f64) -> f64 {
    let support = |s: &Strip, z: f64, d: f64| measure::facing(s, facing).map(|r| r.support_at(z, d).0);
    let ends = wall.strips.iter().flat_map(|s| [(s, s.heights().0), (s, s.heights().1)]);
    let brim = shell.brim.zip(wall.strips.first()).and_then(|(b, s)| Some(support(s, b.z, b.depth)? + b.wide));
    ends.filter_map(|(s, z)| support(s, z, shell.outer)).chain(brim).fold(0.0, f64::max)
}

/// The frame of a shell of outer reach `reach` toward its `facing`.
pub(super) fn frame(
    shaper: &Shaper<'_>,
    ground: Ground,
    level: f64,
    (facing, gap): (f64, f64),
    reach: f64,
) -> Result<Frame, Stop> {
    if let Ground::Cap { cap, .. } = ground {
        return on_cap(shaper, cap, unit(facing) * level);
    }
    let Some(host) = ground.host() else { return Ok(Frame::WORLD) };
    let base = shaper.known.frames.get(&host).copied().unwrap_or(Frame::WORLD);
    let (shell, wall) = host_wall(shaper, host)?;
    Ok(match ground {
        Ground::Edge { at_top: true, .. } => Frame { origin: base.apply(Vec3::new(0.0, 0.0, shell.tall)), ..base },
        // The frame of a bottom edge points away from the part: turned over about the line to its front.
        Ground::Edge { at_top: false, .. } => Frame { y: -base.y, z: -base.z, ..base },
        Ground::In { .. } | Ground::Over { .. } => Frame { origin: base.apply(Vec3::new(0.0, 0.0, level)), ..base },
        Ground::Beside { .. } => {
            let n = unit(facing) * (far(shell, wall, facing) + gap + reach);
            Frame { origin: base.apply(Vec3::new(n.x, n.y, 0.0)), ..base }
        }
        Ground::Free | Ground::Wall { .. } | Ground::Cap { .. } => base,
    })
}
