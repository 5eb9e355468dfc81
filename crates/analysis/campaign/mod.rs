//! A campaign and the analyses of its flights become a campaign analysis. Pure: no files, no clock.
//!
//! [`analyse_campaign`] reads as the road: runs, cells, compensation, comparisons, what they mean for the next flights.

mod agreement;
mod alerts;
mod anonymous;
mod cells;
mod common_spread;
mod comparisons;
mod compensation;
mod drift;
mod expected;
mod input;
mod more_runs;
pub mod physics;
mod plan;
mod ranking;
mod runs;
mod spread;
mod students;

pub use agreement::LogAgainstStopwatch;
pub use alerts::{CampaignAlert, CampaignAlertKind};
pub use cells::{Cell, CellKey, SharedTurn};
pub use common_spread::CommonSpread;
pub use comparisons::CellComparison;
pub use compensation::{CellCompensation, JudgeBy};
pub use drift::{CellDrift, STRAIGHT_DEG_MIN};
pub use driftless_campaign::{file, model};
pub use driftless_statistics as statistics;
pub use expected::{ExpectedTurn, KnownBy, expected_turn};
pub use input::{CampaignInput, FlightFailure, FlightOutcome, FlightSummary};
pub use more_runs::MoreRuns;
pub use plan::{BlockGain, CampaignPlan, Card, CompensationGain, ExpectedPrecision, PlannedCell, plan_campaign};
pub use ranking::Ranking;
pub use runs::{DoublyTimed, LogFacts, Run, RunSource, UnusedRun, WeightPoint, WhyUnused};
pub use spread::CampaignSpread;
pub use students::{ClassTable, Student};

use crate::{MadeBy, PowerKnown, Scenario};
use alerts::Alerts;
use driftless_campaign::model::Campaign;
use driftless_statistics::shared_spread::SharedSpread;

/// A campaign, analysed. Reports see this and nothing else.
#[derive(Debug, Clone)]
pub struct CampaignAnalysis {
    /// How this was made.
    pub made_by: MadeBy,
    /// Name of the campaign file as given.
    pub file: String,
    /// Each log that was read, with its SHA-256.
    pub logs: Vec<(String, String)>,
    /// What the campaign file says.
    pub campaign: Campaign,
    /// What to know before reading the figures, worst first.
    pub alerts: Vec<CampaignAlert>,
    /// Cells with at least one run, by set-up, wing and scenario.
    pub cells: Vec<Cell>,
    /// The spread that the cells of a scenario have in common, and their means under it.
    pub common_spread: CommonSpread,
    /// What they share: the spread from run to run; `None` without cells.
    pub spread: Option<CampaignSpread>,
    /// The reckoning behind it, in the order of the cells.
    pub shared: Option<SharedSpread>,
    /// Compensation of every cell that has a baseline.
    pub compensation: Vec<CellCompensation>,
    /// Device against device.
    pub comparisons: Vec<CellComparison>,
    /// Log against stopwatch.
    pub agreement: Option<LogAgainstStopwatch>,
    /// Heading drift of every cell.
    pub drift: Vec<CellDrift>,
    /// Which set-up leaves the least turn, wing by wing.
    pub rankings: Vec<Ranking>,
    /// Something to adjust: moments, device models, settings, reduction.
    pub physics: physics::CampaignPhysics,
    /// What each compensation still needs.
    pub more_runs: Vec<MoreRuns>,
    /// The class of an instructor, scenario by scenario.
    pub classes: Vec<ClassTable>,
    /// Runs with known weights.
    pub weights: Vec<WeightPoint>,
    /// What counts for nothing, and why.
    pub unused: Vec<UnusedRun>,
}

impl CampaignAnalysis {
    /// The cell of a set-up, wing and scenario.
    pub fn cell(&self, key: CellKey) -> Option<&Cell> {
        self.cells.iter().find(|cell| cell.key == key)
    }

    /// How far the power of a scenario is known, by all runs that count.
    pub fn power_of(&self, scenario: Scenario) -> PowerKnown {
        let of_cells = self.cells.iter().flat_map(|cell| &cell.runs);
        let runs = of_cells.chain(self.weights.iter().map(|point| &point.run));
        let of_scenario = runs.filter(|run| run.key.scenario == scenario);
        PowerKnown::together(of_scenario.map(|run| PowerKnown::by(run.power_source, scenario)))
    }

    /// A scenario as people say it, as far as its power is known.
    pub fn scenario_words(&self, scenario: Scenario) -> &'static str {
        self.power_of(scenario).scenario_words(scenario)
    }

    /// "vanes, Fenlark 26, full-power climb", the scenario named as far as its power is known.
    pub fn words(&self, key: CellKey) -> String {
        key.words_as(&self.campaign, self.power_of(key.scenario))
    }

    /// The compensation of a cell.
    pub fn compensation_of(&self, key: CellKey) -> Option<&CellCompensation> {
        self.compensation.iter().find(|compensation| compensation.key == key)
    }
}

/// Analyses a campaign.
pub fn analyse_campaign(input: CampaignInput) -> CampaignAnalysis {
    let mut alerts = Alerts::of(&input.file);
    let gathered = runs::gather(&input, &mut alerts);
    let campaign = &input.campaign;
    let cells::Cells { cells, shared } = cells::cells(&gathered.runs, &gathered.doubly, &mut alerts);
    if cells.is_empty() {
        alerts.add(CampaignAlertKind::NoCells);
    }
    let common_spread = CommonSpread::of(&cells);
    let compensation = compensation::compensations(campaign, &cells, shared.as_ref(), &mut alerts);
    let comparisons = comparisons::comparisons(campaign, &cells);
    let drift = drift::drifts(campaign, &cells);
    CampaignAnalysis {
        logs: logs(&input),
        classes: students::classes(campaign, &gathered.runs, &gathered.doubly),
        spread: shared.as_ref().map(|shared| CampaignSpread::of(shared, &gathered.doubly)),
        agreement: agreement::log_against_stopwatch(gathered.doubly),
        rankings: ranking::rankings(campaign, &cells),
        physics: physics::physics(campaign, &cells, &gathered.weights),
        more_runs: more_runs::more_runs(campaign, &cells, (shared.as_ref(), &common_spread), &compensation),
        shared,
        drift,
        comparisons,
        compensation,
        common_spread,
        cells,
        weights: gathered.weights,
        unused: gathered.unused,
        alerts: alerts.into_vec(),
        made_by: input.made_by,
        file: input.file,
        campaign: input.campaign,
    }
}

fn logs(input: &CampaignInput) -> Vec<(String, String)> {
    let named = input.campaign.flights.iter().zip(&input.flights);
    named
        .filter_map(|(flight, outcome)| Some((flight.log.clone(), outcome.as_ref().ok()?.input_sha256.clone())))
        .collect()
}
