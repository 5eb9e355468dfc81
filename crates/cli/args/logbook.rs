//! The flags of `driftless logbook`.

use super::Format;
use crate::time_shown::TimeShown;
use clap::{Args, Subcommand};
use driftless_display::DisplayUnits;
use std::path::PathBuf;

/// Which logbook.
#[derive(Debug, Args)]
pub(crate) struct LogbookFile {
    /// Logbook; add and import begin one where there is none
    #[arg(value_name = "LOGBOOK")]
    pub(crate) logbook: PathBuf,
}

#[derive(Debug, Subcommand)]
pub(crate) enum LogbookCommand {
    /// List the flights of a logbook
    List(LogbookListArgs),
    /// Put flight logs into a logbook; it is begun where there is none
    ///
    /// The same log twice is one flight.
    Add(LogbookAddArgs),
    /// Report the turn rates of a flight, with its marks as they were corrected last
    Show(LogbookShowArgs),
    /// Write a campaign as a folder with a campaign file, or as one ZIP file
    Export(LogbookExportArgs),
    /// Put a campaign file and the flights it names into a logbook, as a new campaign
    Import(LogbookImportArgs),
    /// Look through all that is kept in a logbook for damage
    Check(LogbookCheckArgs),
}

/// What flights were flown with.
#[derive(Debug, Args)]
pub(crate) struct FlownArgs {
    /// Campaign, by its title
    #[arg(long, value_name = "TITLE")]
    pub(crate) campaign: Option<String>,
    /// Set-up, by its key
    #[arg(long, value_name = "KEY")]
    pub(crate) setup: Option<String>,
    /// Wing, by its key
    #[arg(long, value_name = "KEY")]
    pub(crate) wing: Option<String>,
    /// Pilot, by key
    #[arg(long, value_name = "KEY")]
    pub(crate) pilot: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct LogbookListArgs {
    #[command(flatten)]
    pub(crate) file: LogbookFile,
    /// Only flights of which all these words are said
    #[arg(value_name = "WORD")]
    pub(crate) words: Vec<String>,
    #[command(flatten)]
    pub(crate) flown: FlownArgs,
    /// Only flights whose set-up or wing is still to be said
    #[arg(long)]
    pub(crate) waiting: bool,
}

#[derive(Debug, Args)]
pub(crate) struct LogbookAddArgs {
    #[command(flatten)]
    pub(crate) file: LogbookFile,
    /// Flight logs; - reads standard input
    #[arg(required = true, value_name = "LOG")]
    pub(crate) logs: Vec<PathBuf>,
    /// Times of let-go and take-over: CSV with header let_go,take_over,scenario,setup,note
    #[arg(long, value_name = "FILE")]
    pub(crate) marks: Option<PathBuf>,
    /// Inertial file recorded beside the log (may be repeated). A column mapping kept beside it as FILE.toml is taken
    #[arg(long, value_name = "FILE")]
    pub(crate) imu: Vec<PathBuf>,
    /// Column mapping for CSV logs with other column names (TOML)
    #[arg(long, value_name = "FILE")]
    pub(crate) csv_map: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) flown: FlownArgs,
}

#[derive(Debug, Args)]
pub(crate) struct LogbookShowArgs {
    #[command(flatten)]
    pub(crate) file: LogbookFile,
    /// Flight, by its key (driftless logbook list shows all)
    #[arg(value_name = "FLIGHT")]
    pub(crate) flight: String,
    /// Campaign of the flight, by its title, where several have such a flight
    #[arg(long, value_name = "TITLE")]
    pub(crate) campaign: Option<String>,
    /// What to write to standard output in place of the summary
    #[arg(long, value_name = "FORMAT")]
    pub(crate) format: Option<Format>,
    /// Units: si, kmh, kt, or a list such as km/h,m,deg/s
    #[arg(long, value_name = "UNITS", default_value = "si")]
    pub(crate) units: DisplayUnits,
    /// Times: utc, local, or a distance from UTC such as +02:00
    #[arg(long, value_name = "ZONE", default_value = "utc", value_parser = TimeShown::named, allow_hyphen_values = true)]
    pub(crate) time: TimeShown,
}

#[derive(Debug, Args)]
pub(crate) struct LogbookExportArgs {
    #[command(flatten)]
    pub(crate) file: LogbookFile,
    /// Folder, made where there is none; or a file that ends in .zip
    #[arg(value_name = "FOLDER|FILE.zip")]
    pub(crate) place: PathBuf,
    /// Campaign, by its title, where there are several
    #[arg(long, value_name = "TITLE")]
    pub(crate) campaign: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct LogbookImportArgs {
    #[command(flatten)]
    pub(crate) file: LogbookFile,
    /// Campaign file, or the ZIP file of a campaign's folder
    #[arg(value_name = "CAMPAIGN.toml|FILE.zip")]
    pub(crate) campaign: PathBuf,
}

#[derive(Debug, Args)]
pub(crate) struct LogbookCheckArgs {
    #[command(flatten)]
    pub(crate) file: LogbookFile,
}
