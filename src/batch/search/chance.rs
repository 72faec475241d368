//! The chance a search draws from: PCG XSL 128/64 (MCG), the same on every machine.

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};

/// A stream of chance.
#[derive(Debug, Clone)]
pub(in crate::batch) struct Chance(Pcg64Mcg);

impl Chance {
    /// The stream of a number.
    pub(in crate::batch) fn stream(number: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(number))
    }

    /// A number below `count`, which is at least 1.
    pub(in crate::batch) fn below(&mut self, count: usize) -> usize {
        ((u64::from(self.0.next_u32()) * count as u64) >> 32) as usize
    }

    /// A number from 0 up to but not including 1.
    pub(in crate::batch) fn share(&mut self) -> f64 {
        f64::from(self.0.next_u32()) / 4_294_967_296.0
    }

    /// A step from `−most` to `most`, never 0.
    pub(in crate::batch) fn step(&mut self, most: usize) -> isize {
        let size = 1 + self.below(most).cast_signed();
        if self.below(2) == 0 { size } else { -size }
    }

    /// A number drawn from the exponential distribution of mean 1.
    pub(in crate::batch) fn exponential(&mut self) -> f64 {
        -libm::log1p(-self.share())
    }
}
