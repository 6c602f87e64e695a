//! A shell in or over another without stations of its own: the other's stations, moved by a depth, where the moved
//! sections can be written exactly. Round shells always can; others where the wall stands upright, which moves every
//! rounded corner to a rounded corner.

use super::super::wall::Stationed;
use crate::geom::section::{Curve, Element, Section};
use crate::geom::{Vec2, tol};

/// Why stations cannot be copied.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum CopyFault {
    /// The moved sections are of no form that can be written exactly.
    NotExact,
    /// Nothing is left of a section, or two stations change places.
    NoRoom,
}

/// The stations of the parallel surface at depth `d`, and the height of its foot (which a point moves).
pub(super) fn parallel(stations: &[Stationed], d: f64) -> Result<(Vec<Stationed>, f64), CopyFault> {
    if let Some(profile) = profile(stations) {
        return round(&profile, d);
    }
    let upright = stations.windows(2).all(|w| w[0].section == w[1].section);
    if !upright {
        return Err(CopyFault::NotExact);
    }
    let first = stations.first().ok_or(CopyFault::NoRoom)?;
    let section = moved(&first.section, d)?;
    Ok((
        stations.iter().map(|s| Stationed { z: s.z, section: section.clone(), point: false, leans: None }).collect(),
        0.0,
    ))
}

/// A section moved outward by `d`: every radius grows by it.
pub(super) fn moved(section: &Section, d: f64) -> Result<Section, CopyFault> {
    let elements = section
        .elements()
        .iter()
        .map(|e| match e.curve {
            Curve::Round { centre, radius } => {
                let radius = radius + d;
                if radius * (e.to - e.from) < -tol::SAME {
                    return Err(CopyFault::NoRoom);
                }
                Ok(Element { curve: Curve::Round { centre, radius }, ..*e })
            }
            Curve::Oval { .. } | Curve::Sum { .. } | Curve::Hull { .. } if d.abs() < tol::SAME => Ok(*e),
            Curve::Oval { .. } | Curve::Sum { .. } | Curve::Hull { .. } => Err(CopyFault::NotExact),
        })
        .collect::<Result<Vec<_>, _>>()?;
    Section::new(elements).map_err(|_| CopyFault::NoRoom)
}

/// Heights and radii of a wall that is round about its axis.
pub(super) fn profile(stations: &[Stationed]) -> Option<Vec<(f64, f64)>> {
    let round = |s: &Section| {
        let first = s.elements().first()?.curve;
        let Curve::Round { centre, radius } = first else { return None };
        (centre == Vec2::ZERO && s.elements().iter().all(|e| e.curve == first)).then_some(radius)
    };
    stations.iter().map(|s| Some((s.z, round(&s.section)?))).collect()
}

/// The profile's straight lines moved along their normals and met again: end planes stay where they are, a point
/// moves along the axis.
fn round(profile: &[(f64, f64)], d: f64) -> Result<(Vec<Stationed>, f64), CopyFault> {
    // Of each line: the normal in (r, z) and its distance from the origin after the move.
    let lines: Vec<(Vec2, f64)> = profile
        .windows(2)
        .map(|w| {
            let n = Vec2::new(w[1].0 - w[0].0, w[0].1 - w[1].1).normalize_or_zero();
            (n, n.dot(Vec2::new(w[0].1, w[0].0)) + d)
        })
        .collect();
    let radius_at = |(n, c): (Vec2, f64), z: f64| (c - n.y * z) / n.x;
    let last = profile.len() - 1;
    let mut out = Vec::with_capacity(profile.len());
    for (i, &(z, r)) in profile.iter().enumerate() {
        let line = lines[i.min(last - 1)];
        let closed = r < tol::SAME;
        let (z, r) = if closed {
            // The line meets the axis: r = 0.
            (line.1 / line.0.y, 0.0)
        } else if i == 0 || i == last {
            (z, radius_at(line, z))
        } else {
            let before = lines[i - 1];
            let det = before.0.perp_dot(line.0);
            if det.abs() < 1e-9 {
                (z, radius_at(line, z))
            } else {
                // Cramer's rule on n₁·p = c₁, n₂·p = c₂.
                let z = (before.0.x * line.1 - line.0.x * before.1) / det;
                (z, radius_at(line, z))
            }
        };
        if !closed && r < tol::SAME {
            return Err(CopyFault::NoRoom);
        }
        let section = if closed { Section::point(Vec2::ZERO) } else { Section::circle(r) };
        out.push(Stationed { z, section, point: closed, leans: None });
    }
    if out.windows(2).any(|w| w[1].z - w[0].z < 0.01) {
        return Err(CopyFault::NoRoom);
    }
    // Heights count from the first station, which a point's may have left.
    let foot = out[0].z;
    for s in &mut out {
        s.z -= foot;
    }
    Ok((out, foot))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn circles(list: &[(f64, f64)]) -> Vec<Stationed> {
        let make = |&(z, r): &(f64, f64)| Stationed { z, section: Section::circle(r), point: false, leans: None };
        list.iter().map(make).collect()
    }

    fn radii(list: &[Stationed]) -> Vec<(f64, f64)> {
        list.iter().map(|s| (s.z, s.section.support(0.0).h)).collect()
    }

    #[test]
    fn a_cone_is_moved_square_to_its_wall() {
        // Slope 3:4, so a depth of 4 moves the radius by 5.
        let (out, _) = parallel(&circles(&[(0.0, 50.0), (40.0, 80.0)]), 4.0).unwrap();
        let r = radii(&out);
        assert!((r[0].1 - 55.0).abs() < 1e-12 && (r[1].1 - 85.0).abs() < 1e-12);
        assert_eq!(r[1].0, 40.0);
    }

    #[test]
    fn a_knee_moves_along_its_bisector() {
        let out = radii(&parallel(&circles(&[(0.0, 50.0), (40.0, 50.0), (80.0, 80.0)]), 4.0).unwrap().0);
        // The upright line stands at 54; the sloped one r = 50 + (z − 40)·3/4 + 5 meets it at z = 40 − 4/3.
        assert!((out[1].0 - (40.0 - 4.0 / 3.0)).abs() < 1e-12, "{out:?}");
        assert!((out[1].1 - 54.0).abs() < 1e-12);
    }

    #[test]
    fn an_oval_is_not_copied_inexactly() {
        let oval = Section::oval(30.0, 40.0, 2.0);
        let make = |z| Stationed { z, section: oval.clone(), point: false, leans: None };
        assert_eq!(parallel(&[make(0.0), make(50.0)], 2.0), Err(CopyFault::NotExact));
        assert!(parallel(&[make(0.0), make(50.0)], 0.0).is_ok());
        assert_eq!(parallel(&circles(&[(0.0, 5.0), (50.0, 5.0)]), -6.0), Err(CopyFault::NoRoom));
    }
}
