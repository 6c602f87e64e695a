//! Walls whose sections have straight sides and sharp corners: the side of their hull is flat facets. Each is cut from
//! a sheet of its own; two that meet share the plane through their edge half-way between them, so they meet on every
//! face of the sheet.

use super::frame::Frame;
use super::section::{Curve, Section};
use super::sided::{self, Gone, Side};
use super::strip::Strip;
use super::{Vec2, Vec3, tol, unit};
use crate::num::{self, TAU};

/// Planes nearer to each other than this are one, radians.
const FLAT: f64 = 1e-9;

/// What an edge of a facet meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meet {
    /// That edge of that facet.
    Facet { facet: usize, edge: usize },
    /// The wall's first plane.
    Lower,
    /// Its last.
    Upper,
}

/// One flat side of a wall, on the measured face.
#[derive(Clone, Debug, PartialEq)]
pub struct Facet {
    /// The strip it belongs to.
    pub strip: usize,
    /// The direction its normal has, seen from above.
    pub phi: f64,
    pub normal: Vec3,
    /// Counter-clockwise as seen from outside, from the lower one that the way round comes to first.
    pub corners: Vec<Vec3>,
    /// What the edge meets that runs from the corner of this number to the next.
    pub meets: Vec<Meet>,
}

impl Facet {
    /// Corners of an edge.
    #[must_use]
    pub fn edge(&self, k: usize) -> (Vec3, Vec3) {
        (self.corners[k], self.corners[(k + 1) % self.corners.len()])
    }

    /// Its own frame: z out of the wall, x up it.
    #[must_use]
    pub fn frame(&self) -> Frame {
        let n = self.corners.len().max(1) as f64;
        let origin = self.corners.iter().copied().sum::<Vec3>() / n;
        let x = (Vec3::Z - self.normal * self.normal.z).normalize();
        Frame { origin, x, y: self.normal.cross(x), z: self.normal }
    }

    /// How far its face at a depth stands from the axis at a height, and the direction in which that is measured.
    #[must_use]
    pub fn side(&self, z: f64, depth: f64) -> (f64, f64) {
        let level = self.normal.truncate();
        (self.phi, (self.normal.dot(self.corners[0]) + depth - self.normal.z * z) / level.length())
    }
}

/// How the free ends of a wall are cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// In the plane of the station.
    Level,
    /// At right angles to each sheet.
    Square,
}

/// How two facets of one strip meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// In the plane half-way between both.
    Mitred,
    /// Each runs on over the edge of the next: it ends in the plane of that one's outer face, and that one on its inner
    /// face; in a hollow corner the other way.
    Lapped,
}

/// Whether a facet runs on at an edge, where facets are lapped, over the one that it meets there.
#[must_use]
pub fn over(facets: &[Facet], i: usize, k: usize) -> bool {
    matches!(facets[i].meets[k], Meet::Facet { facet, edge } if edge + 1 == facets[facet].meets.len() && k + 1 < facets[i].meets.len())
}

/// Whether a section has straight sides and sharp corners only.
#[must_use]
pub fn is_sharp(section: &Section) -> bool {
    section.elements().iter().all(|e| matches!(e.curve, Curve::Round { radius, .. } if radius.abs() < tol::SAME))
}

/// The facets of strips one on the other, in order round each, the one that faces front first.
#[must_use]
pub fn facets(strips: &[Strip]) -> Vec<Facet> {
    let mut all: Vec<Facet> = Vec::new();
    let mut below: Vec<usize> = Vec::new();
    for (s, strip) in strips.iter().enumerate() {
        let (z0, z1) = strip.heights();
        let stretches = strip.stretches();
        let first = all.len();
        // The side that faces front is the first.
        let off = |i: &usize| {
            let turn = num::wrap(stretches[*i].to, TAU);
            turn.min(TAU - turn)
        };
        let sides = |i: &usize| {
            let (one, next) = (&stretches[*i], stretches.get(i + 1).unwrap_or(&stretches[0]));
            let long = |a: Curve, b: Curve| b.support(next.from).k - a.support(one.to).k > tol::SAME;
            long(one.lower, next.lower) || long(one.upper, next.upper)
        };
        let front = (0..stretches.len()).filter(sides).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0);
        for i in 0..stretches.len() {
            let i = (front + i) % stretches.len();
            let (one, next) = (&stretches[i], stretches.get(i + 1).unwrap_or(&stretches[0]));
            let (phi, t) = (one.to, super::left_of(unit(one.to)));
            let ends = |a: Curve, b: Curve| {
                let (a, b) = (a.support(phi), b.support(next.from));
                let n = unit(phi) * a.h;
                let (p, q) = (n + t * a.k, n + t * b.k);
                (b.k - a.k > tol::SAME, p, q)
            };
            let (low, up) = (ends(one.lower, next.lower), ends(one.upper, next.upper));
            if !low.0 && !up.0 {
                continue;
            }
            let mut corners = vec![low.1.extend(z0)];
            let mut meets = Vec::new();
            if low.0 {
                corners.push(low.2.extend(z0));
                meets.push(Meet::Lower);
            }
            // The neighbours are set when all are there.
            meets.push(Meet::Upper);
            corners.push(up.2.extend(z1));
            if up.0 {
                corners.push(up.1.extend(z1));
                meets.push(Meet::Upper);
            }
            meets.push(Meet::Upper);
            let (across, along) = (t.extend(0.0), corners[corners.len() - 1] - corners[0]);
            all.push(Facet { strip: s, phi, normal: across.cross(along).normalize(), corners, meets });
        }
        let last = all.len();
        let n = last - first;
        for i in 0..n {
            let (here, next) = (first + i, first + (i + 1) % n);
            let end = usize::from(all[here].meets[0] == Meet::Lower);
            let begin = all[next].meets.len() - 1;
            all[here].meets[end] = Meet::Facet { facet: next, edge: begin };
            all[next].meets[begin] = Meet::Facet { facet: here, edge: end };
        }
        // Sides of the station between two strips.
        for here in first..last {
            if s == 0 || all[here].meets[0] != Meet::Lower {
                continue;
            }
            let (a, b) = all[here].edge(0);
            let found = below.iter().find_map(|&i| {
                let k = all[i].meets.iter().position(|m| *m == Meet::Upper)?;
                let (p, q) = all[i].edge(k);
                ((p - b).length() < 1e-6 && (q - a).length() < 1e-6).then_some((i, k))
            });
            if let Some((i, k)) = found {
                all[here].meets[0] = Meet::Facet { facet: i, edge: k };
                all[i].meets[k] = Meet::Facet { facet: here, edge: 0 };
            }
        }
        below = (first..last).collect();
    }
    all
}

/// A facet's sheet: its frame, the sheet between its faces in that frame, and its corners on the inner and the outer
/// face, each before the side of its number.
#[derive(Clone, Debug, PartialEq)]
pub struct Slab {
    pub frame: Frame,
    pub strip: Strip,
    pub inner: Vec<Vec3>,
    pub outer: Vec<Vec3>,
}

/// The sheet of facet `i` between two depths.
///
/// # Errors
/// The first side that its thickness leaves no length.
pub fn slab(
    facets: &[Facet],
    i: usize,
    (style, [low, up]): (Style, [End; 2]),
    [inner, outer]: [f64; 2],
) -> Result<Slab, Gone> {
    let facet = &facets[i];
    let frame = facet.frame();
    let side = |k: usize| {
        let (a, b) = facet.edge(k);
        let square = (b - a).cross(facet.normal);
        let mut at = a;
        let cut = match facet.meets[k] {
            Meet::Facet { facet: other, .. } if style == Style::Lapped && facets[other].strip == facet.strip => {
                let n = facets[other].normal;
                let hollow = (frame.origin - a).dot(n) > 0.0;
                at += n * if over(facets, i, k) == hollow { inner } else { outer };
                n
            }
            Meet::Facet { facet: other, .. } => {
                let away = facets[other].normal - facet.normal;
                if away.length() < FLAT { square } else { away }
            }
            Meet::Lower if low == End::Level => -Vec3::Z,
            Meet::Upper if up == End::Level => Vec3::Z,
            Meet::Lower | Meet::Upper => square,
        };
        // Out of the facet.
        let cut = if cut.dot(square) < 0.0 { -cut } else { cut };
        let n = frame.direction_seen(cut);
        let long = n.truncate().length();
        let reach = n.dot(frame.seen(at));
        let at = |d: f64| (reach - n.z * d) / long;
        Side { phi: num::wrap(num::atan2(n.y, n.x), TAU), lower: at(inner), upper: at(outer) }
    };
    let sides: Vec<Side> = (0..facet.corners.len()).map(side).collect();
    let strip = sided::strip(&sides, inner, outer)?;
    let space = |d: f64| {
        let on = |p: Vec2| frame.apply(p.extend(d));
        sided::corners_at(&strip, d).into_iter().map(on).collect()
    };
    let (inner, outer) = (space(inner), space(outer));
    Ok(Slab { frame, strip, inner, outer })
}

/// How far corners of two sheets that ought to be one stand apart at most: where more than three planes meet in a
/// corner they may not do so at every depth.
#[must_use]
pub fn apart(facets: &[Facet], slabs: &[Slab], i: usize, k: usize) -> f64 {
    let Meet::Facet { facet, edge } = facets[i].meets[k] else { return 0.0 };
    let (here, there) = (&slabs[i], &slabs[facet]);
    let far = |a: &[Vec3], b: &[Vec3]| {
        let next = |points: &[Vec3], k: usize| points[(k + 1) % points.len()];
        (a[k] - next(b, edge)).length().max((next(a, k) - b[edge]).length())
    };
    far(&here.inner, &there.inner).max(far(&here.outer, &there.outer))
}

/// The figure that the faces of a strip's facets at a depth cut out of the plane at a height, side by side.
#[must_use]
pub fn figure(facets: &[Facet], strip: usize, z: f64, depth: f64) -> Vec<(f64, f64)> {
    facets.iter().filter(|f| f.strip == strip).map(|f| f.side(z, depth)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A regular polygon about the origin, a side to the front.
    fn regular(n: u32, flat: f64) -> Section {
        let half = num::PI / f64::from(n);
        let element = |i: u32| {
            let from = 2.0 * half * f64::from(i);
            let centre = unit(from + half) * (flat / num::cos(half));
            let to = if i + 1 == n { TAU } else { from + 2.0 * half };
            super::super::section::Element { from, to, curve: Curve::Round { centre, radius: 0.0 } }
        };
        Section::new((0..n).map(element).collect()).expect("a polygon")
    }

    /// The turn between two facets that meet, and the lean of each sheet's side there, degrees.
    fn bevels(all: &[Facet], i: usize, t: f64) -> Vec<(f64, f64)> {
        let slab = slab(all, i, (Style::Mitred, [End::Level; 2]), [-t, 0.0]).expect("a sheet");
        let sides = sided::sides(&slab.strip);
        let lean = |s: &Side| num::atan((s.upper - s.lower) / t).to_degrees();
        let turned = |m: &Meet| match *m {
            Meet::Facet { facet, .. } => num::acos(all[i].normal.dot(all[facet].normal)).to_degrees(),
            Meet::Lower | Meet::Upper => f64::NAN,
        };
        all[i].meets.iter().zip(&sides).map(|(m, s)| (turned(m), lean(s))).collect()
    }

    #[test]
    fn sides_of_a_frame_have_the_printed_blade_tilts() {
        // BV1: blade tilts of frames of n sides whose face slopes p from level, printed in a mitre saw's chart to
        // half a unit: sin B = sin p · sin(180°/n).
        let printed: [(f64, u32, f64); 8] = [
            (5.0, 4, 3.53),
            (15.0, 4, 10.55),
            (30.0, 4, 20.70),
            (30.0, 5, 17.09),
            (30.0, 6, 14.48),
            (30.0, 8, 11.03),
            (45.0, 4, 30.00),
            (45.0, 6, 20.70),
        ];
        for (slope, n, tilt) in printed {
            // So far in over 20 of height that the face slopes by p.
            let inward = 20.0 / num::tan(slope.to_radians());
            let strip = Strip::new(&regular(n, 400.0), 0.0, &regular(n, 400.0 - inward), 20.0).expect("a wall");
            let all = facets(&[strip]);
            assert_eq!(all.len(), n as usize);
            for (turned, lean) in bevels(&all, 1, 3.0).into_iter().filter(|b| !b.0.is_nan()) {
                assert!((lean - tilt).abs() <= 0.0051, "{slope} {n}: {lean} for {tilt}");
                assert!((turned - 2.0 * lean).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn platonic_solids_have_their_dihedral_angles() {
        // BV2 (E. W. Weisstein, MathWorld, "Platonic Solid"): the tetrahedron stands on a face and comes to a point, so
        // does half an octahedron; two rings of an icosahedron's triangles about its axis are no hull of two sections.
        let apex = |z: f64| (Section::point(Vec2::ZERO), z);
        let dihedral = |base: Section, (point, z): (Section, f64)| {
            let all = facets(&[Strip::new(&base, 0.0, &point, z).expect("a wall")]);
            180.0 - 2.0 * bevels(&all, 0, 1.0).into_iter().find(|b| !b.0.is_nan()).expect("a neighbour").1
        };
        // Edge 60: a triangle's flats are 60/(2√3) from its middle, and the tetrahedron is 60 · √(2/3) tall.
        let tetra = dihedral(regular(3, 30.0 / 3f64.sqrt()), apex(60.0 * (2.0f64 / 3.0).sqrt()));
        assert!((tetra - 70.528_78).abs() < 5e-6, "{tetra}");
        // A square of edge 60, and 60/√2 up.
        let octa = dihedral(regular(4, 30.0), apex(60.0 / 2f64.sqrt()));
        assert!((octa - 109.471_22).abs() < 5e-6, "{octa}");
        let cube = facets(&[Strip::new(&regular(4, 30.0), 0.0, &regular(4, 30.0), 60.0).expect("a wall")]);
        let lean = bevels(&cube, 0, 1.0).into_iter().find(|b| !b.0.is_nan()).expect("a neighbour").1;
        assert!((180.0 - 2.0 * lean - 90.0).abs() < 1e-9);
    }

    #[test]
    fn the_inside_is_short_by_what_the_fold_takes() {
        // BV3: t / tan(δ/2) at each edge; δ = 90°, t = 5: 5. δ = 120°: 2.88675.
        for (n, short) in [(4u32, 5.0), (6, 2.886_75)] {
            let all = facets(&[Strip::new(&regular(n, 80.0), 0.0, &regular(n, 80.0), 100.0).expect("a wall")]);
            let one = slab(&all, 0, (Style::Mitred, [End::Level; 2]), [-5.0, 0.0]).expect("a sheet");
            let side = |p: &[Vec3]| (p[1] - p[0]).length();
            assert!((side(&one.outer) - side(&one.inner) - 2.0 * short).abs() < 1e-5);
        }
    }

    #[test]
    fn lapped_panels_of_a_box_are_as_long_as_two_of_its_sides_less_a_thickness() {
        let all = facets(&[Strip::new(&regular(4, 80.0), 0.0, &regular(4, 80.0), 100.0).expect("a wall")]);
        for i in 0..4 {
            let one = slab(&all, i, (Style::Lapped, [End::Level; 2]), [-5.0, 0.0]).expect("a sheet");
            for face in [&one.inner, &one.outer] {
                assert!(((face[1] - face[0]).length() - 155.0).abs() < 1e-9, "one end set back, the other full");
            }
        }
    }

    #[test]
    fn corners_of_like_frusta_meet_at_every_depth() {
        let at = |flat: f64| regular(6, flat);
        let strips = [
            Strip::new(&at(60.0), 0.0, &at(80.0), 50.0).expect("a wall"),
            Strip::new(&at(80.0), 50.0, &at(30.0), 90.0).expect("a wall"),
            Strip::new(&at(30.0), 90.0, &Section::point(Vec2::ZERO), 140.0).expect("a wall"),
        ];
        let all = facets(&strips);
        assert_eq!(all.len(), 18);
        let slabs: Vec<Slab> =
            (0..18).map(|i| slab(&all, i, (Style::Mitred, [End::Level; 2]), [-6.0, 0.0]).expect("a sheet")).collect();
        for i in 0..18 {
            for k in 0..all[i].corners.len() {
                assert!(apart(&all, &slabs, i, k) < 1e-9, "{i} {k}");
                let joined = all[i].strip > 0 || all[i].meets[k] != Meet::Upper;
                assert!(joined);
            }
        }
        // A square that becomes an octagon: eight facets whose tips at the square's corners do not.
        let mixed = facets(&[Strip::new(&regular(4, 60.0), 0.0, &regular(8, 60.0), 80.0).expect("a wall")]);
        assert_eq!(mixed.len(), 8);
        let slabs: Vec<Slab> =
            (0..8).map(|i| slab(&mixed, i, (Style::Mitred, [End::Level; 2]), [-6.0, 0.0]).expect("a sheet")).collect();
        assert!((0..8).any(|i| (0..mixed[i].corners.len()).any(|k| apart(&mixed, &slabs, i, k) > 1.0)));
    }
}
