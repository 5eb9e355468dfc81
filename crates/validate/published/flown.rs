//! Published winds and turns, flown: the simulator flies them without noise, the flight is written as a log of each
//! format, and the log goes down the road of every user's log.
//!
//! Published are ground speeds and tracks, or the truth that they were worked out from. Generated are the times (legs of
//! 90 s), the turns between them (6 °/s), the scale (a tenth of the speeds in knots, taken as metres per second: the
//! speeds of a paramotor) and, where only the truth was published, the ground speeds.

use super::{Check, Group};
use driftless_analysis::{FlightAnalysis, FlightConfig, FlightInput, Node, Scenario as Setting, analyse_flight};
use driftless_formats::{ReadHint, read};
use driftless_sim::scenario::{Air, Aircraft, Format, Gusts, Leg, Output, PowerSetting, Residual, Sensors, Site};
use driftless_sim::{Scenario, SimulatedFlight, simulate};
use driftless_units::{Angle, Wind};

mod turns;
mod winds;

/// All of them.
pub(super) fn checks() -> Vec<Check> {
    [winds::checks(), turns::checks()].concat()
}

/// Formats that a log is written in.
const FORMATS: [Format; 4] = [Format::Gpx, Format::Igc, Format::Nmea, Format::Csv];

/// A flight without noise: power settings by airspeed in m/s and residual turn in °/s, a wind, a plan.
fn fly(settings: &[(Setting, f64, f64)], wind: Wind, heading_deg: f64, legs: Vec<Leg>) -> Option<SimulatedFlight> {
    let settings = settings.iter().map(|&(setting, airspeed_mps, residual_deg_s)| {
        (setting, PowerSetting { airspeed_mps, climb_mps: 0.0, residual: Residual::RateDegS(residual_deg_s) })
    });
    let scenario = Scenario {
        name: "published".to_owned(),
        note: "A published case.".to_owned(),
        setup: String::new(),
        seed: 0,
        start_utc: "2026-05-01T10:00:00Z".parse().ok()?,
        site: Site { lat_deg: 47.0, lon_deg: 11.0, elevation_m: 500.0, heading_deg, start_height_m: 500.0 },
        aircraft: Aircraft {
            airspeed_lag_s: 1.0,
            climb_lag_s: 1.0,
            roll_lag_s: 0.5,
            let_go_lag_s: 0.5,
            corrections_deg_s: 0.0,
            porpoising: None,
            propeller: None,
            settings: settings.collect(),
        },
        air: Air {
            wind_mps: wind.speed_mps(),
            wind_from_deg: wind.from_deg(),
            reference_height_m: 0.0,
            shear_per_m: 0.0,
            veer_deg_per_m: 0.0,
            slow_sd_mps: 0.0,
            slow_tau_s: 600.0,
            gusts: Gusts::None,
            yaw_wander_deg_s: 0.0,
            yaw_wander_tau_s: 3.0,
            thermals: Vec::new(),
            changes: Vec::new(),
        },
        sensors: Sensors {
            position_white_m: 0.0,
            position_slow_m: 0.0,
            altitude_white_m: 0.0,
            altitude_slow_m: 0.0,
            ..Sensors::default()
        },
        output: Output { igc_extra_digits: 3, ..Output::default() },
        legs,
    };
    simulate(&scenario, scenario.seed).ok()
}

/// The road of a user's log, from a file of this format on.
fn analysed(flight: &SimulatedFlight, format: Format) -> Option<FlightAnalysis> {
    let log = read(flight.to_format(format).as_bytes(), &ReadHint::default()).ok()?;
    let input = FlightInput {
        // Where the log itself carries no marks, they come in a file beside it.
        marks_text: matches!(format, Format::Nmea | Format::Csv).then(|| flight.to_marks_csv()),
        config: FlightConfig::default(),
        ..FlightInput::default()
    };
    analyse_flight(log, input, &mut |_| {}).ok()
}

/// Mean over nodes.
fn mean(nodes: &[&Node], value: impl Fn(&Node) -> f64) -> f64 {
    nodes.iter().map(|n| value(n)).sum::<f64>() / nodes.len() as f64
}
