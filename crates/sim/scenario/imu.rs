//! The inertial sensor part of a scenario.

use crate::rotation::Rotation;
use serde::{Deserialize, Serialize};

/// An inertial sensor on the pilot: what it sees, and how badly. Three values are along the pilot's axes forward,
/// right and down, or the sensor's own where the text says so.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Imu {
    /// Samples per second, 10 to 400.
    pub rate_hz: f64,
    /// How the sensor is turned against the pilot: roll, pitch and yaw, degrees.
    pub mounting_deg: [f64; 3],
    /// Constant gyro bias, °/s, sensor axes.
    pub gyro_bias_deg_s: [f64; 3],
    /// Random walk of the bias, °/s per √s.
    pub gyro_bias_walk: f64,
    /// White gyro noise as angle random walk, ° per √s.
    pub gyro_walk_deg: f64,
    /// Relative error of the gyro scale.
    pub gyro_scale_error: f64,
    /// White accelerometer noise, m/s² per √Hz.
    pub accel_noise: f64,
    /// Constant accelerometer bias, m/s², sensor axes.
    pub accel_bias_mps2: [f64; 3],
    /// A magnetometer, if there is one.
    pub mag: Option<Magnetometer>,
    /// A thermometer in the sensor, if there is one.
    pub temperature: Option<Thermometer>,
    /// Pendulum swing of the pilot under the wing in roll and pitch, and twist in yaw: root-mean-square, degrees.
    pub swing_deg: [f64; 3],
    /// Period of the swing, seconds.
    pub swing_period_s: f64,
    /// Twitches of the body in roll while the hands are on the brakes, degrees (0.5 s).
    pub control_deg: f64,
    /// Engine vibration as felt by the accelerometer, m/s², each axis.
    pub vibration_mps2: f64,
    /// Engine vibration as felt by the gyro, °/s, each axis.
    pub vibration_deg_s: f64,
    /// Frequency of the vibration, Hz; what the filter leaves of it above half the rate folds back.
    pub vibration_hz: f64,
    /// Corner of the low-pass filter in the sensor (second order, both poles there), Hz; 0.4 of the rate when absent.
    pub filter_hz: Option<f64>,
    /// How far the clock of the sensor runs ahead of UTC at the start, seconds.
    pub clock_ahead_s: f64,
    /// How much faster it runs, parts in a million.
    pub clock_drift_ppm: f64,
    /// Scatter of the time stamps, seconds.
    pub jitter_s: f64,
    /// How times are written.
    pub time: ImuTime,
    /// Spans without samples, seconds from the start.
    pub gaps_s: Vec<[f64; 2]>,
}

/// A magnetometer in the Earth's field.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Magnetometer {
    /// Strength of the field, µT.
    pub field_ut: f64,
    /// Declination, degrees, east positive.
    pub declination_deg: f64,
    /// Inclination, degrees, downward positive.
    pub inclination_deg: f64,
    /// Constant field of the things about the sensor, µT, sensor axes.
    #[serde(default)]
    pub hard_iron_ut: [f64; 3],
    /// White noise, µT.
    #[serde(default)]
    pub noise_ut: f64,
    /// Field of the ignition and the load, µT: first-order Markov (20 s) on each axis.
    #[serde(default)]
    pub disturbance_ut: f64,
}

/// The temperature of the sensor, and what it does to the gyro.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Thermometer {
    /// Temperature at the start, °C.
    pub start_c: f64,
    /// Temperature that is neared in the end, °C.
    pub settled_c: f64,
    /// Time in which 63 % of the way is made, seconds.
    pub time_constant_s: f64,
    /// How the gyro bias moves with it, °/s per kelvin, sensor axes; `gyro_bias_deg_s` holds at the start.
    #[serde(default)]
    pub bias_deg_s_per_k: [f64; 3],
}

/// How the times of an inertial log are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ImuTime {
    /// RFC 3339, by the sensor's clock.
    Utc,
    /// Seconds from the sensor's own start.
    Seconds,
}

impl Default for Imu {
    fn default() -> Self {
        Self {
            rate_hz: 50.0,
            mounting_deg: [0.0; 3],
            gyro_bias_deg_s: [0.0; 3],
            gyro_bias_walk: 0.0,
            gyro_walk_deg: 0.01,
            gyro_scale_error: 0.0,
            accel_noise: 0.002,
            accel_bias_mps2: [0.0; 3],
            mag: None,
            temperature: None,
            swing_deg: [0.0; 3],
            swing_period_s: 3.0,
            control_deg: 0.0,
            vibration_mps2: 0.0,
            vibration_deg_s: 0.0,
            vibration_hz: 45.0,
            filter_hz: None,
            clock_ahead_s: 0.0,
            clock_drift_ppm: 0.0,
            jitter_s: 0.0,
            time: ImuTime::Utc,
            gaps_s: Vec::new(),
        }
    }
}

impl Imu {
    /// An axis of the pilot (forward, right, down) in the axes of the sensor.
    pub fn seen_by_sensor(&self, pilot_axis: [f64; 3]) -> [f64; 3] {
        let [roll, pitch, yaw] = self.mounting_deg.map(f64::to_radians);
        Rotation::from_euler(roll, pitch, yaw).inverse().turn(pilot_axis)
    }
}
