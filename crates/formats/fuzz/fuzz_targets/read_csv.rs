//! Any rows below a header.
#![no_main]

use driftless_formats::{ReadHint, read};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let file = [&b"time_utc,lat_deg,lon_deg,altitude_m,ground_speed_kmh,course_deg,mark\n"[..], bytes].concat();
    let _ = read(&file, &ReadHint::default());
});
