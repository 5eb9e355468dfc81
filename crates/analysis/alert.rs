//! What an analysis itself has to tell, beside the problems met while reading: data, put into words by reports.

use crate::WindowMeasurement;
use driftless_segment::{HandsOff, WindUnknown};
use driftless_track::Severity;

/// Something to know before reading the figures of a flight.
#[derive(Debug, Clone, PartialEq)]
pub enum FlightAlert {
    /// The wind cannot be told, so there is no turn rate.
    WindNotKnown(WindUnknown),
    /// There is no window.
    NoWindows,
    /// Every window was found by the program; nobody marked one.
    CandidatesOnly,
}

impl FlightAlert {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::WindNotKnown(_) => "wind-not-known",
            Self::NoWindows => "no-windows",
            Self::CandidatesOnly => "candidates-only",
        }
    }

    /// How bad.
    pub const fn severity(&self) -> Severity {
        match self {
            Self::WindNotKnown(_) => Severity::Error,
            Self::NoWindows => Severity::Warning,
            Self::CandidatesOnly => Severity::Note,
        }
    }
}

/// What to know about a result.
pub(crate) fn alerts(windows: &[WindowMeasurement], wind_unknown: Option<&WindUnknown>) -> Vec<FlightAlert> {
    let mut alerts: Vec<FlightAlert> = wind_unknown.cloned().map(FlightAlert::WindNotKnown).into_iter().collect();
    if windows.is_empty() {
        alerts.push(FlightAlert::NoWindows);
    } else if windows.iter().all(|w| w.window.hands_off == HandsOff::Candidate) {
        alerts.push(FlightAlert::CandidatesOnly);
    }
    alerts
}
