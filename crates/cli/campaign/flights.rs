//! The flights of a campaign, analysed side by side on all cores.

use super::load::Loaded;
use crate::terminal::{self, Progress};
use crate::{dates, input};
use anyhow::Context;
use chrono::Utc;
use driftless_analysis::campaign::model::{Flight, FlightId};
use driftless_analysis::campaign::{FlightOutcome, FlightSummary};
use driftless_analysis::{FlightConfig, FlightInput, analyse_flight};
use driftless_formats::{ReadHint, read};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What became of all flights.
pub(super) struct Analysed {
    /// In the order of the campaign file.
    pub(super) outcomes: Vec<FlightOutcome>,
    /// Whether a log or marks file could not be read at all.
    pub(super) any_failed: bool,
}

/// A flight that gives no analysis.
enum Failure {
    /// Its files cannot be read or used.
    Broken(anyhow::Error),
    /// It was read, but holds no track.
    NoTrack(String),
}

/// Analyses every flight. Errors are told as they happen, and the rest goes on.
pub(super) fn analyse(loaded: &Loaded) -> Analysed {
    let flights = &loaded.campaign.flights;
    let progress = Progress::start(&loaded.name, flights.len());
    let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let outcomes: Mutex<Vec<Option<Result<FlightSummary, Failure>>>> =
        Mutex::new(flights.iter().map(|_| None).collect());
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(flights.len().max(1));
    progress.step(0, "analysing flights");
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let Some(flight) = flights.get(index) else { break };
                    let outcome = one(loaded, FlightId(index), flight);
                    progress.step(done.fetch_add(1, Ordering::Relaxed) + 1, "analysing flights");
                    // A worker that panicked takes the whole scope down, so the lock is never found poisoned.
                    if let Ok(mut all) = outcomes.lock()
                        && let Some(place) = all.get_mut(index)
                    {
                        *place = Some(outcome);
                    }
                }
            });
        }
    });
    drop(progress);
    let outcomes = outcomes.into_inner().unwrap_or_default();
    let mut any_failed = false;
    let outcomes = outcomes
        .into_iter()
        .map(|outcome| match outcome {
            Some(Ok(summary)) => Ok(summary),
            Some(Err(Failure::NoTrack(why))) => Err(format!("no usable result: {why}")),
            Some(Err(Failure::Broken(error))) => {
                terminal::error(&format!("{error:#}"));
                any_failed = true;
                Err(format!("{error:#}"))
            }
            None => Err("was not analysed".to_owned()),
        })
        .collect();
    Analysed { outcomes, any_failed }
}

fn one(loaded: &Loaded, id: FlightId, flight: &Flight) -> Result<FlightSummary, Failure> {
    let path = loaded.folder.path(&flight.log);
    let name = input::name_of(&path);
    let broken = |error: anyhow::Error| Failure::Broken(error);
    let bytes = input::bytes(&path).map_err(broken)?;
    let marks_path = flight.marks.as_ref().map(|marks| loaded.folder.path(marks));
    let marks_text = marks_path.as_deref().map(input::text).transpose().map_err(broken)?;
    let mut log = read(&bytes, &ReadHint::default()).with_context(|| name.clone()).map_err(broken)?;
    dates::judge(&mut log, Utc::now()).with_context(|| name.clone()).map_err(broken)?;
    let input = FlightInput {
        file: name,
        marks_text,
        inertial: Vec::new(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        command: String::new(),
        input_sha256: input::sha256(&bytes),
        config: FlightConfig::default(),
    };
    match analyse_flight(log, input, &mut |_| ()) {
        Ok(analysis) => Ok(FlightSummary::of(id, analysis)),
        Err(driftless_analysis::AnalysisError::Track(error)) => Err(Failure::NoTrack(error.to_string())),
        Err(driftless_analysis::AnalysisError::Marks(error)) => {
            let marks = marks_path.as_deref().map(input::name_of).unwrap_or_default();
            Err(Failure::Broken(anyhow::Error::new(error).context(marks)))
        }
    }
}
