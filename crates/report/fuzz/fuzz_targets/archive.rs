//! Any bytes as an archive with a campaign; what is taken goes out and comes in again.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::archive(bytes)));
