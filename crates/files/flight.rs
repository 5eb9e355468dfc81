//! The files of a flight, as the door of the analysis wants them; inertial files each with the column mapping that is kept
//! beside it.

use crate::{FileError, bytes, given_name, text};
use driftless_analysis::{InertialFile, InputLimits, TextFile};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// A marks file or a column mapping.
///
/// # Errors
/// A file that is not there, cannot be read or is no text.
pub fn text_file(path: &Path, limits: &InputLimits) -> Result<TextFile, FileError> {
    Ok(TextFile { name: given_name(path), text: text(path, limits)? })
}

/// An inertial file as it is; what is wrong inside is told by the analysis, and the flight is reported without it.
///
/// # Errors
/// A file that is not there or cannot be read.
pub fn inertial_file(path: &Path, limits: &InputLimits) -> Result<InertialFile, FileError> {
    let bytes = bytes(path, limits)?;
    let mapping = mapping_places(path).into_iter().find(|place| place.is_file());
    let mapping_toml = mapping.as_deref().map(|place| text(place, limits)).transpose()?;
    Ok(InertialFile::new(given_name(path), bytes, mapping_toml))
}

/// `phone.csv` has its mapping in `phone.csv.toml`; so has `phone.csv.gz`, if it has no `phone.csv.gz.toml`.
fn mapping_places(path: &Path) -> Vec<PathBuf> {
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
    }
}
