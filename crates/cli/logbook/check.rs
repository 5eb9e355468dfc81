//! `driftless logbook check`: looks through everything that is kept.

use super::open_read_only;
use crate::args::LogbookCheckArgs;
use crate::input;
use crate::outcome::Outcome;
use crate::output::to_stdout;
use crate::terminal;
use anyhow::Context;
use driftless_units::printable;

pub(super) fn run(args: &LogbookCheckArgs) -> anyhow::Result<Outcome> {
    let logbook = open_read_only(&args.file.logbook)?;
    let name = input::name_of(&args.file.logbook);
    let found = logbook.check().with_context(|| name.clone())?;
    if found.is_empty() {
        let campaigns = logbook.campaigns()?;
        let flights: usize = campaigns.iter().map(|campaign| campaign.flights).sum();
        to_stdout(format!("{name}: whole; campaigns: {}, flights: {flights}\n", campaigns.len()).as_bytes())?;
        return Ok(Outcome::Made);
    }
    for line in &found {
        terminal::error(&format!("{name}: {}", printable(line)));
    }
    terminal::note("this logbook is damaged: put a backup in its place, and keep the damaged file");
    Ok(Outcome::Failed)
}
