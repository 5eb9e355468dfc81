//! The flights of a campaign, analysed side by side on all cores.

use super::load::Loaded;
use crate::terminal::{self, Progress};
use crate::{flight_files, input};
use driftless_analysis::campaign::model::{Flight, FlightId};
use driftless_analysis::campaign::{FlightOutcome, FlightSummary};
use driftless_analysis::{Asked, FlightFiles, InputLimits, analyse_files};
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

/// A flight that gives no analysis.
struct Failure {
    /// Why, with the file.
    why: String,
    /// Whether one of its files is at fault; else they were read, and hold no track.
    at_fault: bool,
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
                Some(reason) => Err(Failure { why: reason.clone(), at_fault: false }),
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
        .map(|outcome| match outcome {
            Ok(summary) => {
                summary.files_not_used.iter().for_each(|why| failed(why));
                Ok(summary)
            }
            Err(failure) => {
                if failure.at_fault {
                    failed(&failure.why);
                }
                Err(failure.why)
            }
        })
        .collect();
    Analysed { outcomes, any_failed }
}

fn one(loaded: &Loaded, id: FlightId, flight: &Flight, asked: &Asked) -> Result<FlightSummary, Failure> {
    let unread = |error: anyhow::Error| Failure { why: format!("{error:#}"), at_fault: true };
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
        Err(refusal) => Err(Failure { why: refusal.to_string(), at_fault: !refusal.nothing_usable() }),
    }
}
