//! What the aircraft was doing while its turn was measured.

use serde::{Deserialize, Serialize};

/// What the aircraft was doing: trim and power.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Scenario {
    /// Level at trim speed.
    TrimLevel,
    /// Level, accelerated (speed system or trimmers).
    AcceleratedLevel,
    /// Climbing at full power.
    FullPowerClimb,
    /// Gliding with the power off.
    PowerOffGlide,
    /// None of these could be told.
    Unclassified,
}

impl Scenario {
    /// All of them, in the order reports use.
    pub const ALL: [Self; 5] =
        [Self::TrimLevel, Self::AcceleratedLevel, Self::FullPowerClimb, Self::PowerOffGlide, Self::Unclassified];

    /// The name used in files and reports.
    pub const fn name(self) -> &'static str {
        match self {
            Self::TrimLevel => "trim-level",
            Self::AcceleratedLevel => "accelerated-level",
            Self::FullPowerClimb => "full-power-climb",
            Self::PowerOffGlide => "power-off-glide",
            Self::Unclassified => "unclassified",
        }
    }

    /// As people say it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::TrimLevel => "trim level",
            Self::AcceleratedLevel => "accelerated level",
            Self::FullPowerClimb => "full-power climb",
            Self::PowerOffGlide => "power-off glide",
            Self::Unclassified => "not classified",
        }
    }

    /// The scenario of that exact name; `None` for any other word.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.name() == name)
    }
}
