//! `driftless logbook`: the pilot's logbook from the command line.

mod add;
mod check;
mod choose;
mod export;
mod import;
mod list;
mod show;

use crate::args::LogbookCommand;
use crate::input::{self, is_dash};
use crate::outcome::Outcome;
use anyhow::{Context, bail};
use driftless_analysis::InputLimits;
use driftless_logbook::Logbook;
use std::path::Path;

pub(crate) fn run(command: &LogbookCommand, limits: &InputLimits) -> anyhow::Result<Outcome> {
    match command {
        LogbookCommand::List(args) => list::run(args),
        LogbookCommand::Add(args) => add::run(args, limits),
        LogbookCommand::Show(args) => show::run(args, limits),
        LogbookCommand::Export(args) => export::run(args),
        LogbookCommand::Import(args) => import::run(args, limits),
        LogbookCommand::Check(args) => check::run(args),
    }
}

/// Opens a logbook to write; a new one where there is none.
fn open(path: &Path) -> anyhow::Result<Logbook> {
    refuse_dash(path)?;
    Logbook::open(path).with_context(|| input::name_of(path))
}

/// Opens a logbook to read alone.
fn open_read_only(path: &Path) -> anyhow::Result<Logbook> {
    refuse_dash(path)?;
    Logbook::open_read_only(path).with_context(|| input::name_of(path))
}

fn refuse_dash(path: &Path) -> anyhow::Result<()> {
    if is_dash(path) {
        bail!(
            "a logbook is a file of its own; it can neither be read from standard input nor written to standard output"
        );
    }
    Ok(())
}
