//! A compass on the whole road: taken where it proves consistent, else told and left out, and then nothing changes.

use driftless_analysis::{
    FlightAlert, FlightAnalysis, FlightInput, InertialFile, InertialStatus, SensorsUsed, analyse_flight,
};
use driftless_inertial::compass::earth_field;
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::scenario::Magnetometer;
use driftless_sim::{Scenario, SimulatedFlight, simulate};
use std::f64::consts::TAU;

/// A reference flight whose magnetometer sees the Earth's field of its place and date.
fn scenario(seed: u64) -> Scenario {
    let mut scenario = reference::flight(AirClass::Light, seed, &Options::default());
    let mut imu = reference::imu(seed);
    let site = &scenario.site;
    let earth =
        earth_field(site.lat_deg, site.lon_deg, site.elevation_m, scenario.start_utc).expect("a year of the model");
    imu.mag = imu.mag.map(|mag| Magnetometer {
        declination_deg: earth.declination_deg,
        inclination_deg: earth.inclination_deg,
        field_ut: earth.strength_ut,
        ..mag
    });
    scenario.sensors.imu = Some(imu);
    scenario
}

fn analysed(flight: &SimulatedFlight) -> FlightAnalysis {
    let bytes = std::sync::Arc::new(flight.to_imu_csv().into_bytes());
    let file = InertialFile { name: "imu.csv".to_owned(), bytes, sha256: String::new(), mapping_toml: None };
    let input = FlightInput { inertial: vec![file], ..FlightInput::default() };
    analyse_flight(flight.to_log(), input, &mut |_| {}).expect("a flight")
}

fn turns(analysis: &FlightAnalysis) -> Vec<(f64, f64)> {
    let rates = analysis.windows.iter().filter_map(|w| w.turn_rate);
    rates.map(|r| (r.value.deg_s(), r.std_u.deg_s())).collect()
}

/// What makes a compass of no use: the declination off by 25°, and 10 µT that come in the middle of the flight, as when
/// somebody moves a radio. Each is told, and the turn rates are those of the flight without a magnetometer.
#[test]
fn simulated_spoiled_compass_is_told_and_changes_nothing() {
    let sound = simulate(&scenario(51), 51).expect("it flies");
    let taken = analysed(&sound);
    let inertial = taken.inertial.as_ref().expect("inertial data");
    assert!(
        inertial.status == InertialStatus::Used(SensorsUsed::GyroAndCompass),
        "{:?} {:?}",
        inertial.compass,
        taken.problems
    );

    let mut without = scenario(51);
    without.sensors.imu.as_mut().expect("it has one").mag = None;
    let without = turns(&analysed(&simulate(&without, 51).expect("it flies")));
    assert_eq!(without.len(), 4);

    let mut turned = scenario(51);
    turned.sensors.imu.as_mut().and_then(|i| i.mag.as_mut()).expect("it has one").declination_deg += 25.0;
    let turned = simulate(&turned, 51).expect("it flies");
    let mut changed = sound.clone();
    let half = changed.imu.len() / 2;
    for sample in &mut changed.imu[half..] {
        sample.mag_ut = sample.mag_ut.map(|[x, y, z]| [x + 7.0, y - 7.0, z]);
    }
    for (spoiled, name) in [(turned, "turned"), (changed, "changed")] {
        let analysis = analysed(&spoiled);
        let inertial = analysis.inertial.as_ref().expect("inertial data");
        assert!(inertial.status == InertialStatus::Used(SensorsUsed::Gyro), "{name}");
        assert!(inertial.compass.as_ref().is_some_and(|c| !c.doubts.is_empty()), "{name}");
        let told =
            |alert: &FlightAlert| matches!(alert, FlightAlert::SensorCompassLeftOut(doubts) if !doubts.is_empty());
        assert!(analysis.alerts.iter().any(told), "{name}: {:?}", analysis.alerts);
        assert_eq!(turns(&analysis), without, "{name}");
    }
}

/// The headings of an instrument in the log: magnetic, with 3° of constant and 4° of semicircular deviation, an error that
/// wanders by 2° within 15 s (three sines), and a place of its own in the words of the report.
fn with_log_compass(flight: &SimulatedFlight, offset_deg: f64) -> FlightAnalysis {
    let declination_deg = 4.6;
    let mut log = flight.to_log();
    for fix in &mut log.fixes {
        let t_s = (fix.time - flight.truth.epoch).as_seconds_f64();
        let heading_rad = flight.truth.heading_at(t_s).rad();
        let wander_deg: f64 = [31.0, 47.0, 83.0].iter().map(|period_s| 1.6 * (TAU * t_s / period_s).sin()).sum();
        let shown_deg = heading_rad.to_degrees() - declination_deg + offset_deg + 4.0 * heading_rad.sin() + wander_deg;
        fix.heading_magnetic_deg = shown_deg.rem_euclid(360.0).into();
    }
    analyse_flight(log, FlightInput::default(), &mut |_| {}).expect("a flight")
}

#[test]
fn simulated_compass_of_the_log_takes_part_where_it_agrees() {
    let options = Options { rate_hz: Some(1.0), ..Options::default() };
    let flight = simulate(&reference::flight(AirClass::Moderate, 52, &options), 52).expect("it flies");
    let alone = analyse_flight(flight.to_log(), FlightInput::default(), &mut |_| {}).expect("a flight");
    let taken = with_log_compass(&flight, 3.0);
    let compass = taken.compass.as_ref().expect("a compass");
    assert!(compass.in_estimate && compass.doubts.is_empty(), "{compass:?}");
    let (alone, taken) = (turns(&alone), turns(&taken));
    assert_eq!((alone.len(), taken.len()), (4, 4));
    for (a, b) in alone.iter().zip(&taken) {
        // Never wider, and moved by no more than the uncertainty there was.
        assert!(b.1 < 1.02 * a.1 && (a.0 - b.0).abs() < 3.0 * a.1, "{alone:?} {taken:?}");
    }
    let far = with_log_compass(&flight, 18.0);
    let compass = far.compass.as_ref().expect("a compass");
    assert!(!compass.in_estimate && compass.doubts[0].code() == "offset", "{compass:?}");
    assert_eq!(turns(&far), alone);
    assert!(far.alerts.iter().any(|alert| alert.code() == "compass-left-out"));
}
