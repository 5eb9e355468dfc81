//! Any bytes inside of a GPX track.
#![no_main]

use driftless_formats::{ReadHint, read};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let file = [&b"<gpx><trk><trkseg>"[..], bytes].concat();
    let _ = read(&file, &ReadHint::default());
});
