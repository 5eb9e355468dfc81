//! Rows to samples, with times still in the unit of the file.

use super::columns::{Quantity, Sensor};
use super::header::Layout;
use super::{ImuError, TableInput};
use chrono::{DateTime, Utc};
use driftless_formats::raw::{MAX_LINE, excerpt, parse_f64, parse_stamp};
use driftless_track::{Problems, Severity, SourceRef};

/// Samples with their times as written.
#[derive(Debug, Default)]
pub(super) struct Samples {
    pub(super) time: Vec<f64>,
    pub(super) xyz: Vec<[f32; 3]>,
}

/// A table, read but not yet on a clock.
#[derive(Debug, Default)]
pub(super) struct RawTable {
    /// Gyro, accelerometer, magnetometer.
    pub(super) sensors: [Samples; 3],
    /// On the scale the name tells, °C; as written where it tells none.
    pub(super) temperature: (Vec<f64>, Vec<f32>),
    /// Times of the first rows, as written.
    pub(super) first_times: Vec<f64>,
    /// The first time stamp, when times are dates: times then count seconds from it.
    pub(super) first_stamp: Option<DateTime<Utc>>,
}

/// No sensor says more in any unit.
const LARGEST: f64 = 1e9;
/// A table with fewer samples of every sensor tells nothing.
const FEWEST: usize = 5;
/// No sensor works at such a temperature on any scale.
const HOTTEST: f64 = 1000.0;
/// Times of the first rows that are kept, to tell the unit from their steps.
const FIRST_TIMES: usize = 4000;

pub(super) const fn slot(sensor: Sensor) -> usize {
    match sensor {
        Sensor::Gyro => 0,
        Sensor::Accel => 1,
        Sensor::Mag => 2,
    }
}

impl RawTable {
    pub(super) fn read(table: &TableInput<'_>, layout: &Layout, problems: &mut Problems) -> Result<Self, ImuError> {
        let mut raw = Self::default();
        let rows = table.bytes.len() / 80;
        let used = |slot_of| {
            layout.columns.iter().flatten().any(|(q, _)| matches!(q, Quantity::Axis(s, _) if slot(*s) == slot_of))
        };
        for (i, sensor) in raw.sensors.iter_mut().enumerate() {
            if used(i) {
                sensor.time.reserve(rows);
                sensor.xyz.reserve(rows);
            }
        }
        let mut first_row = None;
        for line in table.lines().skip(layout.lines_before) {
            if line.bytes.is_empty() || line.bytes.first() == Some(&b'#') {
                continue;
            }
            first_row.get_or_insert(line.bytes);
            if line.bytes.len() > MAX_LINE {
                let message = || format!("a row was left out, it is too long: {}", excerpt(line.bytes));
                problems.add("imu-line-too-long", Severity::Warning, Some(line.source), message, "");
                continue;
            }
            raw.add(line.bytes, line.source, layout, problems);
        }
        let most = raw.sensors.iter().map(|s| s.time.len()).max().unwrap_or(0);
        if most < FEWEST && raw.temperature.0.len() <= most {
            return Err(match first_row {
                None => ImuError::HeaderOnly { line: u32::try_from(layout.lines_before).unwrap_or(u32::MAX) },
                Some(row) if most == 0 => ImuError::NoSamples { first: excerpt(row) },
                Some(_) => ImuError::TooFew { samples: most },
            });
        }
        Ok(raw)
    }

    fn add(&mut self, row: &[u8], place: SourceRef, layout: &Layout, problems: &mut Problems) {
        let mut time = None;
        let mut axes = [[f32::NAN; 3]; 3];
        // Bits of the axes that hold a number, and of those that hold something else.
        let (mut good, mut bad) = ([0_u8; 3], [0_u8; 3]);
        let mut temperature = None;
        for (column, text) in layout.columns.iter().zip(row.split(|&b| b == layout.delimiter)) {
            let Some((quantity, factor)) = column else { continue };
            let text = unquoted(text);
            if text.is_empty() {
                continue;
            }
            match quantity {
                Quantity::Time => time = self.time(text, layout.decimal_comma),
                Quantity::Temperature(scale) => {
                    temperature = number(text, layout.decimal_comma)
                        .map(|value| scale.map_or(value, |scale| scale.celsius(value)))
                        .filter(|value| value.abs() < HOTTEST);
                    if temperature.is_none() {
                        let message = || format!("a temperature was left out: {} cannot be", excerpt(text));
                        problems.add("imu-bad-temperature", Severity::Note, Some(place), message, "");
                    }
                }
                Quantity::Axis(sensor, axis) => {
                    let at = slot(*sensor);
                    let value = number(text, layout.decimal_comma).map(|value| value * factor.unwrap_or(1.0));
                    match value.filter(|value| value.abs() < LARGEST) {
                        Some(value) => {
                            axes[at][*axis] = value as f32;
                            good[at] |= 1 << axis;
                        }
                        None => {
                            bad[at] |= 1 << axis;
                            let message = || format!("an inertial sample was left out: {} cannot be", excerpt(text));
                            problems.add("imu-bad-value", Severity::Warning, Some(place), message, "");
                        }
                    }
                }
            }
        }
        let Some(time) = time else {
            let message = || format!("an inertial row without a usable time was left out: {}", excerpt(row));
            return problems.add("imu-bad-time", Severity::Warning, Some(place), message, "");
        };
        if self.first_times.len() < FIRST_TIMES {
            self.first_times.push(time);
        }
        for (at, sensor) in self.sensors.iter_mut().enumerate() {
            match (good[at], bad[at]) {
                (0b111, 0) => {
                    sensor.time.push(time);
                    sensor.xyz.push(axes[at]);
                }
                (0, 0) | (_, 1..) => {}
                (_, 0) => {
                    let message = || format!("an inertial sample was left out: an axis is blank: {}", excerpt(row));
                    problems.add("imu-axis-blank", Severity::Warning, Some(place), message, "");
                }
            }
        }
        if let Some(celsius) = temperature {
            self.temperature.0.push(time);
            self.temperature.1.push(celsius as f32);
        }
    }

    /// A number as written, or seconds from the first time stamp.
    fn time(&mut self, text: &[u8], decimal_comma: bool) -> Option<f64> {
        if let Some(value) = number(text, decimal_comma) {
            return self.first_stamp.is_none().then_some(value);
        }
        let stamp = parse_stamp(text)?.time;
        // A table that began with plain numbers does not go over to dates.
        if self.first_stamp.is_none() && !self.first_times.is_empty() {
            return None;
        }
        let first = *self.first_stamp.get_or_insert(stamp);
        Some((stamp - first).as_seconds_f64())
    }
}

fn unquoted(text: &[u8]) -> &[u8] {
    let text = text.trim_ascii();
    text.strip_prefix(b"\"").and_then(|t| t.strip_suffix(b"\"")).unwrap_or(text)
}

fn number(text: &[u8], decimal_comma: bool) -> Option<f64> {
    if decimal_comma && text.contains(&b',') {
        let dotted: Vec<u8> = text.iter().map(|&b| if b == b',' { b'.' } else { b }).collect();
        return parse_f64(&dotted);
    }
    parse_f64(text)
}
