//! Pieces that are stretched to their form: what is said of it on them and in their key.

use crate::piece::Forming;
use crate::solid::{Body, EdgeName, Formed, Part, Stretched};

fn formed_of(part: &Part) -> Option<&Formed> {
    match &part.body {
        Body::Wall(wall) => wall.formed.as_deref(),
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => None,
    }
}

/// Where a part's pieces are stretched and squeezed most.
pub(super) fn of(part: &Part) -> Option<Forming> {
    let formed = formed_of(part)?;
    let [stretched, squeezed] = formed.most().map(|at| at.map(|i| (formed.name(i), formed.stations[i].share())));
    Some(Forming { stretched, squeezed, leave: formed.leave })
}

/// How much a rim is stretched; sides keep their length.
pub(super) fn of_edge(part: &Part, edge: EdgeName) -> Option<Stretched> {
    let stations = &formed_of(part)?.stations;
    match edge {
        EdgeName::Lower => stations.first().copied(),
        EdgeName::Upper => stations.last().copied(),
        _ => None,
    }
}

/// What is written on its pieces: of each rim, since the lines between them carry their own.
pub(super) fn label(part: &Part) -> Vec<String> {
    let Some(formed) = formed_of(part) else { return Vec::new() };
    let rim = |station: &Stretched, name: &str| format!("{name} {}", station.said());
    let rims = formed.stations.first().zip(formed.stations.last());
    let rims = rims.map(|(low, up)| [rim(low, "bottom"), rim(up, "top")]);
    core::iter::once("warm and form".to_owned()).chain(rims.into_iter().flatten()).collect()
}
