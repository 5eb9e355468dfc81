//! The invented logs that the readers are timed on: circles at 10 fixes a second, the same flight in every format.

use std::fmt::Write;

struct Fix {
    seconds: f64,
    lat_deg: f64,
    lon_deg: f64,
    altitude_m: f64,
    speed_mps: f64,
    course_deg: f64,
}

/// The flight in every format: the name of the file, and its bytes.
pub(crate) fn all(fixes: u32) -> Vec<(&'static str, Vec<u8>)> {
    vec![
        ("plain.gpx", gpx(fixes, Gpx::Plain).into_bytes()),
        ("speed-course.gpx", gpx(fixes, Gpx::Motion).into_bytes()),
        ("indented-sensors.gpx", gpx(fixes, Gpx::Indented).into_bytes()),
        ("flight.kml", kml(fixes).into_bytes()),
        ("flight.igc", igc(fixes).into_bytes()),
        ("flight.nmea", nmea(fixes).into_bytes()),
        ("flight.csv", csv(fixes).into_bytes()),
        ("flight.fit", fit(fixes)),
    ]
}

fn flight(fixes: u32) -> impl Iterator<Item = Fix> {
    (0..fixes).map(|i| {
        let seconds = f64::from(i) / 10.0;
        let angle = seconds * 0.05;
        Fix {
            seconds,
            lat_deg: 47.5 + 0.002 * angle.sin(),
            lon_deg: 8.25 - 0.003 * angle.cos(),
            altitude_m: 600.0 + 50.0 * (seconds * 0.01).sin(),
            speed_mps: 11.0 + angle.sin(),
            course_deg: (angle.to_degrees()).rem_euclid(360.0),
        }
    })
}

/// Hour, minute, second, tenth.
fn clock(seconds: f64) -> (u32, u32, u32, u32) {
    let tenths = (seconds * 10.0).round() as u32;
    (9 + tenths / 36_000, tenths / 600 % 60, tenths / 10 % 60, tenths % 10)
}

fn stamp(seconds: f64) -> String {
    let (h, m, s, t) = clock(seconds);
    format!("2026-05-01T{h:02}:{m:02}:{s:02}.{t}00Z")
}

#[derive(Clone, Copy, PartialEq)]
enum Gpx {
    /// Position, elevation and time, a point a line.
    Plain,
    /// With speed and course as extensions.
    Motion,
    /// Indented, with four fields of sensors.
    Indented,
}

fn gpx(fixes: u32, kind: Gpx) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"bench\" xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:x=\"urn:example\">\n<trk>\n<trkseg>\n",
    );
    for f in flight(fixes) {
        let (lat, lon, ele, time) = (f.lat_deg, f.lon_deg, f.altitude_m, stamp(f.seconds));
        let (speed, course) = (f.speed_mps, f.course_deg);
        let _ = match kind {
            Gpx::Plain => {
                writeln!(
                    text,
                    "<trkpt lat=\"{lat:.7}\" lon=\"{lon:.7}\"><ele>{ele:.1}</ele><time>{time}</time></trkpt>"
                )
            }
            Gpx::Motion => writeln!(
                text,
                "<trkpt lat=\"{lat:.7}\" lon=\"{lon:.7}\"><ele>{ele:.1}</ele><time>{time}</time><extensions><x:speed>{speed:.2}</x:speed>\
                 <x:course>{course:.1}</x:course></extensions></trkpt>"
            ),
            Gpx::Indented => writeln!(
                text,
                "      <trkpt lat=\"{lat:.8}\" lon=\"{lon:.8}\">\n        <ele>{ele:.2}</ele>\n        <time>{time}</time>\n        \
                 <extensions>\n          <x:TrackPointExtension>\n            <x:speed>{speed:.3}</x:speed>\n            <x:course>{course:.2}</x:course>\n            \
                 <x:hr>120</x:hr>\n            <x:atemp>14.5</x:atemp>\n          </x:TrackPointExtension>\n        </extensions>\n      </trkpt>"
            ),
        };
    }
    text + "</trkseg>\n</trk>\n</gpx>\n"
}

fn kml(fixes: u32) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\" xmlns:gx=\"http://www.google.com/kml/ext/2.2\">\n\
         <Placemark>\n<gx:Track>\n<altitudeMode>absolute</altitudeMode>\n",
    );
    for f in flight(fixes) {
        let _ = writeln!(text, "<when>{}</when>", stamp(f.seconds));
    }
    for f in flight(fixes) {
        let _ = writeln!(text, "<gx:coord>{:.7} {:.7} {:.1}</gx:coord>", f.lon_deg, f.lat_deg, f.altitude_m);
    }
    text + "</gx:Track>\n</Placemark>\n</kml>\n"
}

/// Degrees, and a hundred thousandths of minutes.
fn minutes(deg: f64) -> (u32, u32) {
    let steps = (deg * 6_000_000.0).round() as u32;
    (steps / 6_000_000, steps % 6_000_000)
}

/// Two more digits of minutes, speed, course and tenths of seconds as I columns.
fn igc(fixes: u32) -> String {
    let mut text = String::from("AXXX001\r\nHFDTEDATE:010526,01\r\nI053637LAD3839LOD4044GSP4547TRT4848TDS\r\n");
    for f in flight(fixes) {
        let (h, m, s, t) = clock(f.seconds);
        let ((d1, m1), (d2, m2)) = (minutes(f.lat_deg), minutes(f.lon_deg));
        let _ = write!(
            text,
            "B{h:02}{m:02}{s:02}{d1:02}{:05}N{d2:03}{:05}EA{:05.0}{:05.0}{:02}{:02}{:05.0}{:03.0}{t}\r\n",
            m1 / 100,
            m2 / 100,
            f.altitude_m - 30.0,
            f.altitude_m,
            m1 % 100,
            m2 % 100,
            f.speed_mps * 360.0,
            f.course_deg.floor()
        );
    }
    text
}

fn nmea(fixes: u32) -> String {
    let mut text = String::new();
    for f in flight(fixes) {
        let (h, m, s, t) = clock(f.seconds);
        let arc = |deg: f64, width: usize| format!("{:0width$}{:08.5}", deg.trunc(), deg.fract() * 60.0);
        let position = format!("{},N,{},E", arc(f.lat_deg, 2), arc(f.lon_deg, 3));
        for body in [
            format!(
                "GNRMC,{h:02}{m:02}{s:02}.{t}0,A,{position},{:.3},{:.2},010526,,,A",
                f.speed_mps * 3600.0 / 1852.0,
                f.course_deg
            ),
            format!("GNGGA,{h:02}{m:02}{s:02}.{t}0,{position},1,12,0.9,{:.1},M,47.0,M,,", f.altitude_m),
        ] {
            let sum = body.bytes().fold(0, |sum, byte| sum ^ byte);
            let _ = write!(text, "${body}*{sum:02X}\r\n");
        }
    }
    text
}

fn csv(fixes: u32) -> String {
    let mut text = String::from("time_utc,lat_deg,lon_deg,altitude_m,ground_speed_mps,course_deg\n");
    for f in flight(fixes) {
        let _ = writeln!(
            text,
            "{},{:.8},{:.8},{:.2},{:.3},{:.2}",
            stamp(f.seconds),
            f.lat_deg,
            f.lon_deg,
            f.altitude_m,
            f.speed_mps,
            f.course_deg
        );
    }
    text
}

/// One record a second: a FIT has no fractions of seconds. Time, position, altitude, speed.
fn fit(fixes: u32) -> Vec<u8> {
    const START_S: u32 = 1_777_626_000 - 631_065_600;
    let mut data = vec![0x40, 0, 0, 0, 0, 1, 0, 1, 0, 0, 4];
    data.extend([0x41, 0, 0, 20, 0, 5, 253, 4, 0x86, 0, 4, 0x85, 1, 4, 0x85, 78, 4, 0x86, 73, 4, 0x86]);
    for (second, f) in (0..).zip(flight(fixes)) {
        let semicircles = |deg: f64| (deg / 180.0 * 2_f64.powi(31)).round() as u32;
        let values = [
            START_S + second,
            semicircles(f.lat_deg),
            semicircles(f.lon_deg),
            ((f.altitude_m + 500.0) * 5.0).round() as u32,
            (f.speed_mps * 1000.0).round() as u32,
        ];
        data.push(1);
        data.extend(values.iter().flat_map(|value| value.to_le_bytes()));
    }
    let mut file = vec![12, 0x20, 0x54, 8];
    file.extend((data.len() as u32).to_le_bytes());
    file.extend(b".FIT");
    file.extend(data);
    let sum = file.iter().fold(0_u16, |sum, &byte| {
        (0..8).fold(sum ^ u16::from(byte), |sum, _| if sum & 1 == 1 { (sum >> 1) ^ 0xa001 } else { sum >> 1 })
    });
    file.extend(sum.to_le_bytes());
    file
}
