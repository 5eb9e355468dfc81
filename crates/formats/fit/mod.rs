//! FIT activity files: one fix for each `record` message that has a position.
//!
//! Sources: *Flexible and Interoperable Data Transfer (FIT) Protocol* and the global profile of its SDK, whose numbers of
//! messages and fields stand where they are used. A file names the layout of its messages before it uses them; all else
//! than the few fields of a fix is stepped over by its size, developer fields too. Nothing is allocated for a message.
//!
//! A FIT has no lines: problems are located by their byte.

mod crc;
mod definition;
mod header;
mod record;

use crate::builder::LogBuilder;
use crate::error::ReadError;
use definition::{Definition, Fault, MessageKind};
use driftless_track::{FlightLog, LogFormat, SourceRef};
use header::Header;
pub(crate) use header::is_fit;
use record::Clock;

/// Reads a FIT file, or several that stand one behind the other.
pub(crate) fn read(bytes: &[u8], builder: LogBuilder) -> Result<FlightLog, ReadError> {
    let mut parser = Parser { bytes, at: 0, builder, records: 0, positions: 0, file_kind: None, is_lost: false };
    while parser.next_file() {}
    parser.finish()
}

struct Parser<'a> {
    bytes: &'a [u8],
    /// How far it is read.
    at: usize,
    builder: LogBuilder,
    /// Records met, with a position or not.
    records: u32,
    /// Records that had one.
    positions: u32,
    /// What `file_id` says the file is.
    file_kind: Option<u8>,
    /// Messages could not be followed to the end.
    is_lost: bool,
}

/// Where a byte of the file is.
fn place(at: usize) -> SourceRef {
    SourceRef { line: 0, byte: at as u64 }
}

impl<'a> Parser<'a> {
    fn rest(&self) -> &'a [u8] {
        self.bytes.get(self.at..).unwrap_or_default()
    }

    /// One file with header and checksum; `false` where there is no more.
    fn next_file(&mut self) -> bool {
        let begin = self.at;
        let rest = self.rest();
        if rest.iter().all(|&byte| byte == 0) {
            return false;
        }
        if !is_fit(rest) {
            let message = || format!("{} bytes behind the end of the FIT file were not read", rest.len());
            self.builder.note("fit-trailing-bytes", place(begin), message, "");
            return false;
        }
        let Some(header) = Header::read(rest) else {
            let message = || "the header of the FIT file is damaged: its length cannot be".to_owned();
            self.builder.warn("fit-broken", place(begin), message, "copy the file from the logger again");
            return false;
        };
        if header.is_damaged {
            let message = || "the checksum of the FIT header does not match".to_owned();
            self.builder.warn("bad-checksum", place(begin + 12), message, "what could be read was kept");
        }
        self.builder.start_segment();
        self.at = begin + header.length;
        // A recorder that lost its power has not written how much there is.
        let told = self.at.checked_add(header.data_length).filter(|_| header.data_length > 0);
        let end = told.filter(|&end| end <= self.bytes.len()).unwrap_or(self.bytes.len());
        let followed = self.messages(end, told != Some(end));
        if told != Some(end) {
            if followed {
                let message =
                    || "the file ends early: it is shorter than its header says, or was never closed".to_owned();
                self.builder.warn("cut-off", place(end), message, "what came before was read");
            }
            self.at = self.bytes.len();
            return false;
        }
        self.check_sum(begin, end);
        self.at = end + 2;
        true
    }

    /// The checksum behind the data, over header and data.
    fn check_sum(&mut self, begin: usize, end: usize) {
        let written =
            self.bytes.get(end..end + 2).and_then(|sum| sum.first_chunk::<2>()).map(|sum| u16::from_le_bytes(*sum));
        let Some(written) = written else {
            let message = || "the file ends before its checksum".to_owned();
            return self.builder.warn("cut-off", place(end), message, "what came before was read");
        };
        if crc::of(self.bytes.get(begin..end).unwrap_or_default()) != written {
            let message = || "the checksum of the FIT file does not match: it is damaged, or was changed".to_owned();
            self.builder.warn("bad-checksum", place(end), message, "what could be read was kept; copy the file again");
        }
    }

    /// Messages up to `end`; `false` where they cannot be followed that far. In a file that is `cut_off` the last one may
    /// lack its end.
    fn messages(&mut self, end: usize, cut_off: bool) -> bool {
        let mut definitions: [Option<Definition>; 16] = [const { None }; 16];
        let mut clock = Clock::default();
        while self.at < end {
            let begin = self.at;
            let rest = self.bytes.get(begin..end).unwrap_or_default();
            let Some((&head, body)) = rest.split_first() else { return true };
            // Bit 7: a data message with a compressed time; else bit 6: a definition; the lowest bits: its local number.
            let (local, offset_s) = match head {
                0x80.. => ((head >> 5) & 0b11, Some(head & 0b1_1111)),
                _ => (head & 0b1111, None),
            };
            let Some(slot) = definitions.get_mut(usize::from(local)) else { return true };
            let length = if offset_s.is_none() && head & 0b0100_0000 != 0 {
                match Definition::read(body, head & 0b0010_0000 != 0) {
                    Ok((definition, length)) => {
                        *slot = Some(definition);
                        length
                    }
                    Err(Fault::CutOff) if cut_off => return true,
                    Err(fault) => return self.lose(begin, fault.words()),
                }
            } else {
                let Some(definition) = slot else {
                    return self.lose(begin, "a message whose layout the file does not tell");
                };
                let Some(data) = body.get(..definition.length) else {
                    return cut_off || self.lose(begin, Fault::CutOff.words());
                };
                match definition.kind {
                    MessageKind::FileId => {
                        clock.tell(definition, data, offset_s);
                        self.file_kind = self.file_kind.or(definition.file_kind(data));
                    }
                    MessageKind::Record => {
                        self.records = self.records.saturating_add(1);
                        let time = clock.tell(definition, data, offset_s);
                        let placed = record::store(definition, data, time, place(begin), &mut self.builder);
                        self.positions = self.positions.saturating_add(u32::from(placed));
                    }
                    MessageKind::Other => {
                        clock.tell(definition, data, offset_s);
                    }
                }
                definition.length
            };
            self.at = begin + 1 + length;
        }
        true
    }

    /// Nobody knows where the next message begins.
    fn lose(&mut self, at: usize, what: &str) -> bool {
        self.is_lost = true;
        let message = || format!("the FIT data cannot be followed any more: {what}");
        self.builder.warn(
            "fit-broken",
            place(at),
            message,
            "what came before was read; copy the file from the logger again",
        );
        false
    }

    fn finish(self) -> Result<FlightLog, ReadError> {
        let Self { mut builder, records, positions, file_kind, is_lost, .. } = self;
        // Types of `file_id` in the profile.
        let help = match (file_kind, records) {
            (Some(6), _) => {
                // Its times are those of a partner to race with.
                builder.drop_fixes();
                "it is a course, a planned route that nobody flew; export the recorded activity"
            }
            (None | Some(4), 0) if is_lost => "",
            (Some(5), _) => "it is a workout, a plan for training; export the recorded activity",
            (None | Some(4), 0) => "it has no records; export the recorded activity",
            (_, 0) => "it is not a recorded activity, and has no records; export the activity",
            _ if positions > 0 => "",
            _ => "its records have no positions: it was recorded indoors or without GPS",
        };
        builder.finish(LogFormat::Fit, help)
    }
}

#[cfg(test)]
mod tests;
