//! Runs timed with a stopwatch: listed, put in, taken out.

use crate::app::App;
use crate::failure::{Failure, Result};
use crate::forms::{Choice, needed, number, number_of, scenario, scenarios, select, text, text_of};
use crate::layout::{Place, Told};
use crate::preferences;
use crate::request::Request;
use crate::response::Response;
use chrono::NaiveDate;
use driftless_analysis::campaign::model::usual::{POINTING_STD_U_DEG, READING_STD_U_S};
use driftless_analysis::campaign::model::{Campaign, Timing, Turned};
use driftless_display::{fixed, scenario_words};
use driftless_logbook::{RunId, StopwatchItem, WithKeys};
use maud::{Markup, html};

pub(crate) fn show(app: &App, request: &Request) -> Result<Response> {
    let (campaign, runs) = {
        let logbook = app.logbook()?;
        let id = preferences::campaign(&logbook)?;
        (logbook.campaign(id)?.campaign, logbook.stopwatch_runs(id)?)
    };
    let main = html! {
        h1 { "Stopwatch runs" }
        p.facts { (campaign.title) }
        p { "A run that was timed past landmarks, hands off: how far it turned, and how long that took. It counts in comparisons like any other, \
             with the error of the watch." }
        @if campaign.setups.is_empty() || campaign.wings.is_empty() {
            p { "Describe a set-up and a wing first. " a href="/parts" { "To the set-ups" } }
        } @else {
            (form(&campaign))
        }
        ul.list {
            @for (id, run) in &runs {
                li {
                    p { strong { (name_of(&campaign, run)) } ": " (fixed(run.timing.degrees, 0)) "° " (side(run.timing.turned)) " in "
                        (fixed(run.timing.seconds, 1)) "\u{a0}s" @if let Some(date) = run.date { " · " (date) } @if let Some(by) = &run.timed_by { " · timed by " (by) } }
                    form method="post" action=(format!("/watch/{}/remove", id.0)) { div.row { button type="submit" { "Remove" } } }
                }
            }
        }
    };
    app.screen(request, Place::Parts, "Stopwatch runs", main)
}

const fn side(turned: Turned) -> &'static str {
    match turned {
        Turned::Left => "left",
        Turned::Right => "right",
    }
}

fn name_of(campaign: &Campaign, run: &StopwatchItem) -> String {
    let setup =
        campaign.setups.iter().find(|setup| setup.key == run.with.setup).map_or("", |setup| setup.name.as_str());
    let wing = campaign.wings.iter().find(|wing| wing.key == run.with.wing).map_or("", |wing| wing.name.as_str());
    format!("{setup}, {wing}, {}", scenario_words(run.scenario))
}

fn form(campaign: &Campaign) -> Markup {
    let named = |key: &str, name: &str| (key.to_owned(), name.to_owned());
    let setups: Vec<Choice> = campaign.setups.iter().map(|s| named(&s.key, &s.name)).collect();
    let wings: Vec<Choice> = campaign.wings.iter().map(|w| named(&w.key, &w.name)).collect();
    let pilots: Vec<Choice> = campaign.pilots.iter().map(|p| named(&p.key, &p.name)).collect();
    let sides = [named("left", "left"), named("right", "right")];
    html! {
        form method="post" action="/watch" {
            div.fields {
                (select("Set-up", "setup", None, &setups, None))
                (select("Wing", "wing", None, &wings, None))
                (select("Pilot", "pilot", Some("not said"), &pilots, None))
                (select("Scenario", "scenario", None, &scenarios(), None))
                (select("It turned", "turned", None, &sides, None))
                (number("Degrees", "degrees", Some(90.0)))
                (needed("Seconds", "seconds", None))
                (number("Timed how many times (seconds are the mean)", "count", Some(1.0)))
                (text("Timed by", "timed_by", None))
                label.field { "Day" input type="date" name="date"; }
            }
            div.row { button.first type="submit" { "Add this run" } }
        }
    }
}

pub(crate) fn add(app: &App, request: &Request) -> Result<Response> {
    let missing = |what: &str| Failure::asked(format!("{what} is missing"));
    let count = number_of(request, "Timed how many times", "count")?.unwrap_or(1.0);
    if !(1.0..=1000.0).contains(&count) || count.fract() != 0.0 {
        return Err(Failure::asked("a run is timed once or several times: write a whole number from 1 to 1000"));
    }
    let date = match request.field("date") {
        None => None,
        Some(written) => {
            let day = written
                .parse::<NaiveDate>()
                .map_err(|_| Failure::asked(format!("\"{written}\" is no day; write it as 2026-05-14")));
            Some(day?)
        }
    };
    let run = StopwatchItem {
        with: WithKeys {
            setup: text_of(request, "setup").ok_or_else(|| missing("the set-up"))?,
            wing: text_of(request, "wing").ok_or_else(|| missing("the wing"))?,
            pilot: text_of(request, "pilot"),
        },
        scenario: scenario(request, "scenario")?.ok_or_else(|| missing("the scenario"))?,
        timing: Timing {
            degrees: number_of(request, "Degrees", "degrees")?.ok_or_else(|| missing("the angle"))?,
            seconds: number_of(request, "Seconds", "seconds")?.ok_or_else(|| missing("the time"))?,
            count: count as u32,
            turned: if request.field("turned") == Some("right") { Turned::Right } else { Turned::Left },
            reading_std_u_s: READING_STD_U_S,
            pointing_std_u_deg: POINTING_STD_U_DEG,
        },
        timed_by: text_of(request, "timed_by"),
        date,
        same_run: None,
        note: None,
    };
    let mut logbook = app.logbook()?;
    let id = preferences::campaign(&logbook)?;
    logbook.put_stopwatch_run(id, &run, None)?;
    drop(logbook);
    app.see_and_tell("/watch", Told { wrong: false, words: vec!["The run was added.".to_owned()] })
}

pub(crate) fn remove(app: &App, id: &str) -> Result<Response> {
    let id = id.parse().map(RunId).map_err(|_| Failure::NotFound)?;
    app.logbook()?.remove_stopwatch_run(id)?;
    app.see_and_tell("/watch", Told { wrong: false, words: vec!["The run was removed.".to_owned()] })
}
