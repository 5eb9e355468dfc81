//! Bytes as a sensor that flies along, and as the flight, into every output.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::aligned(bytes)));
