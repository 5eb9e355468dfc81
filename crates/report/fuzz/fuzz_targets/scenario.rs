//! Any text as a scenario; what flies is written in its formats.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::scenario(bytes)));
