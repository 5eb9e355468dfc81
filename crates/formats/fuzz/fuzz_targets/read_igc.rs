//! Any lines behind the date of an IGC file.
#![no_main]

use driftless_formats::{ReadHint, read};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let file = [&b"HFDTE010526\nI033637LAD3839LOD4042TDS\nB0900004730000N00815000EA00570006001234000\n"[..], bytes].concat();
    let _ = read(&file, &ReadHint::default());
});
