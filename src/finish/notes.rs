//! What the key says about edges: plain names, who is met, bevels in words, and offsets tables for arcs that no
//! compass reaches.

use crate::flat;
use crate::geom::path::Seg;
use crate::geom::tol;
use crate::ids::{JointId, PartId};
use crate::piece::{Offsets, Run};
use crate::solid::{EdgeName, EdgeRef, Joint, Solid};

/// The longest radius that is drawn with a compass when no cutter says otherwise, mm (the schema's default).
pub(super) const COMPASS: f64 = 500.0;

/// An edge's name as a maker would say it, for the piece as it lies.
pub(super) fn plain(edge: EdgeName, mirrored: bool) -> &'static str {
    match (edge, mirrored) {
        (EdgeName::Lower, _) => "bottom",
        (EdgeName::Upper, _) => "top",
        (EdgeName::Begin, false) | (EdgeName::End, true) => "seam left side",
        (EdgeName::End, false) | (EdgeName::Begin, true) => "seam right side",
        (EdgeName::Outline, _) => "rim",
        (EdgeName::Cut, _) => "cut in two",
    }
}

/// The joint of an edge, and in words what it meets there.
pub(super) fn meeting(
    solid: &Solid,
    joint: Option<JointId>,
    here: EdgeRef,
    mirrored: bool,
) -> Option<(&Joint, String)> {
    let id = joint?;
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
        crate::solid::Body::Wall(w) if w.rings.len() > 1 => format!("{} ring {}", p.name, ring + 1),
        _ => p.name.clone(),
    }
}

/// "12° long outside", "3–9° long inside", "square", "cut square (a bevel of 1° moves the line 0.1 mm)".
pub(super) fn bevel(b: &flat::Bevel) -> String {
    let (lo, hi) = (b.least.min(b.most).to_degrees().round(), b.least.max(b.most).to_degrees().round());
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

/// Offsets tables for every arc of the contour with a radius past `compass`; arcs that go on along one circle are
/// one arc.
pub(super) fn offsets(runs: &[Run], compass: f64) -> Vec<Offsets> {
    let mut tables = Vec::new();
    for run in runs {
        let Some(edge) = run.edge else { continue };
        let mut arcs: Vec<Seg> = Vec::new();
        for s in &run.path.segs {
            if let Some(last) = arcs.last_mut()
                && let Some(joined) = join(last, s)
            {
                *last = joined;
            } else {
                arcs.push(*s);
            }
        }
        let long = arcs.iter().filter(|s| s.bulge != 0.0 && s.radius() > compass);
        tables.extend(long.map(|s| table(edge, s)));
    }
    tables
}

/// One arc for two that go on along the same circle, within what rounding can do to them.
fn join(p: &Seg, q: &Seg) -> Option<Seg> {
    let (r, s) = (p.radius(), q.radius());
    if p.bulge == 0.0 || q.bulge == 0.0 || p.bulge.signum() != q.bulge.signum() || (r - s).abs() > 1e-3 * r {
        return None;
    }
    let sweep = p.sweep() + q.sweep();
    if sweep.abs() > crate::num::PI {
        return None;
    }
    let both = Seg { a: p.a, b: q.b, bulge: crate::num::tan(sweep * 0.25) };
    (both.nearest(p.b).0.distance(p.b) <= tol::ARC_FIT).then_some(both)
}

/// Rises above the chord: with x from the chord's middle, `sqrt(R² − x²) − sqrt(R² − c²/4)`.
fn table(edge: EdgeName, arc: &Seg) -> Offsets {
    let (radius, chord) = (arc.radius(), arc.a.distance(arc.b));
    let step = [10.0, 25.0, 50.0, 100.0, 250.0, 1000.0].into_iter().find(|s| chord / s <= 12.0).unwrap_or(chord / 12.0);
    let half = 0.5 * chord;
    let mut places: Vec<f64> = Vec::new();
    let mut x = 0.0;
    while x < chord - 1e-9 {
        places.push(x);
        x += step;
    }
    places.push(chord);
    places.push(half);
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let foot = (radius * radius - half * half).max(0.0).sqrt();
    let rise = |x: f64| {
        let d = x - half;
        ((radius * radius - d * d).max(0.0).sqrt() - foot).max(0.0)
    };
    Offsets { edge, radius, chord, rows: places.into_iter().map(|x| (x, rise(x))).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::path::Path;
    use crate::geom::unit;
    use crate::num::{self, PI};

    fn arc(r: f64, angle: f64, pieces: usize) -> Run {
        let from = PI * 0.5 - angle * 0.5;
        let segs = (0..pieces)
            .map(|i| {
                let at = |k: usize| unit(from + angle * k as f64 / pieces as f64) * r;
                Seg { a: at(i), b: at(i + 1), bulge: num::tan(angle / pieces as f64 * 0.25) }
            })
            .collect();
        Run { edge: Some(EdgeName::Upper), path: Path { segs } }
    }

    #[test]
    fn the_chart_cases_arcs_rise_as_worked_by_hand() {
        // Brief B1 (worked by hand from closed forms): R1 2600.5, R2 2080.4, angle 6.92 deg, sagitta 4.74 top and
        // 3.79 bottom, tolerance 0.5.
        for (r, sagitta) in [(2600.5, 4.74), (2080.4, 3.79)] {
            for pieces in [1, 3] {
                let tables = offsets(&[arc(r, 6.92f64.to_radians(), pieces)], COMPASS);
                assert_eq!(tables.len(), 1, "arcs of one circle are one arc");
                let top = tables[0].rows.iter().map(|r| r.1).fold(0.0, f64::max);
                assert!((top - sagitta).abs() < 0.01, "{top}");
                assert_eq!(tables[0].rows[0], (0.0, 0.0));
                assert!((tables[0].rows[1].0 - 25.0).abs() < 1e-9 || (tables[0].rows[1].0 - 50.0).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn an_arc_within_the_compass_has_no_table() {
        assert!(offsets(&[arc(400.0, 1.0, 2)], COMPASS).is_empty());
    }

    #[test]
    fn bevels_are_said_in_whole_degrees_with_the_long_face() {
        let b =
            |least: f64, most: f64, shift| flat::Bevel { least: least.to_radians(), most: most.to_radians(), shift };
        assert_eq!(bevel(&b(12.1, 12.3, 1.0)), "12° long outside");
        assert_eq!(bevel(&b(3.0, 9.0, 1.0)), "3–9° long outside");
        assert_eq!(bevel(&b(-9.0, -3.0, 1.0)), "3–9° long inside");
        assert_eq!(bevel(&b(-4.0, 6.0, 1.0)), "4° long inside to 6° long outside");
        assert_eq!(bevel(&flat::Bevel::SQUARE), "square");
        assert_eq!(bevel(&b(1.1, 1.1, 0.1)), "cut square (a bevel of 1.1° moves the line 0.1 mm)");
    }
}
