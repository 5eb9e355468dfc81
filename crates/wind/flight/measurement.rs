//! Measurements: one number each, a linear functional of the state but for an error, and how they move the filter.

use super::blocks::Source;
use super::noise::Level;
use super::state::{Functional, Matrix, Vector, add_scaled};

/// A measured number, linearised about a state: `row` of the state is `value`, but for an error of that variance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measurement {
    pub(super) row: Functional,
    pub(super) value: f64,
    /// Variance of its error, robust weight included.
    pub(super) variance: f64,
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
        let spread = row.through(cov);
        let innovation_var = row.of(spread.as_slice()) + measurement.variance;
        let gain = spread / innovation_var;
        let innovation = measurement.value - row.of(mean.as_slice());
        *mean += gain * innovation;
        for (column, share) in cov.data.0.iter_mut().zip(gain.iter()) {
            add_scaled(column, -share, &spread.data.0[0]);
        }
        log_likelihood -= 0.5 * (innovation * innovation / innovation_var + innovation_var.ln());
        updates.push(Update { measurement: *measurement, gain, innovation, innovation_var });
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
}

impl<const N: usize> Update<N> {
    /// The smoother's step back across this update: r ← h v/s + (I - h kᵀ) r and N ← h hᵀ/s + (I - h kᵀ) N (I - k hᵀ).
    pub(super) fn carry_back(&self, score: &mut Vector<N>, information: &mut Matrix<N>) -> SmoothedError {
        let row = &self.measurement.row;
        let pull = self.innovation / self.innovation_var - self.gain.dot(score);
        let mut across = [0.0; N];
        for (column, share) in information.data.0.iter().zip(self.gain.iter()) {
            add_scaled(&mut across, *share, column);
        }
        let across = Vector::from(across);
        let known = 1.0 / self.innovation_var + self.gain.dot(&across);
        for (part, weight) in row.terms() {
            score[part] += weight * pull;
            add_scaled(&mut information.data.0[part], -weight, &across.data.0[0]);
            for (column, value) in information.data.0.iter_mut().zip(across.iter()) {
                column[part] -= weight * value;
            }
        }
        for (a, weight_a) in row.terms() {
            for (b, weight_b) in row.terms() {
                information[(a, b)] += known * weight_a * weight_b;
            }
        }
        let variance = self.measurement.variance;
        SmoothedError { error: variance * pull, mean_square: variance * pull * pull + 1.0 - variance * known }
    }

    /// Carries a covariance with an earlier state across this update.
    pub(super) fn pass_on(&self, row: &mut Vector<N>) {
        let seen = self.measurement.row.of(row.as_slice());
        *row -= self.gain * seen;
    }
}
