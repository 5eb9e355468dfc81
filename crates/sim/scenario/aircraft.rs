//! The aircraft part of a scenario.

use driftless_track::Scenario as Setting;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How the aircraft answers power and brakes. Every lag is first order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Aircraft {
    /// Lag of the airspeed behind the power setting, seconds.
    #[serde(default = "airspeed_lag_s")]
    pub airspeed_lag_s: f64,
    /// Lag of the climb rate behind the power setting, seconds.
    #[serde(default = "climb_lag_s")]
    pub climb_lag_s: f64,
    /// Lag of the bank behind the pilot's hands, seconds.
    #[serde(default = "roll_lag_s")]
    pub roll_lag_s: f64,
    /// Time constant with which the bank goes over to its hands-off value after let-go, seconds.
    #[serde(default = "let_go_lag_s")]
    pub let_go_lag_s: f64,
    /// Spread of the pilot's small corrections in straight flight, as a commanded turn rate, °/s.
    #[serde(default = "corrections_deg_s")]
    pub corrections_deg_s: f64,
    /// A swing of airspeed and height against each other that nobody damps.
    pub porpoising: Option<Porpoising>,
    /// The propeller and torque device; needed when a setting gives its residual turn as torque.
    pub propeller: Option<Propeller>,
    /// Airspeed, climb and residual turn of each power setting, by its name (`trim-level`, …).
    pub settings: BTreeMap<Setting, PowerSetting>,
}

fn airspeed_lag_s() -> f64 {
    2.5
}
fn climb_lag_s() -> f64 {
    2.0
}
fn roll_lag_s() -> f64 {
    1.0
}
fn let_go_lag_s() -> f64 {
    2.5
}
fn corrections_deg_s() -> f64 {
    0.8
}

/// Airspeed and height changing against each other, as a sine: a wing left to its phugoid, or hands that feed it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Porpoising {
    /// Amplitude of the airspeed, m/s.
    pub airspeed_mps: f64,
    /// Its period, seconds.
    pub period_s: f64,
}

/// One power setting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PowerSetting {
    /// True airspeed once settled, m/s.
    pub airspeed_mps: f64,
    /// Climb rate once settled, m/s, up positive.
    pub climb_mps: f64,
    /// What is left of the turn with the hands off.
    pub residual: Residual,
}

/// The turn an aircraft makes on its own, given outright or by torque.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub enum Residual {
    /// Given outright, °/s, right positive.
    RateDegS(f64),
    /// By the torque model (see [`crate::torque`]).
    Torque(TorquePoint),
}

/// Engine and wing in one power setting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TorquePoint {
    /// Engine power, kW; 0 with the engine off or idling without thrust.
    pub power_kw: f64,
    /// Engine speed, revolutions per minute.
    pub engine_rpm: f64,
    /// Sensitivity of the wing to a moment, °/s per N·m, positive.
    pub sensitivity_deg_s_per_nm: f64,
}

/// Propeller, reduction drive and torque device.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Propeller {
    /// Whether the propeller turns clockwise seen from behind; its reaction then turns the aircraft to the left.
    pub clockwise_from_behind: bool,
    /// Engine speed over propeller speed.
    pub reduction_ratio: f64,
    /// The torque device.
    #[serde(default)]
    pub device: Device,
}

/// What a torque device does against the reaction moment.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub enum Device {
    /// There is none.
    #[default]
    None,
    /// A constant moment, N·m, that does not care about power (offset hang point): over-corrects with the power off.
    ConstantMomentNm(f64),
    /// A moment from the propwash, given as the share of the reaction torque it takes.
    PropwashShare(f64),
}
