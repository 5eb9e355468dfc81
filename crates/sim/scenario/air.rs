//! The air part of a scenario.

use serde::{Deserialize, Serialize};

/// Wind, turbulence and thermals.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Air {
    /// Mean wind speed at the reference height, m/s.
    pub wind_mps: f64,
    /// Where the mean wind at the reference height comes from, degrees.
    pub wind_from_deg: f64,
    /// The reference height above the ground, metres.
    #[serde(default)]
    pub reference_height_m: f64,
    /// Growth of the mean wind speed with height, as a fraction of the speed at the reference height per metre.
    /// The speed never falls below zero.
    #[serde(default)]
    pub shear_per_m: f64,
    /// Turn of the wind direction with height, degrees per metre, clockwise (veering) positive.
    #[serde(default)]
    pub veer_deg_per_m: f64,
    /// Slow change of the wind per axis, m/s (standard deviation).
    #[serde(default)]
    pub slow_sd_mps: f64,
    /// Correlation time of the slow change, seconds.
    #[serde(default = "slow_tau_s")]
    pub slow_tau_s: f64,
    /// Gusts.
    #[serde(default)]
    pub gusts: Gusts,
    /// Wander of the turn rate by turbulence, °/s (standard deviation).
    #[serde(default)]
    pub yaw_wander_deg_s: f64,
    /// Correlation time of that wander, seconds.
    #[serde(default = "yaw_wander_tau_s")]
    pub yaw_wander_tau_s: f64,
    /// Thermals, fixed to the ground.
    #[serde(default)]
    pub thermals: Vec<Thermal>,
    /// Lasting changes of the wind, everywhere at once.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<WindChange>,
}

/// A lasting change of the wind: a sea breeze, a front, the edge of a valley's wind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WindChange {
    /// When it begins, seconds from the start.
    pub at_s: f64,
    /// How long it takes, seconds.
    pub over_s: f64,
    /// What it adds to the east, m/s.
    pub east_mps: f64,
    /// What it adds to the north, m/s.
    pub north_mps: f64,
}

fn slow_tau_s() -> f64 {
    600.0
}
fn yaw_wander_tau_s() -> f64 {
    3.0
}

/// The model of the gusts.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub enum Gusts {
    /// None.
    #[default]
    None,
    /// First-order Markov per horizontal axis, east and north.
    Markov {
        /// Standard deviation per axis, m/s.
        sd_mps: f64,
        /// Correlation time, seconds.
        tau_s: f64,
    },
    /// Dryden spectra with the low-altitude scales of MIL-F-8785C.
    Dryden(Dryden),
}

/// Strength of Dryden gusts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dryden {
    /// Wind speed at 20 ft above the ground, m/s, which sets the intensity in MIL-F-8785C.
    pub wind_20ft_mps: f64,
}

/// A column of rising air: climb grows by `strength` · exp(-(r/radius)²) at the distance r from the middle.
///
/// Upright, steady and fixed to the ground, with no inflow at its foot: enough to disturb climb and height, not
/// a model of convection.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Thermal {
    /// Middle, metres east of the site.
    pub east_m: f64,
    /// Middle, metres north of the site.
    pub north_m: f64,
    /// Updraught in the middle, m/s.
    pub strength_mps: f64,
    /// Distance at which it has fallen to 1/e, metres.
    pub radius_m: f64,
}
