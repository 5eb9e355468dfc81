//! The flights of a campaign, analysed side by side on all cores.

use super::LoadedCampaign;
use crate::{FileError, bytes, given_name, inertial_file, text_file};
use driftless_analysis::campaign::model::{Flight, FlightId};
use driftless_analysis::campaign::{FlightFailure, FlightOutcome, FlightSummary};
use driftless_analysis::{Asked, FlightFiles, analyse_files};
use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, Ordering};

/// What became of every flight, in the order of the campaign file; `done` is called after each, on any thread. Once `stop` is
/// set no flight is begun, and those that were not are as if left out: nobody wants the result any more. Runs on the threads of
/// the `rayon` pool it is called in.
pub fn analyse_flights(
    loaded: &LoadedCampaign,
    asked: &Asked,
    stop: &AtomicBool,
    done: &(dyn Fn() + Sync),
) -> Vec<FlightOutcome> {
    let flights = &loaded.campaign.flights;
    flights
        .par_iter()
        .enumerate()
        .with_max_len(1)
        .map(|(index, flight)| {
            let outcome = match &flight.exclude {
                Some(_) => Err(FlightFailure::LeftOut),
                None if stop.load(Ordering::Relaxed) => Err(FlightFailure::LeftOut),
                None => one(loaded, FlightId(index), flight, asked),
            };
            done();
            outcome
        })
        .collect()
}

fn one(loaded: &LoadedCampaign, id: FlightId, flight: &Flight, asked: &Asked) -> FlightOutcome {
    let unread = |error: FileError| FlightFailure::NotRead(error.words());
    let limits = &asked.config.input;
    let path = |name: &String| loaded.folder.path(name);
    let log = path(&flight.log);
    let bytes = bytes(&log, limits).map_err(unread)?;
    let text = |name: &Option<String>| name.as_ref().map(|n| text_file(&path(n), limits)).transpose().map_err(unread);
    let inertial = flight.imu.iter().map(|name| inertial_file(&path(name), limits).map_err(unread));
    let files = FlightFiles {
        name: given_name(&log),
        log: &bytes,
        marks: text(&flight.marks)?,
        inertial: inertial.collect::<Result<_, _>>()?,
        csv_mapping: text(&flight.csv_map)?,
    };
    match analyse_files(files, asked, &mut |_| ()) {
        Ok(analysis) => Ok(FlightSummary::of(id, analysis)),
        Err(refusal) => Err(FlightFailure::Refused(refusal)),
    }
}
