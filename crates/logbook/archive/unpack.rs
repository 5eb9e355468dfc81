//! Taking an archive apart.

use super::ArchiveError;
use super::name::checked;
use driftless_analysis::{InputLimit, InputLimits};
use flate2::bufread::DeflateDecoder;
use rawzip::{CompressionMethod, ZipArchive, ZipFileHeaderRecord, ZipSliceArchive};
use std::collections::BTreeMap;
use std::io::Read;

/// Takes an archive apart: the content of each file by its path; folders are left out. All files together may hold as
/// many bytes as a log may ([`InputLimit::Bytes`]), and there may be as many as a campaign may have runs
/// ([`InputLimit::Runs`]).
///
/// # Errors
/// What is no whole archive; too much in it, found while it unpacks; names that lead elsewhere, links, passwords.
pub fn unpack(bytes: &[u8], limits: &InputLimits) -> Result<BTreeMap<String, Vec<u8>>, ArchiveError> {
    let archive = ZipArchive::from_slice(bytes)?;
    let most = limits.of(InputLimit::Runs);
    let mut left = limits.of(InputLimit::Bytes);
    let mut files = BTreeMap::new();
    let mut count = 0;
    let mut entries = archive.entries();
    while let Some(entry) = entries.next_entry()? {
        count += 1;
        if count > most {
            return Err(ArchiveError::TooManyFiles { most });
        }
        let name = checked(entry.file_path().as_bytes())?.to_owned();
        if entry.mode().is_symlink() {
            return Err(ArchiveError::Link(name));
        }
        if name.ends_with('/') {
            continue;
        }
        if files.contains_key(&name) {
            return Err(ArchiveError::Twice(name));
        }
        let content = content(&archive, &entry, &name, left)?;
        let content = content.ok_or(ArchiveError::TooLarge { most: limits.of(InputLimit::Bytes) })?;
        left -= content.len();
        files.insert(name, content);
    }
    // What the end of the archive says it holds, for one that was cut and mended.
    if u64::try_from(count).ok() != Some(archive.entries_hint()) {
        return Err(ArchiveError::Broken("it does not hold as many files as it says".to_owned()));
    }
    Ok(files)
}

/// The content of a file, held against its sum; `None` when it is longer than `most`.
fn content(
    archive: &ZipSliceArchive<&[u8]>,
    entry: &ZipFileHeaderRecord<'_>,
    name: &str,
    most: usize,
) -> Result<Option<Vec<u8>>, ArchiveError> {
    if entry.flags().is_encrypted() || entry.flags().has_strong_encryption() {
        return Err(ArchiveError::Encrypted(name.to_owned()));
    }
    let packed = archive.get_entry(entry.wayfinder())?;
    let data = packed.data();
    match entry.compression_method() {
        CompressionMethod::STORE => read(packed.verifying_reader(data), most),
        CompressionMethod::DEFLATE => read(packed.verifying_reader(DeflateDecoder::new(data)), most),
        _ => Err(ArchiveError::Method(name.to_owned())),
    }
}

fn read(mut reader: impl Read, most: usize) -> Result<Option<Vec<u8>>, ArchiveError> {
    let mut content = Vec::new();
    reader.by_ref().take(most as u64 + 1).read_to_end(&mut content)?;
    if content.len() > most {
        return Ok(None);
    }
    Ok(Some(content))
}
