//! Finds the header, the delimiter and the columns of an inertial table.

use super::columns::{Quantity, Sensor, recognise};
use super::mapping::{ImuMapping, Resolved};
use super::{ImuError, TableInput};
use driftless_formats::raw::{Line, Lines, MAX_LINE};
use driftless_track::{Problems, Severity, SourceRef};
use std::borrow::Cow;

/// Some loggers write a few lines about themselves before the header.
const PREAMBLE_LINES: usize = 40;
const DELIMITERS: [u8; 3] = [b',', b';', b'\t'];

/// How the table is laid out.
#[derive(Debug)]
pub(super) struct Layout {
    pub(super) delimiter: u8,
    pub(super) decimal_comma: bool,
    /// Lines up to and with the header.
    pub(super) lines_before: usize,
    /// What each column holds, by its index; `None` for one of no use.
    pub(super) columns: Vec<Option<(Quantity, Option<f64>)>>,
    /// Sensors whose unit was not named.
    pub(super) unit_open: Vec<Sensor>,
}

impl Layout {
    pub(super) fn find(
        table: &TableInput<'_>,
        mapping: Option<&ImuMapping>,
        problems: &mut Problems,
    ) -> Result<Self, ImuError> {
        match mapping {
            Some(mapping) => Self::mapped(table, mapping),
            None => Self::recognised(table, problems),
        }
    }

    /// The factor of a sensor's unit, when it is known.
    pub(super) fn is_open(&self, sensor: Sensor) -> bool {
        self.unit_open.contains(&sensor)
    }

    fn recognised(table: &TableInput<'_>, problems: &mut Problems) -> Result<Self, ImuError> {
        let mut best: Option<(usize, Line<'_>, u8)> = None;
        for line in table.lines().take(PREAMBLE_LINES) {
            for delimiter in DELIMITERS {
                let known = names(line.bytes, delimiter).iter().filter(|n| recognise(n).is_some()).count();
                if known > best.as_ref().map_or(0, |(most, ..)| *most) {
                    best = Some((known, line, delimiter));
                }
            }
        }
        let Some((_, line, delimiter)) = best else {
            let first = table.lines().find(|l| !l.bytes.is_empty());
            let (line, found) = first.map_or((1, Vec::new()), |l| (l.source.line, shortened(&names(l.bytes, b','))));
            return Err(ImuError::Header { line, found, missing: "time, gyro and accelerometer".to_owned() });
        };
        let names = names(line.bytes, delimiter);
        let mut resolved: Vec<Resolved> = Vec::new();
        let mut unused = Vec::new();
        for (index, name) in names.iter().enumerate() {
            match recognise(name) {
                Some((quantity, factor)) if resolved.iter().all(|(_, q, _)| !q.is_like(quantity)) => {
                    resolved.push((index, quantity, factor));
                }
                _ => unused.push(name.clone()),
            }
        }
        if !unused.is_empty() {
            problems.add(
                "imu-columns-not-used",
                Severity::Note,
                Some(line.source),
                || format!("columns of the inertial file that were not used: {}", shortened(&unused).join(", ")),
                "a mapping can tell what they are",
            );
        }
        Self::checked(&names, line.source, delimiter, &resolved, line.source.line as usize)
    }

    fn mapped(table: &TableInput<'_>, mapping: &ImuMapping) -> Result<Self, ImuError> {
        let first = table.lines().find(|l| !l.bytes.is_empty() && l.bytes.first() != Some(&b'#'));
        let Some(line) = first else { return Err(ImuError::Empty { bytes: table.bytes.len() }) };
        let delimiter = match mapping.delimiter {
            Some(c) => u8::try_from(c).ok().filter(u8::is_ascii).ok_or_else(|| ImuError::Mapping {
                reason: format!("the delimiter {c:?} is not one plain character"),
            })?,
            None => DELIMITERS.into_iter().max_by_key(|d| memchr::memchr_iter(*d, line.bytes).count()).unwrap_or(b','),
        };
        let names = names(line.bytes, delimiter);
        let resolved = mapping.resolve(if mapping.header { &names } else { &[] })?;
        let lines_before = if mapping.header { line.source.line as usize } else { line.source.line as usize - 1 };
        let mut layout = Self::checked(&names, line.source, delimiter, &resolved, lines_before)?;
        layout.decimal_comma |= mapping.decimal_comma;
        Ok(layout)
    }

    fn checked(
        names: &[String],
        header: SourceRef,
        delimiter: u8,
        resolved: &[Resolved],
        lines_before: usize,
    ) -> Result<Self, ImuError> {
        let has = |quantity| resolved.iter().any(|(_, q, _)| *q == quantity);
        let whole = |sensor| (0..3).all(|axis| has(Quantity::Axis(sensor, axis)));
        let mut missing = Vec::new();
        if !has(Quantity::Time) {
            missing.push("time".to_owned());
        }
        let sensors = [(Sensor::Gyro, "gyro"), (Sensor::Accel, "accelerometer"), (Sensor::Mag, "magnetometer")];
        for (sensor, word) in sensors {
            let axes = (0..3).filter(|&axis| has(Quantity::Axis(sensor, axis))).count();
            if axes > 0 && axes < 3 {
                missing.push(format!("all three axes of the {word}"));
            }
        }
        // A file of temperatures alone belongs to the file of the sensor beside it.
        let warm = resolved.iter().any(|(_, q, _)| matches!(q, Quantity::Temperature(_)));
        if !warm && !sensors.iter().any(|(sensor, _)| whole(*sensor)) {
            missing.push("a gyro, accelerometer or magnetometer".to_owned());
        }
        if !missing.is_empty() {
            let missing = missing.join(" and ");
            return Err(ImuError::Header { line: header.line, found: shortened(names), missing });
        }
        let width = resolved.iter().map(|(index, ..)| index + 1).max().unwrap_or(0);
        let mut columns = vec![None; width];
        for &(index, quantity, factor) in resolved {
            columns[index] = Some((quantity, factor));
        }
        let open =
            |sensor| resolved.iter().any(|(_, q, f)| matches!(q, Quantity::Axis(s, _) if *s == sensor) && f.is_none());
        let unit_open = sensors.into_iter().map(|(sensor, _)| sensor).filter(|&s| open(s)).collect();
        // With a comma between fields there can be none inside of numbers.
        Ok(Self { delimiter, decimal_comma: delimiter != b',', lines_before, columns, unit_open })
    }
}

fn names(line: &[u8], delimiter: u8) -> Vec<String> {
    let line = line.get(..MAX_LINE).unwrap_or(line);
    line.split(|&b| b == delimiter).map(|name| text(name).trim().trim_matches('"').to_owned()).collect()
}

/// Names with °, µ and ² come in UTF-8 or in one of the 8-bit sets, which agree on these three (ISO-8859-1).
fn text(bytes: &[u8]) -> Cow<'_, str> {
    std::str::from_utf8(bytes).map_or_else(|_| bytes.iter().copied().map(char::from).collect(), Cow::Borrowed)
}

/// At most twelve names of at most forty characters: messages are read by people.
fn shortened(names: &[String]) -> Vec<String> {
    let mut few: Vec<String> = names.iter().take(12).map(|name| name.chars().take(40).collect()).collect();
    if names.len() > few.len() {
        few.push(format!("and {} more", names.len() - few.len()));
    }
    few
}

impl<'a> TableInput<'a> {
    pub(super) fn lines(&self) -> Lines<'a> {
        Lines::new(self.bytes, self.base)
    }
}
