//! Why an inertial file cannot be used.

use driftless_formats::ReadError;
use driftless_formats::table::MappingError;

/// Why no inertial data could be had from a file. The flight itself can still be estimated without it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ImuError {
    /// Nothing in it.
    #[error("the inertial file is empty ({bytes} bytes)")]
    Empty {
        /// Size.
        bytes: usize,
    },
    /// Another kind of file.
    #[error("this is {looks_like}; inertial data is read from a CSV with time, gyro and accelerometer columns")]
    NotATable {
        /// What it looks like.
        looks_like: String,
    },
    /// Damaged, too large, or in an unreadable encoding.
    #[error(transparent)]
    File(ReadError),
    /// The header does not name what is needed.
    #[error(
        "line {line}: no column for {missing}; found: {}; name columns like time_s, gyro_x_rad_s, accel_x_mps2, \
         mag_x_ut, or give a mapping (docs/formats.md shows one)",
        found.join(", ")
    )]
    Header {
        /// Line of the header.
        line: u32,
        /// Names found, shortened.
        found: Vec<String>,
        /// What is missing.
        missing: String,
    },
    /// The mapping does not fit the table.
    #[error("inertial mapping: {}", .0.reason)]
    Mapping(#[from] MappingError),
    /// No row could be read.
    #[error("no row with a time and a gyro or accelerometer value could be read; first row: {first}")]
    NoSamples {
        /// The first row, shortened.
        first: String,
    },
    /// A header and nothing behind it.
    #[error("the inertial file ends behind its header (line {line}): it has no rows; was anything recorded?")]
    HeaderOnly {
        /// Line of the header.
        line: u32,
    },
    /// Hardly a row.
    #[error("only {samples} rows of the inertial file could be read; a recording of the whole flight is needed")]
    TooFew {
        /// Samples of the sensor that has most.
        samples: usize,
    },
    /// The times are no times.
    #[error(
        "the step between rows is {step} in the unit of the time column, which is no sampling rate of an \
         inertial sensor (10 to 400 Hz) in s, ms, µs or ns; name the unit like time_ms"
    )]
    NoRate {
        /// Median step, as written.
        step: f64,
    },
    /// The times span more than a flight.
    #[error(
        "{samples} inertial samples span {hours:.0} hours, and no flight lasts longer than a day; is the unit of the time \
         column right? else cut the file to the flight"
    )]
    TooLong {
        /// From first to last, hours.
        hours: f64,
        /// Samples.
        samples: usize,
    },
}

impl ImuError {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Empty { .. } => "file-empty",
            Self::NotATable { .. } => "not-a-table",
            Self::File(_) => "file-unreadable",
            Self::Header { .. } => "column-missing",
            Self::Mapping(_) => "mapping-unusable",
            Self::NoSamples { .. } => "no-samples",
            Self::HeaderOnly { .. } => "header-only",
            Self::TooFew { .. } => "too-few-samples",
            Self::NoRate { .. } => "no-sampling-rate",
            Self::TooLong { .. } => "too-long",
        }
    }

    /// The figure that decided, and its unit, where there is one.
    pub const fn measured(&self) -> (Option<f64>, Option<&'static str>) {
        match *self {
            Self::Empty { bytes } => (Some(bytes as f64), Some("byte")),
            Self::TooFew { samples } => (Some(samples as f64), None),
            Self::NoRate { step } => (Some(step), None),
            Self::TooLong { hours, .. } => (Some(hours), Some("h")),
            _ => (None, None),
        }
    }
}

impl From<ReadError> for ImuError {
    fn from(error: ReadError) -> Self {
        match error {
            ReadError::Empty { bytes } => Self::Empty { bytes },
            ReadError::NotAFlightLog { looks_like, .. } => Self::NotATable { looks_like },
            other => Self::File(other),
        }
    }
}
