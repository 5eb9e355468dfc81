//! A `record` message to a fix, and the clock of the messages.

use super::definition::{Definition, Field};
use crate::builder::LogBuilder;
use crate::sane;
use chrono::{DateTime, Utc};
use driftless_track::{Fix, SourceRef};

/// 1989-12-31T00:00:00Z, from which FIT counts, in seconds since 1970.
const FIT_EPOCH_S: i64 = 631_065_600;
/// Below this a time counts from when the device was switched on (profile, type `date_time`).
const FIRST_DATE_S: i64 = 0x1000_0000;
/// Half a turn in semicircles is 2^31.
const SEMICIRCLE_DEG: f64 = 180.0 / (1_u64 << 31) as f64;

/// The last time of any message, on which compressed times build.
#[derive(Debug, Default)]
pub(super) struct Clock {
    last_s: Option<i64>,
}

impl Clock {
    /// The time of a message: its own, or the last one with the lowest five bits replaced, later by 32 s where these
    /// have gone round.
    pub(super) fn tell(&mut self, definition: &Definition, data: &[u8], offset_s: Option<u8>) -> Option<i64> {
        if let Some(own) = definition.number(Field::Timestamp, data) {
            self.last_s = Some(own);
            return Some(own);
        }
        let (last, offset) = (self.last_s?, i64::from(offset_s?));
        let time = last + (offset - last).rem_euclid(32);
        self.last_s = Some(time);
        Some(time)
    }
}

/// Puts a record into the log, where it has a position that can be; `false` where it has none at all.
pub(super) fn store(
    definition: &Definition,
    data: &[u8],
    time_s: Option<i64>,
    source: SourceRef,
    builder: &mut LogBuilder,
) -> bool {
    let number = |field| definition.number(field, data).map(|value| value as f64);
    let (Some(lat), Some(lon)) = (number(Field::Latitude), number(Field::Longitude)) else {
        let message = || "a record without a position: the receiver had none, or the device has no receiver".to_owned();
        builder.note("no-position", source, message, "");
        return false;
    };
    let (lat, lon) = (lat * SEMICIRCLE_DEG, lon * SEMICIRCLE_DEG);
    let (Some(lat_deg), Some(lon_deg)) = (sane::latitude(lat), sane::longitude(lon)) else {
        let message = || format!("a record was left out: latitude {lat:.5}, longitude {lon:.5}");
        builder.warn("bad-coordinate", source, message, "");
        return true;
    };
    let Some(time) = time_s.and_then(|time_s| moment(time_s, source, builder)) else {
        let message = || "a record without a time was left out".to_owned();
        builder.warn("point-without-time", source, message, "");
        return true;
    };
    let mut checked = |value: Option<f64>, code, [name, unit]: [&str; 2], check: fn(f64) -> Option<f64>| {
        let good = value.and_then(check);
        if let (Some(bad), None) = (value, good) {
            builder.warn(
                code,
                source,
                || format!("a value was left out: {name} {bad} {unit}"),
                "the rest of the record was kept",
            );
        }
        good
    };
    let altitude = number(Field::EnhancedAltitude).or(number(Field::Altitude)).map(|raw| raw / 5.0 - 500.0);
    let speed = number(Field::EnhancedSpeed).or(number(Field::Speed)).map(|raw| raw / 1000.0);
    let climb = number(Field::VerticalSpeed).map(|raw| raw / 1000.0);
    let fix = Fix {
        time,
        lat_deg,
        lon_deg,
        gnss_altitude_m: checked(altitude, "bad-altitude", ["altitude", "m"], sane::altitude_m).into(),
        ground_speed_mps: checked(speed, "bad-speed", ["speed", "m/s"], sane::speed_mps).into(),
        climb_mps: checked(climb, "bad-speed", ["climb", "m/s"], sane::climb_mps).into(),
        source,
        ..Fix::default()
    };
    builder.fix(fix);
    true
}

fn moment(time_s: i64, source: SourceRef, builder: &mut LogBuilder) -> Option<DateTime<Utc>> {
    if time_s >= FIRST_DATE_S {
        return DateTime::from_timestamp(FIT_EPOCH_S + time_s, 0);
    }
    builder.note(
        "date-missing",
        source,
        || "times count from when the device was switched on; that was taken as 1970-01-01".to_owned(),
        "intervals are right, the date is not",
    );
    DateTime::from_timestamp(time_s, 0)
}
