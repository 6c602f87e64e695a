//! A wall from its stations: strips, the rings they form, and the proof that every face of the sheet is there.

use std::ops::Range;

use super::measure;
use crate::geom::section::{Section, integral};
use crate::geom::strip::{Strip, StripFault};
use crate::geom::tol;
use crate::num::TAU;

/// A section in its place along the axis, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stationed {
    pub z: f64,
    pub section: Section,
    pub point: bool,
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
    /// A corner or bend too tight for the sheet: its radius on the measured face at the station, and the least that
    /// leaves an inside radius of nothing.
    TooTight { station: usize, has: f64, least: f64, direction: f64 },
    /// A straight side that the sheet's thickness leaves no length.
    SideGone { station: usize, has: f64, least: f64, direction: f64 },
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

/// Strips that lie in one flat piece: gathered while the next one's slope agrees all round. The difference of
/// slope turns one flat against the other by at most `∮ |sin α₁ − sin α₂| dφ`, and over half the shared girth that
/// may open no gap above `tol::ONE_PIECE`.
pub(super) fn rings(strips: &[Strip]) -> Vec<Range<usize>> {
    let mut rings: Vec<Range<usize>> = Vec::new();
    for i in 0..strips.len() {
        match rings.last_mut() {
            Some(ring) if one_piece(&strips[i - 1], &strips[i]) => ring.end = i + 1,
            _ => rings.push(i..i + 1),
        }
    }
    rings
}

fn one_piece(below: &Strip, above: &Strip) -> bool {
    let sine = |s: &Strip, phi: f64| measure::facing(s, phi).map(|r| r.sine());
    let turn = integral(0.0, TAU, |phi| match (sine(below, phi), sine(above, phi)) {
        (Some(a), Some(b)) => (a - b).abs(),
        _ => 1.0,
    });
    turn * 0.5 * measure::girth(above, above.heights().0, 0.0) <= tol::ONE_PIECE
}

/// How finely a stretch is looked at.
const LOOKS: usize = 24;

/// Every parallel surface of a strip between the depths `inner` and `outer` exists: no radius below nothing, no side
/// of negative length, at either plane (a closed end aside).
pub(super) fn check(strips: &[Strip], stations: &[Stationed], inner: f64, outer: f64) -> Result<(), WallFault> {
    for (i, strip) in strips.iter().enumerate() {
        for (station, upper) in [(i, false), (i + 1, true)] {
            if !stations[station].point {
                check_end(strip, station, upper, inner, outer)?;
            }
        }
    }
    Ok(())
}

fn check_end(strip: &Strip, station: usize, upper: bool, inner: f64, outer: f64) -> Result<(), WallFault> {
    let stretches = strip.stretches();
    for (j, s) in stretches.iter().enumerate() {
        let hollow = s.to < s.from;
        for n in 0..=LOOKS {
            let phi = s.from + (s.to - s.from) * n as f64 / LOOKS as f64;
            let r = measure::radii(strip, j, phi);
            let rho = if upper { r.upper } else { r.lower };
            // Walked backwards, a hollow arc has a negative radius that must stay so.
            let sign = if hollow { -1.0 } else { 1.0 };
            for d in [inner, outer] {
                if sign * (rho + d * r.per_depth) < -tol::SAME {
                    let least = -sign * d * r.per_depth;
                    return Err(WallFault::TooTight { station, has: sign * rho, least, direction: phi });
                }
            }
        }
        let next = (j + 1) % stretches.len();
        let (a, b) = (strip.rule(j, s.to), strip.rule(next, stretches[next].from));
        let (z0, z1) = strip.heights();
        let z = if upper { z1 } else { z0 };
        let side = |d: f64| b.support_at(z, d).1 - a.support_at(z, d).1;
        for d in [inner, outer] {
            if side(d) < -1e-6 {
                let fault =
                    WallFault::SideGone { station, has: side(0.0), least: side(0.0) - side(d), direction: s.to };
                return Err(fault);
            }
        }
    }
    Ok(())
}

/// Whether the surface at depth `d` has a section at height `z` (of this strip's rules, or beyond its planes): no
/// radius and no side below nothing.
pub(super) fn exists_at(strip: &Strip, z: f64, d: f64) -> bool {
    let (z0, z1) = strip.heights();
    let share = (z - z0) / (z1 - z0);
    let stretches = strip.stretches();
    stretches.iter().enumerate().all(|(j, s)| {
        let sign = if s.to < s.from { -1.0 } else { 1.0 };
        let arcs = (0..=LOOKS).all(|n| {
            let r = measure::radii(strip, j, s.from + (s.to - s.from) * n as f64 / LOOKS as f64);
            let rho = r.lower + (r.upper - r.lower) * share + d * r.per_depth;
            // Infinite radii at both planes leave no number.
            rho.is_nan() || sign * rho > -tol::SAME
        });
        let next = (j + 1) % stretches.len();
        let side = strip.rule(next, stretches[next].from).support_at(z, d).1 - strip.rule(j, s.to).support_at(z, d).1;
        arcs && side > -1e-6
    }) && measure::girth(strip, z, d) > 1.0
}

/// The height at which the surface at depth `d` of a wall that ends in a point first closes, walking towards the
/// point: where the first of its radii or sides comes to nothing. `None` when it is closed all the way.
pub(super) fn closes_at(strip: &Strip, at_top: bool, d: f64) -> Option<f64> {
    let (z0, z1) = strip.heights();
    let (open, end) = if at_top { (z0, z1) } else { (z1, z0) };
    // Each radius and side runs straight from `have + d per` at the open end to `d per` at the point: it comes to
    // nothing a share `1 + d per / have` of the way.
    let mut share = f64::INFINITY;
    let stretches = strip.stretches();
    let mut take = |have: f64, per: f64| {
        if have > tol::SAME {
            share = share.min(1.0 + d * per / have);
        }
    };
    for (j, s) in stretches.iter().enumerate() {
        for n in 0..=LOOKS {
            let phi = s.from + (s.to - s.from) * n as f64 / LOOKS as f64;
            let r = measure::radii(strip, j, phi);
            let have = if at_top { r.lower } else { r.upper };
            if have.is_finite() {
                take(have.abs(), r.per_depth * if s.to < s.from { -1.0 } else { 1.0 });
            }
        }
        let next = (j + 1) % stretches.len();
        let (a, b) = (strip.rule(j, s.to), strip.rule(next, stretches[next].from));
        let have = if at_top { b.k0 - a.k0 } else { b.k1 - a.k1 };
        take(have, b.secant_turn() - a.secant_turn());
    }
    (share.is_finite() && share > 0.0).then(|| open + (end - open) * share)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vec2;

    fn at(z: f64, radius: f64) -> Stationed {
        let section = if radius == 0.0 { Section::point(Vec2::ZERO) } else { Section::circle(radius) };
        Stationed { z, section, point: radius == 0.0 }
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
        let stations = [at(0.0, 4.0), at(30.0, 40.0)];
        let s = strips(&stations, 3.0).unwrap();
        let sec = (1.0f64 + 1.2 * 1.2).sqrt();
        match check(&s, &stations, -5.0, 0.0) {
            Err(WallFault::TooTight { station: 0, has, least, .. }) => {
                assert!((has - 4.0).abs() < 1e-9 && (least - 5.0 * sec).abs() < 1e-9);
            }
            other => panic!("{other:?}"),
        }
        assert_eq!(check(&s, &stations, -2.0, 0.0), Ok(()));
    }

    #[test]
    fn a_point_may_not_stand_in_the_middle() {
        let stations = [at(0.0, 40.0), at(30.0, 0.0), at(60.0, 40.0)];
        assert_eq!(strips(&stations, 0.0), Err(WallFault::PointWithin(1)));
    }
}
