//! Whoever names a file where another command wants one is told which.

use crate::input::{self, is_dash};
use std::path::Path;

/// What a file is, by the end of its name: it need not be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Campaign,
    Log,
    Logbook,
}

fn kind(path: &Path) -> Option<Kind> {
    match ending(path)?.as_str() {
        "toml" => Some(Kind::Campaign),
        "logbook" => Some(Kind::Logbook),
        _ => log_ending(path).map(|_| Kind::Log),
    }
}

/// How sure the end of a name is that the file is a flight log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LogEnding {
    /// Nothing else ends so.
    Surely,
    /// Tables and text of other things end so too.
    Perhaps,
}

/// The ends of names of logs, without the dot and the `.gz` after them.
const LOG_ENDINGS: [(&str, LogEnding); 5] = [
    ("igc", LogEnding::Surely),
    ("gpx", LogEnding::Surely),
    ("nmea", LogEnding::Surely),
    ("csv", LogEnding::Perhaps),
    ("txt", LogEnding::Perhaps),
];

/// Whether a file is a log, by its name.
pub(crate) fn log_ending(path: &Path) -> Option<LogEnding> {
    let ending = ending(path)?;
    LOG_ENDINGS.iter().find(|(name, _)| *name == ending).map(|(_, sure)| *sure)
}

/// The ends of names of logs, to be read.
pub(crate) fn log_endings() -> String {
    LOG_ENDINGS.map(|(name, _)| format!(".{name}")).join(", ")
}

/// The end of a name in small letters, that of what is inside where it is gzip-ed.
fn ending(path: &Path) -> Option<String> {
    let name = path.file_name()?.to_string_lossy().to_lowercase();
    let name = name.strip_suffix(".gz").unwrap_or(&name);
    name.rsplit_once('.').map(|(_, ending)| ending.to_owned())
}

/// Fails when a campaign file or a logbook is given as a log.
pub(crate) fn refuse_campaigns<'a>(logs: impl IntoIterator<Item = &'a Path>) -> anyhow::Result<()> {
    for log in logs.into_iter().filter(|log| !is_dash(log)) {
        let name = input::name_of(log);
        match kind(log) {
            Some(Kind::Campaign) => anyhow::bail!(
                "{name} looks like a campaign file, not a flight log; to compare its set-ups: driftless compare {name}"
            ),
            Some(Kind::Logbook) => anyhow::bail!(
                "{name} looks like a logbook, not a flight log; to list its flights: driftless logbook list {name}"
            ),
            _ => {}
        }
    }
    Ok(())
}

/// Fails when a log is given as a campaign file.
pub(crate) fn refuse_log(campaign: &Path) -> anyhow::Result<()> {
    if !is_dash(campaign) && kind(campaign) == Some(Kind::Log) {
        anyhow::bail!(
            "{0} looks like a flight log, not a campaign file; to report it: driftless report {0}",
            input::name_of(campaign)
        );
    }
    Ok(())
}

/// What to say when a file stands where the command should; `None` when the word is no file.
pub(crate) fn command_for(word: &Path) -> Option<String> {
    let kind = kind(word).or_else(|| word.is_file().then_some(Kind::Log))?;
    let command = match kind {
        Kind::Campaign => "compare",
        Kind::Log => "report",
        Kind::Logbook => "logbook list",
    };
    Some(format!("no command is given; try: driftless {command} {}", input::name_of(word)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_known_by_the_ends_of_their_names() {
        for (name, of) in [
            ("club.toml", Some(Kind::Campaign)),
            ("DAY/FLIGHT.IGC", Some(Kind::Log)),
            ("flight.gpx.gz", Some(Kind::Log)),
            ("my.logbook", Some(Kind::Logbook)),
            ("flight", None),
            ("reprot", None),
        ] {
            assert_eq!(kind(Path::new(name)), of, "{name}");
        }
    }
}
