//! The flat of one parallel surface of a wall, exactly: both rims run along `τ = (cos ψ, sin ψ)` with
//! `dψ = −sin α dφ` (geodesic curvature `κ sin α`, `ds = ρ dφ`: do Carmo, Differential Geometry of Curves and
//! Surfaces, 4-4), and the rule stands on them as `(k1 − k0) τ + H sec α ν`, `ν = left_of(τ)`.
//!
//! With `da = ρ0 τ dφ` and `ρ0 = h0 + k0'`, integration by parts gives the lower rim without second derivatives:
//! `a = k0 τ + ∫ (h0 τ + sin α k0 ν) dφ`; a straight side is a step of `k` at one φ and moves `a` along `τ`.

use core::cell::OnceCell;
use std::sync::Arc;

use super::memo::Memo;
use super::path::{Motion, Mover};
use super::recent::Recent;
use super::series::Series;
use super::strip::Rule;
use super::walk::{Leg, Place, Walk};
use super::{Vec2, left_of, tol, unit};
use crate::num;

/// A wall's surface at one depth, unrolled. Before any motion the walk starts at the origin along x.
#[derive(Clone, Debug)]
pub struct Unrolled<'a> {
    walk: &'a Walk,
    depth: f64,
    /// Reckoned when the first point is asked for: whoever asks for heights and lengths only needs none.
    feet: OnceCell<Arc<Feet>>,
    motion: Motion,
    mover: Mover,
    laid: Memo<Laid>,
}

/// The lower rim before the motion.
#[derive(Clone, Debug)]
struct Feet {
    /// `∫ (h0 τ + sin α k0 ν) dφ` along each leg, and up to each leg's start.
    series: Vec<Option<Series<2>>>,
    sums: Vec<Vec2>,
    /// Start of the walk: `k0` there.
    start: Vec2,
}

static FEET: Recent<Feet> = Recent::new();

/// One rule on the flat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    pub rule: Rule,
    /// Direction of both rims, and up the wall at right angles to it.
    pub tau: Vec2,
    pub nu: Vec2,
    /// The foot at the strip's lower plane, and the way from it to the upper plane.
    pub foot: Vec2,
    pub rise: Vec2,
}

impl Laid {
    /// The point a share `v` of the way up.
    #[must_use]
    pub fn point(&self, v: f64) -> Vec2 {
        self.foot + self.rise * v
    }
}

/// What the tail of a series may be, mm.
const SERIES: f64 = 1e-9;

impl Feet {
    fn new(walk: &Walk, depth: f64) -> Self {
        let mut series = Vec::with_capacity(walk.legs().len());
        let mut sums = Vec::with_capacity(walk.legs().len() + 1);
        let (mut x, mut y) = (num::Sum::new(), num::Sum::new());
        let (z0, _) = walk.strip().heights();
        for (leg, one) in walk.legs().iter().enumerate() {
            sums.push(Vec2::new(x.value(), y.value()));
            if let Leg::Side { .. } = one {
                series.push(None);
                continue;
            }
            let s = Series::new(SERIES, |t| {
                let at = Place { leg, t };
                let rule = walk.rule(at);
                let (h, k) = rule.support_at(z0, depth);
                let tau = unit(-walk.turn(at));
                let per = (tau * h + left_of(tau) * (rule.sine() * k)) * walk.turning(at);
                [per.x, per.y]
            });
            let [dx, dy] = s.total();
            x.add(dx);
            y.add(dy);
            series.push(Some(s));
        }
        sums.push(Vec2::new(x.value(), y.value()));
        let start = Vec2::new(walk.rule(walk.ends().0).support_at(z0, depth).1, 0.0);
        Self { series, sums, start }
    }
}

impl<'a> Unrolled<'a> {
    /// Unrolls the surface at depth `depth`.
    #[must_use]
    pub fn new(walk: &'a Walk, depth: f64) -> Self {
        Self {
            walk,
            depth,
            feet: OnceCell::new(),
            motion: Motion::STAY,
            mover: Motion::STAY.ready(),
            laid: Memo::new(),
        }
    }

    fn feet(&self) -> &Feet {
        self.feet.get_or_init(|| {
            let make = || Feet::new(self.walk, self.depth);
            match self.walk.key() {
                Some(mut key) => {
                    key.push(self.depth.to_bits());
                    FEET.get(key, make)
                }
                None => Arc::new(make()),
            }
        })
    }

    /// The same, moved (never mirrored) by a further motion.
    #[must_use]
    pub fn moved(mut self, by: &Motion) -> Self {
        self.motion = Motion { mirror: false, turn: self.motion.turn + by.turn, shift: by.apply(self.motion.shift) };
        self.mover = self.motion.ready();
        self.laid = Memo::new();
        self
    }

    #[must_use]
    pub fn walk(&self) -> &'a Walk {
        self.walk
    }

    /// The depth of the surface that is laid flat.
    #[must_use]
    pub fn depth(&self) -> f64 {
        self.depth
    }

    /// The rule at a place.
    #[must_use]
    pub fn at(&self, place: Place) -> Laid {
        self.laid.get(place, || self.lay(place))
    }

    fn lay(&self, place: Place) -> Laid {
        let rule = self.walk.rule(place);
        let (z0, z1) = self.walk.strip().heights();
        let (_, k) = rule.support_at(z0, self.depth);
        let (_, k1) = rule.support_at(z1, self.depth);
        let turn = self.walk.turn(place);
        let tau = unit(-turn);
        let feet = self.feet();
        let mut sum = feet.sums[place.leg];
        if let Some(s) = &feet.series[place.leg] {
            let [x, y] = s.at(place.t);
            sum += Vec2::new(x, y);
        }
        let foot = self.mover.apply(tau * k + sum - feet.start);
        let tau = self.mover.apply_direction(tau);
        let nu = left_of(tau);
        Laid { rule, tau, nu, foot, rise: tau * (k1 - k) + nu * (rule.rise() * rule.secant()) }
    }

    /// What [`Self::locate`] finds, on a leg or one beside it.
    #[must_use]
    pub fn locate_near(&self, p: Vec2, leg: usize) -> Option<(Place, f64)> {
        let beside = [Some(leg), leg.checked_sub(1), Some(leg + 1)];
        beside.into_iter().flatten().filter(|l| *l < self.walk.legs().len()).find_map(|l| self.on_leg(p, l, false))
    }

    /// The first place of a leg whose rule passes through a point of the flat, or (`late`) the last.
    fn on_leg(&self, p: Vec2, leg: usize, late: bool) -> Option<(Place, f64)> {
        let off = |at: Place| {
            let laid = self.at(at);
            laid.rise.perp_dot(p - laid.foot)
        };
        // A rule beyond the point where a cone's rules meet passes through it too: each leg is looked through in parts,
        // and only a rule that reaches the point counts.
        const PARTS: u32 = 8;
        (0..PARTS).find_map(|j| {
            let j = if late { PARTS - 1 - j } else { j };
            let (a, b) = (f64::from(j) / f64::from(PARTS), f64::from(j + 1) / f64::from(PARTS));
            let miss = |t: f64| off(Place { leg, t });
            let (first, last) = (miss(a), miss(b));
            if (first > 0.0) == (last > 0.0) && first != 0.0 && last != 0.0 {
                return None;
            }
            let t = num::root(a, b, 1e-15, miss)?;
            let laid = self.at(Place { leg, t });
            let v = (p - laid.foot).dot(laid.rise) / laid.rise.length_squared();
            (-0.2..=1.2).contains(&v).then_some((Place { leg, t }, v))
        })
    }

    /// The place whose rule passes through a point of the flat, and the share of the way up it: the first from the
    /// walk's start, or (`late`) from its end. `None` where no rule reaches there, or not nearer than a fifth of its
    /// length.
    #[must_use]
    pub fn locate(&self, p: Vec2, late: bool) -> Option<(Place, f64)> {
        let legs = self.walk.legs().len();
        let best = (0..legs).find_map(|i| self.on_leg(p, if late { legs - 1 - i } else { i }, late));
        // On the first or last rule itself rounding may have put it outside.
        let ends = self.walk.ends();
        let at = if late { ends.1 } else { ends.0 };
        let laid = self.at(at);
        let v = (p - laid.foot).dot(laid.rise) / laid.rise.length_squared();
        let close = laid.point(v).distance(p) < tol::SAME && (-0.2..=1.2).contains(&v);
        if close { Some((at, v)) } else { best }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;
    use crate::geom::strip::Strip;

    #[test]
    fn a_cone_unrolls_to_the_sector_of_its_slant() {
        // Frustum of radii 10/20, 25 tall: slant √725, outer radius 2√725, 133.7° (printed, "Conical frustum",
        // analyzemath.com).
        let strip = Strip::new(&Section::circle(10.0), 0.0, &Section::circle(20.0), 25.0).expect("a wall");
        let walk = Walk::new(&strip);
        assert!((walk.whole_turn().to_degrees() - 133.700_64).abs() < 1e-5);
        let flat = Unrolled::new(&walk, 0.0);
        let slant = 725f64.sqrt();
        let apex = Vec2::new(0.0, -slant);
        for leg in 0..4 {
            for t in [0.0, 0.3, 0.9] {
                let laid = flat.at(Place { leg, t });
                assert!(((laid.point(0.0) - apex).length() - slant).abs() < 1e-10);
                assert!(((laid.point(1.0) - apex).length() - 2.0 * slant).abs() < 1e-10);
            }
        }
    }

    #[test]
    fn a_point_of_the_flat_is_found_again() {
        let strip =
            Strip::new(&Section::oval(35.0, 52.5, 2.0), 0.0, &Section::oval(60.0, 40.0, 2.5), 150.0).expect("a wall");
        let wide = Strip::new(&Section::circle(10.0), 0.0, &Section::circle(90.0), 40.0).expect("a wall");
        for strip in [strip, wide] {
            let walk = Walk::new(&strip);
            let flat = Unrolled::new(&walk, -2.0);
            for (leg, t, v) in [(0, 0.01, 0.1), (0, 0.7, 0.9), (1, 0.3, 0.5), (walk.legs().len() - 1, 0.98, 0.2)] {
                let p = flat.at(Place { leg, t }).point(v);
                for late in [false, true] {
                    let (at, up) = flat.locate(p, late).expect("a rule passes there");
                    assert!((flat.at(at).point(up) - p).length() < 1e-9);
                    assert_eq!(at.leg, leg);
                    assert!((at.t - t).abs() < 1e-9 && (up - v).abs() < 1e-9);
                }
            }
        }
    }

    #[test]
    fn rims_keep_their_length_on_the_flat() {
        let strip =
            Strip::new(&Section::oval(35.0, 52.5, 2.0), 0.0, &Section::oval(60.0, 40.0, 2.5), 150.0).expect("a wall");
        let walk = Walk::new(&strip);
        for d in [-0.5, 0.0, 2.0] {
            let flat = Unrolled::new(&walk, d);
            for (v, z) in [(0.0, 0.0), (0.4, 60.0), (1.0, 150.0)] {
                let mut long = num::Sum::new();
                let n = 4000;
                for leg in 0..walk.legs().len() {
                    let points: Vec<Vec2> =
                        (0..=n).map(|i| flat.at(Place { leg, t: f64::from(i) / f64::from(n) }).point(v)).collect();
                    points.windows(2).for_each(|w| long.add((w[1] - w[0]).length()));
                }
                let around = walk.around(z, d);
                assert!((long.value() / around - 1.0).abs() < 1e-7, "{d} {v}: {} {around}", long.value());
            }
        }
    }
}
