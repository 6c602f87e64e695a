//! Lines and arcs within an upright rectangle: what of a chain lies inside, as chains of the same true lines and arcs.
//! Lengths mm. It clips lines, not areas: nothing is closed along the rectangle.

use super::Vec2;
use super::path::{Path, Seg};
use crate::num;

/// Shorter stretches than this are left out, mm: a chain that touches the rectangle does not lie in it.
const LEAST: f64 = 1e-6;

/// The stretches of `path` that lie between the corners `lo` and `hi`, in their order along it.
#[must_use]
pub fn clip(path: &Path, lo: Vec2, hi: Vec2) -> Vec<Path> {
    let mut out: Vec<Path> = Vec::new();
    let mut last: Option<Vec2> = None;
    for seg in &path.segs {
        for part in within(seg, lo, hi) {
            match (out.last_mut(), last) {
                (Some(path), Some(end)) if end == part.a => path.segs.push(part),
                _ => out.push(Path { segs: vec![part] }),
            }
            last = Some(part.b);
        }
    }
    out
}

/// Whether all of a chain lies between the corners.
#[must_use]
pub fn inside(path: &Path, lo: Vec2, hi: Vec2) -> bool {
    path.bounds().is_some_and(|(a, b)| a.cmpge(lo).all() && b.cmple(hi).all())
}

/// The stretches of one line or arc inside.
fn within(seg: &Seg, lo: Vec2, hi: Vec2) -> Vec<Seg> {
    let mut at = vec![0.0, 1.0];
    for (axis, edge) in [(0, lo.x), (0, hi.x), (1, lo.y), (1, hi.y)] {
        crossings(seg, axis, edge, &mut at);
    }
    at.retain(|t| (0.0..=1.0).contains(t));
    at.sort_by(f64::total_cmp);
    at.dedup();
    let mut out: Vec<Seg> = Vec::new();
    for w in at.windows(2) {
        let (t0, t1) = (w[0], w[1]);
        let middle = seg.at(0.5 * (t0 + t1));
        if middle.cmplt(lo).any() || middle.cmpgt(hi).any() || seg.length() * (t1 - t0) < LEAST {
            continue;
        }
        // Its own ends stay what they are; a crossing lies on the rectangle's side to the last bit.
        let end = |t: f64| match t {
            0.0 => seg.a,
            1.0 => seg.b,
            _ => seg.at(t).clamp(lo, hi),
        };
        let bulge = match seg.bulge {
            0.0 => 0.0,
            whole if t0 == 0.0 && t1 == 1.0 => whole,
            _ => num::tan(0.25 * seg.sweep() * (t1 - t0)),
        };
        out.push(Seg { a: end(t0), b: end(t1), bulge });
    }
    out
}

/// The shares of the way at which a line or arc meets `x = edge` (axis 0) or `y = edge` (axis 1).
fn crossings(seg: &Seg, axis: usize, edge: f64, at: &mut Vec<f64>) {
    let of = |p: Vec2| if axis == 0 { p.x } else { p.y };
    let Some(centre) = seg.centre() else {
        let rise = of(seg.b) - of(seg.a);
        if rise != 0.0 {
            at.push((edge - of(seg.a)) / rise);
        }
        return;
    };
    let (r, off) = (seg.radius(), edge - of(centre));
    let half = r * r - off * off;
    if half <= 0.0 {
        return;
    }
    for side in [half.sqrt(), -half.sqrt()] {
        let to = if axis == 0 { Vec2::new(off, side) } else { Vec2::new(side, off) };
        let from = seg.a - centre;
        let turn = num::atan2(from.perp_dot(to), from.dot(to));
        let along = if seg.bulge > 0.0 { num::wrap(turn, num::TAU) } else { num::wrap(-turn, num::TAU) };
        at.push(along / seg.sweep().abs());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LO: Vec2 = Vec2::new(-10.0, -5.0);
    const HI: Vec2 = Vec2::new(10.0, 5.0);

    #[test]
    fn a_circle_wider_than_its_window_leaves_two_arcs_of_the_same_circle() {
        let (a, b) = (Vec2::new(0.0, -7.0), Vec2::new(0.0, 7.0));
        let ring = Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] };
        let parts = clip(&ring, LO, HI);
        assert_eq!(parts.len(), 2);
        // cos of half of each arc is the height over the radius.
        let long: f64 = parts.iter().map(Path::length).sum();
        let share = 1.0 - 4.0 * num::acos(5.0 / 7.0) / num::TAU;
        assert!((long - num::TAU * 7.0 * share).abs() < 1e-9, "{long}");
        for s in parts.iter().flat_map(|p| &p.segs) {
            assert!((s.radius() - 7.0).abs() < 1e-9 && s.centre().expect("an arc").length() < 1e-9);
        }
    }

    #[test]
    fn what_lies_inside_comes_out_as_it_was() {
        let path = Path { segs: vec![Seg { a: Vec2::ZERO, b: Vec2::new(4.0, 1.0), bulge: 0.3 }] };
        assert_eq!(clip(&path, LO, HI), vec![path.clone()]);
        assert!(inside(&path, LO, HI));
        assert!(clip(&path, Vec2::splat(20.0), Vec2::splat(30.0)).is_empty());
    }

    proptest! {
        #[test]
        fn two_windows_side_by_side_hold_the_whole(
            x in proptest::array::uniform4(-9.0f64..9.0), y in proptest::array::uniform2(-4.0f64..4.0),
            bulge in -1.0f64..1.0, at in -9.0f64..9.0,
        ) {
            let path = Path { segs: vec![
                Seg { a: Vec2::new(x[0], y[0]), b: Vec2::new(x[1], y[1]), bulge },
                Seg::line(Vec2::new(x[1], y[1]), Vec2::new(x[2], x[3] * 0.4)),
            ] };
            let tall = 100.0;
            let left = clip(&path, Vec2::new(-tall, -tall), Vec2::new(at, tall));
            let right = clip(&path, Vec2::new(at, -tall), Vec2::new(tall, tall));
            let long: f64 = left.iter().chain(&right).map(Path::length).sum();
            prop_assert!((long - path.length()).abs() < 1e-5, "{long} of {}", path.length());
            for p in &left {
                let (_, hi) = p.bounds().expect("not empty");
                prop_assert!(hi.x <= at + 1e-9);
            }
        }
    }
}
