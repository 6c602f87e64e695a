//! Masses and where they lie.

use std::collections::BTreeMap;

use super::Given;
use crate::design::{Hand, Kind};
use crate::fitted::Run;
use crate::geom::Vec3;
use crate::geom::walk::Walk;
use crate::ids::PartId;
use crate::ledger::{Entry, Weight, What};
use crate::num::Sum;
use crate::piece::Piece;
use crate::skin::leaf::Formed;
use crate::skin::{self, Depths, Skin};
use crate::solid::{Body, Part, Ring, Seam, Solid, Wall};
use crate::threads;

/// Masses at their places, added up.
#[derive(Clone, Copy, Debug, Default)]
struct Heap {
    mass: Sum,
    moment: [Sum; 3],
}

impl Heap {
    fn add(&mut self, mass: f64, at: Vec3) {
        self.mass.add(mass);
        for (sum, x) in self.moment.iter_mut().zip([at.x, at.y, at.z]) {
            sum.add(mass * x);
        }
    }

    fn centre(&self) -> Option<Vec3> {
        let mass = self.mass.value();
        let [x, y, z] = self.moment.map(Sum::value);
        (mass > 0.0).then(|| Vec3::new(x, y, z) / mass)
    }
}

/// The mirror image on the other side of the prop.
pub(super) fn mirrored(p: Vec3) -> Vec3 {
    Vec3::new(p.x, -p.y, p.z)
}

/// Everything that has a mass.
pub(super) fn entries(given: &Given<'_>) -> Vec<Entry> {
    let solid = given.solid;
    let mut pieces: BTreeMap<PartId, Vec<&Piece>> = BTreeMap::new();
    for piece in &given.pieces.pieces {
        pieces.entry(piece.part).or_default().push(piece);
    }
    let none = Vec::new();
    let one = |p: &Part| sheet(given, p, pieces.get(&p.id).unwrap_or(&none));
    let mut out: Vec<Entry> =
        if given.middles { threads::each(&solid.parts, one) } else { solid.parts.iter().map(one).collect() };
    let fitted = &solid.fitted;
    for run in &fitted.runs {
        let twins = if run.pair { 2 } else { 1 };
        let mass = solid.mass_of_run(run).map(|m| m * twins as f64);
        out.push(Entry {
            thing: run.thing,
            name: run.name.clone(),
            what: What::Run,
            count: run.rows * twins,
            pair: run.pair,
            mass,
            centre: twice(middle(run), run.pair),
        });
    }
    for lump in &fitted.lumps {
        let twins = if lump.pair { 2 } else { 1 };
        let mass = solid.mass_of_lump(lump).map(|m| m * twins as f64);
        let mut heap = Heap::default();
        lump.at.iter().for_each(|p| heap.add(1.0, *p));
        out.push(Entry {
            thing: lump.thing,
            name: lump.name.clone(),
            what: if lump.contents { What::Contents } else { What::Lump },
            count: lump.at.len() * twins,
            pair: lump.pair,
            mass,
            centre: twice(heap.centre().unwrap_or_default(), lump.pair),
        });
    }
    for coat in &fitted.coats {
        let mut heap = Heap::default();
        for face in &coat.faces {
            heap.add(face.area, face.middle);
            if face.pair {
                heap.add(face.area, mirrored(face.middle));
            }
        }
        out.push(Entry {
            thing: coat.thing,
            name: coat.name.clone(),
            what: What::Coat,
            count: coat.coats,
            pair: coat.faces.iter().any(|f| f.pair),
            mass: super::coats::dry(&fitted.supplies[coat.supply]).map(|m| m * coat.area() * coat.coats as f64),
            centre: heap.centre().unwrap_or_default(),
        });
    }
    out
}

/// Half-way to the mirror image, for one that has it.
fn twice(p: Vec3, pair: bool) -> Vec3 {
    if pair { 0.5 * (p + mirrored(p)) } else { p }
}

/// A sheet part: the mass of its pieces, at the middle of its surface.
fn sheet(given: &Given<'_>, part: &Part, pieces: &[&Piece]) -> Entry {
    let mut heap = Heap::default();
    let mass: Option<f64> = pieces.iter().map(|p| p.mass).sum();
    // The pieces of each panel: halves of one that was split, and both hands.
    let mut panels: BTreeMap<_, Vec<&Piece>> = BTreeMap::new();
    for piece in pieces {
        panels.entry((piece.panel, piece.hand == Some(Hand::Right))).or_default().push(piece);
    }
    for ((panel, right), own) in panels {
        let panel = &given.flat.panels[panel.index()];
        let Some(mass) = own.iter().map(|p| p.mass).sum::<Option<f64>>().filter(|_| given.middles) else { continue };
        let area: f64 = own.iter().map(|p| p.area).sum();
        for (share, at) in middles(given.solid, part, panel.ring, panel.layer, area) {
            let at = part.place.apply(at);
            heap.add(mass * share, if right { mirrored(at) } else { at });
        }
    }
    Entry {
        thing: part.thing,
        name: part.name.clone(),
        what: What::Sheet,
        count: if part.pair { 2 } else { 1 },
        pair: part.pair,
        mass: mass.filter(|_| !pieces.is_empty()),
        centre: heap.centre().unwrap_or_default(),
    }
}

/// Where the mass of one panel of a part lies, in the part's frame: shares of it and their places.
fn middles(solid: &Solid, part: &Part, ring: usize, layer: usize, area: f64) -> Vec<(f64, Vec3)> {
    let tabs = if ring == 0 { skin::tabs::turned_out(solid, part) } else { Skin::default() };
    let layer = &part.layers[layer];
    match &part.body {
        Body::Plate(plate) => {
            vec![(1.0, skin::plate(plate, skin::layer_height(plate, &part.layers, layer)).centre())]
        }
        Body::Folded(wall) => {
            // Folded, its faces lie against each other as mitred panels do.
            let faces: Vec<Skin> = wall
                .plates()
                .map(|(frame, plate)| {
                    skin::plate(&plate, skin::layer_height(&plate, &part.layers, layer)).placed(&frame)
                })
                .collect();
            let whole: f64 = faces.iter().map(|f| f.area).sum();
            faces.iter().map(|f| (f.area / whole, f.centre())).collect()
        }
        Body::Leaf(leaf) => {
            // Half of what a bevel takes away lies on either side of half depth.
            vec![(1.0, Formed::new(leaf).skin(layer.middle(), layer.middle()).centre())]
        }
        Body::Wall(wall) => {
            // Of one that is formed all rings are one piece, and its sheet is thinner where it is stretched.
            let (rings, skin) = match &wall.formed {
                Some(formed) => {
                    let (area, up) = formed.sheet();
                    (&wall.rings[..], Skin { area, moment: Vec3::Z * up })
                }
                None => (
                    &wall.rings[ring..=ring],
                    skin::wall(wall, &wall.rings[ring], layer.middle(), Depths::sheet(layer)),
                ),
            };
            // What is folded out round the foot is known; the rest of what a piece has more is beside the seam.
            let skin = skin.and(tabs);
            match beyond(wall, rings, layer.neutral) {
                Some(at) if skin.area < area => {
                    let own = skin.area / area;
                    vec![(own, skin.centre()), (1.0 - own, at)]
                }
                _ => vec![(1.0, skin.centre())],
            }
        }
    }
}

/// The middle of what a lap or tabs add beyond the seam: along the seam's rule, half of the width on.
fn beyond(wall: &Wall, rings: &[Ring], neutral: f64) -> Option<Vec3> {
    let (Seam::Lap(wide) | Seam::Tabs(wide)) = wall.seam else { return None };
    let strips = rings.iter().flat_map(|r| &wall.strips[r.strips.clone()]);
    let mut skin = Skin::default();
    for strip in strips {
        let walk = Walk::new(strip);
        let rule = walk.rule(walk.ends().1);
        let (z0, z1) = strip.heights();
        let middle = rule.point(0.5 * (z0 + z1), neutral) + rule.tangent() * (0.5 * wide);
        let long = (z1 - z0) * rule.secant();
        skin = skin.and(Skin { area: long, moment: middle * long });
    }
    Some(skin.centre())
}

/// The middle of a run's line, by length.
fn middle(run: &Run) -> Vec3 {
    let mut heap = Heap::default();
    for pair in run.line.windows(2) {
        heap.add((pair[1] - pair[0]).length(), 0.5 * (pair[0] + pair[1]));
    }
    heap.centre().or(run.line.first().copied()).unwrap_or_default()
}

/// What would weigh something and is not there, by name.
pub(super) fn unbuilt(given: &Given<'_>) -> Vec<String> {
    let weighs = |k: Kind| {
        matches!(
            k,
            Kind::Shell
                | Kind::Dome
                | Kind::Plate
                | Kind::Cap
                | Kind::Keel
                | Kind::Core
                | Kind::Border
                | Kind::Lacing
                | Kind::Cover
                | Kind::Attachment
                | Kind::Strap
                | Kind::Closure
                | Kind::Articulation
                | Kind::Contents
                | Kind::Finish
        )
    };
    let names = &given.solid.job.unbuilt;
    let things = given.design.things.iter().filter(|t| weighs(t.kind)).map(|t| t.name.to_string());
    things.filter(|n| names.contains(n)).map(|n| format!("{n} (not built yet)")).collect()
}

/// With or without what is carried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Load {
    Empty,
    Full,
}

/// Everything together.
pub(super) fn sum(entries: &[Entry], unbuilt: &[String], load: Load) -> Weight {
    let mut heap = Heap::default();
    let mut missing: Vec<String> = Vec::new();
    for entry in entries.iter().filter(|e| load == Load::Full || e.what != What::Contents) {
        match entry.mass {
            Some(mass) => heap.add(mass, entry.centre),
            None if !missing.contains(&entry.name) => missing.push(entry.name.clone()),
            None => {}
        }
    }
    missing.extend(unbuilt.iter().cloned());
    Weight { mass: heap.mass.value(), centre: heap.centre(), missing }
}
