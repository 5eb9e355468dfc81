//! The flights of a campaign, analysed side by side on all cores.

use super::load::Loaded;
use crate::terminal::{self, Progress};
use crate::{flight_files, input};
use driftless_analysis::campaign::model::{Flight, FlightId};
use driftless_analysis::campaign::{FlightFailure, FlightOutcome, FlightSummary};
use driftless_analysis::{Asked, FlightFiles, InputLimits, analyse_files};
use driftless_display::reasons::{file_not_used, flight_failure};
use driftless_units::printable;
use rayon::prelude::*;
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What became of all flights.
pub(super) struct Analysed {
    /// In the order of the campaign file.
    pub(super) outcomes: Vec<FlightOutcome>,
    /// Whether a file of a flight could not be read or used.
    pub(super) any_failed: bool,
}

/// Analyses every flight. Errors are told when all are done, in the order of the file.
pub(super) fn analyse(loaded: &Loaded, limits: &InputLimits) -> Analysed {
    let flights = &loaded.campaign.flights;
    let asked = Asked { command: String::new(), ..flight_files::asked(limits) };
    let progress = Progress::start(&loaded.name, flights.len());
    progress.step(0, "analysing flights");
    let done = AtomicUsize::new(0);
    let analysed: Vec<_> = flights
        .par_iter()
        .enumerate()
        .with_max_len(1)
        .map(|(index, flight)| {
            let outcome = match &flight.exclude {
                Some(_) => Err(FlightFailure::LeftOut),
                None => one(loaded, FlightId(index), flight, &asked),
            };
            progress.step(done.fetch_add(1, Ordering::Relaxed) + 1, "analysing flights");
            outcome
        })
        .collect();
    drop(progress);
    let mut any_failed = false;
    let mut failed = |why: &str| {
        terminal::error(why);
        any_failed = true;
    };
    let outcomes = analysed
        .into_iter()
        .inspect(|outcome| match outcome {
            Ok(summary) => {
                let told = |file| failed(&format!("{}: {}", printable(&summary.file), file_not_used(file)));
                summary.files_not_used.iter().for_each(told);
            }
            Err(why) if why.at_fault() => failed(&flight_failure(why)),
            Err(_) => (),
        })
        .collect();
    Analysed { outcomes, any_failed }
}

fn one(loaded: &Loaded, id: FlightId, flight: &Flight, asked: &Asked) -> FlightOutcome {
    let unread = |error: anyhow::Error| FlightFailure::NotRead(format!("{error:#}"));
    let limits = &asked.config.input;
    let log = loaded.folder.path(&flight.log);
    let bytes = input::bytes(&log, limits).map_err(unread)?;
    let text = |name: &Option<String>| {
        name.as_ref().map(|name| flight_files::text_file(&loaded.folder.path(name), limits)).transpose().map_err(unread)
    };
    let imu: Vec<PathBuf> = flight.imu.iter().map(|name| loaded.folder.path(name)).collect();
    let files = FlightFiles {
        name: input::given_name(&log),
        log: &bytes,
        marks: text(&flight.marks)?,
        inertial: flight_files::inertial(&imu, limits).map_err(unread)?,
        csv_mapping: text(&flight.csv_map)?,
    };
    match analyse_files(files, asked, &mut |_| ()) {
        Ok(analysis) => Ok(FlightSummary::of(id, analysis)),
        Err(refusal) => Err(FlightFailure::Refused(refusal)),
    }
}
