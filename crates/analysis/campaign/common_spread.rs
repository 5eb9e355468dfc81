//! The spread from run to run that all cells of a scenario have in common, and what each cell's mean is under it.

use super::cells::{Cell, CellKey};
use driftless_statistics::random_effects::combine_pooled;
use driftless_track::Scenario;
use driftless_units::Estimate;
use std::collections::BTreeMap;

/// What cells of a scenario say together, if they spread alike. The figures of a cell do not rest on that: its own mean
/// has the spread of its own runs. Those of few runs are planned with it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CommonSpread {
    /// Standard deviation from run to run by scenario, °/s; none for a scenario in which no cell has repeats.
    between_run_sd_deg_s: BTreeMap<Scenario, f64>,
    /// Mean of each cell under it, °/s.
    means_deg_s: BTreeMap<CellKey, Estimate<f64>>,
}

impl CommonSpread {
    /// Of these cells.
    pub(super) fn of(cells: &[Cell]) -> Self {
        let mut by_scenario: BTreeMap<Scenario, Vec<&Cell>> = BTreeMap::new();
        for cell in cells {
            by_scenario.entry(cell.key.scenario).or_default().push(cell);
        }
        let mut common = Self::default();
        for (scenario, cells) in by_scenario {
            let runs: Vec<Vec<Estimate<f64>>> =
                cells.iter().map(|cell| cell.runs.iter().map(|run| run.rate_deg_s).collect()).collect();
            let runs: Vec<&[Estimate<f64>]> = runs.iter().map(Vec::as_slice).collect();
            let Ok(pooled) = combine_pooled(&runs) else { continue };
            common.between_run_sd_deg_s.insert(scenario, pooled.between_run_sd);
            let means = pooled.means.into_iter().map(|(mean, _)| mean);
            common.means_deg_s.extend(cells.iter().map(|cell| cell.key).zip(means));
        }
        common
    }

    /// The spread of a scenario, °/s.
    pub fn between_run_sd_deg_s(&self, scenario: Scenario) -> Option<f64> {
        self.between_run_sd_deg_s.get(&scenario).copied()
    }

    /// The mean of a cell under the spread of its scenario, °/s.
    pub fn mean_deg_s(&self, key: CellKey) -> Option<Estimate<f64>> {
        self.means_deg_s.get(&key).copied()
    }
}
