//! The simulated aircraft obeys the identities that the estimators rely on.

mod common;

use common::plain;
use driftless_sim::scenario::{Direction, Dryden, Gusts, Leg};
use driftless_sim::{STEP_S, reference, simulate};
use driftless_track::Scenario as Setting;
use driftless_units::GRAVITY_MPS2;

/// Golden track of a circle that drifts (10 m/s, 6 °/s to the right, heading 030° at time zero, 4 m/s from 250°),
/// computed apart from this program. Printed digits: 1e-5 m; the simulation is good to that over the 60 s.
#[test]
fn derived_trochoid_golden_track() {
    let scenario = plain(vec![Leg::HandsOff { seconds: 200.0, setting: Some(Setting::TrimLevel) }]);
    let truth = simulate(&scenario, 0).unwrap().truth;
    // The bank has settled long before; go to the next time the heading passes 030°.
    let heading_deg = truth.heading_at(60.0).deg();
    let t0_s = 60.0 + (390.0 - heading_deg).rem_euclid(360.0) / 6.0;
    let origin = truth.position_at(t0_s);
    for (t_s, heading_deg, east_m, north_m) in [
        (0.0, 30.0, 0.0, 0.0),
        (5.0, 60.0, 53.74670, 41.79325),
        (10.0, 90.0, 120.28704, 61.42729),
        (15.0, 120.0, 186.82737, 55.47406),
        (30.0, 210.0, 278.16178, -54.45055),
        (60.0, 30.0, 225.52623, 82.08483),
    ] {
        let here = truth.position_at(t0_s + t_s);
        assert!((truth.heading_at(t0_s + t_s).bearing_deg() - heading_deg).abs() < 1e-9, "heading at {t_s} s");
        assert!(
            (here.east_m - origin.east_m - east_m).abs() < 2e-5,
            "east at {t_s} s: {}",
            here.east_m - origin.east_m
        );
        assert!((here.north_m - origin.north_m - north_m).abs() < 2e-5, "north at {t_s} s");
    }
}

/// The heading is the integral of the turn rate; the ground velocity is wind + gust + airspeed along the heading; the
/// position is its integral (trapezoids of 0.05 s are good to a millimetre a minute here; allow 5 cm a flight).
#[test]
fn rates_integrate_to_states_in_rough_air() {
    let mut scenario = reference::flight(reference::AirClass::Moderate, 7, &reference::Options::default());
    for gusts in [Gusts::Markov { sd_mps: 0.6, tau_s: 8.0 }, Gusts::Dryden(Dryden { wind_20ft_mps: 6.0 })] {
        scenario.air.gusts = gusts;
        let truth = simulate(&scenario, 7).unwrap().truth;
        let (mut heading, mut east, mut north) = (truth.steps[0].heading.rad(), 0.0, 0.0);
        for pair in truth.steps.windows(2) {
            let (a, b) = (&pair[0], &pair[1]);
            heading += 0.5 * STEP_S * (a.turn_rate.rad_s() + b.turn_rate.rad_s());
            east += 0.5 * STEP_S * (a.ground_velocity.east_mps + b.ground_velocity.east_mps);
            north += 0.5 * STEP_S * (a.ground_velocity.north_mps + b.ground_velocity.north_mps);
            assert!((b.heading.rad() - heading).abs() < 1e-9);
            assert!((b.position.east_m - east).abs() < 0.05 && (b.position.north_m - north).abs() < 0.05);
            let (sin, cos) = b.heading.rad().sin_cos();
            assert!(
                (b.ground_velocity.east_mps - b.wind.east_mps - b.gust.east_mps - b.airspeed_mps * sin).abs() < 1e-9
            );
            assert!(
                (b.ground_velocity.north_mps - b.wind.north_mps - b.gust.north_mps - b.airspeed_mps * cos).abs() < 1e-9
            );
        }
    }
}

#[test]
fn every_turn_is_coordinated() {
    let scenario = plain(vec![
        Leg::FigureEight { rate_deg_s: 12.0, setting: Some(Setting::TrimLevel) },
        Leg::HandsOff { seconds: 20.0, setting: Some(Setting::FullPowerClimb) },
    ]);
    let truth = simulate(&scenario, 0).unwrap().truth;
    let mut steepest_deg: f64 = 0.0;
    for step in &truth.steps {
        let bank_rad = (step.airspeed_mps * step.turn_rate.rad_s() / GRAVITY_MPS2).atan();
        assert!((step.bank.rad() - bank_rad).abs() < 1e-12);
        steepest_deg = steepest_deg.max(step.bank.deg());
    }
    // 10 m/s at 12 °/s: 12.05° of bank.
    assert!((steepest_deg - 12.05).abs() < 0.1, "{steepest_deg}");
}

/// One time constant after let-go the bank has gone 1 - 1/e of the way to that of the residual turn, and a power
/// change shows the same in airspeed and climb.
#[test]
fn lags_are_first_order_and_settle() {
    let mut scenario = plain(vec![
        Leg::Straight { seconds: 20.0, setting: Some(Setting::TrimLevel), heading_deg: None },
        Leg::HandsOff { seconds: 30.0, setting: None },
        Leg::Straight { seconds: 60.0, setting: Some(Setting::FullPowerClimb), heading_deg: None },
    ]);
    scenario.aircraft.let_go_lag_s = 2.5;
    let truth = simulate(&scenario, 0).unwrap().truth;
    let at = |t_s: f64| &truth.steps[(t_s / STEP_S).round() as usize];
    let gone = 1.0 - (-1.0_f64).exp();
    let window = truth.windows[0];
    assert_eq!((window.let_go_s, window.start_s, window.end_s), (20.0, 30.0, 60.0));
    let settled_rad = at(window.end_s).bank.rad();
    assert!((at(window.let_go_s + 2.5).bank.rad() / settled_rad - gone).abs() < 1e-4);
    assert!((at(window.end_s).turn_rate.deg_s() - 6.0).abs() < 1e-3);
    let change_s = window.end_s;
    assert!((at(change_s + 2.5).airspeed_mps - (10.0 + 2.0 * gone)).abs() < 1e-6);
    assert!((at(change_s + 50.0).airspeed_mps - 12.0).abs() < 1e-6);
    assert!((at(change_s + 2.0).climb_mps - 2.0 * gone).abs() < 1e-6);
}

/// In calm air the steady span loses only the rest of the transient: less than 2 % of the change in rate (e^-4), for
/// one time constant, out of the length of the span.
#[test]
fn the_realised_rate_is_the_steady_rate_in_calm_air() {
    let mut scenario = plain(vec![
        Leg::Straight { seconds: 20.0, setting: Some(Setting::TrimLevel), heading_deg: None },
        Leg::HandsOff { seconds: 60.0, setting: None },
    ]);
    scenario.aircraft.let_go_lag_s = 2.5;
    let truth = simulate(&scenario, 0).unwrap().truth;
    let window = truth.windows[0];
    let realised = truth.realised_rate(window.start_s, window.end_s);
    let short_deg_s = window.steady_rate.deg_s() - realised.deg_s();
    let expected = 6.0 * (-4.0_f64).exp() * 2.5 / 60.0;
    assert!((short_deg_s / expected - 1.0).abs() < 0.02, "{short_deg_s} against {expected}");
}

#[test]
fn orbits_turn_the_way_and_as_far_as_asked() {
    let orbit = |direction| Leg::Orbit { turns: 2.0, direction, rate_deg_s: 10.0, setting: Some(Setting::TrimLevel) };
    for (direction, sign) in [(Direction::Right, 1.0), (Direction::Left, -1.0)] {
        let truth = simulate(&plain(vec![orbit(direction)]), 0).unwrap().truth;
        let turned_deg = truth.heading_at(truth.duration_s()).deg() - 30.0;
        assert!((turned_deg - sign * 720.0).abs() < 2.0, "{turned_deg}");
        let half_way = truth.steps[truth.steps.len() / 2].turn_rate.deg_s();
        assert!((half_way - sign * 10.0).abs() < 1e-3, "{half_way}");
    }
}

#[test]
fn wind_above_airspeed_carries_the_aircraft_backwards() {
    let mut scenario =
        plain(vec![Leg::Straight { seconds: 60.0, setting: Some(Setting::TrimLevel), heading_deg: Some(250.0) }]);
    scenario.air.wind_mps = 14.0;
    let truth = simulate(&scenario, 0).unwrap().truth;
    let last = truth.steps.last().unwrap();
    let (sin, cos) = last.heading.rad().sin_cos();
    let along_nose = last.ground_velocity.east_mps * sin + last.ground_velocity.north_mps * cos;
    assert!((along_nose + 4.0).abs() < 1e-2, "{along_nose}");
}

#[test]
fn take_off_and_landing_join_the_ground_without_a_jump() {
    let mut scenario = plain(vec![
        Leg::Stand { seconds: 5.0 },
        Leg::TakeOff { seconds: 7.0, heading_deg: None },
        Leg::ToHeight { height_m: 60.0, setting: Setting::FullPowerClimb, rate_deg_s: 2.0 },
        Leg::Land,
        Leg::Stand { seconds: 5.0 },
    ]);
    let mut glide = scenario.aircraft.settings[&Setting::TrimLevel];
    glide.climb_mps = -2.0;
    scenario.aircraft.settings.insert(Setting::PowerOffGlide, glide);
    scenario.site.start_height_m = 0.0;
    let truth = simulate(&scenario, 0).unwrap().truth;
    let (first, last) = (truth.steps.first().unwrap(), truth.steps.last().unwrap());
    assert!(first.on_ground && last.on_ground);
    assert_eq!((first.ground_velocity.speed_mps(), last.ground_velocity.speed_mps()), (0.0, 0.0));
    assert_eq!((first.altitude_m, last.altitude_m), (500.0, 500.0));
    for pair in truth.steps.windows(2) {
        let jump = pair[1].ground_velocity.speed_mps() - pair[0].ground_velocity.speed_mps();
        assert!(jump.abs() < 0.2, "{jump} m/s at {} s", pair[0].t_s);
    }
}

#[test]
fn wind_shears_and_veers_with_height() {
    let mut scenario = plain(vec![Leg::Straight { seconds: 1.0, setting: None, heading_deg: None }]);
    scenario.air.reference_height_m = 400.0;
    scenario.air.shear_per_m = 0.004;
    scenario.air.veer_deg_per_m = 0.06;
    // The flight is 100 m above the reference height: 40 % more wind, 6° further round.
    let wind = simulate(&scenario, 0).unwrap().truth.steps[0].wind;
    assert!((wind.speed_mps() - 5.6).abs() < 1e-9);
    assert!((wind.from_deg() - 256.0).abs() < 1e-9);
}
