//! The whole-flight estimate: on a reference flight, and on flights of 1, 4 and nearly 12 hours (the longest that is simulated); without windows, and again with them.

use criterion::{Criterion, criterion_group, criterion_main};
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::scenario::Scenario;
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
    let spans = windows
        .map(|w| SteadySpan { start_s: w.start_s - shift_s, end_s: w.end_s - 0.5 - shift_s, marked: true })
        .collect();
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

/// A round of a long flight: straight and hands off in two power settings, level, with a turn.
const ROUND: &str = r#"
do = "straight"
seconds = 150
setting = "trim-level"
[[flight]]
do = "hands-off"
seconds = 65
[[flight]]
do = "straight"
seconds = 105
setting = "accelerated-level"
[[flight]]
do = "hands-off"
seconds = 60
[[flight]]
do = "turn"
by_deg = 95
rate_deg_s = 8.0
setting = "trim-level"
[[flight]]
do = "straight"
seconds = 60
"#;
/// How long a round takes, s, and take-off, circles and landing together.
const ROUND_S: f64 = 452.0;
const ENDS_S: f64 = 600.0;

/// A calm flight of about so many hours at one fix a second: the ends of a demo flight, and rounds between them.
fn long_flight(hours: f64) -> SimulatedFlight {
    /// Legs of the demo flight before its windows, and those of its landing.
    const BEFORE: usize = 9;
    const LANDING: usize = 4;
    const LEG: &str = "[[flight]]";
    let text = include_str!("../../../demo-tracks/meadow-light-wind.toml");
    let (head, legs) = text.split_once(LEG).expect("it has legs");
    let legs: Vec<&str> = legs.split(LEG).collect();
    let rounds = ((3600.0 * hours - ENDS_S) / ROUND_S).round() as usize;
    let (before, landing) = (&legs[..BEFORE], &legs[legs.len() - LANDING..]);
    let all = before.iter().copied().chain(std::iter::repeat_n(ROUND, rounds)).chain(landing.iter().copied());
    let text = all.fold(head.to_owned(), |text, leg| text + LEG + leg);
    let scenario = Scenario::from_toml(&text).expect("a long flight is sound");
    simulate(&scenario, scenario.seed).expect("a long flight flies")
}

fn long_flights(c: &mut Criterion) {
    for hours in [1.0, 4.0, 11.0] {
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
