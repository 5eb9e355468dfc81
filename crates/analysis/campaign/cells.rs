//! Cells: set-up x wing x scenario, with the mean of the repeats.

use super::alerts::Alerts;
use super::runs::Run;
use driftless_campaign::model::{Campaign, SetupId, WingId};
use driftless_statistics::StatisticsError;
use driftless_statistics::random_effects::{CellMean, Guard, SpreadMethod, combine, combine_with};
use driftless_track::{Scenario, Severity};
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
pub(super) fn cells(campaign: &Campaign, runs: &[Run], alerts: &mut Alerts) -> Vec<Cell> {
    let mut by_key: BTreeMap<CellKey, Vec<Run>> = BTreeMap::new();
    for run in runs {
        by_key.entry(run.key).or_default().push(run.clone());
    }
    let mut cells = Vec::new();
    for (key, runs) in by_key {
        match cell(key, runs) {
            Ok(cell) => cells.push(cell),
            Err(error) => alerts.add(
                "cell-not-combined",
                Severity::Error,
                format!("{}: its runs cannot be combined: {error}", key.words(campaign)),
                "look at its runs one by one",
            ),
        }
    }
    doubts(campaign, &cells, alerts);
    single_runs(campaign, &cells, alerts);
    cells
}

/// Says which repeats contradict one another, and which runs stand apart.
fn doubts(campaign: &Campaign, cells: &[Cell], alerts: &mut Alerts) {
    let contradictory: Vec<&Cell> =
        cells.iter().filter(|cell| cell.mean.heterogeneity.is_some_and(|h| h.contradictory())).collect();
    if !contradictory.is_empty() {
        let spread = |cell: &Cell| cell.mean.between_run_sd.unwrap_or(0.0);
        let mut worst = contradictory.clone();
        worst.sort_by(|a, b| spread(b).total_cmp(&spread(a)));
        let named: Vec<String> = worst
            .iter()
            .take(MOST_NAMED)
            .map(|cell| format!("{} ({:.2} °/s)", cell.key.words(campaign), spread(cell)))
            .collect();
        let more = worst.len().saturating_sub(MOST_NAMED);
        let rest = if more > 0 { format!("; and {more} more") } else { String::new() };
        alerts.add(
            "repeats-differ",
            // Real set-ups do differ from run to run, and the interval accounts for it; too few to say how much is
            // another matter.
            if worst.iter().any(|cell| cell.runs.len() < 3) { Severity::Warning } else { Severity::Note },
            format!(
                "repeats differ by more than their own uncertainties explain in {} of {} cells (spread from run to run): \
                 {}{rest}",
                worst.len(),
                cells.len(),
                named.join("; ")
            ),
            "look for what was not the same: rigging, loading, power, hands; the intervals are as wide as the repeats \
             demand",
        );
    }
    for (cell, outlying) in cells.iter().flat_map(|cell| cell.mean.outlying.iter().map(move |run| (cell, run))) {
        if let Some(run) = cell.runs.get(outlying.index) {
            let words = cell.key.words(campaign);
            alerts.add(
                "run-stands-apart",
                Severity::Warning,
                format!("{words}: the run {} ({:.2} °/s) stands apart from the others", run.name, run.rate_deg_s.value),
                "it is in the mean all the same; if something was wrong with it, leave it out by name, with the reason",
            );
        }
    }
}

/// Cells named in one alert.
const MOST_NAMED: usize = 4;

fn single_runs(campaign: &Campaign, cells: &[Cell], alerts: &mut Alerts) {
    let single: Vec<&Cell> = cells.iter().filter(|cell| cell.runs.len() == 1).collect();
    let which = match single.as_slice() {
        [] => return,
        all if all.len() == cells.len() => "every cell has a single run".to_owned(),
        [one] => format!("{}: there is a single run", one.key.words(campaign)),
        few => format!("{} of {} cells have a single run", few.len(), cells.len()),
    };
    alerts.add(
        "single-runs",
        Severity::Warning,
        format!("{which}; how far repeats would spread is not known, and the interval is that of the run alone"),
        "repeat on another day",
    );
}
