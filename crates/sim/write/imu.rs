//! The inertial log: one line a sample, units in the names.

use crate::SimulatedFlight;
use crate::scenario::ImuTime;
use chrono::{SecondsFormat, TimeDelta};
use std::fmt::Write;

pub(super) fn write(flight: &SimulatedFlight) -> String {
    let Some(imu) = &flight.scenario.sensors.imu else { return String::new() };
    let mut out = String::with_capacity(100 * flight.imu.len() + 200);
    out.push_str(match imu.time {
        ImuTime::Utc => "time_utc",
        ImuTime::Seconds => "time_s",
    });
    out.push_str(",gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2");
    if imu.mag.is_some() {
        out.push_str(",mag_x_ut,mag_y_ut,mag_z_ut");
    }
    out.push_str(if imu.temperature.is_some() { ",temperature_c\n" } else { "\n" });
    let start_s = flight.imu.first().map_or(0.0, |s| s.t_s);
    for sample in &flight.imu {
        // Writing into a String cannot fail.
        let _ = match imu.time {
            ImuTime::Utc => {
                let time = flight.truth.epoch + TimeDelta::microseconds((sample.t_s * 1e6).round() as i64);
                write!(out, "{}", time.to_rfc3339_opts(SecondsFormat::Micros, true))
            }
            ImuTime::Seconds => write!(out, "{:.6}", sample.t_s - start_s),
        };
        let [gx, gy, gz] = sample.gyro_rad_s;
        let [ax, ay, az] = sample.accel_mps2;
        let _ = write!(out, ",{gx:.6},{gy:.6},{gz:.6},{ax:.5},{ay:.5},{az:.5}");
        if let Some([mx, my, mz]) = sample.mag_ut {
            let _ = write!(out, ",{mx:.3},{my:.3},{mz:.3}");
        }
        if let Some(celsius) = sample.temperature_c {
            let _ = write!(out, ",{celsius:.2}");
        }
        out.push('\n');
    }
    out
}
