//! Any bytes inside of a KML track.
#![no_main]

use driftless_formats::{ReadHint, read};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let file = [&b"<kml><Placemark><gx:Track>"[..], bytes].concat();
    let _ = read(&file, &ReadHint::default());
});
