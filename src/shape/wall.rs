//! A wall from its stations: strips, the rings they form, and the proof that every face of the sheet is there.

use std::ops::Range;

use crate::geom::Vec3;
use crate::geom::onepiece;
use crate::geom::parallel::{self, Looked, ParallelFault};
use crate::geom::plane::Plane;
use crate::geom::rim::Cut;
use crate::geom::section::Section;
use crate::geom::strip::{Strip, StripFault};
use crate::geom::walk::Walk;
use crate::solid::{Rim, Ring};

/// A section in its place along the axis, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stationed {
    pub z: f64,
    pub section: Section,
    pub point: bool,
    /// The way the plane faces along which the wall is cut off there, when that leans.
    pub leans: Option<Vec3>,
}

impl Stationed {
    /// The plane along which the wall is cut off there, when it leans: through the middle of the section.
    pub(super) fn plane(&self) -> Option<Plane> {
        let middle = self.section.middle();
        self.leans.map(|normal| Plane { at: middle.extend(self.z), normal })
    }
}

/// Why stations make no wall; `strip` counts from 0, between stations `strip` and `strip + 1`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum WallFault {
    /// Hollow sections that are not alike.
    HollowUnlike(usize),
    /// Two points follow each other.
    NoGirth(usize),
    /// A point stands between other stations.
    PointWithin(usize),
    /// The seam's direction is on no outer side of a hollow wall.
    SeamInHollow,
    /// A bend too tight for the sheet: its outside radius at the station, and the least that leaves an inside radius
    /// of nothing.
    TooTight { station: usize, has: f64, least: f64, direction: f64 },
    /// A straight side that the sheet's thickness leaves no length, on its inner or its outer face.
    SideGone { station: usize, lacks: f64, direction: f64, inside: bool },
    /// The wall closes at once: it is too thick for its point.
    NoRoomToClose(usize),
}

/// The strips between consecutive stations (sorted by height), begun at the rule that faces `facing`.
pub(super) fn strips(stations: &[Stationed], facing: f64) -> Result<Vec<Strip>, WallFault> {
    let last = stations.len().saturating_sub(1);
    if let Some(i) = (1..last).find(|&i| stations[i].point) {
        return Err(WallFault::PointWithin(i));
    }
    stations
        .windows(2)
        .enumerate()
        .map(|(i, w)| {
            let strip = Strip::new(&w[0].section, w[0].z, &w[1].section, w[1].z).map_err(|f| match f {
                StripFault::HollowUnlike => WallFault::HollowUnlike(i),
                StripFault::NoRise | StripFault::NoGirth => WallFault::NoGirth(i),
            })?;
            strip.begun_at(facing).ok_or(WallFault::SeamInHollow)
        })
        .collect()
}

/// Strips that lie in one flat piece.
pub(super) fn rings(strips: &[Strip]) -> Vec<Range<usize>> {
    let mut rings: Vec<Range<usize>> = Vec::new();
    for i in 0..strips.len() {
        match rings.last_mut() {
            Some(ring) if onepiece::one_piece(&strips[i - 1], &strips[i]) => ring.end = i + 1,
            _ => rings.push(i..i + 1),
        }
    }
    rings
}

/// Every parallel surface of a wall between the depths `inner` and `outer` exists at the ends of its rings, cut as
/// they are: no radius below nothing, no side of negative length.
pub(super) fn check(strips: &[Strip], rings: &[Ring], inner: f64, outer: f64) -> Result<(), WallFault> {
    for ring in rings {
        for (strip, upper, rim) in [(ring.strips.start, false, ring.lower), (ring.strips.end - 1, true, ring.upper)] {
            let (z0, z1) = strips[strip].heights();
            let (z, station) = if upper { (z1, strip + 1) } else { (z0, strip) };
            let cut = match rim {
                Rim::Level => Cut::Level(z),
                Rim::Square => Cut::Square(z),
                Rim::At(z) => Cut::Square(z),
                Rim::Mitre(other) => Cut::Mitre(z, strips[other].clone()),
                Rim::Closed(z) => Cut::Closed(z),
                Rim::Plane(plane) => Cut::Plane(plane),
                Rim::PlaneSquare(plane) => Cut::PlaneSquare(plane),
                // An edge is shaped when its wall stands, and proved then.
                Rim::Shaped { .. } => Cut::Square(z),
            };
            let depths = [inner, outer];
            if let Err((i, fault)) = cut.exists(&strips[strip], &depths) {
                let d = depths[i];
                // Along the normal the radius of a bend grows by the depth.
                match fault {
                    ParallelFault::Corner { phi, radius, .. } => {
                        let least = outer - d;
                        let has = (radius + least).max(0.0);
                        return Err(WallFault::TooTight { station, has, least, direction: phi });
                    }
                    ParallelFault::Side { phi, length, .. } => {
                        return Err(WallFault::SideGone { station, lacks: -length, direction: phi, inside: d < 0.0 });
                    }
                }
            }
        }
    }
    Ok(())
}

/// Whether the surface at depth `d` has a section at height `z`, which may lie beyond the strip's planes.
pub(super) fn exists_at(strip: &Strip, z: f64, d: f64) -> bool {
    let walk = Walk::new(strip);
    Looked::new(&walk).at_level(z, d).is_ok() && walk.around(z, d) > 1.0
}

/// The height at which the neutral surface of a wall that ends in a point first closes; `None` when the sheet is too
/// thick for that to lie past the wall's other end.
pub(super) fn closes_at(strip: &Strip, at_top: bool, d: f64) -> Option<f64> {
    let (z0, z1) = strip.heights();
    parallel::closes_at(strip, d).filter(|&z| if at_top { z > z0 + 0.01 } else { z < z1 - 0.01 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vec2;

    fn at(z: f64, radius: f64) -> Stationed {
        let section = if radius == 0.0 { Section::point(Vec2::ZERO) } else { Section::circle(radius) };
        Stationed { z, section, point: radius == 0.0, leans: None }
    }

    #[test]
    fn a_cylinder_and_a_cone_are_two_rings_always() {
        // Own figure (RG1): a coaxial cylinder of radius 50 and a 4° cone in one piece differ by 17.1 mm of sagitta.
        let stations = [at(0.0, 50.0), at(60.0, 50.0), at(120.0, 50.0 + 60.0 * crate::num::tan(4f64.to_radians()))];
        assert_eq!(rings(&strips(&stations, 3.0).unwrap()), vec![0..1, 1..2]);
        let straight = [at(0.0, 50.0), at(60.0, 53.0), at(120.0, 56.0)];
        assert_eq!(rings(&strips(&straight, 3.0).unwrap()), vec![0..2]);
    }

    #[test]
    fn a_cone_closes_where_its_neutral_surface_does() {
        // Radius 60 over a height of 80: sec α = 1.25. At depth −4 the radius at the foot is 55, so it closes at
        // 80 · 55/60.
        let s = strips(&[at(0.0, 60.0), at(80.0, 0.0)], 3.0).unwrap();
        assert!((closes_at(&s[0], true, -4.0).unwrap() - 80.0 * 55.0 / 60.0).abs() < 1e-9);
        assert!((closes_at(&s[0], true, 0.0).unwrap() - 80.0).abs() < 1e-12);
        assert!(closes_at(&s[0], true, 4.0).unwrap() > 80.0);
        let down = strips(&[at(0.0, 0.0), at(80.0, 60.0)], 3.0).unwrap();
        assert!((closes_at(&down[0], false, -4.0).unwrap() - 80.0 * 5.0 / 60.0).abs() < 1e-9);
        assert_eq!(closes_at(&s[0], true, -60.0), None);
    }

    #[test]
    fn a_sheet_thicker_than_its_bend_is_refused_with_the_least_radius() {
        let strips = strips(&[at(0.0, 4.0), at(30.0, 4.0)], 3.0).unwrap();
        let rings = [Ring { strips: 0..1, lower: Rim::Level, upper: Rim::Square }];
        match check(&strips, &rings, -5.0, 0.0) {
            Err(WallFault::TooTight { station: 0, has, least, .. }) => {
                assert!((has - 4.0).abs() < 1e-9 && (least - 5.0).abs() < 1e-9);
            }
            other => panic!("{other:?}"),
        }
        assert_eq!(check(&strips, &rings, -2.0, 0.0), Ok(()));
    }

    #[test]
    fn a_point_may_not_stand_in_the_middle() {
        let stations = [at(0.0, 40.0), at(30.0, 0.0), at(60.0, 40.0)];
        assert_eq!(strips(&stations, 0.0), Err(WallFault::PointWithin(1)));
    }
}
