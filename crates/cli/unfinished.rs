//! Files while they are being written: none stays behind, however the run ends.
//!
//! A run that is asked to stop (Ctrl-C, a termination signal) removes what it has not finished. One that is killed
//! outright cannot; what it leaves is removed by the next run that writes into that folder, which knows it by its name
//! and by nobody holding it: each file is locked for as long as its writer lives.

use crate::terminal;
use std::collections::BTreeSet;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;
use tempfile::NamedTempFile;

/// How their names begin.
const PREFIX: &str = ".driftless-";

/// Between the making of a file and its lock another run could take it for abandoned; nothing younger is touched.
const ABANDONED_AFTER: Duration = Duration::from_secs(60);

/// What a shell gives for a program that was stopped by Ctrl-C: 128 and the number of the signal.
const STOPPED: i32 = 130;

/// The files of this run that are not finished.
static UNFINISHED: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// The folders in which this run has looked for what others left. A run that writes thousands of files looks once.
static TIDIED: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// What whoever stops this run is told.
static WORDS_WHEN_STOPPED: Mutex<Option<String>> = Mutex::new(None);

/// From here on a run that is asked to stop cleans up first.
pub(crate) fn remove_when_stopped() {
    // Where no handler can be set, the next run cleans up.
    let _ = ctrlc::set_handler(|| {
        // Held to the end: no other file is begun.
        let files = UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner);
        remove_all(&files);
        if let Some(words) = WORDS_WHEN_STOPPED.lock().unwrap_or_else(PoisonError::into_inner).as_deref() {
            terminal::note(words);
        }
        #[expect(clippy::exit, reason = "the run was asked to stop")]
        std::process::exit(STOPPED);
    });
}

/// What to say when this run is asked to stop; nothing any more with `None`.
pub(crate) fn say_when_stopped(words: Option<String>) {
    *WORDS_WHEN_STOPPED.lock().unwrap_or_else(PoisonError::into_inner) = words;
}

fn remove_all(files: &BTreeSet<PathBuf>) {
    for path in files {
        let _ = std::fs::remove_file(path);
    }
}

/// An error of the system alone: the name of a temporary file tells nobody anything.
fn without_path(error: std::io::Error) -> std::io::Error {
    let system = std::error::Error::source(&error).and_then(|inner| inner.downcast_ref::<std::io::Error>());
    match system.and_then(std::io::Error::raw_os_error) {
        Some(code) => std::io::Error::from_raw_os_error(code),
        None => error,
    }
}

/// A file that is not finished yet.
pub(crate) struct Unfinished {
    file: NamedTempFile,
    path: PathBuf,
}

impl Unfinished {
    /// Begins a file in a folder, after removing what killed runs left there.
    pub(crate) fn begin(folder: &Path) -> std::io::Result<Self> {
        if TIDIED.lock().unwrap_or_else(PoisonError::into_inner).insert(folder.to_owned()) {
            remove_abandoned(folder, ABANDONED_AFTER);
        }
        let mut builder = tempfile::Builder::new();
        builder.prefix(PREFIX);
        // Readable like any other new file (the process's mask still applies), not private as temporary files are.
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        let mut unfinished = UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner);
        let file = builder.tempfile_in(folder).map_err(without_path)?;
        let path = file.path().to_owned();
        unfinished.insert(path.clone());
        // On a file system without locks the file is not known to be held, nor ever taken for abandoned.
        let _ = file.as_file().try_lock();
        Ok(Self { file, path })
    }

    /// The file to write to.
    pub(crate) fn file(&mut self) -> &mut NamedTempFile {
        &mut self.file
    }

    /// Puts the finished file in its place, whole.
    pub(crate) fn finish(self, path: &Path) -> std::io::Result<()> {
        self.file.as_file().sync_all()?;
        let outcome = self.file.persist(path).map(drop).map_err(|error| error.error);
        UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner).remove(&self.path);
        outcome
    }
}

/// Removes the files of runs that are no more.
fn remove_abandoned(folder: &Path, older_than: Duration) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let ours = entry.file_name().to_string_lossy().starts_with(PREFIX);
        let old = entry.metadata().is_ok_and(|found| {
            found.is_file() && found.modified().is_ok_and(|at| at.elapsed().is_ok_and(|age| age >= older_than))
        });
        if ours && old && is_abandoned(&entry.path()) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Whether nobody holds the lock of a file.
fn is_abandoned(path: &Path) -> bool {
    File::options().write(true).open(path).is_ok_and(|file| file.try_lock().is_ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = std::fs::read_dir(folder).unwrap();
        let mut names: Vec<_> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn what_a_killed_run_left_goes_and_what_a_living_one_holds_stays() {
        let folder = tempfile::tempdir().unwrap();
        let held = Unfinished::begin(folder.path()).unwrap();
        std::fs::write(folder.path().join(".driftless-left"), "half").unwrap();
        std::fs::write(folder.path().join("kept.html"), "whole").unwrap();
        remove_abandoned(folder.path(), ABANDONED_AFTER);
        assert_eq!(names(folder.path()).len(), 3, "too young to be taken for abandoned");
        remove_abandoned(folder.path(), Duration::ZERO);
        let name = held.path.file_name().unwrap().to_str().unwrap();
        assert_eq!(names(folder.path()), [name, "kept.html"]);
    }

    #[test]
    fn a_run_that_is_asked_to_stop_knows_what_to_remove() {
        let folder = tempfile::tempdir().unwrap();
        let begun = Unfinished::begin(folder.path()).unwrap();
        assert!(UNFINISHED.lock().unwrap().contains(&begun.path));
        remove_all(&BTreeSet::from([begun.path.clone()]));
        assert!(names(folder.path()).is_empty());
        let finished = Unfinished::begin(folder.path()).unwrap();
        let path = finished.path.clone();
        finished.finish(&folder.path().join("done")).unwrap();
        assert!(!UNFINISHED.lock().unwrap().contains(&path));
        assert_eq!(names(folder.path()), ["done"]);
    }
}
