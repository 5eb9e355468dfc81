//! The document of a flight: how it was made, the log, the problems, the wind.

use super::FLIGHT_REPORT_SCHEMA;
use super::made_by::MadeByEntry;
use super::rate::RateEntry;
use super::window::WindowEntry;
use crate::inertial::InertialEntry;
use crate::known::{bare_name, finite};
use crate::reasons::{FindingEntry, problems};
use chrono::{DateTime, SecondsFormat, SubsecRound, Utc};
use driftless_analysis::{
    CombinedRate, CompassAgreement, CompassReference, FlightAnalysis, FlightEstimate, InertialStatus, LogFormat,
    PowerSource, Problem, Scenario, Settling, Smoothing, Track,
};
use driftless_display::DisplayUnits;
use driftless_display::reasons::{compass_doubt, why_not_used, wind_unknown};
use serde::Serialize;

/// Least time between two entries of the wind profile, seconds. The mean wind changes over minutes; an entry for
/// each node of a long flight would only make the document long.
const PROFILE_STEP_S: f64 = 10.0;

/// The whole document.
#[derive(Serialize)]
pub(super) struct FlightReport<'a> {
    schema: &'static str,
    made_by: MadeByEntry<'a>,
    log: LogEntry<'a>,
    problems: Vec<Problem>,
    wind: WindEntry,
    /// How the passes of the whole-flight estimate ended; `null` without one.
    estimate: Option<EstimateEntry>,
    /// The estimated heading against a recorded compass; `null` without one.
    compass: Option<CompassEntry>,
    /// The flights of the log, in time order; empty when it stays on the ground.
    flights: Vec<FlownEntry>,
    windows: Vec<WindowEntry<'a>>,
    /// The accepted windows of each set-up and scenario as one figure.
    combined: Vec<CombinedEntry>,
    /// What inertial files add; `null` when none were given.
    inertial: Option<InertialEntry<'a>>,
}

/// Repeats inside a flight.
#[derive(Serialize)]
struct CombinedEntry {
    flight: usize,
    setup: Option<String>,
    scenario: Scenario,
    /// Whether nobody named or recorded the power.
    by_climb_only: bool,
    /// What the power is known from: `marks`, `engine-speed`, `engine-noise`; `null` where nobody named or recorded it.
    power_source: Option<&'static str>,
    /// How many windows, and which.
    count: usize,
    windows: Vec<u32>,
    /// What the set-up does, by all of them.
    steady_rate: RateEntry,
    /// What it would do on another day, a typical spread of days added.
    another_day_low95_deg_s: Option<f64>,
    another_day_high95_deg_s: Option<f64>,
    /// What a single window would show on another day, its own wander on top.
    window_another_day_low95_deg_s: Option<f64>,
    window_another_day_high95_deg_s: Option<f64>,
    /// What the course over the ground says where it is farthest off.
    worst_course_rate_deg_s: Option<f64>,
}

impl CombinedEntry {
    fn of(of: &CombinedRate) -> Self {
        Self {
            flight: of.flight,
            setup: of.setup.clone(),
            scenario: of.scenario,
            by_climb_only: of.power_source.is_none(),
            power_source: of.power_source.map(PowerSource::name),
            count: of.windows.len(),
            windows: of.windows.clone(),
            steady_rate: RateEntry::of_deg_s(&of.rate_deg_s),
            another_day_low95_deg_s: finite(of.another_day_deg_s.low),
            another_day_high95_deg_s: finite(of.another_day_deg_s.high),
            window_another_day_low95_deg_s: finite(of.window_another_day_deg_s.low),
            window_another_day_high95_deg_s: finite(of.window_another_day_deg_s.high),
            worst_course_rate_deg_s: of.worst_course_deg_s.and_then(finite),
        }
    }
}

#[derive(Serialize)]
struct CompassEntry {
    /// Whether it took part in the turn rates of the windows; the figures are those of the estimate without it.
    used_in_turn_rates: bool,
    /// Why not.
    doubts: Vec<String>,
    /// The same for programs, in the same order.
    findings: Vec<FindingEntry>,
    reference: &'static str,
    samples: usize,
    /// Recorded less estimated.
    offset_deg: Option<f64>,
    scatter_deg: Option<f64>,
    /// What the estimate says of its own headings, and what of the scatter is left for the compass.
    stated_std_u_deg: Option<f64>,
    own_scatter_deg: Option<f64>,
    /// Of the headings, within 95 % intervals to which the compass' own scatter was added, and within those alone.
    within95_percent: Option<f64>,
    within95_exact_compass_percent: Option<f64>,
}

impl CompassEntry {
    fn of(compass: &CompassAgreement) -> Self {
        let reference = match compass.reference {
            CompassReference::True => "true",
            CompassReference::Magnetic => "magnetic",
        };
        let (offset_deg, scatter_deg) = (finite(compass.offset.deg()), finite(compass.scatter.deg()));
        Self {
            used_in_turn_rates: compass.in_estimate,
            doubts: compass.doubts.iter().map(compass_doubt).collect(),
            findings: compass.doubts.iter().map(FindingEntry::of_compass).collect(),
            reference,
            samples: compass.samples,
            offset_deg,
            scatter_deg,
            stated_std_u_deg: finite(compass.stated.deg()),
            own_scatter_deg: finite(compass.own_scatter.deg()),
            within95_percent: finite(100.0 * compass.within95),
            within95_exact_compass_percent: finite(100.0 * compass.within95_exact),
        }
    }
}

#[derive(Serialize)]
struct LogEntry<'a> {
    file: &'a str,
    format: LogFormat,
    fixes_read: usize,
    fixes_used: usize,
    start_utc: String,
    end_utc: String,
    median_interval_s: Option<f64>,
}

#[derive(Serialize)]
struct WindEntry {
    observable: bool,
    /// Why the wind cannot be told, with figures; `null` when it can.
    reason: Option<String>,
    /// The same for programs.
    finding: Option<FindingEntry>,
    profile: Vec<WindAt>,
}

#[derive(Serialize)]
struct EstimateEntry {
    /// Passes made from the last start on.
    passes: usize,
    /// Whether the last of them changed nothing that matters.
    settled: bool,
    /// What the receiver does to positions, undone here: `none`, `low-pass` or `tracker`, and over what time.
    receiver_smoothing: &'static str,
    receiver_smoothing_s: Option<f64>,
}

#[derive(Serialize)]
struct WindAt {
    time_utc: String,
    altitude_m: Option<f64>,
    speed_mps: Option<f64>,
    from_deg: Option<f64>,
    east_mps: Option<f64>,
    north_mps: Option<f64>,
    std_u_mps: Option<f64>,
}

impl<'a> FlightReport<'a> {
    pub(super) fn of(analysis: &'a FlightAnalysis) -> Self {
        let track = &analysis.track;
        Self {
            schema: FLIGHT_REPORT_SCHEMA,
            made_by: MadeByEntry::of(&analysis.made_by),
            log: LogEntry {
                file: bare_name(&analysis.file),
                format: analysis.format,
                fixes_read: analysis.fixes_read,
                fixes_used: track.points.len(),
                start_utc: utc(track.epoch),
                end_utc: utc(track.time_at(track.duration_s())),
                median_interval_s: finite(track.median_interval_s),
            },
            problems: problems(analysis, &DisplayUnits::default()),
            wind: WindEntry::of(analysis),
            estimate: analysis.estimate.as_ref().map(EstimateEntry::of),
            compass: analysis.compass.as_ref().map(CompassEntry::of),
            flights: (0..analysis.flights.len()).map(|place| FlownEntry::of(analysis, place)).collect(),
            windows: analysis.windows.iter().map(|w| WindowEntry::of(analysis, w)).collect(),
            combined: analysis.combined().iter().map(CombinedEntry::of).collect(),
            inertial: analysis.inertial.as_ref().map(|inertial| InertialEntry::of(analysis, inertial)),
        }
    }
}

impl EstimateEntry {
    fn of(estimate: &FlightEstimate) -> Self {
        let Settling { passes, settled } = estimate.settling;
        let receiver_smoothing = match estimate.smoothing {
            None => "none",
            Some(Smoothing::LowPass { .. }) => "low-pass",
            Some(Smoothing::Tracker { .. }) => "tracker",
        };
        let receiver_smoothing_s = estimate.smoothing.and_then(|smoothing| finite(smoothing.over_s()));
        Self { passes, settled, receiver_smoothing, receiver_smoothing_s }
    }
}

/// One flight of the log.
#[derive(Serialize)]
struct FlownEntry {
    /// Number from 1; windows name it.
    number: usize,
    /// `null` where the log begins or ends in the air.
    takeoff_utc: Option<String>,
    landing_utc: Option<String>,
    /// Numbers of its windows.
    windows: Vec<u32>,
    wind_observable: bool,
    wind_finding: Option<FindingEntry>,
    /// How far the inertial files came on this flight, as in `inertial.status`; `null` without any.
    inertial_status: Option<&'static str>,
    inertial_status_reason: Option<String>,
}

impl FlownEntry {
    fn of(analysis: &FlightAnalysis, place: usize) -> Self {
        let flight = &analysis.flights[place];
        let at = |t_s: Option<f64>| t_s.map(|t_s| utc(analysis.track.time_at(t_s)));
        Self {
            number: place + 1,
            takeoff_utc: at(flight.airborne.takeoff_s),
            landing_utc: at(flight.airborne.landing_s),
            windows: flight.windows.clone(),
            wind_observable: flight.wind_unknown.is_none(),
            wind_finding: flight.wind_unknown.as_ref().map(FindingEntry::of_wind),
            inertial_status: flight.inertial.as_ref().map(InertialStatus::code),
            inertial_status_reason: flight
                .inertial
                .as_ref()
                .and_then(why_not_used)
                .map(|why| why.replace('\u{a0}', " ")),
        }
    }
}

impl WindEntry {
    fn of(analysis: &FlightAnalysis) -> Self {
        let why = analysis.wind_unknown();
        let known = analysis.estimate.as_ref().filter(|_| why.is_none());
        Self {
            observable: known.is_some(),
            reason: why.map(|why| wind_unknown(why, &DisplayUnits::default()).replace('\u{a0}', " ")),
            finding: why.map(FindingEntry::of_wind),
            profile: known.map(|estimate| profile(&analysis.track, estimate)).unwrap_or_default(),
        }
    }
}

fn profile(track: &Track, estimate: &FlightEstimate) -> Vec<WindAt> {
    let mut next_s = f64::NEG_INFINITY;
    let mut entries = Vec::new();
    for node in &estimate.nodes {
        if node.t_s < next_s {
            continue;
        }
        next_s = node.t_s + PROFILE_STEP_S;
        let [east_var, _, north_var] = node.wind_cov;
        entries.push(WindAt {
            time_utc: utc(track.time_at(node.t_s)),
            altitude_m: node.altitude_m.and_then(finite),
            speed_mps: finite(node.wind.speed_mps()),
            from_deg: finite(node.wind.from_deg()),
            east_mps: finite(node.wind.east_mps),
            north_mps: finite(node.wind.north_mps),
            std_u_mps: finite((0.5 * (east_var + north_var)).sqrt()),
        });
    }
    entries
}

/// RFC 3339 in UTC, rounded to milliseconds.
pub(crate) fn utc(time: DateTime<Utc>) -> String {
    time.round_subsecs(3).to_rfc3339_opts(SecondsFormat::Millis, true)
}
