use super::*;
use crate::testing::{nodes, point, signals, span, track};

fn named(climb_mps: f64, airspeed_mps: f64, power: Option<Power>) -> Scenario {
    classify(&Signs { climb_mps, airspeed_mps, trim_airspeed_mps: Some(10.0), power }, &Limits::default())
}

#[test]
fn climb_and_airspeed_tell_the_scenario() {
    assert_eq!(named(0.1, 10.2, None), Scenario::TrimLevel);
    assert_eq!(named(-0.2, 12.0, None), Scenario::AcceleratedLevel);
    assert_eq!(named(2.0, 10.2, None), Scenario::FullPowerClimb);
    assert_eq!(named(-1.5, 10.2, None), Scenario::PowerOffGlide);
}

#[test]
fn between_the_limits_nothing_is_claimed() {
    assert_eq!(named(0.65, 10.0, None), Scenario::Unclassified);
    assert_eq!(named(-0.65, 10.0, None), Scenario::Unclassified);
    assert_eq!(named(0.0, 10.8, None), Scenario::Unclassified);
    let signs = Signs { climb_mps: 0.0, airspeed_mps: 10.0, trim_airspeed_mps: None, power: None };
    assert_eq!(classify(&signs, &Limits::default()), Scenario::Unclassified);
}

#[test]
fn an_engine_record_that_contradicts_leaves_it_unclassified() {
    assert_eq!(named(-1.5, 10.2, Some(Power::Part)), Scenario::Unclassified);
    assert_eq!(named(2.0, 10.2, Some(Power::Part)), Scenario::Unclassified);
    assert_eq!(named(0.0, 10.0, Some(Power::Off)), Scenario::Unclassified);
    assert_eq!(named(-1.5, 10.2, Some(Power::Off)), Scenario::PowerOffGlide);
    assert_eq!(named(2.0, 10.2, Some(Power::On)), Scenario::FullPowerClimb);
}

#[test]
fn the_flights_own_slow_level_windows_set_the_trim_airspeed() {
    let state = |t_s: f64| [2.0, if t_s < 200.0 { 11.0 } else { 13.2 }, 0.0];
    let spans = vec![span(20.0, 90.0), span(110.0, 180.0), span(220.0, 290.0)];
    let windows = name_scenarios(spans, &track(300), &signals(300, state), &Limits::default());
    assert_eq!(windows.iter().map(|w| w.id).collect::<Vec<_>>(), [1, 2, 3]);
    let names: Vec<Scenario> = windows.iter().map(|w| w.scenario).collect();
    assert_eq!(names, [Scenario::TrimLevel, Scenario::TrimLevel, Scenario::AcceleratedLevel]);
}

#[test]
fn a_name_given_is_kept_and_sets_the_trim_airspeed() {
    let state = |t_s: f64| [2.0, if t_s < 200.0 { 11.0 } else { 13.2 }, 0.0];
    let mut trim = span(220.0, 290.0);
    trim.whole.scenario = Some(Scenario::TrimLevel);
    let spans = vec![span(20.0, 90.0), trim];
    let windows = name_scenarios(spans, &track(300), &signals(300, state), &Limits::default());
    // Slower than the trim somebody named: as far as airspeed tells, still trim.
    assert_eq!(windows.iter().map(|w| w.scenario).collect::<Vec<_>>(), [Scenario::TrimLevel; 2]);
}

#[test]
fn engine_noise_tells_a_glide_from_a_powered_descent() {
    let noisy = |from_s: f64| {
        let points: Vec<TrackPoint> = (0..=300)
            .map(|k| TrackPoint {
                engine_noise: (if f64::from(k) < from_s { 800.0 } else { 20.0 }).into(),
                ..point(f64::from(k))
            })
            .collect();
        let track = Track { points, ..track(300) };
        let signals = Signals::new(&track, &nodes(300, |_| [2.0, 10.5, -1.6]));
        name_scenarios(vec![span(150.0, 250.0)], &track, &signals, &Limits::default())[0].scenario
    };
    assert_eq!(noisy(100.0), Scenario::PowerOffGlide);
    assert_eq!(noisy(280.0), Scenario::Unclassified);
}

/// A name that somebody gave, one that the engine's record bears out, and one by climb alone.
#[test]
fn derived_a_scenario_says_what_it_was_told_by() {
    let climbing = |_: f64| [2.0, 11.0, 2.0];
    let basis = |spans: Vec<WindowSpan>, rpm: Option<f64>| {
        let mut track = track(300);
        track.points.iter_mut().for_each(|point| point.engine_rpm = rpm.into());
        let windows = name_scenarios(spans, &track, &signals(300, climbing), &Limits::default());
        (windows[0].scenario, windows[0].scenario_basis)
    };
    let mut given = span(20.0, 90.0);
    given.whole.scenario = Some(Scenario::FullPowerClimb);
    assert_eq!(basis(vec![given], None).1, ScenarioBasis::Marked);
    assert_eq!(basis(vec![span(20.0, 90.0)], None), (Scenario::FullPowerClimb, ScenarioBasis::ClimbOnly));
    // At the flight's top speed: full power, which bears the climb out; at three quarters of it nothing is claimed.
    assert_eq!(basis(vec![span(20.0, 90.0)], Some(9000.0)), (Scenario::FullPowerClimb, ScenarioBasis::Rpm));
    let mut track = track(300);
    let rpm = |t_s: f64| if t_s < 100.0 { 6000.0 } else { 8000.0 };
    track.points.iter_mut().for_each(|point| point.engine_rpm = rpm(point.t_s).into());
    let windows = name_scenarios(vec![span(20.0, 90.0)], &track, &signals(300, climbing), &Limits::default());
    assert_eq!(windows[0].scenario, Scenario::Unclassified);
}

/// Climb, level and glide look alike in a log without altitudes.
#[test]
fn regression_without_altitudes_no_scenario_is_told_but_the_one_that_was_given() {
    let mut nodes = nodes(300, |_| [2.0, 11.0, 0.0]);
    for node in &mut nodes {
        node.climb_mps = None;
    }
    let mut given = span(220.0, 290.0);
    given.whole.scenario = Some(Scenario::PowerOffGlide);
    let signals = Signals::new(&track(300), &nodes);
    let windows = name_scenarios(vec![span(20.0, 90.0), given], &track(300), &signals, &Limits::default());
    let names: Vec<Scenario> = windows.iter().map(|w| w.scenario).collect();
    assert_eq!(names, [Scenario::Unclassified, Scenario::PowerOffGlide]);
}
