//! The analysis of a campaign against its truth.

use super::truth::{SETUPS, Truth};
use crate::ValidateError;
use driftless_analysis::campaign::{CampaignInput, FlightSummary, analyse_campaign};
use driftless_analysis::{MadeBy, Scenario};

/// One interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated {
    /// Half of it; infinite without bounds.
    pub half: f64,
    /// Distance of the figure from the truth; infinite without a figure.
    pub error: f64,
    /// Days behind it; of a compensation those of the cell with fewer.
    pub days: usize,
    /// Whether it holds the truth.
    pub inside: bool,
}

/// The intervals of one campaign.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CampaignScore {
    /// Turns of cells, °/s.
    pub cells: Vec<Stated>,
    /// Compensations under power, percentage points.
    pub compensations: Vec<Stated>,
}

/// Analyses a campaign and holds it against its truth.
pub(super) fn score(truth: &Truth, flights: Vec<FlightSummary>) -> Result<CampaignScore, ValidateError> {
    let campaign = truth.campaign().ok_or(ValidateError::Campaign(truth.seed))?;
    let made_by = MadeBy {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        command: "validate".to_owned(),
        input_sha256: String::new(),
        config: Vec::new(),
    };
    let flights = flights.into_iter().map(Ok).collect();
    let analysis = analyse_campaign(CampaignInput { campaign, flights, made_by, file: "drawn.toml".to_owned() });
    let turn = |setup: &str, scenario: Scenario| {
        let place = SETUPS.iter().position(|name| *name == setup)?;
        truth.turns_deg_s.get(place)?.get(&scenario).copied()
    };
    let key = |setup| analysis.campaign.setup(setup).key.as_str();
    let mut scored = CampaignScore::default();
    for cell in &analysis.cells {
        let Some(of_cell) = turn(key(cell.key.setup), cell.key.scenario) else { continue };
        let ends = cell.turn_deg_s().interval(0.95);
        scored.cells.push(Stated {
            half: 0.5 * (ends.high - ends.low),
            error: (cell.turn_deg_s().value - of_cell).abs(),
            days: cell.shared.days,
            inside: ends.low <= of_cell && of_cell <= ends.high,
        });
    }
    for of in analysis.compensation.iter().filter(|of| of.key.scenario != Scenario::PowerOffGlide) {
        let days = |setup| {
            let cell = analysis.cells.iter().find(|c| c.key.setup == setup && c.key.scenario == of.key.scenario);
            cell.map_or(0, |cell| cell.shared.days)
        };
        let (Some(left), Some(bare)) = (turn(key(of.key.setup), of.key.scenario), turn(SETUPS[0], of.key.scenario))
        else {
            continue;
        };
        let percent = 100.0 * (1.0 - left / bare);
        scored.compensations.push(Stated {
            half: of.result.half_width().unwrap_or(f64::INFINITY),
            error: of.result.percent.map_or(f64::INFINITY, |found| (found - percent).abs()),
            days: days(of.key.setup).min(days(of.baseline)),
            inside: of.result.ratio.set.contains(left / bare),
        });
    }
    Ok(scored)
}
