//! Bytes as the legs of a flight with its marks, into every output.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::flight(bytes)));
