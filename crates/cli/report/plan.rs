//! Everything that is settled before the first log is read.

use super::logs::{self, NamedLog};
use crate::args::{Format, ReportArgs, ReportFormat};
use crate::input::{self, is_dash};
use crate::output::{Place, is_folder, refuse_clashes, stem};
use crate::{flight_files, terminal};
use anyhow::bail;
use driftless_analysis::{Asked, InertialFile, InputLimits, TextFile};
use std::collections::BTreeMap;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

/// From so many logs on, what a run has finished is kept until it is through.
const WORTH_KEEPING: usize = 20;

/// With more logs than this the command that made a report names none of the others: it would be longer than the report.
const TOLD_LOGS: usize = 20;

/// A run.
pub(super) struct Plan<'a> {
    pub(super) args: &'a ReportArgs,
    pub(super) asked: Asked,
    pub(super) marks: Option<TextFile>,
    pub(super) inertial: Vec<InertialFile>,
    pub(super) csv_mapping: Option<TextFile>,
    pub(super) logs: Vec<LogPlan>,
    pub(super) jobs: usize,
    /// Where finished logs are kept, and whether that stays when the run is through.
    pub(super) keep: Option<Keep>,
    several: bool,
    collected: bool,
}

/// What becomes of one log.
pub(super) struct LogPlan {
    pub(super) log: NamedLog,
    /// Where the report in the format asked for goes; without a format, where the HTML goes (`None`: nowhere, or where all go).
    pub(super) report: Option<Place>,
    pub(super) gpx: Option<Place>,
    pub(super) geojson: Option<Place>,
    pub(super) marks: Option<Place>,
    /// What the names of its files begin with.
    pub(super) stem: String,
}

/// Where finished logs are kept.
pub(super) struct Keep {
    pub(super) path: PathBuf,
    /// Asked for: it is used if it is there, and stays.
    pub(super) asked_for: bool,
}

/// What takes the reports of several logs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Shared {
    /// Standard output.
    Stdout,
    /// One file of text.
    Text(PathBuf),
    /// One Parquet file, or one on standard output.
    Parquet(Place),
    /// A folder with a Parquet file for each year.
    ParquetByYear(PathBuf),
}

impl Plan<'_> {
    /// Whether several logs share what is written.
    pub(super) const fn several(&self) -> bool {
        self.several
    }

    /// Whether it is worth a bar for all and a line at the end.
    pub(super) const fn many(&self) -> bool {
        self.collected || self.logs.len() >= WORTH_KEEPING
    }

    /// What takes the reports that have no place of their own.
    pub(super) fn shared(&self) -> Shared {
        shared(self.args, self.several)
    }

    /// How the logs are to be analysed, for the report of this one.
    pub(super) fn asked_for(&self, log: &Path) -> Asked {
        if self.args.logs.len() <= TOLD_LOGS {
            return self.asked.clone();
        }
        Asked { command: input::command_line_without(&self.args.logs, log), ..self.asked.clone() }
    }
}

/// Settles where everything goes and refuses what cannot be meant.
pub(super) fn plan<'a>(args: &'a ReportArgs, limits: &InputLimits) -> anyhow::Result<Plan<'a>> {
    let named = logs::named(&args.logs, limits)?;
    crate::suggest::refuse_campaigns(named.logs.iter().map(|log| log.path.as_path()))?;
    let several = named.collected || named.logs.len() > 1;
    refuse_what_cannot_be_meant(args, &named.logs, several)?;
    let collected = named.collected;
    let stems =
        if collected { told_apart(&named.logs) } else { named.logs.iter().map(|log| stem(&log.path)).collect() };
    let plan_of = |(log, stem)| plan_log(args, several, log, stem);
    let logs: Vec<_> = named.logs.into_iter().zip(stems).map(plan_of).collect();
    let shared = match shared(args, several) {
        Shared::Text(path) | Shared::Parquet(Place::File(path)) => Some(Place::File(path)),
        _ => None,
    };
    let own_files = logs.iter().flat_map(|log| [&log.report, &log.gpx, &log.geojson, &log.marks]).flatten();
    let inputs = logs.iter().map(|log| log.log.path.as_path());
    let beside = args.marks.iter().chain(&args.imu).chain(&args.csv_map).map(PathBuf::as_path);
    refuse_clashes(own_files.chain(shared.iter()), inputs.chain(beside))?;
    let text_file = |path: &Option<PathBuf>| path.as_deref().map(|p| flight_files::text_file(p, limits)).transpose();
    let processors = || std::thread::available_parallelism().map_or(1, usize::from);
    Ok(Plan {
        args,
        asked: flight_files::asked(limits),
        marks: text_file(&args.marks)?,
        inertial: flight_files::inertial(&args.imu, limits)?,
        csv_mapping: text_file(&args.csv_map)?,
        jobs: args.jobs.map_or_else(processors, usize::from),
        keep: keep(args, logs.len())?,
        several,
        collected,
        logs,
    })
}

fn refuse_what_cannot_be_meant(args: &ReportArgs, logs: &[NamedLog], several: bool) -> anyhow::Result<()> {
    if logs.iter().map(|log| &log.path).chain(&args.imu).filter(|path| is_dash(path)).count() > 1 {
        bail!("standard input (-) can be read only once");
    }
    let html = args.format.is_none_or(|format| format == ReportFormat::Html);
    if several && html && args.output.as_deref().is_some_and(|path| !is_folder(path) && !is_dash(path)) {
        bail!("several reports cannot go into one HTML file; give a folder with -o (it may end in a slash to be made)");
    }
    if several && args.format == Some(ReportFormat::Html) && args.output.as_deref().is_none_or(is_dash) {
        bail!("several HTML reports cannot share standard output; give a folder with -o");
    }
    if args.format == Some(ReportFormat::Parquet)
        && args.output.as_deref().is_none_or(is_dash)
        && std::io::stdout().is_terminal()
    {
        bail!("Parquet is not for a terminal; give a file with -o, or a folder (it may end in a slash to be made)");
    }
    for export in [&args.export_gpx, &args.export_geojson, &args.write_marks].into_iter().flatten() {
        if several && !is_folder(export) {
            bail!(
                "several logs cannot go into {}; give a folder (it may end in a slash to be made)",
                input::name_of(export)
            );
        }
    }
    Ok(())
}

/// What the names of the files of each log begin with: in a folder that holds `a.igc` and `a.gpx`, their whole names.
fn told_apart(logs: &[NamedLog]) -> Vec<String> {
    let key = |log: &NamedLog| (log.path.parent().map(Path::to_owned), stem(&log.path));
    let mut count = BTreeMap::new();
    for log in logs {
        *count.entry(key(log)).or_insert(0) += 1;
    }
    let name = |log: &NamedLog| match log.path.file_name() {
        Some(whole) if count[&key(log)] > 1 => whole.to_string_lossy().into_owned(),
        _ => stem(&log.path),
    };
    logs.iter().map(name).collect()
}

fn plan_log(args: &ReportArgs, several: bool, log: NamedLog, stem: String) -> LogPlan {
    let named = |path: &Path, suffix: &str| Place::within(path, &log.below, &format!("{stem}.{suffix}"));
    let export = |path: &Option<PathBuf>, suffix| path.as_deref().map(|path| named(path, suffix));
    let report = match (args.format, args.output.as_deref()) {
        _ if args.format.is_some() && into_shared_file(args, several) => None,
        (Some(ReportFormat::Parquet), _) => None,
        (Some(format), Some(path)) if !is_dash(path) => {
            Some(named(path, &format!("report.{}", format.of_text().map_or("", Format::extension))))
        }
        (Some(_), _) => None,
        (None, Some(path)) => Some(named(path, "report.html")),
        (None, None) if is_dash(&log.path) => None,
        (None, None) => Some(Place::File(log.path.with_file_name(format!("{stem}.report.html")))),
    };
    LogPlan {
        report,
        gpx: export(&args.export_gpx, "air.gpx"),
        geojson: export(&args.export_geojson, "air.geojson"),
        marks: export(&args.write_marks, "marks.csv"),
        log,
        stem,
    }
}

/// Whether one file of text takes the reports of several logs.
fn into_shared_file(args: &ReportArgs, several: bool) -> bool {
    several && args.output.as_deref().is_some_and(|path| !is_folder(path) && !is_dash(path))
}

fn shared(args: &ReportArgs, several: bool) -> Shared {
    let output = args.output.as_deref().filter(|path| !is_dash(path));
    match (args.format, output) {
        (Some(ReportFormat::Parquet), Some(path)) if is_folder(path) => Shared::ParquetByYear(path.to_owned()),
        (Some(ReportFormat::Parquet), Some(path)) => Shared::Parquet(Place::File(path.to_owned())),
        (Some(ReportFormat::Parquet), None) => Shared::Parquet(Place::Stdout),
        (Some(_), Some(path)) if into_shared_file(args, several) => Shared::Text(path.to_owned()),
        _ => Shared::Stdout,
    }
}

/// Where finished logs are kept: beside what is written, where that is one place.
fn keep(args: &ReportArgs, logs: usize) -> anyhow::Result<Option<Keep>> {
    let beside = args.output.as_deref().filter(|path| !is_dash(path)).map(|path| {
        let mut name = path.components().as_path().as_os_str().to_owned();
        name.push(".resume");
        PathBuf::from(name)
    });
    Ok(match (&args.resume, beside) {
        (Some(Some(path)), _) => Some(Keep { path: path.clone(), asked_for: true }),
        (Some(None), Some(path)) => Some(Keep { path, asked_for: true }),
        (Some(None), None) => bail!("--resume needs a file where nothing is written with -o; give one: --resume=FILE"),
        (None, Some(path)) if logs >= WORTH_KEEPING => Some(Keep { path, asked_for: false }),
        (None, _) => {
            if logs >= WORTH_KEEPING && args.output.is_none() && args.format.is_none() {
                terminal::note("to be able to go on if this run is interrupted, give --resume=FILE");
            }
            None
        }
    })
}
