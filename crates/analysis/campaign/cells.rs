//! Cells: set-up x wing x scenario, with the mean of the repeats.

use super::alerts::{Alerts, CampaignAlertKind};
use super::runs::{DoublyTimed, Run};
use super::spread;
use crate::PowerKnown;
use driftless_campaign::model::{Campaign, SetupId, WingId};
use driftless_statistics::random_effects::{CellMean, combine};
use driftless_statistics::shared_spread::{Likely, SharedSpread};
use driftless_track::Scenario;
use driftless_units::{Estimate, Interval};
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
        self.words_as(campaign, PowerKnown::Known)
    }

    /// The same with the scenario named as far as its power is known.
    pub(super) fn words_as(&self, campaign: &Campaign, power: PowerKnown) -> String {
        let scenario = power.scenario_words(self.scenario);
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
    /// What they say by themselves, °/s, as if no other cell had been flown.
    pub mean: CellMean,
    /// What is known of its turn, °/s, all cells sharing what their repeats say of the spread from run to run.
    pub shared: SharedTurn,
}

/// A cell whose spread rests on all cells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharedTurn {
    /// Its turn, °/s.
    pub turn_deg_s: Estimate<f64>,
    /// 95 % interval for its true turn of another day, °/s.
    pub another_day_deg_s: Interval<f64>,
    /// Spread from run to run, °/s.
    pub spread_deg_s: Likely,
    /// Runs that count by themselves: windows of one flight are one between them.
    pub days: usize,
}

impl Cell {
    /// The residual turn of the cell, °/s.
    pub const fn turn_deg_s(&self) -> Estimate<f64> {
        self.shared.turn_deg_s
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

pub(super) fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    (count > 0.0).then(|| sum / count)
}

/// Cells, and what they share.
pub(super) struct Cells {
    pub(super) cells: Vec<Cell>,
    /// In the order of the cells; `None` without any.
    pub(super) shared: Option<SharedSpread>,
}

/// Sorts runs into cells, combines each, and lets all share their spread.
pub(super) fn cells(runs: &[Run], doubly: &[DoublyTimed], alerts: &mut Alerts) -> Cells {
    let mut by_key: BTreeMap<CellKey, Vec<Run>> = BTreeMap::new();
    for run in runs {
        by_key.entry(run.key).or_default().push(run.clone());
    }
    let mut alone: Vec<(CellKey, Vec<Run>, CellMean)> = Vec::new();
    for (key, runs) in by_key {
        let rates: Vec<Estimate<f64>> = runs.iter().map(|run| run.rate_deg_s).collect();
        match combine(&rates) {
            Ok(mean) => alone.push((key, runs, mean)),
            Err(error) => alerts.add(CampaignAlertKind::CellNotCombined { cell: key, error }),
        }
    }
    let of_runs: Vec<(CellKey, &[Run])> = alone.iter().map(|(key, runs, _)| (*key, runs.as_slice())).collect();
    let shared = match spread::share(&of_runs, doubly) {
        Ok(shared) => Some(shared),
        Err(error) => {
            if !of_runs.is_empty() {
                alerts.add(CampaignAlertKind::SpreadNotShared { error });
            }
            None
        }
    };
    let cells: Vec<Cell> = alone
        .into_iter()
        .enumerate()
        .map(|(index, (key, runs, mean))| {
            let shared = shared.as_ref().map_or_else(|| by_itself(&mean), |shared| shared_turn(shared, index));
            Cell { key, runs, mean, shared }
        })
        .collect();
    doubts(&cells, alerts);
    single_runs(&cells, shared.as_ref(), alerts);
    Cells { cells, shared }
}

fn shared_turn(shared: &SharedSpread, cell: usize) -> SharedTurn {
    let mean = shared.mean(cell);
    SharedTurn {
        turn_deg_s: mean.estimate(),
        another_day_deg_s: mean.another_day().interval(0.95),
        spread_deg_s: mean.spread(),
        days: shared.runs_of(cell),
    }
}

fn by_itself(mean: &CellMean) -> SharedTurn {
    let unknown = Interval { low: f64::NAN, high: f64::NAN };
    SharedTurn {
        turn_deg_s: mean.mean,
        another_day_deg_s: mean.another_day.unwrap_or(unknown),
        spread_deg_s: Likely { median: mean.between_run_sd.unwrap_or(f64::NAN), interval: unknown },
        days: mean.runs,
    }
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

/// Says where nothing, or little, is known of other days.
fn single_runs(cells: &[Cell], shared: Option<&SharedSpread>, alerts: &mut Alerts) {
    let single: Vec<CellKey> = cells.iter().filter(|cell| cell.shared.days == 1).map(|cell| cell.key).collect();
    if !single.is_empty() {
        let repeats = shared.map_or(0, |shared| shared.repeats);
        alerts.add(CampaignAlertKind::SingleRuns { cells: single, of: cells.len(), repeats });
    }
}
