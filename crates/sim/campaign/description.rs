//! What the flights of a simulated campaign have in common, and what tells them apart: a TOML file.

use crate::SimError;
use crate::scenario::{Device, Gusts, Site};
use chrono::{DateTime, Utc};
use driftless_track::Scenario as Setting;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A whole campaign in one description.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Description {
    /// Seed of what differs from flight to flight.
    pub seed: u64,
    /// Between-run standard deviation of the residual turn, as a share of it: a set-up is never rigged twice alike.
    pub between_run_share: f64,
    /// Where all flights begin; the heading is into the wind of the day.
    pub site: Site,
    /// Whether the propeller turns clockwise seen from behind.
    pub clockwise_from_behind: bool,
    /// Engine speed over propeller speed.
    pub reduction_ratio: f64,
    /// The engine in each power setting.
    pub engine: BTreeMap<Setting, Engine>,
    /// Torque devices by set-up.
    pub setups: BTreeMap<String, Device>,
    /// Wings.
    pub wings: BTreeMap<String, BTreeMap<Setting, WingPoint>>,
    /// Days by name.
    pub days: BTreeMap<String, Day>,
    /// Flights.
    pub sorties: Vec<Sortie>,
}

/// Engine power and speed.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Engine {
    /// Power, kW.
    pub power_kw: f64,
    /// Crankshaft speed, revolutions per minute.
    pub engine_rpm: f64,
}

/// How a wing flies in one power setting.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WingPoint {
    /// True airspeed, m/s.
    pub airspeed_mps: f64,
    /// Climb, m/s.
    pub climb_mps: f64,
    /// Turn rate for a moment, °/s per N·m.
    pub sensitivity_deg_s_per_nm: f64,
}

/// The air of a day.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Day {
    /// When the first flight of the day begins.
    pub first_start_utc: DateTime<Utc>,
    /// Wind at 300 m, m/s.
    pub wind_mps: f64,
    /// Where it comes from, degrees.
    pub wind_from_deg: f64,
    /// Gusts.
    pub gusts: Gusts,
    /// Wander of the turn rate by turbulence, °/s.
    pub yaw_wander_deg_s: f64,
}

/// One flight.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sortie {
    /// Name of its files.
    pub name: String,
    /// Its day.
    pub day: String,
    /// Its set-up.
    pub setup: String,
    /// Its wing.
    pub wing: String,
    /// A weight hung against the torque, and its arm; flown with the set-up that has no device.
    #[serde(default)]
    pub weight: Option<Weight>,
    /// Who timed its windows with a stopwatch, if anybody did.
    #[serde(default)]
    pub timed_by: Option<String>,
    /// Whether its log was kept; without it, all there is are the timed runs.
    #[serde(default = "yes")]
    pub log_kept: bool,
}

const fn yes() -> bool {
    true
}

/// A weight hung on one side.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weight {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Arm, m.
    pub arm_m: f64,
}

impl Description {
    /// Reads a description.
    ///
    /// # Errors
    /// [`SimError::Toml`] for what is not TOML, lacks a key or has an unknown one.
    pub fn from_toml(text: &str) -> Result<Self, SimError> {
        Ok(toml::from_str(text)?)
    }
}
