//! Cells: set-up x wing x scenario, with the mean of the repeats.

use super::alerts::{Alerts, CampaignAlertKind};
use super::runs::Run;
use driftless_campaign::model::{Campaign, SetupId, WingId};
use driftless_statistics::StatisticsError;
use driftless_statistics::random_effects::{CellMean, Guard, SpreadMethod, combine, combine_with};
use driftless_track::Scenario;
use driftless_units::Estimate;
use std::collections::BTreeMap;

/// What a cell is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CellKey {
    /// Set-up.
    pub setup: SetupId,
    /// Wing.
    pub wing: WingId,
    /// Scenario.
    pub scenario: Scenario,
}

impl CellKey {
    /// "vanes, Fenlark 26, full-power climb".
    pub fn words(&self, campaign: &Campaign) -> String {
        let scenario = self.scenario.words();
        format!("{}, {}, {scenario}", campaign.setup(self.setup).name, campaign.wing(self.wing).name)
    }
}

/// A cell with at least one run.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// What it is of.
    pub key: CellKey,
    /// Its runs, in the order of the campaign file.
    pub runs: Vec<Run>,
    /// What they say together, °/s; never surer than the runs' own uncertainties make it.
    pub mean: CellMean,
    /// The same mean for compensation, its uncertainty from the scatter of three or more repeats alone. The guard that
    /// keeps a lucky few repeats from looking too sure makes 97 to 98 of 100 intervals of compensation hold the truth;
    /// without it 95 do, as they should. It stays where it is seen: in the interval of the cell itself.
    pub for_ratio_deg_s: Estimate<f64>,
}

impl Cell {
    /// The residual turn of the cell, °/s.
    pub const fn turn_deg_s(&self) -> Estimate<f64> {
        self.mean.mean
    }

    /// Mean airspeed of its runs from logs, m/s.
    pub fn airspeed_mps(&self) -> Option<f64> {
        mean(self.runs.iter().filter_map(|run| Some(run.log()?.airspeed_mps?.value)))
    }

    /// Mean altitude of its runs from logs, m.
    pub fn altitude_m(&self) -> Option<f64> {
        mean(self.runs.iter().filter_map(|run| run.log()?.altitude_m))
    }
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    (count > 0.0).then(|| sum / count)
}

/// From this many runs on, compensation takes the scatter of the repeats as it is; see [`Cell::for_ratio_deg_s`].
const RUNS_WITHOUT_GUARD: usize = 3;

/// A cell from its runs.
fn cell(key: CellKey, runs: Vec<Run>) -> Result<Cell, StatisticsError> {
    let rates: Vec<Estimate<f64>> = runs.iter().map(|run| run.rate_deg_s).collect();
    let mean = combine(&rates)?;
    let scattered = combine_with(&rates, SpreadMethod::Reml, Guard::None)?.mean;
    // Repeats that agree to the last digit have no scatter to go by.
    let by_scatter = rates.len() >= RUNS_WITHOUT_GUARD && scattered.std_u > 0.0;
    let for_ratio_deg_s = if by_scatter { scattered } else { mean.mean };
    Ok(Cell { key, runs, mean, for_ratio_deg_s })
}

/// Sorts runs into cells and combines each.
pub(super) fn cells(runs: &[Run], alerts: &mut Alerts) -> Vec<Cell> {
    let mut by_key: BTreeMap<CellKey, Vec<Run>> = BTreeMap::new();
    for run in runs {
        by_key.entry(run.key).or_default().push(run.clone());
    }
    let mut cells = Vec::new();
    for (key, runs) in by_key {
        match cell(key, runs) {
            Ok(cell) => cells.push(cell),
            Err(error) => alerts.add(CampaignAlertKind::CellNotCombined { cell: key, error }),
        }
    }
    doubts(&cells, alerts);
    single_runs(&cells, alerts);
    cells
}

/// Says which repeats contradict one another, and which runs stand apart.
fn doubts(cells: &[Cell], alerts: &mut Alerts) {
    let mut contradictory: Vec<&Cell> =
        cells.iter().filter(|cell| cell.mean.heterogeneity.is_some_and(|h| h.contradictory())).collect();
    if !contradictory.is_empty() {
        let spread = |cell: &Cell| cell.mean.between_run_sd.unwrap_or(0.0);
        contradictory.sort_by(|a, b| spread(b).total_cmp(&spread(a)));
        alerts.add(CampaignAlertKind::RepeatsDiffer {
            cells: contradictory.iter().map(|cell| (cell.key, spread(cell))).collect(),
            of: cells.len(),
            too_few_runs: contradictory.iter().any(|cell| cell.runs.len() < 3),
        });
    }
    for (cell, outlying) in cells.iter().flat_map(|cell| cell.mean.outlying.iter().map(move |run| (cell, run))) {
        if let Some(run) = cell.runs.get(outlying.index) {
            let (run, rate_deg_s) = (run.name.clone(), run.rate_deg_s.value);
            alerts.add(CampaignAlertKind::RunStandsApart { cell: cell.key, run, rate_deg_s });
        }
    }
}

fn single_runs(cells: &[Cell], alerts: &mut Alerts) {
    let single: Vec<CellKey> = cells.iter().filter(|cell| cell.runs.len() == 1).map(|cell| cell.key).collect();
    if !single.is_empty() {
        alerts.add(CampaignAlertKind::SingleRuns { cells: single, of: cells.len() });
    }
}
