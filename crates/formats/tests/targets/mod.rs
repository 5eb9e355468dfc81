//! What the fuzz targets do with their bytes: by name, so that the fuzzers of `crates/formats/fuzz` and the replay of what they
//! found (`tests/corpus.rs`) do the same.

use crate::held::check;

/// A target: bytes in, a panic where a promise is broken.
type Target = fn(&[u8]);

/// Every target by the name of its binary and of its kept corpus.
pub const TARGETS: [(&str, Target); 7] = [
    ("read_any", any),
    ("read_csv", csv),
    ("read_fit", fit),
    ("read_gpx", gpx),
    ("read_igc", igc),
    ("read_kml", kml),
    ("read_nmea", nmea),
];

/// Any bytes as a file.
pub fn any(bytes: &[u8]) {
    check(bytes);
}

/// Any rows below a header.
pub fn csv(bytes: &[u8]) {
    behind(b"time_utc,lat_deg,lon_deg,altitude_m,ground_speed_kmh,course_deg,mark\n", bytes);
}

/// Any bytes behind the header of a FIT file and the layout of a record: time, latitude, longitude.
pub fn fit(bytes: &[u8]) {
    behind(b"\x0c\x10\0\0\0\0\0\0.FIT\x40\0\0\x14\0\x03\xfd\x04\x86\0\x04\x85\x01\x04\x85", bytes);
}

/// Any bytes inside of a GPX track.
pub fn gpx(bytes: &[u8]) {
    behind(b"<gpx><trk><trkseg>", bytes);
}

/// Any lines behind the date of an IGC file.
pub fn igc(bytes: &[u8]) {
    behind(b"HFDTE010526\nI033637LAD3839LOD4042TDS\nB0900004730000N00815000EA00570006001234000\n", bytes);
}

/// Any bytes inside of a KML track.
pub fn kml(bytes: &[u8]) {
    behind(b"<kml><Placemark><gx:Track>", bytes);
}

/// Any bytes behind one good sentence, as they are and with the checksum of every sentence put right: changed bytes hardly ever
/// find one, and nothing behind the checksum would be reached.
pub fn nmea(bytes: &[u8]) {
    let head = b"$GPRMC,,V,,,,,,,,,,N*53\r\n";
    behind(head, bytes);
    behind(head, &with_checksums(bytes));
}

/// Each line from `$` to `*` with the checksum that it should have behind the star (NMEA 0183: exclusive or of all between).
fn with_checksums(bytes: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    for line in bytes.split(|&byte| byte == b'\n') {
        let sentence = line.split(|&byte| byte == b'*').next().unwrap_or_default();
        out.extend_from_slice(sentence);
        if let Some(body) = sentence.strip_prefix(b"$") {
            let sum = body.iter().fold(0, |sum, byte| sum ^ byte);
            out.extend_from_slice(format!("*{sum:02X}\r").as_bytes());
        }
        out.push(b'\n');
    }
    out
}

fn behind(head: &[u8], bytes: &[u8]) {
    check(&[head, bytes].concat());
}
