//! What the key says about edges: plain names, who is met, bevels in words.

use std::borrow::Cow;

use crate::design::Face;
use crate::flat;
use crate::geom::tol;
use crate::ids::{JointId, PartId};
use crate::solid::{Body, EdgeName, EdgeRef, Gap, Joint, Layer, Leaf, Onto, Part, Rim, Seam, Solid};

/// The longest radius that is drawn with a compass when no cutter says otherwise, mm (the schema's default).
pub(super) const COMPASS: f64 = 500.0;

/// An edge's name as a maker would say it, for the piece as it lies.
pub(super) fn plain(edge: EdgeName, mirrored: bool) -> Cow<'static, str> {
    Cow::Borrowed(match (edge, mirrored) {
        (EdgeName::Lower, _) => "bottom",
        (EdgeName::Upper, _) => "top",
        (EdgeName::Begin, false) | (EdgeName::End, true) => "seam left side",
        (EdgeName::End, false) | (EdgeName::Begin, true) => "seam right side",
        (EdgeName::Outline, _) => "rim",
        (EdgeName::Cut, _) => "cut in two",
        (EdgeName::Side(k), _) => return Cow::Owned(format!("side {}", k + 1)),
        (EdgeName::Foot(k), _) => return Cow::Owned(format!("bottom of face {}", k + 1)),
        (EdgeName::Head(k), _) => return Cow::Owned(format!("top of face {}", k + 1)),
    })
}

/// The joint of an edge, and in words what it meets there.
pub(super) fn meeting(solid: &Solid, id: JointId, here: EdgeRef, mirrored: bool) -> Option<(&Joint, String)> {
    let joint = solid.joints.iter().find(|j| j.id == id)?;
    let other = if joint.a == here { joint.b } else { joint.a };
    let text = if other.part == here.part && other.ring == here.ring {
        format!("its own {}", plain(other.edge, mirrored))
    } else {
        format!("{} {}", ring_name(solid, other.part, other.ring), plain(other.edge, mirrored))
    };
    Some((joint, text))
}

/// `body`, or `body ring 2` when the part has several.
pub(super) fn ring_name(solid: &Solid, part: PartId, ring: usize) -> String {
    let Some(p) = solid.parts.iter().find(|p| p.id == part) else { return String::from("its partner") };
    match &p.body {
        crate::solid::Body::Wall(w) if w.cut().rings.len() > 1 => format!("{} ring {}", p.name, ring + 1),
        _ => p.name.clone(),
    }
}

fn face_name(face: Face) -> &'static str {
    if face == Face::Inside { "inside face" } else { "outside face" }
}

/// Degrees to the nearest half, as finely as a blade is tilted by hand (common practice, no source): "22.5", "12". A
/// quarter is rounded alike on both edges of a joint, whatever their last digits are.
fn half_degrees(angle: f64) -> f64 {
    0.5 * (2.0 * angle.to_degrees() + 1e-6 * angle.signum()).round()
}

/// "12° long outside", "3–9.5° long inside", "square", "cut square (a bevel of 1° moves the line 0.1 mm)".
pub(super) fn bevel(b: &flat::Bevel) -> String {
    let (lo, hi) = (half_degrees(b.least.min(b.most)), half_degrees(b.least.max(b.most)));
    if b.shift < tol::SQUARE_CUT {
        let steepest = b.least.abs().max(b.most.abs()).to_degrees();
        if b.shift < 0.01 || steepest < 0.05 {
            return String::from("square");
        }
        return format!("cut square (a bevel of {steepest:.1}° moves the line {:.1} mm)", b.shift.max(0.1));
    }
    if lo >= 0.0 {
        if lo == hi { format!("{hi}° long outside") } else { format!("{lo}–{hi}° long outside") }
    } else if hi <= 0.0 {
        let (lo, hi) = (-hi + 0.0, -lo);
        if lo == hi { format!("{hi}° long inside") } else { format!("{lo}–{hi}° long inside") }
    } else {
        format!("{}° long inside to {hi}° long outside", -lo)
    }
}

/// The bevel of a leaf's layer with its width: "17° long inside; 3 mm wide", "63° from both faces; 12 mm wide".
pub(super) fn leaf(said: String, b: &flat::Bevel, leaf: &Leaf, layer: &Layer) -> String {
    if b.shift < tol::SQUARE_CUT {
        return said;
    }
    let wide = (b.shift * 10.0).round() / 10.0;
    if leaf.taper.is_within(layer) {
        format!("{}° from both faces; {wide} mm wide", half_degrees(b.most))
    } else {
        format!("{said}; {wide} mm wide")
    }
}

/// "; ends 41.2 mm short of the point": of the strip behind the seam of a wall that is drawn together; else nothing.
pub(super) fn short_of_point(part: &Part, ring: usize, edge: EdgeName) -> String {
    let Body::Wall(wall) = &part.body else { return String::new() };
    let (Seam::Open(Gap::Leaves(_)), Some(ring)) = (wall.seam, wall.rings.get(ring)) else { return String::new() };
    let (rim, point) = match edge {
        EdgeName::Lower => (ring.lower, wall.strips[ring.strips.start].heights().0),
        EdgeName::Upper => (ring.upper, wall.strips[ring.strips.end - 1].heights().1),
        _ => return String::new(),
    };
    let Rim::At(z) = rim else { return String::new() };
    format!("; ends {:.1} mm short of the point", (point - z).abs())
}

/// "; turned 22 mm over the edge, 14 cuts", "; not turned over: it lies in a bore", or nothing.
pub(super) fn turn(solid: &Solid, here: EdgeRef, edge: &flat::Edge) -> String {
    let Some(turn) = &edge.turn else {
        let why = solid.turns.iter().find(|t| t.at == here).map(|t| t.onto);
        return if let Some(Onto::Not(why)) = why { format!("; not turned over: {why}") } else { String::new() };
    };
    let wide = (turn.wide * 10.0).round() / 10.0;
    let cuts = match turn.cuts.len() {
        0 => String::new(),
        1 => String::from(", 1 cut"),
        n => format!(", {n} cuts"),
    };
    match turn.glued {
        Some(face) => format!("; glue tabs {wide} mm {}, glue on the {}{cuts}", turn.onto, face_name(face)),
        None => format!("; turned {wide} mm {}{cuts}", turn.onto),
    }
}

/// "; 9 teeth, 24 mm deep", or nothing.
pub(super) fn figure(part: &Part, here: EdgeRef) -> String {
    let Body::Wall(wall) = &part.body else { return String::new() };
    let rim = match (here.edge, wall.rings.get(here.ring)) {
        (EdgeName::Lower, Some(ring)) => ring.lower,
        (EdgeName::Upper, Some(ring)) => ring.upper,
        _ => return String::new(),
    };
    let Rim::Shaped { upper } = rim else { return String::new() };
    let Some(named) = wall.figure(upper).map(|f| f.named) else { return String::new() };
    let what = match (named.several, named.count) {
        ("", _) => "; a curve".to_owned(),
        (_, 1) => format!("; 1 {}", named.one),
        (several, n) => format!("; {n} {several}"),
    };
    format!("{what}, {} mm deep", (named.rise * 10.0).round() / 10.0)
}

/// "; 9 tongues, 7.9 mm from notch to tip", or nothing.
pub(super) fn tongues(part: &Part, here: EdgeRef) -> String {
    let Body::Wall(wall) = &part.body else { return String::new() };
    let upper = match here.edge {
        EdgeName::Lower => false,
        EdgeName::Upper => true,
        _ => return String::new(),
    };
    let Some(row) = wall.scalloped(here.ring, upper) else { return String::new() };
    format!("; {} tongues, {} mm from notch to tip", row.count, (row.rise * 10.0).round() / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bevels_are_said_in_half_degrees_with_the_long_face() {
        let b =
            |least: f64, most: f64, shift| flat::Bevel { least: least.to_radians(), most: most.to_radians(), shift };
        assert_eq!(bevel(&b(12.1, 12.2, 1.0)), "12° long outside");
        assert_eq!(bevel(&b(12.1, 12.3, 1.0)), "12–12.5° long outside");
        assert_eq!(bevel(&b(3.0, 9.0, 1.0)), "3–9° long outside");
        assert_eq!(bevel(&b(22.5 - 1e-9, 22.5 + 1e-9, 1.0)), "22.5° long outside");
        assert_eq!(bevel(&b(22.75 - 1e-9, 22.75 + 1e-9, 1.0)), "23° long outside");
        assert_eq!(bevel(&b(-9.0, -3.0, 1.0)), "3–9° long inside");
        assert_eq!(bevel(&b(-4.0, 6.0, 1.0)), "4° long inside to 6° long outside");
        assert_eq!(bevel(&flat::Bevel::SQUARE), "square");
        assert_eq!(bevel(&b(1.1, 1.1, 0.1)), "cut square (a bevel of 1.1° moves the line 0.1 mm)");
    }
}
