//! Runs that stand apart: named, never dropped.

use super::spread::{Weighted, tau_squared};
use super::{SpreadMethod, fixed_effect};
use crate::distributions::student_two_sided_p;
use driftless_units::Estimate;

/// Family-wise probability of naming any run of a cell that has none to name.
const NAMED_BELOW_P: f64 = 0.05;

/// A run far from what the other runs of its cell lead one to expect.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutlyingRun {
    /// Place of the run in the list given.
    pub index: usize,
    /// Studentised deleted residual: distance from the mean of the others over its standard uncertainty.
    pub deleted_residual: f64,
    /// Its two-sided p-value, k - 2 degrees of freedom, times the number of runs (Bonferroni).
    pub p: f64,
}

/// Rule: the run is left out, mean and spread of the others are found anew, and the distance is studentised with the
/// scatter of the others (never less than their own uncertainties); named when p x k is below 0.05. For runs of equal
/// uncertainty this is the externally studentised residual of regression (Cook and Weisberg 1982). With three runs
/// only a gross outlier can be told from mere spread, with two none.
pub(super) fn named(runs: &[Estimate<f64>], method: SpreadMethod) -> Vec<OutlyingRun> {
    if runs.len() < 3 {
        return Vec::new();
    }
    let judged = (0..runs.len()).map(|index| judge(runs, index, method));
    judged.filter(|run| run.p < NAMED_BELOW_P).collect()
}

fn judge(runs: &[Estimate<f64>], index: usize, method: SpreadMethod) -> OutlyingRun {
    let others: Vec<Estimate<f64>> =
        runs.iter().enumerate().filter(|(i, _)| *i != index).map(|(_, run)| *run).collect();
    let dof = (others.len() - 1) as f64;
    let tau2 = tau_squared(&[&others], method);
    let weighted = Weighted::of(&others, tau2);
    let scatter = weighted.chi_squared(&others) / dof;
    let own = runs[index].std_u.powi(2);
    let variance = (scatter * (own + tau2 + 1.0 / weighted.sum)).max(own + fixed_effect(&others).std_u.powi(2));
    let deleted_residual = (runs[index].value - weighted.mean) / variance.sqrt();
    let p = (student_two_sided_p(deleted_residual, dof) * runs.len() as f64).min(1.0);
    OutlyingRun { index, deleted_residual, p }
}
