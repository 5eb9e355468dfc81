//! The windows of a flight, to be corrected: move an edge, add, delete, confirm, name; undo and redo.

use super::flight::{Look, Worked, worked};
use crate::app::{App, Progress};
use crate::bench;
use crate::clock::{moment, typed};
use crate::failure::{Failure, Result};
use crate::forms::{Choice, needed, scenario, scenarios, select, text, text_of};
use crate::layout::Told;
use crate::request::Request;
use crate::response::Response;
use chrono::{DateTime, Utc};
use driftless_analysis::{FlightAnalysis, WindowMeasurement};
use driftless_display::reasons::reasons;
use driftless_display::{DisplayUnits, fixed, turn_signed, window_scenario_words};
use driftless_logbook::{FlightId, MarkRow};
use maud::{Markup, html};

pub(super) fn section(worked: &Worked, look: Look) -> Markup {
    let id = worked.entry.id.0;
    let candidates = worked.found.as_ref().map(|found| bench::candidates(found, &worked.rows)).unwrap_or_default();
    let current = worked.history.iter().position(|correction| correction.current);
    let parent = current.and_then(|at| worked.history.get(at)).map(|correction| correction.id);
    let can_redo = worked.history.iter().any(|correction| correction.parent == parent);
    let series = match look {
        Look::Further => format!("/flights/{id}/series.json?look=further"),
        Look::No => format!("/flights/{id}/series.json"),
    };
    html! {
        section aria-labelledby="windows" {
            h2 id="windows" { "Windows" }
            p.subtitle { "A window is the time in which your hands were off the brakes. Move its edges, take it out, add one. The log itself is never changed; \
                          every step can be taken back." }
            div.row {
                (step_form(id, "undo", "Undo", current.is_some()))
                (step_form(id, "redo", "Redo", can_redo))
            }
            div.flight-plot data-plot=(series) data-windows=(format!("/flights/{id}/windows")) {}
            ol.windows-edit {
                @for (row, marks) in worked.rows.iter().enumerate() { (row_form(worked, row, marks)) }
            }
            (candidates_list(worked, &candidates, look))
            (add_form(worked))
        }
    }
}

fn step_form(id: i64, step: &str, words: &str, possible: bool) -> Markup {
    html! {
        form method="post" action=(format!("/flights/{id}/{step}")) { button type="submit" disabled[!possible] { (words) } }
    }
}

/// What a window shows, in a line.
fn shows(measured: Option<&WindowMeasurement>, units: &DisplayUnits) -> Markup {
    let Some(measured) = measured else {
        return html! { p.doubts { "This window is not used: it lies outside the log, or over another one." } };
    };
    let why: Vec<String> = reasons(&measured.verdict, units);
    html! {
        p {
            @if let Some(rate) = measured.turn_rate.as_ref().filter(|_| measured.accepted()) {
                strong { (turn_signed(units, rate)) " " (units.turn.sign()) } " · "
            }
            (window_scenario_words(&measured.window)) " · "
            (fixed(measured.window.take_over_s - measured.window.let_go_s, 0)) "\u{a0}s"
            @if !measured.accepted() { " · refused" }
        }
        @if !why.is_empty() { p.doubts { (why.join("; ")) "." } }
    }
}

fn row_form(worked: &Worked, row: usize, marks: &MarkRow) -> Markup {
    let units = &worked.settings.units;
    let setups: Vec<Choice> =
        worked.campaign.setups.iter().map(|setup| (setup.name.clone(), setup.name.clone())).collect();
    // A set-up that the marks name and the campaign does not know stays as it is.
    let own = marks.setup.iter().filter(|name| setups.iter().all(|(known, _)| known != *name));
    let setups: Vec<Choice> = setups.iter().cloned().chain(own.map(|name| (name.clone(), name.clone()))).collect();
    html! {
        li {
            h3 { "Window " (row + 1) }
            (shows(bench::measured(&worked.analysis, marks), units))
            form method="post" action=(format!("/flights/{}/windows", worked.entry.id.0)) {
                input type="hidden" name="row" value=(row);
                div.fields {
                    (needed(&format!("Let-go, {}", units.zone.name()), "let_go", Some(&typed(marks.let_go, units.zone))))
                    (needed(&format!("Take-over, {}", units.zone.name()), "take_over", Some(&typed(marks.take_over, units.zone))))
                    (select("Scenario", "scenario", Some("told by the log"), &scenarios(), marks.scenario.map(|s| s.name())))
                    (select("Set-up", "setup", Some("that of the flight"), &setups, marks.setup.as_deref()))
                    (text("Note", "note", marks.note.as_deref()))
                }
                div.row {
                    button type="submit" name="do" value="save" { "Save" }
                    button type="submit" name="do" value="delete" { "Delete" }
                }
            }
        }
    }
}

fn candidates_list(worked: &Worked, candidates: &[&WindowMeasurement], look: Look) -> Markup {
    let units = &worked.settings.units;
    let id = worked.entry.id.0;
    if worked.found.is_none() {
        return html! {
            @if look == Look::No { p { a.button href=(format!("/flights/{id}?look=further#windows")) { "Look for further steady spans" } } }
        };
    }
    let Some(found) = &worked.found else { return html! {} };
    html! {
        @if !candidates.is_empty() {
            h3 { "Steady spans that nobody marked" }
            p.subtitle { "They look like hands off. Only you know: confirm those in which your hands were off the brakes." }
            ol.windows-edit {
                @for candidate in candidates {
                    @let row = bench::row_of(found, candidate);
                    li.candidate {
                        h3 { (typed(row.let_go, units.zone)) " to " (typed(row.take_over, units.zone)) }
                        (shows(Some(candidate), units))
                        form method="post" action=(format!("/flights/{id}/windows")) {
                            input type="hidden" name="let_go" value=(row.let_go.to_rfc3339());
                            input type="hidden" name="take_over" value=(row.take_over.to_rfc3339());
                            div.row { button type="submit" name="do" value="confirm" { "Confirm hands off" } }
                        }
                    }
                }
            }
        }
    }
}

fn add_form(worked: &Worked) -> Markup {
    let zone = worked.settings.units.zone.name();
    html! {
        details {
            summary { "Add a window" }
            form method="post" action=(format!("/flights/{}/windows", worked.entry.id.0)) {
                div.fields {
                    (needed(&format!("Let-go, {zone}"), "let_go", None))
                    (needed(&format!("Take-over, {zone}"), "take_over", None))
                    (select("Scenario", "scenario", Some("told by the log"), &scenarios(), None))
                    (text("Note", "note", None))
                }
                div.row { button type="submit" name="do" value="add" { "Add this window" } }
            }
        }
    }
}

/// A correction.
pub(crate) fn change(app: &App, request: &Request, id: FlightId, progress: Progress<'_>) -> Result<Response> {
    let worked = worked(app, request, id, Look::No, progress)?;
    let mut rows = worked.rows.clone();
    let zone = worked.settings.units.zone;
    let told_row = || -> Result<usize> {
        let row = request.field("row").and_then(|row| row.parse().ok());
        row.filter(|row| *row < rows.len()).ok_or_else(|| Failure::asked("this window is gone; load the flight again"))
    };
    let span = |row: Option<&MarkRow>| {
        format!(
            "{} to {}",
            row.map_or(String::new(), |r| typed(r.let_go, zone)),
            row.map_or(String::new(), |r| typed(r.take_over, zone))
        )
    };
    let what = match request.field("do") {
        Some("delete") => {
            let row = told_row()?;
            let gone = rows.remove(row);
            format!("window {} ({}) deleted", row + 1, span(Some(&gone)))
        }
        Some("save") => {
            let row = told_row()?;
            let before = span(rows.get(row));
            if let Some(marks) = rows.get_mut(row) {
                change_row(request, marks, &worked.analysis, zone)?;
            }
            format!("window {} changed: {before} is now {}", row + 1, span(rows.get(row)))
        }
        Some("confirm" | "add") => {
            let middle = bench::moment(&worked.analysis, 0.5 * worked.analysis.track.duration_s());
            let mut marks = MarkRow { let_go: middle, take_over: middle, scenario: None, setup: None, note: None };
            change_row(request, &mut marks, &worked.analysis, zone)?;
            let words = format!("window from {} added", span(Some(&marks)));
            rows.push(marks);
            words
        }
        _ => return Err(Failure::asked("this form was sent without its button; press one of them")),
    };
    judge(&mut rows, &worked.analysis, zone)?;
    app.logbook()?.correct(id, &rows, &what, request.now)?;
    // The analysis that follows is the one that the screen shows: so it is made while this request is waited for.
    app.see_and_tell(
        &format!("/flights/{}", id.0),
        Told { wrong: false, words: vec![driftless_display::sentence(&what)] },
    )
}

/// Takes what the form says of a row; a field that is not there leaves what was.
fn change_row(
    request: &Request,
    marks: &mut MarkRow,
    analysis: &FlightAnalysis,
    zone: driftless_display::Zone,
) -> Result<()> {
    let near = |old: DateTime<Utc>| if old == DateTime::<Utc>::UNIX_EPOCH { analysis.track.epoch } else { old };
    if let Some(written) = request.field("let_go") {
        marks.let_go = moment("Let-go", written, near(marks.let_go), zone)?;
    }
    if let Some(written) = request.field("take_over") {
        marks.take_over = moment("Take-over", written, near(marks.take_over), zone)?;
    }
    let there = |name: &str| request.parts.iter().any(|part| part.name == name);
    if there("scenario") {
        marks.scenario = scenario(request, "scenario")?;
    }
    if there("setup") {
        marks.setup = text_of(request, "setup");
    }
    if there("note") {
        marks.note = text_of(request, "note");
    }
    Ok(())
}

/// Puts rows in order, and refuses those that the analysis could not use: here somebody can still put them right.
fn judge(rows: &mut [MarkRow], analysis: &FlightAnalysis, zone: driftless_display::Zone) -> Result<()> {
    rows.sort_by_key(|row| row.let_go);
    let track = &analysis.track;
    let (from, to) = (track.epoch, track.time_at(track.duration_s()));
    for row in rows.iter() {
        let span = format!("{} to {}", typed(row.let_go, zone), typed(row.take_over, zone));
        if row.take_over <= row.let_go {
            return Err(Failure::asked(format!(
                "the window from {span} ends before it begins; take-over comes after let-go"
            )));
        }
        if row.take_over <= from || row.let_go >= to {
            return Err(Failure::asked(format!(
                "the window from {span} lies outside the log, which runs from {} to {} {}",
                typed(from, zone),
                typed(to, zone),
                zone.name()
            )));
        }
    }
    if let Some(pair) = rows.windows(2).find(|pair| pair[1].let_go < pair[0].take_over) {
        return Err(Failure::asked(format!(
            "the window that begins at {} lies over the one that ends at {}; between two windows the brakes are taken",
            typed(pair[1].let_go, zone),
            typed(pair[0].take_over, zone)
        )));
    }
    Ok(())
}

/// A step in the history of the marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    /// To the marks before the last correction.
    Undo,
    /// To the correction that was undone.
    Redo,
}

pub(crate) fn step(app: &App, id: FlightId, step: Step) -> Result<Response> {
    let mut logbook = app.logbook()?;
    let undone = logbook.history(id)?.into_iter().find(|correction| correction.current);
    let (done, words) = match step {
        Step::Undo => (logbook.undo(id)?, undone.map(|correction| format!("Taken back: {}.", correction.what))),
        Step::Redo => {
            let done = logbook.redo(id)?;
            let redone = logbook.history(id)?.into_iter().find(|correction| correction.current);
            (done, redone.map(|correction| format!("Done again: {}.", correction.what)))
        }
    };
    drop(logbook);
    let words = words.filter(|_| done).unwrap_or_else(|| "There is nothing further to go to.".to_owned());
    app.see_and_tell(&format!("/flights/{}", id.0), Told { wrong: false, words: vec![words] })
}
