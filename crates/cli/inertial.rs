//! Inertial files named by `--imu`, each with the column mapping that is kept beside it.

use crate::input::{self, is_dash};
use driftless_analysis::InertialFile;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Reads them as they are; what is wrong inside is told by the analysis, and the flight is reported without it.
///
/// # Errors
/// A file that is not there or cannot be read.
pub(crate) fn files(paths: &[PathBuf]) -> anyhow::Result<Vec<InertialFile>> {
    paths.iter().map(|path| file(path)).collect()
}

fn file(path: &Path) -> anyhow::Result<InertialFile> {
    let bytes = input::bytes(path)?;
    let mapping = mapping_places(path).into_iter().find(|place| place.is_file());
    let mapping_toml = mapping.as_deref().map(input::text).transpose()?;
    Ok(InertialFile { name: input::name_of(path), sha256: input::sha256(&bytes), bytes: bytes.into(), mapping_toml })
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
