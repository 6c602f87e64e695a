//! Rings of a shell whose stations lean between its ends, or whose sections change along a bend and are not all round:
//! each is the wall between the sections at its own two cuts, whose planes may lean toward each other (`geom::hull`). A
//! section stands over its plane as it is seen along the ring's axis; so both rings at a cut hold one curve, since the
//! plane that halves the angle of two axes shows the same section along either.

use super::super::super::seam::Joined;
use super::super::super::wall::Stationed;
use super::super::super::{errors, measure, wall};
use super::super::shell::{self, Spec};
use super::build::{Raw, turned};
use super::read::Bent;
use crate::eval::Stop;
use crate::geom::hull::{self, Over};
use crate::geom::plane::Plane;
use crate::geom::section::{Element, Section};
use crate::geom::spine::{self, Cone, NEAR, Piece};
use crate::geom::strip::{Strip, StripFault};

use crate::geom::{Vec3, angle, tol};
use crate::num;
use crate::shape::section::Given;
use crate::solid::OfSeen;
use crate::span::Span;

/// A cut between two pieces, or an end of the spine.
struct Joint {
    section: Section,
    /// The station that stands there.
    station: Option<usize>,
    /// Its plane seen from the piece below and from the piece above; none at an end.
    below: Option<Plane>,
    above: Option<Plane>,
}

/// The rings, from the first one up.
///
/// # Errors
/// Where two neighbouring sections have no wall between them.
pub(super) fn hulled(spec: &Spec, placed: &[Stationed], bent: &Bent, joined: &Joined) -> Result<Vec<Raw>, Stop> {
    let mut pieces = bent.pieces();
    cut_at_stations(&mut pieces, placed);
    let joints = joints(spec, &pieces, placed)?;
    let mut out = Vec::with_capacity(pieces.len());
    for (i, piece) in pieces.iter().enumerate() {
        let (low, up) = (&joints[i], &joints[i + 1]);
        let (lower, upper) = (low.above, up.below);
        let over = |plane: Option<Plane>, z: f64| plane.map_or(Over::level(z), |p| p.over());
        let (z0, z1) = (over(lower, 0.0), over(upper, piece.long));
        let level = z0.is_level() && z1.is_level();
        // What does not change is cut from one straight tube.
        let strip = if level || low.section == up.section {
            Strip::new(&low.section, 0.0, &up.section, piece.long)
        } else {
            hull::between((&low.section, z0), (&up.section, z1))
        };
        let strip = strip.map_err(|f| {
            let rise = hull::rise((&low.section, z0), (&up.section, z1));
            fault(f, spec, placed, (i, piece, rise))
        })?;
        // The seam stands where the section below faces so: on a flat side in its middle, whichever way that is carried.
        let facing = joined.facing + turned(joined, i, None, joined.span)?;
        let facing = match strip.is_between_leaning() {
            true => hull::facing((&low.section, z0), (&up.section, z1), facing).unwrap_or(facing),
            false => facing,
        };
        let strip = strip.begun_at(facing).ok_or_else(|| shell::fault(wall::WallFault::SeamInHollow, spec))?;
        let mut seen = Vec::new();
        for (joint, plane) in [(low, lower), (up, upper)] {
            let (Some(station), Some(plane)) = (joint.station, plane) else { continue };
            let sizes = spec.stations[station].lowered.given.iter().map(|given| match *given {
                Given::Around(mm) => OfSeen::Around(mm),
                Given::Across { direction, mm } => OfSeen::Across { direction, mm },
            });
            seen.extend(sizes.map(|size| (station, plane, size)));
        }
        out.push(Raw {
            frame: piece.frame,
            strip,
            lower,
            upper,
            ends: (0.0, piece.long),
            from: piece.from,
            turn: 0.0,
            facing,
            widths: Vec::new(),
            lengths: Vec::new(),
            seen,
            turns: if i > 0 { angle(pieces[i - 1].frame.z, piece.frame.z) } else { 0.0 },
        });
    }
    Ok(out)
}

/// A step at a joint is told from this on, mm: less is gone with the glue.
pub(super) const TOLD: f64 = 0.5;

/// How far the faces of two rings stand off each other beside the plane that both are cut along: at depth `d` a face
/// reaches `d / cos β` past the measured one along the plane, β the lean of the wall from square to it.
pub(super) fn step(below: &Raw, above: &Raw, depths: [f64; 2]) -> f64 {
    let (Some(low), Some(up)) = (below.upper, above.lower) else { return 0.0 };
    let reach = |raw: &Raw, plane: Plane, phi: f64| {
        let rule = measure::facing(&raw.strip, phi)?;
        let sine = rule.normal().dot(plane.normal);
        Some(1.0 / (1.0 - sine * sine).max(f64::MIN_POSITIVE).sqrt())
    };
    let thick = depths[0].abs().max(depths[1].abs());
    let off = |i: u32| {
        let phi = num::TAU * f64::from(i) / 360.0;
        Some(thick * (reach(below, low, phi)? - reach(above, up, phi)?).abs())
    };
    (0..360).filter_map(off).fold(0.0, f64::max)
}

/// Cuts pieces at the stations between the ends; where three follow each other level with one section, the wall goes on.
fn cut_at_stations(pieces: &mut Vec<Piece>, placed: &[Stationed]) {
    for w in placed.windows(3) {
        if w.iter().all(|s| s.leans.is_none() && s.section == w[1].section) {
            continue;
        }
        spine::cut(pieces, w[1].z);
    }
}

fn joints(spec: &Spec, pieces: &[Piece], placed: &[Stationed]) -> Result<Vec<Joint>, Stop> {
    let prism = Cone { ball: 0.0, sine: 0.0, cosine: 1.0 };
    let mut out = Vec::with_capacity(pieces.len() + 1);
    for i in 0..=pieces.len() {
        let at = pieces.get(i).map_or_else(|| pieces[i - 1].from + pieces[i - 1].long, |p| p.from);
        let station = placed.iter().position(|s| (s.z - at).abs() < NEAR);
        let section = match station {
            Some(i) => placed[i].section.clone(),
            None => between(placed, at).map_err(|i| shell::fault(wall::WallFault::HollowUnlike(i), spec))?,
        };
        let (mut below, mut above) = (None, None);
        if i > 0 && i < pieces.len() {
            let (a, b) = (&pieces[i - 1], &pieces[i]);
            let leans = station.and_then(|s| Some((s, placed[s].leans?)));
            if angle(a.frame.z, b.frame.z) < tol::SAME_ANGLE {
                let normal = leans.map_or(Vec3::Z, |l| l.1);
                let middle = section.middle();
                below = Some(Plane { at: middle.extend(a.long), normal });
                above = Some(Plane { at: middle.extend(0.0), normal });
            } else if let Some((s, _)) = leans {
                return Err(errors::leans_at_a_cut(spec.stations[s].section).into());
            } else {
                below = Some(spine::joint((a, &prism), (b, &prism), &a.frame));
                above = Some(spine::joint((a, &prism), (b, &prism), &b.frame));
            }
        }
        out.push(Joint { section, station, below, above });
    }
    Ok(out)
}

/// The section that a straight wall between the stations would have there; the number of the first of two that have none.
fn between(placed: &[Stationed], at: f64) -> Result<Section, usize> {
    let i = placed.windows(2).position(|w| at < w[1].z).unwrap_or(placed.len() - 2);
    let (a, b) = (&placed[i], &placed[i + 1]);
    if a.section == b.section {
        return Ok(a.section.clone());
    }
    let strip = Strip::new(&a.section, a.z, &b.section, b.z).map_err(|_| i)?;
    let share = (at - a.z) / (b.z - a.z);
    let element =
        |s: &crate::geom::strip::Stretch| Element { from: s.from, to: s.to, curve: s.lower.toward(s.upper, share) };
    Section::new(strip.stretches().iter().map(element).collect()).map_err(|_| i)
}

/// The number of the last station but one at most that does not stand behind a place.
fn before(places: impl ExactSizeIterator<Item = f64> + DoubleEndedIterator, from: f64) -> usize {
    let last = places.len().saturating_sub(2);
    let mut places = places;
    places.rposition(|z| z < from + NEAR).unwrap_or(0).min(last)
}

/// The stations before and behind a ring that begins there.
pub(super) fn beside(spec: &Spec, from: f64) -> [Span; 2] {
    let first = spec.stations.first().map_or(0.0, |s| s.place);
    let i = before(spec.stations.iter().map(|s| s.place - first), from);
    [i, i + 1].map(|i| spec.stations.get(i).map_or(spec.head, |s| s.section))
}

/// Why a ring is not built: `rise` is how far the lowest place of its upper cut lies over the highest of its lower one.
fn fault(fault: StripFault, spec: &Spec, placed: &[Stationed], (i, piece, rise): (usize, &Piece, f64)) -> Stop {
    let before = before(placed.iter().map(|s| s.z), piece.from);
    match fault {
        StripFault::HollowUnlike => shell::fault(wall::WallFault::HollowUnlike(before), spec),
        StripFault::NoGirth => shell::fault(wall::WallFault::NoGirth(before), spec),
        StripFault::NoRise => {
            errors::cuts_overlap(&format!("{} {}", spec.name, i + 1), rise, beside(spec, piece.from)).into()
        }
    }
}
