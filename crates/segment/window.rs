//! A hands-off window: when it is, how we know, and what it shows.

use crate::HandsOffSpan;
use driftless_track::Scenario;
use serde::Serialize;

/// When a hands-off window is and how we know, before its scenario is told. Times are seconds from the track's epoch.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowSpan {
    /// From let-go to take-over, with what was said of it.
    pub whole: HandsOffSpan,
    /// Start of the steady span: let-go plus the transient.
    pub start_s: f64,
    /// End of the steady span.
    pub end_s: f64,
}

impl WindowSpan {
    /// Whether somebody vouched for the hands being off.
    pub const fn hands_off(&self) -> HandsOff {
        match self.whole.origin {
            Origin::Marked | Origin::Given => HandsOff::Confirmed,
            Origin::Found => HandsOff::Candidate,
        }
    }

    /// The scenario that was named with it; unclassified where nobody named one.
    pub(crate) fn given(&self) -> Scenario {
        self.whole.scenario.unwrap_or(Scenario::Unclassified)
    }

    /// The window, now that its number and its scenario are known, and what the scenario was told by.
    pub(crate) fn into_window(self, id: u32, scenario: Scenario, scenario_basis: ScenarioBasis) -> Window {
        let hands_off = self.hands_off();
        let Self { whole: HandsOffSpan { let_go_s, take_over_s, origin, scenario: _, setup, note }, start_s, end_s } =
            self;
        Window { id, let_go_s, take_over_s, start_s, end_s, origin, hands_off, scenario, scenario_basis, setup, note }
    }
}

/// A hands-off window. Times are seconds from the track's epoch.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// Number in the report, from 1.
    pub id: u32,
    /// Brakes released (for a found candidate: start of the steady part).
    pub let_go_s: f64,
    /// Brakes taken again.
    pub take_over_s: f64,
    /// Start of the steady span: let-go plus the transient.
    pub start_s: f64,
    /// End of the steady span.
    pub end_s: f64,
    /// Where the window came from.
    pub origin: Origin,
    /// Whether somebody vouched for the hands being off.
    pub hands_off: HandsOff,
    /// Trim and power.
    pub scenario: Scenario,
    /// What the scenario was told by.
    pub scenario_basis: ScenarioBasis,
    /// Set-up named in the marks file.
    pub setup: Option<String>,
    /// Note from the marks file.
    pub note: Option<String>,
}

/// What the scenario of a window was told by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScenarioBasis {
    /// Somebody named it: marks or campaign file.
    Marked,
    /// Climb and airspeed, and the recorded engine speed says the same.
    Rpm,
    /// Climb and airspeed, and the recorded engine noise says the same.
    EngineNoise,
    /// Climb and airspeed alone: nobody recorded the power.
    ClimbOnly,
}

impl ScenarioBasis {
    /// Stable name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Marked => "marked",
            Self::Rpm => "rpm",
            Self::EngineNoise => "engine-noise",
            Self::ClimbOnly => "climb-only",
        }
    }
}

/// Where a window came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// Marks inside the log.
    Marked,
    /// Found by the program.
    Found,
    /// Given in a marks file.
    Given,
}

/// Whether the hands were off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum HandsOff {
    /// Somebody marked it.
    Confirmed,
    /// It only looks like it.
    Candidate,
}
