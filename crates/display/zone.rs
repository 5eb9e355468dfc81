//! The time zone that a report is read in.

use chrono::{DateTime, FixedOffset, Utc};

/// Farthest that a zone lies from UTC, seconds (Kiribati, 14 h).
const FARTHEST_S: i32 = 14 * 3600;

/// A zone as its distance from UTC: that of one flight, so that no clock is put back or forward within a report.
///
/// ```
/// use driftless_display::Zone;
/// let zone = Zone::of_seconds_east(2 * 3600).unwrap();
/// let takeoff = "2026-05-14T22:30:00Z".parse().unwrap();
/// assert_eq!((zone.name(), zone.clock(takeoff), zone.date(takeoff)),
///            ("UTC+02:00".to_owned(), "00:30:00".to_owned(), "2026-05-15".to_owned()));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Zone {
    east_s: i32,
}

impl Zone {
    /// So many seconds ahead of UTC; `None` for more than any zone has.
    pub fn of_seconds_east(east_s: i32) -> Option<Self> {
        (-FARTHEST_S..=FARTHEST_S).contains(&east_s).then_some(Self { east_s })
    }

    /// "+02:00", "-3", "+05:30" or "utc".
    ///
    /// # Errors
    /// The words that were not understood.
    pub fn named(words: &str) -> Result<Self, String> {
        let unknown = || format!("unknown time zone \"{}\": use utc, local or a distance such as +02:00", words.trim());
        let plain = words.trim().to_lowercase();
        let plain = plain.strip_prefix("utc").unwrap_or(&plain);
        if (plain.is_empty() && !words.trim().is_empty()) || plain == "z" {
            return Ok(Self::default());
        }
        let (sign, digits) = match (plain.strip_prefix('+'), plain.strip_prefix(['-', '−'])) {
            (Some(digits), _) => (1, digits),
            (_, Some(digits)) => (-1, digits),
            (None, None) => return Err(unknown()),
        };
        let (hours, minutes) = digits.split_once(':').unwrap_or((digits, "0"));
        let number = |text: &str| (text.len() <= 2).then(|| text.parse::<u8>().ok()).flatten().map(i32::from);
        let east_s = number(hours).zip(number(minutes).filter(|m| *m < 60)).map(|(h, m)| sign * (3600 * h + 60 * m));
        east_s.and_then(Self::of_seconds_east).ok_or_else(unknown)
    }

    /// Seconds ahead of UTC.
    pub const fn seconds_east(self) -> i32 {
        self.east_s
    }

    /// Whether it is UTC itself.
    pub fn is_utc(self) -> bool {
        self.east_s == 0
    }

    /// "UTC" or "UTC+02:00".
    pub fn name(self) -> String {
        if self.is_utc() { "UTC".to_owned() } else { format!("UTC{}", self.offset()) }
    }

    /// "16:08:00".
    pub fn clock(self, time: DateTime<Utc>) -> String {
        self.here(time).format("%H:%M:%S").to_string()
    }

    /// "2026-06-02".
    pub fn date(self, time: DateTime<Utc>) -> String {
        self.here(time).format("%Y-%m-%d").to_string()
    }

    /// The same moment in this zone.
    pub fn here(self, time: DateTime<Utc>) -> DateTime<FixedOffset> {
        time.with_timezone(&self.offset())
    }

    fn offset(self) -> FixedOffset {
        // Within a day by construction.
        FixedOffset::east_opt(self.east_s).unwrap_or(chrono::Offset::fix(&Utc))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zones_are_read_as_people_write_them() {
        for (words, east_s) in [
            ("utc", 0),
            ("UTC", 0),
            ("Z", 0),
            ("+02:00", 7200),
            ("+2", 7200),
            ("-03", -10_800),
            ("UTC+05:30", 19_800),
            ("−09:30", -34_200),
            ("+14", 50_400),
        ] {
            assert_eq!(Zone::named(words).map(|zone| zone.east_s), Ok(east_s), "{words}");
        }
        for words in ["", "+", "+2:", "+15", "+02:60", "2", "CET", "+-2", "+002", "+1:2:3"] {
            let refused = Zone::named(words);
            assert!(refused.is_err(), "{words}: {refused:?}");
        }
        assert!(Zone::named("CET").unwrap_err().contains("+02:00"));
    }
}
