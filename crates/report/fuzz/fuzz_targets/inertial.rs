//! Any bytes as an inertial file: whole, and as rows below a header.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::inertial(bytes)));
