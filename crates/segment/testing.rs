//! Synthetic tracks and estimates for the tests of this crate.

use crate::{HandsOffSpan, Origin, Signals, Window, WindowSpan};
use chrono::{DateTime, Utc};
use driftless_track::{LocalFrame, Mark, OptionalF64, Scenario, SourceRef, Track, TrackPoint, VelocitySource};
use driftless_units::{Angle, Estimate, Ground, Position, TurnRate, Velocity, Wind};
use driftless_wind::flight::Node;

/// Time zero of every synthetic track.
pub(crate) fn epoch() -> DateTime<Utc> {
    DateTime::from_timestamp(1_780_000_000, 0).expect("a valid time")
}

/// A point with nothing recorded but its time and altitude.
pub(crate) fn point(t_s: f64) -> TrackPoint {
    TrackPoint {
        t_s,
        position: Position::new(10.0 * t_s, 0.0),
        altitude_m: 800.0.into(),
        velocity: Velocity::<Ground>::new(10.0, 0.0),
        velocity_source: VelocitySource::Positions,
        heading_true_deg: OptionalF64::NONE,
        heading_magnetic_deg: OptionalF64::NONE,
        true_airspeed_mps: OptionalF64::NONE,
        engine_rpm: OptionalF64::NONE,
        engine_noise: OptionalF64::NONE,
        fix_index: 0,
    }
}

/// One point a second for a time, all in the air.
pub(crate) fn track(length_s: u32) -> Track {
    Track {
        epoch: epoch(),
        frame: LocalFrame { lat_deg: 47.0, lon_deg: 11.0, altitude_m: 800.0 },
        points: (0..=length_s).map(|k| point(f64::from(k))).collect(),
        gaps: Vec::new(),
        marks: Vec::new(),
        flights: vec![driftless_track::Airborne::default()],
        takeoff_s: None,
        landing_s: None,
        takeoff_altitude_m: None,
        median_interval_s: 1.0,
        rounding_m: 0.0,
        problems: Vec::new(),
    }
}

/// A mark with words at a time.
pub(crate) fn mark(t_s: i64, text: &str) -> Mark {
    Mark::from_text(epoch() + chrono::TimeDelta::seconds(t_s), text, SourceRef { line: 7, byte: 99 })
}

/// One node a second with turn rate (°/s), airspeed and climb (m/s) as given for its time, known to 0.1 in each.
pub(crate) fn nodes(length_s: u32, state: impl Fn(f64) -> [f64; 3]) -> Vec<Node> {
    let mut heading_deg = 0.0;
    (0..=length_s)
        .map(|k| {
            let t_s = f64::from(k);
            let [rate_deg_s, airspeed_mps, climb_mps] = state(t_s);
            heading_deg += rate_deg_s;
            Node {
                t_s,
                altitude_m: Some(800.0),
                air_position: Position::new(0.0, 0.0),
                wind: Wind::default(),
                wind_cov: [0.04, 0.0, 0.04],
                airspeed_mps: Estimate::new(airspeed_mps, 0.1),
                heading: Estimate::new(Angle::from_deg(heading_deg), Angle::from_deg(1.0)),
                turn_rate: Estimate::new(TurnRate::from_deg_s(rate_deg_s), TurnRate::from_deg_s(0.1)),
                climb_mps: Some(climb_mps),
            }
        })
        .collect()
}

/// Signals of a flight in the air throughout.
pub(crate) fn signals(length_s: u32, state: impl Fn(f64) -> [f64; 3]) -> Signals {
    Signals::new(&track(length_s), &nodes(length_s, state))
}

/// A repeatable wiggle within ±1 that no average of a few seconds removes and every average of many does.
pub(crate) fn wiggle(t_s: f64) -> f64 {
    0.5 * ((0.9 * t_s).sin() + (2.3 * t_s + 1.0).sin())
}

/// A marked span whose steady part is `start_s..end_s`.
pub(crate) fn span(start_s: f64, end_s: f64) -> WindowSpan {
    let whole = HandsOffSpan {
        let_go_s: start_s - 8.0,
        take_over_s: end_s + 1.0,
        origin: Origin::Marked,
        scenario: None,
        setup: None,
        note: None,
    };
    WindowSpan { whole, start_s, end_s }
}

/// The window of it.
pub(crate) fn window(start_s: f64, end_s: f64) -> Window {
    span(start_s, end_s).into_window(1, Scenario::Unclassified, crate::ScenarioBasis::ClimbOnly)
}
