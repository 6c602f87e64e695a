//! A leaf laid down: its outline is drawn on its measured face's flat; every layer has it on its own neutral surface,
//! where each point of it comes along the sheet's normal. A flat leaf is what was drawn.

use crate::diag::Diagnostics;
use crate::flat::{Allowance, Bevel, Edge, Hole, Long, Panel};
use crate::geom::path::Path;
use crate::geom::{Vec2, parallel, tol};
use crate::num;
use crate::skin::leaf::{Formed, To};
use crate::solid::{EdgeName, Form, Layer, Leaf, Part, Solid};

use super::{Made, errors, places, traces};

/// Lays one layer of a leaf down; `None`, and says so, where its wall is not there.
pub(super) fn panel(
    solid: &Solid,
    part: &Part,
    leaf: &Leaf,
    layer: usize,
    diagnostics: &mut Diagnostics,
) -> Option<Made> {
    let made = laid(solid, part, leaf, layer);
    if made.is_none() && layer == 0 {
        diagnostics.push(errors::leaf_off_wall(part));
    }
    made
}

fn laid(solid: &Solid, part: &Part, leaf: &Leaf, index: usize) -> Option<Made> {
    let layer = &part.layers[index];
    let bent = Formed::new(leaf);
    let to = bent.to(layer.neutral)?;
    // The edge at a depth, on this layer's flat.
    let line = |depth: f64| to.path(&bent.line(depth)?);
    let bevel = bevel(leaf, layer);
    let (inside, middle, outside) = (line(layer.inner)?, line(layer.middle())?, line(layer.outer)?);
    let (widest, narrowest) = match ordered(leaf, layer) {
        _ if bevel == Bevel::SQUARE => (middle.clone(), middle.clone()),
        Lean::Outside => (outside.clone(), inside.clone()),
        Lean::Inside => (inside.clone(), outside.clone()),
        Lean::Both => (line(leaf.taper.from)?, inside.clone()),
    };
    let long = |depth: f64| Some(bent.to(depth)?.measures(&bent.line(depth)?)?.0);
    let (neutral, area) = to.measures(&bent.line(layer.neutral)?)?;
    let edge = Edge {
        name: EdgeName::Outline,
        inside,
        middle,
        outside,
        widest,
        narrowest,
        bevel,
        long: Long { inside: long(layer.inner)?, neutral, outside: long(layer.outer)? },
        joints: Vec::new(),
        notches: Vec::new(),
        allowance: Allowance::None,
        turn: None,
    };
    let panel = Panel {
        holes: holes(leaf, &to)?,
        places: places::on_leaf(solid, part, index, &to)?,
        traces: traces::on_leaf(solid, part, index, &to, &|d| bent.line(d)),
        tightest: tightest(leaf, &bent, layer),
        ..Panel::plain(part.id, index, vec![edge], area)
    };
    Some(Made { panel, knots: Vec::new(), faults: Vec::new() })
}

/// Which face of a layer reaches out furthest at its edge.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lean {
    Outside,
    Inside,
    /// Neither: both are drawn in from a depth between them.
    Both,
}

fn ordered(leaf: &Leaf, layer: &Layer) -> Lean {
    let taper = &leaf.taper;
    if taper.is_within(layer) {
        Lean::Both
    } else if taper.inset(layer.inner) > taper.inset(layer.outer) {
        Lean::Outside
    } else {
        Lean::Inside
    }
}

/// How the edge of a layer leans on the measured face's flat.
fn bevel(leaf: &Leaf, layer: &Layer) -> Bevel {
    let (inner, outer) = (leaf.taper.inset(layer.inner), leaf.taper.inset(layer.outer));
    let both = ordered(leaf, layer) == Lean::Both;
    let (shift, over) = if both {
        (inner.max(outer), 0.5 * (layer.outer - layer.inner))
    } else {
        (inner - outer, layer.outer - layer.inner)
    };
    if layer.square || shift.abs() < tol::SAME {
        return Bevel::SQUARE;
    }
    let lean = num::atan2(shift, over);
    Bevel { least: lean, most: lean, shift: shift.abs() }
}

fn holes(leaf: &Leaf, to: &To<'_>) -> Option<Vec<Hole>> {
    let mut out = Vec::with_capacity(leaf.holes.len());
    for (i, h) in leaf.holes.iter().enumerate() {
        let outline = to.path(&h.outline)?;
        let centre = outline.bounds().map_or(Vec2::ZERO, |(lo, hi)| (lo + hi) * 0.5);
        out.push(Hole { hole: i, name: h.name.clone(), outline, centre });
    }
    Some(out)
}

/// The tightest bend of a layer's inside, among the generatrices that the leaf crosses, at the height of its middle and
/// of its ends.
fn tightest(leaf: &Leaf, bent: &Formed<'_>, layer: &Layer) -> Option<(f64, Vec2)> {
    let (Form::Bent { .. }, Some(walk)) = (&leaf.form, bent.walk()) else { return None };
    let To::Bent(carry) = bent.to(layer.neutral)? else { return None };
    let line: Path = bent.line(layer.neutral)?;
    let found: Vec<_> = line.flattened(1.0).into_iter().filter_map(|p| carry.from.find(p)).collect();
    let first = found.iter().map(|f| f.0).reduce(|a, b| if b < a { b } else { a })?;
    let last = found.iter().map(|f| f.0).reduce(|a, b| if b > a { b } else { a })?;
    let (low, high) = found.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), f| (l.min(f.1), h.max(f.1)));
    let ends = [low, high].map(|z| parallel::tightest(walk, (first, last), z, layer.inner).map(|(r, at)| (r, at, z)));
    let (radius, at, z) = ends.into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some((radius, carry.to.put(at, z)))
}
