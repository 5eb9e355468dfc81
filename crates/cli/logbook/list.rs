//! `driftless logbook list`: what is in it.

use super::{choose, open_read_only};
use crate::args::LogbookListArgs;
use crate::outcome::Outcome;
use crate::output::to_stdout;
use driftless_logbook::{FlightEntry, FlightFilter};
use driftless_units::printable;

pub(super) fn run(args: &LogbookListArgs) -> anyhow::Result<Outcome> {
    let logbook = open_read_only(&args.file.logbook)?;
    let filter = FlightFilter {
        words: args.words.join(" "),
        setup: args.flown.setup.clone(),
        wing: args.flown.wing.clone(),
        pilot: args.flown.pilot.clone(),
        waiting: args.waiting.then_some(true),
    };
    let mut listing = String::new();
    let mut found = 0;
    for campaign in choose::campaigns(&logbook, args.flown.campaign.as_deref())? {
        let flights = logbook.flights(campaign.id, &filter)?;
        let of = if filter == FlightFilter::default() { String::new() } else { format!(" of {}", campaign.flights) };
        let words = if campaign.flights == 1 { "flight" } else { "flights" };
        listing.push_str(&format!("{}: {}{of} {words}\n", printable(&campaign.title), flights.len()));
        found += flights.len();
        let width = flights.iter().map(|flight| flight.key.chars().count()).max().unwrap_or(0).min(KEY_WIDTH);
        flights.iter().for_each(|flight| listing.push_str(&line(flight, width)));
    }
    to_stdout(listing.as_bytes())?;
    Ok(if found == 0 { Outcome::NothingUsable } else { Outcome::Made })
}

/// Longest key that others are lined up with.
const KEY_WIDTH: usize = 32;

fn line(flight: &FlightEntry, width: usize) -> String {
    let about = &flight.about;
    let mut words: Vec<String> = Vec::new();
    words.extend([&about.setup, &about.wing, &about.pilot].into_iter().flatten().cloned());
    if flight.waiting {
        words.push("set-up or wing not said yet".to_owned());
    }
    if let Some(reason) = &about.exclude {
        words.push(format!("left out: {reason}"));
    }
    if flight.corrected {
        words.push("marks corrected".to_owned());
    }
    words.extend(about.note.clone());
    let key = printable(&flight.key);
    format!("  {key:width$}  {}\n", printable(&words.join(", ")))
}
