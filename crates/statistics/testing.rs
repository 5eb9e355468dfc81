//! Seeded draws for simulation tests.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A seeded stream of random draws.
pub(crate) struct Draws(ChaCha8Rng);

impl Draws {
    pub(crate) fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// Uniform in (0, 1): never exactly zero, so that its logarithm exists.
    pub(crate) fn uniform(&mut self) -> f64 {
        ((self.0.next_u64() >> 11) as f64 + 0.5) * (1.0 / (1_u64 << 53) as f64)
    }

    /// Normal with mean and standard deviation (Box and Muller 1958).
    pub(crate) fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let (u, v) = (self.uniform(), self.uniform());
        mean + sd * (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }

    /// The standard deviation that `dof` degrees of freedom would find where `sd` is true.
    pub(crate) fn found_sd(&mut self, sd: f64, dof: usize) -> f64 {
        let chi: f64 = (0..dof).map(|_| self.normal(0.0, 1.0).powi(2)).sum();
        sd * (chi / dof as f64).sqrt()
    }
}

/// Share of `draws` in which `covered` says yes.
pub(crate) fn share(draws: usize, mut covered: impl FnMut(usize) -> bool) -> f64 {
    (0..draws).filter(|i| covered(*i)).count() as f64 / draws as f64
}
