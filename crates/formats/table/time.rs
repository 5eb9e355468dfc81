//! Times as tables write them: stamps, times of day, numbers whose unit the name, the step or the size tells.

use crate::time::{DayClock, parse_clock, parse_iso_date, parse_stamp};
use chrono::{DateTime, TimeDelta, Utc};
use driftless_units::median;

/// Units of numbers: name and seconds. Each is a thousandth of the one before.
pub const TIME_UNITS: [(&str, f64); 4] = [("s", 1.0), ("ms", 1e-3), ("µs", 1e-6), ("ns", 1e-9)];
/// No flight, and no logger without a rest, lasts three years: more seconds than this count from 1970.
const SINCE_1970_S: f64 = 1e8;

/// What stands in a time column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TableTime {
    /// A moment.
    Moment {
        /// UTC.
        time: DateTime<Utc>,
        /// Whether a zone was written, or none is needed; without one the time was taken as UTC.
        zoned: bool,
        /// Whether the date is known: a time of day without any counts from 1970-01-01.
        dated: bool,
    },
    /// A number, in whatever unit.
    Number(f64),
}

/// Reads the times of a table, row after row.
#[derive(Debug)]
pub struct TimeReader {
    start: Option<DateTime<Utc>>,
    clock: DayClock,
}

impl TimeReader {
    /// `start` is the moment of second 0, when a mapping tells it; its date is that of the first time of day.
    pub fn new(start: Option<DateTime<Utc>>) -> Self {
        Self { start, clock: DayClock::default() }
    }

    /// The time in a cell; `date` is the cell beside it in a table that has a column of dates.
    pub fn read(
        &mut self,
        text: &[u8],
        date: Option<&[u8]>,
        number: impl FnOnce(&[u8]) -> Option<f64>,
    ) -> Option<TableTime> {
        if let Some(stamp) = parse_stamp(text) {
            return Some(TableTime::Moment { time: stamp.time, zoned: stamp.zoned, dated: true });
        }
        match parse_clock(text) {
            Some((of_day_ns, b"" | b"Z")) => self.time_of_day(of_day_ns, date),
            _ => number(text).map(TableTime::Number),
        }
    }

    fn time_of_day(&mut self, of_day_ns: i64, date: Option<&[u8]>) -> Option<TableTime> {
        let moment = |time, dated| TableTime::Moment { time, zoned: true, dated };
        if let Some(date) = date {
            let midnight = parse_iso_date(date)?.and_hms_opt(0, 0, 0)?.and_utc();
            return midnight.checked_add_signed(TimeDelta::nanoseconds(of_day_ns)).map(|time| moment(time, true));
        }
        if let (Some(start), false) = (self.start, self.clock.is_dated()) {
            self.clock.set_date(start.date_naive(), None);
        }
        let dated = self.clock.is_dated();
        self.clock.advance(of_day_ns).map(|time| moment(time, dated))
    }
}

/// The unit, as seconds, in which a number counts from 1970, told by its size; `None` for one that counts from a start.
pub fn unit_since_1970(number: f64) -> Option<f64> {
    let size = number.abs();
    // Each unit reaches to where the next one begins: seconds to the year 5138.
    let past = |(_, factor): &&(&str, f64)| size * factor < SINCE_1970_S * 1e3;
    (size >= SINCE_1970_S).then(|| TIME_UNITS.iter().find(past).map_or(1e-9, |(_, factor)| *factor))
}

/// The unit in which a step between rows lies in a range of seconds. The range must span less than a factor of 1000, so
/// that only one fits.
pub fn unit_of_step(step: f64, range_s: [f64; 2]) -> Option<(&'static str, f64)> {
    TIME_UNITS.into_iter().find(|(_, factor)| (range_s[0]..range_s[1]).contains(&(step * factor)))
}

/// The middle of the steps forward between numbers, in their own unit.
pub fn median_step(times: &[f64]) -> Option<f64> {
    median(times.iter().zip(times.iter().skip(1)).map(|(a, b)| b - a).filter(|step| *step > 0.0))
}
