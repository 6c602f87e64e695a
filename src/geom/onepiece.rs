//! Whether two walls that share a station can lie in one flat piece: only when their tangent planes agree all along
//! it, so that both flats show the station as one curve.

use super::path::Motion;
use super::strip::Strip;
use super::unroll::Unrolled;
use super::walk::{Leg, Place, Walk};
use super::{Vec2, left_of, tol, unit};
use crate::num::{self, TAU};

/// Points of the shared station, on the flats of the lower and of the upper wall.
fn pairs(lower: &Unrolled, upper: &Unrolled) -> Vec<(Vec2, Vec2)> {
    let mut out = Vec::new();
    for (leg, one) in lower.walk().legs().iter().enumerate() {
        let n = match one {
            Leg::Side { .. } => 1,
            &Leg::Turn { from, to, .. } => ((to - from).abs() / 3f64.to_radians()).ceil().clamp(2.0, 360.0) as u32,
        };
        for i in 0..=n {
            let at = Place { leg, t: f64::from(i) / f64::from(n) };
            let rule = lower.walk().rule(at);
            let late = at.leg as f64 + at.t > 0.5 * lower.walk().legs().len() as f64;
            if let Some(there) = facing(upper.walk(), late, rule.phi, rule.h1, rule.k1) {
                out.push((lower.at(at).point(1.0), upper.at(there).point(0.0)));
            }
        }
    }
    out
}

/// The place of the upper wall whose foot is the point `(h, k)` at normal `phi`, in the later half of its walk or not.
fn facing(walk: &Walk, late: bool, phi: f64, h: f64, k: f64) -> Option<Place> {
    let mut best: Option<(f64, Place)> = None;
    let start = walk.rule(walk.ends().0).phi;
    let half = 0.5 * walk.legs().len() as f64;
    for mut place in walk.at_normal(phi) {
        if let Leg::Side { first, last } = &walk.legs()[place.leg] {
            let run = last.k0 - first.k0;
            if run.abs() > tol::SAME {
                place.t = ((k - first.k0) / run).clamp(0.0, 1.0);
            }
        }
        let rule = walk.rule(place);
        let mut miss = (rule.h0 - h).abs() + (rule.k0 - k).abs();
        // Start and end of the walk are one rule: take the one asked for.
        if num::wrap(phi - start + 1e-9, TAU) < 2e-9 && (place.leg as f64 + place.t > half) != late {
            miss += 1e-6;
        }
        if best.is_none_or(|b| miss < b.0) {
            best = Some((miss, place));
        }
    }
    best.map(|b| b.1)
}

/// The motion that lays `upper` on `lower` along their shared station, best in the sum of squares, and the largest
/// distance that is left. Both walls begin at the same direction.
#[must_use]
pub fn fit(lower: &Unrolled, upper: &Unrolled) -> (Motion, f64) {
    let pairs = pairs(lower, upper);
    let n = pairs.len().max(1) as f64;
    let (mut a, mut b) = (Vec2::ZERO, Vec2::ZERO);
    for (p, q) in &pairs {
        a += *p / n;
        b += *q / n;
    }
    // The best turn: the angle of Σ (q − b)·(p − a), Σ (q − b)×(p − a).
    let (mut dot, mut cross) = (0.0, 0.0);
    for (p, q) in &pairs {
        dot += (*q - b).dot(*p - a);
        cross += (*q - b).perp_dot(*p - a);
    }
    let turn = num::atan2(cross, dot);
    let x = unit(turn);
    let turned = |v: Vec2| x * v.x + left_of(x) * v.y;
    let motion = Motion { mirror: false, turn, shift: a - turned(b) };
    let miss = pairs.iter().map(|(p, q)| (motion.apply(*q) - *p).length()).fold(0.0, f64::max);
    (motion, miss)
}

/// How far the flats of two walls disagree along the station they share, after the best motion, mm. Both begin at
/// the same direction.
#[must_use]
pub fn mismatch(lower: &Strip, upper: &Strip) -> f64 {
    let (a, b) = (Walk::new(lower), Walk::new(upper));
    fit(&Unrolled::new(&a, 0.0), &Unrolled::new(&b, 0.0)).1
}

/// Whether they are one flat piece, [`tol::ONE_PIECE`].
#[must_use]
pub fn one_piece(lower: &Strip, upper: &Strip) -> bool {
    mismatch(lower, upper) <= tol::ONE_PIECE
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;

    #[test]
    fn a_cylinder_and_a_slight_cone_are_two_pieces() {
        // Radius 50 with a 4° cone: the rims of one piece would differ by 17.1 mm of sagitta. Own derivation: the rim,
        // 2π·50 long, is a straight line on one flat and turns through 2π sin 4° on the other; its sagitta is
        // L/θ (1 − cos θ/2), L = 2π·50, θ = 2π sin 4°.
        let tube = Strip::new(&Section::circle(50.0), 0.0, &Section::circle(50.0), 80.0).expect("a wall");
        let top = 50.0 + 80.0 * num::tan(4f64.to_radians());
        let cone = Strip::new(&Section::circle(50.0), 80.0, &Section::circle(top), 160.0).expect("a wall");
        let theta = TAU * num::sin(4f64.to_radians());
        let sagitta = TAU * 50.0 / theta * (1.0 - num::cos(0.5 * theta));
        assert!((sagitta - 17.1).abs() < 0.05);
        // The best motion shares the sagitta between middle and ends.
        let miss = mismatch(&tube, &cone);
        assert!(miss > 0.4 * sagitta && miss < sagitta, "{miss}");
        assert!(!one_piece(&tube, &cone));
    }

    #[test]
    fn a_cone_cut_in_two_is_one_piece() {
        for (section, scale) in [(Section::circle(50.0), 1.0), (Section::oval(50.0, 30.0, 2.5), 0.6)] {
            let grown = |s: f64| match section.elements()[0].curve {
                crate::geom::section::Curve::Oval { a, b, power, .. } => Section::oval(a * s, b * s, power),
                crate::geom::section::Curve::Round { radius, .. } => Section::circle(radius * s),
                other => panic!("no section of its own: {other:?}"),
            };
            let low = Strip::new(&grown(1.0), 0.0, &grown(1.0 + 0.2 * scale), 50.0).expect("a wall");
            let high = Strip::new(&grown(1.0 + 0.2 * scale), 50.0, &grown(1.0 + 0.6 * scale), 150.0).expect("a wall");
            assert!(mismatch(&low, &high) < 1e-6, "{}", mismatch(&low, &high));
        }
    }
}
