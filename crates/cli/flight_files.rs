//! The files of a flight from disk, as the one door wants them, and inertial files each with the column mapping that is
//! kept beside it.

use crate::input::{self, given_name, is_dash};
use chrono::Utc;
use driftless_analysis::{Asked, FlightConfig, InertialFile, InputLimits, TextFile};
use std::ffi::OsString;
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
pub(crate) fn text_file(path: &Path, limits: &InputLimits) -> anyhow::Result<TextFile> {
    Ok(TextFile { name: given_name(path), text: input::text(path, limits)? })
}

/// Reads inertial files as they are; what is wrong inside is told by the analysis, and the flight is reported without it.
///
/// # Errors
/// A file that is not there or cannot be read.
pub(crate) fn inertial(paths: &[PathBuf], limits: &InputLimits) -> anyhow::Result<Vec<InertialFile>> {
    paths.iter().map(|path| inertial_file(path, limits)).collect()
}

fn inertial_file(path: &Path, limits: &InputLimits) -> anyhow::Result<InertialFile> {
    let bytes = input::bytes(path, limits)?;
    let mapping = mapping_places(path).into_iter().find(|place| place.is_file());
    let mapping_toml = mapping.as_deref().map(|place| input::text(place, limits)).transpose()?;
    Ok(InertialFile::new(given_name(path), bytes, mapping_toml))
}

/// `phone.csv` has its mapping in `phone.csv.toml`; so has `phone.csv.gz`, if it has no `phone.csv.gz.toml`.
fn mapping_places(path: &Path) -> Vec<PathBuf> {
    if is_dash(path) {
        return Vec::new();
    }
    let with_toml = |path: &Path| {
        let mut name = OsString::from(path.as_os_str());
        name.push(".toml");
        PathBuf::from(name)
    };
    let unzipped = path.extension().filter(|end| end.eq_ignore_ascii_case("gz")).map(|_| path.with_extension(""));
    std::iter::once(with_toml(path)).chain(unzipped.as_deref().map(with_toml)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mappings_stand_beside_their_file() {
        let places = |path: &str| mapping_places(Path::new(path));
        assert_eq!(places("day/phone.csv"), [PathBuf::from("day/phone.csv.toml")]);
        assert_eq!(places("phone.csv.gz"), [PathBuf::from("phone.csv.gz.toml"), PathBuf::from("phone.csv.toml")]);
        assert!(places("-").is_empty());
    }
}
