use super::sentence::{Checksum, Kind, Sentence};
use crate::{ReadHint, read};
use chrono::{DateTime, Utc};
use driftless_track::{FixQuality, FlightLog};

const KNOT_MPS: f64 = 1852.0 / 3600.0;

fn log(text: &str) -> FlightLog {
    read(text.as_bytes(), &ReadHint::default()).expect("readable")
}

fn utc(text: &str) -> DateTime<Utc> {
    DateTime::parse_from_rfc3339(text).expect("a test's own time").to_utc()
}

fn codes(log: &FlightLog) -> Vec<(&str, u32)> {
    log.problems.iter().map(|p| (p.code, p.count)).collect()
}

/// A sentence with its checksum.
fn summed(body: &str) -> String {
    format!("${body}*{:02X}\r\n", body.bytes().fold(0, |sum, byte| sum ^ byte))
}

fn parsed(line: &str) -> Sentence {
    let text = line.strip_prefix('$').expect("a sentence").as_bytes();
    let Checksum::Good(body) = Checksum::check(text) else { panic!("checksum of {line}") };
    Sentence::parse(Kind::of(text).expect("known"), body).expect("good")
}

/// D. DePriest, gpsinformation.org/dale/nmea.htm: one moment in two sentences.
#[test]
fn published_rmc_and_gga_of_one_moment() {
    let log = log("$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\n\
                   $GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\n");
    let [fix] = &*log.fixes else { panic!("one fix, not {}", log.fixes.len()) };
    assert_eq!(fix.time, utc("1994-03-23T12:35:19Z"));
    assert!((fix.lat_deg - 48.1173).abs() < 1e-12);
    assert!((fix.lon_deg - 11.516_666_666_7).abs() < 1e-9);
    assert!((fix.ground_speed_mps.get().unwrap() - 11.523556).abs() < 5e-7);
    assert_eq!((fix.course_deg.get(), fix.gnss_altitude_m.get(), fix.hdop.get()), (Some(84.4), Some(545.4), Some(0.9)));
    assert!(log.problems.is_empty(), "{:?}", log.problems);
}

/// The same source: above the ellipsoid it is 592.3 m.
#[test]
fn published_geoid_height() {
    let gga = parsed("$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47");
    assert!((gga.altitude_m.unwrap() + gga.geoid_m.unwrap() - 592.3).abs() < 1e-9);
}

/// The same source (from memory): true course and knots.
#[test]
fn published_vtg() {
    let vtg = parsed("$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*48");
    assert_eq!(vtg.course_deg, Some(54.7));
    assert!((vtg.ground_speed_mps.unwrap() - 5.5 * KNOT_MPS).abs() < 1e-12);
}

/// cypress.bc.ca msg_82_GPRMC: without and with the mode field of version 2.3 on.
#[test]
fn published_rmc_without_and_with_mode() {
    let old = parsed("$GPRMC,001207.00,A,4911.2236,N,12254.4779,W,012.3,201.0,170109,,*2D");
    let new = parsed("$GPRMC,222414.00,A,4915.3920,N,12259.8072,W,000.2,242.0,211210,,,A*49");
    assert_eq!((old.quality, new.quality), (FixQuality::Unstated, FixQuality::Unstated));
    assert!((old.position_deg.unwrap().1 + (122.0 + 54.4779 / 60.0)).abs() < 1e-12);
    assert_eq!(new.date.unwrap().to_string(), "2010-12-21");
}

/// NOAA PSL ATOMIC 2020 open data, gps02001420_raw.txt.
#[test]
fn published_atomic_2020_moment() {
    let log = log("$GPGGA,195959.00,1541.31258893,N,05130.51204125,W,2,06,1.5,9.2,M,-37.6,M,4.0,0138*7E\r\n\
                   $GPVTG,147.44,T,164.31,M,0.26,N,0.49,K,D*2C\r\n\
                   $GPRMC,195959.00,A,1541.31258893,N,05130.51204125,W,0.26,147.44,140120,16.9,W,D*0B\r\n");
    let [fix] = &*log.fixes else { panic!("one fix, not {}", log.fixes.len()) };
    assert!((fix.lat_deg - 15.688543149).abs() < 0.5e-9 && (fix.lon_deg + 51.508534021).abs() < 0.5e-9);
    assert!((fix.ground_speed_mps.get().unwrap() - 0.133756).abs() < 5e-7);
    assert_eq!(fix.time, utc("2020-01-14T19:59:59Z"));
}

/// A valid checksum, and no fix: the sentence stands among the valid ones of minmea's tests.c (K. Kosma; name of the author
/// from memory).
#[test]
fn published_sentence_without_fix() {
    let good = "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\n";
    let log = log(&format!("$GPRMC,,V,,,,,,,,,,N*53\n{good}"));
    assert_eq!(log.fixes.len(), 1);
    assert_eq!(codes(&log), [("no-position", 1)]);
}

/// Blanks put into empty fields: the checksum no longer matches, and nothing may trim them away. The position is that of the
/// sentences in the tests of pynmeagps, the rest of the sentence is our own.
#[test]
fn derived_blanks_break_the_checksum() {
    let body = "GNRMC,103607.00,A,5327.03942,N,00214.42462,W,2.703,,200417,,,A";
    let blanked = summed(body).replace(",,200417,,,A", ", ,200417, , ,A");
    let log = log(&format!("{}{blanked}", summed(&body.replace("103607", "103608"))));
    assert_eq!(log.fixes.len(), 1);
    assert_eq!(codes(&log), [("bad-checksum", 1)]);
}

#[test]
fn any_talker_noise_and_prefixes_between() {
    let rmc = |time: &str, talker: &str| {
        summed(&format!("{talker}RMC,{time},A,4807.038,N,01131.000,E,022.4,084.4,010120,,,A"))
    };
    let text = format!(
        "\u{1}\u{2}noise {}2020-01-01T12:00:01Z {}$PUBX,00,1*00\n!AIVDM,1\n$GPGSV,4,1*00\nnoise$GPRMC,1200{}",
        rmc("120000.5", "GN"),
        rmc("120001.5", "GL"),
        rmc("120002.5", "BD")
    );
    let log = log(&text);
    assert_eq!(log.fixes.iter().map(|f| f.time.timestamp_subsec_millis()).collect::<Vec<_>>(), [500; 3]);
    assert_eq!(log.fixes[2].source.line, 6);
    assert_eq!(codes(&log), [("checksum-missing", 1), ("bad-sentence", 1)]);
}

#[test]
fn dates_pass_midnight_and_come_late() {
    let gga = |time: &str| summed(&format!("GPGGA,{time},4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,"));
    let late =
        log(&format!("{}{}{}", gga("235958"), gga("235959"), summed("GPZDA,000000,01,01,2021,00,00") + &gga("000000")));
    assert_eq!(late.fixes.iter().map(|f| f.time).collect::<Vec<_>>()[2], utc("2021-01-01T00:00:00Z"));
    let dated = log(&format!("{}{}{}", summed("GPZDA,235958,31,12,2020,00,00"), gga("235959"), gga("000000")));
    let times: Vec<_> = dated.fixes.iter().map(|f| f.time).collect();
    assert_eq!(times, [utc("2020-12-31T23:59:59Z"), utc("2021-01-01T00:00:00Z")]);
    let undated = log(&gga("120000"));
    assert_eq!(codes(&undated), [("date-missing", 1)]);
}

#[test]
fn vtg_belongs_to_its_side_of_the_position() {
    let gga = |time: &str| summed(&format!("GPGGA,{time},4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,"));
    let vtg = |course: u32| summed(&format!("GPVTG,{course},T,,M,10,N,,K"));
    let behind = log(&[gga("120000"), vtg(1), gga("120001"), vtg(2)].concat());
    assert_eq!(behind.fixes.iter().map(|f| f.course_deg.get()).collect::<Vec<_>>(), [Some(1.0), Some(2.0)]);
    let before = log(&[vtg(1), gga("120000"), vtg(2), gga("120001")].concat());
    assert_eq!(before.fixes.iter().map(|f| f.course_deg.get()).collect::<Vec<_>>(), [Some(1.0), Some(2.0)]);
}

#[test]
fn values_that_cannot_be_are_refused() {
    let rmc = |time: &str, lat: &str, speed: &str, course: &str, status: &str| {
        summed(&format!("GPRMC,{time},{status},{lat},N,01131.000,E,{speed},{course},010120,,,A"))
    };
    let log = log(&[
        rmc("120000", "9907.038", "1", "1", "A"),
        rmc("120001", "4860.038", "1", "1", "A"),
        rmc("120002", "4807.038", "-1", "400", "A"),
        rmc("120003", "4807.038", "1", "1", "V"),
        rmc("256003", "4807.038", "1", "1", "A"),
    ]
    .concat());
    assert_eq!(log.fixes.len(), 2);
    assert_eq!((log.fixes[0].ground_speed_mps.get(), log.fixes[0].course_deg.get()), (None, None));
    assert_eq!(log.fixes[1].quality, FixQuality::TwoD, "status V is kept out of wind work");
    assert_eq!(codes(&log), [("bad-sentence", 3), ("bad-value", 1), ("fix-without-3d", 1)]);
}
