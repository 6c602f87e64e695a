//! Chance that is the same everywhere: a small generator with a seed, and picking from it.

use tasset::num;

/// xorshift64*: Marsaglia 2003, "Xorshift RNGs", with the multiplier of Vigna 2016, "An experimental exploration of
/// Marsaglia's xorshift generators, scrambled" (table of multipliers for 64 bits).
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// Seeds that lie side by side give unlike sequences: the seed is spread by the odd constant 2^64 / golden ratio.
    pub fn new(seed: u64) -> Self {
        let mut chance = Self(seed.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        for _ in 0..4 {
            chance.next();
        }
        chance
    }

    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// From 0 to less than 1.
    pub fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * self.unit()
    }

    /// Evenly in proportion: as many from 40 to 80 as from 80 to 160.
    pub fn scaled(&mut self, lo: f64, hi: f64) -> f64 {
        lo * num::pow(hi / lo, self.unit())
    }

    pub fn below(&mut self, n: usize) -> usize {
        ((self.next() >> 33) as usize) % n.max(1)
    }

    pub fn percent(&mut self, share: f64) -> bool {
        self.unit() * 100.0 < share
    }

    pub fn pick<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}
