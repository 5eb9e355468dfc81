//! Any bytes behind one good sentence.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| driftless_formats_fuzz::targets::nmea(bytes));
