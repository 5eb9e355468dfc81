//! Set-ups against each other: what is compared is chosen, the rest is the report of a campaign.

use crate::app::{App, Progress};
use crate::choice::Choice;
use crate::failure::{Failure, Result};
use crate::forms::check;
use crate::gate::SIDE_BY_SIDE;
use crate::layout::Place;
use crate::request::Request;
use crate::response::{CSV, JSON, Response};
use crate::settings::Settings;
use driftless_analysis::MadeBy;
use driftless_analysis::campaign::model::{Campaign, FlightId, SCENARIOS};
use driftless_analysis::campaign::{
    CampaignAnalysis, CampaignInput, FlightFailure, FlightOutcome, analyse_campaign, plan_campaign,
};
use driftless_analysis::{FlightConfig, sha256};
use driftless_display::{count_of, scenario_words};
use driftless_logbook::{CampaignOut, FlightId as StoredFlight};
use driftless_report::{CampaignPieces, campaign_csv, campaign_html, campaign_json, plan_html};
use maud::{Markup, html};

/// A campaign, compared as chosen.
struct Compared {
    analysis: CampaignAnalysis,
    whole: Campaign,
    waiting: usize,
    settings: Settings,
}

fn compared(app: &App, request: &Request, choice: &Choice, progress: Progress<'_>) -> Result<Compared> {
    let (id, settings) = app.reader()?;
    let CampaignOut { campaign, flights, waiting } = app.logbook()?.campaign(id)?;
    let outcomes = outcomes(app, request, choice, (&campaign, &flights), progress);
    progress("Comparing");
    let (part, outcomes) = choice.part(&campaign, &outcomes);
    let input = CampaignInput {
        made_by: MadeBy {
            version: app.version.clone(),
            command: "page".to_owned(),
            input_sha256: sha256(driftless_analysis::campaign::file::write(&part).as_bytes()),
            config: FlightConfig::default().entries(),
        },
        file: "campaign.toml".to_owned(),
        campaign: part,
        flights: outcomes,
    };
    let input = if choice.anonymous { input.anonymous() } else { input };
    Ok(Compared { analysis: analyse_campaign(input), whole: campaign, waiting: waiting.len(), settings })
}

/// What became of each flight. Two are measured at a time, where there are threads.
fn outcomes(
    app: &App,
    request: &Request,
    choice: &Choice,
    (campaign, stored): (&Campaign, &[StoredFlight]),
    progress: Progress<'_>,
) -> Vec<FlightOutcome> {
    let numbers: Vec<usize> = (0..stored.len()).collect();
    let one = |number: usize| {
        let Some((flight, stored)) = campaign.flights.get(number).zip(stored.get(number)) else {
            return Err(FlightFailure::LeftOut);
        };
        if flight.exclude.is_some() || !choice.may_take(campaign, flight.with) {
            return Err(FlightFailure::LeftOut);
        }
        match app.summary(*stored, FlightId(number), request.now, &mut |_| ()) {
            Ok(summary) => Ok(summary),
            Err(Failure::Refused(refusal)) => Err(FlightFailure::Refused(*refusal)),
            Err(failure) => Err(FlightFailure::NotRead(failure.to_string())),
        }
    };
    let mut outcomes = Vec::with_capacity(numbers.len());
    for pair in numbers.chunks(SIDE_BY_SIDE) {
        progress(&format!("Measuring flight {} of {}", pair.first().map_or(0, |first| first + 1), numbers.len()));
        outcomes.extend(side_by_side(pair, &one));
    }
    outcomes
}

#[cfg(not(target_arch = "wasm32"))]
fn side_by_side(numbers: &[usize], one: &(impl Fn(usize) -> FlightOutcome + Sync)) -> Vec<FlightOutcome> {
    std::thread::scope(|threads| {
        let running: Vec<_> = numbers.iter().map(|number| threads.spawn(|| one(*number))).collect();
        let broken = || Err(FlightFailure::NotRead("the analysis of this flight broke off".to_owned()));
        running.into_iter().map(|thread| thread.join().unwrap_or_else(|_| broken())).collect()
    })
}

/// A browser's worker is one thread.
#[cfg(target_arch = "wasm32")]
fn side_by_side(numbers: &[usize], one: &impl Fn(usize) -> FlightOutcome) -> Vec<FlightOutcome> {
    numbers.iter().map(|number| one(*number)).collect()
}

pub(crate) fn show(app: &App, request: &Request, progress: Progress<'_>) -> Result<Response> {
    let choice = Choice::of(request);
    let compared = compared(app, request, &choice, progress)?;
    let Compared { analysis, whole, waiting, settings } = &compared;
    let at = |document: &str| format!("/compare/{document}?{}", choice.query());
    let main = html! {
        h1 { "Set-ups compared" }
        p.facts { (whole.title) }
        @if *waiting > 0 {
            div.told role="status" { p {
                (count_of(*waiting, "flight", "flights")) " not compared: set-up or wing are not said yet. "
                a href="/" { "Say them on the flights." }
            } }
        }
        (form(whole, &choice))
        @if analysis.cells.is_empty() {
            p { "Nothing to compare yet: flights need a set-up, a wing and windows in which the hands were off. "
                a href="/" { "Drop a log" } " or " a href="/parts" { "describe a set-up" } "." }
        } @else {
            @let pieces = CampaignPieces::of(analysis, &settings.units);
            p.facts { (pieces.facts) }
            (pieces.alerts)
            (pieces.finding)
            div.row {
                a.button href=(at("report.html")) download { "Report as a page" }
                a.button href=(at("report.json")) download { "JSON" }
                a.button href=(at("report.csv")) download { "CSV" }
                a.button href=(at("cards.html")) download { "Test cards to print" }
            }
            (pieces.sections)
            (pieces.cautions)
        }
    };
    app.screen(request, Place::Compare, "Compare", main)
}

fn form(campaign: &Campaign, choice: &Choice) -> Markup {
    let group = |legend: &str, name: &str, items: Vec<(String, String)>, chosen: &[String]| {
        html! {
            @if items.len() > 1 {
                fieldset { legend { (legend) }
                    @for (key, words) in &items { (check(words, name, key, chosen.contains(key))) " " }
                }
            }
        }
    };
    let named = |key: &str, name: &str| (key.to_owned(), name.to_owned());
    let scenarios: Vec<String> = choice.scenarios.iter().map(|scenario| scenario.name().to_owned()).collect();
    let all = *choice == Choice::default();
    html! {
        details open[!all] {
            summary { @if all { "Everything is compared: choose a part" } @else { "A part is compared" } }
            form method="get" action="/compare" {
                (group("Set-ups", "setup", campaign.setups.iter().map(|s| named(&s.key, &s.name)).collect(), &choice.setups))
                (group("Wings", "wing", campaign.wings.iter().map(|w| named(&w.key, &w.name)).collect(), &choice.wings))
                (group("Scenarios", "scenario", SCENARIOS.iter().map(|s| named(s.name(), scenario_words(*s))).collect(), &scenarios))
                (group("Pilots", "pilot", campaign.pilots.iter().map(|p| named(&p.key, &p.name)).collect(), &choice.pilots))
                p { (check("Leave out the names of people", "anonymous", "yes", choice.anonymous)) }
                p.subtitle { "Nothing ticked in a group means all of it. Keep the baseline among the set-ups, or no compensation can be given." }
                div.row { button.first type="submit" { "Compare these" } a.button href="/compare" { "Everything" } }
            }
        }
    }
}

pub(crate) fn document(app: &App, request: &Request, document: &str, progress: Progress<'_>) -> Result<Response> {
    if !["report.html", "report.json", "report.csv", "cards.html"].contains(&document) {
        return Err(Failure::NotFound);
    }
    let Compared { analysis, settings, .. } = compared(app, request, &Choice::of(request), progress)?;
    let written = |error: &dyn std::fmt::Display| Failure::Written(error.to_string());
    let response = match document {
        "report.json" => Response::of(JSON, campaign_json(&analysis).map_err(|error| written(&error))?.into_bytes()),
        "report.csv" => Response::of(CSV, campaign_csv(&analysis).map_err(|error| written(&error))?.into_bytes()),
        "cards.html" => {
            let plan = plan_campaign(&analysis, analysis.campaign.plan.seed);
            Response::html(plan_html(&analysis, &plan))
        }
        _ => Response::html(campaign_html(&analysis, &settings.units)),
    };
    Ok(response.saved_as(format!("campaign.{document}")))
}
