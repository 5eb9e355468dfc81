//! The file of a logbook, in whose rows or pages bytes have changed something: read, changed, taken out and in again, or refused.
#![no_main]

use driftless_report_fuzz::{held::targets, judge};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| judge(targets::logbook(bytes)));
