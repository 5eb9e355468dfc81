//! Any bytes as an archive with a campaign; what is taken goes out and comes in again.
#![no_main]

use driftless_analysis::InputLimits;
use driftless_logbook::{Logbook, archive::pack};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let mut logbook = Logbook::in_memory().expect("a logbook in memory");
    let now = chrono::DateTime::from_timestamp(1_780_000_000, 0).expect("a time");
    if let Ok(campaign) = logbook.import_archive(bytes, &InputLimits::default(), now) {
        let out = logbook.export_campaign(campaign).expect("what came in goes out");
        let archive =
            pack(out.files.iter().map(|(path, content)| (path.as_str(), content.as_slice()))).expect("an archive");
        logbook.import_archive(&archive, &InputLimits::default(), now).expect("and comes in again");
    }
});
