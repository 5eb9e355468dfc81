//! Where results go, and writing them whole or not at all.

use crate::input::{is_dash, name_of};
use crate::unfinished::Unfinished;
use anyhow::{Context, bail};
use std::collections::HashSet;
use std::ffi::OsStr;
use std::fs::File;
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

    /// The file that `path` means where files of several folders go: the path itself, or a file of that name in it, and there
    /// in the same folder as in the folder that they were found in.
    pub(crate) fn within(path: &Path, below: &Path, name: &str) -> Self {
        if is_dash(path) {
            Self::Stdout
        } else if is_folder(path) {
            Self::File(path.join(below).join(name))
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
            Self::File(path) => to_file(path, content).map_err(cannot_write(path)),
        }
    }
}

/// Says that a file cannot be written, and why.
pub(crate) fn cannot_write<E: std::error::Error + Send + Sync + 'static>(
    path: &Path,
) -> impl FnOnce(E) -> anyhow::Error + use<'_, E> {
    move |error| {
        let words = format!("cannot write {}; check the folder, or give another place with -o", name_of(path));
        anyhow::Error::new(error).context(words)
    }
}

/// Refuses a run that would write one file twice or write over one of its inputs, before anything is done.
pub(crate) fn refuse_clashes<'a>(
    outputs: impl IntoIterator<Item = &'a Place>,
    inputs: impl IntoIterator<Item = &'a Path>,
) -> anyhow::Result<()> {
    let inputs = inputs.into_iter().filter(|path| !is_dash(path));
    let inputs: HashSet<PathBuf> = inputs.map(resolved).collect();
    let mut taken = HashSet::new();
    for place in outputs {
        let Place::File(path) = place else { continue };
        let target = resolved(path);
        if inputs.contains(&target) {
            bail!("{} is an input and would be written over; give another place with -o", name_of(path));
        }
        if !taken.insert(target) {
            bail!(
                "{} would be written twice; run the logs one by one, each with a place of its own (-o)",
                name_of(path)
            );
        }
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

/// Writes a file so that nobody ever finds half of it.
pub(crate) fn to_file(path: &Path, content: &[u8]) -> std::io::Result<()> {
    let mut file = WholeFile::begin(path)?;
    file.write_all(content)?;
    file.finish()
}

/// A file that is there whole or not at all: a temporary file in the same folder, flushed to the disk, then renamed. What is
/// no plain file (a device, a pipe) is written to as it is, because renaming would replace it.
pub(crate) enum WholeFile {
    /// To be renamed.
    Unfinished(Unfinished, PathBuf),
    /// Written to as it is.
    Device(File),
}

impl WholeFile {
    /// Begins it, and makes its folder.
    pub(crate) fn begin(path: &Path) -> std::io::Result<Self> {
        // A link is followed, so that it is its target that is replaced.
        let path = path.canonicalize().unwrap_or_else(|_| path.to_owned());
        if path.metadata().is_ok_and(|found| !found.is_file() && !found.is_dir()) {
            return File::options().write(true).open(&path).map(Self::Device);
        }
        let folder = match path.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        std::fs::create_dir_all(folder)?;
        Unfinished::begin(folder).map(|file| Self::Unfinished(file, path.clone()))
    }

    /// Puts it in its place.
    pub(crate) fn finish(self) -> std::io::Result<()> {
        match self {
            Self::Unfinished(file, path) => file.finish(&path),
            Self::Device(mut file) => file.flush(),
        }
    }
}

impl Write for WholeFile {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        match self {
            Self::Unfinished(file, _) => file.file().write(bytes),
            Self::Device(file) => file.write(bytes),
        }
    }

    fn flush(&mut self) -> std::io::Result<()> {
        match self {
            Self::Unfinished(file, _) => file.file().flush(),
            Self::Device(file) => file.flush(),
        }
    }
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
