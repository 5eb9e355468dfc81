//! Written files, read back by the program's own readers, give the recorded flight up to the rounding of the format.

use chrono::TimeDelta;
use driftless_formats::{ReadHint, read};
use driftless_sim::reference::{AirClass, Options, flight};
use driftless_sim::scenario::{Format, PressureSensor};
use driftless_sim::{SimulatedFlight, simulate};
use driftless_track::{FlightLog, Mark};

fn recorded(rate_hz: f64, igc_extra_digits: usize) -> SimulatedFlight {
    let mut scenario = flight(AirClass::Light, 8, &Options { rate_hz: Some(rate_hz), ..Options::default() });
    scenario.sensors.doppler_mps = Some(0.2);
    scenario.sensors.pressure = Some(PressureSensor { offset_m: -40.0, white_m: 0.3 });
    scenario.output.igc_extra_digits = igc_extra_digits;
    simulate(&scenario, 8).unwrap()
}

/// `step_deg` is the format's rounding of coordinates; half of it, and a little for the conversion, is allowed.
fn assert_same(flight: &SimulatedFlight, log: &FlightLog, step_deg: f64, course_step_deg: f64) {
    assert!(log.problems.is_empty(), "{:?}", log.problems);
    assert_eq!(log.fixes.len(), flight.fixes.len());
    for (read, wrote) in log.fixes.iter().zip(&flight.fixes) {
        assert_eq!(read.time, wrote.time);
        assert!((read.lat_deg - wrote.lat_deg).abs() < 0.5001 * step_deg + 1e-12);
        assert!((read.lon_deg - wrote.lon_deg).abs() < 0.5001 * step_deg + 1e-12);
        assert!((read.gnss_altitude_m.get().unwrap() - wrote.gnss_altitude_m.get().unwrap()).abs() <= 0.5001);
        assert!((read.ground_speed_mps.get().unwrap() - wrote.ground_speed_mps.get().unwrap()).abs() < 0.006);
        let course = driftless_units::wrap_180_deg(read.course_deg.get().unwrap() - wrote.course_deg.get().unwrap());
        assert!(course.abs() < 0.5001 * course_step_deg, "{course}");
    }
}

fn assert_same_marks(flight: &SimulatedFlight, log: &FlightLog, late: TimeDelta) {
    assert_eq!(log.marks.len(), flight.marks.len());
    let meaning = |mark: &Mark| (mark.kind, mark.scenario);
    for (read, wrote) in log.marks.iter().zip(&flight.marks) {
        assert_eq!(meaning(read), meaning(wrote), "{}", read.text);
        assert!((read.time - wrote.time).abs() <= late);
    }
}

#[test]
fn gpx_reads_back() {
    let flight = recorded(5.0, 0);
    let log = read(flight.to_format(Format::Gpx).as_bytes(), &ReadHint::default()).unwrap();
    assert_same(&flight, &log, 1e-7, 0.1);
    assert_same_marks(&flight, &log, TimeDelta::zero());
}

/// 0.001' without extension, 0.00001' with two further digits; fractions of a second by TDS. A mark goes to the
/// nearest fix and an event record has whole seconds.
#[test]
fn igc_reads_back() {
    for (rate_hz, extra_digits, step_arcmin) in [(1.0, 0, 1e-3), (1.0, 2, 1e-5), (5.0, 3, 1e-6)] {
        let flight = recorded(rate_hz, extra_digits);
        let log = read(flight.to_format(Format::Igc).as_bytes(), &ReadHint::default()).unwrap();
        assert_same(&flight, &log, step_arcmin / 60.0, 1.0);
        assert_same_marks(&flight, &log, TimeDelta::seconds(1));
    }
}
