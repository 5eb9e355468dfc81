//! Where results go, and writing them whole or not at all.

use crate::input::{is_dash, name_of};
use crate::unfinished::Unfinished;
use anyhow::{Context, bail};
use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};

/// What is said when standard output takes nothing more.
pub(crate) const NO_STDOUT: &str =
    "cannot write to standard output; check that the disk or device behind it is not full";

/// Where something is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Place {
    /// Standard output.
    Stdout,
    /// A file.
    File(PathBuf),
}

impl Place {
    /// The file that `path` means for a log: the path itself, or `STEM.SUFFIX` in it when it is a folder (or ends in
    /// a slash and is to become one).
    pub(crate) fn named(path: &Path, log: &Path, suffix: &str) -> Self {
        if is_dash(path) {
            Self::Stdout
        } else if is_folder(path) {
            Self::File(path.join(format!("{}.{suffix}", stem(log))))
        } else {
            Self::File(path.to_owned())
        }
    }

    /// The file beside a log: `flight.igc.gz` gives `flight.SUFFIX` in the same folder.
    pub(crate) fn beside(log: &Path, suffix: &str) -> Self {
        Self::File(log.with_file_name(format!("{}.{suffix}", stem(log))))
    }

    /// Writes `content` there.
    pub(crate) fn write(&self, content: &[u8]) -> anyhow::Result<()> {
        match self {
            Self::Stdout => to_stdout(content),
            Self::File(path) => to_file(path, content).with_context(|| {
                format!("cannot write {}; check the folder, or give another place with -o", name_of(path))
            }),
        }
    }
}

/// Refuses a run that would write one file twice or write over one of its inputs, before anything is done.
pub(crate) fn refuse_clashes<'a>(
    outputs: impl IntoIterator<Item = &'a Place>,
    inputs: impl IntoIterator<Item = &'a Path>,
) -> anyhow::Result<()> {
    let inputs: Vec<_> = inputs.into_iter().filter(|path| !is_dash(path)).map(|p| (p, resolved(p))).collect();
    let mut taken = Vec::new();
    for place in outputs {
        let Place::File(path) = place else { continue };
        let target = resolved(path);
        if inputs.iter().any(|(_, input)| *input == target) {
            bail!("{} is an input and would be written over; give another place with -o", name_of(path));
        }
        if taken.contains(&target) {
            bail!(
                "{} would be written twice; run the logs one by one, each with a place of its own (-o)",
                name_of(path)
            );
        }
        taken.push(target);
    }
    Ok(())
}

/// Whether a path names a folder: one that is there, or one to be made (it ends in a slash).
pub(crate) fn is_folder(path: &Path) -> bool {
    path.is_dir() || path.as_os_str().to_string_lossy().ends_with(std::path::is_separator)
}

/// Writes to standard output, all of it.
pub(crate) fn to_stdout(content: &[u8]) -> anyhow::Result<()> {
    let mut stdout = std::io::stdout().lock();
    stdout.write_all(content).and_then(|()| stdout.flush()).context(NO_STDOUT)
}

/// Writes a file so that nobody ever finds half of it: a temporary file in the same folder, flushed to the disk, then
/// renamed. What is no plain file (a device, a pipe) is written to as it is, because renaming would replace it.
pub(crate) fn to_file(path: &Path, content: &[u8]) -> std::io::Result<()> {
    // A link is followed, so that it is its target that is replaced.
    let path = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    if path.metadata().is_ok_and(|found| !found.is_file() && !found.is_dir()) {
        return std::fs::File::options().write(true).open(&path)?.write_all(content);
    }
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    std::fs::create_dir_all(folder)?;
    let mut unfinished = Unfinished::begin(folder)?;
    unfinished.file().write_all(content)?;
    unfinished.finish(&path)
}

/// The name of a log without its ending (and without `.gz` before that).
pub(crate) fn stem(log: &Path) -> String {
    if is_dash(log) {
        return "flight".to_owned();
    }
    let zipped = log.extension().is_some_and(|end| end.eq_ignore_ascii_case("gz"));
    let stem = log.file_stem().map(Path::new);
    let stem = if zipped { stem.and_then(Path::file_stem) } else { stem.map(Path::as_os_str) };
    stem.unwrap_or(OsStr::new("flight")).to_string_lossy().into_owned()
}

/// A path that can be compared: links and dots resolved as far as the file, or at least its folder, is there.
fn resolved(path: &Path) -> PathBuf {
    if let Ok(there) = path.canonicalize() {
        return there;
    }
    let absolute = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    match (absolute.parent().and_then(|folder| folder.canonicalize().ok()), absolute.file_name()) {
        (Some(folder), Some(name)) => folder.join(name),
        _ => absolute,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reports_stand_beside_their_log() {
        for (log, report) in [
            ("day/flight.igc", "day/flight.report.html"),
            ("flight.gpx.gz", "flight.report.html"),
            ("flight", "flight.report.html"),
            ("two.dots.nmea", "two.dots.report.html"),
        ] {
            assert_eq!(Place::beside(Path::new(log), "report.html"), Place::File(PathBuf::from(report)));
        }
    }

    #[test]
    fn inputs_are_not_written_over_and_no_file_is_written_twice() {
        let folder = tempfile::tempdir().unwrap();
        let log = folder.path().join("a.igc");
        std::fs::write(&log, "x").unwrap();
        let roundabout = Place::File(folder.path().join(".").join("a.igc"));
        assert!(refuse_clashes([&roundabout], [log.as_path()]).is_err());
        let out = Place::File(folder.path().join("out.html"));
        assert!(refuse_clashes([&out, &out], [log.as_path()]).is_err());
        assert!(refuse_clashes([&out], [log.as_path()]).is_ok());
    }

    #[test]
    fn a_failed_write_leaves_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let taken = folder.path().join("taken");
        std::fs::create_dir(&taken).unwrap();
        assert!(to_file(&taken, b"content").is_err());
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
