//! Where what is turned over a rim lands, when that belongs to another part: on the face of a wall that is there, no farther
//! than it reaches; on a flat face, within its outline and clear of what is cut out of it.

use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3};
use crate::solid::{Body, EdgeName, Frame, Layer, Onto, Plate, Solid, Turn};
use crate::verdict::Check;

use super::super::laid::Laid;
use super::super::lines::View;
use super::super::measure;
use super::super::report::{LANDING, Most, Report};
use super::super::space::Round;
use super::under::{Beyond, Under};

/// Places once round at which it is looked at.
const LOOKS: usize = 200;

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
    let Onto::Ground { outward } = turn.onto else { return };
    let Some(own) = solid.parts.get(laid.panel.part.index()).map(|p| p.place) else { return };
    let round = &laid.view.rounds[View::strip_at(laid.ring, turn.at.edge == EdgeName::Upper)];
    let points: Vec<Vec3> = (0..LOOKS)
        .flat_map(|i| {
            let w = round.end() * i as f64 / LOOKS as f64;
            let (under, g) = (space(w), round.generatrix(w));
            let out = Vec3::new(g.normal.x, g.normal.y, 0.0).normalize_or_zero();
            let way = if outward { out } else { -out };
            // Over a cap in the bore of what it stands on the fold itself lies on the end of that wall.
            [0.25, 0.5, 1.0].map(|share| own.apply(under.from + way * (turn.wide * share)))
        })
        .collect();
    let faces = solid.parts.iter().filter_map(|p| match &p.body {
        Body::Plate(plate) if !plate.sided => Some((plate, &p.place)),
        _ => None,
    });
    let lies = faces.into_iter().any(|(plate, place)| on_face(plate, place, &points));
    let what = format!("{}, folded over", super::edge_name(turn.at.edge));
    r.holds(Check::Turn, &what, "lies whole on a face that is there", lies);
}

fn on_face(plate: &Plate, place: &Frame, points: &[Vec3]) -> bool {
    let round = Round::new(&plate.strip);
    let edge = round.points(0.0, round.end(), 1e-2, &|w| round.generatrix(w).at(plate.show, plate.depth));
    let outline = Path::polygon(&edge.iter().map(|(_, p)| p.truncate()).collect::<Vec<_>>());
    points.iter().all(|p| {
        let p = place.seen(*p);
        let (flat, off) = (p.truncate(), (p.z - plate.show).abs());
        off <= LANDING
            && measure::encloses(&outline, flat)
            && !plate.holes.iter().any(|h| measure::encloses(&h.outline, flat))
    })
}

/// The innermost and outermost faces of a part's layers.
pub(super) fn faces(layers: &[Layer]) -> [f64; 2] {
    let inner = layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
    [inner, layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max)]
}
