//! Whoever names a file where another command wants one is told which.

use crate::input::{self, is_dash};
use driftless_files::{ending, log_ending};
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
