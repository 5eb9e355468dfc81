//! Two cells that share their spread: their ratio, and what more runs would make of it.

use super::mixture::{Component, Mixture};
use crate::distributions::student_cdf;
use crate::fieller::{Compensation, Ratio, RatioSet, not_ruled_out};
use driftless_units::coverage_factor;

/// The means of two cells where both spreads are known; independent of each other then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairComponent {
    /// Probability of these spreads.
    pub weight: f64,
    /// The first cell.
    pub a: Component,
    /// The second cell.
    pub b: Component,
}

/// What is known of the means of two cells.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PairMixture(Vec<PairComponent>);

/// Pairs that are less likely than this are left out.
const NEGLIGIBLE: f64 = 1e-5;

/// Runs to be flown, and the standard uncertainty of one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Added {
    /// How many.
    pub runs: usize,
    /// Standard uncertainty of one.
    pub std_u: f64,
}

impl Added {
    /// The mean of a cell with these runs added, where the spread is known.
    fn to(self, of: &Component) -> Component {
        let per_run = of.spread * of.spread + self.std_u * self.std_u;
        Component { variance: 1.0 / (1.0 / of.variance + self.runs as f64 / per_run), ..*of }
    }
}

impl PairMixture {
    pub(super) fn new(components: Vec<PairComponent>) -> Self {
        let total: f64 = components.iter().map(|of| of.weight).sum();
        let mut kept: Vec<PairComponent> = components.into_iter().filter(|of| of.weight > NEGLIGIBLE * total).collect();
        let total: f64 = kept.iter().map(|of| of.weight).sum();
        kept.iter_mut().for_each(|of| of.weight /= total);
        Self(kept)
    }

    /// The first cell by itself.
    pub fn a(&self) -> Mixture {
        Mixture::new(self.0.iter().map(|of| Component { weight: of.weight, ..of.a }).collect())
    }

    /// The second cell by itself.
    pub fn b(&self) -> Mixture {
        Mixture::new(self.0.iter().map(|of| Component { weight: of.weight, ..of.b }).collect())
    }

    /// With more runs of each that measure what is expected now. What they teach of the spread is left out: careful.
    pub fn with(&self, a: Added, b: Added) -> Self {
        Self(self.0.iter().map(|of| PairComponent { a: a.to(&of.a), b: b.to(&of.b), ..*of }).collect())
    }

    /// The same spreads and means as if nothing had been flown yet.
    pub fn unflown(&self) -> Self {
        let blank = |of: &Component| Component { variance: f64::INFINITY, ..*of };
        Self(self.0.iter().map(|of| PairComponent { a: blank(&of.a), b: blank(&of.b), ..*of }).collect())
    }

    /// Expected variance of each mean with so many more runs.
    pub(crate) fn expected_variances(&self, a: Added, b: Added) -> (f64, f64) {
        let sum = |of: &dyn Fn(&PairComponent) -> f64| self.0.iter().map(|part| part.weight * of(part)).sum();
        (sum(&|part| a.to(&part.a).variance), sum(&|part| b.to(&part.b).variance))
    }

    /// Best values of both.
    pub(crate) fn values(&self) -> (f64, f64) {
        (self.0.iter().map(|of| of.weight * of.a.mean).sum(), self.0.iter().map(|of| of.weight * of.b.mean).sum())
    }

    /// Probability that the contrast c₁ a + c₂ b is at or below zero.
    fn contrast_below(&self, c1: f64, c2: f64) -> f64 {
        let share = |of: &PairComponent| {
            let value = c1 * of.a.mean + c2 * of.b.mean;
            let variance = c1 * c1 * of.a.variance + c2 * c2 * of.b.variance;
            of.weight * student_cdf(-value / variance.sqrt(), f64::INFINITY)
        };
        self.0.iter().map(share).sum()
    }

    /// a / b: all ratios θ whose contrast a - θ b is not told from zero with probability `p`. Fieller's set, with the
    /// spread integrated instead of known.
    pub fn ratio(&self, p: f64) -> Ratio {
        let (a, b) = self.values();
        let (var_a, var_b) = self.expected_variances(Added { runs: 0, std_u: 1.0 }, Added { runs: 0, std_u: 1.0 });
        let set = if var_a.is_finite() && var_b.is_finite() && var_a > 0.0 && var_b > 0.0 {
            // By one angle from the estimated ratio, in units of typical standard uncertainties.
            let (u_a, u_b) = (var_a.sqrt(), var_b.sqrt());
            let (z_a, z_b) = (a / u_a, b / u_b);
            let length = z_a.hypot(z_b);
            let (along_a, along_b) = if length > 0.0 { (z_a / length, z_b / length) } else { (1.0, 0.0) };
            let contrast = |angle: f64| {
                let (sin, cos) = angle.sin_cos();
                ((cos * along_b + sin * along_a) / u_a, (-cos * along_a + sin * along_b) / u_b)
            };
            let limit = 0.5 * (1.0 + p);
            not_ruled_out(contrast, |angle| {
                let (c1, c2) = contrast(angle);
                let below = self.contrast_below(c1, c2);
                below.max(1.0 - below) - limit
            })
        } else {
            RatioSet::Everything
        };
        Ratio { value: a / b, g: (coverage_factor(p, f64::INFINITY) / b).powi(2) * var_b, set }
    }

    /// Compensation of `a` (what is left with the device) against `b` (the baseline).
    pub fn compensation(&self) -> Compensation {
        Compensation::of(self.ratio(0.95))
    }
}
