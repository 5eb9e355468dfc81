//! Reading what the user names: logs, marks, mappings, scenarios; `-` is standard input.

use driftless_analysis::InputLimits;
use driftless_files::FileError;
use driftless_units::printable;
use std::collections::HashSet;
use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};

/// The name that stands for standard input.
const STDIN: &str = "-";

/// Whether a path means standard input (or output).
pub(crate) fn is_dash(path: &Path) -> bool {
    path.as_os_str() == STDIN
}

/// The name of an input as given, for reports.
pub(crate) fn given_name(path: &Path) -> String {
    if is_dash(path) { "standard input".to_owned() } else { driftless_files::given_name(path) }
}

/// The name of an input or output in messages: one line that can be shown, whatever the file is called.
pub(crate) fn name_of(path: &Path) -> String {
    printable(&given_name(path)).into_owned()
}

/// All bytes of a log or an inertial file; of a stream that holds neither, its first bytes, from which the reader of
/// formats says what it is.
pub(crate) fn bytes(path: &Path, limits: &InputLimits) -> Result<Vec<u8>, FileError> {
    if is_dash(path) {
        return driftless_files::bytes_of(&given_name(path), &mut std::io::stdin().lock(), limits);
    }
    driftless_files::bytes(path, limits)
}

/// The text of a small file.
pub(crate) fn text(path: &Path, limits: &InputLimits) -> Result<String, FileError> {
    if is_dash(path) {
        return driftless_files::text_of(&given_name(path), &mut std::io::stdin().lock(), limits);
    }
    driftless_files::text(path, limits)
}

/// The command line as typed, quoted where a shell would need it; the program by its bare name.
pub(crate) fn command_line() -> String {
    told(std::env::args_os().skip(1))
}

/// The same for one of many logs, the others left out.
pub(crate) fn command_line_without(logs: &[PathBuf], own: &Path) -> String {
    let others: HashSet<&OsStr> = logs.iter().filter(|log| *log != own).map(|log| log.as_os_str()).collect();
    told(std::env::args_os().skip(1).filter(|argument| !others.contains(argument.as_os_str())))
}

fn told(arguments: impl Iterator<Item = OsString>) -> String {
    let arguments: Vec<String> = arguments.map(|argument| argument.to_string_lossy().into_owned()).collect();
    let before = std::iter::once("").chain(arguments.iter().map(String::as_str));
    let told = before.zip(&arguments).map(|(before, argument)| quoted(&without_folders(before, argument)));
    std::iter::once("driftless".to_owned()).chain(told).collect::<Vec<_>>().join(" ")
}

/// An argument with files named without their folders: a report is passed on, and where its maker keeps files is nobody's
/// business. Units have slashes too.
fn without_folders(before: &str, argument: &str) -> String {
    const UNITS: &str = "--units";
    let bare = |path: &str| {
        let whole = path.trim_end_matches(['/', '\\']);
        whole.rsplit(['/', '\\']).next().filter(|name| !name.is_empty()).unwrap_or(path).to_owned()
    };
    match argument.split_once('=') {
        _ if before == UNITS => argument.to_owned(),
        Some((UNITS, _)) => argument.to_owned(),
        Some((flag, path)) if flag.starts_with("--") => format!("{flag}={}", bare(path)),
        _ if argument.starts_with('-') => argument.to_owned(),
        _ => bare(argument),
    }
}

fn quoted(argument: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "-_./,:=+@%°".contains(c);
    if !argument.is_empty() && argument.chars().all(plain) {
        return argument.to_owned();
    }
    format!("'{}'", argument.replace('\'', r"'\''"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_told_without_their_folders() {
        for (before, argument, told) in [
            ("", "report", "report"),
            ("report", "/somebody/logs/a.igc", "a.igc"),
            ("--marks", "C:\\logs\\m.csv", "m.csv"),
            ("report", "--marks=logs/m.csv", "--marks=m.csv"),
            ("-o", "out/", "out"),
            ("--units", "km/h,m,deg/s", "km/h,m,deg/s"),
            ("report", "--units=km/h", "--units=km/h"),
            ("report", "-", "-"),
        ] {
            assert_eq!(without_folders(before, argument), told);
        }
    }

    #[test]
    fn arguments_are_quoted_where_a_shell_needs_it() {
        assert_eq!(quoted("demo-tracks/a.igc"), "demo-tracks/a.igc");
        assert_eq!(quoted("my flight.igc"), "'my flight.igc'");
        assert_eq!(quoted("it's"), r"'it'\''s'");
        assert_eq!(quoted(""), "''");
    }
}
