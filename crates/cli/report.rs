//! `driftless report`: each log goes down the one road and comes out in the format asked for.

use crate::args::{Format, ReportArgs};
use crate::input::{self, is_dash};
use crate::outcome::Outcome;
use crate::output::{Place, is_folder, refuse_clashes, stem, to_stdout};
use crate::terminal::{self, Progress};
use crate::{chart_files, export, flight_files};
use anyhow::bail;
use driftless_analysis::{
    Asked, FlightAnalysis, FlightFiles, InertialFile, InputLimits, Stage, TextFile, analyse_files,
};
use driftless_charts::charts;
use driftless_display::reasons::file_not_used;
use driftless_display::{DisplayUnits, Places};
use driftless_formats::{write_geojson, write_gpx};
use driftless_report::{CsvHeader, JsonLayout, brief, csv, html, json, marks_csv, text};
use driftless_units::printable;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Everything that is settled before the first log is read.
struct Plan<'a> {
    args: &'a ReportArgs,
    asked: Asked,
    marks: Option<TextFile>,
    inertial: Vec<InertialFile>,
    csv_mapping: Option<TextFile>,
    logs: Vec<LogPlan<'a>>,
}

/// What becomes of one log.
struct LogPlan<'a> {
    log: &'a Path,
    /// Where the report in the format asked for goes; without a format, where the HTML goes (`None`: nowhere).
    report: Option<Place>,
    gpx: Option<Place>,
    geojson: Option<Place>,
    marks: Option<Place>,
}

/// Text for one stream that takes the reports of all logs, in order.
#[derive(Default)]
struct Stream {
    content: String,
    reports: usize,
}

pub(crate) fn run(args: &ReportArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let plan = plan(args, limits)?;
    let mut collected = Stream::default();
    let mut beside = BesideFiles::default();
    let mut outcomes = Vec::new();
    for log in &plan.logs {
        outcomes.push(match report_one(&plan, log, &mut collected, &mut beside) {
            Ok(outcome) => outcome,
            Err(error) if crate::is_broken_pipe(&error) => return Err(error),
            Err(error) => {
                terminal::error(&format!("{error:#}"));
                Outcome::Failed
            }
        });
    }
    if let Some(place) = shared_file(args)
        && collected.reports > 0
    {
        place.write(collected.content.as_bytes())?;
    }
    if beside.tell() {
        outcomes.push(Outcome::Failed);
    }
    Ok(Outcome::of_all(&outcomes))
}

/// What became of the files given beside the logs. Each belongs to every log of the run; it is of no use only where no
/// log could use it.
#[derive(Default)]
struct BesideFiles {
    analysed: usize,
    /// Each kind of fault: how many logs had it, and the words of the first.
    faults: BTreeMap<&'static str, (usize, String)>,
}

impl BesideFiles {
    fn take(&mut self, analysis: &FlightAnalysis) {
        self.analysed += 1;
        for file in analysis.files_not_used() {
            let words = || format!("{}: {}", input_name(analysis), file_not_used(&file));
            self.faults.entry(file.code()).or_insert_with(|| (0, words())).0 += 1;
        }
    }

    /// Whoever names a file expects it to be used: says so where that could not be, and whether there was one.
    fn tell(&self) -> bool {
        let of_no_use = self.faults.values().filter(|(logs, _)| *logs == self.analysed);
        of_no_use.map(|(_, words)| terminal::error(words)).count() > 0
    }
}

/// The name of the log in messages.
fn input_name(analysis: &FlightAnalysis) -> String {
    printable(&analysis.file).into_owned()
}

/// Settles where everything goes and refuses what cannot be meant.
fn plan<'a>(args: &'a ReportArgs, limits: &InputLimits) -> anyhow::Result<Plan<'a>> {
    crate::suggest::refuse_campaigns(args.logs.iter().map(PathBuf::as_path))?;
    let several = args.logs.len() > 1;
    if args.logs.iter().chain(&args.imu).filter(|path| is_dash(path)).count() > 1 {
        bail!("standard input (-) can be read only once");
    }
    if several
        && args.output.as_deref().is_some_and(|path| !is_folder(path) && !is_dash(path))
        && args.format.is_none_or(|f| f == Format::Html)
    {
        bail!("several reports cannot go into one HTML file; give a folder with -o (it may end in a slash to be made)");
    }
    if several && args.format == Some(Format::Html) && args.output.as_deref().is_none_or(is_dash) {
        bail!("several HTML reports cannot share standard output; give a folder with -o");
    }
    for export in [&args.export_gpx, &args.export_geojson, &args.write_marks].into_iter().flatten() {
        if several && !is_folder(export) {
            bail!(
                "several logs cannot go into {}; give a folder (it may end in a slash to be made)",
                input::name_of(export)
            );
        }
    }
    let logs: Vec<_> = args.logs.iter().map(|log| plan_log(args, log)).collect();
    let own_files = logs.iter().flat_map(|log| [&log.report, &log.gpx, &log.geojson, &log.marks]).flatten();
    let shared = shared_file(args);
    refuse_clashes(
        own_files.chain(shared.iter()),
        args.logs.iter().chain(&args.marks).chain(&args.imu).chain(&args.csv_map).map(PathBuf::as_path),
    )?;
    let text_file = |path: &Option<PathBuf>| path.as_deref().map(|p| flight_files::text_file(p, limits)).transpose();
    Ok(Plan {
        args,
        asked: flight_files::asked(limits),
        marks: text_file(&args.marks)?,
        inertial: flight_files::inertial(&args.imu, limits)?,
        csv_mapping: text_file(&args.csv_map)?,
        logs,
    })
}

fn plan_log<'a>(args: &ReportArgs, log: &'a Path) -> LogPlan<'a> {
    let export = |path: &Option<PathBuf>, suffix| path.as_deref().map(|path| Place::named(path, log, suffix));
    let report = match (args.format, args.output.as_deref()) {
        _ if shared_file(args).is_some() => None,
        (Some(format), Some(path)) => Some(Place::named(path, log, &format!("report.{}", format.extension()))),
        (Some(_), None) => Some(Place::Stdout),
        (None, Some(path)) => Some(Place::named(path, log, "report.html")),
        (None, None) if is_dash(log) => None,
        (None, None) => Some(Place::beside(log, "report.html")),
    };
    LogPlan {
        log,
        report,
        gpx: export(&args.export_gpx, "air.gpx"),
        geojson: export(&args.export_geojson, "air.geojson"),
        marks: export(&args.write_marks, "marks.csv"),
    }
}

/// The one file that takes the reports of several logs, when that was asked for.
fn shared_file(args: &ReportArgs) -> Option<Place> {
    let path = args.output.as_deref().filter(|path| !is_folder(path) && !is_dash(path))?;
    (args.logs.len() > 1 && args.format.is_some()).then(|| Place::File(path.to_owned()))
}

fn report_one(
    plan: &Plan<'_>,
    log: &LogPlan<'_>,
    collected: &mut Stream,
    beside: &mut BesideFiles,
) -> anyhow::Result<Outcome> {
    let name = input::name_of(log.log);
    let Some(analysis) = analyse(plan, log.log, &name)? else { return Ok(Outcome::NothingUsable) };
    beside.take(&analysis);
    let units = shown(plan.args, &analysis);
    write_exports(log, &analysis)?;
    if let Some(place) = &log.marks {
        place.write(marks_csv(&analysis)?.as_bytes())?;
    }
    if let Some(folder) = &plan.args.charts {
        let before = if plan.logs.len() > 1 { format!("{}.", stem(log.log)) } else { String::new() };
        chart_files::write(folder, &before, &charts(&analysis, &units))?;
    }
    let several = plan.args.logs.len() > 1;
    match plan.args.format {
        None => write_default(log, &analysis, &units)?,
        Some(format) => {
            let first = collected.reports == 0;
            let content = rendered(&analysis, format, &units, several && !into_own_file(log), first)?;
            match &log.report {
                Some(place) => place.write(content.as_bytes())?,
                None => collected.content.push_str(&content),
            }
            collected.reports += 1;
        }
    }
    let usable = analysis.accepted().any(|window| window.turn_rate.is_some());
    if !usable && plan.args.format.is_some() && into_own_file(log) {
        // Nothing else is seen of such a run on a terminal.
        terminal::note(&format!("{name}: no window gave a turn rate; the report says why"));
    }
    Ok(if usable { Outcome::Made } else { Outcome::NothingUsable })
}

fn into_own_file(log: &LogPlan<'_>) -> bool {
    matches!(log.report, Some(Place::File(_)))
}

/// Log to analysis; `None` (and a message) when the log was read but holds no track.
fn analyse(plan: &Plan<'_>, path: &Path, name: &str) -> anyhow::Result<Option<FlightAnalysis>> {
    let bytes = input::bytes(path, &plan.asked.config.input)?;
    let progress = Progress::start(name, Stage::ALL.len() + 1);
    progress.step(0, "reading");
    let files = FlightFiles {
        name: input::given_name(path),
        log: &bytes,
        marks: plan.marks.clone(),
        inertial: plan.inertial.clone(),
        csv_mapping: plan.csv_mapping.clone(),
    };
    let done = |stage| Stage::ALL.iter().position(|s| *s == stage).unwrap_or(0) + 1;
    let analysed = analyse_files(files, &plan.asked, &mut |stage| progress.step(done(stage), stage.words()));
    drop(progress);
    match analysed {
        Ok(analysis) => Ok(Some(analysis)),
        Err(refusal) if refusal.nothing_usable() => {
            let more = if is_dash(path) { "" } else { "; driftless check lists all that was found in it" };
            terminal::error(&format!("{refusal}{more}"));
            Ok(None)
        }
        Err(refusal) => Err(refusal.into()),
    }
}

/// A report in a format; of several that share a stream, all but the first without what stands once.
pub(crate) fn rendered(
    analysis: &FlightAnalysis,
    format: Format,
    units: &DisplayUnits,
    shares_stream: bool,
    first: bool,
) -> anyhow::Result<String> {
    Ok(match format {
        Format::Html => html(analysis, units),
        Format::Json => json(analysis, if shares_stream { JsonLayout::Line } else { JsonLayout::Pretty })?,
        Format::Csv => csv(analysis, if shares_stream && !first { CsvHeader::No } else { CsvHeader::Yes })?,
        Format::Text if shares_stream && !first => format!("\n{}\n{}", "=".repeat(80), text(analysis, units)),
        Format::Text => text(analysis, units),
    })
}

/// Without a format: the summary on standard output, the page beside the log, and where it is.
fn write_default(log: &LogPlan<'_>, analysis: &FlightAnalysis, units: &DisplayUnits) -> anyhow::Result<()> {
    if log.report == Some(Place::Stdout) {
        return to_stdout(html(analysis, units).as_bytes());
    }
    to_stdout(brief(analysis, units, terminal::width()).as_bytes())?;
    match &log.report {
        Some(place @ Place::File(path)) => {
            place.write(html(analysis, units).as_bytes())?;
            to_stdout(format!("Report with charts: {}\n", input::name_of(path)).as_bytes())
        }
        _ => {
            terminal::note("no report with charts was written, because the log has no folder; give a place with -o");
            Ok(())
        }
    }
}

/// How this report is to be shown.
fn shown(args: &ReportArgs, analysis: &FlightAnalysis) -> DisplayUnits {
    let places = match (args.share, args.exact_place) {
        (true, _) => Places::LeftOut,
        (false, true) => Places::Exact,
        (false, false) => Places::Rounded,
    };
    DisplayUnits { zone: args.time.at(analysis.track.epoch), places, ..args.units }
}

/// The track with the drift taken out.
fn write_exports(log: &LogPlan<'_>, analysis: &FlightAnalysis) -> anyhow::Result<()> {
    if log.gpx.is_none() && log.geojson.is_none() {
        return Ok(());
    }
    let Some(track) = export::air_track(analysis) else {
        terminal::note(&format!(
            "{}: no track with the drift taken out, because the wind is not known",
            input_name(analysis)
        ));
        return Ok(());
    };
    if let Some(place) = &log.gpx {
        place.write(&write_gpx(&track)?)?;
    }
    if let Some(place) = &log.geojson {
        place.write(&write_geojson(&track)?)?;
    }
    Ok(())
}
