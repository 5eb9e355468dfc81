//! Inertial files beside a simulated flight: used when they fit, told when they do not.

use super::sensor_on_flight;
use crate::{FlightAnalysis, FlightInput, InertialFile, InputLimits, analyse_flight};
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::{SimulatedFlight, simulate};

fn flown(seed: u64) -> (SimulatedFlight, FlightAnalysis) {
    let mut scenario = reference::flight(AirClass::Light, seed, &Options::default());
    scenario.sensors.imu = Some(reference::imu(seed));
    let flight = simulate(&scenario, seed).unwrap();
    let analysis = analyse_flight(flight.to_log(), FlightInput::default(), &mut |_| {}).unwrap();
    (flight, analysis)
}

fn file(bytes: &[u8]) -> InertialFile {
    InertialFile { name: "imu.csv".to_owned(), bytes: bytes.to_vec().into(), sha256: String::new(), mapping_toml: None }
}

/// With the estimate and, less surely, without one.
#[test]
fn simulated_files_align_with_their_flight() {
    let (flight, analysis) = flown(41);
    let files = [file(flight.to_imu_csv().as_bytes())];
    let circle = analysis.circle.as_ref();
    for estimate in [analysis.estimate.as_ref(), None] {
        let (sensor, _, _) = sensor_on_flight(&files, &analysis.track, estimate, circle, &[], &InputLimits::default());
        let found = sensor.aligned().expect("the flight turns");
        let imu = flight.scenario.sensors.imu.as_ref().unwrap();
        // Sensor times count from its own first stamp, which is late by what its clock is ahead.
        let first_s = flight.imu[0].t_s;
        let ahead_s = imu.clock_ahead_s + 1e-6 * imu.clock_drift_ppm * found.alignment.at_s;
        let error_s = found.alignment.offset_s.value - (first_s - ahead_s);
        assert!(error_s.abs() < 0.5, "{error_s} with {}", if estimate.is_some() { "estimate" } else { "velocities" });
        assert!(found.rates.measurements.len() > 200);
    }
}

#[test]
fn simulated_files_that_do_not_fit_are_told_and_change_nothing() {
    let (flight, analysis) = flown(42);
    let (other, _) = flown(43);
    let codes = |files: &[InertialFile]| {
        let (estimate, circle) = (analysis.estimate.as_ref(), analysis.circle.as_ref());
        let (sensor, estimate, problems) =
            sensor_on_flight(files, &analysis.track, estimate, circle, &[], &InputLimits::default());
        assert!(sensor.aligned().is_none() && estimate.is_none());
        problems.iter().map(|p| p.code).chain([sensor.status().code()]).collect::<Vec<_>>()
    };
    assert!(codes(&[file(b"no table at all")]).contains(&"imu-not-read"));
    assert!(codes(&[file(other.to_imu_csv().as_bytes())]).contains(&"not-aligned"));
    let another_day = flight.to_imu_csv().replace("2026-06-0", "2026-07-0");
    assert!(codes(&[file(another_day.as_bytes())]).contains(&"not-aligned"));
}
