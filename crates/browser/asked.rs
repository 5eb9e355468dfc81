//! What JavaScript says, as the app understands it.

use chrono::{DateTime, Utc};
use driftless_page::Method;

/// The method of a request: anything but a plain look is taken for a change.
pub fn method(word: &str) -> Method {
    if word.eq_ignore_ascii_case("GET") || word.eq_ignore_ascii_case("HEAD") { Method::Get } else { Method::Post }
}

/// The time of a browser's clock, milliseconds since 1970 in UTC; the beginning of 1970 for what is no time.
pub fn time(milliseconds: f64) -> DateTime<Utc> {
    // The largest whole number that a double holds for certain lies beyond any year that is asked for here.
    #[expect(clippy::cast_possible_truncation, reason = "a fraction of a millisecond is of no use")]
    let whole = if milliseconds.is_finite() { milliseconds as i64 } else { 0 };
    DateTime::from_timestamp_millis(whole).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_look_is_told_from_a_change() {
        assert_eq!(method("get"), Method::Get);
        assert_eq!(method("HEAD"), Method::Get);
        assert_eq!(method("POST"), Method::Post);
        assert_eq!(method("delete"), Method::Post);
    }

    #[test]
    fn times_are_taken_to_the_millisecond_and_never_panic() {
        assert_eq!(time(1_700_000_000_123.9).to_rfc3339(), "2023-11-14T22:13:20.123+00:00");
        for odd in [f64::NAN, f64::INFINITY, f64::MAX, f64::MIN] {
            assert_eq!(time(odd), DateTime::UNIX_EPOCH);
        }
    }
}
