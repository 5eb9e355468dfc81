//! The program `driftless`: flags, files and exit codes around the one road from log to report.
//!
//! * [`args`]: the one table of flags, from which help, completions and the man page are made.
//! * [`report`], [`check`], [`campaign`], [`mod@logbook`], [`serve`], [`simulate`], [`validate`]: the commands.
//! * [`input`]: reading what is named, within limits; [`flight_files`]: the files of a flight, as the door of the analysis
//!   wants them; [`output`]: where results go, and writing them whole or not at all.
//! * [`export`]: the drift-removed track for maps.
//! * [`suggest`]: the command that somebody may have meant.
//! * [`unfinished`]: files while they are being written; [`terminal`]: progress and messages; [`outcome`]: exit codes.
//!
//! Data goes to standard output, messages to standard error. Nothing here measures anything.

mod args;
mod campaign;
mod chart_files;
mod check;
mod export;
mod flight_files;
mod input;
mod logbook;
mod outcome;
mod output;
mod report;
mod serve;
mod simulate;
mod suggest;
mod terminal;
mod time_shown;
mod unfinished;
mod validate;

use anyhow::Context;
use args::{CampaignCommand, Cli, Command};
use clap::{CommandFactory, Parser};
use driftless_analysis::InputLimits;
use driftless_units::printable_lines;
use outcome::Outcome;
use std::borrow::Cow;
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    unfinished::remove_when_stopped();
    let outcome = match Cli::try_parse() {
        Ok(cli) => run(cli),
        Err(usage) => print_usage(&usage),
    };
    match outcome {
        Ok(outcome) => outcome.into(),
        Err(error) if is_broken_pipe(&error) => Outcome::Made.into(),
        Err(error) => {
            terminal::error(&format!("{error:#}"));
            Outcome::Failed.into()
        }
    }
}

fn run(cli: Cli) -> anyhow::Result<Outcome> {
    let limits = cli.limit.iter().fold(InputLimits::default(), |limits, set| limits.with(set.limit, set.value));
    match cli.command {
        Command::Report(args) => report::run(&args, &limits),
        Command::Check(args) => check::run(&args, &limits),
        Command::Compare(args) => campaign::compare(&args, &limits),
        Command::Plan(args) => campaign::plan(&args, &limits),
        Command::Campaign(CampaignCommand::New { path }) => campaign::new(&path),
        Command::Serve(args) => serve::run(&args, &limits),
        Command::Logbook(command) => logbook::run(&command, &limits),
        Command::Simulate(args) => simulate::run(&args, &limits),
        Command::Validate(args) => validate::run(&args),
        Command::Complete { shell } => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "driftless", &mut script);
            output::to_stdout(&script)?;
            Ok(Outcome::Made)
        }
        Command::Man => {
            let mut page = Vec::new();
            clap_mangen::Man::new(Cli::command()).render(&mut page)?;
            output::to_stdout(&page)?;
            Ok(Outcome::Made)
        }
    }
}

/// Help and version are results and go to standard output; everything else is a bad flag.
fn print_usage(usage: &clap::Error) -> anyhow::Result<Outcome> {
    if usage.kind() == clap::error::ErrorKind::InvalidSubcommand
        && let Some(word) = std::env::args_os().nth(1)
        && let Some(words) = suggest::command_for(Path::new(&word))
    {
        terminal::error(&words);
        return Ok(Outcome::Failed);
    }
    if usage.use_stderr() {
        let words = usage.render().to_string();
        match printable_lines(&words) {
            // With the colours of a terminal.
            Cow::Borrowed(_) => drop(usage.print()),
            // A flag was given that would act on the terminal.
            Cow::Owned(shown) => drop(std::io::stderr().write_all(shown.as_bytes())),
        }
        return Ok(Outcome::Failed);
    }
    usage.print().and_then(|()| std::io::stdout().flush()).context(output::NO_STDOUT)?;
    Ok(Outcome::Made)
}

/// Whether whoever read our output went away, as `head` does: not an error.
fn is_broken_pipe(error: &anyhow::Error) -> bool {
    error
        .chain()
        .filter_map(|cause| cause.downcast_ref::<std::io::Error>())
        .any(|io| io.kind() == std::io::ErrorKind::BrokenPipe)
}
