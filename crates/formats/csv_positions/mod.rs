//! Tables of positions: columns known by their names and units, or told by a [`CsvMapping`].

mod columns;
mod header;
mod held;
mod mapping;
mod row;

pub(crate) use columns::ground_speed_scale;
pub use mapping::CsvMapping;

use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::error::ReadError;
use crate::table::{NextRow, Rows, TableLines};
use driftless_track::{FlightLog, LogFormat};
use driftless_units::excerpt;
use header::Header;
use row::FixReader;

/// Reads a table of positions.
pub(crate) fn read(
    decoded: &Decoded<'_>,
    mapping: Option<&CsvMapping>,
    mut builder: LogBuilder,
) -> Result<FlightLog, ReadError> {
    let table = TableLines::new(&decoded.bytes, decoded.base);
    let header = Header::find(table, mapping)?;
    header.note_unused(&mut builder);
    let mut rows = Rows::new(table, &header.layout);
    let mut fixes = FixReader::new(&header, mapping);
    loop {
        match rows.advance() {
            NextRow::Row(row) => fixes.add(&row, &mut builder),
            NextRow::TooLong(row) => {
                let message = || format!("a row was left out, it is too long: {}", excerpt(row.bytes));
                builder.warn("line-too-long", row.source, message, "its line end may be missing");
            }
            NextRow::End => break,
        }
    }
    fixes.finish(&mut builder);
    builder.finish(LogFormat::Csv, "each row needs a time, a latitude and a longitude")
}

#[cfg(test)]
mod tests;
