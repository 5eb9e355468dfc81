//! Cells that share one between-run spread: what repeats of one cell taught about spread helps the others.

use super::spread::{Weighted, tau_squared};
use super::{Basis, Guard, SpreadMethod, check, fixed_effect, guarded, mean_variance, moderated};
use crate::StatisticsError;
use driftless_units::Estimate;

/// Means of several cells under one common between-run spread.
#[derive(Debug, Clone, PartialEq)]
pub struct PooledCells {
    /// Common between-run standard deviation τ.
    pub between_run_sd: f64,
    /// Degrees of freedom behind it: runs less cells. Any contrast of these means has so many too, differences and ratios
    /// alike: they share one spread, so theirs do not add up.
    pub dof: f64,
    /// Mean of each cell, in the order given, and where its uncertainty comes from.
    pub means: Vec<(Estimate<f64>, Basis)>,
}

/// Combines cells as one regression with a mean per cell (Knapp and Hartung 2003): common τ² by REML, common scatter
/// factor, Student's t with (runs - cells) degrees of freedom. Use it where it is fair to say that repeats of these
/// cells spread alike (the same scenario on the same wing, say); two runs per cell then no longer mean one degree of
/// freedom. A cell of a single run gets the common spread added to its own uncertainty: its own interval alone covers
/// what it did that day, and far less than 95 % of days when days differ (by simulation 53 % for a compensation of two
/// single runs whose days spread by three times their uncertainty, 96 % when pooled). No mean has a narrower interval
/// than its runs' own uncertainties give.
///
/// # Errors
/// No cell with at least two runs, an empty cell, or a run that is no sound number.
pub fn combine_pooled(cells: &[&[Estimate<f64>]]) -> Result<PooledCells, StatisticsError> {
    cells.iter().try_for_each(|runs| check(runs))?;
    let dof: usize = cells.iter().map(|runs| runs.len() - 1).sum();
    if dof == 0 {
        let got = cells.len().min(1);
        return Err(StatisticsError::TooFew {
            what: "the common spread of cells",
            of: "runs in a cell",
            needed: 2,
            got,
        });
    }
    let dof = dof as f64;
    let typical = mean_variance(cells.iter().copied().flatten());
    let cells: Vec<Vec<Estimate<f64>>> = cells.iter().map(|runs| moderated(runs, typical)).collect();
    let cells: Vec<&[Estimate<f64>]> = cells.iter().map(Vec::as_slice).collect();
    let tau2 = tau_squared(&cells, SpreadMethod::Reml);
    let weighted: Vec<Weighted> = cells.iter().map(|runs| Weighted::of(runs, tau2)).collect();
    let scatter = weighted.iter().zip(&cells).map(|(w, runs)| w.chi_squared(runs)).sum::<f64>() / dof;
    let mean_of = |(w, runs): (&Weighted, &&[Estimate<f64>])| {
        let scattered = Estimate::with_dof(w.mean, (scatter / w.sum).sqrt(), dof);
        guarded(scattered, &fixed_effect(runs), Guard::FixedEffect)
    };
    Ok(PooledCells { between_run_sd: tau2.sqrt(), dof, means: weighted.iter().zip(&cells).map(mean_of).collect() })
}
