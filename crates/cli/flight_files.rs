//! The files of a flight as the one door wants them: from disk, or one of them from standard input.

use crate::input::{self, given_name, is_dash};
use chrono::Utc;
use driftless_analysis::{Asked, FlightConfig, InertialFile, InputLimits, TextFile};
use driftless_files::{FileError, inertial_file};
use std::path::{Path, PathBuf};

/// How this run wants flights analysed.
pub(crate) fn asked(limits: &InputLimits) -> Asked {
    Asked {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        command: input::command_line(),
        config: FlightConfig { input: *limits, ..FlightConfig::default() },
        now: Some(Utc::now()),
    }
}

/// A marks file or a column mapping.
///
/// # Errors
/// A file that is not there, cannot be read or is no text.
pub(crate) fn text_file(path: &Path, limits: &InputLimits) -> Result<TextFile, FileError> {
    Ok(TextFile { name: given_name(path), text: input::text(path, limits)? })
}

/// Reads inertial files as they are; what is wrong inside is told by the analysis, and the flight is reported without it.
///
/// # Errors
/// A file that is not there or cannot be read.
pub(crate) fn inertial(paths: &[PathBuf], limits: &InputLimits) -> Result<Vec<InertialFile>, FileError> {
    let one = |path: &PathBuf| match is_dash(path) {
        true => Ok(InertialFile::new(given_name(path), input::bytes(path, limits)?, None)),
        false => inertial_file(path, limits),
    };
    paths.iter().map(one).collect()
}
