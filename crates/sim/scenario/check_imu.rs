//! The ranges of an inertial sensor's values.

use super::check::{Checked, require, within};
use super::{Imu, Magnetometer, Thermometer};

pub(super) fn check(imu: &Imu) -> Checked {
    let path = |key| ["sensors", "imu", key];
    within(imu.rate_hz, 10.0, 400.0, &path("rate_hz"))?;
    for (key, values, limit) in [
        ("mounting_deg", imu.mounting_deg, 180.0),
        ("gyro_bias_deg_s", imu.gyro_bias_deg_s, 50.0),
        ("accel_bias_mps2", imu.accel_bias_mps2, 5.0),
    ] {
        values.into_iter().try_for_each(|value| within(value, -limit, limit, &path(key)))?;
    }
    imu.swing_deg.into_iter().try_for_each(|value| within(value, 0.0, 45.0, &path("swing_deg")))?;
    for (key, value, low, high) in [
        ("gyro_bias_walk", imu.gyro_bias_walk, 0.0, 1.0),
        ("gyro_walk_deg", imu.gyro_walk_deg, 0.0, 5.0),
        ("gyro_scale_error", imu.gyro_scale_error, -0.2, 0.2),
        ("accel_noise", imu.accel_noise, 0.0, 10.0),
        ("swing_period_s", imu.swing_period_s, 0.5, 20.0),
        ("control_deg", imu.control_deg, 0.0, 20.0),
        ("vibration_mps2", imu.vibration_mps2, 0.0, 200.0),
        ("vibration_deg_s", imu.vibration_deg_s, 0.0, 500.0),
        ("vibration_hz", imu.vibration_hz, 1.0, 500.0),
        ("filter_hz", imu.filter_hz.unwrap_or(1.0), 0.1, 1000.0),
        ("clock_ahead_s", imu.clock_ahead_s, -1e6, 1e6),
        ("clock_drift_ppm", imu.clock_drift_ppm, -1000.0, 1000.0),
        ("jitter_s", imu.jitter_s, 0.0, 1.0),
    ] {
        within(value, low, high, &path(key))?;
    }
    for [from, to] in &imu.gaps_s {
        require(from < to, &path("gaps_s"), || format!("has a gap from {from} to {to}, which ends before it begins"))?;
    }
    imu.temperature.as_ref().map_or(Ok(()), check_thermometer)?;
    imu.mag.as_ref().map_or(Ok(()), check_mag)
}

fn check_thermometer(thermometer: &Thermometer) -> Checked {
    let path = |key| ["sensors", "imu", "temperature", key];
    within(thermometer.start_c, -40.0, 85.0, &path("start_c"))?;
    within(thermometer.settled_c, -40.0, 85.0, &path("settled_c"))?;
    within(thermometer.time_constant_s, 1.0, 1e5, &path("time_constant_s"))?;
    let mut slopes = thermometer.bias_deg_s_per_k.into_iter();
    slopes.try_for_each(|slope| within(slope, -1.0, 1.0, &path("bias_deg_s_per_k")))
}

fn check_mag(mag: &Magnetometer) -> Checked {
    let path = |key| ["sensors", "imu", "mag", key];
    within(mag.field_ut, 15.0, 80.0, &path("field_ut"))?;
    within(mag.declination_deg, -180.0, 180.0, &path("declination_deg"))?;
    within(mag.inclination_deg, -90.0, 90.0, &path("inclination_deg"))?;
    mag.hard_iron_ut.into_iter().try_for_each(|value| within(value, -500.0, 500.0, &path("hard_iron_ut")))?;
    within(mag.noise_ut, 0.0, 50.0, &path("noise_ut"))?;
    within(mag.disturbance_ut, 0.0, 100.0, &path("disturbance_ut"))
}
