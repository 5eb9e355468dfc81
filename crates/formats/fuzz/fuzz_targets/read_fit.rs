//! Any bytes behind the header of a FIT file and the layout of a record: time, latitude, longitude.
#![no_main]

use driftless_formats::{ReadHint, read};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let head = b"\x0c\x10\0\0\0\0\0\0.FIT\x40\0\0\x14\0\x03\xfd\x04\x86\0\x04\x85\x01\x04\x85";
    let file = [&head[..], bytes].concat();
    let _ = read(&file, &ReadHint::default());
});
