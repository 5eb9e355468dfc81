//! Rows to samples, with times still in the unit of the file.

use super::ImuError;
use super::columns::{Quantity, Sensor};
use super::header;
use crate::constants::FEWEST_ROWS;
use chrono::{DateTime, Utc};
use driftless_formats::table::{
    Layout, NextRow, Row, Rows, Scale, TableLines, TableTime, TimeReader, excerpt, is_no_number,
};
use driftless_track::{Problems, Severity};

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
    /// The first moment, when times are stamps or times of day: times then count seconds from it.
    pub(super) first_moment: Option<FirstMoment>,
}

/// The first moment of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct FirstMoment {
    pub(super) time: DateTime<Utc>,
    /// Whether its date is known.
    pub(super) dated: bool,
}

/// A row of a whole sensor is hardly ever shorter, bytes: memory for samples is taken ahead.
const SHORT_ROW: usize = 80;
/// No sensor says more in any unit.
const LARGEST: f64 = 1e9;
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

/// Reads the rows of a table.
struct RowReader<'a> {
    layout: &'a Layout<Quantity>,
    date: Option<usize>,
    times: TimeReader,
    raw: RawTable,
}

impl RawTable {
    pub(super) fn read(
        table: TableLines<'_>,
        layout: &Layout<Quantity>,
        start_utc: Option<DateTime<Utc>>,
        problems: &mut Problems,
    ) -> Result<Self, ImuError> {
        let mut reader = RowReader {
            layout,
            date: layout.index_of(Quantity::Date),
            times: TimeReader::new(start_utc),
            raw: Self::with_capacity(layout, table.len() / SHORT_ROW),
        };
        let mut first_row = None;
        let mut rows = Rows::new(table, layout);
        loop {
            match rows.advance() {
                NextRow::Row(row) => {
                    first_row.get_or_insert_with(|| excerpt(row.bytes));
                    reader.add(&row, problems);
                }
                NextRow::TooLong(row) => {
                    first_row.get_or_insert_with(|| excerpt(row.bytes));
                    let message = || format!("a row was left out, it is too long: {}", excerpt(row.bytes));
                    problems.add("imu-line-too-long", Severity::Warning, Some(row.source), message, "");
                }
                NextRow::End => break,
            }
        }
        let raw = reader.raw;
        let most = raw.sensors.iter().map(|s| s.time.len()).max().unwrap_or(0);
        if most < FEWEST_ROWS.count() && raw.temperature.0.len() <= most {
            return Err(match first_row {
                None => ImuError::HeaderOnly { line: layout.header.line },
                Some(first) if most == 0 => ImuError::NoSamples { first },
                Some(_) => ImuError::TooFew { samples: most },
            });
        }
        Ok(raw)
    }

    fn with_capacity(layout: &Layout<Quantity>, rows: usize) -> Self {
        let mut raw = Self::default();
        for sensor in [Sensor::Gyro, Sensor::Accel, Sensor::Mag] {
            if header::has_sensor(layout, sensor) {
                raw.sensors[slot(sensor)].time.reserve(rows);
                raw.sensors[slot(sensor)].xyz.reserve(rows);
            }
        }
        raw
    }
}

/// The axes of one sensor in one row.
#[derive(Debug, Clone, Copy, Default)]
struct Axes<'r> {
    value: [f32; 3],
    /// How many hold a number.
    good: u8,
    /// Whether one holds something that can be none.
    is_bad: bool,
    /// The word for "no number" that an axis holds.
    nothing: Option<&'r [u8]>,
}

impl RowReader<'_> {
    fn add(&mut self, row: &Row<'_>, problems: &mut Problems) {
        let place = Some(row.source);
        let mut time = None;
        let mut axes = [Axes::default(); 3];
        let mut temperature = None;
        for column in &self.layout.columns {
            let text = row.cell(column.index);
            if text.is_empty() {
                continue;
            }
            let number = || self.layout.number(text).map(|number| column.scale.unwrap_or(Scale::SI).si(number));
            match column.quantity {
                Quantity::Date => {}
                Quantity::Time => time = self.time(text, row, problems),
                Quantity::Temperature if is_no_number(text) => {}
                Quantity::Temperature => {
                    temperature = number().filter(|value| value.abs() < HOTTEST);
                    if temperature.is_none() {
                        let message = || format!("a temperature was left out: {} cannot be", excerpt(text));
                        problems.add("imu-bad-temperature", Severity::Note, place, message, "");
                    }
                }
                Quantity::Axis(sensor, axis) => {
                    let of = &mut axes[slot(sensor)];
                    match number().filter(|value| value.abs() < LARGEST) {
                        Some(value) => {
                            of.value[axis] = value as f32;
                            of.good += 1;
                        }
                        None if is_no_number(text) => of.nothing = Some(text),
                        None => {
                            of.is_bad = true;
                            bad_value(text, row, problems);
                        }
                    }
                }
            }
        }
        let Some(time) = time else {
            let message = || format!("an inertial row without a usable time was left out: {}", excerpt(row.bytes));
            return problems.add("imu-bad-time", Severity::Warning, place, message, "");
        };
        if self.raw.first_times.len() < FIRST_TIMES {
            self.raw.first_times.push(time);
        }
        for (sensor, axes) in self.raw.sensors.iter_mut().zip(axes) {
            match axes {
                Axes { is_bad: true, .. } | Axes { good: 0, .. } => {}
                Axes { good: 3, .. } => {
                    sensor.time.push(time);
                    sensor.xyz.push(axes.value);
                }
                // Where a sensor says nothing all of its axes are blank.
                Axes { nothing: Some(word), .. } => bad_value(word, row, problems),
                _ => {
                    let message =
                        || format!("an inertial sample was left out: an axis is blank: {}", excerpt(row.bytes));
                    problems.add("imu-axis-blank", Severity::Warning, place, message, "");
                }
            }
        }
        if let Some(celsius) = temperature {
            self.raw.temperature.0.push(time);
            self.raw.temperature.1.push(celsius as f32);
        }
    }

    /// A number as written, or seconds from the first moment.
    fn time(&mut self, text: &[u8], row: &Row<'_>, problems: &mut Problems) -> Option<f64> {
        let date = self.date.map(|index| row.cell(index));
        match self.times.read(text, date, |text| self.layout.number(text))? {
            TableTime::Number(number) => self.raw.first_moment.is_none().then_some(number),
            // A table that began with plain numbers does not go over to dates.
            TableTime::Moment { .. } if self.raw.first_moment.is_none() && !self.raw.first_times.is_empty() => None,
            TableTime::Moment { time, zoned, dated } => {
                if !zoned {
                    let message = || "times of the inertial file have no zone and were taken as UTC".to_owned();
                    let help = "if the logger wrote local time, write the zone into the file: the clocks differ by it";
                    problems.add("imu-time-without-zone", Severity::Note, Some(row.source), message, help);
                }
                let first = self.raw.first_moment.get_or_insert(FirstMoment { time, dated });
                Some((time - first.time).as_seconds_f64())
            }
        }
    }
}

fn bad_value(text: &[u8], row: &Row<'_>, problems: &mut Problems) {
    let message = || format!("an inertial sample was left out: {} cannot be", excerpt(text));
    problems.add("imu-bad-value", Severity::Warning, Some(row.source), message, "");
}
