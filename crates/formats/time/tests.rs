use super::*;
use proptest::prelude::*;

fn utc(text: &str) -> DateTime<Utc> {
    DateTime::parse_from_rfc3339(text).expect("a test's own time").to_utc()
}

#[test]
fn offsets_and_fractions_are_converted() {
    // An offset other than Z as found in public files (logiqx, GPX notes).
    let stamp = parse_stamp(b"2003-04-05T18:22:16.184+01:00").expect("valid");
    assert_eq!(stamp, Stamp { time: utc("2003-04-05T17:22:16.184Z"), zoned: true });
    for (text, same) in [
        ("2020-02-29T23:30:00-0130", "2020-03-01T01:00:00Z"),
        ("2020-02-29 23:30:00+00", "2020-02-29T23:30:00Z"),
        ("2020/02/29T23:30Z", "2020-02-29T23:30:00Z"),
        ("2016-12-31T23:59:60Z", "2017-01-01T00:00:00Z"),
        ("2020-01-01T00:00:00,1234567891Z", "2020-01-01T00:00:00.123456789Z"),
    ] {
        assert_eq!(parse_stamp(text.as_bytes()).map(|s| s.time), Some(utc(same)), "{text}");
    }
    assert!(!parse_stamp(b"2020-01-01T00:00:00").expect("valid").zoned);
}

#[test]
fn impossible_times_are_refused() {
    for bad in [
        "",
        "2021-02-29T00:00:00Z",
        "2020-13-01T00:00:00Z",
        "2020-04-31T00:00:00Z",
        "2020-01-01",
        "2020-01-01T24:00:00Z",
        "2020-01-01T00:60:00Z",
        "2020-01-01T00:00:61Z",
        "2020-01-01T00:00:Z",
        "2020-01-01T00:00:00+25:00",
        "0000-01-01T00:00:00Z",
        "2020-01-01T00:00:00.Z",
        "2020-01/01T00:00:00Z",
        "9999-01-01T00:00:00Z",
        "2020-01-01T00:00:00 garbage",
        "20200101T000000Z",
    ] {
        assert_eq!(parse_stamp(bad.as_bytes()), None, "{bad:?}");
    }
}

#[test]
fn midnight_moves_the_day_on_and_a_late_record_back() {
    let mut clock = DayClock::default();
    clock.set_date(NaiveDate::from_ymd_opt(2020, 12, 31).expect("valid"), None);
    let at = |h, m, s| of_day_ns(h, m, s, 0).expect("valid");
    assert_eq!(clock.advance(at(23, 59, 59)), Some(utc("2020-12-31T23:59:59Z")));
    assert_eq!(clock.peek(at(0, 0, 0)), Some(utc("2021-01-01T00:00:00Z")), "peek sees the new day");
    assert_eq!(clock.advance(at(0, 0, 1)), Some(utc("2021-01-01T00:00:01Z")));
    assert_eq!(clock.advance(at(23, 59, 58)), Some(utc("2020-12-31T23:59:58Z")));
    assert_eq!(clock.advance(at(0, 0, 2)), Some(utc("2021-01-01T00:00:02Z")));
    assert_eq!(clock.advance(at(0, 0, 1)), Some(utc("2021-01-01T00:00:01Z")), "a step back is not a day");
    assert_eq!(clock.advance(at(13, 0, 0)), Some(utc("2021-01-01T13:00:00Z")), "a long gap is not a day back");
}

#[test]
fn a_first_date_that_comes_late_tells_the_shift() {
    let mut clock = DayClock::default();
    assert_eq!(clock.advance(0), Some(DateTime::UNIX_EPOCH));
    let shift = clock.set_date(NaiveDate::from_ymd_opt(1970, 1, 3).expect("valid"), None);
    assert_eq!(shift, TimeDelta::days(2));
    assert_eq!(clock.set_date(NaiveDate::from_ymd_opt(1970, 1, 9).expect("valid"), None), TimeDelta::zero());
}

proptest! {
    #[test]
    fn stamps_written_by_chrono_are_read_back(seconds in 0_i64..7_000_000_000, ns in 0_u32..1_000_000_000) {
        let time = DateTime::from_timestamp(seconds, ns).expect("in range");
        let text = time.to_rfc3339_opts(chrono::SecondsFormat::Nanos, true);
        prop_assert_eq!(parse_stamp(text.as_bytes()), Some(Stamp { time, zoned: true }));
    }

    #[test]
    fn any_bytes_give_a_time_or_none(bytes in proptest::collection::vec(any::<u8>(), 0..40)) {
        let _ = parse_stamp(&bytes);
        let _ = parse_ddmmyy(&bytes);
    }
}
