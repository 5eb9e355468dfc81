//! The spread from run to run, which all cells of a campaign share.

use super::cells::CellKey;
use super::runs::{DoublyTimed, Run};
use driftless_campaign::model::{FlightId, WingId};
use driftless_statistics::StatisticsError;
use driftless_statistics::same_day::same_day;
use driftless_statistics::shared_spread::{
    CellOfRuns, Likely, MeasuredTwice, RunOfCell, SharedSpread, SpreadPrior, share_spread,
};
use driftless_track::Scenario;
use driftless_units::Estimate;
use std::collections::BTreeMap;

/// What a campaign knows of how much its runs spread from day to day.
#[derive(Debug, Clone, PartialEq)]
pub struct CampaignSpread {
    /// Repeats it rests on: days of a cell beyond its first, added up. Zero where nothing was repeated: the spread is not
    /// known then, and a typical one stands in.
    pub repeats: usize,
    /// Spread that does not depend on the turn, °/s.
    pub absolute_deg_s: Likely,
    /// Spread as a share of the turn.
    pub share: Likely,
    /// How much worse than stated stopwatches were read; `None` where no run was measured both ways.
    pub by_hand_factor: Option<Likely>,
    /// Runs that were measured both ways, behind that factor.
    pub measured_twice: usize,
    /// What was held likely before any run.
    pub prior: SpreadPrior,
}

impl CampaignSpread {
    pub(super) fn of(shared: &SharedSpread, doubly: &[DoublyTimed]) -> Self {
        Self {
            repeats: shared.repeats,
            absolute_deg_s: shared.absolute(),
            share: shared.share(),
            by_hand_factor: (!doubly.is_empty()).then(|| shared.by_hand_factor()),
            measured_twice: doubly.len(),
            prior: SpreadPrior::default(),
        }
    }
}

/// Lets these cells share their spread. Cells of one scenario on one wing are a group.
pub(super) fn share(cells: &[(CellKey, &[Run])], doubly: &[DoublyTimed]) -> Result<SharedSpread, StatisticsError> {
    let mut groups: BTreeMap<(Scenario, WingId), usize> = BTreeMap::new();
    let of_cell = |(key, runs): &(CellKey, &[Run])| {
        let next = groups.len();
        let group = *groups.entry((key.scenario, key.wing)).or_insert(next);
        Ok(CellOfRuns { group, runs: occasions(runs)? })
    };
    let cells: Vec<CellOfRuns> = cells.iter().map(of_cell).collect::<Result<_, _>>()?;
    let twice = |run: &DoublyTimed| MeasuredTwice {
        difference: run.stopwatch_deg_s.value - run.log_deg_s.value,
        by_hand_std_u: run.stopwatch_deg_s.std_u,
        other_std_u: run.log_deg_s.std_u,
    };
    let doubly: Vec<MeasuredTwice> = doubly.iter().map(twice).collect();
    share_spread(&cells, &doubly, &SpreadPrior::default())
}

/// Windows of one flight are one day: they say nothing of how far days differ, and count as one run between them.
fn occasions(runs: &[Run]) -> Result<Vec<RunOfCell>, StatisticsError> {
    let mut by_flight: BTreeMap<FlightId, Vec<Estimate<f64>>> = BTreeMap::new();
    let mut of_cell = Vec::new();
    for run in runs {
        match run.log() {
            Some(log) => by_flight.entry(log.window.flight).or_default().push(run.rate_deg_s),
            None => of_cell.push(RunOfCell { rate: run.rate_deg_s, by_hand: true }),
        }
    }
    for windows in by_flight.values() {
        of_cell.push(RunOfCell { rate: same_day(windows)?.rate, by_hand: false });
    }
    Ok(of_cell)
}

/// The turns of each student, from a spread that is shared by students instead of set-ups: what several students flew with
/// the same set-up is a cell for each of them.
pub(super) fn turns_of(
    cells: &[(CellKey, &[Run])],
    doubly: &[DoublyTimed],
) -> Result<Vec<Estimate<f64>>, StatisticsError> {
    let shared = share(cells, doubly)?;
    Ok((0..cells.len()).map(|cell| shared.mean(cell).estimate()).collect())
}
