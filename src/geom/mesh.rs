//! Surfaces of flat faces in space, for the picture and for solid files. A face is convex and counter-clockwise as
//! seen from outside. Approximates: how finely is its maker's choice; nothing that is cut goes through here.

use super::{Vec2, Vec3};

/// Points and the faces between them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    pub points: Vec<Vec3>,
    pub faces: Vec<Vec<usize>>,
}

impl Mesh {
    /// Adds a point and gives its index.
    pub fn point(&mut self, p: Vec3) -> usize {
        self.points.push(p);
        self.points.len() - 1
    }

    /// Takes another mesh in, its points moved.
    pub fn take(&mut self, other: &Self, moved: impl Fn(Vec3) -> Vec3) {
        let base = self.points.len();
        self.points.extend(other.points.iter().map(|&p| moved(p)));
        self.faces.extend(other.faces.iter().map(|f| f.iter().map(|i| i + base).collect()));
    }

    /// A face's corners.
    #[must_use]
    pub fn corners(&self, face: &[usize]) -> Vec<Vec3> {
        face.iter().map(|&i| self.points[i]).collect()
    }

    /// Every face as triangles that fan out from its first corner; those without area are left out.
    pub fn triangles(&self) -> impl Iterator<Item = [Vec3; 3]> {
        self.faces
            .iter()
            .flat_map(|f| {
                let fan = f.get(1..).unwrap_or(&[]).windows(2);
                fan.map(|w| [self.points[f[0]], self.points[w[0]], self.points[w[1]]])
            })
            .filter(|[a, b, c]| (b - a).cross(c - a) != Vec3::ZERO)
    }

    /// The enclosed volume: the sum of the tetrahedra from the origin (divergence theorem).
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.triangles().map(|[a, b, c]| a.dot(b.cross(c)) / 6.0).collect::<crate::num::Sum>().value()
    }

    /// Whether every side of a face is walked once in each sense, so that the surface has no rim.
    #[must_use]
    pub fn is_closed(&self) -> bool {
        let mut sides: Vec<(usize, usize)> = Vec::new();
        for f in &self.faces {
            sides.extend(f.iter().zip(f.iter().cycle().skip(1)).map(|(&a, &b)| (a, b)));
        }
        sides.sort_unstable();
        let once = sides.windows(2).all(|w| w[0] != w[1]);
        once && sides.iter().all(|&(a, b)| sides.binary_search(&(b, a)).is_ok())
    }
}

/// The normal of a face by Newell's sum, not of unit length: sturdy where corners coincide.
#[must_use]
pub fn normal(corners: &[Vec3]) -> Vec3 {
    corners.iter().zip(corners.iter().cycle().skip(1)).fold(Vec3::ZERO, |n, (a, b)| n + a.cross(*b)) * 0.5
}

/// Triangles of a polygon with holes: indices into the outline's points followed by each hole's. The outline runs
/// counter-clockwise, holes clockwise, all simple and apart. Ears are cut off one by one, holes joined to the outline
/// by bridges first (G. H. Meisters 1975; D. Eberly, "Triangulation by Ear Clipping").
#[must_use]
pub fn triangulated(outline: &[Vec2], holes: &[Vec<Vec2>]) -> Vec<[usize; 3]> {
    let points: Vec<Vec2> = outline.iter().chain(holes.iter().flatten()).copied().collect();
    let mut ring: Vec<usize> = (0..outline.len()).collect();
    let mut start = outline.len();
    let mut waiting: Vec<Vec<usize>> = Vec::new();
    for hole in holes {
        waiting.push((start..start + hole.len()).collect());
        start += hole.len();
    }
    while !waiting.is_empty() {
        let Some((which, at, to)) = bridge(&points, &ring, &waiting) else { break };
        let hole = waiting.swap_remove(which);
        let around = hole[at..].iter().chain(&hole[..=at]).copied();
        let tail: Vec<usize> = around.chain([ring[to]]).collect();
        ring.splice(to + 1..to + 1, tail);
    }
    clipped(&points, ring)
}

/// The shortest way from a waiting hole to the ring that crosses nothing: hole, its corner, the ring's corner.
fn bridge(points: &[Vec2], ring: &[usize], waiting: &[Vec<usize>]) -> Option<(usize, usize, usize)> {
    let mut ways: Vec<(f64, usize, usize, usize)> = Vec::new();
    for (which, hole) in waiting.iter().enumerate() {
        for (at, &h) in hole.iter().enumerate() {
            ways.extend(ring.iter().enumerate().map(|(to, &r)| (points[h].distance(points[r]), which, at, to)));
        }
    }
    ways.sort_by(|a, b| a.0.total_cmp(&b.0));
    let sides = |chain: &[usize]| -> Vec<(usize, usize)> {
        chain.iter().zip(chain.iter().cycle().skip(1)).map(|(&a, &b)| (a, b)).collect()
    };
    let all: Vec<(usize, usize)> = sides(ring).into_iter().chain(waiting.iter().flat_map(|h| sides(h))).collect();
    ways.into_iter().find_map(|(_, which, at, to)| {
        let (p, q) = (points[waiting[which][at]], points[ring[to]]);
        let free = all.iter().all(|&(a, b)| !crosses(p, q, points[a], points[b]));
        free.then_some((which, at, to))
    })
}

fn cross(a: Vec2, b: Vec2, c: Vec2) -> f64 {
    (b - a).perp_dot(c - a)
}

/// Whether two segments cross at inner points.
fn crosses(p: Vec2, q: Vec2, a: Vec2, b: Vec2) -> bool {
    cross(p, q, a) * cross(p, q, b) < 0.0 && cross(a, b, p) * cross(a, b, q) < 0.0
}

fn clipped(points: &[Vec2], mut ring: Vec<usize>) -> Vec<[usize; 3]> {
    let mut out = Vec::with_capacity(ring.len());
    while ring.len() > 3 {
        let n = ring.len();
        let ear = |i: usize| [ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]];
        let free = |i: usize| {
            let [a, b, c] = ear(i).map(|k| points[k]);
            cross(a, b, c) > 0.0
                && ring
                    .iter()
                    .map(|&k| points[k])
                    .filter(|p| ![a, b, c].contains(p))
                    .all(|p| cross(a, b, p) < 0.0 || cross(b, c, p) < 0.0 || cross(c, a, p) < 0.0)
        };
        // A simple ring always has an ear; corners in line are dropped, and anything else ends all the same.
        let next = (0..n).find(|&i| free(i)).or_else(|| {
            (0..n).find(|&i| {
                let [a, b, c] = ear(i).map(|k| points[k]);
                cross(a, b, c) == 0.0
            })
        });
        let i = next.unwrap_or(0);
        out.push(ear(i));
        ring.remove(i);
    }
    if let [a, b, c] = ring[..] {
        out.push([a, b, c]);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::unit;
    use crate::num::TAU;

    fn circle(centre: Vec2, r: f64, n: u32, sense: f64) -> Vec<Vec2> {
        (0..n).map(|i| centre + unit(sense * TAU * f64::from(i) / f64::from(n)) * r).collect()
    }

    #[test]
    fn a_plate_with_holes_is_covered_once() {
        let outline = circle(Vec2::ZERO, 40.0, 60, 1.0);
        let holes = vec![circle(Vec2::new(15.0, 3.0), 6.0, 20, -1.0), circle(Vec2::new(-18.0, -8.0), 9.0, 20, -1.0)];
        let points: Vec<Vec2> = outline.iter().chain(holes.iter().flatten()).copied().collect();
        let triangles = triangulated(&outline, &holes);
        let area: f64 = triangles.iter().map(|t| 0.5 * cross(points[t[0]], points[t[1]], points[t[2]])).sum();
        let exact = |r: f64, n: f64| 0.5 * n * r * r * crate::num::sin(TAU / n);
        let expected = exact(40.0, 60.0) - exact(6.0, 20.0) - exact(9.0, 20.0);
        assert!((area - expected).abs() < 1e-9, "{area} {expected}");
        assert!(triangles.iter().all(|t| cross(points[t[0]], points[t[1]], points[t[2]]) > -1e-9));
    }

    #[test]
    fn a_cube_is_closed_and_has_its_volume() {
        let mut m = Mesh::default();
        for i in 0..8u32 {
            let bit = |k: u32| f64::from((i >> k) & 1) * 2.0;
            m.point(Vec3::new(bit(0), bit(1), bit(2)));
        }
        for f in [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]] {
            m.faces.push(f.to_vec());
        }
        assert!(m.is_closed());
        assert!((m.volume() - 8.0).abs() < 1e-12);
        m.faces.pop();
        assert!(!m.is_closed());
    }
}
