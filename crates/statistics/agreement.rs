//! Do two ways of measuring agree, log against stopwatch on the same runs?
//!
//! Bias and 95 % limits of agreement of J. M. Bland and D. G. Altman (Lancet 1986; 327: 307-310). Limits from a handful
//! of runs are vague themselves; their intervals are exact (non-central t; A. Carkeet, Optom. Vis. Sci. 92 (2015) e71-e80),
//! because the large-sample formula of 1986 is not honest for few pairs.

use super::StatisticsError;
use super::compare::mean_and_sd;
use super::distributions::{bisect, chi_squared_upper_p, student_cdf, student_two_sided_p};
use super::error::sound;
use driftless_units::{Estimate, Interval, coverage_factor};

#[cfg(test)]
mod tests;

/// A limit of agreement with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Bias minus or plus 1.96 standard deviations.
    pub value: f64,
    /// 95 % interval of the limit.
    pub interval: Interval<f64>,
}

/// Whether the difference grows with the size of what is measured: differences against means, ordinary least squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// Difference per unit of the mean.
    pub slope: Estimate<f64>,
    /// Two-sided p-value of "no trend".
    pub p: f64,
}

/// How far two ways of measuring agree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// Number of pairs.
    pub pairs: usize,
    /// Mean difference, first less second.
    pub bias: Estimate<f64>,
    /// Standard deviation of the differences.
    pub sd: f64,
    /// Lower 95 % limit of agreement.
    pub lower: Limit,
    /// Upper 95 % limit of agreement.
    pub upper: Limit,
    /// Trend with size; `None` for fewer than three pairs or when all means are alike.
    pub trend: Option<Trend>,
    /// Σ (difference / its stated uncertainty)², as many degrees of freedom as pairs.
    pub chi_squared: f64,
    /// Probability of a χ² at least as large if the stated uncertainties are right and there is no bias.
    pub stated_uncertainties_p: f64,
}

impl Agreement {
    /// The differences are within what the stated uncertainties allow (p at least 0.05): either can be trusted as far
    /// as it says itself.
    pub fn as_stated(&self) -> bool {
        self.stated_uncertainties_p >= 0.05
    }
}

/// Agreement of pairs (first way, second way) of independent measurements of the same runs.
///
/// # Errors
/// Fewer than two pairs, or an estimate that is no sound number.
pub fn agreement(pairs: &[(Estimate<f64>, Estimate<f64>)]) -> Result<Agreement, StatisticsError> {
    let what = "the agreement of two ways of measuring";
    if pairs.len() < 2 {
        return Err(StatisticsError::TooFew { what, of: "runs measured both ways", needed: 2, got: pairs.len() });
    }
    pairs.iter().try_for_each(|(a, b)| sound(what, a).and_then(|()| sound(what, b)))?;
    let differences: Vec<f64> = pairs.iter().map(|(a, b)| a.value - b.value).collect();
    let means: Vec<f64> = pairs.iter().map(|(a, b)| 0.5 * (a.value + b.value)).collect();
    let n = pairs.len() as f64;
    let (mean, sd) = mean_and_sd(&differences);
    let bias = Estimate::with_dof(mean, sd / n.sqrt(), n - 1.0);
    let chi_squared = differences.iter().zip(pairs).map(|(d, (a, b))| (d / a.std_u.hypot(b.std_u)).powi(2)).sum();
    let factors = LimitFactors::new(n - 1.0);
    Ok(Agreement {
        pairs: pairs.len(),
        bias,
        sd,
        lower: factors.limit(mean, sd, -1.0),
        upper: factors.limit(mean, sd, 1.0),
        trend: trend(&means, &differences),
        chi_squared,
        stated_uncertainties_p: chi_squared_upper_p(chi_squared, n),
    })
}

/// The exact interval of a limit, in standard deviations from the bias.
///
/// The true limit μ + zσ lies below d̄ + k s with probability P(T ≤ k √n), T non-central t with n - 1 degrees of freedom
/// and non-centrality z √n.
struct LimitFactors {
    z: f64,
    inner: f64,
    outer: f64,
}

impl LimitFactors {
    fn new(dof: f64) -> Self {
        let z = coverage_factor(0.95, f64::INFINITY);
        let root_n = (dof + 1.0).sqrt();
        let chi = ScaledChi::new(dof);
        // Two pairs have an outer factor near 80, one that grows no further.
        let factor = |p: f64| bisect(-50.0, 500.0, |k| chi.non_central_t(k * root_n, z * root_n) - p);
        Self { z, inner: factor(0.025), outer: factor(0.975) }
    }

    fn limit(&self, bias: f64, sd: f64, side: f64) -> Limit {
        let at = |factor: f64| bias + side * factor * sd;
        let (inner, outer) = (at(self.inner), at(self.outer));
        Limit { value: at(self.z), interval: Interval { low: inner.min(outer), high: inner.max(outer) } }
    }
}

/// Found over true standard deviation, on a grid with the probability of each place.
struct ScaledChi(Vec<(f64, f64)>);

impl ScaledChi {
    fn new(dof: f64) -> Self {
        const STEPS: u32 = 200;
        // The square has mean one and standard deviation √(2/dof); nine of them are beyond all that matters.
        let width = (1.0 + 9.0 / (2.0 * dof).sqrt()) / f64::from(STEPS);
        let places = (0..STEPS).map(|step| width * (f64::from(step) + 0.5));
        let log_density = |w: f64| (dof - 1.0) * w.ln() - 0.5 * dof * (w * w - 1.0);
        let grid: Vec<(f64, f64)> = places.map(|w| (w, log_density(w).exp())).collect();
        let total: f64 = grid.iter().map(|(_, density)| density).sum();
        Self(grid.into_iter().map(|(w, density)| (w, density / total)).collect())
    }

    /// P(T ≤ t) for the non-central t: the normal distribution averaged over the found standard deviation.
    fn non_central_t(&self, t: f64, non_centrality: f64) -> f64 {
        self.0.iter().map(|(w, share)| share * student_cdf(t * w - non_centrality, f64::INFINITY)).sum()
    }
}

fn trend(means: &[f64], differences: &[f64]) -> Option<Trend> {
    let n = means.len() as f64;
    let centre = |values: &[f64]| values.iter().sum::<f64>() / n;
    let (x, y) = (centre(means), centre(differences));
    let sxx: f64 = means.iter().map(|m| (m - x).powi(2)).sum();
    if means.len() < 3 || sxx <= 0.0 {
        return None;
    }
    let slope = means.iter().zip(differences).map(|(m, d)| (m - x) * (d - y)).sum::<f64>() / sxx;
    let left: f64 = means.iter().zip(differences).map(|(m, d)| (d - y - slope * (m - x)).powi(2)).sum();
    let slope = Estimate::with_dof(slope, (left / (n - 2.0) / sxx).sqrt(), n - 2.0);
    Some(Trend { slope, p: student_two_sided_p(slope.value / slope.std_u, slope.dof) })
}
