//! One row to one fix.

use super::columns::Quantity as Q;
use super::header::{Header, INERTIAL_HELP};
use super::held::Held;
use super::mapping::CsvMapping;
use crate::builder::LogBuilder;
use crate::charset::text_of;
use crate::sane;
use crate::table::{Column, Layout, Row, Scale, TableTime, TimeReader, is_no_number, unit_since_1970};
use crate::time::bad_year;
use chrono::{DateTime, TimeDelta, Utc};
use driftless_track::{Fix, Mark, SourceRef};
use driftless_units::excerpt;

/// No time of a flight is farther than this from 1970, or from the start of its log, seconds (222 years).
const FARTHEST_S: f64 = 7e9;

/// Turns rows into fixes, and remembers what only the rows before can tell.
pub(super) struct FixReader<'a> {
    layout: &'a Layout<Q>,
    date: Option<usize>,
    start: Option<DateTime<Utc>>,
    times: TimeReader,
    held: Held,
    hint: &'static str,
    /// Rows in which other sensors speak, and the first of them.
    without_position: u32,
    first_without: Option<SourceRef>,
}

/// A time that cannot be had from its text.
struct BadTime;

impl<'a> FixReader<'a> {
    pub(super) fn new(header: &'a Header, mapping: Option<&CsvMapping>) -> Self {
        let start = mapping.and_then(|m| m.0.start_utc);
        Self {
            layout: &header.layout,
            date: header.layout.index_of(Q::Date),
            start,
            times: TimeReader::new(start),
            held: Held::default(),
            hint: if header.has_inertial { INERTIAL_HELP } else { "" },
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

    pub(super) fn add(&mut self, row: &Row<'_>, builder: &mut LogBuilder) {
        let place = row.source;
        if self.is_of_others(row) {
            self.without_position += 1;
            self.first_without.get_or_insert(place);
            return;
        }
        let mut fix = Fix { source: place, lat_deg: f64::NAN, lon_deg: f64::NAN, ..Fix::default() };
        let mut time = None;
        let mut mark = None;
        let (mut north, mut east) = (None, None);
        for column in &self.layout.columns {
            let text = row.cell(column.index);
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
                    match self.time(text, column.scale, row, builder) {
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
            let value = self.layout.number(text).map(|number| column.scale.unwrap_or(Scale::SI).si(number));
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
                Q::GnssAltitude => fix.gnss_altitude_m = value.into(),
                Q::PressureAltitude => fix.pressure_altitude_m = value.into(),
                Q::GroundSpeed => fix.ground_speed_mps = value.into(),
                Q::Course => fix.course_deg = value.into(),
                Q::Climb => fix.climb_mps = value.into(),
                Q::Sink => fix.climb_mps = (-value).into(),
                Q::NorthVelocity => north = Some(value),
                Q::EastVelocity => east = Some(value),
                Q::HeadingTrue => fix.heading_true_deg = value.into(),
                Q::HeadingMagnetic => fix.heading_magnetic_deg = value.into(),
                Q::TrueAirspeed => fix.true_airspeed_mps = value.into(),
                Q::IndicatedAirspeed => fix.indicated_airspeed_mps = value.into(),
                Q::EngineRpm => fix.engine_rpm = value.into(),
                Q::Hdop => fix.hdop = sane::positive(value).into(),
                Q::HorizontalError => fix.horizontal_error_m = sane::positive(value).into(),
                Q::Time | Q::Date | Q::Mark => {}
            }
        }
        if let (Some(north), Some(east), None) = (north, east, fix.ground_speed_mps.get()) {
            fix.ground_speed_mps = f64::hypot(north, east).into();
            fix.course_deg = sane::direction_deg(f64::atan2(east, north).to_degrees().rem_euclid(360.0)).into();
        }
        let Some(time) = time else { return builder.drop_without_time(place) };
        if let Some(text) = mark {
            builder.marks.push(Mark::from_text(time, &text_of(text), place));
        }
        if fix.lat_deg.is_nan() || fix.lon_deg.is_nan() {
            // A row that only marks a moment is complete without a position.
            if mark.is_none() {
                let message = || format!("a row has no position: {}", excerpt(row.bytes));
                builder.warn("no-position", place, message, "it was left out");
            }
            return;
        }
        if self.held.is_new([fix.lat_deg, fix.lon_deg], time) {
            builder.fix(Fix { time, ..fix });
        }
    }

    /// Whether the row is one of other sensors: no place, no mark, but something in a column that is no part of a fix.
    fn is_of_others(&self, row: &Row<'_>) -> bool {
        let columns = &self.layout.columns;
        let placed = |c: &Column<Q>| coordinate(c.quantity).is_some() && !is_no_number(row.cell(c.index));
        if columns.iter().any(placed) {
            return false;
        }
        let marked = columns.iter().any(|c| c.quantity == Q::Mark && !row.cell(c.index).is_empty());
        let of_fix = |index: usize| columns.iter().any(|c| c.index == index && is_of_fix(c.quantity));
        !marked && row.cells().enumerate().any(|(index, text)| !is_no_number(text) && !of_fix(index))
    }

    fn time(
        &mut self,
        text: &[u8],
        scale: Option<Scale>,
        row: &Row<'_>,
        builder: &mut LogBuilder,
    ) -> Result<DateTime<Utc>, BadTime> {
        let date = self.date.map(|index| row.cell(index));
        match self.times.read(text, date, |text| self.layout.number(text)).ok_or(BadTime)? {
            TableTime::Moment { time, zoned, dated } => {
                note_assumptions(zoned, dated, row.source, builder);
                Ok(time)
            }
            TableTime::Number(number) => self.time_of_number(number, scale, row.source, builder),
        }
    }

    fn time_of_number(
        &self,
        number: f64,
        scale: Option<Scale>,
        place: SourceRef,
        builder: &mut LogBuilder,
    ) -> Result<DateTime<Utc>, BadTime> {
        // A date tells its unit by its size, whatever the name says.
        let from_start = scale.map(|scale| scale.si(number)).filter(|s| unit_since_1970(*s).is_none());
        let (seconds, start) = match (from_start, unit_since_1970(number)) {
            (None, Some(unit)) => (number * unit, Some(DateTime::UNIX_EPOCH)),
            (seconds, _) => (seconds.unwrap_or(number), self.start),
        };
        let start = start.unwrap_or_else(|| {
            builder.note(
                "time-from-start",
                place,
                || "times count seconds from a start that is not told; it was taken as 1970-01-01".to_owned(),
                "intervals are right, the date is not; a column mapping can give start_utc",
            );
            DateTime::UNIX_EPOCH
        });
        let whole = seconds.floor();
        if whole.abs() > FARTHEST_S {
            return Err(BadTime);
        }
        // Both conversions are in range: |whole| < 7e9 and 0 <= fraction <= 1.
        let elapsed =
            TimeDelta::seconds(whole as i64) + TimeDelta::nanoseconds(((seconds - whole) * 1e9).round() as i64);
        start.checked_add_signed(elapsed).ok_or(BadTime)
    }
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

fn note_assumptions(zoned: bool, dated: bool, place: SourceRef, builder: &mut LogBuilder) {
    if !zoned {
        builder.note(
            "time-without-zone",
            place,
            || "times have no zone and were taken as UTC".to_owned(),
            "if the logger wrote local time, only the clock in the report is off",
        );
    }
    if !dated {
        builder.note(
            "date-missing",
            place,
            || "times have no date; the first day was taken as 1970-01-01".to_owned(),
            "intervals are right, the date is not",
        );
    }
}
