//! From windows and stopwatch readings to runs of cells: what counts, what is left out and why.

use super::alerts::{Alerts, CampaignAlertKind};
use super::{CampaignInput, CellKey, FlightSummary};
use crate::combined::{airspeed_open, doubtful_near_ground};
use crate::{PowerKnown, PowerSource, WindowMeasurement};
use chrono::NaiveDate;
use driftless_campaign::model::{
    Campaign, Flight, FlightId, FlownWith, HungWeight, PilotId, StopwatchRun, Timing, WeightMeasured, WindowRef,
};
use driftless_segment::{Finding, HandsOff};
use driftless_statistics::StatisticsError;
use driftless_statistics::stopwatch::{Laps, StopwatchErrors, turn_rate};
use driftless_track::Scenario;
use driftless_units::{Estimate, TurnRate};
use std::collections::BTreeMap;

/// One run of a cell.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// What was flown.
    pub key: CellKey,
    /// Who flew.
    pub pilot: Option<PilotId>,
    /// Turn rate of the set-up in this run, °/s, right positive; the wander of turbulence is in its uncertainty.
    pub rate_deg_s: Estimate<f64>,
    /// How it is known.
    pub source: RunSource,
    /// What the power of its scenario is known from; `None` where nobody named or recorded it.
    pub power_source: Option<PowerSource>,
    /// Day of the run.
    pub date: Option<NaiveDate>,
    /// Name in reports: `vanes-fenlark-1, window 2`.
    pub name: String,
}

/// How the turn rate of a run is known.
#[derive(Debug, Clone, PartialEq)]
pub enum RunSource {
    /// From a log.
    Log(LogFacts),
    /// From a stopwatch.
    Stopwatch {
        /// Who timed.
        timed_by: Option<String>,
    },
}

/// What a log says about a run beside its turn rate.
#[derive(Debug, Clone, PartialEq)]
pub struct LogFacts {
    /// Flight and number of the window.
    pub window: WindowRef,
    /// What the aircraft did in the window, °/s: without the wander.
    pub window_rate_deg_s: Estimate<f64>,
    /// Rate of the ground course, with the wind left in, °/s.
    pub course_rate_deg_s: Option<f64>,
    /// Length of the window, seconds.
    pub length_s: f64,
    /// True airspeed, m/s.
    pub airspeed_mps: Option<Estimate<f64>>,
    /// Mean altitude above sea level, m.
    pub altitude_m: Option<f64>,
    /// Lowest height above the take-off place, m.
    pub height_above_takeoff_m: Option<f64>,
    /// Whether somebody marked it.
    pub hands_off: HandsOff,
}

impl Run {
    /// What the log says, for a run from a log.
    pub const fn log(&self) -> Option<&LogFacts> {
        match &self.source {
            RunSource::Log(facts) => Some(facts),
            RunSource::Stopwatch { .. } => None,
        }
    }
}

/// A window or reading that counts for nothing, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct UnusedRun {
    /// Name in reports.
    pub name: String,
    /// Set-up, wing and scenario, as far as known.
    pub of: String,
    /// Why.
    pub why: WhyUnused,
}

/// Why a window or reading counts for nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum WhyUnused {
    /// The marks file names a set-up that the campaign file does not describe.
    UnknownSetup(String),
    /// The campaign file leaves it out, with this reason.
    LeftOut(String),
    /// The window was refused.
    Refused(Vec<Finding>),
    /// Nobody marked the window, and it was flown near the ground: what says so.
    NearGround(Vec<Finding>),
    /// A window of a flight whose wind is not known; with all that was found.
    AirspeedOpen(Vec<Finding>),
    /// Nobody marked the window, and the flight does not take candidates.
    Unmarked,
    /// Its scenario is not known.
    NoScenario,
    /// Its turn rate, or what turbulence adds to its uncertainty, is not known.
    NoRate,
    /// The stopwatch readings give no rate.
    Timing(StatisticsError),
}

/// A run with a known weight.
#[derive(Debug, Clone, PartialEq)]
pub struct WeightPoint {
    /// The run; its set-up is that without the weight.
    pub run: Run,
    /// The weight.
    pub weight: HungWeight,
}

/// The same run by log and by stopwatch, °/s.
#[derive(Debug, Clone, PartialEq)]
pub struct DoublyTimed {
    /// The run from the log.
    pub name: String,
    /// What was flown.
    pub key: CellKey,
    /// Who timed.
    pub timed_by: Option<String>,
    /// What the log says the aircraft did.
    pub log_deg_s: Estimate<f64>,
    /// What the stopwatch says.
    pub stopwatch_deg_s: Estimate<f64>,
}

/// Everything that was flown, sorted.
#[derive(Debug, Clone, Default)]
pub(super) struct Gathered {
    pub(super) runs: Vec<Run>,
    pub(super) unused: Vec<UnusedRun>,
    pub(super) weights: Vec<WeightPoint>,
    pub(super) doubly: Vec<DoublyTimed>,
}

/// Sorts everything flown.
pub(super) fn gather(input: &CampaignInput, alerts: &mut Alerts) -> Gathered {
    let campaign = &input.campaign;
    let mut gathered = Gathered::default();
    let weights = weights_by_window(campaign);
    for (index, (flight, outcome)) in campaign.flights.iter().zip(&input.flights).enumerate() {
        if let Some(reason) = &flight.exclude {
            let of = words(campaign, &flight.with, flight.scenario.unwrap_or(Scenario::Unclassified));
            let why = WhyUnused::LeftOut(reason.clone());
            gathered.unused.push(UnusedRun { name: flight.key.clone(), of, why });
            continue;
        }
        match outcome {
            Ok(summary) => {
                for why in &summary.files_not_used {
                    let kind = CampaignAlertKind::FileNotUsed {
                        flight: flight.key.clone(),
                        log: summary.file.clone(),
                        why: why.clone(),
                    };
                    alerts.flight(flight, kind);
                }
                let one = OneFlight { campaign, id: FlightId(index), flight, summary, weights: &weights };
                one.gather(&mut gathered, alerts);
            }
            Err(why) => {
                let kind = CampaignAlertKind::FlightNotUsable { flight: flight.key.clone(), why: why.clone() };
                alerts.flight(flight, kind);
            }
        }
    }
    same_log_twice(input, alerts);
    let by_log: BTreeMap<WindowRef, Run> =
        gathered.runs.iter().filter_map(|run| Some((run.log()?.window, run.clone()))).collect();
    for run in &campaign.stopwatch_runs {
        timed(campaign, run, &by_log, &mut gathered, alerts);
    }
    for run in &campaign.weight_runs {
        if let WeightMeasured::Stopwatch { with, scenario, timing } = &run.measured {
            let name = format!("known weight timed, line {}", run.place.line);
            match rate_of(timing) {
                Ok(rate_deg_s) => gathered.weights.push(WeightPoint {
                    weight: run.weight,
                    run: Run {
                        key: CellKey { setup: with.setup, wing: with.wing, scenario: *scenario },
                        pilot: with.pilot,
                        rate_deg_s,
                        source: RunSource::Stopwatch { timed_by: None },
                        power_source: Some(PowerSource::CampaignFile),
                        date: None,
                        name,
                    },
                }),
                Err(why) => gathered.unused.push(UnusedRun { name, of: words(campaign, with, *scenario), why }),
            }
        }
    }
    gathered
}

/// The weight of each window of a log; window 0 stands for all windows of a flight.
fn weights_by_window(campaign: &Campaign) -> BTreeMap<(FlightId, u32), HungWeight> {
    let mut weights = BTreeMap::new();
    for run in &campaign.weight_runs {
        if let WeightMeasured::Log { flight, windows } = &run.measured {
            let numbers: &[u32] = if windows.is_empty() { &[0] } else { windows };
            weights.extend(numbers.iter().map(|number| ((*flight, *number), run.weight)));
        }
    }
    weights
}

/// A flight and where it belongs.
struct OneFlight<'a> {
    campaign: &'a Campaign,
    id: FlightId,
    flight: &'a Flight,
    summary: &'a FlightSummary,
    weights: &'a BTreeMap<(FlightId, u32), HungWeight>,
}

impl OneFlight<'_> {
    fn gather(&self, gathered: &mut Gathered, alerts: &mut Alerts) {
        let flight = self.flight;
        let numbers: Vec<u32> = self.summary.windows.iter().map(|w| w.window.id).collect();
        for left_out in flight.leave_out.iter().filter(|left_out| !numbers.contains(&left_out.window)) {
            let kind = CampaignAlertKind::NoWindowToLeaveOut { flight: flight.key.clone(), window: left_out.window };
            alerts.flight(flight, kind);
        }
        let wanted =
            self.weights.keys().filter(|(id, number)| *id == self.id && *number != 0).map(|(_, number)| *number);
        for number in wanted.filter(|number| !numbers.contains(number)) {
            let kind = CampaignAlertKind::NoWindowWithWeight { flight: flight.key.clone(), window: number };
            alerts.flight(flight, kind);
        }
        let before = gathered.runs.len() + gathered.weights.len();
        let mut not_recorded = Vec::new();
        for window in &self.summary.windows {
            match self.run(window) {
                Ok(run) => {
                    not_recorded.extend(run.power_source.is_none().then_some(window.window.id));
                    let weight = [window.window.id, 0].into_iter().find_map(|n| self.weights.get(&(self.id, n)));
                    match weight {
                        Some(weight) => gathered.weights.push(WeightPoint { run, weight: *weight }),
                        None => gathered.runs.push(run),
                    }
                }
                Err(unused) => gathered.unused.push(unused),
            }
        }
        if !not_recorded.is_empty() {
            let kind = CampaignAlertKind::PowerNotRecorded { flight: flight.key.clone(), windows: not_recorded };
            alerts.flight(flight, kind);
        }
        if gathered.runs.len() + gathered.weights.len() == before {
            let windows = self.summary.windows.len();
            alerts.flight(flight, CampaignAlertKind::FlightWithoutRuns { flight: flight.key.clone(), windows });
        }
    }

    /// The run of a window, or why it counts for nothing.
    fn run(&self, measured: &WindowMeasurement) -> Result<Run, UnusedRun> {
        let window = &measured.window;
        let scenario = self.flight.scenario.unwrap_or(window.scenario);
        let power_source =
            self.flight.scenario.map_or_else(|| PowerSource::of(window), |_| Some(PowerSource::CampaignFile));
        let name = format!("{}, window {}", self.flight.key, window.id);
        let unused = |of: String, why: WhyUnused| UnusedRun { name: name.clone(), of, why };
        let mut with = self.flight.with;
        if let Some(named) = window.setup.as_deref().filter(|named| !named.trim().is_empty()) {
            match self.campaign.setup_named(named) {
                Some(setup) => with.setup = setup,
                None => {
                    let why = WhyUnused::UnknownSetup(named.to_owned());
                    return Err(unused(words(self.campaign, &with, scenario), why));
                }
            }
        }
        let of = || {
            let key = CellKey { setup: with.setup, wing: with.wing, scenario };
            key.words_as(self.campaign, PowerKnown::by(power_source, scenario))
        };
        if let Some(left_out) = self.flight.leave_out.iter().find(|left_out| left_out.window == window.id) {
            return Err(unused(of(), WhyUnused::LeftOut(left_out.reason.clone())));
        }
        if !measured.accepted() {
            return Err(unused(of(), WhyUnused::Refused(measured.verdict.findings.clone())));
        }
        if window.hands_off == HandsOff::Candidate && !self.flight.take_candidates {
            return Err(unused(of(), WhyUnused::Unmarked));
        }
        if doubtful_near_ground(measured) {
            return Err(unused(of(), WhyUnused::NearGround(measured.verdict.findings.clone())));
        }
        if airspeed_open(measured) {
            return Err(unused(of(), WhyUnused::AirspeedOpen(measured.verdict.findings.clone())));
        }
        if scenario == Scenario::Unclassified {
            return Err(unused(of(), WhyUnused::NoScenario));
        }
        let (Some(steady), Some(did)) = (measured.steady_rate, measured.turn_rate) else {
            return Err(unused(of(), WhyUnused::NoRate));
        };
        Ok(Run {
            key: CellKey { setup: with.setup, wing: with.wing, scenario },
            pilot: with.pilot,
            rate_deg_s: in_deg_s(&steady),
            source: RunSource::Log(LogFacts {
                window: WindowRef { flight: self.id, window: window.id },
                window_rate_deg_s: in_deg_s(&did),
                course_rate_deg_s: measured.course_rate.map(TurnRate::deg_s),
                length_s: window.end_s - window.start_s,
                airspeed_mps: measured.airspeed_mps,
                altitude_m: measured.altitude_m,
                height_above_takeoff_m: measured.height_above_takeoff_m,
                hands_off: window.hands_off,
            }),
            power_source,
            date: Some(self.summary.start_utc.date_naive()),
            name,
        })
    }
}

/// A reading in degrees per second, right positive.
fn rate_of(timing: &Timing) -> Result<Estimate<f64>, WhyUnused> {
    let degrees = timing.turned.sign() * timing.degrees;
    let laps = Laps::Separate { n: timing.count, seconds: timing.seconds };
    let errors =
        StopwatchErrors { reading_s: timing.reading_std_u_s, pointing_deg: timing.pointing_std_u_deg, doubt: None };
    turn_rate(degrees, &laps, &errors).map_err(WhyUnused::Timing)
}

/// A stopwatch run counts by itself only when no log of the same run counts.
fn timed(
    campaign: &Campaign,
    timed: &StopwatchRun,
    by_log: &BTreeMap<WindowRef, Run>,
    gathered: &mut Gathered,
    alerts: &mut Alerts,
) {
    let key = CellKey { setup: timed.with.setup, wing: timed.with.wing, scenario: timed.scenario };
    let name = format!("stopwatch, {} line {}", timed.place.file, timed.place.line);
    let rate_deg_s = match rate_of(&timed.timing) {
        Ok(rate) => rate,
        Err(why) => {
            gathered.unused.push(UnusedRun { name, of: words(campaign, &timed.with, timed.scenario), why });
            return;
        }
    };
    if let Some(run) = timed.same_run.and_then(|same| by_log.get(&same)) {
        if run.key != key {
            alerts.place(&timed.place, CampaignAlertKind::TimedAnotherRun { stopwatch: key, log: run.key });
            return;
        }
        if let Some(log) = run.log() {
            gathered.doubly.push(DoublyTimed {
                name: run.name.clone(),
                key,
                timed_by: timed.timed_by.clone(),
                log_deg_s: log.window_rate_deg_s,
                stopwatch_deg_s: rate_deg_s,
            });
        }
        return;
    }
    gathered.runs.push(Run {
        key,
        pilot: timed.with.pilot,
        rate_deg_s,
        source: RunSource::Stopwatch { timed_by: timed.timed_by.clone() },
        power_source: Some(PowerSource::CampaignFile),
        date: timed.date,
        name,
    });
}

fn same_log_twice(input: &CampaignInput, alerts: &mut Alerts) {
    let mut seen: BTreeMap<&str, &Flight> = BTreeMap::new();
    for (flight, summary) in
        input.campaign.flights.iter().zip(input.flights.iter()).filter_map(|(f, o)| Some((f, o.as_ref().ok()?)))
    {
        if let Some(first) = seen.insert(&summary.input_sha256, flight)
            && first.marks == flight.marks
        {
            let (flight_key, same_as) = (flight.key.clone(), first.key.clone());
            alerts.flight(flight, CampaignAlertKind::LogTwice { flight: flight_key, same_as });
        }
    }
}

fn in_deg_s(rate: &Estimate<TurnRate>) -> Estimate<f64> {
    Estimate::with_dof(rate.value.deg_s(), rate.std_u.deg_s(), rate.dof)
}

fn words(campaign: &Campaign, with: &FlownWith, scenario: Scenario) -> String {
    CellKey { setup: with.setup, wing: with.wing, scenario }.words(campaign)
}
