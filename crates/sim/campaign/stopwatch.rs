//! What somebody with a stopwatch would have read on simulated flights.

use crate::SimulatedFlight;
use crate::noise::{Source, Stream};
use driftless_track::Scenario as Setting;

/// One timed run.
#[derive(Debug, Clone, PartialEq)]
pub struct TimedRun {
    /// Number of the window in the flight.
    pub window: u32,
    /// Power setting.
    pub setting: Setting,
    /// Angle, degrees.
    pub degrees: f64,
    /// Reading of the watch, seconds, to a tenth.
    pub seconds: f64,
    /// Turned to the right.
    pub to_the_right: bool,
}

/// Errors of the person: standard deviations of the reading, s, and of the angle past landmarks, degrees.
const READING_S: f64 = 0.3;
const POINTING_DEG: f64 = 5.0;

/// A quarter turn timed in each window that turns by one; windows that do not are left out, as people do.
///
/// The watch starts at the beginning of the steady span. What it shows is the time in which the heading really changed
/// by 90° and the error of judging the landmarks, with the error of the thumb on top.
pub fn timed_runs(flight: &SimulatedFlight) -> Vec<TimedRun> {
    const DEGREES: f64 = 90.0;
    let mut noise = Stream::new(flight.seed, Source::Stopwatch);
    let truth = &flight.truth;
    let mut runs = Vec::new();
    for window in &truth.windows {
        let (pointing_deg, reading_s) = (POINTING_DEG * noise.normal(), READING_S * noise.normal());
        let from = truth.heading_at(window.start_s);
        let turned = |t_s: f64| (truth.heading_at(t_s) - from).deg();
        let steps = ((window.end_s - window.start_s) / crate::STEP_S) as usize;
        let passed = (0..=steps)
            .map(|i| window.start_s + i as f64 * crate::STEP_S)
            .find(|t_s| turned(*t_s).abs() >= DEGREES + pointing_deg);
        let Some(end_s) = passed else { continue };
        runs.push(TimedRun {
            window: window.id,
            setting: window.setting,
            degrees: DEGREES,
            seconds: ((end_s - window.start_s + reading_s) * 10.0).round() / 10.0,
            to_the_right: turned(end_s) > 0.0,
        });
    }
    runs
}
