//! What set-ups are made of: power units, torque devices, wings, pilots.

use driftless_units::Scenario;
use std::collections::BTreeMap;

/// An engine with reduction drive and propeller.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerUnit {
    /// Key in the campaign file.
    pub key: String,
    /// Name in reports.
    pub name: String,
    /// Engine speed over propeller speed.
    pub reduction_ratio: f64,
    /// Share of the engine's power that the reduction drive passes on, 0 to 1.
    pub drive_efficiency: f64,
    /// Which way the propeller turns, seen from behind.
    pub propeller: PropellerDirection,
    /// Engine power and speed in each scenario that is known.
    pub engine: BTreeMap<Scenario, EnginePoint>,
}

/// Which way a propeller turns, seen from behind; its reaction turns the aircraft the other way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PropellerDirection {
    /// Clockwise from behind: the reaction turns the aircraft to the left.
    Clockwise,
    /// Anticlockwise from behind: the reaction turns the aircraft to the right.
    Anticlockwise,
}

impl PropellerDirection {
    /// Sign of the reaction moment: right turn positive.
    pub const fn reaction_sign(self) -> f64 {
        match self {
            Self::Clockwise => -1.0,
            Self::Anticlockwise => 1.0,
        }
    }
}

/// Engine power and speed in one scenario.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnginePoint {
    /// Power that the engine gives off, kW; 0 when it is stopped or idles without thrust.
    pub power_kw: f64,
    /// Standard uncertainty of that power, kW.
    pub power_std_u_kw: f64,
    /// Speed of the crankshaft, revolutions per minute.
    pub speed_rpm: f64,
}

/// A torque device: whatever is fitted against the torque.
#[derive(Debug, Clone, PartialEq)]
pub struct Device {
    /// Key in the campaign file.
    pub key: String,
    /// Name in reports.
    pub name: String,
    /// How its moment depends on power, where the maker says so; otherwise the data decide.
    pub model: Option<DeviceKind>,
    /// Unit of its setting (mm, °, notches), for display.
    pub setting_unit: Option<String>,
    /// Lowest and highest setting that can be set.
    pub setting_range: Option<(f64, f64)>,
}

/// How the moment of a torque device depends on power.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeviceKind {
    /// Constant, whatever the power (offset hang point).
    Constant,
    /// In proportion to the torque (vanes in the propwash, tilted thrust line).
    Propwash,
    /// Some of both.
    Mixed,
}

/// A wing.
#[derive(Debug, Clone, PartialEq)]
pub struct Wing {
    /// Key in the campaign file.
    pub key: String,
    /// Name in reports.
    pub name: String,
    /// Projected or flat area as the maker states it, m².
    pub area_m2: Option<f64>,
    /// Mass of the wing, kg.
    pub mass_kg: Option<f64>,
    /// Class as the maker or test house states it (free words).
    pub class: Option<String>,
}

/// A pilot.
#[derive(Debug, Clone, PartialEq)]
pub struct Pilot {
    /// Key in the campaign file.
    pub key: String,
    /// Name in reports.
    pub name: String,
    /// All-up mass (pilot, power unit, fuel, wing), kg.
    pub all_up_kg: Option<f64>,
    /// The pilot alone, dressed to fly, kg: what is shifted in a weight shift.
    pub body_kg: Option<f64>,
    /// Whether the pilot is a student of the class.
    pub student: bool,
}
