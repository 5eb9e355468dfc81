//! Reading what the user names: logs, marks, mappings, scenarios; `-` is standard input.
//!
//! A name may stand for a device without end, a pipe nobody fills or a file larger than memory, so nothing is read
//! without a limit, and nothing further than its first bytes once they show that it is no log.

use anyhow::{Context, bail};
use driftless_analysis::{InputLimit, InputLimits};
use driftless_formats::{HEAD_BYTES, refuse_by_head};
use driftless_units::printable;
use std::collections::HashSet;
use std::ffi::{OsStr, OsString};
use std::fs::{File, Metadata};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::mpsc::channel;
use std::time::Duration;

/// The name that stands for standard input.
const STDIN: &str = "-";

/// A pipe whose other end nobody opens in this time has nobody to fill it.
const PIPE_PATIENCE: Duration = Duration::from_secs(1);

/// Whether a path means standard input (or output).
pub(crate) fn is_dash(path: &Path) -> bool {
    path.as_os_str() == STDIN
}

/// The name of an input as given, for reports.
pub(crate) fn given_name(path: &Path) -> String {
    if is_dash(path) { "standard input".to_owned() } else { path.display().to_string() }
}

/// The name of an input or output in messages: one line that can be shown, whatever the file is called.
pub(crate) fn name_of(path: &Path) -> String {
    printable(&given_name(path)).into_owned()
}

/// All bytes of a log or an inertial file; of a stream that holds neither, its first bytes, from which the reader of
/// formats says what it is.
pub(crate) fn bytes(path: &Path, limits: &InputLimits) -> anyhow::Result<Vec<u8>> {
    let mut source = Source::open(path)?;
    let mut bytes = source.head(limits, InputLimit::Bytes)?;
    if source.ends_by_itself || refuse_by_head(&bytes).is_ok() {
        source.rest(&mut bytes, limits, InputLimit::Bytes)?;
    }
    Ok(bytes)
}

/// The text of a small file.
pub(crate) fn text(path: &Path, limits: &InputLimits) -> anyhow::Result<String> {
    let mut source = Source::open(path)?;
    let mut bytes = source.head(limits, InputLimit::TextBytes)?;
    let not_text = |at: usize| anyhow::anyhow!("{}, byte {at}: not UTF-8 text; save the file as UTF-8", name_of(path));
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(not_text(at));
    }
    source.rest(&mut bytes, limits, InputLimit::TextBytes)?;
    String::from_utf8(bytes).map_err(|error| not_text(error.utf8_error().valid_up_to()))
}

/// Something opened for reading.
struct Source {
    name: String,
    reader: Box<dyn Read>,
    /// Whether it is a plain file.
    ends_by_itself: bool,
    /// Its size, where that is known beforehand.
    size: Option<u64>,
}

impl Source {
    fn open(path: &Path) -> anyhow::Result<Self> {
        let name = name_of(path);
        if is_dash(path) {
            return Ok(Self { name, reader: Box::new(std::io::stdin().lock()), ends_by_itself: false, size: None });
        }
        if path.try_exists().is_ok_and(|there| !there) {
            // The system's own words would say it a second time.
            bail!("there is no file {name}; check the spelling and the folder");
        }
        let cannot = || format!("cannot read {name}; check that you may read it");
        let found = path.metadata().with_context(cannot)?;
        if found.is_dir() {
            bail!("{name} is a folder; name a file in it");
        }
        let file = if is_pipe(&found) { open_pipe(path, &name)? } else { File::open(path) }.with_context(cannot)?;
        let size = found.is_file().then_some(found.len());
        Ok(Self { name, reader: Box::new(file), ends_by_itself: found.is_file(), size })
    }

    /// The first bytes.
    fn head(&mut self, limits: &InputLimits, limit: InputLimit) -> anyhow::Result<Vec<u8>> {
        if let Some(size) = self.size {
            self.hold(limits, limit, usize::try_from(size).unwrap_or(usize::MAX))?;
        }
        let mut bytes = Vec::new();
        self.read_to(HEAD_BYTES, &mut bytes)?;
        Ok(bytes)
    }

    /// The rest, as far as it is allowed.
    fn rest(&mut self, bytes: &mut Vec<u8>, limits: &InputLimits, limit: InputLimit) -> anyhow::Result<()> {
        self.read_to(limits.of(limit).saturating_add(1), bytes)?;
        self.hold(limits, limit, bytes.len())
    }

    /// Reads until there are so many bytes, or no more.
    fn read_to(&mut self, length: usize, bytes: &mut Vec<u8>) -> anyhow::Result<()> {
        let missing = length.saturating_sub(bytes.len()) as u64;
        let read = self.reader.by_ref().take(missing).read_to_end(bytes);
        read.with_context(|| format!("cannot read {}", self.name)).map(drop)
    }

    fn hold(&self, limits: &InputLimits, limit: InputLimit, count: usize) -> anyhow::Result<()> {
        limits.hold(limit, count, None).with_context(|| self.name.clone())
    }
}

#[cfg(unix)]
fn is_pipe(found: &Metadata) -> bool {
    std::os::unix::fs::FileTypeExt::is_fifo(&found.file_type())
}

#[cfg(not(unix))]
fn is_pipe(_found: &Metadata) -> bool {
    false
}

/// To open a pipe waits for its other end; nobody waits for ever. The thread that waits ends with the program.
fn open_pipe(path: &Path, name: &str) -> anyhow::Result<std::io::Result<File>> {
    let (opened, waiting) = channel();
    let path = path.to_owned();
    std::thread::spawn(move || opened.send(File::open(path)));
    waiting
        .recv_timeout(PIPE_PATIENCE)
        .map_err(|_| anyhow::anyhow!("{name} is a pipe that no program writes into; start the one that fills it first"))
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
