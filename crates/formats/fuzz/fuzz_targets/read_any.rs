//! Any bytes as a file.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| driftless_formats_fuzz::targets::any(bytes));
