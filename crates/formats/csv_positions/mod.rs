//! Tables of positions: columns known by their names and units, or told by a [`CsvMapping`].

mod columns;
mod header;
mod held;
mod mapping;
mod row;

pub use mapping::{ColumnChoice, CsvMapping};

use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::error::ReadError;
use crate::excerpt::excerpt;
use crate::lines::LineCounter;
use csv::ByteRecord;
use driftless_track::{FlightLog, LogFormat, SourceRef};
use header::Layout;
use row::Rows;

/// A row longer than this is a broken quotation, not a row.
const MAX_ROW: usize = 1 << 16;

/// Reads a table of positions.
pub(crate) fn read(
    decoded: &Decoded<'_>,
    mapping: Option<&CsvMapping>,
    mut builder: LogBuilder,
) -> Result<FlightLog, ReadError> {
    let bytes = &*decoded.bytes;
    let layout = Layout::find(bytes, mapping)?;
    layout.note_unused(&mut builder, decoded.base);
    let body = bytes.get(layout.body_at..).unwrap_or_default();
    let from = |at: usize| {
        csv::ReaderBuilder::new()
            .delimiter(layout.delimiter)
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .quoting(layout.quoted)
            .from_reader(bytes.get(at..).unwrap_or_default())
    };
    builder.fixes.reserve(body.len() / 64);
    let mut lines = LineCounter::new(bytes, decoded.base);
    let mut rows = Rows::new(&layout, mapping);
    let mut record = ByteRecord::new();
    let mut start = layout.body_at;
    let mut reader = from(start);
    loop {
        let next = start.saturating_add(usize::try_from(reader.position().byte()).unwrap_or(usize::MAX));
        let rest = bytes.get(next..).unwrap_or_default();
        // Taking a line of many megabytes to pieces would take seconds and much memory.
        if let Some(length) = too_long(rest) {
            let message = || format!("a row was left out, it is too long: {}", excerpt(rest));
            builder.warn("line-too-long", row_place(&mut lines, bytes, next), message, "its line end may be missing");
            start = next + length;
            reader = from(start);
            continue;
        }
        // The reader's own place counts from the start of the row, blank lines and comments before it included.
        match reader.read_byte_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {
                let at = record.position().map_or(0, csv::Position::byte);
                let at = usize::try_from(at).unwrap_or(usize::MAX).saturating_add(start);
                let place = row_place(&mut lines, bytes, at);
                if record.as_slice().len() > MAX_ROW {
                    let message = || format!("a row was left out, it is too long: {}", excerpt(record.as_slice()));
                    builder.warn("line-too-long", place, message, "a quotation mark may be missing");
                    continue;
                }
                rows.add(&record, place, &mut builder);
            }
            // Bytes in memory, rows of any length: there is nothing left that can fail, but an error ends the table.
            Err(error) => {
                builder.warn_all("table-broken", || format!("the table could not be read further: {error}"), "");
                break;
            }
        }
    }
    rows.finish(&mut builder);
    builder.finish(LogFormat::Csv, "each row needs a time, a latitude and a longitude")
}

/// The length of the line at the start of `rest`, if it is longer than a row can be.
fn too_long(rest: &[u8]) -> Option<usize> {
    let head = rest.get(..=MAX_ROW)?;
    let ends = |bytes: &[u8]| memchr::memchr2(b'\n', b'\r', bytes);
    ends(head).is_none().then(|| ends(rest).map_or(rest.len(), |at| at + 1))
}

/// The place of the row that starts at or behind `at` (line ends before it skipped).
fn row_place(lines: &mut LineCounter<'_>, bytes: &[u8], at: usize) -> SourceRef {
    let rest = bytes.get(at..).unwrap_or_default();
    let skipped = rest.iter().take_while(|b| matches!(b, b'\r' | b'\n')).count();
    lines.place(at + skipped)
}

#[cfg(test)]
mod tests;
