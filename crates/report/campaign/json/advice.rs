//! What to adjust, the class and the next flights, as entries of the document.

use super::entries::{high, low};
use crate::campaign::{advice, class, next};
use crate::json::RateEntry;
use crate::known::finite;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::physics::{Adjustment, DeviceModel, DeviceOnWing, DoesItAll, ModelVerdict};
use driftless_analysis::campaign::{CampaignAnalysis, ClassTable};
use driftless_display::DisplayUnits;
use driftless_display::campaign::{setting, setting_unit};
use driftless_units::{Estimate, Interval};
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
pub(super) struct SensitivityEntry<'a> {
    wing: &'a str,
    scenario: Scenario,
    runs_with_weight: usize,
    runs_without_weight: usize,
    value_deg_s_per_nm: Option<f64>,
    low95_deg_s_per_nm: Option<f64>,
    high95_deg_s_per_nm: Option<f64>,
    statement: String,
}

#[derive(Serialize)]
pub(super) struct EquivalentsEntry<'a> {
    setup: &'a str,
    wing: &'a str,
    scenario: Scenario,
    propeller_torque_nm: Option<f64>,
    reaction_moment_nm: Option<f64>,
    all_up_kg: Option<f64>,
    bank_deg: Option<f64>,
    moment_nm: AdjustmentEntry,
    hang_point_offset_mm: AdjustmentEntry,
    weight_shift_cm: AdjustmentEntry,
    indication_only: Option<bool>,
}

#[derive(Serialize, Default)]
struct AdjustmentEntry {
    value: Option<f64>,
    low95: Option<f64>,
    high95: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct DeviceEntry<'a> {
    device: &'a str,
    wing: &'a str,
    baseline: &'a str,
    verdict: &'static str,
    model_used: Option<&'static str>,
    setting_unit: &'a str,
    recommended_setting: Option<f64>,
    setting_low95: Option<f64>,
    setting_high95: Option<f64>,
    does_it_all: Option<bool>,
    predictions: Vec<PredictionEntry<'a>>,
    statement: Option<String>,
}

#[derive(Serialize)]
struct PredictionEntry<'a> {
    setup: &'a str,
    scenario: Scenario,
    predicted: RateEntry,
    measured: Option<RateEntry>,
}

#[derive(Serialize)]
pub(super) struct ReducedEntry<'a> {
    setup: &'a str,
    wing: &'a str,
    scenario: Scenario,
    all_up_kg: f64,
    density_kg_m3: f64,
    reference_all_up_kg: f64,
    reference_density_kg_m3: f64,
    airspeed_mps: Option<f64>,
    reduced_airspeed_mps: Option<f64>,
    test_day: RateEntry,
    reduced: RateEntry,
    reduced_compensation_percent: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct RankingEntry<'a> {
    wing: &'a str,
    scenarios: Vec<Scenario>,
    /// What each scenario counts.
    weights: BTreeMap<&'static str, f64>,
    /// The least weighted turn first.
    setups: Vec<RankedEntry<'a>>,
    /// Chance that the first is the first.
    chance_of_first: Option<f64>,
}

#[derive(Serialize)]
struct RankedEntry<'a> {
    setup: &'a str,
    weighted_turn: RateEntry,
    /// Chance to turn least of all.
    chance_of_least: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct MoreRunsEntry<'a> {
    setup: &'a str,
    baseline: &'a str,
    wing: &'a str,
    scenario: Scenario,
    common_between_run_sd_deg_s: Option<f64>,
    wish_met: bool,
    half_width_percent: Option<f64>,
    more_with_device: usize,
    more_of_baseline: usize,
    expected_half_width_percent: Option<f64>,
    within_reach: bool,
    statement: String,
}

#[derive(Serialize)]
pub(super) struct ClassQuestionEntry<'a> {
    pilot: &'a str,
    setup: &'a str,
    wing: &'a str,
    question: String,
}

#[derive(Serialize)]
pub(super) struct NextFlightEntry<'a> {
    block: usize,
    day: u32,
    setup: &'a str,
    wing: &'a str,
    /// In the order to fly.
    scenarios: Vec<Scenario>,
    why: String,
    brings: String,
}

#[derive(Serialize)]
pub(super) struct StudentEntry<'a> {
    scenario: Scenario,
    pilot: &'a str,
    setup: &'a str,
    wing: &'a str,
    runs: usize,
    own: RateEntry,
    against_class: RateEntry,
    probability_above_class: Option<f64>,
    question: String,
}

/// The advice of a campaign.
#[derive(Serialize)]
pub(super) struct Advice<'a> {
    rankings: Vec<RankingEntry<'a>>,
    sensitivities: Vec<SensitivityEntry<'a>>,
    equivalents: Vec<EquivalentsEntry<'a>>,
    devices: Vec<DeviceEntry<'a>>,
    reduced: Vec<ReducedEntry<'a>>,
    more_runs: Vec<MoreRunsEntry<'a>>,
    students: Vec<StudentEntry<'a>>,
    /// One line for each student that joins the scenarios, by name: questions for the instructor, no ranking.
    class_questions: Vec<ClassQuestionEntry<'a>>,
    /// Blocks to fly, as `driftless plan` prints them.
    next_flights: Vec<NextFlightEntry<'a>>,
}

impl<'a> Advice<'a> {
    pub(super) fn of(analysis: &'a CampaignAnalysis) -> Self {
        Self {
            rankings: rankings(analysis),
            sensitivities: sensitivities(analysis),
            equivalents: equivalents(analysis),
            devices: analysis.physics.devices.iter().map(|of| device(analysis, of)).collect(),
            reduced: reduced(analysis),
            more_runs: more_runs(analysis),
            students: analysis.classes.iter().flat_map(|class| students(analysis, class)).collect(),
            class_questions: class_questions(analysis),
            next_flights: next_flights(analysis),
        }
    }
}

fn plain(words: &str) -> String {
    words.replace('\u{a0}', " ")
}

fn rankings(analysis: &CampaignAnalysis) -> Vec<RankingEntry<'_>> {
    let campaign = &analysis.campaign;
    let ranked = |((setup, weighted), chance): (&(_, Estimate<f64>), &f64)| RankedEntry {
        setup: &campaign.setup(*setup).key,
        weighted_turn: RateEntry::of_deg_s(weighted),
        chance_of_least: finite(*chance),
    };
    analysis
        .rankings
        .iter()
        .map(|of| RankingEntry {
            wing: &campaign.wing(of.wing).key,
            scenarios: of.scenarios.iter().map(|(scenario, _)| *scenario).collect(),
            weights: of.scenarios.iter().map(|(scenario, weight)| (scenario.name(), *weight)).collect(),
            setups: of.setups.iter().zip(&of.chances_of_least).map(ranked).collect(),
            chance_of_first: of.chance_of_first().and_then(finite),
        })
        .collect()
}

fn sensitivities(analysis: &CampaignAnalysis) -> Vec<SensitivityEntry<'_>> {
    let entry = |of: &driftless_analysis::campaign::physics::WingSensitivity| {
        let found = of.result.as_ref().ok().map(|s| s.deg_s_per_nm);
        let interval = found.map(|s| s.interval(0.95));
        SensitivityEntry {
            wing: &analysis.campaign.wing(of.wing).key,
            scenario: of.scenario,
            runs_with_weight: of.with_weight,
            runs_without_weight: of.without_weight,
            value_deg_s_per_nm: found.and_then(|s| finite(s.value)),
            low95_deg_s_per_nm: low(interval),
            high95_deg_s_per_nm: high(interval),
            statement: plain(&advice::sensitivity(analysis, of)),
        }
    };
    analysis.physics.sensitivities.iter().map(entry).collect()
}

fn equivalents(analysis: &CampaignAnalysis) -> Vec<EquivalentsEntry<'_>> {
    let adjustment = |of: Option<Adjustment>| AdjustmentEntry {
        value: of.and_then(|of| finite(of.value)),
        low95: low(of.and_then(|of| of.interval)),
        high95: high(of.and_then(|of| of.interval)),
    };
    let entry = |of: &driftless_analysis::campaign::physics::CellPhysics| EquivalentsEntry {
        setup: &analysis.campaign.setup(of.key.setup).key,
        wing: &analysis.campaign.wing(of.key.wing).key,
        scenario: of.key.scenario,
        propeller_torque_nm: of.torque_nm.and_then(|torque| finite(torque.value)),
        reaction_moment_nm: of.reaction_nm.and_then(|moment| finite(moment.value)),
        all_up_kg: of.all_up_kg.and_then(finite),
        bank_deg: of.equivalents.and_then(|e| finite(e.bank_deg.value)),
        moment_nm: adjustment(of.equivalents.map(|e| e.moment_nm)),
        hang_point_offset_mm: adjustment(of.equivalents.map(|e| e.hang_point_offset_mm)),
        weight_shift_cm: adjustment(of.equivalents.map(|e| e.weight_shift_cm)),
        indication_only: of.equivalents.map(|e| e.indication_only),
    };
    analysis.physics.cells.iter().map(entry).collect()
}

const fn model(model: DeviceModel) -> &'static str {
    match model {
        DeviceModel::Constant => "constant",
        DeviceModel::Propwash => "propwash",
        DeviceModel::Mixed => "mixed",
    }
}

fn device<'a>(analysis: &'a CampaignAnalysis, of: &'a DeviceOnWing) -> DeviceEntry<'a> {
    let campaign = &analysis.campaign;
    let found = of.recommendation.as_ref();
    let interval: Option<Interval<f64>> = found.map(|r| r.interval);
    DeviceEntry {
        device: &campaign.device(of.device).key,
        wing: &campaign.wing(of.wing).key,
        baseline: &campaign.setup(of.baseline).key,
        verdict: match of.comparison.verdict {
            ModelVerdict::Supported(found) => model(found),
            ModelVerdict::MixedUntested => "mixed-untested",
            ModelVerdict::CannotTell => "cannot-tell",
            ModelVerdict::NothingToCompare => "nothing-to-compare",
            ModelVerdict::NoneFits => "none-fits",
        },
        model_used: of.used.map(model),
        setting_unit: setting_unit(campaign, of.device),
        recommended_setting: found.and_then(|r| finite(r.setting)),
        setting_low95: low(interval),
        setting_high95: high(interval),
        does_it_all: found.map(|r| matches!(r.does_it_all, DoesItAll::Yes(_))),
        predictions: of
            .predictions
            .iter()
            .map(|p| PredictionEntry {
                setup: &campaign.setup(p.setup).key,
                scenario: p.scenario,
                predicted: RateEntry::of_deg_s(&p.predicted_deg_s),
                measured: p.measured_deg_s.as_ref().map(RateEntry::of_deg_s),
            })
            .collect(),
        statement: setting(campaign, &DisplayUnits::default(), of).map(|words| plain(&words)),
    }
}

fn reduced(analysis: &CampaignAnalysis) -> Vec<ReducedEntry<'_>> {
    let Some(reduction) = &analysis.physics.reduction else { return Vec::new() };
    let entry = |of: &driftless_analysis::campaign::physics::ReducedCell| ReducedEntry {
        setup: &analysis.campaign.setup(of.key.setup).key,
        wing: &analysis.campaign.wing(of.key.wing).key,
        scenario: of.key.scenario,
        all_up_kg: of.all_up_kg,
        density_kg_m3: of.density_kg_m3,
        reference_all_up_kg: reduction.reference.all_up_mass_kg.value,
        reference_density_kg_m3: reduction.reference.density_kg_m3.value,
        airspeed_mps: of.airspeed_mps.and_then(finite),
        reduced_airspeed_mps: of.reduced_airspeed_mps.and_then(finite),
        test_day: RateEntry::of_deg_s(&of.test_day_deg_s),
        reduced: RateEntry::of_deg_s(&of.reduced_deg_s),
        reduced_compensation_percent: of.reduced_compensation.and_then(|c| c.percent).and_then(finite),
    };
    reduction.cells.iter().map(entry).collect()
}

fn more_runs(analysis: &CampaignAnalysis) -> Vec<MoreRunsEntry<'_>> {
    let campaign = &analysis.campaign;
    let entry = |of: &driftless_analysis::campaign::MoreRuns| MoreRunsEntry {
        setup: &campaign.setup(of.key.setup).key,
        baseline: &campaign.setup(of.baseline).key,
        wing: &campaign.wing(of.key.wing).key,
        scenario: of.key.scenario,
        common_between_run_sd_deg_s: of.common_between_run_sd_deg_s.and_then(finite),
        wish_met: of.met,
        half_width_percent: of.half_width_now.and_then(finite),
        more_with_device: of.by_log.more_with_device,
        more_of_baseline: of.by_log.more_of_baseline,
        expected_half_width_percent: of.by_log.expected_half_width.and_then(finite),
        within_reach: of.by_log.within_reach,
        statement: plain(&advice::more_runs(analysis, of)),
    };
    analysis.more_runs.iter().map(entry).collect()
}

fn students<'a>(analysis: &'a CampaignAnalysis, class: &'a ClassTable) -> Vec<StudentEntry<'a>> {
    let campaign = &analysis.campaign;
    let entry = |of: &driftless_analysis::campaign::Student| StudentEntry {
        scenario: class.scenario,
        pilot: &campaign.pilot(of.pilot).key,
        setup: &campaign.setup(of.key.setup).key,
        wing: &campaign.wing(of.key.wing).key,
        runs: of.runs,
        own: RateEntry::of_deg_s(&of.turn_deg_s),
        against_class: RateEntry::of_deg_s(&of.against.estimate),
        probability_above_class: finite(of.against.probability_above),
        question: plain(&class::question_of(analysis, &DisplayUnits::default(), of)),
    };
    class.students.iter().map(entry).collect()
}

fn class_questions(analysis: &CampaignAnalysis) -> Vec<ClassQuestionEntry<'_>> {
    let campaign = &analysis.campaign;
    let entry = |line: class::Line<'_>| ClassQuestionEntry {
        pilot: &campaign.pilot(line.pilot).key,
        setup: &campaign.setup(line.setup).key,
        wing: &campaign.wing(line.wing).key,
        question: plain(&line.question),
    };
    class::lines(analysis, &DisplayUnits::default()).into_iter().map(entry).collect()
}

fn next_flights(analysis: &CampaignAnalysis) -> Vec<NextFlightEntry<'_>> {
    let campaign = &analysis.campaign;
    let plan = next::plan(analysis);
    let entry = |block: next::Block<'_>| NextFlightEntry {
        block: block.number,
        day: block.day,
        setup: &campaign.setup(block.setup).key,
        wing: &campaign.wing(block.wing).key,
        scenarios: block.cards.iter().map(|card| card.key.scenario).collect(),
        why: plain(&block.why),
        brings: plain(&block.brings),
    };
    next::blocks(analysis, &plan).into_iter().map(entry).collect()
}
