//! What a flight log holds, as read: every value as recorded, `None` where the logger said nothing.

use crate::{OptionalF64, Problem};
use chrono::{DateTime, Utc};
use driftless_units::Scenario;
use serde::{Deserialize, Serialize};

/// A flight log as read from one file.
#[derive(Debug, Clone, PartialEq)]
pub struct FlightLog {
    /// The format that was recognised.
    pub format: LogFormat,
    /// Fixes in file order; times may still repeat or run backwards.
    pub fixes: Vec<Fix>,
    /// Marks in file order.
    pub marks: Vec<Mark>,
    /// Indices into `fixes` at which the recorder itself began a new segment (GPX track segments, KML tracks).
    pub segment_starts: Vec<usize>,
    /// What was dropped or odd while reading.
    pub problems: Vec<Problem>,
}

/// The formats that can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LogFormat {
    /// GPS Exchange Format 1.0 or 1.1.
    Gpx,
    /// FAI/IGC flight recorder data file.
    Igc,
    /// NMEA 0183 sentences.
    Nmea,
    /// Comma-separated positions.
    Csv,
    /// KML with tracks that have times.
    Kml,
    /// FIT activity file.
    Fit,
}

impl LogFormat {
    /// The name of the format.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Gpx => "GPX",
            Self::Igc => "IGC",
            Self::Nmea => "NMEA 0183",
            Self::Csv => "CSV",
            Self::Kml => "KML",
            Self::Fit => "FIT",
        }
    }
}

/// Where in the (uncompressed) file a record stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct SourceRef {
    /// Line, from 1; 0 in a file that has no lines.
    pub line: u32,
    /// Byte offset from the start, from 0.
    pub byte: u64,
}

impl SourceRef {
    /// The line, where the file has lines.
    #[inline]
    pub fn line_number(self) -> Option<u32> {
        (self.line > 0).then_some(self.line)
    }
}

/// How good the receiver called a fix.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum FixQuality {
    /// The log does not say.
    #[default]
    Unstated,
    /// Three-dimensional.
    ThreeD,
    /// Two-dimensional, or position repeated by the recorder's clock (IGC "V"): kept out of wind work.
    TwoD,
}

/// One position as the logger wrote it. What may be missing is kept in half the room of an option.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fix {
    /// Time, UTC.
    pub time: DateTime<Utc>,
    /// WGS-84 latitude, degrees, north positive.
    pub lat_deg: f64,
    /// WGS-84 longitude, degrees, east positive, in `[-180, 180]`.
    pub lon_deg: f64,
    /// GNSS altitude as recorded (above ellipsoid or geoid: the log rarely says), metres.
    pub gnss_altitude_m: OptionalF64,
    /// Pressure altitude in the standard atmosphere, metres.
    pub pressure_altitude_m: OptionalF64,
    /// Recorded speed over ground, m/s.
    pub ground_speed_mps: OptionalF64,
    /// Recorded true course over ground, degrees.
    pub course_deg: OptionalF64,
    /// Recorded climb rate, m/s, up positive.
    pub climb_mps: OptionalF64,
    /// Recorded true heading, degrees.
    pub heading_true_deg: OptionalF64,
    /// Recorded magnetic heading, degrees.
    pub heading_magnetic_deg: OptionalF64,
    /// Recorded true airspeed, m/s.
    pub true_airspeed_mps: OptionalF64,
    /// Recorded indicated airspeed, m/s.
    pub indicated_airspeed_mps: OptionalF64,
    /// Engine speed, revolutions per minute.
    pub engine_rpm: OptionalF64,
    /// Engine noise level of an IGC recorder, 0 to 999.
    pub engine_noise: OptionalF64,
    /// Horizontal dilution of precision.
    pub hdop: OptionalF64,
    /// Estimated horizontal position error as recorded, metres (one standard deviation where the format says so,
    /// IGC FXA is halved on reading because it is two sigma).
    pub horizontal_error_m: OptionalF64,
    /// Quality as stated by the receiver.
    pub quality: FixQuality,
    /// Where in the file this fix came from.
    pub source: SourceRef,
}

/// A moment the pilot or logger marked.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Time, UTC.
    pub time: DateTime<Utc>,
    /// What it means.
    pub kind: MarkKind,
    /// Scenario named after it, if any.
    pub scenario: Option<Scenario>,
    /// The words as written.
    pub text: String,
    /// Where it stands in the file.
    pub source: SourceRef,
}

impl Mark {
    /// Understands "let go" and "take over" (any case, `-` or `_` for the blank) with a scenario name behind them;
    /// everything else is an [`MarkKind::Other`] mark.
    pub fn from_text(time: DateTime<Utc>, text: &str, source: SourceRef) -> Self {
        let plain = text.trim().to_lowercase().replace(['-', '_'], " ");
        let words = plain.split_whitespace().collect::<Vec<_>>().join(" ");
        let (kind, rest) = if let Some(rest) = words.strip_prefix("let go") {
            (MarkKind::LetGo, rest)
        } else if let Some(rest) = words.strip_prefix("take over") {
            (MarkKind::TakeOver, rest)
        } else {
            (MarkKind::Other, "")
        };
        let rest = rest.trim_start_matches([' ', ':', ',']).replace(' ', "-");
        Self { time, kind, scenario: Scenario::from_name(&rest), text: text.trim().to_owned(), source }
    }
}

/// The meaning of a [`Mark`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum MarkKind {
    /// Brakes released.
    LetGo,
    /// Brakes taken again.
    TakeOver,
    /// Any other mark.
    Other,
}
