//! The one table of flags: parser, help, completions and man page all come from it.

mod logbook;

pub(crate) use logbook::{
    LogbookAddArgs, LogbookCheckArgs, LogbookCommand, LogbookExportArgs, LogbookImportArgs, LogbookListArgs,
    LogbookShowArgs,
};

use crate::time_shown::TimeShown;
use clap::{Args, Parser, Subcommand, ValueEnum};
use driftless_analysis::LimitSetting;
use driftless_display::DisplayUnits;
use std::path::PathBuf;

/// How much does a paramotor turn on its own?
///
/// Reads flight logs (GPX, IGC, KML, FIT, NMEA 0183, CSV positions; plain or gzip-ed) and states, for each hands-off window,
/// how fast the aircraft turned by itself with the wind taken out, and how sure that is. Everything stays on this machine.
#[derive(Debug, Parser)]
#[command(name = "driftless", version, arg_required_else_help = true, after_help = AFTER_HELP)]
pub(crate) struct Cli {
    #[command(subcommand)]
    pub(crate) command: Command,
    /// Read more (or less) than is usual: a limit and its value, as fixes=5000000 (may be repeated)
    ///
    /// Limits stand far above any log; what passes one is refused in words that name it. Names: bytes, text-bytes, fixes,
    /// line-bytes, name-characters, xml-depth, xml-attributes, problems, runs, scenario-seconds.
    #[arg(long, global = true, value_name = "NAME=N")]
    pub(crate) limit: Vec<LimitSetting>,
}

const AFTER_HELP: &str = "\
Exit codes: 0 a result was made; 1 the input was read but holds no usable result; 2 an error.
Letting go of the brakes is a flight test: read the cautions in the report first.";

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Report the turn rates of one or more flights
    ///
    /// Without --format: a summary on standard output, and a report with charts beside each log
    /// (flight.igc gives flight.report.html).
    Report(ReportArgs),
    /// Read logs and list their problems; estimate nothing
    Check(CheckArgs),
    /// Compare the set-ups of a campaign: compensation, differences, what to set, the next flights
    ///
    /// Without --format: a summary on standard output, as wide as the terminal, and a report with charts beside the campaign
    /// file (club.toml gives club.report.html). --format text gives everything in words.
    Compare(CompareArgs),
    /// Write the test cards of the next flights of a campaign, to print
    ///
    /// Without -o: beside the campaign file (club.toml gives club.cards.html).
    Plan(PlanArgs),
    /// Begin a campaign
    #[command(subcommand)]
    Campaign(CampaignCommand),
    /// Open the page: drop logs, see and correct turn rates, keep them in a logbook, compare
    ///
    /// The page answers on this machine alone, at an address that changes with every run; nothing is sent anywhere.
    Serve(ServeArgs),
    /// Keep flights, marks and campaigns in one file: the logbook
    #[command(subcommand)]
    Logbook(LogbookCommand),
    /// Fly a scenario file: logs with known truth
    Simulate(SimulateArgs),
    /// Measure simulated flights and compare with their truth
    ///
    /// Flies the reference flights of the simulator through the whole program and prints how far its figures lie from
    /// the truth and whether its intervals are honest. `--out docs` remakes the tables and charts of docs/validation.md.
    Validate(ValidateArgs),
    /// Print a completion script for a shell
    #[command(hide = true)]
    Complete {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page
    #[command(hide = true)]
    Man,
}

#[derive(Debug, Args)]
pub(crate) struct ReportArgs {
    /// Flight logs: files; folders, with all that is in them; patterns in quotes ("2026/**/*.igc"); @LIST, a text file
    /// with one of these on each line; - reads standard input
    #[arg(required = true, value_name = "LOG")]
    pub(crate) logs: Vec<PathBuf>,
    /// Times of let-go and take-over: CSV with header let_go,take_over,scenario,setup,note
    #[arg(long, value_name = "FILE")]
    pub(crate) marks: Option<PathBuf>,
    /// Inertial file recorded beside the log: CSV with gyro, accelerometer, magnetometer, plain or gzip-ed (may be
    /// repeated). A column mapping kept beside it as FILE.toml is used
    #[arg(long, value_name = "FILE")]
    pub(crate) imu: Vec<PathBuf>,
    /// What to write; goes to standard output unless -o is given
    #[arg(long, value_name = "FORMAT")]
    pub(crate) format: Option<ReportFormat>,
    /// Where to write: a file, or a folder for one file per log (Parquet: one file per year); - is standard output
    #[arg(short, long, value_name = "PATH")]
    pub(crate) output: Option<PathBuf>,
    /// Logs that are worked on at a time; as many as there are processors if not given. The result does not depend on it
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub(crate) jobs: Option<u16>,
    /// Go on where an earlier run stopped: logs that were done with the same settings are not done again
    ///
    /// A run over many logs with -o PATH keeps what it has finished in PATH.resume until it is through. With --resume the
    /// file is used, and stays, so that the next run does only what is new; FILE names another place for it.
    #[arg(long, value_name = "FILE", num_args = 0..=1, require_equals = true)]
    pub(crate) resume: Option<Option<PathBuf>>,
    /// Units of HTML and text: si, kmh, kt, or a list such as km/h,m,deg/s
    #[arg(long, value_name = "UNITS", default_value = "si")]
    pub(crate) units: DisplayUnits,
    /// Times of HTML and text: utc, local, or a distance from UTC such as +02:00
    #[arg(long, value_name = "ZONE", default_value = "utc", value_parser = TimeShown::named, allow_hyphen_values = true)]
    pub(crate) time: TimeShown,
    /// Column mapping for CSV logs with other column names (TOML)
    #[arg(long, value_name = "FILE")]
    pub(crate) csv_map: Option<PathBuf>,
    /// Write each chart as an SVG file that stands alone
    #[arg(long, value_name = "FOLDER")]
    pub(crate) charts: Option<PathBuf>,
    /// Write the windows as a marks file, to edit and to give back with --marks (a folder when there are several logs)
    #[arg(long, value_name = "FILE")]
    pub(crate) write_marks: Option<PathBuf>,
    /// Leave places out of the page, to pass it on; without it the place of take-off is rounded to about a kilometre
    #[arg(long, conflicts_with = "exact_place")]
    pub(crate) share: bool,
    /// Name the place of take-off as exactly as the log has it
    #[arg(long)]
    pub(crate) exact_place: bool,
    /// Write the track with the drift taken out as GPX (a folder when there are several logs)
    #[arg(long, value_name = "PATH")]
    pub(crate) export_gpx: Option<PathBuf>,
    /// Write the track with the drift taken out as GeoJSON (a folder when there are several logs)
    #[arg(long, value_name = "PATH")]
    pub(crate) export_geojson: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct CompareArgs {
    /// Campaign file; - reads standard input
    #[arg(value_name = "CAMPAIGN.toml")]
    pub(crate) campaign: PathBuf,
    /// What to write; goes to standard output unless -o is given
    #[arg(long, value_name = "FORMAT")]
    pub(crate) format: Option<Format>,
    /// Where to write: a file or a folder; - is standard output
    #[arg(short, long, value_name = "PATH")]
    pub(crate) output: Option<PathBuf>,
    /// Units of HTML and text: si, kmh, kt, or a list such as km/h,m,deg/s
    #[arg(long, value_name = "UNITS", default_value = "si")]
    pub(crate) units: DisplayUnits,
    /// Write each chart as an SVG file that stands alone
    #[arg(long, value_name = "FOLDER")]
    pub(crate) charts: Option<PathBuf>,
    /// Put "Pilot A", "Pilot B" in place of names of people, by order of name, and number the flights
    #[arg(long)]
    pub(crate) anonymous: bool,
}

#[derive(Debug, Args)]
pub(crate) struct ServeArgs {
    /// Port to listen on; 0 takes a free one
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(crate) port: u16,
    /// Start no browser: print the address alone
    #[arg(long)]
    pub(crate) no_open: bool,
    /// The logbook; without it, the one in your own data folder
    #[arg(long, value_name = "FILE")]
    pub(crate) logbook: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct PlanArgs {
    /// Campaign file; - reads standard input
    #[arg(value_name = "CAMPAIGN.toml")]
    pub(crate) campaign: PathBuf,
    /// Where to write: a file or a folder; - is standard output
    #[arg(short, long, value_name = "PATH")]
    pub(crate) output: Option<PathBuf>,
    /// Seed of the random order; that of the campaign file if not given
    #[arg(long, value_name = "N")]
    pub(crate) seed: Option<u64>,
    /// Put "Pilot A", "Pilot B" in place of names of people, by order of name
    #[arg(long)]
    pub(crate) anonymous: bool,
}

#[derive(Debug, Subcommand)]
pub(crate) enum CampaignCommand {
    /// Write a commented campaign file to begin with
    New {
        /// File or folder; - is standard output
        #[arg(value_name = "PATH", default_value = "campaign.toml")]
        path: PathBuf,
    },
}

#[derive(Debug, Args)]
pub(crate) struct CheckArgs {
    /// Flight logs; - reads standard input
    #[arg(required = true, value_name = "LOG")]
    pub(crate) logs: Vec<PathBuf>,
    /// Column mapping for CSV logs with other column names (TOML)
    #[arg(long, value_name = "FILE")]
    pub(crate) csv_map: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct SimulateArgs {
    /// Scenario file; - reads standard input
    #[arg(value_name = "SCENARIO.toml")]
    pub(crate) scenario: PathBuf,
    /// Seed of the randomness; the scenario's own if not given
    #[arg(long, value_name = "N")]
    pub(crate) seed: Option<u64>,
    /// Folder for the files
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    pub(crate) output: PathBuf,
}

#[derive(Debug, Args)]
pub(crate) struct ValidateArgs {
    /// Windows in each class of air on the reference flights; the other studies fly a share of that
    #[arg(long, value_name = "N", default_value_t = 2000, value_parser = clap::value_parser!(u64).range(8..=1_000_000))]
    pub(crate) windows: u64,
    /// Classes of air
    #[arg(long, value_name = "CLASSES", value_delimiter = ',', default_values = ["still", "light", "moderate"])]
    pub(crate) classes: Vec<ClassChoice>,
    /// What is done: the reference flights, what is varied about them, inertial data, ordinary logs, passes to settle, campaigns,
    /// published checks, the tables of the method
    #[arg(
        long,
        value_name = "STUDIES",
        value_delimiter = ',',
        default_values = [
            "reference", "formats", "no-orbits", "unmarked", "strong-wind", "lengths", "inertial", "ordinary", "settling",
            "campaigns", "published", "method",
        ]
    )]
    pub(crate) studies: Vec<StudyChoice>,
    /// Flights in each class of air for the inertial figures over 10 s and 60 s; other inertial studies fly a share of
    /// that
    #[arg(long, value_name = "N", default_value_t = 100, value_parser = clap::value_parser!(u64).range(2..=100_000))]
    pub(crate) inertial_flights: u64,
    /// Flights under each condition of ordinary logs
    #[arg(long, value_name = "N", default_value_t = 100, value_parser = clap::value_parser!(u64).range(2..=100_000))]
    pub(crate) ordinary_flights: u64,
    /// Flights whose passes to settle are counted
    #[arg(long, value_name = "N", default_value_t = 200, value_parser = clap::value_parser!(u64).range(1..=100_000))]
    pub(crate) settling_flights: u64,
    /// Campaigns that fly every log; fifteen times as many are drawn
    #[arg(long, value_name = "N", default_value_t = 100, value_parser = clap::value_parser!(u64).range(2..=10_000))]
    pub(crate) campaigns: u64,
    /// Seeds of the flights: figures are judged on the one kind, and tuned only on the other
    #[arg(long, value_name = "SEEDS", default_value = "judging")]
    pub(crate) seeds: SeedChoice,
    /// Folder whose validation.md, method.md and images are to be remade; without it tables are only printed
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Threads; as many as there are processors if not given. The result does not depend on it
    #[arg(long, value_name = "N")]
    pub(crate) jobs: Option<usize>,
}

/// How rough the air is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ClassChoice {
    /// No turbulence
    Still,
    /// Gusts of 0.3 m/s, yaw wander of 0.4 °/s
    Light,
    /// Gusts of 0.6 m/s, yaw wander of 0.8 °/s
    Moderate,
}

/// What `validate` does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum StudyChoice {
    /// The reference flights as they are
    Reference,
    /// GPX and IGC at one fix a second
    Formats,
    /// No calibration orbits
    NoOrbits,
    /// No marks of let-go and take-over
    Unmarked,
    /// Wind above airspeed
    StrongWind,
    /// Windows of 10 to 90 s
    Lengths,
    /// Inertial data: turn rates with a gyro and without, clock, bias, scale, compass
    Inertial,
    /// Ordinary logs: receivers that smooth, two flights in a log, changing air and the like
    Ordinary,
    /// Passes that the whole-flight estimate takes to settle
    Settling,
    /// Whole campaigns, drawn and flown: what cells and compensations hold
    Campaigns,
    /// Published figures of other people, computed anew
    Published,
    /// The tables of method.md, from the constants in the code; flies nothing
    Method,
}

/// Which seeds flights are drawn from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SeedChoice {
    /// Those on which anything may be tuned
    Tuning,
    /// Those on which figures are judged, and nothing is ever tuned
    Judging,
}

/// What the report of a flight is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ReportFormat {
    /// One self-contained page with charts
    Html,
    /// The document other programs rely on (several logs: one line each)
    Json,
    /// One row per window
    Csv,
    /// One row per window, columns with types: one file, or a folder with one file for each year
    Parquet,
    /// A summary to read in a terminal
    Text,
}

impl ReportFormat {
    /// The format of text that it is; `None` for the one that is not text.
    pub(crate) const fn of_text(self) -> Option<Format> {
        match self {
            Self::Html => Some(Format::Html),
            Self::Json => Some(Format::Json),
            Self::Csv => Some(Format::Csv),
            Self::Text => Some(Format::Text),
            Self::Parquet => None,
        }
    }
}

/// What a report is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// One self-contained page with charts
    Html,
    /// The document other programs rely on (several logs: one line each)
    Json,
    /// One row per window
    Csv,
    /// A summary to read in a terminal
    Text,
}

impl Format {
    /// The end of the file's name.
    pub(crate) const fn extension(self) -> &'static str {
        match self {
            Self::Html => "html",
            Self::Json => "json",
            Self::Csv => "csv",
            Self::Text => "txt",
        }
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_table_of_flags_is_sound() {
        super::Cli::command().debug_assert();
    }
}
