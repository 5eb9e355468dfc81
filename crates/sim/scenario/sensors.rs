//! The logger part of a scenario.

use super::Imu;
use serde::{Deserialize, Serialize};

/// What the logger records, and how badly. All errors are standard deviations per axis.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Sensors {
    /// Fixes per second, 0.2 to 10.
    pub rate_hz: f64,
    /// White position error, m.
    pub position_white_m: f64,
    /// Slow (first-order Markov) position error, m.
    pub position_slow_m: f64,
    /// Correlation time of the slow errors, seconds.
    pub slow_tau_s: f64,
    /// White error of the GNSS altitude, m.
    pub altitude_white_m: f64,
    /// Slow error of the GNSS altitude, m.
    pub altitude_slow_m: f64,
    /// How the receiver smooths positions before it writes them down; not at all when absent.
    pub filter: Option<ReceiverFilter>,
    /// Error of the recorded Doppler velocity, m/s; without it no speed and course are recorded.
    pub doppler_mps: Option<f64>,
    /// Correlation time of that error, seconds; 0 for one that is new at every fix.
    #[serde(skip_serializing_if = "is_zero")]
    pub doppler_tau_s: f64,
    /// A pressure altimeter, if there is one.
    pub pressure: Option<PressureSensor>,
    /// Mean number of dropouts in an hour.
    pub dropouts_per_hour: f64,
    /// Mean length of a dropout, seconds.
    pub dropout_s: f64,
    /// When the logger was paused or saw no sky.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pauses: Vec<Pause>,
    /// Chance of one fix to repeat the place and velocity of the one before.
    #[serde(skip_serializing_if = "is_zero")]
    pub repeat_chance: f64,
    /// Chance of one fix to be a spike.
    pub spike_chance: f64,
    /// Size of spikes, m.
    pub spike_m: f64,
    /// How old the position and velocity are that a fix reports, seconds.
    pub latency_s: f64,
    /// Step to which latitude and longitude are rounded, minutes of arc; 0 for none (IGC without extension: 0.001).
    pub position_step_arcmin: f64,
    /// Step to which altitudes are rounded, m; 0 for none.
    pub altitude_step_m: f64,
    /// How late or early the pilot marks let-go and take-over, seconds.
    pub mark_error_s: f64,
    /// An inertial sensor on the pilot, if there is one.
    pub imu: Option<Imu>,
}

/// What files leave out: most loggers do none of it.
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

impl Default for Sensors {
    fn default() -> Self {
        Self {
            rate_hz: 1.0,
            position_white_m: 0.4,
            position_slow_m: 1.5,
            slow_tau_s: 60.0,
            altitude_white_m: 0.6,
            altitude_slow_m: 2.0,
            filter: None,
            doppler_mps: None,
            doppler_tau_s: 0.0,
            pressure: None,
            dropouts_per_hour: 0.0,
            dropout_s: 5.0,
            pauses: Vec::new(),
            repeat_chance: 0.0,
            spike_chance: 0.0,
            spike_m: 60.0,
            latency_s: 0.0,
            position_step_arcmin: 0.0,
            altitude_step_m: 0.0,
            mark_error_s: 0.0,
            imu: None,
        }
    }
}

/// What many receivers and loggers do to positions before they write them down. Velocities and altitudes stay as they are.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub enum ReceiverFilter {
    /// First-order low-pass with this time constant, seconds: late by as much.
    LowPass(f64),
    /// Alpha-beta tracker: place and velocity are carried on from fix to fix and corrected by these shares of what was missed
    /// (the velocity by `beta` over the interval).
    AlphaBeta {
        /// Share of the miss that corrects the place.
        alpha: f64,
        /// Share of the miss that corrects the velocity.
        beta: f64,
    },
}

/// A span without fixes, seconds from the start.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pause {
    /// Its beginning.
    pub from_s: f64,
    /// Its end.
    pub to_s: f64,
}

/// A pressure altimeter set to 1013.25 hPa.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PressureSensor {
    /// Pressure altitude minus true altitude on that day, m.
    pub offset_m: f64,
    /// White error, m.
    pub white_m: f64,
}
