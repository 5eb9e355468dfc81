//! Any text as a marks file: whole, and as rows beside a flight.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::marks(bytes)));
