//! A mixture of normal distributions: what is known of a mean whose spread is not known for sure.

use super::Likely;
use super::grid::quantile;
use crate::distributions::{bisect, ridders, student_cdf};
use driftless_units::{Estimate, Interval, coverage_factor};

/// Components that are less likely than this are left out.
const NEGLIGIBLE: f64 = 1e-6;

/// Probability within one standard deviation of a normal distribution.
const WITHIN_ONE: f64 = 0.682_689_492_137_085_9;

/// The mean of a cell where its spread is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Component {
    /// Probability of that spread.
    pub weight: f64,
    /// Mean.
    pub mean: f64,
    /// Variance of the mean.
    pub variance: f64,
    /// The spread between runs, a standard deviation.
    pub spread: f64,
}

/// What is known of the mean of a cell.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mixture(Vec<Component>);

impl Mixture {
    pub(super) fn new(components: Vec<Component>) -> Self {
        let total: f64 = components.iter().map(|of| of.weight).sum();
        let mut kept: Vec<Component> = components.into_iter().filter(|of| of.weight > NEGLIGIBLE * total).collect();
        let total: f64 = kept.iter().map(|of| of.weight).sum();
        kept.iter_mut().for_each(|of| of.weight /= total);
        Self(kept)
    }

    /// The components; their weights add up to one.
    pub fn components(&self) -> &[Component] {
        &self.0
    }

    /// Best value.
    pub fn value(&self) -> f64 {
        self.0.iter().map(|of| of.weight * of.mean).sum()
    }

    /// Variance of the whole.
    pub fn variance(&self) -> f64 {
        let value = self.value();
        self.0.iter().map(|of| of.weight * (of.variance + (of.mean - value).powi(2))).sum()
    }

    /// Probability that the mean is at or below `x`.
    pub fn below(&self, x: f64) -> f64 {
        let share = |of: &Component| of.weight * student_cdf((x - of.mean) / of.variance.sqrt(), f64::INFINITY);
        self.0.iter().map(share).sum()
    }

    /// The interval that leaves as much out on either side and holds the mean with probability `p`.
    pub fn interval(&self, p: f64) -> Interval<f64> {
        let (value, sd) = (self.value(), self.variance().sqrt());
        if !sd.is_finite() {
            return Interval { low: f64::NAN, high: f64::NAN };
        }
        // By Chebyshev no more than one in 900 lies beyond thirty standard deviations.
        let reach = 30.0 * sd;
        let at = |tail: f64| ridders(value - reach, value + reach, |x| self.below(x) - tail);
        Interval { low: at(0.5 * (1.0 - p)), high: at(0.5 * (1.0 + p)) }
    }

    /// As a value with standard uncertainty and degrees of freedom whose 68 % and 95 % intervals by Student's t are as wide
    /// as those of the mixture.
    pub fn estimate(&self) -> Estimate<f64> {
        let half = |p: f64| {
            let ends = self.interval(p);
            0.5 * (ends.high - ends.low)
        };
        let (narrow, wide) = (half(WITHIN_ONE), half(0.95));
        let ratio = |dof: f64| coverage_factor(0.95, dof) / coverage_factor(WITHIN_ONE, dof);
        // Beyond a thousand degrees of freedom the last digit printed no longer changes.
        const MANY: f64 = 1000.0;
        let dof = if wide / narrow <= ratio(MANY) {
            f64::INFINITY
        } else if wide / narrow >= ratio(1.0) {
            1.0
        } else {
            bisect(0.0, MANY.ln(), |ln_dof| ratio(ln_dof.exp()) - wide / narrow).exp()
        };
        Estimate::with_dof(self.value(), wide / coverage_factor(0.95, dof), dof)
    }

    /// What the cell does on another day: the spread is added to the doubt about the mean.
    pub fn another_day(&self) -> Self {
        let wider = |of: &Component| Component { variance: of.variance + of.spread * of.spread, ..*of };
        Self(self.0.iter().map(wider).collect())
    }

    /// The spread between runs of the cell.
    pub fn spread(&self) -> Likely {
        let mut values: Vec<(f64, f64)> = self.0.iter().map(|of| (of.spread, of.weight)).collect();
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        Likely {
            median: quantile(&values, 0.5),
            interval: Interval { low: quantile(&values, 0.025), high: quantile(&values, 0.975) },
        }
    }
}
