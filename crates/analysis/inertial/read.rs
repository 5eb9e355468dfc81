//! Inertial files, read into one recording.

use super::{InertialFile, NotRead};
use driftless_inertial::{ImuError, ImuLog, ImuMapping, read_within};
use driftless_track::{InputLimits, Problems, Severity};

/// What to do about a file that cannot be read; the flight itself has its result.
const UNREAD_HELP: &str =
    "check the file, or name its columns in a mapping beside it (docs/formats.md); the flight is reported without it";

/// All files as one recording; what cannot be read is told.
///
/// # Errors
/// [`NotRead`] with the first fault when no file can be read.
pub(super) fn read_all(
    files: &[InertialFile],
    limits: &InputLimits,
    problems: &mut Problems,
) -> Result<ImuLog, NotRead> {
    let mut joined: Option<ImuLog> = None;
    let mut unread = None;
    for file in files {
        match (read_one(file, limits), &mut joined) {
            (Ok(log), Some(joined)) => joined.join(log),
            (Ok(log), None) => joined = Some(log),
            (Err(error), _) => {
                let why = NotRead { file: file.name.clone(), error };
                problems.add("imu-not-read", Severity::Warning, None, || why.to_string(), UNREAD_HELP);
                unread.get_or_insert(why);
            }
        }
    }
    joined.ok_or_else(|| unread.unwrap_or_else(NotRead::nothing))
}

fn read_one(file: &InertialFile, limits: &InputLimits) -> Result<ImuLog, ImuError> {
    let mapping = file.mapping_toml.as_deref().map(ImuMapping::from_toml).transpose()?;
    read_within(&file.bytes, mapping.as_ref(), limits)
}
