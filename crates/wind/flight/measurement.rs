//! Measurements: one number each, a linear functional of the state but for an error, and how they move the filter.

use super::blocks::Source;
use super::noise::Level;
use super::state::{Functional, Matrix, Vector, add_scaled, add_two_scaled, product};

/// A measured number, linearised about a state: `row` of the state is `value`, but for an error of that variance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measurement {
    pub(super) row: Functional,
    pub(super) value: f64,
    /// Variance of its error, robust weight included.
    pub(super) variance: f64,
    /// What its variance was multiplied by because its error lasts.
    pub(super) lasts: f64,
    /// The level that its error teaches.
    pub(super) level: Option<Level>,
    /// The source whose weight its residual decides, and what the residual is measured in.
    pub(super) weighted_by: Option<(Source, f64)>,
}

/// What a measurement did to the filter, kept for the backward pass.
#[derive(Debug, Clone)]
pub(super) struct Update<const N: usize> {
    pub(super) measurement: Measurement,
    gain: Vector<N>,
    innovation: f64,
    innovation_var: f64,
}

/// Takes the measurements of a node into mean and covariance, one after the other; their errors are independent. Returns
/// their log-likelihood, up to a constant.
pub(super) fn take_in<const N: usize>(
    measurements: &[Measurement],
    mean: &mut Vector<N>,
    cov: &mut Matrix<N>,
    updates: &mut Vec<Update<N>>,
) -> f64 {
    updates.clear();
    let mut log_likelihood = 0.0;
    for measurement in measurements {
        let row = &measurement.row;
        // The covariance is brought up to date when all are in; until then each takes off what those before it did.
        let mut spread = row.through(cov);
        for earlier in updates.iter() {
            let seen = row.of(earlier.gain.as_slice()) * earlier.innovation_var;
            add_scaled(&mut spread.data.0[0], -seen, &earlier.gain.data.0[0]);
        }
        let innovation_var = row.of(spread.as_slice()) + measurement.variance;
        let gain = spread * (1.0 / innovation_var);
        let innovation = measurement.value - row.of(mean.as_slice());
        *mean += gain * innovation;
        log_likelihood -= 0.5 * (innovation * innovation / innovation_var + innovation_var.ln());
        updates.push(Update { measurement: *measurement, gain, innovation, innovation_var });
    }
    for pair in updates.chunks(2) {
        match pair {
            [a, b] => {
                for (column, of) in cov.data.0.iter_mut().zip(a.gain.iter().zip(b.gain.iter())) {
                    let factors = [-of.0 * a.innovation_var, -of.1 * b.innovation_var];
                    add_two_scaled(column, factors, [&a.gain.data.0[0], &b.gain.data.0[0]]);
                }
            }
            alone => {
                for a in alone {
                    for (column, of) in cov.data.0.iter_mut().zip(a.gain.iter()) {
                        add_scaled(column, -of * a.innovation_var, &a.gain.data.0[0]);
                    }
                }
            }
        }
    }
    log_likelihood
}

/// What a smoothed measurement says: its error as it came out.
#[derive(Debug, Clone, Copy)]
pub(super) struct SmoothedError {
    /// Posterior mean of the error.
    pub(super) error: f64,
    /// Posterior mean of its square, over its variance.
    pub(super) mean_square: f64,
    /// Share of its variance that the log took away.
    pub(super) told: f64,
}

impl<const N: usize> Update<N> {
    /// The smoother's step back across this update: r ← h v/s + (I - h kᵀ) r and N ← h hᵀ/s + (I - h kᵀ) N (I - k hᵀ).
    pub(super) fn carry_back(&self, score: &mut Vector<N>, information: &mut Matrix<N>) -> SmoothedError {
        let row = &self.measurement.row;
        let across = product(information, &self.gain);
        let known = 1.0 / self.innovation_var + self.gain.dot(&across);
        // With half of the middle term taken off, one vector serves rows and columns: N - h cᵀ - c hᵀ.
        let mut half = across;
        for (part, weight) in row.terms() {
            half[part] -= 0.5 * known * weight;
        }
        for (part, weight) in row.terms() {
            add_scaled(&mut information.data.0[part], -weight, &half.data.0[0]);
            for (column, value) in information.data.0.iter_mut().zip(half.iter()) {
                column[part] -= weight * value;
            }
        }
        let pull = self.carry_score_back(score);
        let variance = self.measurement.variance;
        let told = variance * known;
        SmoothedError { error: variance * pull, mean_square: variance * pull * pull + 1.0 - told, told }
    }

    /// The same for the score alone; returns the posterior mean of the error over its variance.
    pub(super) fn carry_score_back(&self, score: &mut Vector<N>) -> f64 {
        let pull = self.innovation / self.innovation_var - self.gain.dot(score);
        for (part, weight) in self.measurement.row.terms() {
            score[part] += weight * pull;
        }
        pull
    }

    /// Carries a covariance with an earlier state across this update.
    pub(super) fn pass_on(&self, row: &mut Vector<N>) {
        let seen = self.measurement.row.of(row.as_slice());
        *row -= self.gain * seen;
    }
}
