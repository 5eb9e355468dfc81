//! One log: from bytes to what is told of it.

use super::done::{Content, Done, Message};
use super::kept::Kept;
use super::plan::{LogPlan, Plan};
use crate::args::{Format, ReportArgs, ReportFormat};
use crate::input::{self, is_dash};
use crate::outcome::Outcome;
use crate::output::Place;
use crate::terminal::{self, Progress};
use crate::{chart_files, export};
use driftless_analysis::{FileNotUsed, FlightAnalysis, FlightFiles, RefusalFault, Stage, analyse_files};
use driftless_charts::charts;
use driftless_display::reasons::file_not_used;
use driftless_display::{DisplayUnits, Places};
use driftless_formats::{write_geojson, write_gpx};
use driftless_report::{CsvHeader, JsonLayout, brief, csv, html, json, marks_csv, text, window_rows};
use driftless_units::printable;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Reports one log. Whatever goes wrong is told in what is given back, and stops no other log; even a fault of the program.
pub(super) fn report(plan: &Plan<'_>, log: &LogPlan, kept: Option<&Kept>) -> Done {
    catch_unwind(AssertUnwindSafe(|| report_kept(plan, log, kept))).unwrap_or_else(|_| {
        let name = input::name_of(&log.log.path);
        let why = format!("{name}: the program failed on this log, which is a fault of the program; please report it");
        Done::without_report(Outcome::Failed, why)
    })
}

/// Takes what was kept of the same log, or does it and keeps it.
fn report_kept(plan: &Plan<'_>, log: &LogPlan, kept: Option<&Kept>) -> Done {
    let bytes = match input::bytes(&log.log.path, &plan.asked.config.input) {
        Ok(bytes) => bytes,
        Err(error) => return Done::without_report(Outcome::Failed, format!("{error:#}")),
    };
    let Some(kept) = kept else {
        return finished(report_bytes(plan, log, &bytes));
    };
    let key = kept.key(log, &bytes);
    if let Some(done) = kept.find(&key) {
        return done;
    }
    let reported = report_bytes(plan, log, &bytes);
    // What could not be written may be written next time.
    let to_keep = reported.is_ok();
    let mut done = finished(reported);
    if to_keep && let Some(words) = kept.keep(&key, &done) {
        done.messages.push(Message::Note(words));
    }
    done
}

fn finished(reported: anyhow::Result<Done>) -> Done {
    reported.unwrap_or_else(|error| Done::without_report(Outcome::Failed, format!("{error:#}")))
}

/// A log that was read.
///
/// # Errors
/// Something that cannot be written.
fn report_bytes(plan: &Plan<'_>, log: &LogPlan, bytes: &[u8]) -> anyhow::Result<Done> {
    let analysis = match analyse(plan, log, bytes) {
        Ok(analysis) => analysis,
        Err(none) => return Ok(none),
    };
    let fault =
        |file: FileNotUsed| (file.code().to_owned(), format!("{}: {}", input_name(&analysis), file_not_used(&file)));
    let mut done =
        Done { beside: Some(analysis.files_not_used().map(fault).collect()), ..Done::of(Outcome::NothingUsable) };
    let units = shown(plan.args, &analysis);
    write_exports(log, &analysis, &mut done)?;
    if let Some(place) = &log.marks {
        done.write(place, marks_csv(&analysis)?.as_bytes())?;
    }
    if let Some(folder) = &plan.args.charts {
        let before = if plan.several() { format!("{}.", log.stem) } else { String::new() };
        chart_files::write(&folder.join(&log.log.below), &before, &charts(&analysis, &units))?;
    }
    match plan.args.format {
        None => write_default(log, &analysis, &units, &mut done)?,
        Some(ReportFormat::Parquet) => done.content = Some(Content::Rows(window_rows(&analysis)?)),
        Some(format) => {
            let content = of_text(&analysis, format, &units, plan.several() && !into_own_file(log))?;
            match &log.report {
                Some(place) => done.write(place, content.as_bytes())?,
                None => done.content = Some(Content::Text(content)),
            }
        }
    }
    if analysis.accepted().any(|window| window.turn_rate.is_some()) {
        done.outcome = Outcome::Made;
    } else if plan.args.format.is_some() && into_own_file(log) {
        // Nothing else is seen of such a run on a terminal.
        let words = format!("{}: no window gave a turn rate; the report says why", input::name_of(&log.log.path));
        done.messages.push(Message::Note(words));
    }
    Ok(done)
}

impl Done {
    /// Writes a file, and notes it; on standard output it takes its turn.
    fn write(&mut self, place: &Place, content: &[u8]) -> anyhow::Result<()> {
        match place {
            Place::Stdout => self.content = Some(Content::Text(String::from_utf8_lossy(content).into_owned())),
            Place::File(path) => {
                place.write(content)?;
                self.files.push(path.clone());
            }
        }
        Ok(())
    }
}

fn into_own_file(log: &LogPlan) -> bool {
    matches!(log.report, Some(Place::File(_)))
}

/// The name of the log in messages.
fn input_name(analysis: &FlightAnalysis) -> String {
    printable(&analysis.file).into_owned()
}

/// Bytes to analysis; what is to be told when there is none.
fn analyse(plan: &Plan<'_>, log: &LogPlan, bytes: &[u8]) -> Result<FlightAnalysis, Done> {
    let path = &log.log.path;
    let name = input::name_of(path);
    // Of many logs there is one bar for all.
    let progress = (!plan.many()).then(|| Progress::start(&name, Stage::ALL.len() + 1));
    let step = |done, words| progress.iter().for_each(|progress| progress.step(done, words));
    step(0, "reading");
    let files = FlightFiles {
        name: input::given_name(path),
        log: bytes,
        marks: plan.marks.clone(),
        inertial: plan.inertial.clone(),
        csv_mapping: plan.csv_mapping.clone(),
    };
    let done = |stage| Stage::ALL.iter().position(|s| *s == stage).unwrap_or(0) + 1;
    let analysed = analyse_files(files, &plan.asked_for(path), &mut |stage| step(done(stage), stage.words()));
    drop(progress);
    analysed.map_err(|refusal| {
        if log.log.perhaps && matches!(refusal.fault, RefusalFault::Log(_)) {
            let words = format!("passed over, because it is no flight log: {refusal}");
            return Done {
                passed_over: true,
                messages: vec![Message::Note(words)],
                ..Done::of(Outcome::NothingUsable)
            };
        }
        if refusal.nothing_usable() {
            let more = if is_dash(path) { "" } else { "; driftless check lists all that was found in it" };
            return Done::without_report(Outcome::NothingUsable, format!("{refusal}{more}"));
        }
        Done::without_report(Outcome::Failed, format!("{:#}", anyhow::Error::from(refusal)))
    })
}

/// A report in a format of text; of several that share a stream, whole, and JSON on one line.
fn of_text(
    analysis: &FlightAnalysis,
    format: ReportFormat,
    units: &DisplayUnits,
    shares_stream: bool,
) -> anyhow::Result<String> {
    format.of_text().map_or_else(|| Ok(String::new()), |format| rendered(analysis, format, units, shares_stream))
}

/// A report in a format, whole; JSON on one line where it shares a stream.
pub(crate) fn rendered(
    analysis: &FlightAnalysis,
    format: Format,
    units: &DisplayUnits,
    shares_stream: bool,
) -> anyhow::Result<String> {
    Ok(match format {
        Format::Html => html(analysis, units),
        Format::Json => json(analysis, if shares_stream { JsonLayout::Line } else { JsonLayout::Pretty })?,
        Format::Csv => csv(analysis, CsvHeader::Yes)?,
        Format::Text => text(analysis, units),
    })
}

/// Without a format: the summary on standard output, the page beside the log, and where it is.
fn write_default(
    log: &LogPlan,
    analysis: &FlightAnalysis,
    units: &DisplayUnits,
    done: &mut Done,
) -> anyhow::Result<()> {
    if log.report == Some(Place::Stdout) {
        done.content = Some(Content::Text(html(analysis, units)));
        return Ok(());
    }
    let summary = brief(analysis, units, terminal::width());
    match &log.report {
        Some(place @ Place::File(path)) => {
            done.write(place, html(analysis, units).as_bytes())?;
            done.content = Some(Content::Text(format!("{summary}Report with charts: {}\n", input::name_of(path))));
        }
        _ => {
            done.content = Some(Content::Text(summary));
            let words = "no report with charts was written, because the log has no folder; give a place with -o";
            done.messages.push(Message::Note(words.to_owned()));
        }
    }
    Ok(())
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
fn write_exports(log: &LogPlan, analysis: &FlightAnalysis, done: &mut Done) -> anyhow::Result<()> {
    if log.gpx.is_none() && log.geojson.is_none() {
        return Ok(());
    }
    let Some(track) = export::air_track(analysis) else {
        let words =
            format!("{}: no track with the drift taken out, because the wind is not known", input_name(analysis));
        done.messages.push(Message::Note(words));
        return Ok(());
    };
    if let Some(place) = &log.gpx {
        done.write(place, &write_gpx(&track)?)?;
    }
    if let Some(place) = &log.geojson {
        done.write(place, &write_geojson(&track)?)?;
    }
    Ok(())
}
