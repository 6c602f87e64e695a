//! A plate laid down: its outline on every face in closed form, `h n + k t` on the wall's parallel surface.

use crate::diag::Diagnostics;
use crate::flat::{Allowance, Bevel, Edge, Hole, Long, Notch, Panel};
use crate::geom::fit::{self, Limits, Run};
use crate::geom::parallel::{self, Looked, ParallelFault};
use crate::geom::path::Motion;
use crate::geom::rim::{Cut, Rim};
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Leg, Place, Stop, Walk};
use crate::geom::{Vec2, left_of, tol, trim};
use crate::num::{self, FRAC_PI_2, PI};
use crate::solid::{self, EdgeName, Onto, Part, Plate, Solid};

use super::{Fault, Knots, Made, edges, errors, notches, places, round_joint, traces, turn, turn_of};

/// Whether the wall's surface exists where it bounds the plate; says what does not.
pub(super) fn exists(part: &Part, plate: &Plate, diagnostics: &mut Diagnostics) -> bool {
    // The sides of a plate with corners were proved when its strip was made.
    if plate.sided {
        return true;
    }
    let walk = Walk::new(&plate.strip);
    let looked = Looked::new(&walk);
    for z in [plate.show, plate.hidden] {
        match looked.at_level(z, plate.depth) {
            Ok(()) => {}
            Err(ParallelFault::Corner { phi, z, more, .. }) => {
                diagnostics.push(errors::plate_corner(part, phi, z, more));
                return false;
            }
            Err(ParallelFault::Side { phi, z, length, .. }) => {
                diagnostics.push(errors::plate_side(part, phi, z, -length));
                return false;
            }
        }
    }
    true
}

/// From the section's plane to the flat, as seen on the show face with the front up the page.
pub(super) fn motion(plate: &Plate) -> Motion {
    if shows_up(plate) {
        Motion { mirror: false, turn: FRAC_PI_2, shift: Vec2::ZERO }
    } else {
        Motion { mirror: true, turn: -FRAC_PI_2, shift: Vec2::ZERO }
    }
}

pub(super) fn shows_up(plate: &Plate) -> bool {
    plate.show >= plate.hidden
}

/// The height of a depth within the plate's layers: the outermost face is the show face.
pub(super) fn height(part: &Part, plate: &Plate, depth: f64) -> f64 {
    let inner = part.layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
    let outer = part.layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max);
    if outer - inner < tol::SAME {
        return plate.show;
    }
    plate.hidden + (plate.show - plate.hidden) * (depth - inner) / (outer - inner)
}

/// Lays one layer of a plate down.
pub(super) fn panel(solid: &Solid, part: &Part, plate: &Plate, layer: usize, knots: &Knots) -> Made {
    if plate.sided {
        return super::sided::panel(solid, part, plate, layer);
    }
    let sheet = &part.layers[layer];
    let level = Cut::Level(plate.show);
    let walk = {
        let walk = Walk::new(&plate.strip);
        let turnovers = Rim::new(&Unrolled::new(&walk, 0.0), &level).turnovers();
        let turnovers: Vec<Stop> = turnovers.into_iter().map(Stop::Normal).collect();
        if turnovers.is_empty() { walk } else { Walk::with_cuts(&plate.strip, &turnovers) }
    };
    let motion = motion(plate);
    let onto = motion.ready();
    let up = shows_up(plate);
    let at_height = |z: f64| {
        let walk = &walk;
        move |at: Place| {
            let rule = walk.rule(at);
            let p = rule.point(z, plate.depth);
            let tangent = left_of(rule.facing);
            let radius = match &walk.legs()[at.leg] {
                Leg::Side { first, last } => last.support_at(z, plate.depth).1 - first.support_at(z, plate.depth).1,
                Leg::Turn { from, to, .. } => {
                    let r = parallel::radius(walk, at, z, plate.depth) * walk.turning(at);
                    if r.is_finite() { r } else { (to - from).signum() }
                }
            };
            (onto.apply(Vec2::new(p.x, p.y)), onto.apply_direction(tangent * radius))
        }
    };
    let heights = [sheet.inner, sheet.middle(), sheet.outer].map(|d| height(part, plate, d));
    let curves = heights.map(at_height);
    let runs = runs(&walk, !up);
    let joint = round_joint(solid, part.id, 0, EdgeName::Outline);
    let forced = joint.and_then(|j| knots.get(&j.id)).map_or(&[][..], Vec::as_slice);
    let neutral_z = height(part, plate, sheet.neutral);
    let long = walk.around(neutral_z, plate.depth);
    let rise = heights[2] - heights[0];
    // Greater heights are wider where the wall flares.
    let lean = |at: Place| num::atan(walk.rule(at).flare()) * rise.signum();
    let outermost: Vec<bool> = (0..walk.legs().len()).map(|leg| lean(Place { leg, t: 0.5 }) > 0.0).collect();
    let widest = |at: Place| curves[if outermost[at.leg] { 2 } else { 0 }](at);
    let narrowest = |at: Place| curves[if outermost[at.leg] { 0 } else { 2 }](at);
    let evals: [fit::Eval; 5] = [&curves[0], &curves[1], &curves[2], &widest, &narrowest];
    let ahead = |at: Place| onto.apply_direction(left_of(walk.rule(at).facing));
    let (least, most) = edges::range(walk.ends(), &lean);
    let upright = rise.abs() < tol::SAME || least.abs().max(most.abs()) < tol::SAME_ANGLE;
    // What is one curve is fitted once.
    let one_way = outermost.iter().all(|o| *o == outermost[0]);
    let (fits, of): (&[usize], [usize; 5]) = match (upright, one_way) {
        (true, _) => (&[1], [0; 5]),
        (false, true) if outermost[0] => (&[0, 1, 2], [0, 1, 2, 2, 0]),
        (false, true) => (&[0, 1, 2], [0, 1, 2, 0, 2]),
        (false, false) => (&[0, 1, 2, 3, 4], [0, 1, 2, 3, 4]),
    };
    let wanted: Vec<fit::Wanted> = fits
        .iter()
        .map(|&i| {
            let kept = trim::Curve { walk: &walk, at: evals[i], ahead: &ahead }.kept(walk.ends(), trim::Ends::Closed);
            fit::Wanted { at: evals[i], kept }
        })
        .collect();
    let fitted = fit::fit(&walk, &wanted, &runs, forced, &Limits::edge(long));
    let square = sheet.square || upright;
    let bevel = if square {
        Bevel::SQUARE
    } else {
        Bevel { least, most, shift: rise.abs() * num::tan(least.abs().max(most.abs())) }
    };
    // Seen from below, growing φ runs clockwise.
    let turned = |i: usize| {
        let p = fitted.path(of[i]);
        if up { p } else { p.reversed() }
    };
    let around = |d: f64| walk.around(height(part, plate, d), plate.depth);
    let mut edge = Edge {
        name: EdgeName::Outline,
        inside: turned(0),
        middle: turned(1),
        outside: turned(2),
        widest: turned(3),
        narrowest: turned(4),
        bevel,
        long: Long { inside: around(sheet.inner), neutral: long, outside: around(sheet.outer) },
        joints: joint.map(|j| j.id).into_iter().collect(),
        notches: Vec::new(),
        allowance: Allowance::None,
        turn: None,
    };
    if let Some(joint) = joint {
        for (number, &s) in joint.notches.iter().enumerate() {
            let Some((contact, at, level)) = notches::on_contact(solid, &joint.contact, s) else { continue };
            let Some(at) = notches::same_rule(&contact, at, &walk, level) else { continue };
            // Where the outline runs back along a side, its way on is still the side's.
            let (p, along) = (curves[1](at).0, ahead(at));
            let inward = left_of(along.normalize_or_zero());
            edge.notches.push(Notch { joint: joint.id, number, at: p, inward: if up { inward } else { -inward } });
        }
    }
    let mut faults = Vec::new();
    if let Some(asked) = turn_of(solid, part.id, 0, EdgeName::Outline) {
        // Beside the edge the sheet's middle stands off it as far as it lies off the hidden face.
        let off = (heights[1] - plate.hidden).abs();
        let off = if asked.onto == Onto::Bore { -off } else { off };
        let lies_on = (heights[1], plate.depth, off);
        let make = |wide: f64| turn::of_plate(&solid::Turn { wide, ..*asked }, &walk, &curves[1], lies_on, up);
        match make(asked.wide) {
            Ok(made) => edge.turn = Some(made),
            Err(turn::NoTab) => faults.push(Fault::NoTab(*asked, turn::fits(asked.wide, make))),
        }
        edge.bevel = Bevel::SQUARE;
    }
    let knots = vec![(EdgeName::Outline, fitted.knots.iter().map(|&k| walk.rule(k).phi).collect())];
    let panel = Panel {
        holes: holes(plate, &motion),
        places: places::on_plate(solid, part, layer, &motion),
        traces: traces::on_plate(solid, part, layer, &motion, core::slice::from_ref(&edge)),
        ..Panel::plain(part.id, layer, vec![edge], walk.area(neutral_z, plate.depth))
    };
    Made { panel, knots, faults }
}

/// The outline's runs: in the section's own plane circles about one axis are true arcs.
fn runs(walk: &Walk, mirrored: bool) -> Vec<Run> {
    let flat = Unrolled::new(walk, 0.0);
    let level = Cut::Level(walk.strip().heights().0);
    let (start, end) = walk.ends();
    let mut runs = Rim::new(&flat, &level).runs(start, end);
    for run in &mut runs {
        if let Run::Arc { from, to, sweep, half } = run {
            let (a, b) = (walk.rule(*from).phi, walk.rule(*to).phi);
            *sweep = if mirrored { a - b } else { b - a };
            *half = (sweep.abs() > PI).then(|| crate::geom::rim::halfway(walk, *from, *to));
        }
    }
    runs
}

pub(super) fn holes(plate: &Plate, onto: &Motion) -> Vec<Hole> {
    plate
        .holes
        .iter()
        .enumerate()
        .map(|(i, h)| {
            let outline = h.outline.moved(onto);
            let outline = if onto.mirror { outline.reversed() } else { outline };
            let centre = outline.bounds().map_or(Vec2::ZERO, |(lo, hi)| (lo + hi) * 0.5);
            Hole { hole: i, name: h.name.clone(), outline, centre }
        })
        .collect()
}
