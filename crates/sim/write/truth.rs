//! The truth file: `driftless/truth/1`.

use super::CREATOR;
use crate::{SimulatedFlight, Truth, TruthStep, TruthWindow};
use chrono::{DateTime, SecondsFormat, Utc};
use serde::Serialize;

#[derive(Serialize)]
struct TruthFile<'a> {
    schema: &'static str,
    made_by: MadeBy<'a>,
    start_utc: String,
    windows: Vec<WindowRow>,
    /// Column by column: a step is one index through all of them.
    steps: Columns,
}

#[derive(Serialize)]
struct MadeBy<'a> {
    version: &'static str,
    scenario: &'a str,
    note: &'a str,
    setup: &'a str,
    seed: u64,
}

#[derive(Serialize)]
struct WindowRow {
    id: u32,
    scenario: &'static str,
    let_go_utc: String,
    take_over_utc: String,
    /// The steady span.
    start_utc: String,
    end_utc: String,
    let_go_s: f64,
    take_over_s: f64,
    start_s: f64,
    end_s: f64,
    /// What the set-up does.
    steady_rate_deg_s: f64,
    /// What the aircraft did: heading change over time between the ends of the steady span.
    realised_rate_deg_s: f64,
    heading_change_deg: f64,
    airspeed_mps: f64,
    climb_mps: f64,
    wind_speed_mps: f64,
    wind_from_deg: f64,
}

#[derive(Serialize, Default)]
struct Columns {
    t_s: Vec<f64>,
    east_m: Vec<f64>,
    north_m: Vec<f64>,
    altitude_m: Vec<f64>,
    /// Unwrapped.
    heading_deg: Vec<f64>,
    turn_rate_deg_s: Vec<f64>,
    bank_deg: Vec<f64>,
    airspeed_mps: Vec<f64>,
    climb_mps: Vec<f64>,
    /// The motion of the air, without gusts.
    wind_east_mps: Vec<f64>,
    wind_north_mps: Vec<f64>,
    gust_east_mps: Vec<f64>,
    gust_north_mps: Vec<f64>,
    on_ground: Vec<u8>,
    hands_off: Vec<u8>,
}

pub(super) fn write(flight: &SimulatedFlight) -> String {
    let scenario = &flight.scenario;
    let truth = &flight.truth;
    let every = ((scenario.output.truth_interval_s / crate::STEP_S).round() as usize).max(1);
    let mut steps = Columns::default();
    truth.steps.iter().step_by(every).for_each(|step| steps.push(step));
    let file = TruthFile {
        schema: "driftless/truth/1",
        made_by: MadeBy {
            version: CREATOR,
            scenario: &scenario.name,
            note: &scenario.note,
            setup: &scenario.setup,
            seed: flight.seed,
        },
        start_utc: milliseconds(truth.epoch),
        windows: truth.windows.iter().map(|window| row(truth, window)).collect(),
        steps,
    };
    // Numbers and text only: writing them as JSON cannot fail.
    let mut text = serde_json::to_string(&file).unwrap_or_default();
    text.push('\n');
    // One line for each window and column, so that people and version control can read it.
    text.replace("\"windows\":[", "\n\"windows\":[\n").replace("},{\"id\"", "},\n{\"id\"").replace("],\"", "],\n\"")
}

fn row(truth: &Truth, window: &TruthWindow) -> WindowRow {
    let TruthWindow { start_s, end_s, .. } = *window;
    let mean = |value: fn(&TruthStep) -> f64| truth.mean_over(start_s, end_s, value);
    let (east_mps, north_mps) = (mean(|s| s.wind.east_mps), mean(|s| s.wind.north_mps));
    let from_deg = driftless_units::wrap_360_deg(libm::atan2(-east_mps, -north_mps).to_degrees());
    WindowRow {
        id: window.id,
        scenario: window.setting.name(),
        let_go_utc: milliseconds(truth.time_at(window.let_go_s)),
        take_over_utc: milliseconds(truth.time_at(window.take_over_s)),
        start_utc: milliseconds(truth.time_at(start_s)),
        end_utc: milliseconds(truth.time_at(end_s)),
        let_go_s: digits(window.let_go_s, 3),
        take_over_s: digits(window.take_over_s, 3),
        start_s: digits(start_s, 3),
        end_s: digits(end_s, 3),
        steady_rate_deg_s: digits(window.steady_rate.deg_s(), 5),
        realised_rate_deg_s: digits(truth.realised_rate(start_s, end_s).deg_s(), 5),
        heading_change_deg: digits((truth.heading_at(end_s) - truth.heading_at(start_s)).deg(), 3),
        airspeed_mps: digits(mean(|s| s.airspeed_mps), 3),
        climb_mps: digits(mean(|s| s.climb_mps), 3),
        wind_speed_mps: digits((east_mps * east_mps + north_mps * north_mps).sqrt(), 3),
        wind_from_deg: digits(from_deg, 2),
    }
}

impl Columns {
    fn push(&mut self, step: &TruthStep) {
        for (column, value, places) in [
            (&mut self.t_s, step.t_s, 3),
            (&mut self.east_m, step.position.east_m, 2),
            (&mut self.north_m, step.position.north_m, 2),
            (&mut self.altitude_m, step.altitude_m, 2),
            (&mut self.heading_deg, step.heading.deg(), 3),
            (&mut self.turn_rate_deg_s, step.turn_rate.deg_s(), 3),
            (&mut self.bank_deg, step.bank.deg(), 2),
            (&mut self.airspeed_mps, step.airspeed_mps, 3),
            (&mut self.climb_mps, step.climb_mps, 3),
            (&mut self.wind_east_mps, step.wind.east_mps, 3),
            (&mut self.wind_north_mps, step.wind.north_mps, 3),
            (&mut self.gust_east_mps, step.gust.east_mps, 3),
            (&mut self.gust_north_mps, step.gust.north_mps, 3),
        ] {
            column.push(digits(value, places));
        }
        self.on_ground.push(u8::from(step.on_ground));
        self.hands_off.push(u8::from(step.hands_off));
    }
}

/// Rounded to decimal places, so that the file stays small; never minus zero.
fn digits(value: f64, places: u32) -> f64 {
    let scale = f64::from(10_u32.pow(places));
    (value * scale).round() / scale + 0.0
}

fn milliseconds(time: DateTime<Utc>) -> String {
    time.to_rfc3339_opts(SecondsFormat::Millis, true)
}
