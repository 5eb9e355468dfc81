//! The checksum of FIT: CRC-16 with the reflected polynomial 0xA001, beginning with 0.

/// What a byte does to a sum of 0.
fn of_byte(byte: u8) -> u16 {
    (0..8).fold(u16::from(byte), |sum, _| if sum & 1 == 1 { (sum >> 1) ^ 0xa001 } else { sum >> 1 })
}

/// The checksum of these bytes.
pub(super) fn of(bytes: &[u8]) -> u16 {
    let mut next = 0..=u8::MAX;
    let table: [u16; 256] = std::array::from_fn(|_| of_byte(next.next().unwrap_or_default()));
    bytes.iter().fold(0, |sum: u16, &byte| {
        let [low, _] = sum.to_le_bytes();
        (sum >> 8) ^ table.get(usize::from(low ^ byte)).copied().unwrap_or_default()
    })
}

#[cfg(test)]
mod tests {
    /// The check value of CRC-16/ARC in the catalogue of parametrised CRC algorithms (reveng.sourceforge.io).
    #[test]
    fn published_check_value() {
        assert_eq!(super::of(b"123456789"), 0xbb3d);
    }
}
