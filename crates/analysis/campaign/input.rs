//! What a campaign analysis is made from.

use crate::{FileNotUsed, FlightAnalysis, MadeBy, Refusal, WindowMeasurement};
use chrono::{DateTime, Utc};
use driftless_campaign::model::{Campaign, FlightId};

/// A campaign and the analysis of every flight in it.
#[derive(Debug, Clone)]
pub struct CampaignInput {
    /// What the campaign file says.
    pub campaign: Campaign,
    /// One outcome for each flight of the campaign, in its order.
    pub flights: Vec<FlightOutcome>,
    /// How the output is made.
    pub made_by: MadeBy,
    /// Name of the campaign file as given.
    pub file: String,
}

/// What became of a flight.
pub type FlightOutcome = Result<FlightSummary, FlightFailure>;

/// Why a flight gives no analysis.
#[derive(Debug, Clone, PartialEq)]
pub enum FlightFailure {
    /// The campaign file leaves it out.
    LeftOut,
    /// A file of it cannot be had: why, by whoever asked the system for it.
    NotRead(String),
    /// A file of it was refused.
    Refused(Refusal),
}

impl FlightFailure {
    /// Whether one of its files is at fault; else they were read, and hold no track.
    pub const fn at_fault(&self) -> bool {
        match self {
            Self::LeftOut => false,
            Self::NotRead(_) => true,
            Self::Refused(refusal) => !refusal.nothing_usable(),
        }
    }

    /// Stable name of the reason, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::LeftOut => "left-out",
            Self::NotRead(_) => "file-not-read",
            Self::Refused(refusal) => refusal.fault.code(),
        }
    }
}

/// What a campaign needs of a flight; the track and the estimate are not kept, for there may be hundreds.
#[derive(Debug, Clone)]
pub struct FlightSummary {
    /// Which flight.
    pub flight: FlightId,
    /// SHA-256 of the log, lower-case hex.
    pub input_sha256: String,
    /// First moment of the track.
    pub start_utc: DateTime<Utc>,
    /// Name of the log as given.
    pub file: String,
    /// Files given beside the log that had no part in the analysis.
    pub files_not_used: Vec<FileNotUsed>,
    /// Windows, accepted and refused.
    pub windows: Vec<WindowMeasurement>,
}

impl FlightSummary {
    /// What a campaign needs of an analysis.
    pub fn of(flight: FlightId, analysis: FlightAnalysis) -> Self {
        Self {
            flight,
            files_not_used: analysis.files_not_used().collect(),
            file: analysis.file,
            input_sha256: analysis.made_by.input_sha256,
            start_utc: analysis.track.epoch,
            windows: analysis.windows,
        }
    }
}
