//! Any text as a column mapping, of a log and of inertial data.
#![no_main]

use driftless_analysis::InertialFile;
use driftless_report_fuzz::{LOG, report};

libfuzzer_sys::fuzz_target!(|text: &str| {
    report(LOG, None, Some(text), None);
    report(LOG, None, None, Some(InertialFile::new("sensor".to_owned(), LOG.to_vec(), Some(text.to_owned()))));
});
