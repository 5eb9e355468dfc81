//! Times as the tables have them: RFC 3339 in UTC with milliseconds.

use crate::{LogbookError, Result};
use chrono::{DateTime, SecondsFormat, Utc};

/// A time as text; finer than milliseconds is cut off.
pub(crate) fn text(time: DateTime<Utc>) -> String {
    time.to_rfc3339_opts(SecondsFormat::Millis, true)
}

/// A time of a table.
pub(crate) fn parse(text: &str) -> Result<DateTime<Utc>> {
    let time = DateTime::parse_from_rfc3339(text).map(|time| time.to_utc());
    time.map_err(|_| LogbookError::damaged(format!("\"{text}\" is no time")))
}
