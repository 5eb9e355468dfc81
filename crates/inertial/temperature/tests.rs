use super::*;
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::scenario::{Imu, Leg, Thermometer};
use driftless_sim::simulate;

/// A sensor at rest for nine minutes, warming by 13 K; what it wrote between the second and the seventh is left out, as if
/// it had flown then.
fn recorded(seed: u64, bias_deg_s_per_k: [f64; 3]) -> ImuLog {
    let mut scenario = reference::flight(AirClass::Still, seed, &Options::default());
    scenario.site.start_height_m = 0.0;
    scenario.legs = vec![Leg::Stand { seconds: 540.0 }];
    scenario.sensors.imu = Some(sensor(34.0, bias_deg_s_per_k));
    let mut log = crate::read(simulate(&scenario, seed).unwrap().to_imu_csv().as_bytes(), None).unwrap();
    let start_s = log.gyro.t_s[0];
    let away = start_s + 120.0..start_s + 420.0;
    for stream in [&mut log.gyro, &mut log.accel] {
        let kept = stream.t_s.iter().zip(&stream.xyz).filter(|(t, _)| !away.contains(t));
        (stream.t_s, stream.xyz) = kept.map(|(t, v)| (*t, *v)).unzip();
    }
    log
}

fn sensor(settled_c: f64, bias_deg_s_per_k: [f64; 3]) -> Imu {
    Imu {
        rate_hz: 25.0,
        gyro_bias_deg_s: [0.5, -0.4, 0.3],
        gyro_bias_walk: 0.002,
        swing_deg: [2.0, 1.0, 1.0],
        temperature: Some(Thermometer { start_c: 20.0, settled_c, time_constant_s: 200.0, bias_deg_s_per_k }),
        ..Imu::default()
    }
}

/// The set slope lies within 95 % intervals as often as it should: 30 recordings of three axes, so that fewer than 80 of
/// 90 have a chance below 1 % at 95 %, and all 90 are no sign of trouble only if intervals are not far too wide.
#[test]
fn simulated_slope_of_the_bias_is_found_with_honest_uncertainty() {
    let set = [0.05, -0.03, 0.0];
    let (mut held, mut squares) = (0, 0.0);
    for seed in 0..30 {
        let health = temperature_health(&recorded(seed, set), None).unwrap();
        let slope = health.bias_slope.expect("two rests, twelve kelvin apart");
        for (found, set) in slope.rad_s_per_k.iter().zip(set) {
            let apart = (found.value.to_degrees() - set) / found.std_u.to_degrees();
            held += usize::from(apart.abs() < 1.96);
            squares += apart * apart;
            // A walk of 0.002 °/s per √s over seven minutes is 0.04 °/s, over some twelve kelvin.
            assert!((0.001..0.008).contains(&found.std_u.to_degrees()), "{found:?}");
        }
        assert!(slope.is_clear(), "{slope:?}");
    }
    assert!((80..=90).contains(&held) && (0.6..1.5).contains(&(squares / 90.0)), "{held}, {}", squares / 90.0);
}

#[test]
fn simulated_temperatures_of_flight_and_recording_are_told_apart() {
    let log = recorded(3, [0.0; 3]);
    let start_s = log.gyro.t_s[0];
    let whole = temperature_health(&log, None).unwrap();
    let flight = temperature_health(&log, Some([start_s + 120.0, start_s + 420.0])).unwrap();
    // 34 - 14 exp(-t/200 s): 20.0 at the start, 26.3 and 32.3 °C at both ends of the flight, 33.1 °C at the end. The ends
    // are medians of half a minute: 21.0 and 33.0, 26.9 and 32.2 °C.
    let close = |found: f64, meant: f64| (found - meant).abs() < 0.1;
    assert!(close(whole.range_c[0], 20.0) && close(whole.range_c[1], 33.1), "{whole:?}");
    assert!(close(flight.range_c[0], 26.3) && close(flight.range_c[1], 32.3), "{flight:?}");
    assert!(close(whole.change_k(), 12.0) && close(flight.change_k(), 5.3), "{whole:?} {flight:?}");
    assert!(flight.of_flight && flight.bias_slope.is_some());
}

#[test]
fn simulated_a_slope_is_not_told_where_rest_does_not_show_it() {
    // One temperature throughout, to 0.1 K.
    let mut even = recorded(1, [0.05, 0.0, 0.0]);
    even.temperature.celsius.iter_mut().for_each(|c| *c = 20.0 + 0.007 * (*c - 20.0));
    assert_eq!(temperature_health(&even, None).unwrap().bias_slope, None);
    // No rest at all: a reference flight begins in the air.
    let mut flying = reference::flight(AirClass::Still, 1, &Options::default());
    flying.sensors.imu = Some(sensor(20.1, [0.05, 0.0, 0.0]));
    let log = crate::read(simulate(&flying, 1).unwrap().to_imu_csv().as_bytes(), None).unwrap();
    let health = temperature_health(&log, None).unwrap();
    assert!(health.bias_slope.is_none() && (health.range_c[1] - 20.1).abs() < 0.05, "{health:?}");
    let mut without = log;
    without.temperature = crate::Temperature::default();
    assert_eq!(temperature_health(&without, None), None);
}
