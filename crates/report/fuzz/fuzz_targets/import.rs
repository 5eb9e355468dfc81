//! Any text as the campaign file of a folder that holds whatever it names; what is taken goes out and comes in again.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::import(bytes)));
