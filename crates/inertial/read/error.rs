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
        "the step between rows is {} in the unit of the time column, which is no sampling rate of an \
         inertial sensor (10 to 400 Hz) in s, ms, µs or ns; name the unit like time_ms",
        short(*.step)
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

/// A number as written, unless that is long: then with six digits, and with an exponent where it is very large or small.
fn short(number: f64) -> String {
    let written = number.to_string();
    if written.len() <= 12 {
        return written;
    }
    let size = number.abs();
    if (1e-3..1e9).contains(&size) {
        // So many decimals that six digits stand.
        let decimals = (5.0 - size.log10().floor()).max(0.0) as usize;
        return format!("{number:.decimals$}");
    }
    format!("{number:.5e}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_told_in_few_digits() {
        for (step, words) in [
            (5_000.0, "5000"),
            (0.02, "0.02"),
            (0.1 + 0.2, "0.300000"),
            (5e70, "5.00000e70"),
            (1e-9 / 3.0, "3.33333e-10"),
            (123_456.789_123_4, "123457"),
        ] {
            assert_eq!(short(step), words);
        }
        let told = ImuError::NoRate { step: 5e70 }.to_string();
        assert!(told.starts_with("the step between rows is 5.00000e70 in the unit"), "{told}");
    }
}
