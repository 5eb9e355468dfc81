//! Which files are logs, by the ends of their names.

use std::path::Path;

/// How sure the end of a name is that the file is a flight log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LogEnding {
    /// Nothing else ends so.
    Surely,
    /// Tables, maps, training sessions and texts end so too.
    Perhaps,
}

/// The ends of names of logs, without the dot and the `.gz` after them.
pub const LOG_ENDINGS: [(&str, LogEnding); 7] = [
    ("igc", LogEnding::Surely),
    ("gpx", LogEnding::Surely),
    ("nmea", LogEnding::Surely),
    ("kml", LogEnding::Perhaps),
    ("fit", LogEnding::Perhaps),
    ("csv", LogEnding::Perhaps),
    ("txt", LogEnding::Perhaps),
];

/// Whether a file is a log, by its name.
pub fn log_ending(path: &Path) -> Option<LogEnding> {
    let ending = ending(path)?;
    LOG_ENDINGS.iter().find(|(name, _)| *name == ending).map(|(_, sure)| *sure)
}

/// The ends of names of logs, to be read.
pub fn log_endings() -> String {
    LOG_ENDINGS.map(|(name, _)| format!(".{name}")).join(", ")
}

/// The end of a name in small letters, that of what is inside where it is gzip-ed.
pub fn ending(path: &Path) -> Option<String> {
    let name = path.file_name()?.to_string_lossy().to_lowercase();
    let name = name.strip_suffix(".gz").unwrap_or(&name);
    name.rsplit_once('.').map(|(_, ending)| ending.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn logs_are_known_by_the_ends_of_their_names() {
        for (name, sure) in [
            ("DAY/FLIGHT.IGC", Some(LogEnding::Surely)),
            ("flight.gpx.gz", Some(LogEnding::Surely)),
            ("positions.csv", Some(LogEnding::Perhaps)),
            ("club.toml", None),
            ("igc", None),
        ] {
            assert_eq!(log_ending(Path::new(name)), sure, "{name}");
        }
    }
}
