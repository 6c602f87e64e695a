//! What is fitted to the parts, as meshes and lines for the picture: cords as round as they are, beads as balls;
//! strips and thin wires as lines. Nothing that is cut or measured is made here.

use super::body::Shown;
use crate::fitted::{GoodsOf, Run};
use crate::geom::Vec3;
use crate::geom::mesh::Mesh;
use crate::ids::ThingId;
use crate::num;
use crate::solid::Solid;

/// Thinner than this, mm, it is drawn as a line; so is what has more points than this.
const THIN: f64 = 1.5;
const MANY: usize = 1000;
/// Sides of a cord, and of a bead round its waist.
const SIDES: u32 = 8;
/// The cosine of half the angle beyond which a tube's mitre at a corner is drawn no longer.
const SHARPEST: f64 = 0.4;
/// Sides of a rod.
const ROD_SIDES: u32 = 32;

/// Everything fitted, one body for each thing of the text.
#[must_use]
pub fn gear(solid: &Solid) -> Vec<Shown> {
    let fitted = &solid.fitted;
    let mut out: Vec<(ThingId, Shown)> = Vec::new();
    let mut of = |thing: ThingId, name: &str, pair: bool, draw: &dyn Fn(&mut Shown)| {
        let i = out.iter().position(|(t, _)| *t == thing).unwrap_or_else(|| {
            out.push((thing, Shown::named(name)));
            out.len() - 1
        });
        let shown = &mut out[i].1;
        shown.pair |= pair;
        // The thing's own name is the shortest: `floats`, beside `floats wire`.
        if name.len() < shown.name.len() {
            name.clone_into(&mut shown.name);
        }
        draw(shown);
    };
    for run in &fitted.runs {
        if let GoodsOf::Rod(stock) = run.goods {
            // Each length by itself, so that where they meet is seen.
            let radius = 0.5 * solid.stocks[stock].thick;
            of(run.thing, &run.name, run.pair, &|shown| {
                for ends in run.line.windows(2) {
                    tube(ends, radius, ROD_SIDES, &mut shown.mesh);
                    shown.lines.extend([ends[0], ends[1]].map(|at| circle(at, ends[1] - ends[0], radius)));
                }
            });
            continue;
        }
        of(run.thing, &run.name, run.pair, &|shown| match round(solid, run)
            .filter(|d| *d >= THIN && run.line.len() <= MANY)
        {
            Some(d) => tube(&run.line, 0.5 * d, SIDES, &mut shown.mesh),
            None => shown.lines.push(run.line.clone()),
        });
    }
    for lump in &fitted.lumps {
        let supply = lump.supply.map(|i| &fitted.supplies[i]).filter(|s| s.sort == "beads");
        let Some(across) = supply.and_then(|s| s.across) else { continue };
        of(lump.thing, &lump.name, lump.pair, &|shown| {
            lump.at.iter().for_each(|&p| ball(p, 0.5 * across, &mut shown.mesh))
        });
    }
    out.into_iter().map(|(_, shown)| shown).collect()
}

/// The diameter of goods that are round.
fn round(solid: &Solid, run: &Run) -> Option<f64> {
    let GoodsOf::Supply(i) = run.goods else { return None };
    let supply = solid.fitted.supplies.get(i)?;
    let is = matches!(supply.sort, "cord" | "wire" | "lace" | "elastic") && supply.wide.is_none();
    supply.thick.or(supply.across).filter(|_| is)
}

/// The outline of a rod's end.
fn circle(at: Vec3, way: Vec3, radius: f64) -> Vec<Vec3> {
    let side = way.normalize_or(Vec3::Z).any_orthonormal_vector();
    let other = way.normalize_or(Vec3::Z).cross(side);
    let point = |k: u32| {
        let (s, c) = num::sin_cos(num::TAU * f64::from(k % ROD_SIDES) / f64::from(ROD_SIDES));
        at + (side * c + other * s) * radius
    };
    (0..=ROD_SIDES).map(point).collect()
}

/// A tube about a line; one that comes back to its start has no ends.
fn tube(line: &[Vec3], radius: f64, sides: u32, mesh: &mut Mesh) {
    let mut points: Vec<Vec3> = Vec::with_capacity(line.len());
    for &p in line {
        if points.last().is_none_or(|q| q.distance(p) > 1e-6) {
            points.push(p);
        }
    }
    let closed = points.len() > 3 && points[0].distance(points[points.len() - 1]) < 1e-3;
    if closed {
        points.pop();
    }
    let n = points.len();
    if n < 2 {
        return;
    }
    let to_next = |i: usize| (points[(i + 1) % n] - points[i]).normalize_or_zero();
    // The way at a point, square to how it bends there, and how much longer the mitre is that way.
    let way = |i: usize| {
        let before = if i > 0 || closed { to_next((i + n - 1) % n) } else { to_next(i) };
        let behind = if i + 1 < n || closed { to_next(i) } else { before };
        let along = (before + behind).normalize_or(before);
        let bend = (behind - before).normalize_or_zero();
        (along, bend, 1.0 / along.dot(before).max(SHARPEST) - 1.0)
    };
    let mut side = way(0).0.any_orthonormal_vector();
    let mut rings: Vec<Vec<usize>> = Vec::with_capacity(n);
    for (i, &p) in points.iter().enumerate() {
        let (along, bend, longer) = way(i);
        // Carried on without a twist.
        side = (side - along * side.dot(along)).normalize_or(along.any_orthonormal_vector());
        let other = along.cross(side);
        let at = |k: u32| {
            let (s, c) = num::sin_cos(num::TAU * f64::from(k) / f64::from(sides));
            let out = (side * c + other * s) * radius;
            p + out + bend * (out.dot(bend) * longer)
        };
        rings.push((0..sides).map(|k| mesh.point(at(k))).collect());
    }
    let turns = rings[0].len();
    for i in 0..if closed { n } else { n - 1 } {
        let (here, next) = (&rings[i], &rings[(i + 1) % n]);
        // Where it closes the rings may stand turned against each other: by the nearest points.
        let shift = if i + 1 == n {
            let far = |s: usize| mesh.points[here[0]].distance(mesh.points[next[s]]);
            (0..turns).min_by(|&a, &b| far(a).total_cmp(&far(b))).unwrap_or(0)
        } else {
            0
        };
        for k in 0..turns {
            let l = (k + 1) % turns;
            mesh.faces.push(vec![here[k], here[l], next[(l + shift) % turns], next[(k + shift) % turns]]);
        }
    }
    if !closed {
        mesh.faces.push(rings[0].iter().rev().copied().collect());
        mesh.faces.push(rings[n - 1].clone());
    }
}

fn ball(centre: Vec3, radius: f64, mesh: &mut Mesh) {
    const BELTS: u32 = 4;
    let belt = |j: u32, mesh: &mut Mesh| -> Vec<usize> {
        let (up, out) = num::sin_cos(num::PI * (f64::from(j) / f64::from(BELTS) - 0.5));
        let at = |k: u32| {
            let (s, c) = num::sin_cos(num::TAU * f64::from(k) / f64::from(SIDES));
            centre + Vec3::new(c * out, s * out, up) * radius
        };
        (0..SIDES).map(|k| mesh.point(at(k))).collect()
    };
    let belts: Vec<Vec<usize>> = (1..BELTS).map(|j| belt(j, mesh)).collect();
    let (low, high) = (mesh.point(centre - Vec3::Z * radius), mesh.point(centre + Vec3::Z * radius));
    let turns = belts[0].len();
    for k in 0..turns {
        let l = (k + 1) % turns;
        mesh.faces.push(vec![low, belts[0][l], belts[0][k]]);
        for w in belts.windows(2) {
            mesh.faces.push(vec![w[0][k], w[0][l], w[1][l], w[1][k]]);
        }
        let last = &belts[belts.len() - 1];
        mesh.faces.push(vec![last[k], last[l], high]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(n: u32) -> Vec<Vec3> {
        let at = |k: u32| {
            let (s, c) = num::sin_cos(num::TAU * f64::from(k % n) / f64::from(n));
            Vec3::new(c, s, 0.2 * c) * 50.0
        };
        (0..=n).map(at).collect()
    }

    #[test]
    fn tubes_and_balls_are_closed_and_as_large_as_they_are() {
        let mut torus = Mesh::default();
        tube(&ring(72), 3.0, SIDES, &mut torus);
        assert!(torus.is_closed());
        // Pappus: the cord's section times the way of its middle, the octagon's share of the circle.
        let long: f64 = ring(72).windows(2).map(|w| w[0].distance(w[1])).sum();
        let octagon = 2.0 * 2f64.sqrt() * 9.0;
        assert!((torus.volume() / (octagon * long) - 1.0).abs() < 0.005, "{}", torus.volume());
        let mut open = Mesh::default();
        tube(&[Vec3::ZERO, Vec3::X * 10.0, Vec3::new(20.0, 5.0, 1.0)], 2.0, SIDES, &mut open);
        assert!(open.is_closed() && open.volume() > 0.0);
        let mut bead = Mesh::default();
        ball(Vec3::new(1.0, 2.0, 3.0), 7.0, &mut bead);
        let whole = 4.0 / 3.0 * num::PI * 343.0;
        assert!(bead.is_closed() && bead.volume() > 0.7 * whole && bead.volume() < whole);
    }
}
