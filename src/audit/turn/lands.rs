//! Where what is turned over a rim lands, when that belongs to another part: on the face of a wall that is there, no farther
//! than it reaches; on a flat face, within its outline and clear of what is cut out of it.

use crate::fitted::Ground as Place;
use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3};
use crate::solid::{Body, EdgeName, Frame, Layer, Onto, Plate, Size, Solid, Turn};
use crate::verdict::Check;

use super::super::laid::Laid;
use super::super::lines::View;
use super::super::measure;
use super::super::report::{LANDING, Most, Report};
use super::super::space::Round;
use super::under::{Beyond, Under};

/// Places once round at which it is looked at.
const LOOKS: usize = 200;
/// Places across a turn, as shares of its width.
const SHARES: [f64; 3] = [0.25, 0.5, 1.0];

/// Holds a turn against the wall of another part behind which it goes.
pub(super) fn on_wall(laid: &Laid<'_>, turn: &Turn, beyond: &Beyond<'_>, space: &dyn Fn(f64) -> Under, r: &mut Report) {
    let Onto::Beyond { far, .. } = turn.onto else { return };
    let half = 0.5 * (laid.layer.outer - laid.layer.inner);
    let [inner, outer] = beyond.faces;
    let off = (far - (inner - half)).abs().min((far - (outer + half)).abs());
    let what = format!("{}, folded over", super::edge_name(turn.at.edge));
    r.figure(Check::Turn, &what, "off the face of the wall it meets".to_owned(), off, LANDING);
    let end = laid.view.rounds[View::strip_at(laid.ring, turn.at.edge == EdgeName::Upper)].end();
    let mut past = Most::default();
    for i in 0..LOOKS {
        let w = end * i as f64 / LOOKS as f64;
        let under = space(w);
        past.add((turn.wide - under.over() - beyond.reach(under.corner)).max(0.0), Vec2::ZERO);
    }
    past.enter(r, Check::Turn, &format!("{what}, past the wall it meets"), LANDING);
}

/// Holds a turn in a rim's plane against the flat faces that lie there.
pub(super) fn on_flat(solid: &Solid, laid: &Laid<'_>, turn: &Turn, space: &dyn Fn(f64) -> Under, r: &mut Report) {
    let Onto::Ground { outward, on } = turn.onto else { return };
    let Some(own) = solid.parts.get(laid.panel.part.index()).map(|p| p.place) else { return };
    let round = &laid.view.rounds[View::strip_at(laid.ring, turn.at.edge == EdgeName::Upper)];
    let points: Vec<Vec3> = (0..LOOKS)
        .flat_map(|i| {
            let w = round.end() * i as f64 / LOOKS as f64;
            let (under, g) = (space(w), round.generatrix(w));
            let out = Vec3::new(g.normal.x, g.normal.y, 0.0).normalize_or_zero();
            let way = if outward { out } else { -out };
            // Over a cap in the bore of what it stands on the fold itself lies on the end of that wall.
            SHARES.map(|share| own.apply(under.from + way * (turn.wide * share)))
        })
        .collect();
    let what = format!("{}, folded over", super::edge_name(turn.at.edge));
    let part = laid.panel.part;
    // Those of the prop itself lie where it says; that some of it is cut away there is told.
    let own = solid.claims.iter().any(|c| c.part == part && matches!(c.size, Size::Tabs { .. }));
    let lies = on.is_none_or(|on| match solid.parts.get(on.index()).map(|p| (&p.body, &p.place)) {
        Some((Body::Plate(plate), place)) if !plate.sided => on_face(plate, place, &points, own),
        _ => false,
    });
    r.holds(Check::Turn, &what, "lies whole on a face that is there", lies);
    // Where the place of the foot is drawn on a face, the tabs are glued to that one; those of the prop itself are drawn there
    // as far as they reach.
    let Some(thing) = solid.parts.get(part.index()).map(|p| p.thing) else { return };
    for spot in solid.fitted.spots.iter().filter(|s| s.thing == thing) {
        let Place::Plate { centre } = spot.on else { continue };
        r.holds(Check::Turn, &what, "lies on the face that shows its place", on == Some(spot.part));
        let Some((Body::Plate(plate), place)) = solid.parts.get(spot.part.index()).map(|p| (&p.body, &p.place)) else {
            continue;
        };
        if !own {
            continue;
        }
        let above = if plate.show >= plate.hidden { 1.0 } else { -1.0 };
        let mut off = Most::default();
        for p in points.iter().skip(2).step_by(SHARES.len()) {
            let q = place.seen(*p).truncate() - centre;
            let drawn = Vec2::new(-above * q.y, q.x);
            off.add(measure::to_path(drawn, &spot.outline), drawn);
        }
        off.enter(r, Check::Turn, &format!("{what}, off its place as that is drawn"), LANDING);
    }
}

fn on_face(plate: &Plate, place: &Frame, points: &[Vec3], over_holes: bool) -> bool {
    let round = Round::new(&plate.strip);
    let edge = round.points(0.0, round.end(), 1e-2, &|w| round.generatrix(w).at(plate.show, plate.depth));
    let outline = Path::polygon(&edge.iter().map(|(_, p)| p.truncate()).collect::<Vec<_>>());
    points.iter().all(|p| {
        let p = place.seen(*p);
        let (flat, off) = (p.truncate(), (p.z - plate.show).abs());
        off <= LANDING
            && measure::encloses(&outline, flat)
            && (over_holes || !plate.holes.iter().any(|h| measure::encloses(&h.outline, flat)))
    })
}

/// The innermost and outermost faces of a part's layers.
pub(super) fn faces(layers: &[Layer]) -> [f64; 2] {
    let inner = layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
    [inner, layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max)]
}
