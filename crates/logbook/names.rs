//! Names that people give: what may be kept, and what may become the name of a file on somebody's disk.

use crate::{LogbookError, Result};
use driftless_analysis::{InputLimit, InputLimits};
use std::collections::BTreeSet;

/// A name or key as it is kept: without blanks around it, never empty, no longer than a campaign file may have it.
pub(crate) fn required(what: &str, text: &str) -> Result<String> {
    optional(Some(text))?.ok_or_else(|| LogbookError::refused(format!("the {what} is empty; write something")))
}

/// A text that may be left out; blanks alone leave it out.
pub(crate) fn optional(text: Option<&str>) -> Result<Option<String>> {
    let Some(text) = text.map(str::trim).filter(|text| !text.is_empty()) else { return Ok(None) };
    InputLimits::default().hold(InputLimit::NameCharacters, text.chars().count(), None)?;
    Ok(Some(text.to_owned()))
}

/// The file's own name, without the folders it came from: where somebody keeps files is nobody's business.
pub(crate) fn without_folders(name: &str) -> &str {
    name.trim_end_matches(['/', '\\']).rsplit(['/', '\\']).next().unwrap_or(name)
}

/// Names of files in one folder that differ on every kind of disk.
#[derive(Debug, Default)]
pub(crate) struct FileNames(BTreeSet<String>);

/// Longest name of a file made here, characters: disks take 255 bytes, and a number may be added.
const LONGEST: usize = 60;

/// Names that one kind of system keeps for devices, whatever their ending.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

impl FileNames {
    /// A name near the wished one that no other file has: `flight.igc`, `flight-2.igc`.
    pub(crate) fn unique(&mut self, wished: &str) -> String {
        let plain = plain(wished);
        let (stem, ending) = split(&plain);
        let mut name = plain.clone();
        for number in 2.. {
            // Some disks hold `A.igc` and `a.igc` to be the same, and `a.csv.gz` may have its mapping in `a.csv.toml`.
            let small = name.to_lowercase();
            if self.0.insert(small.strip_suffix(".gz").unwrap_or(&small).to_owned()) {
                break;
            }
            name = format!("{stem}-{number}{ending}");
        }
        name
    }
}

/// Stem and ending, `.gz` with the ending before it.
fn split(name: &str) -> (&str, &str) {
    let without_gz = name.strip_suffix(".gz").unwrap_or(name);
    match without_gz.rfind('.') {
        Some(at) if at > 0 => name.split_at(at),
        _ => name.split_at(without_gz.len()),
    }
}

/// A name without anything that some disk would not take, or that would lead elsewhere.
fn plain(wished: &str) -> String {
    let kept = |c: char| if c.is_alphanumeric() || " ._-+()".contains(c) { c } else { '_' };
    let name: String = without_folders(wished).chars().map(kept).collect();
    let name = name.trim_matches([' ', '.']);
    let (stem, ending) = split(name);
    let stem: String = stem.chars().take(LONGEST).collect();
    let ending: String = ending.chars().take(LONGEST / 2).collect();
    let first: String = stem.chars().take_while(|c| c.is_ascii_alphabetic()).flat_map(char::to_lowercase).collect();
    let device = DEVICES.contains(&first.as_str()) && stem.len() <= 4;
    let before = if stem.is_empty() || device { "_" } else { "" };
    format!("{before}{stem}{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_files_differ_on_every_disk_and_lead_nowhere() {
        let mut names = FileNames::default();
        for (wished, name) in [
            ("flight.igc", "flight.igc"),
            ("Flight.igc", "Flight-2.igc"),
            ("../../etc/flight.igc", "flight-3.igc"),
            ("C:\\logs\\flight.igc.gz", "flight-4.igc.gz"),
            ("flight.igc.gz", "flight-5.igc.gz"),
            ("..", "_"),
            ("", "_-2"),
            (".hidden", "hidden"),
            ("con.csv", "_con.csv"),
            ("a:b*c?.csv", "a_b_c_.csv"),
            ("zw\u{f6}lf.csv", "zw\u{f6}lf.csv"),
        ] {
            assert_eq!(names.unique(wished), name, "{wished}");
        }
        assert!(FileNames::default().unique(&"x".repeat(4000)).len() <= LONGEST);
    }

    #[test]
    fn texts_are_trimmed_and_held_to_their_limit() {
        assert_eq!(optional(Some("  a b ")), Ok(Some("a b".to_owned())));
        assert_eq!(optional(Some("  ")), Ok(None));
        assert!(required("title", " ").is_err());
        assert!(required("title", &"x".repeat(4096)).is_ok());
        assert!(required("title", &"x".repeat(4097)).is_err());
    }
}
