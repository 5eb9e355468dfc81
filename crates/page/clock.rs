//! Times as they are typed and read: clock times of the zone in which a flight is shown.

use crate::failure::{Failure, Result};
use chrono::{DateTime, NaiveTime, TimeDelta, Utc};
use driftless_display::Zone;

/// "05:48:00" or "05:48:00.5": no more of a fraction than there is.
pub(crate) fn typed(time: DateTime<Utc>, zone: Zone) -> String {
    let here = zone.here(time);
    match here.timestamp_subsec_millis() {
        0 => here.format("%H:%M:%S").to_string(),
        _ => here.format("%H:%M:%S%.3f").to_string().trim_end_matches('0').to_owned(),
    }
}

/// The moment that was typed: a clock time, then the one nearest to `near` (flights pass midnight), or a moment with its
/// date and zone.
pub(crate) fn moment(label: &str, written: &str, near: DateTime<Utc>, zone: Zone) -> Result<DateTime<Utc>> {
    let written = written.trim();
    if let Ok(whole) = DateTime::parse_from_rfc3339(written) {
        return Ok(whole.to_utc());
    }
    let clock = written.replace(',', ".");
    let time = ["%H:%M:%S%.f", "%H:%M"].iter().find_map(|form| NaiveTime::parse_from_str(&clock, form).ok());
    let time = time.ok_or_else(|| {
        Failure::asked(format!(
            "{label}: \"{written}\" is no time; write hours, minutes and seconds as 05:48:30, in {}",
            zone.name()
        ))
    })?;
    let offset = *zone.here(near).offset();
    let days = [-1, 0, 1].map(|day| zone.here(near).date_naive() + TimeDelta::days(day));
    let moments = days.iter().filter_map(|day| day.and_time(time).and_local_timezone(offset).single());
    let nearest = moments.map(|moment| moment.to_utc()).min_by_key(|moment| (*moment - near).abs());
    nearest.ok_or_else(|| Failure::asked(format!("{label}: \"{written}\" is no time of this flight")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().expect("a time")
    }

    #[test]
    fn a_clock_time_is_the_nearest_one() {
        let near = utc("2026-05-14T23:58:00Z");
        let utc_zone = Zone::default();
        assert_eq!(moment("x", "23:50:30", near, utc_zone), Ok(utc("2026-05-14T23:50:30Z")));
        assert_eq!(moment("x", "00:01:02.5", near, utc_zone), Ok(utc("2026-05-15T00:01:02.500Z")));
        assert_eq!(moment("x", "00:01:02,25", near, utc_zone), Ok(utc("2026-05-15T00:01:02.250Z")));
        let east = Zone::of_seconds_east(7200).expect("a zone");
        assert_eq!(moment("x", "01:59", near, east), Ok(utc("2026-05-14T23:59:00Z")));
        assert_eq!(moment("x", "2026-05-14T05:00:00+02:00", near, utc_zone), Ok(utc("2026-05-14T03:00:00Z")));
        for wrong in ["", "noon", "25:00:00", "12:60", "1"] {
            assert!(moment("Let-go", wrong, near, utc_zone).is_err(), "{wrong}");
        }
    }

    #[test]
    fn what_is_shown_can_be_typed_again() {
        let zone = Zone::of_seconds_east(-12_600).expect("a zone");
        for time in ["2026-05-14T05:48:00Z", "2026-05-14T05:48:00.500Z", "2026-05-14T23:59:59.123Z"].map(utc) {
            assert_eq!(moment("x", &typed(time, zone), time + TimeDelta::hours(3), zone), Ok(time));
        }
    }
}
