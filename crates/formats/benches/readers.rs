//! Throughput of each reader on a generated log of an hour at 10 Hz, file in memory.
//!
//! `cargo bench -p driftless-formats` prints MB/s (MiB/s, strictly: criterion's unit) per format.

#![allow(missing_docs)] // The macros of criterion make public items without any.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use driftless_formats::{ReadHint, read};
use std::fmt::Write;
use std::hint::black_box;

const FIXES: u32 = 36_000;

struct Fix {
    seconds: f64,
    lat_deg: f64,
    lon_deg: f64,
    altitude_m: f64,
    speed_mps: f64,
    course_deg: f64,
}

fn flight() -> impl Iterator<Item = Fix> {
    (0..FIXES).map(|i| {
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

fn clock(seconds: f64) -> (u32, u32, u32, u32) {
    let tenths = (seconds * 10.0).round() as u32;
    (9 + tenths / 36_000, tenths / 600 % 60, tenths / 10 % 60, tenths % 10)
}

fn gpx() -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"bench\" xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:x=\"urn:example\">\n<trk>\n<trkseg>\n",
    );
    for f in flight() {
        let (h, m, s, t) = clock(f.seconds);
        let _ = writeln!(
            text,
            "      <trkpt lat=\"{:.8}\" lon=\"{:.8}\">\n        <ele>{:.2}</ele>\n        <time>2026-05-01T{h:02}:{m:02}:{s:02}.{t}00Z</time>\n        \
             <extensions>\n          <x:TrackPointExtension>\n            <x:speed>{:.3}</x:speed>\n            <x:course>{:.2}</x:course>\n          \
             </x:TrackPointExtension>\n        </extensions>\n      </trkpt>",
            f.lat_deg, f.lon_deg, f.altitude_m, f.speed_mps, f.course_deg
        );
    }
    text + "</trkseg>\n</trk>\n</gpx>\n"
}

fn minutes(deg: f64) -> (u32, u32) {
    let milliminutes = (deg * 60_000.0).round() as u32;
    (milliminutes / 60_000, milliminutes % 60_000)
}

fn igc() -> String {
    let mut text = String::from("AXXX001\r\nHFDTEDATE:010526,01\r\nI053638FXA3939TDS4044GSP4547TRT4850ENL\r\n");
    for f in flight() {
        let (h, m, s, t) = clock(f.seconds);
        let ((d1, m1), (d2, m2)) = (minutes(f.lat_deg), minutes(f.lon_deg));
        let _ = write!(
            text,
            "B{h:02}{m:02}{s:02}{d1:02}{m1:05}N{d2:03}{m2:05}EA{:05.0}{:05.0}005{t}{:05.0}{:03.0}120\r\n",
            f.altitude_m - 30.0,
            f.altitude_m,
            f.speed_mps * 360.0,
            f.course_deg.floor()
        );
    }
    text
}

fn nmea() -> String {
    let mut text = String::new();
    for f in flight() {
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

fn csv() -> String {
    let mut text = String::from("time_utc,lat_deg,lon_deg,altitude_m,ground_speed_mps,course_deg\n");
    for f in flight() {
        let (h, m, s, t) = clock(f.seconds);
        let _ = writeln!(
            text,
            "2026-05-01T{h:02}:{m:02}:{s:02}.{t}00Z,{:.8},{:.8},{:.2},{:.3},{:.2}",
            f.lat_deg, f.lon_deg, f.altitude_m, f.speed_mps, f.course_deg
        );
    }
    text
}

fn readers(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("read");
    for (name, text) in [("gpx", gpx()), ("igc", igc()), ("nmea", nmea()), ("csv", csv())] {
        let log = read(text.as_bytes(), &ReadHint::default()).expect("a generated log");
        assert_eq!((log.fixes.len(), log.problems.len()), (FIXES as usize, 0), "{name}: {:?}", log.problems);
        group.throughput(Throughput::BytesDecimal(text.len() as u64));
        group.bench_function(name, |bench| bench.iter(|| read(black_box(text.as_bytes()), &ReadHint::default())));
    }
    group.finish();
}

criterion_group!(benches, readers);
criterion_main!(benches);
