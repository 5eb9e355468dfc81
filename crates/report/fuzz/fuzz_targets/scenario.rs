//! Any text as a scenario; what flies is written in its formats.
#![no_main]

use driftless_sim::{Scenario, render_within};
use driftless_track::{InputLimit, InputLimits};

libfuzzer_sys::fuzz_target!(|text: &str| {
    let Ok(scenario) = Scenario::from_toml(text) else { return };
    // Longer flights only take longer.
    let limits = InputLimits::default().with(InputLimit::ScenarioSeconds, 120);
    let _ = render_within(&scenario, 1, &limits);
});
