use crate::{ReadError, ReadHint, read};
use chrono::{DateTime, TimeDelta, Utc};
use driftless_track::{Fix, FixQuality, FlightLog, MarkKind, Scenario};

fn log(text: &str) -> FlightLog {
    read(text.as_bytes(), &ReadHint::default()).expect("readable")
}

fn utc(text: &str) -> DateTime<Utc> {
    DateTime::parse_from_rfc3339(text).expect("a test's own time").to_utc()
}

fn only(log: &FlightLog) -> &Fix {
    assert_eq!(log.fixes.len(), 1);
    &log.fixes[0]
}

fn codes(log: &FlightLog) -> Vec<(&str, u32)> {
    log.problems.iter().map(|p| (p.code, p.count)).collect()
}

/// Half of the last digit printed beside the golden lines.
const NINE_DECIMALS: f64 = 0.5e-9;

fn assert_position(fix: &Fix, lat_deg: f64, lon_deg: f64) {
    assert!((fix.lat_deg - lat_deg).abs() <= NINE_DECIMALS, "latitude {}", fix.lat_deg);
    assert!((fix.lon_deg - lon_deg).abs() <= NINE_DECIMALS, "longitude {}", fix.lon_deg);
}

/// I. Forster-Lewis, *IGC file format reference and developers' guide*, the B record of its opening example
/// (xp-soaring.github.io/igc_file_format/igc_format_2008.html).
#[test]
fn published_b_record_of_the_developers_guide() {
    let log = log("HFDTE160701\nB1101355206343N00006198WA0058700558\n");
    let fix = only(&log);
    assert_position(fix, 52.105716667, -0.103300000);
    assert_eq!(fix.time, utc("2001-07-16T11:01:35Z"));
    assert_eq!((fix.pressure_altitude_m.get(), fix.gnss_altitude_m.get()), (Some(587.0), Some(558.0)));
    assert_eq!(fix.quality, FixQuality::ThreeD);
    assert_eq!((fix.source.line, fix.source.byte), (2, 12));
    assert!(log.problems.is_empty());
}

/// FAI/IGC technical specification, A4.2.2 (blanks of the print removed).
#[test]
fn published_pilot_event_before_its_fix() {
    let log = log("HFDTEDATE:160701,01\r\nE104533PEV\r\nB1045334945333N01132444EA0135701501\r\n");
    assert_position(only(&log), 49.755550, 11.540733333);
    assert_eq!((only(&log).pressure_altitude_m.get(), only(&log).gnss_altitude_m.get()), (Some(1357.0), Some(1501.0)));
    let [mark] = &*log.marks else { panic!("one mark") };
    assert_eq!((mark.time, mark.kind, mark.text.as_str()), (only(&log).time, MarkKind::Other, "PEV"));
}

/// The I record is the specification's example of ENL and MOP by byte positions; the B record, a V fix with a negative
/// altitude, is a third-party test line (seen in the tests of a public parser, not in the specification). Expected by the
/// byte positions that the specification gives.
#[test]
fn derived_v_fix_with_negative_altitude() {
    let log = log("HFDTE160701\nI023638ENL3941MOP\nB1101365206343S00006198EV-001200000000999\n");
    let fix = only(&log);
    assert_position(fix, -52.105716667, 0.103300000);
    assert_eq!(
        (fix.quality, fix.pressure_altitude_m.get(), fix.gnss_altitude_m.get()),
        (FixQuality::TwoD, Some(-12.0), None)
    );
    assert_eq!(fix.engine_noise.get(), Some(0.0));
    assert_eq!(codes(&log), [("fix-without-3d", 1)]);
}

/// Lines of a real logger of 2022, as public readers show them (where first is not known): eleven extensions on one line.
/// Expected by the byte positions that the I record itself gives.
#[test]
fn derived_long_extension_list() {
    let log = log("HFDTE160701\n\
        I103638FXA3941ENL4246TAS4751GSP5254TRT5559VAT6063OAT6467ACZ6871AOR7274AOP\n\
        B0909325111299N00101710WA000960022900700100000000041970000001920100-010-09\n");
    let fix = only(&log);
    assert_position(fix, 51.188316667, -1.028500000);
    assert_eq!((fix.pressure_altitude_m.get(), fix.gnss_altitude_m.get()), (Some(96.0), Some(229.0)));
    assert_eq!(fix.horizontal_error_m.get(), Some(3.5), "FXA 007 is two sigma");
    assert_eq!(fix.engine_noise.get(), Some(1.0));
    assert_eq!(fix.true_airspeed_mps.get(), Some(0.0), "one fix cannot tell that the column is empty");
    assert!((fix.ground_speed_mps.get().unwrap() - 0.04 / 3.6).abs() < 1e-12, "GSP 00004 is 0.04 km/h");
    assert_eq!((fix.course_deg.get(), fix.climb_mps.get()), (Some(197.0), Some(0.0)));
    assert!(log.problems.is_empty(), "{:?}", log.problems);
}

/// The same log: K lines by J positions carry no value of ours; the specification's own J example lacks the
/// count (`J 08 12 HDT`), the true form is this.
#[test]
fn derived_slow_records() {
    let log = log(
        "HFDTE160701\nJ010812HDT\nB0909325111299N00101710WA0009600229\nK09093200090\nB0909335111299N00101710WA0009600229\n",
    );
    assert_eq!(log.fixes[0].heading_true_deg.get(), Some(90.0));
    assert_eq!(log.fixes[1].heading_true_deg.get(), None);
    let wind_only = self::log("HFDTE160701\nJ020810WDI1115WVE\nK09115208100062\nB0911525111299N00101710WA0009600229\n");
    assert!(wind_only.problems.is_empty());
}

/// A wide direction whose column goes above 360 has decimals.
#[test]
fn wide_directions_with_decimals() {
    let log = log(
        "HFDTE160701\nI013640HDT\nB0909325111299N00101710WA000960022900250\nB0909335111299N00101710WA000960022919725\n",
    );
    assert_eq!(log.fixes.iter().map(|f| f.heading_true_deg.get()).collect::<Vec<_>>(), [Some(2.5), Some(197.25)]);
}

/// A five-digit GSP is three integer digits and two decimals: 14453 is 144.53 km/h (A2.4.1).
#[test]
fn published_speed_decimals() {
    let log = log("HFDTE160701\nI013640GSP\nB0909325111299N00101710WA000960022914453\n");
    assert!((only(&log).ground_speed_mps.get().unwrap() - 144.53 / 3.6).abs() < 1e-12);
}

/// Derived here: tenths of seconds over midnight.
#[test]
fn derived_tenths_over_midnight() {
    let log = log(
        "HFDTE311220\nI023638FXA3939TDS\nB2359595206343N00006198WA00587005580105\nB0000005206343N00006198WA00587005580100\n",
    );
    assert_eq!(log.fixes[0].time, utc("2020-12-31T23:59:59.500Z"));
    assert_eq!(log.fixes[1].time, utc("2021-01-01T00:00:00Z"));
    assert_eq!(log.fixes[1].time - log.fixes[0].time, TimeDelta::milliseconds(500));
    assert_eq!(log.fixes[0].horizontal_error_m.get(), Some(5.0));
}

#[test]
fn extra_digits_are_put_behind_the_minutes() {
    let log = log("HFDTE160701\nI033637LAD3839LOF4042TDS\nB1101355206343S00006198WA00587005581234250\n");
    let fix = only(&log);
    assert!((fix.lat_deg + (52.0 + 6.34312 / 60.0)).abs() < 1e-12);
    assert!((fix.lon_deg + 6.19834 / 60.0).abs() < 1e-12);
    assert_eq!(fix.time, utc("2001-07-16T11:01:35.250Z"));
}

#[test]
fn events_whose_words_begin_with_let_go_or_take_over_are_marks() {
    let log = log("HFDTE160701\n\
        E110134PEVLET GO full power climb\nB1101355206343N00006198WA0058700558\n\
        E110136PEV Take over\nE110137let-go trim-level\nE110138XYZsomething\nE1101\n");
    let marks: Vec<_> = log.marks.iter().map(|m| (m.kind, m.scenario, m.text.as_str())).collect();
    assert_eq!(
        marks,
        [
            (MarkKind::LetGo, Some(Scenario::FullPowerClimb), "LET GO full power climb"),
            (MarkKind::TakeOver, None, "Take over"),
            (MarkKind::LetGo, Some(Scenario::TrimLevel), "let-go trim-level"),
            (MarkKind::Other, None, "something"),
        ]
    );
    assert_eq!(codes(&log), [("bad-event", 1)]);
}

#[test]
fn columns_of_zeros_are_missing_and_a_true_zero_stays() {
    let log = log("HFDTE160701\nI013638TAS\n\
        B1101355206343N00006198WA0000000000000\nB1101365206343N00006198WA0000000001000\nB1101375206343N00006198WA0000000002000\n");
    assert!(log.fixes.iter().all(|f| f.pressure_altitude_m.get().is_none() && f.true_airspeed_mps.get().is_none()));
    assert_eq!(log.fixes[0].gnss_altitude_m.get(), Some(0.0), "at the sea");
    assert_eq!(codes(&log), [("column-empty", 1)]);
}

#[test]
fn bad_lines_are_dropped_counted_and_located() {
    let log = log("HFDTE160701\nB1101355206343N00006198WA0058700558\n\
        B1101365296343N00006198WA0058700558\nB1101375206343N19906198WA0058700558\nB2501375206343N00006198WA0058700558\n\
        B110135\n?garbage\nB1101395206343N00006198WA0058700558\nB110140520");
    assert_eq!(log.fixes.len(), 2);
    assert_eq!(codes(&log), [("bad-fix", 4), ("unknown-record", 1), ("cut-off", 1)]);
    assert_eq!(log.problems[0].line, Some(3));
    assert!(log.problems[0].message.contains("latitude"), "{}", log.problems[0].message);
    assert_eq!(log.problems[2].line, Some(9));
}

#[test]
fn extension_fields_that_cannot_be_are_refused() {
    let log = log("HFDTE160701\nI033035GSP3638ENL3840TRT\nB1101355206343N00006198WA0058700558123456\n");
    let fix = only(&log);
    assert_eq!((fix.ground_speed_mps.get(), fix.engine_noise.get(), fix.course_deg.get()), (None, Some(123.0), None));
    assert_eq!(codes(&log), [("bad-extension", 2)]);
}

#[test]
fn several_flights_in_one_file_are_segments_of_the_log() {
    let one = "AXXX001\nHFDTE160701\nI013638ENL\nB1101355206343N00006198WA0058700558001\nGABC\n";
    let two = "AXXX001\nHFDTE150701\nB1101355206343N00006198WA0058700558\n";
    let log = log(&format!("{one}{two}"));
    assert_eq!(log.segment_starts, [0, 1]);
    assert_eq!(log.fixes[1].time, utc("2001-07-15T11:01:35Z"));
    assert_eq!(log.fixes[1].engine_noise.get(), None, "the second flight has no I record");
}

#[test]
fn a_file_without_a_date_or_with_a_late_one() {
    let undated = log("B1101355206343N00006198WA0058700558\n");
    assert_eq!(undated.fixes[0].time, utc("1970-01-01T11:01:35Z"));
    assert_eq!(codes(&undated), [("date-missing", 1)]);
    let late = log("B1101355206343N00006198WA0058700558\nHFDTE160701\nB1101365206343N00006198WA0058700558\n");
    assert_eq!(late.fixes[0].time, utc("2001-07-16T11:01:35Z"));
    assert_eq!(late.fixes[1].time, utc("2001-07-16T11:01:36Z"));
}

#[test]
fn no_fix_at_all_is_an_error_that_says_why() {
    let error = read(b"HFDTE160701\nB1101355296343N00006198WA0058700558\n", &ReadHint::default()).unwrap_err();
    assert!(matches!(error, ReadError::NoFixes { .. }));
    assert!(error.to_string().contains("line 2"), "{error}");
}
