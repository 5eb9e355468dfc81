//! Runs that stand apart: named, never dropped.

use super::spread::{Weighted, tau_squared};
use super::{SpreadMethod, fixed_effect};
use crate::distributions::student_two_sided_p;
use driftless_units::{Estimate, coverage_factor};

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
    let judged = suspects(runs, method).into_iter().map(|index| judge(runs, index, method));
    judged.filter(|run| run.p < NAMED_BELOW_P).collect()
}

/// Up to so many runs each is judged without itself. That costs the square of their number, so of more only suspects are.
const ALL_JUDGED: usize = 30;
/// Of suspects so many are judged, the farthest first: what lies beyond is no cell with outliers but two cells in one.
const MOST_SUSPECTS: usize = 16;
/// A suspect has at least this share of the residual that a run to be named has (engineering judgement; where all
/// uncertainties are alike the share is 1).
const SUSPECT_SHARE: f64 = 0.8;

/// Runs that may stand apart, rising: by their residual from the mean of all, themselves included.
///
/// With like uncertainties the studentised residual r and the deleted one t of k runs are bound to each other:
/// r² = t² (k - 1) / (k - 2 + t²) (Cook and Weisberg, *Residuals and Influence in Regression*, 1982, section 2.2.1; from
/// memory), so that no run below the r of the smallest t that is named can be.
fn suspects(runs: &[Estimate<f64>], method: SpreadMethod) -> Vec<usize> {
    if runs.len() <= ALL_JUDGED {
        return (0..runs.len()).collect();
    }
    let k = runs.len() as f64;
    let tau2 = tau_squared(&[runs], method);
    let weighted = Weighted::of(runs, tau2);
    let scatter = weighted.chi_squared(runs) / (k - 1.0);
    let residual = |run: &Estimate<f64>| {
        let variance = scatter * (run.std_u.powi(2) + tau2 - 1.0 / weighted.sum);
        (run.value - weighted.mean).abs() / variance.sqrt()
    };
    let named = coverage_factor(1.0 - NAMED_BELOW_P / k, k - 2.0);
    let least = SUSPECT_SHARE * named * ((k - 1.0) / (k - 2.0 + named * named)).sqrt();
    let mut found: Vec<(usize, f64)> = runs.iter().map(residual).enumerate().filter(|(_, r)| *r >= least).collect();
    found.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut places: Vec<usize> = found.into_iter().take(MOST_SUSPECTS).map(|(place, _)| place).collect();
    places.sort_unstable();
    places
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::Draws;

    /// Cells of 31 to 80 runs with uncertainties within a factor of three, a spread, and some runs far off: the suspects hold
    /// every run that would be named if all were judged.
    #[test]
    fn simulated_no_run_that_stands_apart_escapes_suspicion() {
        let mut draws = Draws::new(11);
        let mut named_at_all = 0;
        for cell in 0..40 {
            let runs: Vec<Estimate<f64>> = (0..31 + cell)
                .map(|k| {
                    let std_u = 0.1 * 3f64.powf(draws.uniform());
                    let off = if k < cell % 4 { 1.6 } else { 0.0 };
                    Estimate::with_dof(draws.normal(3.0 + off, std_u.hypot(0.15)), std_u, 8.0)
                })
                .collect();
            let all = (0..runs.len()).map(|k| judge(&runs, k, SpreadMethod::Reml)).filter(|run| run.p < NAMED_BELOW_P);
            let all: Vec<usize> = all.map(|run| run.index).collect();
            named_at_all += all.len();
            assert_eq!(named(&runs, SpreadMethod::Reml).iter().map(|run| run.index).collect::<Vec<_>>(), all);
            assert!(suspects(&runs, SpreadMethod::Reml).len() <= 8, "they are few");
        }
        assert!(named_at_all > 20, "{named_at_all}");
    }

    /// A season timed by hand in one cell; judged one by one these took hours.
    #[test]
    fn regression_ten_thousand_runs_are_judged_at_once() {
        let mut draws = Draws::new(3);
        let mut runs: Vec<Estimate<f64>> = (0..10_000).map(|_| Estimate::new(draws.normal(4.0, 0.3), 0.1)).collect();
        runs[1234].value = 9.0;
        let begin = std::time::Instant::now();
        assert_eq!(named(&runs, SpreadMethod::Reml).iter().map(|run| run.index).collect::<Vec<_>>(), [1234]);
        assert!(begin.elapsed().as_secs() < 60, "{:?}", begin.elapsed());
    }
}
