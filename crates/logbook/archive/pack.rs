//! Making an archive.

use super::ArchiveError;
use super::name::checked;
use flate2::Compression;
use flate2::write::DeflateEncoder;
use rawzip::{CompressionMethod, ZipArchiveWriter};
use std::collections::BTreeSet;
use std::io::Write;

/// Packs files, each with its path, in the order given. The same files give the same bytes: no clock is looked at.
///
/// # Errors
/// Names that [`unpack`](super::unpack) would refuse.
pub fn pack<'a>(files: impl IntoIterator<Item = (&'a str, &'a [u8])>) -> Result<Vec<u8>, ArchiveError> {
    let mut packed = Vec::new();
    let mut archive = ZipArchiveWriter::new(&mut packed);
    let mut names = BTreeSet::new();
    for (name, bytes) in files {
        checked(name.as_bytes())?;
        if !names.insert(name.to_owned()) {
            return Err(ArchiveError::Twice(name.to_owned()));
        }
        let file = archive.new_file(name).compression_method(CompressionMethod::DEFLATE).unix_permissions(0o644);
        let (mut entry, data) = file.start()?;
        let mut writer = data.wrap(DeflateEncoder::new(&mut entry, Compression::default()));
        writer.write_all(bytes)?;
        let (encoder, descriptor) = writer.finish()?;
        encoder.finish()?;
        entry.finish(descriptor)?;
    }
    archive.finish()?;
    Ok(packed)
}
