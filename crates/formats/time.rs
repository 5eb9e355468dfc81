//! Calendars and clocks: time stamps with a date, and times of day that pass midnight.

use crate::number::parse_digits;
use chrono::{DateTime, NaiveDate, NaiveTime, TimeDelta, Utc};

const DAY_NS: i64 = 86_400 * 1_000_000_000;
const HALF_DAY_NS: i64 = DAY_NS / 2;
const TEN_MINUTES_NS: i64 = 600 * 1_000_000_000;

/// A time stamp as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp {
    /// The moment, UTC.
    pub(crate) time: DateTime<Utc>,
    /// Whether a zone was written; without one the time was taken as UTC.
    pub(crate) zoned: bool,
}

/// Years a flight log can come from. Outside of them a date is a fault of the recorder, not a date.
pub(crate) fn plausible_year(year: i32) -> bool {
    (1970..2200).contains(&year)
}

/// What to do about a time that cannot be, when it begins with a year outside of [`plausible_year`].
pub(crate) fn bad_year(text: &[u8]) -> Option<&'static str> {
    let (year, rest) = text.trim_ascii().split_first_chunk::<4>()?;
    let dated = matches!(rest.first(), Some(b'-' | b'/'));
    let year = parse_digits(year).and_then(|year| i32::try_from(year).ok()).filter(|_| dated)?;
    (!plausible_year(year)).then_some(
        "its year lies outside of 1970 to 2199, so the clock of the logger was wrong; correct the dates in the file",
    )
}

/// `YYYY-MM-DDThh:mm[:ss[.fff]][zone]` (ISO 8601 / RFC 3339, the form of XML Schema's dateTime): blank or `T` between
/// date and time, `/` for `-`, `,` for `.`, zone `Z`, `±hh`, `±hhmm`, `±hh:mm` or none. Second 60 is the leap second.
pub(crate) fn parse_stamp(text: &[u8]) -> Option<Stamp> {
    let text = text.trim_ascii();
    let (date, rest) = text.split_at_checked(10)?;
    let (separator, rest) = rest.split_first()?;
    if !matches!(separator, b'T' | b't' | b' ') {
        return None;
    }
    let date = parse_iso_date(date)?;
    let (of_day_ns, zone) = parse_clock(rest.trim_ascii_start())?;
    let offset_s = parse_zone(zone.trim_ascii())?;
    if offset_s.is_none_or(|s| s == 0)
        && let Some(of_day) = time_of_day(of_day_ns)
    {
        return Some(Stamp { time: date.and_time(of_day).and_utc(), zoned: offset_s.is_some() });
    }
    let midnight_s = date.and_hms_opt(0, 0, 0)?.and_utc().timestamp();
    let seconds = midnight_s + of_day_ns / 1_000_000_000 - offset_s.unwrap_or(0);
    let time = DateTime::from_timestamp(seconds, u32::try_from(of_day_ns % 1_000_000_000).ok()?)?;
    Some(Stamp { time, zoned: offset_s.is_some() })
}

/// Nanoseconds of the day as a time of that day; `None` for a leap second behind its end.
fn time_of_day(of_day_ns: i64) -> Option<NaiveTime> {
    let (seconds, ns) = (of_day_ns / 1_000_000_000, of_day_ns % 1_000_000_000);
    NaiveTime::from_num_seconds_from_midnight_opt(u32::try_from(seconds).ok()?, u32::try_from(ns).ok()?)
}

/// A number of two digits.
pub(crate) fn two_digits([tens, ones]: [u8; 2]) -> Option<u32> {
    let (tens, ones) = (tens.wrapping_sub(b'0'), ones.wrapping_sub(b'0'));
    (tens <= 9 && ones <= 9).then(|| u32::from(tens) * 10 + u32::from(ones))
}

/// `YYYY-MM-DD` or `YYYY/MM/DD`, days checked against months, years as in [`plausible_year`].
pub(crate) fn parse_iso_date(text: &[u8]) -> Option<NaiveDate> {
    let [y1, y2, y3, y4, dash1, m1, m2, dash2, d1, d2] = *text.first_chunk::<10>()?;
    if text.len() != 10 || dash1 != dash2 || !matches!(dash1, b'-' | b'/') {
        return None;
    }
    let year = i32::try_from(two_digits([y1, y2])? * 100 + two_digits([y3, y4])?).ok()?;
    plausible_year(year).then_some(())?;
    NaiveDate::from_ymd_opt(year, two_digits([m1, m2])?, two_digits([d1, d2])?)
}

/// `DDMMYY` as IGC and NMEA write it: years 80 to 99 are of the twentieth century (GPS time begins in 1980).
pub(crate) fn parse_ddmmyy(text: &[u8]) -> Option<NaiveDate> {
    let [d1, d2, m1, m2, y1, y2] = *text.first_chunk::<6>()?;
    let short = i32::try_from(two_digits([y1, y2])?).ok()?;
    let year = if short >= 80 { 1900 + short } else { 2000 + short };
    NaiveDate::from_ymd_opt(year, two_digits([m1, m2])?, two_digits([d1, d2])?)
}

/// `hh:mm[:ss[.fff]]` at the start of `text`: nanoseconds of the day, and what follows.
pub(crate) fn parse_clock(text: &[u8]) -> Option<(i64, &[u8])> {
    let (&[h1, h2, b':', m1, m2], rest) = text.split_first_chunk::<5>()? else { return None };
    let number = |digits: [u8; 2]| two_digits(digits).map(i64::from);
    let (hour, minute) = (number([h1, h2])?, number([m1, m2])?);
    let (second, rest) = match rest.split_first_chunk::<3>() {
        Some((&[b':', s1, s2], rest)) => (number([s1, s2])?, rest),
        _ if rest.first() == Some(&b':') => return None,
        _ => (0, rest),
    };
    let (fraction_ns, rest) = parse_fraction(rest)?;
    Some((of_day_ns(hour, minute, second, fraction_ns)?, rest))
}

/// Nanoseconds of the day, if the parts are in range (second 60 allowed: a leap second).
pub(crate) fn of_day_ns(hour: i64, minute: i64, second: i64, fraction_ns: i64) -> Option<i64> {
    let inside = (0..24).contains(&hour) && (0..60).contains(&minute) && (0..=60).contains(&second);
    inside.then(|| ((hour * 60 + minute) * 60 + second) * 1_000_000_000 + fraction_ns)
}

/// `.fff` or nothing; digits beyond the nanosecond are cut.
fn parse_fraction(text: &[u8]) -> Option<(i64, &[u8])> {
    let Some((b'.' | b',', rest)) = text.split_first() else { return Some((0, text)) };
    let width = rest.iter().take_while(|b| b.is_ascii_digit()).count();
    let (digits, rest) = rest.split_at_checked(width)?;
    Some((fraction_ns(digits)?, rest))
}

/// The decimals behind the point of a second, as nanoseconds.
pub(crate) fn fraction_ns(digits: &[u8]) -> Option<i64> {
    let kept = digits.get(..9).unwrap_or(digits);
    let value = i64::try_from(parse_digits(kept)?).ok()?;
    Some(value * 10_i64.pow(9_u32.saturating_sub(u32::try_from(kept.len()).ok()?)))
}

/// Seconds east of UTC; `Some(None)` for no zone, `None` for one that cannot be.
fn parse_zone(text: &[u8]) -> Option<Option<i64>> {
    let (sign, digits) = match text.split_first() {
        None => return Some(None),
        Some((b'Z' | b'z', [])) => return Some(Some(0)),
        Some((b'+', digits)) => (1, digits),
        Some((b'-', digits)) => (-1, digits),
        Some(_) => return None,
    };
    let number = |digits: [u8; 2]| two_digits(digits).map(i64::from);
    let (hours, minutes) = match *digits {
        [h1, h2] => (number([h1, h2])?, 0),
        [h1, h2, m1, m2] | [h1, h2, b':', m1, m2] => (number([h1, h2])?, number([m1, m2])?),
        _ => return None,
    };
    // UTC-12:00 to UTC+14:00 are in use; 15:59 is where XML Schema itself stops being credible.
    (hours < 16 && minutes < 60).then_some(Some(sign * (hours * 60 + minutes) * 60))
}

/// Dates for records that carry only a time of day. A fall by more than half a day means that midnight has passed
/// (FAI/IGC technical specification A2.5.4 gives no rollover record; NMEA sentences without a date are alike).
#[derive(Debug, Clone, Default)]
pub(crate) struct DayClock {
    /// Days since 1970-01-01 of the current record.
    day: i64,
    /// Whether `day` came from a date in the file.
    dated: bool,
    last_ns: Option<i64>,
    /// The date of the last record, by its day: most records are of the same.
    date: Option<(i64, NaiveDate)>,
}

impl DayClock {
    /// Whether a date has been set.
    pub(crate) fn is_dated(&self) -> bool {
        self.dated
    }

    /// A date stands in the file: of the next record (IGC header), or of the record at `of_day_ns` (NMEA sentences).
    /// Returns by how many days an earlier guess was off (for the records read before the first date).
    pub(crate) fn set_date(&mut self, date: NaiveDate, of_day_ns: Option<i64>) -> TimeDelta {
        let day = date.signed_duration_since(DateTime::UNIX_EPOCH.date_naive()).num_days();
        let guessed = of_day_ns.map_or(self.day, |ns| self.day_of(ns));
        let shift = TimeDelta::days(if self.dated { 0 } else { day - guessed });
        self.day = day;
        self.dated = true;
        self.last_ns = None;
        shift
    }

    /// Forgets the time of the last record: a new flight begins in the same file.
    pub(crate) fn restart(&mut self) {
        self.last_ns = None;
    }

    fn day_of(&self, of_day_ns: i64) -> i64 {
        let Some(last) = self.last_ns else { return self.day };
        if last - of_day_ns > HALF_DAY_NS {
            self.day + 1
        } else if last < TEN_MINUTES_NS && of_day_ns > DAY_NS - TEN_MINUTES_NS {
            // A late record of the old day, just after midnight has passed.
            self.day - 1
        } else {
            self.day
        }
    }

    /// The moment of a time of day near the current record, without moving the clock.
    pub(crate) fn peek(&self, of_day_ns: i64) -> Option<DateTime<Utc>> {
        let (seconds, ns) = (of_day_ns / 1_000_000_000, of_day_ns % 1_000_000_000);
        DateTime::from_timestamp(self.day_of(of_day_ns) * 86_400 + seconds, u32::try_from(ns).ok()?)
    }

    /// The moment of a record, and the clock moves on to it.
    pub(crate) fn advance(&mut self, of_day_ns: i64) -> Option<DateTime<Utc>> {
        let day = self.day_of(of_day_ns);
        let time = match (self.date, time_of_day(of_day_ns)) {
            (Some((known, date)), Some(of_day)) if known == day => date.and_time(of_day).and_utc(),
            _ => {
                let time = self.peek(of_day_ns)?;
                // A leap second at the end of a day is of the next.
                self.date = (of_day_ns < DAY_NS).then(|| (day, time.date_naive()));
                time
            }
        };
        self.day = day;
        self.last_ns = Some(of_day_ns);
        Some(time)
    }
}

#[cfg(test)]
mod tests;
