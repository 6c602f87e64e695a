//! Numbers that come out the same on every machine: trigonometry through `libm`, compensated sums and
//! bounded root finding. Rank 0: imports nothing of the project.
//!
//! The standard library's `sin`, `cos`, `powf` … may differ in the last bit between platforms, so they are
//! banned (`.clippy.toml`); `sqrt` is exact by IEEE 754 and allowed.

pub use core::f64::consts::{FRAC_PI_2, PI, TAU};

/// Sine of an angle in radians.
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Sine and cosine of an angle in radians.
#[must_use]
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// Tangent of an angle in radians.
#[must_use]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Arc tangent in radians, in (-pi/2, pi/2).
#[must_use]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Angle of the vector (x, y) in radians, in (-pi, pi].
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Arc sine in radians; the argument is clamped to [-1, 1].
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x.clamp(-1.0, 1.0))
}

/// Arc cosine in radians; the argument is clamped to [-1, 1].
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x.clamp(-1.0, 1.0))
}

/// Length of the vector (x, y) without overflow.
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// `x` to the power `y`.
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Hyperbolic sine.
#[must_use]
pub fn sinh(x: f64) -> f64 {
    libm::sinh(x)
}

/// The number whose hyperbolic sine is `x`.
#[must_use]
pub fn asinh(x: f64) -> f64 {
    libm::asinh(x)
}

/// `a` brought into `[0, modulus)`.
#[must_use]
pub fn wrap(a: f64, modulus: f64) -> f64 {
    let r = a % modulus;
    let r = if r < 0.0 { r + modulus } else { r };
    if r >= modulus { 0.0 } else { r }
}

/// A sum that carries its rounding error along (Neumaier 1974), so that long sums of small lengths keep their
/// last digits whatever the order of their sizes.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sum {
    total: f64,
    carry: f64,
}

impl Sum {
    /// An empty sum.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one term.
    pub fn add(&mut self, x: f64) {
        let t = self.total + x;
        self.carry += if self.total.abs() >= x.abs() { (self.total - t) + x } else { (x - t) + self.total };
        self.total = t;
    }

    /// The sum so far.
    #[must_use]
    pub fn value(self) -> f64 {
        self.total + self.carry
    }
}

impl FromIterator<f64> for Sum {
    fn from_iter<I: IntoIterator<Item = f64>>(terms: I) -> Self {
        let mut sum = Self::new();
        for x in terms {
            sum.add(x);
        }
        sum
    }
}

/// What the ends of an interval tell of a root in it.
enum Ends {
    /// The values there, of unlike sign.
    Between(f64, f64),
    /// One end is a root.
    Root(f64),
    /// Of one sign, or no numbers.
    Alike,
}

fn ends(lo: f64, hi: f64, f: impl Fn(f64) -> f64) -> Ends {
    let (flo, fhi) = (f(lo), f(hi));
    if flo == 0.0 {
        Ends::Root(lo)
    } else if fhi == 0.0 {
        Ends::Root(hi)
    } else if (flo > 0.0) == (fhi > 0.0) || flo.is_nan() || fhi.is_nan() {
        Ends::Alike
    } else {
        Ends::Between(flo, fhi)
    }
}

/// Where `f` is greatest in `[lo, hi]`, in which it rises to one peak and falls, and how great, by golden sections (J.
/// Kiefer, "Sequential minimax search for a maximum", Proc. Amer. Math. Soc. 4, 1953); an end counts as well.
pub fn peak(lo: f64, hi: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    peak_within(lo, hi, 48, f)
}

/// The same in so many golden sections: each leaves 0.618 of where the peak may be.
pub fn peak_within(mut lo: f64, mut hi: f64, sections: u32, f: impl Fn(f64) -> f64) -> (f64, f64) {
    let ends = [(lo, f(lo)), (hi, f(hi))];
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut a, mut b) = (hi - GOLDEN * (hi - lo), lo + GOLDEN * (hi - lo));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..sections {
        if fa > fb {
            (hi, b, fb) = (b, a, fa);
            a = hi - GOLDEN * (hi - lo);
            fa = f(a);
        } else {
            (lo, a, fa) = (a, b, fb);
            b = lo + GOLDEN * (hi - lo);
            fb = f(b);
        }
    }
    let best = if fa > fb { (a, fa) } else { (b, fb) };
    ends.into_iter().fold(best, |best, end| if end.1 > best.1 { end } else { best })
}

/// A root of `f` in `[lo, hi]`, to within `tol` in its argument, by bisection: at most 200 halvings.
/// `None` when `f` has the same sign at both ends.
pub fn bisect(mut lo: f64, mut hi: f64, tol: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let flo = match ends(lo, hi, &f) {
        Ends::Between(flo, _) => flo,
        Ends::Root(x) => return Some(x),
        Ends::Alike => return None,
    };
    for _ in 0..200 {
        let mid = 0.5 * (lo + hi);
        if hi - lo <= tol || mid == lo || mid == hi {
            break;
        }
        if (f(mid) > 0.0) == (flo > 0.0) {
            lo = mid;
        } else {
            hi = mid;
        }
    }
    Some(0.5 * (lo + hi))
}

/// A root of `f` in `[lo, hi]`, to within `tol` and the argument's last two digits: inverse quadratic steps wherever
/// they are sure to help, halvings otherwise (T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for
/// finding the zero of a nonlinear function without using derivatives", Advances in Engineering Software 28, 1997).
/// A smooth `f` is asked about ten times, any other at most 200. `None` when `f` has the same sign at both ends.
pub fn root(lo: f64, hi: f64, tol: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (flo, fhi) = match ends(lo, hi, &f) {
        Ends::Between(flo, fhi) => (flo, fhi),
        Ends::Root(x) => return Some(x),
        Ends::Alike => return None,
    };
    // `a` is the newest place, `b` the last one on the other side of the root, `c` the one before `a`.
    let (mut a, mut fa, mut b, mut fb) = (hi, fhi, lo, flo);
    let mut share = 0.5;
    for _ in 0..200 {
        let x = a + share * (b - a);
        let fx = f(x);
        let (c, fc) = if (fx > 0.0) == (fa > 0.0) {
            (a, fa)
        } else {
            let old = (b, fb);
            (b, fb) = (a, fa);
            old
        };
        (a, fa) = (x, fx);
        let best = if fa.abs() < fb.abs() { a } else { b };
        let least = (tol + 2.0 * f64::EPSILON * best.abs()) / (b - a).abs();
        if fa == 0.0 || least > 0.5 || fa.is_nan() {
            return Some(if fa == 0.0 { a } else { best });
        }
        let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
        share = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        share = if share.is_finite() { share.clamp(least, 1.0 - least) } else { 0.5 };
    }
    Some(if fa.abs() < fb.abs() { a } else { b })
}

/// Nodes and weights of the eight-point Gauss-Legendre rule on [-1, 1] (Abramowitz & Stegun 1964, table 25.4).
pub const GAUSS8: [(f64, f64); 8] = [
    (-0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
    (-0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (-0.525_532_409_916_329, 0.313_706_645_877_887_27),
    (-0.183_434_642_495_649_8, 0.362_683_783_378_361_96),
    (0.183_434_642_495_649_8, 0.362_683_783_378_361_96),
    (0.525_532_409_916_329, 0.313_706_645_877_887_27),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrap_never_returns_the_modulus() {
        assert_eq!(wrap(-1e-20, TAU), 0.0);
        assert!((wrap(-0.5, TAU) - (TAU - 0.5)).abs() < 1e-15);
    }

    #[test]
    fn sine_and_cosine_are_those_of_their_own_functions() {
        // One reduction for both: not a bit may differ from the two asked singly.
        let mut x = -40.0;
        while x < 40.0 {
            assert_eq!(sin_cos(x), (sin(x), cos(x)), "{x}");
            x += 0.000_371;
        }
        for x in [0.0, -0.0, 1e-300, 1e-9, FRAC_PI_2, PI, TAU, 1e9, -3e15] {
            assert_eq!(sin_cos(x), (sin(x), cos(x)), "{x}");
        }
    }

    #[test]
    fn sum_keeps_small_terms_beside_large_ones() {
        let s: Sum = [1e16, 1.0, -1e16, 1.0].into_iter().collect();
        assert_eq!(s.value(), 2.0);
    }

    #[test]
    fn a_peak_is_found() {
        let (at, most) = peak(0.0, 3.0, sin);
        assert!((at - FRAC_PI_2).abs() < 1e-7 && (most - 1.0).abs() < 1e-14, "{at} {most}");
        assert_eq!(peak(0.0, 1.0, |x| x), (1.0, 1.0), "at an end");
    }

    #[test]
    fn a_root_is_found_in_few_steps_and_within_its_bound() {
        let asked = core::cell::Cell::new(0);
        let ask = |f: &dyn Fn(f64) -> f64, lo: f64, hi: f64| {
            asked.set(0);
            let root = root(lo, hi, 1e-16, |x| {
                asked.set(asked.get() + 1);
                f(x)
            });
            (root, asked.get())
        };
        let (x, n) = ask(&|x| x * x - 2.0, 0.0, 2.0);
        assert!((x.expect("a change of sign") - 2f64.sqrt()).abs() < 1e-15 && n <= 14, "{x:?} after {n}");
        let (x, n) = ask(&|x| sin(x) - 0.3, 1.0, -1.0);
        assert!((x.expect("a change of sign") - asin(0.3)).abs() < 1e-15 && n <= 14, "{x:?} after {n}");
        // A step, a flat stretch with a root, and a root of the ninth order.
        let (x, n) = ask(&|x| if x < 0.3 { -1.0 } else { 1.0 }, 0.0, 1.0);
        assert!((x.expect("a change of sign") - 0.3).abs() < 1e-15 && n <= 202, "{x:?} after {n}");
        let (x, n) = ask(&|x| (x - 0.7).max(0.0) - 1e-12, 0.0, 1.0);
        assert!((x.expect("a change of sign") - 0.7).abs() < 1e-11 && n <= 202, "{x:?} after {n}");
        let (x, n) = ask(&|x| pow(x - 0.1, 9.0), -1.0, 1.0);
        assert!((x.expect("a change of sign") - 0.1).abs() < 1e-9 && n <= 202, "{x:?} after {n}");
        assert_eq!(root(1.0, 2.0, 1e-12, |x| x), None);
    }

    #[test]
    fn bisect_refuses_an_interval_without_a_change_of_sign() {
        assert_eq!(bisect(1.0, 2.0, 1e-12, |x| x), None);
        let root = bisect(0.0, 2.0, 1e-14, |x| x * x - 2.0).expect("a change of sign");
        assert!((root - 2f64.sqrt()).abs() < 1e-13);
    }

    #[test]
    fn gauss_rule_integrates_a_polynomial_of_degree_15() {
        let integral: f64 = GAUSS8.iter().map(|(x, w)| w * x.powi(14)).sum();
        assert!((integral - 2.0 / 15.0).abs() < 1e-15);
    }
}
