//! A wall that is stretched to its form: its flat is that of the cone it is cut as (`super::wall`); here is what lies on it and
//! what comes of it.

use crate::flat::Panel;
use crate::geom::course::{End, Leg};
use crate::geom::parallel;
use crate::geom::walk::Walk;
use crate::solid::{Body, Part, Wall};

/// The line round the cone along which a part is formed at a station.
pub(super) fn line(part: &Part, station: usize) -> Option<Leg> {
    let Body::Wall(wall) = &part.body else { return None };
    let z = wall.formed.as_ref()?.level(station)?;
    let end = |share: f64| End { share, z };
    Some(Leg { strip: 0, from: end(0.0), to: end(1.0) })
}

/// Its tightest bend is that of the form, not of the cone; it lies where the panel's own did.
pub(super) fn bend(part: &Part, wall: &Wall, panel: &mut Panel) {
    let inner = part.layers[panel.layer].inner;
    for strip in &wall.strips {
        let walk = Walk::new(strip);
        let (z0, z1) = strip.heights();
        for z in [z0, z1] {
            let radius = parallel::tightest(&walk, walk.ends(), z, inner).map_or(f64::INFINITY, |t| t.0);
            panel.tightest = panel.tightest.map(|own| (own.0.min(radius), own.1));
        }
    }
}
