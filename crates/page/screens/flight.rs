//! One flight: what it says, what can be corrected, what was flown.

use super::{series, windows};
use crate::app::{App, Progress};
use crate::bench;
use crate::failure::{Failure, Result};
use crate::forms::{Choice, check, number, number_of, scenario, scenarios, select, text, text_of};
use crate::layout::{Place, Told};
use crate::request::Request;
use crate::response::{BYTES, CSV, JSON, Response};
use crate::road::Marks;
use crate::settings::Settings;
use driftless_analysis::FlightAnalysis;
use driftless_analysis::campaign::model::Campaign;
use driftless_display::sentence;
use driftless_logbook::{About, Correction, FlightEntry, FlightId, LogbookError, MarkRow};
use driftless_report::{CsvHeader, FlightPieces, JsonLayout, csv, html as report_html, json, marks_csv};
use maud::{Markup, html};
use std::sync::Arc;

/// Everything that the screen of a flight is made from.
pub(super) struct Worked {
    pub(super) entry: FlightEntry,
    pub(super) campaign: Campaign,
    pub(super) settings: Settings,
    pub(super) analysis: Arc<FlightAnalysis>,
    /// The analysis without marks, in which further spans are found; `None` where it was not asked for.
    pub(super) found: Option<Arc<FlightAnalysis>>,
    pub(super) rows: Vec<MarkRow>,
    pub(super) history: Vec<Correction>,
}

/// Whether spans that nobody marked are looked for beside those that are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// Yes.
    Further,
    /// No: marks count alone.
    No,
}

pub(super) fn worked(app: &App, request: &Request, id: FlightId, look: Look, progress: Progress<'_>) -> Result<Worked> {
    let (entry, campaign, settings, corrected, history) = {
        let logbook = app.logbook()?;
        let entry = logbook.flight(id)?;
        let campaign = logbook.campaign(entry.campaign)?.campaign;
        let settings = crate::preferences::settings(&logbook)?;
        (entry, campaign, settings, logbook.marks(id)?, logbook.history(id)?)
    };
    let analysis = app.analysis(id, Marks::Counting, request.now, progress)?;
    let rows = bench::rows(corrected, &analysis);
    let found = match (rows.is_empty(), look) {
        (true, _) => Some(Arc::clone(&analysis)),
        (false, Look::Further) => Some(app.analysis(id, Marks::Left, request.now, progress)?),
        (false, Look::No) => None,
    };
    Ok(Worked { entry, campaign, settings, analysis, found, rows, history })
}

/// Whoever corrects marks wants to see what else could be one.
fn look(request: &Request, entry: &FlightEntry) -> Look {
    if entry.corrected || request.asked("look").is_some() { Look::Further } else { Look::No }
}

pub(crate) fn show(app: &App, request: &Request, id: FlightId, progress: Progress<'_>) -> Result<Response> {
    let entry = app.logbook()?.flight(id)?;
    let worked = match worked(app, request, id, look(request, &entry), progress) {
        Err(failure @ (Failure::Refused(_) | Failure::Logbook(LogbookError::NotAccepted { .. }))) => {
            return unusable(app, request, &entry, &failure);
        }
        worked => worked?,
    };
    let pieces = FlightPieces::of(&worked.analysis, &worked.settings.units);
    let at = |document: &str| format!("/flights/{}/{document}", id.0);
    let main = html! {
        h1 { (worked.entry.name) }
        p.facts { (pieces.facts) }
        (flown_with(&worked))
        (pieces.alerts)
        (pieces.finding)
        (windows::section(&worked, look(request, &worked.entry)))
        section aria-labelledby="keep" {
            h2 id="keep" { "Keep and pass on" }
            div.row {
                a.button href=(at("report.html")) download { "Report as a page" }
                a.button href=(at("report.json")) download { "JSON" }
                a.button href=(at("report.csv")) download { "CSV" }
                a.button href=(at("marks.csv")) download { "Marks" }
                a.button href=(at("log")) download { "The log as given" }
            }
        }
        (pieces.details)
        (further(&worked))
        (pieces.cautions)
    };
    let title = worked.entry.name.clone();
    app.screen(request, Place::Flights, &title, main)
}

/// A log that is kept and gives no result: why, and what can be done.
fn unusable(app: &App, request: &Request, entry: &FlightEntry, why: &Failure) -> Result<Response> {
    let main = html! {
        h1 { (entry.name) }
        div.told.wrong role="alert" { @for words in why.to_string().lines() { p { (sentence(words)) } } }
        p { "The log is kept as it was given. Correct what is wrong beside it, or remove it." }
        (remove_form(entry))
    };
    app.screen(request, Place::Flights, &entry.name, main)
}

fn named<T>(items: &[T], of: impl Fn(&T) -> (&str, &str)) -> Vec<Choice> {
    items.iter().map(of).map(|(key, name)| (key.to_owned(), name.to_owned())).collect()
}

/// What the flight was flown with, and the form to say so.
fn flown_with(worked: &Worked) -> Markup {
    let (about, campaign) = (&worked.entry.about, &worked.campaign);
    let setups = named(&campaign.setups, |s| (&s.key, &s.name));
    let wings = named(&campaign.wings, |w| (&w.key, &w.name));
    let pilots = named(&campaign.pilots, |p| (&p.key, &p.name));
    let called = |choices: &[Choice], key: &Option<String>| {
        key.as_ref().and_then(|key| choices.iter().find(|(own, _)| own == key)).map(|(_, name)| name.clone())
    };
    let parts: Vec<String> =
        [called(&setups, &about.setup), called(&wings, &about.wing), called(&pilots, &about.pilot)]
            .into_iter()
            .flatten()
            .collect();
    let summary = if worked.entry.waiting {
        "What was flown? Say set-up and wing, and this flight takes part in comparisons".to_owned()
    } else {
        format!("Flown with: {}", parts.join(" · "))
    };
    let new = |kind: &str| format!("/parts/{kind}?back=/flights/{}", worked.entry.id.0);
    html! {
        details {
            summary { (summary) @if about.exclude.is_some() { " · left out" } }
            form method="post" action=(format!("/flights/{}/about", worked.entry.id.0)) {
                div.fields {
                    (select("Set-up", "setup", Some("not said"), &setups, about.setup.as_deref()))
                    (select("Wing", "wing", Some("that of the set-up"), &wings, about.wing.as_deref()))
                    (select("Pilot", "pilot", Some("that of the set-up"), &pilots, about.pilot.as_deref()))
                    (select("Scenario of all windows", "scenario", Some("told by the log"), &scenarios(), about.scenario.map(|s| s.name())))
                    (number("Air temperature, °C", "temperature_c", about.temperature_c))
                    (number("QNH, hPa", "qnh_hpa", about.qnh_hpa))
                    (text("Height band", "altitude_note", about.altitude_note.as_deref()))
                    (text("Note", "note", about.note.as_deref()))
                    (text("Left out of comparisons, because", "exclude", about.exclude.as_deref()))
                }
                (check("Steady spans that nobody marked count too", "take_candidates", "yes", about.take_candidates))
                div.row {
                    button.first type="submit" { "Keep" }
                    a.button href=(new("setup")) { "New set-up" }
                    a.button href=(new("wing")) { "New wing" }
                    a.button href=(new("pilot")) { "New pilot" }
                }
            }
        }
    }
}

/// History of the marks, files beside the log, removing.
fn further(worked: &Worked) -> Markup {
    let entry = &worked.entry;
    let zone = worked.settings.units.zone;
    html! {
        section aria-labelledby="behind" {
            details {
                summary { h2 id="behind" { "Files and history" } }
                ul {
                    li { "Log: " (entry.name) @if let Some(sha256) = &entry.log_sha256 { ", SHA-256 " code { (sha256) } } }
                    @if let Some(marks) = &entry.marks { li { "Marks as given: " (marks) } }
                    @for file in &entry.inertial { li { "Inertial file: " (file) } }
                }
                form method="post" action=(format!("/flights/{}/files", entry.id.0)) enctype="multipart/form-data" {
                    label.field { "Marks or inertial files for this log" input type="file" name="files" multiple required; }
                    div.row { button type="submit" { "Add these files" } }
                }
                @if !worked.history.is_empty() {
                    h3 { "What was corrected" }
                    ol {
                        @for correction in &worked.history {
                            li { (zone.date(correction.at)) " " (zone.clock(correction.at)) ": " (correction.what) @if correction.current { strong { " (this counts)" } } }
                        }
                    }
                }
                (remove_form(entry))
            }
        }
    }
}

fn remove_form(entry: &FlightEntry) -> Markup {
    html! {
        details {
            summary { "Remove this flight" }
            p { "The log, its marks and their history go out of the logbook. Keep the log first, if you have no other copy." }
            form method="post" action=(format!("/flights/{}/remove", entry.id.0)) {
                div.row { button type="submit" { "Remove " (entry.name) } }
            }
        }
    }
}

pub(crate) fn set_about(app: &App, request: &Request, id: FlightId) -> Result<Response> {
    let mut logbook = app.logbook()?;
    let entry = logbook.flight(id)?;
    let about = About {
        setup: text_of(request, "setup"),
        wing: text_of(request, "wing"),
        pilot: text_of(request, "pilot"),
        scenario: scenario(request, "scenario")?,
        take_candidates: request.field("take_candidates").is_some(),
        exclude: text_of(request, "exclude"),
        leave_out: entry.about.leave_out,
        temperature_c: number_of(request, "Air temperature", "temperature_c")?,
        qnh_hpa: number_of(request, "QNH", "qnh_hpa")?,
        altitude_note: text_of(request, "altitude_note"),
        note: text_of(request, "note"),
    };
    logbook.set_about(id, &about)?;
    let waiting = logbook.flight(id)?.waiting;
    drop(logbook);
    let words = match (waiting, &about.setup) {
        (false, _) => "Kept. This flight takes part in comparisons.",
        (true, None) => "Kept. Say the set-up too, and this flight takes part in comparisons.",
        (true, Some(_)) => "Kept. Say the wing too, and this flight takes part in comparisons.",
    };
    app.see_and_tell(&format!("/flights/{}", id.0), Told { wrong: false, words: vec![words.to_owned()] })
}

pub(crate) fn remove(app: &App, id: FlightId) -> Result<Response> {
    let mut logbook = app.logbook()?;
    let name = logbook.flight(id)?.name;
    logbook.remove_flight(id)?;
    drop(logbook);
    app.see_and_tell("/", Told { wrong: false, words: vec![format!("{name} was removed.")] })
}

/// A document of the flight.
pub(crate) fn document(
    app: &App,
    request: &Request,
    id: FlightId,
    document: &str,
    progress: Progress<'_>,
) -> Result<Response> {
    let entry = app.logbook()?.flight(id)?;
    let stem = entry.key.clone();
    if document == "log" {
        let log = app.logbook()?.flight_files(id)?.log;
        return Ok(Response::of(BYTES, log).saved_as(entry.name));
    }
    if document == "series.json" {
        let worked = worked(app, request, id, look(request, &entry), progress)?;
        let candidates = worked.found.as_ref().map(|found| bench::candidates(found, &worked.rows)).unwrap_or_default();
        return series::document(request, &worked.analysis, &worked.rows, &candidates, &worked.settings);
    }
    let written = |error: &dyn std::fmt::Display| Failure::Written(error.to_string());
    let (_, settings) = app.reader()?;
    let analysis = app.analysis(id, Marks::Counting, request.now, progress)?;
    match document {
        "report.html" => {
            Ok(Response::html(report_html(&analysis, &settings.units)).saved_as(format!("{stem}.report.html")))
        }
        "report.json" => {
            let text = json(&analysis, JsonLayout::Pretty).map_err(|error| written(&error))?;
            Ok(Response::of(JSON, text.into_bytes()).saved_as(format!("{stem}.report.json")))
        }
        "report.csv" => {
            let text = csv(&analysis, CsvHeader::Yes).map_err(|error| written(&error))?;
            Ok(Response::of(CSV, text.into_bytes()).saved_as(format!("{stem}.report.csv")))
        }
        "marks.csv" => {
            let text = marks_csv(&analysis).map_err(|error| written(&error))?;
            Ok(Response::of(CSV, text.into_bytes()).saved_as(format!("{stem}.marks.csv")))
        }
        _ => Err(Failure::NotFound),
    }
}
