//! A measured heading, of gyro or compass, as the filter takes it: one row of the state.

use super::state::{Matrix, Vector};

/// What a sensor says about a heading: `row` of the state is `value_rad`, but for an error of that variance.
pub(super) struct HeadingRow<const N: usize> {
    pub(super) row: Vector<N>,
    pub(super) value_rad: f64,
    pub(super) variance_rad2: f64,
}

/// An update of the filter by a measured heading, kept for the way back.
#[derive(Debug, Clone)]
pub(super) struct HeadingUpdate<const N: usize> {
    row: Vector<N>,
    gain: Vector<N>,
    innovation: f64,
    innovation_var: f64,
    /// Standard deviation of the reading, unweighted.
    std_rad: f64,
    weight: f64,
}

impl<const N: usize> HeadingUpdate<N> {
    /// Updates mean and covariance by a heading with a robust weight.
    pub(super) fn new(seen: &HeadingRow<N>, weight: f64, mean: &mut Vector<N>, cov: &mut Matrix<N>) -> Self {
        let row = seen.row;
        let spread = *cov * row;
        let innovation_var = row.dot(&spread) + seen.variance_rad2 / weight;
        let gain = spread / innovation_var;
        let innovation = seen.value_rad - row.dot(mean);
        *mean += gain * innovation;
        *cov -= gain * spread.transpose();
        Self { row, gain, innovation, innovation_var, std_rad: seen.variance_rad2.sqrt(), weight }
    }

    /// Log-likelihood of the reading, up to a constant.
    pub(super) fn log_likelihood(&self) -> f64 {
        -0.5 * (self.innovation * self.innovation / self.innovation_var + self.innovation_var.ln())
    }

    /// Posterior mean square of the reading's error over its variance; to be asked before the step back.
    pub(super) fn mean_square(&self, score: &Vector<N>, information: &Matrix<N>) -> f64 {
        let variance = self.std_rad * self.std_rad / self.weight;
        let pull = self.innovation / self.innovation_var - self.gain.dot(score);
        let known = 1.0 / self.innovation_var + self.gain.dot(&(*information * self.gain));
        variance * pull * pull + 1.0 - variance * known
    }

    /// The smoother's step back across this update (as for positions, with one row); returns the residual of the reading
    /// in unweighted standard deviations.
    pub(super) fn back(&self, score: &mut Vector<N>, information: &mut Matrix<N>) -> f64 {
        let pull = self.innovation / self.innovation_var - self.gain.dot(score);
        let across = *information * self.gain;
        let middle = 1.0 / self.innovation_var + self.gain.dot(&across);
        *score += self.row * pull;
        *information +=
            self.row * self.row.transpose() * middle - across * self.row.transpose() - self.row * across.transpose();
        self.std_rad / self.weight * pull.abs()
    }

    /// Carries a covariance with an earlier state across this update.
    pub(super) fn pass_on(&self, row: &mut Vector<N>) {
        let seen = self.row.dot(row);
        *row -= self.gain * seen;
    }
}
