//! Unpacks gzip (RFC 1952), also of several members, with a limit on what comes out.

use crate::builder::LogBuilder;
use crate::error::ReadError;
use driftless_track::InputLimit;
use flate2::bufread::GzDecoder;
use std::borrow::Cow;
use std::io::Read;

pub(crate) const MAGIC: &[u8] = &[0x1f, 0x8b];
/// Wordy GPX packs 30 to 60 times; deflate can do 1,032 times on zeros. Small files may always reach 16 MiB.
const LIMIT_RATIO: u64 = 200;

/// The file's bytes, unpacked if they are gzip-ed. Damage keeps what came before it.
pub(crate) fn plain_bytes<'a>(bytes: &'a [u8], builder: &mut LogBuilder) -> Result<Cow<'a, [u8]>, ReadError> {
    if !bytes.starts_with(MAGIC) {
        return Ok(Cow::Borrowed(bytes));
    }
    let most = builder.limits.of(InputLimit::Bytes) as u64;
    let by_ratio = (bytes.len() as u64 * LIMIT_RATIO).max(16 << 20);
    let limit = most.min(by_ratio);
    let mut plain = Vec::new();
    let mut rest = bytes;
    while rest.starts_with(MAGIC) {
        let left = (limit + 1).saturating_sub(plain.len() as u64);
        let mut member = GzDecoder::new(rest);
        let outcome = member.by_ref().take(left).read_to_end(&mut plain);
        if plain.len() as u64 > limit {
            if most <= by_ratio {
                builder.limits.hold(InputLimit::Bytes, plain.len(), None)?;
            }
            return Err(ReadError::TooLarge { limit_mib: limit >> 20, packed_bytes: bytes.len() });
        }
        if let Err(error) = outcome {
            if plain.is_empty() {
                return Err(ReadError::Gzip { reason: error.to_string() });
            }
            builder.warn_all(
                "gzip-damaged",
                || format!("the gzip data is damaged or cut off ({error}); {} bytes could be unpacked", plain.len()),
                "copy the file again; what came before the damage was read",
            );
            return Ok(Cow::Owned(plain));
        }
        rest = member.into_inner();
    }
    if rest.iter().any(|&b| b != 0) {
        builder.note_all(
            "gzip-trailing-bytes",
            || format!("{} bytes behind the gzip data were not read", rest.len()),
            "",
        );
    }
    Ok(Cow::Owned(plain))
}
