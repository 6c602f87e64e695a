//! Trims a chain where it runs back on itself for a little way: from the cusp where it turns back to the cusp where
//! it turns forward again. The parts before and after cross within that stretch; the chain goes from one to the other
//! at the crossing. (Beyond the rim of a measured face the side of a transition narrows past nothing, and so does the
//! flat place of a full oval: the swallowtail of a parallel curve.)

use super::Vec2;
use super::path::{Path, Seg};
use crate::num;

/// The longest stretch that is trimmed, mm; `parallel` refuses what would be longer.
const LONGEST: f64 = 2.0;

/// The chain without its short backward stretches. Where one is cut by the chain's own end (a seam lies within it), the
/// end stays and the chain goes on from where it passes by.
#[must_use]
pub fn trimmed(path: Path) -> Path {
    let mut path = without_start(path);
    path = without_start(path.reversed()).reversed();
    // Each pass takes out one stretch, so the number of segments bounds the passes.
    for _ in 0..path.segs.len() {
        let Some((first, last)) = backward(&path) else { break };
        let before = Path { segs: path.segs[..first].to_vec() };
        let after = Path { segs: path.segs[last + 1..].to_vec() };
        let long: f64 = path.segs[first..=last].iter().map(Seg::length).sum();
        path = match joined(&before, &after, 2.0 * long) {
            Some(path) => path,
            None => break,
        };
    }
    path
}

fn cusp(path: &Path, from: usize) -> Option<usize> {
    (from.max(1)..path.segs.len()).find(|&i| path.segs[i - 1].direction(1.0).dot(path.segs[i].direction(0.0)) < -0.9)
}

fn long(segs: &[Seg]) -> f64 {
    segs.iter().map(Seg::length).sum()
}

/// Takes out a short backward stretch at the start: one before a cusp that a long stretch follows.
fn without_start(path: Path) -> Path {
    let Some(first) = cusp(&path, 1) else { return path };
    let next = cusp(&path, first + 1).unwrap_or(path.segs.len());
    let back = long(&path.segs[..first]);
    if back > LONGEST || long(&path.segs[first..next]) <= LONGEST {
        return path;
    }
    let after = Path { segs: path.segs[first..].to_vec() };
    let (start, way) = (path.segs[0].a, path.segs[first].direction(0.0));
    let passes = num::bisect(0.0, 2.0 * back, 1e-12, |s| after.at_length(s).map_or(0.0, |(p, _)| (p - start).dot(way)));
    let Some(at) = passes else { return path };
    let mut out = after.part(at, after.length());
    if let Some(s) = out.segs.first_mut() {
        s.a = start;
    }
    out
}

/// The first short stretch between two cusps, as the indices of its segments.
fn backward(path: &Path) -> Option<(usize, usize)> {
    let mut first = cusp(path, 1)?;
    while let Some(next) = cusp(path, first + 1) {
        if long(&path.segs[first..next]) <= LONGEST {
            return Some((first, next - 1));
        }
        first = next;
    }
    None
}

/// The two chains cut at their crossing, looked for within `reach` of their ends; where they lie on one line, half-way.
fn joined(before: &Path, after: &Path, reach: f64) -> Option<Path> {
    let (long, tip) = (before.length(), before.end()?);
    let (_, way) = before.at_length(long)?;
    let start = after.start()?;
    // Along the common direction at the cusps, `after` is met where `before` stands; what is left is how far aside.
    let ahead = |p: Vec2| (p - tip).dot(way);
    let partner =
        |p: Vec2| num::bisect(0.0, reach, 1e-12, |s| after.at_length(s).map_or(0.0, |(q, _)| ahead(q) - ahead(p)));
    let aside = |back: f64| -> Option<(f64, f64)> {
        let (p, _) = before.at_length(long - back)?;
        let s = partner(p)?;
        let (q, _) = after.at_length(s)?;
        Some((way.perp_dot(q - p), s))
    };
    let most = (-ahead(start)).min(reach);
    let (low, high) = (aside(0.0)?.0, aside(most)?.0);
    let back = if low.abs().max(high.abs()) < 1e-9 || (low > 0.0) == (high > 0.0) {
        0.5 * most
    } else {
        num::bisect(0.0, most, 1e-12, |b| aside(b).map_or(0.0, |a| a.0))?
    };
    let (_, on) = aside(back)?;
    let mut head = before.part(0.0, long - back);
    let mut tail = after.part(on, after.length());
    // One point for both.
    let meet = tail.start()?;
    if let Some(last) = head.segs.last_mut() {
        last.b = meet;
    }
    head.segs.append(&mut tail.segs);
    Some(head)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_back_is_cut_at_the_crossing() {
        // Two arcs of one circle's curvature, the second begun 0.5 behind the end of the first: they cross half-way.
        let arc = |a: Vec2, b: Vec2| Seg { a, b, bulge: -0.05 };
        let (p, q) = (Vec2::new(0.0, 0.0), Vec2::new(-0.5, 0.0));
        let first = arc(Vec2::new(-20.0, -2.0), p);
        let way = first.direction(1.0);
        let q = p - way * (p - q).length();
        let second = Seg { a: q, b: q + Vec2::new(20.0, -2.0), bulge: -0.05 };
        let path = trimmed(Path { segs: vec![first, Seg::line(p, q), second] });
        assert_eq!(path.segs.len(), 2);
        let whole = first.length() + second.length() - 0.5;
        assert!((path.length() - whole).abs() < 1e-2, "{} {whole}", path.length());
        let corner = path.segs[0].direction(1.0).dot(path.segs[1].direction(0.0));
        assert!(corner > 0.99);
    }

    #[test]
    fn a_chain_without_cusps_stays() {
        let path = Path::polyline(&[Vec2::ZERO, Vec2::X, Vec2::ONE]);
        assert_eq!(trimmed(path.clone()), path);
    }
}
