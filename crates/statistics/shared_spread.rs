//! Cells that share what they know of the spread between runs.
//!
//! Model: run i of cell c measures y = μ_c + b + e, with e of the run's own standard uncertainty and b of the cell's
//! between-run standard deviation
//!
//! > τ_c = f_g h_c √(a² + (β μ_c)²)
//!
//! a is a spread in the unit of the figures, β a share of the turn, f_g a factor of the group (scenario and wing), h_c one of
//! the cell, both log-normal about one with the standard deviation ω. a, β and ω are common to all cells; the mean μ_c of
//! each is free (flat). ω = 0 says that all cells spread by the same rule; the larger it is, the more each keeps its own.
//!
//! * All of it is integrated, none is plugged in: a, β, ω, the factors, and how much worse than stated a stopwatch was read.
//!   What is left of a cell is a mixture of normal distributions ([`Mixture`]), of two cells a joint one ([`PairMixture`]);
//!   their quantiles are the intervals. A cell of one run gets the spread of the others with the doubt about it; two runs
//!   that agree by luck move the spread a little and do not become sure.
//! * The likelihood of the spread is the restricted one (the mean of each cell integrated out), H. D. Patterson, R. Thompson,
//!   Biometrika 58 (1971) 545-554; hierarchical normal model: A. Gelman et al., *Bayesian Data Analysis* (3rd ed. 2013),
//!   section 5.4; priors for few groups: A. Gelman, Bayesian Analysis 1 (2006) 515-534.
//! * Quadrature is deterministic: a grid in ln a and ln β, Gauss and Hermite for the factors.
//! * Priors ([`SpreadPrior`]) are worth a few degrees of freedom: some ten repeats outweigh them. They are engineering
//!   judgement and stand in every report.
//! * Where no cell has repeats, nothing is known of the spread and the prior's middle is taken as it is: "a typical spread".
//!   [`SharedSpread::repeats`] is zero then, and it has to be said.

mod grid;
mod likelihood;
mod mixture;
mod pair;
#[cfg(test)]
mod tests;

pub use mixture::{Component, Mixture};
pub use pair::{Added, PairComponent, PairMixture};

use super::StatisticsError;
use super::distributions::normal_equivalent_std_u;
use super::error::{finite, positive, sound};
use driftless_units::{Estimate, Interval};
use grid::Posterior;
use likelihood::Table;

/// Degrees of freedom given to the mean variance of all runs when a run's own is moderated, as in
/// [`super::random_effects`].
const MODERATION_DOF: f64 = 8.0;

/// What is held likely of the spread between runs before any was flown. Engineering judgement.
#[derive(Debug, Clone, PartialEq)]
pub struct SpreadPrior {
    /// Typical spread, in the unit of the figures.
    pub absolute: f64,
    /// Typical spread as a share of the turn.
    pub share: f64,
    /// What is believed of a and β beforehand.
    pub belief: Belief,
    /// How far cells depart from the rule: values of ω, each with its probability.
    pub departures: Vec<(f64, f64)>,
    /// Scale of ln k, with k the factor by which a stopwatch is read worse than stated: Student's t with four degrees of
    /// freedom.
    pub by_hand_log_scale: f64,
}

/// What is believed of a spread before any run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Belief {
    /// Near the typical one: Student's t with four degrees of freedom in the logarithm, so that a spread far from typical is
    /// believed as soon as runs show it.
    Typical {
        /// Scale of the logarithm. 0.4: half of all campaigns lie within a factor of 1.35, 95 % within one of three.
        log_scale: f64,
    },
    /// Any spread is as likely as any other, as far as the grid reaches: to compare with literature.
    Flat,
}

impl Default for SpreadPrior {
    /// In °/s: 0.10 °/s and 4 %, what set-ups that were rigged with care show from day to day (engineering judgement).
    fn default() -> Self {
        Self {
            absolute: 0.10,
            share: 0.04,
            belief: Belief::Typical { log_scale: 0.4 },
            departures: vec![(0.0, 0.45), (0.2, 0.3), (0.4, 0.2), (1.2, 0.05)],
            by_hand_log_scale: 0.35,
        }
    }
}

/// One run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunOfCell {
    /// What it measured, with its own uncertainty.
    pub rate: Estimate<f64>,
    /// Whether that uncertainty is judged, not measured: a stopwatch.
    pub by_hand: bool,
}

/// The runs of one cell.
#[derive(Debug, Clone, PartialEq)]
pub struct CellOfRuns {
    /// Cells of one group (scenario and wing) have a factor in common.
    pub group: usize,
    /// At least one.
    pub runs: Vec<RunOfCell>,
}

/// A run that was measured by stopwatch and by log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredTwice {
    /// One figure less the other.
    pub difference: f64,
    /// Stated uncertainty by stopwatch.
    pub by_hand_std_u: f64,
    /// Uncertainty by log.
    pub other_std_u: f64,
}

/// A figure with its median and 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Likely {
    /// Median.
    pub median: f64,
    /// 95 % interval.
    pub interval: Interval<f64>,
}

/// What all cells together say of the spread between runs.
#[derive(Debug, Clone)]
pub struct SharedSpread {
    tables: Vec<Table>,
    posterior: Posterior,
    /// Runs less cells: how many repeats the spread rests on. Zero where nothing was repeated: then the spread is the prior's
    /// typical one, and unknown.
    pub repeats: usize,
}

/// Lets cells share their spread. `measured_twice` are runs with two figures, which tell how well a stopwatch was read;
/// those figures are not runs of a cell. Without any, what is stated of it stands.
///
/// ```
/// use driftless_statistics::shared_spread::{CellOfRuns, RunOfCell, SpreadPrior, share_spread};
/// use driftless_units::Estimate;
/// let cell = |rates: &[f64]| CellOfRuns {
///     group: 0,
///     runs: rates.iter().map(|r| RunOfCell { rate: Estimate::new(*r, 0.05), by_hand: false }).collect(),
/// };
/// let cells = [cell(&[3.0, 3.3, 2.8]), cell(&[1.0, 1.2]), cell(&[2.0])];
/// let shared = share_spread(&cells, &[], &SpreadPrior::default())?;
/// assert_eq!(shared.repeats, 3);
/// // The single run is as unsure as a day, not as its log.
/// let single = shared.mean(2).estimate().interval(0.95);
/// assert!(single.high - single.low > 4.0 * 0.1);
/// # Ok::<(), driftless_statistics::StatisticsError>(())
/// ```
///
/// # Errors
/// No cell, a cell without runs, or a run whose value, uncertainty or degrees of freedom is no sound number.
pub fn share_spread(
    cells: &[CellOfRuns],
    measured_twice: &[MeasuredTwice],
    prior: &SpreadPrior,
) -> Result<SharedSpread, StatisticsError> {
    let what = "the spread that cells share";
    if cells.is_empty() {
        return Err(StatisticsError::TooFew { what, of: "cells", needed: 1, got: 0 });
    }
    positive(what, "the typical spread", prior.absolute)?;
    for cell in cells {
        if cell.runs.is_empty() {
            return Err(StatisticsError::TooFew { what, of: "runs in a cell", needed: 1, got: 0 });
        }
        cell.runs.iter().try_for_each(|run| sound(what, &run.rate))?;
    }
    for pair in measured_twice {
        finite(what, "a difference", pair.difference)?;
        positive(what, "a standard uncertainty", pair.by_hand_std_u)?;
    }
    let repeats = cells.iter().map(|cell| cell.runs.len() - 1).sum();
    let moderation = mean_variance(cells);
    let factors = grid::by_hand_factors(!measured_twice.is_empty(), prior);
    let typical_only = repeats == 0;
    let tables: Vec<Table> =
        cells.iter().map(|cell| Table::of(cell, moderation, &factors, prior, typical_only)).collect();
    let posterior = Posterior::of(cells, &tables, &factors, measured_twice, prior, typical_only);
    Ok(SharedSpread { tables, posterior, repeats })
}

/// Mean variance of the runs by log whose uncertainty is itself uncertain.
fn mean_variance(cells: &[CellOfRuns]) -> Option<f64> {
    let doubtful = || cells.iter().flat_map(|cell| &cell.runs).filter(|run| !run.by_hand && run.rate.dof.is_finite());
    let count = doubtful().count();
    (count > 0).then(|| doubtful().map(|run| run.rate.std_u.powi(2)).sum::<f64>() / count as f64)
}

/// The standard uncertainty that a normal distribution needs for a run: moderated toward the mean of all, then as wide as
/// Student's t.
fn normal_std_u(run: &RunOfCell, moderation: Option<f64>) -> f64 {
    match moderation {
        Some(mean) if !run.by_hand && run.rate.dof.is_finite() => {
            let dof = run.rate.dof + MODERATION_DOF;
            let variance = (run.rate.dof * run.rate.std_u.powi(2) + MODERATION_DOF * mean) / dof;
            normal_equivalent_std_u(&Estimate::with_dof(0.0, variance.sqrt(), dof))
        }
        _ => run.rate.std_u,
    }
}

impl SharedSpread {
    /// What is known of the mean of a cell, in the order given; nothing for a number that is no cell.
    pub fn mean(&self, cell: usize) -> Mixture {
        let Some(table) = self.tables.get(cell) else { return Mixture::default() };
        let weights = self.posterior.of_cell(&self.tables, cell);
        Mixture::new(
            weights.into_iter().map(|(factor, place, weight)| table.component(factor, place, weight)).collect(),
        )
    }

    /// Runs of a cell.
    pub fn runs_of(&self, cell: usize) -> usize {
        self.tables.get(cell).map_or(0, |table| table.runs)
    }

    /// What is known of the means of two cells together.
    pub fn pair(&self, a: usize, b: usize) -> PairMixture {
        let (Some(of_a), Some(of_b)) = (self.tables.get(a), self.tables.get(b)) else { return PairMixture::default() };
        let by_hand = of_a.has_by_hand() || of_b.has_by_hand();
        let weights = self.posterior.of_pair(&self.tables, a, b, by_hand);
        PairMixture::new(
            weights
                .into_iter()
                .map(|(factor, of, weight)| PairComponent {
                    weight,
                    a: of_a.component(factor, of.0, weight),
                    b: of_b.component(factor, of.1, weight),
                })
                .collect(),
        )
    }

    /// Spread that cells have in common, a, in the unit of the figures.
    pub fn absolute(&self) -> Likely {
        self.posterior.likely(|node| node.absolute)
    }

    /// Spread as a share of the turn, β.
    pub fn share(&self) -> Likely {
        self.posterior.likely(|node| node.share)
    }

    /// How much worse than stated stopwatches were read, k; one where no run was measured both ways.
    pub fn by_hand_factor(&self) -> Likely {
        self.posterior.likely(|node| node.by_hand_factor)
    }
}
