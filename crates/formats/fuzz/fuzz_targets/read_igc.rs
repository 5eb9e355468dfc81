//! Any lines behind the date of an IGC file.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| driftless_formats_fuzz::targets::igc(bytes));
