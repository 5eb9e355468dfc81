//! Every limit of an analysis in one place.

use driftless_segment::Limits;
use driftless_track::{InputLimits, TrackConfig};

/// The configuration of a flight analysis; the defaults are those of each crate.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FlightConfig {
    /// How much is read at all; no result depends on it, so no output carries it.
    pub input: InputLimits,
    /// Cleaning the track.
    pub track: TrackConfig,
    /// Finding, trimming, naming and judging windows.
    pub limits: Limits,
}

impl FlightConfig {
    /// Name and value of every setting, as every output carries them.
    pub fn entries(&self) -> Vec<(String, String)> {
        let track = [("track.gap_min_s", self.track.gap_min_s), ("track.gap_intervals", self.track.gap_intervals)];
        let windows = self.limits.entries().into_iter().map(|(name, value)| (format!("windows.{name}"), value));
        track
            .into_iter()
            .map(|(name, value)| (name.to_owned(), value))
            .chain(windows)
            .map(|(name, value)| (name, value.to_string()))
            .collect()
    }
}
