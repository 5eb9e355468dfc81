//! The between-run variance τ², for one cell or common to several cells with a mean of their own each.

use super::SpreadMethod;
use crate::distributions::{bisect, chi_squared_quantile};
use driftless_units::{Estimate, Interval};

/// Runs weighted by 1 / (s² + τ²).
pub(super) struct Weighted {
    pub(super) weights: Vec<f64>,
    pub(super) sum: f64,
    pub(super) mean: f64,
}

impl Weighted {
    pub(super) fn of(runs: &[Estimate<f64>], tau2: f64) -> Self {
        let weights: Vec<f64> = runs.iter().map(|run| 1.0 / (run.std_u * run.std_u + tau2)).collect();
        let sum: f64 = weights.iter().sum();
        let mean = weights.iter().zip(runs).map(|(w, run)| w * run.value).sum::<f64>() / sum;
        Self { weights, sum, mean }
    }

    /// Σ w (y - μ)²; Cochran's Q where τ² is zero.
    pub(super) fn chi_squared(&self, runs: &[Estimate<f64>]) -> f64 {
        self.weights.iter().zip(runs).map(|(w, run)| w * (run.value - self.mean).powi(2)).sum()
    }
}

/// τ² common to all cells, never below zero. Cells of one run tell nothing about it and do no harm.
pub(super) fn tau_squared(cells: &[&[Estimate<f64>]], method: SpreadMethod) -> f64 {
    let dof: usize = cells.iter().map(|runs| runs.len().saturating_sub(1)).sum();
    let Some(high) = upper_bound(cells) else { return 0.0 };
    match method {
        SpreadMethod::Reml => restricted_maximum_likelihood(cells, high),
        SpreadMethod::PauleMandel => generalised_q_root(cells, dof as f64, high),
        SpreadMethod::DerSimonianLaird => moment_step(cells, dof as f64),
    }
}

/// 95 % interval of τ from the distribution of the generalised Q (Viechtbauer 2007).
pub(super) fn q_profile_interval(runs: &[Estimate<f64>]) -> Interval<f64> {
    let dof = (runs.len() - 1) as f64;
    let end = |p: f64| {
        let wanted = chi_squared_quantile(p, dof);
        upper_bound(&[runs]).map_or(0.0, |high| generalised_q_root(&[runs], wanted, high).sqrt())
    };
    Interval { low: end(0.975), high: end(0.025) }
}

/// A τ² far above any estimate; `None` when all runs of each cell are equal.
fn upper_bound(cells: &[&[Estimate<f64>]]) -> Option<f64> {
    let widest = cells.iter().map(|runs| {
        let low = runs.iter().map(|run| run.value).fold(f64::INFINITY, f64::min);
        let high = runs.iter().map(|run| run.value).fold(f64::NEG_INFINITY, f64::max);
        high - low
    });
    let widest = widest.fold(0.0, f64::max);
    (widest > 0.0).then_some(100.0 * widest * widest)
}

fn generalised_q(cells: &[&[Estimate<f64>]], tau2: f64) -> f64 {
    cells.iter().map(|runs| Weighted::of(runs, tau2).chi_squared(runs)).sum()
}

/// The τ² at which the generalised Q, which falls with τ², has the wanted value; zero when it is below it throughout.
fn generalised_q_root(cells: &[&[Estimate<f64>]], wanted: f64, high: f64) -> f64 {
    let excess = |tau2: f64| generalised_q(cells, tau2) - wanted;
    if excess(0.0) <= 0.0 {
        return 0.0;
    }
    let mut high = high;
    // Q falls as 1/τ², so doubling ends; the bound is for a wanted value of zero.
    while excess(high) > 0.0 && high < 1e300 {
        high *= 2.0;
    }
    bisect(0.0, high, excess)
}

fn moment_step(cells: &[&[Estimate<f64>]], dof: f64) -> f64 {
    let scale: f64 = cells
        .iter()
        .map(|runs| {
            let weighted = Weighted::of(runs, 0.0);
            weighted.sum - weighted.weights.iter().map(|w| w * w).sum::<f64>() / weighted.sum
        })
        .sum();
    ((generalised_q(cells, 0.0) - dof) / scale).max(0.0)
}

/// Twice the restricted log-likelihood, up to a constant.
fn likelihood(cells: &[&[Estimate<f64>]], tau2: f64) -> f64 {
    let of_cell = |runs: &&[Estimate<f64>]| {
        let weighted = Weighted::of(runs, tau2);
        weighted.weights.iter().map(|w| w.ln()).sum::<f64>() - weighted.sum.ln() - weighted.chi_squared(runs)
    };
    cells.iter().map(of_cell).sum()
}

/// Twice its derivative by τ².
fn score(cells: &[&[Estimate<f64>]], tau2: f64) -> f64 {
    let of_cell = |runs: &&[Estimate<f64>]| {
        let weighted = Weighted::of(runs, tau2);
        let squares: f64 = weighted.weights.iter().map(|w| w * w).sum();
        let pull: f64 =
            weighted.weights.iter().zip(*runs).map(|(w, run)| (w * (run.value - weighted.mean)).powi(2)).sum();
        pull - weighted.sum + squares / weighted.sum
    };
    cells.iter().map(of_cell).sum()
}

/// The likelihood may have more than one top where the uncertainties differ much, so it is scanned from far below the
/// smallest variance to far above the scatter, eight places a decade, and the highest top is refined.
fn restricted_maximum_likelihood(cells: &[&[Estimate<f64>]], high: f64) -> f64 {
    const PER_DECADE: f64 = 8.0;
    let smallest = cells.iter().copied().flatten().map(|run| run.std_u).fold(f64::INFINITY, f64::min);
    let low = (1e-3 * smallest * smallest).min(1e-3 * high);
    let steps = (PER_DECADE * (high / low).log10()).ceil();
    let grid: Vec<f64> =
        std::iter::once(0.0).chain((0..=steps as u32).map(|i| low * (high / low).powf(f64::from(i) / steps))).collect();
    let heights: Vec<f64> = grid.iter().map(|tau2| likelihood(cells, *tau2)).collect();
    let best = (0..grid.len()).max_by(|a, b| heights[*a].total_cmp(&heights[*b])).unwrap_or(0);
    if best == 0 && score(cells, 0.0) <= 0.0 {
        return 0.0;
    }
    let end = (best + 1).min(grid.len() - 1);
    bisect(grid[best.saturating_sub(1)], grid[end], |tau2| score(cells, tau2)).max(0.0)
}
