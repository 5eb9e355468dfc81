//! The windows of a flight as they are worked on: rows that somebody vouched for, each with what it measures, and steady
//! spans that nobody has vouched for.

use chrono::{DateTime, TimeDelta, Utc};
use driftless_analysis::{FlightAnalysis, HandsOff, Scenario, ScenarioBasis, WindowMeasurement};
use driftless_logbook::MarkRow;

/// Times of marks are kept to the millisecond; the track counts seconds.
const SAME_S: f64 = 0.01;

/// The rows that count: as corrected, else those of the log or the marks file given.
pub(crate) fn rows(corrected: Option<Vec<MarkRow>>, analysis: &FlightAnalysis) -> Vec<MarkRow> {
    corrected.unwrap_or_else(|| {
        let confirmed = analysis.windows.iter().filter(|w| w.window.hands_off == HandsOff::Confirmed);
        confirmed.map(|measured| row_of(analysis, measured)).collect()
    })
}

/// A window as a row of marks; a scenario that was only told by the program stays its own affair.
pub(crate) fn row_of(analysis: &FlightAnalysis, measured: &WindowMeasurement) -> MarkRow {
    let window = &measured.window;
    let named = window.scenario_basis == ScenarioBasis::Marked && window.scenario != Scenario::Unclassified;
    MarkRow {
        let_go: moment(analysis, window.let_go_s),
        take_over: moment(analysis, window.take_over_s),
        scenario: named.then_some(window.scenario),
        setup: window.setup.clone(),
        note: window.note.clone(),
    }
}

/// A time of the track as a moment, to the millisecond.
pub(crate) fn moment(analysis: &FlightAnalysis, t_s: f64) -> DateTime<Utc> {
    let exact = analysis.track.time_at(t_s);
    let off = exact.timestamp_subsec_micros() % 1000;
    exact - TimeDelta::microseconds(i64::from(off)) + TimeDelta::milliseconds(i64::from(off >= 500))
}

/// What the analysis measured in a row; `None` where it could not use it.
pub(crate) fn measured<'a>(analysis: &'a FlightAnalysis, row: &MarkRow) -> Option<&'a WindowMeasurement> {
    let (track, last_s) = (&analysis.track, analysis.track.duration_s());
    let near = |a: f64, b: f64| (a - b).abs() < SAME_S;
    let (let_go_s, take_over_s) = (track.seconds_of(row.let_go).max(0.0), track.seconds_of(row.take_over).min(last_s));
    analysis.windows.iter().find(|w| near(w.window.let_go_s, let_go_s) && near(w.window.take_over_s, take_over_s))
}

/// Steady spans that no row touches.
pub(crate) fn candidates<'a>(found: &'a FlightAnalysis, rows: &[MarkRow]) -> Vec<&'a WindowMeasurement> {
    let touched = |w: &WindowMeasurement| {
        let (from, to) = (moment(found, w.window.let_go_s), moment(found, w.window.take_over_s));
        rows.iter().any(|row| row.let_go < to && from < row.take_over)
    };
    found.windows.iter().filter(|w| w.window.hands_off == HandsOff::Candidate && !touched(w)).collect()
}
