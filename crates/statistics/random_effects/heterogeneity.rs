//! Do the runs contradict one another?

use super::spread::Weighted;
use crate::distributions::chi_squared_upper_p;
use driftless_units::Estimate;

/// Cochran's Q and what follows from it (Higgins and Thompson 2002).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heterogeneity {
    /// Cochran's Q: sum of squared distances from the fixed-effect mean, in units of the runs' own uncertainties.
    pub q: f64,
    /// Degrees of freedom: number of runs less one.
    pub dof: f64,
    /// Probability of a Q at least as large if the runs' own uncertainties were all there is.
    pub p: f64,
    /// Share of the scatter that the runs' own uncertainties do not explain, per cent: 100 (Q - dof) / Q, from Q and
    /// not from τ² (the two differ).
    pub i_squared_percent: f64,
}

impl Heterogeneity {
    /// The runs differ by more than their own uncertainties explain (p below 0.05).
    pub fn contradictory(&self) -> bool {
        self.p < 0.05
    }
}

pub(super) fn of(runs: &[Estimate<f64>]) -> Heterogeneity {
    let q = Weighted::of(runs, 0.0).chi_squared(runs);
    let dof = (runs.len() - 1) as f64;
    let unexplained = if q > dof { 100.0 * (q - dof) / q } else { 0.0 };
    Heterogeneity { q, dof, p: chi_squared_upper_p(q, dof), i_squared_percent: unexplained }
}
