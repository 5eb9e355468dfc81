//! A flight analysis as CSV: one row for each window, units in the column names, empty cells for what is not known.
//!
//! Numbers are not rounded, times are UTC with milliseconds, right turns are positive. Each row names its log, the
//! log's SHA-256 and the version of the program, so that rows of many flights can be put together.

use crate::json::utc;
use crate::known::{bare_name, finite};
use crate::outlet::table;
use crate::reasons::plain_reasons;
use driftless_analysis::{FlightAnalysis, HandsOff, Origin, PowerSource, WindowMeasurement};
use driftless_units::{Estimate, TurnRate};

/// Whether the first line names the columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CsvHeader {
    /// It does: for the first log of a run.
    Yes,
    /// It does not: for the logs after it.
    No,
}

/// A column: its name and what stands in it.
type Column = (&'static str, fn(&FlightAnalysis, &WindowMeasurement) -> String);

/// Name and content side by side, so that they cannot come apart.
const COLUMNS: [Column; 44] = [
    ("file", |a, _| bare_name(&a.file).to_owned()),
    ("window", |_, w| w.window.id.to_string()),
    ("start_utc", |a, w| utc(a.track.time_at(w.window.start_s))),
    ("end_utc", |a, w| utc(a.track.time_at(w.window.end_s))),
    ("length_s", |_, w| number(Some(w.window.end_s - w.window.start_s))),
    ("let_go_utc", |a, w| utc(a.track.time_at(w.window.let_go_s))),
    ("take_over_utc", |a, w| utc(a.track.time_at(w.window.take_over_s))),
    ("origin", |_, w| origin(w.window.origin).to_owned()),
    ("hands_off", |_, w| hands_off(w.window.hands_off).to_owned()),
    ("scenario", |_, w| w.window.scenario.name().to_owned()),
    ("setup", |_, w| w.window.setup.clone().unwrap_or_default()),
    ("accepted", |_, w| w.accepted().to_string()),
    ("reasons", |_, w| plain_reasons(&w.verdict).join("; ")),
    ("turn_rate_deg_s", |_, w| value(w.turn_rate)),
    ("turn_rate_std_u_deg_s", |_, w| std_u(w.turn_rate)),
    ("turn_rate_low95_deg_s", |_, w| low95(w.turn_rate)),
    ("turn_rate_high95_deg_s", |_, w| high95(w.turn_rate)),
    ("steady_rate_deg_s", |_, w| value(w.steady_rate)),
    ("steady_rate_std_u_deg_s", |_, w| std_u(w.steady_rate)),
    ("steady_rate_low95_deg_s", |_, w| low95(w.steady_rate)),
    ("steady_rate_high95_deg_s", |_, w| high95(w.steady_rate)),
    ("circle_drift_rate_deg_s", |_, w| value(w.second_opinion.map(|o| o.turn_rate))),
    ("circle_drift_std_u_deg_s", |_, w| std_u(w.second_opinion.map(|o| o.turn_rate))),
    ("circle_drift_disagrees", |a, w| {
        w.second_opinion.map(|_| a.disagreement(w).is_some().to_string()).unwrap_or_default()
    }),
    ("course_rate_deg_s", |_, w| number(w.course_rate.map(TurnRate::deg_s))),
    ("heading_change_deg", |_, w| number(w.heading_change.map(|change| change.value.deg()))),
    ("seconds_per_90deg", |_, w| number(w.turn_rate.map(|rate| rate.value.seconds_per_90deg()))),
    ("turn_per_minute_deg", |_, w| number(w.turn_rate.map(|rate| rate.value.deg_min()))),
    ("airspeed_mps", |_, w| number(w.airspeed_mps.map(|speed| speed.value))),
    ("airspeed_std_u_mps", |_, w| number(w.airspeed_mps.map(|speed| speed.std_u))),
    ("ground_speed_mps", |_, w| number(Some(w.ground_speed_mps))),
    ("climb_mps", |_, w| number(w.climb_mps)),
    ("bank_deg", |_, w| number(w.bank.map(driftless_units::Angle::deg))),
    ("air_radius_m", |_, w| number(w.air_radius_m)),
    ("load_factor", |_, w| number(w.load_factor)),
    ("altitude_m", |_, w| number(w.altitude_m)),
    ("height_above_takeoff_m", |_, w| number(w.height_above_takeoff_m)),
    ("wind_speed_mps", |_, w| number(w.wind.map(driftless_units::Wind::speed_mps))),
    ("wind_from_deg", |_, w| number(w.wind.map(driftless_units::Wind::from_deg))),
    ("wind_std_u_mps", |_, w| number(w.wind_std_u_mps)),
    ("note", |_, w| w.window.note.clone().unwrap_or_default()),
    ("power_source", |_, w| PowerSource::of(&w.window).map_or("", PowerSource::name).to_owned()),
    ("input_sha256", |a, _| a.made_by.input_sha256.clone()),
    ("program_version", |a, _| a.made_by.version.clone()),
];

/// The rows of one flight.
///
/// # Errors
/// None that an analysis can cause; the writer's own error type is passed on rather than hidden.
pub fn csv(analysis: &FlightAnalysis, header: CsvHeader) -> Result<String, csv::Error> {
    let names = (header == CsvHeader::Yes).then(|| COLUMNS.iter().map(|(name, _)| (*name).to_owned()).collect());
    let row = |window| COLUMNS.iter().map(|(_, content)| content(analysis, window)).collect::<Vec<_>>();
    table(names.into_iter().chain(analysis.windows.iter().map(row)))
}

fn number(value: Option<f64>) -> String {
    value.and_then(finite).map(|known| known.to_string()).unwrap_or_default()
}

fn value(rate: Option<Estimate<TurnRate>>) -> String {
    number(rate.map(|r| r.value.deg_s()))
}

fn std_u(rate: Option<Estimate<TurnRate>>) -> String {
    number(rate.map(|r| r.std_u.deg_s()))
}

fn low95(rate: Option<Estimate<TurnRate>>) -> String {
    number(rate.map(|r| r.interval(0.95).low.deg_s()))
}

fn high95(rate: Option<Estimate<TurnRate>>) -> String {
    number(rate.map(|r| r.interval(0.95).high.deg_s()))
}

/// The names of the JSON document, so that both can be joined.
const fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Marked => "marked",
        Origin::Found => "found",
        Origin::Given => "given",
    }
}

const fn hands_off(hands_off: HandsOff) -> &'static str {
    match hands_off {
        HandsOff::Confirmed => "confirmed",
        HandsOff::Candidate => "candidate",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_sample::{round_flight as flight, round_flight_without_wind as flight_without_wind};

    fn read(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().unwrap().iter().map(str::to_owned).collect();
        let rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
        (header, rows)
    }

    fn cell<'a>(header: &[String], row: &'a [String], name: &str) -> &'a str {
        &row[header.iter().position(|column| column == name).expect(name)]
    }

    #[test]
    fn one_row_for_each_window() {
        let mut analysis = flight();
        analysis.windows[0].window.note = Some("smooth, \"no\" gusts\nsecond line".to_owned());
        let (header, rows) = read(&csv(&analysis, CsvHeader::Yes).unwrap());
        assert_eq!(rows.len(), 3);
        assert_eq!(cell(&header, &rows[0], "start_utc"), "2026-09-12T08:05:00.250Z");
        assert_eq!(cell(&header, &rows[0], "note"), "smooth, \"no\" gusts\nsecond line");
        assert_eq!(cell(&header, &rows[0], "length_s"), "60");
        assert_eq!(cell(&header, &rows[2], "accepted"), "false");
        assert_eq!(
            cell(&header, &rows[2], "reasons"),
            "too short: 12.0 s are left after 8.0 s for the transient, at least 20 s are needed"
        );
        let rate: f64 = cell(&header, &rows[0], "turn_rate_deg_s").parse().unwrap();
        assert!((rate - 3.04).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_known_is_an_empty_cell() {
        let (header, rows) = read(&csv(&flight_without_wind(), CsvHeader::Yes).unwrap());
        for name in ["turn_rate_deg_s", "steady_rate_high95_deg_s", "circle_drift_rate_deg_s", "wind_from_deg"] {
            assert_eq!(cell(&header, &rows[0], name), "", "{name}");
        }
    }

    #[test]
    fn logs_after_the_first_repeat_no_header() {
        let first = csv(&flight(), CsvHeader::Yes).unwrap();
        let later = csv(&flight(), CsvHeader::No).unwrap();
        assert_eq!(first.split_once('\n').unwrap().1, later);
    }

    #[test]
    fn names_are_those_of_the_json_document() {
        for origin_value in [Origin::Marked, Origin::Found, Origin::Given] {
            assert_eq!(serde_json::to_value(origin_value).unwrap(), origin(origin_value));
        }
        for hands_off_value in [HandsOff::Confirmed, HandsOff::Candidate] {
            assert_eq!(serde_json::to_value(hands_off_value).unwrap(), hands_off(hands_off_value));
        }
    }
}
