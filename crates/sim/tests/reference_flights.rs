//! The reference flights are what the accuracy figures say they are.

use driftless_sim::reference::{AirClass, JUDGING_SEEDS, Options, TUNING_SEEDS, flight};
use driftless_sim::simulate;
use driftless_track::Scenario as Setting;

#[test]
fn tuning_and_judging_seeds_are_apart() {
    assert!(TUNING_SEEDS.end <= JUDGING_SEEDS.start && !TUNING_SEEDS.is_empty() && !JUDGING_SEEDS.is_empty());
}

#[test]
fn every_reference_flight_keeps_to_its_description() {
    let options = Options::default();
    let (mut slowest, mut fastest) = (f64::MAX, f64::MIN);
    for seed in TUNING_SEEDS.take(60) {
        let scenario = flight(AirClass::Light, seed, &options);
        let simulated = simulate(&scenario, seed).unwrap();
        let truth = &simulated.truth;
        let mut settings: Vec<Setting> = truth.windows.iter().map(|w| w.setting).collect();
        settings.sort();
        assert_eq!(settings, Setting::ALL[..4], "one window per scenario");
        for window in &truth.windows {
            let length_s = window.end_s - window.start_s;
            assert!((44.9..=75.1).contains(&length_s), "{length_s} s");
            assert!(window.steady_rate.deg_s().abs() <= 7.0);
            let airspeed_mps = truth.mean_over(window.start_s, window.end_s, |s| s.airspeed_mps);
            slowest = slowest.min(airspeed_mps);
            fastest = fastest.max(airspeed_mps);
            let lowest = truth.steps.iter().map(|s| s.altitude_m).fold(f64::MAX, f64::min);
            assert!(lowest > scenario.site.elevation_m + 200.0, "{lowest} m");
        }
        assert!((0.0..=7.0).contains(&scenario.air.wind_mps));
        assert_eq!(simulated.to_log().marks.len(), 8);
    }
    assert!(slowest > 10.0 && slowest < 10.3 && fastest > 13.8 && fastest < 14.2, "{slowest} to {fastest} m/s");
}

/// Classes and options are compared on like flights: the same plan and aircraft for one seed.
#[test]
fn one_seed_is_one_plan_in_every_class_and_with_every_option() {
    let plain = flight(AirClass::Still, 5, &Options::default());
    let rough = flight(AirClass::Moderate, 5, &Options { igc_quantised: true, ..Options::default() });
    assert_eq!(plain.legs, rough.legs);
    assert_eq!(plain.aircraft, rough.aircraft);
    let without = flight(AirClass::Still, 5, &Options { orbits: false, ..Options::default() });
    assert!(plain.legs.ends_with(&without.legs) && without.legs.len() < plain.legs.len());
}
