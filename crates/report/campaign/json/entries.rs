//! The entries of the document.

use super::CAMPAIGN_REPORT_SCHEMA;
use super::advice::Advice;
use crate::campaign::alerts::{help, message};
use crate::campaign::statements;
use crate::campaign::unused::why_unused;
use crate::json::{MadeByEntry, RateEntry};
use crate::known::finite;
use crate::reasons::FindingEntry;
use driftless_analysis::campaign::model::{Campaign, Place, SetupId, WingId};
use driftless_analysis::campaign::statistics::fieller::CompensationVerdict;
use driftless_analysis::campaign::{
    CampaignAlert, CampaignAnalysis, CampaignSpread, Cell, CellComparison, CellCompensation, CellDrift, JudgeBy, Run,
    RunSource,
};
use driftless_analysis::{PowerSource, Scenario};
use driftless_display::DisplayUnits;
use driftless_units::Interval;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct CampaignReport<'a> {
    schema: &'static str,
    made_by: MadeByEntry<'a>,
    campaign: HeadEntry<'a>,
    alerts: Vec<AlertEntry<'a>>,
    cells: Vec<CellEntry<'a>>,
    /// The spread from run to run that all cells share; `null` without cells.
    spread: Option<SpreadEntry>,
    compensation: Vec<CompensationEntry<'a>>,
    comparisons: Vec<ComparisonEntry<'a>>,
    log_against_stopwatch: Option<AgreementEntry<'a>>,
    heading_drift: Vec<DriftEntry<'a>>,
    #[serde(flatten)]
    advice: Advice<'a>,
    unused_runs: Vec<UnusedEntry<'a>>,
}

#[derive(Serialize)]
struct HeadEntry<'a> {
    file: &'a str,
    title: &'a str,
    club: Option<&'a str>,
    note: Option<&'a str>,
    wished_half_width_percent: f64,
}

#[derive(Serialize)]
struct AlertEntry<'a> {
    code: &'static str,
    severity: driftless_analysis::Severity,
    message: String,
    help: &'static str,
    /// The figure behind it, where there is one.
    value_deg_s: Option<f64>,
    /// The reason with figure and limit, for programs.
    finding: FindingEntry,
    file: Option<&'a str>,
    line: Option<usize>,
}

/// What all cells share.
#[derive(Serialize)]
struct SpreadEntry {
    /// Whether anything was repeated; if not, the spread is a typical one and not known.
    known: bool,
    repeats: usize,
    absolute_deg_s: Option<f64>,
    absolute_low95_deg_s: Option<f64>,
    absolute_high95_deg_s: Option<f64>,
    share_percent: Option<f64>,
    share_low95_percent: Option<f64>,
    share_high95_percent: Option<f64>,
    /// How much worse than stated stopwatches were read; `null` where no run was measured both ways.
    stopwatch_factor: Option<f64>,
    stopwatch_factor_low95: Option<f64>,
    stopwatch_factor_high95: Option<f64>,
    typical_absolute_deg_s: f64,
    typical_share_percent: f64,
    statement: String,
}

#[derive(Serialize)]
struct CellEntry<'a> {
    setup: &'a str,
    setup_name: &'a str,
    wing: &'a str,
    wing_name: &'a str,
    scenario: Scenario,
    runs: usize,
    turn_rate: RateEntry,
    /// The mean if all cells of the scenario spread alike from run to run; no other figure rests on it.
    turn_rate_common_spread: Option<RateEntry>,
    between_run_sd_deg_s: Option<f64>,
    between_run_sd_low95_deg_s: Option<f64>,
    between_run_sd_high95_deg_s: Option<f64>,
    another_day_low95_deg_s: Option<f64>,
    another_day_high95_deg_s: Option<f64>,
    /// Runs that count by themselves: windows of one flight are one between them.
    days: usize,
    /// The spread from run to run by what all cells share: what the interval of `turn_rate` rests on.
    shared_between_run_sd_deg_s: Option<f64>,
    shared_between_run_sd_low95_deg_s: Option<f64>,
    shared_between_run_sd_high95_deg_s: Option<f64>,
    /// The mean of its own runs as if no other cell had been flown (REML, Hartung and Knapp).
    alone: RateEntry,
    heterogeneity_p: Option<f64>,
    airspeed_mps: Option<f64>,
    /// Runs whose power nobody named or recorded: their scenario rests on climb and airspeed alone.
    power_not_recorded_runs: usize,
    run_list: Vec<RunEntry<'a>>,
}

#[derive(Serialize)]
struct RunEntry<'a> {
    name: &'a str,
    source: &'static str,
    pilot: Option<&'a str>,
    date: Option<String>,
    turn_rate: RateEntry,
    weight: Option<f64>,
    outlying: bool,
    timed_by: Option<&'a str>,
    /// What the power is known from: `marks`, `campaign-file`, `engine-speed`, `engine-noise`; `null` where nobody named or
    /// recorded it.
    power_source: Option<&'static str>,
}

#[derive(Serialize)]
struct CompensationEntry<'a> {
    setup: &'a str,
    baseline: &'a str,
    wing: &'a str,
    scenario: Scenario,
    percent: Option<f64>,
    low95: Option<f64>,
    high95: Option<f64>,
    resolvable: bool,
    over_compensated: bool,
    verdict: &'static str,
    judge_by: &'static str,
    residual: RateEntry,
    baseline_turn: RateEntry,
    statement: String,
}

#[derive(Serialize)]
struct ComparisonEntry<'a> {
    setup_a: &'a str,
    setup_b: &'a str,
    wing: &'a str,
    scenario: Scenario,
    difference_deg_s: Option<f64>,
    difference_low95_deg_s: Option<f64>,
    difference_high95_deg_s: Option<f64>,
    ratio: Option<f64>,
    ratio_low95: Option<f64>,
    ratio_high95: Option<f64>,
    probability_a_turns_less: Option<f64>,
    p: Option<f64>,
    p_holm: Option<f64>,
    told_apart: bool,
    opposite: bool,
    statement: String,
}

#[derive(Serialize)]
struct AgreementEntry<'a> {
    pairs: usize,
    bias_deg_s: Option<f64>,
    bias_low95_deg_s: Option<f64>,
    bias_high95_deg_s: Option<f64>,
    sd_deg_s: Option<f64>,
    lower_limit_deg_s: Option<f64>,
    upper_limit_deg_s: Option<f64>,
    as_stated: Option<bool>,
    runs: Vec<DoublyTimedEntry<'a>>,
}

#[derive(Serialize)]
struct DoublyTimedEntry<'a> {
    name: &'a str,
    timed_by: Option<&'a str>,
    log: RateEntry,
    stopwatch: RateEntry,
}

#[derive(Serialize)]
struct DriftEntry<'a> {
    setup: &'a str,
    wing: &'a str,
    scenario: Scenario,
    drift_deg_min: Option<f64>,
    low95_deg_min: Option<f64>,
    high95_deg_min: Option<f64>,
    raw_deg_min: Option<f64>,
    limit_deg_min: f64,
    claimed: bool,
    statement: String,
}

#[derive(Serialize)]
struct UnusedEntry<'a> {
    name: &'a str,
    of: &'a str,
    why: String,
}

impl<'a> CampaignReport<'a> {
    pub(super) fn of(analysis: &'a CampaignAnalysis) -> Self {
        let campaign = &analysis.campaign;
        Self {
            schema: CAMPAIGN_REPORT_SCHEMA,
            made_by: MadeByEntry::of(&analysis.made_by),
            campaign: HeadEntry {
                file: crate::known::bare_name(&analysis.file),
                title: &campaign.title,
                club: campaign.club.as_deref(),
                note: campaign.note.as_deref(),
                wished_half_width_percent: campaign.wished_half_width_percent,
            },
            alerts: analysis.alerts.iter().map(|of| alert(analysis, of)).collect(),
            cells: analysis.cells.iter().map(|cell| of_cell(analysis, cell)).collect(),
            spread: analysis.spread.as_ref().map(of_spread),
            compensation: analysis.compensation.iter().map(|c| of_compensation(analysis, c)).collect(),
            comparisons: analysis.comparisons.iter().map(|c| of_comparison(analysis, c)).collect(),
            log_against_stopwatch: agreement(analysis),
            heading_drift: analysis.drift.iter().map(|d| of_drift(analysis, d)).collect(),
            advice: Advice::of(analysis),
            unused_runs: analysis
                .unused
                .iter()
                .map(|unused| UnusedEntry {
                    name: &unused.name,
                    of: &unused.of,
                    why: why_unused(&unused.why, &DisplayUnits::default()).replace('\u{a0}', " "),
                })
                .collect(),
        }
    }
}

fn alert<'a>(analysis: &CampaignAnalysis, alert: &'a CampaignAlert) -> AlertEntry<'a> {
    AlertEntry {
        code: alert.code(),
        severity: alert.severity(),
        message: message(analysis, &DisplayUnits::default(), &alert.kind).replace('\u{a0}', " "),
        help: help(&alert.kind),
        value_deg_s: alert.value_deg_s().and_then(finite),
        finding: FindingEntry::of_campaign(alert),
        file: alert.place.as_ref().map(|Place { file, .. }| file.as_str()),
        line: alert.place.as_ref().map(|place| place.line),
    }
}

pub(super) fn low(interval: Option<Interval<f64>>) -> Option<f64> {
    interval.and_then(|ends| finite(ends.low))
}

pub(super) fn high(interval: Option<Interval<f64>>) -> Option<f64> {
    interval.and_then(|ends| finite(ends.high))
}

fn setup(campaign: &Campaign, id: SetupId) -> &str {
    &campaign.setup(id).key
}

fn wing(campaign: &Campaign, id: WingId) -> &str {
    &campaign.wing(id).key
}

fn of_spread(of: &CampaignSpread) -> SpreadEntry {
    let hand = of.by_hand_factor;
    SpreadEntry {
        known: of.repeats > 0,
        repeats: of.repeats,
        absolute_deg_s: finite(of.absolute_deg_s.median),
        absolute_low95_deg_s: finite(of.absolute_deg_s.interval.low),
        absolute_high95_deg_s: finite(of.absolute_deg_s.interval.high),
        share_percent: finite(100.0 * of.share.median),
        share_low95_percent: finite(100.0 * of.share.interval.low),
        share_high95_percent: finite(100.0 * of.share.interval.high),
        stopwatch_factor: hand.and_then(|of| finite(of.median)),
        stopwatch_factor_low95: low(hand.map(|of| of.interval)),
        stopwatch_factor_high95: high(hand.map(|of| of.interval)),
        typical_absolute_deg_s: of.prior.absolute,
        typical_share_percent: 100.0 * of.prior.share,
        statement: plain(&statements::spread(of)),
    }
}

fn of_cell<'a>(analysis: &'a CampaignAnalysis, cell: &'a Cell) -> CellEntry<'a> {
    let (campaign, mean) = (&analysis.campaign, &cell.mean);
    let spread = cell.shared.spread_deg_s;
    let is_outlying = |index: usize| mean.outlying.iter().any(|run| run.index == index);
    CellEntry {
        setup: setup(campaign, cell.key.setup),
        setup_name: &campaign.setup(cell.key.setup).name,
        wing: wing(campaign, cell.key.wing),
        wing_name: &campaign.wing(cell.key.wing).name,
        scenario: cell.key.scenario,
        runs: cell.runs.len(),
        turn_rate: RateEntry::of_deg_s(&cell.turn_deg_s()),
        turn_rate_common_spread: analysis.common_spread.mean_deg_s(cell.key).map(|mean| RateEntry::of_deg_s(&mean)),
        between_run_sd_deg_s: mean.between_run_sd.and_then(finite),
        between_run_sd_low95_deg_s: low(mean.between_run_sd_interval),
        between_run_sd_high95_deg_s: high(mean.between_run_sd_interval),
        another_day_low95_deg_s: finite(cell.shared.another_day_deg_s.low),
        another_day_high95_deg_s: finite(cell.shared.another_day_deg_s.high),
        days: cell.shared.days,
        shared_between_run_sd_deg_s: finite(spread.median),
        shared_between_run_sd_low95_deg_s: finite(spread.interval.low),
        shared_between_run_sd_high95_deg_s: finite(spread.interval.high),
        alone: RateEntry::of_deg_s(&mean.mean),
        heterogeneity_p: mean.heterogeneity.and_then(|h| finite(h.p)),
        airspeed_mps: cell.airspeed_mps().and_then(finite),
        power_not_recorded_runs: cell.runs.iter().filter(|run| run.power_source.is_none()).count(),
        run_list: cell
            .runs
            .iter()
            .enumerate()
            .map(|(index, run)| of_run(campaign, run, mean.weights.get(index).copied(), is_outlying(index)))
            .collect(),
    }
}

fn of_run<'a>(campaign: &'a Campaign, run: &'a Run, weight: Option<f64>, outlying: bool) -> RunEntry<'a> {
    let (source, timed_by) = match &run.source {
        RunSource::Log(_) => ("log", None),
        RunSource::Stopwatch { timed_by } => ("stopwatch", timed_by.as_deref()),
    };
    RunEntry {
        name: &run.name,
        source,
        pilot: run.pilot.map(|pilot| campaign.pilot(pilot).key.as_str()),
        date: run.date.map(|date| date.to_string()),
        turn_rate: RateEntry::of_deg_s(&run.rate_deg_s),
        weight: weight.and_then(finite),
        outlying,
        timed_by,
        power_source: run.power_source.map(PowerSource::name),
    }
}

fn of_compensation<'a>(analysis: &'a CampaignAnalysis, of: &CellCompensation) -> CompensationEntry<'a> {
    let campaign = &analysis.campaign;
    CompensationEntry {
        setup: setup(campaign, of.key.setup),
        baseline: setup(campaign, of.baseline),
        wing: wing(campaign, of.key.wing),
        scenario: of.key.scenario,
        percent: of.result.percent.and_then(finite),
        low95: low(of.result.interval),
        high95: high(of.result.interval),
        resolvable: of.result.resolvable(),
        over_compensated: of.result.over_compensated(),
        verdict: match of.result.verdict {
            CompensationVerdict::NotResolvable => "not-resolvable",
            CompensationVerdict::Worsens => "worsens",
            CompensationVerdict::NoEffectShown => "no-effect-shown",
            CompensationVerdict::Reduces => "reduces",
            CompensationVerdict::FullWithinUncertainty => "full-within-uncertainty",
            CompensationVerdict::OverCompensated => "over-compensated",
        },
        judge_by: match of.judge_by {
            JudgeBy::Percent => "percent",
            JudgeBy::ResidualTurn => "residual-turn",
        },
        residual: RateEntry::of_deg_s(&of.residual_deg_s),
        baseline_turn: RateEntry::of_deg_s(&of.baseline_deg_s),
        statement: plain(&statements::compensation(analysis, &DisplayUnits::default(), of)),
    }
}

fn of_comparison<'a>(analysis: &'a CampaignAnalysis, of: &CellComparison) -> ComparisonEntry<'a> {
    let campaign = &analysis.campaign;
    let result = &of.result;
    ComparisonEntry {
        setup_a: setup(campaign, of.a),
        setup_b: setup(campaign, of.b),
        wing: wing(campaign, of.wing),
        scenario: of.scenario,
        difference_deg_s: finite(result.difference),
        difference_low95_deg_s: finite(result.difference_interval.low),
        difference_high95_deg_s: finite(result.difference_interval.high),
        ratio: finite(result.ratio),
        ratio_low95: low(result.ratio_interval),
        ratio_high95: high(result.ratio_interval),
        probability_a_turns_less: finite(result.probability_a_turns_less),
        p: finite(result.p),
        p_holm: finite(of.p_corrected),
        told_apart: of.told_apart(),
        opposite: result.opposite,
        statement: plain(&statements::comparison(analysis, &DisplayUnits::default(), of)),
    }
}

fn agreement(analysis: &CampaignAnalysis) -> Option<AgreementEntry<'_>> {
    let of = analysis.agreement.as_ref()?;
    let result = of.result.as_ref();
    let bias = result.map(|r| r.bias.interval(0.95));
    Some(AgreementEntry {
        pairs: of.runs.len(),
        bias_deg_s: result.and_then(|r| finite(r.bias.value)),
        bias_low95_deg_s: low(bias),
        bias_high95_deg_s: high(bias),
        sd_deg_s: result.and_then(|r| finite(r.sd)),
        lower_limit_deg_s: result.and_then(|r| finite(r.lower.value)),
        upper_limit_deg_s: result.and_then(|r| finite(r.upper.value)),
        as_stated: result.map(|r| r.as_stated()),
        runs: of
            .runs
            .iter()
            .map(|run| DoublyTimedEntry {
                name: &run.name,
                timed_by: run.timed_by.as_deref(),
                log: RateEntry::of_deg_s(&run.log_deg_s),
                stopwatch: RateEntry::of_deg_s(&run.stopwatch_deg_s),
            })
            .collect(),
    })
}

fn of_drift<'a>(analysis: &'a CampaignAnalysis, of: &CellDrift) -> DriftEntry<'a> {
    let campaign = &analysis.campaign;
    DriftEntry {
        setup: setup(campaign, of.key.setup),
        wing: wing(campaign, of.key.wing),
        scenario: of.key.scenario,
        drift_deg_min: finite(of.result.drift_deg_min.value),
        low95_deg_min: finite(of.result.interval.low),
        high95_deg_min: finite(of.result.interval.high),
        raw_deg_min: finite(of.result.raw_deg_min),
        limit_deg_min: of.limit_deg_min,
        claimed: of.claimed,
        statement: plain(&statements::drift(analysis, of)),
    }
}

/// Blanks that hold a line together are for paper.
fn plain(words: &str) -> String {
    words.replace('\u{a0}', " ")
}
