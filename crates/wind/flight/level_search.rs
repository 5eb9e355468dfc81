//! The search for the noise levels: the most probable ones, by a quasi-Newton step after each pass.
//!
//! The backward pass gives the gradient of the log-likelihood in every level for nothing (Fisher's identity; Koopman,
//! *Biometrika* 80 (1993) 117-126): with `S` the posterior mean squares of the disturbances over their variance `v`, and `n`
//! their number, it is `(S - n)/2` in `ln v`. Expectation-maximisation goes that way too, but by a share of the distance that
//! is as small as what the log tells of the disturbances: some levels crept by a percent a pass. Here the curvature is learnt
//! from one pass to the next by the formula of Broyden, Fletcher, Goldfarb and Shanno (Nocedal & Wright, *Numerical
//! Optimization*, 2nd ed. 2006, chapter 6; from memory), and the fixed point is the same.
//!
//! The step is taken in standard deviations, in units of the typical one: about zero, where some levels want to be, the
//! likelihood is a parabola there, and endless in the logarithm.

use super::blocks::LEVELS;
use super::constants::{
    FARTHEST_FALL_LN, FARTHEST_RISE_LN, LEAST_CURVATURE_SHARE, LEAST_LEVEL_FACTOR, LEVEL_PRIOR_LN, MOST_LEVEL_FACTOR,
    SOFTENED_BY,
};
use super::noise::{Level, Levels, Moments};
use nalgebra::{SMatrix, SVector};

type PerLevel = SVector<f64, LEVELS>;
type Curvature = SMatrix<f64, LEVELS, LEVELS>;

/// Rounds over the levels in which the step within its limits is found; each is exact for one level, and the last of them
/// move nothing any more.
const ROUNDS: usize = 60;

/// The search, between passes.
#[derive(Debug, Clone)]
pub(super) struct LevelSearch {
    pub(super) levels: Levels,
    typical: Levels,
    /// Factors of the typical standard deviation below which no level falls.
    least: PerLevel,
    /// Levels that stay as they are.
    held: [bool; LEVELS],
    /// What the last step taught; nothing before the first.
    model: Option<Model>,
}

/// The log-likelihood, turned over, as a parabola about the levels of a pass.
#[derive(Debug, Clone)]
struct Model {
    at: PerLevel,
    slope: PerLevel,
    curvature: Curvature,
}

impl LevelSearch {
    /// Starts at some levels; the typical ones are the centre of their prior.
    pub(super) fn new(levels: Levels, typical: Levels) -> Self {
        Self { levels, typical, least: PerLevel::repeat(LEAST_LEVEL_FACTOR.value), held: [false; LEVELS], model: None }
    }

    /// The same search, with one level that never falls below some variance.
    pub(super) fn with_least(mut self, level: Level, variance: f64) -> Self {
        let i = level.place();
        self.least[i] = self.least[i].max((variance / self.typical[level]).sqrt());
        self.levels = self.levels.at_least(level, variance);
        self
    }

    /// The same search, with all levels held but some.
    pub(super) fn with_only(mut self, free: &[Level]) -> Self {
        self.held = std::array::from_fn(|i| free.iter().all(|level| level.place() != i));
        self
    }

    /// Moves the levels after a pass; returns the largest relative change of a standard deviation.
    pub(super) fn advance(&mut self, moments: &Moments) -> f64 {
        let at = PerLevel::from_fn(|i, _| self.levels.factor(Level::new(i), &self.typical));
        let free: Vec<usize> = (0..LEVELS).filter(|i| !self.held[*i] && moments.count(Level::new(*i)) > 0.0).collect();
        let slope = masked(&free, |i| -2.0 * moments.slope(Level::new(i)) / at[i]);
        let curvature = match &self.model {
            None => {
                Curvature::from_diagonal(&masked(&free, |i| 4.0 * moments.information(Level::new(i)) / (at[i] * at[i])))
            }
            Some(last) => last.curvature_at(&at, &slope),
        };
        let model = Model { at, slope, curvature };
        let next = model.step(&free, &self.least);
        for i in &free {
            self.levels = self.levels.with_factor(Level::new(*i), next[*i], &self.typical);
        }
        self.model = Some(model);
        free.iter().map(|i| (next[*i] / at[*i]).ln().abs()).fold(0.0, f64::max)
    }
}

/// Values for some levels, zero for the others.
fn masked(levels: &[usize], value: impl Fn(usize) -> f64) -> PerLevel {
    let mut all = PerLevel::zeros();
    levels.iter().for_each(|i| all[*i] = value(*i));
    all
}

impl Model {
    /// The curvature that fits the slope found at the next levels as well.
    fn curvature_at(&self, at: &PerLevel, slope: &PerLevel) -> Curvature {
        let step = at - self.at;
        let expected = self.curvature * step;
        let expected_along = step.dot(&expected);
        if expected_along < f64::MIN_POSITIVE {
            return self.curvature;
        }
        let found = slope - self.slope;
        let believed = found.dot(&step) > LEAST_CURVATURE_SHARE.value * expected_along;
        let found = if believed { found } else { expected / SOFTENED_BY.value };
        self.curvature - expected * expected.transpose() / expected_along + found * found.transpose() / found.dot(&step)
    }

    /// The lowest point of the parabola and the prior, within the limits of a step: level by level, until nothing moves.
    fn step(&self, free: &[usize], least: &PerLevel) -> PerLevel {
        let mut next = self.at;
        for _ in 0..ROUNDS {
            for &i in free {
                let slope = self.slope[i] + self.curvature.row(i).transpose().dot(&(next - self.at));
                let (prior_slope, prior_curvature) = prior(next[i]);
                let target = next[i] - (slope + prior_slope) / (self.curvature[(i, i)] + prior_curvature);
                let low = (self.at[i] * (-0.5 * FARTHEST_FALL_LN.value).exp()).max(least[i]);
                let high = (self.at[i] * (0.5 * FARTHEST_RISE_LN.value).exp()).min(MOST_LEVEL_FACTOR.value);
                next[i] = if target.is_finite() { target.clamp(low.min(high), high) } else { next[i] };
            }
        }
        next
    }
}

/// First derivative of the prior's `(ln f²)²/(2 s²)` at a factor `f`, and its second where that is positive.
fn prior(factor: f64) -> (f64, f64) {
    let weight = 4.0 / (LEVEL_PRIOR_LN.value * LEVEL_PRIOR_LN.value);
    let ln = factor.ln();
    (weight * ln / factor, weight * (1.0 - ln).max(0.0) / (factor * factor))
}

#[cfg(test)]
mod tests;
