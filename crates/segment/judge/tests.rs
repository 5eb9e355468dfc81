use super::*;
use crate::testing::{nodes, signals, track, wiggle, window};

fn steady(t_s: f64) -> [f64; 3] {
    [3.0 + 0.3 * wiggle(t_s), 10.5, 0.1]
}

fn good_rate() -> Option<Estimate<TurnRate>> {
    Some(Estimate::new(TurnRate::from_deg_s(3.0), TurnRate::from_deg_s(0.05)))
}

/// The verdict on a window of a flight that is `state` over time, on a track, with evidence changed by `change`.
fn verdict(
    window: Window,
    track: &Track,
    state: impl Fn(f64) -> [f64; 3],
    change: impl Fn(&mut Evidence<'_>),
) -> Window {
    let signals = Signals::new(track, &nodes(300, state));
    let mut evidence = Evidence {
        track,
        free: &signals,
        with_windows: &signals,
        turn_rate: good_rate(),
        wind_std_u_mps: Some(0.2),
        wind_unknown: None,
        height_above_takeoff_m: Some(300.0),
    };
    change(&mut evidence);
    let mut window = window;
    judge(&mut window, &evidence, &Limits::default());
    window
}

fn refused_for(window: &Window, words: &[&str]) {
    assert!(!window.accepted, "{:?}", window.reasons);
    assert_eq!(window.reasons.len(), 1, "{:?}", window.reasons);
    for word in words {
        assert!(window.reasons[0].contains(word), "\"{word}\" in {:?}", window.reasons);
    }
}

#[test]
fn a_good_window_is_accepted_without_a_word() {
    let judged = verdict(window(100.0, 150.0), &track(300), steady, |_| {});
    assert!(judged.accepted);
    assert!(judged.reasons.is_empty(), "{:?}", judged.reasons);
    assert!(looks_steady(&judged, &track(300), &signals(300, steady), &signals(300, steady), &Limits::default()));
}

#[test]
fn a_short_window_is_refused_with_its_length() {
    let judged = verdict(window(100.0, 114.0), &track(300), steady, |_| {});
    refused_for(&judged, &["too short", "14.0 s", "needs 20 s"]);
}

#[test]
fn regression_a_window_that_does_not_move_is_refused_as_on_the_ground() {
    let mut standing = track(300);
    for p in &mut standing.points {
        // A receiver that lies still, wandering by 3 m.
        (p.position.east_m, p.position.north_m) = (3.0 * wiggle(0.1 * p.t_s), 3.0 * wiggle(0.1 * p.t_s + 9.0));
    }
    let judged = verdict(window(100.0, 150.0), &standing, steady, |_| {});
    refused_for(&judged, &["does not move", "for 50 s", "at least 25 m"]);
    assert!(!looks_steady(&judged, &standing, &signals(300, steady), &signals(300, steady), &Limits::default()));
    // Climbing on the spot, in a wind as fast as the wing, is flight.
    let climbing = |t_s: f64| [steady(t_s)[0], 10.5, 1.5];
    assert!(verdict(window(100.0, 150.0), &standing, climbing, |_| {}).accepted);
}

#[test]
fn a_gap_is_refused_with_its_length() {
    let mut torn = track(300);
    torn.points.retain(|p| p.t_s < 120.0 || p.t_s > 131.0);
    let judged = verdict(window(100.0, 150.0), &torn, steady, |_| {});
    refused_for(&judged, &["gap in the log", "13.0 s", "limit 5.0 s"]);
    assert!(!looks_steady(&judged, &torn, &signals(300, steady), &signals(300, steady), &Limits::default()));
}

#[test]
fn a_window_over_the_ground_is_refused() {
    let flown = Track { takeoff_s: Some(110.0), landing_s: Some(240.0), ..track(300) };
    refused_for(&verdict(window(100.0, 150.0), &flown, steady, |_| {}), &["10 s before take-off"]);
    refused_for(&verdict(window(200.0, 250.0), &flown, steady, |_| {}), &["10 s after landing"]);
}

#[test]
fn a_changing_turn_rate_is_refused_with_the_change() {
    let winding_up = |t_s: f64| [3.0 + 0.06 * (t_s - 125.0) + 0.3 * wiggle(t_s), 10.5, 0.1];
    let judged = verdict(window(100.0, 150.0), &track(300), winding_up, |_| {});
    refused_for(&judged, &["turn rate still changing", "+3.0", "limit 1.5 °/s"]);
}

#[test]
fn an_unsteady_airspeed_or_climb_is_refused_with_the_figure() {
    let faster = |t_s: f64| [3.0, 10.5 + 0.05 * (t_s - 100.0), 0.1];
    refused_for(
        &verdict(window(100.0, 150.0), &track(300), faster, |_| {}),
        &["airspeed not steady", "+2.5", "1.5 m/s"],
    );
    let climbing = |t_s: f64| [3.0, 10.5, 0.04 * (t_s - 100.0)];
    refused_for(
        &verdict(window(100.0, 150.0), &track(300), climbing, |_| {}),
        &["climb not steady", "+2.0", "1.2 m/s"],
    );
    let porpoising = |t_s: f64| [3.0, 10.5, 2.0 * (0.8 * t_s).sin()];
    refused_for(
        &verdict(window(100.0, 150.0), &track(300), porpoising, |_| {}),
        &["climb not steady", "scatters by 1.4"],
    );
}

#[test]
fn a_drift_that_may_be_chance_is_not_held_against_a_window() {
    // The estimate knows airspeed to 0.1 m/s only at each end, and a change of 1.6 m/s over a wild scatter may be none.
    let gusty = |t_s: f64| [3.0, 10.5 + 0.032 * (t_s - 125.0) + 1.1 * (0.2 * t_s).cos(), 0.1];
    let judged = verdict(window(100.0, 150.0), &track(300), gusty, |_| {});
    assert!(judged.accepted, "{:?}", judged.reasons);
}

#[test]
fn a_turn_inside_is_put_down_to_the_pilot() {
    let steered = |t_s: f64| [if (122.0..128.0).contains(&t_s) { 12.0 } else { 3.0 } + 0.2 * wiggle(t_s), 10.5, 0.1];
    let judged = verdict(window(100.0, 150.0), &track(300), steered, |_| {});
    refused_for(&judged, &["pilot input likely", "limit 6.0 °/s"]);
}

#[test]
fn a_fast_steady_turn_is_flown_unless_somebody_vouches_for_it() {
    let orbit = |t_s: f64| [11.0 + 0.3 * wiggle(t_s), 10.5, 0.1];
    assert!(verdict(window(100.0, 150.0), &track(300), orbit, |_| {}).accepted);
    let found = Window { hands_off: HandsOff::Candidate, origin: crate::Origin::Found, ..window(100.0, 150.0) };
    refused_for(&verdict(found, &track(300), orbit, |_| {}), &["+11.0 °/s", "taken as flown"]);
}

#[test]
fn an_unknown_wind_is_refused_with_the_figure_or_the_reason() {
    let judge_with = |change: fn(&mut Evidence<'_>)| verdict(window(100.0, 150.0), &track(300), steady, change);
    refused_for(
        &judge_with(|e| e.wind_std_u_mps = Some(1.4)),
        &["wind not known well enough", "1.4 m/s", "limit 1.0 m/s"],
    );
    refused_for(&judge_with(|e| e.wind_std_u_mps = None), &["wind not known"]);
    let why =
        |e: &mut Evidence<'_>| (e.wind_unknown, e.turn_rate, e.wind_std_u_mps) = (Some("one heading only"), None, None);
    refused_for(&judge_with(why), &["wind not known: one heading only"]);
}

#[test]
fn a_rate_that_is_not_known_is_refused_with_the_figure() {
    let judge_with = |change: fn(&mut Evidence<'_>)| verdict(window(100.0, 150.0), &track(300), steady, change);
    let vague = |e: &mut Evidence<'_>| {
        e.turn_rate = Some(Estimate::new(TurnRate::from_deg_s(3.0), TurnRate::from_deg_s(0.8)));
    };
    refused_for(&judge_with(vague), &["turn rate not known well enough", "0.80 °/s", "limit 0.50 °/s"]);
    refused_for(&judge_with(|e| e.turn_rate = None), &["could not be measured"]);
}

#[test]
fn low_height_is_a_caution_that_refuses_nothing() {
    let judged = verdict(window(100.0, 150.0), &track(300), steady, |e| e.height_above_takeoff_m = Some(80.0));
    assert!(judged.accepted);
    assert_eq!(judged.reasons, ["caution, flown low: 80 m above take-off, 150 m advised"]);
}

#[test]
fn below_take_off_the_height_is_called_unknown() {
    let judged = verdict(window(100.0, 150.0), &track(300), steady, |e| e.height_above_takeoff_m = Some(-30.0));
    assert!(judged.accepted);
    assert_eq!(judged.reasons, ["caution: 30 m below take-off, height over the ground not known"]);
}
