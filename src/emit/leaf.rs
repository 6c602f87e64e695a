//! Leaves as meshes: each layer's two faces, divided where they are bent, and the edge between, in as many bands as it has
//! bevels.

use std::collections::BTreeMap;

use super::body::{Shown, TURN};
use crate::geom::mesh::triangulated;
use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3, tol};
use crate::skin::leaf::{Formed, To};
use crate::solid::{Leaf, Part, Plate};

/// A side is divided into parts of this length at least, mm, and a whole outline into [`ROUND`]: the picture draws faces
/// from back to front, and very long ones have no one place in that order.
const LONG: f64 = 25.0;
const ROUND: f64 = 48.0;
/// How often a face is divided at most.
const ROUNDS: usize = 10;
/// How many parts a side is divided into at most.
const MOST: u32 = 256;

pub(super) fn shown(part: &Part, leaf: &Leaf, shown: &mut Shown) {
    let bent = Formed::new(leaf);
    for layer in &part.layers {
        let mut depths = vec![layer.inner];
        if leaf.taper.from > layer.inner + tol::SAME && leaf.taper.from < layer.outer - tol::SAME {
            depths.push(leaf.taper.from);
        }
        depths.push(layer.outer);
        let _ = one(leaf, &bent, &depths, shown);
    }
}

/// What is fitted about a point of a leaf's flat, on its outer face.
pub(super) fn place(part: &Part, leaf: &Leaf, at: Vec2, outline: &[Vec2]) -> Option<Vec<Vec3>> {
    let formed = Formed::new(leaf);
    let to = formed.to(part.layers.last()?.outer)?;
    outline.iter().map(|p| to.in_space(at + *p)).collect()
}

/// One layer, or nothing where it is not there.
fn one(leaf: &Leaf, bent: &Formed<'_>, depths: &[f64], shown: &mut Shown) -> Option<()> {
    let places: Vec<To<'_>> = depths.iter().map(|&d| bent.to(d)).collect::<Option<_>>()?;
    let lines: Vec<Path> = depths.iter().map(|&d| bent.line(d)).collect::<Option<_>>()?;
    let to = &places[0];
    let long = (leaf.outline.length() / ROUND).max(LONG);
    // Sides are divided alike at every depth, so that the edge has no gaps.
    let parts: Vec<u32> = (0..leaf.outline.segs.len())
        .map(|i| lines.iter().map(|l| divided(to, l, i, long)).max().unwrap_or(1))
        .collect();
    let ring = |line: &Path| -> Vec<Vec2> {
        let of = |(s, n): (&crate::geom::path::Seg, &u32)| {
            let (s, n) = (*s, *n);
            (0..n).map(move |j| s.at(f64::from(j) / f64::from(n)))
        };
        line.segs.iter().zip(&parts).flat_map(of).collect()
    };
    let holes: Vec<Vec<Vec2>> = leaf
        .holes
        .iter()
        .map(|h| {
            let n = |i: usize| divided(to, &h.outline, i, long);
            let all = h.outline.segs.iter().enumerate();
            let mut points: Vec<Vec2> =
                all.flat_map(|(i, s)| (0..n(i)).map(move |j| s.at(f64::from(j) / f64::from(n(i))))).collect();
            points.reverse();
            points
        })
        .collect();
    let mesh = &mut shown.mesh;
    let mut rings: Vec<Vec<Vec<usize>>> = Vec::new();
    for (k, line) in lines.iter().enumerate() {
        let face = k == 0 || k + 1 == lines.len();
        let outline = ring(line);
        let mut flat: Vec<Vec2> = outline.clone();
        if face {
            flat.extend(holes.iter().flatten());
        }
        let mut triangles = if face { triangulated(&outline, &holes) } else { Vec::new() };
        refine(&mut flat, &mut triangles, to, 1.5 * long);
        let space = |p: &Vec2| places[k].in_space(*p);
        let points: Vec<Vec3> = flat.iter().map(space).collect::<Option<_>>()?;
        let index: Vec<usize> = points.iter().map(|&p| mesh.point(p)).collect();
        for t in triangles {
            let [a, b, c] = t.map(|i| index[i]);
            mesh.faces.push(if k == 0 { vec![c, b, a] } else { vec![a, b, c] });
        }
        let mut level = vec![index[..outline.len()].to_vec()];
        let mut from = outline.len();
        if face {
            for hole in &holes {
                level.push(index[from..from + hole.len()].to_vec());
                from += hole.len();
            }
        }
        for one in &level {
            let mut line: Vec<Vec3> = one.iter().map(|&i| mesh.points[i]).collect();
            line.extend(line.first().copied());
            shown.lines.push(line);
        }
        rings.push(level);
    }
    // The outer edge from depth to depth, holes straight through.
    let mut bands: Vec<(&[usize], &[usize])> = rings.windows(2).map(|w| (&w[0][0][..], &w[1][0][..])).collect();
    let (first, last) = (rings.first()?, rings.last()?);
    bands.extend(first.iter().zip(last).skip(1).map(|(a, b)| (&a[..], &b[..])));
    for (below, above) in bands {
        let n = below.len();
        for j in 0..n {
            let k = (j + 1) % n;
            mesh.faces.push(vec![below[j], below[k], above[k], above[j]]);
        }
    }
    Some(())
}

/// Into how many parts a side is divided.
fn divided(to: &To<'_>, line: &Path, i: usize, long: f64) -> u32 {
    let seg = &line.segs[i];
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few dozen")]
    let mut n = (seg.sweep().abs() / TURN).max(seg.length() / long).ceil().clamp(1.0, f64::from(MOST)) as u32;
    if let To::Bent(_) = to {
        let turned = |n: u32| {
            let all: Vec<f64> = (0..=n).map(|j| to.turned(seg.at(f64::from(j) / f64::from(n)))).collect();
            all.windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f64::max)
        };
        while n < MOST && turned(n) > 0.9 * TURN {
            n *= 2;
        }
    }
    n
}

/// Divides triangles until none of their sides is longer than `long` or bent by more than a facet may be.
fn refine(points: &mut Vec<Vec2>, triangles: &mut Vec<[usize; 3]>, to: &To<'_>, long: f64) {
    let mut turned: Vec<f64> = points.iter().map(|p| to.turned(*p)).collect();
    for _ in 0..ROUNDS {
        let mut middles: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        let mut next: Vec<[usize; 3]> = Vec::with_capacity(triangles.len() * 2);
        for &[a, b, c] in triangles.iter() {
            let mut middle = |i: usize, j: usize| {
                if (turned[i] - turned[j]).abs() <= TURN && points[i].distance(points[j]) <= long {
                    return None;
                }
                Some(*middles.entry((i.min(j), i.max(j))).or_insert_with(|| {
                    let p = (points[i] + points[j]) * 0.5;
                    points.push(p);
                    turned.push(to.turned(p));
                    points.len() - 1
                }))
            };
            let (ab, bc, ca) = (middle(a, b), middle(b, c), middle(c, a));
            match (ab, bc, ca) {
                (None, None, None) => next.push([a, b, c]),
                (Some(m), None, None) => next.extend([[a, m, c], [m, b, c]]),
                (None, Some(m), None) => next.extend([[b, m, a], [m, c, a]]),
                (None, None, Some(m)) => next.extend([[c, m, b], [m, a, b]]),
                (Some(m), Some(n), None) => next.extend([[m, b, n], [a, m, n], [a, n, c]]),
                (None, Some(m), Some(n)) => next.extend([[m, c, n], [b, m, n], [b, n, a]]),
                (Some(n), None, Some(m)) => next.extend([[m, a, n], [c, m, n], [c, n, b]]),
                (Some(m), Some(n), Some(o)) => next.extend([[a, m, o], [m, b, n], [o, n, c], [m, n, o]]),
            }
        }
        let done = middles.is_empty();
        *triangles = next;
        if done {
            break;
        }
    }
}

/// Points of a plate's flat on its show face.
pub(super) fn on_plate(plate: &Plate, centre: Vec2, points: &[Vec2]) -> Vec<Vec3> {
    let above = if plate.show >= plate.hidden { 1.0 } else { -1.0 };
    points.iter().map(|p| Vec3::new(centre.x + p.y, centre.y - above * p.x, plate.show)).collect()
}
