//! FIT fixtures, and the writer that they are made with: header, definitions, messages, checksum.

use super::Made;
use super::turn::{TurnFix, turn};

/// 2026-05-01T09:00:00Z in seconds since 1989-12-31.
const START_S: u32 = 1_777_626_000 - 631_065_600;

/// Base types of the profile.
const ENUM: u8 = 0x00;
const SINT32: u8 = 0x85;
const UINT16: u8 = 0x84;
const UINT32: u8 = 0x86;
const UINT8: u8 = 0x02;

/// Number, size and base type of a field.
type FieldOf = (u8, u8, u8);

const FILE_ID: &[FieldOf] = &[(0, 1, ENUM)];
const RECORD: &[FieldOf] = &[(253, 4, UINT32), (0, 4, SINT32), (1, 4, SINT32), (78, 4, UINT32), (73, 4, UINT32)];

pub(crate) struct FitWriter {
    data: Vec<u8>,
    pub(crate) big_endian: bool,
}

impl FitWriter {
    /// A file of this kind: 4 is an activity, 6 a course, 5 a workout.
    pub(crate) fn new(kind: u8) -> Self {
        let mut writer = Self { data: Vec::new(), big_endian: false };
        writer.define(0, 0, FILE_ID, &[]);
        writer.message(0, &[&[kind]]);
        writer
    }

    fn number(&self, value: u32, bytes: usize) -> Vec<u8> {
        let little = value.to_le_bytes();
        let kept = &little[..bytes];
        if self.big_endian { kept.iter().rev().copied().collect() } else { kept.to_vec() }
    }

    /// A layout; developer fields are (number, size, index of the developer).
    pub(crate) fn define(&mut self, local: u8, global: u16, fields: &[FieldOf], developer: &[FieldOf]) {
        let flag = if developer.is_empty() { 0 } else { 0x20 };
        self.data.extend([0x40 | flag | local, 0, u8::from(self.big_endian)]);
        self.data.extend(self.number(u32::from(global), 2));
        for list in [Some(fields), Some(developer).filter(|list| !list.is_empty())].into_iter().flatten() {
            self.data.push(list.len() as u8);
            self.data.extend(list.iter().flat_map(|&(number, size, base)| [number, size, base]));
        }
    }

    /// A message, by its first byte: a local number, or a compressed time.
    pub(crate) fn message(&mut self, head: u8, fields: &[&[u8]]) {
        self.data.push(head);
        self.data.extend(fields.concat());
    }

    /// A record in the layout `RECORD`; `None` is written as the value that means none.
    pub(crate) fn record(
        &mut self,
        local: u8,
        second: u32,
        place: Option<(f64, f64)>,
        altitude_m: f64,
        speed_mps: f64,
    ) {
        let semicircles = |deg: f64| (deg / 180.0 * 2_f64.powi(31)).round() as i32 as u32;
        let (lat, lon) = place.map_or((0x7fff_ffff, 0x7fff_ffff), |(lat, lon)| (semicircles(lat), semicircles(lon)));
        let altitude = ((altitude_m + 500.0) * 5.0).round() as u32;
        let speed = (speed_mps * 1000.0).round() as u32;
        let values = [START_S.wrapping_add(second), lat, lon, altitude, speed].map(|value| self.number(value, 4));
        self.message(local, &values.each_ref().map(Vec::as_slice));
    }

    fn turn(&mut self, fixes: &[TurnFix]) {
        for fix in fixes {
            self.record(1, fix.second, Some((fix.lat_deg(), fix.lon_deg())), fix.altitude_m(), 10.47);
        }
    }

    /// The file with a header of 14 bytes, or of 12, which has no checksum.
    pub(crate) fn finish(self, header_length: u8) -> Vec<u8> {
        let mut file = vec![header_length, 0x20];
        file.extend(2132_u16.to_le_bytes());
        file.extend((self.data.len() as u32).to_le_bytes());
        file.extend(b".FIT");
        if header_length == 14 {
            let sum = checksum(&file);
            file.extend(sum.to_le_bytes());
        }
        file.extend(self.data);
        let sum = checksum(&file);
        file.extend(sum.to_le_bytes());
        file
    }
}

/// As the protocol writes it, four bits at a time; the reader takes eight.
fn checksum(bytes: &[u8]) -> u16 {
    const TABLE: [u16; 16] = [
        0x0000, 0xcc01, 0xd801, 0x1400, 0xf001, 0x3c00, 0x2800, 0xe401, 0xa001, 0x6c00, 0x7800, 0xb401, 0x5000, 0x9c01,
        0x8801, 0x4400,
    ];
    bytes.iter().fold(0, |sum, &byte| {
        let sum = (sum >> 4) ^ TABLE[usize::from(sum & 0xf)] ^ TABLE[usize::from(byte & 0xf)];
        (sum >> 4) ^ TABLE[usize::from(sum & 0xf)] ^ TABLE[usize::from(byte >> 4)]
    })
}

pub(crate) fn all() -> Vec<Made> {
    let fit = |name: &str, bytes: Vec<u8>| (format!("fit/{name}"), bytes);
    let whole = activity().finish(14);
    let mut damaged = whole.clone();
    // The sixth altitude.
    let at = whole.len() - 2 - 6 * 21 - 5;
    damaged[at] ^= 0x10;
    let mut unclosed = whole.clone();
    unclosed[4..8].copy_from_slice(&[0; 4]);
    unclosed.truncate(whole.len() - 40);
    unclosed[12..14].copy_from_slice(&[0; 2]);
    let mut long_header = whole.clone();
    long_header[0] = 255;
    vec![
        fit("good/activity.fit", whole.clone()),
        fit("good/big-endian-old-fields.fit", old_fields()),
        fit("good/developer-fields-and-stops.fit", developer_fields()),
        fit("odd/compressed-times.fit", compressed_times()),
        fit("odd/no-position-at-first.fit", no_position_at_first()),
        fit("odd/two-files.fit", [half(0), half(6)].concat()),
        fit("odd/time-since-power-up.fit", power_up()),
        fit("odd/one-of-each-bad-record.fit", bad_records()),
        fit("hostile/bad-checksum.fit", damaged),
        fit("hostile/cut-off.fit", whole[..whole.len() - 50].to_vec()),
        fit("hostile/never-closed.fit", unclosed),
        fit("hostile/layout-missing.fit", layout_missing()),
        fit("hostile/long-header.fit", long_header),
        fit("hostile/header-only.fit", whole[..14].to_vec()),
        fit("hostile/indoor.fit", indoor()),
        fit("hostile/course.fit", of_kind(6)),
        fit("hostile/workout.fit", FitWriter::new(5).finish(14)),
    ]
}

fn of_kind(kind: u8) -> Vec<u8> {
    let mut writer = FitWriter::new(kind);
    writer.define(1, 20, RECORD, &[]);
    writer.turn(&turn());
    writer.finish(14)
}

fn activity() -> FitWriter {
    let mut writer = FitWriter::new(4);
    writer.define(1, 20, RECORD, &[]);
    writer.turn(&turn());
    writer
}

/// The fields of old devices, in the other order of bytes, behind a header without checksum: altitude in fifths of a
/// metre, speed in mm/s, both in two bytes, a pulse between them.
fn old_fields() -> Vec<u8> {
    let mut writer = FitWriter::new(4);
    writer.big_endian = true;
    let fields = [(0, 4, SINT32), (1, 4, SINT32), (3, 1, UINT8), (2, 2, UINT16), (6, 2, UINT16), (253, 4, UINT32)];
    writer.define(1, 20, &fields, &[]);
    for fix in turn() {
        let semicircles = |deg: f64| (deg / 180.0 * 2_f64.powi(31)).round() as u32;
        let altitude = ((fix.altitude_m() + 500.0) * 5.0).round() as u32;
        let numbers = [
            writer.number(semicircles(fix.lat_deg()), 4),
            writer.number(semicircles(fix.lon_deg()), 4),
            vec![120],
            writer.number(altitude, 2),
            writer.number(10_470, 2),
            writer.number(START_S + fix.second, 4),
        ];
        writer.message(1, &numbers.each_ref().map(Vec::as_slice));
    }
    writer.finish(12)
}

/// A developer's field in each record, the timer stopped and started between them, a lap, a text, a second session.
fn developer_fields() -> Vec<u8> {
    let mut writer = FitWriter::new(4);
    writer.define(1, 20, RECORD, &[(0, 2, 0)]);
    writer.define(2, 21, &[(253, 4, UINT32), (0, 1, ENUM), (1, 1, ENUM)], &[]);
    writer.define(3, 18, &[(253, 4, UINT32), (110, 8, 0x07)], &[]);
    for fix in turn() {
        writer.record(1, fix.second, Some((fix.lat_deg(), fix.lon_deg())), fix.altitude_m(), 10.47);
        writer.data.extend([0x12, 0x34]);
        if fix.second == 5 {
            let time = (START_S + 5).to_le_bytes();
            writer.message(2, &[&time, &[0], &[4]]);
            writer.message(2, &[&time, &[0], &[0]]);
            writer.message(3, &[&time, b"session\0"]);
        }
    }
    writer.finish(14)
}

/// The time once, then the seconds that follow as five bits in the first byte of each record, past where these go round.
fn compressed_times() -> Vec<u8> {
    let mut writer = activity();
    writer.data.truncate(writer.data.len() - 11 * 21);
    writer.define(2, 20, &[(0, 4, SINT32), (1, 4, SINT32), (78, 4, UINT32), (73, 4, UINT32)], &[]);
    for fix in turn().into_iter().skip(1) {
        let before = writer.data.len();
        writer.record(1, fix.second, Some((fix.lat_deg(), fix.lon_deg())), fix.altitude_m(), 10.47);
        let low_bits = ((START_S + 5 * fix.second) % 32) as u8;
        writer.data[before] = 0x80 | 2 << 5 | low_bits;
        writer.data.drain(before + 1..before + 5);
    }
    writer.finish(14)
}

fn no_position_at_first() -> Vec<u8> {
    let mut writer = FitWriter::new(4);
    writer.define(1, 20, RECORD, &[]);
    for second in 0..3 {
        writer.record(1, second, None, 600.0, 0.0);
    }
    writer.turn(&turn()[3..]);
    writer.finish(14)
}

fn half(from: usize) -> Vec<u8> {
    let mut writer = FitWriter::new(4);
    writer.define(1, 20, RECORD, &[]);
    writer.turn(&turn()[from..from + 6]);
    writer.finish(14)
}

fn power_up() -> Vec<u8> {
    let mut bytes = FitWriter::new(4);
    bytes.define(1, 20, RECORD, &[]);
    for second in 0_u32..3 {
        bytes.record(1, second.wrapping_sub(START_S) + 40, Some((47.5, 8.25)), 600.0, 10.47);
    }
    bytes.finish(14)
}

/// Latitude 95, an altitude of 100 km, a speed of 600 m/s, a layout with a latitude in two bytes, a good record.
fn bad_records() -> Vec<u8> {
    let mut writer = FitWriter::new(4);
    writer.define(1, 20, RECORD, &[]);
    writer.record(1, 0, Some((95.0, 8.25)), 600.0, 10.47);
    writer.record(1, 1, Some((47.5, 8.25)), 100_000.0, 10.47);
    writer.record(1, 2, Some((47.5, 8.25)), 600.0, 600.0);
    writer.record(1, 3, Some((47.5, 8.25)), 600.0, 10.47);
    writer.define(1, 20, &[(253, 4, UINT32), (0, 2, SINT32), (1, 4, SINT32)], &[]);
    writer.message(1, &[&[0; 10]]);
    writer.finish(14)
}

fn layout_missing() -> Vec<u8> {
    let mut writer = activity();
    writer.message(9, &[&[1, 2, 3]]);
    writer.turn(&turn());
    writer.finish(14)
}

fn indoor() -> Vec<u8> {
    let mut writer = FitWriter::new(4);
    writer.define(1, 20, &[(253, 4, UINT32), (3, 1, UINT8)], &[]);
    for second in 0..20 {
        writer.message(1, &[&(START_S + second).to_le_bytes(), &[120]]);
    }
    writer.finish(14)
}
