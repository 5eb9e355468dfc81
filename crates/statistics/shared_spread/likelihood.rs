//! The runs of a cell for every spread of a grid: mean, its variance, and the restricted likelihood.

use super::mixture::Component;
use super::{CellOfRuns, RunOfCell, SpreadPrior, normal_std_u};

/// Places of the grid of ln τ: from e⁻⁶ to e⁶ times the typical spread, four to a factor of e.
pub(super) const PLACES: usize = 49;
const LOWEST: f64 = -6.0;
const STEP: f64 = 0.25;

/// A place of the grid, and what falls to the next one.
pub(super) type Split = (usize, f64);

/// What one spread makes of the runs.
#[derive(Debug, Clone, Copy)]
struct Entry {
    mean: f64,
    variance: f64,
    ln_likelihood: f64,
}

/// A cell, tabulated over the spread, for every factor of the stopwatch.
#[derive(Debug, Clone)]
pub(super) struct Table {
    /// By factor, then by spread.
    entries: Vec<Vec<Entry>>,
    spreads: Vec<f64>,
    /// How far the places of the grid are moved, so that one is where the spread is known to be.
    offset: f64,
    /// Mean of the values, each counting alike: what "a share of the turn" is a share of.
    pub(super) plain_mean: f64,
    /// How many runs there are.
    pub(super) runs: usize,
    by_hand: bool,
}

impl Table {
    pub(super) fn of(
        cell: &CellOfRuns,
        moderation: Option<f64>,
        factors: &[f64],
        prior: &SpreadPrior,
        typical_only: bool,
    ) -> Self {
        let plain_mean = cell.runs.iter().map(|run| run.rate.value).sum::<f64>() / cell.runs.len() as f64;
        let known = (prior.absolute.hypot(prior.share * plain_mean) / prior.absolute).ln();
        let offset = if typical_only { known.rem_euclid(STEP) } else { 0.0 };
        let spread = |i: usize| prior.absolute * (LOWEST + offset + STEP * i as f64).exp();
        let spreads: Vec<f64> = (0..PLACES).map(spread).collect();
        let std_us: Vec<f64> = cell.runs.iter().map(|run| normal_std_u(run, moderation)).collect();
        let by_hand = cell.runs.iter().any(|run| run.by_hand);
        let of_factor = |(index, factor): (usize, &f64)| -> Vec<Entry> {
            // Without a stopwatch run all factors are alike; the first stands for all.
            if index > 0 && !by_hand {
                return Vec::new();
            }
            let variances: Vec<f64> = (cell.runs.iter().zip(&std_us))
                .map(|(run, std_u)| (if run.by_hand { factor * std_u } else { *std_u }).powi(2))
                .collect();
            spreads.iter().map(|spread| entry(&cell.runs, &variances, spread * spread)).collect()
        };
        let entries = factors.iter().enumerate().map(of_factor).collect();
        Self { entries, spreads, offset, plain_mean, runs: cell.runs.len(), by_hand }
    }

    pub(super) const fn has_by_hand(&self) -> bool {
        self.by_hand
    }

    fn of_factor(&self, factor: usize) -> &[Entry] {
        let factor = if self.by_hand { factor } else { 0 };
        self.entries.get(factor).map_or(&[], Vec::as_slice)
    }

    /// ln of the restricted likelihood at ln (τ / typical τ), linear between places.
    pub(super) fn ln_likelihood(&self, factor: usize, ln_spread: f64) -> f64 {
        let (place, next) = self.split(ln_spread);
        let of = self.of_factor(factor);
        match (of.get(place), of.get(place + 1)) {
            (Some(here), Some(there)) => (1.0 - next) * here.ln_likelihood + next * there.ln_likelihood,
            _ => f64::NEG_INFINITY,
        }
    }

    /// The place at or below ln (τ / typical τ), and the share of the next one; the ends of the grid hold what is beyond.
    pub(super) fn split(&self, ln_spread: f64) -> Split {
        let position = ((ln_spread - LOWEST - self.offset) / STEP).clamp(0.0, (PLACES - 1) as f64 - 1e-9);
        // A place that is meant and missed by rounding.
        let position = if (position - position.round()).abs() < 1e-9 { position.round() } else { position };
        (position as usize, position.fract())
    }

    /// The mean of the cell where its spread is that of a place.
    pub(super) fn component(&self, factor: usize, place: usize, weight: f64) -> Component {
        let entry = self.of_factor(factor).get(place).copied();
        let Entry { mean, variance, .. } =
            entry.unwrap_or(Entry { mean: f64::NAN, variance: f64::NAN, ln_likelihood: f64::NAN });
        Component { weight, mean, variance, spread: self.spreads.get(place).copied().unwrap_or(f64::NAN) }
    }
}

/// The share of the next place that keeps the mean of τ², from the share that keeps that of ln τ.
pub(super) fn of_variance(next: f64) -> f64 {
    (2.0 * STEP * next).exp_m1() / (2.0 * STEP).exp_m1()
}

fn entry(runs: &[RunOfCell], variances: &[f64], tau2: f64) -> Entry {
    let (mut sum, mut weighted, mut ln_likelihood) = (0.0, 0.0, 0.0);
    for (run, variance) in runs.iter().zip(variances) {
        let weight = 1.0 / (variance + tau2);
        sum += weight;
        weighted += weight * run.rate.value;
        ln_likelihood += 0.5 * weight.ln();
    }
    let mean = weighted / sum;
    for (run, variance) in runs.iter().zip(variances) {
        ln_likelihood -= 0.5 * (run.rate.value - mean).powi(2) / (variance + tau2);
    }
    Entry { mean, variance: 1.0 / sum, ln_likelihood: ln_likelihood - 0.5 * sum.ln() }
}
