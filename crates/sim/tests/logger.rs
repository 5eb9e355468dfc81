//! What the logger writes down: error statistics, rounding, dropouts, latency, reproducibility.

mod common;

use common::plain;
use driftless_sim::scenario::{Format, Leg};
use driftless_sim::{reference, render, simulate};
use driftless_track::{Fix, Scenario as Setting};

/// Metres of one degree of latitude at 47°: meridian radius of WGS-84, 6,370,156 m at 1,000 m altitude.
const DEGREE_M: f64 = 6_370_156.0 * std::f64::consts::PI / 180.0;

fn straight(seconds: f64) -> Vec<Leg> {
    vec![Leg::Straight { seconds, setting: Some(Setting::TrimLevel), heading_deg: None }]
}

/// North error of the first fix and of one 60 s later, over independent seeds: variance white² + slow², covariance
/// slow² e^-1. Limits of three standard errors: var √(2/n) and √((v² + c²)/n).
#[test]
fn simulated_position_errors_have_their_spread_and_correlation() {
    let mut clean = plain(straight(61.0));
    let truth: Vec<Fix> = simulate(&clean, 0).unwrap().fixes;
    clean.sensors.position_white_m = 0.4;
    clean.sensors.position_slow_m = 1.5;
    let runs = 3000_u32;
    let n = f64::from(runs);
    let (mut variance, mut covariance) = (0.0, 0.0);
    for seed in 0..runs {
        let fixes = simulate(&clean, u64::from(seed)).unwrap().fixes;
        let error = |i: usize| (fixes[i].lat_deg - truth[i].lat_deg) * DEGREE_M;
        variance += error(0) * error(0) / n;
        covariance += error(0) * error(60) / n;
    }
    let (v, c) = (0.4 * 0.4 + 1.5 * 1.5, 1.5 * 1.5 * (-1.0_f64).exp());
    assert!((variance / v - 1.0).abs() < 3.0 * (2.0 / n).sqrt(), "variance {variance} against {v}");
    assert!((covariance - c).abs() < 3.0 * ((v * v + c * c) / n).sqrt(), "covariance {covariance} against {c}");
}

#[test]
fn latency_reports_where_the_aircraft_was() {
    let mut late = plain(straight(30.0));
    let prompt = simulate(&late, 0).unwrap().fixes;
    late.sensors.latency_s = 2.0;
    let fixes = simulate(&late, 0).unwrap().fixes;
    assert_eq!(fixes[10].time, prompt[10].time);
    assert!((fixes[10].lat_deg - prompt[8].lat_deg).abs() < 1e-12);
}

#[test]
fn dropouts_and_spikes_come_as_often_as_asked_and_change_nothing_else() {
    let mut scenario = plain(straight(7200.0));
    scenario.sensors.position_white_m = 0.4;
    let full = simulate(&scenario, 1).unwrap().fixes;
    scenario.sensors.dropouts_per_hour = 60.0;
    scenario.sensors.dropout_s = 5.0;
    scenario.sensors.spike_chance = 0.01;
    let some = simulate(&scenario, 1).unwrap().fixes;
    // 120 dropouts of 5 to 6 fixes are expected (each fix of a dropout's start second counts), 720 ± 3 x 60 missing.
    let missing = full.len() - some.len();
    assert!((480..=900).contains(&missing), "{missing} missing");
    let off = |fix: &&Fix| full.iter().find(|f| f.time == fix.time).is_some_and(|f| f.lat_deg != fix.lat_deg);
    let spikes = some.iter().filter(off).count();
    assert!((40..=95).contains(&spikes), "{spikes} spikes, 65 expected, standard deviation 8");
}

#[test]
fn igc_rounding_is_on_the_grid() {
    let options = reference::Options { igc_quantised: true, ..Default::default() };
    let flight = simulate(&reference::flight(reference::AirClass::Light, 2, &options), 2).unwrap();
    for fix in &flight.fixes {
        let steps = fix.lat_deg * 60_000.0;
        assert!((steps - steps.round()).abs() < 1e-6);
        assert_eq!(fix.gnss_altitude_m.get().unwrap().fract(), 0.0);
    }
}

/// Bytes, not numbers: what is written is the same for a seed and different for another.
#[test]
fn a_seed_makes_the_same_files_again() {
    let mut scenario = reference::flight(reference::AirClass::Moderate, 4, &reference::Options::default());
    scenario.output.formats = vec![Format::Gpx, Format::Igc, Format::Nmea, Format::Csv];
    let once = render(&scenario, 4).unwrap();
    assert_eq!(once, render(&scenario, 4).unwrap());
    assert_ne!(once, render(&scenario, 5).unwrap());
    let names: Vec<&str> = once.files.iter().filter_map(|(name, _)| name.split_once('.').map(|n| n.1)).collect();
    assert_eq!(names, ["gpx", "igc", "nmea", "csv", "marks.csv", "truth.json"]);
}

/// Switching a source of noise off leaves every other one as it was: gusts do not change what the yaw wander does.
#[test]
fn noise_sources_are_independent() {
    let mut scenario = plain(straight(30.0));
    scenario.air.yaw_wander_deg_s = 0.5;
    let calm = simulate(&scenario, 9).unwrap().truth;
    scenario.air.gusts = driftless_sim::scenario::Gusts::Markov { sd_mps: 1.0, tau_s: 8.0 };
    let gusty = simulate(&scenario, 9).unwrap().truth;
    assert_eq!(calm.heading_at(30.0), gusty.heading_at(30.0));
    assert_ne!(calm.position_at(30.0).east_m, gusty.position_at(30.0).east_m);
}
