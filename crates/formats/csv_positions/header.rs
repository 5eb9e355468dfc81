//! Whether a table is one of positions, and what its other columns are.

use super::columns::Quantity;
use super::mapping::CsvMapping;
use crate::builder::LogBuilder;
use crate::error::ReadError;
use crate::lines::Line;
use crate::table::{
    Column, ColumnSet, DELIMITERS, Layout, LayoutError, NextRow, Rows, Scale, TableLines, median_step, names_in,
    shortened, unit_of_step,
};

/// What to do with a table that holds other sensors, too.
pub(super) const INERTIAL_HELP: &str = "its inertial columns are read when the file is also given with --imu";
/// So many columns of a gyro or accelerometer make a table one of all sensors.
const FEWEST_INERTIAL: usize = 3;
/// Rows from which the step of an inertial table is told.
const ROWS_FOR_STEP: usize = 400;
/// Steps that an inertial table can have, seconds: less than a factor of 1000, so that only one unit fits.
const INERTIAL_STEP_S: [f64; 2] = [0.000_8, 0.11];

/// The columns of a table of positions.
#[derive(Debug)]
pub(super) struct Header {
    pub(super) layout: Layout<Quantity>,
    /// Whether there are columns of a gyro or accelerometer, too.
    pub(super) has_inertial: bool,
}

impl Header {
    pub(super) fn find(table: TableLines<'_>, mapping: Option<&CsvMapping>) -> Result<Self, ReadError> {
        let layout = match Layout::find(table, mapping.map(|m| &m.0)) {
            Ok(layout) => layout,
            Err(LayoutError::NoHeader) => return Err(no_positions(table)),
            Err(LayoutError::Mapping(error)) => return Err(error.into()),
        };
        let wanted = [(Quantity::Time, "time"), (Quantity::Latitude, "latitude"), (Quantity::Longitude, "longitude")];
        let missing: Vec<_> =
            wanted.into_iter().filter(|(quantity, _)| !layout.has(*quantity)).map(|(_, name)| name).collect();
        if !missing.is_empty() {
            return Err(ReadError::CsvHeader { line: layout.header.line, found: shortened(&layout.names), missing });
        }
        let inertial = layout.names.iter().filter(|name| looks_inertial(name)).count();
        let mut header = Self { layout, has_inertial: inertial >= FEWEST_INERTIAL };
        if header.has_inertial {
            header.tell_unit_of_time(table);
        }
        Ok(header)
    }

    /// In a table with inertial columns the step between rows tells a unit of time that the name does not: these sensors
    /// give about 10 to 1000 rows a second.
    fn tell_unit_of_time(&mut self, table: TableLines<'_>) {
        let open = |c: &Column<Quantity>| c.quantity == Quantity::Time && c.scale.is_none();
        let Some(index) = self.layout.columns.iter().find(|c| open(c)).map(|c| c.index) else { return };
        let mut rows = Rows::new(table, &self.layout);
        let mut times = Vec::with_capacity(ROWS_FOR_STEP);
        for _ in 0..ROWS_FOR_STEP {
            match rows.advance() {
                NextRow::Row(row) => times.extend(self.layout.number(row.cell(index))),
                NextRow::TooLong(_) => {}
                NextRow::End => break,
            }
        }
        let unit = median_step(&times).and_then(|step| unit_of_step(step, INERTIAL_STEP_S));
        if let (Some(time), Some((_, seconds))) = (self.layout.columns.iter_mut().find(|c| open(c)), unit) {
            time.scale = Some(Scale::times(seconds));
        }
    }

    pub(super) fn note_unused(&self, builder: &mut LogBuilder) {
        let Layout { header, unused, columns, .. } = &self.layout;
        if !unused.is_empty() {
            let message = || format!("columns that were not used: {}", shortened(unused).join(", "));
            let help = if self.has_inertial { INERTIAL_HELP } else { "a column mapping can tell what they are" };
            builder.note("columns-not-used", *header, message, help);
        }
        let has_open_unit = columns.iter().any(|c| {
            c.scale.is_none() && matches!(c.quantity, Quantity::GroundSpeed | Quantity::Climb | Quantity::TrueAirspeed)
        });
        if has_open_unit {
            let message = || "a speed column names no unit and was taken as m/s".to_owned();
            builder.note("unit-assumed", *header, message, "name it like speed_kmh, or give a column mapping");
        }
    }
}

/// Names of gyro and accelerometer axes, as far as a hint needs them; the reader of inertial data knows them better.
fn looks_inertial(name: &str) -> bool {
    if Quantity::recognise(name).is_some() {
        return false;
    }
    let lower = name.trim().to_lowercase();
    let short = |axis: &str| ["gx", "gy", "gz", "wx", "wy", "wz", "ax", "ay", "az"].contains(&axis);
    ["gyro", "acc", "rotation", "angular"].iter().any(|word| lower.starts_with(word))
        || lower.split(['_', ' ', '(', '[']).next().is_some_and(short)
}

/// No column name at all was known: a table of something else, or no table.
fn no_positions(table: TableLines<'_>) -> ReadError {
    let lines: Vec<_> = table.filled().take(3).collect();
    if lines.first().is_some_and(|line| line.bytes.starts_with(b"let_go")) {
        let help = "give it with --marks beside the log";
        return ReadError::NotAFlightLog { looks_like: "a marks file".to_owned(), help };
    }
    for delimiter in DELIMITERS {
        let width = |line: &Line<'_>| memchr::memchr_iter(delimiter, line.bytes).count();
        if let [first, rest @ ..] = lines.as_slice()
            && width(first) > 0
            && rest.iter().all(|line| width(line) == width(first))
        {
            return ReadError::CsvHeader {
                line: first.source.line,
                found: shortened(&names_in(first.bytes, delimiter)),
                missing: vec!["time", "latitude", "longitude"],
            };
        }
    }
    ReadError::NotAFlightLog { looks_like: "text without positions".to_owned(), help: "" }
}
