//! Tabs that are folded out round a wall's foot: the area of their sheet, and where it lies.

use super::{Skin, TAIL, cut, height, run};
use crate::geom::series::Series;
use crate::geom::walk::{Leg, Place, Walk};
use crate::geom::{Vec2, Vec3};
use crate::num::Sum;
use crate::solid::{Body, Layer, Part, Solid, Wall};

/// From place to place the end of the tabs turns by this, radians.
const STEP: f64 = core::f64::consts::PI / 360.0;

/// Those of a part, where it has some; nothing elsewhere.
#[must_use]
pub fn turned_out(solid: &Solid, part: &Part) -> Skin {
    let (Some(turn), Some(layer)) = (solid.turned_out(part.id), part.layers.first()) else { return Skin::default() };
    match &part.body {
        Body::Wall(wall) => of_wall(wall, layer, turn.wide),
        _ => Skin::default(),
    }
}

/// Where the tabs of a part end on what it stands on, in its own frame, at both faces of their sheet.
#[must_use]
pub fn ends_of(solid: &Solid, part: &Part) -> Vec<Vec3> {
    let (Some(turn), Some(layer)) = (solid.turned_out(part.id), part.layers.first()) else { return Vec::new() };
    let Body::Wall(wall) = &part.body else { return Vec::new() };
    let mut out = Vec::new();
    folds(wall, layer, STEP, |at, way| {
        let half = 0.5 * (layer.outer - layer.inner);
        out.extend([-half, half].map(|z| at + (way * turn.wide).extend(z)));
    });
    out
}

/// Visits places along the fold, no farther round from one to the next than `step`: where they are, and the way out there.
pub fn folds(wall: &Wall, layer: &Layer, step: f64, mut visit: impl FnMut(Vec3, Vec2)) {
    let (Some(ring), Some(strip)) = (wall.rings.first(), wall.strips.first()) else { return };
    let z = height(&cut(wall, ring.lower, strip.heights().0));
    let walk = Walk::new(strip);
    for (leg, one) in walk.legs().iter().enumerate() {
        let n = match one {
            Leg::Side { .. } => 1.0,
            Leg::Turn { from, to, .. } => ((to - from).abs() / step).ceil().clamp(1.0, 400.0),
        };
        let mut i = 0.0;
        while i <= n {
            let rule = walk.rule(Place { leg, t: i / n });
            visit(rule.point(z, layer.middle()), rule.facing);
            i += 1.0;
        }
    }
}

/// Along a level fold the sheet's parallel at the distance `x` is longer by `−x sin α dφ` on the flat. Where the wall bends
/// inward cuts take what it has too much: there it is left as long as what it lies on, shorter by `x dφ`.
fn of_wall(wall: &Wall, layer: &Layer, wide: f64) -> Skin {
    let (Some(ring), Some(strip)) = (wall.rings.first(), wall.strips.first()) else { return Skin::default() };
    let z = height(&cut(wall, ring.lower, strip.heights().0));
    let walk = Walk::new(strip);
    let (mut area, mut moment) = (Sum::new(), [Sum::new(); 3]);
    for (leg, one) in walk.legs().iter().enumerate() {
        let total = Series::<4>::new(TAIL, |t| {
            let place = Place { leg, t };
            let rule = walk.rule(place);
            let level = z - (layer.neutral - layer.middle()) * rule.sine();
            let long = run(&walk, place, &rule, level, layer.neutral);
            let turn = if let Leg::Turn { .. } = one { walk.turning(place) } else { 0.0 };
            let grows = if turn > 0.0 { -rule.sine() * turn } else { turn };
            if !long.is_finite() {
                return [0.0; 4];
            }
            let (w, w2, w3) = (wide, 0.5 * wide * wide, wide * wide * wide / 3.0);
            let own = w * long + w2 * grows;
            let p = rule.point(z, layer.middle()) * own + (rule.facing * (w2 * long + w3 * grows)).extend(0.0);
            [own, p.x, p.y, p.z]
        })
        .total();
        area.add(total[0]);
        moment.iter_mut().zip(&total[1..]).for_each(|(sum, v)| sum.add(*v));
    }
    let [x, y, z] = moment.map(Sum::value);
    Skin { area: area.value(), moment: Vec3::new(x, y, z) }
}
