//! How much of the baseline's turn each set-up takes away, in every wing and scenario flown.

use super::alerts::{Alerts, CampaignAlertKind};
use super::cells::{Cell, CellKey};
use driftless_campaign::model::{Campaign, SetupId};
use driftless_statistics::fieller::{Compensation, compensation};
use driftless_statistics::shared_spread::SharedSpread;
use driftless_track::Scenario;
use driftless_units::Estimate;
use std::collections::{BTreeMap, BTreeSet};

/// The compensation of one cell against its baseline.
#[derive(Debug, Clone, PartialEq)]
pub struct CellCompensation {
    /// The cell with the device.
    pub key: CellKey,
    /// The set-up it is held against.
    pub baseline: SetupId,
    /// Residual turn with the device, °/s.
    pub residual_deg_s: Estimate<f64>,
    /// Turn of the baseline, °/s.
    pub baseline_deg_s: Estimate<f64>,
    /// The share taken away.
    pub result: Compensation,
    /// Whether percentages mean anything here: not where the baseline has no torque to speak of (power-off glide).
    pub judge_by: JudgeBy,
}

/// What a cell is judged by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JudgeBy {
    /// The share taken away.
    Percent,
    /// The residual turn itself, because the baseline hardly turns.
    ResidualTurn,
}

/// Compares every cell with its baseline, by the spread that all cells share: the interval of a cell and that of its
/// compensation come from one reckoning.
pub(super) fn compensations(
    campaign: &Campaign,
    cells: &[Cell],
    shared: Option<&SharedSpread>,
    alerts: &mut Alerts,
) -> Vec<CellCompensation> {
    let by_key: BTreeMap<CellKey, (usize, &Cell)> =
        cells.iter().enumerate().map(|(index, cell)| (cell.key, (index, cell))).collect();
    let mut without_baseline: BTreeSet<CellKey> = BTreeSet::new();
    let mut list = Vec::new();
    for (index, cell) in cells.iter().enumerate() {
        let Some(baseline) = campaign.setup(cell.key.setup).baseline else { continue };
        let key = CellKey { setup: baseline, ..cell.key };
        let Some((baseline_index, of_baseline)) = by_key.get(&key) else {
            without_baseline.insert(key);
            continue;
        };
        let (residual, base) = (cell.turn_deg_s(), of_baseline.turn_deg_s());
        let result = match shared {
            Some(shared) => Ok(shared.pair(index, *baseline_index).compensation()),
            None => compensation(&residual, &base),
        };
        match result {
            Ok(result) => {
                let judge_by = judge_by(cell.key.scenario, &result);
                list.push(CellCompensation {
                    key: cell.key,
                    baseline,
                    residual_deg_s: residual,
                    baseline_deg_s: base,
                    result,
                    judge_by,
                });
            }
            Err(error) => alerts.add(CampaignAlertKind::CompensationNotWorkedOut { cell: cell.key, error }),
        }
    }
    for baseline in without_baseline {
        alerts.add(CampaignAlertKind::BaselineNotFlown { baseline });
    }
    none_at_all(campaign, cells, alerts);
    list
}

/// Cells of set-ups that have a device and say that there is no baseline.
fn none_at_all(campaign: &Campaign, cells: &[Cell], alerts: &mut Alerts) {
    let flown: BTreeSet<SetupId> = cells.iter().map(|cell| cell.key.setup).collect();
    for id in flown {
        let setup = campaign.setup(id);
        if setup.device.is_some() && setup.baseline.is_none() {
            alerts.add(CampaignAlertKind::NoBaseline { setup: id });
        }
    }
}

/// With the power off there is no torque: a percentage of almost nothing is no figure to judge by.
fn judge_by(scenario: Scenario, result: &Compensation) -> JudgeBy {
    let powered = scenario != Scenario::PowerOffGlide;
    if powered && result.resolvable() { JudgeBy::Percent } else { JudgeBy::ResidualTurn }
}
