//! The right ones of mirrored pairs, for the picture and the solid file. A pair that stands beside the prop's middle
//! plane is mirrored there, as it is worn. One that the plane cuts (two bracers, each written where it stands by itself)
//! cannot stand on both sides of it: its right ones stand together to the right of everything, and the picture says so.

use super::body::Shown;
use crate::geom::Vec3;
use crate::geom::mesh::Mesh;

/// As near to the middle plane as this is beside it, mm.
const BESIDE: f64 = 0.5;
/// Clear of everything else by this share of its width, and by this at least, mm.
const SHARE: f64 = 0.25;
const LEAST: f64 = 20.0;
/// So many bodies are named one by one; of more only the left ones are.
const NAMED: usize = 16;

/// What is shown, with its right ones behind.
#[derive(Debug)]
pub struct Twins {
    pub bodies: Vec<Shown>,
    /// How many of them, from the first, stand where the prop has them.
    pub in_place: usize,
}

/// Adds the right one of every pair.
#[must_use]
pub fn both(mut bodies: Vec<Shown>) -> Twins {
    let points = |s: &Shown| -> Vec<f64> {
        let lines = s.lines.iter().flatten().map(|p| p.y);
        s.mesh.points.iter().map(|p| p.y).chain(lines).collect()
    };
    let reach = |all: &mut dyn Iterator<Item = &Shown>| {
        let ys = all.flat_map(points);
        ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), y| (lo.min(y), hi.max(y)))
    };
    let pairs: Vec<Shown> = bodies.iter().filter(|s| s.pair).cloned().collect();
    if pairs.is_empty() {
        let in_place = bodies.len();
        return Twins { bodies, in_place };
    }
    let (low, high) = reach(&mut pairs.iter());
    let beside = low >= -BESIDE || high <= BESIDE;
    let all = reach(&mut bodies.iter());
    // The plane between the two: the prop's own, or one so far to the right that the twins' left ends are clear.
    let plane = if beside { 0.0 } else { 0.5 * (all.0 + low - (SHARE * (all.1 - all.0)).max(LEAST)) };
    let few = bodies.len() + pairs.len() <= NAMED;
    for shown in bodies.iter_mut().filter(|s| s.pair) {
        shown.name += " (left one)";
    }
    let before = bodies.len();
    for pair in pairs {
        let name = if few { format!("{} (right one)", pair.name) } else { String::new() };
        bodies.push(Shown { name, ..mirrored(pair, plane) });
    }
    let in_place = if beside { bodies.len() } else { before };
    Twins { bodies, in_place }
}

/// The mirror image across the plane where y is `plane`.
fn mirrored(shown: Shown, plane: f64) -> Shown {
    let flip = |p: Vec3| Vec3::new(p.x, 2.0 * plane - p.y, p.z);
    let lines = |all: Vec<Vec<Vec3>>| -> Vec<Vec<Vec3>> {
        all.into_iter().map(|line| line.into_iter().map(flip).collect()).collect()
    };
    let mesh = Mesh {
        points: shown.mesh.points.into_iter().map(flip).collect(),
        // Seen in a mirror a face goes round the other way.
        faces: shown.mesh.faces.into_iter().map(|f| f.into_iter().rev().collect()).collect(),
    };
    Shown {
        mesh,
        lines: lines(shown.lines),
        seams: lines(shown.seams),
        holes: lines(shown.holes),
        places: lines(shown.places),
        marks: shown.marks.into_iter().map(|(s, line)| (s, line.into_iter().map(flip).collect())).collect(),
        ..shown
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tetrahedron(y: f64, pair: bool) -> Shown {
        let corner = |x: f64, dy: f64, z: f64| Vec3::new(x, y + dy, z);
        let points =
            vec![corner(0.0, 0.0, 0.0), corner(10.0, 0.0, 0.0), corner(0.0, 10.0, 0.0), corner(0.0, 0.0, 10.0)];
        let faces = vec![vec![0, 2, 1], vec![0, 1, 3], vec![1, 2, 3], vec![0, 3, 2]];
        Shown { pair, mesh: Mesh { points, faces }, ..Shown::named("fin") }
    }

    #[test]
    fn a_right_one_is_a_whole_solid_on_the_other_side() {
        let both = both(vec![tetrahedron(20.0, true), tetrahedron(-5.0, false)]);
        assert_eq!((both.bodies.len(), both.in_place), (3, 3));
        let right = &both.bodies[2];
        assert!(right.mesh.is_closed());
        // A tenth of a hundred times ten, divided by six, as its left one.
        assert!((right.mesh.volume() - 1000.0 / 6.0).abs() < 1e-9);
        assert!(right.mesh.points.iter().all(|p| p.y <= -20.0 && p.y >= -30.0));
        assert_eq!((both.bodies[0].name.as_str(), right.name.as_str()), ("fin (left one)", "fin (right one)"));
    }

    #[test]
    fn a_pair_on_the_middle_stands_beside_the_prop() {
        let both = both(vec![tetrahedron(-4.0, true), tetrahedron(-30.0, false)]);
        assert_eq!((both.bodies.len(), both.in_place), (3, 2));
        let right = &both.bodies[2];
        // Clear of what reaches to -30 by 20 at least.
        assert!(right.mesh.points.iter().all(|p| p.y <= -50.0 + 1e-9), "{:?}", right.mesh.points);
        assert!(right.mesh.is_closed() && right.mesh.volume() > 0.0);
    }
}
