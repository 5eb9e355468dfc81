//! What a run is expected to do: told on its card, so that whoever flies it knows when it does otherwise.

use super::{CampaignAnalysis, Cell, CellKey};
use driftless_units::{Estimate, Interval, TurnRate, bank_rad};

/// What a run is expected to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedTurn {
    /// Turn, °/s, right positive.
    pub turn_deg_s: f64,
    /// Where the turn of 95 of 100 days lies, °/s.
    pub another_day_deg_s: Interval<f64>,
    /// Airspeed in such a run, m/s, where a log tells it.
    pub airspeed_mps: Option<f64>,
    /// What this rests on.
    pub known_by: KnownBy,
}

/// What an expectation rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KnownBy {
    /// So many runs of the same cell.
    Runs(usize),
    /// The model of the device, from other cells.
    DeviceModel,
}

impl ExpectedTurn {
    /// Bank of a steady turn like that, degrees.
    pub fn bank_deg(&self) -> Option<f64> {
        Some(bank_rad(self.airspeed_mps?, TurnRate::from_deg_s(self.turn_deg_s)).to_degrees().abs())
    }
}

/// What a run of a cell is expected to do, by the runs of the cell, else by the model of its device; `None` where neither says
/// anything.
pub fn expected_turn(analysis: &CampaignAnalysis, key: CellKey) -> Option<ExpectedTurn> {
    let airspeed_mps = airspeed_mps(analysis, key);
    let of = |turn: Estimate<f64>, another_day: Interval<f64>, known_by| ExpectedTurn {
        turn_deg_s: turn.value,
        another_day_deg_s: another_day,
        airspeed_mps,
        known_by,
    };
    if let Some(cell) = analysis.cell(key) {
        let turn = cell.turn_deg_s();
        let day = cell.shared.another_day_deg_s;
        // Runs that could not share their spread say nothing of another day.
        let known = day.low.is_finite() && day.high.is_finite();
        let another_day = if known { day } else { turn.interval(0.95) };
        return Some(of(turn, another_day, KnownBy::Runs(cell.runs.len())));
    }
    let devices = analysis.physics.devices.iter().filter(|device| device.wing == key.wing);
    let mut predictions = devices.flat_map(|device| &device.predictions);
    let predicted = predictions.find(|of| of.setup == key.setup && of.scenario == key.scenario)?.predicted_deg_s;
    let spread = analysis
        .spread
        .as_ref()
        .map_or(0.0, |spread| spread.absolute_deg_s.median.hypot(spread.share.median * predicted.value));
    let day = Estimate { std_u: predicted.std_u.hypot(spread), ..predicted };
    Some(of(predicted, day.interval(0.95), KnownBy::DeviceModel))
}

/// Airspeed of the cell, else of its wing in the same scenario.
fn airspeed_mps(analysis: &CampaignAnalysis, key: CellKey) -> Option<f64> {
    let alike = |cell: &&Cell| cell.key.wing == key.wing && cell.key.scenario == key.scenario;
    analysis
        .cell(key)
        .and_then(Cell::airspeed_mps)
        .or_else(|| super::cells::mean(analysis.cells.iter().filter(alike).filter_map(Cell::airspeed_mps)))
}
