//! Outlines through points, on paper: the first number of a point to the right, the second up, millimetres. Gives a
//! closed counter-clockwise chain of lines and arcs, proved simple, and from it a plane section.
//!
//! A shell's section is such a paper seen from above with the wearer's front at its upper edge: right on the paper is
//! the wearer's right, up is the front. An opening is the hole as seen on the show face. Which way round the points
//! are written makes no difference; an arc with a positive rise bulges outward either way.
//!
//! Crossing is tested on chords within [`CHORD`] of every arc.

use crate::geom::path::{Motion, Path, Seg};
use crate::geom::section::{Curve, Element, Section, SectionFault};
use crate::geom::{Vec2, tol};
use crate::num::{self, FRAC_PI_2, PI, TAU};

/// How far the chords of the crossing test may stand off their arcs, mm: a tenth of the narrowest cut.
const CHORD: f64 = 0.01;
/// Most points of one outline: more than any hand draws, few enough to compare each with each.
pub(super) const MOST_POINTS: usize = 1000;
/// A turn smaller than this is no corner, radians: far below what a knife shows, far above rounding.
const NO_TURN: f64 = 1e-7;

/// A point as written: where the line (or the arc of this rise) from the point before it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Leg {
    pub end: Vec2,
    pub rise: Option<f64>,
}

/// Why points make no outline; points count from 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum OutlineFault {
    TooFew,
    TooMany(usize),
    /// An arc stands first: there is no point it could start from.
    ArcFirst,
    /// The point lies where the one before it lies.
    Repeated(usize),
    /// The line there turns straight back on itself.
    Spike(usize),
    /// The sides that begin at these points meet.
    Crosses(usize, usize),
    NoArea,
    /// The corner at this point has less room than its radius needs: the radius that fits.
    CornerTooLarge {
        point: usize,
        fits: f64,
    },
    /// A corner beside an arc cannot be rounded.
    CornerAtArc(usize),
}

/// One side with the number of the point it begins at.
#[derive(Clone, Copy)]
struct Side {
    seg: Seg,
    point: usize,
}

/// The closed chain through `legs`, its corners between straight sides rounded with `corner`.
pub(super) fn closed(legs: &[Leg], corner: f64, mirror: bool) -> Result<Path, OutlineFault> {
    if legs.len() > MOST_POINTS {
        return Err(OutlineFault::TooMany(legs.len()));
    }
    if legs.first().is_some_and(|l| l.rise.is_some()) {
        return Err(OutlineFault::ArcFirst);
    }
    let legs = if mirror { mirrored(legs) } else { legs.to_vec() };
    let sides = oriented(&sides(&legs)?)?;
    for (i, side) in sides.iter().enumerate() {
        let before = sides[(i + sides.len() - 1) % sides.len()];
        if PI - turn(&before.seg, &side.seg).abs() < NO_TURN {
            return Err(OutlineFault::Spike(side.point));
        }
    }
    if let Some((a, b)) = crossing(&sides) {
        return Err(OutlineFault::Crosses(a, b));
    }
    rounded(&sides, corner)
}

/// Half an outline and its mirror image, left for right; points on the middle line stand once.
fn mirrored(legs: &[Leg]) -> Vec<Leg> {
    let flip = |p: Vec2| Vec2::new(-p.x, p.y);
    let mut all = legs.to_vec();
    let n = legs.len();
    for i in (0..n).rev() {
        // The mirror image of the leg that leads from i to i + 1 leads from there back to i.
        let rise = legs.get(i + 1).and_then(|l| l.rise);
        let end = flip(legs[i].end);
        let on_line = end.x.abs() < tol::SAME;
        if on_line && (i + 1 == n || (i == 0 && rise.is_none())) {
            continue;
        }
        all.push(Leg { end, rise });
    }
    all
}

fn sides(legs: &[Leg]) -> Result<Vec<Side>, OutlineFault> {
    let mut sides = Vec::with_capacity(legs.len() + 1);
    let Some(first) = legs.first() else { return Err(OutlineFault::TooFew) };
    let mut at = first.end;
    for (i, leg) in legs.iter().enumerate().skip(1) {
        let chord = (leg.end - at).length();
        if chord < tol::SAME {
            return Err(OutlineFault::Repeated(i + 1));
        }
        // A sagitta f on a chord c is a bulge of 2 f / c (DXF Reference, LWPOLYLINE group 42).
        sides.push(Side { seg: Seg { a: at, b: leg.end, bulge: leg.rise.unwrap_or(0.0) * 2.0 / chord }, point: i });
        at = leg.end;
    }
    if (at - first.end).length() > tol::SAME {
        sides.push(Side { seg: Seg::line(at, first.end), point: legs.len() });
    } else if let Some(last) = sides.last_mut() {
        last.seg.b = first.end;
    }
    let straight = sides.iter().all(|s| s.seg.bulge == 0.0);
    if sides.len() < 2 || (straight && sides.len() < 3) {
        return Err(OutlineFault::TooFew);
    }
    Ok(sides)
}

/// The sides counter-clockwise. The points alone say which way round they go; when they enclose nothing (two points
/// and an arc) the arcs do.
fn oriented(sides: &[Side]) -> Result<Vec<Side>, OutlineFault> {
    let size: f64 = sides.iter().map(|s| (s.seg.b - s.seg.a).length()).sum();
    let area = |list: &[Side]| Path { segs: list.iter().map(|s| s.seg).collect() }.area();
    let bare = area(&sides.iter().map(|s| Side { seg: Seg::line(s.seg.a, s.seg.b), ..*s }).collect::<Vec<_>>());
    let small = 1e-9 * size * size;
    let back: Vec<Side> =
        sides.iter().rev().map(|s| Side { seg: Seg { a: s.seg.b, b: s.seg.a, ..s.seg }, ..*s }).collect();
    let forward = if bare.abs() > small { bare > 0.0 } else { area(sides) > small };
    let chosen = if forward { sides.to_vec() } else { back };
    if area(&chosen) > small { Ok(chosen) } else { Err(OutlineFault::NoArea) }
}

/// The turn from the end of one side to the start of the next, in (−π, π].
fn turn(before: &Seg, after: &Seg) -> f64 {
    let (u, v) = (before.direction(1.0), after.direction(0.0));
    num::atan2(u.perp_dot(v), u.dot(v))
}

/// Two sides that meet elsewhere than where they follow each other.
fn crossing(sides: &[Side]) -> Option<(usize, usize)> {
    let mut chords: Vec<(Vec2, Vec2, usize)> = Vec::new();
    for s in sides {
        let points = Path { segs: vec![s.seg] }.flattened(CHORD);
        chords.extend(points.windows(2).map(|w| (w[0], w[1], s.point)));
    }
    let n = chords.len();
    let mut order: Vec<usize> = (0..n).collect();
    let left = |i: usize| chords[i].0.x.min(chords[i].1.x);
    let right = |i: usize| chords[i].0.x.max(chords[i].1.x);
    order.sort_by(|&i, &j| left(i).total_cmp(&left(j)).then(i.cmp(&j)));
    for (at, &i) in order.iter().enumerate() {
        for &j in order[at + 1..].iter().take_while(|&&j| left(j) <= right(i)) {
            let apart = i.abs_diff(j);
            if apart > 1 && apart < n - 1 && meet(chords[i], chords[j]) {
                let (a, b) = (chords[i].2, chords[j].2);
                return Some((a.min(b), a.max(b)));
            }
        }
    }
    None
}

fn meet(p: (Vec2, Vec2, usize), q: (Vec2, Vec2, usize)) -> bool {
    let side = |a: Vec2, b: Vec2, c: Vec2| (b - a).perp_dot(c - a);
    let (a, b) = (side(p.0, p.1, q.0), side(p.0, p.1, q.1));
    let (c, d) = (side(q.0, q.1, p.0), side(q.0, q.1, p.1));
    let apart = |lo: f64, hi: f64, lo2: f64, hi2: f64| lo.max(hi) < lo2.min(hi2) || lo2.max(hi2) < lo.min(hi);
    if apart(p.0.x, p.1.x, q.0.x, q.1.x) || apart(p.0.y, p.1.y, q.0.y, q.1.y) {
        return false;
    }
    !((a > 0.0 && b > 0.0) || (a < 0.0 && b < 0.0) || (c > 0.0 && d > 0.0) || (c < 0.0 && d < 0.0))
}

/// Every corner between two straight sides rounded: the tangent points stand `r tan(θ/2)` from a corner that turns
/// by θ.
fn rounded(sides: &[Side], r: f64) -> Result<Path, OutlineFault> {
    let n = sides.len();
    let turns: Vec<f64> = (0..n).map(|i| turn(&sides[(i + n - 1) % n].seg, &sides[i].seg)).collect();
    let per_radius: Vec<f64> =
        turns.iter().map(|t| if t.abs() < NO_TURN { 0.0 } else { num::tan(0.5 * t.abs()) }).collect();
    if r <= 0.0 {
        return Ok(Path { segs: sides.iter().map(|s| s.seg).collect() });
    }
    for i in 0..n {
        let before = sides[(i + n - 1) % n];
        if per_radius[i] > 0.0 && (sides[i].seg.bulge != 0.0 || before.seg.bulge != 0.0) {
            return Err(OutlineFault::CornerAtArc(sides[i].point));
        }
    }
    for i in 0..n {
        let need = per_radius[i] + per_radius[(i + 1) % n];
        let fits = sides[i].seg.length() / need.max(1e-12);
        if need > 0.0 && r > fits * (1.0 + 1e-12) {
            let sharper = if per_radius[i] >= per_radius[(i + 1) % n] { i } else { (i + 1) % n };
            return Err(OutlineFault::CornerTooLarge { point: sides[sharper].point, fits });
        }
    }
    let mut segs = Vec::with_capacity(2 * n);
    for i in 0..n {
        let (seg, next) = (sides[i].seg, (i + 1) % n);
        if seg.bulge != 0.0 {
            segs.push(seg);
            continue;
        }
        let u = seg.direction(0.0);
        let (from, to) = (seg.a + u * (r * per_radius[i]), seg.b - u * (r * per_radius[next]));
        if (to - from).dot(u) > tol::SAME {
            segs.push(Seg::line(from, to));
        }
        if per_radius[next] > 0.0 {
            let v = sides[next].seg.direction(0.0);
            let out = sides[next].seg.a + v * (r * per_radius[next]);
            segs.push(Seg { a: to, b: out, bulge: num::tan(0.25 * turns[next]) });
        }
    }
    // What was trimmed to nothing leaves ends a rounding apart: each side begins where the last ended.
    for i in 0..segs.len() {
        let next = (i + 1) % segs.len();
        segs[next].a = segs[i].b;
    }
    Ok(Path { segs })
}

/// The plane section that a closed counter-clockwise chain on paper bounds (see the module's head for the frame).
///
/// # Errors
/// When the chain is no section.
pub(super) fn section(path: &Path) -> Result<Section, SectionFault> {
    let seen = path.moved(&Motion { mirror: false, turn: -FRAC_PI_2, shift: Vec2::ZERO });
    let segs = &seen.segs;
    let Some(first) = segs.first() else { return Err(SectionFault::Empty) };
    let heading = |v: Vec2| num::atan2(v.y, v.x);
    let mut phi = heading(first.direction(0.0)) - FRAC_PI_2;
    let begin = phi;
    let mut elements = Vec::with_capacity(2 * segs.len());
    for (i, s) in segs.iter().enumerate() {
        if let Some(centre) = s.centre() {
            let to = phi + s.sweep();
            let radius = s.radius() * s.bulge.signum();
            elements.push(Element { from: phi, to, curve: Curve::Round { centre, radius } });
            phi = to;
        }
        let next = segs[(i + 1) % segs.len()];
        let t = turn(s, &next);
        if t.abs() > NO_TURN {
            let curve = Curve::Round { centre: s.b, radius: 0.0 };
            elements.push(Element { from: phi, to: phi + t, curve });
            phi += t;
        }
    }
    if let Some(last) = elements.last_mut() {
        if (last.to - begin - TAU).abs() > 1e-6 {
            return Err(SectionFault::Turn);
        }
        last.to = begin + TAU;
    }
    Section::new(elements)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(x: f64, y: f64) -> Leg {
        Leg { end: Vec2::new(x, y), rise: None }
    }

    fn arc(x: f64, y: f64, rise: f64) -> Leg {
        Leg { end: Vec2::new(x, y), rise: Some(rise) }
    }

    #[test]
    fn either_sense_of_writing_gives_the_same_outline() {
        let there = [line(0.0, 0.0), line(60.0, 0.0), line(60.0, 30.0), line(0.0, 30.0)];
        let back: Vec<Leg> = there.iter().rev().copied().collect();
        let (a, b) = (closed(&there, 5.0, false).unwrap(), closed(&back, 5.0, false).unwrap());
        assert!(a.area() > 0.0 && (a.area() - b.area()).abs() < 1e-9);
        let whole = 60.0 * 30.0 - (4.0 - PI) * 25.0;
        assert!((a.area() - whole).abs() < 1e-9, "{}", a.area());
    }

    #[test]
    fn an_arc_rises_outward_whichever_way_round() {
        let there = [line(0.0, 0.0), line(60.0, 0.0), arc(0.0, 0.0, 30.0)];
        let half = closed(&there, 0.0, false).unwrap();
        assert!((half.area() - 0.5 * PI * 900.0).abs() < 1e-9, "{}", half.area());
        let square = [line(0.0, 0.0), arc(0.0, 60.0, 10.0), line(60.0, 60.0), line(60.0, 0.0)];
        assert!(closed(&square, 0.0, false).unwrap().area() > 3600.0);
    }

    #[test]
    fn a_mirrored_half_is_closed_on_the_middle_line() {
        let half = [line(0.0, 0.0), line(30.0, 0.0), arc(30.0, 40.0, 5.0), line(0.0, 60.0)];
        let path = closed(&half, 0.0, true).unwrap();
        let (lo, hi) = path.bounds().unwrap();
        assert!((lo.x + hi.x).abs() < 1e-9 && (hi.x - 35.0).abs() < 1e-9);
        assert_eq!(path.segs.len(), 6);
    }

    #[test]
    fn faults_name_their_point() {
        let bow = [line(0.0, 0.0), line(60.0, 60.0), line(60.0, 0.0), line(0.0, 60.0)];
        assert_eq!(closed(&bow, 0.0, false), Err(OutlineFault::NoArea));
        let crossed = [line(0.0, 0.0), line(60.0, 60.0), line(70.0, 0.0), line(0.0, 50.0)];
        assert!(matches!(closed(&crossed, 0.0, false), Err(OutlineFault::Crosses(..))));
        assert_eq!(closed(&[line(0.0, 0.0), line(9.0, 0.0)], 0.0, false), Err(OutlineFault::TooFew));
        let twice = [line(0.0, 0.0), line(9.0, 0.0), line(9.0, 0.0), line(0.0, 9.0)];
        assert_eq!(closed(&twice, 0.0, false), Err(OutlineFault::Repeated(3)));
        let small = [line(0.0, 0.0), line(20.0, 0.0), line(20.0, 60.0), line(0.0, 60.0)];
        assert!(
            matches!(closed(&small, 11.0, false), Err(OutlineFault::CornerTooLarge { fits, .. }) if (fits - 10.0).abs() < 1e-9)
        );
        let spike = [line(0.0, 0.0), line(60.0, 0.0), line(30.0, 0.0), line(30.0, 40.0)];
        assert!(matches!(closed(&spike, 0.0, false), Err(OutlineFault::Spike(_) | OutlineFault::Crosses(..))));
    }

    #[test]
    fn a_hollow_outline_is_a_section_with_its_girth() {
        // A square of 40 with a half-round bite of radius 10 out of its upper side.
        let bite = [
            line(-20.0, -20.0),
            line(20.0, -20.0),
            line(20.0, 20.0),
            line(10.0, 20.0),
            arc(-10.0, 20.0, -10.0),
            line(-20.0, 20.0),
        ];
        let section = section(&closed(&bite, 0.0, false).unwrap()).unwrap();
        assert!(!section.is_convex());
        assert!((section.girth() - (140.0 + PI * 10.0)).abs() < 1e-9, "{}", section.girth());
        assert!((section.area() - (1600.0 - 50.0 * PI)).abs() < 1e-9);
    }

    #[test]
    fn up_on_the_paper_is_the_front() {
        let wedge = [line(-30.0, 0.0), line(30.0, 0.0), line(0.0, 80.0)];
        let section = section(&closed(&wedge, 4.0, false).unwrap()).unwrap();
        assert!(section.support(0.0).h > 50.0, "the tip points to the front");
        assert!((section.width(FRAC_PI_2) - 2.0 * section.support(FRAC_PI_2).h).abs() < 1e-9);
    }
}
