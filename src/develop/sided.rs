//! A plate with corners laid down: every side an edge of its own, straight on each face.

use crate::flat::{Allowance, Bevel, Edge, Long, Notch, Panel};
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, Vec3, left_of, sided, tol};
use crate::ids::JointId;
use crate::num;
use crate::solid::{Contact, EdgeName, Joint, Part, Plate, Solid};

use super::{Made, joints_of, places, plate, traces};

/// Lays one layer of a plate with corners down.
pub(super) fn panel(solid: &Solid, part: &Part, one: &Plate, layer: usize) -> Made {
    let sheet = &part.layers[layer];
    let onto = plate::motion(one);
    let up = plate::shows_up(one);
    let sides = sided::sides(&one.strip);
    let n = sides.len();
    let heights = one.strip.heights();
    let z = |d: f64| plate::height(part, one, d);
    let lines = |d: f64| -> Vec<(f64, f64)> { sides.iter().map(|s| (s.phi, s.at(z(d), heights))).collect() };
    let [inside, middle, outside] = [sheet.inner, sheet.middle(), sheet.outer].map(lines);
    // A side whose bevel is not worth cutting is cut square at half depth: its neighbours' bevels end there.
    let both = |pick: fn(f64, f64) -> f64| -> Vec<(f64, f64)> {
        let one = |k: usize| {
            let (a, b) = (inside[k].1, outside[k].1);
            (inside[k].0, if (a - b).abs() < tol::SQUARE_CUT { middle[k].1 } else { pick(a, b) })
        };
        (0..n).map(one).collect()
    };
    let (widest, narrowest) = (both(f64::max), both(f64::min));
    let corners: Vec<Vec<Vec2>> =
        [&inside, &middle, &outside, &widest, &narrowest].map(|l| sided::corners(l)).into_iter().collect();
    let neutral = sided::corners(&lines(sheet.neutral));
    let rise = z(sheet.outer) - z(sheet.inner);
    let edge = |k: usize| {
        let line = |points: &[Vec2]| {
            let (a, b) = (onto.apply(points[k]), onto.apply(points[(k + 1) % n]));
            Path { segs: vec![if up { Seg::line(a, b) } else { Seg::line(b, a) }] }
        };
        let long = |points: &[Vec2]| points[k].distance(points[(k + 1) % n]);
        // Greater heights are wider where the sheet flares.
        let lean = num::atan((outside[k].1 - inside[k].1) / rise.abs().max(f64::MIN_POSITIVE));
        let square = sheet.square || rise.abs() < tol::SAME || lean.abs() < tol::SAME_ANGLE;
        let bevel = if square {
            Bevel::SQUARE
        } else {
            Bevel { least: lean, most: lean, shift: (outside[k].1 - inside[k].1).abs() }
        };
        let name = EdgeName::Side(k);
        let joints: Vec<&Joint> = joints_of(solid, part.id, 0, name).collect();
        let middle = line(&corners[1]);
        let notches_of = |joint: &&Joint| {
            let Contact::Line { from, to, .. } = joint.contact else { return Vec::new() };
            let on = |(number, s): (usize, &f64)| notch(part, &middle, (joint.id, number), place(from, to, *s), &onto);
            joint.notches.iter().enumerate().map(on).collect()
        };
        let notches: Vec<Notch> = joints.iter().flat_map(notches_of).collect();
        Edge {
            name,
            inside: line(&corners[0]),
            outside: line(&corners[2]),
            widest: line(&corners[3]),
            narrowest: line(&corners[4]),
            middle,
            bevel,
            long: Long { inside: long(&corners[0]), neutral: long(&neutral), outside: long(&corners[2]) },
            joints: joints.iter().map(|j| j.id).collect(),
            notches,
            allowance: Allowance::None,
            turn: None,
        }
    };
    // Seen from below, the way round runs clockwise.
    let edges: Vec<Edge> = if up { (0..n).map(edge).collect() } else { (0..n).rev().map(edge).collect() };
    let area = 0.5 * (0..n).map(|i| neutral[i].perp_dot(neutral[(i + 1) % n])).collect::<num::Sum>().value();
    let panel = Panel {
        holes: plate::holes(one, &onto),
        places: places::on_plate(solid, part, layer, &onto),
        traces: traces::on_plate(solid, part, layer, &onto, &edges),
        ..Panel::plain(part.id, layer, edges, area)
    };
    Made { panel, knots: Vec::new(), faults: Vec::new() }
}

/// The point a length along a joint's line.
fn place(from: Vec3, to: Vec3, s: f64) -> Vec3 {
    from + (to - from).normalize_or_zero() * s
}

/// The notch on an edge at the place nearest to a point of the prop.
fn notch(
    part: &Part,
    edge: &Path,
    (joint, number): (JointId, usize),
    at: Vec3,
    onto: &crate::geom::path::Motion,
) -> Notch {
    let p = onto.apply(part.place.seen(at).truncate());
    let s = edge.segs[0];
    let way = (s.b - s.a).normalize_or_zero();
    Notch { joint, number, at: s.a + way * (p - s.a).dot(way).clamp(0.0, s.a.distance(s.b)), inward: left_of(way) }
}
