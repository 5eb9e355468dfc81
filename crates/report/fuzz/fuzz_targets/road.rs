//! Any bytes as a log, into every output.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    driftless_report_fuzz::report(bytes, None, None, None);
});
