//! One row to one fix.

use super::columns::Quantity as Q;
use super::header::{Column, INERTIAL_HELP, Layout};
use super::held::Held;
use super::mapping::CsvMapping;
use crate::builder::LogBuilder;
use crate::excerpt::excerpt;
use crate::number::parse_f64;
use crate::sane;
use crate::time::{DayClock, Stamp, bad_year, parse_clock, parse_iso_date, parse_stamp};
use chrono::{DateTime, TimeDelta, Utc};
use csv::ByteRecord;
use driftless_track::{Fix, Mark, SourceRef};

/// Turns rows into fixes, and remembers what only the rows before can tell.
pub(super) struct Rows<'a> {
    columns: &'a [Column],
    date: Option<usize>,
    decimal_comma: bool,
    start: Option<DateTime<Utc>>,
    clock: DayClock,
    held: Held,
    hint: &'static str,
    /// Rows in which other sensors speak, and the first of them.
    without_position: u32,
    first_without: Option<SourceRef>,
}

/// A time that cannot be had from its text.
struct BadTime;

impl<'a> Rows<'a> {
    pub(super) fn new(layout: &'a Layout, mapping: Option<&CsvMapping>) -> Self {
        Self {
            columns: &layout.columns,
            date: layout.columns.iter().find(|c| c.quantity == Q::Date).map(|c| c.index),
            decimal_comma: layout.decimal_comma,
            start: mapping.and_then(|m| m.start_utc),
            clock: DayClock::default(),
            held: Held::default(),
            hint: if layout.has_inertial { INERTIAL_HELP } else { "" },
            without_position: 0,
            first_without: None,
        }
    }

    /// What only the end of the table tells: how often positions are new, and how many rows had none.
    pub(super) fn finish(self, builder: &mut LogBuilder) {
        if let Some(first) = self.first_without
            && !builder.fixes.is_empty()
        {
            let (rows, fixes) = (self.without_position, builder.fixes.len());
            let message = || format!("{rows} rows hold no position beside {fixes} that do: other sensors have them");
            builder.note("rows-without-position", first, message, self.hint);
        }
        self.held.finish(builder, self.hint);
    }

    pub(super) fn add(&mut self, record: &ByteRecord, place: SourceRef, builder: &mut LogBuilder) {
        if self.is_of_others(record) {
            self.without_position += 1;
            self.first_without.get_or_insert(place);
            return;
        }
        let mut fix = Fix { source: place, lat_deg: f64::NAN, lon_deg: f64::NAN, ..Fix::default() };
        let mut time = None;
        let mut mark = None;
        let (mut north, mut east) = (None, None);
        for column in self.columns {
            let text = record.get(column.index).unwrap_or_default().trim_ascii();
            if text.is_empty() {
                continue;
            }
            match column.quantity {
                Q::Date => continue,
                Q::Mark => {
                    mark = Some(text);
                    continue;
                }
                Q::Time => {
                    match self.time(text, column.factor, record, place, builder) {
                        Ok(value) => time = Some(value),
                        Err(BadTime) => {
                            let message = || format!("a row was left out: the time {} cannot be", excerpt(text));
                            return builder.warn("bad-time", place, message, bad_year(text).unwrap_or(""));
                        }
                    }
                    continue;
                }
                _ => {}
            }
            let value = self.number(text).map(|value| value * column.factor.unwrap_or(1.0));
            let checked = value.and_then(|value| match column.quantity {
                Q::Latitude => sane::latitude(value),
                Q::Longitude => sane::longitude(value),
                Q::GnssAltitude | Q::PressureAltitude => sane::altitude_m(value),
                Q::GroundSpeed | Q::TrueAirspeed | Q::IndicatedAirspeed => sane::speed_mps(value),
                Q::Course | Q::HeadingTrue | Q::HeadingMagnetic => sane::direction_deg(value),
                Q::Climb | Q::Sink | Q::NorthVelocity | Q::EastVelocity => sane::climb_mps(value),
                _ => (value >= 0.0).then_some(value),
            });
            let Some(value) = checked else {
                if let Some(name) = coordinate(column.quantity) {
                    let message = || format!("a row was left out: {name} {}", excerpt(text));
                    return builder.warn("bad-coordinate", place, message, "latitudes go to 90°, longitudes to 180°");
                }
                let message = || format!("a value was left out: {}", excerpt(text));
                builder.warn("bad-value", place, message, "the rest of the row was kept");
                continue;
            };
            match column.quantity {
                Q::Latitude => fix.lat_deg = value,
                Q::Longitude => fix.lon_deg = value,
                Q::GnssAltitude => fix.gnss_altitude_m = Some(value),
                Q::PressureAltitude => fix.pressure_altitude_m = Some(value),
                Q::GroundSpeed => fix.ground_speed_mps = Some(value),
                Q::Course => fix.course_deg = Some(value),
                Q::Climb => fix.climb_mps = Some(value),
                Q::Sink => fix.climb_mps = Some(-value),
                Q::NorthVelocity => north = Some(value),
                Q::EastVelocity => east = Some(value),
                Q::HeadingTrue => fix.heading_true_deg = Some(value),
                Q::HeadingMagnetic => fix.heading_magnetic_deg = Some(value),
                Q::TrueAirspeed => fix.true_airspeed_mps = Some(value),
                Q::IndicatedAirspeed => fix.indicated_airspeed_mps = Some(value),
                Q::EngineRpm => fix.engine_rpm = Some(value),
                Q::Hdop => fix.hdop = sane::positive(value),
                Q::HorizontalError => fix.horizontal_error_m = sane::positive(value),
                Q::Time | Q::Date | Q::Mark => {}
            }
        }
        if let (Some(north), Some(east), None) = (north, east, fix.ground_speed_mps) {
            fix.ground_speed_mps = Some(f64::hypot(north, east));
            fix.course_deg = sane::direction_deg(f64::atan2(east, north).to_degrees().rem_euclid(360.0));
        }
        let Some(time) = time else { return builder.drop_without_time(place) };
        if let Some(text) = mark {
            builder.marks.push(Mark::from_text(time, &String::from_utf8_lossy(text), place));
        }
        if fix.lat_deg.is_nan() || fix.lon_deg.is_nan() {
            // A row that only marks a moment is complete without a position.
            if mark.is_none() {
                let message = || format!("a row has no position: {}", excerpt(record.as_slice()));
                builder.warn("no-position", place, message, "it was left out");
            }
            return;
        }
        if self.held.is_new([fix.lat_deg, fix.lon_deg], time) {
            builder.fixes.push(Fix { time, ..fix });
        }
    }

    /// Whether the row is one of other sensors: no place, no mark, but something in a column that is no part of a fix.
    fn is_of_others(&self, record: &ByteRecord) -> bool {
        let cell = |index: usize| record.get(index).unwrap_or_default().trim_ascii();
        let placed = self.columns.iter().any(|c| coordinate(c.quantity).is_some() && !is_no_number(cell(c.index)));
        if placed {
            return false;
        }
        let marked = self.columns.iter().any(|c| c.quantity == Q::Mark && !cell(c.index).is_empty());
        let of_fix = |index: usize| self.columns.iter().any(|c| c.index == index && is_of_fix(c.quantity));
        !marked && record.iter().enumerate().any(|(index, text)| !is_no_number(text.trim_ascii()) && !of_fix(index))
    }

    fn number(&self, text: &[u8]) -> Option<f64> {
        if self.decimal_comma && text.contains(&b',') {
            let dotted: Vec<u8> = text.iter().map(|&b| if b == b',' { b'.' } else { b }).collect();
            return parse_f64(&dotted);
        }
        parse_f64(text)
    }

    fn time(
        &mut self,
        text: &[u8],
        factor: Option<f64>,
        record: &ByteRecord,
        place: SourceRef,
        builder: &mut LogBuilder,
    ) -> Result<DateTime<Utc>, BadTime> {
        if let Some(stamp) = parse_stamp(text) {
            note_zone(stamp, place, builder);
            return Ok(stamp.time);
        }
        if let Some((of_day_ns, b"" | b"Z")) = parse_clock(text) {
            return self.time_of_day(of_day_ns, record, place, builder);
        }
        let number = self.number(text).ok_or(BadTime)?;
        // No flight lasts three years: a number above 1e8 counts from 1970, in the unit its size tells.
        let (seconds, absolute) = match (factor, number.abs()) {
            (Some(factor), size) if size * factor < 1e8 => (number * factor, false),
            (_, size) if size < 1e8 => (number, false),
            (_, size) if size < 1e11 => (number, true),
            (_, size) if size < 1e14 => (number * 1e-3, true),
            (_, size) if size < 1e17 => (number * 1e-6, true),
            _ => (number * 1e-9, true),
        };
        let start = match (absolute, self.start) {
            (true, _) => DateTime::UNIX_EPOCH,
            (false, Some(start)) => start,
            (false, None) => {
                builder.note(
                    "time-from-start",
                    place,
                    || "times count seconds from a start that is not told; it was taken as 1970-01-01".to_owned(),
                    "intervals are right, the date is not; a column mapping can give start_utc",
                );
                DateTime::UNIX_EPOCH
            }
        };
        let whole = seconds.floor();
        if whole.abs() > 7e9 {
            return Err(BadTime);
        }
        // Both conversions are in range: |whole| < 7e9 and 0 <= fraction <= 1.
        let elapsed =
            TimeDelta::seconds(whole as i64) + TimeDelta::nanoseconds(((seconds - whole) * 1e9).round() as i64);
        start.checked_add_signed(elapsed).ok_or(BadTime)
    }

    fn time_of_day(
        &mut self,
        of_day_ns: i64,
        record: &ByteRecord,
        place: SourceRef,
        builder: &mut LogBuilder,
    ) -> Result<DateTime<Utc>, BadTime> {
        if let Some(index) = self.date {
            let date = record.get(index).map(<[u8]>::trim_ascii).and_then(parse_iso_date).ok_or(BadTime)?;
            let midnight = date.and_hms_opt(0, 0, 0).ok_or(BadTime)?.and_utc();
            return midnight.checked_add_signed(TimeDelta::nanoseconds(of_day_ns)).ok_or(BadTime);
        }
        if let (Some(start), false) = (self.start, self.clock.is_dated()) {
            self.clock.set_date(start.date_naive(), None);
        }
        if !self.clock.is_dated() {
            builder.note(
                "date-missing",
                place,
                || "times have no date; the first day was taken as 1970-01-01".to_owned(),
                "intervals are right, the date is not",
            );
        }
        self.clock.advance(of_day_ns).ok_or(BadTime)
    }
}

/// Blank, or a word that programs write for a number that is not there.
fn is_no_number(text: &[u8]) -> bool {
    text.is_empty() || [b"nan".as_slice(), b"null", b"none", b"na", b"n/a"].iter().any(|w| text.eq_ignore_ascii_case(w))
}

/// Whether a column is part of a fix of the receiver: without a position it tells nothing.
fn is_of_fix(quantity: Q) -> bool {
    !matches!(
        quantity,
        Q::PressureAltitude
            | Q::HeadingTrue
            | Q::HeadingMagnetic
            | Q::TrueAirspeed
            | Q::IndicatedAirspeed
            | Q::EngineRpm
    )
}

fn coordinate(quantity: Q) -> Option<&'static str> {
    match quantity {
        Q::Latitude => Some("latitude"),
        Q::Longitude => Some("longitude"),
        _ => None,
    }
}

fn note_zone(stamp: Stamp, place: SourceRef, builder: &mut LogBuilder) {
    if !stamp.zoned {
        builder.note(
            "time-without-zone",
            place,
            || "times have no zone and were taken as UTC".to_owned(),
            "if the logger wrote local time, only the clock in the report is off",
        );
    }
}
