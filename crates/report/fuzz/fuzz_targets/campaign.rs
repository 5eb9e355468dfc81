//! Any text as a campaign file; what is read is written and read again, and goes into every output.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::campaign(bytes)));
