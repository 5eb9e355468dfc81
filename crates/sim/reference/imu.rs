//! The inertial sensor of a reference flight: a phone or small logger somewhere on the pilot.

use crate::noise::{Source, Stream};
use crate::scenario::{Imu, ImuTime, Magnetometer};

/// Draws a sensor from the seed: mounting, bias, noise, swing, vibration and clock within what phones and small loggers
/// show (common practice, no source). Put it into `scenario.sensors.imu`.
pub fn imu(seed: u64) -> Imu {
    let mut draw = Stream::new(seed, Source::ReferenceImu);
    let mut about = |half: f64| draw.between(-half, half);
    let mounting_deg = [about(60.0), about(60.0), about(180.0)];
    let gyro_bias_deg_s = [about(1.0), about(1.0), about(1.0)];
    let accel_bias_mps2 = [about(0.1), about(0.1), about(0.1)];
    let hard_iron_ut = [about(30.0), about(30.0), about(30.0)];
    let gyro_scale_error = about(0.005);
    let (clock_ahead_s, clock_drift_ppm) = (about(2.0), about(40.0));
    let declination_deg = about(10.0);
    let rate_hz = [25.0, 50.0, 100.0, 200.0][(draw.uniform() * 4.0) as usize % 4];
    Imu {
        rate_hz,
        mounting_deg,
        gyro_bias_deg_s,
        gyro_bias_walk: 0.002,
        gyro_walk_deg: draw.between(0.005, 0.02),
        gyro_scale_error,
        accel_noise: 0.003,
        accel_bias_mps2,
        mag: Some(Magnetometer {
            field_ut: 48.0,
            declination_deg,
            inclination_deg: 63.0,
            hard_iron_ut,
            noise_ut: 0.5,
            disturbance_ut: 0.5,
        }),
        temperature: None,
        swing_deg: [draw.between(1.0, 4.0), draw.between(0.5, 2.0), draw.between(0.5, 3.0)],
        swing_period_s: draw.between(2.2, 3.8),
        control_deg: draw.between(0.5, 1.5),
        vibration_mps2: draw.between(0.5, 4.0),
        vibration_deg_s: draw.between(1.0, 10.0),
        vibration_hz: draw.between(35.0, 60.0),
        filter_hz: None,
        clock_ahead_s,
        clock_drift_ppm,
        jitter_s: 0.001,
        time: ImuTime::Utc,
        gaps_s: Vec::new(),
    }
}
