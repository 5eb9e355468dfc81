//! Measurements: one number each, a linear functional of the state but for an error, and how they move the filter.

use super::blocks::Source;
use super::noise::Level;
use super::state::{Functional, Matrix, Vector, add_scaled, dot, product, scaled, with_two_scaled};

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
    gain: [f64; N],
    innovation: f64,
    innovation_var: f64,
}

/// Takes the measurements of a node into the mean, one after the other; their errors are independent. `after` becomes the
/// covariance with them, `before` is that without. Returns their log-likelihood, up to a constant.
pub(super) fn take_in<const N: usize>(
    measurements: &[Measurement],
    mean: &mut Vector<N>,
    before: &Matrix<N>,
    after: &mut Matrix<N>,
    updates: &mut Vec<Update<N>>,
) -> f64 {
    updates.clear();
    let mean = &mut mean.data.0[0];
    // The logarithm of a product of few variances costs as much as that of one.
    let (mut squares, mut variances) = (0.0, 1.0);
    for Measurement { row, value, variance, .. } in measurements {
        // The covariance is brought up to date when all are in; until then each takes off what those before it did.
        let mut gain = row.through(before);
        for earlier in updates.iter() {
            let seen = row.of(&earlier.gain) * earlier.innovation_var;
            add_scaled(&mut gain, -seen, &earlier.gain);
        }
        let innovation_var = row.of(&gain) + variance;
        gain = scaled(1.0 / innovation_var, &gain);
        let innovation = value - row.of(mean);
        add_scaled(mean, innovation, &gain);
        squares += innovation * innovation / innovation_var;
        variances *= innovation_var;
        updates.push(Update { gain, innovation, innovation_var });
    }
    take_off(updates, &before.data.0, &mut after.data.0);
    -0.5 * (squares + variances.ln())
}

/// Takes what the measurements told off a covariance, in pairs.
fn take_off<const N: usize>(updates: &[Update<N>], before: &[[f64; N]; N], after: &mut [[f64; N]; N]) {
    let (pairs, last) = updates.as_chunks::<2>();
    match pairs {
        [] => *after = *before,
        [first, others @ ..] => {
            take_off_pair(first, before.iter().zip(after.iter_mut()));
            for pair in others {
                let old = *after;
                take_off_pair(pair, old.iter().zip(after.iter_mut()));
            }
        }
    }
    for Update { gain, innovation_var, .. } in last {
        for (after, of) in after.iter_mut().zip(gain) {
            add_scaled(after, -of * innovation_var, gain);
        }
    }
}

/// Takes what two measurements told off columns of a covariance.
#[inline]
fn take_off_pair<'a, const N: usize>(
    [a, b]: &[Update<N>; 2],
    columns: impl Iterator<Item = (&'a [f64; N], &'a mut [f64; N])>,
) {
    for ((before, after), of) in columns.zip(a.gain.iter().zip(&b.gain)) {
        let factors = [-of.0 * a.innovation_var, -of.1 * b.innovation_var];
        *after = with_two_scaled(before, factors, [&a.gain, &b.gain]);
    }
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
    pub(super) fn carry_back(
        &self,
        measurement: &Measurement,
        score: &mut Vector<N>,
        information: &mut Matrix<N>,
    ) -> SmoothedError {
        let row = &measurement.row;
        let mut half = product(information, &self.gain);
        let known = 1.0 / self.innovation_var + dot(&self.gain, &half);
        // With half of the middle term taken off, one vector serves rows and columns: N - h cᵀ - c hᵀ.
        for (part, weight) in row.terms() {
            half[part] -= 0.5 * known * weight;
        }
        for (part, weight) in row.terms() {
            let taken = scaled(weight, &half);
            for (column, taken) in information.data.0.iter_mut().zip(&taken) {
                column[part] -= taken;
            }
            add_scaled(&mut information.data.0[part], -1.0, &taken);
        }
        let pull = self.carry_score_back(measurement, score);
        let variance = measurement.variance;
        let told = variance * known;
        SmoothedError { error: variance * pull, mean_square: variance * pull * pull + 1.0 - told, told }
    }

    /// The same for the score alone; returns the posterior mean of the error over its variance.
    pub(super) fn carry_score_back(&self, measurement: &Measurement, score: &mut Vector<N>) -> f64 {
        let score = &mut score.data.0[0];
        let pull = self.innovation / self.innovation_var - dot(&self.gain, score);
        for (part, weight) in measurement.row.terms() {
            score[part] += weight * pull;
        }
        pull
    }

    /// Carries a covariance with an earlier state across this update.
    pub(super) fn pass_on(&self, measurement: &Measurement, row: &mut Vector<N>) {
        let row = &mut row.data.0[0];
        add_scaled(row, -measurement.row.of(row), &self.gain);
    }
}
