//! Finds the header, the delimiter and the columns of a table.

use super::columns::{Quantity, recognise};
use super::mapping::CsvMapping;
use crate::builder::LogBuilder;
use crate::error::ReadError;
use crate::lines::{Line, Lines, MAX_LINE};
use crate::number::parse_f64;
use driftless_track::SourceRef;

/// Some loggers write a few lines about themselves before the header.
const PREAMBLE_LINES: usize = 40;
/// What to do with a table that holds other sensors, too.
pub(super) const INERTIAL_HELP: &str = "its inertial columns are read when the file is also given with --imu";
/// Rows from which the step of an inertial table is told.
const ROWS_FOR_STEP: usize = 400;
/// Steps that an inertial table can have, seconds: less than a factor of 1000, so that only one unit fits.
const INERTIAL_STEP_S: [f64; 2] = [0.000_8, 0.11];
const DELIMITERS: [u8; 3] = [b',', b';', b'\t'];

/// How the table is laid out.
#[derive(Debug)]
pub(super) struct Layout {
    pub(super) delimiter: u8,
    pub(super) quoted: bool,
    pub(super) decimal_comma: bool,
    /// Offset of the first row behind the header.
    pub(super) body_at: usize,
    pub(super) columns: Vec<Column>,
    /// Names of columns that were not used.
    unused: Vec<String>,
    /// Whether they look like those of a gyro or accelerometer.
    pub(super) has_inertial: bool,
    header: SourceRef,
}

/// A column in use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Column {
    pub(super) index: usize,
    pub(super) quantity: Quantity,
    /// `None`: the name gave no unit.
    pub(super) factor: Option<f64>,
}

impl Layout {
    pub(super) fn find(bytes: &[u8], mapping: Option<&CsvMapping>) -> Result<Self, ReadError> {
        let mut layout = match mapping {
            Some(mapping) => Self::mapped(bytes, mapping)?,
            None => Self::recognised(bytes)?,
        };
        let first_row = bytes.get(layout.body_at..).and_then(|body| rows(body, 0).next());
        if layout.has_inertial {
            layout.tell_unit_of_time(bytes);
        }
        if let Some(row) = first_row {
            layout.quoted |= row.bytes.contains(&b'"');
            // With a comma between fields there can be none inside of numbers.
            layout.decimal_comma |= layout.delimiter != b',' && layout.has_decimal_comma(row.bytes);
        }
        Ok(layout)
    }

    /// In a table with inertial columns the step between rows tells a unit of time that the name does not: these sensors
    /// give about 10 to 1000 rows a second.
    fn tell_unit_of_time(&mut self, bytes: &[u8]) {
        let Some(time) = self.columns.iter_mut().find(|c| c.quantity == Quantity::Time && c.factor.is_none()) else {
            return;
        };
        let body = bytes.get(self.body_at..).unwrap_or_default();
        let cell = |line: Line<'_>| {
            parse_f64(line.bytes.split(|&b| b == self.delimiter).nth(time.index).unwrap_or_default().trim_ascii())
        };
        let times: Vec<f64> = rows(body, 0).take(ROWS_FOR_STEP).filter_map(cell).collect();
        let mut steps: Vec<f64> =
            times.iter().zip(times.iter().skip(1)).map(|(a, b)| b - a).filter(|step| *step > 0.0).collect();
        let middle = steps.len() / 2;
        if steps.is_empty() {
            return;
        }
        let step = *steps.select_nth_unstable_by(middle, f64::total_cmp).1;
        let fits = |factor: &f64| (INERTIAL_STEP_S[0]..INERTIAL_STEP_S[1]).contains(&(step * factor));
        time.factor = [1.0, 1e-3, 1e-6, 1e-9].into_iter().find(fits);
    }

    /// Numbers like `47,5` where a latitude stands.
    fn has_decimal_comma(&self, row: &[u8]) -> bool {
        let latitude = self.columns.iter().find(|c| c.quantity == Quantity::Latitude);
        latitude.and_then(|c| row.split(|&b| b == self.delimiter).nth(c.index)).is_some_and(|text| text.contains(&b','))
    }

    fn recognised(bytes: &[u8]) -> Result<Self, ReadError> {
        let mut best: Option<(usize, Line<'_>, u8)> = None;
        for line in rows(bytes, 0).take(PREAMBLE_LINES) {
            for delimiter in DELIMITERS {
                let known = names(line.bytes, delimiter).iter().filter(|name| recognise(name).is_some()).count();
                if known > best.as_ref().map_or(0, |(most, ..)| *most) {
                    best = Some((known, line, delimiter));
                }
            }
        }
        let Some((_, line, delimiter)) = best else { return Err(unknown(bytes)) };
        let names = names(line.bytes, delimiter);
        let mut columns = Vec::<Column>::new();
        let mut unused = Vec::new();
        for (index, name) in names.iter().enumerate() {
            match recognise(name) {
                Some((quantity, factor)) if columns.iter().all(|c| c.quantity != quantity) => {
                    columns.push(Column { index, quantity, factor });
                }
                _ => unused.push(name.clone()),
            }
        }
        let wanted = [(Quantity::Time, "time"), (Quantity::Latitude, "latitude"), (Quantity::Longitude, "longitude")];
        let missing =
            wanted.into_iter().filter(|(q, _)| columns.iter().all(|c| c.quantity != *q)).map(|(_, name)| name);
        let missing: Vec<_> = missing.collect();
        if !missing.is_empty() {
            return Err(ReadError::CsvHeader { line: line.source.line, found: shortened(&names), missing });
        }
        Ok(Self {
            delimiter,
            quoted: line.bytes.contains(&b'"'),
            decimal_comma: false,
            body_at: after(bytes, &line),
            columns,
            has_inertial: unused.iter().filter(|name| looks_inertial(name)).count() >= 3,
            unused,
            header: line.source,
        })
    }

    fn mapped(bytes: &[u8], mapping: &CsvMapping) -> Result<Self, ReadError> {
        let Some(line) = rows(bytes, 0).next() else { return Err(unknown(bytes)) };
        let delimiter = match mapping.delimiter {
            Some(c) => u8::try_from(c).ok().filter(u8::is_ascii).ok_or_else(|| ReadError::Mapping {
                reason: format!("the delimiter {c:?} is not one plain character"),
            })?,
            None => DELIMITERS.into_iter().max_by_key(|d| memchr::memchr_iter(*d, line.bytes).count()).unwrap_or(b','),
        };
        let names = names(line.bytes, delimiter);
        let known = if mapping.header { names.as_slice() } else { &[] };
        let columns = mapping.resolve(known)?;
        if let Some((index, ..)) = columns.iter().find(|(index, ..)| *index >= names.len()) {
            let number = index + 1;
            let row = if mapping.header { "the header names" } else { "the first row has" };
            let found = shortened(&names);
            let reason = format!("there is no column {number}; {row} {} columns: {}", names.len(), found.join(", "));
            return Err(ReadError::Mapping { reason });
        }
        Ok(Self {
            delimiter,
            quoted: line.bytes.contains(&b'"'),
            decimal_comma: mapping.decimal_comma,
            body_at: if mapping.header { after(bytes, &line) } else { 0 },
            columns: columns.into_iter().map(|(index, quantity, factor)| Column { index, quantity, factor }).collect(),
            has_inertial: names.iter().filter(|name| looks_inertial(name)).count() >= 3,
            unused: Vec::new(),
            header: line.source,
        })
    }

    pub(super) fn note_unused(&self, builder: &mut LogBuilder, base: u64) {
        let place = SourceRef { byte: self.header.byte + base, ..self.header };
        if !self.unused.is_empty() {
            let message = || format!("columns that were not used: {}", shortened(&self.unused).join(", "));
            let help = if self.has_inertial { INERTIAL_HELP } else { "a column mapping can tell what they are" };
            builder.note("columns-not-used", place, message, help);
        }
        let unitless = |c: &&Column| {
            c.factor.is_none() && matches!(c.quantity, Quantity::GroundSpeed | Quantity::Climb | Quantity::TrueAirspeed)
        };
        if self.columns.iter().any(|c| unitless(&c)) {
            let message = || "a speed column names no unit and was taken as m/s".to_owned();
            builder.note("unit-assumed", place, message, "name it like speed_kmh, or give a column mapping");
        }
    }
}

/// Lines that are neither blank nor comments.
fn rows(bytes: &[u8], base: u64) -> impl Iterator<Item = Line<'_>> {
    Lines::new(bytes, base).filter(|line| !line.bytes.is_empty() && line.bytes.first() != Some(&b'#'))
}

fn names(line: &[u8], delimiter: u8) -> Vec<String> {
    let line = line.get(..MAX_LINE).unwrap_or(line);
    let names = line.split(|&b| b == delimiter);
    names.map(|name| String::from_utf8_lossy(name).trim().trim_matches('"').to_owned()).collect()
}

/// Names of gyro and accelerometer axes, as far as a hint needs them; the reader of inertial data knows them better.
fn looks_inertial(name: &str) -> bool {
    let lower = name.trim().to_lowercase();
    let short = |axis: &str| ["gx", "gy", "gz", "wx", "wy", "wz", "ax", "ay", "az"].contains(&axis);
    ["gyro", "acc", "rotation", "angular"].iter().any(|word| lower.starts_with(word))
        || lower.split(['_', ' ', '(', '[']).next().is_some_and(short)
}

/// At most twelve names of at most forty characters: messages are read by people.
pub(super) fn shortened(names: &[String]) -> Vec<String> {
    let mut few: Vec<String> = names.iter().take(12).map(|name| name.chars().take(40).collect()).collect();
    if names.len() > few.len() {
        few.push(format!("and {} more", names.len() - few.len()));
    }
    few
}

/// Offset of the line behind `line`.
fn after(bytes: &[u8], line: &Line<'_>) -> usize {
    let at = usize::try_from(line.source.byte).unwrap_or(usize::MAX);
    Lines::new(bytes.get(at..).unwrap_or_default(), 0)
        .nth(1)
        .map_or(bytes.len(), |next| at + usize::try_from(next.source.byte).unwrap_or(0))
}

/// No column name at all was known: a table of something else, or no table.
fn unknown(bytes: &[u8]) -> ReadError {
    let lines: Vec<_> = rows(bytes, 0).take(3).collect();
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
                found: shortened(&names(first.bytes, delimiter)),
                missing: vec!["time", "latitude", "longitude"],
            };
        }
    }
    ReadError::NotAFlightLog { looks_like: "text without positions".to_owned(), help: "" }
}
