//! Ordinary logs on tuning seeds, a few of each condition: what must hold of every one, and intervals that are neither far too
//! narrow nor far too wide. The table of docs/validation.md has many more.

use driftless_display::about_seconds;
use driftless_sim::reference::Condition;
use driftless_units::Scenario;
use driftless_validate::ordinary::score::OrdinaryWindow;
use driftless_validate::ordinary::{OrdinaryStudy, run};
use driftless_validate::study::Seeds;

fn flights(condition: Condition, count: u64) -> OrdinaryStudy {
    let mut studies = run(&[condition], count, Seeds::Tuning, 2, &|| {}).expect("flights that fly");
    studies.remove(0)
}

fn accepted(study: &OrdinaryStudy) -> Vec<&OrdinaryWindow> {
    study.flights.iter().flat_map(|flight| flight.accepted()).collect()
}

/// Share of accepted windows whose 95 % interval of `turn_rate` holds the truth.
fn covered(windows: &[&OrdinaryWindow]) -> f64 {
    let turns: Vec<bool> = windows.iter().filter_map(|w| w.score.turn.map(|turn| turn.covered(0.95))).collect();
    turns.iter().filter(|inside| **inside).count() as f64 / turns.len() as f64
}

#[test]
fn simulated_smoothing_receivers_are_found_and_plain_ones_are_left_alone() {
    for flight in flights(Condition::Plain, 24).flights {
        assert_eq!(flight.smoothing_s, None, "seed {}", flight.seed);
    }
    // What reports say, to a half second below 3 s, must be right to the half second or the third that "about" allows. The
    // tracker of 0.4 and 0.08 weighs misses as a low-pass of -1/ln(1 - 0.4) s does.
    let conditions = [
        (Condition::LowPassShort, 1.5_f64),
        (Condition::LowPassLong, 3.0),
        (Condition::AlphaBeta, -1.0 / 0.6_f64.ln()),
    ];
    for (condition, truth_s) in conditions {
        let found: Vec<_> = flights(condition, 8).flights.into_iter().filter(|f| f.smoothing_s.is_some()).collect();
        // A short smoothing shows in most flights; where it does not, nothing is claimed.
        assert!(found.len() >= if truth_s < 1.9 { 6 } else { 8 }, "{}: {} of 8", condition.name(), found.len());
        for flight in found {
            let over_s = flight.smoothing_s.unwrap_or(f64::NAN);
            let said_s: f64 = about_seconds(over_s).parse().expect("a number");
            let off_s = (said_s - truth_s).abs();
            let allowed_s = (truth_s / 3.0).max(0.5);
            assert!(off_s <= allowed_s, "{}: {truth_s:.1} s are {said_s} s, seed {}", condition.name(), flight.seed);
        }
    }
}

/// Forty windows each: at 92 % of coverage, seven misses or more come once in ten runs, eleven once in a thousand; seeds are
/// fixed. Before smoothing was undone 14 to 18 % missed.
#[test]
fn simulated_windows_of_smoothing_receivers_are_covered() {
    for condition in [Condition::LowPassLong, Condition::AlphaBeta, Condition::Velocities5Hz] {
        let study = flights(condition, 10);
        let share = covered(&accepted(&study));
        assert!((0.85..=1.0).contains(&share), "{}: {share}", condition.name());
    }
}

#[test]
fn simulated_two_flights_in_a_log_are_measured_apart_and_nothing_on_the_ground() {
    let study = flights(Condition::TwoFlights, 10);
    let windows = accepted(&study);
    assert!(windows.len() >= 30, "{} windows", windows.len());
    assert!(windows.iter().all(|w| !w.on_ground), "a window on the ground");
    assert!(covered(&windows) >= 0.85, "{}", covered(&windows));
    let trim = windows.iter().filter(|w| w.flown == Some(Scenario::TrimLevel));
    assert!(trim.clone().count() > 5 && trim.clone().all(|w| w.named == Scenario::TrimLevel));
}

#[test]
fn simulated_standing_is_never_a_window() {
    for condition in [Condition::StandingWithGap, Condition::LaunchIntoStrongWind, Condition::Bursts] {
        let study = flights(condition, 6);
        assert!(accepted(&study).iter().all(|w| !w.on_ground), "{}", condition.name());
    }
}

/// Hours of straight flight at trim do not make a change of power pass for a change of the wind. While the airspeed's walk was as
/// quiet near windows as the whole flight, intervals held 13 of these 23 airspeeds; at 95 % fewer than 19 come once in five hundred runs,
/// and the seeds are fixed.
#[test]
fn simulated_a_change_of_power_in_a_long_flight_is_not_taken_for_the_wind() {
    let study = flights(Condition::ThreeHours, 8);
    let changed = |w: &&&OrdinaryWindow| {
        matches!(w.flown, Some(Scenario::AcceleratedLevel | Scenario::FullPowerClimb)) && w.score.airspeed.is_some()
    };
    let windows = accepted(&study);
    let airspeeds = windows.iter().filter(changed).filter_map(|w| w.score.airspeed);
    let held = airspeeds.clone().filter(|airspeed| airspeed.covered(0.95)).count();
    assert!(held >= 19 && airspeeds.count() >= 20, "{held} held");
}

/// Straight into the wind nothing tells wind from airspeed: a wind that is stated is right, and the turn rates are those of all
/// solutions. Of 40 windows at 95 %, 34 or fewer are held once in a hundred times.
#[test]
fn simulated_wind_that_the_headings_do_not_tell_is_not_stated() {
    let study = flights(Condition::IntoWind, 12);
    let stated = study.flights.iter().filter(|flight| flight.wind_stated);
    let off = |w: &OrdinaryWindow| w.score.wind.map_or(0.0, |wind| (2.0 * wind.normalised_square).sqrt());
    let wrong = stated.clone().filter(|flight| flight.windows.iter().any(|w| off(w) > 3.5)).count();
    assert!(stated.count() <= 6 && wrong == 0, "{wrong} flights with a wrong wind");
    let turns: Vec<_> = accepted(&study).iter().filter_map(|w| w.score.turn).collect();
    let held = turns.iter().filter(|turn| turn.covered(0.95)).count();
    assert!(turns.len() >= 36 && 20 * held >= 17 * turns.len(), "{held} of {}", turns.len());
}
