//! Times of KML: XML Schema's dateTime, date, gYearMonth and gYear, of which only the first says when.

use crate::builder::LogBuilder;
use crate::time::{bad_year, parse_iso_date, parse_stamp};
use chrono::{DateTime, Utc};
use driftless_track::SourceRef;
use driftless_units::excerpt;

/// What a time element says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Moment {
    At(DateTime<Utc>),
    /// Nothing, or a day, month or year alone.
    Untimed,
    /// Words that are no time; told already.
    Bad,
}

impl Moment {
    /// Reads the text of an element, `None` where it is no plain text; what cannot be is told.
    pub(super) fn read(text: Option<&str>, place: SourceRef, builder: &mut LogBuilder) -> Self {
        let text = text.unwrap_or("(not plain text)").as_bytes();
        if text.is_empty() {
            return Self::Untimed;
        }
        if is_date_alone(text) {
            let message = || format!("the time {} is a date alone, which does not say when", excerpt(text));
            builder.note("date-without-time", place, message, "");
            return Self::Untimed;
        }
        let Some(stamp) = parse_stamp(text) else {
            let message = || format!("a time was left out: {} cannot be", excerpt(text));
            let help = bad_year(text).unwrap_or("times are written like 2026-05-01T09:30:00Z");
            builder.warn("bad-time", place, message, help);
            return Self::Bad;
        };
        if !stamp.zoned {
            builder.note(
                "time-without-zone",
                place,
                || "times have no zone and were taken as UTC".to_owned(),
                "if the logger wrote local time, only the clock in the report is off",
            );
        }
        Self::At(stamp.time)
    }
}

/// `2026-05-01`, `2026-05` or `2026`, a zone behind it allowed for the first.
fn is_date_alone(text: &[u8]) -> bool {
    let day = text.strip_suffix(b"Z").unwrap_or(text);
    let digits = |text: &[u8]| text.iter().all(u8::is_ascii_digit);
    match text {
        [year @ .., b'-', m1, m2] if year.len() == 4 => digits(year) && digits(&[*m1, *m2]),
        year if year.len() == 4 => digits(year),
        _ => parse_iso_date(day).is_some(),
    }
}
