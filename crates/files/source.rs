//! Reading a file that somebody named, within limits.

use crate::FileError;
use driftless_analysis::{InputLimit, InputLimits};
use driftless_formats::{HEAD_BYTES, refuse_by_head};
use driftless_units::printable;
use std::fs::{File, Metadata};
use std::io::Read;
use std::path::Path;
use std::sync::mpsc::channel;
use std::time::Duration;

/// A pipe whose other end nobody opens in this time has nobody to fill it.
const PIPE_PATIENCE: Duration = Duration::from_secs(1);

/// The name of a file as given, for reports.
pub fn given_name(path: &Path) -> String {
    path.display().to_string()
}

/// The name of a file in messages: one line that can be shown, whatever the file is called.
pub fn shown_name(path: &Path) -> String {
    printable(&given_name(path)).into_owned()
}

/// All bytes of a log or an inertial file; of a device or pipe that holds neither, its first bytes, from which the reader
/// of formats says what it is.
///
/// # Errors
/// A file that is not there, cannot be read or is too large.
pub fn bytes(path: &Path, limits: &InputLimits) -> Result<Vec<u8>, FileError> {
    Source::open(path)?.bytes(limits)
}

/// The same of a stream, which goes by `name` in messages.
///
/// # Errors
/// A stream that breaks off or is too long.
pub fn bytes_of(name: &str, stream: &mut dyn Read, limits: &InputLimits) -> Result<Vec<u8>, FileError> {
    Source::stream(name, stream).bytes(limits)
}

/// The text of a small file.
///
/// # Errors
/// A file that is not there, cannot be read, is too large or is no text.
pub fn text(path: &Path, limits: &InputLimits) -> Result<String, FileError> {
    Source::open(path)?.text(limits)
}

/// The same of a stream, which goes by `name` in messages.
///
/// # Errors
/// A stream that breaks off, is too long or is no text.
pub fn text_of(name: &str, stream: &mut dyn Read, limits: &InputLimits) -> Result<String, FileError> {
    Source::stream(name, stream).text(limits)
}

/// Something opened for reading.
struct Source<'a> {
    name: String,
    reader: Box<dyn Read + 'a>,
    /// Whether it is a plain file.
    ends_by_itself: bool,
    /// Its size, where that is known beforehand.
    size: Option<u64>,
}

impl<'a> Source<'a> {
    fn stream(name: &str, stream: &'a mut dyn Read) -> Self {
        Self { name: printable(name).into_owned(), reader: Box::new(stream), ends_by_itself: false, size: None }
    }

    fn open(path: &Path) -> Result<Self, FileError> {
        let name = shown_name(path);
        if path.try_exists().is_ok_and(|there| !there) {
            return Err(FileError::Missing { name });
        }
        let refused = |source| FileError::Refused { name: shown_name(path), source };
        let found = path.metadata().map_err(refused)?;
        if found.is_dir() {
            return Err(FileError::Folder { name });
        }
        let file = if is_pipe(&found) { open_pipe(path, &name)? } else { File::open(path) }.map_err(refused)?;
        let size = found.is_file().then_some(found.len());
        Ok(Self { name, reader: Box::new(file), ends_by_itself: found.is_file(), size })
    }

    fn bytes(mut self, limits: &InputLimits) -> Result<Vec<u8>, FileError> {
        let mut bytes = self.head(limits, InputLimit::Bytes)?;
        if self.ends_by_itself || refuse_by_head(&bytes).is_ok() {
            self.rest(&mut bytes, limits, InputLimit::Bytes)?;
        }
        Ok(bytes)
    }

    fn text(mut self, limits: &InputLimits) -> Result<String, FileError> {
        let mut bytes = self.head(limits, InputLimit::TextBytes)?;
        let not_text = |name: &str, at: usize| FileError::NotText { name: name.to_owned(), at };
        // Before a device without end is read to its limit.
        if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
            return Err(not_text(&self.name, at));
        }
        self.rest(&mut bytes, limits, InputLimit::TextBytes)?;
        String::from_utf8(bytes).map_err(|error| not_text(&self.name, error.utf8_error().valid_up_to()))
    }

    /// The first bytes.
    fn head(&mut self, limits: &InputLimits, limit: InputLimit) -> Result<Vec<u8>, FileError> {
        if let Some(size) = self.size {
            self.hold(limits, limit, usize::try_from(size).unwrap_or(usize::MAX))?;
        }
        let mut bytes = Vec::new();
        self.read_to(HEAD_BYTES, &mut bytes)?;
        Ok(bytes)
    }

    /// The rest, as far as it is allowed.
    fn rest(&mut self, bytes: &mut Vec<u8>, limits: &InputLimits, limit: InputLimit) -> Result<(), FileError> {
        let most = limits.of(limit).saturating_add(1);
        if let Some(size) = self.size.and_then(|size| usize::try_from(size).ok()) {
            // Room for all of a file at once: a list that grows takes up to twice its size.
            bytes.reserve_exact(size.min(most).saturating_sub(bytes.len()).saturating_add(1));
        }
        self.read_to(most, bytes)?;
        self.hold(limits, limit, bytes.len())
    }

    /// Reads until there are so many bytes, or no more.
    fn read_to(&mut self, length: usize, bytes: &mut Vec<u8>) -> Result<(), FileError> {
        let missing = length.saturating_sub(bytes.len()) as u64;
        let read = self.reader.by_ref().take(missing).read_to_end(bytes);
        read.map(drop).map_err(|source| FileError::Broken { name: self.name.clone(), source })
    }

    fn hold(&self, limits: &InputLimits, limit: InputLimit, count: usize) -> Result<(), FileError> {
        limits.hold(limit, count, None).map_err(|source| FileError::OverLimit { name: self.name.clone(), source })
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
fn open_pipe(path: &Path, name: &str) -> Result<std::io::Result<File>, FileError> {
    let (opened, waiting) = channel();
    let path = path.to_owned();
    std::thread::spawn(move || opened.send(File::open(path)));
    waiting.recv_timeout(PIPE_PATIENCE).map_err(|_| FileError::NobodyWrites { name: name.to_owned() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(bytes: &[u8]) -> tempfile::NamedTempFile {
        let file = tempfile::NamedTempFile::new().expect("a temporary file");
        std::fs::write(file.path(), bytes).expect("written");
        file
    }

    #[test]
    fn a_file_comes_whole_and_none_is_read_beyond_its_limit() {
        let given = file(b"let_go,take_over\n");
        let limits = InputLimits::default();
        assert_eq!(bytes(given.path(), &limits).expect("bytes"), b"let_go,take_over\n");
        assert_eq!(text(given.path(), &limits).expect("text"), "let_go,take_over\n");
        for limit in [InputLimit::Bytes, InputLimit::TextBytes] {
            let few = limits.with(limit, 5);
            let read = if limit == InputLimit::Bytes {
                bytes(given.path(), &few).map(drop)
            } else {
                text(given.path(), &few).map(drop)
            };
            assert!(matches!(read, Err(FileError::OverLimit { .. })), "{limit:?}: {read:?}");
        }
    }

    #[test]
    fn what_is_no_file_is_refused_with_a_way_out() {
        let folder = tempfile::tempdir().expect("a folder");
        let limits = InputLimits::default();
        let missing = bytes(&folder.path().join("none.igc"), &limits).expect_err("not there");
        assert!(missing.words().contains("check the spelling"), "{missing:?}");
        let folder = bytes(folder.path(), &limits).expect_err("a folder");
        assert!(folder.words().ends_with("a file in it"), "{folder:?}");
    }

    #[test]
    fn text_in_another_encoding_is_refused_at_its_byte() {
        for (given, byte) in [(&b"a\xff"[..], 1), (b"ab\0", 2)] {
            let error = text(file(given).path(), &InputLimits::default()).expect_err("no text");
            assert!(matches!(error, FileError::NotText { at, .. } if at == byte), "{error:?}");
        }
    }

    /// Of a stream that is no log only the head is taken, whatever follows.
    #[test]
    fn a_stream_without_end_that_is_no_log_ends_after_its_head() {
        let read = bytes_of("noise", &mut std::io::repeat(0), &InputLimits::default()).expect("its head");
        assert_eq!(read.len(), HEAD_BYTES);
    }
}
