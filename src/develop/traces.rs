//! Marks laid flat on the layer that has their face: on a wall leg by leg as `geom::course` lays them, on a plate as they
//! are, on a leaf carried along the normals. They run past edges and over holes: `finish` takes that off.

use std::borrow::Cow;

use crate::design::Face;
use crate::diag::Diagnostics;
use crate::flat::{Edge, Panel, Trace};
use crate::geom::course::Leg;
use crate::geom::fit;
use crate::geom::inset;
use crate::geom::path::{Motion, Path};
use crate::geom::unroll::Unrolled;
use crate::skin::leaf::To;
use crate::solid::{self, Course, Part, Ring, Solid};

use super::{errors, formed};

/// The marks of a part that lie on one of its layers, with their indices.
pub(super) fn shown<'a>(
    solid: &'a Solid,
    part: &'a Part,
    layer: usize,
) -> impl Iterator<Item = (usize, &'a solid::Trace)> {
    solid.traces.iter().enumerate().filter(move |(_, t)| t.part == part.id && t.layer(part) == layer)
}

pub(super) fn trace(index: usize, of: &solid::Trace, paths: Vec<Path>) -> Trace {
    Trace { trace: index, name: of.name.clone(), hidden: of.face == Face::Inside, paths }
}

/// The marks on one layer of one ring of a wall.
pub(super) fn on_wall(solid: &Solid, part: &Part, ring: &Ring, layer: usize, flats: &[Unrolled]) -> Vec<Trace> {
    let mut out = Vec::new();
    for (i, one) in shown(solid, part, layer) {
        let legs: Cow<'_, [Leg]> = match &one.course {
            Course::Wall(legs) => Cow::Borrowed(legs),
            Course::Form(station) => Cow::Owned(formed::line(part, *station).into_iter().collect()),
            Course::Plate(_) | Course::Edge(_) | Course::Face(..) | Course::Fold(_) => continue,
        };
        let mut paths: Vec<Path> = Vec::new();
        for leg in legs.iter().filter(|l| ring.strips.contains(&l.strip)) {
            let path = leg.path(&flats[leg.strip - ring.strips.start]);
            let goes_on =
                paths.last().and_then(Path::end).zip(path.start()).is_some_and(|(a, b)| a.distance(b) < JOINED);
            match paths.last_mut() {
                Some(last) if goes_on => *last = fit::joined([&*last, &path].into_iter()),
                _ => paths.push(path),
            }
        }
        if !paths.is_empty() {
            out.push(trace(i, one, paths));
        }
    }
    out
}

/// Ends of two legs that are this near are one place of the flat, mm: half of the last decimal that is written.
const JOINED: f64 = crate::geom::tol::ROUNDING;

/// The marks on one layer of a plate; `onto` takes its section plane to the flat.
pub(super) fn on_plate(solid: &Solid, part: &Part, layer: usize, onto: &Motion, edges: &[Edge]) -> Vec<Trace> {
    let along = |one: &solid::Trace| match &one.course {
        Course::Plate(path) => Some(path.moved(onto)),
        Course::Edge(margin) => inset::inset(&face(edges, one.face), *margin),
        Course::Wall(_) | Course::Face(..) | Course::Fold(_) | Course::Form(_) => None,
    };
    shown(solid, part, layer).filter_map(|(i, one)| Some(trace(i, one, vec![along(one)?]))).collect()
}

/// The marks on one layer of a leaf, whose measured face's flat `to` carries to this layer's.
pub(super) fn on_leaf(
    solid: &Solid,
    part: &Part,
    layer: usize,
    to: &To<'_>,
    line: &dyn Fn(f64) -> Option<Path>,
) -> Vec<Trace> {
    let sheet = &part.layers[layer];
    let along = |one: &solid::Trace| match &one.course {
        Course::Plate(path) => to.path(path),
        Course::Edge(margin) => to.path(&inset::inset(&line(sheet.face(one.face))?, *margin)?),
        Course::Wall(_) | Course::Face(..) | Course::Fold(_) | Course::Form(_) => None,
    };
    shown(solid, part, layer).filter_map(|(i, one)| Some(trace(i, one, vec![along(one)?]))).collect()
}

/// The outline of a face.
fn face(edges: &[Edge], face: Face) -> Path {
    let of = |e: &Edge| if face == Face::Inside { e.inside.segs.clone() } else { e.outside.segs.clone() };
    Path { segs: edges.iter().flat_map(of).collect() }
}

/// A mark that could not be laid out is a fault: so far in from its edge the face has none.
pub(super) fn check(solid: &Solid, part: &Part, panels: &[&Panel], diagnostics: &mut Diagnostics) {
    for panel in panels {
        for (i, one) in shown(solid, part, panel.layer) {
            if let Course::Edge(margin) = one.course
                && !panel.traces.iter().any(|t| t.trace == i)
            {
                let fits = inset::furthest(&face(&panel.edges, one.face), margin);
                diagnostics.push(errors::mark_too_far_in(part, one, margin, fits));
            }
        }
    }
}
