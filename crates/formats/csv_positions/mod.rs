//! Tables of positions: columns known by their names and units, or told by a [`CsvMapping`].

mod columns;
mod header;
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
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(layout.delimiter)
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .quoting(layout.quoted)
        .from_reader(body);
    builder.fixes.reserve(body.len() / 64);
    let mut lines = LineCounter::new(bytes, decoded.base);
    let mut rows = Rows::new(&layout, mapping);
    let mut record = ByteRecord::new();
    loop {
        // The reader's own place counts from the start of the row, blank lines and comments before it included.
        match reader.read_byte_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {
                let at = record.position().map_or(0, csv::Position::byte);
                let at = usize::try_from(at).unwrap_or(usize::MAX).saturating_add(layout.body_at);
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
    builder.finish(LogFormat::Csv, "each row needs a time, a latitude and a longitude")
}

/// The place of the row that starts at or behind `at` (line ends before it skipped).
fn row_place(lines: &mut LineCounter<'_>, bytes: &[u8], at: usize) -> SourceRef {
    let rest = bytes.get(at..).unwrap_or_default();
    let skipped = rest.iter().take_while(|b| matches!(b, b'\r' | b'\n')).count();
    lines.place(at + skipped)
}

#[cfg(test)]
mod tests;
