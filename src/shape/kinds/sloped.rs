//! Ends that are cut off along a plane that leans: whether the plane cuts the wall all round and leaves enough of it,
//! and what may stand on such a wall, and on others on which not everything may.

use super::super::wall::Stationed;
use super::super::{Shaper, errors, measure};
use super::stations::Station;
use crate::design::{Kind, Relation, Thing};
use crate::eval::Stop;
use crate::geom::plane::Plane;
use crate::geom::rim::Cut;
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec3, tol};
use crate::num::{self, TAU};
use crate::solid::{Body, Wall};

/// What is left of a wall on its short side must be this long at least, mm: less cannot be cut and glued.
pub(super) const LEAST: f64 = 1.0;
/// How many directions a wall is looked at in.
const LOOKS: u32 = 720;

/// Every rule of a strip, in so many directions; the two of a straight side.
pub(super) fn rules(strip: &Strip) -> Vec<Rule> {
    let on = |i: u32| measure::rules_at(strip, TAU * f64::from(i) / f64::from(LOOKS));
    let corners = strip.stretches().iter().flat_map(|s| [s.from, s.to]).filter_map(|phi| measure::rules_at(strip, phi));
    (0..LOOKS).filter_map(on).chain(corners).flat_map(|(a, b)| [a, b]).collect()
}

/// The least length of a wall between the planes of its ends along any of its rules, at these depths; far below nothing
/// where a plane runs along a rule.
pub(super) fn shortest(rules: &[Vec<Rule>; 2], [low, up]: [&Plane; 2], depths: [f64; 2]) -> f64 {
    let reach = |rules: &[Rule], plane: &Plane, sign: f64| {
        // By direction, so that both ends are compared on one side of the wall.
        rules
            .iter()
            .map(|r| {
                let most =
                    depths.map(|d| if plane.rises(r) > 1e-6 { sign * plane.height(r, d) } else { f64::INFINITY });
                (r.phi, most[0].max(most[1]))
            })
            .collect::<Vec<_>>()
    };
    let (below, above) = (reach(&rules[0], low, 1.0), reach(&rules[1], up, -1.0));
    below.iter().zip(&above).map(|(a, b)| -(a.1 + b.1)).fold(f64::INFINITY, f64::min)
}

/// Whether the planes of both ends leave the wall everywhere.
pub(super) fn clear(
    stations: &[Station],
    placed: &[Stationed],
    strips: &[Strip],
    depths: [f64; 2],
) -> Result<(), Stop> {
    let (Some(first), Some(last)) = (placed.first(), placed.last()) else { return Ok(()) };
    if first.leans.is_none() && last.leans.is_none() {
        return Ok(());
    }
    let (Some(bottom), Some(top)) = (strips.first(), strips.last()) else { return Ok(()) };
    let plane = |s: &Stationed, share: f64| {
        let middle = s.section.middle().extend(s.z);
        let n = s.leans.unwrap_or(Vec3::Z);
        // A share of the slope.
        Plane { at: middle, normal: Vec3::new(n.x * share, n.y * share, n.z).normalize() }
    };
    // Within one strip; of a wall of several the ends may not reach past the next station.
    let (below, above) = (&placed[1], &placed[placed.len() - 2]);
    let level = |s: &Stationed| Plane { at: Vec3::new(0.0, 0.0, s.z), normal: Vec3::Z };
    let one = placed.len() == 2;
    let left = |share: f64| {
        let (low, up) = (plane(first, share), plane(last, share));
        let (b, t) = (rules(bottom), rules(top));
        if one {
            shortest(&[b.clone(), b], [&low, &up], depths)
        } else {
            let foot = shortest(&[b.clone(), b], [&low, &level(below)], depths);
            let head = shortest(&[t.clone(), t], [&level(above), &up], depths);
            foot.min(head)
        }
    };
    for (strip, station, at, upper) in [(bottom, first, 0, false), (top, last, stations.len() - 1, true)] {
        let Some(plane) = station.plane() else { continue };
        // What the sheet's own thickness takes is found when the wall is made.
        if Cut::Plane(plane).exists(strip, &[0.0]).is_ok() {
            continue;
        }
        let past = |r: &Rule| if upper { plane.height(r, 0.0) - station.z } else { station.z - plane.height(r, 0.0) };
        let most = rules(strip).iter().map(past).fold(0.0, f64::max);
        return Err(errors::slope_runs_out(most, stations[at].section).into());
    }
    let is = left(1.0);
    if is >= LEAST - tol::SAME {
        return Ok(());
    }
    let spans = [&stations[0], &stations[stations.len() - 1]].map(|s| s.section);
    let mut sloped = [stations.first(), stations.last()].into_iter().flatten().filter(|s| s.lowered.leans.is_some());
    let fits = match (sloped.next(), sloped.next()) {
        (Some(only), None) if left(0.0) >= LEAST => {
            let share = num::bisect(0.0, 1.0, 1e-9, |s| left(s) - LEAST).unwrap_or(0.0);
            only.lowered.leans.map(|n| tilt(n, share))
        }
        _ => None,
    };
    Err(errors::planes_meet(is, LEAST, fits, spans).into())
}

/// A share of a slope as it is written, rounded down to tenths of a degree.
fn tilt(n: Vec3, share: f64) -> (String, f64) {
    let word = |slope: f64, ahead: &str, behind: &str| {
        let angle = num::atan(slope.abs() / n.z * share);
        (angle > 1e-6).then(|| {
            let toward = if slope > 0.0 { ahead } else { behind };
            format!("{toward}: {}", super::super::say::at_most_degrees(angle))
        })
    };
    let words: Vec<String> = [word(n.x, "front", "back"), word(n.y, "left", "right")].into_iter().flatten().collect();
    (format!("tilt: toward({})", words.join(", ")), share)
}

/// Whether a wall has an end that is cut along a plane of its own or to a figure.
fn sloped(wall: &Wall) -> [bool; 2] {
    let ends = wall.rings.first().zip(wall.rings.last());
    ends.map_or([false; 2], |(a, b)| [a.lower.is_uneven(), b.upper.is_uneven()])
}

/// A thing of a kind, in words.
pub(super) fn one(kind: Kind) -> String {
    let word = crate::schema::kind_of(kind).word;
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {word}")
}

/// Refuses what cannot yet stand on a wall with a sloped end.
///
/// # Errors
/// `not-built-yet` at the target.
pub(in super::super) fn may_stand(shaper: &Shaper<'_>, thing: &Thing) -> Result<(), Stop> {
    let Some(target) = &thing.target else { return Ok(()) };
    super::panels::may_stand(shaper, thing)?;
    for anchor in &target.anchors {
        let keel = shaper.known.keels.contains_key(&anchor.thing);
        if keel || shaper.known.bent.contains_key(&anchor.thing) {
            let stays = matches!(thing.kind, Kind::Finish | Kind::Limit | Kind::Hang);
            if stays || (!keel && thing.kind == Kind::Attachment) {
                continue;
            }
            let what = format!("{} on a {}", one(thing.kind), if keel { "keel" } else { "bent shell" });
            let d = errors::not_built_yet(&what, target.span);
            let on_wall = thing.kind == Kind::Attachment;
            return Err(if on_wall {
                d.with_help("fix it to the wall that the keel stands on").into()
            } else {
                d.into()
            });
        }
        let Some(shell) = shaper.known.shells.get(&anchor.thing) else { continue };
        let Body::Wall(wall) = &shaper.solid.parts[shell.part.index()].body else { continue };
        if wall.formed.is_some() {
            let stays = matches!(thing.kind, Kind::Finish | Kind::Limit | Kind::Contents);
            if stays || (thing.kind == Kind::Shell && target.relation == Relation::Beside) {
                continue;
            }
            let d = errors::not_built_yet(&format!("{} on a formed wall", one(thing.kind)), target.span);
            let fitted = thing.kind == Kind::Attachment;
            return Err(if fitted {
                d.with_help("set it out by hand once the wall is formed").into()
            } else {
                d.into()
            });
        }
        let ends = sloped(wall);
        if ends == [false; 2] {
            continue;
        }
        let at_sloped = match anchor.edge {
            Some("bottom") => ends[0],
            Some("top") => ends[1],
            _ => true,
        };
        let what = match (thing.kind, target.relation) {
            (
                Kind::Finish
                | Kind::Opening
                | Kind::Mark
                | Kind::Attachment
                | Kind::Contents
                | Kind::Limit
                | Kind::Hang,
                _,
            ) => {
                continue;
            }
            (Kind::Shell, Relation::Beside) => continue,
            // An edge says for itself what it cannot shape.
            (Kind::Edge, _) => continue,
            // Borders and covers know the edges they lie on or end at, and sides of seams end where those do.
            (Kind::Border | Kind::Cover, _) => continue,
            (Kind::Lacing, _) if anchor.edge == Some("seam") => continue,
            _ if !at_sloped => continue,
            (kind, _) => format!("{} on a wall with a sloped or shaped end", one(kind)),
        };
        return Err(errors::not_built_yet(&what, target.span).into());
    }
    Ok(())
}
