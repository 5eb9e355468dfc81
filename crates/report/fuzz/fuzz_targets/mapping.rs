//! Any text as a column mapping, of a log and of inertial data.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::mapping(bytes)));
