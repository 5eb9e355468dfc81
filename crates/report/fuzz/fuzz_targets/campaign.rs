//! Any text as a campaign file; what is read is written and read again.
#![no_main]

use driftless_analysis::InputLimits;
use driftless_analysis::campaign::file::{AnyFolder, read_within, write};

libfuzzer_sys::fuzz_target!(|text: &str| {
    match read_within(text, "campaign.toml", &AnyFolder, &InputLimits::default()) {
        Ok(campaign) => {
            let written = write(&campaign);
            let again = read_within(&written, "campaign.toml", &AnyFolder, &InputLimits::default());
            assert!(again.is_ok(), "what was written cannot be read: {again:?}\n{written}");
        }
        Err(faults) => assert!(!faults.to_string().is_empty(), "refused without a word"),
    }
});
