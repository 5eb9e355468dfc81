//! The flights of a campaign, analysed side by side on all cores, with progress and what failed in words.

use crate::flight_files;
use crate::terminal::{self, Progress};
use driftless_analysis::campaign::FlightOutcome;
use driftless_analysis::{Asked, InputLimits};
use driftless_display::reasons::{file_not_used, flight_failure};
use driftless_files::{LoadedCampaign, analyse_flights};
use driftless_units::printable;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// What became of all flights.
pub(super) struct Analysed {
    /// In the order of the campaign file.
    pub(super) outcomes: Vec<FlightOutcome>,
    /// Whether a file of a flight could not be read or used.
    pub(super) any_failed: bool,
}

/// Analyses every flight. Errors are told when all are done, in the order of the file.
pub(super) fn analyse(loaded: &LoadedCampaign, limits: &InputLimits) -> Analysed {
    let asked = Asked { command: String::new(), ..flight_files::asked(limits) };
    let progress = Progress::start(&loaded.name, loaded.campaign.flights.len());
    progress.step(0, "analysing flights");
    let done = AtomicUsize::new(0);
    let outcomes = analyse_flights(loaded, &asked, &AtomicBool::new(false), &|| {
        progress.step(done.fetch_add(1, Ordering::Relaxed) + 1, "analysing flights");
    });
    drop(progress);
    let mut any_failed = false;
    let mut failed = |why: &str| {
        terminal::error(why);
        any_failed = true;
    };
    for outcome in &outcomes {
        match outcome {
            Ok(summary) => {
                let told = |file| failed(&format!("{}: {}", printable(&summary.file), file_not_used(file)));
                summary.files_not_used.iter().for_each(told);
            }
            Err(why) if why.at_fault() => failed(&flight_failure(why)),
            Err(_) => (),
        }
    }
    Analysed { outcomes, any_failed }
}
