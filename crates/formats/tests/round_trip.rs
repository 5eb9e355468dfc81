//! Logs written by the simplest possible writer come back as they were; the `gpx` crate agrees where it can.

use chrono::{DateTime, SecondsFormat, TimeDelta, Utc};
use driftless_formats::{ReadHint, read};
use driftless_track::{Fix, FlightLog, Severity};
use proptest::prelude::*;

/// What all these formats can say, in the coarsest of their steps (thousandths of minutes, metres, seconds).
#[derive(Debug, Clone, Copy)]
struct Plain {
    second: i64,
    lat_milliminutes: i32,
    lon_milliminutes: i32,
    altitude_m: i32,
    speed_centi_kmh: u32,
    course_deg: u32,
}

prop_compose! {
    fn plain()(step in 1_i64..50_000, lat in -5_399_999_i32..5_399_999, lon in -10_799_999_i32..10_799_999,
               altitude_m in 1_i32..9000, speed in 1_u32..50_000, course_deg in 0_u32..360) -> Plain {
        Plain { second: step, lat_milliminutes: lat, lon_milliminutes: lon, altitude_m, speed_centi_kmh: speed, course_deg }
    }
}

/// Points in time order: steps below half a day, so that a day clock can follow.
fn flight() -> impl Strategy<Value = Vec<Plain>> {
    proptest::collection::vec(plain(), 3..30).prop_map(|mut points| {
        let mut now = 0;
        for point in &mut points {
            now += point.second.min(43_000);
            point.second = now;
        }
        points
    })
}

impl Plain {
    fn time(self) -> DateTime<Utc> {
        DateTime::from_timestamp(1_777_626_000, 0).expect("in range") + TimeDelta::seconds(self.second)
    }
    fn lat_deg(self) -> f64 {
        f64::from(self.lat_milliminutes) / 60_000.0
    }
    fn lon_deg(self) -> f64 {
        f64::from(self.lon_milliminutes) / 60_000.0
    }
    fn speed_mps(self) -> f64 {
        f64::from(self.speed_centi_kmh) / 360.0
    }
}

/// `degree_digits` of degrees and five of thousandths of minutes, with the letter behind.
fn arc(milliminutes: i32, degree_digits: usize, letters: [char; 2]) -> (String, String, char) {
    let size = milliminutes.unsigned_abs();
    let (degrees, minutes) = (size / 60_000, size % 60_000);
    (format!("{degrees:0degree_digits$}"), format!("{minutes:05}"), letters[usize::from(milliminutes < 0)])
}

fn assert_same(log: &FlightLog, points: &[Plain], speed_step_mps: f64) -> Result<(), TestCaseError> {
    prop_assert!(log.problems.iter().all(|p| p.severity < Severity::Warning), "{:?}", log.problems);
    prop_assert_eq!(log.fixes.len(), points.len());
    for (fix, point) in log.fixes.iter().zip(points) {
        prop_assert_eq!(fix.time, point.time());
        // Two roundings of a number up to 180: a few times 2e-14.
        prop_assert!((fix.lat_deg - point.lat_deg()).abs() < 1e-12 && (fix.lon_deg - point.lon_deg()).abs() < 1e-12);
        prop_assert_eq!(fix.gnss_altitude_m.get(), Some(f64::from(point.altitude_m)));
        prop_assert!((fix.ground_speed_mps.get().expect("a speed") - point.speed_mps()).abs() <= speed_step_mps);
        prop_assert_eq!(fix.course_deg.get(), Some(f64::from(point.course_deg)));
    }
    Ok(())
}

fn read_text(text: &str) -> FlightLog {
    read(text.as_bytes(), &ReadHint::default()).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn gpx_text(points: &[Plain]) -> String {
    let points: String = points
        .iter()
        .map(|p| {
            let time = p.time().to_rfc3339_opts(SecondsFormat::Secs, true);
            format!(
                "<trkpt lat=\"{}\" lon=\"{}\"><ele>{}</ele><time>{time}</time><extensions><speed>{}</speed><course>{}</course></extensions></trkpt>\n",
                p.lat_deg(), p.lon_deg(), p.altitude_m, p.speed_mps(), p.course_deg
            )
        })
        .collect();
    format!(
        "<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>{points}</trkseg></trk></gpx>"
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn gpx(points in flight()) {
        assert_same(&read_text(&gpx_text(&points)), &points, 1e-12)?;
    }

    /// Times, then positions; speeds as an array whose name tells the unit; KML has no course.
    #[test]
    fn kml(points in flight()) {
        let each = |write: &dyn Fn(&Plain) -> String| points.iter().map(write).collect::<String>();
        let whens = each(&|p| format!("<when>{}</when>\n", p.time().to_rfc3339()));
        let coords = each(&|p| format!("<gx:coord>{} {} {}</gx:coord>\n", p.lon_deg(), p.lat_deg(), p.altitude_m));
        let speeds = each(&|p| format!("<gx:value>{}</gx:value>\n", p.speed_mps()));
        let mut log = read_text(&format!(
            "<kml><Placemark><gx:Track><altitudeMode>absolute</altitudeMode>{whens}{coords}<ExtendedData><SchemaData>\
             <gx:SimpleArrayData name=\"speed_mps\">{speeds}</gx:SimpleArrayData></SchemaData></ExtendedData></gx:Track></Placemark></kml>"
        ));
        for (fix, point) in log.fixes.iter_mut().zip(&points) {
            prop_assert_eq!(fix.course_deg.get(), None);
            fix.course_deg = f64::from(point.course_deg).into();
        }
        assert_same(&log, &points, 1e-12)?;
    }

    #[test]
    fn csv(points in flight()) {
        let rows: String = points.iter().map(|p| {
            format!("{},{},{},{},{},{}\n", p.time().to_rfc3339(), p.lat_deg(), p.lon_deg(), p.altitude_m, f64::from(p.speed_centi_kmh) / 100.0, p.course_deg)
        }).collect();
        assert_same(&read_text(&format!("time_utc,lat_deg,lon_deg,altitude_m,ground_speed_kmh,course_deg\n{rows}")), &points, 1e-12)?;
    }

    #[test]
    fn igc(points in flight()) {
        let rows: String = points.iter().map(|p| {
            let (lat, lat_m, ns) = arc(p.lat_milliminutes, 2, ['N', 'S']);
            let (lon, lon_m, ew) = arc(p.lon_milliminutes, 3, ['E', 'W']);
            format!("B{}{lat}{lat_m}{ns}{lon}{lon_m}{ew}A{:05}{:05}{:05}{:03}\n", p.time().format("%H%M%S"), p.altitude_m, p.altitude_m, p.speed_centi_kmh, p.course_deg)
        }).collect();
        let date = points[0].time().format("%d%m%y");
        let log = read_text(&format!("AXXX001\nHFDTEDATE:{date},01\nI023640GSP4143TRT\n{rows}"));
        // A column of courses that are all 0 is taken as empty, rightly: skip that flight.
        prop_assume!(points.iter().any(|p| p.course_deg > 0));
        assert_same(&log, &points, 1e-12)?;
    }

    #[test]
    fn nmea(points in flight()) {
        let mut text = String::new();
        for p in &points {
            let (lat, lat_m, ns) = arc(p.lat_milliminutes, 2, ['N', 'S']);
            let (lon, lon_m, ew) = arc(p.lon_milliminutes, 3, ['E', 'W']);
            let minutes = |m: &str| format!("{}.{}", &m[..2], &m[2..]);
            let position = format!("{lat}{},{ns},{lon}{},{ew}", minutes(&lat_m), minutes(&lon_m));
            let time = p.time().format("%H%M%S.00");
            let knots = p.speed_mps() * 3600.0 / 1852.0;
            for body in [
                format!("GNRMC,{time},A,{position},{knots:.4},{},{},,,A", p.course_deg, p.time().format("%d%m%y")),
                format!("GNGGA,{time},{position},1,09,0.9,{},M,47.0,M,,", p.altitude_m),
            ] {
                let sum = body.bytes().fold(0, |sum, byte| sum ^ byte);
                text.push_str(&format!("${body}*{sum:02X}\r\n"));
            }
        }
        // Half of the last digit of the knots written.
        assert_same(&read_text(&text), &points, 0.5e-4 * 1852.0 / 3600.0 + 1e-9)?;
    }

    /// The `gpx` crate as an oracle on well-formed files: same points, times, elevations.
    #[test]
    fn the_gpx_crate_reads_the_same(points in flight()) {
        let text = gpx_text(&points);
        let oracle = gpx::read(text.as_bytes()).expect("a well-formed file");
        let log = read_text(&text);
        let theirs: Vec<(f64, f64, Option<f64>, String)> = oracle.tracks[0].segments[0].points.iter().map(|w| {
            (w.point().y(), w.point().x(), w.elevation, w.time.expect("a time").format().expect("a time"))
        }).collect();
        let key = |f: &Fix| (f.lat_deg, f.lon_deg, f.gnss_altitude_m.get());
        prop_assert_eq!(theirs.iter().map(|t| (t.0, t.1, t.2)).collect::<Vec<_>>(), log.fixes.iter().map(key).collect::<Vec<_>>());
        for (theirs, fix) in theirs.iter().zip(&log.fixes) {
            prop_assert_eq!(DateTime::parse_from_rfc3339(&theirs.3).expect("RFC 3339").to_utc(), fix.time);
        }
    }
}
