//! The flight plan part of a scenario.

use driftless_track::Scenario as Setting;
use serde::{Deserialize, Serialize};

/// One leg of the flight plan. All but [`Leg::HandsOff`] and [`Leg::Stand`] are flown by the pilot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", deny_unknown_fields, rename_all = "kebab-case")]
pub enum Leg {
    /// Stand on the ground.
    Stand {
        /// How long, seconds.
        seconds: f64,
    },
    /// Run up at full power in the site's start direction until the wing carries.
    TakeOff {
        /// How long the run takes, seconds.
        seconds: f64,
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

    /// The power setting it asks for, if any.
    pub(crate) const fn setting(&self) -> Option<Setting> {
        match self {
            Self::Stand { .. } => None,
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
