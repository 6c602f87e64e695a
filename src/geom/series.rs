//! Antiderivatives to full precision: a function of one argument is read at the eight Gauss points of each panel,
//! turned into a Legendre series and integrated term by term. Panels are halved until the last two terms of the
//! series no longer count. Serves every integral along a wall that is asked for at many places.

use crate::num::GAUSS8;

/// `∫ f` from 0 to any place in `[0, 1]`, for `N` functions read together.
#[derive(Clone, Debug, PartialEq)]
pub struct Series<const N: usize> {
    panels: Vec<Panel<N>>,
}

#[derive(Clone, Debug, PartialEq)]
struct Panel<const N: usize> {
    from: f64,
    half: f64,
    /// The integral from 0 to this panel.
    start: [f64; N],
    /// Coefficients of the antiderivative on the panel by Legendre polynomials, times `half`; 0 at the panel's start.
    terms: [[f64; N]; 9],
}

/// Panels to begin with, and how often each may be halved.
const PANELS: u32 = 4;
const HALVINGS: u32 = 40;

impl<const N: usize> Series<N> {
    /// Integrates `f` over `[0, 1]`; a panel's neglected part stays below `tol` in each function.
    pub fn new(tol: f64, f: impl FnMut(f64) -> [f64; N]) -> Self {
        Self::of_panels(PANELS, tol, f)
    }

    fn of_panels(count: u32, tol: f64, mut f: impl FnMut(f64) -> [f64; N]) -> Self {
        let mut panels: Vec<Panel<N>> = Vec::new();
        // Intervals still to do, the next one on top.
        let mut todo: Vec<(f64, f64, u32)> = (0..count)
            .rev()
            .map(|i| (f64::from(i) / f64::from(count), f64::from(i + 1) / f64::from(count), 0))
            .collect();
        let mut start = [0.0; N];
        while let Some((from, to, depth)) = todo.pop() {
            let half = 0.5 * (to - from);
            let mid = from + half;
            let values: [[f64; N]; 8] = core::array::from_fn(|i| f(mid + half * GAUSS8[i].0));
            let mut terms = [[0.0; N]; 9];
            let mut tail: f64 = 0.0;
            let mut whole = [0.0; N];
            let all = coefficients(&values);
            for n in 0..N {
                let c = all.map(|c| c[n]);
                tail = tail.max((c[6].abs() + c[7].abs()) * half);
                for (all, one) in terms.iter_mut().zip(integrated(&c, half)) {
                    all[n] = one;
                }
                whole[n] = 2.0 * c[0] * half;
            }
            if tail > tol && depth < HALVINGS {
                todo.push((mid, to, depth + 1));
                todo.push((from, mid, depth + 1));
                continue;
            }
            panels.push(Panel { from, half, start, terms });
            for n in 0..N {
                start[n] += whole[n];
            }
        }
        Self { panels }
    }

    /// The integrals from 0 to `t`.
    #[must_use]
    pub fn at(&self, t: f64) -> [f64; N] {
        let i = self.panels.partition_point(|p| p.from <= t).saturating_sub(1);
        let p = &self.panels[i];
        let x = ((t - p.from) / p.half - 1.0).clamp(-1.0, 1.0);
        let mut out = p.start;
        let mut sum = p.terms[0].map(|term| term * 1.0);
        let (mut last, mut this) = (1.0, x);
        for (j, terms) in (1..9u8).zip(&p.terms[1..]) {
            for (sum, term) in sum.iter_mut().zip(terms) {
                *sum += term * this;
            }
            let n = f64::from(j);
            (last, this) = (this, ((2.0 * n + 1.0) * x * this - n * last) / (n + 1.0));
        }
        for (value, sum) in out.iter_mut().zip(sum) {
            *value += sum;
        }
        out
    }

    /// The integrals over the whole of `[0, 1]`.
    #[must_use]
    pub fn total(&self) -> [f64; N] {
        self.at(1.0)
    }
}

/// `∫ f` from `from` to `to`, two places in `[0, 1]`; its neglected part stays below `tol` on every panel. A stretch is
/// looked at as closely as the whole.
#[must_use]
pub fn integral(tol: f64, from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let run = to - from;
    let panels = (f64::from(PANELS) * run.abs()).ceil().clamp(1.0, f64::from(PANELS)) as u32;
    Series::<1>::of_panels(panels, tol, |t| [f(from + run * t) * run]).total()[0]
}

/// Legendre's polynomials P0 to P7 at the nodes.
const AT_NODES: [[f64; 8]; 8] = {
    let mut all = [[1.0; 8]; 8];
    let mut i = 0;
    while i < 8 {
        let x = GAUSS8[i].0;
        all[i][1] = x;
        let mut j = 1;
        while j < 7 {
            let m = j as f64;
            all[i][j + 1] = ((2.0 * m + 1.0) * x * all[i][j] - m * all[i][j - 1]) / (m + 1.0);
            j += 1;
        }
        i += 1;
    }
    all
};

/// Legendre coefficients of every function: `c_j = (2j + 1)/2 Σ w f P_j`, exact for degree 7.
fn coefficients<const N: usize>(values: &[[f64; N]; 8]) -> [[f64; N]; 8] {
    let mut c = [[0.0; N]; 8];
    for ((values, (_, w)), polynomials) in values.iter().zip(&GAUSS8).zip(&AT_NODES) {
        let f = values.map(|v| v * w);
        for ((c, polynomial), m) in c.iter_mut().zip(polynomials).zip(0..8u8) {
            let m = f64::from(m) + 0.5;
            for (c, f) in c.iter_mut().zip(f) {
                *c += m * f * polynomial;
            }
        }
    }
    c
}

/// `half · ∫_{−1}^x Σ c_j P_j`, by `∫ P_j = (P_{j+1} − P_{j−1})/(2j + 1)`, which vanishes at −1.
fn integrated(c: &[f64; 8], half: f64) -> [f64; 9] {
    let mut t = [0.0; 9];
    t[0] += c[0] * half;
    t[1] += c[0] * half;
    for j in 1..8u8 {
        let k = usize::from(j);
        let part = c[k] * half / (2.0 * f64::from(j) + 1.0);
        t[k + 1] += part;
        t[k - 1] -= part;
    }
    t
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num;

    #[test]
    fn integrates_a_smooth_function_everywhere() {
        let s = Series::<2>::new(1e-12, |t| [num::cos(3.0 * t), 5.0]);
        for i in 0..=100 {
            let t = f64::from(i) / 100.0;
            let [a, b] = s.at(t);
            assert!((a - num::sin(3.0 * t) / 3.0).abs() < 1e-12, "{t}: {a}");
            assert!((b - 5.0 * t).abs() < 1e-13);
        }
    }

    #[test]
    fn a_weak_singularity_is_met_with_narrow_panels() {
        let s = Series::<1>::new(1e-9, |t| [t.sqrt()]);
        assert!((s.total()[0] - 2.0 / 3.0).abs() < 1e-8);
    }
}
