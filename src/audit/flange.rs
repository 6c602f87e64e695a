//! A flange: what is cut out of it is the wall's outer skin at the foot, where the wall is widest within the thickness of the
//! flange, and its outline keeps one distance from that.

use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3};
use crate::ids::PartId;
use crate::solid::Solid;
use crate::verdict::Check;

use super::claims::Made;
use super::leaf;
use super::lines::View;
use super::measure;
use super::report::{FIT, LANDING, Most, Report};

/// Whether it could be measured on its pieces.
pub fn claim(
    solid: &Solid,
    made: &Made<'_>,
    views: &[Option<View<'_>>],
    (round, wide): (PartId, f64),
    what: &str,
    r: &mut Report,
) -> bool {
    let (Some(wall), Some(Some(view))) = (solid.parts.get(round.index()), views.get(round.index())) else {
        return false;
    };
    let depth = wall.layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max);
    let thick: f64 = made.part.layers.iter().map(|l| l.outer - l.inner).sum();
    let Some(first) = view.rounds.first() else { return false };
    let (low, high) = first.heights;
    let skin = |z: f64| {
        let points = first.points(0.0, first.end(), 1e-4, &|w| first.generatrix(w).at(z, depth));
        Path::polygon(&points.iter().map(|(_, p)| p.truncate()).collect::<Vec<_>>())
    };
    let skins = [skin(low), skin((low + thick).min(high))];
    let [foot, over] = &skins;
    let skin = if over.length() > foot.length() { over } else { foot };
    // Where a point of the flange lies, as the wall sees it.
    let seen = |p: Vec2| wall.place.seen(made.part.place.apply(Vec3::new(0.0, p.x, p.y)));
    let mut any = false;
    for cut in &made.leaves {
        for group in &cut.groups {
            let (Some(outline), Some(hole)) = (leaf::outline(cut, group), leaf::hole_of(cut, group, 0)) else {
                return false;
            };
            let (mut lies, mut fits, mut reach) = (Most::default(), Most::default(), Most::default());
            for p in &hole {
                let q = seen(*p);
                lies.add((q.z - low).abs(), *p);
                fits.add(measure::to_path(q.truncate(), skin), *p);
            }
            for p in &outline {
                reach.add((measure::to_path(seen(*p).truncate(), skin) - wide).abs(), *p);
            }
            lies.enter(r, Check::Claim, &format!("{what}, level with the foot"), LANDING);
            fits.enter(r, Check::Claim, &format!("{what}, hole on the outer skin"), LANDING);
            reach.enter(r, Check::Claim, &format!("{what}, width"), FIT);
            any = true;
        }
    }
    any
}
