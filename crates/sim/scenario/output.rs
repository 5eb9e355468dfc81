//! The output part of a scenario.

use serde::{Deserialize, Serialize};

/// Which files a scenario makes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Output {
    /// Log formats, one file each.
    pub formats: Vec<Format>,
    /// Whether the log carries the marks (NMEA 0183 cannot).
    pub marks_in_log: bool,
    /// Whether marks name the power setting.
    #[serde(skip_serializing_if = "is_usual")]
    pub marks_name_settings: bool,
    /// Whether a marks file is written. It always is when a log that cannot carry marks would lose them.
    pub marks_file: bool,
    /// Further digits of minutes in IGC, by the extensions LAD and LOD: 0 to 3.
    pub igc_extra_digits: usize,
    /// Time between the steps in the truth file, seconds.
    pub truth_interval_s: f64,
}

/// What files leave out: marks name what they are of.
fn is_usual(marks_name_settings: &bool) -> bool {
    *marks_name_settings
}

impl Default for Output {
    fn default() -> Self {
        Self {
            formats: vec![Format::Gpx],
            marks_in_log: true,
            marks_name_settings: true,
            marks_file: false,
            igc_extra_digits: 0,
            truth_interval_s: 1.0,
        }
    }
}

/// A log format that can be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Format {
    /// GPX 1.1; speed and course go into extensions.
    Gpx,
    /// IGC flight recorder file.
    Igc,
    /// NMEA 0183: RMC and GGA.
    Nmea,
    /// Comma-separated positions.
    Csv,
}

impl Format {
    /// File name extension.
    pub const fn extension(self) -> &'static str {
        match self {
            Self::Gpx => "gpx",
            Self::Igc => "igc",
            Self::Nmea => "nmea",
            Self::Csv => "csv",
        }
    }
}
