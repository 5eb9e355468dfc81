//! Heading drift for a tester: with the wind taken out, and as the ground track would have shown it.

use super::cells::{Cell, CellKey};
use driftless_campaign::model::Campaign;
use driftless_statistics::drift::{HeadingDrift, StraightWindow, heading_drift};

/// Drift that still counts as straight where nobody claims a figure, °/min. Common practice, no source: 20° in a minute is
/// what a pilot with hands off corrects without noticing.
pub const STRAIGHT_DEG_MIN: f64 = 20.0;

/// The heading drift of one cell.
#[derive(Debug, Clone, PartialEq)]
pub struct CellDrift {
    /// The cell.
    pub key: CellKey,
    /// Drift with the wind taken out, and raw.
    pub result: HeadingDrift,
    /// What counts as straight, °/min.
    pub limit_deg_min: f64,
    /// Whether somebody claims that limit of the set-up.
    pub claimed: bool,
}

/// The drift of every cell with windows from logs.
pub(super) fn drifts(campaign: &Campaign, cells: &[Cell]) -> Vec<CellDrift> {
    let of_cell = |cell: &Cell| {
        let windows: Vec<StraightWindow> = cell
            .runs
            .iter()
            .filter_map(|run| {
                let log = run.log()?;
                Some(StraightWindow {
                    turn_rate_deg_s: run.rate_deg_s,
                    course_rate_deg_s: log.course_rate_deg_s?,
                    seconds: log.length_s,
                })
            })
            .collect();
        let claim = campaign.setup(cell.key.setup).claim.drift_deg_min;
        let limit_deg_min = claim.unwrap_or(STRAIGHT_DEG_MIN);
        let result = heading_drift(&windows, limit_deg_min).ok()?;
        Some(CellDrift { key: cell.key, result, limit_deg_min, claimed: claim.is_some() })
    };
    cells.iter().filter_map(of_cell).collect()
}
