//! The zone of times in a report, as asked for.

use chrono::{DateTime, Local, Offset, TimeZone, Utc};
use driftless_display::Zone;

/// `--time`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TimeShown {
    /// That of this machine, as it was at the time of the flight.
    Local,
    /// So far from UTC.
    Fixed(Zone),
}

impl TimeShown {
    /// "utc", "local" or a distance from UTC.
    pub(crate) fn named(words: &str) -> Result<Self, String> {
        if words.trim().eq_ignore_ascii_case("local") { Ok(Self::Local) } else { Zone::named(words).map(Self::Fixed) }
    }

    /// The zone of a flight.
    pub(crate) fn at(self, time: DateTime<Utc>) -> Zone {
        match self {
            Self::Fixed(zone) => zone,
            Self::Local => {
                let east_s = Local.offset_from_utc_datetime(&time.naive_utc()).fix().local_minus_utc();
                Zone::of_seconds_east(east_s).unwrap_or_default()
            }
        }
    }
}
