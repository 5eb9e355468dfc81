//! Each reader as a function from bytes to the number of positions it found, so that nothing is left out as unused.

use driftless_formats::{ReadHint, read};
use quick_xml::events::Event;
use serde::Deserialize;
use std::hint::black_box;

/// A reader of one file.
pub type Reader = fn(&[u8]) -> usize;

/// Who reads this file, by the end of its name, with what it leaves out; the first is ours.
pub fn of(name: &str) -> Vec<(&'static str, Reader)> {
    let ours: (&str, Reader) = ("driftless", ours);
    match name.rsplit('.').next().unwrap_or_default() {
        "gpx" => vec![ours, ("crate gpx (no extensions)", gpx_crate), ("crate quick-xml (events alone)", quick_xml_alone)],
        "kml" => vec![ours, ("crate quick-xml (events alone)", quick_xml_alone)],
        "igc" => vec![ours, ("crate igc (no I columns)", igc_crate)],
        "nmea" => vec![ours, ("crate nmea (sentences alone)", nmea_crate)],
        "csv" => vec![ours, ("crate csv with serde (no times)", csv_serde), ("crate csv (cells alone)", csv_cells)],
        "fit" => vec![ours, ("crate fitparser", fit_crate)],
        _ => vec![ours],
    }
}

pub fn ours(bytes: &[u8]) -> usize {
    read(bytes, &ReadHint::default()).map_or(0, |log| black_box(log).fixes.len())
}

fn gpx_crate(bytes: &[u8]) -> usize {
    let log = black_box(gpx::read(bytes)).expect("a GPX that the crate reads");
    log.tracks.iter().flat_map(|track| &track.segments).map(|segment| segment.points.len()).sum()
}

fn quick_xml_alone(bytes: &[u8]) -> usize {
    let text = std::str::from_utf8(bytes).expect("UTF-8");
    let mut reader = quick_xml::Reader::from_str(text);
    reader.config_mut().check_end_names = false;
    let mut points = 0;
    loop {
        match reader.read_event().expect("well-formed") {
            Event::Start(element) => points += usize::from(matches!(element.local_name().as_ref(), "trkpt" | "coord")),
            Event::Eof => return points,
            event => {
                black_box(event);
            }
        }
    }
}

fn igc_crate(bytes: &[u8]) -> usize {
    let text = std::str::from_utf8(bytes).expect("UTF-8");
    let records = igc::parse_records(text).filter_map(|record| match record.expect("a record") {
        igc::records::Record::B(fix) => Some((fix.timestamp, fix.pos, fix.pressure_alt, fix.gps_alt)),
        _ => None,
    });
    black_box(records.collect::<Vec<_>>()).len()
}

fn nmea_crate(bytes: &[u8]) -> usize {
    let sentences = bytes.split(|&b| b == b'\n').filter(|line| !line.is_empty());
    let sentences = sentences.map(|line| nmea::parse_bytes(line).expect("a sentence"));
    black_box(sentences.collect::<Vec<_>>()).len() / 2
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Row<'a> {
    time_utc: &'a str,
    lat_deg: f64,
    lon_deg: f64,
    altitude_m: Option<f64>,
    ground_speed_mps: Option<f64>,
    course_deg: Option<f64>,
}

/// Rows without a copy of their text, into a table of numbers.
fn csv_serde(bytes: &[u8]) -> usize {
    let mut reader = csv::Reader::from_reader(bytes);
    let header = reader.headers().expect("a header").clone();
    let mut record = csv::StringRecord::new();
    let mut rows = Vec::new();
    while reader.read_record(&mut record).expect("a row") {
        let row: Row<'_> = record.deserialize(Some(&header)).expect("six values");
        rows.push((row.lat_deg, row.lon_deg, row.altitude_m, row.ground_speed_mps, row.course_deg, row.time_utc.len()));
    }
    black_box(rows).len()
}

fn csv_cells(bytes: &[u8]) -> usize {
    let mut reader = csv::Reader::from_reader(bytes);
    let mut record = csv::ByteRecord::new();
    let mut rows = 0;
    while reader.read_byte_record(&mut record).expect("a row") {
        rows += usize::from(black_box(&record).len() == 6);
    }
    rows
}

fn fit_crate(bytes: &[u8]) -> usize {
    let records = black_box(fitparser::from_bytes(bytes)).expect("a FIT that the crate reads");
    records.iter().filter(|record| record.kind() == fitparser::profile::MesgNum::Record).count()
}
