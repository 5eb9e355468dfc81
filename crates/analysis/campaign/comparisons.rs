//! Set-up against set-up on the same wing in the same scenario.

use super::cells::Cell;
use driftless_campaign::model::{Campaign, SetupId, WingId};
use driftless_statistics::compare::{SizeComparison, compare_sizes, holm};
use driftless_track::Scenario;

/// Two set-ups in one wing and scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct CellComparison {
    /// First set-up.
    pub a: SetupId,
    /// Second set-up.
    pub b: SetupId,
    /// Wing.
    pub wing: WingId,
    /// Scenario.
    pub scenario: Scenario,
    /// By the size of their turn, °/s.
    pub result: SizeComparison,
    /// Its p-value after correction for all comparisons of the campaign (Holm).
    pub p_corrected: f64,
}

impl CellComparison {
    /// Whether the two are told apart, all comparisons of the campaign taken together.
    pub fn told_apart(&self) -> bool {
        self.p_corrected < 0.05
    }
}

/// Compares every two set-ups with a torque device, wing by wing and scenario by scenario. What a device does against
/// none is told by its compensation.
pub(super) fn comparisons(campaign: &Campaign, cells: &[Cell]) -> Vec<CellComparison> {
    let with_device = |cell: &&Cell| campaign.setup(cell.key.setup).device.is_some();
    let devices: Vec<&Cell> = cells.iter().filter(with_device).collect();
    let mut pairs = Vec::new();
    for (i, a) in devices.iter().enumerate() {
        for b in devices.iter().skip(i + 1) {
            if (a.key.wing, a.key.scenario) == (b.key.wing, b.key.scenario)
                && let Ok(result) = compare_sizes(&a.turn_deg_s(), &b.turn_deg_s())
            {
                pairs.push((*a, *b, result));
            }
        }
    }
    pairs.sort_by_key(|(a, b, _)| (a.key.wing, a.key.scenario, a.key.setup, b.key.setup));
    let corrected = holm(&pairs.iter().map(|(_, _, result)| result.p).collect::<Vec<_>>());
    pairs
        .into_iter()
        .zip(corrected)
        .map(|((a, b, result), p_corrected)| CellComparison {
            a: a.key.setup,
            b: b.key.setup,
            wing: a.key.wing,
            scenario: a.key.scenario,
            result,
            p_corrected,
        })
        .collect()
}
