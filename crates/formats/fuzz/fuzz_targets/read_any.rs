//! Any bytes as a file.
#![no_main]

use driftless_formats::{ReadHint, read};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = read(bytes, &ReadHint::default());
});
