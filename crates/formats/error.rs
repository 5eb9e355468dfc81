//! Why no flight log could be had from a file.

use crate::table::MappingError;
use driftless_track::{LogFormat, OverLimit, Problem};
use thiserror::Error;

/// No usable flight log. Each message says what is wrong, where, and what to do.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ReadError {
    /// Nothing in it.
    #[error("the file is empty ({bytes} bytes, nothing but blanks); copy it from the logger again")]
    Empty {
        /// Size as given.
        bytes: usize,
    },
    /// Something else altogether.
    #[error(
        "this is {looks_like}, not a flight log; GPX, IGC, KML, FIT, NMEA 0183 and CSV positions are read, plain or gzip-ed{}",
        advice(help)
    )]
    NotAFlightLog {
        /// What it looks like, in words.
        looks_like: String,
        /// What to do, if there is more to say.
        help: &'static str,
    },
    /// XML, but another kind.
    #[error("line {line}: this XML file begins with <{root}>, not <gpx> or <kml>{}", advice(help))]
    XmlNotGpx {
        /// The root element as written, shortened.
        root: String,
        /// Its line.
        line: u32,
        /// What to do.
        help: &'static str,
    },
    /// Positions without any time.
    #[error(
        "this {} has no times: none of its {points} points (the first at line {line}) says when it was recorded; \
         export the recorded track with times instead of a planned or simplified route",
        format.name()
    )]
    NoTimes {
        /// Format read.
        format: LogFormat,
        /// Points met.
        points: u32,
        /// Line of the first.
        line: u32,
    },
    /// Records, but no usable fix.
    #[error("no usable fix in this {} file{}{}", format.name(), why(problems), advice(help))]
    NoFixes {
        /// Format read.
        format: LogFormat,
        /// What was dropped, and why.
        problems: Vec<Problem>,
        /// What to do.
        help: &'static str,
    },
    /// Ends before the first fix.
    #[error("the {} file ends at line {line}, byte {byte}, before the first complete fix; copy it from the logger again{}", format.name(), why(problems))]
    CutOff {
        /// Format read.
        format: LogFormat,
        /// Last line.
        line: u32,
        /// Where it ends.
        byte: u64,
        /// What was dropped, and why.
        problems: Vec<Problem>,
    },
    /// A table whose header does not name positions and times.
    #[error(
        "line {line}: this table has no column for {}; found: {}; name columns like time_utc, lat_deg, lon_deg, \
         altitude_m, or give a column mapping (docs/formats.md shows one)",
        missing.join(" and "), found.join(", ")
    )]
    CsvHeader {
        /// Line of the header.
        line: u32,
        /// Column names found.
        found: Vec<String>,
        /// What is missing.
        missing: Vec<&'static str>,
    },
    /// The column mapping does not fit.
    #[error(transparent)]
    Mapping(#[from] MappingError),
    /// The compressed file is broken before anything could be read.
    #[error("the gzip file is damaged ({reason}) and nothing could be unpacked; copy it again")]
    Gzip {
        /// The decompressor's words.
        reason: String,
    },
    /// More than a flight log can be.
    #[error(
        "the gzip file unpacks to more than {limit_mib} MiB from {packed_bytes} bytes, which no flight log does; it was not read further"
    )]
    TooLarge {
        /// Limit, MiB.
        limit_mib: u64,
        /// Compressed size.
        packed_bytes: usize,
    },
    /// More than is read.
    #[error(transparent)]
    OverLimit(#[from] OverLimit),
    /// Characters that cannot be decoded.
    #[error("the file says it is written in the encoding {name}, which is not read; save it as UTF-8")]
    Encoding {
        /// The name as written.
        name: String,
    },
}

impl ReadError {
    /// A short stable name in kebab-case, like the codes of problems.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Empty { .. } => "empty-file",
            Self::NotAFlightLog { .. } => "not-a-flight-log",
            Self::XmlNotGpx { .. } => "xml-not-gpx",
            Self::NoTimes { .. } => "no-times",
            Self::NoFixes { .. } => "no-fixes",
            Self::CutOff { .. } => "cut-off",
            Self::CsvHeader { .. } => "csv-header",
            Self::Mapping(_) => "csv-mapping",
            Self::Gzip { .. } => "gzip-damaged",
            Self::TooLarge { .. } => "too-large",
            Self::OverLimit(_) => "over-limit",
            Self::Encoding { .. } => "encoding",
        }
    }

    /// The line that the message names, from 1, where it names one.
    pub fn line(&self) -> Option<u32> {
        match self {
            Self::XmlNotGpx { line, .. }
            | Self::NoTimes { line, .. }
            | Self::CutOff { line, .. }
            | Self::CsvHeader { line, .. } => Some(*line),
            Self::NoFixes { problems, .. } => worst(problems)?.line,
            Self::OverLimit(over) => over.line,
            Self::Empty { .. }
            | Self::NotAFlightLog { .. }
            | Self::Mapping(_)
            | Self::Gzip { .. }
            | Self::TooLarge { .. }
            | Self::Encoding { .. } => None,
        }
    }
}

fn advice(help: &str) -> String {
    if help.is_empty() { String::new() } else { format!("; {help}") }
}

/// The problem that took most records.
fn worst(problems: &[Problem]) -> Option<&Problem> {
    problems.iter().filter(|p| p.severity >= driftless_track::Severity::Warning).max_by_key(|p| p.count)
}

/// The same in words, with its count and place.
fn why(problems: &[Problem]) -> String {
    let Some(worst) = worst(problems) else { return String::new() };
    let place = match (worst.line, worst.byte) {
        (Some(line), _) => format!("line {line}: "),
        (None, Some(byte)) => format!("byte {byte}: "),
        (None, None) => String::new(),
    };
    let more = if worst.count > 1 { format!(" (and {} more like it)", worst.count - 1) } else { String::new() };
    let help = worst.help.as_ref().map(|help| format!("; {help}")).unwrap_or_default();
    format!(": {place}{}{more}{help}", worst.message)
}
