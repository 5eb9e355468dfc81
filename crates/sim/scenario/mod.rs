//! What a flight is made from: a TOML file, or a value built in code.

mod air;
mod aircraft;
mod check;
mod check_imu;
mod imu;
pub(crate) use check::Fault;
mod output;
mod plan;
mod sensors;

pub use air::{Air, Dryden, Gusts, Thermal, WindChange};
pub use aircraft::{Aircraft, Device, Porpoising, PowerSetting, Propeller, Residual, TorquePoint};
pub use imu::{Imu, ImuTime, Magnetometer, Thermometer};
pub use output::{Format, Output};
pub use plan::{Direction, Leg};
pub use sensors::{Pause, PressureSensor, ReceiverFilter, Sensors};

use crate::SimError;
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// Everything a simulated flight is made from, but for the seed's randomness.
///
/// Read one with [`Scenario::from_toml`]; unknown keys and values out of range are errors that name the line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// Name of the flight; names its files: letters, digits, `-` and `_`.
    pub name: String,
    /// A sentence on what the flight is for.
    #[serde(default)]
    pub note: String,
    /// Name of the set-up (power unit, torque device, wing, pilot), for the marks file.
    #[serde(default)]
    pub setup: String,
    /// Seed used when none is given.
    #[serde(default)]
    pub seed: u64,
    /// When the log begins.
    pub start_utc: DateTime<Utc>,
    /// Where the flight begins.
    pub site: Site,
    /// The aircraft.
    pub aircraft: Aircraft,
    /// The air.
    pub air: Air,
    /// The logger.
    pub sensors: Sensors,
    /// What is written.
    #[serde(default)]
    pub output: Output,
    /// The flight plan, leg by leg.
    #[serde(rename = "flight")]
    pub legs: Vec<Leg>,
}

/// The place and the start of the flight.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// WGS-84 latitude of the origin, degrees.
    pub lat_deg: f64,
    /// WGS-84 longitude of the origin, degrees.
    pub lon_deg: f64,
    /// Altitude of the ground (flat everywhere), metres.
    pub elevation_m: f64,
    /// Heading at the start, degrees.
    pub heading_deg: f64,
    /// Height above the ground at the start, metres; 0 stands on the ground, else the log begins in the air.
    #[serde(default)]
    pub start_height_m: f64,
}

impl Scenario {
    /// Reads and checks a scenario file.
    ///
    /// # Errors
    /// [`SimError::Toml`] for what is not TOML, lacks a key or has an unknown one; [`SimError::Invalid`] for a value
    /// out of range. Both name the line.
    pub fn from_toml(text: &str) -> Result<Self, SimError> {
        let scenario: Self = toml::from_str(text)?;
        scenario.check().map_err(|fault| fault.located(text))?;
        Ok(scenario)
    }

    /// The scenario as TOML, complete: reading it back gives the same flight.
    ///
    /// # Errors
    /// [`SimError::Unwritable`] when a value cannot be written as TOML (a seed above 2⁶³ - 1).
    pub fn to_toml(&self) -> Result<String, SimError> {
        toml::to_string(self).map_err(|e| SimError::Unwritable(e.to_string()))
    }
}
