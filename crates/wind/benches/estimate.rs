//! The whole-flight estimate: on a reference flight, and on flights of 1, 4 and nearly 12 hours (the longest that is simulated); without windows, and again with them.

use criterion::{Criterion, criterion_group, criterion_main};
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::scenario::{Leg, Scenario};
use driftless_sim::{SimulatedFlight, simulate};
use driftless_track::{TrackConfig, prepare};
use driftless_units::{GroundPath, Wind};
use driftless_wind::flight::{StartGuess, SteadySpan, estimate, estimate_with_windows};
use std::hint::black_box;

/// Where all of them start.
const START: StartGuess = StartGuess { wind: Wind::new(0.0, 0.0), airspeed_mps: 11.0 };

/// The path of a flight, the steady spans of its windows, and how long it is, s.
fn flown(flight: &SimulatedFlight) -> (GroundPath, Vec<SteadySpan>, f64) {
    let track = prepare(&flight.to_log(), &TrackConfig::default()).expect("it has a track");
    let shift_s = (track.epoch - flight.truth.time_at(0.0)).as_seconds_f64();
    let windows = flight.truth.windows.iter();
    let spans = windows.map(|w| SteadySpan { start_s: w.start_s - shift_s, end_s: w.end_s - 0.5 - shift_s }).collect();
    (track.path(), spans, track.points.last().map_or(0.0, |p| p.t_s))
}

fn whole_flight(c: &mut Criterion) {
    let options = Options { rate_hz: Some(10.0), ..Options::default() };
    let flight = simulate(&reference::flight(AirClass::Light, 1, &options), 1).expect("a reference flight flies");
    let (path, spans, seconds) = flown(&flight);
    c.bench_function(&format!("whole-flight estimate without windows, {seconds:.0} s at 10 Hz"), |b| {
        b.iter(|| estimate(black_box(&path), &[START]));
    });
    let free = estimate(&path, &[START]).expect("it can be estimated");
    c.bench_function(&format!("whole-flight estimate with its windows, {seconds:.0} s at 10 Hz"), |b| {
        b.iter(|| estimate_with_windows(black_box(&path), &free, black_box(&spans)));
    });
}

/// A calm flight of about so many hours at one fix a second: straight and hands off in turn, with a turn between.
fn long_flight(hours: f64) -> SimulatedFlight {
    /// A round of legs, s: straight, hands off, straight, hands off, and a turn.
    const ROUND_S: f64 = 380.0;
    let text = include_str!("../../../demo-tracks/meadow-light-wind.toml");
    let mut scenario = Scenario::from_toml(text).expect("a demo flight is sound");
    let middle = scenario.legs.iter().position(|leg| matches!(leg, Leg::HandsOff { .. })).expect("it has windows");
    let landing = scenario.legs.len() - 4;
    let middle: Vec<Leg> = scenario.legs.splice(middle..landing, []).collect();
    let at = scenario.legs.len() - 4;
    let rounds = (3600.0 * hours / ROUND_S).floor() as usize - 1;
    scenario.legs.splice(at..at, std::iter::repeat_n(middle, rounds).flatten());
    simulate(&scenario, scenario.seed).expect("a long flight flies")
}

fn long_flights(c: &mut Criterion) {
    for hours in [1.0, 4.0, 11.5] {
        let (path, spans, seconds) = flown(&long_flight(hours));
        c.bench_function(&format!("whole-flight estimate, {seconds:.0} s at 1 Hz, with its windows"), |b| {
            b.iter(|| {
                let free = estimate(black_box(&path), &[START])?;
                estimate_with_windows(&path, &free, black_box(&spans))
            });
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = whole_flight
}
criterion_group! {
    name = long;
    config = Criterion::default().sample_size(10);
    targets = long_flights
}
criterion_main!(benches, long);
