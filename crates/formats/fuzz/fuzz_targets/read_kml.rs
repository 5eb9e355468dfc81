//! Any bytes inside of a KML track.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| driftless_formats_fuzz::targets::kml(bytes));
