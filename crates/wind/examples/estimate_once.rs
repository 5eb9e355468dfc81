//! One whole-flight estimate, for an instruction count or a profile: a simulated flight, without windows and with them.
//!
//! `valgrind --tool=callgrind --toggle-collect='driftless_wind::flight::estimate*' target/release/examples/estimate_once`

use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::simulate;
use driftless_track::{TrackConfig, prepare};
use driftless_units::Wind;
use driftless_wind::flight::{EstimateError, StartGuess, SteadySpan, estimate, estimate_with_windows};

fn main() -> Result<(), EstimateError> {
    let flight = simulate(&reference::flight(AirClass::Light, 1, &Options::default()), 1).expect("it flies");
    let track = prepare(&flight.to_log(), &TrackConfig::default()).expect("it has a track");
    let path = track.path();
    let shift_s = (track.epoch - flight.truth.time_at(0.0)).as_seconds_f64();
    let windows = flight.truth.windows.iter();
    let spans: Vec<SteadySpan> = windows
        .map(|w| SteadySpan { start_s: w.start_s - shift_s, end_s: w.end_s - 0.5 - shift_s, marked: true })
        .collect();
    let free = estimate(&path, &[StartGuess { wind: Wind::default(), airspeed_mps: 11.0 }])?;
    let known = estimate_with_windows(&path, &free, &spans)?;
    let turned_deg: Vec<f64> = known.turns.iter().map(|(_, turn)| turn.heading_change.value.deg()).collect();
    std::hint::black_box(turned_deg);
    Ok(())
}
