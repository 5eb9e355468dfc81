use super::*;
use crate::testing::{nodes, signals, track, wiggle};
use driftless_track::Track;

/// Turn, airspeed and climb by spans, with a wiggle of 0.3 °/s on the turn rate.
fn state(plan: &'static [(f64, [f64; 3])]) -> impl Fn(f64) -> [f64; 3] {
    move |t_s| {
        let plateau = plan.iter().find(|(until_s, _)| t_s < *until_s).or(plan.last()).expect("a plan").1;
        [plateau[0] + 0.3 * wiggle(t_s), plateau[1], plateau[2]]
    }
}

/// Straight, an orbit, a hands-off turn, an orbit the other way, a climbing turn, a turn.
const FLIGHT: &[(f64, [f64; 3])] = &[
    (60.0, [0.0, 10.5, 0.0]),
    (96.0, [10.0, 10.5, 0.0]),
    (160.0, [3.0, 10.5, 0.0]),
    (196.0, [-10.0, 10.5, 0.0]),
    (260.0, [-4.0, 10.5, 2.0]),
    (275.0, [9.0, 10.5, 0.0]),
];

#[test]
fn derived_steady_spans_are_found_with_their_edges_and_orbits_are_not() {
    let found = find_candidates(&signals(274, state(FLIGHT)), &Limits::default());
    let expected = [(0.0, 60.0), (96.0, 160.0), (196.0, 260.0)];
    assert_eq!(found.len(), expected.len(), "{found:?}");
    for (candidate, (start_s, end_s)) in found.iter().zip(expected) {
        // A step between two samples is found to the sample, give or take one for the wiggle on it.
        assert!((candidate.start_s - start_s).abs() <= 2.0, "{candidate:?}");
        assert!((candidate.end_s - end_s).abs() <= 2.0, "{candidate:?}");
    }
}

#[test]
fn derived_a_change_of_airspeed_or_climb_parts_two_candidates() {
    for after in [[2.0, 12.8, 0.0], [2.0, 10.5, 1.8]] {
        let flight = move |t_s: f64| {
            let plateau = if t_s < 80.0 { [2.0, 10.5, 0.0] } else { after };
            [plateau[0] + 0.3 * wiggle(t_s), plateau[1], plateau[2]]
        };
        let found = find_candidates(&signals(160, flight), &Limits::default());
        assert_eq!(found.len(), 2, "{found:?}");
        assert!((found[0].end_s - 80.0).abs() <= 2.0, "{found:?}");
    }
}

#[test]
fn short_slow_and_restless_spans_are_no_candidates() {
    let limits = Limits::default();
    let turn_every_20_s = |t_s: f64| [if (t_s / 20.0) as i32 % 2 == 0 { 0.0 } else { 8.0 }, 10.5, 0.0];
    assert!(find_candidates(&signals(400, turn_every_20_s), &limits).is_empty());
    let ground_handling = |t_s: f64| [0.3 * wiggle(t_s), 2.0, 0.0];
    assert!(find_candidates(&signals(400, ground_handling), &limits).is_empty());
    // Quiet for most of the flight, then steered about with the same mean.
    let steered =
        |t_s: f64| [if t_s < 300.0 { 0.3 } else { 3.5 } * wiggle(t_s), if t_s < 300.0 { 10.5 } else { 12.5 }, 0.0];
    let found = find_candidates(&signals(400, steered), &limits);
    assert!(found.iter().all(|c| c.end_s <= 310.0) && !found.is_empty(), "{found:?}");
}

#[test]
fn nothing_is_found_on_the_ground_or_across_a_gap() {
    let steady = |t_s: f64| [2.0 + 0.3 * wiggle(t_s), 10.5, 0.0];
    let nodes = nodes(400, steady);
    let flown = Track { takeoff_s: Some(50.0), landing_s: Some(350.0), ..track(400) };
    let found = find_candidates(&Signals::new(&flown, &nodes), &Limits::default());
    assert_eq!(found, [Candidate { start_s: 50.0, end_s: 350.0 }]);

    let gap = driftless_track::Gap { start_s: 200.0, end_s: 220.0 };
    let torn = Track { gaps: vec![gap], ..track(400) };
    let found = find_candidates(&Signals::new(&torn, &nodes), &Limits::default());
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found[0].end_s <= 201.0 && found[1].start_s >= 219.0, "{found:?}");
}

#[test]
fn no_estimate_no_candidates() {
    assert!(find_candidates(&Signals::new(&track(100), &[]), &Limits::default()).is_empty());
}

/// Turbulence alone moves the mean of a piece by √(wander / samples): pieces that differ by so many standard deviations of that as
/// are allowed lie just at the limit, at 1.
#[test]
fn derived_short_pieces_may_differ_by_what_turbulence_does_to_their_means() {
    let plateau = |start, end, turn| Plateau { start, end, mean: [turn, 10.5, 0.0], std_u: [0.0; CHANNELS] };
    let limits = Limits { merge_turn_deg_s: 0.1, ..Limits::default() };
    let turn_wander = 4.0;
    let std_u = (turn_wander / 20.0 + turn_wander / 30.0_f64).sqrt();
    let apart = plateau(0, 20, 0.0).distance(&plateau(20, 50, SAME_MEAN_SIGMAS.value * std_u), turn_wander, &limits);
    assert!((apart - 1.0).abs() < 1e-12, "{apart}");
    // In still air what matters decides.
    let apart = plateau(0, 20, 0.0).distance(&plateau(20, 50, 0.2), 0.0, &limits);
    assert!((apart - 2.0).abs() < 1e-12, "{apart}");
}
