//! `driftless logbook show`: the summary of a flight, with its marks as they count now.

use super::{choose, open_read_only};
use crate::args::LogbookShowArgs;
use crate::outcome::Outcome;
use crate::output::to_stdout;
use crate::report::rendered;
use crate::{flight_files, terminal};
use driftless_analysis::{InputLimits, analyse_files};
use driftless_display::DisplayUnits;
use driftless_report::brief;

pub(super) fn run(args: &LogbookShowArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let logbook = open_read_only(&args.file.logbook)?;
    let flight = choose::flight(&logbook, args.campaign.as_deref(), &args.flight)?;
    let stored = logbook.flight_files(flight.id)?;
    let analysis = match analyse_files(stored.files(), &flight_files::asked(limits), &mut |_| ()) {
        Ok(analysis) => analysis,
        Err(refusal) if refusal.nothing_usable() => {
            terminal::error(&refusal.to_string());
            return Ok(Outcome::NothingUsable);
        }
        Err(refusal) => return Err(refusal.into()),
    };
    let units = DisplayUnits { zone: args.time.at(analysis.track.epoch), ..args.units };
    let content = match args.format {
        Some(format) => rendered(&analysis, format, &units, false)?,
        None => brief(&analysis, &units, terminal::width()),
    };
    to_stdout(content.as_bytes())?;
    let usable = analysis.accepted().any(|window| window.turn_rate.is_some());
    Ok(if usable { Outcome::Made } else { Outcome::NothingUsable })
}
