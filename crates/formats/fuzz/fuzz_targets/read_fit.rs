//! Any bytes behind the header of a FIT file and the layout of a record: time, latitude, longitude.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| driftless_formats_fuzz::targets::fit(bytes));
