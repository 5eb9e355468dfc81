//! The program `driftless`: flags, files and exit codes around the one road from log to report.
//!
//! * [`args`]: the one table of flags, from which help, completions and the man page are made.
//! * [`report`], [`check`], [`simulate`], [`validate`]: the commands.
//! * [`input`]: reading logs; [`inertial`]: inertial files and the mappings beside them; [`output`]: where results go,
//!   and writing them whole or not at all.
//! * [`dates`]: logs dated in the future; [`export`]: the drift-removed track for maps.
//! * [`terminal`]: progress and messages; [`outcome`]: exit codes.
//!
//! Data goes to standard output, messages to standard error. Nothing here measures anything.

mod args;
mod campaign;
mod check;
mod dates;
mod export;
mod inertial;
mod input;
mod outcome;
mod output;
mod report;
mod simulate;
mod terminal;
mod validate;

use args::{CampaignCommand, Cli, Command};
use clap::{CommandFactory, Parser};
use outcome::Outcome;
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(usage) => {
            // Help and version are results; everything else is a bad flag. A closed pipe is no reason to complain.
            let _ = usage.print();
            return if usage.use_stderr() { Outcome::Failed.into() } else { Outcome::Made.into() };
        }
    };
    match run(cli) {
        Ok(outcome) => outcome.into(),
        Err(error) if is_broken_pipe(&error) => Outcome::Made.into(),
        Err(error) => {
            terminal::error(&format!("{error:#}"));
            Outcome::Failed.into()
        }
    }
}

fn run(cli: Cli) -> anyhow::Result<Outcome> {
    match cli.command {
        Command::Report(args) => report::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Compare(args) => campaign::compare(&args),
        Command::Plan(args) => campaign::plan(&args),
        Command::Campaign(CampaignCommand::New { path }) => campaign::new(&path),
        Command::Simulate(args) => simulate::run(&args),
        Command::Validate(args) => validate::run(&args),
        Command::Complete { shell } => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "driftless", &mut script);
            std::io::stdout().write_all(&script)?;
            Ok(Outcome::Made)
        }
        Command::Man => {
            let mut page = Vec::new();
            clap_mangen::Man::new(Cli::command()).render(&mut page)?;
            std::io::stdout().write_all(&page)?;
            Ok(Outcome::Made)
        }
    }
}

/// Whether whoever read our output went away, as `head` does: not an error.
fn is_broken_pipe(error: &anyhow::Error) -> bool {
    error
        .chain()
        .filter_map(|cause| cause.downcast_ref::<std::io::Error>())
        .any(|io| io.kind() == std::io::ErrorKind::BrokenPipe)
}
