//! The whole-flight estimate on a reference flight: without windows, and again with them.

use criterion::{Criterion, criterion_group, criterion_main};
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::simulate;
use driftless_track::{TrackConfig, prepare};
use driftless_units::Wind;
use driftless_wind::flight::{StartGuess, SteadySpan, estimate, estimate_with_windows};
use std::hint::black_box;

fn whole_flight(c: &mut Criterion) {
    let options = Options { rate_hz: Some(10.0), ..Options::default() };
    let flight = simulate(&reference::flight(AirClass::Light, 1, &options), 1).expect("a reference flight flies");
    let track = prepare(&flight.to_log(), &TrackConfig::default()).expect("it has a track");
    let path = track.path();
    let shift_s = (track.epoch - flight.truth.time_at(0.0)).as_seconds_f64();
    let spans: Vec<SteadySpan> = flight
        .truth
        .windows
        .iter()
        .map(|w| SteadySpan { start_s: w.start_s - shift_s, end_s: w.end_s - 0.5 - shift_s })
        .collect();
    let start = StartGuess { wind: Wind::default(), airspeed_mps: 11.0 };
    let seconds = track.points.last().map_or(0.0, |p| p.t_s);
    c.bench_function(&format!("whole-flight estimate without windows, {seconds:.0} s at 10 Hz"), |b| {
        b.iter(|| estimate(black_box(&path), &[start]));
    });
    let free = estimate(&path, &[start]).expect("it can be estimated");
    c.bench_function(&format!("whole-flight estimate with its windows, {seconds:.0} s at 10 Hz"), |b| {
        b.iter(|| estimate_with_windows(black_box(&path), &free, black_box(&spans)));
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = whole_flight
}
criterion_main!(benches);
