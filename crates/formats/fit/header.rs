//! The header of a FIT file: 12 bytes, and in newer files a checksum of these.

use super::crc;

/// What the header says.
#[derive(Debug)]
pub(super) struct Header {
    /// Bytes of the header itself.
    pub(super) length: usize,
    /// Bytes of the messages behind it; 0 where the recorder has not come to write it.
    pub(super) data_length: usize,
    /// The checksum of the header does not match.
    pub(super) is_damaged: bool,
}

/// Whether a FIT file begins here.
pub(crate) fn is_fit(bytes: &[u8]) -> bool {
    bytes.get(8..12) == Some(b".FIT")
}

impl Header {
    /// `None` where it cannot be as long as it says.
    pub(super) fn read(bytes: &[u8]) -> Option<Self> {
        let length = usize::from(*bytes.first()?);
        let header = bytes.get(..length).filter(|_| length >= 12)?;
        let data_length = u32::from_le_bytes(*header.get(4..8)?.first_chunk()?);
        let sum = header.get(12..14).and_then(|sum| sum.first_chunk()).map_or(0, |sum| u16::from_le_bytes(*sum));
        // 0: not computed.
        let is_damaged = sum != 0 && crc::of(header.get(..12)?) != sum;
        Some(Self { length, data_length: usize::try_from(data_length).ok()?, is_damaged })
    }
}
