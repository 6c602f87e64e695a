//! `foot: flange(wide)` of a shell: a flat collar of the shell's own sheet round its foot. It lies on what the shell stands on
//! and is glued to that and to the shell's outer skin; the shell stands in its hole.

use super::super::{Shaper, errors};
use super::border::skin::Skin;
use super::border::stack;
use super::foot::{self, Foot, Sort};
use super::place::Ground;
use super::shell::Spec;
use crate::design::Kind;
use crate::eval::Stop;
use crate::geom::path::{Path, Seg};
use crate::geom::strip::Strip;
use crate::geom::walk::{Leg, Place, Walk};
use crate::geom::{Vec2, biarc, inset, left_of};
use crate::ids::{PartId, ThingId};
use crate::num;
use crate::solid::{Body, Claim, Form, Frame, Leaf, Part, PlateHole, Rim, Size, Taper, Wall};

/// Largest distance of the arcs from the foot's own curve, mm: a quarter of what the fit of an outline may take.
const FIT: f64 = 0.001;

/// The flange of a shell, if it has one.
pub(super) fn asked(spec: &Spec) -> Option<Foot> {
    spec.foot.filter(|f| f.sort == Sort::Flange)
}

/// Where a wall is widest within the thickness of its collar: what widens from the foot on is put through it from below.
pub(super) fn level(foot: &Strip, thick: f64, outer: f64) -> f64 {
    let walk = Walk::new(foot);
    let (low, high) = foot.heights();
    let levels = [low, (low + thick).min(high)];
    if walk.around(levels[1], outer) > walk.around(levels[0], outer) { levels[1] } else { levels[0] }
}

/// The collar of a shell whose wall is built: its part, and its outline where the shell stands. Of an outline x is the
/// shell's right and y its front, as seen from above.
///
/// # Errors
/// Where it is not built yet.
pub(super) fn of(
    shaper: &mut Shaper<'_>,
    spec: &Spec,
    ground: Ground,
    (wall, part): (&Wall, &Part),
    outer: f64,
) -> Result<Option<Leaf>, Stop> {
    let Some(flange) = asked(spec) else { return Ok(None) };
    foot::may_reach_out(&flange, ground, wall)?;
    let thick = shaper.thickness(&spec.of, spec.of_span)?;
    let tall = wall.strips.last().map_or(0.0, |s| s.heights().1) - wall.strips[0].heights().0;
    if tall < thick - 1e-9 {
        return Err(errors::lower_than_its_flange(&spec.name, tall, thick, flange.span).into());
    }
    let walk = Walk::new(&wall.strips[0]);
    let hole = outline(&walk, level(&wall.strips[0], thick, outer), outer);
    let Some(edge) = inset::inset(&hole, -flange.wide) else {
        return foot::none(Some(flange), "a wall that is so hollow there").map(|()| None);
    };
    let hole =
        PlateHole { thing: part.thing, name: part.name.clone(), origin: flange.span, outline: hole, number: None };
    let taper = Taper { from: 0.0, inner: 0.0, outer: 0.0 };
    Ok(Some(Leaf { form: Form::Flat, measured: 0.0, outline: edge, taper, holes: vec![hole] }))
}

/// Puts the collar of a shell's wall beside it.
pub(super) fn add(shaper: &mut Shaper<'_>, spec: &Spec, leaf: Leaf, wall: &Part, thick: f64) -> Option<PartId> {
    let flange = asked(spec)?;
    let part = shaper.next_part();
    let layers = shaper.layers(&spec.of, 0.0, f64::INFINITY);
    let origin = flange.span;
    shaper.solid.claims.push(Claim { part, origin: spec.of_span, size: Size::Thick { mm: thick } });
    shaper.solid.claims.push(Claim { part, origin, size: Size::Flange { round: wall.id, wide: flange.wide } });
    let f = wall.place;
    shaper.solid.parts.push(Part {
        id: part,
        thing: wall.thing,
        name: format!("{} flange", wall.name),
        origin,
        pair: wall.pair,
        layers,
        body: Body::Leaf(leaf),
        // It faces up, its own up to the front.
        place: Frame { origin: f.origin, x: f.z, y: -f.y, z: f.x },
        split: wall.split,
    });
    Some(part)
}

/// What lies on the outside of a wall or is cut out of its foot where its collar is glued to it is told, once all of that
/// stands: the hole of the collar is that of the bare wall.
pub(in super::super) fn look(shaper: &mut Shaper<'_>) {
    let all: Vec<(ThingId, PartId, PartId)> =
        shaper.known.shells.iter().filter_map(|(id, s)| Some((*id, s.part, s.brim?.collar?))).collect();
    for (host, part, flange) in all {
        let (wall, collar) = (&shaper.solid.parts[part.index()], &shaper.solid.parts[flange.index()]);
        let Body::Wall(body) = &wall.body else { continue };
        let thick: f64 = collar.layers.iter().map(|l| l.outer - l.inner).sum();
        let (name, span) = (wall.name.clone(), collar.origin);
        if matches!(body.rings.first().map(|r| r.lower), Some(Rim::Shaped { .. })) {
            shaper.faults.push(errors::flange_at_a_shaped_foot(&name, span));
            continue;
        }
        let Ok(skin) = Skin::wall_of(shaper, host, part) else { continue };
        let below =
            stack::on_wall(shaper, &skin, None).into_iter().filter(|(_, f)| f.thick > 0.0 && f.low < thick - 1e-9);
        let mut told: Vec<ThingId> = below.map(|b| b.0).collect();
        told.dedup();
        for other in told {
            let other = shaper.design.thing(other);
            let cover = other.kind == Kind::Cover;
            shaper.faults.push(errors::in_the_flange(
                (&name, span),
                (&other.name.to_string(), other.head),
                thick,
                cover,
            ));
        }
    }
}

/// A level section of a wall at a depth, as seen from above with its front up the page.
pub(super) fn outline(walk: &Walk, z: f64, depth: f64) -> Path {
    let seen = |p: Vec2| Vec2::new(-p.y, p.x);
    let at = |leg: usize, t: f64| {
        let rule = walk.rule(Place { leg, t });
        (seen(rule.point(z, depth).truncate()), seen(left_of(rule.facing)))
    };
    let mut path = Path::default();
    for (leg, one) in walk.legs().iter().enumerate() {
        match one {
            Leg::Side { .. } => path.segs.push(Seg::line(at(leg, 0.0).0, at(leg, 1.0).0)),
            Leg::Turn { from, to, .. } => {
                // Halves of less than a right angle, so that an arc of a circle is never a whole one.
                let parts = ((to - from).abs() / (0.5 * num::FRAC_PI_2)).ceil().max(1.0);
                let mut i = 0.0;
                while i < parts {
                    biarc::add(&|t| at(leg, t), (i / parts, (i + 1.0) / parts), FIT, &mut path);
                    i += 1.0;
                }
            }
        }
    }
    path.segs.retain(|s| s.a.distance(s.b) > 1e-9);
    // Each begins where the last one ended, and the first where the last one ends.
    let n = path.segs.len();
    for i in 0..n {
        path.segs[i].b = path.segs[(i + 1) % n].a;
    }
    path
}
