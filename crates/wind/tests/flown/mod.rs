//! A simulated flight as the estimate is given it.

use driftless_sim::SimulatedFlight;
use driftless_track::{TrackConfig, prepare};
use driftless_units::GroundPath;
use driftless_wind::flight::SteadySpan;

/// Its path, its windows as marked spans, and the time of the path's epoch on the clock of the truth, s.
pub(crate) fn path_and_spans(flight: &SimulatedFlight) -> (GroundPath, Vec<SteadySpan>, f64) {
    let track = prepare(&flight.to_log(), &TrackConfig::default()).expect("it has a track");
    let shift_s = (track.epoch - flight.truth.time_at(0.0)).as_seconds_f64();
    let span = |start_s, end_s| SteadySpan { start_s, end_s, marked: true };
    let windows = flight.truth.windows.iter();
    let spans = windows.map(|w| span(w.start_s - shift_s, w.end_s - 0.5 - shift_s)).collect();
    (track.path(), spans, shift_s)
}
