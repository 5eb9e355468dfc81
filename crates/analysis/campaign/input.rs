//! What a campaign analysis is made from.

use crate::{FlightAnalysis, MadeBy, WindowMeasurement};
use chrono::{DateTime, Utc};
use driftless_campaign::model::{Campaign, FlightId};
use driftless_track::Problem;
use driftless_units::printable;

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
pub type FlightOutcome = Result<FlightSummary, String>;

/// What a campaign needs of a flight; the track and the estimate are not kept, for there may be hundreds.
#[derive(Debug, Clone)]
pub struct FlightSummary {
    /// Which flight.
    pub flight: FlightId,
    /// SHA-256 of the log, lower-case hex.
    pub input_sha256: String,
    /// First moment of the track.
    pub start_utc: DateTime<Utc>,
    /// Files given beside the log that had no part in the analysis, and why, in words.
    pub files_not_used: Vec<String>,
    /// Windows, accepted and refused.
    pub windows: Vec<WindowMeasurement>,
}

impl FlightSummary {
    /// What a campaign needs of an analysis.
    pub fn of(flight: FlightId, analysis: FlightAnalysis) -> Self {
        let not_used = |problem: &Problem| format!("{}: {}", printable(&analysis.file), problem.message);
        Self {
            flight,
            files_not_used: analysis.files_not_used().map(not_used).collect(),
            input_sha256: analysis.made_by.input_sha256,
            start_utc: analysis.track.epoch,
            windows: analysis.windows,
        }
    }
}
