use super::*;
use crate::testing::{track, window};

/// Five minutes from take-off at 20 s to landing at 280 s, at heights above sea level by time.
fn flown(altitude_m: impl Fn(f64) -> Option<f64>) -> Track {
    let mut track = Track { takeoff_s: Some(20.0), landing_s: Some(280.0), ..track(300) };
    for point in &mut track.points {
        point.altitude_m = altitude_m(point.t_s).into();
    }
    track
}

fn found(track: &Track, from_s: f64, to_s: f64, height_above_takeoff_m: Option<f64>) -> Option<&'static str> {
    let finding = near_ground(&window(from_s, to_s), track, height_above_takeoff_m, &Limits::default());
    assert!(finding.as_ref().is_none_or(|f| f.near_ground() && !f.refuses()), "{finding:?}");
    finding.map(|f| f.code())
}

#[test]
fn derived_without_altitude_the_time_since_take_off_and_to_landing_tells() {
    let track = flown(|_| None);
    assert_eq!(found(&track, 40.0, 75.0, None), Some("just-after-take-off"));
    assert_eq!(found(&track, 100.0, 200.0, None), None);
    assert_eq!(found(&track, 180.0, 240.0, None), Some("just-before-landing"));
}

#[test]
fn derived_a_landing_place_higher_than_the_take_off_counts() {
    // It landed 400 m above its take-off, from a level flight 500 m above it.
    let track = flown(|t_s| Some(if t_s < 200.0 { 900.0 } else { 800.0 }));
    assert_eq!(found(&track, 100.0, 150.0, Some(500.0)), Some("low-over-landing"));
    let high = flown(|t_s| Some(if t_s < 200.0 { 1200.0 } else { 800.0 }));
    assert_eq!(found(&high, 100.0, 150.0, Some(800.0)), None);
}

#[test]
fn derived_the_height_above_take_off_is_said_first() {
    let track = flown(|_| Some(500.0));
    assert_eq!(found(&track, 40.0, 75.0, Some(80.0)), Some("flown-low"));
    assert_eq!(found(&track, 40.0, 75.0, Some(-20.0)), Some("below-take-off"));
}

#[test]
fn derived_a_log_that_begins_and_ends_in_the_air_says_nothing() {
    let track = Track { takeoff_s: None, landing_s: None, ..flown(|_| None) };
    assert_eq!(found(&track, 1.0, 40.0, None), None);
}
