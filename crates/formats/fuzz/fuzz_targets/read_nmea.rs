//! Any bytes behind one good sentence.
#![no_main]

use driftless_formats::{ReadHint, read};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let file = [&b"$GPRMC,,V,,,,,,,,,,N*53\r\n"[..], bytes].concat();
    let _ = read(&file, &ReadHint::default());
});
