//! The layout of a message as the file defines it, reduced to the fields that are wanted.

/// Messages that matter, by their number in the profile.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MessageKind {
    /// 0: what the file is.
    FileId,
    /// 20: a moment of the recording.
    Record,
    Other,
}

/// Fields that matter, with their number in the profile: all in the message that they are of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    /// 253 of any message: seconds since 1989-12-31.
    Timestamp,
    /// 0 of `file_id`.
    FileKind,
    /// 0 and 1 of `record`: semicircles.
    Latitude,
    Longitude,
    /// 2: fifths of a metre above -500 m; 78: the same with more bits.
    Altitude,
    EnhancedAltitude,
    /// 6: mm/s; 73: the same with more bits.
    Speed,
    EnhancedSpeed,
    /// 32: mm/s, up positive.
    VerticalSpeed,
}

const FIELDS: usize = 9;

impl Field {
    fn of(kind: MessageKind, number: u8) -> Option<Self> {
        Some(match (kind, number) {
            (_, 253) => Self::Timestamp,
            (MessageKind::FileId, 0) => Self::FileKind,
            (MessageKind::Record, 0) => Self::Latitude,
            (MessageKind::Record, 1) => Self::Longitude,
            (MessageKind::Record, 2) => Self::Altitude,
            (MessageKind::Record, 6) => Self::Speed,
            (MessageKind::Record, 32) => Self::VerticalSpeed,
            (MessageKind::Record, 73) => Self::EnhancedSpeed,
            (MessageKind::Record, 78) => Self::EnhancedAltitude,
            _ => return None,
        })
    }
}

/// Integers of FIT; other types are none of the fields that matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Integer {
    bytes: usize,
    signed: bool,
    /// Of the types that end in `z`, 0 is no value.
    zero_is_none: bool,
}

impl Integer {
    /// By the number of the base type, whose highest bit only says that the order of bytes matters.
    fn of(base_type: u8) -> Option<Self> {
        let (bytes, signed, zero_is_none) = match base_type & 0x1f {
            0x00 | 0x02 | 0x0d => (1, false, false),
            0x01 => (1, true, false),
            0x03 => (2, true, false),
            0x04 => (2, false, false),
            0x05 => (4, true, false),
            0x06 => (4, false, false),
            0x0a => (1, false, true),
            0x0b => (2, false, true),
            0x0c => (4, false, true),
            _ => return None,
        };
        Some(Self { bytes, signed, zero_is_none })
    }

    /// The number, or nothing where all its bits (but the sign) are set.
    fn read(self, bytes: &[u8], big_endian: bool) -> Option<i64> {
        let bytes = bytes.get(..self.bytes)?;
        let join = |value: u64, byte: &u8| value << 8 | u64::from(*byte);
        let raw = if big_endian { bytes.iter().fold(0, join) } else { bytes.iter().rev().fold(0, join) };
        let bits = 8 * self.bytes;
        let none = match (self.zero_is_none, self.signed) {
            (true, _) => 0,
            (false, true) => (1 << (bits - 1)) - 1,
            (false, false) => (1 << bits) - 1,
        };
        if raw == none {
            return None;
        }
        // At most four bytes: both fit.
        let value = i64::try_from(raw).ok()?;
        let negative = self.signed && raw >> (bits - 1) == 1;
        Some(if negative { value - (1 << bits) } else { value })
    }
}

/// Where a field stands in its message.
#[derive(Debug, Clone, Copy)]
struct Slot {
    offset: usize,
    integer: Integer,
}

/// A layout.
#[derive(Debug)]
pub(super) struct Definition {
    pub(super) kind: MessageKind,
    /// Bytes of a message behind its first one.
    pub(super) length: usize,
    big_endian: bool,
    slots: [Option<Slot>; FIELDS],
}

/// Why a definition cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    /// The data ends inside.
    CutOff,
    /// The order of bytes is neither of the two that there are.
    ByteOrder,
}

impl Fault {
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::CutOff => "it ends inside of a message",
            Self::ByteOrder => "the layout of a message cannot be",
        }
    }
}

impl Definition {
    /// A definition message behind its first byte, and how long it is.
    pub(super) fn read(body: &[u8], has_developer_fields: bool) -> Result<(Self, usize), Fault> {
        let (&[_, byte_order, low, high, count], rest) = body.split_first_chunk::<5>().ok_or(Fault::CutOff)?;
        let big_endian = match byte_order {
            0 => false,
            1 => true,
            _ => return Err(Fault::ByteOrder),
        };
        let number = if big_endian { u16::from_be_bytes([low, high]) } else { u16::from_le_bytes([low, high]) };
        let kind = match number {
            0 => MessageKind::FileId,
            20 => MessageKind::Record,
            _ => MessageKind::Other,
        };
        let mut definition = Self { kind, length: 0, big_endian, slots: [None; FIELDS] };
        let fields = rest.get(..3 * usize::from(count)).ok_or(Fault::CutOff)?;
        for field in fields.chunks_exact(3) {
            let &[number, size, base_type] = field else { continue };
            definition.add(number, usize::from(size), base_type);
        }
        let mut length = 5 + fields.len();
        if has_developer_fields {
            let (&count, rest) = rest.get(fields.len()..).and_then(<[u8]>::split_first).ok_or(Fault::CutOff)?;
            let fields = rest.get(..3 * usize::from(count)).ok_or(Fault::CutOff)?;
            for field in fields.chunks_exact(3) {
                definition.length += field.get(1).copied().map_or(0, usize::from);
            }
            length += 1 + fields.len();
        }
        Ok((definition, length))
    }

    fn add(&mut self, number: u8, size: usize, base_type: u8) {
        let offset = self.length;
        self.length += size;
        // Of an array nobody knows which value is meant.
        let integer = Integer::of(base_type).filter(|integer| integer.bytes == size);
        if let (Some(field), Some(integer)) = (Field::of(self.kind, number), integer)
            && let Some(slot) = self.slots.get_mut(field as usize)
        {
            *slot = Some(Slot { offset, integer });
        }
    }

    /// The number in a field of a message with this layout.
    pub(super) fn number(&self, field: Field, data: &[u8]) -> Option<i64> {
        let slot = self.slots.get(field as usize).copied().flatten()?;
        slot.integer.read(data.get(slot.offset..)?, self.big_endian)
    }

    /// What `file_id` says the file is.
    pub(super) fn file_kind(&self, data: &[u8]) -> Option<u8> {
        self.number(Field::FileKind, data).and_then(|kind| u8::try_from(kind).ok())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn integers_of_every_type_and_their_missing_values() {
        let read = |base_type: u8, bytes: &[u8], big| Integer::of(base_type).and_then(|i| i.read(bytes, big));
        assert_eq!(read(0x85, &[0xfe, 0xff, 0xff, 0xff], false), Some(-2));
        assert_eq!(read(0x85, &[0x80, 0, 0, 0], true), Some(-(1 << 31)));
        assert_eq!(read(0x85, &[0xff, 0xff, 0xff, 0x7f], false), None);
        assert_eq!(read(0x86, &[0xff, 0xff, 0xff, 0x7f], false), Some(0x7fff_ffff));
        assert_eq!(read(0x86, &[0xff; 4], false), None);
        assert_eq!(read(0x84, &[1, 2], true), Some(0x102));
        assert_eq!(read(0x83, &[0xff, 0xff], false), Some(-1));
        assert_eq!(read(0x8c, &[0; 4], false), None);
        assert_eq!(read(0x02, &[], false), None);
        assert_eq!(read(0x88, &[0; 4], false), None, "a float");
        assert_eq!(read(0x07, &[0; 4], false), None, "a string");
    }
}
