//! One window of the document.

use super::flight::utc;
use super::rate::RateEntry;
use crate::known::finite;
use crate::reasons::{FindingEntry, plain_reasons};
use driftless_analysis::{Favoured, FlightAnalysis, HandsOff, Origin, PowerSource, Scenario, WindowMeasurement};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct WindowEntry<'a> {
    id: u32,
    /// The flight of the log that it belongs to; `null` on the ground.
    flight: Option<usize>,
    start_utc: String,
    end_utc: String,
    let_go_utc: String,
    take_over_utc: String,
    origin: Origin,
    hands_off: HandsOff,
    scenario: Scenario,
    /// What the scenario was told by: `marked`, `rpm`, `engine-noise`, `climb-only`.
    scenario_basis: &'static str,
    /// What the power is known from: `marks`, `engine-speed`, `engine-noise`; `null` where nobody named or recorded it.
    power_source: Option<&'static str>,
    setup: Option<&'a str>,
    note: Option<&'a str>,
    turn_rate: RateEntry,
    steady_rate: RateEntry,
    second_opinion: SecondOpinionEntry,
    course_rate_deg_s: Option<f64>,
    heading_change_deg: Option<f64>,
    heading_change_std_u_deg: Option<f64>,
    seconds_per_90deg: Option<f64>,
    turn_per_minute_deg: Option<f64>,
    airspeed_mps: Option<f64>,
    airspeed_std_u_mps: Option<f64>,
    ground_speed_mps: Option<f64>,
    climb_mps: Option<f64>,
    bank_deg: Option<f64>,
    air_radius_m: Option<f64>,
    load_factor: Option<f64>,
    altitude_m: Option<f64>,
    height_above_takeoff_m: Option<f64>,
    wind_speed_mps: Option<f64>,
    wind_from_deg: Option<f64>,
    wind_std_u_mps: Option<f64>,
    accepted: bool,
    /// What speaks against it, in words.
    reasons: Vec<String>,
    /// The same for programs, in the same order.
    findings: Vec<FindingEntry>,
}

#[derive(Serialize)]
struct SecondOpinionEntry {
    method: &'static str,
    value_deg_s: Option<f64>,
    std_u_deg_s: Option<f64>,
    /// Farther apart than chance would bring about in a report of so many windows.
    disagrees: Option<bool>,
    /// The main figure less this one, in standard uncertainties of the difference.
    apart_std_u: Option<f64>,
    /// Which of two that disagree the log speaks for: `turn-rate` or `neither`.
    favoured: Option<&'static str>,
}

impl<'a> WindowEntry<'a> {
    pub(super) fn of(analysis: &FlightAnalysis, measured: &'a WindowMeasurement) -> Self {
        let (track, window) = (&analysis.track, &measured.window);
        let utc_at = |t_s: f64| utc(track.time_at(t_s));
        let turn = measured.turn_rate.map(|rate| rate.value);
        Self {
            id: window.id,
            flight: analysis.flight_of(window),
            start_utc: utc_at(window.start_s),
            end_utc: utc_at(window.end_s),
            let_go_utc: utc_at(window.let_go_s),
            take_over_utc: utc_at(window.take_over_s),
            origin: window.origin,
            hands_off: window.hands_off,
            scenario: window.scenario,
            scenario_basis: window.scenario_basis.name(),
            power_source: PowerSource::of(window).map(PowerSource::name),
            setup: window.setup.as_deref(),
            note: window.note.as_deref(),
            turn_rate: RateEntry::of(measured.turn_rate),
            steady_rate: RateEntry::of(measured.steady_rate),
            second_opinion: SecondOpinionEntry::of(analysis, measured),
            course_rate_deg_s: measured.course_rate.and_then(|rate| finite(rate.deg_s())),
            heading_change_deg: measured.heading_change.and_then(|change| finite(change.value.deg())),
            heading_change_std_u_deg: measured.heading_change.and_then(|change| finite(change.std_u.deg())),
            seconds_per_90deg: turn.and_then(|rate| finite(rate.seconds_per_90deg())),
            turn_per_minute_deg: turn.and_then(|rate| finite(rate.deg_min())),
            airspeed_mps: measured.airspeed_mps.and_then(|speed| finite(speed.value)),
            airspeed_std_u_mps: measured.airspeed_mps.and_then(|speed| finite(speed.std_u)),
            ground_speed_mps: finite(measured.ground_speed_mps),
            climb_mps: measured.climb_mps.and_then(finite),
            bank_deg: measured.bank.and_then(|bank| finite(bank.deg())),
            air_radius_m: measured.air_radius_m.and_then(finite),
            load_factor: measured.load_factor.and_then(finite),
            altitude_m: measured.altitude_m.and_then(finite),
            height_above_takeoff_m: measured.height_above_takeoff_m.and_then(finite),
            wind_speed_mps: measured.wind.and_then(|wind| finite(wind.speed_mps())),
            wind_from_deg: measured.wind.and_then(|wind| finite(wind.from_deg())),
            wind_std_u_mps: measured.wind_std_u_mps.and_then(finite),
            accepted: measured.accepted(),
            reasons: plain_reasons(&measured.verdict),
            findings: measured.verdict.findings.iter().map(FindingEntry::of).collect(),
        }
    }
}

impl SecondOpinionEntry {
    fn of(analysis: &FlightAnalysis, measured: &WindowMeasurement) -> Self {
        let (opinion, disagreement) = (measured.second_opinion, analysis.disagreement(measured));
        Self {
            method: "circle-drift",
            value_deg_s: opinion.and_then(|o| finite(o.turn_rate.value.deg_s())),
            std_u_deg_s: opinion.and_then(|o| finite(o.turn_rate.std_u.deg_s())),
            disagrees: opinion.map(|_| disagreement.is_some()),
            apart_std_u: opinion.and_then(|o| finite(o.apart)),
            favoured: disagreement.map(Favoured::name),
        }
    }
}
