//! The solid of the mock-up: to scale, of its card, without the goods that are not bought.

use super::Scale;
use super::glue;
use crate::diag::Diagnostics;
use crate::fitted::{Fitted, Ground, Spot};
use crate::geom::plane::Plane;
use crate::solid::{
    Body, Claim, Contact, Course, Faced, Fold, Folded, Form, Frame, Gap, Hole, Joint, Layer, Leaf, MockUp, OfForm,
    OfKeel, OfPanels, OfSeen, Onto, Part, Plate, PlateHole, Rim, Ring, Scallops, Seam, Size, Solid, Station, Stock,
    Stroke, Taper, Trace, Turn, Wall,
};

/// The mock-up of what was shaped from its design: `card` is its stock at its true thickness; `settings` are the prop's.
#[must_use]
pub fn made(
    solid: Solid,
    scale: &Scale,
    settings: Vec<(String, String)>,
    without: Vec<String>,
    card: &Stock,
) -> (Solid, Diagnostics) {
    let k = scale.ratio();
    let mock = MockUp { scale: scale.text().to_owned(), ratio: k, card: card.name.clone(), without };
    let mut used: Vec<usize> = solid.parts.iter().flat_map(|p| p.layers.iter().map(|l| l.stock)).collect();
    used.sort_unstable();
    used.dedup();
    let index = |stock: usize| used.iter().position(|u| *u == stock).unwrap_or(0);
    let stock = |i: &usize| if solid.stocks[*i].thing == card.thing { card.clone() } else { solid.stocks[*i].clone() };
    let stocks = used.iter().map(stock).collect();
    let mut job = solid.job;
    job.title = format!("MOCK-UP {}: {}", mock.scale, job.title);
    job.mock_up = Some(mock);
    job.settings = settings;
    let fitted = Fitted {
        spots: solid.fitted.spots.into_iter().map(|s| spot(s, k)).collect(),
        patches: solid.fitted.patches,
        ..Fitted::default()
    };
    let mut out = Solid {
        job,
        stocks,
        parts: solid.parts.into_iter().map(|p| part(p, k, &index)).collect(),
        joints: solid.joints.into_iter().map(|j| joint(j, k)).collect(),
        traces: solid.traces.into_iter().map(|t| trace(t, k)).collect(),
        turns: solid.turns.into_iter().map(|t| turn(t, k)).collect(),
        fitted,
        // Card is cut square: it has no bevel to be measured.
        claims: solid
            .claims
            .into_iter()
            .filter(|c| !matches!(c.size, Size::Bevelled { .. }))
            .map(|c| Claim { size: size(c.size, k), ..c })
            .collect(),
        // Card stands where it is glued: what gets through is asked of the prop.
        passages: Vec::new(),
    };
    let faults = glue::glue(&mut out);
    (out, faults)
}

fn spot(spot: Spot, k: f64) -> Spot {
    let on = match spot.on {
        Ground::Wall { strip, rule, z } => Ground::Wall { strip, rule: rule.scaled(k), z: z * k },
        Ground::Plate { centre } => Ground::Plate { centre: centre * k },
        Ground::Face { face, centre } => Ground::Face { face, centre: centre * k },
        Ground::Leaf { at } => Ground::Leaf { at: at * k },
    };
    Spot { on, outline: spot.outline.scaled(k), hollow: spot.hollow.map(|h| h.scaled(k)), ..spot }
}

/// Card is too thin to be grooved, and a score would let it fold: a mark is drawn on it, and only folds are scored.
fn trace(trace: Trace, k: f64) -> Trace {
    if let Course::Fold(_) = trace.course {
        return Trace { deep: trace.deep.map(|d| d * k), long: trace.long * k, ..trace };
    }
    Trace { stroke: Stroke::Line, deep: None, course: trace.course.scaled(k), long: trace.long * k, ..trace }
}

fn part(part: Part, k: f64, index: &dyn Fn(usize) -> usize) -> Part {
    let layer = |l: Layer| Layer {
        stock: index(l.stock),
        inner: l.inner * k,
        neutral: l.neutral * k,
        outer: l.outer * k,
        // A knife held upright: card has no edge to bevel.
        square: true,
    };
    let body = match part.body {
        Body::Wall(w) => Body::Wall(wall(w, k)),
        Body::Plate(p) => Body::Plate(plate(p, k)),
        Body::Leaf(l) => Body::Leaf(leaf(l, k)),
        Body::Folded(f) => Body::Folded(folded(f, k)),
    };
    let place = Frame { origin: part.place.origin * k, ..part.place };
    Part { layers: part.layers.into_iter().map(layer).collect(), body, place, ..part }
}

fn wall(wall: Wall, k: f64) -> Wall {
    let rim = |rim: Rim| match rim {
        Rim::At(z) => Rim::At(z * k),
        Rim::Closed(z) => Rim::Closed(z * k),
        Rim::Plane(plane) => Rim::Plane(Plane { at: plane.at * k, ..plane }),
        Rim::PlaneSquare(plane) => Rim::PlaneSquare(Plane { at: plane.at * k, ..plane }),
        Rim::Level | Rim::Square | Rim::Mitre(_) | Rim::Shaped { .. } => rim,
    };
    let ring = |r: Ring| Ring { lower: rim(r.lower), upper: rim(r.upper), ..r };
    let hole = |h: Hole| Hole { rule: h.rule.scaled(k), z: h.z * k, outline: h.outline.scaled(k), ..h };
    Wall {
        strips: wall.strips.iter().map(|s| s.scaled(k)).collect(),
        rings: wall.rings.into_iter().map(ring).collect(),
        seam: seam(wall.seam, k),
        holes: wall.holes.into_iter().map(hole).collect(),
        scallops: wall.scallops.map(|s| Scallops { rise: s.rise * k, ..s }),
        figures: wall.figures.map(|f| f.map(|f| Box::new(f.scaled(k)))),
        // Card does not stretch, and its rings are drawn one by one.
        formed: None,
        ..wall
    }
}

fn seam(seam: Seam, k: f64) -> Seam {
    match seam {
        Seam::Lap(mm) => Seam::Lap(mm * k),
        Seam::Tabs(mm) => Seam::Tabs(mm * k),
        Seam::Backed(mm) => Seam::Backed(mm * k),
        Seam::Open(g) => Seam::Open(gap(g, k)),
        Seam::Butt => Seam::Butt,
    }
}

fn gap(gap: Gap, k: f64) -> Gap {
    match gap {
        Gap::Length(mm) => Gap::Length(mm * k),
        Gap::Leaves(mm) => Gap::Leaves(mm * k),
        Gap::Over { depth, length, share } => Gap::Over { depth: depth * k, length: length * k, share },
        Gap::Angle(_) | Gap::Share(_) => gap,
    }
}

fn plate(plate: Plate, k: f64) -> Plate {
    let hole = |h: PlateHole| PlateHole { outline: h.outline.scaled(k), ..h };
    Plate {
        strip: plate.strip.scaled(k),
        depth: plate.depth * k,
        show: plate.show * k,
        hidden: plate.hidden * k,
        holes: plate.holes.into_iter().map(hole).collect(),
        ..plate
    }
}

/// Card is scored, not grooved: all of it is bent.
fn folded(wall: Folded, k: f64) -> Folded {
    let (inner, outer) = wall.faces_at();
    let face =
        |f: Faced| Faced { frame: Frame { origin: f.frame.origin * k, ..f.frame }, plate: plate(f.plate, k), ..f };
    Folded {
        faces: wall.faces.into_iter().map(face).collect(),
        folds: wall.folds.into_iter().map(|f| Fold { skin: (outer - inner) * k, ..f }).collect(),
        holes: wall.holes.into_iter().map(|(i, h)| (i, PlateHole { outline: h.outline.scaled(k), ..h })).collect(),
        seam: seam(wall.seam, k),
    }
}

fn leaf(leaf: Leaf, k: f64) -> Leaf {
    let hole = |h: PlateHole| PlateHole { outline: h.outline.scaled(k), ..h };
    Leaf {
        form: match leaf.form {
            Form::Flat => Form::Flat,
            Form::Bent { strip, rule, z } => Form::Bent { strip: strip.scaled(k), rule: rule.scaled(k), z: z * k },
        },
        measured: leaf.measured * k,
        outline: leaf.outline.scaled(k),
        taper: Taper { from: leaf.taper.from * k, ..leaf.taper },
        holes: leaf.holes.into_iter().map(hole).collect(),
    }
}

fn joint(joint: Joint, k: f64) -> Joint {
    let contact = match joint.contact {
        Contact::Round { part, strip, z, depth } => Contact::Round { part, strip, z: z * k, depth: depth * k },
        Contact::Rim { part, ring, upper, depth, other } => {
            Contact::Rim { part, ring, upper, depth: depth * k, other: other * k }
        }
        Contact::Line { from, to, lapped } => Contact::Line { from: from * k, to: to * k, lapped },
        Contact::Along { part, ring, depth } => Contact::Along { part, ring, depth: depth * k },
    };
    Joint { contact, notches: joint.notches.iter().map(|n| n * k).collect(), ..joint }
}

fn turn(turn: Turn, k: f64) -> Turn {
    let onto = match turn.onto {
        Onto::Back { near, far } => Onto::Back { near: near * k, far: far * k },
        Onto::Next { strip, far } => Onto::Next { strip, far: far * k },
        Onto::Beyond { edge, own, there, far } => Onto::Beyond { edge, own: own * k, there: there * k, far: far * k },
        Onto::Across | Onto::Side | Onto::Bore | Onto::Ground { .. } | Onto::Not(_) => turn.onto,
    };
    Turn { wide: turn.wide * k, onto, ..turn }
}

fn size(size: Size, k: f64) -> Size {
    match size {
        Size::Around { z, depth, mm } => Size::Around { z: z * k, depth: depth * k, mm: mm * k },
        Size::Across { z, depth, direction, mm } => Size::Across { z: z * k, depth: depth * k, direction, mm: mm * k },
        // Angles are what they are.
        Size::Faces { .. } | Size::Turned { .. } => size,
        Size::Keel { other, wall, strip, facing, z, depth, size } => {
            let size = match size {
                OfKeel::Wide(mm) => OfKeel::Wide(mm * k),
                OfKeel::Rise(mm) => OfKeel::Rise(mm * k),
                OfKeel::Long(mm) => OfKeel::Long(mm * k),
                OfKeel::Stands { off } => OfKeel::Stands { off: off * k },
            };
            Size::Keel { other, wall, strip, facing, z: z * k, depth: depth * k, size }
        }
        Size::Panels { at, axis, depth, size } => {
            let size = match size {
                OfPanels::Around(mm) => OfPanels::Around(mm * k),
                OfPanels::Across { way, mm } => OfPanels::Across { way, mm: mm * k },
                OfPanels::Tall(mm) => OfPanels::Tall(mm * k),
                OfPanels::Sunk(mm) => OfPanels::Sunk(mm * k),
            };
            Size::Panels { at: at * k, axis, depth: depth * k, size }
        }
        Size::Seen { plane, size } => {
            let size = match size {
                OfSeen::Around(mm) => OfSeen::Around(mm * k),
                OfSeen::Across { direction, mm } => OfSeen::Across { direction, mm: mm * k },
            };
            Size::Seen { plane: Plane { at: plane.at * k, ..plane }, size }
        }
        Size::Tall { mm } => Size::Tall { mm: mm * k },
        Size::Wide { facing, depth, mm } => Size::Wide { facing, depth: depth * k, mm: mm * k },
        Size::Formed { station, size } => {
            let size = match size {
                OfForm::Around(mm) => OfForm::Around(mm * k),
                OfForm::Across(mm) => OfForm::Across(mm * k),
                OfForm::Tall(mm) => OfForm::Tall(mm * k),
            };
            Size::Formed { station, size }
        }
        Size::Thick { mm } => Size::Thick { mm: mm * k },
        Size::Gap(g) => Size::Gap(gap(g, k)),
        Size::Allowance { mm } => Size::Allowance { mm: mm * k },
        Size::Hole { hole, level, facing, across, up } => {
            Size::Hole { hole, level: level * k, facing, across: across * k, up: up * k }
        }
        Size::PlateHole { hole, centre, across, by } => {
            Size::PlateHole { hole, centre: centre * k, across: across * k, by: by * k }
        }
        Size::Outline { across, up } => Size::Outline { across: across * k, up: up * k },
        Size::Flange { round, wide } => Size::Flange { round, wide: wide * k },
        Size::Tabs { wide } => Size::Tabs { wide: wide * k },
        Size::Bent { mm } => Size::Bent { mm: mm * k },
        Size::Bevelled { mm, both } => Size::Bevelled { mm: mm * k, both },
        Size::Row { hole, edge, across, margin, along, beyond } => {
            Size::Row { hole, edge, across: across * k, margin: margin * k, along: along * k, beyond: beyond * k }
        }
        Size::Sunk { mm } => Size::Sunk { mm: mm * k },
        Size::Clearance { mm, over } => Size::Clearance { mm: mm * k, over },
        Size::RimLong { mm } => Size::RimLong { mm: mm * k },
        Size::Scallops { count, rise, wide, facing, depth } => {
            Size::Scallops { count, rise: rise * k, wide: wide * k, facing, depth: depth * k }
        }
        Size::Shaped { ring, upper, count, rise, crest, station } => {
            let station = Station { z: station.z * k, down: station.down * k, ..station };
            Size::Shaped { ring, upper, count, rise: rise * k, crest, station }
        }
        Size::Passes { z, depth, narrow, mm, spread } => {
            Size::Passes { z: z * k, depth: depth * k, narrow: narrow * k, mm: mm * k, spread: spread * k }
        }
        Size::Through { hole, narrow, mm } => Size::Through { hole, narrow: narrow * k, mm: mm * k },
        Size::Patch { across, up } => Size::Patch { across: across * k, up: up * k },
    }
}
