//! How many more runs, and of which cell, bring a compensation to the wished half-width; and what a stopwatch would need.

use super::cells::{Cell, CellKey};
use super::common_spread::CommonSpread;
use super::compensation::{CellCompensation, JudgeBy};
use driftless_campaign::model::{Campaign, SetupId};
use driftless_statistics::plan::{CompensationPlan, plan_compensation};
use driftless_statistics::shared_spread::SharedSpread;
use driftless_statistics::stopwatch::{StopwatchErrors, one_lap_std_u};
use driftless_track::Scenario;

/// Angle timed by hand, degrees.
const TIMED_DEG: f64 = 90.0;

/// Runs that one compensation still needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoreRuns {
    /// The cell with the device.
    pub key: CellKey,
    /// Its baseline.
    pub baseline: SetupId,
    /// The spread from run to run that the cells of the scenario show by themselves, °/s; `None` where none has repeats. The plan
    /// goes by what all cells share.
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
    (shared, common): (Option<&SharedSpread>, &CommonSpread),
    compensations: &[CellCompensation],
) -> Vec<MoreRuns> {
    let Some(shared) = shared else { return Vec::new() };
    let typical = typical_std_u(cells);
    let plan = |of: &CellCompensation| {
        let (device, baseline) = pair_of(cells, of)?;
        let pair = shared.pair(device.0, baseline.0);
        let wished = campaign.wished_half_width_percent;
        let std_u = |cell: &Cell| log_std_u(cell).unwrap_or(typical);
        let factor = shared.by_hand_factor().median;
        let by_hand =
            |cell: &Cell| factor * one_lap_std_u(cell.turn_deg_s().value, TIMED_DEG, &StopwatchErrors::default());
        let half_width_now = of.result.half_width();
        Some(MoreRuns {
            key: of.key,
            baseline: of.baseline,
            common_between_run_sd_deg_s: common.between_run_sd_deg_s(of.key.scenario),
            half_width_now,
            met: half_width_now.is_some_and(|half| half <= wished),
            by_log: plan_compensation(&pair, std_u(device.1), std_u(baseline.1), wished).ok()?,
            by_stopwatch: plan_compensation(&pair.unflown(), by_hand(device.1), by_hand(baseline.1), wished).ok(),
        })
    };
    compensations
        .iter()
        .filter(|of| of.judge_by == JudgeBy::Percent || of.key.scenario != Scenario::PowerOffGlide)
        .filter_map(plan)
        .collect()
}

/// A cell and its number.
type Numbered<'a> = (usize, &'a Cell);

/// The cell of a compensation and its baseline.
fn pair_of<'a>(cells: &'a [Cell], of: &CellCompensation) -> Option<(Numbered<'a>, Numbered<'a>)> {
    let find = |key: CellKey| cells.iter().enumerate().find(|(_, cell)| cell.key == key);
    Some((find(of.key)?, find(CellKey { setup: of.baseline, ..of.key })?))
}

/// Standard uncertainty of a typical run of a cell by log: root mean square; `None` where all were timed.
pub(super) fn log_std_u(cell: &Cell) -> Option<f64> {
    root_mean_square(cell.runs.iter().filter(|run| run.log().is_some()).map(|run| run.rate_deg_s.std_u))
}

/// The same over all cells; what a window of a minute gives in light air where no log was read.
pub(super) fn typical_std_u(cells: &[Cell]) -> f64 {
    const LIGHT_AIR_DEG_S: f64 = 0.07;
    root_mean_square(cells.iter().filter_map(log_std_u)).unwrap_or(LIGHT_AIR_DEG_S)
}

fn root_mean_square(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value * value, count + 1.0));
    (count > 0.0).then(|| (sum / count).sqrt())
}
