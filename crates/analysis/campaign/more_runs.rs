//! How many more runs, and of which cell, bring a compensation to the wished half-width; and what a stopwatch would need.

use super::cells::{Cell, CellKey};
use super::common_spread::CommonSpread;
use super::compensation::{CellCompensation, JudgeBy};
use driftless_campaign::model::{Campaign, SetupId};
use driftless_statistics::plan::{CellSoFar, CompensationPlan, plan_compensation};
use driftless_statistics::stopwatch::StopwatchErrors;
use driftless_track::Scenario;
use std::collections::BTreeMap;

/// Angle timed by hand, degrees.
const TIMED_DEG: f64 = 90.0;

/// Runs that one compensation still needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoreRuns {
    /// The cell with the device.
    pub key: CellKey,
    /// Its baseline.
    pub baseline: SetupId,
    /// The spread from run to run that all cells of the scenario have in common, °/s: what a cell of few runs is planned
    /// with; `None` where no cell has repeats.
    pub common_between_run_sd_deg_s: Option<f64>,
    /// Half-width of the interval as it stands, percentage points; `None` without bounds.
    pub half_width_now: Option<f64>,
    /// Whether it is within the wish already.
    pub met: bool,
    /// What to fly with a logger.
    pub by_log: CompensationPlan,
    /// What both cells would need from the start if all were timed by hand, 90° a run.
    pub by_stopwatch: Option<CompensationPlan>,
}

/// Plans every compensation that is judged by its percentage, and those whose baseline cannot be resolved yet in a
/// powered scenario.
pub(super) fn more_runs(
    campaign: &Campaign,
    cells: &[Cell],
    common: &CommonSpread,
    compensations: &[CellCompensation],
) -> Vec<MoreRuns> {
    let by_key: BTreeMap<CellKey, &Cell> = cells.iter().map(|cell| (cell.key, cell)).collect();
    let plan = |of: &CellCompensation| {
        let so_far = |key: CellKey| by_key.get(&key).map(|cell| so_far(cell, common));
        let device = so_far(of.key)?;
        let baseline = so_far(CellKey { setup: of.baseline, ..of.key })?;
        let wished = campaign.wished_half_width_percent;
        let errors = StopwatchErrors::default();
        let by_hand = |cell: &CellSoFar| cell.timed_by_hand(TIMED_DEG, &errors);
        let half_width_now = of.result.half_width();
        Some(MoreRuns {
            key: of.key,
            baseline: of.baseline,
            common_between_run_sd_deg_s: common.between_run_sd_deg_s(of.key.scenario),
            half_width_now,
            met: half_width_now.is_some_and(|half| half <= wished),
            by_log: plan_compensation(&device, &baseline, wished).ok()?,
            by_stopwatch: plan_compensation(&by_hand(&device), &by_hand(&baseline), wished).ok(),
        })
    };
    compensations
        .iter()
        .filter(|of| of.judge_by == JudgeBy::Percent || of.key.scenario != Scenario::PowerOffGlide)
        .filter_map(plan)
        .collect()
}

/// What is known of a cell. Two or three runs tell next to nothing of their spread: then that of the scenario's cells
/// together stands in where it is the larger.
pub(super) fn so_far(cell: &Cell, common: &CommonSpread) -> CellSoFar {
    const RUNS_THAT_TELL_A_SPREAD: usize = 4;
    let common = common.between_run_sd_deg_s(cell.key.scenario).unwrap_or(0.0);
    let between_run_sd = match cell.mean.between_run_sd {
        Some(own) if cell.runs.len() >= RUNS_THAT_TELL_A_SPREAD => own,
        Some(own) => own.max(common),
        None => common,
    };
    let mean_variance = cell.runs.iter().map(|run| run.rate_deg_s.std_u.powi(2)).sum::<f64>() / cell.runs.len() as f64;
    CellSoFar {
        turn: cell.turn_deg_s().value,
        between_run_sd,
        within_run_std_u: mean_variance.sqrt(),
        runs: cell.runs.len(),
    }
}
