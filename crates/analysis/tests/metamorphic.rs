//! The same flight elsewhere, at another time, mirrored, with its points doubled or in disorder: the same turn rates, for which no
//! truth has to be known (metamorphic testing, Chen et al. 1998, from memory).

use chrono::{DateTime, TimeDelta, Utc};
use driftless_analysis::{FlightAnalysis, FlightInput, FlightLog, analyse_flight};
use driftless_sim::reference::{AirClass, Options, flight};
use driftless_sim::simulate;
use driftless_track::{Fix, LocalFrame, Mark};
use driftless_units::{Ground, Position};

/// A tuning seed.
const SEED: u64 = 43;

/// What rounding of coordinates and sums in another order may move, °/s.
const ROUNDED_DEG_S: f64 = 1e-4;

/// How far the iteration may stop short of its end, °/s, where it goes another way to it.
const SETTLED_DEG_S: f64 = 0.01;

fn log() -> FlightLog {
    simulate(&flight(AirClass::Light, SEED, &Options::default()), SEED).expect("a reference flight flies").to_log()
}

fn analysed(log: FlightLog) -> FlightAnalysis {
    analyse_flight(log, FlightInput::default(), &mut |_| {}).expect("a track")
}

/// A log with every fix changed.
fn changed(log: &FlightLog, change: impl Fn(&Fix) -> Fix) -> FlightLog {
    FlightLog { fixes: log.fixes.iter().map(change).collect(), ..log.clone() }
}

/// A log with all its times moved.
fn at_another_time(log: &FlightLog, by: TimeDelta) -> FlightLog {
    let marks = log.marks.iter().map(|mark| Mark { time: mark.time + by, ..mark.clone() }).collect();
    FlightLog { marks, ..changed(log, |fix| Fix { time: fix.time + by, ..fix.clone() }) }
}

/// A log whose way over the ground is laid out somewhere else.
fn at_another_place(log: &FlightLog, lat_deg: f64, lon_deg: f64) -> FlightLog {
    let first = log.fixes.first().expect("fixes");
    let here = LocalFrame { lat_deg: first.lat_deg, lon_deg: first.lon_deg, altitude_m: 0.0 };
    let there = LocalFrame { lat_deg, lon_deg, ..here };
    changed(log, |fix| {
        let way: Position<Ground> = here.to_local(fix.lat_deg, fix.lon_deg);
        let place = there.to_geodetic(way);
        Fix { lat_deg: place.lat_deg, lon_deg: place.lon_deg, ..fix.clone() }
    })
}

/// Holds rates and their uncertainties against each other.
#[track_caller]
fn assert_same(one: &FlightAnalysis, other: &FlightAnalysis, sign: f64, within_deg_s: f64, what: &str) {
    assert!(!one.windows.is_empty());
    assert_eq!(one.windows.len(), other.windows.len(), "{what}");
    for (a, b) in one.windows.iter().zip(&other.windows) {
        let (rate_a, rate_b) = (a.turn_rate.expect("a rate"), b.turn_rate.expect("a rate"));
        let apart_deg_s = (rate_a.value.deg_s() - sign * rate_b.value.deg_s()).abs();
        assert!(apart_deg_s <= within_deg_s, "{what}, window {}: {apart_deg_s:e} °/s", a.window.id);
        let wider = rate_a.std_u.deg_s() / rate_b.std_u.deg_s() - 1.0;
        assert!(wider.abs() <= 5.0 * within_deg_s.max(1e-6), "{what}: uncertainty by {wider:e}");
        assert_eq!(a.accepted(), b.accepted(), "{what}");
    }
}

#[test]
fn another_day_another_rate_of_nothing() {
    let log = log();
    let flown = analysed(log.clone());
    let start = log.fixes.first().expect("fixes").time;
    let to = |time: &str| time.parse::<DateTime<Utc>>().expect("a time") - start;
    for (what, by) in [
        ("over midnight", to("2026-05-14T23:55:00Z")),
        ("into a leap day", to("2024-02-28T23:58:00Z")),
        ("over a new year", to("2025-12-31T23:59:30Z")),
        ("before 2000", to("1999-12-31T23:57:00Z")),
        ("by an odd millisecond", TimeDelta::milliseconds(86_400_123)),
    ] {
        assert_same(&flown, &analysed(at_another_time(&log, by)), 1.0, 1e-9, what);
    }
}

#[test]
fn another_place_changes_nothing() {
    let log = log();
    let lat_deg = log.fixes.first().expect("fixes").lat_deg;
    let flown = analysed(log.clone());
    // Along a parallel everything stays as it is; the antimeridian is crossed on the way.
    for lon_deg in [-75.3, 0.0, 179.999, -179.9995] {
        let elsewhere = analysed(at_another_place(&log, lat_deg, lon_deg));
        assert_same(&flown, &elsewhere, 1.0, ROUNDED_DEG_S, &format!("at {lon_deg}° of longitude"));
    }
    // Elsewhere the local frame is curved otherwise, by 1e-6 of a length for each kilometre and more towards the poles.
    for lat_deg in [-80.0, -45.0, 0.001, 60.0, 80.0] {
        let elsewhere = analysed(at_another_place(&log, lat_deg, 11.0));
        assert_same(&flown, &elsewhere, 1.0, SETTLED_DEG_S, &format!("at {lat_deg}° of latitude"));
    }
}

#[test]
fn a_mirror_turns_left_into_right() {
    let log = log();
    let flown = analysed(log.clone());
    let lon_deg = log.fixes.first().expect("fixes").lon_deg;
    let wrapped = |deg: f64| deg.rem_euclid(360.0);
    let east_for_west = changed(&log, |fix| Fix {
        lon_deg: 2.0 * lon_deg - fix.lon_deg,
        course_deg: fix.course_deg.get().map(|course| wrapped(-course)).into(),
        ..fix.clone()
    });
    assert_same(&flown, &analysed(east_for_west), -1.0, ROUNDED_DEG_S, "east for west");
    let south_for_north = changed(&log, |fix| Fix {
        lat_deg: -fix.lat_deg,
        course_deg: fix.course_deg.get().map(|course| wrapped(180.0 - course)).into(),
        ..fix.clone()
    });
    assert_same(&flown, &analysed(south_for_north), -1.0, ROUNDED_DEG_S, "south for north");
}

#[test]
fn doubled_points_count_once() {
    let log = log();
    let doubled = FlightLog {
        fixes: log.fixes.iter().flat_map(|fix| [fix.clone(), fix.clone()]).collect(),
        segment_starts: log.segment_starts.iter().map(|start| 2 * start).collect(),
        ..log.clone()
    };
    assert_same(&analysed(log), &analysed(doubled), 1.0, 0.0, "each point twice");
}

#[test]
fn points_in_disorder_are_put_in_order() {
    let log = log();
    let flown = analysed(log.clone());
    let backwards = FlightLog { fixes: log.fixes.iter().rev().cloned().collect(), ..log.clone() };
    assert_same(&flown, &analysed(backwards), 1.0, 0.0, "backwards");
    // A stride that has no factor with the number of points visits each once.
    let count = log.fixes.len();
    let stride = (count / 3..count).find(|stride| gcd(*stride, count) == 1).expect("a stride");
    let shuffled = (0..count).map(|n| log.fixes[n * stride % count].clone()).collect();
    assert_same(&flown, &analysed(FlightLog { fixes: shuffled, ..log }), 1.0, 0.0, "shuffled");
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}
