//! Which logs are meant: files, folders, patterns that the shell left alone, lists.

use crate::input::{self, is_dash, name_of};
use anyhow::{Context, bail};
use driftless_analysis::InputLimits;
use driftless_files::{LogEnding, log_ending, log_endings};
use std::collections::HashSet;
use std::path::{Path, PathBuf};
use walkdir::{DirEntry, WalkDir};

/// What begins the name of a list of logs.
const LIST: char = '@';

/// What only a pattern has in it.
const OF_A_PATTERN: [char; 3] = ['*', '?', '['];

/// Ends of names under which this program writes what could be taken for logs.
const OWN_OUTPUT: [&str; 2] = [".air.gpx", ".marks.csv"];

/// The logs of a run.
#[derive(Debug)]
pub(super) struct Named {
    pub(super) logs: Vec<NamedLog>,
    /// Whether a folder, a pattern or a list was named: then one log is treated as many are.
    pub(super) collected: bool,
}

/// One log.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct NamedLog {
    pub(super) path: PathBuf,
    /// Its folder, as seen from the folder that was named; empty for anything else.
    pub(super) below: PathBuf,
    /// Found in a folder under a name that other things have too: it is passed over when it is no log.
    pub(super) perhaps: bool,
}

impl NamedLog {
    fn given(path: PathBuf) -> Self {
        Self { path, below: PathBuf::new(), perhaps: false }
    }
}

/// Finds all logs, in the order in which they are named; those of a folder by name. What is found twice is taken once.
///
/// # Errors
/// A folder or a list that cannot be read, and a folder, a pattern or a list in which there is nothing.
pub(super) fn named(arguments: &[PathBuf], limits: &InputLimits) -> anyhow::Result<Named> {
    let mut named = Named { logs: Vec::new(), collected: false };
    for argument in arguments {
        match list(argument) {
            Some(list) => {
                let text = input::text(&list, limits)?;
                let lines = text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
                let before = named.logs.len();
                for line in lines {
                    named.add(Path::new(line))?;
                }
                if named.logs.len() == before {
                    bail!("{} names no log; write one name on a line", name_of(argument));
                }
                named.collected = true;
            }
            None => named.add(argument)?,
        }
    }
    if named.collected {
        let mut seen = HashSet::new();
        named.logs.retain(|log| is_dash(&log.path) || seen.insert(log.path.clone()));
    }
    Ok(named)
}

/// The file behind `@LIST`. A log whose own name begins so is a log.
fn list(argument: &Path) -> Option<PathBuf> {
    let name = argument.to_str()?.strip_prefix(LIST)?;
    (!name.is_empty() && !argument.exists()).then(|| PathBuf::from(name))
}

impl Named {
    /// A file, a folder or a pattern.
    fn add(&mut self, argument: &Path) -> anyhow::Result<()> {
        if is_dash(argument) {
            self.logs.push(NamedLog::given(argument.to_owned()));
        } else if argument.is_dir() {
            self.collected = true;
            self.add_folder(argument)?;
        } else if is_pattern(argument) {
            self.collected = true;
            self.add_pattern(argument)?;
        } else {
            self.logs.push(NamedLog::given(argument.to_owned()));
        }
        Ok(())
    }

    fn add_folder(&mut self, folder: &Path) -> anyhow::Result<()> {
        let before = self.logs.len();
        let walk = WalkDir::new(folder).follow_links(true).sort_by_file_name();
        for entry in walk.into_iter().filter_entry(|entry| entry.depth() == 0 || !is_hidden(entry)) {
            let entry = entry.with_context(|| format!("cannot look through {}", name_of(folder)))?;
            let Some(ending) = log_ending(entry.path()).filter(|_| entry.file_type().is_file()) else { continue };
            if is_own_output(entry.path()) {
                continue;
            }
            let within = entry.path().strip_prefix(folder).ok().and_then(Path::parent);
            self.logs.push(NamedLog {
                below: within.map(Path::to_owned).unwrap_or_default(),
                perhaps: ending == LogEnding::Perhaps,
                path: entry.into_path(),
            });
        }
        if self.logs.len() == before {
            bail!(
                "there is no flight log in {}; looked, in the folders within it too, for names that end in {}, each also with .gz",
                name_of(folder),
                log_endings()
            );
        }
        Ok(())
    }

    fn add_pattern(&mut self, pattern: &Path) -> anyhow::Result<()> {
        let words = pattern.to_string_lossy();
        let matches = glob::glob(&words).with_context(|| format!("{} is no pattern of names", name_of(pattern)))?;
        let before = self.logs.len();
        for found in matches {
            let found = found.with_context(|| format!("cannot look through {}", name_of(pattern)))?;
            // Folders are named as folders, so that a star does not bring in more than it shows.
            if found.is_file() && !is_own_output(&found) {
                self.logs.push(NamedLog::given(found));
            }
        }
        if self.logs.len() == before {
            bail!("no file has a name like {}; check the spelling and the folder", name_of(pattern));
        }
        Ok(())
    }
}

/// A name in which a shell would see a pattern, and which no file has.
fn is_pattern(argument: &Path) -> bool {
    argument.to_string_lossy().contains(OF_A_PATTERN) && !argument.exists()
}

fn is_hidden(entry: &DirEntry) -> bool {
    entry.file_name().to_string_lossy().starts_with('.')
}

fn is_own_output(path: &Path) -> bool {
    let name = path.file_name().map(|name| name.to_string_lossy().to_lowercase()).unwrap_or_default();
    OWN_OUTPUT.iter().any(|end| name.ends_with(end))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A season in a folder: (name, whether it is to be found).
    const FILES: [(&str, bool); 9] = [
        ("b.igc", true),
        ("a.gpx.gz", true),
        ("june/a.igc", true),
        ("june/table.csv", true),
        ("june/a.air.gpx", false),
        ("june/a.marks.csv", false),
        ("june/.hidden.igc", false),
        ("notes.odt", false),
        ("a.report.html", false),
    ];

    fn season() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        std::fs::create_dir(folder.path().join("june")).unwrap();
        for (name, _) in FILES {
            std::fs::write(folder.path().join(name), "x").unwrap();
        }
        folder
    }

    fn names(named: &Named, folder: &Path) -> Vec<String> {
        let name = |log: &NamedLog| log.path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
        named.logs.iter().map(name).collect()
    }

    fn found(arguments: &[PathBuf]) -> anyhow::Result<Named> {
        named(arguments, &InputLimits::default())
    }

    #[test]
    fn a_folder_stands_for_the_logs_in_it_and_below_it() {
        let folder = season();
        let found = found(&[folder.path().to_owned()]).unwrap();
        assert!(found.collected);
        let mut wanted: Vec<_> =
            FILES.iter().filter(|(_, is_log)| *is_log).map(|(name, _)| (*name).to_owned()).collect();
        wanted.sort();
        assert_eq!(names(&found, folder.path()), wanted);
        let table = found.logs.iter().find(|log| log.perhaps).unwrap();
        assert_eq!((table.path.file_name().unwrap().to_str(), table.below.to_str()), (Some("table.csv"), Some("june")));
    }

    #[test]
    fn a_pattern_that_the_shell_left_alone_is_followed() {
        let folder = season();
        let found = found(&[folder.path().join("**/*.igc")]).unwrap();
        assert!(found.collected);
        assert_eq!(names(&found, folder.path()).len(), 3, "a pattern that names them shows hidden files too");
        let one = folder.path().join("one[1].igc");
        std::fs::write(&one, "x").unwrap();
        let found = super::named(std::slice::from_ref(&one), &InputLimits::default()).unwrap();
        assert_eq!(
            (found.collected, found.logs),
            (false, vec![NamedLog::given(one)]),
            "a file of that name is that file"
        );
    }

    #[test]
    fn a_list_names_files_folders_and_patterns_each_once() {
        let folder = season();
        let at = |name: &str| folder.path().join(name).display().to_string();
        let list = folder.path().join("list.txt");
        let lines = format!("# season\n{}\r\n\n{}\n{}\n", at("b.igc"), at("june"), at("*.igc"));
        std::fs::write(&list, lines).unwrap();
        let found = found(&[PathBuf::from(format!("@{}", list.display()))]).unwrap();
        assert!(found.collected);
        assert_eq!(names(&found, folder.path()), ["b.igc", "june/a.igc", "june/table.csv"]);
    }

    #[test]
    fn where_there_is_nothing_it_says_so() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("empty"), "# nothing\n").unwrap();
        let at = |name: &str| folder.path().join(name);
        for (argument, words) in [
            (folder.path().to_owned(), "there is no flight log in"),
            (at("*.igc"), "no file has a name like"),
            (PathBuf::from(format!("@{}", at("empty").display())), "names no log"),
            (PathBuf::from(format!("@{}", at("gone").display())), "there is no file"),
        ] {
            let error = found(&[argument]).unwrap_err();
            assert!(format!("{error:#}").contains(words), "{error:#}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn links_that_run_in_a_circle_are_told() {
        let folder = season();
        std::os::unix::fs::symlink(folder.path(), folder.path().join("june/again")).unwrap();
        assert!(format!("{:#}", found(&[folder.path().to_owned()]).unwrap_err()).contains("cannot look through"));
    }
}
