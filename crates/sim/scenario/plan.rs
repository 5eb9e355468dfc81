//! The flight plan part of a scenario.

use super::PowerSetting;
use driftless_track::Scenario as Setting;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One leg of the flight plan. All but [`Leg::HandsOff`] and those on the ground are flown by the pilot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", deny_unknown_fields, rename_all = "kebab-case")]
pub enum Leg {
    /// Stand on the ground.
    Stand {
        /// How long, seconds.
        seconds: f64,
    },
    /// Go over the ground at an even speed: walk, drive home.
    Drive {
        /// How long, seconds.
        seconds: f64,
        /// Over the ground, m/s.
        speed_mps: f64,
        /// Which way, degrees.
        heading_deg: f64,
    },
    /// On the ground: from here on these power settings stand in for those of the aircraft, as after a change of device.
    Refit {
        /// The new ones, by name.
        settings: BTreeMap<Setting, PowerSetting>,
    },
    /// Run up at full power until the wing carries.
    TakeOff {
        /// How long the run takes, seconds.
        seconds: f64,
        /// Which way, degrees; as the aircraft stands when absent.
        heading_deg: Option<f64>,
    },
    /// Fly straight, with small corrections.
    Straight {
        /// How long, seconds.
        seconds: f64,
        /// Power setting; the one before when absent.
        setting: Option<Setting>,
        /// Heading to hold, degrees; the present one when absent.
        heading_deg: Option<f64>,
    },
    /// Turn by an angle.
    Turn {
        /// How far, degrees, right positive.
        by_deg: f64,
        /// Turn rate, °/s, without sign.
        rate_deg_s: f64,
        /// Power setting; the one before when absent.
        setting: Option<Setting>,
    },
    /// Full circles at an even rate.
    Orbit {
        /// How many.
        turns: f64,
        /// Which way.
        direction: Direction,
        /// Turn rate, °/s, without sign.
        rate_deg_s: f64,
        /// Power setting; the one before when absent.
        setting: Option<Setting>,
    },
    /// A full circle to the right and one to the left.
    FigureEight {
        /// Turn rate, °/s, without sign.
        rate_deg_s: f64,
        /// Power setting; the one before when absent.
        setting: Option<Setting>,
    },
    /// Fly in a power setting until a height above the ground is passed.
    ToHeight {
        /// The height above the ground, metres.
        height_m: f64,
        /// Power setting: one that climbs or sinks toward the height.
        setting: Setting,
        /// Turn rate meanwhile, °/s, right positive; 0 holds the heading.
        #[serde(default)]
        rate_deg_s: f64,
    },
    /// Let go of the brakes: a window. Power should have settled on the leg before.
    HandsOff {
        /// Length of the steady span, seconds, after a transient of four let-go time constants.
        seconds: f64,
        /// Power setting; the one before when absent.
        setting: Option<Setting>,
    },
    /// Glide straight to the ground with the power off, run out in six seconds and stop.
    Land,
}

/// Which way a circle goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// Clockwise seen from above.
    Right,
    /// Anticlockwise seen from above.
    Left,
}

impl Direction {
    /// +1 to the right, -1 to the left.
    pub(crate) const fn sign(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }
}

impl Leg {
    /// The name in the file.
    pub(crate) const fn name(&self) -> &'static str {
        match self {
            Self::Stand { .. } => "stand",
            Self::Drive { .. } => "drive",
            Self::Refit { .. } => "refit",
            Self::TakeOff { .. } => "take-off",
            Self::Straight { .. } => "straight",
            Self::Turn { .. } => "turn",
            Self::Orbit { .. } => "orbit",
            Self::FigureEight { .. } => "figure-eight",
            Self::ToHeight { .. } => "to-height",
            Self::HandsOff { .. } => "hands-off",
            Self::Land => "land",
        }
    }

    /// Whether the aircraft stays on the ground.
    pub(crate) const fn grounded(&self) -> bool {
        matches!(self, Self::Stand { .. } | Self::Drive { .. } | Self::Refit { .. })
    }

    /// The power setting it asks for, if any.
    pub(crate) const fn setting(&self) -> Option<Setting> {
        match self {
            Self::Stand { .. } | Self::Drive { .. } | Self::Refit { .. } => None,
            Self::TakeOff { .. } => Some(Setting::FullPowerClimb),
            Self::Straight { setting, .. }
            | Self::Turn { setting, .. }
            | Self::Orbit { setting, .. }
            | Self::FigureEight { setting, .. }
            | Self::HandsOff { setting, .. } => *setting,
            Self::ToHeight { setting, .. } => Some(*setting),
            Self::Land => Some(Setting::PowerOffGlide),
        }
    }
}
