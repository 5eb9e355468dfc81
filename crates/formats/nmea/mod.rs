//! NMEA 0183: RMC, GGA, VTG and ZDA of any talker, joined into one fix per moment.
//!
//! Sources: D. DePriest, *NMEA data* (gpsinformation.org/dale/nmea.htm) for the sentences; the checksum is the
//! exclusive or of all characters between `$` and `*`, in two hexadecimal digits.

mod epoch;
mod sentence;

use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::error::ReadError;
use crate::lines::Lines;
use driftless_track::{FlightLog, InputLimit, LogFormat, SourceRef};
use driftless_units::excerpt;
use epoch::Joiner;
use sentence::{Checksum, Kind, Sentence};

/// Reads a file of NMEA sentences; whatever stands between them is noise.
pub(crate) fn read(decoded: &Decoded<'_>, mut builder: LogBuilder) -> Result<FlightLog, ReadError> {
    let longest = builder.limits.of(InputLimit::LineBytes);
    let mut joiner = Joiner::default();
    for line in Lines::new(&decoded.bytes, decoded.base) {
        let mut rest = line.bytes;
        // A binary block has no line ends; sentences in it are found all the same.
        let mut at = 0_u64;
        while let Some(dollar) = memchr::memchr(b'$', rest) {
            let body = rest.get(dollar + 1..).unwrap_or_default();
            let body = body.get(..longest).unwrap_or(body);
            let end = memchr::memchr2(b'$', b'\r', body).unwrap_or(body.len());
            let place = SourceRef { byte: line.source.byte + at + dollar as u64, ..line.source };
            let text = body.get(..end).unwrap_or_default();
            let last = !line.complete && dollar + 1 + end >= rest.len();
            accept(text, place, last, &mut joiner, &mut builder);
            let step = dollar + 1 + end;
            at += step as u64;
            rest = rest.get(step..).unwrap_or_default();
        }
    }
    joiner.finish(&mut builder);
    builder.finish(LogFormat::Nmea, "positions stand in RMC and GGA sentences")
}

fn accept(text: &[u8], place: SourceRef, last: bool, joiner: &mut Joiner, builder: &mut LogBuilder) {
    let Some(kind) = Kind::of(text) else { return };
    let shown = || excerpt(text);
    let body = match Checksum::check(text) {
        Checksum::Good(body) => body,
        Checksum::Missing(_) if last => {
            return builder.warn(
                "cut-off",
                place,
                || format!("the file ends inside a sentence, which was left out: {}", shown()),
                "copy the file from the logger again",
            );
        }
        Checksum::Missing(body) => {
            let message = || format!("a sentence has no checksum: {}", shown());
            builder.note("checksum-missing", place, message, "it was read all the same");
            body
        }
        Checksum::Wrong => {
            let message = || format!("a sentence whose checksum does not match was left out: {}", shown());
            return builder.warn("bad-checksum", place, message, "noise on the line or an edited file");
        }
    };
    match Sentence::parse(kind, body) {
        Ok(sentence) => {
            if let Some(what) = sentence.bad_value {
                let message = || format!("a value was left out: {what} in {}", shown());
                builder.warn("bad-value", place, message, "the rest of the sentence was kept");
            }
            joiner.add(&sentence, place, builder);
        }
        Err(what) => {
            builder.warn("bad-sentence", place, || format!("a sentence was left out: {what} in {}", shown()), "");
        }
    }
}

#[cfg(test)]
mod tests;
